//! Photographs at the door and in the room: the bar on drawn photographs, what is left out of
//! every written picture, plates at true scale, and bad input.
//!
//! Runs the real binary where files are concerned. The photographs are drawn by a camera of the
//! tests' own; no real photograph is used.
//!
//! Invariant: the seeds of the bar were not looked at while the measuring was made.

use std::fs;
use std::path::Path;
use std::process::Command;

use image::{ExtendedColorType, ImageEncoder, RgbImage};
use lynchet::photo::{
    COINS, Kind, Measured, Picture, Scale, Terms, measure, open, outlines, told_apart,
};
use serde_json::Value;
use tempfile::TempDir;

use super::kit::camera::{ALL, Beside, Photograph, Wanted, photograph};
use super::kit::outside::python;
use super::kit::{Outcome, run};

fn photo(arguments: &[&str]) -> Outcome {
    run(["photo"].iter().chain(arguments))
}

/// A JPEG of pixels alone.
pub fn jpeg(rgb: &[u8], width: u32, height: u32, quality: u8) -> Vec<u8> {
    let mut bytes = Vec::new();
    image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, quality)
        .encode(rgb, width, height, ExtendedColorType::Rgb8)
        .expect("a JPEG");
    bytes
}

fn png(picture: &RgbImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    image::codecs::png::PngEncoder::new(&mut bytes)
        .write_image(
            picture,
            picture.width(),
            picture.height(),
            ExtendedColorType::Rgb8,
        )
        .expect("a PNG");
    bytes
}

// ------------------------------------------------------------------ the bar

fn judged(taken: &Photograph, seed: u64) -> Result<Measured, String> {
    let size = taken.size as u32;
    let bytes = jpeg(&taken.rgb, size, size, 72 + (seed % 24) as u8);
    let picture = open(&bytes).map_err(|fault| fault.to_string())?.picture;
    let known = |name: &str| *COINS.iter().find(|coin| coin.name == name).expect("a coin");
    let scale = match taken.coins.is_empty() {
        true => Scale::Marks(taken.marks.clone()),
        false => Scale::Coins(
            taken
                .coins
                .iter()
                .map(|(name, at)| (known(name), Some(*at)))
                .collect(),
        ),
    };
    let seen = outlines(&picture).map_err(|fault| fault.to_string())?;
    let told = told_apart(&seen, &scale, Some(taken.find));
    let (object, seal) = told.map_err(|fault| fault.to_string())?;
    measure(&seen, object, &seal, &Terms::default()).map_err(|fault| fault.to_string())
}

fn at(sorted: &[f64], share: f64) -> f64 {
    sorted[((sorted.len() - 1) as f64 * share).round() as usize]
}

/// Median and 95 in 100 of the error, share of intervals that hold the truth; all in 100.
fn figures(rows: &[(f64, f64, f64, f64)]) -> (f64, f64, f64) {
    let mut errors: Vec<f64> = rows
        .iter()
        .map(|row| 100.0 * (row.0 / row.3 - 1.0).abs())
        .collect();
    errors.sort_by(f64::total_cmp);
    let held = rows
        .iter()
        .filter(|row| row.1 <= row.3 && row.3 <= row.2)
        .count();
    (
        at(&errors, 0.5),
        at(&errors, 0.95),
        100.0 * held as f64 / rows.len() as f64,
    )
}

// Forty drawn photographs by each of five scales: the bar of the project, and each scale's figures.
#[test]
#[expect(
    clippy::print_stdout,
    reason = "the figures are read by whoever changes the measuring"
)]
fn the_bar_on_two_hundred_drawn_photographs() {
    let mut all = Vec::new();
    let mut refused = 0;
    for (kind, beside) in ALL.into_iter().enumerate() {
        let (mut rows, mut widths) = (Vec::new(), Vec::new());
        for seed in 0..40 {
            let seed = 7_000_000 + 1000 * kind as u64 + seed;
            let wanted = Wanted {
                beside,
                size: 600,
                tilt: 10.0,
                all_tilted: false,
            };
            let taken = photograph(seed, wanted);
            match judged(&taken, seed) {
                Ok(found) => {
                    let d = found.diameter;
                    rows.push((d.value, d.low, d.high, taken.diameter));
                    for (width, truth) in [
                        (found.largest, taken.largest),
                        (found.smallest, taken.smallest),
                    ] {
                        widths.push((width.value, width.low, width.high, truth));
                    }
                }
                Err(why) => {
                    refused += 1;
                    println!("refused: {}: {why}", taken.told);
                }
            }
        }
        let (median, most, held) = figures(&rows);
        println!(
            "{beside:?}: {} measured, median error {median:.2} %, 95 in 100 within {most:.2} %, interval holds {held:.0} %",
            rows.len()
        );
        let (wide, wide_most, wide_held) = figures(&widths);
        println!(
            "  its largest and smallest widths: median {wide:.2} %, 95 in 100 within {wide_most:.2} %, interval holds {wide_held:.0} %"
        );
        all.extend(rows);
    }
    let (median, most, held) = figures(&all);
    println!(
        "all: {} measured, {refused} refused, median error {median:.2} %, 95 in 100 within {most:.2} %, interval holds {held:.1} %",
        all.len()
    );
    assert!(all.len() >= 190, "{refused} refused");
    assert!(median <= 0.5, "{median}");
    assert!(most <= BAR_MOST, "{most}");
    assert!((90.0..=99.0).contains(&held), "{held}");
}

