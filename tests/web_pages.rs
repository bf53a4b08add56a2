//! The pages in a real browser: whether everyone can use them, on a phone and on a desk, light and
//! dark, with script and without, by keyboard alone.
//!
//! Accessibility is judged by axe-core 4.14.1 by the rules of WCAG 2.2, levels A and AA. Finds,
//! land and people are invented.
//!
//! Invariant: every address that is served to be looked at is looked at.

use std::fs;
use std::path::Path;

use serde_json::{Value, json};

use super::kit::browser::{Browser, ENTER, axe};
use super::kit::camera;
use super::kit::http::Served;
use super::kit::samples::{self, pages};

/// A phone and a desk, CSS pixels.
const SIZES: [(u32, u32); 2] = [(360, 800), (1280, 900)];
/// A find in words.
const WORDS: &str = "silver, 17 mm, 1.2 g, long cross, reads EDW R";

/// What axe finds wrong: rule, target, how.
fn violations(browser: &Browser, axe: &str) -> Vec<String> {
    browser.run(&format!("{axe}; return true"), &[]);
    let script = "const done = arguments[arguments.length - 1]; \
        axe.run(document, {runOnly: {type: 'tag', \
            values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']}, \
            resultTypes: ['violations']}) \
        .then(r => done(r.violations.flatMap(v => v.nodes.map(n => \
            v.id + ' at ' + n.target.join(' ') + ': ' + n.failureSummary))), \
            e => done(['axe failed: ' + e]))";
    let found = browser.run_later(script, &[]);
    let found = found.as_array().expect("a list").iter();
    found
        .map(|one| one.as_str().unwrap_or_default().to_string())
        .collect()
}

#[test]
fn axe_finds_what_is_wrong() {
    let (Some(axe), Some(browser)) = (axe(), Browser::open()) else {
        return;
    };
    browser.go("data:text/html,<title>x</title><p style='color:%23aaa;background:%23fff'>pale</p><img src=x><input>");
    let found = violations(&browser, &axe).join("\n");
    for rule in ["color-contrast", "html-has-lang", "image-alt", "label"] {
        assert!(found.contains(rule), "{rule} in:\n{found}");
    }
}

#[test]
fn everyone_can_use_every_page() {
    let (Some(axe), Some(browser)) = (axe(), Browser::open()) else {
        return;
    };
    let (_folder, served) = samples::filled(&[]);
    let mut faults = Vec::new();
    for (width, height) in SIZES {
        browser.size(width, height);
        for page in pages() {
            for dark in [false, true] {
                browser.dark(dark);
                if dark {
                    // The page stays; only its colours change.
                    assert_eq!(
                        browser.run(
                            "return matchMedia('(prefers-color-scheme: dark)').matches",
                            &[]
                        ),
                        true
                    );
                } else {
                    browser.go(&served.url(page));
                }
                let found = violations(&browser, &axe);
                let theme = if dark { "dark" } else { "light" };
                faults.extend(
                    found
                        .into_iter()
                        .map(|one| format!("{page} {width} px {theme}: {one}")),
                );
            }
            let wide = "const e = document.documentElement; return [e.scrollWidth, e.clientWidth]";
            let wide = browser.run(wide, &[]);
            if wide[0].as_u64() > wide[1].as_u64() {
                faults.push(format!(
                    "{page} at {width} px: {} wide in {}",
                    wide[0], wide[1]
                ));
            }
        }
    }
    assert!(
        faults.is_empty(),
        "{} faults:\n{}",
        faults.len(),
        faults.join("\n")
    );
}

/// Bytes that everything of the page that is shown took on the line.
const WEIGHT: &str = "return performance.getEntriesByType('navigation') \
    .concat(performance.getEntriesByType('resource')) \
    .map(e => [e.name, e.transferSize, e.renderBlockingStatus || ''])";

