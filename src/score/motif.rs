//! Motif: figures the finder names against what a type shows.
//!
//! Reports are noisy and vague, so a broader or a near concept earns part of the
//! credit, and a thing usually shown with another counts when it is named alone.
//! Each report is weighed by how rare it is over the whole library.
//!
//! Invariant: the same report made twice, or a broader one beside it on the same
//! side, adds nothing; and one thing shown speaks once for all that is only near it.

use super::constants::*;
use super::evidence::{Detail, Evidence, MotifMatch, Witness};
use super::groundwork::Groundwork;
use crate::catalogue::{Catalogue, CoinType, Face};
use crate::find::{Find, Side, Sighting};

/// One report held against every concept of the vocabulary.
#[derive(Clone, Debug)]
pub(super) struct Report {
    sighting: usize,
    side: Side,
    present: bool,
    false_alarm: f64,
    /// Credit for each concept that a type may show.
    credit: Vec<f64>,
    /// Chance of the report over the background of all types.
    background: f64,
    /// Least and most nats that the credit of a type may give.
    ends: (f64, f64),
    /// Share of its nats that it speaks: less where the words in which it was said speak too.
    loud: f64,
}

/// The reports of a find that say something: repeats and broader ones beside a narrower left out.
pub(super) fn reports(find: &Find, catalogue: &Catalogue, groundwork: &Groundwork) -> Vec<Report> {
    let known: Vec<(usize, usize, &Sighting)> = find
        .sightings
        .iter()
        .enumerate()
        .filter_map(|(i, s)| Some((i, catalogue.motif_by_id(&s.motif)?, s)))
        .collect();
    let covered = |&(position, motif, sighting): &(usize, usize, &Sighting)| {
        known.iter().any(|(other, their, s)| {
            let beside = s.side == sighting.side && s.present == sighting.present;
            let narrower = s.present && catalogue.motifs[*their].ancestors.contains(&motif);
            // Of the same report made twice the surer stands, or else the first.
            let same = *their == motif && *other != position;
            let stands = (s.sure, sighting.sure) == (true, false)
                || (s.sure == sighting.sure && *other < position);
            beside && (narrower || (same && stands))
        })
    };
    let report = |(position, motif, sighting): &(usize, usize, &Sighting)| {
        let report = Report::new(*position, *motif, sighting, groundwork);
        match sighting.present && is_worded(sighting, find) {
            true => Report {
                loud: MOTIF_BESIDE_WORDS,
                ..report
            },
            false => report,
        }
    };
    known
        .iter()
        .filter(|report| !covered(report))
        .map(report)
        .collect()
}

/// True when words in which a sighting was said are weighed as words, too.
fn is_worded(sighting: &Sighting, find: &Find) -> bool {
    let said = sighting.said.to_lowercase();
    let mut tokens = said.split(|c: char| !c.is_alphanumeric());
    tokens.any(|token| {
        let mut words = find.seen_words.iter();
        words.any(|one| {
            // Plurals are kept as singulars: "lilies" as "lily".
            let stem = one.word.strip_suffix('y').unwrap_or(&one.word);
            one.side == sighting.side && token.starts_with(stem)
        })
    })
}

/// Hands over the terms of all reports for a type.
///
/// One thing shown is one thing seen: of several reports that are only near it ("beast", "horse",
/// "eagle" where the type has an animal) the best speaks and the others neither speak for the type
/// nor against it.
pub(super) fn figures<'r>(
    reports: impl Iterator<Item = &'r Report> + Clone,
    coin: &CoinType,
    mut take: impl FnMut(Evidence),
) {
    let near = |term: &Evidence| match term.detail {
        Detail::Motif {
            sighting,
            relation: MotifMatch::Near(shown),
        } if term.nats > 0.0 => Some((shown, term.nats, sighting)),
        _ => None,
    };
    let terms = |report: &Report| report.evidence(coin);
    for mut term in reports.clone().filter_map(terms) {
        if let Some((shown, nats, sighting)) = near(&term) {
            let others = reports.clone().filter_map(terms);
            let better = |other: (usize, f64, usize)| {
                other.0 == shown && (other.1 > nats || (other.1 == nats && other.2 < sighting))
            };
            if others.filter_map(|other| near(&other)).any(better) {
                term.nats = 0.0;
            }
        }
        take(term);
    }
}

