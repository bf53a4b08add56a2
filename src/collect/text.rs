//! Texts that are kept: what may stand in them, how long they may be, and when two ids look alike.
//!
//! Changes nothing that was typed but spaces around it.
//!
//! Invariant: a text that passes holds no sign that steers a terminal or turns the writing round.

use unicode_normalization::UnicodeNormalization;

use super::fault::{Kind, ShelfFault};

/// Most characters of an id.
pub const ID_MOST: usize = 64;
/// Most characters of a line: a name, a place of storage, a tag.
pub const LINE_MOST: usize = 300;
/// Most bytes of a longer text: notes, terms, a description.
pub const TEXT_MOST: usize = 200_000;

/// True for signs that steer a terminal, turn the writing round or are not seen at all.
pub(super) fn steers(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}'
            | '\u{feff}' | '\u{ad}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

fn refuse_signs(field: &str, text: &str, allowed: &[char]) -> Result<(), ShelfFault> {
    let sign = text.chars().find(|c| steers(*c) && !allowed.contains(c));
    sign.map_or(Ok(()), |c| {
        let what = format!("holds a sign that is not seen (U+{:04X})", u32::from(c));
        Err(ShelfFault::field(
            field,
            what,
            "leave it out; type the text anew",
        ))
    })
}

/// A text of one line, without spaces around it.
pub fn line(field: &str, text: &str) -> Result<String, ShelfFault> {
    let text = text.trim();
    if text.chars().take(LINE_MOST + 1).count() > LINE_MOST {
        let what = format!("longer than {LINE_MOST} characters");
        return Err(ShelfFault::field(
            field,
            what,
            "shorten it, and put the rest into the notes",
        ));
    }
    refuse_signs(field, text, &[])?;
    Ok(text.to_string())
}

/// A text of any number of lines.
pub fn long(field: &str, text: &str) -> Result<String, ShelfFault> {
    let text = text.trim();
    if text.len() > TEXT_MOST {
        let what = format!(
            "{} bytes; at most {TEXT_MOST} are kept in one text",
            text.len()
        );
        return Err(ShelfFault::field(
            field,
            what,
            "shorten it, or keep it as a document of its own",
        ));
    }
    refuse_signs(field, text, &['\n', '\r', '\t'])?;
    Ok(text.to_string())
}

/// A text of one line where there is one; a blank one is none.
pub fn maybe_line(field: &str, text: &mut Option<String>) -> Result<(), ShelfFault> {
    if let Some(given) = text.take() {
        let kept = line(field, &given)?;
        *text = Some(kept).filter(|kept| !kept.is_empty());
    }
    Ok(())
}

/// A longer text where there is one; a blank one is none.
pub fn maybe_long(field: &str, text: &mut Option<String>) -> Result<(), ShelfFault> {
    if let Some(given) = text.take() {
        let kept = long(field, &given)?;
        *text = Some(kept).filter(|kept| !kept.is_empty());
    }
    Ok(())
}

/// An id of the user's own: one line, not empty, at most [`ID_MOST`] characters.
pub fn id(field: &str, text: &str) -> Result<String, ShelfFault> {
    let text: String = line(field, text)?.nfc().collect();
    let long = text.chars().count() > ID_MOST;
    if text.is_empty() || long {
        let what = match long {
            true => format!("longer than {ID_MOST} characters"),
            false => "nothing was given".to_string(),
        };
        return Err(ShelfFault::field(
            field,
            what,
            "give it a number or name of your own, such as LA-12",
        ));
    }
    if text.starts_with(['=', '+', '-', '@']) {
        let what = format!("{text:?} begins as a formula or an option does");
        return Err(ShelfFault::field(
            field,
            what,
            "begin it with a letter or a figure",
        ));
    }
    Ok(text)
}

/// Letters of other scripts that look like ours, beside those that they look like.
const LOOK_ALIKE: [(&str, &str); 2] = [
    // Cyrillic.
    ("авекмнорстухіјѕԁһɡ", "abekmhopctyxijsdhg"),
    // Greek.
    ("αβεζηικμνορτυχ", "abezhikmnoptux"),
];

