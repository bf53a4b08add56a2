//! The verdict on a terminal: what to do first, then why, whom to tell, by when, and the rest.
//!
//! Adds no law of its own: every sentence about it comes from the room's table.
//!
//! Invariant: dangers stand before everything else.

use std::io::{self, Write};

use super::super::compare::layout::hanging;
use super::super::report::{faint, strong, wrapped_list};
use super::gather::Gathered;
use crate::treasure::{Bite, CHECKED, LAWS, Law, Standing, Truth, Verdict, law};

/// Prints the verdict.
pub(super) fn verdict(
    verdict: &Verdict,
    gathered: &Gathered,
    out: &mut dyn Write,
) -> io::Result<()> {
    wrapped_list("Before anything else", texts(&verdict.dangers), out)?;
    let call = format!("{} [{}]", verdict.call.text(), verdict.call.word());
    writeln!(out, "{}\n", strong(&call))?;
    if let Some(identified) = &gathered.identified {
        wrapped_list("Identified", vec![identified.clone()], out)?;
    }
    let standing = verdict.standing.iter().map(known).collect();
    wrapped_list("What is known of it", standing, out)?;
    rules_of("Rules met", Truth::Yes, verdict, out)?;
    rules_of("Rules that may be met", Truth::Open, verdict, out)?;
    let tell = verdict.tell.iter().map(|contact| contact.text.to_string());
    wrapped_list("Whom to tell", tell.collect(), out)?;
    wrapped_list("By when", by_when(verdict, " with --found"), out)?;
    let questions = verdict.questions.iter();
    let questions = questions.map(|question| format!("{} {}", question.law.id, question.text));
    wrapped_list("Ask yourself", questions.collect(), out)?;
    wrapped_list("Law and practice beside it", texts(&verdict.notes), out)?;
    wrapped_list("Taken for granted", verdict.assumed.clone(), out)?;
    let remarks = gathered.remarks.iter().map(|remark| remark.to_string());
    wrapped_list("Notes on what you said", remarks.collect(), out)?;
    let last = format!("Law looked at on {CHECKED}; the law in force decides, and the coroner.");
    writeln!(out, "{}", faint(&last))
}

/// Prints of a verdict what must be known at once.
pub(super) fn short(verdict: &Verdict, out: &mut dyn Write) -> io::Result<()> {
    wrapped_list("Before anything else", texts(&verdict.dangers), out)?;
    let call = format!("{} [{}]", verdict.call.text(), verdict.call.word());
    writeln!(out, "{}\n", strong(&call))?;
    rules_of("Rules met", Truth::Yes, verdict, out)?;
    rules_of("Rules that may be met", Truth::Open, verdict, out)?;
    let tell = verdict.tell.iter().map(|contact| contact.text.to_string());
    wrapped_list("Whom to tell", tell.collect(), out)?;
    wrapped_list("By when", by_when(verdict, " with --found"), out)?;
    wrapped_list("Taken for granted", verdict.assumed.clone(), out)
}

fn texts(laws: &[&'static Law]) -> Vec<String> {
    laws.iter().map(|law| law.text()).collect()
}

/// What is known of a piece, and how sure.
pub(crate) fn known(standing: &Standing) -> String {
    let word = |truth| match truth {
        Truth::Yes => "yes",
        Truth::Open => "open",
        Truth::No => "no",
    };
    let chance = |chance: Option<crate::treasure::Chance>| {
        chance.map_or(String::new(), |chance| format!(" ({})", chance.text()))
    };
    let count = match standing.count {
        1 => String::new(),
        count => format!(" (pieces: {count})"),
    };
    format!(
        "{}{count}: 300 years old or more: {}{}; a tenth gold or silver: {}{}",
        standing.name,
        word(standing.old),
        chance(standing.old_chance),
        word(standing.tenth),
        chance(standing.tenth_chance),
    )
}

fn rules_of(heading: &str, truth: Truth, verdict: &Verdict, out: &mut dyn Write) -> io::Result<()> {
    let of = verdict.rules.iter().filter(|bite| bite.truth == truth);
    let text = |bite: &Bite| {
        let mut text = format!("{} {}", bite.law.id, bite.law.text());
        if verdict.standing.len() > 1 {
            let names = bite.pieces.iter();
            let names: Vec<&str> = names
                .filter_map(|place| verdict.standing.get(*place))
                .map(|standing| standing.name.as_str())
                .collect();
            text.push_str(&format!(". It asks for: {}", names.join("; ")));
        }
        if !bite.decides.is_empty() {
            let decides: Vec<&str> = bite.decides.iter().map(|one| one.text()).collect();
            text.push_str(&format!(". What would decide: {}", decides.join("; ")));
        }
        text
    };
    wrapped_list(heading, of.map(text).collect(), out)
}

/// The last day and how it is counted; `how` is the way in which this door is told when it was found.
pub(crate) fn by_when(verdict: &Verdict, how: &str) -> Vec<String> {
    let Some(clock) = &verdict.clock else {
        let none = "no number of days was read for this country: report it without delay";
        return vec![none.to_string()];
    };
    let mut said = Vec::new();
    if let (Some(first), Some(last), Some(left)) = (clock.first, clock.last, clock.left) {
        let when = match left {
            0 => "today".to_string(),
            1 => "tomorrow".to_string(),
            left if left > 1 => format!("in {left} days"),
            left => format!(
                "{} days ago: report it today, and say why it is late",
                -left
            ),
        };
        said.push(format!(
            "last day: {}, {when}; do not wait for it",
            last.text()
        ));
        let from = match clock.by_belief {
            true => "the day of belief",
            false if clock.law == law("days") => "the day after the find",
            false => "the day of the find",
        };
        let rough = match clock.earliest {
            true => ", taken at its earliest",
            false => "",
        };
        let begin = first.text();
        said.push(format!("the 14 days begin on {begin}, {from}{rough}"));
    } else {
        said.push(format!(
            "say when it was found{how}, and the last day is counted"
        ));
    }
    said.push(clock.law.text());
    if clock.law == law("days") {
        said.push("if you come to believe it only later, the days begin with that day".to_string());
    }
    said
}

/// Prints the table of the law and the practice.
pub(super) fn rules(out: &mut dyn Write) -> io::Result<()> {
    for entry in LAWS {
        let checked = match entry.checked {
            Some(day) => format!(" Looked at {day}: {}.", entry.source),
            None => String::new(),
        };
        for line in hanging(entry.id, &format!("{}.{checked}", entry.text()), 0) {
            writeln!(out, "{line}")?;
        }
    }
    Ok(())
}
