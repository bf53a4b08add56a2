//! Words to facts: an age, a metal, a piece in a phrase ("9 coins, copper alloy, 330-348").
//!
//! Knows no library and guesses at nothing: a thing whose name it does not know may be a coin or
//! an object, and a part of a phrase that says nothing known is refused with its mend.
//!
//! Invariant: the work is bounded by the length of what was typed; nothing panics.

use super::age::Age;
use super::facts::{Alteration, Piece, What};
use super::metal::{Metal, MetalKnown};
use crate::find::{Span, Year};

/// What could not be read, and what to write instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Misread {
    /// What is wrong.
    pub what: String,
    /// What to do about it.
    pub mend: String,
}

fn misread<T>(what: impl Into<String>, mend: &str) -> Result<T, Misread> {
    Err(Misread {
        what: what.into(),
        mend: mend.to_string(),
    })
}

/// The longest phrase that is read.
const LENGTH_MOST: usize = 300;
/// Years on either side of one that is given as "about"; a judgement of this program.
const ABOUT: i32 = 10;
/// The first year of the published list of periods, and the last that can be written.
const YEARS: (Year, Year) = (-500_000, 9_999);

/// Periods by name: the published list (copy of 6 October 2014), with the Roman and later ones
/// surely not prehistoric; the last is open at its end.
const PERIODS: &[(&str, Year, Year)] = &[
    ("prehistoric", -500_000, 43),
    ("palaeolithic", -500_000, -10_000),
    ("mesolithic", -10_000, -4_000),
    ("neolithic", -4_000, -2_200),
    ("bronze age", -2_600, -700),
    ("iron age", -800, 43),
    ("roman", 43, 410),
    ("early medieval", 410, 1066),
    ("anglo-saxon", 410, 1066),
    ("saxon", 410, 1066),
    ("viking", 410, 1066),
    ("post-medieval", 1540, 1901),
    ("post medieval", 1540, 1901),
    ("medieval", 1066, 1540),
    ("tudor", 1485, 1603),
    ("stuart", 1603, 1714),
    ("georgian", 1714, 1837),
    ("victorian", 1837, 1901),
];

const AGE_MEND: &str =
    "write years or a period, as 1279-1307, 800 BC-AD 43, 13th century, before 1700 or Bronze Age";

/// Reads when a thing was made: years, a century, a period, or that nobody knows.
pub fn age(text: &str) -> Result<Age, Misread> {
    let written = text.trim();
    if written.len() > LENGTH_MOST {
        return misread("the years are too long a text", AGE_MEND);
    }
    let plain = written
        .to_lowercase()
        .replace(['\u{2013}', '\u{2014}', '\u{2212}'], "-");
    let plain = plain.split_whitespace().collect::<Vec<_>>().join(" ");
    if ["unknown", "not known", "unsure", "?"].contains(&plain.as_str()) {
        return Ok(Age::Unsaid);
    }
    if let Some((_, from, to)) = PERIODS.iter().find(|(name, ..)| *name == plain) {
        return spanned(*from, *to, written);
    }
    let (about, plain) = match ["c. ", "c.", "circa ", "about ", "c "]
        .iter()
        .find_map(|word| plain.strip_prefix(word))
    {
        Some(rest) => (ABOUT, rest.to_string()),
        None => (0, plain),
    };
    if let Some(rest) = plain.strip_prefix("before ") {
        let to = year(rest, None, written)?;
        return spanned(YEARS.0, earlier(to, 1), written);
    }
    if let Some(rest) = plain.strip_prefix("after ") {
        let from = year(rest, None, written)?;
        return spanned(later(from, 1), YEARS.1, written);
    }
    let (from, to) = match plain
        .strip_suffix(" century")
        .or(plain.strip_suffix(" centuries"))
    {
        Some(_) => centuries(&plain, written)?,
        None if plain.contains("century") => centuries(&plain, written)?,
        None => two_years(&plain, written)?,
    };
    if from > to {
        return misread(
            format!("\"{written}\" runs backwards"),
            "write the earlier year first, as 1279-1307",
        );
    }
    spanned(earlier(from, about), later(to, about), written)
}

fn spanned(from: Year, to: Year, written: &str) -> Result<Age, Misread> {
    match Span::new(from, to) {
        Some(span) => Ok(Age::Years(span)),
        None => misread(format!("\"{written}\" is no stretch of years"), AGE_MEND),
    }
}

fn earlier(year: Year, by: i32) -> Year {
    crate::find::year_at(crate::find::ordinal(year) - by).max(YEARS.0)
}

fn later(year: Year, by: i32) -> Year {
    crate::find::year_at(crate::find::ordinal(year) + by).min(YEARS.1)
}

/// Where two years part: " to ", or a dash that is no sign.
fn parted(plain: &str) -> Option<(&str, &str)> {
    if let Some(two) = plain.split_once(" to ") {
        return Some(two);
    }
    let dash = plain.char_indices().skip(1).find(|(_, c)| *c == '-');
    dash.map(|(at, _)| (plain[..at].trim(), plain[at + 1..].trim()))
}

fn two_years(plain: &str, written: &str) -> Result<(Year, Year), Misread> {
    let Some((first, second)) = parted(plain) else {
        let one = year(plain, None, written)?;
        return Ok((one, one));
    };
    let from = year(first, era(second), written)?;
    // "1279-80": the century is that of the first.
    let short = first.len() == 4 && second.len() == 2;
    let figures = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if short && figures(first) && figures(second) {
        let to = from - from % 100 + year(second, None, written)?;
        if to >= from {
            return Ok((from, to));
        }
    }
    Ok((from, year(second, None, written)?))
}

