//! Tables of what dates by itself: the titles of Roman emperors, and marks, reigns and counts.
//!
//! Tells the library's rows as they are written; a date that names no day becomes the
//! earliest and the latest day it may mean.
//!
//! Invariant: the earliest day of a row is not after its latest.

use super::columns::{
    grade, grade_cell, id, listed, lists, maybe, note, number, pair, sources, words, years,
};
use super::table::{Cells, Column, Table};
use crate::catalogue::raw::{RawCareer, RawEntry, RawLibrary};
use crate::find::Dated;

const DAY_FORM: &str = "-?[0-9]{4}-[0-9]{2}-[0-9]{2}";
const CAREER: (&str, &str) = ("ruler", "careers");
const ENTRY: (&str, &str) = ("entry", "entries");
/// Kinds of title, in the order of the rows.
const TITLES: [&str; 9] = [
    "caesar-or-emperor",
    "augustus",
    "tribunician-year",
    "consul",
    "imperator",
    "name",
    "pater-patriae",
    "pontifex-maximus",
    "censor",
];

/// The tables, in order.
pub(super) fn tables(raw: &RawLibrary) -> Vec<Table> {
    let mut tables = Vec::from(careers(raw));
    tables.push(entries(raw));
    tables.extend(entry_lists(raw));
    tables
}

/// The earliest and latest day that a date as written may mean.
fn days(written: &str) -> [String; 2] {
    pair(Dated::read(written).map(|dated| [dated.earliest.iso(), dated.latest.iso()]))
}

/// Columns of the earliest and the latest day of something.
fn day_columns(earliest: &'static str, latest: &'static str, of: &str) -> [Column; 2] {
    let column = |name, which: &str| {
        let what = format!(
            "{which} day {of}, as year-month-day; years BC have a minus before them, and there is \
             no year 0"
        );
        Column::text(name, what).of_form(DAY_FORM)
    };
    [column(earliest, "Earliest"), column(latest, "Latest")]
}

fn careers(raw: &RawLibrary) -> [Table; 4] {
    let rows = raw.titles.iter().map(|row| {
        let f = &row.fields;
        let grade = grade_cell(f.grade);
        vec![row.id.clone(), maybe(f.note.as_ref()), grade]
    });
    let of = "The emperor or Caesar";
    let ruler = Column::id_of("id", "rulers", of).needed().unique();
    let columns = vec![ruler, note(), grade()];
    let what = "Roman emperors and Caesars whose titles are known by date";
    let signs = lists(&raw.titles, |row| &row.signs);
    let sign = Column::text("sign", "Letters by which his legends are known");
    let cited = lists(&raw.titles, |row| &row.sources);
    let sign_title = "Signs of emperors";
    let rows = rows.collect();
    [
        Table::new(CAREER.1, "Careers", what, columns, &["id"], rows),
        career_titles(raw),
        words("career_signs", sign_title, CAREER, sign, signs),
        sources("career_sources", "Sources of careers", CAREER, cited),
    ]
}

fn career_titles(raw: &RawLibrary) -> Table {
    let rows = raw.titles.iter();
    let rows = rows.flat_map(|row| listed(&row.id, title_rows(&row.fields), |cells| cells));
    let [from_earliest, from_latest] = day_columns("from_earliest", "from_latest", "it began");
    let [to_earliest, to_latest] = day_columns("to_earliest", "to_latest", "it ended");
    let columns = vec![
        Column::id_of(CAREER.0, CAREER.1, "Who held it").needed(),
        number(),
        Column::word("kind", "What kind of title it is", TITLES).needed(),
        Column::whole("count", "The title's own number, as in COS III").least(1.0),
        Column::text(
            "name",
            "Name of victory or honour, its shortest safe letters",
        ),
        from_earliest.needed(),
        from_latest.needed(),
        to_earliest,
        to_latest,
    ];
    let what = "Titles of Roman emperors by date, one row a title and number; the end is given \
                where the library gives one";
    let key = ["ruler", "number"];
    let title = "Titles of emperors";
    Table::new("career_titles", title, what, columns, &key, rows.collect())
}

/// The titles of one career, without whose they are.
fn title_rows(career: &RawCareer) -> Vec<Cells> {
    let row = |kind: &str, count: String, name: &str, from: &str, to: Option<&String>| {
        let mut cells = vec![kind.to_string(), count, name.to_string()];
        cells.extend(days(from));
        cells.extend(to.map_or_else(Default::default, |to| days(to)));
        cells
    };
    let plain = |kind: &str, from: &str, to| row(kind, String::new(), "", from, to);
    let [first, last] = &career.held;
    let mut rows = vec![plain("caesar-or-emperor", first, Some(last))];
    let once = |kind: &str, from: &Option<String>| {
        let from = from.iter();
        from.map(|from| plain(kind, from, None)).collect::<Vec<_>>()
    };
    let numbered = |kind: &str, steps: &[(u8, String)]| {
        let steps = steps.iter();
        let rows = steps.map(|(count, from)| row(kind, count.to_string(), "", from, None));
        rows.collect::<Vec<_>>()
    };
    rows.extend(once("augustus", &career.augustus));
    rows.extend(numbered("tribunician-year", &career.tribunician));
    rows.extend(numbered("consul", &career.consul));
    rows.extend(numbered("imperator", &career.imperator));
    let names = career.names.iter();
    rows.extend(names.map(|(name, from)| row("name", String::new(), name, from, None)));
    rows.extend(once("pater-patriae", &career.pater_patriae));
    rows.extend(once("pontifex-maximus", &career.pontifex_maximus));
    let censor = career.censor.iter();
    rows.extend(censor.map(|[from, to]| plain("censor", from, Some(to))));
    rows
}

