//! The fence itself: runs from flag to flag along the offset lines, straight or on
//! an arc, to and from the house.
//!
//! Flags and string mark the outside face of the posts, the face away from the
//! yard. A post's center, and its hole's, stand half a post's width from the
//! string toward the yard.

mod crossing;
mod error;
mod flag;

pub use error::{GapError, RouteError};

use crossing::{check_run, comes};
pub(crate) use flag::all_stand_on;
use flag::{carried_on, corner_index, is_arc, place};

use crate::angle::Angle;
use crate::bearing::Azimuth;
use crate::corner::{CornerError, corner_post_face};
use crate::length::{Length, Shift};
use crate::offset::OffsetRing;
use crate::piece::Piece;
use crate::point::{Displacement, Point};
use crate::ring::{Place, Ring, Side, Turn};

/// A flag nearer than this to an offset line stands on it, in feet: well under
/// what a crew can see, well over what rounding leaves of computed flags.
const ON_LINE_FEET: f64 = 1e-4;

/// A run shorter than this is none, in feet: 1/8 in.
const LEAST_RUN_FEET: f64 = 0.125 / 12.0;

/// A place where the fence turns or ends.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Stop {
    /// The flag at a corner of the offset ring.
    Corner {
        /// The corner's name.
        corner: String,
    },
    /// A flag on an offset line, measured from a corner's flag.
    OnSide {
        /// A name for the flag.
        name: String,
        /// The side of the lot that the offset line belongs to.
        side: String,
        /// The corner at one end of that offset line to measure from.
        from: String,
        /// How far from that flag.
        distance: Length,
    },
    /// Where a line squared off a house wall meets an offset line.
    Squared {
        /// A name for the flag.
        name: String,
        /// Two points on the face of the wall.
        wall: (Point, Point),
        /// The point from which the line is squared off.
        at: Point,
        /// The side of the lot that the offset line belongs to.
        side: String,
    },
    /// Where a house wall carried on in its own line meets an offset line.
    Prolonged {
        /// A name for the flag.
        name: String,
        /// Two points on the face of the wall; the line goes on from the second.
        wall: (Point, Point),
        /// The side of the lot that the offset line belongs to.
        side: String,
    },
    /// The fence ends here against the face of a wall or of another fence.
    Wall {
        /// A name for the place.
        name: String,
        /// The point on the face.
        at: Point,
        /// The gap allowed between the wall and the fence.
        gap: Gap,
        /// Whether a panel is bracketed to the wall, so that no post stands
        /// there.
        bracketed: bool,
    },
    /// The fence branches off one that is there already, at a flag where that runs
    /// straight on; [`join_tees`](crate::join_tees) puts the two together.
    Tee {
        /// The name of that flag.
        name: String,
        /// Where it is.
        at: Point,
    },
    /// A flag anywhere.
    Free {
        /// A name for the flag.
        name: String,
        /// Where it is.
        at: Point,
    },
}

/// The gap allowed between a wall and the first post or panel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Invariant: not above `most`.
    least: Length,
    most: Length,
}

/// A stop in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Flag {
    /// The name of the corner, or of the stop.
    pub name: String,
    /// Where it is.
    pub at: Point,
    /// What was asked for.
    pub stop: Stop,
}

/// What stands at the end of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum RunEnd {
    /// A corner post, or a line post where the fence runs straight on.
    Corner {
        /// The angle between the two runs on the yard's side.
        interior: Angle,
    },
    /// A post where one fence branches off another.
    Tee {
        /// Its center stands (w/2) cot(seat/2) from the flag along this run, with `w`
        /// the width of the post: as in a corner of that angle.
        seat: Angle,
        /// Whether this run is the branch, whose post the other fence sets.
        branch: bool,
    },
    /// A post that stands off a wall by a gap.
    WallPost {
        /// The gap.
        gap: Gap,
    },
    /// A panel bracketed to a wall, with no post.
    WallBracket {
        /// The gap.
        gap: Gap,
    },
    /// A post whose outer edge stands at the flag, so that nothing reaches past
    /// it.
    Free,
}

/// Where the inner face of an end post may stand, from the end's reference (the
/// flag or the wall's face) into the run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FaceRange {
    /// The least distance.
    pub least: Shift,
    /// The greatest distance; the same where nothing may shift.
    pub most: Shift,
}

