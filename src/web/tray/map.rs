//! Where the finds lay, drawn from the National Grid alone: no tiles, nothing fetched.
//!
//! Four views: the whole grid in squares of 100 km, one of these in squares of 10 km, one of these in
//! squares of 1 km, and one of these with each find as the square that is known of it.
//!
//! Invariant: a find is drawn no finer than its findspot was given, and guests do not get here.

use maud::{Markup, html};

use super::{asked_for, filter};
use crate::collect::Place as Lay;
use crate::findspot::{Side, Square};
use crate::web::asked::{Asked, Fields};
use crate::web::desk::Desk;
use crate::web::find::address;
use crate::web::form::Wrong;
use crate::web::page::Place;
use crate::web::reply::{Fault, Reply};

/// Most finds that are drawn.
const DRAWN: usize = 100_000;
/// Most finds that are drawn one by one.
const SINGLE: usize = 2_000;
/// Metres of the grid from west to east and from south to north.
const GRID: (u32, u32) = (700_000, 1_300_000);
/// Sides of the views that are one square of the one above, metres.
const SIDES: [u32; 3] = [100_000, 10_000, 1_000];

/// What of the grid is shown.
#[derive(Clone, Copy)]
struct View {
    east: u32,
    north: u32,
    wide: u32,
    high: u32,
    /// Side of its squares; none where finds are drawn one by one.
    step: Option<u32>,
}

impl View {
    fn of(query: &Fields) -> View {
        let number = |name: &str| query.get(name).and_then(|text| text.parse::<u32>().ok());
        let side = number("side").filter(|side| SIDES.contains(side));
        let (Some(side), Some(east), Some(north)) = (side, number("e"), number("n")) else {
            return View {
                east: 0,
                north: 0,
                wide: GRID.0,
                high: GRID.1,
                step: Some(SIDES[0]),
            };
        };
        let cut = |at: u32, end: u32| (at.min(end - 1) / side) * side;
        View {
            east: cut(east, GRID.0),
            north: cut(north, GRID.1),
            wide: side,
            high: side,
            step: SIDES.into_iter().find(|step| *step < side),
        }
    }

    fn holds(&self, one: &Lay) -> bool {
        (self.east..self.east + self.wide).contains(&one.east)
            && (self.north..self.north + self.high).contains(&one.north)
    }

    fn name(&self) -> String {
        match self.wide == GRID.0 {
            true => "the whole grid".into(),
            false => name(self.east, self.north, self.wide),
        }
    }

    fn address(&self, typed: &Fields, east: u32, north: u32, side: u32) -> String {
        let mut fields = typed.clone();
        for (name, value) in [("e", east), ("n", north), ("side", side)] {
            fields.push(name, &value.to_string());
        }
        fields.address("/tray/map")
    }
}

/// The name of a square of the grid.
fn name(east: u32, north: u32, side: u32) -> String {
    let fine = Side::of_metres(side).unwrap_or(Side::TenKilometres);
    let square = Square::cut_whole(east, north, fine);
    square.map_or(String::new(), |square| match side {
        100_000 => square.letters().iter().collect(),
        _ => square.to_string(),
    })
}

pub(super) fn page(desk: &Desk, asked: &Asked) -> Reply {
    let made = (|| -> Result<Reply, Fault> {
        let typed = asked_for(asked);
        let (places, without) = match desk.shelf()? {
            None => (Vec::new(), 0),
            Some(shelf) => {
                let (filter, _) = filter(desk, &shelf, &typed)?;
                shelf.places(&filter, DRAWN).map_err(Wrong::from)?
            }
        };
        let view = View::of(&asked.query);
        Ok(Reply::Page {
            place: Place::Tray,
            title: "Map".into(),
            body: body(&view, &typed, &places, without),
        })
    })();
    made.into()
}

fn body(view: &View, typed: &Fields, all: &[Lay], without: u64) -> Markup {
    let places: Vec<&Lay> = all.iter().filter(|one| view.holds(one)).collect();
    html! {
        p.back { a href=(typed.address("/tray")) { "Back to the tray" } }
        h1 { "Where they lay: " (view.name()) }
        (way(view, typed))
        p { (places.len()) " of " (all.len()) " finds with a findspot lie here"
            @if without > 0 { "; " (without) " have none" } "." }
        p.how { "The National Grid alone: nothing is fetched. Only you see this page." }
        @match view.step {
            Some(step) => { (squares(view, typed, &places, step)) }
            None => { (singly(view, &places)) }
        }
    }
}

