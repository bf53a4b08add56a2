//! BM25 as tantivy has it by default, over one field of words a type.
//!
//! The words of a type are its names, those of its ruler, mints, denomination, metal and period, its
//! legends and the words of its motifs; the words of a find are what its finder wrote. Letters go in
//! as threes besides, since a worn reading seldom holds a whole word. Invariant: the index is in
//! memory and no other knows of it.

use std::collections::BTreeSet;

use lynchet::catalogue::{Catalogue, CoinType};
use lynchet::find::{Find, Making, Mark};
use tantivy::collector::TopDocs;
use tantivy::query::{BooleanQuery, Occur, Query, TermQuery};
use tantivy::schema::{FAST, Field, IndexRecordOption, Schema, TEXT};
use tantivy::{Index, IndexReader, TantivyDocument, Term};

use super::exam::Given;

pub struct Words {
    reader: IndexReader,
    text: Field,
    types: usize,
}

impl Words {
    pub fn of(library: &Catalogue) -> Result<Words, tantivy::TantivyError> {
        let mut schema = Schema::builder();
        let text = schema.add_text_field("text", TEXT);
        let place = schema.add_u64_field("place", FAST);
        let index = Index::create_in_ram(schema.build());
        let mut writer = index.writer_with_num_threads(1, 50_000_000)?;
        for (position, coin) in library.types.iter().enumerate() {
            let mut document = TantivyDocument::new();
            document.add_text(text, words_of_type(coin, library).join(" "));
            document.add_u64(place, position as u64);
            writer.add_document(document)?;
        }
        writer.commit()?;
        Ok(Words {
            reader: index.reader()?,
            text,
            types: library.types.len(),
        })
    }

    /// The types by the score of the find's words.
    pub fn given(&self, find: &Find) -> Result<Given, tantivy::TantivyError> {
        let term = |word: &String| -> (Occur, Box<dyn Query>) {
            let term = Term::from_field_text(self.text, word);
            let query = TermQuery::new(term, IndexRecordOption::WithFreqs);
            (Occur::Should, Box::new(query))
        };
        let query = BooleanQuery::new(words_of_find(find).iter().map(term).collect());
        let searcher = self.reader.searcher();
        let best = TopDocs::with_limit(self.types).order_by_score();
        let mut figures = vec![0.0; self.types];
        for (score, address) in searcher.search(&query, &best)? {
            let column = searcher.segment_reader(address.segment_ord).fast_fields();
            let place = column.u64("place")?.first(address.doc_id).unwrap_or(0);
            figures[place as usize] = f64::from(score);
        }
        Ok(Given::Figures(figures))
    }
}

/// Runs of three letters, as words that no other word is like.
fn threes(letters: &[char]) -> Vec<String> {
    let three = |three: &[char]| three.iter().collect::<String>().to_lowercase() + "xyz";
    letters.windows(3).map(three).collect()
}

fn words_of_type(coin: &CoinType, library: &Catalogue) -> Vec<String> {
    let mut words = vec![
        coin.name.clone(),
        library.denominations[coin.denomination].name.clone(),
        library.metals[coin.metal].name.clone(),
        library.metals[coin.metal].looks.name().to_string(),
        library.periods[coin.period].name.clone(),
        made(coin.made).to_string(),
    ];
    words.extend(
        library.denominations[coin.denomination]
            .words
            .iter()
            .cloned(),
    );
    if let Some(ruler) = coin.ruler {
        words.push(library.rulers[ruler].name.clone());
        words.extend(library.rulers[ruler].words.iter().cloned());
    }
    words.extend(
        coin.mints
            .iter()
            .map(|mint| library.mints[*mint].name.clone()),
    );
    let mut letters = BTreeSet::new();
    for face in Catalogue::faces(coin) {
        for motif in face.motifs.iter().flatten().chain(&coin.marks) {
            words.push(library.motifs[*motif].name.clone());
            words.extend(library.motifs[*motif].words.iter().cloned());
        }
        for inscription in face.inscriptions.iter().flatten() {
            for form in &library.inscriptions[*inscription].forms {
                words.push(form.text.clone());
                let plain: String = form.text.chars().filter(|c| !c.is_whitespace()).collect();
                let folded: Vec<char> = plain.chars().flat_map(letters_of).collect();
                letters.extend(threes(&folded));
            }
        }
    }
    words.extend(letters);
    words
}

fn letters_of(c: char) -> Vec<char> {
    lynchet::find::fold(c).chars().collect()
}

fn made(making: Making) -> &'static str {
    match making {
        Making::Hammered => "hammered",
        Making::Milled => "milled",
        Making::Cast => "cast",
    }
}

fn words_of_find(find: &Find) -> Vec<String> {
    let mut told: Vec<String> = Vec::new();
    told.extend(find.metal.map(|(seen, _)| seen.name().to_string()));
    told.extend(find.making.map(|making| made(making).to_string()));
    told.extend(find.date_on_piece.map(|year| year.to_string()));
    told.extend(find.opinions.iter().map(|one| one.said.clone()));
    let seen = find.sightings.iter().filter(|sighting| sighting.present);
    told.extend(seen.map(|sighting| sighting.said.clone()));
    let whole = told.join(" ").to_lowercase();
    let mut words: Vec<String> = whole
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_string)
        .collect();
    for reading in &find.readings {
        let mut run: Vec<char> = Vec::new();
        for mark in reading.marks.iter().chain([&Mark::Gap]) {
            match mark {
                Mark::Letter { letter, .. } => run.push(*letter),
                Mark::OneOf(letters) => run.extend(letters.first()),
                Mark::Break => {}
                Mark::Lost(_) | Mark::AboutLost(_) | Mark::Gap => {
                    words.extend(threes(&run));
                    words.push(run.iter().collect::<String>().to_lowercase());
                    run.clear();
                }
            }
        }
    }
    words.retain(|word| !word.is_empty());
    words
}
