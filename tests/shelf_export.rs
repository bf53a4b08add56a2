//! The shelf written out and made again: whole, for sharing, and of what can still be read.
//!
//! Tables are held against RFC 4180, places against RFC 7946, the description against RO-Crate 1.1
//! (<https://w3id.org/ro/crate/1.1>). The shelves are those of the tests of safety.
//!
//! Invariant: what is refused leaves the disk as it was.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::shelf_safety::{Filled, damage, tree};

type Tree = BTreeMap<String, Vec<u8>>;

fn exported(filled: &Filled, shelf: &str, to: &str, more: &[&str]) -> Tree {
    let folder = filled.path(to);
    let verb = ["collection", "export", &folder];
    let verb: Vec<&str> = verb.iter().chain(more).copied().collect();
    let done = filled.run(&verb, shelf);
    assert_eq!((done.code, done.err.as_str()), (0, ""), "{done:?}");
    tree(Path::new(&folder))
}

fn text<'t>(tree: &'t Tree, name: &str) -> &'t str {
    std::str::from_utf8(&tree[name]).expect("a text")
}

fn rows(tree: &Tree, name: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_reader(&tree[name][..]);
    reader
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect()
}

#[test]
fn backed_up_wiped_and_restored_the_export_is_the_same_bytes() {
    let filled = Filled::new();
    let before = exported(&filled, "shelf", "one", &[]);
    let file = filled.backup("b.zip");
    fs::remove_dir_all(filled.path("shelf")).expect("wiped");
    assert_eq!(filled.run(&["restore", &file], "shelf").code, 0);
    let after = exported(&filled, "shelf", "two", &[]);
    assert_eq!(
        before.keys().collect::<Vec<_>>(),
        after.keys().collect::<Vec<_>>()
    );
    assert!(before == after);
}

#[test]
fn exported_wiped_and_imported_the_export_is_the_same_bytes() {
    let filled = Filled::new();
    let before = exported(&filled, "shelf", "one", &[]);
    let whole = filled.shelf();
    let (find, acts) = (
        whole.find("LA-3").unwrap(),
        whole.history(None, 1000).unwrap(),
    );
    drop(whole);
    fs::remove_dir_all(filled.path("shelf")).expect("wiped");
    let done = filled.run(&["collection", "import", &filled.path("one")], "shelf");
    assert_eq!((done.code, done.err.as_str()), (0, ""), "{done:?}");
    assert!(exported(&filled, "shelf", "two", &[]) == before);
    let shelf = filled.shelf();
    assert_eq!(shelf.find("LA-3").unwrap(), find);
    assert_eq!(shelf.history(None, 1000).unwrap(), acts);
    assert!(shelf.check(true).faults.is_empty());
    drop(shelf);
    // The history lives on: what was taken away comes back, and no key is given twice.
    let mut shelf = filled.writer();
    let last = shelf.last_act().unwrap();
    shelf
        .add_find(
            &crate::shelf_safety::stamp(50),
            crate::shelf_safety::plain("LA-9"),
        )
        .unwrap();
    shelf.undo(&crate::shelf_safety::stamp(51), last).unwrap();
    assert_eq!(shelf.find("LA-4").unwrap().photographs.len(), 2);
}

