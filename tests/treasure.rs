//! What the law asks of a find: the cases of the law page, the properties of the room, and the
//! verb as a person runs it.
//!
//! Each case names its source; "facts" is the project's page of law and recording, state of
//! 25 November 2026, whose section 1.1 derives these cases from the text of the rules.
//!
//! Invariant: every case is judged for a find of 2026 unless it says otherwise.

use lynchet::find::{Span, ordinal, year_at};
use lynchet::treasure::*;
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::Value;

use super::kit;

fn day(text: &str) -> CalendarDay {
    CalendarDay::read(text).unwrap_or_else(|fault| panic!("{fault}"))
}

fn today() -> CalendarDay {
    day("2026-11-25")
}

/// Pieces in words, found on 1 June 2026 in England.
fn facts(pieces: &[&str]) -> Facts {
    let read = |text: &&str| piece(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
    Facts {
        pieces: pieces.iter().map(read).collect(),
        country: Some(Country::England),
        found: When::read("2026-06-01").ok(),
        ..Facts::default()
    }
}

fn in_one_hole(pieces: &[&str]) -> Facts {
    Facts {
        same_find: Some(SameFind::Hole),
        ..facts(pieces)
    }
}

fn deposit(pieces: &[&str]) -> Facts {
    Facts {
        same_find: Some(SameFind::Deposit),
        ..facts(pieces)
    }
}

/// The call, the rules met and those open.
fn judged(facts: &Facts) -> (Call, Vec<&'static str>, Vec<&'static str>) {
    assert_eq!(facts.faults(today()), [], "{facts:?}");
    let verdict = judge(facts, today());
    let of = |truth| {
        let rules = verdict.rules.iter().filter(|bite| bite.truth == truth);
        rules.map(|bite| bite.law.id).collect::<Vec<_>>()
    };
    (verdict.call, of(Truth::Yes), of(Truth::Open))
}

fn asks(facts: &Facts, id: &str) -> bool {
    let verdict = judge(facts, today());
    verdict
        .questions
        .iter()
        .any(|question| question.law.id == id)
}

fn notes_of(facts: &Facts) -> Vec<&'static str> {
    judge(facts, today())
        .notes
        .iter()
        .map(|note| note.id)
        .collect()
}

use Call::{RecordOnly, ReportIfUnsure, ReportNow};

// --------------------------------------------------- the derived cases, facts section 1.1

/// Facts 1.1, cases 1 to 3: T2 (s.1(1)(a)(ii)) and "same find" (s.3(4)).
#[test]
fn one_penny_two_pennies_and_two_apart() {
    let (call, met, _) = judged(&facts(&["silver penny, 1279"]));
    assert_eq!((call, met.len()), (RecordOnly, 0));
    let (call, met, _) = judged(&in_one_hole(&["2 silver pennies, 1279"]));
    assert_eq!((call, met), (ReportNow, vec!["T2"]));
    let apart = Facts {
        same_find: Some(SameFind::Scattered),
        ..facts(&["2 silver pennies, 1279"])
    };
    assert_eq!(judged(&apart).0, RecordOnly);
    assert!(
        notes_of(&apart).contains(&"same-find"),
        "the note on scatter"
    );
    let alike = Facts {
        same_find: Some(SameFind::ScatteredAlike),
        ..apart
    };
    assert_eq!(judged(&alike), (ReportIfUnsure, vec![], vec!["T2"]));
}

/// Facts 1.1, cases 4 to 6: T3 (s.1(1)(a)(iii)), which asks for no fineness.
#[test]
fn nine_ten_and_nine_with_a_denarius() {
    let nine = in_one_hole(&["9 nummi, copper alloy, 330-348"]);
    assert_eq!(judged(&nine), (ReportIfUnsure, vec![], vec!["T3"]));
    let ten = deposit(&["denarius, silver, 98-117", "9 nummi, copper alloy, 330-348"]);
    let (call, met, _) = judged(&ten);
    assert_eq!((call, met[0]), (ReportNow, "T3"));
    let nine = deposit(&["denarius, silver, 98-117", "8 nummi, copper alloy, 330-348"]);
    let (call, met, open) = judged(&nine);
    assert_eq!((call, met.len()), (ReportIfUnsure, 0));
    assert!(open.contains(&"T2") && open.contains(&"T3"), "{open:?}");
}

/// Facts 1.1, case 7: T1 (s.1(1)(a)(i)).
#[test]
fn a_silver_gilt_brooch_of_1700() {
    assert_eq!(
        judged(&facts(&["silver-gilt brooch, 1700"])),
        (ReportNow, vec!["T1"], vec![])
    );
}

/// Facts 1.1, case 8: too young for T1, so only T4c or T5.
#[test]
fn a_gold_ring_of_1740() {
    let ring = facts(&["gold ring, 1740"]);
    assert_eq!(judged(&ring), (ReportIfUnsure, vec![], vec!["T5"]));
    assert!(asks(&ring, "T4c"));
    let exceptional = Facts {
        exceptional: Some(Truth::Yes),
        ..ring
    };
    assert_eq!(judged(&exceptional).0, ReportNow);
}

/// Facts 1.1, case 9: plated things normally fall below a tenth, but only a test can say.
#[test]
fn a_silver_plated_buckle_of_1650() {
    let buckle = facts(&["silver-plated buckle, 1650"]);
    assert_eq!(judged(&buckle), (ReportIfUnsure, vec![], vec!["T1"]));
    assert_eq!(judge(&buckle, today()).rules[0].decides, [Decider::Metal]);
    assert!(notes_of(&buckle).contains(&"plated"));
}

