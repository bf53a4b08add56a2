//! The comparison on a terminal, within eighty columns.
//!
//! What sets the types apart first; then the other differences, what is the same, what a find
//! says of each, and where it lies among their weights and sizes.
//!
//! Invariant: a letter (A, B, C) stands for the same type throughout, in the order given.

use std::io::{self, Write};

use super::super::report::{faint, remarks, strong};
use super::Asked;
use super::layout::{across, beside, hanging};
pub(super) use crate::drawn::letter;
use crate::explain::{
    Comparison, Entry, Feature, Row, TermRow, Verdict, Weighing, chance_in_figures, type_name,
};
use crate::find::Find;
use crate::score::{MeasureLaw, Witness};

/// Stands where two legends part.
pub(super) const PARTS: char = '▸';
/// Most entries of one list that are printed; JSON gives all.
const LISTED: usize = 12;
/// Cells of what was said of a find, and of each figure.
const SAID: usize = 38;
/// Differences, in nats, whose reasons are printed.
const REASONS_FROM: f64 = 0.05;

/// Prints the whole comparison.
pub(super) fn print(asked: &Asked<'_>, out: &mut dyn Write) -> io::Result<()> {
    let library = &asked.house.catalogue;
    let comparison = &asked.compared.comparison;
    for (place, coin) in comparison.types.iter().enumerate() {
        let coin = &library.types[*coin];
        let (name, years) = (type_name(coin, library), coin.span.text());
        let line = format!("{name}, {years} [{}]", coin.id);
        lines(&hanging(&letter(place).to_string(), &line, 0), out)?;
    }
    apart(comparison, out)?;
    let differ = |row: &&Row| row.verdict == Verdict::Differ && !row.seen;
    let rows = comparison.rows.iter();
    section(
        "Also different",
        &rows.clone().filter(differ).collect::<Vec<_>>(),
        out,
    )?;
    same(comparison, out)?;
    let silent =
        |row: &&Row| row.verdict == Verdict::NotSaid && row.cells.iter().any(Option::is_some);
    section(
        "Not known of all",
        &rows.filter(silent).collect::<Vec<_>>(),
        out,
    )?;
    if let (Some(weighing), Some(find)) = (&comparison.weighing, asked.find) {
        self::weighing(weighing, out)?;
        place(asked, find, out)?;
    }
    for (old, new) in asked.moved {
        let note = format!("{old} is now called {new}");
        writeln!(out)?;
        lines(&hanging("-", &note, 2), out)?;
    }
    remarks(asked.remarks, out)?;
    if let Some(file) = asked.picture {
        writeln!(out, "\nThe picture is in {}", file.display())?;
    }
    Ok(())
}

fn lines(lines: &[String], out: &mut dyn Write) -> io::Result<()> {
    lines.iter().try_for_each(|line| writeln!(out, "{line}"))
}

/// The library's own lines, and the differences that can be seen.
fn apart(comparison: &Comparison, out: &mut dyn Write) -> io::Result<()> {
    let seen: Vec<&Row> = comparison.rows.iter().filter(|row| row.seen).collect();
    writeln!(out, "\n{}", strong("What sets them apart"))?;
    for line in &comparison.apart {
        let (of, from) = (letter(line.of), letter(line.from));
        let text = format!("{of} rather than {from}: {}", line.by);
        lines(&hanging("-", &text, 2), out)?;
    }
    if seen.is_empty() {
        let nothing = match comparison.apart.is_empty() {
            true => "nothing that the library knows and a finder can see",
            false => "nothing else that a finder can see",
        };
        return lines(&hanging("-", nothing, 2), out);
    }
    rows(&seen, out)?;
    let entries = seen
        .iter()
        .flat_map(|row| row.cells.iter().flatten().flatten());
    let parted = entries
        .into_iter()
        .any(|entry| shown(entry).contains(PARTS));
    if parted {
        let note =
            format!("{PARTS} the first place where it parts from the nearest legend beside it");
        lines(&[faint(&format!("  {note}"))], out)?;
    }
    Ok(())
}

fn section(heading: &str, rows: &[&Row], out: &mut dyn Write) -> io::Result<()> {
    if rows.is_empty() {
        return Ok(());
    }
    writeln!(out, "\n{}", strong(heading))?;
    self::rows(rows, out)
}

