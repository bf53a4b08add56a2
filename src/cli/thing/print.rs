//! The answer about a thing on a terminal.
//!
//! Invariant: what is printed comes from the identification; nothing is judged here.

use std::io::{self, Write};

use super::Shown;
use crate::cli::report::{bar, faint, in_column, remarks, strong};
use crate::explain::{
    ThingReason, Told, chance_in_figures, reckoned, thing_how, thing_name, thing_question,
    thing_reasons, thing_reply, thing_text,
};
use crate::score::{ThingJudged, ThingLevel, words_of_confidence};

/// Prints the whole answer.
pub(in crate::cli) fn thing(shown: &Shown<'_>, out: &mut dyn Write) -> io::Result<()> {
    headline(shown, out)?;
    cautions(shown, out)?;
    types(shown, out)?;
    levels(shown, out)?;
    if let Some(dates) = shown.said.ranking.dates(&shown.things.artefacts) {
        let ranges = dates.ranges();
        writeln!(
            out,
            "Date           about {}; half the chance {}, 80 in 100 {}",
            crate::find::era(dates.median()),
            ranges.p50.text(),
            ranges.p80.text()
        )?;
    }
    reasons(shown, out)?;
    figures(shown, out)?;
    looks(shown, out)?;
    remarks(&shown.heard.remarks, out)
}

/// What the figures say by themselves.
pub(super) fn reckon(shown: &Shown<'_>) -> Vec<String> {
    let classes = shown.said.shares.classes.iter();
    let classes: Vec<(&str, f64)> = classes.map(|one| (one.id.as_str(), one.p)).collect();
    reckoned(&shown.heard.object, &classes, None, &shown.things.artefacts)
}

fn figures(shown: &Shown<'_>, out: &mut dyn Write) -> io::Result<()> {
    let told = reckon(shown);
    if told.is_empty() {
        return Ok(());
    }
    writeln!(out, "\n{}", strong("By its figures"))?;
    told.iter().try_for_each(|line| writeln!(out, "  - {line}"))
}

/// Prints what decides between a coin and a thing, where that is open.
pub(in crate::cli) fn both(coin: f64, out: &mut dyn Write) -> io::Result<()> {
    let (first, second, p) = match coin >= 0.5 {
        true => ("coin", "a thing that is no coin", coin),
        false => ("thing that is no coin", "a coin", 1.0 - coin),
    };
    writeln!(
        out,
        "{}",
        strong(&format!(
            "It is open whether this is a coin; a {first} is likelier ({}) than {second}",
            chance_in_figures(p)
        ))
    )?;
    writeln!(
        out,
        "  What would decide: letters or a head and a back speak for a coin; a loop, a pin, rivets or a plain back for a thing"
    )?;
    writeln!(out, "  Settle it by hand with --coin or --thing\n")
}

/// What it is and how sure, as a sentence.
pub(super) fn headline(shown: &Shown<'_>, out: &mut dyn Write) -> io::Result<()> {
    let (answer, artefacts) = (&shown.said.answer, &shown.things.artefacts);
    let mut text = thing_text(answer, artefacts);
    if let Some(first) = text.get(..1) {
        let first = first.to_uppercase();
        text.replace_range(..1, &first);
    }
    writeln!(out, "{}", strong(&text))?;
    let years = answer
        .span
        .map_or(String::new(), |span| format!(", {}", span.text()));
    let words = words_of_confidence(answer.p);
    let chance = chance_in_figures(answer.p);
    match answer.level {
        ThingLevel::Open => writeln!(out, "{chance}: open; the candidates are below"),
        _ => writeln!(out, "{chance}: {words}{years}"),
    }
}

fn cautions(shown: &Shown<'_>, out: &mut dyn Write) -> io::Result<()> {
    for caution in shown.heard.cautions(shown.said, shown.things) {
        writeln!(out, "{} {}", strong("Take care:"), caution.advice())?;
    }
    Ok(())
}

