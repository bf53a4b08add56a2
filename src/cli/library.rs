//! `catalogue`: look into the library, check it, put it in order.

use std::io::Write;
use std::path::{Path, PathBuf};

use serde::Serialize;

use super::args::{Args, CatalogueArgs, CatalogueVerb};
use super::error::Trouble;
use super::{Outcome, open};
use crate::House;
use crate::catalogue::{self, Apart, Catalogue, CoinType, Fault, Files, Standing};
use crate::find::Span;

/// Runs one of the library's verbs.
pub(super) fn run(
    asked: &CatalogueArgs,
    args: &Args,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    match &asked.verb {
        CatalogueVerb::Check { rules: true, .. } => list_rules(out),
        CatalogueVerb::Check { json, .. } => check(args.catalogue.as_deref(), *json, out),
        CatalogueVerb::Tidy { folder, check } => tidy(folder, *check, out),
        CatalogueVerb::Show { id, json } => show(id, *json, &open(args)?, out),
        CatalogueVerb::Search { words, top, json } => search(words, *top, *json, &open(args)?, out),
    }
}

fn files(folder: Option<&Path>) -> Result<Files, Trouble> {
    let Some(folder) = folder else {
        return Ok(catalogue::embedded());
    };
    catalogue::from_folder(folder).map_err(|error| {
        Trouble::new(
            error.to_string(),
            "name a folder shaped like the library's own",
        )
    })
}

// ------------------------------------------------------------------ check

#[derive(Serialize)]
struct CheckView {
    types: usize,
    faults: Vec<FaultView>,
    by_period: Vec<(String, usize)>,
    by_grade: Vec<(&'static str, usize)>,
    sources: usize,
    motifs: usize,
}

#[derive(Serialize)]
struct FaultView {
    file: String,
    line: usize,
    id: String,
    field: String,
    rule: &'static str,
    what: String,
    mend: String,
}

fn fault_view(fault: &Fault) -> FaultView {
    let Fault {
        file,
        line,
        id,
        field,
        rule,
        what,
        mend,
    } = fault.clone();
    FaultView {
        file,
        line,
        id,
        field,
        rule,
        what,
        mend,
    }
}

fn grade(standing: Standing) -> &'static str {
    match standing {
        Standing::Checked => "checked",
        Standing::Cited => "cited",
        Standing::Recalled => "recalled",
    }
}

fn check(folder: Option<&Path>, json: bool, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    let (library, faults) = catalogue::check(&files(folder)?);
    let by_period = library
        .periods
        .iter()
        .enumerate()
        .map(|(position, period)| {
            (
                period.id.clone(),
                library
                    .types
                    .iter()
                    .filter(|t| t.period == position)
                    .count(),
            )
        });
    let by_grade = [Standing::Checked, Standing::Cited, Standing::Recalled].map(|standing| {
        (
            grade(standing),
            library
                .types
                .iter()
                .filter(|t| t.standing == standing)
                .count(),
        )
    });
    let view = CheckView {
        types: library.types.len(),
        faults: faults.iter().map(fault_view).collect(),
        by_period: by_period.collect(),
        by_grade: by_grade.to_vec(),
        sources: library.sources.len(),
        motifs: library.motifs.len(),
    };
    if json {
        serde_json::to_writer_pretty(&mut *out, &view)?;
        writeln!(out)?;
    } else {
        faults
            .iter()
            .try_for_each(|fault| writeln!(out, "{fault}"))?;
        writeln!(
            out,
            "{} types, {} motifs, {} sources, {} faults",
            view.types,
            view.motifs,
            view.sources,
            faults.len()
        )?;
        let counted = |counts: Vec<(&str, usize)>| {
            counts
                .iter()
                .map(|(name, n)| format!("{name} {n}"))
                .collect::<Vec<_>>()
                .join(", ")
        };
        writeln!(
            out,
            "by period: {}",
            counted(
                view.by_period
                    .iter()
                    .map(|(name, n)| (name.as_str(), *n))
                    .collect()
            )
        )?;
        writeln!(out, "by grade:  {}", counted(view.by_grade.clone()))?;
    }
    Ok(if faults.is_empty() {
        Outcome::Answer
    } else {
        Outcome::NothingFits
    })
}

fn list_rules(out: &mut dyn Write) -> Result<Outcome, Trouble> {
    for rule in catalogue::rules::RULES {
        writeln!(out, "{:<10} {}", rule.name, rule.summary)?;
    }
    Ok(Outcome::Answer)
}

