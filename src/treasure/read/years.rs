//! Words to an age: years, a century, a period.
//!
//! Knows the published list of periods and no other; fills nothing in.
//!
//! Invariant: a span that is read runs forwards and names no year 0.

use super::{LENGTH_MOST, Misread, misread};
use crate::find::{Span, Year};
use crate::treasure::age::Age;

/// Years on either side of one that is given as "about"; a judgement of this program.
const ABOUT: i32 = 10;
/// The first year of the published list of periods, and the last that can be written.
const YEARS: (Year, Year) = (-500_000, 9_999);

/// Periods by name: the published list (copy of 6 October 2014), with the Roman and later ones
/// surely not prehistoric; the last is open at its end.
pub(super) const PERIODS: &[(&str, Year, Year)] = &[
    ("prehistoric", -500_000, 43),
    ("palaeolithic", -500_000, -10_000),
    ("mesolithic", -10_000, -4_000),
    ("neolithic", -4_000, -2_200),
    ("bronze age", -2_600, -700),
    ("iron age", -800, 43),
    ("roman", 43, 410),
    ("early medieval", 410, 1066),
    ("anglo-saxon", 410, 1066),
    ("saxon", 410, 1066),
    ("viking", 410, 1066),
    ("post-medieval", 1540, 1901),
    ("post medieval", 1540, 1901),
    ("medieval", 1066, 1540),
    ("tudor", 1485, 1603),
    ("stuart", 1603, 1714),
    ("georgian", 1714, 1837),
    ("victorian", 1837, 1901),
];

const AGE_MEND: &str =
    "write years or a period, as 1279-1307, 800 BC-AD 43, 13th century, before 1700 or Bronze Age";

/// Reads when a thing was made: years, a century, a period, or that nobody knows.
pub fn age(text: &str) -> Result<Age, Misread> {
    let written = text.trim();
    if written.len() > LENGTH_MOST {
        return misread("the years are too long a text", AGE_MEND);
    }
    let plain = written
        .to_lowercase()
        .replace(['\u{2013}', '\u{2014}', '\u{2212}'], "-");
    let plain = plain.split_whitespace().collect::<Vec<_>>().join(" ");
    if ["unknown", "not known", "unsure", "?"].contains(&plain.as_str()) {
        return Ok(Age::Unsaid);
    }
    if let Some((_, from, to)) = PERIODS.iter().find(|(name, ..)| *name == plain) {
        return spanned(*from, *to, written);
    }
    let (about, plain) = match ["c. ", "c.", "circa ", "about ", "c "]
        .iter()
        .find_map(|word| plain.strip_prefix(word))
    {
        Some(rest) => (ABOUT, rest.to_string()),
        None => (0, plain),
    };
    if let Some(rest) = plain.strip_prefix("before ") {
        let to = year(rest, None, written)?;
        return spanned(YEARS.0, earlier(to, 1), written);
    }
    if let Some(rest) = plain.strip_prefix("after ") {
        let from = year(rest, None, written)?;
        return spanned(later(from, 1), YEARS.1, written);
    }
    let (from, to) = match plain
        .strip_suffix(" century")
        .or(plain.strip_suffix(" centuries"))
    {
        Some(_) => centuries(&plain, written)?,
        None if plain.contains("century") => centuries(&plain, written)?,
        None => two_years(&plain, written)?,
    };
    if from > to {
        return misread(
            format!("\"{written}\" runs backwards"),
            "write the earlier year first, as 1279-1307",
        );
    }
    spanned(earlier(from, about), later(to, about), written)
}

pub(super) fn spanned(from: Year, to: Year, written: &str) -> Result<Age, Misread> {
    match Span::new(from, to) {
        Some(span) => Ok(Age::Years(span)),
        None => misread(format!("\"{written}\" is no stretch of years"), AGE_MEND),
    }
}

fn earlier(year: Year, by: i32) -> Year {
    crate::find::year_at(crate::find::ordinal(year) - by).max(YEARS.0)
}

fn later(year: Year, by: i32) -> Year {
    crate::find::year_at(crate::find::ordinal(year) + by).min(YEARS.1)
}

/// Where two years part: " to ", or a dash that is no sign.
fn parted(plain: &str) -> Option<(&str, &str)> {
    if let Some(two) = plain.split_once(" to ") {
        return Some(two);
    }
    let dash = plain.char_indices().skip(1).find(|(_, c)| *c == '-');
    dash.map(|(at, _)| (plain[..at].trim(), plain[at + 1..].trim()))
}

fn two_years(plain: &str, written: &str) -> Result<(Year, Year), Misread> {
    let Some((first, second)) = parted(plain) else {
        let one = year(plain, None, written)?;
        return Ok((one, one));
    };
    let from = year(first, era(second), written)?;
    // "1279-80": the century is that of the first.
    let short = first.len() == 4 && second.len() == 2;
    let figures = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if short && figures(first) && figures(second) {
        let to = from - from % 100 + year(second, None, written)?;
        if to >= from {
            return Ok((from, to));
        }
    }
    Ok((from, year(second, None, written)?))
}

