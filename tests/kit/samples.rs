//! A shelf with something of everything on it, and for each address of the pages the ones that show
//! all of it.
//!
//! The farm, its fields, its people and its finds are invented.
//!
//! Invariant: an address that is served and has no sample fails the tests that walk them.

use std::fs;
use std::path::Path;

use lynchet::web::addresses;
use tempfile::TempDir;

use super::camera;
use super::http::{Served, cache};

/// What stands in every text of the shelf that may hold one.
pub const HOSTILE: &str = "\"'><script>alert(1)</script><img src=x onerror=alert(2)>&amp;{{7*7}}";

/// Makes the shelf: finds LA-1 (whole, with a photograph), LA-2 (a thing) and, where it is wanted,
/// LA-3 with its land (hostile texts).
fn shelf(folder: &Path, hostile: bool) {
    let photo = folder.with_extension("jpg");
    fs::write(&photo, camera::example(false, "a.jpg")).expect("the photograph is written");
    let photo = format!("{}=obverse", photo.display());
    let done = |arguments: &[&str]| {
        let mut door = super::command();
        door.args(arguments)
            .arg("--shelf")
            .arg(folder)
            .args(["--today", super::http::TODAY])
            .env("LYNCHET_CACHE", cache());
        let ended = super::Outcome::from(door.output().expect("the program runs"));
        assert_eq!(ended.code, 0, "{arguments:?}: {}", ended.err);
    };
    let owner = ["--owner", "A. Farmer", "--country", "England"];
    done(
        &[
            &["land", "add", "NETHERFOLD", "Netherfold Farm"][..],
            &owner,
        ]
        .concat(),
    );
    done(&["land", "add", "LONGACRE", "Long Acre", "--of", "NETHERFOLD"]);
    let leave = [
        "--from",
        "2026-01-01",
        "--to",
        "2026-06-30",
        "--split",
        "half each",
    ];
    done(&[&["land", "leave", "NETHERFOLD"][..], &leave].concat());
    let penny = "silver, 17 mm, 1.2 g, long cross, reads EDW R";
    let place = [
        "--land",
        "LONGACRE",
        "--found",
        "2026-03-01",
        "--at",
        "SP 1234 5678",
    ];
    let kept = ["--photo", &photo, "--tag", "to show", "--storage", "box 3"];
    done(
        &[
            &["collection", "add", penny, "--id", "LA-1"][..],
            &place,
            &kept,
        ]
        .concat(),
    );
    let buckle = "copper alloy buckle, D-shaped frame, 24 mm wide";
    done(&[
        "collection",
        "add",
        buckle,
        "--id",
        "LA-2",
        "--found",
        "2026-02-01",
    ]);
    if !hostile {
        return;
    }
    done(&["land", "add", "BACKHILL", HOSTILE, "--owner", HOSTILE]);
    let texts = ["--tag", HOSTILE, "--storage", HOSTILE, "--land", "BACKHILL"];
    done(&[&["collection", "add", HOSTILE, "--id", "LA-3"][..], &texts].concat());
}

/// A server over such a shelf, and the folder that it lies in.
pub fn filled(more: &[&str]) -> (TempDir, Served) {
    let folder = TempDir::new().expect("a temporary folder");
    let place = folder.path().join("shelf");
    shelf(&place, true);
    let served = Served::with(Some(&place), more);
    (folder, served)
}

/// The same without the hostile texts, to be shown.
pub fn shown() -> (TempDir, Served) {
    let folder = TempDir::new().expect("a temporary folder");
    let place = folder.path().join("shelf");
    shelf(&place, false);
    let served = Served::with(Some(&place), &[]);
    (folder, served)
}

