//! The record's PDF and the pack for the officer, held against tools from outside: pdftotext and
//! pdftoppm (poppler) read and draw the page, Python's own zipfile and hashlib the pack.
//!
//! Runs the real binary. The finds, places and people are invented; the coin is drawn.
//!
//! Invariant: every length is measured on the drawn page, never taken from the layout.

use std::fs;
use std::path::Path;
use std::process::Command;

use serde_json::Value;
use tempfile::TempDir;
use unicode_normalization::UnicodeNormalization;

use super::kit::outside::python;
use super::kit::{Outcome, run};
use super::photo::{PLACE, as_from_a_camera, jpeg};

/// Pixels an inch of the drawn page.
const DOTS: f64 = 300.0;
/// A place that never was a findspot, on the coast of Norfolk.
const SPOT: &str = "TG 51409 13177";
const COIN: &str = "silver, 1.2 g, 20 mm, long cross";

fn call(arguments: &[&str]) -> Outcome {
    let mut all = vec!["record", "--today", "2026-11-26"];
    all.extend(arguments);
    run(all)
}

fn done(arguments: &[&str]) {
    let outcome = call(arguments);
    assert_eq!(outcome.code, 0, "{arguments:?}: {}", outcome.err);
}

fn refused(arguments: &[&str], says: &[&str]) {
    let outcome = call(arguments);
    assert_eq!(outcome.code, 2, "{arguments:?}: {}", outcome.out);
    for part in says {
        assert!(
            outcome.err.contains(part),
            "lacks {part:?}: {}",
            outcome.err
        );
    }
}

/// A tool of poppler-utils; its absence is a fault and no reason to skip.
fn poppler(tool: &str, arguments: &[&str]) -> Vec<u8> {
    let ended = Command::new(tool).args(arguments).output();
    let ended = ended.unwrap_or_else(|why| {
        panic!("{tool}: {why}; install poppler-utils: apt-get install poppler-utils")
    });
    let told = String::from_utf8_lossy(&ended.stderr);
    assert!(ended.status.success(), "{tool} {arguments:?}: {told}");
    // Poppler 22 takes the entry Suspects of a tagged document for a fault; ISO 32000-1, table 321,
    // has it as the boolean that stands there (from memory).
    let complains = told.lines().find(|line| !line.contains("Suspects object"));
    assert_eq!(complains, None, "{tool}");
    ended.stdout
}

fn text_of(pdf: &Path) -> String {
    let pdf = pdf.display().to_string();
    let text = poppler("pdftotext", &["-raw", "-enc", "UTF-8", &pdf, "-"]);
    String::from_utf8(text).expect("UTF-8")
}

/// Letters alone, taken apart: where lines break does not matter.
fn bare(text: &str) -> String {
    text.nfd().filter(|c| !c.is_whitespace()).collect()
}

/// A drawn coin as a camera gives it: a disc of 480 pixels, reddish, on grey, with the place where
/// it was taken.
fn coin(folder: &TempDir, name: &str) -> String {
    let size = 640_usize;
    let mut rgb = Vec::with_capacity(3 * size * size);
    for y in 0..size {
        for x in 0..size {
            let (dx, dy) = (x as f64 - 319.5, y as f64 - 319.5);
            let away = dx.hypot(dy);
            let cross = dx.abs() < 12.0 || dy.abs() < 12.0;
            rgb.extend(match (away <= 240.0, cross) {
                (true, true) => [190, 120, 60],
                (true, false) => [150, 80, 20],
                (false, _) => [225, 225, 225],
            });
        }
    }
    let bytes = as_from_a_camera(&jpeg(&rgb, size as u32, size as u32, 95));
    assert!(
        bytes
            .windows(PLACE.len())
            .any(|part| part == PLACE.as_bytes())
    );
    let path = folder.path().join(name);
    fs::write(&path, bytes).expect("the photograph is written");
    path.display().to_string()
}

fn place(folder: &TempDir, name: &str) -> String {
    folder.path().join(name).display().to_string()
}

