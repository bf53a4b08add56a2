//! A person's own types: a layer of rows beside the library's, in files of the same form.
//!
//! Reads the files of a folder shaped like the library's, holds their rows against the library's rules
//! and links what is sound. What has a fault is left out and told; nothing of the library itself is
//! left out or changed for it. Never writes.
//!
//! Invariant: every id of the layer begins with [`OWN`], which no id of the library does; without
//! files the library is as it is without a layer; work is bounded whatever the folder holds.

mod things;

pub use things::{LayeredThings, layered_things};

use std::collections::HashSet;
use std::fs::{self, File};
use std::io::Read;
use std::path::{Path, PathBuf};

use super::artefacts::Artefacts;
use super::fault::{Fault, place};
use super::files::{Files, digest};
use super::packed::folder;
use super::raw::{RawArtefacts, RawLibrary, RawSeries, Row};
use super::read::read;
use super::resolve::resolve;
use super::resolved::Catalogue;
use super::rules;

/// What every id of one's own begins with.
pub const OWN: &str = "own-";
/// The folder that the files are shown under.
pub const TYPES: &str = "types";

/// Folders and tables that one's own rows may stand in.
const TABLES: [&str; 7] = [
    "coins",
    "denominations",
    "legends",
    "mints",
    "motifs",
    "rulers",
    "sources",
];
/// Most files, and bytes of one and of all.
const FILES_MOST: usize = 200;
const FILE_MOST: u64 = 512 * 1024;
const BYTES_MOST: usize = 4 * 1024 * 1024;
/// Most entries of the folder that are looked at, and how deep it goes.
const ENTRIES_MOST: usize = 5_000;
const DEPTH_MOST: usize = 4;
/// Most types.
const TYPES_MOST: usize = 2_000;
/// Rounds of leaving out: a row left out may be one that another names.
const ROUNDS: usize = 6;
/// What is said of a link.
const LINK: &str = "it is a link to somewhere else";
/// Most faults that are told.
const FAULTS_MOST: usize = 500;

/// The files of a layer.
#[derive(Clone, Debug, Default)]
pub struct OwnFiles {
    /// Their text by their path below the folder.
    pub files: Files,
    /// What could not be read.
    pub faults: Vec<Fault>,
}

/// A library with a layer laid on.
pub struct Layered {
    /// The library with the sound rows of the layer.
    pub catalogue: Catalogue,
    /// Faults of the library itself.
    pub faults: Vec<Fault>,
    /// Faults of the rows of the layer, placed on their lines; rows with them are left out.
    pub own_faults: Vec<Fault>,
}

impl OwnFiles {
    /// Reads a folder; nothing where there is none.
    pub fn of(folder: &Path) -> OwnFiles {
        let mut own = OwnFiles::default();
        if fs::symlink_metadata(folder).is_ok_and(|about| about.file_type().is_symlink()) {
            own.tell(folder, folder, LINK, "put the folder itself there");
            return own;
        }
        let mut waiting: Vec<(PathBuf, usize)> = vec![(folder.to_path_buf(), 0)];
        let (mut looked, mut bytes) = (0, 0);
        while let Some((here, depth)) = waiting.pop() {
            let Ok(entries) = fs::read_dir(&here) else {
                if depth > 0 {
                    own.tell(
                        folder,
                        &here,
                        "the folder cannot be read",
                        "see who may read it",
                    );
                }
                continue;
            };
            let mut paths: Vec<PathBuf> = entries
                .flatten()
                .take(ENTRIES_MOST + 1)
                .map(|entry| entry.path())
                .collect();
            paths.sort();
            looked += paths.len();
            if looked > ENTRIES_MOST {
                let mend = "keep only your own types in it";
                own.tell(folder, &here, "the folder holds too much", mend);
                return own;
            }
            for path in paths {
                match fs::symlink_metadata(&path).map(|about| about.file_type()) {
                    Ok(kind) if kind.is_dir() && depth < DEPTH_MOST => {
                        waiting.push((path, depth + 1));
                    }
                    Ok(kind) if kind.is_file() && is_table(&path) => {
                        own.take(folder, &path, &mut bytes);
                    }
                    Ok(kind) if kind.is_symlink() && is_table(&path) => {
                        own.tell(folder, &path, LINK, "put the file itself there");
                    }
                    _ => {}
                }
            }
        }
        own
    }

    /// True when there is nothing, and nothing to tell.
    pub fn is_empty(&self) -> bool {
        self.files.is_empty() && self.faults.is_empty()
    }

    fn take(&mut self, folder: &Path, path: &Path, bytes: &mut usize) {
        let mut held = Vec::new();
        let read =
            File::open(path).and_then(|file| file.take(FILE_MOST + 1).read_to_end(&mut held));
        if let Err(error) = read {
            return self.tell(
                folder,
                path,
                &format!("it cannot be read: {error}"),
                "see who may read it",
            );
        }
        if held.len() as u64 > FILE_MOST {
            return self.tell(
                folder,
                path,
                "it is larger than 512 KiB",
                "split it into series",
            );
        }
        *bytes += held.len();
        if self.files.len() >= FILES_MOST || *bytes > BYTES_MOST {
            let what = "there are more than 200 files or 4 MiB of your own types";
            return self.tell(folder, path, what, "keep fewer");
        }
        match String::from_utf8(held) {
            Ok(text) => {
                self.files.insert(below(folder, path), text);
            }
            Err(_) => self.tell(folder, path, "it is no text", "save it as UTF-8"),
        }
    }

