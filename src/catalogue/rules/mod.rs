//! The rules of the library, one file each; a rule's module doc is its manual entry.
//!
//! A rule reads the files, the rows and the linked catalogue and lists faults. It
//! mends nothing and never looks at how likely a type is. There are no warnings:
//! what is not worth mending is not worth printing.
//!
//! Invariant: every fault carries the name of a rule in [`RULES`], and no rule takes
//! longer than its rows times a small constant.

use std::collections::HashMap;

use super::artefacts::Artefacts;
use super::fault::Fault;
use super::files::Files;
use super::raw::{Grade, RawArtefact, RawArtefacts, RawLibrary, RawType, Row};
use super::resolved::{Catalogue, CoinType};
use super::spread::{spread, spread_artefact};

mod artefacts;
mod classes;
mod drawings;
mod forms;
mod legends;
mod moved;
mod names;
mod order;
mod pictured;
mod ranges;
mod reckoned;
mod refs;
mod said;
mod shapes;
mod sources;
mod spans;
mod tables;
mod titles;
mod twice;
mod twins;
mod values;
mod words;

#[cfg(feature = "doors")]
pub(crate) use sources::KINDS as SOURCE_KINDS;
#[cfg(feature = "doors")]
pub(crate) use values::{KINDS as RULER_KINDS, REGIONS};

/// A rule of the library.
pub struct Rule {
    /// Name, as faults carry it.
    pub name: &'static str,
    /// What it demands, in one line.
    pub summary: &'static str,
    /// The rule itself; `None` when reading the files already finds its faults.
    check: Option<fn(&Library<'_>) -> Vec<Fault>>,
}

/// Every rule, in the order of the manual.
pub const RULES: &[Rule] = &[
    Rule {
        name: "reads",
        summary: "every file is TOML of the README's shape: no unknown, missing or misspelt field",
        check: None,
    },
    Rule {
        name: "refs",
        summary: "every id named has a row, and every ruler, mint, legend and denomination is used",
        check: Some(refs::check),
    },
    Rule {
        name: "names",
        summary: "ids are lower-case letters, digits and dashes, and no two rows of a kind share one",
        check: Some(names::check),
    },
    Rule {
        name: "order",
        summary: "tables stand in order, lines are clean, a series is at most 600 lines",
        check: Some(order::check),
    },
    Rule {
        name: "sources",
        summary: "every row names a known source and its grade; `checked` rests on two sources",
        check: Some(sources::check),
    },
    Rule {
        name: "spans",
        summary: "years lie within the ruler's reign, the mints' lives and the period, or say why not",
        check: Some(spans::check),
    },
    Rule {
        name: "ranges",
        summary: "weights and sizes are those of a coin, or of such a thing, and agree with each other",
        check: Some(ranges::check),
    },
    Rule {
        name: "values",
        summary: "words from a fixed list are on it, and no text is empty",
        check: Some(values::check),
    },
    Rule {
        name: "classes",
        summary: "a class has parts that are parts, sizes, words of its own, and the types of its folder",
        check: Some(classes::check),
    },
    Rule {
        name: "forms",
        summary: "a word of form stands in the file of its facet, under its like, with words of its own",
        check: Some(forms::check),
    },
    Rule {
        name: "drawings",
        summary: "a drawing is named for a class or a form, titled with its name, small and plain line work",
        check: Some(drawings::check),
    },
    Rule {
        name: "shapes",
        summary: "an artefact type names forms where they belong, and none against itself",
        check: Some(shapes::check),
    },
    Rule {
        name: "legends",
        summary: "legends are written as struck: capitals, V for U, I for J, known signs only",
        check: Some(legends::check),
    },
    Rule {
        name: "words",
        summary: "a word that names two motifs names one only as a kind of the other",
        check: Some(words::check),
    },
    Rule {
        name: "twice",
        summary: "nothing is said twice: no restated [shared] value, no repeated entry, no legend under two ids",
        check: Some(twice::check),
    },
    Rule {
        name: "twins",
        summary: "two types a finder cannot tell apart say so in `apart`, or are one",
        check: Some(twins::check),
    },
    Rule {
        name: "titles",
        summary: "numbered titles rise with their days, and a type that names one is of its years",
        check: Some(titles::check),
    },
    Rule {
        name: "tables",
        summary: "entries of the dating tables are whole, name known rows and reckon right",
        check: Some(tables::check),
    },
    Rule {
        name: "reckoned",
        summary: "standards of weight, arms and stamps hold figures that are possible",
        check: Some(reckoned::check),
    },
    Rule {
        name: "said",
        summary: "what finders might say is of a type in the file of its class, short, plain and said once",
        check: Some(said::check),
    },
    Rule {
        name: "pictured",
        summary: "what might be said of the faces of coins is of a design that a type has, short and said once",
        check: Some(pictured::check),
    },
    Rule {
        name: "moved",
        summary: "an old id leads in one hop to a live one, and says why",
        check: Some(moved::check),
    },
];

/// All faults the rules find.
pub fn apply(
    files: &Files,
    raw: &RawLibrary,
    things: &RawArtefacts,
    catalogue: &Catalogue,
    artefacts: &Artefacts,
) -> Vec<Fault> {
    let library = Library::new(files, (raw, things), (catalogue, artefacts));
    RULES
        .iter()
        .filter_map(|rule| rule.check)
        .flat_map(|check| check(&library))
        .collect()
}

/// What a rule may read.
struct Library<'a> {
    files: &'a Files,
    raw: &'a RawLibrary,
    catalogue: &'a Catalogue,
    things: &'a RawArtefacts,
    artefacts: &'a Artefacts,
    /// Artefact types, each with its shared head filled in.
    pieces: Vec<Piece<'a>>,
    /// Rows of the shared tables that carry a name, words, sources and a grade.
    rows: Vec<AnyRow<'a>>,
    /// Types, the live ones first, each with its shared head filled in.
    types: Vec<Whole<'a>>,
    /// Live types by position of their series and id.
    live: HashMap<(usize, &'a str), usize>,
}

/// What the rows of all shared tables have in common.
struct AnyRow<'a> {
    kind: &'static str,
    file: &'a str,
    id: &'a str,
    /// Empty for a legend, a career and an entry, which have none.
    name: &'a str,
    words: &'a [String],
    sources: &'a [String],
    grade: Option<Grade>,
}

