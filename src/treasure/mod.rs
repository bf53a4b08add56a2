//! The law: from the facts of a find or a group to what its finder owes, to whom and by when.
//!
//! Says "report it now", "ask, and report it if you stay unsure" or "record it", with the rules
//! that are met or may be, and the fact that would decide. Reads no clock: today is handed in.
//! Gives no legal advice, and never rules that a find falls outside the law: that is the coroner's.
//!
//! Invariant: the call is as firm as the firmest rule, so a further reason never lowers it; only
//! the church's own rule (order of 2023) turns "report now" into "ask".

mod age;
mod clock;
mod day;
mod facts;
mod identified;
mod law;
mod metal;
mod places;
mod read;
mod rules;
mod truth;
mod verdict;

pub use age::Age;
pub use clock::{Clock, Count, DAYS};
pub use day::{CalendarDay, When};
pub use facts::{Alteration, Country, Facts, Fault, Ground, Hazard, Piece, SameFind, What};
pub use identified::{by_sight, companions, identified, meant};
pub use law::{CHECKED, Known, Law, TABLE as LAWS, law};
pub use metal::{Metal, MetalKnown};
pub use read::{Misread, age, metal, piece};
pub use truth::{Chance, EXCLUDED_BELOW, GIVEN_FROM, Truth};
pub use verdict::{Bite, Call, Contact, Decider, Question, Standing, Verdict};

use rules::Bench;

/// Coins from one hole that are reported as a group by the trade's rule of thumb, which is
/// common practice without a source and no law.
const GROUP_OF_COINS: u64 = 3;

/// Judges the facts. They should be without [`Fault`]s; impossible ones are judged as they stand.
pub fn judge(facts: &Facts, today: CalendarDay) -> Verdict {
    let found = facts.found_or(today);
    let bench = Bench::new(facts, found);
    let standing: Vec<Standing> = facts
        .pieces
        .iter()
        .map(|piece| standing(piece, found))
        .collect();
    let old = facts.pieces.iter().zip(&standing);
    let old = old.filter(|(piece, _)| piece.what != What::Natural);
    let old = old
        .into_iter()
        .any(|(_, standing)| standing.old == Truth::Yes);
    let mut rules = places::rules_there(facts, bench.bites(), old);
    let to_church = places::church(facts) && bench.church_rule();
    if to_church {
        leave_to_the_church(&mut rules);
    }
    // The firmest first; among equals in the order of the Act.
    rules.sort_by_key(|bite| std::cmp::Reverse(bite.truth));
    let firmest = rules.iter().map(|bite| bite.truth).max();
    let call = Call::from(firmest.unwrap_or(Truth::No));
    Verdict {
        call,
        questions: questions(facts, &bench),
        tell: places::tell(facts, call),
        clock: places::clock(facts, today),
        dangers: places::dangers(facts),
        notes: notes(facts, call, &rules, &bench),
        assumed: assumed(facts, today),
        standing,
        rules,
    }
}

/// What is known of a piece as far as the rules ask.
fn standing(piece: &Piece, found: When) -> Standing {
    let prehistoric = piece.prehistoric == Some(Truth::Yes);
    Standing {
        name: piece.name.clone(),
        count: piece.count,
        old: match prehistoric {
            true => Truth::Yes,
            false => piece.age.at_least(300, found),
        },
        old_chance: piece.age.chance_of(300, found),
        tenth: piece.metal.facts().tenth,
        tenth_chance: piece.metal.chance(),
    }
}

/// On the Church of England's ground the rules stay in sight, but the church is asked first.
fn leave_to_the_church(rules: &mut [Bite]) {
    for bite in rules {
        bite.truth = bite.truth.and(Truth::Open);
        bite.decides.insert(0, Decider::Church);
    }
}

fn questions(facts: &Facts, bench: &Bench<'_>) -> Vec<Question> {
    let mut questions = Vec::new();
    if !act_holds(facts) {
        return questions;
    }
    let mut ask = |id, text| questions.push(Question { law: law(id), text });
    if bench.exceptional_unsaid() {
        ask(
            "T4c",
            "is it so rare, so far from where such things are found, or so tied to a known person or event, that it may be called exceptional?",
        );
    }
    if facts.associated.is_none() {
        ask(
            "T6",
            "did anything turn up near it before, by you or another, that it may belong with?",
        );
    }
    let precious = |piece: &Piece| piece.metal.facts().mostly > Truth::No;
    if facts.hidden.is_none() && facts.pieces.iter().any(precious) {
        ask(
            "T5",
            "is there a sign that somebody hid it: a pot, a wrapping, a hollow?",
        );
    }
    questions
}

