//! What `fence fit` takes and answers.

use fence_geom::PinFit;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::fields::{CoordinateField, LengthField};

/// A deed's corners and the pins found for them: TOML or JSON.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct FitRequest {
    /// The corners by the deed, in any coordinates of the deed's own.
    #[serde(default)]
    pub(crate) corners: Vec<FitCorner>,
    /// Instead of the corners: a call table, by its path from this file.
    pub(crate) deed: Option<std::path::PathBuf>,
    /// The pins found, in coordinates on the ground.
    pub(crate) pins: Vec<FitPin>,
    /// The standard error of a pin's coordinates where the pin gives none; 0.05 ft
    /// by default.
    pub(crate) pin_sigma: Option<LengthField>,
    /// The standard error of a deed corner relative to the others; 0.05 ft by
    /// default.
    pub(crate) deed_sigma: Option<LengthField>,
}

/// A corner by the deed.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct FitCorner {
    /// Its name.
    pub(crate) name: String,
    /// Its northing by the deed.
    #[serde(alias = "north_ft")]
    pub(crate) north: CoordinateField,
    /// Its easting by the deed.
    #[serde(alias = "east_ft")]
    pub(crate) east: CoordinateField,
}

/// A found pin and its record.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct FitPin {
    /// The name of the corner it is for.
    #[serde(alias = "name")]
    pub(crate) corner: String,
    /// Its northing on the ground.
    #[serde(alias = "north_ft")]
    pub(crate) north: CoordinateField,
    /// Its easting on the ground.
    #[serde(alias = "east_ft")]
    pub(crate) east: CoordinateField,
    /// The standard error of each coordinate.
    pub(crate) sigma: Option<LengthField>,
    /// What was found: rod, pipe, nail, stone.
    pub(crate) kind: Option<String>,
    /// Its diameter.
    pub(crate) size: Option<LengthField>,
    /// What its cap says.
    pub(crate) cap: Option<String>,
    /// How deep its top lies.
    pub(crate) depth: Option<LengthField>,
    /// Whether it looks disturbed.
    pub(crate) disturbed: Option<bool>,
    /// For a witness beside the corner: the way from the pin to the corner.
    pub(crate) witness: Option<FitWitness>,
    /// Who accepted it as the corner.
    pub(crate) accepted_by: Option<String>,
}

/// The way from a witness to its corner.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct FitWitness {
    /// To the north.
    pub(crate) north: CoordinateField,
    /// To the east.
    pub(crate) east: CoordinateField,
}

/// The answer of a fit.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct FitAnswer {
    /// Ground bearing less deed bearing, positive clockwise.
    pub(crate) rotation_deg: f64,
    /// Its standard error; null if unknown.
    pub(crate) rotation_sigma_deg: Option<f64>,
    /// Ground distance over deed distance if let free; the fit holds it at 1.
    pub(crate) scale: f64,
    /// The standard error of one coordinate, by the residuals.
    pub(crate) sigma_ft: f64,
    /// Two for each pin less three.
    pub(crate) redundancy: usize,
    /// The pins, in the order given.
    pub(crate) pins: Vec<FitPinAnswer>,
    /// The deed's corners on the ground, in the order given.
    pub(crate) corners: Vec<FitCornerAnswer>,
    /// Where two pins alone disagree with the deed beyond their doubt.
    pub(crate) disagreement: Option<FitDisagreement>,
    /// What was assumed in reading the request.
    pub(crate) assumed: Vec<String>,
    /// What to keep in mind.
    pub(crate) cautions: Vec<String>,
}

/// How a pin goes with the others.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct FitPinAnswer {
    /// The name of its corner.
    pub(crate) name: String,
    /// How far it stands from where the fitted deed puts the corner.
    pub(crate) residual_ft: f64,
    /// The part of that to the north.
    pub(crate) residual_north_ft: f64,
    /// The part of that to the east.
    pub(crate) residual_east_ft: f64,
    /// The residual over its standard errors; null if unknown or unchecked.
    pub(crate) standardized: Option<f64>,
    /// Whether it does not go with the others.
    pub(crate) suspect: bool,
}

impl FitPinAnswer {
    pub(crate) fn of(pin: &PinFit) -> Self {
        Self {
            name: pin.name.clone(),
            residual_ft: pin.residual.length().feet(),
            residual_north_ft: pin.residual.north(),
            residual_east_ft: pin.residual.east(),
            standardized: pin.standardized,
            suspect: pin.suspect,
        }
    }
}

/// A corner on the ground.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct FitCornerAnswer {
    /// Its name.
    pub(crate) name: String,
    /// Where it is: the pin where one was found, else where the deed puts it.
    pub(crate) north_ft: f64,
    /// Where it is.
    pub(crate) east_ft: f64,
    /// Whether a pin was found for it.
    pub(crate) found: bool,
    /// Whether somebody accepted that pin.
    pub(crate) accepted: bool,
    /// For a corner not found: the radius to search, which holds 95 %; null if
    /// found or unknown.
    pub(crate) search_radius_ft: Option<f64>,
    /// The standard error of the northing.
    pub(crate) sigma_north_ft: Option<f64>,
    /// The standard error of the easting.
    pub(crate) sigma_east_ft: Option<f64>,
    /// Where the fitted deed puts it.
    pub(crate) by_deed_north_ft: f64,
    /// Where the fitted deed puts it.
    pub(crate) by_deed_east_ft: f64,
}

/// Two pins whose distance is not that of the deed.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct FitDisagreement {
    /// One corner.
    pub(crate) first: String,
    /// The other.
    pub(crate) second: String,
    /// Distance on the ground less that of the deed.
    pub(crate) by_ft: f64,
    /// The standard error of that difference.
    pub(crate) sigma_ft: Option<f64>,
}
