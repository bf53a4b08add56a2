//! Drafts of records: the marks of damaged legends against the published guidelines, the facts of
//! published coins, the worked models, what may be passed on, and the verb as a person runs it.
//!
//! "facts" is the project's page of law and recording, state of 25 November 2026. Names and places
//! in the examples are invented.
//!
//! Invariant: every case is drafted as of one day, so that nothing hangs on the clock.

use std::collections::BTreeSet;
use std::path::Path;

use lynchet::find::{Find, Mark, MetalSeen, Side, fold};
use lynchet::findspot;
use lynchet::parse::{self, Field as Trait, Remark};
use lynchet::record::leiden::{About, Break, Doubt, Sign, print, read};
use lynchet::record::*;
use lynchet::simulate;
use lynchet::treasure::CalendarDay;
use lynchet::{House, IdentifyOptions};
use proptest::prelude::*;
use serde_json::Value;
use tempfile::TempDir;

use super::kit;

fn today() -> CalendarDay {
    CalendarDay::read("2026-11-26").expect("a day")
}

/// The draft of a coin, identified as the verb does it.
fn drafted(
    house: &House,
    find: &Find,
    said: &[(Trait, String)],
    remarks: &[Remark],
    circumstances: &Circumstances,
) -> Draft {
    let identified =
        (!find.says_nothing()).then(|| house.identify(find, IdentifyOptions::default()));
    let judged = identified.as_ref().map(|said| Judgement {
        ranking: &said.ranking,
        shares: &said.shares,
        answer: &said.answer,
    });
    let basis = Basis {
        kind: Kind::Coin,
        find,
        said,
        remarks,
        judged,
        thing: None,
        told: &Told::default(),
        circumstances,
        looks: &[],
        catalogue: &house.catalogue,
    };
    draft(&basis, today())
}

fn call(arguments: &[&str]) -> kit::Outcome {
    let mut all = vec!["record", "--today", "2026-11-26"];
    all.extend(arguments);
    kit::run(all)
}

fn answered(arguments: &[&str]) -> String {
    let outcome = call(arguments);
    assert_eq!(outcome.code, 0, "{arguments:?}: {}", outcome.err);
    outcome.out
}

// ---- Marks of damaged legends -------------------------------------------------------------------

