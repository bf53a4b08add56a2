//! How long a large shelf takes, and what memory.
//!
//! Makes a shelf of 100,000 finds in one act, with land, findspots, identifications and 100,000
//! rows of photographs over 500 files of 400 kB, then measures, each in a process of its own: opening;
//! lists by filters, and full-text search, the first and the later ones; adding one find until it
//! is safe on the disk, with the index kept up; the backup against a plain copy of the same files;
//! the whole export. Medians; the most memory by the kernel's account.
//! Start with `cargo bench --bench shelf`; `--finds N` makes another size.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

use lynchet::collect::{
    Access, Entry, Filter, Identified, Land, LandKind, NewFind, Shelf, Stamp, Status,
};
use lynchet::find::MetalSeen;
use sha2::{Digest, Sha256};

/// Finds, unless told.
const FINDS: usize = 100_000;
/// Files and their size.
const FILES: (usize, usize) = (500, 400_000);

fn main() -> io::Result<()> {
    let arguments: Vec<String> = std::env::args().collect();
    let after = |flag: &str| {
        let at = arguments.iter().position(|one| one == flag)?;
        arguments.get(at + 1).cloned()
    };
    let finds = after("--finds")
        .and_then(|finds| finds.parse().ok())
        .unwrap_or(FINDS);
    let mut out = io::stdout();
    if let (Some(part), Some(folder)) = (after("--part"), after("--folder")) {
        let folder = PathBuf::from(folder);
        match part.as_str() {
            "make" => make(&folder, finds, &mut out)?,
            "use" => using(&folder, &mut out)?,
            "backup" => backup(&folder, &mut out)?,
            "copy" => copy(&folder, &mut out)?,
            _ => export(&folder, &mut out)?,
        }
        return writeln!(out, "{part}: most memory {:.0} MB", memory());
    }
    let room = tempfile::tempdir()?;
    writeln!(
        out,
        "{finds} finds, {} files of {} kB",
        FILES.0,
        FILES.1 / 1000
    )?;
    for part in ["make", "use", "backup", "copy", "export"] {
        let mut own = Command::new(std::env::current_exe()?);
        own.args(["--part", part, "--finds", &finds.to_string(), "--folder"])
            .arg(room.path());
        let said = own.output()?;
        out.write_all(&said.stdout)?;
        if !said.status.success() {
            return Err(io::Error::other(
                String::from_utf8_lossy(&said.stderr).into_owned(),
            ));
        }
    }
    Ok(())
}

fn stamp() -> Stamp {
    Stamp::new("finder", "2026-03-14T10:00:00Z")
}

/// Numbers that look random, the same every time.
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % most as u64) as usize
    }
}

const METALS: [&str; 3] = ["silver", "copper alloy", "gold"];
const NAMES: [&str; 6] = [
    "penny of Edward I",
    "nummus of Constantine I",
    "radiate of Tetricus I",
    "groat of Edward III",
    "strap buckle",
    "farthing of Charles I",
];
const WORDS: [&str; 8] = [
    "long cross",
    "bust facing",
    "worn",
    "clipped",
    "two soldiers",
    "fallen horseman",
    "bent",
    "star",
];

fn a_find(at: usize, land: i64, dice: &mut Dice) -> NewFind {
    let mut entry = Entry::new(&format!("N-{at}"));
    entry.words = format!(
        "{}, {}, reads EDW R",
        WORDS[dice.below(8)],
        WORDS[dice.below(8)]
    );
    entry.said = vec![("obverse-legend".into(), "EDW R ANGL DNS HYB".into())];
    entry.land = Some(land);
    entry.found_on = Some(format!(
        "20{:02}-0{}-1{}",
        10 + dice.below(16),
        1 + dice.below(9),
        dice.below(10)
    ));
    entry.findspot = Some(format!(
        "SP {:04} {:04}",
        dice.below(10_000),
        dice.below(10_000)
    ));
    entry.metal = METALS.get(dice.below(3)).map(|metal| (*metal).to_string());
    entry.weight_g = Some(1.0 + dice.below(400) as f64 / 100.0);
    entry.diameter_mm = Some(12.0 + dice.below(150) as f64 / 10.0);
    entry.storage = Some(format!("box {}", dice.below(200)));
    entry.notes = "A find that never was, for measuring.".into();
    let mut new = NewFind::of(entry);
    let mut named = Identified::new(NAMES[dice.below(6)]);
    named.period = Some(["roman", "medieval", "post-medieval"][dice.below(3)].into());
    named.share = Some(0.5);
    new.identified = Some(named);
    new.tags = vec![format!("tag {}", dice.below(20))];
    new
}

