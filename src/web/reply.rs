//! What a page answers with: plain values that the server turns into a response.
//!
//! Sets no guard's headers and knows no network.
//!
//! Invariant: a fault is shown as a page that says what is wrong and what to do next, and nothing
//! that a visitor sent is put into a header.

use std::sync::Arc;

use maud::Markup;

use super::page::Place;
use super::passing::Passing;
use crate::collect::{Kind, ShelfFault};

/// An answer.
#[derive(Clone, Debug)]
pub(super) enum Reply {
    /// A whole page.
    Page {
        /// What part of the house it belongs to.
        place: Place,
        /// Its title, without the house's name.
        title: String,
        /// What stands in its `main`.
        body: Markup,
    },
    /// A page whose form was refused, with what was typed and what is wrong.
    Refused {
        /// What part of the house it belongs to.
        place: Place,
        /// Its title.
        title: String,
        /// What stands in its `main`.
        body: Markup,
    },
    /// A page, and how large the screen draws a millimetre, for the browser to keep.
    Sized {
        /// The size as a plain figure.
        screen: String,
        /// The page.
        page: Box<Reply>,
    },
    /// The changing part of a page, for the script.
    Part(Markup),
    /// On to another page, after a change; a path of this house that begins with `/`.
    Onward(String),
    /// A file.
    File {
        /// Its type, `image/svg+xml` and the like.
        kind: &'static str,
        /// Its bytes.
        bytes: Vec<u8>,
        /// The name under which it is saved; none when it is to be shown.
        save_as: Option<String>,
        /// True when its address changes with its bytes, so that it may be kept.
        lasting: bool,
    },
    /// A file that was made for this answer alone, and is gone once it was sent.
    Passing {
        /// Its type.
        kind: &'static str,
        /// Where it lies.
        file: Arc<Passing>,
        /// The name under which it is saved.
        save_as: String,
    },
    /// What is wrong, and what to do next.
    Fault(Fault),
    /// A visitor was let in: the cookie's value, and on to the first page.
    LetIn(String),
}

impl Reply {
    /// A page whose form was refused, where it is a page.
    pub(super) fn refused(self) -> Reply {
        self.refused_if(true)
    }

    /// The same where that is so.
    pub(super) fn refused_if(self, refused: bool) -> Reply {
        match self {
            Reply::Page { place, title, body } if refused => Reply::Refused { place, title, body },
            other => other,
        }
    }
}

/// A fault for a visitor.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Fault {
    /// The status of the response.
    pub(super) status: u16,
    /// What is wrong.
    pub(super) what: String,
    /// What to do next.
    pub(super) mend: String,
}

impl Fault {
    /// A fault.
    pub(super) fn new(status: u16, what: impl Into<String>, mend: impl Into<String>) -> Fault {
        Fault {
            status,
            what: what.into(),
            mend: mend.into(),
        }
    }

    /// Nothing is at an address.
    pub(super) fn nothing_here() -> Fault {
        Fault::new(
            404,
            "there is no such page",
            "go on from the bench, the tray or the library",
        )
    }
}

impl From<ShelfFault> for Fault {
    fn from(fault: ShelfFault) -> Fault {
        let status = match fault.kind {
            Kind::NotThere | Kind::Unknown => 404,
            Kind::Field | Kind::File => 422,
            _ => 409,
        };
        Fault::new(status, fault.what, fault.mend)
    }
}

impl From<Fault> for Reply {
    fn from(fault: Fault) -> Reply {
        Reply::Fault(fault)
    }
}

impl From<Result<Reply, Fault>> for Reply {
    fn from(done: Result<Reply, Fault>) -> Reply {
        done.unwrap_or_else(Reply::Fault)
    }
}
