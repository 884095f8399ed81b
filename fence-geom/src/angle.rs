//! Plane angles.

use std::f64::consts::PI;
use std::ops::{Add, Neg, Sub};

use crate::length::QuantityError;

/// A plane angle, positive clockwise where it has a sense.
///
/// - Unit inside: the radian.
/// - Range: any number within [`Angle::MAX_DEGREES`]; it is not wrapped.
///
/// # Examples
///
/// ```
/// use fence_geom::Angle;
///
/// let corner = Angle::from_degrees(90.0)?;
/// assert_eq!(corner.degrees(), 90.0);
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(
        try_from = "crate::serialized::Radians",
        into = "crate::serialized::Radians"
    )
)]
pub struct Angle {
    /// Invariant: finite, within `MAX_DEGREES` either way.
    radians: f64,
}

impl Angle {
    /// The largest angle either way, in degrees: beyond it a double can't hold
    /// a second of arc any more.
    pub const MAX_DEGREES: f64 = 1e9;

    /// No angle at all.
    pub const ZERO: Self = Self { radians: 0.0 };

    /// A right angle.
    pub const RIGHT: Self = Self { radians: PI / 2.0 };

    /// Half a turn.
    pub const STRAIGHT: Self = Self { radians: PI };

    /// Creates an angle from degrees and decimals.
    ///
    /// # Errors
    ///
    /// [`QuantityError::Angle`] if `degrees` is NaN or beyond
    /// [`Angle::MAX_DEGREES`] either way.
    pub fn from_degrees(degrees: f64) -> Result<Self, QuantityError> {
        if !(-Self::MAX_DEGREES..=Self::MAX_DEGREES).contains(&degrees) {
            return Err(QuantityError::Angle { degrees });
        }
        Ok(Self {
            radians: degrees.to_radians(),
        })
    }

    /// Creates an angle from radians.
    ///
    /// # Errors
    ///
    /// [`QuantityError::Angle`] if `radians` is NaN or too large.
    pub fn from_radians(radians: f64) -> Result<Self, QuantityError> {
        Self::from_degrees(radians.to_degrees())?;
        Ok(Self { radians })
    }

    /// An angle written in this crate as a constant.
    pub(crate) const fn of_whole_degrees(degrees: u16) -> Self {
        Self {
            radians: (degrees as f64).to_radians(),
        }
    }

    /// An angle that trigonometry on checked quantities has made.
    pub(crate) fn of_radians(radians: f64) -> Self {
        Self {
            radians: if radians.is_finite() { radians } else { 0.0 },
        }
    }

    /// Returns the angle in radians.
    #[must_use]
    pub const fn radians(self) -> f64 {
        self.radians
    }

    /// Returns the angle in degrees and decimals.
    #[must_use]
    pub fn degrees(self) -> f64 {
        self.radians.to_degrees()
    }
}

impl Add for Angle {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            radians: self.radians + other.radians,
        }
    }
}

impl Sub for Angle {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self {
            radians: self.radians - other.radians,
        }
    }
}

impl Neg for Angle {
    type Output = Self;

    fn neg(self) -> Self {
        Self {
            radians: -self.radians,
        }
    }
}
