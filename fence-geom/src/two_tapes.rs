//! A point from two tapes, each held at a known point, with its doubt.

use crate::estimate::{Covariance, Ellipse, Estimate, PropagateError, Sigma, propagate};
use crate::intersect::{IntersectError, TapesMeet, tapes_meet};
use crate::length::{Length, QuantityError};
use crate::point::Point;
use crate::ring::Turn;
use crate::tape::TapeModel;

/// A point that a tape can be held at.
#[derive(Clone, Debug, PartialEq)]
pub struct KnownPoint {
    /// What the crew calls it.
    pub name: String,
    /// Where it is.
    pub at: Point,
    /// The standard error of each of its coordinates, in feet.
    pub sigma: Sigma,
}

/// A place that two tapes give, and how well they give it.
#[derive(Clone, Debug, PartialEq)]
pub struct TapedPoint {
    /// On which hand of the way from the first known point to the second it
    /// lies; `None` where the tapes just reach each other.
    pub hand: Option<Turn>,
    /// Where it is.
    pub at: Point,
    /// The standard error of its northing, in feet.
    pub sigma_north: Sigma,
    /// The standard error of its easting, in feet.
    pub sigma_east: Sigma,
    /// Its standard ellipse, `None` where the doubt is unknown.
    pub ellipse: Option<Ellipse>,
}

/// Returns the places that are `first.1` from the first known point and
/// `second.1` from the second, with their standard errors: two, or one where the
/// tapes just reach each other, whose doubt is then unknown.
///
/// The doubt of both readings, of the tape they share, and of the known points
/// counts.
///
/// # Errors
///
/// [`IntersectError`] with the gap if the tapes do not meet.
///
/// # Examples
///
/// ```
/// use fence_geom::{KnownPoint, Length, Point, Sigma, TapeModel, points_from_tapes};
///
/// let known = |name: &str, at| KnownPoint { name: name.into(), at, sigma: Sigma::ZERO };
/// let a = known("A", Point::new(0.0, 0.0)?);
/// let b = known("B", Point::new(0.0, 50.0)?);
/// let (to_a, to_b) = (Length::from_feet(30.0)?, Length::from_feet(40.0)?);
/// let places = points_from_tapes((&a, to_a), (&b, to_b), &TapeModel::default())?;
/// assert_eq!(places.len(), 2);
/// assert!(places[0].sigma_north.value().is_some_and(|sigma| sigma < 0.02));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn points_from_tapes(
    first: (&KnownPoint, Length),
    second: (&KnownPoint, Length),
    tape: &TapeModel,
) -> Result<Vec<TapedPoint>, IntersectError> {
    let places = match tapes_meet(first.0.at, first.1, second.0.at, second.1)? {
        TapesMeet::Touch(at) => vec![(None, at)],
        TapesMeet::Cross { left, right } => {
            vec![(Some(Turn::Left), left), (Some(Turn::Right), right)]
        }
    };
    let with_doubt = |(hand, at): (Option<Turn>, Point)| {
        let doubt = hand.and_then(|hand| doubt_of(first, second, hand, tape));
        let sigma = |i| doubt.as_ref().map_or(Sigma::UNKNOWN, |d| d.sigma(i));
        TapedPoint {
            hand,
            at,
            sigma_north: sigma(0),
            sigma_east: sigma(1),
            ellipse: doubt.as_ref().and_then(|d| d.ellipse(0, 1)),
        }
    };
    Ok(places.into_iter().map(with_doubt).collect())
}

/// The northing and easting of one answer with their joint doubt; `None` where
/// the tapes all but touch, so that a step to the side has no answer.
fn doubt_of(
    first: (&KnownPoint, Length),
    second: (&KnownPoint, Length),
    hand: Turn,
    tape: &TapeModel,
) -> Option<Estimate> {
    let (a, b) = (first.0, second.0);
    let values = [
        a.at.north(),
        a.at.east(),
        b.at.north(),
        b.at.east(),
        first.1.feet(),
        second.1.feet(),
    ];
    let doubt = Covariance::independent(&[a.sigma, a.sigma, b.sigma, b.sigma])
        .joined(&tape.covariance(&[first.1, second.1]));
    let answer = propagate(&values, &doubt, |values| {
        let &[an, ae, bn, be, r, s] = values else {
            return Err(NoAnswer);
        };
        let meeting = tapes_meet(
            Point::new(an, ae)?,
            Length::from_feet(r)?,
            Point::new(bn, be)?,
            Length::from_feet(s)?,
        )?;
        let at = meeting.on(hand);
        Ok(vec![at.north(), at.east()])
    });
    answer.map_err(|_: PropagateError<NoAnswer>| ()).ok()
}

/// The tapes do not meet, a step beside where they do.
struct NoAnswer;

impl From<QuantityError> for NoAnswer {
    fn from(_: QuantityError) -> Self {
        Self
    }
}

impl From<IntersectError> for NoAnswer {
    fn from(_: IntersectError) -> Self {
        Self
    }
}
