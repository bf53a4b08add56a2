//! What finders might say: in how many of the descriptions of each type a word stands.
//!
//! Counts the library's descriptions and knows nothing of a find.
//!
//! Invariant: how often a word is told of a type lies between how often it stands in the type's own
//! descriptions and how often in those of its class; that of a class likewise between its own and all.

use std::collections::HashMap;

use super::constants::SAID_SHRUNK;
use crate::catalogue::Artefacts;
use crate::parse::telling_words;

/// Descriptions counted.
#[derive(Clone, Debug, Default)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Sayings {
    /// Types in whose descriptions a word stands, in order, and in how many.
    words: HashMap<String, Vec<(u16, u8)>>,
    /// How many descriptions each type has.
    of_type: Vec<u8>,
    /// How many each class has.
    of_class: Vec<u32>,
}

impl Sayings {
    /// Counts the descriptions of all types.
    pub(super) fn of(artefacts: &Artefacts) -> Sayings {
        let mut sayings = Sayings {
            of_class: vec![0; artefacts.classes.len()],
            ..Sayings::default()
        };
        for (at, artefact) in artefacts.types.iter().enumerate() {
            let mut held: HashMap<String, u8> = HashMap::new();
            for text in &artefact.said {
                let mut words = telling_words(text);
                words.sort_unstable();
                words.dedup();
                for word in words {
                    let count = held.entry(word).or_default();
                    *count = count.saturating_add(1);
                }
            }
            let count = u8::try_from(artefact.said.len()).unwrap_or(u8::MAX);
            sayings.of_type.push(count);
            sayings.of_class[artefact.class] += u32::from(count);
            for (word, count) in held {
                let rows = sayings.words.entry(word).or_default();
                rows.push((at as u16, count));
            }
        }
        sayings
    }

    /// How often a word is told of each hypothesis, by the class of each, the types first; none where
    /// no description holds it.
    pub(super) fn often(&self, word: &str, class_of: &[u32]) -> Option<Vec<f64>> {
        let rows = self.words.get(word)?;
        let mut classes = vec![0.0; self.of_class.len()];
        for (at, count) in rows {
            classes[class_of[usize::from(*at)] as usize] += f64::from(*count);
        }
        let all: u32 = self.of_class.iter().sum();
        let anywhere = classes.iter().sum::<f64>() / f64::from(all.max(1));
        for (class, of) in classes.iter_mut().zip(&self.of_class) {
            *class = (*class + SAID_SHRUNK.1 * anywhere) / (f64::from(*of) + SAID_SHRUNK.1);
        }
        let mut often: Vec<f64> = class_of.iter().map(|of| classes[*of as usize]).collect();
        for (told, of) in often.iter_mut().zip(&self.of_type) {
            *told *= SAID_SHRUNK.0 / (f64::from(*of) + SAID_SHRUNK.0);
        }
        for (at, count) in rows {
            let at = usize::from(*at);
            often[at] += f64::from(*count) / (f64::from(self.of_type[at]) + SAID_SHRUNK.0);
        }
        Some(often)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_tells_most_of_the_type_and_something_of_its_class() {
        let words = HashMap::from([("hanger".to_string(), vec![(0, 3)])]);
        let sayings = Sayings {
            words,
            of_type: vec![5, 5, 5],
            of_class: vec![10, 5],
        };
        // Two types of the first class, one of the second, then the rest of each.
        let often = sayings
            .often("hanger", &[0, 0, 1, 0, 1])
            .expect("it stands there");
        assert!(often[0] > often[3] && often[3] > often[1] && often[1] > often[2]);
        assert!(often[2] > 0.0 && often[4] > often[2] * 0.99);
        assert!(often[0] < 3.0 / 5.0);
        assert_eq!(sayings.often("kettle", &[0, 0, 1, 0, 1]), None);
    }
}
