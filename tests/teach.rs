//! What a person's own finds and own types teach: the real program over a shelf, and the scorer over
//! simulated fields.
//!
//! The farm and its finds are invented.
//!
//! Invariant: every test has a shelf of its own, gone with it.

use std::fs;

use lynchet::IdentifyOptions;
use lynchet::score::{Confirmed, Learnt, Wanted};
use serde_json::Value;

use super::kit::fields::{FIELDS, Field, Tally, judged, read_high, told};
use super::kit::house;
use super::kit::place::Place;

fn roman(answer: &Value) -> f64 {
    let periods = answer["period"].as_array().expect("periods");
    let roman = periods.iter().find(|one| one["id"] == "roman");
    roman.and_then(|one| one["p"].as_f64()).unwrap_or(0.0)
}

#[test]
fn without_a_shelf_nothing_is_learnt_and_none_is_made() {
    let place = Place::new();
    let find = ["identify", "bronze, 16 mm, 2 g, reads CONSTAN"];
    let plain = place.done(&find);
    let without = place.done(&[&find[..], &["--without-shelf"]].concat());
    assert_eq!(plain, without);
    assert!(!plain.contains("own finds"), "{plain}");
    assert!(!place.shelf().exists());
    let refused = place.run(&[&find[..], &["--land", "LONGACRE"]].concat());
    assert_eq!(refused.code, 2);
    assert!(
        refused.err.contains("--land: there is no shelf"),
        "{}",
        refused.err
    );
    assert!(!place.shelf().exists());
}

#[test]
fn confirmed_finds_of_a_field_lean_on_the_answer_and_say_so() {
    let place = Place::new();
    place.site(12);
    let find = ["identify", "copper alloy, 17 mm"];
    let land = [&find[..], &["--land", "LONGACRE"]].concat();
    let (plain, here) = (place.json(&find), place.json(&land));
    assert!(roman(&here) > roman(&plain), "{here}");
    let said = here["your_own_finds"].to_string();
    assert!(
        said.contains("counts 12 of your own confirmed finds of this field"),
        "{said}"
    );
    let reasons = here["reasons"].to_string();
    assert!(
        reasons.contains("of your own 12 confirmed finds of this field"),
        "{reasons}"
    );
    // The holding has the finds of its fields; a field has not those of another.
    let farm = place.json(&[&find[..], &["--land", "NETHERFOLD"]].concat());
    assert_eq!(roman(&farm), roman(&here));
    place.done(&[
        "land",
        "add",
        "HIGHFIELD",
        "High Field",
        "--of",
        "NETHERFOLD",
    ]);
    let other = place.json(&[&find[..], &["--land", "HIGHFIELD"]].concat());
    assert_eq!(roman(&other), roman(&plain));
    // Switched off, all is as without a shelf.
    place.done(&["collection", "learning", "field", "off"]);
    let off = place.json(&land);
    assert_eq!(off, plain);
    assert!(
        place
            .done(&["collection", "learning"])
            .contains("field    off")
    );
    let refused = place.run(&["collection", "learning", "colours", "off"]);
    assert_eq!(refused.code, 2);
    place.done(&["collection", "learning", "field", "on"]);
    assert_eq!(place.json(&land), here);
}

#[test]
fn finds_of_one_group_count_as_one() {
    let place = Place::new();
    place.site(8);
    let ids: Vec<String> = (0..8).map(|find| format!("N-{find}")).collect();
    let ids: Vec<&str> = ids.iter().map(String::as_str).collect();
    place.done(&[&["collection", "group", "the purse"], &ids[..]].concat());
    let said = place.json(&["identify", "copper alloy, 17 mm", "--land", "LONGACRE"]);
    let told = said["your_own_finds"].to_string();
    assert!(
        told.contains("counts 1 of your own confirmed finds"),
        "{told}"
    );
}

