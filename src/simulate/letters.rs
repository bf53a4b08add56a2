//! Letters: what stood on the piece, what is left of them, and how a finder writes that down.
//!
//! Knows nothing of how readings are weighed; the marks are those that a person types.
//! Invariant: a reading has at least one letter that was seen.

use crate::catalogue::{Face, Glyph};
use crate::find::{Reading, Side};
use crate::parse;

use super::Loss;
use super::rates::*;

impl Loss<'_> {
    /// What can be read of one of the legends that may stand on a face.
    pub(super) fn reading(&mut self, face: &Face, side: Side) -> Option<Reading> {
        let borne = face.inscriptions.as_deref()?;
        let inscription = *self.chance.one(borne)?;
        let forms = &self.catalogue.inscriptions[inscription].forms;
        let form = self.chance.one(forms)?;
        let struck = self.struck(&form.glyphs);
        let text = self.rubbed(&struck)?;
        parse::reading(&text, side).0
    }

    /// The letters as one piece bears them: letters that change from coin to coin made up.
    fn struck(&mut self, form: &[Glyph]) -> Vec<char> {
        let mut struck = Vec::new();
        for glyph in form {
            match glyph {
                Glyph::Letter(letter) => struck.push(*letter),
                Glyph::Break => struck.push('/'),
                Glyph::Free => {
                    let count = FREE_LEAST + self.chance.below(FREE_NUMBERS);
                    struck.extend((0..count).map(|_| self.chance.letter()));
                }
            }
        }
        struck
    }

    /// Which places can still be read: none, all, one stretch or scattered letters.
    fn visible(&mut self, places: usize) -> Vec<bool> {
        let spoilt = (self.worn * SPOILT_BY_WEAR
            + SPOILT_BY_CORROSION * self.corroded as f64
            + self.clipped)
            .min(SPOILT_MOST);
        let most = if self.left < LEFT_LIMITS {
            self.left
        } else {
            1.0
        };
        let share = match self.chance.share() {
            s if s < NOTHING_READ.0 + NOTHING_READ.1 * spoilt => 0.0,
            s if s > NOT_ALL_READ.0 + NOT_ALL_READ.1 * spoilt => 1.0,
            _ => self.chance.share() * (1.0 - READ_LESS * spoilt),
        }
        .min(most);
        if self.chance.falls(SCATTERED) {
            return (0..places).map(|_| self.chance.falls(share)).collect();
        }
        // One stretch of the ring, which may run past the legend's end.
        let length = (share * places as f64).round() as usize;
        let from = if self.chance.falls(FROM_START) {
            0
        } else {
            self.chance.below(places)
        };
        let inside = |place: usize| (place + places - from) % places < length;
        (0..places).map(inside).collect()
    }

    /// The letters as the finder writes them, with the marks of the trade for what is lost.
    fn rubbed(&mut self, struck: &[char]) -> Option<String> {
        let seen = self.visible(struck.len().max(1));
        let read = struck
            .iter()
            .zip(&seen)
            .filter(|(c, seen)| **seen && **c != '/');
        if read.count() == 0 {
            return None;
        }
        let mut text = String::new();
        let mut place = 0;
        while place < struck.len() {
            let run = seen[place..].iter().take_while(|seen| !**seen).count();
            if run > 0 {
                let at_end = place == 0 || place + run == struck.len();
                text.push_str(&self.lost(run, at_end));
                place += run;
                continue;
            }
            match struck[place] {
                '/' if self.chance.falls(BREAK_WRITTEN) => text.push('/'),
                '/' => {}
                letter => self.read(letter, &mut text),
            }
            place += 1;
        }
        Some(text)
    }

    /// The mark for a run of lost places, counted as well as may be.
    fn lost(&mut self, run: usize, at_end: bool) -> String {
        match self.chance.share() {
            s if at_end && s < UNMARKED => String::new(),
            s if run > COUNTED_MOST || s < UNCOUNTED => "[---]".to_string(),
            _ => {
                let off = [0, 1][self.chance.weighted(&COUNTED_OFF)];
                format!("[{}]", ".".repeat(run + off))
            }
        }
    }

    /// One letter, read aright or not, passed over, doubled or in doubt.
    fn read(&mut self, letter: char, text: &mut String) {
        let s = self.chance.share();
        if s < PASSED_OVER {
            return;
        }
        let mut told = letter;
        if s < MISREAD_BELOW {
            let like = MISREAD.iter().find(|(struck, _)| *struck == letter);
            let like: Vec<char> = like.map_or(Vec::new(), |(_, like)| like.chars().collect());
            told = if self.chance.falls(TAKEN_FOR_LIKE) {
                self.chance.one(&like).copied().unwrap_or(letter)
            } else {
                self.chance.letter()
            };
        }
        if told != letter && self.chance.falls(CHOICE_GIVEN) {
            text.push_str(&format!("({told}/{letter})"));
            return;
        }
        text.push(told);
        if self.chance.falls(if told == letter {
            QUERIED_RIGHT
        } else {
            QUERIED_WRONG
        }) {
            text.push('?');
        } else if self.chance.falls(DOUBLED) {
            text.push(letter);
        }
    }
}
