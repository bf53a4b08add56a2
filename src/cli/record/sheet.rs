//! Drafts as a table: RFC 4180, one row a find.
//!
//! A cell that a spreadsheet would take for a formula gets an apostrophe before it; numbers stay
//! numbers.
//!
//! Invariant: every row has the same columns, those of both kinds of thing.

use super::super::error::Trouble;
use crate::record::{Draft, Field, Standing, field_names};

/// Columns that hold a number: the field's name, and what its unit is in the heading.
const NUMBERS: [(&str, &str); 8] = [
    ("weight", "g"),
    ("diameter", "mm"),
    ("thickness", "mm"),
    ("length", "mm"),
    ("width", "mm"),
    ("height", "mm"),
    ("die_axis", "hours"),
    ("depth", "cm"),
];

/// Columns after those of the fields.
const LAST: [&str; 8] = [
    "date_from",
    "date_to",
    "findspot_square_m",
    "ids",
    "sentence",
    "remarks",
    "missing",
    "cautions",
];

/// Drafts as a table.
pub(super) fn csv(drafts: &[Draft]) -> Result<String, Trouble> {
    let names = field_names();
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    let mut heading = vec!["kind".to_string()];
    for name in &names {
        let unit = NUMBERS.iter().find(|(of, _)| of == name);
        heading.push(unit.map_or(name.to_string(), |(_, unit)| format!("{name}_{unit}")));
        heading.push(format!("{name}_standing"));
    }
    heading.extend(LAST.map(String::from));
    writer.write_record(&heading)?;
    for draft in drafts {
        let cells = cells(draft, &names);
        writer.write_record(cells.iter().map(|cell| plain(cell)))?;
    }
    let bytes = writer.into_inner().map_err(|fault| fault.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn cells(draft: &Draft, names: &[&str]) -> Vec<String> {
    let mut cells = vec![draft.kind.word().to_string()];
    for name in names {
        let field = draft.field(name).filter(|field| !field.is_blank());
        cells.push(field.map_or(String::new(), value));
        cells.push(field.map_or(String::new(), standing));
    }
    let year = |year: Option<i32>| year.map_or(String::new(), |year| year.to_string());
    let ids = draft
        .fields
        .iter()
        .flat_map(|field| field.ids.iter().cloned());
    let missing = draft.missing.iter().map(|one| one.text.clone());
    let square = draft.findspot.map(|spot| spot.square.side().metres());
    cells.extend([
        year(draft.years.map(|span| span.from)),
        year(draft.years.map(|span| span.to)),
        square.map_or(String::new(), |metres| metres.to_string()),
        ids.collect::<Vec<_>>().join(" "),
        draft.sentence.clone(),
        draft.notes.join("; "),
        missing.collect::<Vec<_>>().join("; "),
        draft.cautions.join("; "),
    ]);
    cells
}

/// A field's value; of a measure the number alone, since the heading has its unit.
fn value(field: &Field) -> String {
    let numbers = NUMBERS.iter().any(|(name, _)| *name == field.name);
    let number = field.quantity.filter(|_| numbers);
    match number {
        Some(_) => field
            .value
            .split(' ')
            .next()
            .unwrap_or_default()
            .to_string(),
        None => field.value.clone(),
    }
}

/// What it rests on, with the error where the value has one to show.
fn standing(field: &Field) -> String {
    let text = field.standing.text();
    let error = field
        .value
        .split_once("(\u{b1}")
        .filter(|_| field.quantity.is_some());
    match (error, &field.standing) {
        (Some((_, error)), Standing::Measured) => {
            format!("{text} \u{b1}{}", error.trim_end_matches(')'))
        }
        _ => text,
    }
}

/// A cell that no spreadsheet takes for a formula.
fn plain(cell: &str) -> String {
    let begins = cell.trim_start_matches([' ', '\u{a0}']).chars().next();
    let risky = begins.is_some_and(|c| "=+-@\t\r\n\u{ff1d}\u{ff0b}\u{ff0d}\u{ff20}".contains(c));
    let number = cell.parse::<f64>().is_ok_and(f64::is_finite);
    match risky && !number {
        true => format!("'{cell}"),
        false => cell.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::plain;

    #[test]
    fn formulas_are_text_and_numbers_numbers() {
        for (cell, safe) in [
            ("=1+1", "'=1+1"),
            ("+EDW R", "'+EDW R"),
            ("-cmd", "'-cmd"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("\t=1", "'\t=1"),
            (" =1", "' =1"),
            ("-3.5", "-3.5"),
            ("-20", "-20"),
            ("1.21", "1.21"),
            ("a=b", "a=b"),
            ("", ""),
        ] {
            assert_eq!(plain(cell), safe);
        }
    }
}
