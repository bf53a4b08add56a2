//! The statement for the owner: what was found on the land, what was reported, where it is, how
//! value is shared.
//!
//! Lays out what is kept. Findspots are cut to squares of 1 km unless told; says no price, and
//! defers to the law for what is treasure.
//!
//! Invariant: every find of the land and the days asked for stands in the statement once.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

use serde_json::{Value, json};

use super::args::LandVerb;
use super::print::of_leave;
use crate::cli::error::Trouble;
use crate::cli::shelf::{ShelfFlags, invented};
use crate::cli::{Outcome, print_json};
use crate::collect::{Access, Filter, Holding, Order, Shelf, ShelfFault, Whole};
use crate::findspot::{self, Side};
use crate::treasure::{CalendarDay, law};

/// One find as the owner sees it.
pub(crate) struct Row {
    id: String,
    found: String,
    what: String,
    measured: String,
    findspot: String,
    reported: String,
    now: String,
}

/// All that is laid out.
pub(crate) struct Statement {
    holding: Holding,
    above: Option<Holding>,
    days: String,
    today: CalendarDay,
    rows: Vec<Row>,
    invented: Option<String>,
}

/// Makes the statement and writes it.
pub(super) fn run(
    verb: &LandVerb,
    flags: &ShelfFlags,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let LandVerb::Statement {
        id,
        from,
        to,
        findspot_to,
        exact_findspot,
        html,
        to_file,
    } = verb
    else {
        return Ok(Outcome::Answer);
    };
    let side = side(*exact_findspot, *findspot_to)?;
    let shelf = flags.open(Access::Read)?;
    let today = flags.today()?;
    let filter = Filter {
        land: Some(id.clone()),
        found_from: day("--from", from)?,
        found_to: day("--to", to)?,
        order: Order::Found,
        ..Filter::default()
    };
    let statement = Statement::of(&shelf, &filter, side, today)?;
    if flags.json {
        print_json(&statement.view(), out)?;
        return Ok(Outcome::Answer);
    }
    let text = match html {
        true => statement.html(),
        false => statement.text(),
    };
    hand_over(&text, to_file.as_deref(), out)?;
    let _ = tell_exact(side.is_none());
    Ok(Outcome::Answer)
}

fn hand_over(text: &str, to: Option<&Path>, out: &mut dyn Write) -> Result<(), Trouble> {
    match to {
        None => write!(out, "{text}")?,
        Some(path) => {
            put(path, text)?;
            writeln!(out, "wrote {}", path.display())?;
        }
    }
    Ok(())
}

fn side(exact: bool, metres: u32) -> Result<Option<Side>, Trouble> {
    if exact {
        return Ok(None);
    }
    let side = Side::of_metres(metres).ok_or_else(|| {
        let what = format!("--findspot-to: {metres} is no side of a square");
        Trouble::new(what, "say 100, 1000 or 10000")
    });
    side.map(Some)
}

fn day(flag: &str, said: &Option<String>) -> Result<Option<String>, Trouble> {
    let Some(text) = said else {
        return Ok(None);
    };
    let read = crate::treasure::When::read(text);
    read.map_err(|what| Trouble::new(format!("{flag}: {what}"), "write it as 2026-03-14"))?;
    Ok(Some(text.trim().to_string()))
}

/// Says on the error stream that the statement tells where exactly things lay.
fn tell_exact(exact: bool) -> io::Result<()> {
    match exact {
        true => writeln!(
            io::stderr(),
            "note: the statement holds findspots as they were given; it is for the owner alone"
        ),
        false => Ok(()),
    }
}

