//! Confirmed finds, as what is learnt is made of them: what was typed, and what a person confirmed.
//!
//! Reads; changes nothing. Knows no library.
//!
//! Invariant: no more rows than asked for, those of the land first, then the latest.

use rusqlite::Row;

use super::fault::ShelfFault;
use super::{Shelf, lands};

/// A find whose identification somebody confirmed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ConfirmedFind {
    /// Key of the find.
    pub key: i64,
    /// Keys of the land it is from and of the holding that this belongs to.
    pub land: (Option<i64>, Option<i64>),
    /// The group that it belongs to.
    pub group: Option<String>,
    /// The find in the finder's words.
    pub words: String,
    /// What was typed field by field.
    pub said: Vec<(String, String)>,
    /// Id of the period.
    pub period: Option<String>,
    /// Id of the ruler.
    pub ruler: Option<String>,
    /// Id of the denomination.
    pub denomination: Option<String>,
    /// Id of the series.
    pub series: Option<String>,
    /// Id of the type.
    pub type_id: Option<String>,
}

const SQL: &str = "SELECT find.key, find.land, land.parent, find.grouped, find.words, find.said, \
    named.period, named.ruler, named.denomination, named.series, named.type_id \
    FROM identification AS named JOIN find ON find.key = named.find \
    LEFT JOIN land ON land.key = find.land \
    WHERE named.standing = 'current' AND named.confirmed_by IS NOT NULL AND find.kind = 'coin' \
    AND (named.period IS NOT NULL OR named.ruler IS NOT NULL OR named.denomination IS NOT NULL \
         OR named.series IS NOT NULL OR named.type_id IS NOT NULL) \
    ORDER BY (?1 IN (find.land, land.parent)) DESC NULLS LAST, find.key DESC LIMIT ?2";

impl Shelf {
    /// The confirmed finds, those of a land (by its key) or of a field of it first, at most so many.
    pub fn confirmed(
        &self,
        land: Option<i64>,
        most: usize,
    ) -> Result<Vec<ConfirmedFind>, ShelfFault> {
        let mut asked = self.db.prepare_cached(SQL)?;
        let rows = asked.query_map((land, most as i64), confirmed)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Key of a land by its id.
    pub fn land_key(&self, id: &str) -> Result<i64, ShelfFault> {
        Ok(lands::land(&self.db, id)?.key)
    }

    /// Keys of the coins that Lynchet itself identified, of a land (by its key) or a field of it where
    /// one is named, at most so many.
    pub fn judged(&self, land: Option<i64>, most: usize) -> Result<Vec<i64>, ShelfFault> {
        let sql = "SELECT find.key FROM identification AS named JOIN find ON find.key = named.find \
            LEFT JOIN land ON land.key = find.land \
            WHERE named.standing = 'current' AND named.share IS NOT NULL AND find.kind = 'coin' \
            AND (?1 IS NULL OR ?1 IN (find.land, land.parent)) ORDER BY find.key LIMIT ?2";
        let mut asked = self.db.prepare_cached(sql)?;
        let rows = asked.query_map((land, most as i64), |row| row.get(0))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

fn confirmed(row: &Row<'_>) -> Result<ConfirmedFind, rusqlite::Error> {
    let said: String = row.get(5)?;
    Ok(ConfirmedFind {
        key: row.get(0)?,
        land: (row.get(1)?, row.get(2)?),
        group: row.get(3)?,
        words: row.get(4)?,
        // What another program spoilt teaches nothing, and is no reason to answer nothing.
        said: serde_json::from_str(&said).unwrap_or_default(),
        period: row.get(6)?,
        ruler: row.get(7)?,
        denomination: row.get(8)?,
        series: row.get(9)?,
        type_id: row.get(10)?,
    })
}
