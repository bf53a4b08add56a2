//! Full-text search over finds: an index beside the database that may be deleted at any time.
//!
//! Goes by what the history says was changed since the index was written: a few finds are indexed in
//! memory and laid over it, so that a search after an act costs what the act changed; the folder is
//! written again when they have become many. Where the index is broken or cannot be had, one is made
//! in memory instead. Holds nothing that the database has not.
//!
//! Invariant: what is found is what the database holds as of the last act.

mod asked;

use std::collections::BTreeSet;
use std::fs;

use rusqlite::{Connection, OptionalExtension};
use tantivy::schema::{
    FAST, Field, INDEXED, IndexRecordOption, STORED, Schema, TextFieldIndexing, TextOptions,
};
use tantivy::tokenizer::{
    AsciiFoldingFilter, LowerCaser, RemoveLongFilter, SimpleTokenizer, TextAnalyzer,
};
use tantivy::{Index, IndexWriter, ReloadPolicy, Searcher, TantivyDocument, TantivyError, Term};

use super::fault::{Kind, ShelfFault};
use super::{Access, Shelf};

/// The folder of the index.
pub(super) const INDEX: &str = "index";
/// Memory the writer may use before it cuts a segment.
const WRITER_BYTES: usize = 20_000_000;
/// More changed finds than this are sooner indexed all anew.
const CHANGED_MOST: usize = 20_000;
/// Up to so many changed finds are laid over the index of the folder, which is left as it is; more
/// are written into it.
const LAID_OVER_MOST: usize = 256;
/// Raised when what is indexed changes.
const SHAPE: u32 = 1;

/// Finds changed since an act. Goes by the number of the act alone (hence the pluses): by the table,
/// every change ever made to a find would be gone through.
const CHANGED_SINCE: &str = "SELECT CASE tab WHEN 'find' THEN row \
    ELSE json_extract(coalesce(after, before), '$.find') END FROM change \
    WHERE act > ?1 AND +tab IN ('find', 'tag', 'identification') \
    UNION SELECT find.key FROM change JOIN find ON find.land = change.row \
    WHERE act > ?1 AND +tab = 'land' LIMIT ?2";

/// What a search found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Found {
    /// Keys of the finds, the best first.
    pub keys: Vec<i64>,
    /// How many there are in all.
    pub total: usize,
    /// True when no find holds the words as typed, and words that are almost the same were taken.
    pub almost: bool,
}

/// An index ready to be asked.
pub(super) struct Indexed {
    /// The index of the folder, or one in memory.
    base: Searcher,
    /// What was changed since that was written.
    over: Option<Over>,
    /// What both together hold.
    stamp: String,
}

/// Finds that were changed, indexed in memory.
struct Over {
    /// Their keys, those taken away among them.
    changed: BTreeSet<i64>,
    /// Those that are there.
    finds: Searcher,
}

impl std::fmt::Debug for Indexed {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Indexed({})", self.stamp)
    }
}

fn failed(error: TantivyError) -> ShelfFault {
    ShelfFault::new(
        Kind::Disk,
        format!("the search index failed: {error}"),
        "delete the folder index beside the shelf and search again; nothing else is lost",
    )
}

impl Shelf {
    /// The finds that hold all the words, the last of which may be only begun. Where none does,
    /// words that are one letter off are taken.
    pub fn search(&self, words: &str, most: usize) -> Result<Found, ShelfFault> {
        let stamp = self.stamp()?;
        let mut held = self.indexed.borrow_mut();
        let fresh = held.as_ref().is_some_and(|held| held.stamp == stamp);
        if !fresh {
            *held = Some(match self.on_disk(&stamp) {
                Some(indexed) => indexed,
                None => in_memory(&self.db, stamp)?,
            });
        }
        let indexed = held.as_ref().ok_or_else(|| failed(gone()))?;
        if let Ok(found) = indexed.asked(words, most) {
            return Ok(found);
        }
        // Broken where only asking shows it: one in memory has everything.
        let indexed = in_memory(&self.db, self.stamp()?)?;
        let found = indexed.asked(words, most).map_err(failed);
        *held = Some(indexed);
        found
    }

