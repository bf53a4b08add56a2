//! From degrees to the National Grid and back: the projection and the shift of datums.
//!
//! The transverse Mercator series, its constants and the seven numbers of the shift are those
//! that Ordnance Survey publishes (*A guide to coordinate systems in Great Britain*). The shift
//! is the plain one: the survey gives its error as up to 3.5 m for 95 points in 100; its exact
//! way, a table of small shifts, is not in this program. Heights are taken as nought.
//!
//! Invariant: pure arithmetic; one way undoes the other to well below a centimetre.

use super::square::Square;

/// How far the plain shift may lie from the official grid, metres. Ordnance Survey says 3.5 m for
/// 95 in 100; of its own test points the worst is 4.7 m off (Scilly), so 5 m is promised.
pub const SHIFT_GOOD_TO: f64 = 5.0;

/// An ellipsoid by its two half axes, metres.
struct Ellipsoid {
    a: f64,
    b: f64,
}

/// Airy 1830, the figure of the earth under the National Grid.
const AIRY: Ellipsoid = Ellipsoid {
    a: 6_377_563.396,
    b: 6_356_256.909,
};
/// WGS 84 (GRS 80 differs by a tenth of a millimetre).
const WGS84: Ellipsoid = Ellipsoid {
    a: 6_378_137.0,
    b: 6_356_752.314_245,
};

impl Ellipsoid {
    fn e2(&self) -> f64 {
        1.0 - (self.b * self.b) / (self.a * self.a)
    }
}

/// Scale on the central meridian.
const F0: f64 = 0.999_601_271_7;
/// Latitude of the true origin, degrees.
const LATITUDE_0: f64 = 49.0;
/// Longitude of the true origin, degrees.
const LONGITUDE_0: f64 = -2.0;
/// Easting of the true origin, metres.
const EAST_0: f64 = 400_000.0;
/// Northing of the true origin, metres.
const NORTH_0: f64 = -100_000.0;

/// The shift from WGS 84 to the datum of the grid (OSGB36): metres.
const MOVED: [f64; 3] = [-446.448, 125.157, -542.060];
/// Turns of the shift, seconds of arc.
const TURNED: [f64; 3] = [-0.1502, -0.2470, -0.8421];
/// Stretch of the shift, parts in a million.
const STRETCHED: f64 = 20.4894;

/// Latitude and longitude (WGS 84, degrees) to easting and northing, metres.
pub fn to_grid(latitude: f64, longitude: f64) -> (f64, f64) {
    let (latitude, longitude) = to_airy(latitude, longitude);
    project(latitude, longitude)
}

/// The corners of a square against the clock, closed: longitude and latitude (WGS 84, degrees), as
/// the ring of a polygon is written (RFC 7946).
pub fn ring(square: Square) -> Vec<[f64; 2]> {
    let corners = square.corners();
    let closed = corners.iter().chain(corners.first());
    let degrees = closed.map(|(east, north)| {
        let (latitude, longitude) = to_degrees(*east, *north);
        // Six decimals are a tenth of a metre, so that squares side by side meet.
        [longitude, latitude].map(|value| (value * 1e6).round() / 1e6)
    });
    degrees.collect()
}

/// Easting and northing, metres, to latitude and longitude (WGS 84, degrees).
pub fn to_degrees(east: f64, north: f64) -> (f64, f64) {
    let (latitude, longitude) = unproject(east, north);
    to_wgs84(latitude, longitude)
}

/// Degrees of WGS 84 to degrees of OSGB36.
pub fn to_airy(latitude: f64, longitude: f64) -> (f64, f64) {
    let point = cartesian(&WGS84, latitude, longitude);
    let turned = turn(point, 1.0);
    let scale = 1.0 + STRETCHED * 1e-6;
    geodetic(&AIRY, [0, 1, 2].map(|k| MOVED[k] + scale * turned[k]))
}

/// Degrees of OSGB36 to degrees of WGS 84.
pub fn to_wgs84(latitude: f64, longitude: f64) -> (f64, f64) {
    let point = cartesian(&AIRY, latitude, longitude);
    let scale = 1.0 + STRETCHED * 1e-6;
    let back = [0, 1, 2].map(|k| (point[k] - MOVED[k]) / scale);
    geodetic(&WGS84, turn(back, -1.0))
}

