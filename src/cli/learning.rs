//! What the shelf teaches: confirmed finds gathered, heard again and handed to the scorer.
//!
//! Opens a shelf only to read it, makes none, and asks none where there is none. The answers of a
//! shelf without confirmed finds are those without a shelf. What was learnt is kept aside in the
//! shelf's folder until the next act, so that a find is not kept waiting while all are heard again.
//!
//! Invariant: the work is bounded however many finds are kept, and a shelf that cannot be read costs
//! what it teaches, not the answer, unless the call named it.

use std::collections::HashMap;
use std::io::{self, Write};
use std::path::PathBuf;
use std::sync::Arc;

use clap::Args as ClapArgs;

use super::error::Trouble;
use super::shelf::{ShelfFlags, default_folder};
use crate::House;
use crate::catalogue::Catalogue;
use crate::collect::{ConfirmedFind, Shelf};
use crate::find::Find;
use crate::parse::{self, Field, Remark};
use crate::score::{Confirmed, LEARNT_MOST, Learnt, Wanted};

/// Most finds whose words are heard again, for sizes and habits: those of the land first, then the
/// latest.
const HEARD_MOST: usize = 400;
/// The settings of the shelf, and what each switches.
pub(super) const SETTINGS: [(&str, &str); 3] = [
    ("field", "learn-field"),
    ("sizes", "learn-sizes"),
    ("habits", "learn-habits"),
];

/// What the finder's own finds may say.
#[derive(ClapArgs, Clone, Debug, Default)]
#[command(next_help_heading = "Your own finds")]
pub(super) struct LearningFlags {
    /// The land it was found on, by its id on the shelf: its confirmed finds lean on the answer
    #[arg(long, value_name = "ID")]
    land: Option<String>,
    /// The folder of the shelf [default: LYNCHET_SHELF, or the user's data folder]
    #[arg(long, value_name = "DIR")]
    shelf: Option<PathBuf>,
    /// Judge as if there were no shelf
    #[arg(long, conflicts_with_all = ["land", "shelf"])]
    without_shelf: bool,
}

impl LearningFlags {
    /// Flags by hand: of a verb that has land and shelf for other ends too.
    pub(super) fn of(
        land: Option<String>,
        shelf: Option<PathBuf>,
        without_shelf: bool,
    ) -> LearningFlags {
        LearningFlags {
            land,
            shelf,
            without_shelf,
        }
    }

    /// The folder of the shelf, whether or not there is one.
    pub(super) fn folder(&self) -> Option<PathBuf> {
        if self.without_shelf {
            return None;
        }
        self.shelf.clone().or_else(default_folder)
    }

    /// What the shelf teaches; none where there is none, or nothing to be learnt.
    pub(super) fn learnt(&self, house: &House) -> Result<Option<Arc<Learnt>>, Trouble> {
        if self.without_shelf || (self.land.is_none() && self.folder().is_none()) {
            return Ok(None);
        }
        let flags = ShelfFlags {
            shelf: self.shelf.clone(),
            ..ShelfFlags::default()
        };
        let named = self.land.is_some() || self.shelf.is_some();
        let learnt = || {
            let Some(shelf) = flags.open_or_none()? else {
                return Ok(None);
            };
            learnt(&shelf, self.land.as_deref(), None, house)
        };
        match learnt() {
            Ok(None) if named && flags.open_or_none()?.is_none() => {
                let (flag, what) = match self.land {
                    Some(_) => ("--land", "that knows the land"),
                    None => ("--shelf", "in that folder"),
                };
                Err(Trouble::new(
                    format!("{flag}: there is no shelf {what}"),
                    format!("name the shelf's folder with --shelf DIR, or leave {flag} out"),
                ))
            }
            Err(trouble) if !named => {
                let _ = writeln!(
                    io::stderr(),
                    "note: your own finds were not asked: {trouble}\n  to leave them out: --without-shelf"
                );
                Ok(None)
            }
            other => other,
        }
    }
}

