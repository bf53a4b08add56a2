//! Where finds lay, as many as a filter lets through, for a map.
//!
//! Reads; changes nothing.
//!
//! Invariant: a place is the square that was given, never a point within it.

use rusqlite::ToSql;

use super::Shelf;
use super::fault::ShelfFault;
use super::list::Filter;

/// The square of a find's findspot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// Key of the find.
    pub key: i64,
    /// Its id.
    pub id: String,
    /// Easting of the square's south-west corner, metres.
    pub east: u32,
    /// Its northing, metres.
    pub north: u32,
    /// Its side, metres.
    pub side_m: u32,
}

impl Shelf {
    /// The squares of the finds that a filter lets through and of which a findspot is kept, in the
    /// order they were kept, at most so many; and how many finds have none.
    pub fn places(&self, filter: &Filter, most: usize) -> Result<(Vec<Place>, u64), ShelfFault> {
        let (from, given) = self.chosen(filter)?;
        let given: Vec<&dyn ToSql> = given.iter().map(|value| value.as_ref()).collect();
        let sql = format!(
            "SELECT find.key, find.id, find.east, find.north, find.side_m FROM {from} \
             AND find.east IS NOT NULL AND find.north IS NOT NULL AND find.side_m IS NOT NULL \
             ORDER BY find.key LIMIT {most}"
        );
        let mut statement = self.db.prepare_cached(&sql)?;
        let rows = statement.query_map(&given[..], |row| {
            Ok(Place {
                key: row.get(0)?,
                id: row.get(1)?,
                east: row.get(2)?,
                north: row.get(3)?,
                side_m: row.get(4)?,
            })
        })?;
        let places = rows.collect::<Result<_, _>>()?;
        let sql = format!("SELECT count(*) FROM {from} AND find.east IS NULL");
        let mut statement = self.db.prepare_cached(&sql)?;
        let without: i64 = statement.query_row(&given[..], |row| row.get(0))?;
        Ok((places, without as u64))
    }
}

impl Shelf {
    /// The groups that finds belong to, in order, each with how many.
    pub fn groups(&self) -> Result<Vec<(String, u64)>, ShelfFault> {
        let sql = "SELECT grouped, count(*) FROM find WHERE grouped IS NOT NULL \
                   GROUP BY grouped ORDER BY grouped";
        let mut statement = self.db.prepare_cached(sql)?;
        let rows =
            statement.query_map([], |row| Ok((row.get(0)?, row.get::<_, i64>(1)? as u64)))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}
