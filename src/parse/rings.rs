//! Rings: two legends written in one field, an outer and an inner one, or one round the edge and one
//! in the exergue, parted.
//!
//! Looks at strokes, commas and letters alone; knows no legend and reads no mark.
//!
//! Invariant: nothing is lost but strokes and commas that part, for which semicolons stand.

/// Letters on both sides of a spaced stroke from which on it parts two legends, an outer and an inner
/// ring say, and is no place where the design cuts one.
const TWO_RINGS: usize = 8;

/// Where on a piece letters stand that are no part of the legend round it.
const APART: [&str; 4] = ["exergue", "ex", "field", "fields"];

/// The text with a semicolon between its legends where a spaced stroke stands between them, or a
/// comma before or after one that is said to stand in the exergue or the field.
pub(super) fn ring_by_ring(value: &str) -> String {
    let placed = |part: &str| {
        let words = part.split(|c: char| !c.is_alphanumeric());
        words.into_iter().any(|word| APART.contains(&word))
    };
    if value.contains(',') && placed(value) {
        return strokes(&value.replace(',', ";"));
    }
    strokes(value)
}

/// A semicolon for each stroke that parts.
fn strokes(value: &str) -> String {
    let letters = |text: &str| text.chars().filter(|c| c.is_alphabetic()).count();
    let mut rings = String::new();
    let mut rest = value;
    let mut from = 0;
    while let Some(at) = rest[from..].find(" / ") {
        let (before, after) = (&rest[..from + at], &rest[from + at + 3..]);
        let next = after.split(';').next().unwrap_or(after);
        let last = before.rsplit(';').next().unwrap_or(before);
        if letters(last) >= TWO_RINGS && letters(next) >= TWO_RINGS {
            rings.push_str(before);
            rings.push(';');
            (rest, from) = (after, 0);
        } else {
            from += at + 3;
        }
    }
    rings + rest
}

#[cfg(test)]
mod tests {
    use super::ring_by_ring;

    #[test]
    fn a_spaced_stroke_between_two_long_legends_parts_them() {
        for (said, rings) in [
            ("POSVI DEVM ADIVTORE MEVM / CIVITAS LONDON", 2),
            ("POSVI DEVM / ADIVTORE MEVM / CIVITAS LONDON", 3),
            ("CIVI / TAS / LON / DON", 1),
            ("CONSTANT / INVS AVG", 1),
            ("IMP TETRICVS/PIVS FELIX AVG", 1),
            ("[---] / CIVITAS LONDON", 1),
            ("GLORIA EXERCITVS, TRP in exergue", 2),
            ("SALVS AVG, ML in ex.", 2),
            ("A in field, IMP C ALLECTVS P F AVG", 2),
            ("EX, PECTATE VENI", 1),
        ] {
            assert_eq!(ring_by_ring(said).split(';').count(), rings, "{said}");
        }
    }
}