/// The marks of the EpiDoc Guidelines 9.8 (January 2026): signs, what is printed, and the XML; where
/// the printed mark is a note or a description there, the note is our own.
fn rows() -> Vec<(Sign, &'static str, &'static str)> {
    let s = String::from;
    let exact = About::Exactly;
    vec![
        (
            Sign::Lost(Some(3), exact),
            "[...]",
            r#"<gap reason="lost" quantity="3" unit="character"/>"#,
        ),
        (
            Sign::Lost(Some(7), About::Roughly),
            "[c.7]",
            r#"<gap reason="lost" quantity="7" unit="character" precision="low"/>"#,
        ),
        (
            Sign::Lost(None, exact),
            "[---]",
            r#"<gap reason="lost" extent="unknown" unit="character"/>"#,
        ),
        (
            Sign::LineLost,
            "------",
            r#"<gap reason="lost" extent="unknown" unit="line"/>"#,
        ),
        (
            Sign::Restored(s("abc"), Doubt::Firm),
            "[abc]",
            r#"<supplied reason="lost">abc</supplied>"#,
        ),
        (
            Sign::Restored(s("abc"), Doubt::Doubtful),
            "[?abc]",
            r#"<supplied reason="lost" cert="low">abc</supplied>"#,
        ),
        (
            Sign::Unclear(s("abc")),
            "a\u{323}b\u{323}c\u{323}",
            "<unclear>abc</unclear>",
        ),
        (
            Sign::Illegible(3),
            "[...]",
            r#"<gap reason="illegible" quantity="3" unit="character"/>"#,
        ),
        (Sign::Senseless(s("abc")), "ABC", "<orig>abc</orig>"),
        (
            Sign::Expanded(s("Aug"), s("ustus"), Doubt::Firm),
            "Aug(ustus)",
            "<expan><abbr>Aug</abbr><ex>ustus</ex></expan>",
        ),
        (Sign::Abbreviated(s("ab")), "ab(---)", "<abbr>ab</abbr>"),
        (
            Sign::Expanded(s("a"), s("bc"), Doubt::Doubtful),
            "a(bc?)",
            r#"<expan>a<ex cert="low">bc</ex></expan>"#,
        ),
        (
            Sign::LeftOut(s("abc")),
            "<abc>",
            r#"<supplied reason="omitted">abc</supplied>"#,
        ),
        (Sign::Surplus(s("a")), "{a}", "<surplus>a</surplus>"),
        (
            Sign::Corrected(s("abc"), s("def")),
            "\u{2308}abc\u{2309}",
            "<choice><corr>abc</corr><sic>def</sic></choice>",
        ),
        (
            Sign::Erased(vec![Sign::Clear(s("abc"))]),
            "[[abc]]",
            r#"<del rend="erasure">abc</del>"#,
        ),
        (
            Sign::Erased(vec![Sign::Lost(Some(3), exact)]),
            "[[[...]]]",
            r#"<del rend="erasure"><gap reason="lost" quantity="3" unit="character"/></del>"#,
        ),
        (
            Sign::Ligature(s("ab")),
            "a\u{361}b",
            r#"<hi rend="ligature">ab</hi>"#,
        ),
        (
            Sign::Reversed(s("v")),
            "((reversed v))",
            r#"<hi rend="reversed">v</hi>"#,
        ),
        (
            Sign::Inverted(s("F")),
            "((inverted F))",
            r#"<hi rend="inverted">F</hi>"#,
        ),
        (
            Sign::RightToLeft,
            "\u{2190}",
            r#"<lb style="direction:rtl"/>"#,
        ),
        (Sign::Break(Break::Line), "|", r#"<lb n="2"/>"#),
        (Sign::Symbol(s("crux")), "((crux))", r##"<g ref="#crux"/>"##),
        (Sign::Monogram, "((monogram))", r#"<g type="monogram"/>"#),
        (
            Sign::Space(3),
            "(vac.3)",
            r#"<space quantity="3" unit="character"/>"#,
        ),
        (
            Sign::Earlier(s("abc")),
            "a\u{332}b\u{332}c\u{332}",
            r#"<supplied reason="undefined" evidence="previouseditor">abc</supplied>"#,
        ),
        (
            Sign::Number(12, s("XII")),
            "XII",
            r#"<num value="12">XII</num>"#,
        ),
    ]
}

/// Signs of the children of an element, read by a general parser of XML.
fn signs_of(node: roxmltree::Node<'_, '_>) -> Vec<Sign> {
    node.children().map(sign_of).collect()
}

fn sign_of(node: roxmltree::Node<'_, '_>) -> Sign {
    if node.is_text() {
        return Sign::Clear(node.text().unwrap_or_default().to_string());
    }
    let name = node.tag_name().name();
    let at = |name: &str| node.attribute(name);
    let inside = || -> String {
        node.descendants()
            .filter_map(|n| n.is_text().then(|| n.text())?)
            .collect()
    };
    let child = |name: &str| {
        let mut children = node.children();
        children
            .find(|child| child.has_tag_name(name))
            .map(|child| child.text().unwrap_or_default().to_string())
    };
    let doubt = |node: roxmltree::Node<'_, '_>| match node.attribute("cert") {
        Some("low") => Doubt::Doubtful,
        _ => Doubt::Firm,
    };
    let count = || at("quantity").and_then(|count| count.parse().ok());
    match (name, at("reason"), at("unit"), at("rend")) {
        ("gap", _, Some("line"), _) => Sign::LineLost,
        ("gap", Some("illegible"), ..) => Sign::Illegible(count().expect("a count")),
        ("gap", ..) => match at("precision") {
            Some("low") => Sign::Lost(count(), About::Roughly),
            _ => Sign::Lost(count(), About::Exactly),
        },
        ("supplied", Some("lost"), ..) => Sign::Restored(inside(), doubt(node)),
        ("supplied", Some("omitted"), ..) => Sign::LeftOut(inside()),
        ("supplied", Some("undefined"), ..) => Sign::Earlier(inside()),
        ("unclear", ..) => Sign::Unclear(inside()),
        ("orig", ..) => Sign::Senseless(inside()),
        ("expan", ..) => {
            let added = child("ex").expect("what is added");
            let ex = node
                .children()
                .find(|child| child.has_tag_name("ex"))
                .expect("ex");
            let stands = child("abbr").unwrap_or_else(|| node.text().unwrap_or_default().into());
            Sign::Expanded(stands, added, doubt(ex))
        }
        ("abbr", ..) => Sign::Abbreviated(inside()),
        ("surplus", ..) => Sign::Surplus(inside()),
        ("choice", ..) => match child("corr") {
            Some(right) => Sign::Corrected(right, child("sic").unwrap_or_default()),
            None => Sign::OneOf(
                node.children()
                    .map(|one| one.text().unwrap_or_default().into())
                    .collect(),
            ),
        },
        ("del", ..) => Sign::Erased(signs_of(node)),
        ("hi", _, _, Some("ligature")) => Sign::Ligature(inside()),
        ("hi", _, _, Some("reversed")) => Sign::Reversed(inside()),
        ("hi", _, _, Some("inverted")) => Sign::Inverted(inside()),
        ("lb", ..) if at("style").is_some() => Sign::RightToLeft,
        ("lb", _, _, Some("stroke")) => Sign::Break(Break::Stroke),
        ("lb", _, _, Some("cut")) => Sign::Break(Break::Cut),
        ("lb", ..) => Sign::Break(Break::Line),
        ("milestone", ..) => Sign::Break(Break::Exergue),
        ("g", ..) => match at("ref") {
            Some(name) => Sign::Symbol(name.trim_start_matches('#').into()),
            None => Sign::Monogram,
        },
        ("space", ..) => Sign::Space(count().expect("a count")),
        ("num", ..) => Sign::Number(
            at("value").and_then(|v| v.parse().ok()).expect("a value"),
            inside(),
        ),
        other => panic!("{other:?}"),
    }
}

fn from_xml(made: &str) -> Vec<Sign> {
    let whole = format!("<ab>{made}</ab>");
    let tree = roxmltree::Document::parse(&whole).unwrap_or_else(|fault| panic!("{made}: {fault}"));
    signs_of(tree.root_element())
}

#[test]
fn every_row_of_the_guidelines_goes_to_xml_and_back() {
    let rows = rows();
    assert_eq!(rows.len(), 27);
    // Rows whose printed mark is that of another row, or of clear letters: they start from the sign.
    let without_mark = |sign: &Sign| {
        matches!(
            sign,
            Sign::Illegible(_) | Sign::Senseless(_) | Sign::Number(..)
        )
    };
    for (sign, printed, made) in rows {
        let signs = vec![sign.clone()];
        assert_eq!(print(&signs), printed);
        assert_eq!(xml(&signs), made, "{printed}");
        assert_eq!(from_xml(made), signs, "{printed}");
        assert_eq!(print(&from_xml(made)), printed);
        if without_mark(&sign) {
            continue;
        }
        // From the printed mark to XML and back to it; a correction prints the right letter alone.
        let read = read(printed);
        assert_eq!(print(&from_xml(&xml(&read))), printed);
        let wanted = match sign {
            Sign::Corrected(right, _) => vec![Sign::Corrected(right, String::new())],
            sign => vec![sign],
        };
        assert_eq!(read, wanted, "{printed}");
    }
}

#[test]
fn breaks_and_choices_go_to_xml_and_back_as_well() {
    for legend in [
        "CIVI/TAS/LON/[DON]",
        "CONSTANT-INVS AVG // PLN",
        "(N/H)ELLO [?AB][c.4]",
        "IMP C|AVG",
        "[+ED]W R ANGL DNS hYB",
    ] {
        let signs = read(legend);
        assert_eq!(print(&from_xml(&xml(&signs))), legend);
    }
    assert!(xml(&read("CIVI/TAS")).contains(r#"break="no""#));
    assert!(!xml(&read("CIVI / TAS")).contains(r#"break="no""#));
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 512,
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(1),
        ..ProptestConfig::default()
    })]

    #[test]
    fn whatever_is_typed_the_xml_is_well_formed(typed in any::<String>(), marks in "[A-C?./|+()\\[\\]{}<>&\"' -]{0,30}") {
        for text in [typed, marks] {
            let made = format!("<ab>{}</ab>", xml(&read(&text)));
            prop_assert!(roxmltree::Document::parse(&made).is_ok(), "{made}");
        }
    }
}

// ---- Published coins ----------------------------------------------------------------------------

/// Twenty coins of the published tables, every eleventh of those with four traits or more.
fn published() -> Vec<Vec<(String, String)>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/coins");
    let mut rows = Vec::new();
    for name in ["roman.csv", "medieval.csv", "early.csv"] {
        let mut table = csv::Reader::from_path(root.join(name)).expect("a table");
        let columns = table.headers().expect("a heading").clone();
        for record in table.records() {
            let record = record.expect("a row");
            let cells = columns.iter().zip(record.iter());
            let cells = cells.filter(|(_, cell)| !cell.is_empty());
            let row: Vec<(String, String)> = cells.map(|(a, b)| (a.into(), b.into())).collect();
            let traits = row
                .iter()
                .filter(|(column, _)| FACTS.contains(&column.as_str()));
            if traits.count() >= 6 {
                rows.push(row);
            }
        }
    }
    let step = rows.len() / 20;
    rows.into_iter().step_by(step).take(20).collect()
}

/// Columns of facts that a draft has to hold.
const FACTS: [&str; 11] = [
    "metal",
    "weight_g",
    "diameter_mm",
    "thickness_mm",
    "die_axis",
    "obverse_legend",
    "reverse_legend",
    "obverse_motif",
    "reverse_motif",
    "wear",
    "completeness",
];

/// Words and figures of a text, in small letters.
fn words(text: &str) -> Vec<String> {
    let text = text.to_lowercase().replace('\u{323}', "");
    text.split(|c: char| !c.is_alphanumeric() && c != '.')
        .map(|word| word.trim_matches('.').to_string())
        .filter(|word| !word.is_empty())
        .collect()
}

fn letters(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphanumeric())
        .collect::<String>()
        .to_uppercase()
}

/// Facts of a row that a form does not hold.
fn lacking(row: &[(String, String)], form: &str) -> Vec<String> {
    let held: BTreeSet<String> = words(form).into_iter().collect();
    let joined = letters(form);
    let mut lacking = Vec::new();
    for (column, cell) in row
        .iter()
        .filter(|(column, _)| FACTS.contains(&column.as_str()))
    {
        let there = match column.as_str() {
            "obverse_legend" | "reverse_legend" => joined.contains(&letters(cell)),
            _ => words(cell).iter().all(|word| {
                let number = word.parse::<f64>().ok().map(|number| number.to_string());
                held.contains(word) || number.is_some_and(|number| held.contains(&number))
            }),
        };
        if !there {
            lacking.push(format!("{column}: {cell}"));
        }
    }
    lacking
}

/// The coins as a table, drafted by the verb in a form, cut into the draft of each.
fn forms_of(coins: &[Vec<(String, String)>], form: &str, folder: &Path) -> Vec<String> {
    let table = folder.join("coins.csv");
    let mut writer = csv::Writer::from_path(&table).expect("a table");
    writer
        .write_record(["id"].iter().chain(&FACTS))
        .expect("written");
    for row in coins {
        let cell = |column: &&str| {
            let found = row.iter().find(|(name, _)| name == column);
            found.map_or("", |(_, cell)| cell.as_str())
        };
        writer
            .write_record(["id"].iter().chain(&FACTS).map(cell))
            .expect("written");
    }
    writer.flush().expect("written");
    let made = answered(&["--table", &table.display().to_string(), "--form", form]);
    let drafts: Vec<String> = match form {
        "text" => made.split("\n----\n").map(String::from).collect(),
        "html" => {
            // As a browser shows it.
            let shown = made
                .replace("&amp;", "&")
                .replace("&quot;", "\"")
                .replace("&#39;", "'");
            shown.split("<article").skip(1).map(String::from).collect()
        }
        "csv" => {
            let mut table = csv::Reader::from_reader(made.as_bytes());
            let rows = table.records();
            rows.map(|row| row.expect("a row").iter().collect::<Vec<_>>().join("\n"))
                .collect()
        }
        _ => {
            let made: Value = serde_json::from_str(&made).expect("JSON");
            let all = made.get("@graph").unwrap_or(&made);
            let all = all.as_array().expect("drafts").iter();
            // Text as it is read, without the signs by which JSON escapes it.
            all.map(|one| one.to_string().replace("\\\"", " "))
                .collect()
        }
    };
    assert_eq!(drafts.len(), coins.len(), "{form}");
    drafts
}

/// Sources: the rows name them (tests/cases/coins/README.md).
#[test]
fn a_draft_of_a_published_coin_holds_every_fact_that_the_input_carried() {
    let folder = TempDir::new().expect("a folder");
    let coins = published();
    assert_eq!(coins.len(), 20);
    let facts = coins.iter().flatten();
    let facts = facts
        .filter(|(column, _)| FACTS.contains(&column.as_str()))
        .count();
    assert!(facts >= 120, "only {facts} facts");
    for form in ["text", "html", "csv", "json-ld", "json"] {
        for (row, made) in coins.iter().zip(forms_of(&coins, form, folder.path())) {
            let lacking = lacking(row, &made);
            assert!(lacking.is_empty(), "{form}: {lacking:?} of {row:?}\n{made}");
        }
    }
}

// ---- The worked models (invented; facts, section 2.1) -------------------------------------------

const MODEL_COIN: [&str; 30] = [
    "--metal",
    "silver",
    "--weight",
    "1.21",
    "--diameter",
    "18.2",
    "--completeness",
    "whole",
    "--wear",
    "worn",
    "--corrosion",
    "light",
    "--treatment",
    "clipped",
    "--die-axis",
    "5",
    "--obverse-legend",
    "[+ED]W R ANGL DNS hYB",
    "--reverse-legend",
    "CIVI/TAS/LON/[DON]",
    "--obverse-motif",
    "crowned facing bust",
    "--reverse-motif",
    "long cross, three pellets in each quarter",
    "--method",
    "metal detector",
    "--landuse",
    "ploughed",
    "--findspot",
    "TG 5140 1317",
];

#[test]
fn the_model_of_a_coin_is_drafted_as_it_is_written() {
    let made = answered(&MODEL_COIN);
    let sentence = made.lines().nth(2).expect("the description");
    let mut at = 0;
    // The parts of the model in its order; the type within Edward I is for the traits to say.
    for part in [
        "Complete, worn, clipped silver penny",
        "of Edward I (1272-1307)",
        "dated 12",
        "Mint of London",
        "Obverse: crowned facing bust",
        "[+ED]W R ANGL DNS hYB",
        "Reverse: long cross, three pellets in each quarter",
        "CIVI/TAS/LON/[DON]",
        "Die axis 5 o'clock",
        "Wear W-A 3",
        "corrosion C 2",
        "Diameter 18.2 mm",
        "weight 1.21 g",
        "Metal detector",
        "cultivated land, ploughed",
        "findspot stated to 8 figures",
    ] {
        let found = sentence[at..].find(part);
        at += found.unwrap_or_else(|| panic!("{part} is not in its place in: {sentence}"));
    }
}

#[test]
fn the_model_of_an_artefact_is_drafted_as_it_is_written() {
    let made = answered(&[
        "copper alloy, 5.62 g, cast, incomplete",
        "--object",
        "strap buckle",
        "--made",
        "1250-1400",
        "--shape",
        "oval frame",
        "--shape",
        "D-shaped section",
        "--shape",
        "narrowed and offset bar",
        "--attachment",
        "plate and pin missing (old break, patinated)",
        "--decoration",
        "front edge has a notched pin rest between two knops",
        "--surface",
        "dark green patina, worn through to brown on the knops",
        "--length",
        "21.4",
        "--width",
        "26.0",
        "--thickness",
        "3.1",
    ]);
    let sentence = made.lines().nth(2).expect("the description");
    assert!(
        sentence.starts_with("Incomplete cast copper alloy strap buckle, Medieval, 1250-1400.")
    );
    for part in [
        "Oval frame",
        "D-shaped section",
        "Narrowed and offset bar",
        "Plate and pin missing (old break, patinated)",
        "Front edge has a notched pin rest between two knops",
        "Dark green patina, worn through to brown on the knops",
        "Length 21.4 mm, width 26 mm, thickness 3.1 mm, weight 5.62 g",
    ] {
        assert!(sentence.contains(part), "{part}: {sentence}");
    }
    assert!(!made.contains("bronze"), "by eye it is copper alloy");
}

// ---- Whatever the find --------------------------------------------------------------------------

/// Facts of a find that its draft does not hold.
fn lost(find: &Find, draft: &Draft, house: &House) -> Vec<String> {
    let mut lost = Vec::new();
    let mut held = |name: &str, wanted: &str| {
        if !draft
            .value(name)
            .to_lowercase()
            .contains(&wanted.to_lowercase())
        {
            lost.push(format!(
                "{name}: {wanted} is not in {:?}",
                draft.value(name)
            ));
        }
    };
    if let Some((metal, _)) = find.metal {
        held("material", metal.name());
    }
    if let Some(axis) = find.die_axis {
        held("die_axis", &format!("{} o'clock", axis.hour()));
    }
    if let Some(wear) = find.wear {
        held("wear", wear.name());
    }
    if let Some(corrosion) = find.corrosion {
        held("corrosion", corrosion.name());
    }
    if let Some(making) = find.making {
        held("manufacture", making.name());
    }
    for treatment in find.treatments.iter().chain(&find.treatments_absent) {
        held("treatment", treatment.name());
    }
    let side = |side: Side, what: &str| match (side, what) {
        (Side::Obverse, what) => format!("obverse_{what}"),
        (Side::Reverse, what) => format!("reverse_{what}"),
        (Side::Unknown, what) => what.to_string(),
    };
    for sighting in &find.sightings {
        held(&side(sighting.side, "description"), &sighting.said);
        let motif = house
            .catalogue
            .motif_by_id(&sighting.motif)
            .expect("a motif");
        held(
            &side(sighting.side, "terms"),
            &house.catalogue.motifs[motif].name,
        );
    }
    for opinion in &find.opinions {
        held("finder_opinion", &opinion.said);
    }
    for companion in &find.company {
        held("found_with", &companion.said);
    }
    if let Some(region) = find.region {
        held("region", region.name());
    }
    let measures = [
        ("weight", find.weight.map(|m| m.value.get())),
        ("diameter", find.diameter.map(|m| m.value.get())),
        ("thickness", find.thickness.map(|m| m.value.get())),
    ];
    for (name, value) in measures {
        let printed = draft
            .value(name)
            .split(' ')
            .next()
            .and_then(|text| text.parse::<f64>().ok());
        let near = value.is_none_or(|value| printed.is_some_and(|p| (p - value).abs() < 6e-4));
        if !near {
            lost.push(format!(
                "{name}: {value:?} is not in {:?}",
                draft.value(name)
            ));
        }
    }
    for reading in &find.readings {
        let legend = draft.value(&side(reading.side, "legend"));
        let of_said: String = reading
            .said
            .chars()
            .filter(|c| c.is_alphanumeric())
            .collect();
        let of_legend: String = legend.chars().filter(|c| c.is_alphanumeric()).collect();
        if !of_legend.contains(&of_said) {
            lost.push(format!("{} is not in {legend}", reading.said));
        }
    }
    lost
}

/// What stands in a draft as measured, read or seen that nobody said.
fn unsaid(find: &Find, draft: &Draft) -> Vec<String> {
    let said = |name: &str| match name {
        "weight" => find.weight.is_some(),
        "diameter" => find.diameter.is_some(),
        "thickness" => find.thickness.is_some(),
        "die_axis" => find.die_axis.is_some(),
        "material" => find.metal.is_some(),
        "completeness" => find.completeness.is_some(),
        "manufacture" => find.making.is_some(),
        "wear" => find.wear.is_some(),
        "corrosion" => find.corrosion.is_some(),
        "treatment" => !(find.treatments.is_empty() && find.treatments_absent.is_empty()),
        "date_on_piece" | "date" => find.date_on_piece.is_some(),
        "obverse_description" | "obverse_terms" => has(find, Side::Obverse).0,
        "reverse_description" | "reverse_terms" => has(find, Side::Reverse).0,
        "description" | "terms" => has(find, Side::Unknown).0,
        "obverse_legend" => has(find, Side::Obverse).1,
        "reverse_legend" => has(find, Side::Reverse).1,
        "legend" => has(find, Side::Unknown).1,
        _ => false,
    };
    let firm = |field: &&Field| {
        matches!(
            field.standing,
            Standing::Measured | Standing::Read | Standing::Seen
        )
    };
    let fields = draft.fields.iter().filter(firm);
    let unsaid = fields.filter(|field| !said(field.name));
    unsaid
        .map(|field| format!("{}: {}", field.name, field.value))
        .collect()
}

/// Whether a side has a figure, and whether it has a letter.
fn has(find: &Find, side: Side) -> (bool, bool) {
    (
        find.sightings.iter().any(|one| one.side == side),
        find.readings.iter().any(|one| one.side == side),
    )
}

#[test]
fn no_fact_of_a_find_is_lost_and_none_is_added() {
    let house = kit::house();
    let catalogue = &house.catalogue;
    let types = simulate::every_period(catalogue);
    let mut restored = 0;
    for (_, find) in simulate::finds(catalogue, &types, 2026, 300) {
        let draft = drafted(house, &find, &[], &[], &Circumstances::default());
        let lost = lost(&find, &draft, house);
        assert!(lost.is_empty(), "{lost:?}\n{find:?}");
        let unsaid = unsaid(&find, &draft);
        assert!(unsaid.is_empty(), "{unsaid:?}\n{find:?}");
        for field in &draft.fields {
            let blank = field.standing == Standing::Blank;
            assert_eq!(blank, field.value.is_empty(), "{field:?}");
            match field.standing {
                Standing::Inferred(chance) => assert!((0.5..=1.0).contains(&chance), "{field:?}"),
                _ => assert!(!field.standing.text().contains("certain"), "{field:?}"),
            }
        }
        for (side, name) in [
            (Side::Obverse, "obverse_legend_restored"),
            (Side::Reverse, "reverse_legend_restored"),
        ] {
            let whole = draft.value(name);
            if whole.is_empty() {
                continue;
            }
            restored += 1;
            let reading = find
                .readings
                .iter()
                .find(|one| one.side == side)
                .expect("a reading");
            assert_eq!(
                outside_brackets(whole),
                seen(&reading.marks),
                "{whole} of {}",
                reading.said
            );
        }
    }
    assert!(restored > 60, "only {restored} legends were restored");
}

/// The letters that were read, folded.
fn seen(marks: &[Mark]) -> String {
    let letters = marks.iter().filter_map(|mark| match mark {
        Mark::Letter { letter, .. } => Some(letter.to_string()),
        Mark::OneOf(some) => Some(some.iter().collect()),
        _ => None,
    });
    letters.collect()
}

/// The letters of a legend outside brackets, folded.
fn outside_brackets(legend: &str) -> String {
    let mut depth = 0;
    let mut letters = String::new();
    for c in legend.chars() {
        match c {
            '[' => depth += 1,
            ']' => depth -= 1,
            c if depth == 0 => letters.push_str(&fold(c)),
            _ => {}
        }
    }
    letters
}

#[test]
fn words_that_are_not_understood_are_kept() {
    let made = answered(&["silver, 18 mm, reads EDW R, zyxwv floop"]);
    let line = made
        .lines()
        .find(|line| line.starts_with("Said and not used:"));
    assert!(
        line.is_some_and(|line| line.contains("zyxwv floop")),
        "{made}"
    );
}

#[test]
fn a_word_that_nothing_can_be_read_is_no_legend() {
    let made = answered(&[
        "silver, 18 mm",
        "--obverse-legend",
        "illegible",
        "--form",
        "epidoc",
    ]);
    let tree = roxmltree::Document::parse(&made).expect("well formed");
    let parts = tree
        .descendants()
        .filter(|node| node.attribute("type") == Some("textpart"));
    assert_eq!(parts.count(), 0, "{made}");
    let own = answered(&["silver, 18 mm", "--obverse-legend", "illegible"]);
    assert!(own.contains("Obverse legend: illegible  [told]"), "{own}");
}

// ---- What the identification says ---------------------------------------------------------------

#[test]
fn nothing_is_named_narrower_than_its_chance_carries() {
    let house = kit::house();
    let of = |words: &str| {
        let (find, remarks) = parse::words(words, &house.lexicon);
        drafted(house, &find, &[], &remarks, &Circumstances::default())
    };
    let open = of("silver, 18 mm");
    assert_eq!(
        open.field("reference").map(|one| &one.standing),
        Some(&Standing::Blank)
    );
    assert!(matches!(
        open.field("ruler").map(|one| &one.standing),
        Some(Standing::Open | Standing::Blank)
    ));
    let named = of("silver, 17 mm, 1.2 g, long cross, reads EDW R");
    assert!(
        matches!(named.field("ruler").map(|one| &one.standing), Some(Standing::Inferred(p)) if *p >= 0.8)
    );
    assert_eq!(
        named.field("reference").map(|one| &one.standing),
        Some(&Standing::Open)
    );
    // Year and type are open (CIfA, Toolkit for Finds Reporting: Roman Coinage), so it would be the
    // reign, 1272-1307; but his pennies of these classes are of fewer years, the last after his death.
    assert_eq!(named.value("date"), "1279-1310");
    // A year on the piece goes before all.
    let dated = of("silver, 26 mm, 2.6 g, bust left, rose behind head, dated 1573");
    assert_eq!(dated.value("date"), "1573");
    assert_eq!(
        dated.field("date").map(|one| &one.standing),
        Some(&Standing::Read)
    );
}

#[test]
fn copper_alloy_by_eye_is_no_bronze_and_gold_by_eye_is_gold() {
    let house = kit::house();
    let material = |metal| {
        let find = Find {
            metal: Some((metal, true)),
            ..Find::default()
        };
        let draft = drafted(house, &find, &[], &[], &Circumstances::default());
        draft.field("material").expect("a field").ids.clone()
    };
    assert!(material(MetalSeen::CopperAlloy).is_empty());
    assert!(material(MetalSeen::WhiteMetal).is_empty());
    assert_eq!(material(MetalSeen::Gold), ["http://nomisma.org/id/av"]);
}

#[test]
fn a_decision_goes_before_the_traits_and_says_whose_it_is() {
    let made = answered(&[
        "silver, 18 mm, reads EDW R",
        "--as",
        "sterling-3g",
        "--by",
        "officer",
        "--json",
    ]);
    let view: Value = serde_json::from_str(&made).expect("JSON");
    let field = |name: &str| {
        let mut fields = view["fields"].as_array().expect("fields").iter();
        fields
            .find(|one| one["name"] == name)
            .expect("a field")
            .clone()
    };
    for name in ["reference", "ruler", "denomination", "date"] {
        assert_eq!(field(name)["standing"], "told", "{name}");
        assert_eq!(field(name)["told_by"], "officer", "{name}");
    }
    // By the traits alone it is nothing of the kind.
    let against = answered(&["silver, 18 mm, reads EDW R", "--as", "offa"]);
    assert!(
        against.contains("speaks against what was decided"),
        "{against}"
    );
}

// ---- What is passed on --------------------------------------------------------------------------

const FORMS: [&str; 5] = ["html", "csv", "json-ld", "epidoc", "json"];

#[test]
fn forms_that_are_passed_on_hold_neither_names_nor_the_exact_place() {
    let hostile = "<script>alert(1)</script> Anne Example, at TG5140913177 (52.65798, 1.71605)";
    let mut asked = vec![
        "silver, 17 mm, 1.2 g, reads EDW R",
        "--findspot",
        "TG 51409 13177",
        "--finder",
        "Anne Example",
        "--landowner",
        "Bartholomew Sample",
        "--note",
        hostile,
        "--by",
        "Carol Instance",
        "--as",
        "penny",
        "--form",
    ];
    for form in FORMS {
        asked.push(form);
        let outcome = call(&asked);
        assert_eq!(outcome.code, 0, "{}", outcome.err);
        assert!(
            outcome.err.contains("names are left out"),
            "{}",
            outcome.err
        );
        for secret in [
            "Anne",
            "Bartholomew",
            "Carol",
            "51409",
            "13177",
            "52.65798",
            "1.71605",
        ] {
            assert!(
                !outcome.out.contains(secret),
                "{form}: {secret}\n{}",
                outcome.out
            );
        }
        assert!(
            form != "html" || !outcome.out.contains("<script"),
            "{}",
            outcome.out
        );
        asked.extend(["--exact-findspot", "--with-names"]);
        let whole = answered(&asked);
        if form != "epidoc" {
            for told in [
                "Anne Example",
                "Bartholomew Sample",
                "Carol Instance",
                "TG 51409 13177",
            ] {
                assert!(whole.contains(told), "{form}: {told}");
            }
        }
        asked.truncate(asked.len() - 3);
    }
    asked.pop();
    let own = answered(&asked);
    assert!(own.contains("TG 51409 13177") && own.contains("Anne Example"));
    asked.extend(["--findspot-to", "10km"]);
    let cut = answered(&asked);
    assert!(cut.contains("TG 5 1") && !cut.contains("51409"), "{cut}");
}

#[test]
fn a_redacted_findspot_says_how_fine_it_is_in_linked_data() {
    let asked = [
        "silver, reads EDW R",
        "--findspot",
        "TG 51409 13177",
        "--form",
        "json-ld",
    ];
    let view: Value = serde_json::from_str(&answered(&asked)).expect("JSON");
    let place = &view["@graph"][0]["nmo:hasFindspot"];
    assert_eq!(place["rec:gridReference"], "TG 51 13");
    assert_eq!(place["rec:squareSideInMetres"]["@value"], "1000");
    // The middle of the square by the room that is tested against published points.
    let spot = findspot::read("TG 51 13").expect("a square");
    let degrees = findspot::Degrees::of(spot.square);
    let latitude: f64 = place["geo:lat"]["@value"]
        .as_str()
        .and_then(|v| v.parse().ok())
        .expect("a number");
    assert!((latitude - degrees.latitude).abs() < 1e-3);
}

#[test]
fn a_table_neutralises_formulas_and_keeps_numbers() {
    let asked = [
        "--weight",
        "1.21",
        "--metal",
        "silver",
        "--obverse-legend",
        "+EDW R ANGL",
        "--note",
        "=cmd|' /C calc'!A0",
        "--form",
        "csv",
    ];
    let made = answered(&asked);
    let mut table = csv::Reader::from_reader(made.as_bytes());
    let columns = table.headers().expect("a heading").clone();
    let row = table.records().next().expect("a row").expect("a row");
    let cell = |name: &str| {
        let place = columns
            .iter()
            .position(|column| column == name)
            .expect("a column");
        row[place].to_string()
    };
    assert_eq!(cell("weight_g"), "1.21");
    assert_eq!(cell("notes"), "'=cmd|' /C calc'!A0");
    assert_eq!(cell("obverse_legend"), "'+EDW R ANGL");
    assert_eq!(columns.len(), row.len());
}

#[test]
fn the_draft_never_rules_a_find_out() {
    for words in [
        "gold, 20 mm, 7 g",
        "lead, 30 mm, 40 g",
        "silver, 18 mm, reads EDW R",
    ] {
        // What nothing in the library fits is drafted too, and the exit code says so.
        let made = call(&[words]).out;
        assert!(
            made.contains("treasure:") && made.contains("lynchet treasure"),
            "{made}"
        );
        assert!(made.contains("do not clean"), "{made}");
        assert!(!made.contains("not treasure"), "{made}");
    }
    let lead = call(&["lead, 30 mm, 40 g"]);
    assert!(lead.code <= 1, "{}", lead.err);
    assert!(lead.out.contains("wash your hands"), "{}", lead.out);
    let group = answered(&[
        "silver, 18 mm, reads EDW R",
        "--found-with",
        "12 pennies of Edward I",
        "--found",
        "2026-11-20",
    ]);
    assert!(
        group.contains("last day to report it: 4 December 2026"),
        "{group}"
    );
}

// ---- Templates and the verb ---------------------------------------------------------------------

#[test]
fn a_printed_template_fills_with_every_field() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("mine.txt");
    std::fs::write(&path, answered(&["--print-template"])).expect("written");
    let mut asked = MODEL_COIN.to_vec();
    let usual = answered(&asked);
    let name = path.display().to_string();
    asked.extend(["--template", &name]);
    let by_template = answered(&asked);
    for line in usual
        .lines()
        .filter(|line| line.contains(": ") && line.ends_with(']'))
    {
        assert!(by_template.contains(line), "{line}\n{by_template}");
    }
    // Lines of blank fields are left out, and so is a paragraph of them.
    std::fs::write(
        &path,
        "Moneyer: {moneyer}\nWeight: {weight}\n\nPictures\n{images}\n",
    )
    .expect("written");
    assert_eq!(answered(&asked), "Weight: 1.21 g\n");
    std::fs::write(&path, "{title}\n{wieght}\n").expect("written");
    let outcome = call(&asked);
    assert_eq!(outcome.code, 2);
    assert!(
        outcome.err.contains("line 2") && outcome.err.contains("weight"),
        "{}",
        outcome.err
    );
    std::fs::write(&path, [0xff, 0xfe, 0x00]).expect("written");
    assert_eq!(call(&asked).code, 2);
}

#[test]
fn faults_name_the_flag_and_the_mend() {
    for (asked, named) in [
        (vec!["--findspot", "TQ 123"], "--findspot"),
        (vec!["--found", "2030-01-01"], "--found"),
        (vec!["--found", "2026-02-30"], "--found"),
        (vec!["--method", "sorcery"], "metal detector"),
        (vec!["--landuse", "moon"], "ploughed"),
        (vec!["--depth", "-3"], "--depth"),
        (vec!["--depth", "NaN"], "--depth"),
        (vec!["--as", "sterling-3x"], "sterling-3"),
        (vec!["--as", "denarius", "--as", "edward-i"], "--as"),
        (vec!["--as", "offa", "--as", "edward-i"], "--as"),
        (vec!["--object", "buckle", "--length", "long"], "--length"),
        (vec!["--object", "buckle", "--made", "yesterday"], "--made"),
        (vec!["--object", "buckle", "--as", "penny"], "--as"),
        (vec!["--length", "3"], "--object"),
        (vec!["--template", "/nowhere/at/all"], "--template"),
        (vec!["--to", "/nowhere/at/all"], "--to"),
        (vec!["--today", "soon"], "--today"),
    ] {
        let mut all = vec!["silver, 18 mm"];
        all.extend(&asked);
        let outcome = kit::run(["record"].iter().chain(&all));
        assert_eq!(outcome.code, 2, "{asked:?}: {}", outcome.out);
        assert!(outcome.err.contains(named), "{asked:?}: {}", outcome.err);
        assert!(outcome.out.is_empty(), "{asked:?}");
    }
    let long = "x".repeat(5000);
    assert_eq!(call(&["silver", "--note", &long]).code, 2);
    assert_eq!(call(&[]).code, 2);
}

#[test]
fn a_file_that_is_there_is_kept_unless_told() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("draft.html");
    let name = path.display().to_string();
    let asked = ["silver, reads EDW R", "--form", "html", "--to", &name];
    assert_eq!(answered(&asked), "");
    let first = std::fs::read_to_string(&path).expect("written");
    assert!(first.starts_with("<!doctype html>") && first.ends_with("</html>\n"));
    let outcome = call(&asked);
    assert_eq!(outcome.code, 2);
    assert!(outcome.err.contains("--force"), "{}", outcome.err);
    let mut forced = asked.to_vec();
    forced.push("--force");
    answered(&forced);
    assert_eq!(
        std::fs::read_dir(folder.path()).expect("a folder").count(),
        1
    );
}

