//! Learns what words tell of what coins show, from what might be said of every design: softmax
//! regression over the designs of a face, with weights for motifs, what these are kinds of, the periods
//! and the series of the coins that bear a design, and the design itself.
//!
//! The descriptions (`catalogue/pictured`) are read as the field of a face is. How loud the weights
//! speak beside all else is fitted on the published coins that are there to be looked at (the public
//! and the further specimens): what is lost of their types, rulers, denominations and periods.
//! Start from the project's folder with `cargo run --release --example pictured`; it writes
//! `catalogue/pictured.txt`. With `--dry` it prints only, with `--loud` it fits the loudness of the
//! weights that stand there and learns none.

// This is a command of its own and no room of the house: it prints.
#![allow(clippy::print_stdout)]
#[allow(dead_code, reason = "the calibration asks more of its cases")]
#[path = "../calibrate/cases.rs"]
mod cases;
#[path = "../learner/softmax.rs"]
mod softmax;

use std::collections::BTreeMap;
use std::error::Error;
use std::fs;
use std::path::Path;

use cases::{Case, FOREIGN, FURTHER, Known, PUBLIC, Truth};
use lynchet::catalogue::{self, Catalogue, Designs, FACES, Pictured, pictured_text, with_figures};
use lynchet::find::Find;
use lynchet::parse::{self, Field, Lexicon};
use lynchet::score::{Groundwork, Level};
use lynchet::{House, HouseOptions};
use rayon::prelude::*;
use softmax::{Learner, words_of};

/// Rounds over all descriptions.
const ROUNDS: usize = 6;
/// Share of the words that are passed over at each step.
const PASSED_OVER: f32 = 0.3;
/// How fast weights shrink.
const SHRINKING: f32 = 4e-5;
/// Fewest descriptions in which a word stands that has weights.
const FEWEST: u32 = 2;
/// Least weight that is kept: what finders say is judged as well without the small ones.
const LEAST: f64 = 0.2;
/// How loud the weights may speak.
const LOUDNESSES: [f64; 4] = [0.4, 0.5, 0.65, 0.8];
/// What of the best gain a coin outside the library may gain.
const OUTSIDES: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];
/// How much louder "not in the library" may be: it is fitted anew by the calibration.
const SHIFTS: [f64; 13] = [
    -3.0, -2.0, -1.5, -1.0, -0.75, -0.5, -0.25, 0.0, 0.25, 0.5, 1.0, 2.0, 3.0,
];
/// How much the coins of other lands count: they are taken for one find in twenty.
const STRANGERS: f64 = 0.175;
/// Levels by which the loudness is fitted, and how much each counts.
const LEVELS: [(Level, f64); 4] = [
    (Level::Type, 0.5),
    (Level::Ruler, 1.0),
    (Level::Denomination, 1.0),
    (Level::Period, 1.0),
];
/// How far a share is believed where nothing is right, so that one miss is not all.
const DOUBT: f64 = 0.03;

type Rows = Vec<(String, Vec<(u16, f64)>)>;

fn main() -> Result<(), Box<dyn Error>> {
    let asked: Vec<String> = std::env::args().skip(1).collect();
    let has = |word: &str| asked.iter().any(|one| one == word);
    let files = catalogue::from_folder(Path::new("catalogue"))?;
    let (raw, _) = catalogue::read(&files);
    let (library, _) = catalogue::resolve(&raw, "");
    let designs = Designs::of(&library);
    let digest = catalogue::pictured_digest(&raw);
    let mut text = raw.weights.clone();
    if !has("--loud") {
        let rows = learnt(&raw, &library, &designs);
        text = pictured_text(&digest, [1.0, 0.0], &designs, &rows);
    }
    let options = HouseOptions {
        library: Some("catalogue".into()),
        ..HouseOptions::default()
    };
    let mut house = House::open(&options)?;
    house.catalogue.pictured = Pictured::read(&text, &house.catalogue).0;
    house.lexicon = Lexicon::new(&house.catalogue);
    let [loud, outside] = loudest(&mut house)?;
    if !has("--dry") {
        let text = with_figures(&text, [loud, outside]);
        fs::write("catalogue/pictured.txt", text)?;
    }
    Ok(())
}

/// Weights learnt from the descriptions of both faces.
fn learnt(raw: &catalogue::raw::RawLibrary, library: &Catalogue, designs: &Designs) -> Rows {
    // Without weights every word is kept.
    let mut bare = library.clone();
    bare.pictured = Pictured::default();
    let lexicon = Lexicon::new(&bare);
    // Each word once, with its weights for both faces: the labels of the front stand first.
    let mut rows: BTreeMap<String, Vec<(u16, f64)>> = BTreeMap::new();
    let fields = [Field::ObverseMotif, Field::ReverseMotif];
    for (face, field) in fields.into_iter().enumerate() {
        let words = |text: &String| {
            let (find, _) = parse::form(&[(field, text.clone())], &lexicon);
            let words = find.seen_words.into_iter().map(|one| one.word);
            words.collect::<Vec<String>>()
        };
        let file = format!("pictured/{}.toml", FACES[face]);
        let of = raw.pictured.iter().filter(|row| row.file == file);
        let (mut described, mut all) = (Vec::new(), Vec::new());
        for row in of {
            let Some(design) = designs.of_face[face].iter().find(|one| one.shows == row.id) else {
                continue;
            };
            for text in &row.fields.said {
                all.push((described.len(), words(text)));
            }
            described.push(design.labels.clone());
        }
        for (word, weights) in of_face(face, all, described, designs.names.len()) {
            rows.entry(word).or_default().extend(weights);
        }
    }
    rows.into_iter().collect()
}

