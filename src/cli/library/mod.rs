//! `catalogue`: look into the library, check it, put it in order.
//!
//! One module a verb. Only `tidy` and `export` write, and only into a folder they are given.
//!
//! Invariant: what is shown is what the library holds; nothing is judged here.

mod check;
mod export;
mod neighbours;
mod search;
mod show;
mod table;
mod tidy;

use std::io::Write;
use std::path::Path;

use super::args::{Args, CatalogueArgs, CatalogueVerb};
use super::error::Trouble;
use super::{Outcome, artefacts, open, print_json};
use crate::catalogue::{self, Files, Standing};

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

/// True where the person's own types are looked into as well.
pub(super) fn asks_own(asked: &CatalogueArgs) -> bool {
    use CatalogueVerb::{Check, Search, Show};
    matches!(&asked.verb, Check { .. } | Show { .. } | Search { .. })
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
