//! What a finder's own confirmed finds teach: the field's profile, the sizes of types, the reader's
//! and the measurer's habits.
//!
//! A plain value made of confirmed finds and handed in with a find; without it nothing is judged
//! otherwise. All of it is shrunk: few finds move little, and what is not clear is left out. Reads no
//! file and no clock; judges nothing by itself.
//!
//! Invariant: without confirmed finds nothing is learnt, and finds of one group count as one.

mod field;
mod habits;
mod sizes;

pub(super) use field::stretches;
pub use field::{Credence, OwnField, credence_after};
pub use habits::LetterHabits;
pub use sizes::{OwnSize, Reads};

use std::collections::HashMap;

use super::groundwork::Groundwork;
use super::measure::Profile;
use crate::catalogue::Catalogue;
use crate::find::Find;

/// Most confirmed finds that are looked at.
pub const LEARNT_MOST: usize = 2_000;

/// Raised when what is learnt of the same finds, or the shape in which it is packed, changes.
#[cfg(feature = "library")]
const SHAPE: u32 = 1;

/// A find whose identification a person confirmed.
#[derive(Clone, Debug, Default)]
pub struct Confirmed {
    /// Positions of the types that it may be.
    pub types: Vec<usize>,
    /// True when it was confirmed as of one type.
    pub exact: bool,
    /// True when it is of the land that is asked for.
    pub here: bool,
    /// The group or hoard that it lay in; finds of one group count as one.
    pub group: Option<String>,
    /// What was said of it.
    pub find: Find,
}

/// Which of it is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// The field's own profile.
    pub field: bool,
    /// Weight and diameter of types.
    pub sizes: bool,
    /// How letters are read and measures taken.
    pub habits: bool,
}

impl Default for Wanted {
    fn default() -> Wanted {
        Wanted {
            field: true,
            sizes: true,
            habits: true,
        }
    }
}

/// What was learnt.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Learnt {
    /// The field's own profile.
    pub field: Option<OwnField>,
    /// Sizes of types, by the position of the type.
    pub sizes: HashMap<usize, OwnSize>,
    /// How the finder's scale reads, where it is clearly not right.
    pub scale: Option<Reads>,
    /// How the finder's callipers read, where it is clearly not right.
    pub callipers: Option<Reads>,
    /// How the finder reads letters.
    pub letters: Option<LetterHabits>,
    /// The measure profiles of the types of `sizes`.
    profiles: HashMap<usize, Profile>,
}

impl Learnt {
    /// What confirmed finds teach; of more than [`LEARNT_MOST`] the first are taken.
    pub fn of(
        confirmed: &[Confirmed],
        wanted: Wanted,
        catalogue: &Catalogue,
        groundwork: &Groundwork,
    ) -> Learnt {
        let confirmed = &confirmed[..confirmed.len().min(LEARNT_MOST)];
        let weights = weights(confirmed);
        let mut learnt = Learnt::default();
        if wanted.field {
            let here = confirmed.iter().zip(&weights).filter(|(one, _)| one.here);
            let counted = here.map(|(one, weight)| (one.types.as_slice(), *weight));
            learnt.field = OwnField::of(counted, catalogue, groundwork);
        }
        let measured = sizes::Told::of(confirmed, &weights, catalogue, groundwork);
        if wanted.habits {
            (learnt.scale, learnt.callipers) = measured.reads();
            learnt.letters = LetterHabits::of(confirmed, &weights, catalogue);
        }
        if wanted.sizes {
            learnt.sizes = measured.sizes(learnt.scale, learnt.callipers);
            let profile = |coin: usize| &groundwork.profiles[groundwork.profile_of[coin]];
            let moved = learnt.sizes.iter();
            learnt.profiles = moved
                .map(|(coin, own)| (*coin, own.laid_on(profile(*coin))))
                .collect();
        }
        learnt
    }

    /// True when it changes no answer.
    pub fn says_nothing(&self) -> bool {
        self.field.is_none()
            && self.sizes.is_empty()
            && self.scale.is_none()
            && self.callipers.is_none()
            && self.letters.is_none()
    }

    /// The measures of a find as right instruments would show them; none where nothing is put right.
    pub(super) fn put_right(&self, find: &Find) -> Option<Find> {
        if self.scale.is_none() && self.callipers.is_none() {
            return None;
        }
        let mut right = find.clone();
        sizes::put_right(&mut right, self.scale, self.callipers);
        Some(right)
    }

    /// The measure profile of a type whose size was learnt.
    pub(super) fn profile(&self, coin: usize) -> Option<(&Profile, u32)> {
        let own = self.sizes.get(&coin)?;
        Some((self.profiles.get(&coin)?, own.finds))
    }

    /// Its bytes, to be kept aside until what it was made of changes.
    #[cfg(feature = "library")]
    pub fn packed(&self) -> Vec<u8> {
        postcard::to_stdvec(&(SHAPE, self)).unwrap_or_default()
    }

    /// What was packed, where it is of this shape and of a library of so many types.
    #[cfg(feature = "library")]
    pub fn unpacked(bytes: &[u8], types: usize) -> Option<Learnt> {
        let (shape, learnt): (u32, Learnt) = postcard::from_bytes(bytes).ok()?;
        let fits = learnt.field.as_ref().is_none_or(|field| field.fits(types));
        (shape == SHAPE && fits).then_some(learnt)
    }

    /// What of it bears on a find, in words, for the account.
    pub fn told(&self, find: &Find) -> Vec<String> {
        let mut told = Vec::new();
        if let Some(field) = &self.field {
            told.push(format!("counts {} of this field", finds(field.finds)));
        }
        let measures = [
            ("scale", self.scale, find.weight.is_some()),
            ("callipers", self.callipers, find.diameter.is_some()),
        ];
        for (name, reads, given) in measures {
            if let Some(reads) = reads.filter(|_| given) {
                told.push(format!(
                    "takes your {name} to read {}, as {} say",
                    reads.text(),
                    finds(reads.finds)
                ));
            }
        }
        if let Some(letters) = self.letters.as_ref().filter(|_| !find.readings.is_empty()) {
            told.push(format!(
                "reads letters as you do, from {} with known legends",
                finds(letters.finds)
            ));
        }
        told
    }
}

fn finds(count: u32) -> String {
    match count {
        1 => "1 of your own confirmed finds".to_string(),
        count => format!("{count} of your own confirmed finds"),
    }
}

/// How much each find counts: finds of one group together as one.
fn weights(confirmed: &[Confirmed]) -> Vec<f64> {
    let mut groups: HashMap<&str, f64> = HashMap::new();
    for group in confirmed.iter().filter_map(|one| one.group.as_deref()) {
        *groups.entry(group).or_default() += 1.0;
    }
    let held = |one: &Confirmed| one.group.as_deref().and_then(|group| groups.get(group));
    confirmed
        .iter()
        .map(|one| held(one).map_or(1.0, |held| 1.0 / held))
        .collect()
}
