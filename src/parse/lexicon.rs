//! Every word the library knows, and what it means.
//!
//! Built once at the start of the program from the catalogue's names and lay
//! words and the everyday list. It holds no text of the finder and weighs nothing.
//!
//! Invariant: a phrase is a row of stems without articles and is never empty;
//! equal phrases share one entry that lists all their meanings.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

use super::everyday::{ARTICLES, CARRIES_NOTHING, DEGREES, DIRECTIONS, NO_SLIP, PHRASES, TITLES};
use super::meaning::{Entry, Plain};
use super::spellings::{joined_or_split, numbered_names};
use super::stem;
use crate::catalogue::{Catalogue, Spelled};
use crate::find::{Completeness, OpinionLevel};

/// Longest phrase, in stems, that is kept; longer ones could not be matched in bounded time.
pub(super) const LONGEST_PHRASE: usize = 10;

/// A number that stands for a stem.
pub(super) type StemId = u32;

/// Multiplies and turns: quick on short keys. Only the library's own words are
/// ever put in, so no finder can make keys collide.
#[derive(Clone, Default)]
struct Quick(u64);

impl Quick {
    fn mix(&mut self, word: u64) {
        self.0 = (self.0.rotate_left(5) ^ word).wrapping_mul(0x517c_c1b7_2722_0a95);
    }
}

impl Hasher for Quick {
    fn write(&mut self, bytes: &[u8]) {
        for chunk in bytes.chunks(8) {
            self.mix(
                chunk
                    .iter()
                    .fold(chunk.len() as u64, |word, b| (word << 8) | u64::from(*b)),
            );
        }
    }

    fn write_u32(&mut self, word: u32) {
        self.mix(u64::from(word));
    }

    fn finish(&self) -> u64 {
        // The high bits are the well mixed ones, and the table reads the low ones too.
        self.0 ^ (self.0 >> 29)
    }
}

type Quickly = BuildHasherDefault<Quick>;

/// Every word the library knows -> what it means.
#[derive(Clone, Debug, Default)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Lexicon {
    stems: HashMap<String, StemId, Quickly>,
    spelled: Vec<String>,
    phrases: HashMap<Vec<StemId>, u32, Quickly>,
    entries: Vec<Entry>,
    keys: Vec<Vec<StemId>>,
    /// Longest phrase that starts with a stem.
    reach: Vec<u8>,
    /// Phrases of several words, under the rarest of their stems.
    bags: HashMap<StemId, Vec<u32>, Quickly>,
    /// Stems for near misses: letters as bits, length in bytes, stem.
    shapes: Vec<(u32, u8, StemId)>,
    articles: Vec<StemId>,
    empty_words: Vec<StemId>,
    no_slip: Vec<StemId>,
    titles: Vec<StemId>,
    motifs: Vec<MotifNode>,
    ids: Vec<String>,
    /// Words that tell of what coins show.
    telling: Spelled,
}

/// What the parser needs of a motif.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct MotifNode {
    /// Id in the vocabulary.
    pub id: String,
    /// Positions of all ancestors.
    pub ancestors: Vec<usize>,
}

/// One meaning to be entered under a phrase.
#[derive(Clone, Copy)]
enum Sense {
    Motif(u32),
    Opinion(OpinionLevel, u32),
    Plain(Plain),
}

