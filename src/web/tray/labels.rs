//! Labels of the finds chosen in the tray: on a page to print, or as PDF.
//!
//! Asks which sheet; what stands on a label, and where, is the command line's.
//!
//! Invariant: no findspot stands on a label unless that was chosen, and guests make none.

use maud::{Markup, PreEscaped, html};

use super::{asked_for, filter};
use crate::cli::shared::{LABELS_MOST, LabelPlace, SheetFlags, label_sheets, labels, labels_pdf};
use crate::web::asked::{Asked, Fields};
use crate::web::desk::Desk;
use crate::web::form::{EXACT, Sheet, Wrong, side, squares};
use crate::web::page::Place;
use crate::web::reply::{Fault, Reply};

/// Most labels that the page shows; the PDF takes more.
const SHOWN_MOST: usize = 600;

/// Sheets of labels by their grid.
const GRIDS: [(&str, &str); 5] = [
    ("plain", "Plain A4 paper, with lines to cut along"),
    ("2x7", "A4 of labels, 2 across and 7 down"),
    ("3x8", "A4 of labels, 3 across and 8 down"),
    ("4x10", "A4 of labels, 4 across and 10 down"),
    ("5x13", "A4 of labels, 5 across and 13 down"),
];

/// What is said of the sheet beside its grid.
const LENGTHS: [(&str, &str, &str); 8] = [
    (
        "columns",
        "Labels across, if the list above has no such sheet",
        "",
    ),
    ("rows", "Labels down", ""),
    ("margin-top-mm", "Margin at the top, mm", "Left empty, 12."),
    (
        "margin-bottom-mm",
        "Margin at the foot, mm",
        "Left empty, as at the top.",
    ),
    ("margin-left-mm", "Margin on the left, mm", "Left empty, 8."),
    (
        "margin-right-mm",
        "Margin on the right, mm",
        "Left empty, as on the left.",
    ),
    ("gap-across-mm", "Between two side by side, mm", ""),
    ("gap-down-mm", "Between two one under the other, mm", ""),
];

/// What the form holds: the choice of the tray, the sheet, the findspot.
fn typed(asked: &Asked) -> Fields {
    let mut typed = asked_for(asked);
    let lengths = LENGTHS.iter().map(|(name, _, _)| *name);
    for name in ["sheet", "used", "square"].into_iter().chain(lengths) {
        if let Some(text) = asked.query.get(name) {
            typed.push(name, text);
        }
    }
    typed
}

fn number<N: std::str::FromStr>(typed: &Fields, name: &str) -> Result<Option<N>, Wrong> {
    let Some(text) = typed.get(name) else {
        return Ok(None);
    };
    let bare = text.trim_end_matches("mm").trim().replace(',', ".");
    let read = bare.parse().map_err(|_| {
        let short: String = text.chars().take(40).collect();
        let what = format!("{name}: \"{short}\" is no number that can be");
        Wrong::new(&what, "write it as 12, or leave it empty")
    });
    read.map(Some)
}

/// The sheet that is asked for.
fn paper(typed: &Fields) -> Result<SheetFlags, Wrong> {
    let mm = |name: &str| number::<f64>(typed, name);
    Ok(SheetFlags {
        sheet: typed.get("sheet").unwrap_or(GRIDS[0].0).to_string(),
        columns: number(typed, "columns")?,
        rows: number(typed, "rows")?,
        margin_top_mm: mm("margin-top-mm")?,
        margin_bottom_mm: mm("margin-bottom-mm")?,
        margin_left_mm: mm("margin-left-mm")?,
        margin_right_mm: mm("margin-right-mm")?,
        gap_across_mm: mm("gap-across-mm")?.unwrap_or(0.0),
        gap_down_mm: mm("gap-down-mm")?.unwrap_or(0.0),
        used: number(typed, "used")?.unwrap_or(0),
    })
}

/// What of the findspot is to stand on a label: nothing unless a square was chosen.
fn findspot(typed: &Fields) -> LabelPlace {
    match typed.get("square") {
        Some(EXACT) => LabelPlace::Exact,
        _ => side(typed).map_or(LabelPlace::Left, LabelPlace::Square),
    }
}

