//! The flags of an offset ring: what meets at each, and how it is reached.

use super::chain::{self, Along, Bound};
use super::sketch::Vertex;
use super::{Join, OffsetCorner, OffsetRing, RingRole, walk};
use crate::angle::Angle;
use crate::corner::{deflection, interior_angle};
use crate::length::Shift;
use crate::piece::Bow;
use crate::point::{Displacement, Point};
use crate::region::Region;
use crate::ring::{Corner, Ring, Side, Turn};

/// A flag nearer than this, in feet, to a place of a joint is that place.
const SAME_FEET: f64 = 1e-6;

/// How a flag follows its pins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Tie {
    /// A place of the joint at a corner.
    Joint { corner: usize, spot: Spot },
    /// Where the offset lines of two sides meet, nearest to where it is.
    Meeting { before: usize, after: usize },
    /// As the corner goes.
    Corner(usize),
}

/// A place of a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Spot {
    Meeting,
    Step,
    EndOfFirst,
    StartOfSecond,
    CutOfFirst,
    CutOfSecond,
}

const SPOTS: [Spot; 6] = [
    Spot::Meeting,
    Spot::Step,
    Spot::EndOfFirst,
    Spot::StartOfSecond,
    Spot::CutOfFirst,
    Spot::CutOfSecond,
];

impl Spot {
    /// The place, from the pin.
    fn way(self, arriving: &Bound, leaving: &Bound) -> Displacement {
        match self {
            Self::Meeting => chain::meeting(arriving, leaving),
            Self::Step => chain::step(arriving, leaving),
            Self::EndOfFirst => arriving.along[1].turned_right() * arriving.width,
            Self::StartOfSecond => leaving.along[0].turned_right() * leaving.width,
            Self::CutOfFirst => chain::cut(arriving, leaving)[0],
            Self::CutOfSecond => chain::cut(arriving, leaving)[1],
        }
    }
}

/// The sides of a region by index, as walked.
pub(super) struct Walked<'a> {
    pub(super) region: &'a Region,
    pub(super) bounds: &'a [Vec<Bound>],
    /// Whether the outer ring is walked against its order.
    pub(super) backward: bool,
}

