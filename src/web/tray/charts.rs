//! The finds chosen in the tray as charts: bars, days, weight against diameter, each with its table.
//!
//! Shows what the shelf counted, drawn as the command line draws it; counts and draws nothing
//! itself.
//!
//! Invariant: every figure that is drawn also stands in words; a guest's charts tell no land, day
//! or whereabouts, and name no find.

use maud::{Markup, PreEscaped, html};

use super::{asked_for, filter, filters};
use crate::cli::shared::{Counted, Listing, Opened, invented};
use crate::collect::Shelf;
use crate::collect::charts::Measures;
use crate::drawn::Setting;
use crate::web::asked::{Asked, Fields};
use crate::web::desk::Desk;
use crate::web::find::address;
use crate::web::form::{Sheet, Wrong};
use crate::web::page::{Place, sentence};
use crate::web::reply::{Fault, Reply};

/// The lists of which guests are shown: the others tell where and when the finder searches.
const GUESTS: [&str; 5] = ["kind", "period", "metal", "what", "ruler"];
/// Most rows of a table of days or measures.
const ROWS: usize = 60;

pub(super) fn page(desk: &Desk, asked: &Asked) -> Reply {
    laid(desk, asked).into()
}

fn laid(desk: &Desk, asked: &Asked) -> Result<Reply, Fault> {
    let typed = asked_for(asked);
    let shelf = desk.shelf()?;
    let counted = shelf
        .as_ref()
        .map(|shelf| counted(desk, shelf, asked, &typed));
    let (counted, wrong) = match counted {
        Some(Ok(counted)) => (Some(counted), None),
        Some(Err(wrong)) => (None, Some(wrong)),
        None => (None, None),
    };
    let sheet = Sheet {
        name: "charts",
        typed: &typed,
        wrong: wrong.as_ref(),
    };
    let invented = shelf.as_ref().map(invented).transpose()?.flatten();
    let body = html! {
        p.back { a href=(typed.address("/tray")) { "Back to the tray" } }
        h1 { "Charts" }
        @if let Some(invented) = invented { p { (sentence(&invented)) } }
        (filters(desk, shelf.as_ref(), asked, &sheet, "/charts")?)
        @match &counted {
            Some(counted) => (charts(counted, asked.visitor.guest)),
            None if wrong.is_none() => p.lead { "Nothing is kept yet, so there is nothing to draw." },
            None => {},
        }
    };
    let (place, title) = (Place::Tray, "Charts".to_string());
    Ok(Reply::Page { place, title, body }.refused_if(wrong.is_some()))
}

/// The figures of the finds chosen, as far as whoever asks may see them.
fn counted(desk: &Desk, shelf: &Shelf, asked: &Asked, typed: &Fields) -> Result<Counted, Wrong> {
    let (filter, _) = filter(desk, shelf, typed)?;
    let things = || desk.things();
    let mut counted = Counted::of(shelf, filter, &Opened::open(desk.house, &things))?;
    if asked.visitor.guest {
        counted.listings.retain(|list| GUESTS.contains(&list.name));
        counted.figures.days.clear();
        for one in &mut counted.figures.measures {
            one.id = "a find".into();
        }
    }
    Ok(counted)
}

fn charts(counted: &Counted, guest: bool) -> Markup {
    let figures = &counted.figures;
    if figures.finds == 0 {
        return html! { p { "No find is like this, so there is nothing to draw." } };
    }
    let said = |list: &&Listing| list.rows.iter().any(|row| row.id.is_some());
    let (drawn, blank): (Vec<_>, Vec<_>) = counted.listings.iter().partition(said);
    let mut left: Vec<&str> = blank.iter().map(|list| list.title).collect();
    let (days, measures) = (&figures.days, &figures.measures);
    if days.is_empty() && !guest {
        left.push("Finds by day");
    }
    if measures.is_empty() {
        left.push("Weight against diameter");
    }
    html! {
        p {
            (figures.finds) " find(s): " (figures.confirmed) " confirmed"
            @if !guest { ", " (figures.recorded) " with an official number, " (figures.photographed) " with a photograph" }
            ". What is not said of a find is counted as not said."
        }
        div.charts {
            @for list in drawn {
                (chart(list.name, list.title, &Counted::bars(list, Setting::Page), tallies(list)))
            }
            @if !days.is_empty() {
                (chart("days", "Finds by day", &counted.days(Setting::Page), of_days(days)))
            }
            @if !measures.is_empty() {
                (chart("measures", "Weight against diameter", &counted.measures(Setting::Page), measured(measures, guest)))
            }
        }
        @if !left.is_empty() { p { "Not drawn, since nothing is said of it yet: " (left.join("; ")) "." } }
    }
}

/// A picture with its name above and its figures below.
fn chart(name: &str, title: &str, svg: &str, table: Markup) -> Markup {
    html! {
        section aria-labelledby=(format!("{name}-h")) {
            h2 id=(format!("{name}-h")) { (title) }
            (PreEscaped(svg))
            details {
                summary { "The figures of \u{201c}" (title) "\u{201d} in a table" }
                (table)
            }
        }
    }
}

fn table<const N: usize>(heads: [&str; N], rows: &[[Markup; N]]) -> Markup {
    html! {
        table {
            thead { tr { @for head in heads { th scope="col" { (head) } } } }
            tbody { @for row in rows { tr { @for cell in row { td { (cell) } } } } }
        }
    }
}

fn tallies(list: &Listing) -> Markup {
    let rows = list.rows.iter();
    let rows: Vec<_> = rows
        .map(|row| [html! { (row.name) }, html! { (row.count) }])
        .collect();
    table(["What", "Finds"], &rows)
}

/// The latest days.
fn of_days(days: &[(String, u64)]) -> Markup {
    let latest = days.iter().rev().take(ROWS);
    let rows: Vec<_> = latest
        .map(|(day, count)| [html! { (day) }, html! { (count) }])
        .collect();
    html! {
        (table(["Day", "Finds"], &rows))
        @if days.len() > ROWS { p.how { (days.len() - ROWS) " earlier days are not listed here." } }
    }
}

fn measured(measures: &[Measures], guest: bool) -> Markup {
    let named = |one: &Measures| match guest {
        true => html! { (one.id) },
        false => html! { a href=(address(&one.id)) { (one.id) } },
    };
    let rows = measures.iter().take(ROWS).map(|one| {
        let kind = if one.coin { "coin" } else { "other find" };
        [
            named(one),
            html! { (kind) },
            html! { (one.diameter_mm) },
            html! { (one.weight_g) },
        ]
    });
    let rows: Vec<_> = rows.collect();
    html! {
        (table(["Find", "Kind", "Diameter, mm", "Weight, g"], &rows))
        @if measures.len() > ROWS { p.how { (measures.len() - ROWS) " more are not listed here; choose fewer finds to see them." } }
    }
}
