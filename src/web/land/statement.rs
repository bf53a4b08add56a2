//! The statement for the owner, on a page to print.
//!
//! Lays out what the statement of the command line holds.
//!
//! Invariant: findspots are squares of 1 km unless the finder chooses otherwise.

use maud::{Markup, html};

use super::{address, held};
use crate::cli::shared::Statement;
use crate::collect::{Filter, Holding, Order};
use crate::treasure::CalendarDay;
use crate::web::asked::Asked;
use crate::web::desk::Desk;
use crate::web::form::{Sheet, day, square, squares};
use crate::web::page::{Place, sentence};
use crate::web::reply::{Fault, Reply};

pub(super) fn page(desk: &Desk, asked: &Asked) -> Reply {
    made(desk, asked).into()
}

fn made(desk: &Desk, asked: &Asked) -> Result<Reply, Fault> {
    let (shelf, one) = held(desk, asked)?;
    let id = &one.land.id;
    let mut typed = asked.query.clone();
    if typed.get("square").is_none() {
        typed.push("square", "1000");
    }
    let side = square(&typed);
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
    Ok(Reply::Page { place, title, body }.refused_if(wrong.is_some()))
}

/// The statement as part of a page, with the form that chooses days and squares.
fn laid(statement: &Statement, sheet: &Sheet<'_>, one: &Holding, today: CalendarDay) -> Markup {
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
            (sheet.head_of_choice())
            (sheet.line("from", "Found from", ""))
            (sheet.line("to", "Found until", ""))
            (sheet.choice("square", "Findspots as", "", "", &squares("As they were given")))
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
