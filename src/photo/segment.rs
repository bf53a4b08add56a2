//! Objects: which parts of a picture stand out from its ground.
//!
//! The ground is flooded from the border inwards: over what looks like the ground, and over shadow,
//! which is ground made darker without a change of hue and without a sharp edge. What the flood
//! does not reach is an object. Measures nothing.
//!
//! Invariant: the flood never crosses a sharp edge by a gap narrower than its brush.

use super::ground::{Ground, median};
use super::picture::Small;
use super::shape;

/// Half the width of the flood's brush, in pixels of the copy.
const BRUSH: usize = 4;
/// How far the flood is let over edges by and by, as multiples of what counts as sharp: a hard
/// shadow has a sharp edge of its own.
const DARING: [f32; 6] = [1.6, 2.4, 3.6, 5.0, 7.5, f32::INFINITY];
/// How many of these are tried to part things whose shadows run together.
const PARTING: usize = 4;
/// Share of a part from which a piece of it is a thing, and how much fuller a shape each must be.
const PIECE_LEAST: f64 = 0.08;
const FULLER: f64 = 0.03;
/// What must be left of a part when the flood is let farther.
const LEFT_LEAST: f64 = 0.6;
/// How much clearer the border must be for the flood to have been right whatever the shape.
const CLEARER: f32 = 1.08;
/// How clear it must still be where the shape is as full as before: what went was a shadow, since a
/// flood that breaks into a thing leaves it ragged.
const STILL_CLEAR: f32 = 0.4;
/// How much less full a shape may be to be called as full.
const AS_FULL: f64 = 0.003;
/// Darkest that shadow is taken to be, as a share of the ground's light.
const DARKEST: f32 = 0.2;

/// A connected part that stands out from the ground, in pixels of the copy.
#[derive(Clone, Debug)]
pub(super) struct Part {
    /// How many pixels it has, holes filled.
    pub(super) size: usize,
    /// Left, top, right and bottom pixel.
    pub(super) bounds: [usize; 4],
    /// One of its pixels: the first in reading order, which lies on its border.
    pub(super) first: usize,
    /// True when it reaches the border of the picture.
    pub(super) cut: bool,
    /// Pixels of ground seen through it.
    pub(super) holes: usize,
}

/// A picture taken apart.
pub(super) struct Parts {
    /// Which part each pixel of the copy belongs to, from 1; 0 is ground.
    pub(super) labels: Vec<u32>,
    pub(super) parts: Vec<Part>,
    pub(super) ground: Ground,
    /// Share of the picture in shadow.
    pub(super) shadow: f64,
}

/// How the pixels of the copy look against the ground.
struct Looks {
    /// Like the ground or like shadow on it.
    dull: Vec<bool>,
    /// Like the ground itself.
    bare: Vec<bool>,
    /// How steeply the colours change, in levels a pixel.
    slopes: Vec<f32>,
    /// The slope from which an edge is sharp.
    sharp: f32,
    /// Pixels across.
    width: usize,
}

impl Looks {
    /// What a flood may cross that is held by edges so many times as steep as sharp.
    fn passable(&self, times: f32) -> Vec<bool> {
        let held = self.sharp * times;
        let pixels = self.dull.iter().zip(&self.slopes);
        let mut passable: Vec<bool> = pixels.map(|(dull, slope)| *dull && *slope < held).collect();
        clear_grain(&mut passable, self.width);
        passable
    }
}

/// Lets the flood over what bars it alone or with few: the grain of the picture, since one barred
/// pixel would keep the whole brush away.
fn clear_grain(passable: &mut [bool], width: usize) {
    let before = passable.to_vec();
    let height = before.len() / width;
    for y in 1..height.saturating_sub(1) {
        for x in 1..width.saturating_sub(1) {
            let at = y * width + x;
            if before[at] {
                continue;
            }
            let rows = [at - width - 1, at - 1, at + width - 1];
            let barred: usize = rows
                .iter()
                .map(|row| before[*row..*row + 3].iter().filter(|open| !**open).count())
                .sum();
            // The pixel itself is one of them; an edge bars three in a row at the least.
            if barred < 4 {
                passable[at] = true;
            }
        }
    }
}

