//! Rule `classes`: classes of artefacts are whole, and types lie in the folder of theirs.
//!
//! Demands that the parts of a class are forms of facet `part`; that no word is said of two
//! classes; that a series file lies at `artefacts/<class>/<series>.toml`; and that the class
//! of a type is the folder's, or lies under it.
//!
//! Why: a finder begins with a class, by the word used for it, and whoever adds a type looks
//! for its neighbours in one folder.
//!
//! To mend: name a part; leave the word with one class; move the file or the type.

use std::collections::HashMap;

use super::super::artefacts::Facet;
use super::super::fault::Fault;
use super::{Library, plain, row_fault};

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut said: HashMap<String, &str> = HashMap::new();
    for row in &library.things.classes {
        for id in &row.fields.parts {
            let form = library.artefacts.form_by_id(id);
            let facet = form.map(|form| library.artefacts.forms[form].facet);
            if let Some(facet) = facet.filter(|facet| *facet != Facet::Part) {
                let what = format!("`{id}` is a form of facet {}, no part", facet.name());
                let mend = "name forms of facet part";
                faults.push(row_fault("classes", row, "parts", what, mend));
            }
        }
        for word in row.fields.words.iter().chain([&row.fields.name]) {
            let other = *said.entry(plain(word)).or_insert(&row.id);
            if other != row.id {
                let what = format!("\"{word}\" is said of the class `{other}` too");
                let mend = "leave it with one of the two";
                faults.push(row_fault("classes", row, "words", what, mend));
            }
        }
    }
    folders(library, &mut faults);
    faults
}

fn folders(library: &Library<'_>, faults: &mut Vec<Fault>) {
    let classes = &library.artefacts.classes;
    let places = classes.iter().enumerate();
    let places: HashMap<&str, usize> = places.map(|(at, class)| (class.id.as_str(), at)).collect();
    let folder = |file: &str| {
        let parts: Vec<&str> = file.split('/').collect();
        let named = (parts.len() == 3).then(|| places.get(parts[1]).copied());
        named.flatten()
    };
    for series in &library.things.series {
        if folder(&series.file).is_none() {
            let what = "the file lies in no folder of a class";
            let mend = "move it to artefacts/CLASS/SERIES.toml, CLASS being an id of classes.toml";
            faults.push(Fault::at("classes", &series.file, "", "", what, mend));
        }
    }
    for piece in &library.pieces {
        let class = piece.whole.class.as_deref();
        let class = class.and_then(|id| places.get(id).copied());
        let (Some(class), Some(folder)) = (class, folder(piece.file)) else {
            continue;
        };
        if class != folder && !classes[class].ancestors.contains(&folder) {
            let (class, folder) = (&classes[class].id, &classes[folder].id);
            let what = format!("the class `{class}` does not lie under the folder's, `{folder}`");
            let mend = "move the type to a file in the folder of its class or a wider one";
            faults.push(piece.fault("classes", "class", what, mend));
        }
    }
}
