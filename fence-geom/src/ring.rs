//! Closed rings of named corners: a lot, or an offset line inside it.

use crate::angle::Angle;
use crate::bearing::Azimuth;
use crate::length::{Area, Length};
use crate::orient::{opposite, orientation};
use crate::piece::Piece;
use crate::point::{Displacement, Point};

/// Sides of which one is an arc touch where they come this near, in feet: far
/// above the rounding of doubles, far below a tape.
const TOUCH_FEET: f64 = 1e-6;

/// How far from their common corner neighbors of which one is an arc may meet
/// again, in feet. Where an arc runs back along the tangent it came by, figures to
/// the hundredth and to the second leave that much open.
const CUSP_FEET: f64 = 0.05;

/// A named corner of a ring.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Corner {
    /// The name the deed, the plat or the crew gives it.
    pub name: String,
    /// Where it is.
    pub at: Point,
}

/// What joins a corner to the next one.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Side {
    /// A straight line.
    Line,
    /// A circular arc. The two corners and the central angle fix it, so it can't
    /// contradict them; the radius follows.
    Arc {
        /// The angle at the center, more than 0° and less than 360°.
        delta: Angle,
        /// The hand to which the arc turns.
        turn: Turn,
    },
}

/// The hand to which something turns or lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Turn {
    /// To the left: counterclockwise seen from above.
    Left,
    /// To the right: clockwise seen from above.
    Right,
}

/// Where a point lies with respect to a ring.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// Inside.
    Inside,
    /// On the side with this index, or nearer to it than was asked for.
    OnSide(usize),
    /// Outside.
    Outside,
}

/// A simple closed ring of at least three corners, or two where a side is an arc;
/// side `i` goes from corner `i` to corner `i + 1`, the last one back to the first.
///
/// Checked when made: corner names differ, no side is without length, no two
/// sides cross or touch but at their common corner, and there is an area.
///
/// # Examples
///
/// ```
/// use fence_geom::{Point, Ring, Turn};
///
/// let lot = Ring::of_lines([
///     ("A", Point::new(0.0, 0.0)?),
///     ("B", Point::new(100.0, 0.0)?),
///     ("C", Point::new(100.0, 50.0)?),
///     ("D", Point::new(0.0, 50.0)?),
/// ])?;
/// assert_eq!(lot.area().square_feet(), 5_000.0);
/// assert_eq!(lot.interior(), Turn::Right);
/// assert_eq!(lot.side_name(3), "D-A");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(
        try_from = "crate::serialized::RingParts",
        into = "crate::serialized::RingParts"
    )
)]
pub struct Ring {
    corners: Vec<Corner>,
    sides: Vec<Side>,
    /// In square feet, positive clockwise.
    clockwise_area: f64,
}

/// Why corners and sides don't make a [`Ring`].
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum RingError {
    /// Too few corners.
    #[error(
        "a ring needs at least three corners, got {corners}: add the missing ones (two do where a side is an arc)"
    )]
    TooFewCorners {
        /// How many there are.
        corners: usize,
    },
    /// The lists differ in length.
    #[error("{corners} corners need as many sides, got {sides}")]
    SideCount {
        /// How many corners there are.
        corners: usize,
        /// How many sides there are.
        sides: usize,
    },
    /// Two corners of one name.
    #[error("two corners are called {name:?}: give each corner a name of its own")]
    SameName {
        /// The name.
        name: String,
    },
    /// A side without length.
    #[error(
        "corners {from} and {to} are the same place: leave one out (a repeated first corner is not needed)"
    )]
    NoLength {
        /// The corner that the side starts from.
        from: String,
        /// The corner it should go to.
        to: String,
    },
    /// An arc whose central angle can't be one.
    #[error(
        "the arc from {from} to {to} turns through {degrees} degrees: a central angle is more than 0 and less than 360"
    )]
    Delta {
        /// The corner that the arc starts from.
        from: String,
        /// The corner it goes to.
        to: String,
        /// The central angle, in degrees.
        degrees: f64,
    },
    /// Two sides meet where they should not.
    #[error(
        "sides {first} and {second} cross or touch near N {north:.2} E {east:.2}: check the order of the corners and the figures of these two sides"
    )]
    Crossing {
        /// One side.
        first: String,
        /// The other.
        second: String,
        /// About where, feet north.
        north: f64,
        /// About where, feet east.
        east: f64,
    },
    /// All corners in one line, or on one arc there and back.
    #[error(
        "corners {names} lie in one straight line or arc and enclose nothing: a lot needs a corner off it"
    )]
    NoArea {
        /// The names of the corners.
        names: String,
    },
}

