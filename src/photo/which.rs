//! Which is which: the find among the objects of a picture, and the things that give its scale.
//!
//! Goes by where marks lie, by roundness and by what touches the border. Never chooses where two
//! things would do: it asks.
//!
//! Invariant: what is called the find lies whole within the picture and bears no mark of the scale.

use std::f64::consts::PI;

use super::fault::{Fault, Kind};
use super::measure::Seal;
use super::outline::{Outline, Seen};
use super::picture::Point;
use super::scale::Scale;

/// Objects smaller than this share of the largest are crumbs beside it.
const CRUMB: f64 = 0.06;
/// How near a mark must be to a thing to be on it, as a share of the picture's longer side.
const NEAR: f64 = 0.012;

/// The find, and the scale's things, told apart among what was seen; `wanted` is a point on the
/// find, where that was said.
///
/// # Errors
///
/// When nothing says which of several objects is meant, or the find is cut by the picture's border.
pub fn told_apart<'a>(
    seen: &'a Seen,
    scale: &'a Scale,
    wanted: Option<Point>,
) -> Result<(&'a Outline, Seal<'a>), Fault> {
    match scale {
        Scale::Marks(marks) => {
            let near = NEAR * seen.size[0].max(seen.size[1]) as f64;
            let bears = |object: &Outline| marks.iter().any(|(mark, _)| on(object, *mark, near));
            let free: Vec<&Outline> = seen
                .objects
                .iter()
                .filter(|object| !bears(object))
                .collect();
            if free.iter().all(|object| object.cut)
                && seen
                    .objects
                    .iter()
                    .any(|object| !object.cut && bears(object))
            {
                return Err(Fault::new(
                    Kind::Several,
                    "the scale's points lie on the only whole object, or it touches the scale",
                    "leave some millimetres of bare ground between find and scale, and mark points of the scale",
                ));
            }
            Ok((find(seen, &free, wanted)?, Seal::Marks(marks)))
        }
        Scale::Coins(coins) => {
            let mut taken: Vec<(&Outline, f64, f64)> = Vec::new();
            for (coin, place) in coins {
                let left: Vec<&Outline> = seen
                    .objects
                    .iter()
                    .filter(|object| {
                        !object.cut
                            && !taken
                                .iter()
                                .any(|(other, _, _)| std::ptr::eq(*other, *object))
                    })
                    .collect();
                let object = match place {
                    Some(place) => within(&left, *place, "beside")?,
                    None => roundest(seen, &left, wanted, coins.len() - taken.len())?,
                };
                taken.push((object, coin.diameter, coin.thickness));
            }
            let free: Vec<&Outline> = seen
                .objects
                .iter()
                .filter(|object| {
                    !taken
                        .iter()
                        .any(|(other, _, _)| std::ptr::eq(*other, *object))
                })
                .collect();
            Ok((find(seen, &free, wanted)?, Seal::Coins(taken)))
        }
    }
}

/// The one object of a picture: that at a point, or the only whole one.
///
/// # Errors
///
/// When there are several, or it is cut by the border.
pub fn only(seen: &Seen, wanted: Option<Point>) -> Result<&Outline, Fault> {
    let all: Vec<&Outline> = seen.objects.iter().collect();
    find(seen, &all, wanted)
}

fn find<'a>(
    seen: &Seen,
    free: &[&'a Outline],
    wanted: Option<Point>,
) -> Result<&'a Outline, Fault> {
    if let Some(wanted) = wanted {
        let object = within(free, wanted, "find-at")?;
        return if object.cut { Err(cut()) } else { Ok(object) };
    }
    let whole: Vec<&Outline> = free.iter().copied().filter(|object| !object.cut).collect();
    let Some(first) = whole.first() else {
        return Err(match free.is_empty() {
            true => Fault::new(
                Kind::Ground,
                "nothing but the scale stands out from the ground",
                "lay the find beside the scale on plain paper that differs from it in colour",
            ),
            false => cut(),
        });
    };
    let large: Vec<&Outline> = whole
        .iter()
        .copied()
        .filter(|object| object.area > CRUMB * first.area)
        .collect();
    // A larger thing that is cut may be the find, and what is whole a crumb beside it.
    let hides = free
        .iter()
        .any(|object| object.cut && central(seen, object) && object.area > first.area);
    match (large.as_slice(), hides) {
        ([one], false) => Ok(one),
        ([_], true) => Err(cut()),
        _ => Err(several(&large)),
    }
}

/// True when the middle of the picture lies within it.
fn central(seen: &Seen, object: &Outline) -> bool {
    holds(
        &object.ring,
        [seen.size[0] as f64 / 2.0, seen.size[1] as f64 / 2.0],
    )
}

fn cut() -> Fault {
    Fault::new(
        Kind::Cut,
        "the find touches the border of the picture, so that part of it may be missing",
        "photograph it with bare ground all round, or crop less",
    )
}

