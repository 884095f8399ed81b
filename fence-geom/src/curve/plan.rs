//! One way of laying a curve from some of its elements.

use super::resolve::CurveError;
use super::size::{self, PAIRS, SIZED, Size};
use super::{Curve, CurveElement, CurveElements, Leaves, Radial};
use crate::angle::Angle;
use crate::bearing::Azimuth;
use crate::length::Length;
use crate::ring::Turn;

/// Which elements lay the curve; the others only check it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Plan {
    pub(super) turn: Turn,
    pub(super) size: SizePlan,
    pub(super) heading: Heading,
}

/// Where radius and central angle come from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum SizePlan {
    /// Two sized elements; of two arcs on one chord, the larger or the smaller.
    Pair((CurveElement, CurveElement), bool),
    /// One sized element, and the angle from the start's tangent to the chord.
    Alone(CurveElement, Start),
}

/// Where the direction of the curve comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Heading {
    Chord,
    Start(Start),
}

/// What gives the tangent at the start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Start {
    Radial,
    CallBefore,
}

/// What a curve is laid from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Given<'a> {
    pub(super) elements: &'a CurveElements,
    /// The direction in which the call before ends.
    pub(super) before: Option<Azimuth>,
}

impl Given<'_> {
    /// The tangent at the start, as the call before gives it.
    pub(super) fn start_of_call_before(self) -> Option<Azimuth> {
        match self.elements.leaves {
            Leaves::Unsaid | Leaves::Tangent => self.before,
            Leaves::Cusp => self.before.map(Azimuth::reversed),
            Leaves::NotTangent => None,
        }
    }

    /// The tangent at the start, as the radial line gives it.
    pub(super) fn start_of_radial(self, turn: Turn) -> Option<Azimuth> {
        let inward = match self.elements.radial? {
            Radial::ToCenter(direction) => direction.azimuth(),
            Radial::FromCenter(direction) => direction.azimuth().reversed(),
        };
        Some(inward.turned(-turn.signed(Angle::RIGHT)))
    }

    pub(super) fn start(self, start: Start, turn: Turn) -> Option<Azimuth> {
        match start {
            Start::Radial => self.start_of_radial(turn),
            Start::CallBefore => self.start_of_call_before(),
        }
    }

    pub(super) fn chord_direction(self) -> Option<Azimuth> {
        self.elements.chord_direction.map(|it| it.azimuth())
    }

    /// What gives the tangent at the start, the firmest first.
    fn starts(self) -> impl Iterator<Item = Start> {
        let radial = self.elements.radial.map(|_| Start::Radial);
        let before = self.start_of_call_before().map(|_| Start::CallBefore);
        radial.into_iter().chain(before)
    }

    /// Where the direction comes from: what the paper says of the curve itself
    /// goes before what it says of its neighbor.
    fn heading(self) -> Option<Heading> {
        if self.elements.chord_direction.is_some() {
            return Some(Heading::Chord);
        }
        self.starts().next().map(Heading::Start)
    }

    /// The sized elements that are stated.
    pub(super) fn sized(self) -> impl Iterator<Item = CurveElement> {
        SIZED
            .into_iter()
            .filter(move |&element| size::stated(self.elements, element).is_some())
    }

    fn has(self, element: CurveElement) -> bool {
        size::stated(self.elements, element).is_some()
    }

    /// Every plan for one hand, in the order in which they are preferred.
    pub(super) fn plans(self, turn: Turn) -> Result<Vec<Plan>, CurveError> {
        let heading = self.heading().ok_or_else(|| self.no_direction())?;
        let mut sizes = Vec::new();
        for pair in PAIRS {
            if self.has(pair.0) && self.has(pair.1) {
                sizes.push(SizePlan::Pair(pair, false));
                if pair.1 == CurveElement::Chord && pair.0 != CurveElement::Delta {
                    sizes.push(SizePlan::Pair(pair, true));
                }
            }
        }
        if sizes.is_empty() && heading == Heading::Chord {
            for element in self.sized() {
                sizes.extend(self.starts().map(|start| SizePlan::Alone(element, start)));
            }
        }
        if sizes.is_empty() {
            return Err(CurveError::NoSize {
                given: self.sized().map(|it| it.to_string()).collect(),
            });
        }
        Ok(sizes
            .into_iter()
            .map(|size| Plan {
                turn,
                size,
                heading,
            })
            .collect())
    }

    fn no_direction(self) -> CurveError {
        match self.elements.leaves {
            Leaves::Tangent | Leaves::Cusp => CurveError::NoCallBefore,
            Leaves::Unsaid | Leaves::NotTangent => CurveError::NoDirection,
        }
    }

    /// Lays the curve by a plan.
    pub(super) fn lay(self, plan: Plan) -> Result<Curve, CurveError> {
        let Size { radius, delta } = match plan.size {
            SizePlan::Pair(pair, major) => size::of_pair(self.elements, pair, major)?,
            SizePlan::Alone(element, start) => {
                let value = size::stated(self.elements, element).ok_or(CurveError::NoDirection)?;
                let delta = self.delta_of_directions(start, plan.turn)?;
                size::of_angle(delta, element, value)?
            }
        };
        let start = match plan.heading {
            Heading::Chord => {
                let half = plan.turn.signed(Angle::of_radians(delta / 2.0));
                self.chord_direction().map(|chord| chord.turned(-half))
            }
            Heading::Start(start) => self.start(start, plan.turn),
        };
        let start = start.ok_or(CurveError::NoDirection)?;
        let radius = Length::from_feet(radius).map_err(|_| CurveError::NoRadius)?;
        Curve::new(start, radius, Angle::of_radians(delta), plan.turn)
    }

    /// The central angle is twice the angle from tangent to chord.
    fn delta_of_directions(self, start: Start, turn: Turn) -> Result<f64, CurveError> {
        let chord = self.chord_direction().ok_or(CurveError::NoDirection)?;
        let start = self.start(start, turn).ok_or(CurveError::NoDirection)?;
        let half = match turn {
            Turn::Right => start.clockwise_to(chord),
            Turn::Left => chord.clockwise_to(start),
        };
        if half < Angle::STRAIGHT {
            size::checked_delta(2.0 * half.radians())
        } else {
            Err(CurveError::impossible(
                CurveElement::Turn,
                CurveElement::ChordDirection,
                "the chord lies on the other hand of the curve's start",
            ))
        }
    }
}