impl Walked<'_> {
    fn bound(&self, side: usize) -> Option<&Bound> {
        let all = self.bounds.iter().flatten();
        all.into_iter()
            .find(|bound| usize::try_from(bound.side) == Ok(side))
    }

    /// The corner at the end of a side as walked, and the side that leaves it.
    fn after(&self, side: usize) -> Option<(usize, &Bound)> {
        self.bounds.iter().find_map(|ring| {
            let k = ring
                .iter()
                .position(|bound| usize::try_from(bound.side) == Ok(side))?;
            let next = ring.get((k + 1) % ring.len())?;
            Some((next.corner as usize, next))
        })
    }

    /// The sides that meet at a corner, as walked.
    fn at_corner(&self, corner: usize) -> Option<[&Bound; 2]> {
        self.bounds.iter().find_map(|ring| {
            let k = ring
                .iter()
                .position(|bound| usize::try_from(bound.corner) == Ok(corner))?;
            let n = ring.len();
            Some([ring.get((k + n - 1) % n)?, ring.get(k)?])
        })
    }

    fn sides_of(&self, along: Along) -> [usize; 2] {
        match along {
            Along::Side(side) | Along::Extension(side) => [side as usize; 2],
            Along::Joint(corner) => self
                .at_corner(corner as usize)
                .map_or([0; 2], |pair| pair.map(|bound| bound.side as usize)),
        }
    }

    /// How the flag between two edges follows its pins.
    fn tie(&self, into: Along, out: Along, at: Displacement) -> Tie {
        let (before, after) = (self.sides_of(into)[0], self.sides_of(out)[1]);
        let corner = match (into, out) {
            (Along::Joint(corner), _) | (_, Along::Joint(corner)) => Some(corner as usize),
            _ => (self.after(before))
                .filter(|(_, next)| next.side as usize == after)
                .map(|(corner, _)| corner)
                .or_else(|| {
                    // Where an arc goes on straight both are one side.
                    let start = self.bound(before)?;
                    let (end, _) = self.after(before)?;
                    let near = |c: &usize| {
                        let pin = self.at_corner(*c).map(|pair| pair[1].piece.from);
                        pin.map_or(f64::INFINITY, |pin| (pin - at).length().feet())
                    };
                    (before == after).then(|| {
                        [start.corner as usize, end]
                            .into_iter()
                            .min_by(|a, b| near(a).total_cmp(&near(b)))
                    })?
                }),
        };
        let Some(corner) = corner else {
            return Tie::Meeting { before, after };
        };
        let Some([a, b]) = self.at_corner(corner) else {
            return Tie::Corner(corner);
        };
        let spot = SPOTS.into_iter().find(|spot| {
            let off = b.piece.from + spot.way(a, b) - at;
            off.dot(off) <= SAME_FEET * SAME_FEET
        });
        match (spot, into, out) {
            (Some(spot), ..) => Tie::Joint { corner, spot },
            (None, Along::Joint(_), _) | (None, _, Along::Joint(_)) => Tie::Corner(corner),
            _ => Tie::Meeting { before, after },
        }
    }

    /// Where a flag is by its tie; `None` where its lines don't meet.
    fn place(&self, tie: Tie, at: Displacement, pin: Displacement) -> Option<Displacement> {
        match tie {
            Tie::Joint { corner, spot } => {
                let [a, b] = self.at_corner(corner)?;
                Some(b.piece.from + spot.way(a, b))
            }
            Tie::Meeting { before, after } => {
                let (a, b) = (self.bound(before)?, self.bound(after)?);
                a.offset().carriers_meet(&b.offset(), at)
            }
            Tie::Corner(corner) => {
                let [_, b] = self.at_corner(corner)?;
                Some(at + (b.piece.from - pin))
            }
        }
    }

    fn join(&self, into: Along, out: Along, tie: Tie) -> Join {
        match (into, out, tie) {
            (
                _,
                _,
                Tie::Joint {
                    spot: Spot::CutOfFirst | Spot::CutOfSecond,
                    ..
                },
            ) => Join::Cut,
            (Along::Joint(_), ..) | (_, Along::Joint(_), _) => Join::Jog,
            (Along::Side(a), Along::Extension(b), _) | (Along::Extension(a), Along::Side(b), _)
                if a == b =>
            {
                Join::Tangent
            }
            (Along::Side(a) | Along::Extension(a), Along::Side(b) | Along::Extension(b), _) => {
                let next = self.after(a as usize).map(|(_, next)| next.side);
                if next == Some(b) {
                    Join::Miter
                } else {
                    Join::Meeting
                }
            }
        }
    }
}

/// A vertex in the order of the source, with the edge that leaves it so, and what
/// the edge that arrives lies on.
#[derive(Clone, Copy)]
pub(super) struct Stop {
    pub(super) into: Along,
    pub(super) vertex: Vertex,
}

/// The vertices of one ring in the order of the source.
pub(super) fn in_order(vertices: &[Vertex], backward: bool) -> impl Iterator<Item = Stop> {
    let n = vertices.len();
    let stop = move |k: usize| {
        let k = if backward { n - 1 - k } else { k };
        let before = if k == 0 { n - 1 } else { k - 1 };
        let (here, before) = (vertices.get(k)?, vertices.get(before)?);
        Some(if backward {
            let bow = before.bow.map(Bow::reversed);
            let vertex = Vertex {
                at: here.at,
                bow,
                along: before.along,
            };
            Stop {
                into: here.along,
                vertex,
            }
        } else {
            Stop {
                into: before.along,
                vertex: *here,
            }
        })
    };
    (0..n).filter_map(stop)
}