/// The law and the practice that bear on the find, each once.
fn notes(facts: &Facts, call: Call, rules: &[Bite], bench: &Bench<'_>) -> Vec<&'static Law> {
    let ids = match act_holds(facts) {
        true => notes_of_the_act(facts, rules, bench),
        false => Vec::new(),
    };
    let mut notes: Vec<&'static Law> = ids.into_iter().map(law).collect();
    notes.extend(places::notes(facts));
    notes.extend(duty(facts, call).into_iter().map(law));
    let mut seen: Vec<&str> = Vec::new();
    notes.retain(|note| {
        let new = !seen.contains(&note.id);
        seen.push(note.id);
        new
    });
    notes
}

/// True where the Treasure Act is the law, or part of it.
fn act_holds(facts: &Facts) -> bool {
    !matches!(
        facts.country,
        Some(Country::Scotland | Country::IsleOfMan | Country::Elsewhere)
    )
}

/// What of the Act and the practice under it bears on the find.
fn notes_of_the_act(facts: &Facts, rules: &[Bite], bench: &Bench<'_>) -> Vec<&'static str> {
    let mut ids: Vec<&'static str> = Vec::new();
    let any = |of: &dyn Fn(&Piece) -> bool| facts.pieces.iter().any(of);
    if facts.count() > 1 {
        ids.push("same-find");
    }
    match facts.same_find {
        Some(SameFind::OneByOne) => ids.push("one-by-one"),
        Some(SameFind::Hole) => ids.extend(["groups", "one-by-one"]),
        _ if facts.count() > 1 => ids.push("groups"),
        _ => {}
    }
    if bench.coins_together() >= GROUP_OF_COINS {
        ids.push("three-coins");
    }
    if facts.count() > 1 && facts.same_find.is_none_or(|same| same.truth() > Truth::No) {
        ids.push("part-dug");
    }
    let more = |bite: &Bite| bite.decides.contains(&Decider::More);
    if rules.iter().any(more) {
        ids.push("coin-short");
    }
    if facts.count() == 1 && any(&|piece| piece.what == What::Coin && piece.altered.is_none()) {
        ids.push("single-coin");
    }
    if any(&|piece| piece.altered.is_some()) {
        ids.extend(["altered", "pierced", "pierced-later"]);
    }
    if any(&|piece| piece.what == What::Token) {
        ids.push("token");
    }
    if any(&|piece| piece.what == What::Natural) {
        ids.push("X1");
    }
    let open = |decider| {
        rules
            .iter()
            .any(|bite: &Bite| bite.decides.contains(&decider))
    };
    if open(Decider::CoinOrObject) {
        ids.push("coin-or-object");
    }
    if open(Decider::Metal) {
        ids.push("plated");
    }
    ids
}

/// The duty, whose the find is, and what is to be done with every find.
fn duty(facts: &Facts, call: Call) -> Vec<&'static str> {
    let mut ids = Vec::new();
    if act_holds(facts) {
        ids.push("duty");
        if call > Call::RecordOnly {
            ids.push("penalty");
        }
        if facts.acquired {
            ids.push("acquired");
        }
        ids.push("decides");
    }
    ids.push("record");
    // In Scotland what has no owner is the Crown's, and the island has a law of its own.
    if facts.country != Some(Country::Scotland) {
        ids.push("owner");
    }
    ids.push("theft");
    if facts.leave != Some(Truth::Yes) {
        ids.push("trespass");
    }
    ids.extend(["export", "care"]);
    ids
}

fn assumed(facts: &Facts, today: CalendarDay) -> Vec<String> {
    let mut assumed = Vec::new();
    if facts.country.is_none() {
        assumed.push("it was found in England or Wales; say where if not".to_string());
    }
    if facts.found.is_none() {
        let day = today.text();
        assumed.push(format!(
            "it was found today, {day}; the day it was found sets how old it must be, and the last day"
        ));
    }
    if facts.count() > 1 && facts.same_find.is_none() {
        assumed.push(
            "whether the pieces belong together is left open, as nobody has said".to_string(),
        );
    }
    if let (Some(found), Some(believed)) = (facts.found, facts.believed)
        && believed < found.earliest
    {
        assumed.push(format!(
            "the day of belief, {}, lies before the find and is not counted",
            believed.text()
        ));
    }
    assumed
}