/// Takes a copy apart.
pub(super) fn parts(small: &Small) -> Parts {
    let colours = small.softened(1);
    let slopes = slopes(small, &colours);
    let first = Ground::of_border(small, &colours);
    let looks = look(small, &colours, &first, slopes);
    let outer = flood(small, &looks.passable(1.0));
    // The surface is laid again by all ground that was found, which holds it to the middle.
    let plain: Vec<bool> = outer
        .iter()
        .zip(&looks.bare)
        .map(|(a, b)| *a && *b)
        .collect();
    let found = plain.iter().filter(|plain| **plain).count();
    let ground = match found > outer.len() / 20 {
        true => Ground::of(small, &colours, |x, y| plain[y * small.width + x]),
        false => first,
    };
    let looks = look(small, &colours, &ground, looks.slopes);
    let outer = flood(small, &looks.passable(1.0));
    let (mut labels, mut parts) = label(small, &outer);
    part(small, &looks, &mut labels, &mut parts);
    dare(small, &looks, &mut labels, &mut parts);
    holes(small, &labels, &looks.bare, &mut parts);
    let dark = (0..labels.len())
        .filter(|at| labels[*at] == 0 && !looks.bare[*at])
        .count();
    Parts {
        shadow: dark as f64 / labels.len() as f64,
        labels,
        parts,
        ground,
    }
}

/// Lets the flood farther between things whose shadows run together: a part is taken apart where
/// each of the pieces is a fuller shape than all of it was.
fn part(small: &Small, looks: &Looks, labels: &mut [u32], parts: &mut Vec<Part>) {
    for times in DARING.into_iter().take(PARTING) {
        let outer = flood(small, &looks.passable(times));
        let left: Vec<bool> = labels
            .iter()
            .zip(&outer)
            .map(|(of, out)| *of == 0 || *out)
            .collect();
        let (pieces, found) = label(small, &left);
        for at in 0..parts.len() {
            let number = at as u32 + 1;
            let least = (PIECE_LEAST * parts[at].size as f64) as usize;
            let of = |piece: &Part| labels[piece.first] == number && piece.size > least;
            let own: Vec<usize> = (0..found.len()).filter(|one| of(&found[*one])).collect();
            let whole: usize = own.iter().map(|one| found[*one].size).sum();
            let full = fullness(small, labels, &parts[at], number);
            let fuller = |one: &usize| {
                fullness(small, &pieces, &found[*one], *one as u32 + 1) > full + FULLER
            };
            if own.len() < 2
                || (whole as f64) < LEFT_LEAST * parts[at].size as f64
                || !own.iter().all(fuller)
            {
                continue;
            }
            // The first keeps the number, the others get new ones.
            let new = parts.len() as u32;
            for (label, piece) in labels.iter_mut().zip(&pieces) {
                if *label != number {
                    continue;
                }
                *label = match own.iter().position(|one| *one as u32 + 1 == *piece) {
                    Some(0) => number,
                    Some(place) => new + place as u32,
                    None => 0,
                };
            }
            parts[at] = found[own[0]].clone();
            parts.extend(own[1..].iter().map(|one| found[*one].clone()));
        }
    }
}

