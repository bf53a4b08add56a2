//! What the figures of a thing say by themselves, in sentences: the gun of a ball, the standard of
//! a weight, the wall of a bell or thimble, the metal of a whorl, the maker on a cartridge case.
//!
//! Asks the room `reckon` for the figures and words them; weighs nothing.
//!
//! Invariant: nothing is said of a figure that was not given, and nothing of a class that is hardly
//! in question.

use super::phrase::chance_in_figures;
use crate::catalogue::Artefacts;
use crate::find::{Dimension, Left, MetalSeen, Object, Presence, Span};
use crate::reckon::{
    Ball, Metal, Roundness, Shell, Stamp, Weighed, bell, headstamp, shot, thimble, weigh, whorl,
};

/// Share from which on a class is in question.
const IN_QUESTION: f64 = 0.2;
/// Arms and standards that are told of.
const TOLD: usize = 3;
/// States in which the diameter of a ball is no guide.
const BATTERED: [&str; 4] = ["crushed", "bent", "cut-up", "fragment"];

/// The sentences, without full stops. `classes` are ids with their shares; `within` the years in
/// which the piece is known to lie, where they are known by anything else.
pub fn reckoned(
    object: &Object,
    classes: &[(&str, f64)],
    within: Option<Span>,
    artefacts: &Artefacts,
) -> Vec<String> {
    let asked = |names: &[&str]| {
        let share: f64 = classes
            .iter()
            .filter(|class| names.contains(&class.0))
            .map(|class| class.1)
            .sum();
        share >= IN_QUESTION
    };
    let mut told = Vec::new();
    if asked(&["cartridge-case"]) {
        let stamps = object.letters.iter();
        told.extend(
            stamps.flat_map(|typed| stamp(&headstamp(typed, &artefacts.headstamps), artefacts)),
        );
    }
    if asked(&["shot"]) {
        told.extend(ball(object, within, artefacts));
    }
    if asked(&["weight", "steelyard-weight", "plumb-bob", "net-weight"]) {
        told.extend(against_standards(object, within, artefacts));
    }
    if asked(&["spindle-whorl", "net-weight", "bead"]) {
        told.extend(spinning(object));
    }
    if asked(&["bell", "crotal-bell"]) {
        told.extend(walls(object, |grams, across, metal| {
            bell(grams, across, metal)
        }));
    }
    if asked(&["thimble"]) {
        let height = size(object, Dimension::Height).or(size(object, Dimension::Length));
        if let Some((height, _)) = height {
            told.extend(walls(object, |grams, across, metal| {
                thimble(grams, height, across, metal)
            }));
        }
    }
    told
}

/// A size and its error in mm; a single size without a direction is the diameter of what is round.
fn size(object: &Object, wanted: Dimension) -> Option<(f64, f64)> {
    let of = |dimension: Option<Dimension>| {
        let said = object
            .sizes
            .iter()
            .find(|said| said.dimension == dimension)?;
        Some((said.size.value.get(), said.size.error))
    };
    let alone = wanted == Dimension::Diameter && object.sizes.len() == 1;
    of(Some(wanted)).or_else(|| alone.then(|| of(None)).flatten())
}

fn grams(object: &Object) -> Option<(f64, f64)> {
    object
        .weight
        .map(|weight| (weight.value.get(), weight.error))
}

fn ball(object: &Object, within: Option<Span>, artefacts: &Artefacts) -> Vec<String> {
    let said = object
        .forms
        .iter()
        .filter(|form| form.presence == Presence::Present);
    let battered = object.left == Left::Fragment
        || said
            .flat_map(|form| &form.forms)
            .any(|form| BATTERED.contains(&form.as_str()));
    let across = size(object, Dimension::Diameter);
    let leaden = matches!(
        object.metal,
        None | Some((MetalSeen::Lead | MetalSeen::WhiteMetal, _)) | Some((_, false))
    );
    if !leaden {
        return Vec::new();
    }
    let Some(ball) = shot(grams(object), across, battered, within, &artefacts.arms) else {
        return Vec::new();
    };
    let mut told = vec![as_cast(&ball, battered)];
    told.extend(roundness(&ball).filter(|_| !battered));
    let arms = ball.arms.iter().take(TOLD).filter(|arm| arm.1 >= 0.05);
    let arms: Vec<String> = arms
        .map(|(at, share)| {
            let arm = &artefacts.arms[*at];
            format!(
                "{}, {} ({})",
                arm.name,
                arm.span.text(),
                chance_in_figures(*share)
            )
        })
        .collect();
    if !arms.is_empty() {
        told.push(format!(
            "balls so large were fired from: {}; from none of these {}",
            arms.join("; "),
            chance_in_figures(ball.none)
        ));
    }
    told
}

