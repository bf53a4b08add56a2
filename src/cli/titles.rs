//! `titles`: the years of a Roman titulature, whole or broken.
//!
//! Prints what the titles room finds; weighs nothing.
//!
//! Invariant: a year is printed only with the titles that lead to it.

use std::io::Write;

use serde::Serialize;

use super::args::TitlesArgs;
use super::error::Trouble;
use super::{Outcome, print_json};
use crate::House;
use crate::catalogue::Catalogue;
use crate::find::{Day, Side, Span};
use crate::parse;
use crate::titles::{End, Possible, Reason, Titulature, possible, read};

/// Examples shown with the help.
pub(super) const EXAMPLES: &str = "\
Examples:
  lynchet titles \"TR P X[..] COS III P P\"
  lynchet titles \"TR P XV COS III\" --ruler \"Antoninus Pius\"

Write letters lost as in legends: [..] two lost, [---] any number. Without a number COS is the
first consulship; IMP counts only with a number.
Exit code: 0 an answer, 1 no emperor held these titles together, 2 a fault.";

/// What `titles --json` prints.
#[derive(Serialize)]
struct TitlesView {
    text: String,
    titles: Vec<String>,
    possible: Vec<PossibleView>,
}

/// A ruler who held all titles read.
#[derive(Serialize)]
struct PossibleView {
    ruler: String,
    name: String,
    years: Vec<[i32; 2]>,
    /// As `years`, the last days of December before them counted too.
    all_years: Vec<[i32; 2]>,
    why: Vec<ReasonView>,
}

#[derive(Serialize)]
struct ReasonView {
    read: String,
    means: String,
    /// First and last day of each stretch; none where the tables do not know.
    days: Option<Vec<[String; 2]>>,
}

/// Answers with the possible years of a titulature.
pub(super) fn run(
    asked: &TitlesArgs,
    house: &House,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let library = &house.catalogue;
    let mut text = asked.words.join(" ");
    if asked.restored {
        text.retain(|c| !"[]()<>".contains(c));
    }
    let ruler = asked.ruler.as_deref();
    let ruler = ruler.map(|word| ruler_by(word, library)).transpose()?;
    let (reading, remarks) = parse::reading(&text, Side::Unknown);
    let Some(reading) = reading else {
        let told: Vec<String> = remarks
            .iter()
            .map(|remark| format!("\n  {remark}"))
            .collect();
        return Err(Trouble::new(
            format!("no letters can be read in it{}", told.concat()),
            "write the titles as they stand, for example: lynchet titles \"TR P X[..] COS III P P\"",
        ));
    };
    let titles = read(&[&reading], End::Sure);
    let found = possible(&titles, &library.careers, ruler);
    // Every emperor fits words that are no title; that is no answer.
    let found = if says_something(&titles, &found) {
        found
    } else {
        Vec::new()
    };
    if asked.json {
        let view = view(&text, &titles, &found, library);
        print_json(&view, out)?;
    } else {
        print(&titles, &found, library, out)?;
    }
    Ok(if found.is_empty() {
        Outcome::NothingFits
    } else {
        Outcome::Answer
    })
}

fn says_something(titles: &Titulature, found: &[Possible]) -> bool {
    !titles.claims.is_empty() || found.iter().any(|one| !one.reasons.is_empty())
}

/// The ruler meant by a word: his id, his name or another name of his.
fn ruler_by(word: &str, library: &Catalogue) -> Result<usize, Trouble> {
    let wanted = word.trim().to_lowercase();
    let is = |position: &usize| {
        let ruler = &library.rulers[*position];
        ruler.id == wanted || ruler.name.to_lowercase() == wanted || ruler.words.contains(&wanted)
    };
    let known: Vec<usize> = library.careers.iter().map(|career| career.ruler).collect();
    if let Some(found) = known.iter().copied().find(is) {
        return Ok(found);
    }
    let likeness = |position: &usize| {
        strsim::jaro_winkler(&library.rulers[*position].name.to_lowercase(), &wanted)
    };
    let near = known
        .iter()
        .max_by(|a, b| likeness(a).total_cmp(&likeness(b)))
        .filter(|near| likeness(near) > 0.8);
    let hint = match near {
        Some(near) => format!("did you mean {}?", library.rulers[*near].name),
        None => "leave the ruler out, and all are tried".to_string(),
    };
    Err(Trouble::new(
        format!("there is no table of titles for `{word}`"),
        hint,
    ))
}

fn print(
    titles: &Titulature,
    found: &[Possible],
    library: &Catalogue,
    out: &mut dyn Write,
) -> Result<(), Trouble> {
    if found.is_empty() {
        let nothing = titles.claims.is_empty();
        writeln!(
            out,
            "{}",
            if nothing {
                "No title that dates is read in it."
            } else {
                "No emperor of the tables held all of these titles at once."
            }
        )?;
        let read: Vec<&str> = titles.claims.iter().map(|claim| claim.1.as_str()).collect();
        if !nothing {
            writeln!(out, "  read: {}", read.join(", "))?;
        }
        return Ok(());
    }
    for one in found {
        let career = &library.careers[one.career];
        let years: Vec<String> = one.years().into_iter().map(Span::text).collect();
        writeln!(
            out,
            "{}: {}",
            library.rulers[career.ruler].name,
            years.join(", or ")
        )?;
        for reason in &one.reasons {
            writeln!(out, "  {}: {}; {}", reason.said, reason.title, when(reason))?;
        }
    }
    Ok(())
}

fn when(reason: &Reason) -> String {
    let Some(days) = &reason.days else {
        return "the tables do not say when".to_string();
    };
    if days.is_empty() {
        return "never".to_string();
    }
    let stretches = days
        .iter()
        .map(|(from, to)| format!("{} to {}", day(*from), day(*to)));
    stretches.collect::<Vec<_>>().join(", or ")
}

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

fn day(day: Day) -> String {
    let (month, of_month) = day.in_year();
    let year = Span {
        from: day.year(),
        to: day.year(),
    };
    format!("{of_month} {} {}", MONTHS[month as usize - 1], year.text())
}

fn view(text: &str, titles: &Titulature, found: &[Possible], library: &Catalogue) -> TitlesView {
    let reason = |reason: &Reason| ReasonView {
        read: reason.said.clone(),
        means: reason.title.clone(),
        days: reason.days.as_ref().map(|days| {
            let stretches = days.iter();
            stretches.map(|(from, to)| [from.iso(), to.iso()]).collect()
        }),
    };
    let one = |one: &Possible| {
        let ruler = &library.rulers[library.careers[one.career].ruler];
        PossibleView {
            ruler: ruler.id.clone(),
            name: ruler.name.clone(),
            years: one.years().iter().map(|y| [y.from, y.to]).collect(),
            all_years: one.all_years().iter().map(|y| [y.from, y.to]).collect(),
            why: one.reasons.iter().map(reason).collect(),
        }
    };
    TitlesView {
        text: text.to_string(),
        titles: titles.claims.iter().map(|claim| claim.1.clone()).collect(),
        possible: found.iter().map(one).collect(),
    }
}
