//! Powers and limits fitted on finds of known identity. Written by a command, not by hand:
//! `cargo run --release --example calibrate`.

/// Levels that are tempered.
pub(super) const LEVELS: usize = 8;

/// The power of each level by likeliest period: type, ruler and denomination, series and denomination,
/// ruler, period and denomination, series, denomination, period.
#[rustfmt::skip]
pub(super) const BY_PERIOD: &[(&str, [f64; LEVELS])] = &[
    ("all", [1.134, 1.009, 1.023, 1.008, 1.016, 1.016, 0.997, 1.042]),
    ("early-medieval", [1.109, 1.087, 0.953, 1.089, 1.184, 0.940, 1.151, 1.220]),
    ("georgian", [1.016, 1.023, 1.025, 1.107, 0.983, 1.078, 0.956, 1.144]),
    ("iron-age", [1.049, 1.175, 1.186, 1.175, 1.181, 1.181, 1.167, 1.199]),
    ("medieval", [1.154, 1.047, 1.161, 1.055, 1.076, 1.164, 1.062, 1.124]),
    ("roman", [1.171, 1.038, 1.054, 1.028, 1.132, 1.050, 1.121, 1.027]),
    ("stuart", [1.406, 1.048, 1.060, 1.056, 1.029, 1.065, 1.032, 1.072]),
    ("tudor", [0.990, 0.831, 0.843, 0.815, 0.839, 0.796, 0.816, 0.909]),
    ("twentieth-century", [1.013, 0.965, 0.999, 0.947, 0.986, 0.970, 0.977, 0.936]),
    ("victorian", [1.311, 1.000, 1.063, 1.063, 0.949, 1.098, 0.924, 1.132]),
];

/// How often all goes astray, by level: so much of the chance is spread more evenly.
pub(super) const LAPSE: [f64; LEVELS] = [0.1, 0.045, 0.07, 0.045, 0.025, 0.07, 0.025, 0.025];

/// Nats added to "not in the library" by the metal named: gold, silver and what passes for it, copper
/// alloy, any other or none.
pub(super) const UNLISTED: [f64; 4] = [0.473, 0.139, 0.693, -0.703];

/// Share that the likeliest types must hold together for the true one to be among them nine times in ten.
pub(super) const NINE_IN_TEN: f64 = 0.8721;
