//! Words: what the finder's words for a face tell of its design, beside the figures heard in them.
//!
//! The library's weights of words are summed for every design of the face, and each design is held
//! against all of them as often as the library's coins bear them. A coin outside the library has a
//! design that is none of these and yet like some: what the best of them gains, it gains in part.
//! Words of which nobody knows the face may be of either, and words said of one are now and then of
//! the other. What no word list holds speaks here too ("jewelled", "blob").
//!
//! Invariant: the words of a face speak once together and within a bound; types that show the same
//! gain the same; a type of which the library does not say what it shows is as any other.

use super::constants::{MOTIF_OTHER_SIDE, WORDS_BOUND};
use super::evidence::{Detail, Evidence, Witness};
use super::groundwork::Groundwork;
use crate::catalogue::{Catalogue, FACES, Pictured};
use crate::find::{Find, SeenWord, Side};

/// Most words that are named beside a term.
pub const WORDS_NAMED: usize = 3;

/// How often the designs of each face are borne: shares that sum to one.
pub(super) type DesignShares = [Vec<f64>; 2];

/// The shares of the designs of a library, by the weights of its types.
pub(super) fn shares(catalogue: &Catalogue, weights: &[f64]) -> DesignShares {
    let pictured = &catalogue.pictured;
    std::array::from_fn(|face| {
        let mut shares = vec![0.0; pictured.designs(face)];
        for (coin, weight) in weights.iter().enumerate() {
            if let Some(design) = pictured.design(face, coin) {
                shares[design] += weight;
            }
        }
        let whole: f64 = shares.iter().sum();
        shares
            .iter_mut()
            .for_each(|share| *share /= whole.max(f64::MIN_POSITIVE));
        shares
    })
}

/// What the words said of one side tell.
struct OfSide {
    side: Side,
    /// How likely it is that they are of either face.
    meant: [f64; 2],
    /// How much likelier the words make each design of either face.
    ratios: [Vec<f64>; 2],
    /// Nats of a coin outside the library.
    outside: f64,
}

impl OfSide {
    /// Nats over both faces, by how much likelier the words make what stands on each.
    fn nats(&self, ratios: [f64; 2]) -> f64 {
        let both = self.meant.iter().zip(ratios);
        both.map(|(meant, ratio)| meant * ratio).sum::<f64>().ln()
    }
}

/// How likely words said of a side are of either face: sides are mixed up, as figures are.
fn meant(side: Side) -> [f64; 2] {
    match side {
        Side::Obverse => [1.0 - MOTIF_OTHER_SIDE, MOTIF_OTHER_SIDE],
        Side::Reverse => [MOTIF_OTHER_SIDE, 1.0 - MOTIF_OTHER_SIDE],
        Side::Unknown => [0.5; 2],
    }
}

/// What the words of a find tell.
pub(super) struct SeenWords<'a> {
    pictured: &'a Pictured,
    words: &'a [SeenWord],
    sides: Vec<OfSide>,
}

