//! The flow: blocks one under the other on pages of A4, in mm from the upper left.
//!
//! Breaks pages and knows where the next block begins; draws nothing and knows no draft.
//!
//! Invariant: nothing stands outside the margins, and a document has a bounded number of pages.

use super::letters::{Face, POINT};
use crate::photo::{Picture, Point};

/// The sheet, mm (ISO 216: A4).
pub(super) const SHEET: Point = [210.0, 297.0];
/// Left and right margin, mm.
pub(super) const SIDE: f64 = 18.0;
/// Upper margin, mm.
pub(super) const TOP: f64 = 17.0;
/// Where the body ends and the foot begins, mm from the top.
pub(super) const END: f64 = 272.0;
/// Width of the body, mm.
pub(super) const BODY: f64 = SHEET[0] - 2.0 * SIDE;
/// Most pages of a document.
pub(super) const PAGES_MOST: usize = 4000;

/// How dark: of 255, 0 is black.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::cli) enum Tone {
    /// What is to be read.
    Ink,
    /// What stands beside it.
    Quiet,
    /// Rules.
    Line,
    /// The white steps of a bar.
    White,
}

/// Something drawn.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::cli) enum Mark {
    /// A line of words: the left end of its baseline.
    Words {
        words: String,
        at: Point,
        size: f64,
        tone: Tone,
        strong: bool,
    },
    /// A filled rectangle: upper left and size.
    Block { at: Point, size: Point, tone: Tone },
    /// A picture: upper left and size.
    Image {
        picture: std::rc::Rc<Picture>,
        at: Point,
        size: Point,
    },
}

/// What a thing on the page is, for those who hear it.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::cli) enum Part {
    /// The heading of a find.
    Title,
    /// The heading of a list or table.
    Heading,
    /// A paragraph, by its number.
    Paragraph(usize),
    /// A cell of the table of fields: find, row, column.
    Cell(usize, usize, usize),
    /// An entry of a list: the list's number, the entry's.
    Entry(usize, usize),
    /// A picture, and what it shows.
    Figure(String),
    /// Nothing to be heard: rules, the foot.
    Trim,
}

/// A thing on a page.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::cli) struct Thing {
    /// What it is.
    pub part: Part,
    /// What is drawn for it.
    pub marks: Vec<Mark>,
}

/// Pages as they fill.
pub(super) struct Flow<'f> {
    pub face: &'f Face,
    /// Pages, each with its things in the order in which they are read.
    pub pages: Vec<Vec<Thing>>,
    /// Where the next block begins, mm from the top.
    pub down: f64,
    /// Letters that the font lacks were met.
    pub lacking: bool,
    count: usize,
}

/// How words are set.
#[derive(Clone, Copy)]
pub(super) struct Set {
    /// Left edge, mm.
    pub left: f64,
    /// Width, mm.
    pub width: f64,
    /// Size of the letters, points.
    pub size: f64,
    pub tone: Tone,
    pub strong: bool,
}

impl Set {
    /// From one line to the next, mm.
    pub(super) fn step(&self) -> f64 {
        self.size * POINT * 1.32
    }
}

impl<'f> Flow<'f> {
    pub(super) fn new(face: &'f Face) -> Flow<'f> {
        Flow {
            face,
            pages: Vec::new(),
            down: END,
            lacking: false,
            count: 0,
        }
    }

    /// A number that no other paragraph or list has.
    pub(super) fn fresh(&mut self) -> usize {
        self.count += 1;
        self.count
    }

    /// Begins a new page.
    pub(super) fn turn(&mut self) {
        self.pages.push(Vec::new());
        self.down = TOP;
    }

    /// Begins a new page unless there is room for so many mm.
    pub(super) fn needs(&mut self, height: f64) {
        if self.pages.is_empty() || (self.down + height > END && self.down > TOP) {
            self.turn();
        }
    }

    /// True when more pages were begun than a document may have.
    pub(super) fn too_long(&self) -> bool {
        self.pages.len() > PAGES_MOST
    }

    /// Puts a thing on the page at hand.
    pub(super) fn put(&mut self, part: Part, marks: Vec<Mark>) {
        if let Some(page) = self.pages.last_mut() {
            page.push(Thing { part, marks });
        }
    }

    /// Words in lines.
    pub(super) fn lines(&mut self, text: &str, set: Set) -> Vec<String> {
        let (shown, lacking) = self.face.legible(text);
        self.lacking |= lacking;
        self.face.wrapped(&shown, set.width, set.size)
    }

    /// Lines put one under the other, over pages where they must.
    pub(super) fn block(&mut self, part: Part, text: &str, set: Set) {
        for line in self.lines(text, set) {
            if self.too_long() {
                return;
            }
            self.needs(set.step());
            let mark = line_at(line, set, self.down);
            self.put(part.clone(), vec![mark]);
            self.down += set.step();
        }
    }
}

/// A line with its upper edge at a height.
pub(super) fn line_at(words: String, set: Set, top: f64) -> Mark {
    Mark::Words {
        words,
        at: [set.left, top + set.size * POINT],
        size: set.size,
        tone: set.tone,
        strong: set.strong,
    }
}
