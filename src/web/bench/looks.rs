//! What to look at next: the question, how to look without harm, and a button for every reply.
//!
//! Chooses no look. A reply is a link: it adds to the address what was seen, in words and fields
//! that the parse room understands.
//!
//! Invariant: what a reply adds is heard as the look's own reply would be; "not sure" adds nothing
//! to the find and is not asked again.

use maud::{Markup, html};

use super::form::kept;
use super::pictures;
use super::said::{Said, UNSURE, between, code};
use crate::explain::{how_to, question, reply};
use crate::find::{Side, Sighting};
use crate::parse::{self, Field};
use crate::score::{Asks, Band, Look, Seen};
use crate::web::asked::Fields;
use crate::web::desk::Desk;
use crate::{House, Identification};

/// Looks that are shown.
const SHOWN: usize = 2;

/// The looks worth most at a coin.
pub(super) fn coin(desk: &Desk, fields: &Fields, said: &Said, found: &Identification) -> Markup {
    let library = &desk.house.catalogue;
    let unsure = said.unsure_looks(library);
    let (aim, looks) = desk.house.next_looks(&said.find, found, None, &unsure);
    if looks.is_empty() {
        return html! {};
    }
    let told = aim.name();
    html! {
        section.looks aria-labelledby="look-next" {
            h3 id="look-next" { "Look next" }
            @for look in looks.iter().take(SHOWN) {
                (one(&Shown {
                    question: question(&look.asks, library),
                    how: how_to(&look.asks),
                    tells: told,
                    bits: look.bits,
                    code: code(&look.asks, library),
                    replies: look.replies.iter().map(|one| {
                        let text = reply(look, one, library);
                        (text, shown(desk, &one.seen), added(fields, look, &one.seen, desk.house))
                    }).collect(),
                }, fields))
            }
            @if !said.unsure.is_empty() { (again(fields, said.unsure.len())) }
        }
    }
}

/// The address of the picture of what a reply says is there.
fn shown(desk: &Desk, seen: &Seen) -> Option<String> {
    match seen {
        Seen::There(motif) => pictures::motif(desk, &desk.house.catalogue.motifs[*motif].id),
        _ => None,
    }
}

/// A look as it is shown.
pub(super) struct Shown {
    pub(super) question: String,
    pub(super) how: &'static str,
    /// What it is to tell.
    pub(super) tells: &'static str,
    pub(super) bits: f64,
    /// The look as it stands in an address.
    pub(super) code: String,
    /// Each reply: its words, the address of its picture, and the fields with it.
    pub(super) replies: Vec<(String, Option<String>, Fields)>,
}

/// One look with its replies.
pub(super) fn one(look: &Shown, fields: &Fields) -> Markup {
    let mut unsure = kept(fields);
    unsure.push(UNSURE, &look.code);
    html! {
        div.look {
            p.question { (look.question) }
            ul.replies aria-label=(format!("Replies: {}", look.question)) {
                @for (text, picture, with) in &look.replies {
                    li {
                        a.button.quiet href=(with.address("/")) {
                            @if let Some(picture) = picture { img.term src=(picture) alt="" width="48" height="48" loading="lazy"; }
                            (text)
                        }
                    }
                }
                li { a.button.quiet.unsure href=(unsure.address("/")) { "not sure" } }
            }
            p.how { "How: " (look.how) ". Tells the " (look.tells) ": " (format!("{:.2}", look.bits)) " bits." }
        }
    }
}

/// A way to be asked again what the finder was not sure of.
pub(super) fn again(fields: &Fields, count: usize) -> Markup {
    let mut without = Fields::default();
    let kept = kept(fields);
    let others = kept.iter().filter(|(name, _)| *name != UNSURE);
    others.for_each(|(name, text)| without.push(name, text));
    html! {
        p.how {
            "You were not sure of " (count) (if count == 1 { " question" } else { " questions" }) ". "
            a href=(without.address("/")) { "Ask them again" }
        }
    }
}

/// The fields with what a reply says.
fn added(fields: &Fields, look: &Look, seen: &Seen, house: &House) -> Fields {
    let side = match look.asks {
        Asks::Motif { side, .. } | Asks::Which { side, .. } | Asks::Letters { side, .. } => side,
        _ => Side::Unknown,
    };
    let shown = match side {
        Side::Obverse => Field::ObverseMotif,
        Side::Reverse => Field::ReverseMotif,
        Side::Unknown => Field::Motif,
    };
    match seen {
        Seen::There(motif) => {
            let text = wording(shown, *motif, true, house);
            with(fields, shown, &text.unwrap_or_default())
        }
        Seen::Absent(motifs) => {
            let texts = motifs.iter();
            let texts: Vec<String> = texts
                .filter_map(|motif| wording(shown, *motif, false, house))
                .collect();
            with(fields, shown, &texts.join(", "))
        }
        Seen::Letters(run) => {
            let legend = match side {
                Side::Obverse => Field::ObverseLegend,
                Side::Reverse => Field::ReverseLegend,
                Side::Unknown => Field::Legend,
            };
            with(fields, legend, &format!("[---]{run}[---]"))
        }
        Seen::Diameter(band) => with(fields, Field::Diameter, &range(*band, "mm")),
        Seen::Weight(band) => with(fields, Field::Weight, &range(*band, "g")),
        Seen::Metal(metal) => with(fields, Field::Metal, metal.name()),
        Seen::Hour(hour) => with(fields, Field::DieAxis, &hour.to_string()),
        Seen::Made(making) => with(fields, Field::Making, making.name()),
    }
}

