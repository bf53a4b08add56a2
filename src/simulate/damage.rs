//! Damage: a find that somebody described, as it would be described after more years in the ground.
//!
//! Letters go and are misread, weight goes, measures are read off a coarser scale and figures are
//! taken for others, by the very law of simulated finds; or one trait in six is made a wrong one.
//! No trait is added, and what the find truly is stays what it was.
//!
//! Invariant: a seed and an id give the same damage anywhere, in whatever order finds come.

use crate::catalogue::Catalogue;
use crate::find::{
    Completeness, Find, Grams, Mark, Measured, MetalSeen, Millimetres, Reading, SeenWord, Sighting,
};
use crate::parse;

use super::{Chance, Loss, read_off};

/// How often a finder names rightly what is there, as in all simulated finds.
const NAMED_RIGHTLY: f64 = 0.79;
/// How often the diameter can still be measured of a piece that broke, against a whole one.
const BROKEN_MEASURED: f64 = 0.13;
/// How often the scale shows hundredths of a gram; else it shows tenths.
const HUNDREDTHS: f64 = 0.7;
/// Traits for one of which another is put in.
const ONE_IN: f64 = 6.0;
/// How often another find is asked for a wrong trait before one is made up.
const ASKED: usize = 24;
/// A measure is wrong when it is off by a quarter or more.
const OFF: f64 = 0.25;

/// The row of numbers for one find: the same for a seed and an id anywhere (the published FNV-1a
/// of the id, stirred with the seed).
pub fn seeded(seed: u64, id: &str) -> Chance {
    let mixed = id.bytes().fold(0xCBF2_9CE4_8422_2325_u64, |sum, byte| {
        (sum ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01B3)
    });
    // The first numbers of near seeds would be alike, so one row is drawn from to start another.
    let mut first = Chance(mixed ^ seed.wrapping_mul(0x9E37_79B9_7F4A_7C15));
    let high = (first.share() * 2f64.powi(32)) as u64;
    let low = (first.share() * 2f64.powi(32)) as u64;
    Chance(high << 32 | low)
}

/// The find after more loss. What is lost is drawn as for a piece of the library in a metal that
/// looks the same.
pub fn damaged(find: &Find, catalogue: &Catalogue, chance: &mut Chance) -> Find {
    let alike: Vec<usize> = (0..catalogue.listed().len())
        .filter(|position| {
            let looks = catalogue.metals[catalogue.types[*position].metal].looks;
            find.metal.is_none_or(|(seen, _)| seen == looks)
        })
        .collect();
    let any = chance.below(catalogue.listed().len());
    let like = chance.one(&alike).copied().unwrap_or(any);
    let mut loss = Loss::of(like, catalogue, chance);
    if find
        .completeness
        .is_some_and(|left| left != Completeness::Whole)
    {
        // It is broken already.
        (loss.left, loss.completeness) = (1.0, Completeness::Whole);
    }
    let mut after = find.clone();
    after.weight = find.weight.and_then(|weight| loss.weighed(weight));
    after.diameter = find.diameter.and_then(|width| loss.spanned(width));
    after.thickness = find.thickness.and_then(|deep| loss.thinned(deep));
    if loss.completeness != Completeness::Whole {
        after.completeness = loss.completeness().or(find.completeness);
    }
    after.wear = find
        .wear
        .and_then(|said| loss.wear().map(|seen| said.max(seen)));
    after.corrosion = find
        .corrosion
        .and_then(|said| loss.corrosion().map(|seen| said.max(seen)));
    let readings = find.readings.iter();
    after.readings = readings.filter_map(|reading| loss.faded(reading)).collect();
    for place in 0..after.sightings.len() {
        let before = &after.sightings[place];
        if before.present && !loss.chance.falls(NAMED_RIGHTLY) {
            let mut taken_for = before.clone();
            loss.misname(&mut taken_for);
            retell(&mut after, place, taken_for);
        }
    }
    after
}

