//! Outlines: the border of an object, finer than a pixel.
//!
//! The border of a part of the small copy is walked once; then the edge is looked for along each
//! normal in the picture itself, where the colour changes most steeply, and laid smooth along the
//! border with each place weighed by how clear its edge is. Knows no millimetres.
//!
//! Invariant: a ring has at least eight points, in order, and at most [`POINTS_MOST`].

use super::fault::{Fault, Kind};
use super::picture::{Picture, Point, Small};
use super::round;
use super::segment::{self, Part, Parts};
use super::shape;

/// Longer side of the copy that is looked over first, in pixels.
const COPY_LONGEST: usize = 1000;
/// Most points of a ring.
pub const POINTS_MOST: usize = 2400;
/// Fewest pixels across in which an object can be measured.
const ACROSS_LEAST: usize = 12;
/// How far outwards of a coarse border its edge is looked for, in its pixels: at first, and again
/// where it lay in a shadow, whose own edge is to be left outside.
const AROUND: f64 = 4.0;
const WITHIN: f64 = 1.5;
/// Times that a border is looked for farther in.
const SHADOWS_MOST: usize = 4;
/// How clear an edge looked for again must be: against the one that was followed there, and against
/// the rest of the border.
const AS_CLEAR: (f64, f64) = (1.15, 0.35);
/// Parts smaller than this share of the picture are specks.
const SPECK: f64 = 0.000_4;

/// The border of one object.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// Points of the border in order, in pixels of the picture.
    pub ring: Vec<Point>,
    /// The middle of its area, in pixels.
    pub middle: Point,
    /// Area within the border in square pixels, holes counted in.
    pub area: f64,
    /// Area of ground seen through it, in square pixels, about.
    pub holes: f64,
    /// True when it reaches the border of the picture.
    pub cut: bool,
    /// How blurred its edge is: one sigma in pixels.
    pub blur: f64,
    /// Share of the border at which the edge is too faint to be followed by itself.
    pub faint: f64,
    /// How far it stands out from the ground, in levels of 255.
    pub contrast: f64,
}

/// All that was found in a picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Seen {
    /// Objects, the largest first.
    pub objects: Vec<Outline>,
    /// Width and height of the picture in pixels.
    pub size: [usize; 2],
    /// How far the ground strays from plain, in levels of 255 (one sigma).
    pub stray: f64,
    /// Share of the picture in shadow.
    pub shadow: f64,
}

/// Finds the objects of a picture and their borders.
///
/// # Errors
///
/// When the picture is too small, its ground not plain, or nothing stands out from it.
pub fn outlines(picture: &Picture) -> Result<Seen, Fault> {
    if picture.width.min(picture.height) < 2 * ACROSS_LEAST {
        return Err(Fault::new(
            Kind::TooSmall,
            format!(
                "the picture has {} x {} pixels: nothing can be measured in it",
                picture.width, picture.height
            ),
            "give the photograph itself, not its thumbnail",
        ));
    }
    let small = Small::of(picture, COPY_LONGEST);
    let parts = segment::parts(&small);
    let least = (SPECK * parts.labels.len() as f64) as usize;
    let mut objects = Vec::new();
    for (at, part) in parts.parts.iter().enumerate() {
        let [left, top, right, bottom] = part.bounds;
        let across = (right - left).max(bottom - top) + 1;
        if part.size >= least && across >= ACROSS_LEAST {
            objects.extend(outline(picture, &small, &parts, part, at as u32 + 1));
        }
    }
    objects.sort_by(|a, b| b.area.total_cmp(&a.area));
    if objects.is_empty() || parts.ground.share < 0.5 || parts.ground.stray > 30.0 {
        return Err(Fault::new(
            Kind::Ground,
            match objects.is_empty() {
                true => "nothing stands out from the ground of the picture",
                false => "the ground of the picture is not plain",
            },
            "lay the find on plain matt paper that differs from it in colour, in even light",
        ));
    }
    Ok(Seen {
        objects,
        size: [picture.width, picture.height],
        stray: parts.ground.stray,
        shadow: parts.shadow,
    })
}

