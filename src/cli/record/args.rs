//! The arguments of `record`: a find as to `identify`, what is told of it, and the form of the draft.
//!
//! Words here, meaning in `gather`.
//!
//! Invariant: a draft is made from words and flags, or from a table, never from both.

use std::path::{Path, PathBuf};

use clap::{Args as ClapArgs, ValueEnum};

use super::super::args::TraitFlags;
use super::super::treasure::Belonging;
use crate::findspot::Side;

/// Examples shown with the help.
pub(in crate::cli) const EXAMPLES: &str = "\
Examples:
  lynchet record \"silver, 17 mm, 1.2 g, long cross, reads EDW R\" --number 12 --found 2026-03-01
  lynchet record \"silver, 18 mm, long cross\" --findspot \"TG 51409 13177\" --method \"metal detector\" --landuse ploughed
  lynchet record \"silver, 18 mm, reads EDW R\" --as sterling-3g --by officer
  lynchet record \"copper alloy, 5.62 g, cast\" --object \"strap buckle\" --made 1250-1400 --length 21.4
  lynchet record \"silver, 17 mm, reads EDW R\" --form html --to draft.html
  lynchet record \"silver, 17 mm, reads EDW R\" --obverse front.jpg --reverse back.jpg --form pdf --to draft.pdf
  lynchet record \"silver, 17 mm, reads EDW R\" --number 12 --obverse front.jpg --pack officer.zip
  lynchet record --table finds.csv --form csv > drafts.csv
  lynchet record --hoard finds.csv --found 2026-03-01 --findspot \"TG 514 131\" --form pdf --to group.pdf
  lynchet record --print-template > mine.txt

Every field says what it rests on: measured, read, seen, told, inferred (with its chance), open or
blank. The plain text is yours and holds all; every other form is cut to squares of 1 km and leaves
names out, unless --exact-findspot, --findspot-to and --with-names say otherwise.
Columns of a table: those of batch, and number, found, findspot, method, landuse, finder, landowner,
consent, depth, group, moneyer, notes, images, as, by, object, made.
Exit code: 0 a draft, 1 a draft of which nothing in the library fits, 2 a fault, or rows of a table
that could not be used whole.";

/// What is told of the circumstances.
#[derive(ClapArgs, Clone, Debug, Default)]
#[command(next_help_heading = "Where, when and how")]
pub(super) struct ToldFlags {
    /// Your number for the find
    #[arg(long)]
    pub(super) number: Option<String>,
    /// The day it was found: 2026-03-01, 2026-03 or 2026
    #[arg(long, value_name = "DAY")]
    pub(super) found: Option<String>,
    /// Where it lay: a grid reference, or latitude and longitude
    #[arg(long, allow_hyphen_values = true)]
    pub(super) findspot: Option<String>,
    /// How it was found: metal detector, field walking, gardening, building, agricultural, chance,
    /// excavation, other
    #[arg(long)]
    pub(super) method: Option<String>,
    /// What the land is used for: cultivated, ploughed, cropped, grassland, woodland, heath,
    /// fresh water, coastland, other
    #[arg(long)]
    pub(super) landuse: Option<String>,
    /// Who found it: stands in the plain text alone unless --with-names
    #[arg(long)]
    pub(super) finder: Option<String>,
    /// Whose land it is: stands in the plain text alone unless --with-names
    #[arg(long)]
    pub(super) landowner: Option<String>,
    /// What the landowner has agreed to
    #[arg(long)]
    pub(super) consent: Option<String>,
    /// How deep it lay: 20 cm
    #[arg(long, allow_hyphen_values = true)]
    pub(super) depth: Option<String>,
    /// The group or hoard that it belongs to
    #[arg(long)]
    pub(super) group: Option<String>,
    /// The moneyer, where the name was read
    #[arg(long)]
    pub(super) moneyer: Option<String>,
    /// Anything else
    #[arg(long = "note", value_name = "TEXT")]
    pub(super) notes: Vec<String>,
    /// A photograph, by its name
    #[arg(long = "image", value_name = "NAME")]
    pub(super) images: Vec<String>,
    /// What a person decided it is: ids of a type, ruler, denomination, period or mint
    #[arg(long = "as", value_name = "ID")]
    pub(super) decided: Vec<String>,
    /// Who decided: finder, officer, or a name
    #[arg(long, requires = "decided")]
    pub(super) by: Option<String>,
}

