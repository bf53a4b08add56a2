//! Contours: the edge of the ground above a level, on a grid of heights.
//!
//! Marching squares: each square of the grid gives the piece of the edge that crosses it, the
//! ground above on its left, and the pieces are joined into rings. Knows nothing of coins.
//!
//! Invariant: heights at the border of a grid lie below the level, so every ring is closed.

use std::collections::BTreeMap;

/// An even row of places.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Axis {
    /// First place.
    pub(super) least: f64,
    /// Last place.
    pub(super) most: f64,
    /// How many places.
    pub(super) lines: usize,
}

impl Axis {
    /// From one place to the next.
    pub(super) fn step(self) -> f64 {
        (self.most - self.least) / (self.lines.max(2) - 1) as f64
    }

    /// The places in order.
    pub(super) fn places(self) -> impl Iterator<Item = f64> {
        (0..self.lines).map(move |line| self.least + self.step() * line as f64)
    }

    /// The stretches in which heights along the row reach a level.
    pub(super) fn stretches(self, heights: &[f64], level: f64) -> Vec<(f64, f64)> {
        let crossing = |at: usize| {
            let part = share_of_way(heights[at], heights[at + 1], level);
            self.least + self.step() * (at as f64 + part)
        };
        let mut stretches = Vec::new();
        let mut from = heights.first().filter(|h| **h >= level).map(|_| self.least);
        for at in 0..heights.len().saturating_sub(1) {
            match (heights[at] >= level, heights[at + 1] >= level, from) {
                (false, true, _) => from = Some(crossing(at)),
                (true, false, Some(start)) => {
                    stretches.push((start, crossing(at)));
                    from = None;
                }
                _ => {}
            }
        }
        stretches.extend(from.map(|start| (start, self.most)));
        stretches
    }
}

/// Where between two heights a level is crossed, 0 to 1; read on a logarithmic scale, on which
/// laws of measures are smooth.
fn share_of_way(from: f64, to: f64, level: f64) -> f64 {
    let log = |height: f64| height.max(level * 1e-9).ln();
    let (a, b) = (log(from), log(to));
    if a == b {
        return 0.5;
    }
    ((level.ln() - a) / (b - a)).clamp(0.0, 1.0)
}

/// An edge of the grid: column, row, and whether it runs upwards.
type Edge = (usize, usize, bool);

/// The rings round the ground at or above a level; `heights` go row by row from the lowest.
pub(super) fn rings(heights: &[f64], across: Axis, up: Axis, level: f64) -> Vec<Vec<(f64, f64)>> {
    let height = |column: usize, row: usize| heights[row * across.lines + column];
    let mut next: BTreeMap<Edge, Edge> = BTreeMap::new();
    for row in 0..up.lines.saturating_sub(1) {
        for column in 0..across.lines.saturating_sub(1) {
            let corners = [(0, 0), (1, 0), (1, 1), (0, 1)];
            let corners = corners.map(|(x, y)| height(column + x, row + y));
            let edges = [
                (column, row, false),
                (column + 1, row, true),
                (column, row + 1, false),
                (column, row, true),
            ];
            for (from, to) in pieces(corners, level) {
                next.insert(edges[from], edges[to]);
            }
        }
    }
    let place = |&(column, row, upwards): &Edge| {
        let (x, y) = if upwards { (0, 1) } else { (1, 0) };
        let way = share_of_way(height(column, row), height(column + x, row + y), level);
        (
            across.least + across.step() * (column as f64 + way * x as f64),
            up.least + up.step() * (row as f64 + way * y as f64),
        )
    };
    let mut rings = Vec::new();
    while let Some((start, mut to)) = next.pop_first() {
        let mut ring = vec![place(&start)];
        while to != start {
            ring.push(place(&to));
            let Some(onward) = next.remove(&to) else {
                break;
            };
            to = onward;
        }
        rings.push(ring);
    }
    rings
}

