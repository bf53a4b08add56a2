//! The forms of land: new land, its facts, leave, people, bounds, restrictions, notes, days.
//!
//! Turns what was typed into values of the shelf, which holds them to what they may be.
//!
//! Invariant: a form that is refused stands open with what was typed in it.

use maud::{Markup, html};

use super::{address, held, listed, refused};
use crate::collect::{
    Barred, Boundary, Form, Holding, Land, LandKind, LandNote, Leave, NewDocument, OfLand, Person,
    Restriction, Role, SearchDay, Shelf,
};
use crate::record::Landuse;
use crate::web::asked::{Asked, Fields};
use crate::web::desk::Desk;
use crate::web::form::{Sheet, Wrong, plainly};
use crate::web::page::token;
use crate::web::reply::{Fault, Reply};

fn text(asked: &Asked, name: &str) -> Option<String> {
    asked.form.get(name).map(str::to_string)
}

fn landuse(asked: &Asked) -> Result<Option<String>, Wrong> {
    let Some(said) = asked.form.get("landuse") else {
        return Ok(None);
    };
    let read = Landuse::read(said);
    let read = read.ok_or_else(|| {
        Wrong::new(
            "landuse: this is none of the words for it",
            "choose one of the list",
        )
    })?;
    Ok(Some(read.text().into()))
}

pub(super) fn add(desk: &Desk, asked: &Asked) -> Reply {
    let wrong = match added(desk, asked) {
        Ok(id) => return Reply::Onward(address(&id)),
        Err(wrong) => wrong,
    };
    Reply::from(listed(desk, asked, Some(&wrong))).refused()
}

fn added(desk: &Desk, asked: &Asked) -> Result<String, Wrong> {
    let (stamp, landuse) = (desk.stamp()?, landuse(asked)?);
    let parent = asked.form.get("parent");
    let kind = match parent {
        Some(_) => LandKind::Field,
        None => LandKind::Holding,
    };
    let mut land = Land::new(
        asked.form.get("id").unwrap_or_default(),
        kind,
        asked.form.get("name").unwrap_or_default(),
    );
    land.landuse = landuse;
    land.country = text(asked, "country");
    let mut shelf = desk.shelf_to_write(&asked.visitor)?;
    land.parent = parent
        .map(|id| shelf.land(id))
        .transpose()?
        .map(|land| land.key);
    let owner = text(asked, "owner").map(|name| {
        OfLand::Person(Person {
            key: 0,
            land: None,
            role: Role::Owner,
            name,
            contact: None,
        })
    });
    let squares = text(asked, "squares");
    let squares = squares.map(|squares| OfLand::Boundary(bounds(Form::Squares, squares)));
    let with = owner.into_iter().chain(squares).collect();
    Ok(shelf.add_land_with(&stamp, land, with)?.id)
}

fn bounds(form: Form, text: String) -> Boundary {
    Boundary {
        key: 0,
        land: 0,
        form,
        text,
    }
}

/// Where it ends, as squares or as GeoJSON that was pasted or sent as a file.
fn boundary(asked: &Asked) -> Result<Boundary, Wrong> {
    let sent = asked.files.iter().find(|one| !one.bytes.is_empty());
    let sent = sent.map(|one| String::from_utf8(one.bytes.clone()));
    let sent = sent.transpose().map_err(|_| {
        Wrong::new(
            "geojson: the file is no text",
            "choose a GeoJSON file, saved as UTF-8",
        )
    })?;
    let given = [
        text(asked, "squares").map(|text| (Form::Squares, text)),
        text(asked, "geojson").map(|text| (Form::GeoJson, text)),
        sent.map(|text| (Form::GeoJson, text)),
    ];
    let mut given = given.into_iter().flatten();
    match (given.next(), given.next()) {
        (Some((form, text)), None) => Ok(bounds(form, text)),
        (None, _) => Err(Wrong::new(
            "squares: nothing was given",
            "give the squares, or the area as GeoJSON",
        )),
        (Some(_), Some(_)) => Err(Wrong::new(
            "squares: more than one way was used to say where it ends",
            "give the squares, paste GeoJSON or choose a file, one at a time",
        )),
    }
}

