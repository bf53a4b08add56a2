//! Every rough constant of the scorer, in one file to be reviewed as a whole.
//!
//! Each says where it comes from: a published work, `engineering default` (chosen
//! here, to be replaced by what calibration says), or `from memory` of the work
//! named. Facts about coins are not here; they stand in the library.

mod looks;
mod prior;

pub use looks::*;
pub use prior::{COMMONNESS, FLATTENING, REST_OTHER, REST_SHARE, SLICES, Slice};

use crate::find::{Completeness, Corrosion, MetalSeen, Region, Wear};

// ---------------------------------------------------------------- bounds

/// Most that one trait may speak for or against a type, in nats. Engineering
/// default: a finder names a categorical trait rightly about 79 times in 100
/// (Waeldchen et al. 2022, *People and Nature*), so no one trait may bury the truth.
pub const TRAIT_BOUND: f64 = 4.0;

/// Most that weight and diameter together may speak, being two traits. Engineering default.
pub const MEASURE_BOUND: f64 = 5.5;

/// Floor of a contradicting legend of five letters or more. Engineering default.
pub const LEGEND_FLOOR: f64 = -7.0;

/// What each letter after the fourth adds to the most a legend may say, and the most of all.
/// Engineering default.
pub const LEGEND_STEP: f64 = 1.3;
/// Most that any legend may say for a type. Engineering default.
pub const LEGEND_CEILING: f64 = 11.0;

/// Nats of titles that a ruler did not hold in a type's years: one numeral in eight or so is
/// misread on a worn coin (a choice of ours, no source).
pub const TITLES_AGAINST: f64 = -2.0;

/// How often a value that is read in words is the piece's own, and how often it is another's: a token
/// payable for another, a word misread. Engineering defaults.
pub const VALUE_SAID: f64 = 0.95;
/// See [`VALUE_SAID`]: beside a piece that is not in the library, on which any of those below may stand.
pub const VALUE_ELSEWHERE: f64 = 0.05;
/// See [`VALUE_SAID`]: how often words of value are read on a piece of a denomination that bears none,
/// a misreading altogether.
pub const VALUE_STRANGE: f64 = 0.02;
/// Values of which one is as likely as another on a piece that is not in the library. Engineering default.
pub const VALUE_KNOWN: f64 = 12.0;

/// Nats below the likeliest at which a type is no longer weighed: less than one in a million, so
/// that all of a thousand such together, tempered, stay under two in a thousand (a choice of ours, no source).
pub const HOPELESS: f64 = 16.0;

// ---------------------------------------------------------------- unlisted

/// Prior that a find is not in the library, by the metal seen. Silver and copper
/// alloy start from the share specialists leave unnamed (2 and 4 in 100), raised
/// because the first library lists only common types; lead from the same notes
/// (30 in 100). Engineering default.
pub fn unlisted_prior(metal: Option<MetalSeen>) -> f64 {
    match metal {
        Some(MetalSeen::Gold) => 0.06,
        Some(MetalSeen::Silver | MetalSeen::BaseSilver | MetalSeen::Plated) => 0.04,
        Some(MetalSeen::CopperAlloy) => 0.06,
        Some(MetalSeen::WhiteMetal) => 0.15,
        Some(MetalSeen::Lead) => 0.40,
        Some(MetalSeen::Iron) => 0.60,
        None => 0.06,
    }
}

// ---------------------------------------------------------------- metal

/// How often a piece that looks like `row` in good light is called each metal by its
/// finder, in the order of [`MetalSeen::ALL`]. Engineering default; plated pieces and
/// debased silver are the known traps.
pub fn metal_called(true_look: MetalSeen) -> [f64; 8] {
    //                          gold  silver base  plated copper white  lead  iron
    match true_look {
        MetalSeen::Gold => [0.95, 0.005, 0.005, 0.010, 0.025, 0.002, 0.002, 0.001],
        MetalSeen::Silver => [0.002, 0.88, 0.060, 0.015, 0.015, 0.020, 0.007, 0.001],
        MetalSeen::BaseSilver => [0.002, 0.28, 0.36, 0.05, 0.27, 0.02, 0.017, 0.001],
        MetalSeen::Plated => [0.03, 0.30, 0.12, 0.40, 0.13, 0.01, 0.009, 0.001],
        MetalSeen::CopperAlloy => [0.008, 0.010, 0.025, 0.008, 0.93, 0.005, 0.009, 0.005],
        MetalSeen::WhiteMetal => [0.001, 0.23, 0.07, 0.02, 0.06, 0.50, 0.118, 0.001],
        MetalSeen::Lead => [0.001, 0.01, 0.02, 0.003, 0.02, 0.13, 0.811, 0.005],
        MetalSeen::Iron => [0.001, 0.003, 0.003, 0.003, 0.07, 0.005, 0.015, 0.90],
    }
}

