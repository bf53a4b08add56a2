//! The command line door: arguments in, sentences or JSON out.
//!
//! All printing and all serialisation of answers happen here. Knows no more of a
//! find than the rooms' public values, and makes the same call as every door.
//!
//! Invariant: exit code 0 for an answer, 1 when nothing in the library fits, 2 for a
//! fault; a reader that goes away early is no fault.

mod answering;
mod args;
mod ask;
mod batch;
mod collection;
mod compare;
mod error;
mod evaluate;
mod findspot;
mod hoard;
mod identify;
mod ids;
mod judging;
mod land;
mod learning;
mod library;
mod line_ends;
mod looks;
mod measures;
mod opened;
mod photo;
mod record;
mod report;
mod resolve;
mod safety;
mod serve;
pub(crate) mod shared;
mod shelf;
mod table;
mod thing;
mod titles;
mod treasure;
mod view;
mod whole;

pub use args::command;

use std::ffi::OsString;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::FromArgMatches;

use crate::catalogue::{self, Artefacts};
use crate::{House, HouseFault, HouseOptions, Things};
use args::{Args, Verb};
use error::Trouble;
use opened::Opened;

/// What a verb ends with when it did not fail.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    /// An answer was given.
    Answer,
    /// Nothing in the library fits, or the check found faults in the library.
    NothingFits,
    /// The work was done, but part of the input could not be used.
    PartlyUnread,
}

/// Runs the command line and says how the process should end.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments = findspot::told_from_flags(arguments.into_iter().collect());
    let parsed = command()
        .try_get_matches_from(arguments)
        .and_then(|matches| Args::from_arg_matches(&matches));
    let args = match parsed {
        Ok(args) => args,
        Err(problem) => {
            // Help and version are answers; anything else is a fault of use.
            let code = if problem.use_stderr() { 2 } else { 0 };
            let _ = problem.print();
            return ExitCode::from(code);
        }
    };
    let mut out = io::BufWriter::new(io::stdout().lock());
    let ended = dispatch(&args, &mut out)
        .and_then(|outcome| out.flush().map(|()| outcome).map_err(Trouble::from));
    match ended {
        Ok(Outcome::Answer) => ExitCode::SUCCESS,
        Ok(Outcome::NothingFits) => ExitCode::from(1),
        Ok(Outcome::PartlyUnread) => ExitCode::from(2),
        Err(trouble) if trouble.reader_left() => ExitCode::SUCCESS,
        Err(trouble) => {
            let _ = out.flush();
            let _ = writeln!(io::stderr(), "{trouble}");
            ExitCode::from(2)
        }
    }
}

fn dispatch(args: &Args, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    match &args.verb {
        Verb::Identify(asked) => identify::run(asked, &Opened::none(args), out),
        Verb::Compare(asked) => compare::run(asked, open(args)?, out),
        Verb::Batch(asked) => batch::run(asked, open(args)?, out),
        Verb::Evaluate(asked) => evaluate::run(asked, open(args)?, out),
        Verb::Findspot(asked) => findspot::run(asked, out),
        Verb::Hoard(asked) => hoard::run(asked, open(args)?, out),
        Verb::Titles(asked) => titles::run(asked, open(args)?, out),
        // Facts alone need no library; it is opened only where a find is to be identified.
        Verb::Treasure(asked) => treasure::run(asked, || open(args), out),
        Verb::Record(asked) => record::run(asked, &Opened::none(args), out),
        Verb::Land(asked) => land::run(asked, out),
        Verb::Collection(asked) => collection::run(asked, &Opened::none(args), out),
        Verb::Photo(asked) => photo::run(asked, out),
        Verb::Serve(asked) => serve::run(asked, args, || open(args), out),
        Verb::Safety(asked) => safety::run(asked, out),
        Verb::Catalogue(asked) => library::run(asked, args, out),
    }
}

/// Opens the house as the arguments say. A library of the user's own with faults is refused, all
/// its faults listed, unless the arguments say to answer from what is sound of it.
///
/// The house is not given back: the process ends with its verb, and taking the library apart
/// piece by piece would only take time.
fn open(args: &Args) -> Result<&'static House, Trouble> {
    if let (Some(folder), false) = (&args.catalogue, args.with_faults) {
        refuse_faults(folder)?;
    }
    let house = House::open(&options(args))?;
    note_faults(house.faults.len());
    note_own_faults(house.own_faults.len());
    Ok(Box::leak(Box::new(house)))
}

