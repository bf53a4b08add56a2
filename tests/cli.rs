//! The program as a person runs it: every verb, every example, and bad input.
//!
//! Runs the real binary and reads what it prints; knows nothing of the inside. The
//! runs share one cache folder under the build's own, laid afresh for each run of
//! the tests, so the library is prepared once.

use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::sync::LazyLock;

use serde_json::Value;
use tempfile::TempDir;

use super::kit::{self, Outcome, camera, change, lay, small_library};

/// Two waypoints, as a GPX file.
const WALK: &str = "<gpx version='1.1' xmlns='http://www.topografix.com/GPX/1/1'>\
    <wpt lat='52.658007' lon='1.716077'><name>1</name></wpt>\
    <wpt lat='52.658107' lon='1.716177'><name>2</name></wpt></gpx>";
const PENNY: &str = "silver, 17 mm, 1.2 g, long cross, reads EDW R";

// ------------------------------------------------------------------ examples

#[test]
fn every_example_of_the_help_runs() {
    let verbs = [
        "identify",
        "compare",
        "batch",
        "evaluate",
        "findspot",
        "treasure",
        "land",
        "collection",
        "catalogue",
    ];
    let shelf = TempDir::new().expect("a temporary folder");
    for verb in verbs {
        let help = said(&[verb, "--help"]);
        assert_eq!(help.code, 0, "{verb}: {}", help.err);
        let examples = help.out.split("\nExamples:\n").nth(1);
        let examples = examples.unwrap_or_else(|| panic!("{verb} --help shows no examples"));
        let examples = examples.split("\n\n").next().unwrap_or_default();
        assert!(examples.lines().count() >= 2, "{verb}: {examples}");
        for line in examples.lines() {
            let line = line.trim();
            assert!(
                line.starts_with("lynchet "),
                "{verb} --help breaks an example over two lines, so it cannot be copied: {line}"
            );
            run_example(line, verb, shelf.path());
        }
    }
}

#[test]
fn every_example_of_the_documents_runs() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut pages = vec![root.join("README.md")];
    let docs = fs::read_dir(root.join("docs")).expect("docs/");
    pages.extend(docs.map(|entry| entry.expect("an entry").path()));
    pages.retain(|path| path.extension().is_some_and(|ending| ending == "md"));
    // Its commands build on each other: they are run in order by the tests of the export.
    pages.retain(|path| !path.ends_with("shelf-safety.md"));
    pages.sort();
    for path in pages {
        let page = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        let commands = shown_commands(&page);
        let readme = path.ends_with("README.md");
        assert!(!readme || !commands.is_empty(), "the README shows no run");
        let shelf = TempDir::new().expect("a temporary folder");
        for command in commands {
            run_example(&command, &path.display().to_string(), shelf.path());
        }
    }
}

/// The commands of the fenced blocks of shell, each on one line, without the prompt.
pub fn shown_commands(page: &str) -> Vec<String> {
    let mut commands = Vec::new();
    let mut fence = None;
    let joined = page.replace("\\\n", " ");
    for line in joined.lines() {
        let line = line.trim();
        if let Some(kind) = line.strip_prefix("```") {
            fence = if fence.is_none() { Some(kind) } else { None };
            continue;
        }
        let command = match fence {
            Some("console") => line.strip_prefix("$ "),
            Some("sh" | "bash" | "shell") => Some(line),
            _ => None,
        };
        let Some(command) = command else { continue };
        let ours = shell_words(command).is_some_and(|words| arguments(&words).is_some());
        if ours || command.starts_with("lynchet ") {
            commands.push(command.to_string());
        }
    }
    commands
}

/// Runs an example in a folder with the files it names; it must answer, or find nothing. The
/// examples of one page keep their finds on one shelf.
fn run_example(line: &str, place: &str, shelf: &Path) {
    let folder = TempDir::new().expect("a temporary folder");
    let words = shell_words(line).unwrap_or_else(|| panic!("{place}: a quote is open in {line}"));
    let arguments = arguments(&words);
    let mut arguments = arguments.unwrap_or_else(|| panic!("{place}: not our program: {line}"));
    let keeps = ["land", "collection"].contains(&arguments[0].as_str())
        || arguments
            .iter()
            .any(|word| word == "--keep" || word == "--land");
    match arguments.iter().position(|word| word == "--shelf") {
        // A shelf that is named lies beside nothing of the user's either.
        Some(at) => arguments[at + 1] = shelf.join(&arguments[at + 1]).display().to_string(),
        None if keeps => arguments.extend(["--shelf".into(), shelf.display().to_string()]),
        None => {}
    }
    for pair in words.windows(2).filter(|pair| pair[0] == "--document") {
        lay(&folder.path().join(&pair[1]), "%PDF-1.4 agreed");
    }
    for word in words.iter().filter_map(|word| word.split_once(".jpg=")) {
        let name = format!("{}.jpg", word.0);
        // Each is a picture of its own: what stands after the end of a JPEG is nobody's business.
        let mut bytes = camera::example(false, &name);
        bytes.extend(name.bytes());
        fs::write(folder.path().join(name), bytes).expect("the picture is laid");
    }
    let names = words.iter().filter(|word| !word.starts_with('-'));
    for name in names.filter(|name| name.ends_with(".csv")) {
        lay(&folder.path().join(name), identified_table());
    }
    for name in words.iter().filter(|name| name.ends_with(".gpx")) {
        lay(&folder.path().join(name), WALK);
    }
    // Pictures that are read, not those that are written.
    let written = ["-o", "--outline"];
    for pair in words
        .windows(2)
        .filter(|pair| !written.contains(&pair[0].as_str()))
    {
        if pair[1].ends_with(".png") || pair[1].ends_with(".jpg") {
            let bytes = camera::example(pair[1].starts_with("beside"), &pair[1]);
            fs::write(folder.path().join(&pair[1]), bytes).expect("the picture is laid");
        }
    }
    let library = Path::new(env!("CARGO_MANIFEST_DIR")).join("catalogue");
    for pair in arguments.windows(2) {
        let to = folder.path().join(&pair[1]);
        let names_library = ["--catalogue", "tidy"].contains(&pair[0].as_str());
        if names_library && !pair[1].starts_with(['-', '/']) && !to.exists() {
            copy_folder(&library, &to);
        }
    }
    let ended = run_in(folder.path(), &arguments, identified_table());
    assert!(
        ended.code == 0 || ended.code == 1,
        "{place}: {line}\nended with {}\n{}",
        ended.code,
        ended.err
    );
    assert!(
        !ended.out.trim().is_empty() || line.contains("--to") || line.contains("--pack"),
        "{line}"
    );
}

