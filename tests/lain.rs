//! Where a find came from and what lay with it: weak traits, heard rightly and weighed within bounds.
//!
//! The company of published groups stands beside its check; the rest is common practice, no source.

use lynchet::find::{Find, Region};
use lynchet::parse;
use lynchet::score::{FieldProfile, Share};
use lynchet::{Identification, IdentifyOptions};
use serde_json::Value;
use tempfile::TempDir;

use crate::kit::{self, house};

fn said(words: &str) -> (Find, Identification) {
    let (find, remarks) = parse::words(words, &house().lexicon);
    assert!(remarks.is_empty(), "{remarks:?}");
    let answer = house().identify(&find, IdentifyOptions::default());
    (find, answer)
}

fn share_of(shares: &[Share], ids: impl Fn(usize) -> &'static str, id: &str) -> f64 {
    let held = shares
        .iter()
        .filter(|share| share.of.is_some_and(|of| ids(of) == id));
    held.map(|share| share.p).sum()
}

fn denomination(answer: &Identification, id: &str) -> f64 {
    share_of(
        &answer.shares.denomination,
        |of| &house().catalogue.denominations[of].id,
        id,
    )
}

fn period(answer: &Identification, id: &str) -> f64 {
    share_of(
        &answer.shares.period,
        |of| &house().catalogue.periods[of].id,
        id,
    )
}

/// Radiates lie with radiates: of the 73 of Acton Trussell a third could not be named one by one
/// (statutory Treasure report 2005/6, no. 1105), yet none was taken for another kind.
#[test]
fn a_worn_piece_is_what_lay_with_it() {
    let worn = "copper alloy, 2.3 g, 18 mm";
    let (_, alone) = said(worn);
    let (find, among) = said(&format!("{worn}, found with 5 radiates of Tetricus I"));
    assert_eq!(find.company.len(), 1);
    assert_eq!(find.company[0].count, 5);
    let (before, after) = (
        denomination(&alone, "radiate"),
        denomination(&among, "radiate"),
    );
    assert!(before < 0.5 && after > 0.8, "{before:.3} {after:.3}");
    // A lone farthing of a late king beside it says the opposite.
    let (_, late) = said(&format!("{worn}, found with a halfpenny of George III"));
    assert!(period(&late, "georgian") > 5.0 * period(&alone, "georgian"));
}

#[test]
fn a_county_is_heard_as_its_region_and_stays_weak() {
    // Stycas are found in the north alone (common practice, no source).
    let bare = "copper alloy, 1.1 g, 12 mm";
    let (find, north) = said(&format!("{bare}, found in North Yorkshire"));
    assert_eq!(find.region, Some(Region::North));
    let (_, kent) = said(&format!("{bare}, found in Kent"));
    let (here, there) = (denomination(&north, "styca"), denomination(&kent, "styca"));
    assert!(here > 3.0 * there, "{here:.4} {there:.4}");
    for (name, region) in [
        ("Powys", Region::Wales),
        ("the Midlands", Region::Midlands),
        ("Devon", Region::SouthWest),
    ] {
        assert_eq!(
            said(&format!("silver penny, found in {name}")).0.region,
            Some(region)
        );
    }
}

#[test]
fn a_place_that_is_no_county_is_told_and_not_weighed() {
    let (find, remarks) = parse::form(
        &[(parse::Field::Region, "Atlantis".to_string())],
        &house().lexicon,
    );
    assert_eq!(find, Find::default());
    assert!(remarks[0].to_string().contains("norfolk"), "{remarks:?}");
    let (find, remarks) = parse::form(
        &[(parse::Field::FoundWith, "3 gribbles".to_string())],
        &house().lexicon,
    );
    assert!(find.company.is_empty() && !remarks.is_empty());
}

#[test]
fn a_field_that_gives_what_all_fields_give_says_nothing() {
    let (find, _) = said("copper alloy, 17 mm");
    let library = &house().catalogue;
    let judged = |finds: Vec<f64>| {
        let profile = FieldProfile { finds };
        let options = IdentifyOptions {
            field: Some(&profile),
            ..IdentifyOptions::default()
        };
        house().identify(&find, options)
    };
    let plain = house().identify(&find, IdentifyOptions::default());
    let none = judged(vec![0.0; library.periods.len()]);
    assert_eq!(none.shares, plain.shares);
    // Sixty tokens of the seventeenth century make the next one likelier, but not sure.
    let stuart = library
        .periods
        .iter()
        .position(|p| p.id == "stuart")
        .expect("is there");
    let mut finds = vec![0.0; library.periods.len()];
    finds[stuart] = 60.0;
    let leaning = judged(finds);
    let (before, after) = (period(&plain, "stuart"), period(&leaning, "stuart"));
    assert!(
        after > 2.0 * before && after < 0.9,
        "{before:.3} {after:.3}"
    );
}

fn json(arguments: &[&str]) -> Value {
    let outcome = kit::run(arguments);
    assert_eq!(outcome.code, 0, "{}", outcome.err);
    serde_json::from_str(&outcome.out).expect("is JSON")
}

#[test]
fn the_doors_take_region_company_field_and_what_to_hide() {
    let folder = TempDir::new().expect("a folder");
    let table = folder.path().join("field.csv");
    kit::lay(
        &table,
        "period,ruler_or_authority,date_from,date_to\nRoman,,,\n,Edward I,,\n,,1650,1672\nnonsense,,,\n",
    );
    let table = table.display().to_string();
    let words = "silver, 18 mm, 1.2 g, found in Norfolk, found with 2 pennies of Edward I";
    let open = json(&["identify", words, "--field", &table, "--json"]);
    let hidden = json(&["identify", words, "--hide", "region,found-with", "--json"]);
    let bare = json(&["identify", "silver, 18 mm, 1.2 g", "--json"]);
    assert_eq!(hidden["period"], bare["period"]);
    assert_ne!(open["period"], bare["period"]);
    let flags = json(&[
        "identify",
        "silver, 18 mm, 1.2 g",
        "--region",
        "norfolk",
        "--found-with",
        "2 pennies of Edward I",
        "--json",
    ]);
    assert_ne!(flags["period"], bare["period"]);
    for (arguments, told) in [
        (vec!["identify", words, "--hide", "colour"], "is no trait"),
        (
            vec!["identify", words, "--field", "nowhere.csv"],
            "nowhere.csv",
        ),
        (
            vec!["identify", "silver", "--hide", "metal"],
            "nothing to go on",
        ),
    ] {
        let outcome = kit::run(&arguments);
        assert_eq!(outcome.code, 2);
        assert!(outcome.err.contains(told), "{}", outcome.err);
    }
    kit::lay(&folder.path().join("none.csv"), "period\nnonsense\n");
    let none = folder.path().join("none.csv").display().to_string();
    let outcome = kit::run(["identify", words, "--field", &none]);
    assert!(
        outcome.code == 2 && outcome.err.contains("no row says"),
        "{}",
        outcome.err
    );
}
