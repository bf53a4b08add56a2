//! Chance that a legend of given letters is written down as a given reading, for a stretch of each
//! length and for each number of scattered places.
//!
//! Follows only what is not hopeless: a way of writing that is fourteen powers of ten behind the
//! best that its signs allow is dropped. Invariant: chances, none above one.

use super::super::rates::*;
use super::tokens::{Sign, Written, marked};

/// Signs passed over or doubled that are followed: from one doubled to so many less one passed over.
const LANES: usize = 8;
type Lanes = [f64; LANES];

/// What a reading's chances come to for one row of struck letters.
pub(super) struct Chances {
    /// Length of a stretch, and the chance given it.
    pub stretch: Vec<(usize, f64)>,
    /// Number of places seen, and the sum of the chances over all sets of so many.
    pub scattered: Vec<(usize, f64)>,
}

/// Room to work in, kept between calls.
#[derive(Default)]
pub(super) struct Bench {
    row: Vec<f64>,
    ends: Vec<f64>,
    front: Vec<f64>,
    back: Vec<f64>,
    open: Vec<Lanes>,
    shut: Vec<Lanes>,
}

/// The chances of a reading over one row of struck letters.
pub(super) fn chances(struck: &[u8], written: &Written, bench: &mut Bench) -> Chances {
    let mut stretch = vec![0.0; struck.len() + 1];
    let marks: Vec<usize> = (0..written.signs.len())
        .filter(|at| written.signs[*at].is_mark())
        .collect();
    one_piece(struck, written, &marks, bench, &mut stretch);
    if let [mark] = marks[..] {
        round_the_end(struck, written, mark, bench, &mut stretch);
    }
    let kept = |(at, chance): (usize, f64)| (chance > 0.0).then_some((at, chance));
    Chances {
        stretch: stretch.into_iter().enumerate().filter_map(kept).collect(),
        scattered: scattered(struck, written, bench),
    }
}

/// From a place of the legend on, the chance that the signs `from..to` are written for the places up
/// to each later one; in `ends`, from the place itself.
fn onward(
    struck: &[u8],
    w: &Written,
    from: usize,
    to: usize,
    row: &mut Vec<f64>,
    ends: &mut Vec<f64>,
) {
    let wide = to - from;
    row.clear();
    row.resize(wide + 1, 0.0);
    row[0] = 1.0;
    ends.clear();
    ends.push(row[wide]);
    // Between these stand all that is above nought.
    let (mut low, mut high) = (0, 0);
    for letter in struck {
        let top = (high + 2).min(wide);
        let mut live = false;
        let (mut first, mut last) = (top, low);
        for at in (low..=top).rev() {
            let mut sum = row[at] * w.none[*letter as usize];
            if at > low {
                sum += row[at - 1] * w.one(*letter, from + at - 1);
            }
            if at > low + 1 {
                sum += row[at - 2] * w.two(*letter, from + at - 2);
            }
            let keep = sum > w.floor[from + at] / w.floor[from] * 1e-14;
            row[at] = if keep { sum } else { 0.0 };
            if keep {
                live = true;
                first = at;
                last = last.max(at);
            }
        }
        ends.push(row[wide]);
        if !live {
            return;
        }
        (low, high) = (first, last);
    }
}

/// A stretch that does not run past the legend's end.
fn one_piece(struck: &[u8], w: &Written, marks: &[usize], bench: &mut Bench, out: &mut [f64]) {
    let (n, m) = (struck.len(), w.signs.len());
    let (lead, tail) = match marks {
        [] => (None, None),
        [0] => (Some(w.signs[0]), None),
        [at] if *at == m - 1 => (None, Some(w.signs[m - 1])),
        [0, at] if *at == m - 1 => (Some(w.signs[0]), Some(w.signs[m - 1])),
        _ => return,
    };
    let (from, to) = (usize::from(lead.is_some()), m - usize::from(tail.is_some()));
    let lost = |run: usize, mark: Option<Sign>| match (run, mark) {
        (0, None) => 1.0,
        (0, Some(_)) => 0.0,
        _ => marked(run, true, mark),
    };
    for begin in 0..n {
        let before = lost(begin, lead);
        if before == 0.0 {
            continue;
        }
        onward(
            &struck[begin..],
            w,
            from,
            to,
            &mut bench.row,
            &mut bench.ends,
        );
        let here = (1.0 - FROM_START) / n as f64 + if begin == 0 { FROM_START } else { 0.0 };
        for (long, chance) in bench.ends.iter().enumerate().skip(1) {
            if *chance > 0.0 {
                let here = if long == n { 1.0 } else { here };
                out[long] += here * before * chance * lost(n - begin - long, tail);
            }
        }
    }
}

