//! `collection stats`: figures over the finds chosen, and pictures of them, for every door.
//!
//! Names what the shelf has counted and hands it to the room that draws. Judges nothing.
//!
//! Invariant: what is not said of a find is counted as not said, never left out.

use std::fs;
use std::io::Write;
use std::path::Path;

use serde_json::{Value, json};

use super::args::FilterFlags;
use crate::catalogue::{Artefacts, Catalogue};
use crate::cli::error::Trouble;
use crate::cli::opened::Opened;
use crate::cli::report::strong;
use crate::cli::shelf::{ShelfFlags, invented};
use crate::cli::{Outcome, print_json, whole};
use crate::collect::charts::{Bar, DayCount, bars, days, measures};
use crate::collect::{Filter, Land, Shelf, Statistics, Tally};
use crate::drawn::Setting;
use crate::treasure::CalendarDay;

/// Rows of each list that a person is shown.
const ROWS_SHOWN: usize = 12;
/// What stands for those of which nothing is said.
const NOT_SAID: &str = "not said";

/// One list of figures, its rows named.
pub(crate) struct Listing {
    /// Name for programs and files.
    pub(crate) name: &'static str,
    /// What it counts.
    pub(crate) title: &'static str,
    /// Its rows, in the order in which they are shown.
    pub(crate) rows: Vec<Named>,
}

/// One row of a list.
pub(crate) struct Named {
    /// Its id in the library or on the shelf; none of what is not said.
    pub(crate) id: Option<String>,
    /// What it is called.
    pub(crate) name: String,
    /// How many finds.
    pub(crate) count: u64,
}

/// The figures of the finds that a filter lets through, and their lists.
#[derive(Default)]
pub(crate) struct Counted {
    /// The figures.
    pub(crate) figures: Statistics,
    /// Their lists, named.
    pub(crate) listings: Vec<Listing>,
}

impl Counted {
    /// Counts the finds that a filter lets through, whatever its page.
    pub(crate) fn of(
        shelf: &Shelf,
        filter: Filter,
        opened: &Opened<'_>,
    ) -> Result<Counted, Trouble> {
        let figures = shelf.statistics(&Filter {
            most: None,
            ..filter
        })?;
        let listings = listings(&figures, &shelf.lands()?, opened)?;
        Ok(Counted { figures, listings })
    }

    /// The bars of one list as SVG.
    pub(crate) fn bars(list: &Listing, setting: Setting) -> String {
        let bar = |row: &Named| Bar {
            label: row.name.clone(),
            count: row.count,
        };
        let rows: Vec<Bar> = list.rows.iter().map(bar).collect();
        bars(&format!("by-{}", list.name), list.title, &rows, setting)
    }

    /// The days on which finds were made, along a line, as SVG.
    pub(crate) fn days(&self, setting: Setting) -> String {
        let found = self.figures.days.iter().filter_map(|(day, count)| {
            let day = CalendarDay::read(day).ok()?;
            Some(DayCount { day, count: *count })
        });
        let found: Vec<DayCount> = found.collect();
        days("days", "Finds by day", &found, setting)
    }

    /// Weight against diameter as SVG.
    pub(crate) fn measures(&self, setting: Setting) -> String {
        let measured = &self.figures.measures;
        measures("measures", "Weight against diameter", measured, setting)
    }
}

/// Counts, and prints or draws.
pub(super) fn run(
    asked: &FilterFlags,
    write: Option<&Path>,
    flags: &ShelfFlags,
    opened: &Opened<'_>,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let filter = super::filter(asked)?;
    let Some(shelf) = flags.open_or_none()? else {
        match flags.json {
            true => print_json(&view(&Counted::default()), out)?,
            false => writeln!(out, "no finds are kept yet")?,
        }
        return Ok(Outcome::Answer);
    };
    let counted = Counted::of(&shelf, filter, opened)?;
    let mut view = view(&counted);
    if let Some(invented) = invented(&shelf)? {
        if !flags.json {
            writeln!(out, "{invented}\n")?;
        }
        view["invented"] = invented.into();
    }
    if let Some(folder) = write {
        for line in written(&counted, &view, folder)? {
            // For programs the answer alone goes out.
            if !flags.json {
                writeln!(out, "{line}")?;
            }
        }
    }
    match flags.json {
        true => print_json(&view, out)?,
        false => print(&counted, out)?,
    }
    Ok(Outcome::Answer)
}

