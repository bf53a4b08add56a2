//! Stamps on the heads of cartridge cases: who made them, when, and what mark of round it was.
//!
//! Reads letters and figures as typed. A stamp never says whether a round is live; the caution
//! about ordnance stands before anything read here.
//!
//! Invariant: every part of the stamp is in exactly one of the lists given back.

use crate::catalogue::Headstamp;

/// What a stamp says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stamp {
    /// Makers by their places in the list, each with the letters read for it.
    pub makers: Vec<(usize, String)>,
    /// Years it may name, and the figures read for each.
    pub years: Vec<(i32, String)>,
    /// Calibres as stamped ("303").
    pub calibres: Vec<String>,
    /// Marks of the round ("VII", "6").
    pub marks: Vec<String>,
    /// What a letter before the mark says of the load, where that is known.
    pub loads: Vec<(String, &'static str)>,
    /// Parts that mean nothing here.
    pub unread: Vec<String>,
}

/// Parts of a stamp that are read at most; more is no stamp.
const PARTS_MOST: usize = 12;

/// Letters of British service rounds that tell of a load which burns or explodes, or of none.
/// From memory of the service's own lists (Labbett); the letters changed over the years.
const LOADS: [(&str, &str); 8] = [
    ("B", "incendiary"),
    ("D", "drill"),
    ("E", "smoke"),
    ("F", "semi-armour-piercing or frangible"),
    ("G", "tracer"),
    ("L", "blank"),
    ("O", "observing, which bursts when it strikes"),
    ("W", "armour-piercing"),
];

/// A stamp read against the makers of the library.
pub fn headstamp(typed: &str, makers: &[Headstamp]) -> Stamp {
    // Dots and the broad arrow stand within a maker's letters.
    let mut folded = typed.to_uppercase();
    folded.retain(|c| !matches!(c, '.' | '^' | '\u{2191}' | '\u{2b61}'));
    let parts = folded
        .split(|c: char| !c.is_alphanumeric())
        .filter(|part| !part.is_empty());
    let parts: Vec<&str> = parts.take(PARTS_MOST).collect();
    let mut stamp = Stamp::default();
    for (place, part) in parts.iter().enumerate() {
        let before_mark = parts.get(place + 1).is_some_and(|next| mark(next));
        read(part, before_mark, makers, &mut stamp);
    }
    stamp
}

fn read(part: &str, before_mark: bool, makers: &[Headstamp], stamp: &mut Stamp) {
    let load = LOADS.iter().find(|load| load.0 == part);
    if let (true, Some(load)) = (before_mark, load) {
        stamp.loads.push((part.to_string(), load.1));
        return;
    }
    let known = makers.iter().enumerate();
    let known = known.filter(|(_, maker)| maker.codes.iter().any(|code| code == part));
    let known: Vec<(usize, String)> = known.map(|(at, _)| (at, part.to_string())).collect();
    if !known.is_empty() {
        stamp.makers.extend(known);
    } else if let Some(year) = year(part) {
        stamp.years.push((year, part.to_string()));
    } else if part.len() == 3 && part.chars().all(|c| c.is_ascii_digit()) {
        stamp.calibres.push(part.to_string());
    } else if mark(part) {
        stamp.marks.push(part.to_string());
    } else if let Some((letters, figures)) = parted(part) {
        read(letters, false, makers, stamp);
        read(figures, false, makers, stamp);
    } else {
        stamp.unread.push(part.to_string());
    }
}

/// Letters and the figures that follow them without a space, as "K17".
fn parted(part: &str) -> Option<(&str, &str)> {
    let at = part
        .find(|c: char| c.is_ascii_digit())
        .filter(|at| *at > 0)?;
    let (letters, figures) = part.split_at(at);
    let plain =
        letters.chars().all(char::is_alphabetic) && figures.chars().all(|c| c.is_ascii_digit());
    plain.then_some((letters, figures))
}

/// The year that figures name: four of them outright, two in the century of cartridges.
fn year(part: &str) -> Option<i32> {
    let figures = part.chars().all(|c| c.is_ascii_digit());
    let number: i32 = part.parse().ok().filter(|_| figures)?;
    match part.len() {
        4 if (1860..=1999).contains(&number) => Some(number),
        2 => Some(1900 + number),
        _ => None,
    }
}

/// True for the numeral of a mark: Roman to XII or one figure, with or without Z.
fn mark(part: &str) -> bool {
    const NUMERALS: [&str; 12] = [
        "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII",
    ];
    let bare = part.strip_suffix('Z').unwrap_or(part);
    let figure = bare.len() == 1 && bare.chars().all(|c| ('1'..='9').contains(&c));
    NUMERALS.contains(&bare) || figure
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Standing;
    use crate::find::Span;

    fn makers() -> Vec<Headstamp> {
        let one = |id: &str, codes: &[&str]| Headstamp {
            id: id.to_string(),
            name: id.to_string(),
            span: Span::new(1900, 1960).unwrap(),
            codes: codes.iter().map(|code| code.to_string()).collect(),
            note: None,
            sources: Vec::new(),
            standing: Standing::Recalled,
        };
        vec![
            one("kynoch", &["K"]),
            one("metals", &["B"]),
            one("hirwaun", &["HN"]),
        ]
    }

    #[test]
    fn a_service_stamp_is_read_part_by_part() {
        let stamp = headstamp("K 42 VII", &makers());
        assert_eq!(stamp.makers, [(0, "K".to_string())]);
        assert_eq!(stamp.years, [(1942, "42".to_string())]);
        assert_eq!(stamp.marks, ["VII"]);
        assert!(stamp.unread.is_empty() && stamp.loads.is_empty());
        let dotted = headstamp("h^n 1943 .303 g vi", &makers());
        assert_eq!(dotted.makers, [(2, "HN".to_string())]);
        assert_eq!(dotted.years[0].0, 1943);
        assert_eq!(dotted.calibres, ["303"]);
        assert_eq!(dotted.loads, [("G".to_string(), "tracer")]);
        assert_eq!(dotted.marks, ["VI"]);
    }

    #[test]
    fn a_letter_is_a_load_before_a_mark_and_a_maker_elsewhere() {
        let stamp = headstamp("B 18 B VII", &makers());
        assert_eq!(stamp.makers, [(1, "B".to_string())]);
        assert_eq!(stamp.loads, [("B".to_string(), "incendiary")]);
    }

    #[test]
    fn nothing_is_dropped_and_work_is_bounded() {
        let stamp = headstamp("XQ 9999 \u{1f600} K", &makers());
        assert_eq!(stamp.unread, ["XQ", "9999"]);
        assert_eq!(stamp.makers.len(), 1);
        let long = "K ".repeat(100_000);
        assert_eq!(headstamp(&long, &makers()).makers.len(), PARTS_MOST);
        assert_eq!(headstamp("", &makers()), Stamp::default());
    }
}
