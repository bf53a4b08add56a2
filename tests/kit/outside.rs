//! A Python with packages from outside the project, to hold the program against.
//!
//! Installs nothing but what `tests/outside/requirements.txt` names, into `target/venv`.
//!
//! Invariant: one test at a time changes the environment.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::{Mutex, PoisonError};

/// What is required, with its versions, as pip reads it.
const REQUIRED: &str = include_str!("../outside/requirements.txt");
/// What is only read for a file that it carries, and never installed with what it requires.
const CARRIED: &str = include_str!("../outside/carried.txt");

/// A Python that has these packages, in an environment below the build's folder that is made
/// when it is not there.
pub fn python(packages: &[&str]) -> PathBuf {
    static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());
    let _turn = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let required: Vec<&str> = packages.iter().map(|package| pinned(package)).collect();
    made(&required).unwrap_or_else(|why| panic!("{why}"))
}

/// A file that a package carries, laid below the build's folder without what the package itself
/// requires: it is read and never run.
pub fn carried(package: &str, file: &str) -> PathBuf {
    static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());
    let _turn = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let pinned = line_of(CARRIED, package);
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("target/carried")
        .join(pinned);
    let path = folder.join(file);
    if path.is_file() {
        return path;
    }
    let asks = [
        "-m",
        "pip",
        "install",
        "--quiet",
        "--disable-pip-version-check",
        "--no-deps",
    ];
    let mut pip = Command::new(python(&[]));
    pip.args(asks).arg("--target").arg(&folder).arg(pinned);
    done(&mut pip).unwrap_or_else(|why| panic!("{pinned} could not be had, for {file}\n{why}"));
    assert!(path.is_file(), "{pinned} carries no {file}");
    path
}

/// The line that pins a package.
pub fn pinned(package: &str) -> &'static str {
    line_of(REQUIRED, package)
}

fn line_of(list: &'static str, package: &str) -> &'static str {
    let mut lines = list.lines();
    let line = lines.find(|line| line.split("==").next() == Some(package));
    line.unwrap_or_else(|| panic!("{package} is not among what is required"))
}

fn made(required: &[&str]) -> Result<PathBuf, String> {
    let environment = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/venv");
    let below = if cfg!(windows) {
        "Scripts/python.exe"
    } else {
        "bin/python"
    };
    let python = environment.join(below);
    let mut asks = "from importlib.metadata import version".to_string();
    for line in required {
        let (package, version) = line.split_once("==").expect("a version that is pinned");
        let module = if package == "pillow" { "PIL" } else { package };
        asks.push_str(&format!(
            "; assert version('{package}') == '{version}'; import {module}"
        ));
    }
    if done(Command::new(&python).args(["-c", &asks])).is_ok() {
        return Ok(python);
    }
    let place = environment.display().to_string();
    let pip = [
        "-m",
        "pip",
        "install",
        "--quiet",
        "--disable-pip-version-check",
    ];
    done(Command::new("python3").args(["-m", "venv", &place]))
        .and_then(|()| done(Command::new(&python).args(pip).args(required)))
        .and_then(|()| done(Command::new(&python).args(["-c", &asks])))
        .map_err(|why| {
            let required = required.join(" ");
            format!(
                "nothing to hold the program against: {required} is not there and could not be \
                 installed; with Python 3 and its venv module there, run\n  python3 -m venv \
                 target/venv && target/venv/bin/pip install {required}\n{why}"
            )
        })?;
    Ok(python)
}

/// Runs a command to its end; what went wrong otherwise.
fn done(command: &mut Command) -> Result<(), String> {
    let ended = command
        .output()
        .map_err(|error| format!("{command:?}: {error}"))?;
    let told = String::from_utf8_lossy(&ended.stderr);
    let told = format!("{command:?}: {told}");
    if ended.status.success() {
        Ok(())
    } else {
        Err(told)
    }
}