/// The lists, named by the library; that of things is opened only where there are any.
fn listings(
    figures: &Statistics,
    lands: &[Land],
    opened: &Opened<'_>,
) -> Result<Vec<Listing>, Trouble> {
    let library = &opened.house()?.catalogue;
    let things = figures.classes.iter().any(|row| row.of.is_some());
    let things = match things {
        true => Some(&opened.things()?.artefacts),
        false => None,
    };
    let list = |name, title, rows: &[Tally], named: &dyn Fn(&str) -> Option<String>| Listing {
        name,
        title,
        rows: rows.iter().map(|row| named_row(row, named)).collect(),
    };
    let plain = |word: &str| Some(word.replace('-', " "));
    let land = |id: &str| {
        let land = lands.iter().find(|land| land.id == id)?;
        Some(format!("{} ({id})", land.name))
    };
    let ruler = |id: &str| {
        let mut rulers = library.rulers.iter();
        Some(rulers.find(|ruler| ruler.id == id)?.name.clone())
    };
    let mut all = vec![
        list("kind", "Finds by kind", &figures.kinds, &plain),
        list(
            "period",
            "Finds by period",
            &in_time(figures, library, things),
            &|id| period(id, library, things).map(|(name, _)| name),
        ),
        list("metal", "Finds by metal", &figures.metals, &|_| None),
        Listing {
            name: "what",
            title: "Coins by denomination, things by class",
            rows: what(figures, library, things),
        },
        list("ruler", "Coins by ruler", &figures.rulers, &ruler),
        list("land", "Finds by field", &figures.lands, &land),
        list("month", "Finds by month found", &figures.months, &|_| None),
        list("status", "Where the finds are", &figures.statuses, &plain),
    ];
    // A ruler is said of coins alone: what has none is told by the list of kinds.
    all.iter_mut()
        .filter(|list| list.name == "ruler")
        .for_each(|list| list.rows.retain(|row| row.id.is_some()));
    Ok(all)
}

fn named_row(row: &Tally, named: &dyn Fn(&str) -> Option<String>) -> Named {
    let name = row.of.as_ref().map(|id| named(id).unwrap_or(id.clone()));
    Named {
        id: row.of.clone(),
        name: name.unwrap_or_else(|| NOT_SAID.into()),
        count: row.count,
    }
}

/// Name and first year of a period, of coins or of things.
fn period(id: &str, library: &Catalogue, things: Option<&Artefacts>) -> Option<(String, i32)> {
    let things = things.map_or(&[][..], |things| &things.periods[..]);
    let mut all = library.periods.iter().chain(things);
    let found = all.find(|one| one.id == id)?;
    Some((found.name.clone(), found.span.from))
}

/// Periods by their years, what is not said last.
fn in_time(figures: &Statistics, library: &Catalogue, things: Option<&Artefacts>) -> Vec<Tally> {
    let mut rows = figures.periods.clone();
    let year = |id: &str| period(id, library, things).map_or(i32::MAX, |(_, year)| year);
    rows.sort_by_key(|row| (row.of.is_none(), row.of.as_deref().map(year)));
    rows
}

