//! The shelf made safe: backup and restore, export and import, and what can befall a disk.
//!
//! The shelves are made here, in an invented place with invented people; the program is run as a
//! person runs it. Bags are held against RFC 8493.
//!
//! Invariant: whatever is refused leaves the disk as it was.

use std::collections::BTreeMap;
use std::fs;
use std::io::{BufRead, BufReader, Cursor, Read, Write};
use std::path::Path;
use std::process::{Command, Stdio};

use lynchet::collect::{
    Access, Entry, Identified, Land, LandKind, Leave, NewDocument, NewFind, NewPhotograph, OfLand,
    Person, Role, Shelf, Stamp, Status,
};
use lynchet::photo::{Form, Picture, packed};
use sha2::{Digest, Sha256};
use tempfile::TempDir;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

use crate::kit::{Outcome, run};

pub fn stamp(minute: u32) -> Stamp {
    Stamp::new("finder", &format!("2026-03-14T10:{minute:02}:00Z"))
}

/// A find of which only the id is said.
pub fn plain(id: &str) -> NewFind {
    NewFind::of(Entry::new(id))
}

/// A small photograph that is like no other.
fn photograph(shade: u32, view: &str) -> NewPhotograph {
    let mut pixels = vec![120; 8 * 8 * 3];
    pixels[..4].copy_from_slice(&shade.to_le_bytes());
    let picture = Picture::new(8, 8, pixels).expect("a picture");
    NewPhotograph {
        bytes: packed(&picture, Form::Png, None).expect("a file"),
        name: format!("../=IMG {shade}.png"),
        view: Some(view.into()),
        taken: Some("2026-03-14".into()),
    }
}

/// A shelf with something in every table, things taken away and things taken back.
pub fn fill(folder: &Path) {
    let mut shelf = Shelf::open(folder, Access::Write).expect("a shelf");
    let farm = Land::new("NETHER", LandKind::Holding, "Netherfold Farm");
    let farm = shelf.add_land(&stamp(0), farm).expect("a holding");
    let mut field = Land::new("LONGACRE", LandKind::Field, "Long Acre");
    field.parent = Some(farm.key);
    let field = shelf.add_land(&stamp(1), field).expect("a field");
    let owner = Person {
        key: 0,
        land: None,
        role: Role::Owner,
        name: "Ann Orchard".into(),
        contact: Some("=HYPERLINK(\"x\")".into()),
    };
    let owner = OfLand::Person(owner);
    shelf
        .keep_for_land(&stamp(2), "NETHER", owner)
        .expect("an owner");
    let leave = Leave {
        given_by: Some("Ann Orchard".into()),
        from_day: Some("2026-01-01".into()),
        terms: Some("not while lambing\n\"half each\", she said".into()),
        split: Some("half each".into()),
        ..Leave::default()
    };
    let letter = NewDocument {
        bytes: b"I give leave to search Long Acre.\n".to_vec(),
        name: "letter.txt".into(),
    };
    shelf
        .keep_leave(&stamp(3), "LONGACRE", leave, Some(letter))
        .expect("leave");
    for at in 1..=4_u32 {
        let id = format!("LA-{at}");
        let mut entry = Entry::new(&id);
        entry.words = "silver, 17 mm, long cross, reads EDW R ANGL".into();
        entry.said = vec![("obverse_legend".into(), "+EDW R ANGL".into())];
        entry.land = Some(field.key);
        entry.findspot = Some(format!("SP 1234{at} 56789"));
        entry.found_on = Some(format!("2026-03-0{at}"));
        entry.metal = Some("silver".into());
        entry.weight_g = Some(1.2 + f64::from(at) / 100.0);
        entry.diameter_mm = Some(17.0);
        entry.finder = Some("Bert Thorn".into());
        entry.storage = Some("box 2, under the stairs".into());
        entry.notes = "=2+5+cmd|' /C calc'!A0\nby the oak on Long Acre".into();
        let mut new = NewFind::of(entry);
        let mut named = Identified::new("penny of Edward I, class 3");
        named.from_year = Some(1280);
        named.share = Some(0.1 + 0.2);
        named.answer = Some("{\"kind\":\"coin\"}".into());
        new.identified = Some(named);
        new.tags = vec!["=tag".into(), "'to show".into()];
        shelf.add_find(&stamp(10 + at), new).expect("a find");
        let pictures = vec![photograph(at, "obverse"), photograph(at + 100, "reverse")];
        shelf
            .add_photographs(&stamp(20 + at), &id, pictures)
            .expect("photographs");
    }
    let day = Some("2026-03-10".to_string());
    shelf
        .set_status(&stamp(30), "LA-2", Status::WithOfficer, day, None)
        .expect("a status");
    shelf
        .edit_find(&stamp(31), "LA-3", |find| find.depth_cm = Some(17.5))
        .expect("an edit");
    shelf
        .remove_photograph(&stamp(32), "LA-3", 2)
        .expect("a photograph taken away");
    shelf
        .remove_find(&stamp(33), "LA-4")
        .expect("a find taken away");
    let seq = shelf.last_act().expect("acts");
    let _ = shelf.undo(&stamp(34), seq).expect("and back");
    shelf
        .remove_find(&stamp(35), "LA-4")
        .expect("and away again");
}

