//! What a reply makes of a find.
//!
//! A reply is said as the finder would have said it unasked, so it is judged by the same
//! witnesses. Judges nothing itself.
//!
//! Invariant: "not sure" leaves the find as it was.

use super::{Asks, Band, Look, Seen};
use crate::catalogue::Catalogue;
use crate::find::{DieAxis, Find, Grams, Mark, Measured, Millimetres, Reading, Side, Sighting};

impl Look {
    /// The find with the reply of this place; `None` is "not sure".
    pub fn told(&self, find: &Find, reply: Option<usize>, catalogue: &Catalogue) -> Find {
        let mut find = find.clone();
        let Some(reply) = reply.and_then(|place| self.replies.get(place)) else {
            return find;
        };
        let side = self.side();
        match &reply.seen {
            Seen::There(motif) => see(&mut find, *motif, side, true, catalogue),
            Seen::Absent(motifs) => {
                for motif in motifs {
                    see(&mut find, *motif, side, false, catalogue);
                }
            }
            Seen::Letters(run) => find.readings.push(reading(run, side)),
            Seen::Diameter(band) => find.diameter = measured(*band, |mm| Millimetres::new(mm).ok()),
            Seen::Weight(band) => find.weight = measured(*band, |grams| Grams::new(grams).ok()),
            Seen::Metal(metal) => find.metal = Some((*metal, true)),
            Seen::Hour(hour) => find.die_axis = DieAxis::new(*hour).ok(),
            Seen::Made(making) => find.making = Some(*making),
        }
        find
    }

    fn side(&self) -> Side {
        match self.asks {
            Asks::Motif { side, .. } | Asks::Which { side, .. } | Asks::Letters { side, .. } => {
                side
            }
            _ => Side::Unknown,
        }
    }
}

/// Adds a sighting; what was said of the same motif and side before stands.
fn see(find: &mut Find, motif: usize, side: Side, present: bool, catalogue: &Catalogue) {
    let motif = &catalogue.motifs[motif];
    let said_before = |held: &Sighting| held.motif == motif.id && held.side == side;
    if !find.sightings.iter().any(said_before) {
        find.sightings.push(Sighting {
            motif: motif.id.clone(),
            said: motif.name.to_lowercase(),
            side,
            present,
            sure: true,
        });
    }
}

/// A run of letters somewhere round a legend.
fn reading(run: &str, side: Side) -> Reading {
    let letters = run
        .chars()
        .map(|letter| Mark::Letter { letter, sure: true });
    Reading {
        side,
        said: format!("[---]{run}[---]"),
        marks: std::iter::once(Mark::Gap)
            .chain(letters)
            .chain([Mark::Gap])
            .collect(),
        words: Vec::new(),
        retrograde: false,
        from_start: false,
        to_end: false,
    }
}

fn measured<U>(band: Band, unit: impl Fn(f64) -> Option<U>) -> Option<Measured<U>> {
    let (middle, error) = band.measured();
    unit(middle).map(|value| Measured { value, error })
}