/// 95 in 100 are to lie within so many in 100.
const BAR_MOST: f64 = 1.5;

#[test]
fn a_seed_gives_the_same_photograph() {
    let wanted = Wanted {
        beside: Beside::Coin,
        size: 120,
        tilt: 10.0,
        all_tilted: true,
    };
    assert_eq!(photograph(5, wanted).rgb, photograph(5, wanted).rgb);
}

// ------------------------------------------------------------------ what is left out

/// A drawn coin with a mark at its upper right, wider than high.
fn drawn(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        let far = (f64::from(x) - 150.0).hypot(f64::from(y) - 100.0);
        match () {
            () if x >= width - 30 && y < 30 => image::Rgb([200, 20, 20]),
            () => {
                let cover = (60.5 - far).clamp(0.0, 1.0);
                let mixed =
                    |paper: f64, metal: f64| (paper + cover * (metal - paper)).round() as u8;
                image::Rgb([mixed(235.0, 90.0), mixed(235.0, 80.0), mixed(232.0, 60.0)])
            }
        }
    })
}

/// Where the camera says that it was.
pub const PLACE: &str = "Invented Field 52.1234N";

/// A TIFF block as cameras write it: orientation 6, a maker, a place of 52.1234 north in degrees.
fn exif() -> Vec<u8> {
    let mut block = b"II*\0".to_vec();
    let entry = |block: &mut Vec<u8>, tag: u16, kind: u16, count: u32, value: [u8; 4]| {
        block.extend(tag.to_le_bytes());
        block.extend(kind.to_le_bytes());
        block.extend(count.to_le_bytes());
        block.extend(value);
    };
    block.extend(8_u32.to_le_bytes());
    block.extend(3_u16.to_le_bytes());
    entry(
        &mut block,
        0x010f,
        2,
        PLACE.len() as u32,
        200_u32.to_le_bytes(),
    );
    entry(&mut block, 0x0112, 3, 1, [6, 0, 0, 0]);
    entry(&mut block, 0x8825, 4, 1, 60_u32.to_le_bytes());
    block.extend(0_u32.to_le_bytes());
    block.resize(60, 0);
    block.extend(3_u16.to_le_bytes());
    entry(&mut block, 0x0001, 2, 2, *b"N\0\0\0");
    entry(&mut block, 0x0002, 5, 3, 120_u32.to_le_bytes());
    entry(&mut block, 0x0003, 2, 2, *b"E\0\0\0");
    block.extend(0_u32.to_le_bytes());
    block.resize(120, 0);
    for (of, by) in [(52_u32, 1_u32), (7, 1), (2424, 100)] {
        block.extend(of.to_le_bytes());
        block.extend(by.to_le_bytes());
    }
    block.resize(200, 0);
    block.extend(PLACE.as_bytes());
    block
}

fn xmp() -> Vec<u8> {
    format!("<x:xmpmeta xmlns:x='adobe:ns:meta/'><exif:GPSLatitude>{PLACE}</exif:GPSLatitude></x:xmpmeta>").into_bytes()
}

fn camera_jpeg() -> Vec<u8> {
    as_from_a_camera(&jpeg(drawn(300, 200).as_raw(), 300, 200, 92))
}

