//! The library of artefacts: every kind of thing of the scope is there, its links hold, no coin is
//! judged by it, and the verbs that look into the library show it.
//!
//! The nouns are those of the project's scope, common practice, no source: a kind of thing counts
//! as there when a type names it, or is of a class that people call so.
//!
//! Invariant: nothing here judges a find by an artefact type.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use lynchet::catalogue::{
    Artefacts, Catalogue, Checked, Decoration, Drawn, Facet, artefact_digest, check, coin_digest,
    digest, drawing, embedded, embedded_artefact_digest, embedded_coin_digest,
};
use lynchet::{House, HouseOptions};
use serde_json::Value;

use super::kit::{self, house, run};

/// Least types, classes and forms.
const TYPES: usize = 700;
const CLASSES: usize = 100;
const FORMS: usize = 350;
/// Least forms with a drawing.
const DRAWN: usize = 600;
/// Least motifs with a drawing.
const MOTIFS_DRAWN: usize = 280;

/// The kinds of thing of the scope, period by period, by the word that names them.
const NOUNS: &[&str] = &[
    // Bronze Age.
    "flat axe",
    "flanged axe",
    "palstave",
    "socketed axe",
    "spearhead",
    "rapier",
    "sword",
    "ferrule",
    "chisel",
    "gouge",
    "razor",
    "awl",
    "ingot",
    "gold ornament",
    // Iron Age.
    "brooch",
    "terret",
    "linch-pin",
    "toggle",
    "strap union",
    "mirror",
    "torc",
    "cosmetic grinder",
    "vessel",
    // Roman.
    "one-piece",
    "two-piece",
    "hinged",
    "trumpet",
    "headstud",
    "knee",
    "crossbow",
    "plate brooch",
    "penannular",
    "bracelet",
    "finger ring",
    "hairpin",
    "toilet",
    "spoon",
    "seal box",
    "key",
    "lock",
    "figurine",
    "steelyard",
    "harness",
    "belt",
    "military",
    "bell",
    "stylus",
    // Early medieval.
    "wrist clasp",
    "girdle hanger",
    "buckle",
    "pin",
    "strap-end",
    "hooked tag",
    "mount",
    "weight",
    "pendant",
    "stirrup-strap mount",
    // Medieval.
    "buckle plate",
    "annular brooch",
    "heraldic",
    "seal matrix",
    "thimble",
    "purse",
    "padlock",
    "candlestick",
    "pilgrim",
    "ampulla",
    "book",
    "dress hook",
    "lace chape",
    "arrowhead",
    "dagger",
    "scabbard",
    "spur",
    "spindle whorl",
    // After the Middle Ages.
    "shoe buckle",
    "knee buckle",
    "spectacle",
    "button",
    "cuff link",
    "crotal bell",
    "shot",
    "powder",
    "toy",
    "watch key",
    "furniture",
    "horse brass",
    "pipe tamper",
    "clasp",
    "badge",
    "cartridge case",
];

fn library() -> &'static Checked {
    static LIBRARY: OnceLock<Checked> = OnceLock::new();
    LIBRARY.get_or_init(|| check(&embedded()))
}

fn artefacts() -> &'static Artefacts {
    &library().artefacts
}

#[test]
fn the_library_is_large_and_sound() {
    let things = artefacts();
    assert_eq!(library().faults.len(), 0);
    assert!(things.types.len() >= TYPES, "{}", things.types.len());
    assert!(things.classes.len() >= CLASSES, "{}", things.classes.len());
    assert!(things.forms.len() >= FORMS, "{}", things.forms.len());
    for facet in Facet::ALL {
        assert!(
            things.forms.iter().any(|form| form.facet == facet),
            "{facet:?}"
        );
    }
}

