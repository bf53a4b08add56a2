//! The account: prior and terms summed, and turned into probabilities.
//!
//! Two passes over the same terms: one sums them for every candidate, the other writes down those
//! of the types that are shown. Invariant: a judged type's total is its prior plus the nats of its
//! terms, exactly as shown; the total of "not in the library" is nought.

mod taught;

use std::cell::RefCell;
use std::cmp::Ordering;

use super::answer::{Level, TRIED};
use super::backs::Backs;
use super::company::{Company, FieldProfile};
use super::constants::{BACK_BOUND, HOPELESS, unlisted_prior};
use super::evidence::Evidence;
use super::groundwork::Groundwork;
use super::known::{Known, Terms};
use super::learnt::Learnt;
use super::legend::Aligned;
use super::motif::{self, Report};
use super::temper::{self, Sharpness};
use super::titles::Titles;
use super::value::Worth;
use super::words::SeenWords;
use super::{axis, making, measure, metal, opinion, region, thickness, treatment};
use crate::catalogue::{Catalogue, CoinType};
use crate::find::{Find, Side, Span};

/// How many of the likeliest carry their terms; any of those that an answer may rest on does.
const TOLD: usize = TRIED;
/// Types whose legends are read first, so that what is left out is left out early.
const FIRST_READ: usize = 32;

/// How to judge.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Options {
    /// Take every listed type as equally likely beforehand.
    pub flat_prior: bool,
    /// Keep every candidate with its terms, even those that no legend could lift.
    pub keep_all: bool,
}

/// One type judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// Position of the type.
    pub coin: usize,
    /// Nats the prior gives it, relative to "not in the library".
    pub prior: f64,
    /// Nats the prior gives it when all listed types are alike beforehand.
    even: f64,
    /// Terms, in the order of the witnesses; none for types far down that nobody asks of.
    pub evidence: Vec<Evidence>,
    /// Prior plus terms.
    pub total: f64,
    /// What the titles read leave of the type's years.
    pub years: Option<Span>,
    /// Probability as the totals alone would have it.
    pub(super) raw: f64,
    /// Probability, tempered as the level of types is.
    pub probability: f64,
}

/// All candidates judged, the likeliest first.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranking {
    /// The candidates.
    pub judged: Vec<Judged>,
    /// Probability of "not in the library".
    pub unlisted: f64,
    /// How far the shares of each level may be believed.
    pub(super) sharpness: Sharpness,
}

