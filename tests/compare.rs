//! Types side by side: the same from either end, sums that hold, a table that fits the screen, and
//! a picture that says what the numbers say.
//!
//! Asks the house for its comparisons and runs the real program for what it prints; the picture is
//! read back as XML and measured by its own axes.
//!
//! Invariant: nothing here knows how a row or a region is made.

use std::fs;
use std::path::Path;
use std::process::Stdio;
use std::sync::LazyLock;

use lynchet::catalogue::Catalogue;
use lynchet::explain::{Comparison, Entry, Verdict};
use lynchet::find::Find;
use lynchet::{Compared, IdentifyOptions, parse};
use roxmltree::{Document, Node};
use serde_json::Value;
use tempfile::TempDir;

use lynchet::simulate;

use crate::kit::{self, Outcome, change, small_library};
use crate::outside::HOUSE;

const FIND: &str = "silver, 17.2 mm, 1.20 g, star on breast, reads EDW R";
const PAIR: [&str; 2] = ["sterling-3g", "sterling-9"];

fn library() -> &'static Catalogue {
    &HOUSE.catalogue
}

fn place(id: &str) -> usize {
    library().type_by_id(id).expect("a type of the library")
}

/// Made-up finds with two types each that they may be: their own, and a neighbour or a stranger.
fn tried() -> Vec<(Vec<usize>, Find)> {
    let count = library().listed().len();
    let often = simulate::every_period(library());
    let finds = simulate::finds(library(), &often, 1279, 60);
    let pairs = finds.into_iter().enumerate().map(|(at, (coin, find))| {
        let other = match at % 2 {
            0 => (coin + 1) % count,
            _ => (coin + 1 + at * 83 % (count - 1)) % count,
        };
        (vec![coin, other], find)
    });
    pairs.collect()
}

// ------------------------------------------------------------------ laws

#[test]
fn the_order_of_the_types_changes_the_order_of_the_cells_and_nothing_else() {
    let turned = |places: &[usize]| places.iter().map(|at| 1 - at).collect::<Vec<_>>();
    let (mut differing, mut lines) = (0, 0);
    let mut all = tried();
    // Two of which the library itself says what sets them apart.
    all.push((
        vec![place("sterling-3g"), place("sterling-3c")],
        Find::default(),
    ));
    for (types, find) in all {
        let back: Vec<usize> = types.iter().rev().copied().collect();
        let one = HOUSE.compare(&types, Some(&find), false).comparison;
        let two = HOUSE.compare(&back, Some(&find), false).comparison;
        assert_eq!(one.rows.len(), two.rows.len());
        for (a, b) in one.rows.iter().zip(&two.rows) {
            assert_eq!(
                (a.feature, a.verdict, a.seen),
                (b.feature, b.verdict, b.seen)
            );
            let near = a.bits.zip(b.bits).is_none_or(|(x, y)| (x - y).abs() < 1e-9);
            assert!(near && a.bits.is_some() == b.bits.is_some(), "{a:?} {b:?}");
            let mirrored = b.cells.iter().rev().cloned().map(|cell| {
                let entry = |entry: Entry| Entry {
                    with: turned(&entry.with),
                    ..entry
                };
                cell.map(|cell| cell.into_iter().map(entry).collect::<Vec<_>>())
            });
            assert_eq!(a.cells, mirrored.collect::<Vec<_>>());
            differing += usize::from(a.verdict == Verdict::Differ);
        }
        let said = |of: &Comparison, turn: bool| {
            let side = |at: usize| if turn { 1 - at } else { at };
            let lines = of.apart.iter();
            lines
                .map(|line| (side(line.of), side(line.from), line.by.clone()))
                .collect::<Vec<_>>()
        };
        assert_eq!(said(&one, false), said(&two, true));
        lines += one.apart.len();
        let (one, two) = (one.weighing.expect("a find"), two.weighing.expect("a find"));
        for (a, b) in one.terms.iter().zip(&two.terms) {
            assert_eq!((a.witness, &a.said), (b.witness, &b.said));
            assert!(a.nats.iter().eq(b.nats.iter().rev()) && a.why.iter().eq(b.why.iter().rev()));
            let mut theirs = turned(&b.speaks_for);
            theirs.sort_unstable();
            assert_eq!(
                (&a.speaks_for, a.difference, a.lead),
                (&theirs, b.difference, b.lead)
            );
        }
        assert!(one.totals.iter().eq(two.totals.iter().rev()));
    }
    assert!(
        differing > 200 && lines > 0,
        "{differing} rows, {lines} lines"
    );
}