/// A JPEG with all that a camera adds: a place in EXIF and in XMP, a comment.
pub fn as_from_a_camera(plain: &[u8]) -> Vec<u8> {
    let mut bytes = plain[..2].to_vec();
    let mut segment = |marker: u8, head: &[u8], body: &[u8]| {
        bytes.extend([0xff, marker]);
        bytes.extend(((head.len() + body.len() + 2) as u16).to_be_bytes());
        bytes.extend(head);
        bytes.extend(body);
    };
    segment(0xe1, b"Exif\0\0", &exif());
    segment(0xe1, b"http://ns.adobe.com/xap/1.0/\0", &xmp());
    segment(0xfe, b"", PLACE.as_bytes());
    bytes.extend(&plain[2..]);
    bytes
}

fn crc(bytes: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for byte in bytes {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = (sum >> 1) ^ (0xedb8_8320 & (sum & 1).wrapping_neg());
        }
    }
    !sum
}

fn camera_png() -> Vec<u8> {
    let plain = png(&drawn(300, 200));
    let mut bytes = plain[..33].to_vec();
    let mut chunk = |kind: &[u8; 4], body: &[u8]| {
        bytes.extend((body.len() as u32).to_be_bytes());
        let whole = [kind.as_slice(), body].concat();
        bytes.extend(&whole);
        bytes.extend(crc(&whole).to_be_bytes());
    };
    chunk(b"eXIf", &exif());
    chunk(b"tEXt", format!("Comment\0{PLACE}").as_bytes());
    chunk(
        b"iTXt",
        &[b"XML:com.adobe.xmp\0\0\0\0\0".as_slice(), &xmp()].concat(),
    );
    bytes.extend(&plain[33..]);
    bytes
}

fn camera_webp() -> Vec<u8> {
    let mut plain = Vec::new();
    image::codecs::webp::WebPEncoder::new_lossless(&mut plain)
        .encode(drawn(300, 200).as_raw(), 300, 200, ExtendedColorType::Rgb8)
        .expect("a WebP");
    let mut body = b"WEBP".to_vec();
    let mut chunk = |kind: &[u8; 4], part: &[u8]| {
        body.extend(kind);
        body.extend((part.len() as u32).to_le_bytes());
        body.extend(part);
        body.resize(body.len() + part.len() % 2, 0);
    };
    // Flags: EXIF and XMP; then width and height less one in three bytes each.
    chunk(b"VP8X", &[0x0c, 0, 0, 0, 43, 1, 0, 199, 0, 0]);
    let length = u32::from_le_bytes(plain[16..20].try_into().expect("four bytes")) as usize;
    chunk(b"VP8L", &plain[20..20 + length]);
    chunk(b"EXIF", &exif());
    chunk(b"XMP ", &xmp());
    [
        b"RIFF".as_slice(),
        &(body.len() as u32).to_le_bytes(),
        &body,
    ]
    .concat()
}

fn holds(bytes: &[u8], part: &[u8]) -> bool {
    bytes.windows(part.len()).any(|window| window == part)
}

#[test]
fn nothing_that_is_written_tells_the_place() {
    let folder = TempDir::new().expect("a temporary folder");
    let place = |name: &str| folder.path().join(name).display().to_string();
    let originals = [
        ("a.jpg", camera_jpeg()),
        ("b.png", camera_png()),
        ("c.webp", camera_webp()),
    ];
    let mut written = Vec::new();
    for (name, bytes) in &originals {
        assert!(holds(bytes, PLACE.as_bytes()));
        let path = place(name);
        fs::write(&path, bytes).expect("written");
        for (verb, more, ending) in [
            ("strip", vec![], "strip.jpg"),
            ("strip", vec![], "strip.png"),
            ("thumbnail", vec!["--within", "64"], "small.jpg"),
            (
                "plate",
                vec!["--diameter", "20", "--find-at", "99,150"],
                "plate.png",
            ),
            (
                "plate",
                vec!["--diameter", "20", "--find-at", "99,150"],
                "plate.jpg",
            ),
        ] {
            let to = place(&format!("{name}-{ending}"));
            let mut arguments = vec![verb, path.as_str(), "-o", to.as_str()];
            arguments.extend(more);
            let ended = photo(&arguments);
            assert_eq!(ended.code, 0, "{arguments:?}: {}", ended.err);
            written.push(to);
        }
        let shown = place(&format!("{name}-outline.png"));
        let ended = photo(&[
            "measure",
            &path,
            "--scale",
            "10,10,10,260=50mm",
            "--find-at",
            "99,150",
            "--outline",
            &shown,
        ]);
        assert_eq!(ended.code, 0, "{}", ended.err);
        assert!(ended.out.contains("turned upright"), "{}", ended.out);
        written.push(shown);
        assert_eq!(
            &fs::read(&path).expect("read"),
            bytes,
            "the original was changed"
        );
    }
    for path in &written {
        let bytes = fs::read(path).expect("written");
        for part in [
            PLACE.as_bytes(),
            b"Exif",
            b"eXIf",
            b"EXIF",
            b"tEXt",
            b"iTXt",
            b"zTXt",
            b"xmpmeta",
            b"http://",
            b"iCCP",
            b"ICC_PROFILE",
        ] {
            assert!(
                !holds(&bytes, part),
                "{path} holds {:?}",
                String::from_utf8_lossy(part)
            );
        }
    }
    // Orientation 6: the row at the top is the right side of the upright picture (EXIF 2.32, 4.6.4.A).
    let upright = image::open(place("a.jpg-strip.png"))
        .expect("a picture")
        .into_rgb8();
    assert_eq!(upright.dimensions(), (200, 300));
    let red = upright.get_pixel(190, 290);
    assert!(red[0] > 150 && red[1] < 80, "{red:?}");
    outside(&written, folder.path());
}