/// What the first of our programs in a line of shell is given, if there is one.
fn arguments(words: &[String]) -> Option<Vec<String>> {
    let commands = words.split(|w| ["|", "&&", ";", "||"].contains(&w.as_str()));
    for command in commands {
        let first = command.first()?;
        let given = if Path::new(first).file_name() == Some(OsStr::new("lynchet")) {
            &command[1..]
        } else if first == "cargo" && command.get(1).is_some_and(|w| w == "run") {
            let at = command.iter().position(|word| word == "--")?;
            &command[at + 1..]
        } else {
            continue;
        };
        let end = given
            .iter()
            .position(|w| w.starts_with('>') || w.starts_with('<') || w.starts_with("2>"));
        return Some(given[..end.unwrap_or(given.len())].to_vec());
    }
    None
}

/// Splits a line as a shell does: quotes kept together, a comment left off.
pub fn shell_words(line: &str) -> Option<Vec<String>> {
    let mut words = Vec::new();
    let mut word: Option<String> = None;
    let mut chars = line.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '#' if word.is_none() => break,
            '\'' | '"' => {
                let held = word.get_or_insert_default();
                loop {
                    match chars.next()? {
                        end if end == c => break,
                        '\\' if c == '"' => held.push(chars.next()?),
                        other => held.push(other),
                    }
                }
            }
            '\\' => word.get_or_insert_default().push(chars.next()?),
            c if c.is_whitespace() => words.extend(word.take()),
            c => word.get_or_insert_default().push(c),
        }
    }
    words.extend(word);
    Some(words)
}

// ------------------------------------------------------------------ identify

#[test]
fn words_and_flags_say_the_same() {
    let flags = [
        "identify",
        "--json",
        "--metal",
        "silver",
        "--diameter",
        "17",
        "--weight",
        "1.2",
        "--motif",
        "long cross",
        "--legend",
        "EDW R",
    ];
    let by_flags = answer(&flags);
    let by_words = answer(&["identify", "--json", PENNY]);
    assert_eq!(text(&by_flags["denomination"][0]["id"]), "penny");
    assert_eq!(by_flags["types"], by_words["types"]);
    // Several words need no quotes.
    let loose: Vec<&str> = ["identify", "--json"]
        .into_iter()
        .chain(PENNY.split(' '))
        .collect();
    assert_eq!(answer(&loose), by_words);
}

#[test]
fn a_flag_wins_over_words_and_says_so() {
    let both = answer(&[
        "identify",
        "--json",
        "--metal",
        "bronze",
        "--id",
        "A7",
        "silver, 17 mm",
    ]);
    let flag = answer(&[
        "identify", "--json", "--metal", "bronze", "--id", "A7", "17 mm",
    ]);
    assert_eq!(both["types"], flag["types"]);
    assert_eq!(text(&both["id"]), "A7");
    let remark = &both["remarks"][0];
    assert_eq!(text(&remark["kind"]), "contradiction", "{both}");
    assert_eq!(
        (text(&remark["field"]), text(&remark["said"])),
        ("metal", "silver")
    );
    assert_eq!(flag["remarks"], Value::Array(Vec::new()));
}

#[test]
fn the_json_has_the_documented_shape() {
    let said = answer(&[
        "identify",
        "--json",
        "--id",
        "A7",
        "--flat-prior",
        "--judge-all",
        PENNY,
    ]);
    let documented = [
        "id",
        "unlisted",
        "period",
        "ruler",
        "denomination",
        "series",
        "types",
        "date",
        "answer",
        "reasons",
        "remarks",
    ];
    for key in documented {
        assert!(keys(&said).contains(key), "lacks {key}: {said}");
    }
    for level in ["period", "ruler", "denomination", "series"] {
        for share in list(&said[level]) {
            assert_eq!(keys(share), BTreeSet::from(["id", "name", "p"]), "{level}");
            assert!(share["id"].is_string() || text(&share["name"]) == "none named");
            assert!((0.0..=1.0).contains(&number(&share["p"])), "{share}");
        }
    }
    for coin in list(&said["types"]) {
        assert_eq!(
            keys(coin),
            BTreeSet::from(["id", "name", "p", "nats", "from", "to"])
        );
        assert!(number(&coin["from"]) <= number(&coin["to"]), "{coin}");
    }
    assert_eq!(
        keys(&said["date"]),
        BTreeSet::from(["median", "p50", "p80", "p95"])
    );
    let span = |name: &str| {
        (
            number(&said["date"][name][0]),
            number(&said["date"][name][1]),
        )
    };
    let (half, eighty, most) = (span("p50"), span("p80"), span("p95"));
    assert!(half.0 <= half.1 && eighty.1 - eighty.0 >= half.1 - half.0);
    assert!(most.1 - most.0 >= eighty.1 - eighty.0, "{}", said["date"]);
    assert_eq!(
        keys(&said["answer"]),
        BTreeSet::from(["level", "text", "p", "words"])
    );
    for reason in list(&said["reasons"]) {
        assert!(!text(&reason["text"]).is_empty() && reason["nats"].is_number());
    }
}

#[test]
fn lists_are_as_long_as_asked() {
    for top in [0, 1, 3] {
        let said = answer(&[
            "identify",
            "--json",
            "--top",
            &top.to_string(),
            "silver, 17 mm",
        ]);
        for name in ["period", "ruler", "denomination", "series", "types"] {
            let held = list(&said[name]);
            assert!(held.len() <= top, "{name} at --top {top}: {}", held.len());
            let falling = held
                .windows(2)
                .all(|two| number(&two[0]["p"]) >= number(&two[1]["p"]));
            assert!(falling, "{name} is not in order");
        }
        assert_eq!(list(&said["types"]).len(), top);
    }
}

#[test]
fn probabilities_and_reasons_add_up() {
    for find in [
        PENNY,
        "bronze, 17 mm, two soldiers with a standard",
        "lead, 30 mm, milled",
    ] {
        let said = answer(&["identify", "--json", "--top", "100000", find]);
        let unlisted = number(&said["unlisted"]);
        for name in ["period", "ruler", "denomination", "series", "types"] {
            let sum: f64 = list(&said[name])
                .iter()
                .map(|share| number(&share["p"]))
                .sum();
            assert!(
                (sum + unlisted - 1.0).abs() < 1e-9,
                "{name}: {sum} and {unlisted}"
            );
        }
        // Nats are held against "not in the library"; together they are the total of the type
        // explained, which is one of those listed.
        let nats: f64 = list(&said["reasons"])
            .iter()
            .map(|r| number(&r["nats"]))
            .sum();
        let fits = list(&said["types"])
            .iter()
            .any(|coin| (number(&coin["nats"]) - nats).abs() < 1e-9);
        assert!(fits, "{find}: the reasons sum to {nats}");
    }
}