/// Writes a new file, whole or not at all.
fn put(path: &Path, text: &str) -> Result<(), Trouble> {
    if path.exists() {
        let what = format!("--to-file: {} is there already", path.display());
        return Err(Trouble::new(what, "name a new file"));
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let beside = path.with_file_name(format!(".{name}.{}.tmp", std::process::id()));
    let written = fs::write(&beside, text).and_then(|()| fs::rename(&beside, path));
    written.map_err(|error| {
        let _ = fs::remove_file(&beside);
        let what = format!("--to-file: {}: {error}", path.display());
        Trouble::new(what, "name a file in a folder that can be written to")
    })
}

fn row(whole: &Whole, side: Option<Side>) -> Row {
    let entry = &whole.entry;
    let what = whole.identified.first().map(|one| {
        let by = one.confirmed_by.map(|by| match by.word() {
            "self" => ", by the finder".to_string(),
            by => format!(", confirmed by {by}"),
        });
        format!("{}{}", one.text, by.unwrap_or(", not confirmed".into()))
    });
    let measured = [
        entry.metal.clone(),
        entry.weight_g.map(|grams| format!("{grams} g")),
        entry.diameter_mm.map(|mm| format!("{mm} mm")),
    ];
    let measured: Vec<String> = measured.into_iter().flatten().collect();
    let square = entry.findspot.as_deref().and_then(|text| {
        let read = findspot::read(text).ok()?;
        Some(match side {
            None => text.to_string(),
            Some(side) => read.redacted(side).square.to_string(),
        })
    });
    let number = entry.official_number.as_deref();
    let went = whole.whereabouts.last().and_then(|last| last.day.clone());
    let status = entry.status.word().replace('-', " ");
    Row {
        id: entry.id.clone(),
        found: entry.found_on.clone().unwrap_or_else(|| "not said".into()),
        what: what.unwrap_or_else(|| match entry.words.is_empty() {
            true => "not identified".into(),
            false => entry.words.clone(),
        }),
        measured: measured.join(", "),
        findspot: square.unwrap_or_else(|| "not said".into()),
        reported: number.map_or("no number kept".into(), |number| format!("record {number}")),
        now: went.map_or(status.clone(), |day| format!("{status} since {day}")),
    }
}

fn days(filter: &Filter) -> String {
    match (&filter.found_from, &filter.found_to) {
        (Some(from), Some(to)) => format!("found from {from} to {to}"),
        (Some(from), None) => format!("found since {from}"),
        (None, Some(to)) => format!("found until {to}"),
        (None, None) => "found so far".into(),
    }
}

impl Statement {
    /// The statement of the land of a filter, findspots cut to squares of a side.
    pub(crate) fn of(
        shelf: &Shelf,
        filter: &Filter,
        side: Option<Side>,
        today: CalendarDay,
    ) -> Result<Statement, ShelfFault> {
        let mut rows = Vec::new();
        for listed in shelf.list(filter)?.iter().rev() {
            rows.push(row(&shelf.whole(listed.key)?, side));
        }
        let holding = shelf.holding(filter.land.as_deref().unwrap_or_default())?;
        let above = holding
            .parent
            .as_ref()
            .map(|parent| shelf.holding(&parent.id));
        Ok(Statement {
            above: above.transpose()?,
            holding,
            days: days(filter),
            today,
            rows,
            invented: invented(shelf)?,
        })
    }

    /// The finds, the earliest first.
    pub(crate) fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// Its heading.
    pub(crate) fn title(&self) -> String {
        let land = &self.holding.land;
        format!("Finds from {} ({}), {}", land.name, land.id, self.days)
    }

    /// Leave of the land and of its holding.
    pub(crate) fn leave(&self) -> Vec<String> {
        let all = self.above.iter().chain([&self.holding]);
        all.flat_map(|one| &one.leave).map(of_leave).collect()
    }

    /// What the law has to say to an owner, in the words of its room.
    pub(crate) fn cautions() -> [String; 2] {
        [law("owner").text(), law("duty").text()]
    }

    /// The columns of a find, each with its name.
    pub(crate) fn columns(row: &Row) -> [(&'static str, &str); 7] {
        [
            ("number", &row.id),
            ("found", &row.found),
            ("what it is", &row.what),
            ("measured", &row.measured),
            ("where", &row.findspot),
            ("reported", &row.reported),
            ("now", &row.now),
        ]
    }

    fn text(&self) -> String {
        let mut text = format!("{}\nas of {}\n\n", self.title(), self.today.text());
        if let Some(invented) = &self.invented {
            text.push_str(&format!("{invented}\n\n"));
        }
        if self.rows.is_empty() {
            text.push_str("Nothing is kept from this land and these days.\n");
        }
        for row in &self.rows {
            for (label, value) in Statement::columns(row) {
                if !value.is_empty() {
                    text.push_str(&format!("{label:<11} {value}\n"));
                }
            }
            text.push('\n');
        }
        let leave = self.leave();
        text.push_str(&format!("{} find(s)\n", self.rows.len()));
        text.push_str("\nAgreed:\n");
        for line in &leave {
            text.push_str(&format!("  {line}\n"));
        }
        if leave.is_empty() {
            text.push_str("  nothing is kept of what was agreed\n");
        }
        text.push_str("\nThe law in force governs:\n");
        for line in Statement::cautions() {
            text.push_str(&format!("  {line}\n"));
        }
        text
    }

    fn html(&self) -> String {
        let safe = |text: &str| {
            let text = text.replace('&', "&amp;").replace('<', "&lt;");
            text.replace('>', "&gt;").replace('"', "&quot;")
        };
        let title = safe(&self.title());
        let invented = self.invented.as_deref().unwrap_or_default();
        let invented = match invented.is_empty() {
            true => String::new(),
            false => format!("<p><strong>{}</strong></p>\n", safe(invented)),
        };
        let heads = [
            "number",
            "found",
            "what it is",
            "measured",
            "where",
            "reported",
            "now",
        ];
        let heads = heads
            .map(|head| format!("<th scope=\"col\">{head}</th>"))
            .concat();
        let rows: String = self
            .rows
            .iter()
            .map(|row| {
                let cells = Statement::columns(row);
                let cells = cells.map(|(_, value)| format!("<td>{}</td>", safe(value)));
                format!("<tr>{}</tr>\n", cells.concat())
            })
            .collect();
        let listed = |lines: Vec<String>| -> String {
            let lines = lines
                .iter()
                .map(|line| format!("<li>{}</li>\n", safe(line)));
            lines.collect()
        };
        let mut leave = self.leave();
        if leave.is_empty() {
            leave.push("nothing is kept of what was agreed".into());
        }
        format!(
            "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n\
             <meta name=\"viewport\" content=\"width=device-width\"><title>{title}</title>\n\
             <style>body{{font:11pt/1.4 serif;margin:2em auto;max-width:60em;padding:0 1em}}\
             table{{border-collapse:collapse;width:100%}}th,td{{text-align:left;\
             vertical-align:top;border-bottom:1px solid #999;padding:.3em .6em .3em 0}}\
             tr{{break-inside:avoid}}</style></head><body>\n<h1>{title}</h1>\n{invented}<p>As of {}. {} \
             find(s).</p>\n<table><thead><tr>{heads}</tr></thead><tbody>\n{rows}</tbody></table>\n\
             <h2>Agreed</h2>\n<ul>\n{}</ul>\n<h2>The law in force governs</h2>\n<ul>\n{}</ul>\n\
             </body></html>\n",
            self.today.text(),
            self.rows.len(),
            listed(leave),
            listed(Statement::cautions().to_vec()),
        )
    }

    fn view(&self) -> Value {
        let rows = self.rows.iter().map(|row| {
            json!({
                "id": row.id, "found": row.found, "what": row.what, "measured": row.measured,
                "findspot": row.findspot, "reported": row.reported, "now": row.now,
            })
        });
        json!({
            "land": self.holding.land.id, "name": self.holding.land.name, "days": self.days,
            "as_of": self.today.iso(), "finds": rows.collect::<Vec<_>>(),
            "agreed": self.leave(), "law": Statement::cautions(), "invented": self.invented,
        })
    }
}
