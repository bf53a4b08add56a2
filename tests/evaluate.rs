//! `evaluate` as a person runs it: every option, every figure's name, and bad input; and the damage
//! that it does to finds.
//!
//! Judges a small table of its own and the public specimens. The runs share one cache folder under
//! the build's own, laid afresh for each run of the tests.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::sync::LazyLock;

use lynchet::find::Find;
use lynchet::simulate::{self, damaged, one_in_six_wrong, seeded};
use serde_json::Value;
use tempfile::TempDir;

use super::kit::{self, Outcome, lay};

const HEADING: &str = "id,class,period,ruler_or_authority,denomination_or_type,types,date_from,date_to,metal,weight_g,diameter_mm,wear,obverse_legend,reverse_legend,obverse_motif,reverse_motif\n";

/// Finds of which the library has the type, two of them known by their types alone, and two that
/// it lacks.
const ROWS: [&str; 7] = [
    "a1,coin,Medieval,Edward I,penny,sterling-3g;sterling-3c,1279,1289,silver,1.35,18.5,worn,EDW R ANGL DNS hYB,CIVITAS LONDON,crowned bust facing,long cross\n",
    "a2,coin,Roman,Constantine I,nummus,,330,335,copper alloy,1.9,17,,CONSTANTINOPOLIS,TRP,helmeted bust left,Victory on prow\n",
    "a3,coin,,,,victoria-bun-farthing,1860,1873,copper alloy,2.7,20,light,VICTORIA D G BRITT REG F D,FARTHING,bust left,Britannia\n",
    "a4,coin,Medieval,Nobody Known,penny,none,1300,1320,silver,1.1,18,heavy,,,facing bust,\n",
    "a5,artefact,,,brooch,none,,,copper alloy,9.1,31,,,,,\n",
    "a6,coin,Medieval,Edward I-III,penny,,1279,1377,silver,1.2,18,heavy,[---]ANGL[---],,,long cross\n",
    "a7,coin,,,,henry-vi-groat-annulet,1422,1430,silver,3.6,26,worn,hENRIC DI GRA REX ANGL,,,\n",
];

fn table() -> String {
    HEADING.chars().chain(ROWS.concat().chars()).collect()
}

fn specimens() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/specimens/public.csv");
    path.display().to_string()
}

// ------------------------------------------------------------------ tables

#[test]
fn several_tables_are_judged_together_and_their_ids_kept_apart() {
    let folder = TempDir::new().expect("a temporary folder");
    lay(&folder.path().join("A.csv"), &table());
    let other = format!("{HEADING}{}", ROWS[3].replace("a4,", "b1,")) + ROWS[3];
    lay(&folder.path().join("B.csv"), &other);
    let report = json(folder.path(), &["A.csv", "B.csv"]);
    assert_eq!(report["n"], 9);
    let tables = &report["asked"]["tables"];
    assert_eq!(tables[0]["name"], "A.csv");
    assert_eq!(
        (&tables[0]["finds"], &tables[1]["finds"]),
        (&7.into(), &2.into())
    );
    let listed = labels(&report["unresolved"]);
    for label in ["A.csv:a4", "B.csv:a4", "b1", "a5"] {
        assert!(listed.contains(&label.to_string()), "{label}: {listed:?}");
    }
}

#[test]
fn tables_that_cannot_be_evaluated_are_named_with_a_mend() {
    let folder = TempDir::new().expect("a temporary folder");
    lay(&folder.path().join("good.csv"), &table());
    lay(&folder.path().join("empty.csv"), HEADING);
    lay(
        &folder.path().join("plain.csv"),
        "id,metal,weight_g\nx,silver,1.2\n",
    );
    for (name, what, mend) in [
        ("missing.csv", "missing.csv: ", "name a CSV file"),
        (
            "empty.csv",
            "empty.csv has a heading line and no finds",
            "a row for each",
        ),
        (
            "plain.csv",
            "no column of plain.csv says what the finds are",
            "types",
        ),
    ] {
        let ended = run(folder.path(), &["good.csv", name]);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{name}");
        assert!(
            ended.err.contains(what) && ended.err.contains(mend),
            "{}",
            ended.err
        );
    }
    let none = run(folder.path(), &[]);
    assert_eq!(none.code, 2, "{}", none.err);
}

