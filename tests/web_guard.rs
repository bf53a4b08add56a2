//! The guard of the pages over the real door: other names, other sites, missing tokens, strange
//! paths, too much of everything, silence.
//!
//! What a browser would never send is sent as bytes. What the answers must carry is after the
//! Content Security Policy (W3C, Level 3), Fetch (WHATWG: `X-Content-Type-Options`, `Origin`) and
//! RFC 9110 (statuses, methods), from memory.
//!
//! Invariant: whatever is sent, nothing is kept and the server answers the next visitor.

use std::io::{Read, Write};
use std::net::TcpStream;

use lynchet::web::addresses;

use super::kit::http::{Answer, Ask, Served};
use super::kit::samples;

/// The addresses that change something, their parts filled in.
fn changes() -> Vec<String> {
    let all = addresses().into_iter().filter(|address| address.changes);
    let paths: Vec<String> = all.map(|address| filled(address.path)).collect();
    assert!(paths.contains(&"/enter".to_string()));
    paths
}

/// A path with something for each part in braces.
fn filled(path: &str) -> String {
    let parts = path.split('/').map(|part| match part.starts_with('{') {
        true => "F1",
        false => part,
    });
    parts.collect::<Vec<_>>().join("/")
}

/// The server is as it was: it answers, and no shelf was made.
fn unharmed(served: &Served) {
    assert_eq!(served.get("/help").status, 200);
    assert!(!served.shelf().exists(), "a shelf was made");
}

/// What an answer must carry, a refusal too.
fn guarded(answer: &Answer, told: &str) {
    let policy = answer.header("content-security-policy").unwrap_or_default();
    for part in [
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    ] {
        assert!(policy.contains(part), "{told}: {policy}");
    }
    assert!(
        !policy.contains("unsafe") && !policy.contains("data:"),
        "{told}"
    );
    assert_eq!(
        answer.header("x-content-type-options"),
        Some("nosniff"),
        "{told}"
    );
    assert_eq!(
        answer.header("referrer-policy"),
        Some("same-origin"),
        "{told}"
    );
    assert_eq!(answer.header("x-frame-options"), Some("DENY"), "{told}");
    assert_eq!(
        answer.header("cross-origin-resource-policy"),
        Some("same-origin"),
        "{told}"
    );
    assert_eq!(answer.header("access-control-allow-origin"), None, "{told}");
    let kept = answer.header("cache-control").unwrap_or_default();
    let lasting = kept == "private, max-age=31536000, immutable";
    assert!(
        kept == "no-store" || lasting && answer.status == 200,
        "{told}: {kept}"
    );
}

#[test]
fn other_names_are_refused() {
    let served = Served::new();
    assert!(served.page("/").contains("What have you found?"));
    let host = served.host();
    let port = host.split(':').next_back().unwrap_or_default();
    let local = Ask::get("/").header("Host", &format!("localhost:{port}"));
    assert_eq!(served.ask(&local).status, 200);
    let strange = [
        "evil.example".to_string(),
        format!("evil.example:{port}"),
        format!("127.0.0.1.evil.example:{port}"),
        format!("127.0.0.1:{port}.evil.example"),
        format!("0.0.0.0:{port}"),
        "127.0.0.1".to_string(),
        "127.0.0.1:1".to_string(),
        String::new(),
    ];
    for name in &strange {
        for ask in [
            Ask::get("/"),
            Ask::get("/looks/style.css"),
            Ask::post("/enter").form(&[]),
        ] {
            let answer = served.ask(&ask.header("Host", name));
            assert_eq!(answer.status, 421, "{name:?}");
            guarded(&answer, name);
            assert!(!answer.text().contains("token"), "{name:?}");
        }
    }
    let none = served.ask(&Ask::get("/").without("Host"));
    assert_eq!(none.status, 421);
    let two = Ask::get("/")
        .header("Host", &host)
        .header("Host", "evil.example");
    assert!([400, 421].contains(&served.ask(&two).status));
    // A whole address in the first line names the host as well (RFC 9112, 3.2.2).
    let whole = Ask::get("http://evil.example/").header("Host", &host);
    let answer = served.ask(&whole);
    assert!(answer.status == 421 || answer.text().contains("What have you found?"));
    unharmed(&served);
}

