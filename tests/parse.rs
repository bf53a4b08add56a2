//! Whatever is typed, parsing ends, keeps every word, and does not care for the
//! order of what was said.

use lynchet::catalogue::{Catalogue, Denomination, Metal, Mint, Motif, Period, Ruler};
use lynchet::find::{Find, MetalSeen, Side, Span};
use lynchet::parse::{Field, Lexicon, Remark, RemarkKind, form, merge, reading, words};
use proptest::prelude::*;

/// A library of a few words.
fn lexicon() -> Lexicon {
    let span = Span::new(43, 1500).expect("is a span");
    let none = Vec::new;
    let mut made = Catalogue::default();
    made.periods.push(Period {
        id: "roman".into(),
        name: "Roman".into(),
        span,
        words: none(),
    });
    made.metals.push(Metal {
        id: "silver".into(),
        name: "silver".into(),
        looks: MetalSeen::Silver,
        words: none(),
        nomisma: None,
    });
    for (id, name) in [
        ("penny", "penny"),
        ("halfpenny", "halfpenny"),
        ("crown", "crown"),
    ] {
        made.denominations.push(Denomination {
            id: id.into(),
            name: name.into(),
            words: none(),
            nomisma: None,
            standards: Vec::new(),
        });
    }
    for (id, name) in [("edward-i", "Edward I"), ("edward-ii", "Edward II")] {
        made.rulers.push(Ruler {
            id: id.into(),
            name: name.into(),
            kind: "ruler".into(),
            realm: "england".into(),
            reigns: vec![span],
            members: Vec::new(),
            words: none(),
            nomisma: None,
        });
    }
    made.mints.push(Mint {
        id: "london".into(),
        name: "London".into(),
        struck: none(),
        lives: vec![span],
        words: none(),
        nomisma: None,
    });
    made.motifs = motifs();
    Lexicon::new(&made)
}

/// The things that can be seen in that library.
fn motifs() -> Vec<Motif> {
    let named = [
        ("cross", "cross"),
        ("long-cross", "long cross"),
        ("crowned-bust", "crowned bust"),
        ("crown", "crown"),
        ("horse", "horse"),
        ("ship", "ship"),
        ("facing-left", "facing left"),
    ];
    let motif = |(id, name): (&str, &str)| Motif {
        id: id.into(),
        name: name.into(),
        under: Vec::new(),
        ancestors: Vec::new(),
        parts: Vec::new(),
        words: Vec::new(),
    };
    named.into_iter().map(motif).collect()
}

/// All that the find and the remarks say again of what was typed, in small letters.
fn said_again(find: &Find, remarks: &[Remark]) -> String {
    let mut said: Vec<&str> = remarks.iter().map(|remark| remark.said.as_str()).collect();
    said.extend(find.readings.iter().map(|reading| reading.said.as_str()));
    said.extend(find.sightings.iter().map(|sighting| sighting.said.as_str()));
    said.extend(find.opinions.iter().map(|opinion| opinion.said.as_str()));
    said.join("\n").to_lowercase()
}

/// What a find says, without the order in which it was said.
fn unordered(find: &Find) -> (Find, Vec<String>) {
    let mut bare = find.clone();
    let mut lists = Vec::new();
    lists.extend(bare.treatments.drain(..).map(|one| format!("{one:?}")));
    lists.extend(
        bare.treatments_absent
            .drain(..)
            .map(|one| format!("not {one:?}")),
    );
    lists.extend(bare.readings.drain(..).map(|one| format!("{one:?}")));
    lists.extend(bare.sightings.drain(..).map(|one| format!("{one:?}")));
    lists.extend(bare.opinions.drain(..).map(|one| format!("{one:?}")));
    lists.sort();
    (bare, lists)
}

