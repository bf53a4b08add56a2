//! Measuring on the picture: two points of a known length, a point on the find, and what it measures.
//!
//! Points come by clicks on the picture, without script in two steps each (first roughly, then in a
//! part that is shown larger), with script by dragging, or typed. The measuring is the photographs'
//! room's alone.
//!
//! Invariant: points are pixels of the upright picture at its full size, and stand in the address.

use maud::{Markup, html};

use super::photos::{SMALL, jpeg, pixels};
use super::{address, found, photograph};
use crate::collect::{Photograph, Whole};
use crate::photo::{
    Form, Interval, Picture, Terms, doubts, measure, outlines, packed, point, told_apart,
    two_points,
};
use crate::web::asked::{Asked, Fields};
use crate::web::desk::Desk;
use crate::web::form::{Sheet, Wrong};
use crate::web::keep::judge;
use crate::web::looks;
use crate::web::page::{Place, sentence, token};
use crate::web::reply::{Fault, Reply};

/// The points in the order in which they are asked for, and how.
const POINTS: [(&str, &str); 3] = [
    (
        "a",
        "Point at one end of a length you know: a mark of the ruler",
    ),
    ("b", "Point at the other end of that length"),
    ("c", "Point at the middle of the find"),
];

/// A photograph about to be measured.
struct Measuring<'m> {
    whole: &'m Whole,
    one: &'m Photograph,
    query: &'m Fields,
    here: String,
}

impl Measuring<'_> {
    /// Width and height of the small picture, as they are shown.
    fn small(&self) -> (f64, f64) {
        let (width, height) = (self.one.width as f64, self.one.height as f64);
        let times = (SMALL as f64 / width.max(height)).min(1.0);
        (
            (width * times).round().max(1.0),
            (height * times).round().max(1.0),
        )
    }

    fn clicked(&self, name: &str) -> Option<[f64; 2]> {
        let one = |axis: &str| {
            let text = self.query.get(&format!("{name}.{axis}"))?;
            text.parse::<f64>()
                .ok()
                .filter(|at| (0.0..1e5).contains(at))
        };
        Some([one("x")?, one("y")?])
    }

    /// The first point that is not known yet.
    fn wanted(&self) -> Option<(&'static str, &'static str)> {
        POINTS
            .into_iter()
            .find(|(name, _)| self.query.get(name).is_none())
    }

    /// The side of the part that is shown larger, pixels.
    fn side(&self) -> f64 {
        let (width, height) = (self.one.width as f64, self.one.height as f64);
        (width.max(height) / 6.0)
            .max(96.0)
            .min(width.min(height))
            .floor()
            .max(1.0)
    }

    /// Where a click on the small picture lies in the whole one.
    fn in_whole(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let (width, height) = self.small();
        [
            (x + 0.5) * self.one.width as f64 / width,
            (y + 0.5) * self.one.height as f64 / height,
        ]
    }

    /// What is carried from step to step.
    fn carried(&self) -> Fields {
        let mut carried = Fields::default();
        for name in ["a", "b", "c", "length"] {
            if let Some(text) = self.query.get(name) {
                carried.push(name, text);
            }
        }
        carried
    }

    /// The next step after a click that says a point, and nothing where there was none.
    fn stepped(&self) -> Option<String> {
        let (name, _) = self.wanted()?;
        let mut carried = self.carried();
        let whole = match (self.clicked("near"), self.clicked("at")) {
            (Some(near), _) if name == "c" => self.in_whole(near),
            (_, Some([x, y])) => {
                let [west, north] = point(self.query.get("part")?, "part").ok()?;
                let times = self.side() / SMALL as f64;
                [west + (x + 0.5) * times, north + (y + 0.5) * times]
            }
            _ => return None,
        };
        carried.push(name, &format!("{:.0},{:.0}", whole[0], whole[1]));
        Some(carried.address(&self.here))
    }
}

pub(super) fn page(desk: &Desk, asked: &Asked) -> Reply {
    shown(desk, asked).into()
}

fn shown(desk: &Desk, asked: &Asked) -> Result<Reply, Fault> {
    let (shelf, whole) = found(desk, asked)?;
    let one = photograph(&whole, asked)?;
    let measuring = Measuring {
        whole: &whole,
        one,
        query: &asked.query,
        here: format!("{}/measure/{}", address(&whole.entry.id), one.place),
    };
    if let Some(onward) = measuring.stepped() {
        return Ok(Reply::Onward(onward));
    }
    let ready = measuring.wanted().is_none() && asked.query.get("length").is_some();
    let answer = match ready {
        true => Some(measured(&measuring, &pixels(&shelf, one)?)),
        false => None,
    };
    let wrong = answer.as_ref().and_then(|answer| answer.as_ref().err());
    Ok(Reply::Page {
        place: Place::Tray,
        title: format!("Measure {}", whole.entry.id),
        body: body(
            &measuring,
            asked,
            wrong,
            answer.as_ref().and_then(|one| one.as_ref().ok()),
        ),
    })
}

