//! Letters as they were read, with the marks of the trade for what is lost.
//!
//! `[CO]NST[.]NT[---]`: letters in square brackets are lost and only their places
//! count; a dot inside is one lost letter, dashes any number. It knows no legend
//! of the library.
//!
//! Invariant: a letter that the finder restored never becomes evidence.

use unicode_normalization::UnicodeNormalization;

use super::remark::{Remark, RemarkKind, clean};
use crate::find::{Mark, Reading, Side, fold};

/// Most characters of one legend: no coin bears more.
pub(super) const LONGEST_LEGEND: usize = 400;

/// Notes about a legend that stand among its letters and are no letters.
const NOTES: [&str; 32] = [
    "in",
    "on",
    "the",
    "exergue",
    "ex",
    "fields",
    "left",
    "right",
    "above",
    "below",
    "beneath",
    "under",
    "between",
    "inner",
    "outer",
    "circle",
    "either",
    "side",
    "two",
    "three",
    "four",
    "lines",
    "line",
    "runes",
    "runic",
    "blundered",
    "inverted",
    "around",
    "and",
    "across",
    "field",
    "legend",
];

/// Words that say that nothing could be read.
const NOTHING_READ: [&str; 18] = [
    "illegible",
    "unreadable",
    "unclear",
    "none",
    "no",
    "nothing",
    "worn",
    "missing",
    "off",
    "flan",
    "lost",
    "legend",
    "away",
    "not",
    "visible",
    "letters",
    "unknown",
    "gone",
];

/// Reads letters with Leiden-like marks. Gives no reading when no letter is
/// evidence; the remark says so, unless nothing was written at all.
pub fn reading(text: &str, side: Side) -> (Option<Reading>, Vec<Remark>) {
    read(text, side, "legend", false)
}

/// As [`reading`], for a field by name, and for letters said elsewhere to run backwards.
pub(super) fn read(
    text: &str,
    side: Side,
    field: &str,
    backwards: bool,
) -> (Option<Reading>, Vec<Remark>) {
    let (text, mut remarks) = clean(text, field);
    let said = text.trim().to_string();
    if said.is_empty() {
        return (None, remarks);
    }
    let (letters, retrograde) = without_notes(&said, field, &mut remarks);
    let all = at_most_one_legend(&letters, field, &mut remarks);
    let mut row = Row {
        all,
        at: 0,
        marks: Vec::new(),
        plus: Vec::new(),
        words: Vec::new(),
        odd: String::new(),
        notes: Vec::new(),
    };
    row.walk();
    row.tidy();
    let (from_start, retrograde) = row.turn(retrograde || backwards);
    for (what, mend) in std::mem::take(&mut row.notes) {
        remarks.push(Remark::new(RemarkKind::Assumed, field, &said, what, mend));
    }
    if !row.odd.is_empty() {
        remarks.push(Remark::new(
            RemarkKind::Ignored,
            field,
            &row.odd,
            "is no letter and no mark that is known here",
            "",
        ));
    }
    let reading = Reading {
        side,
        said: said.clone(),
        marks: row.marks,
        words: row.words,
        retrograde,
        from_start,
        to_end: false,
    };
    foreign(&reading, field, &mut remarks);
    if reading.letters_seen() > 0 {
        return (Some(reading), remarks);
    }
    remarks.push(Remark::new(
        RemarkKind::Ignored,
        field,
        &said,
        "has no letter that was seen, so it carries no evidence",
        "give the letters that can be read, such as [---]RIC",
    ));
    (None, remarks)
}

/// The characters of one legend, accents apart; the rest is named in a remark.
fn at_most_one_legend(letters: &str, field: &str, remarks: &mut Vec<Remark>) -> Vec<char> {
    let mut all: Vec<char> = letters.nfd().take(LONGEST_LEGEND + 1).collect();
    if all.len() > LONGEST_LEGEND {
        all.truncate(LONGEST_LEGEND);
        let rest: String = letters.chars().skip(LONGEST_LEGEND).collect();
        let what = "is more than a coin bears";
        remarks.push(Remark::new(
            RemarkKind::Ignored,
            field,
            &rest,
            what,
            "give one legend",
        ));
    }
    all
}

