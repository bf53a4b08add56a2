//! Two or three types of the library held against one another, and a find against all of them.
//!
//! What the library itself says sets them apart comes first, then the differences that a finder
//! can see, in the order in which they are seen, then the rest. Says how far each measure tells
//! them apart by what the scorer reckons; judges nothing itself.
//!
//! Invariant: the order in which the types are named changes the order of the cells and nothing
//! else; the terms of a find, with the prior, sum to the totals.

mod cells;
mod legends;
mod weighing;

pub use weighing::{TermRow, Weighing};

use crate::catalogue::Catalogue;
use crate::find::Find;
use crate::score::{Ranking, measures_tell};

/// Least that a measure must be expected to tell, in bits, to count as a difference that can be
/// seen: a tenth of one yes or no.
const SEEN_LEAST: f64 = 0.1;

/// Types side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// Positions of the types, as they were named.
    pub types: Vec<usize>,
    /// What the library itself says sets them apart.
    pub apart: Vec<ApartLine>,
    /// The rows, the differences that are easiest seen first.
    pub rows: Vec<Row>,
    /// What a find says for each of them, where there is one.
    pub weighing: Option<Weighing>,
}

/// The library's own word on two of the types.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ApartLine {
    /// Which of the types compared it speaks of.
    pub of: usize,
    /// From which of them it is set apart.
    pub from: usize,
    /// By what.
    pub by: String,
}

/// What is compared, in the order in which a finder sees it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Feature {
    /// Metal.
    Metal,
    /// Diameter as struck.
    Diameter,
    /// Weight as struck.
    Weight,
    /// Figures on the front.
    ObverseMotifs,
    /// Figures on the back.
    ReverseMotifs,
    /// Letters on the front.
    ObverseLegends,
    /// Letters on the back.
    ReverseLegends,
    /// Initial and mint marks.
    Marks,
    /// Struck, milled or cast.
    Making,
    /// Edge.
    Edge,
    /// Thickness.
    Thickness,
    /// Die axis.
    DieAxis,
    /// Clipped, halved and the like.
    Habits,
    /// Who issued.
    Ruler,
    /// Denomination.
    Denomination,
    /// Official, or what kind of copy.
    Copy,
    /// Years.
    Years,
    /// Mints.
    Mints,
    /// Weight standards in force.
    Standards,
    /// Series.
    Series,
    /// How common.
    Commonness,
    /// Where it is mostly found.
    Regions,
    /// Handbook numbers.
    References,
    /// How far it is vouched for.
    Grade,
}

impl Feature {
    /// Every feature, the easiest seen first.
    pub const ALL: [Feature; 24] = [
        Feature::Metal,
        Feature::Diameter,
        Feature::Weight,
        Feature::ObverseMotifs,
        Feature::ReverseMotifs,
        Feature::ObverseLegends,
        Feature::ReverseLegends,
        Feature::Marks,
        Feature::Making,
        Feature::Edge,
        Feature::Thickness,
        Feature::DieAxis,
        Feature::Habits,
        Feature::Ruler,
        Feature::Denomination,
        Feature::Copy,
        Feature::Years,
        Feature::Mints,
        Feature::Standards,
        Feature::Series,
        Feature::Commonness,
        Feature::Regions,
        Feature::References,
        Feature::Grade,
    ];

    /// The word printed for it.
    pub fn name(self) -> &'static str {
        match self {
            Feature::Metal => "metal",
            Feature::Diameter => "diameter",
            Feature::Weight => "weight",
            Feature::ObverseMotifs => "obverse",
            Feature::ReverseMotifs => "reverse",
            Feature::ObverseLegends => "obverse legend",
            Feature::ReverseLegends => "reverse legend",
            Feature::Marks => "marks",
            Feature::Making => "making",
            Feature::Edge => "edge",
            Feature::Thickness => "thickness",
            Feature::DieAxis => "die axis",
            Feature::Habits => "often",
            Feature::Ruler => "ruler",
            Feature::Denomination => "denomination",
            Feature::Copy => "kind",
            Feature::Years => "struck",
            Feature::Mints => "mints",
            Feature::Standards => "standards",
            Feature::Series => "series",
            Feature::Commonness => "as a find",
            Feature::Regions => "found in",
            Feature::References => "reference",
            Feature::Grade => "vouched for",
        }
    }

    /// True when it can be seen on the piece itself.
    pub fn on_the_piece(self) -> bool {
        self <= Feature::Habits
    }
}

/// Whether the types differ in a feature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Two of those of which the library says it do.
    Differ,
    /// None does.
    Same,
    /// The library does not say it of enough of them.
    NotSaid,
}

impl Verdict {
    /// The word given for it in JSON.
    pub fn name(self) -> &'static str {
        match self {
            Verdict::Differ => "differ",
            Verdict::Same => "same",
            Verdict::NotSaid => "not-said",
        }
    }
}

