//! The answer on a terminal: what it is, how sure, when, why, what else.
//!
//! Colour only on a terminal and never when `NO_COLOR` is set.

use std::io::{self, IsTerminal, Write};

use super::compare::layout::hanging;
use super::looks::Ahead;
use crate::explain::{Reason, chance_in_figures, type_name};
use crate::find::era;
use crate::parse::{Remark, RemarkKind};
use crate::score::{DateCurve, Level, Share, words_of_confidence};
use crate::{House, Identification};

/// Cells of a probability bar.
const BAR: usize = 16;
/// Cells of the date curve.
const CURVE: usize = 48;

/// A chance in figures, as wide as the widest.
pub(super) fn in_column(p: f64) -> String {
    format!("{:>10}", chance_in_figures(p))
}

fn colour() -> bool {
    io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none()
}

pub(super) fn strong(text: &str) -> String {
    if colour() {
        format!("\x1b[1m{text}\x1b[0m")
    } else {
        text.to_string()
    }
}

pub(super) fn faint(text: &str) -> String {
    if colour() {
        format!("\x1b[2m{text}\x1b[0m")
    } else {
        text.to_string()
    }
}

/// A heading with texts under it, each behind a dash; nothing where there are none.
pub(super) fn wrapped_list(
    heading: &str,
    texts: Vec<String>,
    out: &mut dyn Write,
) -> io::Result<()> {
    if texts.is_empty() {
        return Ok(());
    }
    writeln!(out, "{}", strong(heading))?;
    for text in texts {
        for line in hanging("-", &text, 2) {
            writeln!(out, "{line}")?;
        }
    }
    writeln!(out)
}

/// A bar of eighths of cells.
pub(super) fn bar(p: f64) -> String {
    const EIGHTHS: [&str; 8] = ["", "▏", "▎", "▍", "▌", "▋", "▊", "▉"];
    let eighths = (p.clamp(0.0, 1.0) * BAR as f64 * 8.0).round() as usize;
    let drawn = "█".repeat(eighths / 8) + EIGHTHS[eighths % 8];
    let width = drawn.chars().count();
    drawn + &"·".repeat(BAR - width)
}

/// The answer as a sentence of its own.
pub(super) fn headline(said: &Identification, out: &mut dyn Write) -> io::Result<()> {
    let mut sentence = said.text.clone();
    if let Some(first) = sentence.get(..1) {
        let first = first.to_uppercase();
        sentence.replace_range(..1, &first);
    }
    writeln!(out, "{}", strong(&sentence))
}

/// Prints the whole answer.
pub(super) fn identification(
    said: &Identification,
    ahead: &Ahead,
    remarks: &[Remark],
    house: &House,
    top: usize,
    out: &mut dyn Write,
) -> io::Result<()> {
    headline(said, out)?;
    let words = words_of_confidence(said.answer.p);
    let chance = chance_in_figures(said.answer.p);
    if words == "open" {
        writeln!(out, "{chance}: open; the candidates are below")?;
    } else {
        writeln!(out, "{chance}: {words}")?;
    }
    types(said, house, top, out)?;
    levels(said, house, top, out)?;
    if let Some(date) = &said.date {
        dates(date, out)?;
    }
    reasons(said, house, out)?;
    if (said.flat.0.level, &said.flat.1) != (said.answer.level, &said.text) {
        writeln!(
            out,
            "\nWith every type equally likely beforehand: {} ({})",
            said.flat.1,
            chance_in_figures(said.flat.0.p)
        )?;
    }
    if !ahead.looks.is_empty() {
        writeln!(out, "\n{}", strong("What to look at next"))?;
        ahead.print(house, out)?;
    }
    list("What sets the leaders apart", &said.explanation.apart, out)?;
    list("From your own finds", &said.explanation.taught, out)?;
    list("Taken for granted", &said.explanation.assumed, out)?;
    self::remarks(remarks, out)
}

/// Prints what could not be used of a find's words, and how the others were taken.
pub(super) fn remarks(remarks: &[Remark], out: &mut dyn Write) -> io::Result<()> {
    let (unused, noted): (Vec<&Remark>, Vec<&Remark>) = remarks
        .iter()
        .partition(|r| matches!(r.kind, RemarkKind::NotUnderstood | RemarkKind::Impossible));
    let lines = |remarks: Vec<&Remark>| remarks.iter().map(|r| r.to_string()).collect::<Vec<_>>();
    list("Could not be used", &lines(unused), out)?;
    list("Notes on what you said", &lines(noted), out)
}

fn list(heading: &str, lines: &[String], out: &mut dyn Write) -> io::Result<()> {
    if lines.is_empty() {
        return Ok(());
    }
    writeln!(out, "\n{}", strong(heading))?;
    lines
        .iter()
        .try_for_each(|line| writeln!(out, "  - {line}"))
}