/// Facts 1.1, cases 10 to 13: the order of 2002 (SI 2002/2666 art.3), and the order of 2023.
#[test]
fn prehistoric_things() {
    let axe = facts(&["Bronze Age axe, bronze"]);
    assert_eq!(judged(&axe).0, RecordOnly);
    assert!(asks(&axe, "T4c"));
    let early = Facts {
        found: When::read("2023-07-29").ok(),
        ..axe.clone()
    };
    assert!(!asks(&early, "T4c"));
    let exceptional = Facts {
        exceptional: Some(Truth::Yes),
        ..axe
    };
    assert_eq!(judged(&exceptional), (ReportNow, vec!["T4c"], vec![]));
    let axes = deposit(&["2 Bronze Age axes, bronze"]);
    assert_eq!(judged(&axes), (ReportNow, vec!["T4a"], vec![]));
    let pin = facts(&["Bronze Age pin, bronze with gold foil"]);
    assert_eq!(judged(&pin).0, ReportNow);
    assert!(judged(&pin).1.contains(&"T4b"));
    let coins = in_one_hole(&["2 coins, copper alloy, Iron Age"]);
    assert_eq!(judged(&coins).0, RecordOnly);
}

/// Facts 1.1, case 14: T6 (s.1(1)(d)) takes in any material.
#[test]
fn a_pot_that_holds_a_hoard() {
    let hoard = deposit(&["pot, pottery, Roman", "30 denarii, silver, 98-180"]);
    let (call, met, _) = judged(&hoard);
    assert_eq!(call, ReportNow);
    assert_eq!(met, ["T2", "T3", "T6"]);
    let verdict = judge(&hoard, today());
    let pot = verdict.rules.iter().find(|bite| bite.law.id == "T6");
    assert_eq!(pot.map(|bite| bite.pieces.clone()), Some(vec![0]));
}

/// Facts 1.1, cases 15 and 16: guidance on altered coins of 2010 (pierced before 1180).
#[test]
fn pierced_coins() {
    assert_eq!(
        judged(&facts(&["pierced silver penny, 1016-1035"])).0,
        ReportNow
    );
    let groat = facts(&["groat, silver, 1461-1483, one off-centre hole"]);
    assert_eq!(judged(&groat), (ReportIfUnsure, vec![], vec!["T1"]));
    let straddling = facts(&["pierced silver penny, 1170-1190"]);
    assert_eq!(judged(&straddling).0, ReportIfUnsure);
    let looped = facts(&["groat, silver, 1461-1483, with a loop"]);
    assert_eq!(judged(&looped), (ReportNow, vec!["T1"], vec![]));
}

/// Facts 1.1, case 17: T5 (s.1(1)(c)), what was treasure trove before the Act.
#[test]
fn sovereigns_in_a_jar() {
    let jar = Facts {
        hidden: Some(Truth::Yes),
        ..deposit(&["20 sovereigns, gold, 1850", "jar, glass"])
    };
    let (call, met, _) = judged(&jar);
    assert_eq!((call, met), (ReportNow, vec!["T5", "T6"]));
    let owned = Facts {
        owner_known: Some(Truth::Yes),
        ..jar
    };
    assert!(!judged(&owned).1.contains(&"T5"));
}

/// Facts 1.1, case 18 and X2: the church is told, the rule stays in sight, advice is asked.
#[test]
fn a_silver_object_in_an_english_churchyard() {
    let object = Facts {
        grounds: vec![Ground::Church],
        ..facts(&["silver object, 1500"])
    };
    assert_eq!(judged(&object), (ReportIfUnsure, vec![], vec!["T1"]));
    let verdict = judge(&object, today());
    let told: Vec<&str> = verdict.tell.iter().map(|contact| contact.word).collect();
    assert_eq!(told[..2], ["church", "recording-officer"]);
    assert!(notes_of(&object).contains(&"X2"));
    // Other churches, other countries and earlier days are not named in the order.
    for facts in [
        Facts {
            grounds: vec![Ground::OtherChurch],
            ..object.clone()
        },
        Facts {
            country: Some(Country::Wales),
            ..object.clone()
        },
        Facts {
            found: When::read("2023-07-29").ok(),
            ..object
        },
    ] {
        assert_eq!(judged(&facts).0, ReportNow, "{facts:?}");
    }
}

// ------------------------------------------------------------------- other rules

/// Facts 1.1: single coins lost over time are no one find (police advice); the group that a
/// purse or a hoard makes is.
#[test]
fn coins_lost_one_by_one_are_no_group() {
    let coins = Facts {
        same_find: Some(SameFind::OneByOne),
        ..facts(&["12 silver pennies, 1279-1350"])
    };
    assert_eq!(judged(&coins).0, RecordOnly);
    assert!(notes_of(&coins).contains(&"one-by-one"));
}

/// The trade's rule of thumb, common practice without a source: beside the law, so the call stays.
#[test]
fn three_coins_from_one_hole_are_advice_and_no_rule() {
    let three = in_one_hole(&["3 nummi, copper alloy, 330-348"]);
    assert_eq!(judged(&three), (RecordOnly, vec![], vec![]));
    assert!(notes_of(&three).contains(&"three-coins"));
    assert!(
        law("three-coins")
            .text()
            .contains("common practice, no source")
    );
    assert!(!notes_of(&in_one_hole(&["2 nummi, copper alloy, 330-348"])).contains(&"three-coins"));
}

