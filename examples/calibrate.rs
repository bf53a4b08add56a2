//! Fits how loud "not in the library" is, the powers that temper the shares and the limit of the
//! nine-in-ten set, and writes them to `src/score/fitted.rs`.
//!
//! Finds: simulated ones of the library's types, as often as the prior has them, every twelfth with
//! its type taken out of what is judged; the public specimens, together as heavy, since simulated
//! finds keep to much that the scorer takes for granted and real ones do not; and published pieces
//! of other lands, as heavy by metal as finds that no library lists are taken to be.
//! One half of the finds fits, the other half gives the limit and the figures that are printed.
//! Start from the project's folder with `cargo run --release --example calibrate`; add `--dry` to
//! print without writing.

// This is a command of its own and no room of the house: it prints.
#![allow(clippy::print_stdout)]

use std::collections::HashSet;
use std::fmt::Write as _;

use lynchet::find::{Find, MetalSeen};
use lynchet::parse::{self, Field};
use lynchet::score::{
    Bench, Groundwork, Key, Level, Options, key, unlisted_group, unlisted_prior, unlisted_shift,
    untempered,
};
use lynchet::{House, HouseOptions, simulate};
use rayon::prelude::*;

/// Simulated finds; even ones fit, odd ones are held back.
const FINDS: usize = 16_000;
/// Every so many'th find has its type taken out.
const TAKEN_OUT: usize = 12;
const SEED: u64 = 1851;
/// Finds of a period that weigh as much as all periods together.
const SHRUNK: f64 = 400.0;
/// Foreign pieces of a metal that weigh as much as those of all metals together.
const SHRUNK_FOREIGN: f64 = 10.0;
/// Groups of metals, as they are printed.
const METALS: [&str; 4] = ["gold", "silver", "copper alloy", "other or none"];
/// Chance given to a truth that is not among what was judged.
const LEAST: f64 = 1e-6;

const LEVELS: [Level; 8] = Level::NARROWEST_FIRST;

/// A find and the types that it may be.
type Known = (Find, HashSet<usize>);

/// One find of known identity, judged.
struct Case {
    weight: f64,
    held_back: bool,
    metal: Option<MetalSeen>,
    /// Whether a coinage of the library is the truth; none where its type was taken out.
    listed: Option<bool>,
    /// Place of the rest of all coinages among the types.
    rest: Option<usize>,
    period: String,
    /// For each level: raw shares, that of "not in the library" last, and which of them are right
    /// (none when nothing is known at that level).
    levels: Vec<Option<(Vec<f64>, Vec<usize>)>>,
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let house = House::open(&HouseOptions::default())?;
    let groundwork = Groundwork::new(&house.catalogue);
    let often: Vec<f64> = groundwork.log_priors().iter().map(|p| p.exp()).collect();
    let finds = simulate::finds(&house.catalogue, &often, SEED, FINDS);
    let simulated = finds.par_iter().enumerate().map(|(place, (truth, find))| {
        let out = (place / 2) % TAKEN_OUT == 0;
        let truth = HashSet::from([*truth]);
        case(find, &truth, out, 1.0, place % 2 == 1, &house, &groundwork)
    });
    let mut cases: Vec<Case> = simulated.collect();
    let specimens = specimens(&house)?;
    let weight = FINDS as f64 / specimens.len() as f64;
    for (place, (find, truth)) in specimens.iter().enumerate() {
        let out = truth.is_empty();
        cases.push(case(
            find,
            truth,
            out,
            weight,
            place % 2 == 1,
            &house,
            &groundwork,
        ));
    }
    for (place, find) in foreign(&house)?.iter().enumerate() {
        let none = HashSet::new();
        let held_back = place % 2 == 1;
        cases.push(case(find, &none, true, 0.0, held_back, &house, &groundwork));
    }
    let shifts = unlisted(&mut cases);
    let rows = fit(&cases, &house);
    tell(&cases, &rows);
    let limit = limit(&cases, &rows);
    println!("nine in ten: {limit:.4}");
    if !std::env::args().any(|argument| argument == "--dry") {
        std::fs::write("src/score/fitted.rs", written(&rows, &shifts, limit))?;
    }
    Ok(())
}

