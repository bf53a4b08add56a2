//! Traits of a find that were typed elsewhere, as the flags that would say them.
//!
//! Puts texts into their places; reads none of them.
//!
//! Invariant: the fields of what comes out are those that went in, words left out.

use super::TraitFlags;
use crate::parse::Field;

impl TraitFlags {
    /// The flags that say these fields; words are no flag and are left out.
    pub(crate) fn of(fields: &[(Field, String)]) -> TraitFlags {
        let all = |wanted: Field| {
            let of = fields.iter().filter(move |(field, _)| *field == wanted);
            of.map(|(_, text)| text.clone())
        };
        let last = |wanted: Field| all(wanted).next_back();
        TraitFlags {
            id: last(Field::Id),
            metal: last(Field::Metal),
            weight: last(Field::Weight),
            diameter: last(Field::Diameter),
            thickness: last(Field::Thickness),
            die_axis: last(Field::DieAxis),
            completeness: last(Field::Completeness),
            wear: last(Field::Wear),
            corrosion: last(Field::Corrosion),
            making: last(Field::Making),
            date_on_piece: last(Field::DateOnPiece),
            region: last(Field::Region),
            treatment: all(Field::Treatment).collect(),
            obverse_legend: all(Field::ObverseLegend).collect(),
            reverse_legend: all(Field::ReverseLegend).collect(),
            legend: all(Field::Legend).collect(),
            obverse_motif: all(Field::ObverseMotif).collect(),
            reverse_motif: all(Field::ReverseMotif).collect(),
            motif: all(Field::Motif).collect(),
            absent: all(Field::Absent).collect(),
            opinion: all(Field::Opinion).collect(),
            found_with: all(Field::FoundWith).collect(),
        }
    }
}
