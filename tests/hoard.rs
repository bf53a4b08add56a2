//! Groups from one hole: published hoards, sums worked by general-purpose libraries, and the verb
//! as a person runs it.
//!
//! The published lists stand in `tests/cases/hoards`. "TAR 2005/6" is the Treasure Annual Report
//! 2005/6 of the Department for Culture, Media and Sport, read as page text; BNJ the British
//! Numismatic Journal. A report gives a date of closing; the year before which a group was not
//! closed follows from its list alone and lies at or before that date, and the test says by what
//! judgement the report goes beyond it.
//!
//! Invariant: no year of a test is taken from what the program says.

use std::collections::BTreeSet;
use std::fs;
use std::io::Write;
use std::process::{Command, Stdio};

use lynchet::find::Span;
use lynchet::hoard::{Circumstances, Group, Piece, facts, record};
use lynchet::treasure::{CalendarDay, Facts, Piece as LawPiece, judge};
use proptest::prelude::*;
use serde_json::{Value, json};
use tempfile::TempDir;

use super::kit;

/// The answer about a table of the cases.
fn case(name: &str) -> Value {
    told([format!("tests/cases/hoards/{name}.csv")])
}

/// The answer about pieces, as JSON.
fn told<A: Into<String>>(pieces: impl IntoIterator<Item = A>) -> Value {
    let mut arguments = vec!["hoard".to_string(), "--json".to_string()];
    arguments.extend(["--today".to_string(), "2026-11-25".to_string()]);
    arguments.extend(pieces.into_iter().map(Into::into));
    let ran = kit::run(&arguments);
    assert!(ran.code < 2, "{}", ran.err);
    serde_json::from_str(&ran.out).expect("JSON")
}

fn year(answer: &Value) -> i64 {
    answer["not_before"]["year"].as_i64().expect("a year")
}

fn count(answer: &Value) -> u64 {
    answer["pieces"].as_u64().expect("a count")
}

fn verdict(answer: &Value) -> &str {
    answer["law"]["verdict"].as_str().expect("a verdict")
}

fn expected(answer: &Value, level: &str, name: &str) -> f64 {
    let parts = answer["made_up_of"][level]["parts"].as_array();
    let parts = parts.expect("parts").iter();
    let of = parts.filter(|part| part["name"].as_str().is_some_and(|n| n.contains(name)));
    of.map(|part| part["expected"].as_f64().expect("a number"))
        .sum()
}

// ------------------------------------------------------------------- published hoards

/// TAR 2005/6, no. 1105, Acton Trussell and Bednall, Staffordshire: 73 radiates, "AD 274". The
/// latest names are Tetricus I and II, printed as 271-274: the list alone says not before 271, and
/// 274 is the report's reading of which of their coins are late.
#[test]
fn acton_trussell() {
    let answer = case("acton-trussell");
    assert_eq!((count(&answer), year(&answer)), (73, 271));
    assert_eq!(verdict(&answer), "report_now");
    // By hand: nine uncertain of 260-274 are spread over fifteen years, 18 of 271-274 over four.
    let sum = &answer["aoristic"];
    let first = sum["first_year"].as_i64().expect("a year");
    let last = sum["expected"][(274 - first) as usize]
        .as_f64()
        .expect("a number");
    assert!((last - (18.0 / 4.0 + 9.0 / 15.0)).abs() < 1e-9, "{last}");
    assert!((sum["of_no_known_year"].as_f64().expect("a number") - 18.0).abs() < 1e-9);
}

/// TAR 2005/6, no. 1106, Langley with Hardley, Norfolk (addenda): 33 radiates, "AD 278". One coin
/// of Probus, printed as 276-282, closes the list: not before 276, and 271 without it. The 278 is
/// that of the original hoard.
#[test]
fn langley_with_hardley() {
    let answer = case("langley");
    assert_eq!((count(&answer), year(&answer)), (33, 276));
    let without = &answer["not_before"]["without_the_latest"];
    assert_eq!(without["year"], json!(271));
    assert_eq!(
        without["stands_alone"],
        json!(false),
        "five years are no gap"
    );
}