/// The artefacts of the library that the house was opened with.
fn artefacts(args: &Args, house: &House) -> Result<Artefacts, Trouble> {
    let laid = house.laid_artefacts(&options(args))?;
    note_faults(laid.faults.len());
    note_own_faults(laid.own_faults.len());
    Ok(laid.artefacts)
}

/// The things of the library that the house was opened with, ready to judge by.
fn things(args: &Args, house: &House) -> Result<Things, Trouble> {
    let things = house.things(&options(args))?;
    note_faults(things.faults.len());
    note_own_faults(things.own_faults.len());
    Ok(things)
}

/// How the house is opened.
fn options(args: &Args) -> HouseOptions {
    let cache = args.cache.clone().or_else(cache_folder);
    HouseOptions {
        library: args.catalogue.clone(),
        cache: cache.filter(|_| !args.no_cache),
        layer: layer(args),
    }
}

/// The folder of the person's own types: that of the shelf. Not beside a library that was named, nor
/// where the library itself is measured or written out.
fn layer(args: &Args) -> Option<PathBuf> {
    let shelf = match &args.verb {
        _ if args.catalogue.is_some() => None,
        Verb::Evaluate(_) => None,
        Verb::Identify(asked) => identify::learning(asked).folder(),
        Verb::Batch(asked) => asked.learning.folder(),
        Verb::Collection(asked) => asked.shelf.folder().ok(),
        Verb::Serve(asked) => asked.shelf().folder().ok(),
        Verb::Catalogue(asked) => library::own_shelf(asked),
        _ => shelf::default_folder(),
    };
    shelf.map(|folder| folder.join(catalogue::TYPES))
}

/// Says that rows were left out, where some were.
fn note_faults(count: usize) {
    if count > 0 {
        let what = format!("the library has {count} fault(s); rows with faults are left out");
        let _ = writeln!(
            io::stderr(),
            "note: {what}; see them with: lynchet catalogue check"
        );
    }
}

/// Says that some of the person's own types were left out, where some were.
fn note_own_faults(count: usize) {
    if count > 0 {
        let what = format!("your own types have {count} fault(s); rows with faults are left out");
        let _ = writeln!(
            io::stderr(),
            "note: {what}; see them with: lynchet catalogue check"
        );
    }
}

fn refuse_faults(folder: &Path) -> Result<(), Trouble> {
    let files = catalogue::from_folder(folder).map_err(HouseFault::Library)?;
    let faults = catalogue::check(&files).faults;
    if faults.is_empty() {
        return Ok(());
    }
    let mut what = format!(
        "the library in {} has {} fault(s)",
        folder.display(),
        faults.len()
    );
    for fault in &faults {
        what.push_str(&format!("\n  {fault}"));
    }
    let hint = "mend them, or answer from the sound rows with: --with-faults";
    Err(Trouble::new(what, hint))
}

/// Where the cache goes unless told: the user's cache folder.
fn cache_folder() -> Option<PathBuf> {
    let set = |name: &str| {
        std::env::var_os(name)
            .filter(|value| !value.is_empty())
            .map(PathBuf::from)
    };
    set("LYNCHET_CACHE")
        .or_else(|| set("XDG_CACHE_HOME").map(|folder| folder.join("lynchet")))
        .or_else(|| set("HOME").map(|home| home.join(".cache").join("lynchet")))
        .or_else(|| set("LOCALAPPDATA").map(|folder| folder.join("lynchet").join("cache")))
}

/// An answer, and the number it was kept under where it was.
#[derive(serde::Serialize)]
struct WithKept<'v, V: serde::Serialize> {
    #[serde(flatten)]
    view: &'v V,
    #[serde(skip_serializing_if = "Option::is_none")]
    kept: Option<&'v str>,
}

/// Prints a view as JSON, with its line end.
fn print_json(view: &impl serde::Serialize, out: &mut dyn Write) -> Result<(), Trouble> {
    serde_json::to_writer_pretty(&mut *out, view)?;
    writeln!(out)?;
    Ok(())
}
