//! Learns what words tell of a thing, from what finders might say of it: softmax regression over all
//! types, with weights for classes, groups, periods and types.
//!
//! The descriptions (`catalogue/said`, of types; `catalogue/told`, of classes in a period) are read as
//! a finder's words are. Every type counts alike, however many descriptions it has: how common it is
//! stays with the prior. Half of the words are passed over at each step.

use std::collections::HashMap;
use std::error::Error;
use std::fs;
use std::path::Path;

use lynchet::catalogue::{self, LABELS, WEIGHT_STEP, wording_labels, wording_text};
use lynchet::score::wording_features;
use lynchet::{House, Things, parse};
use toml::{Table, Value};

use crate::softmax::{self, words_of};

/// Rounds over all descriptions.
const ROUNDS: usize = 6;
/// Share of the words that are passed over at each step.
const PASSED_OVER: f32 = 0.5;
/// How much it counts that the class is right, and the period, beside the type.
const COUNTS: (f32, f32) = (1.0, 0.5);
/// How fast weights shrink: of classes, groups, periods, types.
const SHRINKING: [f32; LABELS] = [2e-5, 4e-5, 2e-5, 4e-5, 8e-5];
/// Chance that is given to a truth at least, so that one miss is not all.
const FAINT: f32 = 1e-4;
/// Fewest descriptions in which a word stands that has weights, and a pair of words.
const FEWEST: (u32, u32) = (2, 4);

/// A description, learnt from.
struct Description {
    /// Position of its type, or its class and period as labels.
    of: Of,
    /// Places of its words and pairs of words.
    features: Vec<u32>,
    /// How much it counts.
    weight: f32,
}

#[derive(Clone, Copy, PartialEq, Eq, Hash)]
enum Of {
    Type(usize),
    Kind([u16; 3]),
}

/// What is learnt.
struct Learner {
    softmax: softmax::Learner<[u16; LABELS]>,
    labels: Vec<String>,
    /// Which of a type's labels each label is.
    kind: Vec<usize>,
}

/// Words and pairs of words of a text, as the weights know them.
fn features(text: &str, house: &House) -> Vec<String> {
    let (find, _) = parse::words(text, &house.lexicon);
    wording_features(&parse::told_words(text, &find))
}

/// The descriptions of the library with what they are of.
fn descriptions(
    raw: &catalogue::raw::RawArtefacts,
    labels: &[String],
    house: &House,
    things: &Things,
) -> Vec<(Of, Vec<String>)> {
    let label = |name: String| Some(labels.binary_search(&name).ok()? as u16);
    let kind = |file: &str, period: &str| {
        let class = Path::new(file).file_stem()?.to_str()?;
        Some(Of::Kind([
            label(format!("class {class}"))?,
            label(format!("period {period}"))?,
            label(format!("kind {class}/{period}"))?,
        ]))
    };
    let said = raw.said.iter().map(|row| {
        let of = things.artefacts.type_by_id(&row.id).map(Of::Type);
        (of, &row.fields.said)
    });
    let told = raw
        .told
        .iter()
        .map(|row| (kind(&row.file, &row.id), &row.fields.said));
    let both = said
        .chain(told)
        .filter_map(|(of, texts)| Some((of?, texts)));
    both.flat_map(|(of, texts)| texts.iter().map(move |text| (of, features(text, house))))
        .collect()
}

impl Learner {
    fn new(all: Vec<(Of, Vec<String>)>, things: &Things) -> (Learner, Vec<Description>) {
        let (labels, of_type) = wording_labels(&things.artefacts);
        let words = words_of(all.iter().map(|one| &one.1), |word| {
            match word.contains(' ') {
                true => FEWEST.1,
                false => FEWEST.0,
            }
        });
        let mut softmax = softmax::Learner::new(words, labels.len(), of_type);
        let mut counts: HashMap<Of, f32> = HashMap::new();
        for (of, _) in &all {
            *counts.entry(*of).or_default() += 1.0;
        }
        let types = counts.keys().filter(|of| matches!(of, Of::Type(_))).count();
        let said = all
            .iter()
            .filter(|(of, _)| matches!(of, Of::Type(_)))
            .count();
        let usual = said as f32 / types.max(1) as f32;
        let mut descriptions = Vec::new();
        for (of, list) in all {
            let features = softmax.places(&list);
            match of {
                Of::Type(at) => {
                    let labels = softmax.of_class[at];
                    softmax.bear(&features, &labels);
                }
                Of::Kind(labels) => softmax.bear(&features, &labels),
            }
            let weight = match of {
                Of::Type(_) => usual / counts[&of],
                Of::Kind(..) => 1.0,
            };
            descriptions.push(Description {
                of,
                features,
                weight,
            });
        }
        let kinds = ["class", "group", "period", "kind", "type"];
        let kind = |label: &String| {
            let first = label.split(' ').next().unwrap_or_default();
            kinds
                .iter()
                .position(|kind| *kind == first)
                .unwrap_or_default()
        };
        let kind = labels.iter().map(kind).collect();
        let learner = Learner {
            softmax,
            labels,
            kind,
        };
        (learner, descriptions)
    }

