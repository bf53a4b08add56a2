//! The draft of a find's record: on a page to read and print, as text, as one file, as a pack.
//!
//! Gathers what the shelf keeps and asks the record room; judges nothing. What is passed on is cut
//! to squares of 1 km and without names, unless the finder chooses otherwise on the page.
//!
//! Invariant: the page shows just what the files of the same choice hold.

use maud::{Markup, html};

use super::{address, found, photos};
use crate::House;
use crate::cli::shared::{Described, heard, of_leave, officers_pack};
use crate::collect::{FindKind, Role, Shelf, Whole};
use crate::findspot;
use crate::parse::{self, Field};
use crate::record::{
    Circumstances, Draft, Kind, Landuse, Sharing, Standing, Told, html as whole_page, text,
};
use crate::treasure::{CalendarDay, When};
use crate::web::asked::{Asked, Fields};
use crate::web::desk::Desk;
use crate::web::form::{Sheet, square, squares};
use crate::web::page::{Place, sentence};
use crate::web::reply::{Fault, Reply};

/// The draft of a find on the shelf.
pub(in crate::web) fn drafted(
    shelf: &Shelf,
    whole: &Whole,
    house: &House,
    today: CalendarDay,
) -> Result<Draft, Fault> {
    let entry = &whole.entry;
    let (find, remarks) = heard(entry, house);
    let said = entry.said.iter();
    let said = said.filter_map(|(name, text)| Some((Field::column(name)?, text.clone())));
    let mut said: Vec<(Field, String)> = said.collect();
    said.push((Field::Words, entry.words.clone()));
    let described = Described {
        kind: match entry.kind {
            FindKind::Coin => Kind::Coin,
            FindKind::Artefact => Kind::Artefact,
        },
        find: &find,
        said: &said,
        remarks: &remarks,
        told: &told(whole, house),
        circumstances: &circumstances(shelf, whole, house)?,
    };
    Ok(described.drafted(house, today))
}

/// What a person decided: a confirmed identification, as narrow as it is.
fn told(whole: &Whole, house: &House) -> Told {
    let library = &house.catalogue;
    let Some(one) = whole.identified.first() else {
        return Told::default();
    };
    let Some(by) = one.confirmed_by else {
        return Told::default();
    };
    let place = |id: &Option<String>, ids: Vec<&String>| {
        let id = id.as_ref()?;
        ids.into_iter().position(|known| known == id)
    };
    let coin = one.type_id.as_ref().and_then(|id| library.type_by_id(id));
    Told {
        coin,
        ruler: place(
            &one.ruler,
            library.rulers.iter().map(|one| &one.id).collect(),
        ),
        denomination: place(
            &one.denomination,
            library.denominations.iter().map(|one| &one.id).collect(),
        ),
        period: place(
            &one.period,
            library.periods.iter().map(|one| &one.id).collect(),
        ),
        mint: None,
        by: Some(match by.word() {
            "self" => "finder".into(),
            other => other.to_string(),
        }),
    }
}

fn circumstances(shelf: &Shelf, whole: &Whole, house: &House) -> Result<Circumstances, Fault> {
    let entry = &whole.entry;
    let mut told = Circumstances {
        number: Some(entry.id.clone()),
        found: entry
            .found_on
            .as_deref()
            .and_then(|day| When::read(day).ok()),
        findspot: entry
            .findspot
            .as_deref()
            .and_then(|text| findspot::read(text).ok()),
        finder: entry.finder.clone(),
        depth: entry.depth_cm,
        group: entry.grouped.clone(),
        notes: lines(&entry.notes),
        images: whole.photographs.iter().map(shown).collect(),
        ..Circumstances::default()
    };
    if let Some((land, _)) = &whole.land {
        let all = shelf.holdings(land)?;
        let landuse = all.iter().find_map(|one| one.land.landuse.as_deref());
        told.landuse = landuse.and_then(Landuse::read);
        let people = all.iter().flat_map(|one| &one.people);
        let owner = people.into_iter().find(|one| one.role == Role::Owner);
        told.landowner = owner.map(|one| one.name.clone());
        told.consent = all.iter().flat_map(|one| &one.leave).next().map(of_leave);
    }
    if entry.kind == FindKind::Artefact {
        artefact(whole, house, &mut told);
    }
    Ok(told)
}

/// What only a thing's record has.
fn artefact(whole: &Whole, house: &House, told: &mut Circumstances) {
    let said = |wanted: &str| {
        let mut all = whole.entry.said.iter();
        all.find(|(name, _)| name == wanted)
            .map(|(_, text)| text.clone())
    };
    let one = whole.identified.first();
    let size = |name: &str| {
        let (find, _) = parse::form(&[(Field::Diameter, said(name)?)], &house.lexicon);
        find.diameter
    };
    let object = &mut told.artefact;
    object.object_type = said("object")
        .or(one.map(|one| one.text.clone()))
        .or(said("class"));
    let years = one.and_then(|one| one.from_year.zip(one.to_year));
    object.made = years.and_then(|(from, to)| {
        crate::find::Span::new(i32::try_from(from).ok()?, i32::try_from(to).ok()?)
    });
    object.length = size("length");
    object.width = size("width");
}

