//! Lists of types: those that hold words, and have what was picked.
//!
//! Finds by the library room; ranks nothing.
//!
//! Invariant: a page shows no more than its share, and says how many there are.

use maud::{Markup, html};

use super::{facts, listed};
use crate::catalogue::{
    ArtefactType, Artefacts, Catalogue, CoinType, ShownView, shown, shown_things, things_holding,
    types_holding,
};
use crate::explain::type_name;
use crate::web::asked::{Asked, Fields};
use crate::web::desk::Desk;
use crate::web::page::Place;
use crate::web::reply::Reply;

/// Types on a page.
const SHOWN: usize = 40;
/// Words that are sought, in the address.
const WORDS: &str = "q";
/// What a list may be narrowed by.
pub(super) const KINDS: [&str; 8] = [
    "period",
    "ruler",
    "denomination",
    "series",
    "mint",
    "motif",
    "class",
    "form",
];

/// A type of either half.
enum Row<'a> {
    Coin(&'a CoinType),
    Thing(&'a ArtefactType),
}

/// The page.
pub(super) fn list(desk: &Desk, asked: &Asked) -> Reply {
    let query = &asked.query;
    let picked: Vec<(&str, &str)> = KINDS
        .iter()
        .filter_map(|kind| Some((*kind, query.get(kind)?)))
        .collect();
    let words = query.get(WORDS).unwrap_or_default();
    if picked.is_empty() && words.is_empty() {
        return super::browse::front(desk);
    }
    let rows = rows(desk, words, &picked);
    let pages = rows.len().div_ceil(SHOWN).max(1);
    let page = query
        .get("page")
        .and_then(|page| page.parse::<usize>().ok());
    let page = page.unwrap_or(1).clamp(1, pages);
    let on_page = &rows[(page - 1) * SHOWN..(page * SHOWN).min(rows.len())];
    let about: Vec<ShownView> = picked.iter().flat_map(|one| about(desk, one)).collect();
    let title = about
        .first()
        .map_or_else(|| "Found in the library".into(), |one| one.name.clone());
    let library = &desk.house.catalogue;
    let artefacts = desk.things().map(|things| &things.artefacts);
    Reply::Page {
        place: Place::Library,
        title: title.clone(),
        body: html! {
            h1 { (title) }
            (super::browse::seek(words, &picked))
            @for one in &about { section aria-label=(one.name) { (facts(&one.facts)) } }
            p role="status" {
                (rows.len()) (if rows.len() == 1 { " type" } else { " types" })
                @if pages > 1 { ", page " (page) " of " (pages) }
                @if rows.is_empty() { ". Seek fewer or shorter words: all of them must stand in one type." }
            }
            ul.types {
                @for row in on_page {
                    @match row {
                        Row::Coin(coin) => { (coin_line(coin, library)) },
                        Row::Thing(thing) => { @if let Some(artefacts) = artefacts { (thing_line(thing, artefacts)) } },
                    }
                }
            }
            (turn(words, &picked, (page, pages)))
        },
    }
}

/// A coin type in a list.
pub(super) fn coin_line(coin: &CoinType, library: &Catalogue) -> Markup {
    html! {
        li {
            a href=(format!("/type/{}", coin.id)) { (type_name(coin, library)) }
            span.how { (library.denominations[coin.denomination].name) ", " (coin.span.text()) "; " (coin.common.name()) " as a find" }
        }
    }
}

/// An artefact type in a list.
pub(super) fn thing_line(thing: &ArtefactType, artefacts: &Artefacts) -> Markup {
    html! {
        li {
            a href=(format!("/thing/{}", thing.id)) { (thing.name) }
            span.how { (artefacts.classes[thing.class].name) ", " (thing.span.text()) "; " (thing.common.name()) " as a find" }
        }
    }
}

fn rows<'a>(desk: &'a Desk, words: &str, picked: &[(&str, &str)]) -> Vec<Row<'a>> {
    let library = &desk.house.catalogue;
    let coins = types_holding(words, library).into_iter();
    let coins = coins.map(|at| &library.types[at]);
    let coins = coins.filter(|coin| picked.iter().all(|one| coin_has(coin, one, library)));
    let mut rows: Vec<Row<'a>> = coins.map(Row::Coin).collect();
    if let Some(things) = desk.things() {
        let artefacts = &things.artefacts;
        let all = things_holding(words, artefacts, library).into_iter();
        let all = all.map(|at| &artefacts.types[at]);
        let has = |thing: &&ArtefactType| {
            let mut picked = picked.iter();
            picked.all(|one| thing_has(thing, one, artefacts, library))
        };
        rows.extend(all.filter(has).map(Row::Thing));
    }
    rows
}