/// A reader from outside finds no camera data either (Pillow).
fn outside(written: &[String], folder: &Path) {
    let script = "import sys\nfrom PIL import Image\nfor name in sys.argv[1:]:\n    i = Image.open(name)\n    i.load()\n    assert len(i.getexif()) == 0, name\n    assert not (set(i.info) - {'jfif', 'jfif_version', 'jfif_unit', 'jfif_density', 'dpi'}), (name, i.info)\n    if 'plate' in name:\n        assert abs(i.info['dpi'][0] - 300) < 0.1, i.info\nprint('read', len(sys.argv) - 1)\n";
    let ended = Command::new(python(&["pillow"]))
        .args(["-c", script])
        .args(written)
        .current_dir(folder)
        .output()
        .expect("Python runs");
    let said = String::from_utf8_lossy(&ended.stdout).to_string();
    assert!(
        said.contains(&format!("read {}", written.len())),
        "{said}{}",
        String::from_utf8_lossy(&ended.stderr)
    );
}

// ------------------------------------------------------------------ plates

#[test]
fn a_plate_is_at_true_scale() {
    let folder = TempDir::new().expect("a temporary folder");
    let place = |name: &str| folder.path().join(name).display().to_string();
    fs::write(place("coin.png"), png(&drawn(300, 200))).expect("written");
    for (more, times) in [(None, 1.0), (Some("--twice"), 2.0)] {
        let to = place(&format!("plate{times}.png"));
        let coin = place("coin.png");
        let mut arguments = vec![
            "plate",
            &coin,
            &coin,
            "--diameter",
            "20",
            "--find-at",
            "150,100",
            "--find-at",
            "150,100",
            "--number",
            "A-17",
            "--name",
            "Æthelstan, invented",
            "-o",
            &to,
        ];
        arguments.extend(more);
        let ended = photo(&arguments);
        assert_eq!(ended.code, 0, "{}", ended.err);
        let sheet = image::open(&to).expect("a plate").into_rgb8();
        let dark = |x: u32, y: u32| sheet.get_pixel(x, y)[2] < 158;
        // Through the middle of the views: two coins, each 20 mm at 300 dots an inch.
        let middle =
            ((5.0 + 10.5) * times * 300.0 / 25.4 - 5.0 * (times - 1.0) * 300.0 / 25.4) as u32;
        let counted = (0..sheet.width()).filter(|x| dark(*x, middle)).count() as f64;
        let expected = 2.0 * 20.0 * times * 300.0 / 25.4;
        assert!((counted - expected).abs() < 8.0, "{counted} {expected}");
    }
}

// ------------------------------------------------------------------ bad input