/// Facts 1.1, T6: what belongs with an earlier find, whatever it is made of.
#[test]
fn what_belongs_with_an_earlier_find() {
    let sherd = facts(&["pot, pottery, Roman"]);
    assert_eq!(judged(&sherd).0, RecordOnly);
    let with = |associated| Facts {
        associated: Some(associated),
        ..sherd.clone()
    };
    assert_eq!(judged(&with(Truth::Yes)), (ReportNow, vec!["T6"], vec![]));
    assert_eq!(
        judged(&with(Truth::Open)),
        (ReportIfUnsure, vec![], vec!["T6"])
    );
    // X1, s.1(2): an unworked natural thing is not drawn in.
    let fossil = Facts {
        associated: Some(Truth::Yes),
        ..facts(&["fossil"])
    };
    assert_eq!(judged(&fossil).0, RecordOnly);
    assert!(notes_of(&fossil).contains(&"X1"));
}

/// Facts 1.1 and 9: whether a single coin can fall under the order of 2023 is not verified, so a
/// striking one is asked about.
#[test]
fn a_striking_coin_is_asked_about() {
    let coin = Facts {
        exceptional: Some(Truth::Yes),
        ..facts(&["gold noble, 1351-1377"])
    };
    assert_eq!(judged(&coin), (ReportIfUnsure, vec![], vec!["T4c"]));
    assert!(law("T4c").text().contains("is not verified"));
}

/// Facts 1.1: the order of 2002 holds for finds from 1 January 2003, the Act from 24 September 1997.
#[test]
fn rules_hold_from_the_day_they_began() {
    let found = |pieces: &[&str], text: &str| Facts {
        found: When::read(text).ok(),
        ..deposit(pieces)
    };
    let axes = ["2 Bronze Age axes, bronze"];
    assert_eq!(judged(&found(&axes, "2002-12-31")).0, RecordOnly);
    assert_eq!(judged(&found(&axes, "2003-01-01")).0, ReportNow);
    assert_eq!(judged(&found(&axes, "2002")).0, RecordOnly);
    let brooch = ["silver brooch, 1400"];
    assert_eq!(judged(&found(&brooch, "1997-09-24")).1, ["T1"]);
    assert_eq!(
        judged(&found(&brooch, "1997-09-23")),
        (ReportIfUnsure, vec![], vec!["before-act"])
    );
    assert_eq!(judged(&found(&brooch, "1975")).0, ReportIfUnsure);
    assert_eq!(judged(&found(&brooch, "1997")).0, ReportIfUnsure);
}

/// Facts 1.4: elsewhere the local law and its people are named, and nothing is merely recorded.
#[test]
fn other_countries_have_their_own_rules_and_people() {
    for (country, rule, told) in [
        (Country::NorthernIreland, "NI42", "northern-ireland"),
        (Country::Scotland, "SC", "treasure-trove-unit"),
        (Country::IsleOfMan, "IM59", "manx-national-heritage"),
        (Country::Elsewhere, "elsewhere", "local-authority"),
    ] {
        let penny = Facts {
            country: Some(country),
            ..facts(&["silver penny, 1279"])
        };
        let verdict = judge(&penny, today());
        assert!(verdict.call >= ReportIfUnsure, "{country:?}");
        assert!(
            verdict.rules.iter().any(|bite| bite.law.id == rule),
            "{country:?}"
        );
        assert!(
            verdict.tell.iter().any(|contact| contact.word == told),
            "{country:?}"
        );
    }
    // Where the Act does not hold, nothing is asked or noted by it.
    let scots = Facts {
        country: Some(Country::Scotland),
        ..facts(&["silver penny, 1279"])
    };
    assert!(judge(&scots, today()).questions.is_empty());
    assert!(!notes_of(&scots).contains(&"single-coin"));
    // The Act holds in Northern Ireland too (facts 1.1), but not in Scotland (s.15(3)).
    let two = |country| Facts {
        country: Some(country),
        ..in_one_hole(&["2 silver pennies, 1279"])
    };
    assert!(judged(&two(Country::NorthernIreland)).1.contains(&"T2"));
    assert_eq!(judged(&two(Country::Scotland)).1, ["SC"]);
    // Fourteen days in Northern Ireland and on the island, counted with care; none were read for
    // Scotland.
    let last = |country| {
        judge(&two(country), today())
            .clock
            .and_then(|clock| clock.last)
    };
    assert_eq!(last(Country::England), Some(day("2026-06-15")));
    assert_eq!(last(Country::NorthernIreland), Some(day("2026-06-14")));
    assert_eq!(last(Country::IsleOfMan), Some(day("2026-06-14")));
    assert_eq!(last(Country::Scotland), None);
}

/// Facts 1.5 and 1.8: dangers and ground.
#[test]
fn dangers_come_first_and_protected_ground_has_its_section() {
    let facts = Facts {
        hazards: vec![Hazard::Ordnance, Hazard::HumanRemains],
        grounds: vec![Ground::Protected],
        ..facts(&["silver penny, 1279"])
    };
    let verdict = judge(&facts, today());
    assert_eq!(verdict.tell[0].word, "police");
    let dangers: Vec<&str> = verdict.dangers.iter().map(|law| law.id).collect();
    assert_eq!(dangers, ["ordnance", "remains", "burial"]);
    assert!(notes_of(&facts).contains(&"s42"));
    let wales = Facts {
        country: Some(Country::Wales),
        ..facts
    };
    assert!(notes_of(&wales).contains(&"w60"));
    // Facts 8.7: section 42 covers Wales no longer.
    assert!(!notes_of(&wales).contains(&"s42"));
}

/// Facts 1.6, 1.7: whose it is, export, theft, with every find.
#[test]
fn owner_theft_and_export_are_always_said() {
    for country in [None, Some(Country::England), Some(Country::NorthernIreland)] {
        let notes = notes_of(&Facts {
            country,
            ..facts(&["coin"])
        });
        for id in ["owner", "theft", "export", "decides"] {
            assert!(notes.contains(&id), "{country:?}: {id}");
        }
    }
}