/// True for BC, false for AD, where a year says which.
fn era(text: &str) -> Option<bool> {
    let words: Vec<&str> = text.split(' ').collect();
    let any = |names: &[&str]| words.iter().any(|word| names.contains(word));
    if any(&["bc", "bce"]) {
        Some(true)
    } else if any(&["ad", "ce"]) {
        Some(false)
    } else {
        None
    }
}

/// A year: "1279", "ad 43", "800 bc", "-800".
fn year(text: &str, unless: Option<bool>, written: &str) -> Result<Year, Misread> {
    let own = era(text);
    let words = text
        .split(' ')
        .filter(|word| !["bc", "bce", "ad", "ce"].contains(word));
    let figures: Vec<&str> = words.collect();
    let [figures] = figures.as_slice() else {
        return misread(format!("\"{written}\" is no year"), AGE_MEND);
    };
    let negative = figures.starts_with('-');
    let bare = figures.strip_prefix('-').unwrap_or(figures);
    let known =
        !bare.is_empty() && bare.len() <= 6 && bare.bytes().all(|byte| byte.is_ascii_digit());
    let Some(number) = known.then(|| bare.parse::<Year>().ok()).flatten() else {
        return misread(format!("\"{written}\" is no year"), AGE_MEND);
    };
    if number == 0 {
        return misread(
            format!("\"{written}\": there is no year 0"),
            "write 1 BC or AD 1",
        );
    }
    // The era of the second year holds for the first only where that is BC: "300-100 BC".
    let before = own.unwrap_or(negative || unless == Some(true));
    let year = if before { -number } else { number };
    if !(YEARS.0..=YEARS.1).contains(&year) {
        return misread(
            format!("\"{written}\": {number} is no year that can be"),
            AGE_MEND,
        );
    }
    Ok(year)
}

/// "13th century", "13th-14th century", "1st century bc".
fn centuries(plain: &str, written: &str) -> Result<(Year, Year), Misread> {
    let before = era(plain) == Some(true);
    let words = plain.split([' ', '-']).filter(|word| {
        ![
            "century",
            "centuries",
            "bc",
            "bce",
            "ad",
            "ce",
            "to",
            "or",
            "and",
        ]
        .contains(word)
    });
    let mut numbers = Vec::new();
    for word in words {
        let figures = word.trim_end_matches(|c: char| c.is_ascii_lowercase());
        let ending = &word[figures.len()..];
        let number = figures
            .parse::<Year>()
            .ok()
            .filter(|number| (1..=99).contains(number));
        match number.filter(|_| ["st", "nd", "rd", "th"].contains(&ending)) {
            Some(number) => numbers.push(number),
            None => return misread(format!("\"{written}\" is no century"), AGE_MEND),
        }
    }
    let whole = |number: Year| match before {
        true => (-number * 100, -number * 100 + 99),
        false => (number * 100 - 99, number * 100),
    };
    match numbers.as_slice() {
        [one] => Ok(whole(*one)),
        [first, second] => Ok((whole(*first).0, whole(*second).1)),
        _ => misread(format!("\"{written}\" is no century"), AGE_MEND),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn years(text: &str) -> (Year, Year) {
        match age(text) {
            Ok(Age::Years(span)) => (span.from, span.to),
            other => panic!("{text}: {other:?}"),
        }
    }

    #[test]
    fn ages_are_read_as_people_write_them() {
        for (text, expected) in [
            ("1279", (1279, 1279)),
            ("1279-1307", (1279, 1307)),
            ("1279 to 1307", (1279, 1307)),
            ("1279\u{2013}1307", (1279, 1307)),
            ("1279-80", (1279, 1280)),
            ("AD 98-117", (98, 117)),
            ("800 BC-AD 43", (-800, 43)),
            ("300-100 BC", (-300, -100)),
            ("-800--100", (-800, -100)),
            ("-800-43", (-800, 43)),
            ("c. 1300", (1290, 1310)),
            ("13th century", (1201, 1300)),
            ("13th-14th century", (1201, 1400)),
            ("1st century BC", (-100, -1)),
            ("before 1700", (-500_000, 1699)),
            ("after 1800", (1801, 9_999)),
            ("Bronze Age", (-2_600, -700)),
            ("c. AD 5", (-6, 15)),
        ] {
            assert_eq!(years(text), expected, "{text}");
        }
        assert_eq!(age("unknown"), Ok(Age::Unsaid));
    }

    #[test]
    fn what_is_no_age_is_refused_with_its_mend() {
        for text in [
            "",
            "0",
            "-0",
            "old",
            "1279-",
            "-",
            "--",
            "12791279",
            "1307-1279",
            "0th century",
            "13th 14th 15th century",
            "century",
            "AD",
            "99999999999999999999",
            "before then",
        ] {
            let fault = age(text).expect_err(text);
            assert!(!fault.mend.is_empty(), "{text}");
        }
        assert!(age("1307-1279").is_err_and(|fault| fault.what.contains("backwards")));
        assert!(age("0").is_err_and(|fault| fault.what.contains("no year 0")));
    }
}