/// The addresses to look at of one route, its parts filled in, with the queries that show all.
fn samples(path: &str) -> &'static [&'static str] {
    match path {
        "/" => &[
            "/",
            "/?words=silver%2C+17+mm%2C+1.2+g%2C+long+cross%2C+reads+EDW+R",
            "/?words=lead+musket+ball%2C+17+mm",
            "/?words=copper+alloy+disc%2C+20+mm%2C+qwxz",
        ],
        "/pictures" => &[
            "/pictures",
            "/pictures?of=class&words=copper+alloy",
            "/pictures?of=coins&words=silver",
        ],
        "/library" => &[
            "/library",
            "/library?q=penny&page=2",
            "/library?q=nothing+holds+this",
        ],
        "/library/by/{kind}" => &[
            "/library/by/ruler",
            "/library/by/motif",
            "/library/by/class",
        ],
        "/type/{id}" => &["/type/henry-vi-groat-annulet", "/type/none"],
        "/thing/{id}" => &["/thing/buckle-beast-pointed-romanesque", "/thing/none"],
        "/class/{id}" => &["/class/buckle", "/class/ammunition"],
        "/compare" => &[
            "/compare?type=henry-vi-farthing-annulet&type=henry-vi-groat-annulet&words=silver%2C+3.5+g",
            "/compare?type=none",
        ],
        "/size" => &["/size", "/size?scale=1.2"],
        "/help" => &["/help"],
        "/help/glossary" => &["/help/glossary"],
        "/enter" => &["/enter"],
        "/keep" => &["/keep?words=silver%2C+17+mm%2C+1.2+g%2C+long+cross"],
        "/tray" => &[
            "/tray",
            "/tray?words=penny",
            "/tray?words=nothing+holds+this",
        ],
        "/tray/map" => &["/tray/map"],
        "/charts" => &["/charts", "/charts?kind=coin", "/charts?metal=gold"],
        "/labels" => &[
            "/labels",
            "/labels?sheet=4x10&square=1000",
            "/labels?columns=4&rows=11",
            "/labels?used=99",
        ],
        "/find/{id}" => &["/find/LA-1", "/find/LA-2", "/find/LA-3", "/find/none"],
        "/find/{id}/measure/{place}" => &["/find/LA-1/measure/1"],
        "/find/{id}/record" => &[
            "/find/LA-1/record",
            "/find/LA-2/record",
            "/find/LA-3/record",
        ],
        "/find/{id}/edit" => &["/find/LA-1/edit", "/find/LA-3/edit"],
        "/find/{id}/remove" => &["/find/LA-1/remove"],
        "/history" => &["/history"],
        "/land" => &["/land"],
        "/land/{id}" => &["/land/NETHERFOLD", "/land/LONGACRE", "/land/BACKHILL"],
        "/land/{id}/statement" => &["/land/NETHERFOLD/statement", "/land/BACKHILL/statement"],
        "/law" => &["/law", "/law?find=LA-1", "/law?find=LA-2"],
        "/hoard" => &["/hoard"],
        // Pictures, a stylesheet, scripts and files: parts of pages, none by themselves.
        "/looks/{name}"
        | "/drawing/{kind}/{id}"
        | "/find/{id}/picture/{place}/{size}"
        | "/find/{id}/plate.png"
        | "/find/{id}/measure/{place}/part"
        | "/find/{id}/record/{form}"
        | "/land/{id}/leave/{key}"
        | "/land/{id}/bounds/{key}"
        | "/tray/pack.zip"
        | "/labels.pdf"
        | "/backup.zip"
        | "/export.zip" => &[],
        _ => panic!("tests/kit/samples.rs: no sample of {path}"),
    }
}

/// Every page, by the addresses that show all of it.
pub fn pages() -> Vec<&'static str> {
    let all = addresses().into_iter().filter(|address| !address.changes);
    let mut pages: Vec<&str> = all
        .flat_map(|address| samples(address.path))
        .copied()
        .collect();
    // A page that is not there is a page too.
    pages.push("/nowhere");
    pages
}

/// The pages of one route.
pub fn of(path: &str) -> &'static [&'static str] {
    samples(path)
}