/// Turns a point by the small angles of the shift, or back.
fn turn([x, y, z]: [f64; 3], way: f64) -> [f64; 3] {
    let [rx, ry, rz] = TURNED.map(|seconds| way * (seconds / 3600.0).to_radians());
    [
        x - rz * y + ry * z,
        rz * x + y - rx * z,
        -ry * x + rx * y + z,
    ]
}

fn cartesian(on: &Ellipsoid, latitude: f64, longitude: f64) -> [f64; 3] {
    let (sin, cos) = latitude.to_radians().sin_cos();
    let (sin_l, cos_l) = longitude.to_radians().sin_cos();
    let nu = on.a / (1.0 - on.e2() * sin * sin).sqrt();
    [
        nu * cos * cos_l,
        nu * cos * sin_l,
        nu * (1.0 - on.e2()) * sin,
    ]
}

/// Latitude and longitude in degrees of a point in space; the height is dropped.
fn geodetic(on: &Ellipsoid, [x, y, z]: [f64; 3]) -> (f64, f64) {
    let e2 = on.e2();
    let p = x.hypot(y);
    let mut latitude = z.atan2(p * (1.0 - e2));
    // Each round gains more than two decimals; twelve are far more than are needed.
    for _ in 0..12 {
        let sin = latitude.sin();
        let nu = on.a / (1.0 - e2 * sin * sin).sqrt();
        latitude = (z + e2 * nu * sin).atan2(p);
    }
    (latitude.to_degrees(), y.atan2(x).to_degrees())
}

/// The parts of the series that depend on the latitude alone.
struct Radii {
    nu: f64,
    rho: f64,
    eta2: f64,
}

fn radii(latitude: f64) -> Radii {
    let e2 = AIRY.e2();
    let root = 1.0 - e2 * latitude.sin().powi(2);
    let nu = AIRY.a * F0 / root.sqrt();
    let rho = AIRY.a * F0 * (1.0 - e2) / root.powf(1.5);
    Radii {
        nu,
        rho,
        eta2: nu / rho - 1.0,
    }
}

/// Length of the meridian from the true origin to a latitude in radians, metres.
fn meridian(latitude: f64) -> f64 {
    let n = (AIRY.a - AIRY.b) / (AIRY.a + AIRY.b);
    let (n2, n3) = (n * n, n * n * n);
    let origin = LATITUDE_0.to_radians();
    let (less, more) = (latitude - origin, latitude + origin);
    let parts = (1.0 + n + 1.25 * (n2 + n3)) * less
        - (3.0 * (n + n2) + 2.625 * n3) * less.sin() * more.cos()
        + 1.875 * (n2 + n3) * (2.0 * less).sin() * (2.0 * more).cos()
        - 35.0 / 24.0 * n3 * (3.0 * less).sin() * (3.0 * more).cos();
    AIRY.b * F0 * parts
}

/// Latitude and longitude (OSGB36, degrees) to easting and northing, metres.
pub fn project(latitude: f64, longitude: f64) -> (f64, f64) {
    let phi = latitude.to_radians();
    let Radii { nu, rho, eta2 } = radii(phi);
    let (sin, cos) = phi.sin_cos();
    let t2 = phi.tan().powi(2);
    let t4 = t2 * t2;
    let north = [
        meridian(phi) + NORTH_0,
        nu / 2.0 * sin * cos,
        nu / 24.0 * sin * cos.powi(3) * (5.0 - t2 + 9.0 * eta2),
        nu / 720.0 * sin * cos.powi(5) * (61.0 - 58.0 * t2 + t4),
    ];
    let east = [
        nu * cos,
        nu / 6.0 * cos.powi(3) * (nu / rho - t2),
        nu / 120.0 * cos.powi(5) * (5.0 - 18.0 * t2 + t4 + 14.0 * eta2 - 58.0 * t2 * eta2),
    ];
    let off = (longitude - LONGITUDE_0).to_radians();
    let off2 = off * off;
    (
        EAST_0 + off * (east[0] + off2 * (east[1] + off2 * east[2])),
        north[0] + off2 * (north[1] + off2 * (north[2] + off2 * north[3])),
    )
}

