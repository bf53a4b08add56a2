//! The bench: describe a find and see what it may be, how sure that is, and why.
//!
//! Everything that was said stands in the address, so that a page can be kept, gone back to and
//! reached without script. Judges nothing itself and keeps nothing.
//!
//! Invariant: with script and without, the same words give the same answer.

mod answer;

use maud::{Markup, html};

use super::asked::Asked;
use super::desk::Desk;
use super::page::Place;
use super::reply::Reply;
use super::routes::{Route, open};
use crate::parse;

/// The addresses of the bench.
pub(super) const ROUTES: [Route; 1] = [open("/", bench)];

fn bench(desk: &Desk, asked: &Asked) -> Reply {
    let words = asked.query.get("words").unwrap_or_default();
    let answer = (!words.is_empty()).then(|| heard(desk, words));
    if asked.part {
        return Reply::Part(html! { @if let Some(answer) = answer { (answer) } });
    }
    Reply::Page {
        place: Place::Bench,
        title: "Bench".into(),
        body: html! {
            h1 { "What have you found?" }
            form.describe method="get" action="/" data-live="answer" {
                label for="words" { "Say what you see, measure and read" }
                textarea id="words" name="words" rows="3" maxlength="4000" autocapitalize="none"
                    aria-describedby="words-how" { (words) }
                p.how id="words-how" {
                    "For example: silver, 17 mm, 1.2 g, long cross, reads EDW R. Leave out what you do not know."
                }
                button { "What is it?" }
            }
            section id="answer" aria-live="polite" aria-label="Answer" {
                @if let Some(answer) = answer { (answer) }
            }
        },
    }
}

fn heard(desk: &Desk, words: &str) -> Markup {
    let (find, remarks) = parse::words(words, &desk.house.lexicon);
    answer::coin(desk, &find, &remarks)
}
