//! The answer: the narrowest level that the evidence carries.
//!
//! A worn nummus whose ruler cannot be read is rightly "a nummus of the series of
//! 330-348": naming a ruler there would be a guess, naming only the period a waste.
//!
//! Invariant: the probability given is the tempered share of just the types the answer covers.

use super::constants::{LEVEL_CARRIES, LEVEL_LEAST};
use super::rollup::{Group, groups, key};
use super::sum::Ranking;
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
        if ranking.unlisted >= LEVEL_LEAST {
            return Answer {
                level: Level::Unlisted,
                like: None,
                p: ranking.unlisted,
                span: None,
            };
        }
        let best: Vec<Answer> = Level::NARROWEST_FIRST
            .iter()
            .filter_map(|level| best_at(*level, ranking, catalogue))
            .collect();
        let carries = |least: f64| best.iter().find(|answer| answer.p >= least).copied();
        carries(LEVEL_CARRIES)
            .or_else(|| carries(LEVEL_LEAST))
            .unwrap_or(Answer {
                level: Level::Open,
                like: ranking.judged.first().map(|j| j.coin),
                p: ranking.judged.first().map_or(0.0, |j| j.probability),
                span: None,
            })
    }
}

/// The likeliest group of types at a level; of two alike the one whose likeliest type stands first.
fn best_at(level: Level, ranking: &Ranking, catalogue: &Catalogue) -> Option<Answer> {
    let groups = groups(level, ranking, catalogue);
    let tried = groups.iter().filter(|g| g.first < TRIED && g.key.is_some());
    let best = tried.fold(None, |best: Option<&Group>, group| match best {
        Some(best) if group.p <= best.p + 1e-12 => Some(best),
        _ => Some(group),
    })?;
    let covered = ranking.judged.iter().filter(|j| {
        let coin = &catalogue.types[j.coin];
        key(level, j.coin, coin) == best.key
    });
    let raw: f64 = covered.clone().map(|j| j.raw).sum();
    let hull = |a: Span, b: Span| Span {
        from: a.from.min(b.from),
        to: a.to.max(b.to),
    };
    let borne = covered.filter(|j| j.raw >= raw / 50.0);
    Some(Answer {
        level,
        like: Some(ranking.judged[best.first].coin),
        p: best.p,
        span: borne.map(|j| catalogue.types[j.coin].span).reduce(hull),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_change_at_their_marks_and_never_say_certain() {
        assert_eq!(words_of_confidence(0.95), "almost certainly");
        assert_eq!(words_of_confidence(0.949), "probably");
        assert_eq!(words_of_confidence(0.80), "probably");
        assert_eq!(words_of_confidence(0.50), "more likely than not");
        assert_eq!(words_of_confidence(0.499), "open");
    }
}
