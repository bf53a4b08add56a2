//! Pictures of terms: the library's drawings of classes and of words of form, to point at.
//!
//! Hands out drawings as files and lays them out; draws none.
//!
//! Invariant: what is pointed at is added to what was said before, and nothing of that is lost.

use maud::{Markup, html};

use super::form::kept;
use super::looks::set;
use super::said::between;
use crate::catalogue::{Artefacts, Drawn, Facet, drawing};
use crate::parse::Field;
use crate::web::asked::{Asked, Fields};
use crate::web::desk::Desk;
use crate::web::page::Place;
use crate::web::reply::{Fault, Reply};

/// Pictures on a page.
const SHOWN: usize = 60;
/// What is looked through, in the address.
const OF: &str = "of";
/// Words that the names must hold.
const NAMED: &str = "named";
/// The page of a long list.
const PAGE: &str = "page";

/// A term with a picture.
struct Term<'a> {
    id: &'a str,
    name: &'a str,
    said: &'a [String],
}

/// A drawing as a file.
pub(super) fn file(desk: &Desk, asked: &Asked) -> Reply {
    let kind = match asked.path.get("kind") {
        Some("class") => Drawn::Class,
        Some("form") => Drawn::Form,
        _ => return Fault::nothing_here().into(),
    };
    let id = asked.path.get("id").unwrap_or_default();
    match drawing(desk.drawings(), kind, id) {
        Some(text) => Reply::File {
            kind: "image/svg+xml",
            bytes: text.as_bytes().to_vec(),
            save_as: None,
            lasting: true,
        },
        None => Fault::nothing_here().into(),
    }
}

/// The address of the drawing of a word of form, where there is one.
pub(in crate::web) fn form(desk: &Desk, id: &str) -> Option<String> {
    address(desk, Drawn::Form, id)
}

/// The address of the drawing of a class, where there is one.
pub(in crate::web) fn class(desk: &Desk, id: &str) -> Option<String> {
    address(desk, Drawn::Class, id)
}

fn address(desk: &Desk, kind: Drawn, id: &str) -> Option<String> {
    drawing(desk.drawings(), kind, id)?;
    let folder = match kind {
        Drawn::Class => "class",
        Drawn::Form => "form",
    };
    let digest = desk.house.catalogue.digest.get(..8).unwrap_or_default();
    Some(format!(
        "/drawing/{folder}/{id}?{digest}{}",
        env!("CARGO_PKG_VERSION")
    ))
}

/// The page of pictures to point at.
pub(super) fn pictures(desk: &Desk, asked: &Asked) -> Reply {
    let Some(things) = desk.things() else {
        return Fault::nothing_here().into();
    };
    let query = &asked.query;
    let facet = Facet::ALL
        .into_iter()
        .find(|one| Some(one.name()) == query.get(OF));
    let named = query.get(NAMED).unwrap_or_default().to_lowercase();
    let terms = terms(desk, &things.artefacts, facet, &named);
    let pages = terms.len().div_ceil(SHOWN).max(1);
    let page = query.get(PAGE).and_then(|page| page.parse::<usize>().ok());
    let page = page.unwrap_or(1).clamp(1, pages);
    let shown = &terms[(page - 1) * SHOWN..(page * SHOWN).min(terms.len())];
    Reply::Page {
        place: Place::Bench,
        title: "Point at what it looks like".into(),
        body: html! {
            h1 { "Point at what it looks like" }
            p { "Each picture adds its word to what you have said. " a href=(kept(query).address("/")) { "Back to the bench as it was" } }
            (kinds(query, facet))
            (seek(query, facet, &named))
            p role="status" { (terms.len()) (if terms.len() == 1 { " picture" } else { " pictures" }) @if pages > 1 { ", page " (page) " of " (pages) } }
            ul.terms {
                @for term in shown {
                    li { (pointed(desk, query, facet, term)) }
                }
            }
            (turn(query, facet, &named, (page, pages)))
        },
    }
}