/// Words for a motif that is there, or is not, that are heard as just that: "no beard" would be
/// heard as a beardless head. None where the library has no such words.
pub(super) fn wording(field: Field, motif: usize, present: bool, house: &House) -> Option<String> {
    let motif = &house.catalogue.motifs[motif];
    let heard = |text: &String| {
        let (find, _) = parse::form(&[(field, text.clone())], &house.lexicon);
        let sightings = &find.sightings;
        let meant = |one: &Sighting| one.motif == motif.id && one.present == present && one.sure;
        sightings.len() == 1 && sightings.iter().all(meant)
    };
    let before: &[&str] = if present { &[""] } else { &["no ", "without "] };
    let names = std::iter::once(&motif.name).chain(&motif.words);
    let texts = names.flat_map(|name| {
        let name = name.to_lowercase();
        before.iter().map(move |before| format!("{before}{name}"))
    });
    texts.into_iter().find(heard)
}

/// A band as it would be typed; an open one reaches a third beyond its edge, as the scorer takes it.
fn range(band: Band, unit: &str) -> String {
    let (from, to) = match (band.from, band.to) {
        (Some(from), Some(to)) => (from, to),
        (Some(from), None) => (from, from * 4.0 / 3.0),
        (None, Some(to)) => (to * 3.0 / 4.0, to),
        (None, None) => return String::new(),
    };
    let short = |figure: f64| {
        let text = format!("{figure:.3}");
        text.trim_end_matches('0').trim_end_matches('.').to_string()
    };
    format!("{}-{} {unit}", short(from), short(to))
}

/// The fields with one more text in a field, behind what stands there.
pub(super) fn with(fields: &Fields, field: Field, text: &str) -> Fields {
    set(fields, field.name(), between(field), text)
}

/// The fields with one more text in a field of this name.
pub(super) fn set(fields: &Fields, name: &str, between: &str, text: &str) -> Fields {
    let mut there = false;
    let mut with = Fields::default();
    for (held, old) in kept(fields).iter() {
        if held == name && !text.is_empty() {
            there = true;
            with.push(name, &format!("{old}{between}{text}"));
        } else {
            with.push(held, old);
        }
    }
    if !there && !text.is_empty() {
        with.push(name, text);
    }
    with
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;
    use crate::find::{Find, Making, MetalSeen};
    use crate::parse::Lexicon;
    use crate::score::Reply;

    fn told(asks: Asks, seen: &Seen, library: &Catalogue) -> Find {
        let look = Look {
            asks,
            replies: vec![Reply {
                seen: seen.clone(),
                chance: 1.0,
            }],
            unsure: 0.1,
            bits: 1.0,
            seconds: 1.0,
            laws: Vec::new(),
        };
        look.told(&Find::default(), Some(0), library)
    }

    #[test]
    fn figures_are_heard_as_the_look_means_them() {
        let library = Catalogue::default();
        let lexicon = Lexicon::new(&library);
        let edges = [
            (None, Some(15.0)),
            (Some(15.0), Some(18.5)),
            (Some(18.5), None),
        ];
        for (from, to) in edges {
            let band = Band { from, to };
            let meant = told(Asks::Diameter, &Seen::Diameter(band), &library);
            let said = parse::form(&[(Field::Diameter, range(band, "mm"))], &lexicon).0;
            let figures = |find: &Find| find.diameter.map(|mm| (mm.value.get(), mm.error));
            let (a, b) = (figures(&meant).expect("mm"), figures(&said).expect("mm"));
            assert!(
                (a.0 - b.0).abs() < 0.01 && (a.1 - b.1).abs() < 0.01,
                "{a:?} {b:?}"
            );
            let meant = told(Asks::Weight, &Seen::Weight(band), &library);
            let said = parse::form(&[(Field::Weight, range(band, "g"))], &lexicon).0;
            let figures = |find: &Find| find.weight.map(|g| (g.value.get(), g.error));
            let (a, b) = (figures(&meant).expect("g"), figures(&said).expect("g"));
            assert!(
                (a.0 - b.0).abs() < 0.01 && (a.1 - b.1).abs() < 0.01,
                "{a:?} {b:?}"
            );
        }
    }

    #[test]
    fn metals_hours_and_makings_are_heard_as_the_look_means_them() {
        let library = Catalogue::default();
        let lexicon = Lexicon::new(&library);
        for metal in MetalSeen::ALL {
            let said = parse::form(&[(Field::Metal, metal.name().into())], &lexicon).0;
            assert_eq!(
                said,
                told(Asks::Metal, &Seen::Metal(metal), &library),
                "{metal:?}"
            );
        }
        for hour in 1..=12 {
            let said = parse::form(&[(Field::DieAxis, hour.to_string())], &lexicon).0;
            assert_eq!(
                said,
                told(Asks::DieAxis, &Seen::Hour(hour), &library),
                "{hour}"
            );
        }
        for making in [Making::Hammered, Making::Milled, Making::Cast] {
            let said = parse::form(&[(Field::Making, making.name().into())], &lexicon).0;
            assert_eq!(
                said,
                told(Asks::Making, &Seen::Made(making), &library),
                "{making:?}"
            );
        }
    }
}
