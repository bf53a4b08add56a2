//! Powers and limits fitted on finds of known identity. Written by a command, not by hand:
//! `cargo run --release --example calibrate`.

/// Levels that are tempered.
pub(super) const LEVELS: usize = 8;

/// The power of each level by likeliest period: type, ruler and denomination, series and denomination,
/// ruler, period and denomination, series, denomination, period.
#[rustfmt::skip]
pub(super) const BY_PERIOD: &[(&str, [f64; LEVELS])] = &[
    ("all", [1.099, 1.000, 1.002, 0.994, 0.984, 0.992, 0.981, 0.982]),
    ("early-medieval", [1.016, 1.071, 0.867, 1.068, 1.165, 0.849, 1.146, 1.178]),
    ("georgian", [0.975, 1.039, 1.065, 1.111, 0.973, 1.115, 0.955, 1.152]),
    ("iron-age", [1.005, 1.172, 1.174, 1.168, 1.161, 1.166, 1.158, 1.154]),
    ("medieval", [1.133, 1.063, 1.115, 1.072, 1.052, 1.110, 1.039, 1.100]),
    ("roman", [1.153, 1.041, 1.054, 1.027, 1.122, 1.051, 1.112, 1.018]),
    ("stuart", [1.371, 1.034, 1.031, 1.038, 0.986, 1.035, 0.996, 0.998]),
    ("tudor", [0.951, 0.805, 0.807, 0.779, 0.800, 0.754, 0.802, 0.796]),
    ("twentieth-century", [0.991, 0.978, 0.999, 0.950, 0.972, 0.965, 0.981, 0.878]),
    ("victorian", [1.161, 0.947, 0.999, 0.975, 0.904, 1.018, 0.890, 1.034]),
];

/// How often all goes astray, by level: so much of the chance is spread more evenly.
pub(super) const LAPSE: [f64; LEVELS] = [0.1, 0.07, 0.1, 0.07, 0.025, 0.1, 0.025, 0.025];

/// Nats added to "not in the library" by the metal named: gold, silver and what passes for it, copper
/// alloy, any other or none.
pub(super) const UNLISTED: [f64; 4] = [0.136, -0.142, 0.378, -1.156];

/// Share that the likeliest types must hold together for the true one to be among them nine times in ten.
pub(super) const NINE_IN_TEN: f64 = 0.8707;
