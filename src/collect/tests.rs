//! The shelf's own tests: what is kept, taken back, found, refused and checked.

#[cfg(test)]
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
    assert_eq!(shelf.act(2, 9).unwrap().undone_by, None);
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

/// A picture of one colour, as PNG.
fn picture(colour: u8) -> Vec<u8> {
    let plain = crate::photo::Picture::plain(12, 9, [colour; 3]);
    crate::photo::packed(&plain, crate::photo::Form::Png, None).unwrap()
}

fn photograph(colour: u8, name: &str) -> NewPhotograph {
    NewPhotograph {
        bytes: picture(colour),
        name: name.into(),
        view: Some("obverse".into()),
        taken: None,
    }
}

#[test]
fn photographs_are_kept_by_their_digest_and_checked() {
    let (_folder, mut shelf) = shelf();
    let mut new = a_find("LA-1");
    new.photographs = vec![photograph(10, "../../etc/passwd\u{202e}.png")];
    let (kept, _) = shelf.add_find(&stamp(), new).unwrap();
    let one = kept.photographs[0].clone();
    assert_eq!((one.width, one.height, one.place), (12, 9, 1));
    assert_eq!(one.name, "passwd .png");
    assert_eq!(shelf.bytes_of(&one.digest).unwrap(), picture(10));
    let again = shelf.add_photographs(&stamp(), "LA-1", vec![photograph(10, "same.png")]);
    assert_eq!(again.unwrap_err().kind, Kind::Taken);
    let more = vec![photograph(20, "b.png")];
    let (kept, _) = shelf.add_photographs(&stamp(), "LA-1", more).unwrap();
    assert_eq!(kept.photographs[1].place, 2);
    let text = NewPhotograph {
        bytes: b"no picture".to_vec(),
        ..NewPhotograph::default()
    };
    let fault = shelf
        .add_photographs(&stamp(), "LA-1", vec![text])
        .unwrap_err();
    assert_eq!(fault.kind, Kind::File, "{fault}");
    let health = shelf.check(true);
    assert_eq!(
        (health.faults.len(), health.files, health.orphans.len()),
        (0, 2, 0)
    );
    // Taken away and put back: the file was there all the time.
    shelf.remove_photograph(&stamp(), "LA-1", 1).unwrap();
    assert_eq!(shelf.check(true).orphans.len(), 0);
    let last = shelf.last_act().unwrap();
    shelf.undo(&stamp(), last).unwrap();
    assert_eq!(shelf.find("LA-1").unwrap().photographs.len(), 2);
}

#[test]
fn the_check_names_what_is_gone_cut_short_changed_or_unnamed() {
    let (folder, mut shelf) = shelf();
    for (colour, id) in [(10, "A"), (20, "B"), (30, "C")] {
        let mut new = a_find(id);
        new.photographs = vec![photograph(colour, "a.png")];
        shelf.add_find(&stamp(), new).unwrap();
    }
    let path = |id: &str| shelf.path_of(&shelf.find(id).unwrap().photographs[0].digest);
    std::fs::remove_file(path("A")).unwrap();
    std::fs::write(path("B"), b"short").unwrap();
    let mut changed = picture(30);
    changed[40] ^= 1;
    std::fs::write(path("C"), changed).unwrap();
    let orphan = folder.path().join("files/ab/.cut.1.part");
    std::fs::create_dir_all(orphan.parent().unwrap()).unwrap();
    std::fs::write(&orphan, b"half").unwrap();
    let health = shelf.check(true);
    let said: Vec<String> = health.faults.iter().map(ToString::to_string).collect();
    assert_eq!(said.len(), 3, "{said:?}");
    for (place, word) in ["(a photograph of A) is gone", "has 5 bytes", "was changed"]
        .iter()
        .enumerate()
    {
        assert!(said[place].contains(word), "{}", said[place]);
    }
    assert_eq!(health.orphans.len(), 1);
    let digest = shelf.find("B").unwrap().photographs[0].digest.clone();
    assert_eq!(shelf.bytes_of(&digest).unwrap_err().kind, Kind::File);
    // Keeping the same picture again mends the file.
    let mut new = a_find("D");
    new.photographs = vec![photograph(20, "again.png")];
    shelf.add_find(&stamp(), new).unwrap();
    assert_eq!(shelf.bytes_of(&digest).unwrap(), picture(20));
}

