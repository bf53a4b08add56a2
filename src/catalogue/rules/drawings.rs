//! Rule `drawings`: a drawing is named for what it shows and is plain line work.
//!
//! Demands that a file of `drawings/` is `classes/<id>.svg`, `forms/<id>.svg` or `motifs/<id>.svg`
//! for a class, a form or a motif of the library; that it is at most 1,500 bytes; and that it is written as
//! `drawings/README.md` says: the common first line, the name as title, then one element a line,
//! of the few shapes, with figures of one decimal and no colour but that of the text around.
//!
//! Why: drawings are shown side by side, small, on light ground and on dark, and go into pages as
//! they are; one that brings a script, a colour or a style of its own would spoil that.
//!
//! To mend: name the file for its row; draw it with the shapes and attributes listed.

use super::super::drawings::{Drawn, drawing_path};
use super::super::fault::Fault;
use super::super::packed::is_drawing;
use super::Library;

/// Largest drawing, in bytes.
const LARGEST: usize = 1500;

/// The first line of every drawing.
const FIRST: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 64 64\" fill=\"none\" \
    stroke=\"currentColor\" stroke-width=\"2\" stroke-linecap=\"round\" stroke-linejoin=\"round\">";

/// What may be drawn with.
const SHAPES: [&str; 8] = [
    "circle", "ellipse", "g", "line", "path", "polygon", "polyline", "rect",
];

/// Attributes that hold figures.
const FIGURES: [&str; 15] = [
    "cx",
    "cy",
    "height",
    "points",
    "r",
    "rx",
    "ry",
    "stroke-width",
    "width",
    "x",
    "x1",
    "x2",
    "y",
    "y1",
    "y2",
];

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    let drawn = library.files.range("drawings/".to_string()..);
    for (file, text) in drawn.take_while(|(file, _)| file.starts_with("drawings/")) {
        let Some(name) = shown(file, library) else {
            let what = "the drawing is named for no class, no form and no motif";
            let mend =
                "name it classes/<id>.svg, forms/<id>.svg or motifs/<id>.svg, or take it out";
            faults.push(Fault::at("drawings", file, "", "", what, mend));
            continue;
        };
        if text.len() > LARGEST {
            let what = format!("the drawing has {} bytes, more than {LARGEST}", text.len());
            let mend = "draw it with fewer points";
            faults.push(Fault::at("drawings", file, "", "", what, mend));
        }
        if let Some((line, what)) = first_breach(text, name) {
            let mend = "write it as drawings/README.md says";
            let mut fault = Fault::at("drawings", file, "", "", what, mend);
            fault.line = line;
            faults.push(fault);
        }
    }
    faults
}

/// The name of the class, form or motif that a file is named for.
fn shown<'a>(file: &str, library: &Library<'a>) -> Option<&'a str> {
    let id = is_drawing(file).then(|| file.rsplit('/').next())??;
    let id = id.trim_end_matches(".svg");
    let kind = Drawn::ALL
        .into_iter()
        .find(|kind| drawing_path(*kind, id) == file)?;
    match kind {
        Drawn::Class => {
            let row = library.things.classes.iter().find(|row| row.id == id)?;
            Some(&row.fields.name)
        }
        Drawn::Form => {
            let row = library.things.forms.iter().find(|row| row.id == id)?;
            Some(&row.fields.name)
        }
        Drawn::Motif => {
            let row = library.raw.motifs.iter().find(|row| row.id == id)?;
            Some(&row.fields.name)
        }
    }
}

/// The first line, from 1, that is not as it should be, and what is wrong with it.
fn first_breach(text: &str, name: &str) -> Option<(usize, String)> {
    let title = name.replace('&', "&amp;").replace('<', "&lt;");
    let title = format!("<title>{}</title>", title.replace('>', "&gt;"));
    let count = text.lines().count();
    let mut open = 0_usize;
    for (at, line) in text.lines().enumerate() {
        let wrong = match at {
            0 => (line != FIRST).then(|| "the first line is not that of every drawing".to_string()),
            1 => (line != title).then(|| format!("the second line is not {title}")),
            _ if at + 1 == count => {
                (line != "</svg>" || open > 0).then(|| "the last line does not end it".to_string())
            }
            _ => step(line, &mut open).err(),
        };
        if let Some(what) = wrong {
            return Some((at + 1, what));
        }
    }
    (count < 4).then(|| (count.max(1), "the drawing shows nothing".to_string()))
}

/// Reads one line between title and end, `open` being how many groups it stands within.
fn step(line: &str, open: &mut usize) -> Result<(), String> {
    if line == "</g>" {
        *open = open.checked_sub(1).ok_or("no group is open here")?;
        return Ok(());
    }
    let tag = line.strip_prefix('<').and_then(|l| l.strip_suffix('>'));
    let tag = tag.filter(|tag| !tag.contains(['<', '>']));
    let tag = tag.ok_or("the line is not one element")?;
    let (tag, whole) = match tag.strip_suffix('/') {
        Some(tag) => (tag, true),
        None => (tag, false),
    };
    let (name, attributes) = tag.split_once(' ').unwrap_or((tag, ""));
    if !SHAPES.contains(&name) {
        return Err(format!("`{name}` is no element to draw with"));
    }
    if whole == (name == "g") {
        return Err(format!("`{name}` is not closed as it should be"));
    }
    *open += usize::from(name == "g");
    let mut rest = attributes;
    while !rest.is_empty() {
        let (key, after) = rest.split_once("=\"").ok_or("an attribute has no value")?;
        let (value, after) = after.split_once('"').ok_or("a value is not closed")?;
        if !fits(key, value) {
            return Err(format!("{key}=\"{value}\" is no attribute to draw with"));
        }
        rest = after.strip_prefix(' ').unwrap_or(after);
    }
    Ok(())
}

/// True where an attribute may be given and may have this value.
fn fits(key: &str, value: &str) -> bool {
    match key {
        "fill" | "stroke" => matches!(value, "none" | "currentColor"),
        "d" => figures(value, "MLHVCQAZ"),
        "fill-opacity" | "stroke-opacity" => {
            value.len() <= 4 && value.parse().is_ok_and(|share: f32| share <= 1.0)
        }
        key => FIGURES.contains(&key) && figures(value, ""),
    }
}

/// True for figures of at most one decimal, with commas, blanks and these letters between them.
fn figures(value: &str, letters: &str) -> bool {
    let between = |c: char| c == ' ' || c == ',' || letters.contains(c);
    !value.is_empty()
        && value.split(between).all(|figure| {
            let decimals = figure.split_once('.').map_or("", |(_, decimals)| decimals);
            let whole = figure.chars().all(|c| matches!(c, '0'..='9' | '.' | '-'));
            whole && decimals.len() <= 1 && (figure.is_empty() || figure.parse::<f32>().is_ok())
        })
}