/// The letters without words such as "retrograde" or "in runes" that stand beside them.
fn without_notes(said: &str, field: &str, remarks: &mut Vec<Remark>) -> (String, bool) {
    let words: Vec<&str> = said.split_whitespace().collect();
    let bare = |word: &str| {
        word.trim_matches(|c: char| !c.is_alphanumeric())
            .to_lowercase()
    };
    let retrograde = words.iter().any(|word| bare(word) == "retrograde");
    if words
        .iter()
        .all(|word| bare(word).is_empty() || NOTHING_READ.contains(&bare(word).as_str()))
        && words
            .iter()
            .any(|word| word.chars().any(char::is_lowercase))
    {
        return (String::new(), retrograde);
    }
    let capitals =
        |word: &str| word.chars().any(char::is_uppercase) && !word.contains(char::is_lowercase);
    let mixed = words.iter().any(|word| capitals(word));
    let (kept, dropped): (Vec<&str>, Vec<&str>) = words.into_iter().partition(|word| {
        let small = word.chars().all(|c| c.is_lowercase() || !c.is_alphabetic())
            && !word.trim_end_matches('.').contains(['[', ']', '.', '-']);
        bare(word) != "retrograde" && !(mixed && small && NOTES.contains(&bare(word).as_str()))
    });
    let notes: Vec<&str> = dropped
        .into_iter()
        .filter(|word| bare(word) != "retrograde")
        .collect();
    if !notes.is_empty() {
        let what = "is taken as a note on the letters";
        remarks.push(Remark::new(
            RemarkKind::Ignored,
            field,
            &notes.join(" "),
            what,
            "",
        ));
    }
    (kept.join(" "), retrograde)
}

fn foreign(reading: &Reading, field: &str, remarks: &mut Vec<Remark>) {
    let latin =
        |c: char| c.is_ascii_alphanumeric() || matches!(c, 'Ð' | 'Þ' | 'Ø' | 'Ł' | 'Đ' | 'Ƿ');
    let strange: String = reading
        .marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Letter { letter, .. } if !latin(*letter) => Some(*letter),
            _ => None,
        })
        .collect();
    if !strange.is_empty() {
        remarks.push(Remark::new(
            RemarkKind::Assumed,
            field,
            &strange,
            "is kept as it stands, but the library's legends are in Latin letters",
            "write the Latin letters that it looks like",
        ));
    }
}

/// Signs that part words.
const STOPS: &str = ":;·•*°º×˙∙";

/// The row of marks in the making.
pub(super) struct Row {
    /// The characters as typed, accents apart.
    pub all: Vec<char>,
    /// Position of the next character.
    pub at: usize,
    /// The marks so far.
    pub marks: Vec<Mark>,
    /// For each initial cross, the number of marks that stood before it.
    pub plus: Vec<usize>,
    /// For each blank or stop, the number of marks that stood before it.
    words: Vec<usize>,
    odd: String,
    /// What was assumed, and how to mend it.
    pub notes: Vec<(&'static str, &'static str)>,
}

impl Row {
    pub fn peek(&self, ahead: usize) -> Option<char> {
        self.all.get(self.at + ahead).copied()
    }

    pub fn back(&self) -> Option<char> {
        self.at
            .checked_sub(1)
            .and_then(|before| self.all.get(before))
            .copied()
    }

