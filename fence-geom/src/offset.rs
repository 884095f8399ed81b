//! Lines held a set distance inside a ring, one distance for each side.
//!
//! The offset is a set: the ring, less for each side the square-ended strip of
//! its width, less at each corner the fill out to where the two offset lines
//! meet. Outward, the strips and fills are added. It follows that
//!
//! - offset lines meet at a miter;
//! - where they can't, they are joined by a square jog: at a straight corner with
//!   two distances, and at a blunt reflex corner where the wider strip ends
//!   square before it would meet the narrower one;
//! - at a needle the fill is cut square, see [`NEEDLE_LIMIT`];
//! - a curved side has a parallel arc, and none once its radius is used up; a
//!   fill beside it is bounded by its tangent;
//! - sides vanish, and the ring splits into pieces or dies, as the distances
//!   grow.
//!
//! Where some distances go outward and some inward, a place counts once for the
//! ring, once more for each outward strip or fill that covers it and once less
//! for each inward one; the offset is where the count is 1 or more.

mod bulk;
mod chain;
mod events;
mod flags;
mod sketch;
mod walk;

use crate::angle::Angle;
use crate::length::{Area, Length, Shift};
use crate::point::Point;
use crate::region::Region;
use crate::ring::{Ring, Turn};

use chain::Bound;
use sketch::{Sketch, Vertex};

pub use bulk::{BareRing, OffsetBuffer};
pub use events::OffsetEvent;

/// A miter at a reflex corner reaches at most this many times the larger of its
/// two distances from the pin; a sharper corner (a notch or spike of under 11.5°)
/// is cut square there, or its flag would stand far out for no use.
pub const NEEDLE_LIMIT: f64 = 10.0;

/// A corner that stands nearer than 1/8 in, in feet, to the straight line
/// between its neighbors counts as straight when its sides have different
/// distances: no tape shows that bend, and lines so nearly parallel meet nowhere
/// near.
const STRAIGHT_WITHIN_FEET: f64 = 0.125 / 12.0;

/// A bend that shows by eye is never straight, however short the sides: 1°, in
/// radians.
const STRAIGHT_WITHIN_RADIANS: f64 = 0.0175;

/// How two neighboring edges of an offset ring are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Join {
    /// The offset lines of two neighbors meet, at this one flag.
    Miter,
    /// A square jog joins them; this is one of its two flags.
    Jog,
    /// The miter of a needle is cut square; this is one of its two flags.
    Cut,
    /// The offset lines of two sides meet that are no neighbors, the sides
    /// between having vanished or the ring having split.
    Meeting,
    /// A parallel arc ends, and goes straight on to a miter.
    Tangent,
}

/// One flag of an offset ring, and how to reach it from its pin.
///
/// Sides and pins are counted as in the [`Region`] that was offset.
#[derive(Clone, Debug, PartialEq)]
pub struct OffsetCorner {
    /// The name of the pin, or `B+C` where all between pins B and C has vanished;
    /// a second flag of the same has a prime, `B'`.
    pub name: String,
    /// Where the flag is.
    pub at: Point,
    /// How the two edges are joined here.
    pub join: Join,
    /// The index of the pin that it is measured from: the one at the end of the
    /// side that arrives.
    pub source: usize,
    /// The index of the side whose line arrives.
    pub before: usize,
    /// The index of the side whose line leaves.
    pub after: usize,
    /// From the pin back along the side that arrives, to the foot of the flag;
    /// negative off the end of that side. Along the tangent of a curve.
    pub along_before: Shift,
    /// From the pin at the start of the side that leaves on along it, to the foot
    /// of the flag; negative off the end of that side. Along the tangent of a
    /// curve.
    pub along_after: Shift,
    /// Straight from the pin to the flag.
    pub straight: Length,
    /// The angle at the flag on the inside of the offset ring.
    pub interior: Angle,
    /// How far the offset ring turns at the flag, positive to the right.
    pub deflection: Angle,
}

/// What a ring of an offset bounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RingRole {
    /// What it bounds lies inside of it.
    Outer,
    /// What it bounds lies outside of it, and inside an outer ring.
    Hole,
}

