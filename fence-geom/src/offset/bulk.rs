//! Many rings offset one after another, without names and without allocation.
//!
//! Most rings keep all their sides and stay in one piece. For those each corner
//! moves to its miter and nothing else happens. That this is so is checked, with
//! doubt decided against it; the rest goes the general way, in the same buffer.

use super::chain::{Along, Bound};
use super::{NEEDLE_LIMIT, OffsetError, Outline};
use crate::length::{Area, Shift};
use crate::piece::Piece;
use crate::point::{Displacement, Point};
use crate::ring::{Ring, Side, Turn};

/// A side that keeps less than this of its offset line, in feet, is left to the
/// general way; so are edges that come nearer to each other.
const CLEAR_FEET: f64 = 1e-7;

/// The sine of a turn to the wrong hand that is rounding in a convex ring.
const CONVEX_WITHIN: f64 = 1e-12;

/// What offsets many rings, and holds the rings of the last.
///
/// The rings must be simple, as those of [`Ring`] are; what comes of one that
/// crosses itself is not checked. Corners may repeat and may stand on a straight
/// line.
///
/// # Examples
///
/// ```
/// use fence_geom::{OffsetBuffer, Point, Shift};
///
/// let mut square = Vec::new();
/// for (north, east) in [(0.0, 0.0), (0.0, 10.0), (10.0, 10.0), (10.0, 0.0)] {
///     square.push(Point::new(north, east)?);
/// }
/// let mut buffer = OffsetBuffer::default();
/// for feet in [1.0, 2.0, 3.0, 4.0] {
///     buffer.offset(&square, Shift::from_feet(feet)?)?;
///     let inside = 10.0 - 2.0 * feet;
///     assert!((buffer.area().square_feet() - inside * inside).abs() < 1e-12);
/// }
/// buffer.offset(&square, Shift::from_feet(6.0)?)?;
/// assert_eq!(buffer.rings().count(), 0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, Default)]
pub struct OffsetBuffer {
    flags: Vec<Point>,
    ends: Vec<usize>,
    /// What leaves each flag; none where the ring kept all its sides.
    edges: Vec<(Side, Option<usize>)>,
    units: Vec<Displacement>,
    lengths: Vec<f64>,
    chains: Vec<Chain>,
    bounds: Vec<Vec<Bound>>,
    outline: Outline,
}

/// One ring of an offset, without names: its flags, and what leaves each.
#[derive(Clone, Copy, Debug)]
pub struct BareRing<'a> {
    flags: &'a [Point],
    edges: &'a [(Side, Option<usize>)],
}

impl<'a> BareRing<'a> {
    /// Returns the flags in order, going round as the ring offset does where they
    /// bound a piece, the other way where they bound a hole.
    #[must_use]
    pub const fn flags(&self) -> &'a [Point] {
        self.flags
    }

    /// Returns what joins flag `k` to the next.
    #[must_use]
    pub fn side(&self, k: usize) -> Side {
        self.edges.get(k).map_or(Side::Line, |edge| edge.0)
    }

    /// Returns the index of the side whose offset line leaves flag `k`; `None`
    /// for a jog or a cut.
    #[must_use]
    pub fn source_side(&self, k: usize) -> Option<usize> {
        self.edges.get(k).map_or(Some(k), |edge| edge.1)
    }

    /// The enclosed area in square feet, positive clockwise.
    fn clockwise_area(&self) -> f64 {
        let Some(&origin) = self.flags.first() else {
            return 0.0;
        };
        let mut twice = 0.0;
        let mut last = Displacement::default();
        for &flag in self.flags {
            let here = flag - origin;
            twice += last.cross(here);
            last = here;
        }
        let next = self.flags.iter().cycle().skip(1);
        for ((from, to), (side, _)) in self.flags.iter().zip(next).zip(self.edges) {
            twice += 2.0 * side.segment_area(*to - *from);
        }
        twice / 2.0
    }
}

impl OffsetBuffer {
    /// Offsets a ring of straight sides by one distance all around, positive to
    /// the inside.
    ///
    /// # Errors
    ///
    /// [`OffsetError::Tangled`] where sides lie so nearly on each other that they
    /// can't be told apart.
    pub fn offset(&mut self, corners: &[Point], distance: Shift) -> Result<(), OffsetError> {
        self.clear();
        if self.moved(corners, distance.feet()) {
            self.ends.push(self.flags.len());
            return Ok(());
        }
        self.flags.clear();
        let (Some(&origin), n) = (corners.first(), corners.len()) else {
            return Ok(());
        };
        let backward = clockwise_area(corners) < 0.0;
        let width = distance.feet();
        let mut bounds = self.bounds.pop().unwrap_or_default();
        bounds.clear();
        let next = corners.iter().cycle().skip(1);
        let sides = (0_u32..).zip(corners.iter().zip(next));
        let bound = |(side, (&from, &to)): (u32, (&Point, &Point))| {
            let (from, to) = (from - origin, to - origin);
            let after = (side + 1) % u32::try_from(n).unwrap_or(u32::MAX);
            let (corner, from, to) = if backward {
                (after, to, from)
            } else {
                (side, from, to)
            };
            Bound::new(side, corner, Piece::line(from, to), width)
        };
        bounds.extend(sides.filter(|(_, (from, to))| from != to).map(bound));
        if backward {
            bounds.reverse();
        }
        self.general(bounds, backward, origin)
    }

