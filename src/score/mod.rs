//! The scoring room: a find and some candidate types to a ranking with its reasons.
//!
//! One file a witness; each gives its evidence in nats relative to "not in the
//! library", with what it saw, so the number and its reason are made together.
//! Prior and terms sum to the total that is shown; probabilities follow from the
//! totals. The rough constants stand in `constants`, and nowhere else.
//!
//! Never does input or output, reads the clock or uses chance. An unsaid trait
//! makes no term: it is no evidence, for or against.
//!
//! Invariant: a judged type's total is its prior plus its terms, and none of them
//! depends on the order in which traits were given or on which other types are candidates.

mod answer;
mod axis;
mod backs;
mod company;
mod constants;
mod contour;
mod dates;
mod evidence;
mod fitted;
mod groundwork;
mod kind;
mod known;
mod law;
mod learnt;
mod legend;
mod look;
mod making;
mod measure;
mod metal;
mod motif;
mod object;
mod opinion;
mod prior;
mod region;
mod rollup;
mod sum;
mod temper;
mod thickness;
mod titles;
mod treatment;
mod value;
mod words;

pub use answer::{Answer, Level, words_of_confidence};
pub use company::FieldProfile;
pub use constants::{
    BACK_BOUND, LEGEND_CEILING, LEGEND_FLOOR, LEVEL_CARRIES, LOOK_ENOUGH, LOOK_LEAST,
    MEASURE_BOUND, TRAIT_BOUND, WORDS_BOUND, unlisted_prior,
};
pub use dates::{DateCurve, Ranges, densest};
pub use evidence::{Detail, Evidence, MotifMatch, Witness};
pub use groundwork::Groundwork;
pub use kind::{KIND_ENOUGH, Kind, kind, may_go_off, plainly_coin};
pub use law::{
    MeasureLaw, Outline, Region, measures_tell, reading_errors, struck_band, struck_mean,
};
pub use learnt::{
    Confirmed, Credence, LEARNT_MOST, Learnt, LetterHabits, OwnField, OwnSize, Reads, Wanted,
    credence_after,
};
pub use legend::{Alignment, align};
pub use look::{Aim, Asks, Band, Law, Look, Reply, Seen, doubt, information_gain, looks};
pub use object::{
    About, Concept, Hypothesis, ObjectGroundwork, Relation, Relations, ThingAim, ThingAnswer,
    ThingAsks, ThingJudged, ThingLevel, ThingLook, ThingLoud, ThingRanking, ThingShare,
    ThingShares, ThingTemper, ThingTerm, judge_thing, relation, shared_evidence, thing_looks,
    told_of, wording_features,
};
pub use prior::log_priors;
pub use rollup::{Key, Rolled, Share, Shares, key, nine_in_ten, untempered};
pub use sum::{Bench, Judged, Options, Ranking, among, judge};
pub use temper::{beside_unlisted, temper, unlisted_group, unlisted_shift};
pub use thickness::expected_thickness;
