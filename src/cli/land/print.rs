//! Land on a terminal and for programs.
//!
//! Prints values of the shelf; decides nothing.
//!
//! Invariant: what is to be heeded stands before all else.

use std::io::{self, Write};

use serde_json::{Value, json};

use crate::cli::error::Trouble;
use crate::cli::report::{faint, strong};
use crate::cli::shelf::json_of;
use crate::cli::{Outcome, print_json};
use crate::collect::{Holding, LandKind, Leave};

/// What is said where no shelf is there yet.
pub(super) fn no_land(json: bool, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    match json {
        true => print_json(&Vec::<Value>::new(), out)?,
        false => writeln!(
            out,
            "no land is kept yet; begin with: lynchet land add ID NAME"
        )?,
    }
    Ok(Outcome::Answer)
}

/// Land for programs.
pub(super) fn view(one: &Holding, heed: &[String]) -> Value {
    let mut view = json_of(&one.land);
    view["parent"] = one.parent.as_ref().map(|land| land.id.clone()).into();
    view["people"] = one.people.iter().map(json_of).collect();
    view["leave"] = one.leave.iter().map(json_of).collect();
    view["boundaries"] = one.boundaries.iter().map(json_of).collect();
    view["restrictions"] = one.restrictions.iter().map(json_of).collect();
    view["land_notes"] = one.notes.iter().map(json_of).collect();
    view["search_days"] = one.search_days.iter().map(json_of).collect();
    view["finds"] = json!(one.finds);
    view["heed"] = json!(heed);
    view
}

/// A list of land.
pub(super) fn list(rows: &[(Holding, Vec<String>)], out: &mut dyn Write) -> io::Result<()> {
    if rows.is_empty() {
        return writeln!(
            out,
            "no land is kept yet; begin with: lynchet land add ID NAME"
        );
    }
    for (one, heed) in rows {
        let indent = match one.land.kind {
            LandKind::Holding => "",
            LandKind::Field => "  ",
        };
        let finds = one.finds;
        let (id, name) = (&one.land.id, &one.land.name);
        writeln!(out, "{indent}{}  {name}, {finds} find(s)", strong(id))?;
        for line in heed {
            writeln!(out, "{indent}  ! {line}")?;
        }
    }
    Ok(())
}

/// All of one piece of land.
pub(super) fn whole(one: &Holding, heed: &[String], out: &mut dyn Write) -> io::Result<()> {
    let land = &one.land;
    writeln!(
        out,
        "{}  {} ({})",
        strong(&land.id),
        land.name,
        land.kind.word()
    )?;
    for line in heed {
        writeln!(out, "! {line}")?;
    }
    let mut row = |label: &str, text: &str| match text.is_empty() {
        true => Ok(()),
        false => writeln!(out, "{label:<12} {}", text.replace('\n', "\n             ")),
    };
    let said = |text: &Option<String>| text.clone().unwrap_or_default();
    row("of", one.parent.as_ref().map_or("", |parent| &parent.id))?;
    row("used as", &said(&land.landuse))?;
    row("country", &said(&land.country))?;
    for person in &one.people {
        let contact = person.contact.as_deref();
        let contact = contact.map_or(String::new(), |contact| format!(", {contact}"));
        row(person.role.word(), &format!("{}{contact}", person.name))?;
    }
    for leave in &one.leave {
        row("leave", &of_leave(leave))?;
    }
    for (label, text) in around(one) {
        row(label, &text)?;
    }
    row("notes", &land.notes)?;
    row("finds", &one.finds.to_string())?;
    writeln!(
        out,
        "{}",
        faint(&format!("kept {}, changed {}", land.created, land.changed))
    )
}

/// Where land ends, what it is marked, what was noted, when it was searched.
fn around(one: &Holding) -> Vec<(&'static str, String)> {
    let mut rows = Vec::new();
    for boundary in &one.boundaries {
        let text = match boundary.text.len() > 300 {
            true => format!("{}, {} bytes", boundary.form.word(), boundary.text.len()),
            false => boundary.text.clone(),
        };
        rows.push(("ends", text));
    }
    for one in &one.restrictions {
        rows.push((
            "marked",
            joined(&[
                Some(one.kind.word().into()),
                one.note.clone(),
                days(&one.from_day, &one.to_day),
            ]),
        ));
    }
    for note in &one.notes {
        rows.push((
            "note",
            joined(&[
                Some(note.text.clone()),
                note.source.clone(),
                note.day.clone(),
            ]),
        ));
    }
    for day in &one.search_days {
        let hours = day.hours.map(|hours| format!("{hours} h"));
        rows.push((
            "searched",
            joined(&[
                Some(day.day.clone()),
                hours,
                day.who.clone(),
                day.text.clone(),
            ]),
        ));
    }
    rows
}

/// Leave in words.
pub(crate) fn of_leave(leave: &Leave) -> String {
    let split = leave.split.as_ref().map(|split| format!("shared: {split}"));
    let given = leave
        .given_by
        .as_ref()
        .map(|name| format!("given by {name}"));
    let document = leave
        .document_name
        .as_ref()
        .map(|name| format!("document: {name}"));
    let days = days(&leave.from_day, &leave.to_day).or(Some("no days said".into()));
    joined(&[days, given, split, leave.terms.clone(), document])
}

fn days(from: &Option<String>, to: &Option<String>) -> Option<String> {
    match (from, to) {
        (Some(from), Some(to)) => Some(format!("{from} to {to}")),
        (Some(from), None) => Some(format!("from {from}")),
        (None, Some(to)) => Some(format!("until {to}")),
        (None, None) => None,
    }
}

fn joined(parts: &[Option<String>]) -> String {
    let parts: Vec<&str> = parts.iter().flatten().map(String::as_str).collect();
    parts.join("; ")
}
