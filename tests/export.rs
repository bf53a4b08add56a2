//! The export of the library: what it holds, what it refuses, and what others make of it.
//!
//! Reads the tables as any program would, by their description, and holds them against the
//! library. A validator that knows nothing of this project has the last word.
//!
//! Invariant: nothing is written but in temporary folders and the build's own.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use lynchet::catalogue::{
    ArtefactType, CoinType, Drawn, Standing, check, digest, drawing, embedded,
};
use serde_json::Value;
use tempfile::TempDir;

use super::kit::{self, Outcome, change, house, lay, small_library};

const VALIDATE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/outside/validate.py");

/// A row by the names of its columns.
type Row = BTreeMap<String, String>;

/// An export as read back.
struct Export {
    folder: PathBuf,
    description: Value,
    tables: BTreeMap<String, Vec<Row>>,
}

impl Export {
    /// Reads every table that the description names, in the way it says.
    fn read(folder: &Path) -> Export {
        let text = fs::read(folder.join("datapackage.json")).expect("a description");
        let description: Value = serde_json::from_slice(&text).expect("JSON");
        let mut tables = BTreeMap::new();
        for resource in list(&description["resources"]) {
            let path = folder.join(text_of(&resource["path"]));
            let bytes = fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
            assert!(bytes.ends_with(b"\n"), "{}", path.display());
            assert!(!bytes.contains(&b'\r'), "{}", path.display());
            assert_eq!(
                bytes.len() as u64,
                resource["bytes"].as_u64().expect("a size")
            );
            let mut reader = csv::Reader::from_reader(&bytes[..]);
            let heading: Vec<String> = names(&resource["schema"]["fields"]);
            let found: Vec<String> = reader.deserialize_heading();
            assert_eq!(found, heading, "{}", path.display());
            let rows = reader.records().map(|row| {
                let row = row.expect("a whole row");
                let cells = heading.iter().cloned().zip(row.iter().map(String::from));
                cells.collect::<Row>()
            });
            tables.insert(text_of(&resource["name"]).to_string(), rows.collect());
        }
        Export {
            folder: folder.to_path_buf(),
            description,
            tables,
        }
    }

    fn rows(&self, table: &str) -> &[Row] {
        let rows = self.tables.get(table);
        rows.unwrap_or_else(|| panic!("no table {table}"))
    }

    fn row(&self, table: &str, id: &str) -> &Row {
        let found = self.rows(table).iter().find(|row| row["id"] == id);
        found.unwrap_or_else(|| panic!("no row {id} in {table}"))
    }

    /// Every row's cells in these columns.
    fn cells(&self, table: &str, columns: &[String]) -> Vec<Vec<String>> {
        let rows = self.rows(table).iter();
        let rows = rows.map(|row| columns.iter().map(|c| row[c].clone()).collect());
        rows.collect()
    }
}

/// The heading line of a table.
trait Heading {
    fn deserialize_heading(&mut self) -> Vec<String>;
}

impl Heading for csv::Reader<&[u8]> {
    fn deserialize_heading(&mut self) -> Vec<String> {
        let heading = self.headers().expect("a heading line");
        heading.iter().map(String::from).collect()
    }
}

fn list(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}

fn text_of(value: &Value) -> &str {
    value.as_str().expect("a text")
}

fn names(fields: &Value) -> Vec<String> {
    let fields = list(fields).iter();
    fields
        .map(|field| text_of(&field["name"]).to_string())
        .collect()
}

fn texts(value: &Value) -> Vec<String> {
    list(value).iter().map(|v| text_of(v).to_string()).collect()
}

/// Exports a library, the program's own unless one is named, and says how it ended.
fn export(library: Option<&Path>, folder: &Path, flags: &[&str]) -> Outcome {
    let mut given: Vec<String> = Vec::new();
    given.extend(["catalogue", "export"].map(String::from));
    given.push(folder.display().to_string());
    given.extend(flags.iter().map(|flag| (*flag).to_string()));
    if let Some(library) = library {
        given.extend(["--catalogue".to_string(), library.display().to_string()]);
    }
    kit::run(given)
}

