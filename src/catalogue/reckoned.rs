//! Tables by which a figure or a stamp says something by itself: standards of weight, arms by their
//! balls, makers by their letters.
//!
//! Plain values, in the order of their ids. Holds facts only; the room `reckon` works with them.
//!
//! Invariant: units, steps and balls are above nought, and a least size is below its greatest.

use super::resolved::Standing;
use crate::find::Span;

/// A standard that weights were made to.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct WeightStandard {
    /// Id.
    pub id: String,
    /// Printed name.
    pub name: String,
    /// Years in which it was kept.
    pub span: Span,
    /// The unit in grams.
    pub unit: f64,
    /// How often pieces of it come up beside those of the others.
    pub often: f64,
    /// Weights that are met.
    pub steps: Vec<Step>,
    /// Remark.
    pub note: Option<String>,
    /// Sources, as written.
    pub sources: Vec<String>,
    /// How far it is vouched for.
    pub standing: Standing,
}

/// A weight of a standard.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Step {
    /// Printed name.
    pub name: String,
    /// How many units it weighs.
    pub of: f64,
}

/// A kind of gun by the lead balls that it fired.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Arm {
    /// Id.
    pub id: String,
    /// Printed name.
    pub name: String,
    /// Years in which such balls were fired.
    pub span: Span,
    /// Least and greatest diameter of its balls as cast, in mm.
    pub ball: [f64; 2],
    /// How often such balls come up beside those of the others.
    pub often: f64,
    /// Remark.
    pub note: Option<String>,
    /// Sources, as written.
    pub sources: Vec<String>,
    /// How far it is vouched for.
    pub standing: Standing,
}

/// A maker of cartridges by the letters on the heads of the cases.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "library", derive(serde::Serialize, serde::Deserialize))]
pub struct Headstamp {
    /// Id.
    pub id: String,
    /// Printed name.
    pub name: String,
    /// Years in which it stamped them.
    pub span: Span,
    /// The letters, without dots and arrows.
    pub codes: Vec<String>,
    /// Remark.
    pub note: Option<String>,
    /// Sources, as written.
    pub sources: Vec<String>,
    /// How far it is vouched for.
    pub standing: Standing,
}
