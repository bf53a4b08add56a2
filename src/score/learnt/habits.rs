//! Habits: which letters a reader takes for which, and how often one is passed over.
//!
//! Where the legend of a confirmed find is known, what was read is laid along it, and each letter
//! counts for the letter that it lies on. The counts are shrunk hard towards the general table.
//!
//! Invariant: too few letters teach nothing; a letter of which none was read stays as it is.

use std::sync::LazyLock;

use super::Confirmed;
use crate::catalogue::{Catalogue, Face, Glyph, Script};
use crate::find::{Mark, Reading, Side};
use crate::score::constants::{HABIT_LEAST, HABIT_SHRUNK, LETTER_SKIPPED};
use crate::score::legend::{align, read_as};

/// Letters of a reading that must fit before it teaches anything: fewer may lie anywhere.
const FITTING_LEAST: usize = 4;
/// Spellings that a reading is laid along at most.
const SPELLINGS_MOST: usize = 200;

/// A table over letters: read, then struck.
type Table = [[f64; 26]; 26];

/// How a finder reads letters.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct LetterHabits {
    /// Finds whose legend is known.
    pub finds: u32,
    /// Letters laid on letters.
    pub letters: u32,
    /// Of them those read as others, and letters passed over without a mark.
    pub misread: u32,
    /// See `misread`.
    pub passed_over: u32,
    /// Nats to be added for a letter read where one is struck.
    nats: Box<Table>,
    /// Log chance of passing over a first letter.
    skipped: f64,
}

/// What was counted.
struct Counts {
    letters: Table,
    laid: f64,
    /// Letters beside which one could have been passed over, and those that were.
    beside: f64,
    passed: f64,
    raw: (u32, u32, u32),
}

/// General chance of each letter read where one is struck, those of a letter struck summing to one.
static GENERAL: LazyLock<Box<Table>> = LazyLock::new(|| {
    let letter = |place: usize| char::from(b'A' + place as u8);
    let mut table = Box::new([[0.0; 26]; 26]);
    for struck in 0..26 {
        let chance = |read: usize| read_as(letter(read), letter(struck), true, Script::Roman);
        let whole: f64 = (0..26).map(chance).sum();
        for read in 0..26 {
            table[read][struck] = chance(read) / whole;
        }
    }
    table
});

impl LetterHabits {
    /// The habits that confirmed finds of known legend show; none where they are too few.
    pub(super) fn of(
        confirmed: &[Confirmed],
        weights: &[f64],
        catalogue: &Catalogue,
    ) -> Option<LetterHabits> {
        let mut counts = Counts {
            letters: [[0.0; 26]; 26],
            laid: 0.0,
            beside: 0.0,
            passed: 0.0,
            raw: (0, 0, 0),
        };
        let mut finds = 0;
        for (one, weight) in confirmed.iter().zip(weights) {
            let ([coin], true) = (one.types.as_slice(), one.exact) else {
                continue;
            };
            let Some(coin) = catalogue.types.get(*coin).filter(|coin| !coin.rest) else {
                continue;
            };
            let readings = one.find.readings.iter();
            let told = readings.filter(|reading| {
                let faces: &[&Face] = match reading.side {
                    Side::Obverse => &[&coin.obverse],
                    Side::Reverse => &[&coin.reverse],
                    Side::Unknown => &[&coin.obverse, &coin.reverse],
                };
                counts.take(reading, faces, *weight, catalogue)
            });
            finds += u32::from(told.count() > 0);
        }
        (counts.laid >= f64::from(HABIT_LEAST)).then(|| LetterHabits {
            finds,
            letters: counts.raw.0,
            misread: counts.raw.1,
            passed_over: counts.raw.2,
            nats: counts.nats(),
            skipped: counts.skipped(),
        })
    }

    /// Nats to be added for a letter read where one is struck.
    pub(in crate::score) fn nats(&self, read: char, struck: char) -> f64 {
        match (place(read), place(struck)) {
            (Some(read), Some(struck)) => self.nats[read][struck],
            _ => 0.0,
        }
    }

    /// Log chances of passing over a first and a further letter.
    pub(in crate::score) fn skipped(&self) -> (f64, f64) {
        (self.skipped, LETTER_SKIPPED.1.ln())
    }
}

