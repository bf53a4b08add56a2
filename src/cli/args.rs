//! The arguments: one definition of each verb and flag, from which parsing, help
//! and usage all come.

mod traits;

use std::path::PathBuf;

use clap::{Args as ClapArgs, CommandFactory, Parser, Subcommand, ValueEnum};

use crate::parse::Field;
use crate::score::Aim;

/// Name a worn find from what can still be measured and read.
///
/// Offline: nothing is fetched and nothing is sent. An answer is a probability with
/// its reasons, never a certainty, and no legal advice: finds that may be treasure
/// are for the coroner, others for the finds recording officer.
#[derive(Debug, Parser)]
#[command(name = "lynchet", version, max_term_width = 100)]
pub(super) struct Args {
    /// Read the library of types from this folder instead of the one in the program
    #[arg(long, global = true, value_name = "DIR")]
    pub(super) catalogue: Option<PathBuf>,
    /// Answer from the sound rows of a library with faults, instead of refusing it
    #[arg(long, global = true)]
    pub(super) with_faults: bool,
    /// Keep the prepared library and index in this folder [default: the user's cache folder]
    #[arg(long, global = true, value_name = "DIR")]
    pub(super) cache: Option<PathBuf>,
    /// Keep nothing between runs: prepare everything in memory (slower)
    #[arg(long, global = true)]
    pub(super) no_cache: bool,
    /// What to do
    #[command(subcommand)]
    pub(super) verb: Verb,
}

/// The verbs.
#[derive(Debug, Subcommand)]
pub(super) enum Verb {
    /// Name one find from its traits
    #[command(after_help = super::identify::EXAMPLES)]
    Identify(Box<IdentifyArgs>),
    /// Set two or three types side by side, and a find against them
    #[command(after_help = COMPARE_EXAMPLES)]
    Compare(Box<CompareArgs>),
    /// Name every find of a table
    #[command(after_help = BATCH_EXAMPLES)]
    Batch(BatchArgs),
    /// Judge finds whose identity is known, and say how often the answer was right
    #[command(after_help = EVALUATE_EXAMPLES)]
    Evaluate(EvaluateArgs),
    /// Say in which years a Roman titulature, whole or broken, was true
    #[command(after_help = super::titles::EXAMPLES)]
    Titles(TitlesArgs),
    /// Read where a find lay, turn it into degrees and back, make it coarser for sharing
    #[command(after_help = super::findspot::EXAMPLES)]
    Findspot(super::findspot::FindspotArgs),
    /// Say what the law may ask of a find or a group: which rule, whom to tell, by when
    #[command(after_help = super::treasure::EXAMPLES)]
    Treasure(Box<super::treasure::TreasureArgs>),
    /// Draft the record of a find: each field with what it rests on, and what is still missing
    #[command(after_help = super::record::EXAMPLES)]
    Record(Box<super::record::RecordArgs>),
    /// Measure a find in its photograph; make plates, small copies and copies that tell no place
    #[command(after_help = super::photo::EXAMPLES)]
    Photo(Box<super::photo::PhotoArgs>),
    /// Read several finds from one hole together: not closed before when, of what, and the law
    #[command(after_help = super::hoard::EXAMPLES)]
    Hoard(Box<super::hoard::HoardArgs>),
    /// Keep whose land it is, with whose leave, where it ends, what was found there
    #[command(after_help = super::land::EXAMPLES)]
    Land(Box<super::land::LandArgs>),
    /// Keep your finds: identify and add them, look them up, follow where they go, take back
    #[command(after_help = super::collection::EXAMPLES)]
    Collection(Box<super::collection::CollectionArgs>),
    /// Open the pages: the whole job in a browser, served from this machine
    #[command(after_help = super::serve::EXAMPLES)]
    Serve(super::serve::ServeArgs),
    #[command(flatten)]
    Safety(super::safety::SafetyVerb),
    /// Look into the library of types, check it, export it or put it in order
    #[command(after_help = super::library::EXAMPLES)]
    Catalogue(super::library::CatalogueArgs),
}

const COMPARE_EXAMPLES: &str = "\
Examples:
  lynchet compare sterling-3g sterling-9
  lynchet compare sterling-3g sterling-9 --find \"silver, 17 mm, 1.2 g, star on breast, reads EDW R\"
  lynchet compare sterling-3g sterling-9 --weight 1.2 --diameter 17 --svg weights.svg

