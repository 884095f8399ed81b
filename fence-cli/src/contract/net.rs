//! What `fence tie` takes and answers of a net of tapes.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::tie::TieSide;
use crate::fields::{CoordinateField, DirectionField, LengthField};

/// A tape from one point to another.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct NetDistance {
    /// The point where it starts.
    pub(crate) from: String,
    /// The point where it ends.
    pub(crate) to: String,
    /// What it reads.
    pub(crate) reads: LengthField,
    /// Which of the reels it is read on; the tape of the whole request by default.
    pub(crate) reel: Option<String>,
    /// The difference in height between its ends.
    pub(crate) rise: Option<CoordinateField>,
    /// The grade under it: feet of rise in a hundred feet.
    pub(crate) grade_percent: Option<f64>,
    /// Its angle above or below level.
    pub(crate) vertical_deg: Option<f64>,
}

/// The angle at a corner.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct NetCorner {
    /// The corner.
    pub(crate) at: String,
    /// The point at the end of one leg.
    pub(crate) from: String,
    /// The point at the end of the other leg.
    pub(crate) to: String,
    /// The angle between the legs; 90 by default.
    pub(crate) angle_deg: Option<f64>,
    /// Its standard error; 0.5 by default.
    pub(crate) sigma_deg: Option<f64>,
}

/// A point on the line through two others, or a distance aside of it.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct NetOnLine {
    /// The point.
    pub(crate) point: String,
    /// The point where the line starts.
    pub(crate) from: String,
    /// The point that it leads to.
    pub(crate) to: String,
    /// How far to the right of the line the point stands, negative to the left; 0
    /// by default.
    pub(crate) right: Option<CoordinateField>,
    /// The standard error of that; 1/4 in by default.
    pub(crate) sigma: Option<LengthField>,
}

/// The direction from one point to another.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct NetDirection {
    /// The point where it is taken.
    pub(crate) from: String,
    /// The point it leads to.
    pub(crate) to: String,
    /// The direction.
    pub(crate) toward: DirectionField,
    /// Its standard error.
    pub(crate) sigma_deg: f64,
}

/// On which hand of a line a point was seen.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct NetSide {
    /// The point.
    pub(crate) point: String,
    /// The point where the line starts.
    pub(crate) from: String,
    /// The point that it leads to.
    pub(crate) to: String,
    /// The hand, as one walks the line.
    pub(crate) side: TieSide,
}

/// A tape that some of the distances were read on.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct NetReel {
    /// Its name.
    pub(crate) name: String,
    /// The standard error of one reading; 1/8 in by default.
    pub(crate) reading_sigma: Option<LengthField>,
    /// N of the 1:N standard error of its length; 5000 by default.
    pub(crate) scale: Option<f64>,
    /// What is to be corrected of its readings; nothing by default.
    pub(crate) corrections: Option<TapeCorrectionFields>,
}

/// What is to be corrected of a tape's readings.
#[derive(Deserialize, JsonSchema, Debug, Default)]
#[serde(deny_unknown_fields)]
pub(crate) struct TapeCorrectionFields {
    /// What the tape's length is marked as; goes with `actual`.
    pub(crate) marked: Option<LengthField>,
    /// What it is.
    pub(crate) actual: Option<LengthField>,
    /// The tape's temperature when it was read.
    pub(crate) temperature_deg_f: Option<f64>,
    /// The temperature at which it has its length; 68 by default.
    pub(crate) standard_temperature_deg_f: Option<f64>,
    /// How much it grows for each degree; 0.00000645, that of steel, by default.
    pub(crate) expansion_per_deg_f: Option<f64>,
    /// The pull when it was read; goes with `standard_pull_lb` and
    /// `section_sq_in`, or with `weight_lb_per_ft`.
    pub(crate) pull_lb: Option<f64>,
    /// The pull at which it has its length.
    pub(crate) standard_pull_lb: Option<f64>,
    /// The area of its section.
    pub(crate) section_sq_in: Option<f64>,
    /// Young's modulus; 29,000,000, that of steel, by default.
    pub(crate) modulus_psi: Option<f64>,
    /// Its weight, if it hangs between supports; goes with `pull_lb` and
    /// `supports_apart`.
    pub(crate) weight_lb_per_ft: Option<f64>,
    /// How far apart the supports are.
    pub(crate) supports_apart: Option<LengthField>,
}

