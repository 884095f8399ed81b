//! Circular curves as deeds give them: some of radius, central angle, arc, chord,
//! tangent and degree, and how the curve lies to the calls around it.
//!
//! Source of the formulas, with their symbols: U.S. Army, "Construction
//! Surveying", FM 5-233 (1985; reissued 2012 as TM 3-34.55), chapter 3, simple
//! curves: radius R, intersecting angle I (here delta), tangent distance
//! T = R tan(I/2), long chord LC = 2 R sin(I/2), middle ordinate
//! M = R (1 - cos(I/2)); formulas from memory, the edition not at hand.

use crate::angle::Angle;
use crate::angle_text::Direction;
use crate::bearing::Azimuth;
use crate::length::{Area, Length};
use crate::point::Displacement;
use crate::ring::{Turn, segment_area};
use crate::units::FootKind;

mod missing;
mod plan;
mod resolve;
mod size;

pub(crate) use missing::{MissingChord, missing_chord};
pub use resolve::{CurveAssumption, CurveError, ResolvedCurve, Surplus, resolve_curve};
pub(crate) use size::SIZED;

/// The elements of a curve that the paper gives; what it does not give is `None`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CurveElements {
    /// The hand to which the curve turns.
    pub turn: Option<Turn>,
    /// The side toward which the curve is hollow, such as "concave northwesterly".
    pub concave: Option<Azimuth>,
    /// The radius.
    pub radius: Option<Length>,
    /// The angle at the center.
    pub delta: Option<Angle>,
    /// The length along the curve.
    pub arc: Option<Length>,
    /// The straight distance from end to end.
    pub chord: Option<Length>,
    /// The direction from end to end.
    pub chord_direction: Option<Direction>,
    /// The distance from either end to where the tangents meet.
    pub tangent: Option<Length>,
    /// The sharpness, as an angle.
    pub degree: Option<Degree>,
    /// The direction of a radial line at the start.
    pub radial: Option<Radial>,
    /// How the curve leaves the call before.
    pub leaves: Leaves,
}

/// The degree of a curve: the central angle of 100 ft of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Degree {
    /// The angle.
    pub angle: Angle,
    /// What the 100 ft are measured along.
    pub of: DegreeOf,
    /// The foot that the 100 are counted in.
    pub foot: FootKind,
}

/// What the 100 ft of a [`Degree`] are measured along.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum DegreeOf {
    /// The arc, as highways do.
    Arc,
    /// The chord, as railroads did.
    Chord,
}

/// A radial line at the start of a curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Radial {
    /// The direction from the start of the curve to its center.
    ToCenter(Direction),
    /// The direction from the center to the start of the curve.
    FromCenter(Direction),
}

/// How a curve leaves the call before.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Leaves {
    /// The paper does not say: elements of its own decide if they can, else it
    /// is taken as tangent, and that is an assumption.
    #[default]
    Unsaid,
    /// Along the tangent of the call before.
    Tangent,
    /// At an angle to the call before.
    NotTangent,
    /// Back along the tangent of the call before, as at a cusp.
    Cusp,
}

/// An element of a curve, named for a note or an error.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum CurveElement {
    /// The hand.
    Turn,
    /// The hollow side.
    Concave,
    /// The radius.
    Radius,
    /// The angle at the center.
    Delta,
    /// The length along the curve.
    Arc,
    /// The length of the long chord.
    Chord,
    /// The direction of the long chord.
    ChordDirection,
    /// The tangent distance.
    Tangent,
    /// The degree of curve.
    Degree,
    /// The radial line at the start.
    Radial,
    /// The direction in which the call before ends.
    CallBefore,
}

/// A circular curve in its place, walked from its start.
///
/// # Examples
///
/// ```
/// use fence_geom::{Angle, Azimuth, Curve, Length, Turn};
///
/// let curve = Curve::new(
///     Azimuth::NORTH,
///     Length::from_feet(50.0)?,
///     Angle::from_degrees(90.0)?,
///     Turn::Right,
/// )?;
/// assert!((curve.way().north() - 50.0).abs() < 1e-12);
/// assert!((curve.way().east() - 50.0).abs() < 1e-12);
/// assert!((curve.end_tangent().degrees() - 90.0).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Curve {
    start_tangent: Azimuth,
    /// Invariant: more than zero.
    radius: Length,
    /// Invariant: more than zero, less than a whole turn.
    delta: Angle,
    turn: Turn,
}

