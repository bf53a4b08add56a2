//! Careers: the titles of Roman emperors, their dates read and their rulers linked.
//!
//! A date that is none is a fault, and the title stands without it. Judges no career against
//! another; the rule `titles` does.
//!
//! Invariant: a career's lists keep the order in which they are written.

use super::super::dated::Career;
use super::super::fault::Fault;
use super::super::raw::{RawCareer, RawLibrary, Row};
use super::links::{Ids, link};
use crate::find::{Dated, fold};

/// The careers of a library.
pub(super) fn careers(raw: &RawLibrary, ids: &Ids, faults: &mut Vec<Fault>) -> Vec<Career> {
    raw.titles
        .iter()
        .filter_map(|row| career(row, ids, faults))
        .collect()
}

fn career(row: &Row<RawCareer>, ids: &Ids, faults: &mut Vec<Fault>) -> Option<Career> {
    let f = &row.fields;
    let at = (row.file.as_str(), row.id.as_str());
    let ruler = link("ruler", &row.id, &ids.rulers, (at.0, at.1, ""), faults);
    let mut date = |field: &str, text: &str| {
        let read = Dated::read(text);
        if read.is_none() {
            let what = format!("`{text}` is no date");
            let mend = "write YYYY, YYYY-MM or YYYY-MM-DD, a minus before years BC";
            faults.push(Fault::at("reads", at.0, at.1, field, what, mend));
        }
        read
    };
    let held = (date("held", &f.held[0]), date("held", &f.held[1]));
    let mut numbered = |field: &str, list: &[(u8, String)]| -> Vec<(u8, Dated)> {
        let steps = list.iter();
        steps
            .filter_map(|(number, text)| Some((*number, date(field, text)?)))
            .collect()
    };
    let tribunician = numbered("tribunician", &f.tribunician);
    let consul = numbered("consul", &f.consul);
    let imperator = numbered("imperator", &f.imperator);
    let names = f.names.iter();
    let names = names
        .filter_map(|(name, text)| Some((folded(name), date("names", text)?)))
        .collect();
    let mut once =
        |field: &str, text: &Option<String>| text.as_ref().and_then(|text| date(field, text));
    let augustus = once("augustus", &f.augustus);
    let pater_patriae = once("pater_patriae", &f.pater_patriae);
    let pontifex_maximus = once("pontifex_maximus", &f.pontifex_maximus);
    let censor = f.censor.as_ref();
    let censor = censor.and_then(|[from, to]| Some((date("censor", from)?, date("censor", to)?)));
    Some(Career {
        ruler: ruler?,
        signs: f.signs.iter().map(|sign| folded(sign)).collect(),
        held: (held.0?, held.1?),
        augustus,
        tribunician,
        consul,
        imperator,
        names,
        pater_patriae,
        pontifex_maximus,
        censor,
    })
}

fn folded(text: &str) -> String {
    text.chars().map(fold).collect()
}
