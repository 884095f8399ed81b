//! Units of length by name, with the source of each factor.

use crate::length::{Length, METERS_PER_FOOT, QuantityError};

/// Meters in a U.S. survey foot, exactly 1200/3937.
///
/// Source: Federal Register, 85 FR 62698 (5 October 2020), NIST and NGS,
/// "Deprecation of the United States (U.S.) Survey Foot".
pub const METERS_PER_SURVEY_FOOT: f64 = 1200.0 / 3937.0;

/// Which foot a length is counted in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
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
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
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
    /// 5280 feet.
    Mile(FootKind),
    /// The unit of Spanish and Mexican grants.
    Vara(Vara),
}

/// A vara by the place whose standard it goes by: the word alone leaves open
/// which of several lengths within 2 % is meant.
///
/// Source: Society of Petroleum Engineers, `PetroWiki`, "Conversion factors for
/// the vara", after *The Texas Vara*, General Land Office, State
/// of Texas, 1940: Texas 33-1/3 in since 17 June 1919, California 33.3720 in, San
/// Francisco 33.0 in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[non_exhaustive]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Vara {
    /// 33-1/3 inches: 36 varas are 100 feet.
    #[default]
    Texas,
    /// 33.372 inches, in California except San Francisco.
    California,
    /// 33 inches.
    SanFrancisco,
}

impl FootKind {
    /// Returns this foot in international feet.
    #[must_use]
    pub const fn international_feet(self) -> f64 {
        match self {
            Self::International => 1.0,
            // (1200/3937) / 0.3048 in lowest terms.
            Self::UsSurvey => 500_000.0 / 499_999.0,
        }
    }
}

impl LengthUnit {
    /// Returns this unit in international feet.
    #[must_use]
    pub const fn feet(self) -> f64 {
        self.in_feet(1.0)
    }

    /// Returns the length of `count` of this unit.
    ///
    /// # Errors
    ///
    /// [`QuantityError::Length`] as for [`Length::from_feet`].
    pub fn length(self, count: f64) -> Result<Length, QuantityError> {
        Length::from_feet(self.in_feet(count))
    }

    /// `count` of this unit in international feet, with as few roundings as the
    /// factor allows.
    pub(crate) const fn in_feet(self, count: f64) -> f64 {
        let (numerator, denominator) = self.ratio();
        if self.is_metric() {
            return count * numerator / denominator / METERS_PER_FOOT;
        }
        let own_feet = count * numerator / denominator;
        match self.foot_kind() {
            Some(FootKind::UsSurvey) => own_feet * 500_000.0 / 499_999.0,
            _ => own_feet,
        }
    }

    /// How many of `smaller` are in this unit, both by the same foot or both
    /// metric.
    pub(crate) const fn nominal_ratio(self, smaller: Self) -> f64 {
        let (n, d) = self.ratio();
        let (smaller_n, smaller_d) = smaller.ratio();
        (n * smaller_d) / (d * smaller_n)
    }

    /// This unit in feet of its own kind or in meters: numerator and
    /// denominator.
    ///
    /// Source: NIST Handbook 44, Appendix C, "Units of length": 12 inches in a
    /// foot, 3 feet in a yard, 66 feet and 100 links in a chain, 16-1/2 feet in
    /// a rod.
    const fn ratio(self) -> (f64, f64) {
        match self {
            Self::Foot(_) | Self::Meter => (1.0, 1.0),
            Self::Inch => (1.0, 12.0),
            Self::Yard => (3.0, 1.0),
            Self::Centimeter => (1.0, 100.0),
            Self::Millimeter => (1.0, 1000.0),
            Self::Chain(_) => (66.0, 1.0),
            Self::Link(_) => (66.0, 100.0),
            Self::Rod(_) => (33.0, 2.0),
            Self::Mile(_) => (5280.0, 1.0),
            Self::Vara(Vara::Texas) => (100.0, 36.0),
            Self::Vara(Vara::California) => (33.372, 12.0),
            Self::Vara(Vara::SanFrancisco) => (33.0, 12.0),
        }
    }

    pub(crate) const fn is_metric(self) -> bool {
        matches!(self, Self::Meter | Self::Centimeter | Self::Millimeter)
    }

    /// The foot this unit is made of, where its name leaves that open.
    pub(crate) const fn foot_kind(self) -> Option<FootKind> {
        match self {
            Self::Foot(kind)
            | Self::Chain(kind)
            | Self::Link(kind)
            | Self::Rod(kind)
            | Self::Mile(kind) => Some(kind),
            _ => None,
        }
    }

    /// The feet of the given kind that `count` of this unit are; inches and yards beside
    /// survey feet are parts and multiples of those.
    pub(crate) const fn in_feet_of(self, count: f64, kind: Option<FootKind>) -> f64 {
        match (self, kind) {
            (Self::Inch | Self::Yard, Some(kind)) => {
                let (numerator, denominator) = self.ratio();
                LengthUnit::Foot(kind).in_feet(count * numerator / denominator)
            }
            _ => self.in_feet(count),
        }
    }

    /// The unit's name for more than one, saying which foot where that matters.
    pub(crate) const fn plural(self) -> &'static str {
        match self {
            Self::Foot(FootKind::International) => "feet",
            Self::Foot(FootKind::UsSurvey) => "U.S. survey feet",
            Self::Inch => "inches",
            Self::Yard => "yards",
            Self::Meter => "meters",
            Self::Centimeter => "centimeters",
            Self::Millimeter => "millimeters",
            Self::Chain(FootKind::International) => "chains of 66 international feet",
            Self::Chain(FootKind::UsSurvey) => "chains of 66 U.S. survey feet",
            Self::Link(FootKind::International) => "links of 0.66 international feet",
            Self::Link(FootKind::UsSurvey) => "links of 0.66 U.S. survey feet",
            Self::Rod(FootKind::International) => "rods of 16-1/2 international feet",
            Self::Rod(FootKind::UsSurvey) => "rods of 16-1/2 U.S. survey feet",
            Self::Mile(FootKind::International) => "miles of 5280 international feet",
            Self::Mile(FootKind::UsSurvey) => "miles of 5280 U.S. survey feet",
            Self::Vara(Vara::Texas) => "Texas varas of 33-1/3 inches",
            Self::Vara(Vara::California) => "California varas of 33.372 inches",
            Self::Vara(Vara::SanFrancisco) => "San Francisco varas of 33 inches",
        }
    }
}
