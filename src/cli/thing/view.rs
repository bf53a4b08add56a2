//! The answer about a thing as JSON.
//!
//! Invariant: ids are stable, names stand beside them; years BC are negative.

use serde::Serialize;

use super::Shown;
use super::print::{account, reckon, told};
use crate::cli::view::{DateView, RemarkView};
use crate::explain::{ThingReason, thing_how, thing_question, thing_reply, thing_text};
use crate::score::{ThingLook, ThingShare, words_of_confidence};

/// A thing.
#[derive(Serialize)]
pub(in crate::cli) struct ThingView {
    kind: &'static str,
    coin_share: f64,
    answer: AnswerView,
    types: Vec<TypeView>,
    groups: Vec<ShareView>,
    classes: Vec<ShareView>,
    wider_classes: Vec<ShareView>,
    periods: Vec<ShareView>,
    outside: f64,
    date: Option<DateView>,
    of: Option<String>,
    reasons: Vec<ReasonView>,
    by_figures: Vec<String>,
    cautions: Vec<&'static str>,
    looks: Vec<LookView>,
    left: &'static str,
    remarks: Vec<RemarkView>,
}

/// A find of which it is open whether it is a coin.
#[derive(Serialize)]
pub(in crate::cli) struct BothView<C: Serialize> {
    pub(in crate::cli) coin_share: f64,
    pub(in crate::cli) coin: C,
    pub(in crate::cli) thing: ThingView,
}

#[derive(Serialize)]
struct AnswerView {
    level: &'static str,
    id: String,
    text: String,
    p: f64,
    words: &'static str,
    span: Option<[i32; 2]>,
}

#[derive(Serialize)]
struct TypeView {
    id: String,
    name: String,
    class: String,
    group: String,
    period: String,
    p: f64,
    from: i32,
    to: i32,
}

#[derive(Serialize)]
struct ShareView {
    id: String,
    name: Option<String>,
    p: f64,
}

#[derive(Serialize)]
struct LookView {
    tells: &'static str,
    question: String,
    how: &'static str,
    bits: f64,
    replies: Vec<String>,
}

#[derive(Serialize)]
struct ReasonView {
    text: String,
    nats: f64,
}

impl ThingView {
    /// The view of a thing.
    pub(in crate::cli) fn of(shown: &Shown<'_>) -> ThingView {
        let (said, artefacts) = (shown.said, &shown.things.artefacts);
        let class = |id: &str| {
            artefacts
                .classes
                .iter()
                .find(|one| one.id == id)
                .map(|one| one.name.clone())
        };
        let period = |id: &str| {
            artefacts
                .periods
                .iter()
                .find(|one| one.id == id)
                .map(|one| one.name.clone())
        };
        let list = |shares: &[ThingShare], name: &dyn Fn(&str) -> Option<String>| {
            let shares = shares.iter().take(shown.top);
            let view = |one: &ThingShare| ShareView {
                id: one.id.clone(),
                name: name(&one.id),
                p: one.p,
            };
            shares.map(view).collect::<Vec<_>>()
        };
        let judged = shown.said.explained();
        ThingView {
            kind: "thing",
            coin_share: shown.heard.kind.coin,
            answer: answer(shown),
            types: types(shown),
            groups: list(&said.shares.groups, &|_| None),
            classes: list(&said.shares.classes, &class),
            wider_classes: list(&said.shares.wider, &class),
            periods: list(&said.shares.periods, &period),
            outside: said.ranking.outside,
            date: said.ranking.dates(artefacts).as_ref().map(DateView::of),
            of: judged.map(|one| crate::explain::thing_name(one.what, artefacts)),
            reasons: reasons(shown),
            by_figures: reckon(shown),
            cautions: cautions(shown),
            looks: looks(shown),
            left: shown.heard.object.left.name(),
            remarks: shown.heard.remarks.iter().map(RemarkView::of).collect(),
        }
    }
}

fn reasons(shown: &Shown<'_>) -> Vec<ReasonView> {
    let reasons = shown
        .said
        .explained()
        .map_or(Vec::new(), |one| account(shown, one));
    let view = |one: ThingReason| ReasonView {
        text: one.text,
        nats: one.nats,
    };
    reasons.into_iter().map(view).collect()
}

fn cautions(shown: &Shown<'_>) -> Vec<&'static str> {
    let warned = shown.heard.cautions(shown.said, shown.things).into_iter();
    warned.map(|caution| caution.advice()).collect()
}

fn answer(shown: &Shown<'_>) -> AnswerView {
    let answer = &shown.said.answer;
    AnswerView {
        level: answer.level.name(),
        id: answer.id.clone(),
        text: thing_text(answer, &shown.things.artefacts),
        p: answer.p,
        words: words_of_confidence(answer.p),
        span: answer.span.map(|span| [span.from, span.to]),
    }
}

fn types(shown: &Shown<'_>) -> Vec<TypeView> {
    let artefacts = &shown.things.artefacts;
    let shares = shown.said.shares.types.iter().take(shown.top);
    let view = |share: &ThingShare| {
        let one = &artefacts.types[share.like?];
        Some(TypeView {
            id: one.id.clone(),
            name: one.name.clone(),
            class: artefacts.classes[one.class].id.clone(),
            group: one.group.clone(),
            period: artefacts.periods[one.period].id.clone(),
            p: share.p,
            from: one.span.from,
            to: one.span.to,
        })
    };
    shares.filter_map(view).collect()
}

/// Looks told.
const LOOKS: usize = 5;

fn looks(shown: &Shown<'_>) -> Vec<LookView> {
    let (aim, looks) = shown
        .things
        .looks(&shown.heard.object, shown.said, &[], shown.house);
    let view = |look: &ThingLook| LookView {
        tells: aim.name(),
        question: thing_question(look, told(shown)),
        how: thing_how(look),
        bits: look.bits,
        replies: (0..look.replies)
            .map(|at| thing_reply(look, at, told(shown)))
            .collect(),
    };
    looks.iter().take(LOOKS).map(view).collect()
}