    fn walk(&mut self) {
        while let Some(c) = self.peek(0) {
            match c {
                '[' => self.square(),
                ']' => {
                    self.marks.push(Mark::Gap);
                    self.notes.push((
                        "a closing bracket without its opening is taken as letters lost before it",
                        "write [---]",
                    ));
                    self.at += 1;
                }
                '(' => self.round(),
                '{' => self.at = self.closing('}').map_or(self.at + 1, |end| end + 1),
                '-' | '–' | '—' | '‐' | '‑' | '−' => self.dashes(),
                '.' | '…' => self.dots(),
                '/' | '|' => {
                    self.marks.push(Mark::Break);
                    self.at += 1;
                }
                '?' => self.query(),
                '_' => {
                    self.marks.push(Mark::Lost(1));
                    self.at += 1;
                }
                '+' | '✠' | '✚' | '✝' | '†' | '☩' => {
                    self.plus.push(self.marks.len());
                    self.at += 1;
                }
                '\u{323}' => {
                    self.doubt();
                    self.at += 1;
                }
                c => {
                    self.letter(c, true);
                    self.at += 1;
                }
            }
        }
    }

    /// A letter seen, or a character that is none.
    pub fn letter(&mut self, c: char, sure: bool) {
        let folded = fold(c);
        let silent = c.is_whitespace()
            || unicode_normalization::char::is_combining_mark(c)
            || "+:;,'’‘\"“”`·•*°º×&<>}){⌈⌉˙∙!=~^".contains(c);
        if c.is_whitespace() || STOPS.contains(c) {
            self.words.push(self.marks.len());
        }
        if folded.is_empty() && !silent && !self.odd.contains(c) {
            self.odd.push(c);
        }
        self.marks
            .extend(folded.chars().map(|letter| Mark::Letter { letter, sure }));
    }

    /// The last letter was not sure; W is two letters, both in doubt.
    pub fn doubt(&mut self) {
        let twice = matches!(self.back(), Some('W' | 'w'));
        let doubtful = if twice { 2 } else { 1 };
        for mark in self.marks.iter_mut().rev().take(doubtful) {
            if let Mark::Letter { sure, .. } = mark {
                *sure = false;
            }
        }
    }

    fn query(&mut self) {
        match self.back() {
            Some(c) if c.is_alphanumeric() || c == '\u{323}' => {
                let after_letter = matches!(self.marks.last(), Some(Mark::Letter { .. }));
                if after_letter {
                    self.doubt();
                }
            }
            Some(']' | ')' | '?' | '>' | '.' | '-' | '…') => {}
            _ => self.marks.push(Mark::Lost(1)),
        }
        self.at += 1;
    }

    /// A single dash inside a word is a break; any other run of dashes is a gap.
    fn dashes(&mut self) {
        let before = self
            .back()
            .is_some_and(|c| c.is_alphanumeric() || matches!(c, ']' | ')' | '?' | '\u{323}'));
        let mut run = 0;
        while self
            .peek(run)
            .is_some_and(|c| matches!(c, '-' | '–' | '—' | '‐' | '‑' | '−'))
        {
            run += 1;
        }
        let after = self
            .peek(run)
            .is_some_and(|c| c.is_alphanumeric() || matches!(c, '[' | '('));
        self.marks.push(if run == 1 && before && after {
            Mark::Break
        } else {
            Mark::Gap
        });
        self.at += run;
    }

    /// One dot is a stop; two between letters are two letters lost; more are a gap.
    fn dots(&mut self) {
        let before = self.back().is_some_and(char::is_alphanumeric);
        let (mut run, mut dots, mut tail) = (0, 0, 0);
        while let Some(c) = self.peek(run).filter(|c| matches!(c, '.' | '…' | ' ')) {
            run += 1;
            dots += match c {
                '.' => 1,
                '…' => 3,
                _ => 0,
            };
            if c != ' ' {
                tail = run;
            }
        }
        let after = self.peek(tail).is_some_and(char::is_alphanumeric);
        match dots {
            1 => self.words.push(self.marks.len()),
            2 if before && after && tail == 2 => self.marks.push(Mark::Lost(2)),
            2 if tail > 2 => {}
            _ => self.marks.push(Mark::Gap),
        }
        self.at += tail.max(1);
    }

