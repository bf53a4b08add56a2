//! Writing: pixels to bytes that carry nothing else.
//!
//! Every picture is packed anew from its pixels: no place, time, camera, comment, profile or
//! thumbnail of the original can be in it. A PNG says at how many pixels a metre it is to be
//! printed. Writes no file itself.
//!
//! Invariant: of the parts of the file only those that the pixels need are written, and the size
//! in print.

use image::codecs::jpeg::{JpegEncoder, PixelDensity};
use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{ExtendedColorType, ImageEncoder, imageops};

use super::fault::{Fault, Kind};
use super::picture::Picture;

/// How well a JPEG keeps the pixels, of 100.
const JPEG_QUALITY: u8 = 90;

/// The form of a written picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Small, with slight losses.
    Jpeg,
    /// Exact.
    Png,
}

impl Form {
    /// The form that a name's ending stands for.
    pub fn by_ending(ending: &str) -> Option<Form> {
        match ending.to_ascii_lowercase().as_str() {
            "jpg" | "jpeg" => Some(Form::Jpeg),
            "png" => Some(Form::Png),
            _ => None,
        }
    }
}

/// A picture as the bytes of a file, to be printed at so many dots an inch when that is said.
///
/// # Errors
///
/// When the picture is larger than the form can hold.
pub fn packed(picture: &Picture, form: Form, dots_an_inch: Option<u16>) -> Result<Vec<u8>, Fault> {
    let side = |length: usize| u32::try_from(length).map_err(|_| cannot("a side is too long"));
    let (width, height) = (side(picture.width)?, side(picture.height)?);
    let mut bytes = Vec::new();
    match form {
        Form::Jpeg => {
            let mut encoder = JpegEncoder::new_with_quality(&mut bytes, JPEG_QUALITY);
            if let Some(dots) = dots_an_inch {
                encoder.set_pixel_density(PixelDensity::dpi(dots));
            }
            encoder
                .write_image(&picture.rgb, width, height, ExtendedColorType::Rgb8)
                .map_err(|error| cannot(&error.to_string()))?;
        }
        Form::Png => {
            PngEncoder::new_with_quality(
                &mut bytes,
                CompressionType::Default,
                FilterType::Adaptive,
            )
            .write_image(&picture.rgb, width, height, ExtendedColorType::Rgb8)
            .map_err(|error| cannot(&error.to_string()))?;
            if let Some(dots) = dots_an_inch {
                bytes = with_size_in_print(&bytes, f64::from(dots) / 0.0254);
            }
        }
    }
    Ok(bytes)
}

fn cannot(why: &str) -> Fault {
    Fault::new(
        Kind::TooLarge,
        format!("the picture cannot be packed: {why}"),
        "make it smaller with fewer dots an inch",
    )
}

/// A copy that fits within a square of so many pixels; never larger than the picture.
pub fn thumbnail(picture: &Picture, within: usize) -> Picture {
    let longest = picture.width.max(picture.height);
    if longest <= within {
        return picture.clone();
    }
    let side = |length: usize| ((length * within + longest / 2) / longest).max(1);
    scaled(picture, side(picture.width), side(picture.height))
}

/// The picture at another number of pixels.
pub(super) fn scaled(picture: &Picture, width: usize, height: usize) -> Picture {
    let whole = image::RgbImage::from_raw(
        picture.width as u32,
        picture.height as u32,
        picture.rgb.clone(),
    );
    let made = whole.map(|whole| {
        imageops::resize(
            &whole,
            width as u32,
            height as u32,
            imageops::FilterType::CatmullRom,
        )
    });
    made.and_then(|made| Picture::new(width, height, made.into_raw()))
        .unwrap_or_else(|| picture.clone())
}

/// A PNG with the chunk `pHYs` after its head: pixels a metre both ways (PNG, third edition, 11.3.4.3).
fn with_size_in_print(png: &[u8], dots_a_metre: f64) -> Vec<u8> {
    // The signature has 8 bytes, the head 4 + 4 + 13 + 4.
    const HEAD: usize = 33;
    let dots = (dots_a_metre.round() as u32).to_be_bytes();
    let mut chunk = b"pHYs".to_vec();
    chunk.extend(dots);
    chunk.extend(dots);
    chunk.push(1);
    let mut whole = png[..HEAD.min(png.len())].to_vec();
    whole.extend(9_u32.to_be_bytes());
    whole.extend(&chunk);
    whole.extend(checksum(&chunk).to_be_bytes());
    whole.extend(&png[HEAD.min(png.len())..]);
    whole
}

/// CRC-32 as PNG reckons it (PNG, third edition, annex D).
fn checksum(bytes: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for byte in bytes {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = if sum & 1 == 1 {
                0xedb8_8320 ^ (sum >> 1)
            } else {
                sum >> 1
            };
        }
    }
    !sum
}

#[cfg(test)]
mod tests {
    use super::*;

    // The check value of this CRC over "123456789" is cbf43926 (from memory; common in its tables).
    #[test]
    fn the_checksum_is_that_of_png() {
        assert_eq!(checksum(b"123456789"), 0xcbf4_3926);
    }

    #[test]
    fn a_thumbnail_keeps_its_shape_and_never_grows() {
        let picture = Picture::plain(400, 100, [9; 3]);
        let small = thumbnail(&picture, 100);
        assert_eq!((small.width, small.height), (100, 25));
        assert_eq!(thumbnail(&picture, 1000), picture);
        assert_eq!(thumbnail(&Picture::plain(4000, 1, [9; 3]), 10).height, 1);
    }
}
