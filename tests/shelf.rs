//! The shelf as a person keeps it: land and finds by the real program, two at once, bad input, and
//! the shelves of earlier schemas.
//!
//! The farm, its fields and its people are invented.
//!
//! Invariant: every test has a shelf of its own, gone with it.

use std::fs;
use std::path::Path;

use super::kit::place::Place;
use super::kit::{Outcome, camera};

#[test]
fn a_find_is_identified_kept_and_shown_in_one_step() {
    let place = Place::new();
    place.farm();
    let photo = place.file("a.jpg", camera::example(false, "a.jpg"));
    let photo = format!("{photo}=obverse");
    let more = [
        "--land",
        "LONGACRE",
        "--found",
        "2026-03-14",
        "--at",
        "SP 1234 5678",
        "--photo",
        &photo,
        "--tag",
        "to show",
        "--storage",
        "box 3",
    ];
    let kept = place.penny("LA-1", &more);
    assert_eq!(kept["metal"], "silver");
    assert_eq!(kept["weight_g"], 1.2);
    assert_eq!(kept["identified"][0]["denomination"], "penny");
    assert!(kept["identified"][0]["share"].as_f64().expect("a share") > 0.5);
    assert_eq!(kept["photographs"][0]["view"], "obverse");
    assert_eq!(
        kept["heed"],
        serde_json::json!([]),
        "leave holds on that day"
    );
    let listed = place.json(&["collection", "list", "--land", "NETHERFOLD"]);
    assert_eq!(
        (&listed["total"], &listed["finds"][0]["id"]),
        (&1.into(), &"LA-1".into())
    );
    let found = place.json(&["collection", "find", "long", "cross"]);
    assert_eq!(found["finds"][0]["id"], "LA-1");
    assert_eq!(place.run(&["collection", "find", "zzzz"]).code, 1);
    let text = place.done(&["collection", "show", "la-1"]);
    assert!(
        text.contains("Long Acre") && text.contains("obverse: a.jpg"),
        "{text}"
    );
    assert_eq!(place.run(&["collection", "check"]).code, 0);
}

#[test]
fn leave_that_has_lapsed_and_ground_that_is_protected_are_told() {
    let place = Place::new();
    place.farm();
    let late = place.penny("LA-2", &["--land", "LONGACRE", "--found", "2026-08-01"]);
    let heed = late["heed"][0].as_str().expect("a caution");
    assert!(
        heed.contains("leave has lapsed") && heed.contains("2026-06-30"),
        "{heed}"
    );
    place.done(&[
        "land",
        "restrict",
        "LONGACRE",
        "protected",
        "--note",
        "ring ditch",
    ]);
    let shown = place.done(&["land", "show", "LONGACRE", "--today", "2026-03-01"]);
    assert!(shown.contains("marked protected (ring ditch)"), "{shown}");
    assert!(
        shown.contains("section 42") || shown.contains("s.42"),
        "{shown}"
    );
    let list = place.done(&["land", "list", "--today", "2026-08-01"]);
    assert!(list.contains("leave has lapsed"), "{list}");
}

#[test]
fn what_was_done_is_listed_and_taken_back() {
    let place = Place::new();
    place.penny("LA-1", &[]);
    place.done(&[
        "collection",
        "edit",
        "LA-1",
        "--storage",
        "box 4",
        "--who",
        "A. Finder",
    ]);
    let history = place.done(&["collection", "history", "LA-1"]);
    assert!(history.contains("A. Finder: edit find LA-1"), "{history}");
    assert!(
        history.contains("storage: nothing to \"box 4\""),
        "{history}"
    );
    let fault = place.refused(&["collection", "undo", "1"]);
    assert!(
        fault.contains("act 2") && fault.contains("collection undo 2"),
        "{fault}"
    );
    place.done(&["collection", "undo"]);
    assert!(place.json(&["collection", "show", "LA-1"])["storage"].is_null());
    place.done(&["collection", "undo"]);
    assert_eq!(place.json(&["collection", "list"])["total"], 0);
    assert!(
        place
            .refused(&["collection", "undo"])
            .contains("nothing to take back")
    );
}