/// Does something to the land of the path.
fn done(
    desk: &Desk,
    asked: &Asked,
    form: &'static str,
    act: impl FnOnce(&str) -> Result<String, Wrong>,
) -> Reply {
    let id = match held(desk, asked) {
        Ok((_, one)) => one.land.id,
        Err(fault) => return fault.into(),
    };
    match act(&id) {
        Ok(id) => Reply::Onward(address(&id)),
        Err(wrong) => refused(desk, asked, form, wrong),
    }
}

pub(super) fn edit(desk: &Desk, asked: &Asked) -> Reply {
    done(desk, asked, "facts", |id| {
        let landuse = landuse(asked)?;
        let stamp = desk.stamp()?;
        let mut shelf = desk.shelf_to_write(&asked.visitor)?;
        let edited = shelf.edit_land(&stamp, id, |land| {
            land.id = text(asked, "id").unwrap_or(land.id.clone());
            land.name = text(asked, "name").unwrap_or(land.name.clone());
            land.landuse = landuse;
            land.country = text(asked, "country");
            land.notes = text(asked, "notes").unwrap_or_default();
        })?;
        Ok(edited.id)
    })
}

pub(super) fn leave(desk: &Desk, asked: &Asked) -> Reply {
    done(desk, asked, "leave", |id| {
        let leave = Leave {
            given_by: text(asked, "given-by"),
            from_day: text(asked, "from"),
            to_day: text(asked, "to"),
            terms: text(asked, "terms"),
            split: text(asked, "split"),
            ..Leave::default()
        };
        let sent = asked.files.iter().find(|one| !one.bytes.is_empty());
        let document = sent.map(|one| NewDocument {
            bytes: one.bytes.clone(),
            name: one.name.clone(),
        });
        let stamp = desk.stamp()?;
        let mut shelf = desk.shelf_to_write(&asked.visitor)?;
        shelf.keep_leave(&stamp, id, leave, document)?;
        Ok(id.to_string())
    })
}

/// Which of the smaller forms was sent.
fn sent(asked: &Asked) -> &'static str {
    let known = ["person", "boundary", "restriction", "note", "day"];
    let said = asked.form.get("what").unwrap_or_default();
    known.into_iter().find(|one| *one == said).unwrap_or("note")
}

pub(super) fn keep(desk: &Desk, asked: &Asked) -> Reply {
    done(desk, asked, sent(asked), |id| {
        let what = what(asked)?;
        let stamp = desk.stamp()?;
        let field = match &what {
            OfLand::Boundary(one) if one.form == Form::GeoJson => Some("geojson"),
            OfLand::Boundary(_) => Some("squares"),
            _ => None,
        };
        let mut shelf = desk.shelf_to_write(&asked.visitor)?;
        let kept = shelf.keep_for_land(&stamp, id, what).map_err(Wrong::from);
        kept.map_err(|wrong| match field {
            Some(field) => wrong.at(field),
            None => wrong,
        })?;
        Ok(id.to_string())
    })
}

fn what(asked: &Asked) -> Result<OfLand, Wrong> {
    let needed = |name: &str| text(asked, name).unwrap_or_default();
    Ok(match sent(asked) {
        "person" => OfLand::Person(Person {
            key: 0,
            land: None,
            role: Role::read(&needed("role"))?,
            name: needed("name"),
            contact: text(asked, "contact"),
        }),
        "boundary" => OfLand::Boundary(boundary(asked)?),
        "restriction" => OfLand::Restriction(Restriction {
            key: 0,
            land: 0,
            kind: Barred::read(&needed("kind"))?,
            note: text(asked, "note"),
            from_day: text(asked, "from"),
            to_day: text(asked, "to"),
        }),
        "day" => OfLand::SearchDay(SearchDay {
            day: needed("day"),
            hours: hours(asked)?,
            who: text(asked, "who"),
            text: text(asked, "text"),
            ..SearchDay::default()
        }),
        _ => OfLand::Note(LandNote {
            text: needed("note"),
            source: text(asked, "source"),
            day: text(asked, "day"),
            ..LandNote::default()
        }),
    })
}

