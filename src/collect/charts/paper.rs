//! What the pictures share: the sheet with its title, its colours, its words.
//!
//! Knows no figures.
//!
//! Invariant: two pictures with different names may stand on one page.

use crate::drawn::Setting;
use crate::svg::{escaped, put};

/// Width in its own units; at 360 pixels its words are eleven pixels high.
pub(super) const WIDTH: f64 = 400.0;
/// Height of a line of words.
pub(super) const LINE: f64 = 16.0;
/// Left and right margin.
pub(super) const SIDE: f64 = 14.0;
/// Letters of a line of words.
const LETTERS: usize = 54;

/// Colours by scheme. Words stand out from the paper by more than 4.5 to one, all else that is
/// drawn by more than three to one.
pub(super) const STYLE: &str = "\
.ch-paper{fill:#fffefb}\
.ch-axis{fill:none;stroke:#5f6b66;stroke-width:1}\
.ch-grid{fill:none;stroke:#5f6b66;stroke-width:.5;stroke-opacity:.35}\
.ch-bar{fill:#2f6f62}\
.ch-coin{fill:#2f6f62;fill-opacity:.6;stroke:#2f6f62}\
.ch-thing{fill:none;stroke:#8f4a12;stroke-width:1.6}\
.ch-stem{fill:none;stroke:#2f6f62;stroke-width:2.4}\
text{font-family:system-ui,sans-serif;font-size:12.5px;fill:#20241f}\
.ch-name{font-weight:600}\
.ch-end{text-anchor:end}\
.ch-mid{text-anchor:middle}\
@media (prefers-color-scheme:dark){\
.ch-paper{fill:#161a19}\
.ch-axis,.ch-grid{stroke:#98a5a0}\
.ch-bar{fill:#74c4b2}\
.ch-coin{fill:#74c4b2;stroke:#74c4b2}\
.ch-thing{stroke:#f0a868}\
.ch-stem{stroke:#74c4b2}\
text{fill:#eef2ee}}";

/// A picture being drawn.
pub(super) struct Paper {
    body: String,
    name: String,
    title: String,
    desc: String,
    setting: Setting,
    /// Where the next line of words stands.
    pub(super) down: f64,
}

impl Paper {
    /// A sheet; `name` is the beginning of its ids, and only its letters, figures and hyphens count.
    pub(super) fn new(name: &str, title: &str, desc: &str, setting: Setting) -> Paper {
        let plain = |c: &char| c.is_ascii_alphanumeric() || *c == '-';
        let mut paper = Paper {
            body: String::new(),
            name: name.chars().filter(plain).take(40).collect(),
            title: title.to_string(),
            desc: desc.to_string(),
            setting,
            down: 20.0,
        };
        // In a page the heading above the picture is its name.
        if setting == Setting::Alone {
            paper.words("ch-name", title);
            paper.down += 4.0;
        }
        paper
    }

    /// Adds something drawn.
    pub(super) fn draw(&mut self, line: &str) {
        put(&mut self.body, line);
    }

    /// One line of words at a place.
    pub(super) fn text(&mut self, class: &str, (x, y): (f64, f64), words: &str) {
        let words = escaped(words);
        let line = format!(r#"<text class="{class}" x="{x:.1}" y="{y:.1}">{words}</text>"#);
        self.draw(&line);
    }

    /// Words in lines under what is drawn already.
    pub(super) fn words(&mut self, class: &str, words: &str) {
        let mut line = String::new();
        let mut lines = Vec::new();
        for word in words.split_whitespace() {
            let word = cut(word, LETTERS);
            if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > LETTERS {
                lines.push(std::mem::take(&mut line));
            }
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(&word);
        }
        lines.extend(Some(line).filter(|line| !line.is_empty()));
        for line in lines.iter().take(6) {
            let at = (SIDE, self.down);
            self.text(class, at, line);
            self.down += LINE;
        }
    }

    /// The picture.
    pub(super) fn whole(self) -> String {
        let height = self.down.max(40.0);
        let name = &self.name;
        let mut svg = String::new();
        // A page may not bring styles of its own: its stylesheet has them.
        let look = match self.setting {
            Setting::Alone => r#"style="width:100%;max-width:48rem""#,
            Setting::Page => r#"class="chart""#,
        };
        put(
            &mut svg,
            &format!(
                r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height:.0}" role="img" aria-labelledby="{name}-title {name}-desc" {look}>"#
            ),
        );
        let (title, desc) = (escaped(&self.title), escaped(&self.desc));
        put(
            &mut svg,
            &format!(r#"<title id="{name}-title">{title}</title>"#),
        );
        put(
            &mut svg,
            &format!(r#"<desc id="{name}-desc">{desc}</desc>"#),
        );
        if self.setting == Setting::Alone {
            put(&mut svg, &format!("<style>{STYLE}</style>"));
        }
        put(
            &mut svg,
            &format!(r#"<rect class="ch-paper" width="{WIDTH}" height="{height:.0}"/>"#),
        );
        svg.push_str(&self.body);
        put(&mut svg, "</svg>");
        svg
    }
}

/// A text of at most so many letters, what is more cut off with dots.
pub(super) fn cut(text: &str, most: usize) -> String {
    match text.chars().count() > most {
        true => text.chars().take(most - 1).chain(['\u{2026}']).collect(),
        false => text.to_string(),
    }
}

/// Round steps for an axis from nought to this, at most five.
pub(super) fn step(most: f64) -> f64 {
    let rough = (most / 5.0).max(f64::MIN_POSITIVE);
    let size = 10_f64.powf(rough.log10().floor());
    let times = [1.0, 2.0, 5.0, 10.0].into_iter();
    let mut fits = times.map(|times| times * size);
    fits.find(|step| *step >= rough).unwrap_or(10.0 * size)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::svg::{colour_of, contrast};

    #[test]
    fn colours_stand_out_from_the_paper_in_light_and_dark() {
        let (light, dark) = STYLE.split_once("@media").expect("a dark scheme");
        for scheme in [light, dark] {
            let colour = |class: &str, what: &str| colour_of(scheme, class, what);
            let paper = colour(".ch-paper", "fill:");
            let words = contrast(&colour("text{", "fill:"), &paper);
            assert!(words >= 4.5, "words: {words}");
            for (class, what) in [
                (".ch-axis", "stroke:"),
                (".ch-bar", "fill:"),
                (".ch-coin", "stroke:"),
                (".ch-thing", "stroke:"),
                (".ch-stem", "stroke:"),
            ] {
                let ink = contrast(&colour(class, what), &paper);
                assert!(ink >= 3.0, "{class}: {ink}");
            }
        }
    }

    #[test]
    fn steps_are_round_and_few() {
        for (most, wanted) in [
            (1.0, 0.2),
            (7.0, 2.0),
            (10.0, 2.0),
            (23.0, 5.0),
            (100_000.0, 20_000.0),
        ] {
            assert!((step(most) - wanted).abs() < 1e-9, "{most}: {}", step(most));
        }
        assert_eq!(cut("abcdef", 4), "abc\u{2026}");
    }
}
