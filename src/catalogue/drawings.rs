//! The library's drawings: where the drawing of a class, of a word of form or of a motif stands, and
//! its text.
//!
//! Hands over text as it was read; draws nothing, and leaves to the rule `drawings` what a
//! drawing may hold. No find is judged by one.
//!
//! Invariant: kind and id alone tell where a drawing stands.

use super::files::Files;

/// What a drawing is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Drawn {
    /// A class of artefacts.
    Class,
    /// A word of form.
    Form,
    /// A motif of coins.
    Motif,
}

impl Drawn {
    /// Every kind, in order of their folders.
    pub const ALL: [Drawn; 3] = [Drawn::Class, Drawn::Form, Drawn::Motif];

    /// The folder of its drawings, below that of all drawings.
    pub(super) fn folder(self) -> &'static str {
        match self {
            Drawn::Class => "classes",
            Drawn::Form => "forms",
            Drawn::Motif => "motifs",
        }
    }

    /// What it is called where one is meant.
    pub fn name(self) -> &'static str {
        match self {
            Drawn::Class => "class",
            Drawn::Form => "form",
            Drawn::Motif => "motif",
        }
    }
}

/// Where the drawing of a class, a form or a motif stands below the library's folder, if there is one.
pub fn drawing_path(kind: Drawn, id: &str) -> String {
    format!("drawings/{}/{id}.svg", kind.folder())
}

/// The drawing of a class, a form or a motif as SVG; `None` where the library has none.
pub fn drawing<'f>(files: &'f Files, kind: Drawn, id: &str) -> Option<&'f str> {
    files.get(&drawing_path(kind, id)).map(String::as_str)
}

#[cfg(test)]
mod tests {
    use super::super::packed::is_drawing;
    use super::*;

    #[test]
    fn a_drawing_is_found_by_kind_and_id() {
        let path = "drawings/forms/oval.svg";
        let files = Files::from([(path.to_string(), "<svg/>".to_string())]);
        assert!(is_drawing(path) && !is_drawing("drawings/README.md"));
        assert_eq!(drawing(&files, Drawn::Form, "oval"), Some("<svg/>"));
        assert_eq!(drawing(&files, Drawn::Class, "oval"), None);
        assert_eq!(drawing(&files, Drawn::Form, "../oval"), None);
    }
}
