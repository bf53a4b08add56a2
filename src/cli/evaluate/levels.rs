//! The levels at which an answer is held against the truth, and something kept for each.
//!
//! Invariant: whatever is kept is kept for all four, and is written out under their names.

use serde::Serialize;

/// A level of the truth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Rung {
    Period,
    Ruler,
    Denomination,
    Type,
}

impl Rung {
    /// All, the broadest first.
    pub(super) const ALL: [Rung; 4] = [Rung::Period, Rung::Ruler, Rung::Denomination, Rung::Type];

    /// The word for it.
    pub(super) fn name(self) -> &'static str {
        match self {
            Rung::Period => "period",
            Rung::Ruler => "ruler",
            Rung::Denomination => "denomination",
            Rung::Type => "type",
        }
    }
}

/// One of something for each level.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub(super) struct Levels<T> {
    pub(super) period: T,
    pub(super) ruler: T,
    pub(super) denomination: T,
    #[serde(rename = "type")]
    pub(super) coin_type: T,
}

impl<T> Levels<T> {
    /// Made level by level.
    pub(super) fn of(mut make: impl FnMut(Rung) -> T) -> Levels<T> {
        Levels {
            period: make(Rung::Period),
            ruler: make(Rung::Ruler),
            denomination: make(Rung::Denomination),
            coin_type: make(Rung::Type),
        }
    }

    /// That of a level.
    pub(super) fn at(&self, rung: Rung) -> &T {
        match rung {
            Rung::Period => &self.period,
            Rung::Ruler => &self.ruler,
            Rung::Denomination => &self.denomination,
            Rung::Type => &self.coin_type,
        }
    }

    /// That of a level, to be changed.
    pub(super) fn at_mut(&mut self, rung: Rung) -> &mut T {
        match rung {
            Rung::Period => &mut self.period,
            Rung::Ruler => &mut self.ruler,
            Rung::Denomination => &mut self.denomination,
            Rung::Type => &mut self.coin_type,
        }
    }

    /// Something made of each.
    pub(super) fn map<U>(self, mut make: impl FnMut(T) -> U) -> Levels<U> {
        Levels {
            period: make(self.period),
            ruler: make(self.ruler),
            denomination: make(self.denomination),
            coin_type: make(self.coin_type),
        }
    }

    /// Each with its level, the broadest first.
    pub(super) fn each(&self) -> impl Iterator<Item = (Rung, &T)> {
        Rung::ALL.into_iter().map(|rung| (rung, self.at(rung)))
    }
}
