//! What was measured, read and seen of the piece, as fields.
//!
//! Every fact of a find becomes part of a field; nothing is added to it and nothing inferred. What
//! was said and could not be used is kept in a field of its own, in the finder's words.
//!
//! Invariant: a field filled here says nothing that the finder did not say.

use super::draft::{Quantity, Standing};
use super::legends::as_read;
use super::leiden;
use super::scale;
use super::sheet::Sheet;
use super::{Basis, thing};
use crate::find::{Completeness, Find, Measured, Side, Sighting, era};
use crate::parse::{Field, RemarkKind};

/// Names of the fields of a side: what is shown, its terms, its letters.
const SIDES: [(Side, &str, &str, &str); 3] = [
    (
        Side::Obverse,
        "obverse_description",
        "obverse_terms",
        "obverse_legend",
    ),
    (
        Side::Reverse,
        "reverse_description",
        "reverse_terms",
        "reverse_legend",
    ),
    (Side::Unknown, "description", "terms", "legend"),
];

/// Fields of which what was typed may say more than the step or the word that it was taken as.
const TYPED: [(Field, &str); 6] = [
    (Field::Metal, "material"),
    (Field::Completeness, "completeness"),
    (Field::Making, "manufacture"),
    (Field::Wear, "wear"),
    (Field::Corrosion, "corrosion"),
    (Field::Treatment, "treatment"),
];

/// Fills in what a find holds.
pub(super) fn fill(basis: &Basis<'_>, sheet: &mut Sheet) {
    let find = basis.find;
    plain(basis, sheet);
    sheet.put("completeness", completeness(basis), Standing::Seen);
    state(find, sheet);
    for (field, name) in TYPED {
        typed(basis, field, name, sheet);
    }
    for (side, description, terms, legend) in SIDES {
        figures(basis, side, (description, terms), sheet);
        letters(basis, side, legend, sheet);
    }
    beside(find, sheet);
    unused(basis, sheet);
}

/// Number, measures, date.
fn plain(basis: &Basis<'_>, sheet: &mut Sheet) {
    let find = basis.find;
    sheet.put(
        "number",
        find.id.clone().unwrap_or_default(),
        Standing::Told(None),
    );
    let weight = find.weight.map(|m| (m.value.get(), m.error));
    measure("weight", weight, "g", sheet);
    let size = |m: Measured<crate::find::Millimetres>| (m.value.get(), m.error);
    // What was heard as a length of a thing is not its diameter too.
    let across = find
        .diameter
        .filter(|m| !thing::is_another(basis.thing, *m));
    measure("diameter", across.map(size), "mm", sheet);
    measure("thickness", find.thickness.map(size), "mm", sheet);
    if let Some(axis) = find.die_axis {
        let hour = axis.hour();
        let quantity = Quantity {
            value: f64::from(hour),
            unit: "h",
            error: None,
        };
        let value = format!("{hour} o'clock");
        sheet.put_number("die_axis", value, Standing::Measured, quantity);
    }
    if let Some(year) = find.date_on_piece {
        sheet.put("date_on_piece", era(year), Standing::Read);
    }
}

/// A measure with its unit, and its error where that is more than half its last figure.
pub(super) fn measure(
    name: &'static str,
    measured: Option<(f64, f64)>,
    unit: &'static str,
    sheet: &mut Sheet,
) {
    let Some((value, error)) = measured else {
        return;
    };
    let quantity = Quantity {
        value,
        unit,
        error: Some(error),
    };
    let text = quantity_text(quantity);
    sheet.put_number(name, text, Standing::Measured, quantity);
}

/// A quantity as it is written: no more figures than were read, and never fewer.
pub(super) fn quantity_text(quantity: Quantity) -> String {
    let Quantity { value, unit, error } = quantity;
    let figures = number(value);
    let decimals = figures.split_once('.').map_or(0, |(_, after)| after.len());
    let half_step = 0.5 * 10f64.powi(-(decimals as i32));
    match error {
        Some(error) if error > half_step * 1.01 => {
            format!("{figures} {unit} (\u{b1} {} {unit})", number(error))
        }
        _ => format!("{figures} {unit}"),
    }
}

