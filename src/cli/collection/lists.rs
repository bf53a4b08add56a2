//! `collection list` and `collection find`: filters from flags, words, pages.
//!
//! Asks the shelf and prints what it gives.
//!
//! Invariant: what is left out of a page is counted.

use std::io::Write;

use super::args::{FilterFlags, PageFlags};
use super::print;
use crate::cli::error::Trouble;
use crate::cli::ids::shortened;
use crate::cli::shelf::{ShelfFlags, invented};
use crate::cli::{Outcome, print_json};
use crate::collect::{Access, Filter, FindKind, Order, Status};
use crate::find::MetalSeen;

/// The filter that flags say.
pub(super) fn filter(flags: &FilterFlags) -> Result<Filter, Trouble> {
    let metal = flags.metal.as_deref().map(|text| {
        let named = MetalSeen::ALL
            .into_iter()
            .find(|metal| metal.name() == text.trim());
        named.ok_or_else(|| {
            let names: Vec<&str> = MetalSeen::ALL.iter().map(|metal| metal.name()).collect();
            let what = format!("--metal: \"{}\" is no metal as it looks", shortened(text));
            Trouble::new(what, format!("say one of: {}", names.join(", ")))
        })
    });
    let status = flags.status.as_deref().map(Status::read).transpose()?;
    let kind = flags.kind.as_deref().map(FindKind::read).transpose()?;
    Ok(Filter {
        land: flags.land.clone(),
        status,
        kind,
        metal: metal.transpose()?,
        period: flags.period.clone(),
        ruler: flags.ruler.clone(),
        denomination: flags.denomination.clone(),
        class: flags.class.clone(),
        type_id: flags.type_id.clone(),
        tag: flags.tag.clone(),
        grouped: flags.group.clone(),
        storage: flags.storage.clone(),
        found_from: flags.from.clone(),
        found_to: flags.to.clone(),
        confirmed: flags.unconfirmed.then_some(false),
        recorded: flags.unrecorded.then_some(false),
        photographed: flags.unphotographed.then_some(false),
        ..Filter::default()
    })
}

/// A filter with its page.
fn paged(filter: Filter, page: &PageFlags) -> Result<Filter, Trouble> {
    let order = match page.order.as_str() {
        "kept" => Order::Kept,
        "found" => Order::Found,
        "id" => Order::Id,
        "changed" => Order::Changed,
        other => {
            let what = format!("--order: \"{}\" is no order", shortened(other));
            return Err(Trouble::new(what, "say kept, found, id or changed"));
        }
    };
    Ok(Filter {
        order,
        skip: page.skip,
        most: Some(page.top),
        ..filter
    })
}

/// Most finds that a search by words hands to the filter.
const SEARCHED: usize = 10_000;

/// Lists finds, those with certain words where some are given.
pub(super) fn list(
    words: &[String],
    (asked, page): (&FilterFlags, &PageFlags),
    flags: &ShelfFlags,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let mut filter = paged(filter(asked)?, page)?;
    let Some(shelf) = flags.open_or_none()? else {
        match flags.json {
            true => print_json(&print::list_view(&[], 0, (false, None)), out)?,
            false => writeln!(
                out,
                "no finds are kept yet; begin with: lynchet collection add WORDS"
            )?,
        }
        return Ok(Outcome::Answer);
    };
    let mut almost = false;
    if !words.is_empty() {
        // The index is kept up to date where it can be; a shelf that can only be read has its own.
        let searched = flags.open(Access::Write);
        let searched = searched.as_ref().unwrap_or(&shelf);
        let found = searched.search(&words.join(" "), SEARCHED)?;
        almost = found.almost;
        filter.among = Some(found.keys);
    }
    let (rows, total) = (shelf.list(&filter)?, shelf.count(&filter)?);
    let invented = invented(&shelf)?;
    if flags.json {
        print_json(
            &print::list_view(&rows, total, (almost, invented.as_deref())),
            out,
        )?;
    } else {
        if let Some(invented) = &invented {
            writeln!(out, "{invented}\n")?;
        }
        if almost && total > 0 {
            writeln!(
                out,
                "no find has these words; these have words that are almost the same:"
            )?;
        }
        print::list(&rows, total, out)?;
    }
    Ok(match total == 0 && !words.is_empty() {
        true => Outcome::NothingFits,
        false => Outcome::Answer,
    })
}