/// True for BC, false for AD, where a year says which.
fn era(text: &str) -> Option<bool> {
    let words: Vec<&str> = text.split(' ').collect();
    let any = |names: &[&str]| words.iter().any(|word| names.contains(word));
    if any(&["bc", "bce"]) {
        Some(true)
    } else if any(&["ad", "ce"]) {
        Some(false)
    } else {
        None
    }
}

/// A year: "1279", "ad 43", "800 bc", "-800".
fn year(text: &str, unless: Option<bool>, written: &str) -> Result<Year, Misread> {
    let own = era(text);
    let words = text
        .split(' ')
        .filter(|word| !["bc", "bce", "ad", "ce"].contains(word));
    let figures: Vec<&str> = words.collect();
    let [figures] = figures.as_slice() else {
        return misread(format!("\"{written}\" is no year"), AGE_MEND);
    };
    let negative = figures.starts_with('-');
    let bare = figures.strip_prefix('-').unwrap_or(figures);
    let known =
        !bare.is_empty() && bare.len() <= 6 && bare.bytes().all(|byte| byte.is_ascii_digit());
    let Some(number) = known.then(|| bare.parse::<Year>().ok()).flatten() else {
        return misread(format!("\"{written}\" is no year"), AGE_MEND);
    };
    if number == 0 {
        return misread(
            format!("\"{written}\": there is no year 0"),
            "write 1 BC or AD 1",
        );
    }
    // The era of the second year holds for the first only where that is BC: "300-100 BC".
    let before = own.unwrap_or(negative || unless == Some(true));
    let year = if before { -number } else { number };
    if !(YEARS.0..=YEARS.1).contains(&year) {
        return misread(
            format!("\"{written}\": {number} is no year that can be"),
            AGE_MEND,
        );
    }
    Ok(year)
}

/// "13th century", "13th-14th century", "1st century bc".
fn centuries(plain: &str, written: &str) -> Result<(Year, Year), Misread> {
    let before = era(plain) == Some(true);
    let words = plain.split([' ', '-']).filter(|word| {
        ![
            "century",
            "centuries",
            "bc",
            "bce",
            "ad",
            "ce",
            "to",
            "or",
            "and",
        ]
        .contains(word)
    });
    let mut numbers = Vec::new();
    for word in words {
        let figures = word.trim_end_matches(|c: char| c.is_ascii_lowercase());
        let ending = &word[figures.len()..];
        let number = figures
            .parse::<Year>()
            .ok()
            .filter(|number| (1..=99).contains(number));
        match number.filter(|_| ["st", "nd", "rd", "th"].contains(&ending)) {
            Some(number) => numbers.push(number),
            None => return misread(format!("\"{written}\" is no century"), AGE_MEND),
        }
    }
    let whole = |number: Year| match before {
        true => (-number * 100, -number * 100 + 99),
        false => (number * 100 - 99, number * 100),
    };
    match numbers.as_slice() {
        [one] => Ok(whole(*one)),
        [first, second] => Ok((whole(*first).0, whole(*second).1)),
        _ => misread(format!("\"{written}\" is no century"), AGE_MEND),
    }
}

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

fn words(text: &str) -> Vec<String> {
    let plain = text.to_lowercase();
    let words = plain.split(|c: char| !c.is_alphanumeric());
    words
        .filter(|word| !word.is_empty())
        .map(str::to_string)
        .collect()
}

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
fn metal_among(words: &[String]) -> Option<MetalKnown> {
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

    fn years(text: &str) -> (Year, Year) {
        match age(text) {
            Ok(Age::Years(span)) => (span.from, span.to),
            other => panic!("{text}: {other:?}"),
        }
    }

    #[test]
    fn ages_are_read_as_people_write_them() {
        for (text, expected) in [
            ("1279", (1279, 1279)),
            ("1279-1307", (1279, 1307)),
            ("1279 to 1307", (1279, 1307)),
            ("1279\u{2013}1307", (1279, 1307)),
            ("1279-80", (1279, 1280)),
            ("AD 98-117", (98, 117)),
            ("800 BC-AD 43", (-800, 43)),
            ("300-100 BC", (-300, -100)),
            ("-800--100", (-800, -100)),
            ("-800-43", (-800, 43)),
            ("c. 1300", (1290, 1310)),
            ("13th century", (1201, 1300)),
            ("13th-14th century", (1201, 1400)),
            ("1st century BC", (-100, -1)),
            ("before 1700", (-500_000, 1699)),
            ("after 1800", (1801, 9_999)),
            ("Bronze Age", (-2_600, -700)),
            ("c. AD 5", (-6, 15)),
        ] {
            assert_eq!(years(text), expected, "{text}");
        }
        assert_eq!(age("unknown"), Ok(Age::Unsaid));
    }

    #[test]
    fn what_is_no_age_is_refused_with_its_mend() {
        for text in [
            "",
            "0",
            "-0",
            "old",
            "1279-",
            "-",
            "--",
            "12791279",
            "1307-1279",
            "0th century",
            "13th 14th 15th century",
            "century",
            "AD",
            "99999999999999999999",
            "before then",
        ] {
            let fault = age(text).expect_err(text);
            assert!(!fault.mend.is_empty(), "{text}");
        }
        assert!(age("1307-1279").is_err_and(|fault| fault.what.contains("backwards")));
        assert!(age("0").is_err_and(|fault| fault.what.contains("no year 0")));
    }

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