    /// What the index is held against: its shape and the last act.
    fn stamp(&self) -> Result<String, ShelfFault> {
        Ok(format!("{SHAPE} {}", self.as_of()?))
    }

    /// What is wrong with the index beside the database, in words; nothing where it is sound, or was
    /// not made yet.
    pub fn index_fault(&self) -> Option<String> {
        let folder = self.folder.join(INDEX);
        if fs::read_dir(&folder).map_or(true, |mut held| held.next().is_none()) {
            return None;
        }
        let index = match Index::open_in_dir(&folder) {
            Ok(index) => index,
            Err(error) => return Some(error.to_string()),
        };
        if index.schema() != schema().0 {
            return Some("it is of another shape".into());
        }
        match index.validate_checksum() {
            Ok(damaged) if damaged.is_empty() => {}
            Ok(damaged) => {
                let mut names: Vec<String> = damaged
                    .iter()
                    .map(|path| path.display().to_string())
                    .collect();
                names.sort();
                return Some(format!("damaged: {}", names.join(", ")));
            }
            Err(error) => return Some(error.to_string()),
        }
        index.reader().err().map(|error| error.to_string())
    }

    /// Makes the index beside the database anew. Nothing else is changed.
    ///
    /// # Errors
    ///
    /// When the shelf can only be read, or the folder cannot be written.
    pub fn rebuild_index(&self) -> Result<(), ShelfFault> {
        if self.access == Access::Read {
            return Err(super::open::read_only().of(&self.folder.join(INDEX)));
        }
        *self.indexed.borrow_mut() = None;
        let stamp = self.stamp()?;
        self.anew(&stamp).map(|_| ()).ok_or_else(|| failed(gone()))
    }

    /// An index beside the database, made anew.
    fn anew(&self, stamp: &str) -> Option<Index> {
        let folder = self.folder.join(INDEX);
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).ok()?;
        let index = Index::create_in_dir(&folder, schema().0).ok()?;
        analysed(&index);
        filled(&self.db, &index, stamp).ok()?;
        Some(index)
    }

    /// The index of the folder with what was changed since, as of this stamp; none where it cannot
    /// be had.
    fn on_disk(&self, stamp: &str) -> Option<Indexed> {
        if let Some(index) = kept(&self.folder.join(INDEX)) {
            let at = index.load_metas().ok()?.payload.unwrap_or_default();
            if let Some(changed) = changed_since(&self.db, &at).ok()? {
                return self.brought_up(&index, changed, stamp);
            }
        }
        if self.access == Access::Read {
            return None;
        }
        // Broken, of another shape, of another shelf, or too far behind: all anew.
        let base = searcher(&self.anew(stamp)?).ok()?;
        Some(Indexed {
            base,
            over: None,
            stamp: stamp.to_string(),
        })
    }

    /// An index with what was changed since: laid over it, or where that is much, written into it.
    fn brought_up(&self, index: &Index, changed: BTreeSet<i64>, stamp: &str) -> Option<Indexed> {
        let many = changed.len() > LAID_OVER_MOST && self.access == Access::Write;
        // Where another process is writing it, it is left to that one.
        let written = many && refreshed(&self.db, index, &changed, stamp).is_ok();
        let over = match written || changed.is_empty() {
            true => None,
            false => Some(laid_over(&self.db, changed).ok()?),
        };
        Some(Indexed {
            base: searcher(index).ok()?,
            over,
            stamp: stamp.to_string(),
        })
    }
}

/// The index of a folder; none where it is broken or of another shape.
fn kept(folder: &std::path::Path) -> Option<Index> {
    let index = Index::open_in_dir(folder).ok()?;
    let ours = index.schema() == schema().0;
    ours.then(|| {
        analysed(&index);
        index
    })
}

/// What an index holds now. It is asked once and for all, so nothing watches for later writes.
fn searcher(index: &Index) -> tantivy::Result<Searcher> {
    let reader = index.reader_builder().reload_policy(ReloadPolicy::Manual);
    Ok(reader.try_into()?.searcher())
}

