//! The fence itself: runs from flag to flag along the offset lines, straight or on
//! an arc, to and from the house.
//!
//! Flags and string mark the outside face of the posts, the face away from the
//! yard. A post's center, and its hole's, stand half a post's width from the
//! string toward the yard.

use crate::angle::Angle;
use crate::bearing::Azimuth;
use crate::corner::{CornerError, corner_post_face};
use crate::length::{Length, Shift};
use crate::offset::{Join, OffsetRing};
use crate::piece::Piece;
use crate::point::{Displacement, Point};
use crate::ring::{Place, Ring, Side, Turn};

/// A flag nearer than this to an offset line stands on it, in feet: well under
/// what a crew can see, well over what rounding leaves of computed flags.
const ON_LINE_FEET: f64 = 1e-4;

/// A run shorter than this is none, in feet: 1/8 in.
const LEAST_RUN_FEET: f64 = 0.125 / 12.0;

/// A run may cross a line by this much, in feet: 1/8 in, what a tape shows.
const CROSSING_FEET: f64 = 0.125 / 12.0;

/// Nearer than this to an arc, in feet, is on it.
const ROUNDING_FEET: f64 = 1e-9;

/// Where pins and deed leave a curve not quite tangent to its neighbor, the offset line
/// goes straight on past its arc to the miter. Up to this length, in feet, the arc is
/// carried on instead: it is off the straight piece by the square of that over twice
/// the radius, 1/16 in at 24 ft.
const CARRIED_ON_FEET: f64 = 0.5;

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

/// Why stops make no fence.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum RouteError {
    /// Too few stops.
    #[error(
        "a fence needs at least {needed} stops, got {stops}: add where it starts, turns and ends"
    )]
    TooFewStops {
        /// How many are needed.
        needed: usize,
        /// How many there are.
        stops: usize,
    },
    /// A wall's line to a curved side of the lot.
    #[error(
        "{name}: side {side} of the lot is an arc, and a line off a wall is led to straight sides only: give a place along the side, from the flag at one of its ends"
    )]
    Curved {
        /// The stop.
        name: String,
        /// The name of the side.
        side: String,
    },
    /// A run past the end of an arc.
    #[error(
        "the run from {from} to {to} would leave the arc of side {side}, whose line goes straight on past it: add a stop where the arc ends; it goes from {ends}"
    )]
    PastArc {
        /// The flag it starts from.
        from: String,
        /// The flag it goes to.
        to: String,
        /// The side.
        side: String,
        /// The corners at the ends of the arc.
        ends: String,
    },
    /// No such corner.
    #[error("there is no corner {name:?}: the offset line has {known}")]
    UnknownCorner {
        /// The name that was given.
        name: String,
        /// The names there are.
        known: String,
    },
    /// No such side.
    #[error("there is no side {name:?}: the lot has {known}")]
    UnknownSide {
        /// The name that was given.
        name: String,
        /// The names there are.
        known: String,
    },
    /// A measure from a corner that the side does not have.
    #[error("the offset line of side {side} does not end at {from:?}: measure from {ends}")]
    NotAnEnd {
        /// The side.
        side: String,
        /// The corner that was given.
        from: String,
        /// The corners at its ends.
        ends: String,
    },
    /// A place beyond the end of an offset line.
    #[error(
        "{name} would stand {feet:.3} ft along the offset line of side {side}, which is {length:.3} ft long: give a place on it"
    )]
    OffSide {
        /// The stop.
        name: String,
        /// The side.
        side: String,
        /// How far along it, in feet.
        feet: f64,
        /// How long it is, in feet.
        length: f64,
    },
    /// The line off the wall runs along the side.
    #[error(
        "{name}: the line off that wall runs alongside side {side} and never meets its offset line: name another side or another wall"
    )]
    NeverMeets {
        /// The stop.
        name: String,
        /// The side.
        side: String,
    },
    /// The wall carried on leads away from the side.
    #[error(
        "{name}: that wall, carried on from its second point, leads away from side {side}: swap the two points or name another side"
    )]
    Behind {
        /// The stop.
        name: String,
        /// The side.
        side: String,
    },
    /// A wall without length.
    #[error(
        "{name}: the two points of the wall are the same place: give two points along its face"
    )]
    NoWall {
        /// The stop.
        name: String,
    },
    /// A wall between two runs.
    #[error(
        "the fence can't go on from {name}, which is the face of a wall: put it first or last, or close the fence elsewhere"
    )]
    WallInside {
        /// The stop.
        name: String,
    },
    /// A tee between two runs.
    #[error(
        "the fence can't go on from {name}, where it branches off another: put it first or last"
    )]
    TeeInside {
        /// The stop.
        name: String,
    },
    /// Two flags in one place.
    #[error("the run from {from} to {to} is {feet:.3} ft long: leave one of the two stops out")]
    NoLength {
        /// The flag it starts from.
        from: String,
        /// The flag it goes to.
        to: String,
        /// Its length in feet.
        feet: f64,
    },
    /// A run that turns back on the one before.
    #[error("at {name} the fence turns straight back on itself: check the order of the stops")]
    TurnsBack {
        /// The flag.
        name: String,
    },
    /// A run on two hands.
    #[error(
        "the yard can't lie on both hands: from {from} to {to} it is on the {found} of one who walks the stops in order, elsewhere on the other: turn the stops around, or correct the yard's hand"
    )]
    YardHand {
        /// The flag the run starts from.
        from: String,
        /// The flag it goes to.
        to: String,
        /// The hand, left or right.
        found: &'static str,
    },
    /// Nothing tells where the yard is.
    #[error(
        "no run lies on a side of the lot, so nothing tells which side is the yard: say whether it is on the left or right, walking the stops in order"
    )]
    NoYard,
    /// A run outside of the lot.
    #[error(
        "the run from {from} to {to} leaves the lot near N {north:.2} E {east:.2}: add a stop, or move one"
    )]
    LeavesLot {
        /// The flag it starts from.
        from: String,
        /// The flag it goes to.
        to: String,
        /// About where, feet north.
        north: f64,
        /// About where, feet east.
        east: f64,
    },
    /// A run through a place where nothing may be built.
    #[error(
        "the run from {from} to {to} goes through {area}, where nothing may be built, near N {north:.2} E {east:.2}: lead it around"
    )]
    ThroughNoBuild {
        /// The flag it starts from.
        from: String,
        /// The flag it goes to.
        to: String,
        /// The area.
        area: String,
        /// About where, feet north.
        north: f64,
        /// About where, feet east.
        east: f64,
    },
    /// A run through a building.
    #[error(
        "the run from {from} to {to} goes through a building near N {north:.2} E {east:.2}: end it at the wall, or lead it around"
    )]
    ThroughBuilding {
        /// The flag it starts from.
        from: String,
        /// The flag it goes to.
        to: String,
        /// About where, feet north.
        north: f64,
        /// About where, feet east.
        east: f64,
    },
}

