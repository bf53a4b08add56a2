//! Learns what words tell of a thing, from what finders might say of it: softmax regression over all
//! types, with weights for classes, groups, periods and types.
//!
//! The descriptions (`catalogue/said`, of types; `catalogue/told`, of classes in a period) are read as
//! a finder's words are. Every type counts alike, however many descriptions it has: how common it is
//! stays with the prior. Only a label in whose descriptions a word stands has a weight for it, and no
//! weight is below nought, which on pieces held back was much better than free weights. Half of the
//! words are passed over at each step, by lot (Srivastava and others 2014, *Journal of Machine Learning
//! Research* 15), so that no one word decides. Steps are those of AdaGrad (Duchi, Hazan and Singer 2011,
//! in the same journal, 12). The same descriptions give the same weights.

use std::collections::HashMap;
use std::error::Error;
use std::fs;
use std::path::Path;

use lynchet::catalogue::{self, LABELS, WEIGHT_STEP, wording_labels, wording_text};
use lynchet::score::wording_features;
use lynchet::{House, Things, parse};
use toml::{Table, Value};

/// Rounds over all descriptions.
const ROUNDS: usize = 6;
/// Length of the first steps.
const STEP: f32 = 0.1;
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

/// A weight, and the sum of its squared slopes.
#[derive(Clone, Copy, Default)]
struct Weight {
    label: u16,
    nats: f32,
    slopes: f32,
}

