//! Squares of the National Grid: their letters, their figures, their sides.
//!
//! Knows no datum and no coast.
//!
//! Invariant: the corner is a multiple of the side and lies on the grid of 700 by 1,300 km.

use std::fmt;

/// Easting at which the grid ends, metres.
const EAST_END: u32 = 700_000;
/// Northing at which the grid ends, metres.
const NORTH_END: u32 = 1_300_000;
/// The letters in their order; the grid has no I.
const LETTERS: &[u8; 25] = b"ABCDEFGHJKLMNOPQRSTUVWXYZ";

/// The side of a square, from the coarsest on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// 1 m, ten figures.
    Metre,
    /// 10 m, eight figures.
    TenMetres,
    /// 100 m, six figures.
    HundredMetres,
    /// 1 km, four figures.
    Kilometre,
    /// 10 km, two figures.
    TenKilometres,
}

impl Side {
    /// All sides, the finest first.
    pub const ALL: [Side; 5] = [
        Side::Metre,
        Side::TenMetres,
        Side::HundredMetres,
        Side::Kilometre,
        Side::TenKilometres,
    ];

    /// Length of the side in metres.
    pub fn metres(self) -> u32 {
        match self {
            Side::Metre => 1,
            Side::TenMetres => 10,
            Side::HundredMetres => 100,
            Side::Kilometre => 1_000,
            Side::TenKilometres => 10_000,
        }
    }

    /// How many figures a reference to such a square has.
    pub fn figures(self) -> usize {
        match self {
            Side::Metre => 10,
            Side::TenMetres => 8,
            Side::HundredMetres => 6,
            Side::Kilometre => 4,
            Side::TenKilometres => 2,
        }
    }

    /// The side as people say it.
    pub fn text(self) -> &'static str {
        match self {
            Side::Metre => "1 m",
            Side::TenMetres => "10 m",
            Side::HundredMetres => "100 m",
            Side::Kilometre => "1 km",
            Side::TenKilometres => "10 km",
        }
    }

    /// The side that a reference of so many figures has.
    pub fn of_figures(figures: usize) -> Option<Side> {
        Side::ALL.into_iter().find(|side| side.figures() == figures)
    }

    /// The side of so many metres.
    pub fn of_metres(metres: u32) -> Option<Side> {
        Side::ALL.into_iter().find(|side| side.metres() == metres)
    }
}

/// A square of the National Grid, named by its south-west corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Square {
    east: u32,
    north: u32,
    side: Side,
}

impl Square {
    /// The square of this side in which a point lies: its figures are cut, never rounded. None
    /// where the grid does not reach.
    pub fn cut(east: f64, north: f64, side: Side) -> Option<Square> {
        let on = |value: f64, end: u32| (0.0..f64::from(end)).contains(&value);
        if !on(east, EAST_END) || !on(north, NORTH_END) {
            return None;
        }
        Square::cut_whole(east as u32, north as u32, side)
    }

    /// As [`Square::cut`], of whole metres.
    pub fn cut_whole(east: u32, north: u32, side: Side) -> Option<Square> {
        let metres = side.metres();
        (east < EAST_END && north < NORTH_END).then(|| Square {
            east: east - east % metres,
            north: north - north % metres,
            side,
        })
    }

    /// Easting of the south-west corner, metres.
    pub fn east(self) -> u32 {
        self.east
    }

    /// Northing of the south-west corner, metres.
    pub fn north(self) -> u32 {
        self.north
    }

    /// Length of its side.
    pub fn side(self) -> Side {
        self.side
    }

    /// Easting and northing of its middle, metres.
    pub fn middle(self) -> (f64, f64) {
        let half = f64::from(self.side.metres()) / 2.0;
        (f64::from(self.east) + half, f64::from(self.north) + half)
    }

    /// Its corners from the south-west one on, against the clock.
    pub fn corners(self) -> [(f64, f64); 4] {
        let side = f64::from(self.side.metres());
        let (west, south) = (f64::from(self.east), f64::from(self.north));
        let (east, north) = (west + side, south + side);
        [(west, south), (east, south), (east, north), (west, north)]
    }

    /// True when a point lies in it; the southern and the western edge are its own.
    pub fn contains(self, east: f64, north: f64) -> bool {
        let side = f64::from(self.side.metres());
        let (west, south) = (f64::from(self.east), f64::from(self.north));
        (west..west + side).contains(&east) && (south..south + side).contains(&north)
    }

    /// The square of this side that holds it; itself when it is as coarse already.
    pub fn redacted(self, side: Side) -> Square {
        let side = side.max(self.side);
        let metres = side.metres();
        Square {
            east: self.east - self.east % metres,
            north: self.north - self.north % metres,
            side,
        }
    }

    /// The two letters of the square of 100 km in which it lies.
    pub fn letters(self) -> [char; 2] {
        let (e, n) = (self.east / 100_000, self.north / 100_000);
        let down = 19 - n;
        let first = (down - down % 5) + (e + 10) / 5;
        let second = (down * 5) % 25 + e % 5;
        [first, second].map(|place| char::from(LETTERS[place as usize]))
    }

