//! Columns and small tables that many tables of the export share.
//!
//! Knows what a grade, a year, a source and a list are; knows no single kind of row.
//!
//! Invariant: an entry of a list is numbered from 1 in the order of the library.

use super::table::{Cells, Column, Table};
use crate::catalogue::raw::{Grade, Row};
pub(super) use crate::catalogue::same_thing as same_thing_cell;

/// What an id looks like.
const ID_FORM: &str = "[a-z0-9]+(-[a-z0-9]+)*";

/// The rows of a kind, each by its id with one of its lists.
pub(super) fn lists<'a, T, V: 'a>(
    rows: &'a [Row<T>],
    list: impl Fn(&'a T) -> &'a Vec<V>,
) -> impl Iterator<Item = (&'a str, &'a [V])> {
    rows.iter()
        .map(move |row| (row.id.as_str(), &list(&row.fields)[..]))
}

/// The id of the table's own rows.
pub(super) fn id(what: &str) -> Column {
    Column::text("id", what).needed().unique().of_form(ID_FORM)
}

/// A printed name.
pub(super) fn name() -> Column {
    Column::text("name", "Printed name").needed()
}

/// A place in a list.
pub(super) fn number() -> Column {
    Column::whole("number", "Place in the list, from 1")
        .needed()
        .least(1.0)
}

/// A remark.
pub(super) fn note() -> Column {
    Column::text("note", "Remark")
}

/// How far a row is vouched for.
pub(super) fn grade() -> Column {
    let what = "How far the row is vouched for: checked (two independent published sources agree), \
                cited (one was read), recalled (from memory of the work named)";
    Column::word("grade", what, ["checked", "cited", "recalled"])
}

/// First and last year.
pub(super) fn years(what: &str) -> [Column; 2] {
    let year = |name, which: &str| {
        let what = format!("{which} year {what}; BC negative, and there is no year 0");
        Column::whole(name, what)
    };
    [year("from", "First"), year("to", "Last")]
}

/// Least and greatest of a measure as struck, in millimetres.
pub(super) fn range(least: &'static str, most: &'static str, of: &str) -> [Column; 2] {
    let end = |name, which: &str| {
        let what = format!("{which} usual {of} as struck, in millimetres");
        Column::figure(name, what).least(0.0)
    };
    [end(least, "Least"), end(most, "Greatest")]
}

/// The same thing at nomisma.org.
pub(super) fn same_thing() -> Column {
    let what = "The same thing in the linked open vocabulary of nomisma.org, where that is sure";
    Column::address("nomisma", what).unique()
}

/// What a grade is called.
pub(super) fn grade_cell(grade: Option<Grade>) -> String {
    let word = grade.map_or("", |grade| match grade {
        Grade::Checked => "checked",
        Grade::Cited => "cited",
        Grade::Recalled => "recalled",
    });
    word.to_string()
}

/// A cell that may say nothing.
pub(super) fn maybe(cell: Option<impl ToString>) -> String {
    cell.map_or_else(String::new, |cell| cell.to_string())
}

/// Two cells that may say nothing.
pub(super) fn pair(cells: Option<[impl ToString; 2]>) -> [String; 2] {
    cells.map_or_else(Default::default, |cells| cells.map(|cell| cell.to_string()))
}

/// The rows of a list that belongs to a row: its id, the place from 1, and the entry's cells.
pub(super) fn listed<'a, T>(
    id: &'a str,
    list: impl IntoIterator<Item = T> + 'a,
    cells: impl Fn(T) -> Cells + 'a,
) -> impl Iterator<Item = Cells> + 'a {
    let numbered = list.into_iter().enumerate();
    numbered.map(move |(place, entry)| {
        let mut row = vec![id.to_string(), (place + 1).to_string()];
        row.extend(cells(entry));
        row
    })
}

/// A row's id with a list of words.
pub(super) type Worded<'a> = (&'a str, &'a [String]);

/// A table of one list of words a row.
pub(super) fn words<'a>(
    name: &'static str,
    title: &'static str,
    owner: (&'static str, &'static str),
    entry: Column,
    rows: impl Iterator<Item = Worded<'a>>,
) -> Table {
    let (column, table) = owner;
    let rows = rows.flat_map(|(id, words)| listed(id, words, |word| vec![word.clone()]));
    let rows = rows.collect();
    let columns = vec![
        Column::id_of(column, table, "Whose entry it is").needed(),
        number(),
        entry.needed(),
    ];
    let what = format!("One row an entry of a list of `{table}`");
    Table::new(name, title, what, columns, &[column, "number"], rows)
}

/// A table of the sources of each row of another.
pub(super) fn sources<'a>(
    name: &'static str,
    title: &'static str,
    owner: (&'static str, &'static str),
    rows: impl Iterator<Item = Worded<'a>>,
) -> Table {
    let (column, table) = owner;
    let rows = rows.flat_map(|(id, cited)| listed(id, cited, |cited| cited_cells(cited)));
    let rows = rows.collect();
    let mut columns = vec![
        Column::id_of(column, table, "What rests on the source").needed(),
        number(),
    ];
    columns.extend(cited_columns());
    let what = format!("Which sources each row of `{table}` rests on");
    Table::new(name, title, what, columns, &[column, "number"], rows)
}

/// A source and the place in it.
pub(super) fn cited_columns() -> [Column; 2] {
    [
        Column::id_of("source", "sources", "The source").needed(),
        Column::text("place", "Number or page in the source"),
    ]
}

/// A source as cited, `key` or `key:place`.
pub(super) fn cited_cells(cited: &str) -> Cells {
    let (key, place) = cited.split_once(':').unwrap_or((cited, ""));
    vec![key.to_string(), place.to_string()]
}
