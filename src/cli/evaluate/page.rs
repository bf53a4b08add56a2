//! Tables of the report, as lines for a terminal and as Markdown: the same figures in both.
//!
//! Invariant: a figure that stands in the one stands in the other.

use super::calibration::{CalibrationView, SetsView};
use super::levels::Levels;
use super::outside::OutsideView;
use super::report::{HitsView, ReportView};
use crate::explain::chance_in_figures;

/// A table: its heading, its columns and its rows.
pub(super) struct Sheet {
    pub(super) heading: String,
    /// What is to be said before the table.
    pub(super) before: Vec<String>,
    pub(super) columns: Vec<&'static str>,
    pub(super) rows: Vec<Vec<String>>,
    /// What is to be said after it.
    pub(super) after: Vec<String>,
}

/// A heading with sentences and no table.
fn said(heading: &str, before: Vec<String>) -> Sheet {
    Sheet {
        heading: heading.to_string(),
        before,
        columns: Vec::new(),
        rows: Vec::new(),
        after: Vec::new(),
    }
}

/// Every table of a report, in order.
pub(super) fn sheets(report: &ReportView) -> Vec<Sheet> {
    let mut sheets = vec![
        first(report),
        scores(&report.calibration),
        held(&report.calibration),
        sets(&report.nine_in_ten),
        dates(report),
        stopped(report),
    ];
    sheets.extend(groups(report));
    let outside = [
        ("Finds that the library lacks", &report.not_in_library),
        ("Finds whose types were taken out", &report.taken_out),
    ];
    for (heading, view) in outside {
        sheets.extend(view.as_ref().map(|view| lacked(heading, view)));
    }
    sheets.push(confident(report));
    sheets
}

/// "12.5 %".
pub(super) fn in_100(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}

/// "12.5 % (9.1-17.0)", or a dash where there is nothing to take a share of.
fn share_of(count: usize, n: usize, interval: Option<[f64; 2]>) -> String {
    match interval {
        Some([least, most]) => format!(
            "{:.1} % ({:.1}-{:.1})",
            100.0 * count as f64 / n as f64,
            100.0 * least,
            100.0 * most
        ),
        None => "-".to_string(),
    }
}

fn hits_row(name: &str, view: &HitsView) -> Vec<String> {
    let hits = view.hits;
    vec![
        name.to_string(),
        hits.n.to_string(),
        share_of(hits.top1, hits.n, view.top1_interval),
        share_of(hits.top3, hits.n, view.top3_interval),
        share_of(hits.top5, hits.n, view.top5_interval),
    ]
}

fn hits_rows(levels: &Levels<HitsView>) -> Vec<Vec<String>> {
    let known = levels.each().filter(|(_, view)| view.hits.n > 0);
    known
        .map(|(rung, view)| hits_row(rung.name(), view))
        .collect()
}

const HITS: [&str; 5] = ["level", "known", "first", "among 3", "among 5"];

fn first(report: &ReportView) -> Sheet {
    let rows = report.levels.each();
    Sheet {
        heading: "How often the truth stood first".to_string(),
        before: Vec::new(),
        columns: HITS.to_vec(),
        rows: rows
            .map(|(rung, view)| hits_row(rung.name(), view))
            .collect(),
        after: vec!["In brackets: Wilson's interval, 95 in 100.".to_string()],
    }
}

fn number(value: f64) -> String {
    format!("{value:.3}")
}

fn or_dash(value: Option<f64>) -> String {
    value.map_or("-".to_string(), number)
}

fn scores(levels: &Levels<CalibrationView>) -> Sheet {
    let rows = levels.each().filter(|(_, view)| view.n > 0);
    Sheet {
        heading: "What the probabilities lose".to_string(),
        before: Vec::new(),
        columns: vec![
            "level",
            "n",
            "Brier",
            "beforehand",
            "skill",
            "log",
            "beforehand",
        ],
        rows: rows
            .map(|(rung, view)| {
                vec![
                    rung.name().to_string(),
                    view.n.to_string(),
                    number(view.brier),
                    number(view.prior_brier),
                    or_dash(view.brier_skill),
                    number(view.log_score),
                    number(view.prior_log_score),
                ]
            })
            .collect(),
        after: vec![
            "Beforehand: what is said of a find of which nothing is known. Log in nats."
                .to_string(),
        ],
    }
}

