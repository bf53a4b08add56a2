//! Which words speak of which side.
//!
//! "Obverse: ...", "on the back ...", "... on the front". Finds the words that
//! name a side and the stretch each governs; understands nothing else.
//!
//! Invariant: a byte of a part has just one side.

use std::ops::Range;

use crate::find::Side;

/// Sides over one part of a text.
#[derive(Debug)]
pub(super) struct Sides {
    /// The phrases that name a side.
    pub phrases: Vec<Range<usize>>,
    /// From this byte on, this side; in order.
    stretches: Vec<(usize, Side)>,
    /// The side that holds after the part.
    pub after: Side,
}

impl Sides {
    /// The side at a byte of the part.
    pub fn at(&self, byte: usize) -> Side {
        let before = self.stretches.partition_point(|(from, _)| *from <= byte);
        before
            .checked_sub(1)
            .map_or(Side::Unknown, |last| self.stretches[last].1)
    }

    /// A number for the stretch a byte lies in: phrases do not reach over its end.
    pub fn stretch(&self, byte: usize) -> usize {
        self.stretches.partition_point(|(from, _)| *from <= byte)
    }
}

/// Finds the side words of a part, given its words and the side that holds before it.
pub(super) fn sides(text: &str, words: &[Range<usize>], before: Side) -> Sides {
    let lower: Vec<String> = words
        .iter()
        .map(|word| text[word.clone()].to_lowercase())
        .collect();
    let mut named: Vec<(Range<usize>, Side)> = Vec::new();
    for at in 0..words.len() {
        let colon = text[words[at].end..]
            .trim_start_matches('.')
            .starts_with([':', '=']);
        if let Some(side) = names_side(&lower, at, colon) {
            named.push((around(&lower, at), side));
        }
    }
    let mut stretches = vec![(0, before)];
    let mut after = before;
    let trailing = named.first().is_some_and(|(first, _)| first.start > 0)
        && named
            .last()
            .is_some_and(|(last, _)| last.end == words.len());
    let mut from = 0;
    // "Long cross on the back with dots": what stands before "on" is on that side too.
    if let Some((first, side)) = named.first()
        && lower[first.start] == "on"
    {
        stretches.push((0, *side));
    }
    for (phrase, side) in &named {
        if trailing {
            stretches.push((from, *side));
            from = words[phrase.end - 1].end;
        } else {
            stretches.push((words[phrase.start].start, *side));
            after = *side;
        }
    }
    let phrases = named
        .into_iter()
        .map(|(phrase, _)| words[phrase.start].start..words[phrase.end - 1].end)
        .collect();
    Sides {
        phrases,
        stretches,
        after,
    }
}

fn names_side(lower: &[String], at: usize, colon: bool) -> Option<Side> {
    let previous = at.checked_sub(1).map(|before| lower[before].as_str());
    let next = lower.get(at + 1).map(String::as_str);
    let pointed =
        colon || at == 0 || matches!(previous, Some("the" | "on" | "its")) || next == Some("side");
    let facing = matches!(previous, Some("facing" | "to"))
        || matches!(next, Some("facing" | "face" | "to" | "view"));
    match lower[at].as_str() {
        "obverse" | "obv" => Some(Side::Obverse),
        "reverse" | "rev" => Some(Side::Reverse),
        "front" if pointed && !facing && !(at > 1 && lower[at - 2] == "facing") => {
            Some(Side::Obverse)
        }
        "back" if pointed && !facing => Some(Side::Reverse),
        "heads" if colon || next == Some("side") || previous == Some("on") => Some(Side::Obverse),
        "tails" if colon || next == Some("side") || previous == Some("on") => Some(Side::Reverse),
        "other" if next == Some("side") => Some(Side::Reverse),
        "one" if next == Some("side") => Some(Side::Unknown),
        _ => None,
    }
}

/// The phrase with the small words that belong to it, as positions of words.
fn around(lower: &[String], at: usize) -> Range<usize> {
    let mut start = at;
    while start > 0 && at - start < 3 && ["on", "the", "its"].contains(&lower[start - 1].as_str()) {
        start -= 1;
    }
    let end = if lower.get(at + 1).is_some_and(|next| next == "side") {
        at + 2
    } else {
        at + 1
    };
    start..end
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse::stem;

    fn side_of(text: &str, word: &str) -> Side {
        sides(text, &stem::spans(text), Side::Unknown).at(text.find(word).unwrap())
    }

    #[test]
    fn a_side_word_governs_what_follows_or_what_it_closes() {
        assert_eq!(side_of("obverse: crown", "crown"), Side::Obverse);
        assert_eq!(
            side_of("silver obv crown rev cross", "silver"),
            Side::Unknown
        );
        assert_eq!(
            side_of("silver obv crown rev cross", "crown"),
            Side::Obverse
        );
        assert_eq!(
            side_of("silver obv crown rev cross", "cross"),
            Side::Reverse
        );
        assert_eq!(side_of("crown on the front", "crown"), Side::Obverse);
        assert_eq!(
            side_of("crown on front cross on back", "cross"),
            Side::Reverse
        );
        assert_eq!(side_of("on the other side a cross", "cross"), Side::Reverse);
        assert_eq!(side_of("two heads back to back", "heads"), Side::Unknown);
        assert_eq!(side_of("heads: a crown", "crown"), Side::Obverse);
        assert_eq!(side_of("head facing front", "head"), Side::Unknown);
    }

    #[test]
    fn only_a_leading_side_word_lasts() {
        let after = |text: &str| sides(text, &stem::spans(text), Side::Unknown).after;
        assert_eq!(after("obverse crown"), Side::Obverse);
        assert_eq!(after("obverse"), Side::Obverse);
        assert_eq!(after("crown on the front"), Side::Unknown);
    }
}
