//! What words tell of a thing: weights of words, and of two words side by side, for classes, groups,
//! periods and types.
//!
//! The weights are learnt from what finders might say (`said/`, `told/`) by a command of the project
//! and stand in the library as `wording.txt`. Reads, writes and looks them up; learns nothing and
//! knows no find.
//!
//! Invariant: no weight is below nought, and what a type gains by a word is the sum of the weights
//! that the word has for its class, its group, its period, its class in its period, and itself; a type
//! that the weights do not know gains what the others of its class gain in the mean.

use std::fmt::Write;

use super::artefacts::{ArtefactType, Artefacts};

/// What a type is known by: its class, its group, its period, its class in its period, and itself.
pub const LABELS: usize = 5;

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

/// Weights of words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Wording {
    /// Words and pairs of words, in order, one after the other.
    spelled: String,
    /// Where each ends in what is spelled.
    ends: Vec<u32>,
    /// Where the weights of each end.
    until: Vec<u32>,
    /// Labels that a word speaks for.
    labels: Vec<u16>,
    /// How much, in steps.
    steps: Vec<u8>,
    /// The labels of each type.
    of_type: Vec<[u16; LABELS]>,
    /// Types that the weights do not know: a person's own, or newer than the weights.
    unknown: Vec<u16>,
}

/// The labels of a type, as they are named.
fn names_of(one: &ArtefactType, artefacts: &Artefacts) -> [String; LABELS] {
    let class = &artefacts.classes[one.class].id;
    [
        format!("class {class}"),
        format!("group {class}/{}", one.group),
        format!("period {}", artefacts.periods[one.period].id),
        format!("kind {class}/{}", artefacts.periods[one.period].id),
        format!("type {}", one.id),
    ]
}

/// The labels of a library in order, each once, and the places of those of each type.
pub fn wording_labels(artefacts: &Artefacts) -> (Vec<String>, Vec<[u16; LABELS]>) {
    let types = artefacts.types.iter();
    let names: Vec<[String; LABELS]> = types.map(|one| names_of(one, artefacts)).collect();
    let mut all: Vec<String> = names.iter().flatten().cloned().collect();
    all.sort_unstable();
    all.dedup();
    let place = |name: &String| all.binary_search(name).unwrap_or_default() as u16;
    let of_type = names.iter().map(|of| of.each_ref().map(place)).collect();
    (all, of_type)
}