impl Ring {
    /// Creates a ring from its corners and the side that follows each.
    ///
    /// # Errors
    ///
    /// A [`RingError`] that names the corners or sides at fault.
    pub fn new(corners: Vec<Corner>, sides: Vec<Side>) -> Result<Self, RingError> {
        let curved = sides.iter().any(|side| *side != Side::Line);
        if corners.len() < if curved { 2 } else { 3 } {
            return Err(RingError::TooFewCorners {
                corners: corners.len(),
            });
        }
        if corners.len() != sides.len() {
            return Err(RingError::SideCount {
                corners: corners.len(),
                sides: sides.len(),
            });
        }
        let ring = Self::of_parts(corners, sides);
        ring.check_names()?;
        ring.check_sides()?;
        ring.check_area()?;
        ring.check_simple()?;
        Ok(ring)
    }

    /// Creates a ring of straight sides.
    ///
    /// # Errors
    ///
    /// As [`Ring::new`].
    pub fn of_lines<N: Into<String>>(
        corners: impl IntoIterator<Item = (N, Point)>,
    ) -> Result<Self, RingError> {
        let corners: Vec<Corner> = corners
            .into_iter()
            .map(|(name, at)| Corner {
                name: name.into(),
                at,
            })
            .collect();
        let sides = vec![Side::Line; corners.len()];
        Self::new(corners, sides)
    }

    /// A ring that was computed, at least three corners of different names and no
    /// sides that cross: its area may be as small as it comes out, since no figure
    /// was typed.
    pub(crate) fn of_computed(corners: Vec<Corner>, sides: Vec<Side>) -> Self {
        debug_assert!(corners.len() >= 3 && corners.len() == sides.len());
        Self::of_parts(corners, sides)
    }

    fn of_parts(corners: Vec<Corner>, sides: Vec<Side>) -> Self {
        let clockwise_area = clockwise_area(&corners, &sides);
        Self {
            corners,
            sides,
            clockwise_area,
        }
    }

    /// Returns the corners in order.
    #[must_use]
    pub fn corners(&self) -> &[Corner] {
        &self.corners
    }

    /// Returns the sides in order.
    #[must_use]
    pub fn sides(&self) -> &[Side] {
        &self.sides
    }

    /// Returns how many corners, and so sides, there are.
    #[must_use]
    #[expect(clippy::len_without_is_empty, reason = "a ring is never empty")]
    pub fn len(&self) -> usize {
        self.corners.len()
    }

    /// Returns the corner with the given name, and its index.
    #[must_use]
    pub fn corner(&self, name: &str) -> Option<(usize, &Corner)> {
        self.corners
            .iter()
            .enumerate()
            .find(|(_, corner)| corner.name == name)
    }

    /// Returns the name of side `i`: its two corners joined by a hyphen.
    #[must_use]
    pub fn side_name(&self, i: usize) -> String {
        let (from, to) = self.ends(i);
        format!("{}-{}", from.name, to.name)
    }

    /// Returns the index of the side with the given name, written either way
    /// round.
    #[must_use]
    pub fn side(&self, name: &str) -> Option<usize> {
        (0..self.len()).find(|&i| {
            let (from, to) = self.ends(i);
            name.strip_prefix(from.name.as_str())
                .and_then(|rest| rest.strip_prefix('-'))
                .is_some_and(|rest| rest == to.name)
                || name
                    .strip_prefix(to.name.as_str())
                    .and_then(|rest| rest.strip_prefix('-'))
                    .is_some_and(|rest| rest == from.name)
        })
    }

