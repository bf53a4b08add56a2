//! Files kept beside the database: photographs of finds and documents of land, by their digest.
//!
//! Keeps what was given, byte for byte: a photograph may carry the place where it was taken, and
//! keeps it. Whatever is passed on is made from its pixels by the photograph's room. Never uses a
//! given name as a path, and never deletes a file.
//!
//! Invariant: a row that names a file is confirmed only after the file is whole on the disk; what a
//! kill can leave behind is a file that no row names, which the check lists.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use super::entry::{KeptFile, Photograph, Whole};
use super::fault::{Kind, ShelfFault};
use super::finds::{entry, touched};
use super::write::{Writing, values};
use super::{Leave, OfLand, Shelf, Stamp, text};
use crate::photo;

/// Most bytes of one file.
pub const FILE_MOST: usize = 64_000_000;
/// Most photographs of one find.
pub const PHOTOGRAPHS_MOST: usize = 200;
/// The folder of the files.
pub(super) const FILES: &str = "files";

/// A photograph to be kept.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct NewPhotograph {
    /// The file's bytes (JPEG, PNG or WebP).
    pub bytes: Vec<u8>,
    /// The file's name; kept to be shown, never used as a path.
    pub name: String,
    /// What it shows.
    pub view: Option<String>,
    /// The day it was taken.
    pub taken: Option<String>,
}

/// A document to be kept.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct NewDocument {
    /// The file's bytes (PDF, plain text or GeoJSON).
    pub bytes: Vec<u8>,
    /// The file's name; kept to be shown, never used as a path.
    pub name: String,
}

/// A photograph looked at and ready to be kept.
pub(super) struct Ready {
    row: Photograph,
    media: &'static str,
    bytes: Vec<u8>,
    /// What the file carries beside its pixels.
    pub(super) carried: Vec<&'static str>,
}

impl Shelf {
    /// Keeps photographs of a find, after those that it has. Gives the find, and what each file
    /// carries beside its pixels, in words.
    ///
    /// # Errors
    ///
    /// When one is no photograph that can be opened, is too large, or is there already.
    pub fn add_photographs(
        &mut self,
        stamp: &Stamp,
        id: &str,
        new: Vec<NewPhotograph>,
    ) -> Result<(Whole, Vec<String>), ShelfFault> {
        let ready: Vec<Ready> = new.into_iter().map(ready).collect::<Result<_, _>>()?;
        let notes = carried(&ready);
        let key = self.write(stamp, "add photograph", &self.known_as(id), |writing| {
            let held = entry(writing.db(), id)?;
            photographed(writing, held.key, ready)?;
            touched(writing, held)
        })?;
        Ok((self.whole(key)?, notes))
    }

    /// Says what a photograph shows, by its place among the find's.
    pub fn edit_photograph(
        &mut self,
        stamp: &Stamp,
        id: &str,
        place: i64,
        view: Option<String>,
    ) -> Result<Whole, ShelfFault> {
        let key = self.write(stamp, "edit photograph", &self.known_as(id), |writing| {
            let held = entry(writing.db(), id)?;
            let mut photograph = placed(writing, held.key, place)?;
            photograph.view = view;
            text::maybe_line("view", &mut photograph.view)?;
            writing.put(&photograph)?;
            touched(writing, held)
        })?;
        self.whole(key)
    }

    /// Takes a photograph from a find; its file stays, so that it can be undone.
    pub fn remove_photograph(
        &mut self,
        stamp: &Stamp,
        id: &str,
        place: i64,
    ) -> Result<Whole, ShelfFault> {
        let key = self.write(stamp, "remove photograph", &self.known_as(id), |writing| {
            let held = entry(writing.db(), id)?;
            let photograph = placed(writing, held.key, place)?;
            writing.take_away("photograph", photograph.key)?;
            touched(writing, held)
        })?;
        self.whole(key)
    }

    /// Keeps leave to search, with its document where there is one. Gives its key.
    pub fn keep_leave(
        &mut self,
        stamp: &Stamp,
        id: &str,
        leave: Leave,
        document: Option<NewDocument>,
    ) -> Result<i64, ShelfFault> {
        let mut leave = leave;
        let Some(document) = document else {
            return self.keep_for_land(stamp, id, OfLand::Leave(leave));
        };
        let media = document_media(&document)?;
        leave.document = Some(digest_of(&document.bytes));
        leave.document_name = Some(shown_name(&document.name));
        self.write(stamp, "add leave", &self.land_known_as(id), |writing| {
            file_kept(writing, &document.bytes, media)?;
            let mut what = OfLand::Leave(leave);
            super::lands::put_by(writing, id, &mut what)
        })
    }

