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
/// Finds with what they stand as.
const STANDS: &str = "identification AS named JOIN find ON find.key = named.find";

/// Conditions and what is put into them.
#[derive(Default)]
struct Asked {
    conditions: Vec<String>,
    given: Vec<Box<dyn ToSql>>,
    /// True where something is asked of what the find stands as.
    named: bool,
    /// True where something is asked of the find itself.
    find: bool,
}

impl Asked {
    /// A condition with `?` where the value goes.
    fn with(&mut self, condition: &str, value: impl ToSql + 'static) {
        self.find = true;
        self.conditions.push(condition.to_string());
        self.given.push(Box::new(value));
    }

    /// A condition on what the find stands as.
    fn if_named(&mut self, column: &str, value: &Option<String>) {
        if let Some(value) = value {
            self.named = true;
            self.conditions.push(format!("named.{column} = ?"));
            self.given.push(Box::new(value.clone()));
        }
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
        self.find = true;
        self.conditions.push(format!("{not}({condition})"));
    }

    /// Of these keys.
    fn among(&mut self, keys: &[i64]) {
        let keys: Vec<String> = keys.iter().map(i64::to_string).collect();
        // The numbers go in as one text, so that there may be any number of them.
        let among = "find.key IN (SELECT value FROM json_each(?))";
        self.with(among, format!("[{}]", keys.join(",")));
    }

