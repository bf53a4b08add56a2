//! What was said of a find: the fields of an address, heard.
//!
//! Understands nothing itself: the parse room hears words and fields, the house takes it for a coin
//! or a thing.
//!
//! Invariant: the same fields are always heard alike, and heard just as the command line hears them;
//! what was asked and not known is not asked again.

use crate::catalogue::Catalogue;
use crate::find::{Find, Side};
use crate::parse::{self, Field, Remark, ThingFields};
use crate::score::Asks;
use crate::web::asked::Fields;
use crate::web::desk::Desk;
use crate::{House, Taken, Told};

/// The fields that only things have.
pub(in crate::web) const OF_THINGS: [&str; 6] =
    ["class", "length", "width", "height", "complete", "period"];
/// Settles by hand whether it is a coin: `coin` or `thing`.
pub(in crate::web) const IS: &str = "is";
/// A look that the finder was not sure of; may come many times.
pub(in crate::web) const UNSURE: &str = "unsure";
/// How large a millimetre is on this screen, against what a browser takes it for.
pub(in crate::web) const SCALE: &str = "scale";
/// Most looks of which it is kept that the finder was not sure.
const UNSURE_MOST: usize = 40;
/// Most times that a field is heard.
const TIMES_MOST: usize = 24;

/// What was said.
pub(in crate::web) struct Said {
    /// The find as a coin.
    pub(in crate::web) find: Find,
    /// What was not understood of it, and what was put right.
    pub(in crate::web) remarks: Vec<Remark>,
    /// The words and fields themselves.
    pub(in crate::web) told: Told,
    /// Looks that the finder was not sure of, as they stand in the address.
    pub(in crate::web) unsure: Vec<String>,
}

impl Said {
    /// Hears the fields of a query or a form.
    pub(in crate::web) fn of(fields: &Fields, house: &House) -> Said {
        let given = |name: &'static str| joined(fields, name, ", ");
        let told = Told {
            words: joined(fields, Field::Words.name(), ", ").unwrap_or_default(),
            fields: traits(fields),
            thing: ThingFields {
                class: given("class"),
                length: given("length"),
                width: given("width"),
                height: given("height"),
                complete: fields.get("complete").is_some(),
                period: given("period"),
            },
            coin: match fields.get(IS) {
                Some("coin") => Some(true),
                Some("thing") => Some(false),
                _ => None,
            },
        };
        let (by_fields, mut remarks) = parse::form(&told.fields, &house.lexicon);
        let (by_words, more) = parse::words(&told.words, &house.lexicon);
        remarks.extend(more);
        let (find, between) = parse::merge(by_fields, by_words);
        remarks.extend(between);
        let unsure = fields.all(UNSURE).take(UNSURE_MOST);
        let unsure = unsure.map(|one| one.chars().take(200).collect()).collect();
        Said {
            find,
            remarks,
            told,
            unsure,
        }
    }

    /// True when nothing at all was said.
    pub(in crate::web) fn is_blank(&self) -> bool {
        self.told.words.is_empty() && self.told.fields.is_empty() && !self.told.thing.given()
    }

    /// What it is taken for.
    pub(in crate::web) fn taken(&self, desk: &Desk) -> Taken {
        let (told, find) = (&self.told, &self.find);
        if desk.house.is_plainly_coin(told, find, &self.remarks) {
            return Taken::Coin;
        }
        let things = desk.things();
        things.map_or(Taken::Coin, |things| things.take(told, find, desk.house))
    }

    /// The looks at a coin that the finder was not sure of.
    pub(in crate::web) fn unsure_looks(&self, library: &Catalogue) -> Vec<Asks> {
        let codes = self.unsure.iter();
        codes.filter_map(|code| look_of(code, library)).collect()
    }
}

/// The traits that were given, each once.
fn traits(fields: &Fields) -> Vec<(Field, String)> {
    Field::traits()
        .filter_map(|field| Some((field, joined(fields, field.name(), between(field))?)))
        .collect()
}

/// What stands between two texts of one field.
pub(in crate::web) fn between(field: Field) -> &'static str {
    match field {
        Field::Legend | Field::ObverseLegend | Field::ReverseLegend => "; ",
        _ => ", ",
    }
}

/// All texts of a field in one.
fn joined(fields: &Fields, name: &str, between: &str) -> Option<String> {
    let texts: Vec<&str> = fields.all(name).take(TIMES_MOST).collect();
    let text = texts.join(between);
    (!text.trim().is_empty()).then_some(text)
}