/// The squares that this one lies in.
fn way(view: &View, typed: &Fields) -> Markup {
    let above = SIDES.into_iter().filter(|side| *side > view.wide);
    html! {
        @if view.wide != GRID.0 {
            nav.beside aria-label="Coarser maps" {
                a href=(typed.address("/tray/map")) { "The whole grid" }
                @for side in above {
                    @let (east, north) = (view.east / side * side, view.north / side * side);
                    " " a href=(view.address(typed, east, north, side)) { (name(east, north, side)) }
                }
            }
        }
    }
}

/// Finds counted by squares.
fn squares(view: &View, typed: &Fields, places: &[&Lay], step: u32) -> Markup {
    let (across, up) = (view.wide / step, view.high / step);
    let mut counts = std::collections::BTreeMap::new();
    for one in places {
        let cell = (
            (one.north - view.north) / step,
            (one.east - view.east) / step,
        );
        *counts.entry(cell).or_insert(0_u64) += 1;
    }
    let most = counts.values().copied().max().unwrap_or(1) as f64;
    let cell = 40;
    let (width, height) = (across * cell, up * cell);
    // A find known only to a larger square than these is counted where that square begins.
    let coarse = places.iter().filter(|one| one.side_m > step).count();
    let at = |row: u32, column: u32| (view.east + column * step, view.north + row * step);
    html! {
        svg.map viewBox=(format!("0 0 {width} {height}")) role="group" aria-label=(format!("Map of {}", view.name())) {
            @for row in 0..up {
                @for column in 0..across {
                    @let (east, north) = at(row, column);
                    @let (x, y) = (column * cell, (up - 1 - row) * cell);
                    @match counts.get(&(row, column)) {
                        None => { rect.square x=(x) y=(y) width=(cell) height=(cell) {} }
                        Some(count) => {
                            a href=(view.address(typed, east, north, step)) aria-label=(format!("{}: {count} find(s)", name(east, north, step))) {
                                rect.square x=(x) y=(y) width=(cell) height=(cell) {}
                                rect.full x=(x) y=(y) width=(cell) height=(cell) fill-opacity=(format!("{:.2}", 0.15 + 0.45 * (*count as f64 / most).sqrt())) {}
                                text.count x=(x + cell / 2) y=(y + cell / 2 + 4) text-anchor="middle" { (count) }
                            }
                        }
                    }
                    @if step == SIDES[0] { text.letters x=(x + 3) y=(y + 10) { (name(east, north, step)) } }
                }
            }
        }
        @if coarse > 0 { p.how { (coarse) " known only to a larger square than these are counted at its south-west corner." } }
        ul.plain-list {
            @for ((row, column), count) in &counts {
                @let (east, north) = at(*row, *column);
                li { a href=(view.address(typed, east, north, step)) { (name(east, north, step)) } ": " (count) }
            }
        }
    }
}

/// Each find as the square that is known of it.
fn singly(view: &View, places: &[&Lay]) -> Markup {
    let size = 400.0;
    let times = size / f64::from(view.wide);
    html! {
        svg.map viewBox="0 0 400 400" role="group" aria-label=(format!("Map of {}", view.name())) {
            @for row in 0..10 { @for column in 0..10 {
                rect.square x=(column * 40) y=(row * 40) width="40" height="40" {}
            } }
            @for one in places.iter().take(SINGLE) {
                @let side = (f64::from(one.side_m) * times).clamp(5.0, size);
                @let x = f64::from(one.east - view.east) * times;
                @let y = size - f64::from(one.north - view.north) * times - side;
                a href=(address(&one.id)) aria-label=(format!("{}, known to {} m", one.id, one.side_m)) {
                    rect.lay x=(format!("{x:.1}")) y=(format!("{:.1}", y.max(0.0))) width=(format!("{side:.1}")) height=(format!("{side:.1}")) {}
                }
            }
        }
        ul.plain-list {
            @for one in places.iter().take(SINGLE) {
                li { a href=(address(&one.id)) { (one.id) } ": known to a square of " (one.side_m) " m" }
            }
            @if places.len() > SINGLE { li { "and " (places.len() - SINGLE) " more: choose fewer in the tray." } }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn squares_have_the_names_of_the_grid() {
        assert_eq!(name(400_000, 200_000, 100_000), "SP");
        assert_eq!(name(410_000, 230_000, 10_000), "SP 1 3");
        assert_eq!(name(412_000, 234_000, 1_000), "SP 12 34");
    }

    #[test]
    fn nonsense_shows_the_whole_grid() {
        for query in ["side=7", "e=1&n=2", "e=-5&n=x&side=1000"] {
            assert_eq!(View::of(&Fields::read(query.as_bytes())).wide, GRID.0);
        }
        let far = View::of(&Fields::read(b"e=4000000000&n=4000000000&side=1000"));
        assert_eq!((far.east, far.north), (699_000, 1_299_000));
    }
}
