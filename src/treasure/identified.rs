//! From an identification to a piece of the facts: age and metal with their chances.
//!
//! Takes the ranking as it stands and weighs nothing again. What is not in the library may be of
//! any age; its metal is what the finder saw.
//!
//! Invariant: the chances of a piece sum to those of the ranking, "not in the library" left open.

use super::age::Age;
use super::facts::{Alteration, Piece, What};
use super::metal::{Metal, MetalKnown};
use super::truth::{Chance, Truth};
use crate::catalogue::{Catalogue, CoinType, CopyKind};
use crate::find::{Companion, Find, MetalSeen, Span, Treatment};
use crate::score::Ranking;

/// Types below this chance are left out, as in the date that an identification shows.
const LEAST: f64 = 1e-4;

/// Words in the ids of denominations of what looks like a coin and was no money.
const NO_MONEY: [&str; 6] = ["seal", "weight", "medal", "bulla", "counter", "touch-piece"];
/// Words in the ids of what may have passed as money; the law leaves it to a person.
const MAYBE_MONEY: [&str; 5] = ["token", "jetton", "check", "ticket", "model-coin"];

/// The piece that a find is, as far as it was identified.
pub fn identified(find: &Find, ranking: &Ranking, catalogue: &Catalogue, name: &str) -> Piece {
    let judged = ranking.judged.iter().filter(|one| one.probability > LEAST);
    let judged: Vec<(&CoinType, Span, f64)> = judged
        .map(|one| {
            let coin = &catalogue.types[one.coin];
            (coin, one.years.unwrap_or(coin.span), one.probability)
        })
        .collect();
    let spans = judged.iter().map(|(_, span, chance)| (*span, *chance));
    Piece {
        what: kind(&judged, catalogue),
        altered: altered(find),
        age: match judged.is_empty() {
            true => Age::Unsaid,
            false => Age::Weighed(spans.collect()),
        },
        metal: metal(find, &judged, catalogue),
        ..Piece::unsaid(name)
    }
}

/// The piece that a find is by eye alone: its metal as it looks, and what was done to it.
pub fn by_sight(find: &Find, name: &str) -> Piece {
    let seen = find.metal.map(|(seen, sure)| (by_eye(seen), sure));
    Piece {
        altered: altered(find),
        metal: seen.map_or(MetalKnown::Unsaid, |(metal, sure)| {
            MetalKnown::Seen(metal, sure)
        }),
        ..Piece::unsaid(name)
    }
}

/// What lay with a find, as pieces: coins of the years and the metals that the library's types of
/// that name have.
pub fn companions(find: &Find, catalogue: &Catalogue) -> Vec<Piece> {
    let one = |companion: &Companion| {
        let types = catalogue.types.iter();
        let of_name: Vec<&CoinType> = types
            .filter(|coin| catalogue.may_be(coin, companion))
            .collect();
        meant(&of_name, catalogue, &companion.said, companion.count)
    };
    find.company.iter().map(one).collect()
}

/// Pieces of which it is said which types they may be: of the years and the metals of these.
pub fn meant(types: &[&CoinType], catalogue: &Catalogue, name: &str, count: u32) -> Piece {
    let from = types.iter().map(|coin| coin.span.from).min();
    let to = types.iter().map(|coin| coin.span.to).max();
    let span = from.zip(to).and_then(|(from, to)| Span::new(from, to));
    let kinds: Vec<What> = types.iter().map(|coin| what(coin, catalogue)).collect();
    Piece {
        count,
        what: match kinds.iter().all(|kind| *kind == What::Coin) {
            true => What::Coin,
            false => What::Unsaid,
        },
        age: span.map_or(Age::Unsaid, Age::Years),
        metal: metal_of(types, catalogue),
        ..Piece::unsaid(name)
    }
}

fn what(coin: &CoinType, catalogue: &Catalogue) -> What {
    let id = &catalogue.denominations[coin.denomination].id;
    let holds = |words: &[&str]| words.iter().any(|word| id.contains(word));
    if holds(&NO_MONEY) {
        What::Object
    } else if holds(&MAYBE_MONEY) {
        What::Token
    } else {
        What::Coin
    }
}