/// A reading that was corrected.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct CorrectedReading {
    /// Which tape.
    pub(crate) tape: String,
    /// What it read.
    pub(crate) read_ft: f64,
    /// The level distance that is used.
    pub(crate) level_ft: f64,
    /// What was added.
    pub(crate) parts: Vec<CorrectionPart>,
}

/// One correction.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct CorrectionPart {
    /// What it is for.
    pub(crate) kind: CorrectionName,
    /// What it adds.
    pub(crate) add_ft: f64,
}

/// What a correction is for.
#[derive(Serialize, JsonSchema, Debug, Clone, Copy, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub(crate) enum CorrectionName {
    /// A tape of the wrong length.
    TrueLength,
    /// Temperature.
    Temperature,
    /// Pull.
    Pull,
    /// Sag.
    Sag,
    /// Slope.
    Slope,
}

/// How a net came out.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct NetJson {
    /// What the places are relative to, in words.
    pub(crate) relative_to: String,
    /// The points that the readings leave in two places or more.
    pub(crate) ambiguous: Vec<String>,
    /// Each set of places that goes with the readings.
    pub(crate) answers: Vec<NetAnswerJson>,
}

/// One set of places that goes with the readings.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct NetAnswerJson {
    /// Its number, from 1.
    pub(crate) answer: usize,
    /// How many readings there are beyond what fixes the places.
    pub(crate) redundancy: usize,
    /// The weighted sum of the squared residuals.
    pub(crate) misfit: f64,
    /// What it stays below in 95 of 100 honest nets; null where nothing is
    /// redundant.
    pub(crate) misfit_limit: Option<f64>,
    /// Whether it does.
    pub(crate) fits: bool,
    /// The factor on all standard errors that the residuals speak for; null where
    /// nothing is redundant.
    pub(crate) sigma_factor: Option<f64>,
    /// The condition of the scaled normal equations.
    pub(crate) condition: f64,
    /// Every reading, then the known points that may move, then tape scales.
    pub(crate) readings: Vec<NetReadingJson>,
    /// The readings that may be wrong: the one, or those that can't be told from
    /// each other.
    pub(crate) suspects: Vec<String>,
    /// The points that the readings hold badly.
    pub(crate) weak: Vec<NetWeakJson>,
}

/// A reading against the adjusted net.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct NetReadingJson {
    /// Which one.
    pub(crate) reading: String,
    /// Adjusted less read.
    pub(crate) residual: NetAmount,
    /// The standard error it came with.
    pub(crate) sigma: NetAmount,
    /// The share of an error in it that shows: 0 is checked by nothing.
    pub(crate) redundancy: f64,
    /// The residual over its own standard error; null where nothing checks it.
    pub(crate) standardized: Option<f64>,
    /// The error that explains the residual if this reading alone is wrong: more
    /// than zero if it reads too much.
    pub(crate) likely_error: Option<NetAmount>,
    /// The least error that the test finds in 80 of 100 cases.
    pub(crate) detectable: Option<NetAmount>,
    /// Whether it may be the wrong one.
    pub(crate) suspect: bool,
}

/// An amount, by its unit.
#[derive(Serialize, JsonSchema, Debug, Clone, Copy)]
#[serde(rename_all = "snake_case")]
pub(crate) enum NetAmount {
    /// Feet.
    Ft(f64),
    /// Degrees.
    Deg(f64),
    /// A ratio.
    Ratio(f64),
}

/// A point that the readings hold badly.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct NetWeakJson {
    /// Its name.
    pub(crate) name: String,
    /// How far off it may be, 95 %.
    pub(crate) off_95_ft: f64,
    /// The direction of that, clockwise from north.
    pub(crate) azimuth_deg: f64,
    /// The point from which one more tape helps most; null if none stands well.
    pub(crate) tape_from: Option<String>,
}
