//! Arguments of `catalogue`.
//!
//! Says what may be asked and does nothing.
//!
//! Invariant: every flag says in one line what it does.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Subcommand, ValueEnum};

pub(in crate::cli) const EXAMPLES: &str = "\
Examples:
  lynchet catalogue search fallen horseman
  lynchet catalogue show sterling-10cf
  lynchet catalogue check --catalogue ./catalogue
  lynchet catalogue export ./open-data
  lynchet catalogue tidy ./catalogue --check
  lynchet catalogue new thing own-parish-buckle --class buckle --name \"Buckle of the parish\"";

/// Arguments of `catalogue`.
#[derive(ClapArgs, Debug)]
pub(in crate::cli) struct CatalogueArgs {
    /// What to do with the library
    #[command(subcommand)]
    pub(in crate::cli) verb: CatalogueVerb,
}

/// What to do with the library.
#[derive(Debug, Subcommand)]
pub(in crate::cli) enum CatalogueVerb {
    /// List every fault as file:line: what, and what to do
    Check {
        /// Answer with JSON
        #[arg(long)]
        json: bool,
        /// List the rules instead
        #[arg(long)]
        rules: bool,
    },
    /// Write the library as CSV tables, with a description for other programs (a Data Package)
    Export {
        /// The folder to write: a new or an empty one
        #[arg(value_name = "DIR")]
        folder: PathBuf,
        /// Write into a folder that holds something, over an earlier export
        #[arg(long)]
        force: bool,
    },
    /// Put the files of a library folder in canonical order, keeping comments
    Tidy {
        /// The library's folder
        folder: PathBuf,
        /// Change nothing; list the files that would change and exit with 1 if there are any
        #[arg(long)]
        check: bool,
    },
    /// Begin an entry of your own: write a file for a type of coins or of things, to be filled in
    New(NewArgs),
    /// List the types that a perfect piece of another is taken for
    Neighbours {
        /// How many perfect pieces of each type to try
        #[arg(long, default_value_t = 1, value_name = "N")]
        draws: usize,
        /// Only the types of this series
        #[arg(long, value_name = "ID")]
        series: Option<String>,
        /// Answer with JSON
        #[arg(long)]
        json: bool,
    },
    /// Show a type, ruler, denomination, mint, motif, legend, class or form by its id
    Show {
        /// The id
        id: String,
        /// Answer with JSON
        #[arg(long)]
        json: bool,
    },
    /// Print a table that dates by itself (marks, masters, reigns, standards), or list the tables
    Table {
        /// The table
        name: Option<String>,
        /// Words that an entry must hold
        words: Vec<String>,
        /// Answer with JSON
        #[arg(long)]
        json: bool,
    },
    /// Find types of coins, then of artefacts, by any words of what they are and show
    Search {
        /// The words, all of which must be found
        #[arg(required = true)]
        words: Vec<String>,
        /// How many to list
        #[arg(long, default_value_t = 20, value_name = "N")]
        top: usize,
        /// Answer with JSON
        #[arg(long)]
        json: bool,
    },
}

/// A type of one's own to be begun.
#[derive(ClapArgs, Debug)]
pub(in crate::cli) struct NewArgs {
    /// Of what
    #[arg(value_name = "coin|thing")]
    pub(in crate::cli) of: NewOf,
    /// Its id, which begins with own-
    #[arg(value_name = "ID")]
    pub(in crate::cli) id: String,
    /// What it is called
    #[arg(long, value_name = "TEXT")]
    pub(in crate::cli) name: Option<String>,
    /// Id of its period
    #[arg(long, value_name = "ID")]
    pub(in crate::cli) period: Option<String>,
    /// Id of the class of a thing, such as buckle
    #[arg(long, value_name = "ID", required_if_eq("of", "thing"))]
    pub(in crate::cli) class: Option<String>,
    /// Id of the denomination of a coin
    #[arg(long, value_name = "ID", conflicts_with = "class")]
    pub(in crate::cli) denomination: Option<String>,
    /// The folder of the shelf [default: LYNCHET_SHELF, or the user's data folder]
    #[arg(long, value_name = "DIR")]
    pub(in crate::cli) shelf: Option<PathBuf>,
}

/// Which half of the library a type belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(in crate::cli) enum NewOf {
    /// A type of coins
    Coin,
    /// A type of things that are no coins
    Thing,
}
