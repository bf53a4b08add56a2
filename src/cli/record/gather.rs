//! From flags and cells to what a draft is made of, each fault with its field and the mend.
//!
//! Judges nothing but whether a value can be.
//!
//! Invariant: circumstances that come out of here are possible and without signs that steer a
//! terminal.

use super::super::error::Trouble;
use super::super::ids::{not_held, shortened};
use super::args::{ArtefactFlags, GroupFlags, ToldFlags};
use crate::House;
use crate::catalogue::{Catalogue, CoinType};
use crate::find::{Measured, Millimetres};
use crate::findspot;
use crate::parse::{self, Field, Lexicon};
use crate::record::{Artefact, Circumstances, Landuse, Method, Told};
use crate::treasure::{Age, CalendarDay, When, age};

/// Most characters of one text that is told.
const TEXT_MOST: usize = 4000;
/// Most texts of one kind, such as notes.
const TEXTS_MOST: usize = 100;
/// Deepest that a find is taken to have lain, centimetres.
const DEPTH_MOST: f64 = 2000.0;

/// The circumstances that flags or cells tell.
pub(super) fn circumstances(
    told: &ToldFlags,
    object: &ArtefactFlags,
    lexicon: &Lexicon,
    today: CalendarDay,
) -> Result<Circumstances, Trouble> {
    Ok(Circumstances {
        number: text("--number", &told.number)?,
        found: found(told.found.as_deref(), today)?,
        method: listed("--method", &told.method, Method::read, Method::CHOICES)?,
        landuse: listed("--landuse", &told.landuse, Landuse::read, Landuse::CHOICES)?,
        findspot: spot(told.findspot.as_deref())?,
        finder: text("--finder", &told.finder)?,
        landowner: text("--landowner", &told.landowner)?,
        consent: text("--consent", &told.consent)?,
        depth: depth(told.depth.as_deref())?,
        lay: None,
        group: text("--group", &told.group)?,
        moneyer: text("--moneyer", &told.moneyer)?,
        images: texts("--image", &told.images)?,
        notes: texts("--note", &told.notes)?,
        artefact: artefact(object, lexicon)?,
    })
}

/// How the pieces of a group lay to one another.
pub(super) fn lay(group: &GroupFlags) -> Result<Option<String>, Trouble> {
    text("--lay", &group.lay)
}

fn artefact(object: &ArtefactFlags, lexicon: &Lexicon) -> Result<Artefact, Trouble> {
    Ok(Artefact {
        object_type: text("--object", &object.object)?,
        made: match object.made.as_deref() {
            None => None,
            Some(made) => match age(made) {
                Ok(Age::Years(span)) => Some(span),
                Ok(_) => None,
                Err(fault) => {
                    return Err(Trouble::new(format!("--made: {}", fault.what), fault.mend));
                }
            },
        },
        shape: texts("--shape", &object.shape)?,
        decoration: texts("--decoration", &object.decoration)?,
        attachment: text("--attachment", &object.attachment)?,
        damage: text("--damage", &object.damage)?,
        surface: text("--surface", &object.surface)?,
        length: size("--length", object.length.as_deref(), lexicon)?,
        width: size("--width", object.width.as_deref(), lexicon)?,
        parallels: texts("--parallel", &object.parallels)?,
        interpretation: text("--interpretation", &object.interpretation)?,
    })
}

/// A text without signs that steer a terminal; none where it is blank.
fn text(flag: &str, said: &Option<String>) -> Result<Option<String>, Trouble> {
    said.as_deref().map_or(Ok(None), |said| plain(flag, said))
}

fn plain(flag: &str, said: &str) -> Result<Option<String>, Trouble> {
    if said.chars().nth(TEXT_MOST).is_some() {
        let what = format!("{flag}: the text is longer than {TEXT_MOST} characters");
        return Err(Trouble::new(what, "say it in fewer words"));
    }
    let steers = |c: char| {
        c.is_control()
            || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
    };
    let shown: String = said
        .chars()
        .map(|c| if steers(c) { ' ' } else { c })
        .collect();
    let shown = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    Ok((!shown.is_empty()).then_some(shown))
}