// ------------------------------------------------------------------ tidy

fn tidy(folder: &Path, only_check: bool, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    let mut changed = 0;
    let mut faulty = 0;
    for (file, text) in files(Some(folder))? {
        match catalogue::tidy::tidy(&file, &text) {
            Ok(tidied) if tidied == text => {}
            Ok(tidied) => {
                changed += 1;
                writeln!(
                    out,
                    "{} {file}",
                    if only_check { "would change" } else { "tidied" }
                )?;
                if !only_check {
                    replace(&folder.join(&file), &tidied)?;
                }
            }
            Err(fault) => {
                faulty += 1;
                writeln!(out, "{fault}")?;
            }
        }
    }
    writeln!(
        out,
        "{changed} file(s) {}, {faulty} left alone for faults",
        if only_check {
            "out of order"
        } else {
            "put in order"
        }
    )?;
    Ok(if faulty > 0 || (only_check && changed > 0) {
        Outcome::NothingFits
    } else {
        Outcome::Answer
    })
}

/// Written beside and renamed, so a run that is cut off leaves the old file whole.
fn replace(path: &Path, text: &str) -> Result<(), Trouble> {
    let beside: PathBuf = path.with_extension(format!("{}.tmp", std::process::id()));
    let written = std::fs::write(&beside, text).and_then(|()| std::fs::rename(&beside, path));
    written.map_err(|error| {
        let _ = std::fs::remove_file(&beside);
        Trouble::new(
            format!("{}: {error}", path.display()),
            "name a library folder whose files can be written to",
        )
    })
}

// ------------------------------------------------------------------ show

/// One fact of a row.
#[derive(Serialize)]
struct FactView {
    what: &'static str,
    is: String,
}

#[derive(Serialize)]
struct ShownView {
    kind: &'static str,
    id: String,
    name: String,
    facts: Vec<FactView>,
}

fn show(id: &str, json: bool, house: &House, out: &mut dyn Write) -> Result<Outcome, Trouble> {
    let shown = shown(id, &house.catalogue);
    if shown.is_empty() {
        let near = near(id, &house.catalogue);
        let hint = match near {
            Some(near) => format!(
                "the nearest id is {near}; find others with: lynchet catalogue search WORDS"
            ),
            None => "find ids with: lynchet catalogue search WORDS".to_string(),
        };
        return Err(Trouble::new(
            format!("nothing in the library has the id \"{}\"", shortened(id)),
            hint,
        ));
    }
    if json {
        serde_json::to_writer_pretty(&mut *out, &shown)?;
        writeln!(out)?;
        return Ok(Outcome::Answer);
    }
    for row in &shown {
        writeln!(out, "{} [{}], {}", row.name, row.id, row.kind)?;
        row.facts
            .iter()
            .filter(|f| !f.is.is_empty())
            .try_for_each(|fact| writeln!(out, "  {:<14} {}", fact.what, fact.is))?;
    }
    Ok(Outcome::Answer)
}

fn shortened(text: &str) -> String {
    if text.chars().count() <= 60 {
        text.to_string()
    } else {
        text.chars().take(57).chain("...".chars()).collect()
    }
}

fn near(id: &str, library: &Catalogue) -> Option<String> {
    let id: String = id.chars().take(60).collect();
    library
        .types
        .iter()
        .map(|t| &t.id)
        .chain(library.rulers.iter().map(|r| &r.id))
        .chain(library.motifs.iter().map(|m| &m.id))
        .map(|known| (strsim::jaro_winkler(known, &id), known))
        .filter(|(likeness, _)| *likeness > 0.88)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, known)| known.clone())
}

