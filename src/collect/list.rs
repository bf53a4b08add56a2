//! Lists of finds: filters, order, pages.
//!
//! Reads; changes nothing.
//!
//! Invariant: an empty filter lists every find once.

use rusqlite::ToSql;

use super::entry::{Confirmer, FindKind, Status};
use super::fault::ShelfFault;
use super::{Shelf, lands};
use crate::find::MetalSeen;

/// What a list is ordered by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Order {
    /// In the order they were kept.
    #[default]
    Kept,
    /// By the day they were found, the latest first; those without a day last.
    Found,
    /// By id.
    Id,
    /// By the day of their last change, the latest first.
    Changed,
}

/// Which finds are asked for; an unsaid condition holds for all.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Filter {
    /// Of this land (by its id), or of a field of it.
    pub land: Option<String>,
    /// Where it is.
    pub status: Option<Status>,
    /// Coin or artefact.
    pub kind: Option<FindKind>,
    /// Metal as it looks.
    pub metal: Option<MetalSeen>,
    /// Id of the period it was identified as.
    pub period: Option<String>,
    /// Id of the ruler.
    pub ruler: Option<String>,
    /// Id of the denomination.
    pub denomination: Option<String>,
    /// Id of the class of a thing.
    pub class: Option<String>,
    /// Id of the type.
    pub type_id: Option<String>,
    /// Its tag.
    pub tag: Option<String>,
    /// Its group.
    pub grouped: Option<String>,
    /// Its place of storage.
    pub storage: Option<String>,
    /// Found on this day or later.
    pub found_from: Option<String>,
    /// Found on this day or earlier.
    pub found_to: Option<String>,
    /// Weight in grams, from and to.
    pub weight_g: Option<(f64, f64)>,
    /// Diameter in millimetres, from and to.
    pub diameter_mm: Option<(f64, f64)>,
    /// Confirmed by somebody, or by nobody.
    pub confirmed: Option<bool>,
    /// With photographs, or without.
    pub photographed: Option<bool>,
    /// With an official number, or without.
    pub recorded: Option<bool>,
    /// Of these keys, as a search gave them.
    pub among: Option<Vec<i64>>,
    /// The order.
    pub order: Order,
    /// How many to leave out at the front.
    pub skip: usize,
    /// How many to give; none for all.
    pub most: Option<usize>,
}

/// One line of a list.
#[derive(Clone, Debug, PartialEq)]
pub struct Listed {
    /// Key on the shelf.
    pub key: i64,
    /// The user's own number.
    pub id: String,
    /// Coin or artefact.
    pub kind: FindKind,
    /// The find in the finder's words.
    pub words: String,
    /// What it was identified as.
    pub identified: Option<String>,
    /// The probability of that.
    pub share: Option<f64>,
    /// Who confirmed it.
    pub confirmed_by: Option<Confirmer>,
    /// Id of the land.
    pub land: Option<String>,
    /// The day it was found.
    pub found_on: Option<String>,
    /// Where it is.
    pub status: Status,
    /// Metal as it looks.
    pub metal: Option<String>,
    /// Weight in grams.
    pub weight_g: Option<f64>,
    /// Diameter in millimetres.
    pub diameter_mm: Option<f64>,
    /// Its place of storage.
    pub storage: Option<String>,
    /// The officer's number.
    pub official_number: Option<String>,
    /// How many photographs.
    pub photographs: u64,
}

const COLUMNS: &str = "find.key, find.id, find.kind, find.words, named.text, named.share, \
    named.confirmed_by, (SELECT id FROM land WHERE land.key = find.land), find.found_on, \
    find.status, find.metal, find.weight_g, find.diameter_mm, find.storage, find.official_number, \
    (SELECT count(*) FROM photograph WHERE photograph.find = find.key)";
const JOINED: &str = "find LEFT JOIN identification AS named \
    ON named.find = find.key AND named.standing = 'current'";

/// Conditions and what is put into them.
#[derive(Default)]
struct Asked {
    conditions: Vec<String>,
    given: Vec<Box<dyn ToSql>>,
}

impl Asked {
    /// A condition with `?` where the value goes.
    fn with(&mut self, condition: &str, value: impl ToSql + 'static) {
        self.conditions.push(condition.to_string());
        self.given.push(Box::new(value));
    }

    fn if_said(&mut self, column: &str, value: &Option<String>) {
        if let Some(value) = value {
            self.with(&format!("{column} = ?"), value.clone());
        }
    }

    fn either(&mut self, condition: &str, wanted: Option<bool>) {
        let not = match wanted {
            None => return,
            Some(true) => "",
            Some(false) => "NOT ",
        };
        self.conditions.push(format!("{not}({condition})"));
    }

    fn within(&mut self, column: &str, bounds: Option<(f64, f64)>) {
        if let Some((from, to)) = bounds {
            self.with(&format!("{column} >= ?"), from);
            self.with(&format!("{column} <= ?"), to);
        }
    }
}

