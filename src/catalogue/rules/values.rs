//! Rule `values`: words from a fixed list are on it, and no text is empty.
//!
//! Demands a known `kind` of ruler, with members for a joint authority alone and
//! reigns for a single ruler; a `realm`; `regions` of the README's list; words that
//! are not empty or padded with blanks; and names, edges, references, excuses and
//! remarks that say something. A type in the attic must use the same words for axis,
//! making, habits, copy and frequency as a live one, where linking already demands it.
//! A neighbour in `apart` is another type, and `by` says what to look for. An id of
//! `nomisma` is the id alone, of letters, digits, `_`, `-` and `.`, and no two rows of a
//! kind share one.
//!
//! Why: a misspelt region or an empty remark is silently nothing.
//!
//! To mend: write a word of the list, or leave the field out.

use std::collections::HashMap;

use super::super::fault::Fault;
use super::super::raw::{RawRuler, RawType, Row};
use super::super::resolve::{AXES, COMMON, COPIES, HABITS, MAKINGS};
use super::{Library, Whole, artefacts, row_fault};

/// Kinds of ruler.
pub(crate) const KINDS: &[&str] = &["ruler", "joint", "people", "body"];

/// Where in England and Wales a type may mostly be found.
pub(crate) const REGIONS: &[&str] = &[
    "north",
    "east",
    "south-east",
    "south",
    "south-west",
    "midlands",
    "wales",
];

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    for row in &library.raw.rulers {
        ruler(row, &mut faults);
    }
    for row in &library.rows {
        if !matches!(row.kind, "legend" | "career" | "entry") && blank(row.name) {
            let what = format!("the {} has no name", row.kind);
            faults.push(Fault::at(
                "values",
                row.file,
                row.id,
                "name",
                what,
                "write `name`",
            ));
        }
        if let Some(word) = row.words.iter().find(|word| padded(word)) {
            let what = format!("the word \"{word}\" is empty or padded with blanks");
            let mend = "write the word alone, with single blanks";
            faults.push(Fault::at("values", row.file, row.id, "words", what, mend));
        }
    }
    same_things(library, &mut faults);
    for series in library.raw.series.iter().chain(&library.raw.attic) {
        texts(&series.file, "shared", &series.shared, &mut faults);
    }
    for coin in &library.types {
        texts(coin.file, coin.id, coin.own, &mut faults);
        neighbours(coin, &mut faults);
        if coin.attic {
            attic(coin, &mut faults);
        }
    }
    faults.extend(artefacts::values::check(library));
    faults
}

fn blank(text: &str) -> bool {
    text.trim().is_empty()
}

fn padded(word: &str) -> bool {
    blank(word) || word.trim() != word || word.contains("  ")
}

fn ruler(row: &Row<RawRuler>, faults: &mut Vec<Fault>) {
    let fields = &row.fields;
    let mut push = |field, what: &str, mend: &str| {
        faults.push(row_fault("values", row, field, what, mend));
    };
    if !KINDS.contains(&fields.kind.as_str()) {
        let what = format!("`{}` is not a kind of ruler", fields.kind);
        push(
            "kind",
            &what,
            &format!("write one of: {}", KINDS.join(", ")),
        );
    }
    if blank(&fields.realm) {
        push(
            "realm",
            "the ruler has no realm",
            "write the realm its rulers share",
        );
    }
    if fields.kind == "ruler" && fields.reigns.is_empty() {
        push("reigns", "the ruler has no years", "write `reigns`");
    }
    let joint = fields.kind == "joint";
    if joint && fields.members.is_empty() {
        push(
            "members",
            "a joint authority has no members",
            "write the ids of those meant",
        );
    }
    if !joint && !fields.members.is_empty() {
        let mend = "write kind = \"joint\", or take `members` out";
        push("members", "only a joint authority has members", mend);
    }
    if fields.members.contains(&row.id) {
        push(
            "members",
            "the authority is its own member",
            "take it out of `members`",
        );
    }
}

