//! Powers and limits fitted on finds of known identity. Written by a command, not by hand:
//! `cargo run --release --example calibrate`.

/// Levels that are tempered.
pub(super) const LEVELS: usize = 8;

/// The power of each level by likeliest period: type, ruler and denomination, series and denomination,
/// ruler, period and denomination, series, denomination, period.
#[rustfmt::skip]
pub(super) const BY_PERIOD: &[(&str, [f64; LEVELS])] = &[
    ("all", [1.098, 0.752, 0.803, 0.822, 0.824, 0.805, 0.805, 0.983]),
    ("early-medieval", [1.230, 0.749, 1.051, 0.762, 1.125, 1.048, 1.112, 1.317]),
    ("georgian", [1.345, 0.808, 0.805, 0.794, 0.836, 0.766, 0.790, 1.200]),
    ("iron-age", [1.003, 0.733, 0.799, 0.769, 1.040, 0.766, 1.020, 1.053]),
    ("medieval", [1.042, 0.747, 0.778, 0.866, 0.731, 0.781, 0.737, 0.934]),
    ("roman", [1.215, 0.780, 0.814, 0.829, 0.885, 0.803, 0.862, 0.869]),
    ("stuart", [0.906, 0.839, 0.772, 0.967, 0.881, 0.846, 0.839, 1.394]),
    ("tudor", [1.009, 0.687, 0.776, 0.719, 0.787, 0.776, 0.764, 0.971]),
    ("twentieth-century", [0.993, 0.793, 0.796, 0.907, 0.854, 0.818, 0.829, 1.058]),
    ("victorian", [1.314, 0.588, 0.786, 0.779, 0.648, 0.762, 0.626, 0.928]),
];

/// How often all goes astray, by level: so much of the chance is spread more evenly.
pub(super) const LAPSE: [f64; LEVELS] = [0.21, 0.02, 0.02, 0.02, 0.02, 0.02, 0.02, 0.02];

/// Nats added to "not in the library" by the metal named: gold, silver and what passes for it, copper
/// alloy, any other or none.
pub(super) const UNLISTED: [f64; 4] = [-0.812, -1.355, -0.236, -1.226];

/// Share that the likeliest types must hold together for the true one to be among them nine times in ten.
pub(super) const NINE_IN_TEN: f64 = 0.8733;