impl<'a> SeenWords<'a> {
    /// Holds the words of a find against every design.
    pub(super) fn new(
        find: &'a Find,
        catalogue: &'a Catalogue,
        groundwork: &Groundwork,
    ) -> SeenWords<'a> {
        let (pictured, words) = (&catalogue.pictured, find.seen_words.as_slice());
        let of_side = |side: Side| {
            let said = words.iter().filter(|one| one.side == side);
            let said = said.map(|one| one.word.as_str());
            let by_label = pictured.by_label(said)?;
            let shares = &groundwork.design_shares;
            let of_face = |face: usize| ratios(pictured.gains(face, &by_label), &shares[face]);
            let mut one = OfSide {
                side,
                meant: meant(side),
                ratios: [0, 1].map(of_face),
                outside: 0.0,
            };
            let most = |ratios: &Vec<f64>| ratios.iter().copied().fold(1.0, f64::max);
            let most = one.ratios.each_ref().map(most);
            one.outside = pictured.outside * one.nats(most).max(0.0);
            Some(one)
        };
        let sides = [Side::Obverse, Side::Reverse, Side::Unknown];
        SeenWords {
            pictured,
            words,
            sides: sides.into_iter().filter_map(of_side).collect(),
        }
    }

    /// Nats of what is said of a side, for a type.
    fn of(&self, side: &OfSide, coin: usize) -> f64 {
        // Of which the library does not say what it shows is as any other.
        let ratio = |face: usize| {
            let design = self.pictured.design(face, coin);
            design.map_or(1.0, |design| side.ratios[face][design])
        };
        let nats = side.nats([ratio(0), ratio(1)]);
        (nats - side.outside).clamp(-WORDS_BOUND, WORDS_BOUND)
    }

    /// Nats of all words, for a type, side by side.
    pub(super) fn nats(&self, coin: usize) -> impl Iterator<Item = f64> {
        self.sides.iter().map(move |side| self.of(side, coin))
    }

    /// Nats of what is said to be on the reverse, for a type.
    pub(super) fn on_back(&self, coin: usize) -> f64 {
        let back = self.sides.iter().find(|one| one.side == Side::Reverse);
        back.map_or(0.0, |side| self.of(side, coin))
    }

    /// The terms of a type.
    pub(super) fn evidence(&self, coin: usize) -> impl Iterator<Item = Evidence> {
        self.sides.iter().map(move |side| Evidence {
            witness: Witness::Words,
            nats: self.of(side, coin),
            detail: Detail::Words {
                side: side.side,
                words: self.telling(side, coin),
            },
        })
    }

    /// The words that speak most for what a type shows, the strongest first.
    fn telling(&self, side: &OfSide, coin: usize) -> [Option<usize>; WORDS_NAMED] {
        let gain = |word: &SeenWord| {
            // Of a face that is hardly meant nothing is named.
            let faces = (0..FACES.len()).filter(|face| side.meant[*face] >= 0.5);
            let designs = faces.filter_map(|face| Some((face, self.pictured.design(face, coin)?)));
            let gains = designs.map(|(face, design)| self.pictured.gain(face, design, &word.word));
            gains.fold(0.0, f64::max)
        };
        let words = self.words.iter().enumerate();
        let of = words.filter(|(_, word)| word.side == side.side);
        let mut gains: Vec<(usize, f64)> = of.map(|(at, word)| (at, gain(word))).collect();
        gains.retain(|(_, gain)| *gain > 0.0);
        gains.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        std::array::from_fn(|at| gains.get(at).map(|one| one.0))
    }
}

/// How much likelier gains in nats make each design than the mean of all.
fn ratios(mut gains: Vec<f64>, shares: &[f64]) -> Vec<f64> {
    let top = gains.iter().copied().fold(0.0, f64::max);
    gains
        .iter_mut()
        .for_each(|gain| *gain = (*gain - top).exp());
    let mean: f64 = gains
        .iter()
        .zip(shares)
        .map(|(gain, share)| share * gain)
        .sum();
    // Where no listed type says what it shows there is nothing to hold it against.
    let mean = if mean > 0.0 { mean } else { 1.0 };
    gains.iter_mut().for_each(|gain| *gain /= mean);
    gains
}

#[cfg(all(test, feature = "library"))]
mod tests {
    use std::sync::LazyLock;

    use super::*;
    use crate::catalogue::{check, embedded};

    /// The library and what is worked out from it, made once for all of these tests.
    static LIBRARY: LazyLock<(Catalogue, Groundwork)> = LazyLock::new(|| {
        let library = check(&embedded()).catalogue;
        let groundwork = Groundwork::new(&library);
        (library, groundwork)
    });

    fn said(side: Side, words: &[&str]) -> Find {
        let seen = |word: &&str| SeenWord {
            side,
            word: (*word).to_string(),
        };
        let mut seen_words: Vec<SeenWord> = words.iter().map(seen).collect();
        seen_words.sort();
        Find {
            seen_words,
            ..Find::default()
        }
    }

