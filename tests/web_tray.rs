//! The pages that keep things, asked as a browser without script asks them: the whole way of a find,
//! land and law, guests, and what should not be sent.
//!
//! The farm, its fields and its people are invented.
//!
//! Invariant: every test has a server and a shelf of its own, gone with it.

use lynchet::photo::{Form, Picture, packed};

use super::kit::http::{Ask, Served};

/// Pixels a millimetre of the drawn photograph.
const SCALE: f64 = 10.0;

/// A drawn disc of 20 mm on plain ground, with a bar of 60 mm below it.
fn drawn() -> Vec<u8> {
    let (width, height) = (800, 600);
    let mut rgb = Vec::new();
    for y in 0..height {
        for x in 0..width {
            let away = f64::hypot(x as f64 - 400.0, y as f64 - 250.0);
            let bar = (100..700).contains(&x) && (475..500).contains(&y);
            let grain = ((x * 7919 + y * 104_729) % 7) as u8;
            rgb.extend(match (away < 10.0 * SCALE, bar) {
                (true, _) => [126, 122, 112],
                (_, true) => [30, 30, 30],
                _ => [230 + grain, 228 + grain, 222 + grain],
            });
        }
    }
    let picture = Picture::new(width, height, rgb).expect("a picture");
    packed(&picture, Form::Png, None).expect("a PNG")
}

/// CRC-32 as PNG has it (ISO 3309, the polynomial of annex D of the PNG specification).
fn crc(bytes: &[u8]) -> u32 {
    let mut sum = !0_u32;
    for byte in bytes {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            let odd = sum & 1;
            sum = (sum >> 1) ^ (0xedb8_8320 * odd);
        }
    }
    !sum
}

/// A small PNG that says it has 50,000 x 50,000 pixels.
fn bomb() -> Vec<u8> {
    let mut bytes = drawn();
    bytes[16..20].copy_from_slice(&50_000_u32.to_be_bytes());
    bytes[20..24].copy_from_slice(&50_000_u32.to_be_bytes());
    let sum = crc(&bytes[12..29]);
    bytes[29..33].copy_from_slice(&sum.to_be_bytes());
    bytes
}

/// Land and a find on it.
fn farm(served: &Served) {
    let holding = [
        ("id", "NETHERFOLD"),
        ("name", "Netherfold Farm"),
        ("owner", "Ann Orchard"),
        ("country", "England"),
    ];
    assert_eq!(
        served.post("/land", "/land", &holding).onward(),
        "/land/NETHERFOLD"
    );
    let field = [
        ("id", "LONGACRE"),
        ("name", "Long Acre"),
        ("parent", "NETHERFOLD"),
        ("squares", "SP 1234, SP 1235"),
    ];
    assert_eq!(
        served.post("/land", "/land", &field).onward(),
        "/land/LONGACRE"
    );
}

fn keep(served: &Served, more: &[(&str, &str)]) -> String {
    let fields = [
        &[("words", "silver, 17 mm, 1.2 g, long cross, reads EDW R")],
        more,
    ]
    .concat();
    served.post("/keep", "/keep", &fields).onward().to_string()
}

