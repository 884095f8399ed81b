//! Lines held a set distance inside a ring, one distance for each side.
//!
//! The offset ring bounds a set: the ring, less for each side the square-ended
//! strip of its width, less at each corner the fill out to where the two offset
//! lines meet. Outward, the strips and fills are added. It follows that
//!
//! - offset lines meet at a miter;
//! - where they can't, they are joined by a square jog: at a straight corner with
//!   two distances, and at a blunt reflex corner where the wider strip ends
//!   square before it would meet the narrower one;
//! - at a needle the fill is cut square, see [`NEEDLE_LIMIT`].
//!
//! Every vertex moves in a straight line as all distances grow by one common
//! factor, so the factor at which a side vanishes or the ring runs into itself
//! follows from linear equations. By that event the answer here ends: beyond it
//! is an error that names the event.

use crate::angle::Angle;
use crate::corner::{deflection, interior_angle, miter};
use crate::length::{Length, Shift};
use crate::point::{Displacement, Point};
use crate::ring::{Corner, Ring, RingError, Side, Turn};

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

/// A jog shorter than this, in feet, is left out: it is rounding.
const LEAST_JOG_FEET: f64 = 1e-6;

/// Two places nearer than this, in feet, count as touching.
const TOUCHING_FEET: f64 = 1e-7;

/// How the offset lines of two neighboring sides are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Join {
    /// They meet, at this one flag.
    Miter,
    /// A square jog joins them; this is one of its two flags.
    Jog,
    /// The miter of a needle is cut square; this is one of its two flags.
    Cut,
}

/// One flag of an offset ring, and how to reach it from its pin.
#[derive(Clone, Debug, PartialEq)]
pub struct OffsetCorner {
    /// The name of the pin; the second flag of a jog or cut has a prime, `B'`.
    pub name: String,
    /// Where the flag is.
    pub at: Point,
    /// How the two offset lines are joined here.
    pub join: Join,
    /// The index of the pin in the ring it was made from.
    pub source: usize,
    /// The index of the side that arrives at the pin.
    pub before: usize,
    /// The index of the side that leaves the pin.
    pub after: usize,
    /// From the pin back along the side that arrives, to the foot of the flag;
    /// negative off the end of that side.
    pub along_before: Shift,
    /// From the pin on along the side that leaves, to the foot of the flag;
    /// negative off the end of that side.
    pub along_after: Shift,
    /// Straight from the pin to the flag.
    pub straight: Length,
    /// The angle at the flag on the inside of the offset ring.
    pub interior: Angle,
    /// How far the offset ring turns at the flag, positive to the right.
    pub deflection: Angle,
}

/// A ring offset from another.
#[derive(Clone, Debug, PartialEq)]
pub struct OffsetRing {
    ring: Ring,
    corners: Vec<OffsetCorner>,
    distances: Vec<Shift>,
    joints: Vec<Joint>,
    source: Ring,
    next: Option<OffsetEvent>,
}

/// What happens to an offset ring at a common factor on all its distances.
#[derive(Clone, Debug, PartialEq)]
pub enum OffsetEvent {
    /// Nothing is left of the offset line of a side.
    Vanishes {
        /// The factor.
        factor: f64,
        /// The name of the side.
        side: String,
    },
    /// The flag of a corner runs into the offset line of another side.
    Splits {
        /// The factor.
        factor: f64,
        /// The name of the corner.
        corner: String,
        /// The name of the side.
        side: String,
    },
}