/// Lets the flood farther, and keeps what it leaves of a part when its border is clearer so: the
/// border of a thing is sharper than that of its shadow.
fn dare(small: &Small, looks: &Looks, labels: &mut [u32], parts: &mut [Part]) {
    let mut best: Vec<f32> = (1..=parts.len() as u32)
        .map(|number| clearness(small, looks, labels, parts, number))
        .collect();
    let mut full: Vec<f64> = (1..=parts.len() as u32)
        .map(|number| fullness(small, labels, &parts[number as usize - 1], number))
        .collect();
    let whole: Vec<usize> = parts.iter().map(|part| part.size).collect();
    let mut now = labels.to_vec();
    for times in DARING {
        let outer = flood(small, &looks.passable(times));
        for (label, outer) in now.iter_mut().zip(&outer) {
            *label *= u32::from(!outer);
        }
        let left = largest_left(small, &mut now, parts.len());
        for (at, left) in left.into_iter().enumerate() {
            let number = at as u32 + 1;
            let Some(left) = left.filter(|left| left.size as f64 > LEFT_LEAST * whole[at] as f64)
            else {
                continue;
            };
            let one = [left.clone()];
            let clear = clearness(small, looks, &now, &one, number);
            let shape = fullness(small, &now, &left, number);
            let clearer = clear > CLEARER * best[at];
            let shadow_went = shape > full[at] - AS_FULL && clear > STILL_CLEAR * best[at];
            if (clearer || shadow_went) && left.size < parts[at].size {
                full[at] = shape;
                best[at] = best[at].max(clear);
                let [l, t, r, b] = parts[at].bounds;
                for place in (t..=b).flat_map(|y| (l..=r).map(move |x| y * small.width + x)) {
                    if labels[place] == number {
                        labels[place] = now[place];
                    }
                }
                parts[at] = left;
            }
        }
    }
}

/// How much of the smallest convex shape about it a part fills.
fn fullness(small: &Small, labels: &[u32], part: &Part, number: u32) -> f64 {
    let [left, top, right, bottom] = part.bounds;
    let mut ends = Vec::new();
    for y in top..=bottom {
        let row = &labels[y * small.width + left..=y * small.width + right];
        let first = row.iter().position(|label| *label == number);
        let last = row.iter().rposition(|label| *label == number);
        for x in first.into_iter().chain(last) {
            ends.push([(left + x) as f64, y as f64]);
        }
    }
    part.size as f64 / shape::area(&shape::hull(&ends)).max(1.0)
}

/// How clear the border of a part is where it is least so: the slope that seven eighths of it have.
fn clearness(small: &Small, looks: &Looks, labels: &[u32], parts: &[Part], number: u32) -> f32 {
    let part = &parts[if parts.len() == 1 {
        0
    } else {
        number as usize - 1
    }];
    let (width, height) = (small.width, small.height);
    let [left, top, right, bottom] = part.bounds;
    let mut slopes = Vec::new();
    for y in top.max(1)..=bottom.min(height.saturating_sub(2)) {
        for x in left.max(1)..=right.min(width.saturating_sub(2)) {
            let at = y * width + x;
            let near = [at - 1, at + 1, at - width, at + width];
            if labels[at] != number || near.iter().all(|near| labels[*near] == number) {
                continue;
            }
            let (from_y, to_y) = (y.saturating_sub(3), (y + 3).min(height - 1));
            let (from_x, to_x) = (x.saturating_sub(3), (x + 3).min(width - 1));
            let around =
                (from_y..=to_y).flat_map(|y| &looks.slopes[y * width + from_x..=y * width + to_x]);
            slopes.push(around.copied().fold(0.0, f32::max));
        }
    }
    let rank = slopes.len() / 8;
    match slopes.is_empty() {
        true => 0.0,
        false => *slopes.select_nth_unstable_by(rank, f32::total_cmp).1,
    }
}

