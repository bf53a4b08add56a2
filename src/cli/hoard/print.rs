//! The group on a terminal: what to do first, then what it is, then the figures behind it.
//!
//! Adds no figure and no law of its own.
//!
//! Invariant: what is to be left undone in the ground stands before everything else.

use std::io::{self, Write};
use std::path::Path;

use super::super::compare::layout::{WIDTH, hanging, wrap};
use super::super::error::Trouble;
use super::super::report::{faint, strong, wrapped_list};
use super::{Answered, gather, roman};
use crate::find::Span;
use crate::hoard::{GroupRecord, Parts};

/// Rows and names shown; all of them stand in the JSON.
const SHOWN: usize = 12;
/// Cells of the widest bar.
const BAR: usize = 24;
/// Rows of the picture of dates.
const STEPS: usize = 20;

/// Prints the group.
pub(super) fn group(
    answered: &Answered<'_>,
    picture: Option<&Path>,
    out: &mut dyn Write,
) -> Result<(), Trouble> {
    let record = &answered.record;
    let cautions = record.cautions.iter().map(|care| care.says.to_string());
    wrapped_list("First of all", cautions.collect(), out)?;
    for line in wrap(&record.title, WIDTH) {
        writeln!(out, "{}", strong(&line))?;
    }
    writeln!(out)?;
    wrapped_list("In short", record.summary.clone(), out)?;
    answered.judged.print_short(out)?;
    pieces(record, out)?;
    made_up(answered, out)?;
    dates(record, out)?;
    standing_out(record, out)?;
    wrapped_list("What a record still wants", record.missing.clone(), out)?;
    wrapped_list("Notes on what you said", answered.remarks.clone(), out)?;
    if let Some(file) = picture {
        writeln!(out, "Picture: {}\n", file.display())?;
    }
    let last = "Years are those of making. The law: lynchet treasure --rules; the coroner decides.";
    for line in wrap(last, WIDTH) {
        writeln!(out, "{}", faint(&line))?;
    }
    Ok(())
}

/// "260-268", or the range of several spans.
fn years(dates: &[(Span, f64)]) -> String {
    let spans = dates
        .iter()
        .filter(|(_, p)| *p >= 0.05)
        .map(|(span, _)| *span);
    let hull = spans.reduce(Span::hull);
    hull.map_or("no years".to_string(), Span::text)
}

fn pieces(record: &GroupRecord, out: &mut dyn Write) -> io::Result<()> {
    let rows = record.group.pieces.iter().zip(&record.read);
    let mut texts: Vec<String> = rows
        .take(SHOWN)
        .map(|(piece, read)| {
            let (name, count, years) = (&piece.name, piece.count, years(read));
            format!("{name}: {count}; {}; {years}", gather::taken_as(piece))
        })
        .collect();
    let more = record.group.pieces.len().saturating_sub(SHOWN);
    if more > 0 {
        texts.push(format!(
            "and {more} rows more: see them all with --form csv"
        ));
    }
    wrapped_list("The pieces, and what each was taken as", texts, out)
}

fn made_up(answered: &Answered<'_>, out: &mut dyn Write) -> io::Result<()> {
    let record = &answered.record;
    let made = &record.composition;
    let levels = [
        ("Period", &made.period),
        ("Ruler", &made.ruler),
        ("Denomination", &made.denomination),
        ("Metal", &made.metal),
    ];
    if levels.iter().all(|(_, parts)| parts.parts.is_empty()) {
        return Ok(());
    }
    writeln!(out, "{}", strong("Made up of (to be expected; 80 in 100)"))?;
    for (name, parts) in levels {
        level(name, parts, out)?;
    }
    let roman = roman::periods(record, answered.house);
    if !roman.is_empty() {
        let named = roman.iter().map(|(name, n)| format!("{name} {n:.1}"));
        let named: Vec<String> = named.collect();
        let text = format!(
            "by issue period, each piece even over its years: {}",
            named.join("; ")
        );
        for line in hanging("-", &text, 2) {
            writeln!(out, "{line}")?;
        }
    }
    writeln!(out)
}