/// Why a ring has no offset ring.
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
    /// A curved side.
    #[error(
        "side {side} is an arc, and this version offsets straight sides only: give points along the arc as corners, so that chords take its place"
    )]
    Curved {
        /// The name of the side.
        side: String,
    },
    /// A side has no offset line left.
    #[error(
        "side {side} vanishes: its neighbors' offset lines meet before they reach its own; {}",
        remedy(*factor, *uniform)
    )]
    Vanishes {
        /// The name of the side.
        side: String,
        /// The common factor on all distances at which it does.
        factor: f64,
        /// The distance of every side, where they have one in common.
        uniform: Option<Shift>,
    },
    /// The offset ring runs into itself.
    #[error(
        "the offset line splits: its corner at {corner} runs into the offset line of side {side}; {}",
        remedy(*factor, *uniform)
    )]
    Splits {
        /// The name of the corner.
        corner: String,
        /// The name of the side.
        side: String,
        /// The common factor on all distances at which it does.
        factor: f64,
        /// The distance of every side, where they have one in common.
        uniform: Option<Shift>,
    },
    /// The offset lines don't make a ring, by a hair that the events missed.
    #[error("the offset lines make no ring")]
    NoRing(#[from] RingError),
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

/// Offsets a ring by one distance for each side, positive to the inside.
///
/// # Errors
///
/// An [`OffsetError`] that names the side or corner at fault, and how far the
/// distances would still hold.
///
/// # Accuracy
///
/// Works in displacements from the pins, so that large coordinates lose nothing
/// but the last rounding of the flags.
///
/// # Source
///
/// The linear motion of the vertices of a shrinking polygon, and its two kinds
/// of event: O. Aichholzer, F. Aurenhammer, D. Alberts, B. Gärtner, "A Novel
/// Type of Skeleton for Polygons", Journal of Universal Computer Science 1(12),
/// 1995, 752-761 (from memory).
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
    if distances.len() != ring.len() {
        return Err(OffsetError::Count {
            sides: ring.len(),
            distances: distances.len(),
        });
    }
    if let Some(arc) = ring.sides().iter().position(|side| *side != Side::Line) {
        return Err(OffsetError::Curved {
            side: ring.side_name(arc),
        });
    }
    let bends = bends(ring, distances);
    let joints: Vec<Joint> = bends.iter().map(Joint::at).collect();
    let tracks = tracks(ring, &bends, &joints);
    let next = first_event(ring, &bends, &tracks);
    if let Some(event) = &next
        && event.factor() <= 1.0 + 1e-9
    {
        return Err(event.clone().refused(distances));
    }
    let (result, corners) = ring_of(ring, &tracks)?;
    Ok(OffsetRing {
        ring: result,
        corners,
        distances: distances.to_vec(),
        joints,
        source: ring.clone(),
        next,
    })
}

/// Offsets a ring by one distance all around, positive to the inside.
///
/// # Errors
///
/// As [`inset`].
pub fn inset_uniform(ring: &Ring, distance: Shift) -> Result<OffsetRing, OffsetError> {
    inset(ring, &vec![distance; ring.len()])
}

impl OffsetRing {
    /// Returns the ring of the flags.
    #[must_use]
    pub const fn ring(&self) -> &Ring {
        &self.ring
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

    /// Returns the ring this was made from.
    #[must_use]
    pub const fn source(&self) -> &Ring {
        &self.source
    }

    /// Returns the event that ends the range of distances with these corners, as
    /// a common factor of more than 1 on all of them; `None` where none does.
    #[must_use]
    pub const fn next_event(&self) -> Option<&OffsetEvent> {
        self.next.as_ref()
    }

    /// Returns the index of the side that side `k` of [`OffsetRing::ring`] is
    /// the offset line of; `None` for a jog or a cut.
    #[must_use]
    pub fn source_side(&self, k: usize) -> Option<usize> {
        let n = self.corners.len();
        let from = self.corners.get(k % n)?;
        let to = self.corners.get((k + 1) % n)?;
        (from.source != to.source).then_some(from.after)
    }

    /// Returns where the flags would be if the pins were at `corners`, with the
    /// same distances and joined in the same way: the function through which the
    /// doubt of the pins reaches the flags.
    ///
    /// `None` where the points are not as many as the pins or make no ring.
    #[must_use]
    pub fn flags_from(&self, corners: &[Point]) -> Option<Vec<Point>> {
        if corners.len() != self.source.len() {
            return None;
        }
        let named = self.source.corners().iter().zip(corners);
        let moved = Ring::of_lines(named.map(|(pin, &at)| (pin.name.clone(), at))).ok()?;
        let bends = bends(&moved, &self.distances);
        let tracks = tracks(&moved, &bends, &self.joints);
        Some(tracks.iter().map(|track| track.flag(&moved)).collect())
    }
}

impl OffsetEvent {
    /// Returns the common factor on all distances at which it happens.
    #[must_use]
    pub const fn factor(&self) -> f64 {
        match self {
            Self::Vanishes { factor, .. } | Self::Splits { factor, .. } => *factor,
        }
    }

