//! Standards, arms and stamps from their rows.
//!
//! Follows no link, since they name no row but their sources. Leaves figures as written: the rule
//! `reckoned` says which are not possible.
//!
//! Invariant: one value a row, in the order of ids.

use super::super::fault::Fault;
use super::super::raw::{RawArm, RawHeadstamp, RawWeightStandard, Row};
use super::super::reckoned::{Arm, Headstamp, Step, WeightStandard};
use super::links::{span, standing};

pub(super) fn standards(
    rows: &[Row<RawWeightStandard>],
    faults: &mut Vec<Fault>,
) -> Vec<WeightStandard> {
    let one = |row: &Row<RawWeightStandard>| {
        let f = &row.fields;
        let step = |step: &super::super::raw::RawStep| Step {
            name: step.name.clone(),
            of: step.of,
        };
        WeightStandard {
            id: row.id.clone(),
            name: f.name.clone(),
            span: span(f.span, &row.file, &row.id, "span", faults),
            unit: f.unit,
            often: f.often,
            steps: f.steps.iter().map(step).collect(),
            note: f.note.clone(),
            sources: f.sources.clone(),
            standing: standing(f.grade),
        }
    };
    rows.iter().map(one).collect()
}

pub(super) fn arms(rows: &[Row<RawArm>], faults: &mut Vec<Fault>) -> Vec<Arm> {
    let one = |row: &Row<RawArm>| Arm {
        id: row.id.clone(),
        name: row.fields.name.clone(),
        span: span(row.fields.span, &row.file, &row.id, "span", faults),
        ball: row.fields.ball,
        often: row.fields.often,
        note: row.fields.note.clone(),
        sources: row.fields.sources.clone(),
        standing: standing(row.fields.grade),
    };
    rows.iter().map(one).collect()
}

pub(super) fn headstamps(rows: &[Row<RawHeadstamp>], faults: &mut Vec<Fault>) -> Vec<Headstamp> {
    let one = |row: &Row<RawHeadstamp>| Headstamp {
        id: row.id.clone(),
        name: row.fields.name.clone(),
        span: span(row.fields.span, &row.file, &row.id, "span", faults),
        codes: row.fields.codes.clone(),
        note: row.fields.note.clone(),
        sources: row.fields.sources.clone(),
        standing: standing(row.fields.grade),
    };
    rows.iter().map(one).collect()
}
