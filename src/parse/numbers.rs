//! Figures among words: which are weights, sizes, a die axis or a date.
//!
//! A figure counts only by its unit or by the word beside it ("axis", "dated",
//! "thick"); a bare number is left for others. The figures themselves are read
//! by `units`.
//!
//! Invariant: the stretches found do not overlap.

use std::ops::Range;

use super::units::{self, ABOUT, Quantity};
use crate::find::Year;

/// Years that, standing bare among words, are taken for a date on the piece.
pub(super) const DATED_COINS: std::ops::RangeInclusive<i32> = 1550..=1971;

/// What a figure is.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Figure {
    /// A weight.
    Weight(Quantity),
    /// A diameter.
    Diameter(Quantity),
    /// A thickness.
    Thickness(Quantity),
    /// A die axis in hours, possible or not.
    Axis(f64),
    /// A date on the piece; true when it had to be guessed that it stands there.
    Date(Year, bool),
}

const WEIGHT: [&str; 6] = ["weight", "weighs", "weighing", "weighed", "weigh", "wt"];
const ACROSS: [&str; 11] = [
    "diameter",
    "diam",
    "dia",
    "size",
    "across",
    "wide",
    "width",
    "measures",
    "measuring",
    "long",
    "length",
];
const THICK: [&str; 2] = ["thickness", "thick"];
const DATED: [&str; 3] = ["dated", "date", "year"];
const NOT_ON_PIECE: [&str; 9] = [
    "found", "in", "since", "until", "after", "before", "from", "to", "lost",
];

/// Every figure in the stretch that means something here.
pub(super) fn figures(text: &str, within: Range<usize>) -> Vec<(Range<usize>, Figure)> {
    let text = &text[..within.end];
    let mut found: Vec<(Range<usize>, Figure)> = Vec::new();
    let mut previous = None;
    let mut done = within.start;
    for (far, c) in text[within.start..].char_indices() {
        let at = within.start + far;
        let before = previous.replace(c);
        if at < done || !starts_number(text, at, c, before) {
            continue;
        }
        let first = start_of(text, done, at);
        let Some((range, figure)) = figure_at(text, first, at, done) else {
            continue;
        };
        done = range.end;
        found.push((range, figure));
    }
    found
}

fn starts_number(text: &str, at: usize, c: char, before: Option<char>) -> bool {
    let digit =
        c.is_ascii_digit() || matches!(c, '½' | '¼' | '¾' | '⅓' | '⅔' | '⅛' | '⅜' | '⅝' | '⅞');
    let point = c == '.' && text[at + 1..].starts_with(|next: char| next.is_ascii_digit());
    let free = before.is_none_or(|b| b.is_whitespace() || "(~≈<>±:=-−/\u{2013}".contains(b));
    let rough = before == Some('.') && (text[..at].ends_with("c.") || text[..at].ends_with("ca."));
    // The second year of "1550-1600" is no date by itself.
    let dashed = text[..at]
        .strip_suffix(['-', '\u{2013}', '/'])
        .unwrap_or_default();
    let second = dashed.ends_with(|b: char| b.is_ascii_digit());
    !second && ((digit && (free || rough)) || (point && free))
}

/// Where the quantity starts when "about", "c." or a minus stands before the figure.
fn start_of(text: &str, least: usize, at: usize) -> usize {
    let mut start = at;
    let before = &text[least..at];
    if let Some(rest) = before.strip_suffix(['-', '−'])
        && (rest.is_empty() || rest.ends_with(|c: char| c.is_whitespace() || c == '(' || c == ':'))
    {
        start = least + rest.len();
    }
    let before = text[least..start].trim_end();
    if let Some(rest) = before.strip_suffix(['~', '≈', '<', '>', '±']) {
        return least + rest.len();
    }
    let word = last_word(before.trim_end_matches('.'));
    if ABOUT.contains(&word.to_lowercase().as_str()) {
        return least + before.trim_end_matches('.').len() - word.len();
    }
    start
}

/// The run of letters at the end of a text.
fn last_word(text: &str) -> &str {
    let start = text
        .char_indices()
        .rev()
        .take_while(|(_, c)| c.is_alphabetic())
        .last();
    start.map_or("", |(at, _)| &text[at..])
}