/// What finds are: denominations of coins and classes of things, the most first.
fn what(figures: &Statistics, library: &Catalogue, things: Option<&Artefacts>) -> Vec<Named> {
    let denomination = |id: &str| {
        let mut all = library.denominations.iter();
        Some(all.find(|one| one.id == id)?.name.clone())
    };
    let class = |id: &str| {
        let mut all = things?.classes.iter();
        Some(all.find(|one| one.id == id)?.name.clone())
    };
    let said = |row: &&Tally| row.of.is_some();
    let coins = figures.denominations.iter().filter(said);
    let things = figures.classes.iter().filter(said);
    let mut rows: Vec<Named> = coins
        .map(|row| named_row(row, &denomination))
        .chain(things.map(|row| named_row(row, &class)))
        .collect();
    rows.sort_by(|a, b| b.count.cmp(&a.count).then(a.name.cmp(&b.name)));
    let open = figures.finds - rows.iter().map(|row| row.count).sum::<u64>();
    if open > 0 {
        let tally = Tally {
            of: None,
            count: open,
        };
        rows.push(named_row(&tally, &|_| None));
    }
    rows
}

/// Figures for programs.
fn view(Counted { figures, listings }: &Counted) -> Value {
    let by = listings.iter().map(|list| {
        let rows = list.rows.iter();
        let rows = rows.map(|row| json!({ "id": row.id, "name": row.name, "count": row.count }));
        (list.name.to_string(), rows.collect::<Value>())
    });
    let days = figures.days.iter();
    let measures = figures.measures.iter().map(|one| {
        json!({
            "id": one.id, "weight_g": one.weight_g, "diameter_mm": one.diameter_mm,
            "coin": one.coin,
        })
    });
    json!({
        "finds": figures.finds, "confirmed": figures.confirmed, "recorded": figures.recorded,
        "photographed": figures.photographed,
        "by": by.collect::<serde_json::Map<String, Value>>(),
        "days": days.map(|(day, count)| json!({ "day": day, "count": count })).collect::<Value>(),
        "measures": measures.collect::<Value>(),
    })
}

fn print(Counted { figures, listings }: &Counted, out: &mut dyn Write) -> Result<(), Trouble> {
    let Statistics {
        finds,
        confirmed,
        recorded,
        photographed,
        ..
    } = figures;
    writeln!(
        out,
        "{finds} find(s): {confirmed} confirmed, {recorded} with an official number, \
         {photographed} with a photograph"
    )?;
    for list in listings.iter().filter(|list| !list.rows.is_empty()) {
        writeln!(out, "\n{}", strong(list.title))?;
        for row in list.rows.iter().take(ROWS_SHOWN) {
            writeln!(out, "{:>6}  {}", row.count, row.name)?;
        }
        let rest = list.rows.get(ROWS_SHOWN..).unwrap_or_default();
        if !rest.is_empty() {
            let count: u64 = rest.iter().map(|row| row.count).sum();
            writeln!(out, "{count:>6}  {} others", rest.len())?;
        }
    }
    Ok(())
}

/// The pictures, by the names of their files.
fn pictures(counted: &Counted) -> Vec<(String, String)> {
    let alone = Setting::Alone;
    let drawn = |list: &Listing| (format!("by-{}.svg", list.name), Counted::bars(list, alone));
    let mut all: Vec<(String, String)> = counted.listings.iter().map(drawn).collect();
    all.push(("days.svg".into(), counted.days(alone)));
    all.push(("measures.svg".into(), counted.measures(alone)));
    all
}

/// Writes figures and pictures into a folder; gives a line on each.
fn written(counted: &Counted, view: &Value, folder: &Path) -> Result<Vec<String>, Trouble> {
    let fault = |path: &Path, error: std::io::Error| {
        let what = format!("--write: {}: {error}", path.display());
        Trouble::new(
            what,
            "name a folder, new or there already, that can be written to",
        )
    };
    fs::create_dir_all(folder).map_err(|error| fault(folder, error))?;
    let mut files = pictures(counted);
    files.push(("stats.json".into(), format!("{view:#}\n")));
    let mut told = Vec::new();
    for (name, text) in files {
        let file = folder.join(&name);
        let there = if file.exists() { " (replaced)" } else { "" };
        whole::write(&file, text.as_bytes()).map_err(|error| fault(&file, error))?;
        told.push(format!("written: {}{there}", file.display()));
    }
    Ok(told)
}