#[test]
fn a_find_is_confirmed_and_followed_where_it_goes() {
    let place = Place::new();
    place.penny("LA-1", &[]);
    place.done(&[
        "collection",
        "confirm",
        "LA-1",
        "--by",
        "officer",
        "--reference",
        "letter",
    ]);
    place.done(&[
        "collection",
        "status",
        "LA-1",
        "with-officer",
        "--on",
        "2026-03-20",
    ]);
    place.done(&[
        "collection",
        "status",
        "LA-1",
        "returned",
        "--on",
        "2026-05-01",
    ]);
    let kept = place.json(&["collection", "show", "LA-1"]);
    assert_eq!(kept["identified"][0]["confirmed_by"], "officer");
    assert_eq!(kept["status"], "returned");
    assert_eq!(kept["whereabouts"][0]["day"], "2026-03-20");
    let by = ["--by", "book", "--as", "sterling-9"];
    assert!(
        place
            .refused(&[&["collection", "confirm", "LA-1"], &by[..]].concat())
            .contains("book")
    );
    let named = [
        &["collection", "confirm", "LA-1"],
        &by[..],
        &["--reference", "plate 3"],
    ]
    .concat();
    let kept = place.json(&named);
    assert_eq!(kept["identified"][0]["type_id"], "sterling-9");
    let fault = place.refused(&["collection", "status", "LA-1", "eaten"]);
    assert!(fault.contains("with-museum"), "{fault}");
}

#[test]
fn a_table_is_kept_whole_or_not_at_all() {
    let place = Place::new();
    place.farm();
    let good = place.file(
        "good.csv",
        "No,Wt,metal,land,notes,words\nA1,1.2,silver,LONGACRE,'=1+1,long cross\nA2,2.5,copper alloy,,plain,\n",
    );
    let map = ["--map", "id=No,weight=Wt"];
    let kept = place.json(
        &[
            &["collection", "import", &good],
            &map[..],
            &["--keep-map", "club"],
        ]
        .concat(),
    );
    assert_eq!(kept["finds"], 2);
    let first = place.json(&["collection", "show", "A1"]);
    assert_eq!(
        (&first["notes"], &first["weight_g"]),
        (&"=1+1".into(), &1.2.into())
    );
    // Again: every id is taken, and each row says so.
    let again = place.refused(&["collection", "import", &good, "--map", "club"]);
    assert!(
        again.contains("line 2: find: the id A1 is taken"),
        "{again}"
    );
    let bad = place.file(
        "bad.csv",
        "No,Wt,land,found\nB1,1.2,,2026-03-14\nB2,2,NOWHERE,\nB1,1,,2026-99\nb 1,1,,\n",
    );
    // A mapping that was kept is of a table with those columns.
    let fault = place.refused(&["collection", "import", &bad, "--map", "club"]);
    assert!(fault.contains("has no column \"metal\""), "{fault}");
    let fault = place.refused(&[&["collection", "import", &bad], &map[..]].concat());
    for part in [
        "line 3: column \"land\"",
        "line 4: found",
        "line 5: id: b 1 is the same as B1",
    ] {
        assert!(fault.contains(part), "{part}: {fault}");
    }
    assert_eq!(place.json(&["collection", "list"])["total"], 2);
    // The whole import is one act.
    place.done(&["collection", "undo"]);
    assert_eq!(place.json(&["collection", "list"])["total"], 0);
}

#[test]
fn the_owner_gets_a_statement() {
    let place = Place::new();
    place.farm();
    let more = [
        "--land",
        "LONGACRE",
        "--found",
        "2026-03-14",
        "--at",
        "SP 1234 5678",
    ];
    place.penny(
        "LA-1",
        &[&more[..], &["--official-number", "2026-117"]].concat(),
    );
    place.penny("LA-2", &["--land", "LONGACRE", "--found", "2025-03-14"]);
    let days = ["--from", "2026-01-01", "--to", "2026-12-31"];
    let call = [&["land", "statement", "NETHERFOLD"], &days[..]].concat();
    let text = place.done(&call);
    assert!(text.contains("LA-1") && !text.contains("LA-2"), "{text}");
    assert!(
        text.contains("record 2026-117") && text.contains("half each"),
        "{text}"
    );
    assert!(
        text.contains("SP 12 56") && !text.contains("SP 1234 5678"),
        "{text}"
    );
    let exact = place.done(&[&call[..], &["--exact-findspot"]].concat());
    assert!(exact.contains("SP 1234 5678"), "{exact}");
    let page = place.done(&[&call[..], &["--html"]].concat());
    assert!(
        page.starts_with("<!doctype html>") && page.contains("<td>LA-1</td>"),
        "{page}"
    );
}

