//! The plate: both faces of a find side by side at one scale, with a bar in mm.
//!
//! [`lay`] places views, bar and words in millimetres; `drawn` makes pixels of that. Whoever prints
//! in another way (a page of a record) takes the layout and draws it himself.
//!
//! Invariant: nothing overlaps, and every view is as large on the plate as in the hand, times the
//! enlargement.

use super::fault::{Fault, Kind};
use super::letters;
use super::outline::Outline;
use super::picture::{Picture, Point};
use super::write::scaled;

/// Bare ground about and between the pieces, mm.
const MARGIN: f64 = 5.0;
/// Height of the letters, mm.
const LETTERS: f64 = 3.0;
/// Largest find that is laid on a plate, mm.
pub const LARGEST: f64 = 300.0;
/// Most pixels of a plate.
const PIXELS_MOST: f64 = 40_000_000.0;
/// Most letters of a line.
pub const LETTERS_MOST: usize = 200;
/// Softness of a cut edge, in pixels of the photograph, each way.
const SOFT: f64 = 1.2;

/// One view of a find, cut from its photograph.
#[derive(Clone, Debug, PartialEq)]
pub struct View {
    /// The pixels, with some ground about the outline.
    pub picture: Picture,
    /// Millimetres a pixel.
    pub mm_a_pixel: f64,
}

/// A view on the plate.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its pixels.
    pub picture: Picture,
    /// Left and upper edge, mm from the plate's upper left.
    pub at: Point,
    /// Width and height on the plate, mm.
    pub size: Point,
}

/// The bar in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// Left end and upper edge, mm on the plate.
    pub at: Point,
    /// Length of one step on the plate, mm.
    pub step: f64,
    /// How many steps, black and white by turns, black first.
    pub steps: usize,
    /// Height on the plate, mm.
    pub height: f64,
    /// What it says: the true length.
    pub says: String,
}

/// A line of words.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// The words.
    pub words: String,
    /// Left end of the baseline, mm on the plate.
    pub at: Point,
    /// Size of the letters, mm.
    pub size: f64,
}

/// A plate, all in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// Width and height, mm.
    pub size: Point,
    /// Views, from the left.
    pub pieces: Vec<Piece>,
    /// The bar.
    pub bar: Bar,
    /// Words below.
    pub labels: Vec<Label>,
    /// How many times larger than the find: 1 or 2.
    pub times: f64,
}

/// A view cut along an outline, the ground beyond it made white when that is asked.
pub fn cut(picture: &Picture, outline: &Outline, mm_a_pixel: f64, white: bool) -> View {
    let bounds = |axis: usize| {
        let along = outline.ring.iter().map(|point| point[axis]);
        let (low, high) = along.fold((f64::MAX, f64::MIN), |(low, high), v| {
            (low.min(v), high.max(v))
        });
        let last = [picture.width, picture.height][axis] as f64 - 1.0;
        let about = if white { 3.0 } else { 0.04 * (high - low) };
        (
            ((low - about).floor().clamp(0.0, last)) as usize,
            ((high + about).ceil().clamp(0.0, last)) as usize,
        )
    };
    let ((left, right), (top, bottom)) = (bounds(0), bounds(1));
    let (width, height) = (right - left + 1, bottom - top + 1);
    let mut rgb = Vec::with_capacity(3 * width * height);
    for y in top..=bottom {
        let from = 3 * (y * picture.width + left);
        rgb.extend_from_slice(&picture.rgb[from..from + 3 * width]);
    }
    let mut view = Picture { width, height, rgb };
    if white {
        let ring: Vec<Point> = outline
            .ring
            .iter()
            .map(|point| [point[0] - left as f64, point[1] - top as f64])
            .collect();
        whiten(&mut view, &ring);
    }
    View {
        picture: view,
        mm_a_pixel,
    }
}

/// Makes white what lies beyond a ring, over a soft edge.
fn whiten(picture: &mut Picture, ring: &[Point]) {
    let covers = cover(picture.width, picture.height, ring);
    for (pixel, cover) in picture.rgb.chunks_exact_mut(3).zip(covers) {
        // Whole up to the border, where the photograph's own edge is, and gone soon beyond it.
        let cover = (2.0 * cover).min(1.0);
        for value in pixel {
            *value = (f32::from(*value) * cover + 255.0 * (1.0 - cover)).round() as u8;
        }
    }
}

