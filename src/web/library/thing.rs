//! The pages of things that are no coins: of a type, and of a class.
//!
//! Shows the rows; judges nothing.
//!
//! Invariant: a caution stands before everything else.

use maud::{Markup, html};

use super::list::{link, thing_line};
use super::{facts, vouched};
use crate::catalogue::{
    ArtefactType, Artefacts, Catalogue, Class, Decoration, FactView, shown_things,
};
use crate::web::asked::{Asked, Fields};
use crate::web::bench::pictures;
use crate::web::desk::Desk;
use crate::web::page::{Place, raised, sentence};
use crate::web::reply::{Fault, Reply};

/// Types of a class that its page lists; the list has them all.
const SHOWN: usize = 24;
/// Facts that stand elsewhere on the pages.
const ELSEWHERE: [&str; 14] = [
    "is a kind of",
    "kinds",
    "class",
    "series",
    "period",
    "outline",
    "section",
    "has",
    "may have",
    "lacks",
    "decoration",
    "take care",
    "source",
    "vouched for",
];

/// The page of a type.
pub(super) fn artefact(desk: &Desk, asked: &Asked) -> Reply {
    let Some(things) = desk.things() else {
        return Fault::nothing_here().into();
    };
    let (artefacts, library) = (&things.artefacts, &desk.house.catalogue);
    let id = asked.path.get("id").unwrap_or_default();
    let moved = library.moved.get(id).map_or(id, String::as_str);
    let Some(at) = artefacts.type_by_id(moved) else {
        return super::coin::not_held();
    };
    if moved != id {
        return Reply::Onward(format!("/thing/{moved}"));
    }
    let thing = &artefacts.types[at];
    let class = &artefacts.classes[thing.class];
    let period = &artefacts.periods[thing.period];
    let find = Fields::of([("class", class.name.as_str())]).address("/");
    Reply::Page {
        place: Place::Library,
        title: thing.name.clone(),
        body: html! {
            h1 { (thing.name) }
            (caution(class, artefacts))
            p {
                a href=(format!("/class/{}", class.id)) { (class.name) } ", " (thing.span.text()) ", "
                (link("period", &period.id, &period.name)) ". As a find: " (thing.common.name()) "."
            }
            p.acts { a.button href=(find) { "My find: a " (class.name) } }
            (forms(thing, desk, artefacts))
            section aria-labelledby="more" { h2 id="more" { "More of it" } (rest(&thing.id, "artefact", artefacts, library)) }
            (apart(thing, artefacts))
            (vouched(thing.standing, &thing.sources, library))
        },
    }
}

fn rest(id: &str, kind: &str, artefacts: &Artefacts, library: &Catalogue) -> Markup {
    let rows = shown_things(id, artefacts, library).into_iter();
    let rows = rows.filter(|row| row.kind == kind);
    let told: Vec<FactView> = rows
        .flat_map(|row| row.facts)
        .filter(|fact| !ELSEWHERE.contains(&fact.what) && fact.what != "apart")
        .collect();
    facts(&told)
}

/// What is to be told of a class, or of the nearest wider one that has something to tell.
fn caution(class: &Class, artefacts: &Artefacts) -> Markup {
    let wider = class.ancestors.iter().map(|at| &artefacts.classes[*at]);
    let caution = [class]
        .into_iter()
        .chain(wider)
        .find_map(|class| class.caution);
    html! {
        @if let Some(caution) = caution {
            section.caution aria-label="Take care" { p { strong { "Take care: " } (sentence(caution.advice())) } }
        }
    }
}

