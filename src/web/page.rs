//! What all pages have around them: head, way about, cautions at the foot; faults; the way in.
//!
//! Shows and asks nothing of the shelf or the library.
//!
//! Invariant: text of a visitor is only ever put in as text; every page has one `main` and one `h1`.

use std::time::Instant;

use maud::{DOCTYPE, Markup, html};

use super::asked::Asked;
use super::desk::Desk;
use super::guard::Visitor;
use super::looks;
use super::reply::{Fault, Reply};

/// A part of the house.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// Describe a find and see what it is.
    Bench,
    /// What is kept.
    Tray,
    /// Whose land, with whose leave.
    Land,
    /// What the law asks.
    Law,
    /// The types.
    Library,
    /// How to measure, words.
    Help,
    /// None of them.
    Elsewhere,
}

impl Place {
    /// The parts of the way about, in order, each with its address.
    const WAY: [(Place, &'static str, &'static str); 6] = [
        (Place::Bench, "/", "Bench"),
        (Place::Tray, "/tray", "Tray"),
        (Place::Land, "/land", "Land"),
        (Place::Law, "/law", "Law"),
        (Place::Library, "/library", "Library"),
        (Place::Help, "/help", "Help"),
    ];
}

/// A whole page as a browser takes it.
pub(super) fn whole(place: Place, title: &str, body: &Markup, visitor: Option<&Visitor>) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en-GB" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) " · Lynchet" }
                link rel="stylesheet" href=(looks::address("style.css"));
                link rel="icon" type="image/svg+xml" href=(looks::address("mark.svg"));
                script src=(looks::address("bench.js")) defer {}
                script src=(looks::address("size.js")) defer {}
            }
            body {
                a.skip href="#main" { "To the page itself" }
                header.top {
                    a.house href="/" {
                        img src=(looks::address("mark.svg")) alt="" width="28" height="28";
                        span { "Lynchet" }
                    }
                    @if let Some(visitor) = visitor {
                        nav aria-label="Way about" {
                            ul {
                                @for (part, address, name) in Place::WAY {
                                    li {
                                        a href=(address) aria-current=[(part == place).then_some("page")] { (name) }
                                    }
                                }
                            }
                        }
                        @if visitor.guest { p.guest { "Guest view: findspots, owners and finders are not shown." } }
                    }
                }
                main id="main" tabindex="-1" { (body) }
                footer.foot {
                    p {
                        "A find may be treasure in law: "
                        a href="/law" { "what to do and by when" }
                        ". Stop and keep away from anything that may explode; wash hands after lead; "
                        "leave human remains where they are and call the police. Do not clean a find."
                    }
                }
            }
        }
    };
    page.into_string()
}

/// The field with the visitor's token that every form of a change has.
pub(super) fn token(visitor: &Visitor) -> Markup {
    html! { input type="hidden" name="token" value=(visitor.token); }
}

/// A fault as the body of a page.
pub(super) fn fault(fault: &Fault) -> Markup {
    html! {
        h1 { "That did not go" }
        p { (sentence(&fault.what)) }
        p { (sentence(&fault.mend)) }
        p { a href="/" { "To the bench" } }
    }
}

/// A message as a sentence: its first letter raised, its end stopped.
pub(super) fn sentence(text: &str) -> String {
    let stop = if text.ends_with(['.', '!', '?']) {
        ""
    } else {
        "."
    };
    raised(text) + stop
}

/// A text with its first letter raised.
pub(super) fn raised(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    format!("{}{}", first.unwrap_or_default(), letters.as_str())
}

/// Asks for the pass phrase.
pub(super) fn enter(_: &Desk, _: &Asked) -> Reply {
    Reply::Page {
        place: Place::Elsewhere,
        title: "Come in".into(),
        body: html! {
            h1 { "Come in" }
            p { "Whoever serves these pages has a pass phrase for you." }
            form.stack method="post" action="/enter" {
                label for="pass" { "Pass phrase" }
                input id="pass" name="pass" type="password" autocomplete="current-password" required autofocus;
                button { "Enter" }
            }
        },
    }
}

/// Lets a visitor in.
pub(super) fn entered(desk: &Desk, asked: &Asked) -> Reply {
    let pass = asked.form.get("pass").unwrap_or_default();
    match desk.guard.let_in(pass, Instant::now()) {
        Ok(cookie) => Reply::LetIn(cookie),
        Err(fault) => fault.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_visitors_text_stays_text() {
        let title = "<script>alert(1)</script>";
        let body = html! { h1 { (title) } };
        let page = whole(Place::Bench, title, &body, Some(&Visitor::default()));
        assert!(!page.contains("<script>alert"), "{page}");
        assert_eq!(page.matches("&lt;script&gt;alert(1)").count(), 2);
    }

    #[test]
    fn messages_become_sentences() {
        assert_eq!(sentence("there is no such page"), "There is no such page.");
        assert_eq!(sentence("Done!"), "Done!");
        assert_eq!(sentence(""), ".");
    }
}
