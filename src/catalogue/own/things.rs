//! A person's own types of things that are no coins: series files laid beside the library's.
//!
//! They stand at `artefacts/CLASS/own-NAME.toml`, name the library's classes, forms, metals and
//! periods, and hold to the same rules. What has a fault is left out and told. Never writes.
//!
//! Invariant: without such files the artefacts are the library's, to the last position; with them the
//! library's types keep their places and one's own come after them.

use std::collections::HashSet;

use super::super::artefacts::Artefacts;
use super::super::fault::Fault;
use super::super::files::Files;
use super::super::packed::folder;
use super::super::raw::{RawArtefactSeries, RawArtefacts, RawLibrary};
use super::super::read::{read, read_artefacts};
use super::super::resolve::resolve_artefacts;
use super::super::resolved::Catalogue;
use super::super::rules;
use super::{Layer, OWN, OwnFiles, ROUNDS, TYPES_MOST, own_placed, shown, told};

/// The folder of such types.
pub(super) const THINGS: &str = "artefacts";

/// The artefacts of a library with one's own laid on.
pub struct LayeredThings {
    /// The library's rows with the sound types of the layer.
    pub artefacts: Artefacts,
    /// Faults of the library itself.
    pub faults: Vec<Fault>,
    /// Faults of the types of the layer, placed on their lines; types with them are left out.
    pub own_faults: Vec<Fault>,
}

impl OwnFiles {
    /// True where there are types of things among them.
    pub fn has_things(&self) -> bool {
        self.files.keys().any(|path| is_thing(path))
    }
}

pub(super) fn is_thing(path: &str) -> bool {
    folder(path) == THINGS
}

/// True for a series file of one's own.
fn is_own(file: &str) -> bool {
    let stem = file.rsplit('/').next().unwrap_or("");
    is_thing(file) && stem.starts_with(OWN)
}

/// Lays a person's own types of things on the artefacts of a library; `catalogue` is the library's
/// with the layer on it, as [`super::layered`] gives it.
pub fn layered_things(files: &Files, own: &OwnFiles, catalogue: &Catalogue) -> LayeredThings {
    let (library, mut faults) = read_artefacts(files);
    let (mut series, mut own_faults) = read_own(own, catalogue);
    let mut rows = Rows::of(files, own, series.is_empty());
    for _ in 0..ROUNDS {
        let both = joined(&library, &series);
        let (artefacts, unlinked) = resolve_artefacts(&both, catalogue);
        let (mut new, theirs): (Vec<Fault>, Vec<Fault>) =
            unlinked.into_iter().partition(|fault| is_own(&fault.file));
        let mut again = false;
        if !series.is_empty() {
            let found = rules::apply(files, &rows.both(), &both, catalogue, &artefacts);
            let (ours, others): (Vec<Fault>, Vec<Fault>) =
                found.into_iter().partition(|fault| is_own(&fault.file));
            new.extend(ours);
            again = rows.leave_out(others);
        }
        if new.is_empty() && !again {
            faults.extend(theirs);
            return finished((artefacts, faults, own_faults), files, own);
        }
        leave_out(&mut series, &new);
        own_faults.extend(new);
    }
    // What still has faults after so many rounds is left out as a whole.
    let (artefacts, unlinked) = resolve_artefacts(&library, catalogue);
    faults.extend(unlinked);
    finished((artefacts, faults, own_faults), files, own)
}

/// The rows of the other half that the rules hold a thing against: sources and motifs, the library's
/// and one's own. Coins have been held to the rules before, so none is among them.
struct Rows {
    library: RawLibrary,
    layer: Layer,
}

impl Rows {
    fn of(files: &Files, own: &OwnFiles, none: bool) -> Rows {
        if none {
            return Rows {
                library: RawLibrary::default(),
                layer: Layer(RawLibrary::default()),
            };
        }
        let bare = |raw: RawLibrary| RawLibrary {
            sources: raw.sources,
            motifs: raw.motifs,
            periods: raw.periods,
            metals: raw.metals,
            ..RawLibrary::default()
        };
        Rows {
            library: bare(read(files).0),
            layer: Layer(bare(super::read_own(own).0.0)),
        }
    }

    fn both(&self) -> RawLibrary {
        super::joined(&self.library, &self.layer)
    }

    /// Leaves out one's own rows that have faults, which are told with the coins; true where there
    /// was one.
    fn leave_out(&mut self, mut faults: Vec<Fault>) -> bool {
        faults.retain(|fault| super::is_own(&fault.file));
        let before = self.layer.0.sources.len() + self.layer.0.motifs.len();
        self.layer.leave_out(&faults);
        before > self.layer.0.sources.len() + self.layer.0.motifs.len()
    }
}

fn finished(
    (artefacts, mut faults, mut own_faults): (Artefacts, Vec<Fault>, Vec<Fault>),
    files: &Files,
    own: &OwnFiles,
) -> LayeredThings {
    super::place(&mut faults, files);
    for fault in &mut own_faults {
        fault.file = shown(&fault.file);
    }
    let mut seen = HashSet::new();
    own_faults.retain(|fault| seen.insert(told(fault)));
    own_placed(&mut own_faults, own);
    LayeredThings {
        artefacts,
        faults,
        own_faults,
    }
}

/// The series of a layer, of ids that may be, and the faults of the others.
fn read_own(own: &OwnFiles, coins: &Catalogue) -> (Vec<RawArtefactSeries>, Vec<Fault>) {
    let files = own.files.iter().filter(|(path, _)| is_thing(path));
    let files: Files = files
        .map(|(path, text)| (path.clone(), text.clone()))
        .collect();
    let (raw, mut faults) = read_artefacts(&files);
    let mut series = raw.series;
    let mut foreign = Vec::new();
    for one in &series {
        let stem = one.file.rsplit('/').next().unwrap_or("");
        if !stem.starts_with(OWN) {
            let what = "the name of the file is none of one's own";
            let mend = format!("call it {OWN}{stem}");
            foreign.push(Fault::at("names", &one.file, "", "", what, mend));
        }
        for id in one.types.keys().filter(|id| !id.starts_with(OWN)) {
            let mend = format!("begin it with {OWN}, so that it never clashes with the library's");
            let what = format!("`{id}` is no id of one's own");
            foreign.push(Fault::at("names", &one.file, id, "", what, mend));
        }
        for id in one.types.keys().filter(|id| coins.type_by_id(id).is_some()) {
            let what = format!("`{id}` is the id of a type of coins too");
            let mend = "give one of the two another id";
            foreign.push(Fault::at("names", &one.file, id, "", what, mend));
        }
    }
    let types = series.iter().map(|one| one.types.len());
    if types.sum::<usize>() > TYPES_MOST {
        let what = format!("there are more than {TYPES_MOST} types of one's own");
        let files = series.iter().map(|one| one.file.as_str());
        foreign.extend(
            files.map(|file| Fault::at("names", file, "", "", what.as_str(), "keep fewer")),
        );
    }
    leave_out(&mut series, &foreign);
    faults.extend(foreign);
    (series, faults)
}

/// Leaves out every type with a fault; a fault of a file or of a shared head costs the file.
fn leave_out(series: &mut Vec<RawArtefactSeries>, faults: &[Fault]) {
    let sound = super::sound(faults);
    for one in series.iter_mut() {
        one.types.retain(|id, _| sound(&one.file, id));
    }
    series.retain(|one| !one.types.is_empty());
}

/// The library's rows and after them the layer's.
fn joined(library: &RawArtefacts, series: &[RawArtefactSeries]) -> RawArtefacts {
    let mut both = library.clone();
    both.series.extend(series.iter().cloned());
    both
}
