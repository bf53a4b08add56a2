//! Quantities made into grams and millimetres with their error.
//!
//! Half a step of the last digit written, half a range, or more when the finder
//! says "about". It reads no text.
//!
//! Invariant: a measure that leaves this file is possible; one that is not leaves a remark.

use super::form::Field;
use super::remark::{Remark, RemarkKind};
use super::units::{Join, Quantity, Unit};
use crate::find::{Grams, Measured, Millimetres};

/// Value and error in grams or millimetres.
fn measure(quantity: &Quantity, least_error: f64, about_error: impl Fn(f64) -> f64) -> (f64, f64) {
    let size = quantity.unit.map_or(1.0, Unit::size);
    let half_step = (0.5 * quantity.step * size).max(least_error);
    let (value, mut error) = match quantity.second {
        Some((error, Join::Within)) => (quantity.first * size, error.abs() * size),
        Some((second, Join::Both)) => (
            (quantity.first + second) / 2.0 * size,
            ((quantity.first - second).abs() / 2.0 * size).max(half_step),
        ),
        None => (quantity.first * size, half_step),
    };
    if quantity.about {
        error = (2.0 * error).max(about_error(value));
    }
    (value, error.max(least_error))
}

/// Grams, with remarks; `None` when the weight cannot be.
pub(super) fn weight(quantity: &Quantity, said: &str) -> (Option<Measured<Grams>>, Vec<Remark>) {
    let name = Field::Weight.name();
    if quantity.unit.is_some_and(|unit| !unit.weighs()) {
        return (
            None,
            vec![impossible(
                name,
                said,
                "is a length, not a weight",
                "write it as 1.2 g",
            )],
        );
    }
    let (value, error) = measure(quantity, 0.005, |grams| grams * 0.1);
    let grams = match Grams::new(value) {
        Ok(grams) => grams,
        Err(why) => {
            return (
                None,
                vec![impossible(name, said, &refused(&why), "write it as 1.2 g")],
            );
        }
    };
    let mut remarks = comma_remark(quantity, name, said);
    for (what, mend) in doubts_of_weight(quantity, value, said) {
        remarks.push(Remark::new(RemarkKind::Assumed, name, said, what, mend));
    }
    (
        Some(Measured {
            value: grams,
            error,
        }),
        remarks,
    )
}

/// What is odd or had to be assumed about a weight, and how to mend it.
fn doubts_of_weight(quantity: &Quantity, grams: f64, said: &str) -> Vec<(String, &'static str)> {
    let mut doubts = Vec::new();
    if quantity.unit == Some(Unit::Ounce) {
        let troy = grams / Unit::Ounce.size() * Unit::TroyOunce.size();
        let what = format!(
            "is taken as avoirdupois, {grams:.2} g; in troy ounces it would be {troy:.2} g"
        );
        doubts.push((what, "weigh it in grams, or write \"oz troy\""));
    }
    if quantity.unit == Some(Unit::Grain) && said.to_lowercase().trim_end().ends_with("gr") {
        let what = format!("is taken as grains, {grams:.3} g");
        doubts.push((what, "write \"g\" if grams were meant"));
    }
    if grams > 200.0 {
        doubts.push((
            format!("is very heavy for a coin; {grams:.0} g is kept"),
            "check the unit",
        ));
    } else if grams < 0.05 {
        doubts.push((
            format!("is very light for a coin; {grams:.3} g is kept"),
            "check the unit",
        ));
    }
    doubts
}

/// Millimetres, with remarks; `None` when the length cannot be.
pub(super) fn length(
    quantity: &Quantity,
    said: &str,
    field: Field,
) -> (Option<Measured<Millimetres>>, Vec<Remark>) {
    let name = field.name();
    if quantity.unit.is_some_and(Unit::weighs) {
        return (
            None,
            vec![impossible(
                name,
                said,
                "is a weight, not a size",
                "write it as 17 mm",
            )],
        );
    }
    let across = field == Field::Diameter;
    let (value, error) = measure(quantity, 0.05, |size| if across { 1.0 } else { size * 0.1 });
    let size = match Millimetres::new(value) {
        Ok(size) => size,
        Err(why) => {
            return (
                None,
                vec![impossible(name, said, &refused(&why), "write it as 17 mm")],
            );
        }
    };
    let mut remarks = comma_remark(quantity, name, said);
    let mut assumed = |what: String, mend: &str| {
        remarks.push(Remark::new(RemarkKind::Assumed, name, said, what, mend))
    };
    let odd = if across {
        !(4.0..100.0).contains(&value)
    } else {
        value > 12.0
    };
    if odd && quantity.unit == Some(Unit::Centimetre) {
        let meant = value / 10.0;
        assumed(
            format!("is {value:.0} mm, an unlikely size for a coin; it is kept"),
            &format!("write \"{meant} mm\" if millimetres were meant"),
        );
    } else if odd {
        assumed(
            format!("is an unlikely size for a coin; {value} mm is kept"),
            "check the unit",
        );
    } else if quantity.unit == Some(Unit::Centimetre) {
        assumed(format!("is taken as {value} mm"), "");
    }
    (Some(Measured { value: size, error }), remarks)
}

