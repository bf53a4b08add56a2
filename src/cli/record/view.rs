//! Drafts as JSON, for other programs.
//!
//! Copies the room's values; adds nothing but the EpiDoc of legends.
//!
//! Invariant: every field of the draft stands in it, blank ones too, in its order.

use serde::Serialize;

use crate::findspot::{Degrees, Findspot};
use crate::record::{Draft, Field, Standing, xml};

/// What `record --json` prints.
#[derive(Serialize)]
pub(super) struct DraftView<'d> {
    kind: &'static str,
    title: String,
    sentence: &'d str,
    fields: Vec<FieldView<'d>>,
    date_from: Option<i32>,
    date_to: Option<i32>,
    findspot: Option<SpotView>,
    missing: Vec<MissingView<'d>>,
    cautions: &'d [String],
    notes: &'d [String],
}

#[derive(Serialize)]
struct FieldView<'d> {
    name: &'static str,
    label: &'static str,
    value: Option<&'d str>,
    standing: &'static str,
    chance: Option<f64>,
    words: Option<&'static str>,
    told_by: Option<&'d str>,
    ids: &'d [String],
    number: Option<f64>,
    unit: Option<&'static str>,
    error: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    epidoc: Option<String>,
}

#[derive(Serialize)]
struct SpotView {
    reference: String,
    square_m: u32,
    latitude: f64,
    longitude: f64,
    within_m: f64,
}

#[derive(Serialize)]
struct MissingView<'d> {
    name: &'static str,
    text: &'d str,
}

impl<'d> DraftView<'d> {
    /// The view of a draft.
    pub(super) fn of(draft: &'d Draft) -> DraftView<'d> {
        let missing = draft.missing.iter();
        DraftView {
            kind: draft.kind.word(),
            title: draft.title(),
            sentence: &draft.sentence,
            fields: draft.fields.iter().map(field).collect(),
            date_from: draft.years.map(|span| span.from),
            date_to: draft.years.map(|span| span.to),
            findspot: draft.findspot.map(spot),
            missing: missing
                .map(|one| MissingView {
                    name: one.name,
                    text: &one.text,
                })
                .collect(),
            cautions: &draft.cautions,
            notes: &draft.notes,
        }
    }
}

fn field(field: &Field) -> FieldView<'_> {
    let chance = match field.standing {
        Standing::Inferred(chance) => Some(chance),
        _ => None,
    };
    FieldView {
        name: field.name,
        label: field.label,
        value: (!field.is_blank()).then_some(field.value.as_str()),
        standing: field.standing.word(),
        chance,
        words: chance.map(crate::score::words_of_confidence),
        told_by: match &field.standing {
            Standing::Told(by) => by.as_deref(),
            _ => None,
        },
        ids: &field.ids,
        number: field.quantity.map(|quantity| quantity.value),
        unit: field.quantity.map(|quantity| quantity.unit),
        error: field.quantity.and_then(|quantity| quantity.error),
        epidoc: field.signs().map(|signs| xml(&signs)),
    }
}

fn spot(spot: Findspot) -> SpotView {
    let (latitude, longitude, within) = position(spot);
    SpotView {
        reference: spot.square.to_string(),
        square_m: spot.square.side().metres(),
        latitude,
        longitude,
        within_m: within,
    }
}

/// The middle of a square in degrees, with as many decimals as it is worth, and the metres by which
/// the place may be off.
pub(super) fn position(spot: Findspot) -> (f64, f64, f64) {
    let degrees = Degrees::of(spot.square);
    let size = 10f64.powi(degrees.decimals() as i32);
    let cut = |value: f64| (value * size).round() / size;
    let within = spot
        .within
        .map_or(degrees.within, |own| own.max(degrees.within));
    (cut(degrees.latitude), cut(degrees.longitude), within.ceil())
}