The ids are those that answers give in square brackets; find others with
lynchet catalogue search. A find is given as to identify, its words after --find.
Exit code: 0 the comparison, 2 a fault.";

const BATCH_EXAMPLES: &str = "\
Examples:
  lynchet batch finds.csv > answers.jsonl
  lynchet batch finds.csv --form csv --to answers.csv

Columns, all optional: id, metal, weight_g, diameter_mm, thickness_mm, die_axis, obverse_legend,
reverse_legend, obverse_motif, reverse_motif, completeness, wear, corrosion, region, found_with, words. Other columns
are carried through untouched; columns that state the identity are not looked at.";

const EVALUATE_EXAMPLES: &str = "\
Examples:
  lynchet evaluate identified.csv
  lynchet evaluate identified.csv others.csv --json
  lynchet evaluate identified.csv --hide weight,legend
  lynchet evaluate identified.csv --damage 1 --at-least 2
  lynchet evaluate identified.csv --wrong 1
  lynchet evaluate identified.csv --without-truth
  lynchet evaluate identified.csv --write evaluation

Columns that state the identity: class, period, culture_or_state, ruler_or_authority,
denomination_or_type, types, subtype, mint, date_from, date_to. They are hidden from the judging.
types holds ids of the library joined by ; where several may be meant, or none where the library
has no such type. The other columns take names and ids alike, several joined by ; as well.
Exit code: 0 the report, 2 a fault, or an id under types that is none of the library's.";

/// The traits of one find, one flag each.
#[derive(ClapArgs, Debug, Default)]
#[command(next_help_heading = "Traits")]
pub(crate) struct TraitFlags {
    /// Your own number or name for the find
    #[arg(long)]
    id: Option<String>,
    /// Metal as it looks: gold, silver, base silver, plated, copper alloy, white metal, lead, iron
    #[arg(long)]
    metal: Option<String>,
    /// Weight, in grams unless you say otherwise ("1.2", "1.2 g", "18 grains")
    #[arg(long, allow_hyphen_values = true)]
    weight: Option<String>,
    /// Diameter, in millimetres unless you say otherwise ("17", "16-18", "17 x 16 mm")
    #[arg(long, allow_hyphen_values = true)]
    diameter: Option<String>,
    /// Thickness in millimetres
    #[arg(long, allow_hyphen_values = true)]
    thickness: Option<String>,
    /// Die axis in clock hours, 1 to 12
    #[arg(long, allow_hyphen_values = true)]
    die_axis: Option<String>,
    /// How much is there: whole, chipped, half, quarter, fragment
    #[arg(long)]
    completeness: Option<String>,
    /// Wear: little, light, worn, heavy, extreme
    #[arg(long)]
    wear: Option<String>,
    /// Corrosion: little, light, corroded, heavy, extreme
    #[arg(long)]
    corrosion: Option<String>,
    /// How it was made: hammered, milled, cast
    #[arg(long)]
    making: Option<String>,
    /// What was done to it: clipped, pierced, bent, countermarked, mounted, gilded
    #[arg(long)]
    treatment: Vec<String>,
    /// Letters on the front
    #[arg(long, allow_hyphen_values = true)]
    obverse_legend: Vec<String>,
    /// Letters on the back
    #[arg(long, allow_hyphen_values = true)]
    reverse_legend: Vec<String>,
    /// Letters, side not known
    #[arg(long, allow_hyphen_values = true)]
    legend: Vec<String>,
    /// What is on the front ("crowned bust facing")
    #[arg(long)]
    obverse_motif: Vec<String>,
    /// What is on the back ("long cross, three pellets in each angle")
    #[arg(long)]
    reverse_motif: Vec<String>,
    /// A figure, side not known
    #[arg(long)]
    motif: Vec<String>,
    /// A figure you looked for and that is not there
    #[arg(long)]
    absent: Vec<String>,
    /// A date standing on the piece itself
    #[arg(long, allow_hyphen_values = true)]
    date_on_piece: Option<String>,
    /// What you think it is ("roman", "penny"): a hint, lightly weighed
    #[arg(long)]
    opinion: Vec<String>,
    /// County or region it was found in ("norfolk", "south-west"): lightly weighed, never kept
    #[arg(long)]
    region: Option<String>,
    /// What lay with it in one hole ("3 radiates of Tetricus, a denarius")
    #[arg(long)]
    found_with: Vec<String>,
}