/// The pieces of the edge in one square, as pairs of its sides, counted like its corners from the
/// lower left against the clock.
fn pieces(corners: [f64; 4], level: f64) -> Vec<(usize, usize)> {
    let above = corners.map(|height| height >= level);
    let sides =
        |starts: bool| (0..4).filter(move |k| above[*k] == starts && above[(*k + 1) % 4] != starts);
    // Where opposite corners stand out, the middle says whether they are joined.
    let joined = corners.iter().sum::<f64>() / 4.0 >= level;
    let partner = |leaving: usize| {
        let forward = (1..4).map(|k| (leaving + k) % 4);
        let found: Vec<usize> = forward.filter(|k| sides(false).any(|s| s == *k)).collect();
        if joined { found.first() } else { found.last() }.copied()
    };
    sides(true)
        .filter_map(|leaving| Some((leaving, partner(leaving)?)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: Axis = Axis {
        least: -2.0,
        most: 2.0,
        lines: 81,
    };

    fn grid(height: impl Fn(f64, f64) -> f64) -> Vec<f64> {
        let rows = SQUARE
            .places()
            .flat_map(|y| SQUARE.places().map(move |x| (x, y)));
        rows.map(|(x, y)| height(x, y)).collect()
    }

    /// Twice the area within, above nought when the ring runs against the clock.
    fn doubled(ring: &[(f64, f64)]) -> f64 {
        let next = ring.iter().cycle().skip(1);
        ring.iter()
            .zip(next)
            .map(|(a, b)| a.0 * b.1 - b.0 * a.1)
            .sum()
    }

    #[test]
    fn a_round_hill_has_one_round_ring() {
        let hill = grid(|x, y| (-(x * x + y * y)).exp());
        let rings = rings(&hill, SQUARE, SQUARE, (-1f64).exp());
        assert_eq!(rings.len(), 1);
        for (x, y) in &rings[0] {
            assert!((x.hypot(*y) - 1.0).abs() < 2e-3, "{x} {y}");
        }
        let area = doubled(&rings[0]) / 2.0;
        assert!((area - std::f64::consts::PI).abs() < 0.01, "{area}");
    }

    #[test]
    fn a_crater_has_a_ring_and_a_hole_and_two_hills_two_rings() {
        let crater = grid(|x, y| (-(x.hypot(y) - 1.0).powi(2) * 20.0).exp());
        let found = rings(&crater, SQUARE, SQUARE, 0.5);
        let mut areas: Vec<f64> = found.iter().map(|ring| doubled(ring)).collect();
        areas.sort_by(f64::total_cmp);
        assert!(
            areas.len() == 2 && areas[0] < 0.0 && areas[1] > 0.0,
            "{areas:?}"
        );
        let hill = |x: f64, y: f64| (-((x * x + y * y) * 8.0)).exp();
        let two = grid(|x, y| hill(x - 1.0, y - 1.0) + hill(x + 1.0, y + 1.0));
        assert_eq!(rings(&two, SQUARE, SQUARE, 0.5).len(), 2);
    }

    #[test]
    fn corners_that_touch_are_joined_by_their_middle() {
        assert_eq!(pieces([1.0, 0.0, 1.0, 0.0], 0.4), [(0, 1), (2, 3)]);
        assert_eq!(pieces([1.0, 0.0, 1.0, 0.0], 0.6), [(0, 3), (2, 1)]);
        assert_eq!(pieces([0.0; 4], 0.5), []);
    }

    #[test]
    fn stretches_of_a_row() {
        let row = Axis {
            least: 0.0,
            most: 4.0,
            lines: 5,
        };
        let found = row.stretches(&[0.0, 1.0, 0.25, 1.0, 1.0], 0.5);
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(
            (found[0].1 - 1.5).abs() < 1e-9 && found[1].1 == 4.0,
            "{found:?}"
        );
    }
}
