//! Softmax regression from words to classes that share labels: a class is as likely as the weights of
//! its labels add up to.
//!
//! Only a label in whose descriptions a word stands has a weight for it, and no weight is below nought,
//! which on pieces held back was much better than free weights. Some of the words are passed over at
//! each step, by lot (Srivastava and others 2014, *Journal of Machine Learning Research* 15), so that no
//! one word decides. Steps are those of AdaGrad (Duchi, Hazan and Singer 2011, in the same journal, 12).
//!
//! Invariant: the same descriptions in the same order give the same weights.

use std::collections::HashMap;

/// Length of the first steps.
const STEP: f32 = 0.1;

/// A weight, and the sum of its squared slopes.
#[derive(Clone, Copy, Default)]
struct Weight {
    label: u16,
    nats: f32,
    slopes: f32,
}

/// Draws by lot, the same every time (xorshift, Marsaglia 2003).
pub struct Lot(pub u64);

impl Lot {
    pub fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn share(&mut self) -> f32 {
        (self.next() >> 40) as f32 / (1_u64 << 24) as f32
    }

    fn shuffle(&mut self, order: &mut [usize]) {
        for at in (1..order.len()).rev() {
            order.swap(at, (self.next() % (at as u64 + 1)) as usize);
        }
    }
}

/// What is learnt.
pub struct Learner<L> {
    pub words: Vec<String>,
    rows: Vec<Vec<Weight>>,
    /// How many labels there are.
    labels: usize,
    /// The labels of each class.
    pub of_class: Vec<L>,
}

/// Words that stand in descriptions enough, in order.
pub fn words_of<'w>(
    all: impl Iterator<Item = &'w Vec<String>>,
    fewest: impl Fn(&str) -> u32,
) -> Vec<String> {
    let mut counts: HashMap<&String, u32> = HashMap::new();
    for word in all.flatten() {
        *counts.entry(word).or_default() += 1;
    }
    let kept = counts
        .into_iter()
        .filter(|(word, count)| *count >= fewest(word));
    let mut words: Vec<String> = kept.map(|(word, _)| word.clone()).collect();
    words.sort_unstable();
    words
}

impl<L: AsRef<[u16]>> Learner<L> {
    pub fn new(words: Vec<String>, labels: usize, of_class: Vec<L>) -> Learner<L> {
        Learner {
            rows: vec![Vec::new(); words.len()],
            words,
            labels,
            of_class,
        }
    }

    /// Places of the words that are learnt from.
    pub fn places(&self, words: &[String]) -> Vec<u32> {
        let places = words
            .iter()
            .filter_map(|word| self.words.binary_search(word).ok());
        places.map(|at| at as u32).collect()
    }

    /// Gives each of the words of a description a weight for each of its labels.
    pub fn bear(&mut self, features: &[u32], labels: &[u16]) {
        for feature in features {
            let weights = labels.iter().map(|label| Weight {
                label: *label,
                ..Weight::default()
            });
            self.rows[*feature as usize].extend(weights);
        }
    }

    /// The chance of each class by some words.
    fn chances_into(&self, features: &[u32], by_label: &mut [f32], chances: &mut [f32]) {
        by_label.fill(0.0);
        for weight in features.iter().flat_map(|at| &self.rows[*at as usize]) {
            by_label[weight.label as usize] += weight.nats;
        }
        for (chance, of) in chances.iter_mut().zip(&self.of_class) {
            let labels = of.as_ref().iter();
            *chance = labels.map(|label| by_label[*label as usize]).sum();
        }
        let top = chances.iter().copied().fold(f32::MIN, f32::max);
        chances.iter_mut().for_each(|one| *one = (*one - top).exp());
        let whole: f32 = chances.iter().sum();
        chances.iter_mut().for_each(|one| *one /= whole);
    }

    /// The chance of each class by some words.
    #[allow(dead_code, reason = "not every learner asks of single pieces")]
    pub fn chances(&self, features: &[u32]) -> Vec<f32> {
        let mut chances = vec![0.0; self.of_class.len()];
        self.chances_into(features, &mut vec![0.0; self.labels], &mut chances);
        chances
    }

    /// Learns from descriptions: `rounds` over all of them, each with its words and how much it counts;
    /// `passed_over` is the share of the words that are left out at each step, `slopes` gives the slope
    /// of the loss of a description along each label from the chances of the classes, and `shrinking`
    /// how fast the weights of a label shrink.
    pub fn learn<'d>(
        &mut self,
        (descriptions, rounds, passed_over): (usize, usize, f32),
        description: impl Fn(usize) -> (&'d [u32], f32),
        slopes_of: impl Fn(usize, &[L], &[f32], &mut [f32]),
        shrinking: impl Fn(u16) -> f32,
    ) {
        for row in &mut self.rows {
            row.sort_by_key(|one| one.label);
            row.dedup_by_key(|one| one.label);
        }
        let mut order: Vec<usize> = (0..descriptions).collect();
        let (mut by_label, mut slopes) = (vec![0.0; self.labels], vec![0.0; self.labels]);
        let mut chances = vec![0.0; self.of_class.len()];
        let mut lot = Lot(0x9e37_79b9_7f4a_7c15);
        for _ in 0..rounds {
            lot.shuffle(&mut order);
            for at in &order {
                let (features, weight) = description(*at);
                let kept = features.iter().copied();
                let kept: Vec<u32> = kept.filter(|_| lot.share() >= passed_over).collect();
                if kept.is_empty() {
                    continue;
                }
                self.chances_into(&kept, &mut by_label, &mut chances);
                slopes.fill(0.0);
                slopes_of(*at, &self.of_class, &chances, &mut slopes);
                self.step(&kept, weight, &slopes, &shrinking);
            }
        }
    }

    fn step(
        &mut self,
        features: &[u32],
        weight: f32,
        slopes: &[f32],
        shrinking: &impl Fn(u16) -> f32,
    ) {
        for at in features {
            for one in &mut self.rows[*at as usize] {
                let slope = weight * slopes[one.label as usize] + shrinking(one.label) * one.nats;
                one.slopes += slope * slope;
                let step = STEP * slope / (one.slopes.sqrt() + 1e-3);
                one.nats = (one.nats - step).max(0.0);
            }
        }
    }

    /// The weights of each word that are so great at least.
    pub fn weights(self, least: f64) -> Vec<(String, Vec<(u16, f64)>)> {
        let kept = |one: Weight| {
            let nats = f64::from(one.nats);
            (nats >= least).then_some((one.label, nats))
        };
        let rows = self.words.into_iter().zip(self.rows);
        rows.map(|(word, row)| (word, row.into_iter().filter_map(kept).collect()))
            .collect()
    }
}