fn as_cast(ball: &Ball, battered: bool) -> String {
    let by = match (ball.density, battered) {
        (_, true) => ", by its weight, since it is battered",
        (Some(_), _) if ball.roundness != Roundness::Light => ", by its weight",
        _ => "",
    };
    // Small shot went by other measures.
    let pound = match ball.to_the_pound {
        number if number < 200.0 => format!(", {number:.0} to the pound"),
        _ => String::new(),
    };
    format!(
        "as a ball of lead it was {:.1} mm across{by}{pound}",
        ball.cast
    )
}

fn roundness(ball: &Ball) -> Option<String> {
    let density = ball.density?;
    Some(match ball.roundness {
        Roundness::Light => format!(
            "{density:.1} g to the cubic cm if round: too light for solid lead; hollow, of another metal, not round, or a slip of the figures"
        ),
        Roundness::Heavy => format!(
            "{density:.1} g to the cubic cm if round: too heavy for lead; measured across its shortest, no ball, or a slip of the figures"
        ),
        _ => format!("{density:.1} g to the cubic cm: solid lead, and round"),
    })
}

fn against_standards(object: &Object, within: Option<Span>, artefacts: &Artefacts) -> Vec<String> {
    let Some((heavy, error)) = grams(object) else {
        return Vec::new();
    };
    if object.left == Left::Fragment {
        return vec!["a part of a weight keeps no standard".to_string()];
    }
    let weighed = weigh(heavy, error, within, &artefacts.standards);
    weighed.map_or(Vec::new(), |weighed| standards(heavy, &weighed, artefacts))
}

fn standards(heavy: f64, weighed: &Weighed, artefacts: &Artefacts) -> Vec<String> {
    let near = weighed
        .near
        .iter()
        .take(TOLD)
        .filter(|near| near.share >= 0.05);
    let near: Vec<String> = near
        .map(|near| {
            let standard = &artefacts.standards[near.standard];
            let (off, side) = match near.off {
                off if off < 0.0 => (-off, "below"),
                off => (off, "above"),
            };
            format!(
                "{:.1} % {side} {:.2} g, {}: {} ({})",
                100.0 * off,
                near.nominal,
                standard.steps[near.step].name,
                standard.name,
                chance_in_figures(near.share)
            )
        })
        .collect();
    let mut told = match near.is_empty() {
        true => vec![format!(
            "{heavy:.2} g is near no step of a standard of the library"
        )],
        false => vec![format!(
            "{heavy:.2} g is {}; none of the library's {}",
            near.join("; "),
            chance_in_figures(weighed.none)
        )],
    };
    if !near.is_empty() {
        told.push(format!(
            "a weight taken at random would lie as near some step {:.0} times in 100, so the figure alone proves little",
            100.0 * weighed.by_chance
        ));
    }
    told
}

fn spinning(object: &Object) -> Vec<String> {
    let across = size(object, Dimension::Diameter);
    let high = size(object, Dimension::Height).or(size(object, Dimension::Thickness));
    let Some(((heavy, _), (across, _))) = grams(object).zip(across) else {
        return Vec::new();
    };
    let Some(whorl) = whorl(heavy, across, high.map(|size| size.0), None) else {
        return Vec::new();
    };
    let mut told = vec![format!(
        "on a spindle it would turn with {:.0} g cm2; whorls want a hole of 5 to 15 mm, so measure the hole",
        whorl.inertia
    )];
    if let Some(density) = whorl.density {
        let of = match whorl.of_lead() {
            Some(true) => "lead",
            _ => "something lighter than lead, or its sides are not straight",
        };
        told.push(format!(
            "{density:.1} g to the cubic cm if its sides are straight: {of}"
        ));
    }
    told
}

fn walls(object: &Object, of: impl Fn(f64, f64, Metal) -> Option<Shell>) -> Vec<String> {
    let metal = match object.metal {
        Some((MetalSeen::Silver | MetalSeen::BaseSilver | MetalSeen::Plated, _)) => Metal::Silver,
        Some((MetalSeen::Iron, _)) => Metal::Iron,
        Some((MetalSeen::CopperAlloy, _)) | None => Metal::CopperAlloy,
        Some(_) => return Vec::new(),
    };
    let across = size(object, Dimension::Diameter).or(size(object, Dimension::Width));
    let whole = !matches!(object.left, Left::Fragment);
    let figures = grams(object).zip(across).filter(|_| whole);
    let Some(shell) = figures.and_then(|((heavy, _), (across, _))| of(heavy, across, metal)) else {
        return Vec::new();
    };
    let says = match shell.cast() {
        Some(true) => "hardly sheet, so cast or turned",
        Some(false) => "hardly cast, so of sheet",
        None => "sheet or casting, either",
    };
    vec![format!(
        "its wall is about {:.1} mm thick by its weight: {says}",
        shell.wall
    )]
}

