//! Sentences: one for each kind of term.
//!
//! Says what was given and what the type has; the number stands beside it.

use crate::catalogue::{Catalogue, CoinType};
use crate::find::{Find, Region, Side, era};
use crate::score::{Detail, Evidence, MotifMatch, align};

/// True when two terms of different types speak of the same trait of the find.
pub(super) fn same_trait(a: &Evidence, b: &Evidence) -> bool {
    a.witness == b.witness
        && match (&a.detail, &b.detail) {
            (Detail::Legend { reading: x, .. }, Detail::Legend { reading: y, .. }) => x == y,
            (Detail::Motif { sighting: x, .. }, Detail::Motif { sighting: y, .. }) => x == y,
            (Detail::Words { side: x, .. }, Detail::Words { side: y, .. }) => x == y,
            (Detail::Opinion { opinion: x, .. }, Detail::Opinion { opinion: y, .. }) => x == y,
            (Detail::Treatment { name: x, .. }, Detail::Treatment { name: y, .. }) => x == y,
            _ => true,
        }
}

/// The sentence for a term.
pub(super) fn of(term: &Evidence, find: &Find, catalogue: &Catalogue, coin: &CoinType) -> String {
    match &term.detail {
        Detail::Metal { seen, looks } if seen == looks => {
            format!("{}, as this type looks", seen.name())
        }
        Detail::Metal { seen, looks } => format!(
            "you saw {}; this type looks like {}",
            seen.name(),
            looks.name()
        ),
        Detail::Measures { .. } => measures(term),
        Detail::Thickness { found, expected } => {
            format!("{found:.1} mm thick where about {expected:.1} mm is expected")
        }
        Detail::DieAxis { hour } => format!("die axis {hour} h"),
        Detail::Making { agrees: true } => format!("made as it looks: {}", coin.made.name()),
        Detail::Making { agrees: false } => format!("this type is {}", coin.made.name()),
        Detail::Treatment {
            name,
            present,
            usual,
        } => treatment(name, *present, *usual),
        Detail::Back { like } => back(*like, catalogue),
        Detail::Titles => format!(
            "the titles you read were not his in {}, the years of this type",
            coin.span.text()
        ),
        Detail::Value { value, agrees } => worth(value, *agrees),
        Detail::Legend { .. } => legend(term, find, catalogue),
        Detail::Motif { sighting, relation } => motif(*sighting, *relation, find, catalogue),
        Detail::Words { side, words } => seen_words(*side, words, term.nats, find),
        Detail::DateOnPiece { within } => {
            let year = find.date_on_piece.map_or(String::new(), era);
            let outside = if *within { "falls in" } else { "falls outside" };
            format!("the date {year} {outside} its years, {}", coin.span.text())
        }
        Detail::Region { usual } => {
            let region = find.region.map_or("there", Region::name);
            match usual {
                true => format!("found in the region {region}, where this type mostly is"),
                false => format!("found in the region {region}; this type mostly lies elsewhere"),
            }
        }
        Detail::Company => {
            let kinds: Vec<&str> = find.company.iter().map(|one| one.said.as_str()).collect();
            let kinds = kinds.join(", ");
            match term.nats {
                n if n >= 0.5 => format!("it lay with {kinds}: of their kind and time"),
                n if n >= -0.5 => format!("it lay with {kinds}, which tells little"),
                _ => format!("it lay with {kinds}, of another kind or time"),
            }
        }
        Detail::Field { .. } | Detail::OwnField { .. } => field(term),
        Detail::Opinion { opinion, agrees } => {
            let said = &find.opinions[*opinion].said;
            let verdict = if *agrees { "agrees" } else { "does not agree" };
            format!("you said \"{said}\", with which this type {verdict}")
        }
    }
}

/// What the field has given before, by a table or by the finder's own finds.
fn field(term: &Evidence) -> String {
    let (of, period, stretch, coinage) = match term.detail {
        Detail::Field { here, of } => {
            return format!("{here} of the {of} finds of this field were of its period");
        }
        Detail::OwnField {
            of,
            period,
            stretch,
            coinage,
        } => (of, period, stretch, coinage),
        _ => return String::new(),
    };
    let mut text =
        format!("of your own {of} confirmed finds of this field {period} were of its period");
    if period > 0 {
        text.push_str(&format!(", {stretch} of its years"));
    }
    if stretch > 0 {
        text.push_str(&format!(", {coinage} of its ruler and denomination"));
    }
    text
}

/// A value read in words.
fn worth(value: &str, agrees: bool) -> String {
    match agrees {
        true => format!("\"{value}\" is read, which stands on such pieces of its time"),
        false => {
            format!("\"{value}\" is read, which no such piece of its time in the library bears")
        }
    }
}

/// The back against those of its time.
fn back(like: Option<usize>, catalogue: &Catalogue) -> String {
    match like.map(|like| &catalogue.types[like].name) {
        Some(name) => format!("the back is like that of {name}, of its time"),
        None => "the back is like none that the library lists of its time".to_string(),
    }
}