/// A piece of fence between two flags: straight, or along the arc of a curved side.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// The index of the flag it starts from.
    pub from: usize,
    /// The index of the flag it goes to.
    pub to: usize,
    /// The two ends of the string.
    pub string: (Point, Point),
    /// How the string goes from the one to the other.
    pub shape: Side,
    /// From flag to flag along the string.
    pub length: Length,
    /// The way to face at the start, walking the run.
    pub azimuth: Azimuth,
    /// The hand on which the yard lies, walking the run.
    pub yard: Turn,
    /// The index of the lot side on whose offset line it lies.
    pub side: Option<usize>,
    /// How far the string is from that side, positive inside the lot.
    pub string_to_line: Option<Shift>,
    /// What stands at its start.
    pub start: RunEnd,
    /// What stands at its end.
    pub end: RunEnd,
}

/// The fence: flags in order, and the runs between them.
#[derive(Clone, Debug, PartialEq)]
pub struct Route {
    /// The flags in order.
    pub flags: Vec<Flag>,
    /// The runs; run `i` starts from flag `i`.
    pub runs: Vec<Run>,
    /// Whether the last run returns to the first flag.
    pub closed: bool,
}

impl Route {
    /// Checks that no run goes through an area, such as an easement or a septic
    /// field, in which nothing may be built.
    ///
    /// # Errors
    ///
    /// [`RouteError::ThroughNoBuild`] with the first run that does, and where.
    pub fn keeps_clear_of(&self, area: &str, outline: &Ring) -> Result<(), RouteError> {
        for run in &self.runs {
            if let Some(at) = comes(run, outline, Place::Inside) {
                let (from, to) = run_names(&self.flags, run);
                return Err(RouteError::ThroughNoBuild {
                    from,
                    to,
                    area: area.to_owned(),
                    north: at.north(),
                    east: at.east(),
                });
            }
        }
        Ok(())
    }

    /// The route with its flags at other places, by so little that each run keeps
    /// its side and nothing new comes in its way.
    pub(crate) fn moved(&self, flags: &[Point]) -> Self {
        let mut moved = self.clone();
        for (flag, &at) in moved.flags.iter_mut().zip(flags) {
            flag.at = at;
        }
        for run in &mut moved.runs {
            let ends = (moved.flags.get(run.from), moved.flags.get(run.to));
            if let (Some(from), Some(to)) = ends {
                run.string = (from.at, to.at);
                run.length = run.shape.length_of(from.at.distance(to.at));
                run.azimuth = run.ways()[0].azimuth();
            }
        }
        set_ends(&mut moved.runs, &moved.flags);
        moved
    }
}

impl Gap {
    /// Creates a gap from its limits.
    ///
    /// # Errors
    ///
    /// [`GapError`] where the least is above the most.
    pub fn new(least: Length, most: Length) -> Result<Self, GapError> {
        if least > most {
            return Err(GapError {
                least: least.feet(),
                most: most.feet(),
            });
        }
        Ok(Self { least, most })
    }

    /// Returns the least gap.
    #[must_use]
    pub const fn least(self) -> Length {
        self.least
    }

    /// Returns the greatest gap.
    #[must_use]
    pub const fn most(self) -> Length {
        self.most
    }
}

impl Stop {
    /// Returns the name of the corner or of the stop.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Self::Corner { corner } => corner,
            Self::OnSide { name, .. }
            | Self::Squared { name, .. }
            | Self::Wall { name, .. }
            | Self::Prolonged { name, .. }
            | Self::Tee { name, .. }
            | Self::Free { name, .. } => name,
        }
    }
}

impl Run {
    /// Returns the place on the string at station `s` from the start.
    #[must_use]
    pub fn string_at(&self, s: Shift) -> Point {
        self.string.0 + self.piece().at(s.feet())
    }

    /// Returns the center of a post, and of its hole, whose middle is at station
    /// `s`: half the post's width off the string, toward the yard.
    #[must_use]
    pub fn post_center(&self, s: Shift, width: Length) -> Point {
        self.inside_string(s, width.feet() / 2.0)
    }

    /// Returns the station of a place: where its square foot on the string falls.
    #[must_use]
    pub fn station(&self, place: Point) -> Shift {
        Shift::saturating(self.piece().station(place - self.string.0))
    }

    /// Returns the direction square off the string toward the yard at station `s`.
    #[must_use]
    pub fn yard_direction(&self, s: Shift) -> Azimuth {
        self.toward_yard(s).azimuth()
    }

    /// Returns the center of the arc of a curved run; `None` for a straight one.
    #[must_use]
    pub fn center(&self) -> Option<Point> {
        let bow = self.piece().bow?;
        Some(self.string.0 + bow.center)
    }