/// The same, for a find that is not in the library: what metals finders bring in.
/// Engineering default.
pub const METAL_UNLISTED: [f64; 8] = [0.02, 0.20, 0.06, 0.02, 0.55, 0.03, 0.10, 0.02];

/// Share left to the called metal when the finder adds "perhaps". Engineering default.
pub const METAL_UNSURE: f64 = 0.5;

/// Share of plated copies among pieces of a type that the library says is often plated.
/// Engineering default.
pub const PLATED: f64 = 0.15;
/// Weight of a plated copy as a share of the official piece, and its own log spread: a copper core
/// in place of a silver one. The ratio of the densities of copper and silver is 0.85; the library's
/// own plated denarii stand at 0.81 of the official ones. Engineering default from those.
pub const PLATED_WEIGHT: (f64, f64) = (0.83, 0.12);

// ---------------------------------------------------------------- weight and diameter

/// Shares of weight lost to wear on the integration grid.
pub const WEAR_LOSS: [f64; 8] = [0.0, 0.02, 0.05, 0.09, 0.14, 0.20, 0.28, 0.38];

/// How likely each loss of [`WEAR_LOSS`] is, by the wear the finder reports. Anchored on
/// published pence: Edward I pennies of a small circulated hoard at 0.897 of standard
/// (Dolley, *BNJ*, Neath Abbey), a third lost in 120-140 years with clipping
/// (Archibald 1969, Attenborough), hammered shillings 7-10 in 100 (Newton, Mint papers).
pub fn wear_weights(wear: Option<Wear>) -> [f64; 8] {
    match wear {
        None => [0.10, 0.16, 0.22, 0.20, 0.14, 0.10, 0.05, 0.03],
        Some(Wear::Little) => [0.38, 0.32, 0.18, 0.07, 0.03, 0.01, 0.005, 0.005],
        Some(Wear::Light) => [0.16, 0.26, 0.28, 0.18, 0.07, 0.03, 0.01, 0.01],
        Some(Wear::Worn) => [0.04, 0.10, 0.22, 0.27, 0.19, 0.11, 0.05, 0.02],
        Some(Wear::Heavy) => [0.01, 0.04, 0.12, 0.22, 0.25, 0.20, 0.11, 0.05],
        Some(Wear::Extreme) => [0.01, 0.02, 0.05, 0.13, 0.22, 0.25, 0.20, 0.12],
    }
}

/// Wear loss of milled coin and of gold as a share of that of hammered silver: thicker,
/// harder or less handled pieces lose less (Newton's 1 in 24 years against 1 in 15; Jevons
/// 1868: a sovereign 0.035 in 100 a year, and it was not current below 0.994 of its
/// weight). Engineering default from those rates.
pub const WEAR_SHARE_MILLED: f64 = 0.5;
/// See [`WEAR_SHARE_MILLED`].
pub const WEAR_SHARE_GOLD: f64 = 0.25;
/// See [`WEAR_SHARE_MILLED`].
pub const WEAR_SHARE_MILLED_GOLD: f64 = 0.06;

/// Shares of weight clipped away on the integration grid.
pub const CLIP_LOSS: [f64; 5] = [0.0, 0.10, 0.20, 0.35, 0.50];

/// How likely each loss of [`CLIP_LOSS`] is when nothing is said of clipping, for types that
/// usually met the shears, other hammered types, and milled or cast ones. The currency of
/// 1695 stood at 51 in 100 of its weight (Craik after Lowndes); all fourteen siliquae of
/// the Caerwent hoard were clipped. Engineering default from those.
pub const CLIP_USUAL: [f64; 5] = [0.45, 0.20, 0.16, 0.12, 0.07];
/// See [`CLIP_USUAL`].
pub const CLIP_HAMMERED: [f64; 5] = [0.90, 0.055, 0.025, 0.013, 0.007];
/// See [`CLIP_USUAL`].
pub const CLIP_MILLED: [f64; 5] = [0.98, 0.01, 0.005, 0.003, 0.002];
/// When the finder says it is clipped.
pub const CLIP_SAID: [f64; 5] = [0.08, 0.30, 0.29, 0.20, 0.13];
/// When the finder says it is not clipped.
pub const CLIP_DENIED: [f64; 5] = [0.96, 0.025, 0.01, 0.003, 0.002];

