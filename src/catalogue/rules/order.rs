//! Rule `order`: tables stand in order and lines are clean.
//!
//! Demands that the tables of a file stand in alphabetical order of id, and those of
//! a series by first year (its own or the shared one) and then id, under `[shared]`;
//! that lines end in LF, without tabs, trailing blanks or a byte-order mark; that the
//! file ends with a newline; and that a series file has at most 600 lines.
//!
//! Why: a row then has one place, so two people adding the same one meet in a merge,
//! a change shows as the lines it changed, and a series can be read at a sitting.
//!
//! To mend: run `lynchet catalogue tidy`; split a series that grew too long.

use std::cmp::Ordering;

use super::super::fault::Fault;
use super::Library;

/// Longest series file, in lines.
const LONGEST_SERIES: usize = 600;

const TIDY: &str = "run `lynchet catalogue tidy`";

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (file, text) in library.files {
        lines(file, text, &mut faults);
    }
    let series = |file: &str| {
        let folders = ["coins/", "attic/", "artefacts/"];
        folders.iter().any(|folder| file.starts_with(folder))
    };
    for (file, text) in library.files.iter().filter(|(file, _)| !series(file)) {
        tables(
            file,
            text,
            |a, b| a.cmp(b),
            "alphabetical order",
            &mut faults,
        );
    }
    for series in library.raw.series.iter().chain(&library.raw.attic) {
        if let Some(text) = library.files.get(&series.file) {
            let shared = series.shared.span;
            let span = |id: &str| series.types.get(id).and_then(|coin| coin.span).or(shared);
            one_series(&series.file, text, span, &mut faults);
        }
    }
    for series in &library.things.series {
        if let Some(text) = library.files.get(&series.file) {
            let span = |id: &str| series.types.get(id).and_then(|piece| piece.span);
            one_series(&series.file, text, span, &mut faults);
        }
    }
    faults
}

fn one_series(
    file: &str,
    text: &str,
    span: impl Fn(&str) -> Option<[i32; 2]>,
    faults: &mut Vec<Fault>,
) {
    let place = |id: &str| (id != "shared", span(id).map(|span| span[0]));
    let compare = |a: &str, b: &str| place(a).cmp(&place(b)).then_with(|| a.cmp(b));
    tables(file, text, compare, "order of first year and id", faults);
    let count = text.lines().count();
    if count > LONGEST_SERIES {
        let what = format!("the series is {count} lines long, more than {LONGEST_SERIES}");
        let mend = "split it into two series";
        faults.push(Fault::at("order", file, "", "", what, mend));
    }
}

/// Reports each table that stands after one it should precede.
fn tables(
    file: &str,
    text: &str,
    compare: impl Fn(&str, &str) -> Ordering,
    order: &str,
    faults: &mut Vec<Fault>,
) {
    let mut before: Option<&str> = None;
    for (line, id) in headings(text) {
        if let Some(above) = before.filter(|above| compare(above, id).is_gt()) {
            let what = format!("the table stands after `{above}`, against the {order}");
            faults.push(on_line(file, line, id, what, TIDY));
        }
        before = Some(id);
    }
}

/// Line and id of every top-level table. Read off the lines, since a parsed table
/// keeps no order; a heading within a text of several lines would be taken for one.
fn headings(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.lines().enumerate().filter_map(|(number, line)| {
        let name = line.strip_prefix('[')?.split_once(']')?.0;
        let own = !name.starts_with('[') && !name.contains(['.', ',', '"', '\'']);
        own.then(|| (number + 1, name.trim()))
    })
}

/// Faults of single lines: the first of each sort, with how many there are.
fn lines(file: &str, text: &str, faults: &mut Vec<Fault>) {
    type Sort = (&'static str, fn(&str) -> bool);
    let sorts: [Sort; 3] = [
        ("a carriage return ends the line", |line| {
            line.ends_with('\r')
        }),
        ("the line holds a tab", |line| line.contains('\t')),
        ("blanks end the line", |line| {
            line.trim_end_matches('\r').ends_with(' ')
        }),
    ];
    for (what, is_bad) in sorts {
        let mut bad = text
            .split('\n')
            .enumerate()
            .filter(|(_, line)| is_bad(line));
        if let Some((number, _)) = bad.next() {
            let what = match bad.count() {
                0 => what.to_string(),
                more => format!("{what}, as on {} lines in all", more + 1),
            };
            faults.push(on_line(file, number + 1, "", what, TIDY));
        }
    }
    if text.starts_with('\u{feff}') {
        let what = "the file begins with a byte-order mark";
        faults.push(on_line(file, 1, "", what, "save it as UTF-8 without one"));
    }
    if !text.ends_with('\n') {
        let last = text.lines().count().max(1);
        faults.push(on_line(
            file,
            last,
            "",
            "the last line has no line end",
            TIDY,
        ));
    }
}

fn on_line(file: &str, line: usize, id: &str, what: impl Into<String>, mend: &str) -> Fault {
    let mut fault = Fault::at("order", file, id, "", what, mend);
    fault.line = line;
    fault
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_top_level_headings_count() {
        let text = "[a] # x\nb = [\n  [1, 2],\n]\n[[a.standards]]\n[a.b]\n[c]\n";
        let found: Vec<_> = headings(text).collect();
        assert_eq!(found, [(1, "a"), (7, "c")]);
    }

    #[test]
    fn a_series_of_601_lines_is_too_long() {
        let told = |count: usize| {
            let mut faults = Vec::new();
            one_series(
                "coins/x/y.toml",
                &"#\n".repeat(count),
                |_| None,
                &mut faults,
            );
            faults
        };
        assert!(told(600).is_empty());
        assert_eq!(
            told(601)[0].what,
            "the series is 601 lines long, more than 600"
        );
    }
}
