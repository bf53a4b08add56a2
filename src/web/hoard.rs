//! Several finds from one hole, read together: a group of the shelf, or pieces typed or pasted.
//!
//! Gathers the group as the command line does; the rooms of hoards and of the law say the rest.
//!
//! Invariant: a group with a piece that cannot be read is refused whole, with what was typed.

use maud::{Markup, PreEscaped, html};

use super::asked::{Asked, Fields};
use super::desk::Desk;
use super::form::{Sheet, Wrong, picked};
use super::page::{Place, raised, sentence, token};
use super::reply::{Fault, Reply};
use super::routes::{Route, change, own};
use crate::cli::shared::{
    CountrySaid, GatheredGroup, Said, Together, by_when, choices, group_picture, of_phrases,
    of_table, taken_as,
};
use crate::collect::{Filter, Shelf};
use crate::drawn::Setting;
use crate::hoard::{Circumstances, GroupRecord, facts, record};
use crate::parse::Field;
use crate::treasure::{Facts, Truth, Verdict, When, judge};

/// The addresses of hoards.
pub(super) const ROUTES: [Route; 2] = [own("/hoard", page), change("/hoard", page)];

/// Most finds of a group on the shelf that are read together.
const GROUP_MOST: usize = 500;
/// Longest table or list that is read, bytes.
const TEXT_MOST: usize = 200_000;

/// A group, read and judged.
struct Answer {
    record: GroupRecord,
    verdict: Verdict,
    remarks: Vec<String>,
}

fn page(desk: &Desk, asked: &Asked) -> Reply {
    made(desk, asked).into()
}

fn made(desk: &Desk, asked: &Asked) -> Result<Reply, Fault> {
    let mut typed = match asked.form.get("asked") {
        Some(_) => asked.form.clone(),
        None => asked.query.clone(),
    };
    let shelf = desk.shelf()?;
    let said = typed.get("group").is_some() || typed.get("asked").is_some();
    let answer = said.then(|| answered(desk, shelf.as_ref(), &typed));
    let wrong = answer.as_ref().and_then(|answer| answer.as_ref().err());
    if typed.get("same-find").is_none() {
        typed.push("same-find", "hole");
    }
    let groups = match &shelf {
        Some(shelf) => shelf.groups()?,
        None => Vec::new(),
    };
    let groups: Vec<_> = groups
        .into_iter()
        .map(|(name, count)| {
            let shown = format!("{name} ({count})");
            (name, shown)
        })
        .collect();
    let sheet = Sheet {
        name: "hoard",
        typed: &typed,
        wrong,
    };
    let body = html! {
        h1 { "Finds from one hole, read together" }
        p { "Stop digging, leave what is still there as it lies, and tell the recording officer: a group is worth most where it was found." }
        @if let Some(Ok(answer)) = &answer { (laid(answer)) }
        form.stack method="post" action="/hoard" {
            (token(&asked.visitor))
            input type="hidden" name="asked" value="yes";
            (sheet.head())
            (sheet.choice("group", "A group of the tray", "", "None", &groups))
            (sheet.area("pieces", "Or the pieces, one kind a line, or a table with a heading line", "As 18 radiates of Tetricus I; or a table as it is copied from a spreadsheet, with columns such as count, as, metal, weight, diameter, from, to."))
            div.columns {
                (sheet.choice("same-find", "Whether they belong to one find", "", "", &choices::<Together>()))
                (sheet.choice("hidden", "Somebody hid them and meant to come back", "", "Not said", &choices::<Said>()))
                (sheet.choice("country", "Country", "", "Not said", &choices::<CountrySaid>()))
                (sheet.line("found", "Day they were found", "As 2026-03-14."))
                (sheet.line("depth", "Depth of the deepest, cm", ""))
                (sheet.line("place", "Where, as coarsely as you want it in the record", ""))
            }
            (sheet.area("lay", "How they lay to one another", ""))
            button { "Read them together" }
        }
    };
    let (place, title) = (Place::Law, "A group read together".to_string());
    Ok(Reply::Page { place, title, body }.refused_if(wrong.is_some()))
}