    fn tell(&mut self, folder: &Path, path: &Path, what: &str, mend: &str) {
        if self.faults.len() < FAULTS_MOST {
            let mut fault = Fault::at("reads", &shown(&below(folder, path)), "", "", what, mend);
            fault.line = 1;
            self.faults.push(fault);
        }
    }
}

fn is_table(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending == "toml")
}

fn below(folder: &Path, path: &Path) -> String {
    let inside = path.strip_prefix(folder).unwrap_or(path);
    inside.to_string_lossy().replace('\\', "/")
}

/// A file as it is told of: below the folder of one's own types.
fn shown(path: &str) -> String {
    format!("{TYPES}/{path}")
}

/// Digest of a library with a layer; that of the library where the layer is empty.
pub fn layered_digest(library: &str, own: &OwnFiles) -> String {
    if own.files.is_empty() {
        return library.to_string();
    }
    let both = Files::from([
        ("library".to_string(), library.to_string()),
        (TYPES.to_string(), digest(&own.files)),
    ]);
    digest(&both)
}

/// Lays a person's own types of coins on a library; [`layered_things`] lays those of things on it.
pub fn layered(files: &Files, own: &OwnFiles, digest: &str) -> Layered {
    let (library, mut faults) = read(files);
    let (mut layer, mut own_faults) = read_own(own);
    let shipped: HashSet<String> = faults.iter().map(told).collect();
    for _ in 0..ROUNDS {
        let both = joined(&library, &layer);
        let (catalogue, unlinked) = resolve(&both, digest);
        let rules = rules::apply(
            files,
            &both,
            &RawArtefacts::default(),
            &catalogue,
            &Artefacts::default(),
        );
        let (mut new, linked): (Vec<Fault>, Vec<Fault>) =
            unlinked.into_iter().partition(|fault| is_own(&fault.file));
        new.extend(rules.into_iter().filter(|fault| is_own(&fault.file)));
        if new.is_empty() {
            faults.extend(
                linked
                    .into_iter()
                    .filter(|fault| !shipped.contains(&told(fault))),
            );
            finish(&mut faults, files);
            own_placed(&mut own_faults, own);
            return Layered {
                catalogue,
                faults,
                own_faults,
            };
        }
        layer.leave_out(&new);
        own_faults.extend(new);
    }
    // What still has faults after so many rounds is left out as a whole.
    let (catalogue, unlinked) = resolve(&library, digest);
    faults.extend(unlinked);
    finish(&mut faults, files);
    own_placed(&mut own_faults, own);
    Layered {
        catalogue,
        faults,
        own_faults,
    }
}

fn finish(faults: &mut [Fault], files: &Files) {
    place(faults, files);
}

fn told(fault: &Fault) -> String {
    fault.to_string()
}

fn is_own(file: &str) -> bool {
    file.starts_with(TYPES) && file[TYPES.len()..].starts_with('/')
}

fn own_placed(faults: &mut Vec<Fault>, own: &OwnFiles) {
    let files = own.files.iter();
    let files: Files = files
        .map(|(path, text)| (shown(path), text.clone()))
        .collect();
    place(faults, &files);
    faults.dedup();
    faults.truncate(FAULTS_MOST);
}

/// The rows of a layer, those of ids that may be, and the faults of the others.
fn read_own(own: &OwnFiles) -> (Layer, Vec<Fault>) {
    let mut faults = Vec::new();
    let mut files = own.files.clone();
    files.retain(|path, _| !things::is_thing(path));
    files.retain(|path, _| {
        let fits = TABLES.contains(&folder(path));
        if !fits {
            let mend = format!(
                "own types stand in: {}, {}",
                things::THINGS,
                TABLES.join(", ")
            );
            let what = "nothing of one's own may stand at this path";
            faults.push(Fault::at("reads", &shown(path), "", "", what, mend));
        }
        fits
    });
    let (mut raw, unread) = read(&files);
    raw.each_file(|file| *file = shown(file));
    faults.extend(unread.into_iter().map(|mut fault| {
        fault.file = shown(&fault.file);
        fault
    }));
    let mut layer = Layer(raw);
    let mut foreign = Vec::new();
    layer.0.each_id(|file, id| {
        if !id.starts_with(OWN) {
            let mend = format!("begin it with {OWN}, so that it never clashes with the library's");
            let what = format!("`{id}` is no id of one's own");
            foreign.push(Fault::at("names", file, id, "", what, mend));
        }
    });
    for series in &layer.0.series {
        let stem = series.file.rsplit('/').next().unwrap_or("");
        if !stem.starts_with(OWN) {
            let mend = format!("call it {OWN}{stem}");
            let what = "the name of the file is the series' id, and none of one's own";
            foreign.push(Fault::at("names", &series.file, "", "", what, mend));
        }
    }
    let types = layer.0.series.iter().map(|series| series.types.len());
    if types.sum::<usize>() > TYPES_MOST {
        let what = format!("there are more than {TYPES_MOST} types of one's own");
        for series in &layer.0.series {
            foreign.push(Fault::at(
                "names",
                &series.file,
                "",
                "",
                what.as_str(),
                "keep fewer",
            ));
        }
    }
    layer.leave_out(&foreign);
    faults.extend(foreign);
    (layer, faults)
}