impl Report {
    fn new(sighting: usize, motif: usize, said: &Sighting, groundwork: &Groundwork) -> Report {
        let mut report = Report {
            sighting,
            side: said.side,
            present: said.present,
            false_alarm: 0.0,
            credit: groundwork.credits.of(motif),
            background: 0.0,
            ends: (0.0, 0.0),
            loud: 1.0,
        };
        let Heard { credited, showing } = groundwork.heard[motif][said.side as usize];
        let weighed = groundwork.shown.on(said.side);
        let chance = MOTIF_FALSE.0 + MOTIF_FALSE.1 * showing;
        report.false_alarm = match said.sure {
            true => chance,
            false => (chance * MOTIF_FALSE_UNSURE).min(MOTIF_SEEN / 2.0),
        };
        report.background = if weighed > 0.0 {
            report.chance(credited / weighed)
        } else {
            1.0
        };
        let nats = [0.0, 1.0].map(|credit| (report.chance(credit) / report.background).ln());
        report.ends = (nats[0].min(nats[1]), nats[0].max(nats[1]));
        report
    }

    /// True when it was said of this side.
    pub(super) fn is_of(&self, side: Side) -> bool {
        self.side == side
    }

    /// Chance of the report for a type that earns this credit.
    fn chance(&self, credit: f64) -> f64 {
        match self.present {
            true => named(self.false_alarm, credit),
            false => missed(self.false_alarm, credit),
        }
    }

    /// Within what one trait may say. Where the thing itself would say more, all between it and a type
    /// that shows nothing of the kind is drawn together, so that a near relation stays behind it.
    fn bounded(&self, nats: f64) -> f64 {
        let (least, most) = self.ends;
        let drawn = match most > TRAIT_BOUND && least < TRAIT_BOUND {
            true => least + (nats - least) * (TRAIT_BOUND - least) / (most - least),
            false => nats,
        };
        drawn.clamp(-TRAIT_BOUND, TRAIT_BOUND)
    }

    /// The term for a type; none when the library does not say what it shows.
    pub(super) fn evidence(&self, coin: &CoinType) -> Option<Evidence> {
        let (credit, mut relation) = earned(&self.credit, self.side, coin)?;
        let mut ratio = self.chance(credit) / self.background;
        let unsaid = |face: &Face| face.motifs.is_none();
        let faces = Catalogue::faces(coin).into_iter();
        if self.side == Side::Unknown && faces.filter(|face| unsaid(face)).count() == 1 {
            // As likely as not it is meant of the face of which nothing is said, which is as any other.
            if ratio < 1.0 {
                relation = MotifMatch::Unsaid;
            }
            ratio = 0.5 * (ratio + 1.0);
        }
        Some(Evidence {
            witness: Witness::Motif,
            nats: self.loud * self.bounded(ratio.ln()),
            detail: Detail::Motif {
                sighting: self.sighting,
                relation,
            },
        })
    }
}

/// Chance that a finder names a motif, for a type that earns this credit.
fn named(false_alarm: f64, credit: f64) -> f64 {
    false_alarm + (MOTIF_SEEN - false_alarm) * credit
}

/// Chance that a finder looks for a motif in vain, for a type that earns this credit.
fn missed(false_alarm: f64, credit: f64) -> f64 {
    let unseen = 1.0 - false_alarm;
    unseen - (unseen - MOTIF_MISSED) * credit
}

/// A motif that a finder may be asked for on a side.
#[derive(Clone, Debug)]
pub(super) struct Sought {
    side: Side,
    false_alarm: f64,
    credit: Vec<f64>,
    /// Credit earned over the background of all types; none when the library shows no such side.
    background: Option<f64>,
}

impl Sought {
    /// A motif sought on a side.
    pub(super) fn new(motif: usize, side: Side, groundwork: &Groundwork) -> Sought {
        let Heard { credited, showing } = groundwork.heard[motif][side as usize];
        let weighed = groundwork.shown.on(side);
        Sought {
            side,
            false_alarm: MOTIF_FALSE.0 + MOTIF_FALSE.1 * showing,
            credit: groundwork.credits.of(motif),
            background: (weighed > 0.0).then(|| credited / weighed),
        }
    }

    /// Chances, by the law of the reports, that it is named and that it is looked for in vain. A
    /// type of which the library says nothing is as any other.
    pub(super) fn chances(&self, coin: Option<&CoinType>) -> [f64; 2] {
        let earned = coin.and_then(|coin| earned(&self.credit, self.side, coin));
        let credit = earned.map(|(credit, _)| credit).or(self.background);
        credit.map_or([0.5, 0.5], |credit| {
            [
                named(self.false_alarm, credit),
                missed(self.false_alarm, credit),
            ]
        })
    }
}

