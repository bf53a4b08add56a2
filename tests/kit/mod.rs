//! What the tests share: the house opened once, the program run as a person runs it, and the
//! small library of the check's cases.
//!
//! Never touches the user's own cache or shelf: each run of the program has folders of its
//! own, gone when the run is dropped.
//!
//! Invariant: [`house`] keeps nothing on disk, so no test sees another's leavings.

pub mod answering;
pub mod browser;
pub mod camera;
pub mod fields;
pub mod http;
pub mod outside;
pub mod pages;
pub mod place;
pub mod samples;
pub mod yardsticks;

use std::ffi::OsStr;
use std::fs;
use std::io::Write;
use std::ops::{Deref, DerefMut};
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::sync::LazyLock;

use lynchet::{House, HouseOptions};
use tempfile::TempDir;

/// The house over the library in the program, opened once, in memory.
pub fn house() -> &'static House {
    static HOUSE: LazyLock<House> =
        LazyLock::new(|| House::open(&HouseOptions::default()).expect("the library opens"));
    &HOUSE
}

/// The program about to be run; used as the [`Command`] it wraps.
///
/// Holds the run's cache folder, which must outlive the run.
pub struct Door {
    command: Command,
    _cache: TempDir,
}

impl Deref for Door {
    type Target = Command;

    fn deref(&self) -> &Command {
        &self.command
    }
}

impl DerefMut for Door {
    fn deref_mut(&mut self) -> &mut Command {
        &mut self.command
    }
}

/// The program with an empty cache folder of its own and no colours.
pub fn command() -> Door {
    let cache = TempDir::new().expect("a temporary folder");
    let mut command = Command::new(env!("CARGO_BIN_EXE_lynchet"));
    command
        .env("LYNCHET_CACHE", cache.path())
        .env("LYNCHET_SHELF", cache.path().join("shelf"))
        .env("NO_COLOR", "1");
    Door {
        command,
        _cache: cache,
    }
}

/// How a run of the program ended.
#[derive(Debug)]
pub struct Outcome {
    /// Exit code.
    pub code: i32,
    /// What it printed for reading on.
    pub out: String,
    /// What it told the person.
    pub err: String,
}

impl From<Output> for Outcome {
    fn from(ended: Output) -> Outcome {
        let text = |bytes| String::from_utf8(bytes).expect("the program prints UTF-8");
        Outcome {
            code: ended.status.code().expect("the program was not killed"),
            out: text(ended.stdout),
            err: text(ended.stderr),
        }
    }
}

/// Runs the program with nothing on its input.
pub fn run<A: AsRef<OsStr>>(arguments: impl IntoIterator<Item = A>) -> Outcome {
    run_with_input(arguments, "")
}

/// Runs the program with this text on its input.
pub fn run_with_input<A: AsRef<OsStr>>(
    arguments: impl IntoIterator<Item = A>,
    input: &str,
) -> Outcome {
    let mut door = command();
    door.args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut running = door.spawn().expect("the program starts");
    let mut pipe = running.stdin.take().expect("an input");
    // A program that does not read its input may have closed it; that is its right.
    let _ = pipe.write_all(input.as_bytes());
    drop(pipe);
    running.wait_with_output().expect("the program ends").into()
}

/// Writes a file and the folders above it.
pub fn lay(path: &Path, text: &str) {
    fs::create_dir_all(path.parent().expect("a folder")).expect("the folder is made");
    fs::write(path, text).expect("the file is written");
}

/// Changes the first place in a file where a text stands.
pub fn change(path: &Path, old: &str, new: &str) {
    let text = fs::read_to_string(path).expect("a file");
    assert!(text.contains(old), "{} lacks {old}", path.display());
    lay(path, &text.replacen(old, new, 1));
}

/// Lays out the small sound library of the check's cases.
pub fn small_library(folder: &Path) {
    let base = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/faults/base.txt");
    let base = fs::read_to_string(base).expect("the base of the cases");
    for section in base.split("=== ").skip(1) {
        let (name, text) = section.split_once('\n').expect("a section");
        lay(&folder.join(name), text);
    }
}

#[cfg(test)]
mod tests {
    use lynchet::simulate;

    use super::house;

    #[test]
    fn a_seed_gives_the_same_finds_and_another_seed_others() {
        let catalogue = &house().catalogue;
        let first = simulate::finds(catalogue, &simulate::every_period(catalogue), 11, 60);
        assert_eq!(
            first,
            simulate::finds(catalogue, &simulate::every_period(catalogue), 11, 60)
        );
        assert_ne!(
            first,
            simulate::finds(catalogue, &simulate::every_period(catalogue), 12, 60)
        );
    }

    #[test]
    fn every_simulated_find_says_something_of_a_type_in_the_library() {
        let catalogue = &house().catalogue;
        let finds = simulate::finds(catalogue, &simulate::every_period(catalogue), 13, 400);
        assert_eq!(finds.len(), 400);
        for (coin, find) in &finds {
            assert!(*coin < catalogue.types.len());
            assert!(!find.says_nothing(), "{find:?}");
        }
        // Each kind of trait turns up, and none in every find.
        let often = |said: &dyn Fn(&lynchet::find::Find) -> bool| {
            finds.iter().filter(|(_, find)| said(find)).count()
        };
        for (what, count) in [
            ("metal", often(&|find| find.metal.is_some())),
            ("weight", often(&|find| find.weight.is_some())),
            ("diameter", often(&|find| find.diameter.is_some())),
            ("die axis", often(&|find| find.die_axis.is_some())),
            ("reading", often(&|find| !find.readings.is_empty())),
            ("sighting", often(&|find| !find.sightings.is_empty())),
        ] {
            assert!((20..400).contains(&count), "{what}: {count} of 400");
        }
    }
}