/// Parts present: (share, fraction of the whole, log spread), by what the finder says.
/// A cut half weighs 0.35-0.75 and a quarter 0.15-0.40 of the penny. Engineering default.
pub fn parts_present(
    said: Option<Completeness>,
    halved: bool,
    quartered: bool,
) -> &'static [(f64, f64, f64)] {
    match (said, halved, quartered) {
        (Some(Completeness::Whole), ..) => &[(0.97, 1.0, 0.005), (0.03, 0.95, 0.05)],
        (Some(Completeness::Chipped), ..) => &[(1.0, 0.92, 0.07)],
        (Some(Completeness::Half), ..) => &[(1.0, 0.50, 0.18)],
        (Some(Completeness::Quarter), ..) => &[(1.0, 0.26, 0.24)],
        (Some(Completeness::Fragment), ..) => &[(1.0, 0.45, 0.60)],
        // Llanfaes (Besly 1995): 48 in 100 Short Cross and 82 in 100 Long Cross were cut; a finder
        // who does not say so is usually holding a whole one.
        (None, true, true) => &[
            (0.84, 1.0, 0.005),
            (0.04, 0.92, 0.07),
            (0.09, 0.50, 0.18),
            (0.03, 0.26, 0.24),
        ],
        (None, true, false) => &[(0.86, 1.0, 0.005), (0.04, 0.92, 0.07), (0.10, 0.50, 0.18)],
        (None, ..) => &[(0.94, 1.0, 0.005), (0.06, 0.92, 0.07)],
    }
}

/// What burial does to a metal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub enum Burial {
    /// Gold: nothing.
    Gold,
    /// Silver: little.
    Silver,
    /// Copper alloy, tin, lead, iron: much.
    Base,
}

/// Median factor and log spread that burial lays on the weight. No published mass loss of
/// ploughsoil coins was found; the corroded row of base metal (0.95, 0.15) and the rest are
/// engineering defaults. Copper-alloy weight is weak evidence both ways (Guest 2015,
/// *Internet Archaeology* 40); gold does not corrode.
pub fn burial(corrosion: Option<Corrosion>, metal: Burial) -> (f64, f64) {
    match (corrosion, metal) {
        (_, Burial::Gold) => (1.0, 0.003),
        (None | Some(Corrosion::Little), Burial::Silver) => (1.0, 0.02),
        (Some(Corrosion::Light), Burial::Silver) => (0.99, 0.03),
        (Some(Corrosion::Corroded), Burial::Silver) => (0.97, 0.06),
        (Some(_), Burial::Silver) => (0.94, 0.10),
        (Some(Corrosion::Little), Burial::Base) => (1.0, 0.05),
        (None, Burial::Base) => (0.98, 0.10),
        (Some(Corrosion::Light), Burial::Base) => (0.98, 0.09),
        (Some(Corrosion::Corroded), Burial::Base) => (0.95, 0.15),
        (Some(_), Burial::Base) => (0.92, 0.22),
    }
}

/// Usual diameters of the library are taken as this many standard deviations either side.
/// Engineering default.
pub const DIAMETER_RANGE_DEVIATIONS: f64 = 1.6;
/// Least spread of a hammered flan, as a share of the diameter (4-5 in 100). Engineering default.
pub const DIAMETER_SPREAD_HAMMERED: f64 = 0.04;
/// Least spread of a milled flan, millimetres. Engineering default.
pub const DIAMETER_SPREAD_MILLED: f64 = 0.15;
/// Calliper error of a hobbyist, millimetres. Engineering default.
pub const CALLIPER_ERROR: f64 = 0.3;
/// Scale error of a hobbyist, grams. Engineering default.
pub const SCALE_ERROR: f64 = 0.02;
/// Correlation of log weight and log diameter as struck. Engineering default (0.5 struck in
/// the notes, lowered because wear, integrated here, is not shared by the diameter).
pub const WEIGHT_DIAMETER_CORRELATION: f64 = 0.3;
/// Spread of the largest dimension of a cut or broken piece, as a share. Engineering default.
pub const DIAMETER_SPREAD_CUT: f64 = 0.12;
/// Share of measures that are plainly wrong (slips, concretion, wrong unit): floors the density
/// of every type at this share of the background's. Engineering default (1-3 in 100).
pub const MEASURE_SLIP: f64 = 0.015;