/// A number with three decimals at most, or with all of them where it is small.
pub(super) fn number(value: f64) -> String {
    if value.abs() < 0.1 {
        return value.to_string();
    }
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// How much of it is there. Some part of unknown size is a fragment, unless it was called incomplete.
fn completeness(basis: &Basis<'_>) -> &'static str {
    let of = |(field, _): &&(Field, String)| matches!(field, Field::Completeness | Field::Words);
    let mut said = basis.said.iter().filter(of);
    let incomplete = said.any(|(_, text)| {
        let text = text.to_lowercase();
        text.contains("incomplete") && !text.contains("fragment")
    });
    match basis.find.completeness {
        Some(Completeness::Fragment) if incomplete => "incomplete",
        Some(some) => scale::completeness(some),
        None => "",
    }
}

/// Metal, making, and in what state it is.
fn state(find: &Find, sheet: &mut Sheet) {
    if let Some((metal, sure)) = find.metal {
        let ids = scale::metal(metal).filter(|_| sure).map(scale::nomisma);
        let value = match sure {
            true => metal.name().to_string(),
            false => format!("perhaps {}", metal.name()),
        };
        sheet.put_with("material", value, Standing::Seen, ids.into_iter().collect());
    }
    if let Some(making) = find.making {
        let ids = vec![scale::nomisma(scale::making(making))];
        sheet.put_with("manufacture", making.name(), Standing::Seen, ids);
    }
    if let Some(wear) = find.wear {
        let (code, id) = scale::wear(wear);
        let value = format!("{code} ({})", wear.name());
        sheet.put_with("wear", value, Standing::Seen, vec![scale::nomisma(id)]);
    }
    if let Some(corrosion) = find.corrosion {
        let (code, id) = scale::corrosion(corrosion);
        let value = format!("{code} ({})", corrosion.name());
        sheet.put_with("corrosion", value, Standing::Seen, vec![scale::nomisma(id)]);
    }
    let there = find.treatments.iter();
    let absent = find.treatments_absent.iter();
    let words = there.clone().map(|one| one.name().to_string());
    let words: Vec<String> = words
        .chain(absent.map(|one| format!("not {} (looked for)", one.name())))
        .collect();
    let ids = there.map(|one| scale::nomisma(scale::treatment(*one)));
    sheet.put_with("treatment", words.join("; "), Standing::Seen, ids.collect());
}

/// What a side shows, in the finder's words and in the library's. What was typed for the side
/// stands as it was typed; what was said elsewhere comes after it.
fn figures(
    basis: &Basis<'_>,
    side: Side,
    (description, terms): (&'static str, &'static str),
    sheet: &mut Sheet,
) {
    let catalogue = basis.catalogue;
    let typed = basis.said.iter().filter(|(field, _)| {
        let of = match side {
            Side::Obverse => Field::ObverseMotif,
            Side::Reverse => Field::ReverseMotif,
            Side::Unknown => Field::Motif,
        };
        *field == of
    });
    let mut said: Vec<String> = typed.map(|(_, text)| plain_text(text)).collect();
    let count = said.len();
    let mut named: Vec<String> = Vec::new();
    let heard = basis
        .thing
        .map_or(String::new(), |one| thing::heard(one.object));
    let of = basis.find.sightings.iter().filter(|one| one.side == side);
    // What was heard as a part of a thing, or as what it is, is not a design on it.
    let of = of.filter(|one| heard.is_empty() || !holds(&heard, &one.said));
    for sighting in of {
        let words = qualified(&sighting.said, sighting);
        // Words of what was typed are in it already, if they say the same.
        let plainly = sighting.present && sighting.sure;
        let within = said[..count].iter().any(|text| holds(text, &sighting.said));
        let there = said.contains(&words) || (plainly && within);
        if !there {
            said.push(words);
        }
        let motif = catalogue.motif_by_id(&sighting.motif);
        let name = motif.map_or(sighting.motif.as_str(), |place| {
            catalogue.motifs[place].name.as_str()
        });
        let name = qualified(name, sighting);
        if !named.contains(&name) {
            named.push(name);
        }
    }
    sheet.put(description, said.join("; "), Standing::Seen);
    sheet.put(terms, named.join("; "), Standing::Seen);
}

/// Adds what was typed for a field where it says more than the field does. What was understood of
/// none of it stands there as it was told.
fn typed(basis: &Basis<'_>, field: Field, name: &'static str, sheet: &mut Sheet) {
    let all = basis.said.iter().filter(|(of, _)| *of == field);
    let texts: Vec<String> = all.map(|(_, text)| plain_text(text)).collect();
    let text = texts.join("; ");
    match sheet.get_mut(name) {
        Some(made) if !holds(&made.value, &text) => {
            made.value = format!("{}: \"{text}\"", made.value);
        }
        Some(_) => {}
        None => {
            sheet.put(name, text, Standing::Told(None));
        }
    }
}

/// A text without signs that steer a terminal, on one line.
fn plain_text(text: &str) -> String {
    let words = text.split(|c: char| c.is_whitespace() || c.is_control());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.join(" ")
}

/// True when every word of some words stands in a text.
fn holds(text: &str, words: &str) -> bool {
    let text = text.to_lowercase();
    let words = words.to_lowercase();
    let mut words = words.split_whitespace();
    words.all(|word| text.contains(word))
}

fn qualified(words: &str, sighting: &Sighting) -> String {
    let words = words.trim();
    match (sighting.present, sighting.sure) {
        (true, true) => words.to_string(),
        (true, false) => format!("{words} (?)"),
        (false, true) => format!("no {words} (looked for)"),
        (false, false) => format!("no {words} (looked for; ?)"),
    }
}

/// What was read on a side, each fragment by itself: as it was typed where it was typed for the
/// side, since a date in a legend is read apart from its letters. Letters that were all supplied,
/// or a word that none can be read, are told.
fn letters(basis: &Basis<'_>, side: Side, legend: &'static str, sheet: &mut Sheet) {
    let typed = basis.said.iter().filter(|(field, _)| {
        let of = match side {
            Side::Obverse => Field::ObverseLegend,
            Side::Reverse => Field::ReverseLegend,
            Side::Unknown => Field::Legend,
        };
        *field == of
    });
    let printed = typed.map(|(_, text)| leiden::print(&leiden::read(&without_note(text))));
    let mut texts: Vec<String> = printed.collect();
    let typed = bare_letters(&texts.join(" "));
    let readings = basis.find.readings.iter().filter(|one| one.side == side);
    let mut standing = Standing::Told(None);
    for reading in readings {
        standing = Standing::Read;
        let text = as_read(reading);
        if !typed.contains(&bare_letters(&text)) {
            texts.push(text);
        }
    }
    sheet.put(legend, texts.join("; "), standing);
}

/// A legend without the word that it runs backwards: a remark says so.
fn without_note(text: &str) -> String {
    let bare = |word: &str| {
        word.trim_matches(|c: char| !c.is_alphanumeric())
            .to_lowercase()
    };
    let words = text.split_whitespace();
    let words: Vec<&str> = words.filter(|word| bare(word) != "retrograde").collect();
    words.join(" ")
}

fn bare_letters(text: &str) -> String {
    let letters = text.chars().filter(|c| c.is_alphanumeric());
    letters.flat_map(char::to_lowercase).collect()
}

/// What the finder thinks, where it lay and what with.
fn beside(find: &Find, sheet: &mut Sheet) {
    let opinions = find.opinions.iter().map(|one| one.said.trim().to_string());
    let opinions: Vec<String> = opinions.collect();
    sheet.put("finder_opinion", opinions.join("; "), Standing::Told(None));
    if let Some(region) = find.region {
        sheet.put("region", region.name(), Standing::Told(None));
    }
    let company = find.company.iter();
    let company: Vec<String> = company
        .map(|one| {
            let said = one.said.trim();
            let counted = said.contains(&one.count.to_string()) || one.count == 1;
            match counted {
                true => said.to_string(),
                false => format!("{} pieces: {said}", one.count),
            }
        })
        .collect();
    sheet.put("found_with", company.join("; "), Standing::Told(None));
}

/// What was said and could not be used, under the name of its field.
fn unused(basis: &Basis<'_>, sheet: &mut Sheet) {
    let mut left: Vec<String> = Vec::new();
    // Words that a coin has no use for may have been understood of a thing.
    let heard = basis
        .thing
        .map_or(String::new(), |one| thing::heard(one.object));
    for remark in basis.remarks {
        let kept = matches!(
            remark.kind,
            RemarkKind::NotUnderstood
                | RemarkKind::WordsAlone
                | RemarkKind::Impossible
                | RemarkKind::Contradiction
                | RemarkKind::Ignored
        );
        let said = remark.said.trim();
        if !kept || said.is_empty() || (!heard.is_empty() && holds(&heard, said)) {
            continue;
        }
        let text = format!("{}: \"{said}\"", remark.field);
        if !left.contains(&text) {
            left.push(text);
        }
    }
    sheet.put("not_used", left.join("; "), Standing::Told(None));
}

/// What is to be said of letters beside the letters.
pub(super) fn notes(find: &Find) -> Vec<String> {
    let backwards = find.readings.iter().filter(|one| one.retrograde);
    backwards
        .map(|one| {
            format!(
                "the letters of the {} run backwards (retrograde)",
                one.side.name()
            )
        })
        .collect()
}