/// A type as written and with its shared head filled in: of coins, or of what `R` describes.
struct Whole<'a, R = RawType> {
    file: &'a str,
    id: &'a str,
    own: &'a R,
    shared: &'a R,
    whole: R,
    attic: bool,
}

/// An artefact type so; the attic has none.
type Piece<'a> = Whole<'a, RawArtefact>;

impl<R> Whole<'_, R> {
    fn fault(
        &self,
        rule: &'static str,
        field: &str,
        what: impl Into<String>,
        mend: impl Into<String>,
    ) -> Fault {
        Fault::at(rule, self.file, self.id, field, what, mend)
    }
}

impl<'a> Library<'a> {
    fn new(
        files: &'a Files,
        (raw, things): (&'a RawLibrary, &'a RawArtefacts),
        (catalogue, artefacts): (&'a Catalogue, &'a Artefacts),
    ) -> Library<'a> {
        let mut types = Vec::new();
        let mut live = HashMap::new();
        for (position, series) in raw.series.iter().chain(&raw.attic).enumerate() {
            let attic = position >= raw.series.len();
            for (id, own) in &series.types {
                if !attic {
                    live.insert((position, id.as_str()), types.len());
                }
                types.push(Whole {
                    file: &series.file,
                    id,
                    own,
                    shared: &series.shared,
                    whole: spread(&series.shared, own),
                    attic,
                });
            }
        }
        Library {
            files,
            raw,
            catalogue,
            things,
            artefacts,
            pieces: pieces(things),
            rows: all_rows(raw, things),
            types,
            live,
        }
    }

    /// Linked types, each with what was written for it.
    fn linked(&self) -> impl Iterator<Item = (&'a CoinType, &Whole<'a>)> {
        self.catalogue.types.iter().filter_map(|coin| {
            let position = self.live.get(&(coin.series, coin.id.as_str()))?;
            Some((coin, &self.types[*position]))
        })
    }
}

/// Every artefact type as written.
fn pieces(things: &RawArtefacts) -> Vec<Piece<'_>> {
    let mut pieces = Vec::new();
    for series in &things.series {
        pieces.extend(series.types.iter().map(|(id, own)| Piece {
            file: &series.file,
            id,
            own,
            shared: &series.shared,
            whole: spread_artefact(&series.shared, own),
            attic: false,
        }));
    }
    pieces
}

