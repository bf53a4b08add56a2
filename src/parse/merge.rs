//! Two descriptions of one find laid together.
//!
//! Where both give a trait that can have but one value, the first is kept and a
//! remark names the other. Lists are joined and say each thing once.
//!
//! Invariant: nothing of either find is lost without a remark.

use super::form::Field;
use super::remark::{Remark, RemarkKind};
use crate::find::{
    Completeness, Corrosion, DieAxis, Find, Grams, Making, Measured, MetalSeen, Millimetres,
    Opinion, Region, Sighting, Treatment, Wear, Year, era,
};

/// Flags and words together: the first wins where both give a single-valued
/// trait, with a remark when they differ.
pub fn merge(first: Find, second: Find) -> (Find, Vec<Remark>) {
    let mut find = first;
    let mut remarks = Vec::new();
    keep(
        &mut find.id,
        second.id.clone(),
        Field::Id,
        String::clone,
        &mut remarks,
    );
    keep(
        &mut find.metal,
        second.metal,
        Field::Metal,
        metal_words,
        &mut remarks,
    );
    keep_measures(&mut find, &second, &mut remarks);
    keep_state(&mut find, &second, &mut remarks);
    join(&mut find, second, &mut remarks);
    (find, remarks)
}

fn keep_measures(find: &mut Find, second: &Find, remarks: &mut Vec<Remark>) {
    let (grams, length) = (|grams: Grams| grams.get(), |size: Millimetres| size.get());
    let (weight, diameter, thickness) = (second.weight, second.diameter, second.thickness);
    keep_measure(&mut find.weight, weight, Field::Weight, "g", grams, remarks);
    keep_measure(
        &mut find.diameter,
        diameter,
        Field::Diameter,
        "mm",
        length,
        remarks,
    );
    keep_measure(
        &mut find.thickness,
        thickness,
        Field::Thickness,
        "mm",
        length,
        remarks,
    );
    let hour = |axis: &DieAxis| format!("{} h", axis.hour());
    keep(
        &mut find.die_axis,
        second.die_axis,
        Field::DieAxis,
        hour,
        remarks,
    );
    let region = |region: &Region| region.name().to_string();
    keep(
        &mut find.region,
        second.region,
        Field::Region,
        region,
        remarks,
    );
    let year = |year: &Year| era(*year);
    keep(
        &mut find.date_on_piece,
        second.date_on_piece,
        Field::DateOnPiece,
        year,
        remarks,
    );
}

fn keep_state(find: &mut Find, second: &Find, remarks: &mut Vec<Remark>) {
    let left = |left: &Completeness| left.name().to_string();
    keep(
        &mut find.completeness,
        second.completeness,
        Field::Completeness,
        left,
        remarks,
    );
    let wear = |wear: &Wear| wear.name().to_string();
    keep(&mut find.wear, second.wear, Field::Wear, wear, remarks);
    let corrosion = |corrosion: &Corrosion| corrosion.name().to_string();
    keep(
        &mut find.corrosion,
        second.corrosion,
        Field::Corrosion,
        corrosion,
        remarks,
    );
    let making = |making: &Making| making.name().to_string();
    keep(
        &mut find.making,
        second.making,
        Field::Making,
        making,
        remarks,
    );
}

/// Lists laid end to end, each thing once.
fn join(find: &mut Find, second: Find, remarks: &mut Vec<Remark>) {
    for treatment in second.treatments {
        add_treatment(find, treatment, true, remarks);
    }
    for treatment in second.treatments_absent {
        add_treatment(find, treatment, false, remarks);
    }
    for reading in second.readings {
        if !find.readings.contains(&reading) {
            find.readings.push(reading);
        }
    }
    for sighting in second.sightings {
        add_sighting(find, sighting, remarks);
    }
    for word in second.seen_words {
        find.add_seen_word(word);
    }
    for companion in second.company {
        if !find.company.contains(&companion) {
            find.company.push(companion);
        }
    }
    for opinion in second.opinions {
        let alike = |held: &Opinion| held.level == opinion.level && held.ids == opinion.ids;
        if !find.opinions.iter().any(alike) {
            find.opinions.push(opinion);
        }
    }
}

/// The words for a metal and how sure the finder is.
fn metal_words((metal, sure): &(MetalSeen, bool)) -> String {
    if *sure {
        metal.name().to_string()
    } else {
        format!("perhaps {}", metal.name())
    }
}

fn keep<T: PartialEq>(
    slot: &mut Option<T>,
    value: Option<T>,
    field: Field,
    show: impl Fn(&T) -> String,
    remarks: &mut Vec<Remark>,
) {
    match (&*slot, value) {
        (None, value) => *slot = value,
        (Some(held), Some(other)) if *held != other => {
            remarks.push(differs(field, &show(&other), &show(held)))
        }
        _ => {}
    }
}

