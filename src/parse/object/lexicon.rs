//! Every word that the library knows of things, and what it means.
//!
//! Made from the names and lay words of classes, forms, motifs, periods and metals, and from
//! `everyday`. Holds no text of the finder and weighs nothing.
//!
//! Invariant: a phrase is a row of stems without articles and is never empty; equal phrases share
//! one entry that lists all their meanings.

use std::collections::{HashMap, HashSet};

use super::everyday::{ALIKE, ARTICLES, CARRIES_NOTHING, PLAIN, Plain};
use crate::catalogue::{Artefacts, Catalogue, Decoration, Facet};
use crate::find::{MetalSeen, Span};
use crate::parse::stem;

/// What joins the name of a thing to what it belongs to.
const JOINS: [&str; 6] = [" of ", " from ", " for ", " with ", " in ", " on "];
/// Longest phrase, in stems; longer ones could not be matched in bounded time.
const LONGEST_PHRASE: usize = 10;
/// A stem that matches nothing.
pub(super) const UNKNOWN: u32 = u32::MAX;
/// Shortest word that may hold a slip of the pen.
const SHORTEST_SLIP: usize = 5;

/// Everything one phrase can mean, by positions in the lists of the lexicon.
#[derive(Clone, Debug, Default)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Meanings {
    pub classes: Vec<u32>,
    /// Classes whose longer names end in it.
    pub near: Vec<u32>,
    pub forms: Vec<u32>,
    pub motifs: Vec<u32>,
    pub periods: Vec<u32>,
    pub metal: Option<MetalSeen>,
    pub plain: Option<Plain>,
}

impl Meanings {
    /// True when only longer names end in it.
    pub fn is_loose(&self) -> bool {
        let said = self.classes.len() + self.forms.len() + self.motifs.len() + self.periods.len();
        said == 0 && self.metal.is_none() && self.plain.is_none()
    }
}

/// Every word that the library knows of things.
#[derive(Clone, Debug, Default)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct ObjectLexicon {
    stems: HashMap<String, u32>,
    spelled: Vec<String>,
    phrases: HashMap<Vec<u32>, u32>,
    keys: Vec<Vec<u32>>,
    entries: Vec<Meanings>,
    /// Longest phrase that starts with a stem.
    reach: Vec<u8>,
    /// Phrases of several words, under the rarest of their stems.
    bags: HashMap<u32, Vec<u32>>,
    empty: HashSet<u32>,
    /// Last words of names of classes that are plural by nature ("tweezers").
    plurals: HashSet<String>,
    pub(super) classes: Vec<String>,
    /// The words of each class's own name.
    names: Vec<Vec<u32>>,
    pub(super) forms: Vec<String>,
    pub(super) motifs: Vec<String>,
    pub(super) periods: Vec<String>,
    /// The years of each period.
    pub(super) years: Vec<Span>,
}

#[derive(Clone, Copy)]
enum Sense {
    Class(u32),
    Near(u32),
    Form(u32),
    Motif(u32),
    Period(u32),
    Metal(MetalSeen),
    Plain(Plain),
}

/// The shape in which a word of a thing is compared.
pub(crate) fn shape(word: &str) -> String {
    let plain = stem::plain(word);
    let alike = ALIKE.iter().find(|(from, _)| *from == plain);
    stem::stem(alike.map_or(plain.as_ref(), |(_, to)| *to)).into_owned()
}

/// What a name with "or" is called by each of its halves: "dagger or knife fitting" is the fitting of
/// either, and no dagger.
fn alternatives(name: &str, at: usize, artefacts: &Artefacts) -> Vec<String> {
    let halves: Vec<&str> = name.split(" or ").collect();
    let head = halves
        .last()
        .and_then(|last| last.rsplit_once(' '))
        .map(|(_, head)| head);
    let (Some(head), true) = (head, halves.len() > 1) else {
        return halves.into_iter().map(str::to_string).collect();
    };
    let of_another = |half: &str| {
        let mut others = artefacts.classes.iter().enumerate();
        others.any(|(other, class)| {
            other != at && (class.name == half || class.words.iter().any(|word| word == half))
        })
    };
    let each = halves
        .into_iter()
        .flat_map(|half| match half.ends_with(head) {
            true => vec![half.to_string()],
            false if of_another(half) => vec![format!("{half} {head}")],
            false => vec![half.to_string(), format!("{half} {head}")],
        });
    each.collect()
}

/// The last word of a name that is a plural.
fn plural_end(name: &str) -> Option<String> {
    let last = name.rsplit([' ', '-']).next()?;
    let plural = last.ends_with('s') && !last.ends_with("ss");
    plural.then(|| last.to_lowercase())
}

/// The words of a text in the shape in which they are compared, without those that say nothing.
pub(crate) fn telling_words(text: &str) -> Vec<String> {
    let words = stem::spans(text).into_iter().map(|span| shape(&text[span]));
    words.filter(|word| tells(word)).collect()
}

fn tells(word: &str) -> bool {
    let plain = || PLAIN.iter().any(|(phrase, _)| *phrase == word);
    word.len() > 1
        && !word.bytes().all(|b| b.is_ascii_digit())
        && !ARTICLES.contains(&word)
        && !CARRIES_NOTHING.contains(&word)
        && !plain()
}

