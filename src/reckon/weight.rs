//! Weights against the standards that were kept: which pound, ounce or coin a piece is a step of.
//!
//! A weight loses metal in the ground and seldom gains, so it is more often light than heavy. With
//! many standards nearly every weight lies near one, so how near one would come by mere chance is
//! told beside the likeliest.
//!
//! Invariant: the shares with that of none sum to 1; a heavier piece is never nearer a lighter step.

use crate::catalogue::WeightStandard;
use crate::find::Span;

/// Chance beforehand that a piece is a step of none of the standards listed: many are plain lead
/// made to a neighbour's, or are no weights at all. A judgement.
const NONE: f64 = 0.4;
/// Scales of the logarithm of weight over standard: as made and adjusted, then of what is lost in
/// the ground, and of crust or lead added. Judgements; archaeologists mostly allow a twentieth.
const MADE: f64 = 0.010;
const LOST: f64 = 0.035;
const GAINED: f64 = 0.012;
/// How much of the chance is that nothing to speak of was lost or gained.
const SOUND: f64 = 0.5;
/// Range over which a weight of no standard may lie, in g.
const ANY: [f64; 2] = [0.3, 20_000.0];

/// A step of a standard and how near the piece comes to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Near {
    /// Place of the standard in the list.
    pub standard: usize,
    /// Place of the step in the standard.
    pub step: usize,
    /// What the step weighs, in g.
    pub nominal: f64,
    /// Weight over that, less 1.
    pub off: f64,
    /// Share of the chance.
    pub share: f64,
}

/// A piece held against the standards.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighed {
    /// Steps by share, the likeliest first; at most one a standard.
    pub near: Vec<Near>,
    /// Share of none of them.
    pub none: f64,
    /// How often a weight taken at random between half and twice this one would lie as near some
    /// step as this one does to the nearest.
    pub by_chance: f64,
}

/// A piece of `grams`, read to within `error` g, against the standards; those out of `within` are
/// taken to be rare. None when the figure is impossible or there is no standard.
pub fn weigh(
    grams: f64,
    error: f64,
    within: Option<Span>,
    standards: &[WeightStandard],
) -> Option<Weighed> {
    let possible = grams.is_finite() && grams > 0.0 && error.is_finite() && error >= 0.0;
    if !possible || standards.is_empty() {
        return None;
    }
    let scale = error / grams;
    let often: f64 = standards.iter().map(|standard| standard.often).sum();
    let mut near: Vec<Near> = Vec::new();
    let mut all = 0.0;
    for (place, standard) in standards.iter().enumerate() {
        let timely = match within {
            Some(span) if !standard.span.overlaps(span) => 0.03,
            _ => 1.0,
        };
        let each = timely * standard.often / often / standard.steps.len().max(1) as f64;
        let steps = standard.steps.iter().enumerate().map(|(step, named)| {
            let nominal = standard.unit * named.of;
            Near {
                standard: place,
                step,
                nominal,
                off: grams / nominal - 1.0,
                share: each * density((grams / nominal).ln(), scale),
            }
        });
        let steps: Vec<Near> = steps.collect();
        all += steps.iter().map(|near| near.share).sum::<f64>();
        near.extend(steps.into_iter().max_by(|a, b| a.share.total_cmp(&b.share)));
    }
    let none = NONE / (ANY[1] / ANY[0]).ln();
    let whole = all * (1.0 - NONE) + none;
    for step in &mut near {
        step.share *= (1.0 - NONE) / whole;
    }
    near.sort_by(|a, b| {
        b.share
            .total_cmp(&a.share)
            .then(a.standard.cmp(&b.standard))
    });
    near.retain(|step| step.share >= 0.005);
    let kept: f64 = near.iter().map(|step| step.share).sum();
    Some(Weighed {
        near,
        none: 1.0 - kept,
        by_chance: by_chance(grams, standards),
    })
}

/// Density of the logarithm of weight over standard.
fn density(off: f64, scale: f64) -> f64 {
    let made = MADE.hypot(scale);
    let sound = (-0.5 * (off / made).powi(2)).exp() / (made * (2.0 * std::f64::consts::PI).sqrt());
    let (left, right) = (LOST.hypot(scale), GAINED.hypot(scale));
    let side = if off < 0.0 { left } else { right };
    SOUND * sound + (1.0 - SOUND) * (-off.abs() / side).exp() / (left + right)
}