/// Puts a sighting in the place of one, and its words in the place of those in which that was said.
fn retell(find: &mut Find, place: usize, sighting: Sighting) {
    let side = sighting.side;
    let before: Vec<String> = parse::shapes(&find.sightings[place].said).collect();
    let kept = |one: &SeenWord| one.side != side || !before.contains(&one.word);
    // Where no words were told beside what was heard in them, none are made up.
    let told = !find.seen_words.is_empty();
    find.seen_words.retain(kept);
    for word in parse::shapes(&sighting.said).filter(|_| told) {
        find.add_seen_word(SeenWord { side, word });
    }
    find.sightings[place] = sighting;
}

impl Loss<'_> {
    fn weighed(&mut self, weight: Measured<Grams>) -> Option<Measured<Grams>> {
        let eaten = match self.corroded {
            0 | 1 => 1.0,
            steps => (0.02 * steps as f64 * self.chance.normal() - 0.03).exp(),
        };
        let left = (1.0 - self.worn) * (1.0 - self.clipped) * self.left * eaten;
        let parts = if self.chance.falls(HUNDREDTHS) {
            100.0
        } else {
            10.0
        };
        let value = Grams::new(read_off(weight.value.get() * left, parts)).ok()?;
        let error = weight.error.max(0.5 / parts);
        Some(Measured { value, error })
    }

    fn spanned(&mut self, width: Measured<Millimetres>) -> Option<Measured<Millimetres>> {
        let broken = matches!(
            self.completeness,
            Completeness::Quarter | Completeness::Fragment
        );
        if broken && !self.chance.falls(BROKEN_MEASURED) {
            return None;
        }
        let found = width.value.get() * (1.0 - self.clipped).sqrt() + 0.2 * self.chance.normal();
        let parts = [10.0, 2.0, 1.0][self.chance.weighted(&[4.0, 2.0, 4.0])];
        let value = Millimetres::new(read_off(found, parts)).ok()?;
        let error = width.error.max(0.5 / parts);
        Some(Measured { value, error })
    }

    fn thinned(&mut self, deep: Measured<Millimetres>) -> Option<Measured<Millimetres>> {
        let found = deep.value.get() * (1.0 - self.worn);
        let value = Millimetres::new(read_off(found, 10.0)).ok()?;
        let error = deep.error.max(0.05);
        Some(Measured { value, error })
    }

    /// What is left to read of a reading; nothing when no letter is.
    fn faded(&mut self, reading: &Reading) -> Option<Reading> {
        let seen = self.visible(reading.marks.len().max(1));
        let mut text = String::new();
        let mut place = 0;
        while place < reading.marks.len() {
            let (mark, there) = (&reading.marks[place], seen[place]);
            if reading.words.contains(&place) {
                text.push(' ');
            }
            match mark {
                Mark::Lost(count) => text.push_str(&format!("[{}]", ".".repeat(*count))),
                Mark::AboutLost(count) => text.push_str(&format!("[c.{count}]")),
                Mark::Gap => text.push_str("[---]"),
                Mark::Break => text.push('/'),
                Mark::Letter { letter, sure } if there => {
                    self.read(*letter, &mut text);
                    if !sure && !text.ends_with('?') {
                        text.push('?');
                    }
                }
                Mark::OneOf(letters) if there => {
                    let letters: Vec<String> = letters.iter().map(char::to_string).collect();
                    text.push_str(&format!("({})", letters.join("/")));
                }
                Mark::Letter { .. } | Mark::OneOf(_) => {
                    let lost = |at: &usize| !seen[*at] && is_letter(&reading.marks[*at]);
                    let run = (place..reading.marks.len()).take_while(lost).count();
                    let at_end = place == 0 || place + run == reading.marks.len();
                    text.push_str(&self.lost(run, at_end));
                    place += run;
                    continue;
                }
            }
            place += 1;
        }
        let mut left = parse::reading(&text, reading.side).0?;
        left.retrograde = reading.retrograde;
        (left.letters_seen() > 0).then_some(left)
    }

    /// Takes a motif for another.
    fn misname(&mut self, sighting: &mut Sighting) {
        if let Some(motif) = self.catalogue.motif_by_id(&sighting.motif) {
            let taken_for = self.mistaken(motif);
            *sighting = self.sighting(taken_for, sighting.side, true, sighting.sure);
        }
    }
}

