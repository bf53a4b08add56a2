//! The report of an evaluation: every figure, under the name it has in JSON.
//!
//! Counts over finds already judged; never judges one. The lists of finds name each
//! that went wrong, so that a figure can be followed to its cases.
//!
//! Invariant: levels are measured over the finds whose truth the library has; those that it lacks
//! are counted by themselves.

use serde::Serialize;

use super::super::measures::{Hits, mean, median, wilson};
use super::super::resolve::Meant;
use super::asked::AskedView;
use super::calibration::{CalibrationView, SetsView, calibration, sets};
use super::groups::{GroupsView, groups};
use super::levels::{Levels, Rung};
use super::outside::{OutsideView, outside};
use super::tried::Tried;
use crate::score::Level;
use crate::{House, Identification};

/// At and above this probability a wrong answer counts as confident.
const CONFIDENT: f64 = 0.8;

/// What `evaluate --json` prints.
#[derive(Serialize)]
pub(super) struct ReportView {
    pub(super) asked: AskedView,
    /// Finds judged.
    pub(super) n: usize,
    /// Those of a denomination or type that the library has.
    pub(super) in_catalogue: usize,
    /// Finds of which a level is known, by the names in the table and by its types.
    pub(super) known: Levels<usize>,
    /// Those of which the table's own names tell it.
    pub(super) resolved: Levels<usize>,
    pub(super) levels: Levels<HitsView>,
    pub(super) calibration: Levels<CalibrationView>,
    pub(super) nine_in_ten: SetsView,
    pub(super) date: DateView,
    pub(super) stopped_at: Vec<StoppedView>,
    pub(super) groups: GroupsView,
    /// Finds that the table says the library lacks.
    pub(super) not_in_library: Option<OutsideView>,
    /// Finds whose types were taken out.
    pub(super) taken_out: Option<OutsideView>,
    pub(super) confident: ConfidentView,
    pub(super) confident_wrong: Vec<WrongView>,
    pub(super) missed: Vec<WrongView>,
    pub(super) unresolved: Vec<UnresolvedView>,
}

/// Right among the first one, three and five, with Wilson's intervals.
#[derive(Serialize)]
pub(super) struct HitsView {
    #[serde(flatten)]
    pub(super) hits: Hits,
    pub(super) top1_interval: Option<[f64; 2]>,
    pub(super) top3_interval: Option<[f64; 2]>,
    pub(super) top5_interval: Option<[f64; 2]>,
}

impl HitsView {
    /// With their intervals.
    pub(super) fn of(hits: Hits) -> HitsView {
        HitsView {
            top1_interval: wilson(hits.top1, hits.n),
            top3_interval: wilson(hits.top3, hits.n),
            top5_interval: wilson(hits.top5, hits.n),
            hits,
        }
    }
}

/// How far the date was off.
#[derive(Serialize)]
pub(super) struct DateView {
    pub(super) n: usize,
    pub(super) median_distance: f64,
    pub(super) mean_distance: f64,
    /// Share of the finds whose range of 80 in 100 shares a year with the published one.
    pub(super) overlap_of_80: f64,
    pub(super) overlap_of_80_interval: Option<[f64; 2]>,
}

/// How often answers stopped at a level.
#[derive(Serialize)]
pub(super) struct StoppedView {
    pub(super) level: &'static str,
    pub(super) n: usize,
    pub(super) share: f64,
}

/// Answers of 0.8 and more of which it is known whether they are right.
#[derive(Serialize)]
pub(super) struct ConfidentView {
    pub(super) n: usize,
    pub(super) wrong: usize,
    pub(super) share_wrong: f64,
    pub(super) share_wrong_interval: Option<[f64; 2]>,
}

/// A find, what was said of it and what it is.
#[derive(Serialize)]
pub(super) struct WrongView {
    pub(super) id: String,
    pub(super) said: String,
    pub(super) level: &'static str,
    pub(super) p: f64,
    pub(super) truth: String,
}

/// A find with names that mean nothing in the library.
#[derive(Serialize)]
pub(super) struct UnresolvedView {
    pub(super) id: String,
    pub(super) names: Vec<String>,
}