/// The largest connected piece of each part; the labels of other pieces are taken away.
fn largest_left(small: &Small, labels: &mut [u32], count: usize) -> Vec<Option<Part>> {
    let outer: Vec<bool> = labels.iter().map(|label| *label == 0).collect();
    let (pieces, found) = label(small, &outer);
    let mut largest: Vec<Option<usize>> = vec![None; count];
    for (at, piece) in found.iter().enumerate() {
        let of = labels[piece.first] as usize - 1;
        if largest[of].is_none_or(|other| found[other].size < piece.size) {
            largest[of] = Some(at);
        }
    }
    for (label, piece) in labels.iter_mut().zip(&pieces) {
        if *label > 0 && largest[*label as usize - 1] != Some(*piece as usize - 1) {
            *label = 0;
        }
    }
    largest
        .into_iter()
        .map(|at| at.map(|at| found[at].clone()))
        .collect()
}

fn look(small: &Small, colours: &[[f32; 3]], ground: &Ground, slopes: Vec<f32>) -> Looks {
    let stray = ground.stray as f32;
    let bare_most = (4.0 * stray).max(7.0);
    let hue_most = (5.0 * stray).max(9.0);
    let sharp = sharp(small, &slopes, stray);
    let (mut dull, mut bare) = (Vec::new(), Vec::new());
    for (at, colour) in colours.iter().enumerate() {
        let plain = ground.at(small, at % small.width, at / small.width);
        let off = [0, 1, 2].map(|c| colour[c] - plain[c]);
        let most = off.iter().fold(0.0_f32, |most, off| most.max(off.abs()));
        let like = most < bare_most;
        let light = |of: &[f32; 3]| of.iter().sum::<f32>() + 12.0;
        let kept = light(colour) / light(&plain);
        let hue = [0, 1, 2].map(|c| (colour[c] + 4.0 - kept * (plain[c] + 4.0)).abs());
        let shade = kept < 1.0 && kept > DARKEST && hue.iter().all(|off| *off < hue_most);
        bare.push(like);
        dull.push(like || shade);
    }
    Looks {
        dull,
        bare,
        slopes,
        sharp,
        width: small.width,
    }
}

/// How steeply the colours change, in levels a pixel.
fn slopes(small: &Small, colours: &[[f32; 3]]) -> Vec<f32> {
    let (width, height) = (small.width, small.height);
    let mut slopes = Vec::with_capacity(colours.len());
    for y in 0..height {
        let (up, down) = (y.saturating_sub(1), (y + 1).min(height - 1));
        for x in 0..width {
            let (left, right) = (x.saturating_sub(1), (x + 1).min(width - 1));
            let at = |x: usize, y: usize| colours[y * width + x];
            let (west, east, north, south) = (at(left, y), at(right, y), at(x, up), at(x, down));
            let steepest = (0..3)
                .map(|c| (east[c] - west[c]).powi(2) + (south[c] - north[c]).powi(2))
                .fold(0.0_f32, f32::max);
            slopes.push(0.5 * steepest.sqrt());
        }
    }
    slopes
}

/// The slope from which an edge is sharp: a good part of what the sharpest edges here have, and
/// well over what the ground's own grain makes.
fn sharp(small: &Small, slopes: &[f32], stray: f32) -> f32 {
    let mut counted: Vec<f32> = slopes.to_vec();
    let last = counted.len() - 1;
    // The outline of a thing a tenth as wide as the picture is one pixel in so many.
    let rank = last - (small.width.min(small.height) / 4).min(last / 50);
    let steepest = *counted.select_nth_unstable_by(rank, f32::total_cmp).1;
    (0.13 * steepest).max(3.0 * stray).max(2.5)
}

/// What can be reached from the border over passable pixels with a brush.
fn flood(small: &Small, passable: &[bool]) -> Vec<bool> {
    let (width, height) = (small.width, small.height);
    let open = spread(width, height, passable, false);
    let mut reached = vec![false; open.len()];
    let mut waiting: Vec<usize> = (0..open.len())
        .filter(|at| {
            let (x, y) = (at % width, at / width);
            open[*at] && (x == 0 || y == 0 || x + 1 == width || y + 1 == height)
        })
        .collect();
    for at in &waiting {
        reached[*at] = true;
    }
    while let Some(at) = waiting.pop() {
        let (x, y) = (at % width, at / width);
        let mut visit = |next: usize| {
            if open[next] && !reached[next] {
                reached[next] = true;
                waiting.push(next);
            }
        };
        if x > 0 {
            visit(at - 1);
        }
        if x + 1 < width {
            visit(at + 1);
        }
        if y > 0 {
            visit(at - width);
        }
        if y + 1 < height {
            visit(at + width);
        }
    }
    let mut reached = spread(width, height, &reached, true);
    for (reached, passable) in reached.iter_mut().zip(passable) {
        *reached &= passable;
    }
    reached
}

