//! Legends: what was read with its marks, and what the legend of the identified type restores.
//!
//! A letter that was read stands in both as it was read, in its order. A letter is restored only
//! where the types that the identification carries agree on it: at least "probably" gives `[ABC]`,
//! more likely than not `[?ABC]`, less leaves the place lost. Where the library bears no legend
//! that the reading lies along in order, nothing is restored.
//!
//! Invariant: the letters outside brackets of a restored legend are those that were read.

use std::collections::HashMap;

use super::leiden::{About, Doubt, Sign, print, read};
use crate::catalogue::{Catalogue, Inscription, Spelling};
use crate::find::{Mark, Reading, Side, fold};
use crate::score::align;

/// Fewest letters read from which a legend is restored.
const LETTERS_LEAST: usize = 3;
/// Of so many letters one may lie badly.
const ONE_ASTRAY_IN: usize = 5;
/// Most spellings that one reading is laid along.
const SPELLINGS_MOST: usize = 4000;
/// Spellings this near the best, in nats, are taken as alike.
const ALIKE: f64 = 0.3;

/// Types with their chances: the first is likeliest.
pub type Weighed = Vec<(usize, f64)>;

/// A legend restored.
#[derive(Clone, Debug, PartialEq)]
pub struct Restored {
    /// As it is printed.
    pub text: String,
    /// Chance of the least sure letter that is restored without a mark of doubt, or else of the
    /// surest that has one.
    pub chance: f64,
    /// Mints whose names fill it, with their chances.
    pub mints: Vec<(usize, f64)>,
}

/// A letter of a reading, and what stands before it.
#[derive(Clone, Debug, Default)]
struct Letter {
    /// What parts it from the letter before, as typed: blanks, stops, breaks, marks of loss.
    before: Vec<Sign>,
    /// How it stands: clear, in doubt, one of some.
    sign: Option<Sign>,
    /// How many folded letters it is: W is two.
    folded: usize,
}

/// What was read, with the marks of the trade.
pub fn as_read(reading: &Reading) -> String {
    print(&read(&reading.said))
}

/// The letters of what was typed, where they are those of the reading; else those of the reading.
/// After them stands one without a letter, for what follows the last.
fn letters(reading: &Reading) -> Vec<Letter> {
    let mut signs = read(&reading.said);
    if reading.retrograde {
        signs.clear();
    }
    let mut letters: Vec<Letter> = Vec::new();
    let mut before = Vec::new();
    for sign in signs {
        let whole: Option<&str> = match &sign {
            Sign::Clear(text) | Sign::Unclear(text) | Sign::Ligature(text) => Some(text),
            _ => None,
        };
        let Some(text) = whole else {
            match &sign {
                Sign::OneOf(_) => letters.push(Letter {
                    before: std::mem::take(&mut before),
                    folded: 1,
                    sign: Some(sign),
                }),
                _ => before.push(sign),
            }
            continue;
        };
        for c in text.chars() {
            let folded = fold(c).chars().count();
            let one = match &sign {
                Sign::Unclear(_) => Sign::Unclear(c.to_string()),
                _ => Sign::Clear(c.to_string()),
            };
            match folded {
                0 => before.push(one),
                folded => letters.push(Letter {
                    before: std::mem::take(&mut before),
                    sign: Some(one),
                    folded,
                }),
            }
        }
    }
    letters.push(Letter {
        before,
        ..Letter::default()
    });
    let typed = letters.iter().filter_map(|letter| letter.sign.as_ref());
    let typed: String = typed.map(folded_of).collect();
    let marked: String = reading.marks.iter().filter_map(of_mark).collect();
    match typed == marked {
        true => letters,
        false => of_marks(reading),
    }
}

fn folded_of(sign: &Sign) -> String {
    match sign {
        Sign::Clear(text) | Sign::Unclear(text) => text.chars().map(fold).collect(),
        _ => "?".to_string(),
    }
}

fn of_mark(mark: &Mark) -> Option<char> {
    match mark {
        Mark::Letter { letter, .. } => Some(*letter),
        Mark::OneOf(_) => Some('?'),
        _ => None,
    }
}

/// The letters as the reading holds them, folded.
fn of_marks(reading: &Reading) -> Vec<Letter> {
    let mut letters = Vec::new();
    let mut before = Vec::new();
    for (at, mark) in reading.marks.iter().enumerate() {
        if reading.words.contains(&at) {
            before.push(Sign::Clear(" ".into()));
        }
        let sign = match mark {
            Mark::Letter { letter, sure: true } => Sign::Clear(letter.to_string()),
            Mark::Letter { letter, .. } => Sign::Unclear(letter.to_string()),
            Mark::OneOf(some) => Sign::OneOf(some.iter().map(char::to_string).collect()),
            Mark::Lost(count) => {
                before.push(Sign::Lost(Some(*count), About::Exactly));
                continue;
            }
            Mark::AboutLost(count) => {
                before.push(Sign::Lost(Some(*count), About::Roughly));
                continue;
            }
            Mark::Gap => {
                before.push(Sign::Lost(None, About::Exactly));
                continue;
            }
            Mark::Break => {
                before.push(Sign::Break(super::leiden::Break::Stroke));
                continue;
            }
        };
        letters.push(Letter {
            before: std::mem::take(&mut before),
            sign: Some(sign),
            folded: 1,
        });
    }
    letters.push(Letter {
        before,
        ..Letter::default()
    });
    letters
}