#[test]
fn a_find_goes_its_whole_way_without_script() {
    let served = Served::new();
    assert!(served.page("/tray").contains("Nothing is kept yet"));
    farm(&served);
    // Described at the bench and kept from there.
    let words = "silver, 17 mm, 1.2 g, long cross, reads EDW R";
    let bench = served.page("/?words=silver%2C+17+mm%2C+1.2+g%2C+long+cross%2C+reads+EDW+R");
    assert!(bench.contains("action=\"/keep\""), "{bench}");
    let fields = [
        ("words", words),
        ("land", "LONGACRE"),
        ("found", "2026-03-10"),
        ("at", "SP 1234 3456"),
        ("id", "LA-1"),
        ("finder", "Ben Hedge"),
        ("storage", "box 3"),
    ];
    let find = served.post("/keep", "/keep", &fields);
    assert_eq!(find.onward(), "/find/LA-1");
    let page = served.page("/find/LA-1");
    for said in [
        "Edward I",
        "SP 1234 3456",
        "Long Acre",
        "Ben Hedge",
        "last day",
        "24 March 2026",
    ] {
        assert!(page.contains(said), "{said}: {page}");
    }
    // Photographed, and measured by three points.
    let photo = drawn();
    let sent = served.send(
        "/find/LA-1",
        "/find/LA-1/photographs",
        &[("view", "obverse")],
        &[("photographs", "../../etc/passwd.png", &photo)],
    );
    assert_eq!(sent.onward(), "/find/LA-1#photographs");
    let small = served.get("/find/LA-1/picture/1/small");
    assert_eq!(small.header("content-type"), Some("image/jpeg"));
    assert_eq!(small.body[..2], [0xff, 0xd8]);
    assert!(
        served
            .page("/tray")
            .contains("/find/LA-1/picture/first/small")
    );
    let step = served.page("/find/LA-1/measure/1");
    assert!(
        step.contains("type=\"image\"") && step.contains("width=\"320\""),
        "{step}"
    );
    let near = served.page("/find/LA-1/measure/1?near.x=40&near.y=195");
    assert!(near.contains("name=\"part\""), "{near}");
    let clicked = served.get("/find/LA-1/measure/1?part=60,430&at.x=107&at.y=120");
    assert_eq!(clicked.onward(), "/find/LA-1/measure/1?a=105%2C480");
    let points = "a=100%2C487&b=700%2C487&c=400%2C250&length=60";
    let measured = served.page(&format!("/find/LA-1/measure/1?{points}"));
    let value = measured.split("name=\"diameter\" value=\"").nth(1);
    let value = value
        .and_then(|after| after.split('"').next())
        .expect("a diameter");
    let mm: f64 = value.parse().expect("a number");
    assert!((mm - 20.0).abs() < 0.3, "{mm}");
    let kept = served.post("/find/LA-1", "/find/LA-1/measured", &[("diameter", value)]);
    assert_eq!(kept.onward(), "/find/LA-1#facts");
    assert!(served.page("/find/LA-1").contains(&format!("{value} mm")));
    let plate = served.get("/find/LA-1/plate.png");
    assert_eq!(plate.header("content-type"), Some("image/png"));
    the_rest_of_the_way(&served);
}