/// Whether a row of a file, by its id, is clear of these faults; a fault of a file or of a shared head
/// costs the file.
fn sound(faults: &[Fault]) -> impl Fn(&str, &str) -> bool {
    let bad: HashSet<(&str, &str)> = faults
        .iter()
        .map(|fault| match fault.id.as_str() {
            "shared" => (fault.file.as_str(), ""),
            id => (fault.file.as_str(), id),
        })
        .collect();
    move |file, id| !bad.contains(&(file, id)) && !bad.contains(&(file, ""))
}

/// Rows of one's own.
struct Layer(RawLibrary);

impl Layer {
    /// Leaves out every row with a fault; a fault of a file or of a shared head costs the file.
    fn leave_out(&mut self, faults: &[Fault]) {
        let sound = sound(faults);
        fn keep<T>(rows: &mut Vec<Row<T>>, sound: &impl Fn(&str, &str) -> bool) {
            rows.retain(|row| sound(&row.file, &row.id));
        }
        let raw = &mut self.0;
        keep(&mut raw.sources, &sound);
        keep(&mut raw.denominations, &sound);
        keep(&mut raw.rulers, &sound);
        keep(&mut raw.mints, &sound);
        keep(&mut raw.motifs, &sound);
        keep(&mut raw.legends, &sound);
        for series in &mut raw.series {
            let file = series.file.clone();
            series.types.retain(|id, _| sound(&file, id));
        }
        raw.series
            .retain(|series: &RawSeries| !series.types.is_empty());
    }
}

impl RawLibrary {
    /// Every file that a row of a layer names.
    fn each_file(&mut self, mut take: impl FnMut(&mut String)) {
        self.sources.iter_mut().for_each(|row| take(&mut row.file));
        self.denominations
            .iter_mut()
            .for_each(|row| take(&mut row.file));
        self.rulers.iter_mut().for_each(|row| take(&mut row.file));
        self.mints.iter_mut().for_each(|row| take(&mut row.file));
        self.motifs.iter_mut().for_each(|row| take(&mut row.file));
        self.legends.iter_mut().for_each(|row| take(&mut row.file));
        self.series
            .iter_mut()
            .for_each(|series| take(&mut series.file));
    }

    /// Every row of a layer by its file and id.
    fn each_id(&self, mut take: impl FnMut(&str, &str)) {
        self.sources.iter().for_each(|row| take(&row.file, &row.id));
        self.denominations
            .iter()
            .for_each(|row| take(&row.file, &row.id));
        self.rulers.iter().for_each(|row| take(&row.file, &row.id));
        self.mints.iter().for_each(|row| take(&row.file, &row.id));
        self.motifs.iter().for_each(|row| take(&row.file, &row.id));
        self.legends.iter().for_each(|row| take(&row.file, &row.id));
        for series in &self.series {
            series.types.keys().for_each(|id| take(&series.file, id));
        }
    }
}

/// The library's rows and after them the layer's.
fn joined(library: &RawLibrary, layer: &Layer) -> RawLibrary {
    let (mut both, own) = (library.clone(), layer.0.clone());
    both.sources.extend(own.sources);
    both.denominations.extend(own.denominations);
    both.rulers.extend(own.rulers);
    both.mints.extend(own.mints);
    both.motifs.extend(own.motifs);
    both.legends.extend(own.legends);
    both.series.extend(own.series);
    both
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::embedded;

    /// What keeps one's own ids apart from the library's for good.
    #[test]
    fn no_id_of_the_library_begins_as_ones_own() {
        let (library, _) = read(&embedded());
        let mut own = Vec::new();
        library.each_id(|_, id| own.extend(id.starts_with(OWN).then(|| id.to_string())));
        assert!(own.is_empty(), "{own:?}");
        assert!(library.series.len() > 100);
    }

    #[test]
    fn an_empty_layer_changes_no_digest() {
        let none = OwnFiles::of(Path::new("/nowhere/at/all"));
        assert!(none.is_empty());
        assert_eq!(layered_digest("abc", &none), "abc");
        let mut some = OwnFiles::default();
        some.files.insert("coins/own-x.toml".into(), "a".into());
        let one = layered_digest("abc", &some);
        some.files.insert("coins/own-x.toml".into(), "b".into());
        assert!(one != "abc" && one != layered_digest("abc", &some));
    }
}
