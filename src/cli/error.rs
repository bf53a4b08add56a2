//! Trouble: what went wrong, where, and what to do next.
//!
//! Lower case, no full stop; the hint says the next action.

use std::fmt;
use std::io;

use crate::HouseFault;

/// A fault that ends a verb.
#[derive(Debug)]
pub(crate) struct Trouble {
    what: String,
    hint: String,
    reader_left: bool,
}

impl Trouble {
    /// A fault with its hint; leave the hint empty when there is none to give.
    pub(super) fn new(what: impl Into<String>, hint: impl Into<String>) -> Trouble {
        Trouble {
            what: what.into(),
            hint: hint.into(),
            reader_left: false,
        }
    }

    /// What is wrong, and the mend.
    pub(crate) fn parts(&self) -> (&str, &str) {
        (&self.what, &self.hint)
    }

    /// What is wrong and its mend on one line, for a fault that does not end the verb.
    pub(super) fn told(&self) -> String {
        format!("{}; {}", self.what, self.hint)
    }

    /// True when whoever read the output went away: not a fault of ours.
    pub(super) fn reader_left(&self) -> bool {
        self.reader_left
    }
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "lynchet: {}", self.what)?;
        if self.hint.is_empty() {
            Ok(())
        } else {
            write!(f, "\n  {}", self.hint)
        }
    }
}

impl From<io::Error> for Trouble {
    fn from(error: io::Error) -> Trouble {
        let reader_left = error.kind() == io::ErrorKind::BrokenPipe;
        Trouble {
            what: error.to_string(),
            hint: String::new(),
            reader_left,
        }
    }
}

impl From<serde_json::Error> for Trouble {
    fn from(error: serde_json::Error) -> Trouble {
        io::Error::from(error).into()
    }
}

impl From<csv::Error> for Trouble {
    fn from(error: csv::Error) -> Trouble {
        match error.into_kind() {
            csv::ErrorKind::Io(error) => error.into(),
            other => Trouble::new(
                format!("the table could not be read or written: {other:?}"),
                "",
            ),
        }
    }
}

impl From<HouseFault> for Trouble {
    fn from(fault: HouseFault) -> Trouble {
        let hint = match &fault {
            HouseFault::Library(_) | HouseFault::Empty(_) => {
                "give --catalogue a folder shaped like the library's own, or leave it out"
            }
            HouseFault::Index(_) => "try again with --no-cache",
        };
        Trouble::new(fault.to_string(), hint)
    }
}
