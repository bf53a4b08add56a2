//! The group as JSON and as a table, for other programs.
//!
//! Copies the room's values and their words; adds nothing.
//!
//! Invariant: `law` is what `treasure --json` says of the same facts.

use std::io::Write;

use serde::Serialize;

use super::super::error::Trouble;
use super::{Answered, gather, roman};
use crate::find::{Span, Year};
use crate::hoard::{Aoristic, Axis, Closing, DateLaw, GroupRecord, Lot, Lots, Parts, Share};

/// Spans of a row that are told, the likeliest first.
const SPANS_TOLD: usize = 20;

/// What `hoard --json` prints.
#[derive(Serialize)]
pub(super) struct GroupView<L: Serialize> {
    title: String,
    summary: Vec<String>,
    pieces: u64,
    not_before: ClosingView,
    each_by_itself: ClosingView,
    main_years: Option<[Year; 2]>,
    aoristic: Option<AoristicView>,
    shared_law: Option<LawView>,
    lots: Option<LotsView>,
    made_up_of: MadeView,
    stands_out: Vec<UnusualView>,
    stand_out_by_chance: f64,
    rows: Vec<RowView>,
    missing: Vec<String>,
    cautions: Vec<CareView>,
    law: L,
    remarks: Vec<String>,
}

#[derive(Serialize)]
struct ClosingView {
    year: Option<Year>,
    from: Option<Year>,
    to: Option<Year>,
    nothing_sets_one: f64,
    set_by: Vec<SetView>,
    without_the_latest: Option<WithoutView>,
}

#[derive(Serialize)]
struct SetView {
    row: usize,
    chance: f64,
}

#[derive(Serialize)]
struct WithoutView {
    row: usize,
    year: Option<Year>,
    stands_alone: bool,
}

#[derive(Serialize)]
struct AoristicView {
    first_year: Year,
    years_a_step: i32,
    expected: Vec<f64>,
    outside: f64,
    of_no_known_year: f64,
}

#[derive(Serialize)]
struct LawView {
    first_year: Year,
    years_a_step: i32,
    density: Vec<f64>,
    steps_of_the_search: usize,
    settled: bool,
}

#[derive(Serialize)]
struct LotsView {
    parted: bool,
    gain: f64,
    apart: f64,
    one: LotView,
    two: [LotView; 2],
}

#[derive(Serialize)]
struct LotView {
    share: f64,
    middle: Year,
    spread_years: f64,
}

#[derive(Serialize)]
struct MadeView {
    kinds: Vec<KindView>,
    period: PartsView,
    ruler: PartsView,
    denomination: PartsView,
    metal: PartsView,
    issue_periods: Vec<ExpectedView>,
}

#[derive(Serialize)]
struct KindView {
    kind: &'static str,
    count: u64,
}

#[derive(Serialize)]
struct PartsView {
    parts: Vec<PartView>,
    not_in_library: f64,
    not_known: f64,
}

#[derive(Serialize)]
struct PartView {
    name: String,
    expected: f64,
    range: [u64; 2],
}

#[derive(Serialize)]
struct ExpectedView {
    name: String,
    expected: f64,
}

#[derive(Serialize)]
struct UnusualView {
    row: usize,
    why: &'static str,
    chance: Option<f64>,
    says: String,
}

#[derive(Serialize)]
struct RowView {
    name: String,
    count: u32,
    kind: &'static str,
    taken_as: String,
    years: Vec<SpanView>,
    not_in_library: f64,
    weight_g: Option<f64>,
    rulers: Vec<ShareView>,
}

#[derive(Serialize)]
struct SpanView {
    from: Year,
    to: Year,
    chance: f64,
    in_company: f64,
}

#[derive(Serialize)]
struct ShareView {
    name: String,
    chance: f64,
}

#[derive(Serialize)]
struct CareView {
    id: &'static str,
    says: &'static str,
    source: &'static str,
}

fn closing(closing: &Closing) -> ClosingView {
    let set = closing.set_by.iter();
    ClosingView {
        year: closing.not_before,
        from: closing.earliest,
        to: closing.latest,
        nothing_sets_one: closing.unset,
        set_by: set
            .map(|(row, chance)| SetView {
                row: *row,
                chance: *chance,
            })
            .collect(),
        without_the_latest: closing.without.map(|without| WithoutView {
            row: without.piece,
            year: without.not_before,
            stands_alone: without.alone,
        }),
    }
}

fn first(axis: Axis) -> (Year, i32) {
    (axis.span(0).from, axis.width)
}

fn aoristic(sum: &Aoristic) -> AoristicView {
    let (first_year, years_a_step) = first(sum.axis);
    AoristicView {
        first_year,
        years_a_step,
        expected: sum.expected.clone(),
        outside: sum.outside,
        of_no_known_year: sum.undated,
    }
}

fn law(law: &DateLaw) -> LawView {
    let (first_year, years_a_step) = first(law.axis);
    LawView {
        first_year,
        years_a_step,
        density: law.density.clone(),
        steps_of_the_search: law.steps,
        settled: law.settled,
    }
}

fn lot(lot: &Lot) -> LotView {
    LotView {
        share: lot.share,
        middle: lot.middle,
        spread_years: lot.spread,
    }
}

fn lots(lots: &Lots) -> LotsView {
    let [early, late] = &lots.two;
    LotsView {
        parted: lots.parted,
        gain: lots.gain,
        apart: lots.apart,
        one: lot(&lots.one),
        two: [lot(early), lot(late)],
    }
}

