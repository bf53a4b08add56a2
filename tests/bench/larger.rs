//! Libraries larger than the one in the program, made of it.
//!
//! Corpus: the real types, and as many disturbed copies as are wanted, one pass over the library
//! after another. Each pass has legends of its own (one to three letters of each spelling changed)
//! and series of its own; each copy has its weights, diameters and years shifted and now and then
//! a motif exchanged for one that another type shows there. Nothing is measured here; one seed
//! gives the same library everywhere.

use lynchet::catalogue::{Catalogue, CoinType, Face, Glyph, Inscription};
use lynchet::find::{Span, ordinal, year_at};
use lynchet::simulate::Chance;

/// Seed of every disturbance.
const SEED: u64 = 1544;
/// Spread of the logarithms of weights and diameters.
const WEIGHT: f64 = 0.08;
const DIAMETER: f64 = 0.03;
/// Most years that a span is shifted.
const YEARS: f64 = 12.0;
/// How often a face has a motif exchanged.
const EXCHANGED: f64 = 0.3;

/// A library of so many types, the real ones first; no smaller than the real one.
pub fn library(real: &Catalogue, types: usize) -> Catalogue {
    let mut made = real.clone();
    let mut chance = Chance(SEED);
    let mut pass = 0;
    while made.types.len() < types {
        pass += 1;
        let wanted = types - made.types.len();
        add_pass(real, pass, wanted, &mut made, &mut chance);
    }
    made
}

/// Adds a disturbed copy of every type, or of as many types, drawn by lot, as are wanted.
fn add_pass(
    real: &Catalogue,
    pass: usize,
    wanted: usize,
    made: &mut Catalogue,
    chance: &mut Chance,
) {
    let (legends, series) = (made.inscriptions.len(), made.series.len());
    for one in &real.inscriptions {
        made.inscriptions.push(respelled(one, chance));
    }
    for one in &real.series {
        let mut own = one.clone();
        own.id = format!("{}-{pass}", own.id);
        made.series.push(own);
    }
    let count = real.types.len();
    for place in 0..count.min(wanted) {
        let place = match wanted < count {
            true => chance.below(count),
            false => place,
        };
        let mut coin = disturbed(&real.types[place], real, chance);
        coin.id = format!("{}-{pass}-{}", coin.id, made.types.len());
        coin.series += series;
        for face in [&mut coin.obverse, &mut coin.reverse] {
            let borne = face.inscriptions.iter_mut().flatten();
            borne.for_each(|inscription| *inscription += legends);
        }
        made.types.push(coin);
    }
}

/// An inscription with one to three letters of each spelling changed.
fn respelled(one: &Inscription, chance: &mut Chance) -> Inscription {
    let mut own = one.clone();
    for form in &mut own.forms {
        for _ in 0..=chance.below(3) {
            let place = chance.below(form.glyphs.len());
            let letter = chance.letter();
            if let Some(Glyph::Letter(struck)) = form.glyphs.get_mut(place) {
                *struck = letter;
            }
        }
    }
    own
}

fn disturbed(coin: &CoinType, real: &Catalogue, chance: &mut Chance) -> CoinType {
    let mut own = coin.clone();
    let heavier = (WEIGHT * chance.normal()).exp();
    own.weights.iter_mut().for_each(|w| w.grams *= heavier);
    let wider = (DIAMETER * chance.normal()).exp();
    own.diameter = own.diameter.map(|(a, b)| (a * wider, b * wider));
    let shift = chance.between(-YEARS, YEARS) as i32;
    let year = |year| year_at(ordinal(year) + shift);
    own.span = Span {
        from: year(coin.span.from),
        to: year(coin.span.to),
    };
    own.apart.clear();
    for reverse in [false, true] {
        if chance.falls(EXCHANGED) {
            let other = &real.types[chance.below(real.types.len())];
            let (own, other) = match reverse {
                false => (&mut own.obverse, &other.obverse),
                true => (&mut own.reverse, &other.reverse),
            };
            exchange(own, other, chance);
        }
    }
    own
}

/// Puts a motif of another face in the place of one of this.
fn exchange(own: &mut Face, other: &Face, chance: &mut Chance) {
    let theirs = chance.one(other.motifs.as_deref().unwrap_or(&[]));
    let own = own.motifs.as_mut().filter(|own| !own.is_empty());
    if let Some((own, theirs)) = own.zip(theirs) {
        let place = chance.below(own.len());
        own[place] = *theirs;
    }
}