/// One feature of all the types.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Which feature.
    pub feature: Feature,
    /// What each type has; none where the library does not say.
    pub cells: Vec<Option<Vec<Entry>>>,
    /// Whether they differ.
    pub verdict: Verdict,
    /// True when they differ so that a finder can see it on the piece.
    pub seen: bool,
    /// Bits that the measure is expected to tell of which type it is, all being equally likely;
    /// none for what is not measured, or not known of all of them.
    pub bits: Option<f64>,
}

/// One thing in a cell.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// In words.
    pub text: String,
    /// Which of the other types have it too.
    pub with: Vec<usize>,
    /// Of a legend that some lack: how many characters of it go by before it parts from the nearest of
    /// theirs.
    pub parts_at: Option<usize>,
    /// Of a legend: how it is spelled, mints filled in.
    pub spellings: Vec<String>,
}

impl Entry {
    /// A thing in words.
    fn new(text: impl Into<String>) -> Entry {
        Entry {
            text: text.into(),
            with: Vec::new(),
            parts_at: None,
            spellings: Vec::new(),
        }
    }
}

/// Holds types, by their positions, against one another, and a find that has been judged against
/// them, where there is one.
pub fn compare(
    types: &[usize],
    judged: Option<(&Find, &Ranking)>,
    catalogue: &Catalogue,
) -> Comparison {
    let unsaid = Find::default();
    let find = judged.map_or(&unsaid, |(find, _)| find);
    let coins: Vec<_> = types.iter().map(|t| &catalogue.types[*t]).collect();
    let [weight, diameter] = measures_tell(find, &coins, catalogue);
    let mut rows: Vec<Row> = Feature::ALL
        .iter()
        .map(|feature| {
            let bits = match feature {
                Feature::Weight => weight,
                Feature::Diameter => diameter,
                _ => None,
            };
            row(*feature, types, bits, catalogue)
        })
        .collect();
    // A stable order: within each part the features keep the order in which they are seen.
    rows.sort_by_key(|row| match (row.seen, row.verdict) {
        (true, _) => 0,
        (_, Verdict::Differ) => 1,
        (_, Verdict::Same) => 2,
        (_, Verdict::NotSaid) => 3,
    });
    Comparison {
        types: types.to_vec(),
        apart: apart(types, catalogue),
        rows,
        weighing: judged.map(|(find, ranking)| weighing::of(types, find, ranking, catalogue)),
    }
}

/// The library's own lines on any two of the types, in the library's order.
fn apart(types: &[usize], catalogue: &Catalogue) -> Vec<ApartLine> {
    let mut lines = Vec::new();
    for (of, coin) in types.iter().enumerate() {
        for line in &catalogue.types[*coin].apart {
            let from = types.iter().position(|other| *other == line.from);
            lines.extend(from.map(|from| ApartLine {
                of,
                from,
                by: line.by.clone(),
            }));
        }
    }
    lines.sort_by_key(|line| (types[line.of], types[line.from]));
    lines
}

fn row(feature: Feature, types: &[usize], bits: Option<f64>, catalogue: &Catalogue) -> Row {
    let cell = |coin: &usize| cells::cell(feature, &catalogue.types[*coin], catalogue);
    let mut cells: Vec<Option<Vec<Entry>>> = types.iter().map(cell).collect();
    let verdict = verdict(&cells);
    share(&mut cells);
    if matches!(feature, Feature::ObverseLegends | Feature::ReverseLegends) {
        legends::part(&mut cells);
    }
    // A metal or a measure that differs on paper only is not seen.
    let visible = match feature {
        Feature::Metal => {
            let looks = |coin: &usize| catalogue.metals[catalogue.types[*coin].metal].looks;
            types.windows(2).any(|two| looks(&two[0]) != looks(&two[1]))
        }
        Feature::Weight | Feature::Diameter => bits.is_some_and(|bits| bits >= SEEN_LEAST),
        feature => feature.on_the_piece(),
    };
    Row {
        feature,
        cells,
        verdict,
        seen: verdict == Verdict::Differ && visible,
        bits,
    }
}

fn texts(cell: &[Entry]) -> Vec<&str> {
    let mut texts: Vec<&str> = cell.iter().map(|entry| entry.text.as_str()).collect();
    texts.sort_unstable();
    texts
}

fn verdict(cells: &[Option<Vec<Entry>>]) -> Verdict {
    let said: Vec<Vec<&str>> = cells.iter().flatten().map(|cell| texts(cell)).collect();
    if said.windows(2).any(|two| two[0] != two[1]) {
        Verdict::Differ
    } else if said.len() == cells.len() {
        Verdict::Same
    } else {
        Verdict::NotSaid
    }
}

/// Writes down of each entry which of the other types have it too.
fn share(cells: &mut [Option<Vec<Entry>>]) {
    let held: Vec<Vec<String>> = cells
        .iter()
        .map(|cell| cell.iter().flatten().map(|e| e.text.clone()).collect())
        .collect();
    for (own, cell) in cells.iter_mut().enumerate() {
        for entry in cell.iter_mut().flatten() {
            let others = (0..held.len()).filter(|other| *other != own);
            entry.with = others
                .filter(|other| held[*other].contains(&entry.text))
                .collect();
        }
    }
}
