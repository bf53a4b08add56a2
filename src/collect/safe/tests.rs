//! Backup and restore beside the code: what agrees, what is said, what is one instant.

use std::fs;

use super::*;
use crate::collect::{
    Access, Entry, Identified, Land, LandKind, NewFind, NewPhotograph, Shelf, Stamp,
};
use crate::photo::{Form, Picture, packed};

fn stamp() -> Stamp {
    Stamp::new("finder", "2026-03-14T10:00:00Z")
}

/// A small picture that is like no other.
fn picture(shade: u8) -> NewPhotograph {
    let picture = Picture::new(4, 4, vec![shade; 48]).unwrap();
    NewPhotograph {
        bytes: packed(&picture, Form::Png, None).unwrap(),
        name: format!("{shade}.png"),
        view: Some("obverse".into()),
        taken: None,
    }
}

fn filled(folder: &Path) -> Shelf {
    let mut shelf = Shelf::open(folder, Access::Write).unwrap();
    let land = Land::new("F1", LandKind::Field, "Long Acre");
    let land = shelf.add_land(&stamp(), land).unwrap();
    for at in 1..=3 {
        let mut entry = Entry::new(&format!("N-{at}"));
        entry.land = Some(land.key);
        let mut new = NewFind::of(entry);
        new.identified = Some(Identified::new("penny"));
        shelf.add_find(&stamp(), new).unwrap();
        let id = format!("N-{at}");
        shelf
            .add_photographs(&stamp(), &id, vec![picture(at)])
            .unwrap();
    }
    shelf
}

#[test]
fn a_backup_restored_is_the_same_shelf() {
    let folder = tempfile::tempdir().unwrap();
    let shelf = filled(&folder.path().join("shelf"));
    let file = folder.path().join("b.zip");
    let backed = shelf.backup(&file).unwrap();
    assert_eq!((backed.finds, backed.files), (3, 3));
    let again = folder.path().join("again/shelf");
    let restored = restore(&file, &again).unwrap();
    assert_eq!(
        (restored.finds, restored.files, restored.last_act),
        (3, 3, backed.last_act)
    );
    let other = Shelf::open(&again, Access::Write).unwrap();
    assert_eq!(other.find("N-2").unwrap(), shelf.find("N-2").unwrap());
    assert!(other.check(true).faults.is_empty());
    let left: Vec<_> = fs::read_dir(folder.path()).unwrap().flatten().collect();
    assert_eq!(left.len(), 3, "{left:?}");
    assert_eq!(shelf.backup(&file).unwrap_err().kind, Kind::Taken);
    assert_eq!(restore(&file, &again).unwrap_err().kind, Kind::Taken);
}

#[test]
fn a_photograph_gone_or_cut_short_is_said_and_the_rest_backed_up() {
    let folder = tempfile::tempdir().unwrap();
    let shelf = filled(&folder.path().join("shelf"));
    let digest = |at: &str| shelf.find(at).unwrap().photographs[0].digest.clone();
    fs::remove_file(shelf.path_of(&digest("N-1"))).unwrap();
    fs::write(shelf.path_of(&digest("N-2")), "cut").unwrap();
    let file = folder.path().join("b.zip");
    let backed = shelf.backup(&file).unwrap();
    assert_eq!((backed.files, backed.missing.len()), (1, 2), "{backed:?}");
    let again = folder.path().join("again");
    let restored = restore(&file, &again).unwrap();
    assert_eq!(
        (restored.finds, restored.files, restored.missing.len()),
        (3, 1, 2)
    );
    assert_eq!(shelf.check(true).faults.len(), 2);
}

#[test]
fn a_backup_is_as_the_shelf_was_at_one_instant() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("shelf");
    let mut writer = filled(&place);
    let reader = Shelf::open(&place, Access::Read).unwrap();
    writer
        .add_find(&stamp(), NewFind::of(Entry::new("N-9")))
        .unwrap();
    writer
        .db
        .execute_batch("BEGIN IMMEDIATE; DELETE FROM tag")
        .unwrap();
    let backed = reader.backup(&folder.path().join("b.zip")).unwrap();
    assert_eq!(backed.finds, 4);
    writer.db.execute_batch("ROLLBACK").unwrap();
}