/// How much of each pixel the ring holds, softened.
fn cover(width: usize, height: usize, ring: &[Point]) -> Vec<f32> {
    let mut raster = ab_glyph_rasterizer::Rasterizer::new(width, height);
    // The middle of a pixel is a whole number here, and half way across it there.
    let at =
        |point: &Point| ab_glyph_rasterizer::point(point[0] as f32 + 0.5, point[1] as f32 + 0.5);
    for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        raster.draw_line(at(a), at(b));
    }
    let mut covers = vec![0.0_f32; width * height];
    raster.for_each_pixel(|at, cover| {
        if let Some(place) = covers.get_mut(at) {
            *place = cover.abs().min(1.0);
        }
    });
    let side = (SOFT as f32).max(1.0) as isize;
    let mean = |from: &[f32], x: usize, y: usize, across: bool| {
        let (mut sum, mut count) = (0.0, 0.0);
        for off in -side..=side {
            let (x, y) = match across {
                true => (x as isize + off, y as isize),
                false => (x as isize, y as isize + off),
            };
            if x >= 0 && y >= 0 && x < width as isize && y < height as isize {
                sum += from[y as usize * width + x as usize];
            }
            count += 1.0;
        }
        sum / count
    };
    for across in [true, false] {
        let from = covers.clone();
        for y in 0..height {
            for x in 0..width {
                covers[y * width + x] = mean(&from, x, y, across);
            }
        }
    }
    covers
}

/// Lays a plate: views from the left in the order given (obverse first), bar and words below.
///
/// # Errors
///
/// When there is no view, a view is larger than [`LARGEST`], or words are too long or have letters
/// that cannot be drawn.
pub fn lay(views: Vec<View>, number: &str, name: &str, times: f64) -> Result<Plate, Fault> {
    if views.is_empty() {
        return Err(Fault::new(
            Kind::Figure,
            "plate: no view was given",
            "give at least one photograph",
        ));
    }
    for (field, words) in [("number", number), ("name", name)] {
        can_be_drawn(field, words)?;
    }
    let mut pieces = Vec::new();
    let (mut left, mut highest, mut widest) = (MARGIN, 0.0_f64, 0.0_f64);
    for view in views {
        let of = |pixels: usize| pixels as f64 * view.mm_a_pixel * times;
        let size = [of(view.picture.width), of(view.picture.height)];
        if size
            .iter()
            .any(|side| !side.is_finite() || *side > LARGEST * times || *side <= 0.0)
        {
            return Err(Fault::new(
                Kind::Figure,
                format!(
                    "plate: a view would be {:.0} x {:.0} mm",
                    size[0] / times,
                    size[1] / times
                ),
                format!("check its scale: finds of up to {LARGEST} mm are laid on a plate"),
            ));
        }
        highest = highest.max(size[1]);
        widest = widest.max(size[0].max(size[1]) / times);
        pieces.push(Piece {
            picture: view.picture,
            at: [left, MARGIN],
            size,
        });
        left += size[0] + MARGIN;
    }
    for piece in &mut pieces {
        piece.at[1] += (highest - piece.size[1]) / 2.0;
    }
    let step = if widest < 25.0 { 5.0 } else { 10.0 };
    let steps = ((0.8 * widest / step).round() as usize).clamp(2, 10);
    let says = format!("{} mm", step * steps as f64);
    let bar = Bar {
        at: [MARGIN, 2.0 * MARGIN + highest],
        step: step * times,
        steps,
        height: 1.5,
        says,
    };
    Ok(worded(pieces, bar, [left, highest], number, name, times))
}

/// Checks a line of words.
fn can_be_drawn(field: &str, words: &str) -> Result<(), Fault> {
    if words.chars().count() > LETTERS_MOST {
        return Err(Fault::new(
            Kind::Figure,
            format!("{field}: more than {LETTERS_MOST} letters"),
            "shorten it",
        ));
    }
    letters::checked(words, field)
}

