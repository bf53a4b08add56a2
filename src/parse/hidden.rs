//! A find with some of its traits taken away, to see what the rest would say.
//!
//! Invariant: what is not named stays as it was given.

use super::form::Field;
use crate::find::{Find, Side};

/// A find as if these fields had not been given.
pub fn without(mut find: Find, hidden: &[Field]) -> Find {
    for field in hidden {
        let bare = Find::default();
        match field {
            Field::Id | Field::Words => {}
            Field::Metal => find.metal = bare.metal,
            Field::Weight => find.weight = bare.weight,
            Field::Diameter => find.diameter = bare.diameter,
            Field::Thickness => find.thickness = bare.thickness,
            Field::DieAxis => find.die_axis = bare.die_axis,
            Field::Completeness => find.completeness = bare.completeness,
            Field::Wear => find.wear = bare.wear,
            Field::Corrosion => find.corrosion = bare.corrosion,
            Field::Making => find.making = bare.making,
            Field::Treatment => find.treatments.clear(),
            Field::Legend => find.readings.clear(),
            Field::ObverseLegend => find.readings.retain(|r| r.side != Side::Obverse),
            Field::ReverseLegend => find.readings.retain(|r| r.side != Side::Reverse),
            Field::Motif => {
                find.sightings.clear();
                find.seen_words.clear();
            }
            Field::ObverseMotif => not_of(&mut find, Side::Obverse),
            Field::ReverseMotif => not_of(&mut find, Side::Reverse),
            Field::Absent => {
                find.sightings.retain(|s| s.present);
                find.treatments_absent.clear();
            }
            Field::DateOnPiece => find.date_on_piece = bare.date_on_piece,
            Field::Opinion => find.opinions.clear(),
            Field::Region => find.region = bare.region,
            Field::FoundWith => find.company.clear(),
        }
    }
    find
}

/// Takes away what is said to be seen on a side.
fn not_of(find: &mut Find, side: Side) {
    find.sightings.retain(|seen| seen.side != side);
    find.seen_words.retain(|word| word.side != side);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::find::{DieAxis, MetalSeen, Reading, Region, SeenWord};

    #[test]
    fn what_is_hidden_goes_and_the_rest_stays() {
        let reading = |side| Reading {
            side,
            ..super::super::reading("CAESAR", side)
                .0
                .expect("has letters")
        };
        let word = |side| SeenWord {
            side,
            word: "knobbly".to_string(),
        };
        let find = Find {
            metal: Some((MetalSeen::Gold, true)),
            die_axis: DieAxis::new(6).ok(),
            region: Some(Region::Wales),
            readings: vec![reading(Side::Obverse), reading(Side::Reverse)],
            seen_words: [Side::Obverse, Side::Unknown].map(word).to_vec(),
            ..Find::default()
        };
        let one = without(find.clone(), &[Field::Metal, Field::ObverseLegend]);
        assert_eq!((one.metal, one.readings.len()), (None, 1));
        assert_eq!((one.die_axis, one.region), (find.die_axis, find.region));
        let plain = without(find.clone(), &[Field::ObverseMotif, Field::ReverseMotif]);
        assert_eq!(plain.seen_words, [word(Side::Unknown)]);
        assert_eq!(without(find.clone(), &[]), find);
        assert_eq!(without(find, &Field::ALL), Find::default());
    }
}
