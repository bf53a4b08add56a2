//! The reading of marks: one walk over what was typed.
//!
//! Takes a finder's short ways as well: a `?` after a letter, bare dots and dashes, a bracket that
//! is not closed. Prints nothing and never fails.
//!
//! Invariant: every letter that was typed is in a sign.

use super::{ARC, About, Break, DOT_BELOW, Doubt, LINE_BELOW, Sign};

/// Most letters that a mark may count.
const COUNT_MOST: usize = 200;
/// Most characters whose marks are read; no coin bears as many, and what follows stands as it is.
const READ_MOST: usize = 1000;

/// Reads a legend as typed into signs.
pub fn read(text: &str) -> Vec<Sign> {
    let mut all: Vec<char> = text.chars().filter(|c| !c.is_control()).collect();
    let rest = all.split_off(all.len().min(READ_MOST));
    let mut reader = Reader {
        all,
        at: 0,
        signs: Vec::new(),
    };
    reader.walk();
    rest.into_iter().for_each(|c| reader.clear(c));
    reader.signs
}

struct Reader {
    all: Vec<char>,
    at: usize,
    signs: Vec<Sign>,
}

impl Reader {
    fn peek(&self, ahead: usize) -> Option<char> {
        self.all.get(self.at + ahead).copied()
    }

    /// Text up to a closing mark, where there is one; the mark is passed over.
    fn up_to(&mut self, opening: usize, close: &str) -> Option<String> {
        let close: Vec<char> = close.chars().collect();
        let from = self.at + opening;
        let end = (from..self.all.len()).find(|at| self.all[*at..].starts_with(&close))?;
        let inside = self.all[from..end].iter().collect();
        self.at = end + close.len();
        Some(inside)
    }

    fn walk(&mut self) {
        while let Some(c) = self.peek(0) {
            let next = self.peek(1);
            let done = match c {
                '[' if next == Some('[') => self.erased(),
                '[' => self.square(),
                '(' if next == Some('(') => self.described(),
                '(' => self.round(),
                '<' => self.up_to(1, ">").map(Sign::LeftOut),
                '{' => self.up_to(1, "}").map(Sign::Surplus),
                '⌈' => self
                    .up_to(1, "⌉")
                    .map(|right| Sign::Corrected(right, String::new())),
                '←' => self.step(1, Sign::RightToLeft),
                '|' => self.step(1, Sign::Break(Break::Line)),
                '/' if next == Some('/') => self.step(2, Sign::Break(Break::Exergue)),
                '/' => self.step(1, Sign::Break(Break::Stroke)),
                '-' | '–' | '—' | '‐' | '‑' | '−' => self.dashes(),
                '.' | '…' => self.dots(),
                '_' => self.step(1, Sign::Lost(Some(1), About::Exactly)),
                c if c.is_alphanumeric() => self.letter(c),
                _ => None,
            };
            match done {
                Some(sign) => self.signs.push(sign),
                None => {
                    self.at += 1;
                    self.clear(c);
                }
            }
        }
    }

    fn step(&mut self, by: usize, sign: Sign) -> Option<Sign> {
        self.at += by;
        Some(sign)
    }

    fn clear(&mut self, c: char) {
        match self.signs.last_mut() {
            Some(Sign::Clear(letters)) => letters.push(c),
            _ => self.signs.push(Sign::Clear(c.to_string())),
        }
    }

    /// A letter with what stands on or after it: a dot below, a query, a line below, an arc.
    fn letter(&mut self, c: char) -> Option<Sign> {
        match self.peek(1) {
            Some(DOT_BELOW) => {
                self.at += 2;
                self.marked(
                    c,
                    |sign| match sign {
                        Sign::Unclear(letters) => Some(letters),
                        _ => None,
                    },
                    Sign::Unclear,
                )
            }
            Some('?') => {
                self.at += 2;
                self.marked(
                    c,
                    |sign| match sign {
                        Sign::Unclear(letters) => Some(letters),
                        _ => None,
                    },
                    Sign::Unclear,
                )
            }
            Some(LINE_BELOW) => {
                self.at += 2;
                self.marked(
                    c,
                    |sign| match sign {
                        Sign::Earlier(letters) => Some(letters),
                        _ => None,
                    },
                    Sign::Earlier,
                )
            }
            Some(ARC) => {
                let mut joined = c.to_string();
                while let (Some(ARC), Some(more)) = (self.peek(1), self.peek(2)) {
                    joined.push(more);
                    self.at += 2;
                }
                self.at += 1;
                if joined.chars().count() > 1 {
                    return Some(Sign::Ligature(joined));
                }
                self.clear(c);
                self.letter_done()
            }
            _ => None,
        }
    }

