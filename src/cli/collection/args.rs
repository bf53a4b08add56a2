//! The arguments of `collection`.
//!
//! Definitions only.
//!
//! Invariant: every call names the find by its id, or a filter.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Subcommand};

use super::super::args::TraitFlags;
use super::super::safety::{EXPORT_EXAMPLES, ExportArgs};
use super::super::shelf::ShelfFlags;
use super::super::thing::ThingFlags;
use super::labels::LabelFlags;

/// Examples shown with the help.
pub(in crate::cli) const EXAMPLES: &str = "\
Examples:
  lynchet collection add \"silver, 17 mm, long cross, EDW R\" --id LA-1 --found 2026-03-14
  lynchet collection add \"annular brooch frame, copper alloy, 30 mm\" --found 2026-03-14
  lynchet collection photo LA-1 front.jpg=obverse back.jpg=reverse
  lynchet collection confirm LA-1 --by officer --reference \"letter of 2 April\"
  lynchet collection status LA-1 with-officer --on 2026-03-20
  lynchet collection list --land LONGACRE --metal silver
  lynchet collection find long cross
  lynchet collection edit LA-1 --storage \"box 3\" --official-number 2026-117
  lynchet collection stats --write figures
  lynchet collection labels --storage \"box 3\" --write labels.pdf
  lynchet collection history LA-1
  lynchet collection undo
  lynchet collection import finds.csv --map group=class --keep-map club
  lynchet collection check
  lynchet collection review --land LONGACRE
  lynchet collection learning habits off

Everything stays in the folder of the shelf; photographs are kept as given, with the place they may
carry. Nothing is lost: what is edited or removed is in the history, and can be taken back.
Exit code: 0 done, 1 the check found faults or no find fits, 2 a fault.";

/// Arguments of `collection`.
#[derive(ClapArgs, Debug)]
pub(in crate::cli) struct CollectionArgs {
    /// What to do
    #[command(subcommand)]
    pub(super) verb: CollectionVerb,
    /// Which shelf
    #[command(flatten)]
    pub(in crate::cli) shelf: ShelfFlags,
}

/// What is told of a find beside its traits.
#[derive(ClapArgs, Clone, Debug, Default)]
#[command(next_help_heading = "Where and when, and what becomes of it")]
pub(super) struct KeptFlags {
    /// The land it is from, by its id
    #[arg(long, value_name = "ID")]
    pub(super) land: Option<String>,
    /// The day it was found: 2026-03-14, 2026-03 or 2026
    #[arg(long, value_name = "DAY")]
    pub(super) found: Option<String>,
    /// Where it lay: a grid reference, or latitude and longitude
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    pub(super) at: Option<String>,
    /// How deep it lay: 20 cm
    #[arg(long, allow_hyphen_values = true)]
    pub(super) depth: Option<String>,
    /// Who found it
    #[arg(long, value_name = "NAME")]
    pub(super) finder: Option<String>,
    /// The group that it belongs to
    #[arg(long)]
    pub(super) group: Option<String>,
    /// Its box, drawer, album
    #[arg(long, value_name = "PLACE")]
    pub(super) storage: Option<String>,
    /// The number that the officer gave it
    #[arg(long, value_name = "NUMBER")]
    pub(super) official_number: Option<String>,
    /// Anything else
    #[arg(long, value_name = "TEXT")]
    pub(super) notes: Option<String>,
}

impl KeptFlags {
    /// The first flag that was given.
    pub(super) fn first(&self) -> Option<&'static str> {
        let given = [
            ("--land", &self.land),
            ("--found", &self.found),
            ("--at", &self.at),
            ("--depth", &self.depth),
            ("--finder", &self.finder),
            ("--group", &self.group),
            ("--storage", &self.storage),
            ("--official-number", &self.official_number),
            ("--notes", &self.notes),
        ];
        let first = given.into_iter().find(|(_, text)| text.is_some());
        first.map(|(flag, _)| flag)
    }
}

