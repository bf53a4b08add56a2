//! From flags to facts: pieces in words, and a find described as to `identify`.
//!
//! Opens the library only where a find is to be identified. Every fault names its flag and the
//! mend; what the flags say of a find goes before what its identification says.
//!
//! Invariant: facts that come out of here have no [`Fault`].

use super::super::error::Trouble;
use super::super::identify::heard;
use super::args::{PlaceAndDays, TreasureArgs, WhatSaid};
use crate::explain::chance_in_figures;
use crate::parse::{Field, Remark};
use crate::score::words_of_confidence;
use crate::treasure::{
    CalendarDay, Facts, Fault, MetalKnown, Misread, Piece, SameFind, When, age, by_sight,
    companions, identified, metal, piece,
};
use crate::{House, IdentifyOptions};

/// The facts, and what led to them.
pub(crate) struct Gathered {
    pub(crate) facts: Facts,
    pub(crate) today: CalendarDay,
    /// What the find described was identified as.
    pub(crate) identified: Option<String>,
    pub(crate) remarks: Vec<Remark>,
    /// What was taken for granted in reading the flags.
    pub(crate) assumed: Vec<String>,
}

/// Puts the facts together.
pub(crate) fn gather(
    asked: &TreasureArgs,
    open: impl FnOnce() -> Result<&'static House, Trouble>,
) -> Result<Gathered, Trouble> {
    let today = asked.around.today()?;
    let mut gathered = Gathered {
        facts: Facts {
            acquired: asked.acquired,
            ..asked.belonging.facts(asked.around.facts()?)
        },
        today,
        identified: None,
        remarks: Vec::new(),
        assumed: Vec::new(),
    };
    if is_described(asked) {
        described(asked, open, &mut gathered)?;
    }
    for text in &asked.piece {
        let read = piece(text).map_err(|fault| misread("--piece", fault))?;
        gathered.facts.pieces.push(read);
    }
    if gathered.facts.pieces.is_empty() {
        return Err(Trouble::new(
            "there is nothing to judge",
            "say what was found, for example: lynchet treasure --piece \"2 silver pennies, 1279-1307\" --same-find hole",
        ));
    }
    possible(&gathered.facts.faults(today), usize::MAX)?;
    Ok(gathered)
}

/// Refuses facts that cannot be; of many faults so many are told.
pub(in crate::cli) fn possible(faults: &[Fault], most: usize) -> Result<(), Trouble> {
    let Some(first) = faults.first() else {
        return Ok(());
    };
    let told = faults.iter().take(most);
    let told: Vec<String> = told
        .map(|fault| format!("{}: {}", fault.field, fault.what))
        .collect();
    Err(Trouble::new(told.join("\n  "), first.mend.clone()))
}

impl PlaceAndDays {
    /// The day that is reckoned from: as told, or by the machine's clock.
    pub(in crate::cli) fn today(&self) -> Result<CalendarDay, Trouble> {
        match self.today.as_deref() {
            Some(text) => day("--today", text),
            None => clock_today(),
        }
    }

    /// What of the facts these flags say.
    pub(in crate::cli) fn facts(&self) -> Result<Facts, Trouble> {
        let found = self.found.as_deref();
        let found = found.map(|text| {
            When::read(text).map_err(|what| Trouble::new(format!("--found: {what}"), ""))
        });
        let believed = self.believed.as_deref();
        let believed = believed.map(|text| day("--believed", text));
        Ok(Facts {
            country: self.country.map(|country| country.country()),
            grounds: self.ground.iter().map(|ground| ground.ground()).collect(),
            hazards: self.hazard.iter().map(|hazard| hazard.hazard()).collect(),
            found: found.transpose()?,
            believed: believed.transpose()?,
            leave: self.leave.map(|said| said.truth()),
            ..Facts::default()
        })
    }
}

/// Today by the machine's clock, in universal time: the one place where it is read.
pub(in crate::cli) fn clock_today() -> Result<CalendarDay, Trouble> {
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    let days = since.ok().map(|since| since.as_secs() / 86_400);
    let days = days.and_then(|days| i64::try_from(days).ok());
    days.and_then(CalendarDay::since_1970).ok_or_else(|| {
        Trouble::new(
            "the clock of this machine shows no day that can be",
            "say what day it is with --today, as 2026-03-15",
        )
    })
}

pub(in crate::cli) fn day(flag: &str, text: &str) -> Result<CalendarDay, Trouble> {
    CalendarDay::read(text).map_err(|what| Trouble::new(format!("{flag}: {what}"), ""))
}

fn misread(flag: &str, fault: Misread) -> Trouble {
    Trouble::new(format!("{flag}: {}", fault.what), fault.mend)
}

