//! What the traits of a thing that is no coin say it is, as fields: class, type, typology, when.
//!
//! Every field is blank where a person has told it, names nothing narrower than its chance
//! carries, and lists what is open. Judges nothing.
//!
//! Invariant: nothing here is written as told, measured or seen that the finder did not say.

use super::draft::{Quantity, Standing};
use super::seen::quantity_text;
use super::sheet::Sheet;
use crate::catalogue::{Artefacts, Caution};
use crate::explain::chance_in_figures;
use crate::find::{Dimension, Measured, Millimetres, Object, Presence, SizeSaid, Span};
use crate::score::{Hypothesis, ThingAnswer, ThingLevel, ThingRanking, ThingShare, ThingShares};
use crate::treasure::Age;

/// Chance from which a value is named as what it is.
const CARRIED: f64 = 0.5;
/// Chance from which a candidate is listed while a field is open, and how many are.
const LISTED: (f64, usize) = (0.05, 4);
/// Chance of a type below which its years are not counted among those of the thing.
const FAINT: f64 = 1e-3;

/// What the traits of a thing say it is.
#[derive(Clone, Copy, Debug)]
pub struct ThingJudgement<'a> {
    /// What was understood of it.
    pub object: &'a Object,
    /// The hypotheses judged.
    pub ranking: &'a ThingRanking,
    /// Shares at each level.
    pub shares: &'a ThingShares,
    /// The narrowest level that the evidence carries.
    pub answer: &'a ThingAnswer,
    /// What its finder ought to be told, the gravest first.
    pub cautions: &'a [Caution],
    /// The library of things.
    pub artefacts: &'a Artefacts,
}

/// Fills in what is inferred, and what of the words only a thing has; the years, where carried.
pub(super) fn fill(
    thing: &ThingJudgement<'_>,
    told: Option<Span>,
    sheet: &mut Sheet,
) -> Option<Span> {
    said(thing.object, sheet);
    class(thing, sheet);
    kind(thing, sheet);
    period(thing, sheet);
    told.or_else(|| date(thing, sheet))
}

/// Sizes, forms and periods as they were said.
fn said(object: &Object, sheet: &mut Sheet) {
    for one in &object.sizes {
        let Some(dimension) = one.dimension else {
            continue;
        };
        let name = match dimension {
            Dimension::Length => "length",
            Dimension::Width => "width",
            Dimension::Thickness => "thickness",
            Dimension::Height => "height",
            Dimension::Diameter => "diameter",
        };
        let quantity = Quantity {
            value: one.size.value.get(),
            unit: "mm",
            error: Some(one.size.error),
        };
        sheet.put_number(name, quantity_text(quantity), Standing::Measured, quantity);
    }
    let mut forms: Vec<String> = Vec::new();
    for form in &object.forms {
        let doubt = if form.sure { "" } else { " (?)" };
        let text = match form.presence {
            Presence::Present => format!("{}{doubt}", form.said),
            Presence::Absent => format!("no {} (looked for){doubt}", form.said),
            Presence::BrokenAway => format!("{} broken away{doubt}", form.said),
        };
        if !forms.contains(&text) {
            forms.push(text);
        }
    }
    sheet.put("features", forms.join("; "), Standing::Seen);
    let periods: Vec<&str> = object.periods.iter().map(|one| one.said.as_str()).collect();
    sheet.put("period", periods.join(" or "), Standing::Told(None));
}

/// All that was said and heard as of a thing, in the finder's words.
pub(super) fn heard(object: &Object) -> String {
    let classes = object.classes.iter().map(|one| one.said.as_str());
    let forms = object.forms.iter().map(|one| one.said.as_str());
    let sizes = object.sizes.iter().map(|one| one.said.as_str());
    let periods = object.periods.iter().map(|one| one.said.as_str());
    let all = classes.chain(forms).chain(sizes).chain(periods);
    all.collect::<Vec<_>>().join(" ")
}

/// True of a size that was said of a thing in another direction than across it.
pub(super) fn is_another(thing: Option<ThingJudgement<'_>>, size: Measured<Millimetres>) -> bool {
    let sizes = thing.map_or(&[][..], |one| one.object.sizes.as_slice());
    let other = |one: &&SizeSaid| one.dimension.is_some_and(|of| of != Dimension::Diameter);
    sizes.iter().filter(other).any(|one| one.size == size)
}

fn class(thing: &ThingJudgement<'_>, sheet: &mut Sheet) {
    let name = |share: &ThingShare| {
        let classes = &thing.artefacts.classes;
        let class = classes.iter().find(|class| class.id == share.id);
        class.map(|class| class.name.clone())
    };
    // Where no class carries, a wider one may.
    let wide = || {
        let carried = thing.answer.level == ThingLevel::Wider;
        let wide = thing
            .shares
            .wider
            .iter()
            .find(|one| one.id == thing.answer.id);
        let wide = wide.filter(|one| carried && one.p >= CARRIED)?;
        Some((format!("{}, which kind is open", name(wide)?), wide.p))
    };
    let shares = &thing.shares.classes;
    let first = shares.first().filter(|one| one.p >= CARRIED);
    let carried = first
        .and_then(|one| Some((name(one)?, one.p)))
        .or_else(wide);
    match carried {
        Some((value, p)) => {
            sheet.put("object_type", value.clone(), Standing::Inferred(p));
            sheet.put("class", value, Standing::Inferred(p));
        }
        None => {
            sheet.put("class", open(shares, name), Standing::Open);
        }
    }
}