#[test]
fn types_by_id_stand_before_names_and_tell_of_the_levels_above() {
    let folder = TempDir::new().expect("a temporary folder");
    lay(&folder.path().join("t.csv"), &table());
    let report = json(folder.path(), &["t.csv"]);
    // a1, a3 and a7 have types; a3 and a7 have nothing else.
    assert_eq!(report["known"]["type"], 3);
    assert_eq!(report["levels"]["type"]["n"], 3);
    assert_eq!(report["nine_in_ten"]["n"], 3);
    assert_eq!(report["resolved"]["period"], 4);
    assert_eq!(report["known"]["period"], 6);
    assert_eq!(report["levels"]["period"]["n"], 5);
    // Of a1 two types may be meant, so what was said of one is not held against it.
    assert_eq!(report["calibration"]["type"]["n"], 3);
    assert_eq!(report["calibration"]["type"]["single"], 2);
}

#[test]
fn ids_are_taken_in_every_column_of_identity() {
    let folder = TempDir::new().expect("a temporary folder");
    let row = "x,coin,medieval,edward-i; edward-ii,penny; nonsense,,,,silver,1.3,18,,EDW R,,,\n";
    let names = "y,coin,Medieval,Edward I; Edward II,penny,,,,silver,1.3,18,,EDW R,,,\n";
    lay(
        &folder.path().join("t.csv"),
        &format!("{HEADING}{row}{names}"),
    );
    let report = json(folder.path(), &["t.csv"]);
    assert_eq!(report["resolved"]["period"], 2);
    assert_eq!(report["resolved"]["ruler"], 2);
}

#[test]
fn an_unknown_id_under_types_is_told_with_the_nearest() {
    let folder = TempDir::new().expect("a temporary folder");
    let row = ROWS[0].replace("sterling-3g;sterling-3c", "sterling-3gg; sterling-3c");
    lay(&folder.path().join("t.csv"), &format!("{HEADING}{row}"));
    let ended = run(folder.path(), &["t.csv", "--json"]);
    assert_eq!(ended.code, 2, "{}", ended.err);
    for told in [
        "t.csv, line 2: types: ",
        "\"sterling-3gg\"",
        "the nearest id is sterling-3g",
    ] {
        assert!(ended.err.contains(told), "{told}: {}", ended.err);
    }
    let report: Value = serde_json::from_str(&ended.out).expect("JSON");
    assert_eq!(report["unresolved"][0]["names"][0], "types: sterling-3gg");
    assert_eq!(report["known"]["type"], 1);
}

#[test]
fn what_the_library_lacks_is_counted_by_itself() {
    let folder = TempDir::new().expect("a temporary folder");
    lay(&folder.path().join("t.csv"), &table());
    let report = json(folder.path(), &["t.csv"]);
    let lacking = &report["not_in_library"];
    assert_eq!(lacking["n"], 2);
    assert_eq!(report["in_catalogue"], 5);
    let count = |name: &str| lacking[name].as_u64().expect("a number");
    assert_eq!(count("nothing_named"), count("unlisted") + count("open"));
    assert!(count("unlisted_or_right") >= count("unlisted"));
    assert!(count("confident_wrong") >= count("confident_astray"));
    assert_eq!(lacking["levels"]["period"]["n"], 1);
    assert_eq!(report["taken_out"], Value::Null);
}

// ------------------------------------------------------------------ options

