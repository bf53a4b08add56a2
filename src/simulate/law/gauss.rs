//! Sums in place of integrals, and the normal law.
//!
//! Knows nothing of finds. Invariant: the weights of the places of a stretch sum to its length.

/// Places and weights by which a smooth function is summed from nought to one (Gauss and Legendre).
pub(super) fn places(count: usize) -> Vec<(f64, f64)> {
    let n = count as f64;
    let mut all = Vec::with_capacity(count);
    for place in 0..count {
        let mut x = (std::f64::consts::PI * (place as f64 + 0.75) / (n + 0.5)).cos();
        let mut slope = 1.0;
        for _ in 0..60 {
            let (mut before, mut now) = (1.0, x);
            for k in 2..=count {
                let k = k as f64;
                (before, now) = (now, ((2.0 * k - 1.0) * x * now - (k - 1.0) * before) / k);
            }
            slope = n * (x * now - before) / (x * x - 1.0);
            let step = now / slope;
            x -= step;
            if step.abs() < 1e-15 {
                break;
            }
        }
        all.push(((1.0 - x) / 2.0, 1.0 / ((1.0 - x * x) * slope * slope)));
    }
    all
}

/// Chance that a normal deviate falls below this (error below two in ten million of itself).
fn below(z: f64) -> f64 {
    let x = z.abs() / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.5 * x);
    const TERMS: [f64; 10] = [
        -1.265_512_23,
        1.000_023_68,
        0.374_091_96,
        0.096_784_18,
        -0.186_288_06,
        0.278_868_07,
        -1.135_203_98,
        1.488_515_87,
        -0.822_152_23,
        0.170_872_77,
    ];
    let sum = TERMS.iter().rev().fold(0.0, |sum, term| sum * t + term);
    let tail = 0.5 * t * (sum - x * x).exp();
    if z < 0.0 { tail } else { 1.0 - tail }
}

fn density(z: f64) -> f64 {
    const ROOT: f64 = 0.398_942_280_401_432_7;
    ROOT * (-0.5 * z * z).exp()
}

/// Chance that a normal deviate falls between two values, the first of which may be no bound.
pub(super) fn between(low: f64, high: f64) -> f64 {
    let wide = high - low;
    if wide <= 0.0 {
        return 0.0;
    }
    if wide < 0.25 {
        let middle = (low + high) / 2.0;
        return density(middle) * wide * (1.0 + wide * wide / 24.0 * (middle * middle - 1.0));
    }
    if low > 0.0 {
        return (below(-low) - below(-high)).max(0.0);
    }
    (below(high) - below(low)).max(0.0)
}

/// Chance that an even value between `least` and `most`, plus a normal error, falls below a bound.
pub(super) fn even_below(bound: f64, least: f64, most: f64, error: f64) -> f64 {
    let height = |z: f64| z * below(z) + density(z);
    if most - least < 1e-9 {
        return below((bound - least) / error);
    }
    let (far, near) = ((bound - least) / error, (bound - most) / error);
    if near > 8.0 {
        return 1.0;
    }
    if far < -8.0 {
        return 0.0;
    }
    ((height(far) - height(near)) * error / (most - least)).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_stand_for_integrals() {
        for count in [2, 5, 24] {
            let sum: f64 = places(count).iter().map(|(x, w)| w * x * x * x).sum();
            assert!((sum - 0.25).abs() < 1e-12, "{count}: {sum}");
        }
        assert!((between(-1.96, 1.96) - 0.950_004).abs() < 1e-5);
        assert!((between(3.0, 3.2) / between(3.0, 3.3) - 0.766_0).abs() < 0.01);
        assert!((between(f64::NEG_INFINITY, 0.0) - 0.5).abs() < 1e-6);
        assert!((even_below(1.5, 1.0, 2.0, 0.01) - 0.5).abs() < 1e-6);
    }
}