/// A chance that two decimals would round to one or to nothing is said as `over 0.99` or `under 0.01`,
/// wherever a person reads it; none of these finds weighs one gram.
#[test]
fn no_chance_is_printed_as_certainty() {
    let thing = "bronze brooch, 45 mm long, spring and pin, bow shaped";
    let pair = ["sterling-3g", "sterling-9b"];
    let hoard = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/hoards/langley.csv");
    let hoard = hoard.to_str().expect("a path");
    let calls: [&[&str]; 5] = [
        &["identify", PENNY],
        &["identify", "--thing", thing],
        &["treasure", PENNY],
        &["hoard", hoard],
        &["compare", pair[0], pair[1], "--find", PENNY],
    ];
    let mut at_an_end = 0;
    for call in calls {
        let ran = said(call);
        assert!(ran.code < 2, "{call:?}: {}", ran.err);
        let bare = |c: char| !(c.is_ascii_digit() || c == '.');
        let figures: Vec<&str> = ran.out.split(bare).collect();
        for certain in ["1.00", "0.00"] {
            assert!(!figures.contains(&certain), "{call:?}:\n{}", ran.out);
        }
        at_an_end += usize::from(ran.out.contains("under 0.01") || ran.out.contains("over 0.99"));
    }
    assert!(at_an_end >= 3, "only {at_an_end} came near certainty");
}

#[test]
fn the_exit_code_says_how_it_ended() {
    assert_eq!(said(&["identify", PENNY]).code, 0);
    let nothing_fits = said(&["identify", "--opinion", "penny", "--weight", "1 kg"]);
    assert_eq!(nothing_fits.code, 1, "{}", nothing_fits.out);
    assert!(
        nothing_fits.out.contains("1000 g is kept"),
        "{}",
        nothing_fits.out
    );
    assert!(
        nothing_fits.out.contains("ot in the library"),
        "{}",
        nothing_fits.out
    );

    let misspelt = said(&["identify", "--wieght", "3"]);
    assert_eq!(misspelt.code, 2);
    assert!(misspelt.err.contains("'--weight'"), "{}", misspelt.err);
    for empty in [
        &["identify"][..],
        &["identify", ""],
        &["identify", "--metal", " ", ""],
    ] {
        let ended = said(empty);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{empty:?}");
        assert!(ended.err.contains("nothing to go on"), "{}", ended.err);
        assert!(
            ended.err.contains("for example: lynchet identify"),
            "{}",
            ended.err
        );
    }
    let version = kit::run(["--version"]);
    assert_eq!(
        (version.code, version.out),
        (0, format!("lynchet {}\n", env!("CARGO_PKG_VERSION")))
    );
    assert_eq!(said::<&str>(&[]).code, 2);
    assert_eq!(said(&["guess"]).code, 2);
}

#[test]
fn bad_values_are_named_with_a_mend() {
    for (flag, value, kind, mend) in [
        ("weight", "-3", "impossible", "write it as 1.2 g"),
        ("weight", "0", "impossible", "write it as 1.2 g"),
        ("weight", "NaN", "not-understood", "write it as 1.2 g"),
        ("weight", "inf", "not-understood", "write it as 1.2 g"),
        ("weight", "1,2 g", "assumed", "write a point"),
        ("weight", "1 kg", "assumed", "check the unit"),
        ("diameter", "17 cm", "assumed", "write \"17 mm\""),
        ("diameter", "3 oz", "impossible", "write it as 17 mm"),
        ("die-axis", "13", "impossible", "write it as 6"),
        (
            "metal",
            "plastic",
            "not-understood",
            "use words of the guide",
        ),
        ("obverse-motif", "xqzzy", "not-understood", ""),
        ("opinion", "xqzzy", "not-understood", ""),
    ] {
        let name = format!("--{flag}");
        let ended = said(&["identify", "--json", "long cross", &name, value]);
        assert!(ended.code <= 1, "{flag} {value}: {}", ended.err);
        let told: Value = serde_json::from_str(&ended.out).expect("JSON");
        // What weighs a kilogramme may be no coin, and is answered both ways.
        let told = told.get("coin").unwrap_or(&told);
        let told = list(&told["remarks"]);
        let fitting = told
            .iter()
            .find(|remark| text(&remark["field"]) == flag && text(&remark["said"]).contains(value));
        let remark = fitting.unwrap_or_else(|| panic!("{flag} {value}: {told:?}"));
        assert_eq!(text(&remark["kind"]), kind, "{flag} {value}");
        assert!(text(&remark["mend"]).contains(mend), "{remark}");
    }
    // With nothing else to go on, the message says why.
    let alone = said(&["identify", "--weight", "-3"]);
    assert_eq!(alone.code, 2);
    assert!(
        alone.err.contains("weight: \"-3\" is not possible"),
        "{}",
        alone.err
    );
}

#[test]
fn letters_of_other_scripts_are_kept_and_remarked_on() {
    for legend in [
        "ΒΑΣΙΛΕΥΣ",
        "ЦАРЬ",
        "السلطان",
        "開元通寳",
        "E\u{301}DW\u{200f} Ω",
    ] {
        let said = answer(&[
            "identify", "--json", "--metal", "silver", "--legend", legend,
        ]);
        let remarks = list(&said["remarks"]);
        let told = remarks.iter().any(|r| text(&r["field"]) == "legend");
        assert!(told, "{legend}: {said}");
    }
}

#[test]
fn thousands_of_flags_are_heard() {
    let mut given = vec!["identify".to_string(), "--json".to_string()];
    for number in 0..2000 {
        given.extend(["--motif".to_string(), "horse".to_string()]);
        given.extend(["--opinion".to_string(), format!("nonsense{number}")]);
    }
    let ended = said(&given);
    assert!(ended.code <= 1, "{}", ended.err);
    let told: Value = serde_json::from_str(&ended.out).expect("JSON");
    assert!(
        list(&told["remarks"]).len() >= 2000,
        "some words were dropped"
    );
}

// ------------------------------------------------------------------ batch

