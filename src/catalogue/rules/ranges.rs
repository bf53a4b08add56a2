//! Rule `ranges`: weights and sizes are those of a coin and agree with each other.
//!
//! Demands weights of 0.05 to 60 g, a spread (`cv`) of 0.001 to 0.8, diameters of 5
//! to 60 mm and thicknesses of 0.3 to 8 mm; ranges that run from the least to the
//! most; a range of diameters no wider than 60 % of its middle; shares of `weights`
//! above nought that sum to 1; a weight and a diameter that, with the metal's
//! density, make a disc of 0.25 to 5 mm; and a type's own mean weight within 40 % of
//! a standard of its denomination and metal that held in its years, unless a `note`
//! or `copy` accounts for it. Sizes of an artefact are 1 to 2000 mm, thickness from
//! 0.1 mm, its weight 0.01 g to 50 kg, and a type gives some dimension.
//!
//! Why: a misplaced point or a grain taken for a gram ranks a type out of sight.
//!
//! To mend: look the figure up again; a light or heavy issue says so in `note`.

use std::f64::consts::PI;
use std::ops::RangeInclusive;

use super::super::fault::Fault;
use super::super::raw::{RawStandard, RawType};
use super::super::resolved::CoinType;
use super::{Library, Whole, artefacts};
use crate::find::MetalSeen;

/// File, row and field a figure stands in.
type Place<'a> = (&'a str, &'a str, &'a str);

const GRAMS: RangeInclusive<f64> = 0.05..=60.0;
const CV: RangeInclusive<f64> = 0.001..=0.8;
const DIAMETER: RangeInclusive<f64> = 5.0..=60.0;
const THICKNESS: RangeInclusive<f64> = 0.3..=8.0;
/// Thickness of the plain disc that weight, diameter and density make, mm.
const DISC: RangeInclusive<f64> = 0.25..=5.0;
/// Widest range of diameters, as a share of its middle.
const WIDEST: f64 = 0.6;
/// Furthest a type's weight lies from its standard, as a share of the standard.
const FURTHEST: f64 = 0.4;

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    for row in &library.raw.denominations {
        for standard in &row.fields.standards {
            let looks = looks_of(library, &standard.metal);
            one_standard(
                (&row.file, &row.id, "standards"),
                standard,
                looks,
                &mut faults,
            );
        }
    }
    for series in library.raw.series.iter().chain(&library.raw.attic) {
        own_figures(&series.file, "shared", &series.shared, &mut faults);
        for (id, coin) in &series.types {
            own_figures(&series.file, id, coin, &mut faults);
        }
    }
    for (coin, written) in library.linked() {
        let own = &written.whole;
        if own.weights.is_some() || own.diameter.is_some() {
            let looks = library.catalogue.metals[coin.metal].looks;
            let at = (written.file, written.id, "weights");
            disc(at, mean_weight(coin), coin.diameter, looks, &mut faults);
        }
        faults.extend(near_standard(coin, written, library));
    }
    faults.extend(artefacts::ranges::check(library));
    faults
}

fn looks_of(library: &Library<'_>, metal: &str) -> Option<MetalSeen> {
    let metals = &library.catalogue.metals;
    metals
        .iter()
        .find(|known| known.id == metal)
        .map(|known| known.looks)
}

fn one_standard(
    at: Place<'_>,
    standard: &RawStandard,
    looks: Option<MetalSeen>,
    faults: &mut Vec<Fault>,
) {
    figure(at, "weight", standard.weight, GRAMS, "g", faults);
    figure(at, "spread", standard.cv, CV, "of the mean", faults);
    sizes(at, at, standard.diameter, standard.thickness, faults);
    if let Some(looks) = looks {
        let diameter = standard.diameter.map(|d| (d[0], d[1]));
        let grams = Some(standard.weight).filter(|grams| GRAMS.contains(grams));
        disc(at, grams, diameter, looks, faults);
    }
}

/// The figures a type or a shared head gives itself.
fn own_figures(file: &str, id: &str, coin: &RawType, faults: &mut Vec<Fault>) {
    let at = (file, id, "weights");
    for part in coin.weights.iter().flatten() {
        figure(at, "weight", part.g, GRAMS, "g", faults);
        figure(at, "spread", part.cv, CV, "of the mean", faults);
        if !(part.share > 0.0 && part.share <= 1.0) {
            let what = format!("the share {} is not between 0 and 1", part.share);
            let mend = "write what part of the pieces weigh so";
            faults.push(Fault::at("ranges", file, id, "weights", what, mend));
        }
    }
    let (diameter, thickness) = ((file, id, "diameter"), (file, id, "thickness"));
    sizes(diameter, thickness, coin.diameter, coin.thickness, faults);
}

fn figure(
    at: Place<'_>,
    name: &str,
    value: f64,
    within: RangeInclusive<f64>,
    unit: &str,
    faults: &mut Vec<Fault>,
) {
    if !within.contains(&value) {
        let (least, most) = (within.start(), within.end());
        let what = format!("the {name} {value} {unit} lies outside {least} to {most}");
        faults.push(Fault::at(
            "ranges",
            at.0,
            at.1,
            at.2,
            what,
            "correct the figure",
        ));
    }
}

