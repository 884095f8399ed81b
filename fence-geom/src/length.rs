//! Lengths, signed shifts and areas: the quantities of the plane.
//!
//! The unit inside is the international foot, because tapes, deeds and crew
//! sheets are read in feet; `Length::from_feet(x)?.feet()` is `x`.

use std::ops::{Add, Neg, Sub};

/// Inches in a foot.
pub(crate) const INCHES_PER_FOOT: f64 = 12.0;

/// Meters in an international foot, exactly.
///
/// Source: Federal Register, 85 FR 62698 (5 October 2020), NIST and NGS,
/// "Deprecation of the United States (U.S.) Survey Foot".
pub const METERS_PER_FOOT: f64 = 0.3048;

/// Square feet in an acre of international feet.
///
/// Source: NIST Handbook 44, Appendix C, "Units of area" (1 acre = 43,560
/// square feet).
pub const SQUARE_FEET_PER_ACRE: f64 = 43_560.0;

/// A taped or computed distance, zero or more.
///
/// - Unit inside: the international foot.
/// - Range: `0.0..=1e12`; with that bound no product of four lengths overflows.
/// - Not here: the U.S. survey foot. It is converted by name where a deed is
///   read, see [`FootKind`](crate::FootKind).
///
/// # Examples
///
/// ```
/// use fence_geom::Length;
///
/// let rail = Length::from_meters(2.4384)?;
/// assert_eq!(format!("{rail:.2}"), "8.00 ft");
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "crate::serialized::Feet", into = "crate::serialized::Feet")
)]
pub struct Length {
    /// Invariant: within `0.0..=Length::MAX_FEET`, never NaN.
    feet: f64,
}

/// A signed distance: zero, forward or back.
///
/// - Unit inside: the international foot.
/// - Range: `-1e12..=1e12`.
///
/// # Examples
///
/// ```
/// use fence_geom::{Length, Shift};
///
/// let short = Length::from_feet(99.75)?.minus(Length::from_feet(100.0)?);
/// assert_eq!(short, Shift::from_inches(-3.0)?);
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "crate::serialized::Feet", into = "crate::serialized::Feet")
)]
pub struct Shift {
    /// Invariant: within `-Length::MAX_FEET..=Length::MAX_FEET`, never NaN.
    feet: f64,
}

/// An area, zero or more.
///
/// - Unit inside: the square international foot.
///
/// # Examples
///
/// ```
/// use fence_geom::Area;
///
/// let lot = Area::from_square_feet(10_890.0)?;
/// assert_eq!(lot.acres(), 0.25);
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(
        try_from = "crate::serialized::SquareFeet",
        into = "crate::serialized::SquareFeet"
    )
)]
pub struct Area {
    /// Invariant: within `0.0..=Area::MAX_SQUARE_FEET`, never NaN.
    square_feet: f64,
}

/// A number that is not the quantity it was given for.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum QuantityError {
    /// Not a [`Length`].
    #[error("a length must be from 0 to {max:e} ft, got {got} ft", got = shown(*.feet), max = Length::MAX_FEET)]
    Length {
        /// The number, in feet.
        feet: f64,
    },
    /// Not a [`Shift`].
    #[error("a shift must be within {max:e} ft either way, got {got} ft", got = shown(*.feet), max = Length::MAX_FEET)]
    Shift {
        /// The number, in feet.
        feet: f64,
    },
    /// Not an [`Area`].
    #[error("an area must be from 0 to {max:e} sq ft, got {got} sq ft", got = shown(*.square_feet), max = Area::MAX_SQUARE_FEET)]
    Area {
        /// The number, in square feet.
        square_feet: f64,
    },
    /// Not an [`Angle`](crate::Angle).
    #[error("an angle must be a number within {max:e} degrees either way, got {got} degrees", got = shown(*.degrees), max = crate::Angle::MAX_DEGREES)]
    Angle {
        /// The number, in degrees.
        degrees: f64,
    },
    /// Not a quadrant [`Bearing`](crate::Bearing).
    #[error("the angle of a bearing must be from 0 to 90 degrees, got {got} degrees", got = shown(*.degrees))]
    Bearing {
        /// The number, in degrees.
        degrees: f64,
    },
    /// Not the coordinate of a [`Point`](crate::Point).
    #[error("a coordinate must be within {max:e} ft either way, got {got} ft", got = shown(*.feet), max = Length::MAX_FEET)]
    Coordinate {
        /// The number, in feet.
        feet: f64,
    },
}

