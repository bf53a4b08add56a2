//! Letters: what reading this one says of that one having been struck.
//!
//! Log ratios against letters at their common rates; likely confusions by script.
//! Invariant: the right letter gains more than any wrong one.

use std::sync::LazyLock;

use crate::catalogue::Script;
use crate::score::constants::{LETTER_ANY, LETTER_RIGHT, letter_rate};

/// Letters that are taken for one another when worn, and the chance shared by the wrong ones;
/// from the project's table of confusions (numismatic and epigraphic practice, from memory).
const CONFUSED: &[(&str, f64)] = &[
    ("ITLFEP", 0.15),
    ("CG", 0.10),
    ("OQD", 0.08),
    ("VA", 0.08),
    ("NHM", 0.08),
    ("RPB", 0.08),
    ("SZ", 0.03),
    ("XK", 0.03),
];
/// Further ones of Lombardic lettering.
const CONFUSED_LOMBARDIC: &[(&str, f64)] = &[("NHV", 0.12), ("CET", 0.12), ("ILR", 0.06)];
/// Further ones of Anglo-Saxon lettering and of runes in transliteration.
const CONFUSED_ANGLO_SAXON: &[(&str, f64)] =
    &[("PVÞ", 0.12), ("DÐ", 0.20), ("ÐTH", 0.08), ("EA", 0.06)];

/// Every script, in the order of its discriminant.
pub(super) const SCRIPTS: [Script; 6] = [
    Script::Roman,
    Script::Lombardic,
    Script::AngloSaxon,
    Script::Runic,
    Script::Greek,
    Script::Modern,
];

fn confused(read: char, struck: char, script: Script) -> f64 {
    let further = match script {
        Script::Lombardic => CONFUSED_LOMBARDIC,
        Script::AngloSaxon | Script::Runic => CONFUSED_ANGLO_SAXON,
        Script::Roman | Script::Greek | Script::Modern => &[],
    };
    CONFUSED
        .iter()
        .chain(further)
        .filter(|(set, _)| set.contains(read) && set.contains(struck))
        .map(|(set, shared)| shared / (set.chars().count() - 1) as f64)
        .fold(0.0, f64::max)
}

/// Chance of reading this letter where that one was struck.
pub(in crate::score) fn read_as(read: char, struck: char, sure: bool, script: Script) -> f64 {
    let right = if sure { LETTER_RIGHT.0 } else { LETTER_RIGHT.1 };
    if read == struck {
        right
    } else {
        let looser = (1.0 - right) / (1.0 - LETTER_RIGHT.0);
        (confused(read, struck, script) * looser).clamp(LETTER_ANY * looser, right / 2.0)
    }
}

/// Log ratio of reading this letter where that one was struck.
fn letter_ratio(read: char, struck: char, sure: bool, script: Script) -> f64 {
    (read_as(read, struck, sure, script) / letter_rate(read)).ln()
}

/// [`letter_ratio`] for A to Z, by script and by whether the reader is sure.
static RATIOS: LazyLock<Vec<[[f64; 26]; 26]>> = LazyLock::new(|| {
    let alphabet = |place: usize| char::from(b'A' + place as u8);
    let mut tables = Vec::new();
    for script in SCRIPTS {
        for sure in [false, true] {
            let row = |read: usize| {
                std::array::from_fn(|struck| {
                    letter_ratio(alphabet(read), alphabet(struck), sure, script)
                })
            };
            tables.push(std::array::from_fn(row));
        }
    }
    tables
});

/// Log ratio of reading this letter where that one was struck, from the table where there is one.
pub(super) fn ratio(read: char, struck: char, sure: bool, script: Script) -> f64 {
    if read.is_ascii_uppercase() && struck.is_ascii_uppercase() {
        let place = |letter: char| (letter as u8 - b'A') as usize;
        RATIOS[script as usize * 2 + usize::from(sure)][place(read)][place(struck)]
    } else {
        letter_ratio(read, struck, sure, script)
    }
}
