//! From a table or phrases to the group: each row told, named or identified.
//!
//! A group with a row that cannot be read is refused whole, with every fault, since figures of a
//! part of a group would be taken for those of the group.
//!
//! Invariant: the group that comes out has a piece for every row and every phrase.

use std::path::Path;

use rayon::prelude::*;

use super::super::error::Trouble;
use super::super::table::{Row, Table, tell_of, traits};
use super::args::HoardArgs;
use super::told::{self, Told, shown};
use crate::explain::chance_in_figures;
use crate::find::{Companion, Find};
use crate::hoard::{self, Group, Kind, Piece, ROWS_MOST};
use crate::parse::{self, Remark};
use crate::score::words_of_confidence;
use crate::treasure::{self, Age, MetalKnown, What};
use crate::{House, IdentifyOptions};

/// Faults that are listed; the rest are counted.
const FAULTS_SHOWN: usize = 10;
/// Longest phrase of the command line, bytes.
const PHRASE_MOST: usize = 2_000;
/// Words for what held the pieces.
const HOLDS: [&str; 12] = [
    "pot",
    "jar",
    "jug",
    "box",
    "bag",
    "purse",
    "vessel",
    "flagon",
    "container",
    "casket",
    "chest",
    "bowl",
];

/// A group, and what was not understood of it.
pub(crate) struct Gathered {
    pub(crate) group: Group,
    pub(crate) remarks: Vec<String>,
}

/// A row before it is identified.
struct Asked {
    name: String,
    told: Told,
    find: Find,
    law: Option<treasure::Piece>,
}

/// Gathers the group.
pub(super) fn gather(asked: &HoardArgs, house: &House) -> Result<Gathered, Trouble> {
    of_given(&asked.pieces, &asked.count_column, house)
}

/// Gathers a group of tables and phrases, as they were given.
pub(in crate::cli) fn of_given(
    given: &[String],
    count_column: &str,
    house: &House,
) -> Result<Gathered, Trouble> {
    let (mut rows, mut faults, mut remarks) = (Vec::new(), Vec::new(), Vec::new());
    for given in given {
        if is_table(given) {
            let named = (count_column, given.as_str());
            let mut table = Table::open(Path::new(given))?;
            read_table(
                &mut table,
                named,
                house,
                &mut rows,
                &mut faults,
                &mut remarks,
            )?;
        } else {
            match phrase(given, house, &mut remarks) {
                Ok(row) => rows.push(row),
                Err(fault) => faults.push(format!("\"{}\": {fault}", shown(given))),
            }
        }
    }
    grouped(&rows, &faults, remarks, house)
}

/// A group of a table that is held in memory.
pub(crate) fn of_table(table: &str, house: &House) -> Result<Gathered, Trouble> {
    let (mut rows, mut faults, mut remarks) = (Vec::new(), Vec::new(), Vec::new());
    let source = Box::new(std::io::Cursor::new(table.to_string()));
    let mut table = Table::over(source, "the table")?;
    read_table(
        &mut table,
        ("count", "the table"),
        house,
        &mut rows,
        &mut faults,
        &mut remarks,
    )?;
    grouped(&rows, &faults, remarks, house)
}

/// A group of pieces in words, one a line.
pub(crate) fn of_phrases(lines: &[&str], house: &House) -> Result<Gathered, Trouble> {
    let (mut rows, mut faults, mut remarks) = (Vec::new(), Vec::new(), Vec::new());
    if lines.len() > ROWS_MOST {
        let what = format!("there are {} lines; the most is {ROWS_MOST}", lines.len());
        return Err(Trouble::new(what, "put pieces that are alike on one line"));
    }
    for line in lines {
        match phrase(line, house, &mut remarks) {
            Ok(row) => rows.push(row),
            Err(fault) => faults.push(format!("\"{}\": {fault}", shown(line))),
        }
    }
    grouped(&rows, &faults, remarks, house)
}

