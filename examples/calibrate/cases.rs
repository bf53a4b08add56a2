//! Finds of known identity, judged: what the fits are made of.
//!
//! Simulated finds keep to much that the scorer takes for granted, real ones do not; foreign pieces
//! are of no coinage that the library has. What was judged is untempered.
//!
//! Invariant: of each find the two halves hold either all or nothing, and a foreign piece that is not
//! of the first half is never fitted on: the bar counts it.

use std::collections::HashSet;
use std::error::Error;

use lynchet::House;
use lynchet::catalogue::Catalogue;
use lynchet::find::{Find, MetalSeen};
use lynchet::parse::{self, Field};
use lynchet::score::{Bench, Groundwork, Key, Level, Options, key, untempered};
use lynchet::simulate;
use rayon::prelude::*;

/// Simulated finds.
const FINDS: usize = 6_000;
/// Every so many'th of them has its type taken out.
const TAKEN_OUT: usize = 12;
const SEED: u64 = 1851;
/// Published coins of other lands: of these only the first of every two is fitted on.
pub const FOREIGN: &str = "tests/cases/coins/foreign.csv";
/// Published coins.
pub const PUBLIC: &str = "tests/specimens/public.csv";
pub const FURTHER: &str = "tests/specimens/further.csv";

/// Levels that are tempered.
pub const LEVELS: [Level; 8] = Level::NARROWEST_FIRST;

/// Where a find comes from.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Drawn by the simulator.
    Simulated,
    /// Published, of the library's lands.
    Real,
    /// Published, of other lands.
    Foreign,
    /// Published, of the library's lands, judged with its types taken out of the library.
    Without,
}

/// One find of known identity, judged.
pub struct Case {
    pub origin: Origin,
    /// Which half it is of.
    pub second: bool,
    pub metal: Option<MetalSeen>,
    /// Whether a coinage of the library is the truth; none where its type was taken out, or where it
    /// is not known.
    pub listed: Option<bool>,
    /// True when its type is one the library has, and was judged.
    pub has_type: bool,
    /// Place of the rest of all coinages among the types.
    pub rest: Option<usize>,
    pub period: String,
    /// By level; none when nothing is known there.
    pub levels: Vec<Option<Known>>,
}

/// What was judged at a level, and what is right.
pub struct Known {
    /// Raw shares, that of "not in the library" last.
    pub shares: Vec<f64>,
    /// Places of what is right.
    pub right: Vec<usize>,
}

/// What is known of a find.
#[derive(Clone, Default)]
pub struct Truth {
    /// Types that it may be; none where the library has none, or where it is not known.
    types: HashSet<usize>,
    /// True when the library is known to have no such type.
    lacking: bool,
    rulers: HashSet<usize>,
    denominations: HashSet<usize>,
    periods: HashSet<usize>,
}

/// All finds, judged.
pub fn cases(house: &House) -> Result<Vec<Case>, Box<dyn Error>> {
    let library = &house.catalogue;
    let groundwork = Groundwork::new(library);
    let often: Vec<f64> = groundwork.log_priors().iter().map(|p| p.exp()).collect();
    let mut finds: Vec<(Find, Truth, Origin)> = Vec::new();
    for (coin, find) in simulate::finds(library, &often, SEED, FINDS) {
        let types = HashSet::from([coin]);
        let truth = Truth {
            types,
            ..Truth::default()
        };
        finds.push((find, truth, Origin::Simulated));
    }
    for (path, origin) in [
        (PUBLIC, Origin::Real),
        (FURTHER, Origin::Real),
        (FOREIGN, Origin::Foreign),
    ] {
        let table = table(path, house)?.into_iter();
        finds.extend(table.map(|(find, truth)| match origin {
            Origin::Foreign => (find, Truth::lacking(), origin),
            _ => (find, truth, origin),
        }));
    }
    let mut counted = [0; 3];
    let halved = finds.into_iter().map(|(find, truth, origin)| {
        let place = counted[origin as usize];
        counted[origin as usize] += 1;
        (find, truth, origin, place)
    });
    let mut halved: Vec<_> = halved.collect();
    let real = halved
        .iter()
        .filter(|one| one.2 == Origin::Real && !one.1.types.is_empty());
    let without =
        real.map(|(find, truth, _, place)| (find.clone(), truth.clone(), Origin::Without, *place));
    halved.extend(without.collect::<Vec<_>>());
    let judged = halved.par_iter().map(|(find, truth, origin, place)| {
        let out = match origin {
            Origin::Simulated => (place / 2) % TAKEN_OUT == 0,
            origin => *origin == Origin::Without,
        };
        let judged = judged_as(find, truth, out, house, &groundwork);
        Case {
            origin: *origin,
            second: place % 2 == 1,
            listed: match origin {
                Origin::Foreign => Some(false),
                _ => (!out && !truth.types.is_empty()).then_some(true),
            },
            ..judged
        }
    });
    Ok(judged.collect())
}

/// The coins of a table of which something is known and something was seen.
pub fn table(path: &str, house: &House) -> Result<Vec<(Find, Truth)>, Box<dyn Error>> {
    let mut table = csv::Reader::from_path(path)?;
    let columns = table.headers()?.clone();
    let mut found = Vec::new();
    for row in table.records() {
        let row = row?;
        let cell = |name: &str| {
            let place = columns.iter().position(|column| column == name);
            place.map_or("", |place| row[place].trim())
        };
        // The prior is one of coins.
        if cell("class") == "artefact" {
            continue;
        }
        let fields = columns.iter().zip(row.iter());
        let fields =
            fields.filter_map(|(name, text)| Some((Field::column(name)?, text.to_string())));
        let (find, _) = parse::form(&fields.collect::<Vec<_>>(), &house.lexicon);
        if !find.says_nothing() {
            found.push((find, truth(&cell, &house.catalogue)));
        }
    }
    Ok(found)
}

