//! A drawing in place of a photograph: a disc or a plate with letters, on plain ground.
//!
//! For finds that never were; says so in its own words under the drawing. Draws no likeness.
//!
//! Invariant: the same words give the same pixels.

use super::fault::Fault;
use super::letters;
use super::picture::Picture;

/// Side of the picture, pixels.
const SIDE: usize = 420;
/// What stands under every drawing.
const SAYS: &str = "drawn, invented";

/// What is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// A round one, as a coin.
    Disc,
    /// A square one with round corners, as a mount.
    Plate,
}

/// Draws a find that never was, with a line of letters on it.
///
/// # Errors
///
/// When a letter cannot be drawn.
pub fn stand_in(shape: Shape, tone: [u8; 3], words: &str) -> Result<Picture, Fault> {
    letters::checked(words, "letters of the drawing")?;
    let mut picture = Picture::plain(SIDE, SIDE, [246, 245, 240]);
    let (middle, reach) = (SIDE as f64 / 2.0, 150.0);
    for y in 0..SIDE {
        for x in 0..SIDE {
            let (across, down) = (x as f64 - middle, y as f64 + 18.0 - middle);
            let far = match shape {
                Shape::Disc => across.hypot(down),
                // Rounder than a square, squarer than a disc.
                Shape::Plate => (across.powi(6) + down.powi(6)).powf(1.0 / 6.0),
            };
            let light = match far / reach {
                far if far > 1.0 => continue,
                far if far > 0.95 => 0.62,
                far if (0.80..0.83).contains(&far) => 0.78,
                // A little lighter towards the upper left.
                _ => 1.0 - 0.10 * (across + down) / (2.0 * reach),
            };
            let at = 3 * (y * SIDE + x);
            for (value, tone) in picture.rgb[at..at + 3].iter_mut().zip(tone) {
                *value = (f64::from(tone) * light).clamp(0.0, 255.0).round() as u8;
            }
        }
    }
    // As large as fits between the edges.
    let wide = letters::width(words, 1.0).max(f32::MIN_POSITIVE);
    let size = (200.0 / wide).min(56.0);
    centred(
        &mut picture,
        words,
        size,
        middle as f32 + size * 0.35 - 18.0,
    );
    centred(&mut picture, SAYS, 22.0, SIDE as f32 - 26.0);
    Ok(picture)
}

fn centred(picture: &mut Picture, words: &str, size: f32, baseline: f32) {
    let left = (SIDE as f32 - letters::width(words, size)) / 2.0;
    letters::draw(picture, words, size, left, baseline);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_drawing_says_that_it_is_one_and_is_the_same_every_time() {
        let tone = [180, 180, 186];
        let first = stand_in(Shape::Disc, tone, "EDW R").unwrap();
        assert_eq!(first, stand_in(Shape::Disc, tone, "EDW R").unwrap());
        assert_ne!(first, stand_in(Shape::Plate, tone, "EDW R").unwrap());
        let dark = |from: usize, to: usize| {
            let row = first.rgb[3 * from * SIDE..3 * to * SIDE].chunks_exact(3);
            row.filter(|pixel| pixel[0] < 80).count()
        };
        assert!(dark(SIDE - 50, SIDE) > 50, "words stand under it");
        assert_eq!(dark(0, 30), 0);
        assert!(stand_in(Shape::Disc, tone, "\u{6f22}").is_err());
    }
}