fn hours(asked: &Asked) -> Result<Option<f64>, Wrong> {
    let Some(said) = asked.form.get("hours") else {
        return Ok(None);
    };
    let bare = said.trim_end_matches('h').trim();
    let read = bare
        .parse()
        .map_err(|_| Wrong::new("hours: this is no number", "write it as 4 or 2.5"));
    read.map(Some)
}

pub(super) fn remove(desk: &Desk, asked: &Asked) -> Reply {
    let made = held(desk, asked).map_err(Wrong::from).and_then(|(_, one)| {
        if asked.form.get("sure").is_none() {
            return Err(Wrong::new("nothing was removed", "tick that you are sure"));
        }
        let stamp = desk.stamp()?;
        let mut shelf = desk.shelf_to_write(&asked.visitor)?;
        Ok(shelf.remove_land(&stamp, &one.land.id)?)
    });
    match made {
        Ok(()) => Reply::Onward("/land".into()),
        Err(wrong) => refused(desk, asked, "remove", wrong),
    }
}

fn uses() -> Vec<(String, String)> {
    let all = Landuse::ALL.iter();
    all.map(|one| (one.text().to_string(), crate::web::page::raised(one.text())))
        .collect()
}

/// The form for new land.
pub(super) fn new_land(
    asked: &Asked,
    shelf: Option<&Shelf>,
    wrong: Option<&Wrong>,
) -> Result<Markup, Fault> {
    let lands = match shelf {
        Some(shelf) => shelf.lands()?,
        None => Vec::new(),
    };
    let holdings = lands
        .into_iter()
        .filter(|land| land.kind == LandKind::Holding);
    let holdings: Vec<(String, String)> = holdings.map(|land| (land.id, land.name)).collect();
    let sheet = Sheet {
        name: "new",
        typed: &asked.form,
        wrong,
    };
    Ok(html! {
        section aria-labelledby="new-h" {
            h2 id="new-h" { "New land" }
            form.stack method="post" action="/land" {
                (token(&asked.visitor))
                (sheet.head())
                div.columns {
                    (sheet.line("id", "Your short name for it", "As LONGACRE."))
                    (sheet.line("name", "Its name", ""))
                    (sheet.choice("parent", "A field of", "", "It is a holding by itself", &holdings))
                    (sheet.line("owner", "Owner", ""))
                    (sheet.line("squares", "Squares it lies in", "As SP 1234, SP 1235."))
                    (sheet.choice("landuse", "Used as", "", "Not said", &uses()))
                    (sheet.choice("country", "Country", "", "Not said", &countries()))
                }
                button { "Keep this land" }
            }
        }
    })
}

fn countries() -> Vec<(String, String)> {
    let words = [
        "England",
        "Wales",
        "Northern Ireland",
        "Scotland",
        "Isle of Man",
    ];
    words
        .map(|name| (name.to_string(), name.to_string()))
        .to_vec()
}

/// One form of a piece of land, folded up until it is wanted.
struct Folded<'f> {
    asked: &'f Asked,
    id: &'f str,
    wrong: Option<(&'static str, &'f Wrong)>,
}

impl Folded<'_> {
    fn sheet<'s>(&'s self, name: &'static str, blank: &'s Fields) -> Sheet<'s> {
        Sheet::among(name, blank, &self.asked.form, self.wrong)
    }

    fn form(&self, heading: &str, to: &str, sheet: &Sheet<'_>, fields: Markup) -> Markup {
        let brings = to == "leave" || sheet.name == "boundary";
        let files = brings.then_some("multipart/form-data");
        html! {
            details.form open[sheet.wrong.is_some()] {
                summary { (heading) }
                form.stack method="post" action=(format!("{}/{to}", address(self.id))) enctype=[files] {
                    (token(&self.asked.visitor))
                    @if to == "keep" { input type="hidden" name="what" value=(sheet.name); }
                    (sheet.head())
                    (fields)
                    button { @if to == "remove" { "Remove" } @else { "Keep" } }
                }
            }
        }
    }
}