/// One ring of an offset.
#[derive(Clone, Debug, PartialEq)]
pub struct OffsetRing {
    ring: Ring,
    role: RingRole,
    corners: Vec<OffsetCorner>,
    along: Vec<Option<usize>>,
    ties: Vec<flags::Tie>,
    distances: Vec<Shift>,
    source: Region,
}

/// A region offset: none, one or several rings.
#[derive(Clone, Debug, PartialEq)]
pub struct Offset {
    rings: Vec<OffsetRing>,
    distances: Vec<Shift>,
    source: Region,
}

/// Why a ring has no offset, or not the one ring that was asked for.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum OffsetError {
    /// Not one distance for each side.
    #[error("a ring of {sides} sides needs as many distances, got {distances}")]
    Count {
        /// How many sides the ring has.
        sides: usize,
        /// How many distances were given.
        distances: usize,
    },
    /// Nothing is left of the ring.
    #[error("nothing is left of the lot: side {side} vanishes with all others; {}",
        remedy(*factor, *uniform))]
    Dies {
        /// The name of a side that vanishes with the last of the ring.
        side: String,
        /// The common factor on all distances up to which one ring is left.
        factor: f64,
        /// The distance of every side, where they have one in common.
        uniform: Option<Shift>,
    },
    /// The ring is in pieces, or has a hole.
    #[error(
        "the offset line splits into {rings} rings: its corner at {corner} runs into the offset line of side {side}; {}",
        remedy(*factor, *uniform)
    )]
    Splits {
        /// How many rings there are.
        rings: usize,
        /// The name of the corner.
        corner: String,
        /// The name of the side.
        side: String,
        /// The common factor on all distances at which it does.
        factor: f64,
        /// The distance of every side, where they have one in common.
        uniform: Option<Shift>,
    },
    /// Sides so nearly on each other that no way of counting them apart agrees.
    #[error(
        "the sides of the lot can't be told apart where they touch: take out corners that stand within a thousandth of a foot of another side"
    )]
    Tangled,
}

/// What to do about an event at `factor`, in words.
fn remedy(factor: f64, uniform: Option<Shift>) -> String {
    // Rounded down, so that the figure holds when it is typed back.
    let below = |figure: f64| (figure * 10_000.0).floor() / 10_000.0;
    match uniform {
        Some(distance) => format!(
            "give less than {} ft for all sides, or a distance for each side",
            below(distance.feet().abs() * factor)
        ),
        None => format!(
            "give less than {} times these distances, or change those of the sides named",
            below(factor)
        ),
    }
}

/// Offsets a region by one distance for each side, positive to its inside.
///
/// A ring is a region without holes. Sides count through, those of holes last; a
/// hole is pushed outward, away from what is cut out.
///
/// # Errors
///
/// [`OffsetError::Count`] unless there is one distance for each side. An offset
/// with nothing left is an answer, with no rings.
///
/// # Accuracy
///
/// Works from an origin at the first corner, so that large coordinates lose
/// nothing but the last rounding of the flags. Places nearer than a billionth of
/// a foot are one.
///
/// # Examples
///
/// ```
/// use fence_geom::{Point, Ring, Shift, offset};
///
/// // Two rooms of 40 by 40 joined by a neck 10 wide.
/// let corners = [
///     ("A", 0.0, 0.0), ("B", 40.0, 0.0), ("C", 40.0, 40.0), ("E", 25.0, 40.0),
///     ("F", 25.0, 60.0), ("G", 40.0, 60.0), ("H", 40.0, 100.0), ("I", 0.0, 100.0),
///     ("J", 0.0, 60.0), ("K", 15.0, 60.0), ("L", 15.0, 40.0), ("M", 0.0, 40.0),
/// ];
/// let mut places = Vec::new();
/// for (name, north, east) in corners {
///     places.push((name, Point::new(north, east)?));
/// }
/// let lot = Ring::of_lines(places)?;
/// let inside = offset(lot.clone(), &[Shift::from_feet(6.0)?; 12])?;
/// assert_eq!(inside.pieces(), 2);
/// assert!((inside.area().square_feet() - 2.0 * 28.0 * 28.0).abs() < 1e-9);
/// assert!(inside.vanished().contains(&"E-F".to_owned()));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn offset(region: impl Into<Region>, distances: &[Shift]) -> Result<Offset, OffsetError> {
    let region = region.into();
    if distances.len() != region.side_count() {
        return Err(OffsetError::Count {
            sides: region.side_count(),
            distances: distances.len(),
        });
    }
    let origin = region.corner(0).at;
    let bounds = walk::bounds(&region, distances, origin);
    let mut outline = Outline::default();
    outline.of(&bounds)?;
    let walked = flags::Walked {
        region: &region,
        bounds: &bounds,
        backward: region.interior() == Turn::Left,
    };
    let mut names = Vec::new();
    let mut rings: Vec<OffsetRing> = outline
        .rings()
        .map(|vertices| flags::offset_ring(&walked, distances, origin, vertices, &mut names))
        .collect();
    rings.sort_by_key(|ring| ring.role == RingRole::Hole);
    Ok(Offset {
        rings,
        distances: distances.to_vec(),
        source: region,
    })
}

