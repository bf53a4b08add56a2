//! What to take care of, beside a draft: dangers, the law, the piece and the place.
//!
//! Every sentence about law comes from the treasure room's table, and its call is given as it is:
//! a first sorting, no legal advice, and never a ruling that a find falls outside the law.
//!
//! Invariant: dangers stand first, and there is always a call.

use super::Basis;
use super::draft::Kind;
use crate::find::MetalSeen;
use crate::findspot::countries;
use crate::treasure::{
    Age, CalendarDay, Call, Country, Facts, Hazard, Piece, SameFind, What, by_sight, companions,
    identified, judge, law,
};

/// What is said of a place that is written down in full.
const PLACE: &str = "findspots are sensitive: give the full figures to the recording officer and \
                     the landowner, and pass on nothing finer than 1 km";

/// The cautions of a draft.
pub(super) fn of(basis: &Basis<'_>, kind: Kind, today: CalendarDay) -> Vec<String> {
    let facts = facts(basis, kind);
    let verdict = judge(&facts, today);
    let mut cautions: Vec<String> = verdict.dangers.iter().map(|one| one.text()).collect();
    cautions.push(format!(
        "treasure: {}; see: lynchet treasure",
        lower(verdict.call.text())
    ));
    let last = verdict.clock.and_then(|clock| clock.last);
    if let Some(last) = last.filter(|_| verdict.call != Call::RecordOnly) {
        let text = law("days").text();
        cautions.push(format!("last day to report it: {}; {text}", last.text()));
    }
    cautions.push(law("decides").text());
    cautions.push(law("care").text());
    if basis.circumstances.findspot.is_some() {
        cautions.push(PLACE.to_string());
    }
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
        country: country(basis),
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
            age: basis
                .circumstances
                .artefact
                .made
                .map_or(Age::Unsaid, Age::Years),
            ..by_sight(find, name)
        },
        (Kind::Coin, Some(judged)) if basis.told.coin.is_none() => {
            identified(find, judged.ranking, basis.catalogue, name)
        }
        (Kind::Coin, _) => {
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
fn country(basis: &Basis<'_>) -> Option<Country> {
    use crate::findspot::Country as Lies;
    let spot = basis.circumstances.findspot?;
    match countries(spot.square) {
        [Lies::England] => Some(Country::England),
        [Lies::Wales] => Some(Country::Wales),
        [Lies::Scotland] => Some(Country::Scotland),
        [Lies::Man] => Some(Country::IsleOfMan),
        _ => None,
    }
}
