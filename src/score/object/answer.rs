//! The answer about a thing: the narrowest level that the evidence carries, with period and years.
//!
//! Invariant: the shares of classes and of "of no class of the library" sum to one, and no type is told
//! to be likelier than its group, nor a group than its class.

use std::collections::HashMap;

use super::fitted::{LAPSES, POWERS};
use super::sum::{Hypothesis, ThingRanking};
use crate::catalogue::Artefacts;
use crate::find::Span;
use crate::score::DateCurve;
use crate::score::constants::{LEVEL_CARRIES, LEVEL_LEAST};
use crate::score::temper::temper;

/// How narrow an answer about a thing is, narrowest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ThingLevel {
    /// One type.
    Type,
    /// One published group of one class.
    Group,
    /// One class.
    Class,
    /// A wider class.
    Wider,
    /// Nothing narrower than "a thing".
    Open,
}

impl ThingLevel {
    /// The word given for it in tables and JSON.
    pub fn name(self) -> &'static str {
        match self {
            ThingLevel::Type => "type",
            ThingLevel::Group => "group",
            ThingLevel::Class => "class",
            ThingLevel::Wider => "wider-class",
            ThingLevel::Open => "open",
        }
    }
}

/// A share of the probability.
#[derive(Clone, Debug, PartialEq)]
pub struct ThingShare {
    /// Id of the type, group (after the class and a slash), class or period.
    pub id: String,
    /// Position of the likeliest type of it, where it has one.
    pub like: Option<usize>,
    /// Probability.
    pub p: f64,
}

/// Shares at each level, largest first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ThingShares {
    /// Types.
    pub types: Vec<ThingShare>,
    /// Groups.
    pub groups: Vec<ThingShare>,
    /// Classes.
    pub classes: Vec<ThingShare>,
    /// Wider classes; they overlap, so they do not sum to one.
    pub wider: Vec<ThingShare>,
    /// Periods.
    pub periods: Vec<ThingShare>,
}

/// What can be said of a thing.
#[derive(Clone, Debug, PartialEq)]
pub struct ThingAnswer {
    /// How narrow it is.
    pub level: ThingLevel,
    /// Id at that level.
    pub id: String,
    /// Likeliest type that it covers.
    pub like: Option<usize>,
    /// Probability that it is right.
    pub p: f64,
    /// Years over its types that are at least one in twenty of it.
    pub span: Option<Span>,
}

/// How far the shares of each level are believed: type, group, class, wider class, period.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThingTemper {
    /// The power of each level.
    pub powers: [f64; 5],
    /// How often all goes astray, by level.
    pub lapses: [f64; 5],
}

impl ThingTemper {
    /// As fitted.
    pub const FITTED: ThingTemper = ThingTemper {
        powers: POWERS,
        lapses: LAPSES,
    };
    /// The shares as the totals have them.
    pub const NONE: ThingTemper = ThingTemper {
        powers: [1.0; 5],
        lapses: [0.0; 5],
    };
}

/// Chance below which a hypothesis is told of by no name.
const FAINT: f64 = 1e-7;

/// Adds up the raw shares by a key, and tempers them.
fn rolled(
    ranking: &ThingRanking,
    (level, tempered): (usize, &ThingTemper),
    key: impl Fn(&Hypothesis, usize) -> Option<String>,
) -> Vec<ThingShare> {
    let mut place: HashMap<String, usize> = HashMap::new();
    let mut shares: Vec<ThingShare> = Vec::new();
    let mut unkeyed = 0.0;
    for judged in &ranking.judged {
        // What is fainter is never shown; it stays in the sum.
        let id = (judged.raw >= FAINT).then(|| key(&judged.what, judged.class));
        let Some(id) = id.flatten() else {
            unkeyed += judged.raw;
            continue;
        };
        let at = *place.entry(id.clone()).or_insert_with(|| {
            shares.push(ThingShare {
                id,
                like: None,
                p: 0.0,
            });
            shares.len() - 1
        });
        shares[at].p += judged.raw;
        if let (None, Hypothesis::Type(one)) = (shares[at].like, judged.what) {
            shares[at].like = Some(one);
        }
    }
    let mut p: Vec<f64> = shares.iter().map(|share| share.p).collect();
    p.extend([ranking.outside, unkeyed]);
    temper(&mut p, tempered.powers[level], tempered.lapses[level], 1.0);
    shares.iter_mut().zip(p).for_each(|(share, p)| share.p = p);
    shares.sort_by(|a, b| b.p.total_cmp(&a.p).then(a.id.cmp(&b.id)));
    shares
}

