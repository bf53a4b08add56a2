//! The field's own profile: what its confirmed finds say of the next, shrunk level by level.
//!
//! Three levels: period, stretch of time within the period, coinage (ruler and denomination) within
//! the stretch. At each the counts follow a multinomial law whose shares are Dirichlet about the
//! national ones; how tightly, is weighed by how well it foretells the field's own counts, over a row
//! of concentrations that ends at "just the national shares". So an ordinary field stays ordinary.
//!
//! Invariant: without finds there is no profile; the shares of all types, with the profile laid on
//! the prior, still sum to one as far as no bound is met.

use std::collections::{BTreeMap, HashMap};

use crate::catalogue::{Catalogue, CoinType};
use crate::find::ordinal;
use crate::score::constants::{
    OWN_FIELD_BOUND, OWN_FIELD_CONCENTRATIONS, OWN_FIELD_CREDENCE, OWN_FIELD_SURE, SLICES,
};
use crate::score::evidence::{Detail, Evidence, Witness};
use crate::score::groundwork::Groundwork;

/// Levels, the widest first.
const LEVELS: usize = 3;

/// What a field's confirmed finds say of each type.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct OwnField {
    /// Confirmed finds counted, those of one group as one.
    pub finds: u32,
    /// Nats for each type, by position.
    nats: Vec<f64>,
    /// Finds of the type's period, stretch and coinage.
    counts: HashMap<Place, [f64; LEVELS]>,
    /// Where each type stands.
    place_of: Vec<Place>,
}

/// Where a type stands: period, stretch within it, coinage.
type Place = (usize, usize, (usize, usize));

/// One group that is split into further ones: its own prior, and of each child prior and finds.
#[derive(Default)]
struct Node {
    prior: f64,
    children: BTreeMap<Child, (f64, f64)>,
}

/// A child by its period, its stretch, or its coinage.
type Child = (usize, usize);

impl Node {
    fn finds(&self) -> f64 {
        self.children.values().map(|(_, finds)| finds).sum()
    }

    /// Log chance of the counts under a concentration; `None` stands for the national shares alone.
    fn foretold(&self, concentration: Option<f64>) -> f64 {
        let share = |prior: f64| prior / self.prior;
        let told = self.children.values().filter(|(_, finds)| *finds > 0.0);
        match concentration {
            None => told.map(|(prior, finds)| finds * share(*prior).ln()).sum(),
            Some(k) => {
                let gain = |(prior, finds): &(f64, f64)| rising(k * share(*prior), *finds);
                told.map(gain).sum::<f64>() - rising(k, self.finds())
            }
        }
    }

    /// Log of how much likelier a child is here than in all fields.
    fn nats(&self, child: Child, credence: &[f64]) -> f64 {
        let whole = self.finds();
        let Some((prior, finds)) = self.children.get(&child).filter(|_| whole > 0.0) else {
            return 0.0;
        };
        let usual = prior / self.prior;
        let ratio = |k: &Option<f64>| match k {
            None => 1.0,
            Some(k) => (finds + k * usual) / (whole + k) / usual,
        };
        let rows = OWN_FIELD_CONCENTRATIONS.iter().zip(credence);
        rows.map(|(k, credence)| credence * ratio(k))
            .sum::<f64>()
            .ln()
    }
}

impl OwnField {
    /// The profile that confirmed finds give: of each the types that it may be and how much it
    /// counts. None without finds.
    pub(super) fn of<'t>(
        confirmed: impl Iterator<Item = (&'t [usize], f64)>,
        catalogue: &Catalogue,
        groundwork: &Groundwork,
    ) -> Option<OwnField> {
        let priors: Vec<f64> = groundwork.log_prior.iter().map(|p| p.exp()).collect();
        let place_of = places(catalogue, groundwork);
        let mut nodes = nodes(&priors, &place_of);
        let mut whole = 0.0;
        for (types, weight) in confirmed {
            whole += count(types, weight, &priors, &place_of, &mut nodes);
        }
        if whole <= 0.0 {
            return None;
        }
        let credence: [Vec<f64>; LEVELS] = std::array::from_fn(|level| {
            credence(&OWN_FIELD_CREDENCE[level], nodes[level].values())
        });
        let mut known: HashMap<Place, f64> = HashMap::new();
        let mut counts = HashMap::new();
        let mut nats = Vec::with_capacity(place_of.len());
        for place in &place_of {
            let own = *known.entry(*place).or_insert_with(|| {
                let steps = steps(*place);
                let mut own = 0.0;
                let mut counted = [0.0; LEVELS];
                for (level, (node, child)) in steps.into_iter().enumerate() {
                    let Some(node) = nodes[level].get(&node) else {
                        continue;
                    };
                    own += node.nats(child, &credence[level]);
                    counted[level] = node.children.get(&child).map_or(0.0, |held| held.1);
                }
                counts.insert(*place, counted);
                own.clamp(-OWN_FIELD_BOUND, OWN_FIELD_BOUND)
            });
            nats.push(own);
        }
        Some(OwnField {
            finds: whole.round().max(1.0) as u32,
            nats,
            counts,
            place_of,
        })
    }

