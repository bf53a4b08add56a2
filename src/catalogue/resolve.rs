//! Rows to a linked catalogue: links followed, shared heads spread, standards chosen.
//!
//! Collects all faults (rule `refs` and the rules of form a link depends on) and
//! leaves out a type that cannot be linked, so the rest still answers.
//! Judges nothing.

use std::collections::HashMap;

use super::fault::Fault;
use super::inscribe::Inscriber;
use super::raw::{Grade, RawFace, RawLibrary, RawSeries, RawStandard, RawType, Row};
use super::resolved::*;
use super::spread::spread;
use crate::find::{Making, MetalSeen, Span};

/// Positions of ids, one map a kind of table.
pub(super) struct Ids {
    periods: HashMap<String, usize>,
    metals: HashMap<String, usize>,
    denominations: HashMap<String, usize>,
    rulers: HashMap<String, usize>,
    mints: HashMap<String, usize>,
    motifs: HashMap<String, usize>,
    legends: HashMap<String, usize>,
}

fn positions<T>(rows: &[Row<T>]) -> HashMap<String, usize> {
    rows.iter()
        .enumerate()
        .map(|(position, row)| (row.id.clone(), position))
        .collect()
}

/// A linked catalogue and the faults met in linking it.
pub fn resolve(raw: &RawLibrary, digest: &str) -> (Catalogue, Vec<Fault>) {
    let mut faults = Vec::new();
    let ids = Ids {
        periods: positions(&raw.periods),
        metals: positions(&raw.metals),
        denominations: positions(&raw.denominations),
        rulers: positions(&raw.rulers),
        mints: positions(&raw.mints),
        motifs: positions(&raw.motifs),
        legends: positions(&raw.legends),
    };
    let mut catalogue = Catalogue {
        digest: digest.to_string(),
        sources: raw.sources.iter().map(source).collect(),
        periods: raw
            .periods
            .iter()
            .map(|row| period(row, &mut faults))
            .collect(),
        metals: raw
            .metals
            .iter()
            .map(|row| metal(row, &mut faults))
            .collect(),
        denominations: raw
            .denominations
            .iter()
            .map(|row| denomination(row, &ids, &mut faults))
            .collect(),
        rulers: raw
            .rulers
            .iter()
            .map(|row| ruler(row, &ids, &mut faults))
            .collect(),
        mints: raw.mints.iter().map(|row| mint(row, &mut faults)).collect(),
        motifs: motifs(raw, &ids, &mut faults),
        legends: raw
            .legends
            .iter()
            .map(|row| legend(row, &mut faults))
            .collect(),
        moved: raw
            .moved
            .iter()
            .map(|row| (row.id.clone(), row.fields.to.clone()))
            .collect(),
        ..Catalogue::default()
    };
    let mut inscriber = Inscriber::new(raw, &catalogue.mints);
    let mut neighbours = Vec::new();
    for series in &raw.series {
        add_series(
            series,
            &ids,
            &mut inscriber,
            &mut catalogue,
            &mut neighbours,
            &mut faults,
        );
    }
    catalogue.inscriptions = inscriber.finish();
    link_neighbours(neighbours, &mut catalogue, &mut faults);
    (catalogue, faults)
}

