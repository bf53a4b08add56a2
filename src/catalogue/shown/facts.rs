//! The library's rows as facts: what is told of each kind of row that coins have.
//!
//! Words facts and prints nothing; never says more than the row and what it names.
//!
//! Invariant: facts of a kind of row come in one order, empty ones among them.

use serde::Serialize;

use crate::catalogue::{Apart, Catalogue, CoinType, Face, Standard};
use crate::find::Span;

/// One fact of a row.
#[derive(Serialize)]
pub struct FactView {
    /// What is told.
    pub what: &'static str,
    /// In words; blank where the library does not say.
    pub is: String,
}

/// A row with its facts.
#[derive(Serialize)]
pub struct ShownView {
    /// What kind of row: type, ruler, motif and the like.
    pub kind: &'static str,
    /// Its id.
    pub id: String,
    /// Its printed name.
    pub name: String,
    /// Its facts.
    pub facts: Vec<FactView>,
}

/// Every row with this id: an id may stand in several kinds of table.
pub fn shown(id: &str, library: &Catalogue) -> Vec<ShownView> {
    let coin = library.type_by_id(id).map(|at| &library.types[at]);
    let coin = coin.map(|coin| row("type", &coin.id, &coin.name, type_facts(coin, library)));
    coin.into_iter()
        .chain(rulers(id, library))
        .chain(denominations(id, library))
        .chain(mints(id, library))
        .chain(motifs(id, library))
        .chain(legends(id, library))
        .collect()
}

/// A row with its facts.
pub(super) fn row(kind: &'static str, id: &str, name: &str, facts: Vec<FactView>) -> ShownView {
    ShownView {
        kind,
        id: id.to_string(),
        name: name.to_string(),
        facts,
    }
}

fn rulers(id: &str, library: &Catalogue) -> impl Iterator<Item = ShownView> {
    let rulers = library.rulers.iter().enumerate();
    rulers
        .filter(move |(_, ruler)| ruler.id == id)
        .map(|(position, ruler)| {
            let types = library.listed().iter();
            let types = types.filter(|t| t.ruler == Some(position)).count();
            let members = ruler.members.iter();
            let facts = vec![
                fact("realm", ruler.realm.clone()),
                fact("in power", spans(&ruler.reigns)),
                fact(
                    "members",
                    list(members.map(|m| library.rulers[*m].name.clone())),
                ),
                fact("also called", list(ruler.words.iter().cloned())),
                fact("types", types.to_string()),
                fact("same as", same_thing(ruler.nomisma.as_ref())),
            ];
            row("ruler", &ruler.id, &ruler.name, facts)
        })
}

fn denominations(id: &str, library: &Catalogue) -> impl Iterator<Item = ShownView> {
    let denominations = library.denominations.iter();
    denominations.filter(move |d| d.id == id).map(|d| {
        let standards = d.standards.iter();
        let mut facts = vec![fact("also called", list(d.words.iter().cloned()))];
        facts.extend(standards.map(|s| fact("standard", standard(s, library))));
        facts.push(fact("same as", same_thing(d.nomisma.as_ref())));
        row("denomination", &d.id, &d.name, facts)
    })
}

fn standard(standard: &Standard, library: &Catalogue) -> String {
    let across = standard.diameter.map_or(String::new(), |(least, most)| {
        format!(", {least}-{most} mm")
    });
    format!(
        "{}: {} g {}{across} ({}; {})",
        standard.span.text(),
        standard.weight,
        library.metals[standard.metal].name,
        standard.standing.name(),
        standard.sources.join(", ")
    )
}

fn mints(id: &str, library: &Catalogue) -> impl Iterator<Item = ShownView> {
    let mints = library.mints.iter().filter(move |m| m.id == id);
    mints.map(|mint| {
        let facts = vec![
            fact("struck", spans(&mint.lives)),
            fact("signs", list(mint.struck.iter().cloned())),
            fact("also called", list(mint.words.iter().cloned())),
            fact("same as", same_thing(mint.nomisma.as_ref())),
        ];
        row("mint", &mint.id, &mint.name, facts)
    })
}

fn motifs(id: &str, library: &Catalogue) -> impl Iterator<Item = ShownView> {
    let motifs = library.motifs.iter().filter(move |m| m.id == id);
    motifs.map(|motif| {
        let facts = vec![
            fact("is a kind of", motif_names(&motif.under, library)),
            fact("shown with", motif_names(&motif.parts, library)),
            fact("people say", list(motif.words.iter().cloned())),
        ];
        row("motif", &motif.id, &motif.name, facts)
    })
}

