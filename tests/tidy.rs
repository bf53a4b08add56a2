//! The repository looks after itself: sizes, openings, rooms, links and clean text.
//!
//! Reads the files as they stand and judges no finds. Code is looked at with its
//! comments and quoted text taken out, so that a word in a sentence is no breach.

use std::fs;
use std::path::{Path, PathBuf};

/// Most lines of a source file, its unit tests not counted.
const FILE_MOST: usize = 500;
/// Most lines of a function.
const FUNCTION_MOST: usize = 60;
/// Most direct dependencies, those of the tests counted: the last seven serve the pages.
const DEPENDENCIES_MOST: usize = 32;
/// The rooms that must run with no files, threads, clock or index.
const CORE: [&str; 14] = [
    "src/fault.rs",
    "src/find/",
    "src/findspot/",
    "src/parse/",
    "src/photo/",
    "src/score/",
    "src/explain/",
    "src/treasure/",
    "src/record/",
    "src/hoard/",
    "src/reckon/",
    "src/catalogue/artefacts.rs",
    "src/catalogue/reckoned.rs",
    "src/catalogue/resolved.rs",
];

#[test]
fn every_source_file_says_what_it_is() {
    let silent = breaches(&["src", "tests"], "rs", |file| {
        let opening = file.text.lines().next().unwrap_or_default();
        let said = opening.strip_prefix("//! ").unwrap_or_default();
        if said.len() < 10 {
            vec!["does not open with `//!` and a sentence".to_string()]
        } else {
            Vec::new()
        }
    });
    assert_none(&silent);
}

#[test]
fn source_files_are_short() {
    let long = breaches(&["src"], "rs", |file| {
        let lines = before_tests(&file.text).lines().count();
        let over = lines > FILE_MOST;
        over.then(|| format!("has {lines} lines without its tests, most is {FILE_MOST}"))
            .into_iter()
            .collect()
    });
    assert_none(&long);
}

#[test]
fn functions_are_short() {
    let mut counted = 0;
    let long = breaches(&["src"], "rs", |file| {
        let functions = functions(&code_of(before_tests(&file.text)));
        counted += functions.len();
        let long = functions.iter().filter(|f| f.lines > FUNCTION_MOST);
        long.map(|f| {
            let Function { name, line, lines } = f;
            format!("line {line}: fn {name} has {lines} lines, most is {FUNCTION_MOST}")
        })
        .collect()
    });
    // A counter that has lost its way would find nothing to complain of.
    assert!(counted > 300, "only {counted} functions were found");
    assert_none(&long);
}

/// How a type of the core says that it may be kept between runs.
const KEPT: &str =
    "#[cfg_attr(feature = \"library\", derive(serde::Serialize, serde::Deserialize))]";

#[test]
fn core_rooms_know_no_files_threads_clock_or_index() {
    let forbidden = [
        "std::fs",
        "std::thread",
        "std::time",
        "std::{",
        "SystemTime",
        "Instant",
        "tantivy",
        "rayon",
        "serde",
        "println!",
        "print!",
    ];
    let mut seen = 0;
    let found = breaches(&["src"], "rs", |file| {
        if !CORE.iter().any(|room| file.name.starts_with(room)) {
            return Vec::new();
        }
        seen += 1;
        // What is kept between runs says so on its type, and only where the library is read.
        let text = file.text.replace(KEPT, "");
        naming(&code_of(before_tests(&text)), &forbidden)
    });
    assert!(seen > 40, "only {seen} files of the core rooms were found");
    assert_none(&found);
}

#[test]
fn only_the_doors_print() {
    let printing = [
        "println!",
        "print!",
        "eprint!",
        "eprintln!",
        "stdout()",
        "stderr()",
    ];
    let found = breaches(&["src"], "rs", |file| {
        if file.name.starts_with("src/cli/") {
            return Vec::new();
        }
        naming(&code_of(&file.text), &printing)
    });
    assert_none(&found);
}

