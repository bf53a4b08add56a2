//! `evaluate`: finds whose identity is known, judged with it hidden.
//!
//! Counts how often the truth stood first, or among the first three or five, at each
//! level it can be resolved to; how well the probabilities held; how far the date
//! was off; and lists the confident wrong answers one by one.

use std::io::Write;

use rayon::prelude::*;
use serde::Serialize;

use super::Outcome;
use super::args::EvaluateArgs;
use super::error::Trouble;
use super::measures::{Forecast, Hits, brier, calibration_error, log_score, mean, median};
use super::resolve::{Meant, Names};
use super::table::{Row, Table, tell_of, traits};
use crate::find::{Span, Year, ordinal};
use crate::parse;
use crate::score::{Level, Share};
use crate::{House, Identification};

/// At and above this probability a wrong answer counts as confident.
const CONFIDENT: f64 = 0.8;

/// What is known of a find.
struct Truth {
    period: Meant,
    ruler: Meant,
    denomination: Meant,
    coin_type: Meant,
    dates: Option<Span>,
    unresolved: Vec<String>,
}

/// One find judged.
struct Tried {
    id: String,
    truth: Truth,
    said: Identification,
}

/// What `evaluate --json` prints.
#[derive(Serialize)]
struct ReportView {
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

/// Judges a table of identified finds and reports.
pub(super) fn run(
    asked: &EvaluateArgs,
    house: &House,
    out: &mut dyn Write,
) -> Result<Outcome, Trouble> {
    let mut table = Table::open(&asked.table)?;
    table.needs_a_trait()?;
    let rows = table.take(usize::MAX)?;
    rows.iter().for_each(tell_of);
    let names = Names::of(&house.catalogue);
    let tried: Vec<Tried> = rows
        .par_iter()
        .map(|row| try_row(row, &table.columns, &names, asked, house))
        .collect();
    let report = report(&tried, house);
    if asked.json {
        serde_json::to_writer_pretty(&mut *out, &report)?;
        writeln!(out)?;
    } else {
        print(&report, out)?;
    }
    Ok(Outcome::Answer)
}

fn try_row(
    row: &Row,
    columns: &[String],
    names: &Names,
    asked: &EvaluateArgs,
    house: &House,
) -> Tried {
    let (find, _) = parse::form(&traits(columns, row), &house.lexicon);
    let cell = |column: &str| {
        let place = columns
            .iter()
            .position(|name| name.eq_ignore_ascii_case(column));
        place.map_or("", |place| row.cells[place].as_str())
    };
    Tried {
        id: find
            .id
            .clone()
            .unwrap_or_else(|| format!("line-{}", row.line)),
        truth: truth(&cell, names),
        said: house.identify(&find, asked.judging.options()),
    }
}

fn truth<'r>(cell: &impl Fn(&str) -> &'r str, names: &Names) -> Truth {
    let mut unresolved = Vec::new();
    let coin = !cell("class").eq_ignore_ascii_case("artefact");
    let mut level = |column: &str, find: &dyn Fn(&str) -> Meant| {
        let name = cell(column);
        if name.is_empty() {
            return Meant::new();
        }
        let meant = if coin { find(name) } else { Meant::new() };
        if meant.is_empty() {
            unresolved.push(format!("{column}: {name}"));
        }
        meant
    };
    let period = level("period", &|name| names.period(name));
    let denomination = level("denomination_or_type", &|name| names.denomination(name));
    let coin_type = level("subtype", &|name| names.coin_type(name));
    // Where no ruler is named a people or state may be; a state that is none (an empire) is no miss.
    let ruler = if cell("ruler_or_authority").is_empty() {
        names.ruler(cell("culture_or_state"))
    } else {
        level("ruler_or_authority", &|name| names.ruler(name))
    };
    let year = |column: &str| cell(column).trim().parse::<Year>().ok();
    let dates = year("date_from")
        .zip(year("date_to"))
        .and_then(|(from, to)| Span::new(from, to));
    Truth {
        period,
        ruler,
        denomination,
        coin_type,
        dates,
        unresolved,
    }
}

