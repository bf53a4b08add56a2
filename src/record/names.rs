//! The fields of a record in the customary order: names, labels, and how a table heads them.
//!
//! The order is common practice without one source; Nomisma's property names stand beside it in
//! the linked-data form. Holds no value.
//!
//! Invariant: names are unique within a kind, and [`all`] hands out every name once.

use super::draft::Kind;

/// A field's name and its label.
pub type Name = (&'static str, &'static str);

/// Where and how it was found: the end of every record.
const FOUND: [Name; 16] = [
    ("finder_opinion", "Finder's own opinion"),
    ("found_with", "Found with"),
    ("group", "Group"),
    ("method", "Method of discovery"),
    ("date_found", "Date found"),
    ("finder", "Finder"),
    ("landowner", "Landowner"),
    ("consent", "Landowner's consent"),
    ("landuse", "Land use"),
    ("findspot", "Findspot"),
    ("findspot_precision", "Findspot stated to"),
    ("region", "Region"),
    ("depth", "Depth"),
    ("notes", "Notes"),
    ("not_used", "Said and not used"),
    ("decided_by", "Identification decided by"),
];

const COIN: [Name; 34] = [
    ("number", "Number"),
    ("object_type", "Object type"),
    ("completeness", "Completeness"),
    ("material", "Material"),
    ("manufacture", "Manufacture"),
    ("ruler", "Ruler or issuer"),
    ("denomination", "Denomination"),
    ("mint", "Mint"),
    ("moneyer", "Moneyer"),
    ("period", "Period"),
    ("date", "Date of issue"),
    ("date_on_piece", "Date on the piece"),
    ("reference", "Class or type"),
    ("published", "Published as"),
    ("obverse_description", "Obverse"),
    ("obverse_terms", "Obverse, terms"),
    ("obverse_type", "Obverse of the type"),
    ("obverse_legend", "Obverse legend"),
    ("obverse_legend_restored", "Obverse legend, restored"),
    ("reverse_description", "Reverse"),
    ("reverse_terms", "Reverse, terms"),
    ("reverse_type", "Reverse of the type"),
    ("reverse_legend", "Reverse legend"),
    ("reverse_legend_restored", "Reverse legend, restored"),
    ("description", "Design, side not known"),
    ("terms", "Design, terms"),
    ("legend", "Legend, side not known"),
    ("die_axis", "Die axis"),
    ("wear", "Wear"),
    ("corrosion", "Corrosion"),
    ("treatment", "Secondary treatment"),
    ("diameter", "Diameter"),
    ("thickness", "Thickness"),
    ("weight", "Weight"),
];

const ARTEFACT: [Name; 40] = [
    ("number", "Number"),
    ("object_type", "Object type"),
    ("completeness", "Completeness"),
    ("material", "Material"),
    ("manufacture", "Manufacture"),
    ("class", "Class, by its traits"),
    ("reference", "Type, by its traits"),
    ("typology", "Typology of"),
    ("published", "Published as"),
    ("period", "Period"),
    ("date", "Date"),
    ("date_on_piece", "Date on the piece"),
    ("shape", "Shape, view by view"),
    ("features", "Parts and forms"),
    ("obverse_description", "Front"),
    ("obverse_terms", "Front, terms"),
    ("reverse_description", "Back"),
    ("reverse_terms", "Back, terms"),
    ("description", "Design"),
    ("terms", "Design, terms"),
    ("decoration", "Decoration"),
    ("obverse_legend", "Inscription, front"),
    ("reverse_legend", "Inscription, back"),
    ("legend", "Inscription"),
    ("attachment", "Attachment or fixing"),
    ("damage", "Damage"),
    ("surface", "Surface"),
    ("wear", "Wear"),
    ("corrosion", "Corrosion"),
    ("treatment", "Secondary treatment"),
    ("length", "Length"),
    ("width", "Width"),
    ("height", "Height"),
    ("thickness", "Thickness"),
    ("diameter", "Diameter"),
    ("weight", "Weight"),
    ("die_axis", "Axis of the faces"),
    ("parallels", "Parallels"),
    ("interpretation", "Interpretation"),
    ("images", "Images"),
];

/// Common practice of the reports of hoards, no single source.
const GROUP: [Name; 13] = [
    ("number", "Number"),
    ("object_type", "Object type"),
    ("count", "Pieces"),
    ("kinds", "By kind"),
    ("container", "Container"),
    ("material", "Material"),
    ("period", "Period"),
    ("rulers", "Rulers or issuers"),
    ("denominations", "Denominations"),
    ("date", "Span of its pieces"),
    ("closed", "Not closed before"),
    ("pieces", "The pieces"),
    ("weighed", "Weighed"),
];

/// How a group lay, before where it was found.
const LAY: Name = ("lay", "How the pieces lay");

/// The images of a coin stand last of all.
const IMAGES: Name = ("images", "Images");

/// The fields of a kind in their order.
pub fn of(kind: Kind) -> Vec<Name> {
    let own: &[Name] = match kind {
        Kind::Coin => &COIN,
        Kind::Artefact => &ARTEFACT,
        Kind::Group => &GROUP,
    };
    let mut names: Vec<Name> = own
        .iter()
        .copied()
        .filter(|name| *name != IMAGES)
        .chain((kind == Kind::Group).then_some(LAY))
        .chain(FOUND)
        .collect();
    names.push(IMAGES);
    names
}

/// Every field of every kind, those of a coin first, each once; for tables that hold them all.
pub fn all() -> Vec<&'static str> {
    let mut all: Vec<&str> = Vec::new();
    let kinds = [Kind::Coin, Kind::Artefact, Kind::Group];
    for (name, _) in kinds.into_iter().flat_map(of) {
        if !all.contains(&name) {
            all.push(name);
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_unique_and_fit_for_a_template() {
        for kind in [Kind::Coin, Kind::Artefact, Kind::Group] {
            let names = of(kind);
            for (at, (name, label)) in names.iter().enumerate() {
                assert!(!label.is_empty());
                assert!(name.chars().all(|c| c.is_ascii_lowercase() || c == '_'));
                assert!(names[..at].iter().all(|(other, _)| other != name), "{name}");
            }
            assert_eq!(names.last(), Some(&IMAGES));
        }
    }
}
