//! Free words about a thing that is not a coin: "bronze buckle, d shaped, pin missing, 25 mm".
//!
//! Sizes first, then clause by clause the longest phrases of the library; what is left is kept as
//! words, or remarked upon. Judges nothing and never fails.
//!
//! Invariant: no word is dropped in silence; the work is bounded whatever was typed.

mod everyday;
mod fields;
mod heard;
mod lexicon;
mod sizes;

pub use fields::ThingFields;
pub use lexicon::ObjectLexicon;
pub(crate) use lexicon::telling_words;

use std::ops::Range;

use super::remark::{Remark, clean};
use super::stem;
use crate::find::{Find, Object};
use heard::Reader;
use lexicon::UNKNOWN;

/// Most words of a text that are read; more describe no one thing.
const MOST_WORDS: usize = 600;
/// Most slips of the pen that are looked up in one text, so that nonsense costs little.
const MOST_SLIPS: usize = 24;
/// Name of the field in remarks.
pub(super) const WORDS: &str = "words";

/// A word of the text.
#[derive(Clone, Debug)]
struct Word {
    range: Range<usize>,
    stem: u32,
    /// True when the stem was mended by one letter.
    mended: bool,
    query: bool,
}

/// Understands free words about a thing. Letters read, metal, weight and region are taken from the
/// other reading of the same text too, where this one did not hear them itself.
pub fn object_words(text: &str, find: &Find, lexicon: &ObjectLexicon) -> (Object, Vec<Remark>) {
    let (text, remarks) = clean(text, WORDS);
    let taken = sizes::sizes(&text);
    let mut reader = Reader::new(&text, lexicon, remarks);
    reader.remarks.extend(taken.remarks);
    reader.object.sizes = taken.sizes;
    reader.object.weight = taken.weight;
    let letters = read_letters(&text, find);
    let mut slips = 0;
    let mut words = 0;
    for clause in clauses(&text, &taken.places) {
        let found = free_words(
            &text,
            clause,
            &taken.places,
            &letters.places,
            lexicon,
            &mut slips,
        );
        words += found.len();
        if words > MOST_WORDS {
            reader.too_long();
            break;
        }
        reader.clause(&found);
    }
    reader.object.letters = letters.said;
    let (mut object, remarks) = reader.finish();
    object.metal = object.metal.or(find.metal);
    object.weight = object.weight.or(find.weight);
    object.region = find.region;
    (object, remarks)
}

/// All words of a text, clause by clause, in the shape in which they are compared; those of sizes, of
/// letters read and numbers are left out. The same as in what is heard, but that no slip is mended.
pub fn told_words(text: &str, find: &Find) -> Vec<Vec<String>> {
    let (text, _) = clean(text, WORDS);
    let taken = sizes::sizes(&text).places;
    let letters = read_letters(&text, find).places;
    let clauses = clauses(&text, &taken).into_iter();
    let words = clauses.map(|clause| {
        let spans = free_spans(&text, clause, &taken, &letters);
        let shapes = spans.map(|span| lexicon::shape(&text[span]));
        shapes.filter(|word| is_told(word)).collect()
    });
    words.collect()
}

/// True for a word that tells in itself: no number.
fn is_told(word: &str) -> bool {
    !word.starts_with(|c: char| c.is_ascii_digit())
}

/// Stretches between separators; a separator inside a size is none.
fn clauses(text: &str, taken: &[Range<usize>]) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut start = 0;
    for (at, c) in text.char_indices() {
        let next = text[at + c.len_utf8()..].chars().next();
        let stop = matches!(c, ',' | ';' | '\n' | '\r' | '(' | ')' | '!')
            || (c == '.' && next.is_none_or(char::is_whitespace));
        if stop && !taken.iter().any(|place| place.contains(&at)) {
            found.push(start..at);
            start = at + c.len_utf8();
        }
    }
    found.push(start..text.len());
    found
}

/// Letters that were read on the piece, and where they stand in the text.
#[derive(Default)]
struct LettersRead {
    said: Vec<String>,
    places: Vec<Range<usize>>,
}

/// The readings of the find that stand in capitals or between quotation marks and are no shape
/// ("D-shaped").
fn read_letters(text: &str, find: &Find) -> LettersRead {
    let mut read = LettersRead::default();
    for reading in &find.readings {
        let said = reading.said.trim();
        if reading.letters_seen() < 2 || said.is_empty() {
            continue;
        }
        let Some(at) = text.find(said) else {
            // Read from a flag, or altered on the way: it stands nowhere in the words.
            read.said.push(said.to_string());
            continue;
        };
        let capitals = !said.chars().any(char::is_lowercase);
        let quoted = text[..at].ends_with(['"', '\'', '“', '‘', ' ']);
        if capitals || quoted {
            read.said.push(said.to_string());
            read.places.push(at..at + said.len());
        }
    }
    read
}

/// Where the words of a clause stand that are neither of a size nor letters read, without articles.
fn free_spans<'t>(
    text: &'t str,
    within: Range<usize>,
    taken: &'t [Range<usize>],
    letters: &'t [Range<usize>],
) -> impl Iterator<Item = Range<usize>> + 't {
    let spans = stem::spans(&text[within.clone()]).into_iter();
    let ranges = spans.map(move |span| within.start + span.start..within.start + span.end);
    ranges.filter(move |range| {
        let held = |place: &Range<usize>| place.contains(&range.start);
        let article = everyday::ARTICLES.contains(&text[range.clone()].to_lowercase().as_str());
        !taken.iter().any(held) && !letters.iter().any(held) && !article
    })
}

fn free_words(
    text: &str,
    within: Range<usize>,
    taken: &[Range<usize>],
    letters: &[Range<usize>],
    lexicon: &ObjectLexicon,
    slips: &mut usize,
) -> Vec<Word> {
    let mut words = Vec::new();
    for range in free_spans(text, within, taken, letters) {
        let typed = &text[range.clone()];
        let mut found = lexicon.stem_of(typed);
        let mended = found.is_none();
        if found.is_none() && *slips < MOST_SLIPS && typed.len() >= 5 {
            *slips += 1;
            found = lexicon.slip(typed);
        }
        words.push(Word {
            query: text[range.end..].starts_with('?'),
            range,
            stem: found.unwrap_or(UNKNOWN),
            mended,
        });
    }
    words
}
