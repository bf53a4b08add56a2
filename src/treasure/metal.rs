//! What a thing is made of, as far as the law asks: is a tenth of it gold or silver, is any part
//! of it, is any part of another metal, is it metal at all.
//!
//! By eye is not by assay: a plated, gilt or base silver thing may be on either side of the tenth,
//! so it stays open until somebody competent has tested it.
//!
//! Invariant: a tenth of gold or silver never goes without a part of it, nor a part without metal.

use super::truth::{Chance, Truth};

/// The share by weight that the Act asks for, in hundredths (s.1(1)(a)).
pub const TENTH: f64 = 10.0;
/// From this share on a thing is taken as substantially gold or silver; a judgement of this
/// program: half, as the old law of treasure trove drew no line that was read.
const SUBSTANTIAL: f64 = 50.0;

/// What a thing is made of, in a finder's words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Metal {
    /// Gold, or pale gold.
    Gold,
    /// Silver, gilded or not.
    Silver,
    /// Billon, or silver much debased.
    BaseSilver,
    /// A skin, foil or inlay of gold or silver over another metal: plated, gilt.
    Skin,
    /// White and light, which may be tin, pewter, cupro-nickel or poor silver.
    WhiteMetal,
    /// Copper alloy, lead, tin, pewter, iron or another metal that is neither gold nor silver.
    Base,
    /// No metal: pot, stone, bone, glass, wood, leather.
    NoMetal,
}

/// How its metal is known.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub enum MetalKnown {
    /// Nobody has said.
    #[default]
    Unsaid,
    /// By eye; false where the finder doubts it.
    Seen(Metal, bool),
    /// By eye, and any part of it (foil, inlay, gilding) gold or silver too.
    SeenWithPart(Metal),
    /// Hundredths by weight of gold and silver, from a test.
    Tested(f64),
    /// From an identification: the chance of a tenth of gold or silver, and of any part of it.
    Weighed {
        /// The chance of a tenth.
        tenth: Chance,
        /// The chance of any part at all.
        part: Chance,
        /// The chance that it is mostly gold or silver.
        mostly: Chance,
    },
}

/// What the law asks of the metal, each as far as it is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MetalFacts {
    /// At least a tenth by weight is gold or silver.
    pub tenth: Truth,
    /// Any part is gold or silver.
    pub part: Truth,
    /// It is mostly gold or silver.
    pub mostly: Truth,
    /// Any part is of another metal.
    pub base: Truth,
    /// Any part is metal.
    pub metal: Truth,
}

impl MetalKnown {
    /// What is known of it.
    pub fn facts(self) -> MetalFacts {
        match self {
            MetalKnown::Unsaid => OPEN,
            MetalKnown::Seen(metal, sure) => {
                let facts = by_eye(metal);
                if sure { facts } else { doubted(facts) }
            }
            MetalKnown::SeenWithPart(metal) => {
                let facts = by_eye(metal);
                MetalFacts {
                    tenth: facts.tenth.or(Truth::Open),
                    part: Truth::Yes,
                    metal: Truth::Yes,
                    ..facts
                }
            }
            MetalKnown::Tested(share) => MetalFacts {
                tenth: Truth::of(share >= TENTH),
                part: Truth::of(share > 0.0),
                mostly: Truth::of(share >= SUBSTANTIAL),
                // No piece is wholly fine, but a trace of alloy is no part of base metal.
                base: if share < SUBSTANTIAL {
                    Truth::Yes
                } else {
                    Truth::Open
                },
                metal: Truth::Yes,
            },
            MetalKnown::Weighed {
                tenth,
                part,
                mostly,
            } => MetalFacts {
                tenth: tenth.truth(),
                part: part.truth(),
                mostly: mostly.truth(),
                base: Truth::Open,
                metal: Truth::Yes,
            },
        }
    }

    /// The chance of a tenth of gold or silver, where one was worked out.
    pub fn chance(self) -> Option<Chance> {
        match self {
            MetalKnown::Weighed { tenth, .. } => Some(tenth),
            _ => None,
        }
    }
}

const OPEN: MetalFacts = MetalFacts {
    tenth: Truth::Open,
    part: Truth::Open,
    mostly: Truth::Open,
    base: Truth::Open,
    metal: Truth::Open,
};

fn by_eye(metal: Metal) -> MetalFacts {
    use Truth::{No, Open, Yes};
    let facts = |tenth, part, mostly, base| MetalFacts {
        tenth,
        part,
        mostly,
        base,
        metal: Yes,
    };
    match metal {
        Metal::Gold | Metal::Silver => facts(Yes, Yes, Yes, Open),
        Metal::BaseSilver => facts(Open, Yes, Open, Yes),
        Metal::Skin => facts(Open, Yes, No, Yes),
        Metal::WhiteMetal => facts(Open, Open, Open, Yes),
        Metal::Base => facts(No, No, No, Yes),
        Metal::NoMetal => MetalFacts {
            tenth: No,
            part: No,
            mostly: No,
            base: No,
            metal: No,
        },
    }
}

/// The same where the finder doubts the metal: all that hangs on it is open, but a thing that
/// looks like metal is metal.
fn doubted(facts: MetalFacts) -> MetalFacts {
    MetalFacts {
        metal: facts.metal.or(Truth::Open),
        ..OPEN
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [Metal; 7] = [
        Metal::Gold,
        Metal::Silver,
        Metal::BaseSilver,
        Metal::Skin,
        Metal::WhiteMetal,
        Metal::Base,
        Metal::NoMetal,
    ];

    /// Treasure Act 1996 s.1(1)(a): at least 10 per cent by weight.
    #[test]
    fn a_tenth_is_ten_in_the_hundred_and_no_less() {
        let tenth = |share| MetalKnown::Tested(share).facts().tenth;
        assert_eq!(tenth(9.99), Truth::No);
        assert_eq!(tenth(10.0), Truth::Yes);
        assert_eq!(tenth(0.0), Truth::No);
    }

    #[test]
    fn a_tenth_implies_a_part_and_a_part_implies_metal() {
        let mut known = vec![MetalKnown::Unsaid];
        for metal in ALL {
            known.extend([
                MetalKnown::Seen(metal, true),
                MetalKnown::Seen(metal, false),
                MetalKnown::SeenWithPart(metal),
            ]);
        }
        known.extend([0.0, 5.0, 10.0, 99.0].map(MetalKnown::Tested));
        for one in known {
            let facts = one.facts();
            assert!(facts.mostly <= facts.tenth, "{one:?}");
            assert!(facts.tenth <= facts.part, "{one:?}");
            assert!(facts.part <= facts.metal, "{one:?}");
        }
    }

    #[test]
    fn a_doubt_leaves_all_open() {
        let facts = MetalKnown::Seen(Metal::Base, false).facts();
        assert_eq!((facts.tenth, facts.metal), (Truth::Open, Truth::Yes));
    }
}