#[test]
fn no_change_is_made_for_another_site() {
    let served = Served::new();
    let host = served.host();
    let foreign = [
        None,
        Some("null".to_string()),
        Some("http://evil.example".to_string()),
        Some(format!("https://{host}")),
        Some(format!("http://{host}.evil.example")),
        Some(format!("http://{host}@evil.example")),
        Some("http://127.0.0.1".to_string()),
        Some(String::new()),
    ];
    for path in changes() {
        for origin in &foreign {
            let ask = Ask::post(&path).form(&[("token", "x")]);
            let ask = match origin {
                None => ask.without("Origin"),
                Some(origin) => ask.header("Origin", origin),
            };
            for ask in [ask.clone().header("Sec-Fetch-Site", "cross-site"), ask] {
                let answer = served.ask(&ask);
                assert_eq!(answer.status, 403, "{path} from {origin:?}");
                guarded(&answer, &path);
            }
        }
        let own = format!("http://{host}");
        let two = Ask::post(&path).form(&[]).header("Origin", &own);
        let two = served.ask(&two.header("Origin", "http://evil.example"));
        assert_eq!(two.status, 403, "{path} from two");
    }
    unharmed(&served);
}

#[test]
fn another_site_may_lead_here_and_no_more() {
    let served = Served::new();
    let from = |site: &str, mode: &str| {
        let ask = Ask::get("/help").header("Sec-Fetch-Site", site);
        served.ask(&ask.header("Sec-Fetch-Mode", mode)).status
    };
    for mode in ["no-cors", "cors", "same-origin", "websocket", ""] {
        assert_eq!(from("cross-site", mode), 403, "{mode}");
        assert_eq!(from("same-site", mode), 403, "{mode}");
        assert_eq!(from("same-origin", mode), 200, "{mode}");
    }
    assert_eq!(from("cross-site", "navigate"), 200);
    assert_eq!(from("none", "navigate"), 200);
}

#[test]
fn no_change_is_made_without_the_token() {
    let served = Served::new();
    for path in changes().iter().filter(|path| *path != "/enter") {
        let with = |token: &str| Ask::post(path).form(&[("token", token), ("words", "penny")]);
        let asks = [
            with(""),
            with("x"),
            with(&"a".repeat(32)),
            Ask::post(path).form(&[]),
            Ask::post(path).files(&[("words", "penny")], &[("photo", "a.png", b"x")]),
            Ask::post(&format!("{path}?token=x")).form(&[("words", "penny")]),
        ];
        for ask in asks {
            let answer = served.ask(&ask);
            assert_eq!(answer.status, 403, "{path}: {}", answer.text());
            guarded(&answer, path);
        }
    }
    unharmed(&served);
}

#[test]
fn forms_of_another_kind_are_not_read() {
    let served = Served::new();
    for path in changes() {
        for kind in [
            "",
            "text/plain",
            "application/json",
            "multipart/form-data",
            "text/html",
        ] {
            let answer = served.ask(&Ask::post(&path).body(kind, "token=x"));
            assert_eq!(answer.status, 415, "{path} as {kind:?}");
            guarded(&answer, &path);
        }
    }
    unharmed(&served);
}

#[test]
fn other_methods_change_nothing() {
    let served = Served::new();
    for path in ["/", "/enter", "/looks/style.css", "/nowhere"] {
        for method in ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "BREW", "get"] {
            let answer = served.ask(&Ask::new(method, path));
            assert!(
                (400..500).contains(&answer.status),
                "{method} {path}: {}",
                answer.status
            );
            guarded(&answer, path);
        }
    }
    assert_eq!(served.ask(&Ask::post("/help").form(&[])).status, 404);
    for path in ["/", "/looks/style.css", "/nowhere"] {
        let (whole, head) = (served.get(path), served.ask(&Ask::new("HEAD", path)));
        assert_eq!((head.status, head.body.len()), (whole.status, 0), "{path}");
        assert_eq!(
            head.header("content-length"),
            whole.header("content-length")
        );
        guarded(&head, path);
    }
    unharmed(&served);
}