/// Confirmed, sent to the officer, drafted, asked of the law, undone, backed up.
fn the_rest_of_the_way(served: &Served) {
    let said = [
        ("by", "officer"),
        ("reference", "letter of 2 April"),
        ("on", "2026-03-13"),
    ];
    served
        .post("/find/LA-1", "/find/LA-1/confirm", &said)
        .onward();
    let book = served.post("/find/LA-1", "/find/LA-1/confirm", &[("by", "book")]);
    assert_eq!(book.status, 422);
    assert!(
        book.text().contains("aria-invalid=\"true\""),
        "{}",
        book.text()
    );
    let went = [
        ("status", "with-officer"),
        ("day", "2026-03-12"),
        ("note", "Finds day"),
    ];
    served
        .post("/find/LA-1", "/find/LA-1/status", &went)
        .onward();
    served
        .post(
            "/find/LA-1",
            "/find/LA-1/tags",
            &[("tag", "long cross, plough")],
        )
        .onward();
    let page = served.page("/find/LA-1");
    assert!(
        page.contains("confirmed by the recording officer"),
        "{page}"
    );
    assert!(
        page.contains("Finds day") && page.contains("plough"),
        "{page}"
    );
    let draft = served.page("/find/LA-1/record");
    assert!(
        draft.contains("SP 12 34") && !draft.contains("SP 1234 3456"),
        "{draft}"
    );
    assert!(
        !draft.contains("Ben Hedge") && !draft.contains("Orchard"),
        "{draft}"
    );
    let exact = served.page("/find/LA-1/record?square=exact&names=yes");
    assert!(
        exact.contains("SP 1234 3456") && exact.contains("Ben Hedge"),
        "{exact}"
    );
    let text = served.get("/find/LA-1/record/text");
    assert!(text.text().contains("Edward I") && !text.text().contains("Hedge"));
    assert!(served.get("/find/LA-1/record/pack").body.starts_with(b"PK"));
    let law = served.page("/law?find=LA-1");
    assert!(
        law.contains("which is no ruling") && law.contains("24 March 2026"),
        "{law}"
    );
    // Changed, and taken back.
    let page = served.get("/find/LA-1/edit").text();
    let changed = page.split("name=\"changed\" value=\"").nth(1);
    let changed = changed
        .and_then(|after| after.split('"').next())
        .expect("a time");
    let fields = [
        ("changed", changed),
        ("id", "LA-2"),
        ("words", "silver, 18 mm"),
        ("storage", "box 4"),
    ];
    let edited = served.post("/find/LA-1/edit", "/find/LA-1/edit", &fields);
    assert_eq!(edited.onward(), "/find/LA-2");
    assert_eq!(served.get("/find/LA-1").status, 404);
    let history = served.page("/history");
    let act = history.split("name=\"act\" value=\"").nth(1);
    let act = act
        .and_then(|after| after.split('"').next())
        .expect("an act");
    // Number, words, storage and the tags that were blank in the form: one act.
    let fields = [("act", act), ("back", "/history")];
    assert_eq!(
        served.post("/history", "/undo", &fields).onward(),
        "/history"
    );
    let page = served.page("/find/LA-1");
    assert!(page.contains("box 3") && page.contains("plough"), "{page}");
    let backup = served.get("/backup.zip");
    assert_eq!(backup.header("content-type"), Some("application/zip"));
    let name = backup.header("content-disposition").unwrap_or_default();
    assert!(name.contains("shelf-2026-03-14.zip"), "{name}");
    assert!(backup.body.starts_with(b"PK") && backup.body.len() > 20_000);
    let shared = served.get("/export.zip");
    assert!(shared.body.starts_with(b"PK"));
    let removed = served.post("/find/LA-1", "/find/LA-1/remove", &[]);
    assert_eq!(removed.onward(), "/history");
    assert_eq!(served.get("/find/LA-1").status, 404);
}

#[test]
fn a_backup_of_the_pages_comes_back() {
    let served = Served::new();
    keep(&served, &[("id", "LA-1")]);
    let backup = served.get("/backup.zip");
    let file = served.folder().join("back.zip");
    std::fs::write(&file, &backup.body).expect("the file is written");
    let place = served.folder().join("again");
    let mut door = super::kit::command();
    door.arg("restore").arg(&file).arg("--shelf").arg(&place);
    let ended = door.output().expect("the program runs");
    assert!(
        ended.status.success(),
        "{}",
        String::from_utf8_lossy(&ended.stderr)
    );
}

#[test]
fn things_are_kept_as_things() {
    let served = Served::new();
    let words = [(
        "words",
        "copper alloy buckle frame, double loop, 40 mm long",
    )];
    let find = served.post("/keep", "/keep", &words).onward().to_string();
    let page = served.page(&find);
    assert!(
        page.contains("No coin") && page.contains("Buckle"),
        "{page}"
    );
    assert!(served.page("/tray?kind=artefact").contains("Buckle"));
    assert!(
        served
            .page("/tray?kind=coin")
            .contains("No find is like this")
    );
}

