//! Figures with their units: "1.2 g", "about 17 mm", "17 x 16 mm", "3/4 in".
//!
//! Reads what is written and keeps it as written; `measures` makes grams and
//! millimetres of it. It knows no words but units and "about".
//!
//! Invariant: letters that cling to a figure and are no unit make it no quantity.

/// A unit of weight or length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unit {
    Gram,
    Kilogram,
    Milligram,
    Grain,
    Pennyweight,
    Ounce,
    TroyOunce,
    Pound,
    Millimetre,
    Centimetre,
    Inch,
}

/// How two figures of one quantity hang together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Join {
    /// "17-18", "17 x 16", "17/16": least and greatest.
    Both,
    /// "17 +/- 1": value and error.
    Within,
}

/// A quantity as written.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Quantity {
    /// First figure.
    pub first: f64,
    /// Second figure, if any.
    pub second: Option<(f64, Join)>,
    /// Unit, if one was written.
    pub unit: Option<Unit>,
    /// One step of the last digit written.
    pub step: f64,
    /// True after "about", "c." and the like.
    pub about: bool,
    /// True when a decimal comma was written.
    pub comma: bool,
    /// Byte at which the quantity ends.
    pub end: usize,
}

/// Words that make a figure a rough one.
pub(super) const ABOUT: [&str; 10] = [
    "about",
    "around",
    "approx",
    "approximately",
    "roughly",
    "circa",
    "ca",
    "c",
    "nearly",
    "almost",
];
/// Words that make it a limit, which is no nearer.
const LIMITS: [&str; 2] = ["under", "over"];

const UNITS: [(&str, Unit); 42] = [
    ("g", Unit::Gram),
    ("gm", Unit::Gram),
    ("gms", Unit::Gram),
    ("gram", Unit::Gram),
    ("grams", Unit::Gram),
    ("gramme", Unit::Gram),
    ("grammes", Unit::Gram),
    ("grms", Unit::Gram),
    ("kg", Unit::Kilogram),
    ("kilo", Unit::Kilogram),
    ("kilos", Unit::Kilogram),
    ("mg", Unit::Milligram),
    ("gr", Unit::Grain),
    ("grs", Unit::Grain),
    ("grain", Unit::Grain),
    ("grains", Unit::Grain),
    ("dwt", Unit::Pennyweight),
    ("dwts", Unit::Pennyweight),
    ("pennyweight", Unit::Pennyweight),
    ("pennyweights", Unit::Pennyweight),
    ("oz", Unit::Ounce),
    ("ozs", Unit::Ounce),
    ("ounce", Unit::Ounce),
    ("ounces", Unit::Ounce),
    ("ozt", Unit::TroyOunce),
    ("lb", Unit::Pound),
    ("lbs", Unit::Pound),
    ("mm", Unit::Millimetre),
    ("mms", Unit::Millimetre),
    ("mil", Unit::Millimetre),
    ("mils", Unit::Millimetre),
    ("millimetre", Unit::Millimetre),
    ("millimetres", Unit::Millimetre),
    ("millimeter", Unit::Millimetre),
    ("millimeters", Unit::Millimetre),
    ("cm", Unit::Centimetre),
    ("cms", Unit::Centimetre),
    ("centimetre", Unit::Centimetre),
    ("centimetres", Unit::Centimetre),
    ("in", Unit::Inch),
    ("inch", Unit::Inch),
    ("inches", Unit::Inch),
];

impl Unit {
    /// True for a unit of weight, false for one of length.
    pub fn weighs(self) -> bool {
        !matches!(self, Unit::Millimetre | Unit::Centimetre | Unit::Inch)
    }

    /// Grams or millimetres in one of the unit.
    pub fn size(self) -> f64 {
        match self {
            Unit::Gram | Unit::Millimetre => 1.0,
            Unit::Kilogram => 1000.0,
            Unit::Milligram => 0.001,
            Unit::Grain => 0.064_798_91,
            Unit::Pennyweight => 24.0 * 0.064_798_91,
            Unit::Ounce => 28.349_523_125,
            Unit::TroyOunce => 31.103_476_8,
            Unit::Pound => 453.592_37,
            Unit::Centimetre => 10.0,
            Unit::Inch => 25.4,
        }
    }
}

/// A place in a text that moves on as things are read.
struct Reader<'t> {
    text: &'t str,
    at: usize,
}

