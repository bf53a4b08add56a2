//! Words of form against what each type has, may have and lacks.
//!
//! A word tells by how rare it is over the library: what every class has says little, what three
//! types have says much. Wider and narrower words are near to one another, fellows a little.
//!
//! Invariant: never beyond the bound of a form; a form that no type bears says nothing.

use super::constants::{
    ABSENT_TOLD, FELLOWS, FORM_BOUND, FORM_RIGHT, FORMS_TOGETHER, KINSHIP, NEAR_REPORTS, UNNAMED,
};
use super::ground::{Concept, ObjectGroundwork};
use super::sum::{About, Column, normed};
use crate::catalogue::Artefacts;
use crate::find::{FormSaid, Object, Presence};

/// How a form that was said stands to a type.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Relation {
    /// A whole piece has it, or a kind of it.
    Has,
    /// Some have it.
    May,
    /// It has something near: position of that concept.
    Near(Concept),
    /// Its row speaks against it.
    Lacks,
    /// Its row does not name it.
    Unnamed,
}

/// How much of each concept a word counts for.
pub(super) fn kinship(said: &[Concept], ground: &ObjectGroundwork) -> Vec<f32> {
    let mut near = vec![0.0_f32; ground.parents.len()];
    let mut lift = |at: Concept, much: f64| {
        let held = &mut near[at as usize];
        *held = held.max(much as f32);
    };
    for one in said {
        lift(*one, 1.0);
        for (distance, wider) in ground.wider[*one as usize].iter().enumerate() {
            lift(*wider, KINSHIP[if distance == 0 { 1 } else { 2 }]);
        }
        let mut fellows = Vec::new();
        for other in 0..ground.parents.len() as Concept {
            if ground.wider[other as usize].contains(one) {
                lift(other, KINSHIP[0]);
            }
            let parents = &ground.parents[*one as usize];
            if ground.parents[other as usize]
                .iter()
                .any(|wide| parents.contains(wide))
            {
                fellows.push(other);
            }
        }
        if fellows.len() <= FELLOWS {
            fellows
                .into_iter()
                .for_each(|other| lift(other, KINSHIP[3]));
        }
    }
    near
}

/// Chance that each type's row accounts for the concepts, nought where it says nothing of them, and
/// below nought where it speaks against them.
fn direct(said: &[Concept], ground: &ObjectGroundwork) -> Vec<f64> {
    let near = kinship(said, ground);
    let one = |at: usize| {
        let borne = ground.borne[at]
            .iter()
            .map(|(concept, often)| often * near[*concept as usize]);
        let best = borne.fold(0.0_f32, f32::max);
        let against = ground.lacks[at].iter().any(|lack| {
            said.iter()
                .all(|one| one == lack || ground.wider[*one as usize].contains(lack))
        });
        match against && best < 0.3 {
            true => -1.0,
            false => f64::from(best),
        }
    };
    (0..ground.types).map(one).collect()
}

/// Chance that the concepts are told of a piece of each hypothesis.
pub fn told_of(said: &[Concept], artefacts: &Artefacts, ground: &ObjectGroundwork) -> Vec<f64> {
    let direct = direct(said, ground);
    let classes = artefacts.classes.len();
    let (mut sums, mut wholes) = (vec![0.0; classes], vec![1e-12; classes]);
    for (at, often) in direct.iter().enumerate() {
        let (class, weight) = (ground.class_of[at] as usize, ground.prior[at].exp());
        sums[class] += weight * often.max(0.0);
        wholes[class] += weight;
    }
    let customary = |class: usize| {
        let parts = &artefacts.classes[class].parts;
        parts.iter().any(|part| {
            said.iter().any(|one| {
                *one as usize == *part
                    || ground.wider[*one as usize].first() == Some(&(*part as Concept))
                        && ground.wider[*one as usize].len() == 1
            })
        })
    };
    let unnamed: Vec<f64> = (0..classes)
        .map(|class| {
            let shown = UNNAMED.0 + UNNAMED.1 * sums[class] / wholes[class];
            if customary(class) {
                shown.max(UNNAMED.2)
            } else {
                shown
            }
        })
        .collect();
    let told = |at: usize| {
        let class = ground.class_of[at] as usize;
        match direct.get(at) {
            Some(often) if *often < 0.0 => UNNAMED.3,
            Some(often) => often.max(unnamed[class]),
            None => unnamed[class].max(0.8 * sums[class] / wholes[class]),
        }
    };
    (0..ground.hypotheses()).map(told).collect()
}