fn first_word(text: &str) -> &str {
    let text = text.trim_start();
    &text[..text
        .find(|c: char| !c.is_alphabetic())
        .unwrap_or(text.len())]
}

/// The word before a figure that says what it is, with where the phrase begins.
fn label(text: &str, least: usize, first: usize) -> (String, usize) {
    let mut before =
        text[least..first].trim_end_matches(|c: char| c.is_whitespace() || ":=.(".contains(c));
    for small in ["is", "of", "at", "in"] {
        if last_word(before).eq_ignore_ascii_case(small) {
            before = before[..before.len() - small.len()].trim_end();
        }
    }
    let word = last_word(before);
    let mut start = least + before.len() - word.len();
    let word = word.to_lowercase();
    let rest = text[least..start].trim_end_matches(|c: char| c.is_whitespace() || c == '-');
    if word == "axis" && last_word(rest).eq_ignore_ascii_case("die") {
        start = least + rest.len() - 3;
    }
    (word, start)
}

fn figure_at(text: &str, first: usize, at: usize, least: usize) -> Option<(Range<usize>, Figure)> {
    let (label, label_start) = label(text, least, first);
    let has = |words: &[&str]| words.contains(&label.as_str());
    let labelled_axis = matches!(label.as_str(), "axis" | "die");
    if let Some((hour, end)) = axis(text, at, labelled_axis) {
        let start = if labelled_axis { label_start } else { first };
        return Some((start..end, Figure::Axis(hour)));
    }
    let quantity = units::quantity(text, first)?;
    let after = first_word(&text[quantity.end..]).to_lowercase();
    let follows = |words: &[&str]| words.contains(&after.as_str());
    let thick = has(&THICK) || follows(&THICK);
    let across = has(&ACROSS) || follows(&ACROSS);
    let weighs = has(&WEIGHT) || follows(&["weight", "heavy"]);
    let known = has(&THICK) || has(&ACROSS) || has(&WEIGHT);
    let start = if known { label_start } else { first };
    let mut end = quantity.end;
    if follows(&THICK) || follows(&ACROSS) || follows(&["weight", "heavy"]) {
        end += text[end..].find(|c: char| c.is_alphabetic()).unwrap_or(0) + after.len();
    }
    let figure = match quantity.unit {
        Some(unit) if unit.weighs() => Figure::Weight(quantity),
        Some(_) if thick => Figure::Thickness(quantity),
        Some(_) => Figure::Diameter(quantity),
        None if has(&DATED) => {
            let year = year(text, at, &quantity).filter(|year| (1..=2100).contains(year))?;
            return Some((label_start..quantity.end, Figure::Date(year, false)));
        }
        None if thick => Figure::Thickness(quantity),
        None if across => Figure::Diameter(quantity),
        None if weighs => Figure::Weight(quantity),
        None => {
            return bare_year(text, at, &quantity, &label).map(|date| (first..quantity.end, date));
        }
    };
    Some((start..end, figure))
}

/// A whole number that could be a year.
fn year(text: &str, at: usize, quantity: &Quantity) -> Option<Year> {
    let written = &text[at..quantity.end];
    let whole =
        quantity.second.is_none() && !quantity.about && written.chars().all(|c| c.is_ascii_digit());
    (whole && written.len() <= 4)
        .then(|| written.parse().ok())
        .flatten()
}

fn bare_year(text: &str, at: usize, quantity: &Quantity, label: &str) -> Option<Figure> {
    let year = year(text, at, quantity).filter(|year| (1000..=2100).contains(year))?;
    let after = text[quantity.end..].trim_start().to_lowercase();
    let on_piece = [
        "on it",
        "on coin",
        "on the coin",
        "on piece",
        "on the piece",
    ];
    if on_piece.iter().any(|phrase| after.starts_with(phrase)) {
        return Some(Figure::Date(year, false));
    }
    let just_before = last_word(text[..at].trim_end()).to_lowercase();
    let elsewhere = |word: &str| NOT_ON_PIECE.contains(&word);
    (DATED_COINS.contains(&year) && !elsewhere(label) && !elsewhere(&just_before))
        .then_some(Figure::Date(year, true))
}

