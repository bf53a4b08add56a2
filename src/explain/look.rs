//! The next look in words: the question, each reply, and how to look without harm.
//!
//! Asks for light, a soft dry brush, callipers and a scale, and never for anything that changes the
//! piece: no scraping, cleaning, acid, bending or buying. Chooses no look.
//!
//! Invariant: every look has a question, a way to take it, and a text for each reply.

use crate::catalogue::Catalogue;
use crate::find::Side;
use crate::score::{Asks, Band, Look, Reply, Seen};

/// How a side is called to a finder.
fn side_name(side: Side) -> &'static str {
    match side {
        Side::Obverse => "front",
        Side::Reverse => "back",
        Side::Unknown => "piece",
    }
}

fn motif_name(motif: usize, catalogue: &Catalogue) -> &str {
    catalogue.motifs.get(motif).map_or("", |m| m.name.as_str())
}

/// The question of a look.
pub fn question(asks: &Asks, catalogue: &Catalogue) -> String {
    match asks {
        Asks::Motif { motif, side } => format!(
            "Does the {} show \"{}\"?",
            side_name(*side),
            motif_name(*motif, catalogue)
        ),
        Asks::Which { side, .. } => format!("Which of these does the {} show?", side_name(*side)),
        Asks::Letters { side, .. } => {
            format!("Which of these letters stand on the {}?", side_name(*side))
        }
        Asks::Diameter => "How wide is it across?".to_string(),
        Asks::Weight => "How heavy is it?".to_string(),
        Asks::Metal => "What metal does it look like?".to_string(),
        Asks::DieAxis => "With the front upright, turned like a page: to which hour does the top \
                          of the back point?"
            .to_string(),
        Asks::Making => "How was it made, as it looks?".to_string(),
    }
}

/// A reply of a look.
pub fn reply(look: &Look, reply: &Reply, catalogue: &Catalogue) -> String {
    let alone = matches!(look.asks, Asks::Motif { .. });
    match &reply.seen {
        Seen::There(_) if alone => "yes".to_string(),
        Seen::Absent(_) if alone => "no".to_string(),
        Seen::There(motif) => motif_name(*motif, catalogue).to_lowercase(),
        Seen::Absent(_) => "none of these".to_string(),
        Seen::Letters(run) => run.clone(),
        Seen::Diameter(band) => in_band(*band, "mm"),
        Seen::Weight(band) => in_band(*band, "g"),
        Seen::Metal(metal) => metal.name().to_string(),
        Seen::Hour(hour) => format!("{hour} o'clock, or next to it"),
        Seen::Made(making) => making.name().to_string(),
    }
}

fn in_band(band: Band, unit: &str) -> String {
    match (band.from, band.to) {
        (Some(from), Some(to)) => format!("{from} to {to} {unit}"),
        (Some(from), None) => format!("over {from} {unit}"),
        (None, Some(to)) => format!("under {to} {unit}"),
        (None, None) => "any".to_string(),
    }
}

/// How to take a look without harm.
pub fn how_to(asks: &Asks) -> &'static str {
    match asks {
        Asks::Motif {
            side: Side::Unknown,
            ..
        } => {
            "look where the letters begin, under one low lamp, with a glass if you have one; brush \
             off loose dry soil with a soft dry brush at most, and do not clean it"
        }
        Asks::Motif { .. } | Asks::Which { .. } => {
            "hold it under one low lamp and turn it slowly: worn shapes show by their shadows; brush \
             off loose dry soil with a soft dry brush at most, and do not clean it"
        }
        Asks::Letters { .. } => {
            "turn it slowly under one low lamp, or photograph it so; U is struck as V, J as I, W as \
             VV; do not clean, rub or scrape it to see more"
        }
        Asks::Diameter => {
            "plastic callipers, lightly, at the widest and the narrowest, and take the middle; a \
             ruler will do"
        }
        Asks::Weight => {
            "a scale that shows hundredths of a gram if you have one, on a level table, three times; \
             write what it shows"
        }
        Asks::Metal => {
            "say what it looks like by daylight; no scratch, no file, no acid, and a magnet settles \
             nothing"
        }
        Asks::DieAxis => {
            "hold it by the edge between two fingers, the front upright, and turn it like the page \
             of a book; look where the top of the back has come to"
        }
        Asks::Making => {
            "look at the edge and the roundness: uneven and off the middle is struck by hand, round \
             and even with a rim is milled, blurred with soft edges is cast"
        }
    }
}