/// Id of a group: its class, a slash, its own name.
fn group_id(at: usize, artefacts: &Artefacts) -> String {
    let artefact = &artefacts.types[at];
    format!(
        "{}/{}",
        artefacts.classes[artefact.class].id, artefact.group
    )
}

impl ThingShares {
    /// The shares of a ranking.
    pub fn of(ranking: &ThingRanking, artefacts: &Artefacts) -> ThingShares {
        ThingShares::tempered(ranking, artefacts, &ThingTemper::FITTED)
    }

    /// The shares of a ranking, believed so far.
    pub fn tempered(
        ranking: &ThingRanking,
        artefacts: &Artefacts,
        temper: &ThingTemper,
    ) -> ThingShares {
        let of_type = |what: &Hypothesis| match what {
            Hypothesis::Type(at) => Some(*at),
            Hypothesis::Rest(_) => None,
        };
        let mut types = rolled(ranking, (0, temper), |what, _| {
            Some(artefacts.types[of_type(what)?].id.clone())
        });
        let mut groups = rolled(ranking, (1, temper), |what, _| {
            Some(group_id(of_type(what)?, artefacts))
        });
        let classes = rolled(ranking, (2, temper), |_, class| {
            Some(artefacts.classes[class].id.clone())
        });
        // Each level is tempered by itself; what a narrower name implies it cannot outdo.
        capped(&mut groups, &classes, |group| {
            let class = group.id.split_once('/');
            class.map_or_else(String::new, |(class, _)| class.to_string())
        });
        capped(&mut types, &groups, |one| {
            let like = one.like.map(|at| group_id(at, artefacts));
            like.unwrap_or_default()
        });
        // The rest of a class has its periods as the listed types of it have.
        let periods = rolled(ranking, (4, temper), |what, _| {
            Some(
                artefacts.periods[artefacts.types[of_type(what)?].period]
                    .id
                    .clone(),
            )
        });
        ThingShares {
            types,
            groups,
            wider: wider(&classes, artefacts),
            classes,
            periods,
        }
    }
}

/// Lowers shares to those of what they lie in.
fn capped(shares: &mut [ThingShare], within: &[ThingShare], of: impl Fn(&ThingShare) -> String) {
    let most: HashMap<&str, f64> = within.iter().map(|one| (one.id.as_str(), one.p)).collect();
    for share in shares.iter_mut() {
        if let Some(most) = most.get(of(share).as_str()) {
            share.p = share.p.min(*most);
        }
    }
    shares.sort_by(|a, b| b.p.total_cmp(&a.p));
}

/// Wider classes: what the classes under them and they themselves come to.
fn wider(classes: &[ThingShare], artefacts: &Artefacts) -> Vec<ThingShare> {
    let mut sums: Vec<(f64, Option<usize>, usize)> = vec![(0.0, None, 0); artefacts.classes.len()];
    for share in classes {
        let Some(at) = artefacts
            .classes
            .iter()
            .position(|class| class.id == share.id)
        else {
            continue;
        };
        for wide in artefacts.classes[at].ancestors.iter().chain([&at]) {
            let sum = &mut sums[*wide];
            sum.0 += share.p;
            sum.1 = sum.1.or(share.like);
            sum.2 += 1;
        }
    }
    let several = sums.into_iter().enumerate().filter(|(_, sum)| sum.2 > 1);
    let mut wider: Vec<ThingShare> = several
        .map(|(at, (p, like, _))| ThingShare {
            id: artefacts.classes[at].id.clone(),
            like,
            p,
        })
        .collect();
    wider.sort_by(|a, b| b.p.total_cmp(&a.p).then(a.id.cmp(&b.id)));
    wider
}

