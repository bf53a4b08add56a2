//! The answer about a thing that is no coin.
//!
//! Shows what the house made of it; works out nothing.
//!
//! Invariant: what may hurt or is owed by law is said before everything else.

use maud::{Markup, html};

use super::answer::{list, remarks, settle, share_tables, sure};
use super::candidates::{pro_and_contra, share};
use super::looks::{self, Shown};
use super::said::{Said, between};
use super::{line, pictures};
use crate::explain::{
    ThingReason, Told, reckoned, thing_how, thing_question, thing_reasons, thing_reply, thing_text,
};
use crate::parse::Field;
use crate::score::{Concept, Hypothesis, ThingAsks, ThingLook, ThingShare, words_of_confidence};
use crate::web::asked::Fields;
use crate::web::desk::Desk;
use crate::web::page::{raised, sentence};
use crate::{HeardThing, ThingIdentification, Things};

/// Candidates shown, looks shown, shares of a level and the least of them.
const SHOWN: usize = 8;
const LOOKS: usize = 2;
const SHARES: (usize, f64) = (8, 0.01);

/// What a thing is shown by.
struct Seen<'a> {
    desk: &'a Desk,
    things: &'a Things,
    heard: &'a HeardThing,
    said: ThingIdentification,
    fields: &'a Fields,
}

/// The answer, and its headline.
pub(super) fn thing(
    desk: &Desk,
    fields: &Fields,
    heard: &HeardThing,
    told: &Said,
) -> (Markup, String) {
    let Some(things) = desk.things() else {
        return (html! {}, String::new());
    };
    let seen = Seen {
        desk,
        things,
        heard,
        said: things.identify(&heard.object, desk.house),
        fields,
    };
    let artefacts = &things.artefacts;
    let answer = &seen.said.answer;
    let span = answer.span.map(|span| format!(", {}", span.text()));
    let text = sentence(&format!(
        "{}{}",
        thing_text(answer, artefacts),
        span.unwrap_or_default()
    ));
    let headline = format!("{text} {}.", raised(words_of_confidence(answer.p)));
    let dates = seen.said.ranking.dates(artefacts);
    let body = html! {
        (cautions(&seen))
        h2 { (text) }
        (sure(answer.p))
        (remarks(&heard.remarks))
        (next(&seen, told))
        (candidates(&seen))
        (list("By its figures", &figures(&seen)))
        @if let Some(dates) = &dates { (line::date(dates, &in_order(artefacts))) }
        (shares(&seen))
        @if told.told.coin != Some(false) { (settle(fields, "coin", "It is a coin")) }
    };
    (body, headline)
}

/// The periods, the oldest first.
fn in_order(artefacts: &crate::catalogue::Artefacts) -> Vec<crate::catalogue::Period> {
    let order = artefacts.periods_in_order().into_iter();
    order.map(|at| artefacts.periods[at].clone()).collect()
}

fn cautions(seen: &Seen<'_>) -> Markup {
    let cautions = seen.heard.cautions(&seen.said, seen.things);
    html! {
        @if !cautions.is_empty() {
            section.caution aria-label="Take care" {
                @for caution in cautions { p { strong { "Take care: " } (sentence(caution.advice())) } }
            }
        }
    }
}

fn told<'a>(seen: &'a Seen<'_>) -> Told<'a> {
    Told {
        object: &seen.heard.object,
        artefacts: &seen.things.artefacts,
        catalogue: &seen.desk.house.catalogue,
        ground: seen.things.groundwork(),
    }
}

fn candidates(seen: &Seen<'_>) -> Markup {
    html! {
        section aria-labelledby="thing-may-be" {
            h3 id="thing-may-be" { "What it may be" }
            ol.candidates {
                @for one in seen.said.shares.types.iter().take(SHOWN) {
                    @if let Some(at) = one.like { li { (candidate(at, one.p, seen)) } }
                }
            }
            p.share.rest { span.name { "Of no class in the library" } (share(seen.said.ranking.outside)) }
        }
    }
}

fn candidate(at: usize, p: f64, seen: &Seen<'_>) -> Markup {
    let artefacts = &seen.things.artefacts;
    let artefact = &artefacts.types[at];
    let class = &artefacts.classes[artefact.class];
    let judged = seen.said.ranking.judged.iter();
    let judged = judged.clone().find(|one| one.what == Hypothesis::Type(at));
    let reasons = judged.map_or(Vec::new(), |judged| thing_reasons(judged, told(seen)));
    html! {
        details data-key=(artefact.id) {
            summary.share {
                span.name { (artefact.name) span.years { " (" (class.name) "), " (artefact.span.text()) } }
                (share(p))
            }
            div.why {
                (for_and_against(&reasons))
                p.acts {
                    a href=(format!("/thing/{}", artefact.id)) { "About this type" } " "
                    a href=(format!("/class/{}", class.id)) { "About its class" }
                }
            }
        }
    }
}

