//! The account of a thing in sentences.
//!
//! Every number shown is one the scorer made.
//!
//! Invariant: one sentence a term, and the terms with the prior sum to the total.

use crate::catalogue::{Artefacts, Catalogue};
use crate::find::{Dimension, Object, Presence};
use crate::score::{
    About, Concept, Hypothesis, ObjectGroundwork, Relation, Relations, ThingAnswer, ThingAsks,
    ThingJudged, ThingLevel, ThingLook,
};

/// One reason, for or against a hypothesis.
#[derive(Clone, Debug, PartialEq)]
pub struct ThingReason {
    /// The sentence, without a full stop.
    pub text: String,
    /// Nats against any thing of the library.
    pub nats: f64,
}

/// What is needed to word an account.
#[derive(Clone, Copy)]
pub struct Told<'a> {
    /// What was said.
    pub object: &'a Object,
    /// The library of things.
    pub artefacts: &'a Artefacts,
    /// Its other half, for metals.
    pub catalogue: &'a Catalogue,
    /// What is worked out from it.
    pub ground: &'a ObjectGroundwork,
}

/// What a thing is, as a phrase.
pub fn thing_text(answer: &ThingAnswer, artefacts: &Artefacts) -> String {
    let class = |id: &str| artefacts.classes.iter().find(|class| class.id == id);
    let like = answer.like.map(|at| &artefacts.types[at]);
    match (answer.level, like) {
        (ThingLevel::Type, Some(artefact)) => {
            format!(
                "{}: {}",
                artefacts.classes[artefact.class].name, artefact.name
            )
        }
        (ThingLevel::Group, Some(artefact)) => {
            let class = &artefacts.classes[artefact.class].name;
            let typology = artefact
                .typology
                .as_ref()
                .map_or(String::new(), |by| format!(" ({by})"));
            format!(
                "{class} of the group {}{typology}",
                artefact.group.replace('-', " ")
            )
        }
        (ThingLevel::Class, _) => {
            class(&answer.id).map_or(answer.id.clone(), |class| class.name.clone())
        }
        (ThingLevel::Wider, _) => {
            let name = class(&answer.id).map_or(answer.id.clone(), |class| class.name.clone());
            format!("{name}, which kind is open")
        }
        _ => "a thing whose class is open".to_string(),
    }
}

/// What a hypothesis is called.
pub fn thing_name(what: Hypothesis, artefacts: &Artefacts) -> String {
    match what {
        Hypothesis::Type(at) => artefacts.types[at].name.clone(),
        Hypothesis::Rest(class) => format!(
            "{} of a type that is not listed",
            artefacts.classes[class].name
        ),
    }
}

/// The reasons for a hypothesis, the strongest first.
pub fn thing_reasons(judged: &ThingJudged, told: Told<'_>) -> Vec<ThingReason> {
    let mut reasons: Vec<ThingReason> = judged
        .terms
        .iter()
        .filter(|term| term.nats.abs() >= 0.05)
        .map(|term| ThingReason {
            text: sentence(term.about, term.nats, judged, told),
            nats: term.nats,
        })
        .collect();
    reasons.sort_by(|a, b| b.nats.total_cmp(&a.nats));
    reasons
}

fn sentence(about: About, nats: f64, judged: &ThingJudged, told: Told<'_>) -> String {
    let (object, artefacts) = (told.object, told.artefacts);
    let class = &artefacts.classes[judged.class];
    match about {
        About::Class(at) => {
            let said = &object.classes[at].said;
            match object.classes[at].ids.contains(&class.id) {
                true => format!("you call it \"{said}\""),
                false => format!("you call it \"{said}\"; this is a {}", class.name),
            }
        }
        About::Metal => metal(judged, told),
        About::Form(at) => form(at, judged, told),
        About::Size(at) => size(at, judged, told),
        About::Weight => "its weight".to_string(),
        About::Letters(at) => letters(&object.letters[at], judged, artefacts),
        About::Period(at) => {
            let of = match judged.what {
                Hypothesis::Type(at) => artefacts.periods[artefacts.types[at].period].name.clone(),
                Hypothesis::Rest(_) => "several periods".to_string(),
            };
            format!("you say \"{}\"; it is of {of}", object.periods[at].said)
        }
        About::Word(at) => format!("the word \"{}\" {}", object.words[at].said, stands(nats)),
        About::Told(at) => {
            let word = object.told.iter().flatten().nth(at);
            let word = word.map_or("", String::as_str);
            format!("the word \"{word}\" {}", stands(nats))
        }
        About::Region => "where it was found".to_string(),
    }
}

fn metal(judged: &ThingJudged, told: Told<'_>) -> String {
    let seen = told.object.metal.map_or("", |(metal, _)| metal.name());
    match judged.what {
        Hypothesis::Type(at) => {
            let metals = told.artefacts.types[at].materials.iter();
            let names: Vec<&str> = metals
                .map(|at| told.catalogue.metals[*at].name.as_str())
                .collect();
            format!("it looks {seen}; the type is of {}", names.join(" or "))
        }
        Hypothesis::Rest(_) => format!("it looks {seen}"),
    }
}