#[test]
fn every_kind_of_thing_of_the_scope_has_a_type() {
    let things = artefacts();
    let named: Vec<String> = things
        .types
        .iter()
        .map(|one| {
            let class = &things.classes[one.class];
            let wider = class.ancestors.iter().map(|at| &things.classes[*at]);
            let mut words = vec![one.name.clone(), things.series[one.series].name.clone()];
            for class in wider.chain([class]) {
                words.push(class.name.clone());
                words.extend(class.words.iter().cloned());
            }
            words.join("\n").to_lowercase().replace('-', " ")
        })
        .collect();
    let missing: Vec<&&str> = NOUNS
        .iter()
        .filter(|noun| {
            let noun = noun.replace('-', " ");
            !named.iter().any(|words| words.contains(&noun))
        })
        .collect();
    assert!(missing.is_empty(), "no type of: {missing:?}");
}

#[test]
fn every_class_has_a_type_or_a_kind_that_has() {
    let things = artefacts();
    for (at, class) in things.classes.iter().enumerate() {
        // A word for what nobody can name has none of its own.
        let held = things.types.iter().any(|one| things.is_of(one, at));
        assert!(held || class.id == "unknown-object", "{}", class.id);
    }
}

#[test]
fn positions_and_what_stands_above_hold() {
    let things = artefacts();
    let coins = &library().catalogue;
    let forms = things.forms.len();
    for (at, form) in things.forms.iter().enumerate() {
        assert_eq!(things.form_by_id(&form.id), Some(at));
        assert!(!form.ancestors.contains(&at), "{}", form.id);
        for above in &form.under {
            assert!(form.ancestors.contains(above), "{}", form.id);
            assert_eq!(things.forms[*above].facet, form.facet, "{}", form.id);
            let farther = &things.forms[*above].ancestors;
            assert!(
                farther.iter().all(|a| form.ancestors.contains(a)),
                "{}",
                form.id
            );
        }
    }
    for one in &things.types {
        let lists = [
            &one.outline,
            &one.section,
            &one.has,
            &one.may,
            &one.lacks,
            &one.survives,
        ];
        assert!(
            lists.into_iter().flatten().all(|form| *form < forms),
            "{}",
            one.id
        );
        for shown in &one.decoration {
            match shown {
                Decoration::Form(form) => assert!(*form < forms, "{}", one.id),
                Decoration::Motif(motif) => assert!(*motif < coins.motifs.len(), "{}", one.id),
            }
        }
        assert!(
            one.apart.iter().all(|a| a.from < things.types.len()),
            "{}",
            one.id
        );
        assert!(
            one.materials.iter().all(|m| *m < coins.metals.len()),
            "{}",
            one.id
        );
        assert!(one.sizes.given().next().is_some(), "{}", one.id);
        assert!(
            things.periods[one.period].span.overlaps(one.span),
            "{}",
            one.id
        );
    }
    // The periods of coins keep their places.
    for (period, coined) in things.periods.iter().zip(&coins.periods) {
        assert_eq!(period.id, coined.id);
    }
    assert!(things.periods.len() > coins.periods.len());
}

#[test]
fn coins_are_judged_by_the_same_whatever_is_said_of_artefacts() {
    let whole = embedded();
    let mut bare = whole.clone();
    bare.retain(|file, _| {
        let theirs = [
            "artefacts/",
            "drawings/",
            "forms/",
            "classes.toml",
            "periods-before-coins.toml",
            "reckoned/",
            "said/",
        ];
        !theirs.iter().any(|start| file.starts_with(start))
    });
    assert!(bare.len() < whole.len());
    assert_eq!(coin_digest(&whole), coin_digest(&bare));
    assert_ne!(digest(&whole), digest(&bare));
    // What the house opens knows neither their ids nor their periods.
    let house = house();
    let coins: BTreeSet<&str> = house
        .catalogue
        .types
        .iter()
        .map(|t| t.id.as_str())
        .collect();
    assert!(
        artefacts()
            .types
            .iter()
            .all(|one| !coins.contains(one.id.as_str()))
    );
    assert!(
        house
            .catalogue
            .periods
            .iter()
            .all(|period| period.id != "bronze-age")
    );
}