fn body(
    measuring: &Measuring<'_>,
    asked: &Asked,
    wrong: Option<&Wrong>,
    answer: Option<&Answer>,
) -> Markup {
    let id = &measuring.whole.entry.id;
    let sheet = Sheet {
        name: "measure",
        typed: &asked.query,
        wrong,
    };
    let (width, height) = (measuring.one.width, measuring.one.height);
    html! {
        p.back { a href=(address(id)) { "Back to " (id) } }
        h1 { "Measure " (id) " on its photograph" }
        p { "The photograph must show the find flat on a plain ground, from straight above, with a ruler or something of known length beside it. A calliper is surer." }
        (sheet.head())
        @if let Some(answer) = answer { (answered(measuring, asked, answer)) }
        @else if let Some((_, how)) = measuring.wanted() { (step(measuring, how)) }
        // For the script: the same points, dragged.
        div hidden data-measure="measure" data-width=(width) data-height=(height)
            data-picture=(format!("{}/picture/{}/large?of={}", address(id), measuring.one.place, measuring.one.digest)) {}
        form.stack.points method="get" action=(measuring.here) {
            h2 { "The points" }
            p.how { "Pixels from the upper left of the whole picture, which has " (width) " x " (height) "." }
            div.columns {
                (sheet.line("a", "One end of the length", "As 120,340."))
                (sheet.line("b", "Its other end", ""))
                (sheet.line("c", "A point on the find", ""))
                (sheet.line("length", "The length between the ends, mm", "As 30."))
            }
            button { "Measure" }
            " " a.button.quiet href=(measuring.here) { "Begin again" }
        }
        script src=(looks::address("measure.js")) defer {}
    }
}

/// A step without script: a picture to click on.
fn step(measuring: &Measuring<'_>, how: &str) -> Markup {
    let near = measuring
        .clicked("near")
        .map(|near| measuring.in_whole(near));
    let (small, side) = (measuring.small(), measuring.side());
    let id = &measuring.whole.entry.id;
    let place = measuring.one.place;
    html! {
        form.clicks method="get" action=(measuring.here) {
            @for (name, text) in measuring.carried().iter() {
                input type="hidden" name=(name) value=(text);
            }
            @match near {
                None => {
                    h2 { (how) }
                    input.pick type="image" name="near" width=(small.0) height=(small.1) alt=(how)
                        src=(format!("{}/picture/{place}/small?of={}", address(id), measuring.one.digest));
                }
                Some([x, y]) => {
                    @let west = (x - side / 2.0).clamp(0.0, (measuring.one.width as f64 - side).max(0.0)).floor();
                    @let north = (y - side / 2.0).clamp(0.0, (measuring.one.height as f64 - side).max(0.0)).floor();
                    h2 { "Now exactly" }
                    p.how { (how) "." }
                    input type="hidden" name="part" value=(format!("{west},{north}"));
                    input.pick type="image" name="at" width=(SMALL) height=(SMALL) alt=(format!("{how}, enlarged"))
                        src=(format!("{}/measure/{place}/part?at={west},{north}", address(id)));
                    p { a href=(measuring.carried().address(&measuring.here)) { "It is not in this part: show the whole picture" } }
                }
            }
        }
    }
}

/// A part of a photograph, enlarged.
pub(super) fn part(desk: &Desk, asked: &Asked) -> Reply {
    let made = (|| -> Result<Reply, Fault> {
        let (shelf, whole) = found(desk, asked)?;
        let one = photograph(&whole, asked)?;
        let at = point(asked.query.get("at").unwrap_or_default(), "at");
        let at = at.map_err(Wrong::from)?;
        let side = Measuring {
            whole: &whole,
            one,
            query: &asked.query,
            here: String::new(),
        }
        .side();
        let picture = pixels(&shelf, one)?;
        let times = side / SMALL as f64;
        let mut rgb = Vec::with_capacity(3 * SMALL * SMALL);
        for y in 0..SMALL {
            for x in 0..SMALL {
                let (x, y) = ((x as f64 + 0.5) * times, (y as f64 + 0.5) * times);
                rgb.extend(picture.at((at[0] + x) as isize, (at[1] + y) as isize));
            }
        }
        let part = Picture::new(SMALL, SMALL, rgb).ok_or_else(Fault::nothing_here)?;
        let bytes = packed(&part, Form::Jpeg, None).map_err(Wrong::from)?;
        Ok(jpeg(bytes, false))
    })();
    made.into()
}