/// The report over finds that were judged.
pub(super) fn report(
    asked: AskedView,
    tried: &[Tried],
    prior: &Identification,
    house: &House,
) -> ReportView {
    let judged: Vec<&Tried> = tried.iter().filter(|t| t.in_catalogue()).collect();
    let lacking: Vec<&Tried> = tried.iter().filter(|t| t.truth.lacking).collect();
    let taken = tried.iter().filter(|t| !t.truth.taken_out.is_empty());
    // A find whose identity is not in the library at all may be named wrongly just as well.
    let sure = tried.iter().filter(|t| confident(t) && t.can_be_wrong());
    let wrong: Vec<&Tried> = sure.clone().filter(|t| t.wrong(house)).collect();
    let missed = judged.iter().filter(|t| first_wrong(t));
    let unresolved = tried.iter().filter(|t| !t.truth.unresolved.is_empty());
    ReportView {
        n: tried.len(),
        in_catalogue: judged.len(),
        known: Levels::of(|rung| {
            let known = |t: &&Tried| !t.truth.meant.at(rung).is_empty();
            tried.iter().filter(known).count()
        }),
        resolved: Levels::of(|rung| tried.iter().filter(|t| *t.truth.named.at(rung)).count()),
        levels: hits(&judged).map(HitsView::of),
        calibration: calibration(&judged, prior),
        nine_in_ten: sets(&judged),
        date: date(&judged),
        stopped_at: stopped_at(&judged),
        groups: groups(&judged, asked.wrong.is_some(), house),
        not_in_library: outside(&lacking, house),
        taken_out: outside(&taken.collect::<Vec<_>>(), house),
        confident: {
            let n = sure.count();
            ConfidentView {
                n,
                wrong: wrong.len(),
                share_wrong: wrong.len() as f64 / n.max(1) as f64,
                share_wrong_interval: wilson(wrong.len(), n),
            }
        },
        confident_wrong: wrong.iter().map(|t| wrong_view(t, house)).collect(),
        missed: missed.map(|t| wrong_view(t, house)).collect(),
        unresolved: unresolved
            .map(|t| UnresolvedView {
                id: t.label.clone(),
                names: t.truth.unresolved.clone(),
            })
            .collect(),
        asked,
    }
}

/// True when the answer is given with much chance.
pub(super) fn confident(tried: &Tried) -> bool {
    tried.said.answer.p >= CONFIDENT
}

/// How often the truth stood among the first, at each level over the finds of which it is known.
pub(super) fn hits(finds: &[&Tried]) -> Levels<Hits> {
    Levels::of(|rung| {
        let mut hits = Hits::default();
        let known = finds.iter().filter(|t| !t.truth.meant.at(rung).is_empty());
        known.for_each(|t| hits.count(t.place(rung)));
        hits
    })
}

fn date(judged: &[&Tried]) -> DateView {
    let mut distances: Vec<f64> = judged.iter().filter_map(|t| t.date_distance()).collect();
    let overlap = judged.iter().filter_map(|t| {
        let (said, known) = (t.said.date.as_ref()?, t.truth.dates?);
        Some(said.ranges().p80.overlaps(known))
    });
    let (n, overlapping) = (distances.len(), overlap.filter(|shared| *shared).count());
    DateView {
        n,
        overlap_of_80: overlapping as f64 / n.max(1) as f64,
        overlap_of_80_interval: wilson(overlapping, n),
        mean_distance: mean(distances.iter().copied()),
        median_distance: median(&mut distances),
    }
}

/// How often the answer stopped at each level, the narrowest first.
fn stopped_at(judged: &[&Tried]) -> Vec<StoppedView> {
    let levels = Level::NARROWEST_FIRST.into_iter();
    let levels = levels.chain([Level::Open, Level::Unlisted]);
    let views = levels.map(|level| {
        let n = judged.iter().filter(|t| t.said.answer.level == level);
        let n = n.count();
        StoppedView {
            level: level.name(),
            n,
            share: n as f64 / judged.len().max(1) as f64,
        }
    });
    views.filter(|view| view.n > 0).collect()
}

/// True when the truth did not stand first at some level where it is known, types apart: that a
/// type is not first is the rule where little was given.
fn first_wrong(tried: &Tried) -> bool {
    let known = |rung: &Rung| !tried.truth.meant.at(*rung).is_empty();
    let rungs = [Rung::Period, Rung::Ruler, Rung::Denomination].into_iter();
    rungs.filter(known).any(|rung| tried.place(rung) != Some(0))
}

/// Types named before the rest are counted only.
const TYPES_TOLD: usize = 3;

/// What was said of a find beside what is true of it.
fn wrong_view(tried: &Tried, house: &House) -> WrongView {
    let library = &house.catalogue;
    let truth = &tried.truth;
    let join = |meant: &Meant, name: &dyn Fn(usize) -> String| {
        meant.iter().map(|m| name(*m)).collect::<Vec<_>>().join("/")
    };
    let mut types = truth.types().iter().map(|t| library.types[*t].id.clone());
    let mut named: Vec<String> = types.by_ref().take(TYPES_TOLD).collect();
    let more = types.count();
    if more > 0 {
        named.push(format!("{more} more"));
    }
    let told = [
        join(&truth.meant.denomination, &|i| {
            library.denominations[i].id.clone()
        }),
        join(&truth.meant.ruler, &|i| library.rulers[i].id.clone()),
        join(&truth.meant.period, &|i| library.periods[i].id.clone()),
        named.join("/"),
        match truth.lacking {
            true => "not in the library".to_string(),
            false => String::new(),
        },
    ];
    let told: Vec<String> = told.into_iter().filter(|t| !t.is_empty()).collect();
    WrongView {
        id: tried.label.clone(),
        said: tried.said.text.clone(),
        level: tried.said.answer.level.name(),
        p: tried.said.answer.p,
        truth: told.join(", "),
    }
}
