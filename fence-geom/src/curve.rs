//! Circular curves as deeds give them: some of radius, central angle, arc, chord,
//! tangent and degree, and how the curve lies to the calls around it.

use crate::angle::Angle;
use crate::angle_text::Direction;
use crate::bearing::Azimuth;
use crate::length::Length;
use crate::ring::Turn;

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