    /// Returns the radius of the string of a curved run; `None` for a straight one.
    #[must_use]
    pub fn radius(&self) -> Option<Length> {
        Some(Length::saturating(self.piece().bow?.radius))
    }

    /// The place so many feet off the string toward the yard.
    pub(crate) fn inside_string(&self, s: Shift, feet: f64) -> Point {
        self.string_at(s) + self.toward_yard(s) * feet
    }

    /// One foot on along the string, at its start and at its end.
    pub(crate) fn ways(&self) -> [Displacement; 2] {
        let piece = self.piece();
        [piece.way_at(0.0), piece.way_at(piece.length)]
    }

    /// One foot off the string toward the yard.
    pub(crate) fn toward_yard(&self, s: Shift) -> Displacement {
        let right = self.piece().way_at(s.feet()).turned_right();
        match self.yard {
            Turn::Right => right,
            Turn::Left => -right,
        }
    }

    /// The string, counted from its start.
    fn piece(&self) -> Piece {
        let way = self.string.1 - self.string.0;
        self.shape.piece(Displacement::default(), way)
    }
}

/// Returns where the inner face of an end post of the given width may stand.
///
/// A corner post is fixed by the corner's angle, see
/// [`corner_post_face`](crate::corner_post_face), and so is one at a tee. A post at a wall stands its gap
/// and its width off the face; a bracketed panel starts at the gap. A post at a
/// free flag ends at the flag.
///
/// # Errors
///
/// [`CornerError::Angle`] for a corner that is none.
///
/// # Examples
///
/// ```
/// use fence_geom::{Angle, Length, RunEnd, end_face};
///
/// let corner = RunEnd::Corner { interior: Angle::RIGHT };
/// let face = end_face(corner, Length::from_inches(5.0)?)?;
/// assert!((face.least.inches() - 5.0).abs() < 1e-9);
/// assert_eq!(face.least, face.most);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn end_face(end: RunEnd, width: Length) -> Result<FaceRange, CornerError> {
    let (least, most) = match end {
        RunEnd::Corner { interior: angle } | RunEnd::Tee { seat: angle, .. } => {
            let face = corner_post_face(width, angle)?;
            (face, face)
        }
        RunEnd::WallPost { gap } => ((gap.least + width).forward(), (gap.most + width).forward()),
        RunEnd::WallBracket { gap } => (gap.least.forward(), gap.most.forward()),
        RunEnd::Free => (width.forward(), width.forward()),
    };
    Ok(FaceRange { least, most })
}

/// Returns the fence through the given stops.
///
/// Between two stops on the offset line of a curved side the run follows the arc;
/// between any other two it is straight.
///
/// `closed` joins the last stop to the first. `yard` is the hand on which the
/// enclosed side lies, walking the stops in order; it may be left out where a run
/// lies on a side of the lot, whose inside then is the yard. `buildings` are the
/// outlines that no run may pass through.
///
/// # Errors
///
/// A [`RouteError`] that names the stop or run at fault.
///
/// # Examples
///
/// ```
/// use fence_geom::{Point, Ring, Shift, Stop, Turn, inset_uniform, route};
///
/// let lot = Ring::of_lines([
///     ("A", Point::new(0.0, 0.0)?),
///     ("B", Point::new(100.0, 0.0)?),
///     ("C", Point::new(100.0, 50.0)?),
///     ("D", Point::new(0.0, 50.0)?),
/// ])?;
/// let fence = inset_uniform(&lot, Shift::from_feet(1.0)?)?;
/// let stops = ["A", "B", "C"].map(|corner| Stop::Corner { corner: corner.to_owned() });
/// let route = route(&lot, &fence, &stops, false, None, &[])?;
/// assert_eq!(route.runs.len(), 2);
/// assert_eq!(route.runs[0].length.feet(), 98.0);
/// assert_eq!(route.runs[0].yard, Turn::Right);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn route(
    lot: &Ring,
    offset: &OffsetRing,
    stops: &[Stop],
    closed: bool,
    yard: Option<Turn>,
    buildings: &[Ring],
) -> Result<Route, RouteError> {
    check_stops(stops, closed)?;
    let flags = stops
        .iter()
        .map(|stop| place(offset, stop))
        .collect::<Result<Vec<_>, _>>()?;
    check_open(&flags, closed)?;
    let mut strings: Vec<(usize, usize)> = (1..flags.len()).map(|to| (to - 1, to)).collect();
    if closed {
        strings.push((flags.len() - 1, 0));
    }
    let mut runs = strings
        .into_iter()
        .map(|(from, to)| run(offset, &flags, from, to))
        .collect::<Result<Vec<_>, _>>()?;
    check_turns(&flags, &runs)?;
    let yard = yard_hand(offset, &flags, &runs, yard)?;
    for run in &mut runs {
        run.yard = yard;
    }
    set_ends(&mut runs, &flags);
    for run in &runs {
        check_run(lot, buildings, &flags, run)?;
    }
    Ok(Route {
        flags,
        runs,
        closed,
    })
}

