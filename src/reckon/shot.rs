//! Lead balls: the weight of a sphere, its bore number, and the arms whose balls were so large.
//!
//! A battered ball is judged by its weight alone; one that is lighter than lead of its size, or
//! heavier, is said to be so and no arm is named with more than its chance.
//!
//! Invariant: diameter and weight of a ball of lead go into one another and back.

use std::f64::consts::PI;

use crate::catalogue::Arm;
use crate::find::Span;

/// Density of lead in g/cm3 at room temperature: 11.34 (CRC Handbook of Chemistry and Physics, value
/// from memory).
pub const LEAD: f64 = 11.34;
/// Grams in an avoirdupois pound (Weights and Measures Act 1963, first schedule; value from memory).
const POUND: f64 = 453.592_37;
/// Density below which a ball is not of sound lead: old balls hold flaws and hard lead some tin, and
/// have lost some of their skin. A judgement.
const SOUND: [f64; 2] = [9.6, 11.8];
/// Half-width, in mm, in which the edge of a range of balls fades. A judgement.
const EDGE: f64 = 0.2;
/// Chance beforehand that a ball belongs to none of the arms listed. A judgement.
const NONE: f64 = 0.1;
/// Range over which a ball of no arm listed may lie, in mm.
const ANY: [f64; 2] = [1.0, 60.0];

/// What weight and diameter say of the roundness of a ball.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Roundness {
    /// The two agree for solid lead.
    Sound,
    /// Only one of them was measured.
    Unknown,
    /// Too light for lead of that size: hollow, flattened, of another metal, or measured across
    /// its longest.
    Light,
    /// Too heavy for lead of that size: measured across its shortest, or no ball.
    Heavy,
}

/// A ball as its figures have it.
#[derive(Clone, Debug, PartialEq)]
pub struct Ball {
    /// Diameter in mm of the ball as cast: from the weight where there is one.
    pub cast: f64,
    /// How far that may be out, in mm.
    pub error: f64,
    /// Balls of that size to the pound.
    pub to_the_pound: f64,
    /// g/cm3, where both were measured.
    pub density: Option<f64>,
    /// What the two say together.
    pub roundness: Roundness,
    /// Arms by their places in the list, likeliest first, each with its share.
    pub arms: Vec<(usize, f64)>,
    /// Share of none of them.
    pub none: f64,
}

/// Weight in g of a ball of lead `diameter` mm across.
pub fn ball_weight(diameter: f64) -> f64 {
    PI / 6.0 * (diameter / 10.0).powi(3) * LEAD
}

/// Diameter in mm of a ball of lead that weighs `grams`.
pub fn ball_diameter(grams: f64) -> f64 {
    10.0 * (6.0 * grams / (PI * LEAD)).cbrt()
}

/// Diameter in mm of the balls that go `number` to the pound, which is what a gauge or bore number
/// says (Gun Barrel Proof Act 1868, schedule B).
pub fn gauge_diameter(number: f64) -> f64 {
    ball_diameter(POUND / number)
}

/// A ball of which the weight in g, the diameter in mm or both are known, each with its error.
/// `battered` sets the diameter aside. None when nothing is left to go by, or a figure is impossible.
pub fn shot(
    weight: Option<(f64, f64)>,
    diameter: Option<(f64, f64)>,
    battered: bool,
    within: Option<Span>,
    arms: &[Arm],
) -> Option<Ball> {
    let possible = |figure: &(f64, f64)| {
        figure.0.is_finite() && figure.0 > 0.0 && figure.1.is_finite() && figure.1 >= 0.0
    };
    let weight = weight.filter(possible);
    let diameter = diameter.filter(possible);
    let density = weight
        .zip(diameter)
        .map(|((grams, _), (across, _))| grams / (PI / 6.0 * (across / 10.0).powi(3)));
    let roundness = match density {
        None => Roundness::Unknown,
        Some(density) if density < SOUND[0] => Roundness::Light,
        Some(density) if density > SOUND[1] => Roundness::Heavy,
        Some(_) => Roundness::Sound,
    };
    let (cast, error) = match (weight, diameter) {
        // A flattened or corroded ball keeps its weight better than its shape; but what is far too
        // light for lead is perhaps not lead, and its size is all there is.
        (Some((grams, error)), _) if battered || roundness != Roundness::Light => {
            // Up to a fortieth of the weight is lost in the ground and at the sprue.
            let most = ball_diameter((grams + error) * 1.025);
            (ball_diameter(grams), most - ball_diameter(grams))
        }
        (_, Some((across, error))) if !battered => (across, error),
        _ => return None,
    };
    let (arms, none) = shares(cast, error, within, arms);
    Some(Ball {
        cast,
        error,
        to_the_pound: POUND / ball_weight(cast),
        density,
        roundness,
        arms,
        none,
    })
}