fn texts(flag: &str, said: &[String]) -> Result<Vec<String>, Trouble> {
    if said.len() > TEXTS_MOST {
        let what = format!(
            "{flag}: given {} times, the most is {TEXTS_MOST}",
            said.len()
        );
        return Err(Trouble::new(what, "say it in fewer"));
    }
    let each = said.iter().map(|one| plain(flag, one));
    let each = each.collect::<Result<Vec<_>, Trouble>>()?;
    Ok(each.into_iter().flatten().collect())
}

fn found(said: Option<&str>, today: CalendarDay) -> Result<Option<When>, Trouble> {
    let Some(said) = said.filter(|said| !said.trim().is_empty()) else {
        return Ok(None);
    };
    let when = When::read(said.trim());
    let when = when.map_err(|what| Trouble::new(format!("--found: {what}"), ""))?;
    if when.earliest > today {
        let (when, today) = (when.text(), today.text());
        return Err(Trouble::new(
            format!("--found: {when} is still to come; today is {today}"),
            "give the day on which it was found, as 2026-03-15",
        ));
    }
    Ok(Some(when))
}

fn listed<T>(
    flag: &str,
    said: &Option<String>,
    read: impl Fn(&str) -> Option<T>,
    choices: &str,
) -> Result<Option<T>, Trouble> {
    let Some(said) = said.as_deref().filter(|said| !said.trim().is_empty()) else {
        return Ok(None);
    };
    read(said).map(Some).ok_or_else(|| {
        let what = format!("{flag}: \"{}\" is none of the list", shortened(said));
        Trouble::new(what, format!("choose one of: {choices}"))
    })
}

fn spot(said: Option<&str>) -> Result<Option<findspot::Findspot>, Trouble> {
    let Some(said) = said.filter(|said| !said.trim().is_empty()) else {
        return Ok(None);
    };
    let read = findspot::read(said);
    read.map(Some)
        .map_err(|fault| Trouble::new(format!("--findspot: {}", fault.what), fault.mend))
}

/// A depth in centimetres: `20`, `20 cm`, `0.3 m`, `8 in`.
fn depth(said: Option<&str>) -> Result<Option<f64>, Trouble> {
    let Some(said) = said.map(str::trim).filter(|said| !said.is_empty()) else {
        return Ok(None);
    };
    let end = said.find(|c: char| !(c.is_ascii_digit() || c == '.'));
    let (figures, unit) = said.split_at(end.unwrap_or(said.len()));
    let size = match unit.trim().to_lowercase().as_str() {
        "" | "cm" => Some(1.0),
        "mm" => Some(0.1),
        "m" => Some(100.0),
        "in" | "inch" | "inches" | "\"" => Some(2.54),
        _ => None,
    };
    let depth = figures.parse::<f64>().ok().zip(size);
    let depth = depth.map(|(figures, size)| figures * size);
    let depth = depth.filter(|depth| (0.0..=DEPTH_MOST).contains(depth));
    depth.map(Some).ok_or_else(|| {
        let what = format!("--depth: \"{}\" is no depth", shortened(said));
        Trouble::new(what, "give it in centimetres, 0 to 2000, as 20 cm")
    })
}

fn size(
    flag: &str,
    said: Option<&str>,
    lexicon: &Lexicon,
) -> Result<Option<Measured<Millimetres>>, Trouble> {
    let Some(said) = said.filter(|said| !said.trim().is_empty()) else {
        return Ok(None);
    };
    let (find, _) = parse::form(&[(Field::Diameter, said.to_string())], lexicon);
    find.diameter.map(Some).ok_or_else(|| {
        let what = format!("{flag}: \"{}\" is no size", shortened(said));
        Trouble::new(what, "give it in millimetres, as 21.4")
    })
}