#[test]
fn every_answer_carries_the_guards_headers() {
    let served = Served::new();
    for address in addresses().iter().filter(|address| !address.changes) {
        let path = filled(address.path);
        let answer = served.get(&path);
        assert!(answer.status < 500, "{path}: {}", answer.text());
        guarded(&answer, &path);
    }
    guarded(&served.get("/nowhere"), "/nowhere");
    let page = served.page("/");
    let script = page.matches("<script").count();
    assert_eq!(
        script,
        page.matches("<script src=\"/looks/").count(),
        "{page}"
    );
    assert!(
        !page.contains("<style") && !page.contains(" style="),
        "{page}"
    );
}

#[test]
fn paths_lead_nowhere_else() {
    let served = Served::new();
    std::fs::write(served.folder().join("secret"), "a secret of the test").expect("written");
    let far = "../".repeat(12);
    let tricks = [
        "/looks/../../secret".to_string(),
        "/looks/..%2f..%2fsecret".to_string(),
        "/looks/%2e%2e/%2e%2e/secret".to_string(),
        "/looks/..%5c..%5csecret".to_string(),
        format!("/looks/{far}etc/passwd"),
        format!("/looks/{}etc%2fpasswd", far.replace('/', "%2f")),
        format!("/{far}etc/passwd"),
        "/looks/%2fetc%2fpasswd".to_string(),
        "/looks/style.css%00.html".to_string(),
        "/looks/%00".to_string(),
        "/looks/%ff%fe".to_string(),
        "/looks/%".to_string(),
        "/looks/%zz".to_string(),
        "/looks/style.css/".to_string(),
        "//looks/style.css".to_string(),
        "/LOOKS/style.css".to_string(),
        "/looks/".to_string(),
        format!("/looks/{}", "a".repeat(20_000)),
        format!("/{}", "a/".repeat(9_000)),
        "/looks/{name}".to_string(),
        "/;/looks/style.css".to_string(),
    ];
    for path in &tricks {
        let answer = served.get(path);
        let told: String = path.chars().take(60).collect();
        assert!(
            (400..500).contains(&answer.status),
            "{told}: {}",
            answer.status
        );
        guarded(&answer, &told);
        let text = answer.text();
        assert!(
            !text.contains("a secret of the test") && !text.contains("root:"),
            "{told}"
        );
    }
    // Paths that name a thing of the shelf or the library, whatever stands in their place.
    for address in addresses()
        .iter()
        .filter(|one| one.path.contains('{') && !one.changes)
    {
        for part in [
            "..%2f..%2fsecret",
            "%00",
            "%ff",
            "%2e%2e",
            "-1",
            "%F0%9F%92%A9",
            "%3Cscript%3E",
        ] {
            let parts = address
                .path
                .split('/')
                .map(|one| match one.starts_with('{') {
                    true => part,
                    false => one,
                });
            let path = parts.collect::<Vec<_>>().join("/");
            let answer = served.get(&path);
            assert!(
                (300..500).contains(&answer.status),
                "{path}: {}",
                answer.status
            );
            guarded(&answer, &path);
            assert!(!answer.text().contains("a secret of the test"), "{path}");
        }
    }
    unharmed(&served);
}

/// What came back of bytes that no client would send: a status, or none where it was closed.
fn status(served: &Served, bytes: &[u8]) -> Option<u16> {
    Answer::read(&served.raw(bytes)).map(|answer| answer.status)
}

