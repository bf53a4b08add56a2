//! Scales: what in a picture has a known length.
//!
//! Points given by hand with their places in mm, or round coins of published diameter. Reads what
//! was typed and checks that it is possible; weighs nothing.
//!
//! Invariant: a scale has two points that are apart in the picture and in mm, or a coin.

use super::coins::{COINS, Coin};
use super::fault::{Fault, Kind};
use super::picture::Point;

/// Most marks that are read.
pub const MARKS_MOST: usize = 200;
/// Shortest scale in pixels.
const APART_LEAST: f64 = 20.0;
/// Shortest and longest scale in mm.
const LENGTHS: (f64, f64) = (1.0, 2000.0);

/// What gives a picture its scale.
#[derive(Clone, Debug, PartialEq)]
pub enum Scale {
    /// Points of the picture with their places on a flat thing, in mm.
    Marks(Vec<(Point, Point)>),
    /// Round coins of known size, each with a point on it when that was said.
    Coins(Vec<(Coin, Option<Point>)>),
}

/// Two points and the length between them: `120,340,720,352=30mm`.
///
/// # Errors
///
/// When it cannot be read, or the points lie too close.
pub fn two_points(text: &str) -> Result<Scale, Fault> {
    let example =
        "write the pixels of two points and the length between them: 120,340,720,352=30mm";
    let fault = |what: String| Fault::new(Kind::Scale, format!("scale: {what}"), example);
    let (points, length) = text
        .split_once('=')
        .ok_or_else(|| fault(format!("{} has no =", quoted(text))))?;
    let numbers = numbers(points, 4)
        .ok_or_else(|| fault(format!("{} is not four numbers", quoted(points))))?;
    let length = millimetres(length)
        .ok_or_else(|| fault(format!("{} is no length in mm", quoted(length))))?;
    checked(
        vec![
            ([numbers[0], numbers[1]], [0.0, 0.0]),
            ([numbers[2], numbers[3]], [length, 0.0]),
        ],
        "scale",
    )
}

/// Marks of a ruler: `120,340=0 220,342=10 321,344=20`, mm after the equals sign.
///
/// # Errors
///
/// When one cannot be read, there are fewer than two or more than [`MARKS_MOST`], or all lie close.
pub fn marks(text: &str) -> Result<Scale, Fault> {
    let example = "write each mark as x,y=mm with a blank between: 120,340=0 220,342=10 321,344=20";
    let fault = |what: String| Fault::new(Kind::Scale, format!("marks: {what}"), example);
    let mut found = Vec::new();
    for word in text.split_whitespace() {
        let read = word.split_once('=').and_then(|(place, mm)| {
            let place = numbers(place, 2)?;
            let mm = mm.strip_suffix("mm").unwrap_or(mm);
            Some(([place[0], place[1]], [number(mm)?, 0.0]))
        });
        found.push(read.ok_or_else(|| fault(format!("{} is no mark", quoted(word))))?);
        if found.len() > MARKS_MOST {
            return Err(fault(format!("there are more than {MARKS_MOST}")));
        }
    }
    if found.len() < 2 {
        return Err(fault(format!("{} given, two are the fewest", found.len())));
    }
    checked(found, "marks")
}