/// The first page, drawn.
fn page(pdf: &str, folder: &TempDir) -> image::RgbImage {
    let root = place(folder, "page");
    let dots = DOTS.to_string();
    poppler(
        "pdftoppm",
        &[
            "-r",
            &dots,
            "-f",
            "1",
            "-l",
            "1",
            "-singlefile",
            "-png",
            pdf,
            &root,
        ],
    );
    let drawn = image::open(format!("{root}.png")).expect("a page");
    drawn.into_rgb8()
}

fn mm(pixels: usize) -> f64 {
    pixels as f64 / DOTS * 25.4
}

/// Lengths of black runs along a row, in pixels.
fn black(page: &image::RgbImage, y: u32) -> Vec<usize> {
    let (mut runs, mut run) = (Vec::new(), 0);
    for x in 0..page.width() {
        if page.get_pixel(x, y).0.iter().all(|v| *v < 90) {
            run += 1;
        } else {
            runs.push(std::mem::take(&mut run));
        }
    }
    runs
}

// The bars of the issue: the page has A4, the bars and the ruler their length within 0.2 mm, a coin of
// 20 mm is 20 mm within 0.3.
#[test]
fn the_drawn_page_has_the_true_scale() {
    let folder = TempDir::new().expect("a folder");
    let (front, pdf) = (coin(&folder, "front.jpg"), place(&folder, "draft.pdf"));
    done(&[COIN, "--obverse", &front, "--form", "pdf", "--to", &pdf]);
    let page = page(&pdf, &folder);
    // ISO 216: A4 is 210 x 297 mm.
    assert!((mm(page.width() as usize) - 210.0).abs() < 0.2);
    assert!((mm(page.height() as usize) - 297.0).abs() < 0.2);
    let at = |mm: f64| (mm / 25.4 * DOTS) as u32;
    let longest = |rows: std::ops::Range<u32>, most: f64| {
        let runs = rows.flat_map(|y| black(&page, y));
        mm(runs.filter(|run| mm(*run) < most).max().unwrap_or(0))
    };
    let ruler = longest(at(273.0)..page.height(), 1000.0);
    assert!((ruler - 50.0).abs() <= 0.2, "the ruler has {ruler} mm");
    // Within the find's plates the bar of 15 mm stands once and at twice its size.
    let twice = longest(0..at(150.0), 1000.0);
    let once = longest(0..at(150.0), 25.0);
    assert!((twice - 30.0).abs() <= 0.2, "the bar at 2:1 has {twice} mm");
    assert!((once - 15.0).abs() <= 0.2, "the bar at 1:1 has {once} mm");
    let coloured = |x: u32| {
        let metal = |y: u32| {
            let [r, _, b] = page.get_pixel(x, y).0;
            i32::from(r) - i32::from(b) > 65
        };
        (0..page.height()).any(metal)
    };
    let (mut wide, mut run) = (Vec::new(), 0);
    for x in 0..page.width() {
        match coloured(x) {
            true => run += 1,
            false if run > 0 => wide.push(mm(std::mem::take(&mut run))),
            false => {}
        }
    }
    let [small, large] = wide.as_slice() else {
        panic!("two coins: {wide:?}");
    };
    assert!((small - 20.0).abs() <= 0.3, "{small}");
    assert!((large - 40.0).abs() <= 0.3, "{large}");
}