#[test]
fn what_is_hidden_is_not_judged_and_is_told() {
    let folder = TempDir::new().expect("a temporary folder");
    lay(&folder.path().join("t.csv"), &table());
    let hidden = [
        "t.csv",
        "--hide",
        "weight,legend,motif",
        "--hide",
        "diameter",
    ];
    let report = json(folder.path(), &hidden);
    let names: Vec<&str> = list(&report["asked"]["hidden"])
        .iter()
        .filter_map(Value::as_str)
        .collect();
    assert_eq!(names, ["weight", "legend", "motif", "diameter"]);
    // Nothing but the metal is left.
    let groups = list(&report["groups"]["traits"]);
    assert_eq!((groups.len(), &groups[0]["name"]), (1, &"0-1".into()));
    // The same table without these columns is judged alike.
    let bare: String = table()
        .lines()
        .map(|line| line.split(',').take(9).collect::<Vec<_>>().join(",") + "\n")
        .collect();
    lay(&folder.path().join("bare.csv"), &bare);
    let bare = json(folder.path(), &["bare.csv"]);
    assert_eq!(bare["levels"], report["levels"]);
    let printed = run(folder.path(), &hidden);
    let told = "hidden from the judging: weight, legend, motif, diameter";
    assert!(printed.out.contains(told), "{}", printed.out);
}

#[test]
fn a_seed_damages_alike_and_another_otherwise() {
    let folder = TempDir::new().expect("a temporary folder");
    let one = run(folder.path(), &[&specimens(), "--damage", "1", "--json"]);
    let again = run(folder.path(), &[&specimens(), "--damage", "1", "--json"]);
    assert_eq!((one.code, &one.out), (0, &again.out));
    let other = json(folder.path(), &[&specimens(), "--damage", "2"]);
    let one: Value = serde_json::from_str(&one.out).expect("JSON");
    assert_ne!(one["calibration"], other["calibration"]);
    assert_eq!(
        (&one["asked"]["damage"], &other["asked"]["damage"]),
        (&1.into(), &2.into())
    );
    let whole = json(folder.path(), &[&specimens()]);
    let lost = |report: &Value| number(&report["calibration"]["type"]["log_score"]);
    assert!(lost(&one) > lost(&whole), "{} {}", lost(&one), lost(&whole));
}

#[test]
fn the_order_of_rows_changes_nothing() {
    let folder = TempDir::new().expect("a temporary folder");
    lay(&folder.path().join("t.csv"), &table());
    let mut turned = HEADING.to_string();
    ROWS.iter().rev().for_each(|row| turned.push_str(row));
    lay(&folder.path().join("turned.csv"), &turned);
    for options in [["--damage", "7"], ["--wrong", "7"]] {
        let plain = json(folder.path(), &["t.csv", options[0], options[1]]);
        let turned = json(folder.path(), &["turned.csv", options[0], options[1]]);
        assert_eq!(plain["levels"], turned["levels"], "{options:?}");
        assert_eq!(plain["groups"], turned["groups"], "{options:?}");
        let lost = |report: &Value| number(&report["calibration"]["period"]["log_score"]);
        assert!((lost(&plain) - lost(&turned)).abs() < 1e-9, "{options:?}");
    }
}

#[test]
fn a_seed_that_is_no_number_is_refused() {
    let folder = TempDir::new().expect("a temporary folder");
    lay(&folder.path().join("t.csv"), &table());
    for option in ["--damage", "--wrong", "--at-least"] {
        let ended = run(folder.path(), &["t.csv", option, "often"]);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{option}");
        assert!(ended.err.contains(option), "{}", ended.err);
    }
}

#[test]
fn wrong_traits_are_counted_by_find() {
    let folder = TempDir::new().expect("a temporary folder");
    let report = json(folder.path(), &[&specimens(), "--wrong", "3"]);
    let groups = list(&report["groups"]["wrong_traits"]);
    let names: Vec<&Value> = groups.iter().map(|group| &group["name"]).collect();
    assert!(
        names.len() >= 2 && names[0] == "0" && names[1] == "1",
        "{names:?}"
    );
    let sum: f64 = groups.iter().map(|group| number(&group["n"])).sum();
    assert_eq!(sum, number(&report["in_catalogue"]));
    let plain = json(folder.path(), &[&specimens()]);
    assert_eq!(plain["groups"]["wrong_traits"], Value::Array(Vec::new()));
}

