//! Measures: diameters, area and roundness of an object in mm, with their error.
//!
//! Every pose that the camera may have had is tried: the outline and the scale are laid back on the
//! table, the scale says how likely the pose is, and the measures of all poses, weighed, give the
//! value and the interval. So tilt, thickness, rim, distance, hand and edge are all in the error.
//! Reads no file; draws by no chance.
//!
//! Invariant: an interval holds its value, and knowing less never makes it narrower by itself.

use std::f64::consts::PI;

use super::fault::{Fault, Kind};
use super::outline::{Outline, Seen};
use super::picture::Point;
use super::pose::{Pose, Table, Terms, poses, poses_within};
use super::shape;

/// Poses tried at first, and again where few of them fit.
const POSES: usize = 900;
/// Poses that must carry the answer.
const CARRY_LEAST: f64 = 120.0;
/// Directions across which widths are taken.
const DIRECTIONS: usize = 60;
/// How far an edge may be misjudged, each side: one sigma in pixels, and as a share of its blur.
const EDGE: (f64, f64) = (0.15, 0.08);
/// How far the lens may bend, as a share (one sigma): common practice, no source.
const LENS: f64 = 0.000_7;

/// A measure with its interval of 95 %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// The value.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// What was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// Largest width across, mm.
    pub largest: Interval,
    /// Smallest width across, mm.
    pub smallest: Interval,
    /// Diameter of the circle of the same area, mm.
    pub diameter: Interval,
    /// Area within the outline, less the holes, mm².
    pub area: Interval,
    /// Area over that of the circle round the largest width, 1 for a circle.
    pub roundness: f64,
    /// Millimetres a pixel, at the find.
    pub mm_a_pixel: f64,
    /// Tilt of the camera in degrees, as far as the scale tells it.
    pub tilt: Interval,
    /// Share of poses that the scale leaves; near 1 when it says nothing of the tilt.
    pub carried: f64,
}