    /// Runs of lost letters, gaps and breaks drawn together; no break at either end.
    fn tidy(&mut self) {
        let mut tidied: Vec<Mark> = Vec::with_capacity(self.marks.len());
        // Keeps crosses and blanks pointing at what follows them.
        let mut now_at = Vec::with_capacity(self.marks.len() + 1);
        for mark in std::mem::take(&mut self.marks) {
            now_at.push(tidied.len());
            let merged = match (tidied.last_mut(), &mark) {
                (Some(Mark::Lost(held)), Mark::Lost(more)) => {
                    *held += more;
                    true
                }
                (Some(Mark::Gap), Mark::Gap | Mark::Lost(_) | Mark::AboutLost(_)) => true,
                (Some(Mark::Break), Mark::Break) => true,
                _ => false,
            };
            if !merged {
                tidied.push(mark);
            }
        }
        now_at.push(tidied.len());
        self.plus
            .iter_mut()
            .chain(&mut self.words)
            .for_each(|before| *before = now_at[(*before).min(now_at.len() - 1)]);
        while tidied.last() == Some(&Mark::Break) {
            tidied.pop();
        }
        if tidied.first() == Some(&Mark::Break) {
            tidied.remove(0);
            self.plus
                .iter_mut()
                .chain(&mut self.words)
                .for_each(|before| *before = before.saturating_sub(1));
        }
        self.marks = tidied;
    }

