//! A group of pieces from one hole, as far as each is known.
//!
//! Plain values. A row of pieces that are alike is one [`Piece`] with a count: they are right or
//! wrong together, so they count as one when it is asked how sure something is.
//!
//! Invariant: a group without [`Fault`]s has a piece, no count of nought, and chances that sum to
//! at most one; what is left may be anything.

use crate::find::{Completeness, Span, Treatment, Wear};
use crate::treasure;

/// Most rows of a group; a judgement of this program, which bounds its work.
pub const ROWS_MOST: usize = 2_000;
/// Most pieces of a row.
pub const COUNT_MOST: u32 = 1_000_000;

/// What a piece is, as far as a group asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub enum Kind {
    /// A coin.
    #[default]
    Coin,
    /// A token or jetton.
    Token,
    /// Something made that is no coin.
    Object,
    /// What held the pieces: a pot, a box, a purse.
    Container,
    /// A part of something, of which too little is left to say what.
    Fragment,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Kind; 5] = [
        Kind::Coin,
        Kind::Token,
        Kind::Object,
        Kind::Container,
        Kind::Fragment,
    ];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Coin => "coin",
            Kind::Token => "token",
            Kind::Object => "object",
            Kind::Container => "container",
            Kind::Fragment => "fragment",
        }
    }

    /// The kind of a word.
    pub fn named(word: &str) -> Option<Kind> {
        let word = word.trim().to_lowercase();
        Kind::ALL.into_iter().find(|kind| kind.word() == word)
    }
}

/// A chance with the name it belongs to.
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    /// Printed name of the ruler, the period and so on.
    pub name: String,
    /// Chance, 0 to 1.
    pub chance: f64,
}

/// Pieces that are alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// In the finder's words.
    pub name: String,
    /// How many; at least one.
    pub count: u32,
    /// What they are.
    pub kind: Kind,
    /// Years in which one may have been made, with their chances; what is left up to one may be
    /// of any time.
    pub dates: Vec<(Span, f64)>,
    /// The years were told, and not worked out.
    pub told: bool,
    /// Chances of periods; what is left is not known.
    pub periods: Vec<Share>,
    /// Chances of rulers.
    pub rulers: Vec<Share>,
    /// Chances of denominations.
    pub denominations: Vec<Share>,
    /// Chances of metals.
    pub metals: Vec<Share>,
    /// Chances of realms.
    pub realms: Vec<Share>,
    /// Chance that the library has no such piece.
    pub unlisted: f64,
    /// Chance that it is no official piece: irregular, plated, false.
    pub irregular: f64,
    /// How worn.
    pub wear: Option<Wear>,
    /// What was done to it.
    pub treatments: Vec<Treatment>,
    /// How much of it is there.
    pub completeness: Option<Completeness>,
    /// Weight of one, grams.
    pub weight: Option<f64>,
    /// What it was identified as, in words, with the chance.
    pub answer: Option<(String, f64)>,
    /// What the law asks of it.
    pub law: treasure::Piece,
}

impl Piece {
    /// A piece of which nothing but its name is known.
    pub fn unsaid(name: impl Into<String>) -> Piece {
        let name = name.into();
        Piece {
            law: treasure::Piece::unsaid(name.clone()),
            name,
            count: 1,
            kind: Kind::Coin,
            dates: Vec::new(),
            told: false,
            periods: Vec::new(),
            rulers: Vec::new(),
            denominations: Vec::new(),
            metals: Vec::new(),
            realms: Vec::new(),
            unlisted: 0.0,
            irregular: 0.0,
            wear: None,
            treatments: Vec::new(),
            completeness: None,
            weight: None,
            answer: None,
        }
    }

    /// How many, as a figure to reckon with.
    pub fn number(&self) -> f64 {
        f64::from(self.count)
    }

    /// The chance that its years are known at all.
    pub fn dated(&self) -> f64 {
        self.dates
            .iter()
            .map(|(_, chance)| chance)
            .sum::<f64>()
            .min(1.0)
    }

    /// First and last year that it may be of, where one is known.
    pub fn hull(&self) -> Option<Span> {
        let spans = self.dates.iter().map(|(span, _)| *span);
        spans.reduce(Span::hull)
    }

    /// Coins and what passed for coins.
    pub fn is_money(&self) -> bool {
        matches!(self.kind, Kind::Coin | Kind::Token)
    }
}

#[cfg(test)]
impl Piece {
    /// Pieces that are alike, of spans from and to, each with its chance.
    pub(super) fn of_years(count: u32, dates: &[(i32, i32, f64)]) -> Piece {
        let dates = dates.iter();
        Piece {
            count,
            dates: dates
                .map(|&(from, to, chance)| (Span { from, to }, chance))
                .collect(),
            ..Piece::unsaid("x")
        }
    }
}

/// Several pieces from one hole.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Group {
    /// The pieces.
    pub pieces: Vec<Piece>,
}

/// What a group cannot be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// The field.
    pub field: &'static str,
    /// What is wrong.
    pub what: String,
    /// What to do about it.
    pub mend: String,
}

impl Group {
    /// How many pieces there are.
    pub fn count(&self) -> u64 {
        self.pieces.iter().map(|piece| u64::from(piece.count)).sum()
    }

    /// What of it cannot be, so that nothing is reckoned from it.
    pub fn faults(&self) -> Vec<Fault> {
        let fault = |field, what: String, mend: &str| Fault {
            field,
            what,
            mend: mend.to_string(),
        };
        let mut faults = Vec::new();
        if self.pieces.is_empty() {
            let mend = "give one row, or one phrase, for each kind of piece";
            faults.push(fault("pieces", "there is no piece".to_string(), mend));
        }
        if self.pieces.len() > ROWS_MOST {
            let what = format!("{} rows, most is {ROWS_MOST}", self.pieces.len());
            let mend = "put pieces that are alike into one row, and say how many under count";
            faults.push(fault("rows", what, mend));
        }
        for piece in &self.pieces {
            let name = &piece.name;
            if piece.count == 0 || piece.count > COUNT_MOST {
                let what = format!("{name}: {} is no number of pieces", piece.count);
                let mend = "give 1 or more, up to a million, in figures";
                faults.push(fault("count", what, mend));
            }
            let even = |chance: f64| (0.0..=1.0 + 1e-6).contains(&chance);
            let sum: f64 = piece.dates.iter().map(|(_, chance)| chance).sum();
            let each = piece.dates.iter().all(|(_, chance)| even(*chance));
            if !each || !even(sum) || !even(piece.unlisted) {
                let what = format!("{name}: its chances do not lie between 0 and 1");
                faults.push(fault("dates", what, "give chances that sum to at most 1"));
            }
            let forwards = |span: &Span| Span::new(span.from, span.to).is_some();
            if !piece.dates.iter().all(|(span, _)| forwards(span)) {
                let what = format!("{name}: its years run backwards or name a year 0");
                let mend = "give the earlier year first; 1 BC is -1 and is followed by 1";
                faults.push(fault("dates", what, mend));
            }
        }
        faults
    }
}
