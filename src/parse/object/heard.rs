//! Phrases heard in one clause, and what they put into the object.
//!
//! The longest phrase wins; "no", "missing", "perhaps" and "with" bear on what stands beside them.
//! Weighs nothing.
//!
//! Invariant: every word goes into a phrase, is kept as a word, carries nothing, or is remarked upon.

use super::everyday::Plain;
use super::lexicon::{Meanings, ObjectLexicon, UNKNOWN};
use super::{WORDS, Word};
use crate::find::{FormSaid, Left, Named, Object, PeriodSaid, Presence, WordSaid, Year};
use crate::parse::remark::{Remark, RemarkKind};

/// Longest clause, in words, in which a phrase is sought in any order.
const LONGEST_BAG: usize = 40;
/// Most words kept that went into no phrase.
const MOST_KEPT: usize = 60;

/// A phrase in a clause.
#[derive(Clone, Debug)]
struct Phrase {
    /// Places of its words.
    words: Vec<usize>,
    entry: u32,
    exact: bool,
    presence: Presence,
    sure: bool,
    /// True after "with" and the like.
    part: bool,
}

/// Reads clause after clause.
pub(super) struct Reader<'t> {
    text: &'t str,
    lexicon: &'t ObjectLexicon,
    pub object: Object,
    pub remarks: Vec<Remark>,
    /// Words heard and left over, to be told of at the end.
    left: Vec<WordSaid>,
    unknown: Vec<String>,
}

