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

use super::artefacts::{ArtefactType, Artefacts};
use super::weights::{Spelled, Weights, weights_text};

/// What a type is known by: its class, its group, its period, its class in its period, and itself.
pub const LABELS: usize = 5;

/// What stands at the head of the text of weights.
const HEAD: &str = "# What words tell of things. Written by a command, not by hand:\n\
                    # `cargo run --release --example things -- --wording`.\n";

/// Weights of words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Wording {
    /// Of words and of pairs of words.
    weights: Weights,
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

/// The text of weights, by the digest of what they were learnt from.
pub fn wording_text(
    learnt_from: &str,
    labels: &[String],
    rows: &[(String, Vec<(u16, f64)>)],
) -> String {
    weights_text(HEAD, learnt_from, labels, rows)
}

impl Wording {
    /// Reads weights. Labels that the library lacks are passed over; lines that are none of weights
    /// are given back by their numbers.
    pub fn read(text: &str, artefacts: &Artefacts) -> (Wording, Vec<usize>) {
        let (all, of_type) = wording_labels(artefacts);
        let mut known = vec![false; all.len()];
        let (weights, strange) = Weights::read(text, |name| {
            let place = all.binary_search_by(|one| one.as_str().cmp(name)).ok()?;
            known[place] = true;
            Some(place as u16)
        });
        let types = of_type.iter().enumerate();
        let unknown = types.filter(|(_, of)| !known[usize::from(of[LABELS - 1])]);
        let wording = Wording {
            unknown: unknown.map(|(at, _)| at as u16).collect(),
            weights,
            of_type,
        };
        (wording, strange)
    }

    /// The words and pairs of words that have weights.
    pub fn words(&self) -> &Spelled {
        self.weights.words()
    }

    /// How much each type gains by a word or a pair of words, in nats; none where it has no weights.
    pub fn gains(&self, word: &str) -> Option<Vec<f64>> {
        let row = self.weights.of(word)?;
        let gain = |of: &[u16; LABELS]| of.iter().map(|label| row.of(*label)).sum();
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
        Some(gains)
    }
}

#[cfg(all(test, feature = "library"))]
mod tests {
    use super::super::weights::{WEIGHT_STEP, weights_source};
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
        assert_eq!(weights_source(&text), Some("abc"));
        let (wording, strange) = Wording::read(&text, &artefacts);
        assert_eq!(strange, Vec::<usize>::new());
        assert_eq!(
            wording.words().iter().collect::<Vec<_>>(),
            ["arch", "arch low"]
        );
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
