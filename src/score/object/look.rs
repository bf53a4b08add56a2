//! The next look at a thing: which question is expected to tell most of what is next in doubt.
//!
//! Asks for forms by yes or no or among fellows, for a size not yet given, and for the metal. Nothing
//! is asked that was said, and nothing that would hurt the piece.
//!
//! Invariant: every law sums to one; the information is never below nought.

use super::answer::ThingShares;
use super::constants::{LOOK_SURE, LOOK_TOP};
use super::form::kinship;
use super::ground::{Concept, ObjectGroundwork};
use super::sum::{Hypothesis, ThingRanking};
use crate::catalogue::{Artefacts, Catalogue, Facet};
use crate::find::{
    Dimension, FormSaid, Measured, MetalSeen, Millimetres, Object, Presence, SizeSaid,
};
use crate::score::constants::{LOOK_ENOUGH, LOOK_LEAST, metal_called};
use crate::score::information_gain;

/// Most replies, "not sure" not counted.
const MOST_REPLIES: usize = 4;

/// What a look is to tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ThingAim {
    /// The class.
    Class,
    /// The published group.
    Group,
    /// The type.
    Type,
}

impl ThingAim {
    /// The word printed for it.
    pub fn name(self) -> &'static str {
        match self {
            ThingAim::Class => "class",
            ThingAim::Group => "group",
            ThingAim::Type => "type",
        }
    }
}

/// What a look at a thing asks.
#[derive(Clone, Debug, PartialEq)]
pub enum ThingAsks {
    /// Whether it has a form.
    Form(Concept),
    /// Which of some forms it has.
    Which(Vec<Concept>),
    /// How large it is in a direction; edges between the replies, millimetres.
    Size(Dimension, Vec<f64>),
    /// Which of some metals it looks like.
    Metal(Vec<MetalSeen>),
}

/// A look.
#[derive(Clone, Debug, PartialEq)]
pub struct ThingLook {
    /// What it asks.
    pub asks: ThingAsks,
    /// How many replies it has, "not sure" not counted.
    pub replies: usize,
    /// Bits that it is expected to bring about the aim.
    pub bits: f64,
}

/// The likeliest types with their chances.
struct Company {
    types: Vec<usize>,
    chances: Vec<f64>,
    /// Place of each type among what is asked for.
    parts: Vec<usize>,
    count: usize,
}

impl Company {
    fn of(ranking: &ThingRanking, aim: ThingAim, artefacts: &Artefacts) -> Company {
        let mut company = Company {
            types: vec![],
            chances: vec![],
            parts: vec![],
            count: 0,
        };
        let mut keys: Vec<(usize, &str)> = Vec::new();
        let listed = ranking.judged.iter().filter_map(|one| match one.what {
            Hypothesis::Type(at) => Some((at, one.raw)),
            Hypothesis::Rest(_) => None,
        });
        for (at, raw) in listed.take(LOOK_TOP) {
            let artefact = &artefacts.types[at];
            let key = match aim {
                ThingAim::Class => (artefact.class, ""),
                ThingAim::Group => (artefact.class, artefact.group.as_str()),
                ThingAim::Type => (at, ""),
            };
            let part = keys
                .iter()
                .position(|held| *held == key)
                .unwrap_or_else(|| {
                    keys.push(key);
                    keys.len() - 1
                });
            company.types.push(at);
            company.chances.push(raw);
            company.parts.push(part);
        }
        company.count = keys.len();
        company
    }

    /// Bits that replies with these laws are expected to bring.
    fn bits(&self, laws: &[Vec<f64>]) -> f64 {
        let replies = laws.first().map_or(0, Vec::len);
        let mut chances = vec![1e-12; self.count];
        let mut sums = vec![vec![0.0; replies]; self.count];
        for (place, law) in laws.iter().enumerate() {
            chances[self.parts[place]] += self.chances[place];
            for (sum, told) in sums[self.parts[place]].iter_mut().zip(law) {
                *sum += self.chances[place] * told;
            }
        }
        for (sum, chance) in sums.iter_mut().zip(&chances) {
            sum.iter_mut().for_each(|told| *told /= chance);
        }
        information_gain(&chances, &sums)
    }