#[test]
fn every_class_with_types_and_most_forms_have_a_drawing() {
    let files = embedded();
    let things = artefacts();
    let typed: BTreeSet<usize> = things.types.iter().map(|one| one.class).collect();
    for class in typed {
        let id = &things.classes[class].id;
        assert!(drawing(&files, Drawn::Class, id).is_some(), "{id}");
    }
    let forms = things.forms.iter();
    let drawn = forms.filter(|form| drawing(&files, Drawn::Form, &form.id).is_some());
    let drawn = drawn.count();
    assert!(drawn >= DRAWN, "{drawn} of {}", things.forms.len());
}

#[test]
fn the_motifs_that_types_name_most_have_a_drawing() {
    let files = embedded();
    let library = &house().catalogue;
    let mut named = vec![0_usize; library.motifs.len()];
    for coin in library.listed() {
        let faces = Catalogue::faces(coin).into_iter();
        let shown = faces.flat_map(|face| face.motifs.iter().flatten());
        shown.for_each(|at| named[*at] += 1);
    }
    let drawn = |at: usize| drawing(&files, Drawn::Motif, &library.motifs[at].id).is_some();
    let all: usize = named.iter().sum();
    let seen: usize = (0..named.len())
        .filter(|at| drawn(*at))
        .map(|at| named[at])
        .sum();
    // 0.73 of all sightings that the types name when the drawings were made.
    assert!(seen * 10 >= all * 7, "{seen} of {all}");
    let count = (0..named.len()).filter(|at| drawn(*at)).count();
    assert!(count >= MOTIFS_DRAWN, "{count}");
}

#[test]
fn no_drawing_changes_what_anything_is_judged_by() {
    let whole = embedded();
    let mut bare = whole.clone();
    bare.retain(|file, _| !file.starts_with("drawings/"));
    assert!(bare.len() < whole.len());
    assert_eq!(coin_digest(&whole), coin_digest(&bare));
    assert_eq!(artefact_digest(&whole), artefact_digest(&bare));
    assert_ne!(digest(&whole), digest(&bare));
}

#[test]
fn artefacts_are_the_same_from_text_from_the_cache_and_past_a_spoilt_one() {
    let place = tempfile::tempdir().expect("a temporary folder");
    let options = HouseOptions {
        library: None,
        cache: Some(place.path().to_path_buf()),
        ..HouseOptions::default()
    };
    let house = House::open(&options).expect("the house opens");
    let read = || {
        let (things, faults) = house.artefacts(&options).expect("artefacts");
        assert!(faults.is_empty());
        format!("{:?}", (&things.types, &things.classes, &things.forms))
    };
    let (first, second) = (read(), read());
    assert!(first == second, "the cache gives another library");
    let folders = std::fs::read_dir(place.path()).expect("the cache");
    let mut spoilt = 0;
    for folder in folders.flatten() {
        for file in std::fs::read_dir(folder.path())
            .expect("a folder")
            .flatten()
        {
            if file.file_name().to_string_lossy().starts_with("artefacts-") {
                std::fs::write(file.path(), b"spoilt").expect("written");
                spoilt += 1;
            }
        }
    }
    assert_eq!(spoilt, 1);
    assert!(read() == first, "a spoilt cache is believed");
}

