//! The chain that bounds a ring less its strips and fills, every place counted.
//!
//! The outlines of the ring, of each strip and of each fill, walked each in its
//! sense and added up, leave one closed chain. How often it winds around a place
//! is 1 for the ring, less 1 for each strip and fill that covers the place (1
//! more for each, outward). The offset is where it winds once or more.

use super::{NEEDLE_LIMIT, STRAIGHT_WITHIN_FEET, STRAIGHT_WITHIN_RADIANS};
use crate::piece::{Bow, Piece};
use crate::point::Displacement;

/// An arc whose offset has less radius than this, in feet, is used up.
const LEAST_RADIUS_FEET: f64 = 1e-6;

/// Sides that bend by a smaller sine than this run into each other like a curve
/// and its tangent.
const TANGENT_WITHIN: f64 = 1e-9;

/// What a piece of the chain lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) enum Along {
    /// The offset line of the side with this index.
    Side(u32),
    /// The straight extension of the offset line of a curved side.
    Extension(u32),
    /// What joins the offset lines of neighbors at this corner: a square end or
    /// the cut of a needle.
    Joint(u32),
}

/// A side of a ring, walked with the region on the right.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bound {
    /// The index of the side.
    pub(super) side: u32,
    /// The index of the corner it starts from, as walked.
    pub(super) corner: u32,
    pub(super) piece: Piece,
    /// The unit displacements along it at its start and at its end.
    pub(super) along: [Displacement; 2],
    /// The width of its strip in feet, positive to the right.
    pub(super) width: f64,
}

/// How the offset lines of two neighbors are joined.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Joint {
    /// They are both drawn straight on, or cut short, to where they meet, at this
    /// displacement from the pin.
    Miter(Displacement),
    /// They are both cut short where they meet, one of them at least a curve: at
    /// this displacement from the pin, and at these stations on the one that
    /// arrives and the one that leaves.
    Trim(Displacement, [f64; 2]),
    /// Both strips end square and overlap: by way of the pin.
    Overlap,
    /// The needle is cut from one displacement to the other.
    Cut([Displacement; 2]),
    /// The line of the narrower strip is drawn to the square end of the wider.
    Step(Displacement),
    /// The line that arrives is drawn to the meeting, as it would pass beyond the
    /// strip that leaves; from there back to its own square end.
    Past([Displacement; 2]),
    /// As [`Joint::Past`], the other way round.
    Early([Displacement; 2]),
}

impl Bound {
    pub(super) fn new(side: u32, corner: u32, piece: Piece, width: f64) -> Self {
        let along = piece.tangents();
        Self {
            side,
            corner,
            piece,
            along,
            width,
        }
    }

    /// From the pins at its ends square across the strip, whole width.
    fn across(&self) -> [Displacement; 2] {
        self.along.map(|along| along.turned_right() * self.width)
    }

    /// The offset line between the square ends of the strip; of no use where a
    /// radius is used up.
    pub(super) fn offset(&self) -> Piece {
        self.piece.parallel(self.across(), self.offset_radius())
    }

    /// The radius of the offset line of an arc; zero or less where it is used up.
    fn offset_radius(&self) -> f64 {
        self.piece
            .bow
            .map_or(0.0, |bow| bow.radius - self.width * bow.sweep.signum())
    }

    /// Whether it is an arc of whose radius the offset leaves nothing.
    fn is_used_up(&self) -> bool {
        self.piece.bow.is_some() && self.offset_radius() < LEAST_RADIUS_FEET
    }

    /// The length of its offset line between the square ends of the strip.
    fn offset_length(&self) -> f64 {
        match self.piece.bow {
            Some(bow) => self.offset_radius() * bow.sweep.abs(),
            None => self.piece.length,
        }
    }

    /// Whether its offset line lies nearer than a step on its square end, which
    /// it is then drawn to.
    fn ends_below(&self, step: Displacement) -> bool {
        self.width * self.width < step.dot(step)
    }

    /// What the straight line on from an end of its offset line lies on.
    fn straight_on(&self) -> Along {
        if self.piece.bow.is_some() {
            Along::Extension(self.side)
        } else {
            Along::Side(self.side)
        }
    }
}

