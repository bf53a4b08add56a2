//! Coin or thing: the log odds from what was said.
//!
//! Words that belong to no coin against words that belong to no thing; what both share (metal and
//! sizes) by how well either half of the library accounts for it. Names nothing.
//!
//! Invariant: each reason is bounded, and the log odds are their sum.

use crate::catalogue::{Artefacts, Facet};
use crate::find::{Find, FormSaid, Named, Object, OpinionLevel, Presence, Side};

/// Nats for a coin before anything is said: most round things with a picture that people ask of are
/// coins. Engineering default, as are the weights below.
const BEFOREHAND: f64 = 1.4;
/// A denomination, a ruler, a mint named.
const OPINIONS: (f64, f64, f64) = (5.0, 3.0, 2.0);
/// A denomination whose name is an everyday word, and one that a weight may bear.
const DENOMINATIONS: (f64, f64) = (1.0, 0.5);
/// Names of denominations that are said of things as often: "a bit of a frame", "an angel on it".
const EVERYDAY: [&str; 14] = [
    "bit", "bits", "piece", "pieces", "unit", "angel", "crown", "lion", "noble", "george",
    "leopard", "cross", "half", "quarter",
];
/// Letters read, once and at most.
const LETTERS: (f64, f64) = (1.5, 3.0);
/// A die axis; a date on it; a side named; wear or making; a weight; a diameter.
const COINLIKE: [f64; 6] = [4.0, 1.0, 3.0, 1.5, 0.6, 0.4];
/// A front and a back, which things have too.
const FRONT_AND_BACK: f64 = 0.5;
/// A picture that coins bear, and all of them at most.
const PICTURES: (f64, f64) = (0.8, 2.5);
/// The word coin itself.
const SAYS_COIN: f64 = 5.0;
/// A class named outright; one whose name is a picture on coins too; one that may be a coin or be made
/// of one; a doubtful one.
const CLASSES: (f64, f64, f64, f64) = (-7.0, -4.0, -2.0, -1.5);
/// A word of form of each facet, in their order, and all of them at most.
const FORMS: [f64; 8] = [-1.2, -1.4, -1.8, -1.8, -0.6, 0.5, -2.5, -0.2];
/// The words thing and object, which few say of a coin.
const SAYS_THING: f64 = -0.7;
const FORMS_MOST: f64 = 6.0;
/// A length, a width or a height; two of them.
const LONG: (f64, f64) = (-1.5, -3.0);
/// Grams beyond which hardly a coin weighs, and what such a weight speaks.
const HEAVY: (f64, f64) = (60.0, -3.0);
/// Millimetres beyond which no coin is thick (the cartwheel twopence of 1797, the thickest of the
/// library's, has five), and what such a thickness speaks.
const THICK: (f64, f64) = (6.0, -3.0);
/// Most that what both share may speak.
const SHARED_MOST: f64 = 1.0;
/// Share from which only one of the two is shown.
pub const KIND_ENOUGH: f64 = 0.8;

/// Nouns that name a thing, and may be said of a coin or of what one was made into.
pub const AMBIGUOUS: [&str; 13] = [
    "weight",
    "token",
    "button",
    "disc",
    "pendant",
    "ring",
    "mount",
    "counter",
    "badge",
    "medal",
    "seal",
    "plate",
    "jewellery",
];
/// Those of them that are things unless much else is said.
const MADE_OF_COINS: [&str; 5] = ["ring", "pendant", "button", "mount", "badge"];
/// Outlines that no coin has, being thick.
const SOLID: [&str; 10] = [
    "conical",
    "biconical",
    "globular",
    "oblate",
    "domed",
    "pyramidal",
    "cylindrical",
    "barrel-shaped",
    "bell-shaped",
    "bullet-shaped",
];

/// How likely it is a coin, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Kind {
    /// Probability that it is a coin or near one.
    pub coin: f64,
    /// What spoke for a coin (above nought) or a thing, in nats.
    pub reasons: Vec<(&'static str, f64)>,
}

impl Kind {
    /// Settled by hand.
    pub fn settled(coin: bool) -> Kind {
        Kind {
            coin: if coin { 1.0 } else { 0.0 },
            reasons: Vec::new(),
        }
    }

    /// The kind after what both halves make of metal and sizes, as nats for a coin.
    pub fn with_shared(mut self, nats: f64) -> Kind {
        let nats = nats.clamp(-SHARED_MOST, SHARED_MOST);
        self.reasons.push(("metal and size", nats));
        let odds: f64 = self.reasons.iter().map(|(_, nats)| nats).sum();
        self.coin = 1.0 / (1.0 + (-odds).exp());
        self
    }

