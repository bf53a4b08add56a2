//! Powers and limits fitted on finds of known identity. Written by a command, not by hand:
//! `cargo run --release --example calibrate`.

/// Levels that are tempered.
pub(super) const LEVELS: usize = 8;

/// The power of each level by likeliest period: type, ruler and denomination, series and denomination,
/// ruler, period and denomination, series, denomination, period.
#[rustfmt::skip]
pub(super) const BY_PERIOD: &[(&str, [f64; LEVELS])] = &[
    ("all", [1.071, 0.836, 0.914, 0.893, 0.956, 0.918, 0.975, 1.003]),
    ("early-medieval", [1.062, 1.022, 1.197, 1.045, 1.238, 1.193, 1.252, 1.276]),
    ("georgian", [1.095, 1.187, 1.249, 1.171, 1.286, 1.172, 1.299, 1.268]),
    ("iron-age", [0.955, 0.852, 0.954, 0.873, 1.186, 0.918, 1.203, 1.121]),
    ("medieval", [1.022, 0.809, 0.822, 0.937, 0.815, 0.863, 0.874, 0.963]),
    ("roman", [1.219, 0.873, 0.967, 0.907, 1.088, 0.945, 1.087, 0.872]),
    ("stuart", [0.946, 0.983, 0.914, 1.262, 1.099, 0.993, 1.034, 1.371]),
    ("tudor", [0.967, 0.700, 0.856, 0.684, 0.857, 0.818, 0.873, 0.858]),
    ("twentieth-century", [1.010, 0.875, 0.905, 0.985, 0.964, 0.901, 0.966, 1.127]),
    ("victorian", [1.116, 0.693, 0.899, 0.828, 0.780, 0.839, 0.781, 0.936]),
];

/// How often all goes astray, by level: so much of the chance is spread more evenly.
pub(super) const LAPSE: [f64; LEVELS] = [0.18, 0.08, 0.08, 0.08, 0.08, 0.08, 0.08, 0.08];

/// Nats added to "not in the library" by the metal named: gold, silver and what passes for it, copper
/// alloy, any other or none.
pub(super) const UNLISTED: [f64; 4] = [0.096, -0.154, 0.341, -1.211];

/// Share that the likeliest types must hold together for the true one to be among them nine times in ten.
pub(super) const NINE_IN_TEN: f64 = 0.8609;
