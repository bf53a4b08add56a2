//! Finds on a terminal and for programs.
//!
//! Prints values of the shelf; decides nothing.
//!
//! Invariant: an identification is never shown without its confidence or who confirmed it.

use std::io::{self, Write};

use serde_json::{Value, json};

use crate::cli::report::{faint, strong};
use crate::cli::shelf::json_of;
use crate::collect::{Health, Identified, Listed, Whole, code};
use crate::explain::chance_in_figures;
use crate::score::words_of_confidence;

/// A find for programs.
pub(super) fn view(whole: &Whole, heed: &[String], notes: &[String]) -> Value {
    let mut view = json_of(&whole.entry);
    view["code"] = code(&whole.entry.id).into();
    view["land"] = whole.land.as_ref().map(|(id, _)| id.clone()).into();
    view["identified"] = whole.identified.iter().map(json_of).collect();
    view["photographs"] = whole.photographs.iter().map(json_of).collect();
    view["tags"] = json!(whole.tags);
    view["whereabouts"] = whole.whereabouts.iter().map(json_of).collect();
    view["heed"] = json!(heed);
    view["remarks"] = json!(notes);
    view
}

/// A list for programs.
pub(super) fn list_view(
    rows: &[Listed],
    total: u64,
    (almost, invented): (bool, Option<&str>),
) -> Value {
    let rows = rows.iter().map(|one| {
        json!({
            "id": one.id, "kind": one.kind.word(), "words": one.words,
            "identified": one.identified, "share": one.share,
            "confirmed_by": one.confirmed_by.map(|by| by.word()), "land": one.land,
            "found_on": one.found_on, "status": one.status.word(), "metal": one.metal,
            "weight_g": one.weight_g, "diameter_mm": one.diameter_mm, "storage": one.storage,
            "official_number": one.official_number, "photographs": one.photographs,
        })
    });
    let finds: Vec<Value> = rows.collect();
    let mut view = json!({ "total": total, "almost": almost, "finds": finds });
    if let Some(invented) = invented {
        view["invented"] = invented.into();
    }
    view
}

/// How sure it is, in words.
fn sure(share: Option<f64>, confirmed: Option<&str>) -> String {
    match (confirmed, share) {
        (Some("self"), _) => "confirmed by the finder".into(),
        (Some("book"), _) => "confirmed by a book".into(),
        (Some(by), _) => format!("confirmed by the {by}"),
        (None, Some(share)) => format!(
            "{}: {}",
            chance_in_figures(share),
            words_of_confidence(share)
        ),
        (None, None) => "not confirmed".into(),
    }
}

/// A list of finds.
pub(super) fn list(rows: &[Listed], total: u64, out: &mut dyn Write) -> io::Result<()> {
    for one in rows {
        let what = one
            .identified
            .as_deref()
            .unwrap_or(match one.words.is_empty() {
                true => "not identified",
                false => one.words.as_str(),
            });
        let by = one.confirmed_by.map(|by| by.word());
        let sure = match one.identified {
            Some(_) => format!(" ({})", sure(one.share, by)),
            None => String::new(),
        };
        writeln!(out, "{}  {}{sure}", strong(&one.id), short(what, 90))?;
        let parts = [
            one.land.clone(),
            one.found_on.clone(),
            one.weight_g.map(|grams| format!("{grams} g")),
            one.diameter_mm.map(|mm| format!("{mm} mm")),
            Some(one.status.word().replace('-', " ")),
            one.storage.clone(),
            one.official_number
                .as_ref()
                .map(|number| format!("record {number}")),
            (one.photographs > 0).then(|| format!("{} photograph(s)", one.photographs)),
        ];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        writeln!(out, "    {}", faint(&parts.join(", ")))?;
    }
    let shown = rows.len() as u64;
    match shown == total {
        true => writeln!(out, "{total} find(s)"),
        false => writeln!(
            out,
            "{shown} of {total} find(s); see more with --top and --skip"
        ),
    }
}

fn short(text: &str, most: usize) -> String {
    let line = text.replace('\n', " ");
    match line.chars().count() > most {
        true => line.chars().take(most - 3).chain("...".chars()).collect(),
        false => line,
    }
}