/// Ids of the same things at nomisma.org.
fn same_things(library: &Library<'_>, faults: &mut Vec<Fault>) {
    let mut first: HashMap<(&str, &str), &str> = HashMap::new();
    for (kind, file, id, theirs) in linked_out(library) {
        let mut push = |what: String, mend: &str| {
            faults.push(Fault::at("values", file, id, "nomisma", what, mend));
        };
        let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.');
        if theirs.is_empty() || !theirs.chars().all(plain) {
            let mend = "write what stands after nomisma.org/id/: letters, digits, `_`, `-` and `.`";
            push(format!("`{theirs}` is no id of nomisma.org"), mend);
        } else if let Some(other) = first.insert((kind, theirs), id) {
            let mend = "keep it where it means the same, and take it out of the other";
            push(format!("the {kind} `{other}` has this id too"), mend);
        }
    }
}

/// Kind, file, id and id at nomisma.org of every row that has one.
fn linked_out<'a>(library: &Library<'a>) -> Vec<(&'static str, &'a str, &'a str, &'a str)> {
    let mut rows = Vec::new();
    macro_rules! gather {
        ($kind:literal, $table:ident) => {
            for row in &library.raw.$table {
                if let Some(theirs) = &row.fields.nomisma {
                    rows.push(($kind, row.file.as_str(), row.id.as_str(), theirs.as_str()));
                }
            }
        };
    }
    gather!("metal", metals);
    gather!("denomination", denominations);
    gather!("ruler", rulers);
    gather!("mint", mints);
    rows
}

/// Texts and regions as one table writes them.
fn texts(file: &str, id: &str, coin: &RawType, faults: &mut Vec<Fault>) {
    let texts = [
        ("name", &coin.name),
        ("edge", &coin.edge),
        ("outside", &coin.outside),
        ("note", &coin.note),
    ];
    for (field, text) in texts {
        if text.as_deref().is_some_and(blank) {
            let what = format!("`{field}` is empty");
            let mend = "write what it should say, or leave it out";
            faults.push(Fault::at("values", file, id, field, what, mend));
        }
    }
    if coin.refs.iter().flatten().any(|text| blank(text)) {
        let mend = "write the work and its number";
        faults.push(Fault::at(
            "values",
            file,
            id,
            "ref",
            "a reference is empty",
            mend,
        ));
    }
    for region in coin.regions.iter().flatten() {
        if !REGIONS.contains(&region.as_str()) {
            let what = format!("`{region}` is not a region");
            let mend = format!("write one of: {}", REGIONS.join(", "));
            faults.push(Fault::at("values", file, id, "regions", what, mend));
        }
    }
    if coin.apart.iter().flatten().any(|apart| blank(&apart.by)) {
        let mend = "write what a finder can see that sets the two apart";
        faults.push(Fault::at(
            "values",
            file,
            id,
            "apart",
            "`by` is empty",
            mend,
        ));
    }
}

fn neighbours(coin: &Whole<'_>, faults: &mut Vec<Fault>) {
    if coin
        .own
        .apart
        .iter()
        .flatten()
        .any(|apart| apart.from == coin.id)
    {
        let mend = "name the neighbour";
        faults.push(coin.fault("values", "apart", "the type is set apart from itself", mend));
    }
}

/// Words that linking checks in live types only.
fn attic(coin: &Whole<'_>, faults: &mut Vec<Fault>) {
    let whole = &coin.whole;
    let mut listed = |field: &str, word: &str, known: &[&str]| {
        if !known.contains(&word) {
            let what = format!("`{word}` is not known here");
            let mend = format!("write one of: {}", known.join(", "));
            faults.push(coin.fault("values", field, what, mend));
        }
    };
    if let Some(word) = &whole.axis {
        listed("axis", word, &names(AXES));
    }
    if let Some(word) = &whole.made {
        listed("made", word, &names(MAKINGS));
    }
    for word in whole.habits.iter().flatten() {
        listed("habits", word, &names(HABITS));
    }
    if let Some(word) = &whole.copy {
        listed("copy", word, &names(COPIES));
    }
    if let Some(word) = &whole.common {
        listed("common", word, &names(COMMON));
    }
}

fn names<T>(known: &[(&'static str, T)]) -> Vec<&'static str> {
    known.iter().map(|(name, _)| *name).collect()
}