impl Ranking {
    /// The same totals with every type of the library equally likely beforehand; the terms are not repeated.
    pub fn with_flat_prior(&self, catalogue: &Catalogue) -> Ranking {
        let without_terms = |one: &Judged| Judged {
            prior: one.even,
            total: one.total + one.even - one.prior,
            evidence: Vec::new(),
            ..*one
        };
        let mut judged: Vec<Judged> = self.judged.iter().map(without_terms).collect();
        in_order(&mut judged);
        share_out(judged, catalogue)
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

/// One type being weighed.
struct Weighed {
    coin: usize,
    prior: f64,
    even: f64,
    total: f64,
    years: Option<Span>,
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
    let shift = temper::unlisted_shift(find.metal.map(|m| m.0));
    let against = ((1.0 - unlisted) / unlisted).ln() - shift;
    let weigh = |coin: usize| {
        let even = groundwork.log_even[coin];
        let among = match options.flat_prior {
            true => even,
            false => groundwork.log_prior[coin],
        };
        let mut terms = 0.0;
        bench.add_but_legends(coin, &mut terms);
        Weighed {
            coin,
            prior: against + among,
            even: against + even,
            total: against + among + terms,
            years: None,
        }
    };
    let mut weighed: Vec<Weighed> = chosen.into_iter().map(weigh).collect();
    bench.read_legends(&mut weighed, options.keep_all);
    weighed.sort_unstable_by(likelier);
    let told = if options.keep_all {
        weighed.len()
    } else {
        TOLD
    };
    let judged = weighed.into_iter().enumerate().map(|(rank, one)| Judged {
        coin: one.coin,
        prior: one.prior,
        even: one.even,
        evidence: match rank < told {
            true => bench.account(one.coin),
            false => Vec::new(),
        },
        total: one.total,
        years: one.years,
        raw: 0.0,
        probability: 0.0,
    });
    share_out(judged.collect(), catalogue)
}

/// The likelier first, and of two alike the one that stands first in the library.
fn likelier(a: &Weighed, b: &Weighed) -> Ordering {
    b.total.total_cmp(&a.total).then(a.coin.cmp(&b.coin))
}

fn in_order(judged: &mut [Judged]) {
    judged.sort_by(|a, b| b.total.total_cmp(&a.total).then(a.coin.cmp(&b.coin)));
}

/// Chances of types with these totals, if it is one of just these.
pub fn among(totals: &[f64]) -> Vec<f64> {
    let top = totals.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let whole: f64 = totals.iter().map(|total| (total - top).exp()).sum();
    let share = |total: &f64| (total - top).exp() / whole;
    totals.iter().map(share).collect()
}

/// Turns totals into probabilities; gives what is left to "not in the library".
fn share_out(mut judged: Vec<Judged>, catalogue: &Catalogue) -> Ranking {
    let top = judged.iter().map(|j| j.total).fold(0.0, f64::max);
    judged
        .iter_mut()
        .for_each(|j| j.raw = (j.total - top).exp());
    let whole: f64 = (-top).exp() + judged.iter().map(|j| j.raw).sum::<f64>();
    let mut periods = vec![0.0; catalogue.periods.len()];
    for one in &mut judged {
        one.raw /= whole;
        periods[catalogue.types[one.coin].period] += one.raw;
    }
    let likeliest = (0..periods.len()).max_by(|a, b| periods[*a].total_cmp(&periods[*b]));
    let sharpness = temper::sharpness(likeliest.map(|p| catalogue.periods[p].id.as_str()));
    let power = temper::of(&sharpness, Level::Type);
    let mut shares: Vec<f64> = judged.iter().map(|j| j.raw).collect();
    let lapse = temper::lapse(Level::Type);
    let unlisted = temper::beside_unlisted(&mut shares, (-top).exp() / whole, power, lapse);
    for (one, share) in judged.iter_mut().zip(shares) {
        one.probability = share;
    }
    Ranking {
        judged,
        unlisted,
        sharpness,
    }
}

/// What a find says, made ready once for all candidates, before they are known.
pub struct Bench<'a> {
    find: &'a Find,
    catalogue: &'a Catalogue,
    groundwork: &'a Groundwork,
    fits: RefCell<Known<Option<measure::Fit>>>,
    /// Terms of what is judged alike for many types, by the groundwork's numbers.
    metals: Terms,
    makes: Terms,
    pictures: Terms,
    borne: Terms,
    aligned: Vec<Option<Aligned<'a>>>,
    reports: Vec<Report>,
    words: SeenWords<'a>,
    /// None when nothing was said to be on the reverse.
    backs: Option<Backs<'a>>,
    titles: Titles<'a>,
    /// None when no value was read.
    worth: Option<Worth<'a>>,
    company: Option<Company>,
    field: Option<&'a FieldProfile>,
    learnt: Option<&'a Learnt>,
    /// The find with its measures put right, where the finder's instruments are known to read wrong.
    right: Option<Find>,
}

impl<'a> Bench<'a> {
    /// Makes a find ready: holds its readings and sightings against the whole library.
    pub fn new(find: &'a Find, catalogue: &'a Catalogue, groundwork: &'a Groundwork) -> Bench<'a> {
        Bench::taught(find, catalogue, groundwork, None)
    }

    /// As [`Bench::new`], with what the finder's own confirmed finds teach.
    pub fn taught(
        find: &'a Find,
        catalogue: &'a Catalogue,
        groundwork: &'a Groundwork,
        learnt: Option<&'a Learnt>,
    ) -> Bench<'a> {
        let habits = learnt.and_then(|learnt| learnt.letters.as_ref());
        // No number is higher than there are types.
        let types = catalogue.types.len();
        let mut bench = Bench {
            find,
            catalogue,
            groundwork,
            fits: RefCell::new(Known::new(groundwork.profiles.len())),
            metals: Terms::new(types),
            makes: Terms::new(types),
            pictures: Terms::new(types),
            borne: Terms::new(types),
            aligned: find
                .readings
                .iter()
                .map(|r| Aligned::new(r, catalogue, groundwork, habits))
                .collect(),
            reports: motif::reports(find, catalogue, groundwork),
            words: SeenWords::new(find, catalogue, groundwork),
            backs: None,
            titles: Titles::new(find, catalogue),
            worth: Worth::new(find, &groundwork.values),
            company: Company::new(find, catalogue, &groundwork.log_prior),
            field: None,
            learnt,
            right: learnt.and_then(|learnt| learnt.put_right(find)),
        };
        bench.backs = bench
            .says_back()
            .then(|| Backs::new(catalogue, &groundwork.times));
        bench
    }

