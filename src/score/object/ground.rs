//! What is worked out once from the library of things: priors, what each type bears, which forms are
//! near to one another, which words stand in which rows.
//!
//! Judges no find.
//!
//! Invariant: the hypotheses are the types in their places, then the rest of each class that has
//! types; their priors and that of what is of no class sum to one.

use std::collections::HashMap;

use super::constants::{
    CLASS_OFTEN, CLASS_SPREAD, CLASS_WEIGHT, COMMONNESS, OUTSIDE_SHARE, PERIOD_ELSE,
    PERIOD_FLATTENING, PERIOD_SHARE, PRIOR_FLATTENING, REST_SHARE, SHOWN, WORD_PLACE,
};
use super::fitted::LOUD;
use crate::catalogue::{ArtefactType, Artefacts, Catalogue, Common, Decoration, Sizes};
use crate::find::{FormSaid, Object};
use crate::parse::telling_words;

/// A word of form or a motif: forms first, then the motifs that things bear with all wider ones.
pub type Concept = u32;

/// What is worked out once from the library of things.
#[derive(Clone, Debug, Default)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct ObjectGroundwork {
    /// Log prior of each hypothesis.
    pub(super) prior: Vec<f64>,
    /// Class of each hypothesis.
    pub(super) class_of: Vec<u32>,
    /// Where the rests begin: how many types there are.
    pub(super) types: usize,
    /// Concepts that each type bears, with how often they are told.
    pub(super) borne: Vec<Vec<(Concept, f32)>>,
    /// Concepts that speak against each type.
    pub(super) lacks: Vec<Vec<Concept>>,
    /// Direct parents of each concept.
    pub(super) parents: Vec<Vec<Concept>>,
    /// All wider concepts of each, nearest first.
    pub(super) wider: Vec<Vec<Concept>>,
    /// Concept of each motif's id.
    pub(super) motifs: HashMap<String, Concept>,
    /// Ids of the motifs among the concepts, in order.
    pub motif_ids: Vec<String>,
    /// Sizes of the rest of each class.
    pub(super) rest_sizes: Vec<Sizes>,
    /// Types in whose rows a word stands, and how loudly.
    pub(super) words: HashMap<String, Vec<(u16, u8)>>,
    /// How loud each kind of witness is.
    pub loud: ThingLoud,
}

/// How loud each kind of witness about a thing speaks beside its own law: several are made of the same
/// words, so that together they say less than each by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct ThingLoud {
    /// A class that was named.
    pub names: f64,
    /// Forms.
    pub forms: f64,
    /// Words by the rows in which they stand.
    pub rows: f64,
    /// Words by the library's weights.
    pub wording: f64,
    /// Sizes and the weight.
    pub measures: f64,
    /// What is known beforehand.
    pub prior: f64,
}

impl Default for ThingLoud {
    /// As fitted.
    fn default() -> ThingLoud {
        ThingLoud::of(LOUD)
    }
}

impl ThingLoud {
    /// Names, forms, words by rows, words by weights, measures, and what is known beforehand.
    pub fn of([names, forms, rows, wording, measures, prior]: [f64; 6]) -> ThingLoud {
        ThingLoud {
            names,
            forms,
            rows,
            wording,
            measures,
            prior,
        }
    }
}

impl ObjectGroundwork {
    /// Works it out.
    pub fn new(artefacts: &Artefacts, catalogue: &Catalogue) -> ObjectGroundwork {
        let mut ground = ObjectGroundwork {
            types: artefacts.types.len(),
            ..ObjectGroundwork::default()
        };
        ground.gather_concepts(artefacts, catalogue);
        for artefact in &artefacts.types {
            let borne = ground.borne_by(artefact, catalogue);
            ground.borne.push(borne);
            let lacks = artefact.lacks.iter().map(|form| *form as Concept);
            ground.lacks.push(lacks.collect());
        }
        ground.gather_priors(artefacts);
        ground.gather_words(artefacts, catalogue);
        ground
    }

    /// How many hypotheses there are.
    pub fn hypotheses(&self) -> usize {
        self.prior.len()
    }

    /// The log prior as loud as it is believed beside the words of a find.
    pub(super) fn told_prior(&self) -> Vec<f64> {
        let loud = self.prior.iter().map(|prior| prior * self.loud.prior);
        let whole: f64 = loud.clone().map(f64::exp).sum();
        let norm = ((1.0 - OUTSIDE_SHARE) / whole).ln();
        loud.map(|prior| prior + norm).collect()
    }

    /// What each type gains, with what the rest of each class gains beside it: the mean over its types.
    pub(super) fn with_rests(&self, mut gains: Vec<f64>) -> Vec<f64> {
        let classes = self
            .class_of
            .iter()
            .max()
            .map_or(0, |most| *most as usize + 1);
        let mut sums = vec![(0.0, 0.0); classes];
        for (at, gain) in gains.iter().enumerate() {
            let (sum, of) = &mut sums[self.class_of[at] as usize];
            *sum += gain;
            *of += 1.0;
        }
        let rests = self.class_of[self.types..].iter();
        gains.extend(rests.map(|class| {
            let (sum, of) = sums[*class as usize];
            sum / f64::max(of, 1.0)
        }));
        gains
    }

