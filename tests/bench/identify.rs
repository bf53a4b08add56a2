//! Benches of the house in one process.
//!
//! Measures, by group:
//! - `parse`: words to a find, each of four descriptions;
//! - `candidates`: the index asked for the types worth judging;
//! - `identify`: the whole answer with its account, for each of four descriptions and
//!   for 200 simulated finds in turn (the figure is for one find);
//! - `judge-all`: the same 200 without the index;
//! - `open`: the house opened in memory, with an empty cache and with a filled one;
//! - `batch`: 5,000 simulated finds on all cores, as finds a second.
//!
//! Corpus and seed: see `corpus.rs`. The library is as large as it is; nothing here
//! scales it. Start with `cargo bench --bench identify`.

mod batch;
mod corpus;
mod open;
#[path = "../kit/simulate/mod.rs"]
#[allow(dead_code)]
mod simulate;

use std::hint::black_box;

use criterion::Criterion;
use lynchet::find::Find;
use lynchet::{House, IdentifyOptions, parse};

/// Simulated finds that are judged in turn.
const IN_TURN: usize = 200;

fn main() {
    let mut criterion = Criterion::default().configure_from_args();
    let house = corpus::house();
    words(&mut criterion, &house);
    in_turn(&mut criterion, &house);
    open::opening(&mut criterion);
    batch::throughput(&mut criterion, &house);
    criterion.final_summary();
}

/// Each description, from words to answer.
fn words(criterion: &mut Criterion, house: &House) {
    for (number, text) in corpus::DESCRIPTIONS.into_iter().enumerate() {
        let name = format!("description-{}", number + 1);
        let (find, _) = parse::words(text, &house.lexicon);
        criterion
            .benchmark_group("parse")
            .bench_function(&name, |b| {
                b.iter(|| parse::words(black_box(text), &house.lexicon));
            });
        criterion
            .benchmark_group("candidates")
            .bench_function(&name, |b| b.iter(|| house.candidates(black_box(&find))));
        criterion
            .benchmark_group("identify")
            .bench_function(&name, |b| {
                b.iter(|| house.identify(black_box(&find), IdentifyOptions::default()));
            });
    }
}

/// Simulated finds one after the other, so that the figure is over all of them.
fn in_turn(criterion: &mut Criterion, house: &House) {
    let finds = corpus::finds(house, IN_TURN);
    let all = IdentifyOptions {
        judge_all: true,
        ..IdentifyOptions::default()
    };
    let mut turn = finds.iter().cycle();
    let mut next = || -> &Find { turn.next().expect("a cycle has no end") };
    criterion
        .benchmark_group("candidates")
        .bench_function("simulated", |b| b.iter(|| house.candidates(next())));
    criterion
        .benchmark_group("identify")
        .bench_function("simulated", |b| {
            b.iter(|| house.identify(next(), IdentifyOptions::default()));
        });
    criterion
        .benchmark_group("judge-all")
        .bench_function("simulated", |b| b.iter(|| house.identify(next(), all)));
}
