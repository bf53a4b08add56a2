//! Rule `sources`: every row says where it comes from and how far to trust it.
//!
//! Demands at least one source and a grade of every row and type (a type's may stand
//! in `[shared]`, a standard's in its denomination); that the key stands in
//! `sources.toml`; that a `where` after the colon is not empty; that `checked` rests
//! on two different works; and that a source is of a known kind and says who, what
//! and how far. A type in the attic may lack a source: that is why it lies there.
//!
//! Why: a finder shown a fact is shown its source, and one that rests on memory
//! alone is called so.
//!
//! To mend: name the work; lower the grade; or move the type to the attic.

use std::collections::HashSet;

use super::super::fault::Fault;
use super::super::raw::Grade;
use super::{Library, row_fault};

/// Kinds of source.
pub(crate) const KINDS: &[&str] = &["handbook", "paper", "statute", "record", "web"];

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let keys: HashSet<&str> = library
        .raw
        .sources
        .iter()
        .map(|row| row.id.as_str())
        .collect();
    let mut desk = Desk {
        keys,
        faults: Vec::new(),
    };
    works(library, &mut desk.faults);
    for row in &library.rows {
        let at = (row.file, row.id, "sources");
        desk.cited(at, row.sources);
        desk.vouched(at, row.sources, row.grade);
    }
    for row in &library.raw.denominations {
        for standard in &row.fields.standards {
            let at = (row.file.as_str(), row.id.as_str(), "standards");
            desk.cited(at, &standard.sources);
            if standard.grade == Some(Grade::Checked) {
                desk.two_works(at, standard.sources.iter().chain(&row.fields.sources));
            }
        }
    }
    for series in library.raw.series.iter().chain(&library.raw.attic) {
        let at = (series.file.as_str(), "shared", "sources");
        desk.cited(at, series.shared.sources.as_deref().unwrap_or(&[]));
    }
    for coin in &library.types {
        let at = (coin.file, coin.id, "sources");
        desk.cited(at, coin.own.sources.as_deref().unwrap_or(&[]));
        if !coin.attic {
            let sources = coin.whole.sources.as_deref().unwrap_or(&[]);
            desk.vouched(at, sources, coin.whole.grade);
        }
    }
    for series in &library.things.series {
        let at = (series.file.as_str(), "shared", "sources");
        desk.cited(at, series.shared.sources.as_deref().unwrap_or(&[]));
    }
    for piece in &library.pieces {
        let at = (piece.file, piece.id, "sources");
        desk.cited(at, piece.own.sources.as_deref().unwrap_or(&[]));
        let sources = piece.whole.sources.as_deref().unwrap_or(&[]);
        desk.vouched(at, sources, piece.whole.grade);
    }
    desk.faults
}

/// File, row and field a source is cited in.
type Place<'a> = (&'a str, &'a str, &'a str);

/// Where citations are looked up.
struct Desk<'a> {
    keys: HashSet<&'a str>,
    faults: Vec<Fault>,
}

impl Desk<'_> {
    fn fault(&mut self, at: Place<'_>, what: impl Into<String>, mend: impl Into<String>) {
        self.faults
            .push(Fault::at("sources", at.0, at.1, at.2, what, mend));
    }

    /// Every citation names a known work and, after a colon, a place in it.
    fn cited(&mut self, at: Place<'_>, sources: &[String]) {
        for source in sources {
            let (key, place) = parts(source);
            if !self.keys.contains(key) {
                let mend = match self.near(key) {
                    Some(near) => format!("write `{near}`, or a row for it in sources.toml"),
                    None => "write a row for it in sources.toml".to_string(),
                };
                self.fault(at, format!("there is no source `{key}`"), mend);
            }
            if place.is_some_and(|place| place.trim().is_empty()) {
                let what = format!("nothing follows the colon of `{source}`");
                self.fault(at, what, "write the page or number, or leave the colon out");
            }
        }
    }

    /// There is a source and a grade, and the grade is earned.
    fn vouched(&mut self, at: Place<'_>, sources: &[String], grade: Option<Grade>) {
        if sources.is_empty() {
            self.fault(at, "no source is named", "write `sources`");
        }
        match grade {
            None => {
                let at = (at.0, at.1, "grade");
                self.fault(
                    at,
                    "no grade is given",
                    "write `grade`: checked, cited or recalled",
                );
            }
            Some(Grade::Checked) => self.two_works(at, sources.iter()),
            Some(_) => {}
        }
    }

    fn two_works<'s>(&mut self, at: Place<'_>, sources: impl Iterator<Item = &'s String>) {
        let works: HashSet<&str> = sources.map(|source| parts(source).0).collect();
        if works.len() == 1 {
            let mend = "name the second work, or write `cited`";
            self.fault(at, "`checked` rests on one work", mend);
        }
    }

    /// The likeliest key meant by an unknown one.
    fn near(&self, key: &str) -> Option<&str> {
        let likeness = |known: &str| strsim::jaro_winkler(known, key);
        let near = self
            .keys
            .iter()
            .copied()
            .filter(|known| likeness(known) > 0.85);
        near.max_by(|a, b| likeness(a).total_cmp(&likeness(b)).then_with(|| b.cmp(a)))
    }
}

/// Key and, after a colon, place of a citation.
fn parts(source: &str) -> (&str, Option<&str>) {
    match source.split_once(':') {
        Some((key, place)) => (key, Some(place)),
        None => (source, None),
    }
}

/// The works themselves.
fn works(library: &Library<'_>, faults: &mut Vec<Fault>) {
    for row in &library.raw.sources {
        let work = &row.fields;
        if !KINDS.contains(&work.kind.as_str()) {
            let what = format!("`{}` is not a kind of source", work.kind);
            let mend = format!("write one of: {}", KINDS.join(", "));
            faults.push(row_fault("sources", row, "kind", what, mend));
        }
        let texts = [
            ("author", &work.author),
            ("title", &work.title),
            ("trust", &work.trust),
        ];
        for (field, _) in texts.iter().filter(|(_, text)| text.trim().is_empty()) {
            let what = format!("the work has no {field}");
            faults.push(row_fault(
                "sources",
                row,
                field,
                what,
                format!("write `{field}`"),
            ));
        }
    }
}
