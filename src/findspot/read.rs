//! What a person typed for a findspot, to the square it denotes.
//!
//! Takes grid references of 2 to 10 figures, full numeric ones, and latitude and longitude, with
//! or without spaces, in large or small letters. Guesses nothing: what could mean two places is a
//! fault that says how to write the one that is meant.
//!
//! Invariant: a reference names the square of its own figures, cut where it has fractions.

use super::degrees::{Degrees, read_degrees};
use super::fault::{Fault, Kind};
use super::land::countries;
use super::square::{Side, Square};

/// Most characters of one findspot.
pub const LONGEST: usize = 120;

/// A findspot as read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Findspot {
    /// The square that was named, or in which the position lies.
    pub square: Square,
    /// Metres by which the position may be off each way, where it was given in degrees: it may
    /// then lie in a neighbouring square.
    pub within: Option<f64>,
}

impl Findspot {
    /// A findspot given in degrees.
    pub fn of_degrees(place: Degrees) -> Result<Findspot, Fault> {
        Ok(Findspot {
            square: place.square()?,
            within: Some(place.within),
        })
    }

    /// The same findspot no finer than this; what it was made of is forgotten.
    pub fn redacted(self, side: Side) -> Findspot {
        let square = self.square.redacted(side);
        Findspot {
            square,
            within: self.within.filter(|_| square == self.square),
        }
    }
}

/// Letters of the squares of the Irish Grid with land in them (from memory).
const IRISH: &str = "BCDFGHJLMNOQRSTVWX";

/// Reads a findspot.
pub fn read(text: &str) -> Result<Findspot, Fault> {
    if text.chars().take(LONGEST + 1).count() > LONGEST {
        return Err(Fault::new(
            Kind::TooLong,
            format!("findspot: longer than {LONGEST} characters"),
            "give one findspot; for many use a file with --gpx or --geojson",
        ));
    }
    let text = plain(text);
    if text.is_empty() {
        return Err(Fault::new(
            Kind::Empty,
            "findspot: nothing was given",
            "write a grid reference (TQ 3000 8000) or latitude and longitude (51.504, -0.129)",
        ));
    }
    let bare = without_labels(&text);
    if bare.len() < text.len() || text.contains(['°', '\'', '"', '±']) {
        return read_degrees(&bare).and_then(Findspot::of_degrees);
    }
    if let Some(labelled) = quarters(&text) {
        return labelled;
    }
    let square = match text.chars().next() {
        Some(first) if first.is_ascii_alphabetic() => lettered(&text)?,
        _ => return unlettered(&text),
    };
    on_land(square, &text)
}

fn on_land(square: Square, text: &str) -> Result<Findspot, Fault> {
    if countries(square).is_empty() {
        let [first, second] = square.letters();
        return Err(Fault::new(
            Kind::Outside,
            format!("findspot {text:?}: the square {first}{second} has no land of Great Britain"),
            "check the two letters, or which of easting and northing comes first",
        ));
    }
    Ok(Findspot {
        square,
        within: None,
    })
}

/// Capitals, plain signs and single spaces.
fn plain(text: &str) -> String {
    let sign = |c: char| match c {
        '\u{2032}' | '\u{2019}' | '\u{2018}' | '\u{b4}' | '`' => '\'',
        '\u{2033}' | '\u{201d}' | '\u{201c}' => '"',
        '\u{2212}' | '\u{2013}' | '\u{2010}' | '\u{2011}' => '-',
        '\u{ba}' | '\u{2da}' => '°',
        c if c.is_whitespace() || c == '\u{feff}' || c == '\u{200b}' => ' ',
        c => c.to_ascii_uppercase(),
    };
    let text: String = text.chars().map(sign).collect();
    let text = text.replace("+/-", "±").replace("+-", "±");
    let words: Vec<&str> = text.split(' ').filter(|word| !word.is_empty()).collect();
    words.join(" ")
}

/// The text without the words for latitude and longitude.
fn without_labels(text: &str) -> String {
    let labels = ["LATITUDE", "LONGITUDE", "LONG", "LAT", "LON", "LNG"];
    let mut bare = text.to_string();
    for label in labels {
        bare = bare.replace(label, " ");
    }
    if bare != text {
        bare = bare.replace([':', '='], " ");
    }
    bare
}

