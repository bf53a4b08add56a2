//! Years and spans of years.
//!
//! Years before Christ are negative and there is no year 0; lengths are counted
//! with both ends, so 10 to 11 is two years and 1 BC to AD 1 is two years.
//! Invariant: a span never runs backwards.

/// A calendar year; BC negative, never 0.
pub type Year = i32;

/// Years from the first to the last, both within.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Span {
    /// First year.
    pub from: Year,
    /// Last year.
    pub to: Year,
}

impl Span {
    /// A span, or `None` when it runs backwards or names a year 0.
    pub fn new(from: Year, to: Year) -> Option<Self> {
        (from != 0 && to != 0 && from <= to).then_some(Span { from, to })
    }

    /// Number of years, both ends counted, without a year 0.
    pub fn years(self) -> u32 {
        (ordinal(self.to) - ordinal(self.from) + 1) as u32
    }

    /// The shortest span that holds both.
    pub fn hull(self, other: Span) -> Span {
        Span {
            from: self.from.min(other.from),
            to: self.to.max(other.to),
        }
    }

    /// True when the two spans share a year.
    pub fn overlaps(self, other: Span) -> bool {
        self.from <= other.to && other.from <= self.to
    }

    /// Number of years the two spans share.
    pub fn shared_years(self, other: Span) -> u32 {
        let from = self.from.max(other.from);
        let to = self.to.min(other.to);
        Span::new(from, to).map_or(0, Span::years)
    }

    /// True when `inner` lies wholly within.
    pub fn contains(self, inner: Span) -> bool {
        self.from <= inner.from && inner.to <= self.to
    }

    /// The span as a reader expects it: "1279-1344", "20 BC-AD 10", "1066".
    pub fn text(self) -> String {
        match (self.from < 0, self.to < 0) {
            (true, true) if self.from == self.to => format!("{} BC", -self.from),
            (true, true) => format!("{}-{} BC", -self.from, -self.to),
            (true, false) => format!("{} BC-AD {}", -self.from, self.to),
            _ if self.from == self.to => era(self.from),
            _ if self.from < 300 => format!("AD {}-{}", self.from, self.to),
            _ => format!("{}-{}", self.from, self.to),
        }
    }
}

/// A single year as a reader expects it: "54 BC", "AD 117", "1351".
pub fn era(year: Year) -> String {
    match year {
        y if y < 0 => format!("{} BC", -y),
        y if y < 300 => format!("AD {y}"),
        y => y.to_string(),
    }
}

/// Position of a year on a line without a gap: 1 BC is 0, AD 1 is 1.
pub fn ordinal(year: Year) -> i32 {
    if year < 0 { year + 1 } else { year }
}

/// The year at a position of [`ordinal`].
pub fn year_at(position: i32) -> Year {
    if position <= 0 {
        position - 1
    } else {
        position
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_is_no_year_nought() {
        assert_eq!(Span::new(0, 5), None);
        assert_eq!(Span::new(-1, 1).map(Span::years), Some(2));
        assert_eq!(Span::new(10, 11).map(Span::years), Some(2));
        for year in [-300, -1, 1, 1971] {
            assert_eq!(year_at(ordinal(year)), year);
        }
    }

    #[test]
    fn spans_read_as_a_person_writes_them() {
        let text = |from, to| Span::new(from, to).map(Span::text).unwrap_or_default();
        assert_eq!(text(-20, 10), "20 BC-AD 10");
        assert_eq!(text(-100, -54), "100-54 BC");
        assert_eq!(text(98, 117), "AD 98-117");
        assert_eq!(text(1279, 1279), "1279");
    }
}
