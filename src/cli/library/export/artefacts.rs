//! Tables of the artefact types: one row a type, and a table for each of its lists.
//!
//! Tells types as they are linked, shared heads filled in.
//!
//! Invariant: a type has one row in `artefacts`, and its rows elsewhere carry its id.

use super::columns::{grade, id, listed, maybe, name, note, number};
use super::columns::{sources, words, years};
use super::table::{Cells, Column, Table};
use crate::catalogue::lists::{COMMON, DIMENSIONS, MADE, REGIONS};
use crate::catalogue::{ArtefactType, Artefacts, Catalogue, Common, Decoration};

/// What the tables of a type's lists call it, and the table it stands in.
const OWNER: (&str, &str) = ("artefact", "artefacts");

/// The lists of form that a type has, as the library calls them.
const LISTS: [&str; 7] = [
    "outline",
    "section",
    "has",
    "may",
    "lacks",
    "decoration",
    "survives",
];

/// The tables, in order.
pub(super) fn tables(artefacts: &Artefacts, library: &Catalogue) -> Vec<Table> {
    let types = || artefacts.types.iter();
    let letters = types().map(|one| (one.id.as_str(), &one.letters[..]));
    let letter = Column::text("letters", "Letters or words often on it");
    let refs = types().map(|one| (one.id.as_str(), &one.refs[..]));
    let reference = Column::text("ref", "Work and number");
    let cited = types().map(|one| (one.id.as_str(), &one.sources[..]));
    vec![
        series(artefacts),
        artefact_rows(artefacts),
        materials(artefacts, library),
        sizes(artefacts),
        forms(artefacts),
        motifs(artefacts, library),
        words(
            "artefact_letters",
            "Letters on artefacts",
            OWNER,
            letter,
            letters,
        ),
        regions(artefacts),
        words(
            "artefact_refs",
            "References of artefacts",
            OWNER,
            reference,
            refs,
        ),
        neighbours(artefacts),
        sources("artefact_sources", "Sources of artefacts", OWNER, cited),
    ]
}

