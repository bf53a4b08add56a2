//! Things that are not coins: heard, judged and told of.
//!
//! The pieces below are described as a finder would say them of common things; common practice, no
//! source. Each names the class, and the period where the words carry it.
//!
//! Invariant: every property holds for whatever was said.

use std::sync::LazyLock;

use lynchet::find::{Find, Left, Object, Presence};
use lynchet::score::ThingLevel;
use lynchet::{HouseOptions, ThingIdentification, Things, parse};
use serde_json::Value;

use super::kit::{self, house};

pub(super) fn things() -> &'static Things {
    static THINGS: LazyLock<Things> = LazyLock::new(|| {
        house()
            .things(&HouseOptions::default())
            .expect("the things open")
    });
    &THINGS
}

fn hear(words: &str) -> Object {
    let (find, _) = parse::words(words, &house().lexicon);
    things().hear(words, &find).0
}

fn judged(words: &str) -> ThingIdentification {
    things().identify(&hear(words), house())
}

fn coin_share(words: &str) -> f64 {
    let (find, _) = parse::words(words, &house().lexicon);
    let (object, _) = things().hear(words, &find);
    things().kind(&find, &object, words, house()).coin
}

/// Words, the classes any of which is right, and the periods any of which is.
const PIECES: &[(&str, &[&str], &[&str])] = &[
    (
        "bronze buckle, d shaped, one loop, pin missing, 25 mm",
        &["buckle"],
        &[],
    ),
    (
        "lead cone with a hole, 20 mm across",
        &["spindle-whorl", "weight", "net-weight", "plumb-bob"],
        &[],
    ),
    ("small bell with a slot", &["crotal-bell"], &[]),
    ("silver ring with clasped hands", &["finger-ring"], &[]),
    (
        "flat round thing with a loop on the back",
        &["button", "mount", "badge"],
        &[],
    ),
    (
        "bow brooch with a knob on the head",
        &["brooch-bow"],
        &["roman"],
    ),
    ("musket ball 12 mm", &["shot"], &[]),
    (
        "bronze strap end with an animal head at the end, silver wire scrolls, 40 mm long",
        &["strap-end"],
        &["early-medieval"],
    ),
    (
        "copper alloy sewing thimble, domed, 18 mm high",
        &["thimble"],
        &[],
    ),
    (
        "bronze socketed axe with a side loop, ribs, 95 mm long",
        &["axe-socketed"],
        &["bronze-age"],
    ),
    (
        "palstave with a side loop, 150 mm",
        &["palstave"],
        &["bronze-age"],
    ),
    (
        "crossbow brooch with three onion knobs",
        &["brooch-bow"],
        &["roman"],
    ),
    (
        "lead spindle whorl, 25 mm diameter, 8 mm thick",
        &["spindle-whorl"],
        &[],
    ),
    (
        "pewter badge of a scallop shell with a pin on the back",
        &["pilgrim-badge"],
        &["medieval"],
    ),
    (
        "annular brooch, ring shape with a pin, 24 mm across",
        &["brooch-ring"],
        &["medieval"],
    ),
    (
        "double loop buckle, spectacle shape, 50 mm",
        &["buckle"],
        &["tudor", "medieval", "stuart"],
    ),
    (
        "shield shaped pendant with enamel and a loop at the top",
        &["harness-pendant", "pendant"],
        &["medieval"],
    ),
    (
        "lead seal matrix, pointed oval, with letters round the edge",
        &["seal-matrix"],
        &["medieval"],
    ),
    (
        "flat brass button with a loop shank on the back",
        &["button"],
        &["georgian", "victorian", "stuart"],
    ),
    (
        "brass cartridge case 56 mm long with a rim at the base",
        &["cartridge-case"],
        &["twentieth-century", "victorian"],
    ),
    (
        "trumpet brooch with acanthus knop",
        &["brooch-bow"],
        &["roman"],
    ),
    (
        "cruciform brooch, horse head foot",
        &["brooch-bow", "brooch"],
        &["early-medieval"],
    ),
    (
        "saxon disc brooch with ring and dot",
        &["brooch-disc"],
        &["early-medieval"],
    ),
    (
        "ear scoop on a twisted shaft, bronze, 50 mm long",
        &["cosmetic-set", "medical-tool"],
        &[],
    ),
    (
        "shoe buckle frame, curved, rectangular, 60 mm",
        &["buckle-shoe"],
        &["georgian", "stuart"],
    ),
    (
        "lead cap with side loops for powder",
        &["powder-cap"],
        &["stuart"],
    ),
    (
        "hooked tag, round, two holes",
        &["hooked-tag"],
        &["early-medieval", "tudor"],
    ),
    ("rowel spur with a star wheel", &["spur"], &[]),
];

