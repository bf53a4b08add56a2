//! How much a field's own confirmed finds help: simulated fields, some peculiar and some ordinary.
//!
//! Of each field some finds are confirmed (half as of their type, three in ten as of ruler and
//! denomination, the others as of a period) and handed to the scorer; others are held out and judged
//! with and without. Prints how often period, ruler and type stand first and among the first five, and
//! the mean log of the share of the truth.
//! Start from the project's folder with `cargo run --example teach`; `-- --fit` fits how far each
//! concentration is believed, on other fields of the same law, and prints the rows for
//! `src/score/constants.rs`; `-- field`, `-- sizes` or `-- habits` measures one part alone; `-- --ordinary`
//! holds ordinary fields against themselves, pair by pair, with intervals; `-- --instruments` prints
//! what is learnt of sizes and readings.

// This is a command of its own and no room of the house: it prints.
#![allow(clippy::print_stdout)]

#[path = "../tests/kit/fields.rs"]
mod fields;

use fields::{FIELDS, Field, Tally, Window, each, judged, told};
use lynchet::catalogue::Catalogue;
use lynchet::score::{Credence, Groundwork, Wanted, credence_after};
use lynchet::simulate::Chance;
use lynchet::{House, HouseOptions};

/// Confirmed finds of a field, and those held out.
const CONFIRMED: usize = 40;
const HELD_OUT: usize = 200;
const SEED: u64 = 1279;
/// Ordinary fields that are held against themselves, and held-out finds of each; two numbers after
/// `--ordinary` make it fewer or more.
const ORDINARY: (usize, usize) = (20, 1_000);
/// Deviations of a normal law within which 95 in 100 lie.
const WITHIN: f64 = 1.96;
/// Fields of the fit, and its steps.
const FITTED: usize = 400;
const STEPS: usize = 40;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let house = House::open(&HouseOptions::default())?;
    match std::env::args().nth(1).as_deref() {
        Some("--fit") => fit(&house),
        Some("--ordinary") => ordinary(&house),
        Some("--instruments") => instruments(&house),
        _ => measure(&house),
    }
    Ok(())
}

fn measure(house: &House) {
    println!(
        "| field | judged | period first | ruler first | ruler in five | type first | type in five | log score, period | ruler | type |"
    );
    println!("|---|---|---|---|---|---|---|---|---|---|");
    for peculiar in [true, false] {
        let mut sums = [Tally::default(), Tally::default()];
        for (place, field) in FIELDS.iter().enumerate() {
            if field.is_peculiar() != peculiar {
                continue;
            }
            let seed = SEED + 7919 * place as u64;
            let (confirmed, held) = told(house, field, seed, CONFIRMED, HELD_OUT);
            let learnt = house.learn(&confirmed, wanted());
            for (with, sum) in sums.iter_mut().enumerate() {
                let tally = judged(house, &held, (with == 1).then_some(&learnt));
                println!("| {} | {} |{}", field.name, words(with), row(&tally));
                sum.add(&tally);
            }
        }
        let name = if peculiar { "peculiar" } else { "ordinary" };
        for (with, sum) in sums.iter().enumerate() {
            println!("| **all {name}** | {} |{}", words(with), row(sum));
        }
    }
}

/// What one find gained by what was learnt: the truth first and in five where the table shows it, and
/// the log of its share.
fn gains(without: &Tally, with: &Tally) -> [f64; 8] {
    let off = |a: f64, b: f64| b - a;
    let first = |level: usize| off(without.first[level], with.first[level]);
    let five = |level: usize| off(without.five[level], with.five[level]);
    let log = |level: usize| off(without.log[level], with.log[level]);
    [
        first(0),
        first(1),
        five(1),
        first(2),
        five(2),
        log(0),
        log(1),
        log(2),
    ]
}

/// Mean and its deviation.
fn mean(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    let count = values.clone().count() as f64;
    let mean = values.clone().sum::<f64>() / count;
    let spread = values.map(|value| (value - mean).powi(2)).sum::<f64>() / (count - 1.0);
    (mean, (spread / count).sqrt())
}

/// What ordinary fields gain or lose, the same finds judged with and without: for each field with the
/// interval of its own finds, for all with that of the means of fields.
fn ordinary(house: &House) {
    println!(
        "| field | period first | ruler first | ruler in five | type first | type in five | log score, period | ruler | type |"
    );
    println!("|---|---|---|---|---|---|---|---|---|");
    let count = |at: usize| std::env::args().nth(at)?.parse().ok();
    let (fields, finds) = (
        count(2).unwrap_or(ORDINARY.0),
        count(3).unwrap_or(ORDINARY.1),
    );
    let mut means = Vec::new();
    let mut worse = [0; 8];
    for place in 0..fields {
        let seed = (SEED ^ 0x0D0) + 104_729 * place as u64;
        let (confirmed, held) = told(house, &Field::ordinary(), seed, CONFIRMED, finds);
        let learnt = house.learn(&confirmed, wanted());
        let (without, with) = (each(house, &held, None), each(house, &held, Some(&learnt)));
        let pairs = without.iter().zip(&with);
        let gained: Vec<[f64; 8]> = pairs.map(|(a, b)| gains(a, b)).collect();
        let of = |what: usize| mean(gained.iter().map(move |one| one[what]));
        let cells: Vec<(f64, f64)> = (0..8).map(of).collect();
        for (what, (mean, deviation)) in cells.iter().enumerate() {
            worse[what] += usize::from(mean + WITHIN * deviation < -0.01);
        }
        println!("| ordinary field {} |{}", place + 1, differences(&cells));
        means.push(cells);
    }
    let of = |what: usize| mean(means.iter().map(move |cells| cells[what].0));
    let cells: Vec<(f64, f64)> = (0..8).map(of).collect();
    println!("| **all** |{}", differences(&cells));
    let worst = |what: usize| {
        let all = means.iter().map(|cells| cells[what].0);
        all.fold(f64::INFINITY, f64::min)
    };
    let worst: Vec<(f64, f64)> = (0..8).map(|what| (worst(what), 0.0)).collect();
    println!("| the worst |{}", differences(&worst));
    println!("fields whose whole interval is worse than one in a hundred, by column: {worse:?}");
}

