//! What is told of the fits: every figure is of finds that were not fitted on.
//!
//! Invariant: nothing is fitted here.

use lynchet::score::unlisted_group;

use crate::cases::{Case, LEVELS, Origin};
use crate::fit::{Fit, LEAST, Rows, louder, of, told};

/// Groups of metals, as they are printed.
const METALS: [&str; 4] = ["gold", "silver", "copper alloy", "other or none"];
/// From where an answer is called sure.
const SURE: f64 = 0.8;

/// What the foreign pieces that were not fitted on and the listed real finds were given before and after.
pub fn tell_unlisted(cases: &[Case], shifts: &[f64; 4], fit: &Fit) {
    for (metal, name) in METALS.iter().enumerate() {
        let mean = |listed: bool, shift: f64| {
            let of = cases.iter().filter(|case| {
                let told = match case.origin {
                    Origin::Simulated => false,
                    Origin::Real => true,
                    Origin::Without => false,
                    Origin::Foreign => case.second,
                };
                told && unlisted_group(case.metal) == metal && case.listed == Some(listed)
            });
            let shares: Vec<f64> = of.filter_map(|case| louder(case, shift, fit)).collect();
            let count = shares.len();
            (shares.iter().sum::<f64>() / count.max(1) as f64, count)
        };
        let [(before, foreign), (after, _)] = [0.0, shifts[metal]].map(|s| mean(false, s));
        let [(had, listed), (has, _)] = [0.0, shifts[metal]].map(|s| mean(true, s));
        println!(
            "not in the library, {name}: {:+.2} nats; foreign ({foreign}) {before:.3} -> {after:.3}, \
             listed ({listed}) {had:.4} -> {has:.4}",
            shifts[metal]
        );
    }
}

/// The likeliest outcome of a level and whether it is right.
#[derive(Clone, Copy)]
struct Top {
    said: f64,
    right: bool,
}

fn top(case: &Case, level: usize, fit: &Fit) -> Option<Top> {
    let (shares, known) = (told(case, level, fit)?, case.levels[level].as_ref()?);
    let first = (0..shares.len()).max_by(|a, b| shares[*a].total_cmp(&shares[*b]))?;
    Some(Top {
        said: shares[first],
        right: known.right.contains(&first),
    })
}

/// The line of the logit of what was right on the logit of what was said: its slope, by Newton's steps.
fn slope(tops: &[Top]) -> f64 {
    let (mut by, mut tilt): (f64, f64) = (0.0, 1.0);
    for _ in 0..50 {
        let (mut up, mut turn, mut plain, mut mixed, mut square) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for top in tops {
            let said = top.said.clamp(1e-6, 1.0 - 1e-6);
            let logit = (said / (1.0 - said)).ln();
            let held = 1.0 / (1.0 + (-(by + tilt * logit)).exp());
            let off = f64::from(u8::from(top.right)) - held;
            let weight = held * (1.0 - held);
            (up, turn) = (up + off, turn + off * logit);
            plain += weight;
            mixed += weight * logit;
            square += weight * logit * logit;
        }
        let whole = plain * square - mixed * mixed;
        by += ((square * up - mixed * turn) / whole).clamp(-1.0, 1.0);
        tilt += ((plain * turn - mixed * up) / whole).clamp(-1.0, 1.0);
    }
    tilt
}

