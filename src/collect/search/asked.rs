//! A question put to an index of finds and to what was changed since it was written.
//!
//! Turns words into a query and keys into an order; reads no database and writes nothing.
//!
//! Invariant: a find that was changed is answered for by what was changed alone, and both parts are
//! weighed by the same counts of words.

use std::ops::Bound;

use tantivy::collector::{Count, TopDocs};
use tantivy::query::{
    Bm25StatisticsProvider, BooleanQuery, FuzzyTermQuery, Occur, Query, RangeQuery, TermQuery,
    TermSetQuery,
};
use tantivy::schema::{Field, IndexRecordOption};
use tantivy::{Searcher, Term};

use super::{Found, Indexed, Over, analyser, schema};

/// Most words of a question.
const WORDS_MOST: usize = 32;
/// The field of keys.
const KEY: &str = "key";

/// Keys with their scores, the best first, and how many there are in all.
type Best = (Vec<(f32, i64)>, usize);

impl Indexed {
    /// The finds that hold the words, the best first.
    pub(super) fn asked(&self, words: &str, most: usize) -> tantivy::Result<Found> {
        let tokens = tokens(words);
        if tokens.is_empty() || most == 0 {
            return Ok(Found::default());
        }
        let (_, key_field, words_field) = schema();
        for almost in [false, true] {
            let query = query(&tokens, words_field, almost);
            let (mut best, mut total) = match &self.over {
                None => found(&self.base, &query, most, &self.base)?,
                Some(over) => self.with(over, query, key_field, most)?,
            };
            if total == 0 {
                continue;
            }
            best.truncate(most);
            total = total.max(best.len());
            return Ok(Found {
                keys: best.into_iter().map(|(_, key)| key).collect(),
                total,
                almost,
            });
        }
        Ok(Found::default())
    }

    /// The finds of both parts; of equal ones those of the index first.
    fn with(
        &self,
        over: &Over,
        query: BooleanQuery,
        key_field: Field,
        most: usize,
    ) -> tantivy::Result<Best> {
        let counts = Counts {
            base: &self.base,
            over: &over.finds,
        };
        let (newer, more) = found(&over.finds, &query, most, &counts)?;
        let changed = over.changed.iter();
        let changed = TermSetQuery::new(changed.map(|key| Term::from_field_i64(key_field, *key)));
        let unchanged = BooleanQuery::new(vec![
            (Occur::Must, Box::new(query) as Box<dyn Query>),
            (Occur::MustNot, Box::new(changed)),
        ]);
        let (mut best, total) = found(&self.base, &unchanged, most, &counts)?;
        best.extend(newer);
        best.sort_by(|a, b| b.0.total_cmp(&a.0));
        Ok((best, total + more))
    }
}

/// How often words stand in the index and in what was changed since, as one collection.
struct Counts<'s> {
    base: &'s Searcher,
    over: &'s Searcher,
}

impl Bm25StatisticsProvider for Counts<'_> {
    fn total_num_tokens(&self, field: Field) -> tantivy::Result<u64> {
        Ok(self.base.total_num_tokens(field)? + self.over.total_num_tokens(field)?)
    }

    fn total_num_docs(&self) -> tantivy::Result<u64> {
        Ok(self.base.total_num_docs()? + self.over.total_num_docs()?)
    }

    fn doc_freq(&self, term: &Term) -> tantivy::Result<u64> {
        Ok(self.base.doc_freq(term)? + self.over.doc_freq(term)?)
    }
}

/// What one part holds.
fn found(
    searcher: &Searcher,
    query: &dyn Query,
    most: usize,
    counts: &dyn Bm25StatisticsProvider,
) -> tantivy::Result<Best> {
    let best = TopDocs::with_limit(most).order_by_score();
    let (best, total) = searcher.search_with_statistics_provider(query, &(best, Count), counts)?;
    let segments = searcher.segment_readers().iter();
    let keys: Vec<_> = segments
        .map(|segment| segment.fast_fields().i64(KEY))
        .collect::<tantivy::Result<_>>()?;
    let key = |(score, place): (f32, tantivy::DocAddress)| {
        let keys = keys.get(place.segment_ord as usize)?;
        Some((score, keys.first(place.doc_id)?))
    };
    Ok((best.into_iter().filter_map(key).collect(), total))
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