/// The program's own library, exported into a folder that is gone with the first value.
fn exported() -> (TempDir, Export) {
    let place = TempDir::new().expect("a temporary folder");
    let folder = place.path().join("open");
    let ended = export(None, &folder, &[]);
    assert_eq!((ended.code, ended.err.as_str()), (0, ""), "{}", ended.out);
    let export = Export::read(&folder);
    let rows: usize = export.tables.values().map(Vec::len).sum();
    let told = format!("{} tables with {rows} rows", export.tables.len());
    assert!(ended.out.starts_with(&told), "{told}: {}", ended.out);
    (place, export)
}

/// The names of all that stands in a folder.
fn inside(folder: &Path) -> BTreeSet<String> {
    let entries = fs::read_dir(folder).expect("a folder");
    let names = entries.map(|entry| entry.expect("an entry").file_name());
    names
        .map(|name| name.to_string_lossy().into_owned())
        .collect()
}

// ------------------------------------------------------------------ what it holds

#[test]
fn an_export_holds_every_row_of_the_library() {
    let (_place, export) = exported();
    let library = &house().catalogue;
    let artefacts = check(&embedded()).artefacts;
    let things = &artefacts.types;
    let of_things =
        |count: &dyn Fn(&ArtefactType) -> usize| things.iter().map(count).sum::<usize>();
    let types = library.listed();
    let of_types = |count: &dyn Fn(&CoinType) -> usize| types.iter().map(count).sum::<usize>();
    let faces = |coin: &CoinType| [coin.obverse.clone(), coin.reverse.clone()];
    let motifs = |coin: &CoinType| {
        let faces = faces(coin).into_iter();
        faces.flat_map(|face| face.motifs).flatten().count()
    };
    let legends = |coin: &CoinType| {
        let borne = faces(coin).into_iter().map(|face| {
            let borne = face.inscriptions.into_iter().flatten();
            let legends = borne.map(|i| library.inscriptions[i].legend);
            legends.collect::<BTreeSet<_>>().len()
        });
        borne.sum::<usize>()
    };
    let rulers = &library.rulers;
    let mints = &library.mints;
    let seen = &library.motifs;
    for (table, count) in [
        ("sources", library.sources.len()),
        ("periods", artefacts.periods.len()),
        ("metals", library.metals.len()),
        ("denominations", library.denominations.len()),
        (
            "standards",
            library
                .denominations
                .iter()
                .map(|d| d.standards.len())
                .sum(),
        ),
        ("rulers", rulers.len()),
        ("reigns", rulers.iter().map(|r| r.reigns.len()).sum()),
        (
            "ruler_members",
            rulers.iter().map(|r| r.members.len()).sum(),
        ),
        ("ruler_words", rulers.iter().map(|r| r.words.len()).sum()),
        ("mints", mints.len()),
        ("mint_struck", mints.iter().map(|m| m.struck.len()).sum()),
        ("mint_lives", mints.iter().map(|m| m.lives.len()).sum()),
        ("motifs", seen.len()),
        ("motif_parents", seen.iter().map(|m| m.under.len()).sum()),
        ("motif_parts", seen.iter().map(|m| m.parts.len()).sum()),
        ("legends", library.legends.len()),
        ("series", library.series.len()),
        ("types", types.len()),
        ("type_motifs", of_types(&motifs)),
        ("type_legends", of_types(&legends)),
        ("type_marks", of_types(&|t| t.marks.len())),
        ("type_mints", of_types(&|t| t.mints.len())),
        ("type_weights", of_types(&|t| t.weights.len())),
        ("type_habits", of_types(&|t| t.habits.len())),
        ("type_regions", of_types(&|t| t.regions.len())),
        ("type_refs", of_types(&|t| t.refs.len())),
        ("type_sources", of_types(&|t| t.sources.len())),
        ("neighbours", of_types(&|t| t.apart.len())),
        ("moved", library.moved.len()),
        ("careers", library.careers.len()),
        ("entries", library.entries.len()),
        ("classes", artefacts.classes.len()),
        (
            "class_parents",
            artefacts.classes.iter().map(|c| c.under.len()).sum(),
        ),
        ("forms", artefacts.forms.len()),
        (
            "form_words",
            artefacts.forms.iter().map(|f| f.words.len()).sum(),
        ),
        ("artefact_series", artefacts.series.len()),
        ("artefacts", things.len()),
        ("artefact_materials", of_things(&|t| t.materials.len())),
        ("artefact_sizes", of_things(&|t| t.sizes.given().count())),
        ("artefact_letters", of_things(&|t| t.letters.len())),
        ("artefact_regions", of_things(&|t| t.regions.len())),
        ("artefact_neighbours", of_things(&|t| t.apart.len())),
        ("artefact_sources", of_things(&|t| t.sources.len())),
    ] {
        assert_eq!(export.rows(table).len(), count, "{table}");
    }
}

