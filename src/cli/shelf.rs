//! Where the shelf is, who acts and when: what the verbs over the shelf share.
//!
//! The only place of the doors that reads the clock for the shelf. Never writes.
//!
//! Invariant: a shelf is only made where a verb keeps something.

use std::fs::File;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use clap::Args as ClapArgs;
use serde::Serialize;
use serde_json::Value;

use super::error::Trouble;
use super::treasure::{clock_today, day};
use crate::collect::{Access, Act, FILE_MOST, Kind, Shelf, ShelfFault, Stamp};
use crate::treasure::CalendarDay;

/// Which shelf, and who acts.
#[derive(ClapArgs, Clone, Debug, Default)]
#[command(next_help_heading = "The shelf")]
pub(super) struct ShelfFlags {
    /// The folder of the shelf [default: LYNCHET_SHELF, or the user's data folder]
    #[arg(long, global = true, value_name = "DIR")]
    pub(super) shelf: Option<PathBuf>,
    /// Who acts, for the history [default: finder]
    #[arg(long, global = true, value_name = "NAME")]
    pub(super) who: Option<String>,
    /// Act as if today were this day [default: by the machine's clock]
    #[arg(long, global = true, value_name = "DAY")]
    pub(super) today: Option<String>,
    /// Answer with JSON
    #[arg(long, global = true, help_heading = "Options")]
    pub(super) json: bool,
}

impl From<ShelfFault> for Trouble {
    fn from(fault: ShelfFault) -> Trouble {
        let shown = fault.to_string();
        let what = shown.strip_suffix(&format!("; {}", fault.mend));
        Trouble::new(what.unwrap_or(&fault.what), fault.mend.clone())
    }
}

impl ShelfFlags {
    /// Opens the shelf.
    pub(super) fn open(&self, access: Access) -> Result<Shelf, Trouble> {
        Ok(Shelf::open(&self.folder()?, access)?)
    }

    /// Opens the shelf to read it; none where there is none yet.
    pub(super) fn open_or_none(&self) -> Result<Option<Shelf>, Trouble> {
        match Shelf::open(&self.folder()?, Access::Read) {
            Ok(shelf) => Ok(Some(shelf)),
            Err(fault) if fault.kind == Kind::NotThere => Ok(None),
            Err(fault) => Err(fault.into()),
        }
    }

    /// The folder of the shelf.
    pub(super) fn folder(&self) -> Result<PathBuf, Trouble> {
        self.shelf.clone().or_else(default_folder).ok_or_else(|| {
            Trouble::new(
                "there is no folder for the user's data to keep a shelf in",
                "name one with --shelf DIR",
            )
        })
    }

    /// Today.
    pub(super) fn today(&self) -> Result<CalendarDay, Trouble> {
        match &self.today {
            Some(text) => day("--today", text),
            None => clock_today(),
        }
    }

    /// Who acts, and when.
    pub(super) fn stamp(&self) -> Result<Stamp, Trouble> {
        let who = self.who.as_deref().unwrap_or("finder").trim();
        if who.is_empty() || who.chars().count() > 100 || who.chars().any(char::is_control) {
            return Err(Trouble::new(
                "--who: this is no name",
                "give a name of one line, at most 100 characters",
            ));
        }
        Ok(Stamp::new(who, &self.now()?))
    }

    /// The instant, RFC 3339 in UTC; with --today the beginning of that day.
    fn now(&self) -> Result<String, Trouble> {
        if self.today.is_some() {
            return Ok(format!("{}T00:00:00Z", self.today()?.iso()));
        }
        let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
        let seconds = since.map_or(0, |since| since.as_secs()) % 86_400;
        let (hours, minutes, seconds) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
        let day = clock_today()?.iso();
        Ok(format!("{day}T{hours:02}:{minutes:02}:{seconds:02}Z"))
    }
}

/// Where the shelf is unless told: in the user's data folder.
pub(super) fn default_folder() -> Option<PathBuf> {
    let set = |name: &str| {
        let value = std::env::var_os(name).filter(|value| !value.is_empty());
        value.map(PathBuf::from)
    };
    let own = set("LYNCHET_SHELF");
    let named = || set("XDG_DATA_HOME").map(|folder| folder.join("lynchet"));
    let roaming = || set("APPDATA").map(|folder| folder.join("lynchet"));
    let home = || {
        let home = set("HOME")?;
        Some(match cfg!(target_os = "macos") {
            true => home.join("Library/Application Support/lynchet"),
            false => home.join(".local/share/lynchet"),
        })
    };
    own.or_else(named).or_else(|| match cfg!(windows) {
        true => roaming().or_else(home),
        false => home().or_else(roaming),
    })
}

/// The setting that says of a whole shelf that it is invented.
pub(super) const INVENTED: &str = "invented";

