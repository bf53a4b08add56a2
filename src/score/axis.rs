//! Die axis: the hours a series was set to, with a uniform part for slips.
//!
//! Says nothing of types whose habit the library does not state.

use super::constants::{AXIS_SPREAD, AXIS_UNIFORM};
use super::evidence::{Detail, Evidence, Witness};
use crate::catalogue::AxisHabit;
use crate::find::DieAxis;

fn hours(habit: AxisHabit) -> &'static [u8] {
    match habit {
        AxisHabit::Upright => &[12],
        AxisHabit::Inverted => &[6],
        AxisHabit::UprightOrInverted => &[12, 6],
        AxisHabit::Quarters => &[12, 3, 6, 9],
        AxisHabit::Any | AxisHabit::Unstated => &[],
    }
}

/// Chance of an hour under a habit.
fn chance(hour: u8, habit: AxisHabit) -> f64 {
    let set = hours(habit);
    if set.is_empty() {
        return 1.0 / 12.0;
    }
    let near = |to: u8| {
        let apart = (i16::from(hour) - i16::from(to)).rem_euclid(12);
        AXIS_SPREAD
            .get(apart.min(12 - apart) as usize)
            .copied()
            .unwrap_or(0.0)
    };
    // The spread counts the hour itself once and its neighbours twice.
    let whole = AXIS_SPREAD[0] + 2.0 * AXIS_SPREAD[1] + 2.0 * AXIS_SPREAD[2];
    let habitual: f64 = set.iter().map(|to| near(*to)).sum::<f64>() / (whole * set.len() as f64);
    AXIS_UNIFORM / 12.0 + (1.0 - AXIS_UNIFORM) * habitual
}

/// Chance of an hour for a find that is not in the library, as like as not to be of a random or of
/// a fixed habit.
fn unlisted(hour: u8) -> f64 {
    0.5 * (chance(hour, AxisHabit::UprightOrInverted) + 1.0 / 12.0)
}

/// Chance that the hour lies nearest to each quarter, 12, 3, 6 and 9; a type whose habit the
/// library does not state is as a find that is not in it.
pub(super) fn quarters(habit: Option<AxisHabit>) -> [f64; 4] {
    let habit = habit.filter(|habit| *habit != AxisHabit::Unstated);
    let one = |hour: u8| habit.map_or_else(|| unlisted(hour), |habit| chance(hour, habit));
    [12, 3, 6, 9].map(|quarter: u8| {
        let hours = [quarter + 11, quarter, quarter + 1];
        hours.map(|hour| one((hour - 1) % 12 + 1)).iter().sum()
    })
}

/// The term for a die axis, if the type has a known habit.
pub(super) fn evidence(axis: DieAxis, habit: AxisHabit) -> Option<Evidence> {
    if habit == AxisHabit::Unstated {
        return None;
    }
    let nats = (chance(axis.hour(), habit) / unlisted(axis.hour())).ln();
    Some(Evidence {
        witness: Witness::DieAxis,
        nats,
        detail: Detail::DieAxis { hour: axis.hour() },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_habit_is_a_law_over_the_twelve_hours() {
        for habit in [
            AxisHabit::Any,
            AxisHabit::Upright,
            AxisHabit::Inverted,
            AxisHabit::UprightOrInverted,
            AxisHabit::Quarters,
        ] {
            let total: f64 = (1..=12).map(|hour| chance(hour, habit)).sum();
            assert!((total - 1.0).abs() < 1e-9, "{habit:?} sums to {total}");
        }
        assert!(chance(12, AxisHabit::Upright) > chance(1, AxisHabit::Upright));
        assert!(chance(1, AxisHabit::Upright) > chance(6, AxisHabit::Upright));
    }
}