#[test]
fn a_rough_table_costs_only_the_rows_at_fault() {
    let folder = TempDir::new().expect("a temporary folder");
    let rows: [&[u8]; 10] = [
        b"\xef\xbb\xbfid,Metal,weight_g,obverse_legend,ruler_or_authority,find spot",
        b"a,silver,1.2,EDW R,Edward I,\"Ely, north\"",
        b",silver,1.3,,,",
        b"a,silver,1.2,EDW R,,",
        b"short,gold",
        b"long,gold,7.9,,,,and,more",
        b"",
        b"bytes,sil\xffver,1.2,,,",
        b"nul,silver,1\x00.2,E\x00DW,,",
        b"last,copper alloy,-3,\"CON\"STAN,,",
    ];
    for line_end in ["\n", "\r\n"] {
        let table = folder.path().join("finds.csv");
        fs::write(&table, rows.join(line_end.as_bytes())).expect("a table");
        let ended = run_in(folder.path(), &["batch", "finds.csv"], "");
        assert_eq!(ended.code, 2, "{}", ended.err);
        let answers = json_lines(&ended.out);
        let ids: Vec<&str> = answers.iter().map(|answer| text(&answer["id"])).collect();
        let expected = ["a", "line-3", "a", "short", "long", "bytes", "nul", "last"];
        assert_eq!(ids, expected, "with line ends {line_end:?}");
        let kept = &answers[0]["kept"];
        assert_eq!(text(&kept["find spot"]), "Ely, north");
        assert_eq!(text(&kept["ruler_or_authority"]), "Edward I");
        assert_eq!(list(&answers[0]["remarks"]).len(), 0, "{}", answers[0]);
        for (at, words) in [
            (2, "earlier row"),
            (3, "2 cells"),
            (4, "8 cells"),
            (5, "UTF-8"),
            (6, "control characters"),
            (7, "-3"),
        ] {
            let told = answers[at]["remarks"].to_string();
            assert!(told.contains(words), "{}: {told}", ids[at]);
        }
        for (line, words) in [(5, "2 cells"), (6, "8 cells"), (8, "not UTF-8")] {
            let start = format!("line {line}: ");
            let told = ended.err.lines().find(|told| told.starts_with(&start));
            assert!(
                told.is_some_and(|told| told.contains(words)),
                "line {line}: {}",
                ended.err
            );
        }
        assert_eq!(ended.err.lines().count(), 3, "{}", ended.err);
    }
}

#[test]
fn an_open_quote_is_told_and_no_row_is_lost_in_silence() {
    for following in [1, 40] {
        let mut table = "id,metal,weight_g\na,\"silver,1.2\n".to_string();
        (0..following).for_each(|row| table.push_str(&format!("row{row},gold,7.9\n")));
        let ended = with_input(&["batch", "-"], &table);
        assert_eq!(ended.code, 2, "{following} rows after: {}", ended.out);
        assert!(ended.err.contains("line 2: "), "{}", ended.err);
        assert!(ended.err.contains("quote"), "{}", ended.err);
    }
}

#[test]
fn a_row_swallowed_by_a_note_is_told() {
    let table = "id,metal,note\na,silver,\"from the hedge\nb,gold,by the gate\n";
    let ended = kit::run_with_input(["batch", "-"], table);
    assert_eq!(
        ended.code, 2,
        "the row b is gone without a word: {}",
        ended.out
    );
    assert!(
        ended.err.contains("line 2: ") && ended.err.contains("quote"),
        "{}",
        ended.err
    );
    // A note of two lines, closed as it should be, is no fault.
    let sound = kit::run_with_input(
        ["batch", "-"],
        &table.replace("hedge\nb,gold,by the gate", "hedge\nby the gate\""),
    );
    assert_eq!((sound.code, sound.err.as_str()), (0, ""), "{}", sound.out);
}

#[test]
fn a_megabyte_of_legend_is_cut_and_told() {
    let legend = "EDWARD REX ".repeat(100_000);
    let table = format!("id,metal,obverse_legend\nbig,silver,{legend}\nnext,silver,EDW\n");
    let ended = with_input(&["batch", "-", "--top", "1"], &table);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let answers = json_lines(&ended.out);
    assert_eq!(answers.len(), 2);
    let told = answers[0]["remarks"].to_string();
    assert!(told.contains("20000 characters"), "{told}");
    assert_eq!(list(&answers[1]["remarks"]).len(), 0);
}

#[test]
fn tables_that_are_none_are_refused() {
    let folder = TempDir::new().expect("a temporary folder");
    lay(&folder.path().join("empty.csv"), "");
    lay(&folder.path().join("bare.csv"), "id,licence\n1,CC0\n");
    lay(&folder.path().join("heading.csv"), "id,metal\n");
    for (name, what, mend) in [
        (
            "empty.csv",
            "empty.csv has no heading line",
            "must name the columns",
        ),
        (
            "bare.csv",
            "no column of the table",
            "name columns such as metal",
        ),
        (".", ". is a folder", "name a CSV file"),
        ("missing.csv", "missing.csv: ", "name a CSV file"),
    ] {
        for verb in ["batch", "evaluate"] {
            let ended = run_in(folder.path(), &[verb, name], "");
            assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{verb} {name}");
            assert!(
                ended.err.contains(what) && ended.err.contains(mend),
                "{}",
                ended.err
            );
        }
    }
    let heading = run_in(folder.path(), &["batch", "heading.csv"], "");
    assert_eq!(
        (heading.code, heading.out.as_str()),
        (0, ""),
        "{}",
        heading.err
    );
}

#[test]
fn columns_of_identity_are_not_looked_at() {
    let with = with_input(&["batch", "-"], identified_table());
    let mut lines = identified_table().lines();
    let bare: String =
        std::iter::once("id,metal,weight_g,diameter_mm,obverse_legend,words\n".to_string())
            .chain(lines.by_ref().skip(1).map(|line| {
                let cells: Vec<&str> = line.splitn(11, ',').collect();
                format!("{},{},{}\n", cells[0], cells[9], cells[10])
            }))
            .collect();
    let without = with_input(&["batch", "-"], &bare);
    assert_eq!(
        (with.code, without.code),
        (0, 0),
        "{}{}",
        with.err,
        without.err
    );
    let judged = |ended: &Outcome| -> Vec<Value> {
        let mut answers = json_lines(&ended.out);
        for answer in &mut answers {
            answer["kept"] = Value::Null;
        }
        answers
    };
    assert_eq!(judged(&with), judged(&without));
    let kept = &json_lines(&with.out)[0]["kept"];
    assert_eq!(text(&kept["denomination_or_type"]), "penny");
}

#[test]
fn every_other_column_is_carried_through() {
    let table =
        "note,id,metal,Weight (g),note,Fundort\nfirst,a,silver,1.2,second,\"Köln, \"\"Dom\"\"\"\n";
    let sheet = with_input(&["batch", "-", "--form", "csv"], table);
    assert_eq!(sheet.code, 0, "{}", sheet.err);
    let mut reader = csv::Reader::from_reader(sheet.out.as_bytes());
    let heading = reader.headers().expect("a heading").clone();
    let row = reader
        .records()
        .next()
        .expect("a row")
        .expect("a sound row");
    let expected = ["note", "id", "metal", "Weight (g)", "note", "Fundort"];
    assert_eq!(heading.iter().take(6).collect::<Vec<_>>(), expected);
    let cells = ["first", "a", "silver", "1.2", "second", "Köln, \"Dom\""];
    assert_eq!(row.iter().take(6).collect::<Vec<_>>(), cells);
    assert!(
        heading
            .iter()
            .skip(6)
            .all(|name| name.starts_with("lynchet_"))
    );
    assert_eq!(row.len(), heading.len());

    let line = with_input(&["batch", "-"], table);
    let kept = json_lines(&line.out)[0]["kept"].to_string();
    for cell in ["first", "second", "Köln"] {
        assert!(kept.contains(cell), "{cell} is lost: {kept}");
    }
}

