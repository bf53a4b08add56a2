//! The arguments of `hoard`: the pieces, how they lay, and how to answer.
//!
//! Words here, meaning in `gather` and `circumstances`.

use std::path::PathBuf;

use clap::{Args as ClapArgs, ValueEnum};

use super::super::treasure::{Belonging, PlaceAndDays};

/// Examples shown with the help.
pub(in crate::cli) const EXAMPLES: &str = "\
Examples:
  lynchet hoard finds.csv
  lynchet hoard finds.csv --svg dates.svg --found 2026-03-15 --country england
  lynchet hoard \"18 radiates of Tetricus I\" \"13 radiates of Victorinus\" \"pot, pottery\"
  lynchet hoard \"silver, 18 mm, 3.1 g, reads [..]TRAIAN[---]\" \"2 denarii of Hadrian\" --json

A table has the columns of batch, and may have: count (how many are alike), from and to (years that
you know; BC as -32 or 32 BC), kind (coin, token, object, container, fragment), as (what you know it
to be: an id of a type, or a name as \"radiate of Tetricus I\"). On the command line each phrase is
one row. Years are those in which pieces were made: when something was hidden nobody can read off it.
Exit code: 0 an answer, 1 nothing was recognised that has a date, 2 a fault.";

/// How to answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Form {
    /// Sentences and tables
    Text,
    /// Everything, for programs
    Json,
    /// One line a row of the group
    Csv,
}

/// Arguments of `hoard`.
#[derive(ClapArgs, Debug)]
pub(in crate::cli) struct HoardArgs {
    /// A table of the pieces (CSV, - for standard input), or each piece in words
    #[arg(value_name = "TABLE or WORDS", required = true)]
    pub(super) pieces: Vec<String>,
    /// How to answer
    #[arg(long, value_enum, default_value = "text", help_heading = "Options")]
    pub(super) form: Form,
    /// Answer with JSON
    #[arg(long, conflicts_with = "form", help_heading = "Options")]
    pub(super) json: bool,
    /// Draw the dates into this file (SVG)
    #[arg(long, value_name = "FILE", help_heading = "Options")]
    pub(super) svg: Option<PathBuf>,
    /// Write the picture over a file that is there
    #[arg(long, requires = "svg", help_heading = "Options")]
    pub(super) force: bool,
    /// The column that says how many pieces of a row are alike
    #[arg(
        long,
        value_name = "NAME",
        default_value = "count",
        help_heading = "Options"
    )]
    pub(super) count_column: String,
    /// Whether they belong together
    #[command(flatten)]
    pub(super) belonging: Belonging,
    /// Depth of the deepest piece, in centimetres
    #[arg(
        long,
        value_name = "CM",
        help_heading = "How they lay",
        allow_hyphen_values = true
    )]
    pub(super) depth: Option<String>,
    /// How they lay to one another, in your words: which touched, in what order
    #[arg(long, value_name = "WORDS", help_heading = "How they lay")]
    pub(super) lay: Option<String>,
    /// Where, as coarsely as you want it to stand in the record
    #[arg(long, value_name = "WORDS", help_heading = "Place and days")]
    pub(super) place: Option<String>,
    /// Where and when
    #[command(flatten)]
    pub(super) around: PlaceAndDays,
}

impl HoardArgs {
    /// The form asked for.
    pub(super) fn form(&self) -> Form {
        if self.json { Form::Json } else { self.form }
    }
}