#[test]
fn the_tables_hold_everything_and_no_formula() {
    let filled = Filled::new();
    let whole = exported(&filled, "shelf", "one", &[]);
    assert!(
        whole.keys().filter(|name| name.ends_with(".csv")).count() == 17,
        "{:?}",
        whole.keys()
    );
    for (name, bytes) in whole.iter().filter(|(name, _)| name.ends_with(".csv")) {
        let mut reader = csv::Reader::from_reader(&bytes[..]);
        for record in reader.records() {
            for cell in &record.expect("RFC 4180") {
                let number = cell.parse::<f64>().is_ok();
                let formula = cell.starts_with(['=', '+', '-', '@', '\t', '\r']) && !number;
                assert!(!formula, "{name}: {cell:?}");
            }
        }
    }
    let finds = rows(&whole, "finds.csv");
    assert_eq!(finds.len(), 3);
    assert_eq!(finds[0]["land"], "LONGACRE");
    assert_eq!(
        finds[0]["notes"],
        "'=2+5+cmd|' /C calc'!A0\nby the oak on Long Acre"
    );
    let photographs = rows(&whole, "photographs.csv");
    assert_eq!(photographs.len(), 5);
    for row in &photographs {
        assert!(whole.contains_key(&row["file"]), "{row:?}");
    }
    // Those taken away are kept as well.
    assert_eq!(
        whole
            .keys()
            .filter(|name| name.starts_with("kept/"))
            .count(),
        3
    );
    assert!(whole.keys().any(|name| name.starts_with("documents/")));
    let places: Value = serde_json::from_slice(&whole["finds.geojson"]).expect("JSON");
    // RFC 7946, 3.1.6: a ring is closed and goes against the clock.
    let ring = places["features"][0]["geometry"]["coordinates"][0]
        .as_array()
        .unwrap();
    assert_eq!((ring.len(), &ring[0]), (5, &ring[4]));
    let area: f64 = ring
        .windows(2)
        .map(|pair| {
            let at = |point: &Value, axis: usize| point[axis].as_f64().unwrap();
            at(&pair[0], 0) * at(&pair[1], 1) - at(&pair[1], 0) * at(&pair[0], 1)
        })
        .sum();
    assert!(area > 0.0);
}

#[test]
fn the_export_describes_itself() {
    let filled = Filled::new();
    for (to, more) in [("one", &[][..]), ("two", &["--share"])] {
        let whole = exported(&filled, "shelf", to, more);
        let described: Value = serde_json::from_slice(&whole["ro-crate-metadata.json"]).unwrap();
        assert_eq!(
            described["@context"],
            "https://w3id.org/ro/crate/1.1/context"
        );
        let graph = described["@graph"].as_array().unwrap();
        let node = |id: &str| graph.iter().find(|node| node["@id"] == id).unwrap();
        // RO-Crate 1.1, "RO-Crate Metadata File Descriptor" and "Root Data Entity".
        let descriptor = node("ro-crate-metadata.json");
        assert_eq!(
            descriptor["conformsTo"]["@id"],
            "https://w3id.org/ro/crate/1.1"
        );
        assert_eq!(descriptor["about"]["@id"], "./");
        let root = node("./");
        for needed in ["name", "description", "datePublished", "license"] {
            assert!(!root[needed].is_null(), "{needed}");
        }
        assert_eq!(root["datePublished"], "2026-03-14");
        let parts: Vec<&str> = root["hasPart"]
            .as_array()
            .unwrap()
            .iter()
            .map(|part| part["@id"].as_str().unwrap())
            .collect();
        let mut files: Vec<&str> = whole.keys().map(String::as_str).collect();
        files.retain(|name| *name != "ro-crate-metadata.json");
        let mut sorted = parts.clone();
        sorted.sort_unstable();
        assert_eq!(sorted, files);
        for part in parts {
            assert_eq!(
                node(part)["contentSize"],
                whole[part].len().to_string(),
                "{part}"
            );
        }
    }
}