fn check_stops(stops: &[Stop], closed: bool) -> Result<(), RouteError> {
    let needed = if closed { 3 } else { 2 };
    if stops.len() < needed {
        return Err(RouteError::TooFewStops {
            needed,
            stops: stops.len(),
        });
    }
    for (i, stop) in stops.iter().enumerate() {
        let inside = closed || (i > 0 && i + 1 < stops.len());
        if inside && matches!(stop, Stop::Wall { .. }) {
            return Err(RouteError::WallInside {
                name: stop.name().to_owned(),
            });
        }
        if inside && matches!(stop, Stop::Tee { .. }) {
            return Err(RouteError::TeeInside {
                name: stop.name().to_owned(),
            });
        }
    }
    Ok(())
}

/// Refuses a fence that ends where it starts and is not said to be closed: two posts
/// would stand there.
fn check_open(flags: &[Flag], closed: bool) -> Result<(), RouteError> {
    let (Some(first), Some(last)) = (flags.first(), flags.last()) else {
        return Ok(());
    };
    // Two runs there and back are refused as such.
    if !closed && flags.len() > 3 && first.at.distance(last.at).feet() < LEAST_RUN_FEET {
        return Err(RouteError::ComesBack {
            first: first.name.clone(),
            last: last.name.clone(),
        });
    }
    Ok(())
}

/// The run between two flags; its yard and ends are set later.
#[expect(
    clippy::indexing_slicing,
    reason = "the indices come from the list of flags"
)]
fn run(offset: &OffsetRing, flags: &[Flag], from: usize, to: usize) -> Result<Run, RouteError> {
    let (start, end) = (&flags[from], &flags[to]);
    let way = end.at - start.at;
    if way.length().feet() < LEAST_RUN_FEET {
        return Err(RouteError::NoLength {
            from: start.name.clone(),
            to: end.name.clone(),
            feet: way.length().feet(),
        });
    }
    let ring = offset.ring();
    let on = |k: usize, p: Point| ring.piece(k).distance(p - ring.origin()) < ON_LINE_FEET;
    let on_carried = |k: usize, p: Point| {
        let miters = [0, 1].map(|end| carried_on(offset, k, end));
        let mut miters = miters.into_iter().flatten();
        miters.any(|miter| ring.ends(miter).0.at.distance(p).feet() < ON_LINE_FEET)
    };
    let both = |is_on: &dyn Fn(Point) -> bool| is_on(start.at) && is_on(end.at);
    let line = (0..ring.len())
        .find(|&k| both(&|p| on(k, p)))
        .or_else(|| (0..ring.len()).find(|&k| both(&|p| on(k, p) || on_carried(k, p))));
    if line.is_none() {
        refuse_past_arc(offset, start, end)?;
    }
    let side = line.and_then(|k| offset.source_side(k));
    let shape = line.map_or(Side::Line, |k| {
        let stations = [start.at, end.at].map(|p| ring.piece(k).station(p - ring.origin()));
        part_of(&ring.piece(k), stations)
    });
    let mut run = Run {
        from,
        to,
        string: (start.at, end.at),
        shape,
        length: shape.length_of(way.length()),
        azimuth: way.azimuth(),
        yard: offset.ring().interior(),
        side,
        string_to_line: side.and_then(|i| offset.distances().get(i).copied()),
        start: RunEnd::Free,
        end: RunEnd::Free,
    };
    run.azimuth = run.ways()[0].azimuth();
    Ok(run)
}

/// Refuses a straight run between two corners of one arc that lie past its ends.
fn refuse_past_arc(offset: &OffsetRing, start: &Flag, end: &Flag) -> Result<(), RouteError> {
    let sides = |flag: &Flag| match &flag.stop {
        Stop::Corner { corner } => {
            let index = corner_index(offset, corner);
            let corner = index.and_then(|index| offset.corners().get(index));
            corner.map(|corner| [corner.before, corner.after])
        }
        _ => None,
    };
    let (Some(start_sides), Some(end_sides)) = (sides(start), sides(end)) else {
        return Ok(());
    };
    let ring = offset.ring();
    let shared = |k: &usize| {
        let side = offset.source_side(*k);
        let hangs = |sides: [usize; 2]| side.is_some_and(|side| sides.contains(&side));
        is_arc(ring, *k) && hangs(start_sides) && hangs(end_sides)
    };
    let Some(arc) = (0..ring.len()).find(shared) else {
        return Ok(());
    };
    let (first, last) = ring.ends(arc);
    Err(RouteError::PastArc {
        from: start.name.clone(),
        to: end.name.clone(),
        side: offset
            .source_side(arc)
            .map_or_else(String::new, |side| offset.source().side_name(side)),
        ends: format!("{} to {}", first.name, last.name),
    })
}