/// Which finds.
#[derive(ClapArgs, Clone, Debug, Default)]
#[command(next_help_heading = "Which finds")]
pub(super) struct FilterFlags {
    /// From this land, or a field of it
    #[arg(long, value_name = "ID")]
    pub(super) land: Option<String>,
    /// Where they are: in-hand, with-officer, in-treasure-process, returned, with-museum, given,
    /// sold-to-owner
    #[arg(long)]
    pub(super) status: Option<String>,
    /// coin or artefact
    #[arg(long)]
    pub(super) kind: Option<String>,
    /// Metal as it looks
    #[arg(long)]
    pub(super) metal: Option<String>,
    /// Identified as of this period, by its id
    #[arg(long, value_name = "ID")]
    pub(super) period: Option<String>,
    /// Of this ruler
    #[arg(long, value_name = "ID")]
    pub(super) ruler: Option<String>,
    /// Of this denomination
    #[arg(long, value_name = "ID")]
    pub(super) denomination: Option<String>,
    /// A thing of this class, by its id
    #[arg(long, value_name = "ID")]
    pub(super) class: Option<String>,
    /// Of this type
    #[arg(long = "type", value_name = "ID")]
    pub(super) type_id: Option<String>,
    /// With this tag
    #[arg(long)]
    pub(super) tag: Option<String>,
    /// Of this group
    #[arg(long)]
    pub(super) group: Option<String>,
    /// In this place
    #[arg(long, value_name = "PLACE")]
    pub(super) storage: Option<String>,
    /// Found on this day or later
    #[arg(long, value_name = "DAY")]
    pub(super) from: Option<String>,
    /// Found on this day or earlier
    #[arg(long, value_name = "DAY")]
    pub(super) to: Option<String>,
    /// Not confirmed by anybody yet
    #[arg(long)]
    pub(super) unconfirmed: bool,
    /// Without an official number yet
    #[arg(long)]
    pub(super) unrecorded: bool,
    /// Without a photograph yet
    #[arg(long)]
    pub(super) unphotographed: bool,
}

/// In which order finds come, and how many of them.
#[derive(ClapArgs, Clone, Debug)]
#[command(next_help_heading = "How they are listed")]
pub(super) struct PageFlags {
    /// kept, found, id or changed
    #[arg(long, default_value = "kept", value_name = "ORDER")]
    pub(super) order: String,
    /// How many to list
    #[arg(long, default_value_t = 50, value_name = "N")]
    pub(super) top: usize,
    /// How many to leave out before them
    #[arg(long, default_value_t = 0, value_name = "N")]
    pub(super) skip: usize,
}