impl Shelf {
    /// The finds that a filter lets through, in its order.
    pub fn list(&self, filter: &Filter) -> Result<Vec<Listed>, ShelfFault> {
        let asked = self.asked(filter)?;
        let order = match filter.order {
            Order::Kept => "find.key",
            Order::Found => "find.found_on DESC NULLS LAST, find.key",
            Order::Id => "find.id, find.key",
            Order::Changed => "find.changed DESC, find.key",
        };
        let most = filter.most.map_or(-1, |most| most as i64);
        let sql = format!(
            "SELECT {COLUMNS} FROM {JOINED} WHERE {} ORDER BY {order} LIMIT {most} OFFSET {}",
            asked.conditions.join(" AND "),
            filter.skip
        );
        let mut statement = self.db.prepare_cached(&sql)?;
        let given: Vec<&dyn ToSql> = asked.given.iter().map(|value| value.as_ref()).collect();
        let rows = statement.query_map(&given[..], listed)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// How many finds a filter lets through, whatever its page.
    pub fn count(&self, filter: &Filter) -> Result<u64, ShelfFault> {
        let asked = self.asked(filter)?;
        let joined = match asked.conditions.iter().any(|one| one.contains("named.")) {
            true => JOINED,
            false => "find",
        };
        let sql = format!(
            "SELECT count(*) FROM {joined} WHERE {}",
            asked.conditions.join(" AND ")
        );
        let mut statement = self.db.prepare_cached(&sql)?;
        let given: Vec<&dyn ToSql> = asked.given.iter().map(|value| value.as_ref()).collect();
        Ok(statement.query_row(&given[..], |row| row.get::<_, i64>(0))? as u64)
    }

    /// The tables and conditions of a filter, and what is put into them.
    pub(super) fn chosen(
        &self,
        filter: &Filter,
    ) -> Result<(String, Vec<Box<dyn ToSql>>), ShelfFault> {
        let asked = self.asked(filter)?;
        let from = format!("{JOINED} WHERE {}", asked.conditions.join(" AND "));
        Ok((from, asked.given))
    }

    fn asked(&self, filter: &Filter) -> Result<Asked, ShelfFault> {
        let mut asked = Asked::default();
        asked.conditions.push("1".into());
        if let Some(id) = &filter.land {
            let key = lands::land(&self.db, id)?.key;
            let under = "find.land IN (SELECT key FROM land WHERE ? IN (key, parent))";
            asked.with(under, key);
        }
        if let Some(status) = filter.status {
            asked.with("find.status = ?", status.word());
        }
        if let Some(kind) = filter.kind {
            asked.with("find.kind = ?", kind.word());
        }
        if let Some(metal) = filter.metal {
            asked.with("find.metal = ?", metal.name());
        }
        asked.if_said("named.period", &filter.period);
        asked.if_said("named.ruler", &filter.ruler);
        asked.if_said("named.denomination", &filter.denomination);
        asked.if_said("named.class", &filter.class);
        asked.if_said("named.type_id", &filter.type_id);
        asked.if_said("find.grouped", &filter.grouped);
        asked.if_said("find.storage", &filter.storage);
        if let Some(tag) = &filter.tag {
            let has = "find.key IN (SELECT find FROM tag WHERE tag = ?)";
            asked.with(has, tag.clone());
        }
        if let Some(from) = &filter.found_from {
            asked.with("find.found_on >= ?", from.clone());
        }
        if let Some(to) = &filter.found_to {
            // A month or year said as the end holds all its days.
            asked.with("find.found_on < ?", format!("{to}~"));
        }
        asked.within("find.weight_g", filter.weight_g);
        asked.within("find.diameter_mm", filter.diameter_mm);
        asked.either("named.confirmed_by IS NOT NULL", filter.confirmed);
        asked.either("find.official_number IS NOT NULL", filter.recorded);
        let has = "EXISTS (SELECT 1 FROM photograph WHERE photograph.find = find.key)";
        asked.either(has, filter.photographed);
        if let Some(keys) = &filter.among {
            let keys: Vec<String> = keys.iter().map(i64::to_string).collect();
            // The numbers go in as one text, so that there may be any number of them.
            let among = "find.key IN (SELECT value FROM json_each(?))";
            asked.with(among, format!("[{}]", keys.join(",")));
        }
        Ok(asked)
    }
}

fn listed(row: &rusqlite::Row<'_>) -> Result<Listed, rusqlite::Error> {
    let word = |place: usize| row.get::<_, Option<String>>(place);
    // A word that a later Lynchet knows and this one does not is no reason to list nothing.
    let kind = word(2)?.and_then(|kind| FindKind::read(&kind).ok());
    let status = word(9)?.and_then(|status| Status::read(&status).ok());
    Ok(Listed {
        key: row.get(0)?,
        id: row.get(1)?,
        kind: kind.unwrap_or(FindKind::Artefact),
        words: row.get(3)?,
        identified: row.get(4)?,
        share: row.get(5)?,
        confirmed_by: word(6)?.and_then(|by| Confirmer::read(&by).ok()),
        land: row.get(7)?,
        found_on: row.get(8)?,
        status: status.unwrap_or(Status::InHand),
        metal: row.get(10)?,
        weight_g: row.get(11)?,
        diameter_mm: row.get(12)?,
        storage: row.get(13)?,
        official_number: row.get(14)?,
        photographs: row.get::<_, i64>(15)? as u64,
    })
}
