//! Units of length by name, with the source of each factor.

use crate::length::{Length, METERS_PER_FOOT, QuantityError};

/// Meters in a U.S. survey foot, exactly 1200/3937.
///
/// Source: Federal Register, 85 FR 62698 (5 October 2020), NIST and NGS,
/// "Deprecation of the United States (U.S.) Survey Foot".
pub const METERS_PER_SURVEY_FOOT: f64 = 1200.0 / 3937.0;

/// Which foot a length is counted in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum FootKind {
    /// 0.3048 m exactly.
    #[default]
    International,
    /// 1200/3937 m exactly.
    UsSurvey,
}

/// A unit of length, named so that nothing is guessed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum LengthUnit {
    /// A foot.
    Foot(FootKind),
    /// A twelfth of an international foot.
    Inch,
    /// Three international feet.
    Yard,
    /// 1/0.3048 international feet.
    Meter,
    /// A hundredth of a meter.
    Centimeter,
    /// A thousandth of a meter.
    Millimeter,
    /// 66 feet.
    Chain(FootKind),
    /// A hundredth of a chain.
    Link(FootKind),
    /// 16-1/2 feet; a pole or a perch is the same.
    Rod(FootKind),
}

impl FootKind {
    /// Returns this foot in international feet.
    #[must_use]
    pub const fn international_feet(self) -> f64 {
        match self {
            Self::International => 1.0,
            Self::UsSurvey => METERS_PER_SURVEY_FOOT / METERS_PER_FOOT,
        }
    }
}

impl LengthUnit {
    /// Returns this unit in international feet.
    #[must_use]
    pub const fn feet(self) -> f64 {
        match self {
            Self::Foot(foot) => foot.international_feet(),
            Self::Inch => 1.0 / 12.0,
            Self::Yard => 3.0,
            Self::Meter => 1.0 / METERS_PER_FOOT,
            Self::Centimeter => 0.01 / METERS_PER_FOOT,
            Self::Millimeter => 0.001 / METERS_PER_FOOT,
            Self::Chain(foot) => 66.0 * foot.international_feet(),
            Self::Link(foot) => 0.66 * foot.international_feet(),
            Self::Rod(foot) => 16.5 * foot.international_feet(),
        }
    }

    /// Returns the length of `count` of this unit.
    ///
    /// # Errors
    ///
    /// [`QuantityError::Length`] as for [`Length::from_feet`].
    pub fn length(self, count: f64) -> Result<Length, QuantityError> {
        match self {
            Self::Inch => Length::from_inches(count),
            Self::Meter => Length::from_meters(count),
            unit => Length::from_feet(count * unit.feet()),
        }
    }
}
