//! The report of an evaluation: its measures, and its lines or JSON.
//!
//! Counts over finds already judged; never judges one. The lists of finds name each
//! that went wrong, so that a figure can be followed to its cases.
//!
//! Invariant: levels are measured over the finds whose truth the library has.

use std::io::Write;

use serde::Serialize;

use super::super::error::Trouble;
use super::super::measures::{Forecast, Hits, brier, calibration_error, log_score, mean, median};
use super::super::resolve::Meant;
use super::tried::{Tried, is_right};
use crate::House;
use crate::score::Share;

/// At and above this probability a wrong answer counts as confident.
const CONFIDENT: f64 = 0.8;

/// What `evaluate --json` prints.
#[derive(Serialize)]
pub(super) struct ReportView {
    n: usize,
    in_catalogue: usize,
    resolved: LevelsView<usize>,
    levels: LevelsView<Hits>,
    calibration: LevelsView<CalibrationView>,
    date: DateView,
    stopped_at: Vec<(&'static str, usize)>,
    confident_wrong: Vec<WrongView>,
    missed: Vec<WrongView>,
    unresolved: Vec<UnresolvedView>,
}

#[derive(Serialize)]
struct LevelsView<T> {
    period: T,
    ruler: T,
    denomination: T,
    #[serde(rename = "type")]
    coin_type: T,
}

#[derive(Serialize)]
struct CalibrationView {
    n: usize,
    brier: f64,
    log_score: f64,
    calibration_error: f64,
}

#[derive(Serialize)]
struct DateView {
    n: usize,
    median_distance: f64,
    mean_distance: f64,
    overlap_of_80: f64,
}

#[derive(Serialize)]
struct WrongView {
    id: String,
    said: String,
    p: f64,
    truth: String,
}

#[derive(Serialize)]
struct UnresolvedView {
    id: String,
    names: Vec<String>,
}

/// The report over finds that were judged.
pub(super) fn report(tried: &[Tried], house: &House) -> ReportView {
    let judged: Vec<&Tried> = tried.iter().filter(|t| t.in_catalogue()).collect();
    let sure = tried.iter().filter(|t| t.said.answer.p >= CONFIDENT);
    let missed = judged.iter().filter(|t| first_wrong(t));
    let unresolved = tried.iter().filter(|t| !t.truth.unresolved.is_empty());
    ReportView {
        n: tried.len(),
        in_catalogue: judged.len(),
        resolved: resolved(tried),
        levels: by_level(&judged, hits),
        calibration: by_level(&judged, calibration),
        date: date(&judged),
        stopped_at: stopped_at(&judged),
        // A find whose identity is not in the library at all may be named wrongly just as well.
        confident_wrong: sure
            .filter(|t| t.wrong(house))
            .map(|t| wrong_view(t, house))
            .collect(),
        missed: missed.map(|t| wrong_view(t, house)).collect(),
        unresolved: unresolved
            .map(|t| UnresolvedView {
                id: t.id.clone(),
                names: t.truth.unresolved.clone(),
            })
            .collect(),
    }
}

/// Finds of which something is known, at every level.
fn resolved(tried: &[Tried]) -> LevelsView<usize> {
    let known = |meant: fn(&Tried) -> &Meant| {
        let meant = tried.iter().map(meant);
        meant.filter(|meant| !meant.is_empty()).count()
    };
    LevelsView {
        period: known(|t| &t.truth.period),
        ruler: known(|t| &t.truth.ruler),
        denomination: known(|t| &t.truth.denomination),
        coin_type: known(|t| &t.truth.coin_type),
    }
}

/// Something counted at every level over the finds of which it is known.
fn by_level<T>(judged: &[&Tried], count: impl Fn(&[(Vec<Share>, &Meant)]) -> T) -> LevelsView<T> {
    let at = |level: &str| {
        let levels = judged.iter().map(|t| t.shares(level));
        let known: Vec<(Vec<Share>, &Meant)> =
            levels.filter(|(_, truth)| !truth.is_empty()).collect();
        count(&known)
    };
    LevelsView {
        period: at("period"),
        ruler: at("ruler"),
        denomination: at("denomination"),
        coin_type: at("type"),
    }
}

fn hits(known: &[(Vec<Share>, &Meant)]) -> Hits {
    let mut hits = Hits::default();
    for (shares, truth) in known {
        hits.count(shares.iter().position(|s| is_right(s, truth)));
    }
    hits
}

fn calibration(known: &[(Vec<Share>, &Meant)]) -> CalibrationView {
    let forecasts: Vec<Forecast> = known
        .iter()
        .map(|(shares, truth)| forecast(shares, truth))
        .collect();
    CalibrationView {
        n: forecasts.len(),
        brier: brier(&forecasts),
        log_score: log_score(&forecasts),
        calibration_error: calibration_error(&forecasts),
    }
}

fn forecast(shares: &[Share], truth: &Meant) -> Forecast {
    Forecast {
        outcomes: shares.iter().map(|s| s.p).collect(),
        right: shares
            .iter()
            .filter(|s| is_right(s, truth))
            .map(|s| s.p)
            .sum(),
        top: shares.first().map_or(0.0, |s| s.p),
        top_right: shares.first().is_some_and(|s| is_right(s, truth)),
    }
}

fn date(judged: &[&Tried]) -> DateView {
    let mut distances: Vec<f64> = judged.iter().filter_map(|t| t.date_distance()).collect();
    let overlap = judged.iter().filter_map(|t| {
        let (said, known) = (t.said.date.as_ref()?, t.truth.dates?);
        Some(f64::from(u8::from(said.ranges().p80.overlaps(known))))
    });
    DateView {
        n: distances.len(),
        overlap_of_80: mean(overlap),
        mean_distance: mean(distances.iter().copied()),
        median_distance: median(&mut distances),
    }
}

/// How often the answer stopped at each level, in the order first met.
fn stopped_at(judged: &[&Tried]) -> Vec<(&'static str, usize)> {
    let mut stopped: Vec<(&'static str, usize)> = Vec::new();
    for tried in judged {
        let name = tried.said.answer.level.name();
        match stopped.iter_mut().find(|(known, _)| *known == name) {
            Some((_, count)) => *count += 1,
            None => stopped.push((name, 1)),
        }
    }
    stopped
}

/// True when the truth did not stand first at some level where it is known.
fn first_wrong(tried: &Tried) -> bool {
    ["period", "ruler", "denomination"].iter().any(|level| {
        let (shares, truth) = tried.shares(level);
        !truth.is_empty() && !shares.first().is_some_and(|s| is_right(s, truth))
    })
}

/// What was said of a find beside what is true of it.
fn wrong_view(tried: &Tried, house: &House) -> WrongView {
    let library = &house.catalogue;
    let join = |meant: &Meant, name: &dyn Fn(usize) -> String| {
        meant.iter().map(|m| name(*m)).collect::<Vec<_>>().join("/")
    };
    let truth = [
        join(&tried.truth.denomination, &|i| {
            library.denominations[i].id.clone()
        }),
        join(&tried.truth.ruler, &|i| library.rulers[i].id.clone()),
        join(&tried.truth.period, &|i| library.periods[i].id.clone()),
    ];
    let truth: Vec<String> = truth.into_iter().filter(|t| !t.is_empty()).collect();
    WrongView {
        id: tried.id.clone(),
        said: tried.said.text.clone(),
        p: tried.said.answer.p,
        truth: truth.join(", "),
    }
}

/// Prints the report in lines.
pub(super) fn print(report: &ReportView, out: &mut dyn Write) -> Result<(), Trouble> {
    writeln!(
        out,
        "{} finds, of which {} are of a denomination or type in the library",
        report.n, report.in_catalogue
    )?;
    print_levels(report, out)?;
    print_date(&report.date, out)?;
    let stopped: Vec<String> = report
        .stopped_at
        .iter()
        .map(|(level, count)| format!("{level} {count}"))
        .collect();
    writeln!(out, "answers stopped at: {}", stopped.join(", "))?;
    print_wrong(
        "confident (0.8 or more) and wrong",
        &report.confident_wrong,
        out,
    )?;
    print_wrong("not first at some level", &report.missed, out)?;
    writeln!(
        out,
        "\nnames that mean nothing in the library: {} finds",
        report.unresolved.len()
    )?;
    report
        .unresolved
        .iter()
        .try_for_each(|u| writeln!(out, "  {}: {}", u.id, u.names.join("; ")))?;
    Ok(())
}

fn print_levels(report: &ReportView, out: &mut dyn Write) -> Result<(), Trouble> {
    writeln!(
        out,
        "\n{:<14}{:>8}{:>8}{:>8}{:>8}{:>9}{:>9}{:>9}",
        "level", "known", "first", "top 3", "top 5", "Brier", "log", "calib."
    )?;
    let (levels, held) = (&report.levels, &report.calibration);
    let rows = [
        ("period", levels.period, &held.period),
        ("ruler", levels.ruler, &held.ruler),
        ("denomination", levels.denomination, &held.denomination),
        ("type", levels.coin_type, &held.coin_type),
    ];
    for (level, hits, c) in rows {
        let share = |count| in_100(count, hits.n);
        let (first, three, five) = (share(hits.top1), share(hits.top3), share(hits.top5));
        writeln!(
            out,
            "{level:<14}{:>8}{first:>8}{three:>8}{five:>8}{:>9.3}{:>9.3}{:>9.3}",
            hits.n, c.brier, c.log_score, c.calibration_error
        )?;
    }
    Ok(())
}

/// "12.5 %", or a dash where there is nothing to take a share of.
fn in_100(count: usize, of: usize) -> String {
    if of == 0 {
        "-".to_string()
    } else {
        format!("{:.1} %", 100.0 * count as f64 / of as f64)
    }
}

fn print_date(date: &DateView, out: &mut dyn Write) -> Result<(), Trouble> {
    writeln!(
        out,
        "\ndate: median {:.0} and mean {:.1} years from the published range ({} finds); the 80 in 100 range overlaps it in {:.0} %",
        date.median_distance,
        date.mean_distance,
        date.n,
        100.0 * date.overlap_of_80
    )?;
    Ok(())
}

fn print_wrong(heading: &str, wrong: &[WrongView], out: &mut dyn Write) -> Result<(), Trouble> {
    writeln!(out, "\n{heading}: {}", wrong.len())?;
    for w in wrong {
        writeln!(
            out,
            "  {}: said {} ({:.2}); truth {}",
            w.id, w.said, w.p, w.truth
        )?;
    }
    Ok(())
}
