//! How the time of an answer grows with the library.
//!
//! Measures, for the real library and for larger ones made of it (see `larger.rs`), each in a
//! process of its own: the time to open one that is linked (words, groundwork and index), the
//! memory then held and at most; `House::identify` on one core over simulated finds of that
//! library, the least of three calls each, median and nineteen in twenty; the same for the
//! candidates alone and for the next look; how often the type that judging every type puts first is
//! among the candidates. Seed 1662, as the other benches.
//! Start with `cargo bench --bench sizes`; what is named after `--svg` gets the picture.

use std::io::{self, Write};
use std::process::Command;
use std::time::{Duration, Instant};

use lynchet::find::Find;
use lynchet::{House, IdentifyOptions, simulate};

#[allow(dead_code)]
mod corpus;
mod growth;
mod larger;

use growth::{Bar, Curve};

/// Sizes beside that of the real library.
const SIZES: [usize; 4] = [10_000, 20_000, 50_000, 100_000];
/// Finds timed, and finds whose candidates are held against the judging of every type, fewer in the
/// larger libraries, where that takes long.
const TIMED: usize = 300;
const RECALLED: (usize, usize) = (1_000, 300);
const SEED: u64 = 1662;
/// What an answer may take, milliseconds, at how many types.
const BARS: [(usize, f64); 3] = [(5_320, 1.0), (20_000, 5.0), (100_000, 40.0)];

/// What is measured at one size.
#[derive(Clone, Copy, Default)]
struct Measured {
    types: f64,
    opened: f64,
    resident: f64,
    most: f64,
    median: f64,
    slow: f64,
    candidates: f64,
    look: f64,
    recalled: f64,
}

fn main() -> io::Result<()> {
    let arguments: Vec<String> = std::env::args().collect();
    let after = |flag: &str| {
        let at = arguments.iter().position(|one| one == flag)?;
        arguments.get(at + 1).cloned()
    };
    let mut out = io::stdout();
    if let Some(types) = after("--types").and_then(|types| types.parse().ok()) {
        return writeln!(out, "{}", measure(types).line());
    }
    writeln!(out, "{HEADING}")?;
    let mut all = Vec::new();
    for types in std::iter::once(0).chain(SIZES) {
        let measured = apart(types)?;
        writeln!(out, "{}", measured.row())?;
        all.push(measured);
    }
    match after("--svg") {
        Some(path) => std::fs::write(path, picture(&all)),
        None => Ok(()),
    }
}

const HEADING: &str = "types, opened s, memory MB, most MB, identify median ms, 19 in 20 below ms, \
                       candidates ms, next look ms, first among candidates %";

impl Measured {
    fn figures(&self) -> [f64; 9] {
        [
            self.types,
            self.opened,
            self.resident,
            self.most,
            self.median,
            self.slow,
            self.candidates,
            self.look,
            self.recalled,
        ]
    }

    fn line(&self) -> String {
        self.figures().map(|figure| figure.to_string()).join(" ")
    }

    fn read(line: &str) -> Option<Measured> {
        let figures = line.split_whitespace().map(str::parse::<f64>);
        let figures: Vec<f64> = figures.collect::<Result<_, _>>().ok()?;
        let [
            types,
            opened,
            resident,
            most,
            median,
            slow,
            candidates,
            look,
            recalled,
        ] = figures[..]
        else {
            return None;
        };
        Some(Measured {
            types,
            opened,
            resident,
            most,
            median,
            slow,
            candidates,
            look,
            recalled,
        })
    }

    fn row(&self) -> String {
        format!(
            "{}, {:.2}, {:.0}, {:.0}, {:.3}, {:.3}, {:.3}, {:.3}, {:.2}",
            self.types,
            self.opened,
            self.resident,
            self.most,
            self.median,
            self.slow,
            self.candidates,
            self.look,
            100.0 * self.recalled
        )
    }
}