impl Lexicon {
    /// Gathers the words of a catalogue and the everyday list.
    pub fn new(catalogue: &Catalogue) -> Lexicon {
        let mut lexicon = Lexicon {
            telling: catalogue.pictured.words().clone(),
            ..Lexicon::default()
        };
        let about = 1_000 + 8 * catalogue.motifs.len() + 5 * catalogue.rulers.len();
        lexicon.stems.reserve(about);
        lexicon.phrases.reserve(about);
        lexicon.entries.reserve(about);
        let intern_all = |lexicon: &mut Lexicon, words: &[&str]| -> Vec<StemId> {
            words
                .iter()
                .map(|word| lexicon.intern(&stem::plain(word)))
                .collect()
        };
        lexicon.articles = intern_all(&mut lexicon, &ARTICLES);
        lexicon.empty_words = intern_all(&mut lexicon, &CARRIES_NOTHING);
        lexicon.no_slip = intern_all(&mut lexicon, &NO_SLIP);
        lexicon.titles = intern_all(&mut lexicon, &TITLES);
        let first_vocabulary = lexicon.spelled.len();
        lexicon.enter_everyday();
        lexicon.enter_motifs(catalogue);
        lexicon.enter_opinions(catalogue);
        for metal in &catalogue.metals {
            for word in std::iter::once(&metal.name).chain(&metal.words) {
                lexicon.enter(word, Sense::Plain(Plain::Metal(metal.looks)));
            }
        }
        lexicon.enter_cut_pennies();
        lexicon.settle_metals();
        lexicon.index(first_vocabulary);
        lexicon
    }

    fn enter_everyday(&mut self) {
        for (phrase, meaning) in PHRASES {
            self.enter(phrase, Sense::Plain(*meaning));
        }
        for (degree, wear, corrosion) in DEGREES {
            self.enter(&format!("{degree} worn"), Sense::Plain(Plain::Wear(*wear)));
            self.enter(
                &format!("{degree} corroded"),
                Sense::Plain(Plain::Corrosion(*corrosion)),
            );
        }
    }

    fn enter_motifs(&mut self, catalogue: &Catalogue) {
        for (at, motif) in catalogue.motifs.iter().enumerate() {
            self.motifs.push(MotifNode {
                id: motif.id.clone(),
                ancestors: motif.ancestors.clone(),
            });
            for word in std::iter::once(&motif.name).chain(&motif.words) {
                self.enter(word, Sense::Motif(at as u32));
            }
        }
        for (phrase, id) in DIRECTIONS {
            if let Some(at) = self.motifs.iter().position(|motif| motif.id == *id) {
                self.enter(phrase, Sense::Motif(at as u32));
            }
        }
    }

    fn enter_opinions(&mut self, catalogue: &Catalogue) {
        for period in &catalogue.periods {
            self.enter_names(
                OpinionLevel::Period,
                &period.id,
                &period.name,
                &period.words,
            );
        }
        for ruler in &catalogue.rulers {
            let at = self.enter_names(OpinionLevel::Ruler, &ruler.id, &ruler.name, &ruler.words);
            for name in std::iter::once(&ruler.name).chain(&ruler.words) {
                for other in numbered_names(name) {
                    self.enter(&other, Sense::Opinion(OpinionLevel::Ruler, at));
                }
            }
        }
        for denomination in &catalogue.denominations {
            let (id, name) = (&denomination.id, &denomination.name);
            let at = self.enter_names(OpinionLevel::Denomination, id, name, &denomination.words);
            for word in std::iter::once(name).chain(&denomination.words) {
                for other in joined_or_split(word) {
                    self.enter(&other, Sense::Opinion(OpinionLevel::Denomination, at));
                }
            }
        }
        for mint in &catalogue.mints {
            self.enter_names(OpinionLevel::Mint, &mint.id, &mint.name, &mint.words);
        }
    }

    fn enter_names(&mut self, level: OpinionLevel, id: &str, name: &str, words: &[String]) -> u32 {
        let at = self.ids.len() as u32;
        self.ids.push(id.to_string());
        for word in std::iter::once(name).chain(words.iter().map(String::as_str)) {
            self.enter(word, Sense::Opinion(level, at));
        }
        at
    }

