//! Things that are not coins on the shelf, and `identify --keep`, through the real binary.
//!
//! Everybody and every place here is invented.
//!
//! Invariant: a test that keeps nothing leaves no shelf.

use serde_json::Value;

use super::kit::place::Place;

const BUCKLE: &str = "rectangular buckle frame, copper alloy, 32 mm long";

#[test]
fn a_buckle_is_kept_as_an_artefact_with_its_answer() {
    let place = Place::new();
    let kept = place.json(&["collection", "add", BUCKLE, "--id", "B-1"]);
    let one = &kept["identified"][0];
    assert_eq!(
        (&kept["kind"], &kept["metal"]),
        (&"artefact".into(), &"copper alloy".into())
    );
    assert!(
        one["class"]
            .as_str()
            .is_some_and(|class| class.contains("buckle")),
        "{one}"
    );
    assert!(
        one["denomination"].is_null() && one["ruler"].is_null(),
        "{one}"
    );
    assert!(
        one["share"].as_f64().is_some_and(|share| share > 0.5),
        "{one}"
    );
    // The answer that was given is kept whole, as `identify --json` gives it.
    let answer = &one["answer"];
    assert_eq!(answer["kind"], "thing");
    assert_eq!(answer["answer"]["text"], one["text"]);
    let listed = place.json(&["collection", "list", "--kind", "artefact"]);
    assert_eq!(listed["total"], 1);
    let class = one["class"].as_str().expect("a class");
    assert_eq!(
        place.json(&["collection", "list", "--class", class])["total"],
        1
    );
    assert_eq!(
        place.json(&["collection", "list", "--kind", "coin"])["total"],
        0
    );
}

#[test]
fn a_coin_is_kept_as_before_and_what_the_finder_says_it_is_holds() {
    let place = Place::new();
    let coin = place.penny("C-1", &[]);
    assert_eq!(
        (&coin["kind"], &coin["identified"][0]["class"]),
        (&"coin".into(), &Value::Null)
    );
    // Settled by the finder either way, and settled still when it is identified anew.
    let thing = place.json(&[
        "collection",
        "add",
        "silver, 17 mm",
        "--thing",
        "--id",
        "C-2",
    ]);
    assert_eq!(thing["kind"], "artefact");
    let again = place.json(&["collection", "edit", "C-2", "--weight", "1.2", "--again"]);
    assert_eq!(again["kind"], "artefact");
    let back = place.json(&["collection", "edit", "C-2", "--coin", "--again"]);
    assert_eq!(back["kind"], "coin");
    assert!(back["identified"][0]["class"].is_null(), "{back}");
}

#[test]
fn an_artefact_type_is_confirmed_by_its_id() {
    let place = Place::new();
    place.json(&["collection", "add", BUCKLE, "--id", "B-1"]);
    let shown = place.json(&["collection", "show", "B-1"]);
    let id = shown["identified"][0]["answer"]["types"][0]["id"].clone();
    let id = id.as_str().expect("a type");
    let call = [
        "collection",
        "confirm",
        "B-1",
        "--by",
        "officer",
        "--as",
        id,
    ];
    let kept = place.json(&call);
    let one = &kept["identified"][0];
    assert_eq!(
        (&one["type_id"], &one["level"]),
        (&id.into(), &"type".into())
    );
    assert!(
        one["period"].is_string() && one["from_year"].is_i64(),
        "{one}"
    );
    assert_eq!(kept["kind"], "artefact");
    // What it was decided to be decides what kind of find it is.
    place.penny("C-1", &[]);
    let call = ["collection", "confirm", "C-1", "--by", "self", "--as", id];
    assert_eq!(place.json(&call)["kind"], "artefact");
    let call = [
        "collection",
        "confirm",
        "C-1",
        "--by",
        "self",
        "--as",
        "sterling-9",
    ];
    assert_eq!(place.json(&call)["kind"], "coin");
}

#[test]
fn a_table_may_hold_coins_and_things() {
    let place = Place::new();
    let table = "id,words,kind,type\n\
                 T1,\"silver, 17 mm, 1.2 g, long cross, reads EDW R\",,\n\
                 T2,\"rectangular buckle frame, copper alloy, 32 mm long\",,\n\
                 T3,\"copper alloy, 30 mm\",artefact,\n\
                 T4,worn,,buckle\n";
    let table = place.file("mixed.csv", table);
    place.done(&["collection", "import", &table]);
    let kind = |id: &str| place.json(&["collection", "show", id])["kind"].clone();
    let kinds = ["T1", "T2", "T3", "T4"].map(kind);
    assert_eq!(kinds, ["coin", "artefact", "artefact", "artefact"]);
}

#[test]
fn identify_keeps_in_one_step() {
    let place = Place::new();
    place.farm();
    let words = "silver, 17 mm, 1.2 g, long cross, reads EDW R";
    let bare = place.done(&["identify", words]);
    let text = place.done(&[
        "identify",
        words,
        "--keep",
        "--land",
        "LONGACRE",
        "--at",
        "SP 1234 5678",
        "--found",
        "2026-03-14",
        "--group",
        "the purse",
    ]);
    let line = text
        .strip_prefix(&bare)
        .expect("the answer as ever, then a line");
    assert!(line.contains("kept under the number 1"), "{line}");
    let kept = place.json(&["collection", "show", "1"]);
    assert_eq!(
        (&kept["land"], &kept["grouped"]),
        (&"LONGACRE".into(), &"the purse".into())
    );
    assert_eq!(kept["identified"][0]["denomination"], "penny");
    // For programs the number stands in the answer, for a thing as for a coin.
    let said = place.json(&["identify", BUCKLE, "--keep", "--id", "B-7"]);
    assert_eq!(
        (&said["kept"], &said["kind"]),
        (&"B-7".into(), &"thing".into())
    );
    assert!(place.json(&["identify", words])["kept"].is_null());
    assert_eq!(place.json(&["collection", "list"])["total"], 2);
}

#[test]
fn what_cannot_be_kept_is_said_and_no_shelf_is_made() {
    let place = Place::new();
    for (call, part) in [
        (&["identify", "qqqq", "--keep"][..], "nothing to go on"),
        (
            &["identify", "silver, 17 mm", "--at", "TQ 30 80"],
            "add --keep",
        ),
        (
            &["identify", "silver, 17 mm", "--land", "LONGACRE"],
            "no shelf that knows the land",
        ),
        (&["identify", "silver", "--keep", "--ask"], "--ask"),
    ] {
        let fault = place.refused(call);
        assert!(fault.contains(part), "{call:?}: {fault}");
    }
    assert!(!place.shelf().exists());
    let fault = place.refused(&["identify", "silver, 17 mm", "--keep", "--found", "soon"]);
    assert!(fault.contains("found"), "{fault}");
    place.penny("LA-1", &[]);
    let fault = place.refused(&["identify", "silver, 17 mm", "--keep", "--id", "la 1"]);
    assert!(fault.contains("looks like LA-1"), "{fault}");
    assert_eq!(place.json(&["collection", "list"])["total"], 1);
}
