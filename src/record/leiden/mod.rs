//! Legends with the marks of the Leiden convention, read into signs and printed again.
//!
//! Takes what a finder types as well (a `?` after a letter, bare dots and dashes). Never fails and
//! never drops a letter: what is no mark stands as it is. Knows no legend of the library. A few
//! signs have no mark of their own in print (letters seen that cannot be read, letters whose sense
//! is not known, a number); they print as the convention prints them.
//!
//! Invariant: signs that have a mark of their own, printed and read again, are the same signs; and
//! no letter is lost, whatever marks stand in one another's way.

mod read;

pub use read::read;

/// A sign, or a run of letters of one standing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sign {
    /// Letters, blanks and stops that are clear.
    Clear(String),
    /// Letters that their traces alone leave in doubt: a dot below each.
    Unclear(String),
    /// One of these letters: `(N/H)`.
    OneOf(Vec<String>),
    /// Letters lost: how many, and whether about so many; no number where that is not known.
    Lost(Option<usize>, About),
    /// A line lost.
    LineLost,
    /// Letters seen that cannot be read.
    Illegible(usize),
    /// Lost and restored by the editor; doubtful or not.
    Restored(String, Doubt),
    /// Clear letters whose sense is not known.
    Senseless(String),
    /// An abbreviation written out: what stands, what is added.
    Expanded(String, String, Doubt),
    /// An abbreviation that is not written out.
    Abbreviated(String),
    /// Left out by the engraver.
    LeftOut(String),
    /// Added in error by the engraver.
    Surplus(String),
    /// A wrong letter put right: the right one, and the one that stands, where it is known.
    Corrected(String, String),
    /// Struck out.
    Erased(Vec<Sign>),
    /// Letters joined in one.
    Ligature(String),
    /// Letters that stand mirrored.
    Reversed(String),
    /// Letters that stand on their heads.
    Inverted(String),
    /// The line runs from right to left.
    RightToLeft,
    /// Where the legend breaks.
    Break(Break),
    /// A symbol by its name.
    Symbol(String),
    /// A monogram.
    Monogram,
    /// A space of so many letters that was left blank.
    Space(usize),
    /// Read by an earlier editor only: a line below each.
    Earlier(String),
    /// A number: its value and its letters.
    Number(u32, String),
}

/// Whether a count is rough.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum About {
    /// Counted.
    Exactly,
    /// About so many.
    Roughly,
}

/// Whether the editor doubts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Doubt {
    /// No doubt worth a mark.
    Firm,
    /// Marked as doubtful.
    Doubtful,
}

/// What breaks a legend.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Break {
    /// A new line: `|`.
    Line,
    /// A break of the legend or its line: `/`.
    Stroke,
    /// The design cuts it: `-` between letters.
    Cut,
    /// What follows stands in the exergue: `//`.
    Exergue,
}

impl Break {
    /// The mark for it.
    pub fn mark(self) -> &'static str {
        match self {
            Break::Line => "|",
            Break::Stroke => "/",
            Break::Cut => "-",
            Break::Exergue => "//",
        }
    }
}

/// The dot below a letter in doubt.
const DOT_BELOW: char = '\u{323}';
/// The line below a letter that an earlier editor read.
const LINE_BELOW: char = '\u{332}';
/// The arc over letters joined in one.
const ARC: char = '\u{361}';

/// Prints signs.
pub fn print(signs: &[Sign]) -> String {
    let mut text = String::new();
    for sign in signs {
        one(sign, &mut text);
    }
    text
}

fn one(sign: &Sign, text: &mut String) {
    let doubt = |doubt: &Doubt| match doubt {
        Doubt::Firm => "",
        Doubt::Doubtful => "?",
    };
    let written = match sign {
        Sign::Clear(letters) | Sign::Number(_, letters) => letters.clone(),
        Sign::Senseless(letters) => letters.to_uppercase(),
        Sign::Unclear(letters) => each_with(letters, DOT_BELOW),
        Sign::Earlier(letters) => each_with(letters, LINE_BELOW),
        Sign::OneOf(letters) => format!("({})", letters.join("/")),
        Sign::Lost(None, _) => "[---]".into(),
        Sign::Lost(Some(count), About::Roughly) => format!("[c.{count}]"),
        Sign::Lost(Some(count), About::Exactly) | Sign::Illegible(count) => {
            format!("[{}]", ".".repeat(*count))
        }
        Sign::LineLost => "------".into(),
        Sign::Restored(letters, sure) => match sure {
            Doubt::Firm => format!("[{letters}]"),
            Doubt::Doubtful => format!("[?{letters}]"),
        },
        Sign::Expanded(stands, added, sure) => format!("{stands}({added}{})", doubt(sure)),
        Sign::Abbreviated(stands) => format!("{stands}(---)"),
        Sign::LeftOut(letters) => format!("<{letters}>"),
        Sign::Surplus(letters) => format!("{{{letters}}}"),
        Sign::Corrected(right, _) => format!("⌈{right}⌉"),
        Sign::Erased(signs) => format!("[[{}]]", print(signs)),
        Sign::Ligature(letters) => ligature(letters),
        Sign::Reversed(letters) => format!("((reversed {letters}))"),
        Sign::Inverted(letters) => format!("((inverted {letters}))"),
        Sign::RightToLeft => "←".into(),
        Sign::Break(one) => one.mark().into(),
        Sign::Symbol(name) => format!("(({name}))"),
        Sign::Monogram => "((monogram))".into(),
        Sign::Space(count) => format!("(vac.{count})"),
    };
    text.push_str(&written);
}

