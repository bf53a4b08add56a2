//! The draft of a record: its fields in their order, and what each of them rests on.
//!
//! Plain values that any form can be made from; makes nothing and prints nothing.
//!
//! Invariant: a field without a value is blank, and a field that is inferred has its chance.

use super::leiden::{Sign, read};
use crate::explain::how_sure;
use crate::find::Span;
use crate::findspot::Findspot;

/// What sort of thing is recorded.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// A coin, or near one.
    Coin,
    /// Anything else that was made.
    Artefact,
    /// Several pieces that lay together.
    Group,
}

impl Kind {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Coin => "coin",
            Kind::Artefact => "artefact",
            Kind::Group => "group",
        }
    }
}

/// What a value rests on.
#[derive(Clone, Debug, PartialEq)]
pub enum Standing {
    /// Read off a scale, callipers or a dial.
    Measured,
    /// Letters or figures read off the piece.
    Read,
    /// Seen by eye.
    Seen,
    /// Said, and by whom where that was said too.
    Told(Option<String>),
    /// Follows from what was measured, read and seen with this chance, 0.5 or more.
    Inferred(f64),
    /// Nothing carries half the chance: the value lists what it may be.
    Open,
    /// Not known.
    Blank,
}

impl Standing {
    /// The word for it, the same for people and programs.
    pub fn word(&self) -> &'static str {
        match self {
            Standing::Measured => "measured",
            Standing::Read => "read",
            Standing::Seen => "seen",
            Standing::Told(_) => "told",
            Standing::Inferred(_) => "inferred",
            Standing::Open => "open",
            Standing::Blank => "blank",
        }
    }

    /// The word with who said it, or with how sure it is: `inferred, probably (0.92)`.
    pub fn text(&self) -> String {
        match self {
            Standing::Told(Some(by)) => format!("told by {by}"),
            Standing::Inferred(chance) => {
                format!("inferred, {}", how_sure(*chance))
            }
            other => other.word().to_string(),
        }
    }
}

/// A number with its unit and its error.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantity {
    /// The number, in the unit.
    pub value: f64,
    /// `g`, `mm`, `h` (hours of the clock) or `cm` (depth).
    pub unit: &'static str,
    /// Half-width of the error, in the unit; none for what is counted or told.
    pub error: Option<f64>,
}

/// One field of a draft.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    /// Its name, for templates and programs: lower case, `_` between words.
    pub name: &'static str,
    /// Its label, for people.
    pub label: &'static str,
    /// What is known; empty when blank.
    pub value: String,
    /// What that rests on.
    pub standing: Standing,
    /// Addresses of concepts of open vocabularies that the value means.
    pub ids: Vec<String>,
    /// The number that the value prints, where it is one.
    pub quantity: Option<Quantity>,
}

impl Field {
    /// True when nothing is known.
    pub fn is_blank(&self) -> bool {
        self.standing == Standing::Blank
    }

    /// The signs of a legend; none of another field, and none where it was told in words that no
    /// letter can be read.
    pub fn signs(&self) -> Option<Vec<Sign>> {
        let told = matches!(self.standing, Standing::Told(_)) && !self.value.contains('[');
        let legend = LEGENDS.contains(&self.name) && !self.is_blank() && !told;
        legend.then(|| read(&self.value))
    }
}

/// How a legend field is to be read: the marks that its value prints are those of
/// [`leiden`](super::leiden).
pub const LEGENDS: [&str; 5] = [
    "obverse_legend",
    "obverse_legend_restored",
    "reverse_legend",
    "reverse_legend_restored",
    "legend",
];

/// Fields that name people, and stay out of what is passed on.
pub const PEOPLE: [&str; 3] = ["finder", "landowner", "decided_by"];

/// What is still missing, and why it matters.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// The field, or `look` for a look to be taken.
    pub name: &'static str,
    /// What to do, in a line.
    pub text: String,
}

/// The draft of a record.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// Coin, artefact or group.
    pub kind: Kind,
    /// All fields of its kind in the customary order, blank ones too.
    pub fields: Vec<Field>,
    /// The description in sentences.
    pub sentence: String,
    /// What is missing, most useful first.
    pub missing: Vec<Missing>,
    /// What to take care of, dangers first.
    pub cautions: Vec<String>,
    /// What else there is to say of the draft: what was assumed, what could not be used.
    pub notes: Vec<String>,
    /// The years of the field `date`, where it names one span.
    pub years: Option<Span>,
    /// Where it lay, as finely as this draft may say.
    pub findspot: Option<Findspot>,
}

impl Draft {
    /// A field by its name, blank or not.
    pub fn field(&self, name: &str) -> Option<&Field> {
        self.fields.iter().find(|field| field.name == name)
    }

    /// The value of a field; empty when it is blank or none of this kind.
    pub fn value(&self, name: &str) -> &str {
        self.field(name).map_or("", |field| field.value.as_str())
    }

    /// The finder's number, or the kind.
    pub fn title(&self) -> String {
        match self.value("number") {
            "" if self.kind == Kind::Group => {
                format!("Draft record of a group of {} pieces", self.value("count"))
            }
            "" => format!("Draft record of {}", with_article(self.kind)),
            number => format!("Draft record {number}"),
        }
    }
}

fn with_article(kind: Kind) -> &'static str {
    match kind {
        Kind::Coin => "a coin",
        Kind::Artefact => "an artefact",
        Kind::Group => "a group",
    }
}
