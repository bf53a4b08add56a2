//! Modern coins to lay beside a find: their published diameters.
//!
//! Facts only. Only round coins serve: how far one looks out of round tells the tilt.
//!
//! Invariant: every row says where its figures are from.

/// A current coin of the United Kingdom.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coin {
    /// What it is called here.
    pub name: &'static str,
    /// Diameter in mm, at its widest.
    pub diameter: f64,
    /// Thickness in mm.
    pub thickness: f64,
    /// True when it is a circle.
    pub round: bool,
    /// Where the figures are from.
    pub source: &'static str,
}

const MEMORY: &str = "Royal Mint specification, from memory";

/// The coins, by value. The fifty pence is set at 27.3 mm by proclamation (Edinburgh Gazette,
/// notice 2505985, read); the others are from memory and agree with what web pages repeat.
pub const COINS: [Coin; 8] = [
    coin("1p", 20.3, 1.65, true, MEMORY),
    coin("2p", 25.9, 2.03, true, MEMORY),
    coin("5p", 18.0, 1.7, true, MEMORY),
    coin("10p", 24.5, 1.85, true, MEMORY),
    coin("20p", 21.4, 1.7, false, MEMORY),
    coin(
        "50p",
        27.3,
        1.78,
        false,
        "proclamation, Edinburgh Gazette notice 2505985; thickness from memory",
    ),
    coin("£1", 23.43, 2.8, false, MEMORY),
    coin("£2", 28.4, 2.5, true, MEMORY),
];

const fn coin(
    name: &'static str,
    diameter: f64,
    thickness: f64,
    round: bool,
    source: &'static str,
) -> Coin {
    Coin {
        name,
        diameter,
        thickness,
        round,
        source,
    }
}
