//! Fits how loud each kind of witness about a thing is, and how far the shares of each level may be
//! believed, on pieces of known identity, and writes both to `src/score/object/fitted.rs`.
//!
//! The bar's pieces are none of those it reads. The same pieces give the same figures.

use std::error::Error;
use std::fs;

use lynchet::find::Object;
use lynchet::score::{ThingLoud, ThingShares, ThingTemper, temper};
use lynchet::{House, Things, parse};
use toml::{Table, Value};

use super::{list, lots, words};

/// What each lot weighs: those from memory speak the library's words, and are surer than they should be.
const LOTS: [f64; 3] = [4.0, 1.0, 1.0];

/// Words and rows were mended after the same pieces, which hides how often things are misjudged. At
/// first sight, before the mending, those read in print asked for powers so much lower.
const FIRST_SIGHT: f64 = 0.85;

/// Raw shares of one level, what is of no name last, which of them are right, and the weight.
pub(super) struct Told {
    pub(super) shares: Vec<f64>,
    pub(super) right: Vec<usize>,
    weight: f64,
}

/// The levels that are fitted, by their place among the powers: group, class, period.
pub(super) const FITTED_LEVELS: [(usize, &str); 3] = [(1, "group"), (2, "class"), (4, "period")];

pub(super) fn told(piece: &Table, level: usize, shares: &ThingShares, weight: f64) -> Option<Told> {
    let groups = list(piece, "groups");
    let outside = piece.get("outside").and_then(Value::as_bool) == Some(true);
    let class = piece
        .get("class")
        .and_then(Value::as_str)
        .unwrap_or_default();
    let (all, truths) = match level {
        1 if outside => return None,
        1 => (
            &shares.groups,
            groups.iter().map(|id| format!("{class}/{id}")).collect(),
        ),
        2 => (&shares.classes, vec![class.to_string()]),
        _ => (&shares.periods, list(piece, "periods")),
    };
    if truths.is_empty() {
        return None;
    }
    let mut p: Vec<f64> = all.iter().map(|share| share.p).collect();
    let right = (0..all.len())
        .filter(|at| truths.contains(&all[*at].id))
        .collect();
    p.push((1.0 - p.iter().sum::<f64>()).max(0.0));
    Some(Told {
        shares: p,
        right,
        weight,
    })
}

/// Chance given at least to a truth, so that one miss is not all.
pub(super) const LEAST: f64 = 1e-4;

/// Mean log loss of the truth, each lot weighing alike, and how often what is said with 0.8 and more is
/// right.
fn loss(told: &[Told], power: f64, lapse: f64) -> (f64, usize, usize) {
    let (mut sum, mut weights, mut sure, mut right) = (0.0, 0.0, 0, 0);
    for one in told {
        let mut shares = one.shares.clone();
        temper(&mut shares, power, lapse, 1.0);
        let truth: f64 = one.right.iter().map(|at| shares[*at]).sum();
        sum -= one.weight * truth.max(LEAST).ln();
        weights += one.weight;
        let named = &shares[..shares.len() - 1];
        let first = (0..named.len()).max_by(|a, b| named[*a].total_cmp(&named[*b]));
        if let Some(first) = first.filter(|first| named[*first] >= 0.8) {
            sure += 1;
            right += usize::from(one.right.contains(&first));
        }
    }
    (sum / f64::max(weights, 1e-9), sure, right)
}

/// The best power and lapse: over a coarse net, then over a fine one about the best.
fn best(told: &[Told]) -> (f64, f64) {
    let net = |middle: (f64, f64), step: (f64, f64), reach: i32| {
        let powers = (-reach..=reach).map(move |at| middle.0 + f64::from(at) * step.0);
        let both = powers.flat_map(move |power| {
            (-reach..=reach).map(move |at| (power, middle.1 + f64::from(at) * step.1))
        });
        let possible = both.filter(|one| one.0 > 0.0 && (0.0..0.5).contains(&one.1));
        let by = |a: &(f64, f64), b: &(f64, f64)| {
            loss(told, a.0, a.1).0.total_cmp(&loss(told, b.0, b.1).0)
        };
        possible.min_by(by).unwrap_or(middle)
    };
    net(net((0.9, 0.16), (0.15, 0.04), 4), (0.05, 0.01), 2)
}

/// A piece as it was heard, with its truth and what it weighs.
struct Heard {
    piece: Table,
    object: Object,
    weight: f64,
}

fn heard(house: &House, things: &Things) -> Result<Vec<Heard>, Box<dyn Error>> {
    let mut all = Vec::new();
    for (lot, weight) in lots()?.into_iter().zip(LOTS) {
        let weight = weight / lot.len() as f64;
        all.extend(lot.into_iter().map(|piece| {
            let words = words(&piece);
            let (find, _) = parse::words(&words, &house.lexicon);
            let object = things.hear(&words, &find).0;
            Heard {
                piece,
                object,
                weight,
            }
        }));
    }
    Ok(all)
}

