//! A tract as the paper states it: its calls in order, whole or with parts
//! missing, before anything is computed.
//!
//! [`complete`](crate::complete()) turns a tract into a [`Deed`](crate::Deed),
//! whose calls have all their parts.

use crate::angle::Angle;
use crate::angle_text::Direction;
use crate::curve::CurveElements;
use crate::deed::{Beginning, Rounding, Written};
use crate::length::{Area, Length};
use crate::ring::Turn;

/// A tract of land as stated.
///
/// # Examples
///
/// ```
/// use fence_geom::{Beginning, StatedCall, StatedDirection, Tract, read_direction, Length};
///
/// let east = StatedDirection::Given(read_direction("due east")?.value);
/// let tract = Tract {
///     calls: vec![StatedCall::line(Some(east), Some(Length::from_feet(60.0)?))],
///     ..Tract::default()
/// };
/// assert_eq!(tract.beginning, Beginning::default());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tract {
    /// What the paper calls it, where it says so.
    pub name: Option<String>,
    /// The corner that the calls start from.
    pub beginning: Beginning,
    /// The calls that lead to the beginning from a known corner. They are not
    /// part of the tract.
    pub ties: Vec<StatedCall>,
    /// The calls around the tract.
    pub calls: Vec<StatedCall>,
    /// The area the paper states.
    pub stated_area: Option<Area>,
    /// It is taken out of the tract before, as in "less and except".
    pub is_exception: bool,
    /// The width of a strip whose centerline the calls are; such a traverse stays
    /// open.
    pub strip_width: Option<Length>,
}

impl Tract {
    /// Whether the last call ends at a corner of its own, so that the calls are not
    /// meant to come back.
    pub(crate) fn stays_open(&self) -> bool {
        self.calls
            .last()
            .and_then(|call| call.corner.as_deref())
            .is_some_and(|name| name != self.beginning.name)
    }
}

/// A call as stated.
#[derive(Clone, Debug, PartialEq)]
pub struct StatedCall {
    /// What it runs along.
    pub course: StatedCourse,
    /// The name of the corner it ends at, where it is named.
    pub corner: Option<String>,
    /// How far its figures may be off because they were rounded.
    pub rounding: Rounding,
    /// Its place in the paper, where it was read from one.
    pub written: Option<Written>,
}

/// What a stated call runs along.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StatedCourse {
    /// A straight line.
    Line {
        /// The direction; `None` where the paper gives none.
        direction: Option<StatedDirection>,
        /// The distance; `None` where the paper gives none.
        distance: Option<Length>,
    },
    /// A circular curve.
    Curve(CurveElements),
}

/// A direction as stated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StatedDirection {
    /// A bearing or an azimuth.
    Given(Direction),
    /// An angle turned from the direction in which the call before ends; none at
    /// all for "continue".
    Turned {
        /// The angle.
        angle: Angle,
        /// The hand.
        turn: Turn,
    },
}

impl StatedCall {
    /// Creates a straight call whose figures are exact.
    #[must_use]
    pub const fn line(direction: Option<StatedDirection>, distance: Option<Length>) -> Self {
        Self::of(StatedCourse::Line {
            direction,
            distance,
        })
    }

    /// Creates a call along a curve whose figures are exact.
    #[must_use]
    pub const fn curve(elements: CurveElements) -> Self {
        Self::of(StatedCourse::Curve(elements))
    }

    const fn of(course: StatedCourse) -> Self {
        Self {
            course,
            corner: None,
            rounding: Rounding {
                distance: Length::ZERO,
                direction: Angle::ZERO,
            },
            written: None,
        }
    }
}
