//! Powers and limits fitted on finds of known identity. Written by a command, not by hand:
//! `cargo run --release --example calibrate`.

/// Levels that are tempered.
pub(super) const LEVELS: usize = 8;

/// The power of each level by likeliest period: type, ruler and denomination, series and denomination,
/// ruler, period and denomination, series, denomination, period.
#[rustfmt::skip]
pub(super) const BY_PERIOD: &[(&str, [f64; LEVELS])] = &[
    ("all", [0.918, 0.966, 0.926, 0.976, 0.972, 0.927, 0.965, 0.970]),
    ("early-medieval", [0.959, 1.019, 0.931, 1.024, 1.146, 0.926, 1.126, 1.173]),
    ("georgian", [0.843, 0.921, 0.869, 1.052, 0.926, 0.938, 0.907, 1.093]),
    ("iron-age", [0.905, 1.116, 1.052, 1.126, 1.074, 1.045, 1.109, 1.121]),
    ("medieval", [0.918, 0.960, 0.966, 0.962, 0.974, 0.956, 0.978, 0.969]),
    ("roman", [0.937, 0.986, 0.936, 0.980, 1.020, 0.932, 1.015, 0.937]),
    ("stuart", [0.961, 0.969, 0.924, 1.019, 0.961, 0.944, 0.958, 1.039]),
    ("tudor", [0.850, 0.868, 0.840, 0.861, 0.874, 0.808, 0.854, 0.918]),
    ("twentieth-century", [0.851, 0.905, 0.869, 0.898, 0.922, 0.875, 0.946, 0.871]),
    ("victorian", [0.985, 0.923, 0.901, 1.022, 0.904, 0.977, 0.890, 1.032]),
];

/// How often all goes astray, by level: so much of the chance is spread more evenly.
pub(super) const LAPSE: [f64; LEVELS] = [0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0];

/// Nats added to "not in the library" by the metal named: gold, silver and what passes for it, copper
/// alloy, any other or none.
pub(super) const UNLISTED: [f64; 4] = [1.168, 0.865, 1.161, 0.251];

/// Share that the likeliest types must hold together for the true one to be among them nine times in ten.
pub(super) const NINE_IN_TEN: f64 = 0.7475;