#[test]
fn finds_with_fewer_traits_are_left_out_when_asked() {
    let folder = TempDir::new().expect("a temporary folder");
    lay(&folder.path().join("t.csv"), &table());
    let report = json(folder.path(), &["t.csv", "--at-least", "4"]);
    assert_eq!(
        number(&report["n"]) + number(&report["asked"]["left_out"]),
        7.0
    );
    assert!(number(&report["asked"]["left_out"]) >= 1.0);
    // What is counted is what the table gives, so damage leaves the same finds in.
    let damaged = json(
        folder.path(),
        &["t.csv", "--at-least", "4", "--damage", "1"],
    );
    assert_eq!(report["n"], damaged["n"]);
    let none = run(folder.path(), &["t.csv", "--at-least", "40"]);
    assert_eq!((none.code, none.out.as_str()), (2, ""));
    assert!(
        none.err.contains("no find has 40 traits or more"),
        "{}",
        none.err
    );
}

#[test]
fn without_its_truth_no_find_is_named_by_its_type() {
    let folder = TempDir::new().expect("a temporary folder");
    lay(&folder.path().join("t.csv"), &table());
    let report = json(folder.path(), &["t.csv", "--without-truth"]);
    let out = &report["taken_out"];
    // a2 and a6 lose all types of their ruler and denomination; a4 and a5 have none to lose.
    assert_eq!(out["n"], 5);
    let left: Vec<&str> = list(&report["asked"]["not_taken_out"])
        .iter()
        .filter_map(Value::as_str)
        .collect();
    assert_eq!(left, ["a4", "a5"]);
    assert_eq!(report["levels"]["type"]["n"], 0);
    assert_eq!(report["nine_in_ten"]["n"], 0);
    let stopped = list(&report["stopped_at"]);
    let typed = stopped.iter().find(|one| one["level"] == "type");
    // A type that is named all the same is wrong.
    let sure = list(&report["confident_wrong"]);
    let sure = sure.iter().filter(|one| one["level"] == "type").count() as f64;
    assert!(typed.is_none_or(|typed| number(&typed["n"]) >= sure));
    // a6 cannot be first with Edward's pennies gone, and a2 not with Constantine's nummi gone.
    let ruler = &out["levels"]["ruler"];
    assert!(number(&ruler["top1"]) <= number(&ruler["n"]));
    lay(
        &folder.path().join("bare.csv"),
        "id,period,metal,weight_g\nx,Roman,silver,3.2\n",
    );
    let none = run(folder.path(), &["bare.csv", "--without-truth"]);
    assert_eq!(none.code, 2);
    assert!(
        none.err.contains("which types are to be taken out"),
        "{}",
        none.err
    );
}

// ------------------------------------------------------------------ what is given back

#[test]
fn the_report_fits_a_hundred_columns_and_names_its_figures() {
    let folder = TempDir::new().expect("a temporary folder");
    lay(&folder.path().join("t.csv"), &table());
    let calls: [&[&str]; 3] = [
        &["t.csv"],
        &[
            &specimens(),
            "--wrong",
            "1",
            "--damage",
            "1",
            "--hide",
            "region",
        ],
        &[&specimens(), "--without-truth", "--at-least", "2"],
    ];
    for call in calls {
        let printed = run(folder.path(), call);
        assert_eq!(printed.code, 0, "{}", printed.err);
        for line in printed.out.lines() {
            // A name without a blank may be longer than a line.
            assert!(line.chars().count() <= 100, "{line}");
        }
        for part in [
            "first",
            "Brier",
            "skill",
            "noise",
            "slope",
            "nine in ten",
            "Date",
            "By wear",
        ] {
            assert!(printed.out.contains(part), "lacks {part}:\n{}", printed.out);
        }
    }
}