/// The joint of two neighbors where `arriving` ends and `leaving` starts.
pub(super) fn joint(arriving: &Bound, leaving: &Bound) -> Joint {
    let (a, b) = (arriving.along[1], leaving.along[0]);
    let (p, q) = (arriving.width, leaving.width);
    let dot = a.dot(b);
    let wide = if p.abs() >= q.abs() { p } else { q };
    // Positive where the strips leave a gap.
    let gap = -a.cross(b) * wide.signum();
    let equal = (p - q).abs() <= 0.0;
    if equal && (gap <= 0.0 || runs_on(arriving, leaving)) {
        return Joint::Overlap;
    }
    if !equal && straight(arriving, leaving) {
        return if gap > 0.0 && p * q >= 0.0 {
            Joint::Step(step(arriving, leaving))
        } else {
            Joint::Overlap
        };
    }
    let meeting = meeting(arriving, leaving);
    let reach = NEEDLE_LIMIT * wide.abs();
    let in_reach = meeting.dot(meeting) <= reach * reach;
    if p * q < 0.0 {
        return if in_reach || dot > 0.0 {
            Joint::Miter(meeting)
        } else {
            Joint::Overlap
        };
    }
    let small = if p.abs() >= q.abs() { q } else { p };
    let ends_square = small.abs() < wide.abs() * dot;
    if gap > 0.0 {
        if !equal && ends_square {
            Joint::Step(step(arriving, leaving))
        } else if in_reach {
            Joint::Miter(meeting)
        } else {
            Joint::Cut(cut(arriving, leaving))
        }
    } else if !ends_square {
        Joint::Overlap
    } else if p.abs() > q.abs() {
        Joint::Past([meeting, a.turned_right() * (q / dot)])
    } else {
        Joint::Early([b.turned_right() * (p / dot), meeting])
    }
}

/// Whether two sides of which one at least is a curve are tangent to each other.
fn runs_on(arriving: &Bound, leaving: &Bound) -> bool {
    let (a, b) = (arriving.along[1], leaving.along[0]);
    let curved = arriving.piece.bow.is_some() || leaving.piece.bow.is_some();
    curved && a.cross(b).abs() < TANGENT_WITHIN && a.dot(b) > 0.0
}

/// Whether no tape shows that two sides bend where they meet.
fn straight(arriving: &Bound, leaving: &Bound) -> bool {
    let (a, b) = (arriving.along[1], leaving.along[0]);
    let (cross, dot) = (a.cross(b).abs(), a.dot(b));
    let (a, b) = (arriving.piece.length, leaving.piece.length);
    let across = (a * a + b * b + 2.0 * a * b * dot).max(0.0).sqrt();
    dot > 0.0 && cross < STRAIGHT_WITHIN_RADIANS && a * b * cross < STRAIGHT_WITHIN_FEET * across
}

/// Where the offset lines of two neighbors meet, from their pin; not finite
/// where they are parallel.
pub(super) fn meeting(arriving: &Bound, leaving: &Bound) -> Displacement {
    let (a, b) = (arriving.along[1], leaving.along[0]);
    let (p, q) = (arriving.width, leaving.width);
    if (p - q).abs() <= 0.0 {
        (a.turned_right() + b.turned_right()) * (p / (1.0 + a.dot(b)))
    } else {
        a.turned_right() * p + a * ((p * a.dot(b) - q) / a.cross(b))
    }
}

/// Where the line of the narrower strip meets the square end of the wider.
pub(super) fn step(arriving: &Bound, leaving: &Bound) -> Displacement {
    let (a, b) = (arriving.along[1], leaving.along[0]);
    let (p, q) = (arriving.width, leaving.width);
    let (square, wide, narrow) = if p.abs() >= q.abs() {
        (a.turned_right(), p, q)
    } else {
        (b.turned_right(), q, p)
    };
    let height = (narrow / a.dot(b)).abs().min(wide.abs());
    square * height.copysign(wide)
}

/// Where the offset lines of a needle are cut square.
pub(super) fn cut(arriving: &Bound, leaving: &Bound) -> [Displacement; 2] {
    let (a, b) = (arriving.along[1], leaving.along[0]);
    let (p, q) = (arriving.width, leaving.width);
    let reach = NEEDLE_LIMIT * p.abs().max(q.abs());
    let miter = meeting(arriving, leaving);
    // Where rounding has closed the needle, straight out of it.
    let toward = if miter.dot(miter).is_finite() {
        miter.unit().unwrap_or(a)
    } else {
        a
    };
    let on_line = |foot: Displacement, along: Displacement| {
        foot + along * ((reach - foot.dot(toward)) / along.dot(toward))
    };
    [
        on_line(a.turned_right() * p, a),
        on_line(b.turned_right() * q, b),
    ]
}

