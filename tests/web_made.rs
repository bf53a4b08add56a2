//! What the pages make of the shelf and give away: charts, labels, files of land; the size of the
//! screen carried on, the drawings of motifs.
//!
//! The farm, its fields and its people are invented.
//!
//! Invariant: every test has a server and a shelf of its own, gone with it.

use lynchet::parse;

use super::kit::house;
use super::kit::http::{Ask, Served};
use super::kit::pages::{links, tags};

const PENNY: &str = "silver, 17 mm, 1.2 g, long cross, reads EDW R";

/// Land and two finds, one of them a thing.
fn farm(served: &Served) {
    let holding = [
        ("id", "LONGACRE"),
        ("name", "Long Acre"),
        ("owner", "Ann Orchard"),
    ];
    served.post("/land", "/land", &holding).onward();
    let penny = [
        ("words", PENNY),
        ("id", "LA-1"),
        ("land", "LONGACRE"),
        ("found", "2026-03-10"),
        ("at", "SP 1234 3456"),
        ("storage", "box 3"),
        ("tags", "plough"),
    ];
    served.post("/keep", "/keep", &penny).onward();
    let buckle = "copper alloy buckle frame, 40 mm long, 30 mm wide";
    let buckle = [("words", buckle), ("id", "LA-2"), ("found", "2026-02-01")];
    served.post("/keep", "/keep", &buckle).onward();
}

#[test]
fn charts_show_what_the_tray_chose_and_say_every_figure() {
    let served = Served::new();
    let empty = served.page("/charts");
    assert!(empty.contains("nothing to draw"), "{empty}");
    farm(&served);
    let page = served.page("/charts");
    for said in [
        "2 find(s): 0 confirmed",
        "Finds by kind",
        "Finds by field",
        "Long Acre (LONGACRE)",
        "Finds by day",
        "2026-03-10",
        "Weight against diameter",
        "<td>17</td><td>1.2</td>",
    ] {
        assert!(page.contains(said), "{said}: {page}");
    }
    // Pictures of a page bring no style of their own: the guard would not let it through.
    let svg = page.matches("<svg").count();
    assert!(svg >= 6, "{svg}");
    assert!(
        !page.contains("<style") && !page.contains("style="),
        "{page}"
    );
    let coins = served.page("/charts?kind=coin");
    assert!(coins.contains("1 find(s)"), "{coins}");
    assert!(!coins.contains("2026-02-01"), "{coins}");
    // Of the thing no weight is known: that is said, and nothing drawn in its place.
    let things = served.page("/charts?kind=artefact");
    let left = things.split("Not drawn").nth(1).expect("it is said");
    assert!(left.contains("Weight against diameter"), "{left}");
    assert!(!things.contains("id=\"measures-h\""), "{things}");
    let none = served.page("/charts?metal=gold");
    assert!(none.contains("No find is like this"), "{none}");
    assert!(served.page("/tray?kind=coin").contains("/charts?kind=coin"));
}

#[test]
fn labels_are_shown_and_taken_without_a_findspot_unless_it_is_chosen() {
    let served = Served::new();
    assert!(served.page("/labels").contains("nothing to put on a label"));
    farm(&served);
    let none = served.page("/labels?metal=gold");
    assert!(none.contains("nothing to put on a label"), "{none}");
    let page = served.page("/labels");
    assert!(page.contains("2 labels on 1 sheet"), "{page}");
    assert!(page.contains("LA-1") && page.contains("box 3"), "{page}");
    assert!(!page.contains("SP 1"), "{page}");
    assert!(page.contains("width=\"210mm\" height=\"297mm\""), "{page}");
    assert!(
        !page.contains("<style") && !page.contains("style="),
        "{page}"
    );
    let square = served.page("/labels?square=1000&sheet=4x10");
    assert!(
        square.contains("SP 12 34") && !square.contains("SP 1234"),
        "{square}"
    );
    let exact = served.page("/labels?square=exact&kind=coin&used=23");
    assert!(
        exact.contains("SP 1234 3456") && exact.contains("1 label on 1 sheet"),
        "{exact}"
    );
    // The choice of the tray is carried along by the form.
    assert!(exact.contains("name=\"kind\" value=\"coin\""), "{exact}");
    let pdf = served.get("/labels.pdf?kind=coin&sheet=2x7");
    assert_eq!(pdf.header("content-type"), Some("application/pdf"));
    let name = pdf.header("content-disposition").unwrap_or_default();
    assert_eq!(name, "attachment; filename=\"labels-2026-03-14.pdf\"");
    assert!(pdf.body.starts_with(b"%PDF-"));
    for (query, field) in [
        ("used=99", "used"),
        ("sheet=0x9", "columns"),
        ("margin-left-mm=x", "margin-left-mm"),
    ] {
        let refused = served.get(&format!("/labels?{query}"));
        assert_eq!(refused.status, 422, "{query}");
        assert!(
            refused.text().contains(field),
            "{query}: {}",
            refused.text()
        );
        assert_eq!(
            served.get(&format!("/labels.pdf?{query}")).status,
            422,
            "{query}"
        );
    }
}

