//! A fault of the library and where it stands.
//!
//! A fault is made with the file, the row and the field; the line is found only
//! when the fault is shown, since reading a sound library should cost nothing for it.

use std::collections::BTreeMap;
use std::fmt;

/// What is wrong with the library, where, and what to do.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fault {
    /// File, relative to the library's folder.
    pub file: String,
    /// Line in that file, from 1; 0 for the file as a whole.
    pub line: usize,
    /// Row the fault is in, if any.
    pub id: String,
    /// Field the fault is in, if any.
    pub field: String,
    /// Name of the rule that found it.
    pub rule: &'static str,
    /// What is wrong, lower case, no full stop.
    pub what: String,
    /// What to do about it.
    pub mend: String,
}

impl Fault {
    /// A fault in a field of a row; leave `id` or `field` empty for the whole file or row.
    pub fn at(
        rule: &'static str,
        file: &str,
        id: &str,
        field: &str,
        what: impl Into<String>,
        mend: impl Into<String>,
    ) -> Fault {
        Fault {
            file: file.to_string(),
            line: 0,
            id: id.to_string(),
            field: field.to_string(),
            rule,
            what: what.into(),
            mend: mend.into(),
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}: ", self.file, self.line)?;
        if !self.id.is_empty() {
            write!(f, "[{}] ", self.id)?;
        }
        write!(f, "{}; {}", self.what, self.mend)
    }
}

/// Fills in the line of each fault and sorts them by file and line.
pub fn place(faults: &mut [Fault], files: &BTreeMap<String, String>) {
    for fault in faults.iter_mut().filter(|fault| fault.line == 0) {
        if let Some(text) = files.get(&fault.file) {
            fault.line = line_of(text, &fault.id, &fault.field);
        }
    }
    faults.sort();
}

/// Line on which a field of a row stands, or its row's heading, or 1.
fn line_of(text: &str, id: &str, field: &str) -> usize {
    let mut heading = 1;
    let mut inside = id.is_empty();
    for (number, line) in text.lines().enumerate() {
        let trimmed = line.trim_start();
        if let Some(name) = trimmed.strip_prefix('[') {
            let name = name
                .trim_start_matches('[')
                .split(']')
                .next()
                .unwrap_or("")
                .trim();
            let root = name.split('.').next().unwrap_or("").trim_matches('"');
            if root == id {
                if !inside {
                    heading = number + 1;
                }
                inside = true;
                if !field.is_empty() && name.ends_with(&format!(".{field}")) {
                    return number + 1;
                }
            } else if inside && !id.is_empty() {
                return heading;
            }
        } else if inside && !field.is_empty() {
            let key = trimmed.split(['=', '.']).next().unwrap_or("").trim();
            if key == field {
                return number + 1;
            }
        }
    }
    heading
}

#[cfg(test)]
mod tests {
    use super::line_of;

    #[test]
    fn a_fault_points_at_its_field_or_row() {
        let text =
            "# head\n[a]\nname = \"x\"\n\n[b]\nspan = [1, 2]\n[[b.standards]]\ncv = 1\n[c]\n";
        assert_eq!(line_of(text, "a", "name"), 3);
        assert_eq!(line_of(text, "b", "span"), 6);
        assert_eq!(line_of(text, "b", "standards"), 7);
        assert_eq!(line_of(text, "b", "missing"), 5);
        assert_eq!(line_of(text, "", ""), 1);
    }
}