fn for_and_against(reasons: &[ThingReason]) -> Markup {
    html! {
        @if reasons.is_empty() { p { "Nothing that was said tells of it by itself." } }
        (pro_and_contra(reasons.iter().map(|one| (one.text.as_str(), one.nats))))
    }
}

fn figures(seen: &Seen<'_>) -> Vec<String> {
    let classes = seen.said.shares.classes.iter();
    let classes: Vec<(&str, f64)> = classes.map(|one| (one.id.as_str(), one.p)).collect();
    reckoned(&seen.heard.object, &classes, None, &seen.things.artefacts)
}

fn shares(seen: &Seen<'_>) -> Markup {
    let artefacts = &seen.things.artefacts;
    let classes = |id: &str| {
        let class = artefacts.classes.iter().find(|class| class.id == id);
        class.map_or(id.to_string(), |class| class.name.clone())
    };
    let groups = |id: &str| id.replace(['-', '/'], " ");
    let periods = |id: &str| {
        let period = artefacts.periods.iter().find(|period| period.id == id);
        period.map_or(id.to_string(), |period| period.name.clone())
    };
    let named = |shares: &[ThingShare], name: &dyn Fn(&str) -> String| -> Vec<(String, f64)> {
        let shown = shares.iter().take(SHARES.0).filter(|one| one.p >= SHARES.1);
        shown.map(|one| (name(&one.id), one.p)).collect()
    };
    let all = &seen.said.shares;
    share_tables(&[
        ("Class", named(&all.classes, &classes)),
        ("Group", named(&all.groups, &groups)),
        ("Period", named(&all.periods, &periods)),
    ])
}

/// A look at a thing as it stands in an address; of a size or a metal whatever its replies are.
fn code(look: &ThingLook, told: Told<'_>) -> String {
    let name = |concept: &Concept| {
        told.ground
            .concept_name(*concept, told.artefacts, told.catalogue)
            .to_string()
    };
    match &look.asks {
        ThingAsks::Form(concept) => format!("form.{}", name(concept)),
        ThingAsks::Which(all) => {
            let names: Vec<String> = all.iter().map(name).collect();
            format!("one-of.{}", names.join("."))
        }
        ThingAsks::Size(dimension, _) => format!("size.{}", dimension.name()),
        ThingAsks::Metal(_) => "looks".into(),
    }
}

fn next(seen: &Seen<'_>, said: &Said) -> Markup {
    let object = &seen.heard.object;
    let (aim, mut looks) = seen.things.looks(object, &seen.said, &[], seen.desk.house);
    looks.retain(|look| !said.unsure.contains(&code(look, told(seen))));
    html! {
        @if !looks.is_empty() {
            section.looks aria-labelledby="thing-look-next" {
                h3 id="thing-look-next" { "Look next" }
                @for look in looks.iter().take(LOOKS) {
                    (looks::one(&Shown {
                        question: thing_question(look, told(seen)),
                        how: thing_how(look),
                        tells: aim.name(),
                        bits: look.bits,
                        code: code(look, told(seen)),
                        replies: (0..look.replies).map(|at| reply(look, at, seen)).collect(),
                    }, seen.fields))
                }
                @if !said.unsure.is_empty() { (looks::again(seen.fields, said.unsure.len())) }
            }
        }
    }
}

/// A reply: its words, its picture, and the fields with it.
fn reply(look: &ThingLook, at: usize, seen: &Seen<'_>) -> (String, Option<String>, Fields) {
    let told = told(seen);
    let name = |concept: &Concept| {
        told.ground
            .concept_name(*concept, told.artefacts, told.catalogue)
    };
    let picture = |concept: &Concept| {
        let form = told.artefacts.forms.get(*concept as usize)?;
        pictures::form(seen.desk, &form.id)
    };
    let text = thing_reply(look, at, told);
    let add =
        |field: Field, words: &str| looks::set(seen.fields, field.name(), between(field), words);
    let (picture, with) = match &look.asks {
        ThingAsks::Form(concept) if at == 0 => (picture(concept), add(Field::Motif, name(concept))),
        ThingAsks::Form(concept) => (None, add(Field::Absent, name(concept))),
        ThingAsks::Which(all) => match all.get(at) {
            Some(concept) => (picture(concept), add(Field::Motif, name(concept))),
            None => {
                let names: Vec<&str> = all.iter().map(name).collect();
                (None, add(Field::Absent, &names.join(", no ")))
            }
        },
        ThingAsks::Size(dimension, edges) => {
            let low = at.checked_sub(1).map_or(edges[0] / 2.0, |at| edges[at]);
            let high = edges.get(at).map_or(low * 2.0, |edge| *edge);
            let size = format!("{low}-{high} mm");
            (None, looks::set(seen.fields, dimension.name(), ", ", &size))
        }
        ThingAsks::Metal(metals) => match metals.get(at) {
            Some(metal) => (None, looks::set(seen.fields, "metal", ", ", metal.name())),
            None => {
                let mut with = super::form::kept(seen.fields);
                with.push(super::said::UNSURE, "looks");
                (None, with)
            }
        },
    };
    (text, picture, with)
}