#[test]
fn common_things_are_named() {
    let mut wrong = Vec::new();
    let mut classes = 0;
    let (mut periods, mut with_period) = (0, 0);
    for (words, class, period) in PIECES {
        let said = judged(words);
        let first = said
            .shares
            .classes
            .first()
            .map_or("", |share| share.id.as_str());
        classes += usize::from(class.contains(&first));
        let when = said
            .shares
            .periods
            .first()
            .map_or("", |share| share.id.as_str());
        if !period.is_empty() {
            with_period += 1;
            periods += usize::from(period.contains(&when));
        }
        if !class.contains(&first) || !(period.is_empty() || period.contains(&when)) {
            wrong.push(format!("{words}: {first}, {when}; {:?}", said.answer));
        }
    }
    assert!(
        classes * 100 >= PIECES.len() * 90,
        "{classes} of {}: {wrong:#?}",
        PIECES.len()
    );
    assert!(
        periods * 100 >= with_period * 85,
        "{periods} of {with_period}: {wrong:#?}"
    );
}

#[test]
fn the_order_of_what_is_said_changes_nothing() {
    let one = judged("bronze, d shaped, buckle, 25 mm wide, pin missing, medieval");
    let other = judged("medieval, 25 mm wide, pin missing, buckle, bronze, d shaped");
    for (a, b) in one.shares.types.iter().zip(&other.shares.types).take(50) {
        assert!((a.p - b.p).abs() < 1e-9, "{a:?} {b:?}");
    }
}

#[test]
fn what_is_unsaid_says_nothing() {
    let said = things().identify(&Object::default(), house());
    let terms: usize = said.ranking.judged.iter().map(|one| one.terms.len()).sum();
    assert_eq!(terms, 0);
    assert_eq!(said.answer.level, ThingLevel::Open);
}

#[test]
fn chances_sum_to_one_and_terms_to_totals() {
    for (words, ..) in PIECES {
        let said = judged(words);
        let whole: f64 = said.ranking.judged.iter().map(|one| one.raw).sum();
        assert!((whole + said.ranking.outside - 1.0).abs() < 1e-9, "{words}");
        let first = &said.ranking.judged[0];
        let terms: f64 = first.terms.iter().map(|term| term.nats).sum();
        assert!((first.prior + terms - first.total).abs() < 1e-9, "{words}");
        let classes: f64 = said.shares.classes.iter().map(|share| share.p).sum();
        assert!(classes <= 1.0 + 1e-9, "{words}");
        let class = |id: &str| {
            let mut classes = said.shares.classes.iter();
            classes.find(|share| share.id == id).map(|share| share.p)
        };
        for group in &said.shares.groups {
            let (of, _) = group.id.split_once('/').expect("a class and a group");
            let most = class(of).unwrap_or(0.0);
            assert!(group.p <= most + 1e-12, "{words}: {group:?}, {most}");
        }
        let bounded = first.terms.iter().all(|term| term.nats.abs() <= 7.0);
        assert!(bounded, "{words}");
    }
}

#[test]
fn a_fragment_does_not_speak_against_a_larger_whole() {
    let size = |words: &str, id: &str| {
        let said = judged(words);
        let p = said.shares.types.iter().find(|share| share.id == id);
        p.map_or(0.0, |share| share.p)
    };
    let whole = "socketed axe, whole, 20 mm long";
    let piece = "fragment of a socketed axe, 20 mm long";
    let leader = judged("socketed axe").shares.types[0].id.clone();
    assert!(size(piece, &leader) > 0.0);
    assert_eq!(hear(piece).left, Left::Fragment);
    assert_eq!(hear(whole).left, Left::Whole);
    assert_eq!(judged(piece).shares.classes[0].id, "axe-socketed");
}

#[test]
fn what_is_lost_was_there() {
    let lost = hear("buckle, pin missing");
    let pin = lost
        .forms
        .iter()
        .find(|form| form.forms.iter().any(|id| id == "pin"));
    assert_eq!(
        pin.map(|form| form.presence),
        Some(Presence::BrokenAway),
        "{lost:?}"
    );
    assert_eq!(lost.classes.len(), 1, "{lost:?}");
    let never = hear("strap end without a rivet");
    assert!(
        never
            .forms
            .iter()
            .any(|form| form.presence == Presence::Absent),
        "{never:?}"
    );
}

