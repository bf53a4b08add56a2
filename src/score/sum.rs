//! The account: prior and terms summed, and turned into probabilities.
//!
//! Invariant: a judged type's total is its prior plus the nats of its terms, exactly
//! as shown; the total of "not in the library" is nought.

use std::cell::RefCell;

use super::constants::{HOPELESS, OVERLAP_SHARE, unlisted_prior};
use super::evidence::{Evidence, Witness};
use super::groundwork::Groundwork;
use super::legend::Aligned;
use super::motif::{self, Report};
use super::titles::Titles;
use super::{axis, making, measure, metal, opinion, thickness, treatment};
use crate::catalogue::Catalogue;
use crate::find::{Find, Span};

/// How to judge.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Options {
    /// Take every listed type as equally likely beforehand.
    pub flat_prior: bool,
    /// Weigh the legends of every candidate, even of those that no legend could lift.
    pub keep_all: bool,
}

/// One type judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// Position of the type.
    pub coin: usize,
    /// Nats the prior gives it, relative to "not in the library".
    pub prior: f64,
    /// Of these, what being in the library at all gives.
    against: f64,
    /// Terms, in the order of the witnesses.
    pub evidence: Vec<Evidence>,
    /// Prior plus terms.
    pub total: f64,
    /// What the titles read leave of the type's years.
    pub years: Option<Span>,
    /// Probability.
    pub probability: f64,
}

/// All candidates judged, the likeliest first.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranking {
    /// The candidates.
    pub judged: Vec<Judged>,
    /// Probability of "not in the library".
    pub unlisted: f64,
}

impl Ranking {
    /// The same totals with every type of the library equally likely beforehand; the terms are not repeated.
    pub fn with_flat_prior(&self, catalogue: &Catalogue) -> Ranking {
        let against = self.judged.first().map_or(0.0, |j| j.against);
        let even = against - (catalogue.types.len().max(1) as f64).ln();
        let without_terms = |one: &Judged| Judged {
            prior: even,
            total: one.total + even - one.prior,
            evidence: Vec::new(),
            ..*one
        };
        let mut judged: Vec<Judged> = self.judged.iter().map(without_terms).collect();
        let unlisted = share_out(&mut judged);
        in_order(&mut judged);
        Ranking { judged, unlisted }
    }
}

/// Judges a find against candidate types (positions in the library).
///
/// Candidates named twice count once; positions outside the library are passed over; a candidate
/// that no legend could make likelier than one in a million is left out.
pub fn judge(
    find: &Find,
    catalogue: &Catalogue,
    groundwork: &Groundwork,
    candidates: &[usize],
    options: Options,
) -> Ranking {
    Bench::new(find, catalogue, groundwork).judge(candidates, options)
}

fn rank(bench: &Bench<'_>, candidates: &[usize], options: Options) -> Ranking {
    let (find, catalogue, groundwork) = (bench.find, bench.catalogue, bench.groundwork);
    let mut chosen: Vec<usize> = candidates
        .iter()
        .copied()
        .filter(|c| *c < catalogue.types.len())
        .collect();
    chosen.sort_unstable();
    chosen.dedup();
    let unlisted = unlisted_prior(find.metal.map(|m| m.0));
    let against = ((1.0 - unlisted) / unlisted).ln();
    let even = -(catalogue.types.len().max(1) as f64).ln();
    let mut judged: Vec<Judged> = chosen
        .into_iter()
        .map(|coin| {
            let among = if options.flat_prior {
                even
            } else {
                groundwork.log_prior[coin]
            };
            let evidence = bench.but_legends(coin);
            let total = against + among + sum(&evidence);
            Judged {
                coin,
                prior: against + among,
                against,
                evidence,
                total,
                years: None,
                probability: 0.0,
            }
        })
        .collect();
    bench.read_legends(&mut judged, against + even, options.keep_all);
    let unlisted = share_out(&mut judged);
    in_order(&mut judged);
    Ranking { judged, unlisted }
}

fn in_order(judged: &mut [Judged]) {
    judged.sort_by(|a, b| b.total.total_cmp(&a.total).then(a.coin.cmp(&b.coin)));
}

/// Turns totals into probabilities; gives what is left to "not in the library".
fn share_out(judged: &mut [Judged]) -> f64 {
    let top = judged.iter().map(|j| j.total).fold(0.0, f64::max);
    let whole: f64 = (-top).exp() + judged.iter().map(|j| (j.total - top).exp()).sum::<f64>();
    for one in judged.iter_mut() {
        one.probability = (one.total - top).exp() / whole;
    }
    (-top).exp() / whole
}

/// What a find says, made ready once for all candidates, before they are known.
pub struct Bench<'a> {
    find: &'a Find,
    catalogue: &'a Catalogue,
    groundwork: &'a Groundwork,
    fits: RefCell<Vec<Option<Option<measure::Fit>>>>,
    aligned: Vec<Option<Aligned<'a>>>,
    reports: Vec<Report>,
    titles: Titles<'a>,
}

