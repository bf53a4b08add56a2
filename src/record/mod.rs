//! The record room: from a find and what is known of it to the draft that a recording officer
//! needs.
//!
//! Puts every fact into the field where it belongs, in the customary order, and says of each what
//! it rests on: measured, read, seen, told, inferred with its chance, open or blank. Says what is
//! still missing, what to take care of, and makes forms of it. Reads no clock (today is handed in),
//! sends nothing, and writes no file.
//!
//! Invariant: every fact of the find stands in the draft, and nothing stands there as measured,
//! read or seen that was not said.

mod cautions;
mod circumstances;
mod draft;
mod epidoc;
mod forms;
mod group;
mod inferred;
mod legends;
pub mod leiden;
mod lists;
mod missing;
mod names;
pub mod periods;
pub mod scale;
mod seen;
mod sentence;
mod sharing;
mod sheet;
mod template;
mod thing;
mod told;

pub use circumstances::{Artefact, Circumstances, Told};
pub use draft::{Draft, Field, Kind, Missing, Quantity, Standing};
pub use epidoc::xml;
pub use forms::{epidoc as epidoc_form, html, text};
pub use group::{GroupBasis, draft_group};
pub use lists::{Landuse, Method};
pub use names::all as field_names;
pub use sharing::Sharing;
pub use template::{Fault as TemplateFault, Template, printed as printed_template};
pub use thing::ThingJudgement;

use crate::catalogue::Catalogue;
use crate::explain::{answer_text, chance_in_figures, thing_text};
use crate::find::Find;
use crate::parse::{Field as Trait, Remark};
use crate::score::{Answer, Level, Ranking, Shares, ThingLevel, words_of_confidence};
use crate::treasure::CalendarDay;
use sheet::Sheet;

/// What the traits of a find say it is.
#[derive(Clone, Copy, Debug)]
pub struct Judgement<'a> {
    /// The types judged.
    pub ranking: &'a Ranking,
    /// Marginals.
    pub shares: &'a Shares,
    /// The narrowest level that the evidence carries.
    pub answer: &'a Answer,
}

/// What a draft is made of.
#[derive(Clone, Copy, Debug)]
pub struct Basis<'a> {
    /// Coin or artefact; a group has [`GroupBasis`].
    pub kind: Kind,
    /// What was measured, read and seen.
    pub find: &'a Find,
    /// What was typed for each field, as it was typed.
    pub said: &'a [(Trait, String)],
    /// What of the words could not be used.
    pub remarks: &'a [Remark],
    /// What the traits say of a coin; none for an artefact, and where nothing was said.
    pub judged: Option<Judgement<'a>>,
    /// What the traits of a thing that is no coin say; none for a coin, and where nobody asked.
    pub thing: Option<ThingJudgement<'a>>,
    /// What a person decided.
    pub told: &'a Told,
    /// Where, when and how.
    pub circumstances: &'a Circumstances,
    /// The looks to be taken next, the best first, in words.
    pub looks: &'a [String],
    /// The library.
    pub catalogue: &'a Catalogue,
}

/// Makes the draft.
pub fn draft(basis: &Basis<'_>, today: CalendarDay) -> Draft {
    let kind = basis.kind;
    let mut sheet = Sheet::default();
    told::fill(basis.circumstances, kind, &mut sheet);
    seen::fill(basis, &mut sheet);
    let mut notes = seen::notes(basis.find);
    let mut years = basis.circumstances.artefact.made;
    if kind == Kind::Coin {
        sheet.put("object_type", "coin", Standing::Told(None));
        if !basis.told.is_empty() {
            let by = basis.told.by.clone();
            let who = by.clone().unwrap_or_else(|| "not said".into());
            sheet.put("decided_by", who, Standing::Told(by));
        }
        let (issued, more) = inferred::fill(basis, &mut sheet);
        years = issued;
        notes.extend(more);
        notes.extend(identified(basis));
    }
    if let Some(thing) = &basis.thing {
        years = thing::fill(thing, years, &mut sheet);
        notes.push(format!(
            "by its traits alone: {} ({}: {})",
            thing_text(thing.answer, thing.artefacts),
            chance_in_figures(thing.answer.p),
            words_of_confidence(thing.answer.p)
        ));
    }
    let findspot = basis.circumstances.findspot;
    let looks = if is_open(basis) { basis.looks } else { &[] };
    Draft {
        kind,
        sentence: sentence::of(kind, &sheet),
        missing: missing::of(kind, &sheet, findspot, looks),
        cautions: cautions::of(basis, kind, today),
        notes,
        years,
        findspot,
        fields: sheet.in_order(kind),
    }
}

/// True while nobody has decided and the traits do not carry a type.
fn is_open(basis: &Basis<'_>) -> bool {
    if let Some(thing) = &basis.thing {
        return thing.answer.level != ThingLevel::Type || thing.answer.p < 0.80;
    }
    let answer = basis.judged.map(|one| *one.answer);
    basis.told.coin.is_none() && answer.is_some_and(|one| one.level != Level::Type || one.p < 0.80)
}

/// What the traits alone say.
fn identified(basis: &Basis<'_>) -> Option<String> {
    let answer = basis.judged?.answer;
    let text = answer_text(answer, basis.catalogue);
    let word = words_of_confidence(answer.p);
    Some(format!(
        "by its traits alone: {text} ({}: {word})",
        chance_in_figures(answer.p)
    ))
}
