//! Filling the index from a library.
//!
//! Types go in the likelier first, so that where two match alike the index gives
//! the likelier; one segment, since it never changes.

use tantivy::indexer::NoMergePolicy;
use tantivy::{Index, IndexWriter, TantivyDocument};

use super::IndexFault;
use super::fields::{letter_runs, schema};
use crate::catalogue::{Catalogue, Face, Glyph};

/// Memory the writer may use before it cuts a segment; tantivy wants at least 15 MB.
const WRITER_BYTES: usize = 50_000_000;

/// Adds every type and commits.
pub(super) fn fill(
    index: &Index,
    catalogue: &Catalogue,
    priority: &[f64],
) -> Result<(), IndexFault> {
    let mut writer: IndexWriter = index.writer_with_num_threads(1, WRITER_BYTES)?;
    writer.set_merge_policy(Box::new(NoMergePolicy));
    let mut order: Vec<usize> = (0..catalogue.types.len()).collect();
    order.sort_by(|a, b| priority[*b].total_cmp(&priority[*a]).then(a.cmp(b)));
    for position in order {
        writer.add_document(document(position, catalogue))?;
    }
    writer.commit()?;
    writer.wait_merging_threads()?;
    Ok(())
}

fn document(position: usize, catalogue: &Catalogue) -> TantivyDocument {
    let (_, fields) = schema();
    let coin = &catalogue.types[position];
    let mut document = TantivyDocument::default();
    document.add_u64(fields.position, position as u64);
    for face in Catalogue::faces(coin) {
        document.add_text(fields.letters, letters(face, catalogue));
        document.add_text(
            fields.motifs,
            motifs(face.motifs.as_deref().unwrap_or(&[]), catalogue),
        );
    }
    document.add_text(fields.motifs, motifs(&coin.marks, catalogue));
    document
}

/// Letter runs of a face's inscriptions, each read as a ring.
fn letters(face: &Face, catalogue: &Catalogue) -> String {
    let mut runs: Vec<String> = Vec::new();
    let borne = face.inscriptions.as_deref().unwrap_or(&[]);
    for spelling in borne
        .iter()
        .flat_map(|inscription| &catalogue.inscriptions[*inscription].forms)
    {
        let parts = spelling
            .glyphs
            .split(|g| *g == Glyph::Free)
            .collect::<Vec<_>>();
        let ring = parts.len() == 1;
        for part in parts {
            let mut letters: Vec<char> = part
                .iter()
                .filter_map(|g| {
                    if let Glyph::Letter(c) = g {
                        Some(*c)
                    } else {
                        None
                    }
                })
                .collect();
            if ring {
                letters.extend_from_within(..letters.len().min(2));
            }
            runs.extend(letter_runs(&letters));
        }
    }
    runs.sort_unstable();
    runs.dedup();
    runs.join(" ")
}

/// Motifs with their ancestors and parts, and the parts' ancestors.
fn motifs(shown: &[usize], catalogue: &Catalogue) -> String {
    let mut all: Vec<usize> = Vec::new();
    for motif in shown {
        let motif = *motif;
        all.push(motif);
        all.extend(&catalogue.motifs[motif].ancestors);
        for part in &catalogue.motifs[motif].parts {
            all.push(*part);
            all.extend(&catalogue.motifs[*part].ancestors);
        }
    }
    all.sort_unstable();
    all.dedup();
    all.iter()
        .map(|m| catalogue.motifs[*m].id.as_str())
        .collect::<Vec<_>>()
        .join(" ")
}