#[test]
fn every_field_stands_in_the_page_as_text() {
    let folder = TempDir::new().expect("a folder");
    let pdf = place(&folder, "draft.pdf");
    let legend = "[---]E?D?W R / ANG<L> ((crux)) ÆÐÞ";
    let note = "found at the edge of Invented Field \u{2013} in two pieces";
    let find = [
        COIN,
        "--obverse-legend",
        legend,
        "--findspot",
        SPOT,
        "--number",
        "12",
        "--note",
        note,
    ];
    let with = |more: &[&'static str]| [find.as_slice(), more].concat();
    done(&[with(&["--form", "pdf"]).as_slice(), &["--to", &pdf]].concat());
    let json = call(&with(&["--json"]));
    assert_eq!(json.code, 0, "{}", json.err);
    let json: Value = serde_json::from_str(&json.out).expect("JSON");
    let text = text_of(Path::new(&pdf));
    let letters = bare(&text);
    let mut seen = 0;
    for field in json["fields"].as_array().expect("fields") {
        let Some(value) = field["value"].as_str() else {
            continue;
        };
        seen += 1;
        let label = field["label"].as_str().expect("a label");
        assert!(
            letters.contains(&bare(value)),
            "{value:?} is not in: {text}"
        );
        assert!(
            letters.contains(&bare(label)),
            "{label:?} is not in: {text}"
        );
    }
    assert!(seen > 10, "{seen} fields");
    assert!(letters.contains(&bare("E\u{323}D\u{323}W")), "{text}");
    for (list, key) in [("missing", "text"), ("cautions", ""), ("notes", "")] {
        for one in json[list].as_array().expect("a list") {
            let says = one.as_str().or(one[key].as_str()).expect("a text");
            assert!(letters.contains(&bare(says)), "{says:?} is not in: {text}");
        }
    }
    assert!(letters.contains(&bare("page 1 of")), "{text}");
    assert!(letters.contains(&bare("cut to squares of 1 km")), "{text}");
    let info = String::from_utf8(poppler("pdfinfo", &[&pdf])).expect("UTF-8");
    for says in ["Draft record 12", "Tagged:          yes", "A4"] {
        assert!(info.contains(says), "lacks {says}: {info}");
    }
    assert!(!info.contains("CreationDate"), "{info}");
    let fonts = String::from_utf8(poppler("pdffonts", &[&pdf])).expect("UTF-8");
    let last = fonts.lines().last().expect("a font");
    // Embedded, subset, with a way back to letters.
    assert!(last.contains("yes yes yes"), "{fonts}");
}

#[test]
fn long_texts_flow_over_pages_and_no_letter_is_lost() {
    let folder = TempDir::new().expect("a folder");
    let pdf = place(&folder, "draft.pdf");
    let words: String = (0..450).map(|at| format!("word{at} ")).collect();
    let long = "x".repeat(3000);
    let strange = "漢 \u{1f600} \u{202e} é";
    let notes = ["--note", &words, "--note", &long, "--note", strange];
    let mut all = vec![COIN, "--form", "pdf", "--to", &pdf];
    all.extend(notes);
    done(&all);
    let text = text_of(Path::new(&pdf));
    let feet = |line: &&str| line.contains(" page ") && line.contains(" of ");
    let pages = text.lines().filter(feet).count();
    assert!(pages > 1, "{pages} page(s)");
    for at in [0, 300, 449] {
        assert!(text.contains(&format!("word{at}")), "word{at}");
    }
    let runs = text.matches('x').count();
    assert!(runs >= 3000, "{runs} of 3000 letters");
    assert!(
        text.contains("(U+6F22) (U+1F600)") && text.contains('é'),
        "{text}"
    );
    assert!(text.contains("cannot draw"), "{text}");
}

#[test]
fn the_same_call_gives_the_same_bytes() {
    let folder = TempDir::new().expect("a folder");
    let front = coin(&folder, "front.jpg");
    for flags in [["--form", "pdf", "--to"].as_slice(), &["--pack"]] {
        let made = ["one", "two"].map(|name| {
            let file = place(&folder, &format!("{name}{}", flags.len()));
            let mut all = vec![COIN, "--obverse", &front];
            all.extend(flags);
            all.push(&file);
            done(&all);
            fs::read(&file).expect("a file")
        });
        assert!(made[0] == made[1], "{flags:?}");
    }
}

// ---- The pack -----------------------------------------------------------------------------------

/// Opens a pack with Python's zipfile, checks its sums with hashlib, and lays the files out.
const OPENS: &str = "\
import hashlib, pathlib, sys, zipfile
pack = zipfile.ZipFile(sys.argv[1])
assert pack.testzip() is None
names = pack.namelist()
assert len(set(names)) == len(names), names
sums = dict(line.split('  ', 1)[::-1] for line in pack.read('manifest-sha256.txt').decode().splitlines())
assert set(sums) == set(names) - {'manifest-sha256.txt'}, (sums, names)
for name in names:
    assert '/' not in name and '\\\\' not in name and not name.startswith('.'), name
    assert pack.getinfo(name).date_time == (1980, 1, 1, 0, 0, 0), name
    if name in sums:
        assert hashlib.sha256(pack.read(name)).hexdigest() == sums[name], name
pack.extractall(sys.argv[2])
print(' '.join(sorted(names)))
";

/// The names of a pack, whose files are then in a folder.
fn unpacked(pack: &str, to: &str) -> String {
    let ended = Command::new(python(&["pillow"]))
        .args(["-c", OPENS, pack, to])
        .output()
        .expect("Python");
    let told = String::from_utf8_lossy(&ended.stderr);
    assert!(ended.status.success(), "{told}");
    String::from_utf8(ended.stdout)
        .expect("UTF-8")
        .trim()
        .into()
}

/// Every file of a folder that is text, and what the PDF says.
fn texts(folder: &str) -> String {
    let mut all = String::new();
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("a file").path();
        let ending = path.extension().and_then(|one| one.to_str()).unwrap_or("");
        all.push_str(&match ending {
            "pdf" => text_of(&path),
            "jpg" | "png" => continue,
            _ => fs::read_to_string(&path).expect("text"),
        });
    }
    all
}