fn sizes(
    diameter_at: Place<'_>,
    thickness_at: Place<'_>,
    diameter: Option<[f64; 2]>,
    thickness: Option<[f64; 2]>,
    faults: &mut Vec<Fault>,
) {
    let both = [
        (diameter_at, "diameter", diameter, DIAMETER),
        (thickness_at, "thickness", thickness, THICKNESS),
    ];
    for (at, name, range, within) in both {
        let Some([least, most]) = range else { continue };
        figure(at, name, least, within.clone(), "mm", faults);
        figure(at, name, most, within, "mm", faults);
        if least > most {
            let what = format!("the {name} runs from {least} down to {most} mm");
            faults.push(Fault::at(
                "ranges",
                at.0,
                at.1,
                at.2,
                what,
                "write [least, most]",
            ));
        }
    }
    if let Some([least, most]) = diameter {
        let (at, middle) = (diameter_at, (least + most) / 2.0);
        if most - least > WIDEST * middle {
            let what = format!("a diameter of {least} to {most} mm says next to nothing");
            let mend = "narrow it to the usual range, or split the row";
            faults.push(Fault::at("ranges", at.0, at.1, at.2, what, mend));
        }
    }
}

/// Grams in a cubic centimetre of a metal that looks so.
fn density(looks: MetalSeen) -> f64 {
    match looks {
        MetalSeen::Gold => 19.0,
        MetalSeen::Silver => 10.4,
        // Between silver and copper, nearer to copper when it shows.
        MetalSeen::BaseSilver => 9.4,
        MetalSeen::Plated | MetalSeen::CopperAlloy => 8.8,
        MetalSeen::WhiteMetal => 7.3,
        MetalSeen::Lead => 11.3,
        MetalSeen::Iron => 7.8,
    }
}

/// Thickness in mm of a plain disc of this weight, diameter and metal.
fn disc_thickness(grams: f64, diameter: f64, looks: MetalSeen) -> f64 {
    1000.0 * grams / density(looks) / (PI / 4.0 * diameter * diameter)
}

fn disc(
    at: Place<'_>,
    grams: Option<f64>,
    diameter: Option<(f64, f64)>,
    looks: MetalSeen,
    faults: &mut Vec<Fault>,
) {
    let (Some(grams), Some((least, most))) = (grams, diameter) else {
        return;
    };
    let middle = (least + most) / 2.0;
    let thick = disc_thickness(grams, middle, looks);
    if !DISC.contains(&thick) {
        let what = format!(
            "{grams:.2} g of {} at {middle:.1} mm across would be {thick:.2} mm thick",
            looks.name()
        );
        let mend = "correct the weight, the diameter or the metal";
        faults.push(Fault::at("ranges", at.0, at.1, at.2, what, mend));
    }
}

/// Mean weight of a type; `None` without weights, or when a figure already at fault
/// would only bring more faults with it.
fn mean_weight(coin: &CoinType) -> Option<f64> {
    let parts = &coin.weights;
    let mean: f64 = parts.iter().map(|part| part.grams * part.share).sum();
    let sound = parts
        .iter()
        .all(|part| GRAMS.contains(&part.grams) && part.share > 0.0);
    (sound && !parts.is_empty()).then_some(mean)
}

/// A type's own weight against the standards of its denomination, metal and years.
fn near_standard(coin: &CoinType, written: &Whole<'_>, library: &Library<'_>) -> Option<Fault> {
    let whole = &written.whole;
    if whole.weights.is_none() || whole.note.is_some() || whole.copy.is_some() {
        return None;
    }
    let mean = mean_weight(coin)?;
    let denomination = &library.catalogue.denominations[coin.denomination];
    let standards = denomination.standards.iter();
    let off = |standard: f64| (mean / standard - 1.0).abs();
    let nearest = standards
        .filter(|s| s.metal == coin.metal && s.span.overlaps(coin.span))
        .map(|s| s.weight)
        .min_by(|a, b| off(*a).total_cmp(&off(*b)))?;
    (off(nearest) > FURTHEST).then(|| {
        let what = format!(
            "a mean of {mean:.2} g lies more than 40 % from the {nearest:.2} g of `{}`",
            denomination.id
        );
        let mend = "correct the weight or the denomination, or account for it in `note`";
        written.fault("ranges", "weights", what, mend)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sterling_and_a_cartwheel_are_discs() {
        let sterling = disc_thickness(1.44, 19.0, MetalSeen::Silver);
        assert!((sterling - 0.488).abs() < 0.01, "{sterling}");
        // The thickest coin of the realm, a twopence of 1797, just fits.
        let cartwheel = disc_thickness(56.7, 41.0, MetalSeen::CopperAlloy);
        assert!(DISC.contains(&cartwheel), "{cartwheel}");
        // Grains for grams do not.
        assert!(!DISC.contains(&disc_thickness(22.2, 19.0, MetalSeen::Silver)));
    }
}
