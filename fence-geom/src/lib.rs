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
mod angle_print;
mod angle_text;
mod balance;
mod bearing;
mod call_line;
mod call_table;
mod deed;
mod last_digit;
mod length;
mod length_print;
mod length_text;
mod point;
mod quantity_words;
mod reading;
mod ring;
mod traverse;
mod units;

pub use angle::Angle;
pub use angle_print::AngleStyle;
pub use angle_text::{Direction, read_angle, read_direction};
pub use balance::{BalanceError, BalanceRule, Balanced, BalancedCourse, balance};
pub use bearing::{Azimuth, Bearing, EastWest, NorthSouth};
pub use call_line::LineFault;
pub use call_table::{CallTable, CallTableError, UnreadCalls, read_call_table};
pub use deed::{Beginning, Call, Deed, DeedError, Rounding, Written};
pub use length::{Area, Length, METERS_PER_FOOT, QuantityError, SQUARE_FEET_PER_ACRE, Shift};
pub use length_print::{InchFraction, LengthStyle};
pub use length_text::LengthReader;
pub use point::{Displacement, Point};
pub use reading::{ReadError, Reading};
pub use ring::{Corner, Ring, RingError, Side, Turn};
pub use traverse::{
    Closure, Course, REFERENCE_CLOSURES, ReferenceClosure, Traverse, TraverseError, courses_read,
    traverse,
};
pub use units::{FootKind, LengthUnit, METERS_PER_SURVEY_FOOT};
