//! Metal, weight, letters, period and region of a thing: one column each.
//!
//! Invariant: none is beyond the bound of a trait.

use super::constants::{
    LETTERS_BORNE, LETTERS_LEAST, PERIOD_MEANT, PERIOD_RIGHT, SIZE_STRAY, WEIGHT_ANY, WEIGHT_EDGE,
    WEIGHT_KEPT,
};
use super::ground::ObjectGroundwork;
use super::size::{any, ranged};
use super::sum::{About, Column, normed};
use crate::catalogue::{ArtefactType, Artefacts, Catalogue};
use crate::find::{Grams, Left, Measured, MetalSeen, PeriodSaid, Region, fold_to};
use crate::score::constants::{
    METAL_UNLISTED, METAL_UNSURE, REGION_KEPT, TRAIT_BOUND, metal_called, region_share,
};

/// Spreads what is said of types over the rests: each has the mean of its class.
pub(super) fn over_rests(types: Vec<f64>, ground: &ObjectGroundwork) -> Vec<f64> {
    let mut often = types;
    let classes = ground
        .class_of
        .iter()
        .max()
        .map_or(0, |most| *most as usize + 1);
    let (mut sums, mut wholes) = (vec![0.0; classes], vec![1e-12; classes]);
    for (at, told) in often.iter().enumerate() {
        let (class, weight) = (ground.class_of[at] as usize, ground.prior[at].exp());
        sums[class] += weight * told;
        wholes[class] += weight;
    }
    for rest in ground.types..ground.hypotheses() {
        let class = ground.class_of[rest] as usize;
        often.push(sums[class] / wholes[class]);
    }
    often
}

/// The column of a metal seen.
pub(super) fn metal(
    (seen, sure): (MetalSeen, bool),
    artefacts: &Artefacts,
    catalogue: &Catalogue,
    ground: &ObjectGroundwork,
) -> Column {
    let column = MetalSeen::ALL
        .iter()
        .position(|metal| *metal == seen)
        .unwrap_or(0);
    let called = |artefact: &ArtefactType| {
        let metals = artefact
            .materials
            .iter()
            .map(|at| catalogue.metals[*at].looks);
        let all: Vec<f64> = metals.map(|looks| metal_called(looks)[column]).collect();
        let often = match all.len() {
            0 => METAL_UNLISTED[column],
            // The first is what most are of.
            count => {
                let rest: f64 = all[1..].iter().sum();
                (2.0 * all[0] + rest) / (count + 1) as f64
            }
        };
        if sure {
            often
        } else {
            METAL_UNSURE * often + (1.0 - METAL_UNSURE) * METAL_UNLISTED[column]
        }
    };
    let often = over_rests(artefacts.types.iter().map(called).collect(), ground);
    Column {
        about: About::Metal,
        nats: normed(often, 0.98, TRAIT_BOUND, ground),
        outside: 0.0,
    }
}

/// The column of a weight; a type whose row gives none is not touched by it.
pub(super) fn weight(
    weight: Measured<Grams>,
    left: Left,
    artefacts: &Artefacts,
    ground: &ObjectGroundwork,
) -> Column {
    let grams = weight.value.get().ln();
    let spread = weight.error / weight.value.get();
    let at = |artefact: &ArtefactType| {
        let Some((least, most)) = artefact.weight else {
            return 0.0;
        };
        let own = ranged(grams, spread, (least, most), WEIGHT_EDGE, left);
        let any = any(grams, WEIGHT_ANY);
        let nats = ((1.0 - SIZE_STRAY) * own / any + SIZE_STRAY).ln();
        WEIGHT_KEPT * nats.clamp(-TRAIT_BOUND, TRAIT_BOUND)
    };
    let mut nats: Vec<f64> = artefacts.types.iter().map(at).collect();
    nats.resize(ground.hypotheses(), 0.0);
    Column {
        about: About::Weight,
        nats,
        outside: 0.0,
    }
}

fn folded(text: &str) -> String {
    let mut out = String::new();
    let letters = text.chars().filter(|c| c.is_alphanumeric());
    letters.for_each(|c| fold_to(c, |c| out.push(c)));
    out
}

/// The column of letters read.
pub(super) fn letters(
    place: usize,
    read: &str,
    artefacts: &Artefacts,
    ground: &ObjectGroundwork,
) -> Option<Column> {
    let read = folded(read);
    if read.chars().count() < LETTERS_LEAST {
        return None;
    }
    let bears = artefacts.form_by_id("inscription");
    let borne = |artefact: &ArtefactType| {
        let own = artefact.letters.iter().map(|text| folded(text));
        let mut own = own.filter(|text| text.chars().count() >= LETTERS_LEAST);
        let same = own
            .any(|text| text.contains(&read) || (text.chars().count() > 3 && read.contains(&text)));
        let lettered = || {
            let forms = artefact.has.iter().chain(&artefact.may);
            !artefact.letters.is_empty() || forms.clone().any(|form| Some(*form) == bears)
        };
        if same {
            LETTERS_BORNE.0
        } else if lettered() {
            LETTERS_BORNE.1
        } else {
            LETTERS_BORNE.2
        }
    };
    let often = over_rests(artefacts.types.iter().map(borne).collect(), ground);
    Some(Column {
        about: About::Letters(place),
        nats: normed(often, 0.9, TRAIT_BOUND, ground),
        outside: 0.0,
    })
}

/// The column of a period or a style named.
pub(super) fn period(
    place: usize,
    said: &PeriodSaid,
    artefacts: &Artefacts,
    ground: &ObjectGroundwork,
) -> Column {
    let meant = |at: usize| said.ids.contains(&artefacts.periods[at].id);
    let spans: Vec<_> = (0..artefacts.periods.len())
        .filter(|at| meant(*at))
        .map(|at| artefacts.periods[at].span)
        .collect();
    let agrees = |artefact: &ArtefactType| {
        let shared = |years: &crate::find::Span| f64::from(artefact.span.shared_years(*years));
        let share = spans.iter().map(shared).sum::<f64>() / f64::from(artefact.span.years());
        if meant(artefact.period) {
            PERIOD_MEANT.0
        } else if share > 0.0 {
            PERIOD_MEANT.2 + (PERIOD_MEANT.1 - PERIOD_MEANT.2) * share.min(1.0)
        } else {
            PERIOD_MEANT.2
        }
    };
    let often = over_rests(artefacts.types.iter().map(agrees).collect(), ground);
    Column {
        about: About::Period(place),
        nats: normed(often, PERIOD_RIGHT, TRAIT_BOUND, ground),
        outside: 0.0,
    }
}

/// The column of the region a thing was found in.
pub(super) fn region(found: Region, artefacts: &Artefacts, ground: &ObjectGroundwork) -> Column {
    let at = |artefact: &ArtefactType| {
        if artefact.regions.is_empty() {
            return 0.0;
        }
        let home: f64 = artefact
            .regions
            .iter()
            .map(|region| region_share(*region))
            .sum();
        let usual = artefact.regions.contains(&found);
        let ratio = (1.0 - REGION_KEPT) + if usual { REGION_KEPT / home } else { 0.0 };
        ratio.ln().clamp(-1.0, 1.0)
    };
    let mut nats: Vec<f64> = artefacts.types.iter().map(at).collect();
    nats.resize(ground.hypotheses(), 0.0);
    Column {
        about: About::Region,
        nats,
        outside: 0.0,
    }
}
