//! What to take care of, beside a draft: dangers, the law, the piece and the place.
//!
//! Every sentence about law comes from the treasure room's table, and its call is given as it is:
//! a first sorting, no legal advice, and never a ruling that a find falls outside the law.
//!
//! Invariant: dangers stand first, and there is always a call.

use super::draft::Kind;
use super::{Basis, thing};
use crate::find::MetalSeen;
use crate::findspot::{Findspot, countries};
use crate::hoard::CARE;
use crate::treasure::{
    Age, Bite, CalendarDay, Call, Country, Facts, Hazard, Piece, SameFind, Truth, Verdict, What,
    by_sight, companions, identified, judge, law,
};

/// What is said of a place that is written down in full.
const PLACE: &str = "findspots are sensitive: give the full figures to the recording officer and \
                     the landowner, and pass on nothing finer than 1 km";

/// Rows that a rule is told to ask for by name.
const RULED_MOST: usize = 8;

/// The cautions of a draft.
pub(super) fn of(basis: &Basis<'_>, kind: Kind, today: CalendarDay) -> Vec<String> {
    let verdict = judge(&facts(basis, kind), today);
    let of_class = basis.thing.map_or(&[][..], |thing| thing.cautions);
    let of_class = of_class.iter();
    let mut cautions: Vec<String> = of_class.map(|one| one.advice().to_string()).collect();
    cautions.extend(of_law(&verdict, Vec::new()));
    if basis.circumstances.findspot.is_some() {
        cautions.push(PLACE.to_string());
    }
    cautions
}

/// The cautions of a group: the rules stand with it, since a group is where they bite.
pub(super) fn of_group(verdict: &Verdict, placed: bool) -> Vec<String> {
    let names = |bite: &Bite| {
        let names = bite.pieces.iter();
        let names = names.filter_map(|place| verdict.standing.get(*place));
        let names: Vec<&str> = names
            .map(|one| one.name.as_str())
            .take(RULED_MOST)
            .collect();
        let more = bite.pieces.len().saturating_sub(RULED_MOST);
        match more {
            0 => names.join("; "),
            more => format!("{}; and {more} rows more", names.join("; ")),
        }
    };
    let rules = verdict.rules.iter().map(|bite| {
        let met = match bite.truth {
            Truth::Yes => "met",
            _ => "may be met",
        };
        let (id, text) = (bite.law.id, bite.law.text());
        let decides: Vec<&str> = bite.decides.iter().map(|one| one.text()).collect();
        let decides = match decides.is_empty() {
            true => String::new(),
            false => format!("; what would decide: {}", decides.join("; ")),
        };
        format!("{met}: {id} {text}; it asks for: {}{decides}", names(bite))
    });
    let tell = verdict.tell.iter();
    let tell = tell.map(|contact| format!("whom to tell: {}", contact.text));
    let mut cautions: Vec<String> = CARE.iter().map(|care| care.says.to_string()).collect();
    // Dangers stand before the care of the hole.
    let dangers = verdict.dangers.len();
    let mut law = of_law(verdict, rules.chain(tell).collect());
    let rest = law.split_off(dangers);
    law.append(&mut cautions);
    law.extend(rest);
    if placed {
        law.push(PLACE.to_string());
    }
    law
}

/// Dangers, the call, what else is told of the law, the last day, and who decides.
fn of_law(verdict: &Verdict, more: Vec<String>) -> Vec<String> {
    let mut cautions: Vec<String> = verdict.dangers.iter().map(|one| one.text()).collect();
    cautions.push(format!(
        "treasure: {}; see: lynchet treasure",
        lower(verdict.call.text())
    ));
    cautions.extend(more);
    let last = verdict.clock.as_ref().and_then(|clock| clock.last);
    if let Some(last) = last.filter(|_| verdict.call != Call::RecordOnly) {
        let text = law("days").text();
        cautions.push(format!("last day to report it: {}; {text}", last.text()));
    }
    cautions.push(law("decides").text());
    cautions.push(law("care").text());
    cautions
}

fn lower(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_lowercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// The facts of a draft as the law asks for them.
fn facts(basis: &Basis<'_>, kind: Kind) -> Facts {
    let (find, told) = (basis.find, basis.circumstances);
    let beside = companions(find, basis.catalogue);
    let group = told.group.is_some();
    let same_find = match (beside.is_empty(), group) {
        (false, _) => Some(SameFind::Hole),
        (true, true) => Some(SameFind::Unsure),
        (true, false) => None,
    };
    let mut pieces = vec![piece(basis, kind)];
    pieces.extend(beside);
    let lead = find
        .metal
        .is_some_and(|(metal, _)| metal == MetalSeen::Lead);
    Facts {
        pieces,
        same_find,
        country: country(told.findspot),
        found: told.found,
        hazards: lead.then_some(Hazard::Lead).into_iter().collect(),
        ..Facts::default()
    }
}

fn piece(basis: &Basis<'_>, kind: Kind) -> Piece {
    let name = "the find";
    let find = basis.find;
    match (kind, basis.judged.as_ref()) {
        (Kind::Artefact, _) => Piece {
            what: What::Object,
            age: match (basis.circumstances.artefact.made, &basis.thing) {
                (Some(made), _) => Age::Years(made),
                (None, Some(judged)) => thing::age(judged),
                (None, None) => Age::Unsaid,
            },
            ..by_sight(find, name)
        },
        (Kind::Coin | Kind::Group, Some(judged)) if basis.told.coin.is_none() => {
            identified(find, judged.ranking, basis.catalogue, name)
        }
        (Kind::Coin | Kind::Group, _) => {
            let coin = basis.told.coin.map(|coin| &basis.catalogue.types[coin]);
            Piece {
                what: What::Coin,
                age: coin.map_or(Age::Unsaid, |coin| Age::Years(coin.span)),
                ..by_sight(find, name)
            }
        }
    }
}

/// The country, where the letters of the findspot leave one.
pub(super) fn country(spot: Option<Findspot>) -> Option<Country> {
    use crate::findspot::Country as Lies;
    match countries(spot?.square) {
        [Lies::England] => Some(Country::England),
        [Lies::Wales] => Some(Country::Wales),
        [Lies::Scotland] => Some(Country::Scotland),
        [Lies::Man] => Some(Country::IsleOfMan),
        _ => None,
    }
}