/// Rows under the letters of the types.
fn rows(rows: &[&Row], out: &mut dyn Write) -> io::Result<()> {
    let count = rows.first().map_or(0, |row| row.cells.len());
    let heads: Vec<Vec<String>> = (0..count).map(|at| vec![letter(at).to_string()]).collect();
    for line in beside("", &heads) {
        writeln!(out, "{}", strong(&line))?;
    }
    for row in rows {
        let (mut label, count) = (row.feature.name(), row.cells.len());
        let shared = shared(row);
        if !shared.is_empty() {
            let all = format!("all: {}", listed(&shared));
            lines(&across(label, &all), out)?;
            label = "";
        }
        let cell = |own: usize| cell(row, own, count);
        lines(
            &beside(label, &(0..count).map(cell).collect::<Vec<_>>()),
            out,
        )?;
    }
    Ok(())
}

/// What all the types have.
fn shared(row: &Row) -> Vec<String> {
    let count = row.cells.len();
    let first = row.cells.iter().flatten().next();
    let all = first.into_iter().flatten();
    all.filter(|entry| entry.with.len() + 1 == count)
        .map(|entry| entry.text.clone())
        .collect()
}

/// What one type has and not all of the others, in paragraphs.
fn cell(row: &Row, own: usize, count: usize) -> Vec<String> {
    let Some(entries) = &row.cells[own] else {
        return vec!["not said".to_string()];
    };
    if entries.is_empty() {
        return vec![bare(row.feature).to_string()];
    }
    let own = entries.iter().filter(|e| e.with.len() + 1 < count);
    let own: Vec<&Entry> = own.collect();
    if own.is_empty() {
        return vec!["nothing else".to_string()];
    }
    // A single word beside single words shows by itself which are alike; a list is parted into
    // what a type has alone and what it has with one of the others.
    if entries.len() == 1 || matches!(row.feature, Feature::Weight | Feature::Standards) {
        return own.into_iter().map(shown).collect();
    }
    let alone = own.iter().filter(|entry| entry.with.is_empty());
    let mut groups = vec![(String::new(), alone.map(|entry| shown(entry)).collect())];
    for other in 0..count {
        let both = own.iter().filter(|entry| entry.with == [other]);
        let both: Vec<String> = both.map(|entry| shown(entry)).collect();
        groups.push((format!("with {}: ", letter(other)), both));
    }
    let told = groups.into_iter().filter(|group| !group.1.is_empty());
    told.flat_map(|(with, texts)| paragraphs(row.feature, &with, &texts))
        .collect()
}

/// A group of a list in paragraphs: each legend its own, anything else in one.
fn paragraphs(feature: Feature, with: &str, texts: &[String]) -> Vec<String> {
    if !matches!(feature, Feature::ObverseLegends | Feature::ReverseLegends) {
        return vec![format!("{with}{}", listed(texts))];
    }
    let more = texts.len().saturating_sub(LISTED);
    let kept = texts
        .iter()
        .take(LISTED)
        .map(|text| format!("{with}{text}"));
    let more = (more > 0).then(|| format!("and {more} more"));
    kept.chain(more).collect()
}

/// What is said of a face or a list on which nothing stands.
fn bare(feature: Feature) -> &'static str {
    match feature {
        Feature::ObverseLegends | Feature::ReverseLegends => "no letters",
        Feature::ObverseMotifs | Feature::ReverseMotifs => "blank",
        _ => "none of these",
    }
}

fn listed(texts: &[String]) -> String {
    let more = texts.len().saturating_sub(LISTED);
    let mut text = texts
        .iter()
        .take(LISTED)
        .cloned()
        .collect::<Vec<_>>()
        .join(", ");
    if more > 0 {
        text.push_str(&format!(" and {more} more"));
    }
    text
}

/// An entry with the place where it parts from others; none is marked in one that shares nothing
/// with them.
fn shown(entry: &Entry) -> String {
    let mut text: String = entry.text.clone();
    let parts = entry.parts_at.and_then(|at| {
        let (at, _) = text.char_indices().nth(at).unwrap_or((text.len(), ' '));
        let along = text[..at].chars().any(char::is_alphanumeric);
        along.then_some(at)
    });
    if let Some(at) = parts {
        text.insert(at, PARTS);
    }
    text
}

fn letters(places: &[usize]) -> String {
    let letters: Vec<String> = places.iter().map(|at| letter(*at).to_string()).collect();
    letters.join(", ")
}

fn same(comparison: &Comparison, out: &mut dyn Write) -> io::Result<()> {
    let same = |row: &&Row| row.verdict == Verdict::Same;
    let rows: Vec<&Row> = comparison.rows.iter().filter(same).collect();
    if rows.is_empty() {
        return Ok(());
    }
    writeln!(out, "\n{}", strong("The same"))?;
    for row in rows {
        let texts = shared(row);
        // Habits that none has are no news.
        if !texts.is_empty() {
            lines(&across(row.feature.name(), &listed(&texts)), out)?;
        }
    }
    Ok(())
}

