//! `catalogue`: look into the library, check it, put it in order.
//!
//! One module a verb. Only `tidy`, `export` and `new` write: into a folder they are given, and the last
//! into that of the person's own types.
//!
//! Invariant: what is shown is what the library holds; nothing is judged here.

mod args;
mod check;
mod export;
mod neighbours;
mod new;
mod search;
mod show;
mod table;
mod tidy;

use std::io::Write;
use std::path::{Path, PathBuf};

pub(super) use args::{CatalogueArgs, EXAMPLES};

use super::args::Args;
use super::error::Trouble;
use super::shelf::default_folder;
use super::{Outcome, artefacts, open, print_json};
use crate::catalogue::{self, Files, Standing};
use args::CatalogueVerb;

/// Runs one of the library's verbs.
pub(super) fn run(
    asked: &CatalogueArgs,
    args: &Args,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    match &asked.verb {
        CatalogueVerb::Check { rules: true, .. } => check::list_rules(out),
        CatalogueVerb::Check { json, .. } => {
            let layer = super::layer(args);
            check::run((args.catalogue.as_deref(), layer.as_deref()), *json, out)
        }
        CatalogueVerb::Export { folder, force } => {
            export::run(folder, *force, args.catalogue.as_deref(), out)
        }
        CatalogueVerb::Tidy { folder, check } => tidy::run(folder, *check, out),
        CatalogueVerb::New(asked) => new::run(asked, args, out),
        CatalogueVerb::Neighbours {
            draws,
            series,
            json,
        } => neighbours::run(*draws, series.as_deref(), *json, open(args)?, out),
        CatalogueVerb::Show { id, json } => {
            let house = open(args)?;
            let folder = args.catalogue.as_deref();
            show::run(id, *json, (house, &artefacts(args, house)?, folder), out)
        }
        CatalogueVerb::Table { name, words, json } => {
            table::run(name.as_deref(), words, *json, open(args)?, out)
        }
        CatalogueVerb::Search { words, top, json } => {
            let house = open(args)?;
            let artefacts = artefacts(args, house)?;
            search::run(words, *top, *json, (house, &artefacts), out)
        }
    }
}

/// The shelf whose own types are looked into as well, where a verb does that.
pub(super) fn own_shelf(asked: &CatalogueArgs) -> Option<PathBuf> {
    use CatalogueVerb::{Check, New, Search, Show};
    match &asked.verb {
        New(asked) => asked.shelf.clone().or_else(default_folder),
        Check { .. } | Show { .. } | Search { .. } => default_folder(),
        _ => None,
    }
}

/// The files of the folder named, or those the program carries.
fn files(folder: Option<&Path>) -> Result<Files, Trouble> {
    let Some(folder) = folder else {
        return Ok(catalogue::embedded());
    };
    catalogue::from_folder(folder).map_err(|error| {
        Trouble::new(
            error.to_string(),
            "name a folder shaped like the library's own",
        )
    })
}

/// What a standing is called.
fn grade(standing: Standing) -> &'static str {
    standing.name()
}