#[test]
fn heads_are_bounded() {
    let served = Served::new();
    let host = served.host();
    let long = "a".repeat(600_000);
    let refused = |bytes: Vec<u8>| {
        let status = status(&served, &bytes);
        assert!(
            status.is_none_or(|status| (400..500).contains(&status)),
            "{status:?}"
        );
        assert_eq!(served.get("/help").status, 200);
    };
    refused(Ask::get(&format!("/{long}")).bytes(&host));
    refused(Ask::get(&format!("/?words={long}")).bytes(&host));
    refused(Ask::get("/").header("X-Long", &long).bytes(&host));
    refused(Ask::get("/").header("Cookie", &long).bytes(&host));
    let many = (0..2_000).fold(Ask::get("/"), |ask, at| ask.header(&format!("x-{at}"), "1"));
    refused(many.bytes(&host));
    for text in [
        "nonsense\r\n\r\n",
        "GET\r\n\r\n",
        "GET / HTTP/9.9\r\n\r\n",
        "GET / HTTP/1.1\r\nHost : x\r\n\r\n",
        "GET /\0 HTTP/1.1\r\nHost: x\r\n\r\n",
        "POST /enter HTTP/1.1\r\nContent-Length: -1\r\n\r\n",
        "POST /enter HTTP/1.1\r\nContent-Length: 5\r\nContent-Length: 6\r\n\r\n",
        "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
    ] {
        refused(text.as_bytes().to_vec());
    }
    refused((0..=255).cycle().take(200_000).collect());
    unharmed(&served);
}

#[test]
fn what_a_request_brings_is_bounded() {
    let served = Served::new();
    let host = served.host();
    let form = "application/x-www-form-urlencoded";
    let big = Ask::post("/enter").body(form, vec![b'a'; 300 * 1024]);
    assert_eq!(served.ask(&big).status, 413);
    // Told to be endless, and told nothing of its length.
    let told = Ask::post("/enter")
        .body(form, "pass=x")
        .header("Content-Length", "99999999999");
    let mut stream = served.connect();
    stream.write_all(&told.bytes(&host)).expect("sent");
    drop(stream);
    let mut chunked = Ask::post("/enter")
        .without("Content-Length")
        .header("Transfer-Encoding", "chunked")
        .header("Content-Type", form)
        .bytes(&host);
    for _ in 0..40 {
        chunked.extend(b"4000\r\n");
        chunked.extend([b'a'; 0x4000]);
        chunked.extend(b"\r\n");
    }
    assert!(status(&served, &chunked).is_none_or(|status| status == 413));
    // A great many fields are only text.
    let fields = Ask::post("/enter").body(form, "a=&".repeat(80_000));
    assert!((400..500).contains(&served.ask(&fields).status));
    unharmed(&served);
}

#[test]
fn forms_with_files_are_bounded() {
    let served = Served::new();
    let names: Vec<String> = (0..1_000).map(|at| format!("field{at}")).collect();
    let many: Vec<(&str, &str)> = names.iter().map(|name| (name.as_str(), "x")).collect();
    assert_eq!(
        served.ask(&Ask::post("/enter").files(&many, &[])).status,
        413
    );
    let big = vec![0; 400 * 1024];
    let one = Ask::post("/enter").files(&[], &[("photo", "a.png", &big)]);
    assert_eq!(served.ask(&one).status, 413);
    let kind = "multipart/form-data; boundary=b";
    let part = "--b\r\nContent-Disposition: form-data; name=\"x\"";
    for body in [
        // No end, no head, a head without end, no name, an end at once, another boundary.
        format!("{part}\r\n\r\ntext"),
        "--b\r\n\r\ntext\r\n--b--\r\n".to_string(),
        format!("{part}{}", "a".repeat(100_000)),
        "--b\r\nContent-Disposition: form-data\r\n\r\ntext\r\n--b--\r\n".to_string(),
        "--b--\r\n".to_string(),
        "--c\r\n\r\n--c--\r\n".to_string(),
        String::new(),
        format!("{}--b--\r\n", format!("{part}\r\n\r\n\r\n").repeat(500)),
    ] {
        let answer = served.ask(&Ask::post("/enter").body(kind, body.clone()));
        let told: String = body.chars().take(60).collect();
        assert!(
            (400..500).contains(&answer.status),
            "{told:?}: {}",
            answer.status
        );
        guarded(&answer, &told);
    }
    unharmed(&served);
}

