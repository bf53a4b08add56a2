//! Types: one type as written, with its shared head spread, to one that is linked.
//!
//! Chooses the weight standards that bear on the type where it states no weights.
//! Never guesses at a link: a type that lacks what it is ranked by is left out, with
//! its faults.
//!
//! Invariant: a type is given only with its name, years, period, denomination and metal.

use std::collections::HashMap;

use super::super::fault::Fault;
use super::super::inscribe::Inscriber;
use super::super::raw::{RawFace, RawType, RawWeight};
use super::super::resolved::{
    AxisHabit, Catalogue, CoinType, Common, Denomination, Face, Habit, Standard, WeightPart,
};
use super::links::{Ids, link, span, standing};
use super::words::{AXES, COMMON, COPIES, HABITS, MAKINGS, meaning};
use crate::find::{Making, Region, Span};

/// Links one type.
pub(super) struct Linker<'a> {
    /// The type's file, relative to the library's folder.
    pub(super) file: &'a str,
    /// The type's id.
    pub(super) id: &'a str,
    /// The type's fields, those of its shared head among them.
    pub(super) fields: &'a RawType,
    /// Where the rows it names stand.
    pub(super) ids: &'a Ids,
}

/// Whose a type is, and of what and when, as far as its links lead.
struct Attribution {
    name: Option<String>,
    span: Span,
    period: Option<usize>,
    denomination: Option<usize>,
    ruler: Option<usize>,
    mints: Vec<usize>,
    marks: Vec<usize>,
    metal: Option<usize>,
    common: Option<String>,
}

