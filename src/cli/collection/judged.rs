//! What a find is judged to be before it is kept: a coin or another thing, and which.
//!
//! Calls the house and its things as `identify` does, and puts what they say into the columns of
//! the shelf. Opens no shelf; the things are opened only where a find needs them.
//!
//! Invariant: no id is kept that is narrower than the answer, and what the finder said of its kind
//! holds.

use super::gather::{fields, heard, measure, said};
use crate::catalogue::Artefacts;
use crate::cli::answering::Answering;
use crate::cli::error::Trouble;
use crate::cli::judging::Judging;
use crate::cli::opened::Opened;
use crate::cli::thing::{BothView, Shown, ThingView};
use crate::cli::view::AnswerView;
use crate::collect::{Entry, FindKind, Identified};
use crate::explain::{chance_in_figures, thing_text, type_name};
use crate::find::{Dimension, Find, Object};
use crate::parse::{Remark, ThingFields};

use crate::score::{LEVEL_CARRIES, Level, ThingLevel};
use crate::{HeardThing, House, Identification, Taken, ThingIdentification, Things, Told};

/// How many candidates of each kind are kept with an identification.
const CANDIDATES: usize = 5;
/// Most characters of the phrase that is kept.
const PHRASE_MOST: usize = 280;
/// The field in which the finder says whether it is a coin.
pub(super) const KIND: &str = "kind";

/// What came of hearing and judging a find.
pub(crate) struct Judged {
    /// What it was identified as; none where nothing was understood or nothing asked.
    pub(crate) identified: Option<Identified>,
    /// What there is to say of it.
    pub(crate) notes: Vec<String>,
    /// True where nothing was understood that bears on what it is.
    pub(crate) nothing: bool,
    /// What was not understood as a coin's.
    pub(crate) remarks: Vec<Remark>,
}

/// Hears a find, puts what it measures and its kind into the columns, and identifies it where that
/// is wanted.
pub(in crate::cli) fn judged(
    entry: &mut Entry,
    identify: bool,
    judging: &Judging,
    opened: &Opened<'_>,
) -> Result<Judged, Trouble> {
    let (find, remarks) = heard(entry, opened.house()?);
    let told = told(entry);
    let judged = begun(entry, &find, &remarks, &told);
    if !identify || named(entry, &told) {
        return Ok(judged);
    }
    let answering = Answering::of((find, remarks), &told, judging, opened)?;
    answered(entry, judged, &told, &answering, opened)
}

/// The same of a find that a verb has answered: the identification is that answer's.
pub(super) fn as_answered(
    entry: &mut Entry,
    answering: &Answering<'_>,
    opened: &Opened<'_>,
) -> Result<Judged, Trouble> {
    let told = told(entry);
    let judged = begun(entry, &answering.find, &answering.remarks, &told);
    match named(entry, &told) {
        true => Ok(judged),
        false => answered(entry, judged, &told, answering, opened),
    }
}

/// What can be put down of a find before it is identified.
fn begun(entry: &mut Entry, find: &Find, remarks: &[Remark], told: &Told) -> Judged {
    measure(entry, find);
    if let Some(coin) = told.coin {
        entry.kind = kind(coin);
    }
    Judged {
        identified: None,
        notes: remarks.iter().map(ToString::to_string).collect(),
        nothing: find.says_nothing(),
        remarks: remarks.to_vec(),
    }
}

/// True when the finder has said what the thing is.
fn named(entry: &Entry, told: &Told) -> bool {
    said(entry, "object").is_some() && told.coin != Some(true)
}

fn answered(
    entry: &mut Entry,
    mut judged: Judged,
    told: &Told,
    answering: &Answering<'_>,
    opened: &Opened<'_>,
) -> Result<Judged, Trouble> {
    match &answering.taken {
        Taken::Coin if told.coin == Some(false) => {}
        Taken::Coin => {
            entry.kind = FindKind::Coin;
            if !judged.nothing {
                let (one, taught) = as_coin(answering, entry, 1.0);
                judged.identified = Some(one);
                judged.notes.splice(0..0, taught);
            }
        }
        Taken::Thing(heard) => {
            let asked = (heard, opened.things()?, false);
            as_thing(answering, entry, asked, &mut judged);
        }
        Taken::Either(heard) => {
            let asked = (heard, opened.things()?, true);
            as_thing(answering, entry, asked, &mut judged);
        }
    }
    Ok(judged)
}

fn kind(coin: bool) -> FindKind {
    match coin {
        true => FindKind::Coin,
        false => FindKind::Artefact,
    }
}