#[test]
fn bad_pictures_are_answered_with_a_mend() {
    let heic = b"\0\0\0\x18ftypheic\0\0\0\0".to_vec();
    let whole = camera_jpeg();
    let mut bomb = png(&drawn(64, 64));
    bomb[16..24].copy_from_slice(&[0, 1, 0, 0, 0, 1, 0, 0]);
    let sum = crc(&bomb[12..29]).to_be_bytes();
    bomb[29..33].copy_from_slice(&sum);
    let mut cut_short = camera_png();
    cut_short.truncate(cut_short.len() * 2 / 3);
    let cases: [(&str, Vec<u8>, Kind); 8] = [
        ("nothing", Vec::new(), Kind::Unreadable),
        ("words", b"not a picture".to_vec(), Kind::Unreadable),
        ("heic", heic, Kind::OtherForm),
        ("gif", b"GIF89a....".to_vec(), Kind::OtherForm),
        ("tiff", b"II*\0....".to_vec(), Kind::OtherForm),
        ("head alone", whole[..40].to_vec(), Kind::Unreadable),
        ("png cut short", cut_short, Kind::Unreadable),
        ("bomb", bomb, Kind::TooLarge),
    ];
    for (name, bytes, kind) in cases {
        let fault = open(&bytes).expect_err(name);
        assert_eq!(fault.kind, kind, "{name}: {fault}");
        assert!(!fault.mend.is_empty());
    }
    // Any cut of a file is a fault or a picture, never a panic.
    for bytes in [camera_jpeg(), camera_png(), camera_webp()] {
        for cut in (0..bytes.len()).step_by(97) {
            let _ = open(&bytes[..cut]);
        }
    }
}

#[test]
fn pictures_without_a_find_are_answered() {
    let kind = |picture: &Picture| outlines(picture).expect_err("a fault").kind;
    assert_eq!(kind(&Picture::plain(1, 1, [0; 3])), Kind::TooSmall);
    assert_eq!(kind(&Picture::plain(200, 200, [200; 3])), Kind::Ground);
    let chequered = Picture::new(
        200,
        200,
        (0..120_000_u32)
            .map(|at| (at.wrapping_mul(2_654_435_761) >> 24) as u8)
            .collect(),
    );
    // Whatever is made of noise, it is no panic.
    let _ = outlines(&chequered.expect("a picture"));
}

#[test]
fn the_door_asks_where_it_cannot_know() {
    let folder = TempDir::new().expect("a temporary folder");
    let place = |name: &str| folder.path().join(name).display().to_string();
    let coin = place("coin.png");
    fs::write(&coin, png(&drawn(300, 200))).expect("written");
    let two = RgbImage::from_fn(400, 200, |x, y| {
        let near = |cx: f64| (f64::from(x) - cx).hypot(f64::from(y) - 100.0) < 50.0;
        if near(100.0) || near(300.0) {
            image::Rgb([80, 70, 60])
        } else {
            image::Rgb([240, 240, 240])
        }
    });
    fs::write(place("two.png"), png(&two)).expect("written");
    let edge = RgbImage::from_fn(300, 200, |x, y| {
        let far = (f64::from(x) - 20.0).hypot(f64::from(y) - 100.0);
        if far < 60.0 {
            image::Rgb([80, 70, 60])
        } else {
            image::Rgb([240, 240, 240])
        }
    });
    fs::write(place("edge.png"), png(&edge)).expect("written");
    let (two, edge) = (place("two.png"), place("edge.png"));
    let scale = ["--scale", "20,190,280,190=40mm"];
    let cases: [(&[&str], &str); 11] = [
        (&["measure", &coin], "nothing says how large"),
        (
            &["measure", &coin, scale[0], scale[1], "--beside", "1p"],
            "more than one way",
        ),
        (
            &["measure", &coin, "--scale", "1,1,9999,1=4"],
            "outside the picture",
        ),
        (
            &["measure", &coin, scale[0], scale[1], "--tilt", "200"],
            "tilt",
        ),
        (&["measure", &two, scale[0], scale[1]], "2 objects"),
        (
            &["measure", &edge, scale[0], scale[1]],
            "touches the border",
        ),
        (&["measure", &coin, "--beside", "50p"], "not round"),
        (
            &["strip", &coin, "-o", &coin, "--force"],
            "never written over",
        ),
        (&["strip", &coin, "-o", &two], "there already"),
        (&["strip", &coin, "-o", "x.gif"], ".jpg or .png"),
        (
            &["plate", &coin, "-o", "never.png"],
            "nothing says how large",
        ),
    ];
    for (arguments, said) in cases {
        let ended = photo(arguments);
        assert_eq!(ended.code, 2, "{arguments:?}: {}", ended.out);
        assert!(ended.err.contains(said), "{arguments:?}: {}", ended.err);
        assert!(ended.out.is_empty());
    }
    let ended = photo(&[
        "measure",
        &two,
        scale[0],
        scale[1],
        "--find-at",
        "300,100",
        "--json",
    ]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let answer: Value = serde_json::from_str(&ended.out).expect("JSON");
    let largest = answer["largest_mm"]["value"].as_f64().expect("a number");
    // 100 pixels across at 40 mm a 260 pixels, less what thickness brings nearer.
    assert!((largest - 15.3).abs() < 0.25, "{largest}");
}
