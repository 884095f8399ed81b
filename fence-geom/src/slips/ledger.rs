//! The calls of a tract added up once, so that a change of one of them costs no
//! more than the calls that hang on it.

use super::SlipError;
use crate::bearing::Azimuth;
use crate::curve::{ResolvedCurve, resolve_curve};
use crate::deed::Rounding;
use crate::length::{Area, Length};
use crate::point::Displacement;
use crate::ring::Turn;
use crate::tract::{StatedCall, StatedCourse, StatedDirection, Tract};

/// Running sums over the calls of a tract; entry `i` is before call `i`, the last
/// one after all.
pub(super) struct Ledger<'a> {
    calls: &'a [StatedCall],
    /// The way from the beginning.
    at: Vec<Displacement>,
    /// The direction in which the call before ends.
    heading: Vec<Option<Azimuth>>,
    /// Twice the signed area between the courses and the beginning.
    twice: Vec<f64>,
    perimeter: Length,
}

/// Where changed calls lead, and what they enclose.
#[derive(Clone, Copy, Debug)]
pub(super) struct Outcome {
    /// How far from the beginning the calls end.
    pub(super) remaining: Length,
    /// The area inside, closed by the line of what remains.
    pub(super) area: Area,
}

/// What one course adds.
#[derive(Clone, Copy)]
struct Leg {
    way: Displacement,
    /// The direction in which it ends.
    ends: Azimuth,
    /// Twice the signed area between a curve and its chord.
    twice_segment: f64,
}

/// The sums so far, for one more course to be added.
#[derive(Clone, Copy, Default)]
struct Sums {
    at: Displacement,
    heading: Option<Azimuth>,
    twice: f64,
}

impl<'a> Ledger<'a> {
    /// Adds up the calls of a tract.
    ///
    /// # Errors
    ///
    /// [`SlipError::Incomplete`] for a call that lacks a part.
    pub(super) fn of(tract: &'a Tract) -> Result<Self, SlipError> {
        let mut ledger = Self {
            calls: &tract.calls,
            at: Vec::with_capacity(tract.calls.len() + 1),
            heading: Vec::with_capacity(tract.calls.len() + 1),
            twice: Vec::with_capacity(tract.calls.len() + 1),
            perimeter: Length::ZERO,
        };
        let mut sums = Sums {
            heading: heading_of_ties(&tract.ties),
            ..Sums::default()
        };
        for (i, call) in tract.calls.iter().enumerate() {
            ledger.note(sums);
            let leg = leg(&call.course, call.rounding, sums.heading)
                .ok_or(SlipError::Incomplete { number: i + 1 })?;
            ledger.perimeter = ledger.perimeter + leg.way.length();
            sums = sums.then(leg);
        }
        ledger.note(sums);
        Ok(ledger)
    }

    fn note(&mut self, sums: Sums) {
        self.at.push(sums.at);
        self.heading.push(sums.heading);
        self.twice.push(sums.twice);
    }

    /// The way from the beginning to where the calls end.
    pub(super) fn gap(&self) -> Displacement {
        self.at.last().copied().unwrap_or_default()
    }

    /// The direction in which the call before call `i` ends.
    pub(super) fn heading(&self, i: usize) -> Option<Azimuth> {
        self.heading.get(i).copied().flatten()
    }

    /// The sum of the distances, along chords.
    pub(super) const fn perimeter(&self) -> Length {
        self.perimeter
    }

    /// What the calls lead to when `removed` of them from `first` on are replaced
    /// by other courses; `None` where those can't be.
    pub(super) fn with(
        &self,
        first: usize,
        removed: usize,
        courses: &[StatedCourse],
    ) -> Option<Outcome> {
        let mut sums = Sums {
            at: *self.at.get(first)?,
            heading: *self.heading.get(first)?,
            twice: *self.twice.get(first)?,
        };
        let rounding = (self.calls.get(first)).map_or_else(Rounding::default, |it| it.rounding);
        for course in courses {
            sums = sums.then(leg(course, rounding, sums.heading)?);
        }
        let mut next = first + removed;
        // The calls that turn from the one before turn with it.
        while let Some(call) = self.calls.get(next) {
            if *self.heading.get(next)? == sums.heading {
                break;
            }
            sums = sums.then(leg(&call.course, call.rounding, sums.heading)?);
            next += 1;
        }
        // The rest is only shifted.
        let shift = sums.at + -*self.at.get(next)?;
        let rest = *self.at.last()? + -*self.at.get(next)?;
        let twice = sums.twice + self.twice.last()? - self.twice.get(next)? + shift.cross(rest);
        Some(Outcome {
            remaining: (*self.at.last()? + shift).length(),
            area: Area::saturating(twice.abs() / 2.0),
        })
    }
}

impl Sums {
    fn then(self, leg: Leg) -> Self {
        let at = self.at + leg.way;
        Self {
            at,
            heading: Some(leg.ends),
            twice: self.twice + self.at.cross(at) + leg.twice_segment,
        }
    }
}

/// The direction in which the ties arrive at the beginning, where they say it.
fn heading_of_ties(ties: &[StatedCall]) -> Option<Azimuth> {
    ties.iter().fold(None, |heading, tie| match tie.course {
        StatedCourse::Line { direction, .. } => azimuth(direction?, heading),
        StatedCourse::Curve(_) => Some(leg(&tie.course, tie.rounding, heading)?.ends),
    })
}

fn leg(course: &StatedCourse, rounding: Rounding, heading: Option<Azimuth>) -> Option<Leg> {
    match course {
        StatedCourse::Line {
            direction,
            distance,
        } => {
            let ends = azimuth((*direction)?, heading)?;
            Some(Leg {
                way: Displacement::polar(ends, (*distance)?),
                ends,
                twice_segment: 0.0,
            })
        }
        StatedCourse::Curve(elements) => {
            let laid = resolve_curve(elements, heading, rounding).ok()?;
            Some(Leg {
                way: laid.way,
                ends: laid.curve.end_tangent(),
                twice_segment: 2.0 * segment(&laid),
            })
        }
    }
}

/// The area between a curve and its chord: added to what lies to the right of a
/// curve to the right, and taken off it else.
fn segment(laid: &ResolvedCurve) -> f64 {
    let area = laid.curve.segment().square_feet();
    match laid.curve.turn() {
        Turn::Right => area,
        Turn::Left => -area,
    }
}

fn azimuth(direction: StatedDirection, heading: Option<Azimuth>) -> Option<Azimuth> {
    match direction {
        StatedDirection::Given(direction) => Some(direction.azimuth()),
        StatedDirection::Turned { angle, turn } => Some(heading?.turned(turn.signed(angle))),
    }
}

#[cfg(test)]
mod tests;