/// Two measures agree when their errors overlap; then the first is kept and nothing need be said.
fn keep_measure<U: Copy>(
    slot: &mut Option<Measured<U>>,
    value: Option<Measured<U>>,
    field: Field,
    unit: &str,
    size: impl Fn(U) -> f64,
    remarks: &mut Vec<Remark>,
) {
    match (*slot, value) {
        (None, value) => *slot = value,
        (Some(held), Some(other)) => {
            let (kept, second) = (size(held.value), size(other.value));
            if (kept - second).abs() > held.error + other.error {
                remarks.push(differs(
                    field,
                    &format!("{second} {unit}"),
                    &format!("{kept} {unit}"),
                ));
            }
        }
        _ => {}
    }
}

fn differs(field: Field, other: &str, kept: &str) -> Remark {
    Remark::new(
        RemarkKind::Contradiction,
        field.name(),
        other,
        format!("does not agree with {kept}, which was given first and is kept"),
        "give one value",
    )
}

/// Adds a treatment seen, or looked for in vain, once.
pub(super) fn add_treatment(
    find: &mut Find,
    treatment: Treatment,
    present: bool,
    remarks: &mut Vec<Remark>,
) {
    let (same, other) = if present {
        (&mut find.treatments, &find.treatments_absent)
    } else {
        (&mut find.treatments_absent, &find.treatments)
    };
    if other.contains(&treatment) {
        let kept = if present {
            "said not to be there"
        } else {
            "said to be there"
        };
        remarks.push(Remark::new(
            RemarkKind::Contradiction,
            Field::Treatment.name(),
            treatment.name(),
            format!("is first {kept}, then the opposite; the first is kept"),
            "say it once",
        ));
    } else if !same.contains(&treatment) {
        same.push(treatment);
    }
}

/// Adds a sighting once; the same motif on the same side cannot be there and not there.
pub(super) fn add_sighting(find: &mut Find, sighting: Sighting, remarks: &mut Vec<Remark>) {
    let alike = find
        .sightings
        .iter_mut()
        .find(|held| held.motif == sighting.motif && held.side == sighting.side);
    match alike {
        None => find.sightings.push(sighting),
        Some(held) if held.present == sighting.present => held.sure |= sighting.sure,
        Some(held) => {
            let kept = if held.present {
                "is there"
            } else {
                "is not there"
            };
            remarks.push(Remark::new(
                RemarkKind::Contradiction,
                Field::Motif.name(),
                &sighting.said,
                format!("is said to be there and not to be there; kept: it {kept}"),
                "say it once",
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::find::Side;

    fn weighing(grams: f64) -> Find {
        Find {
            weight: Some(Measured {
                value: Grams::new(grams).unwrap(),
                error: 0.05,
            }),
            ..Find::default()
        }
    }

    #[test]
    fn the_first_wins_and_the_other_is_named() {
        let (find, remarks) = merge(weighing(1.2), weighing(4.0));
        assert_eq!(find, weighing(1.2));
        assert_eq!(
            (remarks[0].kind.clone(), remarks[0].said.as_str()),
            (RemarkKind::Contradiction, "4 g")
        );
        assert_eq!(
            merge(weighing(1.2), weighing(1.25)),
            (weighing(1.2), Vec::new())
        );
        assert_eq!(
            merge(Find::default(), weighing(4.0)),
            (weighing(4.0), Vec::new())
        );
    }

    #[test]
    fn traits_of_both_stand_side_by_side() {
        let first = Find {
            wear: Some(Wear::Worn),
            treatments: vec![Treatment::Bent],
            ..Find::default()
        };
        let second = Find {
            die_axis: DieAxis::new(6).ok(),
            diameter: Millimetres::new(17.0)
                .ok()
                .map(|value| Measured { value, error: 0.5 }),
            treatments: vec![Treatment::Bent, Treatment::Clipped],
            treatments_absent: vec![Treatment::Pierced],
            ..Find::default()
        };
        let (find, remarks) = merge(first, second);
        assert!(remarks.is_empty());
        assert_eq!(find.treatments, [Treatment::Bent, Treatment::Clipped]);
        assert_eq!(find.treatments_absent, [Treatment::Pierced]);
        assert!(find.wear.is_some() && find.die_axis.is_some() && find.diameter.is_some());
    }

    #[test]
    fn there_and_not_there_is_a_contradiction() {
        let seen = |present| Sighting {
            motif: "crown".into(),
            said: "crown".into(),
            side: Side::Obverse,
            present,
            sure: true,
        };
        let with = |present| Find {
            sightings: vec![seen(present)],
            ..Find::default()
        };
        let (find, remarks) = merge(with(true), with(false));
        assert_eq!(find, with(true));
        assert_eq!(remarks[0].kind, RemarkKind::Contradiction);
        assert_eq!(merge(with(true), with(true)), (with(true), Vec::new()));
    }
}
