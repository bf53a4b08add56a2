//! The arguments of `land`.
//!
//! Definitions only.
//!
//! Invariant: every call that keeps something names the land by its id.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Subcommand};

use super::super::shelf::ShelfFlags;

/// Examples shown with the help.
pub(in crate::cli) const EXAMPLES: &str = "\
Examples:
  lynchet land add NETHERFOLD \"Netherfold Farm\" --owner \"A. Farmer\" --country England
  lynchet land add LONGACRE \"Long Acre\" --of NETHERFOLD --squares \"SP 1234, SP 1235\"
  lynchet land leave NETHERFOLD --from 2026-01-01 --to 2026-12-31 --split \"half each\"
  lynchet land restrict LONGACRE protected --note \"the ring ditch in the north corner\"
  lynchet land note LONGACRE \"crop marks of a ditch\" --source \"air photograph, 1976\"
  lynchet land search-day LONGACRE 2026-03-14 --hours 4
  lynchet land show LONGACRE
  lynchet land statement NETHERFOLD --from 2026-01-01 --to 2026-12-31

A holding is a farm or estate, a field belongs to one. Leave and restrictions of a holding hold for
its fields. Names and addresses stay on the shelf. What is protected is for the official lists to
say: what is kept here is only what you have looked up.
Exit code: 0 done, 2 a fault.";

/// Arguments of `land`.
#[derive(ClapArgs, Debug)]
pub(in crate::cli) struct LandArgs {
    /// What to do
    #[command(subcommand)]
    pub(super) verb: LandVerb,
    /// Which shelf
    #[command(flatten)]
    pub(super) shelf: ShelfFlags,
}

/// What is said of land.
#[derive(ClapArgs, Debug, Default)]
pub(super) struct SaidFlags {
    /// What it is used for (cultivated, pasture, woodland ...)
    #[arg(long, value_name = "USE")]
    pub(super) landuse: Option<String>,
    /// England or Wales, where the law differs
    #[arg(long)]
    pub(super) country: Option<String>,
    /// Anything else
    #[arg(long, value_name = "TEXT")]
    pub(super) notes: Option<String>,
}

/// What to do with land.
#[derive(Debug, Subcommand)]
pub(super) enum LandVerb {
    /// Keep a holding, or with --of a field of one
    Add {
        /// Your id for it
        id: String,
        /// Its name
        name: String,
        /// The holding that the field belongs to
        #[arg(long, value_name = "HOLDING")]
        of: Option<String>,
        /// Who owns it
        #[arg(long, value_name = "NAME")]
        owner: Option<String>,
        /// Who has the use of it
        #[arg(long, value_name = "NAME")]
        tenant: Option<String>,
        /// Where it ends, as squares of the National Grid with commas between
        #[arg(long, value_name = "SQUARES")]
        squares: Option<String>,
        /// Where it ends, as a GeoJSON file
        #[arg(long, value_name = "FILE")]
        geojson: Option<PathBuf>,
        #[command(flatten)]
        said: SaidFlags,
    },
    /// Change what is said of land
    Edit {
        /// Its id
        id: String,
        /// Another id
        #[arg(long, value_name = "ID")]
        new_id: Option<String>,
        /// Another name
        #[arg(long)]
        name: Option<String>,
        #[command(flatten)]
        said: SaidFlags,
    },
    /// Keep an owner or tenant
    Person {
        /// The land's id
        id: String,
        /// owner or tenant
        role: String,
        /// The name
        name: String,
        /// Address, telephone; stays on the shelf
        #[arg(long)]
        contact: Option<String>,
    },
    /// Keep leave to search
    Leave {
        /// The land's id
        id: String,
        /// First day
        #[arg(long, value_name = "DAY")]
        from: Option<String>,
        /// Last day
        #[arg(long, value_name = "DAY")]
        to: Option<String>,
        /// Who gave it
        #[arg(long, value_name = "NAME")]
        given_by: Option<String>,
        /// What was agreed
        #[arg(long, value_name = "TEXT")]
        terms: Option<String>,
        /// How value is shared ("half each")
        #[arg(long, value_name = "TEXT")]
        split: Option<String>,
        /// The agreement (PDF or plain text), kept with it
        #[arg(long, value_name = "FILE")]
        document: Option<PathBuf>,
    },
    /// Keep where land ends
    Boundary {
        /// The land's id
        id: String,
        /// Squares of the National Grid with commas between
        #[arg(long, value_name = "SQUARES", required_unless_present = "geojson")]
        squares: Option<String>,
        /// A GeoJSON file
        #[arg(long, value_name = "FILE", conflicts_with = "squares")]
        geojson: Option<PathBuf>,
    },
    /// Keep why land may not be searched, or only with care
    Restrict {
        /// The land's id
        id: String,
        /// protected, sssi, military-crash, burial, church, foreshore, stewardship, ordnance, other
        kind: String,
        /// More of it: its number, which part, the terms of a consent
        #[arg(long, value_name = "TEXT")]
        note: Option<String>,
        /// First day, where it has one
        #[arg(long, value_name = "DAY")]
        from: Option<String>,
        /// Last day, where it has one
        #[arg(long, value_name = "DAY")]
        to: Option<String>,
    },
    /// Keep what a map, a photograph from the air or earlier work shows
    Note {
        /// The land's id
        id: String,
        /// What it shows
        text: String,
        /// The map, the report
        #[arg(long)]
        source: Option<String>,
        /// The day it is of
        #[arg(long)]
        day: Option<String>,
    },
    /// Keep a day of searching
    SearchDay {
        /// The land's id
        id: String,
        /// The day
        day: String,
        /// How many hours
        #[arg(long, allow_hyphen_values = true)]
        hours: Option<f64>,
        /// Who searched
        #[arg(long, value_name = "NAMES")]
        by: Option<String>,
        /// What was done
        #[arg(long, value_name = "TEXT")]
        text: Option<String>,
    },
    /// List land, with what to heed today
    List,
    /// Show land with all that is kept of it
    Show {
        /// Its id
        id: String,
    },
    /// A statement for the owner: what was found, reported, kept and shared
    Statement {
        /// The land's id
        id: String,
        /// Found on this day or later
        #[arg(long, value_name = "DAY")]
        from: Option<String>,
        /// Found on this day or earlier
        #[arg(long, value_name = "DAY")]
        to: Option<String>,
        /// Cut findspots to squares of this side in metres: 100, 1000, 10000 [default: 1000]
        #[arg(long, value_name = "METRES", default_value_t = 1000)]
        findspot_to: u32,
        /// Keep findspots as they were given
        #[arg(long, conflicts_with = "findspot_to")]
        exact_findspot: bool,
        /// A page to print instead of plain text
        #[arg(long)]
        html: bool,
        /// Write it into this file
        #[arg(long, value_name = "FILE")]
        to_file: Option<PathBuf>,
    },
    /// Take land away, with what is kept of it; not while finds are of it
    Remove {
        /// Its id
        id: String,
    },
    /// Take back what was done: the last act, or one by its number
    Undo {
        /// The number of the act
        act: Option<i64>,
    },
}
