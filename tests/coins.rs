//! Coins drawn from publications, and the public specimens with them, judged through the door.
//!
//! `cases/coins/README.md` says where they come from; `docs/accuracy.md` what the figures are, how they
//! stand to the aims, and why some aims are missed. Nothing is fitted on them but how loud "not in the
//! library" is, on every second foreign piece; those are left out here where they would count.
//!
//! Invariant: bars only tighten.

use std::path::Path;

use serde_json::Value;

use super::kit;

const LISTED: [&str; 4] = [
    "tests/cases/coins/roman.csv",
    "tests/cases/coins/medieval.csv",
    "tests/cases/coins/early.csv",
    "tests/specimens/public.csv",
];
const FOREIGN: &str = "tests/cases/coins/foreign.csv";
/// Traits of which only metal, weight and diameter are left when these are hidden.
const ALL_BUT_THREE: &str = "thickness,die_axis,completeness,wear,obverse_legend,reverse_legend,\
                             obverse_motif,reverse_motif";

/// Level, what is counted, of how many at least, least share; finds of four traits or more.
const BARS: &[(&str, &str, u64, f64)] = &[
    ("period", "top1", 260, 0.955),
    ("ruler", "top1", 250, 0.83),
    ("ruler", "top5", 250, 0.92),
    ("denomination", "top1", 255, 0.88),
];

/// Share of the answers of 0.8 and more that are wrong, at most; finds of four traits or more.
const SURE_WRONG_MOST: f64 = 0.085;

fn evaluated(tables: &[&str], options: &[&str]) -> Value {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let tables = tables
        .iter()
        .map(|name| root.join(name).display().to_string());
    let mut call = vec!["evaluate".to_string(), "--json".to_string()];
    call.extend(tables);
    call.extend(options.iter().map(|one| (*one).to_string()));
    let outcome = kit::run(call.iter().map(String::as_str));
    assert_eq!(outcome.code, 0, "{}", outcome.err);
    serde_json::from_str(&outcome.out).expect("is JSON")
}

/// How many stood so high at a level, and of how many: coins whose type the library lacks count where
/// it knows their period, ruler or denomination.
fn held(report: &Value, level: &str, counted: &str) -> (u64, u64) {
    let parts = [
        &report["levels"][level],
        &report["not_in_library"]["levels"][level],
    ];
    let sum = |name: &str| parts.iter().filter_map(|part| part[name].as_u64()).sum();
    (sum(counted), sum("n"))
}

fn share((held, of): (u64, u64)) -> f64 {
    held as f64 / of as f64
}

#[test]
fn coins_described_by_four_traits_are_named() {
    let report = evaluated(&LISTED, &["--at-least", "4"]);
    for (level, counted, least, bar) in BARS {
        let told = held(&report, level, counted);
        assert!(told.1 >= *least, "{level}: only {} are known", told.1);
        assert!(
            share(told) >= *bar,
            "{level} {counted}: {told:?}, bar {bar}"
        );
    }
    let sure = &report["confident"];
    let wrong = sure["share_wrong"].as_f64().expect("a share");
    assert!(wrong <= SURE_WRONG_MOST, "{sure:#}");
}

#[test]
fn metal_weight_and_diameter_alone_leave_few_periods_and_denominations() {
    let report = evaluated(&LISTED, &["--hide", ALL_BUT_THREE, "--at-least", "3"]);
    for (level, counted, bar) in [("denomination", "top3", 0.815), ("period", "top2", 0.86)] {
        let told = held(&report, level, counted);
        assert!(told.1 >= 100, "{level}: only {} are known", told.1);
        assert!(share(told) >= bar, "{level} {counted}: {told:?}, bar {bar}");
    }
}

#[test]
fn a_coin_whose_type_is_taken_out_is_still_of_its_ruler_or_period() {
    let report = evaluated(&LISTED, &["--without-truth"]);
    let outside = &report["taken_out"];
    let count = |name: &str| outside[name].as_u64().expect("a number");
    let told = (count("unlisted_or_right"), count("n"));
    assert!(told.1 >= 150, "{told:?}");
    assert!(share(told) >= 0.94, "{told:?}");
}

#[test]
fn one_wrong_trait_in_six_leaves_the_truth_among_five() {
    let report = evaluated(&LISTED, &["--wrong", "1", "--at-least", "4"]);
    for (level, bar) in [("period", 0.98), ("ruler", 0.88), ("denomination", 0.95)] {
        let told = held(&report, level, "top5");
        assert!(share(told) >= bar, "{level}: {told:?}, bar {bar}");
    }
}

#[test]
fn foreign_pieces_are_seldom_pressed_into_the_library() {
    let report = evaluated(&[FOREIGN], &[]);
    let outside = &report["not_in_library"];
    let count = |name: &str| outside[name].as_u64().expect("a number");
    assert!(count("n") >= 80);
    let wrong = (count("confident_astray"), count("n"));
    assert!(share(wrong) <= 0.125, "{wrong:?}");
    let nothing = (count("nothing_named"), count("n"));
    assert!(share(nothing) >= 0.71, "{nothing:?}");
}
