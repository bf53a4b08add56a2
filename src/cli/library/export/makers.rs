//! Tables of what types are made of: sources, periods, metals, denominations, rulers, mints.
//!
//! Tells the library's rows as they are written and reckons nothing.
//!
//! Invariant: every list of a row stands in a table of its own.

use super::columns::{
    cited_cells, cited_columns, grade, grade_cell, id, listed, lists, maybe, name, note, number,
    pair, range, same_thing, same_thing_cell, sources, words, years,
};
use super::table::{Cells, Column, Table};
use crate::catalogue::lists::{LOOKS, RULER_KINDS, SOURCE_KINDS};
use crate::catalogue::raw::{RawLibrary, RawStandard};

/// What every list of other names is called.
fn word() -> Column {
    Column::text("word", "Another name, or what people say for it")
}

/// The tables, in order.
pub(super) fn tables(raw: &RawLibrary) -> Vec<Table> {
    let mut tables = vec![works(raw)];
    tables.extend(periods(raw));
    tables.extend(metals(raw));
    tables.extend(denominations(raw));
    tables.extend(standards(raw));
    tables.extend(rulers(raw));
    tables.extend(mints(raw));
    tables
}

fn works(raw: &RawLibrary) -> Table {
    let rows = raw.sources.iter().map(|row| {
        let f = &row.fields;
        vec![
            row.id.clone(),
            f.kind.clone(),
            f.author.clone(),
            f.year.to_string(),
            f.title.clone(),
            f.trust.clone(),
        ]
    });
    let columns = vec![
        id("Key of the source"),
        Column::word("kind", "What kind of work it is", SOURCE_KINDS.to_vec()).needed(),
        Column::text("author", "Author or body").needed(),
        Column::whole("year", "Year of publication").needed(),
        Column::text("title", "Title").needed(),
        Column::text("trust", "How far it can be trusted").needed(),
    ];
    let what = "Handbooks, papers, statutes and records that the library rests on";
    Table::new("sources", "Sources", what, columns, &["id"], rows.collect())
}

fn periods(raw: &RawLibrary) -> [Table; 3] {
    let rows = raw.periods.iter().map(|row| {
        let [from, to] = row.fields.span.map(|year| year.to_string());
        let grade = grade_cell(row.fields.grade);
        vec![row.id.clone(), row.fields.name.clone(), from, to, grade]
    });
    let [from, to] = years("of the period").map(Column::needed);
    let columns = vec![id("Id of the period"), name(), from, to, grade()];
    let what = "Periods; they may overlap";
    let owner = ("period", "periods");
    let said = lists(&raw.periods, |row| &row.words);
    let cited = lists(&raw.periods, |row| &row.sources);
    [
        Table::new("periods", "Periods", what, columns, &["id"], rows.collect()),
        words("period_words", "Names of periods", owner, word(), said),
        sources("period_sources", "Sources of periods", owner, cited),
    ]
}

fn metals(raw: &RawLibrary) -> [Table; 3] {
    let rows = raw.metals.iter().map(|row| {
        let f = &row.fields;
        vec![
            row.id.clone(),
            f.name.clone(),
            f.looks.clone(),
            same_thing_cell(f.nomisma.as_ref()),
            grade_cell(f.grade),
        ]
    });
    let looks = LOOKS.iter().map(|(word, _)| *word);
    let columns = vec![
        id("Id of the metal"),
        name(),
        Column::word("looks", "What a finder sees", looks).needed(),
        same_thing(),
        grade(),
    ];
    let what = "Metals and what they look like once they have lain in the ground";
    let owner = ("metal", "metals");
    let said = lists(&raw.metals, |row| &row.words);
    let cited = lists(&raw.metals, |row| &row.sources);
    [
        Table::new("metals", "Metals", what, columns, &["id"], rows.collect()),
        words("metal_words", "Names of metals", owner, word(), said),
        sources("metal_sources", "Sources of metals", owner, cited),
    ]
}

fn denominations(raw: &RawLibrary) -> [Table; 3] {
    let rows = raw.denominations.iter().map(|row| {
        let f = &row.fields;
        vec![
            row.id.clone(),
            f.name.clone(),
            same_thing_cell(f.nomisma.as_ref()),
            maybe(f.note.as_ref()),
            grade_cell(f.grade),
        ]
    });
    let columns = vec![
        id("Id of the denomination"),
        name(),
        same_thing(),
        note(),
        grade(),
    ];
    let rows = rows.collect();
    let owner = ("denomination", "denominations");
    let said = lists(&raw.denominations, |row| &row.words);
    let cited = lists(&raw.denominations, |row| &row.sources);
    let (of, title) = ("denomination_words", "Names of denominations");
    let (from, sources_title) = ("denomination_sources", "Sources of denominations");
    let what = "Denominations";
    [
        Table::new(owner.1, "Denominations", what, columns, &["id"], rows),
        words(of, title, owner, word(), said),
        sources(from, sources_title, owner, cited),
    ]
}

