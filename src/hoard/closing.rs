//! The terminus post quem: the first year in which the latest piece can have been made.
//!
//! A group cannot have been closed before its latest piece was made. Each row has chances of its
//! earliest year; the rows being right or wrong independently of one another, the chance that
//! all of them can be of a year or before is the product of their chances. What may be of any time
//! sets no year. It is a year "not before which", and says nothing of how long after.
//!
//! Invariant: a further piece never makes the year earlier, and one that stands alone at the end
//! is told of, not left out.

use crate::find::{Span, Year};

/// Years by which one row alone must be later than the others to be told of as standing alone; a
/// judgement of this program: a generation.
pub const ALONE_YEARS: i32 = 20;
/// Most pieces in a row that can be a stray.
const STRAY_MOST: u32 = 2;
/// Rows told of as setting the year: with at least this chance.
const SETS_IT: f64 = 0.05;

/// The first year in which the latest piece can have been made, with its doubt.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Closing {
    /// Not before this year, as likely as not; none where that may be any year.
    pub not_before: Option<Year>,
    /// The earliest year of the middle 80 in 100; none where it is likelier than one in ten that
    /// nothing sets a year.
    pub earliest: Option<Year>,
    /// The latest year of the middle 80 in 100.
    pub latest: Option<Year>,
    /// The chance that no row sets a year at all.
    pub unset: f64,
    /// Rows that may set it, by position, with their chances, the likeliest first; rows of one
    /// year set it together.
    pub set_by: Vec<(usize, f64)>,
    /// What it would be without the row that sets it first of all.
    pub without: Option<Without>,
    /// The chance of each first year: that the latest piece can be of that year or before.
    pub steps: Vec<(Year, f64)>,
}

/// The year without one row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Without {
    /// Position of the row.
    pub piece: usize,
    /// Not before this year, without it.
    pub not_before: Option<Year>,
    /// True where it stands alone: so few pieces, and so much later than all others.
    pub alone: bool,
}

/// Chances of years of a row.
pub(super) type Dates = Vec<(Span, f64)>;

/// A row's chance that its earliest year is so or before, over the years of `steps`.
fn lane(dates: &Dates, steps: &[Year]) -> Vec<f64> {
    let whole: f64 = dates.iter().map(|(_, chance)| chance).sum();
    let mut level = (1.0 - whole).max(0.0);
    let mut firsts: Vec<(Year, f64)> = dates.iter().map(|(span, p)| (span.from, *p)).collect();
    firsts.sort_unstable_by_key(|(year, _)| *year);
    let mut next = firsts.into_iter().peekable();
    steps
        .iter()
        .map(|year| {
            while let Some((_, chance)) = next.next_if(|(first, _)| first <= year) {
                level += chance;
            }
            level.min(1.0)
        })
        .collect()
}

/// Works it out for rows with these dates and counts.
pub(super) fn close(rows: &[(Dates, u32)]) -> Closing {
    let mut closing = without_a_look_back(rows);
    if let Some((latest, _)) = closing.set_by.first().copied() {
        let others: Vec<(Dates, u32)> = rows
            .iter()
            .enumerate()
            .filter(|(place, _)| *place != latest)
            .map(|(_, row)| row.clone())
            .collect();
        let left = without_a_look_back(&others).not_before;
        let later = |left: Year| {
            let own = closing.not_before.unwrap_or(left);
            crate::find::ordinal(own) - crate::find::ordinal(left) >= ALONE_YEARS
        };
        closing.without = Some(Without {
            piece: latest,
            not_before: left,
            alone: rows[latest].1 <= STRAY_MOST && left.is_some_and(later),
        });
    }
    closing
}