#[test]
fn the_bench_is_light_and_soon_there() {
    let Some(browser) = Browser::open() else {
        return;
    };
    let served = Served::new();
    for (page, most) in samples::of("/").iter().zip([150_000; 4]) {
        browser.own("Network.clearBrowserCache", &json!({}));
        browser.go(&served.url(page));
        let parts = browser.run(WEIGHT, &[]);
        let parts = parts.as_array().expect("a list");
        let weight: u64 = parts.iter().filter_map(|part| part[1].as_u64()).sum();
        assert!(
            weight > 2_000 && weight <= most,
            "{page}: {weight} bytes of {parts:?}"
        );
        // The page itself and the stylesheet, and nothing else before something is seen.
        let waits = parts.iter().skip(1).filter(|part| part[2] == "blocking");
        let waits: Vec<&Value> = waits.map(|part| &part[0]).collect();
        assert_eq!(waits.len(), 1, "{waits:?}");
        assert!(
            waits[0]
                .as_str()
                .is_some_and(|name| name.contains("/looks/style.css"))
        );
        let elsewhere = parts.iter().filter_map(|part| part[0].as_str());
        for name in elsewhere {
            assert!(
                name.starts_with(&served.url("/")),
                "{name} is from elsewhere"
            );
        }
    }
}

#[test]
fn nothing_moves_when_the_answer_comes() {
    let Some(browser) = Browser::open() else {
        return;
    };
    let served = Served::new();
    for (width, height) in SIZES {
        browser.size(width, height);
        browser.go(&served.url("/"));
        browser.run(
            "window.moved = []; new PerformanceObserver(list => list.getEntries().forEach(e => \
                moved.push([e.value, e.sources.map(s => s.node && s.node.nodeName).join()]))) \
                .observe({type: 'layout-shift', buffered: true})",
            &[],
        );
        browser.write(&browser.find("#words"), "silver, 17 mm");
        browser.until("return document.querySelector('#answer [data-headline]') !== null");
        browser.write(&browser.find("#words"), ", long cross");
        browser.until("return location.search.includes('cross')");
        let moved = browser.run_later(
            "const done = arguments[0]; \
             requestAnimationFrame(() => requestAnimationFrame(() => done(window.moved)))",
            &[],
        );
        let sum: f64 = moved
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(|one| one[0].as_f64())
            .sum();
        assert!(sum < 0.001, "at {width} px: {sum} by {moved}");
    }
}

#[test]
fn the_bench_is_used_by_keyboard_with_script_and_without() {
    let Some(browser) = Browser::open() else {
        return;
    };
    let served = Served::new();
    let mut said = Vec::new();
    for script in [true, false] {
        browser.scripts(script);
        browser.go(&served.url("/"));
        browser.tab_to("a.skip");
        browser.press(ENTER);
        browser.tab_to("#words");
        browser.press(WORDS);
        assert!(!browser.has("#answer [data-headline]"));
        if !script {
            browser.tab_to("form.describe button");
            browser.press(ENTER);
            browser.until("return location.search.includes('words=')");
        }
        browser.until("return document.querySelector('#answer h2') !== null");
        browser.tab_to("#answer a, #answer summary, #answer button");
        said.push(browser.text("#answer h2"));
    }
    assert_eq!(said[0], said[1]);
    assert!(said[0].to_lowercase().contains("penny"), "{said:?}");
}

