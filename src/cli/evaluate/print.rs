//! The report as lines of a terminal.
//!
//! Invariant: no line is wider than a hundred signs.

use std::io::Write;

use super::super::compare::layout::wrap;
use super::super::error::Trouble;
use super::page::{Sheet, sheets};
use super::report::{ReportView, WrongView};
use crate::explain::chance_in_figures;

/// Signs of a line.
const WIDTH: usize = 100;
/// Blanks before what hangs under a heading.
const INDENT: usize = 2;

/// Prints a report.
pub(super) fn print(report: &ReportView, out: &mut dyn Write) -> Result<(), Trouble> {
    let asked = &report.asked;
    hang(&first_line(report), 0, out)?;
    if asked.tables.len() > 1 {
        for table in &asked.tables {
            hang(
                &format!("{}: {} finds", table.name, table.finds),
                INDENT,
                out,
            )?;
        }
    }
    for told in asked.conditions() {
        hang(&told, INDENT, out)?;
    }
    for sheet in sheets(report) {
        print_sheet(&sheet, out)?;
    }
    list(
        "confident (0.8 or more) and wrong",
        &report.confident_wrong,
        out,
    )?;
    list("not first at some level", &report.missed, out)?;
    writeln!(
        out,
        "\nnames that mean nothing in the library: {} finds",
        report.unresolved.len()
    )?;
    for one in &report.unresolved {
        hang(
            &format!("{}: {}", one.id, one.names.join("; ")),
            INDENT,
            out,
        )?;
    }
    Ok(())
}

fn first_line(report: &ReportView) -> String {
    let (n, listed) = (report.n, report.in_catalogue);
    format!("{n} finds, of which {listed} are of a denomination or type in the library")
}

fn list(heading: &str, wrong: &[WrongView], out: &mut dyn Write) -> Result<(), Trouble> {
    writeln!(out, "\n{heading}: {}", wrong.len())?;
    wrong.iter().try_for_each(|w| {
        let p = chance_in_figures(w.p);
        let told = format!("{}: said {} ({p}); truth {}", w.id, w.said, w.truth);
        hang(&told, INDENT, out)
    })
}

/// A text in lines, those after the first hanging deeper.
fn hang(text: &str, indent: usize, out: &mut dyn Write) -> Result<(), Trouble> {
    let lines = wrap(text, WIDTH - indent - INDENT);
    for (at, line) in lines.iter().enumerate() {
        let indent = if at == 0 { indent } else { indent + INDENT };
        writeln!(out, "{:indent$}{line}", "")?;
    }
    Ok(())
}

fn print_sheet(sheet: &Sheet, out: &mut dyn Write) -> Result<(), Trouble> {
    writeln!(out, "\n{}", sheet.heading)?;
    for told in &sheet.before {
        hang(told, INDENT, out)?;
    }
    if !sheet.rows.is_empty() {
        let widths = widths(sheet);
        let mut line = |cells: &[&str]| -> Result<(), Trouble> {
            let mut text = " ".repeat(INDENT);
            for (at, (cell, width)) in cells.iter().zip(&widths).enumerate() {
                match at {
                    0 => text.push_str(&format!("{cell:<width$}")),
                    _ => text.push_str(&format!("  {cell:>width$}")),
                }
            }
            Ok(writeln!(out, "{}", text.trim_end())?)
        };
        line(&sheet.columns)?;
        for row in &sheet.rows {
            line(&row.iter().map(String::as_str).collect::<Vec<_>>())?;
        }
    }
    for told in &sheet.after {
        hang(told, INDENT, out)?;
    }
    Ok(())
}

/// How wide each column must be.
fn widths(sheet: &Sheet) -> Vec<usize> {
    let columns = sheet.columns.iter().enumerate();
    let width = |(at, heading): (usize, &&str)| {
        let cells = sheet.rows.iter().map(|row| row[at].chars().count());
        cells.chain([heading.chars().count()]).max().unwrap_or(0)
    };
    columns.map(width).collect()
}