/// What gives the scale, as seen in the picture.
pub enum Seal<'a> {
    /// Points with their places in mm.
    Marks(&'a [(Point, Point)]),
    /// Outlines of round things with diameter and thickness in mm.
    Coins(Vec<(&'a Outline, f64, f64)>),
}

/// Measures an object by a scale.
///
/// # Errors
///
/// When no pose within the terms fits the scale: marks that contradict one another, a coin that is
/// not the one it is said to be.
pub fn measure(
    seen: &Seen,
    object: &Outline,
    seal: &Seal,
    terms: &Terms,
) -> Result<Measured, Fault> {
    let trial = Trial::new(seen, object, seal, terms);
    let mut tried: Vec<Tried> = poses(terms, POSES)
        .iter()
        .map(|pose| trial.try_pose(pose, 1.0))
        .collect();
    let best = tried
        .iter()
        .map(|tried| tried.likely)
        .fold(f64::NEG_INFINITY, f64::max);
    if carried(&tried, best) < CARRY_LEAST {
        tried = closer(&trial, terms, &tried, best);
    }
    let best = tried
        .iter()
        .map(|tried| tried.likely)
        .fold(f64::NEG_INFINITY, f64::max);
    let freedom = trial.freedom();
    if !best.is_finite() || -2.0 * best > freedom + 6.0 * (2.0 * freedom).sqrt() + 9.0 {
        return Err(trial.contradicted());
    }
    Ok(trial.summed(&tried, best))
}

/// How many poses carry the answer, in effect.
fn carried(tried: &[Tried], best: f64) -> f64 {
    let weights = || tried.iter().map(|tried| tried.weight(best));
    let sum: f64 = weights().sum();
    let squares: f64 = weights().map(|weight| weight * weight).sum();
    if squares > 0.0 {
        sum * sum / squares
    } else {
        0.0
    }
}

/// Tries poses again about those that fit.
fn closer(trial: &Trial, terms: &Terms, tried: &[Tried], best: f64) -> Vec<Tried> {
    let mut order: Vec<&Tried> = tried
        .iter()
        .filter(|tried| tried.likely.is_finite())
        .collect();
    order.sort_by(|a, b| b.likely.total_cmp(&a.likely));
    let fits: Vec<&Tried> = order
        .iter()
        .copied()
        .take_while(|tried| tried.likely > best - 8.0)
        .collect();
    let held = if fits.len() >= 8 {
        fits
    } else {
        order.into_iter().take(8).collect()
    };
    let (mut least, mut most) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for tried in held {
        for axis in 0..2 {
            least[axis] = least[axis].min(tried.tilt[axis] - 0.01);
            most[axis] = most[axis].max(tried.tilt[axis] + 0.01);
        }
    }
    let limit = terms.tilt.to_radians();
    poses_within(terms, 3 * POSES, least, most)
        .iter()
        .filter(|pose| pose.tilt[0].hypot(pose.tilt[1]) <= limit)
        // Tilts are taken as equally likely by their steepness, so that gentle ones lie denser.
        .map(|pose| trial.try_pose(pose, 1.0 / pose.tilt[0].hypot(pose.tilt[1]).max(0.005)))
        .collect()
}

/// One pose with what it makes of the picture.
struct Tried {
    /// Log of how well the scale fits.
    likely: f64,
    /// How densely such poses are to be counted.
    density: f64,
    tilt: Point,
    largest: f64,
    smallest: f64,
    area: f64,
    mm: f64,
}

impl Tried {
    fn weight(&self, best: f64) -> f64 {
        match self.likely.is_finite() {
            true => (self.likely - best).exp() * self.density,
            false => 0.0,
        }
    }
}

/// A picture about to be tried under poses.
struct Trial<'a> {
    size: [usize; 2],
    object: &'a Outline,
    hull: Vec<Point>,
    ring: Vec<Point>,
    angles: Vec<f64>,
    seal: &'a Seal<'a>,
    coins: Vec<Vec<Point>>,
    terms: &'a Terms,
    /// mm a pixel before any pose is known.
    about: f64,
}

impl<'a> Trial<'a> {
    fn new(seen: &Seen, object: &'a Outline, seal: &'a Seal<'a>, terms: &'a Terms) -> Trial<'a> {
        let hull = shape::hull(&object.ring);
        let (widest, narrowest) = shape::extremes(&hull);
        let even = (0..DIRECTIONS).map(|at| PI * at as f64 / DIRECTIONS as f64);
        let near = |middle: f64| (-4..=4).map(move |off| middle + 0.006 * f64::from(off));
        let angles: Vec<f64> = even.chain(near(widest)).chain(near(narrowest)).collect();
        let coins = match seal {
            Seal::Coins(coins) => coins
                .iter()
                .map(|(coin, _, _)| thinned(&shape::hull(&coin.ring)))
                .collect(),
            Seal::Marks(_) => Vec::new(),
        };
        let about = match seal {
            Seal::Marks(marks) => {
                let flat = fitted(marks.iter().map(|(place, mm)| (*place, *mm)));
                1.0 / flat.pixels_a_mm.max(1e-9)
            }
            Seal::Coins(coins) => {
                let (coin, diameter, _) = coins[0];
                diameter / (2.0 * (coin.area / PI).sqrt())
            }
        };
        let step = object.ring.len().div_ceil(400);
        Trial {
            size: seen.size,
            hull: thinned(&hull),
            ring: object.ring.iter().copied().step_by(step).collect(),
            object,
            angles,
            seal,
            coins,
            terms,
            about,
        }
    }

    fn freedom(&self) -> f64 {
        match self.seal {
            Seal::Marks(marks) => 2.0 * marks.len() as f64 - 4.0,
            Seal::Coins(coins) => 3.0 * coins.len() as f64 - 1.0,
        }
    }

    fn contradicted(&self) -> Fault {
        match self.seal {
            Seal::Marks(marks) => {
                let flat = fitted(marks.iter().map(|(place, mm)| (*place, *mm)));
                let worst = flat
                    .offs
                    .iter()
                    .enumerate()
                    .max_by(|a, b| a.1.total_cmp(b.1));
                let (at, off) = worst.map_or((0, 0.0), |(at, off)| (at, *off));
                Fault::new(
                    Kind::Scale,
                    format!(
                        "scale: its points contradict one another; point {} lies {off:.1} pixels from where the others put it",
                        at + 1
                    ),
                    "check its pixels and its mm, or allow for more by --tilt",
                )
            }
            Seal::Coins(_) => Fault::new(
                Kind::Scale,
                "beside: no tilt allowed for makes the coin round and of its size",
                "check which coin it is and that all of it shows clear of shadow, or allow for more by --tilt",
            ),
        }
    }

    /// Lays the picture back on the table under one pose.
    fn try_pose(&self, pose: &Pose, density: f64) -> Tried {
        let table = Table::new(pose, self.size, self.about);
        let off = pose.distance * table.square_on();
        let (mm_table, likely) = match self.seal {
            Seal::Marks(marks) => self.by_marks(marks, pose, &table, off),
            Seal::Coins(coins) => self.by_coins(coins, pose, &table, off),
        };
        // The widest rim of a rounded edge is half way up, that of a square one at the top.
        let height = pose.thickness * (0.5 + 0.5 * pose.square);
        let lens = 1.0 + LENS * pose.strays[1];
        let mm = mm_table * (1.0 - height / off) * lens;
        let lean = table
            .lean(self.object.middle)
            .map(|part| part * pose.thickness * pose.square);
        let strays = 2.0 * (EDGE.0 + EDGE.1 * self.object.blur) * pose.strays[2] * mm;
        let laid: Vec<Point> = self.hull.iter().map(|point| table.point(*point)).collect();
        let widths = self.angles.iter().map(|angle| {
            let (sin, cos) = angle.sin_cos();
            shape::width(&laid, *angle) * mm - (lean[0] * cos + lean[1] * sin).abs() + strays
        });
        let (mut largest, mut smallest) = (0.0_f64, f64::INFINITY);
        for width in widths {
            largest = largest.max(width);
            smallest = smallest.min(width);
        }
        let ring: Vec<Point> = self.ring.iter().map(|point| table.point(*point)).collect();
        let reach = lean[0].hypot(lean[1]);
        let across = shape::width(&laid, lean[1].atan2(lean[0]) + PI / 2.0) * mm;
        let round = shape::area(&ring) * mm * mm - reach * across;
        // A rim that is off by so much takes its length times half of it.
        let area = round + strays * (PI * round.max(0.0)).sqrt();
        Tried {
            likely,
            density,
            tilt: pose.tilt,
            largest,
            smallest,
            area: area.max(0.0),
            mm,
        }
    }

    fn by_marks(
        &self,
        marks: &[(Point, Point)],
        pose: &Pose,
        table: &Table,
        off: f64,
    ) -> (f64, f64) {
        let laid = fitted(marks.iter().map(|(place, mm)| (table.point(*place), *mm)));
        let hand = self.terms.hand;
        let squares: f64 = laid.offs.iter().map(|off| (off / hand).powi(2)).sum();
        let stray = 1.0 + hand / (laid.pixels_a_mm * laid.reach).max(1e-9) * pose.strays[0];
        let mm = stray / laid.pixels_a_mm.max(1e-9);
        // The marks lie nearer than the table by their height.
        (mm / (1.0 - pose.raised / off), -0.5 * squares)
    }

    fn by_coins(
        &self,
        coins: &[(&Outline, f64, f64)],
        pose: &Pose,
        table: &Table,
        off: f64,
    ) -> (f64, f64) {
        let mut squares = 0.0;
        let mut scales = Vec::new();
        for ((coin, diameter, thickness), hull) in coins.iter().zip(&self.coins) {
            let laid: Vec<Point> = hull.iter().map(|point| table.point(*point)).collect();
            let rough = diameter / shape::width(&laid, 0.0).max(1e-9);
            // A struck coin's rim is nearly square.
            let upright = 0.75 + 0.25 * pose.square;
            let lean = table
                .lean(coin.middle)
                .map(|part| part * thickness * upright / rough);
            let (mut mean, mut cos2, mut sin2) = (0.0, 0.0, 0.0);
            const ACROSS: usize = 24;
            for at in 0..ACROSS {
                let angle = PI * at as f64 / ACROSS as f64;
                let (sin, cos) = angle.sin_cos();
                let width = shape::width(&laid, angle) - (lean[0] * cos + lean[1] * sin).abs();
                mean += width / ACROSS as f64;
                cos2 += 2.0 * width * (2.0 * angle).cos() / ACROSS as f64;
                sin2 += 2.0 * width * (2.0 * angle).sin() / ACROSS as f64;
            }
            let edge = EDGE.0 + EDGE.1 * coin.blur;
            let round = (1.5 * edge).hypot(0.002 * mean);
            squares += (cos2 * cos2 + sin2 * sin2) / (round * round);
            let height = thickness * (0.5 + 0.5 * upright);
            let stray = 1.0 + (2.0 * edge).hypot(0.0015 * mean) / mean.max(1e-9) * pose.strays[0];
            scales.push(diameter / mean.max(1e-9) * stray / (1.0 - height / off));
        }
        let mean = scales.iter().sum::<f64>() / scales.len() as f64;
        for scale in &scales {
            squares += if scales.len() > 1 {
                ((scale / mean - 1.0) / 0.003).powi(2)
            } else {
                0.0
            };
        }
        (mean, -0.5 * squares)
    }

    /// The measures of all poses, weighed.
    fn summed(&self, tried: &[Tried], best: f64) -> Measured {
        let over = |of: &dyn Fn(&Tried) -> f64| {
            interval(tried.iter().map(|tried| (of(tried), tried.weight(best))))
        };
        let holes = (self.object.holes / self.object.area.max(1.0)).min(1.0);
        let area = over(&|tried| tried.area * (1.0 - holes));
        let (largest, smallest) = (over(&|tried| tried.largest), over(&|tried| tried.smallest));
        Measured {
            largest,
            smallest,
            diameter: over(&|tried| 2.0 * (tried.area / PI).sqrt()),
            area,
            roundness: over(&|tried| 4.0 * tried.area / (PI * tried.largest.powi(2)))
                .value
                .min(1.0),
            mm_a_pixel: over(&|tried| tried.mm).value,
            tilt: over(&|tried| tried.tilt[0].hypot(tried.tilt[1]).to_degrees()),
            carried: carried(tried, best) / tried.len() as f64,
        }
    }
}