/// The form of an id by which two that look alike are the same: case, width, accents and alphabets
/// that cannot be told apart by eye are folded, and signs and spaces between the parts left out.
pub fn folded(id: &str) -> String {
    let plain = id.nfkd().filter(|c| c.is_alphanumeric());
    let lower = plain.flat_map(char::to_lowercase);
    let ours = lower.map(|c| {
        let alike = LOOK_ALIKE.iter().find_map(|(theirs, ours)| {
            let place = theirs.chars().position(|other| other == c)?;
            ours.chars().nth(place)
        });
        alike.unwrap_or(c)
    });
    let folded: String = ours.collect();
    // An id of signs alone is its own form.
    match folded.is_empty() {
        true => id.to_string(),
        false => folded,
    }
}

/// The fault of an id that is taken, or that looks like one that is.
pub(super) fn taken(field: &str, wanted: &str, by: &str) -> ShelfFault {
    let what = match wanted == by {
        true => format!("{field}: the id {wanted} is taken"),
        false => format!("{field}: the id {wanted} looks like {by}, which is taken"),
    };
    ShelfFault::new(
        Kind::Taken,
        what,
        "choose an id that can be told apart from it",
    )
}

/// A day as far as it is known: `2026`, `2026-03` or `2026-03-14`.
pub fn day(field: &str, text: &mut Option<String>) -> Result<(), ShelfFault> {
    maybe_line(field, text)?;
    if let Some(day) = text {
        let read = crate::treasure::When::read(day);
        // What the reader says holds the mend as well.
        read.map_err(|what| ShelfFault::field(field, what, "a year or a month will do too"))?;
        // Padded, so that days sort as texts.
        let parts: Vec<String> = day.split('-').map(|part| format!("{part:0>2}")).collect();
        *day = parts.join("-");
    }
    Ok(())
}

/// One of the words that are possible.
pub fn one_of(field: &str, text: &str, possible: &[&str]) -> Result<(), ShelfFault> {
    if possible.contains(&text) {
        return Ok(());
    }
    Err(ShelfFault::new(
        Kind::Field,
        format!("{field}: \"{text}\" is none of the words for it"),
        format!("say one of: {}", possible.join(", ")),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_that_look_alike_fold_to_one_form() {
        assert_eq!(folded("LA-12"), folded("la 12"));
        // Cyrillic A and a full-width figure.
        assert_eq!(folded("L\u{410}-12"), folded("LA-1\u{ff12}"));
        assert_ne!(folded("LA-12"), folded("LA-13"));
        assert_eq!(folded("#"), "#");
    }

    #[test]
    fn texts_are_kept_as_typed_or_refused_with_words() {
        assert_eq!(line("name", "  Long Acre ").unwrap(), "Long Acre");
        for bad in ["a\u{1b}[2J", "a\u{202e}b", "a\nb", &"x".repeat(301)] {
            let fault = line("name", bad).unwrap_err();
            assert!(fault.to_string().starts_with("name: "), "{fault}");
        }
        assert_eq!(long("notes", "a\nb\n").unwrap(), "a\nb");
        assert!(long("notes", &"x".repeat(10_000_000)).is_err());
        assert!(id("id", "").is_err() && id("id", "=1+1").is_err() && id("id", "../x").is_ok());
    }

    #[test]
    fn days_are_written_year_first() {
        let read = |text: &str| {
            let mut day_read = Some(text.to_string());
            day("found", &mut day_read).map(|()| day_read)
        };
        assert_eq!(read("2026-03-14").unwrap().unwrap(), "2026-03-14");
        assert_eq!(read("2026-3").unwrap().unwrap(), "2026-03");
        assert_eq!(read(" ").unwrap(), None);
        assert!(read("2026-02-30").is_err());
        assert!(read("tomorrow").is_err());
    }
}
