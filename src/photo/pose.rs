//! Poses: the ways in which the camera may have stood over the table.
//!
//! A pose says how the table tilts against the picture, how far off the camera was, how thick the
//! find is and how sharp its rim, how high the scale lay, and how far hands and edges strayed. Many
//! are laid evenly over what is possible; a picture's scale then says how likely each is.
//! Draws by a fixed sequence and not by chance; weighs nothing.
//!
//! Invariant: the same terms give the same poses everywhere, and lengths about the picture's middle
//! are true to the table.

use super::picture::Point;

/// What is told of how the photograph was taken, lengths in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Terms {
    /// Greatest tilt of the camera against the table, in degrees.
    pub tilt: f64,
    /// Least distance of the camera from the table.
    pub distance: f64,
    /// Thickness of the find, when it was measured.
    pub thickness: Option<f64>,
    /// How high the scale lies over the table, when that is known.
    pub raised: Option<f64>,
    /// How far off a point given by hand may be along each axis: one sigma in pixels.
    pub hand: f64,
}

/// What is taken for granted unless told.
impl Default for Terms {
    fn default() -> Terms {
        Terms {
            tilt: 10.0,
            distance: 200.0,
            thickness: None,
            raised: None,
            hand: 1.0,
        }
    }
}

/// Thickness of a find that was not measured: from and to, in mm.
const THICK: (f64, f64) = (0.6, 2.4);
/// How high a ruler's marks lie over the table when that is not told: from and to, in mm.
const RAISED: (f64, f64) = (0.0, 1.0);
/// The farthest camera, as a multiple of the least distance.
const FARTHEST: f64 = 2.5;

/// One way in which the camera may have stood.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pose {
    /// Tilt in radians towards x and y of the picture.
    pub(super) tilt: Point,
    /// Distance of the camera from the table along its axis, mm.
    pub(super) distance: f64,
    /// Thickness of the find, mm.
    pub(super) thickness: f64,
    /// How upright the find's edge is: 0 rounded, 1 square.
    pub(super) square: f64,
    /// Height of the scale over the table, mm.
    pub(super) raised: f64,
    /// Strays of the scale and of the edge, in sigmas.
    pub(super) strays: [f64; 3],
}

/// Poses laid evenly over what the terms allow.
pub(super) fn poses(terms: &Terms, count: usize) -> Vec<Pose> {
    (0..count).map(|at| pose(terms, place(at))).collect()
}

/// Poses whose tilt lies within a box, the rest as before: for a second, closer look.
pub(super) fn poses_within(terms: &Terms, count: usize, least: Point, most: Point) -> Vec<Pose> {
    (0..count)
        .map(|at| {
            let shares = place(at);
            let mut pose = pose(terms, shares);
            for axis in 0..2 {
                pose.tilt[axis] = least[axis] + shares[axis] * (most[axis] - least[axis]);
            }
            pose
        })
        .collect()
}

fn pose(terms: &Terms, shares: [f64; 8]) -> Pose {
    let steepness = (terms.tilt * shares[0]).to_radians();
    let towards = std::f64::consts::TAU * shares[1];
    let between = |(from, to): (f64, f64), share: f64| from + share * (to - from);
    let about = |told: f64, share: f64| told * (0.9 + 0.2 * share);
    let far = (-2.0 * (1.0 - shares[5]).max(1e-12).ln()).sqrt();
    let turn = std::f64::consts::TAU * shares[6];
    // A third stray of the same law from the shares left over, folded anew.
    let third = (shares[7] + 0.618_034 * shares[3] + 0.754_878 * shares[2]).fract();
    let far_third = (-2.0 * (1.0 - third).max(1e-12).ln()).sqrt();
    let turn_third = (shares[4] + 0.569_840 * shares[6] + shares[5]).fract();
    Pose {
        tilt: [steepness * towards.cos(), steepness * towards.sin()],
        distance: terms.distance * FARTHEST.powf(shares[2]),
        thickness: match terms.thickness {
            Some(told) => about(told, shares[3]),
            None => between(THICK, shares[3]),
        },
        square: shares[4],
        raised: terms.raised.unwrap_or_else(|| between(RAISED, shares[7])),
        strays: [
            far * turn.cos(),
            far * turn.sin(),
            far_third * (std::f64::consts::TAU * turn_third).cos(),
        ],
    }
}

/// A place in the unit cube of eight dimensions: an additive sequence whose steps are the powers of
/// the root of x^9 = x + 1 (the generalised golden ratio).
fn place(at: usize) -> [f64; 8] {
    const ROOT: f64 = 1.085_070_245_491_450_7;
    let mut shares = [0.0; 8];
    let mut step = 1.0;
    for share in &mut shares {
        step /= ROOT;
        *share = (0.5 + (at + 1) as f64 * step).fract();
    }
    shares
}