impl Counts {
    /// Counts a reading, laid along that spelling of the faces which it fits best; false where it
    /// fits none well enough to teach anything.
    fn take(
        &mut self,
        reading: &Reading,
        faces: &[&Face],
        weight: f64,
        catalogue: &Catalogue,
    ) -> bool {
        let borne = faces
            .iter()
            .flat_map(|face| face.inscriptions.iter().flatten());
        let spellings = borne.flat_map(|inscription| {
            let inscription = &catalogue.inscriptions[*inscription];
            let script = catalogue.legends[inscription.legend].script;
            inscription.forms.iter().map(move |form| (form, script))
        });
        let laid = spellings.take(SPELLINGS_MOST).filter_map(|(form, script)| {
            let lie = align(reading, &form.glyphs, script)?;
            Some((lie, form))
        });
        let best = laid.max_by(|a, b| a.0.nats.total_cmp(&b.0.nats));
        let Some((lie, form)) =
            best.filter(|(lie, _)| lie.fitting >= FITTING_LEAST && lie.fitting > 2 * lie.contrary)
        else {
            return false;
        };
        let mut before: Option<(usize, usize)> = None;
        for (mark, (one, on)) in reading.marks.iter().zip(&lie.places).enumerate() {
            let (Mark::Letter { letter, .. }, Some(on)) = (one, on) else {
                continue;
            };
            if let (Some(read), Some(Glyph::Letter(struck))) =
                (place(*letter), form.glyphs.get(*on))
                && let Some(struck) = place(*struck)
            {
                self.letters[read][struck] += weight;
                self.laid += weight;
                self.raw.0 += 1;
                self.raw.1 += u32::from(read != struck);
            }
            if let Some((last, last_on)) = before
                && last + 1 == mark
            {
                let length = form.glyphs.len();
                let between = (1..length)
                    .map(|step| (last_on + step) % length)
                    .take_while(|place| place != on);
                let passed =
                    between.filter(|place| matches!(form.glyphs[*place], Glyph::Letter(_)));
                let passed = passed.count();
                self.beside += weight;
                if passed > 0 {
                    self.passed += weight;
                    self.raw.2 += passed as u32;
                }
            }
            before = Some((mark, *on));
        }
        true
    }

    /// For each letter struck the Dirichlet-multinomial mean about the general table, against it.
    fn nats(&self) -> Box<Table> {
        let mut nats = Box::new([[0.0; 26]; 26]);
        for struck in 0..26 {
            let whole: f64 = self.letters.iter().map(|row| row[struck]).sum();
            if whole == 0.0 {
                continue;
            }
            for (read, row) in nats.iter_mut().enumerate() {
                let usual = GENERAL[read][struck];
                let share =
                    (self.letters[read][struck] + HABIT_SHRUNK * usual) / (whole + HABIT_SHRUNK);
                row[struck] = (share / usual).ln();
            }
        }
        nats
    }

    fn skipped(&self) -> f64 {
        let usual = LETTER_SKIPPED.0;
        let share = (self.passed + HABIT_SHRUNK * usual) / (self.beside + HABIT_SHRUNK);
        // A chance a fifth of the usual, or three times it, is as far as it goes.
        share.clamp(usual / 5.0, usual * 3.0).ln()
    }
}

fn place(letter: char) -> Option<usize> {
    letter
        .is_ascii_uppercase()
        .then(|| (letter as u8 - b'A') as usize)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn counts(right: f64, wrong: f64) -> Counts {
        let mut letters = [[0.0; 26]; 26];
        letters[4][4] = right;
        letters[5][4] = wrong;
        Counts {
            letters,
            laid: right + wrong,
            beside: right,
            passed: 0.0,
            raw: (0, 0, 0),
        }
    }

    #[test]
    fn letters_of_which_none_was_read_stay_as_they_are() {
        let nats = counts(0.0, 0.0).nats();
        assert!(nats.iter().flatten().all(|nats| *nats == 0.0));
        let nats = counts(20.0, 20.0).nats();
        assert!(nats.iter().all(|row| row[0] == 0.0));
        assert!(nats[5][4] > 1.0 && nats[4][4] < 0.0, "an E read as F");
    }

    #[test]
    fn very_many_letters_are_the_readers_own_table() {
        let nats = counts(7e6, 3e6).nats();
        let (right, wrong) = (GENERAL[4][4], GENERAL[5][4]);
        assert!((nats[4][4] - (0.7 / right).ln()).abs() < 1e-4);
        assert!((nats[5][4] - (0.3 / wrong).ln()).abs() < 1e-4);
    }
}