    /// Chance that each type is told to have a concept.
    fn told(&self, concept: Concept, ground: &ObjectGroundwork) -> Vec<f64> {
        let near = kinship(&[concept], ground);
        let of = |at: &usize| {
            let borne = ground.borne[*at]
                .iter()
                .map(|(one, often)| often * near[*one as usize]);
            let lacks = ground.lacks[*at].contains(&concept);
            let often = if lacks {
                0.01
            } else {
                f64::from(borne.fold(0.0, f32::max)).max(0.06)
            };
            0.9 * often + 0.03
        };
        self.types.iter().map(of).collect()
    }
}

/// What is next in doubt.
fn aim(shares: &ThingShares) -> Option<ThingAim> {
    let open = |of: &[super::ThingShare]| of.first().is_none_or(|share| share.p < LOOK_ENOUGH);
    if open(&shares.classes) {
        Some(ThingAim::Class)
    } else if open(&shares.groups) {
        Some(ThingAim::Group)
    } else {
        open(&shares.types).then_some(ThingAim::Type)
    }
}

/// The looks worth taking, the best first, and what they are to tell; none where nothing is in doubt.
pub fn thing_looks(
    object: &Object,
    ranking: &ThingRanking,
    shares: &ThingShares,
    (artefacts, catalogue, ground): (&Artefacts, &Catalogue, &ObjectGroundwork),
    asked: &[ThingAsks],
) -> (ThingAim, Vec<ThingLook>) {
    let Some(first) = aim(shares) else {
        return (ThingAim::Type, Vec::new());
    };
    for aim in [ThingAim::Class, ThingAim::Group, ThingAim::Type] {
        if aim < first {
            continue;
        }
        let company = Company::of(ranking, aim, artefacts);
        let mut looks = forms(object, &company, artefacts, ground);
        looks.extend(size(object, &company, artefacts));
        looks.extend(metal(object, &company, artefacts, catalogue));
        looks.retain(|look| look.bits >= LOOK_LEAST && !asked.contains(&look.asks));
        looks.sort_by(|a, b| b.bits.total_cmp(&a.bits));
        let mut held: Vec<Concept> = Vec::new();
        looks.retain(|look| {
            let concepts: &[Concept] = match &look.asks {
                ThingAsks::Form(one) => std::slice::from_ref(one),
                ThingAsks::Which(all) => all,
                _ => return true,
            };
            let new = !concepts.iter().any(|one| held.contains(one));
            held.extend(concepts);
            new
        });
        if !looks.is_empty() {
            return (aim, looks);
        }
    }
    (ThingAim::Type, Vec::new())
}

fn forms(
    object: &Object,
    company: &Company,
    artefacts: &Artefacts,
    ground: &ObjectGroundwork,
) -> Vec<ThingLook> {
    let mut said: Vec<Concept> = Vec::new();
    for form in &object.forms {
        said.extend(ground.meant(form, object, artefacts));
    }
    let told_of = |concept: &Concept| {
        said.iter()
            .any(|one| one == concept || ground.wider[*one as usize].contains(concept))
    };
    let mut concepts: Vec<Concept> = Vec::new();
    for at in company.types.iter().take(LOOK_TOP / 2) {
        concepts.extend(ground.borne[*at].iter().map(|(concept, _)| *concept));
    }
    concepts.sort_unstable();
    concepts.dedup();
    let seen = |concept: &Concept| {
        let form = artefacts.forms.get(*concept as usize);
        form.is_none_or(|form| form.facet != Facet::State)
    };
    concepts.retain(|concept| seen(concept) && !told_of(concept));
    let told: Vec<Vec<f64>> = concepts
        .iter()
        .map(|one| company.told(*one, ground))
        .collect();
    let mut looks: Vec<ThingLook> = Vec::new();
    for (concept, told) in concepts.iter().zip(&told) {
        let laws: Vec<Vec<f64>> = told.iter().map(|p| vec![*p, 1.0 - p]).collect();
        let bits = LOOK_SURE * company.bits(&laws);
        looks.push(ThingLook {
            asks: ThingAsks::Form(*concept),
            replies: 2,
            bits,
        });
    }
    looks.extend(which(&concepts, &told, company, ground));
    looks
}