/// A number as it is, or with a power of ten where that would take a line.
fn shown(number: f64) -> String {
    if number.abs() < 1e15 {
        number.to_string()
    } else {
        format!("{number:e}")
    }
}

impl Length {
    /// The longest length, in feet.
    pub const MAX_FEET: f64 = 1e12;

    /// No length at all.
    pub const ZERO: Self = Self { feet: 0.0 };

    /// Creates a length from international feet.
    ///
    /// # Errors
    ///
    /// [`QuantityError::Length`] if `feet` is NaN, negative or above
    /// [`Length::MAX_FEET`].
    pub fn from_feet(feet: f64) -> Result<Self, QuantityError> {
        if !(0.0..=Self::MAX_FEET).contains(&feet) {
            return Err(QuantityError::Length { feet });
        }
        // Adding zero turns a negative zero into a plain one, for printing.
        Ok(Self { feet: feet + 0.0 })
    }

    /// Creates a length from inches.
    ///
    /// # Errors
    ///
    /// As [`Length::from_feet`].
    pub fn from_inches(inches: f64) -> Result<Self, QuantityError> {
        Self::from_feet(inches / INCHES_PER_FOOT)
    }

    /// Creates a length from meters.
    ///
    /// # Errors
    ///
    /// As [`Length::from_feet`].
    pub fn from_meters(meters: f64) -> Result<Self, QuantityError> {
        Self::from_feet(meters / METERS_PER_FOOT)
    }

    /// A length written in this crate as a constant.
    pub(crate) const fn of_feet(feet: f64) -> Self {
        Self { feet }
    }

    /// A length written in this crate as a constant.
    pub(crate) const fn of_inches(inches: f64) -> Self {
        Self {
            feet: inches / INCHES_PER_FOOT,
        }
    }

    /// A length that arithmetic on checked lengths has made; out of range only
    /// by rounding or overflow, which it saturates.
    pub(crate) fn saturating(feet: f64) -> Self {
        Self {
            feet: if feet.is_nan() {
                0.0
            } else {
                feet.clamp(0.0, Self::MAX_FEET)
            },
        }
    }

    /// Returns the length in international feet.
    #[must_use]
    pub const fn feet(self) -> f64 {
        self.feet
    }

    /// Returns the length in inches.
    #[must_use]
    pub fn inches(self) -> f64 {
        self.feet * INCHES_PER_FOOT
    }

    /// Returns the length in meters.
    #[must_use]
    pub fn meters(self) -> f64 {
        self.feet * METERS_PER_FOOT
    }

    /// Returns this length less `other`, which may be negative.
    #[must_use]
    pub fn minus(self, other: Self) -> Shift {
        Shift {
            feet: self.feet - other.feet,
        }
    }

    /// Returns this length as a forward shift.
    #[must_use]
    pub const fn forward(self) -> Shift {
        Shift { feet: self.feet }
    }
}

impl Add for Length {
    type Output = Self;

    /// Adds two lengths; a sum above [`Length::MAX_FEET`] stays there.
    fn add(self, other: Self) -> Self {
        Self::saturating(self.feet + other.feet)
    }
}

impl std::iter::Sum for Length {
    fn sum<I: Iterator<Item = Self>>(lengths: I) -> Self {
        lengths.fold(Self::ZERO, Add::add)
    }
}

impl Shift {
    /// No shift at all.
    pub const ZERO: Self = Self { feet: 0.0 };