/// How a pose turns points of the picture into points of the table.
pub(super) struct Table {
    /// Focal length in pixels.
    focal: f64,
    middle: Point,
    /// Square on the table, towards the camera's axis.
    normal: [f64; 3],
    /// The two ways along the table.
    along: [[f64; 3]; 2],
    /// Direction of the tilt in the picture.
    towards: Point,
}

impl Table {
    /// For a picture of this size whose pixels show about so many mm.
    pub(super) fn new(pose: &Pose, size: [usize; 2], mm_a_pixel: f64) -> Table {
        let steepness = pose.tilt[0].hypot(pose.tilt[1]);
        let towards = match steepness > 1e-9 {
            true => [pose.tilt[0] / steepness, pose.tilt[1] / steepness],
            false => [1.0, 0.0],
        };
        let (sin, cos) = steepness.sin_cos();
        Table {
            focal: pose.distance / mm_a_pixel,
            middle: [(size[0] as f64 - 1.0) / 2.0, (size[1] as f64 - 1.0) / 2.0],
            normal: [sin * towards[0], sin * towards[1], cos],
            along: [
                [cos * towards[0], cos * towards[1], -sin],
                [-towards[1], towards[0], 0.0],
            ],
            towards,
        }
    }

    fn ray(&self, point: Point) -> [f64; 3] {
        [
            (point[0] - self.middle[0]) / self.focal,
            (point[1] - self.middle[1]) / self.focal,
            1.0,
        ]
    }

    /// A vector along the table in the directions of the picture.
    fn laid(&self, vector: [f64; 3], times: f64) -> Point {
        let [a, b] = self.along.map(|along| dot(along, vector) * times);
        let [x, y] = self.towards;
        [a * x - b * y, a * y + b * x]
    }

    /// A point of the picture on the table, in pixels as they are at the picture's middle.
    pub(super) fn point(&self, point: Point) -> Point {
        let ray = self.ray(point);
        let depth = self.normal[2] / dot(self.normal, ray);
        self.laid(ray, depth * self.focal)
    }

    /// How far, along the table, the foot of an upright edge of height 1 is seen beside its top.
    pub(super) fn lean(&self, point: Point) -> Point {
        let ray = self.ray(point);
        self.laid(ray, 1.0 / dot(self.normal, ray))
    }

    /// The table's distance from the camera square on, as a share of that along the axis.
    pub(super) fn square_on(&self) -> f64 {
        self.normal[2]
    }
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tilted(tilt: Point) -> Pose {
        Pose {
            tilt,
            distance: 250.0,
            thickness: 1.0,
            square: 1.0,
            raised: 0.0,
            strays: [0.0; 3],
        }
    }

    #[test]
    fn without_tilt_a_table_is_the_picture() {
        let table = Table::new(&tilted([0.0, 0.0]), [101, 101], 0.1);
        let laid = table.point([80.0, 20.0]);
        assert!((laid[0] - 30.0).abs() < 1e-9 && (laid[1] + 30.0).abs() < 1e-9);
    }

    // A plane tilted by t about the y axis: x = D sin(a) / cos(a - t) along it, by the law of sines.
    #[test]
    fn a_tilt_lengthens_as_the_law_of_sines_says() {
        let tilt = 0.15_f64;
        let table = Table::new(&tilted([tilt, 0.0]), [101, 101], 0.1);
        for off in [40.0_f64, -40.0] {
            let angle = (off / 2500.0).atan();
            let expected = 2500.0 * angle.sin() / (angle - tilt).cos();
            let (laid, middle) = (table.point([50.0 + off, 50.0]), table.point([50.0, 50.0]));
            assert!(
                (laid[0] - middle[0] - expected).abs() < 1e-6,
                "{laid:?} {expected}"
            );
        }
    }

    #[test]
    fn the_poses_fill_what_is_allowed() {
        let terms = Terms::default();
        let laid = poses(&terms, 600);
        let steep = |pose: &Pose| pose.tilt[0].hypot(pose.tilt[1]).to_degrees();
        assert!(laid.iter().all(|pose| steep(pose) <= 10.0 + 1e-9));
        let mean = laid.iter().map(steep).sum::<f64>() / 600.0;
        assert!((mean - 5.0).abs() < 0.1, "{mean}");
        for at in 0..3 {
            let square = laid.iter().map(|pose| pose.strays[at].powi(2)).sum::<f64>() / 600.0;
            assert!((square - 1.0).abs() < 0.15, "stray {at}: {square}");
        }
    }
}