impl Vertex {
    /// What joins the vertex to the next.
    pub(super) fn side(&self) -> Side {
        match self.bow {
            None => Side::Line,
            Some(bow) => Side::Arc {
                delta: Angle::of_radians(bow.sweep.abs()),
                turn: if bow.sweep > 0.0 {
                    Turn::Right
                } else {
                    Turn::Left
                },
            },
        }
    }
}

/// Makes a named ring of vertices.
pub(super) fn offset_ring(
    walked: &Walked<'_>,
    distances: &[Shift],
    origin: Point,
    vertices: &[Vertex],
    taken: &mut Vec<String>,
) -> OffsetRing {
    let mut flags: Vec<Stop> = in_order(vertices, walked.backward).collect();
    if flags.len() == 2 {
        halve_arc(&mut flags);
    }
    let mut sources: Vec<Source> = flags.iter().map(|stop| Source::of(walked, stop)).collect();
    let first = first_flag(&sources);
    flags.rotate_left(first);
    sources.rotate_left(first);
    let names = names(walked.region, &sources, taken);
    let corners: Vec<Corner> = flags
        .iter()
        .zip(&names)
        .map(|(stop, name)| Corner {
            name: name.clone(),
            at: origin + stop.vertex.at,
        })
        .collect();
    let sides = flags.iter().map(|stop| stop.vertex.side()).collect();
    let ring = Ring::of_computed(corners, sides);
    let is_outer = ring.interior() == walked.region.interior();
    let corners = sources
        .iter()
        .enumerate()
        .map(|(k, source)| source.corner(walked.region, &ring, k))
        .collect();
    OffsetRing {
        along: flags
            .iter()
            .map(|stop| match stop.vertex.along {
                Along::Side(side) => Some(side as usize),
                _ => None,
            })
            .collect(),
        ring,
        role: if is_outer {
            RingRole::Outer
        } else {
            RingRole::Hole
        },
        corners,
        distances: distances.to_vec(),
        ties: sources.iter().map(|source| source.tie).collect(),
        source: walked.region.clone(),
    }
}

/// Gives a ring of two vertices a third in the middle of its longer arc.
fn halve_arc(flags: &mut Vec<Stop>) {
    let length = |stop: &Stop| (stop.vertex.bow).map_or(0.0, |bow| bow.radius * bow.sweep.abs());
    let longest = (flags.iter().enumerate())
        .max_by(|a, b| length(a.1).total_cmp(&length(b.1)))
        .map_or(0, |(k, _)| k);
    let Some(Stop { vertex, .. }) = flags.get_mut(longest) else {
        return;
    };
    let Some(bow) = &mut vertex.bow else { return };
    bow.sweep /= 2.0;
    let (sin, cos) = bow.sweep.sin_cos();
    let out = vertex.at - bow.center;
    let half = Vertex {
        at: bow.center + out * cos + out.turned_right() * sin,
        ..*vertex
    };
    let into = half.along;
    flags.insert(longest + 1, Stop { into, vertex: half });
}

/// Where a flag comes from.
struct Source {
    before: usize,
    after: usize,
    /// The corner it is named after and measured from, and the one after which
    /// sides have vanished, if any have.
    pins: [usize; 2],
    join: Join,
    tie: Tie,
}

impl Source {
    fn of(walked: &Walked<'_>, stop: &Stop) -> Self {
        let (at, into, out) = (stop.vertex.at, stop.into, stop.vertex.along);
        // A ring walked against its order has its edges the other way round.
        let (first, second) = if walked.backward {
            (out, into)
        } else {
            (into, out)
        };
        let tie = walked.tie(first, second, at);
        let join = walked.join(first, second, tie);
        let region = walked.region;
        let mut sides = [walked.sides_of(first)[0], walked.sides_of(second)[1]];
        if walked.backward {
            sides.reverse();
        }
        let [before, after] = sides;
        let pins = match tie {
            Tie::Joint { corner, .. } | Tie::Corner(corner) => [corner; 2],
            Tie::Meeting { .. } => [region.end_of(before), after],
        };
        Self {
            before,
            after,
            pins,
            join,
            tie,
        }
    }

