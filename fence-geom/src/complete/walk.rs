//! The calls of a tract in order, each from the direction in which the one
//! before it ends.

use super::{CompleteError, CurveError, Fault, Fills, MissingChord, named};
use crate::angle::Angle;
use crate::angle_text::Direction;
use crate::bearing::Azimuth;
use crate::curve::{CurveElement, CurveElements, ResolvedCurve, missing_chord, resolve_curve};
use crate::deed::{Call, Rounding, Solved};
use crate::length::Length;
use crate::point::Displacement;
use crate::tract::{StatedCall, StatedCourse, StatedDirection, Tract};

/// A call as far as it is known.
pub(super) enum Item {
    Known(Box<Known>),
    Lacking(MissingChord),
}

/// A call with all its parts.
pub(super) struct Known {
    pub(super) call: Call,
    pub(super) curve: Option<ResolvedCurve>,
    end: Heading,
}

/// A direction to turn from, and what rounding may have taken from it.
#[derive(Clone, Copy)]
struct Heading {
    azimuth: Azimuth,
    rounding: Angle,
}

impl Item {
    /// The way of a call that is known.
    pub(super) fn way(&self) -> Option<Displacement> {
        match self {
            Self::Known(known) => Some(Displacement::polar(
                known.call.direction().azimuth(),
                known.call.distance(),
            )),
            Self::Lacking(_) => None,
        }
    }

    fn end(&self) -> Option<Heading> {
        match self {
            Self::Known(known) => Some(known.end),
            Self::Lacking(_) => None,
        }
    }
}

impl MissingChord {
    /// Which figures of a call are solved when this is filled.
    pub(super) const fn solved(self) -> Solved {
        Solved {
            direction: matches!(self, Self::Course | Self::Direction(_)),
            distance: matches!(self, Self::Course | Self::Length(_) | Self::Extent),
        }
    }
}

/// Walks the calls, those in `fills` along the ways given there.
pub(super) fn walk(tract: &Tract, fills: &Fills) -> Result<Vec<Item>, Fault> {
    let style = Style::of(tract);
    let mut heading = None;
    for tie in &tract.ties {
        // A tie is no part of the tract: what can't be followed of it only
        // leaves the first call without a direction to turn from.
        heading = Walker {
            tract,
            style,
            index: 0,
            heading,
            fill: None,
        }
        .step(tie)
        .ok()
        .and_then(|item| item.end());
    }
    let mut items = Vec::with_capacity(tract.calls.len());
    for (index, call) in tract.calls.iter().enumerate() {
        let item = Walker {
            tract,
            style,
            index,
            heading,
            fill: fills.get(&index).copied(),
        }
        .step(call)?;
        heading = item.end();
        items.push(item);
    }
    Ok(items)
}

/// How computed directions are written: as the paper writes its own.
#[derive(Clone, Copy)]
enum Style {
    Bearing,
    Azimuth,
}

impl Style {
    fn of(tract: &Tract) -> Self {
        let first = tract.calls.iter().find_map(|call| match &call.course {
            StatedCourse::Line {
                direction: Some(StatedDirection::Given(direction)),
                ..
            } => Some(*direction),
            StatedCourse::Curve(elements) => elements.chord_direction,
            StatedCourse::Line { .. } => None,
        });
        match first {
            Some(Direction::Azimuth(_)) => Self::Azimuth,
            Some(Direction::Bearing(_)) | None => Self::Bearing,
        }
    }

    fn write(self, azimuth: Azimuth) -> Direction {
        match self {
            Self::Bearing => Direction::Bearing(azimuth.bearing()),
            Self::Azimuth => Direction::Azimuth(azimuth),
        }
    }
}

/// At one call of a tract.
struct Walker<'a> {
    tract: &'a Tract,
    style: Style,
    index: usize,
    heading: Option<Heading>,
    fill: Option<Displacement>,
}

