//! The flags of `identify` that only things need.
//!
//! A flag becomes a clause of the words, so that one reader understands both.
//!
//! Invariant: without a flag the words are untouched.

use clap::Args as ClapArgs;

use crate::parse::Field;

/// Flags for a thing that is not a coin.
#[derive(ClapArgs, Clone, Debug, Default)]
#[command(next_help_heading = "Things that are not coins")]
pub(in crate::cli) struct ThingFlags {
    /// What sort of thing ("buckle", "bow brooch"); leave it out if you do not know
    #[arg(long, value_name = "NAME")]
    class: Option<String>,
    /// Length ("45", "45 mm", "1 3/4 in")
    #[arg(long, allow_hyphen_values = true)]
    length: Option<String>,
    /// Width
    #[arg(long, allow_hyphen_values = true)]
    width: Option<String>,
    /// Height, as it stands
    #[arg(long, allow_hyphen_values = true)]
    height: Option<String>,
    /// All of it is there, but perhaps for its pin
    #[arg(long)]
    complete: bool,
    /// What period you take it for
    #[arg(long, value_name = "NAME")]
    period: Option<String>,
    /// Judge it as a coin, whatever the words
    #[arg(long, conflicts_with = "thing")]
    pub(in crate::cli) coin: bool,
    /// Judge it as a thing that is not a coin, whatever the words
    #[arg(long)]
    pub(in crate::cli) thing: bool,
}

impl ThingFlags {
    /// True when a flag was given that only things have.
    pub(in crate::cli) fn given(&self) -> bool {
        let texts = [&self.class, &self.length, &self.width, &self.height];
        self.thing || texts.iter().any(|text| text.is_some())
    }

    /// The words of the finder with the flags as clauses of their own.
    pub(in crate::cli) fn text(&self, words: &str, fields: &[(Field, String)]) -> String {
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