fn held(levels: &Levels<CalibrationView>) -> Sheet {
    let range = |[least, most]: [f64; 2]| format!("{least:.3}-{most:.3}");
    let rows = levels.each().filter_map(|(rung, view)| {
        let error = view.calibration_error?;
        let within = if error.within_noise {
            "within"
        } else {
            "beyond"
        };
        Some(vec![
            rung.name().to_string(),
            view.single.to_string(),
            number(error.value),
            range(error.interval),
            number(error.noise),
            format!("{:.3} {within}", error.noise_most),
            match view.slope {
                Some(slope) => format!("{:.2} +- {:.2}", slope.value, slope.error),
                None => "too few".to_string(),
            },
        ])
    });
    Sheet {
        heading: "How well the probabilities held".to_string(),
        before: Vec::new(),
        columns: vec![
            "level",
            "n",
            "calib. error",
            "interval",
            "noise",
            "noise at most",
            "slope",
        ],
        rows: rows.collect(),
        after: vec![
            "Over finds with one truth at the level, of the likeliest outcome, \"not in the library\" \
             among them. Noise: the mean error of a forecaster without fault over as few finds, and \
             what 95 in 100 of them stay below. Slope: 1 is well held, below 1 too sure, with its \
             standard error."
                .to_string(),
        ],
    }
}

fn sets(sets: &SetsView) -> Sheet {
    let told = match (sets.n, sets.beta_range, sets.within) {
        (0, ..) => "no find whose type is known and in the library".to_string(),
        (n, Some([least, most]), Some(within)) => format!(
            "{} of {n} hold the type ({}): {} the {:.1}-{:.1} % in which 95 in 100 such shares lie \
             when nine in ten is true; size: median {:.0}, mean {:.1} types",
            sets.covered,
            in_100(sets.coverage),
            if within { "inside" } else { "outside" },
            100.0 * least,
            100.0 * most,
            sets.median_size,
            sets.mean_size
        ),
        (n, ..) => format!(
            "{} of {n} hold the type, too few to tell of nine in ten; size: median {:.0} types",
            sets.covered, sets.median_size
        ),
    };
    said("Sets of nine in ten", vec![told])
}

fn dates(report: &ReportView) -> Sheet {
    let date = &report.date;
    let told = match date.n {
        0 => "no find with published years".to_string(),
        n => format!(
            "median {:.0} and mean {:.1} years from the published range ({n} finds); the range of \
             80 in 100 overlaps it in {}",
            date.median_distance,
            date.mean_distance,
            share_of(
                (date.overlap_of_80 * n as f64).round() as usize,
                n,
                date.overlap_of_80_interval
            )
        ),
    };
    said("Date", vec![told])
}

fn stopped(report: &ReportView) -> Sheet {
    let rows = report.stopped_at.iter();
    Sheet {
        heading: "Where answers stopped".to_string(),
        before: Vec::new(),
        columns: vec!["level", "n", "share"],
        rows: rows
            .map(|view| {
                let share = in_100(view.share);
                vec![view.level.to_string(), view.n.to_string(), share]
            })
            .collect(),
        after: Vec::new(),
    }
}

fn groups(report: &ReportView) -> Vec<Sheet> {
    let kinds = report.groups.each();
    let mut sheets: Vec<Sheet> = kinds
        .map(|(kind, groups)| Sheet {
            heading: format!("By {kind}"),
            before: Vec::new(),
            columns: vec![kind, "n", "period", "ruler", "denomination", "type"],
            rows: groups
                .iter()
                .map(|group| {
                    let cells = group.levels.each().map(|(_, hits)| {
                        let share = |count| 100.0 * count as f64 / hits.n as f64;
                        match hits.n {
                            0 => "-".to_string(),
                            n => format!("{:.0}/{:.0} ({n})", share(hits.top1), share(hits.top3)),
                        }
                    });
                    [group.name.clone(), group.n.to_string()]
                        .into_iter()
                        .chain(cells)
                        .collect()
                })
                .collect(),
            after: Vec::new(),
        })
        .collect();
    if let Some(last) = sheets.last_mut() {
        let key = "In 100: first / among 3, and in brackets of how many finds.";
        last.after.push(key.to_string());
    }
    sheets
}

fn lacked(heading: &str, view: &OutsideView) -> Sheet {
    let n = view.n;
    let row = |what: &str, count: usize, interval: Option<[f64; 2]>| {
        format!("{what}: {count} of {n}, {}", share_of(count, n, interval))
    };
    Sheet {
        heading: format!("{heading}: {n}"),
        before: vec![
            row(
                "\"not in the library\" is the answer, or nothing is named at a half",
                view.nothing_named,
                view.nothing_named_interval,
            ) + &format!(
                " (not in the library {}, open {})",
                view.unlisted, view.open
            ),
            row(
                "\"not in the library\" is the answer, or ruler or period stands first",
                view.unlisted_or_right,
                view.unlisted_or_right_interval,
            ),
            row(
                "wrong at 0.8 or more",
                view.confident_wrong,
                view.confident_wrong_interval,
            ),
            row(
                "of these in period, ruler or denomination, not by the type alone",
                view.confident_astray,
                view.confident_astray_interval,
            ),
        ],
        columns: HITS.to_vec(),
        rows: hits_rows(&view.levels),
        after: Vec::new(),
    }
}