/// A text whose only letters are two of N, S, E and W: degrees, or metres labelled E and N.
fn quarters(text: &str) -> Option<Result<Findspot, Fault>> {
    let letters: Vec<char> = text.chars().filter(char::is_ascii_alphabetic).collect();
    let [first, second] = letters.as_slice() else {
        return None;
    };
    let of = |c: &char| "NSEW".contains(*c);
    // Letters side by side are those of a square: SE, NW.
    if !of(first) || !of(second) || text.contains(&format!("{first}{second}")) {
        return None;
    }
    let figures = text.split(|c: char| !c.is_ascii_digit() && c != '.');
    let numbers: Vec<&str> = figures.filter(|part| !part.is_empty()).collect();
    let large = |number: &&str| number.parse::<f64>().is_ok_and(|n| n > 360.0);
    if numbers.len() != 2 || !numbers.iter().any(large) {
        return Some(read_degrees(text).and_then(Findspot::of_degrees));
    }
    let (east, north) = match (first, second) {
        ('E', 'N') => (numbers[0], numbers[1]),
        ('N', 'E') => (numbers[1], numbers[0]),
        _ => return None,
    };
    Some(whole(east, north, text).and_then(|square| on_land(square, text)))
}

/// A reference that begins with letters.
fn lettered(text: &str) -> Result<Square, Fault> {
    let end = text.find(|c: char| !c.is_ascii_alphabetic());
    let (letters, rest) = match parted(text) {
        Some(rest) => (text[..3].replace(' ', ""), rest),
        None => {
            let (letters, rest) = text.split_at(end.unwrap_or(text.len()));
            (letters.to_string(), rest)
        }
    };
    let letters: Vec<char> = letters.chars().collect();
    match letters.as_slice() {
        [letter] => Err(single(*letter, rest, text)),
        [first, second] => pair([*first, *second], rest, text),
        [first, second, third] if "OIL".contains(*third) => {
            Err(mixed(*third, &format!("{first}{second}"), text))
        }
        _ => Err(Fault::new(
            Kind::OtherSystem,
            format!("findspot {text:?}: words are no grid reference"),
            "write two letters and 2 to 10 figures (TQ 3000 8000), or latitude and longitude",
        )),
    }
}

/// What follows two letters with a space between them: T Q 30 80.
fn parted(text: &str) -> Option<&str> {
    let [first, b' ', second, rest @ ..] = text.as_bytes() else {
        return None;
    };
    let after = rest.first().is_some_and(|next| !next.is_ascii_alphabetic());
    let two = first.is_ascii_alphabetic() && second.is_ascii_alphabetic();
    (two && after).then(|| &text[3..])
}

/// A letter where a figure should be, by what it is likely meant for.
fn mixed(letter: char, before: &str, text: &str) -> Fault {
    let figure = match letter {
        'O' | 'Q' | 'D' => Some('0'),
        'I' | 'L' => Some('1'),
        'S' => Some('5'),
        'B' => Some('8'),
        'Z' => Some('2'),
        _ => None,
    };
    let what = format!("findspot {text:?}: the letter {letter} stands among the figures");
    let mend = match figure {
        Some(figure) => format!("did you mean the figure {figure} after {before:?}?"),
        None => "a postcode, a quarter or a tetrad is not read; write figures alone after the two \
                 letters"
            .to_string(),
    };
    Fault::new(Kind::Mixed, what, mend)
}

/// Why one letter is not enough.
fn single(letter: char, rest: &str, text: &str) -> Fault {
    let figures: String = rest.chars().filter(char::is_ascii_digit).collect();
    let meant = match figures.chars().next() {
        Some('0') => Some('O'),
        Some('1') => Some('J'),
        Some('5') => Some('S'),
        Some('8') => Some('B'),
        _ => None,
    };
    if let (Some(meant), 1) = (meant, figures.len() % 2) {
        let figure = &figures[..1];
        return Fault::new(
            Kind::Mixed,
            format!("findspot {text:?}: the figure {figure} stands where the second letter should"),
            format!("did you mean {letter}{meant}? two letters, then figures: TQ 3000 8000"),
        );
    }
    if IRISH.contains(letter) && !figures.is_empty() && figures.len().is_multiple_of(2) {
        return Fault::new(
            Kind::Irish,
            format!(
                "findspot {text:?}: one letter and figures are a reference of the Irish Grid, which \
                 is not read here"
            ),
            "in Northern Ireland every archaeological object is to be reported within 14 days: ask \
             the Ulster Museum or the department for historic monuments; in Ireland ask the \
             National Museum of Ireland (whom to ask: from memory, unverified)",
        );
    }
    letter_fault(text)
}