fn truth<'r>(cell: &impl Fn(&str) -> &'r str, library: &Catalogue) -> Truth {
    let types = cell("types");
    let mut truth = Truth {
        types: types
            .split(';')
            .filter_map(|id| library.type_by_id(id.trim()))
            .collect(),
        // "none" is the id of no type.
        lacking: types == "none",
        ..Truth::default()
    };
    if truth.types.is_empty() {
        let rulers = library.rulers.iter();
        let rulers = rulers.map(|one| (&one.id, &one.name, &one.words));
        truth.rulers = named(cell("ruler_or_authority"), rulers);
        // Where the library lacks the type and the ruler too, no level of it is right.
        if !truth.lacking || !truth.rulers.is_empty() {
            let denominations = library.denominations.iter();
            let denominations = denominations.map(|one| (&one.id, &one.name, &one.words));
            truth.denominations = named(cell("denomination_or_type"), denominations);
            let periods = library.periods.iter();
            let periods = periods.map(|one| (&one.id, &one.name, &one.words));
            truth.periods = named(cell("period"), periods);
        }
    }
    truth
}

/// Places of those that a cell names, several parted by semicolons.
fn named<'c>(
    cell: &str,
    all: impl Iterator<Item = (&'c String, &'c String, &'c Vec<String>)>,
) -> HashSet<usize> {
    let plain = |text: &str| text.trim().to_lowercase().replace('-', " ");
    let wanted: Vec<String> = cell
        .split(';')
        .map(plain)
        .filter(|w| !w.is_empty())
        .collect();
    let is_meant = |word: &String| wanted.contains(&plain(word));
    let found = all.enumerate().filter(|(_, (id, name, words))| {
        is_meant(id) || is_meant(name) || words.iter().any(is_meant)
    });
    found.map(|(place, _)| place).collect()
}

impl Truth {
    /// That the library has no such coinage.
    pub fn lacking() -> Truth {
        Truth {
            lacking: true,
            ..Truth::default()
        }
    }

    /// What is right at a level; none when nothing is known there. None of the keys is right where
    /// the library has no such type.
    fn at(&self, level: Level, out: bool, library: &Catalogue) -> Option<HashSet<Option<Key>>> {
        if !self.types.is_empty() {
            let keys = self.types.iter();
            let keys = keys.map(|t| key(level, *t, &library.types[*t]));
            return Some(match (level, out) {
                (Level::Type, true) => HashSet::new(),
                _ => keys.collect(),
            });
        }
        let one = |all: &HashSet<usize>| all.iter().map(|of| Some((*of, 0))).collect();
        let both = |all: &HashSet<usize>| {
            let pairs = all.iter().flat_map(|of| {
                let with = move |denomination: &usize| Some((*of, *denomination));
                self.denominations.iter().map(with)
            });
            pairs.collect()
        };
        let right: HashSet<Option<Key>> = match level {
            Level::Type => return self.lacking.then(HashSet::new),
            Level::RulerAndDenomination => both(&self.rulers),
            Level::Ruler => one(&self.rulers),
            Level::PeriodAndDenomination => both(&self.periods),
            Level::Denomination => one(&self.denominations),
            Level::Period => one(&self.periods),
            _ => HashSet::new(),
        };
        (!right.is_empty()).then_some(right)
    }
}

pub fn judged_as(
    find: &Find,
    truth: &Truth,
    out: bool,
    house: &House,
    groundwork: &Groundwork,
) -> Case {
    let library = &house.catalogue;
    let mut candidates = house.candidates(find).unwrap_or_default();
    if out {
        candidates.retain(|candidate| !truth.types.contains(candidate));
    }
    let ranking = Bench::new(find, library, groundwork).judge(&candidates, Options::default());
    let known = |level: Level| {
        let right = truth.at(level, out, library)?;
        let groups = untempered(level, &ranking, library);
        // What is not listed is the rest of some coinage, or no coinage of the library's.
        let is_right = |of: &Option<Key>| match right.is_empty() {
            true => of.is_none(),
            false => right.contains(of),
        };
        let mut places: Vec<usize> = (0..groups.len())
            .filter(|place| is_right(&groups[*place].0))
            .collect();
        if right.is_empty() {
            places.push(groups.len());
        }
        let mut shares: Vec<f64> = groups.iter().map(|group| group.1).collect();
        shares.push((1.0 - shares.iter().sum::<f64>()).max(0.0));
        Some(Known {
            shares,
            right: places,
        })
    };
    let rest = untempered(Level::Type, &ranking, library);
    let periods = untempered(Level::Period, &ranking, library);
    let likeliest = periods.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    let likeliest = likeliest.and_then(|period| period.0);
    Case {
        origin: Origin::Simulated,
        second: false,
        metal: find.metal.map(|metal| metal.0),
        listed: None,
        has_type: !out && !truth.types.is_empty(),
        rest: rest.iter().position(|group| group.0.is_none()),
        period: likeliest.map_or(String::new(), |p| library.periods[p.0].id.clone()),
        levels: LEVELS.map(known).into_iter().collect(),
    }
}