/// True when flags or words describe a find.
fn is_described(asked: &TreasureArgs) -> bool {
    !asked.words.is_empty()
        || !asked.traits.fields().is_empty()
        || asked.what.is_some()
        || asked.count.is_some()
        || asked.made.is_some()
        || asked.prehistoric.is_some()
        || asked.fineness.is_some()
        || asked.altered.is_some()
}

/// The find described: identified where its traits allow it, then as the flags have it.
fn described(
    asked: &TreasureArgs,
    open: impl FnOnce() -> Result<&'static House, Trouble>,
    gathered: &mut Gathered,
) -> Result<(), Trouble> {
    let fields = asked.traits.fields();
    let said = |wanted: Field| {
        let mut of = fields.iter().filter(move |(field, _)| *field == wanted);
        of.next().map(|(_, text)| text.clone())
    };
    let mut one = Piece::unsaid(said(Field::Id).unwrap_or_else(|| "the find described".into()));
    let by_eye = |(field, _): &(Field, String)| matches!(field, Field::Id | Field::Metal);
    let mut beside = Vec::new();
    if !asked.words.is_empty() || !fields.iter().all(by_eye) {
        let house = open()?;
        (one, beside) = by_traits(asked, house, &one.name, gathered);
    }
    by_flags(asked, said(Field::Metal), &mut one)?;
    gathered.facts.pieces.push(one);
    if !beside.is_empty() && asked.belonging.same_find.is_none() {
        gathered.facts.same_find = Some(SameFind::Hole);
        let told = "what was found with it came from the same hole; say otherwise with --same-find";
        gathered.assumed.push(told.to_string());
    }
    gathered.facts.pieces.extend(beside);
    Ok(())
}

/// The find and what lay with it, by its traits.
fn by_traits(
    asked: &TreasureArgs,
    house: &House,
    name: &str,
    gathered: &mut Gathered,
) -> (Piece, Vec<Piece>) {
    let (find, mut remarks) = heard(&asked.traits, &asked.words, house);
    // A metal that only this verb knows is read below, so it is no fault here.
    remarks.retain(|remark| remark.field != Field::Metal.name());
    gathered.remarks.extend(remarks);
    let beside = companions(&find, &house.catalogue);
    let no_coin = matches!(asked.what, Some(WhatSaid::Object | WhatSaid::Natural));
    if no_coin || find.says_nothing() {
        let told = if no_coin {
            "the library knows coins and some tokens, so it dates no other thing: give its years with --made"
        } else {
            "nothing said of the find can be identified"
        };
        gathered.assumed.push(told.to_string());
        return (by_sight(&find, name), beside);
    }
    let answer = house.identify(&find, IdentifyOptions::default());
    let p = answer.answer.p;
    let sure = words_of_confidence(p);
    gathered.identified = Some(format!(
        "{} ({}: {sure})",
        answer.text,
        chance_in_figures(p)
    ));
    let told = "the find described is a coin, or near one, as identify takes it";
    if asked.what.is_none() {
        gathered.assumed.push(told.to_string());
    }
    (
        identified(&find, &answer.ranking, &house.catalogue, name),
        beside,
    )
}

/// What the flags say goes before what was worked out.
fn by_flags(
    asked: &TreasureArgs,
    metal_said: Option<String>,
    one: &mut Piece,
) -> Result<(), Trouble> {
    if let Some(what) = asked.what {
        one.what = what.what();
    }
    if let Some(altered) = asked.altered {
        one.altered = altered.alteration();
    }
    if let Some(text) = asked.count.as_deref() {
        let number = text.trim().parse::<u32>().ok().filter(|count| *count > 0);
        one.count = number.ok_or_else(|| {
            let what = format!("--count: \"{text}\" is no number of pieces");
            Trouble::new(what, "give 1 or more, in figures")
        })?;
    }
    if let Some(text) = asked.made.as_deref() {
        one.age = age(text).map_err(|fault| misread("--made", fault))?;
    }
    one.prehistoric = asked.prehistoric.map(|said| said.truth());
    if let Some(text) = metal_said {
        let read = metal(&text).map_err(|fault| misread("--metal", fault))?;
        // The chances of an identification already hold what plain eyes see.
        let seen = matches!(read, MetalKnown::Seen(..) | MetalKnown::Unsaid);
        if !(seen && matches!(one.metal, MetalKnown::Weighed { .. })) {
            one.metal = read;
        }
    }
    if let Some(text) = asked.fineness.as_deref() {
        let bare = text.trim().trim_end_matches('%').trim();
        let read = metal(&format!("{bare}%"));
        one.metal = read.map_err(|_| {
            let what = format!("--fineness: \"{text}\" is no share of gold and silver");
            Trouble::new(what, "give the hundredths by weight, 0 to 100, as 12")
        })?;
    }
    Ok(())
}