#[test]
fn land_is_kept_with_what_to_heed() {
    let served = Served::new();
    farm(&served);
    assert!(served.page("/land").contains("no leave is kept"));
    let leave = [
        ("given-by", "Ann Orchard"),
        ("from", "2025-01-01"),
        ("to", "2025-12-31"),
        ("split", "half each"),
    ];
    let sent = served.send("/land/LONGACRE", "/land/LONGACRE/leave", &leave, &[]);
    assert_eq!(sent.onward(), "/land/LONGACRE");
    let page = served.page("/land/LONGACRE");
    assert!(
        page.contains("leave has lapsed") && page.contains("half each"),
        "{page}"
    );
    assert!(!page.contains("lynchet land"), "{page}");
    let marked = [
        ("what", "restriction"),
        ("kind", "protected"),
        ("note", "ring ditch"),
    ];
    served
        .post("/land/LONGACRE", "/land/LONGACRE/keep", &marked)
        .onward();
    assert!(served.page("/land/LONGACRE").contains("Monuments"));
    let bad = [
        ("what", "day"),
        ("day", "2026-02-31"),
        ("hours", "4"),
        ("text", "kept as typed"),
    ];
    let refused = served.post("/land/LONGACRE", "/land/LONGACRE/keep", &bad);
    assert_eq!(refused.status, 422);
    let text = refused.text();
    assert!(
        text.contains("kept as typed") && text.contains("2026-02-31"),
        "{text}"
    );
    keep(
        &served,
        &[
            ("id", "LA-1"),
            ("land", "LONGACRE"),
            ("at", "SP 1234 3456"),
            ("found", "2026-03-10"),
        ],
    );
    let statement = served.page("/land/LONGACRE/statement");
    assert!(
        statement.contains("SP 12 34") && !statement.contains("SP 1234 3456"),
        "{statement}"
    );
    let exact = served.page("/land/LONGACRE/statement?square=exact");
    assert!(exact.contains("SP 1234 3456"));
    // Land that finds are of is not taken away.
    let fields = [("sure", "yes")];
    let refused = served.post("/land/LONGACRE", "/land/LONGACRE/remove", &fields);
    assert_eq!(refused.status, 422);
    let map = served.page("/tray/map");
    assert!(map.contains(">SP</a>: 1"), "{map}");
    let near = served.page("/tray/map?e=412000&n=234000&side=1000");
    assert!(near.contains("known to a square of 10 m"), "{near}");
}

#[test]
fn the_law_says_what_the_command_line_says() {
    let served = Served::new();
    let now = served
        .page("/law?asked=yes&piece=2+silver+pennies%2C+1279&same-find=hole&found=2026-03-10");
    assert!(
        now.contains("Report it now") && now.contains("24 March 2026"),
        "{now}"
    );
    let wrong =
        served.get("/law?asked=yes&piece=2+silver+pennies%2C+1279&found=2026-03-40&same-find=heap");
    assert_eq!(wrong.status, 422);
    assert!(wrong.text().contains("2026-03-40"), "{}", wrong.text());
    let empty = served.get("/law?asked=yes");
    assert_eq!(empty.status, 422);
}

#[test]
fn a_group_is_read_together() {
    let served = Served::new();
    let pieces = "18 radiates of Tetricus I\n13 radiates of Victorinus\npot, pottery";
    let read = served.post("/hoard", "/hoard", &[("asked", "yes"), ("pieces", pieces)]);
    assert_eq!(read.status, 200);
    let text = read.text();
    assert!(
        text.contains("Group of 32") && text.contains("Report it now"),
        "{text}"
    );
    assert!(text.contains("<svg") && !text.contains("<style"), "{text}");
    for place in 1..=2 {
        let id = format!("G-{place}");
        keep(&served, &[("id", &id), ("group", "pit 1")]);
    }
    let group = served.page("/hoard?group=pit+1");
    assert!(group.contains("Group of 2"), "{group}");
    // What names a file is a piece and no file.
    let file = [("asked", "yes"), ("pieces", "/etc/passwd")];
    let refused = served.post("/hoard", "/hoard", &file);
    assert_eq!(refused.status, 422);
    assert!(!refused.text().contains("root:"), "{}", refused.text());
    let refused = served.post(
        "/hoard",
        "/hoard",
        &[("asked", "yes"), ("pieces", "zzz qqq")],
    );
    assert!(refused.text().contains("zzz qqq"));
}