    /// Where the file of a digest lies.
    pub fn path_of(&self, digest: &str) -> PathBuf {
        path_of(&self.folder, digest)
    }

    /// The bytes of a kept file, held against their digest.
    ///
    /// # Errors
    ///
    /// When the file is gone, cut short or otherwise not what was kept.
    pub fn bytes_of(&self, digest: &str) -> Result<Vec<u8>, ShelfFault> {
        let path = self.path_of(digest);
        let bytes = read_most(&path).map_err(|error| ShelfFault::of_io(&error, &path))?;
        if digest_of(&bytes) == digest {
            return Ok(bytes);
        }
        Err(ShelfFault::new(
            Kind::File,
            format!(
                "{} is not as it was kept: cut short or changed",
                path.display()
            ),
            "put it back from a backup, or keep the photograph again",
        )
        .of(&path))
    }

    /// How many rows of the file table name a digest: 0 or 1.
    pub fn kept_file(&self, digest: &str) -> Result<Option<KeptFile>, ShelfFault> {
        let found: Vec<KeptFile> = values(&self.db, "digest = ?1", &[&digest])?;
        Ok(found.into_iter().next())
    }
}

/// What photographs carry beside their pixels, in words.
pub(super) fn carried(ready: &[Ready]) -> Vec<String> {
    let with = ready.iter().filter(|one| !one.carried.is_empty());
    let note = |one: &Ready| {
        format!(
            "{}: kept as it was given, with {}; whatever Lynchet passes on is made from its \
             pixels alone",
            one.row.name,
            one.carried.join(", ")
        )
    };
    with.map(note).collect()
}

/// Looks at a photograph: it must open whole.
pub(super) fn ready(new: NewPhotograph) -> Result<Ready, ShelfFault> {
    let name = shown_name(&new.name);
    let of_file = |what: String, mend: String| {
        ShelfFault::new(Kind::File, format!("photograph {name}: {what}"), mend)
    };
    if new.bytes.len() > FILE_MOST {
        let what = format!(
            "{} MB; at most {} MB are kept",
            new.bytes.len() / 1_000_000,
            FILE_MOST / 1_000_000
        );
        return Err(of_file(what, "make it smaller, then keep it".into()));
    }
    let opened = photo::open(&new.bytes).map_err(|fault| of_file(fault.what, fault.mend))?;
    let media = match new.bytes.get(..4) {
        Some([0xff, 0xd8, ..]) => "image/jpeg",
        Some([0x89, b'P', b'N', b'G']) => "image/png",
        _ => "image/webp",
    };
    let mut row = Photograph {
        view: new.view,
        digest: digest_of(&new.bytes),
        name: name.clone(),
        taken: new.taken,
        width: opened.picture.width as i64,
        height: opened.picture.height as i64,
        bytes: new.bytes.len() as i64,
        ..Photograph::default()
    };
    text::maybe_line("view", &mut row.view)?;
    text::day("taken", &mut row.taken)?;
    Ok(Ready {
        row,
        media,
        carried: opened.carried,
        bytes: new.bytes,
    })
}

/// Keeps photographs of a find: the files first, then the rows.
pub(super) fn photographed(
    writing: &mut Writing<'_>,
    find: i64,
    ready: Vec<Ready>,
) -> Result<(), ShelfFault> {
    let has: Vec<Photograph> = values(writing.db(), "find = ?1 ORDER BY place", &[&find])?;
    let mut place = has.last().map_or(0, |last| last.place);
    if has.len() + ready.len() > PHOTOGRAPHS_MOST {
        let what = format!("a find has at most {PHOTOGRAPHS_MOST}");
        return Err(ShelfFault::field(
            "photograph",
            what,
            "take some away first",
        ));
    }
    let mut digests: Vec<String> = has.into_iter().map(|one| one.digest).collect();
    for one in ready {
        if digests.contains(&one.row.digest) {
            return Err(ShelfFault::new(
                Kind::Taken,
                format!(
                    "photograph {}: the find has this very picture",
                    one.row.name
                ),
                "leave it out, or say another view of the one it has",
            ));
        }
        digests.push(one.row.digest.clone());
        file_kept(writing, &one.bytes, one.media)?;
        place += 1;
        let mut row = one.row;
        row.find = find;
        row.place = place;
        writing.add(&mut row)?;
    }
    Ok(())
}

