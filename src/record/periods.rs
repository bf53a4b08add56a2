//! The published list of periods of England, by which a record names a period.
//!
//! From the copy that PeriodO keeps of the list at heritagedata.org, accessed on 6 October 2014; a
//! later issue was not read. Periods overlap, so that years may lie in two; nothing is parted.
//!
//! Invariant: a code is the last part of the concept's address.

use crate::find::Span;

/// A period of the published list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Period {
    /// Code.
    pub code: &'static str,
    /// Name.
    pub name: &'static str,
    /// First year; BC negative.
    pub from: i32,
    /// Last year.
    pub to: i32,
    /// True for the periods that a record names first; the others are parts of these.
    pub broad: bool,
}

const fn broad(code: &'static str, name: &'static str, from: i32, to: i32) -> Period {
    Period {
        code,
        name,
        from,
        to,
        broad: true,
    }
}

const fn part(code: &'static str, name: &'static str, from: i32, to: i32) -> Period {
    Period {
        code,
        name,
        from,
        to,
        broad: false,
    }
}

/// The periods, those of coins and metal things.
pub const PERIODS: [Period; 34] = [
    broad("NE", "Neolithic", -4000, -2200),
    broad("BA", "Bronze Age", -2600, -700),
    part("EBA", "Early Bronze Age", -2600, -1600),
    part("MBA", "Middle Bronze Age", -1600, -1200),
    part("LBA", "Late Bronze Age", -1200, -700),
    broad("IA", "Iron Age", -800, 43),
    part("EIA", "Early Iron Age", -800, -300),
    part("MIA", "Middle Iron Age", -300, -100),
    part("LIA", "Late Iron Age", -100, 43),
    broad("RO", "Roman", 43, 410),
    broad("EM", "Early Medieval", 410, 1066),
    broad("MD", "Medieval", 1066, 1540),
    broad("PM", "Post Medieval", 1540, 1901),
    part("TUD", "Tudor", 1485, 1603),
    part("LIZ", "Elizabethan", 1558, 1603),
    part("STU", "Stuart", 1603, 1714),
    part("JAC", "Jacobean", 1603, 1625),
    part("HAN", "Hanoverian", 1714, 1837),
    part("GEO", "Georgian", 1714, 1830),
    part("VIC", "Victorian", 1837, 1901),
    broad("C20", "20th Century", 1901, 2000),
    part("EDW", "Edwardian", 1902, 1910),
    part("E20", "Early 20th Century", 1901, 1932),
    part("M20", "Mid 20th Century", 1933, 1966),
    part("L20", "Late 20th Century", 1967, 2000),
    part("WW1", "First World War", 1914, 1918),
    part("WW2", "Second World War", 1939, 1945),
    part("WW3", "Cold War", 1946, 1991),
    broad("C21", "21st Century", 2001, 2100),
    part("PR", "Prehistoric", -500_000, 43),
    part("LPR", "Later Prehistoric", -4000, 43),
    part("ENE", "Early Neolithic", -4000, -3300),
    part("MNE", "Middle Neolithic", -3300, -2900),
    part("LNE", "Late Neolithic", -2900, -2200),
];

/// Periods of the library whose coins are of one period of the list, whatever their years: the
/// culture that struck a coin decides, so that Republican silver is Roman.
const OF_COINS: [(&str, &str); 4] = [
    ("iron-age", "IA"),
    ("roman", "RO"),
    ("early-medieval", "EM"),
    ("medieval", "MD"),
];

impl Period {
    /// The address of the concept.
    pub fn uri(&self) -> String {
        format!(
            "http://purl.org/heritagedata/schemes/eh_period/concepts/{}",
            self.code
        )
    }

    fn holds(&self, span: Span) -> bool {
        self.from <= span.from && span.to <= self.to
    }

    fn touches(&self, span: Span) -> bool {
        self.from <= span.to && span.from <= self.to
    }
}

/// The period of a code.
pub fn coded(code: &str) -> Option<&'static Period> {
    PERIODS.iter().find(|period| period.code == code)
}

/// The broad periods that hold these years whole; where none does, those that they touch. Years
/// on a border, or where the list overlaps, lie in two.
pub fn of_years(span: Span) -> Vec<&'static Period> {
    let broad = || PERIODS.iter().filter(|period| period.broad);
    let whole: Vec<&Period> = broad().filter(|period| period.holds(span)).collect();
    if !whole.is_empty() {
        return whole;
    }
    broad().filter(|period| period.touches(span)).collect()
}

/// The broad periods of a coin of one of the library's periods and of these years.
pub fn of_coin(period: &str, span: Option<Span>) -> Vec<&'static Period> {
    let one = OF_COINS.iter().find(|(id, _)| *id == period);
    match one {
        Some((_, code)) => coded(code).into_iter().collect(),
        None => span.map_or(Vec::new(), of_years),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn codes(from: i32, to: i32) -> Vec<&'static str> {
        let span = Span::new(from, to).expect("a span");
        of_years(span).iter().map(|period| period.code).collect()
    }

    /// The years are those of the published list (PeriodO's copy of 6 October 2014).
    #[test]
    fn years_may_lie_in_two_periods() {
        assert_eq!(codes(1279, 1307), ["MD"]);
        assert_eq!(codes(1066, 1066), ["EM", "MD"]);
        assert_eq!(codes(1042, 1066), ["EM"]);
        assert_eq!(codes(-750, -720), ["BA", "IA"]);
        assert_eq!(codes(1509, 1547), ["MD", "PM"]);
        assert_eq!(codes(-2400, -2300), ["NE", "BA"]);
    }

    #[test]
    fn the_culture_decides_the_period_of_a_coin() {
        let span = Span::new(-32, -31);
        let of = |period| -> Vec<&str> { of_coin(period, span).iter().map(|p| p.code).collect() };
        assert_eq!(of("roman"), ["RO"]);
        assert_eq!(of("iron-age"), ["IA"]);
        assert_eq!(of_coin("tudor", Span::new(1558, 1603))[0].code, "PM");
        assert_eq!(
            PERIODS[0].uri(),
            "http://purl.org/heritagedata/schemes/eh_period/concepts/NE"
        );
    }
}