/// The arms that fire such balls, each with its share, and that of none.
fn shares(cast: f64, error: f64, within: Option<Span>, arms: &[Arm]) -> (Vec<(usize, f64)>, f64) {
    let edge = EDGE.hypot(error);
    let often: f64 = arms.iter().map(|arm| arm.often).sum();
    let one = |arm: &Arm| {
        let [least, most] = arm.ball;
        let gap = (least - cast).max(cast - most).max(0.0);
        let shared = within.is_none_or(|span| arm.span.overlaps(span));
        let timely = if shared { 1.0 } else { 0.05 };
        // A range so much wider says so much less of each place within it.
        let width = most - least + 2.0 * edge;
        timely * arm.often / often * (-0.5 * (gap / edge).powi(2)).exp() / width
    };
    let mut told: Vec<(usize, f64)> = arms.iter().map(one).enumerate().collect();
    let listed: f64 = told.iter().map(|arm| arm.1).sum::<f64>() * (1.0 - NONE);
    let none = NONE / (ANY[1] - ANY[0]);
    let whole = listed + none;
    told.iter_mut()
        .for_each(|arm| arm.1 *= (1.0 - NONE) / whole);
    told.retain(|arm| arm.1 >= 0.005);
    told.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let kept: f64 = told.iter().map(|arm| arm.1).sum();
    (told, 1.0 - kept)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Standing;

    fn arm(id: &str, ball: [f64; 2]) -> Arm {
        Arm {
            id: id.to_string(),
            name: id.to_string(),
            span: Span::new(1600, 1700).unwrap(),
            ball,
            often: 1.0,
            note: None,
            sources: Vec::new(),
            standing: Standing::Recalled,
        }
    }

    /// Gun Barrel Proof Act 1868, schedule B: bore number and diameter in inches (values from memory).
    #[test]
    fn gauges_are_those_of_the_proof_act() {
        let printed = [
            (1.0, 1.669),
            (2.0, 1.325),
            (4.0, 1.052),
            (8.0, 0.835),
            (10.0, 0.775),
            (12.0, 0.729),
            (14.0, 0.693),
            (16.0, 0.662),
            (17.0, 0.649),
            (20.0, 0.615),
            (24.0, 0.579),
            (28.0, 0.550),
            (32.0, 0.526),
            (50.0, 0.453),
        ];
        for (number, inches) in printed {
            let ours = gauge_diameter(number) / 25.4;
            assert!(
                (ours - inches).abs() < 0.0016,
                "{number}: {ours} for {inches}"
            );
        }
    }

    #[test]
    fn weight_and_diameter_go_into_one_another_and_back() {
        for diameter in [2.0, 9.9, 17.5, 25.0] {
            assert!((ball_diameter(ball_weight(diameter)) - diameter).abs() < 1e-9);
        }
        // A ball of 12 to the pound weighs a twelfth of it.
        assert!((ball_weight(gauge_diameter(12.0)) - POUND / 12.0).abs() < 1e-9);
    }

    #[test]
    fn a_battered_ball_is_judged_by_its_weight() {
        let arms = [arm("pistol", [11.5, 13.5]), arm("musket", [17.4, 19.7])];
        let flat = shot(Some((30.0, 0.05)), Some((24.0, 0.1)), true, None, &arms).unwrap();
        assert_eq!(flat.arms[0].0, 1);
        assert!((flat.cast - 17.16).abs() < 0.05, "{}", flat.cast);
        // The same without a word about its shape: too light for a sphere 24 mm across.
        let told = shot(Some((30.0, 0.05)), Some((24.0, 0.1)), false, None, &arms).unwrap();
        assert_eq!(told.roundness, Roundness::Light);
        assert!((told.cast - 24.0).abs() < 1e-9);
        assert!(told.none > 0.9);
        let steel = shot(Some((100.0, 0.1)), Some((17.0, 0.1)), false, None, &arms).unwrap();
        assert_eq!(steel.roundness, Roundness::Heavy);
    }

    #[test]
    fn shares_sum_to_one_and_what_was_not_measured_is_not_made_up() {
        let arms = [arm("pistol", [11.5, 13.5]), arm("musket", [17.4, 19.7])];
        for diameter in [3.0, 12.0, 15.5, 18.0, 40.0] {
            let ball = shot(None, Some((diameter, 0.1)), false, None, &arms).unwrap();
            let sum: f64 = ball.arms.iter().map(|arm| arm.1).sum();
            assert!((sum + ball.none - 1.0).abs() < 1e-9);
            assert_eq!((ball.density, ball.roundness), (None, Roundness::Unknown));
        }
        assert_eq!(shot(None, None, false, None, &arms), None);
        assert_eq!(shot(None, Some((12.0, 0.1)), true, None, &arms), None);
        assert_eq!(shot(Some((f64::NAN, 0.0)), None, false, None, &arms), None);
        // Of another age, it is the last to be thought of.
        let late = Span::new(1800, 1850).unwrap();
        let ball = shot(None, Some((18.0, 0.1)), false, Some(late), &arms[1..]).unwrap();
        let before = shot(None, Some((18.0, 0.1)), false, None, &arms[1..]).unwrap();
        assert!(ball.none > before.none);
    }
}
