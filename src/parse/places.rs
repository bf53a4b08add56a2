//! Where it was found and what lay with it, in a finder's words.
//!
//! Counties, old and new, to the regions that the library speaks of; "3 radiates of Tetricus,
//! a denarius" to companions. A place that is no county is not guessed at, and the place itself is
//! not kept: the region is all the scorer needs, and a findspot is nobody's business.
//!
//! Invariant: a county lies in one region.

use super::form::Field;
use super::lexicon::Lexicon;
use super::meaning::Scope;
use super::remark::{Remark, RemarkKind, clean};
use super::words::field_words;
use crate::find::{Companion, Find, Region, Side};

/// Most companions that are weighed; a hoard of more tells no more by its kinds.
const COMPANIONS_MOST: usize = 24;

/// Counties and other names of each region (common knowledge of the map; border counties go where
/// most of their ploughland lies).
const PLACES: [(Region, &[&str]); 7] = [
    (
        Region::North,
        &[
            "north",
            "the north",
            "northern england",
            "northumberland",
            "tyne and wear",
            "durham",
            "county durham",
            "cumbria",
            "cumberland",
            "westmorland",
            "lancashire",
            "yorkshire",
            "north yorkshire",
            "east yorkshire",
            "west yorkshire",
            "south yorkshire",
            "east riding",
            "north riding",
            "west riding",
            "cleveland",
            "humberside",
            "greater manchester",
            "merseyside",
        ],
    ),
    (
        Region::East,
        &[
            "east",
            "the east",
            "east anglia",
            "norfolk",
            "suffolk",
            "essex",
            "cambridgeshire",
            "huntingdonshire",
            "lincolnshire",
            "rutland",
            "hertfordshire",
            "bedfordshire",
        ],
    ),
    (
        Region::SouthEast,
        &[
            "south-east",
            "the south-east",
            "kent",
            "surrey",
            "sussex",
            "east sussex",
            "west sussex",
            "london",
            "greater london",
            "middlesex",
        ],
    ),
    (
        Region::South,
        &[
            "south",
            "the south",
            "hampshire",
            "isle of wight",
            "berkshire",
            "oxfordshire",
            "buckinghamshire",
            "wiltshire",
        ],
    ),
    (
        Region::SouthWest,
        &[
            "south-west",
            "the south-west",
            "west country",
            "cornwall",
            "devon",
            "dorset",
            "somerset",
            "avon",
            "bristol",
            "gloucestershire",
        ],
    ),
    (
        Region::Midlands,
        &[
            "midlands",
            "the midlands",
            "west midlands",
            "east midlands",
            "cheshire",
            "shropshire",
            "herefordshire",
            "worcestershire",
            "warwickshire",
            "staffordshire",
            "derbyshire",
            "nottinghamshire",
            "leicestershire",
            "northamptonshire",
        ],
    ),
    (
        Region::Wales,
        &[
            "wales",
            "anglesey",
            "gwynedd",
            "caernarfonshire",
            "merionethshire",
            "denbighshire",
            "flintshire",
            "conwy",
            "wrexham",
            "powys",
            "montgomeryshire",
            "radnorshire",
            "brecknockshire",
            "breconshire",
            "ceredigion",
            "cardiganshire",
            "pembrokeshire",
            "carmarthenshire",
            "dyfed",
            "glamorgan",
            "vale of glamorgan",
            "swansea",
            "cardiff",
            "monmouthshire",
            "gwent",
        ],
    ),
];

/// The region of a county or of a part of the land.
fn region_of(name: &str) -> Option<Region> {
    let lower = name.trim().trim_end_matches('.').to_lowercase();
    let bare = lower
        .trim_start_matches("the ")
        .trim_start_matches("county of ");
    let spaced = bare.replace(' ', "-");
    let named = |place: &&str| *place == lower || *place == bare || *place == spaced;
    let region = PLACES.iter().find(|(_, places)| places.iter().any(named));
    region.map(|(region, _)| *region)
}

