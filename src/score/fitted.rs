//! Powers and limits fitted on finds of known identity. Written by a command, not by hand:
//! `cargo run --release --example calibrate`.

/// Levels that are tempered.
pub(super) const LEVELS: usize = 8;

/// The power of each level by likeliest period: type, ruler and denomination, series and denomination,
/// ruler, period and denomination, series, denomination, period.
#[rustfmt::skip]
pub(super) const BY_PERIOD: &[(&str, [f64; LEVELS])] = &[
    ("all", [1.099, 0.748, 0.801, 0.821, 0.819, 0.803, 0.800, 0.980]),
    ("early-medieval", [1.232, 0.747, 1.049, 0.762, 1.121, 1.046, 1.108, 1.315]),
    ("georgian", [1.343, 0.800, 0.796, 0.788, 0.832, 0.755, 0.781, 1.204]),
    ("iron-age", [1.002, 0.730, 0.799, 0.768, 1.003, 0.766, 0.982, 1.028]),
    ("medieval", [1.043, 0.746, 0.777, 0.866, 0.730, 0.780, 0.735, 0.932]),
    ("roman", [1.232, 0.777, 0.811, 0.828, 0.882, 0.800, 0.860, 0.867]),
    ("stuart", [0.883, 0.839, 0.772, 0.970, 0.881, 0.846, 0.837, 1.393]),
    ("tudor", [1.009, 0.685, 0.774, 0.719, 0.782, 0.775, 0.758, 0.968]),
    ("twentieth-century", [0.996, 0.789, 0.791, 0.906, 0.849, 0.813, 0.823, 1.052]),
    ("victorian", [1.309, 0.575, 0.776, 0.778, 0.634, 0.757, 0.612, 0.924]),
];

/// How often all goes astray, by level: so much of the chance is spread more evenly.
pub(super) const LAPSE: [f64; LEVELS] = [0.21, 0.02, 0.02, 0.02, 0.02, 0.02, 0.02, 0.02];

/// Nats added to "not in the library" by the metal named: gold, silver and what passes for it, copper
/// alloy, any other or none.
pub(super) const UNLISTED: [f64; 4] = [-0.709, -1.330, -0.216, -1.147];

/// Share that the likeliest types must hold together for the true one to be among them nine times in ten.
pub(super) const NINE_IN_TEN: f64 = 0.8695;
