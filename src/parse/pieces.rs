//! A text cut into parts at commas, semicolons and line ends, and the parts into
//! quotations and chunks between spaces.
//!
//! Knows punctuation and no words. A comma between two digits is a decimal comma;
//! commas and spaces inside square brackets or quotation marks do not cut.
//!
//! Invariant: every character that is not a space or a mark of separation stands
//! in just one piece.

use std::ops::Range;

/// Farthest, in bytes, that a closing quotation mark or bracket is looked for.
const CLOSING_WITHIN: usize = 400;

/// A stretch of text without a space.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Piece {
    /// What stands between quotation marks, without them.
    Quote(Range<usize>),
    /// Anything else.
    Chunk(Range<usize>),
}

impl Piece {
    /// Where it stands.
    pub fn range(&self) -> Range<usize> {
        match self {
            Piece::Quote(range) | Piece::Chunk(range) => range.clone(),
        }
    }
}

/// The stretch between two separators.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Part {
    /// Its pieces in order; never empty.
    pub pieces: Vec<Piece>,
}

impl Part {
    /// From its first piece to its last.
    pub fn range(&self) -> Range<usize> {
        let start = self.pieces.first().map_or(0, |piece| piece.range().start);
        start..self.pieces.last().map_or(start, |piece| piece.range().end)
    }
}

/// Cuts a text.
pub(super) fn parts(text: &str) -> Vec<Part> {
    let mut found = Vec::new();
    let mut part = Part::default();
    let mut at = 0;
    while let Some(c) = text[at..].chars().next() {
        if matches!(c, ',' | ';' | '\n' | '\r') {
            if !part.pieces.is_empty() {
                found.push(std::mem::take(&mut part));
            }
            at += c.len_utf8();
        } else if c.is_whitespace() {
            at += c.len_utf8();
        } else if let Some(inner) = quotation(text, at, c) {
            at = inner.end + text[inner.end..].chars().next().map_or(0, char::len_utf8);
            part.pieces.push(Piece::Quote(inner));
        } else {
            let end = chunk_end(text, at);
            part.pieces.push(Piece::Chunk(at..end));
            at = end;
        }
    }
    if !part.pieces.is_empty() {
        found.push(part);
    }
    found
}

/// The inside of a quotation that opens here, on one line and not too long.
fn quotation(text: &str, at: usize, opening: char) -> Option<Range<usize>> {
    let closing = match opening {
        '"' => '"',
        '“' | '„' => '”',
        '«' => '»',
        '‘' => '’',
        '\'' => '\'',
        _ => return None,
    };
    let start = at + opening.len_utf8();
    let single = matches!(opening, '\'' | '‘');
    let mut characters = text[start..]
        .char_indices()
        .take_while(|(far, c)| *far < CLOSING_WITHIN && *c != '\n')
        .peekable();
    while let Some((far, c)) = characters.next() {
        let word_goes_on = characters
            .peek()
            .is_some_and(|(_, next)| next.is_alphanumeric());
        if c == closing && !(single && word_goes_on) {
            let inner = start..start + far;
            return text[inner.clone()]
                .chars()
                .any(char::is_alphanumeric)
                .then_some(inner);
        }
    }
    None
}

/// Where the chunk that starts here ends.
fn chunk_end(text: &str, at: usize) -> usize {
    let mut previous = None;
    let mut skip_to = at;
    for (far, c) in text[at..].char_indices() {
        let here = at + far;
        if here < skip_to {
            previous = Some(c);
            continue;
        }
        let next = text[here + c.len_utf8()..].chars().next();
        let digit_before = previous.is_some_and(|p: char| p.is_ascii_digit());
        let decimal = c == ',' && digit_before && next.is_some_and(|n| n.is_ascii_digit());
        let inch = matches!(c, '"' | '”' | '″') && digit_before;
        let quote = matches!(c, '"' | '“' | '„' | '«') && previous.is_some() && !inch;
        if c.is_whitespace() || (matches!(c, ',' | ';') && !decimal) || quote {
            return here;
        }
        let after_small_word =
            previous.is_some_and(char::is_lowercase) || side_label(&text[at..here]);
        if matches!(c, ':' | '=') && after_small_word {
            return here + c.len_utf8();
        }
        if c == '[' {
            skip_to = bracket_end(text, here).unwrap_or(here);
        }
        previous = Some(c);
    }
    text.len()
}

/// Labels before a colon that may be typed in capitals.
fn side_label(word: &str) -> bool {
    ["OBVERSE", "OBV", "REVERSE", "REV", "READS", "LEGEND"].contains(&word)
}

/// Just after the bracket that closes the one opened here, on the same line.
fn bracket_end(text: &str, at: usize) -> Option<usize> {
    let inside = text[at..]
        .char_indices()
        .skip(1)
        .take_while(|(far, c)| *far < CLOSING_WITHIN && *c != '\n');
    inside
        .into_iter()
        .find(|(_, c)| *c == ']')
        .map(|(far, _)| at + far + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(text: &str) -> Vec<Vec<String>> {
        let shown = |piece: &Piece| match piece {
            Piece::Quote(range) => format!("<{}>", &text[range.clone()]),
            Piece::Chunk(range) => text[range.clone()].to_string(),
        };
        parts(text)
            .iter()
            .map(|part| part.pieces.iter().map(shown).collect())
            .collect()
    }

    #[test]
    fn commas_cut_but_not_between_digits_brackets_or_quotes() {
        assert_eq!(
            cut("silver, 1,2 g;worn"),
            [vec!["silver"], vec!["1,2", "g"], vec!["worn"]]
        );
        assert_eq!(
            cut("reads \"EDW, R\" 0.75\" wide"),
            [vec!["reads", "<EDW, R>", "0.75\"", "wide"]]
        );
        assert_eq!(cut("EDW[. . .]R,x"), [vec!["EDW[. . .]R"], vec!["x"]]);
        assert_eq!(
            cut("obv:crown\n'EDW R' king's"),
            [vec!["obv:", "crown"], vec!["<EDW R>", "king's"]]
        );
        assert_eq!(cut("D:G:REX"), [vec!["D:G:REX"]]);
        assert_eq!(cut(",;\n "), Vec::<Vec<String>>::new());
        assert_eq!(cut("\"open [x"), [vec!["\"open", "[x"]]);
    }
}