fn stamp(stamp: &Stamp, artefacts: &Artefacts) -> Vec<String> {
    let makers = stamp.makers.iter().map(|(at, read)| {
        let maker = &artefacts.headstamps[*at];
        format!("{read} is {}, {}", maker.name, maker.span.text())
    });
    let years = stamp
        .years
        .iter()
        .map(|(year, read)| format!("{read} may be the year {year}"));
    let marks = stamp
        .marks
        .iter()
        .map(|mark| format!("{mark} is the mark of the round"));
    let loads = stamp
        .loads
        .iter()
        .map(|(read, load)| format!("{read} before it means {load}"));
    let calibres = stamp
        .calibres
        .iter()
        .map(|read| format!("{read} may be the calibre"));
    let read: Vec<String> = makers
        .chain(calibres)
        .chain(years)
        .chain(loads)
        .chain(marks)
        .collect();
    if read.is_empty() {
        return Vec::new();
    }
    let unread = match stamp.unread.is_empty() {
        true => String::new(),
        false => format!("; not read: {}", stamp.unread.join(" ")),
    };
    vec![format!(
        "of the stamp {}{unread}; no stamp says that a round is safe",
        read.join(", ")
    )]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::{Arm, Headstamp, Standing, Step, WeightStandard};
    use crate::find::{Grams, Measured, Millimetres, SizeSaid};

    fn library() -> Artefacts {
        let span = Span::new(1600, 1700).unwrap();
        Artefacts {
            arms: vec![Arm {
                id: "musket".to_string(),
                name: "musket".to_string(),
                span,
                ball: [17.4, 19.7],
                often: 1.0,
                note: None,
                sources: Vec::new(),
                standing: Standing::Recalled,
            }],
            standards: vec![WeightStandard {
                id: "ounce".to_string(),
                name: "avoirdupois".to_string(),
                span,
                unit: 28.35,
                often: 1.0,
                steps: vec![Step {
                    name: "ounce".to_string(),
                    of: 1.0,
                }],
                note: None,
                sources: Vec::new(),
                standing: Standing::Recalled,
            }],
            headstamps: vec![Headstamp {
                id: "kynoch".to_string(),
                name: "Kynoch".to_string(),
                span: Span::new(1862, 1970).unwrap(),
                codes: vec!["K".to_string()],
                note: None,
                sources: Vec::new(),
                standing: Standing::Recalled,
            }],
            ..Artefacts::default()
        }
    }

    fn object(weight: Option<f64>, across: Option<f64>) -> Object {
        Object {
            weight: weight.map(|grams| Measured {
                value: Grams::new(grams).unwrap(),
                error: 0.05,
            }),
            sizes: across
                .map(|mm| SizeSaid {
                    dimension: None,
                    size: Measured {
                        value: Millimetres::new(mm).unwrap(),
                        error: 0.1,
                    },
                    said: String::new(),
                })
                .into_iter()
                .collect(),
            ..Object::default()
        }
    }

    fn told(object: &Object, class: &str) -> String {
        reckoned(object, &[(class, 0.9)], None, &library()).join("\n")
    }

    #[test]
    fn a_ball_is_told_by_weight_and_size() {
        let sound = told(&object(Some(37.8), Some(18.5)), "shot");
        assert!(
            sound.contains("12 to the pound") && sound.contains("solid lead"),
            "{sound}"
        );
        assert!(sound.contains("musket, 1600-1700"), "{sound}");
        let light = told(&object(Some(20.0), Some(18.5)), "shot");
        assert!(light.contains("too light for solid lead"), "{light}");
    }

    #[test]
    fn a_weight_is_told_with_what_chance_would_do() {
        let ounce = told(&object(Some(28.0), None), "weight");
        assert!(
            ounce.contains("1.2 % below 28.35 g, ounce: avoirdupois"),
            "{ounce}"
        );
        assert!(ounce.contains("taken at random"), "{ounce}");
        let astray = told(&object(Some(20.0), None), "weight");
        assert!(astray.contains("near no step"), "{astray}");
    }

    #[test]
    fn a_stamp_is_told_with_its_caution() {
        let mut case = object(None, None);
        case.letters = vec!["K 42 VII".to_string()];
        let stamp = told(&case, "cartridge-case");
        assert!(
            stamp.contains("K is Kynoch, 1862-1970") && stamp.contains("1942"),
            "{stamp}"
        );
        assert!(
            stamp.ends_with("no stamp says that a round is safe"),
            "{stamp}"
        );
    }

    #[test]
    fn nothing_is_told_of_other_classes_or_without_figures() {
        assert_eq!(told(&object(Some(28.0), Some(18.0)), "buckle"), "");
        for class in [
            "shot",
            "weight",
            "thimble",
            "bell",
            "spindle-whorl",
            "cartridge-case",
        ] {
            assert_eq!(told(&object(None, None), class), "", "{class}");
        }
        let hardly = reckoned(
            &object(Some(28.0), None),
            &[("weight", 0.1)],
            None,
            &library(),
        );
        assert!(hardly.is_empty());
    }
}
