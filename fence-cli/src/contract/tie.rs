//! What `fence tie` takes and answers.

use fence_geom::{Ellipse, Tape, Turn, TwoTapes};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::net::{
    CorrectedReading, NetCorner, NetDirection, NetDistance, NetJson, NetOnLine, NetReel, NetSide,
    TapeCorrectionFields,
};
use crate::fields::{CoordinateField, LengthField, Two};
use crate::request_unit::UnitField;

/// Tape work: either `tapes`, to find a point from two of them, or `set`, to find
/// the best two tapes that set a point, or a net of `distances` and more. Numbers
/// are feet.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct TieRequest {
    /// The unit of bare numbers, such as "m" or "us-ft"; feet by default.
    #[expect(dead_code, reason = "the numbers are read in it")]
    pub(crate) unit: Option<UnitField>,
    /// The points a tape can be held at. A net may do without: then its first
    /// tape is the base.
    #[serde(default)]
    pub(crate) known: Vec<TieKnown>,
    /// Two tape readings from known points.
    #[serde(default)]
    pub(crate) tapes: Vec<TieReading>,
    /// Keeps the answer on this hand of the way from the first tape's point to
    /// the second's.
    pub(crate) side: Option<TieSide>,
    /// What to call the point that two tapes give; `P` by default.
    pub(crate) name: Option<String>,
    /// A point to set by the best two tapes.
    pub(crate) set: Option<TieTarget>,
    /// Buildings by their corners in order, or walls by their two ends: tapes go
    /// round them.
    #[serde(default)]
    pub(crate) blocked: Vec<Vec<Two<CoordinateField>>>,
    /// The longest tape for setting a point; 100 ft by default.
    pub(crate) longest: Option<LengthField>,
    /// The least angle at which two tapes may meet; 30 by default.
    pub(crate) least_angle_deg: Option<f64>,
    /// The standard error of one tape reading; 1/8 in by default.
    pub(crate) reading_sigma: Option<LengthField>,
    /// N of the 1:N standard error of the tape's own length; 5000 by default.
    pub(crate) scale: Option<f64>,
    /// What is to be corrected of the readings; nothing by default.
    pub(crate) corrections: Option<TapeCorrectionFields>,
    /// The tapes of a net.
    #[serde(default)]
    pub(crate) distances: Vec<NetDistance>,
    /// The square or other corners of a net.
    #[serde(default)]
    pub(crate) corners: Vec<NetCorner>,
    /// The points of a net that stand on a line or aside of it.
    #[serde(default)]
    pub(crate) on_line: Vec<NetOnLine>,
    /// The directions of a net.
    #[serde(default)]
    pub(crate) directions: Vec<NetDirection>,
    /// What was seen of sides, which no tape can tell.
    #[serde(default)]
    pub(crate) sides: Vec<NetSide>,
    /// Tapes other than the one of the whole request.
    #[serde(default)]
    pub(crate) reels: Vec<NetReel>,
}

/// A point a tape can be held at.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct TieKnown {
    /// Its name.
    pub(crate) name: String,
    /// `[north, east]`
    pub(crate) at: Two<CoordinateField>,
    /// The standard error of each coordinate; taken as exact by default.
    pub(crate) sigma: Option<LengthField>,
}

/// A tape reading.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct TieReading {
    /// The known point it is held at.
    pub(crate) from: String,
    /// What it reads.
    pub(crate) reads: LengthField,
}

/// A point to set.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct TieTarget {
    /// Its name.
    pub(crate) name: String,
    /// `[north, east]`
    pub(crate) at: Two<CoordinateField>,
}

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
    /// How the net came out; null where there is none.
    pub(crate) net: Option<NetJson>,
    /// The readings that were corrected, and by what.
    pub(crate) corrected: Vec<CorrectedReading>,
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
    /// The ellipse that holds 95 %.
    pub(crate) ellipse_95: Option<TieEllipse>,
    /// Which of a net's answers it belongs to, from 1; null where all agree on it.
    pub(crate) answer: Option<usize>,
}

/// The ellipse that holds 95 %.
#[derive(Serialize, JsonSchema, Debug, Clone, Copy)]
pub(crate) struct TieEllipse {
    /// Half its length.
    pub(crate) semi_major_ft: f64,
    /// Half its width.
    pub(crate) semi_minor_ft: f64,
    /// The direction of its length, clockwise from north, 0 up to 180.
    pub(crate) azimuth_deg: f64,
}

/// A hand.
#[derive(
    Serialize, Deserialize, JsonSchema, Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum,
)]
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

impl TieEllipse {
    pub(crate) fn of(ellipse: Ellipse) -> Self {
        Self {
            semi_major_ft: ellipse.semi_major_95().feet(),
            semi_minor_ft: ellipse.semi_minor_95().feet(),
            azimuth_deg: ellipse.azimuth().degrees(),
        }
    }
}

impl TieSide {
    pub(crate) const fn turn(self) -> Turn {
        match self {
            Self::Left => Turn::Left,
            Self::Right => Turn::Right,
        }
    }

    pub(crate) const fn of(hand: Turn) -> Self {
        match hand {
            Turn::Left => Self::Left,
            Turn::Right => Self::Right,
        }
    }
}

impl TieSetBy {
    pub(crate) fn of(tie: &TwoTapes) -> Self {
        let tape = |tape: &Tape| TieTape {
            from: tape.from.clone(),
            reading_ft: tape.reading.feet(),
        };
        Self {
            tapes: vec![tape(&tie.first), tape(&tie.second)],
            angle_deg: tie.angle.degrees(),
            check: tie.check.as_ref().map(tape),
            usable_pairs: tie.usable_pairs,
        }
    }
}