#[test]
fn bad_input_is_refused_with_words_and_nothing_kept() {
    let place = Place::new();
    place.penny("LA-1", &[]);
    let text = place.file("a.jpg", "no picture");
    let long = "x".repeat(100_000);
    let calls: Vec<Vec<&str>> = vec![
        vec!["collection", "add", "silver", "--id", "L\u{410}-1"],
        vec!["collection", "add", "silver", "--id", "a\u{202e}b"],
        vec![
            "collection",
            "add",
            "silver",
            "--id",
            "B",
            "--found",
            "yesterday",
        ],
        vec!["collection", "add", "silver", "--id", "B", "--at", "QQ 1"],
        vec![
            "collection",
            "add",
            "silver",
            "--id",
            "B",
            "--land",
            "NOWHERE",
        ],
        vec!["collection", "add", "silver", "--id", "B", "--photo", &text],
        vec![
            "collection",
            "add",
            "silver",
            "--id",
            "B",
            "--storage",
            &long,
        ],
        vec!["collection", "add", "silver", "--id", "B", "--depth", "-4"],
        vec!["collection", "add"],
        vec!["collection", "show", "B"],
        vec!["collection", "photo", "LA-1"],
        vec!["collection", "list", "--metal", "mithril"],
        vec!["land", "add", "", "name"],
        vec!["land", "search-day", "X", "2026-03-14"],
    ];
    for call in calls {
        let fault = place.refused(&call);
        assert!(
            fault.starts_with("lynchet: ") && fault.contains("\n  "),
            "{call:?}: {fault}"
        );
    }
    assert_eq!(place.json(&["collection", "list"])["total"], 1);
}

#[test]
fn asking_makes_no_shelf() {
    let place = Place::new();
    assert!(
        place
            .done(&["collection", "list"])
            .contains("no finds are kept yet")
    );
    assert!(
        place
            .done(&["land", "list"])
            .contains("no land is kept yet")
    );
    assert_eq!(place.json(&["collection", "find", "silver"])["total"], 0);
    let fault = place.refused(&["collection", "undo"]);
    assert!(fault.contains("there is no shelf"), "{fault}");
    assert!(!place.shelf().exists());
}

#[test]
fn two_programs_at_once_both_keep_theirs() {
    let place = Place::new();
    let running: Vec<_> = (0..6)
        .map(|at| {
            let id = format!("F{at}");
            let call = ["collection", "add", "silver", "--id", &id, "--plain"];
            place.door(&call).spawn().expect("the program starts")
        })
        .collect();
    for one in running {
        let ended = Outcome::from(one.wait_with_output().expect("it ends"));
        assert_eq!(ended.code, 0, "{}", ended.err);
    }
    assert_eq!(place.json(&["collection", "list"])["total"], 6);
    assert_eq!(place.run(&["collection", "check"]).code, 0);
}

/// The shelf of each released schema opens, is brought up to date and lists what it has.
#[test]
fn shelves_of_every_schema_open() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shelves");
    let mut seen = 0;
    for entry in fs::read_dir(folder).expect("tests/shelves").flatten() {
        let place = Place::new();
        fs::create_dir(place.shelf()).expect("a folder");
        fs::copy(entry.path(), place.shelf().join("shelf.sqlite")).expect("a copy");
        let listed = place.json(&["collection", "list"]);
        assert_eq!(listed["total"], 2, "{}", entry.path().display());
        let kept = place.json(&["collection", "show", "LA-1"]);
        assert_eq!(kept["land"], "LONGACRE");
        assert_eq!(kept["identified"][0]["confirmed_by"], "officer");
        let found = place.json(&["collection", "find", "long cross"]);
        assert_eq!(found["finds"][0]["id"], "LA-1");
        place.done(&["collection", "edit", "LA-1", "--storage", "box 5"]);
        place.done(&["collection", "undo"]);
        assert_eq!(place.run(&["collection", "check"]).code, 0);
        seen += 1;
    }
    assert!(seen >= 1);
}