fn standards(raw: &RawLibrary) -> [Table; 2] {
    let owned = || {
        let rows = raw.denominations.iter();
        rows.map(|row| (row.id.as_str(), &row.fields.standards))
    };
    let rows = owned().flat_map(|(id, standards)| listed(id, standards, standard_cells));
    let mut columns = vec![
        Column::id_of("denomination", "denominations", "Whose standard it is").needed(),
        number(),
    ];
    columns.extend(years("in force").map(Column::needed));
    columns.extend([
        Column::id_of("metal", "metals", "The metal").needed(),
        Column::figure("weight", "Mean weight as struck, in grams")
            .needed()
            .least(0.0),
        Column::figure(
            "cv",
            "Standard deviation of the weight as struck, as a share of the mean",
        )
        .needed()
        .least(0.0)
        .most(1.0),
    ]);
    columns.extend(range("diameter_least", "diameter_most", "diameter"));
    columns.extend(range("thickness_least", "thickness_most", "thickness"));
    columns.extend([note(), grade()]);
    let what = "Weight standards of denominations by date, as struck and not as worn";
    let key = ["denomination", "number"];
    let cited = owned().flat_map(|(id, standards)| {
        let standards = standards.iter().enumerate();
        standards.flat_map(move |(place, standard)| {
            listed(id, &standard.sources, |cited| cited_cells(cited)).map(move |mut row| {
                row.insert(1, (place + 1).to_string());
                row
            })
        })
    });
    let cited = cited.collect();
    [
        Table::new(
            "standards",
            "Weight standards",
            what,
            columns,
            &key,
            rows.collect(),
        ),
        standard_sources(cited),
    ]
}

fn standard_cells(standard: &RawStandard) -> Cells {
    let mut cells: Cells = standard.span.map(|year| year.to_string()).to_vec();
    cells.extend([
        standard.metal.clone(),
        standard.weight.to_string(),
        standard.cv.to_string(),
    ]);
    cells.extend(pair(standard.diameter));
    cells.extend(pair(standard.thickness));
    cells.extend([maybe(standard.note.as_ref()), grade_cell(standard.grade)]);
    cells
}

fn standard_sources(rows: Vec<Cells>) -> Table {
    let mut columns = vec![
        Column::text("denomination", "Whose standard rests on the source").needed(),
        Column::whole("standard", "Which of its standards, from 1")
            .needed()
            .least(1.0),
        number(),
    ];
    columns.extend(cited_columns());
    let title = "Sources of weight standards";
    let what = "Which sources a standard rests on, where they are not those of its denomination";
    let key = ["denomination", "standard", "number"];
    Table::new("standard_sources", title, what, columns, &key, rows).joined(
        &["denomination", "standard"],
        "standards",
        &["denomination", "number"],
    )
}

fn rulers(raw: &RawLibrary) -> [Table; 5] {
    let rows = raw.rulers.iter().map(|row| {
        let f = &row.fields;
        vec![
            row.id.clone(),
            f.name.clone(),
            f.kind.clone(),
            f.realm.clone(),
            same_thing_cell(f.nomisma.as_ref()),
            maybe(f.note.as_ref()),
            grade_cell(f.grade),
        ]
    });
    let kind = "A single ruler, a joint authority, a people, or a body such as an abbey";
    let columns = vec![
        id("Id of the ruler"),
        name(),
        Column::word("kind", kind, RULER_KINDS.to_vec()).needed(),
        Column::text("realm", "Word that the rulers of one realm share").needed(),
        same_thing(),
        note(),
        grade(),
    ];
    let what = "Who issued: rulers, joint authorities, peoples and bodies";
    let owner = ("ruler", "rulers");
    let said = lists(&raw.rulers, |row| &row.words);
    let cited = lists(&raw.rulers, |row| &row.sources);
    let meant = lists(&raw.rulers, |row| &row.members);
    let member = Column::id_of("member", "rulers", "One of the rulers meant");
    let reigns = lists(&raw.rulers, |row| &row.reigns);
    [
        Table::new("rulers", "Rulers", what, columns, &["id"], rows.collect()),
        spans("reigns", "Reigns", owner, "of power", reigns),
        words("ruler_members", "Joint authorities", owner, member, meant),
        words("ruler_words", "Names of rulers", owner, word(), said),
        sources("ruler_sources", "Sources of rulers", owner, cited),
    ]
}

/// A table of stretches of years, several a row of another.
fn spans<'a>(
    name: &'static str,
    title: &'static str,
    owner: (&'static str, &'static str),
    of: &str,
    rows: impl Iterator<Item = (&'a str, &'a [[i32; 2]])>,
) -> Table {
    let (column, table) = owner;
    let cells = |span: &[i32; 2]| span.map(|year| year.to_string()).to_vec();
    let rows = rows.flat_map(|(id, spans)| listed(id, spans, cells));
    let rows = rows.collect();
    let mut columns = vec![
        Column::id_of(column, table, "Whose years they are").needed(),
        number(),
    ];
    columns.extend(years(of).map(Column::needed));
    let what = format!("Years of each row of `{table}`, one row a stretch");
    Table::new(name, title, what, columns, &[column, "number"], rows)
}

fn mints(raw: &RawLibrary) -> [Table; 5] {
    let rows = raw.mints.iter().map(|row| {
        let f = &row.fields;
        vec![
            row.id.clone(),
            f.name.clone(),
            same_thing_cell(f.nomisma.as_ref()),
            maybe(f.note.as_ref()),
            grade_cell(f.grade),
        ]
    });
    let columns = vec![id("Id of the mint"), name(), same_thing(), note(), grade()];
    let owner = ("mint", "mints");
    let said = lists(&raw.mints, |row| &row.words);
    let cited = lists(&raw.mints, |row| &row.sources);
    let signed = lists(&raw.mints, |row| &row.struck);
    let form = Column::text("form", "How the mint's name stands in a legend");
    let lives = lists(&raw.mints, |row| &row.lives);
    [
        Table::new("mints", "Mints", "Mints", columns, &["id"], rows.collect()),
        words("mint_struck", "Struck forms of mints", owner, form, signed),
        spans("mint_lives", "Years of mints", owner, "of striking", lives),
        words("mint_words", "Names of mints", owner, word(), said),
        sources("mint_sources", "Sources of mints", owner, cited),
    ]
}