fn parts(parts: &Parts) -> PartsView {
    let each = parts.parts.iter().map(|part| PartView {
        name: part.name.clone(),
        expected: part.expected,
        range: [part.range.0, part.range.1],
    });
    PartsView {
        parts: each.collect(),
        not_in_library: parts.unlisted,
        not_known: parts.unknown,
    }
}

fn shares(shares: &[Share]) -> Vec<ShareView> {
    let kept = shares.iter().take(SPANS_TOLD);
    kept.map(|share| ShareView {
        name: share.name.clone(),
        chance: share.chance,
    })
    .collect()
}

fn row_of(record: &GroupRecord, place: usize) -> RowView {
    let (piece, read) = (&record.group.pieces[place], &record.read[place]);
    let mut years: Vec<SpanView> = piece
        .dates
        .iter()
        .zip(read)
        .map(|((span, chance), (_, in_company))| SpanView {
            from: span.from,
            to: span.to,
            chance: *chance,
            in_company: *in_company,
        })
        .collect();
    years.sort_by(|a, b| b.in_company.total_cmp(&a.in_company));
    years.truncate(SPANS_TOLD);
    RowView {
        name: piece.name.clone(),
        count: piece.count,
        kind: piece.kind.word(),
        taken_as: gather::taken_as(piece),
        years,
        not_in_library: piece.unlisted,
        weight_g: piece.weight,
        rulers: shares(&piece.rulers),
    }
}

impl GroupView<()> {
    /// The view of a group.
    pub(super) fn of(answered: &Answered<'_>) -> GroupView<impl Serialize + use<>> {
        let record = &answered.record;
        let issue = roman::periods(record, answered.house).into_iter();
        let made = &record.composition;
        let kinds = made.kinds.iter();
        GroupView {
            title: record.title.clone(),
            summary: record.summary.clone(),
            pieces: record.count,
            not_before: closing(&record.closing),
            each_by_itself: closing(&record.by_themselves),
            main_years: record.main_years.map(|span| [span.from, span.to]),
            aoristic: record.aoristic.as_ref().map(aoristic),
            shared_law: record.law.as_ref().map(law),
            lots: record.lots.as_ref().map(lots),
            made_up_of: MadeView {
                kinds: kinds
                    .map(|(kind, count)| KindView {
                        kind,
                        count: *count,
                    })
                    .collect(),
                period: parts(&made.period),
                ruler: parts(&made.ruler),
                denomination: parts(&made.denomination),
                metal: parts(&made.metal),
                issue_periods: issue
                    .map(|(name, expected)| ExpectedView { name, expected })
                    .collect(),
            },
            stands_out: stands_out(record),
            stand_out_by_chance: record.by_chance,
            rows: (0..record.group.pieces.len())
                .map(|place| row_of(record, place))
                .collect(),
            missing: record.missing.clone(),
            cautions: cautions(record),
            law: answered.judged.view(),
            remarks: answered.remarks.clone(),
        }
    }
}

fn stands_out(record: &GroupRecord) -> Vec<UnusualView> {
    let each = record.unusual.iter().map(|one| UnusualView {
        row: one.piece,
        why: one.why.word(),
        chance: one.chance,
        says: one.text.clone(),
    });
    each.collect()
}

fn cautions(record: &GroupRecord) -> Vec<CareView> {
    let each = record.cautions.iter().map(|care| CareView {
        id: care.id,
        says: care.says,
        source: care.source,
    });
    each.collect()
}

/// Columns of the table of rows.
const COLUMNS: [&str; 10] = [
    "name",
    "count",
    "kind",
    "taken_as",
    "date_from",
    "date_to",
    "sets_the_year",
    "unlisted_p",
    "weight_g",
    "stands_out",
];

/// One line a row of the group.
pub(super) fn rows(record: &GroupRecord, out: &mut dyn Write) -> Result<(), Trouble> {
    let mut sheet = csv::Writer::from_writer(out);
    sheet.write_record(COLUMNS)?;
    for (place, (piece, read)) in record.group.pieces.iter().zip(&record.read).enumerate() {
        let likely = read
            .iter()
            .filter(|(_, p)| *p >= 0.05)
            .map(|(span, _)| *span);
        let years = likely.reduce(Span::hull);
        let year = |of: fn(Span) -> Year| years.map_or(String::new(), |span| of(span).to_string());
        let sets = record.closing.set_by.iter().find(|(row, _)| *row == place);
        let odd = record.unusual.iter().filter(|one| one.piece == place);
        let odd: Vec<&str> = odd.map(|one| one.why.word()).collect();
        sheet.write_record([
            in_a_sheet(&piece.name),
            piece.count.to_string(),
            piece.kind.word().to_string(),
            gather::taken_as(piece),
            year(|span| span.from),
            year(|span| span.to),
            sets.map_or(String::new(), |(_, chance)| format!("{chance:.2}")),
            format!("{:.4}", piece.unlisted),
            piece
                .weight
                .map_or(String::new(), |grams| format!("{grams}")),
            odd.join(" "),
        ])?;
    }
    Ok(sheet.flush()?)
}

/// A cell that no spreadsheet takes for something to be worked out.
fn in_a_sheet(text: &str) -> String {
    match text.starts_with(['=', '+', '-', '@']) {
        true => format!("'{text}"),
        false => text.to_string(),
    }
}