/// The mask with every pixel of this sort spread by the brush (a square); the border is no edge.
fn spread(width: usize, height: usize, mask: &[bool], sort: bool) -> Vec<bool> {
    let mut rows = vec![!sort; mask.len()];
    for y in 0..height {
        let row = y * width..(y + 1) * width;
        let (from, to) = (&mask[row.clone()], &mut rows[row]);
        for x in 0..width {
            if from[x] == sort {
                to[x.saturating_sub(BRUSH)..(x + BRUSH + 1).min(width)].fill(sort);
            }
        }
    }
    let mut both = rows.clone();
    for y in 0..height {
        for near in y.saturating_sub(BRUSH)..(y + BRUSH + 1).min(height) {
            if near != y {
                let (to, from) = (y * width, near * width);
                for x in 0..width {
                    if rows[from + x] == sort {
                        both[to + x] = sort;
                    }
                }
            }
        }
    }
    both
}

/// Joins what the flood did not reach into parts.
fn label(small: &Small, outer: &[bool]) -> (Vec<u32>, Vec<Part>) {
    let (width, height) = (small.width, small.height);
    let mut labels = vec![0_u32; outer.len()];
    let mut parts: Vec<Part> = Vec::new();
    for start in 0..outer.len() {
        if outer[start] || labels[start] != 0 {
            continue;
        }
        let number = parts.len() as u32 + 1;
        let mut part = Part {
            size: 0,
            bounds: [width, height, 0, 0],
            first: start,
            cut: false,
            holes: 0,
        };
        labels[start] = number;
        let mut waiting = vec![start];
        while let Some(at) = waiting.pop() {
            let (x, y) = (at % width, at / width);
            part.size += 1;
            let [left, top, right, bottom] = part.bounds;
            part.bounds = [left.min(x), top.min(y), right.max(x), bottom.max(y)];
            part.cut |= x == 0 || y == 0 || x + 1 == width || y + 1 == height;
            for next_y in y.saturating_sub(1)..=(y + 1).min(height - 1) {
                for next_x in x.saturating_sub(1)..=(x + 1).min(width - 1) {
                    let next = next_y * width + next_x;
                    if !outer[next] && labels[next] == 0 {
                        labels[next] = number;
                        waiting.push(next);
                    }
                }
            }
        }
        parts.push(part);
    }
    (labels, parts)
}

/// Counts ground seen through the parts: pixels like the ground with none about them unlike it.
fn holes(small: &Small, labels: &[u32], bare: &[bool], parts: &mut [Part]) {
    let open = spread(small.width, small.height, bare, false);
    for (at, label) in labels.iter().enumerate() {
        if *label > 0 && open[at] {
            parts[*label as usize - 1].holes += 1;
        }
    }
}

/// How far apart the colours of two lots of pixels lie, in levels of 255; nought for none.
pub(super) fn contrast(small: &Small, parts: &Parts, number: u32) -> f64 {
    let off = (0..parts.labels.len()).filter(|at| parts.labels[*at] == number);
    let off = off.step_by(7).map(|at| {
        let plain = parts.ground.at(small, at % small.width, at / small.width);
        let of = |c: usize| f64::from((small.colours[at][c] - plain[c]).abs());
        of(0).max(of(1)).max(of(2))
    });
    median(off.collect())
}