impl Walker<'_> {
    fn step(&self, call: &StatedCall) -> Result<Item, Fault> {
        match &call.course {
            StatedCourse::Line {
                direction,
                distance,
            } => self.line(*direction, *distance, call.rounding),
            StatedCourse::Curve(elements) => self.curve(elements, call.rounding),
        }
    }

    fn line(
        &self,
        direction: Option<StatedDirection>,
        distance: Option<Length>,
        rounding: Rounding,
    ) -> Result<Item, Fault> {
        let stated = direction
            .map(|direction| self.direction(direction, rounding.direction))
            .transpose()?;
        let missing = match (stated, distance) {
            (Some(stated), Some(distance)) => return Ok(straight(stated, distance, rounding)),
            (Some((direction, _)), None) => MissingChord::Length(direction.azimuth()),
            (None, Some(distance)) => MissingChord::Direction(distance),
            (None, None) => MissingChord::Course,
        };
        let Some(way) = self.fill else {
            return Ok(Item::Lacking(missing));
        };
        let direction = stated.unwrap_or((self.style.write(way.azimuth()), Angle::ZERO));
        let distance = distance.unwrap_or(way.length());
        Ok(straight(direction, distance, rounding))
    }

    /// A stated direction, turned from the call before where it is so stated, and
    /// its rounding.
    fn direction(
        &self,
        direction: StatedDirection,
        rounding: Angle,
    ) -> Result<(Direction, Angle), Fault> {
        match direction {
            StatedDirection::Given(direction) => Ok((direction, rounding)),
            StatedDirection::Turned { angle, turn } => {
                let from = self.heading.ok_or_else(|| CompleteError::NoHeading {
                    call: named(self.tract, &[self.index]),
                })?;
                let azimuth = from.azimuth.turned(turn.signed(angle));
                Ok((self.style.write(azimuth), both(from.rounding, rounding)))
            }
        }
    }

    fn curve(&self, stated: &CurveElements, rounding: Rounding) -> Result<Item, Fault> {
        let before = self.heading.map(|heading| heading.azimuth);
        let error = match resolve_curve(stated, before, rounding) {
            Ok(curve) => return Ok(self.along(curve)),
            Err(error) => error,
        };
        let Some(missing) = missing_chord(stated, before, &error) else {
            return Err(self.refused(error));
        };
        let Some(way) = self.fill else {
            return Ok(Item::Lacking(missing));
        };
        let mut filled = *stated;
        if stated.chord_direction.is_none() {
            filled.chord_direction = Some(self.style.write(way.azimuth()));
        }
        if matches!(missing, MissingChord::Course | MissingChord::Length(_)) {
            filled.chord = filled.chord.or(Some(way.length()));
        }
        let curve =
            resolve_curve(&filled, before, rounding).map_err(|error| self.refused(error))?;
        // A chord that the curve can't have would leave the figure open.
        if stated.chord.is_none() && curve.contradicts(CurveElement::Chord) {
            return Err(self.refused(CurveError::chord_is_too_long()));
        }
        Ok(self.along(curve))
    }

    fn along(&self, curve: ResolvedCurve) -> Item {
        let direction = self.style.write(curve.way.azimuth());
        let call = Call::curved(
            direction,
            curve.way.length(),
            curve.curve.delta(),
            curve.curve.turn(),
        );
        Item::Known(Box::new(Known {
            call: call.rounded(curve.rounding),
            end: Heading {
                azimuth: curve.curve.end_tangent(),
                rounding: curve.rounding.direction,
            },
            curve: Some(curve),
        }))
    }

    fn refused(&self, error: CurveError) -> Fault {
        match error {
            CurveError::NoHand => Fault::NoHand(self.index),
            source => Fault::Error(CompleteError::Curve {
                call: named(self.tract, &[self.index]),
                source,
            }),
        }
    }
}

fn straight((direction, turned): (Direction, Angle), distance: Length, rounding: Rounding) -> Item {
    let rounding = Rounding {
        distance: rounding.distance,
        direction: turned,
    };
    Item::Known(Box::new(Known {
        call: Call::straight(direction, distance).rounded(rounding),
        curve: None,
        end: Heading {
            azimuth: direction.azimuth(),
            rounding: turned,
        },
    }))
}

/// Two independent half digits together.
fn both(a: Angle, b: Angle) -> Angle {
    Angle::of_radians(a.radians().hypot(b.radians()))
}
