//! The best two tapes a crew can pull to set a point, from what it can see.

mod sight;

use crate::angle::Angle;
use crate::estimate::{Ellipse, Sigma};
use crate::length::Length;
use crate::point::{Displacement, Point};
use crate::ring::Turn;
use crate::standards::{TAPE_LENGTH, TAPES_MEET_LEAST, TAPES_MEET_MOST};
use crate::tape::TapeModel;
use crate::two_tapes::{KnownPoint, points_from_tapes};

/// The least share of a blunder in one of the two tapes that a check tape must
/// show, so that a blunder of an inch moves it by a quarter of one.
///
/// Common practice, no source.
const CHECK_SHOWS: f64 = 0.25;

/// What a crew can pull.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TieLimits {
    /// The longest tape.
    pub longest: Length,
    /// The least angle at which two tapes may meet.
    pub least_angle: Angle,
    /// The greatest angle at which two tapes may meet.
    pub greatest_angle: Angle,
}

/// One tape of a tie.
#[derive(Clone, Debug, PartialEq)]
pub struct Tape {
    /// The known point it is held at.
    pub from: String,
    /// What it reads at the point to set.
    pub reading: Length,
}

/// Two tapes that set a point, and a third that checks them.
#[derive(Clone, Debug, PartialEq)]
pub struct TwoTapes {
    /// The tape whose known point has the smaller name.
    pub first: Tape,
    /// The other one.
    pub second: Tape,
    /// The angle at which they meet.
    pub angle: Angle,
    /// The hand of the way from the first known point to the second on which
    /// the point to set lies.
    pub hand: Turn,
    /// The standard error of its northing once set, in feet.
    pub sigma_north: Sigma,
    /// The standard error of its easting once set, in feet.
    pub sigma_east: Sigma,
    /// Its standard ellipse once set, `None` where the doubt is unknown.
    pub ellipse: Option<Ellipse>,
    /// The tape from a third known point that would show a blunder best, if
    /// there is a good one.
    pub check: Option<Tape>,
    /// How many pairs could have been used.
    pub usable_pairs: usize,
}

/// Why no two tapes can set a point: what each known point lacks.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "no two tapes can set this point: {}; mark another point that can be seen from it, or set a helper point between", reasons.join("; ")
)]
pub struct NoTies {
    /// A reason for each known point, or for each pair of those that are left.
    pub reasons: Vec<String>,
}

impl Default for TieLimits {
    /// A 100 ft tape, meeting at 30 to 150 degrees (common practice, no source).
    fn default() -> Self {
        Self {
            longest: TAPE_LENGTH,
            least_angle: TAPES_MEET_LEAST,
            greatest_angle: TAPES_MEET_MOST,
        }
    }
}

/// Returns the two tapes that set `target` best, out of all pairs that a crew
/// can pull.
///
/// A tape is usable if it is long enough and its way crosses none of `blocked`;
/// a pair if the tapes meet at an angle within the limits. Each entry of
/// `blocked` is the outline of a building, in order and not closed, or a wall as
/// two points. A tape may start at a building's corner and run along its wall.
/// The best pair leaves the smallest doubt at the target; pairs that tie are
/// taken in the order of their names, so that the answer is the same on every
/// run. Known points of unknown doubt come after the others.
///
/// # Errors
///
/// [`NoTies`] says for each known point why it does not serve.
///
/// # Examples
///
/// ```
/// use fence_geom::{KnownPoint, Point, Sigma, TapeModel, TieLimits, best_ties};
///
/// let known = |name: &str, north, east| -> Result<_, fence_geom::QuantityError> {
///     Ok(KnownPoint { name: name.into(), at: Point::new(north, east)?, sigma: Sigma::ZERO })
/// };
/// let seen = [known("A", 0.0, 0.0)?, known("B", 0.0, 50.0)?, known("C", 60.0, 0.0)?];
/// let flag = Point::new(24.0, 18.0)?;
/// let tie = best_ties(flag, &seen, &[], &TieLimits::default(), &TapeModel::default())?;
/// assert_eq!((tie.first.from.as_str(), tie.second.from.as_str()), ("A", "B"));
/// assert_eq!(tie.first.reading.feet(), 30.0);
/// assert_eq!(tie.check.map(|tape| tape.from), Some("C".to_string()));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn best_ties(
    target: Point,
    from: &[KnownPoint],
    blocked: &[Vec<Point>],
    limits: &TieLimits,
    tape: &TapeModel,
) -> Result<TwoTapes, NoTies> {
    let mut reasons = Vec::new();
    let mut reach: Vec<Ray<'_>> = Vec::new();
    let mut known: Vec<&KnownPoint> = from.iter().collect();
    known.sort_by(|a, b| a.name.cmp(&b.name));
    for point in known {
        match ray(target, point, blocked, limits) {
            Ok(ray) => reach.push(ray),
            Err(reason) => reasons.push(reason),
        }
    }
    let mut best: Option<(Rank, TwoTapes)> = None;
    let mut usable_pairs = 0;
    for (i, first) in reach.iter().enumerate() {
        for second in reach.iter().skip(i + 1) {
            match pair(target, first, second, limits, tape) {
                Ok((rank, tie)) => {
                    usable_pairs += 1;
                    if best.as_ref().is_none_or(|(least, _)| rank < *least) {
                        best = Some((rank, tie));
                    }
                }
                Err(reason) => reasons.push(reason),
            }
        }
    }
    let Some((_, tie)) = best else {
        if reach.len() < 2 {
            reasons.push(format!(
                "{} of {} known points left",
                reach.len(),
                from.len()
            ));
        }
        return Err(NoTies { reasons });
    };
    let check = best_check(&tie, &reach);
    Ok(TwoTapes {
        check,
        usable_pairs,
        ..tie
    })
}

