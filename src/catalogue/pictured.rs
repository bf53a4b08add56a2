//! What words tell of what a coin shows: weights of words for the designs of either face.
//!
//! The weights are learnt from what might be said of every design (`pictured/`) by a command of the
//! project and stand in the library as `pictured.txt`. Reads and looks them up; learns nothing and
//! knows no find.
//!
//! Invariant: no weight is below nought, and what a design gains by a word is the sum of the weights
//! that the word has for its motifs, what these are kinds of, the periods and the series of the coins
//! that bear it, and itself. Types that show the same on a face gain the same by it.

use std::collections::{BTreeSet, HashMap};

use super::resolved::{Catalogue, CoinType};
use super::weights::{Spelled, Weights, weights_text};

/// What stands at the head of the text of weights.
const HEAD: &str = "# What words tell of what coins show. Written by a command, not by hand:\n\
                    # `cargo run --release --example pictured`.\n";
/// What stands before the loudness of the weights.
const LOUD: &str = "# loud ";
/// What stands before the share of the best gain that a coin outside the library gains too.
const OUTSIDE: &str = "# outside ";

/// The faces as the labels name them, and as the files of descriptions are named.
pub const FACES: [&str; 2] = ["obverse", "reverse"];

/// What a face of one or more listed types shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Design {
    /// Ids of its motifs, in order, with a space between two.
    pub shows: String,
    /// Places of its labels, in order.
    pub labels: Vec<u16>,
}

/// The designs of a library by face, and their labels.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Designs {
    /// The labels as they are named, in order, each once.
    pub names: Vec<String>,
    /// The designs of each face, in the order in which types first bear them.
    pub of_face: [Vec<Design>; 2],
    /// The design of each type; none where the library does not say what it shows.
    of_type: [Vec<Option<u32>>; 2],
}

impl Designs {
    /// The designs of a library.
    pub fn of(catalogue: &Catalogue) -> Designs {
        let mut designs = Designs::default();
        let mut named: [Vec<BTreeSet<String>>; 2] = Default::default();
        for (at, face) in FACES.iter().enumerate() {
            let mut places: HashMap<String, u32> = HashMap::new();
            for coin in &catalogue.types {
                let Some(shows) = shows(coin, at, catalogue) else {
                    designs.of_type[at].push(None);
                    continue;
                };
                let next = places.len() as u32;
                let place = *places.entry(shows.clone()).or_insert(next);
                designs.of_type[at].push(Some(place));
                if place == next {
                    named[at].push(of_motifs(coin, at, &shows, catalogue));
                    designs.of_face[at].push(Design {
                        shows,
                        labels: Vec::new(),
                    });
                }
                // What is not listed has the designs of its whole coinage.
                if coin.rest {
                    continue;
                }
                let (period, series) = (coin.period, coin.series);
                let labels = &mut named[at][place as usize];
                labels.insert(format!("{face} period {}", catalogue.periods[period].id));
                labels.insert(format!("{face} series {}", catalogue.series[series].id));
            }
        }
        let all: BTreeSet<&String> = named.iter().flatten().flatten().collect();
        designs.names = all.into_iter().cloned().collect();
        for (face, named) in designs.of_face.iter_mut().zip(&named) {
            for (design, named) in face.iter_mut().zip(named) {
                let place = |name: &String| designs.names.binary_search(name).unwrap_or_default();
                design.labels = named.iter().map(|name| place(name) as u16).collect();
            }
        }
        designs
    }
}

/// Ids of the motifs that a type shows on a face, in order; none where the library does not say.
fn shows(coin: &CoinType, face: usize, catalogue: &Catalogue) -> Option<String> {
    let motifs = Catalogue::faces(coin)[face].motifs.as_ref()?;
    let ids: BTreeSet<&str> = motifs
        .iter()
        .map(|at| catalogue.motifs[*at].id.as_str())
        .collect();
    Some(ids.into_iter().collect::<Vec<_>>().join(" "))
}

/// Labels of a design: its motifs and all that they are kinds of, and itself.
fn of_motifs(coin: &CoinType, at: usize, shows: &str, catalogue: &Catalogue) -> BTreeSet<String> {
    let face = FACES[at];
    let own = Catalogue::faces(coin)[at].motifs.iter().flatten();
    let wider = own.flat_map(|at| catalogue.motifs[*at].ancestors.iter().chain([at]));
    let motifs = wider.map(|at| format!("{face} motif {}", catalogue.motifs[*at].id));
    motifs.chain([format!("{face} design {shows}")]).collect()
}