/// Questions among the forms under one parent.
fn which(
    concepts: &[Concept],
    told: &[Vec<f64>],
    company: &Company,
    ground: &ObjectGroundwork,
) -> Vec<ThingLook> {
    let mut parents: Vec<Concept> = Vec::new();
    for concept in concepts {
        parents.extend(ground.parents[*concept as usize].first());
    }
    parents.sort_unstable();
    parents.dedup();
    let mut looks = Vec::new();
    for parent in parents {
        let under = |at: &usize| ground.parents[concepts[*at] as usize].first() == Some(&parent);
        let mut fellows: Vec<usize> = (0..concepts.len()).filter(under).collect();
        let weight = |at: &usize| -> f64 {
            company
                .chances
                .iter()
                .zip(&told[*at])
                .map(|(chance, told)| chance * told)
                .sum()
        };
        fellows.sort_by(|a, b| weight(b).total_cmp(&weight(a)).then(a.cmp(b)));
        fellows.truncate(MOST_REPLIES - 1);
        if fellows.len() < 2 {
            continue;
        }
        let law = |place: usize| {
            let mut law: Vec<f64> = fellows.iter().map(|at| told[*at][place]).collect();
            let sum: f64 = law.iter().sum();
            if sum > 0.97 {
                law.iter_mut().for_each(|p| *p *= 0.97 / sum);
            }
            law.push(1.0 - law.iter().sum::<f64>());
            law
        };
        let laws: Vec<Vec<f64>> = (0..company.types.len()).map(law).collect();
        looks.push(ThingLook {
            replies: fellows.len() + 1,
            asks: ThingAsks::Which(fellows.iter().map(|at| concepts[*at]).collect()),
            bits: LOOK_SURE * company.bits(&laws),
        });
    }
    looks
}

fn size(object: &Object, company: &Company, artefacts: &Artefacts) -> Option<ThingLook> {
    if !object.sizes.is_empty() {
        return None;
    }
    let weight = |dimension: Dimension| -> f64 {
        let given = company.types.iter().zip(&company.chances);
        given
            .filter(|(at, _)| artefacts.types[**at].sizes.of(dimension).is_some())
            .map(|(_, chance)| chance)
            .sum()
    };
    use Dimension::{Diameter, Height, Length, Width};
    let asked = [Length, Diameter, Width, Height];
    let dimension = asked
        .into_iter()
        .max_by(|a, b| weight(*a).total_cmp(&weight(*b)).then(b.cmp(a)))?;
    let of = |at: &usize| artefacts.types[*at].sizes.of(dimension);
    let mut middles: Vec<f64> = company
        .types
        .iter()
        .filter_map(of)
        .map(|(a, b)| (a * b).sqrt())
        .collect();
    if middles.len() < 3 {
        return None;
    }
    middles.sort_by(f64::total_cmp);
    let edge = |share: usize| (middles[middles.len() * share / 4]).round();
    let mut edges = vec![edge(1), edge(2), edge(3)];
    edges.dedup();
    let law = |at: &usize| -> Vec<f64> {
        let bands = edges.len() + 1;
        let Some((least, most)) = of(at) else {
            return vec![1.0 / bands as f64; bands];
        };
        let whole = (most / least).ln().max(0.05);
        let below = |edge: f64| ((edge / least).ln() / whole).clamp(0.0, 1.0);
        let mut law = Vec::new();
        let mut before = 0.0;
        for edge in &edges {
            law.push(0.9 * (below(*edge) - before) + 0.1 / bands as f64);
            before = below(*edge);
        }
        law.push(0.9 * (1.0 - before) + 0.1 / bands as f64);
        law
    };
    let laws: Vec<Vec<f64>> = company.types.iter().map(law).collect();
    let bits = company.bits(&laws);
    Some(ThingLook {
        replies: edges.len() + 1,
        asks: ThingAsks::Size(dimension, edges),
        bits,
    })
}