#[test]
fn intervals_and_scores_lie_where_they_must() {
    let folder = TempDir::new().expect("a temporary folder");
    let report = json(folder.path(), &[&specimens()]);
    for level in ["period", "ruler", "denomination", "type"] {
        let hits = &report["levels"][level];
        let n = number(&hits["n"]);
        for top in ["top1", "top3", "top5"] {
            let share = number(&hits[top]) / n;
            let interval = list(&hits[format!("{top}_interval")]);
            let (low, high) = (number(&interval[0]), number(&interval[1]));
            assert!(low <= share && share <= high && low < high, "{level} {top}");
        }
        let held = &report["calibration"][level];
        let brier = number(&held["brier"]);
        assert!((0.0..=2.0).contains(&brier), "{level}: {brier}");
        let skill = 1.0 - brier / number(&held["prior_brier"]);
        assert!(
            (skill - number(&held["brier_skill"])).abs() < 1e-9,
            "{level}"
        );
        let bins = list(&held["bins"]);
        let sum: f64 = bins.iter().map(|bin| number(&bin["n"])).sum();
        assert_eq!(sum, number(&held["single"]), "{level}");
        let gaps = bins
            .iter()
            .map(|bin| number(&bin["n"]) * (number(&bin["said"]) - number(&bin["right"])).abs());
        let error = gaps.sum::<f64>() / sum;
        let told = &held["calibration_error"];
        assert!((error - number(&told["value"])).abs() < 1e-9, "{level}");
        assert!(
            number(&told["noise"]) <= number(&told["noise_most"]),
            "{level}"
        );
    }
    let stopped: f64 = list(&report["stopped_at"])
        .iter()
        .map(|one| number(&one["share"]))
        .sum();
    assert!((stopped - 1.0).abs() < 1e-9);
    let confident = &report["confident"];
    let wrong = list(&report["confident_wrong"]).len() as f64;
    assert_eq!(number(&confident["wrong"]), wrong);
    let share = wrong / number(&confident["n"]);
    assert!((share - number(&confident["share_wrong"])).abs() < 1e-9);
    for kind in ["period", "traits", "wear"] {
        let sum: f64 = list(&report["groups"][kind])
            .iter()
            .map(|group| number(&group["n"]))
            .sum();
        assert_eq!(sum, number(&report["in_catalogue"]), "{kind}");
    }
}

#[test]
fn an_evaluation_is_written_and_nothing_else_is_touched() {
    let folder = TempDir::new().expect("a temporary folder");
    lay(&folder.path().join("t.csv"), &table());
    lay(&folder.path().join("out/mine.md"), "mine\n");
    let call = ["t.csv", "--hide", "weight", "--write", "out"];
    let first = run(folder.path(), &call);
    assert_eq!(first.code, 0, "{}", first.err);
    assert!(!first.out.contains("(replaced)"), "{}", first.out);
    let second = run(folder.path(), &[&call[..], &["--json"]].concat());
    assert_eq!(
        second.err.matches("(replaced)").count(),
        3,
        "{}",
        second.err
    );
    let read = |name: &str| {
        let path = folder.path().join("out").join(name);
        fs::read_to_string(path).unwrap_or_else(|error| panic!("{name}: {error}"))
    };
    assert_eq!(read("evaluation.json"), second.out);
    assert_eq!(read("mine.md"), "mine\n");
    let count = fs::read_dir(folder.path().join("out"))
        .expect("the folder")
        .count();
    assert_eq!(count, 4);
    let page = read("evaluation.md");
    for part in [
        "lynchet evaluate t.csv --hide weight\n",
        concat!("lynchet ", env!("CARGO_PKG_VERSION"), ", library of "),
        "](reliability.svg)",
        "| level | known | first | among 3 | among 5 |",
        "hidden from the judging: weight",
    ] {
        assert!(page.contains(part), "lacks {part}:\n{page}");
    }
    for line in page.lines().filter(|line| line.starts_with('|')) {
        assert!(line.ends_with('|'), "{line}");
    }
}

