//! The answer: the narrowest level that the evidence carries.
//!
//! A worn nummus whose ruler cannot be read is rightly "a nummus of the series of
//! 330-348": naming a ruler there would be a guess, naming only the period a waste.
//!
//! Invariant: the probability given is the tempered share of just the types the answer covers.

use super::constants::{LEVEL_CARRIES, LEVEL_LEAST, LEVEL_NAMES};
use super::rollup::{Group, Rolled};
use super::sum::{Judged, Ranking};
use crate::catalogue::Catalogue;
use crate::find::Span;

/// How narrow an answer is, narrowest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Level {
    /// One type.
    Type,
    /// One denomination of one ruler.
    RulerAndDenomination,
    /// One denomination of one series.
    SeriesAndDenomination,
    /// One ruler, denomination open.
    Ruler,
    /// One denomination of one period.
    PeriodAndDenomination,
    /// One series, denomination open.
    Series,
    /// One denomination, period open.
    Denomination,
    /// One period.
    Period,
    /// Nothing narrower than "a find".
    Open,
    /// Not in the library.
    Unlisted,
}

impl Level {
    /// The word given for it in tables and JSON.
    pub fn name(self) -> &'static str {
        match self {
            Level::Type => "type",
            Level::RulerAndDenomination => "ruler-and-denomination",
            Level::SeriesAndDenomination => "series-and-denomination",
            Level::Ruler => "ruler",
            Level::PeriodAndDenomination => "period-and-denomination",
            Level::Series => "series",
            Level::Denomination => "denomination",
            Level::Period => "period",
            Level::Open => "open",
            Level::Unlisted => "unlisted",
        }
    }

    /// Probability from which this level is an answer.
    fn carries(self) -> f64 {
        match self {
            Level::Type => LEVEL_NAMES,
            _ => LEVEL_CARRIES,
        }
    }

    /// The levels at which types are grouped, the narrowest first.
    pub const NARROWEST_FIRST: [Level; 8] = [
        Level::Type,
        Level::RulerAndDenomination,
        Level::SeriesAndDenomination,
        Level::Ruler,
        Level::PeriodAndDenomination,
        Level::Series,
        Level::Denomination,
        Level::Period,
    ];
}

/// What can be said.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Answer {
    /// How narrow it is.
    pub level: Level,
    /// Likeliest of the types it covers; none when open or unlisted.
    pub like: Option<usize>,
    /// Probability that it is right.
    pub p: f64,
    /// Years over all the types it covers that are at least one in fifty of it.
    pub span: Option<Span>,
}

/// The words for a probability.
pub fn words_of_confidence(p: f64) -> &'static str {
    match p {
        p if p >= 0.95 => "almost certainly",
        p if p >= 0.80 => "probably",
        p if p >= 0.50 => "more likely than not",
        _ => "open",
    }
}

/// Most candidates that are tried as the middle of an answer; the rest are too unlikely.
pub(super) const TRIED: usize = 12;

impl Answer {
    /// The answer that a ranking carries.
    pub fn of(ranking: &Ranking, catalogue: &Catalogue) -> Answer {
        Rolled::new(ranking, catalogue).answer()
    }
}

impl Rolled<'_> {
    /// The answer that the ranking carries.
    pub fn answer(&self) -> Answer {
        let ranking = self.ranking;
        if ranking.unlisted >= LEVEL_LEAST {
            return Answer {
                level: Level::Unlisted,
                like: None,
                p: ranking.unlisted,
                span: None,
            };
        }
        // A level is rolled up only when all narrower ones carry too little.
        let carries = |least: fn(Level) -> f64| {
            let levels = Level::NARROWEST_FIRST.into_iter();
            let mut best = levels.filter_map(|level| Some((level, self.best_at(level)?)));
            best.find(|(level, group)| group.p >= least(*level))
        };
        let narrowest = carries(Level::carries).or_else(|| carries(|_| LEVEL_LEAST));
        let first = ranking.judged.first();
        narrowest.map_or(
            Answer {
                level: Level::Open,
                like: first.map(|j| j.coin),
                p: first.map_or(0.0, |j| j.probability),
                span: None,
            },
            |(level, group)| Answer {
                level,
                like: Some(ranking.judged[group.first].coin),
                p: group.p,
                span: self.span(level, group),
            },
        )
    }

    /// The likeliest group of types at a level; of two alike the one whose likeliest type stands first.
    fn best_at(&self, level: Level) -> Option<&Group> {
        let groups = self.groups(level).iter();
        let tried = groups.filter(|g| g.first < TRIED && g.key.is_some());
        tried.fold(None, |best: Option<&Group>, group| match best {
            Some(best) if group.p <= best.p + 1e-12 => Some(best),
            _ => Some(group),
        })
    }

    /// Years over the types of a group that are at least one in fifty of it.
    fn span(&self, level: Level, group: &Group) -> Option<Span> {
        let covered = self.ranks(level, group.key);
        let covered: Vec<&Judged> = covered.map(|rank| &self.ranking.judged[rank]).collect();
        let raw: f64 = covered.iter().map(|j| j.raw).sum();
        let borne = covered.iter().filter(|j| j.raw >= raw / 50.0);
        let years = borne.map(|j| self.catalogue.types[j.coin].span);
        years.reduce(Span::hull)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_type_must_be_likelier_than_what_is_wider() {
        for level in Level::NARROWEST_FIRST {
            let least = if level == Level::Type { 0.90 } else { 0.80 };
            assert!((level.carries() - least).abs() < 1e-12, "{}", level.name());
        }
    }

    #[test]
    fn the_words_change_at_their_marks_and_never_say_certain() {
        assert_eq!(words_of_confidence(0.95), "almost certainly");
        assert_eq!(words_of_confidence(0.949), "probably");
        assert_eq!(words_of_confidence(0.80), "probably");
        assert_eq!(words_of_confidence(0.50), "more likely than not");
        assert_eq!(words_of_confidence(0.499), "open");
    }
}
