//! Rule `twice`: nothing is said twice.
//!
//! Demands that a type does not restate a value its `[shared]` head gives (the
//! motifs and the legends of a face count singly); that no list names an entry
//! twice; that no word of a row repeats another or the row's own name; and that a
//! legend stands under one id. Legends are compared in one script, letters folded,
//! blanks and stops dropped; a break in another place makes another legend, since a
//! finder can see it. Artefact types are held to the same.
//!
//! Why: of two copies of a fact one will be corrected.
//!
//! To mend: keep one and take the other out.

use std::collections::HashMap;

use super::super::fault::Fault;
use super::super::inscribe::{MINT_SLOT, glyphs};
use super::super::raw::{RawFace, RawType};
use super::super::resolved::Glyph;
use super::{AnyRow, Library, artefacts, plain, repeated};

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    for coin in &library.types {
        for field in restated(coin.own, coin.shared) {
            let what = format!("`{field}` says what [shared] says");
            let mend = format!("take `{field}` out");
            let field = field.split('.').next().unwrap_or(field);
            faults.push(coin.fault("twice", field, what, mend));
        }
        type_lists(coin.file, coin.id, coin.own, &mut faults);
    }
    for series in library.raw.series.iter().chain(&library.raw.attic) {
        type_lists(&series.file, "shared", &series.shared, &mut faults);
    }
    row_lists(library, &mut faults);
    for row in &library.rows {
        row_words(row, &mut faults);
    }
    legends(library, &mut faults);
    faults.extend(artefacts::twice::check(library));
    faults
}

/// A row's words, against one another and its name.
fn row_words(row: &AnyRow<'_>, faults: &mut Vec<Fault>) {
    let said: Vec<String> = row.words.iter().map(|word| plain(word)).collect();
    list((row.file, row.id, "words"), &said, faults);
    if let Some(name) = said.iter().find(|word| **word == plain(row.name)) {
        let what = format!("the word \"{name}\" is the row's own name");
        let mend = "take it out of `words`; a name is a word already";
        faults.push(Fault::at("twice", row.file, row.id, "words", what, mend));
    }
}

/// Fields of a type that equal the shared head's.
fn restated(own: &RawType, shared: &RawType) -> Vec<&'static str> {
    fn same<T: PartialEq>(own: &Option<T>, shared: &Option<T>) -> bool {
        own.is_some() && own == shared
    }
    let none = RawFace::default();
    let (front, back) = (own.obverse.as_ref(), own.reverse.as_ref());
    let (front, back) = (front.unwrap_or(&none), back.unwrap_or(&none));
    let (head, tail) = (shared.obverse.as_ref(), shared.reverse.as_ref());
    let (head, tail) = (head.unwrap_or(&none), tail.unwrap_or(&none));
    let fields = [
        ("span", same(&own.span, &shared.span)),
        ("period", same(&own.period, &shared.period)),
        ("ruler", same(&own.ruler, &shared.ruler)),
        (
            "denomination",
            same(&own.denomination, &shared.denomination),
        ),
        ("metal", same(&own.metal, &shared.metal)),
        ("mints", same(&own.mints, &shared.mints)),
        ("weights", same(&own.weights, &shared.weights)),
        ("diameter", same(&own.diameter, &shared.diameter)),
        ("thickness", same(&own.thickness, &shared.thickness)),
        ("axis", same(&own.axis, &shared.axis)),
        ("made", same(&own.made, &shared.made)),
        ("obverse.motifs", same(&front.motifs, &head.motifs)),
        ("obverse.legends", same(&front.legends, &head.legends)),
        ("reverse.motifs", same(&back.motifs, &tail.motifs)),
        ("reverse.legends", same(&back.legends, &tail.legends)),
        ("edge", same(&own.edge, &shared.edge)),
        ("marks", same(&own.marks, &shared.marks)),
        ("habits", same(&own.habits, &shared.habits)),
        ("copy", same(&own.copy, &shared.copy)),
        ("common", same(&own.common, &shared.common)),
        ("regions", same(&own.regions, &shared.regions)),
        ("ref", same(&own.refs, &shared.refs)),
        ("outside", same(&own.outside, &shared.outside)),
        ("apart", same(&own.apart, &shared.apart)),
        ("note", same(&own.note, &shared.note)),
        ("sources", same(&own.sources, &shared.sources)),
        ("grade", same(&own.grade, &shared.grade)),
    ];
    fields
        .into_iter()
        .filter(|(_, same)| *same)
        .map(|(field, _)| field)
        .collect()
}