/// How much of the octave below and above `grams` lies as near some step as `grams` does.
fn by_chance(grams: f64, standards: &[WeightStandard]) -> f64 {
    let steps = standards
        .iter()
        .flat_map(|s| s.steps.iter().map(|step| (s.unit * step.of).ln()));
    let mut steps: Vec<f64> = steps.collect();
    steps.sort_by(f64::total_cmp);
    let here = grams.ln();
    let nearest = steps
        .iter()
        .map(|step| (step - here).abs())
        .fold(f64::INFINITY, f64::min);
    let (low, high) = (here - 2f64.ln(), here + 2f64.ln());
    let (mut covered, mut reached) = (0.0, low);
    for step in steps {
        let (from, to) = ((step - nearest).max(reached), (step + nearest).min(high));
        if to > from {
            covered += to - from;
            reached = to;
        }
    }
    (covered / (high - low)).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::{Standing, Step};

    fn standard(id: &str, unit: f64, steps: &[f64]) -> WeightStandard {
        WeightStandard {
            id: id.to_string(),
            name: id.to_string(),
            span: Span::new(43, 410).unwrap(),
            unit,
            often: 1.0,
            steps: steps
                .iter()
                .map(|of| Step {
                    name: format!("{of}"),
                    of: *of,
                })
                .collect(),
            note: None,
            sources: Vec::new(),
            standing: Standing::Recalled,
        }
    }

    #[test]
    fn a_piece_a_little_light_is_the_step_it_was_made_to() {
        let standards = [
            standard("roman", 27.2875, &[0.5, 1.0, 2.0]),
            standard("avoirdupois", 28.3495, &[0.5, 1.0, 2.0]),
        ];
        let light = weigh(26.9, 0.05, None, &standards).unwrap();
        assert_eq!((light.near[0].standard, light.near[0].step), (0, 1));
        assert!(light.near[0].off < 0.0 && light.near[0].off > -0.02);
        let sum: f64 = light.near.iter().map(|near| near.share).sum();
        assert!((sum + light.none - 1.0).abs() < 1e-9);
        // A piece that is heavier than a step is less likely to be it than one as much lighter.
        let (under, over) = (27.2875 * 0.96, 27.2875 / 0.96);
        let share = |grams: f64| weigh(grams, 0.05, None, &standards[..1]).unwrap().near;
        assert!(share(under)[0].share > share(over).first().map_or(0.0, |near| near.share));
        // Between two steps it is none of them.
        let astray = weigh(20.0, 0.05, None, &standards).unwrap();
        assert!(astray.none > 0.9, "{astray:?}");
    }

    #[test]
    fn how_near_by_chance_grows_with_the_distance_and_the_steps() {
        let few = [standard("one", 10.0, &[1.0])];
        let exact = weigh(10.0, 0.01, None, &few).unwrap();
        assert!(exact.by_chance < 1e-9);
        // A tenth off on both sides of one step: two tenths of an octave and its fellow, nearly.
        let off = weigh(11.0, 0.01, None, &few).unwrap();
        let expected = 2.0 * 1.1f64.ln() / (2.0 * 2f64.ln());
        assert!((off.by_chance - expected).abs() < 1e-9, "{}", off.by_chance);
        let many = [standard("many", 10.0, &[0.9, 1.0, 1.2, 1.4])];
        assert!(weigh(11.0, 0.01, None, &many).unwrap().by_chance > off.by_chance);
    }

    #[test]
    fn impossible_figures_are_refused_and_other_times_are_rare() {
        let roman = [standard("roman", 27.2875, &[1.0])];
        for (grams, error) in [
            (0.0, 0.1),
            (-1.0, 0.1),
            (f64::NAN, 0.1),
            (1.0, f64::INFINITY),
        ] {
            assert_eq!(weigh(grams, error, None, &roman), None);
        }
        assert_eq!(weigh(27.0, 0.1, None, &[]), None);
        let late = Span::new(1800, 1850).unwrap();
        let (with, without) = (
            weigh(27.2, 0.1, Some(late), &roman).unwrap(),
            weigh(27.2, 0.1, None, &roman).unwrap(),
        );
        assert!(with.none > without.none);
    }
}