#[test]
fn a_table_takes_what_the_field_teaches_and_adding_says_so() {
    let place = Place::new();
    place.site(12);
    let table = place.file("more.csv", "id,metal,diameter\na,copper alloy,17\n");
    let plain = place.done(&["batch", &table]);
    let here = place.done(&["batch", &table, "--land", "LONGACRE"]);
    assert_ne!(plain, here);
    assert_eq!(plain, place.done(&["batch", &table, "--without-shelf"]));
    let added = place.done(&[
        "collection",
        "add",
        "copper alloy, 17 mm",
        "--land",
        "LONGACRE",
    ]);
    assert!(
        added.contains("the answer counts 12 of your own confirmed finds"),
        "{added}"
    );
}

#[test]
fn a_review_lists_what_would_be_answered_otherwise_and_changes_nothing() {
    let place = Place::new();
    place.done(&[
        "collection",
        "add",
        "silver, 18 mm, 1.2 g, long cross, reads EDW R",
        "--id",
        "A",
    ]);
    place.done(&[
        "collection",
        "add",
        "bronze, 16 mm, reads CONSTAN",
        "--id",
        "B",
    ]);
    let shown = place.done(&["collection", "show", "A"]);
    assert!(!shown.contains("older library"), "{shown}");
    let review = place.done(&["collection", "review"]);
    assert!(review.contains("0 of 2 find(s)"), "{review}");
    let db = rusqlite::Connection::open(place.shelf().join("shelf.sqlite")).expect("the shelf");
    db.execute(
        "UPDATE identification SET library = 'elder', text = 'a farthing', level = 'type', share = 0.4 \
         WHERE find = (SELECT key FROM find WHERE id = 'A')",
        [],
    )
    .expect("a row is changed");
    drop(db);
    let before = fs::read(place.shelf().join("shelf.sqlite")).expect("the database");
    let shown = place.done(&["collection", "show", "A"]);
    assert!(shown.contains("judged with an older library"), "{shown}");
    assert!(
        shown.contains("lynchet collection edit A --again"),
        "{shown}"
    );
    let review = place.json(&["collection", "review"]);
    assert_eq!(review["differ"], 1, "{review}");
    assert_eq!(review["finds"][0]["find"], "A");
    assert_eq!(review["finds"][0]["then"]["text"], "a farthing");
    assert!(
        review["finds"][0]["now"]["share"]
            .as_f64()
            .expect("a share")
            > 0.4
    );
    let after = fs::read(place.shelf().join("shelf.sqlite")).expect("the database");
    assert!(before == after, "the review wrote");
    place.done(&["collection", "edit", "A", "--again"]);
    assert!(
        !place
            .done(&["collection", "show", "A"])
            .contains("older library")
    );
}

/// A smaller version of `cargo run --example teach`.
#[test]
fn peculiar_fields_are_ranked_better_and_an_ordinary_one_no_worse() {
    let house = house();
    let gain = |fields: &[&Field], seed: u64| {
        let (mut without, mut with) = (Tally::default(), Tally::default());
        for (place, field) in fields.iter().enumerate() {
            let (confirmed, held) = told(house, field, seed + place as u64, 40, 30);
            let learnt = house.learn(&confirmed, Wanted::default());
            without.add(&judged(house, &held, None));
            with.add(&judged(house, &held, Some(&learnt)));
        }
        let log = |level: usize| (with.log[level] - without.log[level]) / with.finds;
        ([log(0), log(1), log(2)], without.five[1], with.five[1])
    };
    let (peculiar, ordinary): (Vec<&Field>, Vec<&Field>) =
        FIELDS.iter().partition(|field| field.is_peculiar());
    let names: Vec<&str> = peculiar[..3].iter().map(|field| field.name).collect();
    let (log, before, after) = gain(&peculiar[..3], 3);
    assert!(log[1] > 0.03 && log[2] > 0.03, "{names:?}: {log:?}");
    assert!(after >= before, "{before} {after}");
    let (log, before, after) = gain(&ordinary[..1], 5);
    assert!(log.iter().all(|log| *log > -0.03), "{log:?}");
    assert!(after >= before - 1.0, "{before} {after}");
}