fn lines(text: &str) -> Vec<String> {
    let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    lines.map(str::to_string).collect()
}

fn shown(one: &crate::collect::Photograph) -> String {
    let view = one.view.as_deref().unwrap_or("view not said");
    format!("photograph {}, {view}", one.place)
}

/// What the finder chose to pass on.
fn sharing(query: &Fields) -> Sharing {
    Sharing {
        names: query.get("names").is_some(),
        findspot: square(query),
    }
}

pub(super) fn page(desk: &Desk, asked: &Asked) -> Reply {
    made(desk, asked).into()
}

fn made(desk: &Desk, asked: &Asked) -> Result<Reply, Fault> {
    let (shelf, whole) = found(desk, asked)?;
    let sharing = sharing(&asked.query);
    let draft = drafted(&shelf, &whole, desk.house, desk.today()?)?.shared(sharing);
    let id = &whole.entry.id;
    let here = format!("{}/record", address(id));
    let mut typed = Fields::default();
    typed.push("square", asked.query.get("square").unwrap_or("1000"));
    typed.push("names", asked.query.get("names").unwrap_or_default());
    let sheet = Sheet {
        name: "record",
        typed: &typed,
        wrong: None,
    };
    let to = |form: &str| typed.address(&format!("{here}/{form}"));
    Ok(Reply::Page {
        place: Place::Tray,
        title: draft.title(),
        body: html! {
            p.back { a href=(address(id)) { "Back to " (id) } }
            form.beside method="get" action=(here) {
                (sheet.choice("square", "Findspot as", "", "", &squares("As it was given")))
                (sheet.tick("names", "yes", "With names of finder, owner and who decided"))
                button.quiet { "Show it so" }
            }
            (article(&draft))
            p.beside {
                a.button href=(to("text")) { "As plain text" }
                " " a.button.quiet href=(to("page")) { "As a page to print" }
                " " a.button.quiet href=(to("pack")) { "Pack for the officer" }
                " " a.button.quiet href=(format!("{}/edit", address(id))) { "Edit what it rests on" }
            }
        },
    })
}

/// The draft as part of a page.
fn article(draft: &Draft) -> Markup {
    html! {
        article.draft {
            h1 { (draft.title()) }
            p.lead { (draft.sentence) }
            table {
                caption { "Fields" }
                thead { tr { th scope="col" { "Field" } th scope="col" { "Value" } th scope="col" { "Rests on" } } }
                tbody {
                    @for field in draft.fields.iter().filter(|field| !field.is_blank()) {
                        tr {
                            th scope="row" { (field.label) }
                            td { (field.value) }
                            td.how { @if field.standing != Standing::Blank { (field.standing.text()) } }
                        }
                    }
                }
            }
            @for (heading, texts) in [
                ("Remarks", draft.notes.clone()),
                ("Still missing, the most useful first", draft.missing.iter().map(|one| one.text.clone()).collect()),
                ("Take care", draft.cautions.clone()),
            ] {
                @if !texts.is_empty() {
                    h2 { (heading) }
                    ul { @for text in texts { li { (sentence(&text)) } } }
                }
            }
            p.how { "A draft for the recording officer. What is inferred is a chance and not a fact." }
        }
    }
}

/// The draft as a file.
pub(super) fn file(desk: &Desk, asked: &Asked) -> Reply {
    filed(desk, asked).into()
}

fn filed(desk: &Desk, asked: &Asked) -> Result<Reply, Fault> {
    let (shelf, whole) = found(desk, asked)?;
    let (sharing, today) = (sharing(&asked.query), desk.today()?);
    let draft = drafted(&shelf, &whole, desk.house, today)?;
    let named = |ending: &str| format!("draft-{}.{ending}", whole.entry.id);
    let shared = || [draft.shared(sharing)];
    let (kind, bytes, save_as) = match asked.path.get("form") {
        Some("text") => (
            "text/plain; charset=utf-8",
            text(&shared(), None).into_bytes(),
            named("txt"),
        ),
        Some("page") => (
            "text/html; charset=utf-8",
            whole_page(&shared()).into_bytes(),
            named("html"),
        ),
        Some("pack") => {
            let pictures = photos::for_pack(&shelf, &whole)?;
            let plate = photos::plate_of(&shelf, &whole).ok();
            let pictures = (!pictures.is_empty()).then_some((pictures, plate));
            let pack = officers_pack(&[draft], sharing, pictures, today);
            let pack = pack.map_err(crate::web::form::Wrong::from)?;
            ("application/zip", pack, named("zip"))
        }
        _ => return Err(Fault::nothing_here()),
    };
    Ok(Reply::File {
        kind,
        bytes,
        save_as: Some(save_as),
        lasting: false,
    })
}
