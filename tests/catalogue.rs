//! The library as shipped has no fault, and every rule finds the faults it is for.
//!
//! A case under `faults/<rule>/` is one text file laid over the small sound library in
//! `faults/base.txt`: a section `=== path` replaces a file or makes one, `=== path +`
//! adds to its end, `=== path ~` changes it by lines `old => new`, each of which must
//! fit in one place. The last, `=== expected`, holds all fault lines and no others.
//! Signs that an editor would not keep are written ␍ (carriage return), ␉ (tab), ␠ (a
//! blank at a line's end), ␂ (byte-order mark) and ␃ (no line end here).

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use lynchet::catalogue::rules::RULES;
use lynchet::catalogue::tidy::tidy;
use lynchet::catalogue::{Checked, Fault, Files, check, from_folder};

#[test]
fn the_library_has_no_faults() {
    let Checked {
        catalogue, faults, ..
    } = check(&written());
    assert!(!catalogue.types.is_empty(), "the library holds no type");
    assert!(
        faults.is_empty(),
        "{} faults\n{}",
        faults.len(),
        lines(&faults)
    );
}

/// The library as it is written, with the descriptions that the program does not carry.
fn written() -> Files {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("catalogue");
    from_folder(&folder).expect("the library")
}

#[test]
fn the_library_is_tidy() {
    for (file, text) in written() {
        match tidy(&file, &text) {
            Ok(tidied) if tidied == text => {}
            Ok(tidied) => {
                let alike = text.lines().zip(tidied.lines()).take_while(|(a, b)| a == b);
                let line = alike.count();
                let shown = |text: &str| text.lines().nth(line).unwrap_or("(end)").to_string();
                panic!(
                    "{file}:{}: not in canonical form; run `lynchet catalogue tidy`\n  has  {}\n  not  {}",
                    line + 1,
                    shown(&text),
                    shown(&tidied)
                );
            }
            Err(fault) => panic!("{fault}"),
        }
    }
}

#[test]
fn the_base_of_the_cases_is_sound_and_tidy() {
    let base = base();
    let Checked {
        catalogue,
        artefacts,
        faults,
    } = check(&base);
    assert_eq!(lines(&faults), "");
    assert_eq!((catalogue.listed().len(), artefacts.types.len()), (5, 2));
    for (file, text) in base {
        let tidied = tidy(&file, &text).map_err(|fault| fault.to_string());
        assert_eq!(tidied, Ok(text), "{file}");
    }
}

#[test]
fn every_rule_finds_its_faults() {
    let mut wrong = Vec::new();
    for case in cases() {
        let (files, expected) = case.library();
        let faults = check(&files).faults;
        let found = lines(&faults);
        if found != expected {
            wrong.push(format!(
                "{}\n-- expected\n{expected}-- found\n{found}",
                case.name()
            ));
        }
        if !faults.iter().any(|fault| fault.rule == case.rule) {
            wrong.push(format!("{}: no fault of rule `{}`", case.name(), case.rule));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_rule_has_a_case_and_every_fault_a_rule() {
    let rules: BTreeSet<&str> = RULES.iter().map(|rule| rule.name).collect();
    let cases = cases();
    let shown: BTreeSet<&str> = cases.iter().map(|case| case.rule.as_str()).collect();
    assert_eq!(rules, shown, "rules and folders of cases");
    for case in &cases {
        let faults = check(&case.library().0).faults;
        for fault in faults {
            assert!(
                rules.contains(fault.rule),
                "{}: rule `{}`",
                case.name(),
                fault.rule
            );
        }
    }
}

#[test]
fn faults_read_alike() {
    for case in cases() {
        let faults = check(&case.library().0).faults;
        for fault in faults {
            assert!(fault.line > 0, "{fault}");
            for text in [&fault.what, &fault.mend] {
                assert!(!text.ends_with('.') && !text.trim().is_empty(), "{fault}");
                let capital = text.chars().next().is_some_and(char::is_uppercase);
                assert!(!capital, "{fault}");
            }
        }
    }
}

fn lines(faults: &[Fault]) -> String {
    faults.iter().map(|fault| format!("{fault}\n")).collect()
}

/// One case of a rule.
struct Case {
    rule: String,
    path: PathBuf,
}

impl Case {
    fn name(&self) -> String {
        self.path.display().to_string()
    }

    /// The base with the case laid over it, and the fault lines expected.
    fn library(&self) -> (Files, String) {
        let mut files = base();
        let mut expected = None;
        for (heading, text) in sections(&self.path) {
            if heading == "expected" {
                expected = Some(text);
            } else if let Some((path, how)) = heading.split_once(' ') {
                let base = files.get_mut(path);
                let base = base.unwrap_or_else(|| panic!("{}: no {path} in the base", self.name()));
                match how {
                    "+" => base.push_str(&text),
                    "~" => text.lines().for_each(|line| self.change(base, line)),
                    _ => panic!("{}: `{how}` is neither + nor ~", self.name()),
                }
            } else {
                files.insert(heading, text);
            }
        }
        let expected = expected.unwrap_or_else(|| panic!("{}: nothing expected", self.name()));
        (files, expected)
    }

    /// Changes a text by a line `old => new`, in which `\n` stands for a line end.
    fn change(&self, text: &mut String, line: &str) {
        let line = line.replace("\\n", "\n");
        let parts = line.split_once(" => ");
        let (old, new) = parts.unwrap_or_else(|| panic!("{}: no => in `{line}`", self.name()));
        let times = text.matches(old).count();
        assert_eq!(times, 1, "{}: places where `{old}` stands", self.name());
        *text = text.replace(old, new);
    }
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/faults")
}

fn base() -> Files {
    sections(&folder().join("base.txt")).into_iter().collect()
}

/// Every case, in order of rule and name.
fn cases() -> Vec<Case> {
    let inside = |folder: &Path| -> BTreeSet<PathBuf> {
        let entries = fs::read_dir(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
        entries
            .map(|entry| entry.expect("a readable folder").path())
            .collect()
    };
    let rules = inside(&folder()).into_iter().filter(|path| path.is_dir());
    rules
        .flat_map(|rule| {
            let name = rule
                .file_name()
                .expect("a named folder")
                .to_string_lossy()
                .to_string();
            let cases = inside(&rule).into_iter();
            cases
                .map(move |path| Case {
                    rule: name.clone(),
                    path,
                })
                .collect::<Vec<_>>()
        })
        .collect()
}

/// The sections of a case file: heading and text.
fn sections(path: &Path) -> Vec<(String, String)> {
    let text = fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let mut sections: Vec<(String, String)> = Vec::new();
    for line in text.split_inclusive('\n') {
        if let Some(heading) = line.strip_prefix("=== ") {
            sections.push((heading.trim().to_string(), String::new()));
        } else if let Some((_, text)) = sections.last_mut() {
            text.push_str(line);
        } else {
            panic!("{}: text before the first section", path.display());
        }
    }
    for (_, text) in &mut sections {
        *text = text
            .replace("␃\n", "")
            .replace('␍', "\r")
            .replace('␉', "\t")
            .replace('␠', " ")
            .replace('␂', "\u{feff}");
    }
    sections
}