/// What was typed of a find, as the house takes it.
fn told(entry: &Entry) -> Told {
    let coin = match (said(entry, KIND).as_deref(), said(entry, "object")) {
        (Some("coin"), _) => Some(true),
        (Some("artefact"), _) | (None, Some(_)) => Some(false),
        _ => None,
    };
    Told {
        words: entry.words.clone(),
        fields: fields(entry),
        thing: ThingFields {
            class: said(entry, "class"),
            length: said(entry, "length"),
            width: said(entry, "width"),
            height: said(entry, "height"),
            complete: said(entry, "complete").is_some_and(|text| text != "no"),
            period: said(entry, "period"),
        },
        coin,
    }
}

fn view(answering: &Answering<'_>, entry: &Entry) -> AnswerView {
    let (id, said) = (Some(entry.id.clone()), answering.coin());
    AnswerView::of(id, said, &answering.remarks, answering.house, CANDIDATES)
}

/// A coin, and what the finder's own finds had to say; `chance` is that of its being one.
fn as_coin(answering: &Answering<'_>, entry: &Entry, chance: f64) -> (Identified, Vec<String>) {
    let said = answering.coin();
    let mut one = coin(said, answering.house);
    one.share = Some(said.answer.p * chance);
    one.answer = serde_json::to_string(&view(answering, entry)).ok();
    let taught = said.explanation.taught.iter();
    (
        one,
        taught.map(|text| format!("the answer {text}")).collect(),
    )
}

/// A thing, or where that is open, the likelier of the two.
fn as_thing(
    answering: &Answering<'_>,
    entry: &mut Entry,
    (heard, things, open): (&HeardThing, &Things, bool),
    judged: &mut Judged,
) {
    let chance = if open { heard.kind.coin } else { 0.0 };
    let house = answering.house;
    let said = answering.thing(heard, things);
    let shown = Shown {
        heard,
        said,
        things,
        house,
        top: CANDIDATES,
    };
    let thing_view = ThingView::of(&shown);
    judged.nothing = false;
    let coin = open && chance >= 0.5;
    entry.kind = kind(coin);
    let mut one = match coin {
        true => {
            let (one, taught) = as_coin(answering, entry, chance);
            judged.notes.splice(0..0, taught);
            one
        }
        false => {
            sized(entry, &heard.object);
            judged.notes = heard.remarks.iter().map(ToString::to_string).collect();
            thing(said, &things.artefacts, house)
        }
    };
    judged.notes.splice(0..0, shown.cautions());
    if open {
        let (kept, other) = match coin {
            true => ("a coin", "--thing"),
            false => ("a thing that is no coin", "--coin"),
        };
        judged.notes.push(format!(
            "whether it is a coin is open ({} that it is); it is kept as {kept}; if \
             it is not one, say so with: lynchet collection edit {} {other} --again",
            chance_in_figures(chance),
            entry.id
        ));
        if !coin {
            one.share = one.share.map(|share| share * (1.0 - chance));
        }
        let both = BothView {
            coin_share: chance,
            coin: view(answering, entry),
            thing: thing_view,
        };
        one.answer = serde_json::to_string(&both).ok();
    } else {
        one.answer = serde_json::to_string(&thing_view).ok();
    }
    judged.identified = Some(one);
}

/// Puts the sizes of a thing into the columns; one whose direction was not said is in its words.
fn sized(entry: &mut Entry, object: &Object) {
    let size = |dimension| {
        let mut said = object.sizes.iter();
        let said = said.find(|one| one.dimension == Some(dimension));
        said.map(|one| one.size.value.get())
    };
    entry.diameter_mm = size(Dimension::Diameter);
    entry.thickness_mm = size(Dimension::Thickness);
    if let Some((metal, _)) = object.metal {
        entry.metal = Some(metal.name().into());
    }
    if let Some(weight) = object.weight {
        entry.weight_g = Some(weight.value.get());
    }
}

fn phrase(text: &str, house: &House) -> Identified {
    let mut one = Identified::new(&text.chars().take(PHRASE_MOST).collect::<String>());
    one.library = Some(house.catalogue.digest.clone());
    one.version = Some(env!("CARGO_PKG_VERSION").into());
    one
}

