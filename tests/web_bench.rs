//! The bench, the library and help as a browser meets them: the same answers as the command line,
//! replies that are heard, text that stays text, links that lead somewhere.
//!
//! The finds described are invented.
//!
//! Invariant: nothing here runs a script, and one server answers all tests.

use std::collections::BTreeSet;
use std::process::Stdio;
use std::sync::LazyLock;

use lynchet::explain::reply;
use lynchet::find::Find;
use lynchet::parse::{self, Field};
use lynchet::{House, IdentifyOptions};
use serde_json::Value;

use super::kit::http::{Ask, Served, cache};
use super::kit::{self, house};

/// One server for all: none of these tests keeps anything.
fn served() -> &'static Served {
    static SERVED: LazyLock<Served> = LazyLock::new(Served::new);
    &SERVED
}

/// An address with these fields.
fn address(path: &str, fields: &[(&str, &str)]) -> String {
    let mut query = form_urlencoded::Serializer::new(String::new());
    query.extend_pairs(fields);
    format!("{path}?{}", query.finish())
}

/// The answer's part alone.
fn part(fields: &[(&str, &str)]) -> String {
    let ask = Ask::get(&address("/", fields)).header("X-Part", "answer");
    let answer = served().ask(&ask);
    assert_eq!(answer.status, 200, "{}", answer.text());
    answer.text()
}

/// What `identify --json` says.
fn told(arguments: &[&str]) -> Value {
    let mut door = kit::command();
    door.arg("identify").args(arguments).arg("--json");
    door.env("LYNCHET_CACHE", cache()).stdin(Stdio::null());
    let out = door.output().expect("the program runs");
    let text = String::from_utf8_lossy(&out.stdout);
    serde_json::from_str(&text).unwrap_or_else(|fault| panic!("{fault}: {text}"))
}

/// Text as it stands in a page, read back.
fn plain(page: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for sign in page.chars() {
        match sign {
            '<' => inside = true,
            '>' => inside = false,
            sign if !inside => out.push(sign),
            _ => {}
        }
    }
    unescaped(&out)
}

fn unescaped(text: &str) -> String {
    let text = text.replace("&lt;", "<").replace("&gt;", ">");
    text.replace("&quot;", "\"").replace("&amp;", "&")
}

/// Every text between two marks.
fn between<'p>(page: &'p str, from: &str, to: &str) -> Vec<&'p str> {
    let parts = page.split(from).skip(1);
    parts.filter_map(|rest| rest.split(to).next()).collect()
}

const COINS: [&[&str]; 9] = [
    &["silver, 17 mm, 1.2 g, long cross, reads EDW R"],
    &["silver, 18 mm, 1.3 g, two profiles face to face"],
    &["bronze 16 mm, two soldiers, one standard"],
    &["gold, 21 mm, 3.5 g, shield"],
    &["copper alloy, 29 mm, Britannia seated, date 1797"],
    &["silver penny"],
    &[
        "--metal",
        "silver",
        "--diameter",
        "18",
        "--weight",
        "1.4",
        "--obverse-legend",
        "[---]RICVS REX[---]",
    ],
    &[
        "--metal",
        "silver",
        "--completeness",
        "half",
        "--reverse-motif",
        "short cross",
        "cut along the cross",
    ],
    &[
        "--die-axis",
        "6",
        "--thickness",
        "2",
        "--region",
        "east",
        "silver 12 mm 1.1 g thick bird",
    ],
];
const THINGS: [&[&str]; 4] = [
    &["copper alloy buckle, D-shaped frame, 31 mm long"],
    &["musket ball, lead, 17 mm, 30 g"],
    &["--class", "thimble", "--height", "18"],
    &["lead spindle whorl 25 mm across, 20 g, with a hole"],
];

/// The fields of a page that say what arguments say.
fn fields<'a>(arguments: &[&'a str]) -> Vec<(&'a str, &'a str)> {
    let mut fields = Vec::new();
    let mut rest = arguments.iter();
    while let Some(one) = rest.next() {
        match one.strip_prefix("--") {
            Some(name) => fields.push((name, *rest.next().expect("a text"))),
            None => fields.push(("words", *one)),
        }
    }
    fields
}