impl ObjectLexicon {
    /// Gathers the words of a library.
    pub fn new(artefacts: &Artefacts, catalogue: &Catalogue) -> ObjectLexicon {
        let mut lexicon = ObjectLexicon::default();
        for (phrase, plain) in PLAIN {
            lexicon.enter(phrase, Sense::Plain(*plain));
        }
        for word in ARTICLES.iter().chain(CARRIES_NOTHING) {
            let id = lexicon.intern(&shape(word));
            lexicon.empty.insert(id);
        }
        lexicon.enter_classes(artefacts);
        lexicon.enter_forms(artefacts);
        lexicon.enter_motifs(artefacts, catalogue);
        for (at, period) in artefacts.periods.iter().enumerate() {
            lexicon.periods.push(period.id.clone());
            lexicon.years.push(period.span);
            for word in std::iter::once(&period.name).chain(&period.words) {
                lexicon.enter(word, Sense::Period(at as u32));
            }
        }
        for metal in &catalogue.metals {
            for word in std::iter::once(&metal.name).chain(&metal.words) {
                lexicon.enter(word, Sense::Metal(metal.looks));
            }
        }
        for metal in MetalSeen::ALL {
            lexicon.enter(metal.name(), Sense::Metal(metal));
        }
        lexicon.enter("rusty", Sense::Metal(MetalSeen::Iron));
        lexicon.enter_names(artefacts);
        lexicon.enter_sayings(artefacts);
        lexicon.index();
        lexicon
    }

    fn enter_classes(&mut self, artefacts: &Artefacts) {
        for (at, class) in artefacts.classes.iter().enumerate() {
            let at = at as u32;
            self.classes.push(class.id.clone());
            let own = stem::spans(&class.name).into_iter();
            let own = own.map(|span| shape(&class.name[span]));
            let own = own.map(|word| self.intern(&word)).collect();
            self.names.push(own);
            for name in alternatives(&class.name, at as usize, artefacts) {
                self.enter(&name, Sense::Class(at));
            }
            for word in std::iter::once(&class.name).chain(&class.words) {
                self.enter(word, Sense::Class(at));
                self.plurals.extend(plural_end(word));
                // "mouthpiece of a trumpet" is a mouthpiece and no trumpet.
                let head = JOINS.iter().filter_map(|join| word.split_once(join));
                let head = head.map(|(head, _)| head).min_by_key(|head| head.len());
                let head = head.unwrap_or(word);
                let last = head.rsplit([' ', '-']).next().unwrap_or_default();
                if last.len() < word.len() && tells(&shape(last)) {
                    self.enter(last, Sense::Near(at));
                }
            }
        }
    }

    fn enter_forms(&mut self, artefacts: &Artefacts) {
        for (at, form) in artefacts.forms.iter().enumerate() {
            self.forms.push(form.id.clone());
            let shaped = form.name.strip_suffix("-shaped");
            if let Some(name) = shaped.filter(|_| form.facet == Facet::Outline) {
                self.enter(name, Sense::Form(at as u32));
            }
            for word in std::iter::once(&form.name).chain(&form.words) {
                self.enter(word, Sense::Form(at as u32));
                for name in word.split(" or ").filter(|_| form.name == *word) {
                    self.enter(name, Sense::Form(at as u32));
                }
            }
        }
    }

    /// The motifs that things bear, and all wider ones.
    fn enter_motifs(&mut self, artefacts: &Artefacts, catalogue: &Catalogue) {
        let borne = artefacts.types.iter().flat_map(|one| &one.decoration);
        let motifs = borne.filter_map(|one| match one {
            Decoration::Motif(motif) => Some(*motif),
            Decoration::Form(_) => None,
        });
        let mut borne: Vec<usize> = motifs
            .flat_map(|at| catalogue.motifs[at].ancestors.iter().copied().chain([at]))
            .collect();
        borne.sort_unstable();
        borne.dedup();
        for (at, motif) in borne.into_iter().enumerate() {
            let motif = &catalogue.motifs[motif];
            self.motifs.push(motif.id.clone());
            for word in std::iter::once(&motif.name).chain(&motif.words) {
                self.enter(word, Sense::Motif(at as u32));
            }
        }
    }

    /// The words of the names and notes of types, which make no phrases.
    fn enter_names(&mut self, artefacts: &Artefacts) {
        for artefact in &artefacts.types {
            let by = artefact.apart.iter().map(|apart| apart.by.as_str());
            let group = artefact.group.replace('-', " ");
            let names = [
                artefact.name.as_str(),
                &group,
                &artefacts.series[artefact.series].name,
            ];
            let rows = names.into_iter().chain(artefact.note.as_deref()).chain(by);
            for text in rows {
                for word in telling_words(text) {
                    self.intern(&word);
                }
            }
        }
    }

    /// Words that finders might say are no slips of others.
    fn enter_sayings(&mut self, artefacts: &Artefacts) {
        let words = artefacts.wording.words();
        for word in words.iter().filter(|word| !word.contains(' ')) {
            self.intern(word);
        }
    }

