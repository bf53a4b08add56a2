//! Pictures of terms: the library's drawings of classes, words of form and motifs, to point at.
//!
//! Hands out drawings as files and lays them out; draws none.
//!
//! Invariant: what is pointed at is added to what was said before, and nothing of that is lost.

use maud::{Markup, html};

use super::form::kept;
use super::looks::{set, wording};
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

/// What is looked through.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Of {
    /// Classes of things.
    Things,
    /// Words of form.
    Form(Facet),
    /// What coins show.
    Coins,
}

impl Of {
    /// Every kind, coins first: they are what is found most.
    fn all() -> impl Iterator<Item = Of> {
        let forms = Facet::ALL.into_iter().map(Of::Form);
        [Of::Things, Of::Coins].into_iter().chain(forms)
    }

    /// As it stands in the address.
    fn word(self) -> &'static str {
        match self {
            Of::Things => "",
            Of::Form(facet) => facet.name(),
            Of::Coins => "coins",
        }
    }

    fn read(query: &Fields) -> Of {
        let word = query.get(OF).unwrap_or_default();
        Of::all()
            .find(|one| one.word() == word)
            .unwrap_or(Of::Things)
    }

    fn drawn(self) -> Drawn {
        match self {
            Of::Things => Drawn::Class,
            Of::Form(_) => Drawn::Form,
            Of::Coins => Drawn::Motif,
        }
    }
}

/// A term with a picture.
struct Term<'a> {
    id: &'a str,
    name: &'a str,
    said: &'a [String],
}

/// A drawing as a file.
pub(super) fn file(desk: &Desk, asked: &Asked) -> Reply {
    let kind = asked.path.get("kind");
    let mut kinds = Drawn::ALL.into_iter();
    let Some(kind) = kinds.find(|one| Some(one.name()) == kind) else {
        return Fault::nothing_here().into();
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

/// The address of the drawing of a motif, where there is one.
pub(in crate::web) fn motif(desk: &Desk, id: &str) -> Option<String> {
    address(desk, Drawn::Motif, id)
}

fn address(desk: &Desk, kind: Drawn, id: &str) -> Option<String> {
    drawing(desk.drawings(), kind, id)?;
    let folder = kind.name();
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
    let of = Of::read(query);
    let named = query.get(NAMED).unwrap_or_default().to_lowercase();
    let terms = terms(desk, &things.artefacts, of, &named);
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
            (kinds(query, of))
            (seek(query, of, &named))
            p role="status" { (terms.len()) (if terms.len() == 1 { " picture" } else { " pictures" }) @if pages > 1 { ", page " (page) " of " (pages) } }
            ul.terms {
                @for term in shown {
                    li { (pointed(desk, query, of, term)) }
                }
            }
            (turn(query, of, &named, (page, pages)))
        },
    }
}

/// The terms of a kind that have a drawing and hold the words.
fn terms<'a>(desk: &Desk, artefacts: &'a Artefacts, of: Of, named: &str) -> Vec<Term<'a>> {
    let kind = of.drawn();
    let term = |id: &'a str, name: &'a str, said: &'a [String]| Term { id, name, said };
    let all: Vec<Term<'a>> = match of {
        Of::Things => {
            let classes = artefacts.classes.iter();
            classes
                .map(|one| term(&one.id, &one.name, &one.words))
                .collect()
        }
        Of::Form(facet) => {
            let forms = artefacts.forms.iter().filter(|form| form.facet == facet);
            forms
                .map(|one| term(&one.id, &one.name, &one.words))
                .collect()
        }
        Of::Coins => {
            let motifs = desk.house.catalogue.motifs.iter();
            motifs
                .map(|one| term(&one.id, &one.name, &one.words))
                .collect()
        }
    };
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
fn here(query: &Fields, of: Of, named: &str, page: usize) -> String {
    let mut fields = kept(query);
    fields.push(OF, of.word());
    fields.push(NAMED, named);
    if page > 1 {
        fields.push(PAGE, &page.to_string());
    }
    fields.address("/pictures")
}

fn kinds(query: &Fields, of: Of) -> Markup {
    let name = |one: Of| match one {
        Of::Things => "Whole things",
        Of::Coins => "What coins show",
        Of::Form(facet) => of_facet(facet),
    };
    html! {
        nav.kinds aria-label="Kinds of pictures" {
            ul {
                @for one in Of::all() {
                    li { a href=(here(query, one, "", 1)) aria-current=[(of == one).then_some("page")] { (name(one)) } }
                }
            }
        }
    }
}

/// What words of form of a facet are called here.
fn of_facet(facet: Facet) -> &'static str {
    match facet {
        Facet::Outline => "Outlines",
        Facet::Section => "Sections",
        Facet::Part => "Parts",
        Facet::Feature => "Features",
        Facet::Technique => "Techniques",
        Facet::Motif => "Ornament",
        Facet::Fixing => "Fixings",
        Facet::State => "States",
    }
}

fn seek(query: &Fields, of: Of, named: &str) -> Markup {
    html! {
        form.seek method="get" action="/pictures" {
            @for (name, text) in kept(query).iter() { input type="hidden" name=(name) value=(text); }
            input type="hidden" name=(OF) value=(of.word());
            label for="named" { "Only those whose name holds" }
            span.one { input type="search" id="named" name=(NAMED) value=(named) maxlength="100"; button.quiet { "Show" } }
        }
    }
}

fn pointed(desk: &Desk, query: &Fields, of: Of, term: &Term<'_>) -> Markup {
    let with = match of {
        Of::Things => set(query, "class", ", ", term.name),
        // What a coin shows is added in words by which it is heard as just that.
        Of::Coins => {
            let said = motif_said(term, desk);
            set(query, Field::Motif.name(), between(Field::Motif), &said)
        }
        Of::Form(_) => set(query, Field::Motif.name(), between(Field::Motif), term.name),
    };
    let picture = address(desk, of.drawn(), term.id);
    html! {
        a href=(with.address("/")) {
            img.term src=[picture] alt="" width="72" height="72" loading="lazy";
            span { (term.name) }
        }
    }
}

/// The words for a motif that the parse room hears as that motif; its name where none is.
fn motif_said(term: &Term<'_>, desk: &Desk) -> String {
    let place = desk.house.catalogue.motif_by_id(term.id);
    let said = place.and_then(|at| wording(Field::Motif, at, true, desk.house));
    said.unwrap_or_else(|| term.name.to_lowercase())
}

fn turn(query: &Fields, of: Of, named: &str, (page, pages): (usize, usize)) -> Markup {
    html! {
        @if pages > 1 {
            nav.turn aria-label="Pages" {
                @if page > 1 { a.button.quiet href=(here(query, of, named, page - 1)) { "Before" } }
                @if page < pages { a.button.quiet href=(here(query, of, named, page + 1)) { "More" } }
            }
        }
    }
}