fn types(said: &Identification, house: &House, top: usize, out: &mut dyn Write) -> io::Result<()> {
    writeln!(out, "\n{}", strong("Types"))?;
    for judged in said.ranking.judged.iter().take(top) {
        let coin = &house.catalogue.types[judged.coin];
        let p = judged.probability;
        let (bar, id) = (bar(p), faint(&format!("[{}]", coin.id)));
        writeln!(
            out,
            "  {} {bar}  {}, {} {id}",
            in_column(p),
            type_name(coin, &house.catalogue),
            coin.span.text()
        )?;
    }
    writeln!(
        out,
        "  {} {}  not in the library",
        in_column(said.ranking.unlisted),
        bar(said.ranking.unlisted)
    )?;
    match said.likely.len() {
        0 | 1 => Ok(()),
        count => writeln!(
            out,
            "  {}",
            faint(&format!(
                "if the library has it, it is one of the first {count}: so it was for nine in ten finds of known type"
            ))
        ),
    }
}

fn levels(said: &Identification, house: &House, top: usize, out: &mut dyn Write) -> io::Result<()> {
    let library = &house.catalogue;
    let shares = &said.shares;
    let mut line = |heading: &str, shares: &[Share], name: &dyn Fn(usize) -> String| {
        let named: Vec<String> = shares
            .iter()
            .take(top)
            .filter(|share| share.p >= 0.005)
            .map(|share| {
                format!(
                    "{} {}",
                    share.of.map_or("none named".to_string(), name),
                    chance_in_figures(share.p)
                )
            })
            .collect();
        writeln!(out, "{heading:<14} {}", named.join("  |  "))
    };
    line("\nRuler", &shares.ruler, &|i| {
        library.rulers[i].name.clone()
    })?;
    line("Denomination", &shares.denomination, &|i| {
        library.denominations[i].name.clone()
    })?;
    line("Series", &shares.series, &|i| {
        library.series[i].name.clone()
    })?;
    line("Period", &shares.period, &|i| {
        library.periods[i].name.clone()
    })
}

fn dates(date: &DateCurve, out: &mut dyn Write) -> io::Result<()> {
    let ranges = date.ranges();
    writeln!(
        out,
        "Date           about {}; half the chance {}, 80 in 100 {}, 95 in 100 {}",
        era(date.median()),
        ranges.p50.text(),
        ranges.p80.text(),
        ranges.p95.text()
    )?;
    let (first, cells) = curve(date);
    writeln!(
        out,
        "               {} {cells} {}",
        era(first.0),
        era(first.1)
    )
}

/// The density of the central years, drawn in cells; gives the years at its ends.
fn curve(date: &DateCurve) -> ((i32, i32), String) {
    const LEVELS: [char; 9] = [' ', '▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];
    let (first, last) = crate::score::densest(&date.density, 0.99);
    let years = last - first + 1;
    let cells = years.min(CURVE);
    let mass = |cell: usize| {
        let (from, to) = (
            first + cell * years / cells,
            first + (cell + 1) * years / cells,
        );
        date.density[from..to.max(from + 1)].iter().sum::<f64>() / (to.max(from + 1) - from) as f64
    };
    let heights: Vec<f64> = (0..cells).map(mass).collect();
    let highest = heights.iter().copied().fold(0.0, f64::max);
    let drawn = heights
        .iter()
        .map(|h| {
            let level = (h / highest * 8.0).round() as usize;
            // A year that is possible at all shows.
            LEVELS[if *h > 0.0 { level.max(1) } else { 0 }]
        })
        .collect();
    ((date.year(first), date.year(last)), drawn)
}

fn reasons(said: &Identification, house: &House, out: &mut dyn Write) -> io::Result<()> {
    let account = &said.explanation;
    let Some(of) = account.of else { return Ok(()) };
    let name = |position: usize| type_name(&house.catalogue.types[position], &house.catalogue);
    let heading = match said.answer.level {
        Level::Unlisted => format!(
            "The nearest the library has is {}; what speaks for it",
            name(of)
        ),
        _ => format!("What speaks for {}", name(of)),
    };
    writeln!(out, "\n{}", strong(&heading))?;
    if let Some(second) = account.runner_up {
        let columns = format!(
            "(nats over \"not in the library\"; then over {})",
            name(second)
        );
        writeln!(out, "  {}", faint(&columns))?;
    }
    let print = |reason: &Reason, out: &mut dyn Write| {
        let over = reason
            .over_runner_up
            .map_or(String::new(), |n| format!(" {n:+5.1}"));
        writeln!(out, "  {:+5.1}{over}  {}", reason.nats, reason.text)
    };
    let (prior, terms): (Vec<&Reason>, Vec<&Reason>) =
        account.reasons.iter().partition(|r| r.witness.is_none());
    let (against, supporting): (Vec<&Reason>, Vec<&Reason>) =
        terms.into_iter().partition(|r| r.nats < 0.0);
    supporting
        .iter()
        .try_for_each(|reason| print(reason, out))?;
    if !against.is_empty() {
        writeln!(out, "{}", strong("What speaks against it"))?;
        against
            .iter()
            .rev()
            .try_for_each(|reason| print(reason, out))?;
    }
    writeln!(out, "{}", strong("In all"))?;
    prior.iter().try_for_each(|reason| print(reason, out))?;
    match said.ranking.judged.iter().find(|j| j.coin == of) {
        Some(judged) => writeln!(out, "  {:+5.1}  with what was seen", judged.total),
        None => Ok(()),
    }
}
