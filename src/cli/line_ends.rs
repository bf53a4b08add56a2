//! Line ends: whatever a table was saved with, read as one newline a line.
//!
//! Spreadsheets write a return, a newline or both; counted as they come, a row's line
//! would be off. Changes nothing else, except that the last line gets its newline.

use std::io::{self, Read};

/// A reader that gives newlines only.
pub(super) struct LineEnds<R> {
    source: R,
    after_return: bool,
    last: u8,
}

impl<R: Read> LineEnds<R> {
    /// Over a source.
    pub(super) fn new(source: R) -> LineEnds<R> {
        LineEnds {
            source,
            after_return: false,
            last: b'\n',
        }
    }

    /// Folds what was read in place; gives how many bytes are left.
    fn fold(&mut self, bytes: &mut [u8]) -> usize {
        let mut kept = 0;
        for at in 0..bytes.len() {
            let byte = bytes[at];
            let second_of_pair = byte == b'\n' && self.after_return;
            self.after_return = byte == b'\r';
            if !second_of_pair {
                bytes[kept] = if byte == b'\r' { b'\n' } else { byte };
                self.last = bytes[kept];
                kept += 1;
            }
        }
        kept
    }
}

impl<R: Read> Read for LineEnds<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        loop {
            let read = self.source.read(into)?;
            if read == 0 && self.last != b'\n' && !into.is_empty() {
                into[0] = b'\n';
                self.last = b'\n';
                return Ok(1);
            }
            // A buffer that held only the second half of a pair is no end of the table.
            let kept = self.fold(&mut into[..read]);
            if kept > 0 || read == 0 {
                return Ok(kept);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_of_line_end_is_one_newline() {
        let mut text = String::new();
        let mut reader = LineEnds::new(&b"a\r\nb\rc\nd\r\n\r\ne"[..]);
        reader.read_to_string(&mut text).expect("reads");
        assert_eq!(text, "a\nb\nc\nd\n\ne\n");
    }
}
