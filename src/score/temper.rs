//! Temper: how far a share may be believed, level by level.
//!
//! Traits overlap (a ruler's legend, bust and mint say partly the same thing), so sums of terms are
//! too sharp, and not alike at every level. Each share is raised to a power that was fitted on finds
//! of known identity, and the shares of a level are made to sum to what is not "not in the library".
//! Now and then all goes astray (a wrong record, a type that fits by chance), so a fitted share of the
//! chance is spread more evenly: by the fourth root of the shares. The square root leaves a share of
//! 0.99 nearly as it was, so that a fit must sharpen the rest to reach the tails.
//! How loud that possibility is was fitted too, on pieces of other lands. The figures stand in
//! `fitted`; nothing is fitted here.
//!
//! Invariant: tempering changes no order, and a power of one without lapses changes nothing.

use super::answer::Level;
use super::fitted::{BY_PERIOD, LAPSE, LEVELS, UNLISTED};
use crate::find::MetalSeen;

/// The power of each level, narrowest first, in the order of [`Level`].
pub(super) type Sharpness = [f64; LEVELS];

/// The powers for finds whose likeliest period is this.
pub(super) fn sharpness(period: Option<&str>) -> Sharpness {
    let own = period.and_then(|id| BY_PERIOD.iter().find(|(period, _)| *period == id));
    // The first row is that of all periods.
    own.unwrap_or(&BY_PERIOD[0]).1
}

/// Place of a metal among those for which "not in the library" is fitted.
pub fn unlisted_group(metal: Option<MetalSeen>) -> usize {
    match metal {
        Some(MetalSeen::Gold) => 0,
        Some(MetalSeen::Silver | MetalSeen::BaseSilver | MetalSeen::Plated) => 1,
        Some(MetalSeen::CopperAlloy) => 2,
        Some(MetalSeen::WhiteMetal | MetalSeen::Lead | MetalSeen::Iron) | None => 3,
    }
}

/// Nats that were fitted for "not in the library", by the metal named.
pub fn unlisted_shift(metal: Option<MetalSeen>) -> f64 {
    UNLISTED[unlisted_group(metal)]
}

/// The power of a level.
pub(super) fn of(sharpness: &Sharpness, level: Level) -> f64 {
    sharpness.get(level as usize).copied().unwrap_or(1.0)
}

/// Shares below this are left as they are: there can be thousands of them, and what is let go before
/// it is weighed must not be missed.
const FAINT: f64 = 1e-6;

/// How often all goes astray at a level.
pub(super) fn lapse(level: Level) -> f64 {
    LAPSE.get(level as usize).copied().unwrap_or(0.0)
}

/// The fourth root of a share; of a faint one, itself.
fn evened(share: f64) -> f64 {
    match share {
        share if share < FAINT => share.max(0.0),
        share => share.sqrt().sqrt(),
    }
}

fn raised(share: f64, power: f64) -> f64 {
    match share {
        share if share < FAINT => share.max(0.0),
        share => share.powf(power),
    }
}

/// Tempers the shares of one level in place; they come to sum to `whole`.
pub fn temper(shares: &mut [f64], power: f64, lapse: f64, whole: f64) {
    let sums = sums(shares, power);
    if sums.0 > 0.0 {
        let told = |share: &mut f64| *share = whole * tempered(*share, power, lapse, sums);
        shares.iter_mut().for_each(told);
    }
}

/// Tempers the shares of a level in place, as that level is told; they come to sum to `whole`.
pub(super) fn told(level: Level, sharpness: &Sharpness, shares: &mut [f64], whole: f64) {
    temper(shares, of(sharpness, level), lapse(level), whole);
}

/// Tempers shares in place beside the raw share of "not in the library"; gives what that comes to.
pub fn beside_unlisted(shares: &mut [f64], unlisted: f64, power: f64, lapse: f64) -> f64 {
    let (sharp, even) = sums(shares, power);
    let sums = (sharp + raised(unlisted, power), even + evened(unlisted));
    let told = |share: &mut f64| *share = tempered(*share, power, lapse, sums);
    shares.iter_mut().for_each(told);
    tempered(unlisted, power, lapse, sums)
}

/// Sums of the shares raised to the power, and of their roots.
fn sums(shares: &[f64], power: f64) -> (f64, f64) {
    let both = |share: &f64| (raised(*share, power), evened(*share));
    let shares = shares.iter().map(both);
    shares.fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
}

/// A share as it is told, of shares with these sums.
fn tempered(share: f64, power: f64, lapse: f64, sums: (f64, f64)) -> f64 {
    (1.0 - lapse) * raised(share, power) / sums.0 + lapse * evened(share) / sums.1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_power_of_one_changes_nothing_and_none_changes_the_order() {
        let raw = [0.5, 0.25, 0.15];
        let mut same = raw;
        temper(&mut same, 1.0, 0.0, 0.9);
        for (a, b) in raw.iter().zip(same) {
            assert!((a - b).abs() < 1e-12);
        }
        assert!((beside_unlisted(&mut raw.clone(), 0.1, 1.0, 0.0) - 0.1).abs() < 1e-12);
        let mut flat = raw;
        temper(&mut flat, 0.8, 0.05, 0.9);
        assert!(flat[0] < raw[0] && flat[2] > raw[2]);
        assert!(flat.windows(2).all(|pair| pair[0] > pair[1]));
        assert!((flat.iter().sum::<f64>() - 0.9).abs() < 1e-12);
    }

    /// By hand: the fourth roots of 0.9801 and 0.0001 are 0.994987 and 0.1.
    #[test]
    fn a_lapse_takes_from_the_surest_too() {
        let mut sure = [0.9801, 0.0001];
        temper(&mut sure, 1.0, 0.1, 1.0);
        let kept = 0.9 * 0.9801 / 0.9802 + 0.1 * 0.994987 / 1.094987;
        assert!((sure[0] - kept).abs() < 1e-6, "{sure:?}");
        assert!(sure[0] < 0.991 && sure[1] > 0.009);
    }

    #[test]
    fn every_row_has_a_power_for_every_level() {
        assert_eq!(BY_PERIOD[0].0, "all");
        assert!(LAPSE.iter().all(|lapse| (0.0..0.3).contains(lapse)));
        for (period, powers) in BY_PERIOD {
            assert!(
                powers.iter().all(|power| (0.3..=2.0).contains(power)),
                "{period}"
            );
        }
    }
}
