//! Letters to claims: which titles a legend names, and with which numbers.
//!
//! Goes by letters, and by blanks where the finder wrote them; passes over whatever is no
//! title. Holds nothing against a career.
//!
//! Invariant: a claim rests on letters that were seen: of a title at least two.

use super::numeral::{Place, Tail, numbers};
use crate::find::{Mark, Reading};

/// Titles that are counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Office {
    /// Tribunician power.
    Tribunician,
    /// Consul.
    Consul,
    /// Acclaimed imperator.
    Imperator,
}

/// Titles that are held once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Honour {
    /// Father of his country.
    PaterPatriae,
    /// Chief priest.
    PontifexMaximus,
    /// Censor.
    Censor,
}

/// One title that was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Claim {
    /// A title with its number, which may be one of several where letters are lost.
    Numbered {
        /// Which.
        office: Office,
        /// The numbers it may be.
        numbers: Vec<u8>,
        /// True for one chosen but not yet entered on.
        designate: bool,
    },
    /// A counted title without a number.
    Bare(Office),
    /// A title held once.
    Held(Honour),
}

impl Claim {
    /// True for a title with its number.
    pub fn is_numbered(&self) -> bool {
        matches!(self, Claim::Numbered { .. })
    }
}

impl Titulature {
    /// True when any title has its number.
    pub fn counts(&self) -> bool {
        self.claims.iter().any(|(claim, _)| claim.is_numbered())
    }
}

/// What the end of a reading means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The legend ends there unless a mark of loss says otherwise.
    Sure,
    /// More may have stood there, as on a worn coin.
    Worn,
}

/// The titles of a legend.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Titulature {
    /// The titles, in order, each with its letters as read.
    pub claims: Vec<(Claim, String)>,
    /// All letters in a row, lost ones as `.`, gaps and ends as blanks.
    pub letters: String,
}

/// Beginnings and ends of "tribunician power", the longer before the shorter.
const TRIBUNICIAN: (&[&str], &[&str]) = (
    &[
        "TRIBVNICIAE",
        "TRIBVNICIA",
        "TRIBVNICI",
        "TRIBVNIC",
        "TRIBVN",
        "TRIB",
        "TR",
    ],
    &[
        "POTESTATIS",
        "POTESTATE",
        "POTESTAT",
        "POTEST",
        "POTES",
        "POT",
        "PO",
        "P",
    ],
);

/// Forms of the other titles, the longer before the shorter.
const TITLES: &[(&str, What)] = &[
    ("CONSVLI", What::Office(Office::Consul)),
    ("CONSVL", What::Office(Office::Consul)),
    ("COSS", What::Office(Office::Consul)),
    ("COS", What::Office(Office::Consul)),
    ("IMPERATORI", What::Office(Office::Imperator)),
    ("IMPERATOR", What::Office(Office::Imperator)),
    ("IMPER", What::Office(Office::Imperator)),
    ("IMP", What::Office(Office::Imperator)),
    ("PATERPATRIAE", What::Honour(Honour::PaterPatriae)),
    ("PATRIPATRIAE", What::Honour(Honour::PaterPatriae)),
    ("PATPATR", What::Honour(Honour::PaterPatriae)),
    ("PATPAT", What::Honour(Honour::PaterPatriae)),
    ("PATP", What::Honour(Honour::PaterPatriae)),
    ("PPATRIAE", What::Honour(Honour::PaterPatriae)),
    ("PP", What::Honour(Honour::PaterPatriae)),
    ("PONTIFICISMAXIMI", What::Honour(Honour::PontifexMaximus)),
    ("PONTIFICIMAXIMO", What::Honour(Honour::PontifexMaximus)),
    ("PONTIFEXMAXIMVS", What::Honour(Honour::PontifexMaximus)),
    ("PONTIFEXMAX", What::Honour(Honour::PontifexMaximus)),
    ("PONTIFMAXIMVS", What::Honour(Honour::PontifexMaximus)),
    ("PONTIFMAXIMO", What::Honour(Honour::PontifexMaximus)),
    ("PONTIFMAXIM", What::Honour(Honour::PontifexMaximus)),
    ("PONTIFMAX", What::Honour(Honour::PontifexMaximus)),
    ("PONTMAXIM", What::Honour(Honour::PontifexMaximus)),
    ("PONTMAX", What::Honour(Honour::PontifexMaximus)),
    ("PONMAX", What::Honour(Honour::PontifexMaximus)),
    ("PONTM", What::Honour(Honour::PontifexMaximus)),
    ("PONM", What::Honour(Honour::PontifexMaximus)),
    ("PMAX", What::Honour(Honour::PontifexMaximus)),
    ("PM", What::Honour(Honour::PontifexMaximus)),
    ("CENSORPERPETVVS", What::Honour(Honour::Censor)),
    ("CENSOREPERPETVO", What::Honour(Honour::Censor)),
    ("CENSPERP", What::Honour(Honour::Censor)),
    ("CENSPER", What::Honour(Honour::Censor)),
    ("CENSORP", What::Honour(Honour::Censor)),
    ("CENSOR", What::Honour(Honour::Censor)),
    ("CENSP", What::Honour(Honour::Censor)),
    ("CENS", What::Honour(Honour::Censor)),
    ("CENP", What::Honour(Honour::Censor)),
];