/// Every row with this id: an id may stand in several kinds of table.
fn shown(id: &str, library: &Catalogue) -> Vec<ShownView> {
    let mut shown = Vec::new();
    if let Some(position) = library.type_by_id(id) {
        let coin = &library.types[position];
        shown.push(ShownView {
            kind: "type",
            id: coin.id.clone(),
            name: coin.name.clone(),
            facts: type_facts(coin, library),
        });
    }
    let mut push = |kind, id: &str, name: &str, facts| {
        shown.push(ShownView {
            kind,
            id: id.to_string(),
            name: name.to_string(),
            facts,
        })
    };
    let of_ruler = |position: usize| {
        library
            .types
            .iter()
            .filter(|t| t.ruler == Some(position))
            .count()
    };
    for (position, ruler) in library
        .rulers
        .iter()
        .enumerate()
        .filter(|(_, r)| r.id == id)
    {
        let facts = vec![
            fact("realm", ruler.realm.clone()),
            fact("in power", spans(&ruler.reigns)),
            fact(
                "members",
                list(
                    ruler
                        .members
                        .iter()
                        .map(|m| library.rulers[*m].name.clone()),
                ),
            ),
            fact("also called", list(ruler.words.iter().cloned())),
            fact("types", of_ruler(position).to_string()),
        ];
        push("ruler", &ruler.id, &ruler.name, facts);
    }
    for denomination in library.denominations.iter().filter(|d| d.id == id) {
        let standard = |s: &catalogue::Standard| {
            let across = s.diameter.map_or(String::new(), |(least, most)| {
                format!(", {least}-{most} mm")
            });
            format!(
                "{}: {} g {}{across} ({}; {})",
                s.span.text(),
                s.weight,
                library.metals[s.metal].name,
                grade(s.standing),
                s.sources.join(", ")
            )
        };
        let mut facts = vec![fact(
            "also called",
            list(denomination.words.iter().cloned()),
        )];
        facts.extend(
            denomination
                .standards
                .iter()
                .map(|s| fact("standard", standard(s))),
        );
        push("denomination", &denomination.id, &denomination.name, facts);
    }
    for mint in library.mints.iter().filter(|m| m.id == id) {
        let facts = vec![
            fact("struck", spans(&mint.lives)),
            fact("signs", list(mint.struck.iter().cloned())),
            fact("also called", list(mint.words.iter().cloned())),
        ];
        push("mint", &mint.id, &mint.name, facts);
    }
    for motif in library.motifs.iter().filter(|m| m.id == id) {
        let names =
            |list_of: &[usize]| list(list_of.iter().map(|m| library.motifs[*m].name.clone()));
        let facts = vec![
            fact("is a kind of", names(&motif.under)),
            fact("shown with", names(&motif.parts)),
            fact("people say", list(motif.words.iter().cloned())),
        ];
        push("motif", &motif.id, &motif.name, facts);
    }
    for legend in library.legends.iter().filter(|l| l.id == id) {
        push(
            "legend",
            &legend.id,
            &legend.text,
            vec![fact("reads", legend.reads.clone().unwrap_or_default())],
        );
    }
    shown
}

fn fact(what: &'static str, is: String) -> FactView {
    FactView { what, is }
}

fn list(names: impl Iterator<Item = String>) -> String {
    names.collect::<Vec<_>>().join(", ")
}

fn spans(spans: &[Span]) -> String {
    list(spans.iter().map(|span| span.text()))
}

fn type_facts(coin: &CoinType, library: &Catalogue) -> Vec<FactView> {
    let range = |range: Option<(f64, f64)>| {
        range.map_or(String::new(), |(least, most)| {
            format!("{least}-{most} mm as struck")
        })
    };
    let weights = coin.weights.iter().map(|w| {
        let share = if coin.weights.len() > 1 {
            format!(" ({:.0} in 100)", w.share * 100.0)
        } else {
            String::new()
        };
        format!("{:.3} g{share}", w.grams)
    });
    let apart = |a: &Apart| format!("from {}: {}", library.types[a.from].id, a.by);
    let mut facts = vec![
        fact("series", library.series[coin.series].name.clone()),
        fact("period", library.periods[coin.period].name.clone()),
        fact(
            "ruler",
            coin.ruler
                .map_or(String::new(), |r| library.rulers[r].name.clone()),
        ),
        fact(
            "denomination",
            library.denominations[coin.denomination].name.clone(),
        ),
        fact("struck", coin.span.text()),
        fact(
            "mints",
            list(coin.mints.iter().map(|m| library.mints[*m].name.clone())),
        ),
        fact("metal", library.metals[coin.metal].name.clone()),
        fact("weight", list(weights)),
        fact("diameter", range(coin.diameter)),
    ];
    for (name, face) in [("obverse", &coin.obverse), ("reverse", &coin.reverse)] {
        let motifs = face.motifs.as_deref().unwrap_or(&[]);
        facts.push(fact(
            name,
            list(motifs.iter().map(|m| library.motifs[*m].name.clone())),
        ));
        let mut legends: Vec<usize> = face
            .inscriptions
            .iter()
            .flatten()
            .map(|i| library.inscriptions[*i].legend)
            .collect();
        legends.sort_unstable();
        legends.dedup();
        facts.push(fact(
            "  legend",
            list(legends.iter().map(|l| library.legends[*l].text.clone())),
        ));
    }
    facts.extend([
        fact(
            "marks",
            list(coin.marks.iter().map(|m| library.motifs[*m].name.clone())),
        ),
        fact("made", coin.made.name().to_string()),
        fact("as a find", coin.common.name().to_string()),
        fact("reference", list(coin.refs.iter().cloned())),
        fact("note", coin.note.clone().unwrap_or_default()),
    ]);
    facts.extend(coin.apart.iter().map(|a| fact("apart", apart(a))));
    let source = |cited: &String| {
        let (key, place) = cited
            .split_once(':')
            .map_or((cited.as_str(), String::new()), |(key, place)| {
                (key, format!(", {place}"))
            });
        let title = library
            .sources
            .iter()
            .find(|s| s.id == key)
            .map_or(key, |s| s.text.as_str());
        fact("source", format!("{title}{place} [{key}]"))
    };
    facts.extend(coin.sources.iter().map(source));
    facts.push(fact("vouched for", grade(coin.standing).to_string()));
    facts
}