#[test]
fn no_finds_are_the_national_prior_to_the_last_digit() {
    let house = house();
    let learnt = house.learn(&[], Wanted::default());
    assert!(learnt.says_nothing());
    let (_, held) = told(house, &FIELDS[0], 9, 1, 5);
    for (_, find) in &held {
        let plain = house.identify(find, IdentifyOptions::default());
        let options = IdentifyOptions {
            learnt: Some(&learnt),
            ..IdentifyOptions::default()
        };
        assert_eq!(plain.ranking, house.identify(find, options).ranking);
        let nothing = Learnt::default();
        assert!(nothing.told(find).is_empty());
    }
}

#[test]
fn instruments_that_read_high_are_put_right_and_others_left_alone() {
    let house = house();
    let (mut confirmed, _) = told(house, &Field::ordinary(), 21, 900, 1);
    let right = house.learn(&confirmed, Wanted::default());
    assert_eq!(right.callipers, None);
    confirmed
        .iter_mut()
        .for_each(|one: &mut Confirmed| read_high(&mut one.find, 1.15, 1.08));
    let high = house.learn(&confirmed, Wanted::default());
    let callipers = high.callipers.expect("clear").log.exp();
    assert!((1.03..1.09).contains(&callipers), "{callipers}");
    assert!(high.scale.expect("clear").log > 0.03);
    let off = Wanted {
        habits: false,
        ..Wanted::default()
    };
    assert_eq!(house.learn(&confirmed, off).scale, None);
}

/// Whole pieces of one type, measured, a tenth heavier than the library has them.
fn heavy(count: usize) -> (usize, Vec<Confirmed>) {
    let house = house();
    let coin = house
        .catalogue
        .type_by_id("nummus-gloria-two-constantine-ii")
        .expect("a type");
    let grams = 1.1 * house.catalogue.types[coin].weights[0].grams;
    let (find, _) = lynchet::parse::words(
        &format!("copper alloy, {grams:.2} g, 17 mm, whole, little wear"),
        &house.lexicon,
    );
    let one = Confirmed {
        types: vec![coin],
        exact: true,
        here: false,
        group: None,
        find,
    };
    (coin, vec![one; count])
}

#[test]
fn pieces_of_a_type_that_are_heavier_move_its_middle_and_no_others() {
    let house = house();
    let (_, four) = heavy(4);
    assert!(
        house.learn(&four, Wanted::default()).sizes.is_empty(),
        "below the floor"
    );
    let (coin, many) = heavy(30);
    let learnt = house.learn(&many, Wanted::default());
    let own = learnt.sizes[&coin];
    assert!(own.weight > 0.01 && own.finds == 30, "{own:?}");
    assert_eq!(learnt.sizes.len(), 1);
    assert_eq!(learnt.scale, None, "one type says nothing of the scale");
    let find = &many[0].find;
    let judged = |learnt| {
        let options = IdentifyOptions {
            learnt,
            judge_all: true,
            ..IdentifyOptions::default()
        };
        house.identify(find, options).ranking.judged
    };
    let (plain, taught) = (judged(None), judged(Some(&learnt)));
    for one in &taught {
        let before = plain
            .iter()
            .find(|other| other.coin == one.coin)
            .expect("it is judged");
        match one.coin == coin {
            true => assert!(one.total > before.total, "{} {}", one.total, before.total),
            false => assert_eq!(one.total, before.total),
        }
    }
    // Pieces that are not said to be whole, and those of one group, say less or nothing.
    let mut parts = many.clone();
    parts
        .iter_mut()
        .for_each(|one| one.find.completeness = None);
    assert!(house.learn(&parts, Wanted::default()).sizes.is_empty());
    let mut hoard = many.clone();
    hoard
        .iter_mut()
        .for_each(|one| one.group = Some("hoard".into()));
    let hoarded = house.learn(&hoard, Wanted::default()).sizes[&coin];
    assert!(hoarded.weight < own.weight, "{hoarded:?}");
}

