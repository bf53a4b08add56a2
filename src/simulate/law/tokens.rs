//! A written reading taken apart into the signs that the finder set down, and how likely each is
//! to be set down for a letter that was struck.
//!
//! Invariant: over all signs, what may be written for one place that is seen sums to one.

use std::collections::HashMap;

use super::super::rates::*;
use crate::catalogue::{Catalogue, Glyph};

/// One sign of a reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Sign {
    /// A letter, and whether it is queried.
    Letter(char, bool),
    /// What was told and what was struck.
    Choice(char, char),
    Break,
    /// Any number of places lost.
    Uncounted,
    Counted(usize),
}

impl Sign {
    pub fn is_mark(self) -> bool {
        matches!(self, Sign::Uncounted | Sign::Counted(_))
    }
}

/// The signs of a reading; none when no drawn find is written so.
pub(super) fn signs(said: &str) -> Option<Vec<Sign>> {
    let mut left = said.chars().peekable();
    let mut signs = Vec::new();
    while let Some(c) = left.next() {
        signs.push(match c {
            '/' => Sign::Break,
            '[' => {
                let inside: String = left.by_ref().take_while(|c| *c != ']').collect();
                match inside.as_str() {
                    "---" => Sign::Uncounted,
                    dots if dots.chars().all(|c| c == '.') => Sign::Counted(dots.len()),
                    _ => return None,
                }
            }
            '(' => {
                let inside: Vec<char> = left.by_ref().take_while(|c| *c != ')').collect();
                match inside[..] {
                    [told, '/', struck] => Sign::Choice(told, struck),
                    _ => return None,
                }
            }
            c if c.is_alphanumeric() => Sign::Letter(c, left.next_if_eq(&'?').is_some()),
            _ => return None,
        });
    }
    Some(signs)
}

/// Chance that a run of lost places is marked so, or not at all.
pub(super) fn marked(run: usize, at_end: bool, mark: Option<Sign>) -> f64 {
    let unmarked = if at_end { UNMARKED } else { 0.0 };
    match mark {
        None => unmarked,
        Some(Sign::Uncounted) if run > COUNTED_MOST => 1.0 - unmarked,
        Some(Sign::Uncounted) => UNCOUNTED - unmarked,
        Some(Sign::Counted(count)) if run <= COUNTED_MOST => {
            let off = count.checked_sub(run).and_then(|off| COUNTED_OFF.get(off));
            (1.0 - UNCOUNTED) * off.unwrap_or(&0.0) / COUNTED_OFF.iter().sum::<f64>()
        }
        Some(_) => 0.0,
    }
}

/// What may stand on a piece, by number: the letters of the library, then a letter of a free run,
/// then a break.
pub(super) struct Alphabet {
    letters: Vec<char>,
    place: HashMap<char, u8>,
}

impl Alphabet {
    pub fn of(catalogue: &Catalogue) -> Alphabet {
        let forms = catalogue.inscriptions.iter().flat_map(|one| &one.forms);
        let glyphs = forms.flat_map(|form| &form.glyphs);
        let mut letters: Vec<char> = glyphs
            .filter_map(|glyph| match glyph {
                Glyph::Letter(letter) => Some(*letter),
                _ => None,
            })
            .collect();
        letters.extend(COMMON_LETTERS);
        letters.sort_unstable();
        letters.dedup();
        let place = letters.iter().enumerate();
        let place = place.map(|(at, letter)| (*letter, at as u8)).collect();
        Alphabet { letters, place }
    }

    pub fn free(&self) -> u8 {
        self.letters.len() as u8
    }

    pub fn cut(&self) -> u8 {
        self.letters.len() as u8 + 1
    }

    pub fn count(&self) -> usize {
        self.letters.len() + 2
    }

    pub fn letter(&self, letter: char) -> u8 {
        self.place.get(&letter).copied().unwrap_or(self.cut())
    }
}

/// How likely each of the next signs of one reading is written for each thing that was struck.
pub(super) struct Written {
    pub signs: Vec<Sign>,
    /// For each thing that was struck: nothing written.
    pub none: Vec<f64>,
    /// By thing struck and sign: this sign alone.
    one: Vec<f64>,
    /// This sign and the next.
    two: Vec<f64>,
    /// What is too unlikely to follow further, once so many signs are written.
    pub floor: Vec<f64>,
}

