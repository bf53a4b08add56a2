//! What is done to finds before they are judged: damage, wrong traits.
//!
//! Draws by lot from a seed and each find's id, so neither the order of the rows nor the number of
//! cores changes anything; never looks at the truth.

use super::super::args::EvaluateArgs;
use super::rows::Identified;
use crate::House;
use crate::find::Find;
use crate::simulate::{damaged, one_in_six_wrong, seeded};

/// What is to be done to each find.
pub(super) struct Altering<'a> {
    damage: Option<u64>,
    wrong: Option<u64>,
    /// The finds from which wrong traits are taken, in the order of their ids.
    others: Vec<&'a Identified>,
}

/// A find after what was done to it, and how many of its traits were made wrong.
pub(super) struct Altered {
    pub(super) find: Find,
    pub(super) wrong_traits: usize,
}

impl<'a> Altering<'a> {
    /// As was asked.
    pub(super) fn of(asked: &EvaluateArgs, finds: &'a [Identified]) -> Altering<'a> {
        let mut others: Vec<&Identified> = finds.iter().collect();
        others.sort_by(|a, b| a.id.cmp(&b.id).then(a.label.cmp(&b.label)));
        Altering {
            damage: asked.damage,
            wrong: asked.wrong,
            others,
        }
    }

    /// The find as it is to be judged.
    pub(super) fn alter(&self, one: &Identified, house: &House) -> Altered {
        let library = &house.catalogue;
        let (mut find, mut wrong_traits) = (one.find.clone(), 0);
        if let Some(seed) = self.wrong {
            let mut chance = seeded(seed, &format!("wrong {}", one.id));
            let others = self.others.iter().filter(|other| other.label != one.label);
            let others: Vec<&Find> = others.map(|other| &other.find).collect();
            (find, wrong_traits) = one_in_six_wrong(&find, &others, library, &mut chance);
        }
        if let Some(seed) = self.damage {
            let mut chance = seeded(seed, &format!("damage {}", one.id));
            find = damaged(&find, library, &mut chance);
        }
        Altered { find, wrong_traits }
    }
}
