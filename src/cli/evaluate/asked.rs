//! What was asked of an evaluation, said so that it can be asked again.
//!
//! Invariant: the command that is given back asks for the same figures.

use serde::Serialize;

use super::super::args::EvaluateArgs;
use super::rows::TableRead;
use crate::House;

/// What was asked, and of which library.
#[derive(Serialize)]
pub(super) struct AskedView {
    /// The call, without where it writes to.
    pub(super) command: String,
    pub(super) program: &'static str,
    pub(super) version: &'static str,
    pub(super) library: LibraryView,
    pub(super) tables: Vec<TableView>,
    /// Traits that were hidden.
    pub(super) hidden: Vec<String>,
    pub(super) damage: Option<u64>,
    pub(super) wrong: Option<u64>,
    pub(super) at_least: usize,
    /// Finds with fewer traits, left out.
    pub(super) left_out: usize,
    pub(super) without_truth: bool,
    /// Finds left out since it is not known which types to take out.
    pub(super) not_taken_out: Vec<String>,
    pub(super) flat_prior: bool,
}

/// The library that judged.
#[derive(Serialize)]
pub(super) struct LibraryView {
    pub(super) types: usize,
    pub(super) digest: String,
}

/// A table and how many finds it holds.
#[derive(Serialize)]
pub(super) struct TableView {
    pub(super) name: String,
    pub(super) finds: usize,
}

impl AskedView {
    /// Of the arguments, and what came of reading the tables.
    pub(super) fn of(
        asked: &EvaluateArgs,
        tables: Vec<TableRead>,
        left_out: usize,
        not_taken_out: Vec<String>,
        house: &House,
    ) -> AskedView {
        AskedView {
            command: command(asked),
            program: env!("CARGO_PKG_NAME"),
            version: env!("CARGO_PKG_VERSION"),
            library: LibraryView {
                types: house.catalogue.listed().len(),
                digest: house.catalogue.digest.clone(),
            },
            tables: tables
                .into_iter()
                .map(|table| TableView {
                    name: table.name,
                    finds: table.finds,
                })
                .collect(),
            hidden: asked.judging.hide.clone(),
            damage: asked.damage,
            wrong: asked.wrong,
            at_least: asked.at_least,
            left_out,
            without_truth: asked.without_truth,
            not_taken_out,
            flat_prior: asked.judging.flat_prior,
        }
    }

    /// What sets this evaluation apart from a plain one, a sentence each.
    pub(super) fn conditions(&self) -> Vec<String> {
        let mut told = Vec::new();
        if !self.hidden.is_empty() {
            told.push(format!(
                "hidden from the judging: {}",
                self.hidden.join(", ")
            ));
        }
        if let Some(seed) = self.damage {
            told.push(format!("damaged first (seed {seed})"));
        }
        if let Some(seed) = self.wrong {
            told.push(format!("one trait in six made a wrong one (seed {seed})"));
        }
        if self.at_least > 0 {
            told.push(format!(
                "only finds of which the table gives {} traits or more; {} left out",
                self.at_least, self.left_out
            ));
        }
        if self.without_truth {
            let untaken = self.not_taken_out.len();
            told.push(format!(
                "each judged with its own types taken out of the library; {untaken} left out whose types are not known"
            ));
        }
        if self.flat_prior {
            told.push("every type equally likely beforehand".to_string());
        }
        told
    }
}

fn command(asked: &EvaluateArgs) -> String {
    let mut words: Vec<String> = ["lynchet", "evaluate"].map(String::from).to_vec();
    let tables = asked.tables.iter();
    words.extend(tables.map(|table| quoted(&table.display().to_string())));
    let judging = &asked.judging;
    if judging.flat_prior {
        words.push("--flat-prior".to_string());
    }
    if judging.judge_all {
        words.push("--judge-all".to_string());
    }
    if !judging.hide.is_empty() {
        words.push(format!("--hide {}", quoted(&judging.hide.join(","))));
    }
    if let Some(field) = &judging.field {
        words.push(format!("--field {}", quoted(&field.display().to_string())));
    }
    for (name, seed) in [("damage", asked.damage), ("wrong", asked.wrong)] {
        words.extend(seed.map(|seed| format!("--{name} {seed}")));
    }
    if asked.at_least > 0 {
        words.push(format!("--at-least {}", asked.at_least));
    }
    if asked.without_truth {
        words.push("--without-truth".to_string());
    }
    words.join(" ")
}

/// A word as a shell takes it.
fn quoted(word: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || "/._-,:".contains(c);
    match !word.is_empty() && word.chars().all(plain) {
        true => word.to_string(),
        false => format!("'{}'", word.replace('\'', "'\\''")),
    }
}

#[cfg(test)]
mod tests {
    use super::quoted;

    #[test]
    fn words_are_quoted_only_where_a_shell_would_part_them() {
        assert_eq!(quoted("tests/a-1.csv"), "tests/a-1.csv");
        assert_eq!(quoted("my finds.csv"), "'my finds.csv'");
        assert_eq!(quoted("it's"), "'it'\\''s'");
    }
}