/// How one spelling fills a reading: for the place before each letter and that after the last, the
/// text of the spelling that stands there.
#[derive(Clone, Debug, PartialEq)]
struct Filling {
    nats: f64,
    gaps: Vec<String>,
    mint: Option<usize>,
}

/// Restores a legend from the types that an identification carries.
pub fn restored(reading: &Reading, types: &Weighed, catalogue: &Catalogue) -> Option<Restored> {
    if reading.letters_seen() < LETTERS_LEAST {
        return None;
    }
    let letters = letters(reading);
    let mut known: HashMap<usize, Vec<Filling>> = HashMap::new();
    let mut left = SPELLINGS_MOST;
    let mut votes: Vec<HashMap<String, f64>> = vec![HashMap::new(); letters.len()];
    let mut mints: HashMap<usize, f64> = HashMap::new();
    for (coin, chance) in types {
        let coin = &catalogue.types[*coin];
        let face = match reading.side {
            Side::Obverse => &coin.obverse,
            Side::Reverse => &coin.reverse,
            Side::Unknown => return None,
        };
        let mut fillings: Vec<Filling> = Vec::new();
        for place in face.inscriptions.iter().flatten() {
            let of = known.entry(*place).or_insert_with(|| {
                let inscription = &catalogue.inscriptions[*place];
                fillings_of(reading, &letters, inscription, catalogue, &mut left)
            });
            fillings.extend(of.iter().cloned());
        }
        let best = fillings.iter().map(|one| one.nats).fold(f64::MIN, f64::max);
        fillings.retain(|one| one.nats >= best - ALIKE);
        let share = chance / fillings.len().max(1) as f64;
        for filling in fillings {
            for (votes, text) in votes.iter_mut().zip(filling.gaps) {
                *votes.entry(text).or_default() += share;
            }
            if let Some(mint) = filling.mint {
                *mints.entry(mint).or_default() += share;
            }
        }
    }
    let mut mints: Vec<(usize, f64)> = mints.into_iter().collect();
    mints.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    put_together(&letters, &votes, mints)
}

/// How the spellings of an inscription fill a reading, where they do.
fn fillings_of(
    reading: &Reading,
    letters: &[Letter],
    inscription: &Inscription,
    catalogue: &Catalogue,
    left: &mut usize,
) -> Vec<Filling> {
    let script = catalogue.legends[inscription.legend].script;
    let mut fillings = Vec::new();
    for form in &inscription.forms {
        if *left == 0 {
            break;
        }
        *left -= 1;
        let Some(lie) = align(reading, &form.glyphs, script) else {
            continue;
        };
        if lie.contrary * ONE_ASTRAY_IN > reading.letters_seen() {
            continue;
        }
        if let Some(gaps) = gaps(reading, letters, &lie.places, form) {
            fillings.push(Filling {
                nats: lie.nats,
                gaps,
                mint: inscription.mint,
            });
        }
    }
    fillings
}

/// The text of a spelling about the letters of a reading. None where the letters do not follow one
/// another along it.
fn gaps(
    reading: &Reading,
    letters: &[Letter],
    places: &[Option<usize>],
    form: &Spelling,
) -> Option<Vec<String>> {
    // The characters of the spelling and the places that each of them is.
    let mut characters: Vec<(char, usize, usize)> = Vec::new();
    let mut glyph = 0;
    for c in form.text.chars() {
        let wide = match c {
            '*' | '/' | '|' => 1,
            c => fold(c).chars().count(),
        };
        characters.push((c, glyph, glyph + wide));
        glyph += wide;
    }
    let marks = reading.marks.iter().enumerate();
    let mut seen = marks.filter(|(_, mark)| of_mark(mark).is_some());
    let mut gaps = Vec::with_capacity(letters.len());
    let mut next = 0;
    for letter in letters.iter().filter(|letter| letter.sign.is_some()) {
        let held: Vec<usize> = seen
            .by_ref()
            .take(letter.folded)
            .filter_map(|(at, _)| places.get(at).copied().flatten())
            .collect();
        let Some((first, last)) = held.first().zip(held.last()) else {
            // It lies nowhere: what stands about it is the reader's alone.
            gaps.push(String::new());
            continue;
        };
        let on = |place: usize| {
            let mut all = characters.iter();
            all.position(|(_, from, to)| (*from..*to).contains(&place))
        };
        let (from, to) = (on(*first)?, on(*last)?);
        if from < next || to < from {
            return None;
        }
        gaps.push(characters[next..from].iter().map(|one| one.0).collect());
        next = to + 1;
    }
    gaps.push(characters[next..].iter().map(|one| one.0).collect());
    Some(gaps)
}