fn names<T>(list: &[(&'static str, T)]) -> Vec<&'static str> {
    list.iter().map(|(word, _)| *word).collect()
}

/// The type a row of a list belongs to.
fn of_type() -> Column {
    Column::id_of(OWNER.0, OWNER.1, "Whose row it is").needed()
}

/// The rows of a list of all types.
fn rows_of<'a, T: 'a>(
    artefacts: &'a Artefacts,
    list: impl Fn(&'a ArtefactType) -> Vec<T>,
    cells: impl Fn(T) -> Cells + Copy + 'a,
) -> Vec<Cells> {
    let types = artefacts.types.iter();
    types
        .flat_map(|one| listed(&one.id, list(one), cells).collect::<Vec<_>>())
        .collect()
}

fn series(artefacts: &Artefacts) -> Table {
    let rows = artefacts.series.iter();
    let rows = rows.map(|series| vec![series.id.clone(), series.name.clone()]);
    let columns = vec![id("Id of the series"), name()];
    let (title, what) = ("Series of artefacts", "Files in which the types stand");
    let rows = rows.collect();
    Table::new("artefact_series", title, what, columns, &["id"], rows)
}

fn artefact_rows(artefacts: &Artefacts) -> Table {
    let rows = artefacts.types.iter().map(|one| cells(one, artefacts));
    let [from, to] = years("in which it was made and used").map(Column::needed);
    let grams = |name, which: &str| {
        let what = format!("{which} usual weight of a whole piece, in grams");
        Column::figure(name, what).least(0.0)
    };
    let group = "Published group or type, shared by its members";
    let typology = "Author and year of the typology that the names follow";
    let columns = vec![
        id("Permanent id of the type"),
        name(),
        Column::id_of("class", "classes", "The narrowest class it is of").needed(),
        Column::text("group", group).needed(),
        Column::id_of("series", "artefact_series", "The series").needed(),
        Column::id_of("period", "periods", "The period").needed(),
        from,
        to,
        Column::text("typology", typology),
        Column::word("made", "How it was made", names(MADE)),
        grams("weight_least", "Least"),
        grams("weight_most", "Greatest"),
        Column::word("common", "How common as a field find", names(COMMON)).needed(),
        note(),
        grade(),
    ];
    let what = "Types of artefacts, told apart by form, size or decoration";
    let rows = rows.collect();
    Table::new("artefacts", "Artefacts", what, columns, &["id"], rows)
}

fn cells(one: &ArtefactType, artefacts: &Artefacts) -> Cells {
    let common = |known: Common| COMMON.iter().find(|(_, common)| *common == known);
    vec![
        one.id.clone(),
        one.name.clone(),
        artefacts.classes[one.class].id.clone(),
        one.group.clone(),
        artefacts.series[one.series].id.clone(),
        artefacts.periods[one.period].id.clone(),
        one.span.from.to_string(),
        one.span.to.to_string(),
        maybe(one.typology.as_ref()),
        maybe(one.made.map(|made| made.name())),
        maybe(one.weight.map(|(least, _)| least)),
        maybe(one.weight.map(|(_, most)| most)),
        maybe(common(one.common).map(|(word, _)| *word)),
        maybe(one.note.as_ref()),
        one.standing.name().to_string(),
    ]
}

fn materials(artefacts: &Artefacts, library: &Catalogue) -> Table {
    let rows = rows_of(
        artefacts,
        |one| one.materials.clone(),
        |metal| vec![library.metals[metal].id.clone()],
    );
    let metal = Column::id_of("metal", "metals", "A metal it may be of").needed();
    let columns = vec![of_type(), number(), metal];
    let (title, what) = ("Metals of artefacts", "Of what types are made, any of them");
    let key = ["artefact", "number"];
    Table::new("artefact_materials", title, what, columns, &key, rows)
}

fn sizes(artefacts: &Artefacts) -> Table {
    let rows = artefacts.types.iter().flat_map(|one| {
        one.sizes.given().map(|(dimension, (least, most))| {
            let dimension = dimension.name().to_string();
            let (least, most) = (least.to_string(), most.to_string());
            vec![one.id.clone(), dimension, least, most]
        })
    });
    let end = |name, which: &str| {
        let what = format!("{which} usual size of a whole piece, in millimetres");
        Column::figure(name, what).needed().least(0.0)
    };
    let dimension = "What is measured";
    let columns = vec![
        of_type(),
        Column::word("dimension", dimension, names(DIMENSIONS)).needed(),
        end("least", "Least"),
        end("most", "Greatest"),
    ];
    let (title, what) = ("Sizes of artefacts", "Sizes of whole pieces");
    let key = ["artefact", "dimension"];
    Table::new("artefact_sizes", title, what, columns, &key, rows.collect())
}

fn forms(artefacts: &Artefacts) -> Table {
    let rows = artefacts.types.iter().flat_map(|one| {
        let shown = one.decoration.iter().filter_map(|shown| match shown {
            Decoration::Form(form) => Some(*form),
            Decoration::Motif(_) => None,
        });
        let decoration: Vec<usize> = shown.collect();
        let lists = [
            &one.outline,
            &one.section,
            &one.has,
            &one.may,
            &one.lacks,
            &decoration,
            &one.survives,
        ];
        let rows = LISTS.into_iter().zip(lists).flat_map(|(list, forms)| {
            let numbered = forms.iter().enumerate();
            numbered.map(move |(place, form)| {
                let form = artefacts.forms[*form].id.clone();
                let number = (place + 1).to_string();
                vec![one.id.clone(), list.to_string(), number, form]
            })
        });
        rows.collect::<Vec<_>>()
    });
    let list = "In what list of the type the form stands";
    let columns = vec![
        of_type(),
        Column::word("list", list, LISTS).needed(),
        number(),
        Column::id_of("form", "forms", "The form").needed(),
    ];
    let (title, what) = ("Forms of artefacts", "What types show, may show and lack");
    let key = ["artefact", "list", "number"];
    Table::new("artefact_forms", title, what, columns, &key, rows.collect())
}

fn motifs(artefacts: &Artefacts, library: &Catalogue) -> Table {
    let motifs = |one: &ArtefactType| {
        let shown = one.decoration.iter().filter_map(|shown| match shown {
            Decoration::Motif(motif) => Some(*motif),
            Decoration::Form(_) => None,
        });
        shown.collect::<Vec<usize>>()
    };
    let rows = rows_of(artefacts, motifs, |motif| {
        vec![library.motifs[motif].id.clone()]
    });
    let motif = Column::id_of("motif", "motifs", "What is shown").needed();
    let columns = vec![of_type(), number(), motif];
    let what = "Motifs that stand on coins and are usual on artefacts too";
    let (title, key) = ("Motifs of artefacts", ["artefact", "number"]);
    Table::new("artefact_motifs", title, what, columns, &key, rows)
}

fn regions(artefacts: &Artefacts) -> Table {
    let rows = artefacts.types.iter().flat_map(|one| {
        let regions = one.regions.iter();
        regions.map(|region| vec![one.id.clone(), region.name().to_string()])
    });
    let region = "Where in England and Wales it is mostly found";
    let region = Column::word("region", region, REGIONS.to_vec()).needed();
    let columns = vec![of_type(), region];
    let (title, what) = ("Regions of artefacts", "Where types are mostly found");
    let key = ["artefact", "region"];
    Table::new(
        "artefact_regions",
        title,
        what,
        columns,
        &key,
        rows.collect(),
    )
}

fn neighbours(artefacts: &Artefacts) -> Table {
    let rows = artefacts.types.iter().flat_map(|one| {
        listed(&one.id, &one.apart, |apart| {
            vec![artefacts.types[apart.from].id.clone(), apart.by.clone()]
        })
    });
    let columns = vec![
        of_type(),
        number(),
        Column::id_of("from", "artefacts", "The neighbour").needed(),
        Column::text("by", "What a finder can see that sets the two apart").needed(),
    ];
    let what = "Artefacts that are taken for one another, and what sets them apart";
    let (title, key) = ("Neighbours of artefacts", ["artefact", "number"]);
    let rows = rows.collect();
    Table::new("artefact_neighbours", title, what, columns, &key, rows)
}