    /// The term for a type.
    pub(in crate::score) fn evidence(&self, position: usize) -> Option<Evidence> {
        let nats = *self.nats.get(position)?;
        let counts = self.counts.get(&self.place_of[position])?;
        let rounded = |level: usize| counts[level].round() as u32;
        Some(Evidence {
            witness: Witness::Field,
            nats,
            detail: Detail::OwnField {
                of: self.finds,
                period: rounded(0),
                stretch: rounded(1),
                coinage: rounded(2),
            },
        })
    }

    /// True where it is of a library of so many types.
    #[cfg(feature = "library")]
    pub(super) fn fits(&self, types: usize) -> bool {
        self.nats.len() == types && self.place_of.len() == types
    }

    /// Nats for a type.
    pub fn nats(&self, position: usize) -> f64 {
        self.nats.get(position).copied().unwrap_or(0.0)
    }
}

/// Where each type stands.
fn places(catalogue: &Catalogue, groundwork: &Groundwork) -> Vec<Place> {
    let types = catalogue.types.iter().zip(&groundwork.stretch_of);
    types
        .map(|(coin, stretch)| (coin.period, *stretch as usize, coinage(coin)))
        .collect()
}

/// The group of each level that a type stands in, and which of its children it is.
fn steps((period, stretch, coinage): Place) -> [(Child, Child); LEVELS] {
    [
        ((0, 0), (period, 0)),
        ((period, 0), (stretch, 0)),
        ((period, stretch), coinage),
    ]
}

/// Types struck by one ruler as one denomination; of no ruler, of one series.
fn coinage(coin: &CoinType) -> (usize, usize) {
    match coin.ruler {
        Some(ruler) => (2 * ruler, coin.denomination),
        None => (2 * coin.series + 1, coin.denomination),
    }
}

/// The stretch of the national profile that a type's middle year lies in, for each type.
pub(in crate::score) fn stretches(catalogue: &Catalogue) -> Vec<u32> {
    let stretch = |coin: &CoinType| {
        let period = &catalogue.periods[coin.period].id;
        let middle = (ordinal(coin.span.from) + ordinal(coin.span.to)) / 2;
        let of_period = SLICES.iter().enumerate();
        let of_period = of_period.filter(|(_, slice)| slice.period == period);
        let off = |from: i32, to: i32| {
            let (from, to) = (ordinal(from), ordinal(to));
            (from - middle).max(middle - to).max(0)
        };
        let nearest = of_period.min_by_key(|(_, slice)| off(slice.from, slice.to));
        nearest.map_or(SLICES.len() as u32, |(place, _)| place as u32)
    };
    catalogue.types.iter().map(stretch).collect()
}

fn nodes(priors: &[f64], place_of: &[Place]) -> [BTreeMap<Child, Node>; LEVELS] {
    let mut nodes: [BTreeMap<Child, Node>; LEVELS] = Default::default();
    for (prior, place) in priors.iter().zip(place_of) {
        for (level, (node, child)) in steps(*place).into_iter().enumerate() {
            let node = nodes[level].entry(node).or_default();
            node.prior += prior;
            node.children.entry(child).or_default().0 += prior;
        }
    }
    nodes
}

/// Counts a find at every level that it settles; gives what was counted at the widest.
fn count(
    types: &[usize],
    weight: f64,
    priors: &[f64],
    place_of: &[Place],
    nodes: &mut [BTreeMap<Child, Node>; LEVELS],
) -> f64 {
    let known = || types.iter().filter(|coin| **coin < priors.len());
    let whole: f64 = known().map(|coin| priors[*coin]).sum();
    for (level, nodes) in nodes.iter_mut().enumerate() {
        let mut shares: BTreeMap<(Child, Child), f64> = BTreeMap::new();
        for coin in known() {
            let step = steps(place_of[*coin])[level];
            *shares.entry(step).or_default() += priors[*coin] / whole;
        }
        let most = shares.into_iter().max_by(|a, b| a.1.total_cmp(&b.1));
        let settled = most.filter(|(_, share)| *share >= OWN_FIELD_SURE);
        let Some(((node, child), _)) = settled else {
            // What a wider level leaves open, no narrower one settles.
            return if level == 0 { 0.0 } else { weight };
        };
        let node = nodes.get_mut(&node);
        if let Some(held) = node.and_then(|node| node.children.get_mut(&child)) {
            held.1 += weight;
        }
    }
    weight
}