    /// True while what both share may still tip it.
    pub fn is_open(&self) -> bool {
        let odds = (self.coin / (1.0 - self.coin)).ln();
        odds.abs() < 1.4 + SHARED_MOST
    }
}

/// Parts and solid shapes that the words of coins know too, by other meanings.
const PARTS: [&str; 34] = [
    "ball", "bar", "bead", "bell", "blade", "boss", "clasp", "cone", "cylinder", "dome", "handle",
    "hinge", "hole", "holed", "hook", "key", "knob", "knop", "loop", "pierced", "pin", "point",
    "rivet", "rod", "socket", "sphere", "spike", "strap", "strip", "tube", "wire", "object",
    "thing", "lump",
];
/// Words of a size that a coin has not.
const LENGTHS: [&str; 7] = ["long", "wide", "high", "tall", "length", "width", "height"];

/// True when a find was described as only a coin is, so that things need not be asked of: all words
/// understood as a coin's, none that names a thing or a part of one, and no length but a coin's own.
pub fn plainly_coin(find: &Find, understood: bool, text: &str) -> bool {
    let told = find.readings.iter().any(|one| one.letters_seen() > 2)
        || find
            .opinions
            .iter()
            .any(|one| one.level != OpinionLevel::Period)
        || find.die_axis.is_some();
    // A picture is no more a coin's than the name of a thing (nail, sword, key), unless the piece was
    // weighed and measured as coins are.
    let measured = find.weight.is_some() && find.diameter.is_some();
    let shared = find.sightings.is_empty() || measured;
    understood
        && !may_go_off(text)
        && !says_one(text, &AMBIGUOUS)
        && !says_one(text, &PARTS)
        && (told || (shared && !says_one(text, &LENGTHS)))
}

/// Words of what may go off, which are no words of coins.
const ORDNANCE: [&str; 10] = [
    "grenade",
    "bomb",
    "mortar",
    "fuze",
    "fuse",
    "explosive",
    "detonator",
    "mine",
    "ammunition",
    "ordnance",
];
/// Nats of such a word.
const SAYS_ORDNANCE: f64 = -6.0;

/// True when the words name what may go off, whatever else they say.
pub fn may_go_off(text: &str) -> bool {
    says_one(text, &ORDNANCE)
}

/// True when some word of the text, or its singular, is one of these.
fn says_one(text: &str, words: &[&str]) -> bool {
    let text = text.to_lowercase();
    let mut typed = text.split(|c: char| !c.is_alphanumeric());
    typed.any(|word| words.contains(&word) || words.contains(&word.trim_end_matches('s')))
}

/// The kind from the words alone.
pub fn kind(find: &Find, object: &Object, artefacts: &Artefacts, text: &str) -> Kind {
    let mut reasons = vec![("most round finds asked about are coins", BEFOREHAND)];
    reasons.extend(for_coin(find, object, artefacts, text));
    reasons.extend(for_thing(find, object, artefacts));
    if may_go_off(text) {
        reasons.push(("it may be what goes off", SAYS_ORDNANCE));
    }
    if says_one(text, &AMBIGUOUS) {
        reasons.push(("its name fits a thing as well", -1.0));
    }
    reasons.retain(|(_, nats)| *nats != 0.0);
    let odds: f64 = reasons.iter().map(|(_, nats)| nats).sum();
    Kind {
        coin: 1.0 / (1.0 + (-odds).exp()),
        reasons,
    }
}

fn for_coin(
    find: &Find,
    object: &Object,
    artefacts: &Artefacts,
    text: &str,
) -> Vec<(&'static str, f64)> {
    let told = traits_of_coins(find, object, text);
    let read = find.readings.iter().filter(|one| one.letters_seen() > 2);
    // What was heard as a part or a fastening is no picture.
    let parts = object
        .forms
        .iter()
        .filter(|form| !coins_too(form, find, artefacts));
    let parts: Vec<&str> = parts.map(|form| form.said.as_str()).collect();
    let picture = |said: &str| !parts.iter().any(|part| said.contains(part));
    let seen = find
        .sightings
        .iter()
        .filter(|one| one.present && picture(&one.said));
    let seen = seen.count() as f64;
    let letters = (LETTERS.0 * read.count() as f64).min(LETTERS.1);
    let pictures = (PICTURES.0 * seen).min(PICTURES.1);
    let told = told.into_iter().filter(|(_, so, _)| *so);
    told.map(|(why, _, nats)| (why, nats))
        .chain([
            ("letters are read", letters),
            ("it shows what coins show", pictures),
        ])
        .collect()
}

/// Names of classes in several words, which are no words of coins: a "snaffle bit" is no bit of eight
/// reals, and a "coin weight" no coin.
fn longer_names(object: &Object) -> Vec<String> {
    let sure = object.classes.iter().filter(|one| one.sure);
    let named = sure.map(|one| one.said.to_lowercase());
    named.filter(|said| said.contains([' ', '-'])).collect()
}

