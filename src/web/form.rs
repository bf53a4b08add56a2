//! Forms: fields that keep what was typed, and say at the field what is wrong with it.
//!
//! Draws fields and reads faults; keeps nothing and judges nothing.
//!
//! Invariant: a field that is wrong is marked, named in a list at the head of its form, and holds
//! what was typed.

use clap::ValueEnum;
use maud::{Markup, html};

use super::asked::Fields;
use super::page::{raised, sentence};
use super::reply::Fault;
use crate::cli::shared::{Trouble, chosen};
use crate::collect::ShelfFault;
use crate::findspot::Side;
use crate::treasure::When;

/// What is wrong with what was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Wrong {
    /// The field, as the room that found it calls it; empty where it is no one field.
    field: String,
    what: String,
    mend: String,
}

impl Wrong {
    /// A fault whose text begins with its field: "weight: ...".
    pub(super) fn new(what: &str, mend: &str) -> Wrong {
        let plain = what.trim_start_matches("--");
        let named = plain.split_once(':').map_or("", |(field, _)| field);
        let is_name = named.len() <= 30 && named.split(' ').count() <= 3;
        Wrong {
            field: if is_name { bare(named) } else { String::new() },
            what: plain.into(),
            mend: for_pages(mend),
        }
    }

    /// The same said of another field: a page may have several for what a room knows by one name.
    pub(super) fn at(mut self, field: &str) -> Wrong {
        self.field = bare(field);
        self
    }

    fn of_field(&self, name: &str) -> bool {
        let (field, name) = (self.field.as_str(), bare(name));
        let aliases = [
            ("findspot", "at"),
            ("dayfound", "found"),
            ("photograph", "photographs"),
            ("identification", "as"),
            ("find", "id"),
            ("land", "id"),
        ];
        let alias = aliases.contains(&(field, name.as_str()));
        !field.is_empty() && (field == name || alias)
    }
}

/// A name without the signs that differ between rooms.
fn bare(name: &str) -> String {
    let signs = name.chars().filter(|sign| sign.is_alphanumeric());
    signs.flat_map(char::to_lowercase).collect()
}

/// A text without the command that it names: pages have buttons for these.
pub(super) fn for_pages(text: &str) -> String {
    let Some(at) = text.find("lynchet ") else {
        return text.trim_start_matches("--").to_string();
    };
    let before = &text[..at];
    let parts = [", and ", " and keep", "; ", "; ask", ", or "];
    let end = parts.iter().filter_map(|part| before.rfind(part)).max();
    end.map_or(String::new(), |end| {
        before[..end].trim_end_matches([',', ';', ' ']).to_string()
    })
}

impl From<ShelfFault> for Wrong {
    fn from(fault: ShelfFault) -> Wrong {
        Wrong::new(&fault.what, &fault.mend)
    }
}

impl From<Trouble> for Wrong {
    fn from(trouble: Trouble) -> Wrong {
        let (what, mend) = trouble.parts();
        Wrong::new(what, mend)
    }
}

impl<K> From<crate::fault::Fault<K>> for Wrong {
    fn from(fault: crate::fault::Fault<K>) -> Wrong {
        Wrong::new(&fault.what, &fault.mend)
    }
}

impl From<Fault> for Wrong {
    fn from(fault: Fault) -> Wrong {
        Wrong::new(&fault.what, &fault.mend)
    }
}

impl From<Wrong> for Fault {
    fn from(wrong: Wrong) -> Fault {
        Fault::new(422, wrong.what, wrong.mend)
    }
}

/// A form being drawn: what its fields hold, and what is wrong.
#[derive(Clone, Copy)]
pub(super) struct Sheet<'s> {
    /// What sets its fields' ids apart from those of other forms of the page.
    pub(super) name: &'s str,
    /// What the fields hold.
    pub(super) typed: &'s Fields,
    /// What is wrong.
    pub(super) wrong: Option<&'s Wrong>,
}

impl<'s> Sheet<'s> {
    /// One of several forms of a page: the one that was refused holds what was typed and says what
    /// is wrong, any other holds what it begins with.
    pub(super) fn among(
        name: &'static str,
        begins: &'s Fields,
        typed: &'s Fields,
        refused: Option<(&'static str, &'s Wrong)>,
    ) -> Sheet<'s> {
        let wrong = refused.filter(|(form, _)| *form == name);
        Sheet {
            name,
            typed: if wrong.is_some() { typed } else { begins },
            wrong: wrong.map(|(_, wrong)| wrong),
        }
    }
}

