//! Powers and limits fitted on finds of known identity. Written by a command, not by hand:
//! `cargo run --release --example calibrate`.

/// Levels that are tempered.
pub(super) const LEVELS: usize = 8;

/// The power of each level by likeliest period: type, ruler and denomination, series and denomination,
/// ruler, period and denomination, series, denomination, period.
#[rustfmt::skip]
pub(super) const BY_PERIOD: &[(&str, [f64; LEVELS])] = &[
    ("all", [0.852, 0.938, 0.886, 0.915, 0.930, 0.864, 0.932, 0.896]),
    ("early-medieval", [0.805, 0.931, 0.792, 0.910, 0.881, 0.770, 0.880, 0.920]),
    ("georgian", [0.774, 0.852, 0.824, 0.868, 0.814, 0.843, 0.829, 0.829]),
    ("iron-age", [0.863, 1.101, 1.014, 1.076, 1.132, 1.002, 1.117, 1.109]),
    ("medieval", [0.816, 0.976, 0.975, 0.965, 0.953, 0.965, 0.966, 0.926]),
    ("roman", [0.875, 0.932, 0.873, 0.916, 0.997, 0.861, 0.994, 0.880]),
    ("stuart", [0.912, 0.986, 0.962, 0.946, 0.995, 0.913, 1.009, 0.950]),
    ("tudor", [0.847, 0.859, 0.841, 0.800, 0.821, 0.799, 0.805, 0.835]),
    ("twentieth-century", [0.779, 0.870, 0.816, 0.865, 0.849, 0.764, 0.852, 0.802]),
    ("victorian", [0.854, 0.934, 0.962, 0.946, 0.892, 0.940, 0.921, 0.977]),
];

/// Share that the likeliest types must hold together for the true one to be among them nine times in ten.
pub(super) const NINE_IN_TEN: f64 = 0.7336;
