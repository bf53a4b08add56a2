//! Help: how to measure and weigh a find.
//!
//! Text; asks nothing of the shelf or the library.
//!
//! Invariant: nothing here asks anyone to clean or handle a find more than its measures need.

use maud::html;

use super::asked::Asked;
use super::desk::Desk;
use super::page::Place;
use super::reply::Reply;
use super::routes::{Route, open};

/// The addresses of help.
pub(super) const ROUTES: [Route; 1] = [open("/help", help)];

fn help(_: &Desk, _: &Asked) -> Reply {
    Reply::Page {
        place: Place::Help,
        title: "Help".into(),
        body: html! {
            h1 { "How to measure a find" }
            ol {
                li { "Diameter: across the widest and the narrowest part, to a tenth of a millimetre, with callipers or a ruler laid beside it." }
                li { "Weight: on a scale that shows hundredths of a gram, three times, taking the middle one." }
                li { "Letters: write what you can read, in order, [...] where letters are lost." }
            }
        },
    }
}