#[test]
fn nothing_said_is_open_and_not_passed_over() {
    let unsaid = Facts {
        pieces: vec![Piece::unsaid("a thing")],
        ..Facts::default()
    };
    let verdict = judge(&unsaid, today());
    assert_eq!(verdict.call, ReportIfUnsure);
    assert!(verdict.rules[0].decides.len() >= 2, "{:?}", verdict.rules);
    assert!(
        verdict
            .assumed
            .iter()
            .any(|text| text.contains("England or Wales"))
    );
}

#[test]
fn impossible_facts_are_named_with_their_mend() {
    let sound = facts(&["silver penny, 1279"]);
    let fields = |facts: &Facts| -> Vec<&str> {
        facts
            .faults(today())
            .iter()
            .map(|fault| fault.field)
            .collect()
    };
    let with = |change: &dyn Fn(&mut Facts)| {
        let mut facts = sound.clone();
        change(&mut facts);
        fields(&facts)
    };
    assert!(fields(&sound).is_empty());
    assert_eq!(
        with(&|facts| facts.found = When::read("2026-11-26").ok()),
        ["found"]
    );
    assert_eq!(
        with(&|facts| facts.found = When::read("2027").ok()),
        ["found"]
    );
    assert!(with(&|facts| facts.found = When::read("2026-11").ok()).is_empty());
    assert_eq!(
        with(&|facts| facts.believed = Some(day("2026-12-01"))),
        ["believed"]
    );
    assert_eq!(with(&|facts| facts.pieces.clear()), ["piece"]);
    assert_eq!(with(&|facts| facts.pieces[0].count = 0), ["count"]);
    assert_eq!(
        with(&|facts| facts.pieces[0].age = Age::Years(Span {
            from: 2100,
            to: 2200
        })),
        ["made"]
    );
    assert_eq!(
        with(&|facts| facts.pieces[0].metal = MetalKnown::Tested(f64::NAN)),
        ["fineness"]
    );
    assert_eq!(
        with(&|facts| facts.pieces[0].metal = MetalKnown::Tested(101.0)),
        ["fineness"]
    );
}

// --------------------------------------------------------------------- properties

/// Metals from poorest to richest, as the rules see them.
const METALS: [MetalKnown; 6] = [
    MetalKnown::Seen(Metal::NoMetal, true),
    MetalKnown::Seen(Metal::Base, true),
    MetalKnown::SeenWithPart(Metal::Base),
    MetalKnown::Seen(Metal::BaseSilver, true),
    MetalKnown::Seen(Metal::Silver, true),
    MetalKnown::Tested(92.5),
];

fn truths() -> impl Strategy<Value = Option<Truth>> {
    option::of(select(vec![Truth::No, Truth::Open, Truth::Yes]))
}

fn pieces() -> impl Strategy<Value = Piece> {
    let what = select(vec![
        What::Unsaid,
        What::Coin,
        What::Token,
        What::Object,
        What::Natural,
    ]);
    let altered = option::of(select(vec![Alteration::Mounted, Alteration::Pierced]));
    let age = option::of((-1_000_i32..2_020, 0_i32..400)).prop_map(|years| match years {
        Some((from, length)) if from != 0 && from + length != 0 => Age::Years(Span {
            from,
            to: from + length,
        }),
        _ => Age::Unsaid,
    });
    let metal = select(
        [
            &METALS[..],
            &[MetalKnown::Unsaid, MetalKnown::Seen(Metal::Silver, false)],
        ]
        .concat(),
    );
    (1_u32..14, what, altered, age, metal, truths()).prop_map(
        |(count, what, altered, age, metal, prehistoric)| Piece {
            name: "a piece".to_string(),
            count,
            what,
            altered,
            age,
            prehistoric,
            metal,
        },
    )
}

const SAME: [SameFind; 6] = [
    SameFind::Deposit,
    SameFind::Hole,
    SameFind::ScatteredAlike,
    SameFind::Scattered,
    SameFind::OneByOne,
    SameFind::Unsure,
];

const COUNTRIES: [Country; 6] = [
    Country::England,
    Country::Wales,
    Country::NorthernIreland,
    Country::Scotland,
    Country::IsleOfMan,
    Country::Elsewhere,
];

fn any_facts() -> impl Strategy<Value = Facts> {
    let days = select(vec![
        "1950-01-01",
        "1997",
        "2002-12-31",
        "2010-05",
        "2023-07-30",
        "2026-02-28",
    ]);
    let found = option::of(days).prop_map(|text| text.and_then(|text| When::read(text).ok()));
    let grounds = vec(
        select(vec![
            Ground::OtherChurch,
            Ground::Protected,
            Ground::Sssi,
            Ground::MilitaryCrash,
            Ground::Burial,
            Ground::Foreshore,
        ]),
        0..3,
    );
    let hazards = vec(
        select(vec![Hazard::Ordnance, Hazard::HumanRemains, Hazard::Lead]),
        0..2,
    );
    let group = (vec(pieces(), 1..4), option::of(select(SAME.to_vec())));
    let said = (truths(), truths(), truths(), truths(), truths());
    let place = (
        option::of(select(COUNTRIES.to_vec())),
        grounds,
        hazards,
        found,
        any::<bool>(),
    );
    (group, said, place).prop_map(|(group, said, place)| Facts {
        pieces: group.0,
        same_find: group.1,
        associated: said.0,
        hidden: said.1,
        owner_known: said.2,
        exceptional: said.3,
        leave: said.4,
        country: place.0,
        grounds: place.1,
        hazards: place.2,
        found: place.3,
        believed: None,
        acquired: place.4,
    })
}

