//! Brackets in a reading: square for what is lost, round for what the reader adds.
//!
//! Continues the walk of `legend` over one pair of brackets. It reads nothing
//! outside them.
//!
//! Invariant: a letter in square brackets leaves a place, never a letter.

use super::legend::Row;
use crate::find::{Mark, fold};

impl Row {
    /// Position of the closing mark.
    pub(super) fn closing(&self, mark: char) -> Option<usize> {
        (self.at + 1..self.all.len()).find(|at| self.all[*at] == mark)
    }

    /// `[...]`: lost. `[[abc]]`: struck out but legible.
    pub(super) fn square(&mut self) {
        let mut depth = 0;
        while self.peek(depth) == Some('[') {
            depth += 1;
        }
        let Some(end) = self.closing(']') else {
            self.at += depth;
            let rest: Vec<char> = self.all.drain(self.at..).collect();
            if rest.iter().any(|c| c.is_alphanumeric()) {
                self.lost(&rest);
            } else {
                self.marks.push(Mark::Gap);
            }
            self.notes.push((
                "an opening bracket is not closed; all after it is taken as lost",
                "close it with ]",
            ));
            return;
        };
        let inside: Vec<char> = self.all[(self.at + depth).min(end)..end].to_vec();
        if depth == 2 {
            for c in inside {
                if c.is_alphanumeric() {
                    self.letter(c, false);
                } else if c == '.' {
                    self.marks.push(Mark::Lost(1));
                }
            }
        } else {
            self.lost(&inside);
        }
        self.at = end;
        let mut closed = 0;
        while closed < depth && self.peek(0) == Some(']') {
            closed += 1;
            self.at += 1;
        }
        if self.peek(0) == Some('?') {
            self.at += 1;
        }
    }

    /// What stands in square brackets: places without evidence.
    fn lost(&mut self, inside: &[char]) {
        let text: String = inside.iter().collect::<String>().trim().to_lowercase();
        if let Some(about) = about_how_many(&text) {
            self.marks.push(Mark::AboutLost(about));
            return;
        }
        if text.is_empty() {
            self.marks.push(Mark::Gap);
            return;
        }
        if text == "?" {
            self.marks.push(Mark::Lost(1));
            return;
        }
        for c in inside {
            match c {
                '.' | '_' => self.marks.push(Mark::Lost(1)),
                '…' => self.marks.push(Mark::Lost(3)),
                '-' | '–' | '—' | '‐' | '−' => self.marks.push(Mark::Gap),
                '/' | '|' => self.marks.push(Mark::Break),
                c => {
                    let places = fold(*c).chars().count();
                    if places > 0 {
                        self.marks.push(Mark::Lost(places));
                    }
                }
            }
        }
    }

    /// Round brackets: one of several letters, a query, or what the reader wrote out in full.
    pub(super) fn round(&mut self) {
        let Some(end) = self.closing(')') else {
            self.at += 1;
            return;
        };
        let inside: String = self.all[self.at + 1..end].iter().collect();
        let text = inside.trim().trim_matches(['(', ')']);
        let after_letter = self.back().is_some_and(|c| c.is_alphanumeric() || c == ']');
        let before_letter = self
            .all
            .get(end + 1)
            .is_some_and(|c| c.is_alphanumeric() || *c == '[');
        let choices: Vec<&str> = text
            .split(['/', '|'])
            .flat_map(|part| part.split(" or "))
            .map(str::trim)
            .collect();
        if choices.len() > 1 {
            self.one_of(&choices);
        } else if text == "?" {
            if after_letter {
                self.doubt()
            } else {
                self.marks.push(Mark::Lost(1))
            }
        } else if text.starts_with("vac") || text.chars().all(|c| !c.is_alphanumeric()) {
        } else if inside.starts_with('(') {
            if matches!(text.to_lowercase().as_str(), "crux" | "cross") {
                self.plus.push(self.marks.len());
            }
        } else if after_letter && !before_letter {
            self.notes.push((
                "letters in round brackets are taken as written out by the reader, not struck",
                "",
            ));
        } else {
            let places: usize = text.chars().map(|c| fold(c).chars().count()).sum();
            self.marks.push(Mark::Lost(places));
            self.notes.push((
                "letters in round brackets are taken as lost",
                "write [ ] for letters lost",
            ));
        }
        self.at = end + 1;
        while inside.starts_with('(') && self.peek(0) == Some(')') {
            self.at += 1;
        }
    }

    fn one_of(&mut self, choices: &[&str]) {
        let folded: Vec<String> = choices
            .iter()
            .map(|choice| choice.chars().map(fold).collect())
            .collect();
        let single: Vec<char> = folded
            .iter()
            .filter(|letters| letters.chars().count() == 1)
            .flat_map(|l| l.chars())
            .collect();
        if single.len() == choices.len() {
            self.marks.push(Mark::OneOf(single));
            return;
        }
        let longest = folded
            .iter()
            .map(|letters| letters.chars().count())
            .max()
            .unwrap_or(1);
        self.marks.push(Mark::AboutLost(longest.max(1)));
        self.notes.push((
            "a choice between groups of letters is taken as letters lost",
            "give a choice of single letters, such as (N/H)",
        ));
    }
}

/// The number in `[c.7]`, `[c. 7]`, `[about 7]`.
fn about_how_many(text: &str) -> Option<usize> {
    let rest = ["circa", "ca.", "c.", "c", "about", "~", "±"]
        .iter()
        .find_map(|mark| text.strip_prefix(mark))?;
    let many: usize = rest.trim().parse().ok()?;
    (1..=60).contains(&many).then_some(many)
}
