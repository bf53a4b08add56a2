//! Tables: the rows that types are made of, each linked by itself.
//!
//! Sources, periods, metals, denominations, rulers, mints, motifs and legends. Never
//! reads a type; a word or link that fails is a fault, and the row stands without it.
//!
//! Invariant: a table keeps the order of its rows, so positions hold.

use super::super::fault::Fault;
use super::super::raw::{
    RawDenomination, RawLegend, RawLibrary, RawMetal, RawMint, RawPeriod, RawRuler, RawSource,
    RawStandard, Row,
};
use super::super::resolved::{
    Catalogue, Denomination, Legend, Metal, Mint, Motif, Period, Ruler, Script, Source, Standard,
};
use super::links::{Ids, link, span, standing};
use super::words::{LOOKS, SCRIPTS, meaning};
use crate::find::MetalSeen;

/// A catalogue of all tables, still without types and inscriptions.
pub(super) fn tables(
    raw: &RawLibrary,
    digest: &str,
    ids: &Ids,
    faults: &mut Vec<Fault>,
) -> Catalogue {
    let moved = raw.moved.iter();
    Catalogue {
        digest: digest.to_string(),
        sources: raw.sources.iter().map(source).collect(),
        periods: each(&raw.periods, faults, period),
        metals: each(&raw.metals, faults, metal),
        denominations: each(&raw.denominations, faults, |row, faults| {
            denomination(row, ids, faults)
        }),
        rulers: each(&raw.rulers, faults, |row, faults| ruler(row, ids, faults)),
        mints: each(&raw.mints, faults, mint),
        motifs: motifs(raw, ids, faults),
        motif_places: ids.motifs.clone(),
        legends: each(&raw.legends, faults, legend),
        moved: moved
            .map(|row| (row.id.clone(), row.fields.to.clone()))
            .collect(),
        ..Catalogue::default()
    }
}

fn each<R, T>(
    rows: &[Row<R>],
    faults: &mut Vec<Fault>,
    linked: impl Fn(&Row<R>, &mut Vec<Fault>) -> T,
) -> Vec<T> {
    rows.iter().map(|row| linked(row, faults)).collect()
}

fn source(row: &Row<RawSource>) -> Source {
    let f = &row.fields;
    Source {
        id: row.id.clone(),
        text: format!(
            "{}, {} ({})",
            f.author.trim_end_matches('.'),
            f.title,
            f.year
        ),
        trust: f.trust.clone(),
    }
}

pub(super) fn period(row: &Row<RawPeriod>, faults: &mut Vec<Fault>) -> Period {
    Period {
        id: row.id.clone(),
        name: row.fields.name.clone(),
        span: span(row.fields.span, &row.file, &row.id, "span", faults),
        words: row.fields.words.clone(),
    }
}

fn metal(row: &Row<RawMetal>, faults: &mut Vec<Fault>) -> Metal {
    let written = row.fields.looks.as_str();
    let looks = meaning(LOOKS, written).unwrap_or_else(|| {
        let what = format!("`{written}` is not a look a finder can name");
        let mend = "write gold, silver, base-silver, copper-alloy, white-metal, lead or iron";
        faults.push(Fault::at("reads", &row.file, &row.id, "looks", what, mend));
        MetalSeen::CopperAlloy
    });
    Metal {
        id: row.id.clone(),
        name: row.fields.name.clone(),
        looks,
        words: row.fields.words.clone(),
        nomisma: row.fields.nomisma.clone(),
    }
}

fn denomination(row: &Row<RawDenomination>, ids: &Ids, faults: &mut Vec<Fault>) -> Denomination {
    let standard = |s: &RawStandard, faults: &mut Vec<Fault>| {
        let at = (row.file.as_str(), row.id.as_str(), "standards");
        Some(Standard {
            span: span(s.span, at.0, at.1, at.2, faults),
            metal: link("metal", &s.metal, &ids.metals, at, faults)?,
            weight: s.weight,
            cv: s.cv,
            diameter: s.diameter.map(|d| (d[0], d[1])),
            thickness: s.thickness.map(|t| (t[0], t[1])),
            standing: standing(s.grade.or(row.fields.grade)),
            sources: if s.sources.is_empty() {
                row.fields.sources.clone()
            } else {
                s.sources.clone()
            },
        })
    };
    Denomination {
        id: row.id.clone(),
        name: row.fields.name.clone(),
        words: row.fields.words.clone(),
        nomisma: row.fields.nomisma.clone(),
        standards: row
            .fields
            .standards
            .iter()
            .filter_map(|s| standard(s, faults))
            .collect(),
    }
}

