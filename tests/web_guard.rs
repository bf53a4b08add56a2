//! The guard of the pages over the real door: other names, other sites, missing tokens, strange
//! paths, too much of everything.
//!
//! What a browser would never send is sent as bytes.
//!
//! Invariant: whatever is sent, the server answers the next visitor.

use super::kit::http::{Ask, Served};

#[test]
fn a_page_is_served_and_other_names_are_not() {
    let served = Served::new();
    assert!(served.page("/").contains("What have you found?"));
    let port = served
        .host()
        .split(':')
        .next_back()
        .unwrap_or_default()
        .to_string();
    let local = Ask::get("/").header("Host", &format!("localhost:{port}"));
    assert_eq!(served.ask(&local).status, 200);
    for host in [
        "evil.example",
        &format!("evil.example:{port}"),
        "",
        "127.0.0.1",
    ] {
        let answer = served.ask(&Ask::get("/").header("Host", host));
        assert_eq!(answer.status, 421, "{host:?}");
    }
}
