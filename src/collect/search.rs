//! Full-text search over finds: an index beside the database that may be deleted at any time.
//!
//! Brings the index up to the last act when it is asked, by what the history says was changed.
//! Where the index is broken, locked or cannot be written, one is made in memory instead. Holds
//! nothing that the database has not.
//!
//! Invariant: what is found is what the database holds as of the last act.

use std::collections::BTreeSet;
use std::fs;
use std::ops::Bound;

use rusqlite::{Connection, OptionalExtension};
use tantivy::collector::{Count, TopDocs};
use tantivy::query::{BooleanQuery, FuzzyTermQuery, Occur, Query, RangeQuery, TermQuery};
use tantivy::schema::{
    FAST, Field, INDEXED, IndexRecordOption, STORED, Schema, TextFieldIndexing, TextOptions, Value,
};
use tantivy::tokenizer::{
    AsciiFoldingFilter, LowerCaser, RemoveLongFilter, SimpleTokenizer, TextAnalyzer,
};
use tantivy::{Index, IndexWriter, TantivyDocument, TantivyError, Term};

use super::fault::{Kind, ShelfFault};
use super::{Access, Shelf};

/// The folder of the index.
pub(super) const INDEX: &str = "index";
/// Memory the writer may use before it cuts a segment.
const WRITER_BYTES: usize = 20_000_000;
/// More changed finds than this are sooner indexed all anew.
const CHANGED_MOST: usize = 20_000;
/// Most words of a question.
const WORDS_MOST: usize = 32;
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
    index: Index,
    stamp: String,
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
        let stamp = stamp(&self.db)?;
        let mut held = self.indexed.borrow_mut();
        let fresh = held.as_ref().is_some_and(|held| held.stamp == stamp);
        if !fresh {
            let kept = self.on_disk(&stamp);
            let index = match kept {
                Some(index) => index,
                None => in_memory(&self.db)?,
            };
            *held = Some(Indexed { index, stamp });
        }
        let index = &held.as_ref().ok_or_else(|| failed(gone()))?.index;
        if let Ok(found) = asked(index, words, most) {
            return Ok(found);
        }
        // Broken where only asking shows it: one in memory has everything.
        let index = in_memory(&self.db)?;
        let found = asked(&index, words, most).map_err(failed);
        let stamp = self::stamp(&self.db)?;
        *held = Some(Indexed { index, stamp });
        found
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
        let stamp = stamp(&self.db)?;
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

    /// The index of the folder as of this stamp; none where it cannot be had.
    fn on_disk(&self, stamp: &str) -> Option<Index> {
        let folder = self.folder.join(INDEX);
        let opened = Index::open_in_dir(&folder).ok();
        let opened = opened.filter(|index| index.schema() == schema().0);
        if let Some(index) = opened {
            analysed(&index);
            let at = index.load_metas().ok()?.payload.unwrap_or_default();
            if at == stamp {
                return Some(index);
            }
            let changed = changed_since(&self.db, &at).ok().flatten();
            if let (Some(changed), Access::Write) = (changed, self.access) {
                // Locked by another process: made in memory this once.
                refreshed(&self.db, &index, &changed, stamp).ok()?;
                return Some(index);
            }
            if self.access == Access::Read {
                return None;
            }
            drop(index);
        }
        if self.access == Access::Read {
            return None;
        }
        // Broken, of another shape, or of another shelf: all anew.
        self.anew(stamp)
    }
}

fn gone() -> TantivyError {
    TantivyError::SystemError("there is none".into())
}

/// What the index is held against: the last act with its time, so that another shelf's acts, or
/// those of a backup put back, are not taken for these.
fn stamp(db: &Connection) -> Result<String, ShelfFault> {
    let last = "SELECT seq, at FROM act ORDER BY seq DESC LIMIT 1";
    let last: Option<(i64, String)> = db
        .query_row(last, [], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    let (seq, at) = last.unwrap_or_default();
    Ok(format!("{SHAPE} {seq} {at}"))
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

fn in_memory(db: &Connection) -> Result<Index, ShelfFault> {
    let index = Index::create_in_ram(schema().0);
    analysed(&index);
    filled(db, &index, "")?;
    Ok(index)
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

fn asked(index: &Index, words: &str, most: usize) -> tantivy::Result<Found> {
    let tokens = tokens(words);
    if tokens.is_empty() || most == 0 {
        return Ok(Found::default());
    }
    let reader = index.reader()?;
    let searcher = reader.searcher();
    let (_, key_field, words_field) = schema();
    for almost in [false, true] {
        let query = query(&tokens, words_field, almost);
        let best = TopDocs::with_limit(most).order_by_score();
        let (best, total) = searcher.search(&query, &(best, Count))?;
        if total == 0 {
            continue;
        }
        let mut keys = Vec::with_capacity(best.len());
        for (_, place) in best {
            let document: TantivyDocument = searcher.doc(place)?;
            let key = document.get_first(key_field);
            keys.extend(key.and_then(|key| key.as_i64()));
        }
        return Ok(Found {
            keys,
            total,
            almost,
        });
    }
    Ok(Found::default())
}

fn tokens(words: &str) -> Vec<String> {
    let mut analyser = analyser();
    let mut stream = analyser.token_stream(words);
    let mut tokens = Vec::new();
    while stream.advance() && tokens.len() < WORDS_MOST {
        tokens.push(stream.token().text.clone());
    }
    tokens
}

/// Every word must be there; the last may be only begun, and a long one may be a letter off.
fn query(tokens: &[String], field: Field, almost: bool) -> BooleanQuery {
    let last = tokens.len().saturating_sub(1);
    let each = tokens.iter().enumerate().map(|(place, token)| {
        let term = Term::from_field_text(field, token);
        let whole = Box::new(TermQuery::new(term.clone(), IndexRecordOption::WithFreqs));
        let mut ways: Vec<(Occur, Box<dyn Query>)> = vec![(Occur::Should, whole)];
        if place == last {
            let end = format!("{token}\u{10ffff}");
            let begun = RangeQuery::new(
                Bound::Included(term.clone()),
                Bound::Excluded(Term::from_field_text(field, &end)),
            );
            ways.push((Occur::Should, Box::new(begun)));
        }
        if almost && token.chars().count() > 4 {
            ways.push((Occur::Should, Box::new(FuzzyTermQuery::new(term, 1, true))));
        }
        let one: Box<dyn Query> = Box::new(BooleanQuery::new(ways));
        (Occur::Must, one)
    });
    BooleanQuery::new(each.collect())
}

#[cfg(test)]
mod tests {
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
}
