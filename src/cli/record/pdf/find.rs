//! One find on its pages: heading, description, plate, fields with what they rest on, lists.
//!
//! Takes the draft as it is to be shown, as the other forms do; leaves out nothing that is filled.
//!
//! Invariant: a find begins on a page of its own, and a row is not broken unless it is longer
//! than a page.

use super::flow::{BODY, Flow, Part, SIDE, Set, Tone, line_at};
use super::plate::Plates;
use super::{flow, plate};
use crate::record::{Draft, Field};

/// Columns of the table: left edge within the body and width, mm.
const COLUMNS: [(f64, f64); 3] = [(0.0, 38.0), (40.0, 78.0), (121.0, BODY - 121.0)];
/// Most lines of a row that is kept on one page.
const LINES_KEPT: usize = 40;

/// Ink across the body.
pub(super) fn set(size: f64) -> Set {
    Set {
        left: SIDE,
        width: BODY,
        size,
        tone: Tone::Ink,
        strong: false,
    }
}

fn quiet(size: f64) -> Set {
    Set {
        tone: Tone::Quiet,
        ..set(size)
    }
}

/// Lays a find.
pub(super) fn lay(
    draft: &Draft,
    at: usize,
    about: &str,
    plates: Option<&Plates>,
    flow: &mut Flow<'_>,
) {
    flow.turn();
    flow.lacking = false;
    let title = Set {
        strong: true,
        ..set(16.0)
    };
    flow.block(Part::Title, &draft.title(), title);
    flow.down += 1.5;
    let (lead, line) = (flow.fresh(), flow.fresh());
    flow.block(Part::Paragraph(lead), &draft.sentence, set(11.0));
    flow.down += 1.2;
    flow.block(Part::Paragraph(line), about, quiet(8.5));
    flow.down += 2.0;
    if let Some(plates) = plates {
        plate::put(plates, flow);
    }
    fields(draft, at, flow);
    list("Remarks", draft.notes.iter().map(String::as_str), flow);
    let missing = draft.missing.iter().map(|one| one.text.as_str());
    list("Still missing, the most useful first", missing, flow);
    list("Take care", draft.cautions.iter().map(String::as_str), flow);
    let mut end = String::from(
        "A draft for the recording officer. What is inferred is a chance and not a fact.",
    );
    if flow.lacking {
        end.push_str(
            " Letters that this page cannot draw stand as their numbers, such as (U+6F22); the \
             plain text has them.",
        );
    }
    flow.down += 3.0;
    let last = flow.fresh();
    flow.block(Part::Paragraph(last), &end, quiet(8.5));
}

fn heading(text: &str, flow: &mut Flow<'_>) {
    let strong = Set {
        strong: true,
        ..set(11.0)
    };
    flow.down += 3.5;
    // Not alone at the foot of a page.
    flow.needs(strong.step() + 12.0);
    flow.block(Part::Heading, text, strong);
    flow.down += 0.8;
}

fn fields(draft: &Draft, at: usize, flow: &mut Flow<'_>) {
    heading("Fields", flow);
    rule(flow);
    for (row, field) in draft
        .fields
        .iter()
        .filter(|one| !one.is_blank())
        .enumerate()
    {
        if flow.too_long() {
            return;
        }
        self::row(field, at, row, flow);
    }
}

fn rule(flow: &mut Flow<'_>) {
    let line = flow::Mark::Block {
        at: [SIDE, flow.down],
        size: [BODY, 0.12],
        tone: Tone::Line,
    };
    flow.put(Part::Trim, vec![line]);
    flow.down += 0.9;
}

/// A row: label, value, what it rests on. A long one goes on over the page.
fn row(field: &Field, at: usize, row: usize, flow: &mut Flow<'_>) {
    let standing = field.standing.text();
    let column = |(left, width): (f64, f64), of: Set| Set {
        left: SIDE + left,
        width,
        ..of
    };
    let cells = [
        (field.label, column(COLUMNS[0], quiet(9.0))),
        (field.value.as_str(), column(COLUMNS[1], set(9.5))),
        (standing.as_str(), column(COLUMNS[2], quiet(8.5))),
    ];
    let lines = cells.map(|(text, set)| (flow.lines(text, set), set));
    let step = cells[1].1.step();
    let most = lines
        .iter()
        .map(|(lines, _)| lines.len())
        .max()
        .unwrap_or(1);
    if most <= LINES_KEPT {
        flow.needs(step * most as f64 + 1.5);
    }
    let mut from = 0;
    while from < most && !flow.too_long() {
        flow.needs(step + 1.5);
        let room = ((flow::END - flow.down - 1.5) / step).floor().max(1.0) as usize;
        let to = most.min(from + room);
        for (place, (lines, set)) in lines.iter().enumerate() {
            let here = lines.get(from..to.min(lines.len())).unwrap_or_default();
            if here.is_empty() {
                continue;
            }
            // All three stand on the value's baselines, though their letters differ in size.
            let marks = here.iter().enumerate().map(|(count, line)| {
                let lower = (cells[1].1.size - set.size) * super::letters::POINT;
                line_at(line.clone(), *set, flow.down + step * count as f64 + lower)
            });
            let marks = marks.collect();
            flow.put(Part::Cell(at, row, place), marks);
        }
        flow.down += step * (to - from) as f64;
        from = to;
    }
    flow.down += 0.9;
    rule(flow);
}

fn list<'t>(name: &str, texts: impl Iterator<Item = &'t str>, flow: &mut Flow<'_>) {
    let texts: Vec<&str> = texts.collect();
    if texts.is_empty() {
        return;
    }
    heading(name, flow);
    let of = flow.fresh();
    let body = Set {
        left: SIDE + 4.0,
        width: BODY - 4.0,
        ..set(9.5)
    };
    for (place, text) in texts.iter().enumerate() {
        if flow.too_long() {
            return;
        }
        flow.needs(body.step());
        let dash = line_at("\u{2013}".into(), quiet(9.5), flow.down);
        flow.put(Part::Trim, vec![dash]);
        flow.block(Part::Entry(of, place), text, body);
        flow.down += 0.8;
    }
}