/// Fewer corners of a hull, none of which matters for a width.
fn thinned(hull: &[Point]) -> Vec<Point> {
    let step = hull.len().div_ceil(160).max(1);
    hull.iter().copied().step_by(step).collect()
}

/// How points lie on their places in mm by turning, moving and one scale.
struct Fitted {
    pixels_a_mm: f64,
    /// Root of the sum of squares of the places about their middle, mm.
    reach: f64,
    /// How far each point lies from where the fit puts it, pixels.
    offs: Vec<f64>,
}

fn fitted(pairs: impl Iterator<Item = (Point, Point)>) -> Fitted {
    let pairs: Vec<(Point, Point)> = pairs.collect();
    let count = pairs.len().max(1) as f64;
    let mean = |of: &dyn Fn(&(Point, Point)) -> f64| pairs.iter().map(of).sum::<f64>() / count;
    let q = [mean(&|p| p.0[0]), mean(&|p| p.0[1])];
    let z = [mean(&|p| p.1[0]), mean(&|p| p.1[1])];
    let (mut real, mut imaginary, mut square) = (0.0, 0.0, 0.0);
    for (point, place) in &pairs {
        let (a, b) = (
            [point[0] - q[0], point[1] - q[1]],
            [place[0] - z[0], place[1] - z[1]],
        );
        real += a[0] * b[0] + a[1] * b[1];
        imaginary += a[1] * b[0] - a[0] * b[1];
        square += b[0] * b[0] + b[1] * b[1];
    }
    let (real, imaginary) = (real / square.max(1e-12), imaginary / square.max(1e-12));
    let offs = pairs.iter().map(|(point, place)| {
        let b = [place[0] - z[0], place[1] - z[1]];
        let x = point[0] - q[0] - (real * b[0] - imaginary * b[1]);
        let y = point[1] - q[1] - (imaginary * b[0] + real * b[1]);
        x.hypot(y)
    });
    Fitted {
        pixels_a_mm: real.hypot(imaginary),
        reach: square.sqrt(),
        offs: offs.collect(),
    }
}

/// The median and the middle 95 % of weighed values.
fn interval(values: impl Iterator<Item = (f64, f64)>) -> Interval {
    let mut values: Vec<(f64, f64)> = values.filter(|(_, weight)| *weight > 0.0).collect();
    values.sort_by(|a, b| a.0.total_cmp(&b.0));
    let sum: f64 = values.iter().map(|(_, weight)| weight).sum();
    let at = |share: f64| {
        let mut passed = 0.0;
        let found = values.iter().find(|(_, weight)| {
            passed += weight;
            passed >= share * sum
        });
        found.or(values.last()).map_or(0.0, |(value, _)| *value)
    };
    Interval {
        value: at(0.5),
        low: at(0.025),
        high: at(0.975),
    }
}
