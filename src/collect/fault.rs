//! What can go wrong with a shelf, and what mends it.
//!
//! Words only; decides nothing.
//!
//! Invariant: every fault names the file or the field, and says the next thing to do.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

/// What sort of fault it is, for those who act on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// There is no shelf there.
    NotThere,
    /// What lies there is no shelf.
    NotAShelf,
    /// A newer Lynchet has written it.
    Newer,
    /// It can be read but not written.
    ReadOnly,
    /// Another process is writing.
    Locked,
    /// The database is damaged.
    Damaged,
    /// The disk is full.
    Full,
    /// The disk failed in another way.
    Disk,
    /// A value is not possible.
    Field,
    /// The id is taken.
    Taken,
    /// There is nothing of that id.
    Unknown,
    /// Something else on the shelf still refers to it.
    InUse,
    /// It was changed since, so it cannot be undone.
    ChangedSince,
    /// A file is no photograph or document that is kept.
    File,
}

/// A fault: what is wrong and what mends it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShelfFault {
    /// What sort of fault it is.
    pub kind: Kind,
    /// What is wrong.
    pub what: String,
    /// What to do next.
    pub mend: String,
    /// The file it is about.
    pub file: Option<PathBuf>,
}

impl ShelfFault {
    /// A fault of this kind.
    pub fn new(kind: Kind, what: impl Into<String>, mend: impl Into<String>) -> ShelfFault {
        ShelfFault {
            kind,
            what: what.into(),
            mend: mend.into(),
            file: None,
        }
    }

    /// The fault of a field whose value is not possible.
    pub fn field(field: &str, what: impl fmt::Display, mend: impl Into<String>) -> ShelfFault {
        ShelfFault::new(Kind::Field, format!("{field}: {what}"), mend)
    }

    /// The same fault, of this file.
    pub fn of(mut self, file: &Path) -> ShelfFault {
        self.file.get_or_insert_with(|| file.to_path_buf());
        self
    }

    /// What a failure to read or write a file means.
    pub fn of_io(error: &io::Error, file: &Path) -> ShelfFault {
        let (kind, mend) = match error.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => (
                Kind::Full,
                "make room on the disk and try again; what was kept before is untouched",
            ),
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => (
                Kind::ReadOnly,
                "allow yourself to write there, or name another folder with --shelf DIR",
            ),
            io::ErrorKind::NotFound => (Kind::NotThere, "check the name of the file"),
            _ => (
                Kind::Disk,
                "check the disk; what was kept before is untouched",
            ),
        };
        ShelfFault::new(kind, format!("{}: {error}", file.display()), mend).of(file)
    }
}

impl fmt::Display for ShelfFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // The file is named once.
        match &self.file {
            Some(file) if !self.what.contains(&*file.to_string_lossy()) => {
                write!(f, "{}: {}; {}", file.display(), self.what, self.mend)
            }
            _ => write!(f, "{}; {}", self.what, self.mend),
        }
    }
}

impl std::error::Error for ShelfFault {}

/// SQLite has failed: what that means for the user.
impl From<rusqlite::Error> for ShelfFault {
    fn from(error: rusqlite::Error) -> ShelfFault {
        use rusqlite::ErrorCode as Code;
        let code = error.sqlite_error_code();
        let (kind, what, mend) = match code {
            Some(Code::DatabaseBusy | Code::DatabaseLocked) => (
                Kind::Locked,
                "the shelf is being written by another process and was still after 5 seconds"
                    .into(),
                "let the other one end, then try again; nothing was changed",
            ),
            Some(Code::DiskFull) => (
                Kind::Full,
                "the disk is full".into(),
                "make room and try again; what was kept before is untouched",
            ),
            Some(Code::DatabaseCorrupt | Code::NotADatabase) => (
                Kind::Damaged,
                format!("the shelf's database is damaged ({error})"),
                "see what can still be read with: lynchet collection check; then restore a backup",
            ),
            Some(Code::ReadOnly | Code::PermissionDenied) => (
                Kind::ReadOnly,
                "the shelf cannot be written".into(),
                "allow yourself to write in its folder, or name another with --shelf DIR",
            ),
            Some(Code::CannotOpen) => (
                Kind::Disk,
                "the shelf's database could not be opened".into(),
                "check that the folder can be read, or name another with --shelf DIR",
            ),
            Some(Code::ConstraintViolation) => constraint(&error),
            _ => (
                Kind::Disk,
                format!("the shelf's database failed: {error}"),
                "check the disk, then: lynchet collection check",
            ),
        };
        ShelfFault::new(kind, what, mend)
    }
}

fn constraint(error: &rusqlite::Error) -> (Kind, String, &'static str) {
    let text = error.to_string();
    if text.contains("FOREIGN KEY") {
        return (
            Kind::InUse,
            "something on the shelf still refers to it, or what it refers to is gone".into(),
            "take away or undo first what refers to it",
        );
    }
    if text.contains("UNIQUE") {
        return (
            Kind::Taken,
            format!("the shelf has that already ({text})"),
            "choose another id or name",
        );
    }
    (
        Kind::Field,
        format!("the shelf refuses the value ({text})"),
        "see the values that are possible with --help",
    )
}