fn metal(
    object: &Object,
    company: &Company,
    artefacts: &Artefacts,
    catalogue: &Catalogue,
) -> Option<ThingLook> {
    if object.metal.is_some() {
        return None;
    }
    let called = |at: &usize| {
        let first = artefacts.types[*at].materials.first()?;
        Some(metal_called(catalogue.metals[*first].looks))
    };
    let laws: Vec<[f64; 8]> = company
        .types
        .iter()
        .map(|at| called(at).unwrap_or([0.125; 8]))
        .collect();
    let weight = |metal: usize| -> f64 {
        laws.iter()
            .zip(&company.chances)
            .map(|(law, chance)| chance * law[metal])
            .sum()
    };
    let mut order: Vec<usize> = (0..8).collect();
    order.sort_by(|a, b| weight(*b).total_cmp(&weight(*a)).then(a.cmp(b)));
    order.truncate(MOST_REPLIES);
    let full: Vec<Vec<f64>> = laws.iter().map(|law| law.to_vec()).collect();
    Some(ThingLook {
        replies: order.len(),
        asks: ThingAsks::Metal(order.into_iter().map(|at| MetalSeen::ALL[at]).collect()),
        bits: 0.9 * company.bits(&full),
    })
}

impl ThingLook {
    /// What was said with the reply added; a reply that there is not changes nothing.
    pub fn told(
        &self,
        object: &Object,
        reply: usize,
        artefacts: &Artefacts,
        ground: &ObjectGroundwork,
    ) -> Object {
        let mut object = object.clone();
        let mut add = |concept: Concept, presence: Presence| {
            let at = concept as usize;
            let form = artefacts.forms.get(at);
            let motif = at
                .checked_sub(artefacts.forms.len())
                .and_then(|at| ground.motif_ids.get(at));
            object.forms.push(FormSaid {
                forms: form.map(|form| form.id.clone()).into_iter().collect(),
                motifs: motif.cloned().into_iter().collect(),
                said: form.map_or(motif.cloned().unwrap_or_default(), |form| form.name.clone()),
                presence,
                sure: true,
                exact: true,
            });
        };
        match &self.asks {
            ThingAsks::Form(concept) if reply == 0 => add(*concept, Presence::Present),
            ThingAsks::Form(concept) if reply == 1 => add(*concept, Presence::Absent),
            ThingAsks::Which(all) if reply < all.len() => add(all[reply], Presence::Present),
            ThingAsks::Which(all) if reply == all.len() => {
                all.iter().for_each(|one| add(*one, Presence::Absent));
            }
            ThingAsks::Size(dimension, edges) if reply <= edges.len() => {
                let low = reply.checked_sub(1).map_or(edges[0] / 2.0, |at| edges[at]);
                let high = edges.get(reply).map_or(low * 2.0, |edge| *edge);
                if let Ok(value) = Millimetres::new((low + high) / 2.0) {
                    let size = Measured {
                        value,
                        error: (high - low) / 2.0,
                    };
                    let said = format!("{low:.0} to {high:.0} mm");
                    object.sizes.push(SizeSaid {
                        dimension: Some(*dimension),
                        size,
                        said,
                    });
                }
            }
            ThingAsks::Metal(metals) => {
                object.metal = metals
                    .get(reply)
                    .map(|metal| (*metal, true))
                    .or(object.metal);
            }
            _ => {}
        }
        object
    }
}