pub struct Filled {
    room: TempDir,
}

impl Filled {
    pub fn new() -> Filled {
        let room = TempDir::new().expect("a folder");
        fill(&room.path().join("shelf"));
        Filled { room }
    }

    pub fn path(&self, name: &str) -> String {
        self.room.path().join(name).to_string_lossy().into_owned()
    }

    pub fn shelf(&self) -> Shelf {
        Shelf::open(&self.room.path().join("shelf"), Access::Read).expect("a shelf")
    }

    pub fn writer(&self) -> Shelf {
        Shelf::open(&self.room.path().join("shelf"), Access::Write).expect("a shelf")
    }

    pub fn run(&self, verb: &[&str], shelf: &str) -> Outcome {
        let shelf = self.path(shelf);
        run(verb.iter().copied().chain(["--shelf", &shelf]))
    }

    pub fn backup(&self, name: &str) -> String {
        let file = self.path(name);
        let done = self.run(&["backup", &file], "shelf");
        assert_eq!((done.code, done.err.as_str()), (0, ""), "{done:?}");
        file
    }

    /// Names in the room, so that nothing left behind goes unseen.
    pub fn names(&self) -> Vec<String> {
        let held = fs::read_dir(self.room.path()).expect("a folder").flatten();
        let mut names: Vec<String> = held
            .map(|one| one.file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }
}

/// Every file below a folder with its bytes, but for what readers note for each other.
pub fn tree(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(next) = folders.pop() {
        for one in fs::read_dir(&next).expect("a folder").flatten() {
            let path = one.path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let name = path.strip_prefix(folder).expect("below it");
                let name = name.to_string_lossy().into_owned();
                if !name.ends_with("-shm") {
                    all.insert(name, fs::read(&path).expect("a file"));
                }
            }
        }
    }
    all
}