/// The terms of a facet, or the classes, that have a drawing and hold the words.
fn terms<'a>(
    desk: &Desk,
    artefacts: &'a Artefacts,
    facet: Option<Facet>,
    named: &str,
) -> Vec<Term<'a>> {
    let of = |id: &'a str, name: &'a str, said: &'a [String]| Term { id, name, said };
    let all: Vec<Term<'a>> = match facet {
        None => {
            let classes = artefacts.classes.iter();
            classes
                .map(|one| of(&one.id, &one.name, &one.words))
                .collect()
        }
        Some(facet) => {
            let forms = artefacts.forms.iter().filter(|form| form.facet == facet);
            forms
                .map(|one| of(&one.id, &one.name, &one.words))
                .collect()
        }
    };
    let kind = facet.map_or(Drawn::Class, |_| Drawn::Form);
    let holds = |term: &Term<'_>| {
        let mut texts = term.said.iter().map(String::as_str).chain([term.name]);
        named.is_empty() || texts.any(|text| text.to_lowercase().contains(named))
    };
    let mut terms: Vec<Term<'a>> = all.into_iter().filter(holds).collect();
    terms.retain(|term| drawing(desk.drawings(), kind, term.id).is_some());
    terms.sort_by(|a, b| a.name.cmp(b.name));
    terms
}

/// The bench's own fields with some that only this page has.
fn here(query: &Fields, facet: Option<Facet>, named: &str, page: usize) -> String {
    let mut fields = kept(query);
    fields.push(OF, facet.map_or("", Facet::name));
    fields.push(NAMED, named);
    if page > 1 {
        fields.push(PAGE, &page.to_string());
    }
    fields.address("/pictures")
}

fn kinds(query: &Fields, facet: Option<Facet>) -> Markup {
    let name = |one: Facet| match one {
        Facet::Outline => "Outlines",
        Facet::Section => "Sections",
        Facet::Part => "Parts",
        Facet::Feature => "Features",
        Facet::Technique => "Techniques",
        Facet::Motif => "Ornament",
        Facet::Fixing => "Fixings",
        Facet::State => "States",
    };
    html! {
        nav.kinds aria-label="Kinds of pictures" {
            ul {
                li { a href=(here(query, None, "", 1)) aria-current=[facet.is_none().then_some("page")] { "Whole things" } }
                @for one in Facet::ALL {
                    li { a href=(here(query, Some(one), "", 1)) aria-current=[(facet == Some(one)).then_some("page")] { (name(one)) } }
                }
            }
        }
    }
}

fn seek(query: &Fields, facet: Option<Facet>, named: &str) -> Markup {
    html! {
        form.seek method="get" action="/pictures" {
            @for (name, text) in kept(query).iter() { input type="hidden" name=(name) value=(text); }
            input type="hidden" name=(OF) value=(facet.map_or("", Facet::name));
            label for="named" { "Only those whose name holds" }
            span.one { input type="search" id="named" name=(NAMED) value=(named) maxlength="100"; button.quiet { "Show" } }
        }
    }
}

fn pointed(desk: &Desk, query: &Fields, facet: Option<Facet>, term: &Term<'_>) -> Markup {
    let (with, picture) = match facet {
        None => (set(query, "class", ", ", term.name), class(desk, term.id)),
        Some(_) => {
            let field = Field::Motif;
            let with = set(query, field.name(), between(field), term.name);
            (with, form(desk, term.id))
        }
    };
    html! {
        a href=(with.address("/")) {
            img.term src=[picture] alt="" width="72" height="72" loading="lazy";
            span { (term.name) }
        }
    }
}

fn turn(
    query: &Fields,
    facet: Option<Facet>,
    named: &str,
    (page, pages): (usize, usize),
) -> Markup {
    html! {
        @if pages > 1 {
            nav.turn aria-label="Pages" {
                @if page > 1 { a.button.quiet href=(here(query, facet, named, page - 1)) { "Before" } }
                @if page < pages { a.button.quiet href=(here(query, facet, named, page + 1)) { "More" } }
            }
        }
    }
}