/// Best credit on a face, and the concept that earns it.
fn on_face(credit: &[f64], face: &Face) -> Option<(f64, usize)> {
    let motifs = face.motifs.as_ref()?;
    let best = motifs
        .iter()
        .map(|m| (credit[*m], *m))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    Some(best.unwrap_or((0.0, usize::MAX)))
}

/// Credit that a type earns, and how it relates; none when the library does not say what it shows.
fn earned(credit: &[f64], side: Side, coin: &CoinType) -> Option<(f64, MotifMatch)> {
    let (front, back) = (
        on_face(credit, &coin.obverse),
        on_face(credit, &coin.reverse),
    );
    let (own, other) = match side {
        Side::Obverse => (front?, back),
        Side::Reverse => (back?, front),
        Side::Unknown => match (front, back) {
            (Some(a), Some(b)) if b.0 > a.0 => (b, None),
            (Some(a), _) | (None, Some(a)) => (a, None),
            (None, None) => return None,
        },
    };
    let marked = coin.marks.iter().map(|m| credit[*m]).fold(0.0, f64::max);
    let across = other.map_or(0.0, |o| o.0 * MOTIF_OTHER_SIDE);
    Some(if marked > own.0.max(across) {
        // A piece bears one of the type's marks, so each is less sure to be there.
        (
            marked * (1.0 / coin.marks.len() as f64).max(0.4),
            MotifMatch::Shown,
        )
    } else if own.0 >= MOTIF_PART {
        (own.0, MotifMatch::Shown)
    } else if across > own.0 {
        (across, MotifMatch::OtherSide)
    } else if own.0 > 0.0 {
        (own.0, MotifMatch::Near(own.1))
    } else {
        (0.0, MotifMatch::NotShown)
    })
}

/// How much of the listed coinage answers to a concept named on a side.
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Heard {
    /// Weight of the types, each times the credit that it earns.
    credited: f64,
    /// Weight of the types that show it, on whatever side.
    showing: f64,
}

/// What showing each concept is worth when another is named, for all concepts that may be named.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Credits {
    /// For each concept named, what is shown and what it is worth; what is not there is worth nothing.
    worth: Vec<Vec<(u32, f64)>>,
}

impl Credits {
    /// Worked out over a vocabulary, and the library's types with their weights.
    pub(super) fn new(catalogue: &Catalogue, children: &[Vec<usize>], weights: &[f64]) -> Credits {
        let weighed = weighed(catalogue, weights);
        let earning = |said: usize| {
            let all = credit(said, catalogue, children, &weighed).into_iter();
            let all = (0u32..).zip(all);
            all.filter(|(_, credit)| *credit > 0.0).collect()
        };
        Credits {
            worth: (0..catalogue.motifs.len()).map(earning).collect(),
        }
    }

    /// Credit for each concept of the vocabulary that a type may show, when this one is named.
    fn of(&self, said: usize) -> Vec<f64> {
        let mut credit = vec![0.0; self.worth.len()];
        for (shown, worth) in &self.worth[said] {
            credit[*shown as usize] = *worth;
        }
        credit
    }
}

/// For every concept, how much answers to it on the obverse, the reverse and either side.
pub(super) fn heard(catalogue: &Catalogue, weights: &[f64], credits: &Credits) -> Vec<[Heard; 3]> {
    let bearers = bearers(catalogue);
    let one = |motif: usize| {
        let credit = credits.of(motif);
        let mut heard = [Heard::default(); 3];
        for position in near(&credits.worth[motif], &bearers) {
            let (coin, weight) = (&catalogue.types[position], weights[position]);
            let faces = Catalogue::faces(coin).into_iter();
            let mut shown = faces.flat_map(|face| face.motifs.iter().flatten());
            let showing = if shown.any(|motif| credit[*motif] >= 1.0) {
                weight
            } else {
                0.0
            };
            for side in [Side::Obverse, Side::Reverse, Side::Unknown] {
                let earned = earned(&credit, side, coin).map_or(0.0, |(credit, _)| credit);
                heard[side as usize].credited += weight * earned;
                heard[side as usize].showing += showing;
            }
        }
        heard
    };
    (0..catalogue.motifs.len()).map(one).collect()
}

/// How much of the listed coinage the library says the pictures of, by side.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Shown {
    obverse: f64,
    reverse: f64,
    either: f64,
}

