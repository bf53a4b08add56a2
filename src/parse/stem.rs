//! Words brought to the one shape in which they are compared.
//!
//! Lower case, accents and apostrophes dropped, plurals made singular. No
//! meaning is known here.
//!
//! Invariant: the library's words and the finder's go through the same door, so
//! a clumsy stem does no harm as long as it is the same for both.

use std::borrow::Cow;
use std::ops::Range;

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// Plurals that no rule makes singular.
fn irregular(word: &str) -> Option<&'static str> {
    Some(match word {
        "antoniniani" => "antoninianus",
        "aurei" => "aureus",
        "axes" => "axe",
        "denarii" => "denarius",
        "dupondii" => "dupondius",
        "feet" => "foot",
        "geese" => "goose",
        "halves" => "half",
        "knives" => "knife",
        "leaves" => "leaf",
        "men" => "man",
        "nummi" => "nummus",
        "oxen" => "ox",
        "quinarii" => "quinarius",
        "sceats" => "sceatta",
        "sceat" => "sceatta",
        "sestertii" => "sestertius",
        "sheaves" => "sheaf",
        "siliquae" => "siliqua",
        "solidi" => "solidus",
        "tremisses" => "tremissis",
        "thrymsas" => "thrymsa",
        "wolves" => "wolf",
        "women" => "woman",
        "trientes" => "triens",
        _ => return None,
    })
}

/// Where the words of a text stand: runs of letters and digits, with an
/// apostrophe or a combining mark inside a word counted as part of it.
pub(super) fn spans(text: &str) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    let mut start = None;
    let mut end = 0;
    let mut characters = text.char_indices().peekable();
    while let Some((at, c)) = characters.next() {
        let next = characters.peek().map(|(_, next)| *next);
        let joins =
            matches!(c, '\'' | '’') && start.is_some() && next.is_some_and(char::is_alphabetic);
        if c.is_alphanumeric() || (start.is_some() && is_combining_mark(c)) || joins {
            start.get_or_insert(at);
            end = at + c.len_utf8();
        } else if let Some(from) = start.take() {
            found.push(from..end);
        }
    }
    if let Some(from) = start {
        found.push(from..end);
    }
    found
}

/// The word in lower case without accents, apostrophes or ligatures.
pub(super) fn plain(word: &str) -> Cow<'_, str> {
    if word
        .bytes()
        .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
    {
        return Cow::Borrowed(word);
    }
    if word.is_ascii() {
        let mut lower: String = word.to_ascii_lowercase();
        lower.retain(|c| c != '\'');
        return Cow::Owned(lower);
    }
    let mut out = String::with_capacity(word.len());
    for c in word.nfkd().flat_map(char::to_lowercase) {
        match c {
            'æ' => out.push_str("ae"),
            'œ' => out.push_str("oe"),
            'ð' | 'þ' => out.push_str("th"),
            c if c.is_alphanumeric() => out.push(c),
            _ => {}
        }
    }
    Cow::Owned(out)
}

/// The shape in which a word is compared.
pub(super) fn shape(word: &str) -> String {
    stem(&plain(word)).into_owned()
}

/// The singular of a word that [`plain`] gave.
pub(super) fn stem(word: &str) -> Cow<'_, str> {
    if let Some(singular) = irregular(word) {
        return Cow::Borrowed(singular);
    }
    let letters = word.len();
    if letters < 4 || !word.is_ascii() || !word.ends_with('s') {
        return Cow::Borrowed(word);
    }
    if let Some(root) = word.strip_suffix("ies")
        && letters > 4
    {
        return Cow::Owned(format!("{root}y"));
    }
    let hissing = ["sses", "shes", "ches", "xes", "zes"];
    if hissing.iter().any(|ending| word.ends_with(ending)) {
        return Cow::Borrowed(&word[..letters - 2]);
    }
    if ["ss", "us", "is"]
        .iter()
        .any(|ending| word.ends_with(ending))
    {
        return Cow::Borrowed(word);
    }
    Cow::Borrowed(&word[..letters - 1])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shape(word: &str) -> String {
        stem(&plain(word)).into_owned()
    }

    #[test]
    fn plurals_meet_their_singulars() {
        for (many, one) in [
            ("Crosses", "cross"),
            ("pellets", "pellet"),
            ("lilies", "lily"),
            ("Denarii", "denarius"),
            ("women", "woman"),
            ("knives", "knife"),
            ("horse's", "horse"),
            ("bust", "bust"),
            ("as", "as"),
            ("nummus", "nummus"),
            ("Æthelreds", "aethelred"),
        ] {
            assert_eq!(shape(many), shape(one), "{many}");
        }
        assert_ne!(shape("lis"), shape("lies"));
    }

    #[test]
    fn words_are_found_where_they_stand() {
        let text = "half-penny, o'clock é!";
        let words: Vec<&str> = spans(text).into_iter().map(|span| &text[span]).collect();
        assert_eq!(words, ["half", "penny", "o'clock", "é"]);
    }
}