fn without_a_look_back(rows: &[(Dates, u32)]) -> Closing {
    let mut years: Vec<Year> = rows
        .iter()
        .flat_map(|(dates, _)| dates.iter().map(|(span, _)| span.from))
        .collect();
    years.sort_unstable();
    years.dedup();
    let lanes: Vec<Vec<f64>> = rows.iter().map(|(dates, _)| lane(dates, &years)).collect();
    let product = |place: usize| -> f64 { lanes.iter().map(|lane| lane[place]).product() };
    let steps: Vec<(Year, f64)> = years
        .iter()
        .enumerate()
        .map(|(place, year)| (*year, product(place)))
        .collect();
    let open = |(dates, _): &(Dates, u32)| {
        (1.0 - dates.iter().map(|(_, chance)| chance).sum::<f64>()).max(0.0)
    };
    let unset: f64 = rows.iter().map(open).product();
    let at = |share: f64| {
        let reached = steps.iter().find(|(_, chance)| *chance >= share - 1e-12);
        reached.map(|(year, _)| *year).filter(|_| unset < share)
    };
    Closing {
        not_before: at(0.5),
        earliest: at(0.1),
        latest: at(0.9),
        unset,
        set_by: set_by(rows, &lanes, &steps),
        without: None,
        steps,
    }
}

/// The chance of each row that no other can be later than it.
fn set_by(rows: &[(Dates, u32)], lanes: &[Vec<f64>], steps: &[(Year, f64)]) -> Vec<(usize, f64)> {
    let one = |row: usize| -> f64 {
        let own = &lanes[row];
        let mut before = (1.0 - rows[row].0.iter().map(|(_, p)| p).sum::<f64>()).max(0.0);
        let mut chance = 0.0;
        for (place, (_, all)) in steps.iter().enumerate() {
            // The product of the others is that of all without its own.
            if own[place] > before {
                chance += (own[place] - before) * all / own[place];
            }
            before = own[place];
        }
        chance
    };
    let mut set: Vec<(usize, f64)> = (0..rows.len()).map(|row| (row, one(row))).collect();
    set.retain(|(_, chance)| *chance >= SETS_IT);
    set.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    set
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(dates: &[(Year, Year, f64)]) -> (Dates, u32) {
        let dates = dates.iter();
        let dates = dates.map(|(from, to, p)| {
            (
                Span {
                    from: *from,
                    to: *to,
                },
                *p,
            )
        });
        (dates.collect(), 1)
    }

    /// By hand: rows of 117-138 and 138-161 surely: not before 138.
    #[test]
    fn the_latest_first_year_of_sure_rows() {
        let closing = close(&[row(&[(117, 138, 1.0)]), row(&[(138, 161, 1.0)])]);
        assert_eq!(closing.not_before, Some(138));
        assert_eq!((closing.earliest, closing.latest), (Some(138), Some(138)));
        assert_eq!(closing.set_by, [(1, 1.0)]);
        let without = closing.without.expect("a row sets it");
        assert_eq!(without.not_before, Some(117));
        assert!(without.alone, "one coin, 21 years later");
    }

    /// By hand: two rows, each of 100 (0.6) or 200 (0.4): both of 100 at 0.36.
    #[test]
    fn chances_multiply() {
        let one = row(&[(100, 110, 0.6), (200, 210, 0.4)]);
        let closing = close(&[one.clone(), one]);
        assert!((closing.steps[0].1 - 0.36).abs() < 1e-12);
        assert!((closing.steps[1].1 - 1.0).abs() < 1e-12);
        assert_eq!(
            (closing.earliest, closing.not_before),
            (Some(100), Some(200))
        );
        // Each sets it with both at 100 (0.36), itself at 200 (0.4).
        assert!((closing.set_by[0].1 - 0.76).abs() < 1e-12);
    }

    /// What may be of any time sets no year, and does not hide the doubt.
    #[test]
    fn a_row_of_any_time_sets_nothing() {
        let known = row(&[(117, 138, 1.0)]);
        let open = row(&[]);
        let closing = close(&[known.clone(), open.clone()]);
        assert_eq!(closing.not_before, Some(117));
        let closing = close(&[open]);
        assert_eq!((closing.not_before, closing.unset), (None, 1.0));
        let half = row(&[(300, 310, 0.45)]);
        let closing = close(&[half]);
        assert_eq!((closing.not_before, closing.latest), (None, Some(300)));
        assert!((closing.unset - 0.55).abs() < 1e-12);
    }
}