#[test]
fn the_terms_sum_to_the_totals_which_are_those_of_the_judging() {
    let mut terms = 0;
    for (types, find) in tried() {
        let weighing = HOUSE
            .compare(&types, Some(&find), false)
            .comparison
            .weighing;
        let weighing = weighing.expect("a find");
        for (at, total) in weighing.totals.iter().enumerate() {
            let nats = weighing
                .terms
                .iter()
                .map(|term| term.nats[at].unwrap_or(0.0));
            let sum: f64 = nats.sum();
            assert!((sum - total).abs() < 1e-9, "{sum} {total}");
        }
        let whole: f64 = weighing.chances.iter().sum();
        assert!((whole - 1.0).abs() < 1e-12);
        let odds = (weighing.chances[0] / weighing.chances[1]).ln();
        let lead = weighing.totals[0] - weighing.totals[1];
        assert!((odds - lead).abs() < 1e-6, "{odds} {lead}");
        let falling = |two: &[lynchet::explain::TermRow]| two[0].difference >= two[1].difference;
        assert!(weighing.terms.windows(2).all(falling));
        terms += weighing.terms.len();
    }
    assert!(terms > 200, "only {terms} terms");
    // What the one verb says of a type, the other says too.
    let (find, _) = parse::words(FIND, &HOUSE.lexicon);
    let types = PAIR.map(place);
    let weighing = HOUSE
        .compare(&types, Some(&find), false)
        .comparison
        .weighing;
    let whole = IdentifyOptions {
        judge_all: true,
        ..IdentifyOptions::default()
    };
    let ranking = HOUSE.identify(&find, whole).ranking;
    for (coin, total) in types.iter().zip(weighing.expect("a find").totals) {
        let judged = ranking.judged.iter().find(|j| j.coin == *coin);
        assert!((judged.expect("is judged").total - total).abs() < 1e-9);
    }
}

#[test]
fn a_type_differs_from_none_of_its_own_rows_and_each_row_is_there_once() {
    for (types, _) in tried() {
        let rows = HOUSE.compare(&types, None, false).comparison.rows;
        let mut features: Vec<_> = rows.iter().map(|row| row.feature).collect();
        features.sort_unstable();
        features.dedup();
        assert_eq!((features.len(), rows.len()), (24, 24));
        for row in rows {
            let said: Vec<_> = row.cells.iter().flatten().collect();
            let texts = |cell: &[Entry]| {
                let mut texts: Vec<String> = cell.iter().map(|e| e.text.clone()).collect();
                texts.sort();
                texts
            };
            let differ = said.len() == 2 && texts(said[0]) != texts(said[1]);
            assert_eq!(row.verdict == Verdict::Differ, differ, "{row:?}");
            assert!(!row.seen || differ);
        }
    }
}

// ------------------------------------------------------------------ the door

/// Runs the program in a folder; it must never panic. The runs share one cache.
fn run_in(folder: &Path, arguments: &[&str]) -> Outcome {
    static CACHE: LazyLock<TempDir> = LazyLock::new(|| TempDir::new().expect("a cache"));
    let mut door = kit::command();
    door.env("LYNCHET_CACHE", CACHE.path())
        .current_dir(folder)
        .stdin(Stdio::null())
        .args(arguments);
    let ended = Outcome::from(door.output().expect("the program runs"));
    assert!(!ended.err.contains("panicked"), "{}", ended.err);
    ended
}

fn compared(arguments: &[&str]) -> Outcome {
    let folder = TempDir::new().expect("a folder");
    let given: Vec<&str> = [&["compare"], arguments].concat();
    run_in(folder.path(), &given)
}

