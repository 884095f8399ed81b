//! What a deed says: its calls in order, as the paper has them.
//!
//! Nothing is computed here; [`traverse`](crate::traverse) turns a deed into
//! corners.

use crate::angle::Angle;
use crate::angle_text::Direction;
use crate::length::{Area, Length};
use crate::point::Point;
use crate::ring::{Side, Turn};

/// One call of a deed: a direction, a distance and the corner they lead to.
///
/// For a curve the direction and the distance are those of its long chord, and
/// the side says how the arc bends; the two can't contradict each other.
///
/// # Examples
///
/// ```
/// use fence_geom::{Azimuth, Call, Direction, Length};
///
/// let east = Direction::Azimuth(Azimuth::from_degrees(90.0)?);
/// let call = Call::straight(east, Length::from_feet(104.37)?).ending_at("B");
/// assert_eq!(call.corner(), Some("B"));
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Call {
    direction: Direction,
    distance: Length,
    side: Side,
    corner: Option<String>,
    rounding: Rounding,
    written: Option<Written>,
    solved: Solved,
}

/// Which figures of a call were solved from closure, the paper having none.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Solved {
    /// The direction was.
    pub direction: bool,
    /// The distance was.
    pub distance: bool,
}

/// How far the figures of a call may be off because they were rounded: half of
/// their last written digit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Rounding {
    /// Half of the last digit of the distance.
    pub distance: Length,
    /// Half of the last digit of the direction; none where it is in words only,
    /// such as "due north".
    pub direction: Angle,
}

/// Where a call stands in the paper, and its words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// The number of the line, from one.
    pub line: usize,
    /// The whole line of a table, or the whole clause of prose.
    pub words: String,
    /// The place of the words, in bytes of the text.
    pub at: std::ops::Range<usize>,
    /// The words of the direction.
    pub direction: String,
    /// The words of the distance, in the unit of the paper.
    pub distance: String,
}

/// The name of the corner where an open line ends, where the paper says that it terminates.
pub(crate) const TERMINATION: &str = "end";

/// The corner that the calls start from.
#[derive(Clone, Debug, PartialEq)]
pub struct Beginning {
    /// Its name.
    pub name: String,
    /// Its coordinates, where they are given.
    pub at: Option<Point>,
}

impl Default for Beginning {
    /// A corner called 1 without coordinates.
    fn default() -> Self {
        Self {
            name: "1".to_owned(),
            at: None,
        }
    }
}

/// A deed: a beginning and the calls that lead around the tract.
///
/// Checked when made: there is a call, every call has a length, a curve less than
/// a whole turn, and no corner is named twice (the last call may name the beginning).
///
/// # Examples
///
/// ```
/// use fence_geom::{Azimuth, Beginning, Call, Deed, Direction, Length};
///
/// let mut calls = Vec::new();
/// for degrees in [0.0, 90.0, 180.0, 270.0] {
///     let direction = Direction::Azimuth(Azimuth::from_degrees(degrees)?);
///     calls.push(Call::straight(direction, Length::from_feet(60.0)?));
/// }
/// let deed = Deed::new(Beginning::default(), calls, None)?;
/// assert_eq!(deed.corner_names(), ["1", "2", "3", "4"]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Deed {
    beginning: Beginning,
    calls: Vec<Call>,
    stated_area: Option<Area>,
}

