//! A find's page as it is laid out.
//!
//! Shows; changes nothing.
//!
//! Invariant: an identification is never shown without its confidence or who confirmed it.

use maud::{Markup, html};

use super::photos::{VIEWS, may_be_shown};
use super::{acts, address, address_of_key};
use crate::cli::shared::heed;
use crate::collect::{Confirmer, FindKind, Identified, Shelf, Status, Whole};
use crate::explain::how_sure;
use crate::web::asked::{Asked, Fields};
use crate::web::desk::Desk;
use crate::web::form::{Sheet, Wrong, for_pages, plainly};
use crate::web::law;
use crate::web::page::{raised, sentence, token};
use crate::web::reply::Fault;

/// Acts that the page shows.
const ACTS: usize = 12;

/// A page about to be laid out.
pub(super) struct Page<'p> {
    pub(super) desk: &'p Desk,
    pub(super) asked: &'p Asked,
    pub(super) shelf: &'p Shelf,
    pub(super) whole: &'p Whole,
    pub(super) wrong: Option<(&'static str, &'p Wrong)>,
}

impl Page<'_> {
    fn here(&self) -> String {
        match self.asked.visitor.guest {
            true => address_of_key(self.whole.entry.key),
            false => address(&self.whole.entry.id),
        }
    }

    /// The fields and the fault of a form of the page.
    fn sheet<'s>(&'s self, name: &'static str, blank: &'s Fields) -> Sheet<'s> {
        Sheet::among(name, blank, &self.asked.form, self.wrong)
    }

    pub(super) fn body(&self) -> Result<Markup, Fault> {
        let guest = self.asked.visitor.guest;
        let entry = &self.whole.entry;
        let heeded = match (&self.whole.land, guest) {
            (Some((land, _)), false) => {
                let today = self.desk.today()?;
                let day = entry.found_on.clone().unwrap_or_else(|| today.iso());
                heed(self.shelf, land, &day, today).map_err(Wrong::from)?
            }
            _ => Vec::new(),
        };
        Ok(html! {
            p.back { a href="/tray" { "Back to the tray" } }
            h1 { @if guest { "Find " (entry.key) } @else { (entry.id) } }
            p.lead { (self.headline()) }
            @if !heeded.is_empty() {
                section.care aria-label="Take heed" {
                    ul { @for line in &heeded { li { (sentence(&for_pages(line))) } } }
                }
            }
            div.find {
                div { (self.photographs()) }
                div {
                    (self.identified())
                    @if !guest { (law::of_find(self.desk, self.shelf, self.whole)?) }
                    (self.facts())
                }
            }
            @if !guest {
                div.halves {
                    (self.status()?)
                    (self.tags())
                }
                section id="record" aria-labelledby="record-h" {
                    h2 id="record-h" { "The record" }
                    p { "A draft for the recording officer, from what is kept here: to read, to print, to pass on with the findspot as coarse as you choose." }
                    p.beside {
                        a.button href=(format!("{}/record", self.here())) { "Draft of the record" }
                        " " a.button.quiet href=(format!("{}/edit", self.here())) { "Edit the find" }
                    }
                }
                (self.history()?)
                p { a.button.quiet.grave href=(format!("{}/remove", self.here())) { "Remove this find" } }
            }
        })
    }

    /// What it was identified as, the one that stands first, as far as whoever asks may know.
    fn known(&self) -> Vec<&Identified> {
        let all = self.whole.identified.iter();
        match self.asked.visitor.guest {
            true => all.take(1).filter(|one| may_be_told(one)).collect(),
            false => all.collect(),
        }
    }

    /// What it is in one line.
    fn headline(&self) -> String {
        match self.known().first() {
            Some(one) => raised(&one.text),
            None => "Not identified yet".into(),
        }
    }

    fn photographs(&self) -> Markup {
        let guest = self.asked.visitor.guest;
        let shown = self.whole.photographs.iter();
        let shown: Vec<_> = shown.filter(|one| !guest || may_be_shown(one)).collect();
        let here = self.here();
        let name = self.whole.entry.id.as_str();
        let plate = !guest && self.whole.entry.diameter_mm.is_some() && !shown.is_empty();
        html! {
            section id="photographs" aria-labelledby="photographs-h" {
                h2 id="photographs-h" { "Photographs" }
                @if shown.is_empty() { p.blank-picture { "No photograph yet" } }
                @for one in &shown {
                    @let view = one.view.as_deref().unwrap_or("view not said");
                    @let alt = match guest { true => view.to_string(), false => format!("{name}, {view}") };
                    figure.photograph {
                        a href=(format!("{here}/picture/{}/large?of={}", one.place, one.digest)) {
                            img src=(format!("{here}/picture/{}/large?of={}", one.place, one.digest)) alt=(alt)
                                width=(one.width) height=(one.height) loading="lazy";
                        }
                        figcaption {
                            (raised(view))
                            @if !guest {
                                " " a href=(format!("{here}/measure/{}", one.place)) aria-label=(format!("Measure on it: photograph {}", one.place)) { "Measure on it" }
                                details {
                                    summary { "Change" }
                                    form.beside method="post" action=(format!("{here}/photographs/{}", one.place)) {
                                        (token(&self.asked.visitor))
                                        label for=(format!("view-{}", one.place)) { "What it shows" }
                                        input id=(format!("view-{}", one.place)) name="view" list="views" value=(one.view.as_deref().unwrap_or_default()) maxlength="200";
                                        button name="do" value="view" { "Say so" }
                                        button.quiet name="do" value="remove" { "Take it away" }
                                    }
                                }
                            }
                        }
                    }
                }
                @if plate { p { a href=(format!("{here}/plate.png")) { "Plate at true scale" } } }
                @if !guest { (self.new_photographs()) }
            }
        }
    }

    /// The form for further photographs.
    fn new_photographs(&self) -> Markup {
        let blank = Fields::default();
        let sheet = self.sheet("photographs", &blank);
        html! {
            datalist id="views" { @for view in VIEWS { option value=(view) {} } }
            form.stack method="post" action=(format!("{}/photographs", self.here())) enctype="multipart/form-data" {
                (token(&self.asked.visitor))
                (sheet.head())
                div.field {
                    label for="photographs-file" { "Add photographs" }
                    input type="file" id="photographs-file" name="photographs" multiple required
                        accept="image/jpeg,image/png,image/webp" aria-describedby="photographs-about";
                    p.how id="photographs-about" { "Kept as they are. What is shown or passed on is made from the pixels alone, without place or camera. Do not clean the find for it." }
                }
                div.field {
                    label for="photographs-view" { "What they show" }
                    input id="photographs-view" name="view" list="views" maxlength="200";
                }
                button { "Keep photographs" }
            }
        }
    }

    fn identified(&self) -> Markup {
        let guest = self.asked.visitor.guest;
        let mut typed = Fields::default();
        typed.push("by", "self");
        let sheet = self.sheet("identified", &typed);
        let by = [
            ("self", "Me, the finder"),
            ("officer", "The recording officer"),
            ("book", "A book"),
        ];
        let by = by.map(|(word, text)| (word.to_string(), text.to_string()));
        let here = self.here();
        let shown = self.known();
        html! {
            section id="identified" aria-labelledby="identified-h" {
                h2 id="identified-h" { "What it is" }
                @if shown.is_empty() { p { "Not identified yet." } }
                ol.identified {
                    @for (place, one) in shown.iter().enumerate() {
                        li {
                            @if place > 0 { span.how { "Earlier: " } }
                            (raised(&one.text)) " "
                            span.how { (sure(one, guest)) }
                            @if let Some((from, to)) = one.from_year.zip(one.to_year) {
                                span.how { ", made " (years(from, to)) }
                            }
                        }
                    }
                }
                @if !guest {
                    details open[sheet.wrong.is_some()] {
                        summary { "Confirm it, or say what it is" }
                        form.stack method="post" action=(format!("{here}/confirm")) {
                            (token(&self.asked.visitor))
                            (sheet.head())
                            (sheet.choice("by", "Who says so", "", "", &by))
                            (sheet.line("reference", "Book and number, or the officer's record", "A book must be named."))
                            (sheet.line("on", "Day", "Left empty, today."))
                            (sheet.line("as", "It is something else", "An id of a type of the library, or words. Left empty, what stands is confirmed."))
                            button { "Confirm" }
                        }
                        form method="post" action=(format!("{here}/again")) {
                            (token(&self.asked.visitor))
                            button.quiet { "Identify it anew" }
                        }
                    }
                }
            }
        }
    }

    /// What is kept of it, each with its name.
    fn rows(&self) -> Vec<(String, Option<String>)> {
        let entry = &self.whole.entry;
        let guest = self.asked.visitor.guest;
        let unit = |value: Option<f64>, unit: &str| value.map(|value| format!("{value} {unit}"));
        let kind = match entry.kind {
            FindKind::Coin => "Coin",
            FindKind::Artefact => "No coin",
        };
        let mut rows: Vec<(String, Option<String>)> = vec![
            ("Kind".into(), Some(kind.into())),
            ("Metal".into(), entry.metal.clone()),
            ("Weight".into(), unit(entry.weight_g, "g")),
            ("Diameter".into(), unit(entry.diameter_mm, "mm")),
            ("Thickness".into(), unit(entry.thickness_mm, "mm")),
            (
                "Die axis".into(),
                entry.die_axis.map(|hour| format!("{hour} o'clock")),
            ),
            ("How much is there".into(), entry.completeness.clone()),
            ("Found".into(), entry.found_on.clone()),
        ];
        if !guest {
            let measured = [
                "metal",
                "weight",
                "diameter",
                "thickness",
                "die-axis",
                "completeness",
            ];
            let said = entry
                .said
                .iter()
                .filter(|(name, _)| !measured.contains(&name.as_str()));
            rows.extend(said.map(|(name, text)| {
                let field = crate::parse::Field::column(name);
                let label = field.map_or_else(|| raised(name), crate::web::keep::label);
                (label, Some(text.clone()))
            }));
            rows.extend([
                ("Where it lay".into(), entry.findspot.clone()),
                ("Depth".into(), unit(entry.depth_cm, "cm")),
                ("Finder".into(), entry.finder.clone()),
                ("Storage".into(), entry.storage.clone()),
                ("Officer's number".into(), entry.official_number.clone()),
            ]);
        }
        rows
    }

    fn facts(&self) -> Markup {
        let entry = &self.whole.entry;
        let guest = self.asked.visitor.guest;
        let rows = self.rows();
        html! {
            section id="facts" aria-labelledby="facts-h" {
                h2 id="facts-h" { "What is kept of it" }
                @if !guest && !entry.words.is_empty() { p.said { (entry.words) } }
                dl.kept-facts {
                    @for (name, text) in &rows {
                        @if let Some(text) = text { div { dt { (name) } dd { (text) } } }
                    }
                    @if !guest {
                        @if let Some((id, name)) = &self.whole.land {
                            div { dt { "Land" } dd { a href=(format!("/land/{}", super::segment(id))) { (name) } } }
                        }
                        @if let Some(group) = &entry.grouped {
                            div { dt { "Group" } dd {
                                a href=(Fields::of([("group", group)]).address("/tray")) { (group) } ", "
                                a href=(Fields::of([("group", group)]).address("/hoard")) { "read together" }
                            } }
                        }
                    }
                }
                @if !guest && !entry.notes.is_empty() { h3 { "Notes" } p.said { (entry.notes) } }
            }
        }
    }

    fn status(&self) -> Result<Markup, Fault> {
        let mut typed = Fields::default();
        typed.push("day", &self.desk.today()?.iso());
        typed.push("status", self.whole.entry.status.word());
        let sheet = self.sheet("status", &typed);
        let words = plainly(Status::ALL.iter().map(|status| status.word()));
        Ok(html! {
            section id="status" aria-labelledby="status-h" {
                h2 id="status-h" { "Where it is now" }
                p { strong { (raised(&self.whole.entry.status.word().replace('-', " "))) } }
                @if !self.whole.whereabouts.is_empty() {
                    ol.steps {
                        @for went in &self.whole.whereabouts {
                            li {
                                (raised(&went.status.word().replace('-', " ")))
                                @if let Some(day) = &went.day { ", " (day) }
                                @if let Some(note) = &went.note { ": " (note) }
                            }
                        }
                    }
                }
                details open[sheet.wrong.is_some()] {
                    summary { "It went elsewhere" }
                    form.stack method="post" action=(format!("{}/status", self.here())) {
                        (token(&self.asked.visitor))
                        (sheet.head())
                        (sheet.choice("status", "Where to", "", "", &words))
                        (sheet.line("day", "Day", "As 2026-03-14."))
                        (sheet.line("note", "To whom, under which number", ""))
                        button { "Keep where it went" }
                    }
                }
            }
        })
    }

    fn tags(&self) -> Markup {
        let blank = Fields::default();
        let sheet = self.sheet("tags", &blank);
        let tags = &self.whole.tags;
        html! {
            section id="tags" aria-labelledby="tags-h" {
                h2 id="tags-h" { "Tags" }
                form.stack method="post" action=(format!("{}/tags", self.here())) {
                    (token(&self.asked.visitor))
                    (sheet.head())
                    @if tags.is_empty() { p { "None." } }
                    @else {
                        fieldset.set {
                            legend { "Tick what is to go" }
                            @for tag in tags { (sheet.tick("take", tag, tag)) }
                        }
                    }
                    (sheet.line("tag", "New tags", "With commas between them."))
                    button.quiet { "Change tags" }
                }
            }
        }
    }

    fn history(&self) -> Result<Markup, Fault> {
        let acts = self.shelf.history(Some(&self.whole.entry.id), ACTS)?;
        Ok(html! {
            section aria-labelledby="history-h" {
                h2 id="history-h" { "What was done" }
                (acts::list(&acts, self.asked, &self.here()))
                p { a href="/history" { "The history of the whole shelf" } }
            }
        })
    }
}