/// What a shelf's settings let be learnt.
pub(super) fn wanted(shelf: &Shelf) -> Result<Wanted, Trouble> {
    let on = |setting: &str| -> Result<bool, Trouble> {
        Ok(shelf.setting(setting)?.as_deref() != Some("off"))
    };
    Ok(Wanted {
        field: on(SETTINGS[0].1)?,
        sizes: on(SETTINGS[1].1)?,
        habits: on(SETTINGS[2].1)?,
    })
}

/// What a shelf teaches of a find of this land, itself left out; none where nothing is learnt.
pub(super) fn learnt(
    shelf: &Shelf,
    land: Option<&str>,
    except: Option<i64>,
    house: &House,
) -> Result<Option<Arc<Learnt>>, Trouble> {
    let land = land.map(|land| shelf.land_key(land)).transpose()?;
    learnt_of(shelf, land, except, house)
}

/// The same of a land by its key.
pub(crate) fn learnt_of(
    shelf: &Shelf,
    land: Option<i64>,
    except: Option<i64>,
    house: &House,
) -> Result<Option<Arc<Learnt>>, Trouble> {
    let name = land.map_or("all".to_string(), |land| format!("land-{land}"));
    let library = &house.catalogue;
    // As of the act before anything is read: what another program adds meanwhile only makes it anew.
    let made_of = format!(
        "{} {} {}",
        shelf.as_of()?,
        library.digest,
        env!("CARGO_PKG_VERSION")
    );
    let told = |learnt: Learnt| (!learnt.says_nothing()).then(|| Arc::new(learnt));
    if except.is_none()
        && let Some(kept) = shelf.aside(&name, &made_of)
        && let Some(learnt) = Learnt::unpacked(&kept, library.types.len())
    {
        return Ok(told(learnt));
    }
    let mut pupils = Pupils::of(shelf, land, house)?;
    if except.is_some_and(|key| !pupils.holds(key)) {
        return learnt_of(shelf, land, None, house);
    }
    let learnt = pupils.learnt(land, except, house).unwrap_or_default();
    if except.is_none() && pupils.count(land).0 > 0 {
        shelf.keep_aside(&name, &made_of, &learnt.packed());
    }
    Ok(told(learnt))
}

/// Keys of its land and of the holding above, its own key, and what it teaches.
type Pupil = ((Option<i64>, Option<i64>), i64, Confirmed);

/// The confirmed finds of a shelf, heard.
pub(super) struct Pupils {
    wanted: Wanted,
    rows: Vec<Pupil>,
}

impl Pupils {
    /// Gathers them, those of a land first.
    pub(super) fn of(shelf: &Shelf, land: Option<i64>, house: &House) -> Result<Pupils, Trouble> {
        let wanted = wanted(shelf)?;
        if !wanted.field && !wanted.sizes && !wanted.habits {
            return Ok(Pupils {
                wanted,
                rows: Vec::new(),
            });
        }
        let mut names = Ids::of(&house.catalogue);
        let mut heard = 0;
        let rows = shelf.confirmed(land, LEARNT_MOST)?;
        let rows = rows.into_iter().filter_map(|row| {
            let (types, exact) = names.types(&row, &house.catalogue)?;
            let find = match exact && heard < HEARD_MOST && (wanted.sizes || wanted.habits) {
                true => {
                    heard += 1;
                    heard_again(&row.said, &row.words, house).0
                }
                false => Find::default(),
            };
            let confirmed = Confirmed {
                types,
                exact,
                here: false,
                group: row.group,
                find,
            };
            Some((row.land, row.key, confirmed))
        });
        Ok(Pupils {
            wanted,
            rows: rows.collect(),
        })
    }

    /// What they teach of a find of this land (by its key), one of them left out.
    pub(super) fn learnt(
        &mut self,
        land: Option<i64>,
        except: Option<i64>,
        house: &House,
    ) -> Option<Learnt> {
        for ((own, above), _, confirmed) in &mut self.rows {
            confirmed.here = land.is_some() && (*own == land || *above == land);
        }
        let others = self.rows.iter().filter(|row| Some(row.1) != except);
        let others: Vec<Confirmed> = others.map(|row| row.2.clone()).collect();
        let learnt = house.learn(&others, self.wanted);
        (!learnt.says_nothing()).then_some(learnt)
    }

