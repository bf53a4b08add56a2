//! The ways into the library: its front, and lists of rulers, denominations and the like.
//!
//! Counts types and ranks nothing.
//!
//! Invariant: whatever is listed leads to types; what has none is left out.

use std::collections::HashMap;

use maud::{Markup, html};

use super::listed;
use crate::catalogue::{Catalogue, CoinType};
use crate::web::asked::{Asked, Fields};
use crate::web::desk::Desk;
use crate::web::page::Place;
use crate::web::reply::{Fault, Reply};

/// What can be browsed: its name in the address, and how it is called.
const WAYS: [(&str, &str); 7] = [
    ("period", "Periods"),
    ("ruler", "Rulers, peoples and bodies"),
    ("denomination", "Denominations"),
    ("series", "Series"),
    ("mint", "Mints"),
    ("motif", "What coins show"),
    ("class", "Things that are no coins"),
];

/// Most entries of a list that stand on one page.
const WHOLE_MOST: usize = 200;

/// Something to browse by.
struct Entry {
    id: String,
    name: String,
    /// Under what heading it stands.
    under: String,
    count: usize,
}

/// The front of the library.
pub(super) fn front(desk: &Desk) -> Reply {
    let library = &desk.house.catalogue;
    let things = desk
        .things()
        .map_or(0, |things| things.artefacts.types.len());
    Reply::Page {
        place: Place::Library,
        title: "Library".into(),
        body: html! {
            h1 { "The library" }
            p { (library.listed().len()) " types of coins, and " (things) " of other things, as they are found in England and Wales." }
            (seek("", &[]))
            h2 { "Browse" }
            ul.ways {
                @for (kind, name) in WAYS { li { a href=(format!("/library/by/{kind}")) { (name) } } }
            }
            p { a href="/pictures" { "By pictures of things and their parts" } }
            h2 { "Periods" }
            ul.ways { @for entry in entries("period", desk) { li { (line("period", &entry)) } } }
        },
    }
}

/// The form that seeks words.
pub(super) fn seek(words: &str, picked: &[(&str, &str)]) -> Markup {
    html! {
        form.seek method="get" action="/library" role="search" {
            @for (kind, id) in picked { input type="hidden" name=(kind) value=(id); }
            label for="q" { @if picked.is_empty() { "Seek types that hold these words" } @else { "Seek among these" } }
            span.one { input type="search" id="q" name="q" value=(words) maxlength="200"; button { "Seek" } }
        }
    }
}

/// A list to browse.
pub(super) fn browse(desk: &Desk, asked: &Asked) -> Reply {
    let kind = asked.path.get("kind").unwrap_or_default();
    let Some((kind, name)) = WAYS.into_iter().find(|way| way.0 == kind) else {
        return Fault::nothing_here().into();
    };
    let entries = entries(kind, desk);
    let parts = parts(&entries);
    let long = entries.len() > WHOLE_MOST && parts.len() > 1;
    let under = asked.query.get("under");
    let picked = parts
        .iter()
        .position(|part| Some(part.0.as_str()) == under)
        .unwrap_or(0);
    let shown = |at: usize| !long || at == picked;
    Reply::Page {
        place: Place::Library,
        title: name.into(),
        body: html! {
            h1 { (name) }
            p { a href="/library" { "The whole library" } }
            @if long { (headings(kind, &parts, picked)) }
            @for (_, (under, entries)) in parts.iter().enumerate().filter(|part| shown(part.0)) {
                @if !under.is_empty() { h2 { (under) } }
                ul.ways { @for entry in entries { li { (line(kind, entry)) } } }
            }
        },
    }
}

/// Entries under one heading.
type Part<'e> = (String, Vec<&'e Entry>);

/// Entries heading by heading, in the order in which the headings come.
fn parts(entries: &[Entry]) -> Vec<Part<'_>> {
    let mut parts: Vec<Part<'_>> = Vec::new();
    for entry in entries {
        match parts.iter_mut().find(|part| part.0 == entry.under) {
            Some(part) => part.1.push(entry),
            None => parts.push((entry.under.clone(), vec![entry])),
        }
    }
    parts
}