/// True of an identification that guests may read: by the library, and not in somebody's own words,
/// which may tell a place or a name.
pub(in crate::web) fn may_be_told(one: &Identified) -> bool {
    one.share.is_some() || one.level.is_some()
}

/// Who says so, or how sure it is, in words and as a figure: wherever a find is shown.
pub(in crate::web) fn said_by(by: Option<Confirmer>, share: Option<f64>) -> String {
    match (by, share) {
        (Some(Confirmer::Own), _) => "confirmed by the finder".to_string(),
        (Some(Confirmer::Book), _) => "confirmed by a book".to_string(),
        (Some(Confirmer::Officer), _) => "confirmed by the recording officer".to_string(),
        (None, Some(share)) => how_sure(share),
        (None, None) => "not confirmed".to_string(),
    }
}

/// How sure it is, by which book or record, and on which day.
fn sure(one: &Identified, guest: bool) -> String {
    let by = said_by(one.confirmed_by, one.share);
    let more = [&one.reference, &one.confirmed_on, &one.type_id];
    let more = more.into_iter().flatten().filter(|_| !guest);
    let parts: Vec<String> = std::iter::once(by).chain(more.cloned()).collect();
    parts.join(", ")
}

/// Years of making.
fn years(from: i64, to: i64) -> String {
    let year = |year: i64| i32::try_from(year).unwrap_or_default();
    match crate::find::Span::new(year(from), year(to)) {
        Some(span) => span.text(),
        None => format!("{from} to {to}"),
    }
}