#[test]
fn what_is_shared_tells_no_name_and_no_place() {
    let filled = Filled::new();
    for (to, more) in [
        ("one", &["--share"][..]),
        ("two", &["--share", "--with-notes"]),
        ("three", &["--share", "--square", "10km"]),
    ] {
        let shared = exported(&filled, "shelf", to, more);
        for (name, bytes) in &shared {
            assert!(!name.to_lowercase().contains("longacre"), "{name}");
            // The tables of a JPEG happen to hold rows of figures.
            let figures = !name.ends_with(".jpg");
            let text = String::from_utf8_lossy(bytes).to_lowercase();
            for secret in [
                "orchard",
                "thorn",
                "netherfold",
                "long acre",
                "longacre",
                "under the stairs",
                "lambing",
                "half each",
                "12341",
                "56789",
                "img ",
                "letter",
            ] {
                let told = text.contains(secret) && (figures || secret.parse::<u32>().is_err());
                assert!(!told, "{name} tells {secret}");
            }
        }
        let finds = rows(&shared, "finds.csv");
        assert_eq!(finds.len(), 3);
        let square = if to == "three" {
            ("SP 1 5", "10000")
        } else {
            ("SP 12 56", "1000")
        };
        assert_eq!(
            (finds[0]["square"].as_str(), finds[0]["square_m"].as_str()),
            square
        );
        assert_eq!(finds[0]["identified"], "penny of Edward I, class 3");
        assert_eq!(finds[0]["obverse-legend"], "'+EDW R ANGL");
        assert_eq!(finds[0]["land"], "land-1");
        assert_eq!(finds[0].contains_key("notes"), to == "two");
        assert_eq!(rows(&shared, "photographs.csv").len(), 5);
        let photographs = shared
            .iter()
            .filter(|(name, _)| name.starts_with("photographs/"));
        for (name, bytes) in photographs {
            let opened = lynchet::photo::open(bytes).expect("a photograph");
            assert!(
                name.ends_with(".jpg") && opened.carried.is_empty(),
                "{name}"
            );
        }
        // It is the same again, and no shelf can be made of it.
        let again = exported(&filled, "shelf", &format!("{to}-again"), more);
        assert!(again == shared);
        let done = filled.run(&["collection", "import", &filled.path(to)], "new");
        assert!(
            done.code == 2 && done.err.contains("for sharing"),
            "{done:?}"
        );
    }
}

#[test]
fn an_export_that_was_tampered_with_is_refused_whole() {
    let filled = Filled::new();
    let good = exported(&filled, "shelf", "one", &[]);
    let photograph = good
        .keys()
        .find(|name| name.starts_with("photographs/"))
        .unwrap();
    let change = |name: &str, from: &str, to: &str| {
        let mut tree = good.clone();
        let held = text(&good, name);
        assert!(held.contains(from), "{name} lacks {from}");
        tree.insert(name.into(), held.replacen(from, to, 1).into_bytes());
        tree
    };
    let mut cut = good.clone();
    cut.get_mut(photograph).unwrap().truncate(20);
    let mut gone = good.clone();
    gone.remove(photograph);
    let mut no_table = good.clone();
    no_table.remove("tags.csv");
    let mut long = good.clone();
    let held = text(&good, "finds.csv").replacen("box 2", &"x".repeat(20_000_000), 1);
    long.insert("finds.csv".into(), held.into_bytes());
    let path = format!(",{photograph}");
    let cases = [
        ("file: photographs/", cut),
        ("file: photographs/", gone),
        ("tags.csv", no_table),
        ("longer than", long),
        (
            "no name that an export has",
            change("files.csv", &path, ",../../secret"),
        ),
        (
            "no name that an export has",
            change("files.csv", &path, ",photographs/../../x"),
        ),
        (
            "no name that an export has",
            change("files.csv", &path, ",/etc/passwd"),
        ),
        (
            "finds.csv line 4: id: \"L\u{410}-1\" is, or looks like",
            change("finds.csv", ",LA-2,", ",L\u{410}-1,"),
        ),
        (
            "finds.csv line 2: weight_g: \"heavy\" is no number",
            change("finds.csv", ",1.21,", ",heavy,"),
        ),
        ("weight", change("finds.csv", ",1.21,", ",-5,")),
        ("in-hand", change("finds.csv", ",in-hand,", ",lost,")),
        (
            "there is no land",
            change("finds.csv", ",LONGACRE,", ",SHORTACRE,"),
        ),
        ("there is no find", change("tags.csv", ",LA-1,", ",LA-77,")),
        (
            "a sign that is not seen",
            change("finds.csv", "box 2", "box \u{202e}2"),
        ),
        (
            "it has no column id",
            change("finds.csv", "key,id,", "key,name,"),
        ),
        (
            "the shelf has no such table",
            change("changes.csv", ",find,", ",sqlite_master,"),
        ),
        (
            "no SHA-256",
            change(
                "files.csv",
                "bytes,media,file\n",
                "bytes,media,file\n99,zz,1,x,\n",
            ),
        ),
        (
            "already",
            change("tags.csv", "key,find,tag\n", "key,find,tag\n1,LA-1,x\n"),
        ),
    ];
    for (at, (why, tree)) in cases.into_iter().enumerate() {
        let from = filled.path(&format!("bad-{at}"));
        lay(Path::new(&from), &tree);
        let names = filled.names();
        let done = filled.run(&["collection", "import", &from], "new");
        assert_eq!(done.code, 2, "{why}: {done:?}");
        assert!(done.err.contains(why), "{why}: {}", done.err);
        assert_eq!(filled.names(), names, "{why}");
    }
    let done = filled.run(&["collection", "import", &filled.path("one")], "shelf");
    assert!(done.code == 2 && done.err.contains("empty"), "{done:?}");
    let done = filled.run(&["collection", "export", &filled.path("one")], "shelf");
    assert!(done.code == 2 && done.err.contains("not empty"), "{done:?}");
}