#[test]
fn a_table_is_drafted_row_by_row_and_bad_cells_are_told() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("finds.csv");
    let name = path.display().to_string();
    kit::lay(
        &path,
        "number,metal,weight_g,obverse_legend,findspot,object,method\n\
         1,silver,1.2,EDW R ANGL,TG 5140 1317,,\n\
         2,copper alloy,5.62,,nowhere,strap buckle,\n\
         3,silver,1.1,HENRICVS REX,,,sorcery\n",
    );
    let outcome = call(&["--table", &name, "--form", "csv", "--method", "detector"]);
    assert_eq!(outcome.code, 2, "{}", outcome.err);
    assert!(
        outcome.err.contains("line 3: findspot") && outcome.err.contains("line 4: method"),
        "{}",
        outcome.err
    );
    let mut table = csv::Reader::from_reader(outcome.out.as_bytes());
    let columns = table.headers().expect("a heading").clone();
    let place = |name: &str| {
        columns
            .iter()
            .position(|column| column == name)
            .expect("a column")
    };
    let rows: Vec<csv::StringRecord> = table.records().map(|row| row.expect("a row")).collect();
    let cells = |name: &str| -> Vec<&str> { rows.iter().map(|row| &row[place(name)]).collect() };
    assert_eq!(cells("number"), ["1", "2", "3"]);
    assert_eq!(cells("kind"), ["coin", "artefact", "coin"]);
    assert_eq!(cells("findspot"), ["TG 51 13", "", ""]);
    assert_eq!(cells("method"), ["metal detector"; 3]);
    assert_eq!(cells("weight_g"), ["1.2", "5.62", "1.1"]);
    // The same rows in every form; XML by a general parser.
    let made = kit::run(["record", "--table", &name, "--form", "epidoc"]);
    let tree = roxmltree::Document::parse(&made.out).expect("well formed");
    let divisions = tree
        .descendants()
        .filter(|node| node.attribute("type") == Some("edition"));
    assert_eq!(divisions.count(), 3);
}