    fn intern(&mut self, shape: &str) -> u32 {
        if let Some(id) = self.stems.get(shape) {
            return *id;
        }
        let id = self.spelled.len() as u32;
        self.stems.insert(shape.to_string(), id);
        self.spelled.push(shape.to_string());
        self.reach.push(0);
        id
    }

    fn enter(&mut self, phrase: &str, sense: Sense) {
        if let Some((name, _)) = phrase.split_once(" (") {
            self.enter(name, sense);
        }
        let words = stem::spans(phrase)
            .into_iter()
            .map(|span| shape(&phrase[span]));
        let words: Vec<String> = words
            .filter(|word| !ARTICLES.contains(&word.as_str()))
            .collect();
        let mut key = words;
        // "d-shaped" and "shape of a d" are said with "d" alone too, but one letter is too little.
        if key.is_empty() || key.len() > LONGEST_PHRASE || key.concat().len() < 2 {
            return;
        }
        let key: Vec<u32> = key.drain(..).map(|word| self.intern(&word)).collect();
        let at = match self.phrases.get(&key) {
            Some(at) => *at,
            None => {
                let at = self.entries.len() as u32;
                let reach = &mut self.reach[key[0] as usize];
                *reach = (*reach).max(key.len() as u8);
                self.phrases.insert(key.clone(), at);
                self.keys.push(key);
                self.entries.push(Meanings::default());
                at
            }
        };
        let entry = &mut self.entries[at as usize];
        let list = match sense {
            Sense::Class(at) => (&mut entry.classes, at),
            Sense::Near(at) => (&mut entry.near, at),
            Sense::Form(at) => (&mut entry.forms, at),
            Sense::Motif(at) => (&mut entry.motifs, at),
            Sense::Period(at) => (&mut entry.periods, at),
            Sense::Metal(metal) => return entry.metal = entry.metal.or(Some(metal)),
            Sense::Plain(plain) => return entry.plain = entry.plain.or(Some(plain)),
        };
        if !list.0.contains(&list.1) {
            list.0.push(list.1);
        }
    }

    fn index(&mut self) {
        let mut uses = vec![0u32; self.spelled.len()];
        for id in self.keys.iter().flatten() {
            uses[*id as usize] += 1;
        }
        for (at, key) in self.keys.iter().enumerate() {
            let telling = key.iter().filter(|id| !self.empty.contains(id));
            if key.len() > 1 && telling.clone().count() > 1 {
                let rarest = telling.min_by_key(|id| uses[**id as usize]);
                let rarest = rarest.copied().unwrap_or(key[0]);
                self.bags.entry(rarest).or_default().push(at as u32);
            }
        }
    }

    pub(super) fn lookup(&self, key: &[u32]) -> Option<u32> {
        self.phrases.get(key).copied()
    }

    pub(super) fn entry(&self, at: u32) -> &Meanings {
        &self.entries[at as usize]
    }

    /// True for a word that tells of several things at once, and is no name of one thing by nature.
    pub(super) fn is_several(&self, typed: &str) -> bool {
        let typed = typed.to_lowercase();
        plural_end(&typed).is_some_and(|last| !self.plurals.contains(&last))
    }

    /// True for a word of the class's own name.
    pub(super) fn is_in_name(&self, class: u32, stem: u32) -> bool {
        let own = self.names.get(class as usize);
        own.is_some_and(|own| own.contains(&stem))
    }

    pub(super) fn reach(&self, stem: u32) -> usize {
        self.reach
            .get(stem as usize)
            .map_or(0, |reach| usize::from(*reach))
    }

    pub(super) fn is_empty_word(&self, stem: u32) -> bool {
        self.empty.contains(&stem)
    }

    /// Phrases of several words whose rarest is this, with their words.
    pub(super) fn bags(&self, stem: u32) -> impl Iterator<Item = (u32, &Vec<u32>)> {
        let bags = self.bags.get(&stem).into_iter().flatten();
        bags.map(|at| (*at, &self.keys[*at as usize]))
    }

    /// The stem of a word, as it stands.
    pub(super) fn stem_of(&self, word: &str) -> Option<u32> {
        self.stems.get(&shape(word)).copied()
    }

    /// How a stem is spelled.
    pub(super) fn spelling(&self, stem: u32) -> &str {
        self.spelled.get(stem as usize).map_or("", String::as_str)
    }

    /// The one word of the library from which this differs by a slip.
    pub(super) fn slip(&self, word: &str) -> Option<u32> {
        let word = shape(word);
        if word.len() < SHORTEST_SLIP || !word.is_ascii() {
            return None;
        }
        let near = |other: &&String| {
            other.len() >= SHORTEST_SLIP
                && other.len().abs_diff(word.len()) <= 1
                && strsim::osa_distance(other, &word) == 1
        };
        let likeness = |other: &String| strsim::jaro_winkler(other, &word);
        let best = self
            .spelled
            .iter()
            .filter(near)
            .max_by(|a, b| likeness(a).total_cmp(&likeness(b)).then(b.cmp(a)));
        best.and_then(|word| self.stems.get(word).copied())
    }
}