    /// Creates a shift from international feet.
    ///
    /// # Errors
    ///
    /// [`QuantityError::Shift`] if `feet` is NaN or beyond
    /// [`Length::MAX_FEET`] either way.
    pub fn from_feet(feet: f64) -> Result<Self, QuantityError> {
        if !(-Length::MAX_FEET..=Length::MAX_FEET).contains(&feet) {
            return Err(QuantityError::Shift { feet });
        }
        Ok(Self { feet: feet + 0.0 })
    }

    /// Creates a shift from inches.
    ///
    /// # Errors
    ///
    /// As [`Shift::from_feet`].
    pub fn from_inches(inches: f64) -> Result<Self, QuantityError> {
        Self::from_feet(inches / INCHES_PER_FOOT)
    }

    /// A shift that arithmetic on checked quantities has made.
    pub(crate) fn saturating(feet: f64) -> Self {
        Self {
            feet: if feet.is_nan() {
                0.0
            } else {
                feet.clamp(-Length::MAX_FEET, Length::MAX_FEET)
            },
        }
    }

    /// Returns the shift in international feet.
    #[must_use]
    pub const fn feet(self) -> f64 {
        self.feet
    }

    /// Returns the shift in inches.
    #[must_use]
    pub fn inches(self) -> f64 {
        self.feet * INCHES_PER_FOOT
    }

    /// Returns how far the shift goes, whichever way.
    #[must_use]
    pub const fn magnitude(self) -> Length {
        Length {
            feet: self.feet.abs(),
        }
    }
}

impl Add for Shift {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self::saturating(self.feet + other.feet)
    }
}

impl Sub for Shift {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self::saturating(self.feet - other.feet)
    }
}

impl Neg for Shift {
    type Output = Self;

    fn neg(self) -> Self {
        Self {
            feet: 0.0 - self.feet,
        }
    }
}

impl Area {
    /// The largest area, in square feet: the square of [`Length::MAX_FEET`].
    pub const MAX_SQUARE_FEET: f64 = 1e24;

    /// Creates an area from square international feet.
    ///
    /// # Errors
    ///
    /// [`QuantityError::Area`] if `square_feet` is NaN, negative or above
    /// [`Area::MAX_SQUARE_FEET`].
    pub fn from_square_feet(square_feet: f64) -> Result<Self, QuantityError> {
        if !(0.0..=Self::MAX_SQUARE_FEET).contains(&square_feet) {
            return Err(QuantityError::Area { square_feet });
        }
        Ok(Self {
            square_feet: square_feet + 0.0,
        })
    }

    /// An area that arithmetic on checked quantities has made.
    pub(crate) fn saturating(square_feet: f64) -> Self {
        Self {
            square_feet: if square_feet.is_nan() {
                0.0
            } else {
                square_feet.clamp(0.0, Self::MAX_SQUARE_FEET)
            },
        }
    }

    /// Returns the area in square international feet.
    #[must_use]
    pub const fn square_feet(self) -> f64 {
        self.square_feet
    }

    /// Returns the area in hectares of 10,000 square meters.
    #[must_use]
    pub const fn hectares(self) -> f64 {
        self.square_feet * METERS_PER_FOOT * METERS_PER_FOOT / 10_000.0
    }

    /// Returns the area in acres of 43,560 square international feet.
    #[must_use]
    pub fn acres(self) -> f64 {
        self.square_feet / SQUARE_FEET_PER_ACRE
    }
}

/// Writes the number with the caller's precision, then the unit.
macro_rules! display_with_unit {
    ($type:ty, $field:ident, $unit:literal) => {
        impl std::fmt::Display for $type {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                std::fmt::Display::fmt(&self.$field, f)?;
                f.write_str(concat!(" ", $unit))
            }
        }
    };
}

display_with_unit!(Length, feet, "ft");
display_with_unit!(Shift, feet, "ft");
display_with_unit!(Area, square_feet, "sq ft");