#[test]
fn nothing_is_left_undone_or_waits() {
    let undone = [
        "todo!",
        "unimplemented!",
        "dbg!",
        "#[ignore",
        "thread::sleep",
    ];
    let found = breaches(&["src", "tests"], "rs", |file| {
        naming(&code_of(&file.text), &undone)
    });
    assert_none(&found);
}

#[test]
fn no_test_file_is_forgotten() {
    let declared = code_of(&read(&root().join("tests/main.rs")));
    let mut seen = 0;
    let mut forgotten = Vec::new();
    for entry in fs::read_dir(root().join("tests")).expect("the tests' folder") {
        let path = entry.expect("an entry").path();
        let is_module = path.extension().is_some_and(|e| e == "rs") || path.join("mod.rs").exists();
        let name = path.file_stem().expect("a name").to_string_lossy();
        if is_module && name != "main" {
            seen += 1;
            let module = format!("mod {name};");
            if !declared.lines().any(|line| line.trim() == module) {
                forgotten.push(format!("tests/main.rs: lacks `{module}`"));
            }
        }
    }
    assert!(seen >= 4, "only {seen} test modules were found");
    assert_none(&forgotten);
}

#[test]
fn dependencies_are_few_and_all_used() {
    let manifest = read(&root().join("Cargo.toml"));
    let names = dependencies(&manifest);
    assert!(names.contains(&"strsim".to_string()), "{names:?}");
    assert!(
        names.len() <= DEPENDENCIES_MOST,
        "{} direct dependencies, most is {DEPENDENCIES_MOST}: {names:?}",
        names.len()
    );
    let all: String = files(&["src", "tests"], "rs")
        .iter()
        .map(|file| code_of(&file.text))
        .collect();
    let unused: Vec<String> = names
        .iter()
        .filter(|name| {
            let name = name.replace('-', "_");
            !["::", "!", ";"]
                .iter()
                .any(|after| holds_word(&all, &format!("{name}{after}")))
        })
        .map(|name| format!("Cargo.toml: {name} is used nowhere"))
        .collect();
    assert_none(&unused);
}

#[test]
fn links_of_the_documents_lead_somewhere() {
    let documents = documents();
    let mut dead = Vec::new();
    let mut followed = 0;
    for file in &documents {
        for target in links(&file.text) {
            let elsewhere = target.contains("://") || target.starts_with("mailto:");
            let path = target.split('#').next().unwrap_or_default();
            if elsewhere || path.is_empty() {
                continue;
            }
            followed += 1;
            let from = root().join(&file.name);
            let folder = from.parent().expect("a folder");
            if path.starts_with('/') || !folder.join(path).exists() {
                dead.push(format!("{}: {target} leads nowhere", file.name));
            }
        }
    }
    assert_none(&dead);
    assert!(followed > 0, "the documents lead nowhere at all");
}

#[test]
fn text_is_clean() {
    let mut found = Vec::new();
    let mut seen = 0;
    for ending in ["rs", "md", "toml"] {
        for file in files(&["src", "tests", "docs", "catalogue", "."], ending) {
            seen += 1;
            found.extend(unclean(&file));
        }
    }
    assert!(seen > 100, "only {seen} files were found");
    assert_none(&found);
}

#[test]
fn the_counters_count() {
    let code = code_of(concat!(
        "fn one() { // } fn\n    let a = \"{ todo!\";\n    let b = '{';\n}\n",
        "fn two<'a>(x: &'a str) -> [u8; 2] {\n    r#\"}\"#;\n    [0, 0]\n}\n",
    ));
    assert!(!code.contains("todo!") && code.contains("fn one"), "{code}");
    let counted: Vec<(String, usize, usize)> = functions(&code)
        .into_iter()
        .map(|f| (f.name, f.line, f.lines))
        .collect();
    let expected = [("one".to_string(), 1, 4), ("two".to_string(), 5, 4)];
    assert_eq!(counted, expected);
    assert_eq!(
        links("see [a](b.md#c), `[x](y)` and ![p](q.svg)"),
        ["b.md#c", "q.svg"]
    );
    assert!(holds_word("use std::fs;", "std::fs") && !holds_word("InstantX", "Instant"));
}

