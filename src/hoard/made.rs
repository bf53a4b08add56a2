//! Pieces made of what is known: of an identification, of a name, of told years.
//!
//! Takes chances as they stand and weighs nothing again.
//!
//! Invariant: what was told goes before what was worked out.

use super::group::{Kind, Piece, Share};
use crate::catalogue::{Catalogue, CoinType};
use crate::find::{Find, Span};
use crate::score::{Ranking, Share as Scored, Shares};
use crate::treasure::{self, Age, What};

/// Types below this chance are left out, as in the date that an identification shows.
const LEAST: f64 = 1e-4;
/// Chances of names below this are left out.
const NAME_LEAST: f64 = 1e-3;

/// A find as it was identified. The law's piece is [`treasure::identified`]'s.
pub fn described(
    find: &Find,
    ranking: &Ranking,
    shares: &Shares,
    catalogue: &Catalogue,
    name: &str,
    count: u32,
) -> Piece {
    let judged = ranking.judged.iter().filter(|one| one.probability > LEAST);
    let judged: Vec<(&CoinType, Span, f64)> = judged
        .map(|one| {
            let coin = &catalogue.types[one.coin];
            (coin, one.years.unwrap_or(coin.span), one.probability)
        })
        .collect();
    let mut law = treasure::identified(find, ranking, catalogue, name);
    law.count = count;
    let weighed = judged
        .iter()
        .map(|(coin, _, p)| (*coin, *p))
        .collect::<Vec<_>>();
    let named = |shares: &[Scored], name: &dyn Fn(usize) -> String| -> Vec<Share> {
        let kept = shares.iter().filter(|share| share.p >= NAME_LEAST);
        kept.filter_map(|share| {
            Some(Share {
                name: name(share.of?),
                chance: share.p,
            })
        })
        .collect()
    };
    let mut piece = by_sight(find, name, count, law);
    piece.dates = together(judged.iter().map(|(_, span, p)| (*span, *p)));
    piece.periods = named(&shares.period, &|i| catalogue.periods[i].name.clone());
    piece.rulers = named(&shares.ruler, &|i| catalogue.rulers[i].name.clone());
    piece.denominations = named(&shares.denomination, &|i| {
        catalogue.denominations[i].name.clone()
    });
    piece.metals = summed(&weighed, |coin| Some(&catalogue.metals[coin.metal].name));
    piece.realms = summed(&weighed, |coin| Some(&catalogue.rulers[coin.ruler?].realm));
    piece.unlisted = ranking.unlisted;
    let copies = weighed.iter().filter(|(coin, _)| coin.copy.is_some());
    piece.irregular = copies.map(|(_, p)| p).sum::<f64>().min(1.0);
    piece
}

/// What is named and not described ("3 radiates of Tetricus"): what its types have in common, the
/// years from the first of the earliest to the last of the latest, since the name says no more.
pub fn named(meant: &[&CoinType], catalogue: &Catalogue, law: treasure::Piece) -> Piece {
    let official = meant.iter().filter(|coin| coin.copy.is_none());
    let mut types: Vec<&CoinType> = official.copied().collect();
    if types.is_empty() {
        types = meant.to_vec();
    }
    let each = 1.0 / types.len().max(1) as f64;
    let weighed: Vec<(&CoinType, f64)> = types.iter().map(|coin| (*coin, each)).collect();
    let hull = types.iter().map(|coin| coin.span).reduce(Span::hull);
    let copies = meant.iter().all(|coin| coin.copy.is_some());
    Piece {
        count: law.count,
        kind: kind_of(law.what),
        dates: hull.map(|span| (span, 1.0)).into_iter().collect(),
        told: true,
        periods: summed(&weighed, |coin| Some(&catalogue.periods[coin.period].name)),
        rulers: summed(&weighed, |coin| Some(&catalogue.rulers[coin.ruler?].name)),
        denominations: summed(&weighed, |coin| {
            Some(&catalogue.denominations[coin.denomination].name)
        }),
        metals: summed(&weighed, |coin| Some(&catalogue.metals[coin.metal].name)),
        realms: summed(&weighed, |coin| Some(&catalogue.rulers[coin.ruler?].realm)),
        irregular: if copies && !meant.is_empty() {
            1.0
        } else {
            0.0
        },
        law: law.clone(),
        ..Piece::unsaid(law.name)
    }
}

/// A piece by eye alone, with what was seen of its state.
pub fn by_sight(find: &Find, name: &str, count: u32, law: treasure::Piece) -> Piece {
    Piece {
        count,
        kind: kind_of(law.what),
        wear: find.wear,
        treatments: find.treatments.clone(),
        completeness: find.completeness,
        weight: find.weight.map(|weight| weight.value.get()),
        law,
        ..Piece::unsaid(name)
    }
}

/// Sets told years and a told kind in place of what was worked out.
pub fn told(piece: &mut Piece, years: Option<Span>, kind: Option<Kind>) {
    if let Some(span) = years {
        piece.dates = vec![(span, 1.0)];
        piece.told = true;
        piece.law.age = Age::Years(span);
    }
    if let Some(kind) = kind {
        piece.kind = kind;
        piece.law.what = match kind {
            Kind::Coin => What::Coin,
            Kind::Token => What::Token,
            Kind::Object | Kind::Container => What::Object,
            Kind::Fragment => What::Unsaid,
        };
    }
}

fn kind_of(what: What) -> Kind {
    match what {
        What::Token => Kind::Token,
        What::Object | What::Natural => Kind::Object,
        What::Coin | What::Unsaid => Kind::Coin,
    }
}

/// Chances of names of types, the likeliest first.
fn summed<'c>(
    types: &[(&'c CoinType, f64)],
    name: impl Fn(&'c CoinType) -> Option<&'c String>,
) -> Vec<Share> {
    let mut sums: std::collections::BTreeMap<&str, f64> = Default::default();
    for (coin, chance) in types {
        if let Some(name) = name(coin) {
            *sums.entry(name.as_str()).or_default() += chance;
        }
    }
    let kept = sums.into_iter().filter(|(_, chance)| *chance >= NAME_LEAST);
    let mut shares: Vec<Share> = kept
        .map(|(name, chance)| Share {
            name: name.to_string(),
            chance: chance.min(1.0),
        })
        .collect();
    shares.sort_by(|a, b| b.chance.total_cmp(&a.chance).then(a.name.cmp(&b.name)));
    shares
}

/// Spans with their chances, those alike put together, in order of time.
fn together(spans: impl Iterator<Item = (Span, f64)>) -> Vec<(Span, f64)> {
    let mut sums: std::collections::BTreeMap<Span, f64> = Default::default();
    for (span, chance) in spans {
        *sums.entry(span).or_default() += chance;
    }
    sums.into_iter().collect()
}