fn each_with(letters: &str, mark: char) -> String {
    letters.chars().flat_map(|c| [c, mark]).collect()
}

fn ligature(letters: &str) -> String {
    let mut joined = String::new();
    for (at, c) in letters.chars().enumerate() {
        if at > 0 {
            joined.push(ARC);
        }
        joined.push(c);
    }
    joined
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::collection::vec;
    use proptest::prelude::*;

    /// Clear letters drawn together, as they are read.
    pub(super) fn runs(signs: Vec<Sign>) -> Vec<Sign> {
        let mut drawn: Vec<Sign> = Vec::new();
        for sign in signs {
            match (drawn.last_mut(), &sign) {
                (Some(Sign::Clear(held)), Sign::Clear(more)) => held.push_str(more),
                _ => drawn.push(sign),
            }
        }
        drawn
    }

    /// Signs with a mark of their own.
    fn sign() -> impl Strategy<Value = Sign> {
        let letters = || "[A-Z]{1,5}";
        let doubt = || prop_oneof![Just(Doubt::Firm), Just(Doubt::Doubtful)];
        let lost = (1usize..9).prop_flat_map(|count| {
            prop_oneof![
                Just(Sign::Lost(Some(count), About::Exactly)),
                Just(Sign::Lost(Some(count), About::Roughly)),
                Just(Sign::Lost(None, About::Exactly)),
                Just(Sign::Space(count)),
            ]
        });
        prop_oneof![
            letters().prop_map(Sign::Clear),
            letters().prop_map(Sign::Unclear),
            lost.clone(),
            (letters(), doubt()).prop_map(|(text, doubt)| Sign::Restored(text, doubt)),
            (letters(), letters(), doubt()).prop_map(|(a, b, doubt)| Sign::Expanded(a, b, doubt)),
            letters().prop_map(Sign::Abbreviated),
            letters().prop_map(Sign::LeftOut),
            letters().prop_map(Sign::Surplus),
            letters().prop_map(|right| Sign::Corrected(right, String::new())),
            "[A-Z]{2,3}".prop_map(Sign::Ligature),
            "[A-Z]".prop_map(Sign::Reversed),
            "[A-Z]".prop_map(Sign::Inverted),
            letters().prop_map(Sign::Earlier),
            letters().prop_map(|text| Sign::Erased(vec![Sign::Clear(text)])),
            lost.prop_map(|lost| Sign::Erased(vec![lost])),
            "[a-z]{2,6}".prop_map(Sign::Symbol),
            Just(Sign::Monogram),
            Just(Sign::LineLost),
            Just(Sign::RightToLeft),
            Just(Sign::Break(Break::Line)),
            Just(Sign::Break(Break::Stroke)),
            Just(Sign::Break(Break::Exergue)),
        ]
    }

    #[test]
    fn what_finders_type_becomes_marks() {
        for (typed, printed) in [
            ("EDW R ANGL", "EDW R ANGL"),
            ("E?DW", "E\u{323}DW"),
            ("[CO]NST[.]NT[---]", "[CO]NST[.]NT[---]"),
            ("CONSTANT-INVS AVG", "CONSTANT-INVS AVG"),
            ("...TANTINO..", "[---]TANTINO[---]"),
            ("AB..CD", "AB[..]CD"),
            ("[c. 7]AVG", "[c.7]AVG"),
            ("CIVI/TAS/LON/[DON]", "CIVI/TAS/LON/[DON]"),
            ("[A..B]C", "[A][..][B]C"),
            ("[?ABC]", "[?ABC]"),
            ("[ABC?]", "[?ABC]"),
            ("AVG // PLN", "AVG // PLN"),
            ("(N/H)ELLO", "(N/H)ELLO"),
            ("+CVN NET TI", "+CVN NET TI"),
            ("EDW[", "EDW[---]"),
            ("[EDW", "[EDW]"),
            ("A]B", "A]B"),
            ("D. G. R", "D. G. R"),
        ] {
            assert_eq!(print(&read(typed)), printed, "{typed}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig {
            cases: 2048,
            failure_persistence: None,
            rng_seed: proptest::test_runner::RngSeed::Fixed(1),
            ..ProptestConfig::default()
        })]

        #[test]
        fn signs_printed_and_read_again_are_the_same(signs in vec(sign(), 0..8)) {
            // A blank between any two, so that no mark runs into the next.
            let blank = || Sign::Clear(" ".into());
            let spaced: Vec<Sign> = signs.into_iter().flat_map(|one| [one, blank()]).collect();
            let text = print(&spaced);
            prop_assert_eq!(read(&text), runs(spaced), "{}", text);
        }

        #[test]
        fn no_letter_is_dropped(typed in "[A-D?./|+()\\[\\]{}<>⌈⌉\u{323}\u{361} -]{0,24}") {
            let letters = |text: &str| -> String {
                text.chars().filter(|c| ('A'..='D').contains(c)).collect()
            };
            prop_assert_eq!(letters(&typed), letters(&print(&read(&typed))));
        }
    }
}
