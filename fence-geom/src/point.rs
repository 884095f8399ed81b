//! Points of the plane and the displacements between them.
//!
//! Coordinates are northing first, then easting, as surveyors write them. A
//! point is not a displacement: two points can't be added.

use std::ops::{Add, Mul, Neg, Sub};

use crate::bearing::Azimuth;
use crate::length::{Length, QuantityError};

/// A place in the plane, in feet north and east of the job's origin.
///
/// # Examples
///
/// ```
/// use fence_geom::{Azimuth, Length, Point};
///
/// let pin = Point::new(0.0, 0.0)?;
/// let corner = pin.toward(Azimuth::from_degrees(90.0)?, Length::from_feet(60.0)?);
/// assert!((corner.east() - 60.0).abs() < 1e-12);
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(
        try_from = "crate::serialized::NorthEast",
        into = "crate::serialized::NorthEast"
    )
)]
pub struct Point {
    north: f64,
    east: f64,
}

/// The way from one point to another, in feet north (the latitude) and east
/// (the departure).
///
/// Called so, and not an offset, because in this trade an offset is the
/// distance from a line.
///
/// # Examples
///
/// ```
/// use fence_geom::Point;
///
/// let way = Point::new(3.0, 4.0)? - Point::new(0.0, 0.0)?;
/// assert_eq!(way.length().feet(), 5.0);
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(
        try_from = "crate::serialized::NorthEast",
        into = "crate::serialized::NorthEast"
    )
)]
pub struct Displacement {
    north: f64,
    east: f64,
}

impl Point {
    /// The job's origin.
    pub const ORIGIN: Self = Self {
        north: 0.0,
        east: 0.0,
    };

    /// Creates a point from its northing and easting in feet.
    ///
    /// # Errors
    ///
    /// [`QuantityError::Coordinate`] if a coordinate is NaN or beyond
    /// [`Length::MAX_FEET`] either way.
    pub fn new(north_ft: f64, east_ft: f64) -> Result<Self, QuantityError> {
        for feet in [north_ft, east_ft] {
            if !(-Length::MAX_FEET..=Length::MAX_FEET).contains(&feet) {
                return Err(QuantityError::Coordinate { feet });
            }
        }
        Ok(Self {
            north: north_ft,
            east: east_ft,
        })
    }

    /// Returns the northing in feet.
    #[must_use]
    pub const fn north(self) -> f64 {
        self.north
    }

    /// Returns the easting in feet.
    #[must_use]
    pub const fn east(self) -> f64 {
        self.east
    }

    /// Returns the distance to `other`.
    #[must_use]
    pub fn distance(self, other: Self) -> Length {
        (other - self).length()
    }

    /// Returns the point reached by going `distance` in the given direction.
    #[must_use]
    pub fn toward(self, direction: Azimuth, distance: Length) -> Self {
        self + Displacement::polar(direction, distance)
    }
}

impl Displacement {
    /// Creates a displacement from its latitude (north) and departure (east),
    /// in feet.
    ///
    /// # Errors
    ///
    /// [`QuantityError::Coordinate`] as for [`Point::new`].
    pub fn new(north_ft: f64, east_ft: f64) -> Result<Self, QuantityError> {
        let Point { north, east } = Point::new(north_ft, east_ft)?;
        Ok(Self { north, east })
    }

    /// A displacement that arithmetic on checked points has made.
    pub(crate) const fn of_feet(north: f64, east: f64) -> Self {
        Self { north, east }
    }

    /// Returns the displacement of a course: a direction and a distance.
    #[must_use]
    pub fn polar(direction: Azimuth, distance: Length) -> Self {
        let (sin, cos) = direction.radians().sin_cos();
        Self {
            north: distance.feet() * cos,
            east: distance.feet() * sin,
        }
    }

    /// Returns the part to the north, in feet: the latitude of a course.
    #[must_use]
    pub const fn north(self) -> f64 {
        self.north
    }

    /// Returns the part to the east, in feet: the departure of a course.
    #[must_use]
    pub const fn east(self) -> f64 {
        self.east
    }

    /// Returns the length.
    #[must_use]
    pub fn length(self) -> Length {
        Length::saturating(self.north.hypot(self.east))
    }

    /// Returns the direction; due north for no displacement at all.
    #[must_use]
    pub fn azimuth(self) -> Azimuth {
        Azimuth::of_radians(self.east.atan2(self.north))
    }

    /// Returns this displacement turned a quarter turn clockwise, to the right.
    #[must_use]
    pub const fn turned_right(self) -> Self {
        Self {
            north: -self.east,
            east: self.north,
        }
    }

    /// Returns the scalar product with `other`, in square feet.
    #[must_use]
    pub fn dot(self, other: Self) -> f64 {
        self.north * other.north + self.east * other.east
    }

    /// Returns the area of the parallelogram that `self` and `other` span, in
    /// square feet: positive where `other` lies clockwise (to the right).
    #[must_use]
    pub fn cross(self, other: Self) -> f64 {
        self.north * other.east - self.east * other.north
    }

    /// Returns the displacement of length one foot in the same direction;
    /// `None` where there is no direction.
    #[must_use]
    pub fn unit(self) -> Option<Self> {
        let length = self.north.hypot(self.east);
        (length > 0.0).then(|| self * (1.0 / length))
    }
}

impl Sub for Point {
    type Output = Displacement;

    fn sub(self, from: Self) -> Displacement {
        Displacement {
            north: self.north - from.north,
            east: self.east - from.east,
        }
    }
}

impl Add<Displacement> for Point {
    type Output = Self;

    fn add(self, way: Displacement) -> Self {
        Self {
            north: self.north + way.north,
            east: self.east + way.east,
        }
    }
}

impl Sub<Displacement> for Point {
    type Output = Self;

    fn sub(self, way: Displacement) -> Self {
        self + -way
    }
}

impl Add for Displacement {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            north: self.north + other.north,
            east: self.east + other.east,
        }
    }
}

impl Sub for Displacement {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Neg for Displacement {
    type Output = Self;

    fn neg(self) -> Self {
        Self {
            north: -self.north,
            east: -self.east,
        }
    }
}

impl Mul<f64> for Displacement {
    type Output = Self;

    fn mul(self, factor: f64) -> Self {
        Self {
            north: self.north * factor,
            east: self.east * factor,
        }
    }
}
