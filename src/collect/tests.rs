use super::*;
use tempfile::TempDir;

fn stamp() -> Stamp {
    Stamp::new("finder", "2026-03-14T10:00:00Z")
}

fn shelf() -> (TempDir, Shelf) {
    let folder = tempfile::tempdir().unwrap();
    let shelf = Shelf::open(folder.path(), Access::Write).unwrap();
    (folder, shelf)
}

fn a_find(id: &str) -> NewFind {
    let mut entry = Entry::new(id);
    entry.words = "silver, 17 mm, long cross".into();
    entry.metal = Some("silver".into());
    entry.weight_g = Some(1.21);
    NewFind::of(entry)
}

#[test]
fn a_find_kept_is_there_when_the_shelf_is_opened_again() {
    let (folder, mut shelf) = shelf();
    let farm = Land::new("NETHER", LandKind::Holding, "Netherfold Farm");
    let farm = shelf.add_land(&stamp(), farm).unwrap();
    let mut field = Land::new("LONGACRE", LandKind::Field, "Long Acre");
    field.parent = Some(farm.key);
    let field = shelf.add_land(&stamp(), field).unwrap();
    let mut new = a_find("LA-1");
    new.entry.land = Some(field.key);
    new.entry.findspot = Some("SP 1234 5678".into());
    new.entry.found_on = Some("2026-3-14".into());
    new.identified = Some(Identified::new("penny of Edward I"));
    new.tags = vec!["to show".into(), "to show".into()];
    let (kept, _) = shelf.add_find(&stamp(), new).unwrap();
    drop(shelf);
    let shelf = Shelf::open(folder.path(), Access::Read).unwrap();
    let read = shelf.find("la1").unwrap();
    assert_eq!(read, kept);
    assert_eq!(read.entry.east, Some(412_340));
    assert_eq!(read.entry.found_on.as_deref(), Some("2026-03-14"));
    assert_eq!(read.tags, ["to show"]);
    assert_eq!(read.land, Some(("LONGACRE".into(), "Long Acre".into())));
    let holding = shelf.holding("NETHER").unwrap();
    assert_eq!(
        (holding.finds, holding.land.name.as_str()),
        (1, "Netherfold Farm")
    );
    let mut filter = Filter {
        land: Some("NETHER".into()),
        ..Filter::default()
    };
    assert_eq!(
        shelf.list(&filter).unwrap()[0].identified.as_deref(),
        Some("penny of Edward I")
    );
    filter.status = Some(Status::WithMuseum);
    assert!(shelf.list(&filter).unwrap().is_empty());
    assert_eq!(shelf.count(&Filter::default()).unwrap(), 1);
}

#[test]
fn an_edit_is_undone_and_the_undo_too() {
    let (_folder, mut shelf) = shelf();
    shelf.add_find(&stamp(), a_find("LA-1")).unwrap();
    let edited = shelf
        .edit_find(&stamp(), "LA-1", |find| find.weight_g = Some(1.3))
        .unwrap();
    assert_eq!(edited.entry.weight_g, Some(1.3));
    let undo = shelf.undo(&stamp(), 2).unwrap();
    assert_eq!((undo.seq, undo.undoes), (3, Some(2)));
    assert_eq!(shelf.find("LA-1").unwrap().entry.weight_g, Some(1.21));
    assert_eq!(
        shelf.undo(&stamp(), 2).unwrap_err().kind,
        Kind::ChangedSince
    );
    shelf.undo(&stamp(), 3).unwrap();
    assert_eq!(shelf.find("LA-1").unwrap().entry.weight_g, Some(1.3));
    assert_eq!(shelf.act(2).unwrap().undone_by, None);
}

#[test]
fn what_was_changed_since_is_not_undone() {
    let (_folder, mut shelf) = shelf();
    shelf.add_find(&stamp(), a_find("LA-1")).unwrap();
    shelf
        .edit_find(&stamp(), "LA-1", |find| find.notes = "bent".into())
        .unwrap();
    let fault = shelf.undo(&stamp(), 1).unwrap_err();
    assert_eq!(fault.kind, Kind::ChangedSince);
    assert!(
        fault.to_string().contains("by act 2 (edit find LA-1"),
        "{fault}"
    );
    shelf.undo(&stamp(), 2).unwrap();
    shelf.undo(&stamp(), 1).unwrap();
    assert_eq!(shelf.find("LA-1").unwrap_err().kind, Kind::Unknown);
}

#[test]
fn a_find_taken_away_comes_back_whole() {
    let (_folder, mut shelf) = shelf();
    let mut new = a_find("LA-1");
    new.identified = Some(Identified::new("penny"));
    new.tags = vec!["x".into()];
    shelf.add_find(&stamp(), new).unwrap();
    let day = Some("2026-03-20".to_string());
    let before = shelf
        .set_status(&stamp(), "LA-1", Status::WithOfficer, day, None)
        .unwrap();
    shelf.remove_find(&stamp(), "LA-1").unwrap();
    assert_eq!(shelf.count(&Filter::default()).unwrap(), 0);
    shelf.undo(&stamp(), 3).unwrap();
    assert_eq!(shelf.find("LA-1").unwrap(), before);
}

#[test]
fn look_alikes_and_taken_ids_are_refused() {
    let (_folder, mut shelf) = shelf();
    shelf.add_find(&stamp(), a_find("LA-1")).unwrap();
    for id in ["LA-1", "la 1", "L\u{410}-1"] {
        let fault = shelf.add_find(&stamp(), a_find(id)).unwrap_err();
        assert_eq!(fault.kind, Kind::Taken, "{fault}");
    }
    assert_eq!(shelf.last_act().unwrap(), 1);
}