    /// Returns the corners at the two ends of side `i`, counted round the ring.
    #[must_use]
    #[expect(
        clippy::indexing_slicing,
        reason = "the index is taken round a ring of at least three"
    )]
    pub fn ends(&self, i: usize) -> (&Corner, &Corner) {
        let n = self.corners.len();
        // A division is dear where nothing else is done.
        let from = if i < n { i } else { i % n };
        let to = if from + 1 < n { from + 1 } else { 0 };
        (&self.corners[from], &self.corners[to])
    }

    /// Returns the straight way from one end of side `i` to the other.
    #[must_use]
    pub fn chord(&self, i: usize) -> Displacement {
        let (from, to) = self.ends(i);
        to.at - from.at
    }

    /// Returns the direction of the chord of side `i`.
    #[must_use]
    pub fn direction(&self, i: usize) -> Azimuth {
        self.chord(i).azimuth()
    }

    /// Returns the length of side `i`, along the arc where it is one.
    #[must_use]
    pub fn side_length(&self, i: usize) -> Length {
        let chord = self.chord(i).length();
        self.sides
            .get(i % self.sides.len())
            .map_or(chord, |side| side.length_of(chord))
    }

    /// Returns the radius of side `i`; `None` where it is straight.
    #[must_use]
    pub fn radius(&self, i: usize) -> Option<Length> {
        match self.sides.get(i % self.sides.len()) {
            Some(Side::Arc { delta, .. }) => {
                let half = (delta.radians() / 2.0).sin();
                let chord = self.chord(i).length();
                Some(Length::saturating(chord.feet() / (2.0 * half)))
            }
            _ => None,
        }
    }

    /// Returns the length around the ring.
    #[must_use]
    pub fn perimeter(&self) -> Length {
        (0..self.len()).map(|i| self.side_length(i)).sum()
    }

    /// Returns the enclosed area, segments of arcs counted.
    #[must_use]
    pub fn area(&self) -> Area {
        Area::saturating(self.clockwise_area.abs())
    }

    /// Returns the hand on which the inside lies for one who walks the sides in
    /// order: right where the ring runs clockwise.
    #[must_use]
    pub fn interior(&self) -> Turn {
        if self.clockwise_area >= 0.0 {
            Turn::Right
        } else {
            Turn::Left
        }
    }

    /// Returns the same ring walked the other way round, from the same corner.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let mut corners = self.corners.clone();
        let mut sides: Vec<Side> = self.sides.iter().map(|side| side.reversed()).collect();
        corners.reverse();
        corners.rotate_right(1);
        sides.reverse();
        Self::of_parts(corners, sides)
    }

    /// Returns where a point lies: inside, outside, or within `tolerance` of a
    /// side.
    #[must_use]
    pub fn locate(&self, point: Point, tolerance: Length) -> Place {
        let place = point - self.origin();
        let mut inside = false;
        for i in 0..self.len() {
            let (from, to) = (self.ends(i).0.at, self.ends(i).1.at);
            let piece = self.piece(i);
            if piece.distance(place) <= tolerance.feet() {
                return Place::OnSide(i);
            }
            // A ray to the east crosses the chord where its ends lie on both
            // sides of the ray and the point lies to the west of it.
            let left = lies_left(from, to, point);
            if (from.north() > point.north()) != (to.north() > point.north())
                && left == (to.north() > from.north())
            {
                inside = !inside;
            }
            // What lies between a chord and its arc is on the other side of the
            // boundary than the chord says: an arc to the right bulges left.
            if let Some(bow) = piece.bow
                && left == (bow.sweep > 0.0)
                && (place - bow.center).length().feet() < bow.radius
            {
                inside = !inside;
            }
        }
        if inside {
            Place::Inside
        } else {
            Place::Outside
        }
    }

    fn check_names(&self) -> Result<(), RingError> {
        let mut seen = std::collections::BTreeSet::new();
        for corner in &self.corners {
            if !seen.insert(corner.name.as_str()) {
                return Err(RingError::SameName {
                    name: corner.name.clone(),
                });
            }
        }
        Ok(())
    }

    fn check_sides(&self) -> Result<(), RingError> {
        for (i, side) in self.sides.iter().enumerate() {
            let (from, to) = self.ends(i);
            if from.at == to.at {
                return Err(RingError::NoLength {
                    from: from.name.clone(),
                    to: to.name.clone(),
                });
            }
            if let Side::Arc { delta, .. } = side {
                let degrees = delta.degrees();
                if !(degrees > 0.0 && degrees < 360.0) {
                    return Err(RingError::Delta {
                        from: from.name.clone(),
                        to: to.name.clone(),
                        degrees,
                    });
                }
            }
        }
        Ok(())
    }

    /// The place from which the pieces are counted.
    /// The place that [`Ring::piece`] counts from.
    pub(crate) fn origin(&self) -> Point {
        self.ends(0).0.at
    }

    /// Side `i` as a piece counted from the first corner.
    pub(crate) fn piece(&self, i: usize) -> Piece {
        let (from, to) = self.ends(i);
        let (from, to) = (from.at - self.origin(), to.at - self.origin());
        let side = self.sides.get(i % self.sides.len()).copied();
        side.unwrap_or(Side::Line).piece(from, to)
    }

    fn check_area(&self) -> Result<(), RingError> {
        let perimeter = self.perimeter().feet();
        // Corners typed to a thousandth of a foot along one line enclose up to
        // half of that times the perimeter by rounding alone.
        let by_rounding = perimeter * 0.0005;
        if self.clockwise_area.abs() <= by_rounding {
            // The two halves of a figure eight may cancel: where they cross is the
            // better word for that.
            if !self.is_flat() {
                self.check_simple()?;
            }
            let names: Vec<&str> = self.corners.iter().map(|c| c.name.as_str()).collect();
            return Err(RingError::NoArea {
                names: names.join(", "),
            });
        }
        Ok(())
    }

    /// Whether all corners lie in one straight line, as finely as figures are typed.
    fn is_flat(&self) -> bool {
        let ways = || self.corners.iter().map(|corner| corner.at - self.origin());
        let longest = ways().max_by(|a, b| a.length().feet().total_cmp(&b.length().feet()));
        let along = longest.and_then(Displacement::unit).unwrap_or_default();
        ways().all(|way| way.cross(along).abs() <= 0.001)
    }

    /// Refuses sides that meet anywhere but at a common corner.
    fn check_simple(&self) -> Result<(), RingError> {
        let n = self.len();
        let pieces: Vec<Piece> = (0..n).map(|i| self.piece(i)).collect();
        for (i, first) in pieces.iter().enumerate() {
            for (j, second) in pieces.iter().enumerate().skip(i + 1) {
                let neighbors = j == i + 1 || (i == 0 && j == n - 1);
                let meeting = if first.bow.is_some() || second.bow.is_some() {
                    self.arcs_meet(i, first, j, second)
                } else if neighbors {
                    self.folded_back(i, j)
                } else {
                    self.sides_meet(i, j)
                };
                if let Some(at) = meeting {
                    return Err(RingError::Crossing {
                        first: self.side_name(i),
                        second: self.side_name(j),
                        north: at.north(),
                        east: at.east(),
                    });
                }
            }
        }
        Ok(())
    }

    /// Where two sides, one of them an arc, meet away from a common corner.
    fn arcs_meet(&self, i: usize, first: &Piece, j: usize, second: &Piece) -> Option<Point> {
        let n = self.len();
        let common = [
            (j == i + 1).then_some(second.from),
            (i == 0 && j == n - 1).then_some(first.from),
        ];
        let mut meeting = None;
        first.meet(second, TOUCH_FEET, |contact| {
            let at = contact.place([first, second]);
            let at_corner = common
                .into_iter()
                .flatten()
                .any(|corner| (at - corner).length().feet() <= CUSP_FEET);
            if !at_corner {
                meeting = Some(self.origin() + at);
            }
        });
        meeting
    }

    /// Where neighboring straight sides lie on each other.
    fn folded_back(&self, i: usize, j: usize) -> Option<Point> {
        let (a, b) = (self.chord(i), self.chord(j));
        let (common, before, after) = if j == i + 1 {
            (self.ends(j).0.at, self.ends(i).0.at, self.ends(j).1.at)
        } else {
            (self.ends(i).0.at, self.ends(j).0.at, self.ends(i).1.at)
        };
        (orientation(before, common, after) == 0.0 && a.dot(b) < 0.0).then_some(common)
    }

    /// Where two straight sides without a common corner meet.
    fn sides_meet(&self, i: usize, j: usize) -> Option<Point> {
        let (a, b) = (self.ends(i).0.at, self.ends(i).1.at);
        let (c, d) = (self.ends(j).0.at, self.ends(j).1.at);
        let (c_of_ab, d_of_ab) = (orientation(a, b, c), orientation(a, b, d));
        let (a_of_cd, b_of_cd) = (orientation(c, d, a), orientation(c, d, b));
        if opposite(c_of_ab, d_of_ab) && opposite(a_of_cd, b_of_cd) {
            let share = c_of_ab / (c_of_ab - d_of_ab);
            return Some(c + (d - c) * share);
        }
        [
            (c_of_ab, c, a, b),
            (d_of_ab, d, a, b),
            (a_of_cd, a, c, d),
            (b_of_cd, b, c, d),
        ]
        .into_iter()
        .find(|&(side, p, from, to)| side == 0.0 && (from - p).dot(to - p) <= 0.0)
        .map(|(_, p, _, _)| p)
    }
}