#[cfg(unix)]
#[test]
fn a_link_in_an_export_is_not_followed() {
    let filled = Filled::new();
    let good = exported(&filled, "shelf", "one", &[]);
    let photograph = good
        .keys()
        .find(|name| name.starts_with("photographs/"))
        .unwrap();
    let elsewhere = filled.path("elsewhere");
    fs::write(&elsewhere, &good[photograph]).unwrap();
    let place = Path::new(&filled.path("one")).join(photograph);
    fs::remove_file(&place).unwrap();
    std::os::unix::fs::symlink(&elsewhere, &place).unwrap();
    let done = filled.run(&["collection", "import", &filled.path("one")], "new");
    assert!(done.code == 2 && done.err.contains("is a link"), "{done:?}");
}

fn lay(folder: &Path, tree: &Tree) {
    for (name, bytes) in tree {
        let path = folder.join(name);
        let folder = path.parent().expect("a folder above");
        fs::create_dir_all(folder).expect("the folder is laid");
        fs::write(path, bytes).expect("the file is laid");
    }
}

#[test]
fn what_can_be_read_of_a_damaged_shelf_is_exported_and_the_rest_named() {
    let filled = Filled::new();
    {
        let mut shelf = filled.writer();
        let many = (100..600)
            .map(|at| crate::shelf_safety::plain(&format!("M-{at}")))
            .collect();
        shelf
            .add_finds(&crate::shelf_safety::stamp(55), many)
            .unwrap();
    }
    let whole = exported(&filled, "shelf", "whole", &[]);
    let path = filled.path("shelf/shelf.sqlite");
    let mut bytes = fs::read(&path).unwrap();
    damage(&mut bytes);
    fs::write(&path, bytes).unwrap();
    let folder = filled.path("saved");
    let done = filled.run(&["collection", "export", &folder], "shelf");
    assert_eq!(done.code, 2, "{done:?}");
    assert!(done.err.contains("could not be read"), "{}", done.err);
    let saved = tree(Path::new(&folder));
    let lines = |tree: &Tree| -> usize {
        let csv = tree.iter().filter(|(name, _)| name.ends_with(".csv"));
        csv.map(|(_, bytes)| bytes.iter().filter(|byte| **byte == b'\n').count())
            .sum()
    };
    let (all, kept) = (lines(&whole), lines(&saved));
    assert!(kept < all && kept > all / 2, "{kept} of {all}");
    // A row that was saved is as it was.
    let before = text(&whole, "finds.csv");
    for line in text(&saved, "finds.csv").lines() {
        assert!(before.contains(line), "{line}");
    }
}

#[test]
fn the_commands_of_the_page_run_in_order() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/shelf-safety.md");
    let page = fs::read_to_string(page).expect("the page");
    let room = tempfile::TempDir::new().expect("a folder");
    crate::shelf_safety::fill(&room.path().join("finds"));
    let commands = crate::cli::shown_commands(&page);
    assert!(commands.len() >= 8, "{commands:?}");
    for command in commands {
        let words = crate::cli::shell_words(&command).expect("words");
        let mut door = crate::kit::command();
        door.args(&words[1..]).current_dir(room.path());
        let ended: crate::kit::Outcome = door.output().expect("it runs").into();
        assert!(
            ended.code == 0 && !ended.out.is_empty(),
            "{command}: {ended:?}"
        );
    }
}
