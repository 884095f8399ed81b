//! Surveying and layout arithmetic for fences: from a deed or found property
//! pins to the place of every post.

#![cfg_attr(
    not(test),
    warn(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::panic,
        clippy::indexing_slicing,
        clippy::print_stdout,
        clippy::print_stderr
    )
)]

mod angle;
mod angle_text;
mod bearing;
mod estimate;
mod fit;
mod intersect;
mod length;
mod length_text;
mod pins;
mod point;
mod reading;
mod ring;
mod square;
mod tape;
mod ties;
mod triangle;
mod two_tapes;
mod units;

pub use angle::Angle;
pub use angle_text::{Direction, read_angle, read_direction};
pub use bearing::{Azimuth, Bearing, EastWest, NorthSouth};
pub use estimate::{
    Covariance, Ellipse, Estimate, EstimateError, NORMAL_95, PropagateError, Sigma, Verdict,
    ellipse_factor_95, judge, propagate,
};
pub use fit::{
    Disagreement, Fit, FitError, FittedCorner, PinFit, Standing, default_deed_sigma, fit,
};
pub use intersect::{
    Crossing, IntersectError, LineMeetsTape, LinesMeet, TapesMeet, line_meets_tape, lines_meet,
    tapes_meet,
};
pub use length::{Area, Length, METERS_PER_FOOT, QuantityError, SQUARE_FEET_PER_ACRE, Shift};
pub use length_text::LengthReader;
pub use pins::{Pin, PinStands};
pub use point::{Displacement, Point};
pub use reading::{ReadError, Reading};
pub use ring::{Corner, Ring, RingError, Side, Turn};
pub use square::{CornerAnswer, CornerCheck, CornerError, Correction, LegPlan, Way, third_side};
pub use tape::TapeModel;
pub use ties::{NoTies, Tape, TieLimits, TwoTapes, best_ties};
pub use triangle::{CornerReading, TriangleError, angle_of_sides, triangle_area};
pub use two_tapes::{KnownPoint, TapedPoint, points_from_tapes};
pub use units::{FootKind, LengthUnit, METERS_PER_SURVEY_FOOT};