fn coin_has(coin: &CoinType, (kind, id): &(&str, &str), library: &Catalogue) -> bool {
    match *kind {
        "period" => library.periods[coin.period].id == *id,
        "ruler" => coin
            .ruler
            .is_some_and(|ruler| library.rulers[ruler].id == *id),
        "denomination" => library.denominations[coin.denomination].id == *id,
        "series" => library.series[coin.series].id == *id,
        "mint" => coin.mints.iter().any(|mint| library.mints[*mint].id == *id),
        "motif" => library.motif_by_id(id).is_some_and(|wanted| {
            let faces = Catalogue::faces(coin).into_iter();
            let shown = faces.flat_map(|face| face.motifs.iter().flatten());
            let mut shown = shown.chain(&coin.marks);
            shown.any(|at| *at == wanted || library.motifs[*at].ancestors.contains(&wanted))
        }),
        _ => false,
    }
}

fn thing_has(
    thing: &ArtefactType,
    (kind, id): &(&str, &str),
    artefacts: &Artefacts,
    library: &Catalogue,
) -> bool {
    use crate::catalogue::Decoration;
    match *kind {
        "period" => artefacts.periods[thing.period].id == *id,
        "series" => artefacts.series[thing.series].id == *id,
        "class" => {
            let class = artefacts.classes.iter().position(|class| class.id == *id);
            class.is_some_and(|class| artefacts.is_of(thing, class))
        }
        "form" => artefacts.form_by_id(id).is_some_and(|form| {
            let lists = [&thing.outline, &thing.section, &thing.has, &thing.may];
            thing.decoration.contains(&Decoration::Form(form))
                || lists.iter().any(|list| list.contains(&form))
        }),
        "motif" => library
            .motif_by_id(id)
            .is_some_and(|motif| thing.decoration.contains(&Decoration::Motif(motif))),
        _ => false,
    }
}

/// What the library says of what was picked.
fn about(desk: &Desk, (kind, id): &(&str, &str)) -> Vec<ShownView> {
    let library = &desk.house.catalogue;
    let mut rows = shown(id, library);
    if let Some(things) = desk.things() {
        rows.extend(shown_things(id, &things.artefacts, library));
    }
    rows.retain(|row| row.kind == *kind);
    let plain = |name: &str| ShownView {
        kind: "list",
        id: id.to_string(),
        name: name.to_string(),
        facts: Vec::new(),
    };
    let periods = desk
        .things()
        .map_or(&library.periods, |things| &things.artefacts.periods);
    match *kind {
        "period" => rows.extend(
            periods
                .iter()
                .find(|one| one.id == *id)
                .map(|one| plain(&one.name)),
        ),
        "series" => {
            let more = desk.things().map(|things| &things.artefacts.series);
            let mut all = library.series.iter().chain(more.into_iter().flatten());
            rows.extend(all.find(|one| one.id == *id).map(|one| plain(&one.name)));
        }
        _ => {}
    }
    rows.truncate(1);
    rows
}

fn turn(words: &str, picked: &[(&str, &str)], (page, pages): (usize, usize)) -> Markup {
    let address = |page: usize| {
        let mut fields = Fields::of(picked.iter().copied());
        fields.push(WORDS, words);
        fields.push("page", &page.to_string());
        fields.address("/library")
    };
    html! {
        @if pages > 1 {
            nav.turn aria-label="Pages" {
                @if page > 1 { a.button.quiet href=(address(page - 1)) { "Before" } }
                @if page < pages { a.button.quiet href=(address(page + 1)) { "More" } }
            }
        }
    }
}

/// A link to the list of all that has this.
pub(super) fn link(kind: &str, id: &str, name: &str) -> Markup {
    html! { a href=(listed(kind, id)) { (name) } }
}