fn sum(bytes: &[u8]) -> String {
    let sum = Sha256::digest(bytes);
    sum.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The entries of a backup, in their order.
fn entries(file: &str) -> Vec<(String, Vec<u8>)> {
    let mut zip = ZipArchive::new(fs::File::open(file).expect("a file")).expect("a zip file");
    let read = |at| {
        let mut entry = zip.by_index(at).expect("an entry");
        let mut bytes = Vec::new();
        entry.read_to_end(&mut bytes).expect("its bytes");
        (entry.name().expect("a name").into_owned(), bytes)
    };
    (0..zip_len(file)).map(read).collect()
}

fn zip_len(file: &str) -> usize {
    ZipArchive::new(fs::File::open(file).expect("a file"))
        .expect("a zip file")
        .len()
}

fn stored() -> SimpleFileOptions {
    SimpleFileOptions::default().compression_method(CompressionMethod::Stored)
}

fn zipped(entries: &[(String, Vec<u8>)]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in entries {
        zip.start_file(name.as_str(), stored()).expect("an entry");
        zip.write_all(bytes).expect("its bytes");
    }
    zip.finish().expect("a zip file").into_inner()
}

/// Makes the lists of sums anew, so that only what lies deeper is wrong.
fn summed(mut entries: Vec<(String, Vec<u8>)>) -> Vec<(String, Vec<u8>)> {
    let list = |entries: &[(String, Vec<u8>)], of: &dyn Fn(&str) -> bool| {
        let lines = entries.iter().filter(|(name, _)| of(name));
        let lines = lines.map(|(name, bytes)| format!("{}  {name}\n", sum(bytes)));
        lines.collect::<String>().into_bytes()
    };
    let manifest = list(&entries, &|name| name.starts_with("data/"));
    put(&mut entries, "manifest-sha256.txt", manifest);
    let tags = list(&entries, &|name| {
        !name.contains('/') && !name.starts_with("tagm")
    });
    put(&mut entries, "tagmanifest-sha256.txt", tags);
    entries
}

fn put(entries: &mut [(String, Vec<u8>)], name: &str, bytes: Vec<u8>) {
    let entry = entries.iter_mut().find(|(held, _)| held == name);
    entry.expect("an entry").1 = bytes;
}

/// The database of a backup, changed by SQL.
fn changed_by(entries: &[(String, Vec<u8>)], sql: &str) -> Vec<(String, Vec<u8>)> {
    let room = TempDir::new().expect("a folder");
    let path = room.path().join("s.sqlite");
    let mut entries = entries.to_vec();
    let at = entries
        .iter()
        .position(|(name, _)| name == "data/shelf.sqlite")
        .expect("one");
    fs::write(&path, &entries[at].1).expect("written");
    let db = rusqlite::Connection::open(&path).expect("a database");
    db.execute_batch(sql).expect("changed");
    db.close().expect("closed");
    entries[at].1 = fs::read(&path).expect("read");
    summed(entries)
}

#[test]
fn a_backup_is_a_bag_whose_sums_anybody_can_check() {
    let filled = Filled::new();
    let file = filled.backup("b.zip");
    let entries = entries(&file);
    let find = |name: &str| {
        let entry = entries.iter().find(|(held, _)| held == name);
        String::from_utf8(entry.expect("an entry").1.clone()).expect("a text")
    };
    // RFC 8493, 2.1.1: two lines, in this order.
    assert_eq!(
        find("bagit.txt"),
        "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
    );
    // RFC 8493, 2.1.3: every file of the payload in every manifest, once.
    let manifest = find("manifest-sha256.txt");
    let payload: Vec<_> = entries
        .iter()
        .filter(|(name, _)| name.starts_with("data/"))
        .collect();
    assert_eq!(manifest.lines().count(), payload.len());
    for (name, bytes) in &payload {
        assert!(
            manifest.contains(&format!("{}  {name}\n", sum(bytes))),
            "{name}"
        );
    }
    // RFC 8493, 2.2.2: octets and streams of the payload.
    let octets: usize = payload.iter().map(|(_, bytes)| bytes.len()).sum();
    let oxum = format!("Payload-Oxum: {octets}.{}", payload.len());
    assert!(
        find("bag-info.txt").contains(&oxum),
        "{}",
        find("bag-info.txt")
    );
    // The letter, two photographs of each of the four finds; what was taken away is there as well.
    assert_eq!(payload.len(), 1 + 1 + 8);
}

#[test]
fn a_shelf_backed_up_wiped_and_restored_is_the_same() {
    let filled = Filled::new();
    let file = filled.backup("b.zip");
    let before = filled.shelf().history(None, 1000).expect("acts");
    let one = filled.shelf().find("LA-2").expect("a find");
    fs::remove_dir_all(filled.path("shelf")).expect("wiped");
    let done = filled.run(&["restore", &file], "shelf");
    assert_eq!(done.code, 0, "{done:?}");
    assert!(done.out.contains("3 finds"), "{done:?}");
    let shelf = filled.shelf();
    assert_eq!(shelf.history(None, 1000).expect("acts"), before);
    assert_eq!(shelf.find("LA-2").expect("a find"), one);
    assert!(shelf.check(true).faults.is_empty());
    drop(shelf);
    // What was taken away comes back with its photographs.
    let mut shelf = Shelf::open(Path::new(&filled.path("shelf")), Access::Write).expect("a shelf");
    let seq = shelf.last_act().expect("acts");
    shelf.undo(&stamp(40), seq).expect("taken back");
    let back = shelf.find("LA-4").expect("the find");
    shelf
        .bytes_of(&back.photographs[1].digest)
        .expect("its photograph");
}

#[test]
fn a_shelf_or_file_that_is_there_is_never_written_over() {
    let filled = Filled::new();
    let file = filled.backup("b.zip");
    let before = tree(filled.room.path());
    let over = filled.run(&["restore", &file], "shelf");
    assert_eq!(over.code, 2);
    assert!(
        over.err.contains("there is a shelf") && over.err.contains("mv "),
        "{}",
        over.err
    );
    let again = filled.run(&["backup", &file], "shelf");
    assert!(
        again.code == 2 && again.err.contains("there already"),
        "{}",
        again.err
    );
    let within = filled.path("shelf/b.zip");
    let within = filled.run(&["backup", &within], "shelf");
    assert!(
        within.code == 2 && within.err.contains("own folder"),
        "{}",
        within.err
    );
    let nowhere = filled.path("none/b.zip");
    let nowhere = filled.run(&["backup", &nowhere], "shelf");
    assert!(
        nowhere.code == 2 && nowhere.err.contains("no folder"),
        "{}",
        nowhere.err
    );
    let none = filled.run(&["backup", &filled.path("c.zip")], "none");
    assert!(
        none.code == 2 && none.err.contains("no shelf"),
        "{}",
        none.err
    );
    assert_eq!(tree(filled.room.path()), before);
}

#[test]
fn a_backup_that_is_not_what_it_should_be_is_refused_whole() {
    let filled = Filled::new();
    let file = filled.backup("b.zip");
    let good = entries(&file);
    let photograph = good
        .iter()
        .position(|(name, _)| name.contains("/files/"))
        .expect("one");
    let with = |name: &str, bytes: &[u8]| {
        let mut entries = good.clone();
        entries.push((name.to_string(), bytes.to_vec()));
        summed(entries)
    };
    let changed = |at: usize| {
        let mut entries = good.clone();
        entries[at].1[0] ^= 1;
        entries
    };
    let mut line_gone = good.clone();
    let manifest = line_gone
        .iter_mut()
        .find(|(name, _)| name == "manifest-sha256.txt");
    let manifest = &mut manifest.expect("a list").1;
    let end = manifest
        .iter()
        .position(|byte| *byte == b'\n')
        .expect("a line");
    manifest.drain(..=end);
    let tags = sum(manifest);
    let list = line_gone
        .iter_mut()
        .find(|(name, _)| name == "tagmanifest-sha256.txt");
    let list = &mut list.expect("a list").1;
    let text = String::from_utf8(list.clone()).expect("a text");
    let text: Vec<String> = text
        .lines()
        .map(|line| match line.ends_with("  manifest-sha256.txt") {
            true => format!("{tags}  manifest-sha256.txt\n"),
            false => format!("{line}\n"),
        })
        .collect();
    *list = text.concat().into_bytes();
    let mut lacking = good.clone();
    lacking.remove(photograph);
    let stray = format!("data/files/ab/{}", "ab".repeat(32));
    let cases = [
        ("lead out", zipped(&with("../evil", b"x"))),
        ("lead out", zipped(&with("data/files/../../../evil", b"x"))),
        ("absolute", zipped(&with("/evil", b"x"))),
        ("absolute", zipped(&with("C:\\evil", b"x"))),
        ("none that", zipped(&with("data/shelf.sqlite-wal", b"x"))),
        ("belongs to nothing", zipped(&with(&stray, b"x"))),
        ("has no line", zipped(&line_gone)),
        ("as its sum says", zipped(&changed(photograph))),
        ("it lacks data/files", zipped(&summed(lacking.clone()))),
        ("it lacks \"data/files", zipped(&lacking)),
        ("bagit.txt", zipped(&changed(0))),
        (
            "newer Lynchet",
            zipped(&changed_by(&good, "PRAGMA user_version = 999")),
        ),
        (
            "no shelf",
            zipped(&changed_by(&good, "PRAGMA application_id = 1")),
        ),
        (
            "other tables",
            zipped(&changed_by(&good, "CREATE TABLE more (x)")),
        ),
        (
            "other tables",
            zipped(&changed_by(
                &good,
                "CREATE TRIGGER t AFTER INSERT ON find BEGIN DELETE FROM find; END",
            )),
        ),
        (
            "not there",
            zipped(&changed_by(
                &good,
                "PRAGMA foreign_keys = OFF; DELETE FROM land",
            )),
        ),
        (
            "size",
            zipped(&changed_by(&good, "UPDATE file SET bytes = bytes + 1")),
        ),
        ("no zip file", b"".to_vec()),
        ("no zip file", b"a text and no backup at all".to_vec()),
    ];
    let bad = filled.path("bad.zip");
    for (why, bytes) in cases {
        refused(&filled, &bad, &bytes, why);
    }
    let whole = fs::read(&file).expect("the backup");
    for share in [1, 10, 50, 90, 99] {
        refused(
            &filled,
            &bad,
            &whole[..whole.len() * share / 100],
            "cut short",
        );
    }
    assert!(!Path::new("/evil").exists());
}

/// Holds that a file is refused with these words, and that nothing was left.
fn refused(filled: &Filled, file: &str, bytes: &[u8], why: &str) {
    fs::write(file, bytes).expect("written");
    let names = filled.names();
    let done = filled.run(&["restore", file], "again");
    assert_eq!(done.code, 2, "{why}: {done:?}");
    assert!(done.err.contains(why), "{why}: {}", done.err);
    assert_eq!(filled.names(), names, "{why}");
}

#[test]
fn links_bombs_and_names_twice_are_refused() {
    let filled = Filled::new();
    let file = filled.backup("b.zip");
    let good = entries(&file);
    let bad = filled.path("bad.zip");
    type InMemory = ZipWriter<Cursor<Vec<u8>>>;
    let made = |more: &dyn Fn(&mut InMemory)| {
        let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
        for (name, bytes) in &good {
            zip.start_file(name.as_str(), stored()).expect("an entry");
            zip.write_all(bytes).expect("its bytes");
        }
        more(&mut zip);
        zip.finish().expect("a zip file").into_inner()
    };
    let name = |last: char| format!("data/files/ab/{}{last}", &"ab".repeat(32)[..63]);
    let link = made(&|zip| {
        zip.add_symlink(name('0').as_str(), "/etc", stored())
            .expect("a link");
    });
    refused(&filled, &bad, &link, "is a link");
    let bomb = made(&|zip| {
        let deflated = SimpleFileOptions::default();
        zip.start_file(name('0').as_str(), deflated)
            .expect("an entry");
        zip.write_all(&vec![0; 20_000_000]).expect("its bytes");
    });
    let base = made(&|_| ()).len();
    assert!(bomb.len() < base + 200_000, "{}", bomb.len());
    refused(&filled, &bad, &bomb, "is packed");
    let mut twice = made(&|zip| {
        for last in ['0', '1'] {
            zip.start_file(name(last).as_str(), stored())
                .expect("an entry");
        }
    });
    let (one, other) = (name('0').into_bytes(), name('1').into_bytes());
    let places: Vec<usize> = (0..twice.len() - one.len())
        .filter(|at| twice[*at..].starts_with(&other))
        .collect();
    assert_eq!(places.len(), 2);
    for at in places {
        twice[at..at + one.len()].copy_from_slice(&one);
    }
    refused(&filled, &bad, &twice, "twice");
    let shared = made(&|zip| {
        let source = good
            .iter()
            .find(|(name, _)| name == "data/shelf.sqlite")
            .expect("one");
        zip.shallow_copy_file(&source.0, &name('0'))
            .expect("a copy");
    });
    refused(&filled, &bad, &shared, "over the other");
}

#[test]
fn a_damaged_database_makes_no_backup_and_none_is_restored() {
    let filled = Filled::new();
    let file = filled.backup("b.zip");
    let mut good = entries(&file);
    let database = good
        .iter_mut()
        .find(|(name, _)| name == "data/shelf.sqlite")
        .expect("one");
    damage(&mut database.1);
    refused(
        &filled,
        &filled.path("bad.zip"),
        &zipped(&summed(good)),
        "damaged",
    );
    let path = filled.path("shelf/shelf.sqlite");
    let mut bytes = fs::read(&path).expect("the database");
    damage(&mut bytes);
    fs::write(&path, bytes).expect("written");
    let names = filled.names();
    let done = filled.run(&["backup", &filled.path("c.zip")], "shelf");
    assert_eq!(done.code, 2, "{done:?}");
    assert!(
        done.err.contains("damaged") && done.err.contains("last backup"),
        "{}",
        done.err
    );
    assert_eq!(filled.names(), names);
}

/// Writes over a page in the middle of a database.
pub fn damage(database: &mut [u8]) {
    let page = 4096;
    let pages = database.len() / page;
    assert!(pages > 20, "only {pages} pages");
    for at in pages / 2..pages / 2 + 3 {
        database[at * page..at * page + 600].fill(0xa5);
    }
}

#[test]
fn a_truncated_photograph_is_named_and_all_else_is_backed_up() {
    let filled = Filled::new();
    let shelf = filled.shelf();
    let digest = shelf.find("LA-1").expect("a find").photographs[0]
        .digest
        .clone();
    let path = shelf.path_of(&digest);
    let bytes = fs::read(&path).expect("a photograph");
    fs::write(&path, &bytes[..bytes.len() / 2]).expect("cut short");
    let file = filled.path("b.zip");
    let done = filled.run(&["backup", &file], "shelf");
    assert_eq!(done.code, 2, "{done:?}");
    assert!(
        done.err.contains("not in the backup") && done.err.contains(&digest),
        "{}",
        done.err
    );
    let done = filled.run(&["restore", &file], "again");
    assert_eq!(done.code, 2, "{done:?}");
    assert!(done.out.contains("3 finds and 8 files"), "{}", done.out);
    assert!(done.err.contains(&digest), "{}", done.err);
}

#[cfg(unix)]
#[test]
fn a_full_disk_leaves_nothing_behind() {
    let filled = Filled::new();
    let names = filled.names();
    let whole = filled.backup("b.zip");
    let bytes = fs::metadata(&whole).expect("the backup").len();
    // A bound on the size of files stands in for the end of a disk.
    for kilobytes in [1, bytes / 2048, bytes * 9 / 10_240] {
        let script = format!(
            "trap '' XFSZ; ulimit -f {}; exec \"$0\" backup \"$1\" --shelf \"$2\"",
            2 * kilobytes
        );
        let ended = Command::new("sh")
            .args(["-c", &script, env!("CARGO_BIN_EXE_lynchet")])
            .args([filled.path("c.zip"), filled.path("shelf")])
            .output()
            .expect("it runs");
        let told = String::from_utf8_lossy(&ended.stderr);
        assert_eq!(ended.status.code(), Some(2), "{told}");
        assert!(
            told.starts_with("lynchet: ") && told.lines().count() == 2,
            "{told}"
        );
    }
    fs::remove_file(whole).expect("removed");
    assert_eq!(filled.names(), names);
    assert!(filled.shelf().check(true).faults.is_empty());
}

#[cfg(unix)]
#[test]
fn a_folder_that_cannot_be_written_is_named() {
    let filled = Filled::new();
    // Nobody makes a file there, whatever their rights.
    let done = filled.run(&["backup", "/proc/backup.zip"], "shelf");
    assert_eq!(done.code, 2);
    assert!(done.err.contains("/proc/"), "{}", done.err);
    let file = filled.backup("b.zip");
    let shelf = "/proc/shelf";
    let done = run(["restore", &file, "--shelf", shelf]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("/proc/"), "{}", done.err);
}

#[test]
fn a_locked_shelf_is_read_and_backed_up_and_a_write_says_why_it_waits_no_longer() {
    let filled = Filled::new();
    let other = rusqlite::Connection::open(filled.path("shelf/shelf.sqlite")).expect("opened");
    other
        .execute_batch("BEGIN IMMEDIATE; DELETE FROM tag")
        .expect("locked");
    filled.backup("b.zip");
    assert_eq!(filled.run(&["collection", "show", "LA-1"], "shelf").code, 0);
    let done = filled.run(&["collection", "tag", "LA-1", "more"], "shelf");
    assert_eq!(done.code, 2, "{done:?}");
    assert!(
        done.err.contains("another process") && done.err.contains("try again"),
        "{}",
        done.err
    );
    other.execute_batch("ROLLBACK").expect("let go");
    let done = filled.run(&["collection", "tag", "LA-1", "more"], "shelf");
    assert_eq!(done.code, 0, "{done:?}");
}

#[cfg(unix)]
#[test]
fn a_write_to_a_full_disk_fails_with_words_and_nothing_is_lost() {
    let filled = Filled::new();
    let before = filled.shelf().last_act().expect("acts");
    for bound in [0, 1, 20, 70] {
        let script = format!("trap '' XFSZ; ulimit -f {bound}; exec \"$0\" \"$@\"");
        let ended = Command::new("sh")
            .args(["-c", &script, env!("CARGO_BIN_EXE_lynchet")])
            .args([
                "collection",
                "edit",
                "LA-1",
                "--shelf",
                &filled.path("shelf"),
            ])
            .args(["--notes", &"a long note ".repeat(9_000)])
            .output()
            .expect("it runs");
        let told = String::from_utf8_lossy(&ended.stderr);
        assert_eq!(ended.status.code(), Some(2), "{bound}: {told}");
        assert!(
            told.starts_with("lynchet: ") && told.lines().count() <= 3,
            "{told}"
        );
    }
    let shelf = filled.shelf();
    assert_eq!(shelf.last_act().expect("acts"), before);
    assert!(shelf.check(true).faults.is_empty());
    drop(shelf);
    assert_eq!(
        filled
            .run(&["collection", "tag", "LA-1", "more"], "shelf")
            .code,
        0
    );
}

#[cfg(unix)]
#[test]
fn a_shelf_that_can_only_be_read_is_read_backed_up_and_exported() {
    use std::os::unix::fs::PermissionsExt;
    let filled = Filled::new();
    let shelf = filled.room.path().join("shelf");
    let allow = |path: &Path, mode| {
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).expect("changed");
    };
    // Closed by the last writer, so that nothing waits beside the database.
    drop(filled.writer());
    let out = filled.room.path().join("out");
    fs::create_dir(&out).expect("a folder");
    allow(&out, 0o777);
    allow(filled.room.path(), 0o755);
    for folder in [shelf.clone(), shelf.join("files")] {
        allow(&folder, 0o555);
    }
    allow(&shelf.join("shelf.sqlite"), 0o444);
    // Rights do not bind the superuser: then the program is run as somebody else.
    let superuser = fs::write(shelf.join("probe"), "").is_ok();
    let _ = fs::remove_file(shelf.join("probe"));
    let run = |arguments: &[&str]| {
        let mut command = match superuser {
            true => {
                let mut other = Command::new("setpriv");
                other.args(["--reuid=65534", "--regid=65534", "--clear-groups"]);
                other.arg(env!("CARGO_BIN_EXE_lynchet"));
                other
            }
            false => Command::new(env!("CARGO_BIN_EXE_lynchet")),
        };
        let shelf = shelf.to_string_lossy().into_owned();
        let done = command.args(arguments).args(["--shelf", &shelf]).output();
        done.ok().map(Outcome::from)
    };
    let Some(listed) = run(&["collection", "list"]) else {
        return;
    };
    if superuser && listed.err.contains("setpriv") {
        return;
    }
    assert!(
        listed.code == 0 && listed.out.contains("LA-1"),
        "{listed:?}"
    );
    let done = run(&["collection", "tag", "LA-1", "more"]).expect("it runs");
    assert!(
        done.code == 2 && done.err.contains("not written"),
        "{done:?}"
    );
    let (zip, folder) = (filled.path("out/b.zip"), filled.path("out/e"));
    for arguments in [
        &["backup", zip.as_str()][..],
        &["collection", "export", &folder],
    ] {
        let done = run(arguments).expect("it runs");
        assert_eq!(done.code, 0, "{done:?}");
    }
    for folder in [shelf.clone(), shelf.join("files")] {
        allow(&folder, 0o755);
    }
}

