//! Fits how loud "not in the library" is, the powers and lapses that temper the shares and the limit of
//! the nine-in-ten set, and writes them to `src/score/fitted.rs`.
//!
//! What is common to all periods is fitted on the real finds that are there to be looked at (the public
//! and the further specimens), for types on the same with their types taken out of the library too, and
//! on published pieces of other lands, as heavy by metal as finds that no library lists are taken to be.
//! How the periods differ is fitted on these and on simulated finds.
//! The figures that are printed and the limit come of halves: each real find is judged under what was
//! fitted on the other half. What is written was fitted on all.
//! Start from the project's folder with `cargo run --release --example calibrate`; add `--dry` to
//! print without writing, and `--beside 0.25` to see what comes of it when simulated finds, together a
//! quarter as heavy as the real ones, have a say in what is common too.

// This is a command of its own and no room of the house: it prints.
#![allow(clippy::print_stdout)]

mod cases;
mod figures;
mod fit;

use std::error::Error;
use std::fmt::Write as _;

use cases::{Case, Origin};
use fit::Rows;
use lynchet::{House, HouseOptions};

fn main() -> Result<(), Box<dyn Error>> {
    let asked: Vec<String> = std::env::args().skip(1).collect();
    let beside = asked.iter().position(|word| word == "--beside");
    let beside = beside.and_then(|place| asked.get(place + 1));
    let beside: f64 = beside.map_or(Ok(0.0), |share| share.parse())?;
    let house = House::open(&HouseOptions::default())?;
    let mut cases = cases::cases(&house)?;
    let before = fit::common(&fitting(&cases, None), beside);
    let shifts = fit::unlisted(&fitting(&cases, None), &before);
    figures::tell_unlisted(&cases, &shifts, &before);
    fit::shift(&mut cases, &shifts);
    let halves = [false, true].map(|second| {
        let half = fitting(&cases, Some(second));
        fit::rows(&half, beside, &house)
    });
    figures::tell(&cases, &halves);
    let limit = figures::limit(&cases, &halves);
    let rows = fit::rows(&fitting(&cases, None), beside, &house);
    let written = written(&rows, &fit::in_all(&shifts), limit);
    println!("{written}");
    if beside == 0.0 && !asked.iter().any(|word| word == "--dry") {
        std::fs::write("src/score/fitted.rs", written)?;
    }
    Ok(())
}

/// The cases that are fitted on: all or one half, of the foreign pieces always the first half.
fn fitting(cases: &[Case], second: Option<bool>) -> Vec<&Case> {
    let wanted = |case: &&Case| match case.origin {
        Origin::Foreign => !case.second,
        _ => second.is_none_or(|second| case.second == second),
    };
    cases.iter().filter(wanted).collect()
}

fn written(rows: &Rows, shifts: &[f64; 4], limit: f64) -> String {
    let mut text = String::from(
        "//! Powers and limits fitted on finds of known identity. Written by a command, not by hand:\n\
         //! `cargo run --release --example calibrate`.\n\n\
         /// Levels that are tempered.\npub(super) const LEVELS: usize = 8;\n\n\
         /// The power of each level by likeliest period: type, ruler and denomination, series and denomination,\n\
         /// ruler, period and denomination, series, denomination, period.\n#[rustfmt::skip]\n\
         pub(super) const BY_PERIOD: &[(&str, [f64; LEVELS])] = &[\n",
    );
    for (period, fit) in rows {
        let powers: Vec<String> = fit
            .powers
            .iter()
            .map(|power| format!("{power:.3}"))
            .collect();
        let _ = writeln!(text, "    (\"{period}\", [{}]),", powers.join(", "));
    }
    let lapses = rows[0].1.lapses;
    let _ = write!(
        text,
        "];\n\n/// How often all goes astray, by level: so much of the chance is spread more evenly.\n\
         pub(super) const LAPSE: [f64; LEVELS] = {lapses:?};\n\n\
         /// Nats added to \"not in the library\" by the metal named: gold, silver and what passes for it, copper\n\
         /// alloy, any other or none.\n\
         pub(super) const UNLISTED: [f64; 4] = [{:.3}, {:.3}, {:.3}, {:.3}];\n\n\
         /// Share that the likeliest types must hold together for the true one to be among them nine times in ten.\n\
         pub(super) const NINE_IN_TEN: f64 = {limit:.4};\n",
        shifts[0], shifts[1], shifts[2], shifts[3]
    );
    text
}
