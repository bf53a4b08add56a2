//! The scorer beside exact enumeration and the reference methods, over the same simulated finds.
//!
//! Writes `docs/yardsticks.md` and prints it. Start from the project's folder with
//! `cargo run --release --example yardsticks`; scikit-learn must stand in `target/venv` (what to do
//! is said when it does not). Add `--dry` to print without writing, `--finds 200` for a quick look,
//! `--losses` for the finds on which the scorer loses most against exact enumeration, in place of
//! the tables.

// This is a command of its own and no room of the house: it prints.
#![allow(clippy::print_stdout, clippy::print_stderr)]

mod losses;
mod outside;
mod report;
#[allow(dead_code)]
#[path = "../../tests/kit/yardsticks/mod.rs"]
mod yardsticks;

use std::error::Error;

use lynchet::find::Find;
use lynchet::score::Groundwork;
use lynchet::simulate::{self, Law};
use lynchet::{House, HouseOptions, IdentifyOptions};
use rayon::prelude::*;
use yardsticks::exam::{Given, Mark, marks};
use yardsticks::nearest::Nearest;
use yardsticks::words::Words;

/// Finds tried in each block, and learnt from by the methods that learn.
const FINDS: usize = 1_500;
const LEARNT: usize = 60_000;
/// Traits of a find that is well described.
pub(crate) const DESCRIBED: usize = 4;

/// How often each type is lost, as the finds of a block are drawn.
pub(crate) struct Block {
    pub(crate) name: &'static str,
    pub(crate) often: Vec<f64>,
    pub(crate) seed: u64,
}

/// One method's marks of every find at every level; none where it does not answer at a level.
pub(crate) struct Method {
    pub(crate) name: String,
    pub(crate) marks: Vec<[Option<Mark>; 4]>,
    /// Of the likeliest type of each find: its share, and whether it is the true one.
    pub(crate) top: Vec<(f64, bool)>,
}

fn method(
    name: &str,
    finds: &[(usize, Find)],
    of: impl Fn(usize, &Find) -> [Mark; 4] + Sync,
) -> Method {
    let marks = finds
        .par_iter()
        .map(|(truth, find)| of(*truth, find).map(Some));
    Method {
        name: name.to_string(),
        marks: marks.collect(),
        top: Vec::new(),
    }
}

fn exact(house: &House, law: &Law, block: &Block, finds: &[(usize, Find)]) -> Method {
    let tried = finds.par_iter().map(|(truth, find)| {
        let shares = law.shares(find, &block.often);
        let best = (0..shares.len()).max_by(|a, b| shares[*a].total_cmp(&shares[*b]));
        let best = best.unwrap_or(0);
        let top = (shares[best], best == *truth);
        (
            marks(&Given::Shares(shares), *truth, &house.catalogue).map(Some),
            top,
        )
    });
    let (marks, top) = tried.unzip();
    Method {
        name: "exact enumeration".to_string(),
        marks,
        top,
    }
}

/// All that is answered inside the program.
fn inside(
    house: &House,
    block: &Block,
    finds: &[(usize, Find)],
) -> Result<Vec<Method>, Box<dyn Error>> {
    let library = &house.catalogue;
    let law = Law::new(library);
    let words = Words::of(library)?;
    let nearest = Nearest::of(library);
    let sum: f64 = block.often.iter().sum();
    let prior = Given::Shares(block.often.iter().map(|often| often / sum).collect());
    let started = std::time::Instant::now();
    let exact = exact(house, &law, block, finds);
    eprintln!(
        "exact enumeration: {:.0} s",
        started.elapsed().as_secs_f64()
    );
    Ok(vec![
        exact,
        method("the scorer", finds, |truth, find| {
            let said = house.identify(find, IdentifyOptions::default());
            yardsticks::marks_of_answer(&said, truth, library)
        }),
        method("BM25", finds, |truth, find| {
            let given = words
                .given(find)
                .unwrap_or(Given::Figures(vec![0.0; library.types.len()]));
            marks(&given, truth, library)
        }),
        method("nearest by weight and diameter", finds, |truth, find| {
            marks(&nearest.given(find, false), truth, library)
        }),
        method("nearest, of the metal seen", finds, |truth, find| {
            marks(&nearest.given(find, true), truth, library)
        }),
        method("the commonest", finds, |truth, _| {
            marks(&prior, truth, library)
        }),
    ])
}

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().collect();
    let asked = |name: &str| arguments.iter().position(|argument| argument == name);
    let count = asked("--finds").and_then(|at| arguments.get(at + 1)?.parse().ok());
    let count: usize = count.unwrap_or(FINDS);
    let house = House::open(&HouseOptions::default())?;
    let groundwork = Groundwork::new(&house.catalogue);
    let blocks = [
        Block {
            name: "Types lost as often as the program's prior has them",
            often: groundwork.log_priors().iter().map(|p| p.exp()).collect(),
            seed: 1066,
        },
        Block {
            name: "Every period tried",
            often: simulate::every_period(&house.catalogue),
            seed: 1216,
        },
    ];
    if asked("--losses").is_some() {
        return losses::tell(&house, &groundwork, &blocks[0], count);
    }
    outside::ready()?;
    let mut told = Vec::new();
    for block in &blocks {
        let finds = simulate::finds(&house.catalogue, &block.often, block.seed, count);
        let mut methods = inside(&house, block, &finds)?;
        let learnt = simulate::finds(&house.catalogue, &block.often, block.seed + 1, LEARNT);
        let learnt = outside::learn(&house.catalogue, &learnt, &finds)?;
        let versions = learnt.versions;
        methods.extend(learnt.methods);
        told.push((block, finds, methods, versions));
    }
    let page = report::page(&house, &told, LEARNT);
    println!("{page}");
    if asked("--dry").is_none() {
        std::fs::write("docs/yardsticks.md", page)?;
    }
    Ok(())
}