/// Says to the test's own program, run again, which shelf it is to fill.
const BUSY: &str = "LYNCHET_TEST_BUSY";
/// How many kills, unless the environment says.
const KILLS: &str = "LYNCHET_TEST_KILLS";

/// No test by itself: the busy writer that [`killed_at_any_instant_nothing_confirmed_is_lost`]
/// starts and kills. Adds finds with a photograph each, and says each when the call has returned.
#[test]
fn busy_writer() {
    let Some(folder) = std::env::var_os(BUSY) else {
        return;
    };
    let mut shelf = Shelf::open(Path::new(&folder), Access::Write).expect("a shelf");
    let from = shelf.last_act().expect("acts");
    let mut out = std::io::stdout();
    for at in 0..100_000_u32 {
        let number = u32::try_from(from).expect("few") + at + 1;
        let id = format!("K-{number}");
        shelf
            .add_find(&stamp(0), NewFind::of(Entry::new(&id)))
            .expect("a find");
        let _ = writeln!(out, "\nfind {id}");
        let picture = vec![photograph(number, "obverse")];
        shelf
            .add_photographs(&stamp(0), &id, picture)
            .expect("a photograph");
        let _ = writeln!(out, "\nphotograph {id}");
    }
}

/// A row of numbers that look random, the same every time.
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % most
    }
}

