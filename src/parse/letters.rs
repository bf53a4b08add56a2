//! Letters of a legend found among free words.
//!
//! A legend is what stands in quotation marks, after "reads", or in a run of
//! capitals that are not plain words. Where the finder types everything in
//! capitals, words of the library come first and only the rest is letters.
//!
//! Invariant: a chunk is taken for letters whole or not at all.

use super::lexicon::Lexicon;
use super::meaning::Scope;
use super::pieces::{Part, Piece};
use super::scan::{self, Word};
use super::stem;
use crate::find::OpinionLevel;

/// Words after which letters are given.
const INTRODUCE: [&str; 11] = [
    "reads",
    "reading",
    "says",
    "saying",
    "inscribed",
    "legend",
    "legends",
    "letters",
    "lettering",
    "inscription",
    "inscr",
];

/// Of these, the ones that are nothing else: what follows is letters even if it is a word.
const SURELY: [&str; 5] = ["reads", "reading", "says", "saying", "inscribed"];

/// A stretch of letters: the pieces it takes, and whether that was a guess.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Run {
    /// Positions of the pieces, the introducing word among them.
    pub pieces: Vec<usize>,
    /// Positions of the pieces that are letters.
    pub letters: Vec<usize>,
    /// True when capitals were taken for letters for want of another meaning.
    pub guessed: bool,
}

/// How a chunk looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Look {
    /// Capitals, so many.
    Capitals(usize),
    /// Small letters with marks of loss.
    Marked,
    /// Only marks: dots, brackets, a cross.
    Marks,
    /// Anything else.
    Plain,
}

/// What is asked of a part.
pub(super) struct Letters<'a> {
    pub text: &'a str,
    pub part: &'a Part,
    pub taken: &'a [bool],
    pub lexicon: &'a Lexicon,
    /// True when the whole text has no small letter.
    pub shouting: bool,
}

