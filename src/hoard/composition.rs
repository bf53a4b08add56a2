//! What a group is made up of: how many of each period, ruler, denomination and metal.
//!
//! Expected counts, with the range that holds 80 in 100 where the pieces of a row are right or
//! wrong together and rows are not. What is not in the library, and what is not known, stands
//! apart.
//!
//! Invariant: the expected counts of a level sum to the number of pieces.

use super::group::{Group, Piece, Share};

/// Pieces in doubt up to which the range is worked out exactly; beyond, by a normal law.
const EXACT_MOST: usize = 1_000;
/// Rows in doubt up to which it is.
const ROWS_EXACT: usize = 200;
/// Expected counts below this are put together under what is not known.
const LEAST: f64 = 0.05;
/// Names of a level that are kept; the rest are counted as not known, which bounds the answer.
const NAMES_MOST: usize = 200;

/// How many of one name.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Printed name.
    pub name: String,
    /// Pieces to be expected.
    pub expected: f64,
    /// Between these many in 80 of 100.
    pub range: (u64, u64),
}

/// A level, largest first.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Parts {
    /// By name.
    pub parts: Vec<Part>,
    /// Pieces to be expected that are not in the library.
    pub unlisted: f64,
    /// Pieces of which it is not known.
    pub unknown: f64,
}

/// The make-up of a group.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Composition {
    /// By kind: coins, objects, containers.
    pub kinds: Vec<(&'static str, u64)>,
    /// By period.
    pub period: Parts,
    /// By ruler.
    pub ruler: Parts,
    /// By denomination.
    pub denomination: Parts,
    /// By metal.
    pub metal: Parts,
}

impl Composition {
    /// Works it out.
    pub(super) fn of(group: &Group) -> Composition {
        let kinds = super::Kind::ALL.into_iter().map(|kind| {
            let of = group.pieces.iter().filter(|piece| piece.kind == kind);
            (kind.word(), of.map(|piece| u64::from(piece.count)).sum())
        });
        Composition {
            kinds: kinds.filter(|(_, count)| *count > 0).collect(),
            period: level(&group.pieces, |piece| &piece.periods),
            ruler: level(&group.pieces, |piece| &piece.rulers),
            denomination: level(&group.pieces, |piece| &piece.denominations),
            metal: level(&group.pieces, |piece| &piece.metals),
        }
    }
}

/// Counts one level.
pub(super) fn level(pieces: &[Piece], of: impl Fn(&Piece) -> &Vec<Share>) -> Parts {
    let mut rows: std::collections::BTreeMap<&str, Vec<(u32, f64)>> = Default::default();
    let (mut unlisted, mut all) = (0.0, 0.0);
    for piece in pieces {
        all += piece.number();
        let told: f64 = of(piece).iter().map(|share| share.chance).sum();
        unlisted += piece.number() * piece.unlisted.min((1.0 - told).max(0.0));
        for share in of(piece) {
            let held = rows.entry(share.name.as_str()).or_default();
            held.push((piece.count, share.chance.clamp(0.0, 1.0)));
        }
    }
    let part = |(name, rows): (&str, Vec<(u32, f64)>)| Part {
        name: name.to_string(),
        expected: rows.iter().map(|(n, p)| f64::from(*n) * p).sum(),
        range: range(&rows),
    };
    let mut parts: Vec<Part> = rows.into_iter().map(part).collect();
    parts.retain(|part| part.expected >= LEAST);
    parts.sort_by(|a, b| b.expected.total_cmp(&a.expected).then(a.name.cmp(&b.name)));
    parts.truncate(NAMES_MOST);
    let known: f64 = parts.iter().map(|part| part.expected).sum();
    Parts {
        parts,
        unlisted,
        unknown: (all - known - unlisted).max(0.0),
    }
}

