//! A coin type's page: what it is, how it looks, what it weighs, what is near it, what it rests on.
//!
//! Shows the row; judges nothing.
//!
//! Invariant: a row of the rest has no page, and an id that was moved leads on to where it went.

use maud::{Markup, html};

use super::list::link;
use super::pictures::weight_band;
use super::{facts, vouched};
use crate::catalogue::{Catalogue, CoinType, Face, FactView, shown};
use crate::explain::type_name;
use crate::web::asked::{Asked, Fields};
use crate::web::bench::pictures::motif as drawing_of;
use crate::web::desk::Desk;
use crate::web::page::Place;
use crate::web::reply::{Fault, Reply};
use crate::web::size::{Screen, ring};

/// Facts that stand elsewhere on the page.
const ELSEWHERE: [&str; 14] = [
    "series",
    "period",
    "ruler",
    "denomination",
    "mints",
    "weight",
    "diameter",
    "obverse",
    "reverse",
    "  legend",
    "marks",
    "apart",
    "source",
    "vouched for",
];

/// A type that there is not.
pub(super) fn not_held() -> Reply {
    Fault::new(
        404,
        "the library has no type of that name",
        "seek it in the library by words that its name holds",
    )
    .into()
}

/// The page.
pub(super) fn coin(desk: &Desk, asked: &Asked) -> Reply {
    let library = &desk.house.catalogue;
    let id = asked.path.get("id").unwrap_or_default();
    let found = library.type_by_id(id).map(|at| &library.types[at]);
    let Some(coin) = found.filter(|coin| !coin.rest) else {
        return not_held();
    };
    if coin.id != id {
        return Reply::Onward(format!("/type/{}", coin.id));
    }
    let name = type_name(coin, library);
    let rows = shown(&coin.id, library);
    let row = rows.into_iter().find(|row| row.kind == "type");
    let rest: Vec<FactView> = row.map_or(Vec::new(), |row| row.facts);
    let rest: Vec<FactView> = rest
        .into_iter()
        .filter(|fact| !ELSEWHERE.contains(&fact.what))
        .collect();
    Reply::Page {
        place: Place::Library,
        title: name.clone(),
        body: html! {
            h1 { (name) }
            p { (whose(coin, library)) }
            p.acts { a.button href=(Fields::of([("type", coin.id.as_str())]).address("/compare")) { "My find against this" } }
            div.faces {
                (face("Front", &coin.obverse, desk))
                (face("Back", &coin.reverse, desk))
            }
            @if !coin.marks.is_empty() {
                h3 { "One of these marks" }
                (motifs(&coin.marks, desk))
            }
            div.faces {
                section aria-labelledby="weight" { h2 id="weight" { "Weight" } (weight_band(coin)) }
                section aria-labelledby="size" { h2 id="size" { "Size" } (size(coin, asked)) }
            }
            section aria-labelledby="more" { h2 id="more" { "More of it" } (facts(&rest)) }
            (apart(coin, library))
            (vouched(coin.standing, &coin.sources, library))
        },
    }
}

/// Whose it is, of what, when and where struck, each a way to its fellows.
fn whose(coin: &CoinType, library: &Catalogue) -> Markup {
    let denomination = &library.denominations[coin.denomination];
    let period = &library.periods[coin.period];
    let series = &library.series[coin.series];
    html! {
        (link("denomination", &denomination.id, &denomination.name))
        @if let Some(ruler) = coin.ruler.map(|ruler| &library.rulers[ruler]) { " of " (link("ruler", &ruler.id, &ruler.name)) }
        ", " (coin.span.text()) ", " (link("period", &period.id, &period.name)) ". Series: " (link("series", &series.id, &series.name)) ". "
        @if !coin.mints.is_empty() {
            "Struck at "
            @for (at, mint) in coin.mints.iter().enumerate() {
                @if at > 0 { ", " }
                (link("mint", &library.mints[*mint].id, &library.mints[*mint].name))
            }
            ". "
        }
        "As a find: " (coin.common.name()) "."
    }
}

fn size(coin: &CoinType, asked: &Asked) -> Markup {
    match coin.diameter {
        Some((least, most)) => ring(least, most, Screen::of(asked)),
        None => html! { p { "The library knows no diameter of it." } },
    }
}

/// What a face shows and bears; a legend once, however many mints spell it.
fn face(name: &str, face: &Face, desk: &Desk) -> Markup {
    let library = &desk.house.catalogue;
    let borne = face.inscriptions.as_ref().map(|borne| {
        let mut legends: Vec<usize> = borne
            .iter()
            .map(|at| library.inscriptions[*at].legend)
            .collect();
        legends.sort_unstable();
        legends.dedup();
        legends
    });
    html! {
        section aria-label=(name) {
            h2 { (name) }
            @match &face.motifs {
                None => { p { "The library does not say what it shows." } },
                Some(shown) if shown.is_empty() => { p { "Nothing is shown." } },
                Some(shown) => { (motifs(shown, desk)) },
            }
            @match borne {
                None => { p { "The library does not say what it bears." } },
                Some(borne) if borne.is_empty() => { p { "No letters." } },
                Some(borne) => {
                    ul.shown {
                        @for at in borne {
                            li { span { span.legend { (library.legends[at].text) }
                                @if let Some(reads) = &library.legends[at].reads { br; span.how { (reads) } }
                            } }
                        }
                    }
                },
            }
        }
    }
}

/// Motifs, each with its drawing where there is one.
fn motifs(shown: &[usize], desk: &Desk) -> Markup {
    let library = &desk.house.catalogue;
    html! {
        ul.shown {
            @for motif in shown.iter().map(|at| &library.motifs[*at]) {
                li {
                    @if let Some(picture) = drawing_of(desk, &motif.id) { img.term src=(picture) alt="" width="48" height="48" loading="lazy"; }
                    (link("motif", &motif.id, &motif.name))
                }
            }
        }
    }
}

/// What sets it apart from its neighbours.
fn apart(coin: &CoinType, library: &Catalogue) -> Markup {
    if coin.apart.is_empty() {
        return html! {};
    }
    html! {
        section aria-labelledby="near" {
            h2 id="near" { "What is near it" }
            ul.types {
                @for line in &coin.apart {
                    @let other = &library.types[line.from];
                    li {
                        a href=(format!("/type/{}", other.id)) { (type_name(other, library)) }
                        span.how { "This one: " (line.by) ". " a href=(Fields::of([("type", &coin.id), ("type", &other.id)]).address("/compare")) { "Side by side" } }
                    }
                }
            }
        }
    }
}