#[test]
fn silent_visitors_stop_nobody() {
    let served = Served::new();
    let half = b"POST /enter HTTP/1.1\r\nHost: ";
    let silent: Vec<TcpStream> = (0..80)
        .map(|at| {
            let mut stream = served.connect();
            if at % 2 == 0 {
                stream.write_all(half).expect("sent");
            }
            stream
        })
        .collect();
    assert_eq!(served.get("/help").status, 200);
    // An address that holds more than its share is told nothing more, until it lets go.
    let more: Vec<TcpStream> = (0..60).map(|_| served.connect()).collect();
    let closed = more.last().is_some_and(|stream| {
        let mut byte = [0];
        let mut stream = stream;
        !matches!(stream.read(&mut byte), Ok(1))
    });
    assert!(closed);
    drop((silent, more));
    // Each of these is taken after the ones before it were found closed.
    let answered = (0..200).any(|_| {
        let read = served.raw(&Ask::get("/help").bytes(&served.host()));
        Answer::read(&read).is_some_and(|answer| answer.status == 200)
    });
    assert!(answered);
    unharmed(&served);
}

/// Pages for the home network: an address of this machine stands for it.
fn at_home() -> Served {
    Served::with(
        None,
        &["--home-network", "--address", "127.0.0.2", "--guests"],
    )
}

fn told<'s>(served: &'s Served, name: &str) -> &'s str {
    served.told[name].as_str().expect("a phrase")
}

/// Goes in with a phrase: the cookie.
fn enter(served: &Served, pass: &str) -> String {
    let answer = served.ask(&Ask::post("/enter").form(&[("pass", pass)]));
    assert_eq!(answer.onward(), "/");
    let whole = answer.header("set-cookie").expect("a cookie");
    for part in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(whole.contains(part), "{whole}");
    }
    answer.cookie().expect("a cookie").to_string()
}

#[test]
fn nothing_is_shown_before_a_pass_phrase() {
    let served = at_home();
    for address in addresses() {
        let path = filled(address.path);
        let ask = match address.changes {
            true => Ask::post(&path).form(&[("token", "x")]),
            false => Ask::get(&path),
        };
        let bad = ask.clone().header("Cookie", "lynchet-visit=x");
        for answer in [served.ask(&ask), served.ask(&bad)] {
            guarded(&answer, &path);
            match address.path {
                "/enter" | "/looks/{name}" => assert_ne!(answer.status, 303, "{path}"),
                _ => assert_eq!(answer.onward(), "/enter", "{path}"),
            }
        }
    }
    assert_eq!(served.get("/nowhere").onward(), "/enter");
    assert_eq!(served.get("/looks/style.css").status, 200);
    let way_in = served.page("/enter");
    assert!(!way_in.contains("name=\"token\""), "{way_in}");
    unharmed_at_home(&served);
}

fn unharmed_at_home(served: &Served) {
    assert_eq!(served.get("/enter").status, 200);
    assert!(!served.shelf().exists(), "a shelf was made");
}

#[test]
fn a_pass_phrase_lets_in_and_a_guest_changes_nothing() {
    let served = at_home();
    let (finder, guest) = (told(&served, "pass"), told(&served, "guest_pass"));
    assert_ne!(finder, guest);
    let (ours, theirs) = (enter(&served, finder), enter(&served, guest));
    assert_ne!(ours, theirs);
    let asked = |path: &str, cookie: &str| served.ask(&Ask::get(path).header("Cookie", cookie));
    assert_eq!(asked("/", &ours).status, 200);
    assert!(!asked("/", &ours).text().contains("Guest view"));
    assert!(asked("/", &theirs).text().contains("Guest view"));
    let bent = format!("{ours}x");
    assert_eq!(asked("/", &bent).onward(), "/enter");
    assert_eq!(asked("/", &ours.to_uppercase()).onward(), "/enter");
    for address in addresses() {
        let path = filled(address.path);
        if address.changes && address.path != "/enter" {
            let ask = Ask::post(&path)
                .form(&[("token", "x")])
                .header("Cookie", &theirs);
            assert_eq!(served.ask(&ask).status, 403, "{path}");
        } else if !address.changes && !address.guests {
            assert_eq!(asked(&path, &theirs).status, 403, "{path}");
        } else if !address.changes {
            let page = asked(&path, &theirs).text();
            assert!(
                !page.contains("name=\"token\""),
                "{path} offers a guest a change"
            );
        }
    }
    unharmed_at_home(&served);
}

