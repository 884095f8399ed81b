//! What `fence fit` takes and answers.

use fence_geom::{Length, PinFit};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::alias::also;
use super::tie::TieSide;
use crate::fields::{CoordinateField, DirectionField, LengthField, Two};
use crate::request_unit::UnitField;

/// A deed's corners and the pins found for them: TOML or JSON.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct FitRequest {
    /// The unit of bare numbers, such as "m" or "us-ft"; feet by default.
    #[expect(dead_code, reason = "the numbers are read in it")]
    pub(crate) unit: Option<UnitField>,
    /// The corners by the deed, in any coordinates of the deed's own.
    #[serde(default)]
    pub(crate) corners: Vec<FitCorner>,
    /// Instead of the corners: a call table, by its path from this file.
    pub(crate) deed: Option<std::path::PathBuf>,
    /// The pins found.
    #[serde(default)]
    pub(crate) pins: Vec<FitPin>,
    /// Points on the ground that tapes to pins start from.
    #[serde(default)]
    pub(crate) known: Vec<FitKnown>,
    /// The standard error of a pin's coordinates where the pin gives none; 0.05 ft
    /// by default.
    pub(crate) pin_sigma: Option<LengthField>,
    /// The standard error of a deed corner relative to the others; 0.05 ft by
    /// default.
    pub(crate) deed_sigma: Option<LengthField>,
    /// Whether deed and ground are of one scale; held by default.
    #[serde(default)]
    pub(crate) scale: FitScale,
    /// A line whose direction is known by the deed and on the ground.
    pub(crate) direction: Option<FitDirection>,
    /// Whose standard errors the 95 % ellipses are of; those given by default.
    #[serde(default)]
    pub(crate) ellipses: FitEllipses,
    /// Buildings and walls that no tape crosses: the corners of each as [north,
    /// east], in feet.
    #[serde(default)]
    pub(crate) blocked: Vec<Vec<Two<CoordinateField>>>,
    /// The longest tape to search with; 100 ft by default.
    pub(crate) longest: Option<LengthField>,
    /// Instead of `pins`, or besides: a CSV file of pins, by its path from this file.
    pub(crate) pins_file: Option<std::path::PathBuf>,
    /// The datum of longitudes, latitudes and grids: NAD83, NAD83(2011) or WGS84.
    pub(crate) datum: Option<String>,
    /// The grid of `grid_north` and `grid_east`: a state plane zone by number or name
    /// such as "2201" or "Minnesota North", or "UTM 15". With longitudes and
    /// latitudes it is the grid whose north the job takes.
    pub(crate) zone: Option<String>,
    /// The unit of grid coordinates; by default the foot that the state's plane
    /// coordinates use, or the meter.
    pub(crate) grid_unit: Option<GridUnit>,
    /// The height of the ground above the ellipsoid, for distances on the ground.
    pub(crate) height: Option<CoordinateField>,
}

/// Whether deed and ground are of one scale.
#[derive(Deserialize, JsonSchema, Clone, Copy, Debug, Default, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub(crate) enum FitScale {
    /// They are.
    #[default]
    Held,
    /// The pins tell.
    Free,
}

/// Whose standard errors an ellipse is of.
#[derive(Deserialize, JsonSchema, Clone, Copy, Debug, Default, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub(crate) enum FitEllipses {
    /// Those that were given (a priori).
    #[default]
    Given,
    /// Those that the residuals say (a posteriori).
    Residuals,
}

/// A line whose direction is known by the deed and on the ground.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct FitDirection {
    /// Its direction by the deed.
    pub(crate) deed: DirectionField,
    /// Its direction on the ground.
    pub(crate) ground: DirectionField,
    /// The standard error of the difference, in degrees.
    pub(crate) sigma_deg: f64,
}

/// A point that tapes to pins start from.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct FitKnown {
    /// Its name.
    pub(crate) name: String,
    /// Its northing.
    pub(crate) north: CoordinateField,
    /// Its easting.
    pub(crate) east: CoordinateField,
    /// The standard error of each coordinate; 0 by default.
    pub(crate) sigma: Option<LengthField>,
}

/// A corner by the deed.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
#[schemars(transform = also(&[("north", "north_ft"), ("east", "east_ft")]))]
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

