//! Times `batch` as a person runs it: a table in, a table out, the whole process.
//!
//! Measures: finds a second over a table of 20,000 simulated finds with what a table has room for
//! (metal, weight, diameter, die axis, completeness, wear, letters and figures of either side), by
//! the program as released, with a filled cache; five runs, median, least and most. Seed 1662, as
//! the other benches; `RAYON_NUM_THREADS=1` before it keeps the program to one core.
//! Start with `cargo bench --bench table`.

use std::io::{self, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

use lynchet::find::{Find, Side};
use tempfile::TempDir;

#[allow(dead_code)]
mod corpus;

const PROGRAM: &str = env!("CARGO_BIN_EXE_lynchet");
/// Finds in the table.
const ROWS: usize = 20_000;
/// Times that it is judged.
const RUNS: usize = 5;
const COLUMNS: [&str; 13] = [
    "id",
    "metal",
    "weight_g",
    "diameter_mm",
    "die_axis",
    "completeness",
    "wear",
    "obverse_legend",
    "reverse_legend",
    "legend",
    "obverse_motif",
    "reverse_motif",
    "motif",
];

fn main() -> io::Result<()> {
    let folder = TempDir::new()?;
    let table = folder.path().join("finds.csv");
    write_table(&table)?;
    batch(folder.path())?;
    let mut rates = Vec::new();
    for _ in 0..RUNS {
        let started = Instant::now();
        batch(folder.path())?;
        rates.push(ROWS as f64 / started.elapsed().as_secs_f64());
    }
    rates.sort_unstable_by(f64::total_cmp);
    let mut out = io::stdout();
    writeln!(
        out,
        "batch: {ROWS} finds, median {:.0} finds a second, {:.0} to {:.0}, {RUNS} runs",
        rates[RUNS / 2],
        rates[0],
        rates[RUNS - 1]
    )
}

fn batch(folder: &Path) -> io::Result<()> {
    let mut command = Command::new(PROGRAM);
    command.args(["batch", "finds.csv", "--form", "csv", "--to", "answers.csv"]);
    command.env("LYNCHET_CACHE", folder.join("cache"));
    command.current_dir(folder).stderr(Stdio::null());
    let ended = command.status()?;
    match ended.success() {
        true => Ok(()),
        false => Err(io::Error::other(format!("the program ended with {ended}"))),
    }
}

fn write_table(path: &Path) -> io::Result<()> {
    let house = corpus::house();
    let mut table = csv::Writer::from_path(path)?;
    table.write_record(COLUMNS)?;
    for (number, find) in corpus::finds(&house, ROWS).iter().enumerate() {
        table.write_record(cells(number, find))?;
    }
    table.flush()
}

fn cells(number: usize, find: &Find) -> [String; COLUMNS.len()] {
    let read = |side: Side| -> String {
        let of_side = find.readings.iter().filter(|one| one.side == side);
        let said: Vec<&str> = of_side.map(|one| one.said.as_str()).collect();
        said.join(" ")
    };
    let seen = |side: Side| -> String {
        let of_side = find.sightings.iter().filter(|one| one.side == side);
        let said: Vec<&str> = of_side
            .filter(|one| one.present)
            .map(|one| one.said.as_str())
            .collect();
        said.join(", ")
    };
    let text = |said: Option<String>| said.unwrap_or_default();
    [
        format!("f{number}"),
        text(find.metal.map(|(metal, _)| metal.name().to_string())),
        text(find.weight.map(|weight| weight.value.get().to_string())),
        text(find.diameter.map(|across| across.value.get().to_string())),
        text(find.die_axis.map(|axis| axis.hour().to_string())),
        text(find.completeness.map(|left| left.name().to_string())),
        text(find.wear.map(|wear| wear.name().to_string())),
        read(Side::Obverse),
        read(Side::Reverse),
        read(Side::Unknown),
        seen(Side::Obverse),
        seen(Side::Reverse),
        seen(Side::Unknown),
    ]
}