/// A file of the repository.
struct SourceFile {
    /// Path from the root, with `/`.
    name: String,
    text: String,
}

/// A function found in code.
struct Function {
    name: String,
    /// Line it starts on, from 1.
    line: usize,
    lines: usize,
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// The files under these folders with this ending, in order; `.` is the root alone.
fn files(folders: &[&str], ending: &str) -> Vec<SourceFile> {
    let mut paths = Vec::new();
    for folder in folders {
        gather(&root().join(folder), *folder != ".", &mut paths);
    }
    paths.retain(|path| path.extension().is_some_and(|found| found == ending));
    paths.sort();
    let file = |path: PathBuf| {
        let name = path.strip_prefix(root()).expect("a path under the root");
        SourceFile {
            name: name.to_string_lossy().replace('\\', "/"),
            text: read(&path),
        }
    };
    paths.into_iter().map(file).collect()
}

fn gather(folder: &Path, deep: bool, paths: &mut Vec<PathBuf>) {
    let Ok(entries) = fs::read_dir(folder) else {
        return;
    };
    for entry in entries {
        let path = entry.expect("an entry").path();
        if !path.is_dir() {
            paths.push(path.components().collect());
        } else if deep {
            gather(&path, deep, paths);
        }
    }
}

/// The README, the developers' page and the pages under `docs/`.
fn documents() -> Vec<SourceFile> {
    let mut documents = files(&[".", "docs"], "md");
    let names: Vec<String> = documents.iter().map(|d| d.name.clone()).collect();
    for wanted in ["README.md", "DEVELOPERS.md"] {
        assert!(names.iter().any(|name| name == wanted), "no {wanted}");
    }
    documents.sort_by(|a, b| a.name.cmp(&b.name));
    documents
}

fn breaches(
    folders: &[&str],
    ending: &str,
    mut look: impl FnMut(&SourceFile) -> Vec<String>,
) -> Vec<String> {
    let files = files(folders, ending);
    assert!(
        files.len() > 10,
        "only {} files under {folders:?}",
        files.len()
    );
    files
        .iter()
        .flat_map(|file| {
            let found = look(file);
            found
                .into_iter()
                .map(|what| format!("{}: {what}", file.name))
                .collect::<Vec<_>>()
        })
        .collect()
}

fn assert_none(breaches: &[String]) {
    assert!(breaches.is_empty(), "{}", breaches.join("\n"));
}

/// The code above the unit tests.
fn before_tests(text: &str) -> &str {
    let end = text.find("\n#[cfg(test)]").map_or(text.len(), |at| at + 1);
    &text[..end]
}

/// Where these words stand in code.
fn naming(code: &str, words: &[&str]) -> Vec<String> {
    let lines = code.lines().enumerate();
    lines
        .flat_map(|(at, line)| {
            let held = words.iter().filter(|word| holds_word(line, word));
            held.map(|word| format!("line {}: `{word}`", at + 1))
                .collect::<Vec<_>>()
        })
        .collect()
}

/// True when the word stands in the line and no longer word holds it.
fn holds_word(line: &str, word: &str) -> bool {
    let part = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '_');
    let open = word.ends_with(|c: char| c.is_alphanumeric());
    line.match_indices(word).any(|(at, _)| {
        let (before, after) = (&line[..at], &line[at + word.len()..]);
        !(part(before.chars().next_back()) || open && part(after.chars().next()))
    })
}

/// Code with comments and quoted text blanked; every line stays where it is.
fn code_of(text: &str) -> String {
    let mut code = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let skipped = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if let Some(more) = rest.strip_prefix("/*") {
            more.find("*/").map_or(rest.len(), |at| at + 4)
        } else if let Some(length) = quoted(rest, &code) {
            length
        } else {
            code.push(first);
            rest = &rest[first.len_utf8()..];
            continue;
        };
        code.extend(rest[..skipped].chars().filter(|c| *c == '\n'));
        rest = &rest[skipped..];
    }
    code
}