#[test]
fn guests_see_no_findspot_owner_or_place_of_keeping() {
    let home = ["--home-network", "--address", "127.0.0.2", "--guests"];
    let (_folder, served) = samples::filled(&home);
    let ours = enter(&served, told(&served, "pass"));
    let theirs = enter(&served, told(&served, "guest_pass"));
    // Square, its neighbours' name, holding, owner, storage: each as it was said.
    let secret = [
        "SP 1234",
        "SP1234",
        "SP 12 56",
        "Long Acre",
        "LONGACRE",
        "Netherfold",
        "NETHERFOLD",
        "A. Farmer",
        "box 3",
        "half each",
    ];
    let mut shown_to_us = 0;
    for page in samples::pages() {
        let asked = |cookie: &str| served.ask(&Ask::get(page).header("Cookie", cookie)).text();
        let (whole, guarded) = (asked(&ours), asked(&theirs));
        for word in secret {
            shown_to_us += usize::from(whole.contains(word));
            assert!(!guarded.contains(word), "a guest sees {word:?} at {page}");
        }
    }
    assert!(
        shown_to_us > 10,
        "nothing was there to be hidden: {shown_to_us}"
    );
}

#[test]
fn a_shelf_that_goes_away_is_missed_and_none_is_begun() {
    let (folder, served) = samples::filled(&[]);
    assert_eq!(served.get("/find/LA-1").status, 200);
    let token = served.get("/keep").token();
    let (here, away) = (folder.path().join("shelf"), folder.path().join("away"));
    std::fs::rename(&here, &away).expect("moved");
    for page in ["/tray", "/find/LA-1", "/history", "/land"] {
        let answer = served.get(page);
        assert_eq!(answer.status, 409, "{page}: {}", answer.text());
        assert!(answer.text().contains("no longer at"), "{}", answer.text());
    }
    let kept = Ask::post("/keep").form(&[("token", token.as_str()), ("words", "silver penny")]);
    let answer = served.ask(&kept);
    assert_eq!(answer.status, 409, "{}", answer.text());
    assert!(!here.exists(), "a shelf was begun where one is missed");
    std::fs::rename(&away, &here).expect("moved back");
    assert_eq!(served.get("/find/LA-1").status, 200);
}

#[test]
fn guessing_shuts_the_door_but_not_on_those_within() {
    let served = at_home();
    let finder = told(&served, "pass");
    let ours = enter(&served, finder);
    for guess in 0..10 {
        let text = format!("guess-{guess}");
        let answer = served.ask(&Ask::post("/enter").form(&[("pass", &text)]));
        assert_eq!(answer.status, 403, "{guess}");
        assert_eq!(answer.header("set-cookie"), None);
    }
    let shut = served.ask(&Ask::post("/enter").form(&[("pass", finder)]));
    assert_eq!(shut.status, 429);
    assert!(shut.text().contains("five minutes"), "{}", shut.text());
    assert_eq!(
        served.ask(&Ask::get("/").header("Cookie", &ours)).status,
        200
    );
}

#[test]
fn without_the_network_there_is_no_way_in_to_guess_at() {
    let served = Served::new();
    assert!(served.told["pass"].is_null());
    let answer = served.ask(&Ask::post("/enter").form(&[("pass", "x")]));
    assert_eq!(answer.status, 404);
}
