//! `hoard`: several finds from one hole, read together.
//!
//! Gathers the group, asks the hoard room and the treasure room, and prints; judges nothing.
//!
//! Invariant: what the law may ask is what `treasure` says of the same facts.

mod args;
pub(super) mod gather;
pub(super) mod picture;
mod print;
mod roman;
mod told;
mod view;

pub(super) use args::{EXAMPLES, HoardArgs};

use std::io::Write;

use super::error::Trouble;
use super::treasure::{Judged, possible};
use super::{Outcome, compare, print_json};
use crate::House;
use crate::drawn::Setting;
use crate::hoard::{Circumstances, GroupRecord, facts, record};
use args::Form;

/// A group, read and judged.
struct Answered<'h> {
    record: GroupRecord,
    judged: Judged,
    remarks: Vec<String>,
    house: &'h House,
}

/// Most faults of the facts that are told.
const FAULTS_MOST: usize = 10;
/// Deepest depth that is taken, centimetres.
const DEPTH_MOST: f64 = 1_000.0;
/// Longest words of a place or of how the pieces lay, characters.
const WORDS_MOST: usize = 500;

/// Reads a group together and prints what is to be said of it.
pub(super) fn run(
    asked: &HoardArgs,
    house: &House,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let today = asked.around.today()?;
    let circumstances = circumstances(asked)?;
    let rest = asked.belonging.facts(asked.around.facts()?);
    let gathered = gather::gather(asked, house)?;
    let facts = facts(&gathered.group, rest);
    possible(&facts.faults(today), FAULTS_MOST)?;
    let answered = Answered {
        record: record(&gathered.group, &circumstances),
        judged: Judged::of(facts, today),
        remarks: gathered.remarks,
        house,
    };
    if let Some(file) = &asked.svg {
        let drawn = picture::svg(&answered.record, Setting::Alone).ok_or_else(|| {
            let what = "no piece of the group has years, so there is nothing to draw";
            Trouble::new(what, "leave out --svg, or say more of the pieces")
        })?;
        compare::put(&drawn, file, asked.force)?;
    }
    match asked.form() {
        Form::Json => print_json(&view::GroupView::of(&answered), out)?,
        Form::Csv => view::rows(&answered.record, out)?,
        Form::Text => print::group(&answered, asked.svg.as_deref(), out)?,
    }
    Ok(match answered.record.aoristic {
        Some(_) => Outcome::Answer,
        None => Outcome::NothingFits,
    })
}

fn circumstances(asked: &HoardArgs) -> Result<Circumstances, Trouble> {
    let words = |flag: &str, text: &Option<String>| match text.as_deref().map(str::trim) {
        None | Some("") => Ok(None),
        Some(text) if text.chars().count() > WORDS_MOST => Err(Trouble::new(
            format!("{flag}: is longer than {WORDS_MOST} characters"),
            "say it shorter; the record has room for more beside it",
        )),
        Some(text) => {
            let plain = text.chars().map(|c| if c.is_control() { ' ' } else { c });
            Ok(Some(plain.collect()))
        }
    };
    Ok(Circumstances {
        place: words("--place", &asked.place)?,
        lay: words("--lay", &asked.lay)?,
        depth: asked.depth.as_deref().map(depth).transpose()?,
        found: asked
            .around
            .found
            .as_ref()
            .map(|found| found.trim().to_string()),
    })
}

/// A depth in centimetres.
fn depth(text: &str) -> Result<f64, Trouble> {
    let bare = text.trim().trim_end_matches("cm").trim();
    let read = bare.parse::<f64>().ok();
    let held = read.filter(|depth| (0.0..=DEPTH_MOST).contains(depth));
    held.ok_or_else(|| {
        let shown = told::shown(text);
        let what = format!("--depth: \"{shown}\" is no depth in centimetres");
        Trouble::new(what, "write how deep the deepest piece lay, as 30")
    })
}
