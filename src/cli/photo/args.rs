//! The arguments of `photo`.
//!
//! Definitions only.
//!
//! Invariant: what is written over needs --force, and an original is never written over.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Subcommand};

pub(in crate::cli) const EXAMPLES: &str = "\
Examples:
  lynchet photo measure coin.jpg --scale 120,340,720,352=30mm
  lynchet photo measure coin.jpg --marks \"120,340=0 320,344=10 521,348=20\" --thickness 1.2
  lynchet photo measure coin.jpg --corners \"100,90 900,96 896,600 98,594=85.6x53.98\"
  lynchet photo measure beside.jpg --beside 1p --outline seen.png
  lynchet photo plate front.jpg back.jpg --diameter 18.2 --number A-17 --name \"Penny\" -o plate.png
  lynchet photo thumbnail coin.jpg --within 320 -o small.jpg
  lynchet photo strip coin.jpg -o clean.jpg

Points are pixels from the upper left of the upright picture, as any picture program shows them.
Everything written is made from the pixels alone: where and when it was taken stays behind, and the
original is never changed. Do not clean a find for its photograph; a caliper is surer.
Exit code: 0 an answer, 2 a fault.";

/// Arguments of `photo`.
#[derive(ClapArgs, Debug)]
pub(in crate::cli) struct PhotoArgs {
    /// What to do with the photograph
    #[command(subcommand)]
    pub(super) verb: PhotoVerb,
}

/// What to do with a photograph.
#[derive(Debug, Subcommand)]
pub(super) enum PhotoVerb {
    /// Measure a find by something of known length beside it
    Measure(MeasureArgs),
    /// Lay both faces side by side at true scale with a bar in mm
    Plate(PlateArgs),
    /// Make a small copy
    Thumbnail {
        /// The photograph (JPEG, PNG or WebP)
        picture: PathBuf,
        /// The longer side in pixels
        #[arg(long, default_value_t = 320, value_name = "PIXELS")]
        within: usize,
        #[command(flatten)]
        to: ToArgs,
    },
    /// Make a copy that carries nothing but pixels
    Strip {
        /// The photograph (JPEG, PNG or WebP)
        picture: PathBuf,
        #[command(flatten)]
        to: ToArgs,
    },
}

/// Where a picture is written.
#[derive(ClapArgs, Debug)]
pub(super) struct ToArgs {
    /// The file to write, .jpg or .png
    #[arg(short = 'o', long = "to", value_name = "FILE")]
    pub(super) to: PathBuf,
    /// Write over a file that is there (never over the original)
    #[arg(long)]
    pub(super) force: bool,
}

/// Arguments of `photo measure`.
#[derive(ClapArgs, Debug)]
pub(super) struct MeasureArgs {
    /// The photograph (JPEG, PNG or WebP)
    pub(super) picture: PathBuf,
    /// Two points and the length between them: X1,Y1,X2,Y2=30mm
    #[arg(long, value_name = "POINTS", allow_hyphen_values = true)]
    pub(super) scale: Option<String>,
    /// Marks of a ruler with their mm: "x,y=0 x,y=10 x,y=20"
    #[arg(long, value_name = "MARKS", allow_hyphen_values = true)]
    pub(super) marks: Option<String>,
    /// Corners of a flat rectangle in order, and its sides: "x,y x,y x,y x,y=85.6x53.98"
    #[arg(long, value_name = "CORNERS", allow_hyphen_values = true)]
    pub(super) corners: Option<String>,
    /// A round modern coin beside it: 1p, 2p, 5p, 10p, £2; with a point on it as 1p@x,y; may be repeated
    #[arg(long, value_name = "COIN")]
    pub(super) beside: Vec<String>,
    /// A point on the find, where other things lie in the picture
    #[arg(long, value_name = "X,Y", allow_hyphen_values = true)]
    pub(super) find_at: Option<String>,
    /// Thickness of the find in mm, by caliper
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub(super) thickness: Option<String>,
    /// Greatest tilt of the camera that is allowed for, in degrees
    #[arg(
        long,
        default_value = "10",
        value_name = "DEGREES",
        allow_hyphen_values = true
    )]
    pub(super) tilt: String,
    /// The camera was at least so far off, in mm
    #[arg(
        long,
        default_value = "200",
        value_name = "MM",
        allow_hyphen_values = true
    )]
    pub(super) distance: String,
    /// How high the scale lies over the table, in mm [default: 0 to 1, unknown]
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub(super) raised: Option<String>,
    /// Draw what was taken for the find into this file (.png, .jpg or .svg)
    #[arg(long, value_name = "FILE")]
    pub(super) outline: Option<PathBuf>,
    /// Write the outline over a file that is there (never over the original)
    #[arg(long, requires = "outline")]
    pub(super) force: bool,
    /// Answer with JSON
    #[arg(long)]
    pub(super) json: bool,
}

/// Arguments of `photo plate`.
#[derive(ClapArgs, Debug)]
pub(super) struct PlateArgs {
    /// The photographs in order: obverse, reverse; or the views of a thing
    #[arg(required = true, value_name = "PICTURE")]
    pub(super) pictures: Vec<PathBuf>,
    /// Largest width of the find in mm; once for all views, or once a view
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub(super) diameter: Vec<String>,
    /// Millimetres a pixel, as measured; once for all views, or once a view
    #[arg(
        long,
        value_name = "MM",
        conflicts_with = "diameter",
        allow_hyphen_values = true
    )]
    pub(super) mm_per_pixel: Vec<String>,
    /// A point on the find, where other things lie in the picture; once a view
    #[arg(long, value_name = "X,Y", allow_hyphen_values = true)]
    pub(super) find_at: Vec<String>,
    /// The find's number
    #[arg(long, default_value = "")]
    pub(super) number: String,
    /// What it is
    #[arg(long, default_value = "")]
    pub(super) name: String,
    /// At twice its size
    #[arg(long)]
    pub(super) twice: bool,
    /// Leave the ground as it is, instead of making it white
    #[arg(long)]
    pub(super) keep_ground: bool,
    /// Dots an inch in print, 72 to 1200
    #[arg(long, default_value_t = 300, value_name = "DOTS")]
    pub(super) dpi: u16,
    #[command(flatten)]
    pub(super) to: ToArgs,
}