fn form(place: usize, judged: &ThingJudged, told: Told<'_>) -> String {
    let said = &told.object.forms[place];
    let there = match said.presence {
        Presence::Present => format!("\"{}\"", said.said),
        Presence::Absent => format!("no \"{}\"", said.said),
        Presence::BrokenAway => format!("\"{}\", lost", said.said),
    };
    let Hypothesis::Type(at) = judged.what else {
        return format!("{there}: what its class shows");
    };
    let concepts = told.ground.meant(said, told.object, told.artefacts);
    let class = &told.artefacts.classes[judged.class].name;
    let relations = Relations::new(&concepts, told.ground);
    let relation_of = |at: usize| relations.to(at, told.artefacts, told.ground);
    let fellows = (0..told.artefacts.types.len())
        .filter(|other| told.artefacts.types[*other].class == judged.class)
        .filter(|other| matches!(relation_of(*other), Relation::Has | Relation::May))
        .count();
    match relation_of(at) {
        Relation::Has => {
            format!("{there}: the type has it, as have {fellows} types listed under {class}")
        }
        Relation::May => format!("{there}: some of the type have it"),
        Relation::Near(concept) => {
            let name = told
                .ground
                .concept_name(concept, told.artefacts, told.catalogue);
            format!("{there}: the type has something near, {name}")
        }
        Relation::Lacks => format!("{there}: its row speaks against it"),
        Relation::Unnamed => format!("{there}: its row does not name it"),
    }
}

fn size(place: usize, judged: &ThingJudged, told: Told<'_>) -> String {
    let said = &told.object.sizes[place];
    let name = said
        .dimension
        .map_or("a size", |dimension| dimension.name());
    let seen = format!("{name} of {:.1} mm", said.size.value.get());
    let Hypothesis::Type(at) = judged.what else {
        return seen;
    };
    let sizes = told.artefacts.types[at].sizes.given();
    let own: Vec<String> = sizes
        .map(|(dimension, (least, most))| format!("{} {least}-{most}", dimension.name()))
        .collect();
    format!("{seen}; whole ones are {} mm", own.join(", "))
}

fn letters(read: &str, judged: &ThingJudged, artefacts: &Artefacts) -> String {
    let Hypothesis::Type(at) = judged.what else {
        return format!("reads \"{read}\"");
    };
    match artefacts.types[at].letters.is_empty() {
        true => format!("reads \"{read}\"; no letters are listed on it"),
        false => format!(
            "reads \"{read}\"; often on it: {}",
            artefacts.types[at].letters.join(", ")
        ),
    }
}

fn stands(nats: f64) -> &'static str {
    match nats > 0.0 {
        true => "is said of such things",
        false => "is said of others",
    }
}

/// The question of a look.
pub fn thing_question(look: &ThingLook, told: Told<'_>) -> String {
    let name = |concept: &Concept| {
        told.ground
            .concept_name(*concept, told.artefacts, told.catalogue)
    };
    match &look.asks {
        ThingAsks::Form(concept) => {
            let lay = told
                .artefacts
                .forms
                .get(*concept as usize)
                .and_then(|form| form.words.first());
            let lay = lay.map_or(String::new(), |word| format!(" ({word})"));
            format!("Does it have this: {}{lay}?", name(concept))
        }
        ThingAsks::Which(_) => "Which of these does it have?".to_string(),
        ThingAsks::Size(dimension, _) => match dimension {
            Dimension::Diameter => "How wide is it across?".to_string(),
            dimension => format!("What is its {}?", dimension.name()),
        },
        ThingAsks::Metal(_) => "What metal does it look like?".to_string(),
    }
}

/// A reply to a look, in words.
pub fn thing_reply(look: &ThingLook, reply: usize, told: Told<'_>) -> String {
    let name = |concept: &Concept| {
        told.ground
            .concept_name(*concept, told.artefacts, told.catalogue)
    };
    match &look.asks {
        ThingAsks::Form(_) => if reply == 0 { "yes" } else { "no" }.to_string(),
        ThingAsks::Which(all) => all.get(reply).map_or("none of these", name).to_string(),
        ThingAsks::Size(_, edges) => {
            match (reply.checked_sub(1).map(|at| edges[at]), edges.get(reply)) {
                (None, Some(most)) => format!("under {most:.0} mm"),
                (Some(least), Some(most)) => format!("{least:.0} to {most:.0} mm"),
                (least, None) => format!("{:.0} mm or more", least.unwrap_or(0.0)),
            }
        }
        ThingAsks::Metal(metals) => metals
            .get(reply)
            .map_or("another", |metal| metal.name())
            .to_string(),
    }
}

/// How a look is taken without harm.
pub fn thing_how(look: &ThingLook) -> &'static str {
    match look.asks {
        ThingAsks::Form(_) | ThingAsks::Which(_) => {
            "turn it under one low lamp; brush off loose dry soil with a soft dry brush at most; do not scrape, bend or open it"
        }
        ThingAsks::Size(..) => "lay it beside a ruler; do not straighten what is bent",
        ThingAsks::Metal(_) => {
            "by daylight, at an old scratch or break if there is one; do not make a new one"
        }
    }
}
