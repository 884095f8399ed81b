//! A net of tapes: distances between named points, corners, points on a line,
//! directions and known points, adjusted together by least squares.
//!
//! No approximate places are asked for: they are found by letting the net grow
//! from its known points, or from its first tape where there are none. Where the
//! readings fit two places of a point, both are answered.
//!
//! # Source
//!
//! Least squares, error ellipses and the global test: C. D. Ghilani, *Adjustment
//! Computations*, John Wiley & Sons (title from memory). The search for a wrong
//! reading: W. Baarda, *A Testing Procedure for Use in Geodetic Networks*,
//! Netherlands Geodetic Commission, 1968 (title and levels from memory).

mod answer;
mod error;
mod hanging;
mod kernel;
mod locus;
mod model;
mod report;
mod solve;
mod start;

use crate::angle::Angle;
use crate::bearing::Azimuth;
use crate::estimate::Sigma;
use crate::length::{Length, Shift};
use crate::ring::Turn;
use crate::tape::TapeModel;
use crate::two_tapes::KnownPoint;

pub use answer::{CheckedReading, Frame, NetAnswer, NetAnswers, NetPlace, ReadingOf, WeakPlace};
pub use error::NetError;

use model::Model;

/// The 95 % chi-square quantile for one number (3.841, from memory): what
/// explains the readings at most so much worse than the best explains them as
/// well.
const AS_WELL: f64 = 3.841;

/// Answers that differ by less than this, in feet, are one.
const SAME_ANSWER_FEET: f64 = 0.01;

/// What was measured between named points.
///
/// # Examples
///
/// ```
/// use fence_geom::{
///     KnownPoint, Length, Net, NetReading, Point, Sigma, TapeModel, adjust_net,
/// };
///
/// let known = |name: &str, north, east| -> Result<_, fence_geom::QuantityError> {
///     Ok(KnownPoint { name: name.into(), at: Point::new(north, east)?, sigma: Sigma::ZERO })
/// };
/// let tape = |from: &str, feet| -> Result<_, fence_geom::QuantityError> {
///     let reads = Length::from_feet(feet)?;
///     Ok(NetReading::Distance { from: from.into(), to: "P".into(), reads, tape: 0 })
/// };
/// let net = Net {
///     known: vec![known("A", 0.0, 0.0)?, known("B", 0.0, 50.0)?, known("C", 60.0, 0.0)?],
///     readings: vec![tape("A", 30.0)?, tape("B", 40.01)?, tape("C", 40.24)?],
///     tapes: vec![TapeModel::default()],
///     sides: vec![],
/// };
/// let answers = adjust_net(&net)?;
/// let [answer] = answers.answers.as_slice() else { panic!() };
/// let p = answer.point("P").ok_or("P")?;
/// assert!((p.at.north() - 24.0).abs() < 0.02 && (p.at.east() - 18.0).abs() < 0.02);
/// assert_eq!(answer.redundancy, 1);
/// assert!(answer.suspects.is_empty() && answer.fits());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Net {
    /// The points whose places are given: exact where their standard error is
    /// zero, else a reading of both coordinates.
    pub known: Vec<KnownPoint>,
    /// What was measured.
    pub readings: Vec<NetReading>,
    /// The tapes that were read.
    pub tapes: Vec<TapeModel>,
    /// What was seen of sides, which no tape can tell.
    pub sides: Vec<SideHint>,
}

