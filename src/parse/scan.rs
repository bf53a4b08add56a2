//! Words matched against the lexicon.
//!
//! The longest phrase wins; what is left may still make up a motif's phrase in
//! another order. "No", "perhaps" and "or" are heard here, since they bear on the
//! phrase that follows. Nothing is put into a find.
//!
//! Invariant: every word goes into a phrase, is left over, or carries nothing.

use std::ops::Range;

use super::lexicon::{Lexicon, StemId};
use super::meaning::{Plain, Scope};
use super::stem;
use crate::find::OpinionLevel;

/// Most words of a part among which a phrase is sought in any order; a longer
/// part is no description of one thing.
const LONGEST_BAG: usize = 60;

/// Most slips of the pen that are looked up in one text, so that nonsense costs little.
pub(super) const MOST_SLIPS: usize = 24;

/// Words after which "a" is a letter and no article.
const BEFORE_A_LETTER: [&str; 5] = ["letter", "initial", "capital", "big", "large"];

/// A stem that matches nothing.
const UNKNOWN: StemId = StemId::MAX;

/// A word of the text, articles left out.
#[derive(Clone, Debug)]
pub(super) struct Word {
    /// Where it stands.
    pub range: Range<usize>,
    /// Its stem, or a number that matches nothing.
    pub stem: StemId,
    /// True when the stem was mended by one letter.
    pub mended: bool,
    /// True when a question mark clings to it.
    pub query: bool,
    /// Words of different stretches make no phrase together.
    pub stretch: usize,
}

impl Word {
    /// Its stem, where the library knows it.
    pub(super) fn known(&self) -> Option<StemId> {
        (self.stem != UNKNOWN).then_some(self.stem)
    }
}

/// A phrase that was heard.
#[derive(Clone, Debug)]
pub(super) struct Heard {
    /// Position of its entry in the lexicon.
    pub entry: u32,
    /// Positions of its words.
    pub words: Vec<usize>,
    /// True after "no".
    pub denied: bool,
    /// True after "perhaps" or with a question mark.
    pub doubted: bool,
}

/// The words of a stretch of text that are still free, without articles.
pub(super) fn free_words(
    text: &str,
    within: Range<usize>,
    taken: &[bool],
    lexicon: &Lexicon,
    slips: &mut usize,
    stretch: impl Fn(usize) -> usize,
) -> Vec<Word> {
    let mut words: Vec<Word> = Vec::new();
    let mut last_typed = "";
    for span in stem::spans(&text[within.clone()]) {
        let range = within.start + span.start..within.start + span.end;
        if taken[range.start] {
            continue;
        }
        let typed = &text[range.clone()];
        let before = last_typed.to_lowercase();
        let named_letter = matches!(typed, "A" | "a") && BEFORE_A_LETTER.contains(&before.as_str());
        last_typed = typed;
        let mut found = lexicon.stem_of(typed);
        if found.is_some_and(|id| lexicon.is_article(id)) && !named_letter {
            continue;
        }
        let mut mended = false;
        if found.is_none() && *slips < MOST_SLIPS && typed.len() >= 5 {
            *slips += 1;
            found = lexicon.slip(typed);
            mended = found.is_some();
        }
        let after = text[range.end..within.end].trim_start_matches(['(', ')', '"', '”']);
        let query = after.starts_with('?') || text[..range.start].ends_with('?');
        let stretch = stretch(range.start);
        words.push(Word {
            range,
            stem: found.unwrap_or(UNKNOWN),
            mended,
            query,
            stretch,
        });
    }
    words
}

/// A phrase at a place.
struct Phrase {
    first: usize,
    count: usize,
    entry: u32,
}

