//! What was taken for the find, drawn for the finder to check.
//!
//! Draws the outline and the scale's points over a copy of the picture, or by themselves as SVG.
//! Measures nothing.
//!
//! Invariant: what is drawn is the ring that was measured.

use std::fmt::Write;
use std::path::Path;

use super::from;
use crate::cli::error::Trouble;
use crate::photo::{Form, Outline, Picture, Point, Scale, packed, thumbnail};

/// Longer side of the copy, in pixels.
const LONGEST: usize = 1600;
const RING: [u8; 3] = [255, 0, 200];
const MARK: [u8; 3] = [0, 200, 255];

/// Refuses a name whose ending is none of the forms.
pub(super) fn form(file: &Path) -> Result<Option<Form>, Trouble> {
    let ending = file
        .extension()
        .and_then(|ending| ending.to_str())
        .unwrap_or_default();
    let form = Form::by_ending(ending);
    if form.is_none() && !ending.eq_ignore_ascii_case("svg") {
        return Err(Trouble::new(
            format!(
                "{}: what form to draw does not show in the name",
                file.display()
            ),
            "name a file that ends in .png, .jpg or .svg",
        ));
    }
    Ok(form)
}

/// The drawing as the bytes of a file.
pub(super) fn drawn(
    picture: &Picture,
    objects: &[&Outline],
    scale: &Scale,
    file: &Path,
) -> Result<Vec<u8>, Trouble> {
    let points: Vec<Point> = match scale {
        Scale::Marks(marks) => marks.iter().map(|mark| mark.0).collect(),
        Scale::Coins(coins) => coins.iter().filter_map(|coin| coin.1).collect(),
    };
    let Some(form) = form(file)? else {
        return Ok(svg(picture, objects, &points).into_bytes());
    };
    let mut copy = thumbnail(picture, LONGEST);
    let times = copy.width as f64 / picture.width as f64;
    for object in objects {
        for (a, b) in object.ring.iter().zip(object.ring.iter().cycle().skip(1)) {
            line(
                &mut copy,
                [a[0] * times, a[1] * times],
                [b[0] * times, b[1] * times],
                RING,
            );
        }
    }
    for point in points {
        let [x, y] = [point[0] * times, point[1] * times];
        line(&mut copy, [x - 8.0, y], [x + 8.0, y], MARK);
        line(&mut copy, [x, y - 8.0], [x, y + 8.0], MARK);
    }
    packed(&copy, form, None).map_err(from)
}

fn line(picture: &mut Picture, from: Point, to: Point, colour: [u8; 3]) {
    let steps = ((to[0] - from[0]).abs().max((to[1] - from[1]).abs()).ceil() as usize).max(1);
    for step in 0..=steps {
        let share = step as f64 / steps as f64;
        let x = (from[0] + share * (to[0] - from[0])).round() as isize;
        let y = (from[1] + share * (to[1] - from[1])).round() as isize;
        if x >= 0 && y >= 0 && x < picture.width as isize && y < picture.height as isize {
            let at = 3 * (y as usize * picture.width + x as usize);
            picture.rgb[at..at + 3].copy_from_slice(&colour);
        }
    }
}

fn svg(picture: &Picture, objects: &[&Outline], points: &[Point]) -> String {
    let (width, height) = (picture.width, picture.height);
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" \
         height=\"{height}\">\n"
    );
    for object in objects {
        let mut path = String::new();
        for (at, [x, y]) in object.ring.iter().enumerate() {
            let letter = if at == 0 { 'M' } else { 'L' };
            // The middle of a pixel is a whole number here, and half way across it there.
            let _ = write!(path, "{letter}{:.2} {:.2}", x + 0.5, y + 0.5);
        }
        let _ = writeln!(
            text,
            "<path d=\"{path}Z\" fill=\"none\" stroke=\"#ff00c8\" stroke-width=\"1\"/>"
        );
    }
    for [x, y] in points {
        let _ = writeln!(
            text,
            "<circle cx=\"{:.2}\" cy=\"{:.2}\" r=\"4\" fill=\"none\" stroke=\"#00c8ff\"/>",
            x + 0.5,
            y + 0.5
        );
    }
    text.push_str("</svg>\n");
    text
}
