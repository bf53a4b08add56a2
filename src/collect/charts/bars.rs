//! Bars: how many of each, one under the other.
//!
//! Invariant: the figures of the bars, with those gathered into one, come to the sum that was
//! handed in.

use super::paper::{LINE, Paper, SIDE, WIDTH, cut};
use crate::drawn::Setting;

/// Most bars of one picture; those that are fewer are gathered into one.
const BARS_MOST: usize = 24;
/// Most letters of a label.
const LABEL: usize = 24;
/// Where bars begin, and the longest.
const LEFT: f64 = 176.0;
const LONG: f64 = 160.0;

/// One bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bar {
    /// What it is.
    pub label: String,
    /// How many.
    pub count: u64,
}

/// Draws bars in the order given. `name` begins the ids, so that several pictures may stand on one
/// page.
pub fn bars(name: &str, title: &str, rows: &[Bar], setting: Setting) -> String {
    let shown = match rows.len() > BARS_MOST {
        true => BARS_MOST - 1,
        false => rows.len(),
    };
    let mut rows_drawn = rows[..shown].to_vec();
    if shown < rows.len() {
        let rest = &rows[shown..];
        rows_drawn.push(Bar {
            label: format!("{} others", rest.len()),
            count: rest.iter().map(|bar| bar.count).sum(),
        });
    }
    let told = rows_drawn.iter();
    let told: Vec<String> = told
        .map(|bar| format!("{}: {}", bar.label, bar.count))
        .collect();
    let mut paper = Paper::new(name, title, &told.join("; "), setting);
    let most = rows_drawn.iter().map(|bar| bar.count).max().unwrap_or(0);
    if most == 0 {
        paper.words("", "nothing to show");
        return paper.whole();
    }
    for bar in &rows_drawn {
        let (y, top) = (paper.down + 2.0, paper.down - 9.0);
        let wide = (LONG * bar.count as f64 / most as f64).max(1.0);
        paper.text("ch-end", (LEFT - 6.0, y), &cut(&bar.label, LABEL));
        paper.draw(&format!(
            r#"<rect class="ch-bar" x="{LEFT}" y="{top:.1}" width="{wide:.1}" height="13"/>"#
        ));
        let right = (LEFT + wide + 5.0).min(WIDTH - SIDE - 30.0);
        paper.text("", (right, y), &bar.count.to_string());
        paper.down += LINE + 3.0;
    }
    paper.whole()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn many(count: usize) -> Vec<Bar> {
        let bar = |at: usize| Bar {
            label: format!("row {at}"),
            count: (count - at) as u64,
        };
        (0..count).map(bar).collect()
    }

    #[test]
    fn what_is_gathered_keeps_the_sum() {
        let svg = bars("b", "Many", &many(100), Setting::Alone);
        assert_eq!(svg.matches("<rect class=\"ch-bar\"").count(), BARS_MOST);
        let rest: usize = (1..=77).sum();
        assert!(svg.contains(&format!("77 others: {rest}")), "{svg}");
    }

    #[test]
    fn hostile_words_come_out_as_words() {
        let bad = "</text><script>alert(1)</script>\"'&\u{1b}";
        let row = Bar {
            label: bad.into(),
            count: 3,
        };
        let svg = bars("b\"><script>", bad, &[row], Setting::Page);
        assert!(
            !svg.contains("<script") && svg.contains("&lt;script"),
            "{svg}"
        );
        let read = roxmltree::Document::parse(&svg).expect("it is well formed");
        assert_eq!(read.root_element().attribute("role"), Some("img"));
    }

    #[test]
    fn nothing_is_said_to_be_nothing() {
        assert!(bars("b", "None", &[], Setting::Page).contains("nothing to show"));
    }
}
