//! Signs of a legend as EpiDoc, and a whole text of legends as a TEI document.
//!
//! By the EpiDoc Guidelines 9.8 (January 2026): one rule a sign. What the design cuts is a line
//! beginning with a `rend`, the exergue a milestone and a choice of letters a choice of unclear
//! ones: these three are our reading of the guidelines, which have no row for them.
//!
//! Invariant: what is made is well formed, whatever the letters.

use super::leiden::{About, Break, Doubt, Sign};

/// The characters that XML takes, with its own signs escaped.
pub fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\n' | '\t' => safe.push(c),
            // XML has no place for these at all.
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => safe.push(' '),
            c => safe.push(c),
        }
    }
    safe
}

/// Signs as EpiDoc, without an element about them.
pub fn xml(signs: &[Sign]) -> String {
    let mut made = String::new();
    let mut line = 1;
    write(signs, &mut line, &mut made);
    made
}

fn write(signs: &[Sign], line: &mut usize, made: &mut String) {
    for (at, sign) in signs.iter().enumerate() {
        let written = match sign {
            Sign::Break(one) => {
                *line += 1;
                let inside = at > 0 && joins(&signs[at - 1], true);
                let inside = inside && signs.get(at + 1).is_some_and(|next| joins(next, false));
                broken(*one, *line, inside)
            }
            Sign::Erased(inner) => {
                let mut within = String::new();
                write(inner, line, &mut within);
                format!("<del rend=\"erasure\">{within}</del>")
            }
            sign => plain(sign),
        };
        made.push_str(&written);
    }
}

fn plain(sign: &Sign) -> String {
    let e = escaped;
    match sign {
        Sign::Clear(letters) => e(letters),
        Sign::Unclear(letters) => format!("<unclear>{}</unclear>", e(letters)),
        Sign::OneOf(letters) => {
            let each = letters.iter();
            let each: String = each
                .map(|one| format!("<unclear>{}</unclear>", e(one)))
                .collect();
            format!("<choice>{each}</choice>")
        }
        Sign::Lost(None, _) => {
            "<gap reason=\"lost\" extent=\"unknown\" unit=\"character\"/>".into()
        }
        Sign::Lost(Some(count), about) => {
            let rough = match about {
                About::Exactly => "",
                About::Roughly => " precision=\"low\"",
            };
            format!("<gap reason=\"lost\" quantity=\"{count}\" unit=\"character\"{rough}/>")
        }
        Sign::LineLost => "<gap reason=\"lost\" extent=\"unknown\" unit=\"line\"/>".into(),
        Sign::Illegible(count) => {
            format!("<gap reason=\"illegible\" quantity=\"{count}\" unit=\"character\"/>")
        }
        Sign::Restored(letters, doubt) => {
            format!(
                "<supplied reason=\"lost\"{}>{}</supplied>",
                cert(*doubt),
                e(letters)
            )
        }
        Sign::Senseless(letters) => format!("<orig>{}</orig>", e(letters)),
        Sign::Expanded(stands, added, Doubt::Firm) => {
            let (stands, added) = (e(stands), e(added));
            format!("<expan><abbr>{stands}</abbr><ex>{added}</ex></expan>")
        }
        Sign::Expanded(stands, added, doubt) => {
            let (stands, added) = (e(stands), e(added));
            format!("<expan>{stands}<ex{}>{added}</ex></expan>", cert(*doubt))
        }
        Sign::Abbreviated(stands) => format!("<abbr>{}</abbr>", e(stands)),
        sign => of_the_engraver(sign),
    }
}

/// What the engraver did or left, and what is no letter.
fn of_the_engraver(sign: &Sign) -> String {
    let e = escaped;
    match sign {
        Sign::LeftOut(letters) => format!("<supplied reason=\"omitted\">{}</supplied>", e(letters)),
        Sign::Surplus(letters) => format!("<surplus>{}</surplus>", e(letters)),
        Sign::Corrected(right, stands) => {
            let (right, stands) = (e(right), e(stands));
            format!("<choice><corr>{right}</corr><sic>{stands}</sic></choice>")
        }
        Sign::Ligature(letters) => hi("ligature", letters),
        Sign::Reversed(letters) => hi("reversed", letters),
        Sign::Inverted(letters) => hi("inverted", letters),
        Sign::RightToLeft => "<lb style=\"direction:rtl\"/>".into(),
        Sign::Symbol(name) => format!("<g ref=\"#{}\"/>", e(name)),
        Sign::Monogram => "<g type=\"monogram\"/>".into(),
        Sign::Space(count) => format!("<space quantity=\"{count}\" unit=\"character\"/>"),
        Sign::Earlier(letters) => {
            let letters = e(letters);
            format!(
                "<supplied reason=\"undefined\" evidence=\"previouseditor\">{letters}</supplied>"
            )
        }
        Sign::Number(value, letters) => format!("<num value=\"{value}\">{}</num>", e(letters)),
        // Written by `write`, which knows what stands beside them, or by `plain`.
        _ => String::new(),
    }
}