/// Differences with half their interval, in hundredths of finds and in nats.
fn differences(cells: &[(f64, f64)]) -> String {
    let cell = |(what, (mean, deviation)): (usize, &(f64, f64))| {
        let wide = WITHIN * deviation;
        match what {
            0..5 => format!(" {:+.1} \u{b1} {:.1} |", 100.0 * mean, 100.0 * wide),
            _ => format!(" {mean:+.3} \u{b1} {wide:.3} |"),
        }
    };
    cells.iter().enumerate().map(cell).collect()
}

/// What is learnt: all, or one of `field`, `sizes` and `habits` where it is named.
fn wanted() -> Wanted {
    let only = std::env::args().nth(1);
    let named = |name: &str| {
        let only = only.as_deref().filter(|only| !only.starts_with("--"));
        only.is_none_or(|only| only == name)
    };
    Wanted {
        field: named("field"),
        sizes: named("sizes"),
        habits: named("habits"),
    }
}

fn words(with: usize) -> &'static str {
    ["without", "with"][with]
}

/// Fits the credence by expectation and maximisation, on fields drawn at random.
fn fit(house: &House) {
    let catalogue = &house.catalogue;
    let groundwork = Groundwork::new(catalogue);
    let national: Vec<f64> = groundwork.log_priors().iter().map(|p| p.exp()).collect();
    let mut chance = Chance(SEED ^ 0xF17);
    let fields: Vec<Vec<usize>> = (0..FITTED)
        .map(|place| {
            let field = match place % 2 {
                0 => Field::ordinary(),
                _ => random(catalogue, &national, &mut chance),
            };
            let often = field.often(catalogue, &national);
            let finds = 10 + chance.below(140);
            (0..finds).map(|_| chance.weighted(&often)).collect()
        })
        .collect();
    let mut credence: Credence = [[1.0 / 6.0; 6]; 3];
    for _ in 0..STEPS {
        credence = credence_after(&fields, &credence, catalogue, &groundwork);
    }
    for (row, level) in credence.iter().zip(["periods", "stretches", "coinages"]) {
        let row: Vec<String> = row.iter().map(|share| format!("{share:.3}")).collect();
        println!("    [{}], // {level}", row.join(", "));
    }
}

/// A field with a window about the years of some type, as wide and as full as it falls.
fn random(catalogue: &Catalogue, national: &[f64], chance: &mut Chance) -> Field {
    let window = |chance: &mut Chance, share: f64| -> Window {
        let span = catalogue.types[chance.weighted(national)].span;
        let middle = f64::from(span.from + span.to) / 2.0;
        (share, middle, 5.0 * chance.between(0.0, 3.2).exp())
    };
    let share = chance.between(0.2, 0.85);
    Field {
        name: "random",
        windows: [window(chance, share), window(chance, 0.1)],
    }
}

/// The cells of a table's row.
fn row(tally: &Tally) -> String {
    let share = |count: f64| format!(" {:.1} % |", 100.0 * count / tally.finds);
    let log = |sum: f64| format!(" {:.3} |", sum / tally.finds);
    let (first, five) = (tally.first, tally.five);
    let shares = [first[0], first[1], five[1], first[2], five[2]];
    shares.map(share).concat() + &tally.log.map(log).concat()
}

/// What finds of ordinary fields teach of sizes and instruments, where scale and callipers read right
/// and where they read 8 % and 5 % high.
fn instruments(house: &House) {
    for high in [false, true] {
        for seed in 0..6 {
            let (mut confirmed, _) = told(house, &Field::ordinary(), SEED + 31 * seed, 300, 1);
            if high {
                confirmed
                    .iter_mut()
                    .for_each(|one| fields::read_high(&mut one.find, 1.08, 1.05));
            }
            let began = std::time::Instant::now();
            let learnt = house.learn(&confirmed, Wanted::default());
            println!(
                "{:.1} ms; high {high}: scale {:?}, callipers {:?}, types {}, letters {:?}",
                began.elapsed().as_secs_f64() * 1000.0,
                learnt.scale,
                learnt.callipers,
                learnt.sizes.len(),
                learnt
                    .letters
                    .as_ref()
                    .map(|l| (l.finds, l.letters, l.misread, l.passed_over))
            );
        }
    }
}