/// The raw shares of every piece at each level that is fitted.
fn levels(heard: &[Heard], house: &House, things: &Things) -> [Vec<Told>; 3] {
    let mut levels: [Vec<Told>; 3] = Default::default();
    for one in heard {
        let ranking = things.identify(&one.object, house).ranking;
        let shares = ThingShares::tempered(&ranking, &things.artefacts, &ThingTemper::NONE);
        for (place, (level, _)) in FITTED_LEVELS.iter().enumerate() {
            levels[place].extend(told(&one.piece, *level, &shares, one.weight));
        }
    }
    levels
}

/// Factors by which loudness is stepped, up and down, the coarse ones first.
const LOUDER: [f64; 2] = [1.35, 1.12];

/// Fits how loud each kind of witness is, one after the other, each as long as it helps: by the log
/// loss of all levels, each under its best power and lapse.
fn fit_loud(heard: &[Heard], house: &House, things: &mut Things) -> [f64; 6] {
    let mut now = LOUD_BEFORE;
    let lost = |at: [f64; 6], things: &mut Things| -> f64 {
        things.set_loud(ThingLoud::of(at));
        let levels = levels(heard, house, things);
        let each = levels.iter().map(|told| {
            let (power, lapse) = best(told);
            loss(told, power, lapse).0
        });
        each.sum()
    };
    let mut held = lost(now, things);
    for by in LOUDER {
        for at in 0..now.len() {
            for factor in [by, 1.0 / by] {
                loop {
                    let mut tried = now;
                    tried[at] *= factor;
                    let loss = lost(tried, things);
                    if loss > held - LEAST_GAIN {
                        break;
                    }
                    (now, held) = (tried, loss);
                    println!("loudness {now:.2?}: {held:.4}");
                }
            }
        }
    }
    things.set_loud(ThingLoud::of(now));
    now
}

/// Where the search for loudness begins.
const LOUD_BEFORE: [f64; 6] = [0.67, 0.6, 1.1, 1.0, 0.6, 1.7];
/// Log loss that a step must save to be taken.
const LEAST_GAIN: f64 = 5e-4;

/// Fits the loudness of witnesses, then a power and a lapse for each level, and writes them.
pub fn fit(house: &House, things: &mut Things, dry: bool) -> Result<(), Box<dyn Error>> {
    let heard = heard(house, things)?;
    let loud = fit_loud(&heard, house, things);
    let mut fitted = ThingTemper::FITTED;
    let levels = levels(&heard, house, things);
    for ((level, name), told) in FITTED_LEVELS.into_iter().zip(levels) {
        let (even, odd): (Vec<_>, Vec<_>) = told
            .into_iter()
            .enumerate()
            .partition(|(at, _)| at % 2 == 0);
        let halves =
            [even, odd].map(|half| half.into_iter().map(|(_, one)| one).collect::<Vec<_>>());
        let [first, second] = [best(&halves[0]), best(&halves[1])];
        println!("{name}: one half {first:?}, the other {second:?}");
        println!(
            "  held back: {:?}, {:?}",
            loss(&halves[1], first.0, first.1),
            loss(&halves[0], second.0, second.1)
        );
        let all: Vec<Told> = halves.into_iter().flatten().collect();
        let (power, lapse) = best(&all);
        println!(
            "  all {power:.2} {lapse:.2}: {:?}; untempered {:?}",
            loss(&all, power, lapse),
            loss(&all, 1.0, 0.0)
        );
        (fitted.powers[level], fitted.lapses[level]) = (power, lapse);
    }
    fitted.powers[1] *= FIRST_SIGHT;
    fitted.powers[2] *= FIRST_SIGHT;
    // Nothing is known of types, so they are believed as groups are; wider classes are sums of classes.
    (fitted.powers[0], fitted.lapses[0]) = (fitted.powers[1], fitted.lapses[1]);
    (fitted.powers[3], fitted.lapses[3]) = (fitted.powers[2], fitted.lapses[2]);
    if !dry {
        fs::write("src/score/object/fitted.rs", written(&fitted, loud))?;
    }
    Ok(())
}

/// The text of the file of fitted figures.
fn written(fitted: &ThingTemper, loud: [f64; 6]) -> String {
    let row = |figures: &[f64]| {
        let figures = figures.iter().map(|one| format!("{one:.2}"));
        figures.collect::<Vec<_>>().join(", ")
    };
    format!(
        "//! Powers and lapses of things, fitted on pieces of known identity. Written by a command, not by hand:\n\
         //! `cargo run --release --example things -- --temper`.\n\n\
         /// How far the shares of each level may be believed: type, group, class, wider class, period.\n\
         pub(super) const POWERS: [f64; 5] = [{}];\n\n\
         /// How often all goes astray, by level: so much of the chance is spread more evenly.\n\
         pub(super) const LAPSES: [f64; 5] = [{}];\n\n\
         /// How loud each kind of witness speaks: names, forms, words by rows, words by weights, measures, prior.\n\
         pub(super) const LOUD: [f64; 6] = [{}];\n",
        row(&fitted.powers),
        row(&fitted.lapses),
        row(&loud),
    )
}