fn cert(doubt: Doubt) -> &'static str {
    match doubt {
        Doubt::Firm => "",
        Doubt::Doubtful => " cert=\"low\"",
    }
}

fn hi(rend: &str, letters: &str) -> String {
    format!("<hi rend=\"{rend}\">{}</hi>", escaped(letters))
}

fn broken(one: Break, line: usize, inside: bool) -> String {
    let word = if inside { " break=\"no\"" } else { "" };
    match one {
        Break::Line => format!("<lb n=\"{line}\"{word}/>"),
        Break::Stroke => format!("<lb n=\"{line}\" rend=\"stroke\"{word}/>"),
        Break::Cut => format!("<lb n=\"{line}\" rend=\"cut\"{word}/>"),
        Break::Exergue => "<milestone unit=\"exergue\"/>".into(),
    }
}

/// True when a word may run on across this end of a sign.
fn joins(sign: &Sign, at_its_end: bool) -> bool {
    let letters = match sign {
        Sign::Clear(letters)
        | Sign::Unclear(letters)
        | Sign::Restored(letters, _)
        | Sign::Ligature(letters) => letters,
        _ => return false,
    };
    let mut letters = letters.chars();
    let edge = match at_its_end {
        true => letters.next_back(),
        false => letters.next(),
    };
    edge.is_some_and(char::is_alphanumeric)
}

/// One legend of a document.
pub struct Part<'t> {
    /// `obverse`, `reverse` or `unknown`.
    pub side: &'t str,
    /// `read` or `restored`.
    pub standing: &'t str,
    /// How sure the restoration is; empty for what was read.
    pub note: String,
    /// The signs.
    pub signs: Vec<Sign>,
}

/// One record of a document: its title, and its legends.
pub struct Text<'t> {
    /// Title.
    pub title: String,
    /// The legends.
    pub parts: Vec<Part<'t>>,
}

/// A whole TEI document of the legends of records.
pub fn document(texts: &[Text<'_>]) -> String {
    let mut made = String::from(concat!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n",
        "<TEI xmlns=\"http://www.tei-c.org/ns/1.0\">\n",
        "  <teiHeader>\n    <fileDesc>\n",
        "      <titleStmt><title>Legends of draft records</title></titleStmt>\n",
        "      <publicationStmt><p>Draft, not published.</p></publicationStmt>\n",
        "      <sourceDesc><p>Read from the pieces by their finder.</p></sourceDesc>\n",
        "    </fileDesc>\n  </teiHeader>\n  <text>\n    <body>\n",
    ));
    for text in texts {
        let title = escaped(&text.title);
        made.push_str(&format!(
            "      <div type=\"edition\" xml:space=\"preserve\">\n        <head>{title}</head>\n"
        ));
        for part in &text.parts {
            let (side, standing) = (escaped(part.side), escaped(part.standing));
            made.push_str(&format!(
                "        <div type=\"textpart\" subtype=\"{side}\" n=\"{standing}\">\n"
            ));
            if !part.note.is_empty() {
                let note = escaped(&part.note);
                made.push_str(&format!("          <note>{note}</note>\n"));
            }
            made.push_str(&format!(
                "          <ab>{}</ab>\n        </div>\n",
                xml(&part.signs)
            ));
        }
        if text.parts.is_empty() {
            made.push_str("        <ab/>\n");
        }
        made.push_str("      </div>\n");
    }
    made.push_str("    </body>\n  </text>\n</TEI>\n");
    made
}

#[cfg(test)]
mod tests {
    use super::super::leiden::read;
    use super::*;

    #[test]
    fn a_damaged_legend_as_epidoc() {
        let made = |text: &str| xml(&read(text));
        assert_eq!(
            made("[+ED]W R AN/GL"),
            "<supplied reason=\"lost\">+ED</supplied>W R AN\
             <lb n=\"2\" rend=\"stroke\" break=\"no\"/>GL"
        );
        assert_eq!(made("A&B"), "A&amp;B");
        assert_eq!(made("LON / DON"), "LON <lb n=\"2\" rend=\"stroke\"/> DON");
    }
}