impl Letters<'_> {
    /// The runs of letters in the part; they do not overlap.
    pub fn runs(&self) -> Vec<Run> {
        let looks: Vec<Look> = (0..self.part.pieces.len())
            .map(|at| self.look(at))
            .collect();
        let mut runs: Vec<Run> = Vec::new();
        let mut at = 0;
        while at < looks.len() {
            let found = match &self.part.pieces[at] {
                Piece::Quote(range) if !self.taken[range.start] => {
                    let introduced = at > 0 && self.introduces(at - 1).is_some();
                    let pieces = if introduced {
                        vec![at - 1, at]
                    } else {
                        vec![at]
                    };
                    Some(Run {
                        pieces,
                        letters: vec![at],
                        guessed: false,
                    })
                }
                Piece::Quote(_) => None,
                Piece::Chunk(_) => self.introduced(&looks, at).or_else(|| {
                    if self.shouting {
                        None
                    } else {
                        self.capitals(&looks, at)
                    }
                }),
            };
            match found {
                Some(run) => {
                    at = run.pieces.iter().max().map_or(at, |last| last + 1);
                    runs.push(run);
                }
                None => at += 1,
            }
        }
        if self.shouting {
            self.shouted(&looks, &mut runs);
        }
        runs
    }

    fn typed(&self, at: usize) -> &str {
        &self.text[self.part.pieces[at].range()]
    }

    fn free(&self, at: usize) -> bool {
        let range = self.part.pieces[at].range();
        self.taken[range].iter().all(|taken| !taken)
    }

    fn look(&self, at: usize) -> Look {
        if !self.free(at) || matches!(self.part.pieces[at], Piece::Quote(_)) {
            return Look::Plain;
        }
        look(self.typed(at), self.lexicon)
    }

    /// True for a word that introduces letters, and then whether it is surely that:
    /// "Reading" is also a town.
    fn introduces(&self, at: usize) -> Option<bool> {
        let typed = self.typed(at);
        let bare = typed.trim_end_matches([':', '=', '.']);
        let word = bare.to_lowercase();
        let name = bare.starts_with(char::is_uppercase) && self.lexicon.knows(bare);
        let surely = SURELY.contains(&word.as_str()) && !name;
        (self.free(at) && INTRODUCE.contains(&word.as_str()))
            .then(|| surely || typed.ends_with([':', '=']))
    }

    /// Letters after "reads" and its like.
    fn introduced(&self, looks: &[Look], at: usize) -> Option<Run> {
        let surely = self.introduces(at)?;
        let first = at + 1;
        if first >= looks.len()
            || !self.free(first)
            || matches!(self.part.pieces[first], Piece::Quote(_))
        {
            return None;
        }
        let is_letters = |next: usize| looks[next] != Look::Plain;
        let capitals = !self.shouting && is_letters(first);
        let mut end = first;
        while end < looks.len() && self.free(end) && self.introduces(end).is_none() {
            let goes_on = if capitals {
                is_letters(end)
            } else {
                !self.known(end) || (surely && end == first)
            };
            if !goes_on
                || self
                    .typed(end)
                    .chars()
                    .all(|c| matches!(c, '-' | '–' | '—'))
            {
                break;
            }
            end += 1;
        }
        let has_letters =
            (first..end).any(|next| self.typed(next).chars().any(char::is_alphabetic));
        has_letters.then(|| Run {
            pieces: (at..end).collect(),
            letters: (first..end).collect(),
            guessed: false,
        })
    }

    /// True when some word of the chunk stands in the library or carries nothing.
    fn known(&self, at: usize) -> bool {
        let typed = self.typed(at);
        let spans = stem::spans(typed);
        let known = |word: &str| {
            word.len() > 1 && (self.lexicon.knows(word) || self.lexicon.slip(word).is_some())
        };
        typed.starts_with(|c: char| c.is_ascii_digit())
            || spans.iter().any(|span| known(&typed[span.clone()]))
    }

    /// A run of capitals that are not plain words.
    fn capitals(&self, looks: &[Look], at: usize) -> Option<Run> {
        if looks[at] == Look::Plain || self.numeral_of_a_name(at) {
            return None;
        }
        let end = (at..looks.len())
            .find(|next| looks[*next] == Look::Plain)
            .unwrap_or(looks.len());
        let letters: usize = (at..end)
            .map(|next| match looks[next] {
                Look::Capitals(letters) => letters,
                Look::Marked => 2,
                _ => 0,
            })
            .sum();
        let whole: Vec<usize> = (at..end).collect();
        (letters >= 2 && !self.plain_words(at, end)).then(|| Run {
            pieces: whole.clone(),
            letters: whole,
            guessed: false,
        })
    }

    /// "Edward III": a numeral in capitals after a name is no legend.
    fn numeral_of_a_name(&self, at: usize) -> bool {
        let numeral = self.typed(at);
        if at == 0 || numeral.len() > 4 || !numeral.chars().all(|c| matches!(c, 'I' | 'V' | 'X')) {
            return false;
        }
        let name = self.typed(at - 1);
        let titled = name.starts_with(char::is_uppercase) && name.contains(char::is_lowercase);
        let key: Option<Vec<_>> = [name, numeral]
            .iter()
            .map(|word| self.lexicon.stem_of(word))
            .collect();
        titled || key.is_some_and(|key| self.lexicon.lookup(&key).is_some())
    }

    /// True when every word in these pieces belongs to a phrase that is no name.
    fn plain_words(&self, from: usize, to: usize) -> bool {
        let within = self.part.pieces[from].range().start..self.part.pieces[to - 1].range().end;
        if self.text[within.clone()].contains(['[', '…'])
            || self.text[within.clone()].contains("..")
        {
            return false;
        }
        let words = scan::free_words(
            self.text,
            within,
            self.taken,
            self.lexicon,
            &mut scan::MOST_SLIPS.clone(),
            |_| 0,
        );
        let (heard, left) = scan::hear(&words, self.lexicon, Scope::All);
        let ordinary = heard.iter().all(|phrase| {
            let entry = self.lexicon.entry(phrase.entry);
            entry.ordinary && !entry.names()
        });
        left.is_empty() && ordinary && !heard.is_empty()
    }

    /// Everything is in capitals: what the library does not know is letters.
    fn shouted(&self, looks: &[Look], runs: &mut Vec<Run>) {
        let gone: Vec<usize> = runs.iter().flat_map(|run| run.pieces.clone()).collect();
        let mut slips = 0;
        let words: Vec<Word> = scan::free_words(
            self.text,
            self.part.range(),
            self.taken,
            self.lexicon,
            &mut slips,
            |_| 0,
        );
        let (heard, left) = scan::hear(&words, self.lexicon, Scope::All);
        let mut unknown = vec![false; looks.len()];
        let mut name = vec![false; looks.len()];
        let piece_of = |word: &Word| {
            self.part
                .pieces
                .partition_point(|piece| piece.range().end <= word.range.start)
        };
        for at in left {
            let typed = &self.text[words[at].range.clone()];
            if typed.chars().any(char::is_alphabetic) {
                unknown[piece_of(&words[at])] = true;
            }
        }
        for phrase in &heard {
            let entry = self.lexicon.entry(phrase.entry);
            let named = entry.motifs.is_empty()
                && entry.plain.is_none()
                && entry
                    .opinions
                    .iter()
                    .all(|(level, _)| matches!(level, OpinionLevel::Ruler | OpinionLevel::Mint));
            let mended = phrase.words.iter().any(|at| words[*at].mended) && !entry.ordinary;
            for at in &phrase.words {
                let piece = piece_of(&words[*at]);
                unknown[piece] |= mended;
                name[piece] |= named;
            }
        }
        for (at, look) in looks.iter().enumerate() {
            let marked = self.free(at) && self.typed(at).contains(['[', '…'])
                || self.typed(at).contains("..");
            unknown[at] = !gone.contains(&at)
                && self.free(at)
                && (unknown[at] || (marked && *look != Look::Plain));
        }
        self.join(looks, &unknown, &name, &gone, runs);
    }

    /// Unknown chunks with the names, small words and marks that stand among them.
    fn join(
        &self,
        looks: &[Look],
        unknown: &[bool],
        name: &[bool],
        gone: &[usize],
        runs: &mut Vec<Run>,
    ) {
        let small = |at: usize| {
            let word = self.typed(at);
            self.lexicon.carries_nothing(word)
                || looks[at] == Look::Marks
                || word.chars().count() == 1
        };
        let open = |at: usize| self.free(at) && !gone.contains(&at);
        let mut at = 0;
        while at < looks.len() {
            if !unknown[at] {
                at += 1;
                continue;
            }
            let mut from = at;
            while from > 0 && open(from - 1) && (name[from - 1] || looks[from - 1] == Look::Marks) {
                from -= 1;
            }
            let mut end = at + 1;
            let mut ahead = end;
            while ahead < looks.len()
                && open(ahead)
                && (unknown[ahead] || name[ahead] || small(ahead))
            {
                ahead += 1;
                if unknown[ahead - 1] || name[ahead - 1] || looks[ahead - 1] == Look::Marks {
                    end = ahead;
                }
            }
            let whole: Vec<usize> = (from..end).collect();
            let letters = whole
                .iter()
                .flat_map(|next| self.typed(*next).chars())
                .filter(|c| c.is_alphabetic())
                .count();
            if letters >= 2 {
                runs.push(Run {
                    pieces: whole.clone(),
                    letters: whole,
                    guessed: true,
                });
            }
            at = end;
        }
    }
}

