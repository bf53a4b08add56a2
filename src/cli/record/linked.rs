//! Drafts as JSON-LD: Nomisma's properties and open ids, with a context that needs no network.
//!
//! A property of Nomisma's is written for what was measured, read, seen or told, and for what is
//! inferred at least "probably"; every filled field stands beside with what it rests on. Names of
//! Nomisma's properties are those of its ontology of 22 October 2025.
//!
//! Invariant: a place is named by the middle of its square, with the side of the square beside it.

use serde_json::{Map, Value, json};

use super::view::position;
use crate::findspot::Findspot;
use crate::record::{Draft, Field, Standing};

/// Chance from which what is inferred is written as a property.
const SURE: f64 = 0.80;

/// Fields and the property that each of them is.
const PROPERTIES: [(&str, &str); 11] = [
    ("object_type", "nmo:hasObjectType"),
    ("material", "nmo:hasMaterial"),
    ("manufacture", "nmo:hasManufacture"),
    ("denomination", "nmo:hasDenomination"),
    ("ruler", "nmo:hasAuthority"),
    ("mint", "nmo:hasMint"),
    ("wear", "nmo:hasWear"),
    ("corrosion", "nmo:hasCorrosion"),
    ("treatment", "nmo:hasSecondaryTreatment"),
    ("period", "dcterms:temporal"),
    ("notes", "dcterms:description"),
];

/// Measures and the property that each of them is. `hasDepth` is Nomisma's word for thickness.
const MEASURES: [(&str, &str); 4] = [
    ("weight", "nmo:hasWeight"),
    ("diameter", "nmo:hasMaxDiameter"),
    ("thickness", "nmo:hasDepth"),
    ("die_axis", "nmo:hasAxis"),
];

/// Drafts as one JSON-LD document.
pub(super) fn json_ld(drafts: &[Draft]) -> Value {
    let nodes = drafts.iter().enumerate();
    let nodes: Vec<Value> = nodes.map(|(at, draft)| node(draft, at + 1)).collect();
    json!({ "@context": context(), "@graph": nodes })
}

fn context() -> Value {
    json!({
        "nmo": "http://nomisma.org/ontology#",
        "dcterms": "http://purl.org/dc/terms/",
        "geo": "http://www.w3.org/2003/01/geo/wgs84_pos#",
        "xsd": "http://www.w3.org/2001/XMLSchema#",
        "rec": "urn:x-lynchet:record#",
    })
}

/// True for what is written as a property.
fn is_stated(field: &Field) -> bool {
    match field.standing {
        Standing::Inferred(chance) => chance >= SURE,
        Standing::Open | Standing::Blank => false,
        _ => true,
    }
}

fn node(draft: &Draft, at: usize) -> Value {
    let mut node = Map::new();
    node.insert("@id".into(), format!("_:find{at}").into());
    let class = match draft.kind {
        crate::record::Kind::Coin => "nmo:NumismaticObject",
        crate::record::Kind::Artefact => "rec:Artefact",
        // That it is a hoard is for others to say.
        crate::record::Kind::Group => "rec:Group",
    };
    node.insert("@type".into(), class.into());
    let stated = |name: &str| draft.field(name).filter(|field| is_stated(field));
    if let Some(number) = stated("number") {
        node.insert("dcterms:identifier".into(), number.value.as_str().into());
    }
    for (name, property) in PROPERTIES {
        if let Some(field) = stated(name) {
            node.insert(property.into(), concept(field));
        }
    }
    for (name, property) in MEASURES {
        if let Some(quantity) = stated(name).and_then(|field| field.quantity) {
            let kind = if name == "die_axis" {
                "xsd:integer"
            } else {
                "xsd:decimal"
            };
            node.insert(property.into(), typed(&quantity.value.to_string(), kind));
        }
    }
    if let (Some(years), Some(_)) = (draft.years, stated("date")) {
        node.insert(
            "nmo:hasStartDate".into(),
            typed(&year(years.from), "xsd:gYear"),
        );
        node.insert("nmo:hasEndDate".into(), typed(&year(years.to), "xsd:gYear"));
    }
    for (side, property) in [("obverse", "nmo:hasObverse"), ("reverse", "nmo:hasReverse")] {
        if let Some(face) = face(draft, side) {
            node.insert(property.into(), face);
        }
    }
    if let Some(spot) = draft.findspot {
        node.insert("nmo:hasFindspot".into(), place(spot));
    }
    node.insert("rec:sentence".into(), draft.sentence.as_str().into());
    let fields = draft.fields.iter().filter(|field| !field.is_blank());
    node.insert("rec:field".into(), fields.map(beside).collect());
    let notes = draft.notes.iter().map(|note| Value::from(note.as_str()));
    node.insert("rec:note".into(), notes.collect());
    Value::Object(node)
}

/// A year as XML Schema writes it: four figures at least, BC with a minus, as the calendar counts.
fn year(year: i32) -> String {
    let minus = if year < 0 { "-" } else { "" };
    format!("{minus}{:04}", year.abs())
}

fn typed(value: &str, kind: &str) -> Value {
    json!({ "@value": value, "@type": kind })
}

/// What a field means by its ids, or in words where it has none.
fn concept(field: &Field) -> Value {
    if field.ids.is_empty() {
        return field.value.as_str().into();
    }
    let ids = field.ids.iter().map(|id| json!({ "@id": id }));
    ids.collect()
}

fn face(draft: &Draft, side: &str) -> Option<Value> {
    let mut face = Map::new();
    let properties = [
        ("legend", "nmo:hasLegend"),
        ("description", "nmo:hasIconography"),
    ];
    for (what, property) in properties {
        let field = draft.field(&format!("{side}_{what}"));
        if let Some(field) = field.filter(|field| is_stated(field)) {
            face.insert(property.into(), field.value.as_str().into());
        }
    }
    (!face.is_empty()).then_some(Value::Object(face))
}

fn place(spot: Findspot) -> Value {
    let (latitude, longitude, within) = position(spot);
    json!({
        "@type": "geo:Point",
        "geo:lat": typed(&latitude.to_string(), "xsd:decimal"),
        "geo:long": typed(&longitude.to_string(), "xsd:decimal"),
        "rec:gridReference": spot.square.to_string(),
        "rec:squareSideInMetres": typed(&spot.square.side().metres().to_string(), "xsd:integer"),
        "rec:withinMetres": typed(&within.to_string(), "xsd:decimal"),
    })
}

/// A field with what it rests on.
fn beside(field: &Field) -> Value {
    let mut beside = Map::new();
    beside.insert("rec:name".into(), field.name.into());
    beside.insert("rec:label".into(), field.label.into());
    beside.insert("rec:value".into(), field.value.as_str().into());
    beside.insert("rec:standing".into(), field.standing.word().into());
    match &field.standing {
        Standing::Inferred(chance) => {
            let chance = typed(&format!("{chance:.4}"), "xsd:decimal");
            beside.insert("rec:chance".into(), chance);
            beside.insert("rec:sureness".into(), field.standing.text().into());
        }
        Standing::Told(Some(by)) => {
            beside.insert("rec:toldBy".into(), by.as_str().into());
        }
        _ => {}
    }
    if !field.ids.is_empty() {
        let ids = field.ids.iter().map(|id| json!({ "@id": id }));
        beside.insert("rec:means".into(), ids.collect());
    }
    Value::Object(beside)
}
