//! What is to be done with a group before anything else: practice, each sentence once.
//!
//! No law stands here; that is the treasure room's. Every sentence is common practice without a
//! published source, unless it names one.
//!
//! Invariant: the sentences are shown with every group, whatever is known of it.

/// Depth in centimetres below which soil is as a rule no longer turned by the plough; common
/// practice, no source.
pub const PLOUGHED: f64 = 25.0;

/// A sentence of practice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Care {
    /// The word for programs.
    pub id: &'static str,
    /// The sentence.
    pub says: &'static str,
    /// Where it is from.
    pub source: &'static str,
}

const PRACTICE: &str = "common practice, no source";

/// The sentences, in the order in which they are to be heeded.
pub const CARE: [Care; 7] = [
    Care {
        id: "stop",
        says: "do not dig on for more: what lies together says more than what is lifted, and what lies below the plough is to be left in the ground",
        source: PRACTICE,
    },
    Care {
        id: "call",
        says: "cover the hole, mark it, and call the recording officer, who can bring an archaeologist",
        source: PRACTICE,
    },
    Care {
        id: "stuck",
        says: "do not part pieces that stick together: the lump shows how they were wrapped and in which order they were put in",
        source: PRACTICE,
    },
    Care {
        id: "container",
        says: "leave a pot or a box as it is, with all the soil in it; keep every sherd, and cloth, leather, wood or straw",
        source: PRACTICE,
    },
    Care {
        id: "places",
        says: "write down and photograph how each piece lay: its depth, and which touched which",
        source: PRACTICE,
    },
    Care {
        id: "clean",
        says: "do not clean, sort or weigh a lump before it has been looked at",
        source: PRACTICE,
    },
    Care {
        id: "quiet",
        says: "tell the owner of the land and the officer, and nobody else, where it was: holes are robbed",
        source: PRACTICE,
    },
];