    /// A cut halfpenny is half a penny, not a coin of that name: both meanings
    /// stand under one phrase, so that "half penny" inside it is not matched.
    fn enter_cut_pennies(&mut self) {
        let penny: Vec<(OpinionLevel, u32)> = self
            .lookup(&self.known_stems("penny"))
            .map(|at| self.entries[at as usize].opinions.clone())
            .unwrap_or_default();
        let half = [
            "cut halfpenny",
            "cut half penny",
            "half penny cut",
            "half of cut penny",
            "penny cut in half",
        ];
        let quarter = [
            "cut farthing",
            "cut quarter penny",
            "quarter penny cut",
            "penny cut in quarter",
        ];
        let halves = half.iter().map(|phrase| (phrase, Completeness::Half));
        let quarters = quarter.iter().map(|phrase| (phrase, Completeness::Quarter));
        for (phrase, left) in halves.chain(quarters) {
            self.enter(phrase, Sense::Plain(Plain::Left(left)));
            for (level, at) in &penny {
                self.enter(phrase, Sense::Opinion(*level, *at));
            }
        }
    }

    fn intern(&mut self, word: &str) -> StemId {
        let root = stem::stem(word);
        if let Some(id) = self.stems.get(root.as_ref()) {
            return *id;
        }
        let id = self.spelled.len() as StemId;
        self.stems.insert(root.clone().into_owned(), id);
        self.spelled.push(root.into_owned());
        self.reach.push(0);
        id
    }

    fn enter(&mut self, phrase: &str, sense: Sense) {
        if let Some((name, _)) = phrase.split_once(" (") {
            self.enter(name, sense);
        }
        let spans = stem::spans(phrase);
        let many = spans.len();
        let mut key: Vec<StemId> = Vec::with_capacity(many);
        for (nth, span) in spans.into_iter().enumerate() {
            let id = self.intern(&stem::plain(&phrase[span]));
            // No phrase ends in an article: the A of "letter A" is a letter.
            if !self.articles.contains(&id) || (nth > 0 && nth + 1 == many) {
                key.push(id);
            }
        }
        if key.is_empty() || key.len() > LONGEST_PHRASE {
            return;
        }
        let ordinary =
            !phrase.starts_with(char::is_uppercase) || !phrase.contains(char::is_lowercase);
        let at = match self.phrases.get(&key) {
            Some(at) => *at,
            None => {
                let at = self.entries.len() as u32;
                let reach = &mut self.reach[key[0] as usize];
                *reach = (*reach).max(key.len() as u8);
                self.phrases.insert(key.clone(), at);
                self.keys.push(key);
                self.entries.push(Entry::default());
                at
            }
        };
        let entry = &mut self.entries[at as usize];
        entry.ordinary |= ordinary;
        match sense {
            Sense::Motif(motif) if !entry.motifs.contains(&motif) => entry.motifs.push(motif),
            Sense::Opinion(level, id) if !entry.opinions.contains(&(level, id)) => {
                entry.opinions.push((level, id))
            }
            Sense::Plain(meaning) if entry.plain.is_none() => entry.plain = Some(meaning),
            _ => {}
        }
    }

    /// "Gold angel" names a coin and its metal; "small silver" and "copper" name no coin.
    fn settle_metals(&mut self) {
        let alone = |id: &StemId| {
            self.lookup(&[*id])
                .and_then(|at| self.entries[at as usize].plain)
        };
        let metal = |meaning: Plain| matches!(meaning, Plain::Metal(_));
        let mut settled = Vec::new();
        for (at, key) in self.keys.iter().enumerate() {
            let entry = &self.entries[at];
            if entry.opinions.is_empty() || !entry.motifs.is_empty() {
                continue;
            }
            let named = key.iter().filter_map(alone).find(|meaning| metal(*meaning));
            let vague =
                |id: &StemId| alone(id).is_some_and(|plain| metal(plain) || plain == Plain::Size);
            settled.push((at, named, key.iter().all(vague)));
        }
        for (at, named, generic) in settled {
            let entry = &mut self.entries[at];
            entry.generic = generic && self.keys[at].len() > 1;
            if entry.plain.is_none() {
                entry.plain = named;
            } else if generic {
                entry.opinions.clear();
            }
        }
    }

