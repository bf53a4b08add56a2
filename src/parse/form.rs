//! Fields: flags of the command line, a form, a row of a table.
//!
//! Each field is understood by itself and the finds are laid together. A figure
//! without a unit is in grams or millimetres. Free words go to `words`.
//!
//! Invariant: the value of a field touches no trait but those its name promises,
//! save a date that stands in a legend.

use super::lexicon::Lexicon;
use super::meaning::Scope;
use super::merge::merge;
use super::remark::{Remark, RemarkKind, clean};
use super::rings::ring_by_ring;
use super::words::{axis_of, field_words, legend_and_date, words};
use super::{measures, numbers, places, units};
use crate::find::{Completeness, Corrosion, Find, Side, Wear, Year};

/// A trait that can be given by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Field {
    /// The finder's own number or name.
    Id,
    /// Metal as it looks.
    Metal,
    /// Weight, grams.
    Weight,
    /// Diameter, millimetres.
    Diameter,
    /// Thickness, millimetres.
    Thickness,
    /// Die axis, hours.
    DieAxis,
    /// How much is there.
    Completeness,
    /// How worn.
    Wear,
    /// How corroded.
    Corrosion,
    /// How it was made.
    Making,
    /// What was done to it later.
    Treatment,
    /// Letters on the front.
    ObverseLegend,
    /// Letters on the back.
    ReverseLegend,
    /// Letters on a side that is not known.
    Legend,
    /// Figures on the front.
    ObverseMotif,
    /// Figures on the back.
    ReverseMotif,
    /// Figures on a side that is not known.
    Motif,
    /// What was looked for in vain.
    Absent,
    /// A year that stands on the piece.
    DateOnPiece,
    /// What the finder thinks it is.
    Opinion,
    /// County or region it was found in.
    Region,
    /// What lay with it.
    FoundWith,
    /// Free words.
    Words,
}

impl Field {
    /// Every field, in the order of the guide.
    pub const ALL: [Field; 23] = [
        Field::Id,
        Field::Metal,
        Field::Weight,
        Field::Diameter,
        Field::Thickness,
        Field::DieAxis,
        Field::Completeness,
        Field::Wear,
        Field::Corrosion,
        Field::Making,
        Field::Treatment,
        Field::ObverseLegend,
        Field::ReverseLegend,
        Field::Legend,
        Field::ObverseMotif,
        Field::ReverseMotif,
        Field::Motif,
        Field::Absent,
        Field::DateOnPiece,
        Field::Opinion,
        Field::Region,
        Field::FoundWith,
        Field::Words,
    ];

    /// Name of the flag and of the form's field.
    pub fn name(self) -> &'static str {
        match self {
            Field::Id => "id",
            Field::Metal => "metal",
            Field::Weight => "weight",
            Field::Diameter => "diameter",
            Field::Thickness => "thickness",
            Field::DieAxis => "die-axis",
            Field::Completeness => "completeness",
            Field::Wear => "wear",
            Field::Corrosion => "corrosion",
            Field::Making => "making",
            Field::Treatment => "treatment",
            Field::ObverseLegend => "obverse-legend",
            Field::ReverseLegend => "reverse-legend",
            Field::Legend => "legend",
            Field::ObverseMotif => "obverse-motif",
            Field::ReverseMotif => "reverse-motif",
            Field::Motif => "motif",
            Field::Absent => "absent",
            Field::DateOnPiece => "date-on-piece",
            Field::Opinion => "opinion",
            Field::Region => "region",
            Field::FoundWith => "found-with",
            Field::Words => "words",
        }
    }

    /// Every trait of a find: all fields but its number and the free words.
    pub fn traits() -> impl Iterator<Item = Field> + Clone {
        let beside = [Field::Id, Field::Words];
        Field::ALL
            .into_iter()
            .filter(move |field| !beside.contains(field))
    }

    /// The field a table's column holds, whatever its case; a mark of byte order is passed over.
    pub fn column(name: &str) -> Option<Field> {
        let name = name.trim_start_matches('\u{feff}').trim().to_lowercase();
        let name = name.replace([' ', '_'], "-").replace(['(', ')'], "");
        let field = match name.trim_matches('-') {
            "weight-g" | "weight-grams" | "wt" => Field::Weight,
            "diameter-mm" | "diam" => Field::Diameter,
            "thickness-mm" => Field::Thickness,
            "axis" | "die-axis-h" => Field::DieAxis,
            "material" => Field::Metal,
            "treatments" => Field::Treatment,
            "obverse-inscription" => Field::ObverseLegend,
            "reverse-inscription" => Field::ReverseLegend,
            "inscription" => Field::Legend,
            "obverse-description" => Field::ObverseMotif,
            "reverse-description" => Field::ReverseMotif,
            "description" => Field::Words,
            "county" => Field::Region,
            other => return Field::ALL.into_iter().find(|field| field.name() == other),
        };
        Some(field)
    }
}