/// The public specimens of known type, and the coins among them that have none in the library.
fn specimens(house: &House) -> Result<Vec<Known>, Box<dyn std::error::Error>> {
    let mut all = table("tests/specimens/public.csv", house)?;
    all.extend(table("tests/specimens/further.csv", house)?);
    Ok(all)
}

/// Published pieces of other lands, none of which the library lists.
fn foreign(house: &House) -> Result<Vec<Find>, Box<dyn std::error::Error>> {
    let all = table("tests/cases/coins/foreign.csv", house)?;
    Ok(all.into_iter().map(|(find, _)| find).collect())
}

/// The coins of a table.
fn table(path: &str, house: &House) -> Result<Vec<Known>, Box<dyn std::error::Error>> {
    let mut table = csv::Reader::from_path(path)?;
    let columns = table.headers()?.clone();
    let place = |name: &str| {
        let found = columns.iter().position(|column| column == name);
        found.ok_or(format!("{path} lacks the column {name}"))
    };
    let (class, types) = (place("class")?, place("types")?);
    let mut found = Vec::new();
    for row in table.records() {
        let row = row?;
        // The prior is one of coins; and where more types would do than could be named, none is known.
        if &row[class] == "artefact" || row[types].trim().is_empty() {
            continue;
        }
        let fields = columns.iter().zip(row.iter());
        let fields =
            fields.filter_map(|(name, cell)| Some((Field::column(name)?, cell.to_string())));
        let (find, _) = parse::form(&fields.collect::<Vec<_>>(), &house.lexicon);
        // "none" is the id of no type.
        let types = row[types]
            .split(';')
            .filter_map(|id| house.catalogue.type_by_id(id.trim()))
            .collect();
        if !find.says_nothing() {
            found.push((find, types));
        }
    }
    Ok(found)
}

fn case(
    find: &Find,
    truth: &HashSet<usize>,
    out: bool,
    weight: f64,
    held_back: bool,
    house: &House,
    groundwork: &Groundwork,
) -> Case {
    let library = &house.catalogue;
    let mut candidates = house.candidates(find).unwrap_or_default();
    if out {
        candidates.retain(|candidate| !truth.contains(candidate));
    }
    let ranking = Bench::new(find, library, groundwork).judge(&candidates, Options::default());
    let judged = |level: Level| {
        let groups = untempered(level, &ranking, library);
        let right: HashSet<Option<Key>> = match (level, out) {
            (Level::Type, true) => HashSet::new(),
            _ => truth
                .iter()
                .map(|t| key(level, *t, &library.types[*t]))
                .collect(),
        };
        if out && truth.is_empty() && level != Level::Type {
            return None;
        }
        let mut places: Vec<usize> = (0..groups.len())
            .filter(|g| right.contains(&groups[*g].0))
            .collect();
        if right.is_empty() {
            // What is not listed is the rest of some coinage, or no coinage of the library's.
            places.extend((0..groups.len()).filter(|g| groups[*g].0.is_none()));
            places.push(groups.len());
        }
        let mut shares: Vec<f64> = groups.iter().map(|group| group.1).collect();
        shares.push((1.0 - shares.iter().sum::<f64>()).max(0.0));
        Some((shares, places))
    };
    let rest = untempered(Level::Type, &ranking, library);
    let rest = rest.iter().position(|group| group.0.is_none());
    let periods = untempered(Level::Period, &ranking, library);
    let likeliest = periods
        .iter()
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .and_then(|p| p.0);
    Case {
        weight,
        held_back,
        metal: find.metal.map(|metal| metal.0),
        listed: match (out, truth.is_empty()) {
            (false, _) => Some(true),
            // A specimen without a type is mostly of a coinage that is listed; a foreign piece, which
            // has no weight yet, is of none.
            (true, true) if weight == 0.0 => Some(false),
            (true, _) => None,
        },
        rest,
        period: likeliest.map_or(String::new(), |p| library.periods[p.0].id.clone()),
        levels: LEVELS.map(judged).into_iter().collect(),
    }
}