/// Most marks of a reading that are looked at; no titulature of a coin is as long.
const MARKS_MOST: usize = 400;
/// More letters lost than this are a gap: no numeral is as long.
const LOST_MOST: usize = 24;

/// Forms of "chosen, not yet entered on".
const DESIGNATE: &[&str] = &[
    "DESIGNATVS",
    "DESIGNATO",
    "DESIGNAT",
    "DESIGN",
    "DESIG",
    "DESI",
    "DES",
];

/// Numbers written as words.
const WORDS: &[(&str, u8)] = &[
    ("BIS", 2),
    ("TERT", 3),
    ("TER", 3),
    ("QVATER", 4),
    ("QVAT", 4),
];

#[derive(Clone, Copy, PartialEq)]
enum What {
    Office(Office),
    Honour(Honour),
}

/// One place of all readings in a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sign {
    Letter(char),
    Lost,
    Gap,
    /// The end of a reading.
    End,
}

/// Reads the titles out of readings, in their order.
pub fn read(readings: &[&Reading], end: End) -> Titulature {
    let mut row = Row {
        signs: Vec::new(),
        words: Vec::new(),
        spaced: false,
        end,
    };
    for reading in readings {
        row.add(reading);
    }
    Titulature {
        claims: row.claims(),
        letters: row.letters(),
    }
}

struct Row {
    signs: Vec<Sign>,
    /// Whether a word begins at each sign.
    words: Vec<bool>,
    /// True when blanks were written at all.
    spaced: bool,
    end: End,
}

impl Row {
    fn add(&mut self, reading: &Reading) {
        self.spaced |= !reading.words.is_empty();
        let mut begins = true;
        let mut words = reading.words.iter().peekable();
        for (place, mark) in reading.marks.iter().enumerate().take(MARKS_MOST) {
            while words.next_if(|word| **word <= place).is_some() {
                begins = true;
            }
            let (sign, count) = match mark {
                Mark::Letter { letter, .. } => (Sign::Letter(*letter), 1),
                Mark::OneOf(_) => (Sign::Lost, 1),
                Mark::Lost(count) if *count > LOST_MOST => (Sign::Gap, 1),
                Mark::Lost(count) => (Sign::Lost, *count),
                Mark::AboutLost(_) | Mark::Gap => (Sign::Gap, 1),
                Mark::Break => continue,
            };
            for _ in 0..count {
                self.signs.push(sign);
                self.words.push(begins);
                begins = sign == Sign::Gap;
            }
        }
        self.signs.push(Sign::End);
        self.words.push(true);
    }

    fn letters(&self) -> String {
        let shown = |sign: &Sign| match sign {
            Sign::Letter(letter) => *letter,
            Sign::Lost => '.',
            Sign::Gap | Sign::End => ' ',
        };
        self.signs.iter().map(shown).collect()
    }

    fn claims(&self) -> Vec<(Claim, String)> {
        let mut claims = Vec::new();
        let (mut at, mut after_title) = (0, true);
        while at < self.signs.len() {
            let Some((what, length)) = self.title(at, after_title) else {
                // A gap may hide a title, so what follows it may be one.
                after_title = !matches!(self.signs[at], Sign::Letter(_));
                at += 1;
                continue;
            };
            let (claim, end) = self.claim(what, at, at + length);
            if let Some(claim) = claim {
                claims.push((claim, self.said(at, end)));
            }
            after_title = true;
            at = end;
        }
        claims
    }

    /// A title that begins here, and how many signs it takes.
    fn title(&self, at: usize, after_title: bool) -> Option<(What, usize)> {
        let listed = || {
            let (form, what) = TITLES.iter().find(|(name, _)| self.holds(at, name))?;
            Some((*what, form.len()))
        };
        let (what, length) = self.tribunician(at).or_else(listed)?;
        // Letters in the middle of a word are no title; nor are two letters in a row without
        // blanks, unless they follow one: PHILIPPVS.
        let begins = after_title || self.words[at] || (!self.spaced && length > 2);
        begins.then_some((what, length))
    }

    fn tribunician(&self, at: usize) -> Option<(What, usize)> {
        let (beginnings, ends) = TRIBUNICIAN;
        let what = What::Office(Office::Tribunician);
        beginnings.iter().find_map(|beginning| {
            let form = |end: &&str| format!("{beginning}{end}");
            let mut forms = ends.iter().map(form);
            let held = forms.find(|form| self.holds(at, form))?;
            Some((what, held.len()))
        })
    }

