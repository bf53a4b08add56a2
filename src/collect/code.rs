//! The short code of a find, for labels: its id and a sign that tells a mistyped one.
//!
//! `LA-12:7`. The sign is the check character of ISO/IEC 7064:2003, MOD 37,36, over the id in the
//! form by which look-alikes are the same, so that case and signs between the parts do not matter.
//! Opens nothing.
//!
//! Invariant: one figure or letter of an id written wrongly gives another sign.

use super::fault::{Kind, ShelfFault};
use super::text::folded;
use super::{Shelf, Whole};

/// The sign between the id and its check character.
const BETWEEN: char = ':';
/// The figures and letters of the check, by their value.
const SIGNS: &[u8; 36] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

/// The code of a find's id.
pub fn code(id: &str) -> String {
    format!("{id}{BETWEEN}{}", check(id))
}

/// The check character of an id.
fn check(id: &str) -> char {
    let mut sum = 36_u32;
    for value in values(&folded(id)) {
        sum = (sum + value) % 36;
        if sum == 0 {
            sum = 36;
        }
        sum = sum * 2 % 37;
    }
    let sign = (37 - sum) % 36;
    char::from(SIGNS[sign as usize])
}

/// Values of figures and letters. Any other letter counts as its number in Unicode, by its figures
/// to the base 36.
fn values(folded: &str) -> Vec<u32> {
    let mut values = Vec::new();
    for c in folded.chars() {
        match c.to_ascii_uppercase().to_digit(36) {
            Some(value) => values.push(value),
            None => {
                let mut left = u32::from(c);
                while left > 0 {
                    values.push(left % 36);
                    left /= 36;
                }
            }
        }
    }
    values
}

impl Shelf {
    /// A find by its id or by its code.
    ///
    /// # Errors
    ///
    /// As [`Shelf::find`]; or when a code is mistyped, or means one find as a code and another as an
    /// id.
    pub fn find_by_code(&self, text: &str) -> Result<Whole, ShelfFault> {
        let text = text.trim();
        let plain = self.find(text);
        let parts = text.rsplit_once(BETWEEN);
        let parts = parts.filter(|(_, sign)| sign.chars().count() == 1);
        let Some((id, sign)) = parts else {
            return plain;
        };
        let exact = plain.as_ref().is_ok_and(|whole| whole.entry.id == text);
        let Ok(coded) = self.find(id) else {
            return plain;
        };
        let fits = sign.eq_ignore_ascii_case(&check(id).to_string());
        match (exact, fits) {
            (true, false) => plain,
            (false, true) => Ok(coded),
            (true, true) => Err(fault(
                format!("code: {text:?} is the id of one find and the code of {id}"),
                format!("for the other write its id alone: {id}"),
            )),
            (false, false) => Err(fault(
                format!("code: {text:?} is mistyped: its last sign does not belong to {id}"),
                format!("look at the label again; for the find {id} write its id alone"),
            )),
        }
    }
}

fn fault(what: String, mend: String) -> ShelfFault {
    ShelfFault::new(Kind::Unknown, what, mend)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// ISO/IEC 7064:2003, MOD 37,36, is what two published numbers end with: the example of the
    /// Global Release Identifier (IFPI, GRid standard), A1-2425G-ABC1234002-M, and that of the
    /// audiovisual number of ISO 15706, 0000-0000-3A8D-0000-Z; both from memory.
    #[test]
    fn the_sign_is_that_of_the_published_numbers() {
        assert_eq!(check("A1-2425G-ABC1234002"), 'M');
        assert_eq!(check("0000-0000-3A8D-0000"), 'Z');
    }

    #[test]
    fn case_and_signs_between_the_parts_do_not_matter() {
        assert_eq!(check("LA-12"), check("la 12"));
        assert_eq!(code("LA-12"), format!("LA-12:{}", check("LA-12")));
        // Letters of other scripts count as well.
        assert_ne!(check("漢1"), check("字1"));
    }

    proptest! {
        #[test]
        fn one_sign_wrong_is_noticed(id in "[0-9a-z]{1,12}", at in 0_usize..12, other in "[0-9a-z]") {
            let at = at % id.len();
            let mut wrong = id.clone();
            wrong.replace_range(at..=at, &other);
            prop_assert_eq!(wrong == id, check(&wrong) == check(&id));
        }

        #[test]
        fn any_id_has_a_sign(id in "\\PC{0,40}") {
            prop_assert!(check(&id).is_ascii_alphanumeric());
        }
    }
}
