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
mod corner;
mod length;
mod length_text;
mod offset;
mod orient;
mod point;
mod reading;
mod ring;
mod route;
mod units;

pub use angle::Angle;
pub use angle_text::{Direction, read_angle, read_direction};
pub use bearing::{Azimuth, Bearing, EastWest, NorthSouth};
pub use corner::{
    CornerError, Miter, check_legs, corner_post_face, corner_post_setback, deflection,
    interior_angle, leg_diagonal, miter,
};
pub use length::{Area, Length, METERS_PER_FOOT, QuantityError, SQUARE_FEET_PER_ACRE, Shift};
pub use length_text::LengthReader;
pub use offset::{
    Join, NEEDLE_LIMIT, OffsetCorner, OffsetError, OffsetEvent, OffsetRing, inset, inset_uniform,
};
pub use point::{Displacement, Point};
pub use reading::{ReadError, Reading};
pub use ring::{Corner, Place, Ring, RingError, Side, Turn};
pub use route::{
    FaceRange, Flag, Gap, GapError, Route, RouteError, Run, RunEnd, Stop, end_face, route,
};
pub use units::{FootKind, LengthUnit, METERS_PER_SURVEY_FOOT};