fn placed(writing: &Writing<'_>, find: i64, place: i64) -> Result<Photograph, ShelfFault> {
    let found: Vec<Photograph> =
        values(writing.db(), "find = ?1 AND place = ?2", &[&find, &place])?;
    found.into_iter().next().ok_or_else(|| {
        ShelfFault::field(
            "photograph",
            format_args!("the find has none of the number {place}"),
            "see their numbers with show",
        )
    })
}

/// Puts bytes on the disk under their digest and keeps the row that says so.
fn file_kept(writing: &mut Writing<'_>, bytes: &[u8], media: &str) -> Result<(), ShelfFault> {
    let digest = digest_of(bytes);
    let path = path_of(writing.folder, &digest);
    put(&path, bytes, &digest).map_err(|error| ShelfFault::of_io(&error, &path))?;
    let held: Vec<KeptFile> = values(writing.db(), "digest = ?1", &[&digest])?;
    if held.is_empty() {
        writing.add(&mut KeptFile {
            key: 0,
            digest,
            bytes: bytes.len() as i64,
            media: media.into(),
        })?;
    }
    Ok(())
}

/// Writes a file beside its place and renames it. One that is there and whole is left as it is.
fn put(path: &Path, bytes: &[u8], digest: &str) -> io::Result<()> {
    let folder = path.parent().unwrap_or(Path::new("."));
    let about = fs::symlink_metadata(folder);
    if about.is_ok_and(|about| about.file_type().is_symlink()) {
        return Err(io::Error::other("its folder is a link to somewhere else"));
    }
    fs::create_dir_all(folder)?;
    if fs::symlink_metadata(path).is_ok_and(|about| about.is_file())
        && read_most(path).is_ok_and(|held| digest_of(&held) == digest)
    {
        return Ok(());
    }
    let beside = folder.join(format!(".{digest}.{}.part", std::process::id()));
    let _ = fs::remove_file(&beside);
    let mut new = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(&beside)?;
    let written = new
        .write_all(bytes)
        .and_then(|()| new.sync_all())
        .and_then(|()| fs::rename(&beside, path));
    if written.is_err() {
        let _ = fs::remove_file(&beside);
    }
    written?;
    settled(folder)?;
    folder.parent().map_or(Ok(()), settled)
}

/// Makes sure that the names in a folder are on the disk.
fn settled(folder: &Path) -> io::Result<()> {
    match cfg!(unix) {
        true => File::open(folder)?.sync_all(),
        false => Ok(()),
    }
}

pub(super) fn path_of(folder: &Path, digest: &str) -> PathBuf {
    // Only what a digest can hold becomes part of a path.
    let plain = digest.len() == 64 && digest.bytes().all(|b| b.is_ascii_hexdigit());
    let digest = if plain { digest } else { "00" };
    folder.join(FILES).join(&digest[..2]).join(digest)
}

pub(super) fn digest_of(bytes: &[u8]) -> String {
    let sum = Sha256::digest(bytes);
    sum.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Reads a file, but no more than is kept of one.
pub(super) fn read_most(path: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let file = File::open(path)?;
    file.take(FILE_MOST as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// A file's name to be shown: no path, no signs that steer a terminal, not long.
fn shown_name(name: &str) -> String {
    let last = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let plain: String = last
        .chars()
        .map(|c| if text::steers(c) { ' ' } else { c })
        .take(120)
        .collect();
    let plain = plain.trim();
    match plain.is_empty() {
        true => "unnamed".into(),
        false => plain.into(),
    }
}

fn document_media(document: &NewDocument) -> Result<&'static str, ShelfFault> {
    let name = shown_name(&document.name);
    let refuse = |what: String, mend: &str| {
        ShelfFault::new(Kind::File, format!("document {name}: {what}"), mend)
    };
    if document.bytes.len() > FILE_MOST {
        let what = format!("{} MB", document.bytes.len() / 1_000_000);
        return Err(refuse(what, "keep at most 64 MB; scan it smaller"));
    }
    if document.bytes.starts_with(b"%PDF-") {
        return Ok("application/pdf");
    }
    let text = std::str::from_utf8(&document.bytes);
    match text {
        Ok(text) if !text.trim().is_empty() && !text.contains('\0') => {
            let json = serde_json::from_str::<serde_json::Value>(text);
            Ok(match json.is_ok_and(|json| json.get("type").is_some()) {
                true => "application/geo+json",
                false => "text/plain",
            })
        }
        _ => Err(refuse(
            "it is no PDF, no plain text and no GeoJSON".into(),
            "save it as a PDF, then keep it",
        )),
    }
}
