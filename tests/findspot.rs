//! Findspots at the door: references, degrees, files in and out, and what must never be shared.
//!
//! Runs the real binary. The turning of degrees is held against libraries from outside the
//! project, on points drawn with a seed.
//!
//! Invariant: every place here is made up or a published test point.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use lynchet::findspot::{SHIFT_GOOD_TO, Side, Square, countries, read, to_degrees, to_grid};
use lynchet::simulate::Chance;
use serde_json::{Value, json};
use tempfile::TempDir;

use super::kit::{self, Outcome, lay, run};

const SCRIPT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/outside/grid.py");

fn spot(arguments: &[&str]) -> Outcome {
    run(["findspot"].iter().chain(arguments))
}

fn json_of(ended: &Outcome) -> Value {
    serde_json::from_str(&ended.out).unwrap_or_else(|e| panic!("{e}: {} {}", ended.out, ended.err))
}

/// A file laid in a folder that lives as long as the test.
fn laid(name: &str, text: &str) -> (TempDir, PathBuf) {
    let folder = TempDir::new().expect("a temporary folder");
    let path = folder.path().join(name);
    lay(&path, text);
    (folder, path)
}

fn file(flag: &str, path: &Path, more: &[&str]) -> Outcome {
    let path = path.to_str().expect("a path in UTF-8");
    let mut arguments = vec![flag, path];
    arguments.extend(more);
    spot(&arguments)
}

// ------------------------------------------------------------------ one findspot