fn packed(folder: &TempDir, name: &str, more: &[&str]) -> (String, String) {
    let (front, back) = (coin(folder, "IMG_1.jpg"), coin(folder, "IMG_2.jpg"));
    let (pack, to) = (place(folder, &format!("{name}.zip")), place(folder, name));
    let mut all = vec![
        COIN,
        "--obverse-legend",
        "[---]EDW R",
        "--obverse",
        &front,
        "--reverse",
        &back,
        "--finder",
        "Anne Example",
        "--findspot",
        SPOT,
        "--note",
        "by the gate at TG 51409 13177, Anne Example saw it",
        "--pack",
        &pack,
    ];
    all.extend(more);
    done(&all);
    (unpacked(&pack, &to), to)
}

#[test]
fn a_pack_tells_no_more_than_the_square_and_no_name() {
    let folder = TempDir::new().expect("a folder");
    let (names, to) = packed(&folder, "cut", &["--number", "12"]);
    assert_eq!(
        names,
        "12-obverse.jpg 12-reverse.jpg README.txt draft.pdf draft.txt finds.csv finds.jsonld \
         legends.xml manifest-sha256.txt plate.png"
    );
    let told = texts(&to);
    for finer in ["51409", "13177", "Example", "IMG_"] {
        assert!(!told.contains(finer), "{finer}: {told}");
    }
    let sums = fs::read_to_string(Path::new(&to).join("manifest-sha256.txt")).expect("sums");
    let others = told.replace(&sums, "");
    for finer in ["514 13", "5140", "1317", "52.65", "1.716"] {
        assert!(!others.contains(finer), "{finer}: {others}");
    }
    assert!(told.contains("TG 51 13"), "{told}");
    assert!(told.contains("cut to squares of 1 km"), "{told}");
    for entry in fs::read_dir(&to).expect("a folder") {
        let path = entry.expect("a file").path();
        let bytes = fs::read(&path).expect("a file");
        for part in [
            b"Exif".as_slice(),
            b"ns.adobe.com",
            b"xmpmeta",
            b"xpacket",
            b"GPS",
            b"52.1234",
            PLACE.as_bytes(),
        ] {
            let found = bytes.windows(part.len()).any(|window| window == part);
            let part = String::from_utf8_lossy(part);
            assert!(!found, "{part} in {}", path.display());
        }
    }
}

