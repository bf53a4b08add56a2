//! Opening: bytes of a photograph to upright pixels.
//!
//! Reads JPEG, PNG and WebP; names other forms by their first bytes and says how to turn them into
//! JPEG. The size is looked at before anything is unpacked. Reads no file itself, keeps nothing but
//! pixels: what else the bytes carry (place, time, camera, comments) ends here.
//!
//! Invariant: no more than [`PIXELS_MOST`] pixels are ever unpacked.

use std::io::Cursor;

use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits};

use super::fault::{Fault, Kind};
use super::picture::Picture;

/// Most bytes of a photograph.
pub const BYTES_MOST: usize = 80_000_000;
/// Most pixels of a photograph.
pub const PIXELS_MOST: u64 = 64_000_000;
/// Most memory that a codec may ask for, in bytes.
const MEMORY_MOST: u64 = 600_000_000;

/// What was opened, besides the pixels.
#[derive(Clone, Debug, PartialEq)]
pub struct Opened {
    /// The picture, upright.
    pub picture: Picture,
    /// True when the file said that it was to be turned, and it was.
    pub turned: bool,
    /// What the file carried besides pixels, in words.
    pub carried: Vec<&'static str>,
}

/// Opens a photograph.
///
/// # Errors
///
/// When the bytes are none, of another form, cut short, broken or too large.
pub fn open(bytes: &[u8]) -> Result<Opened, Fault> {
    if bytes.len() > BYTES_MOST {
        return Err(too_large(&format!("it has {} MB", bytes.len() / 1_000_000)));
    }
    let format = form(bytes)?;
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    let mut limits = Limits::default();
    limits.max_alloc = Some(MEMORY_MOST);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(|error| broken(&error))?;
    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) > PIXELS_MOST {
        return Err(too_large(&format!("it has {width} x {height} pixels")));
    }
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let mut carried = Vec::new();
    let mut has = |found: bool, what: &'static str| carried.extend(found.then_some(what));
    let exif = decoder.exif_metadata().ok().flatten();
    has(exif.is_some(), "camera data (EXIF)");
    has(
        matches!(decoder.xmp_metadata(), Ok(Some(_))),
        "editing data (XMP)",
    );
    has(
        matches!(decoder.iptc_metadata(), Ok(Some(_))),
        "press data (IPTC)",
    );
    has(
        matches!(decoder.icc_profile(), Ok(Some(_))),
        "a colour profile",
    );
    let mut image = DynamicImage::from_decoder(decoder).map_err(|error| broken(&error))?;
    image.apply_orientation(orientation);
    Ok(Opened {
        picture: flat(image)?,
        turned: orientation != Orientation::NoTransforms,
        carried,
    })
}

/// Three bytes a pixel; what shows through is laid on white.
fn flat(image: DynamicImage) -> Result<Picture, Fault> {
    let clear = image.color().has_alpha();
    let (width, height) = (image.width() as usize, image.height() as usize);
    let rgb = if clear {
        let rgba = image.into_rgba8().into_raw();
        let mut rgb = Vec::with_capacity(rgba.len() / 4 * 3);
        for pixel in rgba.chunks_exact(4) {
            let cover = u32::from(pixel[3]);
            let laid =
                |value: u8| ((u32::from(value) * cover + 255 * (255 - cover) + 127) / 255) as u8;
            rgb.extend(pixel[..3].iter().map(|value| laid(*value)));
        }
        rgb
    } else {
        image.into_rgb8().into_raw()
    };
    Picture::new(width, height, rgb).ok_or_else(|| {
        Fault::new(
            Kind::TooSmall,
            "the picture has no pixels",
            "give the photograph itself",
        )
    })
}

fn too_large(what: &str) -> Fault {
    Fault::new(
        Kind::TooLarge,
        format!("the picture is too large: {what}"),
        format!(
            "save a smaller copy: at most {} million pixels and {} MB",
            PIXELS_MOST / 1_000_000,
            BYTES_MOST / 1_000_000
        ),
    )
}

fn broken(error: &image::ImageError) -> Fault {
    match error {
        image::ImageError::Limits(_) => too_large("it asks for more memory than is given"),
        image::ImageError::Unsupported(_) => Fault::new(
            Kind::OtherForm,
            "the picture is of a rare kind that is not read",
            "open it in any picture program and save it as JPEG or PNG",
        ),
        _ => {
            let short: String = error
                .to_string()
                .chars()
                .filter(|c| !c.is_control())
                .take(120)
                .collect();
            Fault::new(
                Kind::Unreadable,
                format!("the picture is broken or cut short: {short}"),
                "copy it from the camera or telephone again",
            )
        }
    }
}

/// What form the bytes have, by the first of them.
fn form(bytes: &[u8]) -> Result<ImageFormat, Fault> {
    let starts = |with: &[u8]| bytes.starts_with(with);
    let at = |from: usize, to: usize| bytes.get(from..to).unwrap_or_default();
    if starts(&[0xff, 0xd8, 0xff]) {
        return Ok(ImageFormat::Jpeg);
    }
    if starts(b"\x89PNG\r\n\x1a\n") {
        return Ok(ImageFormat::Png);
    }
    if starts(b"RIFF") && at(8, 12) == b"WEBP" {
        return Ok(ImageFormat::WebP);
    }
    let other = match () {
        () if at(4, 8) == b"ftyp" => match at(8, 12) {
            b"heic" | b"heix" | b"hevc" | b"heim" | b"heis" | b"mif1" | b"msf1" => "HEIC",
            b"avif" | b"avis" => "AVIF",
            _ => "a film or another form in boxes",
        },
        () if starts(b"II*\0") || starts(b"MM\0*") => "TIFF, or the raw form of a camera",
        () if starts(b"GIF8") => "GIF",
        () if starts(b"BM") => "BMP",
        () if starts(b"%PDF") => "PDF",
        () if starts(&[0xff, 0x0a]) || starts(b"\0\0\0\x0cJXL ") => "JPEG XL",
        () if starts(b"<svg") || starts(b"<?xml") => "SVG or other XML",
        () if bytes.is_empty() => {
            return Err(Fault::new(
                Kind::Unreadable,
                "the file is empty",
                "copy it from the camera or telephone again",
            ));
        }
        () => {
            return Err(Fault::new(
                Kind::Unreadable,
                "the file is no picture, or none that is known",
                "give a photograph as JPEG, PNG or WebP",
            ));
        }
    };
    Err(Fault::new(
        Kind::OtherForm,
        format!("the picture is {other}, which is not read"),
        "save it as JPEG: open it and export or share it as JPEG, or set the telephone to take JPEG \
         (\"most compatible\")",
    ))
}