/// The weights of a face.
fn of_face(
    face: usize,
    all: Vec<(usize, Vec<String>)>,
    described: Vec<Vec<u16>>,
    labels: usize,
) -> Rows {
    let words = words_of(all.iter().map(|one| &one.1), |_| FEWEST);
    let mut learner = Learner::new(words, labels, described);
    let mut descriptions: Vec<(usize, Vec<u32>)> = Vec::new();
    for (design, words) in all {
        let features = learner.places(&words);
        let labels = learner.of_class[design].clone();
        learner.bear(&features, &labels);
        descriptions.push((design, features));
    }
    learner.learn(
        (descriptions.len(), ROUNDS, PASSED_OVER),
        |at| (&descriptions[at].1, 1.0),
        |at, of_class, chances, slopes| {
            for (design, (chance, labels)) in chances.iter().zip(of_class).enumerate() {
                let slope = chance - f32::from(u8::from(design == descriptions[at].0));
                labels
                    .iter()
                    .for_each(|label| slopes[*label as usize] += slope);
            }
        },
        |_| SHRINKING,
    );
    let rows = learner.weights(LEAST);
    let weights: usize = rows.iter().map(|(_, row)| row.len()).sum();
    println!(
        "{}: {} descriptions, {} words, {weights} weights",
        FACES[face],
        descriptions.len(),
        rows.len()
    );
    rows
}

/// The published coins, judged: those of the library's lands, and every second one of other lands.
fn judged(house: &House) -> Result<[Vec<Case>; 2], Box<dyn Error>> {
    let groundwork = Groundwork::new(&house.catalogue);
    let mut listed = Vec::new();
    for path in [PUBLIC, FURTHER] {
        listed.extend(cases::table(path, house)?);
    }
    let foreign = cases::table(FOREIGN, house)?.into_iter().step_by(2);
    let foreign = foreign.map(|(find, _)| (find, Truth::lacking())).collect();
    let all: [Vec<(Find, Truth)>; 2] = [listed, foreign];
    Ok(all.map(|finds| {
        let judged = finds.par_iter();
        let judged =
            judged.map(|(find, truth)| cases::judged_as(find, truth, false, house, &groundwork));
        judged.collect()
    }))
}

/// What was judged at a level.
fn known_at(cases: &[Case], level: Level) -> Vec<&Known> {
    let place = cases::LEVELS.iter().position(|one| *one == level);
    let known = cases.iter().filter_map(|case| case.levels[place?].as_ref());
    known.collect()
}

/// True when what is right has the greatest share.
fn is_first(known: &Known) -> bool {
    let all = (0..known.shares.len()).max_by(|a, b| known.shares[*a].total_cmp(&known.shares[*b]));
    all.is_some_and(|first| known.right.contains(&first))
}

/// Mean of what is lost, in nats, when "not in the library" is so much louder.
fn lost(known: &[&Known], shift: f64) -> f64 {
    let nats = |known: &&Known| {
        let last = known.shares.len() - 1;
        let loud = |at: usize| match at == last {
            true => known.shares[at] * shift.exp(),
            false => known.shares[at],
        };
        let whole: f64 = (0..=last).map(loud).sum();
        let right: f64 = known.right.iter().map(|at| loud(*at)).sum();
        -((1.0 - DOUBT) * right / whole + DOUBT * 0.01).ln()
    };
    known.iter().map(nats).sum::<f64>() / known.len().max(1) as f64
}

/// How loud the weights tell the specimens best, and what a coin outside the library gains.
fn loudest(house: &mut House) -> Result<[f64; 2], Box<dyn Error>> {
    let mut best = (f64::INFINITY, [0.0; 2]);
    let figures = LOUDNESSES.into_iter();
    let figures = figures.flat_map(|loud| OUTSIDES.map(|outside| [loud, outside]));
    for [loud, outside] in std::iter::once([0.0; 2]).chain(figures) {
        house.catalogue.pictured.loud = loud;
        house.catalogue.pictured.outside = outside;
        let [listed, foreign] = judged(house)?;
        let foreign = known_at(&foreign, Level::Type);
        let all = |shift: f64| {
            let of_level = |(level, counts)| counts * lost(&known_at(&listed, level), shift);
            let levels: f64 = LEVELS.into_iter().map(of_level).sum();
            levels + STRANGERS * lost(&foreign, shift)
        };
        let shifts = SHIFTS.map(|shift| (all(shift), shift));
        let (least, shift) = shifts
            .into_iter()
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .unwrap_or_default();
        let told = LEVELS.map(|(level, _)| {
            let known = known_at(&listed, level);
            let first = known.iter().filter(|known| is_first(known)).count();
            format!(
                "{} {first}/{} {:.3}",
                level.name(),
                known.len(),
                lost(&known, shift)
            )
        });
        println!(
            "loud {loud} outside {outside}: {least:.4} at {shift:+.1}; {}; foreign {:.3}",
            told.join("; "),
            lost(&foreign, shift)
        );
        if least < best.0 && loud > 0.0 {
            best = (least, [loud, outside]);
        }
    }
    Ok(best.1)
}