impl Shown {
    /// Summed over a library, each type with its weight.
    pub(super) fn over(catalogue: &Catalogue, weights: &[f64]) -> Shown {
        let on = |side: Side| {
            let types = catalogue.types.iter().zip(weights);
            let said = types.filter(|(coin, _)| Shown::says(coin, side));
            said.map(|(_, weight)| weight).sum()
        };
        Shown {
            obverse: on(Side::Obverse),
            reverse: on(Side::Reverse),
            either: on(Side::Unknown),
        }
    }

    fn on(&self, side: Side) -> f64 {
        match side {
            Side::Obverse => self.obverse,
            Side::Reverse => self.reverse,
            Side::Unknown => self.either,
        }
    }

    /// True when the library says what a type shows there.
    fn says(coin: &CoinType, side: Side) -> bool {
        match side {
            Side::Obverse => coin.obverse.motifs.is_some(),
            Side::Reverse => coin.reverse.motifs.is_some(),
            Side::Unknown => coin.obverse.motifs.is_some() || coin.reverse.motifs.is_some(),
        }
    }
}

/// For each concept, the types that show it on a face or as a mark, none twice.
fn bearers(catalogue: &Catalogue) -> Vec<Vec<u32>> {
    let mut bearers: Vec<Vec<u32>> = vec![Vec::new(); catalogue.motifs.len()];
    for (position, coin) in catalogue.types.iter().enumerate() {
        let faces = Catalogue::faces(coin).into_iter();
        let shown = faces.flat_map(|face| face.motifs.iter().flatten());
        for motif in shown.chain(&coin.marks) {
            let bearers = &mut bearers[*motif];
            if bearers.last() != Some(&(position as u32)) {
                bearers.push(position as u32);
            }
        }
    }
    bearers
}

/// The types that show anything with credit.
fn near(worth: &[(u32, f64)], bearers: &[Vec<u32>]) -> Vec<usize> {
    let mut near: Vec<usize> = worth
        .iter()
        .flat_map(|(shown, _)| &bearers[*shown as usize])
        .map(|position| *position as usize)
        .collect();
    near.sort_unstable();
    near.dedup();
    near
}

/// For each concept the weight of the types that show it or a kind of it.
fn weighed(catalogue: &Catalogue, weights: &[f64]) -> Vec<f64> {
    let mut weighed = vec![0.0; catalogue.motifs.len()];
    let mut last = vec![usize::MAX; catalogue.motifs.len()];
    for (position, coin) in catalogue.types.iter().enumerate() {
        let faces = Catalogue::faces(coin).into_iter();
        let shown = faces.flat_map(|face| face.motifs.iter().flatten());
        for motif in shown.chain(&coin.marks) {
            let above = catalogue.motifs[*motif].ancestors.iter();
            for kind in std::iter::once(motif).chain(above) {
                if std::mem::replace(&mut last[*kind], position) != position {
                    weighed[*kind] += weights[position];
                }
            }
        }
    }
    weighed
}

/// What showing each concept is worth when this one is named.
fn credit(
    said: usize,
    catalogue: &Catalogue,
    children: &[Vec<usize>],
    weighed: &[f64],
) -> Vec<f64> {
    let motifs = &catalogue.motifs;
    let mut credit = vec![0.0; motifs.len()];
    // A vague word for something: the named concept is above the shown one, or it is the thing itself.
    let full = |shown: usize| shown == said || motifs[shown].ancestors.contains(&said);
    // The shown concept is above the named one: the library is vague there or the finder was too
    // precise. Of all kinds of it this one is meant as often as the library shows it: that a type
    // has "a figure" says little for Aeneas.
    let mut above = vec![said];
    let mut worth = 1.0;
    let mut seen = vec![said];
    while !above.is_empty() {
        worth *= MOTIF_MORE_SPECIFIC;
        above = above
            .iter()
            .flat_map(|m| motifs[*m].under.iter().copied())
            .filter(|m| !seen.contains(m))
            .collect();
        for m in &above {
            let kind = weighed[said] / weighed[*m].max(f64::MIN_POSITIVE);
            credit[*m] = f64::max(credit[*m], worth.min(kind.max(MOTIF_KIND_LEAST)));
        }
        seen.extend(&above);
    }
    for parent in &motifs[said].under {
        if children[*parent].len() <= MOTIF_SIBLING_PARENT_MOST {
            for sibling in &children[*parent] {
                credit[*sibling] = f64::max(credit[*sibling], MOTIF_SIBLING);
            }
        }
    }
    for shown in 0..motifs.len() {
        if full(shown) {
            credit[shown] = 1.0;
        } else if motifs[shown].parts.iter().any(|part| full(*part)) {
            credit[shown] = f64::max(credit[shown], MOTIF_PART);
        }
    }
    credit
}