impl TraitFlags {
    /// The flags given, as fields and their text.
    pub(super) fn fields(&self) -> Vec<(Field, String)> {
        let one = |field: Field, text: &Option<String>| text.clone().map(|text| (field, text));
        let single = [
            one(Field::Id, &self.id),
            one(Field::Metal, &self.metal),
            one(Field::Weight, &self.weight),
            one(Field::Diameter, &self.diameter),
            one(Field::Thickness, &self.thickness),
            one(Field::DieAxis, &self.die_axis),
            one(Field::Completeness, &self.completeness),
            one(Field::Wear, &self.wear),
            one(Field::Corrosion, &self.corrosion),
            one(Field::Making, &self.making),
            one(Field::DateOnPiece, &self.date_on_piece),
            one(Field::Region, &self.region),
        ];
        let many = [
            (Field::Treatment, &self.treatment),
            (Field::ObverseLegend, &self.obverse_legend),
            (Field::ReverseLegend, &self.reverse_legend),
            (Field::Legend, &self.legend),
            (Field::ObverseMotif, &self.obverse_motif),
            (Field::ReverseMotif, &self.reverse_motif),
            (Field::Motif, &self.motif),
            (Field::Absent, &self.absent),
            (Field::Opinion, &self.opinion),
            (Field::FoundWith, &self.found_with),
        ];
        let repeated = many
            .into_iter()
            .flat_map(|(field, texts)| texts.iter().map(move |text| (field, text.clone())));
        single.into_iter().flatten().chain(repeated).collect()
    }
}

/// How the judging is done.
#[derive(ClapArgs, Clone, Debug, Default)]
pub(super) struct JudgingFlags {
    /// How many of each list to show
    #[arg(long, default_value_t = 5, value_name = "N")]
    pub(super) top: usize,
    /// Take every type of the library as equally likely beforehand
    #[arg(long)]
    pub(super) flat_prior: bool,
    /// Judge every type instead of those the index finds (slower; for checking)
    #[arg(long)]
    pub(super) judge_all: bool,
    /// Judge as if these traits had not been given ("weight,legend")
    #[arg(long, value_delimiter = ',', value_name = "TRAITS")]
    pub(super) hide: Vec<String>,
    /// Identified finds of the same field (CSV with a column period, ruler_or_authority or years):
    /// what the field has given before leans on the answer a little
    #[arg(long, value_name = "FILE")]
    pub(super) field: Option<PathBuf>,
}

/// Arguments of `identify`.
#[derive(ClapArgs, Debug)]
pub(super) struct IdentifyArgs {
    /// The find in your own words
    #[arg(value_name = "WORDS", allow_hyphen_values = false)]
    pub(super) words: Vec<String>,
    /// The traits by flag
    #[command(flatten)]
    pub(super) traits: TraitFlags,
    /// What only things that are not coins have
    #[command(flatten)]
    pub(super) thing: super::thing::ThingFlags,
    /// How to judge
    #[command(flatten)]
    pub(super) judging: JudgingFlags,
    /// Judge as if there were no shelf
    #[arg(long, conflicts_with_all = ["land", "shelf"], help_heading = "Your own finds")]
    pub(super) without_shelf: bool,
    /// Ask what to look at next, and go on from each reply until the answer is sure
    #[arg(long, conflicts_with = "json")]
    pub(super) ask: bool,
    /// What you want to know: looks are chosen for it [default: what is next in doubt]
    #[arg(long, value_enum)]
    pub(super) level: Option<Wanted>,
    /// Whether to keep it
    #[command(flatten)]
    pub(super) keeping: super::collection::KeepFlags,
}