/// One reading of a net.
#[derive(Clone, Debug, PartialEq)]
pub enum NetReading {
    /// A level distance between two points.
    Distance {
        /// Where the tape starts.
        from: String,
        /// Where it ends.
        to: String,
        /// What it reads.
        reads: Length,
        /// Which tape, counted from 0.
        tape: usize,
    },
    /// The angle at a corner between the ways to two points, on whichever hand.
    Corner {
        /// The corner.
        at: String,
        /// The point that one way leads to.
        from: String,
        /// The point that the other way leads to.
        to: String,
        /// The angle, 1° to 179°.
        angle: Angle,
        /// Its standard error, in radians.
        sigma: Sigma,
    },
    /// A point on the line through two others, or a distance aside of it.
    OnLine {
        /// The point.
        point: String,
        /// The point where the line starts.
        from: String,
        /// The point that it leads to.
        to: String,
        /// How far to the right of the line the point stands; to the left it is
        /// negative.
        right: Shift,
        /// Its standard error, in feet.
        sigma: Sigma,
    },
    /// The direction from one point to another.
    Direction {
        /// Where it is taken.
        from: String,
        /// The point it leads to.
        to: String,
        /// The direction.
        toward: Azimuth,
        /// Its standard error, in radians.
        sigma: Sigma,
    },
}

/// On which hand of a line a point was seen.
#[derive(Clone, Debug, PartialEq)]
pub struct SideHint {
    /// The point.
    pub point: String,
    /// The point where the line starts.
    pub from: String,
    /// The point that it leads to.
    pub to: String,
    /// The hand, as one walks the line.
    pub hand: Turn,
}

impl NetReading {
    /// Returns the names of the points it is between.
    #[must_use]
    pub fn names(&self) -> Vec<&str> {
        match self {
            Self::Distance { from, to, .. } | Self::Direction { from, to, .. } => vec![from, to],
            Self::Corner { at, from, to, .. } => vec![at, from, to],
            Self::OnLine {
                point, from, to, ..
            } => vec![point, from, to],
        }
    }
}

/// Adjusts a net by least squares.
///
/// Known points without a standard error are held. Without known points the
/// first tape is held: its start is the origin, its end due north; with one, the
/// point is held and another one due north of it, unless a direction is read.
/// Places and doubts are then relative to these.
///
/// Readings of one tape share its scale, which is one more unknown with its own
/// standard error. Standard errors are taken as known before (a priori).
///
/// # Errors
///
/// A [`NetError`]: a reading that can't stand, names that don't match, tapes that
/// don't reach each other, or a net that is not held together, with the points
/// that hang and a tape that would fix each.
///
/// # Accuracy
///
/// The iteration ends when no place moves by a billionth of a foot or so. The
/// normal equations are scaled to a unit diagonal, put in an order that keeps
/// them near their diagonal, and factored by Cholesky's method;
/// [`NetAnswer::condition`] tells how many digits that can cost. A net whose
/// condition is beyond 1e12 is refused.
pub fn adjust_net(net: &Net) -> Result<NetAnswers, NetError> {
    let model = Model::of(net)?;
    let starts = start::places(&model)?;
    let mut solved = Vec::new();
    let mut refused = None;
    for places in starts {
        match solve::solve(&model, places) {
            Ok(solution) if model.agrees_with_sides(&solution.places) => solved.push(solution),
            Ok(_) => {}
            Err(error) => refused = Some(error),
        }
    }
    let best = solved
        .iter()
        .map(|solution| solution.misfit)
        .fold(f64::INFINITY, f64::min);
    let mut kept: Vec<solve::Solution> = Vec::new();
    for solution in solved {
        let new = kept
            .iter()
            .all(|other| other.farthest(&solution) > SAME_ANSWER_FEET);
        if solution.misfit <= best + AS_WELL && new {
            kept.push(solution);
        }
    }
    if kept.is_empty() {
        return Err(refused.unwrap_or(NetError::Sides));
    }
    Ok(NetAnswers {
        ambiguous: ambiguous(&model, &kept),
        answers: kept
            .iter()
            .map(|solution| report::report(net, &model, solution))
            .collect(),
    })
}

/// The points whose place differs from answer to answer.
fn ambiguous(model: &Model, solutions: &[solve::Solution]) -> Vec<String> {
    let Some((first, others)) = solutions.split_first() else {
        return Vec::new();
    };
    let differs = |point: &usize| {
        others
            .iter()
            .any(|other| other.apart(first, *point) > SAME_ANSWER_FEET)
    };
    (0..model.names.len())
        .filter(differs)
        .filter_map(|point| model.names.get(point).cloned())
        .collect()
}