fn source(row: &Row<super::raw::RawSource>) -> Source {
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

fn standing(grade: Option<Grade>) -> Standing {
    match grade {
        Some(Grade::Checked) => Standing::Checked,
        Some(Grade::Cited) => Standing::Cited,
        _ => Standing::Recalled,
    }
}

/// A span as written, or a one-year stand-in and a fault.
pub(super) fn span(
    written: [i32; 2],
    file: &str,
    id: &str,
    field: &str,
    faults: &mut Vec<Fault>,
) -> Span {
    Span::new(written[0], written[1]).unwrap_or_else(|| {
        let what = format!(
            "the years {} to {} run backwards or name a year 0",
            written[0], written[1]
        );
        faults.push(Fault::at(
            "spans",
            file,
            id,
            field,
            what,
            "write [first, last], BC negative, no year 0",
        ));
        let year = if written[0] == 0 { 1 } else { written[0] };
        Span {
            from: year,
            to: year,
        }
    })
}

fn period(row: &Row<super::raw::RawPeriod>, faults: &mut Vec<Fault>) -> Period {
    Period {
        id: row.id.clone(),
        name: row.fields.name.clone(),
        span: span(row.fields.span, &row.file, &row.id, "span", faults),
        words: row.fields.words.clone(),
    }
}

fn metal(row: &Row<super::raw::RawMetal>, faults: &mut Vec<Fault>) -> Metal {
    let looks = match row.fields.looks.as_str() {
        "gold" => MetalSeen::Gold,
        "silver" => MetalSeen::Silver,
        "base-silver" => MetalSeen::BaseSilver,
        "copper-alloy" => MetalSeen::CopperAlloy,
        "white-metal" => MetalSeen::WhiteMetal,
        "lead" => MetalSeen::Lead,
        "iron" => MetalSeen::Iron,
        other => {
            let what = format!("`{other}` is not a look a finder can name");
            let mend = "write gold, silver, base-silver, copper-alloy, white-metal, lead or iron";
            faults.push(Fault::at("reads", &row.file, &row.id, "looks", what, mend));
            MetalSeen::CopperAlloy
        }
    };
    Metal {
        id: row.id.clone(),
        name: row.fields.name.clone(),
        looks,
        words: row.fields.words.clone(),
    }
}

/// Position of an id, or a fault that names near misses.
fn link(
    kind: &str,
    id: &str,
    ids: &HashMap<String, usize>,
    at: (&str, &str, &str),
    faults: &mut Vec<Fault>,
) -> Option<usize> {
    let found = ids.get(id).copied();
    if found.is_none() {
        let near = ids
            .keys()
            .map(|known| (strsim::jaro_winkler(known, id), known))
            .filter(|(likeness, _)| *likeness > 0.85)
            .max_by(|a, b| a.0.total_cmp(&b.0).then_with(|| b.1.cmp(a.1)));
        let mend = match near {
            Some((_, known)) => {
                format!("write `{known}` if that is meant, or write the missing row")
            }
            None => format!("write a row for it among the {kind}s, or name another"),
        };
        faults.push(Fault::at(
            "refs",
            at.0,
            at.1,
            at.2,
            format!("there is no {kind} `{id}`"),
            mend,
        ));
    }
    found
}

fn denomination(
    row: &Row<super::raw::RawDenomination>,
    ids: &Ids,
    faults: &mut Vec<Fault>,
) -> Denomination {
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
        standards: row
            .fields
            .standards
            .iter()
            .filter_map(|s| standard(s, faults))
            .collect(),
    }
}

fn ruler(row: &Row<super::raw::RawRuler>, ids: &Ids, faults: &mut Vec<Fault>) -> Ruler {
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
    }
}

fn mint(row: &Row<super::raw::RawMint>, faults: &mut Vec<Fault>) -> Mint {
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
    for position in 0..motifs.len() {
        let ancestors = ancestors(position, &motifs);
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
        motifs[position].ancestors = ancestors.into_iter().filter(|a| *a != position).collect();
    }
    motifs
}

/// All ancestors, nearest first; ends on circles.
fn ancestors(position: usize, motifs: &[Motif]) -> Vec<usize> {
    let mut found = Vec::new();
    let mut front = motifs[position].under.clone();
    while !front.is_empty() {
        let mut next = Vec::new();
        for parent in front {
            if !found.contains(&parent) {
                found.push(parent);
                next.extend(motifs[parent].under.iter().copied());
            }
        }
        front = next;
    }
    found
}

fn legend(row: &Row<super::raw::RawLegend>, faults: &mut Vec<Fault>) -> Legend {
    let script = match row.fields.script.as_str() {
        "roman" => Script::Roman,
        "lombardic" => Script::Lombardic,
        "anglo-saxon" => Script::AngloSaxon,
        "runic" => Script::Runic,
        "greek" => Script::Greek,
        "modern" => Script::Modern,
        other => {
            let mend = "write roman, lombardic, anglo-saxon, runic, greek or modern";
            faults.push(Fault::at(
                "reads",
                &row.file,
                &row.id,
                "script",
                format!("`{other}` is not a script"),
                mend,
            ));
            Script::Roman
        }
    };
    Legend {
        id: row.id.clone(),
        text: row.fields.text.clone(),
        script,
        reads: row.fields.reads.clone(),
    }
}

