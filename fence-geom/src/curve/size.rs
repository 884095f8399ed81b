//! The size of a curve: its radius and central angle from any two of its sized
//! elements, and any sized element from radius and central angle.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::resolve::CurveError;
use super::{CurveElement, CurveElements, DegreeOf};

/// A radius in feet and a central angle in radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Size {
    pub(super) radius: f64,
    pub(super) delta: f64,
}

/// The elements that have a size of their own, the firmest first.
pub(crate) const SIZED: [CurveElement; 6] = [
    CurveElement::Radius,
    CurveElement::Delta,
    CurveElement::Arc,
    CurveElement::Chord,
    CurveElement::Degree,
    CurveElement::Tangent,
];

/// Pairs of sized elements, in the order in which they are preferred: an arc and
/// a chord nearly as long say little of the radius, and a tangent is seldom
/// written finely.
pub(super) const PAIRS: [(CurveElement, CurveElement); 14] = [
    (CurveElement::Radius, CurveElement::Delta),
    (CurveElement::Radius, CurveElement::Arc),
    (CurveElement::Radius, CurveElement::Chord),
    (CurveElement::Delta, CurveElement::Chord),
    (CurveElement::Delta, CurveElement::Arc),
    (CurveElement::Degree, CurveElement::Delta),
    (CurveElement::Degree, CurveElement::Arc),
    (CurveElement::Degree, CurveElement::Chord),
    (CurveElement::Arc, CurveElement::Chord),
    (CurveElement::Radius, CurveElement::Tangent),
    (CurveElement::Delta, CurveElement::Tangent),
    (CurveElement::Chord, CurveElement::Tangent),
    (CurveElement::Arc, CurveElement::Tangent),
    (CurveElement::Degree, CurveElement::Tangent),
];

/// A central angle that can be one.
pub(super) fn checked_delta(delta: f64) -> Result<f64, CurveError> {
    if delta > 0.0 && delta < TAU {
        Ok(delta)
    } else {
        Err(CurveError::WholeTurn {
            degrees: delta.to_degrees(),
        })
    }
}

/// What the paper gives of a sized element, in feet or radians; of the degree,
/// the radius that it stands for.
pub(super) fn stated(elements: &CurveElements, element: CurveElement) -> Option<f64> {
    match element {
        CurveElement::Radius => elements.radius.map(|it| it.feet()),
        CurveElement::Delta => elements.delta.map(|it| it.radians()),
        CurveElement::Arc => elements.arc.map(|it| it.feet()),
        CurveElement::Chord => elements.chord.map(|it| it.feet()),
        CurveElement::Tangent => elements.tangent.map(|it| it.feet()),
        CurveElement::Degree => elements.degree.map(|degree| {
            let half_station = 50.0 * degree.foot.international_feet();
            let half = degree.angle.radians() / 2.0;
            match degree.of {
                DegreeOf::Arc => half_station / half,
                DegreeOf::Chord => half_station / half.sin(),
            }
        }),
        _ => None,
    }
}

/// Returns the size that two sized elements fix. A radius (or degree) and a chord
/// belong to two arcs, one of each side of the half circle: `major` picks.
pub(super) fn of_pair(
    elements: &CurveElements,
    (first, second): (CurveElement, CurveElement),
    major: bool,
) -> Result<Size, CurveError> {
    use CurveElement::{Arc, Chord, Degree, Delta, Radius, Tangent};
    let missing = || CurveError::impossible(first, second, "both must be given");
    let a = positive(elements, first)?.ok_or_else(missing)?;
    let b = positive(elements, second)?.ok_or_else(missing)?;
    let refused = |why| CurveError::impossible(first, second, why);
    let size = match (first, second) {
        (Radius | Degree, Delta) => Size {
            radius: a,
            delta: b,
        },
        (Radius | Degree, Arc) => Size {
            radius: a,
            delta: b / a,
        },
        (Radius | Degree, Chord) => {
            let half = half_of_chord(b, a).ok_or_else(|| refused(LONG_CHORD))?;
            let half = if major { PI - half } else { half };
            Size {
                radius: a,
                delta: 2.0 * half,
            }
        }
        (Radius | Degree, Tangent) => Size {
            radius: a,
            delta: 2.0 * (b / a).atan(),
        },
        (Delta, Arc) => Size {
            radius: b / a,
            delta: a,
        },
        (Delta, _) => of_angle(a, second, b)?,
        (Arc, Chord) => {
            let half = solve_ratio(b / a, PI, |x| x.sin() / x).ok_or_else(|| refused(SHORT_ARC))?;
            of_angle(2.0 * half, Chord, b)?
        }
        (Chord, Tangent) => {
            let cosine = a / (2.0 * b);
            if cosine >= 1.0 {
                return Err(refused(
                    "the two tangents together are longer than the chord",
                ));
            }
            of_angle(2.0 * cosine.acos(), Chord, a)?
        }
        (Arc, Tangent) => {
            let half = solve_ratio(a / (2.0 * b), FRAC_PI_2, |x| x / x.tan())
                .ok_or_else(|| refused("the two tangents together are longer than the arc"))?;
            of_angle(2.0 * half, Arc, a)?
        }
        _ => return Err(missing()),
    };
    checked_delta(size.delta)?;
    // Also stops what overflows.
    if size.radius > 0.0 && size.radius <= crate::length::Length::MAX_FEET {
        Ok(size)
    } else {
        Err(refused("the radius they give is no length"))
    }
}

