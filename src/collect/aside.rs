//! What was worked out of the shelf and can be worked out again, kept aside in its folder.
//!
//! Knows nothing of what it keeps but what that was made of. Everything here may be deleted at any
//! time: every failure to write is passed over, and every failure to read means "work it out again".
//! Kept with the shelf and nowhere else, since it tells of the finds.
//!
//! Invariant: what is read was written whole, of the shelf as of the act that is named.

use std::fs;

use rusqlite::OptionalExtension;

use super::Shelf;
use super::fault::ShelfFault;
use super::files::digest_of;

/// The folder.
pub(super) const ASIDE: &str = "learnt";
/// Most bytes of what is kept of one name.
const BYTES_MOST: u64 = 8 * 1024 * 1024;

impl Shelf {
    /// The last act with its time, so that another shelf's acts, or those of a backup put back, are
    /// not taken for these.
    pub fn as_of(&self) -> Result<String, ShelfFault> {
        let last = "SELECT seq, at FROM act ORDER BY seq DESC LIMIT 1";
        let last: Option<(i64, String)> = self
            .db
            .query_row(last, [], |row| Ok((row.get(0)?, row.get(1)?)))
            .optional()?;
        let (seq, at) = last.unwrap_or_default();
        Ok(format!("{seq} {at}"))
    }

    /// What was kept aside under a name, if it was made of just this.
    pub fn aside(&self, name: &str, made_of: &str) -> Option<Vec<u8>> {
        let path = self.folder.join(ASIDE).join(name);
        let about = fs::symlink_metadata(&path).ok()?;
        if !about.is_file() || about.len() > BYTES_MOST {
            return None;
        }
        let held = fs::read(path).ok()?;
        let head = head(&held, made_of.len())?;
        let (sum, said, bytes) = head;
        (said == made_of.as_bytes() && sum == digest_of(&[said, bytes].concat()).as_bytes())
            .then(|| bytes.to_vec())
    }

    /// Keeps bytes aside under a name of letters, figures and hyphens, in the place of what was there.
    pub fn keep_aside(&self, name: &str, made_of: &str, bytes: &[u8]) {
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if name.is_empty() || !name.chars().all(plain) || bytes.len() as u64 > BYTES_MOST / 2 {
            return;
        }
        let folder = self.folder.join(ASIDE);
        let sum = digest_of(&[made_of.as_bytes(), bytes].concat());
        let held = [sum.as_bytes(), b"\n", made_of.as_bytes(), b"\n", bytes].concat();
        // Written beside and renamed, so that a half-written file is never read.
        let beside = folder.join(format!("{name}.{}.tmp", std::process::id()));
        let written = fs::create_dir_all(&folder).and_then(|()| fs::write(&beside, held));
        let _ = written.and_then(|()| fs::rename(&beside, folder.join(name)));
        let _ = fs::remove_file(&beside);
    }
}

/// The sum of a file, what it was made of, which has so many bytes, and what is kept.
fn head(held: &[u8], made_of: usize) -> Option<(&[u8], &[u8], &[u8])> {
    let (sum, rest) = held.split_at_checked(64)?;
    let rest = rest.strip_prefix(b"\n")?;
    let (said, rest) = rest.split_at_checked(made_of)?;
    Some((sum, said, rest.strip_prefix(b"\n")?))
}

#[cfg(test)]
mod tests {
    use super::super::{Access, Entry, NewFind, Stamp};
    use super::*;

    #[test]
    fn what_is_kept_aside_comes_back_whole_and_only_as_of_its_act() {
        let folder = tempfile::tempdir().unwrap();
        let mut shelf = Shelf::open(folder.path(), Access::Write).unwrap();
        let before = shelf.as_of().unwrap();
        shelf.keep_aside("all", &before, b"what was learnt");
        assert_eq!(shelf.aside("all", &before).unwrap(), b"what was learnt");
        assert_eq!(shelf.aside("land-1", &before), None);
        let stamp = Stamp::new("finder", "2026-03-14T10:00:00Z");
        shelf
            .add_find(&stamp, NewFind::of(Entry::new("A")))
            .unwrap();
        let after = shelf.as_of().unwrap();
        assert_ne!(before, after);
        assert_eq!(shelf.aside("all", &after), None);
        shelf.keep_aside("all", &after, b"more");
        let kept = folder.path().join(ASIDE).join("all");
        let whole = fs::read(&kept).unwrap();
        for place in 0..whole.len() {
            let mut spoilt = whole.clone();
            spoilt[place] ^= 1;
            fs::write(&kept, &spoilt).unwrap();
            assert_eq!(shelf.aside("all", &after), None, "byte {place}");
            fs::write(&kept, &whole[..place]).unwrap();
            assert_eq!(shelf.aside("all", &after), None, "cut at {place}");
        }
        shelf.keep_aside("../all", &after, b"elsewhere");
        assert!(!folder.path().join("all").exists());
        assert_eq!(fs::read_dir(folder.path().join(ASIDE)).unwrap().count(), 1);
    }
}