/// A look at a coin as it stands in an address.
pub(in crate::web) fn code(asks: &Asks, library: &Catalogue) -> String {
    let id = |motif: &usize| library.motifs[*motif].id.as_str();
    let of = |what: &str, side: Side, rest: &[&str]| {
        let side = side.name();
        format!("{what}.{side}.{}", rest.join("."))
    };
    match asks {
        Asks::Motif { motif, side } => of("motif", *side, &[id(motif)]),
        Asks::Which { motifs, side } => {
            let ids: Vec<&str> = motifs.iter().map(id).collect();
            of("which", *side, &ids)
        }
        Asks::Letters { runs, side } => {
            let runs: Vec<&str> = runs.iter().map(String::as_str).collect();
            of("letters", *side, &runs)
        }
        Asks::Diameter => "diameter".into(),
        Asks::Weight => "weight".into(),
        Asks::Metal => "metal".into(),
        Asks::DieAxis => "die-axis".into(),
        Asks::Making => "making".into(),
    }
}

/// The look that a code means; none where it means none.
fn look_of(code: &str, library: &Catalogue) -> Option<Asks> {
    let mut parts = code.split('.');
    let (what, side) = (parts.next()?, parts.next());
    let sides = [Side::Obverse, Side::Reverse, Side::Unknown].into_iter();
    let side = || sides.clone().find(|one| Some(one.name()) == side);
    let ids: Vec<&str> = parts.filter(|part| !part.is_empty()).take(8).collect();
    let motifs = || -> Option<Vec<usize>> {
        let motifs = ids.iter().map(|id| library.motif_by_id(id));
        motifs.collect::<Option<Vec<usize>>>()
    };
    Some(match what {
        "motif" => Asks::Motif {
            motif: *motifs()?.first()?,
            side: side()?,
        },
        "which" => Asks::Which {
            motifs: motifs().filter(|all| !all.is_empty())?,
            side: side()?,
        },
        "letters" => Asks::Letters {
            runs: ids.iter().map(|run| run.to_string()).collect(),
            side: side()?,
        },
        "diameter" => Asks::Diameter,
        "weight" => Asks::Weight,
        "metal" => Asks::Metal,
        "die-axis" => Asks::DieAxis,
        "making" => Asks::Making,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Motif;

    fn library() -> Catalogue {
        let motif = |id: &str| Motif {
            id: id.into(),
            name: id.into(),
            under: Vec::new(),
            ancestors: Vec::new(),
            parts: Vec::new(),
            words: Vec::new(),
        };
        Catalogue {
            motifs: vec![motif("long-cross"), motif("star-2")],
            motif_places: [("long-cross".to_string(), 0), ("star-2".to_string(), 1)].into(),
            ..Catalogue::default()
        }
    }

    #[test]
    fn a_look_comes_back_from_its_address() {
        let library = library();
        let side = Side::Unknown;
        for asks in [
            Asks::Motif { motif: 1, side },
            Asks::Which {
                motifs: vec![1, 0],
                side: Side::Reverse,
            },
            Asks::Letters {
                runs: vec!["EDW".into(), "HEN".into()],
                side: Side::Obverse,
            },
            Asks::Diameter,
            Asks::Weight,
            Asks::Metal,
            Asks::DieAxis,
            Asks::Making,
        ] {
            let code = code(&asks, &library);
            assert_eq!(look_of(&code, &library), Some(asks), "{code}");
        }
    }

    #[test]
    fn what_means_no_look_is_none() {
        for code in [
            "",
            ".",
            "motif",
            "motif.obverse",
            "motif.front.star-2",
            "which.obverse.",
        ] {
            assert_eq!(look_of(code, &library()), None, "{code}");
        }
        assert_eq!(look_of("motif.obverse.none-such", &library()), None);
    }

    #[test]
    fn texts_of_one_field_are_put_together() {
        let fields = Fields::of([
            ("legend", "EDW"),
            ("legend", "REX"),
            ("motif", "cross"),
            ("motif", " "),
        ]);
        let traits = traits(&fields);
        assert_eq!(traits.len(), 2);
        assert!(traits.contains(&(Field::Legend, "EDW; REX".into())));
        assert!(traits.contains(&(Field::Motif, "cross".into())));
    }
}
