//! Rule `refs`: every id named has a row, and shared rows are used.
//!
//! Demands that an id in a link (`ruler`, `mints`, `legends`, `under` and so on)
//! names a row of the right kind, which linking itself finds; and that every ruler,
//! mint, legend and denomination is named by some type, or is a member of a joint
//! authority. Periods, metals, motifs and sources may stand unused: they are
//! vocabularies, and a finder's word for a thing no type bears is still a word.
//!
//! Why: a row nothing names is most often the twin of one misspelt elsewhere, and it
//! makes the library look fuller than it is.
//!
//! To mend: correct the id, write the row it lacks, or take the unused row out.

use std::collections::HashSet;

use super::super::fault::Fault;
use super::super::raw::{RawType, Row};
use super::{Library, row_fault};

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let used = Used::gather(library);
    let raw = library.raw;
    let mut faults = Vec::new();
    unused(
        "denomination",
        &raw.denominations,
        &used.denominations,
        &mut faults,
    );
    unused("ruler", &raw.rulers, &used.rulers, &mut faults);
    unused("mint", &raw.mints, &used.mints, &mut faults);
    unused("legend", &raw.legends, &used.legends, &mut faults);
    faults
}

#[derive(Default)]
struct Used<'a> {
    denominations: HashSet<&'a str>,
    rulers: HashSet<&'a str>,
    mints: HashSet<&'a str>,
    legends: HashSet<&'a str>,
}

impl<'a> Used<'a> {
    /// Ids named by any type, those of the attic too, before spreading: a shared head
    /// that every type overrides still names what it names.
    fn gather(library: &Library<'a>) -> Used<'a> {
        let mut used = Used::default();
        for row in &library.raw.rulers {
            used.rulers
                .extend(row.fields.members.iter().map(String::as_str));
        }
        for series in library.raw.series.iter().chain(&library.raw.attic) {
            used.note(&series.shared);
            series.types.values().for_each(|coin| used.note(coin));
        }
        used
    }

    fn note(&mut self, coin: &'a RawType) {
        self.denominations.extend(coin.denomination.as_deref());
        self.rulers.extend(coin.ruler.as_deref());
        self.mints
            .extend(coin.mints.iter().flatten().map(String::as_str));
        for face in [&coin.obverse, &coin.reverse].into_iter().flatten() {
            self.legends
                .extend(face.legends.iter().flatten().map(String::as_str));
        }
    }
}

fn unused<T>(kind: &str, rows: &[Row<T>], used: &HashSet<&str>, faults: &mut Vec<Fault>) {
    for row in rows.iter().filter(|row| !used.contains(row.id.as_str())) {
        let what = format!("no type uses this {kind}");
        let mend = "name it in a type, or take the row out";
        faults.push(row_fault("refs", row, "", what, mend));
    }
}