/// Phrases that may stand here, longest first, none overlapping another.
fn phrases(words: &[Word], lexicon: &Lexicon, scope: Scope) -> Vec<Phrase> {
    let stems: Vec<StemId> = words.iter().map(|word| word.stem).collect();
    let mut all: Vec<Phrase> = Vec::new();
    for first in 0..stems.len() {
        if stems[first] == UNKNOWN {
            continue;
        }
        let reach = lexicon.reach(stems[first]).min(stems.len() - first);
        for count in 1..=reach {
            if words[first + count - 1].stretch != words[first].stretch {
                break;
            }
            let lone_small_word =
                count == 1 && stems.len() > 1 && lexicon.is_empty_word(stems[first]);
            let Some(entry) = lexicon.lookup(&stems[first..first + count]) else {
                continue;
            };
            if lone_small_word || !scope.admits(lexicon.entry(entry)) {
                continue;
            }
            let rules = lexicon
                .entry(entry)
                .opinions
                .iter()
                .any(|(level, _)| *level == OpinionLevel::Ruler);
            let titled = rules && first > 0 && lexicon.is_title(stems[first - 1]);
            let from = if titled { first - 1 } else { first };
            all.push(Phrase {
                first: from,
                count: first + count - from,
                entry,
            });
        }
    }
    all.sort_by(|one, other| {
        other
            .count
            .cmp(&one.count)
            .then(one.first.cmp(&other.first))
    });
    let mut used = vec![false; words.len()];
    all.retain(|phrase| {
        let place = phrase.first..phrase.first + phrase.count;
        let free = !used[place.clone()].iter().any(|taken| *taken);
        if free {
            used[place].fill(true);
        }
        free
    });
    all
}

/// Motif phrases whose words all stand in the part, in whatever order, and of
/// which some word has no other use.
fn bags(words: &[Word], used: &mut [bool], lexicon: &Lexicon, scope: Scope) -> Vec<Heard> {
    if words.len() > LONGEST_BAG || !scope.motifs() || used.iter().all(|taken| *taken) {
        return Vec::new();
    }
    let mut found: Vec<(u32, Vec<usize>)> = Vec::new();
    let mut asked: Vec<StemId> = Vec::new();
    for word in words.iter().filter(|word| word.stem != UNKNOWN) {
        if asked.contains(&word.stem) {
            continue;
        }
        asked.push(word.stem);
        for (entry, key) in lexicon.bags(word.stem) {
            if lexicon.entry(entry).motifs.is_empty() {
                continue;
            }
            let place = |id: &StemId| {
                words
                    .iter()
                    .position(|other| other.stem == *id && other.stretch == word.stretch)
            };
            if let Some(places) = key.iter().map(place).collect::<Option<Vec<usize>>>() {
                found.push((entry, places));
            }
        }
    }
    found.sort_by(|one, other| other.1.len().cmp(&one.1.len()).then(one.0.cmp(&other.0)));
    let mut heard = Vec::new();
    for (entry, mut places) in found {
        if places.iter().all(|at| used[*at]) {
            continue;
        }
        places.sort_unstable();
        places.dedup();
        places.iter().for_each(|at| used[*at] = true);
        heard.push(Heard {
            entry,
            words: places,
            denied: false,
            doubted: false,
        });
    }
    heard
}

/// Hears the phrases of one part; also gives the words that are left over.
pub(super) fn hear(words: &[Word], lexicon: &Lexicon, scope: Scope) -> (Vec<Heard>, Vec<usize>) {
    let mut heard: Vec<Heard> = Vec::new();
    let mut used = vec![false; words.len()];
    for phrase in phrases(words, lexicon, scope) {
        let places: Vec<usize> = (phrase.first..phrase.first + phrase.count).collect();
        places.iter().for_each(|at| used[*at] = true);
        heard.push(Heard {
            entry: phrase.entry,
            words: places,
            denied: false,
            doubted: false,
        });
    }
    let mut loose_used = used.clone();
    let mut bags = bags(words, &mut loose_used, lexicon, scope);
    // A phrase that a bag takes up whole, as "bust" in "bust, crowned", is said by the bag.
    heard.retain(|phrase| {
        let inside = |bag: &Heard| phrase.words.iter().all(|at| bag.words.contains(at));
        lexicon.entry(phrase.entry).plain.is_some() || !bags.iter().any(inside)
    });
    // A bag speaks where its first word stands that no other phrase has.
    for bag in &mut bags {
        bag.words.sort_by_key(|at| (used[*at], *at));
    }
    heard.extend(bags);
    heard.sort_by_key(|phrase| phrase.words[0]);
    let mut left: Vec<usize> = (0..words.len())
        .filter(|at| {
            !loose_used[*at]
                && (words[*at].stem == UNKNOWN || !lexicon.is_empty_word(words[*at].stem))
        })
        .collect();
    let said = modify(heard, words, lexicon, &mut left);
    left.sort_unstable();
    (said, left)
}

