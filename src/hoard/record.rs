//! The group record: all that is said of a group, as one plain value.
//!
//! Puts the parts of this room together and words the title and the summary. Knows no law, no
//! file and no form of writing it down.
//!
//! Invariant: every row of the group stands in it, and what is missing is named.

use super::aoristic::Aoristic;
use super::axis::Axis;
use super::care::{CARE, Care, PLOUGHED};
use super::closing::{Closing, close};
use super::composition::Composition;
use super::group::{Group, Kind};
use super::lots::{Lots, lots};
use super::mixture::{DateLaw, in_company, law};
use super::unusual::{LEVEL, Unusual, unusual};
use crate::explain::chance_in_figures;
use crate::find::{Span, era};
use crate::score::densest;

/// How the group lay, as far as it was said.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Circumstances {
    /// Where, as the finder wants it to be known.
    pub place: Option<String>,
    /// Depth of the deepest piece, centimetres.
    pub depth: Option<f64>,
    /// The day of finding, in words.
    pub found: Option<String>,
    /// How the pieces lay to one another, and which touched.
    pub lay: Option<String>,
}

/// A group, read together.
#[derive(Clone, Debug, PartialEq)]
pub struct GroupRecord {
    /// One line.
    pub title: String,
    /// What is to be said first, a sentence each.
    pub summary: Vec<String>,
    /// How many pieces.
    pub count: u64,
    /// The group itself.
    pub group: Group,
    /// Dates of each row, read in the company of the others.
    pub read: Vec<Vec<(Span, f64)>>,
    /// The terminus post quem, rows read in company.
    pub closing: Closing,
    /// The same, each row by itself.
    pub by_themselves: Closing,
    /// The aoristic sum; none where no piece has years.
    pub aoristic: Option<Aoristic>,
    /// The law that the pieces share.
    pub law: Option<DateLaw>,
    /// Years that hold 80 in 100 of that law.
    pub main_years: Option<Span>,
    /// One lot against two, where there are enough pieces.
    pub lots: Option<Lots>,
    /// What it is made up of.
    pub composition: Composition,
    /// Pieces that stand out.
    pub unusual: Vec<Unusual>,
    /// Rows that were held against the others in time.
    pub tested: usize,
    /// How many of them would stand out in time by chance alone.
    pub by_chance: f64,
    /// What nobody has said and what a record should have.
    pub missing: Vec<String>,
    /// What is to be done and left undone.
    pub cautions: Vec<&'static Care>,
    /// How it lay.
    pub circumstances: Circumstances,
}

/// Reads a group without [`Fault`](super::Fault)s together.
pub fn record(group: &Group, circumstances: &Circumstances) -> GroupRecord {
    let pieces = &group.pieces;
    let shared = law(pieces);
    let read = in_company(pieces, shared.as_ref());
    let counts = || pieces.iter().map(|piece| piece.count);
    let rows = |dates: &[Vec<(Span, f64)>]| dates.iter().cloned().zip(counts()).collect::<Vec<_>>();
    let alone: Vec<_> = pieces.iter().map(|piece| piece.dates.clone()).collect();
    let (unusual, tested) = unusual(group, &read);
    let axis = Axis::of(pieces);
    let mut record = GroupRecord {
        title: String::new(),
        summary: Vec::new(),
        count: group.count(),
        group: group.clone(),
        closing: close(&rows(&read)),
        by_themselves: close(&rows(&alone)),
        aoristic: axis.map(|axis| Aoristic::over(axis, pieces)),
        main_years: shared.as_ref().map(main_years),
        law: shared,
        lots: axis.and_then(|axis| lots(pieces, axis)),
        composition: Composition::of(group),
        unusual,
        tested,
        by_chance: tested as f64 * LEVEL,
        missing: missing(group, circumstances),
        cautions: CARE.iter().collect(),
        circumstances: circumstances.clone(),
        read,
    };
    record.title = title(&record);
    record.summary = summary(&record);
    record
}

fn main_years(law: &DateLaw) -> Span {
    let (first, last) = densest(&law.density, 0.8);
    Span {
        from: law.axis.span(first).from,
        to: law.axis.span(last).to,
    }
}

fn title(record: &GroupRecord) -> String {
    let kinds = &record.composition.kinds;
    let (coins, count) = (Kind::Coin.word(), record.count);
    let what = match kinds.as_slice() {
        [(kind, _)] => plural(kind, count),
        kinds if kinds.iter().any(|(kind, _)| *kind == coins) => {
            "coins and other pieces".to_string()
        }
        _ => "pieces".to_string(),
    };
    let main = record.composition.period.parts.first();
    let main = main.filter(|part| part.expected >= 0.5 * count as f64);
    let period = main.map_or(String::new(), |part| format!(", {}", part.name));
    let closed = record.closing.not_before;
    let alone = record.closing.without.filter(|without| without.alone);
    let closed = closed.map_or(", of no known date".to_string(), |year| match alone {
        None => format!(", closed not before {}", era(year)),
        Some(without) => format!(
            ", closed not before {} (by one row that stands alone; {} without it)",
            era(year),
            without.not_before.map_or("no year".to_string(), era)
        ),
    });
    let place = &record.circumstances.place;
    let place = place
        .as_ref()
        .map_or(String::new(), |place| format!(", {place}"));
    format!("Group of {count} {what}{period}{closed}{place}")
}

