//! Days of the calendar, as a duty in law counts them.
//!
//! Reads no clock: today is a value that the door hands in. The Gregorian calendar, which is in
//! force here since 1752; an older day of finding is nobody's duty now.
//!
//! Invariant: a [`CalendarDay`] exists in the calendar, and a [`When`] does not run backwards.

use crate::find::Year;

/// A day of the calendar; later days are greater.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CalendarDay {
    year: Year,
    month: u32,
    day: u32,
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// The latest year that is read; the counting stays far from the ends of its numbers.
const YEAR_MOST: Year = 9999;

impl CalendarDay {
    /// A day of a month of a year after Christ, where there is one.
    pub fn new(year: Year, month: u32, day: u32) -> Option<CalendarDay> {
        let known = (1..=YEAR_MOST).contains(&year)
            && (1..=12).contains(&month)
            && (1..=month_length(year, month)).contains(&day);
        known.then_some(CalendarDay { year, month, day })
    }

    /// The day so many days after 1 January 1970.
    pub fn since_1970(days: i64) -> Option<CalendarDay> {
        // Years are counted from March, so that the leap day is the last of its year.
        let from_march = days + 719_468;
        let era = from_march.div_euclid(146_097);
        let of_era = from_march.rem_euclid(146_097);
        let year_of_era = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
        let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
        let month = (5 * of_year + 2) / 153;
        let day = of_year - (153 * month + 2) / 5 + 1;
        let month = if month < 10 { month + 3 } else { month - 9 };
        let year = year_of_era + era * 400 + i64::from(month <= 2);
        let year = Year::try_from(year).ok()?;
        CalendarDay::new(year, month as u32, day as u32)
    }

    /// Days since 1 January 1970.
    pub fn number(self) -> i64 {
        let year = i64::from(self.year) - i64::from(self.month <= 2);
        let era = year.div_euclid(400);
        let of_era = year.rem_euclid(400);
        let month = i64::from(self.month);
        let from_march = if month > 2 { month - 3 } else { month + 9 };
        let of_year = (153 * from_march + 2) / 5 + i64::from(self.day) - 1;
        let days = of_era * 365 + of_era / 4 - of_era / 100 + of_year;
        era * 146_097 + days - 719_468
    }

    /// So many days later; stops at the last day that is read.
    pub fn after(self, days: i64) -> CalendarDay {
        let last = CalendarDay {
            year: YEAR_MOST,
            month: 12,
            day: 31,
        };
        CalendarDay::since_1970(self.number() + days).unwrap_or(last)
    }

    /// Its year.
    pub fn year(self) -> Year {
        self.year
    }

