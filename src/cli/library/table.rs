//! `catalogue table`: a table that dates by itself, or the entries that hold some words.
//!
//! Prints what the library holds, sources and grade with it; reckons nothing.
//!
//! Invariant: entries stand in the order of their file, and all words are in one entry.

use std::io::Write;

use serde::Serialize;

use super::super::Outcome;
use super::super::error::Trouble;
use super::{grade, print_json};
use crate::House;
use crate::catalogue::Entry;

/// An entry as it is shown.
#[derive(Serialize)]
struct EntryView<'e> {
    id: &'e str,
    seen: &'e [String],
    of: &'e str,
    when: &'e str,
    more: &'e [String],
    grade: &'static str,
    sources: &'e [String],
}

/// Prints the entries of a table, or names the tables there are.
pub(super) fn run(
    name: Option<&str>,
    words: &[String],
    json: bool,
    house: &House,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let entries = &house.catalogue.entries;
    let names = names(entries);
    let Some(name) = name else {
        return list(&names, entries, out);
    };
    if !names.contains(&name) {
        return Err(Trouble::new(
            format!("there is no table `{name}`"),
            format!("the tables are: {}", names.join(", ")),
        ));
    }
    let wanted: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    let found: Vec<&Entry> = entries
        .iter()
        .filter(|entry| entry.table == name && holds_all(entry, &wanted))
        .collect();
    if json {
        let views: Vec<EntryView<'_>> = found.iter().map(|entry| view(entry)).collect();
        print_json(&views, out)?;
    } else {
        print(&found, out)?;
    }
    Ok(if found.is_empty() {
        Outcome::NothingFits
    } else {
        Outcome::Answer
    })
}

fn names(entries: &[Entry]) -> Vec<&str> {
    let mut names: Vec<&str> = entries.iter().map(|entry| entry.table.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    names
}

fn list(names: &[&str], entries: &[Entry], out: &mut dyn Write) -> Result<Outcome, Trouble> {
    for name in names {
        let count = entries.iter().filter(|entry| entry.table == *name).count();
        writeln!(out, "{name}: {count} entries")?;
    }
    Ok(if names.is_empty() {
        Outcome::NothingFits
    } else {
        Outcome::Answer
    })
}

fn holds_all(entry: &Entry, wanted: &[String]) -> bool {
    let parts = [&entry.id, &entry.of, &entry.when];
    let mut text: Vec<&str> = parts.into_iter().map(String::as_str).collect();
    text.extend(entry.seen.iter().chain(&entry.more).map(String::as_str));
    let text = text.join(" ").to_lowercase();
    wanted.iter().all(|word| text.contains(word.as_str()))
}

fn view(entry: &Entry) -> EntryView<'_> {
    EntryView {
        id: &entry.id,
        seen: &entry.seen,
        of: &entry.of,
        when: &entry.when,
        more: &entry.more,
        grade: grade(entry.standing),
        sources: &entry.sources,
    }
}

fn print(found: &[&Entry], out: &mut dyn Write) -> Result<(), Trouble> {
    for entry in found {
        let mut parts = Vec::new();
        if !entry.seen.is_empty() {
            parts.push(entry.seen.join(", "));
        }
        if !entry.of.is_empty() {
            parts.push(entry.of.clone());
        }
        parts.push(entry.when.clone());
        writeln!(out, "{}", parts.join("; "))?;
        if !entry.more.is_empty() {
            writeln!(out, "    {}", entry.more.join("; "))?;
        }
        let (grade, sources) = (grade(entry.standing), entry.sources.join(", "));
        writeln!(out, "    {grade}: {sources} [{}]", entry.id)?;
    }
    if found.is_empty() {
        writeln!(out, "No entry of the table holds all these words.")?;
    }
    Ok(())
}