#[test]
fn the_picture_is_sound_and_draws_every_bin_within_its_frame() {
    let folder = TempDir::new().expect("a temporary folder");
    let report = json(folder.path(), &[&specimens(), "--write", "out"]);
    let svg = fs::read_to_string(folder.path().join("out/reliability.svg")).expect("the picture");
    let drawn = roxmltree::Document::parse(&svg).expect("XML");
    for name in ["title", "desc", "text"] {
        let held = drawn.descendants().find(|node| node.has_tag_name(name));
        let held = held.and_then(|node| node.text()).unwrap_or_default();
        assert!(held.len() > 5, "<{name}> says nothing");
    }
    let bins: usize = report["calibration"]
        .as_object()
        .expect("levels")
        .values()
        .map(|level| list(&level["bins"]).len())
        .sum();
    let place = |node: &roxmltree::Node, name: &str| -> f64 {
        let held = node.attribute(name).unwrap_or_else(|| panic!("no {name}"));
        held.parse().expect("a number")
    };
    let frames: Vec<[f64; 4]> = drawn
        .descendants()
        .filter(|node| node.attribute("class") == Some("rl-axis"))
        .map(|node| ["x", "y", "width", "height"].map(|name| place(&node, name)))
        .collect();
    assert_eq!(frames.len(), 4);
    let dots = drawn
        .descendants()
        .filter(|node| node.has_tag_name("circle"));
    let dots: Vec<roxmltree::Node> = dots.collect();
    assert_eq!(dots.len(), bins);
    for dot in dots {
        let (x, y) = (place(&dot, "cx"), place(&dot, "cy"));
        let within = |[left, top, wide, high]: &[f64; 4]| {
            (*left..=left + wide).contains(&x) && (*top..=top + high).contains(&y)
        };
        assert!(frames.iter().any(within), "{x} {y}");
    }
}

#[test]
fn a_folder_that_cannot_be_written_is_told_before_the_work() {
    let folder = TempDir::new().expect("a temporary folder");
    lay(&folder.path().join("t.csv"), &table());
    lay(&folder.path().join("file"), "here\n");
    lay(&folder.path().join("taken/evaluation.md/x"), "");
    for (name, what) in [
        ("file", "file: is a file, not a folder"),
        ("file/deep", "file/deep: "),
        ("taken", "evaluation.md: is a folder"),
    ] {
        let ended = run(folder.path(), &["t.csv", "--write", name]);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{name}");
        assert!(ended.err.contains(what), "{}", ended.err);
        assert!(ended.err.contains("name "), "no mend: {}", ended.err);
    }
    let file = fs::read_to_string(folder.path().join("file")).expect("the file");
    assert_eq!(file, "here\n");
}

// ------------------------------------------------------------------ damage

fn finds(count: usize) -> Vec<Find> {
    let catalogue = &kit::house().catalogue;
    let often = simulate::every_period(catalogue);
    let made = simulate::finds(catalogue, &often, 5, count);
    made.into_iter().map(|(_, find)| find).collect()
}

fn letters(find: &Find) -> usize {
    find.readings
        .iter()
        .map(|reading| reading.letters_seen())
        .sum()
}

