//! A table, a lamp and a camera: photographs of worn coins whose true size is known.
//!
//! A pinhole camera at some distance looks down on a table at a tilt. On it lies a coin with a worn
//! edge, of some thickness, its rim square or rounded, with a shadow; beside it a strip with marks,
//! a card's corners or a modern coin. The picture is blurred, grained and pressed as JPEG; points
//! are marked by a hand that errs by a pixel. Shares no code with the room that measures.
//!
//! Invariant: a seed gives the same photograph and the same truth.

use std::f64::consts::TAU;

/// A point, in pixels or in mm.
pub type Point = [f64; 2];

/// Chance by a seed (splitmix64, Steele, Lea and Flood 2014).
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x5151)
    }

    pub fn draw(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub fn share(&mut self) -> f64 {
        (self.draw() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn between(&mut self, from: f64, to: f64) -> f64 {
        from + (to - from) * self.share()
    }

    pub fn bell(&mut self) -> f64 {
        let far = (-2.0 * (1.0 - self.share()).ln()).sqrt();
        far * (TAU * self.share()).cos()
    }
}

/// What gives the scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beside {
    /// Two points of a ruler.
    Points,
    /// Every mark of a ruler.
    Marks,
    /// The corners of a card round the coin.
    Corners,
    /// One modern coin.
    Coin,
    /// Two modern coins, one to each side.
    Coins,
}

pub const ALL: [Beside; 5] = [
    Beside::Points,
    Beside::Marks,
    Beside::Corners,
    Beside::Coin,
    Beside::Coins,
];

/// A photograph with what is true of it.
pub struct Photograph {
    pub size: usize,
    pub rgb: Vec<u8>,
    /// Points as the hand marked them, with their places in mm.
    pub marks: Vec<(Point, Point)>,
    /// Modern coins: name and a point on each.
    pub coins: Vec<(&'static str, Point)>,
    /// A point on the find.
    pub find: Point,
    /// Largest and smallest width, and diameter of the circle of the same area, mm.
    pub largest: f64,
    pub smallest: f64,
    pub diameter: f64,
    pub told: String,
}

/// How the photograph is taken.
#[derive(Clone, Copy)]
pub struct Wanted {
    pub beside: Beside,
    pub size: usize,
    /// Greatest tilt, degrees.
    pub tilt: f64,
    /// True when every photograph has that tilt.
    pub all_tilted: bool,
}

/// A disc with an edge of its own.
struct Disc {
    middle: Point,
    /// Radius every half degree.
    radii: Vec<f64>,
    thickness: f64,
    /// 1 for a square edge, 0 for a rounded one.
    square: f64,
    colour: [f64; 3],
    /// Waves of its surface: direction, frequency, phase, height.
    relief: Vec<[f64; 4]>,
    side: f64,
}

const RADII: usize = 720;

impl Disc {
    fn radius(&self, angle: f64) -> f64 {
        let at = angle.rem_euclid(TAU) / TAU * RADII as f64;
        let first = at as usize % RADII;
        let share = at - at.floor();
        self.radii[first] * (1.0 - share) + self.radii[(first + 1) % RADII] * share
    }

    /// How much narrower the disc is at a height than half way up.
    fn inset(&self, height: f64) -> f64 {
        let half = self.thickness / 2.0;
        let off = ((height - half) / half).clamp(-1.0, 1.0);
        (1.0 - self.square) * half * (1.0 - (1.0 - off * off).sqrt())
    }
}

fn worn(dice: &mut Dice, radius: f64) -> Vec<f64> {
    let mut waves = Vec::new();
    for times in 2..26 {
        let high = if times < 4 {
            0.014
        } else {
            0.02 / f64::from(times)
        };
        waves.push((
            f64::from(times),
            radius * high * dice.bell() * 0.6,
            dice.between(0.0, TAU),
        ));
    }
    let clipped = dice.share() < 0.35;
    let (cut_at, cut) = (dice.between(0.0, TAU), radius * dice.between(0.9, 1.0));
    let radius_at = |at: usize| {
        let angle = TAU * at as f64 / RADII as f64;
        let wave: f64 = waves
            .iter()
            .map(|(times, high, phase)| high * (times * angle + phase).cos())
            .sum();
        let towards = (angle - cut_at).cos();
        match clipped && towards > 0.2 {
            true => (radius + wave).min(cut / towards),
            false => radius + wave,
        }
    };
    (0..RADII).map(radius_at).collect()
}

/// Largest and smallest width, and diameter of the circle of the same area.
fn truth(radii: &[f64]) -> (f64, f64, f64) {
    let points: Vec<Point> = radii
        .iter()
        .enumerate()
        .map(|(at, radius)| {
            let angle = TAU * at as f64 / RADII as f64;
            [radius * angle.cos(), radius * angle.sin()]
        })
        .collect();
    let (mut largest, mut smallest) = (0.0_f64, f64::INFINITY);
    for at in 0..720 {
        let (sin, cos) = (TAU * f64::from(at) / 1440.0).sin_cos();
        let along = points.iter().map(|point| point[0] * cos + point[1] * sin);
        let (low, high) = along.fold((f64::MAX, f64::MIN), |(low, high), v| {
            (low.min(v), high.max(v))
        });
        largest = largest.max(high - low);
        smallest = smallest.min(high - low);
    }
    let twice: f64 = (0..RADII)
        .map(|at| {
            let (a, b) = (points[at], points[(at + 1) % RADII]);
            a[0] * b[1] - b[0] * a[1]
        })
        .sum();
    (
        largest,
        smallest,
        2.0 * (twice / 2.0 / std::f64::consts::PI).sqrt(),
    )
}

/// The pinhole camera over the table.
struct Camera {
    focal: f64,
    middle: Point,
    distance: f64,
    /// Rows: the table's x, y and height in the camera's directions.
    turned: [[f64; 3]; 3],
}

impl Camera {
    fn new(tilt: f64, towards: f64, roll: f64, distance: f64, focal: f64, middle: Point) -> Camera {
        let (sin, cos) = tilt.sin_cos();
        let (to_sin, to_cos) = towards.sin_cos();
        let (roll_sin, roll_cos) = roll.sin_cos();
        // Turn by the roll, then about an axis in the picture by the tilt (Rodrigues).
        let axis = [-to_sin, to_cos, 0.0];
        let turn = |v: [f64; 3]| {
            let along: f64 = (0..3).map(|i| axis[i] * v[i]).sum();
            let cross = [
                axis[1] * v[2] - axis[2] * v[1],
                axis[2] * v[0] - axis[0] * v[2],
                axis[0] * v[1] - axis[1] * v[0],
            ];
            [0, 1, 2].map(|i| v[i] * cos + cross[i] * sin + axis[i] * along * (1.0 - cos))
        };
        Camera {
            focal,
            middle,
            distance,
            turned: [
                turn([roll_cos, roll_sin, 0.0]),
                turn([-roll_sin, roll_cos, 0.0]),
                // Height goes towards the camera.
                turn([0.0, 0.0, -1.0]),
            ],
        }
    }

    /// Where a point of the table at a height is seen.
    fn seen(&self, [x, y]: Point, height: f64) -> Point {
        let at = [0, 1, 2]
            .map(|i| x * self.turned[0][i] + y * self.turned[1][i] + height * self.turned[2][i]);
        let depth = self.distance + at[2];
        [
            self.middle[0] + self.focal * at[0] / depth,
            self.middle[1] + self.focal * at[1] / depth,
        ]
    }

    /// The point of the table at a height that is seen at a pixel.
    fn table(&self, pixel: Point, height: f64) -> Point {
        let ray = [
            (pixel[0] - self.middle[0]) / self.focal,
            (pixel[1] - self.middle[1]) / self.focal,
            1.0,
        ];
        let up = self.turned[2];
        // Camera's place in the table's directions is -distance along its axis.
        let dot = |a: [f64; 3], b: [f64; 3]| (0..3).map(|i| a[i] * b[i]).sum::<f64>();
        let from = [0.0, 0.0, -self.distance];
        let along = (height - dot(up, from)) / dot(up, ray);
        let at = [0, 1, 2].map(|i| from[i] + along * ray[i]);
        [dot(at, self.turned[0]), dot(at, self.turned[1])]
    }
}

const GROUNDS: [[f64; 3]; 5] = [
    [236.0, 234.0, 230.0],
    [150.0, 150.0, 152.0],
    [32.0, 32.0, 34.0],
    [120.0, 150.0, 190.0],
    [206.0, 200.0, 184.0],
];
const METALS: [[f64; 3]; 6] = [
    [150.0, 150.0, 148.0],
    [92.0, 70.0, 48.0],
    [84.0, 104.0, 80.0],
    [60.0, 58.0, 56.0],
    [176.0, 140.0, 90.0],
    [120.0, 84.0, 60.0],
];
const MODERN: [(&str, f64, f64); 5] = [
    ("1p", 20.3, 1.65),
    ("2p", 25.9, 2.03),
    ("5p", 18.0, 1.7),
    ("10p", 24.5, 1.85),
    ("£2", 28.4, 2.5),
];

fn differ(a: [f64; 3], b: [f64; 3]) -> bool {
    (0..3).any(|c| (a[c] - b[c]).abs() > 45.0)
}

fn relief(dice: &mut Dice, radius: f64) -> Vec<[f64; 4]> {
    (0..9)
        .map(|_| {
            [
                dice.between(0.0, TAU),
                dice.between(1.0, 9.0) / radius,
                dice.between(0.0, TAU),
                dice.between(0.02, 0.07),
            ]
        })
        .collect()
}

/// Takes one photograph.
pub fn photograph(seed: u64, wanted: Wanted) -> Photograph {
    let mut dice = Dice::new(seed);
    let size = wanted.size;
    let radius = dice.between(6.0, 16.5);
    let radii = worn(&mut dice, radius);
    let (largest, smallest, diameter) = truth(&radii);
    let ground = GROUNDS[dice.draw() as usize % GROUNDS.len()];
    let colour = loop {
        let metal = METALS[dice.draw() as usize % METALS.len()];
        let light = dice.between(0.8, 1.2);
        let metal = metal.map(|v| v * light);
        if differ(metal, ground) {
            break metal;
        }
    };
    let find = Disc {
        middle: [0.0, 0.0],
        radii,
        thickness: dice.between(0.8, 2.2),
        square: dice.share(),
        colour,
        relief: relief(&mut dice, radius),
        side: dice.between(0.55, 0.95),
    };
    let modern = MODERN[dice.draw() as usize % MODERN.len()];
    let gap = dice.between(3.0, 8.0);
    let others = match wanted.beside {
        Beside::Coin | Beside::Coins => {
            let colour = loop {
                let metal = METALS[dice.draw() as usize % METALS.len()];
                if differ(metal, ground) {
                    break metal;
                }
            };
            let off = largest / 2.0 + gap + modern.1 / 2.0;
            let sides: &[f64] = if wanted.beside == Beside::Coin {
                &[1.0]
            } else {
                &[1.0, -1.0]
            };
            let square = dice.between(0.5, 1.0);
            sides
                .iter()
                .map(|side| Disc {
                    middle: [off * side, dice.between(-1.0, 1.0)],
                    radii: vec![modern.1 / 2.0; RADII],
                    thickness: modern.2,
                    square,
                    colour,
                    relief: relief(&mut dice, modern.1 / 2.0),
                    side: 0.8,
                })
                .collect()
        }
        _ => Vec::new(),
    };
    // The find and what lies beside it fill the frame with some ground about.
    let reach = match wanted.beside {
        Beside::Coin => largest + gap + modern.1,
        Beside::Coins => largest + 2.0 * (gap + modern.1),
        Beside::Points | Beside::Marks => largest + 2.0 * gap + 4.0,
        Beside::Corners => largest + 2.0 * gap,
    };
    let field = reach * dice.between(1.2, 1.5) + 6.0;
    let distance = dice.between(220.0, 450.0);
    let tilt = if wanted.all_tilted {
        wanted.tilt
    } else {
        dice.between(0.0, wanted.tilt)
    };
    let focal = distance / (field / size as f64);
    let middle = [0, 1].map(|_| size as f64 * (0.5 + 0.04 * dice.bell()) - 0.5);
    let roll = (dice.draw() % 4) as f64 * TAU / 4.0 + dice.between(-0.1, 0.1);
    let mut camera = Camera::new(
        tilt.to_radians(),
        dice.between(0.0, TAU),
        roll,
        distance,
        focal,
        middle,
    );
    // What lies on the table is moved so that its middle is seen in the picture's middle.
    let centre = match wanted.beside {
        Beside::Coin => [(gap + modern.1) / 2.0, 0.0],
        Beside::Points | Beside::Marks => [0.0, gap / 2.0 + 1.0],
        _ => [0.0, 0.0],
    };
    let seen = camera.seen(centre, 0.0);
    for (middle, seen) in camera.middle.iter_mut().zip(seen) {
        *middle += size as f64 * (0.5 + dice.between(-0.02, 0.02)) - seen;
    }
    let places = places(&mut dice, wanted.beside, largest, gap, field);
    let strip = matches!(wanted.beside, Beside::Points | Beside::Marks) && dice.share() < 0.6;
    let marks = places
        .iter()
        .map(|(table, mm)| {
            let at = camera.seen(*table, if strip { 0.3 } else { 0.0 });
            ([at[0] + dice.bell(), at[1] + dice.bell()], *mm)
        })
        .collect();
    let coins = others
        .iter()
        .map(|disc| (modern.0, camera.seen(disc.middle, disc.thickness)))
        .collect();
    let told = format!(
        "{:?} seed {seed}: tilt {tilt:.1}, from {distance:.0} mm, thick {:.1}, square {:.1}, ground {ground:?}, metal {colour:?}",
        wanted.beside, find.thickness, find.square
    );
    let at = camera.seen([0.0, 0.0], find.thickness);
    let mut discs = vec![find];
    discs.extend(others);
    let bar = strip.then(|| strip_of(&places, largest, gap));
    let rgb = drawn(&mut dice, &camera, size, &discs, ground, bar);
    Photograph {
        size,
        rgb,
        marks,
        coins,
        find: at,
        largest,
        smallest,
        diameter,
        told,
    }
}

/// Where the scale's points lie on the table, with their places in mm.
fn places(
    dice: &mut Dice,
    beside: Beside,
    largest: f64,
    gap: f64,
    field: f64,
) -> Vec<(Point, Point)> {
    let below = largest / 2.0 + gap;
    let reach = (0.8 * field / 10.0).floor().max(1.0) * 10.0;
    match beside {
        Beside::Points => vec![
            ([-reach / 2.0, below], [0.0, 0.0]),
            ([reach / 2.0, below], [reach, 0.0]),
        ],
        Beside::Marks => {
            let step = if reach > 45.0 { 10.0 } else { 5.0 };
            let count = (reach / step) as usize;
            (0..=count)
                .map(|at| {
                    (
                        [at as f64 * step - reach / 2.0, below],
                        [at as f64 * step, 0.0],
                    )
                })
                .collect()
        }
        Beside::Corners => {
            let (a, b) = (below, below * dice.between(0.85, 1.0));
            vec![
                ([-a, -b], [0.0, 0.0]),
                ([a, -b], [2.0 * a, 0.0]),
                ([a, b], [2.0 * a, 2.0 * b]),
                ([-a, b], [0.0, 2.0 * b]),
            ]
        }
        Beside::Coin | Beside::Coins => Vec::new(),
    }
}

/// A strip of paper on the table: from and to in y, and where its ticks stand in x.
struct Strip {
    from: f64,
    to: f64,
    ticks: Vec<f64>,
}

fn strip_of(places: &[(Point, Point)], largest: f64, gap: f64) -> Strip {
    let from = largest / 2.0 + gap;
    let (first, last) = (places[0].0[0], places[places.len() - 1].0[0]);
    let ticks = (0..=(last - first) as usize)
        .map(|at| first + at as f64)
        .collect();
    Strip {
        from,
        to: from + 7.0,
        ticks,
    }
}

fn drawn(
    dice: &mut Dice,
    camera: &Camera,
    size: usize,
    discs: &[Disc],
    ground: [f64; 3],
    strip: Option<Strip>,
) -> Vec<u8> {
    let pixel = {
        let (a, b) = (
            camera.table([size as f64 / 2.0, size as f64 / 2.0], 0.0),
            camera.table([size as f64 / 2.0 + 1.0, size as f64 / 2.0], 0.0),
        );
        (b[0] - a[0]).hypot(b[1] - a[1])
    };
    let lamp = dice.between(0.0, TAU);
    let falls = dice.between(0.0, 0.2);
    let corners = dice.between(0.0, 0.15);
    let dark = dice.between(0.1, 0.5);
    let soft = dice.between(0.25, 1.2);
    let long = dice.between(0.2, 1.0);
    let away = [-lamp.cos(), -lamp.sin()];
    let mut light = vec![[0.0_f64; 3]; size * size];
    for y in 0..size {
        for x in 0..size {
            let (u, v) = (
                2.0 * x as f64 / size as f64 - 1.0,
                2.0 * y as f64 / size as f64 - 1.0,
            );
            let shine = 1.0 + falls * (u * lamp.cos() + v * lamp.sin()) - corners * (u * u + v * v);
            light[y * size + x] = [shine; 3];
        }
    }
    let shine = light.clone();
    for (at, colour) in light.iter_mut().enumerate() {
        let table = camera.table([(at % size) as f64, (at / size) as f64], 0.0);
        let mut shade = 1.0_f64;
        for disc in discs {
            let length = disc.thickness * long;
            let off = [
                table[0] - disc.middle[0] - away[0] * length,
                table[1] - disc.middle[1] - away[1] * length,
            ];
            let far = off[0].hypot(off[1]);
            if far < disc.radii[0] * 1.2 + 4.0 * soft {
                let within = disc.radius(off[1].atan2(off[0])) - far;
                shade *= 1.0 - dark / (1.0 + (-2.5 * within / soft).exp());
            }
        }
        let mut paper = ground;
        if let Some(strip) = &strip
            && table[1] > strip.from
            && table[1] < strip.to
        {
            let tick = strip
                .ticks
                .iter()
                .any(|tick| (table[0] - tick).abs() < 0.12)
                && table[1] < strip.from + 3.0;
            paper = if tick {
                [30.0; 3]
            } else {
                [222.0, 222.0, 214.0]
            };
        }
        for (value, paper) in colour.iter_mut().zip(paper) {
            *value *= paper * shade;
        }
    }
    for disc in discs {
        lay(&mut light, &shine, camera, size, disc, pixel, lamp);
    }
    finish(dice, light, size)
}

/// Lays a disc over the picture, layer by layer from the table up.
fn lay(
    light: &mut [[f64; 3]],
    shine: &[[f64; 3]],
    camera: &Camera,
    size: usize,
    disc: &Disc,
    pixel: f64,
    lamp: f64,
) {
    const LAYERS: usize = 6;
    let seen = camera.seen(disc.middle, 0.0);
    let most = disc.radii.iter().copied().fold(0.0, f64::max);
    let reach = (most / pixel * 1.15 + 6.0 + disc.thickness / pixel) as isize;
    let (from_x, to_x) = (
        (seen[0] as isize - reach).max(0),
        (seen[0] as isize + reach).min(size as isize - 1),
    );
    let (from_y, to_y) = (
        (seen[1] as isize - reach).max(0),
        (seen[1] as isize + reach).min(size as isize - 1),
    );
    for y in from_y..=to_y {
        for x in from_x..=to_x {
            let at = y as usize * size + x as usize;
            for layer in 0..=LAYERS {
                let height = disc.thickness * layer as f64 / LAYERS as f64;
                let table = camera.table([x as f64, y as f64], height);
                let off = [table[0] - disc.middle[0], table[1] - disc.middle[1]];
                let far = off[0].hypot(off[1]);
                let angle = off[1].atan2(off[0]);
                let within = disc.radius(angle) - disc.inset(height) - far;
                let cover = (0.5 + within / pixel).clamp(0.0, 1.0);
                if cover <= 0.0 {
                    continue;
                }
                let tone = if layer < LAYERS {
                    // An edge grows darker the farther down, but for what faces the lamp.
                    let up = layer as f64 / LAYERS as f64;
                    (disc.side + (1.0 - disc.side) * up) * (0.88 + 0.2 * (angle - lamp).cos())
                } else {
                    let waves: f64 = disc
                        .relief
                        .iter()
                        .map(|[to, times, phase, high]| {
                            high * (times * (off[0] * to.cos() + off[1] * to.sin()) * 3.0 + phase)
                                .sin()
                        })
                        .sum();
                    // A worn rim rolls off and catches less light on the far side.
                    let rim = (-within / 0.35).exp() * 0.18 * (angle - lamp).cos();
                    1.0 + waves + rim
                };
                for c in 0..3 {
                    let own = disc.colour[c] * tone * shine[at][c];
                    light[at][c] += cover * (own - light[at][c]);
                }
            }
        }
    }
}

/// Blur, grain and bytes.
fn finish(dice: &mut Dice, light: Vec<[f64; 3]>, size: usize) -> Vec<u8> {
    let sigma = dice.between(0.6, 1.8);
    let grain = dice.between(0.3, 4.0);
    let reach = (3.0 * sigma).ceil() as isize;
    let bell: Vec<f64> = (-reach..=reach)
        .map(|off| (-0.5 * (off as f64 / sigma).powi(2)).exp())
        .collect();
    let sum: f64 = bell.iter().sum();
    let pass = |from: &[[f64; 3]], across: bool| -> Vec<[f64; 3]> {
        let last = size as isize - 1;
        let mut to = vec![[0.0; 3]; from.len()];
        for y in 0..size as isize {
            for x in 0..size as isize {
                let mut mixed = [0.0; 3];
                for (at, share) in bell.iter().enumerate() {
                    let off = at as isize - reach;
                    let (x, y) = if across {
                        ((x + off).clamp(0, last), y)
                    } else {
                        (x, (y + off).clamp(0, last))
                    };
                    let colour = from[(y * size as isize + x) as usize];
                    for (sum, value) in mixed.iter_mut().zip(colour) {
                        *sum += share * value;
                    }
                }
                to[(y * size as isize + x) as usize] = mixed.map(|v| v / sum);
            }
        }
        to
    };
    let soft = pass(&pass(&light, true), false);
    let mut bytes = Vec::with_capacity(3 * soft.len());
    for colour in soft {
        let luma = dice.bell() * grain;
        for value in colour {
            let value = value + luma + 0.4 * grain * dice.bell();
            bytes.push(value.round().clamp(0.0, 255.0) as u8);
        }
    }
    bytes
}

/// A drawn photograph for the examples of the pages, 1000 x 720: a find on plain paper, out of
/// round, and beside it a round coin when that is wanted. As PNG or JPEG by the name's ending.
pub fn example(beside: bool, name: &str) -> Vec<u8> {
    let tone = |x: f64, y: f64| {
        let far = (x - 560.0).hypot(y - 520.0);
        let angle = (y - 520.0).atan2(x - 560.0);
        let radius = 100.0 * (1.0 + 0.02 * (3.0 * angle).cos() + 0.015 * (5.0 * angle).cos());
        let round = 100.0 - (x - 250.0).hypot(y - 200.0);
        let cover = |within: f64| (0.5 + 0.5 * within).clamp(0.0, 1.0);
        let find = cover(radius - far);
        let coin = if beside { cover(round) } else { 0.0 };
        let relief = 12.0 * (0.2 * x).sin() * (0.17 * y).cos();
        [236.0, 235.0, 231.0, 84.0, 78.0, 64.0, 150.0, 96.0, 60.0]
            .chunks(3)
            .fold([0.0; 3], |laid: [f64; 3], paint| {
                let share = match paint[0] as u8 {
                    236 => 1.0,
                    84 => find,
                    _ => coin,
                };
                let own = if paint[0] < 200.0 { relief } else { 0.0 };
                [0, 1, 2].map(|c| laid[c] + share * (paint[c] + own - laid[c]))
            })
    };
    let picture = image::RgbImage::from_fn(1000, 720, |x, y| {
        image::Rgb(tone(f64::from(x), f64::from(y)).map(|value| value.round() as u8))
    });
    let form = image::ImageFormat::from_path(name).expect("a picture's name");
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut bytes, form).expect("a picture");
    bytes.into_inner()
}