    /// True when this form stands here; a lost letter may be any, but two must be seen, and half.
    fn holds(&self, at: usize, form: &str) -> bool {
        let Some(signs) = self.signs.get(at..at + form.len()) else {
            return false;
        };
        let mut seen = 0;
        let all = signs.iter().zip(form.chars()).all(|(sign, c)| match sign {
            Sign::Letter(letter) => {
                seen += 1;
                *letter == c
            }
            Sign::Lost => true,
            Sign::Gap | Sign::End => false,
        });
        // IMPERATOR II is no IMPERATORI.
        let dative = form.len() > 3 && form.ends_with('I');
        let parted = self.spaced && self.words[at + form.len() - 1];
        !(dative && parted)
            && all
            && seen >= 2
            && 2 * seen >= form.len()
            && matches!(signs[0], Sign::Letter(_))
    }

    /// What a title claims, with the number after it; and where it ends.
    fn claim(&self, what: What, from: usize, after: usize) -> (Option<Claim>, usize) {
        let office = match what {
            What::Honour(honour) => return (Some(Claim::Held(honour)), after),
            What::Office(office) => office,
        };
        let chosen = DESIGNATE.iter().find(|form| self.holds(after, form));
        let (designate, start) = match chosen {
            Some(form) if office == Office::Consul => (true, after + form.len()),
            _ => (false, after),
        };
        if let Some((numbers, length)) = self.number(office, start) {
            let end = start + length;
            let numbered = Claim::Numbered {
                office,
                numbers,
                designate,
            };
            return (Some(numbered), end);
        }
        if office == Office::Imperator {
            // Without a number it is the forename of all of them.
            return (None, after);
        }
        let cut_off = match self.signs.get(after) {
            Some(Sign::Gap | Sign::Lost) => true,
            Some(Sign::End) | None => self.end == End::Worn,
            Some(Sign::Letter(_)) => self.begun_word(from, after),
        };
        (
            (!cut_off || office == Office::Tribunician).then_some(Claim::Bare(office)),
            after,
        )
    }

    /// True when letters go on without a blank where blanks are written: part of a longer word.
    fn begun_word(&self, from: usize, after: usize) -> bool {
        let spaced = self.spaced && self.words[from..after].iter().any(|begins| *begins);
        spaced && !self.words[after] && self.title(after, true).is_none()
    }

    /// The numbers that may stand here, and how many signs they take.
    fn number(&self, office: Office, at: usize) -> Option<(Vec<u8>, usize)> {
        let word = WORDS.iter().find(|(word, _)| self.holds(at, word));
        if let Some((word, number)) = word.filter(|(word, _)| self.words[at + word.len()]) {
            return Some((vec![*number], word.len()));
        }
        let run = self.signs[at..]
            .iter()
            .take_while(|sign| matches!(sign, Sign::Lost | Sign::Letter('I' | 'V' | 'X' | 'L')))
            .count();
        (1..=run).rev().find_map(|length| {
            let signs = &self.signs[at..at + length];
            let seen = signs
                .iter()
                .filter(|s| matches!(s, Sign::Letter(_)))
                .count();
            if seen == 0 || !self.may_end(office, at + length, seen) {
                return None;
            }
            let places: Vec<Place> = signs
                .iter()
                .map(|sign| match sign {
                    Sign::Letter(letter) => Place::Letter(*letter),
                    _ => Place::Lost,
                })
                .collect();
            let numbers = numbers(&places, self.tail(at + length));
            (!numbers.is_empty()).then_some((numbers, length))
        })
    }

    /// True when a numeral may end here.
    fn may_end(&self, office: Office, at: usize, seen: usize) -> bool {
        match self.signs[at] {
            Sign::End | Sign::Gap => true,
            _ if self.words[at] => true,
            _ if self.title(at, true).is_some() => true,
            _ if DESIGNATE.iter().any(|form| self.holds(at, form)) => true,
            // In a row without blanks: IMP VESP is no sixth acclamation, COS VOT no fifth year.
            _ => !self.spaced && office != Office::Imperator && seen >= 2,
        }
    }

    /// How the numeral that ends here may have gone on.
    fn tail(&self, at: usize) -> Tail {
        let worn = self.end == End::Worn;
        match (
            self.signs[at],
            at.checked_sub(1).map(|before| self.signs[before]),
        ) {
            (Sign::Gap, _) => Tail::Open,
            (Sign::End, _) if worn => Tail::Open,
            (Sign::End, Some(Sign::Lost)) => Tail::Loose,
            _ => Tail::Closed,
        }
    }

    fn said(&self, from: usize, to: usize) -> String {
        let mut said = String::new();
        for at in from..to {
            if at > from && self.words[at] {
                said.push(' ');
            }
            match self.signs[at] {
                Sign::Letter(letter) => said.push(letter),
                Sign::Lost => said.push('.'),
                Sign::Gap | Sign::End => {}
            }
        }
        said
    }
}