#[test]
fn a_type_is_told_as_the_library_has_it() {
    let (_place, export) = exported();
    let library = &house().catalogue;
    let rows: BTreeMap<&str, &Row> = export
        .rows("types")
        .iter()
        .map(|row| (row["id"].as_str(), row))
        .collect();
    for coin in library.listed() {
        let row = rows[coin.id.as_str()];
        let ruler = coin.ruler.map(|ruler| library.rulers[ruler].id.as_str());
        let least = coin.diameter.map(|(least, _)| least.to_string());
        let grade = match coin.standing {
            Standing::Checked => "checked",
            Standing::Cited => "cited",
            Standing::Recalled => "recalled",
        };
        for (column, wanted) in [
            ("name", coin.name.as_str()),
            ("series", &library.series[coin.series].id),
            ("ruler", ruler.unwrap_or("")),
            ("metal", &library.metals[coin.metal].id),
            ("from", &coin.span.from.to_string()),
            ("to", &coin.span.to.to_string()),
            ("diameter_least", &least.unwrap_or_default()),
            ("note", coin.note.as_deref().unwrap_or("")),
            ("grade", grade),
        ] {
            assert_eq!(row[column], wanted, "{column} of {}", coin.id);
        }
        // A face without letters is not one of which nothing is known.
        let letters = coin.obverse.inscriptions.as_ref();
        let letters = letters.map_or("", |l| if l.is_empty() { "none" } else { "lettered" });
        assert_eq!(row["obverse_letters"], letters, "{}", coin.id);
    }
}

#[test]
fn every_key_is_unique_and_every_link_leads_to_a_row() {
    let (_place, export) = exported();
    let mut links = 0;
    for resource in list(&export.description["resources"]) {
        let table = text_of(&resource["name"]);
        let schema = &resource["schema"];
        let keys = export.cells(table, &texts(&schema["primaryKey"]));
        let distinct: BTreeSet<_> = keys.iter().collect();
        assert_eq!(distinct.len(), keys.len(), "{table}: keys");
        for link in list(&schema["foreignKeys"]) {
            let other = text_of(&link["reference"]["resource"]);
            let other = if other.is_empty() { table } else { other };
            let there = export.cells(other, &texts(&link["reference"]["fields"]));
            let there: BTreeSet<_> = there.into_iter().collect();
            for cells in export.cells(table, &texts(&link["fields"])) {
                let said = cells.iter().any(|cell| !cell.is_empty());
                assert!(
                    !said || there.contains(&cells),
                    "{table}: {cells:?} in {other}"
                );
                links += usize::from(said);
            }
        }
        for field in list(&schema["fields"]) {
            let name = text_of(&field["name"]);
            assert!(!text_of(&field["description"]).is_empty(), "{table}.{name}");
            if field["constraints"]["required"] == true {
                let empty = export.rows(table).iter().find(|row| row[name].is_empty());
                assert!(empty.is_none(), "{table}.{name}: {empty:?}");
            }
        }
    }
    assert!(links > 10_000, "only {links} links were followed");
}