#[test]
fn a_coin_is_answered_as_on_the_command_line() {
    for arguments in COINS {
        let (said, page) = (told(arguments), part(&fields(arguments)));
        let text = plain(&page);
        let answer = &said["answer"];
        let headline = answer["text"].as_str().expect("a text");
        let rest: String = headline.chars().skip(1).collect();
        assert!(text.contains(&rest), "{arguments:?}: {headline}\n{text}");
        let figure = format!(
            ": {:.2}. What the figures mean",
            answer["p"].as_f64().expect("a share")
        );
        assert!(text.contains(&figure), "{arguments:?}: {figure}\n{text}");
        let keys = between(&page, "details data-key=\"", "\"");
        let ids = said["types"].as_array().expect("types").iter();
        for (place, id) in ids
            .map(|one| one["id"].as_str().expect("an id"))
            .enumerate()
        {
            let shown: Vec<&&str> = keys.iter().filter(|key| ***key == *id).collect();
            let share = said["types"][place]["p"].as_f64().expect("a share");
            assert!(
                shown.len() == 1 || share < 0.002,
                "{arguments:?}: {id} {keys:?}"
            );
        }
        for remark in said["remarks"].as_array().expect("remarks") {
            let what = remark["what"].as_str().expect("a text");
            assert!(text.contains(what), "{arguments:?}: {what}\n{text}");
        }
    }
}

#[test]
fn a_thing_is_answered_as_on_the_command_line() {
    for arguments in THINGS {
        let (said, page) = (told(arguments), part(&fields(arguments)));
        let said = said.get("thing").unwrap_or(&said);
        let text = plain(&page);
        let headline = said["answer"]["text"].as_str().expect("a text");
        let rest: String = headline.chars().skip(1).collect();
        assert!(text.contains(&rest), "{arguments:?}: {headline}\n{text}");
        let first = said["types"][0]["id"].as_str().expect("a type");
        assert!(
            page.contains(&format!("data-key=\"{first}\"")),
            "{first}\n{page}"
        );
    }
}

/// The addresses of the replies of an answer, look by look, "not sure" last.
fn replies(page: &str) -> Vec<Vec<(String, String)>> {
    let looks = between(page, "<ul class=\"replies\"", "</ul>");
    let of = |list: &str| {
        let links = between(list, "href=\"", "</a>");
        let one = |link: &str| {
            let (to, rest) = link.split_once('"').expect("an address");
            (
                unescaped(to),
                plain(rest.split_once('>').map_or("", |rest| rest.1)),
            )
        };
        links.into_iter().map(one).collect()
    };
    looks.into_iter().map(of).collect()
}

/// The find that is heard in an address.
fn heard(address: &str, house: &House) -> Find {
    let query = address.split_once('?').map_or("", |parts| parts.1);
    let sent: Vec<(String, String)> = form_urlencoded::parse(query.as_bytes())
        .into_owned()
        .collect();
    let fields = sent.iter().filter_map(|(name, text)| {
        let field = Field::ALL.into_iter().find(|field| field.name() == name)?;
        (field != Field::Words).then(|| (field, text.clone()))
    });
    let (by_fields, _) = parse::form(&fields.collect::<Vec<_>>(), &house.lexicon);
    let words = sent.iter().find(|(name, _)| name == "words");
    let (by_words, _) = parse::words(words.map_or("", |(_, text)| text), &house.lexicon);
    parse::merge(by_fields, by_words).0
}

/// What a look may change in a find, without the finder's own words.
fn learnt(find: &Find) -> String {
    let mut sightings: Vec<String> = find
        .sightings
        .iter()
        .map(|one| format!("{} {:?} {} {}", one.motif, one.side, one.present, one.sure))
        .collect();
    sightings.sort();
    let mut readings: Vec<String> = find
        .readings
        .iter()
        .map(|one| format!("{:?} {:?} {}", one.side, one.marks, one.from_start))
        .collect();
    readings.sort();
    let rounded = |value: f64, error: f64| format!("{value:.2}±{error:.2}");
    let width = find.diameter.map(|one| rounded(one.value.get(), one.error));
    let weight = find.weight.map(|one| rounded(one.value.get(), one.error));
    format!(
        "{:?} {width:?} {weight:?} {:?} {:?} {sightings:#?} {readings:#?}",
        find.metal, find.die_axis, find.making
    )
}

#[test]
fn a_reply_is_heard_as_the_look_means_it() {
    let house = house();
    let library = &house.catalogue;
    let mut seen = BTreeSet::new();
    for words in [
        "silver, 17 mm, 1.2 g, long cross, reads EDW R",
        "silver penny, 18 mm",
        "bronze 16 mm, two soldiers",
        "penny of Henry III",
        "silver",
        "gold, 21 mm",
    ] {
        let fields = [("words", words)];
        let (find, _) = parse::words(words, &house.lexicon);
        let said = house.identify(&find, IdentifyOptions::default());
        let (_, looks) = house.next_looks(&find, &said, None, &[]);
        let shown = replies(&part(&fields));
        assert_eq!(shown.len(), looks.len().min(2), "{words}");
        for (look, links) in looks.iter().zip(&shown) {
            seen.insert(
                format!("{:?}", look.asks)
                    .chars()
                    .take(6)
                    .collect::<String>(),
            );
            assert_eq!(links.len(), look.replies.len() + 1, "{words}");
            for (place, (link, name)) in links.iter().take(look.replies.len()).enumerate() {
                assert_eq!(name, &reply(look, &look.replies[place], library));
                let meant = learnt(&look.told(&find, Some(place), library));
                let told = learnt(&heard(link, house));
                assert_eq!(told, meant, "{words}: {name}: {link}");
            }
            let (unsure, _) = links.last().expect("not sure");
            assert_eq!(learnt(&heard(unsure, house)), learnt(&find), "{unsure}");
        }
    }
    assert!(seen.len() >= 3, "{seen:?}");
}