/// TAR 2005/6, no. 1070, Eckington, Derbyshire: three denarii, five sestertii and a dupondius, "AD
/// 138", the end of the reign of the latest emperor, Hadrian, printed as 117-138.
#[test]
fn eckington() {
    let answer = case("eckington");
    assert_eq!((count(&answer), year(&answer)), (9, 117));
    assert!((expected(&answer, "ruler", "Hadrian") - 5.0).abs() < 1e-6);
    assert!((expected(&answer, "denomination", "enarius") - 3.0).abs() < 1e-6);
}

/// TAR 2005/6, no. 1246, Llanvaches, Newport: denarii of Nero to Antoninus Pius, "c. AD 157". Pius
/// is printed as 138-161: not before 138; 157 dates his latest coins one by one. The heading has
/// 599 coins and the list as read adds up to 598.
#[test]
fn llanvaches() {
    let answer = case("llanvaches");
    assert_eq!((count(&answer), year(&answer)), (598, 138));
    assert!((expected(&answer, "ruler", "Trajan") - 210.0).abs() < 1e-6);
    let main = answer["main_years"].as_array().expect("years");
    let main: Vec<i64> = main.iter().filter_map(Value::as_i64).collect();
    assert!(main[0] >= 60 && main[1] <= 161, "{main:?}");
    // Old coin still in use: nothing of it is out of time.
    let late = |one: &&Value| one["why"] == json!("late");
    let odd = answer["stands_out"].as_array().expect("a list");
    assert_eq!(odd.iter().filter(late).count(), 0, "{odd:?}");
}

/// TAR 2005/6, no. 1113, Rendham, Suffolk: 22 nummi, of which two of Diocletian and one of
/// Constantius I as Caesar can be read, "AD 299". Caesar from 293, and nummi from about 294 (both
/// from memory): not before then, whatever the nineteen that cannot be read.
#[test]
fn rendham() {
    let answer = case("rendham");
    assert_eq!(count(&answer), 22);
    assert!((293..=299).contains(&year(&answer)), "{}", year(&answer));
}

/// TAR 2005/6, no. 1115, Sherfield on Loddon, Hampshire: nummi of 307-310 (3) and of 309-313 (16),
/// "AD 313", the last year of the later issue. The list alone: not before 309.
#[test]
fn sherfield_on_loddon() {
    let answer = case("sherfield");
    assert_eq!((count(&answer), year(&answer)), (19, 309));
}

/// TAR 2005/6, no. 1183, Oxted, Surrey: eight pennies of classes 4b to 11b, "1320s". Class 11
/// begins about 1310 (from memory of North's classes): the 1320s are a judgement from how such
/// hoards are made up.
#[test]
fn oxted() {
    let answer = case("oxted");
    assert_eq!(count(&answer), 8);
    assert!((1309..=1314).contains(&year(&answer)), "{}", year(&answer));
    assert_eq!(verdict(&answer), "report_now");
}

/// TAR 2005/6, no. 1193, Swindon area, Wiltshire: 54 coins, Edward I to Edward IV, "1465-1466". One
/// penny of Durham under a bishop of 1476-1483 came later, "possibly separate loss": it must be told of
/// as standing alone, and the year without it be that of the light coinage, 1464. The years of the
/// issues are from memory.
#[test]
fn swindon_and_its_stray() {
    let answer = case("swindon");
    assert_eq!((count(&answer), year(&answer)), (54, 1476));
    let without = &answer["not_before"]["without_the_latest"];
    assert_eq!(without["year"], json!(1464));
    assert_eq!(without["row"], json!(14));
    let summary = answer["summary"].to_string();
    assert!(
        summary.contains("Without") || summary.contains("without it"),
        "{summary}"
    );
}

