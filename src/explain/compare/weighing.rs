//! What of a find speaks for which of the types compared.
//!
//! Lays the terms that the scorer gave side by side, those that tell the types apart most first.
//! No arithmetic but the difference of two such terms and what the scorer makes of the totals.
//!
//! Invariant: for each type the terms of all rows, the prior's among them, sum to its total.

use super::super::{phrase, sentence};
use crate::catalogue::Catalogue;
use crate::find::{Find, Region};
use crate::score::{Detail, Evidence, Judged, Ranking, Witness, among};

/// A find held against each of the types.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighing {
    /// One row a trait, the prior among them, the ones that tell most first.
    pub terms: Vec<TermRow>,
    /// Prior plus terms of each type, nats over "not in the library".
    pub totals: Vec<f64>,
    /// Chance of each, if it is one of just these.
    pub chances: Vec<f64>,
}

/// What one trait says of each type.
#[derive(Clone, Debug, PartialEq)]
pub struct TermRow {
    /// Who speaks; none for the prior.
    pub witness: Option<Witness>,
    /// What was said of the find.
    pub said: String,
    /// Nats for each type; none where the trait says nothing of it.
    pub nats: Vec<Option<f64>>,
    /// Why, for each type.
    pub why: Vec<Option<String>>,
    /// How far the types stand apart in it: the most less the least, silence counted as nought.
    pub difference: f64,
    /// Which of the types it speaks for most, several where they are alike, all where it tells nothing.
    pub speaks_for: Vec<usize>,
    /// By how much over the next of the others; nought where there is none.
    pub lead: f64,
}

/// Nats below which two terms are alike: less than is ever shown.
const ALIKE: f64 = 0.05;

/// Lays out what a ranking says of the types.
pub(super) fn of(
    types: &[usize],
    find: &Find,
    ranking: &Ranking,
    catalogue: &Catalogue,
) -> Weighing {
    let judged: Vec<Option<&Judged>> = types
        .iter()
        .map(|coin| ranking.judged.iter().find(|judged| judged.coin == *coin))
        .collect();
    let coin = |place: usize| &catalogue.types[types[place]];
    let before = (0..types.len()).map(|place| Some(phrase::prior(coin(place), catalogue)));
    let mut terms = vec![row(
        None,
        "beforehand".to_string(),
        judged.iter().map(|one| one.map(|j| j.prior)).collect(),
        before.collect(),
    )];
    for said in traits(&judged) {
        let own: Vec<Option<&Evidence>> = judged
            .iter()
            .map(|one| one.and_then(|j| j.evidence.iter().find(|e| sentence::same_trait(e, said))))
            .collect();
        let why = own
            .iter()
            .enumerate()
            .map(|(place, term)| term.map(|term| sentence::of(term, find, catalogue, coin(place))));
        terms.push(row(
            Some(said.witness),
            words(said, find),
            own.iter().map(|term| term.map(|t| t.nats)).collect(),
            why.collect(),
        ));
    }
    // A stable order: of two that tell as much, the one whose witness speaks first.
    terms.sort_by(|a, b| b.difference.total_cmp(&a.difference));
    let totals: Vec<f64> = judged
        .iter()
        .map(|one| one.map_or(0.0, |j| j.total))
        .collect();
    Weighing {
        chances: among(&totals),
        totals,
        terms,
    }
}

/// The traits that speak of any of the types, each once, in the order of the witnesses.
fn traits<'r>(judged: &[Option<&'r Judged>]) -> Vec<&'r Evidence> {
    let mut known: Vec<&Evidence> = Vec::new();
    for term in judged.iter().flatten().flat_map(|j| &j.evidence) {
        if known.iter().all(|other| !sentence::same_trait(other, term)) {
            known.push(term);
        }
    }
    known.sort_by_key(|term| (term.witness, place(&term.detail)));
    known
}

/// Which of several of its kind a term speaks of, by number or by name.
fn place(detail: &Detail) -> (usize, &'static str) {
    match detail {
        Detail::Legend { reading, .. } => (*reading, ""),
        Detail::Motif { sighting, .. } => (*sighting, ""),
        Detail::Words { side, .. } => (*side as usize, ""),
        Detail::Opinion { opinion, .. } => (*opinion, ""),
        Detail::Treatment { name, .. } => (0, name),
        _ => (0, ""),
    }
}

fn row(
    witness: Option<Witness>,
    said: String,
    nats: Vec<Option<f64>>,
    why: Vec<Option<String>>,
) -> TermRow {
    let told: Vec<f64> = nats.iter().map(|n| n.unwrap_or(0.0)).collect();
    let most = told.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = told.iter().copied().fold(f64::INFINITY, f64::min);
    let alike = |place: &usize| most - told[*place] < ALIKE;
    let (first, rest): (Vec<usize>, Vec<usize>) = (0..told.len()).partition(alike);
    let next = rest.iter().map(|place| told[*place]).reduce(f64::max);
    TermRow {
        witness,
        said,
        nats,
        why,
        difference: most - least,
        speaks_for: first,
        lead: next.map_or(0.0, |next| most - next),
    }
}

/// What was said of the find, in few words.
fn words(term: &Evidence, find: &Find) -> String {
    match &term.detail {
        Detail::Metal { seen, .. } => seen.name().to_string(),
        Detail::Measures {
            grams, millimetres, ..
        } => {
            let weight = grams.map(|g| format!("{g} g"));
            let width = millimetres.map(|m| format!("{m} mm"));
            let measures: Vec<String> = weight.into_iter().chain(width).collect();
            measures.join(", ")
        }
        Detail::Thickness { found, .. } => format!("{found} mm thick"),
        Detail::DieAxis { hour } => format!("die axis {hour} h"),
        Detail::Making { .. } => find.making.map_or("", |made| made.name()).to_string(),
        Detail::Treatment { name, present, .. } => match present {
            true => (*name).to_string(),
            false => format!("not {name}"),
        },
        Detail::Titles => "titles".to_string(),
        Detail::Value { value, .. } => format!("says \"{value}\""),
        Detail::Back { .. } => "the back".to_string(),
        Detail::Legend { reading, .. } => {
            format!("reads \"{}\"", find.readings[*reading].said.trim())
        }
        Detail::Motif { sighting, .. } => {
            let seen = &find.sightings[*sighting];
            let not = if seen.present { "" } else { "no " };
            format!("{not}\"{}\"", seen.said)
        }
        Detail::Words { side, .. } => sentence::your_words(*side),
        Detail::DateOnPiece { .. } => {
            let year = find.date_on_piece.map_or(String::new(), crate::find::era);
            format!("dated {year}")
        }
        Detail::Region { .. } => {
            let region = find.region.map_or("", Region::name);
            format!("found in the region {region}")
        }
        Detail::Company => {
            let company: Vec<&str> = find.company.iter().map(|one| one.said.as_str()).collect();
            format!("found with {}", company.join(", "))
        }
        Detail::Field { .. } | Detail::OwnField { .. } => "what the field has given".to_string(),
        Detail::Opinion { opinion, .. } => {
            format!("thought to be \"{}\"", find.opinions[*opinion].said)
        }
    }
}