const OWN: &str = "\
[shared]
series = \"Tokens of an invented parish\"
period = \"georgian\"
denomination = \"nineteenth-century-token-penny\"
made = \"milled\"
sources = [\"own-notes\"]
grade = \"recalled\"

[own-netherfold-token]
name = \"Token of the Netherfold mill\"
span = [1790, 1796]
ruler = \"own-netherfold-mill\"
weights = [{ g = 19.0, cv = 0.05, share = 1.0 }]
diameter = [33, 34]
obverse = { motifs = [\"windmill\"], legends = [\"own-netherfold\"] }
reverse = { motifs = [\"wheatsheaf\"], legends = [] }
common = \"rare\"
";

impl Place {
    /// The rows that the types of [`OWN`] name, and these types.
    fn own_types(&self) {
        let graded = "sources = [\"own-notes\"]\ngrade = \"recalled\"\n";
        self.own(
            "rulers.toml",
            format!(
                "[own-netherfold-mill]\nname = \"The mill at Netherfold\"\nkind = \"body\"\n\
                 realm = \"england\"\nreigns = [[1780, 1800]]\nmembers = []\nwords = []\n{graded}"
            ),
        );
        self.own(
            "legends.toml",
            format!("[own-netherfold]\ntext = \"NETHERFOLD MILL\"\nscript = \"modern\"\n{graded}"),
        );
        self.own(
            "sources.toml",
            "[own-notes]\nkind = \"record\"\nauthor = \"A. Finder\"\nyear = 2026\n\
             title = \"My own notes\"\ntrust = \"invented\"\n",
        );
        self.own("coins/own-tokens.toml", OWN);
    }

    /// What the check says of own types: its output and how it ended.
    fn checked(&self) -> (String, i32) {
        let ended = self.run(&["catalogue", "check"]);
        (ended.out, ended.code)
    }
}

const TOKEN: [&str; 2] = [
    "identify",
    "copper alloy, 33 mm, 18.5 g, reads NETHERFOLD MI",
];

#[test]
fn own_types_are_judged_beside_the_library_and_marked() {
    let place = Place::new();
    let plain = place.run(&TOKEN).out;
    place.own_types();
    let (said, code) = place.checked();
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("your own: 1 types, 0 faults"), "{said}");
    let answer = place.json(&TOKEN);
    assert_eq!(answer["types"][0]["id"], "own-netherfold-token", "{answer}");
    let shown = place.done(&["catalogue", "show", "own-netherfold-token"]);
    assert!(
        shown.contains("yours, from the folder types of your shelf"),
        "{shown}"
    );
    let found = place.done(&["catalogue", "search", "netherfold"]);
    assert!(found.contains(", own"), "{found}");
    // A kept library is never met again when a file of one's own was changed.
    place.own(
        "coins/own-tokens.toml",
        OWN.replace("Token of the", "Halfpenny of the"),
    );
    assert!(
        place
            .done(&TOKEN)
            .contains("Halfpenny of the Netherfold mill")
    );
    let without = place.run(&[&TOKEN[..], &["--without-shelf"]].concat()).out;
    assert_eq!(without, plain);
    fs::remove_dir_all(place.shelf().join("types")).expect("the folder goes");
    assert_eq!(place.run(&TOKEN).out, plain);
}

#[test]
fn a_fault_in_an_own_file_costs_its_row_and_no_other() {
    let place = Place::new();
    place.own_types();
    let bad = OWN
        .replace("own-netherfold-token]", "own-late]")
        .replace("[1790, 1796]", "[1890, 1896]");
    place.own("coins/own-late.toml", bad);
    let ended = place.run(&TOKEN);
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert!(ended.err.contains("your own types have"), "{}", ended.err);
    assert!(ended.out.contains("own-netherfold-token"), "{}", ended.out);
    assert!(!ended.out.contains("own-late"), "{}", ended.out);
    let (said, code) = place.checked();
    assert_eq!(code, 1);
    assert!(said.contains("types/coins/own-late.toml:"), "{said}");
    assert!(said.contains("your own: 1 types"), "{said}");
    // The faults are told each time, from the kept library too.
    assert!(place.run(&TOKEN).err.contains("your own types have"));
}

#[test]
fn hostile_own_types_never_take_the_library_down() {
    let place = Place::new();
    let find = [
        "identify",
        "silver, 18 mm, 1.2 g, long cross, reads EDW R ANGL",
    ];
    let plain = place.done(&find);
    let graded = "sources = [\"ric-4\"]\ngrade = \"recalled\"\n";
    let motif = |id: &str, under: &str| {
        format!("[{id}]\nname = \"{id}\"\nunder = [\"{under}\"]\nparts = []\nwords = []\n{graded}")
    };
    place.own("coins/own-binary.toml", [0xFF, 0xFE, 0x00, 0x80]);
    place.own("coins/own-huge.toml", "#".repeat(700_000));
    place.own(
        "coins/own-nested.toml",
        format!("a = {}1{}", "[".repeat(90_000), "]".repeat(90_000)),
    );
    place.own("coins/own-torn.toml", "[shared\nseries = ");
    place.own(
        "motifs.toml",
        motif("own-a", "own-b") + &motif("own-b", "own-a"),
    );
    place.own(
        "metals.toml",
        "[silver]\nname = \"tin\"\nlooks = \"lead\"\n",
    );
    place.own("moved.toml", "[penny]\nto = \"own-penny\"\n");
    // The library's own ids, look-alikes of them, and one twice over.
    place.own(
        "rulers.toml",
        format!("[edward-i]\nname = \"x\"\nkind = \"ruler\"\nrealm = \"england\"\n{graded}"),
    );
    place.own("coins/sterlings.toml", OWN);
    place.own("coins/own-twice-a.toml", OWN);
    place.own("coins/own-twice-b.toml", OWN);
    place.own(
        "coins/own-alike.toml",
        OWN.replace("own-netherfold-token", "\"own-\u{435}dward\""),
    );
    let ended = place.run(&find);
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert_eq!(ended.out, plain);
    let (said, code) = place.checked();
    assert_eq!(code, 1, "{said}");
    for file in [
        "own-binary.toml:1: it is no text",
        "own-huge.toml:1: it is larger than 512 KiB",
        "own-nested.toml:",
        "own-torn.toml:",
        "motifs.toml:",
        "metals.toml:",
        "moved.toml:",
        "rulers.toml:",
        "sterlings.toml:",
        "own-alike.toml:",
    ] {
        assert!(
            said.contains(&format!("types/{file}"))
                || said.contains(&format!("types/coins/{file}")),
            "{file}: {said}"
        );
    }
    assert!(said.contains("`edward-i` is no id of one's own"), "{said}");
    assert!(said.contains("your own: 0 types"), "{said}");
}

#[test]
fn own_types_go_with_backups_and_exports_but_not_with_a_share() {
    let place = Place::new();
    place.done(&["collection", "add", "copper alloy, 33 mm", "--id", "A"]);
    place.own_types();
    let at = |name: &str| place.beside(name).display().to_string();
    let token = |folder: &str| {
        let path = place.beside(folder).join("types/coins/own-tokens.toml");
        fs::read_to_string(path).ok()
    };
    place.done(&["backup", &at("shelf.zip")]);
    place.done(&["restore", &at("shelf.zip"), "--shelf", &at("again")]);
    assert_eq!(token("again").as_deref(), Some(OWN));
    place.done(&["collection", "export", &at("whole")]);
    assert_eq!(token("whole").as_deref(), Some(OWN));
    place.done(&[
        "collection",
        "import",
        &at("whole"),
        "--shelf",
        &at("third"),
    ]);
    assert_eq!(token("third").as_deref(), Some(OWN));
    place.done(&["collection", "export", &at("share"), "--share"]);
    assert_eq!(token("share"), None);
    place.done(&[
        "collection",
        "export",
        &at("more"),
        "--share",
        "--with-types",
    ]);
    assert_eq!(token("more").as_deref(), Some(OWN));
}

const OWN_BUCKLE: &str = "\
[shared]
series = \"Buckles of an invented parish\"
class = \"buckle\"
period = \"medieval\"
materials = [\"copper-alloy\"]
made = \"cast\"
regions = []
sources = [\"own-notes\"]
grade = \"recalled\"

[own-netherfold-buckle]
name = \"Heart-shaped buckle of Netherfold\"
group = \"netherfold\"
span = [1350, 1400]
sizes = { length = [61, 64], width = [51, 54], thickness = [7, 8] }
outline = [\"kidney-shaped\"]
section = [\"oval-section\"]
has = [\"frame\", \"narrowed-bar\"]
may = [\"gilded\"]
lacks = [\"offset-bar\"]
decoration = []
survives = [\"frame\"]
common = \"common\"
";

const BUCKLE: [&str; 2] = [
    "identify",
    "cast copper alloy buckle frame, kidney shaped, oval section, narrowed bar, 62 mm long, 52 mm wide, 7.5 mm thick",
];

#[test]
fn own_types_of_things_are_judged_beside_the_library_and_marked() {
    let place = Place::new();
    let plain = place.run(&BUCKLE).out;
    assert!(!plain.contains("own-"), "{plain}");
    place.own_types();
    place.own("artefacts/buckle/own-buckles.toml", OWN_BUCKLE);
    let (said, code) = place.checked();
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("your own: 2 types, 0 faults"), "{said}");
    let answer = place.json(&BUCKLE);
    assert!(
        answer.to_string().contains("own-netherfold-buckle"),
        "{answer}"
    );
    let shown = place.done(&["catalogue", "show", "own-netherfold-buckle"]);
    assert!(
        shown.contains("yours, from the folder types of your shelf"),
        "{shown}"
    );
    let found = place.done(&["catalogue", "search", "netherfold", "heart"]);
    assert!(found.contains(", own"), "{found}");
    // Kept and confirmed by its id.
    place.done(&["collection", "add", BUCKLE[1], "--id", "B"]);
    let id = "own-netherfold-buckle";
    place.done(&["collection", "confirm", "B", "--by", "self", "--as", id]);
    let kept = place.json(&["collection", "show", "B"]);
    assert_eq!(kept["identified"][0]["type_id"], id);
    assert_eq!(kept["identified"][0]["class"], "buckle");
    // What was changed is read anew, and gone again when the folder is.
    place.own(
        "artefacts/buckle/own-buckles.toml",
        OWN_BUCKLE.replace("Heart-shaped", "Bean-shaped"),
    );
    let shown = place.done(&["catalogue", "show", "own-netherfold-buckle"]);
    assert!(shown.contains("Bean-shaped"), "{shown}");
    assert_eq!(
        place.run(&[&BUCKLE[..], &["--without-shelf"]].concat()).out,
        plain
    );
    fs::remove_dir_all(place.shelf().join("types")).expect("the folder goes");
    assert_eq!(place.run(&BUCKLE).out, plain);
}

#[test]
fn a_fault_in_an_own_thing_costs_its_type_and_no_other() {
    let place = Place::new();
    place.own_types();
    place.own("artefacts/buckle/own-buckles.toml", OWN_BUCKLE);
    let (head, row) = OWN_BUCKLE.split_once("\n\n").expect("a head and a type");
    // Another type in a file of its own, told apart by its sizes, with one thing changed.
    let bad = |at: usize, of: &str, to: &str| {
        let row = row.replace("own-netherfold-buckle", &format!("own-other-{at}"));
        let mm = 10 + 7 * at;
        let row = row.replace("[61, 64]", &format!("[{mm}, {}]", mm + 3));
        format!("{head}\n\n{row}").replacen(of, to, 1)
    };
    let cases = [
        (
            "artefacts/buckle/own-a.toml",
            bad(0, "[1350, 1400]", "[2350, 2400]"),
            "years",
        ),
        (
            "artefacts/buckle/own-b.toml",
            bad(1, "narrowed-bar", "none-such"),
            "none-such",
        ),
        (
            "artefacts/buckle/own-c.toml",
            bad(2, "own-other", "other"),
            "no id of one's own",
        ),
        (
            "artefacts/buckle/d.toml",
            bad(3, "", ""),
            "none of one's own",
        ),
        (
            "artefacts/axe/own-e.toml",
            bad(4, "", ""),
            "does not lie under",
        ),
        (
            "artefacts/own-f.toml",
            bad(5, "", ""),
            "no folder of a class",
        ),
        (
            "artefacts/buckle/own-g.toml",
            bad(6, "group = \"netherfold\"\n", ""),
            "group",
        ),
        (
            "artefacts/buckle/own-h.toml",
            bad(7, "span", "spam"),
            "spam",
        ),
        ("artefacts/buckle/own-i.toml", "[".to_string(), ":1:"),
        (
            "artefacts/buckle/own-j.toml",
            bad(9, "own-other-9", "own-netherfold-token"),
            "coins too",
        ),
        (
            "artefacts/buckle/own-k.toml",
            bad(10, "own-notes", "own-none"),
            "own-none",
        ),
    ];
    for (path, text, _) in &cases {
        place.own(path, text);
    }
    let (said, code) = place.checked();
    assert_eq!(code, 1, "{said}");
    for (path, _, what) in &cases {
        let of_file = format!("types/{path}:");
        let mut lines = said.lines();
        let told = lines.any(|line| line.starts_with(&of_file) && line.contains(what));
        assert!(told, "{path}, {what}: {said}");
    }
    assert!(said.contains("your own: 2 types"), "{said}");
    let ended = place.run(&BUCKLE);
    assert!(ended.err.contains("your own types have"), "{}", ended.err);
    assert!(ended.out.contains("Heart-shaped"), "{}", ended.out);
    // Told from the kept library too.
    assert!(place.run(&BUCKLE).err.contains("your own types have"));
}

#[test]
fn a_blank_entry_is_begun_and_its_gaps_are_told() {
    let place = Place::new();
    let coin = [
        "catalogue",
        "new",
        "coin",
        "own-mill-token",
        "--name",
        "Token of the \"Mill\"",
        "--period",
        "georgian",
    ];
    let said = place.done(&coin);
    assert!(
        said.contains("own-mill-token.toml") && said.contains("sources.toml"),
        "{said}"
    );
    assert!(place.refused(&coin).contains("there already"));
    let thing = [
        "catalogue",
        "new",
        "thing",
        "own-mill-buckle",
        "--class",
        "buckle",
        "--period",
        "medieval",
    ];
    let said = place.done(&thing);
    assert!(!said.contains("sources.toml"), "{said}");
    assert!(!place.shelf().join("shelf.sqlite").exists());
    // Every gap is told on its line, and nothing stands in the way of an answer.
    let (said, code) = place.checked();
    assert_eq!(code, 1);
    for file in [
        "coins/own-mill-token.toml:",
        "artefacts/buckle/own-mill-buckle.toml:",
        "sources.toml:",
    ] {
        assert!(said.contains(&format!("types/{file}")), "{file}: {said}");
    }
    assert!(said.contains("your own: 0 types"), "{said}");
    place.done(&["identify", "silver penny"]);
    // Filled in, both are types.
    let types = place.shelf().join("types");
    let fill = |file: &str, pairs: &[(&str, &str)]| {
        let path = types.join(file);
        let mut text = fs::read_to_string(&path).expect("it was written");
        for (blank, filled) in pairs {
            assert!(text.contains(blank), "{blank}: {text}");
            text = text.replacen(blank, filled, 1);
        }
        fs::write(&path, text).expect("it is written");
    };
    fill(
        "sources.toml",
        &[
            ("author = \"\"", "author = \"A. Finder\""),
            ("year = 0", "year = 2026"),
            ("title = \"\"", "title = \"My own notes\""),
            ("trust = \"\"", "trust = \"invented\""),
        ],
    );
    let both = [
        ("series = \"\"", "series = \"Of the mill\""),
        ("# span", "span"),
    ];
    fill(
        "coins/own-mill-token.toml",
        &[
            &both[..],
            &[
                (
                    "denomination = \"\"",
                    "denomination = \"nineteenth-century-token-penny\"",
                ),
                ("made = \"\"", "made = \"milled\""),
                ("# weights", "weights"),
                ("# diameter", "diameter"),
            ],
        ]
        .concat(),
    );
    fill(
        "artefacts/buckle/own-mill-buckle.toml",
        &[
            &both[..],
            &[
                ("made = \"\"", "made = \"cast\""),
                ("name = \"\"", "name = \"Buckle of the mill\""),
                ("group = \"\"", "group = \"mill\""),
                ("# sizes", "sizes"),
                ("has = []", "has = [\"frame\"]"),
                ("survives = []", "survives = [\"frame\"]"),
            ],
        ]
        .concat(),
    );
    let (said, code) = place.checked();
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("your own: 2 types, 0 faults"), "{said}");
}

#[test]
fn a_blank_entry_is_refused_that_could_not_stand() {
    let place = Place::new();
    for (rest, why) in [
        (&["coin", "mill-token"][..], "no id of a type of your own"),
        (&["coin", "own-../../x"], "no id of a type of your own"),
        (&["coin", "own-x", "--period", "midieval"], "--period"),
        (
            &["coin", "own-x", "--denomination", "shekels"],
            "--denomination",
        ),
        (&["thing", "own-x", "--class", "buckel"], "--class"),
        (&["thing", "own-x"], "--class"),
    ] {
        let said = place.refused(&[&["catalogue", "new"], rest].concat());
        assert!(said.contains(why), "{rest:?}: {said}");
    }
    assert!(!place.shelf().exists());
}

/// The second time a find is asked about, the confirmed ones are not heard again: what they taught
/// lies beside the shelf until the next act, and gives the same answer to the last digit.
#[test]
fn what_was_learnt_is_kept_aside_until_the_next_act() {
    let place = Place::new();
    place.site(12);
    let find = ["identify", "copper alloy, 17 mm", "--land", "LONGACRE"];
    let aside = || -> Vec<(String, Vec<u8>)> {
        let folder = fs::read_dir(place.shelf().join("learnt"));
        let files = folder.into_iter().flatten().flatten();
        let read = |path: std::path::PathBuf| fs::read(path).expect("a file");
        files
            .map(|file| {
                (
                    file.file_name().to_string_lossy().into_owned(),
                    read(file.path()),
                )
            })
            .collect()
    };
    // What it was made of stands before it; what follows may lie in any order.
    let made_of = |kept: &[(String, Vec<u8>)]| -> Vec<u8> {
        let parts = kept[0].1.split(|byte| *byte == b'\n').skip(1);
        parts.take(1).flatten().copied().collect()
    };
    assert!(aside().is_empty());
    let first = place.json(&find);
    let kept = aside();
    assert_eq!(kept.len(), 1);
    assert_eq!(place.json(&find), first);
    assert!(aside() == kept, "it was made again");
    // Spoilt or gone, it is made anew.
    let path = place.shelf().join("learnt").join(&kept[0].0);
    fs::write(&path, b"spoilt").expect("it is spoilt");
    assert_eq!(place.json(&find), first);
    assert!(made_of(&aside()) == made_of(&kept) && aside()[0].1.len() == kept[0].1.len());
    // An act makes it anew.
    place.done(&["collection", "learning", "field", "off"]);
    let off = place.json(&find);
    assert_ne!(off["period"], first["period"]);
    assert!(made_of(&aside()) != made_of(&kept));
    place.done(&["collection", "undo"]);
    assert_eq!(place.json(&find), first);
    // It goes into no backup and no export.
    let at = place.beside("whole").display().to_string();
    place.done(&["collection", "export", &at]);
    assert!(!place.beside("whole").join("learnt").exists());
}