/// Makes one fact speak louder for a report; which one, `way` says.
fn firmer(facts: &Facts, way: usize, more: &Piece) -> Facts {
    let mut facts = facts.clone();
    let raise = |said: Option<Truth>| match said {
        Some(Truth::No) => None,
        None => Some(Truth::Open),
        Some(_) => Some(Truth::Yes),
    };
    let piece = &mut facts.pieces[0];
    match way {
        0 => facts.pieces.push(more.clone()),
        1 => piece.count += 1,
        2 => facts.same_find = Some(SameFind::Deposit),
        3 => facts.associated = raise(facts.associated),
        4 => facts.hidden = raise(facts.hidden),
        5 => facts.exceptional = raise(facts.exceptional),
        6 => {
            facts.owner_known = match facts.owner_known {
                Some(Truth::Yes) => Some(Truth::Open),
                _ => Some(Truth::No),
            }
        }
        7 => {
            if let Age::Years(span) = piece.age {
                let older = |year| year_at(ordinal(year) - 150);
                piece.age = Age::Years(Span {
                    from: older(span.from),
                    to: older(span.to),
                });
            }
        }
        8 => piece.prehistoric = Some(Truth::Yes),
        9 => {
            let rank = METALS.iter().position(|metal| *metal == piece.metal);
            piece.metal =
                METALS[rank.map_or(METALS.len() - 1, |rank| (rank + 1).min(METALS.len() - 1))];
        }
        10 => {
            piece.altered = match piece.altered {
                None => Some(Alteration::Pierced),
                Some(_) => Some(Alteration::Mounted),
            }
        }
        _ => {
            piece.what = if piece.what == What::Natural {
                What::Object
            } else {
                piece.what
            }
        }
    }
    facts
}

/// Settles one fact that was open, the way `way` and `yes` say.
fn settled(facts: &Facts, way: usize, yes: bool) -> Facts {
    let mut facts = facts.clone();
    let settle = |said: Option<Truth>| match said {
        None | Some(Truth::Open) => Some(Truth::of(yes)),
        said => said,
    };
    let piece = &mut facts.pieces[0];
    match way {
        0 => facts.associated = settle(facts.associated),
        1 => facts.hidden = settle(facts.hidden),
        2 => facts.exceptional = settle(facts.exceptional),
        3 if facts
            .same_find
            .is_none_or(|same| same.truth() == Truth::Open) =>
        {
            facts.same_find = Some(if yes {
                SameFind::Deposit
            } else {
                SameFind::Scattered
            });
        }
        4 if matches!(piece.what, What::Unsaid | What::Token) => {
            piece.what = if yes { What::Coin } else { What::Object };
        }
        5 => {
            if let Age::Years(span) = piece.age {
                let one = if yes { span.from } else { span.to };
                piece.age = Age::Years(Span { from: one, to: one });
            }
        }
        6 if piece.metal.facts().tenth == Truth::Open => {
            piece.metal = MetalKnown::Tested(if yes { 50.0 } else { 1.0 });
        }
        _ => {}
    }
    facts
}

/// Every sentence of a verdict.
fn sentences(verdict: &Verdict) -> Vec<String> {
    let mut said = vec![
        verdict.call.text().to_string(),
        verdict.call.word().to_string(),
    ];
    for bite in &verdict.rules {
        said.push(bite.law.text());
        said.extend(
            bite.decides
                .iter()
                .map(|decider| decider.text().to_string()),
        );
    }
    said.extend(
        verdict
            .questions
            .iter()
            .map(|question| question.text.to_string()),
    );
    said.extend(verdict.tell.iter().map(|contact| contact.text.to_string()));
    said.extend(
        verdict
            .dangers
            .iter()
            .chain(&verdict.notes)
            .map(|law| law.text()),
    );
    said.extend(verdict.assumed.iter().cloned());
    said
}

/// Words that would rule a find out.
const RULING_OUT: [&str; 12] = [
    "not treasure",
    "n't treasure",
    "no treasure",
    "never treasure",
    "not be treasure",
    "not a treasure",
    "not potential treasure",
    "nor treasure",
    "without being treasure",
    "need not be reported",
    "yours to keep",
    "you may keep",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 2_000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_further_reason_never_lowers_the_call(facts in any_facts(), way in 0_usize..12, more in pieces()) {
        let before = judge(&facts, today()).call;
        let with_it = firmer(&facts, way, &more);
        let after = judge(&with_it, today()).call;
        prop_assert!(after >= before, "way {way}: {before:?} became {after:?} with {with_it:?}");
    }

    #[test]
    fn what_is_to_be_reported_stays_so_however_the_rest_is_settled(
        facts in any_facts(),
        ways in vec((0_usize..7, any::<bool>()), 1..6),
    ) {
        let mut later = Facts { country: Some(Country::England), ..facts };
        if judge(&later, today()).call != ReportNow {
            return Ok(());
        }
        for (way, yes) in ways {
            later = settled(&later, way, yes);
            prop_assert_eq!(judge(&later, today()).call, ReportNow, "{:?}", &later);
        }
    }

    #[test]
    fn no_verdict_rules_a_find_out_and_each_names_whom_to_tell(facts in any_facts(), church in any::<bool>()) {
        let mut facts = facts;
        if church {
            facts.grounds.push(Ground::Church);
        }
        let verdict = judge(&facts, today());
        for sentence in sentences(&verdict) {
            let plain = sentence.to_lowercase();
            prop_assert!(RULING_OUT.iter().all(|words| !plain.contains(words)), "{sentence}");
        }
        let told: Vec<&str> = verdict.tell.iter().map(|contact| contact.word).collect();
        prop_assert!(told.iter().any(|word| *word != "landowner"), "{told:?}");
        match verdict.call {
            ReportNow if facts.country.is_none_or(|country| country <= Country::Wales) => {
                prop_assert!(told.contains(&"coroner"));
            }
            _ => {}
        }
        // What is open says what would decide it.
        for bite in &verdict.rules {
            prop_assert_eq!(bite.truth == Truth::Open, !bite.decides.is_empty(), "{:?}", bite);
            prop_assert!(!bite.pieces.is_empty());
        }
    }

    #[test]
    fn the_last_day_is_never_before_the_thirteenth_after_the_find(
        found in -9_000_i64..20_000,
        belief in proptest::option::of(0_i64..40),
    ) {
        let found = CalendarDay::since_1970(found).expect("a day");
        let believed = belief.map(|days| found.after(days));
        let clock = Clock::new(law("days"), Count::TreasureAct, Some(When::on(found)), believed, today());
        let last = clock.last.expect("a last day").number() - found.number();
        // s.8(2): 14 days from the day after the find, or from the day of belief if later.
        prop_assert_eq!(last, DAYS.max(belief.unwrap_or(0) + DAYS - 1));
    }

    #[test]
    fn no_text_makes_the_readers_panic(text in "\\PC{0,60}") {
        let _ = (piece(&text), age(&text), metal(&text), When::read(&text));
    }

    #[test]
    fn no_nearly_right_text_makes_the_readers_panic(
        text in "[0-9]{0,5}[ ,%?.-]{0,2}(c\\. |before |after |AD |)[0-9]{0,7}(th century| BC|-|--|%| to )?[0-9]{0,6}( coins?, (gold|silver)?)?",
    ) {
        let _ = (piece(&text), age(&text), metal(&text), When::read(&text));
    }
}

