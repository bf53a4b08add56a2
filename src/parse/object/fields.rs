//! The form fields that only things have, as words.
//!
//! A field becomes a clause of the words, so that one reader understands both.
//!
//! Invariant: without a field the words are untouched.

use crate::parse::Field;

/// What a form asks of a thing and not of a coin, as typed; a text may be empty.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ThingFields {
    /// What sort of thing: "buckle", "bow brooch".
    pub class: Option<String>,
    /// Length with or without its unit: "45", "45 mm", "1 3/4 in".
    pub length: Option<String>,
    /// Width, as the length.
    pub width: Option<String>,
    /// Height as it stands, as the length.
    pub height: Option<String>,
    /// True when all of it is there.
    pub complete: bool,
    /// What period the finder takes it for.
    pub period: Option<String>,
}

impl ThingFields {
    /// True when a field was given that only things have.
    pub fn given(&self) -> bool {
        let texts = [&self.class, &self.length, &self.width, &self.height];
        texts.into_iter().any(|text| text.is_some())
    }

    /// The words of the finder with the fields as clauses of their own, and those that coins have
    /// too where things have them.
    pub fn text(&self, words: &str, fields: &[(Field, String)]) -> String {
        let mut clauses: Vec<String> = self.class.iter().cloned().collect();
        clauses.push(words.to_string());
        let sized =
            |text: &Option<String>, name: &str| text.as_ref().map(|text| format!("{name} {text}"));
        clauses.extend(sized(&self.length, "length"));
        clauses.extend(sized(&self.width, "width"));
        clauses.extend(sized(&self.height, "height"));
        clauses.extend(self.complete.then(|| "complete".to_string()));
        clauses.extend(self.period.clone());
        for (field, text) in fields {
            clauses.extend(match field {
                Field::Diameter => Some(format!("diameter {text}")),
                Field::Thickness => Some(format!("thickness {text}")),
                Field::Metal
                | Field::Completeness
                | Field::Motif
                | Field::ObverseMotif
                | Field::ReverseMotif
                | Field::Opinion => Some(text.clone()),
                Field::Absent => Some(format!("no {text}")),
                _ => None,
            });
        }
        clauses.retain(|clause| !clause.trim().is_empty());
        clauses.join(", ")
    }
}
