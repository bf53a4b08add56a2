//! Which countries have land in a square of 100 km.
//!
//! By the two letters alone: no coast, no border and no county is known here, since no outline of
//! them with a source stands in the library. That Wales lies in eight squares is published
//! (Ordnance Survey, *Using the National Grid*); which of the 56 squares with land belong to which
//! other country is from memory, unverified.
//!
//! Invariant: a square that is not listed has no land of Great Britain or Man.

use super::square::Square;

/// A country with soil of its own law.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Country {
    /// England.
    England,
    /// Wales.
    Wales,
    /// Scotland.
    Scotland,
    /// The Isle of Man.
    Man,
}

use Country::{England, Man, Scotland, Wales};

impl Country {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            England => "England",
            Wales => "Wales",
            Scotland => "Scotland",
            Man => "the Isle of Man",
        }
    }
}

/// The squares with land, by the countries that lie in them.
const LAND: [(&[Country], &str); 7] = [
    (
        &[England],
        "NU NZ OV SD SE SK SP SU SV SW SX SY SZ TA TF TG TL TM TQ TR TV",
    ),
    (&[Wales], "SH SM SN SR"),
    (&[England, Wales], "SJ SO SS ST"),
    (&[England, Scotland], "NT NY"),
    (&[England, Scotland, Man], "NX"),
    (&[Man], "SC"),
    (
        &[Scotland],
        "HP HT HU HW HX HY HZ NA NB NC ND NF NG NH NJ NK NL NM NN NO NR NS NW",
    ),
];

/// The countries that have land in the square of 100 km in which this one lies; none at sea.
pub fn countries(square: Square) -> &'static [Country] {
    let letters: String = square.letters().into_iter().collect();
    let row = LAND.iter().find(|(_, squares)| {
        let mut squares = squares.split(' ');
        squares.any(|square| square == letters)
    });
    row.map_or(&[], |(countries, _)| countries)
}

/// What to say where the law may be another than that of England and Wales.
pub fn about(square: Square) -> Vec<&'static str> {
    let found = countries(square);
    let mut said = Vec::new();
    if found.contains(&Scotland) {
        said.push(
            "if it lies in Scotland another law holds: all finds of archaeological, historical or \
             cultural importance are reported to the Treasure Trove Unit, National Museums Scotland",
        );
    }
    if found.contains(&Man) {
        said.push(
            "if it lies in the Isle of Man another law holds: archaeological objects are reported \
             within 14 days; ask Manx National Heritage",
        );
    }
    if found.len() > 1 {
        said.push("the letters alone do not tell the countries of this square apart");
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findspot::Side;

    #[test]
    fn fifty_six_squares_have_land_each_listed_once() {
        let mut all: Vec<&str> = LAND.iter().flat_map(|(_, row)| row.split(' ')).collect();
        assert_eq!(all.len(), 56);
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), 56);
        for letters in all {
            let letters: Vec<char> = letters.chars().collect();
            assert!(
                Square::hundred([letters[0], letters[1]]).is_some(),
                "{letters:?}"
            );
        }
    }

    /// Ordnance Survey, *Using the National Grid*: Wales lies in SH, SJ, SM, SN, SO, SR, SS, ST.
    #[test]
    fn wales_lies_in_the_eight_squares_published() {
        let rows = LAND
            .iter()
            .filter(|(countries, _)| countries.contains(&Wales));
        let mut squares: Vec<&str> = rows.flat_map(|(_, row)| row.split(' ')).collect();
        squares.sort_unstable();
        assert_eq!(squares.join(" "), "SH SJ SM SN SO SR SS ST");
    }

    #[test]
    fn the_other_laws_are_told_of() {
        let at =
            |east, north| Square::cut_whole(east, north, Side::Kilometre).expect("on the grid");
        assert!(about(at(530_000, 180_000)).is_empty());
        assert!(about(at(216_000, 771_000))[0].contains("Treasure Trove Unit"));
        assert!(about(at(230_000, 480_000))[0].contains("Manx"));
        assert_eq!(about(at(250_000, 510_000)).len(), 3);
        assert!(countries(at(650_000, 50_000)).is_empty());
    }
}
