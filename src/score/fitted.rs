//! Powers and limits fitted on finds of known identity. Written by a command, not by hand:
//! `cargo run --release --example calibrate`.

/// Levels that are tempered.
pub(super) const LEVELS: usize = 8;

/// The power of each level by likeliest period: type, ruler and denomination, series and denomination,
/// ruler, period and denomination, series, denomination, period.
#[rustfmt::skip]
pub(super) const BY_PERIOD: &[(&str, [f64; LEVELS])] = &[
    ("all", [0.845, 0.930, 0.890, 0.931, 0.932, 0.894, 0.918, 0.940]),
    ("early-medieval", [0.878, 0.946, 0.885, 0.945, 1.039, 0.882, 1.013, 1.110]),
    ("georgian", [0.793, 0.899, 0.838, 1.016, 0.843, 0.922, 0.819, 0.972]),
    ("iron-age", [0.855, 1.058, 1.022, 1.071, 1.061, 1.017, 1.095, 1.125]),
    ("medieval", [0.809, 0.936, 0.953, 0.936, 0.966, 0.948, 0.964, 0.954]),
    ("roman", [0.865, 0.936, 0.881, 0.930, 0.989, 0.878, 0.979, 0.919]),
    ("stuart", [0.903, 0.943, 0.907, 0.957, 0.935, 0.909, 0.962, 0.938]),
    ("tudor", [0.790, 0.878, 0.870, 0.840, 0.837, 0.855, 0.810, 0.879]),
    ("twentieth-century", [0.747, 0.883, 0.834, 0.843, 0.879, 0.806, 0.882, 0.858]),
    ("victorian", [0.781, 0.853, 0.808, 0.903, 0.830, 0.909, 0.804, 1.013]),
];

/// Nats added to "not in the library" by the metal named: gold, silver and what passes for it, copper
/// alloy, any other or none.
pub(super) const UNLISTED: [f64; 4] = [0.0, 0.0, 0.0, 0.0];

/// Share that the likeliest types must hold together for the true one to be among them nine times in ten.
pub(super) const NINE_IN_TEN: f64 = 0.7168;