    /// Adds a letter to a run of its standing, or begins one.
    fn marked(
        &mut self,
        c: char,
        run: impl Fn(&mut Sign) -> Option<&mut String>,
        new: impl Fn(String) -> Sign,
    ) -> Option<Sign> {
        match self.signs.last_mut().and_then(run) {
            Some(letters) => {
                letters.push(c);
                self.letter_done()
            }
            None => Some(new(c.to_string())),
        }
    }

    /// What was read is in its place already.
    fn letter_done(&mut self) -> Option<Sign> {
        self.signs.pop()
    }

    fn square(&mut self) -> Option<Sign> {
        let inside = match self.up_to(1, "]") {
            Some(inside) => inside,
            None => {
                // Not closed: all after it counts as lost.
                self.at += 1;
                self.all.drain(self.at..).collect()
            }
        };
        let mut signs = within(inside.trim());
        let last = signs.pop();
        self.signs.append(&mut signs);
        last
    }

    /// `[[abc]]`, `[[[...]]]`.
    fn erased(&mut self) -> Option<Sign> {
        let close = match self.peek(2) {
            Some('[') => "]]]",
            _ => "]]",
        };
        let before = self.at;
        let inside = self.up_to(2, close)?;
        if before == self.at {
            return None;
        }
        let inside = match close {
            "]]]" => format!("{inside}]"),
            _ => inside,
        };
        Some(Sign::Erased(read(&inside)))
    }

    /// `((crux))`, `((monogram))`, `((reversed V))`.
    fn described(&mut self) -> Option<Sign> {
        let inside = self.up_to(2, "))")?;
        let inside = inside.trim();
        let of = |word: &str| {
            inside
                .strip_prefix(word)
                .map(|rest| rest.trim().to_string())
        };
        Some(match inside {
            "monogram" => Sign::Monogram,
            _ => match (of("reversed "), of("inverted ")) {
                (Some(letters), _) => Sign::Reversed(letters),
                (_, Some(letters)) => Sign::Inverted(letters),
                _ => Sign::Symbol(inside.to_string()),
            },
        })
    }

    /// `(vac.3)`, `(N/H)`, `Aug(ustus)`, `ab(---)`, `a(bc?)`.
    fn round(&mut self) -> Option<Sign> {
        let inside = self.up_to(1, ")")?;
        if let Some(count) = inside.trim().strip_prefix("vac.") {
            let count = count.trim().parse().ok().filter(|c| *c <= COUNT_MOST);
            return Some(Sign::Space(count.unwrap_or(1)));
        }
        let choices: Vec<String> = inside.split(['/', '|']).map(|c| c.trim().into()).collect();
        if choices.len() > 1 && choices.iter().all(|choice| !choice.is_empty()) {
            return Some(Sign::OneOf(choices));
        }
        if inside == "?" {
            return match self.taken_word() {
                Some(stands) => Some(Sign::Unclear(stands)),
                None => Some(Sign::Lost(Some(1), About::Exactly)),
            };
        }
        let Some(stands) = self.taken_word() else {
            return Some(Sign::Expanded(String::new(), inside, Doubt::Firm));
        };
        let bare = inside.trim_matches(['-', '–', '—', ' ']);
        Some(if bare.is_empty() {
            Sign::Abbreviated(stands)
        } else if let Some(added) = inside.strip_suffix('?') {
            Sign::Expanded(stands, added.to_string(), Doubt::Doubtful)
        } else {
            Sign::Expanded(stands, inside, Doubt::Firm)
        })
    }

