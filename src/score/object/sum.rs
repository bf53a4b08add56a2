//! Prior and columns summed, and turned into probabilities.
//!
//! Invariant: a total is its prior plus the nats of its terms, as shown; the chances of all
//! hypotheses and of "of no class of the library" sum to one.

use super::constants::OUTSIDE_SHARE;
use super::ground::ObjectGroundwork;
use super::{class, form, plain, size, word};
use crate::catalogue::{Artefacts, Catalogue};
use crate::find::Object;

/// How many of the likeliest carry their terms.
const TOLD: usize = 24;

/// What a thing may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Hypothesis {
    /// A type, by its position.
    Type(usize),
    /// What the library does not list of a class, by the position of the class.
    Rest(usize),
}

/// What a term is about: a place in the lists of the object.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum About {
    /// A class named.
    Class(usize),
    /// The metal seen.
    Metal,
    /// A form said.
    Form(usize),
    /// A size said.
    Size(usize),
    /// The weight.
    Weight,
    /// Letters read.
    Letters(usize),
    /// A period named.
    Period(usize),
    /// Another word.
    Word(usize),
    /// A word that is none of these: its place among all words of the text.
    Told(usize),
    /// The region.
    Region,
}

/// One witness over all hypotheses.
pub(super) struct Column {
    pub about: About,
    pub nats: Vec<f64>,
    /// Nats for "of no class of the library".
    pub outside: f64,
}

/// A term of the account.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThingTerm {
    /// What it is about.
    pub about: About,
    /// Nats against any thing of the library.
    pub nats: f64,
}

/// One hypothesis judged.
#[derive(Clone, Debug, PartialEq)]
pub struct ThingJudged {
    /// What it is.
    pub what: Hypothesis,
    /// Class, by its position.
    pub class: usize,
    /// Log prior.
    pub prior: f64,
    /// Terms; none for what stands far down.
    pub terms: Vec<ThingTerm>,
    /// Prior plus terms.
    pub total: f64,
    /// Probability, as the totals have it.
    pub raw: f64,
}

/// All hypotheses judged, the likeliest first.
#[derive(Clone, Debug, PartialEq)]
pub struct ThingRanking {
    /// The hypotheses.
    pub judged: Vec<ThingJudged>,
    /// Probability of "of no class of the library".
    pub outside: f64,
}

/// Turns how often something is told of each hypothesis into nats against the mean of the library.
pub(super) fn normed(
    often: Vec<f64>,
    right: f64,
    bound: f64,
    ground: &ObjectGroundwork,
) -> Vec<f64> {
    let weighed = often
        .iter()
        .zip(&ground.prior)
        .map(|(often, prior)| often * prior.exp());
    let mean = (weighed.sum::<f64>() / (1.0 - OUTSIDE_SHARE)).max(1e-4);
    let nats = |often: f64| {
        (right * often / mean + 1.0 - right)
            .ln()
            .clamp(-bound, bound)
    };
    often.into_iter().map(nats).collect()
}

fn columns(
    object: &Object,
    artefacts: &Artefacts,
    catalogue: &Catalogue,
    ground: &ObjectGroundwork,
) -> Vec<Column> {
    let mut columns = Vec::new();
    for (place, named) in object.classes.iter().enumerate() {
        columns.push(class::column(place, named, artefacts, ground));
    }
    columns.extend(
        object
            .metal
            .map(|metal| plain::metal(metal, artefacts, catalogue, ground)),
    );
    columns.extend(form::columns(object, artefacts, ground));
    columns.extend(size::columns(object, artefacts, ground));
    columns.extend(
        object
            .weight
            .map(|weight| plain::weight(weight, object.left, artefacts, ground)),
    );
    for (place, read) in object.letters.iter().enumerate() {
        columns.extend(plain::letters(place, read, artefacts, ground));
    }
    for (place, said) in object.periods.iter().enumerate() {
        columns.push(plain::period(place, said, artefacts, ground));
    }
    columns.extend(word::columns(object, artefacts, ground));
    columns.extend(
        object
            .region
            .map(|region| plain::region(region, artefacts, ground)),
    );
    for column in &mut columns {
        let loud = match column.about {
            About::Class(_) => ground.loud.names,
            About::Form(_) => ground.loud.forms,
            About::Size(_) | About::Weight => ground.loud.measures,
            _ => continue,
        };
        column.nats.iter_mut().for_each(|nats| *nats *= loud);
    }
    columns
}

/// Judges a thing against every hypothesis.
pub fn judge_thing(
    object: &Object,
    artefacts: &Artefacts,
    catalogue: &Catalogue,
    ground: &ObjectGroundwork,
) -> ThingRanking {
    let columns = columns(object, artefacts, catalogue, ground);
    let prior = ground.told_prior();
    let mut totals = prior.clone();
    for column in &columns {
        for (total, nats) in totals.iter_mut().zip(&column.nats) {
            *total += nats;
        }
    }
    let outside = OUTSIDE_SHARE.ln() + columns.iter().map(|column| column.outside).sum::<f64>();
    let top = totals.iter().copied().fold(outside, f64::max);
    let whole: f64 =
        totals.iter().map(|total| (total - top).exp()).sum::<f64>() + (outside - top).exp();
    let mut order: Vec<usize> = (0..totals.len()).collect();
    order.sort_by(|a, b| totals[*b].total_cmp(&totals[*a]).then(a.cmp(b)));
    let terms = |at: usize| {
        let each = columns.iter().map(|column| ThingTerm {
            about: column.about,
            nats: column.nats[at],
        });
        each.collect()
    };
    let judged = order.into_iter().enumerate().map(|(rank, at)| ThingJudged {
        what: match at < ground.types {
            true => Hypothesis::Type(at),
            false => Hypothesis::Rest(ground.class_of[at] as usize),
        },
        class: ground.class_of[at] as usize,
        prior: prior[at],
        terms: if rank < TOLD { terms(at) } else { Vec::new() },
        total: totals[at],
        raw: (totals[at] - top).exp() / whole,
    });
    ThingRanking {
        judged: judged.collect(),
        outside: (outside - top).exp() / whole,
    }
}

/// Nats that the traits which coins share speak for a thing against any: metal and sizes.
pub fn shared_evidence(
    object: &Object,
    artefacts: &Artefacts,
    catalogue: &Catalogue,
    ground: &ObjectGroundwork,
) -> f64 {
    let shared = Object {
        metal: object.metal,
        sizes: object.sizes.clone(),
        left: object.left,
        ..Object::default()
    };
    let columns = columns(&shared, artefacts, catalogue, ground);
    let likely = (0..ground.hypotheses()).map(|at| {
        let nats: f64 = columns.iter().map(|column| column.nats[at]).sum();
        (ground.prior[at] + nats).exp()
    });
    (likely.sum::<f64>() / (1.0 - OUTSIDE_SHARE)).ln()
}