fn fault(error: impl std::fmt::Display) -> io::Error {
    io::Error::other(error.to_string())
}

fn make(folder: &Path, finds: usize, out: &mut dyn Write) -> io::Result<()> {
    let place = folder.join("shelf");
    let mut shelf = Shelf::open(&place, Access::Write).map_err(fault)?;
    let mut dice = Dice(1662);
    let mut lands = Vec::new();
    for at in 0..200 {
        let land = Land::new(&format!("F-{at}"), LandKind::Field, &format!("Field {at}"));
        lands.push(shelf.add_land(&stamp(), land).map_err(fault)?.key);
    }
    let started = Instant::now();
    let new: Vec<NewFind> = (0..finds)
        .map(|at| a_find(at, lands[dice.below(200)], &mut dice))
        .collect();
    shelf.add_finds(&stamp(), new).map_err(fault)?;
    writeln!(
        out,
        "{finds} finds added in one act in {:.1} s",
        started.elapsed().as_secs_f64()
    )?;
    drop(shelf);
    let mut digests = Vec::new();
    let mut db = rusqlite::Connection::open(place.join("shelf.sqlite")).map_err(fault)?;
    let run = db.transaction().map_err(fault)?;
    for at in 0..FILES.0 {
        let mut dice = Dice(at as u64 + 1);
        let bytes: Vec<u8> = (0..FILES.1).map(|_| dice.below(256) as u8).collect();
        let sum = Sha256::digest(&bytes);
        let digest: String = sum.iter().map(|byte| format!("{byte:02x}")).collect();
        let above = place.join("files").join(&digest[..2]);
        fs::create_dir_all(&above)?;
        fs::write(above.join(&digest), &bytes)?;
        let sql = "INSERT INTO file (digest, bytes, media) VALUES (?1, ?2, 'image/jpeg')";
        run.execute(sql, (&digest, FILES.1 as i64)).map_err(fault)?;
        digests.push(digest);
    }
    for find in 1..=finds {
        let sql = "INSERT INTO photograph (find, place, view, digest, name, width, height, bytes) \
                   VALUES (?1, 1, 'obverse', ?2, 'IMG.jpg', 4000, 3000, ?3)";
        let digest = &digests[find % digests.len()];
        let mut asked = run.prepare_cached(sql).map_err(fault)?;
        asked
            .execute((find as i64, digest, FILES.1 as i64))
            .map_err(fault)?;
    }
    run.commit().map_err(fault)
}

/// Times in milliseconds, sorted.
fn times(count: usize, mut work: impl FnMut(usize) -> io::Result<()>) -> io::Result<Vec<f64>> {
    let mut took = Vec::with_capacity(count);
    for at in 0..count {
        let started = Instant::now();
        work(at)?;
        took.push(started.elapsed().as_secs_f64() * 1e3);
    }
    took.sort_by(f64::total_cmp);
    Ok(took)
}

fn told(out: &mut dyn Write, what: &str, bar: f64, took: &[f64]) -> io::Result<()> {
    let at = |share: f64| took[((took.len() - 1) as f64 * share) as usize];
    let (median, slow) = (at(0.5), at(0.95));
    writeln!(
        out,
        "{what}: median {median:.2} ms, 19 in 20 below {slow:.2} ms, bar {bar:.0} ms"
    )
}

