//! Powers and limits fitted on finds of known identity. Written by a command, not by hand:
//! `cargo run --release --example calibrate`.

/// Levels that are tempered.
pub(super) const LEVELS: usize = 8;

/// The power of each level by likeliest period: type, ruler and denomination, series and denomination,
/// ruler, period and denomination, series, denomination, period.
#[rustfmt::skip]
pub(super) const BY_PERIOD: &[(&str, [f64; LEVELS])] = &[
    ("all", [1.106, 0.778, 0.830, 0.848, 0.840, 0.821, 0.818, 0.992]),
    ("early-medieval", [1.230, 0.776, 1.079, 0.801, 1.130, 1.077, 1.126, 1.321]),
    ("georgian", [1.358, 0.824, 0.819, 0.810, 0.853, 0.771, 0.800, 1.218]),
    ("iron-age", [1.035, 0.765, 0.823, 0.801, 1.008, 0.779, 0.985, 1.033]),
    ("medieval", [1.053, 0.774, 0.799, 0.898, 0.750, 0.799, 0.745, 0.968]),
    ("roman", [1.214, 0.795, 0.830, 0.847, 0.897, 0.807, 0.874, 0.872]),
    ("stuart", [0.923, 0.932, 0.843, 1.076, 0.928, 0.935, 0.882, 1.396]),
    ("tudor", [1.023, 0.709, 0.795, 0.731, 0.797, 0.772, 0.774, 0.951]),
    ("twentieth-century", [1.003, 0.834, 0.817, 0.942, 0.884, 0.827, 0.837, 1.051]),
    ("victorian", [1.138, 0.606, 0.803, 0.809, 0.657, 0.770, 0.633, 0.931]),
];

/// How often all goes astray, by level: so much of the chance is spread more evenly.
pub(super) const LAPSE: [f64; LEVELS] = [0.18, 0.02, 0.02, 0.02, 0.02, 0.02, 0.02, 0.02];

/// Nats added to "not in the library" by the metal named: gold, silver and what passes for it, copper
/// alloy, any other or none.
pub(super) const UNLISTED: [f64; 4] = [-0.710, -1.307, -0.233, -1.189];

/// Share that the likeliest types must hold together for the true one to be among them nine times in ten.
pub(super) const NINE_IN_TEN: f64 = 0.8715;