#[test]
fn what_cannot_be_compared_is_refused_with_a_mend() {
    let long = "x".repeat(5000);
    for (given, what, mend) in [
        (&["sterling-9"][..], "not 1", "lynchet compare sterling-3g"),
        (&["a", "b", "c", "d"], "not 4", "by their ids"),
        (
            &["sterling-9", "sterling-9"],
            "named twice",
            "different types",
        ),
        // An old id is the type it now belongs to.
        (
            &["aurelian-early", "aurelian-fortuna"],
            "named twice",
            "different types",
        ),
        (
            &["sterling-9", "sterlng-3g"],
            "\"sterlng-3g\"",
            "nearest id is sterling-3g",
        ),
        (&["sterling-9", ""], "has the id \"\"", "catalogue search"),
        (
            &["sterling-9", "\u{1b}[31mred"],
            "id \"[31mred\"",
            "catalogue search",
        ),
        (&["sterling-9", &long], "xxx...", "catalogue search"),
        // A ruler is no type.
        (
            &["sterling-9", "edward-i"],
            "\"edward-i\"",
            "catalogue search",
        ),
        (
            &["sterling-9", "sterling-3g", "--find", ""],
            "nothing to go on",
            "--find \"silver",
        ),
        (
            &["sterling-9", "sterling-3g", "--find", "xqzzy"],
            "\"xqzzy\" is not",
            "--find \"silver",
        ),
        (
            &["sterling-9", "sterling-3g", "--weight", "-3"],
            "not possible",
            "1.2 g",
        ),
        (
            &["sterling-9", "sterling-3g", "--force"],
            "--svg",
            "required",
        ),
        (&[], "<ID>", "Usage"),
    ] {
        let ended = compared(given);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{given:?}");
        let told = ended.err.contains(what) && ended.err.contains(mend);
        assert!(told, "{given:?}: {}", ended.err);
        assert!(ended.err.len() < 800 && !ended.err.contains('\u{1b}'));
    }
    let moved = compared(&["aurelian-early", "sterling-9"]);
    assert_eq!(moved.code, 0);
    let note = "aurelian-early is now called aurelian-fortuna";
    assert!(moved.out.contains(note), "{}", moved.out);
}

#[test]
fn a_comparison_fits_a_screen_of_eighty_columns() {
    let types = library().listed();
    let longest = |length: &dyn Fn(usize) -> usize| {
        let places = 0..types.len();
        let found = places.max_by_key(|at| length(*at)).expect("a type");
        types[found].id.as_str()
    };
    let letters = longest(&|at| {
        let borne = Catalogue::faces(&types[at]);
        let borne = borne
            .into_iter()
            .flat_map(|f| f.inscriptions.iter().flatten());
        let legends = borne.map(|i| &library().legends[library().inscriptions[*i].legend]);
        legends.map(|legend| legend.text.len()).max().unwrap_or(0)
    });
    let mints = longest(&|at| types[at].mints.len());
    let name = longest(&|at| types[at].name.len());
    let refs = longest(&|at| types[at].refs.len() + types[at].marks.len());
    for given in [
        vec![letters, mints],
        vec![letters, name, refs],
        vec!["sterling-9", letters, name],
    ] {
        let ended = compared(&[&given[..], &["--find", FIND]].concat());
        assert_eq!(ended.code, 0, "{}", ended.err);
        assert!(!ended.out.contains('\u{1b}'), "a colour without a terminal");
        let wide = ended.out.lines().filter(|line| line.chars().count() > 80);
        assert_eq!(wide.collect::<Vec<_>>(), [""; 0], "{given:?}");
        // No word of the longest legend is lost in the wrapping.
        let shown: String = ended.out.split_whitespace().collect();
        for id in &given {
            assert!(shown.contains(&format!("[{id}]")), "{id}: {}", ended.out);
        }
    }
}

