//! Words to a metal, or to a material that is none.
//!
//! Hears the words for what a thing is mostly of, a skin or a part of gold or silver, and doubt.
//!
//! Invariant: words that name no metal are refused, never taken for base metal.

use super::{LENGTH_MOST, Misread, misread, words};
use crate::treasure::metal::{Metal, MetalKnown};

const METAL_MEND: &str = "write gold, silver, silver-gilt, base silver, plated, gilt, white metal, copper alloy, lead, pewter, iron, base metal, pottery (or bone, stone, glass), bronze with gold, unknown, or a test's share as 12%";

const BASE: [&str; 14] = [
    "copper",
    "bronze",
    "brass",
    "latten",
    "lead",
    "iron",
    "steel",
    "tin",
    "pewter",
    "zinc",
    "nickel",
    "cupronickel",
    "potin",
    "base",
];
const NO_METAL: [&str; 19] = [
    "pottery",
    "ceramic",
    "clay",
    "bone",
    "antler",
    "ivory",
    "horn",
    "stone",
    "flint",
    "glass",
    "jet",
    "amber",
    "wood",
    "wooden",
    "leather",
    "textile",
    "shale",
    "earthenware",
    "chalk",
];
const SKIN: [&str; 8] = [
    "plated", "plating", "gilt", "gilded", "foil", "washed", "silvered", "inlaid",
];
const DOUBT: [&str; 7] = [
    "perhaps",
    "maybe",
    "possibly",
    "probably",
    "likely",
    "unsure",
    "apparently",
];

/// Reads what a thing is made of.
pub fn metal(text: &str) -> Result<MetalKnown, Misread> {
    let written = text.trim();
    if written.len() > LENGTH_MOST {
        return misread("the metal is too long a text", METAL_MEND);
    }
    if let Some(share) = share(written) {
        return share;
    }
    let words = words(written);
    let unknown = ["unknown", "unsure", "uncertain"];
    if written == "?" || matches!(words.as_slice(), [one] if unknown.contains(&one.as_str())) {
        return Ok(MetalKnown::Unsaid);
    }
    match metal_among(&words) {
        Some(MetalKnown::Seen(metal, _)) if written.contains('?') => {
            Ok(MetalKnown::Seen(metal, false))
        }
        Some(known) => Ok(known),
        None => misread(format!("\"{written}\" is no metal known here"), METAL_MEND),
    }
}

/// "12%", "12.5 % silver": what a test gave.
fn share(written: &str) -> Option<Result<MetalKnown, Misread>> {
    let (figures, _) = written.split_once('%')?;
    let number = figures.trim().parse::<f64>().ok();
    let possible = number.filter(|share| (0.0..=100.0).contains(share));
    Some(match possible {
        Some(share) => Ok(MetalKnown::Tested(share)),
        None => misread(
            format!("\"{written}\" is no share of gold or silver"),
            "write the hundredths by weight, 0 to 100, as 12%",
        ),
    })
}

/// The metal that these words name, if they name one.
pub(super) fn metal_among(words: &[String]) -> Option<MetalKnown> {
    let has = |word: &str| words.iter().any(|said| said == word);
    let any = |list: &[&str]| list.iter().any(|word| has(word));
    let next = |first: &str, second: &str| {
        words
            .windows(2)
            .any(|pair| pair[0] == first && pair[1] == second)
    };
    let sure = !any(&DOUBT);
    let precious = any(&["gold", "silver", "electrum"]);
    let with = words.iter().position(|word| word == "with");
    let under = with.and_then(|at| {
        let rest = &words[at + 1..];
        let precious = rest
            .iter()
            .any(|word| ["gold", "silver", "gilding"].contains(&word.as_str()));
        metal_among(&words[..at]).filter(|_| precious)
    });
    if let Some(MetalKnown::Seen(metal, true)) = under {
        return Some(MetalKnown::SeenWithPart(metal));
    }
    let metal = if next("silver", "gilt") || next("gilt", "silver") || next("gilded", "silver") {
        Metal::Silver
    } else if any(&SKIN) {
        Metal::Skin
    } else if has("billon") || has("debased") || next("base", "silver") || next("poor", "silver") {
        Metal::BaseSilver
    } else if next("white", "metal") {
        Metal::WhiteMetal
    } else if precious && any(&BASE) {
        // Both are named: which of them it is mostly is open.
        return Some(MetalKnown::SeenWithPart(Metal::Base));
    } else if has("gold") || has("electrum") {
        Metal::Gold
    } else if has("silver") {
        Metal::Silver
    } else if any(&BASE) {
        Metal::Base
    } else if any(&NO_METAL) {
        Metal::NoMetal
    } else {
        return None;
    };
    Some(MetalKnown::Seen(metal, sure))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn metals_are_read_as_people_write_them() {
        use MetalKnown::{Seen, SeenWithPart, Tested};
        for (text, expected) in [
            ("gold", Seen(Metal::Gold, true)),
            ("silver?", Seen(Metal::Silver, false)),
            ("perhaps silver", Seen(Metal::Silver, false)),
            ("silver-gilt", Seen(Metal::Silver, true)),
            ("silver plated", Seen(Metal::Skin, true)),
            ("gilt copper alloy", Seen(Metal::Skin, true)),
            ("bronze with gold foil", SeenWithPart(Metal::Base)),
            ("base silver", Seen(Metal::BaseSilver, true)),
            ("base metal", Seen(Metal::Base, true)),
            ("copper alloy", Seen(Metal::Base, true)),
            ("white metal", Seen(Metal::WhiteMetal, true)),
            ("pottery", Seen(Metal::NoMetal, true)),
            ("12.5 %", Tested(12.5)),
            ("unknown", MetalKnown::Unsaid),
        ] {
            assert_eq!(metal(text), Ok(expected), "{text}");
        }
        for text in ["", "shiny", "-3%", "101%", "NaN%", "x%", "inf%"] {
            assert!(metal(text).is_err(), "{text}");
        }
    }
}
