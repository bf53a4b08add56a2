//! Phrases to pieces: "9 coins, copper alloy, 330-348".
//!
//! A thing whose name is not known here may be a coin or an object: it is left open.
//!
//! Invariant: a part of a phrase that says nothing known is refused with its mend.

use super::metals::{metal, metal_among};
use super::years::{PERIODS, age, spanned};
use super::{LENGTH_MOST, Misread, misread, words};
use crate::treasure::facts::{Alteration, Piece, What};
use crate::treasure::metal::MetalKnown;

const COINS: [&str; 50] = [
    "coin",
    "penny",
    "pennies",
    "pence",
    "halfpenny",
    "halfpennies",
    "halfpence",
    "farthing",
    "groat",
    "halfgroat",
    "shilling",
    "sixpence",
    "threepence",
    "crown",
    "halfcrown",
    "sovereign",
    "guinea",
    "noble",
    "angel",
    "ryal",
    "unite",
    "laurel",
    "florin",
    "testoon",
    "denarius",
    "denarii",
    "nummus",
    "nummi",
    "siliqua",
    "siliquae",
    "radiate",
    "antoninianus",
    "antoniniani",
    "sestertius",
    "sestertii",
    "dupondius",
    "dupondii",
    "aureus",
    "aurei",
    "solidus",
    "solidi",
    "stater",
    "sceat",
    "sceatta",
    "styca",
    "thrymsa",
    "follis",
    "folles",
    "tremissis",
    "potin",
];
const TOKENS: [&str; 5] = ["token", "jetton", "counter", "check", "ticket"];
const OBJECTS: [&str; 58] = [
    "object",
    "artefact",
    "ring",
    "brooch",
    "pin",
    "buckle",
    "bracelet",
    "torc",
    "torque",
    "axe",
    "axehead",
    "sword",
    "dagger",
    "spear",
    "spearhead",
    "knife",
    "pot",
    "jar",
    "jug",
    "flagon",
    "vessel",
    "bowl",
    "cup",
    "box",
    "casket",
    "bag",
    "purse",
    "container",
    "pendant",
    "mount",
    "strap-end",
    "strap",
    "spoon",
    "hook",
    "thimble",
    "ingot",
    "hacksilver",
    "bead",
    "button",
    "badge",
    "seal",
    "weight",
    "earring",
    "armlet",
    "armring",
    "necklace",
    "chain",
    "helmet",
    "shield",
    "statuette",
    "figurine",
    "bell",
    "key",
    "fitting",
    "rapier",
    "palstave",
    "chisel",
    "hoop",
];
const NATURAL: [&str; 6] = ["fossil", "pebble", "shell", "nugget", "crystal", "ammonite"];
const HOLED: [&str; 4] = ["pierced", "holed", "hole", "perforated"];
const LOOPED: [&str; 6] = ["looped", "loop", "mounted", "brooched", "pendant", "pinned"];

const NUMBERS: [&str; 12] = [
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
];

const PIECE_MEND: &str = "write how many and what, metal, years, parted by commas, as \"9 coins, copper alloy, 330-348\"";

/// Reads pieces that are alike: "9 coins, copper alloy, 330-348", "pot, pottery, Roman".
pub fn piece(text: &str) -> Result<Piece, Misread> {
    let written = text.trim();
    if written.is_empty() || written.len() > LENGTH_MOST {
        return misread("a piece needs some words, and not too many", PIECE_MEND);
    }
    let mut parts = written
        .split(',')
        .map(str::trim)
        .filter(|part| !part.is_empty());
    let Some(first) = parts.next() else {
        return misread(format!("\"{written}\" names no piece"), PIECE_MEND);
    };
    // What is printed again later must not move the cursor of a terminal.
    let shown: String = written.chars().filter(|c| !c.is_control()).collect();
    let mut piece = Piece::unsaid(shown);
    name(first, &mut piece)?;
    for part in parts {
        let words = words(part);
        let holds = |list: &[&str]| words.iter().any(|word| list.contains(&word.as_str()));
        if let Ok(age) = age(part) {
            piece.age = age;
        } else if holds(&HOLED) || holds(&LOOPED) {
            alter(&words, &mut piece);
        } else if let Ok(metal) = metal(part) {
            piece.metal = metal;
        } else if part.contains('%') {
            piece.metal = metal(part)?;
        } else {
            let misread = Misread {
                what: format!("\"{part}\" is neither a metal nor an age, of \"{written}\""),
                mend: PIECE_MEND.to_string(),
            };
            // Where it is nearly an age, that reader says better what is wrong.
            let figures = part.bytes().any(|byte| byte.is_ascii_digit());
            return Err(age(part).err().filter(|_| figures).unwrap_or(misread));
        }
    }
    Ok(piece)
}