fn outline(
    picture: &Picture,
    small: &Small,
    parts: &Parts,
    part: &Part,
    number: u32,
) -> Option<Outline> {
    let walked = walk(small, &parts.labels, part.first, number);
    let even = spaced(&walked, POINTS_MOST);
    if even.len() < 8 {
        return None;
    }
    let coarse: Vec<Point> = smooth(&even, 2.0)
        .into_iter()
        .map(|point| small.to_picture(point))
        .collect();
    let side = small.side as f64;
    let edge = trace(picture, &coarse, side, AROUND);
    let edge = out_of_shadow(picture, &edge, side).unwrap_or(edge);
    Some(Outline {
        middle: shape::middle(&edge.ring),
        area: shape::area(&edge.ring),
        holes: part.holes as f64 * side * side,
        cut: part.cut,
        blur: edge.blur,
        faint: edge.faint,
        contrast: segment::contrast(small, parts, number),
        ring: edge.ring,
    })
}

/// The border pixels of a part in order, walked with the part at the right hand.
fn walk(small: &Small, labels: &[u32], first: usize, number: u32) -> Vec<Point> {
    const STEPS: [(isize, isize); 8] = [
        (1, 0),
        (1, 1),
        (0, 1),
        (-1, 1),
        (-1, 0),
        (-1, -1),
        (0, -1),
        (1, -1),
    ];
    let (width, height) = (small.width as isize, small.height as isize);
    let inside = |x: isize, y: isize| {
        let within = x >= 0 && y >= 0 && x < width && y < height;
        within && labels[(y * width + x) as usize] == number
    };
    let start = (first as isize % width, first as isize / width);
    let (mut here, mut facing) = (start, 0_usize);
    let mut points = vec![[start.0 as f64, start.1 as f64]];
    // A border has at most four passes over each pixel.
    for _ in 0..4 * labels.len() {
        // From the left hand behind round to the right.
        let turn = (0..8).map(|turn| (facing + 5 + turn) % 8);
        let next = turn
            .map(|to| (to, (here.0 + STEPS[to].0, here.1 + STEPS[to].1)))
            .find(|(_, (x, y))| inside(*x, *y));
        let Some((to, place)) = next else { break };
        if here == start
            && points.len() > 1
            && points.get(1) == Some(&[place.0 as f64, place.1 as f64])
        {
            points.pop();
            break;
        }
        points.push([place.0 as f64, place.1 as f64]);
        (here, facing) = (place, to);
    }
    points
}

/// A ring laid anew with points at even steps of about one pixel, at most so many.
fn spaced(ring: &[Point], most: usize) -> Vec<Point> {
    let far = |a: &Point, b: &Point| (b[0] - a[0]).hypot(b[1] - a[1]);
    let closed = || ring.iter().zip(ring.iter().cycle().skip(1));
    let whole: f64 = closed().map(|(a, b)| far(a, b)).sum();
    let count = (whole as usize).min(most);
    let step = whole / count.max(1) as f64;
    let mut points = Vec::with_capacity(count);
    let mut passed = 0.0;
    for (a, b) in closed() {
        let length = far(a, b);
        while points.len() < count && points.len() as f64 * step < passed + length {
            let share = (points.len() as f64 * step - passed) / length;
            points.push([a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])]);
        }
        passed += length;
    }
    points
}

/// A ring with its points averaged with their neighbours, by a bell of so many points' sigma.
fn smooth(ring: &[Point], sigma: f64) -> Vec<Point> {
    let x: Vec<f64> = ring.iter().map(|point| point[0]).collect();
    let y: Vec<f64> = ring.iter().map(|point| point[1]).collect();
    let even = vec![1.0; ring.len()];
    let x = averaged(&x, &even, sigma);
    let y = averaged(&y, &even, sigma);
    x.into_iter().zip(y).map(|(x, y)| [x, y]).collect()
}