/// Measures one size in a process of its own, so that no size inherits another's memory.
fn apart(types: usize) -> io::Result<Measured> {
    let mut own = Command::new(std::env::current_exe()?);
    let said = own.args(["--types", &types.to_string()]).output()?;
    let text = String::from_utf8_lossy(&said.stdout);
    let read = text.lines().last().and_then(Measured::read);
    read.ok_or_else(|| io::Error::other(String::from_utf8_lossy(&said.stderr).into_owned()))
}

fn measure(types: usize) -> Measured {
    let library = larger::library(&corpus::house().catalogue, types);
    let started = Instant::now();
    let house = House::of(library).expect("the library opens");
    let opened = started.elapsed().as_secs_f64();
    let often = simulate::every_period(&house.catalogue);
    let count = if types > 20_000 {
        RECALLED.1
    } else {
        RECALLED.0
    };
    let finds = simulate::finds(&house.catalogue, &often, SEED, count);
    let finds: Vec<Find> = finds.into_iter().map(|(_, find)| find).collect();
    // What the first call of all works out is not the time of an answer.
    std::hint::black_box(house.identify(&finds[0], IdentifyOptions::default()));
    let resident = memory("VmRSS:");
    let timed = &finds[..TIMED];
    let answers = times(timed, |find| {
        house.identify(find, IdentifyOptions::default())
    });
    let candidates = times(timed, |find| house.candidates(find));
    let look = |find: &Find| {
        let said = house.identify(find, IdentifyOptions::default());
        least(|| house.next_looks(find, &said, None, &[]))
    };
    let mut looks: Vec<Duration> = timed.iter().map(look).collect();
    looks.sort_unstable();
    let recalled = finds
        .iter()
        .filter(|find| is_recalled(find, &house))
        .count();
    Measured {
        types: house.catalogue.types.len() as f64,
        opened,
        resident,
        most: memory("VmHWM:"),
        median: at(&answers, 0.5),
        slow: at(&answers, 0.95),
        candidates: at(&candidates, 0.5),
        look: at(&looks, 0.5),
        recalled: recalled as f64 / finds.len() as f64,
    }
}

fn least<T>(work: impl Fn() -> T) -> Duration {
    let once = |_| {
        let started = Instant::now();
        std::hint::black_box(work());
        started.elapsed()
    };
    (0..3).map(once).min().unwrap_or_default()
}

fn times<T>(finds: &[Find], work: impl Fn(&Find) -> T) -> Vec<Duration> {
    let mut took: Vec<Duration> = finds.iter().map(|find| least(|| work(find))).collect();
    took.sort_unstable();
    took
}

fn at(sorted: &[Duration], share: f64) -> f64 {
    sorted[((sorted.len() - 1) as f64 * share) as usize].as_secs_f64() * 1e3
}

/// True when the type that judging every type puts first is among the candidates.
fn is_recalled(find: &Find, house: &House) -> bool {
    let all = IdentifyOptions {
        judge_all: true,
        ..IdentifyOptions::default()
    };
    let said = house.identify(find, all);
    let candidates = house.candidates(find).unwrap_or_default();
    let first = said.ranking.judged.first();
    first.is_none_or(|first| candidates.binary_search(&first.coin).is_ok())
}

/// Megabytes by the kernel's account of this process; nought where it keeps none.
fn memory(of: &str) -> f64 {
    let account = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = account.lines().find_map(|line| line.strip_prefix(of));
    let pages = line.and_then(|line| line.split_whitespace().next()?.parse::<f64>().ok());
    pages.unwrap_or(0.0) / 1024.0
}

fn picture(all: &[Measured]) -> String {
    let curve = |name, of: fn(&Measured) -> f64| Curve {
        name,
        points: all.iter().map(|one| (one.types, of(one))).collect(),
    };
    let curves = [
        curve("an answer, median", |one| one.median),
        curve("an answer, 19 in 20 below", |one| one.slow),
        curve("of it the candidates, median", |one| one.candidates),
    ];
    let bars = BARS.map(|(types, most)| Bar {
        types: types as f64,
        most,
    });
    growth::svg(&curves, &bars)
}