    fn refused(self, distances: &[Shift]) -> OffsetError {
        let uniform = distances
            .first()
            .copied()
            .filter(|first| distances.iter().all(|other| other == first));
        match self {
            Self::Vanishes { factor, side } => OffsetError::Vanishes {
                side,
                factor,
                uniform,
            },
            Self::Splits {
                factor,
                corner,
                side,
            } => OffsetError::Splits {
                corner,
                side,
                factor,
                uniform,
            },
        }
    }
}

/// A corner with the sides and distances that meet there.
struct Bend {
    /// The unit displacements along the sides, arriving and leaving.
    along: [Displacement; 2],
    /// The unit displacements to the inside of the sides.
    inward: [Displacement; 2],
    /// The distances in feet, positive inward.
    feet: [f64; 2],
    interior: Angle,
    /// Whether no tape shows that the sides bend.
    straight: bool,
}

/// Which flags a corner has; decided once, so that they can follow moved pins.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Joint {
    /// One, where the lines meet.
    Meeting,
    /// One, square off the pin from the side with the larger distance.
    Foot,
    /// Two, of a square jog.
    Jog,
    /// Two, of a cut needle.
    Cut,
}

/// The way of one flag: at factor `t` it is the pin plus `t` times `way`.
struct Track {
    corner: usize,
    join: Join,
    way: Displacement,
}

fn bends(ring: &Ring, distances: &[Shift]) -> Vec<Bend> {
    let n = ring.len();
    let feet = |i: usize| distances.get(i).map_or(0.0, |distance| distance.feet());
    let unit = |i: usize| ring.chord(i).unit().unwrap_or_default();
    let inward = |way: Displacement| match ring.interior() {
        Turn::Right => way.turned_right(),
        Turn::Left => -way.turned_right(),
    };
    (0..n)
        .map(|i| {
            let before = (i + n - 1) % n;
            let (arrive, leave) = (ring.chord(before), ring.chord(i));
            let across = (arrive + leave).length().feet();
            let interior = interior_angle(ring, i);
            let bent = (interior - Angle::STRAIGHT).radians().abs();
            Bend {
                along: [unit(before), unit(i)],
                inward: [inward(unit(before)), inward(unit(i))],
                feet: [feet(before), feet(i)],
                interior,
                straight: bent < STRAIGHT_WITHIN_RADIANS
                    && arrive.cross(leave).abs() < STRAIGHT_WITHIN_FEET * across,
            }
        })
        .collect()
}

impl Bend {
    /// The side with the larger distance first: 0 arrives, 1 leaves.
    fn by_size(&self) -> (usize, usize) {
        let [before, after] = self.feet;
        if before.abs() >= after.abs() {
            (0, 1)
        } else {
            (1, 0)
        }
    }

    /// The meeting of the two offset lines, from the pin.
    fn meeting(&self) -> Displacement {
        let [before, after] = self.feet.map(Shift::saturating);
        let [along, _] = self.along;
        let [inward, _] = self.inward;
        match miter(self.interior, before, after) {
            Ok(miter) => inward * before.feet() + along * -miter.along_before.feet(),
            // A needle that rounding has closed: its flag runs off at once.
            Err(_) => along * -Length::MAX_FEET,
        }
    }

    /// The two flags of a square jog, from the pin: on the offset line of the
    /// smaller distance, then of the larger.
    #[expect(clippy::indexing_slicing, reason = "the sides of a corner are 0 and 1")]
    fn jog(&self) -> [Displacement; 2] {
        let (wide, narrow) = self.by_size();
        let square = self.inward[wide];
        let slant = square.dot(self.inward[narrow]);
        [
            square * (self.feet[narrow] / slant),
            square * self.feet[wide],
        ]
    }

    /// The two flags where a needle is cut, from the pin, in order.
    fn cut(&self) -> [Displacement; 2] {
        let toward = self.meeting().unit().unwrap_or_default();
        let [before, after] = self.feet;
        let reach = NEEDLE_LIMIT * before.abs().max(after.abs());
        let [a, b] = self.along;
        let [m, n] = self.inward;
        let on_line = |inward: Displacement, feet: f64, along: Displacement| {
            let foot = inward * feet;
            foot + along * ((reach - foot.dot(toward)) / along.dot(toward))
        };
        [on_line(m, before, a), on_line(n, after, b)]
    }
}