fn confident(report: &ReportView) -> Sheet {
    let view = &report.confident;
    let told = format!(
        "answers of 0.8 and more: {}; wrong: {}, {}",
        view.n,
        view.wrong,
        share_of(view.wrong, view.n, view.share_wrong_interval)
    );
    said("Confident answers", vec![told])
}

/// The report as a page of Markdown.
pub(super) fn markdown(report: &ReportView) -> String {
    let asked = &report.asked;
    let tables = asked.tables.iter().map(|table| {
        let (name, finds) = (cell(&table.name), table.finds);
        format!("- {name}: {finds} finds")
    });
    let mut lines = vec![
        "# Evaluation".to_string(),
        String::new(),
        "```sh".to_string(),
        asked.command.clone(),
        "```".to_string(),
        String::new(),
        format!(
            "{} {}, library of {} types ({}).",
            asked.program, asked.version, asked.library.types, asked.library.digest
        ),
        format!(
            "{} finds judged, of which {} are of a denomination or type in the library.",
            report.n, report.in_catalogue
        ),
        String::new(),
    ];
    lines.extend(tables);
    lines.extend(
        asked
            .conditions()
            .iter()
            .map(|told| format!("- {}", cell(told))),
    );
    lines.push("\n![What was said against what was right](reliability.svg)".to_string());
    for sheet in sheets(report) {
        lines.push(format!("\n## {}\n", sheet.heading));
        lines.extend(sheet.before.iter().map(|told| format!("- {}", cell(told))));
        if !sheet.rows.is_empty() {
            if !sheet.before.is_empty() {
                lines.push(String::new());
            }
            lines.push(row(sheet.columns.iter().copied()));
            lines.push(format!("|{}", "---|".repeat(sheet.columns.len())));
            lines.extend(
                sheet
                    .rows
                    .iter()
                    .map(|cells| row(cells.iter().map(String::as_str))),
            );
        }
        lines.extend(sheet.after.iter().map(|told| format!("\n{told}")));
    }
    lines.extend(listed(report));
    lines.join("\n") + "\n"
}

/// The lists of single finds.
fn listed(report: &ReportView) -> Vec<String> {
    let mut lines = Vec::new();
    for (heading, wrong) in [
        ("Confident (0.8 or more) and wrong", &report.confident_wrong),
        ("Not first at some level", &report.missed),
    ] {
        lines.push(format!("\n## {heading}: {}", wrong.len()));
        if !wrong.is_empty() {
            lines.push("\n| find | said | p | truth |\n|---|---|---|---|".to_string());
        }
        for one in wrong {
            let p = chance_in_figures(one.p);
            lines.push(row([one.id.as_str(), &one.said, &p, &one.truth].into_iter()));
        }
    }
    let unresolved = &report.unresolved;
    lines.push(format!(
        "\n## Names that mean nothing in the library: {} finds",
        unresolved.len()
    ));
    if !unresolved.is_empty() {
        lines.push("\n| find | names |\n|---|---|".to_string());
    }
    for one in unresolved {
        let names = one.names.join("; ");
        lines.push(row([one.id.as_str(), &names].into_iter()));
    }
    lines
}

fn row<'c>(cells: impl Iterator<Item = &'c str>) -> String {
    let cells: Vec<String> = cells.map(cell).collect();
    format!("| {} |", cells.join(" | "))
}

/// Text that cannot break a row of a table or become markup.
fn cell(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '|' | '\\' | '`' | '<' | '*' | '[' | ']' => out.extend(['\\', sign]),
            sign if sign.is_control() => out.push(' '),
            sign => out.push(sign),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_cannot_break_its_row() {
        assert_eq!(
            row(["a|b", "c\nd <e>"].into_iter()),
            "| a\\|b | c d \\<e> |"
        );
    }

    #[test]
    fn shares_are_told_with_their_intervals_or_not_at_all() {
        let told = share_of(9, 10, Some([0.596, 0.982]));
        assert_eq!(told, "90.0 % (59.6-98.2)");
        assert_eq!(share_of(0, 0, None), "-");
    }
}