/// What was measured.
struct Answer {
    diameter: Interval,
    largest: Interval,
    smallest: Interval,
    doubts: Vec<String>,
}

fn measured(measuring: &Measuring<'_>, picture: &Picture) -> Result<Answer, Wrong> {
    let text = |name: &str| measuring.query.get(name).unwrap_or_default();
    let length = text("length").trim_end_matches("mm").trim();
    let (a, b) = (point(text("a"), "a")?, point(text("b"), "b")?);
    let c = point(text("c"), "c")?;
    for (name, [x, y]) in [("a", a), ("b", b), ("c", c)] {
        let inside =
            (0.0..picture.width as f64).contains(&x) && (0.0..picture.height as f64).contains(&y);
        if !inside {
            let what = format!("{name}: {x},{y} lies outside the picture");
            let (width, height) = (picture.width, picture.height);
            return Err(Wrong::new(
                &what,
                &format!("give a point within {width} x {height} pixels"),
            ));
        }
    }
    let millimetres = length
        .parse::<f64>()
        .ok()
        .filter(|mm| (0.1..=2000.0).contains(mm));
    let millimetres = millimetres.ok_or_else(|| {
        let short: String = length.chars().take(40).collect();
        Wrong::new(
            &format!("length: \"{short}\" is no length"),
            "give it in millimetres, as 30",
        )
    })?;
    let scale = two_points(&format!(
        "{},{},{},{}={millimetres}mm",
        a[0], a[1], b[0], b[1]
    ))?;
    let seen = outlines(picture)?;
    let (object, seal) = told_apart(&seen, &scale, Some(c))?;
    let terms = Terms::default();
    let found = measure(&seen, object, &seal, &terms)?;
    let doubts = doubts(&seen, object, &found, &terms);
    Ok(Answer {
        diameter: found.diameter,
        largest: found.largest,
        smallest: found.smallest,
        doubts: doubts.iter().map(ToString::to_string).collect(),
    })
}

fn answered(measuring: &Measuring<'_>, asked: &Asked, answer: &Answer) -> Markup {
    let id = &measuring.whole.entry.id;
    let row = |one: &Interval| format!("{:.1} mm ({:.1} to {:.1})", one.value, one.low, one.high);
    html! {
        section.measured aria-label="Measured" {
            h2 { "Diameter " (row(&answer.diameter)) }
            dl.kept-facts {
                div { dt { "Largest width" } dd { (row(&answer.largest)) } }
                div { dt { "Smallest width" } dd { (row(&answer.smallest)) } }
            }
            @if !answer.doubts.is_empty() {
                ul { @for doubt in &answer.doubts { li { (sentence(doubt)) } } }
            }
            form method="post" action=(format!("{}/measured", address(id))) {
                (token(&asked.visitor))
                input type="hidden" name="diameter" value=(format!("{:.1}", answer.diameter.value));
                button { "Keep " (format!("{:.1} mm", answer.diameter.value)) " as its diameter" }
            }
        }
    }
}

/// Keeps a diameter that was measured.
pub(super) fn keep(desk: &Desk, asked: &Asked) -> Reply {
    let made = (|| -> Result<String, Fault> {
        let (_, whole) = found(desk, asked)?;
        let diameter = asked.form.get("diameter").unwrap_or_default().to_string();
        let stamp = desk.stamp()?;
        let mut shelf = desk.shelf_to_write(&asked.visitor)?;
        let mut entry = whole.entry.clone();
        entry.said.retain(|(name, _)| name != "diameter");
        entry.said.push(("diameter".into(), diameter));
        judge(desk, &mut entry, false)?;
        if entry.diameter_mm.is_none() {
            return Err(Fault::new(
                422,
                "diameter: this is no size",
                "measure it again",
            ));
        }
        let kept = shelf.edit_find(&stamp, &whole.entry.id, |held| *held = entry);
        Ok(kept.map_err(Wrong::from)?.entry.id)
    })();
    match made {
        Ok(id) => Reply::Onward(format!("{}#facts", address(&id))),
        Err(fault) => fault.into(),
    }
}
