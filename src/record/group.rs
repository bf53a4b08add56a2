//! The draft of a group: several pieces of one hole as one record.
//!
//! Puts what the hoard room made of the pieces, what was told of the place and what the law may
//! ask into fields, in the order in which reports of hoards go (common practice, no single
//! source). Reckons nothing: years, counts and rules come from the rooms that make them.
//!
//! Invariant: every row of the group stands in the draft or is counted as left out, and a row that
//! was identified says so with its chance.

use super::cautions;
use super::circumstances::Circumstances;
use super::draft::{Draft, Kind, Missing, Standing};
use super::missing;
use super::periods;
use super::sentence;
use super::sheet::Sheet;
use super::told;
use crate::explain::how_sure;
use crate::find::{Span, era};
use crate::hoard::{self, DEEP, GroupRecord, PLOUGHED, Parts, Piece};
use crate::treasure::{CalendarDay, Facts, judge};

/// Rows of the group that a draft lists; the rest are counted, and stand in the table of `hoard`.
const ROWS_LISTED: usize = 200;
/// Names of a level, and pieces that stand out, that are listed.
const LISTED: usize = 12;
/// Chance of a span below which it is left out of the span of the pieces.
const FAINT: f64 = 0.05;
/// Ranges of counts and of the closing year hold so much.
const RANGE: f64 = 0.80;
/// The words of that, within a value.
const RANGE_WORDS: &str = "80 in 100";

/// What the draft of a group is made of.
#[derive(Clone, Copy, Debug)]
pub struct GroupBasis<'a> {
    /// The group, read together.
    pub record: &'a GroupRecord,
    /// What the law is told of it; the country may be left to the findspot.
    pub facts: &'a Facts,
    /// Where, when and how it was found, and how it lay.
    pub circumstances: &'a Circumstances,
    /// What of the rows could not be used.
    pub remarks: &'a [String],
}

/// Makes the draft of a group.
pub fn draft_group(basis: &GroupBasis<'_>, today: CalendarDay) -> Draft {
    let GroupBasis {
        record,
        circumstances,
        ..
    } = *basis;
    let mut sheet = Sheet::default();
    told::fill(circumstances, Kind::Group, &mut sheet);
    what(record, &mut sheet);
    let years = dates(record, &mut sheet);
    levels(record, &mut sheet);
    pieces(record, &mut sheet);
    sheet.put("not_used", basis.remarks.join("; "), Standing::Told(None));
    let findspot = circumstances.findspot;
    let facts = Facts {
        country: basis.facts.country.or(cautions::country(findspot)),
        ..basis.facts.clone()
    };
    let mut missing = missing::of(Kind::Group, &sheet, findspot, &[]);
    missing.extend(lacking(record, circumstances));
    Draft {
        kind: Kind::Group,
        sentence: sentence::of(Kind::Group, &sheet),
        missing,
        cautions: cautions::of_group(&judge(&facts, today), findspot.is_some()),
        notes: notes(record),
        years,
        findspot,
        fields: sheet.in_order(Kind::Group),
    }
}

/// The summary, and what stands out.
fn notes(record: &GroupRecord) -> Vec<String> {
    let mut notes = record.summary.clone();
    let unusual = record.unusual.iter().take(LISTED);
    notes.extend(unusual.map(|one| format!("stands out: {}", one.text)));
    let more = record.unusual.len().saturating_sub(LISTED);
    if more > 0 {
        notes.push(format!("{more} more stand out: see lynchet hoard"));
    }
    notes
}

fn lacking(record: &GroupRecord, circumstances: &Circumstances) -> Vec<Missing> {
    let deep = circumstances.depth.is_some_and(|depth| depth > PLOUGHED);
    let deep = deep.then(|| DEEP.to_string());
    let texts = hoard::lacking(&record.group).into_iter().chain(deep);
    texts.map(|text| Missing { name: "look", text }).collect()
}

/// True where a person said the years of every piece that has any, and each has one span.
fn all_told(record: &GroupRecord) -> bool {
    let pieces = record.group.pieces.iter();
    let mut dated = pieces.filter(|piece| !piece.dates.is_empty());
    dated.all(|piece| piece.told && piece.dates.len() == 1)
}

/// What it is, how many, of what kinds, in what.
fn what(record: &GroupRecord, sheet: &mut Sheet) {
    let told = Standing::Told(None);
    sheet.put("object_type", "group of finds", told.clone());
    sheet.put("count", record.count.to_string(), told.clone());
    let kinds = record.composition.kinds.iter();
    let kinds: Vec<String> = kinds
        .map(|(kind, count)| match count {
            1 => format!("1 {kind}"),
            count => format!("{count} {kind}s"),
        })
        .collect();
    sheet.put("kinds", kinds.join(", "), told.clone());
    let held = record.group.pieces.iter();
    let held = held.filter(|piece| piece.kind == hoard::Kind::Container);
    let held: Vec<&str> = held.map(|piece| piece.name.as_str()).collect();
    sheet.put("container", held.join("; "), told);
}