    /// Corner of the square of 100 km that two letters name, in metres; none where the grid does
    /// not reach. It may reach below nought, so it is signed.
    pub(super) fn hundred(letters: [char; 2]) -> Option<(u32, u32)> {
        let place = |c: char| LETTERS.iter().position(|l| char::from(*l) == c);
        let (first, second) = (place(letters[0])? as i32, place(letters[1])? as i32);
        let east = (first % 5 - 2) * 5 + second % 5;
        let north = 19 - (first / 5) * 5 - second / 5;
        let east = u32::try_from(east).ok()? * 100_000;
        let north = u32::try_from(north).ok()? * 100_000;
        (east < EAST_END && north < NORTH_END).then_some((east, north))
    }

    /// Its figures within the square of 100 km, easting and northing.
    fn figures(self) -> (String, String) {
        let metres = self.side.metres();
        let wide = self.side.figures() / 2;
        let part = |value: u32| format!("{:0wide$}", value % 100_000 / metres);
        (part(self.east), part(self.north))
    }

    /// The reference without spaces: `TQ30008000`.
    pub fn compact(self) -> String {
        let [first, second] = self.letters();
        let (east, north) = self.figures();
        format!("{first}{second}{east}{north}")
    }

    /// Easting and northing of the corner in full: `530000 180000`. The side does not show in it.
    pub fn numeric(self) -> String {
        format!("{:06} {:06}", self.east, self.north)
    }
}

impl fmt::Display for Square {
    /// The reference with spaces: `TQ 3000 8000`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [first, second] = self.letters();
        let (east, north) = self.figures();
        write!(f, "{first}{second} {east} {north}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use proptest::sample::select;

    /// Facts by hand from the rule of the letters: points, their square of 100 km and their
    /// references of ten, six and four figures, cut. (TG514132 and TQ306784 would be rounding.)
    const CUT: [(f64, f64, &str, &str, &str); 5] = [
        (
            651_409.903,
            313_177.270,
            "TG5140913177",
            "TG514131",
            "TG5113",
        ),
        (91_492.146, 11_318.804, "SV9149211318", "SV914113", "SV9111"),
        (
            530_624.974,
            178_388.464,
            "TQ3062478388",
            "TQ306783",
            "TQ3078",
        ),
        (
            422_242.186,
            433_818.701,
            "SE2224233818",
            "SE222338",
            "SE2233",
        ),
        (
            454_002.834,
            340_834.943,
            "SK5400240834",
            "SK540408",
            "SK5440",
        ),
    ];

    #[test]
    fn points_are_cut_and_never_rounded() {
        for (east, north, ten, six, four) in CUT {
            let sides = [Side::Metre, Side::HundredMetres, Side::Kilometre];
            for (side, wanted) in sides.into_iter().zip([ten, six, four]) {
                let square = Square::cut(east, north, side).expect("on the grid");
                assert_eq!(square.compact(), wanted);
                assert!(square.contains(east, north));
            }
        }
    }

    #[test]
    fn letters_name_the_squares_they_stand_in() {
        // The corners of the grid: SV, HL at the top of the west, JM and TW... as the rule gives.
        let corners = [
            (0, 0, ['S', 'V']),
            (600_000, 0, ['T', 'W']),
            (0, 1_200_000, ['H', 'L']),
            (600_000, 1_200_000, ['J', 'M']),
        ];
        for (east, north, letters) in corners {
            let square = Square::cut_whole(east, north, Side::Kilometre).expect("on the grid");
            assert_eq!(square.letters(), letters);
            assert_eq!(Square::hundred(letters), Some((east, north)));
        }
        for beyond in [['A', 'A'], ['T', 'X'], ['R', 'Z'], ['H', 'F'], ['W', 'V']] {
            assert_eq!(Square::hundred(beyond), None, "{beyond:?}");
        }
    }

    #[test]
    fn beyond_the_grid_there_is_no_square() {
        for (east, north) in [
            (-0.1, 5.0),
            (5.0, -0.1),
            (700_000.0, 5.0),
            (5.0, 1_300_000.0),
            (f64::NAN, 5.0),
            (5.0, f64::INFINITY),
        ] {
            assert_eq!(Square::cut(east, north, Side::Metre), None);
        }
        assert!(Square::cut(699_999.999, 1_299_999.999, Side::Metre).is_some());
    }

    fn anywhere() -> impl Strategy<Value = (f64, f64)> {
        (0.0..700_000.0, 0.0..1_300_000.0)
    }

    proptest! {
        #![proptest_config(crate::findspot::steady())]

        #[test]
        fn a_square_holds_the_point_it_was_cut_from(
            (east, north) in anywhere(), side in select(Side::ALL.to_vec())
        ) {
            let square = Square::cut(east, north, side).expect("on the grid");
            prop_assert!(square.contains(east, north));
            let (x, y) = square.middle();
            prop_assert!(square.contains(x, y));
        }

        #[test]
        fn redaction_never_shows_a_finer_figure(
            (east, north) in anywhere(),
            side in select(Side::ALL.to_vec()),
            to in select(Side::ALL.to_vec()),
        ) {
            let square = Square::cut(east, north, side).expect("on the grid");
            let redacted = square.redacted(to);
            prop_assert_eq!(redacted.redacted(to), redacted);
            prop_assert!(redacted.side() >= to && redacted.side() >= side);
            prop_assert!(redacted.contains(east, north));
            prop_assert!(redacted.compact().len() <= square.compact().len());
            // Whatever the finer figures were, the redacted square is the same.
            let other = Square::cut(
                f64::from(redacted.east()), f64::from(redacted.north()), redacted.side(),
            );
            prop_assert_eq!(other, Some(redacted));
        }
    }
}
