//! Text in columns: lines broken at blanks, cells side by side.
//!
//! Knows nothing of coins. Counts characters, of which each takes one cell of a terminal.
//!
//! Invariant: no line is wider than it was asked to be, and no character is lost but the blank at
//! which a line is broken.

pub(in super::super) use crate::drawn::wrap;

/// Cells of a line of the terminal.
pub(in super::super) const WIDTH: usize = 80;
/// Blanks before everything under a heading.
pub(super) const INDENT: usize = 2;
/// Cells of the names of rows.
pub(super) const LABEL: usize = 15;
/// Blanks between columns.
const GAP: usize = 2;

/// Cells of each of so many columns beside the names of the rows.
pub(super) fn column(columns: usize) -> usize {
    let left = WIDTH - INDENT - LABEL;
    (left - GAP * columns.saturating_sub(1)) / columns.max(1)
}

/// A named row over the whole width.
pub(super) fn across(label: &str, text: &str) -> Vec<String> {
    let lines = wrap(text, WIDTH - INDENT - LABEL).into_iter();
    lines
        .enumerate()
        .map(|(at, line)| labelled(if at == 0 { label } else { "" }, &line))
        .collect()
}

/// A named row of cells, each a list of paragraphs.
pub(super) fn beside(label: &str, cells: &[Vec<String>]) -> Vec<String> {
    let width = column(cells.len());
    let broken: Vec<Vec<String>> = cells
        .iter()
        .map(|cell| cell.iter().flat_map(|text| wrap(text, width)).collect())
        .collect();
    let deep = broken.iter().map(Vec::len).max().unwrap_or(0);
    let line = |at: usize| {
        let part = |cell: &Vec<String>| {
            let text = cell.get(at).map_or("", String::as_str);
            format!("{text:<width$}")
        };
        let parts: Vec<String> = broken.iter().map(part).collect();
        labelled(
            if at == 0 { label } else { "" },
            parts.join(&" ".repeat(GAP)).trim_end(),
        )
    };
    (0..deep).map(line).collect()
}

fn labelled(label: &str, text: &str) -> String {
    let line = format!("{:INDENT$}{label:<LABEL$}{text}", "");
    line.trim_end().to_string()
}

/// Lines that begin with a sign and hang under what follows it.
pub(in super::super) fn hanging(sign: &str, text: &str, indent: usize) -> Vec<String> {
    let under = indent + sign.chars().count() + 1;
    let lines = wrap(text, WIDTH - under).into_iter().enumerate();
    lines
        .map(|(at, line)| match at {
            0 => format!("{:indent$}{sign} {line}", ""),
            _ => format!("{:under$}{line}", ""),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_row_is_wider_than_the_screen() {
        let long = "ABSTAIN FROM ALL INTOXICATINGLIQVORSEXCEPTFORMEDICAL PVRPOSES ".repeat(4);
        for columns in 1..=3 {
            let cells = vec![vec![long.clone(), "x".repeat(200)]; columns];
            let lines = beside("obverse legend", &cells);
            assert!(lines.iter().all(|line| line.chars().count() <= WIDTH));
            let letters = |text: &str| text.chars().filter(|c| *c == 'x').count();
            let shown: usize = lines.iter().map(|line| letters(line)).sum();
            assert_eq!(shown, 200 * columns);
        }
        assert!(
            across("label", &long)
                .iter()
                .all(|l| l.chars().count() <= WIDTH)
        );
        assert!(
            hanging("-", &long, 2)
                .iter()
                .all(|l| l.chars().count() <= WIDTH)
        );
    }
}
