//! Sizes and weights of a thing among words: "45 x 20 x 3 mm", "an inch and a half long", "the size
//! of a 10p".
//!
//! Takes what it understands out of the text and leaves the rest; judges nothing.
//!
//! Invariant: what is given is possible, and every stretch taken is given or remarked upon.

use std::ops::Range;

use super::everyday::{AFTER_COMPARED, BEFORE_COMPARED, COMPARED, DIRECTIONS};
use crate::find::{Dimension, Grams, Measured, Millimetres, SizeSaid};
use crate::parse::remark::{Remark, RemarkKind};
use crate::parse::stem;
use crate::parse::units::{self, Join, Quantity, Unit};

/// Most sizes that are kept of one text.
const MOST: usize = 12;

/// What was taken out of a text.
#[derive(Default)]
pub(super) struct Taken {
    pub sizes: Vec<SizeSaid>,
    pub weight: Option<Measured<Grams>>,
    pub places: Vec<Range<usize>>,
    pub remarks: Vec<Remark>,
}

/// Every size and weight of a text.
pub(super) fn sizes(text: &str) -> Taken {
    let mut taken = Taken::default();
    compared(text, &mut taken);
    let mut at = 0;
    let mut before = None;
    while let Some(c) = text[at..].chars().next() {
        let free = !before.is_some_and(char::is_alphanumeric);
        let starts = c.is_ascii_digit() || "½¼¾⅓⅔⅛⅜⅝⅞".contains(c);
        let held = taken.places.iter().any(|place| place.contains(&at));
        let end = if free && starts && !held {
            figures(text, at, &mut taken)
        } else {
            None
        };
        before = Some(c);
        at = end.filter(|end| *end > at).unwrap_or(at + c.len_utf8());
    }
    taken
}

/// Figures that start here and hang together; gives where they end.
fn figures(text: &str, at: usize, taken: &mut Taken) -> Option<usize> {
    let mut all = vec![units::quantity(text, at)?];
    while let Some(next) = all
        .last()
        .and_then(|last: &Quantity| joined(text, last.end))
        .filter(|_| all.len() < 4)
    {
        all.push(next);
    }
    let end = all.last().map_or(at, |last| last.end);
    let unit = all.iter().rev().find_map(|one| one.unit);
    if unit.is_some_and(Unit::weighs) {
        weight(&all[0], &text[at..end], taken);
        taken.places.push(at..end);
        return Some(end);
    }
    let (direction, last) = direction(text, at, end);
    let several = all.len() > 1 || times(text, at, all[0].end);
    if unit.is_none() && direction.is_none() && !several {
        return None;
    }
    let said = text[at..end].to_string();
    let mut values = values(text, at, &all, unit);
    values.truncate(3);
    // Of three figures the least is how thick it is, whichever way they were written.
    let least = values
        .iter()
        .copied()
        .map(|one| one.0)
        .fold(f64::INFINITY, f64::min);
    let three = values.len() == 3;
    for (value, error) in values {
        let dimension = match three && value == least {
            true => Some(Dimension::Thickness),
            false => direction.filter(|_| !three),
        };
        size(value, error, dimension, &said, taken);
    }
    taken.places.push(at..end.max(last));
    Some(end.max(last))
}

/// The figure after "x" or "by".
fn joined(text: &str, end: usize) -> Option<Quantity> {
    let rest = &text[end..];
    let gap = rest.len() - rest.trim_start().len();
    let rest = rest.trim_start();
    let marks = ["x", "X", "×", "*", "by"];
    let mark = marks.iter().find(|mark| rest.starts_with(**mark))?;
    let after = &rest[mark.len()..];
    let more = after.len() - after.trim_start().len();
    units::quantity(text, end + gap + mark.len() + more)
}

/// True where the two figures of a quantity stand for two directions.
fn times(text: &str, at: usize, end: usize) -> bool {
    let said = text[at..end].to_lowercase();
    said.contains('x') || said.contains('×') || said.contains('*') || said.contains("by")
}

/// Values with their errors, millimetres.
fn values(text: &str, at: usize, all: &[Quantity], unit: Option<Unit>) -> Vec<(f64, f64)> {
    let mut values = Vec::new();
    let mut from = at;
    for one in all {
        let scale = one.unit.or(unit).map_or(1.0, Unit::size);
        let step = (0.5 * one.step * scale).max(0.05);
        let rough = |value: f64| if one.about { value * 0.1 } else { 0.0 };
        let first = one.first * scale;
        match one.second {
            Some((second, Join::Both)) if times(text, from, one.end) => {
                let second = second * scale;
                values.push((first, step.max(rough(first))));
                values.push((second, step.max(rough(second))));
            }
            Some((second, Join::Both)) => {
                let second = second * scale;
                let middle = (first + second) / 2.0;
                values.push((middle, (first - second).abs() / 2.0 + step));
            }
            Some((error, Join::Within)) => values.push((first, error.abs() * scale)),
            None => values.push((first, step.max(rough(first)))),
        }
        from = one.end;
    }
    values
}

