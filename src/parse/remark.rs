//! What the parser has to say about what was typed.
//!
//! A remark is spoken to the finder: which field, the words at fault, what is
//! wrong or was assumed, and how to mend it. It never changes a find.
//!
//! Invariant: `said` holds the finder's own words, so that a test can see that
//! nothing was lost.

use std::fmt;

use unicode_normalization::{UnicodeNormalization, is_nfc};

use super::LONGEST;

/// Longest quotation shown of what was said; the value itself is kept whole.
const SHOWN: usize = 80;

/// What sort of remark it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RemarkKind {
    /// The words mean nothing to the library.
    NotUnderstood,
    /// The words name nothing of the library, and are weighed as words in which a face was described.
    WordsAlone,
    /// The value cannot be: a weight below nought, a 13 o'clock die axis.
    Impossible,
    /// Two statements do not agree; the first was kept.
    Contradiction,
    /// The words were used in a sense that had to be guessed.
    Assumed,
    /// Understood, but no evidence, so left out.
    Ignored,
}

/// One remark on what was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// What sort of remark it is.
    pub kind: RemarkKind,
    /// Name of the field, or `words` for free words.
    pub field: String,
    /// The finder's words.
    pub said: String,
    /// What is wrong with them, or how they were taken.
    pub what: String,
    /// How to mend it; empty when nothing need be done.
    pub mend: String,
}

impl Remark {
    /// A remark from its parts.
    pub(super) fn new(
        kind: RemarkKind,
        field: &str,
        said: &str,
        what: impl Into<String>,
        mend: impl Into<String>,
    ) -> Self {
        Remark {
            kind,
            field: field.to_string(),
            said: said.trim().to_string(),
            what: what.into(),
            mend: mend.into(),
        }
    }
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: ", self.field)?;
        if !self.said.is_empty() {
            let mut shown: String = self.said.chars().take(SHOWN).collect();
            if self.said.chars().nth(SHOWN).is_some() {
                shown.push('…');
            }
            write!(f, "\"{shown}\" ")?;
        }
        write!(f, "{}", self.what)?;
        if !self.mend.is_empty() {
            write!(f, "; {}", self.mend)?;
        }
        Ok(())
    }
}

/// The text as it can be read: at most [`LONGEST`] characters, composed, without
/// control or invisible characters. A remark tells of each thing taken away.
pub(super) fn clean(text: &str, field: &str) -> (String, Vec<Remark>) {
    let mut remarks = Vec::new();
    let mut kept = text;
    if let Some((end, _)) = text.char_indices().nth(LONGEST) {
        kept = &text[..end];
        let next: String = text[end..].chars().take(SHOWN).collect();
        remarks.push(Remark::new(
            RemarkKind::Ignored,
            field,
            &next,
            format!("and what follows was not read: a text may have {LONGEST} characters"),
            "describe one find in a few lines",
        ));
    }
    let hidden = |c: &char| invisible(*c);
    let removed = kept.chars().filter(hidden).count();
    let mut read: String = kept.chars().filter(|c| !invisible(*c)).collect();
    if removed > 0 {
        remarks.push(Remark::new(
            RemarkKind::Ignored,
            field,
            "",
            format!("{removed} invisible or control characters were taken out"),
            "type the words afresh if something is missing",
        ));
    }
    if !is_nfc(&read) {
        read = read.nfc().collect();
    }
    (read, remarks)
}

/// Control, zero-width and direction characters, which no finder means to type.
fn invisible(c: char) -> bool {
    let shows = matches!(c, '\n' | '\t' | '\r');
    (c.is_control() && !shows)
        || matches!(c, '\u{feff}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_remark_reads_as_a_sentence() {
        let remark = Remark::new(
            RemarkKind::Impossible,
            "weight",
            "-3",
            "is not possible",
            "write it as 1.2 g",
        );
        assert_eq!(
            remark.to_string(),
            "weight: \"-3\" is not possible; write it as 1.2 g"
        );
        let long = Remark::new(
            RemarkKind::Ignored,
            "words",
            &"x".repeat(200),
            "was not read",
            "",
        );
        assert!(long.to_string().chars().count() < 120);
    }

    #[test]
    fn cleaning_cuts_and_tells() {
        let (read, remarks) = clean("sil\0ver\u{200b}", "words");
        assert_eq!(read, "silver");
        assert_eq!(remarks.len(), 1);
        let (read, remarks) = clean(&"é".repeat(LONGEST + 5), "words");
        assert_eq!(read.chars().count(), LONGEST);
        assert_eq!(remarks[0].said, "ééééé");
        assert_eq!(
            clean("silver\n17 mm", "words"),
            ("silver\n17 mm".to_string(), Vec::new())
        );
    }
}