/// Understands fields; a field left blank says nothing.
pub fn form(fields: &[(Field, String)], lexicon: &Lexicon) -> (Find, Vec<Remark>) {
    let mut find = Find::default();
    let mut remarks = Vec::new();
    for (field, value) in fields {
        if value.trim().is_empty() {
            continue;
        }
        let (more, told) = one_field(*field, value, lexicon);
        let (merged, clashes) = merge(find, more);
        find = merged;
        remarks.extend(told);
        remarks.extend(clashes);
    }
    (find, remarks)
}

fn one_field(field: Field, value: &str, lexicon: &Lexicon) -> (Find, Vec<Remark>) {
    let scoped = |scope, side| field_words(value, lexicon, field, scope, side);
    match field {
        Field::Id => id(value),
        Field::Words => words(value, lexicon),
        Field::Metal => scoped(Scope::Metals, Side::Unknown),
        Field::Making => scoped(Scope::Making, Side::Unknown),
        Field::Treatment => scoped(Scope::Treatments, Side::Unknown),
        Field::Opinion => scoped(Scope::Opinions, Side::Unknown),
        Field::Absent => scoped(Scope::Absent, Side::Unknown),
        Field::Motif => scoped(Scope::Motifs, Side::Unknown),
        Field::ObverseMotif => scoped(Scope::Motifs, Side::Obverse),
        Field::ReverseMotif => scoped(Scope::Motifs, Side::Reverse),
        Field::Legend => legends(field, value, Side::Unknown),
        Field::ObverseLegend => legends(field, value, Side::Obverse),
        Field::ReverseLegend => legends(field, value, Side::Reverse),
        Field::Completeness => match left(value) {
            Some(left) => (
                Find {
                    completeness: Some(left),
                    ..Find::default()
                },
                Vec::new(),
            ),
            None => scoped(Scope::Left, Side::Unknown),
        },
        Field::Wear => match wear(value) {
            Some(wear) => (
                Find {
                    wear: Some(wear),
                    ..Find::default()
                },
                Vec::new(),
            ),
            None => scoped(Scope::Wear, Side::Unknown),
        },
        Field::Corrosion => match corrosion(value) {
            Some(step) => (
                Find {
                    corrosion: Some(step),
                    ..Find::default()
                },
                Vec::new(),
            ),
            None => scoped(Scope::Corrosion, Side::Unknown),
        },
        Field::Weight | Field::Diameter | Field::Thickness => measured(field, value),
        Field::DieAxis => die_axis(value),
        Field::DateOnPiece => date(value),
        Field::Region => places::region(value),
        Field::FoundWith => places::company(value, lexicon),
    }
}

fn id(value: &str) -> (Find, Vec<Remark>) {
    let (text, remarks) = clean(value, Field::Id.name());
    let find = Find {
        id: Some(text.trim().to_string()).filter(|id| !id.is_empty()),
        ..Find::default()
    };
    (find, remarks)
}