/// The group of rows that were all understood.
fn grouped(
    rows: &[Asked],
    faults: &[String],
    remarks: Vec<String>,
    house: &House,
) -> Result<Gathered, Trouble> {
    if !faults.is_empty() {
        return Err(refused(faults));
    }
    let pieces: Vec<Piece> = rows.par_iter().map(|row| piece(row, house)).collect();
    let group = Group { pieces };
    match group.faults().first() {
        None => Ok(Gathered { group, remarks }),
        Some(fault) => Err(Trouble::new(
            format!("{}: {}", fault.field, fault.what),
            fault.mend.clone(),
        )),
    }
}

fn refused(faults: &[String]) -> Trouble {
    let mut what = format!("the group cannot be read ({} faults)", faults.len());
    if faults.len() == 1 {
        what = "the group cannot be read".to_string();
    }
    for fault in faults.iter().take(FAULTS_SHOWN) {
        what.push_str(&format!("\n  {fault}"));
    }
    if faults.len() > FAULTS_SHOWN {
        what.push_str(&format!("\n  and {} more", faults.len() - FAULTS_SHOWN));
    }
    Trouble::new(
        what,
        "mend these, so that no piece is left out of the figures",
    )
}

/// True of what names a table and no piece.
fn is_table(given: &str) -> bool {
    let lower = given.to_lowercase();
    given == "-" || lower.ends_with(".csv") || (!given.contains(' ') && Path::new(given).is_file())
}

/// Reads the rows of a table; named are the column of counts, and the table.
fn read_table(
    table: &mut Table,
    (count_column, path): (&str, &str),
    house: &House,
    rows: &mut Vec<Asked>,
    faults: &mut Vec<String>,
    remarks: &mut Vec<String>,
) -> Result<(), Trouble> {
    let own = ["from", "as", "kind"];
    let is_own = |name: &String| own.iter().any(|own| name.eq_ignore_ascii_case(own));
    if !table.columns.iter().any(is_own) {
        table.needs_a_trait()?;
    }
    let has = |wanted: &str| table.columns.iter().any(|n| n.eq_ignore_ascii_case(wanted));
    if count_column != "count" && !has(count_column) {
        let what = format!(
            "--count-column: the table has no column {}",
            shown(count_column)
        );
        let hint = "name the column that says how many pieces are alike, or leave it out";
        return Err(Trouble::new(what, hint));
    }
    let columns = table.columns.clone();
    let read = table.take(ROWS_MOST + 1)?;
    if read.is_empty() {
        let what = format!("{path} has a heading line and no row");
        return Err(Trouble::new(what, "write a row for each kind of piece"));
    }
    for row in &read {
        tell_of(row);
        if let Some(odd) = row.remarks.first() {
            faults.push(format!("line {}: {}; {}", row.line, odd.what, odd.mend));
            continue;
        }
        if row.cells.iter().all(String::is_empty) {
            continue;
        }
        match from_row(row, &columns, count_column, house, remarks) {
            Ok(row) => rows.push(row),
            Err(fault) => faults.push(format!("line {}: {fault}", row.line)),
        }
    }
    Ok(())
}

fn from_row(
    row: &Row,
    columns: &[String],
    count_column: &str,
    house: &House,
    remarks: &mut Vec<String>,
) -> Result<Asked, String> {
    let cell = |name: &str| row.cell(columns, name).trim();
    let mut told = Told {
        count: told::count(cell(count_column))?,
        years: told::years(cell("from"), cell("to"))?,
        kind: told::kind(cell("kind"))?,
        types: told::types(cell("as"), house)?,
    };
    let (find, heard) = parse::form(&traits(columns, row), &house.lexicon);
    let line = row.line;
    let as_words = [cell("words"), cell("description"), cell("as")];
    let said = as_words.into_iter().find(|words| !words.is_empty());
    let name = match (find.id.as_deref(), said) {
        (Some(id), Some(said)) => format!("{}: {}", shown(id), shown(said)),
        (Some(id), None) => shown(id),
        (None, Some(said)) => shown(said),
        (None, None) => format!("line {line}"),
    };
    if told.types.is_empty() && told::is_only_named(&find) {
        told.types = of_opinions(&find, house);
    }
    // What is no coin is heard as the law hears it, whose words know pots and brooches.
    let coin = told
        .kind
        .is_none_or(|kind| matches!(kind, Kind::Coin | Kind::Token));
    let law = said
        .filter(|_| !coin)
        .and_then(|said| treasure::piece(said).ok());
    if coin {
        remarks.extend(heard.iter().map(|remark| format!("line {line}: {remark}")));
    }
    if let Some(years) = told.years {
        let types = &house.catalogue.types;
        let within = |at: &usize| types[*at].span.overlaps(years);
        // Told years choose among the types of a name; where they fit none, both stand as told.
        if told.types.iter().any(within) {
            told.types.retain(within);
        }
    }
    Ok(Asked {
        name,
        told,
        find,
        law,
    })
}