fn size(value: f64, error: f64, dimension: Option<Dimension>, said: &str, taken: &mut Taken) {
    match Millimetres::new(value) {
        Ok(size) if taken.sizes.len() < MOST => taken.sizes.push(SizeSaid {
            dimension,
            size: Measured { value: size, error },
            said: said.to_string(),
        }),
        Ok(_) => taken.remarks.push(Remark::new(
            RemarkKind::Ignored,
            "size",
            said,
            "is one size too many",
            "give length, width and thickness",
        )),
        Err(why) => taken.remarks.push(Remark::new(
            RemarkKind::Impossible,
            "size",
            said,
            format!("is not possible: {}", why.wanted),
            "write it as 45 mm",
        )),
    }
}

fn weight(quantity: &Quantity, said: &str, taken: &mut Taken) {
    let (weight, remarks) = crate::parse::measures::weight(quantity, said);
    // What is odd for a coin is not odd for a thing.
    let kept = remarks
        .into_iter()
        .filter(|one| !one.what.contains("for a coin"));
    taken.remarks.extend(kept);
    taken.weight = taken.weight.or(weight);
}

/// The direction said beside figures, and where what was said of it ends.
fn direction(text: &str, start: usize, end: usize) -> (Option<Dimension>, usize) {
    let of = |word: &str| {
        DIRECTIONS
            .iter()
            .find(|(name, _)| *name == word)
            .map(|(_, d)| *d)
    };
    let clause = text[end..]
        .find([',', ';', '\n'])
        .map_or(text.len(), |at| end + at);
    let after = stem::spans(&text[end..clause]);
    for span in after.iter().take(3) {
        let word = text[end + span.start..end + span.end].to_lowercase();
        match (of(&word), word.as_str()) {
            (Some(direction), _) => return (Some(direction), end + span.end),
            (None, "in" | "mm" | "the" | "at" | "about" | "so" | "or") => {}
            _ => break,
        }
    }
    let clause = text[..start].rfind([',', ';', '\n']).map_or(0, |at| at + 1);
    let before = stem::spans(&text[clause..start]);
    for span in before.iter().rev().take(3) {
        let word = text[clause + span.start..clause + span.end].to_lowercase();
        match (of(&word), word.as_str()) {
            (Some(direction), _) => return (Some(direction), end),
            (None, "of" | "is" | "about" | "c" | "approx" | "around" | "roughly") => {}
            _ => break,
        }
    }
    (None, end)
}

/// Sizes by comparison.
fn compared(text: &str, taken: &mut Taken) {
    let lower = text.to_lowercase();
    if lower.len() != text.len() {
        return;
    }
    // The longest name first, so that "golf ball" is not heard as another thing.
    let mut names: Vec<_> = COMPARED.iter().collect();
    names.sort_by_key(|one| std::cmp::Reverse(one.0.len()));
    for (name, least, most, dimension) in names {
        for (at, _) in lower.match_indices(name) {
            let end = at + name.len();
            let edge = |c: Option<char>| !c.is_some_and(char::is_alphanumeric);
            let clear = edge(lower[..at].chars().next_back()) && edge(lower[end..].chars().next());
            let before = BEFORE_COMPARED
                .iter()
                .find(|one| lower[..at].ends_with(**one));
            let after = AFTER_COMPARED
                .iter()
                .find(|one| lower[end..].starts_with(**one));
            let held = taken.places.iter().any(|place| place.contains(&at));
            if !clear || held || (before.is_none() && after.is_none()) {
                continue;
            }
            let place =
                at - before.map_or(0, |one| one.len())..end + after.map_or(0, |one| one.len());
            let middle = (least + most) / 2.0;
            let said = text[place.clone()].to_string();
            size(middle, (most - least) / 2.0, *dimension, &said, taken);
            taken.remarks.push(Remark::new(
                RemarkKind::Assumed,
                "size",
                &said,
                format!("is taken as {least} to {most} mm"),
                "measure it with a ruler",
            ));
            taken.places.push(place);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Vec<(Option<Dimension>, f64)> {
        let taken = sizes(text);
        taken
            .sizes
            .iter()
            .map(|one| (one.dimension, (one.size.value.get() * 1e6).round() / 1e6))
            .collect()
    }

    #[test]
    fn sizes_are_read_with_their_directions() {
        use Dimension::*;
        assert_eq!(read("40 mm"), [(None, 40.0)]);
        assert_eq!(
            read("40mm long, 12 mm wide"),
            [(Some(Length), 40.0), (Some(Width), 12.0)]
        );
        assert_eq!(read("diameter 22.5"), [(Some(Diameter), 22.5)]);
        assert_eq!(
            read("45 x 20 x 3 mm"),
            [(None, 45.0), (None, 20.0), (Some(Thickness), 3.0)]
        );
        assert_eq!(read("17-19 mm across"), [(Some(Diameter), 18.0)]);
        assert_eq!(read("1 1/2 inches long"), [(Some(Length), 38.1)]);
        assert_eq!(read("2 cm x 1 cm"), [(None, 20.0), (None, 10.0)]);
        assert_eq!(read("thumbnail sized"), [(None, 16.5)]);
        assert_eq!(read("the size of a 10p"), [(Some(Diameter), 24.5)]);
        assert_eq!(read("6 holes"), []);
    }

    #[test]
    fn what_cannot_be_is_remarked_upon() {
        let taken = sizes("9000 mm long, 0 mm wide, 12 g");
        assert!(taken.sizes.is_empty());
        assert_eq!(taken.remarks.len(), 2);
        assert_eq!(taken.weight.map(|one| one.value.get()), Some(12.0));
    }
}
