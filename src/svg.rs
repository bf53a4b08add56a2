//! What every drawing in SVG shares: lines put together, and text that cannot break them.
//!
//! Draws nothing itself.
//!
//! Invariant: no text that is put through [`escaped`] can end the element or attribute it stands in.

/// Adds a line.
pub(crate) fn put(svg: &mut String, line: &str) {
    svg.push_str(line);
    svg.push('\n');
}

/// Text fit for XML: its own signs spelled out, those it knows not left out.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            sign if sign.is_control() || matches!(sign, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            sign => out.push(sign),
        }
    }
    out
}

#[cfg(test)]
/// Relative luminance and contrast of two colours (WCAG 2.2, "relative luminance" and "contrast
/// ratio", W3C 2023).
pub(crate) fn contrast(a: &str, b: &str) -> f64 {
    let luminance = |colour: &str| {
        let part = |at: usize| {
            let whole = i64::from_str_radix(&colour[at..at + 2], 16).expect("a colour");
            let share = whole as f64 / 255.0;
            if share <= 0.04045 {
                share / 12.92
            } else {
                ((share + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5)
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// The first colour that a scheme gives a class for something of it: `fill:` or `stroke:`.
#[cfg(test)]
pub(crate) fn colour_of(scheme: &str, class: &str, what: &str) -> String {
    let from = scheme.find(class);
    let rest = &scheme[from.unwrap_or_else(|| panic!("no {class}"))..];
    let from = rest.find(what).expect("a colour") + what.len();
    rest[from..from + 7].to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_cannot_break_the_picture() {
        assert_eq!(escaped("a<b>&\"c\u{1b}\u{0}"), "a&lt;b&gt;&amp;&quot;c  ");
    }
}