/// The part of a piece from one station to another.
fn part_of(piece: &Piece, [from, to]: [f64; 2]) -> Side {
    let Some(bow) = piece.bow else {
        return Side::Line;
    };
    let sweep = (to - from) / bow.radius * bow.sweep.signum();
    Side::Arc {
        delta: Angle::of_radians(sweep.abs()),
        turn: if sweep > 0.0 { Turn::Right } else { Turn::Left },
    }
}

/// The hand of the yard: what was given, which no run on a side may contradict,
/// or else what the first such run says.
fn yard_hand(
    offset: &OffsetRing,
    flags: &[Flag],
    runs: &[Run],
    given: Option<Turn>,
) -> Result<Turn, RouteError> {
    let lot = offset.source();
    let mut hand = given;
    for run in runs {
        let Some(side) = run.side else { continue };
        let with_ring = match (lot.sides().get(side), run.shape) {
            (Some(&Side::Arc { turn: around, .. }), Side::Arc { turn, .. }) => turn == around,
            _ => lot.chord(side).dot(run.string.1 - run.string.0) > 0.0,
        };
        let found = if with_ring {
            lot.interior()
        } else {
            lot.interior().other()
        };
        if *hand.get_or_insert(found) != found {
            let (from, to) = run_names(flags, run);
            return Err(RouteError::YardHand {
                from,
                to,
                found: match found {
                    Turn::Left => "left",
                    Turn::Right => "right",
                },
            });
        }
    }
    hand.ok_or(RouteError::NoYard)
}

fn run_names(flags: &[Flag], run: &Run) -> (String, String) {
    let name = |i: usize| {
        flags
            .get(i)
            .map_or_else(String::new, |flag| flag.name.clone())
    };
    (name(run.from), name(run.to))
}

/// Refuses a run that lies back on the one before it.
fn check_turns(flags: &[Flag], runs: &[Run]) -> Result<(), RouteError> {
    for run in runs {
        let Some(next) = runs.iter().find(|next| next.from == run.to) else {
            continue;
        };
        // Under a degree the two runs lie on each other.
        let back = back_from_end(run).clockwise_to(next.azimuth).degrees();
        if !(1.0..=359.0).contains(&back) {
            let (_, name) = run_names(flags, run);
            return Err(RouteError::TurnsBack { name });
        }
    }
    Ok(())
}

/// Sets what stands at both ends of each run.
fn set_ends(runs: &mut [Run], flags: &[Flag]) {
    let walked = runs.to_vec();
    for run in runs {
        let before = walked.iter().find(|other| other.to == run.from);
        let after = walked.iter().find(|other| other.from == run.to);
        run.start = before.map_or_else(
            || last_end(flags, run.from),
            |before| corner_end(before, run),
        );
        run.end = after.map_or_else(|| last_end(flags, run.to), |after| corner_end(run, after));
    }
}

/// The corner between a run that arrives and one that leaves.
fn corner_end(arriving: &Run, leaving: &Run) -> RunEnd {
    // From the way on to the way back, turning through the yard.
    let (on, back) = (leaving.azimuth, back_from_end(arriving));
    RunEnd::Corner {
        interior: match leaving.yard {
            Turn::Right => on.clockwise_to(back),
            Turn::Left => back.clockwise_to(on),
        },
    }
}

/// The way back along a run from its end.
fn back_from_end(run: &Run) -> Azimuth {
    run.ways()[1].azimuth().reversed()
}

/// What stands at a stop where the fence starts or ends.
fn last_end(flags: &[Flag], at: usize) -> RunEnd {
    match flags.get(at).map(|flag| &flag.stop) {
        Some(&Stop::Wall { gap, bracketed, .. }) => {
            if bracketed {
                RunEnd::WallBracket { gap }
            } else {
                RunEnd::WallPost { gap }
            }
        }
        _ => RunEnd::Free,
    }
}

#[cfg(test)]
mod tests;
