//! The shared head of a series spread over its types.
//!
//! One level only; what a type says for itself stands. Faces are spread field by
//! field, so a type may name its legend and keep the shared motifs.

use super::raw::{RawArtefact, RawFace, RawType};

/// A type with what it leaves unsaid filled in from the shared head.
pub(super) fn spread(shared: &RawType, own: &RawType) -> RawType {
    let own = own.clone();
    RawType {
        series: shared.series.clone(),
        name: own.name,
        span: own.span.or(shared.span),
        period: own.period.or_else(|| shared.period.clone()),
        ruler: own.ruler.or_else(|| shared.ruler.clone()),
        denomination: own.denomination.or_else(|| shared.denomination.clone()),
        metal: own.metal.or_else(|| shared.metal.clone()),
        mints: own.mints.or_else(|| shared.mints.clone()),
        weights: own.weights.or_else(|| shared.weights.clone()),
        diameter: own.diameter.or(shared.diameter),
        thickness: own.thickness.or(shared.thickness),
        axis: own.axis.or_else(|| shared.axis.clone()),
        made: own.made.or_else(|| shared.made.clone()),
        obverse: face(&shared.obverse, own.obverse),
        reverse: face(&shared.reverse, own.reverse),
        edge: own.edge.or_else(|| shared.edge.clone()),
        marks: own.marks.or_else(|| shared.marks.clone()),
        habits: own.habits.or_else(|| shared.habits.clone()),
        copy: own.copy.or_else(|| shared.copy.clone()),
        common: own.common.or_else(|| shared.common.clone()),
        regions: own.regions.or_else(|| shared.regions.clone()),
        refs: own.refs.or_else(|| shared.refs.clone()),
        outside: own.outside.or_else(|| shared.outside.clone()),
        apart: own.apart.or_else(|| shared.apart.clone()),
        note: own.note.or_else(|| shared.note.clone()),
        sources: own.sources.or_else(|| shared.sources.clone()),
        grade: own.grade.or(shared.grade),
    }
}

/// An artefact type with what it leaves unsaid filled in from the shared head.
pub(super) fn spread_artefact(shared: &RawArtefact, own: &RawArtefact) -> RawArtefact {
    let own = own.clone();
    RawArtefact {
        series: shared.series.clone(),
        name: own.name,
        class: own.class.or_else(|| shared.class.clone()),
        group: own.group,
        period: own.period.or_else(|| shared.period.clone()),
        span: own.span,
        materials: own.materials.or_else(|| shared.materials.clone()),
        typology: own.typology.or_else(|| shared.typology.clone()),
        made: own.made.or_else(|| shared.made.clone()),
        sizes: own.sizes.or(shared.sizes),
        weight: own.weight.or(shared.weight),
        outline: own.outline.or_else(|| shared.outline.clone()),
        section: own.section.or_else(|| shared.section.clone()),
        has: own.has.or_else(|| shared.has.clone()),
        may: own.may.or_else(|| shared.may.clone()),
        lacks: own.lacks.or_else(|| shared.lacks.clone()),
        decoration: own.decoration.or_else(|| shared.decoration.clone()),
        letters: own.letters.or_else(|| shared.letters.clone()),
        survives: own.survives.or_else(|| shared.survives.clone()),
        common: own.common.or_else(|| shared.common.clone()),
        regions: own.regions.or_else(|| shared.regions.clone()),
        refs: own.refs.or_else(|| shared.refs.clone()),
        apart: own.apart.or_else(|| shared.apart.clone()),
        note: own.note.or_else(|| shared.note.clone()),
        sources: own.sources.or_else(|| shared.sources.clone()),
        grade: own.grade.or(shared.grade),
    }
}

fn face(shared: &Option<RawFace>, own: Option<RawFace>) -> Option<RawFace> {
    match (shared, own) {
        (Some(shared), Some(own)) => Some(RawFace {
            motifs: own.motifs.or_else(|| shared.motifs.clone()),
            legends: own.legends.or_else(|| shared.legends.clone()),
        }),
        (Some(shared), None) => Some(shared.clone()),
        (None, own) => own,
    }
}