/// BNJ 40 (from memory of the volume), M. M. Archibald, "The Skegby, Notts., 1967 hoard": 406 English
/// pennies of groups I to V, 10 Irish and 34 Scottish; "closed with a solitary penny of group Va",
/// "c. 1290". Group V began in 1289 or 1290 in the library's table.
#[test]
fn skegby() {
    let answer = case("skegby");
    assert_eq!(count(&answer), 450);
    assert!((1289..=1290).contains(&year(&answer)), "{}", year(&answer));
    let without = answer["not_before"]["without_the_latest"]["year"].as_i64();
    assert!(without.is_some_and(|year| year <= 1280), "{without:?}");
}

/// BNJ 72, B. J. Cook, "New hoards from seventeenth-century England II", no. 1, Davenham, Cheshire:
/// 29 shillings, one of Philip and Mary and the rest of Elizabeth, and three groats; "the latest coin
/// present dates to 1601-2". A deposit in 1603-4 is weighed there and not urged.
#[test]
fn davenham() {
    let answer = case("davenham");
    assert_eq!((count(&answer), year(&answer)), (32, 1601));
    assert!((expected(&answer, "denomination", "hilling") - 29.0).abs() < 1e-6);
}

/// TAR 2005/6, no. 1254, Wenvoe, Vale of Glamorgan: two pennies of Henry III, classes 3c and 5b, "c.
/// 1250-60". The class is of these years, so the year lies within them.
#[test]
fn wenvoe() {
    let answer = case("wenvoe");
    assert_eq!(count(&answer), 2);
    assert!((1250..=1260).contains(&year(&answer)), "{}", year(&answer));
    assert_eq!(verdict(&answer), "report_now");
}

// ---------------------------------------------------------- against the general libraries

fn piece(from: i32, long: i32, count: u32) -> Piece {
    let year = |y: i32| if y == 0 { 1 } else { y };
    let from = year(from);
    let to = year(from + long).max(from);
    Piece {
        count,
        dates: vec![(Span { from, to }, 1.0)],
        ..Piece::unsaid(format!("{from} to {to}"))
    }
}

fn by_numpy(groups: &Value) -> Value {
    let mut running = Command::new(kit::outside::python(&["numpy"]))
        .arg("tests/outside/hoard.py")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the script starts");
    let mut pipe = running.stdin.take().expect("an input");
    pipe.write_all(groups.to_string().as_bytes())
        .expect("the script reads");
    drop(pipe);
    let ended = running.wait_with_output().expect("the script ends");
    let told = String::from_utf8_lossy(&ended.stderr);
    serde_json::from_slice(&ended.stdout).unwrap_or_else(|fault| panic!("{fault}: {told}"))
}

/// Sixty random groups, of which numpy works out the sum and the shared law for itself.
#[test]
fn numpy_gets_the_same_sums_and_laws() {
    let mut seed: u64 = 0x2545_f491_4f6c_dd1d;
    let mut next = |below: u64| {
        seed ^= seed << 13;
        seed ^= seed >> 7;
        seed ^= seed << 17;
        seed % below
    };
    let mut groups = Vec::new();
    for _ in 0..60 {
        let start = next(1_800) as i32 - 100;
        let wide = 20 + next(700);
        let rows = 1 + next(25);
        let pieces: Vec<Piece> = (0..rows)
            .map(|_| {
                let from = start + next(wide) as i32;
                piece(from, next(80) as i32, 1 + next(9) as u32)
            })
            .collect();
        let group = Group { pieces };
        let read = record(&group, &Circumstances::default());
        let sum = read.aoristic.as_ref().expect("dated");
        let law = read.law.as_ref().expect("dated");
        let rows = group.pieces.iter().map(|piece| {
            let (span, _) = piece.dates[0];
            json!([span.from, span.to, piece.count])
        });
        groups.push(json!({
            "rows": rows.collect::<Vec<_>>(),
            "first": sum.axis.first,
            "width": sum.axis.width,
            "sum": sum.expected,
            "law": law.density,
            "log_likelihood": law.log_likelihood,
        }));
    }
    let answer = by_numpy(&json!({ "groups": groups }));
    let off = |name: &str| answer[name].as_f64().expect("a number");
    assert_eq!(answer["groups"], json!(60));
    assert!(off("sum") < 1e-9, "{answer}");
    assert!(off("law") < 1e-6, "{answer}");
    assert!(off("log_likelihood") < 1e-6, "{answer}");
}

