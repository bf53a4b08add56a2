//! How well what a coin shows is heard from everyday words and from those of records.
//!
//! The descriptions (`catalogue/pictured/`) were invented for this project by knowledge of the designs,
//! about eleven a reverse and ten an obverse, in a finder's words, in those of records and of reports,
//! and as a worn piece lets see. The library's weights of words are learnt from them; what motifs are
//! heard in them is fitted on nothing. Common practice, no source. The bars only tighten;
//! `cargo test pictured -- --nocapture` prints the figures.

use std::collections::HashSet;
use std::fs;
use std::path::Path;

use lynchet::parse::{Field, form};
use toml::{Table, Value};

use super::kit::house;

/// Descriptions heard, and how.
#[derive(Default)]
struct Heard {
    /// All descriptions.
    all: usize,
    /// Of which something was heard that the design shows, or a kind or a wider name of it.
    right: usize,
    /// Motifs heard in them.
    motifs: usize,
    /// Of these, such as the design shows nothing of.
    strange: usize,
}

fn texts(value: &Value) -> impl Iterator<Item = &str> {
    let list = value.as_array().expect("a list").iter();
    list.map(|text| text.as_str().expect("a text"))
}

fn heard(side: &str, field: Field, first: usize) -> Heard {
    let path = format!("catalogue/pictured/{side}.toml");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let rows: Table = fs::read_to_string(path)
        .expect("the file")
        .parse()
        .expect("TOML");
    let motifs = &house().catalogue.motifs;
    let place = |id: &str| house().catalogue.motif_by_id(id);
    let mut heard = Heard::default();
    for (design, row) in &rows {
        let shows: HashSet<usize> = design.split(' ').filter_map(place).collect();
        assert!(!shows.is_empty(), "{design} is in no vocabulary");
        let wider: HashSet<usize> = shows
            .iter()
            .flat_map(|at| motifs[*at].ancestors.iter().copied())
            .collect();
        let related = |at: usize| {
            shows.contains(&at)
                || wider.contains(&at)
                || motifs[at].ancestors.iter().any(|wide| shows.contains(wide))
        };
        for text in texts(&row["said"]).take(first) {
            let (find, _) = form(&[(field, text.to_string())], &house().lexicon);
            let said = find.sightings.iter().filter(|one| one.present);
            let said: Vec<usize> = said.filter_map(|one| place(&one.motif)).collect();
            heard.all += 1;
            heard.right += usize::from(said.iter().any(|at| related(*at)));
            heard.motifs += said.len();
            heard.strange += said.iter().filter(|at| !related(**at)).count();
        }
    }
    heard
}

/// Least share in which something right is heard, and most of what is heard that may be strange.
type Bars = (f64, f64);

/// Holds the first descriptions of each design to their bars, by which hearing was measured before
/// there were others, and all of them to theirs.
#[expect(clippy::print_stdout, reason = "the figures, when they are asked for")]
fn hold(side: &str, field: Field, first: (usize, Bars), all: Bars) {
    for (most, (least_right, most_strange)) in [first, (usize::MAX, all)] {
        let heard = heard(side, field, most);
        let share = |part: usize, of: usize| part as f64 / of.max(1) as f64;
        let (right, strange) = (
            share(heard.right, heard.all),
            share(heard.strange, heard.motifs),
        );
        println!(
            "{side}: {} descriptions, something right heard in {right:.3}; of {} motifs heard {strange:.3} are not of the design",
            heard.all, heard.motifs
        );
        assert!(heard.all > 7_000, "{}", heard.all);
        assert!(right >= least_right, "{side}: {right:.3}");
        assert!(strange <= most_strange, "{side}: {strange:.3}");
    }
}

#[test]
fn what_an_obverse_shows_is_heard() {
    hold(
        "obverse",
        Field::ObverseMotif,
        (5, (0.90, 0.41)),
        (0.89, 0.43),
    );
}

#[test]
fn what_a_reverse_shows_is_heard() {
    hold(
        "reverse",
        Field::ReverseMotif,
        (6, (0.935, 0.33)),
        (0.925, 0.355),
    );
}