/// Returns the size of a curve of a known central angle and one more element.
pub(super) fn of_angle(delta: f64, element: CurveElement, value: f64) -> Result<Size, CurveError> {
    let half = checked_delta(delta)? / 2.0;
    let radius = match element {
        CurveElement::Radius | CurveElement::Degree => value,
        CurveElement::Arc => value / delta,
        CurveElement::Chord => value / (2.0 * half.sin()),
        CurveElement::Tangent if half < FRAC_PI_2 => value / half.tan(),
        _ => {
            return Err(CurveError::impossible(
                CurveElement::Delta,
                element,
                "a curve of half a circle or more has no tangent length",
            ));
        }
    };
    Ok(Size { radius, delta })
}

/// What an element of a curve of the given size would be; of the degree, the
/// radius. `None` for a tangent that does not exist.
pub(super) fn predicted(size: Size, element: CurveElement) -> Option<f64> {
    let half = size.delta / 2.0;
    Some(match element {
        CurveElement::Radius | CurveElement::Degree => size.radius,
        CurveElement::Delta => size.delta,
        CurveElement::Arc => size.radius * size.delta,
        CurveElement::Chord => 2.0 * size.radius * half.sin(),
        CurveElement::Tangent if half < FRAC_PI_2 => size.radius * half.tan(),
        _ => return None,
    })
}

pub(super) const LONG_CHORD: &str = "the chord is longer than the diameter";
const SHORT_ARC: &str = "the arc is no longer than its chord";

/// A stated sized element, refused if it is zero.
fn positive(elements: &CurveElements, element: CurveElement) -> Result<Option<f64>, CurveError> {
    let value = stated(elements, element);
    match value {
        Some(value) if !(value > 0.0 && value.is_finite()) => {
            Err(CurveError::NotPositive { element })
        }
        value => Ok(value),
    }
}

/// Half the central angle, at most a right angle, of a chord.
fn half_of_chord(chord: f64, radius: f64) -> Option<f64> {
    let sine = chord / (2.0 * radius);
    // A half circle's chord is its diameter, but for the rounding of both; what is
    // beyond that is reported as a contradiction.
    (sine <= 1.01).then(|| sine.min(1.0).asin())
}

/// The `x` between zero and `end` at which a function that falls from one to zero
/// takes the given value.
fn solve_ratio(value: f64, end: f64, falling: impl Fn(f64) -> f64) -> Option<f64> {
    if !(value > 0.0 && value < 1.0) {
        return None;
    }
    // False position, the end that stays put weighted down (the Illinois rule): the
    // bracket holds as in halving, and some ten rounds do what that does in sixty.
    let (mut low, mut high) = ((0.0, 1.0 - value), (end, -value));
    let (mut at, mut raised) = (end / 2.0, None);
    for _ in 0..60 {
        let before = at;
        at = (low.0 * high.1 - high.0 * low.1) / (high.1 - low.1);
        let off = falling(at) - value;
        let stays_put = raised == Some(off > 0.0);
        if off > 0.0 {
            low = (at, off);
            high.1 /= if stays_put { 2.0 } else { 1.0 };
        } else {
            high = (at, off);
            low.1 /= if stays_put { 2.0 } else { 1.0 };
        }
        raised = Some(off > 0.0);
        if (at - before).abs() <= f64::EPSILON * at {
            break;
        }
    }
    Some(at)
}
