//! Pixels: a picture as a plain buffer, and a smaller copy to look over first.
//!
//! Reads no file and knows no codec. Points are in pixels from the upper left, x to the right and
//! y down; the middle of the first pixel is 0, 0.
//!
//! Invariant: a picture has three bytes a pixel and at least one pixel.

/// A point: x and y.
pub type Point = [f64; 2];

/// A picture in red, green and blue of sRGB, row by row from the top.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
    /// Three bytes a pixel.
    pub rgb: Vec<u8>,
}

impl Picture {
    /// A picture of these bytes, three a pixel; `None` when their number does not fit.
    pub fn new(width: usize, height: usize, rgb: Vec<u8>) -> Option<Picture> {
        let wanted = width.checked_mul(height)?.checked_mul(3)?;
        (wanted > 0 && wanted == rgb.len()).then_some(Picture { width, height, rgb })
    }

    /// A picture of one colour.
    pub fn plain(width: usize, height: usize, colour: [u8; 3]) -> Picture {
        let (width, height) = (width.max(1), height.max(1));
        let rgb = colour.repeat(width * height);
        Picture { width, height, rgb }
    }

    /// The colour of a pixel; the nearest one's outside.
    pub fn at(&self, x: isize, y: isize) -> [u8; 3] {
        let x = x.clamp(0, self.width as isize - 1) as usize;
        let y = y.clamp(0, self.height as isize - 1) as usize;
        let at = 3 * (y * self.width + x);
        [self.rgb[at], self.rgb[at + 1], self.rgb[at + 2]]
    }

    /// The colour at a point between pixels, by the four around it.
    pub(super) fn between(&self, [x, y]: Point) -> [f64; 3] {
        let (left, top) = (x.floor(), y.floor());
        let (right_by, down_by) = (x - left, y - top);
        let (left, top) = (left as isize, top as isize);
        let mut mixed = [0.0; 3];
        for (dx, dy, share) in [
            (0, 0, (1.0 - right_by) * (1.0 - down_by)),
            (1, 0, right_by * (1.0 - down_by)),
            (0, 1, (1.0 - right_by) * down_by),
            (1, 1, right_by * down_by),
        ] {
            let colour = self.at(left + dx, top + dy);
            for (sum, value) in mixed.iter_mut().zip(colour) {
                *sum += share * f64::from(value);
            }
        }
        mixed
    }
}

/// A smaller copy of a picture, each of its pixels the mean of a square of the picture's.
pub(super) struct Small {
    pub(super) width: usize,
    pub(super) height: usize,
    /// Colours, row by row.
    pub(super) colours: Vec<[f32; 3]>,
    /// Side of the square, in pixels of the picture.
    pub(super) side: usize,
}

impl Small {
    /// A copy whose longer side is at most so long.
    pub(super) fn of(picture: &Picture, longest: usize) -> Small {
        let side = picture.width.max(picture.height).div_ceil(longest).max(1);
        let (width, height) = (picture.width / side, picture.height / side);
        let (width, height) = (width.max(1), height.max(1));
        let mut colours = vec![[0.0_f32; 3]; width * height];
        let share = 1.0 / (side * side) as f32;
        for y in 0..(height * side).min(picture.height) {
            let row = &picture.rgb[3 * y * picture.width..3 * (y + 1) * picture.width];
            let into = &mut colours[(y / side) * width..(y / side + 1) * width];
            for (x, pixel) in row.chunks_exact(3).take(width * side).enumerate() {
                let sum = &mut into[x / side];
                for (sum, value) in sum.iter_mut().zip(pixel) {
                    *sum += f32::from(*value) * share;
                }
            }
        }
        Small {
            width,
            height,
            colours,
            side,
        }
    }

    /// A point of the copy as a point of the picture.
    pub(super) fn to_picture(&self, [x, y]: Point) -> Point {
        let side = self.side as f64;
        [x * side + (side - 1.0) / 2.0, y * side + (side - 1.0) / 2.0]
    }

    /// The copy softened by 1 2 1 each way, the given number of times.
    pub(super) fn softened(&self, times: usize) -> Vec<[f32; 3]> {
        let mut now = self.colours.clone();
        let mut next = now.clone();
        for _ in 0..times {
            soften(&now, &mut next, self.width, 1, self.width);
            soften(&next, &mut now, self.width, self.width, self.height);
        }
        now
    }
}

/// One pass of 1 2 1 along rows (stride 1) or columns (stride of a row).
fn soften(from: &[[f32; 3]], to: &mut [[f32; 3]], width: usize, stride: usize, length: usize) {
    for (at, out) in to.iter_mut().enumerate() {
        let along = if stride == 1 { at % width } else { at / width };
        let before = if along == 0 { at } else { at - stride };
        let after = if along + 1 == length { at } else { at + stride };
        for c in 0..3 {
            out[c] = 0.25 * from[before][c] + 0.5 * from[at][c] + 0.25 * from[after][c];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_holds_three_bytes_a_pixel() {
        assert!(Picture::new(2, 2, vec![0; 12]).is_some());
        assert!(Picture::new(2, 2, vec![0; 11]).is_none());
        assert!(Picture::new(0, 2, vec![]).is_none());
        assert!(Picture::new(usize::MAX, 2, vec![]).is_none());
    }

    #[test]
    fn between_pixels_lies_their_mean_and_a_small_copy_keeps_places() {
        let picture = Picture::new(4, 2, (0..24).map(|v| v * 10).collect()).expect("a picture");
        assert_eq!(picture.between([0.5, 0.0]), [15.0, 25.0, 35.0]);
        let small = Small::of(&picture, 2);
        assert_eq!((small.width, small.height, small.side), (2, 1, 2));
        assert!((f64::from(small.colours[0][0]) - picture.between([0.5, 0.5])[0]).abs() < 1e-4);
        assert_eq!(small.to_picture([1.0, 0.0]), [2.5, 0.5]);
    }
}