fn answered(desk: &Desk, shelf: Option<&Shelf>, typed: &Fields) -> Result<Answer, Wrong> {
    let today = desk.today()?;
    let gathered = gathered(desk, shelf, typed)?;
    let text = |name: &str| {
        let said = typed.get(name).filter(|said| said.chars().count() <= 500);
        said.map(|said| said.replace(char::is_control, " "))
    };
    let found = typed.get("found").map(|day| {
        When::read(day)
            .map_err(|what| Wrong::new(&format!("found: {what}"), "write it as 2026-03-14"))
    });
    let depth = typed.get("depth").map(|said| {
        let read = said.trim_end_matches("cm").trim().parse::<f64>().ok();
        let read = read.filter(|depth| (0.0..=1000.0).contains(depth));
        read.ok_or_else(|| Wrong::new("depth: this is no depth in centimetres", "write it as 30"))
    });
    let rest = Facts {
        same_find: picked::<Together>(typed, "same-find")?.map(Together::same_find),
        hidden: picked::<Said>(typed, "hidden")?.map(Said::truth),
        country: picked::<CountrySaid>(typed, "country")?.map(CountrySaid::country),
        found: found.transpose()?,
        ..Facts::default()
    };
    let circumstances = Circumstances {
        place: text("place"),
        depth: depth.transpose()?,
        found: typed.get("found").map(str::to_string),
        lay: text("lay"),
    };
    let facts = facts(&gathered.group, rest);
    if let Some(fault) = facts.faults(today).first() {
        return Err(Wrong::new(
            &format!("{}: {}", fault.field, fault.what),
            &fault.mend,
        ));
    }
    Ok(Answer {
        record: record(&gathered.group, &circumstances),
        verdict: judge(&facts, today),
        remarks: gathered.remarks,
    })
}

fn gathered(desk: &Desk, shelf: Option<&Shelf>, typed: &Fields) -> Result<GatheredGroup, Wrong> {
    if let (Some(group), Some(shelf)) = (typed.get("group"), shelf) {
        let table = table(shelf, group)?;
        return Ok(of_table(&table, desk.house)?);
    }
    let pieces = typed.get("pieces").unwrap_or_default();
    if pieces.is_empty() {
        let mend = "choose a group of the tray, or write the pieces, one kind a line";
        return Err(Wrong::new("pieces: there is nothing to read", mend));
    }
    if pieces.len() > TEXT_MOST {
        let what = format!("pieces: longer than {} kB", TEXT_MOST / 1000);
        return Err(Wrong::new(&what, "put pieces that are alike on one line"));
    }
    let as_table = is_table(pieces).then(|| pieces.replace('\t', ","));
    let read = match as_table {
        // A table copied from a spreadsheet has tabs between its cells.
        Some(table) => of_table(&table, desk.house)?,
        None => {
            let lines = pieces.lines().map(str::trim);
            let lines: Vec<&str> = lines.filter(|line| !line.is_empty()).collect();
            of_phrases(&lines, desk.house)?
        }
    };
    Ok(read)
}

/// True of a text whose first line names columns, and does not begin with a number.
fn is_table(text: &str) -> bool {
    let head = text.lines().next().unwrap_or_default();
    let cells: Vec<&str> = head.split([',', '\t']).map(str::trim).collect();
    let own = ["count", "as", "kind", "from", "to"];
    let named =
        |cell: &&&str| own.contains(&cell.to_lowercase().as_str()) || Field::column(cell).is_some();
    cells.len() > 1 && cells.iter().filter(named).count() * 2 > cells.len()
}