/// The range that holds 80 in 100 of the number, rows being drawn independently, each as a whole.
fn range(rows: &[(u32, f64)]) -> (u64, u64) {
    let sure = |p: f64| p > 0.9995;
    let fixed: u64 = rows
        .iter()
        .filter(|(_, p)| sure(*p))
        .map(|(n, _)| u64::from(*n))
        .sum();
    let open: Vec<(u32, f64)> = rows
        .iter()
        .copied()
        .filter(|(_, p)| !sure(*p) && *p > 0.0005)
        .collect();
    let most: u64 = open.iter().map(|(n, _)| u64::from(*n)).sum();
    let (low, high) = if most <= EXACT_MOST as u64 && open.len() <= ROWS_EXACT {
        exact(&open, most as usize)
    } else {
        by_moments(&open, most)
    };
    (fixed + low, fixed + high)
}

fn exact(open: &[(u32, f64)], most: usize) -> (u64, u64) {
    let mut chances = vec![0.0; most + 1];
    chances[0] = 1.0;
    let mut reached = 0;
    for (number, p) in open {
        let number = *number as usize;
        for at in (0..=reached).rev() {
            let held = chances[at];
            chances[at] = held * (1.0 - p);
            chances[at + number] += held * p;
        }
        reached += number;
    }
    let at = |share: f64| {
        let mut below = 0.0;
        let place = chances.iter().position(|chance| {
            below += chance;
            below >= share - 1e-12
        });
        place.unwrap_or(most) as u64
    };
    (at(0.1), at(0.9))
}

fn by_moments(open: &[(u32, f64)], most: u64) -> (u64, u64) {
    let mean: f64 = open.iter().map(|(n, p)| f64::from(*n) * p).sum();
    let square = |(n, p): &(u32, f64)| f64::from(*n).powi(2) * p * (1.0 - p);
    // 1.2816 standard deviations hold 80 in 100 of a normal law.
    let wide = 1.2816 * open.iter().map(square).sum::<f64>().sqrt();
    let low = (mean - wide).floor().max(0.0) as u64;
    (low, ((mean + wide).ceil() as u64).min(most))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn piece(count: u32, ruler: &[(&str, f64)], unlisted: f64) -> Piece {
        let mut piece = Piece::unsaid("x");
        piece.count = count;
        piece.unlisted = unlisted;
        let rulers = ruler.iter();
        piece.rulers = rulers
            .map(|(name, chance)| Share {
                name: name.to_string(),
                chance: *chance,
            })
            .collect();
        piece
    }

    /// By hand: ten surely, and three single coins at one half each: 10 + 1.5, and of the three
    /// none at one in eight, so at least one in 80 of 100 fails only at the low end.
    #[test]
    fn counts_with_their_range() {
        let half = piece(1, &[("Tetricus I", 0.5), ("Victorinus", 0.3)], 0.2);
        let group = [
            piece(10, &[("Tetricus I", 1.0)], 0.0),
            half.clone(),
            half.clone(),
            half,
        ];
        let level = level(&group, |piece| &piece.rulers);
        assert_eq!(level.parts[0].name, "Tetricus I");
        assert!((level.parts[0].expected - 11.5).abs() < 1e-12);
        assert_eq!(level.parts[0].range, (10, 13));
        assert!((level.parts[1].expected - 0.9).abs() < 1e-12);
        assert!((level.unlisted - 0.6).abs() < 1e-12 && level.unknown < 1e-9);
    }

    /// A row of twenty is right or wrong as one: nought or twenty.
    #[test]
    fn a_row_is_right_or_wrong_as_one() {
        let level = level(&[piece(20, &[("a", 0.5)], 0.5)], |piece| &piece.rulers);
        assert_eq!(level.parts[0].range, (0, 20));
    }

    #[test]
    fn many_pieces_are_counted_by_moments_within_bounds() {
        let level = level(&[piece(1_000_000, &[("a", 0.5)], 0.0)], |piece| {
            &piece.rulers
        });
        assert_eq!(level.parts[0].range, (0, 1_000_000));
        assert!((level.unknown - 500_000.0).abs() < 1e-6);
    }
}
