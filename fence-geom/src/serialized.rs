//! The fields that the checked types are written with, the unit in each name;
//! reading goes through the same checks as construction.
//!
//! Angles are in radians here, because the way to degrees and back would cost
//! the last digit.

use serde::{Deserialize, Serialize};

use crate::angle::Angle;
use crate::bearing::{Azimuth, Bearing, EastWest, NorthSouth};
use crate::length::{Area, Length, QuantityError, Shift};
use crate::point::{Displacement, Point};
use crate::ring::{Corner, Ring, RingError, Side};

#[derive(Serialize, Deserialize)]
pub(crate) struct Feet {
    feet: f64,
}

#[derive(Serialize, Deserialize)]
pub(crate) struct SquareFeet {
    square_feet: f64,
}

#[derive(Serialize, Deserialize)]
pub(crate) struct Radians {
    radians: f64,
}

#[derive(Serialize, Deserialize)]
pub(crate) struct Quadrant {
    from: NorthSouth,
    angle: Angle,
    toward: EastWest,
}

#[derive(Serialize, Deserialize)]
pub(crate) struct NorthEast {
    north_ft: f64,
    east_ft: f64,
}

#[derive(Serialize, Deserialize)]
pub(crate) struct RingParts {
    corners: Vec<Corner>,
    sides: Vec<Side>,
}

/// Goes from a checked type to its fields and back through its constructor.
macro_rules! checked {
    ($type:ident, $fields:ident, $error:ty, |$value:ident| $write:expr, |$read:ident| $make:expr) => {
        impl From<$type> for $fields {
            fn from($value: $type) -> Self {
                $write
            }
        }

        impl TryFrom<$fields> for $type {
            type Error = $error;

            fn try_from($read: $fields) -> Result<Self, $error> {
                $make
            }
        }
    };
}

checked!(
    Length,
    Feet,
    QuantityError,
    |length| Self {
        feet: length.feet()
    },
    |fields| Self::from_feet(fields.feet)
);
checked!(
    Shift,
    Feet,
    QuantityError,
    |shift| Self { feet: shift.feet() },
    |fields| Self::from_feet(fields.feet)
);
checked!(
    Area,
    SquareFeet,
    QuantityError,
    |area| Self {
        square_feet: area.square_feet()
    },
    |fields| Self::from_square_feet(fields.square_feet)
);
checked!(
    Angle,
    Radians,
    QuantityError,
    |angle| Self {
        radians: angle.radians()
    },
    |fields| Self::from_radians(fields.radians)
);
checked!(
    Azimuth,
    Radians,
    QuantityError,
    |azimuth| Self {
        radians: azimuth.radians()
    },
    |fields| Self::from_radians(fields.radians)
);
checked!(
    Bearing,
    Quadrant,
    QuantityError,
    |bearing| Self {
        from: bearing.from(),
        angle: bearing.angle(),
        toward: bearing.toward(),
    },
    |fields| Self::new(fields.from, fields.angle, fields.toward)
);
checked!(
    Point,
    NorthEast,
    QuantityError,
    |point| Self {
        north_ft: point.north(),
        east_ft: point.east(),
    },
    |fields| Self::new(fields.north_ft, fields.east_ft)
);
checked!(
    Displacement,
    NorthEast,
    QuantityError,
    |way| Self {
        north_ft: way.north(),
        east_ft: way.east(),
    },
    |fields| Self::new(fields.north_ft, fields.east_ft)
);
checked!(
    Ring,
    RingParts,
    RingError,
    |ring| Self {
        corners: ring.corners().to_vec(),
        sides: ring.sides().to_vec(),
    },
    |fields| Self::new(fields.corners, fields.sides)
);

#[cfg(test)]
mod tests;