/// A neighbour named by a type, to be linked when all types are known.
struct Neighbour {
    file: String,
    of: usize,
    from: String,
    by: String,
}

fn add_series(
    raw: &RawSeries,
    ids: &Ids,
    inscriber: &mut Inscriber<'_>,
    catalogue: &mut Catalogue,
    neighbours: &mut Vec<Neighbour>,
    faults: &mut Vec<Fault>,
) {
    let stem = raw
        .file
        .rsplit('/')
        .next()
        .unwrap_or("")
        .trim_end_matches(".toml");
    let series = catalogue.series.len();
    catalogue.series.push(Series {
        id: stem.to_string(),
        name: raw
            .shared
            .series
            .clone()
            .unwrap_or_else(|| stem.to_string()),
    });
    let mut whole: Vec<(&String, RawType)> = raw
        .types
        .iter()
        .map(|(id, own)| (id, spread(&raw.shared, own)))
        .collect();
    whole.sort_by(|a, b| {
        a.1.span
            .map(|s| s[0])
            .cmp(&b.1.span.map(|s| s[0]))
            .then_with(|| a.0.cmp(b.0))
    });
    for (id, fields) in whole {
        let linker = Linker {
            file: &raw.file,
            id,
            ids,
        };
        let Some(coin) = linker.coin(&fields, series, catalogue, inscriber, faults) else {
            continue;
        };
        for apart in fields.apart.iter().flatten() {
            neighbours.push(Neighbour {
                file: raw.file.clone(),
                of: catalogue.types.len(),
                from: apart.from.clone(),
                by: apart.by.clone(),
            });
        }
        catalogue.types.push(coin);
    }
}

fn link_neighbours(neighbours: Vec<Neighbour>, catalogue: &mut Catalogue, faults: &mut Vec<Fault>) {
    let known: HashMap<String, usize> = catalogue
        .types
        .iter()
        .enumerate()
        .map(|(i, t)| (t.id.clone(), i))
        .collect();
    for n in neighbours {
        let id = catalogue.types[n.of].id.clone();
        if let Some(from) = link("type", &n.from, &known, (&n.file, &id, "apart"), faults) {
            catalogue.types[n.of].apart.push(Apart { from, by: n.by });
        }
    }
}

/// Links one type.
struct Linker<'a> {
    file: &'a str,
    id: &'a str,
    ids: &'a Ids,
}