impl Joint {
    #[expect(clippy::indexing_slicing, reason = "the sides of a corner are 0 and 1")]
    fn at(bend: &Bend) -> Self {
        let (wide, narrow) = bend.by_size();
        let (large, small) = (bend.feet[wide], bend.feet[narrow]);
        // Seen from the side to which the lines move, a reflex corner is one
        // where strips leave a gap; outward that is a corner under 180°.
        let past_straight = (bend.interior - Angle::STRAIGHT).radians();
        let gap = if large < 0.0 {
            -past_straight
        } else {
            past_straight
        };
        let one_way = large * small >= 0.0;
        let equal = (large - small).abs() <= 0.0;
        let ends_square = one_way && gap > 0.0 && small.abs() < large.abs() * gap.cos();
        if !equal && (bend.straight || ends_square) {
            let [first, second] = bend.jog();
            if (second - first).length().feet() <= LEAST_JOG_FEET {
                Self::Foot
            } else {
                Self::Jog
            }
        } else if one_way
            && gap > 0.0
            && bend.meeting().length().feet() > NEEDLE_LIMIT * large.abs()
        {
            Self::Cut
        } else {
            Self::Meeting
        }
    }

    /// The ways of the flags of a corner, in order around the ring.
    fn ways(self, bend: &Bend) -> Vec<(Join, Displacement)> {
        match self {
            Self::Meeting => vec![(Join::Miter, bend.meeting())],
            Self::Foot => vec![(Join::Miter, bend.jog()[1])],
            Self::Jog => {
                let [narrow, wide] = bend.jog();
                if bend.by_size().0 == 0 {
                    vec![(Join::Jog, wide), (Join::Jog, narrow)]
                } else {
                    vec![(Join::Jog, narrow), (Join::Jog, wide)]
                }
            }
            Self::Cut => bend.cut().map(|way| (Join::Cut, way)).to_vec(),
        }
    }
}

fn tracks(ring: &Ring, bends: &[Bend], joints: &[Joint]) -> Vec<Track> {
    debug_assert_eq!(ring.len(), bends.len());
    bends
        .iter()
        .zip(joints)
        .enumerate()
        .flat_map(|(corner, (bend, joint))| {
            joint
                .ways(bend)
                .into_iter()
                .map(move |(join, way)| Track { corner, join, way })
        })
        .collect()
}

impl Track {
    fn flag(&self, ring: &Ring) -> Point {
        ring.ends(self.corner).0.at + self.way
    }
}

/// Finds the smallest factor at which a side vanishes, the ring runs into itself,
/// or a buried part of a strip comes out past the ring.
fn first_event(ring: &Ring, bends: &[Bend], tracks: &[Track]) -> Option<OffsetEvent> {
    let edges = edges(ring, tracks);
    let vanishing = edges
        .iter()
        .filter_map(|edge| Some((edge.vanishes_at()?, edge)))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    // Sides that vanish bring flags and lines together as well; that is one
    // event, told as the side's.
    let before = vanishing.map_or(f64::INFINITY, |(factor, _)| factor * (1.0 - 1e-9));
    let origin = ring.ends(0).0.at;
    let splitting = contacts(ring, bends, tracks, &edges)
        .into_iter()
        .filter_map(|contact| {
            let start = ring.ends(contact.corner).0.at - origin;
            Some((
                contact.edge.touched_by(start, contact.way, contact.from)?,
                contact,
            ))
        })
        .filter(|(factor, _)| *factor < before)
        .min_by(|a, b| a.0.total_cmp(&b.0));
    splitting
        .map(|(factor, contact)| OffsetEvent::Splits {
            factor,
            corner: ring.ends(contact.corner).0.name.clone(),
            side: ring.side_name(contact.edge.side),
        })
        .or_else(|| {
            vanishing.map(|(factor, edge)| OffsetEvent::Vanishes {
                factor,
                side: ring.side_name(edge.side),
            })
        })
}