    /// The letters that stand last, taken out of the run of clear ones.
    fn taken_word(&mut self) -> Option<String> {
        let Some(Sign::Clear(letters)) = self.signs.last_mut() else {
            return None;
        };
        let start = letters
            .char_indices()
            .rev()
            .take_while(|(_, c)| c.is_alphanumeric())
            .last()
            .map(|(at, _)| at)?;
        let word = letters.split_off(start);
        if letters.is_empty() {
            self.signs.pop();
        }
        Some(word)
    }

    /// One dash between letters is where the design cuts; six or more are a line; others a gap.
    fn dashes(&mut self) -> Option<Sign> {
        let dash = |c: char| matches!(c, '-' | '–' | '—' | '‐' | '‑' | '−');
        let run = self.all[self.at..].iter().take_while(|c| dash(**c)).count();
        let before = self.at.checked_sub(1).map(|at| self.all[at]);
        let before = before.is_some_and(|c| c.is_alphanumeric() || "])?\u{323}".contains(c));
        let after = self.peek(run);
        let after = after.is_some_and(|c| c.is_alphanumeric() || "[(".contains(c));
        let sign = match run {
            1 if before && after => Sign::Break(Break::Cut),
            run if run >= 6 => Sign::LineLost,
            _ => Sign::Lost(None, About::Exactly),
        };
        self.step(run, sign)
    }

    /// One dot is a stop; two between letters are two letters lost; more are a gap.
    fn dots(&mut self) -> Option<Sign> {
        let run = self.all[self.at..]
            .iter()
            .take_while(|c| matches!(c, '.' | '…'))
            .count();
        let dots: usize = self.all[self.at..self.at + run]
            .iter()
            .map(|c| if *c == '…' { 3 } else { 1 })
            .sum();
        let before = self.at.checked_sub(1).map(|at| self.all[at]);
        let between = before.is_some_and(char::is_alphanumeric)
            && self.peek(run).is_some_and(char::is_alphanumeric);
        match dots {
            1 => None,
            2 if between => self.step(run, Sign::Lost(Some(2), About::Exactly)),
            _ => self.step(run, Sign::Lost(None, About::Exactly)),
        }
    }
}

/// What stands in square brackets: lost letters, counted or not, and restored ones.
fn within(inside: &str) -> Vec<Sign> {
    if inside.is_empty() {
        return vec![Sign::Lost(None, About::Exactly)];
    }
    if let Some(count) = about(inside) {
        return vec![Sign::Lost(Some(count), About::Roughly)];
    }
    let (sure, letters) = match (inside.strip_prefix('?'), inside.strip_suffix('?')) {
        (Some(""), _) => return vec![Sign::Lost(Some(1), About::Exactly)],
        (Some(rest), _) | (None, Some(rest)) => (Doubt::Doubtful, rest),
        (None, None) => (Doubt::Firm, inside),
    };
    let mut signs: Vec<Sign> = Vec::new();
    for c in letters.chars() {
        let lost = match c {
            '.' | '_' => Some(1),
            '…' => Some(3),
            _ => None,
        };
        match (lost, c, signs.last_mut()) {
            (Some(more), _, Some(Sign::Lost(Some(count), _))) => {
                *count = (*count + more).min(COUNT_MOST);
            }
            (Some(more), ..) => signs.push(Sign::Lost(Some(more), About::Exactly)),
            (None, '-' | '–' | '—' | '‐' | '−', Some(Sign::Lost(None, _))) => {}
            (None, '-' | '–' | '—' | '‐' | '−', _) => {
                signs.push(Sign::Lost(None, About::Exactly));
            }
            (None, '/', _) => signs.push(Sign::Break(Break::Stroke)),
            (None, '|', _) => signs.push(Sign::Break(Break::Line)),
            (None, c, Some(Sign::Restored(letters, _))) => letters.push(c),
            (None, c, _) => signs.push(Sign::Restored(c.to_string(), sure)),
        }
    }
    signs
}

/// The number of `c.7`.
fn about(inside: &str) -> Option<usize> {
    let rest = ["circa", "ca.", "c.", "about", "~"]
        .iter()
        .find_map(|mark| inside.strip_prefix(mark))?;
    let count: usize = rest.trim().parse().ok()?;
    (1..=COUNT_MOST).contains(&count).then_some(count)
}