#[test]
fn the_table_says_first_what_sets_the_types_apart() {
    let ended = compared(&[
        "sterling-3g",
        "nummus-vrbs-roma",
        "sterling-3c",
        "--find",
        FIND,
    ]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let at = |text: &str| {
        ended
            .out
            .find(text)
            .unwrap_or_else(|| panic!("no {text}: {}", ended.out))
    };
    let order = [
        "A Penny of Edward I, class 3g",
        "What sets them apart",
        "A rather than C: small neat bust",
        "\n  metal ",
        "\n  diameter ",
        "\n  weight ",
        "\n  obverse ",
        "\n  obverse legend ",
        "Also different",
        "\n  ruler ",
        "The same",
        "What of the find speaks for which",
        "chance, if it is one of just these",
        "Its weight and size among theirs",
    ];
    let places: Vec<usize> = order.iter().map(|text| at(text)).collect();
    assert!(places.is_sorted(), "{places:?}\n{}", ended.out);
    // Alike to the last measure: the measures are no difference.
    let alike = compared(&PAIR);
    let differences = alike.out.split("The same").next().expect("a beginning");
    assert!(!differences.contains("diameter"), "{}", alike.out);
}

#[test]
fn json_holds_everything_and_sums() {
    let ended = compared(&[&PAIR[..], &["--json", "--find", FIND, "--id", "F7"]].concat());
    assert_eq!((ended.code, ended.err.as_str()), (0, ""));
    let said: Value = serde_json::from_str(&ended.out).expect("JSON");
    let list = |value: &Value| value.as_array().expect("a list").clone();
    assert_eq!(list(&said["types"]).len(), 2);
    assert_eq!(list(&said["rows"]).len(), 24);
    let row = |feature: &str| {
        let rows = list(&said["rows"]);
        rows.into_iter()
            .find(|row| row["feature"] == feature)
            .expect("a row")
    };
    assert_eq!(row("ruler")["verdict"], "same");
    assert_eq!(row("ruler")["cells"][0][0]["text"], "Edward I");
    assert_eq!(row("ruler")["cells"][0][0]["with"][0], "sterling-9");
    assert_eq!(row("struck")["verdict"], "differ");
    let spelled = list(&row("reverse legend")["cells"][0][0]["spellings"]);
    assert!(
        spelled.contains(&Value::from("CIVITAS LONDON")),
        "{spelled:?}"
    );
    let find = &said["find"];
    assert_eq!(find["id"], "F7");
    for at in 0..2 {
        let terms = list(&find["terms"]);
        let sum: f64 = terms
            .iter()
            .map(|term| term["nats"][at].as_f64().unwrap_or(0.0))
            .sum();
        assert!((sum - find["totals"][at].as_f64().expect("a total")).abs() < 1e-9);
    }
    let star = &find["terms"][0];
    assert_eq!(
        (&star["witness"], &star["speaks_for"][0]),
        (&"motif".into(), &"sterling-9".into())
    );
    let region = &said["measures"][0]["struck"][1];
    assert_eq!(
        (&region["share"], &region["holds_find"]),
        (&0.9.into(), &false.into())
    );
    assert!(region["grams"][0].as_f64().expect("grams") < 1.44);
    // Without a find there is none.
    let without = compared(&[&PAIR[..], &["--json"]].concat());
    let without: Value = serde_json::from_str(&without.out).expect("JSON");
    assert!(
        without["find"].is_null() && without["measures"][0]["struck"][0]["holds_find"].is_null()
    );
}

#[test]
fn a_flat_prior_takes_the_types_as_equally_likely() {
    let pair = [
        "nummus-vrbs-roma",
        "sterling-9",
        "--json",
        "--metal",
        "silver",
    ];
    let prior = |more: &[&str]| {
        let ended = compared(&[&pair[..], more].concat());
        let said: Value = serde_json::from_str(&ended.out).expect("JSON");
        let terms = said["find"]["terms"].as_array().expect("terms").clone();
        let prior = terms.into_iter().find(|term| term["witness"] == "prior");
        prior.expect("a prior")["difference"]
            .as_f64()
            .expect("a figure")
    };
    assert!(prior(&[]) > 0.1);
    assert_eq!(prior(&["--flat-prior"]), 0.0);
}

#[test]
fn types_without_measures_are_compared_but_not_drawn() {
    let folder = TempDir::new().expect("a folder");
    small_library(&folder.path().join("library"));
    let denominations =
        fs::read_dir(folder.path().join("library/denominations")).expect("a folder");
    let file = denominations
        .last()
        .expect("a file")
        .expect("an entry")
        .path();
    let coins = folder.path().join("library/coins/medieval/small.toml");
    let denomination = "denomination = \"halfpenny\"\n";
    change(
        &coins,
        denomination,
        &format!("{denomination}metal = \"silver\"\n"),
    );
    let ask = |more: &[&str]| {
        let given = [&["--catalogue", "library", "compare"], more].concat();
        run_in(folder.path(), &given)
    };
    // A weight and no diameter: a band.
    change(&file, "diameter = [14.0, 16.0]\n", "");
    let band = ask(&[
        "small-bust",
        "boris-old",
        "--weight",
        "0.6",
        "--svg",
        "band.svg",
    ]);
    assert_eq!(band.code, 0, "{}", band.err);
    assert!(
        band.out.contains("not said") && band.out.contains("17-20 mm"),
        "{}",
        band.out
    );
    let text = fs::read_to_string(folder.path().join("band.svg")).expect("a picture");
    let svg = Document::parse(&text).expect("well-formed");
    let bands: Vec<Node<'_, '_>> = paths(&svg)
        .into_iter()
        .filter(|path| path.attribute("data-type") == Some("small-bust"))
        .collect();
    assert_eq!(bands.len(), 4);
    assert!(
        bands
            .iter()
            .all(|path| path.attribute("d").is_some_and(|d| d.contains('H')))
    );
    // Neither: nothing to draw.
    let standard = "[[halfpenny.standards]]\nspan = [1200, 1350]\nmetal = \"silver\"\nweight = 0.7\ncv = 0.05\n";
    change(&file, standard, "");
    let bare = ask(&[
        "small-bust",
        "small-star",
        "--find",
        "star, silver, 0.6 g, 15 mm",
    ]);
    assert_eq!(bare.code, 0, "{}", bare.err);
    assert!(!bare.out.contains("Its weight and size"), "{}", bare.out);
    let drawn = ask(&["small-bust", "small-star", "--svg", "none.svg"]);
    assert_eq!((drawn.code, drawn.out.as_str()), (2, ""));
    assert!(
        drawn.err.contains("neither weight nor diameter"),
        "{}",
        drawn.err
    );
    assert!(!folder.path().join("none.svg").exists());
}

// ------------------------------------------------------------------ the picture

#[test]
fn a_picture_is_written_over_only_when_asked() {
    let folder = TempDir::new().expect("a folder");
    let file = folder.path().join("p.svg");
    let draw = |more: &[&str]| run_in(folder.path(), &[&["compare"], &PAIR[..], more].concat());
    kit::lay(&file, "mine");
    let refused = draw(&["--svg", "p.svg"]);
    assert_eq!((refused.code, refused.out.as_str()), (2, ""));
    assert!(
        refused.err.contains("p.svg") && refused.err.contains("--force"),
        "{}",
        refused.err
    );
    assert_eq!(fs::read_to_string(&file).expect("a file"), "mine");
    let forced = draw(&["--svg", "p.svg", "--force"]);
    assert_eq!(forced.code, 0, "{}", forced.err);
    assert!(
        forced.out.ends_with("The picture is in p.svg\n"),
        "{}",
        forced.out
    );
    assert!(
        fs::read_to_string(&file)
            .expect("a file")
            .starts_with("<svg ")
    );
    let left = fs::read_dir(folder.path()).expect("a folder").count();
    assert_eq!(left, 1, "something is left beside the picture");
    for nowhere in ["missing/p.svg", "."] {
        let ended = draw(&["--svg", nowhere, "--force"]);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{nowhere}");
        assert!(
            ended.err.contains("that can be written to"),
            "{}",
            ended.err
        );
    }
}

/// The outlines of the types.
fn paths<'a, 'i>(svg: &'a Document<'i>) -> Vec<Node<'a, 'i>> {
    svg.descendants()
        .filter(|node| node.has_attribute("data-type"))
        .collect()
}

fn figure(node: Node<'_, '_>, name: &str) -> f64 {
    let text = node
        .attribute(name)
        .unwrap_or_else(|| panic!("{node:?} lacks {name}"));
    text.parse()
        .unwrap_or_else(|_| panic!("{name} of {node:?} is no number"))
}

/// The line that leads from a measure to its place, read off the figures of an axis.
fn axis(svg: &Document<'_>, class: &str, at: &str) -> (f64, f64) {
    let marks: Vec<(f64, f64)> = svg
        .descendants()
        .filter(|node| node.attribute("class") == Some(class))
        .map(|node| {
            let value = node.text().expect("a figure").parse().expect("a number");
            (value, figure(node, at))
        })
        .collect();
    let (first, last) = (marks[0], marks[marks.len() - 1]);
    let slope = (last.1 - first.1) / (last.0 - first.0);
    for (value, place) in &marks {
        assert!(
            (first.1 + slope * (value - first.0) - place).abs() < 0.1,
            "uneven: {marks:?}"
        );
    }
    (slope, first.1 - slope * first.0)
}

/// The corners of the rings of a path of straight lines.
fn rings(path: &str) -> Vec<Vec<(f64, f64)>> {
    let rings = path.split('Z').filter(|ring| !ring.is_empty());
    rings
        .map(|ring| {
            let corners = ring.split(['M', 'L']).filter(|corner| !corner.is_empty());
            corners
                .map(|corner| {
                    let (x, y) = corner.split_once(' ').expect("two figures");
                    (x.parse().expect("a number"), y.parse().expect("a number"))
                })
                .collect()
        })
        .collect()
}

/// True when a ray from the point crosses the rings an odd number of times.
fn inside(rings: &[Vec<(f64, f64)>], (x, y): (f64, f64)) -> bool {
    let crossings = rings.iter().flat_map(|ring| {
        let next = ring.iter().cycle().skip(1);
        ring.iter().zip(next)
    });
    let crosses = |(a, b): &(&(f64, f64), &(f64, f64))| {
        (a.1 > y) != (b.1 > y) && x < a.0 + (y - a.1) / (b.1 - a.1) * (b.0 - a.0)
    };
    crossings.filter(crosses).count() % 2 == 1
}

/// How near a point is to the rings.
fn near(rings: &[Vec<(f64, f64)>], (x, y): (f64, f64)) -> f64 {
    let sides = rings
        .iter()
        .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
    let off = |(a, b): (&(f64, f64), &(f64, f64))| {
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let way = ((x - a.0) * dx + (y - a.1) * dy) / (dx * dx + dy * dy).max(1e-12);
        let way = way.clamp(0.0, 1.0);
        (x - a.0 - way * dx).hypot(y - a.1 - way * dy)
    };
    sides.map(off).fold(f64::INFINITY, f64::min)
}

/// Draws types and a find, and hands over the picture with the numbers behind it.
fn drawn(ids: &[&str], find: &str) -> (String, Compared) {
    let folder = TempDir::new().expect("a folder");
    let given = [&["compare"], ids, &["--find", find, "--svg", "p.svg"]].concat();
    let ended = run_in(folder.path(), &given);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let text = fs::read_to_string(folder.path().join("p.svg")).expect("a picture");
    let places: Vec<usize> = ids.iter().map(|id| place(id)).collect();
    let (find, _) = parse::words(find, &HOUSE.lexicon);
    (text, HOUSE.compare(&places, Some(&find), false))
}

#[test]
fn a_point_lies_in_a_region_drawn_just_when_the_numbers_say_so() {
    let ids = ["sterling-3g", "nummus-vrbs-roma", "medal-temperance-1833"];
    for ids in [&ids[..2], &ids[1..]] {
        let (text, compared) = drawn(ids, FIND);
        let svg = Document::parse(&text).expect("well-formed");
        let (across, up) = (axis(&svg, "ly-x", "x"), axis(&svg, "ly-y", "y"));
        // The figures of the upright axis stand a little below their lines.
        let up = (up.0, up.1 - 4.5);
        let (mut within, mut without) = (0, 0);
        let paths = paths(&svg);
        assert_eq!(paths.len(), 4 * ids.len());
        for path in paths {
            let of = ids
                .iter()
                .position(|id| path.attribute("data-type") == Some(id));
            let of = of.expect("one of the types");
            let law = match path.attribute("data-state") {
                Some("struck") => &compared.struck[of],
                _ => &compared.found[of],
            };
            let region = &law.regions(&[figure(path, "data-share")])[0];
            let rings = rings(path.attribute("d").expect("a path"));
            for (column, row) in (0..80).flat_map(|c| (0..64).map(move |r| (c, r))) {
                let place = (50.0 + 4.2 * f64::from(column), 32.0 + 4.2 * f64::from(row));
                if near(&rings, place) < 1.0 {
                    continue;
                }
                let (millimetres, grams) =
                    ((place.0 - across.1) / across.0, (place.1 - up.1) / up.0);
                let holds = grams > 0.0 && law.holds(region, grams, millimetres);
                assert_eq!(
                    inside(&rings, place),
                    holds,
                    "{path:?} {millimetres} mm {grams} g"
                );
                within += usize::from(holds);
                without += usize::from(!holds);
            }
        }
        assert!(
            within > 500 && without > 500,
            "{within} within, {without} without"
        );
    }
}

#[test]
fn the_find_stands_where_it_was_measured() {
    let (text, _) = drawn(&PAIR, FIND);
    let svg = Document::parse(&text).expect("well-formed");
    let (across, up) = (axis(&svg, "ly-x", "x"), axis(&svg, "ly-y", "y"));
    let crosses: Vec<&str> = svg
        .descendants()
        .filter(|node| node.attribute("class") == Some("ly-find"))
        .filter_map(|node| node.attribute("d"))
        .collect();
    // One in the frame, one in the key.
    assert_eq!(crosses.len(), 2);
    let figures: Vec<f64> = crosses[0]
        .split(|c: char| !c.is_ascii_digit() && c != '.')
        .filter_map(|figure| figure.parse().ok())
        .collect();
    let [left, y, right, x, ..] = figures[..] else {
        panic!("{crosses:?}")
    };
    assert!((x - (across.1 + across.0 * 17.2)).abs() < 0.2, "{x}");
    assert!((y - (up.1 - 4.5 + up.0 * 1.2)).abs() < 0.2, "{y}");
    // The callipers of a hobbyist err by 0.3 mm, and a figure of one place by half its step besides
    // (engineering default of the scorer).
    let error = (right - left) / 2.0 / across.0;
    assert!((0.3..0.35).contains(&error), "{error}");
    let (far, _) = drawn(&PAIR, "silver, 400 g, 17 mm");
    assert!(far.contains("(beyond"), "{far}");
}

#[test]
fn no_words_lie_upon_one_another_and_all_lie_on_the_paper() {
    let name = library()
        .listed()
        .iter()
        .max_by_key(|t| t.name.len())
        .expect("a type");
    let ids = ["medal-temperance-1833", "sterling-3c", name.id.as_str()];
    for ids in [&PAIR[..], &ids] {
        let (text, _) = drawn(ids, FIND);
        let svg = Document::parse(&text).expect("well-formed");
        let view = svg.root_element().attribute("viewBox").expect("a view box");
        let view: Vec<f64> = view
            .split(' ')
            .map(|n| n.parse().expect("a number"))
            .collect();
        // A letter of a plain type is about 0.58 of its size wide
        // (common practice, no source).
        let (wide, high) = (12.5 * 0.58, 12.5);
        let boxes: Vec<[f64; 4]> = svg
            .descendants()
            .filter(|node| node.has_tag_name("text"))
            .map(|node| {
                let width = wide * node.text().unwrap_or_default().chars().count() as f64;
                let left = figure(node, "x")
                    - match node.attribute("text-anchor") {
                        Some("middle") => width / 2.0,
                        Some("end") => width,
                        _ => 0.0,
                    };
                let foot = figure(node, "y") + 0.2 * high;
                [left, foot - high, left + width, foot]
            })
            .collect();
        assert!(boxes.len() > 12, "{}", boxes.len());
        for (at, one) in boxes.iter().enumerate() {
            let on_paper = one[0] >= 0.0 && one[1] >= 0.0 && one[2] <= view[2] && one[3] <= view[3];
            assert!(on_paper, "{one:?} of {view:?}");
            for other in &boxes[at + 1..] {
                let apart = one[2] <= other[0]
                    || other[2] <= one[0]
                    || one[3] <= other[1]
                    || other[3] <= one[1];
                assert!(apart, "{one:?} {other:?}");
            }
        }
        assert!(text.contains("prefers-color-scheme:dark"));
    }
}