#[test]
fn a_pack_keeps_what_it_is_told_to_keep() {
    let folder = TempDir::new().expect("a folder");
    let (_, to) = packed(&folder, "kept", &["--exact-findspot", "--with-names"]);
    for name in ["draft.txt", "finds.csv", "finds.jsonld", "draft.pdf"] {
        let path = Path::new(&to).join(name);
        let told = match name {
            "draft.pdf" => text_of(&path),
            _ => fs::read_to_string(&path).expect("text"),
        };
        let told = bare(&told);
        assert!(told.contains(&bare(SPOT)), "{name}: {told}");
        assert!(told.contains("AnneExample"), "{name}: {told}");
    }
    let readme = fs::read_to_string(Path::new(&to).join("README.txt")).expect("text");
    assert!(readme.contains("stand as they were given"), "{readme}");
}

#[test]
fn hostile_numbers_make_harmless_names() {
    let folder = TempDir::new().expect("a folder");
    let (names, _) = packed(&folder, "hostile", &["--number", "../../x"]);
    assert!(names.contains("x-obverse.jpg x-reverse.jpg"), "{names}");
    // A number that is the place itself is cut before it makes a name.
    let (names, _) = packed(&folder, "place", &["--number", "TG 51409 13177"]);
    assert!(names.contains("TG-51-13-obverse.jpg"), "{names}");
}

#[test]
fn a_table_is_packed_without_photographs() {
    let folder = TempDir::new().expect("a folder");
    let (table, pack) = (place(&folder, "finds.csv"), place(&folder, "five.zip"));
    let rows: String = (1..=5).map(|at| format!("{at},silver,18.{at}\n")).collect();
    fs::write(&table, format!("number,metal,diameter\n{rows}")).expect("a table");
    done(&["--table", &table, "--pack", &pack]);
    let to = place(&folder, "five");
    let names = unpacked(&pack, &to);
    assert!(
        !names.contains("plate") && !names.contains(".jpg"),
        "{names}"
    );
    let text = text_of(&Path::new(&to).join("draft.pdf"));
    for at in 1..=5 {
        assert!(text.contains(&format!("Draft record {at}")), "{text}");
    }
    let front = coin(&folder, "front.jpg");
    let many = ["--table", &table, "--obverse", &front, "--pack", &pack];
    refused(&many, &["--obverse", "one find", "by itself"]);
}

#[test]
fn what_cannot_be_done_is_told_with_the_mend() {
    let folder = TempDir::new().expect("a folder");
    let (front, pack) = (coin(&folder, "front.jpg"), place(&folder, "a.zip"));
    let there = ["silver", "--obverse", &front, "--pack", &pack];
    refused(
        &there,
        &["nothing says how large", "--diameter", "--no-plate"],
    );
    assert!(!Path::new(&pack).exists());
    done(&["silver", "--obverse", &front, "--no-plate", "--pack", &pack]);
    let whole = fs::read(&pack).expect("a pack");
    let again = [COIN, "--obverse", &front, "--pack", &pack];
    refused(&again, &["--pack", "is there already", "--force"]);
    assert_eq!(fs::read(&pack).expect("a pack"), whole);
    done(&[again.as_slice(), &["--force"]].concat());
    let over = [COIN, "--obverse", &front, "--pack", &front, "--force"];
    refused(&over, &["original"]);
    refused(&[COIN, "--obverse", &front], &["--obverse", "--form pdf"]);
    refused(&[COIN, "--find-at", "1,1"], &["--find-at", "--obverse"]);
    let plain = place(&folder, "plain.pdf");
    let without = [
        COIN,
        "--obverse",
        &front,
        "--no-plate",
        "--form",
        "pdf",
        "--to",
        &plain,
    ];
    refused(&without, &["--no-plate", "--pack"]);
    let gone = [COIN, "--view", "gone.jpg", "--pack", &pack, "--force"];
    refused(&gone, &["gone.jpg"]);
    let text = place(&folder, "text.jpg");
    fs::write(&text, "no picture").expect("a file");
    let bad = [COIN, "--view", &text, "--pack", &pack, "--force"];
    refused(&bad, &["text.jpg"]);
    let left = fs::read_dir(folder.path()).expect("a folder");
    let left: Vec<_> = left.map(|one| one.expect("a file").file_name()).collect();
    assert!(
        left.iter()
            .all(|name| !name.to_string_lossy().ends_with(".tmp")),
        "{left:?}"
    );
}