#[test]
fn guests_see_no_places_people_or_forms() {
    let shelf = tempfile::TempDir::new().expect("a temporary folder");
    {
        let served = Served::with(Some(&shelf.path().join("shelf")), &[]);
        farm(&served);
        let fields = [
            ("id", "LONGACRE-7"),
            ("land", "LONGACRE"),
            ("at", "SP 1234 3456"),
            ("finder", "Ben Hedge"),
            ("storage", "cellar shelf"),
            ("notes", "by the old oak"),
            ("tags", "secret spot"),
            ("group", "oak pit"),
        ];
        keep(&served, &fields);
        let photo = drawn();
        let files: &[(&str, &str, &[u8])] = &[("photographs", "a.png", &photo)];
        let view = [("view", "in the ground")];
        let path = "/find/LONGACRE-7/photographs";
        served.send("/find/LONGACRE-7", path, &view, files).onward();
        let said = [("by", "self"), ("as", "the old oak coin of Long Acre")];
        served
            .post("/find/LONGACRE-7", "/find/LONGACRE-7/confirm", &said)
            .onward();
    }
    let more = ["--home-network", "--address", "127.0.0.2", "--guests"];
    let served = Served::with(Some(&shelf.path().join("shelf")), &more);
    let pass = served.told["guest_pass"].as_str().expect("a guest's pass");
    let cookie = served.ask(&Ask::post("/enter").form(&[("pass", pass)]));
    let cookie = cookie.cookie().expect("let in").to_string();
    let get = |path: &str| served.ask(&Ask::get(path).header("Cookie", &cookie));
    for path in [
        "/tray",
        "/find/~1",
        "/law",
        "/tray?words=oak",
        "/tray?land=LONGACRE",
        "/charts",
        "/charts?land=LONGACRE&words=oak",
    ] {
        let answer = get(path);
        assert_eq!(answer.status, 200, "{path}");
        let text = answer.text();
        for hidden in [
            "LONGACRE",
            "Long Acre",
            "SP 12",
            "Hedge",
            "Orchard",
            "cellar",
            "old oak",
            "secret",
            "oak pit",
            "method=\"post\"",
            "/picture/",
        ] {
            assert!(!text.contains(hidden), "{path} tells {hidden}: {text}");
        }
    }
    for path in [
        "/find/LONGACRE-7",
        "/find/~1/picture/1/small",
        "/find/~1/picture/first/small",
    ] {
        assert_eq!(get(path).status, 404, "{path}");
    }
    for path in [
        "/land",
        "/land/LONGACRE",
        "/keep",
        "/history",
        "/backup.zip",
        "/export.zip",
        "/tray/map",
        "/tray/pack.zip",
        "/labels",
        "/labels.pdf",
        "/find/~1/record",
        "/find/~1/edit",
        "/find/~1/measure/1",
        "/find/~1/plate.png",
        "/hoard",
    ] {
        assert_eq!(get(path).status, 403, "{path}");
    }
}