/// The text of weights: the digest of what they were learnt from, the labels, then of every word, in
/// order, the labels that it speaks for (each as its distance from the one before) and how much.
pub fn wording_text(
    learnt_from: &str,
    labels: &[String],
    rows: &[(String, Vec<(u16, f64)>)],
) -> String {
    let mut text = format!(
        "# What words tell of things. Written by a command, not by hand:\n\
         # `cargo run --release --example things -- --wording`.\n{LEARNT_FROM}{learnt_from}\n"
    );
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
pub fn wording_source(text: &str) -> Option<&str> {
    let mut lines = text.lines().take_while(|line| line.starts_with('#'));
    lines.find_map(|line| line.strip_prefix(LEARNT_FROM))
}

impl Wording {
    /// Reads weights. Labels that the library lacks are passed over; lines that are none of weights
    /// are given back by their numbers.
    pub fn read(text: &str, artefacts: &Artefacts) -> (Wording, Vec<usize>) {
        let (all, of_type) = wording_labels(artefacts);
        let mut wording = Wording {
            of_type,
            ..Wording::default()
        };
        let mut places: Vec<Option<u16>> = Vec::new();
        let mut strange = Vec::new();
        let mut known = vec![false; all.len()];
        let lines = text.lines().enumerate();
        for (at, line) in lines.filter(|(_, line)| !line.is_empty() && !line.starts_with('#')) {
            if let Some(name) = line.strip_prefix(LABEL) {
                let place = all.binary_search_by(|one| one.as_str().cmp(name));
                place.iter().for_each(|place| known[*place] = true);
                places.push(place.ok().map(|place| place as u16));
            } else if wording.row(line, &places).is_none() {
                strange.push(at + 1);
            }
        }
        let types = wording.of_type.iter().enumerate();
        let unknown = types.filter(|(_, of)| !known[usize::from(of[LABELS - 1])]);
        wording.unknown = unknown.map(|(at, _)| at as u16).collect();
        (wording, strange)
    }

    /// Enters one row; none when it is no row, or stands out of order.
    fn row(&mut self, line: &str, places: &[Option<u16>]) -> Option<()> {
        let (word, row) = line.split_once(BETWEEN)?;
        let last = self.ends.len().checked_sub(1);
        if last.is_some_and(|last| self.word(last) >= word) {
            return None;
        }
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
        self.spelled.push_str(word);
        self.ends.push(self.spelled.len() as u32);
        self.labels.extend(weights.iter().map(|one| one.0));
        self.steps.extend(weights.iter().map(|one| one.1));
        self.until.push(self.labels.len() as u32);
        Some(())
    }

    fn word(&self, at: usize) -> &str {
        let start = at.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.spelled[start as usize..self.ends[at] as usize]
    }

    /// The words and pairs of words that have weights.
    pub fn words(&self) -> impl Iterator<Item = &str> {
        (0..self.ends.len()).map(|at| self.word(at))
    }

    /// How much each type gains by a word or a pair of words, in nats; none where it has no weights.
    pub fn gains(&self, word: &str) -> Option<Vec<f64>> {
        let (mut low, mut high) = (0, self.ends.len());
        while low < high {
            let middle = low.midpoint(high);
            match self.word(middle).cmp(word) {
                std::cmp::Ordering::Less => low = middle + 1,
                std::cmp::Ordering::Equal => return Some(self.gains_of(middle)),
                std::cmp::Ordering::Greater => high = middle,
            }
        }
        None
    }

    fn gains_of(&self, row: usize) -> Vec<f64> {
        let from = row.checked_sub(1).map_or(0, |before| self.until[before]) as usize;
        let until = self.until[row] as usize;
        // The labels of a word stand in order.
        let (labels, steps) = (&self.labels[from..until], &self.steps[from..until]);
        let weight = |label: &u16| {
            let at = labels.binary_search(label).ok()?;
            Some(f64::from(steps[at]) * WEIGHT_STEP)
        };
        let gain = |of: &[u16; LABELS]| of.iter().filter_map(weight).sum();
        let mut gains: Vec<f64> = self.of_type.iter().map(gain).collect();
        for at in &self.unknown {
            let class = self.of_type[usize::from(*at)][0];
            let fellows = self.of_type.iter().enumerate().filter(|(other, of)| {
                of[0] == class && self.unknown.binary_search(&(*other as u16)).is_err()
            });
            let (sum, count) = fellows.fold((0.0, 0.0), |(sum, count), (other, _)| {
                (sum + gains[other], count + 1.0)
            });
            gains[usize::from(*at)] = sum / f64::max(count, 1.0);
        }
        gains
    }
}

#[cfg(all(test, feature = "library"))]
mod tests {
    use super::*;
    use crate::catalogue::{check, embedded};

    fn artefacts() -> Artefacts {
        check(&embedded()).artefacts
    }

    #[test]
    fn weights_are_read_as_they_were_written() {
        let artefacts = artefacts();
        let (labels, of_type) = wording_labels(&artefacts);
        let [class, group, period, kind, own] = of_type[7];
        let mut weights = vec![
            (class, 1.2),
            (group, 0.31),
            (period, 0.1),
            (kind, 0.2),
            (own, 9.9),
        ];
        weights.sort_by_key(|one| one.0);
        let rows = [
            ("arch".to_string(), weights),
            ("arch low".to_string(), vec![(class, 0.5)]),
            ("faint".to_string(), vec![(class, 0.04)]),
        ];
        let text = wording_text("abc", &labels, &rows);
        assert_eq!(wording_source(&text), Some("abc"));
        let (wording, strange) = Wording::read(&text, &artefacts);
        assert_eq!(strange, Vec::<usize>::new());
        assert_eq!(wording.words().collect::<Vec<_>>(), ["arch", "arch low"]);
        // Steps of a tenth, 5.2 at most.
        let gains = wording.gains("arch").expect("a row");
        assert!(
            (gains[7] - (1.2 + 0.3 + 0.1 + 0.2 + 5.2)).abs() < 1e-9,
            "{}",
            gains[7]
        );
        let gains = wording.gains("arch low").expect("a row");
        assert!(gains.iter().all(|gain| [0.0, 0.5].contains(gain)));
        assert_eq!(gains.iter().filter(|gain| **gain > 0.0).count(), {
            let same = artefacts.types.iter();
            same.filter(|one| one.class == artefacts.types[7].class)
                .count()
        });
        assert_eq!(wording.gains("faint"), None);
    }

    #[test]
    fn what_is_no_row_is_told_and_what_is_of_no_label_passed_over() {
        let artefacts = artefacts();
        let types = artefacts.types.iter();
        let labels = types.map(|one| format!("= type {}\n", one.id));
        let text = format!(
            "# head\n= class nowhere\n= class buckle\nb: 0a1c\na: 1a\nc: 99999a\nd: 1?\ne\n{}",
            labels.collect::<String>()
        );
        let (wording, strange) = Wording::read(&text, &artefacts);
        assert_eq!(strange, [5, 6, 7, 8]);
        let gains = wording.gains("b").expect("a row");
        let of = |class: &str| {
            let types = artefacts.types.iter();
            let at = types
                .zip(&gains)
                .find(|(one, _)| artefacts.classes[one.class].id == class);
            at.map(|(_, gain)| *gain)
        };
        assert_eq!(of("buckle"), Some(3.0 * WEIGHT_STEP));
        assert_eq!(of("brooch-bow"), Some(0.0));
    }

    #[test]
    fn a_type_that_the_weights_do_not_know_gains_what_its_class_does() {
        let artefacts = artefacts();
        let types = artefacts.types.iter().enumerate();
        let buckles = types.filter(|(_, one)| artefacts.classes[one.class].id == "buckle");
        let [own, first, second] = [0, 1, 2].map(|at| buckles.clone().nth(at).expect("a buckle"));
        let known = artefacts.types.iter().filter(|one| one.id != own.1.id);
        let labels = known.map(|one| format!("= type {}\n", one.id));
        let labels: String = labels.collect();
        let place = |id: &str| {
            labels
                .lines()
                .position(|line| line == format!("= type {id}"))
        };
        let places = [first, second].map(|(_, one)| place(&one.id).expect("a label"));
        let (least, most) = (places[0].min(places[1]), places[0].max(places[1]));
        let text = format!("{labels}heart: {least}j{}j\n", most - least);
        let (wording, strange) = Wording::read(&text, &artefacts);
        assert_eq!(strange, Vec::<usize>::new());
        let gains = wording.gains("heart").expect("a row");
        let others = buckles.clone().count() - 1;
        assert!((gains[first.0] - 1.0).abs() < 1e-9 && (gains[second.0] - 1.0).abs() < 1e-9);
        assert!(
            (gains[own.0] - 2.0 / others as f64).abs() < 1e-9,
            "{}",
            gains[own.0]
        );
    }
}