    fn index(&mut self, first_vocabulary: usize) {
        let mut uses = vec![0u32; self.spelled.len()];
        for id in self.keys.iter().flatten() {
            uses[*id as usize] += 1;
        }
        for (at, key) in self.keys.iter().enumerate() {
            if key.len() > 1
                && let Some(rarest) = key.iter().min_by_key(|id| uses[**id as usize])
            {
                self.bags.entry(*rarest).or_default().push(at as u32);
            }
        }
        for (id, word) in self.spelled.iter().enumerate().skip(first_vocabulary) {
            if (4..=20).contains(&word.len()) {
                self.shapes
                    .push((letter_bits(word), word.len() as u8, id as StemId));
            }
        }
    }

    /// The stem of a word as typed, when the lexicon has it.
    pub(super) fn stem_of(&self, word: &str) -> Option<StemId> {
        let plain = stem::plain(word);
        self.stems.get(stem::stem(&plain).as_ref()).copied()
    }

    fn known_stems(&self, phrase: &str) -> Vec<StemId> {
        stem::spans(phrase)
            .into_iter()
            .filter_map(|span| self.stem_of(&phrase[span]))
            .collect()
    }

    /// The entry of a phrase given as stems without articles.
    pub(super) fn lookup(&self, key: &[StemId]) -> Option<u32> {
        self.phrases.get(key).copied()
    }

    /// An entry by its position.
    pub(super) fn entry(&self, at: u32) -> &Entry {
        &self.entries[at as usize]
    }

    /// Longest phrase, in stems, that starts with this stem.
    pub(super) fn reach(&self, first: StemId) -> usize {
        usize::from(self.reach[first as usize])
    }

    /// Phrases of several words whose rarest stem this is, with their stems.
    pub(super) fn bags(&self, rarest: StemId) -> impl Iterator<Item = (u32, &[StemId])> {
        let found = self.bags.get(&rarest).map_or(&[][..], Vec::as_slice);
        found
            .iter()
            .map(|at| (*at, self.keys[*at as usize].as_slice()))
    }

    /// True for "a", "the", "of" and their like.
    pub(super) fn is_article(&self, id: StemId) -> bool {
        self.articles.contains(&id)
    }

    /// True for a word that carries nothing about a find.
    pub(super) fn is_empty_word(&self, id: StemId) -> bool {
        self.articles.contains(&id) || self.empty_words.contains(&id)
    }

    /// True for "king", "queen" and the like.
    pub(super) fn is_title(&self, id: StemId) -> bool {
        self.titles.contains(&id)
    }

    /// A motif by its position.
    pub(super) fn motif(&self, at: u32) -> &MotifNode {
        &self.motifs[at as usize]
    }

    /// A ruler's, mint's, denomination's or period's id by its position.
    pub(super) fn id(&self, at: u32) -> &str {
        &self.ids[at as usize]
    }

    /// The spelling of a stem.
    pub(super) fn spelling(&self, id: StemId) -> &str {
        &self.spelled[id as usize]
    }

    /// The shape in which a word is compared: that of the stem it was taken for, or its own.
    pub(super) fn shape(&self, typed: &str, stem: Option<StemId>) -> String {
        stem.map_or_else(
            || stem::shape(typed),
            |known| self.spelling(known).to_string(),
        )
    }

    /// True for the shape of a word that has weights for what coins show; for every word where the
    /// library has no weights.
    pub(super) fn tells(&self, shape: &str) -> bool {
        self.telling.is_empty() || self.telling.find(shape).is_some()
    }

    /// True when the word, or its singular, stands in some phrase of the library.
    pub fn knows(&self, word: &str) -> bool {
        self.stem_of(word).is_some()
    }

    /// True for a word that is passed over in silence because it carries nothing.
    pub fn carries_nothing(&self, word: &str) -> bool {
        self.stem_of(word).is_some_and(|id| self.is_empty_word(id))
    }