#[test]
fn a_reference_is_answered_with_its_square_and_the_caution() {
    let ended = spot(&["tq30008000"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    for said in [
        "TQ 3000 8000\n",
        "10 m: easting 530000 to 530009, northing 180000 to 180009",
        "51.50403, -0.12828 ± 10 m",
        "good to 5 m",
        "England (by the letters alone; unverified but for Wales)",
        "TQ 30 80 (1 km), TQ 3 8 (10 km)",
        "Findspots are sensitive",
    ] {
        assert!(ended.out.contains(said), "{said}: {}", ended.out);
    }
    // Unquoted words and a westerly longitude are no flags.
    for words in [
        &["TQ", "3000", "8000"][..],
        &["51.50403", "-0.12828"],
        &["51.50403,-0.12828"],
        &["--", "51.50403", "-0.12828"],
    ] {
        let ended = spot(words);
        assert_eq!(ended.code, 0, "{words:?}: {}", ended.err);
        assert!(ended.out.starts_with("TQ 3000 8000\n"), "{}", ended.out);
    }
    assert!(
        spot(&["51.5040", "-0.1283"])
            .out
            .contains("± 11 m, so it may lie")
    );
}

/// The survey's test points (OSTN15) as a person types them, each to the metre: the square of ten
/// figures, and the degrees within the error stated. The table of the points stands with the room;
/// these are the five of facts 6.3, cut there by hand.
#[test]
fn the_test_points_through_the_door() {
    for (east, north, ten, six, four, latitude, longitude) in [
        (
            91492,
            11318,
            "SV 91492 11318",
            "SV 914 113",
            "SV 91 11",
            49.922_264,
            -6.299_778,
        ),
        (
            530624,
            178388,
            "TQ 30624 78388",
            "TQ 306 783",
            "TQ 30 78",
            51.489_366,
            -0.119_926,
        ),
        (
            422242,
            433818,
            "SE 22242 33818",
            "SE 222 338",
            "SE 22 33",
            53.800_215,
            -1.663_792,
        ),
        (
            454002,
            340834,
            "SK 54002 40834",
            "SK 540 408",
            "SK 54 40",
            52.962_191,
            -1.197_477,
        ),
        (
            651409,
            313177,
            "TG 51409 13177",
            "TG 514 131",
            "TG 51 13",
            52.657_979,
            1.716_052,
        ),
    ] {
        let told = json_of(&spot(&[&format!("{east:06} {north:06}"), "--json"]));
        let all = told.to_string();
        assert!(all.contains(ten), "{ten}: {all}");
        let cut = json_of(&spot(&[ten, "--redact", "1km", "--json"])).to_string();
        assert!(cut.contains(four) && !cut.contains(ten), "{four}: {cut}");
        let coarse = spot(&[six]);
        assert!(coarse.out.starts_with(six), "{}", coarse.out);
        // Back from degrees: never ten figures, and within ten metres of the point.
        let back = spot(&[&format!("{latitude} {longitude}")]);
        let read = back.out.lines().next().unwrap_or_default().to_string();
        let digits: String = read.chars().filter(char::is_ascii_digit).collect();
        assert_eq!(digits.len(), 8, "{read}");
        let (e, n) = digits.split_at(4);
        let near = |cut: &str, whole: u32| {
            let cut = cut.parse::<i64>().expect("figures") * 10 + 5;
            (cut - i64::from(whole % 100_000)).abs() <= 10
        };
        assert!(near(e, east) && near(n, north), "{ten}: {read}");
    }
}

#[test]
fn each_form_is_written_alone() {
    for (form, wanted) in [
        ("grid", "TQ 3000 8000\n"),
        ("numeric", "530000 180000\n"),
        ("latlon", "51.50403, -0.12828 ± 10 m\n"),
    ] {
        let ended = spot(&["TQ 3000 8000", "--to", form]);
        assert_eq!(
            (ended.code, ended.out.as_str()),
            (0, wanted),
            "{}",
            ended.err
        );
    }
    let latlon = spot(&["51.50403", "-0.12828", "--to", "grid"]);
    assert_eq!(latlon.out, "TQ 3000 8000\n");
    // The shift is good to 5 m, so ten figures are never made of degrees.
    let exact = spot(&["51.504034602", "-0.128280085", "--to", "grid"]);
    assert_eq!(exact.out, "TQ 3000 8000\n");
}

#[test]
fn the_json_of_a_findspot_has_its_shape() {
    let ended = spot(&["NX 46 05", "--json"]);
    let view = json_of(&ended);
    assert_eq!(view["shift_good_to_m"], 5.0);
    assert_eq!(view["redacted_to_m"], Value::Null);
    let one = &view["findspots"][0];
    assert_eq!(one["reference"], "NX 46 05");
    assert_eq!(
        (&one["square_m"], &one["figures"]),
        (&json!(1000), &json!(4))
    );
    assert_eq!(
        (&one["easting"], &one["northing"]),
        (&json!(246_000), &json!(505_000))
    );
    assert_eq!(one["within_m"], 505.0);
    assert_eq!(
        one["countries"],
        json!(["England", "Scotland", "the Isle of Man"])
    );
    assert!(
        one["notes"][0]
            .as_str()
            .is_some_and(|n| n.contains("Treasure Trove Unit"))
    );
}

#[test]
fn a_redacted_answer_holds_no_finer_figure() {
    let side = |ended: &Outcome| ended.code;
    for (redact, reference, east) in [("1km", "TQ 30 78", "530000"), ("10km", "TQ 3 7", "530000")] {
        for form in ["grid", "numeric", "latlon", "gpx", "geojson"] {
            let ended = spot(&["TQ 30624 78388", "--redact", redact, "--to", form]);
            let coarse = spot(&[reference, "--redact", redact, "--to", form]);
            assert_eq!(side(&ended), 0, "{}", ended.err);
            assert_eq!(ended.out, coarse.out, "{form}");
        }
        for more in [&[][..], &["--json"]] {
            let mut fine = vec!["TQ 30624 78388", "--redact", redact];
            fine.extend(more);
            let mut plain = vec![reference, "--redact", redact];
            plain.extend(more);
            let (fine, plain) = (spot(&fine), spot(&plain));
            assert_eq!(fine.out, plain.out);
            assert!(
                fine.out.contains(east) && !fine.out.contains("624"),
                "{}",
                fine.out
            );
        }
    }
    // What is coarse already stays as it is.
    assert_eq!(
        spot(&["TQ 3 7", "--redact", "1km", "--to", "grid"]).out,
        "TQ 3 7\n"
    );
}

#[test]
fn bad_findspots_are_told_with_a_mend() {
    for (words, said) in [
        (&["TQ 300 8000"][..], "northing 8000 has 4"),
        (&["TQ", "3008000"], "odd number"),
        (&["TI 30 80"], "no letter I"),
        (&["J 338 740"], "Irish Grid"),
        (&["-0.12828, 51.50403"], "did you mean: 51.50403, -0.12828"),
        (
            &["-0.12828", "51.50403"],
            "did you mean: 51.50403, -0.12828",
        ),
        (&["48.85", "2.35"], "no land of Great Britain"),
        (&["AA 12 34"], "no square of the National Grid"),
        (&["TW 12 34"], "no land of Great Britain"),
        (&[""], "nothing was given"),
        (&["30U 699316 5710164"], "UTM"),
    ] {
        for more in [&[][..], &["--json"], &["--to", "latlon"]] {
            let arguments: Vec<&str> = words.iter().chain(more).copied().collect();
            let ended = spot(&arguments);
            assert_eq!(ended.code, 2, "{arguments:?}: {}", ended.out);
            assert!(ended.out.is_empty(), "{}", ended.out);
            assert!(ended.err.contains(said), "{arguments:?}: {}", ended.err);
        }
    }
    for arguments in [
        &[][..],
        &["TQ 30 80", "--gpx", "a.gpx"],
        &["TQ 30 80", "--redact", "1m"],
        &["TQ 30 80", "--exact", "--redact", "1km"],
    ] {
        assert_eq!(spot(arguments).code, 2, "{arguments:?}");
    }
}

// ------------------------------------------------------------------ files

const GPX: &str = "<?xml version=\"1.0\"?>
<gpx version=\"1.1\" xmlns=\"http://www.topografix.com/GPX/1/1\">
 <wpt lat=\"52.6580078\" lon=\"1.7160739\"><ele>12.5</ele><time>2026-03-01T10:00:00Z</time>
  <name>Long Acre &amp; brook</name></wpt>
 <wpt lat=\"52.6581078\" lon=\"1.7162739\"><name>second</name></wpt>
 <wpt lat=\"51.50\" lon=\"-0.13\"><name>by hand</name></wpt>
</gpx>";

#[test]
fn waypoints_are_listed_with_what_they_are_worth() {
    let (_folder, path) = laid("walk.gpx", GPX);
    let ended = file("--gpx", &path, &[]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let lines: Vec<&str> = ended.out.lines().collect();
    assert!(lines[0].starts_with("TG 5141 1318"), "{}", ended.out);
    assert!(
        lines[0].ends_with("England; Long Acre & brook"),
        "{}",
        ended.out
    );
    assert!(lines[2].starts_with("TQ 29 79 "), "{}", ended.out);
    assert!(ended.out.contains("sensitive"));
}

#[test]
fn files_for_sharing_hold_squares_without_names_order_or_times() {
    let (_folder, path) = laid("walk.gpx", GPX);
    for form in ["gpx", "geojson"] {
        let ended = file("--gpx", &path, &["--to", form]);
        assert_eq!(ended.code, 0, "{}", ended.err);
        assert!(ended.err.contains("squares of 1 km"), "{}", ended.err);
        for word in [
            "Long", "second", "by hand", "2026", "12.5", "5141", "51.50\"", "52.6580",
        ] {
            assert!(!ended.out.contains(word), "{form}: {word}: {}", ended.out);
        }
        let asked = file("--gpx", &path, &["--to", form, "--redact", "1km"]);
        assert_eq!(asked.out, ended.out);
        assert!(asked.err.is_empty(), "{}", asked.err);
    }
    let ended = file("--gpx", &path, &["--to", "geojson"]);
    let shared = json_of(&ended);
    let features = shared["features"].as_array().expect("features");
    assert_eq!(features.len(), 2);
    assert_eq!(features[1]["properties"]["grid_reference"], "TG 51 13");
    assert_eq!(features[1]["properties"]["finds"], 2);
    assert_eq!(features[1]["geometry"]["type"], "Polygon");
    // Against the clock, closed, longitude first.
    let ring = features[1]["geometry"]["coordinates"][0]
        .as_array()
        .expect("a ring");
    assert_eq!((ring.len(), &ring[0]), (5, &ring[4]));
    let at = |corner: usize, axis: usize| ring[corner][axis].as_f64().expect("degrees");
    assert!((1.6..1.8).contains(&at(0, 0)) && (52.6..52.7).contains(&at(0, 1)));
    let area: f64 = (0..4)
        .map(|k| at(k, 0) * at(k + 1, 1) - at(k + 1, 0) * at(k, 1))
        .sum();
    assert!(area > 0.0);
}

#[test]
fn what_is_written_and_read_again_is_the_same() {
    let (folder, path) = laid("walk.gpx", GPX);
    let listed = |flag: &str, path: &Path| file(flag, path, &["--to", "grid"]).out;
    let first = listed("--gpx", &path);
    for (form, flag) in [("gpx", "--gpx"), ("geojson", "--geojson")] {
        let exact = file("--gpx", &path, &["--to", form, "--exact"]);
        let again = folder.path().join(format!("exact.{form}"));
        lay(&again, &exact.out);
        assert_eq!(listed(flag, &again), first, "{}", exact.out);
        let whole = file(flag, &again, &["--to", form, "--exact"]);
        assert_eq!(whole.out, exact.out);
        assert!(exact.out.contains("Long Acre &"), "{}", exact.out);
        // Even a metre keeps its figures, by the reference that stands beside the position.
        for reference in ["TQ 30624 78388", "SV 91492 11318", "SJ 3 4"] {
            let one = spot(&[reference, "--to", form, "--exact"]);
            lay(&again, &one.out);
            assert_eq!(
                listed(flag, &again),
                format!("{reference}\n"),
                "{}",
                one.out
            );
        }
    }
    let document = fs::read_to_string(folder.path().join("exact.gpx")).expect("written");
    assert!(roxmltree::Document::parse(&document).is_ok(), "{document}");
}

#[test]
fn points_of_other_programs_are_read() {
    let point = |at: &str| {
        format!(
            "{{\"type\":\"Feature\",\"properties\":null,\"geometry\":{{\"type\":\"Point\",\"coordinates\":{at}}}}}"
        )
    };
    let (_folder, path) = laid(
        "a.geojson",
        &format!(
            "{{\"type\":\"FeatureCollection\",\"features\":[{},{},{},{},{},{}]}}",
            point("[-0.12828, 51.50403, 12.0]"),
            point("[51.50403, -0.12828]"),
            point("[530000, 180000]"),
            point("[\"a\", 1]"),
            point("[-0.1]"),
            "{\"type\":\"Feature\",\"geometry\":{\"type\":\"LineString\",\"coordinates\":[[0,51]]}}",
        ),
    );
    let ended = file("--geojson", &path, &["--to", "grid"]);
    // What was left out is told, and the end says so.
    assert_eq!(
        (ended.code, ended.out.as_str()),
        (2, "TQ 3000 8000\n"),
        "{}",
        ended.err
    );
    for said in [
        "feature 2: ",
        "did you mean: 51.50403, -0.12828",
        "feature 3: coordinates: 530000, 180000 are no degrees",
        "feature 4: coordinates: two numbers",
        "feature 5: ",
        "feature 6: its geometry is LineString",
    ] {
        assert!(ended.err.contains(said), "{said}: {}", ended.err);
    }
    // A reference that contradicts its point is neither believed nor dropped in silence.
    let (_folder, path) = laid(
        "b.geojson",
        "{\"type\":\"Feature\",\"properties\":{\"grid_reference\":\"SJ 30 80\"},\
         \"geometry\":{\"type\":\"Point\",\"coordinates\":[-0.12828, 51.50403]}}",
    );
    let ended = file("--geojson", &path, &[]);
    assert_eq!(ended.code, 2);
    assert!(ended.err.contains("lie apart"), "{}", ended.err);
}

#[test]
fn tracks_are_left_out_and_told() {
    let track =
        "<trk><trkseg><trkpt lat='51.5' lon='-0.1'/><trkpt lat='51.6' lon='-0.1'/></trkseg></trk>";
    let text = GPX.replace("</gpx>", &format!("{track}</gpx>"));
    let (_folder, path) = laid("walk.gpx", &text);
    let ended = file("--gpx", &path, &["--to", "grid"]);
    assert_eq!((ended.code, ended.out.lines().count()), (2, 3));
    assert!(ended.err.contains("2 points of a track"), "{}", ended.err);
}

#[test]
fn hostile_and_broken_files_are_refused_in_a_sentence() {
    let laughs = "<!DOCTYPE gpx [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;\">]>\
                  <gpx><wpt lat=\"51.50403\" lon=\"-0.12828\"><name>&b;</name></wpt></gpx>";
    let outside = "<!DOCTYPE gpx [<!ENTITY f SYSTEM \"file:///etc/hostname\">]>\
                   <gpx><wpt lat=\"51.50403\" lon=\"-0.12828\"><name>&f;</name></wpt></gpx>";
    let deep = format!(
        "<gpx>{}{}</gpx>",
        "<a>".repeat(200_000),
        "</a>".repeat(200_000)
    );
    let wide = "x".repeat(17 << 20);
    let many = format!("<gpx>{}</gpx>", "<wpt lat='51.5' lon='0'/>".repeat(100_001));
    for (text, said) in [
        ("", "empty"),
        ("  \n", "empty"),
        (laughs, "DOCTYPE"),
        (outside, "DOCTYPE"),
        ("<gpx><wpt lat=\"51.5\"", "not sound XML"),
        (
            "<gpx><wpt lat=\"51.5\" lon=\"-0.1\"><name>&x;</name></wpt></gpx>",
            "not sound XML",
        ),
        ("<kml/>", "not gpx"),
        ("<gpx/>", "no findspot"),
        ("<gpx><wpt/></gpx>", "lat: \"\" is no number of degrees"),
        (
            "<gpx><wpt lat='1e1' lon='NaN'/></gpx>",
            "is no number of degrees",
        ),
        ("{\"type\":\"FeatureCollection\"}", "not sound XML"),
        (&deep, ""),
        (&wide, "larger than 16 MB"),
        (&many, "more than 100000 points"),
    ] {
        let (_folder, path) = laid("a.gpx", text);
        let ended = file("--gpx", &path, &["--to", "geojson"]);
        let start: String = text.chars().take(60).collect();
        assert_eq!(ended.code, 2, "{start}: {}", ended.out);
        assert!(ended.out.is_empty(), "{start}: {}", ended.out);
        assert!(ended.err.contains(said), "{start}: {}", ended.err);
        assert!(!ended.err.contains("panicked"), "{}", ended.err);
    }
    for (text, said) in [
        ("", "empty"),
        ("[1, 2", "not sound JSON"),
        ("[]", "neither a FeatureCollection"),
        (
            "{\"type\":\"FeatureCollection\",\"features\":[]}",
            "no findspot",
        ),
        (
            "{\"type\":\"Polygon\",\"coordinates\":[]}",
            "its geometry is Polygon",
        ),
        (&"[".repeat(100_000), "not sound JSON"),
        ("<gpx/>", "not sound JSON"),
    ] {
        let (_folder, path) = laid("a.geojson", text);
        let ended = file("--geojson", &path, &["--to", "gpx"]);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{}", ended.err);
        assert!(ended.err.contains(said), "{}", ended.err);
    }
    let (folder, path) = laid("a.gpx", "");
    fs::write(&path, [0xff, 0xfe, b'<', 0]).expect("written");
    assert!(file("--gpx", &path, &[]).err.contains("UTF-8"));
    assert_eq!(file("--gpx", folder.path(), &[]).code, 2);
    assert_eq!(file("--gpx", &folder.path().join("none.gpx"), &[]).code, 2);
}

#[test]
fn a_name_cannot_steer_what_is_written() {
    let text = "<gpx><wpt lat='51.50403' lon='-0.12828'><name>a&#x9;b]]&gt;&lt;x/&gt;\u{85}</name></wpt></gpx>";
    let (folder, path) = laid("a.gpx", text);
    let written = file("--gpx", &path, &["--to", "gpx", "--exact"]);
    let again = folder.path().join("b.gpx");
    lay(&again, &written.out);
    let listed = file("--gpx", &again, &[]);
    assert_eq!(listed.code, 0, "{}", listed.err);
    assert!(listed.out.contains("; a b]]><x/>\n"), "{}", listed.out);
}

// ------------------------------------------------------------------ what others make of it

/// Points at random in squares of 100 km with land of England or Wales, with a seed.
fn points(count: usize) -> Vec<(f64, f64)> {
    let mut chance = Chance(1936);
    let mut found = Vec::new();
    while found.len() < count {
        let (east, north) = (
            chance.between(80_000.0, 656_000.0),
            chance.between(5_000.0, 658_000.0),
        );
        let square = Square::cut(east, north, Side::Metre).expect("on the grid");
        let names = countries(square).iter().map(|country| country.name());
        if names
            .into_iter()
            .any(|name| ["England", "Wales"].contains(&name))
        {
            found.push((east, north));
        }
    }
    found
}

/// pyproj turns the same points by the same published numbers; convertbng turns them by the
/// survey's table. The first must agree to the centimetre; the second says what the plain shift
/// is worth. Whether pyproj has the table does not matter, since its plain steps are written out.
#[test]
fn ten_thousand_points_agree_with_libraries_from_outside() {
    let python = kit::outside::python(&["pyproj", "convertbng", "numpy"]);
    let points = points(10_000);
    let there: Vec<[f64; 4]> = points
        .iter()
        .map(|(east, north)| {
            let (latitude, longitude) = to_degrees(*east, *north);
            let (x, y) = to_grid(latitude, longitude);
            [latitude, longitude, x, y]
        })
        .collect();
    let back: Vec<[f64; 4]> = points
        .iter()
        .map(|(east, north)| {
            let (latitude, longitude) = to_degrees(*east, *north);
            [*east, *north, latitude, longitude]
        })
        .collect();
    let mut running = Command::new(python)
        .arg(SCRIPT)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the script starts");
    let input = json!({ "there": there, "back": back }).to_string();
    let mut pipe = running.stdin.take().expect("an input");
    pipe.write_all(input.as_bytes()).expect("the script reads");
    drop(pipe);
    let ended = running.wait_with_output().expect("the script ends");
    let told = String::from_utf8_lossy(&ended.stderr);
    let report: Value =
        serde_json::from_slice(&ended.stdout).unwrap_or_else(|e| panic!("{e}: {told}"));
    let metres = |name: &str| report[name].as_f64().unwrap_or(f64::INFINITY);
    assert_eq!(
        (&report["there"], &report["back"]),
        (&json!(10_000), &json!(10_000))
    );
    assert!(metres("there_worst_m") < 0.005, "{report:#}");
    assert!(metres("back_worst_m") < 0.005, "{report:#}");
    // Some of the points lie far out at sea, where the table ends.
    assert!(report["official"].as_u64() > Some(9_000), "{report:#}");
    assert!(metres("official_95_m") <= 3.6, "{report:#}");
    assert!(metres("official_worst_m") <= SHIFT_GOOD_TO, "{report:#}");
}

#[test]
fn the_core_and_the_door_name_the_same_square() {
    for (east, north) in points(20) {
        let square = Square::cut(east, north, Side::TenMetres).expect("on the grid");
        let ended = spot(&[&square.compact(), "--to", "grid"]);
        assert_eq!(ended.out.trim(), square.to_string());
        assert_eq!(read(ended.out.trim()).map(|spot| spot.square), Ok(square));
    }
}
