//! A table of the export: its columns, its rows, and how both are described.
//!
//! Knows the open standards (Table Schema, CSV) and nothing of coins. Writes no file.
//!
//! Invariant: a table's description names its columns in the order of its cells.

use serde_json::{Map, Value, json};

use super::super::super::error::Trouble;

/// Cells in the order of the columns; an empty cell says that nothing is said.
pub(super) type Cells = Vec<String>;

/// What may stand in a column.
#[derive(Clone, Copy)]
enum Kind {
    Text,
    Address,
    Whole,
    Figure,
}

/// A column with what its cells must keep to.
#[derive(Clone)]
pub(super) struct Column {
    name: &'static str,
    kind: Kind,
    what: String,
    needed: bool,
    unique: bool,
    least: Option<f64>,
    most: Option<f64>,
    pattern: Option<&'static str>,
    words: Vec<&'static str>,
    of: Option<&'static str>,
}

impl Column {
    fn new(name: &'static str, kind: Kind, what: impl Into<String>) -> Column {
        Column {
            name,
            kind,
            what: what.into(),
            needed: false,
            unique: false,
            least: None,
            most: None,
            pattern: None,
            words: Vec::new(),
            of: None,
        }
    }

    /// Words of any kind.
    pub(super) fn text(name: &'static str, what: impl Into<String>) -> Column {
        Column::new(name, Kind::Text, what)
    }

    /// An address in full.
    pub(super) fn address(name: &'static str, what: impl Into<String>) -> Column {
        Column::new(name, Kind::Address, what)
    }

    /// A whole number.
    pub(super) fn whole(name: &'static str, what: impl Into<String>) -> Column {
        Column::new(name, Kind::Whole, what)
    }

    /// A number with a decimal point.
    pub(super) fn figure(name: &'static str, what: impl Into<String>) -> Column {
        Column::new(name, Kind::Figure, what)
    }

    /// One word of a fixed list.
    pub(super) fn word(
        name: &'static str,
        what: impl Into<String>,
        words: impl IntoIterator<Item = &'static str>,
    ) -> Column {
        Column {
            words: words.into_iter().collect(),
            ..Column::new(name, Kind::Text, what)
        }
    }

    /// The id of a row of another table.
    pub(super) fn id_of(name: &'static str, table: &'static str, what: &str) -> Column {
        Column {
            of: Some(table),
            ..Column::new(name, Kind::Text, what)
        }
    }

    /// Never empty.
    pub(super) fn needed(self) -> Column {
        Column {
            needed: true,
            ..self
        }
    }

    /// No two rows alike.
    pub(super) fn unique(self) -> Column {
        Column {
            unique: true,
            ..self
        }
    }

    /// Never below this.
    pub(super) fn least(self, least: f64) -> Column {
        Column {
            least: Some(least),
            ..self
        }
    }

    /// Never above this.
    pub(super) fn most(self, most: f64) -> Column {
        Column {
            most: Some(most),
            ..self
        }
    }

    /// Of this form, as a regular expression.
    pub(super) fn of_form(self, pattern: &'static str) -> Column {
        Column {
            pattern: Some(pattern),
            ..self
        }
    }

    /// The column as Table Schema describes a field.
    fn described(&self) -> Value {
        let mut field = Map::new();
        field.insert("name".into(), self.name.into());
        let (kind, format) = match self.kind {
            Kind::Text => ("string", "default"),
            Kind::Address => ("string", "uri"),
            Kind::Whole => ("integer", "default"),
            Kind::Figure => ("number", "default"),
        };
        field.insert("type".into(), kind.into());
        field.insert("format".into(), format.into());
        field.insert("description".into(), self.what.as_str().into());
        let mut bounds = Map::new();
        for (name, holds) in [("required", self.needed), ("unique", self.unique)] {
            if holds {
                bounds.insert(name.into(), true.into());
            }
        }
        for (name, bound) in [("minimum", self.least), ("maximum", self.most)] {
            if let Some(bound) = bound {
                bounds.insert(name.into(), self.bound(bound));
            }
        }
        if let Some(pattern) = self.pattern {
            bounds.insert("pattern".into(), pattern.into());
        }
        if !self.words.is_empty() {
            bounds.insert("enum".into(), self.words.clone().into());
        }
        if !bounds.is_empty() {
            field.insert("constraints".into(), bounds.into());
        }
        field.into()
    }

    /// A bound in the kind of number that the column holds.
    fn bound(&self, bound: f64) -> Value {
        match self.kind {
            Kind::Whole => json!(bound as i64),
            _ => json!(bound),
        }
    }
}

/// Columns of this table that name a row of another by several columns.
struct Joined {
    from: &'static [&'static str],
    table: &'static str,
    to: &'static [&'static str],
}

/// A table with its rows.
pub(super) struct Table {
    /// Name, which is the file's without its ending.
    pub(super) name: &'static str,
    title: &'static str,
    what: String,
    columns: Vec<Column>,
    key: Vec<&'static str>,
    joined: Option<Joined>,
    /// The rows.
    pub(super) rows: Vec<Cells>,
}

impl Table {
    /// A table with these columns, of which those named by `key` name a row.
    pub(super) fn new(
        name: &'static str,
        title: &'static str,
        what: impl Into<String>,
        columns: Vec<Column>,
        key: &[&'static str],
        rows: Vec<Cells>,
    ) -> Table {
        Table {
            name,
            title,
            what: what.into(),
            columns,
            key: key.to_vec(),
            joined: None,
            rows,
        }
    }

    /// Says that these columns together name a row of another table.
    pub(super) fn joined(
        self,
        from: &'static [&'static str],
        table: &'static str,
        to: &'static [&'static str],
    ) -> Table {
        Table {
            joined: Some(Joined { from, table, to }),
            ..self
        }
    }

    /// Name of the table's file.
    pub(super) fn file(&self) -> String {
        format!("{}.csv", self.name)
    }

    /// The table as CSV: a heading line, then the rows.
    pub(super) fn csv(&self) -> Result<Vec<u8>, Trouble> {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(self.columns.iter().map(|column| column.name))?;
        for row in &self.rows {
            writer.write_record(row)?;
        }
        writer
            .into_inner()
            .map_err(|error| Trouble::from(error.into_error()))
    }

    /// The table as Data Package describes a resource.
    pub(super) fn described(&self, bytes: usize, hash: &str) -> Value {
        json!({
            "name": self.name,
            "title": self.title,
            "description": self.what,
            "path": self.file(),
            "profile": "tabular-data-resource",
            "format": "csv",
            "mediatype": "text/csv",
            "encoding": "utf-8",
            "bytes": bytes,
            "hash": hash,
            "schema": {
                "fields": self.columns.iter().map(Column::described).collect::<Vec<_>>(),
                "missingValues": [""],
                "primaryKey": self.key,
                "foreignKeys": self.links(),
            },
        })
    }

    /// What Table Schema calls foreign keys.
    fn links(&self) -> Vec<Value> {
        let single = self.columns.iter().filter_map(|column| {
            let table = column.of?;
            // A table that names its own rows is called by an empty name.
            let table = if table == self.name { "" } else { table };
            let reference = json!({ "resource": table, "fields": ["id"] });
            Some(json!({ "fields": [column.name], "reference": reference }))
        });
        let several = self.joined.iter().map(|joined| {
            let reference = json!({ "resource": joined.table, "fields": joined.to });
            json!({ "fields": joined.from, "reference": reference })
        });
        single.chain(several).collect()
    }
}
