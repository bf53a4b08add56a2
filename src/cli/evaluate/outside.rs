//! Finds that the library lacks, or that were judged as if it did: what became of them.
//!
//! The right answer is "not in the library"; naming nothing is no fault, and neither is a period or
//! ruler that is right. A type named is always wrong.

use serde::Serialize;

use super::super::measures::wilson;
use super::levels::{Levels, Rung};
use super::report::HitsView;
use super::tried::Tried;
use crate::House;
use crate::score::Level;

/// What was said of finds that are not in what was judged.
#[derive(Serialize)]
pub(super) struct OutsideView {
    pub(super) n: usize,
    /// The answer is "not in the library".
    pub(super) unlisted: usize,
    /// Nothing was named at a half or more.
    pub(super) open: usize,
    /// One of the two, with its interval.
    pub(super) nothing_named: usize,
    pub(super) nothing_named_interval: Option<[f64; 2]>,
    /// The answer is "not in the library", or the likeliest ruler or period is right.
    pub(super) unlisted_or_right: usize,
    pub(super) unlisted_or_right_interval: Option<[f64; 2]>,
    /// Wrong at 0.8 or more.
    pub(super) confident_wrong: usize,
    pub(super) confident_wrong_interval: Option<[f64; 2]>,
    /// Those of them that are wrong in period, ruler or denomination, and not by the type alone.
    pub(super) confident_astray: usize,
    pub(super) confident_astray_interval: Option<[f64; 2]>,
    /// Where the levels that are known stood.
    pub(super) levels: Levels<HitsView>,
}

/// Counts over such finds; none where there are none.
pub(super) fn outside(finds: &[&Tried], house: &House) -> Option<OutsideView> {
    let n = finds.len();
    if n == 0 {
        return None;
    }
    let count = |holds: &dyn Fn(&Tried) -> bool| finds.iter().filter(|t| holds(t)).count();
    let unlisted = |t: &Tried| t.said.answer.level == Level::Unlisted;
    let open = |t: &Tried| t.said.answer.level == Level::Open;
    let nothing = count(&|t| unlisted(t) || open(t));
    let first = |t: &Tried, rung: Rung| t.place(rung) == Some(0);
    let right = |t: &Tried| first(t, Rung::Ruler) || first(t, Rung::Period);
    let unlisted_or_right = count(&|t| unlisted(t) || right(t));
    let wrong = count(&|t| super::report::confident(t) && t.wrong(house));
    let astray = count(&|t| super::report::confident(t) && t.astray(house));
    Some(OutsideView {
        n,
        unlisted: count(&unlisted),
        open: count(&open),
        nothing_named: nothing,
        nothing_named_interval: wilson(nothing, n),
        unlisted_or_right,
        unlisted_or_right_interval: wilson(unlisted_or_right, n),
        confident_wrong: wrong,
        confident_wrong_interval: wilson(wrong, n),
        confident_astray: astray,
        confident_astray_interval: wilson(astray, n),
        levels: super::report::hits(finds).map(HitsView::of),
    })
}
