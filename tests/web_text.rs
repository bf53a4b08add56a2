//! Whatever is typed into the pages is shown as text, and nothing that is typed breaks them.
//!
//! Goes through every form of every page, as it stands, and fills each of its fields.
//!
//! Invariant: no text of a visitor becomes a tag, an attribute or a script.

use std::collections::BTreeSet;

use super::kit::http::{Answer, Ask, Served};
use super::kit::pages::{Form, forms, links, tags};
use super::kit::samples::{self, HOSTILE, pages};

/// What else is typed into fields that want something.
fn strange() -> Vec<String> {
    [
        "NaN",
        "inf",
        "-1",
        "1e999",
        "99999999999999999999999999",
        "0",
        "2026-02-30",
        "9999-99-99",
        "SP 12345678901234567890",
        "../../secret",
        "a\0b\r\nSet-Cookie: x=y",
        "\u{202e}\u{1f4a9}e\u{301}\u{fffd}",
        "'; DROP TABLE finds; --",
        "%00%ff",
    ]
    .map(String::from)
    .to_vec()
}

/// A long text; shorter where all fields together go into an address.
fn long(form: &Form) -> String {
    "long ".repeat(if form.changes { 8_000 } else { 200 })
}

/// Holds an answer to the invariant.
fn shown_as_text(answer: &Answer, told: &str) {
    assert!(
        answer.status < 500,
        "{told}: {} {}",
        answer.status,
        answer.text()
    );
    let kind = answer.header("content-type").unwrap_or_default();
    if !kind.starts_with("text/html") {
        return;
    }
    let page = answer.text();
    for tag in tags(&page) {
        assert!(
            tag.name != "script" || tag.get("src").is_some(),
            "{told}: a script of its own"
        );
        assert!(
            tag.get("src") != Some("x"),
            "{told}: a picture that was typed"
        );
        for name in tag.names() {
            assert!(!name.starts_with("on") && name != "style", "{told}: {name}");
        }
        for name in ["href", "src", "action", "formaction"] {
            let target = tag.get(name).unwrap_or("/");
            let own = target.starts_with('/') && !target.starts_with("//");
            let kept = target.starts_with('#') || target.starts_with('?') || target.is_empty();
            let abroad = name == "href" && target.starts_with("https://");
            assert!(own || kept || abroad, "{told}: leads to {target}");
        }
    }
}

/// The form with this in each of its fields, but the token.
fn filled<'f>(form: &'f Form, text: &'f str, hidden: bool) -> Vec<(&'f str, &'f str)> {
    let fields = form.fields.iter();
    let filled = fields.map(|(name, kind, stands)| {
        let keep = name == "token" || kind == "hidden" && !hidden || kind == "button";
        (name.as_str(), if keep { stands } else { text })
    });
    filled.collect()
}

fn send(served: &Served, form: &Form, fields: &[(&str, &str)]) -> Answer {
    let ask = match (form.changes, form.files) {
        (true, false) => Ask::post(&form.action).form(fields),
        (true, true) => Ask::post(&form.action).files(fields, &[("photo", HOSTILE_NAME, b"x")]),
        (false, _) => {
            let mut query = form_urlencoded::Serializer::new(String::new());
            query.extend_pairs(fields);
            Ask::get(&format!("{}?{}", form.action, query.finish()))
        }
    };
    served.ask(&ask)
}

/// A file's name that no path is built of, and no header.
const HOSTILE_NAME: &str = "..%2f..%2f<script>.png";

#[test]
fn script_in_every_field_is_shown_as_text() {
    let (_folder, served) = samples::filled(&[]);
    let (mut seen, mut tried) = (BTreeSet::new(), 0);
    for page in pages() {
        let answer = served.get(page);
        shown_as_text(&answer, page);
        for form in forms(&answer.text()) {
            // Whatever is in the way is refused or kept; what was removed is gone for the rest.
            if form.action.ends_with("/remove") {
                continue;
            }
            let names: Vec<&String> = form.fields.iter().map(|field| &field.0).collect();
            if !seen.insert(format!("{} {names:?}", form.action)) {
                continue;
            }
            for hidden in [false, true] {
                tried += 1;
                let told = format!("{page}: {} {hidden}", form.action);
                let fields = filled(&form, HOSTILE, hidden);
                let answer = send(&served, &form, &fields);
                shown_as_text(&answer, &told);
                if answer.status == 303 {
                    let onward = answer.onward().split('#').next().unwrap_or_default();
                    shown_as_text(&served.get(onward), &format!("{told} onward"));
                }
            }
        }
    }
    assert!(tried >= 8, "only {tried} forms were tried");
    // What was kept is shown as text wherever it comes up again.
    for page in pages() {
        shown_as_text(&served.get(page), page);
    }
}

#[test]
fn nothing_that_is_typed_breaks_a_page() {
    let (_folder, served) = samples::filled(&[]);
    let mut seen = BTreeSet::new();
    for page in pages() {
        let text = served.get(page).text();
        for form in forms(&text) {
            let names: Vec<&String> = form.fields.iter().map(|field| &field.0).collect();
            if !seen.insert(format!("{} {names:?}", form.action)) {
                continue;
            }
            for text in strange().into_iter().chain([long(&form)]) {
                let short: String = text.chars().take(20).collect();
                let told = format!("{page}: {} with {short:?}", form.action);
                shown_as_text(&send(&served, &form, &filled(&form, &text, false)), &told);
            }
        }
    }
    assert_eq!(served.get("/help").status, 200);
}

#[test]
fn every_link_leads_somewhere() {
    let (_folder, served) = samples::filled(&[]);
    let mut seen: BTreeSet<String> = BTreeSet::new();
    let mut waiting: Vec<(String, String)> = vec![("/".into(), "the start".into())];
    waiting.extend(
        pages()
            .into_iter()
            .map(|page| (page.to_string(), "the samples".into())),
    );
    let (mut looked, mut kinds) = (0, std::collections::BTreeMap::<String, usize>::new());
    while let Some((path, from)) = waiting.pop() {
        // So many of one kind: the types of the library would be thousands.
        let kind = path
            .split(['?', '/'])
            .nth(1)
            .unwrap_or_default()
            .to_string();
        let count = kinds.entry(kind).or_default();
        if *count >= 12 || !seen.insert(path.clone()) {
            continue;
        }
        *count += 1;
        looked += 1;
        let answer = served.get(&path);
        // The samples hold a sheet that no labels fit on, and pages that are not there.
        let wrong = path == "/labels?used=99" && answer.status == 422;
        let missing = path.ends_with("none") || path == "/nowhere" || path == "/enter" || wrong;
        assert!(
            answer.status == 200 || missing || answer.status == 303,
            "{path} of {from}: {}",
            answer.status
        );
        if answer
            .header("content-type")
            .is_some_and(|kind| kind.starts_with("text/html"))
        {
            let onward = links(&answer.text()).into_iter();
            waiting.extend(onward.map(|link| (link, path.clone())));
        }
    }
    assert!(looked > 60, "only {looked} pages were looked at");
}