fn spin(times: u64) {
    for at in 0..times {
        std::hint::black_box(at);
    }
}

#[test]
fn killed_at_any_instant_nothing_confirmed_is_lost() {
    let told = std::env::var(KILLS).ok().and_then(|told| told.parse().ok());
    let rounds: u64 = told.unwrap_or(12);
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
    let room = TempDir::new().expect("a folder");
    let (mut finds, mut photographs, mut orphans) = (Vec::new(), Vec::new(), 0);
    for round in 0..rounds {
        // A shelf of its own now and then, so that the making of one is cut off as well.
        let folder = room.path().join((round / 25).to_string());
        if round % 25 == 0 {
            finds.clear();
            photographs.clear();
        }
        let mut child = Command::new(std::env::current_exe().expect("this program"))
            .args(["shelf_safety::busy_writer", "--exact", "--nocapture"])
            .env(BUSY, &folder)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("it runs");
        let lines = BufReader::new(child.stdout.take().expect("its output")).lines();
        let (after, mut seen) = (dice.below(24), 0);
        let mut killed = false;
        if dice.below(5) == 0 {
            // While it starts, opens or makes the shelf, or is at its first find.
            spin(dice.below(100_000_000));
            child.kill().expect("killed");
            killed = true;
        }
        let spins = dice.below(3_000_000);
        for line in lines.map_while(Result::ok) {
            match line.split_once(' ') {
                Some(("find", id)) => finds.push(id.to_string()),
                Some(("photograph", id)) => photographs.push(id.to_string()),
                _ => continue,
            }
            seen += 1;
            if seen > after && !killed {
                spin(spins);
                child.kill().expect("killed");
                killed = true;
            }
        }
        child.wait().expect("it ended");
        assert!(killed, "the writer ended by itself");
        orphans += sound_after_kill(&folder, &finds, &photographs);
    }
    let _ = writeln!(
        std::io::stderr(),
        "{rounds} kills, {} finds and {} photographs confirmed on the last shelf, {orphans} files \
         left unnamed and listed",
        finds.len(),
        photographs.len()
    );
}

/// Holds that all that was confirmed is there and that what is not named is listed.
fn sound_after_kill(folder: &Path, finds: &[String], photographs: &[String]) -> usize {
    let shelf = Shelf::open(folder, Access::Write).expect("it opens");
    let health = shelf.check(true);
    assert!(health.faults.is_empty(), "{:?}", health.faults);
    for id in finds {
        shelf
            .find(id)
            .unwrap_or_else(|fault| panic!("{id}: {fault}"));
    }
    for id in photographs {
        let find = shelf.find(id).expect("a find");
        shelf
            .bytes_of(&find.photographs[0].digest)
            .unwrap_or_else(|fault| panic!("{id}: {fault}"));
    }
    let held = match folder.join("files").exists() {
        true => tree(&folder.join("files")).len(),
        false => 0,
    };
    assert_eq!(held, health.files as usize + health.orphans.len());
    health.orphans.len()
}