/// A found pin and its record. Its place is one of four: `north` and `east`,
/// `lon_deg` and `lat_deg`, `grid_north` and `grid_east`, or two `tapes`.
#[derive(Deserialize, JsonSchema, Debug, Default)]
#[serde(deny_unknown_fields)]
#[schemars(transform = also(&[("corner", "name"), ("north", "north_ft"), ("east", "east_ft")]))]
pub(crate) struct FitPin {
    /// The name of the corner it is for.
    #[serde(alias = "name")]
    pub(crate) corner: String,
    /// Its northing on the ground.
    #[serde(alias = "north_ft")]
    pub(crate) north: Option<CoordinateField>,
    /// Its easting on the ground.
    #[serde(alias = "east_ft")]
    pub(crate) east: Option<CoordinateField>,
    /// Instead: its longitude, in degrees; west is negative. Needs `datum`.
    pub(crate) lon_deg: Option<f64>,
    /// Its latitude, in degrees.
    pub(crate) lat_deg: Option<f64>,
    /// Instead: its northing in the grid of `zone`, in `grid_unit`.
    pub(crate) grid_north: Option<f64>,
    /// Its easting in the grid of `zone`, in `grid_unit`.
    pub(crate) grid_east: Option<f64>,
    /// Instead: two tapes from known points.
    #[serde(default)]
    pub(crate) tapes: Vec<FitTape>,
    /// On which hand of the way from the first tape's start to the second's.
    pub(crate) side: Option<TieSide>,
    /// The standard error of each coordinate.
    pub(crate) sigma: Option<LengthField>,
    /// Instead of `sigma`: that of the northing.
    pub(crate) sigma_north: Option<LengthField>,
    /// That of the easting.
    pub(crate) sigma_east: Option<LengthField>,
    /// The correlation of the two, between -1 and 1; 0 by default.
    pub(crate) correlation: Option<f64>,
    /// Whether a phone or a map located it: then it helps to search and does not
    /// enter the fit.
    #[serde(default)]
    pub(crate) by_phone: bool,
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

/// A tape to a pin.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct FitTape {
    /// The known point where it starts.
    pub(crate) from: String,
    /// What it reads.
    pub(crate) reads: LengthField,
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
    /// Ground distance over deed distance if let free; 1 for a single pin. Whether
    /// the fit holds 1 is said by `scale_held`.
    pub(crate) scale: f64,
    /// The standard error of the free scale; null if unknown.
    pub(crate) scale_sigma: Option<f64>,
    /// Whether the fit holds the scale at 1.
    pub(crate) scale_held: bool,
    /// The confusion of units that explains the scale, where its standard error
    /// tells it from 1.
    pub(crate) unit_confusion: Option<String>,
    /// The standard error of one coordinate, by the residuals; null if nothing is
    /// left to check.
    pub(crate) sigma_ft: Option<f64>,
    /// Two for each pin and one for a direction, less three, or four with a free
    /// scale.
    pub(crate) redundancy: usize,
    /// The variance of the residuals over the given one (a posteriori over a
    /// priori); null if unknown.
    pub(crate) variance_factor: Option<f64>,
    /// The chance of residuals so large if all is right; below 0.001 something is
    /// wrong. Null if unknown.
    pub(crate) chance: Option<f64>,
    /// How many times better the best told unknown is told than the worst.
    pub(crate) condition: f64,
    /// Whether the deed's corners mirrored would fit far better. Never applied.
    pub(crate) mirrored: bool,
    /// The pins, in the order given.
    pub(crate) pins: Vec<FitPinAnswer>,
    /// How a known direction goes with the pins.
    pub(crate) direction: Option<FitDirectionAnswer>,
    /// The deed's corners on the ground, in the order given.
    pub(crate) corners: Vec<FitCornerAnswer>,
    /// Where two pins alone disagree with the deed beyond their doubt.
    pub(crate) disagreement: Option<FitDisagreement>,
    /// What phones and maps say, which never entered the fit.
    pub(crate) phone: Vec<FitPhone>,
    /// The grid behind pins by longitude and latitude or by grid coordinates.
    pub(crate) grid: Option<GridAnswer>,
    /// What was assumed in reading the request.
    pub(crate) assumed: Vec<String>,
    /// What to keep in mind.
    pub(crate) cautions: Vec<String>,
}

/// How a known direction goes with the pins.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct FitDirectionAnswer {
    /// The known rotation less the fitted one.
    pub(crate) residual_deg: f64,
    /// The residual over its standard error; null if unknown or unchecked.
    pub(crate) standardized: Option<f64>,
    /// Whether it does not go with the pins.
    pub(crate) suspect: bool,
}

