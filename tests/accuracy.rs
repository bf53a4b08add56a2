//! The public specimens, judged through the door, against bars that only tighten.
//!
//! The specimens and their sources stand in `specimens/public.csv`; what the figures mean
//! and every miss with its cause in `docs/accuracy.md`. The set is for looking and fitting:
//! it proves nothing of a field.

use std::path::Path;

use serde_json::Value;

use super::kit;

/// Level, what is counted, of how many at least, least share.
const BARS: &[(&str, &str, u64, f64)] = &[
    ("period", "top1", 87, 0.80),
    ("period", "top3", 87, 0.96),
    ("ruler", "top1", 61, 0.62),
    ("ruler", "top3", 61, 0.75),
    ("denomination", "top1", 87, 0.80),
    ("denomination", "top3", 87, 0.93),
];

/// Most answers of 0.8 or more that may be wrong.
const CONFIDENT_WRONG_MOST: usize = 3;

/// Most years that the median of the date may lie from the published range, in the median.
const MEDIAN_DISTANCE_MOST: f64 = 8.0;

fn evaluated() -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/specimens/public.csv");
    let outcome = kit::run(["evaluate", &path.display().to_string(), "--json"]);
    assert_eq!(outcome.code, 0, "{}", outcome.err);
    serde_json::from_str(&outcome.out).expect("is JSON")
}

#[test]
fn public_specimens_are_named_as_often_as_before() {
    let report = evaluated();
    for (level, counted, least, bar) in BARS {
        let level_report = &report["levels"][level];
        let of = level_report["n"].as_u64().expect("a number");
        let held = level_report[counted].as_u64().expect("a number");
        assert!(of >= *least, "{level}: only {of} are resolved");
        let share = held as f64 / of as f64;
        assert!(share >= *bar, "{level} {counted}: {share:.3}, bar {bar}");
    }
    let wrong = report["confident_wrong"].as_array().expect("a list");
    assert!(wrong.len() <= CONFIDENT_WRONG_MOST, "{wrong:#?}");
    let distance = report["date"]["median_distance"]
        .as_f64()
        .expect("a number");
    assert!(distance <= MEDIAN_DISTANCE_MOST, "{distance}");
}
