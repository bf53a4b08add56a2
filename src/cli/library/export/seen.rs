//! Tables of what can be seen and read: motifs and legends.
//!
//! Tells the library's rows as they are written; fills no mint into a legend.
//!
//! Invariant: a motif's parents are those written for it, not those farther up.

use super::columns::{
    grade, grade_cell, id, listed, lists, maybe, name, note, number, sources, words,
};
use super::table::{Column, Table};
use crate::catalogue::lists::SCRIPTS;
use crate::catalogue::raw::RawLibrary;

/// The tables, in order.
pub(super) fn tables(raw: &RawLibrary) -> Vec<Table> {
    let mut tables = Vec::from(motifs(raw));
    tables.extend(legends(raw));
    tables
}

fn motifs(raw: &RawLibrary) -> [Table; 5] {
    let rows = raw.motifs.iter().map(|row| {
        let f = &row.fields;
        vec![
            row.id.clone(),
            f.name.clone(),
            maybe(f.note.as_ref()),
            grade_cell(f.grade),
        ]
    });
    let columns = vec![id("Id of the motif"), name(), note(), grade()];
    let what = "What can be seen on a coin, without the side it stands on";
    let owner = ("motif", "motifs");
    let above = lists(&raw.motifs, |row| &row.under);
    let parent = Column::id_of("parent", "motifs", "What the motif is a kind of");
    let with = lists(&raw.motifs, |row| &row.parts);
    let part = Column::id_of("part", "motifs", "What is usually shown with the motif");
    let said = lists(&raw.motifs, |row| &row.words);
    let word = Column::text("word", "What people say who do not know the name");
    let cited = lists(&raw.motifs, |row| &row.sources);
    [
        Table::new("motifs", "Motifs", what, columns, &["id"], rows.collect()),
        words("motif_parents", "Kinds of motif", owner, parent, above),
        words("motif_parts", "Parts of motifs", owner, part, with),
        words("motif_words", "Names of motifs", owner, word, said),
        sources("motif_sources", "Sources of motifs", owner, cited),
    ]
}

fn legends(raw: &RawLibrary) -> [Table; 3] {
    let rows = raw.legends.iter().map(|row| {
        let f = &row.fields;
        vec![
            row.id.clone(),
            f.text.clone(),
            f.script.clone(),
            maybe(f.reads.as_ref()),
            maybe(f.note.as_ref()),
            grade_cell(f.grade),
        ]
    });
    let text = "As struck: V for U, I for J, ` / ` where the design breaks it, {mint} for the \
                mint's struck forms, * for letters that change from coin to coin";
    let columns = vec![
        id("Id of the legend"),
        Column::text("text", text).needed(),
        Column::word("script", "Script", SCRIPTS.iter().map(|(word, _)| *word)).needed(),
        Column::text("reads", "What it says"),
        note(),
        grade(),
    ];
    let all = || raw.legends.iter();
    let other = all().flat_map(|row| {
        let variants = &row.fields.variants;
        listed(&row.id, variants, |text| vec![text.clone()])
    });
    let variants = vec![
        Column::id_of("legend", "legends", "Of which legend it is a form").needed(),
        number(),
        Column::text("text", "Another form as struck, written as in `legends`").needed(),
    ];
    let cited = lists(&raw.legends, |row| &row.sources);
    let owner = ("legend", "legends");
    let (what, forms) = ("Inscriptions, each once", "Other forms of inscriptions");
    let (name, title, key) = (
        "legend_variants",
        "Variants of legends",
        ["legend", "number"],
    );
    [
        Table::new("legends", "Legends", what, columns, &["id"], rows.collect()),
        Table::new(name, title, forms, variants, &key, other.collect()),
        sources("legend_sources", "Sources of legends", owner, cited),
    ]
}