#[test]
fn the_same_find_drafts_the_same_every_time() {
    for form in FORMS {
        let mut asked = MODEL_COIN.to_vec();
        asked.extend(["--form", form]);
        assert_eq!(answered(&asked), answered(&asked), "{form}");
    }
}

// ---- Against a general library ------------------------------------------------------------------

/// rdflib reads the JSON-LD without a network: the context is within. Python's own parser reads
/// the EpiDoc.
#[test]
fn a_general_library_reads_the_linked_data() {
    let folder = TempDir::new().expect("a folder");
    let python = kit::outside::python(&["rdflib"]);
    for (form, name) in [("json-ld", "one.jsonld"), ("epidoc", "one.xml")] {
        let mut asked = MODEL_COIN.to_vec();
        asked.extend(["--form", form]);
        std::fs::write(folder.path().join(name), answered(&asked)).expect("written");
    }
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/linked.py");
    let ended = std::process::Command::new(python)
        .arg(script)
        .arg(folder.path())
        .output()
        .expect("Python runs");
    assert!(
        ended.status.success(),
        "{}",
        String::from_utf8_lossy(&ended.stderr)
    );
    let told = String::from_utf8_lossy(&ended.stdout);
    let told: Value = serde_json::from_str(&told).expect("JSON");
    assert_eq!(told["weight"], "1.21");
    assert_eq!(told["axis"], "5");
    assert_eq!(told["material"], "http://nomisma.org/id/ar");
    assert_eq!(told["wear"], "http://nomisma.org/id/worn");
    assert_eq!(told["legend"], "[+ED]W R ANGL DNS hYB");
    assert_eq!(told["square"], "1000");
    assert_eq!(told["parts"], 4);
}