#[test]
fn land_keeps_areas_and_gives_its_files_back_as_files() {
    let served = Served::new();
    farm(&served);
    let area = r#"{"type":"Polygon","coordinates":[[[-1.8,52.0],[-1.79,52.0],[-1.79,52.01],[-1.8,52.0]]]}"#;
    let at = "/land/LONGACRE";
    let keep = "/land/LONGACRE/keep";
    let pasted = [("what", "boundary"), ("geojson", area)];
    assert_eq!(served.post(at, keep, &pasted).onward(), at);
    let what = [("what", "boundary")];
    let file: &[(&str, &str, &[u8])] = &[("file", "field.geojson", area.as_bytes())];
    assert_eq!(served.send(at, keep, &what, file).onward(), at);
    for (fields, files, said) in [
        (
            vec![("geojson", "{\"type\":\"Point\"}")],
            vec![],
            "no GeoJSON of an area",
        ),
        (
            vec![("geojson", area), ("squares", "SP 12")],
            vec![],
            "more than one way",
        ),
        (vec![], vec![], "nothing was given"),
        (
            vec![],
            vec![("file", "a.json", &[0xff_u8, 0xfe][..])],
            "no text",
        ),
        (vec![("squares", "nowhere")], vec![], "aria-invalid"),
    ] {
        let fields = [&what[..], &fields].concat();
        let refused = served.send(at, keep, &fields, &files);
        assert_eq!(refused.status, 422, "{said}");
        let text = refused.text();
        assert!(
            text.contains(said) && text.contains("aria-invalid"),
            "{said}: {text}"
        );
    }
    let big = vec![b' '; 2_300_000];
    let refused = served.send(at, keep, &what, &[("file", "a.json", &big)]);
    assert_eq!(refused.status, 413);
    let page = served.page(at);
    let bounds: Vec<String> = links(&page)
        .into_iter()
        .filter(|to| to.contains("/bounds/"))
        .collect();
    assert_eq!(bounds.len(), 2, "{page}");
    for to in &bounds {
        let answer = served.get(to);
        assert_eq!(answer.text(), area);
        assert_eq!(answer.header("content-type"), Some("application/geo+json"));
        let name = answer.header("content-disposition").unwrap_or_default();
        assert_eq!(name, "attachment; filename=\"LONGACRE.geojson\"");
    }
    // A document comes back as it was kept, under a type and an ending that are ours.
    let hostile = b"<html><script>alert(1)</script></html>";
    let files: &[(&str, &str, &[u8])] = &[("document", "agreement.html", hostile)];
    let sent = served.send(
        at,
        "/land/LONGACRE/leave",
        &[("given-by", "Ann Orchard")],
        files,
    );
    assert_eq!(sent.onward(), at);
    let page = served.page(at);
    let document = links(&page).into_iter().find(|to| to.contains("/leave/"));
    let document = document.expect("a way to the document");
    let answer = served.get(&document);
    assert_eq!(answer.body, hostile);
    assert_eq!(
        answer.header("content-type"),
        Some("text/plain; charset=utf-8")
    );
    assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
    let name = answer.header("content-disposition").unwrap_or_default();
    assert_eq!(name, "attachment; filename=\"agreement.txt\"");
    for to in [
        "/land/LONGACRE/leave/99",
        "/land/LONGACRE/bounds/99",
        "/land/NONE/leave/1",
    ] {
        assert_eq!(served.get(to).status, 404, "{to}");
    }
    // Nor is one handed out of other land.
    let other = [("id", "OTHER"), ("name", "Other land")];
    served.post("/land", "/land", &other).onward();
    let elsewhere = document.replace("LONGACRE", "OTHER");
    assert_eq!(served.get(&elsewhere).status, 404);
}

#[test]
fn the_size_of_the_screen_is_carried_on_without_script() {
    let served = Served::new();
    let typed = "/type/henry-vi-groat-annulet";
    let wide = |page: &str| -> f64 {
        let tags = tags(page);
        let ring = tags.iter().find(|tag| tag.get("class") == Some("ring"));
        let wide = ring.and_then(|tag| tag.get("width")).expect("a ring");
        wide.parse().expect("pixels")
    };
    let plain = wide(&served.page(typed));
    assert!(served.page(typed).contains("not yet set"));
    let set = served.get("/size?scale=1.25");
    let cookie = set.cookie().expect("a cookie").to_string();
    assert_eq!(cookie, "lynchet-scale=1.250");
    let with =
        |path: &str, cookie: &str| served.ask(&Ask::get(path).header("Cookie", cookie)).text();
    let sized = with(typed, &cookie);
    assert!((wide(&sized) / plain - 1.25).abs() < 0.01, "{plain}");
    assert!(sized.contains("data-unset hidden"), "{sized}");
    let bench = "/?words=silver%2C+17+mm%2C+1.2+g%2C+long+cross%2C+reads+EDW+R";
    let times = wide(&with(bench, &cookie)) / wide(&served.page(bench));
    assert!((times - 1.25).abs() < 0.01, "{times}");
    // What cannot be is none, and another site sets nothing.
    for bad in [
        "lynchet-scale=wide",
        "lynchet-scale=",
        "lynchet-scale=\"><script>",
    ] {
        let page = with(typed, bad);
        assert_eq!(wide(&page), plain, "{bad}");
        assert!(!page.contains("<script>\""), "{bad}");
    }
    let foreign = Ask::get("/size?scale=3")
        .header("Sec-Fetch-Site", "cross-site")
        .header("Sec-Fetch-Mode", "navigate");
    let foreign = served.ask(&foreign);
    assert_eq!((foreign.status, foreign.cookie()), (200, None));
}

