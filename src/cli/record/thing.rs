//! A thing that is no coin as a draft: judged by the things of the library, as `identify` does.
//!
//! Judges nothing itself; the things are opened only where a thing is drafted.
//!
//! Invariant: what the flags tell goes before what the traits say.

use super::super::error::Trouble;
use super::super::opened::Opened;
use super::args::ArtefactFlags;
use super::{Described, LOOKS};
use crate::explain::{self, thing_how, thing_question, thing_reply};
use crate::parse::{Field, ThingFields};
use crate::record::{Basis, Draft, ThingJudgement, draft};
use crate::treasure::CalendarDay;
use crate::{HeardThing, House, Taken, ThingIdentification, Things, Told};

/// The draft of a thing: what was told of it, and what its traits say where they say anything.
pub(super) fn drafted(
    described: &Described<'_>,
    object: &ArtefactFlags,
    opened: &Opened<'_>,
    today: CalendarDay,
) -> Result<Draft, Trouble> {
    let (house, things) = (opened.house()?, opened.things()?);
    let heard = match things.take(&told(described, object), described.find, house) {
        Taken::Thing(heard) | Taken::Either(heard) => Some(heard),
        Taken::Coin => None,
    };
    let judged = heard.map(|heard| {
        let said = things.identify(&heard.object, house);
        let warned = heard.cautions(&said, things);
        let looks = looks_in_words(&heard, &said, things, house);
        (heard, said, warned, looks)
    });
    let thing = judged
        .as_ref()
        .map(|(heard, said, warned, _)| ThingJudgement {
            object: &heard.object,
            ranking: &said.ranking,
            shares: &said.shares,
            answer: &said.answer,
            cautions: warned,
            artefacts: &things.artefacts,
        });
    let looks = judged.as_ref().map_or(&[][..], |one| one.3.as_slice());
    let basis = Basis {
        kind: described.kind,
        find: described.find,
        said: described.said,
        remarks: described.remarks,
        judged: None,
        thing,
        told: described.told,
        circumstances: described.circumstances,
        looks,
        catalogue: &house.catalogue,
    };
    Ok(draft(&basis, today))
}

/// What was said, as the house takes it: shape, decoration and fixing are words like any others.
fn told(described: &Described<'_>, object: &ArtefactFlags) -> Told {
    let all = described.said.iter();
    let words = all.clone().filter(|(field, _)| *field == Field::Words);
    let mut words: Vec<&str> = words.map(|(_, text)| text.as_str()).collect();
    let views = object.shape.iter().chain(&object.decoration);
    words.extend(views.chain(&object.attachment).map(String::as_str));
    let fields = all.filter(|(field, _)| *field != Field::Words);
    Told {
        words: words.join(", "),
        fields: fields.cloned().collect(),
        thing: ThingFields {
            class: object.object.clone(),
            length: object.length.clone(),
            width: object.width.clone(),
            ..ThingFields::default()
        },
        coin: Some(false),
    }
}

/// The looks that would tell most, in words.
fn looks_in_words(
    heard: &HeardThing,
    said: &ThingIdentification,
    things: &Things,
    house: &House,
) -> Vec<String> {
    let (_, looks) = things.looks(&heard.object, said, &[], house);
    let told = explain::Told {
        object: &heard.object,
        artefacts: &things.artefacts,
        catalogue: &house.catalogue,
        ground: things.groundwork(),
    };
    let asked = looks.iter().take(LOOKS).map(|look| {
        let replies = (0..look.replies).map(|at| thing_reply(look, at, told));
        let replies = replies.collect::<Vec<_>>().join("; ");
        let (asks, how) = (thing_question(look, told), thing_how(look));
        format!("{asks} ({replies}); how: {how}")
    });
    asked.collect()
}