// ------------------------------------------------------------------------ the door

/// The verdict of the program, as JSON, on 25 November 2026.
fn told(arguments: &[&str]) -> Value {
    let call = ["treasure", "--json", "--today", "2026-11-25"];
    let outcome = kit::run(call.iter().chain(arguments));
    assert_eq!(outcome.code, 0, "{arguments:?}: {}", outcome.err);
    serde_json::from_str(&outcome.out).expect("is JSON")
}

fn ids<'v>(told: &'v Value, list: &str) -> Vec<&'v str> {
    let rows = told[list].as_array().expect("a list").iter();
    rows.map(|row| row["id"].as_str().expect("an id")).collect()
}

/// The derived cases of facts 1.1 once more, as a person types them, all found in 2026.
#[test]
fn the_derived_cases_through_the_door() {
    let jar =
        "--piece|20 gold sovereigns, 1850|--piece|jar, glass|--same-find|deposit|--hidden|yes";
    for (typed, verdict) in [
        ("--piece|silver penny, 1279", "record_only"),
        (
            "--piece|2 silver pennies, 1279|--same-find|hole",
            "report_now",
        ),
        (
            "--piece|2 silver pennies, 1279|--same-find|scattered",
            "record_only",
        ),
        (
            "--piece|2 silver pennies, 1279|--same-find|scattered-alike",
            "report_if_unsure",
        ),
        (
            "--piece|9 nummi, copper alloy, 330-348|--same-find|hole",
            "report_if_unsure",
        ),
        (
            "--piece|denarius, silver, 98-117|--piece|9 nummi, copper alloy, 330-348|--same-find|deposit",
            "report_now",
        ),
        (
            "--piece|denarius, silver, 98-117|--piece|8 nummi, copper alloy, 330-348|--same-find|deposit",
            "report_if_unsure",
        ),
        (
            "--what|object|--metal|silver-gilt|--made|1700",
            "report_now",
        ),
        ("--what|object|--metal|gold|--made|1740", "report_if_unsure"),
        (
            "--what|object|--metal|silver plated|--made|1650",
            "report_if_unsure",
        ),
        ("--piece|Bronze Age axe, bronze", "record_only"),
        (
            "--piece|2 Bronze Age axes, bronze|--same-find|deposit",
            "report_now",
        ),
        (
            "--piece|pin, bronze with gold foil, Bronze Age",
            "report_now",
        ),
        (
            "--what|coin|--count|2|--metal|copper alloy|--made|Iron Age|--same-find|hole",
            "record_only",
        ),
        (
            "--piece|pot, pottery|--piece|30 silver denarii, 98-180|--same-find|deposit",
            "report_now",
        ),
        ("--piece|pierced silver penny, 1016-1035", "report_now"),
        (
            "--what|coin|--metal|silver|--made|1461-1483|--altered|pierced",
            "report_if_unsure",
        ),
        (jar, "report_now"),
        (
            "--piece|silver object, 1500|--ground|church|--country|england",
            "report_if_unsure",
        ),
    ] {
        let arguments: Vec<&str> = typed.split('|').collect();
        assert_eq!(told(&arguments)["verdict"], verdict, "{typed}");
    }
}

/// Facts 1.1, age: T1 to T3 are certain from a latest year 300 years before the year of the find,
/// possible from an earliest one; in 2026 the line is 1726, and 1826 for the order of 2023.
#[test]
fn the_lines_of_2026_in_the_rules() {
    let of = |made: &str| judged(&facts(&[&format!("silver brooch, {made}")]));
    assert_eq!(of("1726"), (ReportNow, vec!["T1"], vec![]));
    assert_eq!(of("1700-1727"), (ReportIfUnsure, vec![], vec!["T1", "T5"]));
    assert!(!of("1727-1740").2.contains(&"T1"));
    let exceptional = |made: &str| Facts {
        exceptional: Some(Truth::Yes),
        ..facts(&[&format!("copper alloy buckle, {made}")])
    };
    assert!(judged(&exceptional("1826")).1.contains(&"T4c"));
    assert!(!judged(&exceptional("1827")).1.contains(&"T4c"));
}

