//! What the scorer works out once from a library, before any find.
//!
//! Priors, the distinct measure profiles of types, where each face's inscriptions
//! and motifs stand. Derived wholly from the library and the constants; holds no
//! fact of its own.
//!
//! Invariant: every list runs parallel to the library's types or inscriptions.

use std::collections::HashMap;
use std::hash::Hash;

use super::backs::Times;
use super::learnt;
use super::legend::Spellings;
use super::measure::Profile;
use super::motif::{self, Credits, Heard, Shown};
use super::prior;
use super::value::{self, Values};
use super::words::{self, DesignShares};
use crate::catalogue::{Catalogue, CoinType};

/// What is worked out once from a library.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Groundwork {
    /// Log prior of each type, by period and commonness; sums to one.
    pub(super) log_prior: Vec<f64>,
    /// The same when all listed types are alike beforehand.
    pub(super) log_even: Vec<f64>,
    /// Share of the listed types' prior that each period has.
    pub(super) period_share: Vec<f64>,
    /// Stretch of time of each type, by which a field's own finds are counted.
    pub(super) stretch_of: Vec<u32>,
    /// Distinct measure profiles.
    pub(super) profiles: Vec<Profile>,
    /// Profile of each type.
    pub(super) profile_of: Vec<usize>,
    /// What else the eye is held against of each type: types of one number are judged alike by their
    /// metal, die axis, making and treatment, ...
    pub(super) look_of: Vec<u32>,
    /// ... those of one number here by their figures, ...
    pub(super) picture_of: Vec<u32>,
    /// ... and those of one number here by their legends.
    pub(super) borne_of: Vec<u32>,
    /// Whose backs the rest of a coinage may bear.
    pub(super) times: Times,
    /// The values that the legends of each denomination name, by period.
    pub(super) values: Vec<Vec<Values>>,
    /// What a reading is first held against.
    pub(super) spellings: Spellings,
    /// Share of types (half by number, half by prior) that bear each inscription.
    pub(super) inscription_share: Vec<f64>,
    /// What showing each motif is worth when another is named.
    pub(super) credits: Credits,
    /// How much of the listed coinage answers to each motif, by side.
    pub(super) heard: Vec<[Heard; 3]>,
    /// How much of the listed coinage the library says the pictures of.
    pub(super) shown: Shown,
    /// How often each design of a face is borne.
    pub(super) design_shares: DesignShares,
}

impl Groundwork {
    /// The groundwork of a library.
    pub fn new(catalogue: &Catalogue) -> Groundwork {
        let log_prior = prior::log_priors(catalogue);
        let count = catalogue.listed().len().max(1) as f64;
        // The rest is made of what is listed, and is not counted again.
        let counted = catalogue.types.iter().zip(&log_prior);
        let background: Vec<f64> = counted
            .map(|(coin, p)| match coin.rest {
                true => 0.0,
                false => 0.5 / count + 0.5 * p.exp(),
            })
            .collect();
        let (profiles, profile_of) = profiles(catalogue);
        let credits = Credits::new(catalogue, &children(catalogue), &background);
        let mut period_share = vec![0.0; catalogue.periods.len()];
        for (coin, log_prior) in catalogue.types.iter().zip(&log_prior) {
            period_share[coin.period] += log_prior.exp();
        }
        Groundwork {
            period_share,
            stretch_of: learnt::stretches(catalogue),
            profiles,
            profile_of,
            look_of: numbered(catalogue, |coin| {
                let looks = catalogue.metals[coin.metal].looks;
                (looks, coin.copy, &coin.habits, coin.axis, coin.made)
            }),
            picture_of: numbered(catalogue, |coin| {
                (&coin.obverse.motifs, &coin.reverse.motifs, &coin.marks)
            }),
            borne_of: numbered(catalogue, |coin| {
                let (front, back) = (&coin.obverse.inscriptions, &coin.reverse.inscriptions);
                // A reading of a front is not excused by the back of a row of the rest.
                (front, back, coin.rest)
            }),
            times: Times::of(catalogue),
            values: value::borne(catalogue),
            spellings: Spellings::new(catalogue),
            inscription_share: inscription_share(catalogue, &background),
            heard: motif::heard(catalogue, &background, &credits),
            credits,
            shown: Shown::over(catalogue, &background),
            design_shares: words::shares(catalogue, &background),
            log_even: prior::log_even(catalogue),
            log_prior,
        }
    }

    /// Log prior of each type among the listed types.
    pub fn log_priors(&self) -> &[f64] {
        &self.log_prior
    }
}

/// A number for each type: the same for two just when they agree in what is asked of them.
fn numbered<'c, K: Eq + Hash>(
    catalogue: &'c Catalogue,
    of: impl Fn(&'c CoinType) -> K,
) -> Vec<u32> {
    let mut known: HashMap<K, u32> = HashMap::new();
    let number = |coin| {
        let next = known.len() as u32;
        *known.entry(of(coin)).or_insert(next)
    };
    catalogue.types.iter().map(number).collect()
}

fn profiles(catalogue: &Catalogue) -> (Vec<Profile>, Vec<usize>) {
    let mut known: HashMap<Vec<u64>, usize> = HashMap::new();
    let mut profiles = Vec::new();
    let mut profile_of = Vec::with_capacity(catalogue.types.len());
    for coin in &catalogue.types {
        let profile = Profile::of(coin, catalogue);
        let position = *known.entry(profile.key()).or_insert_with(|| {
            profiles.push(profile);
            profiles.len() - 1
        });
        profile_of.push(position);
    }
    (profiles, profile_of)
}

/// How much of the listed coinage bears each inscription, a type's share spread over its forms.
fn inscription_share(catalogue: &Catalogue, background: &[f64]) -> Vec<f64> {
    let mut share = vec![0.0; catalogue.inscriptions.len()];
    for (coin, weight) in catalogue.types.iter().zip(background) {
        for face in Catalogue::faces(coin) {
            let forms = face.inscriptions.as_deref().unwrap_or(&[]);
            for form in forms {
                share[*form] += weight / forms.len() as f64;
            }
        }
    }
    share
}

fn children(catalogue: &Catalogue) -> Vec<Vec<usize>> {
    let mut children = vec![Vec::new(); catalogue.motifs.len()];
    for (position, motif) in catalogue.motifs.iter().enumerate() {
        for parent in &motif.under {
            children[*parent].push(position);
        }
    }
    children
}