fn gone() -> TantivyError {
    TantivyError::SystemError("there is none".into())
}

/// The finds changed since a stamp; none where it is no stamp of this shelf, or there are too many.
fn changed_since(db: &Connection, stamp: &str) -> Result<Option<BTreeSet<i64>>, ShelfFault> {
    let mut parts = stamp.splitn(3, ' ');
    let shape = parts.next().and_then(|shape| shape.parse::<u32>().ok());
    let seq = parts.next().and_then(|seq| seq.parse::<i64>().ok());
    let at = parts.next().unwrap_or_default();
    let (Some(SHAPE), Some(seq)) = (shape, seq) else {
        return Ok(None);
    };
    let known: Option<String> = db
        .query_row("SELECT at FROM act WHERE seq = ?1", [seq], |row| row.get(0))
        .optional()?;
    if known.as_deref() != Some(at) {
        return Ok(None);
    }
    let mut asked = db.prepare_cached(CHANGED_SINCE)?;
    let keys = asked.query_map((seq, CHANGED_MOST as i64 + 1), |row| row.get(0))?;
    let keys: BTreeSet<i64> = keys.collect::<Result<_, _>>()?;
    Ok((keys.len() <= CHANGED_MOST).then_some(keys))
}

/// The schema, the key's field and the field of all words.
fn schema() -> (Schema, Field, Field) {
    let mut builder = Schema::builder();
    let indexing = TextFieldIndexing::default()
        .set_tokenizer("kept")
        .set_index_option(IndexRecordOption::WithFreqs);
    let key = builder.add_i64_field("key", INDEXED | FAST | STORED);
    let words = TextOptions::default().set_indexing_options(indexing);
    let words = builder.add_text_field("words", words);
    (builder.build(), key, words)
}

fn analyser() -> TextAnalyzer {
    TextAnalyzer::builder(SimpleTokenizer::default())
        .filter(RemoveLongFilter::limit(60))
        .filter(LowerCaser)
        .filter(AsciiFoldingFilter)
        .build()
}

fn analysed(index: &Index) {
    index.tokenizers().register("kept", analyser());
}

/// An index of everything in memory.
fn in_memory(db: &Connection, stamp: String) -> Result<Indexed, ShelfFault> {
    let index = Index::create_in_ram(schema().0);
    analysed(&index);
    filled(db, &index, "")?;
    Ok(Indexed {
        base: searcher(&index).map_err(failed)?,
        over: None,
        stamp,
    })
}

/// Changed finds, indexed in memory.
fn laid_over(db: &Connection, changed: BTreeSet<i64>) -> Result<Over, ShelfFault> {
    let index = Index::create_in_ram(schema().0);
    analysed(&index);
    refreshed(db, &index, &changed, "")?;
    let finds = searcher(&index).map_err(failed)?;
    Ok(Over { changed, finds })
}

fn writer(index: &Index) -> Result<IndexWriter, ShelfFault> {
    index
        .writer_with_num_threads(1, WRITER_BYTES)
        .map_err(failed)
}

/// All that a find can be searched by.
const WORDS: &str = "SELECT find.key, concat_ws(' ', find.id, find.kind, find.words, \
    (SELECT group_concat(json_extract(value, '$[1]'), ' ') FROM json_each(find.said)), \
    find.metal, find.completeness, find.grouped, find.status, find.storage, find.official_number, \
    find.finder, find.notes, \
    (SELECT concat_ws(' ', land.id, land.name) FROM land WHERE land.key = find.land), \
    (SELECT concat_ws(' ', text, period, ruler, denomination, series, type_id, class, reference) \
     FROM identification WHERE identification.find = find.key AND standing = 'current' LIMIT 1), \
    (SELECT group_concat(tag, ' ') FROM tag WHERE tag.find = find.key)) FROM find AS find";

