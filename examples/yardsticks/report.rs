//! The page of tables.

use std::fmt::Write as _;

use lynchet::House;
use lynchet::find::Find;
use lynchet::simulate::Chance;

use crate::yardsticks::exam::{LEVELS, Mark};
use crate::{Block, DESCRIBED, Method};

/// Times that the finds are drawn again for an interval.
const DRAWN_AGAIN: usize = 1_000;

/// Block, finds, methods, versions.
pub type Told<'a> = (&'a Block, Vec<(usize, Find)>, Vec<Method>, String);

pub fn page(house: &House, told: &[Told], learnt: usize) -> String {
    let mut page = format!(
        "# The scorer beside other methods\n\n\
         Written by `cargo run --release --example yardsticks`; not to be edited by hand.\n\
         Library of {} types; each method answers to the same simulated finds, drawn by `src/simulate` from seeds.\n\
         A simulated find is of a type of the library by construction, so what the scorer leaves to \"not in the library\" is shared out again here.\n\
         These figures compare methods under one law of loss; they say little of a real field.\n\n\
         | method | what it is |\n|---|---|\n\
         | exact enumeration | the chance of the find for every type under the very law that it was drawn from (`src/simulate/law`), with the weights it was drawn with: the most that any method can reach |\n\
         | the scorer | `House::identify` as it stands, with its own prior |\n\
         | BM25 | tantivy's default over one field of words and letters in threes a type |\n\
         | nearest | least distance in log weight and log diameter, each in standard deviations; in the second form the types of the metal seen come first |\n\
         | the commonest | the weights alone |\n\
         | naive Bayes, boosted trees | scikit-learn's MultinomialNB and HistGradientBoostingClassifier, trained on {learnt} other simulated finds of the same weights; the trees not at the level of types |\n\n\
         Answers that stand level share their place by lot.\n\
         In brackets the 95 % interval (Wilson).\n\
         The log score is the mean log probability of the true answer, never counted below {:.1}; nought is best.\n",
        house.catalogue.listed().len(),
        crate::yardsticks::exam::LEAST.ln(),
    );
    for (block, finds, methods, versions) in told {
        let _ = write!(page, "\n## {}\n\n", block.name);
        let _ = writeln!(
            page,
            "Seed {}, {} finds; learnt from seed {}.",
            block.seed,
            finds.len(),
            block.seed + 1
        );
        let _ = writeln!(page, "Versions and settings: {versions}.");
        let all: Vec<usize> = (0..finds.len()).collect();
        let described = |at: &usize| finds[*at].1.trait_count() >= DESCRIBED;
        let well: Vec<usize> = all.iter().copied().filter(described).collect();
        for (those, name) in [
            (&well, format!("Finds with {DESCRIBED} traits or more")),
            (&all, "All finds".to_string()),
        ] {
            let _ = write!(page, "\n### {name} (n = {})\n\n", those.len());
            page += &tables(methods, those, block.seed);
        }
        page += &calibrated(&methods[0]);
    }
    page
}

/// The marks of a method for some finds at a level; none unless it answers to all.
fn marked(method: &Method, those: &[usize], level: usize) -> Option<Vec<Mark>> {
    those.iter().map(|at| method.marks[*at][level]).collect()
}

fn share(marks: &[Mark], first: f64) -> f64 {
    marks.iter().map(|mark| mark.among(first)).sum::<f64>() / marks.len().max(1) as f64
}

/// Wilson's interval at 95 %.
fn wilson(share: f64, count: usize) -> (f64, f64) {
    let (n, z) = (count.max(1) as f64, 1.959_964);
    let middle = share + z * z / (2.0 * n);
    let wide = z * (share * (1.0 - share) / n + z * z / (4.0 * n * n)).sqrt();
    let whole = 1.0 + z * z / n;
    ((middle - wide) / whole, (middle + wide) / whole)
}

fn tables(methods: &[Method], those: &[usize], seed: u64) -> String {
    let heads: Vec<&str> = LEVELS.iter().map(|(_, name)| *name).collect();
    let head = |what: &str| {
        format!(
            "| {what} | {} |\n|---|---|---|---|---|\n",
            heads.join(" | ")
        )
    };
    let row = |name: &str, cell: &dyn Fn(usize) -> String| {
        let cells: Vec<String> = (0..LEVELS.len()).map(cell).collect();
        format!("| {name} | {} |\n", cells.join(" | "))
    };
    let per_cent = |share: f64| format!("{:.1}", 100.0 * share);
    let mut text = head("first, %");
    for method in methods {
        text += &row(&method.name, &|level| {
            marked(method, those, level).map_or("-".to_string(), |marks| {
                let first = share(&marks, 1.0);
                let (low, high) = wilson(first, marks.len());
                format!("{} ({}-{})", per_cent(first), per_cent(low), per_cent(high))
            })
        });
    }
    text += &format!("\n{}", head("among three, %"));
    for method in methods {
        text += &row(&method.name, &|level| {
            marked(method, those, level)
                .map_or("-".to_string(), |marks| per_cent(share(&marks, 3.0)))
        });
    }
    text += &format!("\n{}", head("log score"));
    let log = |method: &Method, level: usize| -> Option<f64> {
        let marks = marked(method, those, level)?;
        let sum: Option<f64> = marks.iter().map(Mark::log).sum();
        Some(sum? / marks.len().max(1) as f64)
    };
    for method in methods {
        if log(method, 3).is_some() {
            text += &row(&method.name, &|level| {
                log(method, level).map_or("-".to_string(), |log| format!("{log:.3}"))
            });
        }
    }
    text += &format!("\n{}", head("the scorer less exact enumeration, points"));
    text += &row("first (95 % by drawing the finds again)", &|level| {
        apart(&methods[1], &methods[0], those, level, seed)
    });
    text
}

/// How far apart two methods stand, over the same finds.
fn apart(a: &Method, b: &Method, those: &[usize], level: usize, seed: u64) -> String {
    let (Some(a), Some(b)) = (marked(a, those, level), marked(b, those, level)) else {
        return "-".to_string();
    };
    let each: Vec<f64> = a
        .iter()
        .zip(&b)
        .map(|(a, b)| a.among(1.0) - b.among(1.0))
        .collect();
    let n = each.len().max(1);
    let mut chance = Chance(seed);
    let mut drawn: Vec<f64> = (0..DRAWN_AGAIN)
        .map(|_| (0..n).map(|_| each[chance.below(n)]).sum::<f64>() / n as f64)
        .collect();
    drawn.sort_by(f64::total_cmp);
    let mean = each.iter().sum::<f64>() / n as f64;
    let (low, high) = (
        drawn[DRAWN_AGAIN / 40],
        drawn[DRAWN_AGAIN - 1 - DRAWN_AGAIN / 40],
    );
    format!(
        "{:+.1} ({:+.1} to {:+.1})",
        100.0 * mean,
        100.0 * low,
        100.0 * high
    )
}

/// How exact enumeration bears itself out: what it says of its likeliest type, and how often it is.
fn calibrated(exact: &Method) -> String {
    let n = exact.top.len().max(1) as f64;
    let said = exact.top.iter().map(|(share, _)| share).sum::<f64>() / n;
    let right = exact.top.iter().filter(|(_, right)| *right).count() as f64 / n;
    let spread: f64 = exact
        .top
        .iter()
        .map(|(share, _)| share * (1.0 - share))
        .sum();
    format!(
        "\nExact enumeration gives its likeliest types {:.1} % in the mean, and {:.1} % of them are the true ones (standard error {:.1}).\n",
        100.0 * said,
        100.0 * right,
        100.0 * spread.sqrt() / n,
    )
}
