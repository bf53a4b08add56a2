//! Statistics, labels, the demo shelf, the index and the schema, through the real binary.
//!
//! Everybody and every place here is invented.
//!
//! Invariant: every test has a shelf of its own, gone with it.

use std::fs;

use super::kit::place::Place;

const HOSTILE: &str = "<script>alert(1)</script>\"&";

fn filled(place: &Place) {
    place.farm();
    let more = [
        "--land",
        "LONGACRE",
        "--found",
        "2026-03-14",
        "--at",
        "SP 1234 5678",
    ];
    place.penny("LA-1", &[&more[..], &["--storage", HOSTILE]].concat());
    place.penny("LA-2", &["--found", "2026-03", "--land", "LONGACRE"]);
    let buckle = "rectangular buckle frame, copper alloy, 32 mm long, 9 g";
    place.json(&[
        "collection",
        "add",
        buckle,
        "--id",
        "LA-3",
        "--found",
        "2025-11-02",
    ]);
    place.done(&["collection", "confirm", "LA-1", "--by", "self"]);
}

#[test]
fn figures_count_every_find_once_and_pictures_are_drawn() {
    let place = Place::new();
    filled(&place);
    let figures = place.json(&["collection", "stats"]);
    assert_eq!(
        (&figures["finds"], &figures["confirmed"]),
        (&3.into(), &1.into())
    );
    let lists = figures["by"].as_object().expect("lists");
    for (name, rows) in lists {
        let rows = rows.as_array().expect("rows").iter();
        let sum: u64 = rows.filter_map(|row| row["count"].as_u64()).sum();
        // A ruler is counted of coins that have one, alone.
        assert!(sum == 3 || name == "ruler", "{name}: {sum}");
    }
    let row = |list: &str, at: usize| figures["by"][list][at].clone();
    assert_eq!(
        (&row("month", 0)["id"], &row("month", 1)["count"]),
        (&"2025-11".into(), &2.into())
    );
    assert_eq!(row("land", 0)["name"], "Long Acre (LONGACRE)");
    assert_eq!(figures["days"].as_array().map(Vec::len), Some(2));
    let chosen = place.json(&[
        "collection",
        "stats",
        "--kind",
        "coin",
        "--land",
        "NETHERFOLD",
    ]);
    assert_eq!(
        (&chosen["finds"], &chosen["by"]["kind"][0]["id"]),
        (&2.into(), &"coin".into())
    );
    let text = place.done(&["collection", "stats"]);
    assert!(
        text.contains("3 find(s): 1 confirmed") && text.contains("Finds by period"),
        "{text}"
    );
    let folder = place.shelf().with_file_name("figures");
    let folder = folder.display().to_string();
    place.done(&["collection", "stats", "--write", &folder]);
    let mut pictures = 0;
    for file in fs::read_dir(&folder).expect("the folder").flatten() {
        let text = fs::read_to_string(file.path()).expect("a text");
        if file
            .path()
            .extension()
            .is_some_and(|ending| ending == "svg")
        {
            let read = roxmltree::Document::parse(&text).expect("it is well formed");
            for part in ["title", "desc"] {
                let mut nodes = read.descendants();
                assert!(nodes.any(|node| node.has_tag_name(("http://www.w3.org/2000/svg", part))));
            }
            assert!(!text.contains("<script"), "{text}");
            pictures += 1;
        }
    }
    assert_eq!(pictures, 10);
    // A shelf that is not there is counted as nothing, and none is made.
    let other = Place::new();
    assert_eq!(other.json(&["collection", "stats"])["finds"], 0);
    assert!(!other.shelf().exists());
}

#[test]
fn labels_tell_no_place_unless_told_and_their_code_is_typed_back() {
    let place = Place::new();
    filled(&place);
    let file = place
        .shelf()
        .with_file_name("labels.html")
        .display()
        .to_string();
    let told = place.json(&["collection", "labels", "--write", &file]);
    assert_eq!((&told["labels"], &told["sheets"]), (&3.into(), &1.into()));
    let page = fs::read_to_string(&file).expect("the page");
    assert!(
        !page.contains("SP 12") && !page.contains("Long Acre"),
        "{page}"
    );
    assert!(
        !page.contains("<script") && page.contains("&lt;script&gt;"),
        "{page}"
    );
    assert!(
        page.contains("found 2026-03-14") && page.contains("mm"),
        "{page}"
    );
    let code = told["codes"][0].as_str().expect("a code");
    assert!(page.contains(code), "{page}");
    for typed in [code.to_string(), code.to_lowercase().replace('-', " ")] {
        assert_eq!(
            place.json(&["collection", "show", &typed])["id"],
            "LA-1",
            "{typed}"
        );
    }
    // A sign wrong, in the id or at the end, is noticed.
    let wrong = code.replace("LA-1", "LA-2");
    let fault = place.refused(&["collection", "show", &wrong]);
    assert!(fault.contains("mistyped"), "{fault}");
    let fault = place.refused(&["collection", "labels", "--write", &file]);
    assert!(fault.contains("--force"), "{fault}");
    let call = [
        "collection",
        "labels",
        "--write",
        &file,
        "--force",
        "--findspot-to",
        "1000",
    ];
    place.done(&call);
    let page = fs::read_to_string(&file).expect("the page");
    assert!(
        page.contains("SP 12 56") && !page.contains("1234 5678"),
        "{page}"
    );
    let pdf = file.replace(".html", ".pdf");
    place.done(&[
        "collection",
        "labels",
        "--sheet",
        "2x7",
        "--used",
        "13",
        "--write",
        &pdf,
    ]);
    let bytes = fs::read(&pdf).expect("the file");
    assert!(bytes.starts_with(b"%PDF"));
    for (call, part) in [
        (&["--write", "labels.doc"][..], ".pdf"),
        (&["--write", "x.pdf", "--sheet", "40x40"], "--columns"),
        (&["--write", "x.pdf", "--metal", "gold"], "no find fits"),
    ] {
        let fault = place.refused(&[&["collection", "labels"], call].concat());
        assert!(fault.contains(part), "{call:?}: {fault}");
    }
}

