//! Drafts as a PDF to print on A4: one find after another, each on pages of its own, the plate at
//! true scale, a ruler at every foot to check the print by.
//!
//! Draws what it is given and judges nothing: what may be passed on is decided before. Reads no
//! clock, no file.
//!
//! Invariant: the same drafts on the same day give the same bytes, and every filled field stands
//! in them as text that can be searched.

mod draw;
mod find;
mod flow;
mod letters;
pub(super) mod plate;
mod tags;

use super::super::error::Trouble;
use crate::record::Draft;
use crate::treasure::CalendarDay;
pub(in crate::cli) use draw::drawn;
use flow::Flow;
pub(in crate::cli) use flow::{Mark, Part, Thing, Tone};
pub(in crate::cli) use letters::{Face, POINT};
pub(super) use plate::Plates;

/// Most finds of one document.
const FINDS_MOST: usize = 500;

/// Drafts as a PDF; `about` says what was held back, in sentences.
pub(super) fn pdf(
    drafts: &[Draft],
    plates: Option<&Plates>,
    about: &str,
    today: CalendarDay,
) -> Result<Vec<u8>, Trouble> {
    if drafts.len() > FINDS_MOST {
        let what = format!("--form pdf: {} finds were given", drafts.len());
        return Err(Trouble::new(
            what,
            format!("split the table: a document has {FINDS_MOST} finds at most"),
        ));
    }
    let face = Face::open();
    let face = face.ok_or_else(|| Trouble::new("the font cannot be read", "install it anew"))?;
    let day = format!("drafted {}", today.iso());
    let mut flow = Flow::new(&face);
    for (at, draft) in drafts.iter().enumerate() {
        find::lay(draft, at, about, plates, &mut flow);
        if flow.too_long() {
            return Err(Trouble::new(
                format!("--form pdf: more than {} pages", flow::PAGES_MOST),
                "shorten the notes, or split the table",
            ));
        }
    }
    let title = match drafts {
        [one] => one.title(),
        many => format!("{} draft records", many.len()),
    };
    draw::drawn(&flow.pages, &title, Some(&day), &face)
}