fn look(typed: &str, lexicon: &Lexicon) -> Look {
    let (mut capitals, mut small, mut inside, mut marks, mut digits) = (0, 0, 0, 0, 0);
    let mut depth = 0i32;
    for c in typed.chars() {
        match c {
            '[' | '(' | '<' | '{' => depth += 1,
            ']' | ')' | '>' | '}' => depth -= 1,
            c if c.is_alphabetic() && depth > 0 => inside += 1,
            c if c.is_uppercase() => capitals += 1,
            c if c.is_alphabetic() => small += 1,
            c if c.is_numeric() => digits += 1,
            _ => {}
        }
        if matches!(c, '[' | ']' | '…') {
            marks += 1;
        }
    }
    let dotted = typed.contains("..");
    if capitals > 0 && small == 0 {
        return Look::Capitals(capitals + if marks > 0 { inside } else { 0 });
    }
    let letters_only = typed
        .chars()
        .filter(|c| c.is_alphabetic())
        .collect::<String>();
    if small > 0 {
        let lost = (marks > 0 || dotted) && capitals == 0 && !lexicon.knows(&letters_only);
        return if lost { Look::Marked } else { Look::Plain };
    }
    let single_dash = typed.chars().count() == 1
        && typed.contains(['-', '–', '—', '?', '!', '(', ')', '.', '\'', '"', '=', '~']);
    let shouted_inside = typed
        .chars()
        .filter(|c| c.is_alphabetic())
        .all(char::is_uppercase);
    if digits > 0 && marks == 0
        || single_dash
        || (inside > 0 && marks == 0)
        || !shouted_inside && !typed.contains("[c")
    {
        return Look::Plain;
    }
    Look::Marks
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse::{kit, pieces};

    fn letters(text: &str) -> Vec<String> {
        let lexicon = Lexicon::new(&kit::catalogue());
        let shouting = !text.contains(char::is_lowercase);
        let taken = vec![false; text.len()];
        let mut found = Vec::new();
        for part in pieces::parts(text) {
            let asked = Letters {
                text,
                part: &part,
                taken: &taken,
                lexicon: &lexicon,
                shouting,
            };
            for run in asked.runs() {
                let typed: Vec<&str> = run
                    .letters
                    .iter()
                    .map(|at| &text[part.pieces[*at].range()])
                    .collect();
                found.push(typed.join(" "));
            }
        }
        found
    }

    #[test]
    fn capitals_quotes_and_reads_are_letters() {
        for (text, want) in [
            ("penny EDW R ANGL", &["EDW R ANGL"][..]),
            ("penny reads edw r and cross", &["edw r"]),
            ("reads london", &["london"]),
            ("\"civitas\" reverse", &["civitas"]),
            ("legend \"civitas\"", &["civitas"]),
            ("bust ...RIC... left", &["...RIC..."]),
            ("bust [---] EDW [---]", &["[---] EDW [---]"]),
            ("edw[...] bust", &["edw[...]"]),
            ("bust of Edward III", &[]),
            ("edward III penny", &[]),
            ("AE coin", &[]),
            ("a LONG CROSS penny", &[]),
            ("from LONDON", &["LONDON"]),
            ("legend worn", &[]),
            ("silver - 17 mm - EDW", &["EDW"]),
            ("Reading mint", &[]),
            ("worn [illegible]", &[]),
        ] {
            assert_eq!(letters(text), want, "{text}");
        }
    }

    #[test]
    fn where_all_is_capitals_words_come_first() {
        for (text, want) in [
            ("SILVER LONG CROSS EDW R ANGL", &["EDW R ANGL"][..]),
            ("SILVER PENNY", &[]),
            ("EDW R ANGL DNS HYB", &["EDW R ANGL DNS HYB"]),
            ("CIVITAS LONDON", &["CIVITAS LONDON"]),
            ("GODRIC ON LVND", &["GODRIC ON LVND"]),
            ("SILVER ...RIC...", &["...RIC..."]),
            ("LONDON MINT PENNY", &[]),
        ] {
            assert_eq!(letters(text), want, "{text}");
        }
    }
}
