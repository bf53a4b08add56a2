//! Views: what the doors send out as JSON.
//!
//! Ids are stable, names stand beside them; years BC are negative and there is no
//! year 0. Converted by hand from the rooms' values, so neither hinders the other.

use serde::Serialize;

use super::looks::{Ahead, Foreseen};
use crate::catalogue::Catalogue;
use crate::explain::{Reason, how_to, question, reply};
use crate::find::{Span, Year};
use crate::parse::{Remark, RemarkKind};
use crate::score::{Aim, Answer, DateCurve, Judged, Share, words_of_confidence};
use crate::{House, Identification};

/// An answer to one find.
#[derive(Serialize)]
pub(super) struct AnswerView {
    id: Option<String>,
    unlisted: f64,
    period: Vec<NamedView>,
    ruler: Vec<NamedView>,
    denomination: Vec<NamedView>,
    series: Vec<NamedView>,
    types: Vec<TypeView>,
    nine_in_ten: Vec<String>,
    date: Option<DateView>,
    answer: LevelView,
    flat_prior: LevelView,
    reasons: Vec<ReasonView>,
    assumed: Vec<String>,
    apart: Vec<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    your_own_finds: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    looks: Option<Vec<LookView>>,
    remarks: Vec<RemarkView>,
}

/// A share of the probability.
#[derive(Serialize)]
pub(super) struct NamedView {
    id: Option<String>,
    name: String,
    p: f64,
}

#[derive(Serialize)]
struct TypeView {
    id: String,
    name: String,
    p: f64,
    /// Total against "not in the library", before it is tempered.
    nats: f64,
    from: Year,
    to: Year,
}

/// When it was made.
#[derive(Serialize)]
pub(super) struct DateView {
    median: Year,
    p50: [Year; 2],
    p80: [Year; 2],
    p95: [Year; 2],
}

impl DateView {
    pub(super) fn of(date: &DateCurve) -> DateView {
        let ranges = date.ranges();
        DateView {
            median: date.median(),
            p50: years(ranges.p50),
            p80: years(ranges.p80),
            p95: years(ranges.p95),
        }
    }
}

#[derive(Serialize)]
struct LevelView {
    level: &'static str,
    text: String,
    p: f64,
    words: &'static str,
}

#[derive(Serialize)]
struct ReasonView {
    witness: &'static str,
    text: String,
    nats: f64,
    over_runner_up: Option<f64>,
}

/// A look that may be taken next.
#[derive(Serialize)]
struct LookView {
    tells: &'static str,
    question: String,
    how: &'static str,
    bits: f64,
    seconds: f64,
    not_sure: f64,
    replies: Vec<ReplyView>,
}

/// A reply, how likely it is, and the answer it would leave.
#[derive(Serialize)]
struct ReplyView {
    text: String,
    p: f64,
    then: LevelView,
}

impl LookView {
    fn of(foreseen: &Foreseen, aim: Aim, house: &House) -> LookView {
        let look = &foreseen.look;
        let replies = look.replies.iter().zip(&foreseen.then);
        LookView {
            tells: aim.name(),
            question: question(&look.asks, &house.catalogue),
            how: how_to(&look.asks),
            bits: look.bits,
            seconds: look.seconds,
            not_sure: look.unsure,
            replies: replies
                .map(|(said, (answer, text))| ReplyView {
                    text: reply(look, said, &house.catalogue),
                    p: said.chance,
                    then: level(answer, text),
                })
                .collect(),
        }
    }
}

/// A remark.
#[derive(Serialize)]
pub(super) struct RemarkView {
    kind: &'static str,
    field: String,
    said: String,
    what: String,
    mend: String,
}

impl RemarkView {
    /// The view of a remark.
    pub(super) fn of(remark: &Remark) -> RemarkView {
        let kind = match remark.kind {
            RemarkKind::NotUnderstood => "not-understood",
            RemarkKind::WordsAlone => "words-alone",
            RemarkKind::Impossible => "impossible",
            RemarkKind::Contradiction => "contradiction",
            RemarkKind::Assumed => "assumed",
            RemarkKind::Ignored => "ignored",
        };
        let Remark {
            field,
            said,
            what,
            mend,
            ..
        } = remark.clone();
        RemarkView {
            kind,
            field,
            said,
            what,
            mend,
        }
    }
}

fn types(said: &Identification, library: &Catalogue, top: usize) -> Vec<TypeView> {
    let judged = said.ranking.judged.iter().take(top);
    let view = |judged: &Judged| {
        let coin = &library.types[judged.coin];
        TypeView {
            id: coin.id.clone(),
            name: coin.name.clone(),
            p: judged.probability,
            nats: judged.total,
            from: coin.span.from,
            to: coin.span.to,
        }
    };
    judged.map(view).collect()
}

fn years(span: Span) -> [Year; 2] {
    [span.from, span.to]
}

fn reason(reason: &Reason) -> ReasonView {
    let witness = reason.witness.map_or("prior", |w| w.name());
    ReasonView {
        witness,
        text: reason.text.clone(),
        nats: reason.nats,
        over_runner_up: reason.over_runner_up,
    }
}

/// Shares with their ids and names, the first `top`.
pub(super) fn named<'h>(
    shares: &[Share],
    top: usize,
    name: impl Fn(usize) -> (&'h str, &'h str),
) -> Vec<NamedView> {
    let view = |share: &Share| {
        let (id, name) = share.of.map_or((None, "none named"), |of| {
            (Some(name(of).0.to_string()), name(of).1)
        });
        NamedView {
            id,
            name: name.to_string(),
            p: share.p,
        }
    };
    shares.iter().take(top).map(view).collect()
}

fn level(answer: &Answer, text: &str) -> LevelView {
    LevelView {
        level: answer.level.name(),
        text: text.to_string(),
        p: answer.p,
        words: words_of_confidence(answer.p),
    }
}

impl AnswerView {
    /// The same with what to look at next.
    pub(super) fn with_looks(mut self, ahead: &Ahead, house: &House) -> AnswerView {
        let looks = ahead.looks.iter();
        self.looks = Some(
            looks
                .map(|foreseen| LookView::of(foreseen, ahead.aim, house))
                .collect(),
        );
        self
    }

    /// The view of an identification.
    pub(super) fn of(
        id: Option<String>,
        said: &Identification,
        remarks: &[Remark],
        house: &House,
        top: usize,
    ) -> AnswerView {
        let library = &house.catalogue;
        AnswerView {
            id,
            unlisted: said.ranking.unlisted,
            period: named(&said.shares.period, top, |i| {
                (&library.periods[i].id, &library.periods[i].name)
            }),
            ruler: named(&said.shares.ruler, top, |i| {
                (&library.rulers[i].id, &library.rulers[i].name)
            }),
            denomination: named(&said.shares.denomination, top, |i| {
                (&library.denominations[i].id, &library.denominations[i].name)
            }),
            series: named(&said.shares.series, top, |i| {
                (&library.series[i].id, &library.series[i].name)
            }),
            types: types(said, library, top),
            nine_in_ten: {
                let likely = said.likely.iter();
                likely.map(|coin| library.types[*coin].id.clone()).collect()
            },
            date: said.date.as_ref().map(DateView::of),
            answer: level(&said.answer, &said.text),
            flat_prior: level(&said.flat.0, &said.flat.1),
            reasons: said.explanation.reasons.iter().map(reason).collect(),
            assumed: said.explanation.assumed.clone(),
            apart: said.explanation.apart.clone(),
            your_own_finds: said.explanation.taught.clone(),
            looks: None,
            remarks: remarks.iter().map(RemarkView::of).collect(),
        }
    }
}