    /// Turns letters that run backwards, and tells whether the row begins with the initial cross.
    fn turn(&mut self, retrograde: bool) -> (bool, bool) {
        let gap_first = matches!(self.marks.first(), Some(Mark::Gap));
        let gap_last = matches!(self.marks.last(), Some(Mark::Gap));
        let begins = self.plus.contains(&0) && !gap_first;
        let ends = self.plus.contains(&self.marks.len()) && !gap_last;
        if retrograde {
            self.marks.reverse();
            let count = self.marks.len();
            self.words
                .iter_mut()
                .for_each(|before| *before = count.saturating_sub(*before));
        }
        self.words
            .retain(|before| (1..self.marks.len()).contains(before));
        self.words.sort_unstable();
        self.words.dedup();
        (if retrograde { ends } else { begins }, retrograde)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Marks in shorthand: letters as they are, a doubtful letter in lower case, `<n>` lost,
    /// `~n` about lost, `*` gap, `/` break, `{NH}` one of.
    fn short(text: &str) -> String {
        let (reading, _) = reading(text, Side::Obverse);
        let Some(reading) = reading else {
            return "nothing".into();
        };
        reading
            .marks
            .iter()
            .map(|mark| match mark {
                Mark::Letter { letter, sure: true } => letter.to_string(),
                Mark::Letter { letter, .. } => letter.to_lowercase().to_string(),
                Mark::OneOf(letters) => format!("{{{}}}", letters.iter().collect::<String>()),
                Mark::Lost(n) => format!("<{n}>"),
                Mark::AboutLost(n) => format!("~{n}"),
                Mark::Gap => "*".into(),
                Mark::Break => "/".into(),
            })
            .collect()
    }

    #[test]
    fn words_for_where_letters_stand_are_no_letters() {
        for (text, marks) in [
            ("ASIS in exergue", "ASIS"),
            ("PLON in ex.", "PLON"),
            ("exergue: TRP", "TRP"),
            ("S F in field", "SF"),
            ("A in left field", "A"),
            ("GLORIA EXERCITVS", "GLORIAEXERCITVS"),
            // In small letters alone, they are what was read.
            ("in the field", "INTHEFIELD"),
            ("EX", "EX"),
        ] {
            assert_eq!(short(text), marks, "{text}");
        }
    }

    #[test]
    fn the_marks_of_the_trade() {
        for (text, marks) in [
            ("[CO]NSTANT[---]", "<2>NSTANT*"),
            ("[CO]NSTANT[...]", "<2>NSTANT<3>"),
            ("EDW[.]RD[---]", "EDVV<1>RD*"),
            ("+EDW/R ANGL", "EDVV/RANGL"),
            ("EDW R ANGL", "EDVVRANGL"),
            ("Justus", "IVSTVS"),
            ("[c.7]AVG", "~7AVG"),
            ("[c. 7] AVG", "~7AVG"),
            ("E?DW", "eDVV"),
            ("W?A", "vvA"),
            ("E\u{323}DR", "eDR"),
            ("Ẹ D", "eD"),
            ("?EDR", "<1>EDR"),
            ("LO(N/H)DON", "LO{NH}DON"),
            ("LO(N|H)DON", "LO{NH}DON"),
            ("VALEN-S", "VALEN/S"),
            ("VALEN|S", "VALEN/S"),
            ("ED--RD", "ED*RD"),
            ("-ED", "*ED"),
            ("EDVV --- RD", "EDVV*RD"),
            ("…RIC…", "*RIC*"),
            ("...RIC...", "*RIC*"),
            ("EDVVR...", "EDVVR*"),
            (". . . RIC", "*RIC"),
            ("ED..RD", "ED<2>RD"),
            ("D.G.REX", "DGREX"),
            ("D. G. REX.", "DGREX"),
            ("VICTORIA D: G: BRITT:", "VICTORIADGBRITT"),
            ("CO<N>STANS", "CONSTANS"),
            ("Valeria{a}nus", "VALERIANVS"),
            ("[[GETA]]", "geta"),
            ("P[[[...]]]", "P<3>"),
            ("Aug(ustus)", "AVG"),
            ("(LO)NDON", "<2>NDON"),
            ("AVG(?)", "AVg"),
            ("BRITANNIA 1700", "BRITANNIA1700"),
            ("FRAN & HIB", "FRANHIB"),
            ("]RD ANGL", "*RDANGL"),
            ("EDVV[", "EDVV*"),
            ("_ED", "<1>ED"),
            ("OFF REX in two lines", "OFFREX"),
            ("[---]/AVG/", "*/AVG"),
        ] {
            assert_eq!(short(text), marks, "{text}");
        }
    }

    #[test]
    fn no_letter_is_no_evidence() {
        for text in [
            "[---]",
            "[CO]",
            "...",
            "?",
            "[...]",
            "+",
            "illegible",
            "legend worn off",
        ] {
            let (reading, remarks) = reading(text, Side::Reverse);
            assert_eq!(reading, None, "{text}");
            assert_eq!(
                (remarks[0].kind.clone(), remarks[0].said.as_str()),
                (RemarkKind::Ignored, text)
            );
        }
        assert_eq!(reading("  ", Side::Reverse), (None, Vec::new()));
    }

    #[test]
    fn the_initial_cross_marks_the_start() {
        let starts = |text: &str| {
            reading(text, Side::Obverse)
                .0
                .map(|reading| reading.from_start)
        };
        assert_eq!(starts("+EDW R"), Some(true));
        assert_eq!(starts("+ [ED]W R"), Some(true));
        assert_eq!(starts("EDW R"), Some(false));
        assert_eq!(starts("[---] + EDW R"), Some(false));
        assert_eq!(starts("EDW + R"), Some(false));
        assert_eq!(starts("+ ... DW"), Some(false));
    }

    #[test]
    fn retrograde_letters_are_turned() {
        let (reading, remarks) = reading("RE retrograde", Side::Reverse);
        let reading = reading.unwrap();
        assert!(reading.retrograde && remarks.is_empty());
        assert_eq!(
            reading.marks[0],
            Mark::Letter {
                letter: 'E',
                sure: true
            }
        );
        assert_eq!(reading.letters_seen(), 2);
    }

    #[test]
    fn strange_letters_are_kept_and_named() {
        let (reading, remarks) = super::reading("ΔΗΜ\0", Side::Obverse);
        assert_eq!(reading.map(|reading| reading.letters_seen()), Some(3));
        assert_eq!(remarks.len(), 2);
        assert!(remarks.iter().any(|remark| remark.said == "ΔΗΜ"));
        assert!(remarks.iter().any(|remark| remark.what.contains("control")));
        let (reading, remarks) = super::reading(&"A".repeat(5000), Side::Obverse);
        assert_eq!(
            reading.map(|reading| reading.letters_seen()),
            Some(LONGEST_LEGEND)
        );
        assert_eq!(remarks[0].kind, RemarkKind::Ignored);
    }
}
