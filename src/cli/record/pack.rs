//! The pack for the officer: every form of the drafts, the plate and the photographs in one file.
//!
//! Puts in what the other forms made of drafts that may be passed on; looks at nothing else, and
//! writes no file itself.
//!
//! Invariant: the same drafts on the same day give the same bytes; every file but the list of sums
//! stands in that list; names are made here and are harmless.

use std::io::{Cursor, Write};

use sha2::{Digest, Sha256};
use zip::ZipWriter;

use super::super::error::Trouble;
use super::Finished;
use super::args::Form;
use super::views::stem;
use crate::collect::in_zip;

/// The list of sums.
const SUMS: &str = "manifest-sha256.txt";

/// The files that a form makes, and what each is.
const FORMS: [(&str, Form, &str); 5] = [
    ("draft.pdf", Form::Pdf, "the draft to read and print"),
    ("draft.txt", Form::Text, "the same as plain text"),
    ("finds.csv", Form::Csv, "the same as a table (RFC 4180)"),
    ("finds.jsonld", Form::JsonLd, "the same as linked data"),
    ("legends.xml", Form::Epidoc, "the legends in EpiDoc"),
];

struct Packed {
    name: String,
    what: String,
    bytes: Vec<u8>,
}

/// The pack as the bytes of a zip file.
pub(super) fn pack(finished: &Finished<'_>) -> Result<Vec<u8>, Trouble> {
    let mut files = Vec::new();
    for (name, form, what) in FORMS {
        let mut bytes = Vec::new();
        finished.write(form, &mut bytes)?;
        let (name, what) = (name.to_string(), what.to_string());
        files.push(Packed { name, what, bytes });
    }
    if let Some(taken) = finished.taken {
        if let Some(sheet) = &taken.sheet {
            files.push(Packed {
                name: "plate.png".into(),
                what: "the plate, 300 dots an inch".into(),
                bytes: sheet.clone(),
            });
        }
        let number = finished
            .drafts
            .first()
            .map_or("", |one| one.value("number"));
        for (view, jpeg) in &taken.photographs {
            files.push(Packed {
                name: format!("{}-{view}.jpg", stem(number)),
                what: format!("photograph, {}", view.replace('-', " ")),
                bytes: jpeg.clone(),
            });
        }
    }
    let (name, what) = ("README.txt".to_string(), "this page".to_string());
    let bytes = readme(finished, &files).into_bytes();
    files.push(Packed { name, what, bytes });
    let sums = files.iter().map(|file| {
        let sum = Sha256::digest(&file.bytes);
        let sum: String = sum.iter().map(|byte| format!("{byte:02x}")).collect();
        format!("{sum}  {}\n", file.name)
    });
    let bytes = sums.collect::<String>().into_bytes();
    files.push(Packed {
        name: SUMS.into(),
        what: String::new(),
        bytes,
    });
    zipped(&files)
}

fn zipped(files: &[Packed]) -> Result<Vec<u8>, Trouble> {
    let named = |fault: &dyn std::fmt::Display| {
        let what = format!("--pack: the files cannot be packed: {fault}");
        Trouble::new(
            what,
            "make the photographs smaller: lynchet photo thumbnail",
        )
    };
    let mut pack = ZipWriter::new(Cursor::new(Vec::new()));
    for file in files {
        let begun = pack.start_file(file.name.as_str(), in_zip(&file.name));
        begun.map_err(|fault| named(&fault))?;
        pack.write_all(&file.bytes).map_err(|fault| named(&fault))?;
    }
    let done = pack.finish().map_err(|fault| named(&fault))?;
    Ok(done.into_inner())
}

/// What is in the pack, what was cut, how to print it.
fn readme(finished: &Finished<'_>, files: &[Packed]) -> String {
    let title = match finished.drafts {
        [one] => one.title(),
        many => format!("{} draft records", many.len()),
    };
    let width = files.iter().map(|file| file.name.len()).max().unwrap_or(0);
    let width = width.max(SUMS.len());
    let listed = files
        .iter()
        .map(|file| format!("  {:width$}  {}\n", file.name, file.what))
        .collect::<String>();
    let pictures = match finished.taken {
        Some(_) => {
            "The photographs and the plate were made anew from pixels alone:\nwhere and when they \
             were taken, and with what, is not in them."
        }
        None => "No photographs were given.",
    };
    let day = finished.today.iso();
    let about = finished.about.replace(". ", ".\n");
    format!(
        "{title}\n\nA pack for the recording officer, drafted {day}.\n\n\
         What is in it\n\n{listed}  {:width$}  this page\n  {SUMS:width$}  the sums of all these \
         (SHA-256)\n\n\
         What was cut\n\n{about}\nNothing else was left out of the drafts.\n{pictures}\n\n\
         How to print it\n\nPrint draft.pdf at 100 % (\"actual size\"), not fitted to the page, \
         and lay a ruler\nalong the line of 50 mm at the foot of each page.\n\n\
         Take care\n\nThese are drafts: what is inferred is a chance and not a fact, and nothing \
         here is a\nruling. The coroner decides what is treasure; the recording officer decides \
         what is\nrecorded. Findspots are sensitive: pass them on to nobody who does not need \
         them.\n",
        "README.txt"
    )
}
