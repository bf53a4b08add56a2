//! The flags of a find that only things need.
//!
//! Understands none of them.
//!
//! Invariant: each flag is one field of a thing, or settles what the find is.

use clap::Args as ClapArgs;

use crate::parse::ThingFields;

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
    coin: bool,
    /// Judge it as a thing that is not a coin, whatever the words
    #[arg(long)]
    thing: bool,
}

impl ThingFlags {
    /// What was settled about the find by a flag: true of a coin.
    pub(in crate::cli) fn settled(&self) -> Option<bool> {
        match (self.coin, self.thing) {
            (true, _) => Some(true),
            (_, true) => Some(false),
            _ => None,
        }
    }

    /// The flags given, as fields and their text; whether it is a coin is the field `kind`.
    pub(in crate::cli) fn said(&self) -> Vec<(String, String)> {
        let kind = self.settled().map(|coin| match coin {
            true => "coin".to_string(),
            false => "artefact".to_string(),
        });
        let complete = self.complete.then(|| "yes".to_string());
        [
            ("class", self.class.clone()),
            ("length", self.length.clone()),
            ("width", self.width.clone()),
            ("height", self.height.clone()),
            ("complete", complete),
            ("period", self.period.clone()),
            ("kind", kind),
        ]
        .into_iter()
        .filter_map(|(field, text)| Some((field.to_string(), text?)))
        .collect()
    }

    /// The fields that only things have.
    pub(in crate::cli) fn fields(&self) -> ThingFields {
        ThingFields {
            class: self.class.clone(),
            length: self.length.clone(),
            width: self.width.clone(),
            height: self.height.clone(),
            complete: self.complete,
            period: self.period.clone(),
        }
    }
}