#[test]
fn the_description_names_licence_version_and_units() {
    let (_place, export) = exported();
    let whole = &export.description;
    assert_eq!(text_of(&whole["profile"]), "tabular-data-package");
    assert_eq!(text_of(&whole["licenses"][0]["name"]), "CC0-1.0");
    let version = format!("{}+{}", env!("CARGO_PKG_VERSION"), digest(&embedded()));
    assert_eq!(text_of(&whole["version"]), version);
    for resource in list(&whole["resources"]) {
        let name = text_of(&resource["name"]);
        assert_eq!(
            text_of(&resource["profile"]),
            "tabular-data-resource",
            "{name}"
        );
        assert_eq!(text_of(&resource["encoding"]), "utf-8", "{name}");
        assert_eq!(
            resource["schema"]["missingValues"],
            serde_json::json!([""]),
            "{name}"
        );
        for field in list(&resource["schema"]["fields"]) {
            let (of, what) = (text_of(&field["name"]), text_of(&field["description"]));
            let unit = match of {
                of if of.starts_with("weight") => "grams",
                of if of.ends_with("_least") || of.ends_with("_most") => "millimetres",
                _ => continue,
            };
            assert!(what.contains(unit), "{name}.{of}: {what}");
        }
    }
    // Nothing lies in the folder that the description does not name.
    let resources = list(&whole["resources"]).iter();
    let mut named: BTreeSet<String> = resources.map(|r| text_of(&r["path"]).to_string()).collect();
    named.extend(["datapackage.json", "drawings"].map(String::from));
    assert_eq!(inside(&export.folder), named);
    let files = embedded();
    let drawn = files.iter().filter(|(file, _)| file.ends_with(".svg"));
    for (file, text) in drawn.clone() {
        let laid = fs::read_to_string(export.folder.join(file));
        assert_eq!(laid.ok().as_ref(), Some(text), "{file}");
    }
    let laid = ["classes", "forms", "motifs"]
        .map(|kind| inside(&export.folder.join("drawings").join(kind)));
    let laid: usize = laid.iter().map(BTreeSet::len).sum();
    assert_eq!(laid, drawn.count());
}

#[test]
fn the_page_on_open_data_names_every_table_and_column() {
    let (_place, export) = exported();
    let page = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/open-data.md");
    let page = fs::read_to_string(page).expect("the page");
    for resource in list(&export.description["resources"]) {
        let table = text_of(&resource["name"]);
        let heading = format!("| `{table}` | ");
        let line = page.lines().find(|line| line.starts_with(&heading));
        let line = line.unwrap_or_else(|| panic!("the page has no row for {table}"));
        let columns = line.rsplit(" | ").next().expect("a last cell");
        let told = columns.split(", ").map(|column| column.split('`').nth(1));
        let told: Vec<&str> = told.flatten().collect();
        assert_eq!(told, names(&resource["schema"]["fields"]), "{table}");
    }
    assert!(
        page.contains(kit::outside::pinned("frictionless")),
        "the page names another validator"
    );
}

#[test]
fn ids_elsewhere_are_given_as_whole_addresses() {
    let (_place, export) = exported();
    for (table, id, address) in [
        ("rulers", "hadrian", "https://nomisma.org/id/hadrian"),
        (
            "denominations",
            "radiate",
            "https://nomisma.org/id/antoninianus",
        ),
        ("mints", "trier", "https://nomisma.org/id/treveri"),
        ("metals", "silver", "https://nomisma.org/id/ar"),
        ("rulers", "roman-republic", ""),
    ] {
        assert_eq!(export.row(table, id)["nomisma"], address, "{table}: {id}");
    }
}