    #[test]
    fn words_speak_for_the_types_that_show_it_within_their_bound() {
        let (library, groundwork) = &*LIBRARY;
        let wolf = library.motif_by_id("wolf-twins").expect("the wolf");
        let find = said(Side::Reverse, &["wolf", "suckling", "twin", "two", "baby"]);
        let words = SeenWords::new(&find, library, groundwork);
        let (mut wolves, mut others) = (0, 0);
        for (at, coin) in library.listed().iter().enumerate() {
            let nats: Vec<f64> = words.nats(at).collect();
            let Some(shows) = coin.reverse.motifs.as_ref() else {
                continue;
            };
            assert!(
                nats.iter().all(|nats| nats.abs() <= WORDS_BOUND),
                "{nats:?}"
            );
            let terms: Vec<f64> = words.evidence(at).map(|term| term.nats).collect();
            assert_eq!(nats, terms);
            match shows.contains(&wolf) {
                true => {
                    assert!(nats[0] > 0.5, "{}: {nats:?}", coin.id);
                    assert_eq!(words.on_back(at), nats[0]);
                    wolves += 1;
                }
                false => others += usize::from(nats[0] > 1.0),
            }
        }
        assert!(
            wolves > 0 && others < 40,
            "{wolves} wolves, {others} others"
        );
    }

    /// The mean over all designs, each as often as it is borne, of how much likelier the words make
    /// it, is one.
    #[test]
    fn words_tell_nothing_of_all_types_together() {
        let (library, groundwork) = &*LIBRARY;
        let find = said(Side::Obverse, &["bearded", "laureate", "beard", "wreath"]);
        let words = SeenWords::new(&find, library, groundwork);
        for (ratios, shares) in words.sides[0].ratios.iter().zip(&groundwork.design_shares) {
            let mean: f64 = ratios
                .iter()
                .zip(shares)
                .map(|(ratio, share)| share * ratio)
                .sum();
            assert!((mean - 1.0).abs() < 1e-9, "{mean}");
            assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-9);
        }
    }

    /// By hand: of either face as likely, ln((a + b) / 2); of the front 0.88 against 0.12; less what a
    /// coin outside the library gains.
    #[test]
    fn words_may_be_of_either_face_and_sides_are_mixed_up() {
        let (library, groundwork) = &*LIBRARY;
        for (side, front) in [
            (Side::Obverse, 0.88),
            (Side::Reverse, 0.12),
            (Side::Unknown, 0.5),
        ] {
            let find = said(side, &["ship", "sail"]);
            let words = SeenWords::new(&find, library, groundwork);
            let one = &words.sides[0];
            assert!(one.outside > 0.0);
            let mut held = 0;
            for at in 0..library.listed().len() {
                let design = |face| words.pictured.design(face, at);
                let (Some(a), Some(b)) = (design(0), design(1)) else {
                    continue;
                };
                let (a, b) = (one.ratios[0][a], one.ratios[1][b]);
                let told = (front * a + (1.0 - front) * b).ln() - one.outside;
                let nats = words.nats(at).next().expect("a term");
                assert!((nats - told.clamp(-WORDS_BOUND, WORDS_BOUND)).abs() < 1e-9);
                held += 1;
            }
            assert!(held > 1_000, "{held}");
        }
    }

    #[test]
    fn the_words_that_speak_most_are_named_first() {
        let (library, groundwork) = &*LIBRARY;
        let find = said(Side::Reverse, &["britannia", "seated", "the", "quux"]);
        let words = SeenWords::new(&find, library, groundwork);
        let shows = |coin: &crate::catalogue::CoinType| {
            let mut shown = coin.reverse.motifs.iter().flatten();
            shown.any(|at| library.motifs[*at].id.starts_with("britannia"))
        };
        let at = library
            .listed()
            .iter()
            .position(shows)
            .expect("a type with Britannia");
        let term = words.evidence(at).next().expect("a term");
        let Detail::Words { side, words: named } = term.detail else {
            panic!("{:?}", term.detail);
        };
        assert_eq!(side, Side::Reverse);
        let first = named[0].map(|at| find.seen_words[at].word.as_str());
        assert_eq!(first, Some("britannia"));
        let named = named
            .iter()
            .flatten()
            .map(|at| find.seen_words[*at].word.as_str());
        assert!(named.into_iter().all(|word| word != "quux"));
    }
}
