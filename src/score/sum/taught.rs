//! What the finder's own confirmed finds change in the judging of one find.
//!
//! Judges nothing by itself. Without what was learnt every term is as it is without this file.
//!
//! Invariant: what is put right of a find is held against the types and never shown as what was said.

use super::{Bench, Evidence, measure};

impl Bench<'_> {
    /// How the measures fit a type, worked out once a profile; and how many finds of the finder's own
    /// have a say in it.
    pub(super) fn fit(&self, position: usize) -> Option<(measure::Fit, u32)> {
        if self.find.weight.is_none() && self.find.diameter.is_none() {
            return None;
        }
        let find = self.right.as_ref().unwrap_or(self.find);
        if let Some((profile, own)) = self.learnt.and_then(|learnt| learnt.profile(position)) {
            return profile.fit(find).map(|fit| (fit, own));
        }
        let profile = self.groundwork.profile_of[position];
        let fit = || self.groundwork.profiles[profile].fit(find);
        let fit = self.fits.borrow_mut().of(profile, fit);
        fit.map(|fit| (fit, 0))
    }

    /// The term of what the field has given before: by the table that was named, or else by the
    /// finder's own finds.
    pub(super) fn of_field(&self, position: usize) -> Option<Evidence> {
        let coin = &self.catalogue.types[position];
        if let Some(field) = self.field {
            return field.evidence(coin, &self.groundwork.period_share);
        }
        self.learnt?.field.as_ref()?.evidence(position)
    }
}