/// Figures of real finds, each under the fit of the half that it is not of.
pub fn tell(cases: &[Case], halves: &[Rows; 2]) {
    let real: Vec<&Case> = cases.iter().filter(|c| c.origin == Origin::Real).collect();
    println!(
        "{} real finds, each under what was fitted on the other half",
        real.len()
    );
    let fit = |case: &Case| *of(case, &halves[usize::from(!case.second)]);
    let mut means = [0.0; 3];
    for (level, name) in LEVELS.iter().enumerate() {
        let lost = |fit: &dyn Fn(&Case) -> Fit| {
            let held = real.iter().filter_map(|case| {
                let shares = told(case, level, &fit(case))?;
                let right = case.levels[level].as_ref()?.right.iter();
                Some(right.map(|place| shares[*place]).sum::<f64>())
            });
            let lost: Vec<f64> = held.map(|held| -held.max(LEAST).ln()).collect();
            lost.iter().sum::<f64>() / lost.len() as f64
        };
        let tops = |fit: &dyn Fn(&Case) -> Fit| {
            let with_type = real.iter().filter(|case| case.has_type);
            let tops = with_type.filter_map(|case| top(case, level, &fit(case)));
            tops.collect::<Vec<Top>>()
        };
        let (bare, tempered) = (tops(&|_| Fit::BARE), tops(&fit));
        let mut sure = tempered.clone();
        sure.retain(|top| top.said >= SURE);
        let wrong = sure.iter().filter(|top| !top.right).count();
        let said = sure.iter().map(|top| top.said).sum::<f64>() / sure.len() as f64;
        let (before, after) = (lost(&|_| Fit::BARE), lost(&fit));
        println!(
            "{:<26} log loss {before:.4} -> {after:.4}; slope {:.2} -> {:.2}; {wrong} of {} of {SURE} \
             and more wrong, {said:.3} said",
            name.name(),
            slope(&bare),
            slope(&tempered),
            sure.len(),
        );
        means[0] += before / LEVELS.len() as f64;
        means[1] += after / LEVELS.len() as f64;
        means[2] += slope(&tempered) / LEVELS.len() as f64;
    }
    println!(
        "mean of levels: log loss {:.4} -> {:.4}; slope {:.3}",
        means[0], means[1], means[2]
    );
    answers(&real, &fit);
}

/// Answers, each the narrowest level that is sure: how many are wrong.
fn answers(real: &[&Case], fit: &impl Fn(&Case) -> Fit) {
    let (mut given, mut wrong) = (0, 0);
    for case in real {
        let fit = fit(case);
        let levels = (0..LEVELS.len()).filter_map(|level| top(case, level, &fit));
        if let Some(sure) = levels.into_iter().find(|top| top.said >= SURE) {
            given += 1;
            wrong += usize::from(!sure.right);
        }
    }
    println!("answers of {SURE} and more, as far as known: {wrong} of {given} wrong");
}

/// Split conformal: what the likeliest types must hold of all listed for the true type to be among them
/// nine times in ten, by the real finds whose type the library has, each under the fit of the half that
/// it is not of.
pub fn limit(cases: &[Case], halves: &[Rows; 2]) -> f64 {
    let [real, simulated] = [Origin::Real, Origin::Simulated].map(|origin| {
        let those = cases.iter();
        let those = those.filter(|case| case.origin == origin && case.has_type);
        let scores = those.filter_map(|case| {
            let fit = of(case, &halves[usize::from(!case.second)]);
            before_truth(case, fit)
        });
        scores.collect::<Vec<f64>>()
    });
    let (finds, drawn) = (real.len(), simulated.len());
    let limit = quantile(real);
    println!(
        "nine in ten: {limit:.4} by {finds} real finds; {drawn} simulated ones would give {:.4}",
        quantile(simulated)
    );
    limit
}

/// What stands before the true type, of all that is listed.
fn before_truth(case: &Case, fit: &Fit) -> Option<f64> {
    let mut shares = told(case, 0, fit)?;
    let right = &case.levels[0].as_ref()?.right;
    let last = shares.len() - 1;
    let truth = right.iter().map(|place| shares[*place]).reduce(f64::max);
    shares.truncate(last);
    if let Some(rest) = case.rest {
        shares[rest] = 0.0;
    }
    // The set is closed when it holds enough, so the truth is in it while what stands before it
    // holds less.
    let listed: f64 = shares.iter().sum();
    Some(truth.map_or(1.0, |truth| {
        shares.iter().filter(|p| **p > truth).sum::<f64>() / listed
    }))
}

/// Where nine in ten lie at or below.
fn quantile(mut scores: Vec<f64>) -> f64 {
    scores.sort_by(f64::total_cmp);
    let at = (0.9 * scores.len() as f64).ceil() as usize;
    let at = scores.get(at.saturating_sub(1));
    (at.map_or(1.0, |score| score + 1e-4)).min(1.0)
}