/// The columns of all forms said.
pub(super) fn columns(
    object: &Object,
    artefacts: &Artefacts,
    ground: &ObjectGroundwork,
) -> Vec<Column> {
    let concepts = |said: &FormSaid| ground.meant(said, object, artefacts);
    let said: Vec<Vec<Concept>> = object.forms.iter().map(concepts).collect();
    let mut columns = Vec::new();
    for (place, form) in object.forms.iter().enumerate() {
        if said[place].is_empty() {
            continue;
        }
        let near = |other: &&Vec<Concept>| are_near(&said[place], other, ground);
        let several = said.iter().filter(near).count().max(1) as f64;
        let share = FORMS_TOGETHER * (1.0 + NEAR_REPORTS * (several - 1.0)) / several;
        let mut column = column(place, form, &said[place], artefacts, ground);
        column.nats.iter_mut().for_each(|nats| *nats *= share);
        columns.push(column);
    }
    columns
}

/// True when two words say partly the same.
fn are_near(one: &[Concept], other: &[Concept], ground: &ObjectGroundwork) -> bool {
    one.iter().any(|a| {
        other.iter().any(|b| {
            a == b || ground.wider[*a as usize].contains(b) || ground.wider[*b as usize].contains(a)
        })
    })
}

fn column(
    place: usize,
    form: &FormSaid,
    said: &[Concept],
    artefacts: &Artefacts,
    ground: &ObjectGroundwork,
) -> Column {
    let mut often = told_of(said, artefacts, ground);
    let mut right = match (form.sure, form.exact) {
        (false, _) => FORM_RIGHT.2,
        (true, true) => FORM_RIGHT.0,
        (true, false) => FORM_RIGHT.1,
    };
    match form.presence {
        Presence::Present => {}
        Presence::BrokenAway => right = right.min(FORM_RIGHT.1),
        Presence::Absent => often
            .iter_mut()
            .for_each(|often| *often = 1.0 - ABSENT_TOLD * *often),
    }
    Column {
        about: About::Form(place),
        nats: normed(often, right, FORM_BOUND, ground),
        outside: 0.0,
    }
}

/// How concepts that were said stand to a type.
pub fn relation(
    said: &[Concept],
    at: usize,
    artefacts: &Artefacts,
    ground: &ObjectGroundwork,
) -> Relation {
    Relations::new(said, ground).to(at, artefacts, ground)
}

/// How what was said relates to types, made ready to be asked of many of them.
pub struct Relations {
    near: Vec<f32>,
    direct: Vec<f64>,
}

impl Relations {
    /// Makes what was said ready.
    pub fn new(said: &[Concept], ground: &ObjectGroundwork) -> Relations {
        Relations {
            near: kinship(said, ground),
            direct: direct(said, ground),
        }
    }

    /// How it relates to the type of this position.
    pub fn to(&self, at: usize, artefacts: &Artefacts, ground: &ObjectGroundwork) -> Relation {
        related(at, (&self.near, self.direct[at]), artefacts, ground)
    }
}

fn related(
    at: usize,
    (near, direct): (&[f32], f64),
    artefacts: &Artefacts,
    ground: &ObjectGroundwork,
) -> Relation {
    let artefact = &artefacts.types[at];
    let best = ground.borne[at]
        .iter()
        .map(|(concept, often)| {
            (
                *concept,
                f64::from(*often),
                f64::from(near[*concept as usize]),
            )
        })
        .max_by(|a, b| (a.1 * a.2).total_cmp(&(b.1 * b.2)));
    if direct < 0.0 {
        return Relation::Lacks;
    }
    match best {
        Some((concept, _, near)) if near >= KINSHIP[0] => {
            let some = artefact.may.contains(&(concept as usize))
                && !artefact.has.contains(&(concept as usize));
            if some { Relation::May } else { Relation::Has }
        }
        Some((concept, _, near)) if near > 0.0 => Relation::Near(concept),
        _ => Relation::Unnamed,
    }
}
