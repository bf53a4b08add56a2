//! Cells: what a type has of each feature, in words.
//!
//! Says what the library says and no more; a cell without a word is one of which the library is
//! silent, an empty one a face on which nothing stands.
//!
//! Invariant: equal cells are equal word for word, so that a difference is one of fact.

use super::{Entry, Feature};
use crate::catalogue::{AxisHabit, Catalogue, CoinType, CopyKind, Face, Habit, WeightPart};
use crate::score::{expected_thickness, struck_band, struck_mean};

/// What a type has of a feature; none where the library does not say.
pub(super) fn cell(feature: Feature, coin: &CoinType, catalogue: &Catalogue) -> Option<Vec<Entry>> {
    let one = |text: String| Some(vec![Entry::new(text)]);
    match feature {
        Feature::Metal => one(catalogue.metals[coin.metal].name.clone()),
        Feature::Diameter => one(range(coin.diameter?)),
        Feature::Weight => weights(&coin.weights),
        Feature::ObverseMotifs => motifs(&coin.obverse, catalogue),
        Feature::ReverseMotifs => motifs(&coin.reverse, catalogue),
        Feature::ObverseLegends => legends(&coin.obverse, catalogue),
        Feature::ReverseLegends => legends(&coin.reverse, catalogue),
        Feature::Marks => some(names(&coin.marks, |m| &catalogue.motifs[m].name)),
        Feature::Making => one(coin.made.name().to_string()),
        Feature::Edge => one(coin.edge.clone()?),
        Feature::Thickness => one(thickness(coin, catalogue)?),
        Feature::DieAxis => one(axis(coin.axis)?.to_string()),
        Feature::Habits => Some(coin.habits.iter().map(|h| Entry::new(habit(*h))).collect()),
        Feature::Ruler => one(catalogue.rulers[coin.ruler?].name.clone()),
        Feature::Denomination => one(catalogue.denominations[coin.denomination].name.clone()),
        Feature::Copy => one(copy(coin.copy).to_string()),
        Feature::Years => one(coin.span.text()),
        Feature::Mints => some(names(&coin.mints, |m| &catalogue.mints[m].name)),
        Feature::Standards => some(standards(coin, catalogue)),
        Feature::Series => one(catalogue.series[coin.series].name.clone()),
        Feature::Commonness => one(coin.common.name().to_string()),
        Feature::Regions => {
            let regions = coin.regions.iter();
            some(regions.map(|region| Entry::new(region.name())).collect())
        }
        Feature::References => some(coin.refs.iter().map(Entry::new).collect()),
        Feature::Grade => one(coin.standing.name().to_string()),
    }
}

/// A list that says nothing when it is empty.
fn some(entries: Vec<Entry>) -> Option<Vec<Entry>> {
    (!entries.is_empty()).then_some(entries)
}

fn names<'c>(places: &[usize], name: impl Fn(usize) -> &'c String) -> Vec<Entry> {
    let mut entries: Vec<Entry> = Vec::new();
    for place in places {
        let text = name(*place);
        if entries.iter().all(|known| known.text != *text) {
            entries.push(Entry::new(text));
        }
    }
    entries
}

fn motifs(face: &Face, catalogue: &Catalogue) -> Option<Vec<Entry>> {
    let shown = face.motifs.as_deref()?;
    Some(names(shown, |m| &catalogue.motifs[m].name))
}

/// The legends of a face, each once, however many mints spell it.
fn legends(face: &Face, catalogue: &Catalogue) -> Option<Vec<Entry>> {
    let mut entries: Vec<Entry> = Vec::new();
    for place in face.inscriptions.as_deref()? {
        let borne = &catalogue.inscriptions[*place];
        let text = &catalogue.legends[borne.legend].text;
        let at = entries.iter().position(|known| known.text == *text);
        let at = at.unwrap_or_else(|| {
            entries.push(Entry::new(text));
            entries.len() - 1
        });
        for form in &borne.forms {
            if !entries[at].spellings.contains(&form.text) {
                entries[at].spellings.push(form.text.clone());
            }
        }
    }
    Some(entries)
}

/// "18-20 mm", "32.3 mm".
fn range((least, most): (f64, f64)) -> String {
    if least == most {
        format!("{least} mm")
    } else {
        format!("{least}-{most} mm")
    }
}

/// A weight with as many places as a scale for it would show.
fn grams(value: f64) -> String {
    match value {
        v if v < 1.0 => format!("{v:.3}"),
        v if v < 100.0 => format!("{v:.2}"),
        v => format!("{v:.1}"),
    }
}

/// Mean and band of each standard a type was struck to, and the mean of all where it had several.
fn weights(parts: &[WeightPart]) -> Option<Vec<Entry>> {
    let part = |part: &WeightPart| {
        let (least, most) = struck_band(part);
        let share = match parts.len() {
            1 => String::new(),
            _ => format!(" in {:.0} of 100", part.share * 100.0),
        };
        let (mean, least, most) = (grams(part.grams), grams(least), grams(most));
        Entry::new(format!("{mean} g{share} ({least}-{most} g)"))
    };
    let mut entries: Vec<Entry> = parts.iter().map(part).collect();
    if parts.len() > 1 {
        let mean = format!("{} g on average", grams(struck_mean(parts)));
        entries.insert(0, Entry::new(mean));
    }
    some(entries)
}

fn thickness(coin: &CoinType, catalogue: &Catalogue) -> Option<String> {
    coin.thickness.map(range).or_else(|| {
        let reckoned = expected_thickness(coin, catalogue)?;
        Some(format!("about {reckoned:.1} mm, from weight and size"))
    })
}

/// The standards of its denomination that were in force for its metal in its years.
fn standards(coin: &CoinType, catalogue: &Catalogue) -> Vec<Entry> {
    let all = catalogue.denominations[coin.denomination].standards.iter();
    all.filter(|s| s.metal == coin.metal && s.span.overlaps(coin.span))
        .map(|s| {
            let (years, grade) = (s.span.text(), s.standing.name());
            Entry::new(format!("{years}: {} g ({grade})", s.weight))
        })
        .collect()
}

fn axis(habit: AxisHabit) -> Option<&'static str> {
    match habit {
        AxisHabit::Any => Some("any hour"),
        AxisHabit::Upright => Some("12 h"),
        AxisHabit::Inverted => Some("6 h"),
        AxisHabit::UprightOrInverted => Some("12 or 6 h"),
        AxisHabit::Quarters => Some("12, 3, 6 or 9 h"),
        AxisHabit::Unstated => None,
    }
}

fn habit(habit: Habit) -> &'static str {
    match habit {
        Habit::Clipped => "clipped",
        Habit::Halved => "cut in half",
        Habit::Quartered => "cut in quarters",
        Habit::Pierced => "pierced",
        Habit::Plated => "plated",
        Habit::Cracked => "cracked",
    }
}

fn copy(kind: Option<CopyKind>) -> &'static str {
    match kind {
        None => "official",
        Some(CopyKind::Irregular) => "irregular copy",
        Some(CopyKind::Plated) => "plated copy",
        Some(CopyKind::Forgery) => "forgery",
        Some(CopyKind::Imitation) => "foreign imitation",
    }
}