/// Several readings may stand in one field, with a semicolon between them, or with a spaced stroke
/// between two long ones.
fn legends(field: Field, value: &str, side: Side) -> (Find, Vec<Remark>) {
    let mut find = Find::default();
    let mut remarks = Vec::new();
    let value = ring_by_ring(value);
    let mut rest = value.as_str();
    // No coin bears more legends than this on a side; the last takes all that is left.
    for _ in 0..16 {
        let (piece, more) = rest.split_once(';').unwrap_or((rest, ""));
        let (found, told) =
            legend_and_date(piece.trim().trim_matches('"'), side, field.name(), false);
        let (merged, clashes) = merge(find, found);
        find = merged;
        remarks.extend(told);
        remarks.extend(clashes);
        rest = more;
    }
    if !rest.trim().is_empty() {
        let what = "is more than one piece bears, so it was not read";
        remarks.push(Remark::new(
            RemarkKind::Ignored,
            field.name(),
            rest,
            what,
            "give one legend a side",
        ));
    }
    (find, remarks)
}

fn measured(field: Field, value: &str) -> (Find, Vec<Remark>) {
    let (text, mut remarks) = clean(value, field.name());
    let said = text.trim();
    let mend = if field == Field::Weight {
        "write it as 1.2 g"
    } else {
        "write it as 17 mm"
    };
    let mut find = Find::default();
    let Some(quantity) = units::quantity(said, 0) else {
        let what = "is not understood as a measure";
        remarks.push(Remark::new(
            RemarkKind::NotUnderstood,
            field.name(),
            said,
            what,
            mend,
        ));
        return (find, remarks);
    };
    let told = match field {
        Field::Weight => {
            let (weight, told) = measures::weight(&quantity, said);
            find.weight = weight;
            told
        }
        _ => {
            let (size, told) = measures::length(&quantity, said, field);
            if field == Field::Diameter {
                find.diameter = size;
            } else {
                find.thickness = size;
            }
            told
        }
    };
    remarks.extend(told);
    let rest = said[quantity.end..].trim_matches(|c: char| !c.is_alphanumeric());
    let label = [
        "thick",
        "across",
        "wide",
        "in diameter",
        "diameter",
        "heavy",
    ]
    .contains(&rest.to_lowercase().as_str());
    if !rest.is_empty() && !label {
        remarks.push(Remark::new(
            RemarkKind::NotUnderstood,
            field.name(),
            rest,
            "was not used",
            mend,
        ));
    }
    (find, remarks)
}

fn die_axis(value: &str) -> (Find, Vec<Remark>) {
    let (text, mut remarks) = clean(value, Field::DieAxis.name());
    let said = text.trim().to_string();
    let lower = said.to_lowercase();
    let (axis, told) = match lower.as_str() {
        "↑↓" | "inverted" | "upside down" | "coin" | "coin alignment" => axis_of(6.0, &said),
        "↑↑" | "upright" | "medal" | "medal alignment" => axis_of(12.0, &said),
        _ => match numbers::axis(&lower, 0, true) {
            Some((hour, end)) if lower[end..].chars().all(|c| !c.is_alphanumeric()) => {
                axis_of(hour, &said)
            }
            _ => {
                let what = "is not understood as a clock hour";
                let remark = Remark::new(
                    RemarkKind::NotUnderstood,
                    Field::DieAxis.name(),
                    &said,
                    what,
                    "write it as 6",
                );
                (None, vec![remark])
            }
        },
    };
    remarks.extend(told);
    (
        Find {
            die_axis: axis,
            ..Find::default()
        },
        remarks,
    )
}

fn date(value: &str) -> (Find, Vec<Remark>) {
    let name = Field::DateOnPiece.name();
    let (text, mut remarks) = clean(value, name);
    let said = text.trim();
    let lower = said.to_lowercase();
    let bare = lower
        .trim_start_matches("ad")
        .trim_start_matches("dated")
        .trim();
    let figures = !bare.is_empty() && bare.len() <= 4 && bare.chars().all(|c| c.is_ascii_digit());
    let year: Option<Year> = if figures {
        bare.parse().ok()
    } else {
        roman(&said.to_uppercase())
    };
    match year.filter(|year| (1..=2100).contains(year)) {
        Some(year) => {
            if !figures {
                let what = format!("is taken as the year {year}");
                remarks.push(Remark::new(RemarkKind::Assumed, name, said, what, ""));
            }
            (
                Find {
                    date_on_piece: Some(year),
                    ..Find::default()
                },
                remarks,
            )
        }
        None => {
            let what = "is not understood as a year on the piece";
            remarks.push(Remark::new(
                RemarkKind::NotUnderstood,
                name,
                said,
                what,
                "write it as 1696",
            ));
            (Find::default(), remarks)
        }
    }
}