impl Curve {
    /// Creates a curve from the direction in which it starts, its radius, its
    /// central angle and its hand.
    ///
    /// # Errors
    ///
    /// [`CurveError::NoRadius`] for a radius of zero, [`CurveError::WholeTurn`]
    /// for a central angle that is not more than 0° and less than 360°.
    pub fn new(
        start_tangent: Azimuth,
        radius: Length,
        delta: Angle,
        turn: Turn,
    ) -> Result<Self, CurveError> {
        if radius == Length::ZERO {
            return Err(CurveError::NoRadius);
        }
        size::checked_delta(delta.radians())?;
        Ok(Self {
            start_tangent,
            radius,
            delta,
            turn,
        })
    }

    /// Returns the direction in which the curve starts.
    #[must_use]
    pub const fn start_tangent(self) -> Azimuth {
        self.start_tangent
    }

    /// Returns the direction in which the curve ends.
    #[must_use]
    pub fn end_tangent(self) -> Azimuth {
        self.start_tangent.turned(self.turn.signed(self.delta))
    }

    /// Returns the radius.
    #[must_use]
    pub const fn radius(self) -> Length {
        self.radius
    }

    /// Returns the angle at the center.
    #[must_use]
    pub const fn delta(self) -> Angle {
        self.delta
    }

    /// Returns the hand.
    #[must_use]
    pub const fn turn(self) -> Turn {
        self.turn
    }

    /// Returns the length along the curve.
    #[must_use]
    pub fn arc(self) -> Length {
        Length::saturating(self.radius.feet() * self.delta.radians())
    }

    /// Returns the length of the long chord.
    #[must_use]
    pub fn chord(self) -> Length {
        Length::saturating(2.0 * self.radius.feet() * self.half().sin())
    }

    /// Returns the direction of the long chord.
    #[must_use]
    pub fn chord_direction(self) -> Azimuth {
        let half = Angle::of_radians(self.half());
        self.start_tangent.turned(self.turn.signed(half))
    }

    /// Returns the way from its start to its end.
    #[must_use]
    pub fn way(self) -> Displacement {
        Displacement::polar(self.chord_direction(), self.chord())
    }

    /// Returns the way from its start to its center.
    #[must_use]
    pub fn to_center(self) -> Displacement {
        let inward = self.start_tangent.turned(self.turn.signed(Angle::RIGHT));
        Displacement::polar(inward, self.radius)
    }

    /// Returns the distance from either end to where the tangents meet; `None`
    /// from half a circle on, whose tangents do not meet ahead.
    #[must_use]
    pub fn tangent(self) -> Option<Length> {
        (self.delta < Angle::STRAIGHT)
            .then(|| Length::saturating(self.radius.feet() * self.half().tan()))
    }

    /// Returns how far the curve stands off the middle of its chord.
    #[must_use]
    pub fn middle_ordinate(self) -> Length {
        // 1 - cos(x) loses its digits for a flat curve; 2 sin^2(x/2) does not.
        let quarter = (self.half() / 2.0).sin();
        Length::saturating(2.0 * self.radius.feet() * quarter * quarter)
    }

    /// Returns the area between the curve and its chord.
    #[must_use]
    pub fn segment(self) -> Area {
        Area::saturating(segment_area(self.chord().feet(), self.delta.radians()))
    }

    /// Returns the degree of the curve; `None` by the chord where the radius is
    /// less than 50 ft, so that there is no chord of 100 ft.
    #[must_use]
    pub fn degree(self, of: DegreeOf, foot: FootKind) -> Option<Angle> {
        let half_station = 50.0 * foot.international_feet();
        let share = half_station / self.radius.feet();
        let radians = match of {
            DegreeOf::Arc => 2.0 * share,
            DegreeOf::Chord if share <= 1.0 => 2.0 * share.asin(),
            DegreeOf::Chord => return None,
        };
        Some(Angle::of_radians(radians))
    }

    fn half(self) -> f64 {
        self.delta.radians() / 2.0
    }
}

impl std::fmt::Display for CurveElement {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Turn => "hand",
            Self::Concave => "hollow side",
            Self::Radius => "radius",
            Self::Delta => "central angle",
            Self::Arc => "arc length",
            Self::Chord => "chord length",
            Self::ChordDirection => "chord bearing",
            Self::Tangent => "tangent length",
            Self::Degree => "degree of curve",
            Self::Radial => "radial bearing",
            Self::CallBefore => "tangent of the call before",
        })
    }
}
