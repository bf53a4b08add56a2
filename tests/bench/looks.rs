//! What the next look is worth: how many questions it saves, and what choosing it costs.
//!
//! Measures, over 1,000 pieces with a ruler, drawn as they are lost: questions until nine in ten is
//! reached on the right ruler (12 where it is not), when the best look is followed and when the
//! same looks are taken in a random order; and the time to choose the next look once the find has
//! been judged. Both from all that the finder wrote down and from the metal and measures alone. The finder who answers is simulated, see
//! `tests/kit/answering.rs`. Corpus: the library in the program. Seed 1279.
//! Start with `cargo bench --bench looks`.

use std::io::{self, Write};
use std::time::{Duration, Instant};

use lynchet::find::Find;
use lynchet::{House, IdentifyOptions};
use rayon::prelude::*;

#[path = "../kit/answering.rs"]
#[allow(dead_code)]
mod answering;

#[allow(dead_code)]
mod corpus;

use answering::{GIVES_UP, Order, pieces, questions};

/// Pieces drawn.
const PIECES: usize = 1_000;
/// Seed of the pieces; that of each piece's finder follows from its place.
const SEED: u64 = 1279;

fn main() -> io::Result<()> {
    let house = corpus::house();
    let mut out = io::stdout();
    for (bare, name) in [
        (false, "all that the finder wrote down"),
        (true, "the metal and the measures alone"),
    ] {
        let pieces = pieces(&house.catalogue, SEED, PIECES, bare);
        writeln!(out, "from {name}:")?;
        asking(&house, &pieces, &mut out)?;
        choosing(&house, &pieces, &mut out)?;
    }
    Ok(())
}

/// Questions by both orders.
fn asking(house: &House, pieces: &[(usize, Find)], out: &mut dyn Write) -> io::Result<()> {
    let both = |(place, piece): (usize, &(usize, Find))| {
        let seed = SEED + place as u64;
        [Order::Best, Order::Random].map(|order| questions(house, piece, seed, order))
    };
    let counted: Vec<[usize; 2]> = pieces.par_iter().enumerate().map(both).collect();
    for (arm, name) in ["best look", "random order"].iter().enumerate() {
        let of_arm = || counted.iter().map(|both| both[arm]);
        let mean = of_arm().sum::<usize>() as f64 / counted.len() as f64;
        let none = of_arm().filter(|count| *count == 0).count();
        let gave_up = of_arm().filter(|count| *count == GIVES_UP).count();
        writeln!(
            out,
            "  {name}: mean {mean:.2} questions; none for {none}, not within {GIVES_UP} for \
             {gave_up} of {}",
            counted.len()
        )?;
    }
    let sum = |arm: usize| counted.iter().map(|both| both[arm]).sum::<usize>() as f64;
    writeln!(out, "  ratio: {:.3}", sum(0) / sum(1))
}

/// How long it takes to choose the next look, the least of three.
fn choosing(house: &House, pieces: &[(usize, Find)], out: &mut dyn Write) -> io::Result<()> {
    let mut took: Vec<Duration> = Vec::new();
    for (_, find) in pieces {
        let said = house.identify(find, IdentifyOptions::default());
        let once = |_| {
            let started = Instant::now();
            std::hint::black_box(house.next_looks(find, &said, None, &[]));
            started.elapsed()
        };
        took.extend((0..3).map(once).min());
    }
    took.sort_unstable();
    let at = |share: f64| took[((took.len() - 1) as f64 * share) as usize].as_secs_f64() * 1e3;
    writeln!(
        out,
        "  choosing: median {:.2} ms, 19 in 20 below {:.2} ms, most {:.2} ms",
        at(0.5),
        at(0.95),
        at(1.0)
    )
}