fn ruler(row: &Row<RawRuler>, ids: &Ids, faults: &mut Vec<Fault>) -> Ruler {
    let f = &row.fields;
    let at = (row.file.as_str(), row.id.as_str(), "members");
    Ruler {
        id: row.id.clone(),
        name: f.name.clone(),
        kind: f.kind.clone(),
        realm: f.realm.clone(),
        reigns: f
            .reigns
            .iter()
            .map(|reign| span(*reign, &row.file, &row.id, "reigns", faults))
            .collect(),
        members: f
            .members
            .iter()
            .filter_map(|m| link("ruler", m, &ids.rulers, at, faults))
            .collect(),
        words: f.words.clone(),
        nomisma: f.nomisma.clone(),
    }
}

fn mint(row: &Row<RawMint>, faults: &mut Vec<Fault>) -> Mint {
    let f = &row.fields;
    Mint {
        id: row.id.clone(),
        name: f.name.clone(),
        struck: f.struck.clone(),
        lives: f
            .lives
            .iter()
            .map(|life| span(*life, &row.file, &row.id, "lives", faults))
            .collect(),
        words: f.words.clone(),
        nomisma: f.nomisma.clone(),
    }
}

fn motifs(raw: &RawLibrary, ids: &Ids, faults: &mut Vec<Fault>) -> Vec<Motif> {
    let mut motifs: Vec<Motif> = raw
        .motifs
        .iter()
        .map(|row| {
            let mut linked = |list: &[String], field: &str| -> Vec<usize> {
                let at = (row.file.as_str(), row.id.as_str(), field);
                list.iter()
                    .filter_map(|id| link("motif", id, &ids.motifs, at, faults))
                    .collect()
            };
            Motif {
                id: row.id.clone(),
                name: row.fields.name.clone(),
                under: linked(&row.fields.under, "under"),
                ancestors: Vec::new(),
                parts: linked(&row.fields.parts, "parts"),
                words: row.fields.words.clone(),
            }
        })
        .collect();
    let under: Vec<Vec<usize>> = motifs.iter().map(|motif| motif.under.clone()).collect();
    for (position, motif) in motifs.iter_mut().enumerate() {
        let ancestors = ancestors(position, &under);
        if ancestors.contains(&position) {
            let row = &raw.motifs[position];
            faults.push(Fault::at(
                "refs",
                &row.file,
                &row.id,
                "under",
                "the concept is its own ancestor",
                "take one parent out of the circle",
            ));
        }
        motif.ancestors = ancestors.into_iter().filter(|a| *a != position).collect();
    }
    motifs
}

/// All ancestors by what each row stands under, nearest first; ends on circles.
pub(super) fn ancestors(position: usize, under: &[Vec<usize>]) -> Vec<usize> {
    let mut found = Vec::new();
    let mut front = under[position].clone();
    while !front.is_empty() {
        let mut next = Vec::new();
        for parent in front {
            if !found.contains(&parent) {
                found.push(parent);
                next.extend(under[parent].iter().copied());
            }
        }
        front = next;
    }
    found
}

fn legend(row: &Row<RawLegend>, faults: &mut Vec<Fault>) -> Legend {
    let written = row.fields.script.as_str();
    let script = meaning(SCRIPTS, written).unwrap_or_else(|| {
        let what = format!("`{written}` is not a script");
        let mend = "write roman, lombardic, anglo-saxon, runic, greek or modern";
        faults.push(Fault::at("reads", &row.file, &row.id, "script", what, mend));
        Script::Roman
    });
    Legend {
        id: row.id.clone(),
        text: row.fields.text.clone(),
        script,
        reads: row.fields.reads.clone(),
    }
}
