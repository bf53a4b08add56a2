//! The retrieval room: a find to the types worth judging, in no order.
//!
//! The only room that knows tantivy. Its one duty is recall: the type that full
//! scoring would put first must be among what it gives. It never ranks; the index
//! holds nothing that cannot be made again from the library.
//!
//! Invariant: candidates are positions in the library the index was made from.

mod build;
mod fields;
mod query;
mod sizes;
mod words;

use std::path::Path;
use std::sync::OnceLock;

use tantivy::{Index, ReloadPolicy, TantivyError};

use sizes::Sizes;

use crate::catalogue::Catalogue;
use crate::find::Find;

/// The index over a library's types.
pub struct Shelves {
    shelf: query::Shelf,
    /// Worked out when first asked for: the index is opened before the library is.
    sizes: OnceLock<Sizes>,
}

/// Why the index could not be made, opened or asked.
#[derive(Debug)]
pub struct IndexFault(TantivyError);

impl std::fmt::Display for IndexFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the search index failed: {}", self.0)
    }
}

impl std::error::Error for IndexFault {}

impl From<TantivyError> for IndexFault {
    fn from(error: TantivyError) -> IndexFault {
        IndexFault(error)
    }
}

impl Shelves {
    /// An index in memory. `priority` orders types that match alike: the likelier first.
    pub fn in_memory(catalogue: &Catalogue, priority: &[f64]) -> Result<Shelves, IndexFault> {
        let index = Index::create_in_ram(fields::schema().0);
        build::fill(&index, catalogue, priority)?;
        Shelves::over(index)
    }

    /// Makes an index in an empty folder.
    pub fn create(
        folder: &Path,
        catalogue: &Catalogue,
        priority: &[f64],
    ) -> Result<(), IndexFault> {
        let index = Index::create_in_dir(folder, fields::schema().0)?;
        build::fill(&index, catalogue, priority)
    }

    /// Opens an index made by [`Shelves::create`].
    pub fn open(folder: &Path) -> Result<Shelves, IndexFault> {
        let index = Index::open_in_dir(folder)?;
        if index.schema() != fields::schema().0 {
            let message = "the index on disk has another shape".to_string();
            return Err(TantivyError::SchemaError(message).into());
        }
        Shelves::over(index)
    }

    /// How many types the index holds.
    pub fn types(&self) -> usize {
        self.shelf.order.len()
    }

    fn over(index: Index) -> Result<Shelves, IndexFault> {
        let reader: tantivy::IndexReader = index
            .reader_builder()
            .reload_policy(ReloadPolicy::Manual)
            .try_into()?;
        Ok(Shelves {
            shelf: query::Shelf::of(&reader.searcher(), &fields::schema().1)?,
            sizes: OnceLock::new(),
        })
    }

    /// Types worth judging for a find: positions in the library, in no order, none twice.
    pub fn candidates(&self, find: &Find, catalogue: &Catalogue) -> Result<Vec<usize>, IndexFault> {
        let sizes = || Sizes::of(catalogue, &self.shelf.order);
        let sizes = self.sizes.get_or_init(sizes);
        Ok(query::run(&self.shelf, sizes, find, catalogue)?)
    }
}
