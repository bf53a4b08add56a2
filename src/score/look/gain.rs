//! What a further look is worth: the information its answer is expected to bring.
//!
//! Mutual information between what the find is and what the look will show, in bits.
//! Knows no look, no type and no reliability; those who ask bring their own laws.
//!
//! Invariant: never below nought, and never above the doubt there was.

/// Bits that a look is expected to bring.
///
/// `chances` are the probabilities of the possibilities (made to sum to one here);
/// `answers[i]` are the chances of each answer if possibility `i` holds.
pub fn information_gain<L: AsRef<[f64]>>(chances: &[f64], answers: &[L]) -> f64 {
    let whole: f64 = chances.iter().sum();
    if whole <= 0.0 {
        return 0.0;
    }
    let kinds = answers.iter().map(|law| law.as_ref().len()).max();
    let mut gain = 0.0;
    for answer in 0..kinds.unwrap_or(0) {
        let joint = |place: usize| {
            let told = answers
                .get(place)
                .and_then(|law| law.as_ref().get(answer))
                .copied()
                .unwrap_or(0.0);
            chances[place] / whole * told
        };
        let told: f64 = (0..chances.len()).map(joint).sum();
        for (place, chance) in chances.iter().enumerate() {
            let both = joint(place);
            if both > 0.0 {
                gain += both * (both / (told * chance / whole)).log2();
            }
        }
    }
    gain.max(0.0)
}

/// Bits of doubt there are among these chances, made to sum to one.
pub fn doubt(chances: &[f64]) -> f64 {
    let whole: f64 = chances.iter().sum();
    let held = chances.iter().filter(|chance| **chance > 0.0);
    let bits: f64 = held
        .map(|chance| -(chance / whole) * (chance / whole).log2())
        .sum();
    bits.max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::constants::MOTIF_SEEN;

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() < 5e-5
    }

    /// Worked numbers of the notes on multi-access keys: 60 taxa in three states of 20 give 1.585
    /// bits (Reitwiessner and Hagedorn, the published formula without missing states); a noiseless
    /// look that splits four alike two and two gives 1 bit; with a symmetric error of 0.21,
    /// 1 - H2(0.21) = 0.2585 bit; one with the same answers for all gives nought.
    #[test]
    fn the_worked_numbers_hold() {
        let state = |of: usize| {
            (0..3)
                .map(|s| f64::from(u8::from(s == of)))
                .collect::<Vec<f64>>()
        };
        let sixty: Vec<Vec<f64>> = (0..60).map(|taxon| state(taxon / 20)).collect();
        assert!(near(information_gain(&[1.0; 60], &sixty), 3f64.log2()));
        let split = |error: f64| {
            let yes = vec![1.0 - error, error];
            let no = vec![error, 1.0 - error];
            information_gain(&[0.25; 4], &[yes.clone(), yes, no.clone(), no])
        };
        assert!(near(split(0.0), 1.0));
        assert!(near(split(0.21), 0.2585), "{}", split(0.21));
        assert!(near(
            information_gain(&[0.7, 0.3], &[vec![0.5, 0.5], vec![0.5, 0.5]]),
            0.0
        ));
    }

    #[test]
    fn a_look_brings_no_more_than_the_doubt_there_was() {
        let chances = [0.6, 0.3, 0.1];
        let by_hand: f64 = chances.iter().map(|p: &f64| -p * p.log2()).sum();
        let doubt = doubt(&chances);
        assert!(near(doubt, by_hand));
        let answers = [
            vec![1.0, 0.0, 0.0],
            vec![0.0, 1.0, 0.0],
            vec![0.0, 0.0, 1.0],
        ];
        assert!(near(information_gain(&chances, &answers), doubt));
        let yes_or_no = [
            [MOTIF_SEEN, 1.0 - MOTIF_SEEN],
            [1.0 - MOTIF_SEEN, MOTIF_SEEN],
            [0.5, 0.5],
        ];
        let gain = information_gain(&chances, &yes_or_no);
        assert!(gain > 0.0 && gain < 1.0 && gain < doubt);
    }
}
