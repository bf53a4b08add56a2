//! Keeping a find: from what was said at the bench to the shelf.
//!
//! Hears and judges through the house as the command line does; the shelf is the only writer.
//!
//! Invariant: a find that is refused is asked for again with everything that was typed, and nothing
//! is kept of it.

use maud::{Markup, html};

use super::asked::{Asked, Fields};
use super::bench::{LAND, WITHOUT};
use super::desk::Desk;
use super::find::{address, new_photographs};
use super::form::{Sheet, Wrong};
use super::page::{Place, token};
use super::reply::{Fault, Reply};
use super::routes::{Route, own, upload};
use crate::cli::shared::{Judged, Opened, decided, judged};
use crate::collect::{Entry, FindKind, Identified, NewFind, Shelf};
use crate::parse::Field;

/// Most bytes of a form with photographs: one of the largest and some smaller ones.
pub(super) const UPLOAD_MOST: usize = 96 * 1024 * 1024;

/// The addresses of keeping.
pub(super) const ROUTES: [Route; 2] = [own("/keep", asks), upload("/keep", UPLOAD_MOST, keeps)];

/// Fields that only things have, and whether it is a coin.
const THING: [(&str, &str); 7] = [
    ("kind", "Coin or thing"),
    ("class", "What sort of thing"),
    ("length", "Length, mm"),
    ("width", "Width, mm"),
    ("height", "Height, mm"),
    ("complete", "Whole"),
    ("period", "Period you take it for"),
];

fn asks(desk: &Desk, asked: &Asked) -> Reply {
    form(desk, asked, &asked.query, None).into()
}

fn keeps(desk: &Desk, asked: &Asked) -> Reply {
    match kept(desk, asked) {
        Ok(id) => Reply::Onward(address(&id)),
        Err(wrong) => Reply::from(form(desk, asked, &asked.form, Some(&wrong))).refused(),
    }
}

/// Keeps what the form says; gives the id of the find.
fn kept(desk: &Desk, asked: &Asked) -> Result<String, Wrong> {
    let typed = &asked.form;
    let mut entry = Entry::new(typed.get("id").unwrap_or("1"));
    let words: Vec<&str> = typed.all("words").collect();
    entry.words = words.join(", ");
    entry.said = said(typed);
    let photographs = new_photographs(asked)?;
    if entry.words.is_empty() && entry.said.is_empty() && photographs.is_empty() {
        return Err(Wrong::new(
            "words: nothing was said of the find",
            "say what you see, or add a photograph",
        ));
    }
    // Judged before the shelf is opened to write: that takes longest, and what fails makes none.
    if let (Some(land), Some(shelf)) = (typed.get(LAND), desk.shelf()?) {
        entry.land = Some(shelf.land(land)?.key);
    }
    let taught = typed.get(WITHOUT).is_none();
    let judged = judge_with(desk, &mut entry, true, taught)?;
    let stamp = desk.stamp()?;
    let mut shelf = desk.shelf_to_write(&asked.visitor)?;
    if typed.get("id").is_none() {
        entry.id = shelf.next_id()?;
    }
    tell(&mut entry, typed, &shelf)?;
    let mut new = NewFind::of(entry);
    new.identified = judged.identified;
    new.photographs = photographs;
    new.tags = tags(typed.get("tags").unwrap_or_default());
    let (whole, _) = shelf.add_find(&stamp, new)?;
    Ok(whole.entry.id)
}

/// Hears a find and identifies it where that is wanted, as the command line does: with what the
/// shelf teaches of its land, itself left out.
pub(super) fn judge(desk: &Desk, entry: &mut Entry, identify: bool) -> Result<Judged, Wrong> {
    judge_with(desk, entry, identify, true)
}

/// The same, with or without what the shelf teaches.
fn judge_with(
    desk: &Desk,
    entry: &mut Entry,
    identify: bool,
    taught: bool,
) -> Result<Judged, Wrong> {
    entry.kind = FindKind::Coin;
    let shelf = match identify && taught {
        true => desk.shelf()?,
        false => None,
    };
    // A find that is only to be kept has no key yet.
    let except = (entry.key > 0).then_some(entry.key);
    let learnt = shelf.map(|shelf| desk.learnt(&shelf, entry.land, except));
    let things = || desk.things();
    let opened = Opened::open(desk.house, &things);
    Ok(judged(
        entry,
        identify,
        learnt.transpose()?.flatten(),
        &opened,
    )?)
}

