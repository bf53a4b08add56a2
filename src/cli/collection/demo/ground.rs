//! The demo's land: two farms of an invented parish, their fields, leave, a restriction, search days.
//!
//! Invariant: every holding and field says in a note that it is invented.

use crate::cli::error::Trouble;
use crate::collect::{
    Barred, Boundary, Form, Land, LandKind, LandNote, Leave, OfLand, Person, Restriction, Role,
    SearchDay, Shelf, Stamp,
};

const NOTE: &str = "Invented, for the demo shelf: there is no parish of Netherfold, and the grid \
                    squares stand for no real field.";
/// Fields: id, name, holding, use, squares.
const FIELDS: [(&str, &str, &str, &str, &str); 5] = [
    (
        "LONGACRE",
        "Long Acre",
        "NETHERFOLD",
        "ploughed",
        "SP 1256, SP 1257",
    ),
    (
        "KILNPIECE",
        "Kiln Piece",
        "NETHERFOLD",
        "ploughed",
        "SP 1356",
    ),
    (
        "GALLOWLEA",
        "Gallow Lea",
        "NETHERFOLD",
        "pasture",
        "SP 1257",
    ),
    (
        "RINGCLOSE",
        "Ring Close",
        "NETHERFOLD",
        "pasture",
        "SP 1257",
    ),
    ("WELLSIDE", "Wellside", "OVERBECK", "ploughed", "SP 1455"),
];

/// Keeps the land.
pub(super) fn laid(shelf: &mut Shelf, stamp: &Stamp) -> Result<(), Trouble> {
    let farm = |owner: &str, leave: Leave| {
        let owner = person(Role::Owner, owner);
        vec![
            note(NOTE, None),
            OfLand::Person(owner),
            OfLand::Leave(leave),
        ]
    };
    let half = leave(("2023-08-01", Some("2029-07-31")), "half each");
    let netherfold = farm("A. Farmer (invented)", half);
    let named = ("NETHERFOLD", "Netherfold Farm", None, None);
    add(shelf, stamp, named, netherfold)?;
    // Lapsed, so that it is seen how that is told.
    let lapsed = leave(("2023-08-01", Some("2025-07-31")), "half each, after costs");
    let overbeck = farm("B. Holder (invented)", lapsed);
    add(
        shelf,
        stamp,
        ("OVERBECK", "Overbeck Farm", None, None),
        overbeck,
    )?;
    for (id, name, of, landuse, squares) in FIELDS {
        let mut with = vec![
            note(NOTE, None),
            OfLand::Boundary(Boundary {
                key: 0,
                land: 0,
                form: Form::Squares,
                text: squares.into(),
            }),
        ];
        with.extend(special(id));
        add(shelf, stamp, (id, name, Some(of), Some(landuse)), with)?;
    }
    Ok(())
}

/// What is known of one field alone.
fn special(id: &str) -> Option<OfLand> {
    match id {
        "RINGCLOSE" => Some(OfLand::Restriction(Restriction {
            key: 0,
            land: 0,
            kind: Barred::Protected,
            note: Some("the ring ditch (invented); not searched since".into()),
            from_day: Some("2023-11-01".into()),
            to_day: None,
        })),
        "KILNPIECE" => Some(note(
            "a kiln and a lane are drawn here (invented)",
            Some("estate map of 1774 (invented)"),
        )),
        _ => None,
    }
}

/// Keeps a day on which a field was searched.
pub(super) fn searched(
    shelf: &mut Shelf,
    stamp: &Stamp,
    (land, day): (&str, &str),
    hours: f64,
) -> Result<(), Trouble> {
    let day = OfLand::SearchDay(SearchDay {
        day: day.into(),
        hours: Some(hours),
        who: Some("C. Walker (invented)".into()),
        ..SearchDay::default()
    });
    shelf.keep_for_land(stamp, land, day)?;
    Ok(())
}

fn add(
    shelf: &mut Shelf,
    stamp: &Stamp,
    (id, name, of, landuse): (&str, &str, Option<&str>, Option<&str>),
    with: Vec<OfLand>,
) -> Result<(), Trouble> {
    let kind = match of {
        Some(_) => LandKind::Field,
        None => LandKind::Holding,
    };
    let mut land = Land::new(id, kind, name);
    if let Some(of) = of {
        land.parent = Some(shelf.land(of)?.key);
    }
    land.country = Some("England".into());
    land.landuse = landuse.map(String::from);
    land.notes = "Invented.".into();
    shelf.add_land_with(stamp, land, with)?;
    Ok(())
}

fn person(role: Role, name: &str) -> Person {
    Person {
        key: 0,
        land: None,
        role,
        name: name.into(),
        contact: None,
    }
}

fn leave((from, to): (&str, Option<&str>), split: &str) -> Leave {
    Leave {
        from_day: Some(from.into()),
        to_day: to.map(String::from),
        terms: Some("after harvest, and every find shown to the owner (invented)".into()),
        split: Some(split.into()),
        ..Leave::default()
    }
}

fn note(text: &str, source: Option<&str>) -> OfLand {
    OfLand::Note(LandNote {
        source: source.map(String::from),
        text: text.into(),
        ..LandNote::default()
    })
}
