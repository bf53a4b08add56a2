//! The description in sentences, in the customary order.
//!
//! Made of the fields and of nothing else; what is inferred says how sure it is, what is open or
//! blank is left out.
//!
//! Invariant: no value stands in it that does not stand in a field.

use super::draft::{Field, Kind, Standing};
use super::sheet::Sheet;
use crate::score::words_of_confidence;

/// The description of a draft.
pub(super) fn of(kind: Kind, sheet: &Sheet) -> String {
    let mut sentences = match kind {
        Kind::Coin => coin(sheet),
        Kind::Artefact => artefact(sheet),
        Kind::Group => group(sheet),
    };
    sentences.push(place(sheet));
    sentences.retain(|sentence| !sentence.is_empty());
    let whole: Vec<String> = sentences.iter().map(|one| ended(one)).collect();
    whole.join(" ")
}

fn ended(sentence: &str) -> String {
    let mut letters = sentence.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    let sentence = first.unwrap_or_default() + letters.as_str();
    match sentence.ends_with(['.', '?', '!']) {
        true => sentence,
        false => sentence + ".",
    }
}

/// A field's value with how sure it is; none where it is open or blank.
fn told(name: &str, sheet: &Sheet) -> Option<String> {
    let field = sheet.get(name)?;
    Some(match &field.standing {
        Standing::Inferred(chance) => {
            format!("{} ({})", field.value, words_of_confidence(*chance))
        }
        Standing::Open | Standing::Blank => return None,
        _ => field.value.clone(),
    })
}

/// A field's value alone.
fn bare<'s>(name: &str, sheet: &'s Sheet) -> Option<&'s str> {
    let field = sheet.get(name)?;
    let open = matches!(field.standing, Standing::Open | Standing::Blank);
    (!open).then_some(field.value.as_str())
}

/// The words of a step of a scale, or all of the value: "worn" of "W-A 3 (worn)".
fn in_words(value: &str) -> &str {
    let inner = value.split_once('(').map(|(_, rest)| rest);
    let inner = inner.and_then(|rest| rest.split_once(')'));
    inner.map_or(value, |(words, _)| words)
}

fn coin(sheet: &Sheet) -> Vec<String> {
    let mut first: Vec<String> = Vec::new();
    first.extend(bare("completeness", sheet).map(|one| as_taken(one).to_string()));
    first.extend(bare("wear", sheet).map(|wear| in_words(wear).to_string()));
    first.extend(treatments(sheet));
    let mut head = first.join(", ");
    push(
        &mut head,
        " ",
        told("material", sheet).map(|one| as_taken(&one).to_string()),
    );
    push(&mut head, " ", told("denomination", sheet));
    if bare("denomination", sheet).is_none() {
        push(&mut head, " ", told("object_type", sheet));
    }
    push(&mut head, " of ", told("ruler", sheet));
    // The reign stands behind the ruler already.
    let reign = bare("ruler", sheet).zip(bare("date", sheet));
    if !reign.is_some_and(|(ruler, date)| ruler.ends_with(&format!("({date})"))) {
        push(&mut head, ", dated ", told("date", sheet));
    }
    let mut sentences = vec![head];
    sentences.extend(told("mint", sheet).map(|mint| format!("mint of {mint}")));
    sentences.extend(told("moneyer", sheet).map(|name| format!("moneyer {name}")));
    sentences.extend(told("reference", sheet));
    sentences.push(face("obverse", sheet));
    sentences.push(face("reverse", sheet));
    sentences.extend(loose(sheet));
    sentences.extend(told("die_axis", sheet).map(|axis| format!("die axis {axis}")));
    sentences.push(state(sheet));
    sentences.push(measures(&["diameter", "thickness", "weight"], sheet));
    sentences
}

fn push(head: &mut String, before: &str, value: Option<String>) {
    let Some(value) = value else {
        return;
    };
    if !head.is_empty() {
        head.push_str(before);
    }
    head.push_str(&value);
}

/// A value without the words it was taken from, which stand in its field.
fn as_taken(value: &str) -> &str {
    value.split_once(": \"").map_or(value, |(taken, _)| taken)
}

fn treatments(sheet: &Sheet) -> Vec<String> {
    let words = as_taken(bare("treatment", sheet).unwrap_or_default());
    let words = words.split("; ").filter(|word| !word.is_empty());
    words
        .filter(|word| !word.starts_with("not "))
        .map(str::to_string)
        .collect()
}

