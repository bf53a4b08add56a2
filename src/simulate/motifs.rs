//! Motifs: which of a face's a finder names, and what they are mistaken for.
//!
//! Four in five are named rightly, as published trials of lay observers found.
//! Invariant: what is said to be absent is not on the type.

use crate::catalogue::{Catalogue, Face};
use crate::find::{Side, Sighting};

use super::Loss;

impl Loss<'_> {
    /// None to three of a face's motifs, four in five named rightly.
    pub(super) fn sightings(&mut self, face: &Face, side: Side) -> Vec<Sighting> {
        let mut shown = face.motifs.clone().unwrap_or_default();
        let wanted = self.chance.weighted(&[0.3, 0.35, 0.22, 0.13]);
        let mut told = Vec::new();
        while told.len() < wanted && !shown.is_empty() {
            let motif = shown.swap_remove(self.chance.below(shown.len()));
            let motif = if self.chance.falls(0.79) {
                motif
            } else {
                self.mistaken(motif)
            };
            let sure = self.chance.falls(0.85);
            told.push(self.sighting(motif, side, true, sure));
        }
        told
    }

    /// What a motif is taken for: its kind, another of its kind, or anything.
    pub(super) fn mistaken(&mut self, motif: usize) -> usize {
        let motifs = &self.catalogue.motifs;
        let parent = self.chance.one(&motifs[motif].under).copied();
        let siblings: Vec<usize> = (0..motifs.len())
            .filter(|other| {
                *other != motif && parent.is_some_and(|p| motifs[*other].under.contains(&p))
            })
            .collect();
        let any = self.chance.below(motifs.len());
        match self.chance.weighted(&[0.4, 0.35, 0.25]) {
            0 => parent.unwrap_or(any),
            1 => self.chance.one(&siblings).copied().unwrap_or(any),
            _ => any,
        }
    }

    pub(super) fn sighting(&self, motif: usize, side: Side, present: bool, sure: bool) -> Sighting {
        let motif = &self.catalogue.motifs[motif];
        Sighting {
            motif: motif.id.clone(),
            said: motif.name.clone(),
            side,
            present,
            sure,
        }
    }

    /// The one mark of several that this piece bears, now and then.
    pub(super) fn mark(&mut self) -> Option<Sighting> {
        let mark = *self.chance.one(&self.coin.marks)?;
        let side = *self
            .chance
            .one(&[Side::Obverse, Side::Reverse, Side::Unknown])?;
        let seen = self.chance.falls(0.2);
        seen.then(|| self.sighting(mark, side, true, true))
    }

    /// Something looked for in vain that is truly not there.
    pub(super) fn absence(&mut self) -> Option<Sighting> {
        if !self.chance.falls(0.04) {
            return None;
        }
        let sought = self.chance.below(self.catalogue.motifs.len());
        let mut shown = Catalogue::faces(self.coin)
            .into_iter()
            .flat_map(|face| face.motifs.as_deref().unwrap_or(&[]));
        let there = shown.any(|motif| {
            *motif == sought || self.catalogue.motifs[*motif].ancestors.contains(&sought)
        });
        (!there).then(|| self.sighting(sought, Side::Unknown, false, true))
    }
}