    /// Offsets a ring with one distance for each side, positive to the inside.
    ///
    /// # Errors
    ///
    /// [`OffsetError::Count`] unless there is one distance for each side;
    /// [`OffsetError::Tangled`] as for [`OffsetBuffer::offset`].
    pub fn offset_ring(&mut self, ring: &Ring, distances: &[Shift]) -> Result<(), OffsetError> {
        if distances.len() != ring.len() {
            return Err(OffsetError::Count {
                sides: ring.len(),
                distances: distances.len(),
            });
        }
        self.clear();
        let backward = ring.interior() == Turn::Left;
        let origin = ring.ends(0).0.at;
        let mut bounds = self.bounds.pop().unwrap_or_default();
        super::walk::bounds_of(ring, 0, distances, backward, origin, &mut bounds);
        self.general(bounds, backward, origin)
    }

    /// Returns the rings of the last offset.
    pub fn rings(&self) -> impl Iterator<Item = BareRing<'_>> {
        let starts = std::iter::once(0).chain(self.ends.iter().copied());
        starts.zip(&self.ends).filter_map(|(start, &end)| {
            Some(BareRing {
                flags: self.flags.get(start..end)?,
                edges: self.edges.get(start..end).unwrap_or_default(),
            })
        })
    }

    /// Returns the area of all pieces, holes taken off.
    #[must_use]
    pub fn area(&self) -> Area {
        let area: f64 = self.rings().map(|ring| ring.clockwise_area()).sum();
        Area::saturating(area.abs())
    }

    fn clear(&mut self) {
        self.flags.clear();
        self.ends.clear();
        self.edges.clear();
    }

    fn general(
        &mut self,
        bounds: Vec<Bound>,
        backward: bool,
        origin: Point,
    ) -> Result<(), OffsetError> {
        self.bounds.clear();
        self.bounds.push(bounds);
        self.outline.of(&self.bounds)?;
        for vertices in self.outline.rings() {
            for stop in super::flags::in_order(vertices, backward) {
                let vertex = stop.vertex;
                let along = match vertex.along {
                    Along::Side(side) => Some(side as usize),
                    _ => None,
                };
                self.flags.push(origin + vertex.at);
                self.edges.push((vertex.side(), along));
            }
            self.ends.push(self.flags.len());
        }
        Ok(())
    }

    /// Moves each corner to its miter; whether nothing else happens.
    fn moved(&mut self, corners: &[Point], feet: f64) -> bool {
        let n = corners.len();
        if n < 3 {
            return false;
        }
        self.units.clear();
        self.lengths.clear();
        let next = corners.iter().cycle().skip(1);
        for (&from, &to) in corners.iter().zip(next) {
            let way = to - from;
            let square = way.dot(way);
            // Also where a corner repeats.
            if square < CLEAR_FEET * CLEAR_FEET {
                return false;
            }
            let length = square.sqrt();
            self.lengths.push(length);
            self.units.push(way * (1.0 / length));
        }
        let inward = if clockwise_area(corners) < 0.0 {
            -feet
        } else {
            feet
        };
        let Some(convex) = self.miters(corners, inward) else {
            return false;
        };
        convex || self.is_simple()
    }

    /// Adds the miters of all corners, for a ring whose inside is to the right
    /// when `feet` is positive; whether it stays convex, or `None` where a side or
    /// a needle needs the general way.
    fn miters(&mut self, corners: &[Point], feet: f64) -> Option<bool> {
        let hand = feet.signum();
        let (&last, first) = (self.units.last()?, self.units.first()?);
        let first_trim = feet * last.cross(*first) / (1.0 + last.dot(*first));
        let mut convex = true;
        let mut before = last;
        let mut trim = first_trim;
        let after = self.units.iter().skip(1).chain(std::iter::once(first));
        let sides = self.units.iter().zip(after).zip(&self.lengths);
        for (((&unit, &next), &length), &corner) in sides.zip(corners) {
            let dot = before.dot(unit);
            if hand * before.cross(unit) < CONVEX_WITHIN {
                convex &= hand * before.cross(unit) >= -CONVEX_WITHIN;
                // The miter reaches the square root of 2 / (1 + dot).
                if (1.0 + dot) * NEEDLE_LIMIT * NEEDLE_LIMIT < 2.0 {
                    return None;
                }
            }
            let next_trim = feet * unit.cross(next) / (1.0 + unit.dot(next));
            let kept = length - trim - next_trim;
            // So written, what is not a number goes the general way too.
            if !(kept > CLEAR_FEET && trim <= length && next_trim <= length) {
                return None;
            }
            self.flags
                .push(corner + (unit.turned_right() * feet + unit * trim));
            before = unit;
            trim = next_trim;
        }
        Some(convex)
    }

    /// Whether no two edges of the moved ring come near each other but
    /// neighbors at their flag.
    ///
    /// Edges in a row that all go north, or all south, can't meet each other; so
    /// only such chains are compared, edge by edge in step from south to north.
    fn is_simple(&mut self) -> bool {
        self.chains.clear();
        split(&self.flags, &mut self.chains);
        let pairs = self.chains.iter().enumerate();
        let mut pairs = pairs.flat_map(|(i, a)| {
            let others = self.chains.iter().skip(i + 1);
            others.map(move |b| (a, b))
        });
        !pairs.any(|(a, b)| a.meets(b, &self.flags))
    }
}