fn alter(words: &[String], piece: &mut Piece) {
    let holds = |list: &[&str]| words.iter().any(|word| list.contains(&word.as_str()));
    if holds(&LOOPED) {
        piece.altered = Some(Alteration::Mounted);
    } else if holds(&HOLED) && piece.altered.is_none() {
        piece.altered = Some(Alteration::Pierced);
    }
}

/// How many, what, and what of metal and period the name itself says: "two silver pennies".
fn name(first: &str, piece: &mut Piece) -> Result<(), Misread> {
    let mut plain = first.to_lowercase();
    // A period goes before a metal, or a bronze-age axe would be of bronze.
    let period = PERIODS.iter().find(|(name, ..)| plain.contains(name));
    if let Some((name, from, to)) = period {
        plain = plain.replace(name, " ");
        piece.age = spanned(*from, *to, name)?;
    }
    let mut words = words(&plain);
    if let Some(count) = words.first().and_then(|word| count(word)) {
        piece.count = count?;
        words.remove(0);
    }
    piece.metal = metal_among(&words).unwrap_or(MetalKnown::Unsaid);
    piece.what = what(&words);
    let holds = |list: &[&str]| words.iter().any(|word| list.contains(&word.as_str()));
    let coin = piece.what == What::Coin;
    if coin && (holds(&HOLED) || holds(&LOOPED)) {
        alter(&words, piece);
    }
    Ok(())
}

fn count(word: &str) -> Option<Result<u32, Misread>> {
    if let Some(place) = NUMBERS.iter().position(|number| *number == word) {
        return Some(Ok(place as u32 + 1));
    }
    if ["a", "an"].contains(&word) {
        return Some(Ok(1));
    }
    word.bytes().all(|byte| byte.is_ascii_digit()).then(|| {
        let number = word.parse::<u32>().ok().filter(|number| *number > 0);
        number.ok_or_else(|| Misread {
            what: format!("\"{word}\" is no number of pieces"),
            mend: "write 1 or more".to_string(),
        })
    })
}

fn what(words: &[String]) -> What {
    let is = |list: &[&str]| {
        words.iter().any(|word| {
            let bare = word.strip_suffix("es").filter(|bare| list.contains(bare));
            let bare = bare.or(word.strip_suffix('s')).unwrap_or(word);
            list.contains(&word.as_str()) || list.contains(&bare)
        })
    };
    // An object's name beside a coin's ("a ring with a coin in it") is for a person to judge.
    match (is(&COINS), is(&OBJECTS)) {
        (true, false) => What::Coin,
        (true, true) => What::Unsaid,
        _ if is(&TOKENS) => What::Token,
        (false, true) => What::Object,
        _ if is(&NATURAL) => What::Natural,
        _ => What::Unsaid,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::find::Span;
    use crate::treasure::metal::Metal;

    #[test]
    fn pieces_are_read_as_people_write_them() {
        let read = |text: &str| {
            let piece = piece(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
            (piece.count, piece.what, piece.metal, piece.age.span())
        };
        let span = |from, to| Span::new(from, to);
        let seen = |metal| MetalKnown::Seen(metal, true);
        assert_eq!(
            read("9 coins, copper alloy, 330-348"),
            (9, What::Coin, seen(Metal::Base), span(330, 348))
        );
        assert_eq!(
            read("two silver pennies, 1279"),
            (2, What::Coin, seen(Metal::Silver), span(1279, 1279))
        );
        assert_eq!(
            read("two Bronze Age axes, bronze"),
            (2, What::Object, seen(Metal::Base), span(-2_600, -700))
        );
        assert_eq!(
            read("pot, pottery"),
            (1, What::Object, seen(Metal::NoMetal), None)
        );
        assert_eq!(read("a thingummy").1, What::Unsaid);
        assert_eq!(read("12 brooches").1, What::Object);
        assert_eq!(read("2 jettons").1, What::Token);
        let pierced = piece("pierced silver penny, 1016-1035").expect("a piece");
        assert_eq!(pierced.altered, Some(Alteration::Pierced));
        for text in [
            "",
            ",",
            "0 coins",
            "coin, shiny",
            "coin, 1307-1279",
            "99999999999 coins",
            "coin, 120%",
        ] {
            assert!(piece(text).is_err(), "{text}");
        }
    }
}