fn several(objects: &[&Outline]) -> Fault {
    Fault::new(
        Kind::Several,
        format!("{} objects: {}", objects.len(), places(objects)),
        "say which is the find by a point on it: --find-at x,y; or photograph it by itself",
    )
}

fn places(objects: &[&Outline]) -> String {
    let place = |object: &&Outline| {
        let across = 2.0 * (object.area / PI).sqrt();
        format!(
            "one of about {across:.0} pixels at {:.0},{:.0}",
            object.middle[0], object.middle[1]
        )
    };
    let told: Vec<String> = objects.iter().take(6).map(place).collect();
    told.join("; ")
}

fn within<'a>(objects: &[&'a Outline], place: Point, field: &str) -> Result<&'a Outline, Fault> {
    let found = objects
        .iter()
        .copied()
        .find(|object| holds(&object.ring, place));
    found.ok_or_else(|| {
        Fault::new(
            Kind::Several,
            format!(
                "{field}: no object stands out at {},{}; there is {}",
                place[0],
                place[1],
                places(objects)
            ),
            "give a point well within it, in pixels from the upper left of the upright picture",
        )
    })
}

/// The roundest of the objects, when it is clearly rounder than the next.
fn roundest<'a>(
    seen: &Seen,
    objects: &[&'a Outline],
    wanted: Option<Point>,
    coins: usize,
) -> Result<&'a Outline, Fault> {
    let largest = seen
        .objects
        .iter()
        .filter(|object| !object.cut)
        .map(|object| object.area)
        .fold(0.0, f64::max);
    let mut known: Vec<(f64, &Outline)> = objects
        .iter()
        .copied()
        .filter(|object| object.area > CRUMB * largest)
        .filter(|object| wanted.is_none_or(|place| !holds(&object.ring, place)))
        .map(|object| (out_of_round(object), object))
        .collect();
    known.sort_by(|a, b| a.0.total_cmp(&b.0));
    match known.as_slice() {
        [(_, one)] if wanted.is_some() => Ok(one),
        [(first, one), (next, _), ..] if *first < 0.5 * next && (coins > 1 || known.len() == 2) => {
            Ok(one)
        }
        [] | [_] => Err(Fault::new(
            Kind::Several,
            "beside: the coin of known size does not stand out beside the find",
            "lay both whole on plain ground, some millimetres apart",
        )),
        _ => {
            let all: Vec<&Outline> = known.iter().map(|(_, object)| *object).collect();
            Err(Fault::new(
                Kind::Several,
                format!(
                    "beside: it is not clear which is the coin of known size: {}",
                    places(&all)
                ),
                "say so by a point on it: --beside 1p@x,y",
            ))
        }
    }
}

/// How far an outline strays from the ellipse as which a circle is seen, as a share of its width.
fn out_of_round(object: &Outline) -> f64 {
    const ACROSS: usize = 90;
    let radius = |at: usize| {
        let angle = 2.0 * PI * at as f64 / ACROSS as f64;
        let (sin, cos) = angle.sin_cos();
        let reach = object
            .ring
            .iter()
            .map(|point| (point[0] - object.middle[0]) * cos + (point[1] - object.middle[1]) * sin);
        reach.fold(f64::NEG_INFINITY, f64::max)
    };
    let radii: Vec<f64> = (0..ACROSS).map(radius).collect();
    let part = |times: f64, of: &dyn Fn(f64) -> f64| {
        let sum: f64 = (0..ACROSS)
            .map(|at| radii[at] * of(times * 2.0 * PI * at as f64 / ACROSS as f64))
            .sum();
        2.0 * sum / ACROSS as f64
    };
    let mean = radii.iter().sum::<f64>() / ACROSS as f64;
    let terms: Vec<(f64, f64, f64)> = [1.0, 2.0]
        .map(|times| (times, part(times, &f64::cos), part(times, &f64::sin)))
        .to_vec();
    let strays: f64 = (0..ACROSS)
        .map(|at| {
            let angle = 2.0 * PI * at as f64 / ACROSS as f64;
            let laid: f64 = terms
                .iter()
                .map(|(times, cos, sin)| cos * (times * angle).cos() + sin * (times * angle).sin())
                .sum();
            (radii[at] - mean - laid).powi(2)
        })
        .sum();
    (strays / ACROSS as f64).sqrt() / mean.max(1e-9)
}

/// True when a point lies within a ring.
fn holds(ring: &[Point], [x, y]: Point) -> bool {
    let mut within = false;
    for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        if (a[1] > y) != (b[1] > y) && x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) {
            within = !within;
        }
    }
    within
}

/// True when a point lies within an object or so near its border.
fn on(object: &Outline, place: Point, near: f64) -> bool {
    let close = |point: &Point| (point[0] - place[0]).hypot(point[1] - place[1]) < near;
    holds(&object.ring, place) || object.ring.iter().any(close)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_holds_its_middle_and_no_more() {
        let square = [[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]];
        assert!(holds(&square, [2.0, 2.0]) && !holds(&square, [5.0, 2.0]));
    }
}