#[cfg(unix)]
#[test]
fn a_link_in_the_place_of_the_files_is_refused() {
    let (folder, shelf) = shelf();
    drop(shelf);
    let elsewhere = tempfile::tempdir().unwrap();
    std::os::unix::fs::symlink(elsewhere.path(), folder.path().join("files")).unwrap();
    let fault = Shelf::open(folder.path(), Access::Write).unwrap_err();
    assert_eq!(fault.kind, Kind::NotAShelf, "{fault}");
    assert_eq!(std::fs::read_dir(elsewhere.path()).unwrap().count(), 0);
}

#[test]
fn words_find_what_is_kept_as_of_the_last_act() {
    let (folder, mut shelf) = shelf();
    let mut new = a_find("LA-1");
    new.entry.notes = "by the old hedge, \u{c9}tienne saw it".into();
    new.identified = Some(Identified::new("penny of Edward I"));
    new.tags = vec!["display".into()];
    let key = shelf.add_find(&stamp(), new).unwrap().0.entry.key;
    let found = |shelf: &Shelf, words: &str| shelf.search(words, 10).unwrap().keys;
    for words in [
        "silver",
        "LONG cross",
        "etienne",
        "edward",
        "display",
        "la-1",
        "hed",
        "in-hand",
    ] {
        assert_eq!(found(&shelf, words), [key], "{words}");
    }
    assert!(found(&shelf, "gold").is_empty() && found(&shelf, "").is_empty());
    let almost = shelf.search("edwurd", 10).unwrap();
    assert_eq!((almost.keys, almost.almost), (vec![key], true));
    shelf
        .edit_find(&stamp(), "LA-1", |find| find.notes = "in the barn".into())
        .unwrap();
    assert_eq!(
        (found(&shelf, "hedge"), found(&shelf, "barn")),
        (vec![], vec![key])
    );
    let last = shelf.last_act().unwrap();
    shelf.undo(&stamp(), last).unwrap();
    assert_eq!(found(&shelf, "hedge"), [key]);
    // Another process, a spoilt index, and none.
    let reader = Shelf::open(folder.path(), Access::Read).unwrap();
    assert_eq!(found(&reader, "hedge"), [key]);
    std::fs::write(folder.path().join("index/meta.json"), "spoilt").unwrap();
    let reader = Shelf::open(folder.path(), Access::Read).unwrap();
    assert_eq!(found(&reader, "hedge"), [key]);
    let writer = Shelf::open(folder.path(), Access::Write).unwrap();
    assert_eq!(found(&writer, "hedge"), [key]);
    shelf.remove_find(&stamp(), "LA-1").unwrap();
    assert!(found(&shelf, "hedge").is_empty());
}

#[test]
fn a_filter_holds_every_condition_that_was_said() {
    let (_folder, mut shelf) = shelf();
    for (id, found, grams) in [
        ("A", "2026-03-14", 1.0),
        ("B", "2026-04", 2.0),
        ("C", "2027", 3.0),
    ] {
        let mut new = a_find(id);
        new.entry.found_on = Some(found.into());
        new.entry.weight_g = Some(grams);
        shelf.add_find(&stamp(), new).unwrap();
    }
    let ids = |filter: Filter| -> String {
        assert_eq!(
            shelf.list(&filter).unwrap().len() as u64,
            shelf.count(&filter).unwrap()
        );
        shelf
            .list(&filter)
            .unwrap()
            .iter()
            .map(|one| one.id.clone())
            .collect()
    };
    let all = Filter::default();
    assert_eq!(ids(all.clone()), "ABC");
    assert_eq!(
        ids(Filter {
            order: Order::Found,
            ..all.clone()
        }),
        "CBA"
    );
    assert_eq!(
        ids(Filter {
            found_to: Some("2026".into()),
            ..all.clone()
        }),
        "AB"
    );
    assert_eq!(
        ids(Filter {
            found_from: Some("2026-04-01".into()),
            ..all.clone()
        }),
        "C"
    );
    assert_eq!(
        ids(Filter {
            weight_g: Some((1.5, 2.5)),
            ..all.clone()
        }),
        "B"
    );
    assert_eq!(
        ids(Filter {
            confirmed: Some(true),
            ..all.clone()
        }),
        ""
    );
    assert_eq!(
        ids(Filter {
            photographed: Some(false),
            ..all.clone()
        }),
        "ABC"
    );
    assert_eq!(
        ids(Filter {
            among: Some(vec![2, 3, 99]),
            ..all.clone()
        }),
        "BC"
    );
    let page = Filter {
        skip: 1,
        most: Some(1),
        ..all
    };
    assert_eq!(shelf.list(&page).unwrap()[0].id, "B");
    assert_eq!(shelf.count(&page).unwrap(), 3);
}