/// The types that the opinions of a find mean, taken as told.
fn of_opinions(find: &Find, house: &House) -> Vec<usize> {
    let name = Companion {
        count: 1,
        means: find.opinions.clone(),
        said: String::new(),
    };
    told::meant_by(&name, house)
}

/// A phrase of the command line: a piece as the law hears it, a name, or a find described.
fn phrase(text: &str, house: &House, remarks: &mut Vec<String>) -> Result<Asked, String> {
    let text = text.trim();
    if text.is_empty() || text.len() > PHRASE_MOST {
        return Err(
            "is no piece: write how many and what, as 3 radiates of Tetricus I".to_string(),
        );
    }
    let law = treasure::piece(text).ok();
    let first = text.split(',').next().unwrap_or(text);
    let name = told::named(first, house);
    let mut asked = Asked {
        name: shown(text),
        told: Told {
            count: law.as_ref().map(|law| law.count),
            ..Told::default()
        },
        find: Find::default(),
        law: None,
    };
    if let Some(law) = law.as_ref().filter(|law| is_told(law)) {
        return as_the_law_hears(asked, text, law, name, house);
    }
    let (number, rest) = number_before(text);
    let (find, heard) = parse::words(rest, &house.lexicon);
    // A phrase that is a name and no more is one, though "radiate" may be a crown as well.
    let is_name = !text.contains(',') || told::is_only_named(&find);
    if let Some(name) = name.filter(|_| is_name) {
        asked.told.count = Some(name.count);
        asked.told.types = told::meant_by(&name, house);
        asked.find = find;
        if !asked.told.types.is_empty() {
            return counted(asked);
        }
        return Err(
            "names no coin that the library has: describe it, as silver, 18 mm, 3.1 g".to_string(),
        );
    }
    if find.says_nothing() {
        let law = law.filter(|law| {
            law.what != What::Unsaid || law.metal != MetalKnown::Unsaid || law.altered.is_some()
        });
        let Some(law) = law else {
            return Err("is nothing that is understood: write how many and what, metal, years, as 3 radiates of Tetricus I".to_string());
        };
        asked.law = Some(law);
        return counted(asked);
    }
    let tell = |remark: &Remark| format!("\"{}\": {remark}", shown(text));
    remarks.extend(heard.iter().map(tell));
    asked.told.count = number;
    asked.find = find;
    counted(asked)
}

/// True of a piece of which its words tell the years, or that it is no coin.
fn is_told(law: &treasure::Piece) -> bool {
    law.age != Age::Unsaid || matches!(law.what, What::Object | What::Natural | What::Token)
}

/// A piece with its metal and years, and the types of its name that are of those years.
fn as_the_law_hears(
    mut asked: Asked,
    text: &str,
    law: &treasure::Piece,
    name: Option<Companion>,
    house: &House,
) -> Result<Asked, String> {
    asked.told.years = law.age.span();
    asked.told.kind = held(text, law);
    let years = asked.told.years;
    if let Some(name) = name.filter(|_| law.what == What::Coin) {
        asked.told.types = told::meant_by(&name, house);
        let types = &house.catalogue.types;
        let within = |at: &usize| years.is_none_or(|years| types[*at].span.overlaps(years));
        asked.told.types.retain(within);
    }
    asked.law = Some(law.clone());
    counted(asked)
}

/// The count must be possible, however it was heard.
fn counted(asked: Asked) -> Result<Asked, String> {
    match asked.told.count {
        Some(count) => told::count(&count.to_string()).map(|_| asked),
        None => Ok(asked),
    }
}