fn legends(id: &str, library: &Catalogue) -> impl Iterator<Item = ShownView> {
    let legends = library.legends.iter().filter(move |l| l.id == id);
    legends.map(|legend| {
        let reads = legend.reads.clone().unwrap_or_default();
        row(
            "legend",
            &legend.id,
            &legend.text,
            vec![fact("reads", reads)],
        )
    })
}

fn type_facts(coin: &CoinType, library: &Catalogue) -> Vec<FactView> {
    let mut facts = Vec::from(attribution(coin, library));
    facts.extend(make(coin, library));
    facts.extend(face("obverse", &coin.obverse, library));
    facts.extend(face("reverse", &coin.reverse, library));
    facts.extend([
        fact("marks", motif_names(&coin.marks, library)),
        fact("made", coin.made.name().to_string()),
        fact("as a find", coin.common.name().to_string()),
        fact("reference", list(coin.refs.iter().cloned())),
        fact("note", coin.note.clone().unwrap_or_default()),
    ]);
    let apart = |a: &Apart| format!("from {}: {}", library.types[a.from].id, a.by);
    facts.extend(coin.apart.iter().map(|a| fact("apart", apart(a))));
    let sources = coin.sources.iter();
    facts.extend(sources.map(|cited| fact("source", source(cited, library))));
    facts.push(fact("vouched for", coin.standing.name().to_string()));
    facts
}

/// Whose a type is, of what, when and where struck.
fn attribution(coin: &CoinType, library: &Catalogue) -> [FactView; 6] {
    let ruler = coin.ruler.map(|ruler| library.rulers[ruler].name.clone());
    let denomination = &library.denominations[coin.denomination];
    let mints = coin.mints.iter().map(|m| library.mints[*m].name.clone());
    [
        fact("series", library.series[coin.series].name.clone()),
        fact("period", library.periods[coin.period].name.clone()),
        fact("ruler", ruler.unwrap_or_default()),
        fact("denomination", denomination.name.clone()),
        fact("struck", coin.span.text()),
        fact("mints", list(mints)),
    ]
}

/// What a type is made of, its weight and its size.
fn make(coin: &CoinType, library: &Catalogue) -> [FactView; 3] {
    let weights = coin.weights.iter().map(|w| {
        let share = if coin.weights.len() > 1 {
            format!(" ({:.0} in 100)", w.share * 100.0)
        } else {
            String::new()
        };
        format!("{:.3} g{share}", w.grams)
    });
    let across = coin
        .diameter
        .map(|(least, most)| format!("{least}-{most} mm as struck"));
    [
        fact("metal", library.metals[coin.metal].name.clone()),
        fact("weight", list(weights)),
        fact("diameter", across.unwrap_or_default()),
    ]
}

/// What a face shows and reads; a legend once, however many mints spell it.
fn face(name: &'static str, face: &Face, library: &Catalogue) -> [FactView; 2] {
    let borne = face.inscriptions.iter().flatten();
    let mut legends: Vec<usize> = borne.map(|i| library.inscriptions[*i].legend).collect();
    legends.sort_unstable();
    legends.dedup();
    let motifs = face.motifs.as_deref().unwrap_or(&[]);
    let legends = legends.iter().map(|l| library.legends[*l].text.clone());
    [
        fact(name, motif_names(motifs, library)),
        fact("  legend", list(legends)),
    ]
}

/// A source by its title, with the place cited and the key.
pub fn source(cited: &str, library: &Catalogue) -> String {
    let (key, place) = cited
        .split_once(':')
        .map_or((cited, String::new()), |(key, place)| {
            (key, format!(", {place}"))
        });
    let known = library.sources.iter().find(|s| s.id == key);
    let title = known.map_or(key, |s| s.text.as_str());
    format!("{title}{place} [{key}]")
}

/// The address of the same thing in the linked open vocabulary of nomisma.org.
pub fn same_thing(id: Option<&String>) -> String {
    id.map_or_else(String::new, |id| format!("https://nomisma.org/id/{id}"))
}

fn motif_names(motifs: &[usize], library: &Catalogue) -> String {
    list(motifs.iter().map(|m| library.motifs[*m].name.clone()))
}

/// One fact.
pub fn fact(what: &'static str, is: String) -> FactView {
    FactView { what, is }
}

/// Names in one line.
pub(super) fn list(names: impl Iterator<Item = String>) -> String {
    names.collect::<Vec<_>>().join(", ")
}

fn spans(spans: &[Span]) -> String {
    list(spans.iter().map(|span| span.text()))
}