    /// The tables that are asked, and the conditions.
    fn of(&self) -> (&'static str, String) {
        let conditions = self.conditions.join(" AND ");
        match self.named {
            true => (
                STANDS,
                format!("named.standing = 'current' AND {conditions}"),
            ),
            false => ("find", conditions),
        }
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
        let (from, conditions) = asked.of();
        let order = match filter.order {
            // By this name the index of what finds stand as gives them in order.
            Order::Kept if asked.named => "named.find",
            Order::Kept => "find.key",
            Order::Found => "find.found_on DESC NULLS LAST, find.key",
            Order::Id => "find.id, find.key",
            Order::Changed => "find.changed DESC, find.key",
        };
        let most = filter.most.map_or(-1, |most| most as i64);
        // The page is chosen by its keys first: what is shown of a find is read for that page alone.
        let sql = format!(
            "SELECT {COLUMNS} FROM (SELECT find.key AS key, row_number() OVER () AS place FROM \
             (SELECT find.key AS key FROM {from} WHERE {conditions} ORDER BY {order} \
             LIMIT {most} OFFSET {}) AS find) AS page \
             CROSS JOIN find ON find.key = page.key LEFT JOIN identification AS named \
             ON named.find = find.key AND named.standing = 'current' ORDER BY page.place",
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
        let (from, conditions) = asked.of();
        let from = match asked.find {
            false if asked.named => "identification AS named",
            _ => from,
        };
        let sql = format!("SELECT count(*) FROM {from} WHERE {conditions}");
        let mut statement = self.db.prepare_cached(&sql)?;
        let given: Vec<&dyn ToSql> = asked.given.iter().map(|value| value.as_ref()).collect();
        Ok(statement.query_row(&given[..], |row| row.get::<_, i64>(0))? as u64)
    }

    /// The keys of the finds that a filter lets through, as a statement with what goes into it.
    pub(super) fn chosen(
        &self,
        filter: &Filter,
    ) -> Result<(String, Vec<Box<dyn ToSql>>), ShelfFault> {
        let asked = self.asked(filter)?;
        let (from, conditions) = asked.of();
        let sql = format!("SELECT find.key FROM {from} WHERE {conditions}");
        Ok((sql, asked.given))
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
        asked.if_named("period", &filter.period);
        asked.if_named("ruler", &filter.ruler);
        asked.if_named("denomination", &filter.denomination);
        asked.if_named("class", &filter.class);
        asked.if_named("type_id", &filter.type_id);
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
        let confirmed = "find.key IN (SELECT find FROM identification \
                         WHERE standing = 'current' AND confirmed_by IS NOT NULL)";
        asked.either(confirmed, filter.confirmed);
        asked.either("find.official_number IS NOT NULL", filter.recorded);
        // Goes through the keys of finds side by side with those of photographs, both in indexes that
        // hold nothing else: the same whether few finds lack one, many or none.
        let photographed = "find.key IN (SELECT find FROM photograph)";
        asked.either(photographed, filter.photographed);
        if let Some(keys) = &filter.among {
            asked.among(keys);
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

#[cfg(test)]
mod tests {
    use super::super::{Access, Entry, Identified, NewFind, NewPhotograph, Stamp};
    use super::*;

    const PERIODS: [&str; 3] = ["roman", "medieval", "tudor"];

    /// Thirty finds that differ in all that is filtered by.
    fn filled(photographs: usize) -> (tempfile::TempDir, Shelf) {
        let folder = tempfile::tempdir().unwrap();
        let mut shelf = Shelf::open(folder.path(), Access::Write).unwrap();
        let stamp = Stamp::new("finder", "2026-03-14T10:00:00Z");
        let png = crate::photo::Picture::plain(9, 9, [9; 3]);
        let png = crate::photo::packed(&png, crate::photo::Form::Png, None).unwrap();
        let finds = (0..30).map(|at| {
            let mut entry = Entry::new(&format!("N-{at}"));
            entry.metal = Some(["silver", "gold"][at % 2].into());
            entry.found_on = Some(format!("2026-0{}-11", 1 + at % 7));
            let mut new = NewFind::of(entry);
            if at % 5 != 4 {
                let mut named = Identified::new("something");
                named.period = Some(PERIODS[at % 3].into());
                named.class = (at % 4 == 0).then(|| "buckle".into());
                new.identified = Some(named);
            }
            if at < photographs {
                new.photographs = vec![NewPhotograph {
                    bytes: png.clone(),
                    name: "a.png".into(),
                    ..NewPhotograph::default()
                }];
            }
            new
        });
        shelf.add_finds(&stamp, finds.collect()).unwrap();
        for at in [1, 2, 3] {
            let day = Some("2026-03-14".into());
            let id = format!("N-{at}");
            shelf
                .confirm(&stamp, &id, Confirmer::Own, None, day, None)
                .unwrap();
        }
        (folder, shelf)
    }

    /// Lists by every filter and order hold the finds that a look at each one gives, in pages as in
    /// one piece.
    #[test]
    fn lists_hold_what_a_look_at_each_find_gives() {
        for photographs in [0, 4, 30] {
            let (_folder, shelf) = filled(photographs);
            let all: Vec<_> = (1..=30).map(|key| shelf.whole(key).unwrap()).collect();
            let (one, none) = (Some("roman".to_string()), None);
            for period in [&none, &one] {
                for metal in [
                    None,
                    MetalSeen::ALL.into_iter().find(|m| m.name() == "gold"),
                ] {
                    for (confirmed, photographed) in [
                        (None, None),
                        (Some(true), None),
                        (Some(false), None),
                        (None, Some(true)),
                        (None, Some(false)),
                    ] {
                        let filter = Filter {
                            period: period.clone(),
                            metal,
                            confirmed,
                            photographed,
                            ..Filter::default()
                        };
                        let mut wanted: Vec<i64> = all
                            .iter()
                            .filter(|whole| {
                                let named = whole.identified.first();
                                let sure = named.is_some_and(|one| one.confirmed_by.is_some());
                                let of = named.and_then(|one| one.period.clone());
                                let shown = !whole.photographs.is_empty();
                                period
                                    .as_ref()
                                    .is_none_or(|wanted| of.as_ref() == Some(wanted))
                                    && metal.is_none_or(|metal| {
                                        whole.entry.metal.as_deref() == Some(metal.name())
                                    })
                                    && confirmed.is_none_or(|wanted| sure == wanted)
                                    && photographed.is_none_or(|wanted| shown == wanted)
                            })
                            .map(|whole| whole.entry.key)
                            .collect();
                        assert_eq!(
                            shelf.count(&filter).unwrap(),
                            wanted.len() as u64,
                            "{filter:?}"
                        );
                        for order in [Order::Kept, Order::Found, Order::Id, Order::Changed] {
                            let keys = |skip, most| -> Vec<i64> {
                                let page = Filter {
                                    order,
                                    skip,
                                    most,
                                    ..filter.clone()
                                };
                                let rows = shelf.list(&page).unwrap();
                                rows.into_iter().map(|row| row.key).collect()
                            };
                            let whole = keys(0, None);
                            let paged = [keys(0, Some(7)), keys(7, None)].concat();
                            assert_eq!(whole, paged, "{order:?}: {filter:?}");
                            let mut sorted = whole.clone();
                            sorted.sort_unstable();
                            wanted.sort_unstable();
                            assert_eq!(sorted, wanted, "{order:?}: {filter:?}");
                            if order == Order::Kept {
                                assert_eq!(whole, wanted);
                            }
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn a_list_by_period_is_read_from_its_index_in_order() {
        let (_folder, shelf) = filled(0);
        let filter = Filter {
            period: Some("roman".into()),
            ..Filter::default()
        };
        let asked = shelf.asked(&filter).unwrap();
        let (from, conditions) = asked.of();
        let sql = format!(
            "EXPLAIN QUERY PLAN SELECT find.key FROM {from} WHERE {conditions} ORDER BY named.find"
        );
        let mut statement = shelf.db.prepare(&sql).unwrap();
        let plan = statement
            .query_map(["roman"], |row| row.get::<_, String>(3))
            .unwrap();
        let plan: Vec<String> = plan.map(Result::unwrap).collect();
        let plan = plan.join("; ");
        assert!(
            plan.contains("identification_by_period") && !plan.contains("TEMP"),
            "{plan}"
        );
    }

    #[test]
    fn finds_without_photographs_are_found_in_two_indexes_alone() {
        let (_folder, shelf) = filled(4);
        let filter = Filter {
            photographed: Some(false),
            ..Filter::default()
        };
        let asked = shelf.asked(&filter).unwrap();
        let (from, conditions) = asked.of();
        for (what, order) in [("find.key", "ORDER BY find.key LIMIT 50"), ("count(*)", "")] {
            let sql =
                format!("EXPLAIN QUERY PLAN SELECT {what} FROM {from} WHERE {conditions} {order}");
            let mut statement = shelf.db.prepare(&sql).unwrap();
            let plan = statement
                .query_map([], |row| row.get::<_, String>(3))
                .unwrap();
            let plan: Vec<String> = plan.map(Result::unwrap).collect();
            let of_finds = plan
                .iter()
                .any(|line| line.contains("find USING COVERING INDEX"));
            let of_photographs = plan
                .iter()
                .any(|line| line.contains("INDEX photograph_find"));
            let sorted = plan.iter().any(|line| line.contains("TEMP"));
            assert!(of_finds && of_photographs && !sorted, "{plan:?}");
        }
    }
}