/// The background law of diameter, for a find that is not in the library: log diameter about
/// this many millimetres, and its spread. Engineering default, drawn to cover coin-like
/// things from a minim to a cartwheel twopence.
pub const BACKGROUND_DIAMETER: (f64, f64) = (19.5, 0.33);
/// Share and widening of that law's long tail.
pub const BACKGROUND_TAIL: (f64, f64) = (0.1, 3.0);
/// Density of log weight for such a find, without its diameter and with it: any weight within a
/// factor of about thirty, or of twelve once the size is known, is alike. It is flat so that
/// no type can gain by a piece being too heavy for it. Engineering default.
pub const BACKGROUND_WEIGHT: (f64, f64) = (0.30, 0.40);

// ---------------------------------------------------------------- thickness

/// Relief and uneven flans make a piece thicker at the callipers than a flat disc of its
/// weight and size. Engineering default.
pub const RELIEF_FACTOR: f64 = 1.2;
/// Log spread of thickness about the expected, and of the background about its median (mm).
pub const THICKNESS_SPREAD: f64 = 0.28;
/// See [`THICKNESS_SPREAD`].
pub const THICKNESS_BACKGROUND: (f64, f64) = (1.4, 0.6);

// ---------------------------------------------------------------- die axis, making, treatment

/// Share of die axes that follow no habit (mis-read, mis-set). Engineering default.
pub const AXIS_UNIFORM: f64 = 0.15;
/// How a habitual die axis spreads over the hours next to it. Engineering default.
pub const AXIS_SPREAD: [f64; 3] = [0.66, 0.15, 0.02];

/// How often a finder names the making of a piece rightly. Engineering default.
pub const MAKING_RIGHT: f64 = 0.88;

/// Chance that a finder says "clipped", for types usually clipped, hammered, milled, and unlisted.
/// Engineering default.
pub const CLIPPED_SAID: (f64, f64, f64, f64) = (0.40, 0.08, 0.01, 0.07);
/// Chance that a piece is holed, for types usually so, others, and unlisted. Engineering default.
pub const PIERCED_SAID: (f64, f64, f64) = (0.20, 0.03, 0.03);
/// Chance that a piece is a cut half or quarter, for types so cut, others, and unlisted. From
/// Llanfaes (Besly 1995) for the cut series; others an engineering default.
pub const CUT_SAID: (f64, f64, f64) = (0.35, 0.015, 0.04);

// ---------------------------------------------------------------- motifs

/// Chance that a finder names a motif that is there, when naming anything of that side
/// (0.79, Waeldchen et al. 2022).
pub const MOTIF_SEEN: f64 = 0.79;
/// Chance that a finder names a motif that is not there: a least one, and a share of how common
/// the motif is over the library, since people mistake what they see for what they know (a
/// head, a cross), seldom for a wolf with twins. On the public specimens 36 of 200 reports name what
/// their type is not listed with, 0.8 a find: two thirds of them common things, so the least chance,
/// summed over the whole vocabulary of some 1,700, may not come to ten as it once did.
pub const MOTIF_FALSE: (f64, f64) = (0.001, 0.10);
/// How many times likelier that is when the finder adds "perhaps". Engineering default.
pub const MOTIF_FALSE_UNSURE: f64 = 4.0;
/// Chance that a finder who looked for a motif that is there misses it on a worn piece.
/// Engineering default.
pub const MOTIF_MISSED: f64 = 0.25;
/// Most credit for saying a kind of the thing shown, one step up; each further step multiplies again.
/// Engineering default.
pub const MOTIF_MORE_SPECIFIC: f64 = 0.45;
/// Least credit for it, however seldom the library shows that kind. Engineering default.
pub const MOTIF_KIND_LEAST: f64 = 0.02;
/// Credit for saying a near relation (same parent). Engineering default.
pub const MOTIF_SIBLING: f64 = 0.22;
/// Credit for naming a part usually shown with the thing. Engineering default.
pub const MOTIF_PART: f64 = 0.6;
/// Credit when it stands on the other side than the finder says. Engineering default.
pub const MOTIF_OTHER_SIDE: f64 = 0.12;
/// Share of its nats that a figure speaks beside the words in which it was said: both tell of the same.
/// On the real finds that are fitted on 0.8 loses clearly less than 1, and 0.65 hardly less than 0.8.
pub const MOTIF_BESIDE_WORDS: f64 = 0.8;
/// Most general concepts say nothing when more than this share of motifs lie below them.
pub const MOTIF_SIBLING_PARENT_MOST: usize = 14;

