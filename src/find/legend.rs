//! A legend as far as it can be read.
//!
//! A reading is a row of marks: letters seen, letters lost, breaks. It says
//! nothing of what the legend ought to be; restored letters stand in it only
//! as places, since what the reader supplied is no evidence.
//!
//! Invariant: letters are upper case, folded to the struck alphabet (U is V,
//! J is I, W is VV); nothing else is folded here.

/// Which face.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    /// The face with the head, or the one first described.
    Obverse,
    /// The other face.
    Reverse,
    /// The finder cannot say.
    Unknown,
}

impl Side {
    /// The word printed for it.
    pub fn name(self) -> &'static str {
        match self {
            Side::Obverse => "obverse",
            Side::Reverse => "reverse",
            Side::Unknown => "either side",
        }
    }
}

/// One place in a reading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Mark {
    /// A letter seen.
    Letter {
        /// Upper case, folded.
        letter: char,
        /// False for a dotted or queried letter.
        sure: bool,
    },
    /// One of several letters: `(N/H)`.
    OneOf(Vec<char>),
    /// This many letters lost, or restored by the reader: places without evidence.
    Lost(usize),
    /// About this many letters lost.
    AboutLost(usize),
    /// Any number of letters lost.
    Gap,
    /// The design cuts the legend here.
    Break,
}

/// What was read on one side, or of one fragment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// Face it stands on.
    pub side: Side,
    /// As the finder wrote it.
    pub said: String,
    /// The marks in reading order.
    pub marks: Vec<Mark>,
    /// Positions of the marks before which a word ends, as written; none where no blanks were.
    pub words: Vec<usize>,
    /// True when the letters run backwards.
    pub retrograde: bool,
    /// True when the finder knows that the reading starts where the legend starts.
    pub from_start: bool,
    /// True when the finder knows that the reading runs to the legend's end.
    pub to_end: bool,
}

impl Reading {
    /// Number of letters that are evidence (seen, or one of a few).
    pub fn letters_seen(&self) -> usize {
        self.marks
            .iter()
            .filter(|mark| matches!(mark, Mark::Letter { .. } | Mark::OneOf(_)))
            .count()
    }
}

/// Folds a character to the letters a legend is compared in: upper case,
/// U to V, J to I, W to VV, Æ to AE, thorn and eth to their own letters, accents dropped.
/// Gives an empty string for anything that is not a letter or digit.
pub fn fold(character: char) -> String {
    let mut folded = String::new();
    fold_to(character, |letter| folded.push(letter));
    folded
}

/// As [`fold`], handing over each letter; for the many characters of a library.
pub fn fold_to(character: char, mut take: impl FnMut(char)) {
    use unicode_normalization::UnicodeNormalization;
    let mut one = |letter: char| match letter {
        'U' => take('V'),
        'J' => take('I'),
        'W' => "VV".chars().for_each(&mut take),
        'Æ' => "AE".chars().for_each(&mut take),
        'Œ' => "OE".chars().for_each(&mut take),
        'Є' | 'Ǝ' => take('E'),
        'Ƿ' => take('P'),
        'Ꝛ' => take('R'),
        c if c.is_alphanumeric() => take(c),
        _ => {}
    };
    if character.is_ascii() {
        one(character.to_ascii_uppercase());
    } else {
        std::iter::once(character)
            .nfkd()
            .flat_map(char::to_uppercase)
            .for_each(one);
    }
}

/// The letter that stands for a family whose worn forms are taken for one another
/// (numismatic and epigraphic practice, from memory). For sketches and indexes only:
/// the scorer weighs each confusion by itself.
pub fn worn_family(letter: char) -> char {
    match letter {
        'A' | 'V' | 'Y' => 'A',
        'I' | 'L' | 'T' | 'F' | 'E' => 'I',
        'P' | 'R' | 'B' | 'Þ' => 'P',
        'C' | 'G' => 'C',
        'O' | 'Q' | 'D' | 'Ð' => 'O',
        'N' | 'H' | 'M' => 'N',
        'S' | 'Z' => 'S',
        'X' | 'K' => 'X',
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::fold;

    #[test]
    fn folding_keeps_only_struck_letters() {
        let all = |text: &str| text.chars().map(fold).collect::<String>();
        assert_eq!(all("Justus"), "IVSTVS");
        assert_eq!(all("+ Æðelred"), "AEÐELRED");
        assert_eq!(all("Willelm"), "VVILLELM");
        assert_eq!(all("é."), "E");
    }
}