#[test]
fn order_is_kept_over_many_pieces() {
    let table = many_rows(1300);
    let ended = with_input(&["batch", "-", "--top", "1"], &table);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let ids: Vec<String> = json_lines(&ended.out)
        .iter()
        .map(|a| text(&a["id"]).to_string())
        .collect();
    assert_eq!(ids, (0..1300).map(|n| format!("f{n}")).collect::<Vec<_>>());
}

#[test]
fn answers_are_written_whole_or_not_at_all() {
    let folder = TempDir::new().expect("a temporary folder");
    let (place, old) = (folder.path(), "kept from last year\n");
    let listing = || -> BTreeSet<String> {
        let entries = fs::read_dir(place).expect("the folder");
        entries
            .map(|e| {
                e.expect("an entry")
                    .file_name()
                    .to_string_lossy()
                    .into_owned()
            })
            .collect()
    };
    lay(&place.join("finds.csv"), identified_table());
    lay(&place.join("answers.jsonl"), old);
    lay(&place.join("bare.csv"), "id\n1\n");
    fs::create_dir(place.join("full")).expect("a folder");
    lay(&place.join("full/kept"), old);
    let before = listing();
    for (table, to) in [
        ("missing.csv", "answers.jsonl"),
        ("bare.csv", "answers.jsonl"),
        ("finds.csv", "full"),
        ("finds.csv", "nowhere/answers.jsonl"),
        ("finds.csv", "/"),
    ] {
        let ended = run_in(place, &["batch", table, "--to", to], "");
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{table} to {to}");
        assert!(ended.err.starts_with("lynchet: "), "{}", ended.err);
        assert_eq!(listing(), before, "{table} to {to}");
    }
    assert_eq!(
        fs::read_to_string(place.join("answers.jsonl")).expect("the old file"),
        old
    );

    // A run cut off half way leaves the old file as it was.
    let mut door = door(place);
    door.args(["batch", "-", "--to", "answers.jsonl"])
        .stdin(Stdio::piped());
    let mut running = door.spawn().expect("the program starts");
    let pipe = running.stdin.as_mut().expect("an input");
    pipe.write_all(many_rows(600).as_bytes())
        .expect("rows are taken");
    running.kill().expect("the run is cut off");
    running.wait().expect("the program ends");
    assert_eq!(
        fs::read_to_string(place.join("answers.jsonl")).expect("the old file"),
        old
    );

    let ended = run_in(place, &["batch", "finds.csv", "--to", "answers.jsonl"], "");
    assert_eq!((ended.code, ended.out.as_str()), (0, ""), "{}", ended.err);
    let written = fs::read_to_string(place.join("answers.jsonl")).expect("the new file");
    let printed = run_in(place, &["batch", "finds.csv"], "");
    assert_eq!(written, printed.out);
}

#[test]
fn a_reader_that_leaves_is_no_fault() {
    let folder = TempDir::new().expect("a temporary folder");
    lay(&folder.path().join("finds.csv"), &many_rows(600));
    for form in ["jsonl", "csv"] {
        let mut door = door(folder.path());
        door.args(["batch", "finds.csv", "--form", form]);
        door.stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut running = door.spawn().expect("the program starts");
        let mut first = String::new();
        let mut reader = BufReader::with_capacity(64, running.stdout.take().expect("an output"));
        reader.read_line(&mut first).expect("a line");
        drop(reader);
        let ended = Outcome::from(running.wait_with_output().expect("the program ends"));
        assert!(first.contains("id"), "{first}");
        assert_eq!((ended.code, ended.err.as_str()), (0, ""), "{form}");
    }
}

// ------------------------------------------------------------------ evaluate

#[test]
fn evaluate_accounts_for_every_row() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/specimens/public.csv");
    let mut reader = csv::Reader::from_path(&path).expect("the specimens");
    let heading = reader.headers().expect("a heading").clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    let cell = |row: &csv::StringRecord, name: &str| -> String {
        let at = heading
            .iter()
            .position(|column| column == name)
            .expect("the column");
        row.get(at).unwrap_or_default().trim().to_string()
    };
    let report = answer(&[
        OsStr::new("evaluate"),
        path.as_os_str(),
        OsStr::new("--json"),
    ]);
    let documented = [
        "n",
        "resolved",
        "levels",
        "calibration",
        "date",
        "confident_wrong",
        "unresolved",
    ];
    for key in documented {
        assert!(keys(&report).contains(key), "lacks {key}");
    }
    assert_eq!(number(&report["n"]) as usize, rows.len());
    let unresolved = list(&report["unresolved"]);
    let listed = |id: &str, column: &str| {
        let of = unresolved.iter().find(|row| text(&row["id"]) == id);
        let start = format!("{column}: ");
        of.is_some_and(|row| {
            list(&row["names"])
                .iter()
                .any(|n| text(n).starts_with(&start))
        })
    };
    for (level, column) in [
        ("period", "period"),
        ("denomination", "denomination_or_type"),
    ] {
        let missed = rows
            .iter()
            .filter(|row| listed(&cell(row, "id"), column))
            .count();
        let blank = rows
            .iter()
            .filter(|row| cell(row, column).is_empty())
            .count();
        let resolved = number(&report["resolved"][level]) as usize;
        assert_eq!(resolved + missed + blank, rows.len(), "{level}");
    }
    for (level, hits) in report["levels"].as_object().expect("levels") {
        let count = |name: &str| number(&hits[name]);
        assert!(
            count("top1") <= count("top3") && count("top3") <= count("top5"),
            "{level}"
        );
        assert!(count("top5") <= count("n"), "{level}");
        assert!(
            number(&report["calibration"][level]["brier"]) <= 2.0,
            "{level}"
        );
    }
    assert_eq!(
        keys(&report["levels"]),
        BTreeSet::from(["period", "ruler", "denomination", "type"])
    );
    assert_eq!(keys(&report["resolved"]), keys(&report["levels"]));
    for key in ["median_distance", "mean_distance"] {
        assert!(number(&report["date"][key]) >= 0.0, "{key}");
    }
    let artefacts = rows.iter().filter(|row| cell(row, "class") == "artefact");
    let artefacts: Vec<String> = artefacts.map(|row| cell(row, "id")).collect();
    assert!(artefacts.len() > 5, "{artefacts:?}");
    for id in artefacts {
        assert!(
            listed(&id, "denomination_or_type"),
            "the artefact {id} is dropped"
        );
    }
}

