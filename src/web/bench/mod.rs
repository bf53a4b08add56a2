//! The bench: describe a find and see what it may be, how sure that is, and why.
//!
//! Everything that was said stands in the address, so that a page can be kept, gone back to and
//! reached without script. Judges nothing itself and keeps nothing.
//!
//! Invariant: with script and without, the same words give the same answer.

mod answer;
mod candidates;
mod form;
mod laid;
mod line;
mod looks;
mod own;
pub(super) mod pictures;
pub(super) mod said;
mod thing;

use maud::html;

pub(super) use form::described;
pub(super) use own::{LAND, WITHOUT};
pub(super) use said::SCALE;

use super::asked::Asked;
use super::desk::Desk;
use super::page::Place;
use super::reply::Reply;
use super::routes::{Route, open};

/// The addresses of the bench.
pub(super) const ROUTES: [Route; 3] = [
    open("/", bench),
    open("/pictures", pictures::pictures),
    open("/drawing/{kind}/{id}", pictures::file),
];

fn bench(desk: &Desk, asked: &Asked) -> Reply {
    let blank = form::described(&asked.query).iter().next().is_none();
    let own = own::Own::of(desk, asked, !blank);
    let answer = (!blank).then(|| answer::answer(desk, asked, &own));
    if asked.part {
        return Reply::Part(html! { @if let Some(answer) = answer { (answer) } });
    }
    Reply::Page {
        place: Place::Bench,
        title: "Bench".into(),
        body: html! {
            h1 { "What have you found?" }
            (form::form(&asked.query, &own))
            p.unseen role="status" id="headline" {}
            section id="answer" aria-label="Answer" {
                @match answer {
                    Some(answer) => { (answer) },
                    None => { (waiting()) },
                }
            }
        },
    }
}

/// What stands where the answer will be.
fn waiting() -> maud::Markup {
    html! {
        div.waiting {
            p { "The answer comes here: what it may be, how sure that is, why, and what to look at next." }
            p { a href="/help" { "How to measure a find" } " without harm to it. " a href="/library" { "Look through the library" } "." }
        }
    }
}
