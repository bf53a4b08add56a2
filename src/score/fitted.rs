//! Powers and limits fitted on finds of known identity. Written by a command, not by hand:
//! `cargo run --release --example calibrate`.

/// Levels that are tempered.
pub(super) const LEVELS: usize = 8;

/// The power of each level by likeliest period: type, ruler and denomination, series and denomination,
/// ruler, period and denomination, series, denomination, period.
#[rustfmt::skip]
pub(super) const BY_PERIOD: &[(&str, [f64; LEVELS])] = &[
    ("all", [1.226, 0.977, 1.037, 1.007, 0.994, 1.056, 1.025, 1.038]),
    ("early-medieval", [1.173, 1.086, 1.225, 1.101, 1.197, 1.238, 1.217, 1.226]),
    ("georgian", [1.209, 1.282, 1.328, 1.124, 1.308, 1.328, 1.322, 1.212]),
    ("iron-age", [1.081, 1.157, 1.200, 1.179, 1.169, 1.213, 1.191, 1.201]),
    ("medieval", [1.141, 0.941, 0.944, 0.996, 0.888, 1.001, 0.980, 0.961]),
    ("roman", [1.350, 0.964, 1.104, 1.004, 1.022, 1.078, 1.020, 0.883]),
    ("stuart", [1.151, 1.132, 1.000, 1.358, 1.187, 1.163, 1.122, 1.371]),
    ("tudor", [1.100, 0.839, 0.919, 0.823, 0.877, 0.871, 0.889, 0.904]),
    ("twentieth-century", [1.106, 0.950, 1.031, 0.959, 0.992, 1.015, 1.019, 0.977]),
    ("victorian", [1.379, 1.108, 1.267, 0.982, 1.144, 1.278, 1.180, 1.133]),
];

/// How often all goes astray, by level: so much of the chance is spread more evenly.
pub(super) const LAPSE: [f64; LEVELS] = [0.25, 0.045, 0.14, 0.07, 0.045, 0.14, 0.045, 0.1];

/// Nats added to "not in the library" by the metal named: gold, silver and what passes for it, copper
/// alloy, any other or none.
pub(super) const UNLISTED: [f64; 4] = [0.295, -0.158, 0.605, -1.177];

/// Share that the likeliest types must hold together for the true one to be among them nine times in ten.
pub(super) const NINE_IN_TEN: f64 = 0.8739;