/// How loud "not in the library" is by metal: fitted on listed finds and foreign pieces, each kind as
/// heavy as it is taken to be among finds; the raw shares of all cases are changed by it, and the
/// foreign pieces get their weight.
fn unlisted(cases: &mut [Case]) -> [f64; 4] {
    let group = |case: &Case| unlisted_group(case.metal);
    for metal in 0..4 {
        let of = |case: &&Case, listed: bool| group(case) == metal && case.listed == Some(listed);
        let listed: f64 = cases.iter().filter(|c| of(c, true)).map(|c| c.weight).sum();
        let foreign = cases
            .iter()
            .filter(|c| of(c, false) && c.weight == 0.0)
            .count();
        for case in cases.iter_mut() {
            if group(case) == metal && case.listed == Some(false) && case.weight == 0.0 {
                let share = unlisted_prior(case.metal);
                case.weight = listed * share / (1.0 - share) / foreign as f64;
            }
        }
    }
    let own = |case: &Case| {
        case.levels[0]
            .as_ref()
            .and_then(|level| level.0.last().copied())
    };
    let loss = |nats: f64, wanted: &dyn Fn(&Case) -> bool| {
        let fitting = cases.iter().filter(|case| !case.held_back && wanted(case));
        let one = |case: &Case| {
            let raised = own(case)? * nats.exp();
            let share = raised / (1.0 - own(case)? + raised);
            let right = if case.listed? { 1.0 - share } else { share };
            Some(-case.weight * right.max(LEAST).ln())
        };
        fitting.filter_map(one).sum::<f64>()
    };
    let all = least(-4.0, 4.0, |nats| loss(nats, &|_| true));
    let mut shifts = [0.0; 4];
    for (metal, shift) in shifts.iter_mut().enumerate() {
        let of = |case: &Case| group(case) == metal;
        let alone = least(-4.0, 4.0, |nats| loss(nats, &of));
        let foreign = cases
            .iter()
            .filter(|c| of(c) && !c.held_back && c.listed == Some(false));
        let count = foreign.count() as f64;
        *shift = (count * alone + SHRUNK_FOREIGN * all) / (count + SHRUNK_FOREIGN);
    }
    tell_unlisted(cases, &shifts);
    for case in cases.iter_mut() {
        let raised = shifts[group(case)].exp();
        for (shares, _) in case.levels.iter_mut().flatten() {
            if let Some(last) = shares.last_mut() {
                *last *= raised;
            }
            let sum: f64 = shares.iter().sum();
            shares.iter_mut().for_each(|share| *share /= sum);
        }
    }
    // What was fitted before is in the shares already.
    let first = [MetalSeen::Gold, MetalSeen::Silver, MetalSeen::CopperAlloy].map(Some);
    let known = first.into_iter().chain([None]).map(unlisted_shift);
    shifts
        .iter_mut()
        .zip(known)
        .for_each(|(shift, known)| *shift += known);
    shifts
}

/// What the foreign pieces and the listed finds held back were given before and after.
fn tell_unlisted(cases: &[Case], shifts: &[f64; 4]) {
    for (metal, name) in METALS.iter().enumerate() {
        let mean = |listed: bool, shift: f64| {
            let held = cases.iter().filter(|case| {
                case.held_back && unlisted_group(case.metal) == metal && case.listed == Some(listed)
            });
            let own = held.filter_map(|case| case.levels[0].as_ref()?.0.last().copied());
            let shares: Vec<f64> = own
                .map(|share| share * shift.exp() / (1.0 - share + share * shift.exp()))
                .collect();
            (
                shares.iter().sum::<f64>() / shares.len().max(1) as f64,
                shares.len(),
            )
        };
        let (foreign, listed) = (
            [0.0, shifts[metal]].map(|s| mean(false, s)),
            [0.0, shifts[metal]].map(|s| mean(true, s)),
        );
        println!(
            "not in the library, {name}: {:+.2} nats; foreign ({}) {:.3} -> {:.3}, listed ({}) {:.4} -> {:.4}",
            shifts[metal],
            foreign[0].1,
            foreign[0].0,
            foreign[1].0,
            listed[0].1,
            listed[0].0,
            listed[1].0
        );
    }
}

/// Where a sum that has one valley is least, by golden section.
fn least(mut low: f64, mut high: f64, of: impl Fn(f64) -> f64) -> f64 {
    let golden = (5f64.sqrt() - 1.0) / 2.0;
    for _ in 0..22 {
        let (a, b) = (high - golden * (high - low), low + golden * (high - low));
        if of(a) < of(b) {
            high = b;
        } else {
            low = a;
        }
    }
    (low + high) / 2.0
}

