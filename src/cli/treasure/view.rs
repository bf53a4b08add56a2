//! The verdict as JSON, for other programs.
//!
//! Copies the room's values and their words; adds nothing.
//!
//! Invariant: `verdict` is one of report_now, report_if_unsure and record_only.

use serde::Serialize;

use super::gather::Gathered;
use crate::treasure::{Bite, CHECKED, Chance, Clock, LAWS, Law, Standing, Truth, Verdict, law};

/// What `treasure --json` prints.
#[derive(Serialize)]
pub(super) struct VerdictView {
    verdict: &'static str,
    says: &'static str,
    today: String,
    identified: Option<String>,
    pieces: Vec<PieceView>,
    rules: Vec<RuleView>,
    questions: Vec<QuestionView>,
    tell: Vec<ContactView>,
    last_day: Option<ClockView>,
    dangers: Vec<LawView>,
    notes: Vec<LawView>,
    taken_for_granted: Vec<String>,
    remarks: Vec<String>,
    law_checked: &'static str,
    decides: String,
}

#[derive(Serialize)]
struct PieceView {
    name: String,
    count: u32,
    at_least_300_years: &'static str,
    at_least_300_years_chance: Option<[f64; 2]>,
    tenth_precious: &'static str,
    tenth_precious_chance: Option<[f64; 2]>,
}

#[derive(Serialize)]
struct RuleView {
    #[serde(flatten)]
    law: LawView,
    /// met or open.
    state: &'static str,
    /// Positions in `pieces`.
    asks_for: Vec<usize>,
    would_decide: Vec<DeciderView>,
}

#[derive(Serialize)]
struct DeciderView {
    fact: &'static str,
    says: &'static str,
}

#[derive(Serialize)]
struct QuestionView {
    rule: &'static str,
    asks: &'static str,
}

#[derive(Serialize)]
struct ContactView {
    who: &'static str,
    says: &'static str,
}

#[derive(Serialize)]
struct ClockView {
    last: Option<String>,
    first: Option<String>,
    days_left: Option<i64>,
    by_belief: bool,
    taken_at_its_earliest: bool,
    rule: LawView,
}

/// An entry of the table of the law.
#[derive(Serialize)]
pub(super) struct LawView {
    id: &'static str,
    says: &'static str,
    stands: &'static str,
    caveat: String,
    source: &'static str,
    checked: Option<&'static str>,
}

impl LawView {
    fn of(law: &Law) -> LawView {
        LawView {
            id: law.id,
            says: law.says,
            stands: law.stands,
            caveat: law.caveat(),
            source: law.source,
            checked: law.checked,
        }
    }
}

/// The whole table.
pub(super) fn rules() -> Vec<LawView> {
    LAWS.iter().map(LawView::of).collect()
}

fn word(truth: Truth) -> &'static str {
    match truth {
        Truth::Yes => "yes",
        Truth::Open => "open",
        Truth::No => "no",
    }
}

fn pair(chance: Option<Chance>) -> Option<[f64; 2]> {
    chance.map(|chance| [chance.least, chance.most])
}

impl VerdictView {
    pub(super) fn of(verdict: &Verdict, gathered: &Gathered) -> VerdictView {
        let laws = |laws: &[&'static Law]| laws.iter().map(|law| LawView::of(law)).collect();
        VerdictView {
            verdict: verdict.call.word(),
            says: verdict.call.text(),
            today: gathered.today.iso(),
            identified: gathered.identified.clone(),
            pieces: verdict.standing.iter().map(piece).collect(),
            rules: verdict.rules.iter().map(rule).collect(),
            questions: verdict
                .questions
                .iter()
                .map(|question| QuestionView {
                    rule: question.law.id,
                    asks: question.text,
                })
                .collect(),
            tell: verdict
                .tell
                .iter()
                .map(|contact| ContactView {
                    who: contact.word,
                    says: contact.text,
                })
                .collect(),
            last_day: verdict.clock.as_ref().map(last_day),
            dangers: laws(&verdict.dangers),
            notes: laws(&verdict.notes),
            taken_for_granted: verdict.assumed.clone(),
            remarks: gathered
                .remarks
                .iter()
                .map(|remark| remark.to_string())
                .collect(),
            law_checked: CHECKED,
            decides: law("decides").text(),
        }
    }
}

fn piece(standing: &Standing) -> PieceView {
    PieceView {
        name: standing.name.clone(),
        count: standing.count,
        at_least_300_years: word(standing.old),
        at_least_300_years_chance: pair(standing.old_chance),
        tenth_precious: word(standing.tenth),
        tenth_precious_chance: pair(standing.tenth_chance),
    }
}

fn rule(bite: &Bite) -> RuleView {
    RuleView {
        law: LawView::of(bite.law),
        state: if bite.truth == Truth::Yes {
            "met"
        } else {
            "open"
        },
        asks_for: bite.pieces.clone(),
        would_decide: bite
            .decides
            .iter()
            .map(|decider| DeciderView {
                fact: decider.word(),
                says: decider.text(),
            })
            .collect(),
    }
}

fn last_day(clock: &Clock) -> ClockView {
    ClockView {
        last: clock.last.map(|day| day.iso()),
        first: clock.first.map(|day| day.iso()),
        days_left: clock.left,
        by_belief: clock.by_belief,
        taken_at_its_earliest: clock.earliest,
        rule: LawView::of(clock.law),
    }
}
