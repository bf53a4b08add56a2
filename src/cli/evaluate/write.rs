//! An evaluation written into a folder: a page, its picture and its figures.
//!
//! Invariant: only the three files named here are made or replaced, each whole, and what was
//! replaced is told of.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::super::error::Trouble;
use super::super::whole;
use super::page::markdown;
use super::picture::reliability;
use super::report::ReportView;

/// The files.
const FILES: [&str; 3] = ["evaluation.md", "reliability.svg", "evaluation.json"];

fn fault(path: &Path, what: &str, hint: &str) -> Trouble {
    Trouble::new(format!("--write: {}: {what}", path.display()), hint)
}

/// The folder, made if it is not there; a fault when it cannot be written into.
pub(super) fn ready(folder: &Path) -> Result<PathBuf, Trouble> {
    if folder.exists() && !folder.is_dir() {
        let hint = "name a folder, new or there already";
        return Err(fault(folder, "is a file, not a folder", hint));
    }
    fs::create_dir_all(folder).map_err(|error| {
        let hint = "name a folder in one that can be written to";
        fault(folder, &error.to_string(), hint)
    })?;
    for name in FILES {
        let file = folder.join(name);
        if file.is_dir() {
            let hint = "the evaluation is written to a file of this name: name another folder";
            return Err(fault(&file, "is a folder", hint));
        }
    }
    Ok(folder.to_path_buf())
}

/// Writes the three files; gives a line on each.
pub(super) fn write(report: &ReportView, folder: &Path) -> Result<Vec<String>, Trouble> {
    let mut figures = serde_json::to_string_pretty(report)?;
    figures.push('\n');
    let texts = [markdown(report), reliability(report), figures];
    let mut told = Vec::new();
    for (name, text) in FILES.into_iter().zip(texts) {
        let file = folder.join(name);
        let there = if file.exists() { " (replaced)" } else { "" };
        whole::write(&file, text.as_bytes()).map_err(|error| {
            let hint = "name a folder that can be written to";
            fault(&file, &error.to_string(), hint)
        })?;
        told.push(format!("written: {}{there}", file.display()));
    }
    Ok(told)
}

/// Says what was written: beside an answer in JSON, which is for a program, on the error stream.
pub(super) fn tell(told: &[String], json: bool, out: &mut dyn Write) -> Result<(), Trouble> {
    let told = told.join("\n");
    if json {
        let _ = writeln!(io::stderr(), "{told}");
    } else {
        writeln!(out, "\n{told}")?;
    }
    Ok(())
}
