//! What an export says of itself: a page for people, and RO-Crate for programs.
//!
//! RO-Crate 1.1 (<https://w3id.org/ro/crate/1.1>): the descriptor, the root with its parts, a part
//! for every file. Days are those in the data; no clock is read.
//!
//! Invariant: every file of the folder but the descriptor itself is listed as a part.

use rusqlite::Connection;
use serde_json::{Value, json};

use super::super::super::Shelf;
use super::super::super::fault::ShelfFault;
use super::folder::Out;
use super::sheets::{FILE_COLUMNS, FILES, Holds, SHEETS, columns};
use super::whole::listed;

/// Name of the page.
pub(super) const README: &str = "README.md";
/// Name of the descriptor (RO-Crate 1.1, "RO-Crate Structure").
const CRATE: &str = "ro-crate-metadata.json";

/// What is said of the whole.
struct Said<'t> {
    name: &'t str,
    what: &'t str,
    terms: &'t str,
}

/// Describes a whole export.
pub(super) fn whole(shelf: &Shelf, out: &mut Out, known: &Connection) -> Result<(), ShelfFault> {
    let mut page = String::from(
        "# A shelf of finds, whole\n\n\
         Everything that is kept on the shelf: tables (CSV, UTF-8, RFC 4180), photographs and \
         documents as they were given, and where the finds lay (GeoJSON). A shelf is made of it \
         again with `lynchet collection import`.\n\n\
         **Not for sharing:** it holds exact findspots, the names of owners and finders, and \
         photographs that may carry the place where they were taken. For sharing export with \
         `--share`.\n\n\
         An empty cell says that nothing is said. A cell that a spreadsheet would take for a \
         formula has an apostrophe before it. Days are written year first; weights are in grams, \
         sizes in millimetres; years BC are negative. The column `key` is the shelf's own number \
         of a row, by which `changes.csv` names it; land and finds are named by their ids.\n",
    );
    for sheet in &SHEETS {
        page.push_str(&format!(
            "\n## {}\n\n{}.\n\n",
            sheet.file,
            first_large(sheet.what)
        ));
        for column in columns(known, sheet.table)? {
            let of = sheet.refs.iter().find(|(name, _)| *name == column.name);
            let holds = match (of, column.holds) {
                (Some((_, table)), _) => format!("id of the {table}"),
                (None, Holds::Whole) => "whole number".into(),
                (None, Holds::Real) => "number".into(),
                (None, Holds::Text) => "text".into(),
            };
            let needed = if column.needed { ", never nothing" } else { "" };
            page.push_str(&format!("- `{}`: {holds}{needed}\n", column.name));
        }
    }
    let columns = FILE_COLUMNS.map(|name| format!("`{name}`")).join(", ");
    page.push_str(&format!(
        "\n## {FILES}\n\nEvery kept file: {columns}. The digest is the SHA-256 of its bytes; a file \
         without a key belongs to something that was taken away, so that it can be put back.\n",
    ));
    out.put(
        README,
        "text/markdown",
        "what the tables hold",
        page.as_bytes(),
    )?;
    let said = Said {
        name: "A shelf of finds",
        what: "Finds, the land they were found on, leave, photographs, and every change, as kept \
               with Lynchet. Holds exact findspots and names of people: not for sharing.",
        terms: "Private: not to be passed on. What belongs to whom is for the owner of the land \
                and the finder to say.",
    };
    crate_of(shelf, out, &said)
}

/// Describes an export for sharing; `cut` says what was cut.
pub(super) fn shared(shelf: &Shelf, out: &mut Out, cut: &str) -> Result<(), ShelfFault> {
    let mut page = format!(
        "# Finds, for sharing\n\n{cut}\n\nTables are CSV (UTF-8, RFC 4180); an empty cell says \
         that nothing is said, or that it was left out. A cell that a spreadsheet would take for a \
         formula has an apostrophe before it. Weights are in grams, sizes in millimetres; years BC \
         are negative. An identification is a chance and no certainty unless somebody confirmed \
         it. A shelf cannot be made of this again: for that export without `--share`.\n\n## Files\n\n",
    );
    for part in listed(&out.parts) {
        page.push_str(&format!("- `{}`: {}\n", part.name, part.what));
    }
    out.put(README, "text/markdown", "what is here", page.as_bytes())?;
    let said = Said {
        name: "Finds, for sharing",
        what: cut,
        terms: "To be agreed with whoever shared it: nothing was said.",
    };
    crate_of(shelf, out, &said)
}

fn first_large(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(chars).collect()
    })
}

fn crate_of(shelf: &Shelf, out: &mut Out, said: &Said<'_>) -> Result<(), ShelfFault> {
    let parts: Vec<Value> = out
        .parts
        .iter()
        .map(|part| json!({ "@id": part.name }))
        .collect();
    let mut graph = vec![
        json!({
            "@id": CRATE,
            "@type": "CreativeWork",
            "conformsTo": { "@id": "https://w3id.org/ro/crate/1.1" },
            "about": { "@id": "./" },
        }),
        json!({
            "@id": "./",
            "@type": "Dataset",
            "name": said.name,
            "description": said.what,
            "datePublished": last_day(shelf),
            "license": { "@id": "#terms" },
            "hasPart": parts,
        }),
        json!({
            "@id": "#terms",
            "@type": "CreativeWork",
            "name": "Terms",
            "description": said.terms,
        }),
    ];
    graph.extend(out.parts.iter().map(|part| {
        json!({
            "@id": part.name,
            "@type": "File",
            "name": part.what,
            "encodingFormat": part.media,
            "contentSize": part.bytes.to_string(),
        })
    }));
    let whole = json!({ "@context": "https://w3id.org/ro/crate/1.1/context", "@graph": graph });
    let mut text = serde_json::to_vec_pretty(&whole).unwrap_or_default();
    text.push(b'\n');
    out.put(CRATE, "application/ld+json", "what this folder is", &text)
}

/// The day of the last act: the data are as of then.
fn last_day(shelf: &Shelf) -> String {
    let sql = "SELECT substr(at, 1, 10) FROM act ORDER BY seq DESC LIMIT 1";
    let day = shelf.db.query_row(sql, [], |row| row.get::<_, String>(0));
    let day = day
        .ok()
        .filter(|day| crate::treasure::When::read(day).is_ok());
    // A shelf on which nothing was ever done has no day; a crate needs one.
    day.unwrap_or_else(|| "1970-01-01".into())
}
