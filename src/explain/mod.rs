//! The explaining room: the account of a ranking in sentences.
//!
//! Strongest reason first, what speaks against, what was assumed, what sets the leaders apart; the
//! words of a look, its replies and how to take it safely; and types held against one another.
//! Every number shown is one the scorer made: this room does no
//! arithmetic but the difference of two terms that the scorer gave.
//!
//! Invariant: the terms of the reasons for a type, with its prior, sum to its total.

mod apart;
mod compare;
mod look;
mod phrase;
mod reckoned;
mod sentence;
mod thing;

pub use compare::{
    ApartLine, Comparison, Entry, Feature, Row, TermRow, Verdict, Weighing, compare,
};
pub use look::{how_to, question, reply};
pub use phrase::{answer_text, chance_in_figures, how_sure, type_name};
pub use reckoned::reckoned;
pub use thing::{
    ThingReason, Told, thing_how, thing_name, thing_question, thing_reasons, thing_reply,
    thing_text,
};

use crate::catalogue::Catalogue;
use crate::find::{Find, Treatment};
use crate::score::{Answer, Judged, Ranking, Witness};

/// One reason, for or against the leading type.
#[derive(Clone, Debug, PartialEq)]
pub struct Reason {
    /// Who speaks; `None` for the prior.
    pub witness: Option<Witness>,
    /// The sentence, without a full stop.
    pub text: String,
    /// Nats against "not in the library".
    pub nats: f64,
    /// Nats against the runner-up, where there is one.
    pub over_runner_up: Option<f64>,
}

/// The account of a ranking.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Explanation {
    /// Position of the type explained: the likeliest that the answer covers.
    pub of: Option<usize>,
    /// Position of the runner-up it is held against.
    pub runner_up: Option<usize>,
    /// What speaks for it, strongest first, and what speaks against it, strongest first.
    pub reasons: Vec<Reason>,
    /// What was taken for granted.
    pub assumed: Vec<String>,
    /// What the library says sets the leaders apart.
    pub apart: Vec<String>,
    /// What the finder's own confirmed finds were allowed to say.
    pub taught: Vec<String>,
}

/// Explains a ranking.
pub fn explain(
    find: &Find,
    catalogue: &Catalogue,
    ranking: &Ranking,
    answer: &Answer,
) -> Explanation {
    let Some(leader) = leader(ranking, answer) else {
        return Explanation {
            assumed: assumed(find),
            ..Explanation::default()
        };
    };
    let runner_up = ranking
        .judged
        .iter()
        .find(|other| other.coin != leader.coin);
    Explanation {
        of: Some(leader.coin),
        runner_up: runner_up.map(|r| r.coin),
        reasons: reasons(find, catalogue, leader, runner_up),
        assumed: assumed(find),
        apart: apart::notes(catalogue, ranking),
        taught: Vec::new(),
    }
}

/// Explains any one of the judged types, the leader held against the next, any other against the
/// leader; nothing where the type was not judged.
pub fn reasons_for(
    coin: usize,
    find: &Find,
    catalogue: &Catalogue,
    ranking: &Ranking,
) -> Vec<Reason> {
    let judged = &ranking.judged;
    let Some(one) = judged.iter().find(|judged| judged.coin == coin) else {
        return Vec::new();
    };
    let other = judged.iter().find(|other| other.coin != coin);
    reasons(find, catalogue, one, other)
}

/// The type explained: the likeliest that the answer covers, else the likeliest of all.
fn leader<'r>(ranking: &'r Ranking, answer: &Answer) -> Option<&'r Judged> {
    let covered = answer
        .like
        .and_then(|like| ranking.judged.iter().find(|j| j.coin == like));
    covered.or_else(|| ranking.judged.first())
}

fn reasons(
    find: &Find,
    catalogue: &Catalogue,
    leader: &Judged,
    runner_up: Option<&Judged>,
) -> Vec<Reason> {
    let coin = &catalogue.types[leader.coin];
    let mut reasons = vec![Reason {
        witness: None,
        text: phrase::prior(coin, catalogue),
        nats: leader.prior,
        over_runner_up: runner_up.map(|r| leader.prior - r.prior),
    }];
    for term in &leader.evidence {
        // Terms come in the order of the witnesses; the same one of the runner-up is its fellow.
        let fellow = runner_up.map(|r| {
            r.evidence
                .iter()
                .find(|e| sentence::same_trait(e, term))
                .map_or(0.0, |e| e.nats)
        });
        reasons.push(Reason {
            witness: Some(term.witness),
            text: sentence::of(term, find, catalogue, coin),
            nats: term.nats,
            over_runner_up: fellow.map(|f| term.nats - f),
        });
    }
    reasons.sort_by(|a, b| b.nats.total_cmp(&a.nats));
    reasons
}

fn assumed(find: &Find) -> Vec<String> {
    let mut assumed = Vec::new();
    if find.weight.is_some() && find.completeness.is_none() {
        assumed.push(
            "the piece is whole, or nearly; say chipped, half, quarter or fragment if not"
                .to_string(),
        );
    }
    if find.weight.is_some() && find.wear.is_none() {
        assumed.push(
            "wear is not known, so a loss of up to a third of the weight is allowed for"
                .to_string(),
        );
    }
    if find.metal.is_none() && !find.says_nothing() {
        assumed.push("any metal".to_string());
    }
    if !find.readings.is_empty() && find.readings.iter().all(|r| !r.from_start) {
        assumed.push("the letters may start anywhere round the legend".to_string());
    }
    let silent = [
        Treatment::Bent,
        Treatment::Countermarked,
        Treatment::Mounted,
        Treatment::Gilded,
    ];
    for treatment in silent.iter().filter(|t| find.treatments.contains(t)) {
        assumed.push(format!(
            "that it is {} tells nothing of what it is",
            treatment.name()
        ));
    }
    assumed.push("it was found in England or Wales and is a coin, or near one".to_string());
    assumed
}