impl<'t> Reader<'t> {
    fn rest(&self) -> &'t str {
        &self.text[self.at..]
    }

    fn next(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn spaces(&mut self) {
        let rest = self.rest();
        self.at += rest.len()
            - rest
                .trim_start_matches(|c: char| c.is_whitespace() && c != '\n')
                .len();
    }

    fn eat(&mut self, one_of: &[&str]) -> bool {
        let Some(mark) = one_of.iter().find(|mark| self.rest().starts_with(**mark)) else {
            return false;
        };
        self.at += mark.len();
        true
    }

    /// The run of letters that starts here, not moved past.
    fn letters(&self) -> &'t str {
        let rest = self.rest();
        let end = rest
            .find(|c: char| !c.is_alphabetic())
            .unwrap_or(rest.len());
        &rest[..end]
    }

    fn eat_word(&mut self, words: &[&str]) -> bool {
        let word = self.letters();
        let found = !word.is_empty() && words.iter().any(|other| other.eq_ignore_ascii_case(word));
        if found {
            self.at += word.len();
        }
        found
    }

    fn digits(&mut self) -> &'t str {
        let rest = self.rest();
        let end = rest
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(rest.len());
        self.at += end;
        &rest[..end]
    }
}

/// A figure: value, step of its last digit, whether it has a decimal comma.
fn figure(reader: &mut Reader) -> Option<(f64, f64, bool)> {
    let start = reader.at;
    let whole = reader.digits();
    if let Some(part) = vulgar(reader.next()) {
        reader.at += reader.next().map_or(0, char::len_utf8);
        return Some((whole.parse().unwrap_or(0.0) + part, 0.125, false));
    }
    let after_whole = reader.at;
    let mark = reader.next().filter(|c| matches!(c, '.' | ','));
    if let Some(mark) = mark {
        reader.at += 1;
        let decimals = reader.digits();
        if !decimals.is_empty() && (mark == '.' || (!whole.is_empty() && decimals.len() <= 3)) {
            let written = format!("{}.{decimals}", if whole.is_empty() { "0" } else { whole });
            let places = i32::try_from(decimals.len()).unwrap_or(i32::MAX);
            return Some((written.parse().ok()?, 10f64.powi(-places), mark == ','));
        }
        reader.at = after_whole;
    }
    if whole.is_empty() {
        reader.at = start;
        return None;
    }
    let value: f64 = whole.parse().ok()?;
    Some(mixed(reader, value).unwrap_or((value, 1.0, false)))
}

/// "1 1/2" and "1-1/2": the fraction after a whole number.
fn mixed(reader: &mut Reader, whole: f64) -> Option<(f64, f64, bool)> {
    let before = reader.at;
    let found = (|| {
        if !reader.eat(&[" ", "-"]) {
            return None;
        }
        let top: f64 = reader.digits().parse().ok()?;
        if !reader.eat(&["/"]) {
            return None;
        }
        let bottom: f64 = reader.digits().parse().ok()?;
        (top < bottom && bottom <= 64.0).then(|| (whole + top / bottom, 1.0 / bottom, false))
    })();
    if found.is_none() {
        reader.at = before;
    }
    found
}

fn vulgar(c: Option<char>) -> Option<f64> {
    match c? {
        '½' => Some(0.5),
        '¼' => Some(0.25),
        '¾' => Some(0.75),
        '⅓' => Some(1.0 / 3.0),
        '⅔' => Some(2.0 / 3.0),
        '⅛' => Some(0.125),
        '⅜' => Some(0.375),
        '⅝' => Some(0.625),
        '⅞' => Some(0.875),
        _ => None,
    }
}

/// The unit that starts here, after spaces; nothing is read when there is none.
fn unit(reader: &mut Reader) -> Option<Unit> {
    let before = reader.at;
    if reader.eat(&["\"", "″", "”", "''", "′′"]) {
        return Some(Unit::Inch);
    }
    reader.spaces();
    let troy = reader.eat_word(&["troy"]);
    if troy {
        reader.spaces();
    }
    let mut word = reader.letters();
    let mut found = unit_named(word);
    if found.is_none()
        && let Some(shorter) = word.strip_suffix(['x', 'X'])
    {
        (word, found) = (shorter, unit_named(shorter));
    }
    reader.at += word.len();
    let digit_follows = reader.next().is_some_and(char::is_numeric);
    let found = found.filter(|unit| {
        !digit_follows && (*unit != Unit::Inch || word.len() > 2 || inch_fits(reader))
    });
    let Some(unit) = found else {
        reader.at = before;
        return None;
    };
    let after_unit = reader.at;
    reader.spaces();
    let troy = troy || reader.eat_word(&["troy"]);
    if !troy {
        reader.at = after_unit;
    }
    Some(if unit == Unit::Ounce && troy {
        Unit::TroyOunce
    } else {
        unit
    })
}