#[test]
fn what_was_not_sure_is_not_asked_again() {
    for words in [
        "silver, 17 mm, 1.2 g, long cross, reads EDW R",
        "buckle, copper alloy",
    ] {
        let mut at = address("/", &[("words", words)]);
        let mut questions: Vec<String> = Vec::new();
        for _ in 0..5 {
            let page = served().page(&at);
            let asked = between(&page, "<p class=\"question\">", "</p>");
            let Some(first) = asked.first() else { break };
            let list = replies(&page);
            let names: Vec<&String> = list[0].iter().map(|(_, name)| name).collect();
            let asked = format!("{first} {names:?}");
            assert!(!questions.contains(&asked), "{words}: {asked} twice");
            questions.push(asked);
            at = list[0].last().expect("not sure").0.clone();
        }
        assert!(questions.len() >= 3, "{words}: {questions:?}");
    }
}

const HOSTILE: &str = "<script>alert(1)</script>\"' onfocus=\"x <img src=x onerror=y>";

#[test]
fn text_stays_text_in_every_field() {
    let page = served().page("/");
    let mut names: BTreeSet<&str> = between(&page, " name=\"", "\"").into_iter().collect();
    names.extend([
        "unsure", "scale", "type", "q", "named", "of", "page", "ruler", "motif", "is",
    ]);
    assert!(names.len() > 30, "{names:?}");
    for path in ["/", "/pictures", "/compare", "/library", "/size"] {
        for name in &names {
            let fields = [("words", "silver penny"), (*name, HOSTILE)];
            let fields = if path == "/compare" && *name != "type" {
                [&fields[..], &[("type", "sterling-3g")]].concat()
            } else {
                fields.to_vec()
            };
            let text = served().get(&address(path, &fields)).text();
            for breach in ["<script>alert", "\" onfocus=", "<img src=x"] {
                assert!(!text.contains(breach), "{path} {name}: {breach}");
            }
        }
    }
    let shown = served().page(&address("/", &[("words", HOSTILE)]));
    assert!(
        shown.contains("&lt;script&gt;alert(1)&lt;/script&gt;"),
        "{shown}"
    );
}

#[test]
fn nonsense_huge_and_empty_input_is_answered() {
    let long = "silver ".repeat(3000);
    let many: Vec<(&str, &str)> = vec![("motif", "cross"); 300];
    let unsure: Vec<(&str, &str)> = vec![("unsure", "motif.obverse.cross"); 300];
    for words in [
        "",
        " ",
        "asdf qwer",
        "\u{0}\u{7f}\u{202e}",
        "🪙🪙",
        "-1 g 1e999 mm NaN",
        "[[[((((",
        &long,
    ] {
        let page = served().get(&address("/", &[("words", words)]));
        assert_eq!(page.status, 200, "{words:.40}");
        let text = page.text();
        assert_eq!(text.matches("<h1").count(), 1, "{words:.40}");
    }
    for fields in [
        many,
        unsure,
        vec![("weight", "-4"), ("diameter", "a yard"), ("die-axis", "99")],
    ] {
        assert_eq!(served().get(&address("/", &fields)).status, 200);
    }
    for unsure in [
        "motif",
        "motif.x.y",
        "which..",
        "letters.obverse",
        "....",
        "metal",
    ] {
        let fields = [("words", "silver"), ("unsure", unsure)];
        assert_eq!(served().get(&address("/", &fields)).status, 200, "{unsure}");
    }
    for path in [
        "/type/none",
        "/type/%2e%2e%2f",
        "/thing/none",
        "/class/none",
        "/compare",
        "/compare?type=none",
        "/library/by/none",
        "/drawing/form/none",
        "/drawing/form/..%2f..%2fcoins",
        "/drawing/x/oval",
    ] {
        let status = served().get(path).status;
        assert!((400..500).contains(&status), "{path}: {status}");
    }
    for page in ["0", "-3", "999999999", "99999999999999999999999", "x"] {
        let fields = [("q", "penny"), ("page", page)];
        assert_eq!(
            served().get(&address("/library", &fields)).status,
            200,
            "{page}"
        );
        assert_eq!(
            served()
                .get(&address("/pictures", &[("page", page)]))
                .status,
            200,
            "{page}"
        );
    }
}