fn filled(db: &Connection, index: &Index, stamp: &str) -> Result<(), ShelfFault> {
    let (_, key_field, words_field) = schema();
    let mut writer: IndexWriter = writer(index)?;
    let mut asked = db.prepare(WORDS)?;
    let mut rows = asked.query([])?;
    while let Some(row) = rows.next()? {
        let mut document = TantivyDocument::default();
        document.add_i64(key_field, row.get(0)?);
        document.add_text(words_field, row.get::<_, String>(1)?);
        writer.add_document(document).map_err(failed)?;
    }
    confirmed(writer.prepare_commit(), stamp)?;
    writer.wait_merging_threads().map_err(failed)
}

fn refreshed(
    db: &Connection,
    index: &Index,
    changed: &BTreeSet<i64>,
    stamp: &str,
) -> Result<(), ShelfFault> {
    let (_, key_field, words_field) = schema();
    let mut writer = writer(index)?;
    let mut asked = db.prepare(&format!("{WORDS} WHERE find.key = ?1"))?;
    for key in changed {
        writer.delete_term(Term::from_field_i64(key_field, *key));
        let words: Option<String> = asked.query_row([key], |row| row.get(1)).optional()?;
        if let Some(words) = words {
            let mut document = TantivyDocument::default();
            document.add_i64(key_field, *key);
            document.add_text(words_field, words);
            writer.add_document(document).map_err(failed)?;
        }
    }
    confirmed(writer.prepare_commit(), stamp)?;
    writer.wait_merging_threads().map_err(failed)
}