#[test]
fn the_same_library_gives_the_same_files() {
    let place = TempDir::new().expect("a temporary folder");
    let library = place.path().join("library");
    small_library(&library);
    let folders = ["one", "two"].map(|name| place.path().join(name));
    for folder in &folders {
        let ended = export(Some(&library), folder, &[]);
        assert_eq!(ended.code, 0, "{}", ended.err);
    }
    let [one, two] = &folders;
    assert_eq!(inside(one), inside(two));
    for name in inside(one) {
        let same = fs::read(one.join(&name)).ok() == fs::read(two.join(&name)).ok();
        assert!(same, "{name}");
    }
    let small = Export::read(one);
    assert_eq!(small.rows("types").len(), 5);
    let late = small.row("types", "boris-late");
    assert_eq!(late["outside"], "struck in his name by his heirs");
    assert_eq!(small.row("moved", "boris-old")["to"], "boris-penny");
    // The types of the attic are not part of the library that is ranked.
    assert!(
        small
            .rows("types")
            .iter()
            .all(|row| row["id"] != "doubtful-penny")
    );
}

// ------------------------------------------------------------------ what it refuses

#[test]
fn a_folder_that_holds_something_is_left_alone_unless_told() {
    let place = TempDir::new().expect("a temporary folder");
    let library = place.path().join("library");
    small_library(&library);
    let folder = place.path().join("open");
    lay(&folder.join("letter.txt"), "mine");
    let refused = export(Some(&library), &folder, &[]);
    assert_eq!((refused.code, refused.out.as_str()), (2, ""));
    assert!(refused.err.contains("not empty"), "{}", refused.err);
    assert!(refused.err.contains("--force"), "{}", refused.err);
    assert_eq!(inside(&folder).len(), 1);

    let oval = drawing(&embedded(), Drawn::Form, "oval").map(String::from);
    let oval = oval.expect("a drawing of what is oval");
    lay(&library.join("drawings/forms/oval.svg"), &oval);
    let forced = export(Some(&library), &folder, &["--force"]);
    assert_eq!(forced.code, 0, "{}", forced.err);
    assert!(forced.out.contains(" 1 drawing(s) "), "{}", forced.out);
    let laid = fs::read_to_string(folder.join("drawings/forms/oval.svg"));
    assert_eq!(laid.ok(), Some(oval));
    let letter = fs::read_to_string(folder.join("letter.txt"));
    assert_eq!(letter.expect("what was there"), "mine");
    let before = inside(&folder);
    lay(&folder.join("types.csv"), "spoilt");
    assert_eq!(export(Some(&library), &folder, &["--force"]).code, 0);
    assert_eq!(Export::read(&folder).rows("types").len(), 5);
    assert_eq!(
        inside(&folder),
        before,
        "something is left beside the files"
    );
}

#[test]
fn an_empty_folder_is_filled_and_a_new_one_made() {
    let place = TempDir::new().expect("a temporary folder");
    let library = place.path().join("library");
    small_library(&library);
    fs::create_dir(place.path().join("empty")).expect("a folder");
    for name in ["empty", "new", "deep/down/", "slash/"] {
        let folder = place.path().join(name);
        let ended = export(Some(&library), &folder, &[]);
        assert_eq!(ended.code, 0, "{name}: {}", ended.err);
        assert_eq!(Export::read(&folder).rows("types").len(), 5, "{name}");
    }
    let left = ["deep", "empty", "library", "new", "slash"];
    assert_eq!(inside(place.path()), left.map(String::from).into());
    assert_eq!(inside(&place.path().join("deep")).len(), 1);

    lay(&place.path().join("file"), "not a folder");
    let refused = export(Some(&library), &place.path().join("file"), &["--force"]);
    assert_eq!(refused.code, 2, "{}", refused.out);
    assert!(refused.err.contains("folder"), "{}", refused.err);
}

