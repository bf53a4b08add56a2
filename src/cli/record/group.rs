//! A group as one draft: its pieces gathered as `hoard` gathers them, its place as a find's.
//!
//! Judges nothing: the hoard room reads the pieces together, the record room drafts.
//!
//! Invariant: a piece that cannot be read stops the draft, as it stops `hoard`.

use super::super::error::Trouble;
use super::super::hoard::gather::of_given;
use super::args::RecordArgs;
use super::gather;
use crate::House;
use crate::hoard::{self, facts};
use crate::record::{Draft, GroupBasis, draft_group};
use crate::treasure::{CalendarDay, Facts};

/// Most faults of the facts that are told.
const FAULTS_MOST: usize = 10;

/// The draft of the pieces of `--hoard`, and whether any of them has years.
pub(super) fn drafted(
    asked: &RecordArgs,
    house: &House,
    today: CalendarDay,
) -> Result<(Draft, bool), Trouble> {
    if !asked.traits.fields().is_empty() {
        return Err(Trouble::new(
            "the traits of a find by flag do not go with --hoard",
            "say them of the piece they belong to, in its row or its words",
        ));
    }
    let told = super::with_views(asked);
    let mut circumstances = gather::circumstances(&told, &asked.artefact, &house.lexicon, today)?;
    circumstances.lay = gather::lay(&asked.group)?;
    let gathered = of_given(&asked.group.pieces, "count", house)?;
    let rest = asked.group.belonging.facts(Facts {
        found: circumstances.found,
        ..Facts::default()
    });
    let facts = facts(&gathered.group, rest);
    super::super::treasure::possible(&facts.faults(today), FAULTS_MOST)?;
    // The place stands in the draft's own fields, where it can be cut.
    let lain = hoard::Circumstances {
        depth: circumstances.depth,
        found: circumstances.found.map(|found| found.text()),
        lay: circumstances.lay.clone(),
        place: None,
    };
    let record = hoard::record(&gathered.group, &lain);
    let basis = GroupBasis {
        record: &record,
        facts: &facts,
        circumstances: &circumstances,
        remarks: &gathered.remarks,
    };
    Ok((draft_group(&basis, today), record.aoristic.is_some()))
}
