//! What a scale or callipers would show: the chance that a measure falls into each of a few bands.
//!
//! The same wear, clipping, burial and slips as in the fit, but taken together into one normal law
//! of the logarithm a standard, since a band is wide beside what that leaves out. Judges no measure
//! that was given.
//!
//! Invariant: the shares of the bands sum to one.

use super::super::constants::*;
use super::{LOG_LEFT, Profile, Standard, normal_below, shrink};
use crate::find::{Completeness, Find};

impl Profile {
    /// Middle of the diameters that pieces of the profile are found with, millimetres.
    pub(in crate::score) fn likely_diameter(&self, find: &Find) -> Option<f64> {
        let (mean, _) = self.log_diameter(0.0, false)?;
        let clips = CLIP_LOSS.iter().zip(self.clip_weights(find));
        let across: f64 = clips.map(|(clipped, share)| share * shrink(*clipped)).sum();
        Some((mean + across).exp())
    }

    /// Middle of the weights that pieces of the profile are found with, grams.
    pub(in crate::score) fn likely_weight(&self, find: &Find) -> Option<f64> {
        let laws = self.weight_laws(find);
        let mean: f64 = laws.iter().map(|law| law.0 * law.1).sum();
        (!laws.is_empty()).then(|| mean.exp())
    }

    /// Chance of each band of diameters, the edges between them rising.
    pub(in crate::score) fn diameter_shares(&self, find: &Find, edges: &[f64]) -> Option<Vec<f64>> {
        let cut = matches!(
            find.completeness,
            Some(Completeness::Half | Completeness::Quarter)
        );
        let (mean, spread) = self.log_diameter(0.0, cut)?;
        let clips = CLIP_LOSS.iter().zip(self.clip_weights(find));
        let laws: Vec<(f64, f64, f64)> = clips
            .map(|(clipped, share)| (share, mean + shrink(*clipped), spread))
            .collect();
        let slips = background_shares(edges, true);
        Some(with_slips(shares(&laws, edges), &slips))
    }

    /// Chance of each band of weights, the edges between them rising.
    pub(in crate::score) fn weight_shares(&self, find: &Find, edges: &[f64]) -> Option<Vec<f64>> {
        let laws = self.weight_laws(find);
        let slips = background_shares(edges, false);
        (!laws.is_empty()).then(|| with_slips(shares(&laws, edges), &slips))
    }

    /// Laws of log weight: share, mean and spread, one a standard and part present.
    fn weight_laws(&self, find: &Find) -> Vec<(f64, f64, f64)> {
        let (wear, clip) = (wear_weights(find.wear), self.clip_weights(find));
        let left = &LOG_LEFT[self.wear_rate() as usize];
        let (mut mean, mut square) = (0.0, 0.0);
        for (row, clipped) in left.iter().zip(clip) {
            for (log_left, worn) in row.iter().zip(wear) {
                mean += clipped * worn * log_left;
                square += clipped * worn * log_left * log_left;
            }
        }
        let (factor, buried) = burial(find.corrosion, self.burial);
        let lost = (square - mean * mean).max(0.0) + buried * buried;
        let parts = parts_present(self.presence(find), self.halved, self.quartered);
        let law = |weight: &Standard, (share, fraction, spread): &(f64, f64, f64)| {
            let middle = (weight.grams * fraction * factor).ln() + mean;
            let all = lost + weight.spread * weight.spread + spread * spread;
            (weight.share * share, middle, all.sqrt().max(0.01))
        };
        let of_one = |weight: Standard| -> Vec<(f64, f64, f64)> {
            parts.iter().map(|part| law(&weight, part)).collect()
        };
        self.standards(find).flat_map(of_one).collect()
    }
}

/// Chance of each band for a find that is not in the library. Its weight is as likely within
/// anything like a factor, so the bands count by how wide they are.
pub(in crate::score) fn background_shares(edges: &[f64], diameter: bool) -> Vec<f64> {
    let (middle, across) = BACKGROUND_DIAMETER;
    let (tail, wider) = BACKGROUND_TAIL;
    if diameter {
        let laws = [
            (1.0 - tail, middle.ln(), across),
            (tail, middle.ln(), across * wider),
        ];
        return shares(&laws, edges);
    }
    let (Some(first), Some(last)) = (edges.first(), edges.last()) else {
        return vec![1.0];
    };
    let centre = 0.5 * (first.ln() + last.ln());
    let reach = (0.5 / BACKGROUND_WEIGHT.0).max(0.5 * (last / first).ln() + 0.5);
    let below = edges.iter().map(|edge| {
        let share = (edge.ln() - centre + reach) / (2.0 * reach);
        share.clamp(0.0, 1.0)
    });
    between(below)
}

fn shares(laws: &[(f64, f64, f64)], edges: &[f64]) -> Vec<f64> {
    let whole: f64 = laws.iter().map(|law| law.0).sum();
    let below = edges.iter().map(|edge| {
        let one = |law: &(f64, f64, f64)| law.0 * normal_below((edge.ln() - law.1) / law.2);
        laws.iter().map(one).sum::<f64>() / whole
    });
    between(below)
}

/// Shares between one edge and the next, from the shares below each edge.
fn between(below: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut shares = Vec::new();
    let mut before = 0.0;
    for share in below.chain([1.0]) {
        shares.push(f64::max(share - before, 0.0));
        before = f64::max(before, share);
    }
    shares
}

fn with_slips(shares: Vec<f64>, slips: &[f64]) -> Vec<f64> {
    let mixed = shares.iter().zip(slips);
    mixed
        .map(|(share, slip)| (1.0 - MEASURE_SLIP) * share + MEASURE_SLIP * slip)
        .collect()
}

impl Profile {
    /// Mean and deviation of the log of the weight that a find of the profile is expected to have, in
    /// the state it is said to be in, and the deviation among pieces as struck.
    pub(in crate::score) fn expected_weight(&self, find: &Find) -> Option<(f64, f64, f64)> {
        let laws = self.weight_laws(find);
        let whole: f64 = laws.iter().map(|law| law.0).sum();
        if laws.is_empty() || whole <= 0.0 {
            return None;
        }
        let mean = laws.iter().map(|law| law.0 * law.1).sum::<f64>() / whole;
        let square = |law: &(f64, f64, f64)| law.0 * (law.2.powi(2) + (law.1 - mean).powi(2));
        let variance = laws.iter().map(square).sum::<f64>() / whole;
        let struck = self.weights.iter().map(|part| part.share * part.cv);
        Some((mean, variance.sqrt(), struck.sum()))
    }

    /// As [`Profile::expected_weight`], of the diameter.
    pub(in crate::score) fn expected_diameter(&self, find: &Find) -> Option<(f64, f64, f64)> {
        let (mean, spread) = self.log_diameter(super::calliper_error(0.0), false)?;
        let (_, struck) = self.log_diameter(0.0, false)?;
        let clip = self.clip_weights(find);
        let clips = || CLIP_LOSS.iter().zip(clip);
        let across: f64 = clips().map(|(lost, share)| share * shrink(*lost)).sum();
        let off = |(lost, share): (&f64, f64)| share * (shrink(*lost) - across).powi(2);
        let variance = spread * spread + clips().map(off).sum::<f64>();
        Some((mean + across, variance.sqrt(), struck))
    }
}
