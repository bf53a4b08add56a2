//! Entries of the tables that date by themselves, put into words once.
//!
//! Names of rulers, mints and denominations are filled in where the library has them. Judges
//! nothing; the rule `tables` demands what each table needs.
//!
//! Invariant: entries stand in the order of their files.

use super::super::dated::Entry;
use super::super::raw::{RawEntry, RawLibrary, Row};
use super::super::resolved::Catalogue;
use super::links::standing;
use crate::find::Span;

/// The entries of a library.
pub(super) fn entries(raw: &RawLibrary, catalogue: &Catalogue) -> Vec<Entry> {
    raw.tables.iter().map(|row| entry(row, catalogue)).collect()
}

fn entry(row: &Row<RawEntry>, catalogue: &Catalogue) -> Entry {
    let f = &row.fields;
    let stem = row.file.rsplit('/').next().unwrap_or("");
    Entry {
        table: stem.trim_end_matches(".toml").to_string(),
        id: row.id.clone(),
        seen: seen(f, catalogue),
        of: whose(f, catalogue),
        when: when(f),
        more: more(f, catalogue),
        standing: standing(f.grade),
        sources: f.sources.clone(),
    }
}

fn seen(f: &RawEntry, catalogue: &Catalogue) -> Vec<String> {
    let mark = f.mark.iter().map(|mark| {
        let motif = catalogue.motif_by_id(mark);
        motif.map_or_else(
            || mark.clone(),
            |motif| catalogue.motifs[motif].name.clone(),
        )
    });
    mark.chain(f.marks.iter().cloned())
        .chain(f.signs.iter().cloned())
        .collect()
}

fn whose(f: &RawEntry, catalogue: &Catalogue) -> String {
    let ruler = f.ruler.as_ref().map(|id| {
        let known = catalogue.rulers.iter().find(|ruler| ruler.id == *id);
        known.map_or_else(|| id.clone(), |ruler| ruler.name.clone())
    });
    let mint = f.mint.as_ref().map(|id| {
        let known = catalogue.mints.iter().find(|mint| mint.id == *id);
        known.map_or_else(|| id.clone(), |mint| mint.name.clone())
    });
    let parts = [
        f.name.clone(),
        ruler,
        f.authority.clone(),
        mint,
        f.realm.clone(),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn when(f: &RawEntry) -> String {
    if let Some([from, to]) = f.span {
        return Span::new(from, to).map_or_else(|| format!("{from} to {to}"), Span::text);
    }
    let ends = [f.from.as_deref(), f.to.as_deref()];
    ends.map(|end| end.unwrap_or("")).join(" to ")
}

fn more(f: &RawEntry, catalogue: &Catalogue) -> Vec<String> {
    let mut more = Vec::new();
    if !f.denominations.is_empty() {
        let name = |id: &String| {
            let known = catalogue.denominations.iter().find(|d| d.id == *id);
            known.map_or_else(|| id.clone(), |d| d.name.clone())
        };
        more.push(
            f.denominations
                .iter()
                .map(name)
                .collect::<Vec<_>>()
                .join(", "),
        );
    }
    if !f.officinae.is_empty() {
        more.push(format!("workshops {}", f.officinae.join(" ")));
    }
    if let (Some(count), Some(pound)) = (f.to_the_pound, &f.pound) {
        more.push(format!("{count} to the {pound} pound"));
    }
    more.extend(f.per_mill.map(|share| format!("{share} per mill of finds")));
    more.extend(f.weight.map(|weight| format!("{weight} g")));
    more.extend(f.fineness.map(|fineness| format!("{fineness} fine")));
    let words = [&f.how, &f.found, &f.law, &f.note];
    more.extend(words.into_iter().flatten().cloned());
    more
}
