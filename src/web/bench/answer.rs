//! An answer as part of a page: what it is, how sure, why, what else.
//!
//! Shows what the house made of a find; works out nothing.
//!
//! Invariant: a number stands with its word of confidence.

use maud::{Markup, html};

use crate::IdentifyOptions;
use crate::explain::type_name;
use crate::find::Find;
use crate::parse::Remark;
use crate::score::words_of_confidence;
use crate::web::desk::Desk;
use crate::web::page::sentence;

/// Candidates shown.
const SHOWN: usize = 8;

/// The answer to a find heard as a coin.
pub(super) fn coin(desk: &Desk, find: &Find, remarks: &[Remark]) -> Markup {
    let library = &desk.house.catalogue;
    let said = desk.house.identify(find, IdentifyOptions::default());
    let candidates = said.ranking.judged.iter().take(SHOWN);
    html! {
        h2 { (sentence(&said.text)) }
        p.sure { (words_of_confidence(said.answer.p)) " (" (format!("{:.0}", said.answer.p * 100.0)) " in 100)" }
        ol.candidates {
            @for one in candidates {
                li {
                    span.name { (type_name(&library.types[one.coin], library)) }
                    " "
                    meter min="0" max="1" value=(format!("{:.3}", one.probability)) { (format!("{:.2}", one.probability)) }
                }
            }
        }
        h3 { "Why" }
        ul {
            @for reason in &said.explanation.reasons {
                li { (sentence(&reason.text)) }
            }
        }
        @if !remarks.is_empty() {
            h3 { "Not understood, or taken so" }
            ul { @for remark in remarks { li { (remark) } } }
        }
    }
}
