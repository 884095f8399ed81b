//! What `fence square` takes and answers.

use fence_geom::Verdict;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::fields::{LengthField, Two};
use crate::request_unit::UnitField;

/// Three tape readings at a corner. Numbers are feet.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct SquareRequest {
    /// The unit of bare numbers, such as "m" or "us-ft"; feet by default.
    #[expect(dead_code, reason = "the numbers are read in it")]
    pub(crate) unit: Option<UnitField>,
    /// From the corner along each side: the first stays, the second may move.
    pub(crate) legs: Two<LengthField>,
    /// Straight between the ends of the legs.
    pub(crate) diagonal: LengthField,
    /// The angle the corner should have; 90 by default.
    pub(crate) angle_deg: Option<f64>,
    /// How far the second side will run from the corner; its leg by default.
    pub(crate) run: Option<LengthField>,
    /// How far the far end of that run may be off its line; 1/4 in for every
    /// 10 ft by default.
    pub(crate) tolerance: Option<LengthField>,
    /// The longest leg there is room for.
    pub(crate) space: Option<LengthField>,
    /// The standard error of one tape reading; 1/8 in by default.
    pub(crate) reading_sigma: Option<LengthField>,
    /// N of the 1:N standard error of the tape's own length; 5000 by default.
    pub(crate) scale: Option<f64>,
}

/// The answer of a square check.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct SquareAnswer {
    /// The angle that was taped.
    pub(crate) angle_deg: f64,
    /// Its standard error, by measuring only; null if unknown.
    pub(crate) angle_sigma_deg: Option<f64>,
    /// The angle that was wanted.
    pub(crate) design_deg: f64,
    /// The diagonal as read less the one needed: positive where the corner is
    /// too open.
    pub(crate) diagonal_error_in: f64,
    /// Its standard error.
    pub(crate) diagonal_error_sigma_in: Option<f64>,
    /// The diagonal that makes the design angle with these legs.
    pub(crate) diagonal_needed_ft: f64,
    /// `square` (at the design angle), `out`, or `undecided`: the readings can't
    /// tell.
    pub(crate) verdict: SquareVerdict,
    /// How far the second side runs from the corner.
    pub(crate) run_ft: f64,
    /// How far the far end of the run stands off its line: positive where the
    /// corner is too open.
    pub(crate) run_error_in: f64,
    /// Its standard error.
    pub(crate) run_error_sigma_in: Option<f64>,
    /// How far it may be off.
    pub(crate) tolerance_in: f64,
    /// How to move the second side; null where nothing is to move.
    pub(crate) correction: Option<SquareCorrection>,
    /// The largest legs for the given space, where they would tell more.
    pub(crate) fitting_legs: Option<SquareLegs>,
    /// The smallest legs that would tell.
    pub(crate) deciding_legs: Option<SquareLegs>,
    /// What was assumed in reading the request.
    pub(crate) assumed: Vec<String>,
    /// What to keep in mind.
    pub(crate) cautions: Vec<String>,
}

/// The verdict on a corner.
#[derive(Serialize, JsonSchema, Debug, Clone, Copy, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub(crate) enum SquareVerdict {
    /// At its design angle, whatever the measuring did.
    Square,
    /// Not at its design angle.
    Out,
    /// The readings can't tell.
    Undecided,
}

impl SquareVerdict {
    pub(crate) const fn of(verdict: Verdict) -> Self {
        match verdict {
            Verdict::In => Self::Square,
            Verdict::Out => Self::Out,
            Verdict::Undecided => Self::Undecided,
        }
    }
}

/// Which way and how far to move the end of the second leg.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct SquareCorrection {
    /// `toward` or `away` from the end of the first leg.
    pub(crate) way: SquareWay,
    /// At the end of the second leg.
    pub(crate) at_leg_end_in: f64,
    /// At the far end of the run.
    pub(crate) at_run_end_in: f64,
}

/// Which way to move.
#[derive(Serialize, JsonSchema, Debug, Clone, Copy, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub(crate) enum SquareWay {
    /// The corner is too open.
    Toward,
    /// The corner is too tight.
    Away,
}

/// Legs to tape instead.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct SquareLegs {
    /// The first leg.
    pub(crate) first_leg_ft: f64,
    /// The second leg.
    pub(crate) second_leg_ft: f64,
    /// The diagonal at the design angle.
    pub(crate) diagonal_ft: f64,
    /// The standard error of the angle from these legs.
    pub(crate) angle_sigma_deg: Option<f64>,
    /// Whether they would tell.
    pub(crate) decides: bool,
}