/// All of one find.
pub(super) fn whole(
    whole: &Whole,
    heed: &[String],
    notes: &[String],
    out: &mut dyn Write,
) -> io::Result<()> {
    let entry = &whole.entry;
    writeln!(out, "{}", strong(&entry.id))?;
    for line in heed {
        writeln!(out, "! {line}")?;
    }
    let mut row = |label: &str, text: &str| match text.is_empty() {
        true => Ok(()),
        false => writeln!(out, "{label:<12} {}", text.replace('\n', "\n             ")),
    };
    for (place, one) in whole.identified.iter().enumerate() {
        row(if place == 0 { "is" } else { "was" }, &named(one))?;
    }
    if entry.kind.word() == "artefact" {
        row("kind", "artefact")?;
    }
    row("code", &code(&entry.id))?;
    row("words", &entry.words)?;
    for (field, text) in &entry.said {
        row(field, text)?;
    }
    let said = |text: &Option<String>| text.clone().unwrap_or_default();
    let land = whole.land.as_ref();
    row(
        "land",
        &land.map_or(String::new(), |(id, name)| format!("{id}, {name}")),
    )?;
    row("found", &said(&entry.found_on))?;
    row("lay at", &said(&entry.findspot))?;
    row(
        "depth",
        &entry
            .depth_cm
            .map_or(String::new(), |depth| format!("{depth} cm")),
    )?;
    row("finder", &said(&entry.finder))?;
    row("group", &said(&entry.grouped))?;
    row("status", &entry.status.word().replace('-', " "))?;
    for (label, text) in becomes(whole) {
        row(&label, &text)?;
    }
    row("notes", &entry.notes)?;
    for note in notes {
        row("note", note)?;
    }
    writeln!(
        out,
        "{}",
        faint(&format!(
            "kept {}, changed {}",
            entry.created, entry.changed
        ))
    )
}

/// Where a find went, its place and number, its tags and photographs.
fn becomes(whole: &Whole) -> Vec<(String, String)> {
    let entry = &whole.entry;
    let went = whole.whereabouts.iter().map(|went| {
        let status = went.status.word().replace('-', " ");
        let parts = [Some(status), went.day.clone(), went.note.clone()];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        ("went".to_string(), parts.join(", "))
    });
    let mut rows: Vec<(String, String)> = went.collect();
    let said = |text: &Option<String>| text.clone().unwrap_or_default();
    rows.push(("storage".into(), said(&entry.storage)));
    rows.push(("record".into(), said(&entry.official_number)));
    rows.push(("tags".into(), whole.tags.join(", ")));
    for photograph in &whole.photographs {
        let view = photograph.view.as_deref().unwrap_or("view not said");
        let (width, height) = (photograph.width, photograph.height);
        let text = format!("{view}: {}, {width} x {height} pixels", photograph.name);
        rows.push((format!("photograph {}", photograph.place), text));
    }
    rows
}

fn named(one: &Identified) -> String {
    let sure = sure(one.share, one.confirmed_by.map(|by| by.word()));
    let more = [
        one.reference.clone(),
        one.confirmed_on.clone(),
        one.type_id.clone(),
    ];
    let more = more.into_iter().flatten();
    let parts: Vec<String> = [sure].into_iter().chain(more).collect();
    format!("{} ({})", one.text, parts.join("; "))
}

/// What the check found, for programs.
pub(super) fn health_view(health: &Health) -> Value {
    let faults = health.faults.iter();
    let faults = faults.map(|fault| json!({ "what": fault.what, "mend": fault.mend }));
    let rows = health.rows.iter();
    json!({
        "faults": faults.collect::<Vec<_>>(), "notes": health.notes, "files": health.files,
        "orphans": health.orphans, "readable": health.readable,
        "rows": rows.map(|(table, count)| json!({ "table": table, "rows": count })).collect::<Vec<_>>(),
    })
}

/// What the check found.
pub(super) fn health(health: &Health, out: &mut dyn Write) -> io::Result<()> {
    for fault in &health.faults {
        writeln!(out, "! {fault}")?;
    }
    if !health.readable.is_empty() {
        writeln!(
            out,
            "these finds can be read: {}",
            health.readable.join(", ")
        )?;
    }
    for note in &health.notes {
        writeln!(out, "note: {note}")?;
    }
    for orphan in &health.orphans {
        writeln!(out, "  {orphan}")?;
    }
    let count = |table: &str| {
        let row = health.rows.iter().find(|(name, _)| name == table);
        row.map_or(0, |(_, count)| *count)
    };
    writeln!(
        out,
        "{} find(s), {} photograph(s), {} file(s) whole; {}",
        count("find"),
        count("photograph"),
        health.files,
        match health.faults.len() {
            0 => "no faults".to_string(),
            faults => format!("{faults} fault(s)"),
        }
    )
}