fn unit_named(word: &str) -> Option<Unit> {
    UNITS
        .iter()
        .find(|(name, _)| name.eq_ignore_ascii_case(word))
        .map(|(_, unit)| *unit)
}

/// "in" is an inch only where the sentence does not go on: not in "3 in a row".
fn inch_fits(reader: &Reader) -> bool {
    let mut ahead = Reader {
        text: reader.text,
        at: reader.at,
    };
    ahead.eat(&["."]);
    ahead.spaces();
    let marks = [',', ';', ')', '\n', '/', '-', '+', '±', '×', ':'];
    ahead.next().is_none_or(|c| marks.contains(&c))
        || ahead.eat_word(&[
            "across", "diameter", "diam", "dia", "wide", "thick", "long", "x", "by",
        ])
}

/// Reads a quantity that starts at this byte; `None` when no figure stands there
/// or when letters cling to it that are no unit ("1e9", "3rd").
pub(super) fn quantity(text: &str, at: usize) -> Option<Quantity> {
    let mut reader = Reader { text, at };
    let mut about = false;
    while reader.eat(&["~", "≈", "±", "<", ">"])
        || reader.eat_word(&ABOUT)
        || reader.eat_word(&LIMITS)
    {
        about = true;
        reader.eat(&["."]);
        reader.spaces();
    }
    let negative = reader.eat(&["-", "−"]);
    let (value, step, comma) = figure(&mut reader)?;
    let first = if negative { -value } else { value };
    let first_unit = unit(&mut reader);
    let mut found = Quantity {
        first,
        second: None,
        unit: first_unit,
        step,
        about,
        comma,
        end: reader.at,
    };
    if !negative {
        second_figure(&mut reader, &mut found);
    }
    let clings = text[found.end..]
        .chars()
        .next()
        .is_some_and(char::is_alphanumeric);
    (!clings).then_some(found)
}

/// The second figure of "17-18 mm", "17 x 16 mm", "17 +/- 1 mm" or "3/4 in".
fn second_figure(reader: &mut Reader, found: &mut Quantity) {
    let first_unit = found.unit;
    let spaced = reader.next().is_some_and(char::is_whitespace);
    reader.spaces();
    let slash;
    let join = if reader.eat(&["+/-", "+-", "±"]) {
        slash = false;
        Join::Within
    } else if reader.eat(&["-", "–", "×", "*"]) || reader.eat_word(&["x", "by", "to"]) {
        slash = false;
        Join::Both
    } else if !spaced && reader.eat(&["/"]) {
        slash = true;
        Join::Both
    } else {
        return;
    };
    reader.spaces();
    let Some((second, step, comma)) = figure(reader) else {
        return;
    };
    let second_unit = unit(reader);
    let clings = reader.next().is_some_and(char::is_alphanumeric);
    let agree = match (first_unit, second_unit) {
        (Some(one), Some(other)) => one == other,
        (Some(_), None) => join == Join::Within,
        _ => true,
    };
    if clings || !agree {
        return;
    }
    found.unit = second_unit.or(first_unit);
    found.end = reader.at;
    found.comma |= comma;
    let sizes = found.unit == Some(Unit::Millimetre) && found.first >= 5.0;
    if slash && !sizes && second > 0.0 {
        found.first /= second;
        found.step = 1.0 / second;
    } else {
        found.step = found.step.min(step);
        found.second = Some((second, join));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_quantity_is_not_read() {
        for said in [
            "1e9", "NaN", "twelve", "3rd", "", "mm", "17mmm", ".", "-", "x17",
        ] {
            assert_eq!(quantity(said, 0), None, "{said}");
        }
        assert_eq!(quantity("3 in a row", 0).and_then(|q| q.unit), None);
        assert_eq!(quantity("17 mm - 1.2 g", 0).map(|q| q.end), Some(5));
    }
}
