//! What must not be told: names of people and of land, and places finer than agreed.
//!
//! Looks at texts and says whether they hold any of it, whatever their case and accents. Errs
//! towards leaving out.
//!
//! Invariant: a text that passes holds no name of an owner, tenant, finder, holding or field.

use std::collections::HashMap;

use unicode_normalization::UnicodeNormalization;

use super::super::super::text;

/// The names that must not be told.
#[derive(Default)]
pub(super) struct Guard {
    /// Names as words, by their first word.
    names: HashMap<String, Vec<Vec<String>>>,
    /// Names in the form of ids.
    folded: Vec<String>,
}

impl Guard {
    /// Adds a name.
    pub fn add(&mut self, name: &str) {
        let words = words(name);
        if let Some(first) = words.first() {
            let held = self.names.entry(first.clone()).or_default();
            if !held.contains(&words) {
                held.push(words);
            }
        }
        let folded = text::folded(name);
        if folded.chars().count() >= 4 && !self.folded.contains(&folded) {
            self.folded.push(folded);
        }
    }

    /// True when a text holds one of the names as words.
    pub fn names(&self, text: &str) -> bool {
        let words = words(text);
        words.iter().enumerate().any(|(at, word)| {
            let held = self.names.get(word);
            held.is_some_and(|held| held.iter().any(|name| words[at..].starts_with(name)))
        })
    }

    /// True when an id is made of one of the names.
    pub fn names_in_id(&self, id: &str) -> bool {
        let folded = text::folded(id);
        self.names(id) || self.folded.iter().any(|name| folded.contains(name))
    }

    /// True when a text that somebody typed may tell a name or a place.
    pub fn tells(&self, text: &str) -> bool {
        self.names_in_id(text) || tells_place(text)
    }
}

fn words(text: &str) -> Vec<String> {
    let plain: String = text
        .nfkd()
        .filter(|c| !is_mark(*c))
        .flat_map(char::to_lowercase)
        .collect();
    let words = plain.split(|c: char| !c.is_alphanumeric());
    words
        .filter(|word| !word.is_empty())
        .map(String::from)
        .collect()
}

/// True for an accent that stands by itself once a letter was taken apart.
fn is_mark(c: char) -> bool {
    ('\u{300}'..='\u{36f}').contains(&c)
}

/// True for a text with something like a grid reference finer than 1 km, or degrees.
fn tells_place(text: &str) -> bool {
    let plain: Vec<char> = text.nfkc().filter(|c| !c.is_whitespace()).collect();
    let (mut run, mut full) = (0, 0);
    for (at, c) in plain.iter().enumerate() {
        run = if c.is_ascii_digit() { run + 1 } else { 0 };
        // Eastings and northings may stand apart, with a comma between them.
        full = match c {
            ',' | ';' | '/' => full,
            c if c.is_ascii_digit() => full + 1,
            _ => 0,
        };
        let letters = |back: usize| {
            let from = at.checked_sub(run - 1 + back);
            from.is_some_and(|from| {
                plain[from..from + back]
                    .iter()
                    .all(char::is_ascii_alphabetic)
            })
        };
        // Two letters and six figures, or twelve figures in full.
        if full == 12 || run >= 6 && letters(2) {
            return true;
        }
    }
    // Degrees with three decimals or more.
    text.split(|c: char| !(c.is_ascii_digit() || c == '.'))
        .any(|number| {
            let parts = number.split_once('.');
            parts.is_some_and(|(whole, after)| whole.len() <= 2 && after.len() >= 4)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_found_whatever_their_case_and_accents() {
        let mut guard = Guard::default();
        for name in ["Ann Orchard", "Long Acre", "F1"] {
            guard.add(name);
        }
        for text in [
            "by ann  ORCHARD's oak",
            "LONG-ACRE, east",
            "field f1",
            "L\u{f3}ng Acre",
        ] {
            assert!(guard.names(text), "{text}");
        }
        for text in ["penny of Edward I", "an orchard", "acre long", "f12"] {
            assert!(!guard.names(text), "{text}");
        }
        assert!(guard.names_in_id("LONGACRE-7") && !guard.names_in_id("LA-7"));
    }

    #[test]
    fn places_are_found_in_texts() {
        for text in [
            "at SP 123 456",
            "SP12345678",
            "412340, 256780",
            "52.40512, -1.5",
        ] {
            assert!(tells_place(text), "{text}");
        }
        for text in [
            "SP 12 45",
            "1.21 g, 17.0 mm",
            "1279-1307",
            "type 1042, 17 mm",
        ] {
            assert!(!tells_place(text), "{text}");
        }
    }
}
