//! Times the stations of one answer, to see where the time goes.
//!
//! Measures: what the index gives, making a find ready, judging, what is made of the ranking, and
//! the whole, over 1,000 simulated finds, the least of three calls each; medians. Corpus: the library in the program. Seed 1662, as the other benches.
//! Start with `cargo bench --bench parts`.

use std::io::{self, Write};
use std::time::{Duration, Instant};

use lynchet::IdentifyOptions;
use lynchet::explain::explain;
use lynchet::score::{Answer, Bench, DateCurve, Groundwork, Options, Shares};

#[allow(dead_code)]
mod corpus;

/// Finds judged.
const FINDS: usize = 1_000;

fn least<T>(work: impl Fn() -> T) -> Duration {
    let once = |_| {
        let started = Instant::now();
        std::hint::black_box(work());
        started.elapsed()
    };
    (0..3).map(once).min().unwrap_or_default()
}

fn main() -> io::Result<()> {
    let house = corpus::house();
    let groundwork = Groundwork::new(&house.catalogue);
    let finds = corpus::finds(&house, FINDS);
    let mut stations: Vec<(&str, Vec<Duration>)> = Vec::new();
    let mut kept = 0;
    for find in &finds {
        let library = &house.catalogue;
        let candidates = house.candidates(find).unwrap_or_default();
        let bench = || Bench::new(find, library, &groundwork);
        let ranking = bench().judge(&candidates, Options::default());
        let answer = Answer::of(&ranking, library);
        kept += ranking.judged.len();
        let once = [
            ("candidates", least(|| house.candidates(find))),
            ("bench", least(bench)),
            (
                "bench and judging",
                least(|| bench().judge(&candidates, Options::default())),
            ),
            ("answer", least(|| Answer::of(&ranking, library))),
            ("even prior", least(|| ranking.with_flat_prior(library))),
            ("shares", least(|| Shares::of(&ranking, library))),
            ("date", least(|| DateCurve::of(&ranking, library))),
            (
                "account",
                least(|| explain(find, library, &ranking, &answer)),
            ),
            (
                "whole",
                least(|| house.identify(find, IdentifyOptions::default())),
            ),
        ];
        for (station, (name, took)) in once.into_iter().enumerate() {
            if stations.len() <= station {
                stations.push((name, Vec::new()));
            }
            stations[station].1.push(took);
        }
    }
    let mut out = io::stdout();
    for (name, took) in &mut stations {
        took.sort_unstable();
        let at = |share: f64| took[((took.len() - 1) as f64 * share) as usize].as_secs_f64() * 1e3;
        writeln!(
            out,
            "{name}: median {:.3} ms, 19 in 20 below {:.3} ms",
            at(0.5),
            at(0.95)
        )?;
    }
    writeln!(out, "types kept: {:.0} a find", kept as f64 / FINDS as f64)
}