/// How far each concentration is believed at a level, its groups taken together.
fn credence<'n>(before: &[f64], nodes: impl Iterator<Item = &'n Node>) -> Vec<f64> {
    let told: Vec<&Node> = nodes.filter(|node| node.finds() > 0.0).collect();
    let rows = OWN_FIELD_CONCENTRATIONS.iter().zip(before);
    let logs: Vec<f64> = rows
        .map(|(k, before)| before.ln() + told.iter().map(|node| node.foretold(*k)).sum::<f64>())
        .collect();
    crate::score::sum::among(&logs)
}

/// Log of the rising factorial of `from` over `by` steps, which need not be whole: log of the gamma
/// function at `from + by` less that at `from`.
fn rising(from: f64, by: f64) -> f64 {
    ln_gamma(from + by) - ln_gamma(from)
}

/// Log of the gamma function, above nought: Stirling's series (Abramowitz and Stegun 1964, *Handbook
/// of Mathematical Functions*, formula 6.1.41) at ten or more, brought there by its recurrence (6.1.15).
fn ln_gamma(x: f64) -> f64 {
    let (mut x, mut below) = (x.max(f64::MIN_POSITIVE), 0.0);
    while x < 10.0 {
        below += x.ln();
        x += 1.0;
    }
    let inverse = 1.0 / (x * x);
    let series = 1.0 / 12.0 - inverse * (1.0 / 360.0 - inverse * (1.0 / 1260.0 - inverse / 1680.0));
    let half_log_two_pi = 0.918_938_533_204_672_7;
    (x - 0.5) * x.ln() - x + half_log_two_pi + series / x - below
}

/// How far each concentration is believed at each level.
pub type Credence = [[f64; OWN_FIELD_CONCENTRATIONS.len()]; LEVELS];

/// The credence after the counts of some fields, averaged over them: one step of the fitting by
/// which the credence of `constants` was got. A field is the types of its finds.
pub fn credence_after(
    fields: &[Vec<usize>],
    before: &Credence,
    catalogue: &Catalogue,
    groundwork: &Groundwork,
) -> Credence {
    let priors: Vec<f64> = groundwork.log_prior.iter().map(|p| p.exp()).collect();
    let place_of = places(catalogue, groundwork);
    let mut after = Credence::default();
    for field in fields {
        let mut nodes = nodes(&priors, &place_of);
        for coin in field {
            count(&[*coin], 1.0, &priors, &place_of, &mut nodes);
        }
        for (level, after) in after.iter_mut().enumerate() {
            let shares = credence(&before[level], nodes[level].values());
            for (after, share) in after.iter_mut().zip(shares) {
                *after += share / fields.len() as f64;
            }
        }
    }
    after
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values from the recurrence and the reflection at a half: the log of the square root of pi, of
    /// 3! and of 9!.
    #[test]
    fn the_gamma_function_is_the_tabled_one() {
        for (x, log) in [
            (0.5, 0.572_364_942_924_700_1),
            (1.0, 0.0),
            (4.0, 6f64.ln()),
            (10.0, 362_880f64.ln()),
        ] {
            assert!((ln_gamma(x) - log).abs() < 1e-10, "{x}: {}", ln_gamma(x));
        }
    }

    /// The chance of counts under a Dirichlet-multinomial law, by hand: an urn with one ball of each
    /// of two colours (Polya's urn; Johnson and Kotz 1977, *Urn Models*, from memory) gives any
    /// row of three draws with two of the first colour with chance 1/2 * 2/3 * 1/4.
    #[test]
    fn counts_are_foretold_as_by_an_urn() {
        let node = Node {
            prior: 1.0,
            children: BTreeMap::from([((0, 0), (0.5, 2.0)), ((1, 0), (0.5, 1.0))]),
        };
        let by_hand: f64 = 1.0 / 2.0 * (2.0 / 3.0) * (1.0 / 4.0);
        assert!((node.foretold(Some(2.0)) - by_hand.ln()).abs() < 1e-10);
        assert!((node.foretold(None) - (0.125f64).ln()).abs() < 1e-12);
    }

    #[test]
    fn very_many_finds_are_the_field_and_none_are_the_nation() {
        let node = |finds: f64| Node {
            prior: 1.0,
            children: BTreeMap::from([((0, 0), (0.9, 0.1 * finds)), ((1, 0), (0.1, 0.9 * finds))]),
        };
        let even: Vec<f64> = OWN_FIELD_CREDENCE[0].to_vec();
        assert_eq!(node(0.0).nats((0, 0), &even), 0.0);
        let many = node(1e7);
        let sure = credence(&even, [&many].into_iter());
        for (child, here, usual) in [((0, 0), 0.1f64, 0.9f64), ((1, 0), 0.9, 0.1)] {
            let nats = many.nats(child, &sure);
            assert!((nats - (here / usual).ln()).abs() < 1e-4, "{nats}");
        }
    }
}