// ---------------------------------------------------------------- legends

/// Chance that a clear letter is read as what it is, and a doubtful one. Engineering default.
pub const LETTER_RIGHT: (f64, f64) = (0.87, 0.60);
/// Chance of reading a letter where there is none. Engineering default.
pub const LETTER_INSERTED: f64 = 0.02;
/// Passing over a letter without marking a gap: the first, and each further one. Engineering default.
pub const LETTER_SKIPPED: (f64, f64) = (0.06, 0.50);
/// Floor of the chance that any letter is read as any other. Engineering default.
pub const LETTER_ANY: f64 = 0.002;
/// Nats of each letter that lies where letters change from coin to coin, and of the end of such a
/// run: a moneyer's name has about seven letters, so its length follows a geometric law of that
/// mean. Engineering default.
pub const FREE_LETTER: f64 = -0.134;
/// See [`FREE_LETTER`].
pub const FREE_END: f64 = -2.08;
/// Share of the full cost, the log of their number, for a face that may bear any of so many
/// inscriptions or an inscription that has so many spellings: the whole would hold if all
/// were equally common, which they are not. Engineering default.
pub const ANY_OF_MANY: f64 = 0.5;
/// Nats for a break where the design breaks, and against one where the legend is known to run on.
pub const BREAK_RIGHT: f64 = 0.8;
/// See [`BREAK_RIGHT`].
pub const BREAK_WRONG: f64 = -0.7;
/// Nats against a reading that stands on the other side than the finder says. Engineering default.
pub const LEGEND_OTHER_SIDE: f64 = -2.5;
/// Nats against a start or end that is not the legend's. Engineering default.
pub const LEGEND_END_WRONG: f64 = -2.0;
/// Nats a letter against a type known to bear no letters on that side. Engineering default.
pub const LETTER_ON_BARE_SIDE: f64 = -1.6;
/// Share of unlisted finds whose legend is like one of the library's (another type of the same
/// ruler, say); the rest are rows of letters at their common rates. Engineering default.
pub const UNLISTED_LIKE_LISTED: f64 = 0.3;

/// Share of the designs of a coinage whose back another denomination of the same ruler has too.
/// Counted over the library, each coinage held against the others: 0.27 of the Roman types, 0.30 of
/// the Iron Age and early medieval, 0.54 to 0.79 of the later ones (legend and half of the motifs alike).
pub const BACK_OWN: f64 = 0.35;
/// Share whose back another ruler of the time has and his own other denominations have not; counted
/// so too: 0.32 Roman, 0.16 Iron Age, 0.4 early medieval and medieval, less later. The other designs
/// have a back that the library has nowhere.
pub const BACK_OTHERS: f64 = 0.3;
/// Most that the back may say for the rest of a coinage.
pub const BACK_BOUND: f64 = 16.0;
/// Most nats that the words said of one side may speak together.
pub const WORDS_BOUND: f64 = TRAIT_BOUND;
/// Years by which coinages of one time may lie apart. Engineering default.
pub const BACK_YEARS: i32 = 25;

/// How common each letter is on coins found in Britain (57 common legends counted for the
/// project's notes: I .112 A .103 V .086 R .082 E .074 N .070 S .055; the rest filled in
/// by an engineering default and made to sum to one with it).
pub fn letter_rate(letter: char) -> f64 {
    match letter {
        'I' => 0.112,
        'A' => 0.103,
        'V' => 0.086,
        'R' => 0.082,
        'E' => 0.074,
        'N' => 0.070,
        'S' => 0.055,
        'O' => 0.050,
        'T' => 0.050,
        'C' => 0.045,
        'D' => 0.045,
        'G' => 0.040,
        'L' => 0.035,
        'M' => 0.035,
        'P' => 0.035,
        'B' => 0.018,
        'F' => 0.018,
        'H' => 0.018,
        'X' => 0.012,
        'Q' => 0.006,
        'K' | 'Y' | 'Z' => 0.004,
        _ => 0.002,
    }
}