fn letter_fault(text: &str) -> Fault {
    Fault::new(
        Kind::Letters,
        format!("findspot {text:?}: the grid needs two letters"),
        "write the two letters of the square of 100 km, then the figures: TQ 3000 8000",
    )
}

fn pair(letters: [char; 2], rest: &str, text: &str) -> Result<Square, Fault> {
    let [first, second] = letters;
    if letters.contains(&'I') {
        return Err(Fault::new(
            Kind::Letters,
            format!("findspot {text:?}: the grid has no letter I"),
            "look again: it may be a J, an L or a T",
        ));
    }
    let Some(corner) = Square::hundred(letters) else {
        let channel = ["WA", "WV"].contains(&format!("{first}{second}").as_str());
        let mend = match channel {
            true => "the Channel Islands have grids and laws of their own: ask the museum there",
            false => "squares of Britain begin with H, N, O, S or T; check the two letters",
        };
        let what = format!("findspot {text:?}: {first}{second} is no square of the National Grid");
        return Err(Fault::new(Kind::Outside, what, mend));
    };
    let (east, north) = figures(rest, &format!("{first}{second}"), text)?;
    let side = Side::of_figures(2 * east.len()).ok_or_else(|| letter_fault(text))?;
    let metres = |part: &str| part.parse::<u32>().unwrap_or(0) * side.metres();
    Square::cut_whole(corner.0 + metres(&east), corner.1 + metres(&north), side)
        .ok_or_else(|| letter_fault(text))
}

/// What is wrong where something else stands among the figures.
fn no_figure(rest: &str, letters: &str, text: &str) -> Option<Fault> {
    let wrong = rest
        .chars()
        .find(|c| !c.is_ascii_digit() && !" ,;/".contains(*c))?;
    if wrong.is_ascii_alphabetic() {
        return Some(mixed(wrong, letters, text));
    }
    Some(Fault::new(
        Kind::Figures,
        format!("findspot {text:?}: {wrong:?} stands among the figures"),
        "write figures alone after the two letters, without a point or a sign",
    ))
}

/// The figures of a lettered reference, easting and northing: as many of the one as of the other.
fn figures(rest: &str, letters: &str, text: &str) -> Result<(String, String), Fault> {
    let fault = |what: String, mend: String| {
        Err(Fault::new(
            Kind::Figures,
            format!("findspot {text:?}: {what}"),
            mend,
        ))
    };
    if let Some(fault) = no_figure(rest, letters, text) {
        return Err(fault);
    }
    let groups: Vec<&str> = rest
        .split([' ', ',', ';', '/'])
        .filter(|group| !group.is_empty())
        .collect();
    let count: usize = groups.iter().map(|group| group.len()).sum();
    let example = format!("write {letters} 300 800 for 100 m, {letters} 3000 8000 for 10 m");
    if count == 0 {
        let what = "the letters alone name a square of 100 km";
        return fault(what.to_string(), format!("add 2 to 10 figures; {example}"));
    }
    if count > 10 {
        return fault(
            format!("it has {count} figures, and ten are the most (1 m)"),
            example,
        );
    }
    match groups.as_slice() {
        [east, north] if east.len() == north.len() => Ok((east.to_string(), north.to_string())),
        [east, north] => fault(
            format!(
                "the easting {east} has {} figures and the northing {north} has {}",
                east.len(),
                north.len()
            ),
            format!("give both the same number; {example}"),
        ),
        [both] if count.is_multiple_of(2) => {
            let (east, north) = both.split_at(count / 2);
            Ok((east.to_string(), north.to_string()))
        }
        [_] => fault(
            format!("it has {count} figures, an odd number: one is missing or one too many"),
            format!("easting and northing have the same number of figures; {example}"),
        ),
        _ => fault(
            format!("its figures stand in {} groups", groups.len()),
            format!("write the easting, then the northing; {example}"),
        ),
    }
}