/// Facts 1.1, T1: "at least 10% by weight", so a tenth is enough and a little less is not.
#[test]
fn a_tenth_of_silver_is_enough() {
    let of = |fineness: &str| {
        let said = [
            "--what|object|--metal|silver|--made|1500|--fineness",
            fineness,
        ]
        .join("|");
        let arguments: Vec<&str> = said.split('|').collect();
        told(&arguments)["verdict"].as_str().map(str::to_string)
    };
    assert_eq!(of("10").as_deref(), Some("report_now"));
    assert_ne!(of("9.9").as_deref(), Some("report_now"));
}

/// Facts 1.1, altered coins: pierced Iron Age and Roman gold and silver is to be reported as well.
#[test]
fn pierced_early_coins_are_reported() {
    for text in [
        "pierced silver denarius, 98-117",
        "pierced gold coin, Iron Age",
    ] {
        assert_eq!(judged(&facts(&[text])).0, ReportNow, "{text}");
    }
    // Without gold or silver there is no such advice.
    assert_eq!(
        judged(&facts(&["pierced nummus, copper alloy, 330-348"])).0,
        RecordOnly
    );
}

/// Facts 1.1, X1: unworked natural things are never treasure, and are shown all the same.
#[test]
fn a_natural_thing_is_recorded_and_its_section_told() {
    let told = told(&["--what", "natural", "--made", "Bronze Age"]);
    assert_eq!(told["verdict"], "record_only");
    assert!(ids(&told, "notes").contains(&"X1"), "{told:#}");
}

/// Treasure Act 1996 s.8(2), the cases of facts 1.2, through the door; the clock is the flag's.
#[test]
fn the_last_day_through_the_door() {
    let two = [
        "treasure",
        "--piece",
        "2 silver pennies, 1279",
        "--same-find",
        "hole",
    ];
    let run = |more: &[&str]| kit::run(two.iter().chain(more)).out;
    let out = run(&["--found", "2026-03-01", "--today", "2026-03-05"]);
    assert!(out.contains("last day: 15 March 2026, in 10 days"), "{out}");
    let out = run(&[
        "--found",
        "2026-03-01",
        "--believed",
        "2026-03-10",
        "--today",
        "2026-03-12",
    ]);
    assert!(out.contains("last day: 23 March 2026, in 11 days"), "{out}");
    let out = run(&["--found", "2026-03-01", "--today", "2026-03-20"]);
    assert!(
        out.contains("15 March 2026, 5 days ago: report it today"),
        "{out}"
    );
    let out = run(&["--found", "2024-02-29", "--today", "2024-03-14"]);
    assert!(out.contains("last day: 14 March 2024, today"), "{out}");
    let out = run(&["--today", "2026-03-05"]);
    assert!(out.contains("say when it was found with --found"), "{out}");
    let told = told(&["--piece", "gold ring, 1500", "--found", "2026-11"]);
    assert_eq!(told["last_day"]["last"], "2026-11-15");
    assert_eq!(told["last_day"]["taken_at_its_earliest"], true);
}

/// A find described as to `identify` brings its age and its metal with their chances.
#[test]
fn an_identification_is_carried_over_with_its_chances() {
    let penny = "silver, 17 mm, 1.2 g, long cross, reads EDW R";
    let one = told(&[penny]);
    assert_eq!(one["verdict"], "record_only");
    assert!(
        one["identified"]
            .as_str()
            .is_some_and(|text| text.contains("penny")),
        "{one}"
    );
    let piece = &one["pieces"][0];
    assert_eq!(piece["at_least_300_years"], "yes", "{piece}");
    let least = piece["at_least_300_years_chance"][0]
        .as_f64()
        .expect("a chance");
    let most = piece["at_least_300_years_chance"][1]
        .as_f64()
        .expect("a chance");
    assert!(
        (GIVEN_FROM..=1.0).contains(&least) && most >= least,
        "{piece}"
    );
    let two = told(&[penny, "--count", "2", "--same-find", "hole"]);
    assert_eq!(two["verdict"], "report_now", "{two}");
    // What is not sure stays open: two discs of which only the size is known.
    let discs = told(&["17 mm", "--count", "2", "--same-find", "hole"]);
    assert_eq!(discs["verdict"], "report_if_unsure", "{discs}");
    assert_eq!(discs["pieces"][0]["tenth_precious"], "open");
    // What lay with it is part of the group.
    let company = told(&[penny, "--found-with", "12 pennies of Edward I"]);
    assert_eq!(company["pieces"][1]["count"], 12, "{company}");
    assert_eq!(company["verdict"], "report_now");
    // The finder's own years go before those of the identification.
    let young = told(&[
        penny,
        "--made",
        "1850",
        "--count",
        "2",
        "--same-find",
        "scattered",
    ]);
    assert_eq!(young["pieces"][0]["at_least_300_years"], "no");
    // The library dates no object, and says so.
    let ring = told(&["gold", "--what", "object"]);
    assert!(
        ring["taken_for_granted"].to_string().contains("--made"),
        "{ring}"
    );
    assert_eq!(ring["verdict"], "report_if_unsure");
}

