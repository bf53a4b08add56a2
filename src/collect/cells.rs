//! Cells of tables that spreadsheets will open: none may begin as a formula.
//!
//! Changes a cell that would be taken for a formula, and changes it back when it is read again.
//!
//! Invariant: a cell written and read again is the same text.

use std::borrow::Cow;

/// Signs with which a spreadsheet begins to reckon.
const FORMULA: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

fn begins_as_formula(text: &str) -> bool {
    let bare = text.trim_start_matches('\'');
    let signed = bare.starts_with(FORMULA);
    // A plain number is a number, also below nought: a year BC, an easting.
    let number = text.len() == bare.len() && {
        let figures = bare.strip_prefix('-').unwrap_or(bare);
        !figures.is_empty() && figures.bytes().all(|b| b.is_ascii_digit() || b == b'.')
    };
    signed && !number
}

/// A cell as it is written: with an apostrophe before it where it would be a formula.
pub fn cell_to_write(text: &str) -> Cow<'_, str> {
    match begins_as_formula(text) {
        true => Cow::Owned(format!("'{text}")),
        false => Cow::Borrowed(text),
    }
}

/// A cell as it was meant: without the apostrophe that [`cell_to_write`] put there.
pub fn cell_as_read(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if begins_as_formula(rest) => rest,
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_are_written_as_text_and_read_as_they_were() {
        for (text, written) in [
            ("=1+1", "'=1+1"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("+44", "'+44"),
            ("-44", "-44"),
            ("-1.5", "-1.5"),
            ("-cmd|' /C calc'!A0", "'-cmd|' /C calc'!A0"),
            ("\t=1", "'\t=1"),
            ("'=1", "''=1"),
            ("'quoted'", "'quoted'"),
            ("plain", "plain"),
            ("", ""),
        ] {
            assert_eq!(cell_to_write(text), written);
            assert_eq!(cell_as_read(written), text);
        }
    }
}
