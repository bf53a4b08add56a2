//! What the pages share with the command line: finds heard and judged before they are kept, what
//! to heed of land, drafts and packs, the questions of the law, a group read together.
//!
//! Names what lies in the folders of the verbs; does nothing of its own, reads no flags and prints
//! nothing.
//!
//! Invariant: whatever stands here works on plain values, whichever door calls.

use std::sync::Arc;

use clap::ValueEnum;

pub(crate) use super::args::TraitFlags;
pub(crate) use super::collection::gather::heard;
pub(crate) use super::collection::judged::{Judged, decided};
pub(crate) use super::collection::labels::{
    LABELS_MOST, Place as LabelPlace, SheetFlags, labels, pdf as labels_pdf, sheets as label_sheets,
};
pub(crate) use super::collection::stats::{Counted, Listing};
pub(crate) use super::error::Trouble;
pub(crate) use super::hoard::gather::{Gathered as GatheredGroup, of_phrases, of_table, taken_as};
pub(crate) use super::hoard::picture::svg as group_picture;
pub(crate) use super::land::heed;
pub(crate) use super::land::print::of_leave;
pub(crate) use super::land::statement::Statement;
pub(crate) use super::learning::learnt_of;
pub(crate) use super::opened::Opened;
pub(crate) use super::record::{Described, officers_pack};
pub(crate) use super::shelf::invented;
pub(crate) use super::treasure::args::{
    AlteredSaid, Belonging, CountrySaid, GroundSaid, HazardSaid, PlaceAndDays, Said, Together,
    TreasureArgs, WhatSaid,
};
pub(crate) use super::treasure::gather::gather as gather_facts;
pub(crate) use super::treasure::print::{by_when, known};

use super::judging::Judging;
use crate::collect::Entry;
use crate::score::Learnt;

/// Hears a find, puts what it measures and its kind into the columns, and identifies it where that
/// is wanted, with what the shelf teaches.
pub(crate) fn judged(
    entry: &mut Entry,
    identify: bool,
    learnt: Option<Arc<Learnt>>,
    opened: &Opened<'_>,
) -> Result<Judged, Trouble> {
    let judging = Judging::taught(learnt);
    super::collection::judged::judged(entry, identify, &judging, opened)
}

/// The words of a choice, each with what it means.
pub(crate) fn choices<C: ValueEnum>() -> Vec<(String, String)> {
    let each = C::value_variants().iter().filter_map(|one| {
        let value = one.to_possible_value()?;
        let help = value.get_help().map(ToString::to_string);
        Some((value.get_name().to_string(), help.unwrap_or_default()))
    });
    each.collect()
}

/// The choice of a word.
pub(crate) fn chosen<C: ValueEnum>(field: &str, word: &str) -> Result<C, Trouble> {
    C::from_str(word, false).map_err(|_| {
        let short: String = word.chars().filter(|c| !c.is_control()).take(40).collect();
        let words: Vec<String> = choices::<C>().into_iter().map(|(word, _)| word).collect();
        let what = format!("{field}: \"{short}\" is none of the choices");
        Trouble::new(what, format!("choose one of: {}", words.join(", ")))
    })
}
