//! The methods of a general-purpose library, in Python: tables out, marks in.

use std::collections::BTreeMap;
use std::error::Error;
use std::path::{Path, PathBuf};
use std::process::Command;

use lynchet::catalogue::Catalogue;
use lynchet::find::{Find, Mark as Sign, Side, Treatment};

use crate::Method;
use crate::yardsticks::exam::{LEVELS, Level, Mark, key};

const SCRIPT: &str = "tests/outside/references.py";
const COLUMNS: [&str; 22] = [
    "type",
    "ruler",
    "denomination",
    "period",
    "metal",
    "sure",
    "weight",
    "diameter",
    "thickness",
    "axis",
    "wear",
    "completeness",
    "corrosion",
    "making",
    "clipped",
    "date",
    "opinion",
    "obverse",
    "reverse",
    "either",
    "motifs",
    "traits",
];

/// What was learnt and how it answered.
pub struct Learnt {
    pub methods: Vec<Method>,
    pub versions: String,
}

fn python() -> PathBuf {
    Path::new("target/venv").join(if cfg!(windows) {
        "Scripts/python.exe"
    } else {
        "bin/python"
    })
}

/// Says what to do when the library is not there.
pub fn ready() -> Result<(), Box<dyn Error>> {
    let asked = Command::new(python())
        .args(["-c", "import sklearn"])
        .output();
    match asked {
        Ok(ended) if ended.status.success() => Ok(()),
        _ => Err(
            "scikit-learn is not in target/venv; from the project's folder run\n  \
                  python3 -m venv target/venv && target/venv/bin/pip install -r \
                  tests/outside/requirements.txt\nand start again"
                .into(),
        ),
    }
}

/// One find as a row.
fn row(truth: usize, find: &Find, library: &Catalogue) -> Vec<String> {
    let coin = &library.types[truth];
    let named = |level| key(level, truth, coin).to_string();
    let mut row: Vec<String> = [
        Level::Type,
        Level::Ruler,
        Level::Denomination,
        Level::Period,
    ]
    .map(named)
    .to_vec();
    let shown = |value: Option<String>| value.unwrap_or_default();
    let letters = |wanted: Side| {
        let readings = find
            .readings
            .iter()
            .filter(|reading| reading.side == wanted);
        let runs = readings
            .flat_map(|reading| &reading.marks)
            .map(|mark| match mark {
                Sign::Letter { letter, .. } => letter.to_string(),
                Sign::OneOf(letters) => letters.first().map_or(String::new(), char::to_string),
                Sign::Break => String::new(),
                _ => " ".to_string(),
            });
        runs.collect::<String>()
    };
    let motifs = find.sightings.iter().map(|seen| {
        let there = if seen.present { "" } else { "no-" };
        format!(
            "{there}{} {there}{}:{}",
            seen.motif,
            side(seen.side),
            seen.motif
        )
    });
    row.extend([
        shown(find.metal.map(|(metal, _)| metal.name().to_string())),
        shown(find.metal.map(|(_, sure)| sure.to_string())),
        shown(find.weight.map(|weight| weight.value.get().to_string())),
        shown(
            find.diameter
                .map(|diameter| diameter.value.get().to_string()),
        ),
        shown(
            find.thickness
                .map(|thickness| thickness.value.get().to_string()),
        ),
        shown(find.die_axis.map(|axis| axis.hour().to_string())),
        shown(find.wear.map(|wear| format!("{wear:?}"))),
        shown(find.completeness.map(|left| format!("{left:?}"))),
        shown(find.corrosion.map(|step| format!("{step:?}"))),
        shown(find.making.map(|made| format!("{made:?}"))),
        find.treatments.contains(&Treatment::Clipped).to_string(),
        shown(find.date_on_piece.map(|year| year.to_string())),
        shown(find.opinions.first().map(|one| one.ids.join("-"))),
        letters(Side::Obverse),
        letters(Side::Reverse),
        letters(Side::Unknown),
        motifs.collect::<Vec<_>>().join(" "),
        find.trait_count().to_string(),
    ]);
    row
}

fn write(path: &Path, finds: &[(usize, Find)], library: &Catalogue) -> Result<(), Box<dyn Error>> {
    let mut table = csv::Writer::from_path(path)?;
    table.write_record(COLUMNS)?;
    for (truth, find) in finds {
        table.write_record(row(*truth, find, library))?;
    }
    Ok(table.flush()?)
}

/// Trains on some finds and answers to others.
pub fn learn(
    library: &Catalogue,
    learnt: &[(usize, Find)],
    tried: &[(usize, Find)],
) -> Result<Learnt, Box<dyn Error>> {
    let folder = tempfile::tempdir()?;
    let (from, to) = (
        folder.path().join("learn.csv"),
        folder.path().join("tried.csv"),
    );
    write(&from, learnt, library)?;
    write(&to, tried, library)?;
    let ended = Command::new(python())
        .arg(SCRIPT)
        .args([&from, &to])
        .output()?;
    if !ended.status.success() {
        let why = String::from_utf8_lossy(&ended.stderr).into_owned();
        return Err(format!("{SCRIPT}: {why}").into());
    }
    eprint!("{}", String::from_utf8_lossy(&ended.stderr));
    let told: serde_json::Value = serde_json::from_slice(&ended.stdout)?;
    let mut methods: BTreeMap<String, Method> = BTreeMap::new();
    let versions = told["versions"]
        .as_object()
        .ok_or("no versions were told")?;
    let mut versions: Vec<String> = versions
        .iter()
        .map(|(name, version)| format!("{name} {}", version.as_str().unwrap_or("")))
        .collect();
    for one in told["methods"].as_array().ok_or("no methods were told")? {
        let text = |field: &str| one[field].as_str().unwrap_or("").to_string();
        let at = LEVELS.iter().position(|(_, name)| *name == text("level"));
        let at = at.ok_or("a level that is not known")?;
        versions.push(format!(
            "{} ({}): {}",
            text("name"),
            text("level"),
            text("how")
        ));
        let method = methods.entry(text("name")).or_insert_with(|| Method {
            name: text("name"),
            marks: vec![[None; 4]; tried.len()],
            top: Vec::new(),
        });
        for (marks, mark) in method
            .marks
            .iter_mut()
            .zip(one["finds"].as_array().into_iter().flatten())
        {
            let figure = |place: usize| mark[place].as_f64().unwrap_or(0.0);
            marks[at] = Some(Mark {
                above: figure(0),
                level: figure(1).max(1.0),
                p: Some(figure(2)),
            });
        }
    }
    Ok(Learnt {
        methods: methods.into_values().rev().collect(),
        versions: versions.join("; "),
    })
}

fn side(side: Side) -> &'static str {
    match side {
        Side::Obverse => "obverse",
        Side::Reverse => "reverse",
        Side::Unknown => "either",
    }
}
