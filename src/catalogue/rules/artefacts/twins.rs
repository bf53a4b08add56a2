//! Rule `twins` for artefacts: nothing that a finder can see sets two types apart.
//!
//! Holds what is written of two types of one class, period and span against one another; order
//! within a list says nothing.
//!
//! Invariant: of a set of twins every one but the first is told of.

use std::collections::HashMap;

use super::super::super::fault::Fault;
use super::super::super::raw::RawArtefact;
use super::super::Library;

pub(in super::super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut first: HashMap<Seen<'_>, &str> = HashMap::new();
    for piece in &library.pieces {
        let elder = *first.entry(Seen::of(&piece.whole)).or_insert(piece.id);
        if elder != piece.id {
            let what = format!("nothing sets it apart from `{elder}`: same span, sizes and forms");
            let mend = "write the form or size that does, or merge them";
            faults.push(piece.fault("twins", "", what, mend));
        }
    }
    faults
}

/// All that is said of a type's form, and when it was.
#[derive(PartialEq, Eq, Hash)]
struct Seen<'a> {
    class: Option<&'a str>,
    period: Option<&'a str>,
    span: Option<[i32; 2]>,
    sizes: Vec<Option<[u64; 2]>>,
    lists: [Vec<&'a str>; 8],
}

impl<'a> Seen<'a> {
    fn of(whole: &'a RawArtefact) -> Seen<'a> {
        let sizes = whole.sizes.unwrap_or_default().all();
        Seen {
            class: whole.class.as_deref(),
            period: whole.period.as_deref(),
            span: whole.span,
            sizes: sizes
                .map(|range| range.map(|range| range.map(f64::to_bits)))
                .to_vec(),
            lists: [
                &whole.materials,
                &whole.outline,
                &whole.section,
                &whole.has,
                &whole.may,
                &whole.lacks,
                &whole.decoration,
                &whole.letters,
            ]
            .map(|list| {
                let mut sorted: Vec<&str> = list.iter().flatten().map(String::as_str).collect();
                sorted.sort_unstable();
                sorted
            }),
        }
    }
}