/// Offsets a ring by one distance for each side where the answer must be one
/// ring, positive to the inside.
///
/// # Errors
///
/// An [`OffsetError`] that says how the ring dies or splits, and how far the
/// distances would still hold.
///
/// # Examples
///
/// ```
/// use fence_geom::{Point, Ring, Shift, inset};
///
/// let lot = Ring::of_lines([
///     ("A", Point::new(0.0, 0.0)?),
///     ("B", Point::new(100.0, 0.0)?),
///     ("C", Point::new(100.0, 50.0)?),
///     ("D", Point::new(0.0, 50.0)?),
/// ])?;
/// let (near, far) = (Shift::from_feet(0.5)?, Shift::from_feet(5.0)?);
/// let fence = inset(&lot, &[near, near, near, far])?;
/// assert!((fence.ring().area().square_feet() - 94.5 * 49.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn inset(ring: &Ring, distances: &[Shift]) -> Result<OffsetRing, OffsetError> {
    let all = offset(ring.clone(), distances)?;
    all.into_one()
}

/// Offsets a ring by one distance all around, positive to the inside.
///
/// # Errors
///
/// As [`inset`].
pub fn inset_uniform(ring: &Ring, distance: Shift) -> Result<OffsetRing, OffsetError> {
    inset(ring, &vec![distance; ring.len()])
}

impl Offset {
    /// Returns the rings, outer ones first.
    #[must_use]
    pub fn rings(&self) -> &[OffsetRing] {
        &self.rings
    }

    /// Returns how many pieces there are: the outer rings.
    #[must_use]
    pub fn pieces(&self) -> usize {
        let outer = |ring: &&OffsetRing| ring.role == RingRole::Outer;
        self.rings.iter().filter(outer).count()
    }

    /// Returns the area of all pieces, holes taken off.
    #[must_use]
    pub fn area(&self) -> Area {
        let signed = |ring: &OffsetRing| {
            let area = ring.ring.area().square_feet();
            match ring.role {
                RingRole::Outer => area,
                RingRole::Hole => -area,
            }
        };
        Area::saturating(self.rings.iter().map(signed).sum())
    }

    /// Returns the length around all rings.
    #[must_use]
    pub fn perimeter(&self) -> Length {
        self.rings.iter().map(|ring| ring.ring.perimeter()).sum()
    }

    /// Returns how much there is of the offset line of a side, all stretches
    /// together; zero where it has vanished.
    #[must_use]
    pub fn line_length(&self, side: usize) -> Length {
        let stretches = self.rings.iter().flat_map(|ring| {
            let along = ring.along.iter().enumerate();
            let own = along.filter(move |(_, along)| **along == Some(side));
            own.map(|(k, _)| ring.ring.side_length(k))
        });
        stretches.sum()
    }

    /// Returns the region that was offset.
    #[must_use]
    pub const fn source(&self) -> &Region {
        &self.source
    }

    /// Returns the distance of each side.
    #[must_use]
    pub fn distances(&self) -> &[Shift] {
        &self.distances
    }

    /// Returns the names of the sides of which no offset line is left.
    #[must_use]
    pub fn vanished(&self) -> Vec<String> {
        vanished(&self.source, &self.rings)
    }