// ------------------------------------------------------------------------ properties

fn groups() -> impl Strategy<Value = Vec<Piece>> {
    let row = (-300..1_700_i32, 0..120_i32, 1..40_u32);
    proptest::collection::vec(row, 1..15).prop_map(|rows| {
        rows.into_iter()
            .map(|(from, long, n)| piece(from, long, n))
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// With told years the year is the latest of the first years, as anybody can see.
    #[test]
    fn told_years_need_no_chances(pieces in groups()) {
        let latest = pieces.iter().map(|piece| piece.dates[0].0.from).max();
        let read = record(&Group { pieces }, &Circumstances::default());
        prop_assert_eq!(read.closing.not_before, latest);
        prop_assert!(read.closing.unset == 0.0);
    }

    /// The order of the rows changes no figure.
    #[test]
    fn the_order_of_rows_changes_nothing(mut pieces in groups()) {
        let of = |pieces: &[Piece]| {
            record(&Group { pieces: pieces.to_vec() }, &Circumstances::default())
        };
        let forth = of(&pieces);
        pieces.reverse();
        let back = of(&pieces);
        prop_assert_eq!(forth.closing.not_before, back.closing.not_before);
        prop_assert_eq!(forth.main_years, back.main_years);
        let (forth, back) = (forth.law.expect("dated"), back.law.expect("dated"));
        for (a, b) in forth.density.iter().zip(&back.density) {
            prop_assert!((a - b).abs() < 1e-6);
        }
    }

    /// A piece of which nothing is known changes the count and no date.
    #[test]
    fn an_unknown_piece_changes_no_date(mut pieces in groups()) {
        let of = |pieces: &[Piece]| {
            record(&Group { pieces: pieces.to_vec() }, &Circumstances::default())
        };
        let before = of(&pieces);
        pieces.push(Piece::unsaid("a lump"));
        let after = of(&pieces);
        prop_assert_eq!(after.count, before.count + 1);
        prop_assert_eq!(before.closing.not_before, after.closing.not_before);
        prop_assert_eq!(before.law, after.law);
    }
}

/// The facts hand every piece over, whatever its count.
#[test]
fn the_law_is_asked_of_every_piece() {
    let law = LawPiece {
        what: lynchet::treasure::What::Coin,
        metal: lynchet::treasure::metal("copper alloy").expect("a metal"),
        age: lynchet::treasure::age("330-348").expect("years"),
        ..LawPiece::unsaid("nummi")
    };
    let mut pieces = vec![Piece {
        count: 9,
        law: law.clone(),
        ..Piece::unsaid("nummi")
    }];
    let today = CalendarDay::read("2026-11-25").expect("a day");
    let call = |pieces: &[Piece]| {
        let group = Group {
            pieces: pieces.to_vec(),
        };
        judge(&facts(&group, Facts::default()), today).call.word()
    };
    assert_eq!(call(&pieces), "report_if_unsure", "nine of base metal");
    pieces.push(Piece {
        law,
        ..Piece::unsaid("one more")
    });
    assert_eq!(call(&pieces), "report_now", "ten of any metal");
}

// -------------------------------------------------------------------------- the verb

/// `treasure` and `hoard` say the same of the same pieces.
#[test]
fn the_law_says_what_treasure_says() {
    for pieces in [
        &["2 silver pennies, 1279"][..],
        &["9 coins, copper alloy, 330-348"],
        &["9 coins, copper alloy, 330-348", "denarius, silver, 98-117"],
        &["pot, pottery, Roman", "30 silver denarii, 98-180"],
        &["20 gold sovereigns, 1850", "jar, glass, 19th century"],
        &["two bronze axes, Bronze Age"],
        &["brooch, silver-gilt, about 1700"],
    ] {
        let mut asked = vec![
            "treasure",
            "--json",
            "--today",
            "2026-11-25",
            "--same-find",
            "hole",
        ];
        pieces
            .iter()
            .for_each(|piece| asked.extend(["--piece", piece]));
        let treasure = kit::run(&asked);
        let treasure: Value = serde_json::from_str(&treasure.out).expect("JSON");
        let hoard = told(pieces.iter().copied());
        for part in [
            "verdict",
            "rules",
            "tell",
            "last_day",
            "notes",
            "dangers",
            "questions",
        ] {
            assert_eq!(hoard["law"][part], treasure[part], "{pieces:?}: {part}");
        }
    }
}

/// Phrases of every kind: as told, by name, described, things that are no coins. The legend may be
/// Trajan's or Hadrian's, who bore his name, so the ruler stays open.
#[test]
fn phrases_are_rows() {
    let answer = told([
        "18 radiates of Tetricus I",
        "13 radiates of Victorinus",
        "silver, 18 mm, 3.1 g, reads [..]TRAIAN[---]",
        "pot, pottery",
    ]);
    assert_eq!(count(&answer), 33);
    let row = |place: usize| &answer["rows"][place];
    assert_eq!(row(0)["count"], json!(18));
    assert_eq!(row(0)["taken_as"], json!("radiate of Tetricus I, as told"));
    assert!(
        row(2)["taken_as"]
            .as_str()
            .is_some_and(|text| text.contains("denarius"))
    );
    assert_eq!(row(3)["kind"], json!("container"));
    assert!((270..=271).contains(&year(&answer)), "{answer}");
}

fn refused(arguments: &[&str], input: &str, wanted: &[&str]) {
    let mut asked = vec!["hoard"];
    asked.extend(arguments);
    let ran = kit::run_with_input(&asked, input);
    assert_eq!(ran.code, 2, "{arguments:?}: {} {}", ran.out, ran.err);
    assert_eq!(ran.out, "", "{arguments:?}: something was printed");
    for part in wanted {
        assert!(
            ran.err.contains(part),
            "{arguments:?}: no {part:?} in {}",
            ran.err
        );
    }
}

#[test]
fn what_cannot_be_is_refused_with_its_field_and_mend() {
    refused(&["-"], "", &["heading line"]);
    refused(&["-"], "as,count\n", &["no row"]);
    refused(&["-"], "colour,shape\nred,round\n", &["no column"]);
    refused(
        &["-"],
        "from,to,count\n1,2,0\n",
        &["line 2", "count: \"0\"", "1 or more"],
    );
    refused(&["-"], "from,to,count\n1,2,many\n", &["count: \"many\""]);
    refused(&["-"], "from,to,count\n1,2,1000001\n", &["up to a million"]);
    refused(
        &["-"],
        "from,to\n300,200\n",
        &["from, to: 300 to 200 runs backwards"],
    );
    refused(&["-"], "from,to\n300,\n", &["to: is empty"]);
    refused(
        &["-"],
        "from,to\nlong ago,300\n",
        &["from: \"long ago\" is no year"],
    );
    refused(&["-"], "from,to\n0,300\n", &["from: \"0\" is no year"]);
    refused(&["-"], "as\nbutter\n", &["as: \"butter\"", "sterling-3g"]);
    refused(
        &["-"],
        "kind,from,to\nhat,1,2\n",
        &["kind: \"hat\"", "container"],
    );
    refused(&["no-such.csv"], "", &["no-such.csv"]);
    refused(&["wibble wobble"], "", &["wibble wobble", "understood"]);
    refused(&[""], "", &["is no piece"]);
    refused(&["denarius", "--depth", "deep"], "", &["--depth"]);
    refused(
        &["denarius", "--found", "2099-01-01", "--today", "2026-11-25"],
        "",
        &["found"],
    );
    refused(
        &["-", "--count-column", "n"],
        "from,to\n1,2\n",
        &["--count-column", "n"],
    );
    let all = "from,to,count\n9,1,0\n1,2,x\n";
    refused(&["-"], all, &["line 2", "line 3", "2 faults"]);
    let mut many = "from,to\n".to_string();
    many.push_str(&"1,2\n".repeat(2_001));
    refused(&["-"], &many, &["2001", "most is 2000", "count"]);
}

#[test]
fn what_is_odd_is_answered_with_its_doubt() {
    let answer = |input: &str| {
        let ran = kit::run_with_input(["hoard", "-", "--json", "--today", "2026-11-25"], input);
        assert!(ran.code < 2, "{input}: {}", ran.err);
        let value: Value = serde_json::from_str(&ran.out).expect("JSON");
        (ran.code, value)
    };
    // One piece.
    let (code, one) = answer("from,to\n271,274\n");
    assert_eq!((code, year(&one)), (0, 271));
    assert_eq!(one["lots"], Value::Null);
    // A million of one kind.
    let (code, million) = answer("from,to,count\n271,274,1000000\n260,268,1\n");
    assert_eq!((code, count(&million)), (0, 1_000_001));
    // Ten thousand years.
    let (code, long) = answer("from,to,kind\n-9000,1000,object\n271,274,coin\n");
    assert_eq!((code, year(&long)), (0, 271));
    assert!(
        long["aoristic"]["outside"]
            .as_f64()
            .is_some_and(|n| n > 0.9)
    );
    // Of no known date: an answer on the law, and code 1.
    let (code, unknown) = answer("metal,kind\nlead,object\nlead,object\n");
    assert_eq!((code, &unknown["not_before"]["year"]), (1, &Value::Null));
    assert_eq!(unknown["pieces"], json!(2));
    // Hostile cells are shown as plain text, and never as something to work out.
    let hostile = "id,from,to\n=cmd|' /c',1,2\n\"<script>\u{1b}[2J\",1,2\n";
    let ran = kit::run_with_input(["hoard", "-", "--form", "csv"], hostile);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(!ran.out.contains('\u{1b}'), "{}", ran.out);
    let formula = |line: &str| line.starts_with('=') || line.contains(",=");
    assert!(!ran.out.lines().any(formula), "{}", ran.out);
}

#[test]
fn the_picture_is_plain_safe_and_not_written_over() {
    let folder = TempDir::new().expect("a temporary folder");
    let file = folder.path().join("dates.svg");
    let file = file.to_str().expect("a name");
    let asked = [
        "hoard",
        "tests/cases/hoards/langley.csv",
        "--svg",
        file,
        "--place",
        "<b>&",
    ];
    let ran = kit::run(asked);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let drawn = fs::read_to_string(file).expect("the picture");
    let parsed = roxmltree::Document::parse(&drawn).expect("sound XML");
    let names: BTreeSet<&str> = parsed
        .descendants()
        .filter(|node| node.is_element())
        .map(|node| node.tag_name().name())
        .collect();
    assert!(
        !names.contains("script") && !names.contains("b"),
        "{names:?}"
    );
    assert!(drawn.contains("not closed before AD 276"), "{drawn}");
    assert!(drawn.contains("prefers-color-scheme:dark"));
    let again = kit::run(asked);
    assert_eq!(again.code, 2);
    assert!(again.err.contains("--force"), "{}", again.err);
}

/// What is to be left in the ground stands before everything else, and no year of hiding is named.
#[test]
fn the_answer_begins_with_what_to_leave_undone() {
    let ran = kit::run([
        "hoard",
        "tests/cases/hoards/netherfold.csv",
        "--today",
        "2026-11-25",
    ]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(
        ran.out.starts_with("First of all\n  - do not dig on"),
        "{}",
        ran.out
    );
    for said in ["not closed before", "report_now", "stand", "weights"] {
        assert!(ran.out.contains(said), "no {said:?} in {}", ran.out);
    }
    let lower = ran.out.to_lowercase();
    for never in ["hidden in ", "buried in ", "deposited in "] {
        assert!(!lower.contains(never), "{never}");
    }
    assert!(
        ran.out.lines().all(|line| line.chars().count() <= 80),
        "{}",
        ran.out
    );
}
