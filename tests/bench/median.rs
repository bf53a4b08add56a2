//! Times single answers in process and tells their spread, which a mean hides.
//!
//! Measures: `House::identify` on each of 1,000 simulated finds, the least of three calls
//! each; median, nineteen in twenty and the most, and the medians by the number of
//! readings. Corpus: the library in the program. Seed 1662, as the other benches.
//! Start with `cargo bench --bench median`.

use std::io::{self, Write};
use std::time::{Duration, Instant};

use lynchet::IdentifyOptions;

#[allow(dead_code)]
mod corpus;

/// Finds judged.
const FINDS: usize = 1_000;

fn main() -> io::Result<()> {
    let house = corpus::house();
    let finds = corpus::finds(&house, FINDS);
    let once = |find: &lynchet::find::Find| {
        let started = Instant::now();
        std::hint::black_box(house.identify(find, IdentifyOptions::default()));
        started.elapsed()
    };
    let timed: Vec<(usize, Duration)> = finds
        .iter()
        .map(|find| {
            let read = find
                .readings
                .iter()
                .filter(|r| r.letters_seen() > 0)
                .count();
            (read, (0..3).map(|_| once(find)).min().unwrap_or_default())
        })
        .collect();
    let mut out = io::stdout();
    tell(&mut out, "all finds", timed.iter().map(|t| t.1).collect())?;
    for read in 0..=2 {
        let those = timed.iter().filter(|t| t.0 == read).map(|t| t.1).collect();
        tell(&mut out, &format!("{read} reading(s)"), those)?;
    }
    Ok(())
}

fn tell(out: &mut dyn Write, name: &str, mut took: Vec<Duration>) -> io::Result<()> {
    took.sort_unstable();
    let at = |share: f64| {
        took.get(((took.len() as f64 - 1.0) * share) as usize)
            .map_or(0.0, |t| t.as_secs_f64() * 1e3)
    };
    writeln!(
        out,
        "{name}: {} finds, median {:.2} ms, 19 in 20 below {:.2} ms, most {:.2} ms",
        took.len(),
        at(0.5),
        at(0.95),
        at(1.0)
    )
}