/// A known point that a tape reaches the target from.
struct Ray<'a> {
    from: &'a KnownPoint,
    /// From the known point to the target, one foot long.
    unit: Displacement,
    reading: Length,
}

/// Unknown doubt after known, then less doubt first: in steps of a billionth of
/// a foot, so that rounding does not decide between pairs that are alike.
type Rank = (bool, i64);

fn ray<'a>(
    target: Point,
    from: &'a KnownPoint,
    blocked: &[Vec<Point>],
    limits: &TieLimits,
) -> Result<Ray<'a>, String> {
    let name = &from.name;
    let way = target - from.at;
    let reading = way.length();
    let Some(unit) = way.unit() else {
        return Err(format!("{name} is the point itself"));
    };
    if reading > limits.longest {
        return Err(format!(
            "{name} is {reading:.2} away and the tape is {:.0} long",
            limits.longest
        ));
    }
    if blocked.iter().any(|b| sight::crosses(from.at, target, b)) {
        return Err(format!("the way from {name} crosses a building or wall"));
    }
    Ok(Ray {
        from,
        unit,
        reading,
    })
}

fn pair(
    target: Point,
    first: &Ray<'_>,
    second: &Ray<'_>,
    limits: &TieLimits,
    tape: &TapeModel,
) -> Result<(Rank, TwoTapes), String> {
    let (sine, cosine) = (first.unit.cross(second.unit), first.unit.dot(second.unit));
    let angle = Angle::of_radians(sine.abs().atan2(cosine));
    let names = format!("{} and {}", first.from.name, second.from.name);
    // A hair is let pass: an angle of exactly 30 degrees is within 30 degrees.
    let hair = Angle::of_radians(1e-9);
    if angle + hair < limits.least_angle || angle > limits.greatest_angle + hair {
        return Err(format!(
            "tapes from {names} meet at {:.0} degrees, not at {:.0} to {:.0}",
            angle.degrees(),
            limits.least_angle.degrees(),
            limits.greatest_angle.degrees()
        ));
    }
    let hand = hand_of(first.from.at, second.from.at, target);
    let place = points_from_tapes(
        (first.from, first.reading),
        (second.from, second.reading),
        tape,
    )
    .ok()
    .and_then(|places| places.into_iter().find(|p| p.hand == Some(hand)))
    .ok_or_else(|| format!("tapes from {names} all but touch"))?;
    let tape_of = |ray: &Ray<'_>| Tape {
        from: ray.from.name.clone(),
        reading: ray.reading,
    };
    let tie = TwoTapes {
        first: tape_of(first),
        second: tape_of(second),
        angle,
        hand,
        sigma_north: place.sigma_north,
        sigma_east: place.sigma_east,
        ellipse: place.ellipse,
        check: None,
        usable_pairs: 0,
    };
    let doubt = place.sigma_north.combined(place.sigma_east).value();
    // With unknown doubt the tapes alone still tell a good angle from a poor one.
    Ok((rank(doubt, sine), tie))
}

fn rank(doubt: Option<f64>, sine: f64) -> Rank {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a cast from float to integer saturates, and the doubt of a tape is small"
    )]
    let steps = |feet: f64| (feet * 1e9).round() as i64;
    match doubt {
        Some(feet) => (false, steps(feet)),
        None => (true, steps(-sine.abs())),
    }
}

fn hand_of(first: Point, second: Point, target: Point) -> Turn {
    if (second - first).cross(target - first) >= 0.0 {
        Turn::Right
    } else {
        Turn::Left
    }
}

/// The tape from a third point that shows a blunder in either of the two best.
///
/// With the first reading wrong by a little, the point slides at a right angle
/// to the second tape, by 1 / sin(angle) of it; the check tape sees the part in
/// its own direction.
fn best_check(tie: &TwoTapes, reach: &[Ray<'_>]) -> Option<Tape> {
    let unit_of = |tape: &Tape| {
        let ray = reach.iter().find(|ray| ray.from.name == tape.from)?;
        Some(ray.unit)
    };
    let (first, second) = (unit_of(&tie.first)?, unit_of(&tie.second)?);
    let sine = first.cross(second).abs();
    let mut best: Option<(f64, &Ray<'_>)> = None;
    for ray in reach {
        if ray.from.name == tie.first.from || ray.from.name == tie.second.from {
            continue;
        }
        let shown = ray
            .unit
            .cross(first)
            .abs()
            .min(ray.unit.cross(second).abs())
            / sine;
        // Better by more than rounding, so that names decide between equals.
        if shown >= CHECK_SHOWS && best.is_none_or(|(most, _)| shown > most + 1e-9) {
            best = Some((shown, ray));
        }
    }
    best.map(|(_, ray)| Tape {
        from: ray.from.name.clone(),
        reading: ray.reading,
    })
}
