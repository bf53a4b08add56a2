//! Artefacts as facts: what is told of types, classes and words of form.
//!
//! Words facts and prints nothing; never says more than the row and what it names.
//!
//! Invariant: facts of a kind of row come in one order, empty ones among them.

use super::facts::{FactView, ShownView, fact, list, row, source};
use crate::catalogue::{Apart, ArtefactType, Artefacts, Catalogue, Class, Decoration, Form};

/// Every row of the artefacts with this id: a type, a class or a word of form.
pub fn shown_things(id: &str, artefacts: &Artefacts, library: &Catalogue) -> Vec<ShownView> {
    let moved = library.moved.get(id).map_or(id, String::as_str);
    let mut shown = Vec::new();
    for artefact in artefacts.types.iter().filter(|one| one.id == moved) {
        let facts = type_facts(artefact, artefacts, library);
        shown.push(row("artefact", &artefact.id, &artefact.name, facts));
    }
    for (at, class) in artefacts.classes.iter().enumerate() {
        if class.id == id {
            let facts = class_facts(at, class, artefacts, library);
            shown.push(row("class", &class.id, &class.name, facts));
        }
    }
    for (at, form) in artefacts.forms.iter().enumerate() {
        if form.id == id {
            let facts = form_facts(at, form, artefacts, library);
            shown.push(row("form", &form.id, &form.name, facts));
        }
    }
    shown
}

/// Every id that [`shown_things`] knows.
pub fn thing_ids(artefacts: &Artefacts) -> impl Iterator<Item = &String> {
    let types = artefacts.types.iter().map(|one| &one.id);
    types
        .chain(artefacts.classes.iter().map(|class| &class.id))
        .chain(artefacts.forms.iter().map(|form| &form.id))
}

/// All words of a type, lower case: its own, and those of what it names.
pub(super) fn searchable(
    artefact: &ArtefactType,
    artefacts: &Artefacts,
    library: &Catalogue,
) -> String {
    let class = &artefacts.classes[artefact.class];
    let wider = class.ancestors.iter().map(|at| &artefacts.classes[*at]);
    let mut words: Vec<&str> = vec![
        &artefact.id,
        &artefact.name,
        &artefact.group,
        &artefacts.series[artefact.series].name,
        &artefacts.periods[artefact.period].name,
    ];
    for class in wider.chain([class]) {
        words.push(&class.name);
        words.extend(class.words.iter().map(String::as_str));
    }
    words.extend(artefact.typology.as_deref());
    let texts = artefact.letters.iter().chain(&artefact.refs);
    words.extend(texts.map(String::as_str));
    let metals = artefact.materials.iter();
    words.extend(metals.map(|metal| library.metals[*metal].name.as_str()));
    let forms = [&artefact.outline, &artefact.has, &artefact.may];
    let mut forms: Vec<usize> = forms.into_iter().flatten().copied().collect();
    for shown in &artefact.decoration {
        match shown {
            Decoration::Form(form) => forms.push(*form),
            Decoration::Motif(motif) => {
                words.push(&library.motifs[*motif].name);
                words.extend(library.motifs[*motif].words.iter().map(String::as_str));
            }
        }
    }
    for form in forms {
        words.push(&artefacts.forms[form].name);
        words.extend(artefacts.forms[form].words.iter().map(String::as_str));
    }
    words.join("\n").to_lowercase()
}

fn type_facts(
    artefact: &ArtefactType,
    artefacts: &Artefacts,
    library: &Catalogue,
) -> Vec<FactView> {
    let class = &artefacts.classes[artefact.class];
    let metals = artefact.materials.iter();
    let metals = metals.map(|metal| library.metals[*metal].name.clone());
    let mut facts = vec![
        fact("class", class.name.clone()),
        fact("group", artefact.group.replace('-', " ")),
        fact("series", artefacts.series[artefact.series].name.clone()),
        fact("period", artefacts.periods[artefact.period].name.clone()),
        fact("in use", artefact.span.text()),
        fact("material", metals.collect::<Vec<_>>().join(" or ")),
        fact("made", artefact.made.map_or("", |made| made.name()).into()),
        fact("typology", artefact.typology.clone().unwrap_or_default()),
        fact("whole piece", sizes(artefact)),
        fact("measured", class.along.clone().unwrap_or_default()),
    ];
    facts.extend(form_lists(artefact, artefacts, library));
    let regions = artefact.regions.iter().map(|region| region.name().into());
    facts.extend([
        fact("letters", list(artefact.letters.iter().cloned())),
        fact("as a find", artefact.common.name().to_string()),
        fact("mostly in", list(regions)),
        fact("reference", list(artefact.refs.iter().cloned())),
        fact("note", artefact.note.clone().unwrap_or_default()),
        fact("take care", caution(class, artefacts)),
    ]);
    let apart = |a: &Apart| format!("from {}: {}", artefacts.types[a.from].id, a.by);
    facts.extend(artefact.apart.iter().map(|a| fact("apart", apart(a))));
    facts.extend(vouched(&artefact.sources, artefact.standing, library));
    facts
}