/// Easting and northing, metres, to latitude and longitude (OSGB36, degrees).
pub fn unproject(east: f64, north: f64) -> (f64, f64) {
    let mut phi = LATITUDE_0.to_radians();
    for _ in 0..12 {
        phi += (north - NORTH_0 - meridian(phi)) / (AIRY.a * F0);
    }
    let Radii { nu, rho, eta2 } = radii(phi);
    let tan = phi.tan();
    let (t2, sec) = (tan * tan, 1.0 / phi.cos());
    let t4 = t2 * t2;
    let latitude = [
        tan / (2.0 * rho * nu),
        tan / (24.0 * rho * nu.powi(3)) * (5.0 + 3.0 * t2 + eta2 - 9.0 * t2 * eta2),
        tan / (720.0 * rho * nu.powi(5)) * (61.0 + 90.0 * t2 + 45.0 * t4),
    ];
    let longitude = [
        sec / nu,
        sec / (6.0 * nu.powi(3)) * (nu / rho + 2.0 * t2),
        sec / (120.0 * nu.powi(5)) * (5.0 + 28.0 * t2 + 24.0 * t4),
        sec / (5040.0 * nu.powi(7)) * (61.0 + 662.0 * t2 + 1320.0 * t4 + 720.0 * t4 * t2),
    ];
    let off = east - EAST_0;
    let off2 = off * off;
    let phi = phi - off2 * (latitude[0] - off2 * (latitude[1] - off2 * latitude[2]));
    let lambda =
        off * (longitude[0] - off2 * (longitude[1] - off2 * (longitude[2] - off2 * longitude[3])));
    (phi.to_degrees(), LONGITUDE_0 + lambda.to_degrees())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn dms(degrees: f64, minutes: f64, seconds: f64) -> f64 {
        degrees + minutes / 60.0 + seconds / 3600.0
    }

    fn near(found: f64, wanted: f64, within: f64, what: &str) {
        assert!(
            (found - wanted).abs() <= within,
            "{what}: {found}, not {wanted}"
        );
    }

    /// Ordnance Survey, *A guide to coordinate systems in Great Britain*, annexe C: Caister water
    /// tower in OSGB36 degrees and on the grid.
    #[test]
    fn the_worked_example_of_the_survey_comes_out_to_the_millimetre() {
        let (latitude, longitude) = (dms(52.0, 39.0, 27.2531), dms(1.0, 43.0, 4.5177));
        let (east, north) = project(latitude, longitude);
        near(east, 651_409.903, 0.001, "easting");
        near(north, 313_177.270, 0.001, "northing");
        let (back, along) = unproject(651_409.903, 313_177.270);
        near(back, latitude, 2e-8, "latitude");
        near(along, longitude, 2e-8, "longitude");
    }

    /// The values on the way, worked out outside from the published constants.
    #[test]
    fn the_values_on_the_way_are_those_worked_out() {
        let phi = dms(52.0, 39.0, 27.2531).to_radians();
        near(AIRY.e2(), 0.006_670_540_07, 1e-10, "e squared");
        let Radii { nu, rho, eta2 } = radii(phi);
        near(nu, 6.388_502_333_9e6, 1e-3, "nu");
        near(rho, 6.372_756_439_8e6, 1e-3, "rho");
        near(eta2, 2.470_813_7e-3, 1e-9, "eta squared");
        near(meridian(phi), 4.066_882_959_5e5, 1e-3, "M");
    }

    /// EPSG Guidance Note 7-2, the example of the transverse Mercator projection. The note prints
    /// the scale as 0.9996013, which is 5 mm here, so its scale is put in place of the survey's.
    #[test]
    fn the_example_of_the_guidance_note_comes_out_to_its_last_figure() {
        let (east, north) = project(50.5, 0.5);
        let ratio = 0.999_601_3 / F0;
        near(
            (east - EAST_0) * ratio + EAST_0,
            577_274.99,
            0.005,
            "easting",
        );
        near(
            (north - NORTH_0) * ratio + NORTH_0,
            69_740.50,
            0.005,
            "northing",
        );
    }

    /// The same guide prints where Caister lies by the plain shift: 52 39 28.723 N, 1 42 57.787 E.
    #[test]
    fn the_plain_shift_is_the_published_one() {
        let (latitude, longitude) = to_wgs84(dms(52.0, 39.0, 27.2531), dms(1.0, 43.0, 4.5177));
        // The height of the tower (24.7 m) is not used here; half of the last digit is 15 mm.
        near(latitude, dms(52.0, 39.0, 28.723), 2e-7, "latitude");
        near(longitude, dms(1.0, 42.0, 57.787), 2e-7, "longitude");
    }

    /// Ordnance Survey's test points for OSTN15 (latitude and longitude in ETRS89; easting and
    /// northing exact to the millimetre), with the error of the plain shift, metres, worked out
    /// outside; the point of the survey's former offices and the like are left nameless.
    const POINTS: [(&str, f64, f64, f64, f64, f64); 15] = [
        (
            "TP01",
            49.922_263_937_30,
            -6.299_777_520_14,
            91_492.146,
            11_318.804,
            4.7,
        ),
        (
            "TP02",
            49.960_061_378_20,
            -5.203_046_099_98,
            170_370.718,
            11_572.405,
            4.1,
        ),
        (
            "TP03",
            50.438_858_256_10,
            -4.108_645_635_61,
            250_359.811,
            62_016.569,
            2.4,
        ),
        (
            "TP04",
            50.575_636_650_00,
            -1.297_822_772_40,
            449_816.371,
            75_335.861,
            1.4,
        ),
        (
            "TP05",
            50.931_279_379_10,
            -1.450_514_337_00,
            438_710.920,
            114_792.250,
            1.1,
        ),
        (
            "TP06",
            51.400_782_201_40,
            -3.551_283_492_40,
            292_184.870,
            168_003.465,
            1.0,
        ),
        (
            "TP07",
            51.374_470_255_50,
            1.444_547_304_09,
            639_821.835,
            169_565.858,
            1.9,
        ),
        (
            "TP08",
            51.427_547_430_20,
            -2.544_076_183_49,
            362_269.991,
            169_978.690,
            0.2,
        ),
        (
            "TP09",
            51.489_365_649_50,
            -0.119_925_571_80,
            530_624.974,
            178_388.464,
            1.7,
        ),
        (
            "TP10",
            51.858_908_964_00,
            -4.308_524_769_60,
            241_124.584,
            220_332.641,
            1.9,
        ),
        (
            "TP11",
            51.894_366_373_50,
            0.897_243_270_12,
            599_445.590,
            225_722.826,
            2.4,
        ),
        (
            "TP12",
            52.255_293_816_30,
            -2.154_586_143_87,
            389_544.190,
            261_912.153,
            1.7,
        ),
        (
            "TP13",
            52.251_609_51,
            -0.912_489_57,
            474_335.969,
            262_047.755,
            2.0,
        ),
        (
            "TP15",
            52.962_191_09,
            -1.197_476_56,
            454_002.834,
            340_834.943,
            2.3,
        ),
        (
            "TP20",
            53.800_215_196_30,
            -1.663_791_682_42,
            422_242.186,
            433_818.701,
            1.7,
        ),
    ];

    #[test]
    fn the_test_points_lie_within_the_error_stated() {
        for (id, latitude, longitude, east, north, off) in POINTS {
            let (x, y) = to_grid(latitude, longitude);
            let error = (x - east).hypot(y - north);
            assert!(error <= SHIFT_GOOD_TO, "{id}: {error:.2} m off");
            near(error, off, 0.05 + 1e-9, id);
            // The other way the same metres are missing.
            let (back, along) = to_degrees(east, north);
            let (x, y) = (
                to_grid(back, along).0 - east,
                to_grid(back, along).1 - north,
            );
            assert!(x.hypot(y) < 0.005, "{id}: there and back {x} {y}");
            let metres = (back - latitude) * 111_200.0;
            let along = (along - longitude) * 111_200.0 * latitude.to_radians().cos();
            assert!(
                metres.hypot(along) <= SHIFT_GOOD_TO,
                "{id}: {metres} {along}"
            );
        }
    }

    proptest! {
        #![proptest_config(crate::findspot::steady())]

        #[test]
        fn there_and_back_is_the_same_point(
            east in 60_000.0..660_000.0, north in 5_000.0..1_225_000.0
        ) {
            let (latitude, longitude) = to_degrees(east, north);
            let (x, y) = to_grid(latitude, longitude);
            prop_assert!((x - east).hypot(y - north) < 0.01, "{} {}", x - east, y - north);
        }
    }
}
