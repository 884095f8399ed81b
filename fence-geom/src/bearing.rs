//! Directions on the ground: azimuths and quadrant bearings.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use crate::angle::Angle;
use crate::length::QuantityError;

/// A direction, clockwise from north, from 0° up to but not including 360°.
///
/// # Examples
///
/// ```
/// use fence_geom::Azimuth;
///
/// let west = Azimuth::from_degrees(-90.0)?;
/// assert_eq!(west.degrees(), 270.0);
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
pub struct Azimuth {
    /// Invariant: within `0.0..TAU`.
    radians: f64,
}

/// A quadrant bearing: from north or south, an angle of 0° to 90° toward east
/// or west.
///
/// `N 0° E` and `N 0° W` are different texts for one direction; a bearing keeps
/// the letters it was written with.
///
/// # Examples
///
/// ```
/// use fence_geom::{Angle, Bearing, EastWest, NorthSouth};
///
/// let call = Bearing::new(NorthSouth::South, Angle::from_degrees(30.0)?, EastWest::East)?;
/// assert!((call.azimuth().degrees() - 150.0).abs() < 1e-12);
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(
        try_from = "crate::serialized::Quadrant",
        into = "crate::serialized::Quadrant"
    )
)]
pub struct Bearing {
    from: NorthSouth,
    /// Invariant: 0 to 90 degrees.
    angle: Angle,
    toward: EastWest,
}

/// The pole that a quadrant bearing is measured from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum NorthSouth {
    /// From north.
    North,
    /// From south.
    South,
}

/// The hand that a quadrant bearing turns to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum EastWest {
    /// Toward east.
    East,
    /// Toward west.
    West,
}

impl Azimuth {
    /// Due north.
    pub const NORTH: Self = Self { radians: 0.0 };

    /// Creates an azimuth from degrees clockwise from north, any whole turns
    /// taken off.
    ///
    /// # Errors
    ///
    /// [`QuantityError::Angle`] if `degrees` is not a usable number.
    pub fn from_degrees(degrees: f64) -> Result<Self, QuantityError> {
        Angle::from_degrees(degrees)?;
        // The remainder of a division is exact, so wrapping costs no digit.
        Ok(Self::of_radians(degrees.rem_euclid(360.0).to_radians()))
    }

    /// Creates an azimuth from radians clockwise from north, any whole turns
    /// taken off.
    ///
    /// # Errors
    ///
    /// [`QuantityError::Angle`] if `radians` is not a usable number.
    pub fn from_radians(radians: f64) -> Result<Self, QuantityError> {
        Angle::from_radians(radians)?;
        Ok(Self::of_radians(radians))
    }

    /// An azimuth from radians clockwise from north, wrapped to one turn.
    pub(crate) fn of_radians(radians: f64) -> Self {
        let wrapped = radians.rem_euclid(TAU);
        // A tiny negative angle wraps to TAU itself.
        Self {
            radians: if wrapped < TAU { wrapped } else { 0.0 },
        }
    }

    /// Returns the azimuth in radians, 0 up to but not including 2 pi.
    #[must_use]
    pub const fn radians(self) -> f64 {
        self.radians
    }

    /// Returns the azimuth in degrees, 0 up to but not including 360.
    #[must_use]
    pub fn degrees(self) -> f64 {
        self.radians.to_degrees()
    }

    /// Returns the opposite direction.
    #[must_use]
    pub fn reversed(self) -> Self {
        Self::of_radians(self.radians + PI)
    }

    /// Returns the direction turned clockwise by `angle`, which may be negative.
    #[must_use]
    pub fn turned(self, angle: Angle) -> Self {
        Self::of_radians(self.radians + angle.radians())
    }

    /// Returns the clockwise angle from this direction to `other`, 0° up to but
    /// not including 360°.
    #[must_use]
    pub fn clockwise_to(self, other: Self) -> Angle {
        Angle::of_radians(Self::of_radians(other.radians - self.radians).radians)
    }

    /// Returns this direction as a quadrant bearing.
    ///
    /// Due north is N 0° E, due east N 90° E, due south S 0° E and due west
    /// N 90° W.
    #[must_use]
    pub fn bearing(self) -> Bearing {
        let a = self.radians;
        let (from, angle, toward) = if a <= FRAC_PI_2 {
            (NorthSouth::North, a, EastWest::East)
        } else if a <= PI {
            (NorthSouth::South, PI - a, EastWest::East)
        } else if a < PI + FRAC_PI_2 {
            (NorthSouth::South, a - PI, EastWest::West)
        } else {
            (NorthSouth::North, TAU - a, EastWest::West)
        };
        Bearing {
            from,
            angle: Angle::of_radians(angle),
            toward,
        }
    }
}

impl Bearing {
    /// Creates a bearing from its letters and its angle.
    ///
    /// # Errors
    ///
    /// [`QuantityError::Bearing`] if the angle is not from 0° to 90°: a bearing
    /// past 90° is a misread one and is refused, never turned into another.
    pub fn new(from: NorthSouth, angle: Angle, toward: EastWest) -> Result<Self, QuantityError> {
        if !(0.0..=FRAC_PI_2).contains(&angle.radians()) {
            return Err(QuantityError::Bearing {
                degrees: angle.degrees(),
            });
        }
        Ok(Self {
            from,
            angle,
            toward,
        })
    }

    /// A bearing whose angle is known to be from 0° to 90°.
    pub(crate) const fn of_quadrant(from: NorthSouth, angle: Angle, toward: EastWest) -> Self {
        Self {
            from,
            angle,
            toward,
        }
    }

    /// Returns the pole the bearing is measured from.
    #[must_use]
    pub const fn from(self) -> NorthSouth {
        self.from
    }

    /// Returns the angle off that pole, 0° to 90°.
    #[must_use]
    pub const fn angle(self) -> Angle {
        self.angle
    }

    /// Returns the hand the bearing turns to.
    #[must_use]
    pub const fn toward(self) -> EastWest {
        self.toward
    }

    /// Returns the same direction as an azimuth.
    #[must_use]
    pub fn azimuth(self) -> Azimuth {
        let a = self.angle.radians();
        Azimuth::of_radians(match (self.from, self.toward) {
            (NorthSouth::North, EastWest::East) => a,
            (NorthSouth::South, EastWest::East) => PI - a,
            (NorthSouth::South, EastWest::West) => PI + a,
            (NorthSouth::North, EastWest::West) => TAU - a,
        })
    }
}