/// How many labels there are, and the pictures of their sheets.
fn made(desk: &Desk, typed: &Fields) -> Result<(usize, Vec<String>), Wrong> {
    let sheet = paper(typed)?.sheet()?;
    let Some(shelf) = desk.shelf()? else {
        return Ok((0, Vec::new()));
    };
    let (filter, _) = filter(desk, &shelf, typed)?;
    if shelf.count(&filter)? == 0 {
        return Ok((0, Vec::new()));
    }
    let labels = labels(&shelf, filter, findspot(typed), SHOWN_MOST)?;
    Ok((labels.len(), label_sheets(&labels, &sheet)?))
}

fn nothing() -> Fault {
    Fault::new(404, "nothing is kept yet", "keep a find first")
}

pub(super) fn page(desk: &Desk, asked: &Asked) -> Reply {
    let typed = typed(asked);
    let made = made(desk, &typed);
    let sheet = Sheet {
        name: "labels",
        typed: &typed,
        wrong: made.as_ref().err(),
    };
    let page = Reply::Page {
        place: Place::Tray,
        title: "Labels".into(),
        body: html! {
            p.back { a href=(asked_for(asked).address("/tray")) { "Back to the tray" } }
            div.no-print {
                h1 { "Labels" }
                p { "For bags and boxes: the number of each find chosen in the tray, what it is, when it was made and found, and where it is kept." }
                (form(&sheet, &asked_for(asked)))
            }
            @if let Ok((0, _)) = &made {
                p { "No find is like this, so there is nothing to put on a label." }
            } @else if let Ok((count, sheets)) = &made {
                p.no-print role="status" {
                    (count) (if *count == 1 { " label" } else { " labels" }) " on " (sheets.len()) (if sheets.len() == 1 { " sheet" } else { " sheets" })
                    ". Print this page at 100 %, not fitted to the paper, or take the PDF, which is of the same size everywhere."
                }
                div.sheets { @for svg in sheets { (PreEscaped(svg)) } }
            }
        },
    };
    page.refused_if(made.is_err())
}

/// The form: which finds is carried along from the tray.
fn form(sheet: &Sheet<'_>, chosen: &Fields) -> Markup {
    let grids = GRIDS.map(|(word, text)| (word.to_string(), text.to_string()));
    let places = squares("As it was given");
    let open = LENGTHS
        .iter()
        .any(|(name, _, _)| sheet.typed.get(name).is_some());
    html! {
        form.stack method="get" action="/labels" {
            (sheet.head_of_choice())
            @for (name, text) in chosen.iter() { input type="hidden" name=(name) value=(text); }
            div.columns {
                (sheet.choice("sheet", "Sheet", "", "", &grids))
                (sheet.line("used", "Labels of the first sheet that are used already", ""))
                (sheet.choice("square", "Findspot", "Whoever sees the bag reads it.", "Not on the label", &places))
            }
            details open[open] {
                summary { "Another sheet, margins and gaps, as the packet of labels says" }
                div.columns { @for (name, label, how) in LENGTHS { (sheet.line(name, label, how)) } }
            }
            button { "Show them so" }
            " " button.quiet formaction="/labels.pdf" { "Take them as PDF" }
        }
    }
}

/// The labels as PDF.
pub(super) fn pdf(desk: &Desk, asked: &Asked) -> Reply {
    let typed = typed(asked);
    let made = (|| -> Result<Reply, Wrong> {
        let shelf = desk.shelf()?.ok_or_else(nothing)?;
        let sheet = paper(&typed)?.sheet()?;
        let (filter, _) = filter(desk, &shelf, &typed)?;
        let labels = labels(&shelf, filter, findspot(&typed), LABELS_MOST)?;
        Ok(Reply::File {
            kind: "application/pdf",
            bytes: labels_pdf(&labels, &sheet)?,
            save_as: Some(format!("labels-{}.pdf", desk.today()?.iso())),
            lasting: false,
        })
    })();
    made.map_err(Fault::from).into()
}
