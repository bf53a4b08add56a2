//! An address as a picture of squares that a phone's camera reads (QR code, ISO/IEC 18004), in
//! letters for a terminal.
//!
//! Prints nothing itself.
//!
//! Invariant: dark on light whatever the terminal's colours, with the quiet zone of four squares
//! around it that the standard asks for.

use qrcodegen::{QrCode, QrCodeEcc};

use super::super::error::Trouble;

/// Squares of light around it.
const QUIET: i32 = 4;

/// The picture, two rows of squares in a line of text.
pub(super) fn drawn(text: &str) -> Result<String, Trouble> {
    let code = QrCode::encode_text(text, QrCodeEcc::Medium).map_err(|error| {
        Trouble::new(format!("the address does not fit a picture: {error}"), "")
    })?;
    let mut picture = String::new();
    let edge = code.size() + QUIET;
    for y in (-QUIET..edge).step_by(2) {
        // Black on white, so that it is read on a dark terminal too.
        picture.push_str("\x1b[30;47m");
        for x in -QUIET..edge {
            let below = y + 1 < edge && code.get_module(x, y + 1);
            picture.push(match (code.get_module(x, y), below) {
                (true, true) => '█',
                (true, false) => '▀',
                (false, true) => '▄',
                (false, false) => ' ',
            });
        }
        picture.push_str("\x1b[0m\n");
    }
    Ok(picture)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_finder_squares_stand_in_three_corners() {
        let picture = drawn("http://192.0.2.7:8417/").expect("it fits");
        let rows: Vec<String> = picture
            .lines()
            .map(|line| line.replace("\x1b[30;47m", "").replace("\x1b[0m", ""))
            .collect();
        let width = rows[0].chars().count();
        // Version 2 (25 squares) and four of quiet on each side.
        assert_eq!((width, rows.len()), (33, 17));
        assert!(rows.iter().all(|row| row.chars().count() == width));
        assert!(rows[0].trim().is_empty() && rows[1].trim().is_empty());
        // The top of a finder square: seven dark squares over one, five light, one.
        let top: Vec<char> = rows[2].chars().collect();
        let finder: String = top[4..11].iter().collect();
        assert_eq!(finder, "█▀▀▀▀▀█");
        assert_eq!(
            top[width - 11..width - 4].iter().collect::<String>(),
            finder
        );
    }
}