/// What of a find speaks for which.
fn weighing(weighing: &Weighing, out: &mut dyn Write) -> io::Result<()> {
    writeln!(out, "\n{}", strong("What of the find speaks for which"))?;
    let units = "(nats over \"not in the library\"; what tells most first)";
    writeln!(out, "  {}", faint(units))?;
    let heads = (0..weighing.totals.len()).map(|at| format!("{:>7}", letter(at)));
    let heads: String = heads.collect();
    writeln!(out, "  {:SAID$}{}", "", strong(&heads))?;
    weighing
        .terms
        .iter()
        .try_for_each(|term| self::term(term, out))?;
    let figures = |label: &str, figures: Vec<String>| {
        let figures: String = figures
            .iter()
            .map(|figure| format!("{figure:>7}"))
            .collect();
        format!("  {label:<SAID$}{figures}")
    };
    let totals = weighing.totals.iter().map(|total| format!("{total:+.1}"));
    writeln!(out, "{}", figures("in all", totals.collect()))?;
    let chances = weighing.chances.iter().enumerate();
    let chances = chances.map(|(at, p)| format!("{} {}", letter(at), chance_in_figures(*p)));
    let chances: Vec<String> = chances.collect();
    let line = format!(
        "  chance, if it is one of just these: {}",
        chances.join(", ")
    );
    writeln!(out, "{}", strong(&line))
}

fn term(term: &TermRow, out: &mut dyn Write) -> io::Result<()> {
    let tells = term.difference >= REASONS_FROM;
    let figure = |nats: &Option<f64>| match nats {
        Some(nats) => format!("{nats:>+7.1}"),
        None => format!("{:>7}", "-"),
    };
    let figures: String = term.nats.iter().map(figure).collect();
    let verdict = match tells {
        true => format!("   {} by {:.1}", letters(&term.speaks_for), term.lead),
        false => String::new(),
    };
    let said = super::layout::wrap(&term.said, SAID - 1);
    let line = |at: usize, said: &String| match at {
        0 => format!("  {said:<SAID$}{figures}{verdict}"),
        _ => format!("  {said}"),
    };
    let said: Vec<String> = said
        .iter()
        .enumerate()
        .map(|(at, said)| line(at, said))
        .collect();
    lines(&said, out)?;
    // Wherever the types are told apart it is said why; one sentence for those of which it is the same.
    let mut told: Vec<(&str, Vec<usize>)> = Vec::new();
    let silent = "says nothing of it";
    for (place, why) in term.why.iter().enumerate().filter(|_| tells) {
        let why = why.as_deref().unwrap_or(silent);
        match told.iter_mut().find(|(known, _)| *known == why) {
            Some((_, places)) => places.push(place),
            None => told.push((why, vec![place])),
        }
    }
    for (why, places) in told {
        let why = if term.witness == Some(Witness::Measures) {
            why.to_string()
        } else {
            why.replacen("beforehand: ", "", 1)
        };
        lines(&hanging(&format!("{}:", letters(&places)), &why, 6), out)?;
    }
    Ok(())
}

/// Where a find lies among the weights and sizes of each type.
fn place(asked: &Asked<'_>, find: &Find, out: &mut dyn Write) -> io::Result<()> {
    let compared = asked.compared;
    let places: Vec<(String, String)> = (0..compared.struck.len())
        .filter_map(|at| {
            Some((
                within(&compared.struck[at], find)?,
                within(&compared.found[at], find)?,
            ))
        })
        .collect();
    if places.len() < compared.struck.len() {
        return Ok(());
    }
    writeln!(out, "\n{}", strong("Its weight and size among theirs"))?;
    for (at, (struck, found)) in places.iter().enumerate() {
        let line = format!("{found} as such pieces are found, {struck} as struck");
        lines(&hanging(&letter(at).to_string(), &line, 2), out)?;
    }
    Ok(())
}

/// In which of the regions of a law a find lies; none where it lacks a measure that the law has.
fn within(law: &MeasureLaw, find: &Find) -> Option<String> {
    let grams = find.weight.map(|w| w.value.get());
    let millimetres = find.diameter.map(|d| d.value.get());
    let lacks = law.weighed() && grams.is_none() || law.measured() && millimetres.is_none();
    if lacks || !(law.weighed() || law.measured()) {
        return None;
    }
    let at = |region| law.holds(region, grams.unwrap_or(1.0), millimetres.unwrap_or(1.0));
    let regions = law.regions(&[0.5, 0.9]);
    Some(match regions.iter().position(at) {
        Some(0) => "within the likeliest half".to_string(),
        Some(_) => "within the likeliest nine tenths".to_string(),
        None => "beyond the likeliest nine tenths".to_string(),
    })
}