/// What a person says that a find is.
pub(super) fn decide(desk: &Desk, what: &str) -> Result<Identified, Wrong> {
    let things = || desk.things();
    Ok(decided(what, &Opened::open(desk.house, &things))?)
}

/// Tags that were typed with commas between them.
pub(super) fn tags(text: &str) -> Vec<String> {
    let parts = text.split(',').map(str::trim);
    let parts = parts.filter(|part| !part.is_empty());
    parts.map(str::to_string).collect()
}

/// What was said field by field, each under its name.
pub(super) fn said(typed: &Fields) -> Vec<(String, String)> {
    let mut said = Vec::new();
    let names = Field::traits().map(Field::name);
    for name in names.chain(THING.into_iter().map(|(name, _)| name)) {
        for text in typed.all(name) {
            // A field of several texts has a line for each.
            let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
            said.extend(lines.map(|line| (name.to_string(), line.to_string())));
        }
    }
    // The bench has its own name and words for it.
    match typed.get("is") {
        Some("thing") => said.push(("kind".into(), "artefact".into())),
        Some("coin") => said.push(("kind".into(), "coin".into())),
        _ => {}
    }
    if let Some(object) = typed.get("object") {
        said.push(("object".into(), object.into()));
    }
    said
}

/// Puts what is told beside the traits into a find; a blank field takes away what was there.
pub(super) fn tell(entry: &mut Entry, typed: &Fields, shelf: &Shelf) -> Result<(), Wrong> {
    let text = |name: &str| typed.get(name).map(str::to_string);
    entry.land = match typed.get("land") {
        Some(land) => Some(shelf.land(land)?.key),
        None => None,
    };
    entry.depth_cm = match typed.get("depth") {
        Some(depth) => Some(centimetres(depth)?),
        None => None,
    };
    entry.found_on = text("found");
    entry.findspot = text("at");
    entry.finder = text("finder");
    entry.grouped = text("group");
    entry.storage = text("storage");
    entry.official_number = text("official-number");
    entry.notes = text("notes").unwrap_or_default();
    Ok(())
}

fn centimetres(text: &str) -> Result<f64, Wrong> {
    let bare = text.trim_end_matches("cm").trim();
    bare.parse().map_err(|_| {
        let short: String = text.chars().take(40).collect();
        Wrong::new(
            &format!("depth: \"{short}\" is no number"),
            "write it as 20, or 20 cm",
        )
    })
}

fn form(desk: &Desk, asked: &Asked, typed: &Fields, wrong: Option<&Wrong>) -> Result<Reply, Fault> {
    let shelf = desk.shelf()?;
    let lands = lands(shelf.as_ref())?;
    let sheet = Sheet {
        name: "keep",
        typed,
        wrong,
    };
    Ok(Reply::Page {
        place: Place::Tray,
        title: "Keep a find".into(),
        body: html! {
            h1 { "Keep a find" }
            form.stack method="post" action="/keep" enctype="multipart/form-data" {
                (token(&asked.visitor))
                (sheet.head())
                (about_it(&sheet, &lands))
                div.field {
                    label for="keep-photographs" { "Photographs" }
                    input type="file" id="keep-photographs" name="photographs" multiple
                        accept="image/jpeg,image/png,image/webp";
                }
                (sheet.area("words", "The find in your words", ""))
                (traits(&sheet))
                (sheet.line("id", "Your own number for it", "Left empty, it gets the next number."))
                @if shelf.is_some() { (without(typed)) }
                button { "Keep it" }
            }
        },
    })
}

/// Whether what the shelf teaches is left out.
pub(super) fn without(typed: &Fields) -> Markup {
    html! {
        div.tick {
            input type="checkbox" id=(WITHOUT) name=(WITHOUT) value="yes" checked[typed.get(WITHOUT).is_some()];
            label for=(WITHOUT) { "Judge it without what my own finds teach" }
        }
    }
}

