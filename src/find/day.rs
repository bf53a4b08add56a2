//! Days as far as they are known: a year, a month or a day.
//!
//! Knows no calendar but the order of days: months are all taken as 31 days long, so that
//! the distance of two days is good for comparing, not for counting.
//! Invariant: the earliest day of a date is not after its latest.

use super::span::{Year, ordinal, year_at};

/// A day in order: later days are greater.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Day(i32);

const DAYS: i32 = 31;
const MONTHS: i32 = 12;

impl Day {
    /// A day of a month of a year (BC negative); `None` where there is no such year, month or day.
    pub fn new(year: Year, month: i32, day: i32) -> Option<Day> {
        let known = year != 0 && (1..=MONTHS).contains(&month) && (1..=DAYS).contains(&day);
        known.then(|| Day((ordinal(year) * MONTHS + month - 1) * DAYS + day - 1))
    }

    /// The year it falls in.
    pub fn year(self) -> Year {
        year_at(self.0.div_euclid(DAYS * MONTHS))
    }

    /// The month, 1 to 12, and the day in it, never past the month's last.
    pub fn in_year(self) -> (i32, i32) {
        let days = self.0.rem_euclid(DAYS * MONTHS);
        let (month, day) = (days / DAYS + 1, days % DAYS + 1);
        (month, day.min(length(self.year(), month)))
    }

    /// As it is written: `YYYY-MM-DD`, a minus before years BC.
    pub fn iso(self) -> String {
        let (year, (month, day)) = (self.year(), self.in_year());
        let minus = if year < 0 { "-" } else { "" };
        format!("{minus}{:04}-{month:02}-{day:02}", year.abs())
    }

    /// The day before, in the order of days.
    pub fn before(self) -> Day {
        Day(self.0 - 1)
    }
}

/// The earliest and the latest day that a date may mean.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Dated {
    /// Earliest.
    pub earliest: Day,
    /// Latest.
    pub latest: Day,
}

impl Dated {
    /// A date as written, `YYYY`, `YYYY-MM` or `YYYY-MM-DD`, before Christ with a minus before it.
    pub fn read(text: &str) -> Option<Dated> {
        let (sign, rest) = match text.strip_prefix('-') {
            Some(rest) => (-1, rest),
            None => (1, text),
        };
        let mut parts = rest.split('-').map(|part| part.parse::<i32>().ok());
        let year = sign * parts.next()??;
        let month = parts.next();
        let day = parts.next();
        if parts.next().is_some() {
            return None;
        }
        let (first, last) = match month {
            None => (1, MONTHS),
            Some(month) => (month?, month?),
        };
        let (dawn, dusk) = match day {
            None => (1, DAYS),
            Some(day) => (day?, day?),
        };
        Some(Dated {
            earliest: Day::new(year, first, dawn)?,
            latest: Day::new(year, last, dusk)?,
        })
    }
}

/// Days of a month of a year, every fourth year a leap year.
fn length(year: Year, month: i32) -> i32 {
    match month {
        2 if ordinal(year).rem_euclid(4) == 0 => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => DAYS,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_date_covers_what_is_not_said() {
        let read = |text: &str| {
            let dated = Dated::read(text)?;
            let parts = |day: Day| (day.year(), day.in_year());
            Some((parts(dated.earliest), parts(dated.latest)))
        };
        assert_eq!(read("0097-10-27"), Some(((97, (10, 27)), (97, (10, 27)))));
        assert_eq!(read("0101"), Some(((101, (1, 1)), (101, (12, 31)))));
        assert_eq!(read("-0027-01"), Some(((-27, (1, 1)), (-27, (1, 31)))));
        assert_eq!(read("0097-02"), Some(((97, (2, 1)), (97, (2, 28)))));
        assert_eq!(read("0000"), None);
        assert_eq!(read("0097-13"), None);
        assert_eq!(read("97-1-1-1"), None);
        assert_eq!(read("then"), None);
    }

    #[test]
    fn days_are_in_order_over_the_turn_of_the_era() {
        let day = |year, month, day| Day::new(year, month, day).expect("is a day");
        assert!(day(-1, 12, 31) < day(1, 1, 1));
        assert_eq!(day(1, 1, 1).before(), day(-1, 12, 31));
        assert!(day(-27, 1, 16) < day(-23, 6, 26));
        assert_eq!(day(97, 12, 1).before().iso(), "0097-11-30");
        assert_eq!(day(-27, 1, 16).iso(), "-0027-01-16");
    }
}