/// What is learnt.
struct Learner {
    words: Vec<String>,
    rows: Vec<Vec<Weight>>,
    labels: Vec<String>,
    of_type: Vec<[u16; LABELS]>,
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

/// Words and pairs that stand in descriptions enough, in order.
fn words_of(all: &[(Of, Vec<String>)]) -> Vec<String> {
    let mut counts: HashMap<&String, u32> = HashMap::new();
    for word in all.iter().flat_map(|(_, words)| words) {
        *counts.entry(word).or_default() += 1;
    }
    let fewest = |word: &str| match word.contains(' ') {
        true => FEWEST.1,
        false => FEWEST.0,
    };
    let kept = counts
        .into_iter()
        .filter(|(word, count)| *count >= fewest(word));
    let mut words: Vec<String> = kept.map(|(word, _)| word.clone()).collect();
    words.sort_unstable();
    words
}

/// Draws by lot, the same every time (xorshift, Marsaglia 2003).
struct Lot(u64);

impl Lot {
    fn next(&mut self) -> u64 {
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

impl Learner {
    fn new(all: Vec<(Of, Vec<String>)>, things: &Things) -> (Learner, Vec<Description>) {
        let (labels, of_type) = wording_labels(&things.artefacts);
        let words = words_of(&all);
        let mut rows: Vec<Vec<Weight>> = vec![Vec::new(); words.len()];
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
            let places = list
                .iter()
                .filter_map(|word| words.binary_search(word).ok());
            let features: Vec<u32> = places.map(|at| at as u32).collect();
            let borne = match of {
                Of::Type(at) => of_type[at].to_vec(),
                Of::Kind(labels) => labels.to_vec(),
            };
            for feature in &features {
                let weights = borne.iter().map(|label| Weight {
                    label: *label,
                    ..Weight::default()
                });
                rows[*feature as usize].extend(weights);
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
        for row in &mut rows {
            row.sort_by_key(|one| one.label);
            row.dedup_by_key(|one| one.label);
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
            words,
            rows,
            labels,
            of_type,
            kind,
        };
        (learner, descriptions)
    }

    /// The chance of each type by some words.
    fn chances(&self, features: &[u32], by_label: &mut [f32], chances: &mut [f32]) {
        by_label.fill(0.0);
        for weight in features.iter().flat_map(|at| &self.rows[*at as usize]) {
            by_label[weight.label as usize] += weight.nats;
        }
        for (chance, of) in chances.iter_mut().zip(&self.of_type) {
            *chance = of.iter().map(|label| by_label[*label as usize]).sum();
        }
        let top = chances.iter().copied().fold(f32::MIN, f32::max);
        chances.iter_mut().for_each(|one| *one = (*one - top).exp());
        let whole: f32 = chances.iter().sum();
        chances.iter_mut().for_each(|one| *one /= whole);
    }

    /// The slope of the loss along each label, from the chances of the types.
    fn slopes(&self, of: Of, chances: &[f32], slopes: &mut [f32]) {
        let [class, period] = match of {
            Of::Type(at) => [self.of_type[at][0], self.of_type[at][2]],
            Of::Kind([class, period, _]) => [class, period],
        };
        let meant = |at: usize, labels: &[u16; LABELS]| match of {
            Of::Type(one) => at == one,
            Of::Kind(..) => labels[0] == class && labels[2] == period,
        };
        let mut wholes = [1e-9_f32; 3];
        for (at, (chance, labels)) in chances.iter().zip(&self.of_type).enumerate() {
            let held = [meant(at, labels), labels[0] == class, labels[2] == period];
            for (whole, held) in wholes.iter_mut().zip(held) {
                *whole += if held { *chance } else { 0.0 };
            }
        }
        let counts = [1.0, COUNTS.0, COUNTS.1];
        let all: f32 = counts.iter().sum();
        slopes.fill(0.0);
        for (at, (chance, labels)) in chances.iter().zip(&self.of_type).enumerate() {
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
        let mut order: Vec<usize> = (0..descriptions.len()).collect();
        let mut by_label = vec![0.0; self.labels.len()];
        let mut slopes = vec![0.0; self.labels.len()];
        let mut chances = vec![0.0; self.of_type.len()];
        let mut lot = Lot(0x9e37_79b9_7f4a_7c15);
        for _ in 0..ROUNDS {
            lot.shuffle(&mut order);
            for one in order.iter().map(|at| &descriptions[*at]) {
                let kept = one.features.iter().copied();
                let kept: Vec<u32> = kept.filter(|_| lot.share() >= PASSED_OVER).collect();
                if kept.is_empty() {
                    continue;
                }
                self.chances(&kept, &mut by_label, &mut chances);
                self.slopes(one.of, &chances, &mut slopes);
                self.step(&kept, one.weight, &slopes);
            }
        }
    }

    fn step(&mut self, features: &[u32], weight: f32, slopes: &[f32]) {
        for at in features {
            for one in &mut self.rows[*at as usize] {
                let label = one.label as usize;
                let slope = weight * slopes[label] + SHRINKING[self.kind[label]] * one.nats;
                one.slopes += slope * slope;
                let step = STEP * slope / (one.slopes.sqrt() + 1e-3);
                one.nats = (one.nats - step).max(0.0);
            }
        }
    }

    /// What the words of an identified piece alone tell of its class, period and group: whether the
    /// likeliest is right, and what is lost in nats; none where the truth is not known.
    fn alone(&self, piece: &Table, house: &House) -> [Option<(bool, f32)>; 3] {
        let text = |name: &str| piece.get(name).and_then(Value::as_str).unwrap_or_default();
        let words = features(text("words"), house);
        let places = words
            .iter()
            .filter_map(|word| self.words.binary_search(word).ok());
        let places: Vec<u32> = places.map(|at| at as u32).collect();
        let mut chances = vec![0.0; self.of_type.len()];
        self.chances(&places, &mut vec![0.0; self.labels.len()], &mut chances);
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
            for (chance, of) in chances.iter().zip(&self.of_type) {
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

    /// The weights of each word that round to a step or more; the small ones tell much together.
    fn weights(self) -> Vec<(String, Vec<(u16, f64)>)> {
        let kept = |one: Weight| {
            let nats = f64::from(one.nats);
            (nats >= WEIGHT_STEP / 2.0).then_some((one.label, nats))
        };
        let rows = self.words.into_iter().zip(self.rows);
        rows.map(|(word, row)| (word, row.into_iter().filter_map(kept).collect()))
            .collect()
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
    let rows = learner.weights();
    let weights: usize = rows.iter().map(|(_, row)| row.len()).sum();
    println!(
        "{many} descriptions, {} words and pairs, {weights} weights",
        rows.len()
    );
    let text = wording_text(&catalogue::descriptions_digest(&raw), &labels, &rows);
    fs::write("catalogue/wording.txt", text)?;
    Ok(())
}