/// Why calls don't make a [`Deed`].
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum DeedError {
    /// No call at all.
    #[error(
        "there is no call: give each call its bearing and its distance, such as N45-30-15E 104.37ft"
    )]
    NoCalls,
    /// More calls than [`Deed::MAX_CALLS`].
    #[error("{calls} calls are more than the {max} that a deed may have: split the description", max = Deed::MAX_CALLS)]
    TooManyCalls {
        /// How many there are.
        calls: usize,
    },
    /// A call without length.
    #[error(
        "{call} has no length: a call must lead to another corner, so give its distance or leave it out"
    )]
    NoLength {
        /// Which call.
        call: String,
    },
    /// A curve whose central angle can't be one.
    #[error(
        "{call} curves through {degrees} degrees: a central angle is more than 0 and less than 360"
    )]
    Delta {
        /// Which call.
        call: String,
        /// The central angle, in degrees.
        degrees: f64,
    },
    /// Two corners of one name.
    #[error(
        "{call} ends at {name:?}, a corner the deed has reached before: give each corner a name of its own"
    )]
    SameName {
        /// Which call.
        call: String,
        /// The name.
        name: String,
    },
}

impl Call {
    /// Creates a straight call whose figures are exact.
    #[must_use]
    pub const fn straight(direction: Direction, distance: Length) -> Self {
        Self::along(direction, distance, Side::Line)
    }

    /// Creates a call along a curve whose figures are exact: the direction and
    /// the length of its long chord, its central angle and its hand.
    #[must_use]
    pub const fn curved(direction: Direction, chord: Length, delta: Angle, turn: Turn) -> Self {
        Self::along(direction, chord, Side::Arc { delta, turn })
    }

    const fn along(direction: Direction, distance: Length, side: Side) -> Self {
        Self {
            direction,
            distance,
            side,
            corner: None,
            rounding: Rounding {
                distance: Length::ZERO,
                direction: Angle::ZERO,
            },
            written: None,
            solved: Solved {
                direction: false,
                distance: false,
            },
        }
    }

    /// Returns the call with the name of the corner it ends at.
    #[must_use]
    pub fn ending_at(mut self, corner: impl Into<String>) -> Self {
        self.corner = Some(corner.into());
        self
    }

    /// Returns the call as one whose figures were rounded.
    #[must_use]
    pub const fn rounded(mut self, rounding: Rounding) -> Self {
        self.rounding = rounding;
        self
    }

    /// Returns the call with its place in the paper.
    #[must_use]
    pub fn as_written(mut self, written: Written) -> Self {
        self.written = Some(written);
        self
    }

    /// Returns the call as one whose marked figures were solved from closure:
    /// they are computed, and no paper has them.
    #[must_use]
    pub const fn solved_from_closure(mut self, solved: Solved) -> Self {
        self.solved = solved;
        self
    }

    /// Returns the direction; of a curve, of its long chord.
    #[must_use]
    pub const fn direction(&self) -> Direction {
        self.direction
    }

    /// Returns the distance; of a curve, the length of its long chord.
    #[must_use]
    pub const fn distance(&self) -> Length {
        self.distance
    }

    /// Returns the length along the call: of a curve, that of its arc.
    #[must_use]
    pub fn length_along(&self) -> Length {
        self.side.length_of(self.distance)
    }

    /// Returns which figures were solved from closure.
    #[must_use]
    pub const fn solved(&self) -> Solved {
        self.solved
    }

    /// Returns what the call runs along.
    #[must_use]
    pub const fn side(&self) -> Side {
        self.side
    }

    /// Returns the name of the corner it ends at, where it is named.
    #[must_use]
    pub fn corner(&self) -> Option<&str> {
        self.corner.as_deref()
    }

    /// Returns what rounding may have taken from the figures.
    #[must_use]
    pub const fn rounding(&self) -> Rounding {
        self.rounding
    }

    /// Returns the place in the paper, where the call was read from one.
    #[must_use]
    pub const fn written(&self) -> Option<&Written> {
        self.written.as_ref()
    }

    /// The call in words for an error: by its line, or by its number from one.
    pub(crate) fn described(&self, index: usize) -> String {
        described(self.written.as_ref(), index)
    }
}

impl Deed {
    /// The most calls a deed may have: checking that no two sides cross takes
    /// time with their square.
    pub const MAX_CALLS: usize = 2_000;