/// Understands the field that says where it was found.
pub(super) fn region(value: &str) -> (Find, Vec<Remark>) {
    let name = Field::Region.name();
    let (text, mut remarks) = clean(value, name);
    let region = region_of(&text);
    if region.is_none() {
        let what = "is not a county or region of England or Wales that is known here";
        let mend = "name the county, such as norfolk, or the region, such as south-west";
        remarks.push(Remark::new(
            RemarkKind::NotUnderstood,
            name,
            text.trim(),
            what,
            mend,
        ));
    }
    let find = Find {
        region,
        ..Find::default()
    };
    (find, remarks)
}

/// Understands the field that says what lay with it.
pub(super) fn company(value: &str, lexicon: &Lexicon) -> (Find, Vec<Remark>) {
    let name = Field::FoundWith.name();
    let (text, mut remarks) = clean(value, name);
    let mut find = Find::default();
    let kinds = text.split([',', ';', '\n', '+', '&']);
    for said in kinds.flat_map(|kind| kind.split(" and ")) {
        let said = said.trim().trim_end_matches('.');
        if said.is_empty() {
            continue;
        }
        if find.company.len() == COMPANIONS_MOST {
            let what = "is more than is weighed, so it was left out";
            remarks.push(Remark::new(
                RemarkKind::Ignored,
                name,
                said,
                what,
                "name the kinds, with their number",
            ));
            break;
        }
        let (count, kind) = counted(said);
        let (heard, told) = field_words(
            kind,
            lexicon,
            Field::FoundWith,
            Scope::Opinions,
            Side::Unknown,
        );
        remarks.extend(told);
        if !heard.opinions.is_empty() {
            find.company.push(Companion {
                count,
                means: heard.opinions,
                said: said.to_string(),
            });
        }
    }
    (find, remarks)
}

/// A number before a kind: "3 radiates", "two pennies", "a denarius".
fn counted(said: &str) -> (u32, &str) {
    const WORDS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    let Some((first, rest)) = said.split_once(char::is_whitespace) else {
        return (1, said);
    };
    let lower = first.to_lowercase();
    if ["a", "an", "another", "some", "several"].contains(&lower.as_str()) {
        return (1, rest.trim());
    }
    let word = WORDS
        .iter()
        .position(|word| *word == lower)
        .map(|n| n as u32);
    match word.or_else(|| lower.trim_end_matches('x').parse().ok()) {
        Some(count) if count > 0 => (count, rest.trim()),
        _ => (1, said),
    }
}

/// What a part of free words says of the place or the company, when it opens so.
pub(super) fn in_words(part: &str, lexicon: &Lexicon) -> Option<(Find, Vec<Remark>)> {
    let rest = |openings: &[&str]| {
        let after = openings
            .iter()
            .find_map(|opening| part.strip_prefix(opening));
        after
            .filter(|rest| rest.starts_with(char::is_whitespace))
            .map(str::trim)
    };
    if let Some(kinds) = rest(&[
        "found with",
        "Found with",
        "lay with",
        "it lay with",
        "found together with",
    ]) {
        return Some(company(kinds, lexicon));
    }
    let place = rest(&[
        "found in",
        "Found in",
        "found near",
        "found at",
        "from",
        "in",
    ])?;
    region_of(place).map(|_| region(place))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_county_lies_in_one_region() {
        let mut all: Vec<&str> = PLACES
            .iter()
            .flat_map(|(_, places)| places.iter().copied())
            .collect();
        let before = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), before);
        assert!(before > 90, "{before}");
        for region in Region::ALL {
            assert_eq!(region_of(region.name()), Some(region));
        }
        assert_eq!(region_of("Norfolk"), Some(Region::East));
        assert_eq!(region_of("the South West"), Some(Region::SouthWest));
        assert_eq!(region_of("Atlantis"), None);
    }

    #[test]
    fn numbers_stand_before_kinds() {
        assert_eq!(counted("3 radiates"), (3, "radiates"));
        assert_eq!(counted("two pennies"), (2, "pennies"));
        assert_eq!(counted("a denarius"), (1, "denarius"));
        assert_eq!(counted("denarius"), (1, "denarius"));
        assert_eq!(counted("0 pennies"), (1, "0 pennies"));
    }
}