impl<'t> Reader<'t> {
    pub fn new(text: &'t str, lexicon: &'t ObjectLexicon, remarks: Vec<Remark>) -> Reader<'t> {
        Reader {
            text,
            lexicon,
            object: Object::default(),
            remarks,
            left: Vec::new(),
            unknown: Vec::new(),
        }
    }

    /// Says that the rest is not read.
    pub fn too_long(&mut self) {
        self.remarks.push(Remark::new(
            RemarkKind::Ignored,
            WORDS,
            "",
            "more words than describe one thing; the rest was not read",
            "describe one find in a few lines",
        ));
    }

    /// Hears one clause.
    pub fn clause(&mut self, words: &[Word]) {
        self.object.told.push(self.told(words));
        let mut used = vec![false; words.len()];
        let mut phrases = self.phrases(words, &mut used);
        self.bags(words, &mut used, &mut phrases);
        phrases.sort_by_key(|phrase| (phrase.words[0], phrase.entry));
        let phrases = self.modified(phrases, words);
        // What named the class, the metal or the period has said all it can.
        let mut spent = vec![false; words.len()];
        for phrase in &phrases {
            if self.put(phrase, words) {
                let said = phrase.words.iter();
                said.filter(|at| self.is_spent(phrase, words[**at].stem))
                    .for_each(|at| spent[*at] = true);
            }
        }
        for (at, word) in words.iter().enumerate() {
            if !spent[at] {
                self.keep(word, used[at]);
            }
        }
    }

    /// The words of a clause, without numbers.
    fn told(&self, words: &[Word]) -> Vec<String> {
        let spelled = |word: &Word| match word.stem {
            UNKNOWN => super::lexicon::shape(&self.text[word.range.clone()]),
            stem => self.lexicon.spelling(stem).to_string(),
        };
        let spelled = words.iter().map(spelled);
        spelled.filter(|word| super::is_told(word)).collect()
    }

    fn phrases(&self, words: &[Word], used: &mut [bool]) -> Vec<Phrase> {
        let stems: Vec<u32> = words.iter().map(|word| word.stem).collect();
        let mut all: Vec<(usize, usize, u32)> = Vec::new();
        for first in 0..stems.len() {
            let reach = self.lexicon.reach(stems[first]).min(stems.len() - first);
            for count in 1..=reach {
                let found = self.lexicon.lookup(&stems[first..first + count]);
                all.extend(found.map(|entry| (count, first, entry)));
            }
        }
        all.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
        let mut phrases = Vec::new();
        for (count, first, entry) in all {
            let place = first..first + count;
            if used[place.clone()].iter().any(|taken| *taken) {
                continue;
            }
            used[place.clone()].fill(true);
            phrases.push(Phrase {
                words: place.collect(),
                entry,
                exact: true,
                presence: Presence::Present,
                sure: true,
                part: false,
            });
        }
        phrases
    }

    /// Phrases whose telling words all stand in the clause, in whatever order, and of which some
    /// word has no other use or which are longer than what its words said by themselves.
    fn bags(&self, words: &[Word], used: &mut [bool], phrases: &mut Vec<Phrase>) {
        if words.len() > LONGEST_BAG {
            return;
        }
        // A word of the longer name of a class ("bow brooch") is no word of a part.
        let named =
            |one: &Phrase| one.words.len() > 1 && !self.lexicon.entry(one.entry).classes.is_empty();
        let bound = |at: &usize| {
            phrases
                .iter()
                .any(|one| named(one) && one.words.contains(at))
        };
        let bound: Vec<bool> = (0..words.len()).map(|at| bound(&at)).collect();
        let mut found: Vec<(u32, Vec<usize>)> = Vec::new();
        for word in words.iter().filter(|word| word.stem != UNKNOWN) {
            for (entry, key) in self.lexicon.bags(word.stem) {
                let meaning = self.lexicon.entry(entry);
                if meaning.forms.is_empty() && meaning.motifs.is_empty() {
                    continue;
                }
                let telling = key.iter().filter(|id| !self.lexicon.is_empty_word(**id));
                let plain = |id: &&u32| {
                    let alone = self.lexicon.lookup(&[**id]);
                    alone.is_none_or(|at| self.lexicon.entry(at).plain.is_none())
                };
                let place =
                    |id: &u32| (0..words.len()).find(|at| words[*at].stem == *id && !bound[*at]);
                let places: Option<Vec<usize>> = telling.filter(plain).map(place).collect();
                found.extend(places.filter(|at| at.len() > 1).map(|at| (entry, at)));
            }
        }
        found.sort_by(|a, b| b.1.len().cmp(&a.1.len()).then(a.0.cmp(&b.0)));
        found.dedup();
        let mut taken = vec![false; words.len()];
        for (entry, mut places) in found {
            places.sort_unstable();
            places.dedup();
            let within = |phrase: &Phrase| places.iter().all(|at| phrase.words.contains(at));
            if places.len() < 2 || places.iter().all(|at| taken[*at]) || phrases.iter().any(within)
            {
                continue;
            }
            places.iter().for_each(|at| {
                taken[*at] = true;
                used[*at] = true;
            });
            phrases.push(Phrase {
                words: places,
                entry,
                exact: false,
                presence: Presence::Present,
                sure: true,
                part: true,
            });
        }
    }

    /// Lets the words that deny, doubt and join bear on their neighbours.
    fn modified(&self, phrases: Vec<Phrase>, words: &[Word]) -> Vec<Phrase> {
        let mut said: Vec<Phrase> = Vec::new();
        let (mut denied, mut lost, mut doubted, mut part) = (false, false, false, false);
        let mut last: (Presence, bool) = (Presence::Present, true);
        for mut phrase in phrases {
            let entry = self.lexicon.entry(phrase.entry);
            let shows = !entry.forms.is_empty() || !entry.classes.is_empty();
            match entry.plain.filter(|_| !shows) {
                Some(Plain::No) => denied = true,
                Some(Plain::Perhaps) => doubted = true,
                Some(Plain::With) => part = true,
                Some(Plain::Of) => part = self.names_before(&mut said),
                Some(Plain::Lost) => {
                    // "pin missing" bears on what stands before it, "missing pin" on what follows.
                    let mut back = said.iter_mut().rev().filter(|one| can_be_lost(self, one));
                    match back.next().filter(|_| !denied) {
                        Some(before) => before.presence = Presence::BrokenAway,
                        None => lost = !denied,
                    }
                }
                Some(Plain::Or) => {
                    denied |= last.0 == Presence::Absent;
                    doubted |= !last.1;
                }
                _ => {
                    phrase.part |= part;
                    if denied {
                        phrase.presence = Presence::Absent;
                    } else if lost {
                        phrase.presence = Presence::BrokenAway;
                    }
                    phrase.sure = !doubted && !phrase.words.iter().any(|at| words[*at].query);
                    last = (phrase.presence, phrase.sure);
                    if entry.metal.is_none() && entry.periods.is_empty() {
                        (denied, lost, doubted) = (false, false, false);
                    }
                    said.push(phrase);
                }
            }
        }
        said
    }

    /// True when the thing was named before "of". A word that may be a part ("the pin of a brooch",
    /// "a fragment of an axe") did not name it.
    fn names_before(&self, said: &mut [Phrase]) -> bool {
        let named = |one: &Phrase| !one.part && !self.lexicon.entry(one.entry).classes.is_empty();
        if let Some(last) = said
            .last_mut()
            .filter(|one| !self.lexicon.entry(one.entry).forms.is_empty())
        {
            last.part = true;
        }
        self.object.classes.iter().any(|one| one.sure) || said.iter().any(named)
    }

    fn words_of(&self, phrase: &Phrase, words: &[Word]) -> String {
        let said = phrase
            .words
            .iter()
            .map(|at| &self.text[words[*at].range.clone()]);
        said.collect::<Vec<_>>().join(" ")
    }

    /// Puts a phrase into the object; true when its words need not be heard again.
    fn put(&mut self, phrase: &Phrase, words: &[Word]) -> bool {
        let lexicon = self.lexicon;
        let entry = lexicon.entry(phrase.entry);
        let said = self.words_of(phrase, words);
        if let Some(metal) = entry.metal {
            let named = self.object.metal.is_none() && !phrase.part;
            // The metal of a part ("with an iron pin") is not that of the thing.
            if named && phrase.presence == Presence::Present {
                self.object.metal = Some((metal, phrase.sure));
            }
        }
        if !entry.periods.is_empty() {
            let ids = ids(&entry.periods, &lexicon.periods);
            self.object.periods.push(PeriodSaid {
                ids,
                said: said.clone(),
            });
        }
        if let Some(Plain::Left(left)) = entry.plain {
            self.leave(left);
        }
        // "Rings" and "beads" are what one thing shows, seldom what it is.
        let several = lexicon.is_several(&said);
        let head = !phrase.part && phrase.presence == Presence::Present;
        let first = !self.object.classes.iter().any(|one| one.sure);
        let shows = !entry.forms.is_empty() || !entry.motifs.is_empty();
        let spent = entry.metal.is_some() || !entry.periods.is_empty();
        if !entry.classes.is_empty() && (head && (first || !shows)) && !(several && shows) {
            self.name(entry, &said, phrase.sure && first && !several);
            return true;
        }
        if shows {
            self.form(entry, phrase, said);
        } else if entry.is_loose() && head && first && self.object.classes.is_empty() {
            self.name(entry, &said, false);
        }
        spent
    }

    /// True for a word of a phrase that has said all it can. Of the longer names of a class what no
    /// name of its own has ("trumpet brooch" of a bow brooch) may be the name of a type.
    fn is_spent(&self, phrase: &Phrase, stem: u32) -> bool {
        let classes = &self.lexicon.entry(phrase.entry).classes;
        phrase.words.len() == 1
            || classes.is_empty()
            || classes
                .iter()
                .any(|class| self.lexicon.is_in_name(*class, stem))
    }

    fn name(&mut self, entry: &Meanings, said: &str, sure: bool) {
        let ids = |places: &[u32]| ids(places, &self.lexicon.classes);
        self.object.classes.push(Named {
            ids: ids(&entry.classes),
            near: ids(&entry.near),
            said: said.to_string(),
            sure,
        });
    }

    fn form(&mut self, entry: &Meanings, phrase: &Phrase, said: String) {
        let forms = ids(&entry.forms, &self.lexicon.forms);
        let state = forms.iter().find_map(|id| told_by_state(id));
        if let (Some((left, lost)), Presence::Present) = (state, phrase.presence) {
            self.leave(left);
            let Some(part) = lost.filter(|part| self.lexicon.forms.iter().any(|id| id == part))
            else {
                return;
            };
            return self.object.forms.push(FormSaid {
                forms: vec![part.to_string()],
                motifs: Vec::new(),
                said,
                presence: Presence::BrokenAway,
                sure: phrase.sure,
                exact: true,
            });
        }
        if phrase.presence == Presence::BrokenAway && !said.contains("pin") {
            self.leave(Left::Incomplete);
        }
        let new = FormSaid {
            forms,
            motifs: ids(&entry.motifs, &self.lexicon.motifs),
            said,
            presence: phrase.presence,
            sure: phrase.sure,
            exact: phrase.exact,
        };
        let same = |one: &FormSaid| one.forms == new.forms && one.motifs == new.motifs;
        if let Some(before) = self.object.forms.iter().find(|one| same(one)) {
            if before.presence != new.presence {
                self.remarks.push(Remark::new(
                    RemarkKind::Contradiction,
                    WORDS,
                    &new.said,
                    "is said to be there and not to be there; the first was kept",
                    "say which it is",
                ));
            }
            return;
        }
        self.object.forms.push(new);
    }

    fn leave(&mut self, left: Left) {
        let graver = |one: Left| match one {
            Left::Unsaid => 0,
            Left::Whole => 1,
            Left::Incomplete => 2,
            Left::Fragment => 3,
        };
        if graver(left) > graver(self.object.left) {
            self.object.left = left;
        }
    }

    fn keep(&mut self, word: &Word, used: bool) {
        let said = self.text[word.range.clone()].to_string();
        if let Some(year) = year(&said) {
            return self.dated(year, said);
        }
        // A mended word that makes no phrase is more likely another word than a slip.
        if word.stem == UNKNOWN || (word.mended && !used) {
            self.unknown.push(said);
        } else if !self.lexicon.is_empty_word(word.stem) && self.left.len() < MOST_KEPT {
            let stem = self.lexicon.spelling(word.stem).to_string();
            if !self.left.iter().any(|one| one.stem == stem) {
                self.left.push(WordSaid {
                    stem,
                    said,
                    heard: used,
                });
            }
        }
    }

    /// A year that was said of it or stands on it.
    fn dated(&mut self, year: Year, said: String) {
        let years = self.lexicon.years.iter();
        let of = years.zip(&self.lexicon.periods);
        let of = of.filter(|(span, _)| span.from <= year && year <= span.to);
        let ids: Vec<String> = of.map(|(_, id)| id.clone()).collect();
        if !ids.is_empty() && !self.object.periods.iter().any(|one| one.ids == ids) {
            self.object.periods.push(PeriodSaid { ids, said });
        }
    }

    /// The object, and what is to be said of the words.
    pub fn finish(mut self) -> (Object, Vec<Remark>) {
        if !self.unknown.is_empty() {
            self.remarks.push(Remark::new(
                RemarkKind::NotUnderstood,
                WORDS,
                &self.unknown.join(", "),
                "is no word that the library knows of a thing",
                "say it with another word",
            ));
        }
        let told = |one: &WordSaid| super::lexicon::telling_words(&one.stem).len() == 1;
        self.object.words = self.left.into_iter().filter(told).collect();
        (self.object, self.remarks)
    }
}