/// The type with its typology and how it was made, or else its published group, or candidates.
fn kind(thing: &ThingJudgement<'_>, sheet: &mut Sheet) {
    let types = &thing.artefacts.types;
    let of = |share: &ThingShare| share.like.map(|at| &types[at]);
    let first = |shares: &[ThingShare]| {
        let first = shares.first().filter(|one| one.p >= CARRIED)?;
        Some((of(first)?, first.p))
    };
    if let Some((one, p)) = first(&thing.shares.types) {
        let standing = Standing::Inferred(p);
        sheet.put(
            "reference",
            format!("{} [{}]", one.name, one.id),
            standing.clone(),
        );
        sheet.put(
            "typology",
            one.typology.clone().unwrap_or_default(),
            standing.clone(),
        );
        sheet.put("published", one.refs.join("; "), standing.clone());
        sheet.put(
            "manufacture",
            one.made.map_or("", |made| made.name()),
            standing,
        );
        return;
    }
    if let Some((one, p)) = first(&thing.shares.groups) {
        let standing = Standing::Inferred(p);
        let group = one.group.replace('-', " ");
        sheet.put(
            "reference",
            format!("of the group {group}"),
            standing.clone(),
        );
        sheet.put(
            "typology",
            one.typology.clone().unwrap_or_default(),
            standing,
        );
        return;
    }
    let name = |share: &ThingShare| of(share).map(|one| one.name.clone());
    sheet.put("reference", open(&thing.shares.types, name), Standing::Open);
}

fn period(thing: &ThingJudgement<'_>, sheet: &mut Sheet) {
    let name = |share: &ThingShare| {
        let periods = &thing.artefacts.periods;
        let period = periods.iter().find(|period| period.id == share.id);
        period.map(|period| period.name.clone())
    };
    let shares = &thing.shares.periods;
    let first = shares.first().filter(|one| one.p >= CARRIED);
    match first.and_then(|one| Some((name(one)?, one.p))) {
        Some((value, p)) => sheet.put("period", value, Standing::Inferred(p)),
        None => sheet.put("period", open(shares, name), Standing::Open),
    };
}

/// The years of the answer, where it carries; else those that hold four in five of the chance.
fn date(thing: &ThingJudgement<'_>, sheet: &mut Sheet) -> Option<Span> {
    let answer = thing.answer;
    let carried = answer.span.filter(|_| answer.p >= CARRIED);
    // The years of an answer leave out its rarer types, so they hold no more than this.
    let held = carried.map_or(0.0, |span| within(thing, span).min(answer.p));
    if let Some(span) = carried.filter(|_| held >= CARRIED) {
        sheet.put("date", span.text(), Standing::Inferred(held));
        return Some(span);
    }
    let dates = thing.ranking.dates(thing.artefacts)?;
    sheet.put("date", dates.ranges().p80.text(), Standing::Open);
    None
}

/// The share of the types' chance that lies within some years; what is of no listed type may be of
/// any time, and counts against them.
fn within(thing: &ThingJudgement<'_>, span: Span) -> f64 {
    let judged = &thing.ranking.judged;
    let all: f64 = judged.iter().map(|one| one.raw).sum::<f64>() + thing.ranking.outside;
    let inside = judged.iter().filter(|one| match one.what {
        Hypothesis::Type(at) => {
            let own = thing.artefacts.types[at].span;
            span.from <= own.from && own.to <= span.to
        }
        Hypothesis::Rest(_) => false,
    });
    inside.map(|one| one.raw).sum::<f64>() / all.max(f64::MIN_POSITIVE)
}

/// Candidates with their chances, while nothing carries half of it.
fn open(shares: &[ThingShare], name: impl Fn(&ThingShare) -> Option<String>) -> String {
    let likely = shares.iter().filter(|share| share.p >= LISTED.0);
    let named = likely.filter_map(|share| {
        let name = name(share)?;
        Some(format!("{name} ({})", chance_in_figures(share.p)))
    });
    named.take(LISTED.1).collect::<Vec<_>>().join(" or ")
}

/// When it was made as the law asks for it: the spans of the types with their chances; what is of
/// no listed type may be of any time.
pub(super) fn age(thing: &ThingJudgement<'_>) -> Age {
    let judged = thing.ranking.judged.iter().filter(|one| one.raw > FAINT);
    let spans: Vec<(Span, f64)> = judged
        .filter_map(|one| match one.what {
            Hypothesis::Type(at) => Some((thing.artefacts.types[at].span, one.raw)),
            Hypothesis::Rest(_) => None,
        })
        .collect();
    match spans.is_empty() {
        true => Age::Unsaid,
        false => Age::Weighed(spans),
    }
}