/// What is to be said of a shelf that is invented; nothing of any other.
pub(crate) fn invented(shelf: &Shelf) -> Result<Option<String>, ShelfFault> {
    shelf.setting(INVENTED)
}

/// A row of the shelf for programs: its columns by name, lists as lists.
pub(super) fn json_of(row: &impl Serialize) -> Value {
    let mut value = serde_json::to_value(row).unwrap_or_default();
    if let Some(columns) = value.as_object_mut() {
        columns.remove("folded");
        for list in ["said", "answer", "columns"] {
            let text = columns.get(list).and_then(Value::as_str);
            if let Some(inner) = text.and_then(|text| serde_json::from_str(text).ok()) {
                columns.insert(list.into(), inner);
            }
        }
    }
    value
}

/// Acts for programs.
pub(super) fn acts_json(acts: &[Act]) -> Value {
    let row = |text: &Option<String>| -> Value {
        let text = text.as_deref();
        text.and_then(|text| serde_json::from_str(text).ok())
            .unwrap_or_default()
    };
    let acts = acts.iter().map(|act| {
        let changes = act.changes.iter().map(|change| {
            serde_json::json!({
                "table": change.table, "row": change.row,
                "before": row(&change.before), "after": row(&change.after),
            })
        });
        serde_json::json!({
            "act": act.seq, "at": act.at, "who": act.who, "verb": act.verb, "about": act.about,
            "undoes": act.undoes, "undone_by": act.undone_by, "rows": act.rows,
            "changes": changes.collect::<Vec<_>>(),
        })
    });
    acts.collect()
}

/// Acts for people: one line each, and what of which column changed.
pub(super) fn print_acts(acts: &[Act], out: &mut dyn Write) -> io::Result<()> {
    for act in acts {
        let mut end = String::new();
        if let Some(undoes) = act.undoes {
            end.push_str(&format!(", takes back {undoes}"));
        }
        if let Some(by) = act.undone_by {
            end.push_str(&format!(", taken back by {by}"));
        }
        let Act {
            seq,
            at,
            who,
            verb,
            about,
            ..
        } = act;
        writeln!(out, "{seq:>6}  {at}  {who}: {verb} {about}{end}")?;
        for change in act.changes.iter().take(CHANGES_SHOWN) {
            for line in changed(change) {
                writeln!(out, "        {line}")?;
            }
        }
        if act.rows > CHANGES_SHOWN as u64 {
            let more = act.rows - CHANGES_SHOWN as u64;
            writeln!(out, "        and {more} more rows")?;
        }
    }
    Ok(())
}

/// Most changed rows shown of one act.
const CHANGES_SHOWN: usize = 12;

/// The columns of a row that an act changed, as words; nothing of a row that is new or gone.
fn changed(change: &crate::collect::Change) -> Vec<String> {
    let read =
        |text: &Option<String>| -> Option<Value> { serde_json::from_str(text.as_deref()?).ok() };
    let (before, after) = (read(&change.before), read(&change.after));
    let (Some(before), Some(after)) = (before, after) else {
        return Vec::new();
    };
    let columns = before.as_object().into_iter().flatten();
    let differ = columns.filter(|(name, value)| {
        !["changed", "folded"].contains(&name.as_str()) && after.get(name.as_str()) != Some(value)
    });
    let short = |value: Option<&Value>| match value {
        None | Some(Value::Null) => "nothing".to_string(),
        Some(Value::String(text)) => format!("{:?}", super::ids::shortened(text)),
        Some(other) => other.to_string(),
    };
    let line = |(name, value): (&String, &Value)| {
        let (was, is) = (short(Some(value)), short(after.get(name.as_str())));
        format!("{} {name}: {was} to {is}", change.table)
    };
    differ.map(line).collect()
}

/// The bytes of a file to be kept, but no more than may be.
pub(super) fn bytes(flag: &str, path: &Path) -> Result<Vec<u8>, Trouble> {
    let trouble = |error: io::Error| {
        let what = format!("{flag}: {}: {error}", path.display());
        Trouble::new(what, "name a file that is there and can be read")
    };
    if path.is_dir() {
        let what = format!("{flag}: {} is a folder", path.display());
        return Err(Trouble::new(what, "name one file in it"));
    }
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(trouble)?;
    file.take(FILE_MOST as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(trouble)?;
    Ok(bytes)
}

/// A number, with or without its unit behind it.
pub(super) fn number(flag: &str, text: &str, unit: &str) -> Result<f64, Trouble> {
    let bare = text.trim().trim_end_matches(unit).trim();
    bare.parse().map_err(|_| {
        let what = format!("{flag}: \"{}\" is no number", super::ids::shortened(text));
        Trouble::new(what, format!("write it as 20, or 20 {unit}"))
    })
}

/// The name of a file, to be shown.
pub(super) fn name_of(path: &Path) -> String {
    let name = path.file_name().unwrap_or(path.as_os_str());
    name.to_string_lossy().into_owned()
}