#[test]
fn evaluate_tells_of_rows_and_values_it_could_not_read() {
    let table = "id,period,denomination_or_type,metal,weight_g\nwell,Medieval,penny,silver,1.2\nshort,Medieval\n";
    let ended = with_input(&["evaluate", "-", "--json"], table);
    let report: Value = serde_json::from_str(&ended.out).expect("JSON");
    assert_eq!(number(&report["n"]) as usize, 2);
    assert!(
        ended.err.contains("line 3: "),
        "a short row is passed over in silence: {}",
        ended.err
    );
}

// ------------------------------------------------------------------ catalogue

#[test]
fn the_shipped_library_passes_its_check() {
    let plain = said(&["catalogue", "check"]);
    assert_eq!(plain.code, 0, "{}", plain.out);
    assert!(plain.out.contains(" 0 faults\n"), "{}", plain.out);
    let json = said(&["catalogue", "check", "--json"]);
    let view: Value = serde_json::from_str(&json.out).expect("JSON");
    assert_eq!((json.code, list(&view["faults"]).len()), (0, 0));
    assert!(number(&view["types"]) > 500.0);
    let types = number(&view["types"]);
    for counted in ["by_period", "by_grade"] {
        let counts = view[counted].as_object().expect("counts by id");
        assert_eq!(counts.values().map(number).sum::<f64>(), types, "{counted}");
    }
    assert_eq!(number(&view["coins"]) + number(&view["artefacts"]), types);
    let keys = view.as_object().expect("an object").keys();
    let wanted = [
        "types",
        "coins",
        "artefacts",
        "faults",
        "by_period",
        "by_grade",
        "artefacts_by_period",
        "artefacts_by_class",
        "classes",
        "forms",
        "sources",
        "motifs",
    ];
    let wanted: BTreeSet<&str> = wanted.into();
    assert_eq!(keys.map(String::as_str).collect::<BTreeSet<_>>(), wanted);
    // The grades of each period stand on a line of their own and add up to the period's count.
    for (period, count) in view["by_period"].as_object().expect("counts by id") {
        let heading = format!("  {period} ");
        let line = plain.out.lines().find(|line| line.starts_with(&heading));
        let line = line.unwrap_or_else(|| panic!("no line for {period}: {}", plain.out));
        for grade in ["checked ", "cited ", "recalled "] {
            assert!(line.contains(grade), "{line}");
        }
        let grades = line.split(|c: char| !c.is_ascii_digit());
        let grades = grades.filter_map(|word| word.parse::<f64>().ok());
        assert_eq!(grades.sum::<f64>(), number(count), "{line}");
    }
}

#[test]
fn a_broken_library_has_all_its_faults_listed_at_once() {
    let folder = TempDir::new().expect("a temporary folder");
    let library = folder.path().join("library");
    small_library(&library);
    change(
        &library.join("coins/medieval/pennies.toml"),
        "ruler = \"adela\"",
        "ruler = \"adele\"",
    );
    change(
        &library.join("denominations/realm.toml"),
        "weight = 0.7",
        "waight = 0.7",
    );
    change(
        &library.join("mints/realm.toml"),
        "name = \"Easton\"",
        "name = \"Easton",
    );
    let ended = run_in(
        folder.path(),
        &["catalogue", "check", "--catalogue", "library"],
        "",
    );
    assert_eq!(ended.code, 1, "{}{}", ended.out, ended.err);
    let (faults, rest): (Vec<&str>, Vec<&str>) = ended.out.lines().partition(|line| {
        let place = line.split(": ").next().unwrap_or_default();
        let number = place
            .rsplit_once(".toml:")
            .map(|(_, number)| number.parse::<usize>());
        number.is_some_and(|number| number.is_ok_and(|line| line > 0))
    });
    for place in [
        "coins/medieval/pennies.toml:16",
        "denominations/realm.toml:10",
        "mints/realm.toml:2",
    ] {
        let named = faults
            .iter()
            .any(|fault| fault.starts_with(&format!("{place}: ")));
        assert!(named, "{place}\n{}", ended.out);
    }
    let count = format!("{} faults", faults.len());
    assert!(
        rest.iter().any(|line| line.ends_with(&count)),
        "{}",
        ended.out
    );
    let json = run_in(
        folder.path(),
        &["catalogue", "check", "--json", "--catalogue", "library"],
        "",
    );
    let view: Value = serde_json::from_str(&json.out).expect("JSON");
    assert_eq!((json.code, list(&view["faults"]).len()), (1, faults.len()));
    for fault in list(&view["faults"]) {
        for key in ["file", "line", "id", "field", "rule", "what", "mend"] {
            assert!(!fault[key].is_null(), "{key}: {fault}");
        }
    }
}

#[test]
fn the_rules_are_listed() {
    let rules = said(&["catalogue", "check", "--rules"]);
    assert_eq!(rules.code, 0);
    let names: Vec<&str> = rules
        .out
        .lines()
        .filter_map(|line| line.split("  ").next())
        .collect();
    let known = lynchet::catalogue::rules::RULES;
    assert_eq!(names.len(), known.len(), "{}", rules.out);
    for rule in known {
        assert!(
            names.iter().any(|name| name.trim() == rule.name),
            "{}",
            rule.name
        );
        assert!(rules.out.contains(rule.summary), "{}", rule.summary);
    }
}

#[test]
fn tidying_mends_order_once_and_then_no_more() {
    let folder = TempDir::new().expect("a temporary folder");
    let library = folder.path().join("library");
    small_library(&library);
    let pennies = library.join("coins/medieval/pennies.toml");
    let tidy = fs::read_to_string(&pennies).expect("a file");
    change(
        &pennies,
        "series = \"Pennies\"\nperiod = \"medieval\"",
        "period   = \"medieval\"\nseries = \"Pennies\"",
    );
    let untidy = fs::read_to_string(&pennies).expect("a file");
    let run = |given: &[&str]| run_in(folder.path(), given, "");

    let checked = run(&["catalogue", "tidy", "library", "--check"]);
    assert_eq!(checked.code, 1, "{}", checked.out);
    assert!(
        checked
            .out
            .contains("would change coins/medieval/pennies.toml"),
        "{}",
        checked.out
    );
    assert_eq!(fs::read_to_string(&pennies).expect("a file"), untidy);
    let tidied = run(&["catalogue", "tidy", "library"]);
    assert_eq!(tidied.code, 0, "{}{}", tidied.out, tidied.err);
    assert!(
        tidied.out.contains("1 file(s) put in order"),
        "{}",
        tidied.out
    );
    assert_eq!(fs::read_to_string(&pennies).expect("a file"), tidy);
    for again in [
        &["catalogue", "tidy", "library"][..],
        &["catalogue", "tidy", "library", "--check"],
    ] {
        let ended = run(again);
        assert_eq!(ended.code, 0, "{}", ended.out);
        assert!(ended.out.starts_with("0 file(s) "), "{}", ended.out);
    }
    let left = fs::read_dir(pennies.parent().expect("a folder"))
        .expect("a folder")
        .count();
    assert_eq!(left, 2, "something is left beside the files");
}