/// Lets "no", "perhaps" and "or" bear on the phrase that follows; a modifier
/// with nothing to bear on is left over.
fn modify(
    heard: Vec<Heard>,
    words: &[Word],
    lexicon: &Lexicon,
    left: &mut Vec<usize>,
) -> Vec<Heard> {
    let mut said: Vec<Heard> = Vec::new();
    let mut pending: Vec<usize> = Vec::new();
    let (mut denied, mut doubted) = (false, false);
    let mut last: Option<(bool, bool, usize)> = None;
    for mut phrase in heard {
        let entry = lexicon.entry(phrase.entry);
        match entry.plain {
            Some(Plain::No) if entry.motifs.is_empty() => {
                denied = true;
                pending.extend(&phrase.words);
            }
            Some(Plain::Perhaps) if entry.motifs.is_empty() => {
                doubted = true;
                pending.extend(&phrase.words);
            }
            Some(Plain::Or) if entry.motifs.is_empty() => {
                if let Some((no, perhaps, _)) = last {
                    (denied, doubted) = (denied || no, doubted || perhaps);
                }
            }
            _ => {
                let follows =
                    last.filter(|(.., end)| *end == phrase.words[0] && !entry.motifs.is_empty());
                phrase.denied = denied;
                phrase.doubted = doubted || follows.is_some_and(|(_, perhaps, _)| perhaps);
                let told = (
                    phrase.denied,
                    phrase.doubted,
                    phrase.words.iter().max().map_or(0, |at| at + 1),
                );
                phrase.doubted |= phrase.words.iter().any(|at| words[*at].query);
                last = Some(told);
                (denied, doubted) = (false, false);
                pending.clear();
                said.push(phrase);
            }
        }
    }
    // "silver perhaps": with nothing after it, the doubt bears on what stands before it.
    if let (true, Some(last)) = (doubted && !denied, said.last_mut()) {
        last.doubted = true;
    } else {
        left.extend(pending);
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse::kit;

    fn heard(text: &str) -> (Vec<String>, Vec<String>) {
        let lexicon = Lexicon::new(&kit::catalogue());
        let words = free_words(
            text,
            0..text.len(),
            &vec![false; text.len()],
            &lexicon,
            &mut 0,
            |_| 0,
        );
        let (heard, left) = hear(&words, &lexicon, Scope::All);
        let show = |phrase: &Heard| {
            let mut places = phrase.words.clone();
            places.sort_unstable();
            let said: Vec<&str> = places
                .iter()
                .map(|at| &text[words[*at].range.clone()])
                .collect();
            let sign = if phrase.denied { "-" } else { "" };
            let doubt = if phrase.doubted { "?" } else { "" };
            format!("{sign}{}{doubt}", said.join(" "))
        };
        (
            heard.iter().map(show).collect(),
            left.iter()
                .map(|at| text[words[*at].range.clone()].to_string())
                .collect(),
        )
    }

    #[test]
    fn the_longest_phrase_wins() {
        assert_eq!(heard("a long cross").0, ["long cross"]);
        assert_eq!(heard("half penny cut").0, ["half penny cut"]);
        assert_eq!(
            heard("king Edward III penny").0,
            ["king Edward III", "penny"]
        );
        assert_eq!(
            heard("three pellets in the angles").0,
            ["three pellets in angles"]
        );
        assert_eq!(heard("bust, crownd").0, ["bust crownd"]);
    }

    #[test]
    fn words_in_another_order_are_still_heard() {
        assert_eq!(heard("wings on a woman").0, ["wings woman"]);
        assert_eq!(
            heard("crowned facing bust").0,
            ["crowned bust", "facing bust"]
        );
    }

    #[test]
    fn no_and_perhaps_bear_on_what_follows() {
        assert_eq!(
            heard("no crown or sceptre, cross").0,
            ["-crown", "-sceptre", "cross"]
        );
        assert_eq!(heard("perhaps a horse").0, ["horse?"]);
        assert_eq!(heard("silver? horse").0, ["silver?", "horse"]);
        assert_eq!(
            heard("horse zzz no"),
            (vec!["horse".into()], vec!["zzz".into(), "no".into()])
        );
    }
}