/// The corners of a flat rectangle in order round it, with its sides: `x,y x,y x,y x,y=85.6x53.98`,
/// the first side from the first corner to the second.
///
/// # Errors
///
/// When it cannot be read, or the corners lie too close.
pub fn corners(text: &str) -> Result<Scale, Fault> {
    let example = "write four corners in order and the sides in mm, first to second corner first: \
                   100,100 700,104 698,480 98,476=85.6x53.98";
    let fault = |what: String| Fault::new(Kind::Scale, format!("corners: {what}"), example);
    let read = text.split_once('=').and_then(|(places, sides)| {
        let places = places.replace(char::is_whitespace, ",");
        let places = numbers(&places, 8)?;
        let sides = sides.trim();
        let sides = sides.strip_suffix("mm").unwrap_or(sides);
        let (first, second) = sides.split_once(['x', '×'])?;
        Some((places, millimetres(first)?, millimetres(second)?))
    });
    let (places, first, second) =
        read.ok_or_else(|| fault(format!("{} cannot be read", quoted(text))))?;
    let at = |corner: usize| [places[2 * corner], places[2 * corner + 1]];
    // Round it the other way is the same rectangle seen in a mirror: which way is told by the turn.
    let turn = |a: Point, b: Point, c: Point| {
        (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
    };
    let turns: Vec<bool> = (0..4)
        .map(|i| turn(at(i), at((i + 1) % 4), at((i + 2) % 4)) > 0.0)
        .collect();
    if turns.iter().any(|way| *way != turns[0]) {
        return Err(fault("they do not go round a rectangle in order".into()));
    }
    let second = if turns[0] { second } else { -second };
    checked(
        vec![
            (at(0), [0.0, 0.0]),
            (at(1), [first, 0.0]),
            (at(2), [first, second]),
            (at(3), [0.0, second]),
        ],
        "corners",
    )
}

/// Round coins beside the find, each a name and, where needed, a point on it: `1p`, `1p@120,340`.
///
/// # Errors
///
/// When there is no such coin, or it is not round.
pub fn beside(texts: &[String]) -> Result<Scale, Fault> {
    let round: Vec<&str> = COINS
        .iter()
        .filter(|coin| coin.round)
        .map(|coin| coin.name)
        .collect();
    let mend = format!(
        "lay a round coin beside the find: {}; say where it lies as 1p@x,y",
        round.join(", ")
    );
    let fault = |what: String| Fault::new(Kind::Scale, format!("beside: {what}"), mend.clone());
    let mut found = Vec::new();
    for text in texts.iter().take(MARKS_MOST) {
        let (name, place) = match text.split_once('@') {
            Some((name, place)) => {
                let place = numbers(place, 2).ok_or_else(|| {
                    fault(format!("{} is no point of the picture", quoted(place)))
                })?;
                (name, Some([place[0], place[1]]))
            }
            None => (text.as_str(), None),
        };
        let name = name.trim().to_lowercase();
        let coin = COINS.iter().find(|coin| {
            let pounds = coin
                .name
                .strip_prefix('£')
                .map(|count| format!("{count}pound"));
            coin.name == name || pounds.is_some_and(|pounds| pounds == name)
        });
        let coin = coin
            .ok_or_else(|| fault(format!("{} is none of the coins known here", quoted(&name))))?;
        if !coin.round {
            return Err(fault(format!(
                "the {} is not round, so that its tilt cannot be told",
                coin.name
            )));
        }
        found.push((*coin, place));
    }
    if found.is_empty() {
        return Err(fault("no coin is named".into()));
    }
    Ok(Scale::Coins(found))
}

/// Marks that are apart in the picture and in mm.
fn checked(marks: Vec<(Point, Point)>, field: &str) -> Result<Scale, Fault> {
    let far = |a: Point, b: Point| (b[0] - a[0]).hypot(b[1] - a[1]);
    let reach = |of: &dyn Fn(&(Point, Point)) -> Point| {
        let first = of(&marks[0]);
        marks
            .iter()
            .map(|mark| far(first, of(mark)))
            .fold(0.0, f64::max)
    };
    let (pixels, mm) = (reach(&|mark| mark.0), reach(&|mark| mark.1));
    if pixels < APART_LEAST {
        return Err(Fault::new(
            Kind::Scale,
            format!("{field}: the points lie {pixels:.0} pixels apart"),
            format!(
                "take points far apart, {APART_LEAST} pixels at the least: the longer, the better"
            ),
        ));
    }
    if !(LENGTHS.0..=LENGTHS.1).contains(&mm) {
        return Err(Fault::new(
            Kind::Scale,
            format!("{field}: a length of {mm} mm is not possible here"),
            format!(
                "give it in millimetres, between {} and {}",
                LENGTHS.0, LENGTHS.1
            ),
        ));
    }
    Ok(Scale::Marks(marks))
}

/// So many numbers with commas between.
fn numbers(text: &str, count: usize) -> Option<Vec<f64>> {
    let found: Option<Vec<f64>> = text
        .split(',')
        .filter(|part| !part.trim().is_empty())
        .take(count + 1)
        .map(number)
        .collect();
    found.filter(|found| found.len() == count)
}

/// A number that a picture or a ruler can have.
fn number(text: &str) -> Option<f64> {
    let value: f64 = text.trim().parse().ok()?;
    (value.is_finite() && value.abs() < 1e6).then_some(value)
}

/// A length in mm, its unit written or not.
pub(super) fn millimetres(text: &str) -> Option<f64> {
    let text = text.trim();
    let text = text.strip_suffix("mm").unwrap_or(text);
    number(text).filter(|value| *value > 0.0)
}

/// What was typed, cut short and without signs that steer a terminal.
fn quoted(text: &str) -> String {
    let short: String = text.chars().filter(|c| !c.is_control()).take(40).collect();
    format!("{short:?}")
}

/// A point of the picture: `x,y` in pixels.
///
/// # Errors
///
/// When it is not two numbers.
pub fn point(text: &str, field: &str) -> Result<Point, Fault> {
    let read = numbers(text, 2).map(|found| [found[0], found[1]]);
    read.ok_or_else(|| {
        Fault::new(
            Kind::Scale,
            format!("{field}: {} is no point of the picture", quoted(text)),
            "write its pixels from the upper left, as 320,240",
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_are_read_in_the_ways_people_write_them() {
        let read = two_points("120, 340, 720,352 = 30 mm").expect("two points");
        assert_eq!(
            read,
            Scale::Marks(vec![
                ([120.0, 340.0], [0.0, 0.0]),
                ([720.0, 352.0], [30.0, 0.0])
            ])
        );
        let Ok(Scale::Marks(read)) = marks("1,2=0 101,2=10mm 201,2=20") else {
            panic!("marks")
        };
        assert_eq!(read[2], ([201.0, 2.0], [20.0, 0.0]));
        let Ok(Scale::Marks(read)) = corners("0,0 100,0 100,60 0,60=85.6x53.98mm") else {
            panic!("corners")
        };
        assert_eq!(read[2].1, [85.6, 53.98]);
        let Ok(Scale::Coins(read)) = beside(&["1P@30,40".into(), "2pound".into()]) else {
            panic!("coins")
        };
        assert_eq!(
            (read[0].0.name, read[0].1, read[1].0.name),
            ("1p", Some([30.0, 40.0]), "£2")
        );
    }

    #[test]
    fn what_cannot_be_is_told_with_its_field_and_mend() {
        let long = "9".repeat(5000);
        let faults = [
            two_points(""),
            two_points("1,2,3=4"),
            two_points("0,0,100,0=-3"),
            two_points("0,0,100,0=NaN"),
            two_points("0,0,inf,0=3"),
            two_points("5,5,6,6=3"),
            two_points("0,0,100,0=1e300"),
            two_points(&long),
            marks("0,0=0"),
            marks("0,0=5 100,0=5"),
            marks(&"0,0=0 ".repeat(500)),
            corners("0,0 100,60 100,0 0,60=85x54"),
            corners("1,2=3"),
            beside(&["50p".into()]),
            beside(&["groat".into()]),
            beside(&["1p@x".into()]),
            beside(&[]),
        ];
        for fault in faults {
            let fault = fault.expect_err("a fault");
            let named = ["scale:", "marks:", "corners:", "beside:"];
            assert!(
                named.iter().any(|name| fault.what.starts_with(name)),
                "{fault}"
            );
            assert!(!fault.mend.is_empty() && fault.what.len() < 200, "{fault}");
        }
    }
}