/// Two builds on one day give the same bytes of a whole export, and say everywhere what they are.
#[test]
fn the_demo_is_the_same_twice_and_says_that_it_is_invented() {
    let places = [Place::new(), Place::new()];
    let exports = places.each_ref().map(|place| {
        place.done(&["collection", "demo", "--today", "2026-04-01"]);
        let folder = place.shelf().with_file_name("export");
        place.done(&["collection", "export", &folder.display().to_string()]);
        let files = [
            "finds.csv",
            "identifications.csv",
            "changes.csv",
            "files.csv",
            "acts.csv",
        ];
        files.map(|name| fs::read_to_string(folder.join(name)).expect("a table"))
    });
    assert!(exports[0] == exports[1], "the two are not alike");
    let place = &places[0];
    let list = place.json(&["collection", "list", "--top", "100"]);
    assert_eq!(list["total"], 60);
    assert!(
        list["invented"]
            .as_str()
            .is_some_and(|said| said.contains("never were"))
    );
    let things = place.json(&["collection", "list", "--kind", "artefact"]);
    assert_eq!(things["total"], 20);
    let group = place.json(&["collection", "list", "--group", "three from one hole"]);
    assert_eq!(group["total"], 3);
    let text = place.done(&["collection", "list"]);
    assert!(text.starts_with("invented: "), "{text}");
    let statement = place.done(&["land", "statement", "OVERBECK", "--today", "2026-04-01"]);
    assert!(statement.contains("invented: "), "{statement}");
    let lands = place.done(&["land", "list", "--today", "2026-04-01"]);
    assert!(
        lands.contains("leave has lapsed") && lands.contains("marked protected"),
        "{lands}"
    );
    let shown = place.json(&["collection", "show", "NC-1"]);
    assert_eq!(shown["photographs"][0]["view"], "obverse (drawn, invented)");
    assert_eq!(place.run(&["collection", "check"]).code, 0);
    let fault = place.refused(&["collection", "demo"]);
    assert!(fault.contains("ever written over"), "{fault}");
}

#[test]
fn a_broken_index_is_told_of_and_made_anew() {
    let place = Place::new();
    filled(&place);
    place.json(&["collection", "find", "long", "cross"]);
    assert!(
        !place
            .done(&["collection", "check"])
            .contains("search index")
    );
    for spoil in ["cut short", "changed", "gone"] {
        for file in fs::read_dir(place.shelf().join("index"))
            .expect("the index")
            .flatten()
        {
            let name = file.file_name().to_string_lossy().into_owned();
            let bytes = fs::read(file.path()).expect("a file");
            match spoil {
                "cut short" => fs::write(file.path(), &bytes[..bytes.len() / 2]).expect("cut"),
                "changed" if name.ends_with(".term") => {
                    let other: Vec<u8> = bytes.iter().map(|byte| byte ^ 1).collect();
                    fs::write(file.path(), other).expect("changed");
                }
                "gone" if name.ends_with(".term") => fs::remove_file(file.path()).expect("gone"),
                _ => {}
            }
        }
        let told = place.done(&["collection", "check"]);
        assert!(told.contains("search index was broken"), "{spoil}: {told}");
        assert!(
            !place
                .done(&["collection", "check"])
                .contains("search index"),
            "{spoil}"
        );
        assert_eq!(
            place.json(&["collection", "find", "long", "cross"])["total"],
            2,
            "{spoil}"
        );
    }
}

/// What a shelf of the first schema holds is the same after it was brought up to date, and its lists
/// go by the indexes that came with it.
#[test]
fn a_shelf_of_the_first_schema_is_brought_up_to_date() {
    let place = Place::new();
    fs::create_dir(place.shelf()).expect("a folder");
    let old = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shelves/0001.sqlite");
    let database = place.shelf().join("shelf.sqlite");
    fs::copy(&old, &database).expect("a copy");
    let rows = |file: &std::path::Path| -> Vec<String> {
        let db = rusqlite::Connection::open(file).expect("a database");
        let sql = "SELECT id || words || said || changed FROM find UNION ALL SELECT text || standing \
                   FROM identification UNION ALL SELECT coalesce(before, '') || after FROM change";
        let mut asked = db.prepare(sql).expect("it can be asked");
        let rows = asked.query_map([], |row| row.get(0)).expect("rows");
        rows.map(|row| row.expect("a row")).collect()
    };
    // Read from a copy: reading leaves files beside what is read.
    let copy = place.shelf().with_file_name("before.sqlite");
    fs::copy(&old, &copy).expect("a copy");
    let before = rows(&copy);
    place.done(&["collection", "list"]);
    assert_eq!(rows(&database), before);
    let db = rusqlite::Connection::open(&database).expect("a database");
    let version: i64 = db
        .query_row("PRAGMA user_version", [], |row| row.get(0))
        .expect("a number");
    assert_eq!(version, 3);
    let plan = "EXPLAIN QUERY PLAN SELECT find FROM identification WHERE standing = 'current' AND \
                period = 'medieval' ORDER BY find";
    let plan: String = db.query_row(plan, [], |row| row.get(3)).expect("a plan");
    assert!(plan.contains("identification_by_period"), "{plan}");
    assert_eq!(place.run(&["collection", "check"]).code, 0);
}
