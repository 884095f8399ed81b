//! Angles and directions as people write them.

use crate::angle::Angle;
use crate::bearing::{Azimuth, Bearing};
use crate::reading::{ReadError, Reading};

/// A direction as it was written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Direction {
    /// A quadrant bearing.
    Bearing(Bearing),
    /// An azimuth, clockwise from north.
    Azimuth(Azimuth),
}

impl Direction {
    /// Returns the direction clockwise from north.
    #[must_use]
    pub fn azimuth(self) -> Azimuth {
        match self {
            Self::Bearing(bearing) => bearing.azimuth(),
            Self::Azimuth(azimuth) => azimuth,
        }
    }
}

/// Reads a bearing or an azimuth.
///
/// # Errors
///
/// A [`ReadError`] that names the words at fault.
pub fn read_direction(text: &str) -> Result<Reading<Direction>, ReadError> {
    let degrees = text.trim().parse().map_err(|_| refused(text))?;
    let azimuth = Azimuth::from_degrees(degrees).map_err(|_| refused(text))?;
    Ok(Reading::sure(Direction::Azimuth(azimuth)))
}

/// Reads an angle.
///
/// # Errors
///
/// A [`ReadError`] that names the words at fault.
pub fn read_angle(text: &str) -> Result<Reading<Angle>, ReadError> {
    let degrees = text.trim().parse().map_err(|_| refused(text))?;
    let angle = Angle::from_degrees(degrees).map_err(|_| refused(text))?;
    Ok(Reading::sure(angle))
}

fn refused(text: &str) -> ReadError {
    ReadError {
        text: text.to_owned(),
        wanted: "a direction",
        at: 0..text.len(),
        problem: "not a number".to_owned(),
        example: "N45-30-15E",
    }
}
