//! The sheet: fields as they are made, before they are put in order.
//!
//! Decides nothing.
//!
//! Invariant: a name is filled once, and an empty value fills nothing.

use std::collections::HashMap;

use super::draft::{Field, Kind, Quantity, Standing};
use super::names;

/// Fields by their names.
#[derive(Default)]
pub(super) struct Sheet {
    made: HashMap<&'static str, Field>,
}

impl Sheet {
    /// Fills a field that is blank so far; gives it back for its ids and its number.
    pub(super) fn put(
        &mut self,
        name: &'static str,
        value: impl Into<String>,
        standing: Standing,
    ) -> Option<&mut Field> {
        let value: String = value.into();
        let value = value.trim().to_string();
        if value.is_empty() || self.made.contains_key(name) {
            return None;
        }
        self.made.insert(
            name,
            Field {
                name,
                label: "",
                value,
                standing,
                ids: Vec::new(),
                quantity: None,
            },
        );
        self.made.get_mut(name)
    }

    /// As [`Sheet::put`], with the addresses of what the value means.
    pub(super) fn put_with(
        &mut self,
        name: &'static str,
        value: impl Into<String>,
        standing: Standing,
        ids: Vec<String>,
    ) {
        if let Some(field) = self.put(name, value, standing) {
            field.ids = ids;
        }
    }

    /// As [`Sheet::put`], with the number that the value prints.
    pub(super) fn put_number(
        &mut self,
        name: &'static str,
        value: impl Into<String>,
        standing: Standing,
        quantity: Quantity,
    ) {
        if let Some(field) = self.put(name, value, standing) {
            field.quantity = Some(quantity);
        }
    }

    /// A field that was filled.
    pub(super) fn get(&self, name: &str) -> Option<&Field> {
        self.made.get(name)
    }

    /// A field that was filled, to be added to.
    pub(super) fn get_mut(&mut self, name: &str) -> Option<&mut Field> {
        self.made.get_mut(name)
    }

    /// The fields of a kind in their order, blank where nothing was filled.
    pub(super) fn in_order(mut self, kind: Kind) -> Vec<Field> {
        let field = |(name, label): names::Name| match self.made.remove(name) {
            Some(made) => Field { label, ..made },
            None => Field {
                name,
                label,
                value: String::new(),
                standing: Standing::Blank,
                ids: Vec::new(),
                quantity: None,
            },
        };
        names::of(kind).into_iter().map(field).collect()
    }
}