    /// The slope of the loss along each label, from the chances of the types.
    fn slopes(of: Of, of_type: &[[u16; LABELS]], chances: &[f32], slopes: &mut [f32]) {
        let [class, period] = match of {
            Of::Type(at) => [of_type[at][0], of_type[at][2]],
            Of::Kind([class, period, _]) => [class, period],
        };
        let meant = |at: usize, labels: &[u16; LABELS]| match of {
            Of::Type(one) => at == one,
            Of::Kind(..) => labels[0] == class && labels[2] == period,
        };
        let mut wholes = [1e-9_f32; 3];
        for (at, (chance, labels)) in chances.iter().zip(of_type).enumerate() {
            let held = [meant(at, labels), labels[0] == class, labels[2] == period];
            for (whole, held) in wholes.iter_mut().zip(held) {
                *whole += if held { *chance } else { 0.0 };
            }
        }
        let counts = [1.0, COUNTS.0, COUNTS.1];
        let all: f32 = counts.iter().sum();
        for (at, (chance, labels)) in chances.iter().zip(of_type).enumerate() {
            let held = [meant(at, labels), labels[0] == class, labels[2] == period];
            let mut slope = all * chance;
            for ((count, whole), held) in counts.iter().zip(wholes).zip(held) {
                slope -= if held { count * chance / whole } else { 0.0 };
            }
            labels
                .iter()
                .for_each(|label| slopes[*label as usize] += slope);
        }
    }

    fn learn(&mut self, descriptions: &[Description]) {
        let kind = &self.kind;
        self.softmax.learn(
            (descriptions.len(), ROUNDS, PASSED_OVER),
            |at| (&descriptions[at].features, descriptions[at].weight),
            |at, of_type, chances, slopes| {
                Learner::slopes(descriptions[at].of, of_type, chances, slopes);
            },
            |label| SHRINKING[kind[label as usize]],
        );
    }

    /// What the words of an identified piece alone tell of its class, period and group: whether the
    /// likeliest is right, and what is lost in nats; none where the truth is not known.
    fn alone(&self, piece: &Table, house: &House) -> [Option<(bool, f32)>; 3] {
        let text = |name: &str| piece.get(name).and_then(Value::as_str).unwrap_or_default();
        let places = self.softmax.places(&features(text("words"), house));
        let chances = self.softmax.chances(&places);
        let class = text("class");
        let groups = super::list(piece, "groups").into_iter();
        let truths = [
            (0, vec![format!("class {class}")]),
            (
                2,
                super::list(piece, "periods")
                    .iter()
                    .map(|id| format!("period {id}"))
                    .collect(),
            ),
            (1, groups.map(|id| format!("group {class}/{id}")).collect()),
        ];
        truths.map(|(kind, truth): (usize, Vec<String>)| {
            let mut shares = vec![0.0_f32; self.labels.len()];
            for (chance, of) in chances.iter().zip(&self.softmax.of_class) {
                shares[of[kind] as usize] += chance;
            }
            let first = (0..shares.len()).max_by(|a, b| shares[*a].total_cmp(&shares[*b]))?;
            let right = |at: usize| truth.contains(&self.labels[at]);
            let p: f32 = (0..shares.len())
                .filter(|at| right(*at))
                .map(|at| shares[at])
                .sum();
            (!truth.is_empty()).then(|| (right(first), -p.max(FAINT).ln()))
        })
    }

    /// Prints how often the words of identified pieces alone are right.
    fn tell(&self, house: &House) -> Result<(), Box<dyn Error>> {
        for (name, lot) in ["read in print", "from memory"].iter().zip(super::lots()?) {
            let mut told = [(0, 0, 0.0); 3];
            for piece in &lot {
                for (told, one) in told.iter_mut().zip(self.alone(piece, house)) {
                    if let Some((right, lost)) = one {
                        *told = (told.0 + usize::from(right), told.1 + 1, told.2 + lost);
                    }
                }
            }
            for ((right, of, lost), what) in told.into_iter().zip(["class", "period", "group"]) {
                let lost = lost / of.max(1) as f32;
                println!("{name}: {what} first {right} of {of}, log loss {lost:.3}");
            }
        }
        Ok(())
    }
}

/// Learns the weights and writes them.
pub fn fit(house: &House, things: &Things) -> Result<(), Box<dyn Error>> {
    let files = catalogue::from_folder(Path::new("catalogue"))?;
    let (raw, _) = catalogue::read_artefacts(&files);
    let (labels, _) = wording_labels(&things.artefacts);
    let all = descriptions(&raw, &labels, house, things);
    let many = all.len();
    let (mut learner, descriptions) = Learner::new(all, things);
    learner.learn(&descriptions);
    learner.tell(house)?;
    // The small ones tell much together: all that round to a step or more are kept.
    let rows = learner.softmax.weights(WEIGHT_STEP / 2.0);
    let weights: usize = rows.iter().map(|(_, row)| row.len()).sum();
    println!(
        "{many} descriptions, {} words and pairs, {weights} weights",
        rows.len()
    );
    let text = wording_text(&catalogue::descriptions_digest(&raw), &labels, &rows);
    fs::write("catalogue/wording.txt", text)?;
    Ok(())
}
