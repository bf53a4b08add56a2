//! Pictures: what the rooms reckoned, drawn in SVG.
//!
//! Draws and works nothing out; prints and writes no file.
//!
//! Invariant: text in a picture is escaped, so that no name can break it.

mod frame;
mod measures;

pub use measures::measures;

pub(crate) use crate::svg::{escaped, put};

/// Where a picture stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Setting {
    /// In a file of its own, which brings its colours.
    Alone,
    /// In a page whose stylesheet has them.
    Page,
}

/// The letter that stands for a type.
pub(crate) fn letter(place: usize) -> char {
    char::from(b'A' + place as u8)
}

/// Breaks a text into lines of at most so many characters, at blanks where there are any.
pub(crate) fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut used = 0;
    for word in text.split_whitespace() {
        let mut word: Vec<char> = word.chars().collect();
        if used > 0 && used + 1 + word.len() > width {
            lines.push(std::mem::take(&mut line));
            used = 0;
        }
        // A word longer than a line is cut: better in two than over the edge.
        while word.len() > width {
            lines.push(word.drain(..width).collect());
        }
        if used > 0 && !word.is_empty() {
            line.push(' ');
            used += 1;
        }
        used += word.len();
        line.extend(word);
    }
    if used > 0 || lines.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_broken_at_blanks_and_long_words_anywhere() {
        assert_eq!(wrap("one two three", 7), ["one two", "three"]);
        assert_eq!(wrap("one threefour", 5), ["one", "three", "four"]);
        assert_eq!(wrap("", 5), [""]);
        assert_eq!(wrap("ÆÐELRED REX", 8), ["ÆÐELRED", "REX"]);
    }
}
