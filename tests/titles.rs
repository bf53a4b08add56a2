//! Titulatures that others have published with their dates, answered from the tables.
//!
//! The rows stand in `cases/titles.toml` with their sources. The years given must be the
//! published ones exactly: by the main part of each year of power, or by its days, since works
//! differ in whether they count the last three weeks of December. Rows that were dated by more
//! than their titles say so, and must not be answered otherwise than those alone allow.
//!
//! Invariant: every row is judged; a row excused today and right again must lose its excuse.

use lynchet::catalogue::Catalogue;
use lynchet::find::{Side, Span};
use lynchet::parse;
use lynchet::titles::{End, Possible, possible, read};
use toml::Table;

use crate::kit::{self, house};

/// Fewest published titulatures that are answered exactly; one fewer is a loss.
const EXACT_LEAST: usize = 111;
/// Of these, fewest whose text was read in the work and not remembered.
const READ_LEAST: usize = 22;

struct Case {
    text: String,
    ruler: Option<usize>,
    years: Span,
    source: String,
    read: bool,
    but: Option<String>,
}

fn cases(library: &Catalogue) -> Vec<Case> {
    let table: Table = include_str!("cases/titles.toml").parse().expect("is TOML");
    let rows = table["case"].as_array().expect("rows");
    let case = |row: &toml::Value| {
        let text = |key: &str| row.get(key).and_then(toml::Value::as_str);
        let year = |at: usize| row["years"][at].as_integer().expect("a year") as i32;
        let ruler = text("ruler").map(|id| {
            let found = library.rulers.iter().position(|ruler| ruler.id == id);
            found.unwrap_or_else(|| panic!("no ruler {id}"))
        });
        let source = text("source").expect("a source").to_string();
        assert!(!source.is_empty());
        Case {
            text: text("text").expect("a text").to_string(),
            ruler,
            years: Span::new(year(0), year(1)).expect("years"),
            source,
            read: text("seen") == Some("read"),
            but: text("but").map(str::to_string),
        }
    };
    rows.iter().map(case).collect()
}

fn answered(case: &Case, library: &Catalogue) -> Vec<Possible> {
    // Published texts restore lost letters in brackets; they are taken as read here.
    let bare: String = case
        .text
        .chars()
        .filter(|c| !"[]()<>".contains(*c))
        .map(|c| if c == '/' { ' ' } else { c })
        .collect();
    let (reading, _) = parse::reading(&bare, Side::Unknown);
    let titles = read(&[&reading.expect("letters")], End::Sure);
    possible(&titles, &library.careers, case.ruler)
}

#[test]
fn published_titulatures_are_dated_as_published() {
    let library = &house().catalogue;
    let (mut exact, mut read_exact, mut wrong) = (0, 0, Vec::new());
    for case in cases(library) {
        let found = answered(&case, library);
        let right = match found.as_slice() {
            [one] => one.years() == [case.years] || one.all_years() == [case.years],
            _ => false,
        };
        let given: Vec<Vec<Span>> = found.iter().map(Possible::years).collect();
        match (right, &case.but) {
            (true, None) => {
                exact += 1;
                read_exact += usize::from(case.read);
            }
            (true, Some(_)) => wrong.push(format!("{}: is right; take `but` out", case.source)),
            (false, None) => wrong.push(format!("{}: {} is {given:?}", case.source, case.text)),
            (false, Some(_)) => {}
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(exact >= EXACT_LEAST, "{exact} exact");
    assert!(read_exact >= READ_LEAST, "{read_exact} of those read");
}

#[test]
fn a_broken_number_is_every_number_it_may_have_been() {
    let outcome = kit::run(["titles", "TR P X[..] COS III P P", "--ruler", "hadrian"]);
    assert_eq!(outcome.code, 0, "{}", outcome.err);
    // 12, 14, 16, 19 and 21 are the numbers of five letters' room that he came to; published
    // from 10 December of 127 on, father of his country from 128 (Kienast, from memory).
    assert!(
        outcome
            .out
            .starts_with("Hadrian: AD 128, or AD 130, or AD 132, or AD 135, or AD 137\n"),
        "{}",
        outcome.out
    );
    assert!(
        outcome.out.contains("number 12 or 14 or 16 or 19 or 21;"),
        "{}",
        outcome.out
    );
}

#[test]
fn without_a_ruler_all_who_held_the_titles_are_named() {
    let outcome = kit::run(["titles", "TR P XV COS V P P", "--json"]);
    let said: serde_json::Value = serde_json::from_str(&outcome.out).expect("is JSON");
    let rulers: Vec<&str> = said["possible"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|one| one["ruler"].as_str().expect("an id"))
        .collect();
    assert!(rulers.starts_with(&["trajan", "commodus"]), "{rulers:?}");
    assert_eq!(said["possible"][0]["years"][0][0], 111);
}

#[test]
fn what_is_no_title_is_no_answer() {
    for (text, says) in [
        ("CONSTANTINOPOLIS", "No title that dates"),
        ("PHILIPPVS AVG", "No title that dates"),
        ("TR P XXXXV COS XII", "No emperor"),
    ] {
        let outcome = kit::run(["titles", text]);
        assert_eq!(outcome.code, 1, "{text}: {}", outcome.out);
        assert!(outcome.out.starts_with(says), "{text}: {}", outcome.out);
    }
    let outcome = kit::run(["titles", "COS III", "--ruler", "Hadrain"]);
    assert_eq!(outcome.code, 2);
    assert!(
        outcome.err.contains("did you mean Hadrian?"),
        "{}",
        outcome.err
    );
    let outcome = kit::run(["titles", "[---]"]);
    assert_eq!(outcome.code, 2, "{}", outcome.out);
}

#[test]
fn titles_narrow_the_years_of_an_answer() {
    let dated = |words: &str| -> serde_json::Value {
        let outcome = kit::run(["identify", words, "--json"]);
        serde_json::from_str(&outcome.out).expect("is JSON")
    };
    let said = dated("silver 18 mm 3.2 g, obverse: reads ANTONINVS AVG PIVS P P TR P XVII");
    let range = &said["date"]["p80"];
    // TR P XVII of Antoninus Pius: 10 December 153 to 9 December 154 (RIC 3, from memory).
    assert!(
        range[0].as_i64() >= Some(153) && range[1].as_i64() <= Some(155),
        "{range}"
    );
}