/// Values round a ring averaged by a bell and by their weights.
fn averaged(values: &[f64], weights: &[f64], sigma: f64) -> Vec<f64> {
    let count = values.len() as isize;
    let reach = ((3.0 * sigma) as isize).min(count / 2 - 1).max(0);
    let bell: Vec<f64> = (0..=reach)
        .map(|off| (-0.5 * (off as f64 / sigma).powi(2)).exp())
        .collect();
    (0..count)
        .map(|at| {
            let (mut sum, mut weight) = (0.0, 0.0);
            for off in -reach..=reach {
                let other = (at + off).rem_euclid(count) as usize;
                let share = bell[off.unsigned_abs()] * weights[other];
                sum += share * values[other];
                weight += share;
            }
            sum / weight.max(1e-300)
        })
        .collect()
}

/// The border of a round thing looked for again within the shadow that it strays into, as often as
/// it is found farther in, where the edge there is no fainter than the one that was followed.
fn out_of_shadow(picture: &Picture, edge: &Edge, side: f64) -> Option<Edge> {
    let mut better: Option<Edge> = None;
    for _ in 0..SHADOWS_MOST {
        let now = better.as_ref().unwrap_or(edge);
        let Some((back, strays)) = round::put_back(&now.ring, &now.steepness) else {
            break;
        };
        let again = trace(picture, &back, side, WITHIN);
        let among = |of: &Edge, wanted: bool| {
            let chosen = of.steepness.iter().zip(&strays);
            let chosen = chosen.filter(|(_, stray)| **stray == wanted);
            super::ground::median(chosen.map(|(steep, _)| *steep).collect())
        };
        let clear = among(&again, true);
        let enough = clear > AS_CLEAR.0 * among(now, true);
        if !enough || clear < AS_CLEAR.1 * among(&again, false) {
            break;
        }
        better = Some(again);
    }
    better
}

/// An edge that was followed.
struct Edge {
    ring: Vec<Point>,
    /// Levels a pixel at each point.
    steepness: Vec<f64>,
    blur: f64,
    faint: f64,
}

/// Looks for the edge along the normals of a coarse border, whose pixels are so wide.
fn trace(picture: &Picture, coarse: &[Point], side: f64, outwards: f64) -> Edge {
    let count = coarse.len();
    let mut normals = Vec::with_capacity(count);
    let mut found: Vec<Found> = Vec::with_capacity(count);
    for at in 0..count {
        let before = coarse[(at + count - 3) % count];
        let after = coarse[(at + 3) % count];
        let along = [after[0] - before[0], after[1] - before[1]];
        let length = along[0].hypot(along[1]).max(1e-9);
        // The part lies at the right hand of the walk, y down: inwards is to the right.
        let inwards = [-along[1] / length, along[0] / length];
        normals.push(inwards);
        found.push(look_along(picture, coarse[at], inwards, side, outwards));
    }
    let steepness = found.iter().map(|found| found.steepness).collect();
    let offs = settled(&mut found, side);
    let mut strengths: Vec<f64> = found.iter().map(|found| found.steepness).collect();
    let typical = super::ground::median(strengths.clone());
    strengths.retain(|strength| *strength < 0.25 * typical);
    let blurs: Vec<f64> = found
        .iter()
        .filter(|found| found.steepness > 0.5 * typical)
        .map(|found| found.blur)
        .collect();
    let ring = coarse
        .iter()
        .zip(&normals)
        .zip(&offs)
        .map(|((point, inwards), off)| [point[0] + off * inwards[0], point[1] + off * inwards[1]])
        .collect();
    Edge {
        ring,
        steepness,
        blur: super::ground::median(blurs),
        faint: strengths.len() as f64 / count as f64,
    }
}

/// What was found along one normal.
#[derive(Clone, Copy)]
struct Found {
    /// How far inwards of the coarse border the edge lies, in pixels.
    off: f64,
    /// Levels a pixel at the edge.
    steepness: f64,
    /// One sigma of the edge's blur, in pixels.
    blur: f64,
}

