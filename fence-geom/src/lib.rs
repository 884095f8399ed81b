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
mod layout;
mod length;
mod length_text;
mod point;
mod reading;
mod ring;
mod units;

pub use angle::Angle;
pub use angle_text::{Direction, read_angle, read_direction};
pub use bearing::{Azimuth, Bearing, EastWest, NorthSouth};
pub use layout::{
    Arrangement, Blocking, Build, GateRequest, Lattice, Layout, LayoutError, LayoutRequest,
    LayoutStatus, Objective, PostKind, PostPlace, RunEnd, SectionKind, SectionPlace, Stretch,
    WhichEnd, Wish, lay_out,
};
pub use length::{Area, Length, METERS_PER_FOOT, QuantityError, SQUARE_FEET_PER_ACRE, Shift};
pub use length_text::LengthReader;
pub use point::{Displacement, Point};
pub use reading::{ReadError, Reading};
pub use ring::{Corner, Ring, RingError, Side, Turn};
pub use units::{FootKind, LengthUnit, METERS_PER_SURVEY_FOOT};