fn level(name: &str, parts: &Parts, out: &mut dyn Write) -> io::Result<()> {
    let mut texts: Vec<String> = parts
        .parts
        .iter()
        .take(SHOWN)
        .map(|part| match part.range {
            (low, high) if low == high => format!("{} {low}", part.name),
            (low, high) => format!("{} {:.1} ({low}-{high})", part.name, part.expected),
        })
        .collect();
    let rest: f64 = parts
        .parts
        .iter()
        .skip(SHOWN)
        .map(|part| part.expected)
        .sum();
    let mut apart = |what: &str, number: f64| {
        if number >= 0.05 {
            texts.push(format!("{what} {number:.1}"));
        }
    };
    apart("others", rest);
    apart("not in the library", parts.unlisted);
    apart("not known", parts.unknown);
    for line in hanging("-", &format!("{name}: {}", texts.join("; ")), 2) {
        writeln!(out, "{line}")?;
    }
    Ok(())
}

/// The aoristic sum and the shared law, step by step.
fn dates(record: &GroupRecord, out: &mut dyn Write) -> io::Result<()> {
    let (Some(sum), Some(law)) = (&record.aoristic, &record.law) else {
        return Ok(());
    };
    let heading = "Made when (pieces to be expected: █ each by itself, ░ read together)";
    writeln!(out, "{}", strong(heading))?;
    let number: f64 = sum.expected.iter().sum();
    let (begin, end) = sum.main_stretch();
    let step = (end + 1 - begin).div_ceil(STEPS);
    let row = |from: usize, to: usize| {
        let add = |steps: &[f64]| steps[from..to].iter().sum::<f64>();
        (add(&sum.expected), add(&law.density) * number)
    };
    let firsts = (begin..=end).step_by(step);
    let rows: Vec<(Span, (f64, f64))> = firsts
        .map(|from| {
            let to = (from + step).min(end + 1);
            let span = sum.axis.span(from).hull(sum.axis.span(to - 1));
            (span, row(from, to))
        })
        .collect();
    let highest = rows.iter().map(|(_, row)| row.0.max(row.1));
    let most = highest.fold(f64::MIN_POSITIVE, f64::max);
    for (span, (alone, together)) in rows {
        let (bar, years) = (bar(alone / most, together / most), span.text());
        writeln!(out, "  {years:<18} {bar} {alone:>7.1} {together:>7.1}")?;
    }
    let beyond = [
        ("before", row(0, begin)),
        ("after", row(end + 1, sum.axis.bins)),
    ];
    for (side, (alone, together)) in beyond {
        if alone.max(together) >= 0.05 {
            writeln!(out, "  {side:<18} {:BAR$} {alone:>7.1} {together:>7.1}", "")?;
        }
    }
    if sum.outside + sum.undated >= 0.05 {
        let (outside, undated) = (sum.outside, sum.undated);
        writeln!(
            out,
            "  far outside {outside:.1}, of no known year {undated:.1}"
        )?;
    }
    writeln!(out)
}

fn bar(alone: f64, together: f64) -> String {
    let cells = |share: f64| ((share * BAR as f64).round() as usize).min(BAR);
    let cell = |at: usize| match (at < cells(alone), at < cells(together)) {
        (true, _) => '█',
        (false, true) => '░',
        _ => ' ',
    };
    (0..BAR).map(cell).collect()
}

fn standing_out(record: &GroupRecord, out: &mut dyn Write) -> io::Result<()> {
    let texts = record.unusual.iter().map(|one| one.text.clone());
    let mut texts: Vec<String> = texts.take(SHOWN).collect();
    let more = record.unusual.len().saturating_sub(SHOWN);
    if more > 0 {
        texts.push(format!("and {more} more: see them with --json"));
    }
    if record.tested > 0 && !texts.is_empty() {
        texts.push(format!(
            "of {} rows held against the others in time, {:.2} would stand out by chance alone",
            record.tested, record.by_chance
        ));
    }
    wrapped_list("What stands out", texts, out)
}