/// A text that begins with a figure or a sign: degrees, or a full numeric reference.
fn unlettered(text: &str) -> Result<Findspot, Fault> {
    let digits = text.chars().take_while(char::is_ascii_digit).count();
    let zone = text[digits..].chars().find(|c| *c != ' ');
    let letters = text.chars().filter(char::is_ascii_alphabetic).count();
    let quarters = text
        .chars()
        .all(|c| !c.is_ascii_alphabetic() || "NSEW".contains(c));
    if letters > 0 && !quarters {
        let zoned = (1..=2).contains(&digits) && zone.is_some_and(|c| c.is_ascii_alphabetic());
        let what = match zoned && letters == 1 {
            true => "looks like a zone of the world grid (UTM), which is not read here",
            false => "figures come before the letters",
        };
        return Err(Fault::new(
            Kind::OtherSystem,
            format!("findspot {text:?}: {what}"),
            "write two letters, then figures (TQ 3000 8000), or latitude and longitude \
             (51.504, -0.129)",
        ));
    }
    let parts: Vec<&str> = text
        .split([' ', ',', ';', '/'])
        .filter(|part| !part.is_empty())
        .collect();
    let all_figures = |part: &&str| part.bytes().all(|b| b.is_ascii_digit());
    match parts.as_slice() {
        [both] if all_figures(both) && [12, 13].contains(&both.len()) => {
            on_land(whole(&both[..6], &both[6..], text)?, text)
        }
        [both] if all_figures(both) => Err(letters_missing(text)),
        [east, north] if [*east, *north].iter().any(|part| large(part)) => {
            let plain = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
            // Five figures each may be a reference that has lost its letters.
            if plain(east) && plain(north) && east.len() < 6 && north.len() < 6 {
                return Err(letters_missing(text));
            }
            on_land(whole(east, north, text)?, text)
        }
        _ => read_degrees(text).and_then(Findspot::of_degrees),
    }
}

/// True for a number that is no degrees.
fn large(part: &str) -> bool {
    part.parse::<f64>().is_ok_and(|n| n.abs() > 360.0)
}

fn letters_missing(text: &str) -> Fault {
    Fault::new(
        Kind::LettersMissing,
        format!(
            "findspot {text:?}: figures without the two letters occur in every square of 100 km"
        ),
        "add the letters (TQ 3000 8000), or write easting and northing in full, six figures each: \
         530000 180000",
    )
}

