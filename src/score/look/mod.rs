//! The next look: what to look at, what may be seen there, and what that is expected to tell.
//!
//! A look is a question to the piece with at most four replies; each type has a law of the
//! replies, made of the scorer's own reliabilities, and "not sure" is always one more reply that
//! every type gives alike. What a look is worth is the information that the reply is expected to
//! bring about what the finder wants to know, less the time it takes. Here stand the questions and
//! their laws; the words for them are found elsewhere. No look asks for anything to be done to the
//! piece, and none is asked that the find answers already.
//!
//! Invariant: the law of every look sums to one for every type; its information is never below
//! nought and never above the doubt there was; the order of the judged types changes nothing.

mod company;
mod figures;
mod gain;
mod letters;
mod measured;
mod plain;
mod told;

pub use company::Aim;
pub use gain::{doubt, information_gain};

use company::Company;

use super::constants::{AXIS_UNSURE, LOOK_SECOND, SECONDS, unsure};
use super::groundwork::Groundwork;
use super::sum::Ranking;
use crate::catalogue::Catalogue;
use crate::find::{Find, Making, MetalSeen, Side};

/// Most replies of a look, "not sure" not counted.
pub const MOST_REPLIES: usize = 4;

/// Chances of the replies of a look, in their order, for a finder who can say; those beyond the
/// last reply are nought.
pub type Law = [f64; MOST_REPLIES];

/// What a look asks.
#[derive(Clone, Debug, PartialEq)]
pub enum Asks {
    /// Whether a motif stands on a side; a mark may stand on either.
    Motif {
        /// Position of the motif.
        motif: usize,
        /// The side.
        side: Side,
    },
    /// Which of some motifs, of which a piece shows one at most, stands on a side.
    Which {
        /// Positions of the motifs.
        motifs: Vec<usize>,
        /// The side.
        side: Side,
    },
    /// Which of some runs of letters stands on a side.
    Letters {
        /// The runs, folded.
        runs: Vec<String>,
        /// The side.
        side: Side,
    },
    /// How wide it is.
    Diameter,
    /// How heavy it is.
    Weight,
    /// What metal it looks like.
    Metal,
    /// How the back stands to the front.
    DieAxis,
    /// How it was made.
    Making,
}

impl Asks {
    /// True when both ask, among other things, for the same on the same side.
    pub fn overlaps(&self, other: &Asks) -> bool {
        match (self.sought(), other.sought()) {
            (Some((motifs, side)), Some((others, on))) => {
                side == on && motifs.iter().any(|motif| others.contains(motif))
            }
            _ => match (self, other) {
                (Asks::Letters { side, .. }, Asks::Letters { side: on, .. }) => side == on,
                _ => self == other,
            },
        }
    }

    /// The motifs asked for, and the side.
    fn sought(&self) -> Option<(&[usize], Side)> {
        match self {
            Asks::Motif { motif, side } => Some((std::slice::from_ref(motif), *side)),
            Asks::Which { motifs, side } => Some((motifs, *side)),
            _ => None,
        }
    }
}

/// A band of a measure, open where an edge is missing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Lower edge.
    pub from: Option<f64>,
    /// Upper edge.
    pub to: Option<f64>,
}

/// What a reply says was seen.
#[derive(Clone, Debug, PartialEq)]
pub enum Seen {
    /// The motif.
    There(usize),
    /// None of these motifs.
    Absent(Vec<usize>),
    /// A run of letters.
    Letters(String),
    /// A diameter, millimetres.
    Diameter(Band),
    /// A weight, grams.
    Weight(Band),
    /// A metal.
    Metal(MetalSeen),
    /// The hour nearest to the top of the back.
    Hour(u8),
    /// A make.
    Made(Making),
}

/// One reply.
#[derive(Clone, Debug, PartialEq)]
pub struct Reply {
    /// What it says was seen.
    pub seen: Seen,
    /// How likely it is, of a finder who can say.
    pub chance: f64,
}

/// A look with its replies and its worth.
#[derive(Clone, Debug, PartialEq)]
pub struct Look {
    /// The question.
    pub asks: Asks,
    /// The replies, two to four; "not sure" is always one more.
    pub replies: Vec<Reply>,
    /// How often a finder cannot say, whatever the type.
    pub unsure: f64,
    /// Information that the reply is expected to bring, in bits, "not sure" allowed for.
    pub bits: f64,
    /// Seconds that it takes.
    pub seconds: f64,
    /// For each type weighed, the likeliest first, and last for a find that is not in the library.
    pub laws: Vec<Law>,
}

impl Look {
    /// Bits less what the time is worth: by this looks are ordered.
    pub fn worth(&self) -> f64 {
        self.bits - LOOK_SECOND * self.seconds
    }
}

/// A question with its replies and laws, before it is weighed.
struct Question {
    asks: Asks,
    seen: Vec<Seen>,
    laws: Vec<Law>,
}

impl Question {
    fn weighed(self, company: &Company<'_>) -> Look {
        let unsure = chance_unsure(&self.asks, company.find);
        let chances = company.replies(&self.laws);
        let replies = self.seen.into_iter().zip(chances);
        Look {
            bits: (1.0 - unsure) * company.bits(&self.laws),
            seconds: seconds(&self.asks),
            unsure,
            replies: replies
                .map(|(seen, chance)| Reply { seen, chance })
                .collect(),
            laws: self.laws,
            asks: self.asks,
        }
    }
}

/// The looks that may be taken at a find, the one worth most first.
///
/// None asks what the find says already, nor anything of `asked`.
pub fn looks(
    find: &Find,
    catalogue: &Catalogue,
    groundwork: &Groundwork,
    ranking: &Ranking,
    aim: Aim,
    asked: &[Asks],
) -> Vec<Look> {
    let company = Company::new(find, catalogue, groundwork, ranking, aim);
    let mut questions = figures::questions(&company, asked);
    questions.extend(letters::questions(&company, asked));
    questions.extend(measured::questions(&company));
    questions.extend(plain::questions(&company));
    questions.retain(|question| question.seen.len() > 1 && !asked.contains(&question.asks));
    let weighed = questions.into_iter().map(|one| one.weighed(&company));
    let mut looks: Vec<Look> = weighed.collect();
    // The sort is stable and the questions come in a fixed order, so that of two alike the same leads.
    looks.sort_by(|a, b| b.worth().total_cmp(&a.worth()));
    looks
}

fn chance_unsure(asks: &Asks, find: &Find) -> f64 {
    let [figures, letters, rest] = unsure(find.wear);
    match asks {
        Asks::Motif { .. } | Asks::Which { .. } => figures,
        Asks::Letters { .. } => letters,
        Asks::DieAxis => rest + AXIS_UNSURE,
        Asks::Diameter | Asks::Weight | Asks::Metal | Asks::Making => rest,
    }
}

fn seconds(asks: &Asks) -> f64 {
    let [glance, glass, letters, metal, turn, callipers, scale] = SECONDS;
    match asks {
        // A mark that may stand on either side is small, and wants a glass.
        Asks::Motif {
            side: Side::Unknown,
            ..
        } => glass,
        Asks::Motif { .. } | Asks::Which { .. } => glance,
        Asks::Letters { .. } => letters,
        Asks::Metal | Asks::Making => metal,
        Asks::DieAxis => turn,
        Asks::Diameter => callipers,
        Asks::Weight => scale,
    }
}
