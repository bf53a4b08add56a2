//! The candidates among the coins: how likely each is, and why and why not.
//!
//! Every figure is one that the scorer gave.
//!
//! Invariant: a share stands as a figure and as a bar; each candidate is explained by its own terms.

use maud::{Markup, html};

use super::form::described;
use super::laid::{key, laid};
use crate::Identification;
use crate::catalogue::CoinType;
use crate::explain::{Reason, chance_in_figures, reasons_for, type_name};
use crate::score::Judged;
use crate::web::asked::Fields;
use crate::web::bench::said::Said;
use crate::web::desk::Desk;
use crate::web::page::sentence;
use crate::web::size::{Screen, ring};

/// Candidates shown.
pub(super) const SHOWN: usize = 8;
/// Candidates of a chance below this are left out, but for the first.
const LEAST: f64 = 0.002;

/// The candidates and what is left to none of them.
pub(super) fn candidates(
    desk: &Desk,
    fields: &Fields,
    said: &Said,
    found: &Identification,
    screen: Screen,
) -> Markup {
    let judged = found.ranking.judged.iter().take(SHOWN).enumerate();
    let judged = judged.filter(|(at, one)| *at == 0 || one.probability >= LEAST);
    html! {
        section aria-labelledby="may-be" {
            h3 id="may-be" { "What it may be" }
            ol.candidates {
                @for (at, one) in judged {
                    li { (candidate(at, one, &Asked { desk, fields, said, found, screen })) }
                }
            }
            p.share.rest { span.name { "Not in the library" } (share(found.ranking.unlisted)) }
            @if found.likely.len() > 1 {
                p.how { "If the library has it, it is one of the first " (found.likely.len()) ": so it was for nine in ten finds of known type." }
            }
        }
    }
}

/// What every candidate is shown by.
struct Asked<'a> {
    desk: &'a Desk,
    fields: &'a Fields,
    said: &'a Said,
    found: &'a Identification,
    screen: Screen,
}

/// A share as a bar and a figure.
pub(in crate::web) fn share(p: f64) -> Markup {
    html! {
        span.chance {
            meter min="0" max="1" value=(format!("{p:.3}")) aria-hidden="true" {}
            span.figure { (chance_in_figures(p)) }
        }
    }
}

fn candidate(at: usize, one: &Judged, asked: &Asked<'_>) -> Markup {
    let library = &asked.desk.house.catalogue;
    let coin = &library.types[one.coin];
    let (said, found) = (asked.said, asked.found);
    let reasons = reasons_for(one.coin, &said.find, library, &found.ranking);
    let readings = one.evidence.iter();
    let readings: Vec<Markup> = readings
        .filter_map(|term| laid(term, &said.find, library))
        .collect();
    html! {
        details data-key=(coin.id) {
            summary.share {
                span.name { (type_name(coin, library)) span.years { ", " (coin.span.text()) } }
                (share(one.probability))
            }
            div.why {
                (for_and_against(&reasons))
                @if !readings.is_empty() {
                    h4 { "Letter by letter" }
                    @for reading in &readings { (reading) }
                    (key())
                }
                (size(coin, asked.screen))
                p.acts { (ways(at, coin, asked)) }
            }
        }
    }
}

/// On from a candidate: its page, and beside the leader.
fn ways(at: usize, coin: &CoinType, asked: &Asked<'_>) -> Markup {
    let types = &asked.desk.house.catalogue.types;
    let judged = &asked.found.ranking.judged;
    let other = judged.get(usize::from(at == 0));
    let other = other
        .map(|other| &types[other.coin])
        .filter(|one| !one.rest);
    let beside = other.filter(|_| !coin.rest).map(|other| {
        let mut query = Fields::of([("type", coin.id.as_str()), ("type", other.id.as_str())]);
        let described = described(asked.fields);
        described
            .iter()
            .for_each(|(name, text)| query.push(name, text));
        query.address("/compare")
    });
    html! {
        @if coin.rest {
            "This stands for the designs of the coinage that the library does not list. "
        } @else {
            a href=(format!("/type/{}", coin.id)) { "About this type" } " "
        }
        @if let Some(beside) = beside {
            a href=(beside) { @if at == 0 { "Beside the next" } @else { "Beside the first" } }
        }
    }
}

fn size(coin: &CoinType, screen: Screen) -> Markup {
    let Some((least, most)) = coin.diameter else {
        return html! {};
    };
    html! {
        h4 { "Its size" }
        (ring(least, most, screen))
    }
}

/// What speaks for and what against, the strongest first, and what was so beforehand.
pub(super) fn for_and_against(reasons: &[Reason]) -> Markup {
    let terms = reasons.iter().filter(|one| one.witness.is_some());
    let prior = reasons.iter().find(|one| one.witness.is_none());
    html! {
        (pro_and_contra(terms.map(|one| (one.text.as_str(), one.nats))))
        @if let Some(prior) = prior {
            h4 { "Beforehand" }
            ul.reasons { (reason(&prior.text, prior.nats)) }
        }
    }
}

/// Reasons with their nats, the strongest first: what speaks for it, then what speaks against it.
pub(super) fn pro_and_contra<'r>(reasons: impl Iterator<Item = (&'r str, f64)>) -> Markup {
    let (contra, pro): (Vec<_>, Vec<_>) = reasons.partition(|(_, nats)| *nats < 0.0);
    html! {
        @if !pro.is_empty() {
            h4 { "What speaks for it" }
            ul.reasons { @for (text, nats) in pro { (reason(text, nats)) } }
        }
        @if !contra.is_empty() {
            h4 { "What speaks against it" }
            ul.reasons { @for (text, nats) in contra.into_iter().rev() { (reason(text, nats)) } }
        }
    }
}

/// A reason with its weight.
fn reason(text: &str, nats: f64) -> Markup {
    html! {
        li { (sentence(text)) " " span.nats { (format!("{nats:+.1}")) } }
    }
}
