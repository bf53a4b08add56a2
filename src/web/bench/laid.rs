//! A reading laid under the legend that it lies along, letter by letter.
//!
//! Lays by the scorer's own alignment and shows how each letter came to lie; judges nothing.
//!
//! Invariant: every letter of the legend stands in its order, and every letter that was read stands
//! under one of them or is named beside them.

use maud::{Markup, html};

use crate::catalogue::{Catalogue, Glyph};
use crate::find::{Find, Mark, Reading};
use crate::score::{Alignment, Detail, Evidence, align};

/// Most letters of a legend that are drawn.
const PLACES_MOST: usize = 120;

/// How a letter of the legend stands to what was read.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Lie {
    /// Nothing was read there.
    Lost,
    /// The same was read, surely.
    Fits,
    /// The same was read, or may be.
    Doubtful,
    /// Something else was read.
    Wrong,
}

/// A place of the legend.
struct Place {
    struck: char,
    read: Option<char>,
    lie: Lie,
}

/// The reading of a term, laid along the legend that it was held against; nothing for another term.
pub(super) fn laid(term: &Evidence, find: &Find, library: &Catalogue) -> Option<Markup> {
    let Detail::Legend {
        reading,
        inscription: Some((inscription, form)),
        other_side,
        ..
    } = &term.detail
    else {
        return None;
    };
    let reading = find.readings.get(*reading)?;
    let borne = library.inscriptions.get(*inscription)?;
    let spelling = borne.forms.get(*form)?;
    let script = library.legends[borne.legend].script;
    let lie = align(reading, &spelling.glyphs, script)?;
    let places = places(reading, &spelling.glyphs, &lie);
    Some(drawn(&places, &nowhere(reading, &lie), *other_side))
}

fn places(reading: &Reading, glyphs: &[Glyph], lie: &Alignment) -> Vec<Place> {
    let mark_at = |place: usize| {
        let at = lie.places.iter().position(|lies| *lies == Some(place))?;
        reading.marks.get(at)
    };
    let place = |(at, glyph): (usize, &Glyph)| {
        let struck = match glyph {
            Glyph::Letter(letter) => *letter,
            Glyph::Free => '…',
            Glyph::Break => '/',
        };
        let (read, lie) = match mark_at(at) {
            Some(Mark::Letter { letter, sure }) => {
                let same = *letter == struck || *glyph == Glyph::Free;
                let lie = match (same, sure) {
                    (true, true) => Lie::Fits,
                    (true, false) => Lie::Doubtful,
                    (false, _) => Lie::Wrong,
                };
                (Some(*letter), lie)
            }
            Some(Mark::OneOf(letters)) if letters.contains(&struck) => {
                (Some(struck), Lie::Doubtful)
            }
            Some(Mark::OneOf(letters)) => (letters.first().copied(), Lie::Wrong),
            _ => (None, Lie::Lost),
        };
        Place { struck, read, lie }
    };
    let glyphs = glyphs.iter().take(PLACES_MOST).enumerate();
    glyphs.map(place).collect()
}

/// The letters that were read and lie on none of the legend.
fn nowhere(reading: &Reading, lie: &Alignment) -> String {
    let marks = reading.marks.iter().zip(&lie.places);
    let off = marks.filter(|(_, place)| place.is_none());
    off.filter_map(|(mark, _)| match mark {
        Mark::Letter { letter, .. } => Some(*letter),
        Mark::OneOf(letters) => letters.first().copied(),
        _ => None,
    })
    .take(PLACES_MOST)
    .collect()
}

fn drawn(places: &[Place], nowhere: &str, other_side: bool) -> Markup {
    let count = |lie: Lie| places.iter().filter(|place| place.lie == lie).count();
    let [fits, doubtful, wrong] = [Lie::Fits, Lie::Doubtful, Lie::Wrong].map(count);
    let struck: String = places.iter().map(|place| place.struck).collect();
    let side = match other_side {
        true => ", on the other side than you say",
        false => "",
    };
    let said = format!(
        "Your letters under the legend {struck}{side}: {fits} fit, {doubtful} doubtful, {wrong} other, {} not read",
        count(Lie::Lost)
    );
    html! {
        div.laid {
            span.row role="img" aria-label=(said) {
                @for place in places { (drawn_place(place)) }
            }
            @if !nowhere.is_empty() { span.off { "Read, but nowhere on it: " b { (nowhere) } } }
        }
    }
}

fn drawn_place(place: &Place) -> Markup {
    let (class, sign) = match place.lie {
        Lie::Lost => ("lost", "·".to_string()),
        Lie::Fits => ("fits", read(place)),
        Lie::Doubtful => ("doubtful", format!("{}?", read(place))),
        Lie::Wrong => ("wrong", format!("≠{}", read(place))),
    };
    html! { span class=(class) { i { (place.struck) } b { (sign) } } }
}

fn read(place: &Place) -> String {
    place.read.map(String::from).unwrap_or_default()
}

/// What the signs under a legend mean.
pub(super) fn key() -> Markup {
    html! {
        p.how {
            "Above, the legend as struck; below, what you read: a letter under a line fits, A? may fit, ≠A is another letter, · was not read."
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Script;
    use crate::find::Side;

    fn reading(marks: Vec<Mark>) -> Reading {
        Reading {
            side: Side::Obverse,
            said: String::new(),
            marks,
            words: Vec::new(),
            retrograde: false,
            from_start: false,
            to_end: false,
        }
    }

    #[test]
    fn letters_lie_under_those_they_are() {
        let glyphs: Vec<Glyph> = "EDWARDREX".chars().map(Glyph::Letter).collect();
        let letter = |letter, sure| Mark::Letter { letter, sure };
        let read = reading(vec![
            letter('D', true),
            letter('W', false),
            letter('A', true),
            letter('R', true),
            Mark::Gap,
            letter('R', true),
            letter('E', true),
        ]);
        let lie = align(&read, &glyphs, Script::Roman).expect("letters were seen");
        let places = places(&read, &glyphs, &lie);
        let signs: String = places
            .iter()
            .map(|place| match place.lie {
                Lie::Lost => '.',
                Lie::Fits => '=',
                Lie::Doubtful => '?',
                Lie::Wrong => 'x',
            })
            .collect();
        assert_eq!(signs, ".=?==.==.");
        assert!(nowhere(&read, &lie).is_empty());
        let drawn = drawn(&places, "", false).into_string();
        assert!(
            drawn.contains("5 fit, 1 doubtful, 0 other, 3 not read"),
            "{drawn}"
        );
    }
}