    /// True when letters that can be weighed or a figure of the library were said to be on the reverse.
    fn says_back(&self) -> bool {
        let mut readings = self.find.readings.iter().zip(&self.aligned);
        let read = readings.any(|(reading, aligned)| {
            let weighed = aligned.as_ref().is_some_and(|one| !one.is_faint());
            reading.side == Side::Reverse && weighed
        });
        read || self.reports.iter().any(|one| one.is_of(Side::Reverse))
    }

    /// Lets what the field has given before speak too.
    pub fn on_field(mut self, field: Option<&'a FieldProfile>) -> Bench<'a> {
        self.field = field;
        self
    }

    /// As [`judge`].
    pub fn judge(&self, candidates: &[usize], options: Options) -> Ranking {
        rank(self, candidates, options)
    }

    /// Hands over the terms that stand before the legends in the account.
    fn before_legends(&self, position: usize, mut take: impl FnMut(Evidence)) {
        let coin = &self.catalogue.types[position];
        self.metal(coin).into_iter().for_each(&mut take);
        self.size(position, &mut take);
        self.make(coin, take);
    }

    fn metal(&self, coin: &CoinType) -> Option<Evidence> {
        let looks = self.catalogue.metals[coin.metal].looks;
        let named = self.find.metal;
        named.map(|(seen, sure)| metal::evidence(seen, sure, coin, looks))
    }

    /// Hands over the terms of what was measured.
    fn size(&self, position: usize, take: &mut impl FnMut(Evidence)) {
        let coin = &self.catalogue.types[position];
        if let Some((fit, own)) = self.fit(position) {
            take(measure::evidence(self.find, coin, fit, own));
        }
        let looks = self.catalogue.metals[coin.metal].looks;
        let thickness = self.find.thickness.map(|t| t.value.get());
        if let Some(term) = thickness.and_then(|t| thickness::evidence(t, coin, looks)) {
            take(term);
        }
    }

    /// Hands over the terms of how the piece was made and what was done to it.
    fn make(&self, coin: &CoinType, mut take: impl FnMut(Evidence)) {
        let find = self.find;
        if let Some(term) = find.die_axis.and_then(|a| axis::evidence(a, coin.axis)) {
            take(term);
        }
        if let Some(making) = find.making {
            take(making::evidence(making, coin.made));
        }
        treatment::evidence(find, coin, take);
    }

    /// Hands over the terms that stand after the legends.
    fn after_legends(&self, position: usize, mut take: impl FnMut(Evidence)) {
        let coin = &self.catalogue.types[position];
        self.value(coin).into_iter().for_each(&mut take);
        self.figures(coin, &mut take);
        self.words.evidence(position).for_each(&mut take);
        self.told(position, take);
    }

    fn value(&self, coin: &CoinType) -> Option<Evidence> {
        Some(self.worth.as_ref()?.evidence(coin))
    }

    fn figures(&self, coin: &CoinType, take: impl FnMut(Evidence)) {
        motif::figures(self.reports.iter(), coin, take);
    }

    /// Hands over the terms of what was said beside the piece itself.
    fn told(&self, position: usize, mut take: impl FnMut(Evidence)) {
        let coin = &self.catalogue.types[position];
        if let Some(year) = self.find.date_on_piece {
            take(opinion::date_on_piece(year, coin));
        }
        for (place, one) in self.find.opinions.iter().enumerate() {
            if let Some(term) = opinion::evidence(place, one, coin, self.catalogue) {
                take(term);
            }
        }
        if let Some(term) = self.find.region.and_then(|r| region::evidence(r, coin)) {
            take(term);
        }
        if let Some(company) = &self.company {
            take(company.evidence(coin));
        }
        self.of_field(position).into_iter().for_each(take);
    }

    /// Adds the terms of one type but for its legends, in the order of the account.
    fn add_but_legends(&self, position: usize, sum: &mut f64) {
        let coin = &self.catalogue.types[position];
        let look = self.groundwork.look_of[position];
        self.metals.add(look, sum, |take| {
            self.metal(coin).into_iter().for_each(take);
        });
        self.size(position, &mut |term: Evidence| *sum += term.nats);
        self.makes.add(look, sum, |take| self.make(coin, take));
        *sum += self.value(coin).map_or(0.0, |term| term.nats);
        let picture = self.groundwork.picture_of[position];
        self.pictures
            .add(picture, sum, |take| self.figures(coin, take));
        self.words.nats(position).for_each(|nats| *sum += nats);
        self.told(position, |term| *sum += term.nats);
    }

    /// Adds the terms of the legends of one type, and of the back of a row of the rest.
    fn add_legends(&self, position: usize, sum: &mut f64) {
        let borne = self.groundwork.borne_of[position];
        self.borne
            .add(borne, sum, |take| self.legends(position, take));
        *sum += self.back(position).map_or(0.0, |term| term.nats);
    }

    /// All terms of one type, in the order of the witnesses.
    fn account(&self, position: usize) -> Vec<Evidence> {
        let mut terms = Vec::new();
        self.before_legends(position, |term| terms.push(term));
        self.legends(position, |term| terms.push(term));
        terms.extend(self.back(position));
        let told = self.titles.tell(&self.catalogue.types[position]);
        terms.extend(told.against);
        self.after_legends(position, |term| terms.push(term));
        terms
    }

    /// Adds the legends, to the likeliest types first, and leaves out the types that no legend could
    /// lift to where they would be seen, with the prior or with an even one.
    fn read_legends(&self, weighed: &mut Vec<Weighed>, keep_all: bool) {
        let readings = self.aligned.iter().flatten();
        let read: f64 = readings.map(Aligned::ceiling).sum();
        let most = |one: &Weighed| {
            let rest = self.backs.is_some() && self.catalogue.types[one.coin].rest;
            read + if rest { BACK_BOUND } else { 0.0 }
        };
        if weighed.len() > FIRST_READ {
            weighed.select_nth_unstable_by(FIRST_READ, likelier);
        }
        // "Not in the library" stands at nought in both accounts.
        let (mut best, mut best_even) = (0f64, 0f64);
        let with_even = |one: &Weighed| one.total - one.prior + one.even;
        let hopeless = |one: &Weighed, most: f64, best: f64, best_even: f64| {
            !keep_all
                && one.total + most < best - HOPELESS
                && with_even(one) + most < best_even - HOPELESS
        };
        let mut others = weighed.split_off(FIRST_READ.min(weighed.len()));
        for some in [&mut *weighed, &mut others] {
            some.retain(|one| !hopeless(one, most(one), best, best_even));
            for aligned in self.aligned.iter().flatten() {
                aligned.ask(some.iter().map(|one| &self.catalogue.types[one.coin]));
            }
            for one in some {
                let told = self.titles.tell(&self.catalogue.types[one.coin]);
                one.years = told.years;
                one.total += told.against.map_or(0.0, |term| term.nats);
                self.add_legends(one.coin, &mut one.total);
                best = best.max(one.total);
                best_even = best_even.max(with_even(one));
            }
        }
        weighed.append(&mut others);
        weighed.retain(|one| !hopeless(one, 0.0, best, best_even));
    }

    /// Hands over the terms of the legends of one type.
    fn legends(&self, position: usize, mut take: impl FnMut(Evidence)) {
        let coin = &self.catalogue.types[position];
        for (reading, aligned) in self.aligned.iter().enumerate() {
            let side = self.find.readings[reading].side;
            let term = aligned
                .as_ref()
                .and_then(|a| a.evidence(reading, side, coin));
            if let Some(term) = term {
                take(term);
            }
        }
    }

    /// What the back says for the rest of a coinage.
    fn back(&self, position: usize) -> Option<Evidence> {
        let coin = &self.catalogue.types[position];
        let backs = self.backs.as_ref().filter(|_| coin.rest)?;
        backs.evidence(coin, |position| self.on_back(position))
    }

    /// Nats of all that was said to be on the reverse, for a listed type; none where the library
    /// does not say what it bears there.
    fn on_back(&self, position: usize) -> Option<f64> {
        let coin = &self.catalogue.types[position];
        let readings = self.find.readings.iter().zip(&self.aligned).enumerate();
        let read = readings.filter(|(_, (reading, _))| reading.side == Side::Reverse);
        // A few letters say little, and would have to be laid along every legend of the time.
        let read = read.filter_map(|(place, (_, aligned))| {
            let aligned = aligned.as_ref().filter(|one| !one.is_faint())?;
            aligned.evidence(place, Side::Reverse, coin)
        });
        let seen = self
            .reports
            .iter()
            .filter(|report| report.is_of(Side::Reverse));
        let said = coin.reverse.motifs.is_some() || coin.reverse.inscriptions.is_some();
        said.then(|| {
            let mut nats: f64 = read.map(|term| term.nats).sum();
            nats += self.words.on_back(position);
            motif::figures(seen, coin, |term| nats += term.nats);
            nats
        })
    }
}
