//! Figures: whether a motif is there, and which of several that never stand together.
//!
//! Takes the motifs, and the broader ones above them, by which the likely types differ most; the
//! chance of each report is the motif witness's own. Asks for nothing that was reported or asked.
//!
//! Invariant: of the motifs of one question no likely type shows two.

use std::collections::BTreeMap;

use super::company::{Company, face};
use super::{Asks, Law, MOST_REPLIES, Question, Seen};
use crate::find::Side;
use crate::score::constants::{LOOKED_OVER, SHOWN_TOGETHER};
use crate::score::motif::Sought;

/// Motifs of a side that are weighed exactly; the rest tell less.
const WEIGHED: usize = 18;
/// Motifs of a side from which a question of several is begun.
const BEGINNINGS: usize = 8;
/// Words of bits that hold a place for each type weighed.
const WORDS: usize = LOOKED_OVER / 64;

/// The types that show a motif, a bit each.
type Bearing = [u64; WORDS];

/// A motif that some of the types show.
struct Shown {
    motif: usize,
    bearing: Bearing,
    /// Chance that the piece shows it.
    chance: f64,
    /// Bits that a report of it would bring if it were never wrong.
    at_best: f64,
}

/// The questions about pictures.
pub(super) fn questions(company: &Company<'_>, asked: &[Asks]) -> Vec<Question> {
    let mut questions = Vec::new();
    for side in [Side::Obverse, Side::Reverse, Side::Unknown] {
        let shown = telling(company, side, asked);
        let sought: Vec<Sought> = shown
            .iter()
            .map(|one| Sought::new(one.motif, side, company.groundwork))
            .collect();
        let each: Vec<Vec<[f64; 2]>> = sought
            .iter()
            .map(|one| company_chances(company, one))
            .collect();
        questions.extend((0..shown.len()).map(|place| yes_or_no(&shown, &each, place, side)));
        if side != Side::Unknown {
            let groups = exclusive(company, &shown);
            questions.extend(groups.iter().map(|group| which(&shown, &each, group, side)));
        }
    }
    questions
}

/// Chances of naming and of missing a motif, for each type and last for an unlisted find.
fn company_chances(company: &Company<'_>, sought: &Sought) -> Vec<[f64; 2]> {
    let mut chances: Vec<[f64; 2]> = Vec::with_capacity(company.coins.len() + 1);
    for (place, coin) in company.types().enumerate() {
        let first = company.pictured[place];
        chances.push(match chances.get(first) {
            Some(known) => *known,
            None => sought.chances(Some(coin)),
        });
    }
    chances.push(sought.chances(None));
    chances
}

fn yes_or_no(shown: &[Shown], each: &[Vec<[f64; 2]>], place: usize, side: Side) -> Question {
    let motif = shown[place].motif;
    let law = |[named, missed]: &[f64; 2]| {
        let yes = named / (named + missed);
        [yes, 1.0 - yes, 0.0, 0.0]
    };
    Question {
        asks: Asks::Motif { motif, side },
        seen: vec![Seen::There(motif), Seen::Absent(vec![motif])],
        laws: each[place].iter().map(law).collect(),
    }
}

/// Which of several: each is named as often as it would be alone, and none when all are missed.
fn which(shown: &[Shown], each: &[Vec<[f64; 2]>], group: &[usize], side: Side) -> Question {
    let motifs: Vec<usize> = group.iter().map(|place| shown[*place].motif).collect();
    let law = |coin: usize| {
        let mut law: Law = [0.0; MOST_REPLIES];
        let mut none = 1.0;
        for (reply, place) in group.iter().enumerate() {
            let [named, missed] = each[*place][coin];
            law[reply] = named;
            none *= missed;
        }
        law[group.len()] = none;
        let whole: f64 = law.iter().sum();
        law.map(|chance| chance / whole)
    };
    let count = each.first().map_or(0, Vec::len);
    let there = motifs.iter().map(|motif| Seen::There(*motif));
    Question {
        seen: there.chain([Seen::Absent(motifs.clone())]).collect(),
        laws: (0..count).map(law).collect(),
        asks: Asks::Which { motifs, side },
    }
}

