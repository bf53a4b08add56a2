//! Rule `legends`: legends are written as struck.
//!
//! Demands a text that is not empty, in capitals, of letters (Æ Ð Þ Ƿ and Œ among
//! them; of Greek ones in other than Greek script only those unlike Latin letters;
//! accented ones in modern), digits, blanks, the
//! signs `+ / * . : ' & -` and `{mint}`; and V for U and I for J in roman, lombardic
//! and anglo-saxon script, whose engravers knew no other. Mints' `struck` forms fill
//! legends and keep to the same letters.
//!
//! Why: a reading is aligned with the text letter by letter. A curly quotation mark
//! or a lower-case letter is a letter no finder can read.
//!
//! To mend: write the letters on the coin; what they mean goes into `reads`.

use super::super::fault::Fault;
use super::super::inscribe::MINT_SLOT;
use super::Library;

const SIGNS: &str = "+/*.:'&- ";

/// Greek letters borrowed by other scripts. The rest look like Latin ones, so one
/// typed by mistake could not be seen.
const UNLIKE_LATIN: &str = "ΓΔΘΛΞΠΣΦΨΩ";

pub(super) fn check(library: &Library<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    for row in &library.raw.legends {
        let legend = &row.fields;
        let at = (row.file.as_str(), row.id.as_str());
        one_text(
            (at.0, at.1, "text"),
            &legend.text,
            &legend.script,
            &mut faults,
        );
        for variant in &legend.variants {
            one_text(
                (at.0, at.1, "variants"),
                variant,
                &legend.script,
                &mut faults,
            );
        }
    }
    for row in &library.raw.mints {
        for form in &row.fields.struck {
            // A name struck in any script stands in one list, so U and J are let by.
            let at = (row.file.as_str(), row.id.as_str(), "struck");
            one_text(at, form, "modern", &mut faults);
            if form.contains(MINT_SLOT) {
                let what = "a mint's name cannot hold itself";
                let mend = "write the letters of the name";
                faults.push(Fault::at("legends", at.0, at.1, at.2, what, mend));
            }
        }
    }
    faults
}

fn one_text(at: (&str, &str, &str), text: &str, script: &str, faults: &mut Vec<Fault>) {
    let mut push = |what: String, mend: &str| {
        faults.push(Fault::at("legends", at.0, at.1, at.2, what, mend));
    };
    if text.trim().is_empty() {
        push(
            "the text is empty".to_string(),
            "write the letters as struck",
        );
        return;
    }
    let letters = text.replace(MINT_SLOT, "");
    if letters.chars().any(char::is_lowercase) {
        push(
            format!("\"{text}\" is not in capitals"),
            "write capitals only",
        );
    } else if let Some(strange) = letters.chars().find(|c| !allowed(*c, script)) {
        let what = format!("`{strange}` is not a sign of a legend");
        push(
            what,
            "write letters, digits, blanks, + / * . : ' & - or {mint}",
        );
    }
    if matches!(script, "roman" | "lombardic" | "anglo-saxon") {
        for (modern, struck) in [('U', 'V'), ('J', 'I')] {
            if letters.contains(modern) {
                let what = format!("{script} script has no {modern}");
                push(what, &format!("write {struck} for {modern}"));
            }
        }
    }
}

fn allowed(c: char, script: &str) -> bool {
    c.is_ascii_uppercase()
        || c.is_ascii_digit()
        || SIGNS.contains(c)
        || "ÆÐÞǷŒ".contains(c)
        || UNLIKE_LATIN.contains(c)
        || (script == "greek" && ('Α'..='Ω').contains(&c))
        || (script == "modern" && ('À'..='Ý').contains(&c) && c != '×')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str, script: &str) -> Vec<String> {
        let mut faults = Vec::new();
        one_text(("f", "i", "text"), text, script, &mut faults);
        faults.into_iter().map(|fault| fault.what).collect()
    }

    #[test]
    fn letters_are_those_the_engraver_had() {
        assert!(told("+ EDǷ R' / ANGL: DNS * {mint} & 12-", "lombardic").is_empty());
        assert!(told("ΦΙΛΙΠΠΟΥ", "greek").is_empty());
        assert!(told("GEORGIUS", "modern").is_empty());
        assert_eq!(told("GEORGIUS", "roman"), ["roman script has no U"]);
        assert_eq!(told("ΦΙΛ", "roman"), ["`Ι` is not a sign of a legend"]);
        assert_eq!(told("Edw", "roman"), ["\"Edw\" is not in capitals"]);
        assert_eq!(told(" ", "roman"), ["the text is empty"]);
    }
}