/// Parts of a description that give no single-valued trait twice.
const PARTS: [&str; 12] = [
    "silver",
    "about 17 mm",
    "1.2 g",
    "die axis 6",
    "worn",
    "clipped",
    "not holed",
    "long cross",
    "perhaps a horse",
    "penny of Edward I",
    "reads EDW R",
    "no ship",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_text_is_too_strange(text in any::<String>()) {
        let lexicon = lexicon();
        let (find, remarks) = words(&text, &lexicon);
        for field in Field::ALL {
            let (_, told) = form(&[(field, text.clone())], &lexicon);
            prop_assert!(told.iter().all(|remark| !remark.field.is_empty() && !remark.what.is_empty()));
        }
        let (read, told) = reading(&text, Side::Obverse);
        prop_assert!(read.is_none_or(|read| read.letters_seen() > 0));
        prop_assert!(told.iter().chain(&remarks).all(|remark| !remark.to_string().contains('\0')));
        prop_assert!(find.weight.is_none_or(|weight| weight.error > 0.0));
    }

    #[test]
    fn marks_and_figures_are_taken_as_they_come(text in "[\\[\\]().?/|<>{}'\" ,;:+=0-9a-dA-DxXmgc½-]{0,60}") {
        let (find, _) = words(&text, &lexicon());
        prop_assert!(find.diameter.is_none_or(|size| size.value.get() > 0.0 && size.error.is_finite()));
        let (read, _) = reading(&text, Side::Reverse);
        prop_assert!(read.is_none_or(|read| !read.marks.is_empty()));
    }

    #[test]
    fn no_word_is_lost(text in "([a-z]{1,9}|[A-Z]{1,5}|[A-Z][a-z]{2,7}|cross|no|perhaps|crown|left)([ ,;:?.]{1,2}([a-z]{1,9}|[A-Z]{1,5}|long|horse|or|reads|obverse|half)){0,8}") {
        let lexicon = lexicon();
        let (find, remarks) = words(&text, &lexicon);
        let again = said_again(&find, &remarks);
        for word in text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()) {
            let word = word.to_lowercase();
            prop_assert!(lexicon.knows(&word) || again.contains(&word) || introduces(&word), "{word} of {text:?} is gone");
        }
    }

    #[test]
    fn unknown_words_stand_in_a_remark(nonsense in prop::collection::vec("q[xzvk]{2,8}", 1..300)) {
        let (_, remarks) = words(&format!("silver, {}", nonsense.join(", ")), &lexicon());
        let left: String = remarks.iter().map(|remark| format!(" {} ", remark.said)).collect();
        for word in &nonsense {
            prop_assert!(left.contains(word.as_str()));
        }
        prop_assert!(remarks.iter().all(|remark| remark.kind == RemarkKind::NotUnderstood));
        prop_assert!(remarks.len() <= 40);
    }

    #[test]
    fn the_order_of_parts_does_not_matter(order in Just(PARTS.to_vec()).prop_shuffle(), many in 1usize..12) {
        let lexicon = lexicon();
        let mut sorted = order[..many].to_vec();
        let (find, remarks) = words(&sorted.join(", "), &lexicon);
        prop_assert!(remarks.is_empty(), "{remarks:?}");
        sorted.sort_unstable();
        prop_assert_eq!(unordered(&find), unordered(&words(&sorted.join(", "), &lexicon).0));
    }

    #[test]
    fn merging_finds_is_saying_their_parts_together(order in Just(PARTS.to_vec()).prop_shuffle(), cut in 0usize..12) {
        let lexicon = lexicon();
        let of = |parts: &[&str]| words(&parts.join(", "), &lexicon).0;
        let (first, second) = (of(&order[..cut]), of(&order[cut..]));
        let (one, told) = merge(first.clone(), second.clone());
        let (other, _) = merge(second, first.clone());
        prop_assert!(told.is_empty());
        prop_assert_eq!(unordered(&one), unordered(&other));
        prop_assert_eq!(unordered(&one), unordered(&of(&order)));
        prop_assert_eq!(merge(first.clone(), first.clone()), (first, Vec::new()));
    }
}

/// Words that only lead to others: sides and "reads".
fn introduces(word: &str) -> bool {
    [
        "reads",
        "obverse",
        "obv",
        "rev",
        "reverse",
        "retrograde",
        "says",
    ]
    .contains(&word)
}

#[test]
fn flags_go_before_words() {
    let lexicon = lexicon();
    let (flags, _) = form(
        &[
            (Field::Metal, "silver".into()),
            (Field::Weight, "1.2".into()),
        ],
        &lexicon,
    );
    let (told, _) = words("bronze, 4 g, 17 mm", &lexicon);
    let (find, remarks) = merge(flags, told);
    assert_eq!(find.metal, Some((MetalSeen::Silver, true)));
    assert_eq!(find.weight.map(|weight| weight.value.get()), Some(1.2));
    assert_eq!(find.diameter.map(|size| size.value.get()), Some(17.0));
    let fields: Vec<&str> = remarks.iter().map(|remark| remark.field.as_str()).collect();
    assert_eq!(fields, ["metal", "weight"]);
}