impl Side {
    /// The area in square feet between the side and its chord, positive where the
    /// side bulges to the left, which is outside of a clockwise ring: a right-hand
    /// arc does.
    pub(crate) fn segment_area(self, chord: Displacement) -> f64 {
        let Self::Arc { delta, turn } = self else {
            return 0.0;
        };
        let segment = segment_area(chord.dot(chord).sqrt(), delta.radians());
        match turn {
            Turn::Right => segment,
            Turn::Left => -segment,
        }
    }

    /// Returns `pieces - 1` places that part the side from `from` to `to` evenly, in
    /// order; none on a straight line, which needs none to be drawn.
    #[must_use]
    pub fn places_between(self, from: Point, to: Point, pieces: u16) -> Vec<Point> {
        if self == Self::Line {
            return Vec::new();
        }
        let piece = self.piece(Displacement::default(), to - from);
        (1..pieces)
            .map(|i| from + piece.at(piece.length * f64::from(i) / f64::from(pieces)))
            .collect()
    }

    /// The side as a piece between two places.
    pub(crate) fn piece(self, from: Displacement, to: Displacement) -> Piece {
        match self {
            Self::Line => Piece::line(from, to),
            Self::Arc { delta, turn } => Piece::sweeping(from, to, turn.signed(delta).radians()),
        }
    }

