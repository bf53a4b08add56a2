//! The artefacts linked: classes, words of form and types, over a catalogue already linked.
//!
//! Collects all faults and leaves out a type that cannot be linked, so the rest still answers.
//! Reads the catalogue's periods, metals and motifs and changes nothing in it.
//!
//! Invariant: every position in what is made here is that of a row it holds, or of one of the
//! catalogue it was linked over.

use std::collections::{HashMap, HashSet};

use super::super::artefacts::{Artefacts, Class, Facet, Form};
use super::super::fault::Fault;
use super::super::raw::{RawArtefact, RawArtefacts, RawClass, RawForm, Row};
use super::super::resolved::{Apart, Catalogue, Series};
use super::super::spread::spread_artefact;
use super::super::wording::Wording;
use super::artefact::Linker;
use super::links::{link, positions, standing};
use super::reckoned;
use super::tables::{ancestors, period};
use super::words::{CAUTIONS, DIMENSIONS, FACETS, meaning};

/// The linked artefacts and the faults met in linking them.
pub fn resolve_artefacts(raw: &RawArtefacts, catalogue: &Catalogue) -> (Artefacts, Vec<Fault>) {
    let mut faults = Vec::new();
    let ids = Ids::of(raw, catalogue);
    let own = raw.periods.iter().map(|row| period(row, &mut faults));
    let mut artefacts = Artefacts {
        periods: catalogue.periods.iter().cloned().chain(own).collect(),
        ..Artefacts::default()
    };
    artefacts.classes = classes(&raw.classes, &ids, &mut faults);
    artefacts.forms = forms(&raw.forms, &ids, &mut faults);
    artefacts.form_places = ids.forms.clone();
    artefacts.standards = reckoned::standards(&raw.standards, &mut faults);
    artefacts.arms = reckoned::arms(&raw.arms, &mut faults);
    artefacts.headstamps = reckoned::headstamps(&raw.headstamps, &mut faults);
    let neighbours = types(raw, &ids, &mut artefacts, &mut faults);
    link_neighbours(neighbours, &mut artefacts, &mut faults);
    link_said(raw, &artefacts, &mut faults);
    artefacts.wording = Wording::read(&raw.wording, &artefacts).0;
    (artefacts, faults)
}

/// Positions of ids, one map a kind of table.
pub(super) struct Ids {
    pub(super) periods: HashMap<String, usize>,
    pub(super) metals: HashMap<String, usize>,
    pub(super) motifs: HashMap<String, usize>,
    pub(super) classes: HashMap<String, usize>,
    pub(super) forms: HashMap<String, usize>,
    /// Ids of the forms that may be decoration.
    pub(super) decorative: HashSet<String>,
}

impl Ids {
    pub(super) fn of(raw: &RawArtefacts, catalogue: &Catalogue) -> Ids {
        let coined = catalogue.periods.iter().map(|period| &period.id);
        let periods = coined.chain(raw.periods.iter().map(|row| &row.id));
        let metals = catalogue.metals.iter().map(|metal| &metal.id);
        let placed = |(position, id): (usize, &String)| (id.clone(), position);
        Ids {
            periods: periods.enumerate().map(placed).collect(),
            metals: metals.enumerate().map(placed).collect(),
            motifs: catalogue.motif_places.clone(),
            classes: positions(&raw.classes),
            forms: positions(&raw.forms),
            decorative: raw
                .forms
                .iter()
                .filter(|row| matches!(row.fields.facet.as_str(), "technique" | "motif"))
                .map(|row| row.id.clone())
                .collect(),
        }
    }
}

/// A list of ids to the positions of those that are known.
fn linked(
    kind: &str,
    written: &[String],
    known: &HashMap<String, usize>,
    at: (&str, &str, &str),
    faults: &mut Vec<Fault>,
) -> Vec<usize> {
    let links = written.iter();
    links
        .filter_map(|id| link(kind, id, known, at, faults))
        .collect()
}

/// What a word of a fixed list means, or a fault that names the list.
pub(super) fn listed<T: Copy>(
    known: &[(&str, T)],
    word: &str,
    at: (&str, &str, &str),
    faults: &mut Vec<Fault>,
) -> Option<T> {
    let found = meaning(known, word);
    if found.is_none() {
        let names: Vec<&str> = known.iter().map(|(name, _)| *name).collect();
        let what = format!("`{word}` is not known here");
        let mend = format!("write one of: {}", names.join(", "));
        faults.push(Fault::at("reads", at.0, at.1, at.2, what, mend));
    }
    found
}

fn classes(rows: &[Row<RawClass>], ids: &Ids, faults: &mut Vec<Fault>) -> Vec<Class> {
    let class = |row: &Row<RawClass>, faults: &mut Vec<Fault>| {
        let f = &row.fields;
        let at = |field| (row.file.as_str(), row.id.as_str(), field);
        let sizes = f.sizes.iter();
        let caution = f.caution.as_ref();
        Class {
            id: row.id.clone(),
            name: f.name.clone(),
            under: linked("class", &f.under, &ids.classes, at("under"), faults),
            ancestors: Vec::new(),
            words: f.words.clone(),
            parts: linked("form", &f.parts, &ids.forms, at("parts"), faults),
            sizes: sizes
                .filter_map(|word| listed(DIMENSIONS, word, at("sizes"), faults))
                .collect(),
            along: f.along.clone(),
            caution: caution.and_then(|word| listed(CAUTIONS, word, at("caution"), faults)),
            sources: f.sources.clone(),
            standing: standing(f.grade),
        }
    };
    let mut classes: Vec<Class> = rows.iter().map(|row| class(row, faults)).collect();
    let under: Vec<Vec<usize>> = classes.iter().map(|class| class.under.clone()).collect();
    let ancestors = above(rows, &under, "class", faults);
    for (class, ancestors) in classes.iter_mut().zip(ancestors) {
        class.ancestors = ancestors;
    }
    classes
}