fn can_be_lost(reader: &Reader, phrase: &Phrase) -> bool {
    let entry = reader.lexicon.entry(phrase.entry);
    !entry.forms.is_empty() || !entry.classes.is_empty()
}

fn ids(places: &[u32], names: &[String]) -> Vec<String> {
    let named = places.iter().filter_map(|at| names.get(*at as usize));
    named.cloned().collect()
}

/// A year in four figures, as people give one without saying that it is one.
fn year(said: &str) -> Option<Year> {
    let figures = said.len() == 4 && said.bytes().all(|byte| byte.is_ascii_digit());
    let year = said.parse().ok().filter(|_| figures)?;
    (1000..=2100).contains(&year).then_some(year)
}

/// What a state says of how much is left, and of the part that is lost.
fn told_by_state(id: &str) -> Option<(Left, Option<&'static str>)> {
    Some(match id {
        "complete" => (Left::Whole, None),
        "fragment" | "cut-up" | "bow-only" | "head-only" | "terminal-only" | "worn-stump" => {
            (Left::Fragment, None)
        }
        "pin-lost" => (Left::Unsaid, Some("pin")),
        "spring-lost" => (Left::Unsaid, Some("spring")),
        "stone-lost" => (Left::Unsaid, Some("setting")),
        "enamel-lost" => (Left::Unsaid, Some("enamelled")),
        "iron-lost" => (Left::Unsaid, None),
        "plate-lost" => (Left::Incomplete, Some("plate")),
        "loop-lost" => (Left::Incomplete, Some("loop")),
        "foot-lost" => (Left::Incomplete, Some("foot")),
        "incomplete" | "broken" | "broken-at-bar" | "broken-at-socket" | "clean-break"
        | "hinge-broken" | "blade-tip-lost" => (Left::Incomplete, None),
        "worn" | "bent" | "corroded" | "cracked" | "crushed" | "burnt" | "edge-worn"
        | "plough-struck" | "polished-by-use" | "surface-lost" | "joined-pieces" => {
            (Left::Unsaid, None)
        }
        _ => return None,
    })
}
