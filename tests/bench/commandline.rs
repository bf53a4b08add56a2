//! Times the whole program as a person runs it, from start to end of the process.
//!
//! Measures: the size of the program; the first call with an empty cache folder
//! (median of 5, each with a folder of its own); a call with a filled cache (median,
//! least and most of 50); a call that keeps nothing. Corpus: one description in words.
//! No seed: nothing is drawn. Start with `cargo bench --bench commandline`, which
//! builds the program as released.

use std::io::{self, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_lynchet");
const DESCRIPTION: &str = "bronze 16 mm, two soldiers with one standard between, reads CONSTAN";

/// Calls of each kind.
const FIRST: usize = 5;
const LATER: usize = 50;

fn main() -> io::Result<()> {
    let size = std::fs::metadata(PROGRAM)?.len() as f64 / 1e6;
    let mut first = Vec::new();
    for _ in 0..FIRST {
        first.push(call(TempDir::new()?.path(), &[])?);
    }
    let cache = TempDir::new()?;
    call(cache.path(), &[])?;
    let warm = times(LATER, || call(cache.path(), &[]))?;
    let none = times(FIRST, || call(cache.path(), &["--no-cache"]))?;
    let mut out = io::stdout();
    writeln!(out, "program: {size:.1} MB")?;
    writeln!(out, "first call, empty cache: {}", told(first))?;
    writeln!(out, "later call, filled cache: {}", told(warm))?;
    writeln!(out, "call that keeps nothing: {}", told(none))
}

/// How long one call takes.
fn call(cache: &Path, flags: &[&str]) -> io::Result<Duration> {
    let mut command = Command::new(PROGRAM);
    command.args(flags).args(["identify", DESCRIPTION]);
    command.env("LYNCHET_CACHE", cache).stdout(Stdio::null());
    let started = Instant::now();
    let ended = command.status()?;
    let took = started.elapsed();
    if ended.success() {
        Ok(took)
    } else {
        Err(io::Error::other(format!("the program ended with {ended}")))
    }
}

fn times(count: usize, call: impl Fn() -> io::Result<Duration>) -> io::Result<Vec<Duration>> {
    (0..count).map(|_| call()).collect()
}

/// Median, least and most, in milliseconds.
fn told(mut took: Vec<Duration>) -> String {
    took.sort_unstable();
    let ms = |time: Duration| time.as_secs_f64() * 1e3;
    let (least, most) = (ms(took[0]), ms(took[took.len() - 1]));
    let median = ms(took[took.len() / 2]);
    format!(
        "median {median:.1} ms, {least:.1} to {most:.1} ms, {} calls",
        took.len()
    )
}