fn is_letter(mark: &Mark) -> bool {
    matches!(mark, Mark::Letter { .. } | Mark::OneOf(_))
}

/// A trait of which a wrong one can be put in the place.
#[derive(Clone, Copy)]
enum Trait {
    Metal,
    Weight,
    Diameter,
    Thickness,
    DieAxis,
    Making,
    Reading(usize),
    Sighting(usize),
}

/// The find with one trait in six a wrong one, and how many are wrong (the part of six that is left
/// over is drawn by lot). A wrong trait is that of another of these finds, or made up where none
/// of those asked differs.
pub fn one_in_six_wrong(
    find: &Find,
    others: &[&Find],
    catalogue: &Catalogue,
    chance: &mut Chance,
) -> (Find, usize) {
    let share = find.trait_count() as f64 / ONE_IN;
    let wanted = share.floor() as usize + usize::from(chance.falls(share.fract()));
    let mut traits = traits(find);
    let mut wrong = find.clone();
    let mut count = 0;
    while count < wanted && !traits.is_empty() {
        let which = traits.swap_remove(chance.below(traits.len()));
        let asked: Vec<&Find> = (0..ASKED)
            .filter_map(|_| chance.one(others).copied())
            .collect();
        let mut wrongs = asked.into_iter();
        let put = wrongs.any(|other| put(&mut wrong, which, other, catalogue, chance))
            || made_up(&mut wrong, which, catalogue, chance);
        count += usize::from(put);
    }
    (wrong, count)
}

fn traits(find: &Find) -> Vec<Trait> {
    let single = [
        (find.metal.is_some(), Trait::Metal),
        (find.weight.is_some(), Trait::Weight),
        (find.diameter.is_some(), Trait::Diameter),
        (find.thickness.is_some(), Trait::Thickness),
        (find.die_axis.is_some(), Trait::DieAxis),
        (find.making.is_some(), Trait::Making),
    ];
    let single = single.into_iter().filter(|(said, _)| *said);
    let read = (0..find.readings.len()).filter(|r| find.readings[*r].letters_seen() > 0);
    let seen = (0..find.sightings.len()).filter(|s| find.sightings[*s].present);
    let single = single.map(|(_, which)| which);
    single
        .chain(read.map(Trait::Reading))
        .chain(seen.map(Trait::Sighting))
        .collect()
}

/// Puts another find's trait in the place of one; false where it has none, or none that differs.
fn put(
    find: &mut Find,
    which: Trait,
    other: &Find,
    library: &Catalogue,
    chance: &mut Chance,
) -> bool {
    let apart = |a: f64, b: f64| (b / a - 1.0).abs() >= OFF;
    let sizes =
        |a: &Measured<Millimetres>, b: &Measured<Millimetres>| apart(a.value.get(), b.value.get());
    match which {
        Trait::Metal => over(&mut find.metal, other.metal, |a, b| a.0 != b.0),
        Trait::Weight => over(&mut find.weight, other.weight, |a, b| {
            apart(a.value.get(), b.value.get())
        }),
        Trait::Diameter => over(&mut find.diameter, other.diameter, sizes),
        Trait::Thickness => over(&mut find.thickness, other.thickness, sizes),
        Trait::DieAxis => over(&mut find.die_axis, other.die_axis, |a, b| a != b),
        Trait::Making => over(&mut find.making, other.making, |a, b| a != b),
        Trait::Reading(place) => {
            let own = &mut find.readings[place];
            let read = other.readings.iter();
            let read = read.filter(|r| r.letters_seen() > 0 && r.side == own.side);
            let read: Vec<&Reading> = read.filter(|r| r.marks != own.marks).collect();
            let theirs = chance.one(&read);
            theirs.map(|theirs| own.clone_from(theirs)).is_some()
        }
        Trait::Sighting(place) => {
            let own = &find.sightings[place];
            let seen = other.sightings.iter().filter(|s| s.present);
            let seen: Vec<&Sighting> = seen
                .filter(|s| unlike(&s.motif, &own.motif, library))
                .collect();
            let side = own.side;
            let theirs = chance.one(&seen);
            let theirs = theirs.map(|theirs| Sighting {
                side,
                ..(*theirs).clone()
            });
            theirs.map(|theirs| retell(find, place, theirs)).is_some()
        }
    }
}

