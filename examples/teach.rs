//! How much a field's own confirmed finds help: simulated fields, some peculiar and some ordinary.
//!
//! Of each field some finds are confirmed (half as of their type, three in ten as of ruler and
//! denomination, the others as of a period) and handed to the scorer; others are held out and judged
//! with and without. Prints how often period, ruler and type stand first and among the first five, and
//! the mean log of the share of the truth.
//! Start from the project's folder with `cargo run --example teach`; `-- --fit` fits how far each
//! concentration is believed, on other fields of the same law, and prints the rows for
//! `src/score/constants.rs`; `-- field`, `-- sizes` or `-- habits` measures one part alone; `-- --instruments` prints what is learnt of sizes and readings.

// This is a command of its own and no room of the house: it prints.
#![allow(clippy::print_stdout)]

#[path = "../tests/kit/fields.rs"]
mod fields;

use fields::{FIELDS, Field, Tally, Window, judged, told};
use lynchet::catalogue::Catalogue;
use lynchet::score::{Credence, Groundwork, Wanted, credence_after};
use lynchet::simulate::Chance;
use lynchet::{House, HouseOptions};

/// Confirmed finds of a field, and those held out.
const CONFIRMED: usize = 40;
const HELD_OUT: usize = 200;
const SEED: u64 = 1279;
/// Fields of the fit, and its steps.
const FITTED: usize = 400;
const STEPS: usize = 40;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let house = House::open(&HouseOptions::default())?;
    match std::env::args().nth(1).as_deref() {
        Some("--fit") => fit(&house),
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

/// What is learnt: all, or one of `field`, `sizes` and `habits` where it is named.
fn wanted() -> Wanted {
    let only = std::env::args().nth(1);
    let named = |name: &str| only.as_deref().is_none_or(|only| only == name);
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
