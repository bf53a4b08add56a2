//! What the shelf remembers by name: mappings of tables, settings.
//!
//! Knows nothing of what they mean.
//!
//! Invariant: a name has one value.

use super::entry::{Mapping, Setting};
use super::fault::{Kind, ShelfFault};
use super::write::values;
use super::{Shelf, Stamp, text};

/// Most columns of a mapping.
const COLUMNS_MOST: usize = 200;

impl Shelf {
    /// The value of a setting.
    pub fn setting(&self, name: &str) -> Result<Option<String>, ShelfFault> {
        let found: Vec<Setting> = values(&self.db, "name = ?1", &[&name])?;
        Ok(found.into_iter().next().map(|one| one.value))
    }

    /// Sets a setting.
    pub fn set_setting(
        &mut self,
        stamp: &Stamp,
        name: &str,
        value: &str,
    ) -> Result<(), ShelfFault> {
        let name = text::id("name", name)?;
        let value = text::long("value", value)?;
        self.write(stamp, "set", &name, |writing| {
            let found: Vec<Setting> = values(writing.db(), "name = ?1", &[&name])?;
            match found.into_iter().next() {
                Some(mut held) => {
                    held.value.clone_from(&value);
                    writing.put(&held)
                }
                None => {
                    let mut new = Setting {
                        key: 0,
                        name: name.clone(),
                        value: value.clone(),
                    };
                    writing.add(&mut new).map(|_| ())
                }
            }
        })
    }

    /// A mapping of columns by its name.
    pub fn mapping(&self, name: &str) -> Result<Mapping, ShelfFault> {
        let found: Vec<Mapping> = values(&self.db, "name = ?1", &[&name.trim()])?;
        found.into_iter().next().ok_or_else(|| {
            ShelfFault::new(
                Kind::Unknown,
                format!("mapping: there is none of the name {:?}", name.trim()),
                "keep one with: lynchet collection import FILE --map FIELD=COLUMN --keep-map NAME",
            )
        })
    }

    /// All mappings by name.
    pub fn mappings(&self) -> Result<Vec<Mapping>, ShelfFault> {
        values(&self.db, "1 ORDER BY name", &[])
    }

    /// Keeps a mapping, in the place of one of the same name.
    pub fn keep_mapping(
        &mut self,
        stamp: &Stamp,
        name: &str,
        columns: Vec<(String, String)>,
    ) -> Result<(), ShelfFault> {
        let name = text::id("mapping", name)?;
        if columns.len() > COLUMNS_MOST {
            let what = format!("{} columns; at most {COLUMNS_MOST}", columns.len());
            return Err(ShelfFault::field(
                "mapping",
                what,
                "leave out those not needed",
            ));
        }
        self.write(stamp, "keep mapping", &name, |writing| {
            let found: Vec<Mapping> = values(writing.db(), "name = ?1", &[&name])?;
            match found.into_iter().next() {
                Some(mut held) => {
                    held.columns = columns;
                    writing.put(&held)
                }
                None => {
                    let mut new = Mapping {
                        key: 0,
                        name: name.clone(),
                        columns,
                    };
                    writing.add(&mut new).map(|_| ())
                }
            }
        })
    }
}