/// The restored legend: where enough of the chance agrees on what stood between two letters.
fn put_together(
    letters: &[Letter],
    votes: &[HashMap<String, f64>],
    mints: Vec<(usize, f64)>,
) -> Option<Restored> {
    let mut signs: Vec<Sign> = Vec::new();
    let (mut firm, mut doubtful): (Option<f64>, Option<f64>) = (None, None);
    let last = letters.len() - 1;
    for (at, (votes, letter)) in votes.iter().zip(letters).enumerate() {
        let own = letter.before.as_slice();
        match agreed(votes) {
            Some((text, chance)) if holds_letters(text) => {
                let doubt = if chance >= 0.80 {
                    firm = Some(firm.map_or(chance, |least| least.min(chance)));
                    Doubt::Firm
                } else {
                    doubtful = Some(doubtful.map_or(chance, |most| most.max(chance)));
                    Doubt::Doubtful
                };
                restore(text, doubt, own, &mut signs);
            }
            Some((text, _)) if own.iter().any(is_loss) => {
                let stops = text.replace('*', "");
                signs.push(Sign::Clear(stops));
            }
            Some(_) => signs.extend(own.iter().cloned()),
            None if own.is_empty() && (at == 0 || at == last) => {
                signs.push(Sign::Lost(None, About::Exactly));
            }
            None => signs.extend(own.iter().cloned()),
        }
        signs.extend(letter.sign.clone());
    }
    let chance = firm.or(doubtful)?;
    let text = print(&read(&print(&joined(signs))));
    Some(Restored {
        text,
        chance,
        mints,
    })
}

/// What at least half the chance agrees on, and how much of it does.
fn agreed(votes: &HashMap<String, f64>) -> Option<(&str, f64)> {
    let mut best: Option<(&str, f64)> = None;
    for (text, chance) in votes {
        let more = best
            .is_none_or(|(held, most)| *chance > most || (*chance == most && text.as_str() < held));
        if more {
            best = Some((text, *chance));
        }
    }
    best.filter(|(_, chance)| *chance >= 0.50)
}

fn holds_letters(text: &str) -> bool {
    text.contains('*') || text.chars().any(|c| !fold(c).is_empty())
}

fn is_loss(sign: &Sign) -> bool {
    matches!(sign, Sign::Lost(..) | Sign::LineLost | Sign::Restored(..))
}

/// Puts restored text down: letters in brackets, a free run as lost, breaks and blanks between
/// brackets as they are. Breaks that the reader saw at either end of what is lost stay.
fn restore(text: &str, doubt: Doubt, own: &[Sign], signs: &mut Vec<Sign>) {
    let breaks = |signs: &mut dyn Iterator<Item = &Sign>| -> Vec<Sign> {
        let mut seen = Vec::new();
        for sign in signs {
            match sign {
                Sign::Break(_) => seen.push(sign.clone()),
                Sign::Clear(blank) if blank.trim().is_empty() => {}
                _ => break,
            }
        }
        seen
    };
    let keeps = !text.contains(['/', '|']) && own.iter().any(is_loss);
    if keeps {
        signs.extend(breaks(&mut own.iter()));
    }
    fill_in(text, doubt, signs);
    if keeps {
        signs.extend(breaks(&mut own.iter().rev()));
    }
}

fn fill_in(text: &str, doubt: Doubt, signs: &mut Vec<Sign>) {
    let mut run = String::new();
    let close = |run: &mut String, signs: &mut Vec<Sign>| {
        let taken = std::mem::take(run);
        let bare = taken.trim();
        if bare.is_empty() {
            signs.push(Sign::Clear(taken));
            return;
        }
        let blank = |there: bool| if there { " " } else { "" };
        signs.push(Sign::Clear(blank(taken.starts_with(' ')).into()));
        signs.push(Sign::Restored(bare.to_string(), doubt));
        signs.push(Sign::Clear(blank(taken.ends_with(' ')).into()));
    };
    for c in text.chars() {
        match c {
            '*' => {
                close(&mut run, signs);
                signs.push(Sign::Lost(None, About::Exactly));
            }
            '/' | '|' => {
                close(&mut run, signs);
                signs.push(Sign::Break(super::leiden::Break::Stroke));
            }
            c => run.push(c),
        }
    }
    close(&mut run, signs);
}

/// Runs of one standing drawn together.
fn joined(signs: Vec<Sign>) -> Vec<Sign> {
    let mut joined: Vec<Sign> = Vec::new();
    for sign in signs {
        match (joined.last_mut(), &sign) {
            (_, Sign::Clear(text)) if text.is_empty() => {}
            (Some(Sign::Clear(held)), Sign::Clear(more)) => held.push_str(more),
            (Some(Sign::Unclear(held)), Sign::Unclear(more)) => held.push_str(more),
            (Some(Sign::Lost(None, _)), Sign::Lost(None, _)) => {}
            _ => joined.push(sign),
        }
    }
    joined
}
