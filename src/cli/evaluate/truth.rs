//! What is known of a find: its published identity, as the library's own rows.
//!
//! Reads the columns of identity and never those of traits. A name the library does
//! not know stays unresolved and is told of; it is never guessed at.
//!
//! Invariant: a level is empty when nothing is known of it or nothing is meant by it.

use std::collections::HashMap;

use super::super::resolve::{Meant, Names};
use super::levels::{Levels, Rung};
use crate::catalogue::Catalogue;
use crate::find::{Span, Year};

/// Columns that say what a find is.
pub(super) const IDENTITY: [&str; 8] = [
    "period",
    "culture_or_state",
    "ruler_or_authority",
    "denomination_or_type",
    "types",
    "subtype",
    "date_from",
    "date_to",
];

/// What is written under `types` when the library has no such type.
const NONE: &str = "none";

/// What is known of a find.
#[derive(Clone, Default)]
pub(super) struct Truth {
    /// What each level may be; empty where nothing is known.
    pub(super) meant: Levels<Meant>,
    /// Which levels the row's own names say, beside those that follow from its types.
    pub(super) named: Levels<bool>,
    /// True when the library is known to have no such type.
    pub(super) lacking: bool,
    /// True when it is no coin, and nothing like one.
    pub(super) artefact: bool,
    /// Its types, where they were taken out of what was judged.
    pub(super) taken_out: Meant,
    /// Years as published.
    pub(super) dates: Option<Span>,
    /// Names that mean nothing in the library, with their columns.
    pub(super) unresolved: Vec<String>,
    /// Ids under `types` that are none of the library's.
    pub(super) unknown: Vec<String>,
}

impl Truth {
    /// The types it may be, whether or not they were taken out of what was judged.
    pub(super) fn types(&self) -> &Meant {
        match self.taken_out.is_empty() {
            true => &self.meant.coin_type,
            false => &self.taken_out,
        }
    }

    /// The types that must go for the truth to be out of the library; none where it is not known
    /// which they are.
    pub(super) fn to_take_out(&self, library: &Catalogue) -> Meant {
        if !self.meant.coin_type.is_empty() {
            return self.meant.coin_type.clone();
        }
        let (rulers, denominations) = (&self.meant.ruler, &self.meant.denomination);
        if self.lacking || rulers.is_empty() || denominations.is_empty() {
            return Meant::new();
        }
        let types = library.types.iter().enumerate();
        let of_both = types.filter(|(_, coin)| {
            coin.ruler.is_some_and(|ruler| rulers.contains(&ruler))
                && denominations.contains(&coin.denomination)
        });
        of_both.map(|(place, _)| place).collect()
    }

    /// As if the library had not its types.
    pub(super) fn without_types(self, types: Meant) -> Truth {
        let mut meant = self.meant;
        meant.coin_type = Meant::new();
        Truth {
            meant,
            taken_out: types,
            ..self
        }
    }
}

/// What reads truths: the library's names and the places of its types.
pub(super) struct Reader<'a> {
    names: Names,
    library: &'a Catalogue,
    types: HashMap<&'a str, usize>,
}

impl<'a> Reader<'a> {
    /// Over a library.
    pub(super) fn of(library: &'a Catalogue) -> Reader<'a> {
        let types = library.types.iter().enumerate();
        Reader {
            names: Names::of(library),
            library,
            types: types
                .map(|(place, coin)| (coin.id.as_str(), place))
                .collect(),
        }
    }

    /// The truth by the cells of a row.
    pub(super) fn truth<'r>(&self, cell: &impl Fn(&str) -> &'r str) -> Truth {
        let mut truth = Truth {
            artefact: cell("class").eq_ignore_ascii_case("artefact"),
            lacking: cell("types").eq_ignore_ascii_case(NONE),
            ..Truth::default()
        };
        let names = &self.names;
        let mut level = |column: &str, find: &dyn Fn(&str) -> Meant| {
            let name = cell(column);
            if name.is_empty() {
                return Meant::new();
            }
            let meant = if truth.artefact {
                Meant::new()
            } else {
                find(name)
            };
            if meant.is_empty() {
                truth.unresolved.push(format!("{column}: {name}"));
            }
            meant
        };
        let period = level("period", &|name| names.period(name));
        let denomination = level("denomination_or_type", &|name| names.denomination(name));
        let coin_type = match cell("types") {
            "" => level("subtype", &|name| names.coin_type(name)),
            _ => Meant::new(),
        };
        // Where no ruler is named a people or state may be; a state that is none (an empire) is no
        // miss.
        let ruler = if cell("ruler_or_authority").is_empty() {
            names.ruler(cell("culture_or_state"))
        } else {
            level("ruler_or_authority", &|name| names.ruler(name))
        };
        let year = |column: &str| cell(column).trim().parse::<Year>().ok();
        truth.dates = year("date_from")
            .zip(year("date_to"))
            .and_then(|(from, to)| Span::new(from, to));
        truth.meant = Levels {
            period,
            ruler,
            denomination,
            coin_type,
        };
        if !truth.lacking {
            self.by_id(cell("types"), &mut truth);
        }
        truth.named = Levels::of(|rung| !truth.meant.at(rung).is_empty());
        self.narrow_by_types(&mut truth);
        truth
    }

    /// The types whose ids stand in a cell.
    fn by_id(&self, cell: &str, truth: &mut Truth) {
        let ids = cell.split(';').map(str::trim).filter(|id| !id.is_empty());
        for id in ids {
            let now = self.library.moved.get(id).map_or(id, String::as_str);
            match self.types.get(now) {
                Some(place) => {
                    truth.meant.coin_type.insert(*place);
                }
                None => {
                    truth.unresolved.push(format!("types: {id}"));
                    truth.unknown.push(id.to_string());
                }
            }
        }
    }

    /// Types say more closely what a name may mean ("penny" is several denominations); where they
    /// agree with it they narrow it, and where there is no name they stand for one.
    fn narrow_by_types(&self, truth: &mut Truth) {
        let coins = || {
            truth
                .meant
                .coin_type
                .iter()
                .map(|t| &self.library.types[*t])
        };
        let of_types = Levels {
            period: coins().map(|coin| coin.period).collect(),
            ruler: coins().filter_map(|coin| coin.ruler).collect(),
            denomination: coins().map(|coin| coin.denomination).collect(),
            coin_type: truth.meant.coin_type.clone(),
        };
        for rung in Rung::ALL {
            let (named, of_types) = (truth.meant.at_mut(rung), of_types.at(rung));
            let both: Meant = named.intersection(of_types).copied().collect();
            if named.is_empty() {
                named.clone_from(of_types);
            } else if !both.is_empty() {
                *named = both;
            }
        }
    }
}