/// A place that moves from a pin, and a straight piece that it may come to touch.
struct Contact {
    corner: usize,
    way: Displacement,
    edge: Edge,
    /// The hand of the edge from which it must come; `None` for either.
    from: Option<Turn>,
}

/// Pairs each flag with each edge of the ring but its own, and with the edges of
/// each strip but its own, which it may enter; and the tips of each strip with
/// each edge of the ring, which they may leave.
fn contacts(ring: &Ring, bends: &[Bend], tracks: &[Track], edges: &[Edge]) -> Vec<Contact> {
    let Some(free) = free_hand(ring, bends) else {
        return flag_contacts(tracks, edges);
    };
    let n = ring.len();
    let ends = strip_ends(ring, bends);
    let mut contacts = flag_contacts(tracks, edges);
    for track in tracks {
        let own = [track.corner, (track.corner + n - 1) % n];
        for end in ends.iter().filter(|end| !own.contains(&end.side)) {
            let enters = |edge, from| Contact {
                corner: track.corner,
                way: track.way,
                edge,
                from: Some(from),
            };
            match far_edge(ring, end) {
                // The end where the side starts: its strip lies ahead.
                Some(far) => contacts.extend([enters(*end, free), enters(far, free)]),
                None => contacts.push(enters(*end, free.other())),
            }
        }
    }
    for end in &ends {
        contacts.extend(edges.iter().map(|&edge| Contact {
            corner: end.corner,
            way: end.along * end.growth,
            edge,
            from: Some(free.other()),
        }));
    }
    contacts
}

fn flag_contacts(tracks: &[Track], edges: &[Edge]) -> Vec<Contact> {
    let flags = tracks.iter().enumerate();
    let pairs = flags.flat_map(|(k, track)| {
        let others = edges
            .iter()
            .filter(move |edge| !edge.flags.contains(&Some(k)));
        others.map(move |&edge| Contact {
            corner: track.corner,
            way: track.way,
            edge,
            from: None,
        })
    });
    pairs.collect()
}

/// The hand of the sides to which the strips grow; `None` where they don't all
/// grow one way.
fn free_hand(ring: &Ring, bends: &[Bend]) -> Option<Turn> {
    let all = |one_way: fn(f64) -> bool| {
        let mut feet = bends.iter().flat_map(|bend| bend.feet);
        feet.all(one_way)
    };
    if all(|d| d >= 0.0) {
        Some(ring.interior())
    } else if all(|d| d <= 0.0) {
        Some(ring.interior().other())
    } else {
        None
    }
}

/// A straight piece that moves with the factor: from a flag to the next, or the
/// square end of a strip.
#[derive(Clone, Copy)]
struct Edge {
    /// The indices of its flags; a strip's end has none.
    flags: [Option<usize>; 2],
    /// The corner that it starts from.
    corner: usize,
    /// The side whose offset line or strip it belongs to.
    side: usize,
    /// The unit displacement along it, the same at every factor.
    along: Displacement,
    /// Where it starts at factor 0, and how each unit of the factor moves that.
    start: Displacement,
    way: Displacement,
    /// Its length at factor 0, and what each unit of the factor adds.
    length: f64,
    growth: f64,
}

/// The two square ends of each strip. Nearly all lie buried under a neighbor's
/// strip or in a fill.
fn strip_ends(ring: &Ring, bends: &[Bend]) -> Vec<Edge> {
    let origin = ring.ends(0).0.at;
    let n = ring.len();
    let ends = bends.iter().enumerate().flat_map(|(corner, bend)| {
        let start = ring.ends(corner).0.at - origin;
        let sides = [(corner + n - 1) % n, corner];
        let widths = bend.inward.into_iter().zip(bend.feet).zip(sides);
        widths.map(move |((square, feet), side)| Edge {
            flags: [None, None],
            corner,
            side,
            along: square * feet.signum(),
            start,
            way: Displacement::default(),
            length: 0.0,
            growth: feet.abs(),
        })
    });
    ends.filter(|end| end.growth > 0.0).collect()
}