#[test]
fn what_judges_things_keeps_one_part_with_its_fellows_and_finds_it_again() {
    assert_eq!(embedded_artefact_digest(), artefact_digest(&embedded()));
    assert_eq!(embedded_coin_digest(), coin_digest(&embedded()));
    let place = tempfile::tempdir().expect("a temporary folder");
    let options = HouseOptions {
        library: None,
        cache: Some(place.path().to_path_buf()),
        ..HouseOptions::default()
    };
    let house = House::open(&options).expect("the house opens");
    for _ in 0..2 {
        house.things(&options).expect("the things open");
        house.artefacts(&options).expect("the artefacts open");
    }
    let part = format!("artefacts-{}", artefact_digest(&embedded()));
    let mut kept: Vec<String> = std::fs::read_dir(place.path())
        .expect("the cache")
        .flatten()
        .flat_map(|folder| std::fs::read_dir(folder.path()).expect("a folder"))
        .map(|file| {
            file.expect("a file")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .filter(|name| name.starts_with("artefacts-"))
        .collect();
    kept.sort();
    let fellows = ["-ground.bin", "-words.bin", ".bin"].map(|end| format!("{part}{end}"));
    assert_eq!(kept, fellows);
}

// ------------------------------------------------------------------ the verbs

fn found(words: &[&str]) -> Value {
    let mut given = vec!["catalogue", "search", "--json", "--top", "5000"];
    given.extend(words);
    let ended = run(&given);
    serde_json::from_str(&ended.out).unwrap_or_else(|e| panic!("{e}: {}", ended.out))
}

#[test]
fn a_search_gives_coins_first_and_artefacts_after_them() {
    let hits = found(&["lion"]);
    let kinds: Vec<&str> = hits
        .as_array()
        .expect("a list")
        .iter()
        .map(|hit| hit["kind"].as_str().expect("a kind"))
        .collect();
    let coins = kinds.iter().filter(|kind| **kind == "coin").count();
    assert!(
        coins > 0 && coins < kinds.len(),
        "{coins} of {}",
        kinds.len()
    );
    assert!(kinds[..coins].iter().all(|kind| *kind == "coin"));
    let plain = run(["catalogue", "search", "trumpet", "brooch"]);
    assert_eq!(plain.code, 0, "{}", plain.err);
    assert!(
        plain.out.contains(" artefact type(s) found"),
        "{}",
        plain.out
    );
    assert!(!plain.out.contains("\n0 type(s)"), "{}", plain.out);
    let none = run(["catalogue", "search", "xqzzy"]);
    assert_eq!((none.code, none.out.as_str()), (1, "0 type(s) found\n"));
}

#[test]
fn a_type_a_class_and_a_form_are_shown() {
    for one in &artefacts().types {
        assert!(!one.name.is_empty());
    }
    let palstave = artefacts()
        .types
        .iter()
        .find(|one| one.id.starts_with("palstave"));
    let palstave = palstave.expect("a palstave");
    let shown = run(["catalogue", "show", &palstave.id]);
    assert_eq!(shown.code, 0, "{}", shown.err);
    for told in [
        ", artefact\n",
        "  class          palstave",
        "  in use ",
        "  source ",
        " mm",
    ] {
        assert!(shown.out.contains(told), "{told}: {}", shown.out);
    }
    let class = run(["catalogue", "show", "cartridge-case"]);
    assert!(
        class.out.contains("class\n") && class.out.contains("999"),
        "{}",
        class.out
    );
    let form = run(["catalogue", "show", "offset-bar"]);
    assert!(
        form.out.contains("  facet          feature"),
        "{}",
        form.out
    );
    let place = "  drawing        catalogue/drawings/forms/offset-bar.svg\n";
    assert!(form.out.contains(place), "{}", form.out);
    let place = "  drawing        catalogue/drawings/classes/cartridge-case.svg\n";
    assert!(class.out.contains(place), "{}", class.out);
    assert!(!shown.out.contains("  drawing  "), "{}", shown.out);
    let near = run(["catalogue", "show", "offset-bat"]);
    assert_eq!(near.code, 2);
    assert!(near.err.contains("offset-bar"), "{}", near.err);
}

#[test]
fn rows_with_faults_are_left_out_and_told_of() {
    let place = tempfile::tempdir().expect("a temporary folder");
    let folder = place.path().join("library");
    kit::small_library(&folder);
    kit::change(
        &folder.join("artefacts/brooch/bows.toml"),
        "\"bow-plain\", by",
        "\"bow-plane\", by",
    );
    let folder = folder.to_str().expect("a plain path");
    let refused = run([
        "--catalogue",
        folder,
        "--no-cache",
        "catalogue",
        "show",
        "bow-arched",
    ]);
    assert_eq!(refused.code, 2, "{}", refused.out);
    let shown = run([
        "--catalogue",
        folder,
        "--no-cache",
        "--with-faults",
        "catalogue",
        "show",
        "bow-arched",
    ]);
    assert_eq!(shown.code, 0, "{}", shown.err);
    assert!(shown.err.contains("1 fault(s)"), "{}", shown.err);
}
