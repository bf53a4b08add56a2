//! The glossary as a page: the one that stands in the documents, held in the program.
//!
//! Reads its own text and nothing else.
//!
//! Invariant: every entry of the document stands on the page, in its order.

use maud::html;

use crate::web::asked::Asked;
use crate::web::desk::Desk;
use crate::web::page::{Place, sentence};
use crate::web::reply::Reply;

/// The document.
const TEXT: &str = include_str!("../../../docs/glossary.md");

/// The page.
pub(super) fn page(_: &Desk, _: &Asked) -> Reply {
    Reply::Page {
        place: Place::Help,
        title: "Glossary".into(),
        body: html! {
            h1 { "Glossary" }
            p { "Words of the trade as they are used here." }
            dl.words {
                @for (term, text) in entries(TEXT) { dt { (term) } dd { (sentence(&text)) } }
            }
        },
    }
}

/// Terms, each with what it means, of lines such as `- **flan**: the blank piece of metal.`
fn entries(text: &str) -> Vec<(String, String)> {
    let line = |line: &str| {
        let (term, rest) = line.strip_prefix("- **")?.split_once("**")?;
        let rest = rest.trim_start_matches(':').trim();
        Some((term.to_string(), plain(rest)))
    };
    text.lines().filter_map(line).collect()
}

/// Text without the signs of its markup: of a link its words alone.
fn plain(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, link)) = rest.split_once('[') {
        out.push_str(before);
        match link.split_once("](").and_then(|(words, more)| {
            let (_, after) = more.split_once(')')?;
            Some((words, after))
        }) {
            Some((words, after)) => {
                out.push_str(words);
                rest = after;
            }
            None => {
                out.push('[');
                rest = link;
            }
        }
    }
    out.push_str(rest);
    out.replace('`', "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_entry_of_the_document_is_read() {
        let lines = TEXT.lines().filter(|line| line.starts_with("- ")).count();
        let entries = entries(TEXT);
        assert_eq!(entries.len(), lines);
        assert!(lines > 60, "{lines}");
        assert!(
            entries
                .iter()
                .all(|(term, text)| !term.is_empty() && !text.is_empty())
        );
    }

    #[test]
    fn links_become_their_words() {
        assert_eq!(
            plain("kept; see [shelf.md](shelf.md), `so`."),
            "kept; see shelf.md, so."
        );
        assert_eq!(plain("letters [lost] stay"), "letters [lost] stay");
    }
}