/// A year in Roman numerals, of three letters at least.
fn roman(text: &str) -> Option<Year> {
    let value = |c: char| {
        "IVXLCDM"
            .find(c)
            .map(|at| [1, 5, 10, 50, 100, 500, 1000][at])
    };
    let values: Vec<Year> = text.chars().map(value).collect::<Option<Vec<Year>>>()?;
    if !(3..=16).contains(&values.len()) {
        return None;
    }
    let next = values.iter().skip(1).chain(std::iter::once(&0));
    Some(
        values
            .iter()
            .zip(next)
            .map(|(one, next)| if one < next { -one } else { *one })
            .sum(),
    )
}

fn left(value: &str) -> Option<Completeness> {
    let all = [
        Completeness::Whole,
        Completeness::Chipped,
        Completeness::Half,
        Completeness::Quarter,
        Completeness::Fragment,
    ];
    let said = value.trim().to_lowercase();
    all.into_iter().find(|left| left.name() == said)
}

/// A step by its word, by its number, by the letters of the coin-report guide (UW, SW, W, VW,
/// EW) or as the published scale writes it ("W-A 3").
fn wear(value: &str) -> Option<Wear> {
    let steps = [
        (Wear::Little, "little", "1", "uw"),
        (Wear::Light, "light", "2", "sw"),
        (Wear::Worn, "worn", "3", "w"),
        (Wear::Heavy, "heavy", "4", "vw"),
        (Wear::Extreme, "extreme", "5", "ew"),
    ];
    let said = step_said(value, "wa");
    let found = |(wear, word, step, code): &(Wear, &str, &str, &str)| {
        [*word, *step, *code].contains(&said.as_str()) || plain(wear.name()) == said
    };
    steps.into_iter().find(found).map(|step| step.0)
}

/// A step by its word, by its number or as the published scale writes it ("C 3").
fn corrosion(value: &str) -> Option<Corrosion> {
    let steps = [
        (Corrosion::Little, "little", "1"),
        (Corrosion::Light, "light", "2"),
        (Corrosion::Corroded, "corroded", "3"),
        (Corrosion::Heavy, "heavy", "4"),
        (Corrosion::Extreme, "extreme", "5"),
    ];
    let said = step_said(value, "c");
    let found = |(degree, word, step): &(Corrosion, &str, &str)| {
        [*word, *step].contains(&said.as_str()) || plain(degree.name()) == said
    };
    steps.into_iter().find(found).map(|step| step.0)
}

/// Lower case, letters and figures only.
fn plain(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}

