//! How well the probabilities held, level by level, and whether the sets of nine in ten do.
//!
//! Scores are over every find of which the level is known, alternatives taken together; what is
//! said of the likeliest outcome is over those with one truth, since what was said is of one.

use serde::Serialize;

use super::super::measures::{
    Bin, CalibrationError, Slope, Top, beta_range, bins, brier, calibration_error, log_score, mean,
    median, skill, slope,
};
use super::levels::{Levels, Rung};
use super::tried::{Tried, forecast};
use crate::Identification;

/// How the probabilities of a level held.
#[derive(Serialize)]
pub(super) struct CalibrationView {
    pub(super) n: usize,
    pub(super) brier: f64,
    /// What is said beforehand, of nothing, loses so much over the same finds.
    pub(super) prior_brier: f64,
    pub(super) brier_skill: Option<f64>,
    pub(super) log_score: f64,
    pub(super) prior_log_score: f64,
    /// Finds with one truth at this level, over which the rest is taken.
    pub(super) single: usize,
    pub(super) calibration_error: Option<CalibrationError>,
    /// None: too few right or wrong to tell.
    pub(super) slope: Option<Slope>,
    pub(super) bins: Vec<Bin>,
}

/// How the probabilities of each level held.
pub(super) fn calibration(judged: &[&Tried], prior: &Identification) -> Levels<CalibrationView> {
    Levels::of(|rung| level(judged, prior, rung))
}

fn level(judged: &[&Tried], prior: &Identification, rung: Rung) -> CalibrationView {
    let known = judged.iter().filter(|t| !t.truth.meant.at(rung).is_empty());
    let (said, beforehand): (Vec<_>, Vec<_>) = known
        .map(|t| {
            let truth = t.truth.meant.at(rung);
            (forecast(&t.said, rung, truth), forecast(prior, rung, truth))
        })
        .unzip();
    let tops: Vec<Top> = judged.iter().filter_map(|t| t.top(rung)).collect();
    let (loss, plainer) = (brier(&said), brier(&beforehand));
    CalibrationView {
        n: said.len(),
        brier: loss,
        prior_brier: plainer,
        brier_skill: skill(loss, plainer),
        log_score: log_score(&said),
        prior_log_score: log_score(&beforehand),
        single: tops.len(),
        calibration_error: calibration_error(&tops),
        slope: slope(&tops),
        bins: bins(&tops),
    }
}

/// Whether the sets of nine in ten held so many.
#[derive(Serialize)]
pub(super) struct SetsView {
    /// Finds whose type is known and listed.
    pub(super) n: usize,
    /// Those whose set holds the type, or one of those it may be.
    pub(super) covered: usize,
    pub(super) coverage: f64,
    /// 95 in 100 of such coverages lie within, if nine in ten is true; none for too few finds.
    pub(super) beta_range: Option<[f64; 2]>,
    pub(super) within: Option<bool>,
    pub(super) median_size: f64,
    pub(super) mean_size: f64,
}

/// The sets of nine in ten over the finds whose type the library has.
pub(super) fn sets(judged: &[&Tried]) -> SetsView {
    let known = judged
        .iter()
        .filter(|t| !t.truth.meant.coin_type.is_empty());
    let known: Vec<&&Tried> = known.collect();
    let holds = |t: &&&Tried| {
        let truth = &t.truth.meant.coin_type;
        t.said.likely.iter().any(|coin| truth.contains(coin))
    };
    let (n, covered) = (known.len(), known.iter().filter(|t| holds(t)).count());
    let mut sizes: Vec<f64> = known.iter().map(|t| t.said.likely.len() as f64).collect();
    let coverage = covered as f64 / n.max(1) as f64;
    let range = beta_range(n);
    SetsView {
        n,
        covered,
        coverage,
        beta_range: range,
        within: range.map(|[least, most]| (least..=most).contains(&coverage)),
        mean_size: mean(sizes.iter().copied()),
        median_size: median(&mut sizes),
    }
}