    /// The concepts that ids of forms and of motifs stand for.
    pub(super) fn concepts(
        &self,
        forms: &[String],
        motifs: &[String],
        artefacts: &Artefacts,
    ) -> Vec<Concept> {
        let forms = forms.iter().filter_map(|id| artefacts.form_by_id(id));
        let motifs = motifs.iter().filter_map(|id| self.motifs.get(id).copied());
        forms.map(|form| form as Concept).chain(motifs).collect()
    }

    /// The concepts that a form said may mean: with a class named, also the customary parts of it
    /// whose longer names end in the word ("loop" of a buckle for "buckle loop").
    pub fn meant(&self, said: &FormSaid, object: &Object, artefacts: &Artefacts) -> Vec<Concept> {
        let mut concepts = self.concepts(&said.forms, &said.motifs, artefacts);
        let named = object.classes.iter().filter(|named| named.sure);
        let ids: Vec<&String> = named.flat_map(|named| &named.ids).collect();
        let classes = artefacts
            .classes
            .iter()
            .filter(|class| ids.contains(&&class.id));
        let word = format!(" {}", said.said.to_lowercase());
        for part in classes.flat_map(|class| &class.parts) {
            let ends = artefacts.forms[*part]
                .words
                .iter()
                .any(|name| name.ends_with(&word));
            if ends && !concepts.contains(&(*part as Concept)) {
                concepts.push(*part as Concept);
            }
        }
        concepts
    }