/// Land as choices.
pub(super) fn lands(shelf: Option<&Shelf>) -> Result<Vec<(String, String)>, Fault> {
    let Some(shelf) = shelf else {
        return Ok(Vec::new());
    };
    let lands = shelf.lands()?.into_iter().map(|land| {
        let shown = format!("{} ({})", land.name, land.id);
        let shown = match land.parent {
            Some(_) => format!("\u{2014} {shown}"),
            None => shown,
        };
        (land.id, shown)
    });
    Ok(lands.collect())
}

/// Where, when, by whom, and what becomes of it.
pub(super) fn about_it(sheet: &Sheet<'_>, lands: &[(String, String)]) -> Markup {
    html! {
        div.columns {
            (sheet.choice("land", "Land", "", "Not said", lands))
            (sheet.line("group", "Group", "Finds from one hole share a name."))
            (sheet.line("found", "Day it was found", "As 2026-03-14, 2026-03 or 2026."))
            (sheet.line("at", "Where it lay", "A grid reference, or latitude and longitude. Only you see it as it stands."))
        }
        details {
            summary { "Depth, finder, storage, notes" }
            div.columns {
                (sheet.line("depth", "Depth, cm", ""))
                (sheet.line("finder", "Finder", ""))
                (sheet.line("storage", "Box, drawer, album", ""))
                (sheet.line("official-number", "Number that the officer gave it", ""))
                (sheet.line("tags", "Tags", "With commas between them."))
            }
            (sheet.area("notes", "Notes", ""))
        }
    }
}

/// The traits, field by field.
pub(super) fn traits(sheet: &Sheet<'_>) -> Markup {
    let fields: Vec<Field> = Field::traits().collect();
    let given = |name: &&str| sheet.typed.get(name).is_some();
    let mut names = fields.iter().map(|one| one.name());
    let open = names.any(|name| given(&name)) || THING.iter().any(|(name, _)| given(name));
    let several = [
        Field::Treatment,
        Field::ObverseLegend,
        Field::ReverseLegend,
        Field::Legend,
        Field::ObverseMotif,
        Field::ReverseMotif,
        Field::Motif,
        Field::Absent,
        Field::Opinion,
        Field::FoundWith,
    ];
    let kinds = [
        ("coin".to_string(), "A coin".to_string()),
        ("artefact".to_string(), "No coin".to_string()),
    ];
    let whole = [("yes".to_string(), "All of it is there".to_string())];
    html! {
        details open[open] {
            summary { "What was measured, read and seen, field by field" }
            p.how { "Where a field has several lines, each line is one reading or one picture." }
            div.columns {
                @for field in &fields {
                    @if several.contains(field) { (sheet.lines(field.name(), &label(*field), "")) }
                    @else { (sheet.line(field.name(), &label(*field), "")) }
                }
                @for (name, text) in THING {
                    @match name {
                        "kind" => { (sheet.choice(name, text, "", "Not said", &kinds)) }
                        "complete" => { (sheet.choice(name, text, "", "Not said", &whole)) }
                        _ => { (sheet.line(name, text, "")) }
                    }
                }
            }
        }
    }
}

/// What a field is called.
pub(super) fn label(field: Field) -> String {
    match field {
        Field::Weight => "Weight, g".into(),
        Field::Diameter => "Diameter, mm".into(),
        Field::Thickness => "Thickness, mm".into(),
        Field::DieAxis => "Die axis, hours".into(),
        Field::Completeness => "How much is there".into(),
        Field::ObverseMotif => "Pictured on the front".into(),
        Field::ReverseMotif => "Pictured on the back".into(),
        Field::Motif => "Pictured, side not known".into(),
        Field::ObverseLegend => "Letters on the front".into(),
        Field::ReverseLegend => "Letters on the back".into(),
        Field::Legend => "Letters, side not known".into(),
        Field::Absent => "Looked for and not there".into(),
        Field::DateOnPiece => "Year that stands on it".into(),
        Field::Opinion => "What you think it is".into(),
        other => super::page::raised(&other.name().replace('-', " ")),
    }
}