/// Powers and lapses, level by level.
#[derive(Clone, Copy)]
struct Fit {
    powers: [f64; 8],
    lapses: [f64; 8],
}

/// Shares raised to a power, and so much of them spread by their roots; they come to sum to `whole`.
fn softened(shares: &[f64], power: f64, lapse: f64, whole: f64) -> Vec<f64> {
    let sum = |of: &dyn Fn(f64) -> f64| shares.iter().map(|p| of(*p)).sum::<f64>().max(1e-300);
    let (sharp, even) = (sum(&|p| p.powf(power)), sum(&f64::sqrt));
    let told = |p: &f64| whole * ((1.0 - lapse) * p.powf(power) / sharp + lapse * p.sqrt() / even);
    shares.iter().map(told).collect()
}

/// The shares of a case at a level under a fit: of the level, and of the types.
fn tempered(case: &Case, level: usize, fit: &Fit) -> Option<(Vec<f64>, f64)> {
    let types = &case.levels[0].as_ref()?.0;
    let types = softened(types, fit.powers[0], fit.lapses[0], 1.0);
    let (shares, right) = case.levels[level].as_ref()?;
    let told = if level == 0 {
        types
    } else {
        let unlisted = *types.last()?;
        let (_, listed) = shares.split_last()?;
        let whole = 1.0 - unlisted;
        let mut listed = softened(listed, fit.powers[level], fit.lapses[level], whole);
        listed.push(unlisted);
        listed
    };
    let held = right.iter().map(|place| told[*place]).sum();
    Some((told, held))
}

fn loss(cases: &[&Case], level: usize, fit: &Fit) -> f64 {
    let told = cases
        .iter()
        .filter_map(|case| Some((case.weight, tempered(case, level, fit)?.1)));
    let (mut sum, mut weight) = (0.0, 0.0);
    for (w, held) in told {
        sum -= w * held.max(LEAST).ln();
        weight += w;
    }
    sum / f64::max(weight, 1e-9)
}

/// The power of a level that loses least, and what it loses.
fn best(cases: &[&Case], level: usize, fit: &Fit) -> (f64, f64) {
    let with = |power: f64| {
        let mut tried = *fit;
        tried.powers[level] = power;
        loss(cases, level, &tried)
    };
    let power = least(0.4, 1.6, with);
    (power, with(power))
}

/// Lapses that are tried.
const LAPSES: [f64; 10] = [0.0, 0.01, 0.025, 0.045, 0.07, 0.1, 0.14, 0.19, 0.25, 0.32];

fn fit(cases: &[Case], house: &House) -> Vec<(String, Fit)> {
    let fitting: Vec<&Case> = cases.iter().filter(|case| !case.held_back).collect();
    let mut all = Fit {
        powers: [1.0; 8],
        lapses: [0.0; 8],
    };
    for level in 0..8 {
        let tried = LAPSES.par_iter().map(|lapse| {
            let mut tried = all;
            tried.lapses[level] = *lapse;
            let (power, lost) = best(&fitting, level, &tried);
            (lost, power, *lapse)
        });
        let found = tried
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .unwrap_or((0.0, 1.0, 0.0));
        (all.powers[level], all.lapses[level]) = (found.1, found.2);
    }
    let mut rows = vec![("all".to_string(), all)];
    let periods = house.catalogue.periods.par_iter().map(|period| {
        let those: Vec<&Case> = fitting
            .iter()
            .copied()
            .filter(|case| case.period == period.id)
            .collect();
        let count = those.len() as f64;
        let mut own = all;
        for level in 0..8 {
            let (power, _) = best(&those, level, &own);
            own.powers[level] = (count * power + SHRUNK * all.powers[level]) / (count + SHRUNK);
        }
        (period.id.clone(), own)
    });
    rows.extend(periods.collect::<Vec<_>>());
    rows
}

fn powers<'r>(case: &Case, rows: &'r [(String, Fit)]) -> &'r Fit {
    &rows
        .iter()
        .find(|row| row.0 == case.period)
        .unwrap_or(&rows[0])
        .1
}