/// Puts one thing over another of which it is said that they differ.
fn over<T: Copy>(own: &mut Option<T>, other: Option<T>, differ: impl Fn(&T, &T) -> bool) -> bool {
    let both = own.as_ref().zip(other.as_ref());
    let differs = both.is_some_and(|(a, b)| differ(a, b));
    if differs {
        *own = other;
    }
    differs
}

/// True when neither motif is a kind of the other.
fn unlike(a: &str, b: &str, library: &Catalogue) -> bool {
    let under = |a: &str, b: &str| {
        let (a, b) = (library.motif_by_id(a), library.motif_by_id(b));
        a.zip(b)
            .is_some_and(|(a, b)| library.motifs[a].ancestors.contains(&b))
    };
    a != b && !under(a, b) && !under(b, a)
}

/// Makes up a wrong trait in the place of one; false where none can be.
fn made_up(find: &mut Find, which: Trait, library: &Catalogue, chance: &mut Chance) -> bool {
    let by = if chance.falls(0.5) {
        chance.between(0.5, 0.75)
    } else {
        chance.between(1.25, 1.6)
    };
    let size = |own: &mut Option<Measured<Millimetres>>| {
        let wrong = own.and_then(|own| Millimetres::new(read_off(own.value.get() * by, 10.0)).ok());
        own.as_mut()
            .zip(wrong)
            .map(|(own, wrong)| own.value = wrong)
    };
    match which {
        Trait::Metal => {
            let seen = find.metal.map(|metal| metal.0);
            let others = MetalSeen::ALL.into_iter();
            let others: Vec<MetalSeen> = others.filter(|other| Some(*other) != seen).collect();
            find.metal = chance.one(&others).map(|other| (*other, true));
            true
        }
        Trait::Weight => {
            let own = find.weight.as_mut();
            let wrong = own.and_then(|own| {
                let wrong = Grams::new(read_off(own.value.get() * by, 100.0)).ok()?;
                own.value = wrong;
                Some(())
            });
            wrong.is_some()
        }
        Trait::Diameter => size(&mut find.diameter).is_some(),
        Trait::Thickness => size(&mut find.thickness).is_some(),
        // There are too few of these for one that nobody gave to be surely wrong.
        Trait::DieAxis | Trait::Making => false,
        Trait::Reading(place) => (0..ASKED).any(|_| {
            let other = chance.below(library.listed().len());
            let side = find.readings[place].side;
            let mut loss = Loss::of(other, library, chance);
            let wrong = loss.reading(&library.types[other].obverse, side);
            let wrong = wrong.filter(|wrong| wrong.marks != find.readings[place].marks);
            wrong.map(|wrong| find.readings[place] = wrong).is_some()
        }),
        Trait::Sighting(place) => (0..ASKED).any(|_| {
            let motif = &library.motifs[chance.below(library.motifs.len())];
            let own = &find.sightings[place];
            let differs = unlike(&motif.id, &own.motif, library);
            if differs {
                let wrong = Sighting {
                    motif: motif.id.clone(),
                    said: motif.name.clone(),
                    ..own.clone()
                };
                retell(find, place, wrong);
            }
            differs
        }),
    }
}