#[test]
fn every_kind_of_row_can_be_shown() {
    let folder = small_in_temp();
    let show = |id: &str, more: &[&str]| {
        let mut given = vec!["--catalogue", "library", "catalogue", "show", id];
        given.extend(more);
        run_in(folder.path(), &given, "")
    };
    for (id, first, holds) in [
        (
            "adela-penny",
            "Penny of Adela [adela-penny], type",
            "1200-1240",
        ),
        ("boris", "Boris [boris], ruler", "the bold"),
        ("penny", "penny [penny], denomination", "1.4 g"),
        ("easton", "Easton [easton], mint", "ESTVN"),
        ("long-cross", "long cross [long-cross], motif", "cross"),
        ("adela-reg", "+ ADELA REG [adela-reg], legend", ""),
    ] {
        let shown = show(id, &[]);
        assert_eq!(shown.code, 0, "{id}: {}", shown.err);
        assert!(
            shown.out.to_lowercase().starts_with(&first.to_lowercase()),
            "{}",
            shown.out
        );
        assert!(shown.out.contains(holds), "{}", shown.out);
        let json: Value = serde_json::from_str(&show(id, &["--json"]).out).expect("JSON");
        let kind = first.rsplit(' ').next().expect("a kind");
        assert_eq!((text(&json[0]["kind"]), text(&json[0]["id"])), (kind, id));
    }
    let near = show("adela-peny", &[]);
    assert_eq!((near.code, near.out.as_str()), (2, ""));
    assert!(
        near.err.contains("nearest id is adela-penny"),
        "{}",
        near.err
    );
    let far = show(&"x".repeat(5000), &[]);
    assert_eq!(far.code, 2);
    assert!(far.err.contains("lynchet catalogue search"), "{}", far.err);
    assert!(far.err.len() < 500, "{}", far.err.len());
}

#[test]
fn searching_finds_types_by_all_words() {
    let folder = small_in_temp();
    let search = |words: &[&str]| {
        let mut given = vec!["--catalogue", "library", "catalogue", "search"];
        given.extend(words);
        run_in(folder.path(), &given, "")
    };
    let found = search(&["BORIS", "penny"]);
    assert_eq!(found.code, 0);
    assert!(
        found.out.contains("boris-penny") && found.out.contains("boris-late"),
        "{}",
        found.out
    );
    assert!(!found.out.contains("adela-penny"), "{}", found.out);
    assert!(found.out.ends_with("4 type(s) found\n"), "{}", found.out);
    let one = search(&["penny", "--top", "1"]);
    assert!(
        one.out.contains("1 shown; see more with --top"),
        "{}",
        one.out
    );
    let json: Value = serde_json::from_str(&search(&["adela reg", "--json"]).out).expect("JSON");
    assert_eq!(text(&json[0]["id"]), "adela-penny");
    let nothing = search(&["hippopotamus"]);
    assert_eq!(
        (nothing.code, nothing.out.as_str()),
        (1, "0 type(s) found\n")
    );
    assert_eq!(search(&[]).code, 2);
}

#[test]
fn a_library_of_ones_own_is_judged_from() {
    let folder = small_in_temp();
    let given = [
        "--catalogue",
        "library",
        "identify",
        "--json",
        "silver, 19 mm, 1.4 g, reads ADELA",
    ];
    let ended = run_in(folder.path(), &given, "");
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert_eq!(ended.err, "");
    let found: Value = serde_json::from_str(&ended.out).expect("JSON");
    assert_eq!(text(&found["types"][0]["id"]), "adela-penny");
    assert!(list(&found["types"]).len() <= 5);

    // A library with a fault is refused, the fault named, unless the sound rows are asked for;
    // then it costs the rows it touches and is told.
    change(
        &folder.path().join("library/coins/medieval/pennies.toml"),
        "ruler = \"adela\"",
        "ruler = \"adele\"",
    );
    let refused = run_in(folder.path(), &given, "");
    assert_eq!(refused.code, 2, "{}", refused.err);
    assert!(
        refused.err.contains("there is no ruler `adele`") && refused.err.contains("--with-faults"),
        "{}",
        refused.err
    );
    let mut given = given.to_vec();
    given.push("--with-faults");
    let ended = run_in(folder.path(), &given, "");
    assert!(ended.code <= 1, "{}", ended.err);
    assert!(
        ended.err.contains("fault(s)") && ended.err.contains("catalogue check"),
        "{}",
        ended.err
    );
}

#[test]
fn folders_that_hold_no_library_are_named() {
    let folder = TempDir::new().expect("a temporary folder");
    fs::create_dir(folder.path().join("empty")).expect("a folder");
    lay(
        &folder.path().join("file.toml"),
        "[gold]\nname = \"gold\"\n",
    );
    for name in ["empty", "file.toml", "missing"] {
        let verbs: [&[&str]; 4] = [
            &["identify", "silver penny"],
            &["catalogue", "check"],
            &["catalogue", "search", "penny"],
            &["batch", "-"],
        ];
        for verb in verbs {
            let mut given = vec!["--catalogue", name];
            given.extend(verb);
            let ended = run_in(folder.path(), &given, "metal\nsilver\n");
            assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{given:?}");
            assert!(ended.err.contains("folder"), "{given:?}: {}", ended.err);
            assert!(
                ended.err.contains(name),
                "the message does not name {name}: {}",
                ended.err
            );
        }
    }
}

// ------------------------------------------------------------------ cache