/// What was lost before and after over the finds held back, and how sure answers held.
fn tell(cases: &[Case], rows: &[(String, Fit)]) {
    let held: Vec<&Case> = cases.iter().filter(|case| case.held_back).collect();
    println!("{} finds held back", held.len());
    for (level, name) in LEVELS.iter().enumerate() {
        let bare = Fit {
            powers: [1.0; 8],
            lapses: [0.0; 8],
        };
        let before = loss(&held, level, &bare);
        let each = held
            .iter()
            .filter_map(|case| Some((case.weight, tempered(case, level, powers(case, rows))?.1)));
        let (sum, weight) = each.fold((0.0, 0.0), |(sum, weight), (w, p)| {
            (sum - w * p.max(LEAST).ln(), weight + w)
        });
        print!(
            "{:<26} log loss {before:.4} -> {:.4};",
            name.name(),
            sum / weight
        );
        let mut bands = [(0.0, 0.0, 0.0); 5];
        for case in &held {
            let Some((shares, _)) = tempered(case, level, powers(case, rows)) else {
                continue;
            };
            let Some((_, right)) = &case.levels[level] else {
                continue;
            };
            let (top, p) =
                shares.iter().enumerate().fold(
                    (0, 0.0),
                    |best, (at, p)| if *p > best.1 { (at, *p) } else { best },
                );
            let band = &mut bands[((p * 5.0) as usize).min(4)];
            *band = (
                band.0 + case.weight,
                band.1 + case.weight * p,
                band.2 + case.weight * f64::from(u8::from(right.contains(&top))),
            );
        }
        let told = bands.iter().filter(|band| band.0 > 0.0);
        let told: Vec<String> = told
            .map(|b| format!("{:.2} said, {:.2} right", b.1 / b.0, b.2 / b.0))
            .collect();
        println!(" {}", told.join("; "));
    }
}

/// Split conformal: what the likeliest types must hold of all listed, by the finds held back whose
/// type the library has, each as heavy as in the fit.
fn limit(cases: &[Case], rows: &[(String, Fit)]) -> f64 {
    let mut scores: Vec<(f64, f64)> = Vec::new();
    let mut sizes: Vec<(f64, Vec<f64>)> = Vec::new();
    for case in cases.iter().filter(|c| c.held_back) {
        let Some((mut shares, _)) = tempered(case, 0, powers(case, rows)) else {
            continue;
        };
        let Some((_, right)) = &case.levels[0] else {
            continue;
        };
        let last = shares.len() - 1;
        if right.contains(&last) {
            continue;
        }
        let truth = right.iter().map(|place| shares[*place]).reduce(f64::max);
        shares.truncate(last);
        if let Some(rest) = case.rest {
            shares[rest] = 0.0;
        }
        let listed: f64 = shares.iter().sum();
        shares.sort_by(|a, b| b.total_cmp(a));
        let before = truth.map(|truth| shares.iter().take_while(|p| **p > truth).sum::<f64>());
        // The set is closed when it holds enough, so the truth is in it while what stands before
        // it holds less.
        scores.push((before.map_or(1.0, |before| before / listed), case.weight));
        sizes.push((listed, shares));
    }
    scores.sort_by(|a, b| a.0.total_cmp(&b.0));
    let n = scores.len();
    let wanted = 0.9 * scores.iter().map(|score| score.1).sum::<f64>();
    let mut held = 0.0;
    let limit = scores.iter().find(|score| {
        held += score.1;
        held >= wanted
    });
    let limit = (limit.map_or(1.0, |score| score.0) + 1e-4).min(1.0);
    let mut sizes: Vec<usize> = sizes
        .iter()
        .map(|(listed, shares)| size(shares, limit * listed))
        .collect();
    sizes.sort_unstable();
    println!(
        "{n} finds held back for the set; its size: median {}, nine in ten below {}",
        sizes[n / 2],
        sizes[n * 9 / 10]
    );
    limit
}

fn size(shares: &[f64], wanted: f64) -> usize {
    let mut held = 0.0;
    shares
        .iter()
        .take_while(|share| {
            let open = held < wanted;
            held += **share;
            open
        })
        .count()
}

fn written(rows: &[(String, Fit)], shifts: &[f64; 4], limit: f64) -> String {
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
