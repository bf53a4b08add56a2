//! Powers and lapses of things, fitted on pieces of known identity. Written by a command, not by hand:
//! `cargo run --release --example things -- --temper`.

/// How far the shares of each level may be believed: type, group, class, wider class, period.
pub(super) const POWERS: [f64; 5] = [1.06, 1.06, 0.72, 0.72, 1.10];

/// How often all goes astray, by level: so much of the chance is spread more evenly.
pub(super) const LAPSES: [f64; 5] = [0.07, 0.07, 0.03, 0.03, 0.09];

/// How loud each kind of witness speaks: names, forms, words by rows, words by weights, measures, prior.
pub(super) const LOUD: [f64; 6] = [0.67, 0.67, 1.10, 1.00, 0.60, 1.90];
