//! Powers and limits fitted on finds of known identity. Written by a command, not by hand:
//! `cargo run --release --example calibrate`.

/// Levels that are tempered.
pub(super) const LEVELS: usize = 8;

/// The power of each level by likeliest period: type, ruler and denomination, series and denomination,
/// ruler, period and denomination, series, denomination, period.
#[rustfmt::skip]
pub(super) const BY_PERIOD: &[(&str, [f64; LEVELS])] = &[
    ("all", [1.070, 0.831, 0.892, 0.891, 0.902, 0.895, 0.911, 0.971]),
    ("early-medieval", [1.320, 1.146, 1.131, 1.179, 1.212, 1.146, 1.219, 1.265]),
    ("georgian", [1.010, 0.933, 0.915, 0.853, 0.945, 0.873, 0.907, 1.217]),
    ("iron-age", [0.935, 0.851, 0.932, 0.873, 1.140, 0.899, 1.155, 1.096]),
    ("medieval", [1.031, 0.817, 0.831, 0.947, 0.779, 0.881, 0.834, 0.927]),
    ("roman", [1.170, 0.842, 0.918, 0.864, 0.981, 0.888, 0.974, 0.828]),
    ("stuart", [0.951, 0.945, 0.896, 1.275, 1.046, 0.977, 0.983, 1.364]),
    ("tudor", [1.002, 0.721, 0.848, 0.717, 0.842, 0.828, 0.837, 0.920]),
    ("twentieth-century", [0.984, 0.869, 0.884, 0.976, 0.924, 0.887, 0.918, 1.080]),
    ("victorian", [1.170, 0.680, 0.877, 0.820, 0.733, 0.826, 0.729, 0.892]),
];

/// How often all goes astray, by level: so much of the chance is spread more evenly.
pub(super) const LAPSE: [f64; LEVELS] = [0.15, 0.05, 0.05, 0.05, 0.05, 0.05, 0.05, 0.05];

/// Nats added to "not in the library" by the metal named: gold, silver and what passes for it, copper
/// alloy, any other or none.
pub(super) const UNLISTED: [f64; 4] = [0.051, -0.115, 0.397, -1.155];

/// Share that the likeliest types must hold together for the true one to be among them nine times in ten.
pub(super) const NINE_IN_TEN: f64 = 0.8870;