/// From the first words to the backup by the keys alone.
fn journey(browser: &Browser, served: &Served, script: bool) {
    let enter = |selector: &str| {
        browser.tab_to(selector);
        browser.press(ENTER);
    };
    let at = |part: &str| browser.until(&format!("return location.pathname.includes('{part}')"));
    browser.scripts(script);
    browser.go(&served.url("/"));
    browser.tab_to("#words");
    browser.press(WORDS);
    if !script {
        enter("form.describe button");
    }
    browser.until("return document.querySelector('#answer [data-headline]') !== null");
    // The next look, answered; what was said stays said.
    enter(".looks .replies a");
    browser.until(
        "return performance.getEntriesByType('navigation')[0].name.includes('words=') \
         && document.readyState === 'complete' && document.activeElement === document.body",
    );
    assert!(
        browser.address().contains("words=silver"),
        "{}",
        browser.address()
    );
    enter("form.keep button");
    at("/find/");
    let find = browser.address();
    let photo = served.folder().join("obverse.png");
    fs::write(&photo, camera::example(false, "obverse.png")).expect("written");
    browser.tab_to("#photographs-file");
    browser.write(
        &browser.find("#photographs-file"),
        &photo.display().to_string(),
    );
    enter("form[action$='/photographs'] button");
    browser.until("return (document.querySelector('main img') || {}).naturalWidth > 0");
    enter("a[href*='/measure/1']");
    at("/measure/1");
    for (name, text) in [
        ("a", "100,100"),
        ("b", "600,100"),
        ("c", "560,520"),
        ("length", "42.5"),
    ] {
        browser.tab_to(&format!("form.points [name={name}]"));
        browser.run("document.activeElement.select()", &[]);
        browser.press(text);
    }
    enter("form.points button");
    browser.until("return document.querySelector('form[action$=\"/measured\"]') !== null");
    // 200 pixels across on average, 500 pixels to 42.5 mm.
    let told = browser.text(".measured h2");
    let across = told.split(' ').find_map(|part| part.parse::<f64>().ok());
    assert!(across.is_some_and(|mm| (mm - 17.0).abs() < 0.3), "{told}");
    enter("form[action$='/measured'] button");
    browser.until("return location.hash === '#facts'");
    enter("a[href$='/record']");
    at("/record");
    assert!(browser.text("main").to_lowercase().contains("silver"));
    let printed = browser.own("Page.printToPDF", &json!({}));
    assert!(
        printed["data"]
            .as_str()
            .is_some_and(|text| text.starts_with("JVBERi")),
        "no PDF"
    );
    browser.go(&find);
    enter("a[href='/tray']");
    at("/tray");
    browser.tab_to("a[href='/backup.zip']");
    let backup = served.get("/backup.zip");
    assert_eq!(
        (backup.status, backup.body.get(..2)),
        (200, Some(&b"PK"[..]))
    );
}

#[test]
fn the_whole_way_is_gone_by_keyboard_with_script_and_without() {
    let Some(browser) = Browser::open() else {
        return;
    };
    for (script, (width, height)) in [true, false].into_iter().zip(SIZES) {
        browser.size(width, height);
        journey(&browser, &Served::new(), script);
    }
}

/// The pictures that the documents show, taken anew where `LYNCHET_WRITE_SCREENS` names a folder.
#[test]
fn the_pictures_of_the_documents_are_taken() {
    let Some(folder) = std::env::var_os("LYNCHET_WRITE_SCREENS") else {
        return;
    };
    let browser = Browser::open().expect("a browser takes the pictures");
    let (_folder, served) = samples::shown();
    fs::create_dir_all(&folder).expect("the folder");
    let bench = samples::of("/")[1];
    for (name, page, size, dark) in [
        ("bench.png", bench, (1000, 900), false),
        ("bench-phone.png", bench, SIZES[0], true),
        ("tray.png", "/tray", (1000, 700), false),
        ("find-phone.png", "/find/LA-1", SIZES[0], false),
        ("law-phone.png", "/law?find=LA-1", SIZES[0], false),
        (
            "type.png",
            "/type/henry-vi-groat-annulet",
            (1000, 800),
            false,
        ),
    ] {
        browser.size(size.0, size.1);
        browser.dark(dark);
        browser.go(&served.url(page));
        browser.until(
            "return [...document.images].filter(i => i.getBoundingClientRect().top < innerHeight) \
                .every(i => i.complete && i.naturalWidth > 0)",
        );
        let file = Path::new(&folder).join(name);
        fs::write(file, browser.picture()).expect("the picture is written");
    }
}
