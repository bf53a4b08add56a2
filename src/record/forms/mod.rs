//! Forms: a draft as plain text, as a page to print and as EpiDoc.
//!
//! Each takes drafts as they are to be shown; what may be passed on is decided before. Writes
//! nothing and serialises nothing: tables and linked data are made at the door.
//!
//! Invariant: a form is made of the draft alone, and every filled field stands in it (EpiDoc holds
//! legends only).

mod page;

pub use page::html;

use super::draft::{Draft, Standing};
use super::epidoc::{Part, Text, document};
use super::template::{PLAIN, Template};

/// Drafts as plain text, by a template or by the usual one.
pub fn text(drafts: &[Draft], template: Option<&Template>) -> String {
    let usual = Template::read(PLAIN);
    let template = template.or(usual.as_ref().ok());
    let Some(template) = template else {
        return String::new();
    };
    let each = drafts.iter().map(|draft| template.fill(draft));
    each.collect::<Vec<_>>().join("\n----\n\n")
}

/// Names of the legend fields, the side and whether they are read or restored.
const LEGENDS: [(&str, &str, &str); 5] = [
    ("obverse_legend", "obverse", "read"),
    ("obverse_legend_restored", "obverse", "restored"),
    ("reverse_legend", "reverse", "read"),
    ("reverse_legend_restored", "reverse", "restored"),
    ("legend", "unknown", "read"),
];

/// The legends of drafts as one EpiDoc document.
pub fn epidoc(drafts: &[Draft]) -> String {
    let texts: Vec<Text<'_>> = drafts
        .iter()
        .map(|draft| {
            let parts = LEGENDS.iter().filter_map(|(name, side, standing)| {
                let field = draft.field(name)?;
                let note = match field.standing {
                    Standing::Inferred(_) => field.standing.text(),
                    _ => String::new(),
                };
                Some(Part {
                    side,
                    standing,
                    note,
                    signs: field.signs()?,
                })
            });
            Text {
                title: draft.title(),
                parts: parts.collect(),
            }
        })
        .collect();
    document(&texts)
}