#[test]
fn script_in_any_field_stays_text() {
    let served = Served::new();
    farm(&served);
    let script = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>";
    let names = [
        "words",
        "group",
        "finder",
        "storage",
        "official-number",
        "notes",
        "tags",
        "opinion",
        "region",
        "obverse-legend",
        "motif",
        "found-with",
    ];
    let mut fields: Vec<(&str, &str)> = names.map(|name| (name, script)).to_vec();
    fields.push(("id", "S<script>1"));
    let find = served.post("/keep", "/keep", &fields);
    let find = find.onward().to_string();
    let said = [("by", "book"), ("reference", script), ("as", script)];
    served
        .post(&find, &format!("{find}/confirm"), &said)
        .onward();
    let went = [("status", "sold-to-owner"), ("note", script)];
    served
        .post(&find, &format!("{find}/status"), &went)
        .onward();
    let photo = drawn();
    let view = [("view", script)];
    let files: &[(&str, &str, &[u8])] = &[("photographs", "a.png", &photo)];
    served
        .send(&find, &format!("{find}/photographs"), &view, files)
        .onward();
    for what in ["note", "person", "restriction", "day", "boundary"] {
        let fields = [
            ("what", what),
            ("note", script),
            ("source", script),
            ("name", script),
            ("contact", script),
            ("role", "owner"),
            ("kind", "other"),
            ("day", "2026-03-01"),
            ("who", script),
            ("text", script),
            ("squares", script),
        ];
        served.post("/land/LONGACRE", "/land/LONGACRE/keep", &fields);
    }
    let leave = [("given-by", script), ("terms", script), ("split", script)];
    served
        .send("/land/LONGACRE", "/land/LONGACRE/leave", &leave, &[])
        .onward();
    let query = "%3Cscript%3Ealert(1)%3C%2Fscript%3E%22'%3E";
    let paths = [
        find.clone(),
        format!("{find}/edit"),
        format!("{find}/record"),
        format!("{find}/remove"),
        format!("{find}/measure/1?a={query}&b=1,1&c=1,1&length={query}"),
        "/tray".into(),
        format!("/tray?words={query}&group={query}&tag={query}&metal={query}&period={query}"),
        "/tray/map".into(),
        "/history".into(),
        "/land".into(),
        "/land/LONGACRE".into(),
        "/land/LONGACRE/statement".into(),
        format!("/law?asked=yes&piece={query}&words={query}&made={query}"),
        format!("/hoard?group={query}"),
        format!("/keep?words={query}&found={query}"),
    ];
    for path in paths {
        let text = served.get(&path).text();
        assert!(!text.contains("<script>alert"), "{path}: {text}");
        assert!(!text.contains("<img src=x"), "{path}: {text}");
    }
}

#[test]
fn nothing_but_pictures_is_kept_or_served_as_one() {
    let served = Served::new();
    keep(&served, &[("id", "LA-1")]);
    let svg = b"<svg xmlns=\"http://www.w3.org/2000/svg\"><script>alert(1)</script></svg>".to_vec();
    let html = b"<!doctype html><script>alert(1)</script>".to_vec();
    let mut both = drawn();
    both.truncate(400);
    both.extend(&html);
    let cases = [
        ("a.svg", svg),
        ("a.jpg", html),
        ("cut.png", both),
        ("bomb.png", bomb()),
        ("empty.png", Vec::new()),
    ];
    for (name, bytes) in cases {
        let files: &[(&str, &str, &[u8])] = &[("photographs", name, &bytes)];
        let sent = served.send("/find/LA-1", "/find/LA-1/photographs", &[], files);
        assert_eq!(sent.status, 422, "{name}");
        assert!(
            sent.text().contains("class=\"refused\""),
            "{name}: {}",
            sent.text()
        );
        assert_eq!(
            served.get("/find/LA-1/picture/1/small").status,
            404,
            "{name}"
        );
    }
    // A picture with a page behind it is made anew from its pixels.
    let mut tail = drawn();
    tail.extend(b"<script>alert(1)</script>");
    let files: &[(&str, &str, &[u8])] = &[("photographs", "tail.png", &tail)];
    let sent = served.send("/find/LA-1", "/find/LA-1/photographs", &[], files);
    if sent.status == 303 {
        let shown = served.get("/find/LA-1/picture/1/large");
        assert_eq!(shown.header("content-type"), Some("image/jpeg"));
        assert_eq!(shown.header("x-content-type-options"), Some("nosniff"));
        assert!(!shown.body.windows(7).any(|seven| seven == b"<script"));
    }
}