/// Arguments of `compare`.
#[derive(ClapArgs, Debug)]
pub(super) struct CompareArgs {
    /// Ids of two or three types
    #[arg(required = true, value_name = "ID")]
    pub(super) types: Vec<String>,
    /// A find in your own words, to see what of it speaks for which type
    #[arg(long, value_name = "WORDS")]
    pub(super) find: Vec<String>,
    /// The find's traits by flag
    #[command(flatten)]
    pub(super) traits: TraitFlags,
    /// Take the types as equally likely beforehand
    #[arg(long, help_heading = "Options")]
    pub(super) flat_prior: bool,
    /// Draw weight against diameter into this file (SVG)
    #[arg(long, value_name = "FILE", help_heading = "Options")]
    pub(super) svg: Option<PathBuf>,
    /// Write the picture over a file that is there
    #[arg(long, requires = "svg", help_heading = "Options")]
    pub(super) force: bool,
    /// Answer with JSON
    #[arg(long, help_heading = "Options")]
    pub(super) json: bool,
}

/// What a finder wants to know.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Wanted {
    /// The period
    Period,
    /// The denomination
    Denomination,
    /// The ruler
    Ruler,
    /// The type
    Type,
}

impl Wanted {
    /// The same as the scorer takes it.
    pub(super) fn aim(self) -> Aim {
        match self {
            Wanted::Period => Aim::Period,
            Wanted::Denomination => Aim::Denomination,
            Wanted::Ruler => Aim::Ruler,
            Wanted::Type => Aim::Type,
        }
    }
}

/// Form of a batch's answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum BatchForm {
    /// One JSON object a line
    Jsonl,
    /// The table with the answer's columns added
    Csv,
}

/// Arguments of `batch`.
#[derive(ClapArgs, Debug)]
pub(super) struct BatchArgs {
    /// The table (CSV with a heading line); - for standard input
    pub(super) table: PathBuf,
    /// Form of the answers
    #[arg(long, value_enum, default_value_t = BatchForm::Jsonl)]
    pub(super) form: BatchForm,
    /// Write the answers to this file instead of standard output
    #[arg(long, value_name = "FILE")]
    pub(super) to: Option<PathBuf>,
    /// How to judge
    #[command(flatten)]
    pub(super) judging: JudgingFlags,
    /// What the finder's own finds may say
    #[command(flatten)]
    pub(super) learning: super::learning::LearningFlags,
}

/// Arguments of `evaluate`.
#[derive(ClapArgs, Debug)]
pub(super) struct EvaluateArgs {
    /// Tables of identified finds (CSV with a heading line); - for standard input
    #[arg(required = true, value_name = "TABLE")]
    pub(super) tables: Vec<PathBuf>,
    /// How to judge
    #[command(flatten)]
    pub(super) judging: JudgingFlags,
    /// Damage each find first: letters rubbed out and misread, weight lost, figures misnamed; the
    /// same seed (a whole number) damages each find alike every time
    #[arg(long, value_name = "SEED")]
    pub(super) damage: Option<u64>,
    /// Put a wrong trait, mostly that of another find, in the place of one in six
    #[arg(long, value_name = "SEED")]
    pub(super) wrong: Option<u64>,
    /// Only finds of which the table gives so many traits or more
    #[arg(long, default_value_t = 0, value_name = "N")]
    pub(super) at_least: usize,
    /// Judge each find with its own types taken out of the library (those under types, or else all
    /// of its ruler and denomination)
    #[arg(long)]
    pub(super) without_truth: bool,
    /// Write evaluation.md, reliability.svg and evaluation.json into this folder
    #[arg(long, value_name = "DIR")]
    pub(super) write: Option<PathBuf>,
    /// Answer with JSON
    #[arg(long)]
    pub(super) json: bool,
}

/// Arguments of `titles`.
#[derive(ClapArgs, Debug)]
pub(super) struct TitlesArgs {
    /// The titles as they stand on the piece
    #[arg(required = true, value_name = "WORDS", allow_hyphen_values = false)]
    pub(super) words: Vec<String>,
    /// Only this ruler
    #[arg(long, value_name = "NAME")]
    pub(super) ruler: Option<String>,
    /// Take letters supplied in brackets as read
    #[arg(long)]
    pub(super) restored: bool,
    /// Answer with JSON
    #[arg(long)]
    pub(super) json: bool,
}

/// The command line's definition, for help pages and tests.
pub fn command() -> clap::Command {
    Args::command()
}