/// The span of the pieces, and the year before which it was not closed.
fn dates(record: &GroupRecord, sheet: &mut Sheet) -> Option<Span> {
    let kept = |dates: &[(Span, f64)]| {
        let dates = dates.iter().filter(|(_, chance)| *chance >= FAINT);
        dates.copied().collect::<Vec<_>>()
    };
    let rows: Vec<Vec<(Span, f64)>> = record.read.iter().map(|dates| kept(dates)).collect();
    // What has no years at all, such as a pot, says nothing of the span of the others.
    let undated = rows.iter().filter(|dates| dates.is_empty()).count();
    let spans = rows.iter().flatten().map(|(span, _)| *span);
    let hull = spans.reduce(Span::hull)?;
    // Rows are right or wrong independently of one another.
    let dated = rows.iter().filter(|dates| !dates.is_empty());
    let sums = dated.map(|dates| dates.iter().map(|one| one.1).sum());
    let within: f64 = sums.map(|sum: f64| sum.min(1.0)).product();
    let told = all_told(record);
    let value = match undated {
        0 => hull.text(),
        _ => format!("{} (of those that have years)", hull.text()),
    };
    let standing = match (told, within >= 0.5) {
        (true, _) => Standing::Told(None),
        (false, true) => Standing::Inferred(within),
        (false, false) => Standing::Open,
    };
    sheet.put("date", value, standing);
    closed(record, told, sheet);
    (told || within >= 0.5).then_some(hull)
}

/// The terminus post quem, with the range that holds four in five of the chance.
fn closed(record: &GroupRecord, told: bool, sheet: &mut Sheet) {
    let closing = &record.closing;
    let Some(year) = closing.not_before else {
        return;
    };
    let (value, standing) = match (closing.earliest, closing.latest) {
        (Some(from), Some(to)) if from == to && told => (era(year), Standing::Told(None)),
        (Some(from), Some(to)) if from == to => (era(year), Standing::Inferred(RANGE)),
        (Some(from), Some(to)) => (
            format!(
                "{} ({RANGE_WORDS}: {} to {})",
                era(year),
                era(from),
                era(to)
            ),
            Standing::Inferred(RANGE),
        ),
        _ => (era(year), Standing::Open),
    };
    sheet.put("closed", value, standing);
}

/// Periods, rulers, denominations and metals, each with its number.
fn levels(record: &GroupRecord, sheet: &mut Sheet) {
    let made = &record.composition;
    let levels = [
        ("material", &made.metal),
        ("period", &made.period),
        ("rulers", &made.ruler),
        ("denominations", &made.denomination),
    ];
    for (name, parts) in levels {
        let (value, ranged) = level(parts);
        let standing = match ranged {
            true => Standing::Inferred(RANGE),
            false => Standing::Told(None),
        };
        sheet.put(name, value, standing);
    }
    if let Some(span) = made_in(record) {
        let periods = periods::of_years(span);
        if let Some(field) = sheet.get_mut("period") {
            field.ids = periods.iter().map(|period| period.uri()).collect();
        }
    }
}

/// The span whose periods are named, where it is carried.
fn made_in(record: &GroupRecord) -> Option<Span> {
    let spans = record.group.pieces.iter().filter_map(Piece::hull);
    spans.reduce(Span::hull)
}

/// A level in words, and whether any of its numbers is a range.
fn level(parts: &Parts) -> (String, bool) {
    if parts.parts.is_empty() {
        return (String::new(), false);
    }
    let mut ranged = false;
    let mut texts: Vec<String> = parts
        .parts
        .iter()
        .take(LISTED)
        .map(|part| {
            let (low, high) = part.range;
            ranged |= low != high;
            match low == high {
                true => format!("{} {low}", part.name),
                false => format!("{} {low} to {high}", part.name),
            }
        })
        .collect();
    let more = parts.parts.len().saturating_sub(LISTED);
    if more > 0 {
        texts.push(format!("{more} more"));
    }
    let mut apart = |what: &str, number: f64| {
        if number >= 0.5 {
            texts.push(format!("{what} about {number:.0}"));
        }
    };
    apart("not in the library", parts.unlisted);
    apart("not known", parts.unknown);
    (texts.join("; "), ranged)
}

/// The rows one by one, what stands out, what was weighed.
fn pieces(record: &GroupRecord, sheet: &mut Sheet) {
    let rows = record.group.pieces.iter().zip(&record.read);
    let mut texts: Vec<String> = rows
        .take(ROWS_LISTED)
        .map(|(piece, read)| row(piece, read))
        .collect();
    let more = record.group.pieces.len().saturating_sub(ROWS_LISTED);
    if more > 0 {
        texts.push(format!(
            "{more} rows more: see lynchet hoard with --form csv"
        ));
    }
    sheet.put("pieces", texts.join("; "), Standing::Told(None));
    weighed(record, sheet);
}

/// A row: how many, in the finder's words, what it was taken as where that was worked out, years.
fn row(piece: &Piece, read: &[(Span, f64)]) -> String {
    let mut text = match piece.count {
        1 => piece.name.clone(),
        count if piece.name.starts_with(&count.to_string()) => piece.name.clone(),
        count => format!("{count} of: {}", piece.name),
    };
    if let Some((answer, chance)) = &piece.answer {
        text.push_str(&format!(", taken as {answer}, {}", how_sure(*chance)));
    }
    let spans = read.iter().filter(|(_, chance)| *chance >= FAINT);
    if let Some(hull) = spans.map(|(span, _)| *span).reduce(Span::hull) {
        text.push_str(&format!(" [{}]", hull.text()));
    }
    if let Some(weight) = piece.weight {
        text.push_str(&format!(", {weight} g"));
    }
    text
}

/// What was weighed: how many pieces and how much, since a part would be taken for the whole.
fn weighed(record: &GroupRecord, sheet: &mut Sheet) {
    let of_one = record.group.pieces.iter().filter(|piece| piece.count == 1);
    let weights: Vec<f64> = of_one.filter_map(|piece| piece.weight).collect();
    if weights.is_empty() {
        return;
    }
    let whole: f64 = weights.iter().sum();
    let value = format!(
        "{} of {} pieces, together {whole:.2} g",
        weights.len(),
        record.count
    );
    sheet.put("weighed", value, Standing::Measured);
}