fn confirmed(
    prepared: tantivy::Result<tantivy::indexer::PreparedCommit<'_>>,
    stamp: &str,
) -> Result<(), ShelfFault> {
    let mut prepared = prepared.map_err(failed)?;
    prepared.set_payload(stamp);
    prepared.commit().map_err(failed)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::super::{Entry, Identified, Land, LandKind, NewFind, Stamp};
    use super::*;

    #[test]
    fn what_changed_is_found_by_the_act_and_not_by_all_that_ever_was() {
        let folder = tempfile::tempdir().unwrap();
        let shelf = Shelf::open(folder.path(), Access::Write).unwrap();
        let sql = format!("EXPLAIN QUERY PLAN {CHANGED_SINCE}");
        let mut asked = shelf.db.prepare(&sql).unwrap();
        let plan = asked
            .query_map((1, 2), |row| row.get::<_, String>(3))
            .unwrap();
        let plan: Vec<String> = plan.map(Result::unwrap).collect();
        let by = |index: &str| plan.iter().filter(|line| line.contains(index)).count();
        assert_eq!((by("change_act"), by("change_row")), (2, 0), "{plan:?}");
    }

    fn stamp_of_the_finder() -> Stamp {
        Stamp::new("finder", "2026-03-14T10:00:00Z")
    }

    fn find(at: usize, notes: &str) -> NewFind {
        let mut entry = Entry::new(&format!("N-{at}"));
        entry.notes = notes.into();
        entry.words = ["long cross", "two soldiers", "worn bust"][at % 3].into();
        NewFind::of(entry)
    }

    /// A shelf whose index was written when it held so many finds.
    fn indexed(finds: usize) -> (tempfile::TempDir, Shelf) {
        let folder = tempfile::tempdir().unwrap();
        let mut shelf = Shelf::open(folder.path(), Access::Write).unwrap();
        let stamp = stamp_of_the_finder();
        let field = Land::new("F-1", LandKind::Field, "Long Acre");
        let land = shelf.add_land(&stamp, field).unwrap().key;
        let mut all: Vec<NewFind> = (0..finds).map(|at| find(at, "by the hedge")).collect();
        all[0].entry.land = Some(land);
        shelf.add_finds(&stamp, all).unwrap();
        assert_eq!(shelf.search("hedge", 5).unwrap().total, finds);
        (folder, shelf)
    }

    /// The act up to which the index of the folder is written.
    fn written(folder: &tempfile::TempDir) -> String {
        let index = Index::open_in_dir(folder.path().join(INDEX)).unwrap();
        index.load_metas().unwrap().payload.unwrap()
    }

    fn laid(shelf: &Shelf) -> usize {
        let held = shelf.indexed.borrow();
        held.as_ref()
            .and_then(|held| held.over.as_ref())
            .map_or(0, |over| over.changed.len())
    }

    /// What a shelf finds is what an index of everything, made anew, holds.
    fn holds_everything(shelf: &Shelf) {
        let anew = in_memory(&shelf.db, String::new()).unwrap();
        for words in [
            "hedge",
            "barn",
            "long cross",
            "cro",
            "soldiers",
            "acre",
            "meadow",
            "n-3",
            "bern",
            "penny",
        ] {
            let (mut one, mut other) = (
                shelf.search(words, 500).unwrap(),
                anew.asked(words, 500).unwrap(),
            );
            one.keys.sort_unstable();
            other.keys.sort_unstable();
            assert_eq!(one, other, "{words}");
        }
    }

    #[test]
    fn what_an_act_changed_is_laid_over_an_index_that_stays_as_it_is() {
        let (folder, mut shelf) = indexed(40);
        let (stamp, before) = (stamp_of_the_finder(), written(&folder));
        holds_everything(&shelf);
        assert_eq!(laid(&shelf), 0);
        shelf.add_find(&stamp, find(40, "in the barn")).unwrap();
        holds_everything(&shelf);
        assert_eq!(laid(&shelf), 1);
        shelf
            .edit_find(&stamp, "N-3", |find| find.notes = "in the barn".into())
            .unwrap();
        holds_everything(&shelf);
        assert_eq!(shelf.search("barn", 5).unwrap().total, 2);
        shelf
            .identify(&stamp, "N-4", Identified::new("penny"))
            .unwrap();
        shelf.tag(&stamp, "N-5", &["barn".into()], &[]).unwrap();
        shelf
            .edit_land(&stamp, "F-1", |land| land.name = "The meadow".into())
            .unwrap();
        holds_everything(&shelf);
        shelf.remove_find(&stamp, "N-3").unwrap();
        holds_everything(&shelf);
        shelf.undo(&stamp, shelf.last_act().unwrap()).unwrap();
        holds_everything(&shelf);
        // N-40, N-3, N-4, N-5 and N-0, which lay on the land.
        assert_eq!((laid(&shelf), written(&folder)), (5, before.clone()));
        // One that may only read lays over as well, and writes nothing.
        let reader = Shelf::open(folder.path(), Access::Read).unwrap();
        holds_everything(&reader);
        assert_eq!((laid(&reader), written(&folder)), (5, before));
    }

    #[test]
    fn many_changes_are_written_into_the_index() {
        let (folder, mut shelf) = indexed(3);
        let before = written(&folder);
        let many = (3..4 + LAID_OVER_MOST).map(|at| find(at, "in the barn"));
        shelf
            .add_finds(&stamp_of_the_finder(), many.collect())
            .unwrap();
        let reader = Shelf::open(folder.path(), Access::Read).unwrap();
        holds_everything(&reader);
        assert_eq!(
            (laid(&reader), written(&folder)),
            (LAID_OVER_MOST + 1, before)
        );
        holds_everything(&shelf);
        assert_eq!(
            (laid(&shelf), written(&folder)),
            (0, shelf.stamp().unwrap())
        );
    }

    /// Scores of both parts are weighed alike: a find that holds a rare word twice stands before
    /// those that hold it once, whichever part it is in.
    #[test]
    fn the_best_stand_first_in_whichever_part_they_are() {
        for newest in [false, true] {
            let folder = tempfile::tempdir().unwrap();
            let mut shelf = Shelf::open(folder.path(), Access::Write).unwrap();
            let stamp = stamp_of_the_finder();
            let (once, twice) = (
                "an adder by day, in the ditch",
                "an adder by an adder, in ditch",
            );
            for at in 0..6 {
                let best = at == if newest { 5 } else { 2 };
                shelf
                    .add_find(&stamp, find(3 * at, if best { twice } else { once }))
                    .unwrap();
                if at == 3 {
                    shelf.search("adder", 5).unwrap();
                }
            }
            let found = shelf.search("adder", 4).unwrap();
            assert_eq!(
                (found.keys[0], found.total),
                (if newest { 6 } else { 3 }, 6)
            );
            assert_eq!((laid(&shelf), found.keys.len()), (2, 4));
        }
    }
}