fn types(shown: &Shown<'_>, out: &mut dyn Write) -> io::Result<()> {
    let artefacts = &shown.things.artefacts;
    writeln!(out, "\n{}", strong("Types"))?;
    for share in shown.said.shares.types.iter().take(shown.top) {
        let Some(artefact) = share.like.map(|at| &artefacts.types[at]) else {
            continue;
        };
        writeln!(
            out,
            "  {} {}  {} ({}), {} {}",
            in_column(share.p),
            bar(share.p),
            artefact.name,
            artefacts.classes[artefact.class].name,
            artefact.span.text(),
            faint(&format!("[{}]", artefact.id))
        )?;
    }
    let outside = shown.said.ranking.outside;
    writeln!(
        out,
        "  {} {}  of no class in the library",
        in_column(outside),
        bar(outside)
    )
}

fn levels(shown: &Shown<'_>, out: &mut dyn Write) -> io::Result<()> {
    let artefacts = &shown.things.artefacts;
    let shares = &shown.said.shares;
    let class = |id: &str| {
        artefacts
            .classes
            .iter()
            .find(|class| class.id == id)
            .map_or(id, |class| &class.name)
            .to_string()
    };
    let period = |id: &str| {
        artefacts
            .periods
            .iter()
            .find(|period| period.id == id)
            .map_or(id, |period| &period.name)
            .to_string()
    };
    let line = |heading: &str,
                of: &[crate::score::ThingShare],
                name: &dyn Fn(&str) -> String,
                out: &mut dyn Write| {
        let named: Vec<String> = of
            .iter()
            .take(shown.top)
            .filter(|share| share.p >= 0.01)
            .map(|share| format!("{} {}", name(&share.id), chance_in_figures(share.p)))
            .collect();
        writeln!(out, "{heading:<14} {}", named.join("  |  "))
    };
    line("\nClass", &shares.classes, &class, out)?;
    line("Group", &shares.groups, &|id| id.to_string(), out)?;
    line("Period", &shares.periods, &period, out)
}

/// What wording an account needs.
pub(super) fn told<'s>(shown: &'s Shown<'_>) -> Told<'s> {
    Told {
        object: &shown.heard.object,
        artefacts: &shown.things.artefacts,
        catalogue: &shown.house.catalogue,
        ground: shown.things.groundwork(),
    }
}

/// Looks shown.
const LOOKS: usize = 2;

fn looks(shown: &Shown<'_>, out: &mut dyn Write) -> io::Result<()> {
    let (aim, looks) = shown
        .things
        .looks(&shown.heard.object, shown.said, &[], shown.house);
    if looks.is_empty() {
        return Ok(());
    }
    writeln!(out, "\n{}", strong("What to look at next"))?;
    for look in looks.iter().take(LOOKS) {
        let question = thing_question(look, told(shown));
        writeln!(
            out,
            "  - {question} ({:.2} bits on the {})",
            look.bits,
            aim.name()
        )?;
        let replies: Vec<String> = (0..look.replies)
            .map(|at| thing_reply(look, at, told(shown)))
            .collect();
        writeln!(out, "      {}; not sure", replies.join("; "))?;
        writeln!(out, "      how: {}", thing_how(look))?;
    }
    Ok(())
}

/// The reasons of the account.
pub(super) fn account(shown: &Shown<'_>, judged: &ThingJudged) -> Vec<ThingReason> {
    thing_reasons(judged, told(shown))
}

fn reasons(shown: &Shown<'_>, out: &mut dyn Write) -> io::Result<()> {
    let Some(judged) = shown.said.explained() else {
        return Ok(());
    };
    let name = thing_name(judged.what, &shown.things.artefacts);
    writeln!(out, "\n{}", strong(&format!("What speaks for {name}")))?;
    writeln!(out, "  {}", faint("(nats over any thing of the library)"))?;
    let reasons = account(shown, judged);
    let (pro, contra): (Vec<&ThingReason>, Vec<&ThingReason>) =
        reasons.iter().partition(|one| one.nats >= 0.0);
    for reason in pro {
        writeln!(out, "  {:+5.1}  {}", reason.nats, reason.text)?;
    }
    if !contra.is_empty() {
        writeln!(out, "{}", strong("What speaks against it"))?;
    }
    for reason in contra.into_iter().rev() {
        writeln!(out, "  {:+5.1}  {}", reason.nats, reason.text)?;
    }
    writeln!(out, "{}", strong("In all"))?;
    writeln!(out, "  {:+5.1}  before anything was seen", judged.prior)?;
    writeln!(out, "  {:+5.1}  with what was seen", judged.total)
}