    /// How many there are, and how many of a land.
    pub(super) fn count(&self, land: Option<i64>) -> (usize, usize) {
        let here = |row: &&Pupil| land.is_some() && (row.0.0 == land || row.0.1 == land);
        (self.rows.len(), self.rows.iter().filter(here).count())
    }

    /// True when the find of this key is one of them.
    pub(super) fn holds(&self, key: i64) -> bool {
        self.rows.iter().any(|row| row.1 == key)
    }
}

/// Hears again what was typed of a find.
pub(super) fn heard_again(
    said: &[(String, String)],
    words: &str,
    house: &House,
) -> (Find, Vec<Remark>) {
    let fields: Vec<(Field, String)> = said
        .iter()
        .filter_map(|(name, text)| Some((Field::column(name)?, text.clone())))
        .filter(|(field, _)| *field != Field::Id)
        .collect();
    let (by_fields, mut remarks) = parse::form(&fields, &house.lexicon);
    let (by_words, more) = parse::words(words, &house.lexicon);
    remarks.extend(more);
    let (find, between) = parse::merge(by_fields, by_words);
    remarks.extend(between);
    (find, remarks)
}

/// Positions of the library's rows by their ids.
struct Ids<'c> {
    types: HashMap<&'c str, usize>,
    periods: HashMap<&'c str, usize>,
    rulers: HashMap<&'c str, usize>,
    denominations: HashMap<&'c str, usize>,
    series: HashMap<&'c str, usize>,
    /// The types of what was asked before.
    known: HashMap<[Option<usize>; 4], Vec<usize>>,
}

impl<'c> Ids<'c> {
    fn of(library: &'c Catalogue) -> Ids<'c> {
        fn places<'c, T>(rows: &'c [T], id: impl Fn(&'c T) -> &'c str) -> HashMap<&'c str, usize> {
            rows.iter()
                .enumerate()
                .map(|(place, row)| (id(row), place))
                .collect()
        }
        Ids {
            types: places(library.listed(), |row| &row.id),
            periods: places(&library.periods, |row| &row.id),
            rulers: places(&library.rulers, |row| &row.id),
            denominations: places(&library.denominations, |row| &row.id),
            series: places(&library.series, |row| &row.id),
            known: HashMap::new(),
        }
    }

    /// The types that a confirmed find may be, and whether it was confirmed as of one; none where the
    /// library knows nothing of what was confirmed.
    fn types(&mut self, row: &ConfirmedFind, library: &Catalogue) -> Option<(Vec<usize>, bool)> {
        if let Some(id) = &row.type_id {
            let id = library.moved.get(id).unwrap_or(id);
            return Some((vec![*self.types.get(id.as_str())?], true));
        }
        /// The place of what was said; an id that the library lacks is no find of anything.
        fn place(ids: &HashMap<&str, usize>, said: &Option<String>) -> Option<Option<usize>> {
            match said {
                None => Some(None),
                Some(id) => ids.get(id.as_str()).copied().map(Some),
            }
        }
        let period = place(&self.periods, &row.period)?;
        let ruler = place(&self.rulers, &row.ruler)?;
        let denomination = place(&self.denominations, &row.denomination)?;
        let series = place(&self.series, &row.series)?;
        let asked = [period, ruler, denomination, series];
        let known = self.known.entry(asked);
        let types = known.or_insert_with(|| types_of(asked, library));
        (!types.is_empty()).then(|| (types.clone(), false))
    }
}

/// The types of a period, a ruler, a denomination and a series, as far as these are said.
fn types_of(
    [period, ruler, denomination, series]: [Option<usize>; 4],
    library: &Catalogue,
) -> Vec<usize> {
    let fits = |wanted: Option<usize>, own: usize| wanted.is_none_or(|wanted| wanted == own);
    let types = library.types.iter().enumerate().filter(|(_, coin)| {
        fits(period, coin.period)
            && fits(denomination, coin.denomination)
            && fits(series, coin.series)
            && ruler.is_none_or(|ruler| coin.ruler == Some(ruler))
    });
    types.map(|(place, _)| place).collect()
}
