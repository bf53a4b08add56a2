//! Shapes: the hull of a ring of points, widths across it, the area within.
//!
//! Plain geometry in whatever unit the points have; knows no pictures.
//!
//! Invariant: a width is never negative, and no width is greater than the largest.

use super::picture::Point;

/// The area within a closed ring, in the square of the points' unit.
pub(super) fn area(ring: &[Point]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    let twice: f64 = ring
        .iter()
        .zip(next)
        .map(|(a, b)| a[0] * b[1] - b[0] * a[1])
        .sum();
    twice.abs() / 2.0
}

/// The middle of the area within a closed ring.
pub(super) fn middle(ring: &[Point]) -> Point {
    let Some(&origin) = ring.first() else {
        return [0.0, 0.0];
    };
    let (mut twice, mut sum) = (0.0, [0.0, 0.0]);
    for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        let a = [a[0] - origin[0], a[1] - origin[1]];
        let b = [b[0] - origin[0], b[1] - origin[1]];
        let cross = a[0] * b[1] - b[0] * a[1];
        twice += cross;
        sum = [
            sum[0] + (a[0] + b[0]) * cross,
            sum[1] + (a[1] + b[1]) * cross,
        ];
    }
    if twice.abs() < 1e-12 {
        return origin;
    }
    [
        origin[0] + sum[0] / (3.0 * twice),
        origin[1] + sum[1] / (3.0 * twice),
    ]
}

/// The corners of the smallest convex shape that holds the points, in order.
pub(super) fn hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    sorted.dedup();
    if sorted.len() < 3 {
        return sorted;
    }
    let half = |points: &mut dyn Iterator<Item = Point>| {
        let mut side: Vec<Point> = Vec::new();
        for point in points {
            while let [.., a, b] = side.as_slice()
                && (b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0]) <= 0.0
            {
                side.pop();
            }
            side.push(point);
        }
        side.pop();
        side
    };
    let mut whole = half(&mut sorted.iter().copied());
    whole.extend(half(&mut sorted.iter().rev().copied()));
    whole
}

/// How far the points reach along a direction given by an angle in radians.
pub(super) fn width(points: &[Point], angle: f64) -> f64 {
    let (sin, cos) = angle.sin_cos();
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for point in points {
        let along = point[0] * cos + point[1] * sin;
        least = least.min(along);
        most = most.max(along);
    }
    (most - least).max(0.0)
}

/// Angles, in radians, across which the hull is widest and narrowest.
pub(super) fn extremes(hull: &[Point]) -> (f64, f64) {
    let mut widest = (0.0, f64::NEG_INFINITY);
    let mut narrowest = (0.0, f64::INFINITY);
    for (at, a) in hull.iter().enumerate() {
        for b in &hull[at + 1..] {
            let far = (b[0] - a[0]).hypot(b[1] - a[1]);
            if far > widest.1 {
                widest = ((b[1] - a[1]).atan2(b[0] - a[0]), far);
            }
        }
        // The narrowest way across stands square on a side.
        let b = hull[(at + 1) % hull.len()];
        let angle = (b[1] - a[1]).atan2(b[0] - a[0]) + std::f64::consts::FRAC_PI_2;
        let across = width(hull, angle);
        if across < narrowest.1 && (b[0] - a[0]).hypot(b[1] - a[1]) > 0.0 {
            narrowest = (angle, across);
        }
    }
    (widest.0, narrowest.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: [Point; 5] = [[0.0, 0.0], [2.0, 0.0], [2.0, 1.0], [1.0, 0.9], [0.0, 1.0]];

    // The area, widths and middle of a rectangle are those of the schoolbook.
    #[test]
    fn a_rectangle_has_its_area_widths_and_middle() {
        let hull = hull(&SQUARE);
        assert_eq!(hull.len(), 4);
        assert!((area(&hull) - 2.0).abs() < 1e-12);
        assert_eq!(middle(&hull), [1.0, 0.5]);
        let (widest, narrowest) = extremes(&hull);
        assert!((width(&hull, widest) - 5.0_f64.sqrt()).abs() < 1e-9);
        assert!((width(&hull, narrowest) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn few_points_have_no_area() {
        assert!(hull(&[]).is_empty());
        assert_eq!(area(&[[1.0, 1.0]]), 0.0);
        assert_eq!(middle(&[[1.0, 1.0], [1.0, 1.0]]), [1.0, 1.0]);
    }
}
