//! A perfect piece: a type as a patient finder would describe it fresh from the dies.
//!
//! Everything that the library says can be seen, read or measured is told, and nothing is worn,
//! misread or guessed. Serves to ask which types the judging cannot tell apart; judges nothing
//! itself, and is no model of a real find.
//!
//! Invariant: the same type and the same chooser give the same description.

use super::resolved::{AxisHabit, Catalogue, CoinType, CopyKind, Face, Glyph};
use crate::find::{
    Completeness, DieAxis, Find, Grams, Making, Mark, Measured, MetalSeen, Millimetres, Reading,
    Side, Sighting,
};

/// Half a step of the scale that a perfect piece is weighed on, grams.
const SCALE: f64 = 0.005;
/// Half a step of the callipers that a perfect piece is measured with, millimetres.
const CALLIPERS: f64 = 0.05;

/// The description of a perfect piece of a type.
///
/// Where a piece bears one of several things (spellings, marks, weights), `choose` is given
/// their number and says which, counted from nought.
pub fn perfect(
    coin: &CoinType,
    catalogue: &Catalogue,
    choose: &mut dyn FnMut(usize) -> usize,
) -> Find {
    let mut find = Find {
        metal: Some((looks(coin, catalogue), true)),
        weight: weight(coin, choose),
        diameter: coin.diameter.and_then(|range| millimetres(middle(range))),
        thickness: coin.thickness.and_then(|range| millimetres(middle(range))),
        die_axis: hour(coin.axis),
        completeness: Some(Completeness::Whole),
        making: Some(coin.made),
        date_on_piece: (coin.made == Making::Milled).then(|| year(coin)),
        ..Find::default()
    };
    for (side, face) in [
        (Side::Obverse, &coin.obverse),
        (Side::Reverse, &coin.reverse),
    ] {
        find.readings.extend(reading(face, side, catalogue, choose));
        let shown = face.motifs.iter().flatten();
        find.sightings
            .extend(shown.map(|motif| sighting(*motif, side, catalogue)));
    }
    if !coin.marks.is_empty() {
        let mark = coin.marks[choose(coin.marks.len())];
        find.sightings
            .push(sighting(mark, Side::Unknown, catalogue));
    }
    find
}

fn looks(coin: &CoinType, catalogue: &Catalogue) -> MetalSeen {
    match coin.copy {
        Some(CopyKind::Plated) => MetalSeen::Plated,
        _ => catalogue.metals[coin.metal].looks,
    }
}

fn weight(coin: &CoinType, choose: &mut dyn FnMut(usize) -> usize) -> Option<Measured<Grams>> {
    let parts = &coin.weights;
    let part = (!parts.is_empty()).then(|| &parts[choose(parts.len())])?;
    let value = Grams::new(part.grams).ok()?;
    Some(Measured {
        value,
        error: SCALE,
    })
}

fn millimetres(value: f64) -> Option<Measured<Millimetres>> {
    let value = Millimetres::new(value).ok()?;
    Some(Measured {
        value,
        error: CALLIPERS,
    })
}

fn middle((least, most): (f64, f64)) -> f64 {
    f64::midpoint(least, most)
}

/// The hour of a habit that has one.
fn hour(habit: AxisHabit) -> Option<DieAxis> {
    let hour = match habit {
        AxisHabit::Upright => 12,
        AxisHabit::Inverted => 6,
        _ => return None,
    };
    DieAxis::new(hour).ok()
}

/// A year in the middle of the issue.
fn year(coin: &CoinType) -> i32 {
    let year = i32::midpoint(coin.span.from, coin.span.to);
    if year == 0 { 1 } else { year }
}

fn reading(
    face: &Face,
    side: Side,
    catalogue: &Catalogue,
    choose: &mut dyn FnMut(usize) -> usize,
) -> Option<Reading> {
    let borne = face.inscriptions.as_deref()?;
    let borne = (!borne.is_empty()).then(|| borne[choose(borne.len())])?;
    let forms = &catalogue.inscriptions[borne].forms;
    let form = &forms[choose(forms.len())];
    let mark = |glyph: &Glyph| match glyph {
        Glyph::Letter(letter) => Mark::Letter {
            letter: *letter,
            sure: true,
        },
        Glyph::Free => Mark::Gap,
        Glyph::Break => Mark::Break,
    };
    let reading = Reading {
        side,
        said: form.text.clone(),
        marks: form.glyphs.iter().map(mark).collect(),
        words: Vec::new(),
        retrograde: false,
        from_start: false,
        to_end: false,
    };
    (reading.letters_seen() > 0).then_some(reading)
}

fn sighting(motif: usize, side: Side, catalogue: &Catalogue) -> Sighting {
    let motif = &catalogue.motifs[motif];
    Sighting {
        motif: motif.id.clone(),
        said: motif.name.clone(),
        side,
        present: true,
        sure: true,
    }
}