/// The finds of a group as a table.
fn table(shelf: &Shelf, group: &str) -> Result<String, Wrong> {
    let filter = Filter {
        grouped: Some(group.to_string()),
        most: Some(GROUP_MOST + 1),
        ..Filter::default()
    };
    let rows = shelf.list(&filter)?;
    if rows.is_empty() {
        let mend = "put finds into it from their pages";
        return Err(Wrong::new("group: no find of the tray is in it", mend));
    }
    if rows.len() > GROUP_MOST {
        let what = format!("group: it has more than {GROUP_MOST} finds");
        return Err(Wrong::new(&what, "write pieces that are alike on one line"));
    }
    let mut table = csv::Writer::from_writer(Vec::new());
    let mut head = vec!["id", "as", "kind", "from", "to", "words"];
    let fields: Vec<Field> = Field::traits().collect();
    head.extend(fields.iter().map(|field| field.name()));
    let failed = |_| {
        Wrong::new(
            "group: it cannot be read together",
            "write the pieces instead",
        )
    };
    table.write_record(&head).map_err(failed)?;
    for row in rows {
        let whole = shelf.whole(row.key)?;
        let entry = &whole.entry;
        let stands = whole.identified.first();
        let sure = stands.filter(|one| one.confirmed_by.is_some());
        let coin = entry.kind == crate::collect::FindKind::Coin;
        let known = sure.and_then(|one| one.type_id.clone()).filter(|_| coin);
        let years = stands.filter(|one| known.is_none() && (one.confirmed_by.is_some() || !coin));
        let years = years.and_then(|one| one.from_year.zip(one.to_year));
        let year = |year: Option<i64>| year.map_or(String::new(), |year| year.to_string());
        let mut cells = vec![
            entry.id.clone(),
            known.unwrap_or_default(),
            if coin { String::new() } else { "object".into() },
            year(years.map(|years| years.0)),
            year(years.map(|years| years.1)),
            entry.words.replace('\n', " "),
        ];
        for field in &fields {
            let said = entry.said.iter().filter(|(name, _)| name == field.name());
            let said: Vec<&str> = said.map(|(_, text)| text.as_str()).collect();
            cells.push(said.join("; "));
        }
        table.write_record(&cells).map_err(failed)?;
    }
    let bytes = table
        .into_inner()
        .map_err(|_| Wrong::new("group: it cannot be read together", ""))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn laid(answer: &Answer) -> Markup {
    let (record, verdict) = (&answer.record, &answer.verdict);
    let counted = verdict.clock.is_some();
    let last = by_when(verdict, "").into_iter().next().filter(|_| counted);
    html! {
        section.verdict aria-labelledby="group-h" {
            h2 id="group-h" { (record.title) }
            ul { @for line in &record.summary { li { (sentence(line)) } } }
            div.care {
                p { strong { (verdict.call.text()) "." } }
                @for law in &verdict.dangers { p { (sentence(&law.text())) } }
                @if let Some(last) = last { p { (sentence(&last)) } }
                @if let Some(first) = verdict.tell.first() { p { "Tell: " (first.text) "." } }
                @for bite in verdict.rules.iter().filter(|bite| bite.truth == Truth::Yes) { p { strong { (bite.law.id) } " " (sentence(&bite.law.text())) } }
            }
            @if let Some(svg) = group_picture(record, Setting::Page) { figure.group-picture { (PreEscaped(svg)) } }
            h3 { "The pieces, and what each was taken as" }
            ol { @for (piece, _) in record.group.pieces.iter().zip(&record.read) {
                li { (piece.name) ": " (piece.count) "; " (taken_as(piece)) }
            } }
            @for (heading, texts) in [
                ("What stands out", record.unusual.iter().map(|one| one.text.clone()).collect::<Vec<_>>()),
                ("What a record still wants", record.missing.clone()),
                ("First of all", record.cautions.iter().map(|care| care.says.to_string()).collect()),
                ("Notes on what you said", answer.remarks.clone()),
            ] {
                @if !texts.is_empty() { h3 { (heading) } ul { @for text in texts { li { (raised(&sentence(&text))) } } } }
            }
            p.how { "Years are those in which pieces were made: when something was hidden nobody can read off it. The coroner decides what is treasure." }
        }
    }
}
