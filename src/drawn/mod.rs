//! Pictures: what the rooms reckoned, drawn in SVG.
//!
//! Draws and works nothing out; prints and writes no file.
//!
//! Invariant: text in a picture is escaped, so that no name can break it.

mod frame;
mod measures;

pub use measures::measures;

/// Where a picture stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Setting {
    /// In a file of its own, which brings its colours.
    Alone,
    /// In a page whose stylesheet has them.
    Page,
}

/// Adds a line.
pub(crate) fn put(svg: &mut String, line: &str) {
    svg.push_str(line);
    svg.push('\n');
}

/// The letter that stands for a type.
pub(crate) fn letter(place: usize) -> char {
    char::from(b'A' + place as u8)
}

/// Text fit for XML: its own signs spelled out, those it knows not left out.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            sign if sign.is_control() || matches!(sign, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            sign => out.push(sign),
        }
    }
    out
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

/// Relative luminance and contrast of two colours (WCAG 2.2, "relative luminance" and "contrast
/// ratio", W3C 2023).
#[cfg(test)]
pub(crate) fn contrast(a: &str, b: &str) -> f64 {
    let luminance = |colour: &str| {
        let part = |at: usize| {
            let whole = i64::from_str_radix(&colour[at..at + 2], 16).expect("a colour");
            let share = whole as f64 / 255.0;
            if share <= 0.04045 {
                share / 12.92
            } else {
                ((share + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5)
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
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

    #[test]
    fn words_cannot_break_the_picture() {
        assert_eq!(escaped("a<b>&\"c\u{1b}\u{0}"), "a&lt;b&gt;&amp;&quot;c  ");
    }
}
