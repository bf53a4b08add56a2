//! The shape of the index, and how letters become terms.
//!
//! Invariant: the same folding is used for what is indexed and for what is asked.

use crate::find::worn_family;
use tantivy::schema::{FAST, Field, IndexRecordOption, Schema, TextFieldIndexing, TextOptions};

/// Fields of the index.
#[derive(Clone, Copy)]
pub(super) struct Fields {
    /// Position of the type in the library.
    pub(super) position: Field,
    /// Runs of two and three letters of all inscriptions, confusable letters folded.
    pub(super) letters: Field,
    /// Motifs with their ancestors and usual parts.
    pub(super) motifs: Field,
}

/// The schema and its fields.
pub(super) fn schema() -> (Schema, Fields) {
    let mut builder = Schema::builder();
    let words = |record| {
        TextOptions::default().set_indexing_options(
            TextFieldIndexing::default()
                .set_tokenizer("whitespace")
                .set_index_option(record),
        )
    };
    let fields = Fields {
        position: builder.add_u64_field("position", FAST),
        letters: builder.add_text_field("letters", words(IndexRecordOption::WithFreqs)),
        motifs: builder.add_text_field("motifs", words(IndexRecordOption::Basic)),
    };
    (builder.build(), fields)
}

/// Runs of two and three letters, folded; single letters too when there are no more.
pub(super) fn letter_runs(letters: &[char]) -> Vec<String> {
    let folded: Vec<char> = letters.iter().copied().map(worn_family).collect();
    let mut runs: Vec<String> = folded
        .windows(2)
        .chain(folded.windows(3))
        .map(|run| run.iter().collect())
        .collect();
    // A letter passed over or misread breaks a run; every other letter still tells.
    runs.extend(
        folded
            .windows(3)
            .map(|run| format!("{}_{}", run[0], run[2])),
    );
    if folded.len() == 1 {
        runs.push(folded.iter().collect());
    }
    runs
}
