//! What the finder's own finds say on the pages: as on the command line, switched off where that is
//! asked, and never to a guest.
//!
//! The farm and its finds are invented.
//!
//! Invariant: every test has a server and a shelf of its own, gone with it.

use super::kit::http::{Ask, Served};
use super::kit::place::Place;

const WORDS: &str = "copper alloy, 17 mm";
/// The heading under which a page says what was learnt from.
const HEADING: &str = "From your own finds";

/// The answer's part of the bench, with these fields in the address.
fn part(served: &Served, fields: &[(&str, &str)], cookie: Option<&str>) -> String {
    let mut query = form_urlencoded::Serializer::new(String::new());
    query.append_pair("words", WORDS).extend_pairs(fields);
    let path = format!("/?{}", query.finish());
    let mut ask = Ask::get(&path).header("X-Part", "answer");
    if let Some(cookie) = cookie {
        ask = ask.header("Cookie", cookie);
    }
    let answer = served.ask(&ask);
    assert_eq!(answer.status, 200, "{}", answer.text());
    answer.text()
}

/// The shares of periods and all else that stands in tables, without the links.
fn shares(part: &str) -> Vec<&str> {
    let cells = part.split("<td>").skip(1);
    let cells: Vec<&str> = cells.filter_map(|cell| cell.split('<').next()).collect();
    assert!(cells.len() > 5, "{part}");
    cells
}

#[test]
fn the_bench_goes_by_the_shelf_as_the_command_line_does() {
    let place = Place::new();
    place.site(12);
    let served = Served::with(Some(&place.shelf()), &[]);
    let land = [("land", "LONGACRE")];
    let here = part(&served, &land, None);
    let told = place.json(&["identify", WORDS, "--land", "LONGACRE"]);
    let lines = told["your_own_finds"].as_array().expect("lines");
    assert!(!lines.is_empty(), "{told}");
    for line in lines.iter().filter_map(|line| line.as_str()) {
        assert!(
            here.contains(HEADING) && here.contains(line),
            "{line}: {here}"
        );
    }
    assert!(here.contains("12 of your own confirmed finds of this field"));
    let p = told["answer"]["p"].as_f64().expect("a chance");
    assert!(
        here.contains(&format!("</strong>: {p:.2}. ")),
        "{p}: {here}"
    );
    // What is said next is said of the same field, and kept of it.
    assert!(here.contains("land=LONGACRE") && here.contains("name=\"land\" value=\"LONGACRE\""));
    // Of no land, and with the shelf left out.
    let anywhere = part(&served, &[], None);
    assert!(!anywhere.contains("of this field"), "{anywhere}");
    let without = part(&served, &[land[0], ("without-shelf", "yes")], None);
    assert!(!without.contains(HEADING) && without.contains("without-shelf=yes"));
    let empty = Served::new();
    assert_eq!(shares(&without), shares(&part(&empty, &[], None)));
    assert_ne!(shares(&without), shares(&here));
    // A land that is not there costs what it would teach, and the page says so.
    let nowhere = part(&served, &[("land", "NOWHERE")], None);
    assert!(
        nowhere.contains("Your own finds were not asked"),
        "{nowhere}"
    );
    assert_eq!(shares(&nowhere), shares(&without));
    // The form offers both, and none where there is no shelf.
    let page = served.page("/");
    assert!(page.contains("<option value=\"LONGACRE\"") && page.contains("name=\"without-shelf\""));
    assert!(!empty.page("/").contains("without-shelf"));
    // Another program confirms one more: the next page counts it.
    let id = "nummus-constantinopolis";
    place.done(&[
        "collection",
        "add",
        "bronze",
        "--id",
        "X",
        "--land",
        "LONGACRE",
    ]);
    place.done(&["collection", "confirm", "X", "--by", "self", "--as", id]);
    let more = part(&served, &land, None);
    assert!(
        more.contains("13 of your own confirmed finds of this field"),
        "{more}"
    );
}

#[test]
fn what_is_kept_from_a_page_was_judged_with_the_shelf() {
    let place = Place::new();
    place.site(12);
    let served = Served::with(Some(&place.shelf()), &[]);
    let share = |id: &str| {
        let kept = place.json(&["collection", "show", id]);
        kept["identified"][0]["share"].as_f64().expect("a share")
    };
    let kept = |id: &str, more: &[(&str, &str)]| {
        let fields = [&[("words", WORDS), ("id", id), ("land", "LONGACRE")], more].concat();
        served.post("/keep", "/keep", &fields).onward();
        share(id)
    };
    let (with, without) = (kept("A", &[]), kept("B", &[("without-shelf", "yes")]));
    place.done(&[
        "collection",
        "add",
        WORDS,
        "--id",
        "C",
        "--land",
        "LONGACRE",
    ]);
    assert_eq!(with, share("C"));
    let alone = place.json(&["identify", WORDS, "--without-shelf"]);
    assert_eq!(without, alone["answer"]["p"].as_f64().expect("a chance"));
    assert_ne!(with, without);
    assert!(served.page("/keep").contains("name=\"without-shelf\""));
    // Judged anew from its page, a confirmed find is no witness in its own case.
    let anew = |id: &str| {
        let page = format!("/find/{id}");
        served.post(&page, &format!("{page}/again"), &[]).onward();
        share(id)
    };
    assert_eq!(anew("B"), with);
    let id = "nummus-constantinopolis";
    place.done(&["collection", "confirm", "A", "--by", "self", "--as", id]);
    let own = anew("A");
    place.done(&["collection", "edit", "A", "--again"]);
    assert_eq!(own, share("A"));
}

#[test]
fn a_guest_is_answered_as_if_there_were_no_shelf() {
    let place = Place::new();
    place.site(12);
    let more = ["--home-network", "--address", "127.0.0.3", "--guests"];
    let served = Served::with(Some(&place.shelf()), &more);
    let enter = |name: &str| {
        let pass = served.told[name].as_str().expect("a phrase");
        let answer = served.ask(&Ask::post("/enter").form(&[("pass", pass)]));
        answer.cookie().expect("let in").to_string()
    };
    let (finder, guest) = (enter("pass"), enter("guest_pass"));
    let land = [("land", "LONGACRE")];
    let plain = part(&Served::new(), &[], None);
    let theirs = part(&served, &land, Some(&guest));
    assert!(!theirs.contains("own finds"), "{theirs}");
    assert_eq!(shares(&theirs), shares(&plain));
    assert_ne!(shares(&part(&served, &land, Some(&finder))), shares(&plain));
    let page = served.ask(&Ask::get("/?words=coin").header("Cookie", &guest));
    for hidden in ["LONGACRE", "Long Acre", "without-shelf"] {
        assert!(!page.text().contains(hidden), "a guest sees {hidden}");
    }
}