fn refused(why: &crate::find::Impossible) -> String {
    format!("is not possible: {}", why.wanted)
}

fn impossible(field: &str, said: &str, what: &str, mend: &str) -> Remark {
    Remark::new(RemarkKind::Impossible, field, said, what, mend)
}

fn comma_remark(quantity: &Quantity, field: &str, said: &str) -> Vec<Remark> {
    if !quantity.comma {
        return Vec::new();
    }
    vec![Remark::new(
        RemarkKind::Assumed,
        field,
        said,
        "the comma is taken as a decimal point",
        "write a point",
    )]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse::units::quantity;

    fn grams(said: &str) -> (f64, f64) {
        let (weight, remarks) = weight(&quantity(said, 0).unwrap(), said);
        let weight = weight.unwrap_or_else(|| panic!("{said}: {remarks:?}"));
        (weight.value.get(), weight.error)
    }

    fn size(said: &str) -> (f64, f64) {
        let (size, remarks) = length(&quantity(said, 0).unwrap(), said, Field::Diameter);
        let size = size.unwrap_or_else(|| panic!("{said}: {remarks:?}"));
        (size.value.get(), size.error)
    }

    fn near(got: (f64, f64), want: (f64, f64)) -> bool {
        (got.0 - want.0).abs() < 5e-4 && (got.1 - want.1).abs() < 5e-4
    }

    #[test]
    fn weights_in_every_unit() {
        for (said, value, error) in [
            ("1.2 g", 1.2, 0.05),
            ("1.2g", 1.2, 0.05),
            ("1,2 g", 1.2, 0.05),
            ("1.23 grams", 1.23, 0.005),
            ("1.234 g", 1.234, 0.005),
            (".9 g", 0.9, 0.05),
            ("3 oz", 85.0486, 14.1748),
            ("3 troy oz", 93.3104, 15.5517),
            ("3 oz troy", 93.3104, 15.5517),
            ("21.79 gr", 1.4120, 0.005),
            ("22 grains", 1.4256, 0.0324),
            ("1 dwt", 1.5552, 0.7776),
            ("1/2 oz", 14.1748, 7.0874),
            ("about 1.20 g", 1.2, 0.12),
            ("c. 2 g", 2.0, 1.0),
            ("1.1-1.3 g", 1.2, 0.1),
            ("1 kg", 1000.0, 500.0),
            ("1.2", 1.2, 0.05),
        ] {
            assert!(
                near(grams(said), (value, error)),
                "{said}: {:?}",
                grams(said)
            );
        }
    }

    #[test]
    fn sizes_in_every_shape() {
        for (said, value, error) in [
            ("17 mm", 17.0, 0.5),
            ("17mm", 17.0, 0.5),
            ("17.25 mm", 17.25, 0.05),
            ("1.7 cm", 17.0, 0.5),
            ("17 cm", 170.0, 5.0),
            ("3/4 in", 19.05, 3.175),
            ("0.75\"", 19.05, 0.127),
            ("1 1/4 inches", 31.75, 3.175),
            ("½ inch", 12.7, 1.5875),
            ("about 17 mm", 17.0, 1.0),
            ("c. 17", 17.0, 1.0),
            ("c.17mm", 17.0, 1.0),
            ("~17", 17.0, 1.0),
            ("17-18 mm", 17.5, 0.5),
            ("17 x 15 mm", 16.0, 1.0),
            ("17mm x 15mm", 16.0, 1.0),
            ("17mmx15mm", 16.0, 1.0),
            ("17/16 mm", 16.5, 0.5),
            ("17 to 19 mm", 18.0, 1.0),
            ("17 +/- 1 mm", 17.0, 1.0),
            ("17 ± 2 mm", 17.0, 2.0),
        ] {
            assert!(near(size(said), (value, error)), "{said}: {:?}", size(said));
        }
    }

    #[test]
    fn impossible_and_doubtful_measures_are_named() {
        for said in ["-3", "0", "99999999999", "0 g"] {
            let (weight, remarks) = weight(&quantity(said, 0).unwrap(), said);
            assert_eq!(weight, None);
            assert_eq!(
                (remarks[0].kind.clone(), remarks[0].field.as_str()),
                (RemarkKind::Impossible, "weight")
            );
            assert!(remarks[0].mend.contains("1.2 g"));
        }
        let told = |said: &str| weight(&quantity(said, 0).unwrap(), said).1;
        assert!(told("1 kg")[0].what.contains("very heavy"));
        assert!(told("3 oz")[0].what.contains("93.31"));
        assert!(told("1,2 g")[0].what.contains("comma"));
        assert_eq!(told("1.2 g"), []);
        let (_, remarks) = length(&quantity("17 cm", 0).unwrap(), "17 cm", Field::Diameter);
        assert!(remarks[0].mend.contains("17 mm"));
        let (none, remarks) = length(&quantity("1.2 g", 0).unwrap(), "1.2 g", Field::Diameter);
        assert_eq!(
            (none, remarks[0].kind.clone()),
            (None, RemarkKind::Impossible)
        );
    }
}
