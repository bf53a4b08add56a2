//! How old a thing is: a span of years, or spans with the chances that an identification gave.
//!
//! The rule is that of the facts: by years, so that a thing of 1726 is 300 years old in any part
//! of 2026. It is certain where the latest year is old enough, possible where the earliest is.
//!
//! Invariant: widening an age never makes certain what was open, nor excludes it.

use super::day::When;
use super::truth::{Chance, Truth};
use crate::find::{Span, Year, ordinal, year_at};

/// The last year that counts as prehistoric by its date alone: in England and Wales the published
/// list of periods ends the Iron Age, and begins the Roman period, in AD 43.
const IRON_AGE_ENDS: Year = 43;

/// When a thing was made, as far as it is known.
#[derive(Clone, Debug, PartialEq, Default)]
pub enum Age {
    /// Nobody has said.
    #[default]
    Unsaid,
    /// Between these years.
    Years(Span),
    /// In these years with these chances; the rest, up to one, may be of any time.
    Weighed(Vec<(Span, f64)>),
}

impl Age {
    /// True of a thing made no later than a year.
    pub fn made_by(&self, line: Year) -> Truth {
        match self {
            Age::Unsaid => Truth::Open,
            Age::Years(span) if span.to <= line => Truth::Yes,
            Age::Years(span) if span.from <= line => Truth::Open,
            Age::Years(_) => Truth::No,
            Age::Weighed(_) => self.chance_by(line).map_or(Truth::Open, Chance::truth),
        }
    }

    /// The chance that it was made no later than a year, where chances are known.
    pub fn chance_by(&self, line: Year) -> Option<Chance> {
        let Age::Weighed(spans) = self else {
            return None;
        };
        let sum = |of: &dyn Fn(&Span) -> bool| -> f64 {
            let within = spans.iter().filter(|(span, _)| of(span));
            within.map(|(_, chance)| chance).sum()
        };
        let whole = sum(&|_| true);
        Some(Chance {
            least: sum(&|span| span.to <= line).min(1.0),
            most: (sum(&|span| span.from <= line) + (1.0 - whole).max(0.0)).min(1.0),
        })
    }

    /// True of a thing so many years old when it was found.
    pub fn at_least(&self, years: i32, found: When) -> Truth {
        let surely = self.made_by(line(years, found.earliest.year()));
        let perhaps = self.made_by(line(years, found.latest.year()));
        // Between the two lines it hangs on the day of finding.
        match (surely, perhaps) {
            (Truth::Yes, _) => Truth::Yes,
            (_, Truth::No) => Truth::No,
            _ => Truth::Open,
        }
    }

    /// The chance of the same, where chances are known.
    pub fn chance_of(&self, years: i32, found: When) -> Option<Chance> {
        let surely = self.chance_by(line(years, found.earliest.year()))?;
        let perhaps = self.chance_by(line(years, found.latest.year()))?;
        Some(Chance {
            least: surely.least,
            most: perhaps.most,
        })
    }

    /// True of a thing of the Iron Age or earlier, by its date alone.
    pub fn prehistoric(&self) -> Truth {
        match self {
            Age::Unsaid => Truth::Open,
            Age::Years(span) if span.from >= IRON_AGE_ENDS => Truth::No,
            Age::Years(_) | Age::Weighed(_) => self.made_by(IRON_AGE_ENDS),
        }
    }

    /// First and last year that it may be of; none where nothing is said.
    pub fn span(&self) -> Option<Span> {
        match self {
            Age::Unsaid => None,
            Age::Years(span) => Some(*span),
            Age::Weighed(spans) => {
                let from = spans.iter().map(|(span, _)| span.from).min()?;
                let to = spans.iter().map(|(span, _)| span.to).max()?;
                Span::new(from, to)
            }
        }
    }
}

/// The latest year of making of a thing so many years old in a year of finding.
pub fn line(years: i32, found: Year) -> Year {
    year_at(ordinal(found) - years)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::treasure::day::CalendarDay;

    fn years(from: Year, to: Year) -> Age {
        Age::Years(Span::new(from, to).expect("a span"))
    }

    fn found(text: &str) -> When {
        When::read(text).expect("a day")
    }

    /// Facts 1.1, "Age handling": certain when Y-b >= 300, possible when Y-a >= 300; in 2026 the
    /// line is 1726, and 1826 for the order of 2023.
    #[test]
    fn the_line_of_2026_is_1726_and_1826() {
        let day = found("2026-06-30");
        assert_eq!(line(300, 2026), 1726);
        assert_eq!(line(200, 2026), 1826);
        assert_eq!(years(1700, 1726).at_least(300, day), Truth::Yes);
        assert_eq!(years(1700, 1727).at_least(300, day), Truth::Open);
        assert_eq!(years(1726, 1900).at_least(300, day), Truth::Open);
        assert_eq!(years(1727, 1900).at_least(300, day), Truth::No);
        assert_eq!(years(1826, 1826).at_least(200, day), Truth::Yes);
        assert_eq!(Age::Unsaid.at_least(300, day), Truth::Open);
    }

    /// Facts 8.5: the line moves with the day of finding.
    #[test]
    fn the_line_moves_with_the_year_of_finding() {
        let coin = years(1714, 1714);
        assert_eq!(coin.at_least(300, found("2013-12-31")), Truth::No);
        assert_eq!(coin.at_least(300, found("2014-01-01")), Truth::Yes);
        let between = When {
            earliest: CalendarDay::new(2013, 1, 1).expect("a day"),
            latest: CalendarDay::new(2014, 12, 31).expect("a day"),
        };
        assert_eq!(coin.at_least(300, between), Truth::Open);
    }

    #[test]
    fn a_line_before_christ_passes_no_year_nought() {
        assert_eq!(line(2026, 2026), -1);
        assert_eq!(line(2025, 2026), 1);
    }

    #[test]
    fn prehistoric_ends_with_the_iron_age() {
        assert_eq!(years(-800, 43).prehistoric(), Truth::Yes);
        assert_eq!(years(43, 410).prehistoric(), Truth::No);
        assert_eq!(years(-50, 100).prehistoric(), Truth::Open);
        assert_eq!(Age::Unsaid.prehistoric(), Truth::Open);
    }

    #[test]
    fn chances_are_carried_and_what_is_not_listed_stays_open() {
        let span = |from, to| Span::new(from, to).expect("a span");
        let day = found("2026");
        let age = Age::Weighed(vec![(span(1279, 1310), 0.97), (span(1816, 1820), 0.01)]);
        assert_eq!(age.at_least(300, day), Truth::Yes);
        let chance = age.chance_of(300, day).expect("chances");
        assert!((chance.least - 0.97).abs() < 1e-9 && (chance.most - 0.99).abs() < 1e-9);
        let split = Age::Weighed(vec![(span(1700, 1740), 0.5), (span(1750, 1760), 0.5)]);
        assert_eq!(split.at_least(300, day), Truth::Open);
        let late = Age::Weighed(vec![(span(1816, 1820), 0.98)]);
        assert_eq!(late.at_least(300, day), Truth::No);
        assert_eq!(late.span(), Some(span(1816, 1820)));
    }
}
