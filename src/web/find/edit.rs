//! What is kept of a find, as a form: its words, its traits, where and when.
//!
//! Hears what was typed anew; the identification stands until it is asked for again.
//!
//! Invariant: all that a form changes is one act, taken back as one; a change that is refused leaves
//! the find as it was and the form as it was typed.

use maud::html;

use super::{address, found};
use crate::collect::{Beside, FindKind, Shelf, Whole};
use crate::web::asked::{Asked, Fields};
use crate::web::desk::Desk;
use crate::web::form::{Sheet, Wrong};
use crate::web::keep;
use crate::web::page::{Place, token};
use crate::web::reply::{Fault, Reply};

/// The fields of a find as a form would send them.
fn fields(whole: &Whole) -> Fields {
    let entry = &whole.entry;
    let mut fields = Fields::default();
    for (name, text) in &entry.said {
        fields.push(name, text);
    }
    if !entry.said.iter().any(|(name, _)| name == "kind") && entry.kind == FindKind::Artefact {
        fields.push("kind", "artefact");
    }
    let land = whole.land.as_ref().map(|(id, _)| id.clone());
    let depth = entry.depth_cm.map(|depth| depth.to_string());
    for (name, text) in [
        ("id", Some(&entry.id)),
        ("words", Some(&entry.words)),
        ("land", land.as_ref()),
        ("group", entry.grouped.as_ref()),
        ("found", entry.found_on.as_ref()),
        ("at", entry.findspot.as_ref()),
        ("depth", depth.as_ref()),
        ("finder", entry.finder.as_ref()),
        ("storage", entry.storage.as_ref()),
        ("official-number", entry.official_number.as_ref()),
        ("notes", Some(&entry.notes)),
        ("tags", Some(&whole.tags.join(", "))),
    ] {
        if let Some(text) = text {
            fields.push(name, text);
        }
    }
    fields
}

pub(super) fn page(desk: &Desk, asked: &Asked) -> Reply {
    let form = found(desk, asked).and_then(|(shelf, whole)| {
        let typed = fields(&whole);
        form(asked, &shelf, &whole, &typed, None)
    });
    form.into()
}

pub(super) fn keep(desk: &Desk, asked: &Asked) -> Reply {
    let wrong = match kept(desk, asked) {
        Ok(id) => return Reply::Onward(address(&id)),
        Err(wrong) => wrong,
    };
    let form = found(desk, asked)
        .and_then(|(shelf, whole)| form(asked, &shelf, &whole, &asked.form, Some(&wrong)));
    Reply::from(form).refused()
}

fn kept(desk: &Desk, asked: &Asked) -> Result<String, Wrong> {
    let typed = &asked.form;
    let stamp = desk.stamp()?;
    let (_, whole) = found(desk, asked)?;
    let mut shelf = desk.shelf_to_write(&asked.visitor)?;
    if typed
        .get("changed")
        .is_some_and(|seen| seen != whole.entry.changed)
    {
        return Err(Wrong::new(
            "the find was changed meanwhile, from another page or window",
            "open it again to see what it is now; what you typed stands below",
        ));
    }
    let mut entry = whole.entry.clone();
    entry.id = typed.get("id").unwrap_or(&whole.entry.id).to_string();
    entry.words = typed.get("words").unwrap_or_default().to_string();
    entry.said = keep::said(typed);
    keep::tell(&mut entry, typed, &shelf)?;
    let identified = keep::judge(desk, &mut entry, typed.get("again").is_some())?.identified;
    let tags = keep::tags(typed.get("tags").unwrap_or_default());
    let take: Vec<String> = whole
        .tags
        .iter()
        .filter(|tag| !tags.contains(tag))
        .cloned()
        .collect();
    let give: Vec<String> = tags
        .into_iter()
        .filter(|tag| !whole.tags.contains(tag))
        .collect();
    let beside = Beside {
        give,
        take,
        identified,
    };
    let id = &whole.entry.id;
    let whole = shelf.edit_find_with(&stamp, id, |held| *held = entry, beside)?;
    Ok(whole.entry.id)
}

fn form(
    asked: &Asked,
    shelf: &Shelf,
    whole: &Whole,
    typed: &Fields,
    wrong: Option<&Wrong>,
) -> Result<Reply, Fault> {
    let lands = keep::lands(Some(shelf))?;
    let id = &whole.entry.id;
    let sheet = Sheet {
        name: "edit",
        typed,
        wrong,
    };
    Ok(Reply::Page {
        place: Place::Tray,
        title: format!("Edit {id}"),
        body: html! {
            h1 { "Edit " (id) }
            form.stack method="post" action=(format!("{}/edit", address(id))) {
                (token(&asked.visitor))
                input type="hidden" name="changed" value=(whole.entry.changed);
                (sheet.head())
                (sheet.area("words", "The find in your words", ""))
                (keep::traits(&sheet))
                (keep::about_it(&sheet, &lands))
                (sheet.line("id", "Number", ""))
                (sheet.tick("again", "yes", "Identify it anew by what stands here"))
                button { "Keep the changes" }
                " "
                a.button.quiet href=(address(id)) { "Leave it as it was" }
            }
        },
    })
}
