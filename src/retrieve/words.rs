//! Words: what each type gains by the words that are asked for.
//!
//! The list of each word is gone through from end to end and added to a column, one place a type:
//! lists of a few hundred types are quicker added up so than walked side by side. A word counts by
//! how rare it is, a type by how few words it holds (BM25 with its usual constants, each word
//! counted once). Never says which types are worth judging.
//!
//! Invariant: a column is as long as the index has types, in the order of the index.

use std::sync::Arc;

use tantivy::index::InvertedIndexReader;
use tantivy::postings::TermInfo;
use tantivy::schema::{Field, IndexRecordOption};
use tantivy::{Searcher, TantivyError, Term};

/// How soon a word that is there has said all it can, and how much the number of words tells.
const SOON: f32 = 1.2;
const LENGTH: f32 = 0.75;

/// A word asked for, and what it is worth beside others.
pub(super) type Asked = (String, f32);

/// The words of one field.
pub(super) struct Words {
    field: Field,
    segments: Vec<Segment>,
    /// What the number of its words makes of each type's gains.
    scale: Vec<f32>,
}

/// One part of the index: the place of its first type, and its lists.
struct Segment {
    first: usize,
    lists: Arc<InvertedIndexReader>,
}

impl Words {
    /// The words of a field of an index.
    pub(super) fn of(searcher: &Searcher, field: Field) -> Result<Words, TantivyError> {
        let (mut segments, mut lengths, mut held) = (Vec::new(), Vec::new(), 0);
        for reader in searcher.segment_readers() {
            let lists = reader.inverted_index(field)?;
            held += lists.total_num_tokens();
            segments.push(Segment {
                first: lengths.len(),
                lists,
            });
            let counted = reader.get_fieldnorms_reader(field)?;
            lengths.extend((0..reader.max_doc()).map(|doc| counted.fieldnorm(doc) as f32));
        }
        let usual = (held as f32 / lengths.len().max(1) as f32).max(f32::MIN_POSITIVE);
        let scale = |length: &f32| 1.0 / (1.0 + SOON * (1.0 - LENGTH + LENGTH * length / usual));
        Ok(Words {
            field,
            segments,
            scale: lengths.iter().map(scale).collect(),
        })
    }

    /// What each type gains, nought where it holds none of the words; none when none is asked for.
    pub(super) fn gains(&self, asked: &[Asked]) -> Result<Option<Vec<f32>>, TantivyError> {
        if asked.is_empty() {
            return Ok(None);
        }
        let mut gains = vec![0.0; self.scale.len()];
        for (word, worth) in asked {
            self.add(word, *worth, &mut gains)?;
        }
        let scaled = gains.iter_mut().zip(&self.scale);
        scaled.for_each(|(gain, scale)| *gain *= scale);
        Ok(Some(gains))
    }

    fn add(&self, word: &str, worth: f32, gains: &mut [f32]) -> Result<(), TantivyError> {
        let term = Term::from_field_text(self.field, word);
        let mut found: Vec<(&Segment, TermInfo)> = Vec::new();
        for segment in &self.segments {
            let known = segment.lists.get_term_info(&term)?;
            found.extend(known.map(|info| (segment, info)));
        }
        let holders: f32 = found.iter().map(|(_, info)| info.doc_freq as f32).sum();
        let others = self.scale.len() as f32 - holders;
        let gain = worth * (1.0 + SOON) * (1.0 + (others + 0.5) / (holders + 0.5)).ln();
        for (segment, info) in found {
            let mut list = segment
                .lists
                .read_block_postings_from_terminfo(&info, IndexRecordOption::Basic)?;
            while !list.docs().is_empty() {
                for doc in list.docs() {
                    if let Some(sum) = gains.get_mut(segment.first + *doc as usize) {
                        *sum += gain;
                    }
                }
                list.advance();
            }
        }
        Ok(())
    }
}