/// True for the words of some name.
fn part_of(said: &str, names: &[String]) -> bool {
    let said = said.to_lowercase();
    names.iter().any(|name| says(name, &[said.as_str()]))
}

/// The text in lower case without these names.
fn without(text: &str, names: &[String]) -> String {
    let taken_out = |text: String, name: &String| text.replace(name.as_str(), " ");
    names.iter().fold(text.to_lowercase(), taken_out)
}

/// What a denomination speaks for a coin: little where it is an everyday word, or where a weight may
/// bear it.
fn denomination(find: &Find, object: &Object, text: &str) -> f64 {
    let said = find.opinions.iter();
    let mut said = said.filter(|one| one.level == OpinionLevel::Denomination);
    let everyday = |said: &str| EVERYDAY.contains(&said.to_lowercase().as_str());
    if names_weight(object, text) {
        DENOMINATIONS.1
    } else if said.all(|one| everyday(&one.said)) {
        DENOMINATIONS.0
    } else {
        OPINIONS.0
    }
}

/// What only coins have: whether it was said, and what it speaks.
fn traits_of_coins(find: &Find, object: &Object, text: &str) -> [(&'static str, bool, f64); 11] {
    // "Lead disc" and "trade weight" stand among the near-coins, and may as well be things.
    let vague = |said: &str| {
        let said = said.to_lowercase();
        said.split(' ').any(|word| AMBIGUOUS.contains(&word))
    };
    let longer = longer_names(object);
    let bare = without(text, &longer);
    let names = |level: OpinionLevel| {
        let mut said = find.opinions.iter().filter(|one| one.level == level);
        // "Crown" is a picture before it is five shillings.
        let picture = |said: &str| find.sightings.iter().any(|one| one.said == said);
        said.any(|one| !vague(&one.said) && !picture(&one.said) && !part_of(&one.said, &longer))
    };
    [
        (
            "a denomination is named",
            names(OpinionLevel::Denomination),
            denomination(find, object, text),
        ),
        ("a ruler is named", names(OpinionLevel::Ruler), OPINIONS.1),
        ("a mint is named", names(OpinionLevel::Mint), OPINIONS.2),
        ("a die axis is given", find.die_axis.is_some(), COINLIKE[0]),
        (
            "a date stands on it",
            find.date_on_piece.is_some(),
            COINLIKE[1],
        ),
        (
            "a head and a back are told apart",
            names_side(find, text),
            match says(text, &SIDES) {
                true => COINLIKE[2],
                false => FRONT_AND_BACK,
            },
        ),
        (
            "how it was struck is said",
            find.making.is_some() && !says(text, &CAST),
            COINLIKE[3],
        ),
        ("it was weighed", find.weight.is_some(), COINLIKE[4]),
        (
            "its diameter is given",
            find.diameter.is_some() && !only_long(object),
            COINLIKE[5],
        ),
        (
            "it is called a coin",
            says(&uncompared(&bare), &["coin", "coins", "coinage"]),
            SAYS_COIN,
        ),
        (
            "it is called a thing",
            says(text, &["thing", "object", "artefact"]),
            SAYS_THING,
        ),
    ]
}

/// True when some word of the text is one of these.
fn says(text: &str, words: &[&str]) -> bool {
    let mut typed = text.split(|c: char| !c.is_alphanumeric());
    typed.any(|word| words.contains(&word.to_lowercase().as_str()))
}

/// The text without what it is only compared with: "like a thin coin", "coin shaped".
fn uncompared(text: &str) -> String {
    let mut left = text.to_string();
    for word in [
        "coin sized",
        "coin-sized",
        "coin shaped",
        "coin-shaped",
        "coin like",
    ] {
        left = left.replace(word, " ");
    }
    for before in ["like a ", "size of a "] {
        while let Some(at) = left.find(before) {
            let rest = &left[at + before.len()..];
            let end = rest.find([',', ';']).unwrap_or(rest.len());
            left.replace_range(at..at + before.len() + end, " ");
        }
    }
    left
}

/// Things are cast too, and coins of the land hardly ever.
const CAST: [&str; 1] = ["cast"];
/// The words for the sides of a coin.
const SIDES: [&str; 4] = ["obverse", "reverse", "obv", "rev"];

/// True where every size has a direction, and none of them is across.
fn only_long(object: &Object) -> bool {
    use crate::find::Dimension::Diameter;
    let mut across = object.sizes.iter().map(|one| one.dimension);
    !object.sizes.is_empty() && !across.any(|one| one.is_none_or(|one| one == Diameter))
}

/// True for a weight by name: it may bear the name of the coin that it weighs. "Weight 1.4 g" is none.
fn names_weight(object: &Object, text: &str) -> bool {
    let named = |one: &Named| one.ids.iter().any(|id| id == "weight");
    let text = text.to_lowercase();
    let measure = |after: &str| {
        let after = after.trim_start_matches([':', ' ', '=']);
        let after = after.strip_prefix("is ").unwrap_or(after);
        let after = after.strip_prefix("of ").unwrap_or(after);
        let after = after.strip_prefix("about ").unwrap_or(after);
        after.starts_with(|c: char| c.is_ascii_digit())
    };
    let noun = text
        .match_indices("weight")
        .any(|(at, word)| !measure(&text[at + word.len()..]));
    noun && object.classes.iter().any(named)
}

fn names_side(find: &Find, text: &str) -> bool {
    says(text, &SIDES) || find.readings.iter().any(|one| one.side != Side::Unknown)
}

/// True for a form that a coin may be said to have too: a shape or a picture, and no part or fastening.
fn coins_too(form: &FormSaid, find: &Find, artefacts: &Artefacts) -> bool {
    let mut facets = form.forms.iter().filter_map(|id| artefacts.form_by_id(id));
    let solid = form.forms.iter().any(|id| SOLID.contains(&id.as_str()));
    let part = facets.any(|at| {
        matches!(
            artefacts.forms[at].facet,
            Facet::Part | Facet::Fixing | Facet::Feature
        )
    });
    let seen = find
        .sightings
        .iter()
        .any(|one| one.said.contains(&form.said));
    !solid && !part && (!form.motifs.is_empty() || seen)
}

/// Nats of the class that was named.
fn of_class(named: &Named) -> f64 {
    let last = named.said.to_lowercase();
    let plain = last.trim_end_matches('s');
    if MADE_OF_COINS.contains(&plain) {
        CLASSES.1
    } else if AMBIGUOUS.contains(&plain) {
        CLASSES.2
    } else if named.sure && !named.ids.is_empty() {
        CLASSES.0
    } else {
        CLASSES.3
    }
}

fn for_thing(find: &Find, object: &Object, artefacts: &Artefacts) -> Vec<(&'static str, f64)> {
    // With letters round it, a spear or a key that the words of coins know is what a coin shows.
    let lettered = find.readings.iter().any(|one| one.letters_seen() > 2);
    let shown = |named: &Named| {
        let said = named.said.to_lowercase();
        let mut seen = find.sightings.iter();
        lettered && seen.any(|one| one.said.to_lowercase().contains(&said))
    };
    let class = object.classes.iter().map(|named| match shown(named) {
        true => of_class(named).max(CLASSES.2),
        false => of_class(named),
    });
    let class = class.reduce(f64::min);
    let present = object.forms.iter();
    let present = present.filter(|form| form.presence != Presence::Absent);
    let forms: f64 = present
        .filter(|form| !coins_too(form, find, artefacts))
        .filter_map(|form| {
            let facets = form.forms.iter().filter_map(|id| artefacts.form_by_id(id));
            let nats = facets.map(|at| of_form(&artefacts.forms[at].id, artefacts.forms[at].facet));
            let share = if form.exact { 1.0 } else { 0.5 };
            nats.reduce(f64::max).map(|nats| share * nats)
        })
        .sum();
    use crate::find::Dimension::{Height, Length, Thickness, Width};
    let thick = object
        .sizes
        .iter()
        .any(|one| one.dimension == Some(Thickness) && one.size.value.get() > THICK.0);
    let directions = object.sizes.iter().map(|one| one.dimension);
    let open = directions.clone().filter(|one| one.is_none()).count();
    let long = directions.filter(|one| matches!(one, Some(Length | Width | Height)));
    let long = match (long.count(), open) {
        (0, 0 | 1) => 0.0,
        (0 | 1, _) => LONG.0,
        _ => LONG.1,
    };
    let heavy = object.weight.is_some_and(|one| one.value.get() > HEAVY.0);
    vec![
        ("a class of thing is named", class.unwrap_or(0.0)),
        ("it has parts that coins have not", forms.max(-FORMS_MOST)),
        ("it is longer than wide", long),
        (
            "it is heavier than coins are",
            if heavy { HEAVY.1 } else { 0.0 },
        ),
        (
            "it is thicker than coins are",
            if thick { THICK.1 } else { 0.0 },
        ),
    ]
}

fn of_form(id: &str, facet: Facet) -> f64 {
    // What coins are and have too.
    match id {
        "circular" => 0.3,
        id if SOLID.contains(&id) => -3.0,
        "flat-section" | "disc" | "central-void" | "pierced-fixing" | "pierced-later"
        | "inscription" | "suspension-hole" | "rim" | "face" | "back" => -0.3,
        _ => FORMS[facet as usize],
    }
}