    /// As it is written for programs: `2026-03-15`.
    pub fn iso(self) -> String {
        format!("{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }

    /// As it is said: "15 March 2026".
    pub fn text(self) -> String {
        format!(
            "{} {} {}",
            self.day,
            MONTHS[self.month as usize - 1],
            self.year
        )
    }

    /// Reads a whole day, `2026-03-15`.
    pub fn read(text: &str) -> Result<CalendarDay, String> {
        let when = When::read(text)?;
        let whole = when.whole();
        whole.ok_or_else(|| format!("\"{text}\" names no day; write it as 2026-03-15"))
    }
}

fn month_length(year: Year, month: u32) -> u32 {
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// A day as far as it is known: the earliest and the latest that it may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct When {
    /// Earliest.
    pub earliest: CalendarDay,
    /// Latest.
    pub latest: CalendarDay,
}

impl When {
    /// A day that is known.
    pub fn on(day: CalendarDay) -> When {
        When {
            earliest: day,
            latest: day,
        }
    }

    /// The day, where it is known to the day.
    pub fn whole(self) -> Option<CalendarDay> {
        (self.earliest == self.latest).then_some(self.earliest)
    }

    /// Reads `2026-03-15`, `2026-03` or `2026`.
    pub fn read(text: &str) -> Result<When, String> {
        let written = text.trim();
        let shape =
            || format!("\"{written}\" is no day; write it as 2026-03-15 (or 2026-03, or 2026)");
        let parts: Vec<&str> = written.split('-').collect();
        let number = |part: &str, most: usize| {
            let figures = !part.is_empty()
                && part.len() <= most
                && part.bytes().all(|byte| byte.is_ascii_digit());
            figures
                .then(|| part.parse::<u32>().ok())
                .flatten()
                .ok_or_else(shape)
        };
        if parts.len() > 3 || parts[0].len() != 4 {
            return Err(shape());
        }
        let year = number(parts[0], 4)? as Year;
        if year == 0 {
            return Err(format!("\"{written}\": there is no year 0"));
        }
        let month = parts.get(1).map(|part| number(part, 2)).transpose()?;
        let day = parts.get(2).map(|part| number(part, 2)).transpose()?;
        if let Some(month) = month.filter(|month| !(1..=12).contains(month)) {
            return Err(format!(
                "\"{written}\": there is no month {month}; write it as 2026-03-15"
            ));
        }
        let first = month.unwrap_or(1);
        let last = month.unwrap_or(12);
        let length = month_length(year, last);
        if let Some(day) = day.filter(|day| !(1..=length).contains(day)) {
            let month = MONTHS[last as usize - 1];
            return Err(format!(
                "\"{written}\": there is no day {day}; {month} {year} has {length} days"
            ));
        }
        let made = CalendarDay::new(year, first, day.unwrap_or(1)).zip(CalendarDay::new(
            year,
            last,
            day.unwrap_or(length),
        ));
        let (earliest, latest) = made.ok_or_else(shape)?;
        Ok(When { earliest, latest })
    }

    /// "15 March 2026", "March 2026" or "2026".
    pub fn text(self) -> String {
        let (early, late) = (self.earliest, self.latest);
        if early == late {
            early.text()
        } else if early.month == late.month {
            format!("{} {}", MONTHS[early.month as usize - 1], early.year)
        } else {
            early.year.to_string()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_counted_as_the_calendar_has_them() {
        let number = |year, month, day| CalendarDay::new(year, month, day).map(CalendarDay::number);
        assert_eq!(number(1970, 1, 1), Some(0));
        assert_eq!(number(2000, 3, 1), Some(11_017));
        assert_eq!(number(2024, 2, 29), Some(19_782));
        assert_eq!(number(2023, 2, 29), None);
        assert_eq!(number(1900, 2, 29), None);
        for days in [-700_000, -1, 0, 59, 60, 11_016, 19_782, 20_000, 1_000_000] {
            let day = CalendarDay::since_1970(days).expect("a day");
            assert_eq!(day.number(), days, "{}", day.iso());
        }
    }

    #[test]
    fn what_is_no_day_is_refused_with_its_mend() {
        let says = |text: &str| When::read(text).expect_err(text);
        assert!(says("2023-02-29").contains("February 2023 has 28 days"));
        assert!(says("2026-13-01").contains("no month 13"));
        assert!(says("2026-00-01").contains("no month 0"));
        assert!(says("2026-04-31").contains("April 2026 has 30 days"));
        assert!(says("0000-01-01").contains("no year 0"));
        for text in [
            "",
            "yesterday",
            "1/3/2026",
            "26-03-01",
            "2026-3-1-1",
            "2026-+3-1",
            "-2026",
            "2026-",
            "20260301",
        ] {
            assert!(says(text).contains("write it as 2026-03-15"), "{text}");
        }
    }

    #[test]
    fn a_month_or_a_year_is_its_first_to_its_last_day() {
        let read = |text: &str| {
            let when = When::read(text).expect(text);
            (when.earliest.iso(), when.latest.iso(), when.text())
        };
        let said = |a: &str, b: &str, c: &str| (a.to_string(), b.to_string(), c.to_string());
        assert_eq!(
            read("2024-02"),
            said("2024-02-01", "2024-02-29", "February 2024")
        );
        assert_eq!(read("2024"), said("2024-01-01", "2024-12-31", "2024"));
        assert_eq!(
            read("2024-02-29"),
            said("2024-02-29", "2024-02-29", "29 February 2024")
        );
        assert!(CalendarDay::read("2024-02").is_err());
    }
}