#[test]
fn types_and_classes_have_their_pages() {
    let listed = house().catalogue.listed();
    let step = listed.len() / 200 + 1;
    let mut looked = 0;
    for coin in listed.iter().step_by(step) {
        let page = served().page(&format!("/type/{}", coin.id));
        let text = plain(&page);
        assert!(text.contains(&coin.name), "{}", coin.id);
        assert!(
            text.contains("Sources") && text.contains(coin.common.name()),
            "{}",
            coin.id
        );
        looked += 1;
    }
    assert!(looked >= 150, "{looked}");
    let list = served().page("/library/by/class");
    let classes = between(&list, "href=\"/class/", "\"");
    assert!(classes.len() > 100, "{}", classes.len());
    for class in classes {
        let page = served().page(&format!("/class/{class}"));
        for thing in between(&page, "href=\"/thing/", "\"").into_iter().take(1) {
            served().page(&format!("/thing/{thing}"));
        }
    }
}

/// The pages of the others, which may not be there yet.
const OTHERS: [&str; 6] = ["/tray", "/land", "/law", "/keep", "/find", "/hoard"];

#[test]
fn links_lead_somewhere() {
    let mut wanted: BTreeSet<String> = BTreeSet::new();
    let from = [
        address(
            "/",
            &[("words", "silver, 17 mm, 1.2 g, long cross, reads EDW R")],
        ),
        address(
            "/",
            &[("words", "copper alloy buckle, D-shaped frame, 31 mm long")],
        ),
        "/library".into(),
        "/library/by/ruler".into(),
        "/library?q=short+cross".into(),
        "/pictures".into(),
        "/pictures?of=outline".into(),
        "/help".into(),
        "/size".into(),
        "/type/sterling-3g".into(),
        "/compare?type=sterling-3g&type=sterling-9".into(),
    ];
    for page in from {
        let text = served().page(&page);
        for mark in ["href=\"", "src=\"", "action=\""] {
            for to in between(&text, mark, "\"").into_iter().take(40) {
                let to = unescaped(to);
                if let Some((_, leap)) = to.split_once('#') {
                    let own = to.starts_with('#');
                    let page = if own {
                        text.clone()
                    } else {
                        served().page(&to[..to.find('#').unwrap_or(0)])
                    };
                    assert!(page.contains(&format!("id=\"{leap}\"")), "{page:.80} {to}");
                } else {
                    wanted.insert(to);
                }
            }
        }
    }
    // Where forms of types side by side are sent: nothing without its types.
    wanted.remove("/compare");
    wanted.retain(|to| !OTHERS.iter().any(|other| to.starts_with(other)));
    assert!(wanted.len() > 80, "{}", wanted.len());
    for to in wanted {
        assert!(to.starts_with('/'), "{to} leads out of the house");
        let status = served().get(&to).status;
        assert_eq!(status, 200, "{to}");
    }
}

#[test]
fn side_by_side_says_what_the_command_line_says() {
    let page = plain(&served().page(&address(
        "/compare",
        &[
            ("type", "sterling-3g"),
            ("type", "sterling-9"),
            ("words", "silver, 1.4 g, long cross"),
        ],
    )));
    let mut door = kit::command();
    door.args([
        "compare",
        "sterling-3g",
        "sterling-9",
        "--find",
        "silver, 1.4 g, long cross",
        "--json",
    ]);
    door.env("LYNCHET_CACHE", cache());
    let out = door.output().expect("the program runs");
    let said: Value = serde_json::from_slice(&out.stdout).expect("an answer");
    assert!(
        page.contains("Your find") && page.contains("What sets them apart"),
        "{page}"
    );
    let apart = said["apart"].as_array().expect("what sets them apart");
    for line in apart {
        let by = line["by"].as_str().expect("a text");
        assert!(page.contains(by), "{by}\n{page}");
    }
}

#[test]
fn the_bench_is_light() {
    let words = "silver, 17 mm, 1.2 g, long cross, reads EDW R";
    let page = served().page(&address("/", &[("words", words)]));
    let mut whole = page.len();
    for mark in ["href=\"/looks/", "src=\"/looks/"] {
        for to in between(&page, mark, "\"")
            .into_iter()
            .collect::<BTreeSet<_>>()
        {
            whole += served().get(&format!("/looks/{to}")).body.len();
        }
    }
    // The bar of the pages: everything that the bench brings, at most 150 kB.
    assert!(whole <= 150_000, "{whole}");
}