impl<'a> Bench<'a> {
    /// Makes a find ready: holds its readings and sightings against the whole library.
    pub fn new(find: &'a Find, catalogue: &'a Catalogue, groundwork: &'a Groundwork) -> Bench<'a> {
        Bench {
            find,
            catalogue,
            groundwork,
            fits: RefCell::new(vec![None; groundwork.profiles.len()]),
            aligned: find
                .readings
                .iter()
                .map(|r| Aligned::new(r, catalogue, groundwork))
                .collect(),
            reports: motif::reports(find, catalogue, groundwork),
            titles: Titles::new(find, catalogue),
        }
    }

    /// As [`judge`].
    pub fn judge(&self, candidates: &[usize], options: Options) -> Ranking {
        rank(self, candidates, options)
    }

    /// How the measures fit a type; worked out once a profile.
    fn fit(&self, position: usize) -> Option<measure::Fit> {
        if self.find.weight.is_none() && self.find.diameter.is_none() {
            return None;
        }
        let profile = self.groundwork.profile_of[position];
        let known = self.fits.borrow()[profile];
        known.unwrap_or_else(|| {
            let fit = self.groundwork.profiles[profile].fit(self.find);
            self.fits.borrow_mut()[profile] = Some(fit);
            fit
        })
    }

    /// The terms of one type but those of the legends, overlap counted off.
    fn but_legends(&self, position: usize) -> Vec<Evidence> {
        let find = self.find;
        let coin = &self.catalogue.types[position];
        let looks = self.catalogue.metals[coin.metal].looks;
        let mut terms = Vec::with_capacity(12);
        if let Some((seen, sure)) = find.metal {
            terms.push(metal::evidence(seen, sure, coin, looks));
        }
        terms.extend(
            self.fit(position)
                .map(|fit| measure::evidence(find, coin, fit)),
        );
        terms.extend(
            find.thickness
                .and_then(|t| thickness::evidence(t.value.get(), coin, looks)),
        );
        terms.extend(find.die_axis.and_then(|a| axis::evidence(a, coin.axis)));
        terms.extend(find.making.map(|m| making::evidence(m, coin.made)));
        terms.extend(treatment::evidence(find, coin));
        terms.extend(self.reports.iter().filter_map(|r| r.evidence(coin)));
        terms.extend(
            find.date_on_piece
                .map(|year| opinion::date_on_piece(year, coin)),
        );
        for (place, one) in find.opinions.iter().enumerate() {
            terms.extend(opinion::evidence(place, one, coin, self.catalogue));
        }
        for term in &mut terms {
            // A date figure and the finder's opinion overlap with nothing else.
            if !matches!(term.witness, Witness::DateOnPiece | Witness::Opinion) {
                term.nats *= OVERLAP_SHARE;
            }
        }
        terms
    }

    /// Adds the terms of the legends, the most likely types first, and leaves out the types that no
    /// legend could lift to where they would be seen, with the prior or with an even one.
    fn read_legends(&self, judged: &mut Vec<Judged>, even: f64, keep_all: bool) {
        let readings = self.aligned.iter().flatten();
        let most: f64 = readings.map(|a| OVERLAP_SHARE * a.ceiling()).sum();
        in_order(judged);
        // "Not in the library" stands at nought in both accounts.
        let (mut best, mut best_even) = (0f64, 0f64);
        judged.retain_mut(|one| {
            let with_even = one.total - one.prior + even;
            let hopeless = |total: f64, best: f64| total + most < best - HOPELESS;
            if !keep_all && hopeless(one.total, best) && hopeless(with_even, best_even) {
                return false;
            }
            let told = self.titles.tell(&self.catalogue.types[one.coin]);
            one.years = told.years;
            let mut terms = self.legends(one.coin);
            terms.extend(told.against);
            let nats = sum(&terms);
            one.total += nats;
            best = best.max(one.total);
            best_even = best_even.max(with_even + nats);
            let after = |term: &Evidence| {
                matches!(
                    term.witness,
                    Witness::Motif | Witness::DateOnPiece | Witness::Opinion
                )
            };
            let before = one.evidence.iter().take_while(|term| !after(term)).count();
            one.evidence.splice(before..before, terms);
            true
        });
    }

    /// The terms of the legends of one type, overlap counted off.
    fn legends(&self, position: usize) -> Vec<Evidence> {
        let coin = &self.catalogue.types[position];
        let readings = self.aligned.iter().enumerate();
        let mut terms: Vec<Evidence> = readings
            .filter_map(|(reading, aligned)| {
                let side = self.find.readings[reading].side;
                aligned.as_ref()?.evidence(reading, side, coin)
            })
            .collect();
        terms.iter_mut().for_each(|term| term.nats *= OVERLAP_SHARE);
        terms
    }
}

fn sum(terms: &[Evidence]) -> f64 {
    terms.iter().map(|term| term.nats).sum()
}