#[test]
fn bad_input_names_its_flag_and_the_mend() {
    let piece = ["--piece", "silver penny, 1279"];
    for (more, flag, mend) in [
        (&["--found", "2027-01-01"][..], "found", "is still to come"),
        (
            &["--found", "2026-02-29"],
            "--found",
            "February 2026 has 28 days",
        ),
        (
            &["--found", "yesterday"],
            "--found",
            "write it as 2026-03-15",
        ),
        (&["--found", "0000-01-01"], "--found", "no year 0"),
        (&["--believed", "2026-13-01"], "--believed", "no month 13"),
        (
            &["--believed", "2027-01-01"],
            "believed",
            "is still to come",
        ),
        (&["--today", "2026-11"], "--today", "write it as 2026-03-15"),
        (
            &["--made", "1307-1279"],
            "--made",
            "write the earlier year first",
        ),
        (&["--made", "0"], "--made", "no year 0"),
        (&["--made", "2100"], "made", "but found in 2026"),
        (&["--count", "0"], "--count", "give 1 or more"),
        (&["--count", "-2"], "--count", "give 1 or more"),
        (
            &["--metal", "kryptonite", "--what", "object"],
            "--metal",
            "write gold, silver",
        ),
        (&["--fineness", "110"], "--fineness", "0 to 100"),
        (&["--fineness", "NaN"], "--fineness", "0 to 100"),
        (
            &["--piece", "2 coins, shiny"],
            "--piece",
            "parted by commas",
        ),
        (&["--piece", ""], "--piece", "parted by commas"),
        (&["--country", "france"], "--country", "isle-of-man"),
        (&["--same-find", "perhaps"], "--same-find", "one-by-one"),
    ] {
        let call = ["treasure", "--today", "2026-11-25"];
        let call: Vec<&str> = match more[0] {
            "--today" => vec!["treasure"],
            _ => call.to_vec(),
        };
        let outcome = kit::run(call.iter().chain(&piece).chain(more));
        assert_eq!(outcome.code, 2, "{more:?}: {}", outcome.out);
        assert!(outcome.out.is_empty(), "{more:?}: {}", outcome.out);
        assert!(outcome.err.contains(flag), "{more:?}: {}", outcome.err);
        assert!(outcome.err.contains(mend), "{more:?}: {}", outcome.err);
    }
    let outcome = kit::run(["treasure"]);
    assert_eq!(outcome.code, 2);
    assert!(
        outcome.err.contains("say what was found"),
        "{}",
        outcome.err
    );
}

#[test]
fn a_find_from_before_the_act_is_answered_with_its_doubt() {
    let old = told(&["--piece", "gold ring, 1500", "--found", "1995-07-01"]);
    assert_eq!(old["verdict"], "report_if_unsure");
    assert_eq!(ids(&old, "rules"), ["before-act"]);
    let early = told(&[
        "--piece",
        "2 silver pennies, 1279",
        "--same-find",
        "hole",
        "--found",
        "2026-03-01",
        "--believed",
        "2026-02-01",
    ]);
    assert_eq!(early["last_day"]["last"], "2026-03-15");
    assert!(
        early["taken_for_granted"]
            .to_string()
            .contains("lies before the find"),
        "{early}"
    );
}

/// What the law page marks as not verified is shown as such wherever it is shown at all.
#[test]
fn what_is_unverified_is_shown_as_such() {
    let out = kit::run(["treasure", "--rules"]).out;
    let plain = out.split_whitespace().collect::<Vec<_>>().join(" ");
    for entry in LAWS {
        assert!(plain.contains(entry.says), "{}", entry.id);
        assert!(plain.contains(&entry.caveat()), "{}", entry.id);
        if let Some(day) = entry.checked {
            assert!(plain.contains(&format!("Looked at {day}")), "{}", entry.id);
        }
    }
    let ring = told(&[
        "--piece",
        "gold ring, 1740",
        "--exceptional",
        "unsure",
        "--ground",
        "sssi,protected",
        "--country",
        "wales",
    ]);
    let caveat = |list: &str, id: &str| {
        let rows = ring[list].as_array().expect("a list").iter();
        let row = rows
            .into_iter()
            .find(|row| row["id"] == id)
            .unwrap_or_else(|| panic!("{id}: {ring}"));
        row["caveat"].as_str().unwrap_or_default().to_string()
    };
    assert!(caveat("rules", "T4c").contains("not verified"));
    assert!(caveat("notes", "sssi").contains("from memory"));
    assert!(caveat("notes", "w60").contains("from memory"));
    assert!(caveat("notes", "theft").contains("from memory"));
}

#[test]
fn no_page_printed_rules_a_find_out() {
    for typed in [
        "--piece|silver penny, 1279",
        "--piece|silver penny, 1279|--country|scotland",
        "--piece|fossil",
        "--piece|12 jettons, brass, 1600|--same-find|one-by-one",
        "--piece|silver object, 1500|--ground|cathedral",
        "--piece|coin|--hazard|ordnance,human-remains|--ground|military-crash,foreshore,burial",
        "--piece|gold ring, 1950|--hidden|no|--acquired|--leave|no|--country|isle-of-man",
        "--rules",
    ] {
        let outcome = kit::run(["treasure"].into_iter().chain(typed.split('|')));
        assert_eq!(outcome.code, 0, "{typed}: {}", outcome.err);
        let plain = outcome.out.to_lowercase();
        let plain = plain.split_whitespace().collect::<Vec<_>>().join(" ");
        for words in RULING_OUT {
            assert!(!plain.contains(words), "{typed}: {words}: {plain}");
        }
        assert!(
            typed == "--rules" || plain.contains("whom to tell"),
            "{typed}"
        );
    }
}

/// The page names every rule of the Act with the section that the table has.
#[test]
fn the_page_and_the_table_name_the_same_sections() {
    let page = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/treasure.md");
    let page = std::fs::read_to_string(page).expect("docs/treasure.md");
    for id in [
        "T1", "T2", "T3", "T4a", "T4b", "T4c", "T5", "T6", "X1", "X2", "days", "duty",
    ] {
        let stands = law(id).stands;
        assert!(
            page.contains(stands),
            "docs/treasure.md lacks \"{stands}\" of {id}"
        );
    }
}