/// What a face shows and what is written on it.
fn face(side: &str, sheet: &Sheet) -> String {
    let get = |what: &str| told(&format!("{side}_{what}"), sheet);
    let mut parts: Vec<String> = Vec::new();
    match get("description") {
        Some(seen) => parts.push(seen),
        None => parts.extend(get("type").map(|type_shows| format!("as the type: {type_shows}"))),
    }
    parts.extend(get("legend").map(|read| format!("reads {read}")));
    parts.extend(get("legend_restored").map(|whole| format!("restored {whole}")));
    match parts.is_empty() {
        true => String::new(),
        false => format!("{side}: {}", parts.join("; ")),
    }
}

/// What is shown and written on a side that is not known.
fn loose(sheet: &Sheet) -> Vec<String> {
    let seen = told("description", sheet).map(|seen| format!("side not known: {seen}"));
    let read = told("legend", sheet).map(|read| format!("side not known: reads {read}"));
    seen.into_iter().chain(read).collect()
}

fn state(sheet: &Sheet) -> String {
    let wear = told("wear", sheet).map(|wear| format!("wear {wear}"));
    let corrosion = told("corrosion", sheet).map(|one| format!("corrosion {one}"));
    let parts: Vec<String> = wear.into_iter().chain(corrosion).collect();
    parts.join(", ")
}

fn measures(names: &[&str], sheet: &Sheet) -> String {
    let measured = names.iter().filter_map(|name| {
        let value = told(name, sheet)?;
        Some(format!("{name} {value}"))
    });
    measured.collect::<Vec<_>>().join(", ")
}

fn artefact(sheet: &Sheet) -> Vec<String> {
    let mut head = String::new();
    for name in ["completeness", "manufacture", "material"] {
        push(
            &mut head,
            " ",
            told(name, sheet).map(|one| as_taken(&one).to_string()),
        );
    }
    let thing = told("object_type", sheet).unwrap_or_else(|| "object".into());
    push(&mut head, " ", Some(thing));
    push(&mut head, ", ", told("period", sheet));
    push(&mut head, ", ", told("date", sheet));
    let mut sentences = vec![head];
    sentences.extend(told("reference", sheet).map(|kind| {
        let by = bare("typology", sheet).map_or(String::new(), |by| format!(", typology of {by}"));
        format!("type {kind}{by}")
    }));
    sentences.extend(told("features", sheet));
    let views = bare("shape", sheet).unwrap_or_default();
    sentences.extend(views.split("; ").map(str::to_string));
    sentences.push(face("obverse", sheet).replacen("obverse", "front", 1));
    sentences.push(face("reverse", sheet).replacen("reverse", "back", 1));
    sentences.extend(loose(sheet));
    for name in ["decoration", "attachment", "damage", "surface"] {
        sentences.extend(told(name, sheet));
    }
    sentences.extend(told("treatment", sheet));
    sentences.push(state(sheet));
    let sizes = [
        "length",
        "width",
        "height",
        "thickness",
        "diameter",
        "weight",
    ];
    sentences.push(measures(&sizes, sheet));
    sentences.extend(told("parallels", sheet).map(|like| format!("parallels: {like}")));
    sentences.extend(told("interpretation", sheet));
    sentences
}

fn group(sheet: &Sheet) -> Vec<String> {
    let made = told("kinds", sheet).map(|kinds| format!("group of {kinds}"));
    let mut sentences: Vec<String> = made.into_iter().collect();
    sentences.extend(told("container", sheet).map(|held| format!("container: {held}")));
    sentences.extend(told("date", sheet).map(|years| format!("its pieces are of {years}")));
    let closed = told("closed", sheet);
    sentences.extend(closed.map(|year| format!("not closed before {year}")));
    sentences.extend(told("weighed", sheet).map(|weighed| format!("weighed: {weighed}")));
    sentences.extend(told("lay", sheet).map(|lay| format!("how the pieces lay: {lay}")));
    sentences
}

/// How and on what land it was found, and how finely the place is stated: never the place.
fn place(sheet: &Sheet) -> String {
    let stated = |field: &Field| format!("findspot stated to {}", field.value);
    let parts = [
        told("method", sheet),
        told("landuse", sheet),
        sheet.get("findspot_precision").map(stated),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join("; ")
}
