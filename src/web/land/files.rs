//! Files of land: the document that leave was kept with, an area of GeoJSON.
//!
//! Hands out what the shelf keeps, as files to be saved and never as pages of the house.
//!
//! Invariant: a file is handed out under one of three fixed types and an ending that fits it,
//! whatever it was called when it came; one that is not as it was kept is not handed out.

use super::{address, gone, held};
use crate::collect::{Boundary, Form, Leave};
use crate::web::asked::Asked;
use crate::web::desk::Desk;
use crate::web::reply::{Fault, Reply};

/// The type under which each kind of document is handed out, and its ending. What is none of these
/// is plain text: the shelf keeps no other.
const TYPES: [(&str, &str, &str); 3] = [
    ("application/pdf", "application/pdf", "pdf"),
    ("application/geo+json", GEOJSON, "geojson"),
    ("text/plain", "text/plain; charset=utf-8", "txt"),
];
const GEOJSON: &str = "application/geo+json";

/// The address of the document of leave.
pub(super) fn of_leave(land: &str, leave: &Leave) -> String {
    format!("{}/leave/{}", address(land), leave.key)
}

/// The address of an area.
pub(super) fn of_bounds(land: &str, bound: &Boundary) -> String {
    format!("{}/bounds/{}", address(land), bound.key)
}

fn key(asked: &Asked) -> Option<i64> {
    asked.path.get("key")?.parse().ok()
}

/// A name for the file with the ending that its type has, whatever it was called.
fn named(name: &str, ending: &str) -> String {
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    let stem = if stem.trim().is_empty() {
        "document"
    } else {
        stem
    };
    format!("{stem}.{ending}")
}

pub(super) fn document(desk: &Desk, asked: &Asked) -> Reply {
    let made = (|| -> Result<Reply, Fault> {
        let (shelf, one) = held(desk, asked)?;
        let mut all = one.leave.iter();
        let leave = all.find(|leave| Some(leave.key) == key(asked));
        let leave = leave.ok_or_else(gone)?;
        let digest = leave.document.as_deref().ok_or_else(gone)?;
        let media = shelf.kept_file(digest)?.map(|file| file.media);
        let known = TYPES.iter().find(|known| Some(known.0) == media.as_deref());
        let (_, kind, ending) = known.unwrap_or(&TYPES[2]);
        let name = leave.document_name.as_deref().unwrap_or("document");
        let bytes = shelf.bytes_of(digest).map_err(|_| {
            Fault::new(
                404,
                "the document is gone or not as it was kept",
                "keep it again with the leave, or put it back from a backup",
            )
        })?;
        Ok(Reply::File {
            kind,
            bytes,
            save_as: Some(named(name, ending)),
            lasting: false,
        })
    })();
    made.into()
}

pub(super) fn area(desk: &Desk, asked: &Asked) -> Reply {
    let made = (|| -> Result<Reply, Fault> {
        let (_, one) = held(desk, asked)?;
        let mut all = one.boundaries.into_iter();
        let bound = all.find(|bound| Some(bound.key) == key(asked) && bound.form == Form::GeoJson);
        Ok(Reply::File {
            kind: GEOJSON,
            bytes: bound.ok_or_else(gone)?.text.into_bytes(),
            save_as: Some(named(&one.land.id, "geojson")),
            lasting: false,
        })
    })();
    made.into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_has_the_ending_of_its_type() {
        assert_eq!(named("agreement.html", "txt"), "agreement.txt");
        assert_eq!(named("leave 2026.pdf", "pdf"), "leave 2026.pdf");
        assert_eq!(named(".htaccess", "txt"), "document.txt");
    }
}