// ---------------------------------------------------------------- opinion, date on the piece

/// Nats for a type that agrees with what the finder thinks it is, and against one that does not.
/// Engineering default: a hint.
pub const OPINION_AGREES: f64 = 1.0;
/// See [`OPINION_AGREES`].
pub const OPINION_DISAGREES: f64 = -1.0;
/// Years over which a date read on an unlisted piece is spread. Engineering default.
pub const DATE_BACKGROUND_YEARS: f64 = 300.0;
/// First year in which coins found here bear a date in figures at all often. From memory of
/// the handbooks: English coins are dated from 1547-1551 on.
pub const DATES_BEGIN: i32 = 1547;

// ---------------------------------------------------------------- region, company, the field

/// Share of the finds of a regional type that stay in its regions. Engineering default.
pub const REGION_KEPT: f64 = 0.75;

/// Share of coin finds by region, roughly as arable land and detecting are spread. Engineering
/// default; it only scales how much a home of several regions tells.
pub fn region_share(region: Region) -> f64 {
    match region {
        Region::East => 0.30,
        Region::SouthEast => 0.15,
        Region::South => 0.15,
        Region::Midlands => 0.17,
        Region::North => 0.13,
        Region::SouthWest => 0.07,
        Region::Wales => 0.03,
    }
}

/// Share of pieces from one hole that came there together. Engineering default.
pub const TOGETHER: f64 = 0.85;
/// Years in which pieces of one deposit lie apart, in the mean: the denarii of Llanvaches were half a
/// century old in the middle (statutory Treasure report 2005/6, no. 1246), hoards of pence longer.
pub const TOGETHER_YEARS: f64 = 40.0;
/// Step in years by which that is reckoned.
pub const TOGETHER_STEP: i32 = 10;
/// How often a deposit holds another kind than the one it is asked of, beside its own. Hoards of one
/// denomination are the rule (73 radiates, 659 sterlings of the same reports). Engineering default.
pub const TOGETHER_OTHER_KIND: f64 = 0.15;
/// What each e-folding of the number of pieces of a kind adds to it. Engineering default.
pub const TOGETHER_MORE: f64 = 0.3;

/// Finds of a field that weigh as much as what all fields give. Engineering default.
pub const FIELD_SHRUNK: f64 = 20.0;
/// Most that the field may say, in nats. Engineering default.
pub const FIELD_BOUND: f64 = 1.5;

// ---------------------------------------------------------------- the finder's own confirmed finds

/// How tightly the shares of a field may lie about the national ones, in finds; none stands for just
/// the national ones. A row from "hardly at all" to "wholly", each step a factor of four.
pub const OWN_FIELD_CONCENTRATIONS: [Option<f64>; 6] = [
    Some(2.0),
    Some(8.0),
    Some(32.0),
    Some(128.0),
    Some(512.0),
    None,
];
/// How far each of [`OWN_FIELD_CONCENTRATIONS`] is believed before a field's finds are seen: for the
/// shares of periods, of stretches of time within a period, of coinages within a stretch. Fitted by
/// `cargo run --example teach -- --fit` on 400 simulated fields, half of them ordinary and half with
/// windows of years that fall at random (expectation and maximisation, 40 steps); none is believed
/// less than 0.02, since what was fitted is of simulated fields.
pub const OWN_FIELD_CREDENCE: [[f64; 6]; 3] = [
    [0.087, 0.262, 0.161, 0.02, 0.091, 0.379],
    [0.049, 0.192, 0.176, 0.059, 0.226, 0.298],
    [0.02, 0.02, 0.103, 0.225, 0.282, 0.35],
];
/// Share of what a find may be that lies in one group where the find counts for it. Engineering default.
pub const OWN_FIELD_SURE: f64 = 0.9;
/// Most that a finder's own field may say, in nats: as much as one trait.
pub const OWN_FIELD_BOUND: f64 = TRAIT_BOUND;
/// Finds, whole, measured and confirmed as of one type, below which its size is not learnt.
/// Engineering default.
pub const OWN_SIZE_LEAST: u32 = 5;
/// How far the middle of a type may lie from the library's, as a share of the spread of its pieces as
/// struck: the library's middle counts as four finds that no wear has touched. Engineering default.
pub const OWN_SIZE_STRAYS: f64 = 0.5;
/// Deviation of the log by which the scales and callipers of finders read high or low. Engineering
/// default.
pub const READS_OFF: f64 = 0.03;
/// Standard errors from nought at which instruments are taken not to read right. Engineering default.
pub const READS_CLEAR: f64 = 3.0;
/// Finds, and types among them, below which nothing is said of the instruments. Engineering default.
pub const READS_LEAST: (u32, usize) = (12, 5);
/// Letters of a sort, struck where the legend is known, that weigh as much as the general table of
/// confusions, and letters passed over. Engineering default: shrunk hard.
pub const HABIT_SHRUNK: f64 = 60.0;
/// Letters laid on known legends below which nothing is said of how a finder reads. Engineering default.
pub const HABIT_LEAST: u32 = 60;