/// What only an artefact has.
#[derive(ClapArgs, Clone, Debug, Default)]
#[command(next_help_heading = "An artefact")]
pub(super) struct ArtefactFlags {
    /// It is no coin: what it is, in one term ("strap buckle"); bare where you do not know
    #[arg(long, value_name = "TYPE", num_args = 0..=1, default_missing_value = "")]
    pub(super) object: Option<String>,
    /// When it was made: 1250-1400, 800 BC-AD 43, 13th century, Bronze Age
    #[arg(
        long,
        requires = "object",
        value_name = "YEARS",
        allow_hyphen_values = true
    )]
    pub(super) made: Option<String>,
    /// Its shape, one view each ("outline: oval frame", "section: D-shaped")
    #[arg(long, requires = "object", value_name = "VIEW")]
    pub(super) shape: Vec<String>,
    /// Decoration: technique, then motif
    #[arg(long, requires = "object", value_name = "TEXT")]
    pub(super) decoration: Vec<String>,
    /// How it was fixed to something
    #[arg(long, requires = "object", value_name = "TEXT")]
    pub(super) attachment: Option<String>,
    /// Breaks, and whether they are old or new
    #[arg(long, requires = "object", value_name = "TEXT")]
    pub(super) damage: Option<String>,
    /// Colour, patina, tinning, gilding, enamel
    #[arg(long, requires = "object", value_name = "TEXT")]
    pub(super) surface: Option<String>,
    /// Length in millimetres; of a broken thing what is left of it
    #[arg(long, requires = "object", allow_hyphen_values = true)]
    pub(super) length: Option<String>,
    /// Width in millimetres
    #[arg(long, requires = "object", allow_hyphen_values = true)]
    pub(super) width: Option<String>,
    /// A like thing that was published, with its reference
    #[arg(long = "parallel", requires = "object", value_name = "TEXT")]
    pub(super) parallels: Vec<String>,
    /// What it was for
    #[arg(long, requires = "object", value_name = "TEXT")]
    pub(super) interpretation: Option<String>,
}

/// Several pieces of one hole.
#[derive(ClapArgs, Clone, Debug, Default)]
#[command(next_help_heading = "A group from one hole")]
pub(super) struct GroupFlags {
    /// Draft a group: a table of its pieces (CSV), or a piece in words, as to hoard; may be repeated
    #[arg(
        long = "hoard",
        value_name = "TABLE or WORDS",
        conflicts_with_all = ["table", "words", "object", "decided"],
    )]
    pub(super) pieces: Vec<String>,
    /// How they lay to one another: which touched, in what order
    #[arg(long, requires = "pieces", value_name = "WORDS")]
    pub(super) lay: Option<String>,
    /// Whether they belong together
    #[command(flatten)]
    pub(super) belonging: Belonging,
}

/// Photographs of the find.
#[derive(ClapArgs, Clone, Debug, Default)]
#[command(next_help_heading = "Photographs, for --form pdf and --pack")]
pub(super) struct PictureFlags {
    /// A photograph of the obverse (JPEG, PNG or WebP), on plain ground
    #[arg(long, value_name = "FILE")]
    pub(super) obverse: Option<PathBuf>,
    /// A photograph of the reverse
    #[arg(long, value_name = "FILE")]
    pub(super) reverse: Option<PathBuf>,
    /// Another view; may be repeated
    #[arg(long = "view", value_name = "FILE")]
    pub(super) views: Vec<PathBuf>,
    /// Millimetres a pixel, as measured, once for all views or once a view [default: the largest
    /// width of each view is the diameter, or the largest measure of an artefact]
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub(super) mm_per_pixel: Vec<String>,
    /// A point on the find, where other things lie in the picture; once a view
    #[arg(long, value_name = "X,Y", allow_hyphen_values = true)]
    pub(super) find_at: Vec<String>,
    /// Leave the ground of the plate as it is, instead of making it white
    #[arg(long)]
    pub(super) keep_ground: bool,
    /// Pack the photographs without a plate
    #[arg(long)]
    pub(super) no_plate: bool,
}

