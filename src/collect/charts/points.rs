//! Weight against diameter, a point a find.
//!
//! Invariant: a point stands at what was measured; the frame holds all that are drawn.

use super::paper::{LINE, Paper, SIDE, WIDTH, step};
use crate::drawn::Setting;

/// Most points drawn; of more, every so many is taken.
pub const POINTS_MOST: usize = 4_000;
/// Height of the frame.
const HEIGHT: f64 = 230.0;

/// What was measured of a find.
#[derive(Clone, Debug, PartialEq)]
pub struct Measures {
    /// The find's id.
    pub id: String,
    /// Grams.
    pub weight_g: f64,
    /// Millimetres.
    pub diameter_mm: f64,
    /// True of a coin.
    pub coin: bool,
}

/// Draws weight against diameter.
pub fn measures(name: &str, title: &str, finds: &[Measures], setting: Setting) -> String {
    let sound = |one: &&Measures| {
        let good = |value: f64| value.is_finite() && value > 0.0;
        good(one.weight_g) && good(one.diameter_mm)
    };
    let all: Vec<&Measures> = finds.iter().filter(sound).collect();
    let every = all.len().div_ceil(POINTS_MOST).max(1);
    let drawn: Vec<&Measures> = all.iter().step_by(every).copied().collect();
    let coins = all.iter().filter(|one| one.coin).count();
    let desc = format!("{coins} coins and {} other finds", all.len() - coins);
    let mut paper = Paper::new(name, title, &described(&desc, &drawn), setting);
    if drawn.is_empty() {
        paper.words("", "no find has both a weight and a diameter");
        return paper.whole();
    }
    let most = |of: fn(&Measures) -> f64| drawn.iter().map(|one| of(one)).fold(0.0, f64::max);
    let (grams, mm) = (
        most(|one| one.weight_g) * 1.05,
        most(|one| one.diameter_mm) * 1.05,
    );
    let (left, right, top) = (SIDE + 34.0, WIDTH - SIDE, paper.down);
    let foot = top + HEIGHT;
    let x = |width: f64| left + (right - left) * width / mm;
    let y = |weight: f64| foot - HEIGHT * weight / grams;
    axes(&mut paper, (grams, mm), (left, right, foot), (&x, &y));
    for one in &drawn {
        let (at, high) = (x(one.diameter_mm), y(one.weight_g));
        paper.draw(&marker(one.coin, (at, high)));
    }
    paper.draw(&format!(
        r#"<path class="ch-axis" d="M{left} {top:.1}V{foot:.1}H{right}"/>"#
    ));
    paper.down = foot + 2.0 * LINE + 8.0;
    paper.words("", "across: diameter in mm; up: weight in g");
    for (coin, words) in [(true, "coin"), (false, "other find")] {
        let (high, count) = (
            paper.down - 4.5,
            if coin { coins } else { all.len() - coins },
        );
        paper.draw(&marker(coin, (SIDE + 6.0, high)));
        let at = (SIDE + 18.0, paper.down);
        paper.text("", at, &format!("{words}: {count}"));
        paper.down += LINE;
    }
    if every > 1 {
        let words = format!("one find in {every} is drawn, {} in all", drawn.len());
        paper.words("", &words);
    }
    paper.whole()
}

/// Measures in words; of very many, how many.
fn described(all: &str, drawn: &[&Measures]) -> String {
    if drawn.len() > 60 {
        return all.to_string();
    }
    let each = drawn.iter();
    let each = each.map(|one| format!("{}: {} g, {} mm", one.id, one.weight_g, one.diameter_mm));
    format!("{all}: {}", each.collect::<Vec<_>>().join("; "))
}

type Along<'a> = &'a dyn Fn(f64) -> f64;

fn axes(
    paper: &mut Paper,
    (grams, mm): (f64, f64),
    (left, right, foot): (f64, f64, f64),
    (x, y): (Along<'_>, Along<'_>),
) {
    let top = foot - HEIGHT;
    let by = step(grams);
    for line in 1..=10 {
        let at = y(f64::from(line) * by);
        if at < top {
            break;
        }
        paper.draw(&format!(
            r#"<path class="ch-grid" d="M{left} {at:.1}H{right}"/>"#
        ));
        paper.text(
            "ch-end",
            (left - 4.0, at + 4.0),
            &figure(f64::from(line) * by),
        );
    }
    let by = step(mm);
    for line in 1..=10 {
        let at = x(f64::from(line) * by);
        if at > right {
            break;
        }
        paper.draw(&format!(
            r#"<path class="ch-grid" d="M{at:.1} {top:.1}V{foot:.1}"/>"#
        ));
        let half = at.min(WIDTH - SIDE - 8.0);
        paper.text("ch-mid", (half, foot + LINE), &figure(f64::from(line) * by));
    }
}

fn figure(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// A disc for a coin, a square for anything else, so that no colour is needed.
fn marker(coin: bool, (x, y): (f64, f64)) -> String {
    match coin {
        true => format!(r#"<circle class="ch-coin" cx="{x:.1}" cy="{y:.1}" r="3.4"/>"#),
        false => {
            let (x, y) = (x - 3.4, y - 3.4);
            format!(r#"<rect class="ch-thing" x="{x:.1}" y="{y:.1}" width="6.8" height="6.8"/>"#)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_stand_within_the_frame_and_what_is_no_measure_is_left_out() {
        let one = |weight_g, diameter_mm, coin| Measures {
            id: "A".into(),
            weight_g,
            diameter_mm,
            coin,
        };
        let finds = [
            one(1.2, 17.0, true),
            one(9.0, 40.0, false),
            one(f64::NAN, 3.0, true),
            one(0.0, 3.0, true),
        ];
        let svg = measures("m", "Weight against diameter", &finds, Setting::Alone);
        let read = roxmltree::Document::parse(&svg).expect("it is well formed");
        let circles = read
            .descendants()
            .filter(|node| node.has_tag_name("circle"));
        // One find, and the sample beside the words.
        assert_eq!(circles.count(), 2, "{svg}");
        assert!(svg.contains("A: 1.2 g, 17 mm"), "{svg}");
        let many: Vec<Measures> = (1..=10_000)
            .map(|at| one(f64::from(at), 5.0, true))
            .collect();
        let svg = measures("m", "Many", &many, Setting::Page);
        assert!(svg.matches("<circle").count() <= POINTS_MOST + 1 && svg.contains("one find in 3"));
    }
}