#[test]
fn what_is_not_possible_is_refused_and_nothing_kept() {
    let (_folder, mut shelf) = shelf();
    let refused = |change: fn(&mut Entry)| {
        let mut new = a_find("LA-1");
        change(&mut new.entry);
        new
    };
    let all: [fn(&mut Entry); 9] = [
        |find| find.weight_g = Some(-1.0),
        |find| find.diameter_mm = Some(f64::NAN),
        |find| find.die_axis = Some(13),
        |find| find.metal = Some("mithril".into()),
        |find| find.depth_cm = Some(1e9),
        |find| find.found_on = Some("2026-02-30".into()),
        |find| find.findspot = Some("QQ 12".into()),
        |find| find.notes = "x".repeat(10_000_000),
        |find| find.id = "a\u{1b}b".into(),
    ];
    for change in all {
        let fault = shelf.add_find(&stamp(), refused(change)).unwrap_err();
        assert_eq!(fault.kind, Kind::Field, "{fault}");
    }
    let two = vec![a_find("A"), refused(|find| find.weight_g = Some(0.0))];
    assert!(shelf.add_finds(&stamp(), two).is_err());
    assert_eq!(shelf.count(&Filter::default()).unwrap(), 0);
}

#[test]
fn an_identification_is_confirmed_and_the_earlier_kept() {
    let (_folder, mut shelf) = shelf();
    shelf.add_find(&stamp(), a_find("LA-1")).unwrap();
    let none = shelf.confirm(&stamp(), "LA-1", Confirmer::Own, None, None, None);
    assert_eq!(none.unwrap_err().kind, Kind::Unknown);
    shelf
        .identify(&stamp(), "LA-1", Identified::new("penny"))
        .unwrap();
    shelf
        .identify(&stamp(), "LA-1", Identified::new("halfpenny"))
        .unwrap();
    let book = shelf.confirm(&stamp(), "LA-1", Confirmer::Book, None, None, None);
    assert_eq!(book.unwrap_err().kind, Kind::Field);
    let by = Some("record 12".to_string());
    let kept = shelf
        .confirm(&stamp(), "LA-1", Confirmer::Officer, by, None, None)
        .unwrap();
    assert_eq!(kept.identified[0].text, "halfpenny");
    assert_eq!(kept.identified[0].confirmed_by, Some(Confirmer::Officer));
    assert_eq!(kept.identified[1].standing, Standing::Earlier);
}

#[test]
fn land_that_finds_lie_on_is_not_taken_away() {
    let (_folder, mut shelf) = shelf();
    let land = shelf
        .add_land(&stamp(), Land::new("F", LandKind::Field, "Field"))
        .unwrap();
    let leave = Leave {
        to_day: Some("2025-12-31".into()),
        ..Leave::default()
    };
    shelf
        .keep_for_land(&stamp(), "F", OfLand::Leave(leave))
        .unwrap();
    let mut new = a_find("LA-1");
    new.entry.land = Some(land.key);
    shelf.add_find(&stamp(), new).unwrap();
    assert_eq!(
        shelf.remove_land(&stamp(), "F").unwrap_err().kind,
        Kind::InUse
    );
    assert_eq!(shelf.undo(&stamp(), 1).unwrap_err().kind, Kind::InUse);
    shelf.remove_find(&stamp(), "LA-1").unwrap();
    shelf.remove_land(&stamp(), "F").unwrap();
    assert!(shelf.lands().unwrap().is_empty());
}

#[test]
fn what_is_no_shelf_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let none = Shelf::open(&folder.path().join("none"), Access::Read);
    assert_eq!(none.unwrap_err().kind, Kind::NotThere);
    let path = folder.path().join("shelf.sqlite");
    std::fs::write(&path, "not a database, but a text of some length").unwrap();
    let fault = Shelf::open(folder.path(), Access::Write).unwrap_err();
    assert!(fault.to_string().contains("shelf.sqlite"), "{fault}");
    std::fs::remove_file(&path).unwrap();
    let other = rusqlite::Connection::open(&path).unwrap();
    other
        .execute_batch("CREATE TABLE t (x); PRAGMA user_version = 1")
        .unwrap();
    drop(other);
    for access in [Access::Read, Access::Write] {
        let fault = Shelf::open(folder.path(), access).unwrap_err();
        assert_eq!(fault.kind, Kind::NotAShelf, "{fault}");
    }
}

#[test]
fn a_shelf_of_a_newer_lynchet_is_refused() {
    let (folder, shelf) = shelf();
    shelf.db.pragma_update(None, "user_version", 999).unwrap();
    drop(shelf);
    for access in [Access::Read, Access::Write] {
        let fault = Shelf::open(folder.path(), access).unwrap_err();
        assert_eq!(fault.kind, Kind::Newer, "{fault}");
    }
}

#[test]
fn a_reader_cannot_write_and_sees_what_a_writer_confirms() {
    let (folder, mut shelf) = shelf();
    let mut reader = Shelf::open(folder.path(), Access::Read).unwrap();
    shelf.add_find(&stamp(), a_find("LA-1")).unwrap();
    assert_eq!(reader.find("LA-1").unwrap().entry.id, "LA-1");
    let fault = reader.add_find(&stamp(), a_find("LA-2")).unwrap_err();
    assert_eq!(fault.kind, Kind::ReadOnly);
}