/// What a whole piece shows, list by list, with our drawings.
fn forms(thing: &ArtefactType, desk: &Desk, artefacts: &Artefacts) -> Markup {
    let lists = [
        ("Outline", &thing.outline),
        ("Section", &thing.section),
        ("Has", &thing.has),
        ("Some have", &thing.may),
        ("Never has", &thing.lacks),
    ];
    html! {
        div.faces {
            @for (name, list) in lists {
                @if !list.is_empty() {
                    section aria-label=(name) {
                        h2 { (name) }
                        ul.shown { @for form in list { li { (drawn_form(*form, desk, artefacts)) } } }
                    }
                }
            }
            @if !thing.decoration.is_empty() {
                section aria-label="Ornament" {
                    h2 { "Ornament" }
                    ul.shown {
                        @for one in &thing.decoration {
                            li {
                                @match one {
                                    Decoration::Form(form) => { (drawn_form(*form, desk, artefacts)) },
                                    Decoration::Motif(motif) => {
                                        @let motif = &desk.house.catalogue.motifs[*motif];
                                        @if let Some(picture) = pictures::motif(desk, &motif.id) { img.term src=(picture) alt="" width="48" height="48" loading="lazy"; }
                                        (link("motif", &motif.id, &motif.name))
                                    },
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn drawn_form(form: usize, desk: &Desk, artefacts: &Artefacts) -> Markup {
    let form = &artefacts.forms[form];
    html! {
        @if let Some(picture) = pictures::form(desk, &form.id) { img.term src=(picture) alt="" width="48" height="48" loading="lazy"; }
        (link("form", &form.id, &form.name))
    }
}

fn apart(thing: &ArtefactType, artefacts: &Artefacts) -> Markup {
    html! {
        @if !thing.apart.is_empty() {
            section aria-labelledby="near" {
                h2 id="near" { "What is near it" }
                ul.types {
                    @for line in &thing.apart {
                        @let other = &artefacts.types[line.from];
                        li {
                            a href=(format!("/thing/{}", other.id)) { (other.name) }
                            span.how { "This one: " (line.by) "." }
                        }
                    }
                }
            }
        }
    }
}

/// The page of a class.
pub(super) fn class(desk: &Desk, asked: &Asked) -> Reply {
    let Some(things) = desk.things() else {
        return Fault::nothing_here().into();
    };
    let (artefacts, library) = (&things.artefacts, &desk.house.catalogue);
    let id = asked.path.get("id").unwrap_or_default();
    let Some(at) = artefacts.classes.iter().position(|class| class.id == id) else {
        return Fault::new(
            404,
            "the library has no class of that name",
            "look among its classes",
        )
        .into();
    };
    let class = &artefacts.classes[at];
    let of = artefacts
        .types
        .iter()
        .filter(|one| artefacts.is_of(one, at));
    let types: Vec<&ArtefactType> = of.collect();
    let name = raised(&class.name);
    Reply::Page {
        place: Place::Library,
        title: name.clone(),
        body: html! {
            h1 { (name) }
            (caution(class, artefacts))
            @if let Some(picture) = pictures::class(desk, &class.id) { p { img.term src=(picture) alt=(format!("Drawing: {}", class.name)) width="96" height="96"; } }
            (kin(at, class, artefacts))
            p.acts { a.button href=(Fields::of([("class", class.name.as_str())]).address("/")) { "My find: a " (class.name) } }
            section aria-labelledby="more" { h2 id="more" { "What it is" } (rest(&class.id, "class", artefacts, library)) }
            section aria-labelledby="types" {
                h2 id="types" { "Types" }
                ul.types { @for one in types.iter().take(SHOWN) { (thing_line(one, artefacts)) } }
                @if types.len() > SHOWN { p { (link("class", &class.id, &format!("All {} types", types.len()))) } }
                @if types.is_empty() { p { "The library lists no type of it." } }
            }
            (vouched(class.standing, &class.sources, library))
        },
    }
}

/// The wider and the narrower classes.
fn kin(at: usize, class: &Class, artefacts: &Artefacts) -> Markup {
    let narrower = artefacts
        .classes
        .iter()
        .filter(|other| other.under.contains(&at));
    let narrower: Vec<&Class> = narrower.collect();
    let row =
        |class: &Class| html! { a href=(format!("/class/{}", class.id)) { (class.name) } " " };
    html! {
        @if !class.under.is_empty() { p { "A kind of: " @for wider in &class.under { (row(&artefacts.classes[*wider])) } } }
        @if !narrower.is_empty() { p { "Kinds: " @for one in narrower { (row(one)) } } }
    }
}