    fn corner(&self, region: &Region, ring: &Ring, k: usize) -> OffsetCorner {
        let flag = ring.ends(k).0;
        let [pin, next] = self.pins.map(|pin| region.corner(pin).at);
        let (back, on) = (flag.at - pin, flag.at - next);
        OffsetCorner {
            name: flag.name.clone(),
            at: flag.at,
            join: self.join,
            source: self.pins[0],
            before: self.before,
            after: self.after,
            along_before: Shift::saturating(-back.dot(tangents(region, self.before)[1])),
            along_after: Shift::saturating(on.dot(tangents(region, self.after)[0])),
            straight: back.length(),
            interior: interior_angle(ring, k),
            deflection: deflection(ring, k),
        }
    }
}

/// The unit displacements along a side at its start and its end.
fn tangents(region: &Region, side: usize) -> [Displacement; 2] {
    let (ring, i) = region.ring_of(side);
    let chord = ring.chord(i);
    let kind = ring.sides().get(i).copied().unwrap_or(Side::Line);
    Bound::new(0, 0, kind.piece(Displacement::default(), chord), 0.0).along
}

/// The flag to begin with: the first of the first corner.
fn first_flag(sources: &[Source]) -> usize {
    let n = sources.len();
    let pin = |k: usize| sources.get(k % n).map(|source| source.pins[0]);
    (0..n)
        .min_by_key(|&k| (pin(k), pin(k) == pin(k + n - 1)))
        .unwrap_or(0)
}

/// Names each flag after its pin, or the two between whose sides others have
/// vanished; a second flag of the same gets primes until its name is free.
fn names(region: &Region, sources: &[Source], taken: &mut Vec<String>) -> Vec<String> {
    let mut names = Vec::with_capacity(sources.len());
    for source in sources {
        let [first, second] = source.pins.map(|pin| region.corner(pin).name.as_str());
        let mut name = if first == second {
            first.to_owned()
        } else {
            format!("{first}+{second}")
        };
        let is_pin = |name: &str| region.rings().any(|ring| ring.corner(name).is_some());
        let first_name = name.clone();
        while taken.contains(&name) || (name != first_name && is_pin(&name)) {
            name.push('\'');
        }
        taken.push(name.clone());
        names.push(name);
    }
    names
}

/// Where the flags of a ring would be if its pins were elsewhere.
pub(super) fn flags_from(offset: &OffsetRing, corners: &[Point]) -> Option<Vec<Point>> {
    let source = &offset.source;
    if corners.len() != source.side_count() {
        return None;
    }
    let mut left = corners.iter();
    let mut moved = source.rings().map(|ring| {
        let named = ring.corners().iter().zip(left.by_ref());
        let corners = named
            .map(|(corner, &at)| Corner {
                name: corner.name.clone(),
                at,
            })
            .collect();
        Ring::new(corners, ring.sides().to_vec()).ok()
    });
    let outer = moved.next()??;
    let holes: Option<Vec<Ring>> = moved.collect();
    let region = Region::new(outer, holes?).ok()?;
    let origin = region.corner(0).at;
    let bounds = walk::bounds(&region, &offset.distances, origin);
    let walked = Walked {
        region: &region,
        bounds: &bounds,
        backward: region.interior() == Turn::Left,
    };
    let flags = offset.ring.corners().iter().zip(&offset.ties);
    flags
        .map(|(flag, &tie)| {
            let pin = match tie {
                Tie::Corner(corner) => source.corner(corner).at,
                _ => origin,
            };
            let at = walked.place(tie, flag.at - origin, pin - origin)?;
            Some(origin + at)
        })
        .collect()
}