/// The text of weights, by the digest of what they were learnt from, how loud they speak, and what of
/// the best gain a coin outside the library gains.
pub fn pictured_text(
    learnt_from: &str,
    [loud, outside]: [f64; 2],
    designs: &Designs,
    rows: &[(String, Vec<(u16, f64)>)],
) -> String {
    let head = format!("{HEAD}{LOUD}{loud}\n{OUTSIDE}{outside}\n");
    weights_text(&head, learnt_from, &designs.names, rows)
}

/// The text of weights with these figures at its head in place of its own.
pub fn with_figures(text: &str, [loud, outside]: [f64; 2]) -> String {
    let mut told = String::with_capacity(text.len());
    for line in text.lines() {
        let own = [(LOUD, loud), (OUTSIDE, outside)];
        match own.into_iter().find(|(name, _)| line.starts_with(name)) {
            Some((name, figure)) => told.push_str(&format!("{name}{figure}")),
            None => told.push_str(line),
        }
        told.push('\n');
    }
    told
}

/// Weights of words for what coins show.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Pictured {
    weights: Weights,
    /// Nats of a term to one nat of the weights: descriptions tell less of a find than of one another.
    pub loud: f64,
    /// What of the gain of the design that gains most a coin outside the library gains: its design is
    /// none of these, and yet like some.
    pub outside: f64,
    /// How many labels there are.
    labels: usize,
    /// The labels of each design, by face.
    designs: [Vec<Vec<u16>>; 2],
    /// The design of each type, by face.
    of_type: [Vec<Option<u32>>; 2],
}

impl Pictured {
    /// Reads weights. Labels that the library lacks are passed over; lines that are none of weights
    /// are given back by their numbers.
    pub fn read(text: &str, catalogue: &Catalogue) -> (Pictured, Vec<usize>) {
        let designs = Designs::of(catalogue);
        let (weights, strange) = Weights::read(text, |name| {
            let place = designs.names.binary_search_by(|one| one.as_str().cmp(name));
            Some(place.ok()? as u16)
        });
        let figure = |name: &str| {
            let mut head = text.lines().take_while(|line| line.starts_with('#'));
            let figure = head.find_map(|line| line.strip_prefix(name)?.parse().ok());
            figure.unwrap_or_default()
        };
        let labels = |face: Vec<Design>| face.into_iter().map(|design| design.labels).collect();
        let pictured = Pictured {
            weights,
            loud: figure(LOUD),
            outside: figure(OUTSIDE),
            labels: designs.names.len(),
            designs: designs.of_face.map(labels),
            of_type: designs.of_type,
        };
        (pictured, strange)
    }

    /// The words that have weights.
    pub fn words(&self) -> &Spelled {
        self.weights.words()
    }

    /// The design that a type has on a face (0 the obverse, 1 the reverse); none where the library does
    /// not say what it shows.
    pub fn design(&self, face: usize, coin: usize) -> Option<usize> {
        let design = *self.of_type[face].get(coin)?;
        design.map(|place| place as usize)
    }

    /// How many designs a face has.
    pub fn designs(&self, face: usize) -> usize {
        self.designs[face].len()
    }

    /// How much each label gains by words, in nats; none when none of them has weights.
    pub fn by_label<'w>(&self, words: impl Iterator<Item = &'w str>) -> Option<Vec<f64>> {
        let mut rows = words.filter_map(|word| self.weights.of(word)).peekable();
        rows.peek()?;
        let mut by_label = vec![0.0; self.labels];
        for (label, nats) in rows.flat_map(|row| row.iter()) {
            by_label[usize::from(label)] += self.loud * nats;
        }
        Some(by_label)
    }

    /// How much each design of a face gains, in nats, by what the labels do.
    pub fn gains(&self, face: usize, by_label: &[f64]) -> Vec<f64> {
        let gain = |labels: &Vec<u16>| labels.iter().map(|at| by_label[usize::from(*at)]).sum();
        self.designs[face].iter().map(gain).collect()
    }

    /// How much a design of a face gains by one word, in nats.
    pub fn gain(&self, face: usize, design: usize, word: &str) -> f64 {
        let Some(row) = self.weights.of(word) else {
            return 0.0;
        };
        let labels = self.designs[face][design].iter();
        self.loud * labels.map(|label| row.of(*label)).sum::<f64>()
    }
}

