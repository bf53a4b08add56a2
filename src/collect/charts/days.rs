//! Days along a line: on which days how many were found.
//!
//! Invariant: a day stands where it lies between the first and the last, whatever the months' length.

use super::paper::{LINE, Paper, SIDE, WIDTH, step};
use crate::drawn::Setting;
use crate::treasure::CalendarDay;

/// Most days drawn one by one; the latest are kept.
pub const DAYS_MOST: usize = 2_000;
/// Height of the drawing.
const HEIGHT: f64 = 120.0;

/// A day with finds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayCount {
    /// The day.
    pub day: CalendarDay,
    /// How many finds.
    pub count: u64,
}

/// Draws days with finds along a line of time.
pub fn days(name: &str, title: &str, found: &[DayCount], setting: Setting) -> String {
    let mut found = found.to_vec();
    found.sort_by_key(|one| one.day);
    let left_out = found.len().saturating_sub(DAYS_MOST);
    let found = &found[left_out..];
    let told: Vec<String> = found
        .iter()
        .map(|one| format!("{}: {}", one.day.iso(), one.count))
        .collect();
    let mut paper = Paper::new(name, title, &told.join("; "), setting);
    let (Some(first), Some(last)) = (found.first(), found.last()) else {
        paper.words("", "no find has its whole day");
        return paper.whole();
    };
    let number = |day: CalendarDay| day.number() as f64;
    let (from, to) = (number(first.day) - 1.0, number(last.day) + 1.0);
    let most = found.iter().map(|one| one.count).max().unwrap_or(1) as f64;
    let (left, right) = (SIDE + 24.0, WIDTH - SIDE);
    let top = paper.down;
    let foot = top + HEIGHT;
    let x = |day: f64| left + (right - left) * (day - from) / (to - from);
    let y = |count: f64| foot - (HEIGHT - 8.0) * count / most;
    let by = step(most).max(1.0);
    let mut line = by;
    while line <= most {
        let at = y(line);
        paper.draw(&format!(
            r#"<path class="ch-grid" d="M{left} {at:.1}H{right}"/>"#
        ));
        paper.text("ch-end", (left - 4.0, at + 4.0), &format!("{line:.0}"));
        line += by;
    }
    for one in found {
        let (at, high) = (x(number(one.day)), y(one.count as f64));
        paper.draw(&format!(
            r#"<path class="ch-stem" d="M{at:.1} {foot:.1}V{high:.1}"/>"#
        ));
    }
    paper.draw(&format!(
        r#"<path class="ch-axis" d="M{left} {foot:.1}H{right}"/>"#
    ));
    years(&mut paper, (first.day, last.day), foot, &x);
    paper.down = foot + 2.0 * LINE + 6.0;
    let ends = (first.day.iso(), last.day.iso());
    paper.words("", &format!("from {} to {}, finds a day", ends.0, ends.1));
    if left_out > 0 {
        paper.words("", &format!("{left_out} earlier days are left out"));
    }
    paper.whole()
}

/// Beginnings of years under the line.
fn years(
    paper: &mut Paper,
    (first, last): (CalendarDay, CalendarDay),
    foot: f64,
    x: &dyn Fn(f64) -> f64,
) {
    let span = last.year() - first.year() + 1;
    let every = [1, 2, 5, 10, 20, 50, 100, 1_000];
    let every = every
        .into_iter()
        .find(|step| span / step <= 8)
        .unwrap_or(10_000);
    let first_year = first.year() + 1;
    for year in first_year..=last.year() {
        if year % every != 0 {
            continue;
        }
        let Some(day) = CalendarDay::new(year, 1, 1) else {
            continue;
        };
        let at = x(day.number() as f64);
        let end = foot + 5.0;
        paper.draw(&format!(
            r#"<path class="ch-axis" d="M{at:.1} {foot:.1}V{end:.1}"/>"#
        ));
        if (SIDE + 14.0..WIDTH - SIDE - 14.0).contains(&at) {
            paper.text("ch-mid", (at, foot + LINE), &year.to_string());
        }
    }
}
