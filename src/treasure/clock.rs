//! The last day: fourteen days as the Act counts them.
//!
//! Treasure Act 1996 s.8(2): 14 days beginning with the day after the find or, if later, with the
//! day on which the finder first believes or has reason to. A day known only by its month or year
//! is taken at its earliest, so the last day shown is never too late.
//!
//! Invariant: the last day is the thirteenth after the first that counts.

use super::day::{CalendarDay, When};
use super::law::Law;

/// The days of the duty.
pub const DAYS: i64 = 14;

/// Which count it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Count {
    /// From the day after the find, or from the day of belief where that is later.
    TreasureAct,
    /// From the day of the find itself, to be safe.
    FromTheFind,
}

/// The last day and how it was counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clock {
    /// The rule that is counted by.
    pub law: &'static Law,
    /// The first of the days; none where neither day is known.
    pub first: Option<CalendarDay>,
    /// The last of them.
    pub last: Option<CalendarDay>,
    /// Days from today to the last; below nought when it has passed.
    pub left: Option<i64>,
    /// True where the day of finding is not known to the day, so that the earliest was taken.
    pub earliest: bool,
    /// True where the day of belief is the one that counts.
    pub by_belief: bool,
}

impl Clock {
    /// Counts the days.
    pub fn new(
        law: &'static Law,
        count: Count,
        found: Option<When>,
        believed: Option<CalendarDay>,
        today: CalendarDay,
    ) -> Clock {
        let after_find = found.map(|found| match count {
            Count::TreasureAct => found.earliest.after(1),
            Count::FromTheFind => found.earliest,
        });
        let believed = believed.filter(|_| count == Count::TreasureAct);
        // The later of the two; where only one is known the count can begin no earlier.
        let first = after_find.max(believed);
        let last = first.map(|first| first.after(DAYS - 1));
        Clock {
            law,
            first,
            last,
            left: last.map(|last| last.number() - today.number()),
            earliest: first.is_some() && found.is_none_or(|found| found.whole().is_none()),
            by_belief: first.is_some() && first == believed && first != after_find,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::treasure::law::law;

    fn last(found: Option<&str>, believed: Option<&str>) -> Option<String> {
        let found = found.map(|text| When::read(text).expect(text));
        let believed = believed.map(|text| CalendarDay::read(text).expect(text));
        let today = CalendarDay::new(2026, 3, 20).expect("a day");
        let clock = Clock::new(law("days"), Count::TreasureAct, found, believed, today);
        clock.last.map(CalendarDay::iso)
    }

    /// Treasure Act 1996 s.8(2), the two cases worked out in facts 1.2: found 1 March, last day
    /// 15 March; belief formed on 10 March counts from that day, last day 23 March.
    #[test]
    fn fourteen_days_as_the_act_counts_them() {
        assert_eq!(
            last(Some("2026-03-01"), None).as_deref(),
            Some("2026-03-15")
        );
        assert_eq!(
            last(Some("2026-03-01"), Some("2026-03-10")).as_deref(),
            Some("2026-03-23")
        );
    }

    /// The same rule at its edges: belief on the day of the find or the day after changes nothing;
    /// two days after, it is later by one.
    #[test]
    fn belief_counts_only_where_it_is_later() {
        for (believed, expected) in [
            ("2026-02-20", "2026-03-15"),
            ("2026-03-01", "2026-03-15"),
            ("2026-03-02", "2026-03-15"),
            ("2026-03-03", "2026-03-16"),
        ] {
            assert_eq!(
                last(Some("2026-03-01"), Some(believed)).as_deref(),
                Some(expected),
                "{believed}"
            );
        }
    }

    #[test]
    fn months_years_and_leap_days_are_passed_rightly() {
        for (found, expected) in [
            ("2026-02-20", "2026-03-06"),
            ("2024-02-20", "2024-03-05"),
            ("2024-02-29", "2024-03-14"),
            ("2025-12-25", "2026-01-08"),
            ("2000-02-28", "2000-03-13"),
        ] {
            assert_eq!(
                last(Some(found), None).as_deref(),
                Some(expected),
                "{found}"
            );
        }
    }

    #[test]
    fn a_day_half_known_is_taken_at_its_earliest() {
        assert_eq!(last(Some("2026-03"), None).as_deref(), Some("2026-03-15"));
        assert_eq!(
            last(None, Some("2026-03-10")).as_deref(),
            Some("2026-03-23")
        );
        assert_eq!(last(None, None), None);
    }

    #[test]
    fn what_is_left_goes_below_nought_when_it_has_passed() {
        let found = When::read("2026-03-01").ok();
        let left = |year, month, day| {
            let today = CalendarDay::new(year, month, day).expect("a day");
            Clock::new(law("days"), Count::TreasureAct, found, None, today).left
        };
        assert_eq!(left(2026, 3, 15), Some(0));
        assert_eq!(left(2026, 3, 20), Some(-5));
        assert_eq!(left(2026, 3, 1), Some(14));
    }
}