impl Linker<'_> {
    /// The type, or nothing but faults where a link that ranking needs leads nowhere.
    pub(super) fn coin(
        &self,
        series: usize,
        catalogue: &Catalogue,
        inscriber: &mut Inscriber<'_>,
        faults: &mut Vec<Fault>,
    ) -> Option<CoinType> {
        let fields = self.fields;
        let told = self.attribution(faults)?;
        let span = told.span;
        let denomination = &catalogue.denominations[told.denomination?];
        let standards = self.standards(denomination, span, told.metal, faults);
        let metal = self.metal(told.metal, &standards, faults);
        Some(CoinType {
            id: self.id.to_string(),
            name: told.name?,
            rest: false,
            series,
            period: told.period?,
            ruler: told.ruler,
            denomination: told.denomination?,
            span,
            metal: metal?,
            weights: self.weights(&standards, span, faults),
            diameter: range(fields.diameter, standards.iter().map(|s| s.diameter)),
            thickness: range(fields.thickness, standards.iter().map(|s| s.thickness)),
            axis: self
                .stated("axis", &fields.axis, AXES, faults)
                .unwrap_or(AxisHabit::Unstated),
            made: self
                .stated("made", &fields.made, MAKINGS, faults)
                .unwrap_or(Making::Hammered),
            obverse: self.face("obverse", &fields.obverse, &told.mints, inscriber, faults),
            reverse: self.face("reverse", &fields.reverse, &told.mints, inscriber, faults),
            mints: told.mints,
            edge: fields.edge.clone(),
            marks: told.marks,
            habits: self.habits(faults),
            copy: self.stated("copy", &fields.copy, COPIES, faults),
            common: self
                .stated("common", &told.common, COMMON, faults)
                .unwrap_or(Common::Uncommon),
            regions: {
                let written = fields.regions.iter().flatten();
                written.filter_map(|word| Region::named(word)).collect()
            },
            refs: fields.refs.clone().unwrap_or_default(),
            apart: Vec::new(),
            note: fields.note.clone(),
            sources: fields.sources.clone().unwrap_or_default(),
            standing: standing(fields.grade),
        })
    }

    /// What the type says of its place; nothing where it gives no years.
    fn attribution(&self, faults: &mut Vec<Fault>) -> Option<Attribution> {
        let (fields, ids) = (self.fields, self.ids);
        let name = self.needed("name", &fields.name, faults).cloned();
        let years = self.needed("span", &fields.span, faults).copied();
        let period = self.needed("period", &fields.period, faults);
        let denomination = self.needed("denomination", &fields.denomination, faults);
        let common = self.needed("common", &fields.common, faults).cloned();
        let span = span(years?, self.file, self.id, "span", faults);
        let mut link = |kind: &str, written: Option<&String>, known: &HashMap<String, usize>| {
            written.and_then(|id| self.link(kind, kind, id, known, faults))
        };
        let period = link("period", period, &ids.periods);
        let denomination = link("denomination", denomination, &ids.denominations);
        let ruler = link("ruler", fields.ruler.as_ref(), &ids.rulers);
        let mints = fields
            .mints
            .iter()
            .flatten()
            .filter_map(|mint| self.link("mint", "mints", mint, &ids.mints, faults))
            .collect();
        let marks = self.motif_list("marks", fields.marks.as_deref().unwrap_or(&[]), faults);
        let metal = fields.metal.as_ref();
        let metal = metal.and_then(|m| self.link("metal", "metal", m, &ids.metals, faults));
        Some(Attribution {
            name,
            span,
            period,
            denomination,
            ruler,
            mints,
            marks,
            metal,
            common,
        })
    }

    /// The metal stated, or that of the standards that bear on the type.
    fn metal(
        &self,
        stated: Option<usize>,
        standards: &[&Standard],
        faults: &mut Vec<Fault>,
    ) -> Option<usize> {
        let metal = stated.or_else(|| standards.first().map(|s| s.metal));
        if metal.is_none() {
            self.fault(
                "refs",
                "metal",
                "no standard of the denomination covers these years and no metal is given",
                "write `metal`, or a standard that covers the span",
                faults,
            );
        }
        metal
    }

    fn habits(&self, faults: &mut Vec<Fault>) -> Vec<Habit> {
        let written = self.fields.habits.iter().flatten();
        written
            .filter_map(|habit| self.word("habits", habit, HABITS, faults))
            .collect()
    }

    /// The standards of the denomination that bear on the type: those that share
    /// years with it and agree with its metal.
    fn standards<'d>(
        &self,
        denomination: &'d Denomination,
        span: Span,
        metal: Option<usize>,
        faults: &mut Vec<Fault>,
    ) -> Vec<&'d Standard> {
        let bearing: Vec<&Standard> = denomination
            .standards
            .iter()
            .filter(|s| s.span.overlaps(span) && metal.is_none_or(|m| m == s.metal))
            .collect();
        if metal.is_none() && bearing.iter().any(|s| s.metal != bearing[0].metal) {
            self.fault(
                "refs",
                "metal",
                "the standards of these years are of several metals",
                "write `metal` in the type or in [shared]",
                faults,
            );
        }
        if bearing.is_empty() && self.fields.weights.is_none() && !denomination.standards.is_empty()
        {
            let what = format!(
                "no weight standard of `{}` covers {}",
                denomination.id,
                span.text()
            );
            self.fault(
                "refs",
                "span",
                what,
                "write a standard that does, or `weights` in the type",
                faults,
            );
        }
        bearing
    }

    /// The weights stated, or a mixture of the standards.
    fn weights(
        &self,
        standards: &[&Standard],
        span: Span,
        faults: &mut Vec<Fault>,
    ) -> Vec<WeightPart> {
        if let Some(parts) = &self.fields.weights {
            return self.stated_weights(parts, faults);
        }
        // A type struck under several standards is a mixture, by the years each held.
        let shares: Vec<f64> = standards
            .iter()
            .map(|s| f64::from(s.span.shared_years(span)))
            .collect();
        let total: f64 = shares.iter().sum();
        standards
            .iter()
            .zip(&shares)
            .map(|(s, years)| WeightPart {
                grams: s.weight,
                cv: s.cv,
                share: years / total,
            })
            .collect()
    }

    fn stated_weights(&self, parts: &[RawWeight], faults: &mut Vec<Fault>) -> Vec<WeightPart> {
        let total: f64 = parts.iter().map(|p| p.share).sum();
        if parts.is_empty() || (total - 1.0).abs() > 1e-6 {
            self.fault(
                "ranges",
                "weights",
                format!("the shares sum to {total}"),
                "make the shares sum to 1",
                faults,
            );
            return Vec::new();
        }
        let part = |p: &RawWeight| WeightPart {
            grams: p.g,
            cv: p.cv,
            share: p.share,
        };
        parts.iter().map(part).collect()
    }

    fn face(
        &self,
        field: &str,
        written: &Option<RawFace>,
        mints: &[usize],
        inscriber: &mut Inscriber<'_>,
        faults: &mut Vec<Fault>,
    ) -> Face {
        let Some(written) = written else {
            return Face::default();
        };
        let inscriptions = written.legends.as_ref().map(|legends| {
            let mut borne = Vec::new();
            for id in legends {
                if let Some(legend) = self.link("legend", field, id, &self.ids.legends, faults) {
                    borne.extend(inscriber.inscriptions(legend, mints));
                }
            }
            borne.sort_unstable();
            borne.dedup();
            borne
        });
        let motifs = written
            .motifs
            .as_ref()
            .map(|motifs| self.motif_list(field, motifs, faults));
        Face {
            motifs,
            inscriptions,
        }
    }

    fn motif_list(&self, field: &str, written: &[String], faults: &mut Vec<Fault>) -> Vec<usize> {
        written
            .iter()
            .filter_map(|m| self.link("motif", field, m, &self.ids.motifs, faults))
            .collect()
    }

    /// A field without which a type cannot be ranked.
    fn needed<'t, T>(
        &self,
        field: &str,
        value: &'t Option<T>,
        faults: &mut Vec<Fault>,
    ) -> Option<&'t T> {
        if value.is_none() {
            let what = format!("the type has no {field}");
            self.fault(
                "reads",
                field,
                what,
                "write it in the type or in [shared]",
                faults,
            );
        }
        value.as_ref()
    }

    /// What a field that may be left out says, by the list of its words.
    fn stated<T: Copy>(
        &self,
        field: &str,
        written: &Option<String>,
        known: &[(&str, T)],
        faults: &mut Vec<Fault>,
    ) -> Option<T> {
        let written = written.as_ref();
        written.and_then(|word| self.word(field, word, known, faults))
    }

    fn word<T: Copy>(
        &self,
        field: &str,
        word: &str,
        known: &[(&str, T)],
        faults: &mut Vec<Fault>,
    ) -> Option<T> {
        let found = meaning(known, word);
        if found.is_none() {
            let names: Vec<&str> = known.iter().map(|(name, _)| *name).collect();
            self.fault(
                "reads",
                field,
                format!("`{word}` is not known here"),
                format!("write one of: {}", names.join(", ")),
                faults,
            );
        }
        found
    }

    fn link(
        &self,
        kind: &str,
        field: &str,
        id: &str,
        known: &HashMap<String, usize>,
        faults: &mut Vec<Fault>,
    ) -> Option<usize> {
        link(kind, id, known, (self.file, self.id, field), faults)
    }

    fn fault(
        &self,
        rule: &'static str,
        field: &str,
        what: impl Into<String>,
        mend: impl Into<String>,
        faults: &mut Vec<Fault>,
    ) {
        faults.push(Fault::at(rule, self.file, self.id, field, what, mend));
    }
}

/// The range stated, or the least and the greatest of the standards' ranges.
fn range(
    stated: Option<[f64; 2]>,
    standards: impl Iterator<Item = Option<(f64, f64)>>,
) -> Option<(f64, f64)> {
    let hull = |a: (f64, f64), b: (f64, f64)| (a.0.min(b.0), a.1.max(b.1));
    let stated = stated.map(|[least, most]| (least, most));
    stated.or_else(|| standards.flatten().reduce(hull))
}