/// Gathers the rows of all shared tables; a macro, since the row structs share
/// fields but no trait.
fn all_rows<'a>(raw: &'a RawLibrary, things: &'a RawArtefacts) -> Vec<AnyRow<'a>> {
    let mut rows = Vec::new();
    macro_rules! gather {
        ($kind:literal, $half:ident, $table:ident) => {
            rows.extend($half.$table.iter().map(|row| AnyRow {
                kind: $kind,
                file: &row.file,
                id: &row.id,
                name: &row.fields.name,
                words: &row.fields.words,
                sources: &row.fields.sources,
                grade: row.fields.grade,
            }))
        };
    }
    gather!("period", raw, periods);
    gather!("metal", raw, metals);
    gather!("denomination", raw, denominations);
    gather!("ruler", raw, rulers);
    gather!("mint", raw, mints);
    gather!("motif", raw, motifs);
    gather!("period", things, periods);
    gather!("class", things, classes);
    gather!("form", things, forms);
    // Legends, the titles of a ruler and the entries of a table have no name to be called by.
    macro_rules! gather_nameless {
        ($kind:literal, $table:ident) => {
            rows.extend(raw.$table.iter().map(|row| AnyRow {
                kind: $kind,
                file: &row.file,
                id: &row.id,
                name: "",
                words: &[],
                sources: &row.fields.sources,
                grade: row.fields.grade,
            }))
        };
    }
    gather_nameless!("legend", legends);
    gather_nameless!("career", titles);
    gather_nameless!("entry", tables);
    // What is reckoned with is called by nobody's words.
    macro_rules! gather_wordless {
        ($kind:literal, $table:ident) => {
            rows.extend(things.$table.iter().map(|row| AnyRow {
                kind: $kind,
                file: &row.file,
                id: &row.id,
                name: &row.fields.name,
                words: &[],
                sources: &row.fields.sources,
                grade: row.fields.grade,
            }))
        };
    }
    gather_wordless!("standard", standards);
    gather_wordless!("arm", arms);
    gather_wordless!("headstamp", headstamps);
    rows
}

/// Kind, file and id of every row that can be named, types of the attic included.
fn named_rows<'a>(library: &Library<'a>) -> Vec<(&'static str, &'a str, &'a str)> {
    let sources = library.raw.sources.iter();
    let mut named: Vec<(&'static str, &'a str, &'a str)> = sources
        .map(|row| ("source", row.file.as_str(), row.id.as_str()))
        .collect();
    named.extend(library.rows.iter().map(|row| (row.kind, row.file, row.id)));
    named.extend(
        library
            .types
            .iter()
            .map(|coin| ("type", coin.file, coin.id)),
    );
    // No artefact has the id of a coin: both are called by it alone.
    let pieces = library.pieces.iter();
    named.extend(pieces.map(|piece| ("type", piece.file, piece.id)));
    named
}

/// A fault in a field of a row.
fn row_fault<T>(
    rule: &'static str,
    row: &Row<T>,
    field: &str,
    what: impl Into<String>,
    mend: impl Into<String>,
) -> Fault {
    Fault::at(rule, &row.file, &row.id, field, what, mend)
}

/// A word as two rows are compared by it: lower case, single spaces.
fn plain(word: &str) -> String {
    let lower = word.to_lowercase();
    lower.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The first entry of a list that stands in it twice.
fn repeated<T: AsRef<str>>(list: &[T]) -> Option<&str> {
    list.iter().enumerate().find_map(|(position, entry)| {
        let entry = entry.as_ref();
        let again = list[..position]
            .iter()
            .any(|before| before.as_ref() == entry);
        again.then_some(entry)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rules_are_named_once_and_summed_up_in_a_line() {
        let names: Vec<&str> = RULES.iter().map(|rule| rule.name).collect();
        assert_eq!(repeated(&names), None);
        for rule in RULES {
            assert!(
                rule.summary.len() > 20 && rule.summary.len() < 110,
                "{}",
                rule.name
            );
            assert!(!rule.summary.ends_with('.'), "{}", rule.name);
        }
    }

    #[test]
    fn words_are_compared_without_case_and_spacing() {
        assert_eq!(plain("Winged  Woman "), "winged woman");
        assert_eq!(repeated(&["a", "b", "a"]), Some("a"));
        assert_eq!(repeated(&["a", "b"]), None);
    }
}