/// Every form of a piece of land.
pub(super) fn of_land(
    desk: &Desk,
    asked: &Asked,
    one: &Holding,
    wrong: Option<(&'static str, &Wrong)>,
) -> Result<Markup, Fault> {
    let folded = Folded {
        asked,
        id: &one.land.id,
        wrong,
    };
    let blank = Fields::default();
    let today = Fields::of([("day", desk.today()?.iso())]);
    let leave = folded.sheet("leave", &blank);
    let day = folded.sheet("day", &today);
    let note = folded.sheet("note", &blank);
    Ok(html! {
        section aria-labelledby="forms-h" {
            h2 id="forms-h" { "Add and change" }
            (folded.form("Leave to search", "leave", &leave, html! {
                div.columns {
                    (leave.line("given-by", "Given by", ""))
                    (leave.line("from", "From", "As 2026-01-01."))
                    (leave.line("to", "Until", ""))
                    (leave.line("split", "How value is shared", ""))
                }
                (leave.area("terms", "Terms", ""))
                div.field {
                    label for="leave-document" { "The agreement itself" }
                    input type="file" id="leave-document" name="document" accept="application/pdf,text/plain";
                }
            }))
            (folded.form("A day of searching", "keep", &day, html! {
                div.columns {
                    (day.line("day", "Day", "As 2026-03-14."))
                    (day.line("hours", "Hours", ""))
                    (day.line("who", "Who searched", ""))
                }
                (day.area("text", "What was done", ""))
            }))
            (folded.form("A note", "keep", &note, html! {
                (note.area("note", "Note", "Crop marks, old maps, what people tell."))
                div.columns {
                    (note.line("source", "Where it is from", ""))
                    (note.line("day", "Day", ""))
                }
            }))
            (around(&folded))
            (facts(&folded, one))
        }
    })
}

/// Restrictions, people and bounds.
fn around(folded: &Folded<'_>) -> Markup {
    let blank = Fields::default();
    let mark = folded.sheet("restriction", &blank);
    let person = folded.sheet("person", &blank);
    let bound = folded.sheet("boundary", &blank);
    let kinds = plainly(Barred::ALL.iter().map(|one| one.word()));
    let roles = plainly(Role::ALL.iter().map(|one| one.word()));
    html! {
        (folded.form("A restriction", "keep", &mark, html! {
            div.columns {
                (mark.choice("kind", "What it is marked", "", "Choose", &kinds))
                (mark.line("from", "From", ""))
                (mark.line("to", "Until", ""))
            }
            (mark.area("note", "Which part, and more", ""))
        }))
        (folded.form("A person", "keep", &person, html! {
            div.columns {
                (person.choice("role", "Part", "", "Choose", &roles))
                (person.line("name", "Name", ""))
            }
            (person.area("contact", "How to reach them", ""))
        }))
        (folded.form("Where it ends", "keep", &bound, html! {
            (bound.line("squares", "Squares it lies in", "As SP 1234, SP 1235."))
            (bound.area("geojson", "Or its area as GeoJSON, pasted", "A Feature, FeatureCollection, Polygon or MultiPolygon in degrees, as mapping programs write it."))
            div.field {
                label for="boundary-file" { "Or as a file" }
                input type="file" id="boundary-file" name="file" accept=".geojson,.json,application/geo+json,application/json";
            }
        }))
    }
}

/// The land's own facts, and taking it away.
fn facts(folded: &Folded<'_>, one: &Holding) -> Markup {
    let land = &one.land;
    let mut held = Fields::of([
        ("id", &land.id),
        ("name", &land.name),
        ("notes", &land.notes),
    ]);
    for (name, text) in [("landuse", &land.landuse), ("country", &land.country)] {
        held.push(name, text.as_deref().unwrap_or_default());
    }
    let facts = folded.sheet("facts", &held);
    let blank = Fields::default();
    let remove = folded.sheet("remove", &blank);
    html! {
        (folded.form("Name, use, country", "edit", &facts, html! {
            div.columns {
                (facts.line("id", "Your short name for it", ""))
                (facts.line("name", "Its name", ""))
                (facts.choice("landuse", "Used as", "", "Not said", &uses()))
                (facts.choice("country", "Country", "", "Not said", &countries()))
            }
            (facts.area("notes", "Notes", ""))
        }))
        (folded.form("Remove this land", "remove", &remove, html! {
            p { "Only land without finds and fields can be removed. It can be taken back from the history." }
            (remove.tick("sure", "yes", "I am sure"))
        }))
    }
}