#[test]
fn land_keeps_leave_with_its_document_and_refuses_what_cannot_be() {
    let (_folder, mut shelf) = shelf();
    shelf
        .add_land(&stamp(), Land::new("F", LandKind::Field, "Field"))
        .unwrap();
    let leave = Leave {
        from_day: Some("2026".into()),
        to_day: Some("2026-12".into()),
        ..Leave::default()
    };
    let document = NewDocument {
        bytes: b"%PDF-1.7 agreed".to_vec(),
        name: "leave.pdf".into(),
    };
    shelf
        .keep_leave(&stamp(), "F", leave, Some(document))
        .unwrap();
    let kept = shelf.holding("F").unwrap().leave[0].clone();
    let digest = kept.document.unwrap();
    assert_eq!(shelf.bytes_of(&digest).unwrap(), b"%PDF-1.7 agreed");
    assert_eq!(
        shelf.kept_file(&digest).unwrap().unwrap().media,
        "application/pdf"
    );
    let backwards = Leave {
        from_day: Some("2026-02".into()),
        to_day: Some("2026-01".into()),
        ..Leave::default()
    };
    assert!(shelf.keep_leave(&stamp(), "F", backwards, None).is_err());
    let zip = NewDocument {
        bytes: b"PK\x03\x04\xff\xff".to_vec(),
        name: "a.zip".into(),
    };
    let refused = shelf.keep_leave(&stamp(), "F", Leave::default(), Some(zip));
    assert_eq!(refused.unwrap_err().kind, Kind::File);
    let boundary = |form, text: &str| {
        OfLand::Boundary(Boundary {
            key: 0,
            land: 0,
            form,
            text: text.into(),
        })
    };
    let squares = boundary(Form::Squares, "sp 1234; SP1235");
    shelf.keep_for_land(&stamp(), "F", squares).unwrap();
    assert_eq!(
        shelf.holding("F").unwrap().boundaries[0].text,
        "SP 12 34, SP 12 35"
    );
    for bad in [
        boundary(Form::Squares, "QQ 1"),
        boundary(Form::GeoJson, "[1]"),
        boundary(Form::GeoJson, ""),
    ] {
        assert!(shelf.keep_for_land(&stamp(), "F", bad).is_err());
    }
    let day = SearchDay {
        day: "2026-03-14".into(),
        hours: Some(30.0),
        ..SearchDay::default()
    };
    assert!(
        shelf
            .keep_for_land(&stamp(), "F", OfLand::SearchDay(day))
            .is_err()
    );
}

#[test]
fn two_writers_take_turns() {
    let (folder, mut shelf) = shelf();
    let mut other = Shelf::open(folder.path(), Access::Write).unwrap();
    std::thread::scope(|scope| {
        let first = scope.spawn(move || {
            for at in 0..20 {
                shelf.add_find(&stamp(), a_find(&format!("A{at}"))).unwrap();
            }
        });
        for at in 0..20 {
            other.add_find(&stamp(), a_find(&format!("B{at}"))).unwrap();
        }
        first.join().unwrap();
    });
    let reader = Shelf::open(folder.path(), Access::Read).unwrap();
    assert_eq!(reader.count(&Filter::default()).unwrap(), 40);
    assert_eq!(reader.last_act().unwrap(), 40);
}