fn using(folder: &Path, out: &mut dyn Write) -> io::Result<()> {
    let place = folder.join("shelf");
    let opened = times(21, |_| {
        let shelf = Shelf::open(&place, Access::Read).map_err(fault)?;
        std::hint::black_box(shelf.last_act().map_err(fault)?);
        Ok(())
    })?;
    told(out, "open", 100.0, &opened)?;
    let mut shelf = Shelf::open(&place, Access::Write).map_err(fault)?;
    let page = || Filter {
        most: Some(50),
        ..Filter::default()
    };
    let filters = [
        ("list, the first page", page()),
        (
            "list by land",
            Filter {
                land: Some("F-7".into()),
                ..page()
            },
        ),
        (
            "list by metal and status",
            Filter {
                metal: MetalSeen::ALL
                    .into_iter()
                    .find(|metal| metal.name() == "gold"),
                status: Some(Status::InHand),
                ..page()
            },
        ),
        (
            "list by period",
            Filter {
                period: Some("roman".into()),
                ..page()
            },
        ),
        (
            "list by tag",
            Filter {
                tag: Some("tag 3".into()),
                ..page()
            },
        ),
        (
            "list by weight",
            Filter {
                weight_g: Some((1.2, 1.3)),
                ..page()
            },
        ),
        (
            "list by days",
            Filter {
                found_from: Some("2012-01-01".into()),
                found_to: Some("2012-12-31".into()),
                ..page()
            },
        ),
        (
            "list without photographs",
            Filter {
                photographed: Some(false),
                ..page()
            },
        ),
    ];
    for (what, filter) in &filters {
        let took = times(21, |_| {
            std::hint::black_box(shelf.list(filter).map_err(fault)?);
            Ok(())
        })?;
        told(out, what, 50.0, &took)?;
    }
    let first = times(1, |_| {
        std::hint::black_box(shelf.search("long cross", 50).map_err(fault)?);
        Ok(())
    })?;
    writeln!(
        out,
        "search, the first, which makes the index: {:.0} ms",
        first[0]
    )?;
    for words in [
        "long cross",
        "fallen horsem",
        "N-4711",
        "penny edward clipped",
    ] {
        let took = times(21, |_| {
            std::hint::black_box(shelf.search(words, 50).map_err(fault)?);
            Ok(())
        })?;
        told(out, &format!("search {words:?}"), 50.0, &took)?;
    }
    let mut dice = Dice(7);
    let added = times(101, |at| {
        let new = a_find(1_000_000 + at, 1, &mut dice);
        shelf.add_find(&stamp(), new).map(|_| ()).map_err(fault)
    })?;
    told(out, "add, safe on the disk", 20.0, &added)?;
    let after = times(21, |at| {
        let new = a_find(2_000_000 + at, 1, &mut dice);
        shelf.add_find(&stamp(), new).map_err(fault)?;
        std::hint::black_box(shelf.search("long cross", 50).map_err(fault)?);
        Ok(())
    })?;
    told(out, "add, then search", 70.0, &after)
}

fn backup(folder: &Path, out: &mut dyn Write) -> io::Result<()> {
    let shelf = Shelf::open(&folder.join("shelf"), Access::Read).map_err(fault)?;
    let mut bytes = 0;
    let mut turn = 0;
    let took = times(3, |_| {
        turn += 1;
        bytes = shelf
            .backup(&folder.join(format!("{turn}.zip")))
            .map_err(fault)?
            .bytes;
        Ok(())
    })?;
    speed(out, "backup", bytes, took[1])?;
    let again = folder.join("again");
    let started = Instant::now();
    lynchet::collect::restore(&folder.join("1.zip"), &again).map_err(fault)?;
    speed(out, "restore", bytes, started.elapsed().as_secs_f64() * 1e3)
}

fn speed(out: &mut dyn Write, what: &str, bytes: u64, ms: f64) -> io::Result<()> {
    let mb = bytes as f64 / 1e6;
    writeln!(
        out,
        "{what}: {mb:.0} MB in {:.2} s, {:.0} MB/s",
        ms / 1e3,
        mb / (ms / 1e3)
    )
}

/// The same files copied plainly, one after the other, each safe on the disk at the end.
fn copy(folder: &Path, out: &mut dyn Write) -> io::Result<()> {
    let mut bytes = 0;
    let mut turn = 0;
    let took = times(3, |_| {
        turn += 1;
        bytes = copied(&folder.join("shelf"), &folder.join(format!("copy-{turn}")))?;
        Ok(())
    })?;
    speed(out, "plain copy", bytes, took[1])
}

fn copied(from: &Path, to: &Path) -> io::Result<u64> {
    fs::create_dir_all(to)?;
    let mut bytes = 0;
    for one in fs::read_dir(from)? {
        let one = one?;
        let to = to.join(one.file_name());
        if one.path().is_dir() {
            bytes += copied(&one.path(), &to)?;
        } else {
            bytes += fs::copy(one.path(), &to)?;
            fs::File::open(&to)?.sync_all()?;
        }
    }
    Ok(bytes)
}

fn export(folder: &Path, out: &mut dyn Write) -> io::Result<()> {
    let shelf = Shelf::open(&folder.join("shelf"), Access::Read).map_err(fault)?;
    let started = Instant::now();
    shelf.export(&folder.join("export"), None).map_err(fault)?;
    writeln!(
        out,
        "whole export in {:.1} s",
        started.elapsed().as_secs_f64()
    )?;
    let started = Instant::now();
    lynchet::collect::import(&folder.join("export"), &folder.join("third")).map_err(fault)?;
    writeln!(out, "and back in {:.1} s", started.elapsed().as_secs_f64())
}

/// The most memory so far, in megabytes, by the kernel's account; nought where it keeps none.
fn memory() -> f64 {
    let account = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = account.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kilobytes = line.and_then(|line| line.split_whitespace().next()?.parse::<f64>().ok());
    kilobytes.unwrap_or(0.0) / 1024.0
}
