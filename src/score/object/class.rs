//! The class named, against the class of each hypothesis.
//!
//! People call things by a wider name, by a sibling's, by that of a thing that looks alike; a name is
//! strong evidence and never proof.
//!
//! Invariant: never beyond the bound of a class.

use super::constants::{
    CALLED, CALLED_SHORT, CLASS_BOUND, CLASS_LOOSE, CLASS_RIGHT, MISTAKEN, OUTSIDE_NAMED,
};
use super::ground::ObjectGroundwork;
use super::sum::{About, Column, normed};
use crate::catalogue::Artefacts;
use crate::find::Named;

/// Chance that a thing of each class is called so.
fn called(named: &Named, artefacts: &Artefacts) -> Vec<f64> {
    let of = |id: &String| artefacts.classes.iter().position(|class| class.id == *id);
    let ids: Vec<usize> = named.ids.iter().filter_map(of).collect();
    let near: Vec<usize> = named.near.iter().filter_map(of).collect();
    let mistaken = |a: &str, b: &str| {
        MISTAKEN
            .iter()
            .any(|(one, other)| (*one == a && *other == b) || (*one == b && *other == a))
    };
    let siblings = |at: usize| {
        let under = &artefacts.classes[at].under;
        let all = artefacts.classes.iter();
        all.filter(|class| class.under.iter().any(|wide| under.contains(wide)))
            .count()
            .max(1)
    };
    let one = |at: usize| {
        let class = &artefacts.classes[at];
        let of_name = |said: &usize| {
            let other = &artefacts.classes[*said];
            if *said == at {
                CALLED[0]
            } else if class.ancestors.contains(said) {
                CALLED[1]
            } else if other.ancestors.contains(&at) {
                CALLED[2]
            } else if mistaken(&class.id, &other.id) {
                CALLED[5]
            } else if class.under.iter().any(|wide| other.under.contains(wide)) {
                // The more siblings there are, the seldomer it is called by the name of this one.
                (CALLED[4] / siblings(at) as f64).max(CALLED[6])
            } else {
                CALLED[6]
            }
        };
        let longer = near
            .iter()
            .any(|said| *said == at || class.ancestors.contains(said));
        let best = ids.iter().map(of_name).fold(CALLED[6], f64::max);
        // A name that others have to themselves is more rarely a longer one cut short.
        match (longer, ids.is_empty()) {
            (true, true) => best.max(CALLED[3]),
            (true, false) => best.max(CALLED_SHORT),
            (false, _) => best,
        }
    };
    (0..artefacts.classes.len()).map(one).collect()
}

/// The column of a class named.
pub(super) fn column(
    place: usize,
    named: &Named,
    artefacts: &Artefacts,
    ground: &ObjectGroundwork,
) -> Column {
    let called = called(named, artefacts);
    let often = ground
        .class_of
        .iter()
        .map(|class| called[*class as usize])
        .collect();
    // A word in which only longer names end names no class by itself.
    let right = match (named.ids.is_empty(), named.sure) {
        (true, _) => CLASS_LOOSE,
        (false, true) => CLASS_RIGHT.0,
        (false, false) => CLASS_RIGHT.1,
    };
    Column {
        about: About::Class(place),
        nats: normed(often, right, CLASS_BOUND, ground),
        outside: OUTSIDE_NAMED * right,
    }
}