/// Shares and truth of one level of a find.
fn shares_of<'t>(tried: &'t Tried, level: &str) -> (Vec<Share>, &'t Meant) {
    match level {
        "period" => (tried.said.shares.period.clone(), &tried.truth.period),
        "ruler" => (tried.said.shares.ruler.clone(), &tried.truth.ruler),
        "denomination" => (
            tried.said.shares.denomination.clone(),
            &tried.truth.denomination,
        ),
        _ => {
            let types = tried.said.ranking.judged.iter().map(|j| Share {
                of: Some(j.coin),
                p: j.probability,
            });
            (types.collect(), &tried.truth.coin_type)
        }
    }
}

fn is_right(share: &Share, truth: &Meant) -> bool {
    share.of.is_some_and(|of| truth.contains(&of))
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

/// Something counted at every level over the finds that are in the catalogue.
fn by_level<T>(tried: &[Tried], count: impl Fn(&[(Vec<Share>, &Meant)]) -> T) -> LevelsView<T> {
    let at = |level: &str| {
        let known: Vec<(Vec<Share>, &Meant)> = tried
            .iter()
            .filter(|t| t.in_catalogue())
            .map(|t| shares_of(t, level))
            .filter(|(_, truth)| !truth.is_empty())
            .collect();
        count(&known)
    };
    LevelsView {
        period: at("period"),
        ruler: at("ruler"),
        denomination: at("denomination"),
        coin_type: at("type"),
    }
}

impl Tried {
    /// True when the find's denomination or type is one the library has.
    fn in_catalogue(&self) -> bool {
        !self.truth.denomination.is_empty() || !self.truth.coin_type.is_empty()
    }

    /// True when the answer names a period, ruler or denomination that is not the truth's.
    fn wrong(&self, house: &House) -> bool {
        let Some(like) = self.said.answer.like else {
            return false;
        };
        let coin = &house.catalogue.types[like];
        let differs = |of: Option<usize>, truth: &Meant| {
            of.is_some_and(|of| !truth.is_empty() && !truth.contains(&of))
        };
        let (period, ruler, denomination) =
            (Some(coin.period), coin.ruler, Some(coin.denomination));
        let truth = &self.truth;
        match self.said.answer.level {
            Level::Type | Level::RulerAndDenomination => {
                differs(period, &truth.period)
                    || differs(ruler, &truth.ruler)
                    || differs(denomination, &truth.denomination)
            }
            Level::SeriesAndDenomination | Level::PeriodAndDenomination => {
                differs(period, &truth.period) || differs(denomination, &truth.denomination)
            }
            Level::Ruler => differs(period, &truth.period) || differs(ruler, &truth.ruler),
            Level::Denomination => differs(denomination, &truth.denomination),
            Level::Series | Level::Period => differs(period, &truth.period),
            Level::Open | Level::Unlisted => false,
        }
    }

    fn as_wrong(&self, house: &House) -> WrongView {
        let library = &house.catalogue;
        let join = |meant: &Meant, name: &dyn Fn(usize) -> String| {
            meant.iter().map(|m| name(*m)).collect::<Vec<_>>().join("/")
        };
        let truth = [
            join(&self.truth.denomination, &|i| {
                library.denominations[i].id.clone()
            }),
            join(&self.truth.ruler, &|i| library.rulers[i].id.clone()),
            join(&self.truth.period, &|i| library.periods[i].id.clone()),
        ];
        let truth: Vec<String> = truth.into_iter().filter(|t| !t.is_empty()).collect();
        WrongView {
            id: self.id.clone(),
            said: self.said.text.clone(),
            p: self.said.answer.p,
            truth: truth.join(", "),
        }
    }

    /// Years between the median of the date and the published range; nought within it.
    fn date_distance(&self) -> Option<f64> {
        let (date, known) = (self.said.date.as_ref()?, self.truth.dates?);
        let median = ordinal(date.median());
        Some(f64::from(
            (ordinal(known.from) - median)
                .max(median - ordinal(known.to))
                .max(0),
        ))
    }
}

fn report(tried: &[Tried], house: &House) -> ReportView {
    let judged: Vec<&Tried> = tried.iter().filter(|t| t.in_catalogue()).collect();
    let mut distances: Vec<f64> = judged.iter().filter_map(|t| t.date_distance()).collect();
    let overlap = judged.iter().filter_map(|t| {
        Some(f64::from(u8::from(
            t.said.date.as_ref()?.ranges().p80.overlaps(t.truth.dates?),
        )))
    });
    let first_wrong = |t: &&&Tried| {
        ["period", "ruler", "denomination"].iter().any(|level| {
            let (shares, truth) = shares_of(t, level);
            !truth.is_empty() && !shares.first().is_some_and(|s| is_right(s, truth))
        })
    };
    let mut stopped_at: Vec<(&'static str, usize)> = Vec::new();
    for t in &judged {
        let name = t.said.answer.level.name();
        match stopped_at.iter_mut().find(|(known, _)| *known == name) {
            Some((_, count)) => *count += 1,
            None => stopped_at.push((name, 1)),
        }
    }
    ReportView {
        n: tried.len(),
        in_catalogue: judged.len(),
        resolved: LevelsView {
            period: tried.iter().filter(|t| !t.truth.period.is_empty()).count(),
            ruler: tried.iter().filter(|t| !t.truth.ruler.is_empty()).count(),
            denomination: tried
                .iter()
                .filter(|t| !t.truth.denomination.is_empty())
                .count(),
            coin_type: tried
                .iter()
                .filter(|t| !t.truth.coin_type.is_empty())
                .count(),
        },
        levels: by_level(tried, |known| {
            let mut hits = Hits::default();
            known.iter().for_each(|(shares, truth)| {
                hits.count(shares.iter().position(|s| is_right(s, truth)))
            });
            hits
        }),
        calibration: by_level(tried, |known| {
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
        }),
        date: DateView {
            n: distances.len(),
            overlap_of_80: mean(overlap),
            mean_distance: mean(distances.iter().copied()),
            median_distance: median(&mut distances),
        },
        stopped_at,
        // A find whose identity is not in the library at all may be named wrongly just as well.
        confident_wrong: tried
            .iter()
            .filter(|t| t.said.answer.p >= CONFIDENT && t.wrong(house))
            .map(|t| t.as_wrong(house))
            .collect(),
        missed: judged
            .iter()
            .filter(first_wrong)
            .map(|t| t.as_wrong(house))
            .collect(),
        unresolved: tried
            .iter()
            .filter(|t| !t.truth.unresolved.is_empty())
            .map(|t| UnresolvedView {
                id: t.id.clone(),
                names: t.truth.unresolved.clone(),
            })
            .collect(),
    }
}

fn print(report: &ReportView, out: &mut dyn Write) -> Result<(), Trouble> {
    writeln!(
        out,
        "{} finds, of which {} are of a denomination or type in the library",
        report.n, report.in_catalogue
    )?;
    writeln!(
        out,
        "\n{:<14}{:>8}{:>8}{:>8}{:>8}{:>9}{:>9}{:>9}",
        "level", "known", "first", "top 3", "top 5", "Brier", "log", "calib."
    )?;
    let rows = [
        ("period", report.levels.period, &report.calibration.period),
        ("ruler", report.levels.ruler, &report.calibration.ruler),
        (
            "denomination",
            report.levels.denomination,
            &report.calibration.denomination,
        ),
        (
            "type",
            report.levels.coin_type,
            &report.calibration.coin_type,
        ),
    ];
    for (level, hits, c) in rows {
        let share = |count: usize| {
            if hits.n == 0 {
                "-".to_string()
            } else {
                format!("{:.1} %", 100.0 * count as f64 / hits.n as f64)
            }
        };
        let (first, three, five) = (share(hits.top1), share(hits.top3), share(hits.top5));
        writeln!(
            out,
            "{level:<14}{:>8}{first:>8}{three:>8}{five:>8}{:>9.3}{:>9.3}{:>9.3}",
            hits.n, c.brier, c.log_score, c.calibration_error
        )?;
    }
    let date = &report.date;
    writeln!(
        out,
        "\ndate: median {:.0} and mean {:.1} years from the published range ({} finds); the 80 in 100 range overlaps it in {:.0} %",
        date.median_distance,
        date.mean_distance,
        date.n,
        100.0 * date.overlap_of_80
    )?;
    let stopped: Vec<String> = report
        .stopped_at
        .iter()
        .map(|(level, count)| format!("{level} {count}"))
        .collect();
    writeln!(out, "answers stopped at: {}", stopped.join(", "))?;
    for (heading, wrong) in [
        ("confident (0.8 or more) and wrong", &report.confident_wrong),
        ("not first at some level", &report.missed),
    ] {
        writeln!(out, "\n{heading}: {}", wrong.len())?;
        wrong.iter().try_for_each(|w| {
            writeln!(
                out,
                "  {}: said {} ({:.2}); truth {}",
                w.id, w.said, w.p, w.truth
            )
        })?;
    }
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