impl ThingAnswer {
    /// The answer that the shares carry.
    pub fn of(shares: &ThingShares, ranking: &ThingRanking, artefacts: &Artefacts) -> ThingAnswer {
        let levels = [
            (ThingLevel::Type, &shares.types),
            (ThingLevel::Group, &shares.groups),
            (ThingLevel::Class, &shares.classes),
        ];
        let best = |least: f64| {
            let firsts = levels
                .iter()
                .filter_map(|(level, shares)| Some((*level, shares.first()?)));
            firsts.into_iter().find(|(_, share)| share.p >= least)
        };
        let carried = best(LEVEL_CARRIES).or_else(|| best(LEVEL_LEAST));
        // A wider class that carries tells more than a narrow one that hardly does.
        let wide = narrowest_wide(&shares.wider, artefacts);
        let found = match (carried, wide) {
            (Some((level, share)), Some(_)) if share.p >= LEVEL_CARRIES => Some((level, share)),
            (Some((level, share)), _) => Some((level, share)),
            (None, Some(share)) => Some((ThingLevel::Wider, share)),
            (None, None) => None,
        };
        let (level, share) = match found {
            Some(found) => found,
            None => {
                let first = shares.classes.first();
                return ThingAnswer {
                    level: ThingLevel::Open,
                    id: String::new(),
                    like: first.and_then(|share| share.like),
                    p: first.map_or(0.0, |share| share.p),
                    span: None,
                };
            }
        };
        ThingAnswer {
            level,
            id: share.id.clone(),
            like: share.like,
            p: share.p,
            span: span(level, &share.id, ranking, artefacts),
        }
    }
}

/// The narrowest wider class that carries at all: of those, the one with the least types under it.
fn narrowest_wide<'s>(wider: &'s [ThingShare], artefacts: &Artefacts) -> Option<&'s ThingShare> {
    let under = |share: &ThingShare| {
        let at = artefacts
            .classes
            .iter()
            .position(|class| class.id == share.id);
        let of = |class: usize| {
            artefacts
                .types
                .iter()
                .filter(|one| artefacts.is_of(one, class))
                .count()
        };
        at.map_or(usize::MAX, of)
    };
    let carried = |least: f64| {
        let likely = wider.iter().filter(move |share| share.p >= least);
        likely.min_by_key(|share| under(share))
    };
    carried(LEVEL_CARRIES).or_else(|| carried(LEVEL_LEAST))
}

/// Years over the types that an answer covers, leaving out those below one in twenty of it.
fn span(
    level: ThingLevel,
    id: &str,
    ranking: &ThingRanking,
    artefacts: &Artefacts,
) -> Option<Span> {
    let covers = |at: usize| {
        let artefact = &artefacts.types[at];
        let class = artefacts.classes.iter().position(|class| class.id == id);
        match level {
            ThingLevel::Type => artefact.id == id,
            ThingLevel::Group => group_id(at, artefacts) == id,
            ThingLevel::Class | ThingLevel::Wider => {
                class.is_some_and(|class| artefacts.is_of(artefact, class))
            }
            ThingLevel::Open => true,
        }
    };
    let covered: Vec<(usize, f64)> = ranking
        .judged
        .iter()
        .filter(|judged| judged.raw > 1e-4)
        .filter_map(|judged| match judged.what {
            Hypothesis::Type(at) if covers(at) => Some((at, judged.raw)),
            _ => None,
        })
        .collect();
    let whole: f64 = covered.iter().map(|(_, raw)| raw).sum();
    let borne = covered.iter().filter(|(_, raw)| *raw >= whole / 20.0);
    borne
        .map(|(at, _)| artefacts.types[*at].span)
        .reduce(Span::hull)
}

impl ThingRanking {
    /// The date density over the likely types.
    pub fn dates(&self, artefacts: &Artefacts) -> Option<DateCurve> {
        let likely = self.judged.iter().filter(|judged| judged.raw > 1e-3);
        let spans = likely.filter_map(|judged| match judged.what {
            Hypothesis::Type(at) => Some((artefacts.types[at].span, judged.raw)),
            Hypothesis::Rest(_) => None,
        });
        DateCurve::mixture(&spans.collect::<Vec<_>>())
    }
}