/// A stretch that runs past the end and on at the beginning, so that what is lost stands between.
fn round_the_end(struck: &[u8], w: &Written, mark: usize, bench: &mut Bench, out: &mut [f64]) {
    let (n, m) = (struck.len(), w.signs.len());
    onward(struck, w, 0, mark, &mut bench.row, &mut bench.front);
    // Chance of the signs after the mark for the places from each on.
    bench.back.clear();
    bench.back.resize(n, 0.0);
    for begin in 2..n {
        onward(
            &struck[begin..],
            w,
            mark + 1,
            m,
            &mut bench.row,
            &mut bench.ends,
        );
        if bench.ends.len() == n - begin + 1 {
            bench.back[begin] = bench.ends[n - begin];
        }
    }
    let here = (1.0 - FROM_START) / n as f64;
    for (end, front) in bench.front.iter().enumerate().skip(1) {
        if *front <= 0.0 {
            continue;
        }
        for begin in end + 1..n {
            let back = bench.back[begin];
            if back > 0.0 {
                let lost = marked(begin - end, false, Some(w.signs[mark]));
                out[n - begin + end] += here * front * back * lost;
            }
        }
    }
}

fn moved(from: &Lanes, by: isize, times: f64, to: &mut Lanes) {
    for lane in 0..LANES as isize {
        let target = lane + by;
        if (0..LANES as isize).contains(&target) {
            to[target as usize] += from[lane as usize] * times;
        }
    }
}

fn added(from: &Lanes, times: f64, to: &mut Lanes) {
    for (to, from) in to.iter_mut().zip(from) {
        *to += from * times;
    }
}

/// Scattered places, each seen or not by itself: all ways in which the signs can lie along them.
fn scattered(struck: &[u8], w: &Written, bench: &mut Bench) -> Vec<(usize, f64)> {
    let (n, m) = (struck.len(), w.signs.len());
    let wide = m + 1;
    for table in [&mut bench.open, &mut bench.shut] {
        table.clear();
        table.resize((n + 1) * wide, [0.0; LANES]);
    }
    // Lane one: as many places seen as signs written for them.
    bench.open[0][1] = 1.0;
    for (place, letter) in struck.iter().enumerate() {
        for at in 0..=m {
            let here = place * wide + at;
            let open = bench.open[here];
            let mut all = open;
            added(&bench.shut[here], 1.0, &mut all);
            let sum: f64 = all.iter().sum();
            if sum <= w.floor[at] {
                continue;
            }
            seen(*letter, at, &all, w, &mut bench.open[(place + 1) * wide..]);
            if open.iter().sum::<f64>() > w.floor[at] {
                run_lost(place, at, n, &open, w, &mut bench.shut);
            }
        }
    }
    let mut last = bench.open[n * wide + m];
    added(&bench.shut[n * wide + m], 1.0, &mut last);
    let signs = w.signs.iter().filter(|sign| !sign.is_mark()).count();
    let seen = last
        .iter()
        .enumerate()
        .map(|(lane, chance)| ((signs + lane).wrapping_sub(1), *chance));
    seen.filter(|(seen, chance)| *chance > 0.0 && (1..=n).contains(seen))
        .collect()
}

/// A place that is seen: nothing, one sign or two are written for it.
fn seen(struck: u8, at: usize, all: &Lanes, w: &Written, next: &mut [Lanes]) {
    moved(all, 1, w.none[struck as usize], &mut next[at]);
    if at < w.signs.len() {
        let one = w.one(struck, at);
        if one > 0.0 {
            added(all, one, &mut next[at + 1]);
        }
        let two = w.two(struck, at);
        if two > 0.0 {
            moved(all, -1, two, &mut next[at + 2]);
        }
    }
}

/// A run of lost places begins: its mark, or none where it reaches an end.
fn run_lost(place: usize, at: usize, n: usize, open: &Lanes, w: &Written, shut: &mut [Lanes]) {
    let wide = w.signs.len() + 1;
    let mark = w.signs.get(at).copied().filter(|sign| sign.is_mark());
    for run in 1..=n - place {
        let at_end = place == 0 || place + run == n;
        let after = (place + run) * wide + at;
        if at_end {
            added(open, marked(run, true, None), &mut shut[after]);
        }
        if let Some(mark) = mark {
            let chance = marked(run, at_end, Some(mark));
            if chance > 0.0 {
                added(open, chance, &mut shut[after + 1]);
            }
        }
    }
}
