//! What `fence tie --json` answers.

use schemars::JsonSchema;
use serde::Serialize;

/// The answer of two-tape work: the places two tapes give, or the two tapes that
/// set a place.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct TieAnswer {
    /// The places: two where two answers exist.
    pub(crate) points: Vec<TiePointAnswer>,
    /// The tapes to pull, where a place was to be set; else null.
    pub(crate) set_by: Option<TieSetBy>,
    /// Why no two tapes can set it: one reason for each known point.
    pub(crate) no_tie_because: Vec<String>,
    /// What was assumed in reading the request.
    pub(crate) assumed: Vec<String>,
    /// What to keep in mind.
    pub(crate) cautions: Vec<String>,
}

/// A place with its standard errors, by measuring only; null if unknown.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct TiePointAnswer {
    /// What it is called.
    pub(crate) name: String,
    /// Feet north of the origin.
    pub(crate) north_ft: f64,
    /// Feet east of the origin.
    pub(crate) east_ft: f64,
    /// The standard error of the northing.
    pub(crate) sigma_north_ft: Option<f64>,
    /// The standard error of the easting.
    pub(crate) sigma_east_ft: Option<f64>,
    /// The hand of the way from the first known point to the second on which it
    /// lies; null where the tapes just reach each other.
    pub(crate) side: Option<TieSide>,
    /// The radius of the circle that holds 95 %.
    pub(crate) radius_95_ft: Option<f64>,
}

/// A hand.
#[derive(Serialize, JsonSchema, Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
#[serde(rename_all = "snake_case")]
pub(crate) enum TieSide {
    /// To the left of the way from the first known point to the second.
    Left,
    /// To the right of it.
    Right,
}

/// The best two tapes that set a place.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct TieSetBy {
    /// The two tapes.
    pub(crate) tapes: Vec<TieTape>,
    /// The angle at which they meet.
    pub(crate) angle_deg: f64,
    /// A third tape that checks them; null if none is good for it.
    pub(crate) check: Option<TieTape>,
    /// How many pairs could have been used.
    pub(crate) usable_pairs: usize,
}

/// One tape.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct TieTape {
    /// The known point it is held at.
    pub(crate) from: String,
    /// What it reads at the place.
    pub(crate) reading_ft: f64,
}