fn measures(term: &Evidence) -> String {
    let Detail::Measures {
        grams,
        struck,
        lost,
        present,
        plated,
        millimetres,
        usual,
        own,
    } = &term.detail
    else {
        return String::new();
    };
    let mut parts = Vec::new();
    if let (Some(grams), Some(struck)) = (grams, struck) {
        parts.push(weight(*grams, *struck, *lost, *present, *plated));
    }
    if let (Some(millimetres), Some((least, most))) = (millimetres, usual) {
        parts.push(format!(
            "{millimetres:.1} mm against {least:.1}-{most:.1} mm as struck"
        ));
    }
    if *own > 0 {
        parts.push(format!("its size put right by {own} of your own finds"));
    }
    let verdict = match term.nats {
        n if n >= 1.0 => "speaks for it",
        n if n >= -1.0 => "tells little",
        _ => "speaks against it",
    };
    format!("{}: {verdict}", parts.join(", "))
}

/// A weight against what was struck, with the loss that explains it best.
fn weight(grams: f64, struck: f64, lost: f64, present: f64, plated: bool) -> String {
    let mut text = format!("{grams:.2} g against {struck:.2} g as struck");
    if plated {
        text.push_str(" for a plated copy of its time, which it may be");
    }
    let expected = struck * present * (1.0 - lost);
    match present {
        p if p < 0.35 => text.push_str(", as a quarter of one"),
        p if p < 0.7 => text.push_str(", as a part of one"),
        p if p < 0.99 => text.push_str(", a little chipped"),
        _ => {}
    }
    if grams > 1.12 * expected {
        text.push_str(", heavy for it");
    } else if grams < 0.88 * expected {
        text.push_str(", light for it");
    } else if lost > 0.015 {
        text.push_str(&format!(
            ", less about {:.0} % for wear or clipping",
            lost * 100.0
        ));
    }
    text
}

fn treatment(name: &str, present: bool, usual: bool) -> String {
    match (present, usual) {
        (true, true) => format!("{name}, as pieces of this type often are"),
        (true, false) => format!("{name}, which is not usual for this type"),
        (false, true) => format!("not {name}, though pieces of this type often are"),
        (false, false) => format!("not {name}, as usual for this type"),
    }
}

fn legend(term: &Evidence, find: &Find, catalogue: &Catalogue) -> String {
    let Detail::Legend {
        reading,
        inscription,
        other_side,
        bare,
    } = &term.detail
    else {
        return String::new();
    };
    let reading = &find.readings[*reading];
    let said = reading.said.trim();
    let place = if *other_side {
        " (on the other side than you say)"
    } else {
        ""
    };
    let Some((inscription, form)) = *inscription else {
        return match bare {
            true => format!("you read \"{said}\"; this type bears no letters there"),
            false => format!(
                "\"{said}\" may stand on the side of which the library does not say what it bears"
            ),
        };
    };
    let borne = &catalogue.inscriptions[inscription];
    let script = catalogue.legends[borne.legend].script;
    let spelling = &borne.forms[form];
    let struck = &spelling.text;
    let Some(lie) = align(reading, &spelling.glyphs, script) else {
        return String::new();
    };
    match (lie.fitting, lie.contrary) {
        (0, 0) => format!("\"{said}\" can stand in {struck}{place}"),
        (0, _) => format!("\"{said}\" does not lie along {struck}"),
        (fit, 0) => format!("\"{said}\" lies along {struck}{place}: {fit} letters fit"),
        (fit, off) => {
            format!("\"{said}\" against {struck}{place}: {fit} letters fit, {off} do not")
        }
    }
}

/// What the finder's words for a side are called.
pub(super) fn your_words(side: Side) -> String {
    match side {
        Side::Unknown => "your words".to_string(),
        side => format!("your words for the {}", side.name()),
    }
}

/// The finder's words for a side, against how what is shown there is described.
fn seen_words(side: Side, words: &[Option<usize>], nats: f64, find: &Find) -> String {
    let yours = your_words(side);
    let named = words.iter().flatten();
    let named: Vec<String> = named
        .map(|at| format!("\"{}\"", find.seen_words[*at].word))
        .collect();
    match (named.is_empty(), nats) {
        (false, 0.0..) => format!(
            "{yours} are such as are used of what this type shows ({} most)",
            named.join(", ")
        ),
        (false, _) => format!(
            "{yours} are used more of other designs (of this at best {})",
            named.join(", ")
        ),
        (true, _) => format!("{yours} are used of nothing that this type is known to show"),
    }
}

fn motif(sighting: usize, relation: MotifMatch, find: &Find, catalogue: &Catalogue) -> String {
    let said = &find.sightings[sighting];
    let where_to = match said.side {
        Side::Unknown => String::new(),
        side => format!(" on the {}", side.name()),
    };
    let words = &said.said;
    match (relation, said.present) {
        (MotifMatch::Shown, true) => format!("\"{words}\"{where_to}: this type shows it"),
        (MotifMatch::Near(shown), true) => match catalogue.motifs.get(shown) {
            Some(motif) => format!(
                "\"{words}\"{where_to}: this type shows something near it, {}",
                motif.name
            ),
            None => format!("\"{words}\"{where_to}: this type shows something near it"),
        },
        (MotifMatch::OtherSide, true) => {
            format!("\"{words}\"{where_to}: this type shows it on the other side")
        }
        (MotifMatch::Unsaid, _) => format!(
            "\"{words}\" may stand on the side of which the library does not say what it shows"
        ),
        (MotifMatch::NotShown, true) => format!("\"{words}\"{where_to}: not on this type"),
        (MotifMatch::NotShown, false) => format!("no \"{words}\"{where_to}, as on this type"),
        (_, false) => format!("no \"{words}\"{where_to}, though this type has it"),
    }
}
