//! One line typed in the dialogue: a choice, a word of the dialogue, or more traits.
//!
//! A line is read up to a bound and the rest of it passed over, so that no input can fill the
//! memory. Judges nothing and prints nothing.

use std::io::{self, BufRead};

use crate::parse::LONGEST;
use crate::score::{Asks, Look};

/// What a line means.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Line {
    /// The reply of this place.
    Reply(usize),
    /// Not sure.
    NotSure,
    /// One step back.
    Back,
    /// Stop here.
    Stop,
    /// Anything else: traits in the finder's words, perhaps.
    Words(String),
}

/// Reads a line; `None` at the end of the input.
pub(super) fn read(input: &mut dyn BufRead) -> io::Result<Option<String>> {
    let mut line: Vec<u8> = Vec::new();
    let mut begun = false;
    loop {
        let held = match input.fill_buf() {
            Err(fault) if fault.kind() == io::ErrorKind::Interrupted => continue,
            held => held?,
        };
        if held.is_empty() {
            let text = || String::from_utf8_lossy(&line).into_owned();
            return Ok(begun.then(text));
        }
        begun = true;
        let end = held.iter().position(|byte| *byte == b'\n');
        let part = &held[..end.unwrap_or(held.len())];
        // A character has four bytes at most; the parse room cuts to its own bound and says so.
        let room = (4 * LONGEST + 4).saturating_sub(line.len());
        line.extend_from_slice(&part[..part.len().min(room)]);
        let used = end.map_or(held.len(), |end| end + 1);
        input.consume(used);
        if end.is_some() {
            return Ok(Some(String::from_utf8_lossy(&line).into_owned()));
        }
    }
}

/// What a line means as an answer to a look.
pub(super) fn heard(line: &str, look: &Look) -> Line {
    let line = line.trim();
    let yes_or_no = matches!(look.asks, Asks::Motif { .. });
    match line.to_lowercase().as_str() {
        "q" | "quit" | "stop" | "exit" => return Line::Stop,
        "b" | "back" => return Line::Back,
        "0" | "n" | "not sure" | "unsure" | "don't know" | "?" => return Line::NotSure,
        "y" | "yes" if yes_or_no => return Line::Reply(0),
        "no" if yes_or_no => return Line::Reply(1),
        _ => {}
    }
    let choice = line.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
    match choice.filter(|choice| *choice < look.replies.len()) {
        Some(choice) => Line::Reply(choice),
        None => Line::Words(line.to_string()),
    }
}