impl Sheet<'_> {
    fn id(&self, name: &str) -> String {
        format!("{}-{name}", self.name)
    }

    fn wrong(&self, name: &str) -> Option<&Wrong> {
        self.wrong.filter(|wrong| wrong.of_field(name))
    }

    /// What is wrong, at the head of a form that keeps something.
    pub(super) fn head(&self) -> Markup {
        self.headed("That was not kept. ")
    }

    /// What is wrong, at the head of a form that only chooses what is shown.
    pub(super) fn head_of_choice(&self) -> Markup {
        self.headed("That cannot be shown. ")
    }

    fn headed(&self, begins: &str) -> Markup {
        let Some(wrong) = self.wrong else {
            return html! {};
        };
        html! {
            div.refused role="alert" {
                p { strong { (begins) } (sentence(&wrong.what)) }
                @if !wrong.mend.is_empty() { p { (sentence(&wrong.mend)) } }
            }
        }
    }

    /// The text at a field that says how to fill it, and what is wrong with it.
    fn about(&self, name: &str, how: &str) -> Markup {
        html! {
            @if !how.is_empty() { p.how id=(format!("{}-how", self.id(name))) { (how) } }
            @if let Some(wrong) = self.wrong(name) {
                p.at-fault id=(format!("{}-wrong", self.id(name))) { (sentence(&wrong.what)) }
            }
        }
    }

    fn described(&self, name: &str, how: &str) -> Option<String> {
        let id = self.id(name);
        let how = (!how.is_empty()).then(|| format!("{id}-how"));
        let wrong = self.wrong(name).map(|_| format!("{id}-wrong"));
        let both: Vec<String> = how.into_iter().chain(wrong).collect();
        (!both.is_empty()).then(|| both.join(" "))
    }

    fn held(&self, name: &str) -> &str {
        let mut all = self.typed.iter().filter(|field| field.0 == name);
        all.next().map_or("", |field| field.1)
    }

    /// A line of text.
    pub(super) fn line(&self, name: &str, label: &str, how: &str) -> Markup {
        self.valued(name, label, how, self.held(name), "text")
    }

    /// A field of another type than text.
    pub(super) fn of_kind(&self, name: &str, label: &str, how: &str, kind: &str) -> Markup {
        self.valued(name, label, how, self.held(name), kind)
    }

    fn valued(&self, name: &str, label: &str, how: &str, value: &str, kind: &str) -> Markup {
        let invalid = self.wrong(name).map(|_| "true");
        html! {
            div.field {
                label for=(self.id(name)) { (label) }
                input type=(kind) id=(self.id(name)) name=(name) value=(value) maxlength="4000"
                    autocomplete="off" aria-invalid=[invalid] aria-describedby=[self.described(name, how)];
                (self.about(name, how))
            }
        }
    }

    /// A field that may hold several texts, a line each.
    pub(super) fn lines(&self, name: &str, label: &str, how: &str) -> Markup {
        let all: Vec<&str> = self.typed.all(name).collect();
        self.text(name, label, how, &all.join("\n"), 2)
    }

    /// A text of several lines.
    pub(super) fn area(&self, name: &str, label: &str, how: &str) -> Markup {
        self.text(name, label, how, self.held(name), 3)
    }

    fn text(&self, name: &str, label: &str, how: &str, value: &str, rows: usize) -> Markup {
        let invalid = self.wrong(name).map(|_| "true");
        html! {
            div.field {
                label for=(self.id(name)) { (label) }
                // A browser takes away the first line end of what stands in it.
                textarea id=(self.id(name)) name=(name) rows=(rows) aria-invalid=[invalid]
                    aria-describedby=[self.described(name, how)] { "\n" (value) }
                (self.about(name, how))
            }
        }
    }

    /// One of a few words; `none` is shown for nothing chosen.
    pub(super) fn choice(
        &self,
        name: &str,
        label: &str,
        how: &str,
        none: &str,
        words: &[(String, String)],
    ) -> Markup {
        let held = self.held(name).trim();
        let invalid = self.wrong(name).map(|_| "true");
        let known = held.is_empty() || words.iter().any(|(word, _)| word == held);
        html! {
            div.field {
                label for=(self.id(name)) { (label) }
                select id=(self.id(name)) name=(name) aria-invalid=[invalid]
                    aria-describedby=[self.described(name, how)] {
                    @if !none.is_empty() { option value="" selected[held.is_empty()] { (none) } }
                    @for (word, text) in words {
                        option value=(word) selected[word == held] { (text) }
                    }
                    @if !known { option value=(held) selected { (held) } }
                }
                (self.about(name, how))
            }
        }
    }

    /// A box to tick.
    pub(super) fn tick(&self, name: &str, value: &str, label: &str) -> Markup {
        let id = format!("{}-{}", self.id(name), bare(value));
        let held = self.typed.all(name).any(|one| one == value);
        html! {
            div.tick {
                input type="checkbox" id=(id) name=(name) value=(value) checked[held];
                label for=(id) { (label) }
            }
        }
    }
}

