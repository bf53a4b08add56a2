//! Other ways to write one name: "Edward 1st" for "Edward I", "half penny" for "halfpenny".
//!
//! Makes spellings only; what they mean is the lexicon's business.
//!
//! Invariant: the name as it stands in the catalogue is never among those given.

/// Other ways to write a numbered name: "Edward 1", "Edward 1st", "Edward the first", and "Edward" alone.
pub(super) fn numbered_names(name: &str) -> Vec<String> {
    const NUMBERS: [(&str, &str, &str, &str); 8] = [
        ("I", "1", "1st", "first"),
        ("II", "2", "2nd", "second"),
        ("III", "3", "3rd", "third"),
        ("IV", "4", "4th", "fourth"),
        ("V", "5", "5th", "fifth"),
        ("VI", "6", "6th", "sixth"),
        ("VII", "7", "7th", "seventh"),
        ("VIII", "8", "8th", "eighth"),
    ];
    let Some((rest, last)) = name.rsplit_once(' ') else {
        return Vec::new();
    };
    match NUMBERS.iter().find(|(roman, ..)| *roman == last) {
        Some((_, figure, short, long)) => {
            vec![
                format!("{rest} {figure}"),
                format!("{rest} {short}"),
                format!("{rest} {long}"),
                rest.to_string(),
            ]
        }
        None => Vec::new(),
    }
}

/// "half penny" for "halfpenny" and the other way about.
pub(super) fn joined_or_split(word: &str) -> Vec<String> {
    const HEADS: [&str; 8] = [
        "half", "quarter", "three", "two", "six", "four", "eight", "double",
    ];
    let mut others = Vec::new();
    for head in HEADS {
        let Some(rest) = word.strip_prefix(head) else {
            continue;
        };
        let tail = rest.trim_start_matches([' ', '-']);
        if tail.chars().count() >= 4 && !tail.contains([' ', '-']) {
            others.push(if tail.len() == rest.len() {
                format!("{head} {tail}")
            } else {
                format!("{head}{tail}")
            });
        }
    }
    others
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_coins_have_other_spellings() {
        assert_eq!(
            numbered_names("Edward II"),
            ["Edward 2", "Edward 2nd", "Edward second", "Edward"]
        );
        assert_eq!(numbered_names("Trajan"), Vec::<String>::new());
        assert_eq!(joined_or_split("halfpenny"), ["half penny"]);
        assert_eq!(joined_or_split("half groat"), ["halfgroat"]);
        assert_eq!(joined_or_split("penny"), Vec::<String>::new());
    }
}