// ---------------------------------------------------------------- the answer

/// Least probability at which an answer is given at a level rather than a broader one.
pub const LEVEL_CARRIES: f64 = 0.80;
/// Probability from which a type is named: of types told at 0.8 to 0.9 one in eight of the real finds
/// that are fitted on was wrong, and its ruler and denomination are nearly always as likely.
pub const LEVEL_NAMES: f64 = 0.90;
/// Least probability at which an answer is given at all.
pub const LEVEL_LEAST: f64 = 0.50;

#[cfg(test)]
mod tests {
    use super::*;

    fn sums_to_one(name: &str, shares: &[f64]) {
        let total: f64 = shares.iter().sum();
        assert!((total - 1.0).abs() < 1e-9, "{name} sums to {total}");
    }

    /// The stretches of time are the library's counts of finds, times the share of the period.
    #[cfg(feature = "library")]
    #[test]
    fn stretches_of_time_follow_the_counts_of_the_library() {
        let counts = [
            (
                "roman",
                include_str!("../../catalogue/counts/roman-site-finds.toml"),
                0.55,
                21,
            ),
            (
                "medieval",
                include_str!("../../catalogue/counts/medieval-finds.toml"),
                0.17,
                6,
            ),
        ];
        for (period, text, whole, least) in counts {
            let rows: toml::Table = text.parse().expect("is TOML");
            let held = rows.values().filter(|row| {
                let year = |at: usize| row["span"][at].as_integer().expect("a year") as i32;
                let per_mill = row["per_mill"].as_float();
                let per_mill = per_mill.or_else(|| row["per_mill"].as_integer().map(|n| n as f64));
                let share = per_mill.expect("a share") * whole / 1000.0;
                SLICES.iter().any(|slice| {
                    // Before the first count and after the last coins go on a little.
                    let same = slice.period == period && slice.to == year(1);
                    same && (slice.share - share).abs() <= 0.0006
                })
            });
            assert!(held.count() >= least, "{period}");
        }
    }

    #[test]
    fn tables_of_shares_sum_to_one() {
        sums_to_one("regions", &Region::ALL.map(region_share));
        for metal in MetalSeen::ALL {
            sums_to_one(metal.name(), &metal_called(metal));
        }
        sums_to_one("unlisted metals", &METAL_UNLISTED);
        for wear in [
            None,
            Some(Wear::Little),
            Some(Wear::Light),
            Some(Wear::Worn),
            Some(Wear::Heavy),
            Some(Wear::Extreme),
        ] {
            sums_to_one("wear", &wear_weights(wear));
        }
        for clip in [
            CLIP_USUAL,
            CLIP_HAMMERED,
            CLIP_MILLED,
            CLIP_SAID,
            CLIP_DENIED,
        ] {
            sums_to_one("clipping", &clip);
        }
        for said in [
            None,
            Some(Completeness::Whole),
            Some(Completeness::Half),
            Some(Completeness::Quarter),
        ] {
            for (halved, quartered) in [(false, false), (true, false), (true, true)] {
                let parts: Vec<f64> = parts_present(said, halved, quartered)
                    .iter()
                    .map(|p| p.0)
                    .collect();
                sums_to_one("parts", &parts);
            }
        }
    }

    #[test]
    fn broad_periods_keep_the_shares_of_the_notes() {
        let share = |period: &str| {
            SLICES
                .iter()
                .filter(|s| s.period == period)
                .map(|s| s.share)
                .sum::<f64>()
        };
        for (period, wanted) in [
            ("iron-age", 0.015),
            ("roman", 0.55),
            ("early-medieval", 0.015),
            ("medieval", 0.16),
        ] {
            assert!(
                (share(period) - wanted).abs() < 0.006,
                "{period} {}",
                share(period)
            );
        }
    }
}
