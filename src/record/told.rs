//! What was told of the circumstances, as fields.
//!
//! Copies what was said; infers nothing but how fine a findspot is.
//!
//! Invariant: every value of [`Circumstances`] stands in a field.

use super::circumstances::{Artefact, Circumstances};
use super::draft::{Kind, Quantity, Standing};
use super::periods;
use super::seen::{measure, quantity_text};
use super::sheet::Sheet;
use crate::findspot::Findspot;
use crate::treasure::When;

const TOLD: Standing = Standing::Told(None);

/// Fills in the circumstances.
pub(super) fn fill(told: &Circumstances, kind: Kind, sheet: &mut Sheet) {
    let mut text = |name, value: &Option<String>| {
        sheet.put(name, value.clone().unwrap_or_default(), TOLD);
    };
    text("number", &told.number);
    text("finder", &told.finder);
    text("landowner", &told.landowner);
    text("consent", &told.consent);
    text("group", &told.group);
    if kind == Kind::Coin {
        text("moneyer", &told.moneyer);
    }
    if kind == Kind::Group {
        text("lay", &told.lay);
    }
    if let Some(found) = told.found {
        sheet.put("date_found", written(found), TOLD);
    }
    if let Some(method) = told.method {
        sheet.put("method", method.text(), TOLD);
    }
    if let Some(landuse) = told.landuse {
        sheet.put("landuse", landuse.text(), TOLD);
    }
    if let Some(depth) = told.depth {
        let quantity = Quantity {
            value: depth,
            unit: "cm",
            error: None,
        };
        sheet.put_number("depth", quantity_text(quantity), TOLD, quantity);
    }
    if let Some(spot) = told.findspot {
        sheet.put("findspot", spot.square.to_string(), TOLD);
        sheet.put("findspot_precision", precision(spot), TOLD);
    }
    sheet.put("notes", told.notes.join("; "), TOLD);
    sheet.put("images", told.images.join("; "), TOLD);
    if kind == Kind::Artefact {
        artefact(&told.artefact, sheet);
    }
}

/// A day as far as it is known, for people and programs alike: `2026-03-01`, `2026-03`, `2026`.
fn written(found: When) -> String {
    let (early, late) = (found.earliest.iso(), found.latest.iso());
    if early == late {
        early
    } else if early.get(..7) == late.get(..7) {
        early.chars().take(7).collect()
    } else if early.get(..4) == late.get(..4) {
        early.chars().take(4).collect()
    } else {
        format!("{early} to {late}")
    }
}

/// How fine a findspot is: its figures and the side of its square.
pub(super) fn precision(spot: Findspot) -> String {
    let side = spot.square.side();
    let square = format!("{} figures, a square of {}", side.figures(), side.text());
    match spot.within {
        Some(within) => format!("{square}, from degrees known to \u{b1} {} m", within.ceil()),
        None => square,
    }
}

fn artefact(told: &Artefact, sheet: &mut Sheet) {
    let mut text = |name, value: &Option<String>| {
        sheet.put(name, value.clone().unwrap_or_default(), TOLD);
    };
    text("object_type", &told.object_type);
    text("attachment", &told.attachment);
    text("damage", &told.damage);
    text("surface", &told.surface);
    text("interpretation", &told.interpretation);
    sheet.put("shape", told.shape.join("; "), TOLD);
    sheet.put("decoration", told.decoration.join("; "), TOLD);
    sheet.put("parallels", told.parallels.join("; "), TOLD);
    let length = told.length.map(|m| (m.value.get(), m.error));
    measure("length", length, "mm", sheet);
    let width = told.width.map(|m| (m.value.get(), m.error));
    measure("width", width, "mm", sheet);
    if let Some(span) = told.made {
        sheet.put("date", span.text(), TOLD);
        let periods = periods::of_years(span);
        let names: Vec<&str> = periods.iter().map(|period| period.name).collect();
        let ids = periods.iter().map(|period| period.uri()).collect();
        sheet.put_with("period", names.join(" or "), TOLD, ids);
    }
}