/// A fault when a list names an entry twice.
fn list<T: AsRef<str>>(at: (&str, &str, &str), entries: &[T], faults: &mut Vec<Fault>) {
    if let Some(entry) = repeated(entries) {
        let what = format!("`{entry}` stands twice");
        faults.push(Fault::at("twice", at.0, at.1, at.2, what, "take one out"));
    }
}

fn type_lists(file: &str, id: &str, coin: &RawType, faults: &mut Vec<Fault>) {
    let lists = [
        ("mints", &coin.mints),
        ("marks", &coin.marks),
        ("habits", &coin.habits),
        ("regions", &coin.regions),
        ("ref", &coin.refs),
        ("sources", &coin.sources),
    ];
    for (field, entries) in lists {
        list((file, id, field), entries.as_deref().unwrap_or(&[]), faults);
    }
    for (field, face) in [("obverse", &coin.obverse), ("reverse", &coin.reverse)] {
        let Some(face) = face else { continue };
        list(
            (file, id, field),
            face.motifs.as_deref().unwrap_or(&[]),
            faults,
        );
        list(
            (file, id, field),
            face.legends.as_deref().unwrap_or(&[]),
            faults,
        );
    }
    let neighbours = coin.apart.iter().flatten();
    let neighbours: Vec<String> = neighbours.map(|apart| apart.from.clone()).collect();
    list((file, id, "apart"), &neighbours, faults);
}

fn row_lists(library: &Library<'_>, faults: &mut Vec<Fault>) {
    for row in &library.rows {
        list((row.file, row.id, "sources"), row.sources, faults);
    }
    for row in &library.raw.denominations {
        for standard in &row.fields.standards {
            list((&row.file, &row.id, "standards"), &standard.sources, faults);
        }
    }
    for row in &library.raw.rulers {
        list((&row.file, &row.id, "members"), &row.fields.members, faults);
    }
    for row in &library.raw.mints {
        list((&row.file, &row.id, "struck"), &row.fields.struck, faults);
    }
    for row in &library.raw.motifs {
        list((&row.file, &row.id, "under"), &row.fields.under, faults);
        list((&row.file, &row.id, "parts"), &row.fields.parts, faults);
    }
}

/// Legends that read alike under two ids. A variant need only differ from its text in
/// how it is written: forms that read alike are made one when legends are filled in.
fn legends(library: &Library<'_>, faults: &mut Vec<Fault>) {
    let mut first: HashMap<(&str, Vec<Glyph>), &str> = HashMap::new();
    for row in &library.raw.legends {
        let legend = &row.fields;
        let at = (row.file.as_str(), row.id.as_str());
        let text = letters(&legend.text);
        let forms: Vec<&String> = [&legend.text].into_iter().chain(&legend.variants).collect();
        list((at.0, at.1, "variants"), &forms, faults);
        if let Some(other) = first.insert((&legend.script, text), at.1) {
            let what = format!("the text reads like that of `{other}`");
            let mend = "keep one of the two and name it in the types";
            faults.push(Fault::at("twice", at.0, at.1, "text", what, mend));
        }
    }
}

/// What is read of a text; the mint's place is kept as a sign no legend holds.
fn letters(text: &str) -> Vec<Glyph> {
    let slot = '\u{1}';
    let parts = text.split(MINT_SLOT).map(glyphs);
    let joined = parts.reduce(|mut whole, part| {
        whole.push(Glyph::Letter(slot));
        whole.extend(part);
        whole
    });
    joined.unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn legends_are_compared_by_what_is_read() {
        assert_eq!(letters("+ EDW. R' ANGL"), letters("EDW R ANGL"));
        assert_ne!(letters("EDW R / ANGL"), letters("EDW R ANGL"));
        assert_ne!(letters("CIVI {mint}"), letters("CIVI"));
        assert_ne!(letters("* ON {mint}"), letters("ON {mint}"));
    }
}
