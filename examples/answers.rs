//! Writes down what the house answers, find by find, to be held against what it answered before.
//!
//! Simulated finds of one seed and the public specimens, a line each: the totals and shares of all
//! types kept, the terms of those shown, the marginals, the years, the answers and the account. A
//! change to how the judging is computed and not to what is judged may change no word of it and no
//! number by more than a billionth. Start from the project's folder with
//! `cargo run --release --example answers -- before.txt`, and after the change with
//! `cargo run --release --example answers -- after.txt before.txt`, which holds both against one another.

// This is a command of its own and no room of the house: it prints.
#![allow(clippy::print_stdout)]

use std::fmt::Write as _;

use lynchet::find::Find;
use lynchet::parse::{self, Field};
use lynchet::{House, HouseOptions, Identification, IdentifyOptions, simulate};
use rayon::prelude::*;

/// Simulated finds.
const FINDS: usize = 2_000;
const SEED: u64 = 1707;
/// Types whose terms are written.
const SHOWN: usize = 12;
/// Largest difference between two numbers that is no difference.
const ALIKE: f64 = 1e-9;

type Fault = Box<dyn std::error::Error>;

fn main() -> Result<(), Fault> {
    let mut arguments = std::env::args().skip(1);
    let path = arguments.next().ok_or("name a file to write to")?;
    let house = House::open(&HouseOptions::default())?;
    let often = simulate::every_period(&house.catalogue);
    let simulated = simulate::finds(&house.catalogue, &often, SEED, FINDS);
    let mut finds: Vec<Find> = simulated.into_iter().map(|(_, find)| find).collect();
    finds.extend(specimens(&house)?);
    let lines: Vec<String> = finds.par_iter().map(|find| line(find, &house)).collect();
    let text = lines.concat();
    if let Some(before) = arguments.next() {
        hold_against(&std::fs::read_to_string(before)?, &text);
    }
    Ok(std::fs::write(path, text)?)
}

fn specimens(house: &House) -> Result<Vec<Find>, Fault> {
    let mut table = csv::Reader::from_path("tests/specimens/public.csv")?;
    let columns = table.headers()?.clone();
    let mut found = Vec::new();
    for row in table.records() {
        let row = row?;
        let fields = columns.iter().zip(row.iter());
        let fields =
            fields.filter_map(|(name, cell)| Some((Field::column(name)?, cell.to_string())));
        found.push(parse::form(&fields.collect::<Vec<_>>(), &house.lexicon).0);
    }
    Ok(found)
}

fn line(find: &Find, house: &House) -> String {
    let said = house.identify(find, IdentifyOptions::default());
    let mut line = String::new();
    for (rank, one) in said.ranking.judged.iter().enumerate() {
        let id = &house.catalogue.types[one.coin].id;
        let _ = write!(line, "{id} {} {} {}", one.prior, one.total, one.probability);
        if rank < SHOWN {
            let _ = write!(line, " {:?} {:?}", one.years, one.evidence);
        }
        line.push_str(" ; ");
    }
    let Identification {
        ranking,
        shares,
        likely,
        date,
        answer,
        text,
        flat,
        explanation,
    } = said;
    let _ = writeln!(
        line,
        "{} {shares:?} {likely:?} {date:?} {answer:?} {text} {flat:?} {explanation:?}",
        ranking.unlisted
    );
    line
}

/// Tells how many finds are answered otherwise, and the largest difference of two numbers.
fn hold_against(before: &str, after: &str) {
    let (mut otherwise, mut largest, mut finds) = (0, 0f64, 0);
    for (number, (old, new)) in before.lines().zip(after.lines()).enumerate() {
        let differs = difference(old, new);
        largest = differs.map_or(largest, |most| largest.max(most));
        if differs.is_none_or(|most| most > ALIKE) {
            otherwise += 1;
            println!("find {number} is answered otherwise: {differs:?}");
        }
        finds += 1;
    }
    println!("{finds} finds, {otherwise} answered otherwise; largest difference {largest:e}");
}

/// The largest difference between the numbers of two lines; none when anything else differs.
fn difference(old: &str, new: &str) -> Option<f64> {
    let words = |line: &str| -> Vec<String> {
        let split = line.split([' ', ',', '(', ')', '[', ']', '{', '}']);
        split
            .filter(|word| !word.is_empty())
            .map(str::to_string)
            .collect()
    };
    let (old, new) = (words(old), words(new));
    let mut largest = 0f64;
    for (a, b) in old.iter().zip(&new).filter(|(a, b)| a != b) {
        let (a, b): (f64, f64) = (a.parse().ok()?, b.parse().ok()?);
        largest = largest.max((a - b).abs());
    }
    (old.len() == new.len()).then_some(largest)
}