/// The outermost steep change along a normal.
fn look_along(picture: &Picture, from: Point, inwards: Point, side: f64, outwards: f64) -> Found {
    let step = if side <= 2.0 { 0.5 } else { side / 4.0 };
    let (outer, inner) = (-outwards * side - 1.0, 7.0 * side + 1.0);
    let count = ((inner - outer) / step) as usize + 1;
    let colours: Vec<[f64; 3]> = (0..count)
        .map(|at| {
            let off = outer + step * at as f64;
            picture.between([from[0] + off * inwards[0], from[1] + off * inwards[1]])
        })
        .collect();
    // The way from outside to inside, in colours.
    let ends = count / 4;
    let mean = |of: &[[f64; 3]]| {
        [0, 1, 2].map(|c| of.iter().map(|colour| colour[c]).sum::<f64>() / of.len() as f64)
    };
    let (out, within) = (mean(&colours[..ends]), mean(&colours[count - 2 * ends..]));
    let mut way = [0, 1, 2].map(|c| within[c] - out[c]);
    let length = way.iter().map(|part| part * part).sum::<f64>().sqrt();
    if length < 3.0 {
        return Found {
            off: 0.0,
            steepness: 1e-3,
            blur: 0.0,
        };
    }
    way = way.map(|part| part / length);
    let signal: Vec<f64> = colours
        .iter()
        .map(|colour| (0..3).map(|c| colour[c] * way[c]).sum())
        .collect();
    peak(&signal, step, outer)
}

/// The outermost of the steepest rises of a signal.
fn peak(signal: &[f64], step: f64, outer: f64) -> Found {
    // Rises over two steps, softened.
    let count = signal.len();
    let raw: Vec<f64> = (0..count)
        .map(|at| {
            let (before, after) = (at.saturating_sub(1), (at + 1).min(count - 1));
            (signal[after] - signal[before]) / (step * (after - before) as f64)
        })
        .collect();
    let rises: Vec<f64> = (0..count)
        .map(|at| {
            let of = |off: isize| raw[(at as isize + off).clamp(0, count as isize - 1) as usize];
            (of(-2) + 4.0 * of(-1) + 6.0 * of(0) + 4.0 * of(1) + of(2)) / 16.0
        })
        .collect();
    let most = rises.iter().copied().fold(0.0, f64::max);
    let at = (1..count - 1).find(|at| {
        rises[*at] >= 0.55 * most && rises[*at] >= rises[at - 1] && rises[*at] > rises[at + 1]
    });
    let Some(at) = at else {
        return Found {
            off: 0.0,
            steepness: 1e-3,
            blur: 0.0,
        };
    };
    let (before, here, after) = (rises[at - 1], rises[at], rises[at + 1]);
    let bend = before - 2.0 * here + after;
    let shift = if bend < -1e-9 {
        0.5 * (before - after) / bend
    } else {
        0.0
    };
    // A bell's bend at its top is its height over its variance.
    let variance = if bend < -1e-9 {
        here / -bend * step * step
    } else {
        0.0
    };
    Found {
        off: outer + step * (at as f64 + shift.clamp(-1.0, 1.0)),
        steepness: here.max(1e-3),
        blur: variance.sqrt(),
    }
}

/// How far in the edge lies at each place: strays pulled to their neighbours, faint places filled
/// from clear ones.
fn settled(found: &mut [Found], side: f64) -> Vec<f64> {
    let count = found.len();
    let offs: Vec<f64> = found.iter().map(|found| found.off).collect();
    let mut weights = Vec::with_capacity(count);
    for at in 0..count {
        let near = (0..15).map(|step| offs[(at + count + step - 7) % count]);
        let usual = super::ground::median(near.collect());
        let strays = (offs[at] - usual).abs() > 1.2 * side.max(1.0);
        if strays {
            found[at].steepness *= 0.05;
        }
        weights.push(found[at].steepness.powi(2));
    }
    averaged(&offs, &weights, 2.0)
}