/// What a person decided, by ids.
pub(super) fn decided(told: &ToldFlags, house: &House) -> Result<Told, Trouble> {
    let library = &house.catalogue;
    let mut decided = Told {
        by: text("--by", &told.by)?,
        ..Told::default()
    };
    for id in &told.decided {
        one(id.trim(), library, &mut decided)?;
    }
    if decided.is_empty() {
        return Ok(decided);
    }
    let chosen = decided.coin.map(|coin| &library.types[coin]);
    let fits = match chosen {
        Some(coin) => agrees(&decided, coin),
        None => library.types.iter().any(|coin| agrees(&decided, coin)),
    };
    if fits {
        return Ok(decided);
    }
    Err(Trouble::new(
        "--as: no type of the library is all of these at once",
        "leave one of them out, or look them up with: lynchet catalogue search WORDS",
    ))
}

fn agrees(told: &Told, coin: &CoinType) -> bool {
    told.ruler.is_none_or(|place| coin.ruler == Some(place))
        && told
            .denomination
            .is_none_or(|place| coin.denomination == place)
        && told.period.is_none_or(|place| coin.period == place)
        && told
            .mint
            .is_none_or(|place| coin.mints.is_empty() || coin.mints.contains(&place))
}

/// Puts one id where it belongs; an id of two kinds wants its kind before it: `ruler:offa`.
fn one(id: &str, library: &Catalogue, told: &mut Told) -> Result<(), Trouble> {
    let (kind, bare) = id
        .split_once(':')
        .map_or((None, id), |(kind, bare)| (Some(kind), bare));
    let place = |all: &mut dyn Iterator<Item = &String>| {
        let mut all = all.enumerate();
        all.find(|(_, known)| *known == bare)
            .map(|(place, _)| place)
    };
    let coin = library
        .type_by_id(bare)
        .filter(|coin| !library.types[*coin].rest);
    let places = [
        ("type", coin),
        (
            "ruler",
            place(&mut library.rulers.iter().map(|one| &one.id)),
        ),
        (
            "denomination",
            place(&mut library.denominations.iter().map(|one| &one.id)),
        ),
        (
            "period",
            place(&mut library.periods.iter().map(|one| &one.id)),
        ),
        ("mint", place(&mut library.mints.iter().map(|one| &one.id))),
    ];
    let held = places
        .into_iter()
        .filter_map(|(kind, place)| Some((kind, place?)));
    let held = held.filter(|(of, _)| kind.is_none_or(|kind| kind == *of));
    let held: Vec<(&str, usize)> = held.collect();
    let (of, place) = match held.as_slice() {
        [one] => *one,
        [] => return Err(unknown(id, library)),
        several => return Err(of_several(bare, several)),
    };
    let held = match of {
        "type" => &mut told.coin,
        "ruler" => &mut told.ruler,
        "denomination" => &mut told.denomination,
        "period" => &mut told.period,
        _ => &mut told.mint,
    };
    if held.replace(place).is_some_and(|before| before != place) {
        let what = format!("--as: two ids name a {of}");
        return Err(Trouble::new(what, format!("give one {of}")));
    }
    Ok(())
}

/// The fault of an id that nothing has.
fn unknown(id: &str, library: &Catalogue) -> Trouble {
    let known = library.listed().iter().map(|coin| &coin.id);
    let known = known.chain(library.rulers.iter().map(|one| &one.id));
    let known = known.chain(library.denominations.iter().map(|one| &one.id));
    let known = known.chain(library.periods.iter().map(|one| &one.id));
    let known = known.chain(library.mints.iter().map(|one| &one.id));
    not_held("--as: nothing in the library has", id, known)
}

/// The fault of an id that things of several kinds have.
fn of_several(id: &str, held: &[(&str, usize)]) -> Trouble {
    let kinds: Vec<&str> = held.iter().map(|one| one.0).collect();
    let (kinds, id) = (kinds.join(" and of a "), shortened(id));
    let what = format!("--as: \"{id}\" is the id of a {kinds}");
    let first = held.first().map_or("type", |one| one.0);
    Trouble::new(what, format!("say which, as {first}:{id}"))
}