/// A full numeric reference: metres, fractions of which are cut away.
fn whole(east: &str, north: &str, text: &str) -> Result<Square, Fault> {
    let metres = |name: &str, part: &str| {
        let cut = part.split('.').next().unwrap_or_default();
        let sound = part.matches('.').count() <= 1 && cut.len() <= 7;
        let value = cut.parse::<u32>().ok().filter(|_| sound);
        value.ok_or_else(|| {
            Fault::new(
                Kind::Figures,
                format!("findspot {text:?}: the {name} {part:?} is no number of metres"),
                "write whole metres, six figures each: 530000 180000",
            )
        })
    };
    let (east, north) = (metres("easting", east)?, metres("northing", north)?);
    Square::cut_whole(east, north, Side::Metre).ok_or_else(|| {
        Fault::new(
            Kind::Outside,
            format!(
                "findspot {text:?}: easting {east}, northing {north} lies off the National Grid, \
                 which ends at 700000 and 1300000"
            ),
            "check whether easting and northing have changed places, or another grid is meant",
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use proptest::sample::select;

    fn reference(text: &str) -> String {
        read(text)
            .unwrap_or_else(|fault| panic!("{text}: {fault}"))
            .square
            .to_string()
    }

    /// Examples of Ordnance Survey, *Using the National Grid* (TL63, NH0325, a church, Ben Nevis),
    /// and of the rule that 0325 is 3 km east and 25 km north of the corner.
    #[test]
    fn published_references_name_their_squares() {
        for (text, east, north, side) in [
            ("TL63", 560_000, 230_000, Side::TenKilometres),
            ("NH0325", 203_000, 825_000, Side::Kilometre),
            ("TL683365", 568_300, 236_500, Side::HundredMetres),
            ("NN166712", 216_600, 771_200, Side::HundredMetres),
        ] {
            let square = read(text).expect(text).square;
            assert_eq!(
                (square.east(), square.north(), square.side()),
                (east, north, side)
            );
            assert_eq!(square.compact(), text);
        }
    }

    #[test]
    fn a_reference_is_read_with_or_without_spaces_and_small() {
        for text in [
            "TQ 3000 8000",
            "TQ30008000",
            "tq 3000 8000",
            " Tq  3000\u{a0}8000 ",
            "TQ 30008000",
            "TQ3000 8000",
            "TQ 3000,8000",
            "T Q 3000 8000",
            "tq3000/8000",
        ] {
            assert_eq!(reference(text), "TQ 3000 8000", "{text}");
        }
        for (text, wanted) in [
            ("530624 178388", "TQ 30624 78388"),
            ("530624.974, 178388.464", "TQ 30624 78388"),
            // Cut by its figures: as a number it would be rounded up.
            ("530624.99999999999999999 178388.5", "TQ 30624 78388"),
            ("530624178388", "TQ 30624 78388"),
            ("E 530624 N 178388", "TQ 30624 78388"),
            ("N178388 E530624", "TQ 30624 78388"),
            ("530624E 178388N", "TQ 30624 78388"),
            ("091492 011318", "SV 91492 11318"),
            ("91492.146 11318.804", "SV 91492 11318"),
            ("E91492 N11318", "SV 91492 11318"),
            ("SE 22 33", "SE 22 33"),
            ("se2233", "SE 22 33"),
            (
                "51\u{b0}30\u{2032}14.5\u{2033}N 0\u{b0}7\u{2032}41.8\u{2033}W",
                "TQ 3000 8000",
            ),
            ("lat 51.50403 lon \u{2212}0.12828", "TQ 3000 8000"),
            ("Latitude: 51.50403, Longitude: -0.12828", "TQ 3000 8000"),
            ("51.50403N 0.12828W", "TQ 3000 8000"),
            ("51.50403 -0.12828 +/- 55m", "TQ 300 800"),
        ] {
            assert_eq!(reference(text), wanted, "{text}");
        }
    }

    #[test]
    fn what_cannot_be_read_is_told_with_its_mend() {
        for (text, kind, word) in [
            ("", Kind::Empty, "TQ 3000 8000"),
            ("  \u{feff} ", Kind::Empty, "TQ 3000 8000"),
            ("TQ", Kind::Figures, "100 km"),
            ("TQ 300 8000", Kind::Figures, "northing 8000 has 4"),
            ("TQ 3008000", Kind::Figures, "odd"),
            ("TQ 300001 800001", Kind::Figures, "ten"),
            ("TQ 30 00 80 00", Kind::Figures, "4 groups"),
            ("TQ 3000.5 8000.1", Kind::Figures, "'.'"),
            ("TQ -300 800", Kind::Figures, "'-'"),
            ("TI 300 800", Kind::Letters, "no letter I"),
            ("ti300800", Kind::Letters, "no letter I"),
            ("TQ 3O00 8000", Kind::Mixed, "figure 0"),
            ("TQ 3l00 8000", Kind::Mixed, "figure 1"),
            ("TQO300 800", Kind::Mixed, "figure 0"),
            ("TQ 30 A", Kind::Mixed, "tetrad"),
            ("S0 123 456", Kind::Mixed, "SO"),
            ("SW1A 1AA", Kind::Mixed, "postcode"),
            ("J 338 740", Kind::Irish, "Ulster Museum"),
            ("O1590034600", Kind::Irish, "Irish Grid"),
            ("Z 12 34", Kind::Letters, "two letters"),
            ("AA 12 34", Kind::Outside, "AA"),
            ("WV 12 34", Kind::Outside, "Channel"),
            ("TW 12 34", Kind::Outside, "no land"),
            ("650000 50000", Kind::Outside, "no land"),
            ("800000 180000", Kind::Outside, "700000"),
            ("530624 9178388", Kind::Outside, "1300000"),
            ("30624 78388", Kind::LettersMissing, "530000 180000"),
            ("30007800", Kind::LettersMissing, "letters"),
            ("3000 8000", Kind::LettersMissing, "letters"),
            ("30U 699316 5710164", Kind::OtherSystem, "UTM"),
            ("filled count soap", Kind::OtherSystem, "words"),
            ("-0.12828 51.50403", Kind::Swapped, "51.50403, -0.12828"),
            ("51 30", Kind::TooCoarse, "decimal"),
            ("51.5 0.1W", Kind::Degrees, "letter"),
            ("S E 22 33", Kind::Degrees, "missing"),
            ("\u{1f4cd}", Kind::Degrees, "no meaning"),
            ("\u{e9}TQ 30 80", Kind::OtherSystem, "letters"),
        ] {
            let fault = read(text).expect_err(text);
            assert_eq!(fault.kind, kind, "{text}: {fault}");
            assert!(fault.to_string().contains(word), "{text}: {fault}");
            assert!(!fault.mend.is_empty());
        }
        let long = "TQ 30 80 ".repeat(100_000);
        assert_eq!(read(&long).expect_err("too long").kind, Kind::TooLong);
    }

    fn on_land() -> impl Strategy<Value = Square> {
        let point = (0_u32..700_000, 0_u32..1_300_000, select(Side::ALL.to_vec()));
        point.prop_filter_map("at sea", |(east, north, side)| {
            Square::cut_whole(east, north, side).filter(|square| !countries(*square).is_empty())
        })
    }

    proptest! {
        #![proptest_config(crate::findspot::steady())]

        #[test]
        fn a_reference_printed_and_read_again_is_the_same(square in on_land()) {
            let spot = Ok(Findspot { square, within: None });
            for text in [square.to_string(), square.compact(), square.compact().to_lowercase()] {
                prop_assert_eq!(&read(&text), &spot, "{}", text);
            }
            if square.side() == Side::Metre {
                prop_assert_eq!(&read(&square.numeric()), &spot);
            }
        }

        #[test]
        fn degrees_printed_and_read_again_are_the_same_square(square in on_land()) {
            let text = Degrees::of(square).to_string();
            let again = read(&text).map(|spot| spot.square);
            // A metre cannot be told by degrees, so it comes back as the 10 m about it.
            let wanted = square.redacted(Side::TenMetres);
            let (x, y) = square.middle();
            let at_edge = square.side() == Side::Metre
                && again.as_ref().is_ok_and(|found| !found.contains(x, y));
            if at_edge {
                // Five decimals are half a metre off at most.
                let found = again.expect("a square");
                prop_assert!(found.contains(x - 0.7, y) || found.contains(x + 0.7, y)
                    || found.contains(x, y - 0.7) || found.contains(x, y + 0.7)
                    || found.contains(x - 0.7, y - 0.7) || found.contains(x + 0.7, y + 0.7)
                    || found.contains(x - 0.7, y + 0.7) || found.contains(x + 0.7, y - 0.7));
            } else {
                prop_assert_eq!(again, Ok(wanted), "{}", text);
            }
        }

        #[test]
        fn nothing_typed_makes_it_panic(text in ".{0,130}") {
            if let Err(fault) = read(&text) {
                prop_assert!(!fault.what.is_empty() && !fault.mend.is_empty());
            }
        }

        #[test]
        fn nothing_like_a_reference_makes_it_panic(
            text in "[A-Za-z0-9 .,°'\"+±/NSEW-]{0,24}"
        ) {
            let _ = read(&text);
        }

        #[test]
        fn a_redacted_findspot_forgets_what_it_was_made_of(
            square in on_land(), to in select(Side::ALL.to_vec())
        ) {
            let spot = Findspot { square, within: Some(10.0) };
            let once = spot.redacted(to);
            prop_assert_eq!(once.redacted(to), once);
            prop_assert!(once.square.side() == square.side() || once.within.is_none());
        }
    }
}