    /// The printed name of a concept.
    pub fn concept_name<'a>(
        &self,
        concept: Concept,
        artefacts: &'a Artefacts,
        catalogue: &'a Catalogue,
    ) -> &'a str {
        let at = concept as usize;
        if let Some(form) = artefacts.forms.get(at) {
            return &form.name;
        }
        let id = self.motif_ids.get(at - artefacts.forms.len());
        let motif = id.and_then(|id| catalogue.motifs.iter().find(|motif| motif.id == *id));
        motif.map_or("", |motif| &motif.name)
    }

    fn gather_concepts(&mut self, artefacts: &Artefacts, catalogue: &Catalogue) {
        for form in &artefacts.forms {
            let all = |list: &[usize]| list.iter().map(|at| *at as Concept).collect();
            self.parents.push(all(&form.under));
            self.wider.push(all(&form.ancestors));
        }
        let borne = artefacts.types.iter().flat_map(|one| &one.decoration);
        let motif = |one: &Decoration| match one {
            Decoration::Motif(motif) => Some(*motif),
            Decoration::Form(_) => None,
        };
        let mut motifs: Vec<usize> = borne
            .filter_map(motif)
            .flat_map(|at| catalogue.motifs[at].ancestors.iter().copied().chain([at]))
            .collect();
        motifs.sort_unstable();
        motifs.dedup();
        let first = artefacts.forms.len();
        let place = |at: usize| {
            motifs
                .binary_search(&at)
                .ok()
                .map(|at| (first + at) as Concept)
        };
        for at in &motifs {
            let motif = &catalogue.motifs[*at];
            let wider: Vec<Concept> = motif.ancestors.iter().filter_map(|at| place(*at)).collect();
            // The nearest wider ones stand first.
            self.parents.push(wider.iter().take(1).copied().collect());
            self.wider.push(wider);
            let concept = (first + self.motif_ids.len()) as Concept;
            self.motifs.insert(motif.id.clone(), concept);
            self.motif_ids.push(motif.id.clone());
        }
    }

    fn borne_by(&self, artefact: &ArtefactType, catalogue: &Catalogue) -> Vec<(Concept, f32)> {
        let mut borne: Vec<(Concept, f32)> = Vec::new();
        let mut add = |concept: Concept, often: f64| match borne
            .iter_mut()
            .find(|(held, _)| *held == concept)
        {
            Some((_, held)) => *held = held.max(often as f32),
            None => borne.push((concept, often as f32)),
        };
        artefact
            .has
            .iter()
            .for_each(|form| add(*form as Concept, SHOWN[0]));
        artefact
            .may
            .iter()
            .for_each(|form| add(*form as Concept, SHOWN[1]));
        for decoration in &artefact.decoration {
            match decoration {
                Decoration::Form(form) => add(*form as Concept, SHOWN[2]),
                Decoration::Motif(motif) => {
                    let concept = self.motifs.get(&catalogue.motifs[*motif].id);
                    concept.into_iter().for_each(|one| add(*one, SHOWN[2]));
                }
            }
        }
        for list in [&artefact.outline, &artefact.section] {
            let often = SHOWN[2 + list.len().clamp(1, 3)];
            list.iter().for_each(|form| add(*form as Concept, often));
        }
        artefact
            .survives
            .iter()
            .for_each(|form| add(*form as Concept, SHOWN[6]));
        borne
    }

    fn gather_priors(&mut self, artefacts: &Artefacts) {
        let often = |artefact: &ArtefactType| COMMONNESS[step(artefact.common)];
        let mut held: HashMap<(usize, usize), f64> = HashMap::new();
        let mut classes: HashMap<usize, Vec<usize>> = HashMap::new();
        for artefact in &artefacts.types {
            *held.entry((artefact.period, artefact.class)).or_default() += often(artefact);
            let periods = classes.entry(artefact.class).or_default();
            if !periods.contains(&artefact.period) {
                periods.push(artefact.period);
            }
        }
        let period = |at: usize| {
            let id = artefacts.periods[at].id.as_str();
            let share = PERIOD_SHARE.iter().find(|(name, _)| *name == id);
            share
                .map_or(PERIOD_ELSE, |(_, share)| *share)
                .powf(PERIOD_FLATTENING)
        };
        let class = |at: usize| {
            let id = artefacts.classes[at].id.as_str();
            let often = CLASS_OFTEN.iter().find(|(name, _)| *name == id);
            often.map_or(1.0, |(_, often)| *often)
        };
        // A class is shared among its periods as the periods are and as richly as it is listed there,
        // and in each by commonness.
        let lot = |at: usize, all: f64| period(at) * all.powf(CLASS_SPREAD);
        let (mut lots, mut sums) = (HashMap::new(), HashMap::new());
        let mut order: Vec<_> = held.iter().collect();
        order.sort_by_key(|(key, _)| **key);
        for ((at, of), all) in order {
            *lots.entry(*of).or_insert(0.0) += lot(*at, *all);
            *sums.entry(*of).or_insert(0.0_f64) += all;
        }
        let mut weight: Vec<f64> = Vec::new();
        for artefact in &artefacts.types {
            let (at, of) = (artefact.period, artefact.class);
            let here = held[&(at, of)];
            let share = lot(at, here) / lots[&of] * often(artefact) / here;
            weight.push(class(of) * sums[&of].powf(CLASS_WEIGHT) * share);
            self.class_of.push(of as u32);
        }
        let mut with_types: Vec<usize> = classes.into_keys().collect();
        with_types.sort_unstable();
        for at in with_types {
            let of_class = |one: &usize| artefacts.types[*one].class == at;
            let members: Vec<usize> = (0..self.types).filter(of_class).collect();
            let sum: f64 = members.iter().map(|one| weight[*one]).sum();
            weight.push(REST_SHARE * sum);
            self.class_of.push(at as u32);
            self.rest_sizes.push(hull(&members, artefacts));
        }
        weight
            .iter_mut()
            .for_each(|weight| *weight = weight.powf(PRIOR_FLATTENING));
        let whole: f64 = weight.iter().sum();
        let share = |w: f64| ((1.0 - OUTSIDE_SHARE) * w / whole).ln();
        self.prior = weight.into_iter().map(share).collect();
    }

    fn gather_words(&mut self, artefacts: &Artefacts, catalogue: &Catalogue) {
        for (at, artefact) in artefacts.types.iter().enumerate() {
            let mut loud: HashMap<String, u8> = HashMap::new();
            let mut add = |text: &str, how: u8| {
                for word in telling_words(text) {
                    let held = loud.entry(word).or_default();
                    *held = (*held).max(how);
                }
            };
            add(&artefact.name, WORD_PLACE.0);
            add(&artefact.group.replace('-', " "), WORD_PLACE.0);
            add(&artefacts.series[artefact.series].name, WORD_PLACE.2);
            let forms = artefact
                .has
                .iter()
                .chain(&artefact.may)
                .chain(&artefact.outline);
            for form in forms {
                let form = &artefacts.forms[*form];
                add(&form.name, WORD_PLACE.1);
                form.words.iter().for_each(|word| add(word, WORD_PLACE.1));
            }
            for decoration in &artefact.decoration {
                let (name, words) = match decoration {
                    Decoration::Form(form) => {
                        (&artefacts.forms[*form].name, &artefacts.forms[*form].words)
                    }
                    Decoration::Motif(motif) => (
                        &catalogue.motifs[*motif].name,
                        &catalogue.motifs[*motif].words,
                    ),
                };
                add(name, WORD_PLACE.1);
                words.iter().for_each(|word| add(word, WORD_PLACE.1));
            }
            artefact
                .apart
                .iter()
                .for_each(|apart| add(&apart.by, WORD_PLACE.2));
            artefact
                .note
                .iter()
                .for_each(|note| add(note, WORD_PLACE.2));
            for (word, how) in loud {
                self.words.entry(word).or_default().push((at as u16, how));
            }
        }
    }
}

/// Step of commonness, rarest first.
fn step(common: Common) -> usize {
    match common {
        Common::VeryRare => 0,
        Common::Rare => 1,
        Common::Uncommon => 2,
        Common::Common => 3,
        Common::VeryCommon => 4,
    }
}

/// The range over the ranges of some types.
fn hull(members: &[usize], artefacts: &Artefacts) -> Sizes {
    let mut hull = Sizes::default();
    for one in members {
        for (dimension, (least, most)) in artefacts.types[*one].sizes.given() {
            let held = &mut hull.0[dimension as usize];
            *held = Some(held.map_or((least, most), |(a, b)| (a.min(least), b.max(most))));
        }
    }
    hull
}
