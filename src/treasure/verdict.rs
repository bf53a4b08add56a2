//! What is answered: the call, the rules behind it, what would decide, whom to tell, by when.
//!
//! Values and their fixed words only; judges nothing.
//!
//! Invariant: there are three calls, and none of them rules a find out.

use super::clock::Clock;
use super::law::Law;
use super::truth::{Chance, Truth};

/// What to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Call {
    /// No rule was found on these facts; record it all the same.
    RecordOnly,
    /// A rule may be met: ask, and report if in doubt.
    ReportIfUnsure,
    /// A rule is met on these facts.
    ReportNow,
}

impl Call {
    /// The word for programs.
    pub fn word(self) -> &'static str {
        match self {
            Call::ReportNow => "report_now",
            Call::ReportIfUnsure => "report_if_unsure",
            Call::RecordOnly => "record_only",
        }
    }

    /// The words for people.
    pub fn text(self) -> &'static str {
        match self {
            Call::ReportNow => "Report it now: a rule is met on these facts",
            Call::ReportIfUnsure => "Ask, and report it if you stay unsure: a rule may be met",
            Call::RecordOnly => {
                "Record it and show it to the recording officer: no rule was found on these facts, which is no ruling"
            }
        }
    }
}

impl From<Truth> for Call {
    fn from(truth: Truth) -> Call {
        match truth {
            Truth::No => Call::RecordOnly,
            Truth::Open => Call::ReportIfUnsure,
            Truth::Yes => Call::ReportNow,
        }
    }
}

/// A fact that would decide a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Decider {
    /// How old it is.
    Age,
    /// How much gold or silver is in it.
    Metal,
    /// Whether it is a coin or an object.
    CoinOrObject,
    /// Whether it is of the Iron Age or earlier.
    Prehistoric,
    /// Whether the pieces belong together.
    SameFind,
    /// Whether more of the group lies there or was lifted.
    More,
    /// Whether somebody hid it.
    Hidden,
    /// Whether the owner is known.
    Owner,
    /// Whether it tells something exceptional.
    Exceptional,
    /// Whether it belongs with an earlier find.
    Earlier,
    /// The day of finding.
    Found,
    /// Whose ground it is.
    Church,
    /// Whether it is of archaeological, historical or cultural interest.
    Interest,
    /// What the older law says.
    OlderLaw,
}

impl Decider {
    /// The word for programs.
    pub fn word(self) -> &'static str {
        match self {
            Decider::Age => "age",
            Decider::Metal => "metal",
            Decider::CoinOrObject => "coin-or-object",
            Decider::Prehistoric => "prehistoric",
            Decider::SameFind => "same-find",
            Decider::More => "more-of-it",
            Decider::Hidden => "hidden",
            Decider::Owner => "owner",
            Decider::Exceptional => "exceptional",
            Decider::Earlier => "earlier-find",
            Decider::Found => "day-found",
            Decider::Church => "church",
            Decider::Interest => "interest",
            Decider::OlderLaw => "older-law",
        }
    }

    /// What would decide, in a sentence.
    pub fn text(self) -> &'static str {
        match self {
            Decider::Age => "when it was made: somebody competent should date it",
            Decider::Metal => {
                "how much gold or silver is in it: a test by the museum, not a scratch or acid of your own"
            }
            Decider::CoinOrObject => {
                "whether it counts as a coin or as an object: ask the recording officer"
            }
            Decider::Prehistoric => "whether it is of the Iron Age or earlier",
            Decider::SameFind => {
                "whether the pieces were put or lost together: how they lay, how alike they are"
            }
            Decider::More => "whether more of the group lies there, or was lifted before",
            Decider::Hidden => {
                "whether somebody hid it to come back for it: a pot, a wrapping, a hollow, a group"
            }
            Decider::Owner => "whether the owner or the heirs are known",
            Decider::Exceptional => {
                "whether it tells something exceptional: ask the recording officer"
            }
            Decider::Earlier => "whether it belongs with the earlier find",
            Decider::Found => "the day on which it was found",
            Decider::Church => {
                "whether the ground is the Church of England's: ask the church and the recording officer"
            }
            Decider::Interest => {
                "whether it is of archaeological, historical or cultural interest: the people named say"
            }
            Decider::OlderLaw => "what the law of the day of finding says: ask the coroner",
        }
    }
}

/// A rule that is met or may be.
#[derive(Clone, Debug, PartialEq)]
pub struct Bite {
    /// The rule.
    pub law: &'static Law,
    /// Met, or open.
    pub truth: Truth,
    /// Positions of the pieces that it asks for.
    pub pieces: Vec<usize>,
    /// What would decide it, where it is open.
    pub decides: Vec<Decider>,
}

/// Something to ask oneself that nobody has said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Question {
    /// The rule that hangs on it.
    pub law: &'static Law,
    /// The question.
    pub text: &'static str,
}

/// Somebody to tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Contact {
    /// The word for programs.
    pub word: &'static str,
    /// Who, and how.
    pub text: &'static str,
}

/// What is known of a piece as far as the rules ask, with the chances where there are any.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// In the finder's words.
    pub name: String,
    /// How many.
    pub count: u32,
    /// At least 300 years old.
    pub old: Truth,
    /// The chance of it.
    pub old_chance: Option<Chance>,
    /// At least a tenth gold or silver.
    pub tenth: Truth,
    /// The chance of it.
    pub tenth_chance: Option<Chance>,
}

/// The whole answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// What to do.
    pub call: Call,
    /// What is known of each piece.
    pub standing: Vec<Standing>,
    /// The rules that are met or may be, met ones first.
    pub rules: Vec<Bite>,
    /// What nobody has said and what might matter.
    pub questions: Vec<Question>,
    /// Whom to tell, the first first.
    pub tell: Vec<Contact>,
    /// The last day, where one is counted.
    pub clock: Option<Clock>,
    /// Dangers, to be heeded before all else.
    pub dangers: Vec<&'static Law>,
    /// Law and practice that bear on it.
    pub notes: Vec<&'static Law>,
    /// What was taken for granted.
    pub assumed: Vec<String>,
}