#[test]
fn mappings_and_settings_have_one_value_a_name() {
    let (_folder, mut shelf) = shelf();
    let pair = |column: &str| vec![("weight".to_string(), column.to_string())];
    shelf.keep_mapping(&stamp(), "club", pair("Wt")).unwrap();
    shelf
        .keep_mapping(&stamp(), "club", pair("Weight"))
        .unwrap();
    assert_eq!(shelf.mapping("club").unwrap().columns, pair("Weight"));
    assert_eq!(shelf.mapping("other").unwrap_err().kind, Kind::Unknown);
    shelf.set_setting(&stamp(), "finder", "A. Finder").unwrap();
    assert_eq!(
        shelf.setting("finder").unwrap().as_deref(),
        Some("A. Finder")
    );
    assert_eq!(shelf.setting("other").unwrap(), None);
}

/// Released schemas are never edited: what they hold is held by its digest.
#[test]
fn released_schemas_stay_as_they_were() {
    let digests: Vec<String> = open::SCHEMAS
        .iter()
        .map(|schema| files::digest_of(schema.as_bytes()))
        .collect();
    let released = [
        include_str!("schema/0001.sha256").trim(),
        include_str!("schema/0002.sha256").trim(),
        include_str!("schema/0003.sha256").trim(),
    ];
    assert_eq!(digests, released);
}

#[derive(Clone, Debug)]
enum Deed {
    Add(u8),
    Edit(u8, u8),
    Remove(u8),
    Status(u8),
    Identify(u8),
    Tag(u8),
    Undo(u8),
}

fn deeds() -> impl proptest::strategy::Strategy<Value = Vec<Deed>> {
    use proptest::prelude::*;
    let one = 0_u8..4;
    let deed = prop_oneof![
        3 => one.clone().prop_map(Deed::Add),
        2 => (one.clone(), any::<u8>()).prop_map(|(id, to)| Deed::Edit(id, to)),
        1 => one.clone().prop_map(Deed::Remove),
        1 => one.clone().prop_map(Deed::Status),
        1 => one.clone().prop_map(Deed::Identify),
        1 => one.prop_map(Deed::Tag),
        2 => any::<u8>().prop_map(Deed::Undo),
    ];
    proptest::collection::vec(deed, 0..25)
}

fn done(shelf: &mut Shelf, deed: &Deed) {
    let id = |at: &u8| format!("F{at}");
    // A deed that cannot be done is refused and changes nothing.
    let _ = match deed {
        Deed::Add(at) => shelf.add_find(&stamp(), a_find(&id(at))).map(|_| ()),
        Deed::Edit(at, to) => shelf
            .edit_find(&stamp(), &id(at), |find| find.notes = format!("note {to}"))
            .map(|_| ()),
        Deed::Remove(at) => shelf.remove_find(&stamp(), &id(at)),
        Deed::Status(at) => shelf
            .set_status(&stamp(), &id(at), Status::Given, None, None)
            .map(|_| ()),
        Deed::Identify(at) => shelf
            .identify(&stamp(), &id(at), Identified::new("penny"))
            .map(|_| ()),
        Deed::Tag(at) => shelf.tag(&stamp(), &id(at), &["t".into()], &[]).map(|_| ()),
        Deed::Undo(at) => {
            let last = shelf.last_act().unwrap();
            shelf.undo(&stamp(), last - i64::from(*at % 4)).map(|_| ())
        }
    };
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig {
        cases: 40,
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(1),
        ..proptest::prelude::ProptestConfig::default()
    })]

    /// Whatever was done, taking back every act that stands, the latest first, leaves nothing.
    #[test]
    fn all_taken_back_is_an_empty_shelf(deeds in deeds()) {
        let (_folder, mut shelf) = shelf();
        for deed in &deeds {
            done(&mut shelf, deed);
        }
        while let Some(last) = shelf.last_standing().unwrap() {
            shelf.undo(&stamp(), last).unwrap();
        }
        for table in write::TABLES {
            let sql = format!("SELECT count(*) FROM \"{table}\"");
            let rows: i64 = shelf.db.query_row(&sql, [], |row| row.get(0)).unwrap();
            proptest::prop_assert_eq!(rows, 0, "{} after {:?}", table, deeds);
        }
        proptest::prop_assert!(shelf.check(true).faults.is_empty());
    }
}