/// What a whole piece shows, list by list.
fn form_lists(
    artefact: &ArtefactType,
    artefacts: &Artefacts,
    library: &Catalogue,
) -> [FactView; 7] {
    let decoration = artefact.decoration.iter().map(|shown| match shown {
        Decoration::Form(form) => artefacts.forms[*form].name.clone(),
        Decoration::Motif(motif) => library.motifs[*motif].name.clone(),
    });
    [
        fact("outline", names(&artefact.outline, artefacts)),
        fact("section", names(&artefact.section, artefacts)),
        fact("has", names(&artefact.has, artefacts)),
        fact("may have", names(&artefact.may, artefacts)),
        fact("lacks", names(&artefact.lacks, artefacts)),
        fact("decoration", list(decoration)),
        fact("survives", names(&artefact.survives, artefacts)),
    ]
}

fn class_facts(
    at: usize,
    class: &Class,
    artefacts: &Artefacts,
    library: &Catalogue,
) -> Vec<FactView> {
    let classes = artefacts.classes.iter();
    let narrower = classes.filter(|other| other.under.contains(&at));
    let wider = class
        .under
        .iter()
        .map(|at| artefacts.classes[*at].name.clone());
    let types = artefacts.types.iter();
    let types = types
        .filter(|artefact| artefacts.is_of(artefact, at))
        .count();
    let sizes = class.sizes.iter().map(|dimension| dimension.name().into());
    let mut facts = vec![
        fact("is a kind of", list(wider)),
        fact("kinds", list(narrower.map(|other| other.id.clone()))),
        fact("people say", list(class.words.iter().cloned())),
        fact("parts", names(&class.parts, artefacts)),
        fact("measured by", list(sizes)),
        fact("measured", class.along.clone().unwrap_or_default()),
        fact("types", types.to_string()),
        fact("take care", caution(class, artefacts)),
    ];
    facts.extend(vouched(&class.sources, class.standing, library));
    facts
}

fn form_facts(at: usize, form: &Form, artefacts: &Artefacts, library: &Catalogue) -> Vec<FactView> {
    let narrower = artefacts.forms.iter();
    let narrower = narrower.filter(|other| other.under.contains(&at));
    let types = artefacts.types.iter();
    let types = types.filter(|one| {
        let lists = [&one.outline, &one.section, &one.has, &one.may];
        let shown = one.decoration.contains(&Decoration::Form(at));
        shown || lists.iter().any(|list| list.contains(&at))
    });
    let mut facts = vec![
        fact("facet", form.facet.name().to_string()),
        fact("a feature of", names(&form.of, artefacts)),
        fact("is a kind of", names(&form.under, artefacts)),
        fact("kinds", list(narrower.map(|other| other.name.clone()))),
        fact("people say", list(form.words.iter().cloned())),
        fact("types", types.count().to_string()),
    ];
    facts.extend(vouched(&form.sources, form.standing, library));
    facts
}

/// What the finder is told of a class, or of the nearest wider one that has something to tell.
fn caution(class: &Class, artefacts: &Artefacts) -> String {
    let wider = class.ancestors.iter().map(|at| &artefacts.classes[*at]);
    let told = [class].into_iter().chain(wider);
    let caution = told.filter_map(|class| class.caution).next();
    caution.map_or("", |caution| caution.advice()).to_string()
}

fn vouched(
    sources: &[String],
    standing: crate::catalogue::Standing,
    library: &Catalogue,
) -> Vec<FactView> {
    let cited = sources.iter();
    let mut facts: Vec<FactView> = cited
        .map(|cited| fact("source", source(cited, library)))
        .collect();
    facts.push(fact("vouched for", standing.name().to_string()));
    facts
}

/// Usual sizes and weight of a whole piece.
fn sizes(artefact: &ArtefactType) -> String {
    let given = artefact.sizes.given();
    let sizes =
        given.map(|(dimension, (least, most))| format!("{} {least}-{most} mm", dimension.name()));
    let weight = artefact
        .weight
        .map(|(least, most)| format!("{least}-{most} g"));
    list(sizes.chain(weight))
}

fn names(forms: &[usize], artefacts: &Artefacts) -> String {
    list(forms.iter().map(|form| artefacts.forms[*form].name.clone()))
}