impl PictureFlags {
    /// Each view's name and file: obverse, reverse, then the others.
    pub(super) fn named(&self) -> Vec<(String, &Path)> {
        let faces = [("obverse", &self.obverse), ("reverse", &self.reverse)];
        let faces = faces
            .into_iter()
            .filter_map(|(name, file)| Some((name.to_string(), file.as_deref()?)));
        let views = self.views.iter().enumerate();
        let views = views.map(|(at, file)| (format!("view-{}", at + 1), file.as_path()));
        faces.chain(views).collect()
    }
}

/// Form of a draft.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Form {
    /// Plain text, by a template
    Text,
    /// A page to print
    Html,
    /// A document to print at true scale, with the plate
    Pdf,
    /// A table, one row a find
    Csv,
    /// Linked data with open ids
    JsonLd,
    /// The legends in EpiDoc
    Epidoc,
    /// All of it for programs
    Json,
}

/// How coarse a findspot is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Coarse {
    /// Squares of 1 km, four figures
    #[value(name = "1km")]
    Kilometre,
    /// Squares of 10 km, two figures
    #[value(name = "10km")]
    TenKilometres,
}

impl Coarse {
    /// The side of the squares.
    pub(super) fn side(self) -> Side {
        match self {
            Coarse::Kilometre => Side::Kilometre,
            Coarse::TenKilometres => Side::TenKilometres,
        }
    }
}

/// Arguments of `record`.
#[derive(ClapArgs, Debug)]
pub(in crate::cli) struct RecordArgs {
    /// The find in your own words
    #[arg(value_name = "WORDS", conflicts_with = "table")]
    pub(super) words: Vec<String>,
    /// The traits by flag
    #[command(flatten)]
    pub(super) traits: TraitFlags,
    /// What is told of it
    #[command(flatten)]
    pub(super) told: ToldFlags,
    /// What only an artefact has
    #[command(flatten)]
    pub(super) artefact: ArtefactFlags,
    /// What only a group has
    #[command(flatten)]
    pub(super) group: GroupFlags,
    /// Photographs
    #[command(flatten)]
    pub(super) pictures: PictureFlags,
    /// Draft every find of a table (CSV with a heading line; - for standard input); flags under
    /// "Where, when and how" hold for all rows that do not say otherwise
    #[arg(long, value_name = "FILE", help_heading = "Options")]
    pub(super) table: Option<PathBuf>,
    /// Form of the draft [default: text]
    #[arg(long, value_enum, help_heading = "Options")]
    pub(super) form: Option<Form>,
    /// The same as --form json
    #[arg(long, conflicts_with = "form", help_heading = "Options")]
    pub(super) json: bool,
    /// Write it into this file
    #[arg(long, value_name = "FILE", group = "written", help_heading = "Options")]
    pub(super) to: Option<PathBuf>,
    /// Write a pack for the officer: the PDF, text, table, linked data, legends, plate and
    /// photographs in one zip file
    #[arg(
        long,
        value_name = "FILE",
        group = "written",
        conflicts_with_all = ["form", "json"],
        help_heading = "Options"
    )]
    pub(super) pack: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long, requires = "written", help_heading = "Options")]
    pub(super) force: bool,
    /// Make the plain text by this template
    #[arg(long, value_name = "FILE", help_heading = "Options")]
    pub(super) template: Option<PathBuf>,
    /// Print a template with every field, to be edited
    #[arg(long, help_heading = "Options")]
    pub(super) print_template: bool,
    /// Cut the findspot to squares of this side, in the plain text as well
    #[arg(long, value_name = "SIDE", help_heading = "Options")]
    pub(super) findspot_to: Option<Coarse>,
    /// Keep the findspot as it was given, in every form
    #[arg(long, conflicts_with = "findspot_to", help_heading = "Options")]
    pub(super) exact_findspot: bool,
    /// Keep the names of finder and landowner, in every form
    #[arg(long, help_heading = "Options")]
    pub(super) with_names: bool,
    /// Draft as if today were this day [default: by the machine's clock]
    #[arg(long, value_name = "DAY", help_heading = "Options")]
    pub(super) today: Option<String>,
}

impl RecordArgs {
    /// The form asked for.
    pub(super) fn form(&self) -> Form {
        match self.json {
            true => Form::Json,
            false => self.form.unwrap_or(Form::Text),
        }
    }
}
