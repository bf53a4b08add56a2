//! Tables of what artefacts are and show: classes, and the words of form.
//!
//! Tells the library's rows as they are written.
//!
//! Invariant: a row's parents are those written for it, not those farther up.

use super::columns::{grade, grade_cell, id, listed, lists, maybe, name, number, sources, words};
use super::table::{Column, Table};
use crate::catalogue::lists::{CAUTIONS, DIMENSIONS, FACETS};
use crate::catalogue::raw::RawArtefacts;

/// The tables, in order.
pub(super) fn tables(things: &RawArtefacts) -> Vec<Table> {
    let mut tables = Vec::from(classes(things));
    tables.extend(forms(things));
    tables
}

fn names<T>(list: &[(&'static str, T)]) -> Vec<&'static str> {
    list.iter().map(|(word, _)| *word).collect()
}

fn classes(things: &RawArtefacts) -> [Table; 6] {
    let rows = things.classes.iter().map(|row| {
        let f = &row.fields;
        vec![
            row.id.clone(),
            f.name.clone(),
            maybe(f.along.as_ref()),
            maybe(f.caution.as_ref()),
            grade_cell(f.grade),
        ]
    });
    let along = "How sizes are taken, where that is not plain";
    let caution = "What somebody who holds such a piece ought to be told";
    let columns = vec![
        id("Id of the class"),
        name(),
        Column::text("along", along),
        Column::word("caution", caution, names(CAUTIONS)),
        grade(),
    ];
    let what = "Classes of artefacts, wide and narrow";
    let owner = ("class", "classes");
    let rows_of = &things.classes;
    let above = lists(rows_of, |row| &row.under);
    let parent = Column::id_of("parent", "classes", "The next wider class");
    let parts = lists(rows_of, |row| &row.parts);
    let part = Column::id_of("part", "forms", "A part that such a thing has");
    let said = lists(rows_of, |row| &row.words);
    let word = Column::text("word", "What people say");
    let cited = lists(rows_of, |row| &row.sources);
    [
        Table::new("classes", "Classes", what, columns, &["id"], rows.collect()),
        words("class_parents", "Wider classes", owner, parent, above),
        words("class_parts", "Parts of classes", owner, part, parts),
        class_sizes(things),
        words("class_words", "Names of classes", owner, word, said),
        sources("class_sources", "Sources of classes", owner, cited),
    ]
}

fn class_sizes(things: &RawArtefacts) -> Table {
    let rows = lists(&things.classes, |row| &row.sizes);
    let rows = rows.flat_map(|(id, sizes)| listed(id, sizes, |size| vec![size.clone()]));
    let dimension = "A dimension in which such things are customarily measured";
    let columns = vec![
        Column::id_of("class", "classes", "Whose entry it is").needed(),
        number(),
        Column::word("dimension", dimension, names(DIMENSIONS)).needed(),
    ];
    let (title, what) = ("Sizes of classes", "In what classes are measured");
    let key = ["class", "number"];
    Table::new("class_sizes", title, what, columns, &key, rows.collect())
}

fn forms(things: &RawArtefacts) -> [Table; 5] {
    let rows = things.forms.iter().map(|row| {
        let f = &row.fields;
        let (name, facet) = (f.name.clone(), f.facet.clone());
        vec![row.id.clone(), name, facet, grade_cell(f.grade)]
    });
    let facet = "What kind of thing it is";
    let columns = vec![
        id("Id of the form"),
        name(),
        Column::word("facet", facet, names(FACETS)).needed(),
        grade(),
    ];
    let what = "What can be seen of an artefact";
    let owner = ("form", "forms");
    let rows_of = &things.forms;
    let parts = lists(rows_of, |row| &row.of);
    let part = Column::id_of("part", "forms", "The part that it is a feature of");
    let above = lists(rows_of, |row| &row.under);
    let parent = Column::id_of("parent", "forms", "What the form is a kind of");
    let said = lists(rows_of, |row| &row.words);
    let word = Column::text("word", "What people say who do not know the name");
    let cited = lists(rows_of, |row| &row.sources);
    [
        Table::new("forms", "Forms", what, columns, &["id"], rows.collect()),
        words("form_parts", "Parts of forms", owner, part, parts),
        words("form_parents", "Kinds of form", owner, parent, above),
        words("form_words", "Names of forms", owner, word, said),
        sources("form_sources", "Sources of forms", owner, cited),
    ]
}