/// Edges in a row of which all go north, or all south.
#[derive(Clone, Copy, Debug)]
struct Chain {
    /// The flag at which it starts, and how many edges it has.
    start: usize,
    count: usize,
    north: bool,
    /// The box around it.
    low: [f64; 2],
    high: [f64; 2],
}

fn split(flags: &[Point], chains: &mut Vec<Chain>) {
    let n = flags.len();
    let at = |k: usize| flags.get(k % n).copied().unwrap_or_default();
    let north = |k: usize| at(k + 1).north() >= at(k).north();
    // Start where the hand changes, so that no chain runs over the end.
    let first = (0..n).find(|&k| north(k) != north(k + n - 1)).unwrap_or(0);
    for k in first..first + n {
        let (from, to) = (at(k), at(k + 1));
        match chains.last_mut() {
            Some(chain) if k > first && chain.north == north(k) => chain.count += 1,
            _ => chains.push(Chain {
                start: k,
                count: 1,
                north: north(k),
                low: [f64::INFINITY; 2],
                high: [f64::NEG_INFINITY; 2],
            }),
        }
        if let Some(chain) = chains.last_mut() {
            for end in [from, to] {
                let end = [end.north(), end.east()];
                for ((low, high), end) in chain.low.iter_mut().zip(&mut chain.high).zip(end) {
                    *low = low.min(end);
                    *high = high.max(end);
                }
            }
        }
    }
}

impl Chain {
    /// Edge `k` from the south, as the index of the flag at which it starts.
    fn edge(&self, k: usize) -> usize {
        if self.north {
            self.start + k
        } else {
            self.start + self.count - 1 - k
        }
    }

    fn meets(&self, other: &Self, flags: &[Point]) -> bool {
        let apart = |low: [f64; 2], high: [f64; 2]| {
            low.iter()
                .zip(high)
                .any(|(low, high)| *low > high + CLEAR_FEET)
        };
        if apart(self.low, other.high) || apart(other.low, self.high) {
            return false;
        }
        let n = flags.len();
        let at = |k: usize| flags.get(k % n).copied().unwrap_or_default();
        let top = |k: usize| at(k).north().max(at(k + 1).north());
        let (mut i, mut j) = (0, 0);
        while i < self.count && j < other.count {
            let (a, b) = (self.edge(i), other.edge(j));
            let neighbors = (a + 1) % n == b % n || (b + 1) % n == a % n;
            if !neighbors && near([at(a), at(a + 1)], [at(b), at(b + 1)]) {
                return true;
            }
            if top(a) <= top(b) {
                i += 1;
            } else {
                j += 1;
            }
        }
        false
    }
}

/// Whether two edges may come near each other.
fn near(a: [Point; 2], b: [Point; 2]) -> bool {
    let one_side = |[from, to]: [Point; 2], ends: [Point; 2]| {
        let way = to - from;
        let margin = CLEAR_FEET * (way.north().abs() + way.east().abs());
        let [p, q] = ends.map(|end| way.cross(end - from));
        p.min(q) > margin || p.max(q) < -margin
    };
    !(one_side(a, b) || one_side(b, a))
}

/// The area of a ring of straight sides in square feet, positive clockwise.
fn clockwise_area(corners: &[Point]) -> f64 {
    let Some(&origin) = corners.first() else {
        return 0.0;
    };
    let mut twice = 0.0;
    let mut last = Displacement::default();
    for &corner in corners {
        let here = corner - origin;
        twice += last.cross(here);
        last = here;
    }
    twice / 2.0
}
