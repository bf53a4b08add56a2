//! Powers and lapses of things, fitted on pieces of known identity. Written by a command, not by hand:
//! `cargo run --release --example things -- --temper`.

/// How far the shares of each level may be believed: type, group, class, wider class, period.
pub(super) const POWERS: [f64; 5] = [0.81, 0.81, 0.72, 0.72, 1.00];

/// How often all goes astray, by level: so much of the chance is spread more evenly.
pub(super) const LAPSES: [f64; 5] = [0.03, 0.03, 0.02, 0.02, 0.04];