/// What to do with finds.
#[derive(Debug, Subcommand)]
pub(super) enum CollectionVerb {
    /// Identify a find and keep it
    Add {
        /// The find in your own words
        #[arg(value_name = "WORDS")]
        words: Vec<String>,
        #[command(flatten)]
        traits: Box<TraitFlags>,
        #[command(flatten)]
        thing: Box<ThingFlags>,
        #[command(flatten)]
        kept: Box<KeptFlags>,
        /// A photograph, and after = what it shows; may be repeated
        #[arg(long = "photo", value_name = "FILE=VIEW", help_heading = "Options")]
        photos: Vec<String>,
        /// A tag; may be repeated
        #[arg(long, help_heading = "Options")]
        tag: Vec<String>,
        /// It is no coin, and you know what it is ("strap buckle"): nothing is identified then
        #[arg(long, value_name = "WHAT", help_heading = "Options")]
        object: Option<String>,
        /// Keep it without identifying it
        #[arg(long, help_heading = "Options")]
        plain: bool,
    },
    /// Change what is kept of a find; traits given anew take the place of those before
    Edit {
        /// Its id
        #[arg(value_name = "FIND")]
        find: String,
        /// The find in other words
        #[arg(long, value_name = "WORDS")]
        words: Option<String>,
        #[command(flatten)]
        traits: Box<TraitFlags>,
        #[command(flatten)]
        thing: Box<ThingFlags>,
        #[command(flatten)]
        kept: Box<KeptFlags>,
        /// Identify it anew
        #[arg(long, help_heading = "Options")]
        again: bool,
    },
    /// List finds
    List {
        #[command(flatten)]
        filter: Box<FilterFlags>,
        #[command(flatten)]
        page: PageFlags,
    },
    /// Look finds up by any words that are kept of them
    Find {
        /// The words
        #[arg(required = true)]
        words: Vec<String>,
        #[command(flatten)]
        filter: Box<FilterFlags>,
        #[command(flatten)]
        page: PageFlags,
    },
    /// Show a find with all that is kept of it
    Show {
        /// Its id, or the code of its label
        find: String,
    },
    /// Figures over finds, and pictures of them
    #[command(
        after_help = "Example:\n  lynchet collection stats --land NETHERFOLD --write figures"
    )]
    Stats {
        #[command(flatten)]
        filter: Box<FilterFlags>,
        /// Write the figures (JSON) and the pictures (SVG) into this folder
        #[arg(long, value_name = "DIR", help_heading = "Options")]
        write: Option<PathBuf>,
    },
    /// Labels for bags and boxes, to print
    #[command(
        after_help = "Example:\n  lynchet collection labels --storage \"box 3\" --sheet 3x8 --write labels.pdf"
    )]
    Labels {
        #[command(flatten)]
        filter: Box<FilterFlags>,
        #[command(flatten)]
        how: Box<LabelFlags>,
    },
    /// Make a shelf of an invented parish, to look round in
    #[command(after_help = "Example:\n  lynchet collection demo --shelf demo-shelf")]
    Demo,
    /// Confirm what a find is, or say what it is
    Confirm {
        /// Its id
        find: String,
        /// self, officer or book
        #[arg(long)]
        by: String,
        /// The book and number, the officer's record
        #[arg(long, value_name = "TEXT")]
        reference: Option<String>,
        /// The day of it
        #[arg(long, value_name = "DAY")]
        on: Option<String>,
        /// It is something else than what stands: the id of a type of coins or things, or of a class
        /// of things, or words
        #[arg(long = "as", value_name = "WHAT")]
        decided: Option<String>,
    },
    /// Say where a find went
    Status {
        /// Its id
        find: String,
        /// in-hand, with-officer, in-treasure-process, returned, with-museum, given, sold-to-owner
        status: String,
        /// The day [default: today]
        #[arg(long, value_name = "DAY")]
        on: Option<String>,
        /// To whom, under which number
        #[arg(long, value_name = "TEXT")]
        note: Option<String>,
    },
    /// Keep photographs of a find
    Photo {
        /// Its id
        find: String,
        /// Photographs, and after = what each shows
        #[arg(value_name = "FILE=VIEW")]
        photos: Vec<String>,
        /// Say what a photograph shows: its number and the view
        #[arg(long, value_name = "NUMBER=VIEW")]
        view: Option<String>,
        /// Take this one away, by its number
        #[arg(long, value_name = "NUMBER")]
        remove: Option<i64>,
    },
    /// Give a find tags, or take them away
    Tag {
        /// Its id
        find: String,
        /// Tags to give
        tags: Vec<String>,
        /// Tags to take away
        #[arg(long, value_name = "TAG")]
        remove: Vec<String>,
    },
    /// Put finds into a group
    Group {
        /// The group's name
        group: String,
        /// Ids of the finds
        #[arg(required = true)]
        finds: Vec<String>,
    },
    /// Take a find away; the history keeps it
    Remove {
        /// Its id
        find: String,
    },
    /// List what was done, the latest first
    History {
        /// Only to this find or land
        about: Option<String>,
        /// How many
        #[arg(long, default_value_t = 20, value_name = "N")]
        top: usize,
    },
    /// Take back what was done: the last act, or one by its number
    Undo {
        /// The number of the act
        act: Option<i64>,
    },
    /// Show what your confirmed finds teach Lynchet, or switch a part of it off and on
    Learning {
        /// field, sizes or habits
        #[arg(requires = "state")]
        what: Option<String>,
        /// on or off
        state: Option<String>,
        /// With what the finds of this land teach
        #[arg(long, value_name = "ID")]
        land: Option<String>,
    },
    /// Judge anew what was kept, and list where today's answer differs; nothing is changed
    Review {
        /// Only finds from this land, or a field of it
        #[arg(long, value_name = "ID")]
        land: Option<String>,
        /// How many to list
        #[arg(long, default_value_t = 50, value_name = "N")]
        top: usize,
    },
    /// Check the shelf: the database, every file, what lies there unnamed
    Check {
        /// Hold the size of each file only, not its content
        #[arg(long)]
        quick: bool,
    },
    /// Write the shelf as tables, pictures and descriptions, whole or for sharing
    #[command(after_help = EXPORT_EXAMPLES)]
    Export(ExportArgs),
    /// Keep every find of a table, all rows or none; or make a shelf of the folder of an export
    Import {
        /// The table (CSV with a heading line; - for standard input), or the folder of an export
        table: PathBuf,
        /// A field, and after = the column that holds it; may be repeated
        #[arg(long, value_name = "FIELD=COLUMN or NAME")]
        map: Vec<String>,
        /// Keep the mapping under this name, for next time: --map NAME
        #[arg(long, value_name = "NAME")]
        keep_map: Option<String>,
        /// Keep the finds without identifying them
        #[arg(long)]
        plain: bool,
        /// Check the table and keep nothing
        #[arg(long)]
        only_check: bool,
    },
}