    /// The stem one slip of the pen away from a word of five letters or more: the likeliest, when there are several.
    pub(super) fn slip(&self, word: &str) -> Option<StemId> {
        let plain = stem::plain(word);
        let root = stem::stem(&plain);
        if root.chars().count() < 5
            || self
                .no_slip
                .iter()
                .any(|id| self.spelling(*id) == root.as_ref())
        {
            return None;
        }
        self.shaped_like(&root, 2, 1)
            .filter(|id| strsim::osa_distance(self.spelling(*id), &root) == 1)
            .map(|id| (strsim::jaro_winkler(self.spelling(id), &root), id))
            .max_by(|one, other| one.0.total_cmp(&other.0).then(other.1.cmp(&one.1)))
            .map(|(_, id)| id)
    }

    /// The word of the library that looks most like this one, for a suggestion.
    pub(super) fn near(&self, word: &str) -> Option<&str> {
        let plain = stem::plain(word);
        if plain.len() < 5 {
            return None;
        }
        self.shaped_like(&plain, 4, 2)
            .map(|id| (strsim::jaro_winkler(self.spelling(id), &plain), id))
            .filter(|(likeness, _)| *likeness >= 0.9)
            .max_by(|one, other| one.0.total_cmp(&other.0).then(other.1.cmp(&one.1)))
            .map(|(_, id)| self.spelling(id))
    }

    /// Stems that differ by at most so many kinds of letter and in length by at most so much.
    fn shaped_like(&self, word: &str, kinds: u32, lengths: u8) -> impl Iterator<Item = StemId> {
        let bits = letter_bits(word);
        let length = word.len().min(255) as u8;
        self.shapes
            .iter()
            .filter(move |(other, long, _)| {
                (bits ^ other).count_ones() <= kinds && long.abs_diff(length) <= lengths
            })
            .map(|(_, _, id)| *id)
    }
}

/// One bit for each kind of letter, one for digits, one for everything else.
fn letter_bits(word: &str) -> u32 {
    word.bytes().fold(0, |bits, b| {
        bits | match b {
            b'a'..=b'z' => 1 << (b - b'a'),
            b'0'..=b'9' => 1 << 26,
            _ => 1 << 27,
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse::kit;

    fn entry<'l>(lexicon: &'l Lexicon, phrase: &str) -> &'l Entry {
        let key = lexicon.known_stems(phrase);
        lexicon.entry(
            lexicon
                .lookup(&key)
                .unwrap_or_else(|| panic!("no {phrase}")),
        )
    }

    #[test]
    fn one_word_gathers_all_its_meanings() {
        let lexicon = Lexicon::new(&kit::catalogue());
        assert_eq!(entry(&lexicon, "edward").opinions.len(), 3);
        assert_eq!(
            entry(&lexicon, "edward 1st").opinions,
            entry(&lexicon, "Edward I").opinions
        );
        assert_eq!(
            entry(&lexicon, "half penny").opinions,
            entry(&lexicon, "halfpenny").opinions
        );
        let crown = entry(&lexicon, "crown");
        assert!(!crown.motifs.is_empty() && !crown.opinions.is_empty());
    }

    #[test]
    fn names_are_not_ordinary_words_but_things_are() {
        let lexicon = Lexicon::new(&kit::catalogue());
        assert!(!entry(&lexicon, "london").ordinary);
        assert!(!entry(&lexicon, "victory").ordinary);
        assert!(entry(&lexicon, "crown").ordinary);
        assert!(entry(&lexicon, "silver").ordinary);
    }

    #[test]
    fn near_misses_are_found_and_plain_english_is_left_alone() {
        let lexicon = Lexicon::new(&kit::catalogue());
        assert_eq!(
            lexicon.slip("crownd").map(|id| lexicon.spelling(id)),
            Some("crowned")
        );
        assert_eq!(
            lexicon.slip("silvr").map(|id| lexicon.spelling(id)),
            Some("silver")
        );
        assert_eq!(lexicon.slip("house"), None);
        assert_eq!(lexicon.near("brittania"), Some("britannia"));
        assert_eq!(lexicon.near("zzzzzz"), None);
    }
}