/// Where a phone or a map puts a corner.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct FitPhone {
    /// The name of the corner.
    pub(crate) name: String,
    /// Where it is by the phone.
    pub(crate) north_ft: f64,
    /// Where it is by the phone.
    pub(crate) east_ft: f64,
    /// How far that is from the corner as fitted.
    pub(crate) off_ft: f64,
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
    /// How much of its two numbers the other pins check: from 0 to 2.
    pub(crate) redundancy: f64,
    /// How far it stands from where the other pins alone put the corner; null where
    /// they can't.
    pub(crate) left_out_ft: Option<f64>,
    /// A blunder of this size is found in 80 of 100 cases; null where nothing checks
    /// the pin in some direction.
    pub(crate) detectable_ft: Option<f64>,
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
            redundancy: pin.redundancy,
            left_out_ft: pin.left_out.map(|way| way.length().feet()),
            detectable_ft: pin.detectable.map(Length::feet),
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
    /// The ellipse that holds 95 %; null if unknown.
    pub(crate) ellipse_95: Option<FitEllipse>,
    /// For a corner not found: the best two tapes from pins in hand, then one that
    /// checks them where there is a good one.
    pub(crate) search_tapes: Vec<FitSearchTape>,
    /// Why there are no tapes.
    pub(crate) no_tapes_because: Vec<String>,
}

/// An ellipse that holds 95 %.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct FitEllipse {
    /// Half its long axis.
    pub(crate) semi_major_ft: f64,
    /// Half its short axis.
    pub(crate) semi_minor_ft: f64,
    /// The direction of its long axis, 0 up to 180 degrees.
    pub(crate) azimuth_deg: f64,
}

/// A tape to a place to search.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct FitSearchTape {
    /// The pin it is held at.
    pub(crate) from: String,
    /// What it reads at the middle of the search.
    pub(crate) reading_ft: f64,
    /// By how many inches it grows for each inch to the north.
    pub(crate) per_inch_north_in: f64,
    /// By how many inches it grows for each inch to the east.
    pub(crate) per_inch_east_in: f64,
    /// The least it reads within the search radius.
    pub(crate) least_ft: f64,
    /// The most it reads within the search radius.
    pub(crate) most_ft: f64,
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

/// What `fence fit` answers: a fit to a request, places to a list of points.
#[derive(Serialize, JsonSchema, Debug)]
#[serde(untagged)]
pub(crate) enum FitReply {
    /// To a request.
    Fit(Box<FitAnswer>),
    /// To a CSV file of points.
    Places(PlacesAnswer),
}

/// The points of a CSV file, on the ground.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct PlacesAnswer {
    /// The points, in the order given.
    pub(crate) places: Vec<FitPlace>,
    /// The grid behind them, where one was named.
    pub(crate) grid: Option<GridAnswer>,
    /// What was assumed in reading them.
    pub(crate) assumed: Vec<String>,
    /// What to keep in mind.
    pub(crate) cautions: Vec<String>,
}

/// A place on the ground.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct FitPlace {
    /// Its name.
    pub(crate) name: String,
    /// Its northing.
    pub(crate) north_ft: f64,
    /// Its easting.
    pub(crate) east_ft: f64,
    /// Whether a phone or a map located it: then it does not enter a fit.
    pub(crate) by_phone: bool,
}

/// The unit of grid coordinates.
#[derive(
    Deserialize, Serialize, JsonSchema, Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum,
)]
#[serde(rename_all = "snake_case")]
pub(crate) enum GridUnit {
    /// The U.S. survey foot, 1200/3937 m.
    SurveyFoot,
    /// The international foot, 0.3048 m.
    Foot,
    /// The meter.
    Meter,
}

/// A grid, and how it lies at its first point.
#[derive(Serialize, JsonSchema, Clone, Debug)]
pub(crate) struct GridAnswer {
    /// What grid it is.
    pub(crate) zone: String,
    /// The number of a state plane zone.
    pub(crate) zone_number: Option<u16>,
    /// The datum.
    pub(crate) datum: String,
    /// The unit of the grid coordinates here.
    pub(crate) grid_unit: GridUnit,
    /// The height above the ellipsoid that the ground distances are for.
    pub(crate) height_ft: f64,
    /// The points, in the order given.
    pub(crate) points: Vec<GridPoint>,
}

/// A point in a grid and on the ground.
#[derive(Serialize, JsonSchema, Clone, Debug)]
pub(crate) struct GridPoint {
    /// Its name.
    pub(crate) name: String,
    /// Its longitude.
    pub(crate) lon_deg: f64,
    /// Its latitude.
    pub(crate) lat_deg: f64,
    /// Its northing in the grid, in the grid's unit.
    pub(crate) grid_north: f64,
    /// Its easting in the grid, in the grid's unit.
    pub(crate) grid_east: f64,
    /// From true north to grid north, clockwise.
    pub(crate) convergence_deg: f64,
    /// Grid distance over distance along the ellipsoid.
    pub(crate) scale_factor: f64,
    /// Distance along the ellipsoid over distance on the ground.
    pub(crate) elevation_factor: f64,
    /// Grid distance over ground distance: the product of the two.
    pub(crate) combined_factor: f64,
    /// Its northing on the ground, from the first point.
    pub(crate) north_ft: f64,
    /// Its easting on the ground, from the first point.
    pub(crate) east_ft: f64,
}
