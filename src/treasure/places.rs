//! Whose law it is, what ground it is, whom to tell.
//!
//! Outside England and Wales the local law is named and its people; this program does not judge
//! by it, and asks for a report wherever the Treasure Act would.
//!
//! Invariant: every verdict names somebody to tell.

use super::clock::{Clock, Count};
use super::day::CalendarDay;
use super::facts::{Country, Facts, Ground, Hazard};
use super::law::{Law, law};
use super::truth::Truth;
use super::verdict::{Bite, Call, Contact, Decider};

const CORONER: Contact = Contact {
    word: "coroner",
    text: "the coroner of the district where it was found; in practice through the local finds recording officer, who helps with it",
};
const OFFICER: Contact = Contact {
    word: "recording-officer",
    text: "the local finds recording officer, who gives advice free of charge",
};
const LANDOWNER: Contact = Contact {
    word: "landowner",
    text: "the owner of the land",
};
const POLICE: Contact = Contact {
    word: "police",
    text: "the police, on 999 where there is danger, before anybody else",
};
const CHURCH: Contact = Contact {
    word: "church",
    text: "the church: the incumbent and churchwardens, or the cathedral's clerk (who it is in each is from memory, not verified)",
};
const NORTHERN_IRELAND: Contact = Contact {
    word: "northern-ireland",
    text: "the Ulster Museum, or the department for the historic environment (from memory, not verified), and the coroner for what the Treasure Act asks for",
};
const SCOTLAND: Contact = Contact {
    word: "treasure-trove-unit",
    text: "the Treasure Trove Unit, National Museums Scotland",
};
const MAN: Contact = Contact {
    word: "manx-national-heritage",
    text: "Manx National Heritage (from memory, not verified)",
};
const WRECK: Contact = Contact {
    word: "receiver-of-wreck",
    text: "the Receiver of Wreck, for anything from a wreck",
};
const ELSEWHERE: Contact = Contact {
    word: "local-authority",
    text: "the national museum or the heritage office of that country, before anything is moved or taken away",
};

/// The rules of the place, from those of the Treasure Act.
pub(super) fn rules_there(facts: &Facts, act: Vec<Bite>, old: bool) -> Vec<Bite> {
    let pieces: Vec<usize> = (0..facts.pieces.len()).collect();
    let local = |id, truth| Bite {
        law: law(id),
        truth,
        pieces: pieces.clone(),
        decides: match truth {
            Truth::Yes => Vec::new(),
            _ => vec![Decider::Interest],
        },
    };
    let of_interest = match old || !act.is_empty() {
        true => Truth::Yes,
        false => Truth::Open,
    };
    let firmest = act.iter().map(|bite| bite.truth).max();
    match facts.country {
        None | Some(Country::England | Country::Wales) => act,
        Some(Country::NorthernIreland) => {
            let mut rules = act;
            rules.push(local("NI42", of_interest));
            rules
        }
        Some(Country::Scotland) => vec![local("SC", of_interest)],
        Some(Country::IsleOfMan) => {
            let mut rules = vec![local("IM59", of_interest)];
            rules.extend(firmest.map(|_| local("IM17", Truth::Open)));
            rules
        }
        Some(Country::Elsewhere) => vec![local("elsewhere", Truth::Open)],
    }
}

/// True where the order of 2023 sends the find to the church, as far as is known.
pub(super) fn church(facts: &Facts) -> bool {
    let england = matches!(facts.country, None | Some(Country::England));
    let ground = |ground| matches!(ground, &Ground::Church | &Ground::Cathedral);
    england && facts.grounds.iter().any(ground)
}

