//! Weights of words: for each word the labels that it speaks for, and how much.
//!
//! Reads, writes and looks them up; learns nothing, and knows neither coin nor thing. What the labels
//! stand for is the matter of whoever reads them.
//!
//! Invariant: words stand in order, each once; the labels of a word stand in order; no weight is below
//! nought.

use std::cmp::Ordering;
use std::fmt::Write;

/// Nats in one step of a weight as it is written.
pub const WEIGHT_STEP: f64 = 0.1;

/// The letters that weights are written with, one step up to as many.
const STEPS: &[u8; 52] = b"abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";

/// What stands before the name of a label.
const LABEL: &str = "= ";
/// What stands between a word and its weights.
const BETWEEN: &str = ": ";
/// What stands before the digest of the descriptions.
const LEARNT_FROM: &str = "# learnt from ";

/// Words in order, one after the other in one string.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Spelled {
    text: String,
    /// Where each ends.
    ends: Vec<u32>,
}

impl Spelled {
    /// The word at a place.
    fn word(&self, at: usize) -> &str {
        let start = at.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.text[start as usize..self.ends[at] as usize]
    }

    /// Adds a word that stands behind all others in order; false when it does not.
    fn add(&mut self, word: &str) -> bool {
        let last = self.ends.len().checked_sub(1);
        if last.is_some_and(|last| self.word(last) >= word) {
            return false;
        }
        self.text.push_str(word);
        self.ends.push(self.text.len() as u32);
        true
    }

    /// True when there is none.
    pub fn is_empty(&self) -> bool {
        self.ends.is_empty()
    }

    /// The place of a word.
    pub fn find(&self, word: &str) -> Option<usize> {
        let (mut low, mut high) = (0, self.ends.len());
        while low < high {
            let middle = low.midpoint(high);
            match self.word(middle).cmp(word) {
                Ordering::Less => low = middle + 1,
                Ordering::Equal => return Some(middle),
                Ordering::Greater => high = middle,
            }
        }
        None
    }

    /// All words, in order.
    pub fn iter(&self) -> impl Iterator<Item = &str> {
        (0..self.ends.len()).map(|at| self.word(at))
    }
}

/// Weights of words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Weights {
    words: Spelled,
    /// Where the weights of each word end.
    until: Vec<u32>,
    /// Labels that a word speaks for.
    labels: Vec<u16>,
    /// How much, in steps.
    steps: Vec<u8>,
}

/// The labels that a word speaks for, in order, and how much.
#[derive(Clone, Copy, Debug)]
pub struct WeightRow<'w> {
    labels: &'w [u16],
    steps: &'w [u8],
}

impl<'w> WeightRow<'w> {
    /// How much the word speaks for a label, in nats.
    pub fn of(&self, label: u16) -> f64 {
        let at = self.labels.binary_search(&label);
        at.map_or(0.0, |at| f64::from(self.steps[at]) * WEIGHT_STEP)
    }

    /// Each label with how much the word speaks for it, in nats.
    pub fn iter(self) -> impl Iterator<Item = (u16, f64)> + use<'w> {
        let steps = self
            .steps
            .iter()
            .map(|steps| f64::from(*steps) * WEIGHT_STEP);
        self.labels.iter().copied().zip(steps)
    }
}

impl Weights {
    /// Reads a text of weights. Labels are put in the places that `place` gives; those that it gives
    /// none are passed over; lines that are none of weights are given back by their numbers.
    pub fn read(text: &str, mut place: impl FnMut(&str) -> Option<u16>) -> (Weights, Vec<usize>) {
        let mut weights = Weights::default();
        let mut places: Vec<Option<u16>> = Vec::new();
        let mut strange = Vec::new();
        let lines = text.lines().enumerate();
        for (at, line) in lines.filter(|(_, line)| !line.is_empty() && !line.starts_with('#')) {
            if let Some(name) = line.strip_prefix(LABEL) {
                places.push(place(name));
            } else if weights.row(line, &places).is_none() {
                strange.push(at + 1);
            }
        }
        (weights, strange)
    }

    /// Enters one row; none when it is no row, or stands out of order.
    fn row(&mut self, line: &str, places: &[Option<u16>]) -> Option<()> {
        let (word, row) = line.split_once(BETWEEN)?;
        let mut weights: Vec<(u16, u8)> = Vec::new();
        let (mut label, mut distance) = (0_usize, 0_usize);
        for byte in row.bytes() {
            if byte.is_ascii_digit() {
                distance = (distance * 10 + usize::from(byte - b'0')).min(places.len());
                continue;
            }
            let steps = STEPS.iter().position(|step| *step == byte)? + 1;
            label += std::mem::take(&mut distance);
            weights.extend(places.get(label)?.map(|place| (place, steps as u8)));
        }
        weights.sort_unstable();
        if !self.words.add(word) {
            return None;
        }
        self.labels.extend(weights.iter().map(|one| one.0));
        self.steps.extend(weights.iter().map(|one| one.1));
        self.until.push(self.labels.len() as u32);
        Some(())
    }

    /// The words that have weights.
    pub fn words(&self) -> &Spelled {
        &self.words
    }

    /// The weights of a word; none where it has none.
    pub fn of(&self, word: &str) -> Option<WeightRow<'_>> {
        let row = self.words.find(word)?;
        let from = row.checked_sub(1).map_or(0, |before| self.until[before]) as usize;
        let until = self.until[row] as usize;
        Some(WeightRow {
            labels: &self.labels[from..until],
            steps: &self.steps[from..until],
        })
    }
}

/// A text of weights: what they are and how they are learnt, the digest of what they were learnt from,
/// the labels, then of every word, in order, the labels that it speaks for (each as its distance from
/// the one before) and how much.
pub fn weights_text(
    head: &str,
    learnt_from: &str,
    labels: &[String],
    rows: &[(String, Vec<(u16, f64)>)],
) -> String {
    let mut text = format!("{head}{LEARNT_FROM}{learnt_from}\n");
    for label in labels {
        let _ = writeln!(text, "{LABEL}{label}");
    }
    for (word, weights) in rows {
        let mut line = String::new();
        let mut before = 0;
        for (label, weight) in weights {
            let steps = (weight / WEIGHT_STEP).round() as usize;
            if let Some(step) = steps.checked_sub(1) {
                let letter = char::from(STEPS[step.min(STEPS.len() - 1)]);
                let _ = write!(line, "{}{letter}", label - before);
                before = *label;
            }
        }
        if !line.is_empty() {
            let _ = writeln!(text, "{word}{BETWEEN}{line}");
        }
    }
    text
}

/// What the weights of a text were learnt from.
pub fn weights_source(text: &str) -> Option<&str> {
    let mut lines = text.lines().take_while(|line| line.starts_with('#'));
    lines.find_map(|line| line.strip_prefix(LEARNT_FROM))
}