/// The ways to the parts of a list that is too long for one page.
fn headings(kind: &str, parts: &[Part<'_>], picked: usize) -> Markup {
    let path = format!("/library/by/{kind}");
    html! {
        nav.kinds aria-label="Parts of the list" {
            ul {
                @for (at, (under, _)) in parts.iter().enumerate() {
                    li { a href=(Fields::of([("under", under)]).address(&path)) aria-current=[(at == picked).then_some("page")] { (under) } }
                }
            }
        }
    }
}

fn line(kind: &str, entry: &Entry) -> Markup {
    let address = match kind {
        "class" => format!("/class/{}", entry.id),
        _ => listed(kind, &entry.id),
    };
    html! { a href=(address) { (entry.name) } " " span.nats { (entry.count) } }
}

fn entries(kind: &str, desk: &Desk) -> Vec<Entry> {
    let library = &desk.house.catalogue;
    match kind {
        "period" => periods(desk),
        "ruler" => counted(
            library,
            |coin| coin.ruler.into_iter().collect(),
            |at, first| {
                let ruler = &library.rulers[at];
                (&ruler.id, &ruler.name, period_name(first, library))
            },
        ),
        "denomination" => by_name(counted(
            library,
            |coin| vec![coin.denomination],
            |at, _| {
                let one = &library.denominations[at];
                (&one.id, &one.name, String::new())
            },
        )),
        "series" => counted(
            library,
            |coin| vec![coin.series],
            |at, first| {
                let one = &library.series[at];
                (&one.id, &one.name, period_name(first, library))
            },
        ),
        "mint" => by_name(counted(
            library,
            |coin| coin.mints.clone(),
            |at, _| {
                let one = &library.mints[at];
                (&one.id, &one.name, initial(&one.name))
            },
        )),
        "motif" => by_name(counted(library, motifs, |at, _| {
            let one = &library.motifs[at];
            (&one.id, &one.name, initial(&one.name))
        })),
        _ => classes(desk),
    }
}

fn motifs(coin: &CoinType) -> Vec<usize> {
    let faces = Catalogue::faces(coin).into_iter();
    let mut motifs: Vec<usize> = faces
        .flat_map(|face| face.motifs.iter().flatten())
        .copied()
        .collect();
    motifs.sort_unstable();
    motifs.dedup();
    motifs
}

fn period_name(coin: &CoinType, library: &Catalogue) -> String {
    library.periods[coin.period].name.clone()
}

fn initial(name: &str) -> String {
    name.chars()
        .next()
        .map_or(String::new(), |first| first.to_uppercase().to_string())
}

fn by_name(mut entries: Vec<Entry>) -> Vec<Entry> {
    entries.sort_by_key(|entry| entry.name.to_lowercase());
    entries
}

/// Counts the types of each of what types have, in the order of their first types by year.
fn counted<'c>(
    library: &'c Catalogue,
    of: impl Fn(&CoinType) -> Vec<usize>,
    told: impl Fn(usize, &CoinType) -> (&'c String, &'c String, String),
) -> Vec<Entry> {
    let mut types: Vec<&CoinType> = library.listed().iter().collect();
    types.sort_by_key(|coin| (library.periods[coin.period].span, coin.span));
    let mut place: HashMap<usize, usize> = HashMap::new();
    let mut entries: Vec<Entry> = Vec::new();
    for coin in types {
        for at in of(coin) {
            let held = *place.entry(at).or_insert_with(|| {
                let (id, name, under) = told(at, coin);
                entries.push(Entry {
                    id: id.clone(),
                    name: name.clone(),
                    under,
                    count: 0,
                });
                entries.len() - 1
            });
            entries[held].count += 1;
        }
    }
    entries
}

fn periods(desk: &Desk) -> Vec<Entry> {
    let library = &desk.house.catalogue;
    let artefacts = desk.things().map(|things| &things.artefacts);
    let count = |at: usize| {
        let coins = library.listed().iter().filter(|coin| coin.period == at);
        let things = artefacts.map_or(0, |all| {
            all.types.iter().filter(|one| one.period == at).count()
        });
        coins.count() + things
    };
    let (order, periods) = match artefacts {
        Some(artefacts) => (artefacts.periods_in_order(), &artefacts.periods),
        None => ((0..library.periods.len()).collect(), &library.periods),
    };
    let entry = |at: usize| Entry {
        id: periods[at].id.clone(),
        name: format!("{}, {}", periods[at].name, periods[at].span.text()),
        under: String::new(),
        count: count(at),
    };
    let entries = order.into_iter().map(entry);
    entries.filter(|entry| entry.count > 0).collect()
}

fn classes(desk: &Desk) -> Vec<Entry> {
    let Some(things) = desk.things() else {
        return Vec::new();
    };
    let artefacts = &things.artefacts;
    let entry = |at: usize| {
        let class = &artefacts.classes[at];
        let wider = class
            .under
            .first()
            .map(|wider| artefacts.classes[*wider].name.clone());
        let types = artefacts
            .types
            .iter()
            .filter(|one| artefacts.is_of(one, at));
        Entry {
            id: class.id.clone(),
            name: class.name.clone(),
            under: wider.unwrap_or_else(|| "Widest".into()),
            count: types.count(),
        }
    };
    let mut entries: Vec<Entry> = (0..artefacts.classes.len()).map(entry).collect();
    entries.retain(|entry| entry.count > 0);
    entries.sort_by_key(|entry| {
        (
            entry.under != "Widest",
            entry.under.clone(),
            entry.name.clone(),
        )
    });
    entries
}
