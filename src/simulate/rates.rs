//! How often what befalls a piece, and how its finder errs: the figures of the simulated law.
//!
//! Read by the drawing of finds and by the exact law of what is drawn, so that the two cannot
//! drift apart. Judges nothing, and the scorer reads none of it.
//!
//! Invariant: a changed figure changes the finds that a seed gives.

/// Something that befalls a piece this often, and then evenly between two shares.
pub(super) struct Befalls {
    pub often: f64,
    pub least: f64,
    pub most: f64,
}

const fn befalls(often: f64, least: f64, most: f64) -> Befalls {
    Befalls { often, least, most }
}

/// Mean share of the weight that wear takes, by what the piece is, and the most it takes.
pub(super) const WORN_GOLD: f64 = 0.015;
pub(super) const WORN_MILLED: f64 = 0.04;
pub(super) const WORN_ELSE: f64 = 0.10;
pub(super) const WORN_MOST: f64 = 0.6;
/// Shares worn off at which one grade of wear passes into the next.
pub(super) const WEAR_STEPS: [f64; 4] = [0.02, 0.06, 0.15, 0.3];

/// Clipping where it is usual, and of any hammered silver.
pub(super) const CLIPPED: Befalls = befalls(0.35, 0.08, 0.45);
pub(super) const CLIPPED_SILVER: Befalls = befalls(0.04, 0.05, 0.25);
/// Clipping above this share is seen, this often.
pub(super) const CLIPPING_SEEN: (f64, f64) = (0.1, 0.5);
pub(super) const PIERCED: f64 = 0.02;

/// What is left of the piece, each tried in this order.
pub(super) const HALVED: Befalls = befalls(0.35, 0.40, 0.58);
pub(super) const QUARTERED: Befalls = befalls(0.10, 0.18, 0.32);
pub(super) const CHIPPED: Befalls = befalls(0.07, 0.85, 0.98);
pub(super) const BROKEN: Befalls = befalls(0.02, 0.3, 0.85);

/// Weights of the steps of corrosion.
pub(super) const CORRODED_COPPER: [f64; 5] = [1.0, 3.0, 3.0, 2.0, 0.5];
pub(super) const CORRODED_ELSE: [f64; 5] = [5.0, 3.0, 1.0, 0.3, 0.0];
/// From this step on corrosion changes the weight: its spread a step, and its mean loss.
pub(super) const EATEN_FROM: usize = 2;
pub(super) const EATEN_SPREAD: f64 = 0.02;
pub(super) const EATEN_LOSS: f64 = 0.03;

/// How often each trait is said.
pub(super) const METAL_SAID: f64 = 0.92;
pub(super) const WEIGHT_SAID: f64 = 0.65;
pub(super) const DIAMETER_SAID: f64 = 0.75;
pub(super) const DIAMETER_SAID_OF_PARTS: f64 = 0.1;
pub(super) const THICKNESS_SAID: f64 = 0.15;
pub(super) const AXIS_SAID: f64 = 0.2;
pub(super) const WHOLE_SAID: f64 = 0.3;
pub(super) const PARTS_SAID: f64 = 0.9;
pub(super) const WEAR_SAID: f64 = 0.4;
pub(super) const CORROSION_SAID: f64 = 0.25;
pub(super) const MAKING_SAID: f64 = 0.15;
pub(super) const DATE_SAID: f64 = 0.35;
pub(super) const OPINION_SAID: f64 = 0.08;
pub(super) const OPINION_RIGHT: f64 = 0.8;

/// How often base silver, and any other metal, is taken for another, and a metal is surely seen.
pub(super) const BASE_MISTAKEN: f64 = 0.5;
pub(super) const METAL_MISTAKEN: f64 = 0.03;
pub(super) const METAL_SURE: f64 = 0.85;

/// Least share of the struck mean that a piece weighs as struck.
pub(super) const LIGHTEST: f64 = 0.3;
/// How often a scale shows hundredths of a gram and not tenths.
pub(super) const FINE_SCALE: f64 = 0.7;
/// Millimetres of error of a diameter, and how often it is read to tenths, halves and wholes.
pub(super) const DIAMETER_ERROR: f64 = 0.2;
pub(super) const DIAMETER_PARTS: [f64; 3] = [10.0, 2.0, 1.0];
pub(super) const DIAMETER_PARTS_OFTEN: [f64; 3] = [4.0, 2.0, 4.0];
/// Weights of an axis read aright, an hour early and an hour late.
pub(super) const AXIS_OFF: [f64; 3] = [8.0, 1.0, 1.0];