/// A number of pieces before a description, which is not one of its measures: "3 silver, 18 mm".
fn number_before(text: &str) -> (Option<u32>, &str) {
    let Some((first, rest)) = text.split_once(' ') else {
        return (None, text);
    };
    let unit = rest.trim_start().to_lowercase();
    let is_measure = [
        "mm", "g", "g,", "cm", "grains", "gr", "x", "grammes", "grams",
    ];
    let next = unit.split(' ').next().unwrap_or_default();
    let next = next.trim_end_matches([',', ';', '.']);
    match first.parse::<u32>() {
        Ok(number) if !is_measure.contains(&next) => (Some(number), rest),
        _ => (None, text),
    }
}

/// A container by its name; else what the law makes of it.
fn held(text: &str, law: &treasure::Piece) -> Option<Kind> {
    let lower = text.to_lowercase();
    let mut words = lower.split(|c: char| !c.is_alphanumeric());
    match law.what {
        What::Object if words.any(|word| HOLDS.contains(&word)) => Some(Kind::Container),
        What::Object | What::Natural => Some(Kind::Object),
        What::Token => Some(Kind::Token),
        What::Coin => Some(Kind::Coin),
        What::Unsaid => None,
    }
}

/// The piece of a row: by what was told, else by its identification, else by eye.
fn piece(row: &Asked, house: &House) -> Piece {
    let (told, find, library) = (&row.told, &row.find, &house.catalogue);
    let count = told.count.unwrap_or(1);
    let is_money = told
        .kind
        .is_none_or(|kind| matches!(kind, Kind::Coin | Kind::Token));
    let mut piece = if !told.types.is_empty() {
        let types = told::at(&told.types, house);
        let law = treasure::meant(&types, library, &row.name, count);
        let seen = hoard::by_sight(find, &row.name, count, law.clone());
        Piece {
            wear: seen.wear,
            treatments: seen.treatments,
            completeness: seen.completeness,
            weight: seen.weight,
            ..hoard::named(&types, library, law)
        }
    } else if is_money && row.law.is_none() && says_enough(find) {
        let options = IdentifyOptions {
            answer_only: true,
            ..IdentifyOptions::default()
        };
        let said = house.identify(find, options);
        let mut piece =
            hoard::described(find, &said.ranking, &said.shares, library, &row.name, count);
        piece.answer = Some((said.text, said.answer.p));
        piece
    } else {
        let law = treasure::by_sight(find, &row.name);
        let law = treasure::Piece { count, ..law };
        hoard::by_sight(find, &row.name, count, law)
    };
    if let Some(law) = &row.law {
        let name = row.name.clone();
        piece.law = treasure::Piece {
            name,
            count,
            ..law.clone()
        };
        if let (true, Some(span)) = (piece.dates.is_empty(), law.age.span()) {
            hoard::told(&mut piece, Some(span), None);
        }
    }
    hoard::told(&mut piece, told.years, told.kind);
    if let Some(law) = row.law.as_ref().filter(|_| told.kind.is_none()) {
        piece.law.what = law.what;
    }
    piece
}

/// True of a find of which more is said than its metal: by that alone it would be dated by what is
/// common in a field, which says nothing of a hole.
fn says_enough(find: &Find) -> bool {
    let bare = Find {
        metal: None,
        treatments: Vec::new(),
        treatments_absent: Vec::new(),
        making: None,
        ..find.clone()
    };
    !bare.says_nothing()
}

/// What a row was taken as, in words.
pub(crate) fn taken_as(piece: &Piece) -> String {
    if let Some((text, p)) = &piece.answer {
        return format!(
            "{text} ({}: {})",
            chance_in_figures(*p),
            words_of_confidence(*p)
        );
    }
    let first = |shares: &[hoard::Share]| {
        let only = shares.first().filter(|share| share.chance > 0.999);
        only.map(|share| share.name.clone())
    };
    let names = [first(&piece.denominations), first(&piece.rulers)];
    let names: Vec<String> = names.into_iter().flatten().collect();
    match (names.is_empty(), piece.told) {
        (false, _) => format!("{}, as told", names.join(" of ")),
        (true, true) => format!("{}, years as told", piece.kind.word()),
        (true, false) => format!("{}, nothing known of its date", piece.kind.word()),
    }
}
