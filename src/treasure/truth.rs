//! Yes, no or open: how far a fact is known, and the chance where one was worked out.
//!
//! Judges nothing of law; puts facts together so that what is open stays open.
//!
//! Invariant: [`Truth`] is ordered No, Open, Yes, and no combination of facts gets lower when one
//! of them gets higher.

use crate::explain::chance_in_figures;

/// How far something is known to be so.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Truth {
    /// It is not so.
    No,
    /// It may be so.
    #[default]
    Open,
    /// It is so.
    Yes,
}

impl Truth {
    /// Yes or no.
    pub fn of(yes: bool) -> Truth {
        if yes { Truth::Yes } else { Truth::No }
    }

    /// So when both are.
    pub fn and(self, other: Truth) -> Truth {
        self.min(other)
    }

    /// So when either is.
    pub fn or(self, other: Truth) -> Truth {
        self.max(other)
    }
}

/// At this chance and above a fact taken from an identification counts as given: the word for it
/// is "almost certainly".
pub const GIVEN_FROM: f64 = 0.95;
/// Below this chance, all that is open counted in, it counts as excluded.
pub const EXCLUDED_BELOW: f64 = 0.05;

/// The least and the greatest chance that something is so.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chance {
    /// What speaks for it surely.
    pub least: f64,
    /// The same, with all that leaves it open.
    pub most: f64,
}

impl Chance {
    /// As a fact.
    pub fn truth(self) -> Truth {
        if self.least >= GIVEN_FROM {
            Truth::Yes
        } else if self.most < EXCLUDED_BELOW {
            Truth::No
        } else {
            Truth::Open
        }
    }

    /// "0.97", or "0.40 to 0.55" where part is open; never as certainty.
    pub fn text(self) -> String {
        let (least, most) = (chance_in_figures(self.least), chance_in_figures(self.most));
        if least == most {
            least
        } else {
            format!("{least} to {most}")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_become_facts_only_at_the_ends() {
        let truth = |least, most| Chance { least, most }.truth();
        assert_eq!(truth(0.95, 1.0), Truth::Yes);
        assert_eq!(truth(0.94, 1.0), Truth::Open);
        assert_eq!(truth(0.0, 0.05), Truth::Open);
        assert_eq!(truth(0.0, 0.049), Truth::No);
    }

    #[test]
    fn a_chance_is_shown_once_where_nothing_is_open() {
        let text = |least, most| Chance { least, most }.text();
        assert_eq!(text(0.97, 0.97), "0.97");
        assert_eq!(text(0.4, 0.55), "0.40 to 0.55");
    }
}