#[test]
fn a_spoilt_cache_changes_no_answer() {
    let folder = TempDir::new().expect("a temporary folder");
    small_library(&folder.path().join("library"));
    let cache = folder.path().join("cache");
    let ask = |more: &[&str]| {
        let find = "silver, 19 mm, 1.4 g, long cross, reads ADEL";
        let mut given = vec!["--catalogue", "library", "identify", "--json", find];
        given.extend(more);
        let ended = run_in(folder.path(), &given, "");
        assert_eq!((ended.code, ended.err.as_str()), (0, ""), "{more:?}");
        ended.out
    };
    let kept = || {
        let mut entries = fs::read_dir(&cache).expect("a cache");
        entries
            .next()
            .expect("one library")
            .expect("an entry")
            .path()
    };
    let plain = ask(&["--no-cache"]);
    assert!(!cache.exists());
    let with_cache = || ask(&["--cache", "cache"]);
    assert_eq!(with_cache(), plain, "cold");
    let (library, index) = (kept().join("library.bin"), kept().join("index"));
    assert!(library.exists() && index.is_dir(), "nothing is kept");
    assert_eq!(with_cache(), plain, "warm");

    let whole = fs::read(&library).expect("the kept library");
    for length in [0, 1, whole.len() / 2, whole.len() - 1] {
        fs::write(&library, &whole[..length]).expect("a spoilt library");
        assert_eq!(with_cache(), plain, "library cut to {length} bytes");
    }
    let name = b"Penny of Adela";
    let at = whole.windows(name.len()).position(|held| held == name);
    let mut other = whole.clone();
    other[at.expect("a name of the library")] = b'F';
    fs::write(&library, &other).expect("a spoilt library");
    assert_eq!(with_cache(), plain, "a letter of the kept library altered");
    fs::write(&library, &whole).expect("the kept library");

    let files = || {
        let entries = fs::read_dir(&index).expect("an index");
        let mut files: Vec<PathBuf> = entries.map(|e| e.expect("an entry").path()).collect();
        files.sort();
        files
    };
    files()
        .iter()
        .step_by(2)
        .for_each(|file| fs::remove_file(file).expect("a file less"));
    assert_eq!(with_cache(), plain, "half the index gone");
    for at in 0..files().len() {
        let file = files().swap_remove(at);
        let held = fs::read(&file).expect("a file of the index");
        fs::write(&file, &held[..held.len() / 2]).expect("half a file");
        assert_eq!(with_cache(), plain, "half of {}", file.display());
    }
    fs::remove_dir_all(&index).expect("no index");
    lay(&index, "not an index");
    assert_eq!(with_cache(), plain, "a file in place of the index");
    assert_eq!(with_cache(), plain, "and once more");

    lay(
        &folder.path().join("taken"),
        "a file where the cache should be",
    );
    assert_eq!(ask(&["--cache", "taken"]), plain, "no folder can be made");
    assert_eq!(ask(&["--cache", "taken/deeper"]), plain, "nor below");
}

// ------------------------------------------------------------------ running it

/// The cache folder of these tests, empty when they begin.
fn cache() -> &'static Path {
    static CACHE: LazyLock<PathBuf> = LazyLock::new(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("door-cache");
        let _ = fs::remove_dir_all(&folder);
        folder
    });
    &CACHE
}

fn door(folder: &Path) -> kit::Door {
    let mut door = kit::command();
    door.env("LYNCHET_CACHE", cache())
        .current_dir(folder)
        .stdin(Stdio::null());
    door
}

/// Runs the program in a folder with this on its input; it must never panic.
fn run_in<A: AsRef<OsStr>>(folder: &Path, arguments: &[A], input: &str) -> Outcome {
    let mut door = door(folder);
    door.args(arguments);
    door.stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut running = door.spawn().expect("the program starts");
    let mut pipe = running.stdin.take().expect("an input");
    let input = input.to_string();
    // Written from the side: the program answers while it still reads.
    let writer = std::thread::spawn(move || {
        // A program that does not read its input may close it; that is its right.
        let _ = pipe.write_all(input.as_bytes());
    });
    let ended = Outcome::from(running.wait_with_output().expect("the program ends"));
    writer.join().expect("the input is written");
    assert_ne!(ended.code, 101, "{}", ended.err);
    assert!(!ended.err.contains("panicked"), "{}", ended.err);
    ended
}

fn with_input(arguments: &[&str], input: &str) -> Outcome {
    let folder = TempDir::new().expect("a temporary folder");
    run_in(folder.path(), arguments, input)
}

fn said<A: AsRef<OsStr>>(arguments: &[A]) -> Outcome {
    let folder = TempDir::new().expect("a temporary folder");
    run_in(folder.path(), arguments, "")
}

/// The JSON of a run that gave an answer or found nothing.
fn answer<A: AsRef<OsStr>>(arguments: &[A]) -> Value {
    let ended = said(arguments);
    assert!(ended.code <= 1, "{}", ended.err);
    serde_json::from_str(&ended.out).unwrap_or_else(|fault| panic!("{fault}: {}", ended.out))
}

fn json_lines(out: &str) -> Vec<Value> {
    let line = |line| serde_json::from_str(line).unwrap_or_else(|fault| panic!("{fault}: {line}"));
    out.lines().map(line).collect()
}

fn text(value: &Value) -> &str {
    value
        .as_str()
        .unwrap_or_else(|| panic!("not a text: {value}"))
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("not a number: {value}"))
}

fn list(value: &Value) -> &[Value] {
    value
        .as_array()
        .unwrap_or_else(|| panic!("not a list: {value}"))
}

fn keys(value: &Value) -> BTreeSet<&str> {
    let object = value
        .as_object()
        .unwrap_or_else(|| panic!("not an object: {value}"));
    object.keys().map(String::as_str).collect()
}

// ------------------------------------------------------------------ what is laid out

fn identified_table() -> &'static str {
    "id,class,period,culture_or_state,ruler_or_authority,denomination_or_type,subtype,date_from,date_to,metal,weight_g,diameter_mm,obverse_legend,words\n\
     a1,coin,Medieval,England,Edward I,penny,,1279,1307,silver,1.2,18,EDW R ANGL,long cross\n\
     a2,coin,Roman,Roman Empire,Constantine I,nummus,,330,335,bronze,1.9,17,CONSTANTI[---],two soldiers\n"
}

fn many_rows(count: usize) -> String {
    let metals = ["silver", "gold", "copper alloy"];
    let row = |n: usize| format!("f{n},{},{}.{}\n", metals[n % 3], 1 + n % 7, n % 10);
    "id,metal,weight_g\n"
        .chars()
        .chain((0..count).map(row).collect::<String>().chars())
        .collect()
}

fn small_in_temp() -> TempDir {
    let folder = TempDir::new().expect("a temporary folder");
    small_library(&folder.path().join("library"));
    folder
}

fn copy_folder(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("the folder is made");
    for entry in fs::read_dir(from).expect("a folder") {
        let path = entry.expect("an entry").path();
        let beside = to.join(path.file_name().expect("a name"));
        if path.is_dir() {
            copy_folder(&path, &beside);
        } else {
            fs::copy(&path, &beside).expect("a copy");
        }
    }
}