impl Written {
    pub fn of(signs: Vec<Sign>, alphabet: &Alphabet) -> Written {
        let (count, long) = (alphabet.count(), signs.len());
        let mut written = Written {
            none: vec![PASSED_OVER; count],
            one: vec![0.0; count * long],
            two: vec![0.0; count * long],
            floor: vec![1e-14],
            signs,
        };
        let cut = alphabet.cut() as usize;
        written.none[cut] = 1.0 - BREAK_WRITTEN;
        for (at, sign) in written.signs.iter().enumerate() {
            let next = written.signs.get(at + 1).copied();
            for (place, letter) in alphabet.letters.iter().enumerate() {
                written.one[place * long + at] = alone(*letter, *sign);
                written.two[place * long + at] = doubled(*letter, *sign, next);
            }
            for table in [&mut written.one, &mut written.two] {
                let common = COMMON_LETTERS.iter();
                let common = common.map(|c| table[alphabet.letter(*c) as usize * long + at]);
                let mean = common.sum::<f64>() / COMMON_LETTERS.len() as f64;
                table[alphabet.free() as usize * long + at] = mean;
            }
            if *sign == Sign::Break {
                written.one[cut * long + at] = BREAK_WRITTEN;
            }
            let best = (0..count).map(|place| written.one[place * long + at]);
            let best = if sign.is_mark() {
                0.1
            } else {
                best.fold(1e-4, f64::max)
            };
            written.floor.push(written.floor[at] * best);
        }
        written
    }

    pub fn one(&self, struck: u8, sign: usize) -> f64 {
        self.one[struck as usize * self.signs.len() + sign]
    }

    pub fn two(&self, struck: u8, sign: usize) -> f64 {
        self.two[struck as usize * self.signs.len() + sign]
    }
}

/// Chance that a struck letter is told as this one, right or wrong.
fn told(struck: char, told: char) -> f64 {
    let like = MISREAD.iter().find(|(letter, _)| *letter == struck);
    let like = like.map_or("", |(_, like)| like);
    let wrong = MISREAD_BELOW - PASSED_OVER;
    let mut chance = 0.0;
    if told == struck {
        chance += 1.0 - MISREAD_BELOW;
        if like.is_empty() {
            chance += wrong * TAKEN_FOR_LIKE;
        }
    }
    if like.contains(told) {
        chance += wrong * TAKEN_FOR_LIKE / like.chars().count() as f64;
    }
    if COMMON_LETTERS.contains(&told) {
        chance += wrong * (1.0 - TAKEN_FOR_LIKE) / COMMON_LETTERS.len() as f64;
    }
    chance
}

/// Chance that a struck letter that is seen is written as one sign.
fn alone(struck: char, sign: Sign) -> f64 {
    match sign {
        Sign::Letter(letter, queried) => {
            let right = letter == struck;
            let doubt = if right { QUERIED_RIGHT } else { QUERIED_WRONG };
            let bare = if right { 1.0 } else { 1.0 - CHOICE_GIVEN };
            let mark = if queried {
                doubt
            } else {
                (1.0 - doubt) * (1.0 - DOUBLED)
            };
            told(struck, letter) * bare * mark
        }
        Sign::Choice(letter, other) if other == struck && letter != struck => {
            told(struck, letter) * CHOICE_GIVEN
        }
        _ => 0.0,
    }
}

/// Chance that a struck letter that is seen is written as two signs.
fn doubled(struck: char, sign: Sign, next: Option<Sign>) -> f64 {
    let (Sign::Letter(letter, false), Some(Sign::Letter(again, false))) = (sign, next) else {
        return 0.0;
    };
    if again != struck {
        return 0.0;
    }
    let right = letter == struck;
    let doubt = if right { QUERIED_RIGHT } else { QUERIED_WRONG };
    let bare = if right { 1.0 } else { 1.0 - CHOICE_GIVEN };
    told(struck, letter) * bare * (1.0 - doubt) * DOUBLED
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_are_taken_apart() {
        let want = [
            Sign::Uncounted,
            Sign::Letter('A', true),
            Sign::Choice('H', 'N'),
            Sign::Break,
            Sign::Letter('B', false),
            Sign::Counted(2),
        ];
        assert_eq!(signs("[---]A?(H/N)/B[..]"), Some(want.to_vec()));
        assert_eq!(signs("[A]B"), None);
    }

    #[test]
    fn what_may_be_written_for_a_letter_sums_to_one() {
        for struck in ['A', 'N', 'Y', '7'] {
            let letters = "ABCDEFGHIKLMNOPQRSTVXYZ7";
            let mut sum = PASSED_OVER;
            for letter in letters.chars() {
                for queried in [true, false] {
                    sum += alone(struck, Sign::Letter(letter, queried));
                }
                sum += alone(struck, Sign::Choice(letter, struck));
                let pair = (
                    Sign::Letter(letter, false),
                    Some(Sign::Letter(struck, false)),
                );
                sum += doubled(struck, pair.0, pair.1);
            }
            assert!((sum - 1.0).abs() < 1e-12, "{struck}: {sum}");
        }
        for run in 1..8 {
            for at_end in [true, false] {
                let counted = (1..9).map(|n| marked(run, at_end, Some(Sign::Counted(n))));
                let sum = counted.sum::<f64>()
                    + marked(run, at_end, Some(Sign::Uncounted))
                    + marked(run, at_end, None);
                assert!((sum - 1.0).abs() < 1e-12, "{run} {at_end}: {sum}");
            }
        }
    }
}
