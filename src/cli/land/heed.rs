//! What to heed of land on a day: leave that has lapsed, why it may not be searched.
//!
//! Puts together what is kept; the sentences of law come from the room of the law, which defers to
//! the law in force. Knows no list of protected places.
//!
//! Invariant: land without leave for the day is never passed over in silence.

use crate::cli::error::Trouble;
use crate::collect::{Barred, Holding, Leave, Restriction, Shelf};
use crate::treasure::{CalendarDay, When, law};

/// What to heed when searching this land on a day, or of what was found on it then.
pub(crate) fn heed(
    shelf: &Shelf,
    id: &str,
    day: &str,
    today: CalendarDay,
) -> Result<Vec<String>, Trouble> {
    let all = shelf.holdings(id)?;
    // What is said of the holding comes first.
    let all: Vec<&Holding> = all.iter().rev().collect();
    let own = all.last().map_or(id, |own| own.land.id.as_str());
    let mut said: Vec<String> = leave(&all, own, day, today).into_iter().collect();
    let country = all.iter().rev().find_map(|one| one.land.country.as_deref());
    for holding in &all {
        for one in &holding.restrictions {
            if holds(&one.from_day, &one.to_day, day) {
                said.extend(barred(one, &holding.land.id, country));
            }
        }
    }
    Ok(said)
}

/// True where the days given hold a day, as far as it is known.
fn holds(from: &Option<String>, to: &Option<String>, day: &str) -> bool {
    let after = from.as_deref().is_none_or(|from| early(from) <= late(day));
    let before = to.as_deref().is_none_or(|to| early(day) <= late(to));
    after && before
}

fn early(day: &str) -> Option<CalendarDay> {
    When::read(day).ok().map(|when| when.earliest)
}

fn late(day: &str) -> Option<CalendarDay> {
    When::read(day).ok().map(|when| when.latest)
}

fn leave(all: &[&Holding], id: &str, day: &str, today: CalendarDay) -> Option<String> {
    let kept: Vec<&Leave> = all.iter().flat_map(|one| &one.leave).collect();
    if kept.is_empty() {
        return Some(format!(
            "{id}: no leave is kept; have the owner's and the occupier's leave before you search, \
             and keep it with: lynchet land leave {id}"
        ));
    }
    if kept
        .iter()
        .any(|one| holds(&one.from_day, &one.to_day, day))
    {
        return None;
    }
    let on = match day == today.iso() {
        true => "today".to_string(),
        false => format!("on {day}"),
    };
    let ended = kept.iter().filter_map(|one| one.to_day.as_deref());
    let last = ended.filter(|to| late(to) < early(day)).max();
    Some(match last {
        Some(last) => format!(
            "{id}: leave has lapsed: the last that is kept ended on {last}, and none holds {on}; \
             ask the owner anew and keep it with: lynchet land leave {id}"
        ),
        None => format!(
            "{id}: no leave that is kept holds {on}; ask the owner, and keep it with: \
             lynchet land leave {id}"
        ),
    })
}

/// The caution of a restriction.
fn barred(one: &Restriction, id: &str, country: Option<&str>) -> Vec<String> {
    let wales = country.is_some_and(|country| country.eq_ignore_ascii_case("wales"));
    let england = country.is_some_and(|country| country.eq_ignore_ascii_case("england"));
    let laws: &[&str] = match one.kind {
        Barred::Protected if wales => &["w60"],
        Barred::Protected if england => &["s42"],
        Barred::Protected => &["s42", "w60"],
        Barred::Sssi => &["sssi"],
        Barred::MilitaryCrash => &["crash", "ordnance"],
        Barred::Burial => &["burial"],
        Barred::Church => &["X2"],
        Barred::Foreshore => &["foreshore"],
        Barred::Ordnance => &["ordnance"],
        Barred::Stewardship | Barred::Other => &[],
    };
    let note = one.note.as_deref();
    let note = note.map_or(String::new(), |note| format!(" ({note})"));
    let marked = format!("{id} is marked {}{note}", one.kind.word());
    if laws.is_empty() {
        return vec![format!(
            "{marked}: ask the owner what may be done before you search"
        )];
    }
    let laws = laws.iter().map(|id| law(id).text());
    laws.map(|law| format!("{marked}: {law}")).collect()
}