/// A gap whose limits are the wrong way around.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("a gap of {least} ft to {most} ft: the least must not be above the most")]
pub struct GapError {
    /// The least gap, in feet.
    pub least: f64,
    /// The greatest gap, in feet.
    pub most: f64,
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

/// Finds the place of a stop.
fn place(offset: &OffsetRing, stop: &Stop) -> Result<Flag, RouteError> {
    let at = match stop {
        Stop::Corner { corner } => corner_flag(offset, corner)?,
        Stop::OnSide {
            name,
            side,
            from,
            distance,
        } => on_side(offset, name, side, from, *distance)?,
        Stop::Squared {
            name,
            wall,
            at,
            side,
        } => squared(offset, name, *wall, *at, side)?,
        Stop::Prolonged { name, wall, side } => prolonged(offset, name, *wall, side)?,
        Stop::Wall { at, .. } | Stop::Tee { at, .. } | Stop::Free { at, .. } => *at,
    };
    Ok(Flag {
        name: stop.name().to_owned(),
        at,
        stop: stop.clone(),
    })
}

/// Whether the corners and sides that stops name are of this ring.
pub(crate) fn all_stand_on(offset: &OffsetRing, stops: &[Stop]) -> bool {
    stops.iter().all(|stop| match stop {
        Stop::Corner { corner } => corner_flag(offset, corner).is_ok(),
        Stop::OnSide { side, from, .. } => {
            offset_side(offset, side).is_ok() && corner_flag(offset, from).is_ok()
        }
        Stop::Squared { side, .. } | Stop::Prolonged { side, .. } => {
            offset_side(offset, side).is_ok()
        }
        Stop::Wall { .. } | Stop::Tee { .. } | Stop::Free { .. } => true,
    })
}

fn corner_flag(offset: &OffsetRing, name: &str) -> Result<Point, RouteError> {
    let index = corner_index(offset, name).ok_or_else(|| RouteError::UnknownCorner {
        name: name.to_owned(),
        known: names(offset.ring()),
    })?;
    Ok(offset.ring().ends(index).0.at)
}

/// The flag of a corner by its name; that of the miter, where an arc ends a little
/// before it.
fn corner_index(offset: &OffsetRing, name: &str) -> Option<usize> {
    let (index, _) = offset.ring().corner(name)?;
    let n = offset.ring().len();
    let before = (index + n - 1) % n;
    let miter = [(before, 1), (index, 0)]
        .into_iter()
        .find_map(|(arc, end)| carried_on(offset, arc, end));
    Some(miter.unwrap_or(index))
}

/// The miter to which an arc of the offset ring may be carried on at its start, 0, or
/// its end, 1.
fn carried_on(offset: &OffsetRing, arc: usize, end: usize) -> Option<usize> {
    let ring = offset.ring();
    let n = ring.len();
    let (last, straight, miter) = match end {
        0 => (arc, (arc + n - 1) % n, (arc + n - 1) % n),
        _ => ((arc + 1) % n, (arc + 1) % n, (arc + 2) % n),
    };
    let tangent = offset.corners().get(last)?.join == Join::Tangent;
    let short = ring.side_length(straight).feet() <= CARRIED_ON_FEET;
    (tangent && short && is_arc(ring, arc) && !is_arc(ring, straight)).then_some(miter)
}

fn names(ring: &Ring) -> String {
    let names: Vec<&str> = ring.corners().iter().map(|c| c.name.as_str()).collect();
    names.join(", ")
}

/// The side of the offset ring that belongs to the lot's side of that name. The
/// line of an arc may go straight on past the arc: then it is the arc itself.
fn offset_side(offset: &OffsetRing, name: &str) -> Result<usize, RouteError> {
    let lot = offset.source();
    let of_side = |side: usize| {
        let on = |k: &usize| offset.source_side(*k) == Some(side);
        let curved = |k: &usize| on(k) && is_arc(offset.ring(), *k) == is_arc(lot, side);
        let mut all = 0..offset.ring().len();
        all.clone().find(curved).or_else(|| all.find(on))
    };
    lot.side(name).and_then(of_side).ok_or_else(|| {
        let sides: Vec<String> = (0..lot.len()).map(|i| lot.side_name(i)).collect();
        RouteError::UnknownSide {
            name: name.to_owned(),
            known: sides.join(", "),
        }
    })
}

fn is_arc(ring: &Ring, side: usize) -> bool {
    matches!(ring.sides().get(side), Some(Side::Arc { .. }))
}

fn on_side(
    offset: &OffsetRing,
    name: &str,
    side: &str,
    from: &str,
    distance: Length,
) -> Result<Point, RouteError> {
    let k = offset_side(offset, side)?;
    let (first, second) = offset.ring().ends(k);
    let piece = offset.ring().piece(k);
    let corner = corner_index(offset, from);
    let index = |name: &str| offset.ring().corner(name).map(|(index, _)| index);
    let is_end = |end: usize, name: &str| {
        corner.is_some() && (corner == index(name) || corner == carried_on(offset, k, end))
    };
    let at = corner.map_or(first.at, |corner| offset.ring().ends(corner).0.at);
    let base = piece.station(at - offset.ring().origin());
    let station = if is_end(0, &first.name) {
        base + distance.feet()
    } else if is_end(1, &second.name) {
        base - distance.feet()
    } else {
        return Err(RouteError::NotAnEnd {
            side: side.to_owned(),
            from: from.to_owned(),
            ends: format!("{} or {}", first.name, second.name),
        });
    };
    check_station(name, side, station, Length::saturating(piece.length))?;
    Ok(offset.ring().origin() + piece.at(station))
}

fn check_station(name: &str, side: &str, feet: f64, length: Length) -> Result<(), RouteError> {
    if (-ON_LINE_FEET..=length.feet() + ON_LINE_FEET).contains(&feet) {
        return Ok(());
    }
    Err(RouteError::OffSide {
        name: name.to_owned(),
        side: side.to_owned(),
        feet,
        length: length.feet(),
    })
}

fn squared(
    offset: &OffsetRing,
    name: &str,
    wall: (Point, Point),
    at: Point,
    side: &str,
) -> Result<Point, RouteError> {
    let square = wall_way(name, wall)?.turned_right();
    let (flag, _) = meeting(offset, name, (at, square), side)?;
    Ok(flag)
}

fn prolonged(
    offset: &OffsetRing,
    name: &str,
    wall: (Point, Point),
    side: &str,
) -> Result<Point, RouteError> {
    let way = wall_way(name, wall)?;
    let (flag, beyond) = meeting(offset, name, (wall.1, way), side)?;
    if beyond < 0.0 {
        return Err(RouteError::Behind {
            name: name.to_owned(),
            side: side.to_owned(),
        });
    }
    Ok(flag)
}

fn wall_way(name: &str, wall: (Point, Point)) -> Result<Displacement, RouteError> {
    let way = (wall.1 - wall.0).unit();
    way.ok_or_else(|| RouteError::NoWall {
        name: name.to_owned(),
    })
}

/// Where a line through a point meets the offset line of a side, and how far
/// along the line that is, in feet.
fn meeting(
    offset: &OffsetRing,
    name: &str,
    (through, way): (Point, Displacement),
    side: &str,
) -> Result<(Point, f64), RouteError> {
    let k = offset_side(offset, side)?;
    if is_arc(offset.ring(), k) {
        return Err(RouteError::Curved {
            name: name.to_owned(),
            side: side.to_owned(),
        });
    }
    let line = offset.ring().chord(k);
    let start = offset.ring().ends(k).0.at;
    let along = line.unit().unwrap_or_default();
    let slant = along.cross(way);
    // Under a thousandth of a radian the meeting would be poorly known and far.
    if slant.abs() < 1e-3 {
        return Err(RouteError::NeverMeets {
            name: name.to_owned(),
            side: side.to_owned(),
        });
    }
    let station = (through - start).cross(way) / slant;
    check_station(name, side, station, line.length())?;
    let flag = start + along * station;
    Ok((flag, (flag - through).dot(way)))
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

/// Refuses a run that leaves the lot or passes through a building.
fn check_run(lot: &Ring, buildings: &[Ring], flags: &[Flag], run: &Run) -> Result<(), RouteError> {
    let (from, to) = run_names(flags, run);
    if let Some(at) = comes(run, lot, Place::Outside) {
        return Err(RouteError::LeavesLot {
            from,
            to,
            north: at.north(),
            east: at.east(),
        });
    }
    let mut inside = buildings.iter();
    if let Some(at) = inside.find_map(|building| comes(run, building, Place::Inside)) {
        return Err(RouteError::ThroughBuilding {
            from,
            to,
            north: at.north(),
            east: at.east(),
        });
    }
    Ok(())
}

/// Where a run first comes to the inside or the outside of a ring.
fn comes(run: &Run, ring: &Ring, wanted: Place) -> Option<Point> {
    let tolerance = Length::saturating(CROSSING_FEET);
    let stations = match run.shape {
        Side::Line => crossings(ring, run.string)?,
        Side::Arc { .. } => crossings_of_arc(ring, run),
    };
    let mut parts = stations.iter().zip(stations.iter().skip(1));
    let (at, _) = parts.find(|(from, to)| {
        let middle = run.string_at(Shift::saturating(f64::midpoint(**from, **to)));
        ring.locate(middle, tolerance) == wanted
    })?;
    Some(run.string_at(Shift::saturating(*at)))
}

/// The stations, ends included and in order, at which a straight string is cut so
/// that no piece lies on both sides of the ring.
fn crossings(ring: &Ring, string: (Point, Point)) -> Option<Vec<f64>> {
    let way = string.1 - string.0;
    let along = way.unit()?;
    let mut stations = vec![0.0, way.length().feet()];
    for i in 0..ring.len() {
        let (from, chord) = (ring.ends(i).0.at, ring.chord(i));
        if is_arc(ring, i) {
            let start = string.0 - ring.origin();
            let (line, arc) = (Piece::line(start, start + way), ring.piece(i));
            line.meet(&arc, ROUNDING_FEET, |contact| {
                stations.push((contact.place([&line, &arc]) - start).dot(along));
            });
        }
        let slant = along.cross(chord);
        if slant.abs() > 0.0 {
            stations.push((from - string.0).cross(chord) / slant);
        }
        // A corner on the string cuts it as well, where a side lies along it.
        stations.push((from - string.0).dot(along));
    }
    Some(in_order(stations, way.length()))
}

/// The same for a curved string.
fn crossings_of_arc(ring: &Ring, run: &Run) -> Vec<f64> {
    let start = run.string.0 - ring.origin();
    let string = (run.shape).piece(start, start + (run.string.1 - run.string.0));
    let mut stations = vec![0.0, string.length];
    for i in 0..ring.len() {
        let side = ring.piece(i);
        string.meet(&side, ROUNDING_FEET, |contact| {
            stations.push(string.station(contact.place([&string, &side])));
        });
        stations.push(string.station(side.from));
    }
    in_order(stations, run.length)
}

fn in_order(mut stations: Vec<f64>, length: Length) -> Vec<f64> {
    stations.retain(|s| (0.0..=length.feet()).contains(s));
    stations.sort_by(f64::total_cmp);
    stations
}

#[cfg(test)]
mod tests;
