//! Photographs of a find: kept, shown small and large, laid on a plate.
//!
//! Whatever is shown is made anew from pixels by the photographs' room, within its limits; the bytes
//! that were sent are never served. A few small copies are remembered, no more than so many bytes.
//!
//! Invariant: what leaves here is a JPEG or PNG made here, without place, time or camera.

use std::collections::VecDeque;
use std::sync::{Mutex, PoisonError};

use super::{address, found, photograph, refused};
use crate::collect::{NewPhotograph, Photograph, Shelf, Whole};
use crate::photo::{
    Form, LARGEST, Picture, across, cut, drawn, lay, only, open, outlines, packed, thumbnail,
};
use crate::web::asked::Asked;
use crate::web::desk::Desk;
use crate::web::form::Wrong;
use crate::web::reply::{Fault, Reply};

/// Longer side of a small and a large copy, pixels.
pub(super) const SMALL: usize = 320;
const LARGE: usize = 1400;
/// Bytes of copies that are remembered.
const REMEMBERED: usize = 12_000_000;
/// Photographs that one form may bring.
const AT_ONCE: usize = 12;
/// Dots an inch of the plate.
const DOTS: u16 = 300;
/// Words of views that may show where a find lay.
const SHOWS_PLACE: [&str; 6] = ["ground", "field", "site", "place", "hole", "view"];
/// What a photograph may show.
pub(super) const VIEWS: [&str; 6] = [
    "obverse",
    "reverse",
    "edge",
    "side",
    "detail",
    "in the ground",
];

/// Copies, the one asked for last at the end.
static COPIES: Mutex<VecDeque<(String, usize, Vec<u8>)>> = Mutex::new(VecDeque::new());

/// True of a photograph that guests may see: nothing that was said of it hints at a place, as in what
/// is exported to share.
pub(in crate::web) fn may_be_shown(one: &Photograph) -> bool {
    let view = one.view.as_deref().unwrap_or_default().to_lowercase();
    !SHOWS_PLACE.iter().any(|word| view.contains(word))
}

/// The photographs that a form brought.
pub(in crate::web) fn new_photographs(asked: &Asked) -> Result<Vec<NewPhotograph>, Wrong> {
    let sent = asked.files.iter().filter(|one| !one.bytes.is_empty());
    let sent: Vec<_> = sent.collect();
    if sent.len() > AT_ONCE {
        let what = format!("photographs: {} were sent at once", sent.len());
        return Err(Wrong::new(&what, &format!("send at most {AT_ONCE}")));
    }
    let view = asked.form.get("view").map(str::to_string);
    let new = sent.into_iter().map(|one| NewPhotograph {
        bytes: one.bytes.clone(),
        name: one.name.clone(),
        view: view.clone(),
        taken: None,
    });
    Ok(new.collect())
}

pub(super) fn add(desk: &Desk, asked: &Asked) -> Reply {
    match added(desk, asked) {
        Ok(id) => Reply::Onward(format!("{}#photographs", address(&id))),
        Err(wrong) => refused(desk, asked, "photographs", wrong),
    }
}

fn added(desk: &Desk, asked: &Asked) -> Result<String, Wrong> {
    let (_, whole) = found(desk, asked)?;
    let new = new_photographs(asked)?;
    if new.is_empty() {
        return Err(Wrong::new(
            "photographs: none was chosen",
            "choose a JPEG, PNG or WebP picture",
        ));
    }
    let stamp = desk.stamp()?;
    let mut shelf = desk.shelf_to_write(&asked.visitor)?;
    shelf.add_photographs(&stamp, &whole.entry.id, new)?;
    Ok(whole.entry.id)
}

pub(super) fn edit(desk: &Desk, asked: &Asked) -> Reply {
    match edited(desk, asked) {
        Ok(id) => Reply::Onward(format!("{}#photographs", address(&id))),
        Err(wrong) => refused(desk, asked, "photographs", wrong),
    }
}

/// Says what a photograph shows, or takes it away.
fn edited(desk: &Desk, asked: &Asked) -> Result<String, Wrong> {
    let (_, whole) = found(desk, asked)?;
    let place = photograph(&whole, asked)?.place;
    let id = whole.entry.id;
    let stamp = desk.stamp()?;
    let mut shelf = desk.shelf_to_write(&asked.visitor)?;
    match asked.form.get("do") {
        Some("remove") => shelf.remove_photograph(&stamp, &id, place)?,
        _ => {
            let view = asked.form.get("view").map(str::to_string);
            shelf.edit_photograph(&stamp, &id, place, view)?
        }
    };
    Ok(id)
}

/// A copy of a photograph.
pub(super) fn picture(desk: &Desk, asked: &Asked) -> Reply {
    shown(desk, asked).into()
}

fn shown(desk: &Desk, asked: &Asked) -> Result<Reply, Fault> {
    let within = match asked.path.get("size") {
        Some("small") => SMALL,
        Some("large") => LARGE,
        _ => return Err(Fault::nothing_here()),
    };
    let (shelf, whole) = found(desk, asked)?;
    let one = photograph(&whole, asked)?;
    // An address that holds the digest changes with the picture, so that it may be kept.
    let lasting = asked
        .query
        .get("of")
        .is_some_and(|of| one.digest.starts_with(of));
    Ok(jpeg(copy(&shelf, one, within)?, lasting))
}