    /// Creates a deed.
    ///
    /// # Errors
    ///
    /// A [`DeedError`] that names the call at fault.
    pub fn new(
        beginning: Beginning,
        calls: Vec<Call>,
        stated_area: Option<Area>,
    ) -> Result<Self, DeedError> {
        if calls.is_empty() {
            return Err(DeedError::NoCalls);
        }
        if calls.len() > Self::MAX_CALLS {
            return Err(DeedError::TooManyCalls { calls: calls.len() });
        }
        if let Some((i, call)) = calls
            .iter()
            .enumerate()
            .find(|(_, call)| call.distance == Length::ZERO)
        {
            return Err(DeedError::NoLength {
                call: call.described(i),
            });
        }
        check_curves(&calls)?;
        check_names(&beginning, &calls)?;
        Ok(Self {
            beginning,
            calls,
            stated_area,
        })
    }

    /// Returns the corner that the calls start from.
    #[must_use]
    pub const fn beginning(&self) -> &Beginning {
        &self.beginning
    }

    /// Returns the calls in order.
    #[must_use]
    pub fn calls(&self) -> &[Call] {
        &self.calls
    }

    /// Returns the area that the paper states.
    #[must_use]
    pub const fn stated_area(&self) -> Option<Area> {
        self.stated_area
    }

    /// Returns true if the last call names a corner other than the beginning,
    /// so that the way back is not described.
    #[must_use]
    pub fn stays_open(&self) -> bool {
        self.calls
            .last()
            .and_then(Call::corner)
            .is_some_and(|name| name != self.beginning.name)
    }

    /// Returns a name for each corner in order, the beginning first and not
    /// repeated: its own, or else its number.
    #[must_use]
    pub fn corner_names(&self) -> Vec<String> {
        let mut names = corner_names(&self.beginning, &self.calls);
        if !self.stays_open() {
            names.pop();
        }
        names
    }
}

/// A call in words for an error: by its line, or by its number from one.
pub(crate) fn described(written: Option<&Written>, index: usize) -> String {
    match written {
        Some(written) => format!("line {}, {:?},", written.line, written.words),
        None => format!("call {}", index + 1),
    }
}

/// Names for the beginning and the end of each call: the corner's own, or else
/// its number, marked where a corner of that name exists.
pub(crate) fn corner_names(beginning: &Beginning, calls: &[Call]) -> Vec<String> {
    let given: std::collections::BTreeSet<&str> = calls
        .iter()
        .filter_map(Call::corner)
        .chain([beginning.name.as_str()])
        .collect();
    let numbered = |number: usize| {
        let mut name = number.to_string();
        while given.contains(name.as_str()) {
            name.insert(0, 'c');
        }
        name
    };
    let ends = calls.iter().enumerate().map(|(i, call)| {
        call.corner()
            .map_or_else(|| numbered(i + 2), ToOwned::to_owned)
    });
    std::iter::once(beginning.name.clone())
        .chain(ends)
        .collect()
}

fn check_curves(calls: &[Call]) -> Result<(), DeedError> {
    for (i, call) in calls.iter().enumerate() {
        let Side::Arc { delta, .. } = call.side else {
            continue;
        };
        let degrees = delta.degrees();
        if !(degrees > 0.0 && degrees < 360.0) {
            return Err(DeedError::Delta {
                call: call.described(i),
                degrees,
            });
        }
    }
    Ok(())
}

fn check_names(beginning: &Beginning, calls: &[Call]) -> Result<(), DeedError> {
    let mut seen = std::collections::BTreeSet::from([beginning.name.as_str()]);
    let last = calls.len().saturating_sub(1);
    for (i, call) in calls.iter().enumerate() {
        let Some(name) = call.corner() else { continue };
        let returns = i == last && name == beginning.name;
        if !returns && !seen.insert(name) {
            return Err(DeedError::SameName {
                call: call.described(i),
                name: name.to_owned(),
            });
        }
    }
    Ok(())
}
