//! Numerals as struck: IIII beside IV, VIIII beside IX, and what is left of a broken one.
//!
//! Knows no title. Invariant: a numeral that is whole fits one number at most.

/// One place of a numeral as read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// This letter.
    Letter(char),
    /// One letter that is lost.
    Lost,
}

/// How the places may go on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tail {
    /// They are all there are.
    Closed,
    /// The lost places at the end may have held something else.
    Loose,
    /// More may have followed.
    Open,
}

/// Highest number of a title that is sought; no emperor had as many.
const MOST: u8 = 45;

const TENS: [&[&str]; 5] = [&[""], &["X"], &["XX"], &["XXX"], &["XXXX", "XL"]];
const ONES: [&[&str]; 10] = [
    &[""],
    &["I"],
    &["II"],
    &["III"],
    &["IIII", "IV"],
    &["V"],
    &["VI"],
    &["VII"],
    &["VIII", "IIX"],
    &["VIIII", "IX"],
];

/// The numbers that the places may have been.
pub(super) fn numbers(places: &[Place], tail: Tail) -> Vec<u8> {
    let fits = |number: u8| {
        let (tens, ones) = (
            TENS[usize::from(number / 10)],
            ONES[usize::from(number % 10)],
        );
        tens.iter().any(|tens| {
            let whole = |one: &&str| fit(places, tail, &format!("{tens}{one}"));
            ones.iter().any(whole)
        })
    };
    (1..=MOST).filter(|number| fits(*number)).collect()
}

fn fit(places: &[Place], tail: Tail, form: &str) -> bool {
    let seen = places
        .iter()
        .rposition(|place| *place != Place::Lost)
        .map_or(0, |last| last + 1);
    let least = if tail == Tail::Loose {
        seen
    } else {
        places.len()
    };
    let length = form.len();
    let long_enough = match tail {
        Tail::Closed => length == places.len(),
        Tail::Loose => (least..=places.len()).contains(&length),
        Tail::Open => length >= seen,
    };
    long_enough
        && form.chars().zip(places).all(|(struck, place)| match place {
            Place::Letter(read) => *read == struck,
            Place::Lost => true,
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn places(text: &str) -> Vec<Place> {
        let place = |c| match c {
            '.' => Place::Lost,
            c => Place::Letter(c),
        };
        text.chars().map(place).collect()
    }

    #[test]
    fn whole_numerals_are_one_number_in_either_spelling() {
        for (text, number) in [
            ("IIII", 4),
            ("IV", 4),
            ("XVIIII", 19),
            ("XIX", 19),
            ("XXXVII", 37),
        ] {
            assert_eq!(numbers(&places(text), Tail::Closed), [number], "{text}");
        }
        assert!(numbers(&places("LI"), Tail::Closed).is_empty());
        assert!(numbers(&places("IIV"), Tail::Closed).is_empty());
    }

    #[test]
    fn broken_numerals_are_all_that_they_may_have_been() {
        assert_eq!(
            numbers(&places("X.."), Tail::Closed),
            [12, 14, 16, 19, 21, 25, 30, 41, 45]
        );
        assert_eq!(numbers(&places("V."), Tail::Loose), [5, 6]);
        assert_eq!(numbers(&places("XX"), Tail::Open)[..3], [20, 21, 22]);
        assert!(numbers(&places("XX"), Tail::Open).contains(&30));
    }
}