fn worded(
    pieces: Vec<Piece>,
    bar: Bar,
    reach: Point,
    number: &str,
    name: &str,
    times: f64,
) -> Plate {
    let long = |words: &str, size: f64| f64::from(letters::width(words, 1000.0)) / 1000.0 * size;
    let end = bar.at[0] + bar.step * bar.steps as f64;
    let mut labels = vec![Label {
        words: bar.says.clone(),
        at: [end + 1.5, bar.at[1] + bar.height],
        size: LETTERS,
    }];
    let mut width = reach[0].max(end + 1.5 + long(&bar.says, LETTERS) + MARGIN);
    let mut baseline = bar.at[1] + bar.height + LETTERS + 2.5;
    for words in [number, name].into_iter().filter(|words| !words.is_empty()) {
        // A long line is written smaller rather than cut.
        let size = LETTERS * (180.0 / long(words, LETTERS)).min(1.0);
        width = width.max(2.0 * MARGIN + long(words, size));
        labels.push(Label {
            words: words.to_string(),
            at: [MARGIN, baseline],
            size,
        });
        baseline += LETTERS * 1.45;
    }
    Plate {
        size: [width, baseline - LETTERS * 1.45 + MARGIN],
        pieces,
        bar,
        labels,
        times,
    }
}

/// A plate as pixels.
///
/// # Errors
///
/// When it would have too many pixels.
pub fn drawn(plate: &Plate, dots_an_inch: u16) -> Result<Picture, Fault> {
    let dots = f64::from(dots_an_inch) / 25.4;
    let pixels = |mm: f64| (mm * dots).round().max(1.0) as usize;
    if plate.size[0] * plate.size[1] * dots * dots > PIXELS_MOST {
        return Err(Fault::new(
            Kind::TooLarge,
            format!(
                "plate: {:.0} x {:.0} mm at {dots_an_inch} dots an inch is too large",
                plate.size[0], plate.size[1]
            ),
            "use fewer dots an inch, or leave out --twice",
        ));
    }
    let mut sheet = Picture::plain(pixels(plate.size[0]), pixels(plate.size[1]), [255; 3]);
    for piece in &plate.pieces {
        let view = scaled(&piece.picture, pixels(piece.size[0]), pixels(piece.size[1]));
        paste(
            &mut sheet,
            &view,
            (piece.at[0] * dots).round() as usize,
            (piece.at[1] * dots).round() as usize,
        );
    }
    let bar = &plate.bar;
    let at = |mm: f64| (mm * dots).round() as usize;
    let (top, bottom) = (
        at(bar.at[1]),
        at(bar.at[1] + bar.height).max(at(bar.at[1]) + 3),
    );
    for step in 0..bar.steps {
        let from = at(bar.at[0] + bar.step * step as f64);
        let to = at(bar.at[0] + bar.step * (step + 1) as f64);
        fill(&mut sheet, [from, top, to, bottom], 0);
        if step % 2 == 1 {
            let line = (dots * 0.15).round().max(1.0) as usize;
            fill(
                &mut sheet,
                [
                    from,
                    top + line,
                    to - if step + 1 == bar.steps { line } else { 0 },
                    bottom - line,
                ],
                255,
            );
        }
    }
    for label in &plate.labels {
        let place = |mm: f64| (mm * dots) as f32;
        letters::draw(
            &mut sheet,
            &label.words,
            place(label.size),
            place(label.at[0]),
            place(label.at[1]),
        );
    }
    Ok(sheet)
}

fn paste(sheet: &mut Picture, view: &Picture, left: usize, top: usize) {
    let width = view.width.min(sheet.width.saturating_sub(left));
    for y in 0..view.height.min(sheet.height.saturating_sub(top)) {
        let to = 3 * ((top + y) * sheet.width + left);
        let from = 3 * y * view.width;
        sheet.rgb[to..to + 3 * width].copy_from_slice(&view.rgb[from..from + 3 * width]);
    }
}

fn fill(sheet: &mut Picture, [left, top, right, bottom]: [usize; 4], tone: u8) {
    let right = right.min(sheet.width);
    for y in top..bottom.min(sheet.height) {
        let row = 3 * y * sheet.width;
        if left < right {
            sheet.rgb[row + 3 * left..row + 3 * right].fill(tone);
        }
    }
}