fn forms(rows: &[Row<RawForm>], ids: &Ids, faults: &mut Vec<Fault>) -> Vec<Form> {
    let form = |row: &Row<RawForm>, faults: &mut Vec<Fault>| {
        let f = &row.fields;
        let at = |field| (row.file.as_str(), row.id.as_str(), field);
        // A facet that is none costs the word its place, not the types their links.
        let facet = listed(FACETS, &f.facet, at("facet"), faults).unwrap_or(Facet::Feature);
        Form {
            id: row.id.clone(),
            name: f.name.clone(),
            facet,
            of: linked("form", &f.of, &ids.forms, at("of"), faults),
            under: linked("form", &f.under, &ids.forms, at("under"), faults),
            ancestors: Vec::new(),
            words: f.words.clone(),
            sources: f.sources.clone(),
            standing: standing(f.grade),
        }
    };
    let mut forms: Vec<Form> = rows.iter().map(|row| form(row, faults)).collect();
    let under: Vec<Vec<usize>> = forms.iter().map(|form| form.under.clone()).collect();
    let ancestors = above(rows, &under, "concept", faults);
    for (form, ancestors) in forms.iter_mut().zip(ancestors) {
        form.ancestors = ancestors;
    }
    forms
}

/// All ancestors of each row, and a fault for each that is its own.
fn above<T>(
    rows: &[Row<T>],
    under: &[Vec<usize>],
    what: &str,
    faults: &mut Vec<Fault>,
) -> Vec<Vec<usize>> {
    let mut all = Vec::with_capacity(rows.len());
    for (position, row) in rows.iter().enumerate() {
        let mut ancestors = ancestors(position, under);
        if ancestors.contains(&position) {
            let what = format!("the {what} is its own ancestor");
            let mend = "take one parent out of the circle";
            faults.push(Fault::at("refs", &row.file, &row.id, "under", what, mend));
            ancestors.retain(|ancestor| *ancestor != position);
        }
        all.push(ancestors);
    }
    all
}

/// A neighbour named by a type, to be linked when all types are known.
struct Neighbour<'r> {
    file: &'r str,
    of: usize,
    from: String,
    by: String,
}

fn types<'r>(
    raw: &'r RawArtefacts,
    ids: &Ids,
    artefacts: &mut Artefacts,
    faults: &mut Vec<Fault>,
) -> Vec<Neighbour<'r>> {
    let mut neighbours = Vec::new();
    for (series, written) in raw.series.iter().enumerate() {
        let stem = written.file.rsplit('/').next().unwrap_or("");
        let stem = stem.trim_end_matches(".toml").to_string();
        let name = written.shared.series.clone();
        artefacts.series.push(Series {
            name: name.unwrap_or_else(|| stem.clone()),
            id: stem,
        });
        let own = written.types.iter();
        let mut whole: Vec<(&String, RawArtefact)> = own
            .map(|(id, own)| (id, spread_artefact(&written.shared, own)))
            .collect();
        whole.sort_by_key(|(id, fields)| (fields.span.map(|span| span[0]), *id));
        for (id, fields) in whole {
            let linker = Linker {
                file: &written.file,
                id,
                fields: &fields,
                ids,
            };
            let Some(artefact) = linker.artefact(series, faults) else {
                continue;
            };
            let of = artefacts.types.len();
            neighbours.extend(fields.apart.into_iter().flatten().map(|apart| Neighbour {
                file: &written.file,
                of,
                from: apart.from,
                by: apart.by,
            }));
            artefacts.types.push(artefact);
        }
    }
    neighbours
}

/// Position of each type by its id.
fn places(artefacts: &Artefacts) -> HashMap<String, usize> {
    let types = artefacts.types.iter().enumerate();
    types.map(|(at, one)| (one.id.clone(), at)).collect()
}

/// Holds what finders might say to the types and periods that it is said of.
fn link_said(raw: &RawArtefacts, artefacts: &Artefacts, faults: &mut Vec<Fault>) {
    let known = places(artefacts);
    for row in &raw.said {
        link("type", &row.id, &known, (&row.file, &row.id, ""), faults);
    }
    let periods = artefacts.periods.iter().enumerate();
    let known = periods.map(|(at, one)| (one.id.clone(), at)).collect();
    for row in &raw.told {
        link("period", &row.id, &known, (&row.file, &row.id, ""), faults);
    }
}

fn link_neighbours(
    neighbours: Vec<Neighbour<'_>>,
    artefacts: &mut Artefacts,
    faults: &mut Vec<Fault>,
) {
    let known = places(artefacts);
    for n in neighbours {
        let id = artefacts.types[n.of].id.clone();
        if let Some(from) = link("type", &n.from, &known, (n.file, &id, "apart"), faults) {
            artefacts.types[n.of].apart.push(Apart { from, by: n.by });
        }
    }
}