/// "coin" or "coins".
fn plural(word: &str, count: u64) -> String {
    match count {
        1 => word.to_string(),
        _ => format!("{word}s"),
    }
}

fn summary(record: &GroupRecord) -> Vec<String> {
    let mut said = vec![made_up(record)];
    said.push(closed(record));
    said.extend(looking_back(record));
    if let Some(years) = record.main_years {
        said.push(format!(
            "Four in five of its pieces were probably made in {}, as far as their dates have something in common",
            years.text()
        ));
    }
    if let Some(lots) = record.lots.as_ref().filter(|lots| lots.parted) {
        let [early, late] = &lots.two;
        said.push(format!(
            "Two lots explain its dates better than one: about {:.0} in 100 of {}, the rest of {}; but coin long in use can look like that as well",
            100.0 * early.share,
            early.span().text(),
            late.span().text()
        ));
    }
    said
}

fn made_up(record: &GroupRecord) -> String {
    let kinds = record.composition.kinds.iter();
    let kinds: Vec<String> = kinds
        .map(|(kind, count)| format!("{count} {}", plural(kind, *count)))
        .collect();
    let rulers = record.composition.ruler.parts.iter().take(3);
    let rulers = rulers.filter(|part| part.expected >= 0.5);
    let rulers: Vec<String> = rulers
        .map(|part| format!("{} about {:.0}", part.name, part.expected))
        .collect();
    let rulers = match rulers.is_empty() {
        true => String::new(),
        false => format!("; most of {}", rulers.join(", ")),
    };
    format!("{}{rulers}", kinds.join(", "))
}

fn closed(record: &GroupRecord) -> String {
    let closing = &record.closing;
    let Some(year) = closing.not_before else {
        return format!(
            "No year can be set: the chance that no piece sets one is {}",
            chance_in_figures(closing.unset)
        );
    };
    let range = match (closing.earliest, closing.latest) {
        (Some(from), Some(to)) if from != to => {
            format!(" (80 in 100: {} to {})", era(from), era(to))
        }
        (None, _) => format!(
            " (with a chance of {} that no piece sets a year)",
            chance_in_figures(closing.unset)
        ),
        _ => String::new(),
    };
    let names = closing.set_by.iter().take(3);
    let names: Vec<String> = names
        .map(|(row, chance)| {
            let name = &record.group.pieces[*row].name;
            format!("{name} ({})", chance_in_figures(*chance))
        })
        .collect();
    format!(
        "The latest piece was made in {} or after{range}, so the group was not closed before then; how long after, this does not say. Set by: {}",
        era(year),
        names.join("; ")
    )
}

/// What the year hangs on.
fn looking_back(record: &GroupRecord) -> Vec<String> {
    let mut said = Vec::new();
    let closing = &record.closing;
    if let Some(without) = closing.without {
        let name = &record.group.pieces[without.piece].name;
        let left = without.not_before.map_or("no year".to_string(), era);
        if without.alone {
            said.push(format!(
                "That year hangs on one row, {name}, which stands alone late: without it the year would be {left}. A stray or a wrong identification would look like this; have that piece looked at first"
            ));
        } else if without.not_before != closing.not_before {
            said.push(format!("Without {name} the year would be {left}"));
        }
    }
    let own = record.by_themselves.not_before;
    if own != closing.not_before {
        let own = own.map_or("none".to_string(), era);
        said.push(format!(
            "Each piece taken by itself, without the company of the others, the year would be {own}"
        ));
    }
    said
}

fn missing(group: &Group, circumstances: &Circumstances) -> Vec<String> {
    let mut missing = Vec::new();
    let mut lacks = |held: bool, text: &str| {
        if !held {
            missing.push(text.to_string());
        }
    };
    lacks(
        circumstances.place.is_some(),
        "where it was found, as a grid reference",
    );
    lacks(circumstances.found.is_some(), "the day of finding");
    lacks(
        circumstances.depth.is_some(),
        "the depth of the pieces, and whether any lay below the plough",
    );
    lacks(
        circumstances.lay.is_some(),
        "how the pieces lay: which touched, in what order, spread over how much ground",
    );
    let container = group
        .pieces
        .iter()
        .any(|piece| piece.kind == Kind::Container);
    lacks(
        container,
        "whether there was a container, or a trace of one: sherds, cloth, a stain in the soil",
    );
    missing.extend(lacking(group));
    if circumstances.depth.is_some_and(|depth| depth > PLOUGHED) {
        missing.push(DEEP.to_string());
    }
    missing
}

/// What is said of a piece that lay deeper than the plough goes.
pub const DEEP: &str =
    "a look by an archaeologist: part of it lay deeper than the plough goes as a rule";

/// What nobody has said of the pieces themselves: weights, years.
pub fn lacking(group: &Group) -> Vec<String> {
    let mut missing = Vec::new();
    let unweighed = group.pieces.iter().filter(|piece| piece.weight.is_none());
    let unweighed: u64 = unweighed.map(|piece| u64::from(piece.count)).sum();
    if unweighed > 0 {
        missing.push(format!(
            "weights: {unweighed} of {} pieces have none, and a row of several wants one for each piece",
            group.count()
        ));
    }
    let undated = group.pieces.iter().filter(|piece| piece.dates.is_empty());
    let undated: u64 = undated.map(|piece| u64::from(piece.count)).sum();
    if undated > 0 {
        missing.push(format!(
            "years: {undated} of {} pieces have none; describe them, or say what they are",
            group.count()
        ));
    }
    missing
}
