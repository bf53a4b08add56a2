//! The looks: the stylesheet, the script and the mark, held in the program.
//!
//! Serves these and nothing else by name.
//!
//! Invariant: the address of each changes with its bytes, so that a browser may keep it.

use std::sync::OnceLock;

use sha2::{Digest, Sha256};

use super::asked::Asked;
use super::desk::Desk;
use super::reply::{Fault, Reply};

/// Name, type and bytes of each.
const FILES: [(&str, &str, &str); 5] = [
    (
        "style.css",
        "text/css; charset=utf-8",
        include_str!("style.css"),
    ),
    (
        "bench.js",
        "text/javascript; charset=utf-8",
        include_str!("bench.js"),
    ),
    (
        "measure.js",
        "text/javascript; charset=utf-8",
        include_str!("measure.js"),
    ),
    (
        "size.js",
        "text/javascript; charset=utf-8",
        include_str!("size.js"),
    ),
    ("mark.svg", "image/svg+xml", include_str!("mark.svg")),
];

/// The address of one, with what changes when its bytes do.
pub(super) fn address(name: &str) -> String {
    static SUM: OnceLock<String> = OnceLock::new();
    let sum = SUM.get_or_init(|| {
        let mut sum = Sha256::new();
        FILES.iter().for_each(|file| sum.update(file.2));
        let digest = sum.finalize();
        digest
            .iter()
            .take(4)
            .map(|byte| format!("{byte:02x}"))
            .collect()
    });
    format!("/looks/{name}?{sum}")
}

/// Serves one.
pub(super) fn file(_: &Desk, asked: &Asked) -> Reply {
    let wanted = asked.path.get("name").unwrap_or_default();
    let found = FILES.iter().find(|file| file.0 == wanted);
    found.map_or_else(
        || Fault::nothing_here().into(),
        |(_, kind, text)| Reply::File {
            kind,
            bytes: text.as_bytes().to_vec(),
            save_as: None,
            lasting: true,
        },
    )
}