    /// Returns what next changes as all distances grow by one common factor;
    /// `None` where nothing does, up to a thousand times the distances.
    ///
    /// Offsets many times to find it: a call of its own, so that only who asks
    /// pays.
    #[must_use]
    pub fn next_event(&self) -> Option<OffsetEvent> {
        events::next_event(&self.source, &self.distances)
    }

    /// Returns the one ring that is left.
    ///
    /// # Errors
    ///
    /// [`OffsetError::Dies`] or [`OffsetError::Splits`] where there is not one.
    pub fn into_one(mut self) -> Result<OffsetRing, OffsetError> {
        match (self.rings.pop(), self.rings.is_empty()) {
            (Some(ring), true) => Ok(ring),
            (last, _) => {
                self.rings.extend(last);
                Err(self.not_one())
            }
        }
    }

    /// Why there is not one ring.
    pub(crate) fn not_one(&self) -> OffsetError {
        events::refusal(&self.source, &self.distances, self.rings.len())
    }
}

fn vanished(source: &Region, rings: &[OffsetRing]) -> Vec<String> {
    (0..source.side_count())
        .filter(|side| !rings.iter().any(|ring| ring.along.contains(&Some(*side))))
        .map(|side| source.side_name(side))
        .collect()
}

impl OffsetRing {
    /// Returns the ring of the flags.
    #[must_use]
    pub const fn ring(&self) -> &Ring {
        &self.ring
    }

    /// Returns what the ring bounds.
    #[must_use]
    pub const fn role(&self) -> RingRole {
        self.role
    }

    /// Returns the flags in order, each with how to reach it.
    #[must_use]
    pub fn corners(&self) -> &[OffsetCorner] {
        &self.corners
    }

    /// Returns the distance of each side of the ring this was made from.
    #[must_use]
    pub fn distances(&self) -> &[Shift] {
        &self.distances
    }

    /// Returns the outer ring this was made from.
    #[must_use]
    pub const fn source(&self) -> &Ring {
        self.source.outer()
    }

    /// Returns what next changes as all distances grow by one common factor, as
    /// [`Offset::next_event`].
    #[must_use]
    pub fn next_event(&self) -> Option<OffsetEvent> {
        events::next_event(&self.source, &self.distances)
    }

    /// Returns the names of the sides of which the ring has no offset line.
    #[must_use]
    pub fn vanished(&self) -> Vec<String> {
        vanished(&self.source, std::slice::from_ref(self))
    }

    /// Returns the index of the side that side `k` of [`OffsetRing::ring`] is
    /// the offset line of; `None` for a jog or a cut.
    #[must_use]
    pub fn source_side(&self, k: usize) -> Option<usize> {
        self.along.get(k % self.along.len()).copied()?
    }

    /// Returns where the flags would be if the pins were at `corners`, with the
    /// same distances and joined in the same way: the function through which the
    /// doubt of the pins reaches the flags.
    ///
    /// `None` where the points are not as many as the pins or make no ring.
    #[must_use]
    pub fn flags_from(&self, corners: &[Point]) -> Option<Vec<Point>> {
        flags::flags_from(self, corners)
    }
}

/// The boundary of an offset, and the tables to find it with.
#[derive(Clone, Debug, Default)]
struct Outline {
    vertices: Vec<Vertex>,
    ends: Vec<usize>,
    joints: Vec<chain::Joint>,
    sketch: Sketch,
}

impl Outline {
    fn of(&mut self, bounds: &[Vec<Bound>]) -> Result<(), OffsetError> {
        self.vertices.clear();
        self.ends.clear();
        self.sketch.pieces.clear();
        for ring in bounds {
            chain::joints(ring, &mut self.joints);
            chain::add_chain(ring, &self.joints, &mut self.sketch.pieces);
        }
        self.sketch
            .outline(&mut self.vertices, &mut self.ends)
            .map_err(|_| OffsetError::Tangled)
    }

    fn rings(&self) -> impl Iterator<Item = &[Vertex]> {
        let starts = std::iter::once(0).chain(self.ends.iter().copied());
        starts
            .zip(&self.ends)
            .filter_map(|(start, &end)| self.vertices.get(start..end))
    }
}

#[cfg(test)]
mod tests;