/// Squares to which a findspot may be cut, as choices, and what the last, which cuts none, is called.
pub(super) fn squares(given: &'static str) -> Vec<(String, String)> {
    let squares = [
        ("10000", "Square of 10 km"),
        ("1000", "Square of 1 km"),
        ("100", "Square of 100 m"),
        (EXACT, given),
    ];
    let squares = squares.map(|(word, text)| (word.to_string(), text.to_string()));
    squares.to_vec()
}

/// The word that cuts a findspot to no square.
pub(super) const EXACT: &str = "exact";

/// The side of the square that was chosen; none where it was none.
pub(super) fn side(typed: &Fields) -> Option<Side> {
    Side::of_metres(typed.get("square")?.parse().ok()?)
}

/// The square to cut to: 1 km unless another was chosen, none for the findspot as it was given.
pub(super) fn square(typed: &Fields) -> Option<Side> {
    match typed.get("square") {
        Some(EXACT) => None,
        _ => side(typed).or(Some(Side::Kilometre)),
    }
}

/// A day, month or year of a field, as it was typed.
pub(super) fn day(typed: &Fields, name: &str) -> Result<Option<String>, Wrong> {
    let Some(text) = typed.get(name) else {
        return Ok(None);
    };
    When::read(text)
        .map_err(|what| Wrong::new(&format!("{name}: {what}"), "write it as 2026-03-14"))?;
    Ok(Some(text.to_string()))
}

/// The choice of a field, where one was made.
pub(super) fn picked<C: ValueEnum>(typed: &Fields, name: &str) -> Result<Option<C>, Wrong> {
    let word = typed.get(name);
    Ok(word.map(|word| chosen(name, word)).transpose()?)
}

/// Words as choices that show themselves.
pub(super) fn plainly<'w>(words: impl IntoIterator<Item = &'w str>) -> Vec<(String, String)> {
    let words = words.into_iter();
    words
        .map(|word| (word.to_string(), raised(&word.replace('-', " "))))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_field_that_is_wrong_is_marked_and_keeps_what_was_typed() {
        let typed = Fields::of([("found", "<b>yesterday</b>"), ("at", "SP")]);
        let wrong = Wrong::new("found: \"yesterday\" is no day", "write it as 2026-03-14");
        let sheet = Sheet {
            name: "keep",
            typed: &typed,
            wrong: Some(&wrong),
        };
        let found = sheet.line("found", "Day", "as 2026-03-14").into_string();
        assert!(found.contains("aria-invalid=\"true\""), "{found}");
        assert!(found.contains("&lt;b&gt;yesterday"), "{found}");
        assert!(
            found.contains("aria-describedby=\"keep-found-how keep-found-wrong\""),
            "{found}"
        );
        let at = sheet.line("at", "Where", "").into_string();
        assert!(!at.contains("aria-invalid"), "{at}");
        assert!(
            sheet
                .head()
                .into_string()
                .contains("Write it as 2026-03-14.")
        );
    }

    #[test]
    fn commands_are_left_out_of_what_pages_say() {
        let text = "see the ids with: lynchet collection list";
        assert_eq!(for_pages(text), "");
        let text = "ask the owner anew and keep it with: lynchet land leave X";
        assert_eq!(for_pages(text), "ask the owner anew");
        let text = "have leave before you search, and keep it with: lynchet land leave X";
        assert_eq!(for_pages(text), "have leave before you search");
        assert_eq!(for_pages("write it as 20 cm"), "write it as 20 cm");
    }
}