fn entries(raw: &RawLibrary) -> Table {
    let motif = |f: &RawEntry| {
        let mark = f.mark.as_ref()?;
        raw.motifs.iter().find(|row| row.id == *mark)
    };
    let rows = raw.tables.iter().map(|row| {
        let motif = motif(&row.fields).map(|row| &row.id);
        let stem = row.file.rsplit('/').next().unwrap_or("");
        let table = stem.trim_end_matches(".toml").to_string();
        let mut cells = vec![row.id.clone(), table];
        cells.extend(entry_cells(&row.fields, motif));
        cells
    });
    let what = "Entries of the tables that date by themselves: initial marks, mint marks, masters, \
                reigns, weight standards by law, counts of finds; which columns are filled depends \
                on the table";
    let columns = entry_columns();
    Table::new(
        ENTRY.1,
        "Dating tables",
        what,
        columns,
        &["id"],
        rows.collect(),
    )
}

fn entry_columns() -> Vec<Column> {
    let mut columns = vec![
        id("Id of the entry"),
        Column::text("table", "The table it belongs to").needed(),
        Column::text("name", "Printed name"),
        Column::id_of("ruler", "rulers", "The ruler"),
        Column::id_of("mint", "mints", "The mint"),
        Column::text("authority", "Who put the mark: a bishop, a lord"),
        Column::id_of("motif", "motifs", "The mark, where it is a motif"),
        Column::text("mark", "The mark in words, where it is no motif"),
        Column::text("realm", "Realm"),
        Column::text("found", "What it stands with"),
    ];
    columns.extend(years("of the entry"));
    columns.extend(day_columns("from_earliest", "from_latest", "it began"));
    columns.extend(day_columns("to_earliest", "to_latest", "it ended"));
    let count = "Pieces struck from one pound";
    let fineness = "Share of the noble metal, from 0 to 1";
    columns.extend([
        Column::text("how", "How it began: crowned, proclaimed"),
        Column::figure("to_the_pound", count).least(0.0),
        Column::text("pound", "Which pound: tower, troy, avoirdupois, roman"),
        Column::figure("weight", "Weight of a piece, in grams").least(0.0),
        Column::figure("fineness", fineness).least(0.0).most(1.0),
        Column::text("law", "The law that set it"),
        Column::figure("per_mill", "Share of finds, in pieces of a thousand")
            .least(0.0)
            .most(1000.0),
        note(),
        grade(),
    ]);
    columns
}

fn entry_cells(f: &RawEntry, motif: Option<&String>) -> Cells {
    let ends = |written: &Option<String>| {
        written
            .as_ref()
            .map_or_else(Default::default, |written| days(written))
    };
    let mut cells = vec![
        maybe(f.name.as_ref()),
        maybe(f.ruler.as_ref()),
        maybe(f.mint.as_ref()),
        maybe(f.authority.as_ref()),
        maybe(motif),
        maybe(f.mark.as_ref().filter(|_| motif.is_none())),
        maybe(f.realm.as_ref()),
        maybe(f.found.as_ref()),
    ];
    cells.extend(pair(f.span));
    cells.extend(ends(&f.from));
    cells.extend(ends(&f.to));
    cells.extend([
        maybe(f.how.as_ref()),
        maybe(f.to_the_pound),
        maybe(f.pound.as_ref()),
        maybe(f.weight),
        maybe(f.fineness),
        maybe(f.law.as_ref()),
        maybe(f.per_mill),
        maybe(f.note.as_ref()),
        grade_cell(f.grade),
    ]);
    cells
}

/// The lists of entries, each in a table of its own.
fn entry_lists(raw: &RawLibrary) -> [Table; 5] {
    let marks = lists(&raw.tables, |row| &row.marks);
    let mark = Column::text("mark", "Mark as read, workshop letters included");
    let workshops = lists(&raw.tables, |row| &row.officinae);
    let workshop = Column::text("officina", "Letter of a workshop");
    let signs = lists(&raw.tables, |row| &row.signs);
    let sign = Column::text("sign", "Form of a name as read");
    let coins = lists(&raw.tables, |row| &row.denominations);
    let coin = "A denomination it is of";
    let coin = Column::id_of("denomination", "denominations", coin);
    let cited = lists(&raw.tables, |row| &row.sources);
    let of = "entry_denominations";
    [
        words("entry_marks", "Marks of entries", ENTRY, mark, marks),
        words("entry_officinae", "Workshops", ENTRY, workshop, workshops),
        words("entry_signs", "Signs of entries", ENTRY, sign, signs),
        words(of, "Denominations of entries", ENTRY, coin, coins),
        sources("entry_sources", "Sources of entries", ENTRY, cited),
    ]
}

#[cfg(test)]
mod tests {
    use super::days;

    #[test]
    fn a_date_becomes_its_earliest_and_latest_day() {
        assert_eq!(days("0097-10-27"), ["0097-10-27", "0097-10-27"]);
        assert_eq!(days("0097"), ["0097-01-01", "0097-12-31"]);
        assert_eq!(days("0097-02"), ["0097-02-01", "0097-02-28"]);
        assert_eq!(days("0096-02"), ["0096-02-01", "0096-02-29"]);
        assert_eq!(days("-0027-01"), ["-0027-01-01", "-0027-01-31"]);
        assert_eq!(days("then"), ["", ""]);
    }
}