impl Linker<'_> {
    fn fault(
        &self,
        rule: &'static str,
        field: &str,
        what: impl Into<String>,
        mend: impl Into<String>,
        faults: &mut Vec<Fault>,
    ) {
        faults.push(Fault::at(rule, self.file, self.id, field, what, mend));
    }

    /// A field without which a type cannot be ranked.
    fn needed<'t, T>(
        &self,
        field: &str,
        value: &'t Option<T>,
        faults: &mut Vec<Fault>,
    ) -> Option<&'t T> {
        if value.is_none() {
            let what = format!("the type has no {field}");
            self.fault(
                "reads",
                field,
                what,
                "write it in the type or in [shared]",
                faults,
            );
        }
        value.as_ref()
    }

    fn link(
        &self,
        kind: &str,
        field: &str,
        id: &str,
        known: &HashMap<String, usize>,
        faults: &mut Vec<Fault>,
    ) -> Option<usize> {
        link(kind, id, known, (self.file, self.id, field), faults)
    }

    fn word<T: Copy>(
        &self,
        field: &str,
        word: &str,
        known: &[(&str, T)],
        faults: &mut Vec<Fault>,
    ) -> Option<T> {
        let found = known
            .iter()
            .find(|(name, _)| *name == word)
            .map(|(_, value)| *value);
        if found.is_none() {
            let names: Vec<&str> = known.iter().map(|(name, _)| *name).collect();
            self.fault(
                "reads",
                field,
                format!("`{word}` is not known here"),
                format!("write one of: {}", names.join(", ")),
                faults,
            );
        }
        found
    }

    fn coin(
        &self,
        fields: &RawType,
        series: usize,
        catalogue: &Catalogue,
        inscriber: &mut Inscriber<'_>,
        faults: &mut Vec<Fault>,
    ) -> Option<CoinType> {
        let name = self.needed("name", &fields.name, faults).cloned();
        let years = self.needed("span", &fields.span, faults).copied();
        let period = self.needed("period", &fields.period, faults).cloned();
        let denomination = self
            .needed("denomination", &fields.denomination, faults)
            .cloned();
        let common = self.needed("common", &fields.common, faults).cloned();
        let span = span(years?, self.file, self.id, "span", faults);
        let period =
            period.and_then(|p| self.link("period", "period", &p, &self.ids.periods, faults));
        let denomination = denomination.and_then(|d| {
            self.link(
                "denomination",
                "denomination",
                &d,
                &self.ids.denominations,
                faults,
            )
        });
        let ruler = fields
            .ruler
            .as_ref()
            .and_then(|r| self.link("ruler", "ruler", r, &self.ids.rulers, faults));
        let mints: Vec<usize> = fields
            .mints
            .iter()
            .flatten()
            .filter_map(|m| self.link("mint", "mints", m, &self.ids.mints, faults))
            .collect();
        let marks = self.motif_list("marks", fields.marks.as_deref().unwrap_or(&[]), faults);
        let metal = fields
            .metal
            .as_ref()
            .and_then(|m| self.link("metal", "metal", m, &self.ids.metals, faults));
        let standards = self.standards(
            &catalogue.denominations[denomination?],
            span,
            metal,
            fields,
            faults,
        );
        let metal = metal.or_else(|| standards.first().map(|s| s.metal));
        if metal.is_none() {
            self.fault(
                "refs",
                "metal",
                "no standard of the denomination covers these years and no metal is given",
                "write `metal`, or a standard that covers the span",
                faults,
            );
        }
        Some(CoinType {
            id: self.id.to_string(),
            name: name?,
            series,
            period: period?,
            ruler,
            denomination: denomination?,
            span,
            metal: metal?,
            weights: self.weights(fields, &standards, span, faults),
            diameter: fields
                .diameter
                .map(|d| (d[0], d[1]))
                .or_else(|| hull(standards.iter().filter_map(|s| s.diameter))),
            thickness: fields
                .thickness
                .map(|t| (t[0], t[1]))
                .or_else(|| hull(standards.iter().filter_map(|s| s.thickness))),
            axis: self.axis(fields, faults),
            made: self.made(fields, faults),
            obverse: self.face("obverse", &fields.obverse, &mints, inscriber, faults),
            reverse: self.face("reverse", &fields.reverse, &mints, inscriber, faults),
            mints,
            edge: fields.edge.clone(),
            marks,
            habits: fields
                .habits
                .iter()
                .flatten()
                .filter_map(|h| self.word("habits", h, HABITS, faults))
                .collect(),
            copy: fields
                .copy
                .as_ref()
                .and_then(|c| self.word("copy", c, COPIES, faults)),
            common: common
                .and_then(|c| self.word("common", &c, COMMON, faults))
                .unwrap_or(Common::Uncommon),
            regions: fields.regions.clone().unwrap_or_default(),
            refs: fields.refs.clone().unwrap_or_default(),
            apart: Vec::new(),
            note: fields.note.clone(),
            sources: fields.sources.clone().unwrap_or_default(),
            standing: standing(fields.grade),
        })
    }

    fn axis(&self, fields: &RawType, faults: &mut Vec<Fault>) -> AxisHabit {
        fields
            .axis
            .as_ref()
            .and_then(|a| self.word("axis", a, AXES, faults))
            .unwrap_or(AxisHabit::Unstated)
    }

    fn made(&self, fields: &RawType, faults: &mut Vec<Fault>) -> Making {
        fields
            .made
            .as_ref()
            .and_then(|m| self.word("made", m, MAKINGS, faults))
            .unwrap_or(Making::Hammered)
    }

    /// The standards of the denomination that bear on the type: those that share
    /// years with it and agree with its metal.
    fn standards<'d>(
        &self,
        denomination: &'d Denomination,
        span: Span,
        metal: Option<usize>,
        fields: &RawType,
        faults: &mut Vec<Fault>,
    ) -> Vec<&'d Standard> {
        let bearing: Vec<&Standard> = denomination
            .standards
            .iter()
            .filter(|s| s.span.overlaps(span) && metal.is_none_or(|m| m == s.metal))
            .collect();
        if metal.is_none() && bearing.iter().any(|s| s.metal != bearing[0].metal) {
            self.fault(
                "refs",
                "metal",
                "the standards of these years are of several metals",
                "write `metal` in the type or in [shared]",
                faults,
            );
        }
        if bearing.is_empty() && fields.weights.is_none() && !denomination.standards.is_empty() {
            let what = format!(
                "no weight standard of `{}` covers {}",
                denomination.id,
                span.text()
            );
            self.fault(
                "refs",
                "span",
                what,
                "write a standard that does, or `weights` in the type",
                faults,
            );
        }
        bearing
    }

    fn weights(
        &self,
        fields: &RawType,
        standards: &[&Standard],
        span: Span,
        faults: &mut Vec<Fault>,
    ) -> Vec<WeightPart> {
        if let Some(parts) = &fields.weights {
            let total: f64 = parts.iter().map(|p| p.share).sum();
            if parts.is_empty() || (total - 1.0).abs() > 1e-6 {
                self.fault(
                    "ranges",
                    "weights",
                    format!("the shares sum to {total}"),
                    "make the shares sum to 1",
                    faults,
                );
                return Vec::new();
            }
            return parts
                .iter()
                .map(|p| WeightPart {
                    grams: p.g,
                    cv: p.cv,
                    share: p.share,
                })
                .collect();
        }
        // A type struck under several standards is a mixture, by the years each held.
        let shares: Vec<f64> = standards
            .iter()
            .map(|s| f64::from(s.span.shared_years(span)))
            .collect();
        let total: f64 = shares.iter().sum();
        standards
            .iter()
            .zip(&shares)
            .map(|(s, years)| WeightPart {
                grams: s.weight,
                cv: s.cv,
                share: years / total,
            })
            .collect()
    }

    fn motif_list(&self, field: &str, written: &[String], faults: &mut Vec<Fault>) -> Vec<usize> {
        written
            .iter()
            .filter_map(|m| self.link("motif", field, m, &self.ids.motifs, faults))
            .collect()
    }

    fn face(
        &self,
        field: &str,
        written: &Option<RawFace>,
        mints: &[usize],
        inscriber: &mut Inscriber<'_>,
        faults: &mut Vec<Fault>,
    ) -> Face {
        let Some(written) = written else {
            return Face::default();
        };
        let inscriptions = written.legends.as_ref().map(|legends| {
            let mut borne = Vec::new();
            for id in legends {
                if let Some(legend) = self.link("legend", field, id, &self.ids.legends, faults) {
                    borne.extend(inscriber.inscriptions(legend, mints));
                }
            }
            borne.sort_unstable();
            borne.dedup();
            borne
        });
        let motifs = written
            .motifs
            .as_ref()
            .map(|motifs| self.motif_list(field, motifs, faults));
        Face {
            motifs,
            inscriptions,
        }
    }
}