// ------------------------------------------------------------------ search

#[derive(Serialize)]
struct HitView {
    id: String,
    name: String,
    ruler: String,
    denomination: String,
    from: i32,
    to: i32,
}

fn search(
    words: &[String],
    top: usize,
    json: bool,
    house: &House,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let wanted: Vec<String> = words
        .iter()
        .flat_map(|w| w.split_whitespace())
        .map(str::to_lowercase)
        .collect();
    let library = &house.catalogue;
    let mut hits: Vec<&CoinType> = library
        .types
        .iter()
        .filter(|coin| holds_all(&searchable(coin, library), &wanted))
        .collect();
    hits.sort_by(|a, b| {
        b.common
            .cmp(&a.common)
            .then(a.span.cmp(&b.span))
            .then(a.id.cmp(&b.id))
    });
    let found = hits.len();
    let views: Vec<HitView> = hits
        .into_iter()
        .take(top)
        .map(|coin| HitView {
            id: coin.id.clone(),
            name: coin.name.clone(),
            ruler: coin
                .ruler
                .map_or(String::new(), |r| library.rulers[r].name.clone()),
            denomination: library.denominations[coin.denomination].name.clone(),
            from: coin.span.from,
            to: coin.span.to,
        })
        .collect();
    if json {
        serde_json::to_writer_pretty(&mut *out, &views)?;
        writeln!(out)?;
    } else {
        for hit in &views {
            let of = if hit.ruler.is_empty() {
                String::new()
            } else {
                format!(" of {}", hit.ruler)
            };
            let years = Span {
                from: hit.from,
                to: hit.to,
            }
            .text();
            writeln!(
                out,
                "{:<34} {}{of}: {}, {years}",
                hit.id, hit.denomination, hit.name
            )?;
        }
        writeln!(
            out,
            "{found} type(s) found{}",
            if found > top {
                format!(", {top} shown; see more with --top {found}")
            } else {
                String::new()
            }
        )?;
    }
    Ok(if found == 0 {
        Outcome::NothingFits
    } else {
        Outcome::Answer
    })
}

fn holds_all(text: &str, wanted: &[String]) -> bool {
    wanted.iter().all(|word| text.contains(word.as_str()))
}

/// All words of a type, lower case.
fn searchable(coin: &CoinType, library: &Catalogue) -> String {
    let mut words: Vec<&str> = vec![
        &coin.id,
        &coin.name,
        &library.series[coin.series].name,
        &library.periods[coin.period].name,
    ];
    if let Some(ruler) = coin.ruler {
        words.push(&library.rulers[ruler].name);
        words.extend(library.rulers[ruler].words.iter().map(String::as_str));
    }
    let denomination = &library.denominations[coin.denomination];
    words.push(&denomination.name);
    words.extend(denomination.words.iter().map(String::as_str));
    words.extend(coin.refs.iter().map(String::as_str));
    words.extend(coin.mints.iter().map(|m| library.mints[*m].name.as_str()));
    for face in Catalogue::faces(coin) {
        for motif in face.motifs.iter().flatten() {
            words.push(&library.motifs[*motif].name);
            words.extend(library.motifs[*motif].words.iter().map(String::as_str));
        }
        words.extend(face.inscriptions.iter().flatten().map(|i| {
            library.legends[library.inscriptions[*i].legend]
                .text
                .as_str()
        }));
    }
    words.join("\n").to_lowercase()
}