pub(super) fn jpeg(bytes: Vec<u8>, lasting: bool) -> Reply {
    Reply::File {
        kind: "image/jpeg",
        bytes,
        save_as: None,
        lasting,
    }
}

/// A copy whose longer side has so many pixels at most.
fn copy(shelf: &Shelf, one: &Photograph, within: usize) -> Result<Vec<u8>, Fault> {
    let lock = || COPIES.lock().unwrap_or_else(PoisonError::into_inner);
    let is_it = |held: &(String, usize, Vec<u8>)| held.0 == one.digest && held.1 == within;
    if let Some(held) = lock().iter().find(|held| is_it(held)) {
        return Ok(held.2.clone());
    }
    let made = thumbnail(&pixels(shelf, one)?, within);
    let bytes = packed(&made, Form::Jpeg, None).map_err(of_photo)?;
    let mut copies = lock();
    if !copies.iter().any(is_it) {
        copies.push_back((one.digest.clone(), within, bytes.clone()));
    }
    while copies.iter().map(|held| held.2.len()).sum::<usize>() > REMEMBERED {
        copies.pop_front();
    }
    Ok(bytes)
}

/// The pixels of a photograph, upright.
pub(super) fn pixels(shelf: &Shelf, one: &Photograph) -> Result<Picture, Fault> {
    let bytes = shelf.bytes_of(&one.digest).map_err(|_| {
        Fault::new(
            404,
            format!("photograph {} is gone or not as it was kept", one.place),
            "keep it again, or put it back from a backup",
        )
    })?;
    Ok(open(&bytes).map_err(of_photo)?.picture)
}

fn of_photo(fault: crate::photo::Fault) -> Fault {
    Fault::new(422, fault.what, fault.mend)
}

/// The photographs of both faces laid side by side at true scale.
pub(super) fn plate(desk: &Desk, asked: &Asked) -> Reply {
    let made = found(desk, asked).and_then(|(shelf, whole)| plate_of(&shelf, &whole));
    let reply = made.map(|bytes| Reply::File {
        kind: "image/png",
        bytes,
        save_as: None,
        lasting: false,
    });
    reply.into()
}

/// The faces of a find: front and back where they were named, else its first photographs.
pub(super) fn faces(whole: &Whole) -> Vec<&Photograph> {
    let of = |name: &str| {
        let mut all = whole.photographs.iter();
        all.find(|one| one.view.as_deref() == Some(name))
    };
    let named: Vec<&Photograph> = [of("obverse"), of("reverse")]
        .into_iter()
        .flatten()
        .collect();
    match named.is_empty() {
        false => named,
        true => whole.photographs.iter().take(1).collect(),
    }
}

/// The plate as a PNG.
pub(super) fn plate_of(shelf: &Shelf, whole: &Whole) -> Result<Vec<u8>, Fault> {
    let faces = faces(whole);
    let width = whole
        .entry
        .diameter_mm
        .filter(|mm| (1.0..=LARGEST).contains(mm));
    let Some(width) = width.filter(|_| !faces.is_empty()) else {
        return Err(Fault::new(
            422,
            "a plate needs a photograph and a diameter from 1 mm on",
            "photograph the find, and measure it",
        ));
    };
    let mut views = Vec::new();
    for one in faces {
        let picture = pixels(shelf, one)?;
        let seen = outlines(&picture).map_err(of_photo)?;
        let middle = [picture.width as f64 / 2.0, picture.height as f64 / 2.0];
        // A ruler may lie beside it: the find is then what lies in the middle.
        let object = only(&seen, None).or_else(|_| only(&seen, Some(middle)));
        let object = object.map_err(of_photo)?;
        views.push(cut(&picture, object, width / across(object).0, true));
    }
    let name = whole.identified.first().map_or("", |one| one.text.as_str());
    let name: String = name.chars().take(80).collect();
    let number: String = whole.entry.id.chars().take(40).collect();
    let laid = lay(views.clone(), &number, &name, 1.0);
    // Letters that cannot be drawn are left out rather than the plate.
    let laid = laid
        .or_else(|_| lay(views, "", "", 1.0))
        .map_err(of_photo)?;
    let sheet = drawn(&laid, DOTS).map_err(of_photo)?;
    packed(&sheet, Form::Png, Some(DOTS)).map_err(of_photo)
}

/// Photographs for the officer's pack: each view's name and a JPEG made of its pixels.
pub(super) fn for_pack(shelf: &Shelf, whole: &Whole) -> Result<Vec<(String, Vec<u8>)>, Fault> {
    let shown = whole.photographs.iter().filter(|one| may_be_shown(one));
    let each = shown.take(8).map(|one| {
        let jpeg = packed(&pixels(shelf, one)?, Form::Jpeg, None).map_err(of_photo)?;
        Ok((format!("view-{}", one.place), jpeg))
    });
    each.collect()
}