#[cfg(all(test, feature = "library"))]
mod tests {
    use super::*;
    use crate::catalogue::{check, embedded};

    fn library() -> Catalogue {
        check(&embedded()).catalogue
    }

    fn place(names: &[String], name: &str) -> u16 {
        let at = names.binary_search_by(|one| one.as_str().cmp(name));
        at.expect("a label") as u16
    }

    #[test]
    fn a_design_bears_its_motifs_what_they_are_kinds_of_and_whose_coins_bear_it() {
        let library = library();
        let designs = Designs::of(&library);
        let of = designs.of_face[1]
            .iter()
            .find(|design| design.shows == "wolf-twins");
        let labels = &of.expect("the wolf and twins").labels;
        let names = labels
            .iter()
            .map(|at| designs.names[usize::from(*at)].as_str());
        let names: Vec<&str> = names.collect();
        assert!(names.contains(&"reverse design wolf-twins"), "{names:?}");
        assert!(names.contains(&"reverse motif wolf-twins"));
        assert!(names.contains(&"reverse motif animal"), "{names:?}");
        assert!(names.iter().any(|name| name.starts_with("reverse period ")));
        assert!(names.iter().any(|name| name.starts_with("reverse series ")));
        assert!(names.iter().all(|name| name.starts_with("reverse ")));
        assert!(labels.windows(2).all(|two| two[0] < two[1]));
    }

    #[test]
    fn what_a_design_gains_is_the_sum_over_its_labels_and_words_times_how_loud_they_are() {
        let library = library();
        let designs = Designs::of(&library);
        let wolf = place(&designs.names, "reverse motif wolf-twins");
        let animal = place(&designs.names, "reverse motif animal");
        let mut suckling = vec![(wolf, 2.0), (animal, 0.5)];
        suckling.sort_by_key(|one| one.0);
        let rows = [
            ("beast".to_string(), vec![(animal, 1.0)]),
            ("suckling".to_string(), suckling),
        ];
        let text = pictured_text("abc", [0.5, 0.25], &designs, &rows);
        let (pictured, strange) = Pictured::read(&text, &library);
        assert_eq!(strange, Vec::<usize>::new());
        assert_eq!((pictured.loud, pictured.outside), (0.5, 0.25));
        assert_eq!(
            pictured.words().iter().collect::<Vec<_>>(),
            ["beast", "suckling"]
        );
        let at = designs.of_face[1]
            .iter()
            .position(|design| design.shows == "wolf-twins")
            .expect("the wolf and twins");
        let gains_of = |face: usize, words: &[&str]| {
            let by_label = pictured.by_label(words.iter().copied());
            by_label.map(|by_label| pictured.gains(face, &by_label))
        };
        let gains = gains_of(1, &["suckling", "beast", "unheard"]).expect("known words");
        assert!(
            (gains[at] - 0.5 * (2.0 + 0.5 + 1.0)).abs() < 1e-9,
            "{}",
            gains[at]
        );
        assert!((pictured.gain(1, at, "suckling") - 1.25).abs() < 1e-9);
        assert_eq!(pictured.gain(1, at, "unheard"), 0.0);
        assert_eq!(gains_of(1, &["unheard"]), None);
        // The words of the other face say nothing of this one.
        let front = gains_of(0, &["suckling"]).expect("known");
        assert!(front.iter().all(|gain| *gain == 0.0));
    }

    #[test]
    fn types_that_show_the_same_have_one_design_and_the_rest_has_that_of_its_coinage() {
        let library = library();
        let pictured = &library.pictured;
        assert!(pictured.loud > 0.0 && !pictured.words().is_empty());
        for (face, name) in FACES.iter().enumerate() {
            assert!(pictured.designs(face) > 1_000, "{name}");
            let mut held: HashMap<usize, BTreeSet<&str>> = HashMap::new();
            for (at, coin) in library.types.iter().enumerate() {
                let shows = Catalogue::faces(coin)[face].motifs.as_ref();
                let design = pictured.design(face, at);
                assert_eq!(design.is_some(), shows.is_some(), "{}", coin.id);
                if let (Some(design), Some(shows)) = (design, shows) {
                    let ids = shows.iter().map(|at| library.motifs[*at].id.as_str());
                    let ids: BTreeSet<&str> = ids.collect();
                    assert_eq!(held.entry(design).or_insert_with(|| ids.clone()), &ids);
                }
            }
        }
    }
}