/// How often the finder cannot tell which face is which.
pub(super) const SIDE_UNKNOWN: f64 = 0.1;
/// How often one trait has gone wrong, how many are tried, and the factor of a wrong measure.
pub(super) const SLIPPED: f64 = 0.2;
pub(super) const SLIPS_TRIED: usize = 8;
pub(super) const SLIP_LEAST: f64 = 0.6;
pub(super) const SLIP_MOST: f64 = 1.6;
/// Parts to the unit of a wrong weight and a wrong diameter.
pub(super) const SLIP_WEIGHT_PARTS: f64 = 100.0;
pub(super) const SLIP_DIAMETER_PARTS: f64 = 10.0;

/// How far a piece is spoilt for reading: by wear, by each step of corrosion; and the most.
pub(super) const SPOILT_BY_WEAR: f64 = 2.0;
pub(super) const SPOILT_BY_CORROSION: f64 = 0.12;
pub(super) const SPOILT_MOST: f64 = 0.95;
/// Less than this left of a piece limits what can be read of it.
pub(super) const LEFT_LIMITS: f64 = 0.9;
/// How often nothing can be read, all can, and how much is read between, at nought and by spoiling.
pub(super) const NOTHING_READ: (f64, f64) = (0.08, 0.5);
pub(super) const NOT_ALL_READ: (f64, f64) = (0.9, 0.1);
pub(super) const READ_LESS: f64 = 0.6;
/// How often the letters read are scattered, and a stretch of them begins where the legend does.
pub(super) const SCATTERED: f64 = 0.3;
pub(super) const FROM_START: f64 = 0.3;
/// Fewest letters of a free run, and how many numbers of them there are.
pub(super) const FREE_LEAST: usize = 3;
pub(super) const FREE_NUMBERS: usize = 5;
/// How often a break is written down.
pub(super) const BREAK_WRITTEN: f64 = 0.5;
/// A run of lost places: unmarked at an end, uncounted (as is any longer than so many), or counted
/// aright or one too many.
pub(super) const UNMARKED: f64 = 0.25;
pub(super) const UNCOUNTED: f64 = 0.5;
pub(super) const COUNTED_MOST: usize = 4;
pub(super) const COUNTED_OFF: [f64; 2] = [8.0, 2.0];
/// A letter passed over; passed over or misread; taken for one like it and not for any.
pub(super) const PASSED_OVER: f64 = 0.012;
pub(super) const MISREAD_BELOW: f64 = 0.06;
pub(super) const TAKEN_FOR_LIKE: f64 = 0.85;
/// A misread letter given as a choice; a letter queried when right and when misread; doubled.
pub(super) const CHOICE_GIVEN: f64 = 0.1;
pub(super) const QUERIED_RIGHT: f64 = 0.05;
pub(super) const QUERIED_WRONG: f64 = 0.3;
pub(super) const DOUBLED: f64 = 0.008;
/// Letters that are common in legends.
pub(super) const COMMON_LETTERS: [char; 12] =
    ['A', 'E', 'I', 'O', 'L', 'N', 'R', 'S', 'T', 'V', 'D', 'M'];
/// Letters taken for one another on worn coin, each with what it is taken for.
pub(super) const MISREAD: [(char, &str); 20] = [
    ('A', "VH"),
    ('B', "RP"),
    ('C', "GE"),
    ('D', "O"),
    ('E', "FIC"),
    ('F', "EP"),
    ('G', "C"),
    ('H', "N"),
    ('I', "LT"),
    ('L', "I"),
    ('M', "N"),
    ('N', "HVM"),
    ('O', "DQC"),
    ('P', "RF"),
    ('Q', "O"),
    ('R', "PB"),
    ('S', "Z"),
    ('T', "IL"),
    ('V', "AN"),
    ('X', "K"),
];

/// Weights of none to three of a face's motifs being named, and how often rightly and surely.
pub(super) const MOTIFS_NAMED: [f64; 4] = [0.3, 0.35, 0.22, 0.13];
pub(super) const MOTIF_RIGHT: f64 = 0.79;
pub(super) const MOTIF_SURE: f64 = 0.85;
/// Weights of a motif taken for its kind, another of its kind, and anything.
pub(super) const MISTAKEN_FOR: [f64; 3] = [0.4, 0.35, 0.25];
pub(super) const MARK_SEEN: f64 = 0.2;
pub(super) const ABSENCE_SAID: f64 = 0.04;
