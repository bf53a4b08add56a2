//! Looking deeper: whether the rows agree with each other and with their history.
//!
//! Part of the check. Finds what no sum and no key can: tables that are not ours, ids that look
//! alike, a status that is not the last one, rows that something other than Lynchet has changed.
//! Reads; changes nothing.
//!
//! Invariant: what cannot be read is passed over here, since the check has said so already.

use std::collections::HashMap;

use serde_json::Value as Json;

use super::super::fault::{Kind, ShelfFault};
use super::super::health::Health;
use super::super::kept::Row;
use super::super::open::{SCHEMAS, version};
use super::super::write::{TABLES, row};
use super::super::{Shelf, text};
use super::export::walk::walk;
use super::export::{some, text_of};
use super::refuse_other_tables;

/// Most ids that are named.
const NAMED_MOST: usize = 20;

impl Shelf {
    /// Adds what this room finds to the check.
    pub(in crate::collect) fn look_deeper(&self, deep: bool, health: &mut Health) {
        // One that can only be read may be of an earlier schema still.
        let version = version(&self.db).unwrap_or(SCHEMAS.len());
        if let Err(fault) = refuse_other_tables(&self.db, version) {
            health.faults.push(fault);
        }
        for table in ["land", "find"] {
            self.look_alikes(table, health);
        }
        self.standing(health);
        if deep {
            self.by_history(health);
        }
    }

    /// Ids that cannot be told apart.
    fn look_alikes(&self, table: &str, health: &mut Health) {
        let mut seen: HashMap<String, String> = HashMap::new();
        let mut alike = Vec::new();
        let _ = walk(&self.db, table, &some(&["key", "id"]), &mut |_, row| {
            let id = text_of(&row[1]);
            if let Some(other) = seen.insert(text::folded(id), id.to_string()) {
                alike.push(format!("{other} and {id}"));
            }
            Ok(())
        });
        alike.truncate(NAMED_MOST);
        if !alike.is_empty() {
            health.faults.push(ShelfFault::new(
                Kind::Damaged,
                format!("ids of {table} that look alike: {}", alike.join(", ")),
                "give one of them another id with: lynchet collection edit",
            ));
        }
    }

    /// Finds whose status is not that of their last whereabouts, or that stand as two things.
    fn standing(&self, health: &mut Health) {
        for (sql, what) in [
            (
                "SELECT id FROM find WHERE status <> coalesce((SELECT status FROM whereabouts \
                 WHERE find = find.key ORDER BY key DESC LIMIT 1), 'in-hand') LIMIT 20",
                "whose status is not that of their last whereabouts",
            ),
            (
                "SELECT find.id FROM identification JOIN find ON find.key = identification.find \
                 WHERE standing = 'current' GROUP BY find HAVING count(*) > 1 LIMIT 20",
                "that stand as two things at once",
            ),
        ] {
            let ids = self.db.prepare(sql).and_then(|mut asked| {
                let rows = asked.query_map([], |row| row.get::<_, String>(0))?;
                rows.collect::<Result<Vec<_>, _>>()
            });
            let ids = ids.unwrap_or_default();
            if !ids.is_empty() {
                health.faults.push(ShelfFault::new(
                    Kind::Damaged,
                    format!("finds {what}: {}", ids.join(", ")),
                    "say anew what holds, or restore a backup",
                ));
            }
        }
    }

    /// Rows that are not as the last act that changed them left them.
    fn by_history(&self, health: &mut Health) {
        let sql = "SELECT row, after FROM change AS c WHERE tab = ?1 AND key = \
                   (SELECT max(key) FROM change WHERE tab = c.tab AND row = c.row)";
        for table in TABLES {
            let Ok(mut asked) = self.db.prepare_cached(sql) else {
                continue;
            };
            let Ok(mut rows) = asked.query([table]) else {
                continue;
            };
            let (mut other, mut first) = (0_u64, 0_i64);
            while let Ok(Some(read)) = rows.next() {
                let (Ok(key), Ok(after)) =
                    (read.get::<_, i64>(0), read.get::<_, Option<String>>(1))
                else {
                    continue;
                };
                let Ok(now) = row(&self.db, table, key) else {
                    continue;
                };
                if !agree(after.as_deref(), now.as_ref()) {
                    other += 1;
                    first = if first == 0 { key } else { first };
                }
            }
            if other > 0 {
                health.notes.push(format!(
                    "{other} row(s) of {table}, the first of them {first}, were changed by \
                     something that left no act: another program, perhaps"
                ));
            }
        }
    }
}

/// True where a row is as the history has it; a later schema may have more columns.
fn agree(history: Option<&str>, now: Option<&Row>) -> bool {
    let Some(text) = history else {
        return now.is_none();
    };
    let Ok(Json::Object(left)) = serde_json::from_str::<Json>(text) else {
        return false;
    };
    now.is_some_and(|now| {
        left.iter()
            .all(|(name, value)| now.get(name) == Some(value))
    })
}