/// An identification of a coin as it is kept: the ids that its level carries, and no narrower one.
fn coin(said: &Identification, house: &House) -> Identified {
    let library = &house.catalogue;
    let mut one = phrase(&said.text, house);
    one.level = Some(said.answer.level.name().into());
    one.from_year = said.answer.span.map(|span| i64::from(span.from));
    one.to_year = said.answer.span.map(|span| i64::from(span.to));
    let Some(coin) = said.answer.like.map(|like| &library.types[like]) else {
        return one;
    };
    let level = said.answer.level;
    let of = |levels: &[Level]| level == Level::Type || levels.contains(&level);
    let ruler = coin.ruler.map(|ruler| library.rulers[ruler].id.clone());
    one.type_id = (of(&[]) && !coin.rest).then(|| coin.id.clone());
    one.ruler = ruler.filter(|_| of(&[Level::Ruler, Level::RulerAndDenomination]));
    one.series = of(&[Level::Series, Level::SeriesAndDenomination])
        .then(|| library.series[coin.series].id.clone());
    one.denomination = of(&[
        Level::RulerAndDenomination,
        Level::SeriesAndDenomination,
        Level::PeriodAndDenomination,
        Level::Denomination,
    ])
    .then(|| library.denominations[coin.denomination].id.clone());
    let open = [Level::Denomination, Level::Open, Level::Unlisted];
    one.period = (!open.contains(&level)).then(|| library.periods[coin.period].id.clone());
    one
}

/// An identification of a thing as it is kept. Its group stands where a coin's series does.
fn thing(said: &ThingIdentification, artefacts: &Artefacts, house: &House) -> Identified {
    let answer = &said.answer;
    let mut one = phrase(&thing_text(answer, artefacts), house);
    one.level = Some(answer.level.name().into());
    one.share = Some(answer.p);
    one.from_year = answer.span.map(|span| i64::from(span.from));
    one.to_year = answer.span.map(|span| i64::from(span.to));
    let like = answer.like.map(|like| &artefacts.types[like]);
    let class = like.map(|like| artefacts.classes[like.class].id.clone());
    match answer.level {
        ThingLevel::Type => {
            one.type_id = Some(answer.id.clone());
            one.series = like
                .zip(class.as_ref())
                .map(|(like, class)| group(class, &like.group));
            one.class = class;
        }
        ThingLevel::Group => {
            one.series = Some(answer.id.clone());
            one.class = class;
        }
        ThingLevel::Class | ThingLevel::Wider => one.class = Some(answer.id.clone()),
        ThingLevel::Open => {}
    }
    let sure = said.shares.periods.first();
    one.period = match answer.level {
        ThingLevel::Type => like.map(|like| artefacts.periods[like.period].id.clone()),
        _ => sure
            .filter(|share| share.p >= LEVEL_CARRIES)
            .map(|share| share.id.clone()),
    };
    one
}

fn group(class: &str, group: &str) -> String {
    format!("{class}/{group}")
}

/// A decision of a person: a type of coins or of things or a class by its id, or words.
pub(crate) fn decided(what: &str, opened: &Opened<'_>) -> Result<Identified, Trouble> {
    let house = opened.house()?;
    let library = &house.catalogue;
    let id = what.trim();
    let found = library.type_by_id(id).map(|coin| &library.types[coin]);
    if let Some(coin) = found.filter(|coin| !coin.rest) {
        let mut one = phrase(&type_name(coin, library), house);
        one.level = Some(Level::Type.name().into());
        one.type_id = Some(coin.id.clone());
        one.ruler = coin.ruler.map(|ruler| library.rulers[ruler].id.clone());
        one.series = Some(library.series[coin.series].id.clone());
        one.denomination = Some(library.denominations[coin.denomination].id.clone());
        one.period = Some(library.periods[coin.period].id.clone());
        one.from_year = Some(i64::from(coin.span.from));
        one.to_year = Some(i64::from(coin.span.to));
        return Ok(one);
    }
    // Words of more than one part are no id, and need no library.
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '-' | '_');
    if !id.chars().all(plain) {
        return Ok(Identified::new(what));
    }
    let artefacts = &opened.things()?.artefacts;
    if let Some(at) = artefacts.type_by_id(id) {
        let artefact = &artefacts.types[at];
        let class = &artefacts.classes[artefact.class];
        let mut one = phrase(&format!("{}: {}", class.name, artefact.name), house);
        one.level = Some(ThingLevel::Type.name().into());
        one.type_id = Some(artefact.id.clone());
        one.series = Some(group(&class.id, &artefact.group));
        one.class = Some(class.id.clone());
        one.period = Some(artefacts.periods[artefact.period].id.clone());
        one.from_year = Some(i64::from(artefact.span.from));
        one.to_year = Some(i64::from(artefact.span.to));
        return Ok(one);
    }
    let mut classes = artefacts.classes.iter();
    Ok(match classes.find(|class| class.id == id) {
        None => Identified::new(what),
        Some(class) => {
            let mut one = phrase(&class.name, house);
            one.level = Some(ThingLevel::Class.name().into());
            one.class = Some(class.id.clone());
            one
        }
    })
}
