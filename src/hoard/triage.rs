//! The group before the law: all its pieces as the facts of one find.
//!
//! Judges nothing; the treasure room does. What nobody has said of how the pieces lay is taken as
//! one hole, since that is what this room is asked about.
//!
//! Invariant: the facts hold every piece of the group, with its count.

use super::group::Group;
use crate::treasure::{Facts, SameFind};

/// The facts of a group, the rest as given.
pub fn facts(group: &Group, rest: Facts) -> Facts {
    let pieces = group.pieces.iter().map(|piece| {
        let mut law = piece.law.clone();
        law.count = piece.count;
        law
    });
    Facts {
        pieces: pieces.collect(),
        same_find: rest.same_find.or(Some(SameFind::Hole)),
        ..rest
    }
}
