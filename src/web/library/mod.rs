//! The library: browse and search the types, one type's page, types side by side.
//!
//! Shows rows as the library has them; judges no find but by the house, where one is held against
//! types.
//!
//! Invariant: a list is bounded page by page, and what rests on memory says so.

mod browse;
mod coin;
mod compare;
mod list;
mod pictures;
mod thing;

use maud::{Markup, html};

use super::asked::Fields;
use super::routes::{Route, open};
use crate::catalogue::{Catalogue, FactView, Standing, source};

/// The addresses of the library.
pub(super) const ROUTES: [Route; 6] = [
    open("/library", list::list),
    open("/library/by/{kind}", browse::browse),
    open("/type/{id}", coin::coin),
    open("/thing/{id}", thing::artefact),
    open("/class/{id}", thing::class),
    open("/compare", compare::compare),
];

/// The address of the list of all that has this.
fn listed(kind: &str, id: &str) -> String {
    Fields::of([(kind, id)]).address("/library")
}

/// Facts as a list of terms, the blank ones left out.
fn facts(facts: &[FactView]) -> Markup {
    let given = facts.iter().filter(|fact| !fact.is.is_empty());
    html! {
        dl.facts {
            @for fact in given { dt { (fact.what.trim()) } dd { (fact.is) } }
        }
    }
}

/// How far a row is vouched for, and by what.
fn vouched(standing: Standing, sources: &[String], library: &Catalogue) -> Markup {
    let said = match standing {
        Standing::Checked => {
            "Checked: two published sources that do not depend on one another agree."
        }
        Standing::Cited => "Cited: one published source was read.",
        Standing::Recalled => {
            "Recalled: this rests on memory of the works named, and no page was read for it. Check it before you build on it."
        }
    };
    html! {
        section aria-labelledby="sources" {
            h2 id="sources" { "Sources" }
            p.grade { (said) }
            ul { @for cited in sources { li { (source(cited, library)) } } }
        }
    }
}