/// Length of the string or character that starts here, if one does.
fn quoted(rest: &str, before: &str) -> Option<usize> {
    let in_word = before.ends_with(|c: char| c.is_alphanumeric() || c == '_');
    if let Some(after) = rest.strip_prefix('r').filter(|_| !in_word) {
        let hashes = after.len() - after.trim_start_matches('#').len();
        if after[hashes..].starts_with('"') {
            let close = format!("\"{}", "#".repeat(hashes));
            let start = 1 + hashes + 1;
            let end = rest[start..].find(&close)?;
            return Some(start + end + close.len());
        }
    }
    let mut chars = rest.char_indices();
    match chars.next()?.1 {
        '"' => {
            let mut escaped = false;
            let end = chars.find(|(_, c)| {
                let closes = *c == '"' && !escaped;
                escaped = *c == '\\' && !escaped;
                closes
            });
            end.map(|(at, _)| at + 1)
        }
        '\'' => match chars.next()?.1 {
            '\\' => rest[3..].find('\'').map(|at| at + 4),
            // Otherwise it is a lifetime.
            _ => chars
                .next()
                .filter(|(_, c)| *c == '\'')
                .map(|(at, _)| at + 1),
        },
        _ => None,
    }
}

/// The functions of code, by counting braces.
fn functions(code: &str) -> Vec<Function> {
    let mut found = Vec::new();
    for (at, _) in code.match_indices("fn ") {
        if code[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_') {
            continue;
        }
        let name = code[at + 3..].split(|c: char| !c.is_alphanumeric() && c != '_');
        let name = name.into_iter().next().unwrap_or_default().to_string();
        let mut depth = 0_i32;
        let mut brackets = 0_i32;
        let end = code[at..].char_indices().find(|(_, c)| {
            match c {
                '(' | '[' => brackets += 1,
                ')' | ']' => brackets -= 1,
                '{' => depth += 1,
                '}' => depth -= 1,
                _ => {}
            }
            (*c == '}' && depth == 0) || (*c == ';' && depth == 0 && brackets == 0)
        });
        let end = end.map_or(code.len(), |(end, _)| at + end);
        found.push(Function {
            name,
            line: code[..at].matches('\n').count() + 1,
            lines: code[at..end].matches('\n').count() + 1,
        });
    }
    found
}

/// Names under every heading of dependencies, once each.
fn dependencies(manifest: &str) -> Vec<String> {
    let mut names = Vec::new();
    let mut within = false;
    for line in manifest.lines() {
        if let Some(heading) = line.strip_prefix('[') {
            within = heading.trim_end_matches(']').ends_with("dependencies");
        } else if let Some((name, _)) = line.split_once('=').filter(|_| within) {
            names.push(name.trim().to_string());
        }
    }
    names.sort_unstable();
    names.dedup();
    names
}

/// Targets of the links of a page, code left out.
fn links(page: &str) -> Vec<String> {
    let mut targets = Vec::new();
    let mut fenced = false;
    for line in page.lines() {
        if line.trim_start().starts_with("```") {
            fenced = !fenced;
        }
        if fenced {
            continue;
        }
        let prose: String = line.split('`').step_by(2).collect();
        for piece in prose.split("](").skip(1) {
            if let Some((target, _)) = piece.split_once(')') {
                let target = target.split_whitespace().next().unwrap_or_default();
                targets.push(target.trim_matches(['<', '>']).to_string());
            }
        }
    }
    targets
}

fn unclean(file: &SourceFile) -> Vec<String> {
    let mut found = Vec::new();
    let mut tell = |line: usize, what: &str| found.push(format!("{}:{line}: {what}", file.name));
    for (at, line) in file.text.split('\n').enumerate() {
        if line.contains('\t') {
            tell(at + 1, "has a tab");
        }
        if line.ends_with(' ') {
            tell(at + 1, "ends in a blank");
        }
        if line.contains(['\r', '\u{feff}', '\u{a0}', '\u{200b}']) {
            tell(at + 1, "has a sign that does not show");
        }
    }
    if !file.text.ends_with('\n') || file.text.ends_with("\n\n") {
        tell(file.text.lines().count(), "does not end in one line end");
    }
    found
}