/// A die axis: "6h", "6 o'clock", "180 degrees", or after the word "axis" any figure.
pub(super) fn axis(text: &str, at: usize, labelled: bool) -> Option<(f64, usize)> {
    let digits = text[at..]
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(text.len() - at);
    let written = text[at..at + digits].trim_end_matches('.');
    let number: f64 = written.parse().ok()?;
    let end = at + written.len();
    let rest = &text[end..];
    let suffix = rest.trim_start();
    let gap = rest.len() - suffix.len();
    for (mark, degrees) in [
        ("o'clock", false),
        ("o’clock", false),
        ("oclock", false),
        ("o clock", false),
        ("hours", false),
        ("hrs", false),
        ("hr", false),
        ("h", false),
        ("H", false),
        ("degrees", true),
        ("deg", true),
        ("°", true),
    ] {
        let clings = suffix
            .strip_prefix(mark)
            .is_some_and(|tail| !tail.starts_with(char::is_alphanumeric));
        if clings && (!degrees || labelled) {
            let hour = if degrees {
                (number / 30.0).round().rem_euclid(12.0)
            } else {
                number
            };
            let hour = if degrees && hour == 0.0 { 12.0 } else { hour };
            return Some((hour, end + gap + mark.len()));
        }
    }
    let ends = !rest.starts_with(|c: char| c.is_alphanumeric());
    (labelled && ends && units::quantity(text, at).is_none_or(|quantity| quantity.unit.is_none()))
        .then_some((number, end))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> Vec<(String, String)> {
        let shown = |figure: Figure| match figure {
            Figure::Weight(q) => format!("weight {} {}", q.first, q.about),
            Figure::Diameter(q) => format!("diameter {} {}", q.first, q.about),
            Figure::Thickness(q) => format!("thickness {}", q.first),
            Figure::Axis(hour) => format!("axis {hour}"),
            Figure::Date(year, guessed) => format!("date {year} {guessed}"),
        };
        figures(text, 0..text.len())
            .into_iter()
            .map(|(range, figure)| (text[range].to_string(), shown(figure)))
            .collect()
    }

    fn one(text: &str) -> (String, String) {
        let mut all = told(text);
        assert_eq!(all.len(), 1, "{text}: {all:?}");
        all.remove(0)
    }

    #[test]
    fn units_and_labels_say_what_a_figure_is() {
        for (text, said, what) in [
            ("silver 1.2g worn", "1.2g", "weight 1.2 false"),
            ("weighs 1.2", "weighs 1.2", "weight 1.2 false"),
            (
                "about 17 mm across",
                "about 17 mm across",
                "diameter 17 true",
            ),
            ("bust c.17mm", "c.17mm", "diameter 17 true"),
            ("2 mm thick", "2 mm thick", "thickness 2"),
            ("thickness: 2mm", "thickness: 2mm", "thickness 2"),
            ("diameter 17", "diameter 17", "diameter 17 false"),
            ("weight -3 g", "weight -3 g", "weight -3 false"),
            ("die axis 6", "die axis 6", "axis 6"),
            ("die-axis: 12 o'clock", "die-axis: 12 o'clock", "axis 12"),
            ("axis 180 degrees", "axis 180 degrees", "axis 6"),
            ("a penny 6h", "6h", "axis 6"),
            ("dated 1696", "dated 1696", "date 1696 false"),
            ("1696 on it", "1696", "date 1696 false"),
            ("penny 1696", "1696", "date 1696 true"),
        ] {
            assert_eq!(one(text), (said.to_string(), what.to_string()), "{text}");
        }
    }

    #[test]
    fn bare_numbers_are_left_alone() {
        for text in [
            "3 pellets",
            "1d",
            "1e9",
            "1550-1600",
            "c. 1650",
            "found in 1969",
            "1066",
            "3 in a row",
            "[c.7]",
        ] {
            assert_eq!(told(text), [], "{text}");
        }
    }
}
