//! The constants of the prior: how often each stretch of time turns up, and each step of commonness.
//!
//! Part of the one place where judgement stands. Invariant: the stretches of a period do not overlap.

/// A share of coin-shaped detector finds in lowland England, by period and years.
pub struct Slice {
    /// Period id.
    pub period: &'static str,
    /// First year.
    pub from: i32,
    /// Last year.
    pub to: i32,
    /// Share of finds.
    pub share: f64,
}

const fn slice(period: &'static str, from: i32, to: i32, share: f64) -> Slice {
    Slice {
        period,
        from,
        to,
        share,
    }
}

/// How often each stretch of time turns up. Broad periods: engineering default from the
/// project's notes (Iron Age 1.5, Roman 55, early medieval 1.5, medieval 17, to 1816 20,
/// later 5 in 100). Roman stretches: Reece 1995 (*Britannia* 26), British mean per mill,
/// from memory, times 0.55. Medieval: Kelleher 2012 (Durham thesis), from memory, times 0.17.
/// Within the early medieval and after 1485: engineering default.
pub const SLICES: &[Slice] = &[
    slice("iron-age", -200, -1, 0.008),
    slice("iron-age", 1, 43, 0.007),
    slice("roman", -280, 40, 0.0037),
    slice("roman", 41, 53, 0.0064),
    slice("roman", 54, 68, 0.0034),
    slice("roman", 69, 95, 0.0169),
    slice("roman", 96, 116, 0.0106),
    slice("roman", 117, 137, 0.0089),
    slice("roman", 138, 160, 0.0095),
    slice("roman", 161, 180, 0.0067),
    slice("roman", 181, 192, 0.0028),
    slice("roman", 193, 221, 0.0084),
    slice("roman", 222, 237, 0.0035),
    slice("roman", 238, 259, 0.0042),
    slice("roman", 260, 274, 0.0796),
    slice("roman", 275, 295, 0.0666),
    slice("roman", 296, 316, 0.0095),
    slice("roman", 317, 329, 0.0243),
    slice("roman", 330, 347, 0.1355),
    slice("roman", 348, 363, 0.0540),
    slice("roman", 364, 377, 0.0651),
    slice("roman", 378, 387, 0.0027),
    slice("roman", 388, 410, 0.0277),
    slice("early-medieval", 411, 679, 0.0005),
    slice("early-medieval", 680, 760, 0.0055),
    slice("early-medieval", 761, 972, 0.0040),
    slice("early-medieval", 973, 1066, 0.0050),
    slice("medieval", 1066, 1157, 0.0060),
    slice("medieval", 1158, 1179, 0.0050),
    slice("medieval", 1180, 1246, 0.0370),
    slice("medieval", 1247, 1278, 0.0270),
    slice("medieval", 1279, 1350, 0.0545),
    slice("medieval", 1351, 1411, 0.0155),
    slice("medieval", 1412, 1463, 0.0070),
    slice("medieval", 1464, 1485, 0.0080),
    slice("tudor", 1485, 1543, 0.0110),
    slice("tudor", 1544, 1560, 0.0060),
    slice("tudor", 1561, 1603, 0.0430),
    slice("stuart", 1603, 1662, 0.0550),
    slice("stuart", 1663, 1714, 0.0250),
    slice("georgian", 1714, 1796, 0.0280),
    slice("georgian", 1797, 1837, 0.0280),
    slice("victorian", 1837, 1901, 0.0300),
    slice("twentieth-century", 1901, 1971, 0.0240),
];

/// How often a type of each step of commonness turns up beside one that is very common.
/// Engineering default: each step about a third of the one above. Not flattened: the finer the
/// library, the more rare types it lists, and together they must not outweigh the common.
pub const COMMONNESS: [f64; 5] = [0.01, 0.03, 0.1, 0.32, 1.0];
/// How much of a coinage lies in designs that the library does not list, as a share of what it
/// lists: of struck-by-hand coinages, and of milled and cast ones, whose designs are few. Of the 343
/// coins of the public and the further specimens of which it is known the library lacks the type of 42.
/// Engineering default, below that, since museums keep what is rare.
pub const REST_SHARE: (f64, f64) = (0.08, 0.02);
/// How much of a ruler's coins is of a denomination of which nothing is listed for him though others
/// struck it in his years, as a share of all that is listed of his, were it struck in all his years:
/// where others struck it in some of them, by so much less. Engineering default.
pub const REST_OTHER: f64 = 0.01;
/// Published counts are themselves of identified coins, so the stretches of time above are
/// flattened by this power. Engineering default.
pub const FLATTENING: f64 = 0.7;
