//! The statement for the owner, on a page to print.
//!
//! Lays out what the statement of the command line holds.
//!
//! Invariant: findspots are squares of 1 km unless the finder chooses otherwise.

use maud::{Markup, html};

use super::{address, held};
use crate::cli::shared::Statement;
use crate::collect::{Filter, Holding, Order};
use crate::findspot::Side;
use crate::treasure::{CalendarDay, When};
use crate::web::asked::{Asked, Fields};
use crate::web::desk::Desk;
use crate::web::form::{Sheet, Wrong};
use crate::web::page::{Place, sentence};
use crate::web::reply::{Fault, Reply};

pub(super) fn page(desk: &Desk, asked: &Asked) -> Reply {
    match made(desk, asked) {
        Ok(reply) => reply,
        Err(fault) => fault.into(),
    }
}

fn day(query: &Fields, name: &str) -> Result<Option<String>, Wrong> {
    let Some(text) = query.get(name) else {
        return Ok(None);
    };
    When::read(text)
        .map_err(|what| Wrong::new(&format!("{name}: {what}"), "write it as 2026-03-14"))?;
    Ok(Some(text.to_string()))
}

fn made(desk: &Desk, asked: &Asked) -> Result<Reply, Fault> {
    let (shelf, one) = held(desk, asked)?;
    let id = &one.land.id;
    let mut typed = asked.query.clone();
    if typed.get("square").is_none() {
        typed.push("square", "1000");
    }
    let side = match typed.get("square") {
        Some("exact") => None,
        Some(metres) => metres
            .parse()
            .ok()
            .and_then(Side::of_metres)
            .or(Some(Side::Kilometre)),
        None => Some(Side::Kilometre),
    };
    let days = day(&typed, "from").and_then(|from| Ok((from, day(&typed, "to")?)));
    let wrong = days.as_ref().err().cloned();
    let (from, to) = days.unwrap_or_default();
    let filter = Filter {
        land: Some(id.clone()),
        found_from: from,
        found_to: to,
        order: Order::Found,
        ..Filter::default()
    };
    let today = desk.today()?;
    let statement = Statement::of(&shelf, &filter, side, today)?;
    let sheet = Sheet {
        name: "statement",
        typed: &typed,
        wrong: wrong.as_ref(),
    };
    let body = laid(&statement, &sheet, &one, today);
    let (place, title) = (Place::Land, statement.title());
    Ok(match wrong.is_some() {
        true => Reply::Refused { place, title, body },
        false => Reply::Page { place, title, body },
    })
}

/// The statement as part of a page, with the form that chooses days and squares.
fn laid(statement: &Statement, sheet: &Sheet<'_>, one: &Holding, today: CalendarDay) -> Markup {
    let squares = [
        ("10000", "Square of 10 km"),
        ("1000", "Square of 1 km"),
        ("100", "Square of 100 m"),
        ("exact", "As they were given"),
    ];
    let squares = squares.map(|(word, text)| (word.to_string(), text.to_string()));
    let leave = statement.leave();
    let heads = [
        "Number",
        "Found",
        "What it is",
        "Measured",
        "Where",
        "Reported",
        "Now",
    ];
    html! {
        p.back { a href=(address(&one.land.id)) { "Back to " (one.land.name) } }
        h1 { (statement.title()) }
        form.beside.no-print method="get" action=(format!("{}/statement", address(&one.land.id))) {
            (sheet.head())
            (sheet.line("from", "Found from", ""))
            (sheet.line("to", "Found until", ""))
            (sheet.choice("square", "Findspots as", "", "", &squares))
            button.quiet { "Show it so" }
        }
        p { "As of " (today.text()) ". " (statement.rows().len()) " find(s)." }
        div.wide tabindex="0" role="region" aria-label="Finds of the statement" {
            table {
                thead { tr { @for head in heads { th scope="col" { (head) } } } }
                tbody {
                    @for row in statement.rows() {
                        tr { @for (_, value) in Statement::columns(row) { td { (value) } } }
                    }
                }
            }
        }
        h2 { "Agreed" }
        @if leave.is_empty() { p { "Nothing is kept of what was agreed." } }
        @else { ul { @for line in &leave { li { (sentence(line)) } } } }
        h2 { "The law in force governs" }
        ul { @for line in Statement::cautions() { li { (sentence(&line)) } } }
    }
}