#[test]
fn damage_takes_away_and_adds_nothing() {
    let catalogue = &kit::house().catalogue;
    let finds = finds(600);
    let hurt = |seed: u64| -> Vec<Find> {
        let one = |(at, find): (usize, &Find)| {
            damaged(find, catalogue, &mut seeded(seed, &at.to_string()))
        };
        finds.iter().enumerate().map(one).collect()
    };
    let after = hurt(1);
    assert_eq!(after, hurt(1));
    assert_ne!(after, hurt(2));
    let (mut weighed, mut lighter, mut named, mut misnamed) = (0, 0, 0, 0);
    for (find, hurt) in finds.iter().zip(&after) {
        assert!(
            hurt.trait_count() <= find.trait_count(),
            "{find:?}\n{hurt:?}"
        );
        assert_eq!(hurt.weight.is_some(), find.weight.is_some());
        assert_eq!(hurt.metal, find.metal);
        if let (Some(before), Some(after)) = (find.weight, hurt.weight) {
            weighed += 1;
            lighter += usize::from(after.value < before.value);
        }
        for (a, b) in find.sightings.iter().zip(&hurt.sightings) {
            assert_eq!((a.side, a.present), (b.side, b.present));
            named += usize::from(a.present);
            misnamed += usize::from(a.motif != b.motif);
        }
    }
    assert!(
        weighed > 200 && lighter as f64 > 0.75 * weighed as f64,
        "{lighter} of {weighed}"
    );
    let share = misnamed as f64 / named as f64;
    assert!((0.12..0.28).contains(&share), "{misnamed} of {named}");
    let (before, left): (usize, usize) = (
        finds.iter().map(letters).sum(),
        after.iter().map(letters).sum(),
    );
    assert!(
        left as f64 > 0.2 * before as f64,
        "{left} of {before} letters"
    );
    assert!(
        (left as f64) < 0.8 * before as f64,
        "{left} of {before} letters"
    );
}

#[test]
fn one_trait_in_six_is_made_wrong_and_no_other() {
    let catalogue = &kit::house().catalogue;
    let finds = finds(600);
    let others: Vec<&Find> = finds.iter().collect();
    let (mut traits, mut wrong) = (0, 0);
    for (at, find) in finds.iter().enumerate() {
        let chance = &mut seeded(9, &at.to_string());
        let (after, count) = one_in_six_wrong(find, &others, catalogue, chance);
        let changed = [
            after.metal != find.metal,
            after.weight != find.weight,
            after.diameter != find.diameter,
            after.thickness != find.thickness,
            after.die_axis != find.die_axis,
            after.making != find.making,
        ];
        let single = changed.iter().filter(|changed| **changed).count();
        let read = find
            .readings
            .iter()
            .zip(&after.readings)
            .filter(|(a, b)| a != b);
        let seen = find
            .sightings
            .iter()
            .zip(&after.sightings)
            .filter(|(a, b)| a != b);
        assert_eq!(
            single + read.count() + seen.count(),
            count,
            "{find:?}\n{after:?}"
        );
        assert_eq!(after.trait_count(), find.trait_count());
        traits += find.trait_count();
        wrong += count;
    }
    let share = wrong as f64 / traits as f64;
    assert!((0.15..0.18).contains(&share), "{wrong} of {traits}");
}

// ------------------------------------------------------------------ running it

fn cache() -> &'static Path {
    static CACHE: LazyLock<PathBuf> = LazyLock::new(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("evaluate-cache");
        let _ = fs::remove_dir_all(&folder);
        folder
    });
    &CACHE
}

fn run(folder: &Path, arguments: &[&str]) -> Outcome {
    let mut door = kit::command();
    door.env("LYNCHET_CACHE", cache())
        .current_dir(folder)
        .arg("evaluate")
        .args(arguments)
        .stdin(Stdio::null());
    let ended = Outcome::from(door.output().expect("the program runs"));
    assert!(!ended.err.contains("panicked"), "{}", ended.err);
    ended
}

fn json(folder: &Path, arguments: &[&str]) -> Value {
    let ended = run(folder, &[arguments, &["--json"]].concat());
    assert_eq!(ended.code, 0, "{}", ended.err);
    serde_json::from_str(&ended.out).unwrap_or_else(|fault| panic!("{fault}: {}", ended.out))
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("not a number: {value}"))
}

fn list(value: &Value) -> &[Value] {
    value
        .as_array()
        .unwrap_or_else(|| panic!("not a list: {value}"))
}

fn labels(rows: &Value) -> Vec<String> {
    let id = |row: &Value| row["id"].as_str().map(String::from);
    list(rows).iter().filter_map(id).collect()
}