/// Whom to tell.
pub(super) fn tell(facts: &Facts, call: Call) -> Vec<Contact> {
    let mut tell = Vec::new();
    let dangers = [Hazard::Ordnance, Hazard::HumanRemains];
    if dangers.iter().any(|danger| facts.hazards.contains(danger)) {
        tell.push(POLICE);
    }
    if church(facts) {
        tell.push(CHURCH);
    }
    match facts.country {
        None | Some(Country::England | Country::Wales) => match call {
            Call::RecordOnly => tell.push(OFFICER),
            Call::ReportIfUnsure => tell.extend([OFFICER, CORONER]),
            Call::ReportNow => tell.push(CORONER),
        },
        Some(Country::NorthernIreland) => tell.push(NORTHERN_IRELAND),
        Some(Country::Scotland) => tell.push(SCOTLAND),
        Some(Country::IsleOfMan) => tell.push(MAN),
        Some(Country::Elsewhere) => tell.push(ELSEWHERE),
    }
    if facts.grounds.contains(&Ground::Foreshore) {
        tell.push(WRECK);
    }
    tell.push(LANDOWNER);
    tell
}

/// The last day by the law of the place; none where no rule of days was read.
pub(super) fn clock(facts: &Facts, today: CalendarDay) -> Option<Clock> {
    let count = |id, count| Clock::new(law(id), count, facts.found, facts.believed, today);
    match facts.country {
        None | Some(Country::England | Country::Wales) => Some(count("days", Count::TreasureAct)),
        Some(Country::NorthernIreland) => Some(count("NI42", Count::FromTheFind)),
        Some(Country::IsleOfMan) => Some(count("IM59", Count::FromTheFind)),
        Some(Country::Scotland | Country::Elsewhere) => None,
    }
}

/// Dangers, to be heeded before all else.
pub(super) fn dangers(facts: &Facts) -> Vec<&'static Law> {
    let said = |hazard| facts.hazards.contains(&hazard);
    let all = [
        (Hazard::Ordnance, "ordnance"),
        (Hazard::HumanRemains, "remains"),
        (Hazard::Lead, "lead"),
    ];
    let mut dangers: Vec<_> = all
        .into_iter()
        .filter(|(hazard, _)| said(*hazard))
        .map(|(_, id)| law(id))
        .collect();
    if said(Hazard::HumanRemains) || facts.grounds.contains(&Ground::Burial) {
        dangers.push(law("burial"));
    }
    dangers
}

/// The rules of the ground and of the country that bear on the find.
pub(super) fn notes(facts: &Facts) -> Vec<&'static Law> {
    let mut notes = Vec::new();
    let england_or_wales = matches!(
        facts.country,
        None | Some(Country::England | Country::Wales)
    );
    for ground in &facts.grounds {
        match ground {
            Ground::Protected => match facts.country {
                None => notes.extend(["s42", "w60"]),
                Some(Country::England) => notes.push("s42"),
                Some(Country::Wales) => notes.push("w60"),
                Some(Country::NorthernIreland) => notes.push("NI29"),
                Some(_) => notes.push("protected-elsewhere"),
            },
            Ground::Sssi if england_or_wales => notes.push("sssi"),
            Ground::Sssi => notes.push("protected-elsewhere"),
            Ground::MilitaryCrash => notes.extend(["crash", "ordnance"]),
            Ground::Foreshore if facts.country == Some(Country::IsleOfMan) => {
                notes.push("foreshore-man");
            }
            Ground::Foreshore => notes.push("foreshore"),
            Ground::Church | Ground::Cathedral if church(facts) => notes.push("X2"),
            // Other churches are not named in the order, and the order names no other country's.
            Ground::Church | Ground::Cathedral | Ground::OtherChurch => notes.push("X2"),
            // Stands among the dangers.
            Ground::Burial => {}
        }
    }
    match facts.country {
        Some(Country::NorthernIreland) => notes.extend(["NI41", "of-interest", "cautious-days"]),
        Some(Country::IsleOfMan) => notes.extend(["of-interest", "cautious-days"]),
        Some(Country::Scotland) => notes.push("of-interest"),
        _ => {}
    }
    notes.into_iter().map(law).collect()
}