    /// Returns the length along a side with the given chord.
    #[must_use]
    pub fn length_of(self, chord: Length) -> Length {
        match self {
            Self::Line => chord,
            Self::Arc { delta, .. } => {
                let half = delta.radians() / 2.0;
                Length::saturating(chord.feet() * half / half.sin())
            }
        }
    }

    /// Returns the side as walked from its other end.
    #[must_use]
    pub const fn reversed(self) -> Self {
        match self {
            Self::Line => Self::Line,
            Self::Arc { delta, turn } => Self::Arc {
                delta,
                turn: turn.other(),
            },
        }
    }
}

/// Whether a point lies to the left of the way from one corner to the next. On the
/// line itself a rule decides that fits the ray of [`Ring::locate`], as if the
/// point lay a hair further north.
#[expect(
    clippy::float_cmp,
    reason = "the rule of the ray compares the coordinates themselves"
)]
fn lies_left(from: Point, to: Point, point: Point) -> bool {
    let side = orientation(from, to, point);
    let level = from.north() == to.north();
    side > 0.0 || (side == 0.0 && level && to.east() > from.east())
}

/// The area in square feet inside the sides that follow each corner, the last
/// one back to the first, positive clockwise; where sides are missing they are
/// straight.
///
/// The coordinates are taken from the first corner: state plane figures would
/// otherwise cancel their leading digits away.
pub(crate) fn clockwise_area(corners: &[Corner], sides: &[Side]) -> f64 {
    let Some(origin) = corners.first().map(|corner| corner.at) else {
        return 0.0;
    };
    let next = corners.iter().cycle().skip(1);
    let straight: f64 = corners
        .iter()
        .zip(next)
        // Walking clockwise, the next corner lies to the right of this one as
        // seen from the origin: cross is positive.
        .map(|(from, to)| (from.at - origin).cross(to.at - origin) / 2.0)
        .sum();
    straight + clockwise_segments(corners, sides)
}

/// The part of [`clockwise_area`] between the arcs and their chords.
pub(crate) fn clockwise_segments(corners: &[Corner], sides: &[Side]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(next)
        .zip(sides)
        .map(|((from, to), side)| side.segment_area(to.at - from.at))
        .sum()
}

/// The area between an arc and its chord, in square feet, from the chord in feet
/// and the central angle in radians.
///
/// Half of R^2 (d - sin d); source: U.S. Army, "Construction Surveying",
/// FM 5-233 (1985), chapter 3; from memory, the edition not at hand.
pub(crate) fn segment_area(chord: f64, delta: f64) -> f64 {
    let (sin, cos) = (delta / 2.0).sin_cos();
    let radius = chord / (2.0 * sin);
    radius * radius * (delta - 2.0 * sin * cos) / 2.0
}

impl Turn {
    /// An angle to this hand: positive to the right.
    pub(crate) fn signed(self, angle: Angle) -> Angle {
        match self {
            Self::Left => -angle,
            Self::Right => angle,
        }
    }

    /// Returns the other hand.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

#[cfg(test)]
mod tests;