/// The least and the greatest of several ranges.
fn hull(ranges: impl Iterator<Item = (f64, f64)>) -> Option<(f64, f64)> {
    ranges.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
}

pub(super) const AXES: &[(&str, AxisHabit)] = &[
    ("any", AxisHabit::Any),
    ("upright", AxisHabit::Upright),
    ("inverted", AxisHabit::Inverted),
    ("upright-or-inverted", AxisHabit::UprightOrInverted),
    ("quarters", AxisHabit::Quarters),
];
pub(super) const MAKINGS: &[(&str, Making)] = &[
    ("hammered", Making::Hammered),
    ("milled", Making::Milled),
    ("cast", Making::Cast),
];
pub(super) const HABITS: &[(&str, Habit)] = &[
    ("clipped", Habit::Clipped),
    ("halved", Habit::Halved),
    ("quartered", Habit::Quartered),
    ("pierced", Habit::Pierced),
    ("plated", Habit::Plated),
    ("cracked", Habit::Cracked),
];
pub(super) const COPIES: &[(&str, CopyKind)] = &[
    ("irregular", CopyKind::Irregular),
    ("plated", CopyKind::Plated),
    ("forgery", CopyKind::Forgery),
    ("imitation", CopyKind::Imitation),
];
pub(super) const COMMON: &[(&str, Common)] = &[
    ("very-common", Common::VeryCommon),
    ("common", Common::Common),
    ("uncommon", Common::Uncommon),
    ("rare", Common::Rare),
    ("very-rare", Common::VeryRare),
];