/// The motifs of a side by which the types differ most, those that tell most first.
fn telling(company: &Company<'_>, side: Side, asked: &[Asks]) -> Vec<Shown> {
    let mut bearings: BTreeMap<usize, Bearing> = BTreeMap::new();
    for (place, coin) in company.types().enumerate() {
        let shown = match side {
            Side::Unknown => &coin.marks,
            known => match &face(coin, known).motifs {
                Some(motifs) => motifs,
                None => continue,
            },
        };
        for motif in shown {
            let above = &company.catalogue.motifs[*motif].ancestors;
            for motif in above.iter().chain([motif]) {
                bearings.entry(*motif).or_insert([0; WORDS])[place / 64] |= 1 << (place % 64);
            }
        }
    }
    let known = known_motifs(company, side, asked);
    let mut shown: Vec<Shown> = bearings
        .into_iter()
        .filter(|(motif, _)| !known.contains(motif))
        .map(|(motif, bearing)| Shown::new(motif, bearing, company))
        .filter(|one| one.at_best > 0.0)
        .collect();
    // Of two that the same types show, the narrower earns its reports in full.
    let depth = |one: &Shown| company.catalogue.motifs[one.motif].ancestors.len();
    shown.sort_by(|a, b| {
        let more = b.at_best.total_cmp(&a.at_best);
        more.then(depth(b).cmp(&depth(a)))
            .then(a.motif.cmp(&b.motif))
    });
    let mut kept: Vec<Shown> = Vec::new();
    for one in shown {
        if kept.len() == WEIGHED {
            break;
        }
        if kept.iter().all(|other| other.bearing != one.bearing) {
            kept.push(one);
        }
    }
    kept
}

/// Motifs of a side that need not be asked: reported, asked before, or above what was seen.
fn known_motifs(company: &Company<'_>, side: Side, asked: &[Asks]) -> Vec<usize> {
    let touches = |other: Side| other == side || [other, side].contains(&Side::Unknown);
    let mut known: Vec<usize> = Vec::new();
    for sighting in &company.find.sightings {
        let Some(motif) = company.catalogue.motif_by_id(&sighting.motif) else {
            continue;
        };
        if touches(sighting.side) {
            known.push(motif);
            if sighting.present {
                known.extend(&company.catalogue.motifs[motif].ancestors);
            }
        }
    }
    for asks in asked {
        match asks {
            Asks::Motif { motif, side } if touches(*side) => known.push(*motif),
            Asks::Which { motifs, side } if touches(*side) => known.extend(motifs),
            _ => {}
        }
    }
    known
}

impl Shown {
    fn new(motif: usize, bearing: Bearing, company: &Company<'_>) -> Shown {
        let mut of_group: BTreeMap<usize, f64> = BTreeMap::new();
        let mut chance = 0.0;
        for (word, bits) in bearing.iter().enumerate() {
            let mut bits = *bits;
            while bits != 0 {
                let place = word * 64 + bits.trailing_zeros() as usize;
                bits &= bits - 1;
                chance += company.chances[place];
                *of_group.entry(company.group_of[place]).or_default() += company.chances[place];
            }
        }
        let left: f64 = of_group
            .iter()
            .map(|(group, held)| {
                let whole = company.groups[*group];
                whole * either_way(held / whole)
            })
            .sum();
        Shown {
            motif,
            bearing,
            chance,
            at_best: either_way(chance) - left,
        }
    }

    /// Chance that a piece shows both.
    fn shared(&self, other: &Shown, company: &Company<'_>) -> f64 {
        let both = self.bearing.iter().zip(&other.bearing);
        let mut shared = 0.0;
        for (word, (a, b)) in both.enumerate() {
            let mut bits = a & b;
            while bits != 0 {
                shared += company.chances[word * 64 + bits.trailing_zeros() as usize];
                bits &= bits - 1;
            }
        }
        shared
    }
}

/// Bits of doubt between two things, one of which has this chance.
fn either_way(chance: f64) -> f64 {
    let part = |p: f64| if p > 0.0 { -p * p.log2() } else { 0.0 };
    part(chance.clamp(0.0, 1.0)) + part((1.0 - chance).clamp(0.0, 1.0))
}

/// Groups of motifs that do not stand together, each begun from one that tells much and filled up
/// with what tells most beside it.
fn exclusive(company: &Company<'_>, shown: &[Shown]) -> Vec<Vec<usize>> {
    let apart = |a: &Shown, b: &Shown| {
        a.shared(b, company) <= SHOWN_TOGETHER * a.chance.min(b.chance)
            && !company.catalogue.motifs[a.motif]
                .ancestors
                .contains(&b.motif)
            && !company.catalogue.motifs[b.motif]
                .ancestors
                .contains(&a.motif)
    };
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for first in 0..shown.len().min(BEGINNINGS) {
        let mut group = vec![first];
        for next in 0..shown.len() {
            let fits = group.iter().all(|held| apart(&shown[*held], &shown[next]));
            if fits && !group.contains(&next) && group.len() < MOST_REPLIES - 1 {
                group.push(next);
            }
        }
        group.sort_unstable();
        if group.len() > 1 && !groups.contains(&group) {
            groups.push(group);
        }
    }
    groups
}
