//! Tables of the types: one row a type, and a table for each of its lists.
//!
//! Tells types as they are linked: shared heads filled in, metal, weights and sizes of the
//! standards that bear on them where a type states none.
//!
//! Invariant: a type has one row in `types`, and its rows elsewhere carry its id.

use super::columns::{grade, id, listed, maybe, name, note, number, pair, range};
use super::columns::{sources, words, years};
use super::table::{Cells, Column, Table};
use crate::catalogue::lists::{AXES, COMMON, COPIES, HABITS, MAKINGS, REGIONS};
use crate::catalogue::raw::RawLibrary;
use crate::catalogue::{AxisHabit, Catalogue, CoinType, Face};

/// What the tables of a type's lists call it, and the table it stands in.
const OWNER: (&str, &str) = ("type", "types");
const SIDES: [&str; 2] = ["obverse", "reverse"];

/// The tables, in order.
pub(super) fn tables(raw: &RawLibrary, library: &Catalogue) -> Vec<Table> {
    vec![
        series(library),
        types(raw, library),
        motifs(library),
        legends(library),
        marks(library),
        mints(library),
        weights(library),
        habits(library),
        regions(library),
        refs(library),
        neighbours(library),
        cited(library),
        moved(raw),
    ]
}

/// The word a list has for a value.
fn word<T: PartialEq>(list: &[(&'static str, T)], value: &T) -> String {
    let known = list.iter().find(|(_, known)| known == value);
    known.map_or_else(String::new, |(word, _)| (*word).to_string())
}

fn words_of<T>(list: &[(&'static str, T)]) -> Vec<&'static str> {
    list.iter().map(|(word, _)| *word).collect()
}

/// The type a row of a list belongs to.
fn of_type() -> Column {
    Column::id_of(OWNER.0, OWNER.1, "Whose row it is").needed()
}

fn series(library: &Catalogue) -> Table {
    let rows = library.series.iter();
    let rows = rows.map(|series| vec![series.id.clone(), series.name.clone()]);
    let columns = vec![id("Id of the series"), name()];
    let what = "Series: issue families";
    Table::new("series", "Series", what, columns, &["id"], rows.collect())
}

fn types(raw: &RawLibrary, library: &Catalogue) -> Table {
    let rows = library.listed().iter();
    let rows = rows.map(|coin| type_cells(coin, raw, library)).collect();
    let what = "One row a type: what differs from its neighbours in something a finder can see, \
                read or measure. Measures are those of pieces as struck, not as worn";
    Table::new("types", "Types", what, type_columns(), &["id"], rows)
}

fn type_columns() -> Vec<Column> {
    let mut columns = vec![
        id("Permanent id of the type"),
        name(),
        Column::id_of("series", "series", "The series it belongs to").needed(),
        Column::id_of("period", "periods", "The period").needed(),
        Column::id_of("ruler", "rulers", "Who issued it, where that is known"),
        Column::id_of("denomination", "denominations", "The denomination").needed(),
        Column::id_of("metal", "metals", "The metal").needed(),
    ];
    columns.extend(years("of issue").map(Column::needed));
    columns.extend(range("diameter_least", "diameter_most", "diameter"));
    columns.extend(range("thickness_least", "thickness_most", "thickness"));
    let axis = "How the dies were set to each other: at any hour, upright (12 h), inverted (6 h), \
                either, or at the quarters; empty where the library does not say";
    let copy = "What kind of unofficial piece it is; empty for an official one";
    let common = "How common it is as a field find in England and Wales";
    let letters = |name, side: &str| {
        let what =
            format!("Whether the {side} bears letters; empty where the library does not say");
        Column::word(name, what, ["lettered", "none"])
    };
    let outside = "Why the years may lie outside the ruler's reign or a mint's life";
    columns.extend([
        Column::word("axis", axis, words_of(AXES)),
        Column::word("made", "How it was made", words_of(MAKINGS)).needed(),
        Column::word("copy", copy, words_of(COPIES)),
        Column::word("common", common, words_of(COMMON)).needed(),
        Column::text("edge", "Edge: plain, grained, lettered, or words"),
        letters("obverse_letters", "front"),
        letters("reverse_letters", "back"),
        Column::text("outside", outside),
        note(),
        grade().needed(),
    ]);
    columns
}

fn type_cells(coin: &CoinType, raw: &RawLibrary, library: &Catalogue) -> Cells {
    let mut cells = vec![
        coin.id.clone(),
        coin.name.clone(),
        library.series[coin.series].id.clone(),
        library.periods[coin.period].id.clone(),
        maybe(coin.ruler.map(|ruler| &library.rulers[ruler].id)),
        library.denominations[coin.denomination].id.clone(),
        library.metals[coin.metal].id.clone(),
        coin.span.from.to_string(),
        coin.span.to.to_string(),
    ];
    let ends = |range: Option<(f64, f64)>| pair(range.map(|(least, most)| [least, most]));
    cells.extend(ends(coin.diameter));
    cells.extend(ends(coin.thickness));
    // A type that does not say how its dies were set has no word for it.
    let axis = (coin.axis != AxisHabit::Unstated).then(|| word(AXES, &coin.axis));
    cells.extend([
        maybe(axis),
        word(MAKINGS, &coin.made),
        maybe(coin.copy.map(|copy| word(COPIES, &copy))),
        word(COMMON, &coin.common),
        maybe(coin.edge.as_ref()),
        letters(&coin.obverse),
        letters(&coin.reverse),
        maybe(outside(coin, raw)),
        maybe(coin.note.as_ref()),
        super::super::grade(coin.standing).to_string(),
    ]);
    cells
}

fn letters(face: &Face) -> String {
    let said = face.inscriptions.as_ref();
    maybe(said.map(|borne| if borne.is_empty() { "none" } else { "lettered" }))
}

/// The excuse for years out of bounds, which only the text keeps.
fn outside<'a>(coin: &CoinType, raw: &'a RawLibrary) -> Option<&'a String> {
    let series = raw.series.get(coin.series)?;
    let own = series.types.get(&coin.id)?;
    own.outside.as_ref().or(series.shared.outside.as_ref())
}

/// The rows of a list of each face, with the side between the id and the entry.
fn by_side(library: &Catalogue, entries: impl Fn(&Face) -> Vec<String>) -> Vec<Cells> {
    let mut rows = Vec::new();
    for coin in library.listed() {
        for (side, face) in SIDES.into_iter().zip(Catalogue::faces(coin)) {
            let entries = entries(face).into_iter();
            rows.extend(entries.map(|entry| vec![coin.id.clone(), side.to_string(), entry]));
        }
    }
    rows
}

fn side() -> Column {
    Column::word("side", "Front or back", SIDES).needed()
}

fn motifs(library: &Catalogue) -> Table {
    let rows = by_side(library, |face| {
        let shown = face.motifs.iter().flatten();
        shown.map(|m| library.motifs[*m].id.clone()).collect()
    });
    let motif = Column::id_of("motif", "motifs", "What is shown there").needed();
    let columns = vec![of_type(), side(), motif];
    let (what, key) = ("What each side of a type shows", ["type", "side", "motif"]);
    Table::new("type_motifs", "Motifs of types", what, columns, &key, rows)
}

fn legends(library: &Catalogue) -> Table {
    let rows = by_side(library, |face| {
        let borne = face.inscriptions.iter().flatten();
        // A legend with the mint's name has an inscription for each mint.
        let mut legends: Vec<usize> = borne.map(|i| library.inscriptions[*i].legend).collect();
        legends.sort_unstable();
        legends.dedup();
        let ids = legends.iter().map(|l| library.legends[*l].id.clone());
        ids.collect()
    });
    let legend = Column::id_of("legend", "legends", "A legend that may stand there").needed();
    let columns = vec![of_type(), side(), legend];
    let what = "What each side of a type may read; a piece bears one of them";
    let key = ["type", "side", "legend"];
    Table::new(
        "type_legends",
        "Legends of types",
        what,
        columns,
        &key,
        rows,
    )
}

/// The rows of a list that is no sequence: the type's id and the entry.
fn pairs(library: &Catalogue, entries: impl Fn(&CoinType) -> Vec<String>) -> Vec<Cells> {
    let types = library.listed().iter();
    let rows = types.flat_map(|coin| {
        let entries = entries(coin).into_iter();
        entries.map(|entry| vec![coin.id.clone(), entry])
    });
    rows.collect()
}

fn marks(library: &Catalogue) -> Table {
    let rows = pairs(library, |coin| {
        let marks = coin.marks.iter();
        marks.map(|m| library.motifs[*m].id.clone()).collect()
    });
    let mark = Column::id_of("motif", "motifs", "The mark").needed();
    let columns = vec![of_type(), mark];
    let what = "Initial or mint marks of which a piece of the type bears one";
    let key = ["type", "motif"];
    Table::new("type_marks", "Marks of types", what, columns, &key, rows)
}

fn mints(library: &Catalogue) -> Table {
    let rows = pairs(library, |coin| {
        let mints = coin.mints.iter();
        mints.map(|m| library.mints[*m].id.clone()).collect()
    });
    let mint = Column::id_of("mint", "mints", "A mint that struck it").needed();
    let columns = vec![of_type(), mint];
    let (what, key) = ("Where types were struck", ["type", "mint"]);
    Table::new("type_mints", "Mints of types", what, columns, &key, rows)
}

fn weights(library: &Catalogue) -> Table {
    let types = library.listed().iter();
    let rows = types.flat_map(|coin| {
        listed(&coin.id, &coin.weights, |part| {
            [part.grams, part.cv, part.share]
                .map(|figure| figure.to_string())
                .to_vec()
        })
    });
    let share = "Share of the type's pieces; those of one type sum to 1";
    let cv = "Standard deviation of the weight as struck, as a share of the mean";
    let weight = "Mean weight as struck, in grams";
    let columns = vec![
        of_type(),
        number(),
        Column::figure("weight", weight).needed().least(0.0),
        Column::figure("cv", cv).needed().least(0.0).most(1.0),
        Column::figure("share", share).needed().least(0.0).most(1.0),
    ];
    let what = "Weights as struck, several where a type was struck to several standards";
    let (title, key) = ("Weights of types", ["type", "number"]);
    let rows = rows.collect();
    Table::new("type_weights", title, what, columns, &key, rows)
}

fn habits(library: &Catalogue) -> Table {
    let rows = pairs(library, |coin| {
        let habits = coin.habits.iter();
        habits.map(|habit| word(HABITS, habit)).collect()
    });
    let habit = "What is usual on found pieces";
    let habit = Column::word("habit", habit, words_of(HABITS)).needed();
    let columns = vec![of_type(), habit];
    let (what, key) = ("What often befell pieces of a type", ["type", "habit"]);
    Table::new("type_habits", "Habits of types", what, columns, &key, rows)
}

fn regions(library: &Catalogue) -> Table {
    let rows = pairs(library, |coin| {
        let regions = coin.regions.iter();
        regions.map(|region| region.name().to_string()).collect()
    });
    let region = "Where in England and Wales it is mostly found";
    let region = Column::word("region", region, REGIONS.to_vec()).needed();
    let columns = vec![of_type(), region];
    let (what, key) = ("Where types are mostly found", ["type", "region"]);
    Table::new(
        "type_regions",
        "Regions of types",
        what,
        columns,
        &key,
        rows,
    )
}

fn refs(library: &Catalogue) -> Table {
    let types = library
        .listed()
        .iter()
        .map(|coin| (coin.id.as_str(), &coin.refs[..]));
    let reference = Column::text("ref", "Work and number, as handbooks are cited");
    words("type_refs", "References of types", OWNER, reference, types)
}

fn neighbours(library: &Catalogue) -> Table {
    let types = library.listed().iter();
    let rows = types.flat_map(|coin| {
        listed(&coin.id, &coin.apart, |apart| {
            vec![library.types[apart.from].id.clone(), apart.by.clone()]
        })
    });
    let columns = vec![
        of_type(),
        number(),
        Column::id_of("from", "types", "The neighbour").needed(),
        Column::text("by", "What a finder can see that sets the two apart").needed(),
    ];
    let what = "Types that are taken for one another, and what sets them apart";
    let (title, key) = ("Neighbours", ["type", "number"]);
    Table::new("neighbours", title, what, columns, &key, rows.collect())
}

fn cited(library: &Catalogue) -> Table {
    let types = library.listed().iter();
    let types = types.map(|coin| (coin.id.as_str(), &coin.sources[..]));
    sources("type_sources", "Sources of types", OWNER, types)
}

fn moved(raw: &RawLibrary) -> Table {
    let rows = raw.moved.iter().map(|row| {
        let f = &row.fields;
        vec![row.id.clone(), f.to.clone(), f.why.clone()]
    });
    let columns = vec![
        id("The old id"),
        Column::text("to", "The id that is live now").needed(),
        Column::text("why", "Why it moved").needed(),
    ];
    let what = "Ids that were renamed, each in one hop; most are ids of types";
    Table::new("moved", "Moved ids", what, columns, &["id"], rows.collect())
}