/// The far edge of a strip from end to end, buried parts and all, found from the
/// square end at its start.
fn far_edge(ring: &Ring, end: &Edge) -> Option<Edge> {
    let chord = ring.chord(end.side);
    (end.corner == end.side).then_some(Edge {
        along: chord.unit()?,
        way: end.along * end.growth,
        length: chord.length().feet(),
        growth: 0.0,
        ..*end
    })
}

fn edges(ring: &Ring, tracks: &[Track]) -> Vec<Edge> {
    let origin = ring.ends(0).0.at;
    let next = tracks.iter().enumerate().cycle().skip(1);
    tracks
        .iter()
        .enumerate()
        .zip(next)
        .filter_map(|((k, from), (l, to))| {
            let side = from.corner;
            let growing = to.way - from.way;
            let (along, length) = if from.corner == to.corner {
                (growing.unit()?, 0.0)
            } else {
                (ring.chord(side).unit()?, ring.chord(side).length().feet())
            };
            Some(Edge {
                flags: [Some(k), Some(l)],
                corner: side,
                side,
                along,
                start: ring.ends(from.corner).0.at - origin,
                way: from.way,
                length,
                growth: growing.dot(along),
            })
        })
        .collect()
}

impl Edge {
    fn length_at(&self, factor: f64) -> f64 {
        self.length + factor * self.growth
    }

    fn vanishes_at(&self) -> Option<f64> {
        (self.growth < 0.0).then(|| self.length / -self.growth)
    }

    /// The factor at which a place that starts from `start` and goes `way` for
    /// each unit of the factor comes to lie on this edge from the given hand.
    fn touched_by(
        &self,
        start: Displacement,
        way: Displacement,
        from: Option<Turn>,
    ) -> Option<f64> {
        let gap = self.along.cross(start - self.start);
        let closing = self.along.cross(way - self.way);
        // A flag that starts on the line moves with it or away from it.
        if gap.abs() <= TOUCHING_FEET {
            return None;
        }
        let hand = if gap > 0.0 { Turn::Right } else { Turn::Left };
        if from.is_some_and(|from| from != hand) {
            return None;
        }
        let factor = -gap / closing;
        if !(factor > 0.0 && factor.is_finite()) {
            return None;
        }
        let flag = (start - self.start) + (way - self.way) * factor;
        let station = flag.dot(self.along);
        (-TOUCHING_FEET..=self.length_at(factor) + TOUCHING_FEET)
            .contains(&station)
            .then_some(factor)
    }
}

/// Puts the flags in place and checks that they make a ring.
fn ring_of(lot: &Ring, tracks: &[Track]) -> Result<(Ring, Vec<OffsetCorner>), OffsetError> {
    let names = flag_names(lot, tracks);
    let flags: Vec<Corner> = tracks
        .iter()
        .zip(names)
        .map(|(track, name)| Corner {
            name,
            at: track.flag(lot),
        })
        .collect();
    let ring = Ring::of_computed(flags)?;
    let n = lot.len();
    let corners = tracks
        .iter()
        .zip(ring.corners())
        .enumerate()
        .map(|(k, (track, flag))| {
            let before = (track.corner + n - 1) % n;
            let along = |side: usize| lot.chord(side).unit().unwrap_or_default();
            OffsetCorner {
                name: flag.name.clone(),
                at: flag.at,
                join: track.join,
                source: track.corner,
                before,
                after: track.corner,
                along_before: Shift::saturating(-track.way.dot(along(before))),
                along_after: Shift::saturating(track.way.dot(along(track.corner))),
                straight: track.way.length(),
                interior: interior_angle(&ring, k),
                deflection: deflection(&ring, k),
            }
        })
        .collect();
    Ok((ring, corners))
}

/// Names each flag after its pin; a second flag of one pin gets primes until its
/// name is free.
fn flag_names(lot: &Ring, tracks: &[Track]) -> Vec<String> {
    let mut names: Vec<String> = Vec::with_capacity(tracks.len());
    let mut last = None;
    for track in tracks {
        let mut name = lot.ends(track.corner).0.name.clone();
        if last == Some(track.corner) {
            while lot.corner(&name).is_some() || names.contains(&name) {
                name.push('\'');
            }
        }
        last = Some(track.corner);
        names.push(name);
    }
    names
}

#[cfg(test)]
mod tests;