#[test]
fn coin_or_thing_is_told_by_the_words() {
    // No coin is as thick as a finger; the same words of a thin piece leave it open.
    let blob = |thick: &str| {
        coin_share(&format!(
            "flattened lead blob, 25 mm across, {thick} mm thick, 34 g"
        ))
    };
    assert!(
        blob("9") < 0.8 && blob("9") < blob("2") - 0.1,
        "{} {}",
        blob("9"),
        blob("2")
    );
    for coin in [
        "silver penny of Edward, 18 mm",
        "roman coin, bronze, 17 mm, emperor's head",
        "silver, 17 mm, 1.2 g, long cross, reads EDW R",
    ] {
        assert!(coin_share(coin) > 0.8, "{coin}: {}", coin_share(coin));
    }
    for thing in [
        "bronze buckle, 25 mm",
        "bow brooch with a hinged pin",
        "bent strip with a hook",
        "thimble",
        "socketed axe with a side loop",
    ] {
        assert!(coin_share(thing) < 0.2, "{thing}: {}", coin_share(thing));
    }
    for open in ["copper disc 28mm", "lead disc, 20 mm"] {
        let share = coin_share(open);
        assert!((0.2..0.97).contains(&share), "{open}: {share}");
    }
}

#[test]
fn nonsense_is_answered_with_remarks_and_no_panic() {
    let long = "buckle ".repeat(5_000);
    let odd = [
        "",
        "zzzz qqqq",
        "☃☃☃ buckle ☃",
        "0 mm long buckle",
        "buckle 1e9 mm",
        &long,
        "no",
        "missing",
        "x x x 5 x 5 x 5 x 5 mm",
        "no pin, pin",
    ];
    for words in odd {
        let (object, remarks) = things().hear(words, &Find::default());
        let said = things().identify(&object, house());
        assert!(said.answer.p.is_finite());
        if words.contains("zzzz") || words.contains("0 mm") {
            assert!(!remarks.is_empty(), "{words}");
        }
    }
}

#[test]
fn the_door_names_a_thing() {
    let run = kit::run([
        "identify",
        "bronze buckle, d shaped, pin missing, 25 mm, frobnicated",
    ]);
    assert_eq!(run.code, 0);
    let told = run.out;
    for wanted in ["uckle", "Types", "Period", "What speaks for", "frobnicated"] {
        assert!(told.contains(wanted), "{wanted}:\n{told}");
    }
    let run = kit::run([
        "identify",
        "--json",
        "--class",
        "thimble",
        "--height",
        "18",
        "--complete",
    ]);
    let told: Value = serde_json::from_str(&run.out).expect("JSON");
    assert_eq!(told["kind"], "thing");
    assert_eq!(told["classes"][0]["id"], "thimble");
    assert_eq!(told["left"], "whole");
}

#[test]
fn words_that_mean_nothing_name_nothing() {
    let run = kit::run(["identify", "xyzzy plugh"]);
    assert_eq!(run.code, 2, "{}", run.out);
    assert!(run.err.contains("nothing to go on"), "{}", run.err);
}

#[test]
fn ordnance_is_warned_of() {
    for words in [
        "grenade part, iron",
        "grenade",
        "lump that may be a detonator, bronze",
    ] {
        let run = kit::run(["identify", words]);
        assert!(run.out.contains("999"), "{words}: {}{}", run.out, run.err);
    }
}

/// Least shares of described things of which the class and the period come first.
const CLASS_FIRST: f64 = 0.90;
const PERIOD_FIRST: f64 = 0.90;

#[test]
fn described_things_are_named() {
    let rows: toml::Table = include_str!("specimens/things.toml").parse().expect("TOML");
    let texts = |row: &toml::Value, name: &str| -> Vec<String> {
        let values = row[name].as_array().into_iter().flatten();
        values
            .filter_map(toml::Value::as_str)
            .map(str::to_string)
            .collect()
    };
    let (mut class, mut period, mut dated, mut sure_and_wrong) = (0, 0, 0, 0);
    let pieces = rows["piece"].as_array().expect("pieces");
    for piece in pieces {
        let said = judged(piece["words"].as_str().expect("words"));
        let first = said.shares.classes.first().expect("a class");
        let right = Some(first.id.as_str()) == piece["class"].as_str();
        class += usize::from(right);
        sure_and_wrong += usize::from(!right && first.p >= 0.8);
        let periods = texts(piece, "periods");
        if !periods.is_empty() {
            dated += 1;
            let when = said.shares.periods.first().map(|share| &share.id);
            period += usize::from(when.is_some_and(|id| periods.contains(id)));
        }
    }
    let share = |right: usize, of: usize| right as f64 / of as f64;
    assert!(pieces.len() >= 70);
    assert!(
        share(class, pieces.len()) >= CLASS_FIRST,
        "{class} of {}",
        pieces.len()
    );
    assert!(share(period, dated) >= PERIOD_FIRST, "{period} of {dated}");
    assert!(sure_and_wrong * 100 <= 3 * pieces.len(), "{sure_and_wrong}");
}