#[test]
fn an_export_that_is_cut_off_is_not_taken_for_whole() {
    let place = TempDir::new().expect("a temporary folder");
    let library = place.path().join("library");
    small_library(&library);
    let folder = place.path().join("open");
    assert_eq!(export(Some(&library), &folder, &[]).code, 0);
    // A folder stands where a file belongs, so that the run breaks off in the middle.
    fs::remove_file(folder.join("types.csv")).expect("the file is gone");
    lay(&folder.join("types.csv/kept"), "mine");
    let cut = export(Some(&library), &folder, &["--force"]);
    assert_eq!((cut.code, cut.out.as_str()), (2, ""));
    assert!(cut.err.contains("can be written to"), "{}", cut.err);
    let left = inside(&folder);
    assert!(!left.contains("datapackage.json"), "{left:?}");
    assert!(left.iter().all(|name| !name.starts_with('.')), "{left:?}");
}

#[test]
fn a_library_with_faults_is_refused() {
    let place = TempDir::new().expect("a temporary folder");
    let library = place.path().join("library");
    small_library(&library);
    change(
        &library.join("rulers/realm.toml"),
        "realm = \"realm\"",
        "realm = \"\"",
    );
    change(
        &library.join("mints/realm.toml"),
        "name = \"Easton\"",
        "name = \" \"",
    );
    let folder = place.path().join("open");
    for flags in [&[][..], &["--with-faults"]] {
        let refused = export(Some(&library), &folder, flags);
        assert_eq!((refused.code, refused.out.as_str()), (2, ""));
        assert!(refused.err.contains("2 fault(s)"), "{}", refused.err);
        assert!(
            refused.err.contains("lynchet catalogue check"),
            "{}",
            refused.err
        );
        assert!(!folder.exists());
    }
    assert_eq!(inside(place.path()).len(), 1);
}

// ------------------------------------------------------------------ what others make of it

#[test]
fn a_validator_from_outside_finds_no_fault() {
    let python = validator();
    let (_place, export) = exported();
    let report = validated(&python, &export.folder);
    assert_eq!(report["valid"], true, "{report:#}");
    let rows = report["rows"].as_object().expect("rows by table");
    assert_eq!(rows.len(), export.tables.len());
    for (table, count) in rows {
        let count = count.as_u64().expect("a count") as usize;
        assert_eq!(count, export.rows(table).len(), "{table}");
    }
}

#[test]
fn a_validator_from_outside_would_find_a_fault() {
    let python = validator();
    let place = TempDir::new().expect("a temporary folder");
    let library = place.path().join("library");
    small_library(&library);
    let folder = place.path().join("open");
    assert_eq!(export(Some(&library), &folder, &[]).code, 0);
    assert_eq!(validated(&python, &folder)["valid"], true);
    change(
        &folder.join("type_mints.csv"),
        "adela-penny,easton",
        "adela-penny,norton",
    );
    change(&folder.join("standards.csv"), ",0.7,", ",-0.7,");
    let report = validated(&python, &folder);
    let faults = list(&report["faults"]).iter();
    let faults: BTreeSet<&str> = faults.map(|fault| text_of(&fault["kind"])).collect();
    for kind in ["foreign-key", "constraint-error", "hash-count"] {
        assert!(faults.contains(kind), "{kind}: {report:#}");
    }
}

fn validated(python: &Path, folder: &Path) -> Value {
    let ended = Command::new(python).arg(VALIDATE).arg(folder).output();
    let ended = ended.unwrap_or_else(|e| panic!("{}: {e}", python.display()));
    let told = String::from_utf8_lossy(&ended.stderr).into_owned();
    serde_json::from_slice(&ended.stdout).unwrap_or_else(|e| panic!("{e}: {told}"))
}

/// A Python that has the validator.
fn validator() -> PathBuf {
    kit::outside::python(&["frictionless"])
}