/// What was said of a step, without the letters that the published scale puts before its number.
fn step_said(value: &str, scale: &str) -> String {
    let said = plain(value);
    match said.strip_prefix(scale) {
        Some(step) if step.len() == 1 && step.chars().all(|c| c.is_ascii_digit()) => {
            step.to_string()
        }
        _ => said,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::find::{Making, MetalSeen, Treatment};
    use crate::parse::kit;

    fn read(field: Field, value: &str) -> (Find, Vec<Remark>) {
        form(
            &[(field, value.to_string())],
            &Lexicon::new(&kit::catalogue()),
        )
    }

    fn motifs(field: Field, value: &str) -> (Vec<String>, Vec<String>) {
        let (find, remarks) = read(field, value);
        let sign = |present: bool| if present { "" } else { "-" };
        let seen = find
            .sightings
            .iter()
            .map(|s| format!("{}{}", sign(s.present), s.motif));
        (
            seen.collect(),
            remarks.into_iter().map(|remark| remark.said).collect(),
        )
    }

    #[test]
    fn the_words_of_a_face_are_of_that_face_in_order_and_each_once() {
        let lexicon = Lexicon::new(&kit::catalogue());
        let fields = [
            (Field::ReverseMotif, "Long CROSS, knobbly ends, no star"),
            (Field::ObverseMotif, "jewelled bust; bust"),
            (Field::Absent, "annulet"),
        ];
        let fields = fields.map(|(field, text)| (field, text.to_string()));
        let show = |one: &crate::find::SeenWord| format!("{} {}", one.side.name(), one.word);
        let words = |fields: &[(Field, String)]| -> Vec<String> {
            let (find, _) = form(fields, &lexicon);
            find.seen_words.iter().map(show).collect()
        };
        let heard = words(&fields);
        assert_eq!(heard[..2], ["obverse bust", "obverse jewelled"]);
        assert!(heard.contains(&"reverse knobbly".to_string()), "{heard:?}");
        assert!(
            !heard
                .iter()
                .any(|word| word.ends_with(" star") || word.ends_with(" annulet"))
        );
        let turned: Vec<(Field, String)> = fields.iter().rev().cloned().collect();
        assert_eq!(words(&turned), heard);
    }

    #[test]
    fn columns_are_known_whatever_their_case() {
        for (name, field) in [
            ("\u{feff}ID", Field::Id),
            ("weight_g", Field::Weight),
            ("Weight (g)", Field::Weight),
            ("diameter_mm", Field::Diameter),
            ("die_axis", Field::DieAxis),
            ("obverse_legend", Field::ObverseLegend),
            ("Reverse Motif", Field::ReverseMotif),
            ("date_on_piece", Field::DateOnPiece),
        ] {
            assert_eq!(Field::column(name), Some(field), "{name}");
        }
        assert_eq!(Field::column("licence"), None);
        for field in Field::ALL {
            assert_eq!(Field::column(field.name()), Some(field));
        }
    }

    #[test]
    fn a_field_that_cannot_be_is_named_and_left_unsaid() {
        for (field, value, kind) in [
            (Field::Weight, "-3", RemarkKind::Impossible),
            (Field::Weight, "0", RemarkKind::Impossible),
            (Field::Weight, "NaN", RemarkKind::NotUnderstood),
            (Field::Weight, "1e9", RemarkKind::NotUnderstood),
            (Field::Weight, "twelve", RemarkKind::NotUnderstood),
            (Field::Weight, "17 mm", RemarkKind::Impossible),
            (Field::Diameter, "wide", RemarkKind::NotUnderstood),
            (Field::DieAxis, "13", RemarkKind::Impossible),
            (Field::DieAxis, "up", RemarkKind::NotUnderstood),
            (Field::DateOnPiece, "long ago", RemarkKind::NotUnderstood),
            (Field::Metal, "plastic", RemarkKind::NotUnderstood),
        ] {
            let (find, remarks) = read(field, value);
            assert_eq!(find, Find::default(), "{value}");
            assert_eq!(remarks.len(), 1, "{value}: {remarks:?}");
            assert_eq!(
                (remarks[0].kind.clone(), remarks[0].field.as_str()),
                (kind, field.name()),
                "{value}"
            );
            assert_eq!(remarks[0].said, value);
            assert!(!remarks[0].mend.is_empty());
        }
    }

    #[test]
    fn single_traits_are_read() {
        assert_eq!(
            read(Field::Metal, "silver?").0.metal,
            Some((MetalSeen::Silver, false))
        );
        assert_eq!(
            read(Field::Metal, "Bronze").0.metal,
            Some((MetalSeen::CopperAlloy, true))
        );
        assert_eq!(read(Field::Wear, "VW").0.wear, Some(Wear::Heavy));
        assert_eq!(read(Field::Wear, "very worn").0.wear, Some(Wear::Heavy));
        for (said, wear) in [
            ("little", Wear::Little),
            ("light", Wear::Light),
            ("worn", Wear::Worn),
            ("heavy", Wear::Heavy),
            ("extreme", Wear::Extreme),
            ("W-A 3", Wear::Worn),
        ] {
            assert_eq!(
                read(Field::Wear, said),
                (
                    Find {
                        wear: Some(wear),
                        ..Find::default()
                    },
                    Vec::new()
                )
            );
        }
        assert_eq!(
            read(Field::Corrosion, "heavy").0.corrosion,
            Some(Corrosion::Heavy)
        );
        assert_eq!(
            read(Field::Corrosion, "C2").0.corrosion,
            Some(Corrosion::Light)
        );
        assert_eq!(
            read(Field::Corrosion, "4").0.corrosion,
            Some(Corrosion::Heavy)
        );
        assert_eq!(
            read(Field::Completeness, "half").0.completeness,
            Some(Completeness::Half)
        );
        assert_eq!(
            read(Field::Making, "struck by hand").0.making,
            Some(Making::Hammered)
        );
        assert_eq!(
            read(Field::Treatment, "bent, not clipped").0.treatments,
            [Treatment::Bent]
        );
        assert_eq!(
            read(Field::Treatment, "not clipped").0.treatments_absent,
            [Treatment::Clipped]
        );
        assert_eq!(
            read(Field::DateOnPiece, "MDCXCVI").0.date_on_piece,
            Some(1696)
        );
        assert_eq!(read(Field::Id, " 12a ").0.id.as_deref(), Some("12a"));
        for (said, hour) in [
            ("6", 6),
            ("6h", 6),
            ("12 o'clock", 12),
            ("180°", 6),
            ("↑↓", 6),
            ("0°", 12),
        ] {
            assert_eq!(
                read(Field::DieAxis, said)
                    .0
                    .die_axis
                    .map(|axis| axis.hour()),
                Some(hour),
                "{said}"
            );
        }
    }

    #[test]
    fn motif_fields_give_every_concept() {
        let strings = |all: &[&str]| all.iter().map(|one| one.to_string()).collect::<Vec<_>>();
        for (value, want, left) in [
            (
                "diademed head right",
                &["diademed-head", "facing-right"][..],
                &[][..],
            ),
            (
                "long cross, three pellets in angles",
                &["long-cross", "three-pellets"],
                &[],
            ),
            ("crowned facing bust", &["crowned-bust", "bust-facing"], &[]),
            ("no crown; wings on a woman", &["-crown", "victory"], &[]),
            ("Standing woman", &["figure"], &[]),
            ("rowel", &["star"], &["rowel"]),
            ("star in the right hand", &["star"], &[]),
            (
                "bust in a squirrel's hat, blob",
                &["bust"],
                &["squirrel's hat blob"],
            ),
        ] {
            assert_eq!(
                motifs(Field::ObverseMotif, value),
                (strings(want), strings(left)),
                "{value}"
            );
        }
        assert_eq!(
            motifs(Field::Absent, "crown, sceptre").0,
            ["-crown", "-sceptre"]
        );
        let (find, _) = read(Field::Motif, "reverse: a horse");
        assert_eq!(find.sightings[0].side, Side::Reverse);
    }

    #[test]
    fn legend_fields_give_readings_and_dates() {
        let (find, remarks) = read(Field::ReverseLegend, "BRITANNIA 1700");
        assert_eq!(find.date_on_piece, Some(1700));
        assert_eq!(
            (find.readings[0].side, find.readings[0].letters_seen()),
            (Side::Reverse, 9)
        );
        assert_eq!(remarks[0].kind, RemarkKind::Assumed);
        assert_eq!(read(Field::Legend, "EDW; RIC").0.readings.len(), 2);
    }

    #[test]
    fn fields_of_one_form_are_laid_together() {
        let lexicon = Lexicon::new(&kit::catalogue());
        let given = [
            (Field::Metal, "silver"),
            (Field::Words, "bronze, 17 mm"),
            (Field::Weight, " "),
        ];
        let fields: Vec<(Field, String)> = given
            .iter()
            .map(|(field, value)| (*field, value.to_string()))
            .collect();
        let (find, remarks) = form(&fields, &lexicon);
        assert_eq!(find.metal, Some((MetalSeen::Silver, true)));
        assert_eq!(find.diameter.map(|size| size.value.get()), Some(17.0));
        assert_eq!(remarks.len(), 1);
        assert_eq!(remarks[0].kind, RemarkKind::Contradiction);
    }
}