/// Decides the joints of a ring, in the order of the corners at the starts of its
/// sides.
///
/// Where all widths are one, strips that overlap are cut along the bisector
/// between them, as long as each side keeps some of its offset line: what one
/// strip loses the other covers. For take a place whose nearest place of the ring
/// is on a side within the width. Beyond the bisector at the side's end it would
/// be nearer still to the neighbor, whose strip holds the foot: against the
/// choice of the nearest. So no such place is lost.
pub(super) fn joints(bounds: &[Bound], into: &mut Vec<Joint>) {
    into.clear();
    let before = bounds.iter().cycle().skip(bounds.len().saturating_sub(1));
    into.extend(bounds.iter().zip(before).map(|(b, a)| joint(a, b)));
    let one_width = bounds.windows(2).all(|pair| match pair {
        [a, b] => (a.width - b.width).abs() <= 0.0,
        _ => true,
    });
    if one_width {
        cut_overlaps(bounds, into);
    }
}

/// How much of its offset line a side loses at a joint, one figure for each side;
/// negative where it gains.
fn trims(joint: Joint, arriving: &Bound, leaving: &Bound) -> [f64; 2] {
    let way = |way: Displacement| [-way.dot(arriving.along[1]), way.dot(leaving.along[0])];
    match joint {
        Joint::Miter(meeting) => way(meeting),
        Joint::Cut([first, second]) => [way(first)[0], way(second)[1]],
        Joint::Trim(_, [on_a, on_b]) => [arriving.offset_length() - on_a, on_b],
        _ => [0.0; 2],
    }
}

/// Where two overlapping strips of one width can be cut apart, if they can.
fn cut_between(arriving: &Bound, leaving: &Bound) -> Option<Joint> {
    let curved = arriving.piece.bow.is_some() || leaving.piece.bow.is_some();
    let joint = if !curved {
        Joint::Miter(meeting(arriving, leaving))
    } else if arriving.is_used_up() || leaving.is_used_up() {
        return None;
    } else if runs_on(arriving, leaving) {
        let way = meeting(arriving, leaving);
        return Some(Joint::Trim(way, [arriving.offset_length(), 0.0]));
    } else {
        let pin = leaving.piece.from;
        let (a, b) = (arriving.offset(), leaving.offset());
        let at = a.carriers_meet(&b, pin)?;
        Joint::Trim(at - pin, [a.station(at), b.station(at)])
    };
    let [of_a, of_b] = trims(joint, arriving, leaving);
    let fits = of_a <= arriving.offset_length() && of_b <= leaving.offset_length();
    // A curve is not drawn on past its ends.
    let short = !curved || (of_a >= 0.0 && of_b >= 0.0);
    (fits && short).then_some(joint)
}

fn cut_overlaps(bounds: &[Bound], joints: &mut [Joint]) {
    let n = bounds.len();
    let before = |k: usize| if k == 0 { n - 1 } else { k - 1 };
    let after = |k: usize| if k + 1 == n { 0 } else { k + 1 };
    let pair = |k: usize| Some((bounds.get(before(k))?, bounds.get(k)?));
    for (k, joint) in joints.iter_mut().enumerate() {
        if *joint == Joint::Overlap
            && let Some((a, b)) = pair(k)
            && let Some(cut) = cut_between(a, b)
        {
            *joint = cut;
        }
    }
    let keeps_some = |k: usize, joints: &[Joint]| {
        let (arriving, side) = pair(k)?;
        let leaving = bounds.get(after(k))?;
        let [_, start] = trims(*joints.get(k)?, arriving, side);
        let [end, _] = trims(*joints.get(after(k))?, side, leaving);
        Some(start + end < side.offset_length())
    };
    // A joint given up leaves its other side only more, so in order will do.
    for k in 0..n {
        if keeps_some(k, joints) == Some(true) {
            continue;
        }
        for k in [k, after(k)] {
            if let (Some(joint), Some((a, b))) = (joints.get_mut(k), pair(k)) {
                let gap = a.along[1].cross(b.along[0]) * a.width.signum();
                if gap >= 0.0 && matches!(joint, Joint::Miter(_) | Joint::Trim(..)) {
                    *joint = Joint::Overlap;
                }
            }
        }
    }
}

