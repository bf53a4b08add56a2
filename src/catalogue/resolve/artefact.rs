//! Artefact types: one as written, with its shared head spread, to one that is linked.
//!
//! Never guesses at a link: a type that lacks what it is known by is left out, with its faults.
//! Whether a word of form may stand where it stands is the business of the rule `shapes`.
//!
//! Invariant: a type is given only with its name, class, group, period, years, material and sizes.

use super::super::artefacts::{ArtefactType, Decoration, Sizes};
use super::super::fault::Fault;
use super::super::raw::RawArtefact;
use super::artefacts::{Ids, listed};
use super::links::{link, span, standing};
use super::words::{COMMON, MADE};
use crate::find::Region;

/// Links one artefact type.
pub(super) struct Linker<'a> {
    /// The type's file, relative to the library's folder.
    pub(super) file: &'a str,
    /// The type's id.
    pub(super) id: &'a str,
    /// The type's fields, those of its shared head among them.
    pub(super) fields: &'a RawArtefact,
    /// Where the rows it names stand.
    pub(super) ids: &'a Ids,
}

impl Linker<'_> {
    /// The type, or nothing but faults where a link that it needs leads nowhere.
    pub(super) fn artefact(&self, series: usize, faults: &mut Vec<Fault>) -> Option<ArtefactType> {
        let f = self.fields;
        let name = self.needed("name", &f.name, faults).cloned();
        let class = self.needed("class", &f.class, faults);
        let class =
            class.and_then(|id| link("class", id, &self.ids.classes, self.at("class"), faults));
        let group = self.needed("group", &f.group, faults).cloned();
        let period = self.needed("period", &f.period, faults);
        let period =
            period.and_then(|id| link("period", id, &self.ids.periods, self.at("period"), faults));
        let years = self.needed("span", &f.span, faults);
        let years = years.map(|years| span(*years, self.file, self.id, "span", faults));
        let materials = self.needed("materials", &f.materials, faults);
        let materials = materials.map(|ids| self.metals(ids, faults));
        let sizes = self.needed("sizes", &f.sizes, faults);
        let common = self.needed("common", &f.common, faults);
        let common = common.and_then(|word| listed(COMMON, word, self.at("common"), faults));
        let made = f.made.as_ref();
        let made = made.and_then(|word| listed(MADE, word, self.at("made"), faults));
        let regions = f.regions.iter().flatten();
        Some(ArtefactType {
            id: self.id.to_string(),
            outline: self.forms("outline", &f.outline, faults),
            section: self.forms("section", &f.section, faults),
            has: self.forms("has", &f.has, faults),
            may: self.forms("may", &f.may, faults),
            lacks: self.forms("lacks", &f.lacks, faults),
            decoration: self.decoration(faults),
            survives: self.forms("survives", &f.survives, faults),
            name: name?,
            class: class?,
            group: group?,
            series,
            period: period?,
            span: years?,
            materials: materials?,
            typology: f.typology.clone(),
            made,
            sizes: Sizes(
                sizes?
                    .all()
                    .map(|range| range.map(|[least, most]| (least, most))),
            ),
            weight: f.weight.map(|[least, most]| (least, most)),
            letters: f.letters.clone().unwrap_or_default(),
            common: common?,
            regions: regions.filter_map(|word| Region::named(word)).collect(),
            refs: f.refs.clone().unwrap_or_default(),
            apart: Vec::new(),
            note: f.note.clone(),
            sources: f.sources.clone().unwrap_or_default(),
            standing: standing(f.grade),
        })
    }

    fn at<'s>(&'s self, field: &'s str) -> (&'s str, &'s str, &'s str) {
        (self.file, self.id, field)
    }

    /// A field without which a type cannot be told from others.
    fn needed<'t, T>(
        &self,
        field: &str,
        value: &'t Option<T>,
        faults: &mut Vec<Fault>,
    ) -> Option<&'t T> {
        if value.is_none() {
            let what = format!("the type has no {field}");
            let mend = match field {
                "name" | "group" | "span" => "write it in the type",
                _ => "write it in the type or in [shared]",
            };
            faults.push(Fault::at("reads", self.file, self.id, field, what, mend));
        }
        value.as_ref()
    }

    fn metals(&self, written: &[String], faults: &mut Vec<Fault>) -> Vec<usize> {
        let metals = written.iter();
        let at = self.at("materials");
        metals
            .filter_map(|id| link("metal", id, &self.ids.metals, at, faults))
            .collect()
    }

    fn forms(
        &self,
        field: &str,
        written: &Option<Vec<String>>,
        faults: &mut Vec<Fault>,
    ) -> Vec<usize> {
        let forms = written.iter().flatten();
        forms
            .filter_map(|id| self.form(field, id, faults))
            .collect()
    }

    /// The form of an id; a coin's motif is told where it belongs.
    fn form(&self, field: &str, id: &str, faults: &mut Vec<Fault>) -> Option<usize> {
        let known = self.ids.forms.get(id).copied();
        if known.is_none() && self.ids.motifs.contains_key(id) {
            let what = format!("`{id}` is a motif of coins, no form");
            let mend = "name it under `decoration`";
            faults.push(Fault::at("refs", self.file, self.id, field, what, mend));
            return None;
        }
        known.or_else(|| link("form", id, &self.ids.forms, self.at(field), faults))
    }

    /// What is usual on the type. Where a part has the id of a motif of coins, the motif is meant.
    fn decoration(&self, faults: &mut Vec<Fault>) -> Vec<Decoration> {
        let ids = self.ids;
        let at = self.at("decoration");
        let mut one = |id: &String| {
            let motif = ids.motifs.get(id).copied().map(Decoration::Motif);
            match motif.filter(|_| !ids.decorative.contains(id)) {
                Some(motif) => Some(motif),
                None => link("form", id, &ids.forms, at, faults).map(Decoration::Form),
            }
        };
        let written = self.fields.decoration.iter().flatten();
        written.filter_map(&mut one).collect()
    }
}