#[test]
fn ids_and_paths_lead_nowhere_else() {
    let served = Served::new();
    let ids = ["a/b", "..", "a b & c", "50% off", "é?x=1#y", "~9"];
    for id in ids {
        let find = keep(&served, &[("id", id)]);
        assert!(find.starts_with("/find/") && !find.contains(' '), "{find}");
    }
    let tray = served.page("/tray");
    assert!(
        tray.contains("/find/a%2Fb") && tray.contains("/find/50%25%20off"),
        "{tray}"
    );
    assert_eq!(served.get("/find/a%2Fb").status, 200);
    assert_eq!(served.get("/find/%C3%A9%3Fx%3D1%23y").status, 200);
    for path in [
        "/find/..%2F..%2Fetc%2Fpasswd",
        "/find/LA-1/picture/..%2F1/small",
        "/find/~1/picture/1/huge",
        "/find/~999999999999999999999",
        "/find/~-1",
        "/find/~1/record/..",
        "/land/..%2F..",
    ] {
        let status = served.get(path).status;
        assert!(status == 404 || status == 422, "{path}: {status}");
    }
}

#[test]
fn two_forms_at_once_do_not_undo_one_another() {
    let served = Served::new();
    keep(&served, &[("id", "LA-1")]);
    let page = served.get("/find/LA-1/edit").text();
    let changed = page.split("name=\"changed\" value=\"").nth(1);
    let changed = changed
        .and_then(|after| after.split('"').next())
        .expect("a time");
    // Another page changes it: the clock of the tests stands still, so the words tell.
    let other = [
        ("changed", changed),
        ("id", "LA-1"),
        ("words", "silver, 18 mm"),
        ("notes", "first"),
    ];
    served
        .post("/find/LA-1/edit", "/find/LA-1/edit", &other)
        .onward();
    let mine = [
        ("changed", "2020-01-01T00:00:00Z"),
        ("id", "LA-1"),
        ("words", "gold"),
        ("notes", "second"),
    ];
    let refused = served.post("/find/LA-1/edit", "/find/LA-1/edit", &mine);
    assert_eq!(refused.status, 422);
    let text = refused.text();
    assert!(
        text.contains("changed meanwhile") && text.contains("second"),
        "{text}"
    );
    assert!(served.page("/find/LA-1").contains("first"));
    let taken = served.post(
        "/keep",
        "/keep",
        &[("id", "LA-1"), ("words", "copper alloy, 20 mm")],
    );
    assert_eq!(taken.status, 422);
    assert!(taken.text().contains("copper alloy, 20 mm"));
    // A find that is gone.
    let token = served.get("/find/LA-1").token();
    served.post("/find/LA-1", "/find/LA-1/remove", &[]).onward();
    for path in [
        "confirm", "status", "tags", "edit", "remove", "again", "measured",
    ] {
        let form = [
            ("token", token.as_str()),
            ("by", "self"),
            ("status", "given"),
        ];
        let answer = served.ask(&Ask::post(&format!("/find/LA-1/{path}")).form(&form));
        assert_eq!(answer.status, 404, "{path}: {}", answer.text());
    }
}

#[test]
fn pages_of_the_tray_and_filters_hold_together() {
    let served = Served::new();
    for place in 1..=50 {
        let id = format!("N-{place:02}");
        let metal = if place % 2 == 0 { "silver" } else { "lead" };
        let fields = [
            ("id", id.as_str()),
            ("words", "flan"),
            ("metal", metal),
            ("kind", "coin"),
        ];
        served.post("/keep", "/keep", &fields).onward();
    }
    let first = served.page("/tray?order=id");
    assert!(
        first.contains("1 to 48 of 50") && first.contains("Page 1 of 2"),
        "{first}"
    );
    let second = served.page("/tray?order=id&page=2");
    assert!(
        second.contains("N-50") && !second.contains("N-01"),
        "{second}"
    );
    assert!(served.page("/tray?page=99999999").contains("Page 2 of 2"));
    assert!(served.page("/tray?metal=lead").contains("25 finds"));
    assert!(
        served
            .page("/tray?confirmed=yes")
            .contains("No find is like this")
    );
    assert!(served.page("/tray?words=N-07").contains("N-07"));
    let wrong = served.get("/tray?from=soon");
    assert_eq!(wrong.status, 422);
    assert!(wrong.text().contains("soon"));
}