/// Adds the chain of a ring to the pieces.
pub(super) fn add_chain(bounds: &[Bound], joints: &[Joint], pieces: &mut Vec<(Piece, Along)>) {
    let first = pieces.len();
    let mut path = Path { pen: None, pieces };
    for (k, (bound, &start)) in bounds.iter().zip(joints).enumerate() {
        let after = if k + 1 == bounds.len() { 0 } else { k + 1 };
        if let (Some(next), Some(&end)) = (bounds.get(after), joints.get(after)) {
            path.side(bound, start, end);
            path.joint(bound, end, next);
        }
    }
    // The first side started where the last joint leads to.
    let start = path.pieces.get(first).map(|(piece, _)| piece.from);
    if let (Some(to), Some(bound)) = (start, bounds.first()) {
        path.line_to(to, Along::Joint(bound.corner));
    }
}

/// Draws a chain piece by piece.
struct Path<'a> {
    pen: Option<Displacement>,
    pieces: &'a mut Vec<(Piece, Along)>,
}

impl Path<'_> {
    fn line_to(&mut self, to: Displacement, along: Along) {
        if let Some(from) = self.pen
            && from != to
        {
            self.pieces.push((Piece::line(from, to), along));
        }
        self.pen = Some(to);
    }

    /// Draws the offset line of a side, from where the joint at its start leaves
    /// it to where the joint at its end takes it over.
    fn side(&mut self, bound: &Bound, start: Joint, end: Joint) {
        let across = bound.across();
        let [at_start, at_end] = [bound.piece.from + across[0], bound.piece.to + across[1]];
        let from = match start {
            Joint::Miter(way)
            | Joint::Trim(way, _)
            | Joint::Cut([_, way])
            | Joint::Early([_, way]) => bound.piece.from + way,
            Joint::Step(way) if bound.ends_below(way) => bound.piece.from + way,
            _ => at_start,
        };
        let to = match end {
            Joint::Miter(way)
            | Joint::Trim(way, _)
            | Joint::Cut([way, _])
            | Joint::Past([way, _]) => bound.piece.to + way,
            Joint::Step(way) if bound.ends_below(way) => bound.piece.to + way,
            _ => at_end,
        };
        self.line_to(from, Along::Joint(bound.corner));
        let Some(bow) = bound.piece.bow else {
            self.line_to(to, Along::Side(bound.side));
            return;
        };
        let extension = Along::Extension(bound.side);
        if bound.is_used_up() {
            // The strip is the sector to the center.
            self.line_to(at_start, extension);
            self.line_to(bow.center, Along::Joint(bound.corner));
            self.line_to(at_end, Along::Joint(bound.corner));
            self.line_to(to, extension);
            return;
        }
        let (arc_from, first) = match start {
            Joint::Trim(_, [_, on]) => (from, on),
            _ => (at_start, 0.0),
        };
        let (arc_to, last) = match end {
            Joint::Trim(_, [on, _]) => (to, on),
            _ => (at_end, bound.offset_length()),
        };
        self.line_to(arc_from, extension);
        let radius = bound.offset_radius();
        let sweep = ((last - first) / radius).copysign(bow.sweep);
        let arc = Bow {
            radius,
            sweep,
            ..bow
        };
        self.pieces
            .push((Piece::arc(arc_from, arc_to, arc), Along::Side(bound.side)));
        self.pen = Some(arc_to);
        self.line_to(to, extension);
    }

    /// Draws the joint at the end of a side, up to where the next side takes over.
    fn joint(&mut self, bound: &Bound, joint: Joint, next: &Bound) {
        let pin = bound.piece.to;
        let square = Along::Joint(next.corner);
        match joint {
            Joint::Overlap => self.line_to(pin, square),
            Joint::Past([_, foot]) => {
                self.line_to(pin + foot, next.straight_on());
                self.line_to(pin, square);
            }
            Joint::Early([foot, meeting]) => {
                self.line_to(pin, square);
                self.line_to(pin + foot, square);
                self.line_to(pin + meeting, bound.straight_on());
            }
            Joint::Miter(_) | Joint::Trim(..) | Joint::Cut(_) | Joint::Step(_) => {}
        }
    }
}