/// Coin, object or open. What is not in the library is taken as a coin, as `identify` takes it.
fn kind(judged: &[(&CoinType, Span, f64)], catalogue: &Catalogue) -> What {
    let share = |kind: What| -> f64 {
        let of = judged
            .iter()
            .filter(|(coin, ..)| what(coin, catalogue) == kind);
        of.map(|(_, _, chance)| chance).sum()
    };
    let (coin, token, object) = (share(What::Coin), share(What::Token), share(What::Object));
    let whole = (coin + token + object).max(f64::MIN_POSITIVE);
    let chance = |least: f64| Chance {
        least: least / whole,
        most: (least + token) / whole,
    };
    if judged.is_empty() || chance(coin).truth() == Truth::Yes {
        What::Coin
    } else if chance(object).truth() == Truth::Yes {
        What::Object
    } else if chance(token).truth() == Truth::Yes {
        What::Token
    } else {
        What::Unsaid
    }
}

fn altered(find: &Find) -> Option<Alteration> {
    let has = |treatment: Treatment| find.treatments.contains(&treatment);
    if has(Treatment::Mounted) || has(Treatment::Gilded) {
        Some(Alteration::Mounted)
    } else if has(Treatment::Pierced) {
        Some(Alteration::Pierced)
    } else {
        None
    }
}

/// What a finder's metal is in the law's words.
fn by_eye(seen: MetalSeen) -> Metal {
    match seen {
        MetalSeen::Gold => Metal::Gold,
        MetalSeen::Silver => Metal::Silver,
        MetalSeen::BaseSilver => Metal::BaseSilver,
        MetalSeen::Plated => Metal::Skin,
        MetalSeen::WhiteMetal => Metal::WhiteMetal,
        MetalSeen::CopperAlloy | MetalSeen::Lead | MetalSeen::Iron => Metal::Base,
    }
}

/// The metal that a type is of; a plated or false piece of a precious one has a skin of it.
fn made_of(coin: &CoinType, catalogue: &Catalogue) -> Metal {
    let metal = &catalogue.metals[coin.metal];
    let precious = matches!(metal.looks, MetalSeen::Gold | MetalSeen::Silver);
    match coin.copy {
        Some(CopyKind::Plated | CopyKind::Forgery) if precious => Metal::Skin,
        _ => match by_eye(metal.looks) {
            // The library knows its tin and cupro-nickel, which the eye does not.
            Metal::WhiteMetal => Metal::Base,
            known => known,
        },
    }
}

fn metal(find: &Find, judged: &[(&CoinType, Span, f64)], catalogue: &Catalogue) -> MetalKnown {
    let seen = by_sight(find, "").metal;
    // A skin that shows its core is a fact about this piece, whatever its type is.
    if judged.is_empty() || matches!(seen, MetalKnown::Seen(Metal::Skin, _)) {
        return seen;
    }
    let listed: f64 = judged.iter().map(|(_, _, chance)| chance).sum();
    let made = judged.iter().map(|(coin, _, chance)| {
        let known = MetalKnown::Seen(made_of(coin, catalogue), true);
        (known, *chance)
    });
    let all: Vec<(MetalKnown, f64)> = made.chain([(seen, (1.0 - listed).max(0.0))]).collect();
    weighed(&all)
}

fn weighed(all: &[(MetalKnown, f64)]) -> MetalKnown {
    let chance = |of: fn(MetalKnown) -> Truth| {
        let sum = |least: Truth| -> f64 {
            let within = all.iter().filter(|(known, _)| of(*known) >= least);
            within.map(|(_, chance)| chance).sum::<f64>().min(1.0)
        };
        Chance {
            least: sum(Truth::Yes),
            most: sum(Truth::Open),
        }
    };
    MetalKnown::Weighed {
        tenth: chance(|known| known.facts().tenth),
        part: chance(|known| known.facts().part),
        mostly: chance(|known| known.facts().mostly),
    }
}

/// The metal of a kind of coin: what its types are made of, each as likely.
fn metal_of(meant: &[&CoinType], catalogue: &Catalogue) -> MetalKnown {
    if meant.is_empty() {
        return MetalKnown::Unsaid;
    }
    // What is official is meant when somebody names a kind.
    let official = meant.iter().filter(|coin| coin.copy.is_none());
    let mut metals: Vec<Metal> = official.map(|coin| made_of(coin, catalogue)).collect();
    metals.sort_unstable();
    metals.dedup();
    match metals.as_slice() {
        [one] => MetalKnown::Seen(*one, true),
        several if several.contains(&Metal::Base) && several.len() > 1 => MetalKnown::Unsaid,
        [Metal::Gold, Metal::Silver] => MetalKnown::Seen(Metal::Silver, true),
        _ => MetalKnown::Unsaid,
    }
}
