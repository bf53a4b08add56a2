//! A little catalogue for this room's tests.

use crate::catalogue::{Catalogue, Denomination, Metal, Mint, Motif, Period, Ruler};
use crate::find::{MetalSeen, Span};

fn some(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| word.to_string()).collect()
}

fn span(from: i32, to: i32) -> Span {
    Span::new(from, to).unwrap()
}

/// Coins: id, name, other words.
const COINS: &[(&str, &str, &[&str])] = &[
    ("penny", "penny", &["pence", "1d"]),
    ("halfpenny", "halfpenny", &[]),
    ("groat", "groat", &["fourpence"]),
    ("half-groat", "half groat", &[]),
    ("crown", "crown", &["five shillings"]),
    ("as", "as", &[]),
];

/// Metals: id, how it looks, other words.
const METALS: &[(&str, MetalSeen, &[&str])] = &[
    ("silver", MetalSeen::Silver, &["sterling"]),
    ("bronze", MetalSeen::CopperAlloy, &["copper alloy"]),
    ("billon", MetalSeen::BaseSilver, &[]),
];

/// Rulers: id and name.
const RULERS: &[(&str, &str)] = &[
    ("edward-i", "Edward I"),
    ("edward-ii", "Edward II"),
    ("edward-iii", "Edward III"),
    ("henry-viii", "Henry VIII"),
    ("trajan", "Trajan"),
];

/// Motifs: id, name, positions of ancestors, other words.
const MOTIFS: &[(&str, &str, &[usize], &[&str])] = &[
    ("cross", "cross", &[], &[]),
    ("long-cross", "long cross", &[0], &["cross with long arms"]),
    ("short-cross", "short cross", &[0], &[]),
    ("pellets", "pellets", &[], &["dots", "balls"]),
    (
        "three-pellets",
        "three pellets",
        &[3],
        &["three pellets in the angles", "three dots"],
    ),
    ("head", "head", &[], &["face"]),
    ("bust", "bust", &[5], &["portrait"]),
    (
        "crowned-bust",
        "crowned bust",
        &[6, 5],
        &["king with a crown"],
    ),
    ("bust-facing", "facing bust", &[6, 5], &[]),
    (
        "diademed-head",
        "diademed head",
        &[5],
        &["head with a headband"],
    ),
    ("crown", "crown", &[], &[]),
    ("facing-left", "facing left", &[], &[]),
    ("facing-right", "facing right", &[], &[]),
    ("facing-front", "facing the front", &[], &[]),
    ("figure", "figure", &[], &["person"]),
    (
        "victory",
        "Victory",
        &[14],
        &["winged woman", "woman with wings"],
    ),
    (
        "woman-with-scales",
        "Aequitas",
        &[14],
        &["woman with scales", "standing woman"],
    ),
    (
        "spes",
        "Spes",
        &[14],
        &["woman holding a flower", "standing woman"],
    ),
    (
        "britannia",
        "Britannia",
        &[14],
        &["woman with a shield and trident"],
    ),
    ("horse", "horse", &[], &[]),
    ("ship", "ship", &[], &["boat"]),
    ("sceptre", "sceptre", &[], &[]),
    ("star", "star", &[], &["rowel"]),
    ("sun", "sun", &[], &["rowel"]),
];

/// Periods, rulers, denominations, mints, metals and motifs enough to be confused by.
pub fn catalogue() -> Catalogue {
    let mut made = Catalogue::default();
    for (id, name, from, to) in [
        ("roman", "Roman", 43, 410),
        ("medieval", "Medieval", 1066, 1500),
    ] {
        let (id, name) = (id.into(), name.into());
        made.periods.push(Period {
            id,
            name,
            span: span(from, to),
            words: Vec::new(),
        });
    }
    for (id, looks, words) in METALS {
        let (id, name) = (id.to_string(), id.to_string());
        made.metals.push(Metal {
            id,
            name,
            looks: *looks,
            words: some(words),
            nomisma: None,
        });
    }
    for (id, name, words) in COINS {
        let (id, name) = (id.to_string(), name.to_string());
        made.denominations.push(Denomination {
            id,
            name,
            words: some(words),
            nomisma: None,
            standards: Vec::new(),
        });
    }
    for (id, name) in [
        ("london", "London"),
        ("reading", "Reading"),
        ("york", "York"),
    ] {
        let (id, name, lives) = (id.into(), name.into(), vec![span(900, 1500)]);
        made.mints.push(Mint {
            id,
            name,
            struck: Vec::new(),
            lives,
            words: Vec::new(),
            nomisma: None,
        });
    }
    made.rulers = RULERS.iter().map(|(id, name)| ruler(id, name)).collect();
    made.motifs = MOTIFS
        .iter()
        .map(|(id, name, above, words)| motif(id, name, above, words))
        .collect();
    made
}

fn ruler(id: &str, name: &str) -> Ruler {
    Ruler {
        id: id.into(),
        name: name.into(),
        kind: "ruler".into(),
        realm: "england".into(),
        reigns: vec![span(1, 2)],
        members: Vec::new(),
        words: Vec::new(),
        nomisma: None,
    }
}

fn motif(id: &str, name: &str, ancestors: &[usize], words: &[&str]) -> Motif {
    Motif {
        id: id.into(),
        name: name.into(),
        under: ancestors.iter().take(1).copied().collect(),
        ancestors: ancestors.to_vec(),
        parts: Vec::new(),
        words: some(words),
    }
}