#[test]
fn an_edit_with_a_new_identification_is_one_act() {
    let served = Served::new();
    farm(&served);
    let before = served.page("/find/LA-1");
    let acts = |page: &str| page.matches("name=\"act\"").count();
    let fields = [
        ("id", "LA-9"),
        ("words", "gold, 28 mm, 7 g, ship and king"),
        ("tags", "kept apart"),
        ("again", "yes"),
    ];
    let edited = served.post("/find/LA-1/edit", "/find/LA-1/edit", &fields);
    assert_eq!(edited.onward(), "/find/LA-9");
    let page = served.page("/find/LA-9");
    assert_eq!(acts(&page), acts(&before) + 1, "{page}");
    assert!(
        page.contains("kept apart") && page.contains("Earlier: "),
        "{page}"
    );
    let act = page.split("name=\"act\" value=\"").nth(1);
    let act = act
        .and_then(|after| after.split('"').next())
        .expect("an act");
    served.post("/history", "/undo", &[("act", act)]).onward();
    let back = served.page("/find/LA-1");
    assert!(
        back.contains("plough") && !back.contains("kept apart"),
        "{back}"
    );
    assert!(
        back.contains("Edward I") && !back.contains("Earlier: "),
        "{back}"
    );
}

#[test]
fn who_confirmed_it_is_said_alike_in_the_tray_and_on_its_page() {
    let served = Served::new();
    farm(&served);
    for (by, said) in [
        ("self", "confirmed by the finder"),
        ("book", "confirmed by a book"),
        ("officer", "confirmed by the recording officer"),
    ] {
        let fields = [("by", by), ("reference", "page 7")];
        served
            .post("/find/LA-1", "/find/LA-1/confirm", &fields)
            .onward();
        for page in ["/tray", "/find/LA-1"] {
            assert!(served.page(page).contains(said), "{page}: {said}");
        }
    }
}

#[test]
fn searching_finds_what_was_just_kept_and_makes_no_shelf() {
    let served = Served::new();
    served.page("/tray?words=penny");
    assert!(!served.shelf().exists(), "a shelf was made");
    farm(&served);
    for _ in 0..2 {
        assert!(served.page("/tray?words=buckle").contains("1 find."));
    }
    let more = [("words", "copper alloy buckle, 20 mm"), ("id", "LA-3")];
    served.post("/keep", "/keep", &more).onward();
    assert!(served.page("/tray?words=buckle").contains("2 finds."));
    // Where the index went away, it is made again or done without.
    std::fs::remove_dir_all(served.shelf().join("index")).expect("there is an index");
    assert!(served.page("/tray?words=buckle").contains("2 finds."));
}

#[test]
fn a_picture_of_what_a_coin_shows_adds_words_that_are_heard_as_it() {
    let served = Served::new();
    let house = house();
    let library = &house.catalogue;
    let (mut heard, mut missed) = (0, Vec::new());
    for page in 1..=10 {
        let address = format!("/pictures?of=coins&page={page}");
        let text = served.page(&address);
        let tags = tags(&text);
        let pairs = tags
            .windows(2)
            .filter(|pair| pair[0].name == "a" && pair[1].name == "img");
        for pair in pairs {
            let source = pair[1].get("src").unwrap_or_default();
            let Some(id) = source.strip_prefix("/drawing/motif/") else {
                continue;
            };
            let id = id.split('?').next().unwrap_or_default();
            let to = pair[0].get("href").unwrap_or_default();
            let query = to.split_once('?').expect("it adds words").1;
            let fields = form_urlencoded::parse(query.as_bytes());
            let words = fields.into_iter().find(|field| field.0 == "motif");
            let words = words.unwrap_or_else(|| panic!("{id}: {to}")).1;
            let said = [(parse::Field::Motif, words.to_string())];
            let (find, _) = parse::form(&said, &house.lexicon);
            let meant = |one: &lynchet::find::Sighting| one.motif == id && one.present;
            match find.sightings.iter().any(meant) {
                true => heard += 1,
                false => missed.push(format!("{id}: {words}")),
            }
            assert!(library.motif_by_id(id).is_some(), "{id}");
        }
    }
    assert!(heard >= 270 && missed.is_empty(), "{heard}: {missed:?}");
    let one = served.get("/drawing/motif/lion");
    assert_eq!(one.header("content-type"), Some("image/svg+xml"));
    assert_eq!(served.get("/drawing/motif/none-such").status, 404);
    let page = served.page("/type/henry-vi-groat-annulet");
    assert!(page.contains("src=\"/drawing/motif/"), "{page}");
}
