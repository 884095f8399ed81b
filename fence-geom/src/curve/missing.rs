//! What a curve lacks that the closure of its tract can give.

use super::plan::{Given, Start};
use super::resolve::CurveError;
use super::size::{self, PAIRS};
use super::{CurveElement, CurveElements};
use crate::angle::Angle;
use crate::bearing::Azimuth;
use crate::length::Length;

/// The part of a curve's chord that is missing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum MissingChord {
    /// All of it.
    Course,
    /// Its length; the direction is known.
    Length(Azimuth),
    /// Its direction; the length is known.
    Direction(Length),
    /// How far the curve goes on from a known start.
    Extent,
}

/// Returns what closure must give of a curve that can't be laid, or `None` where
/// that would not help.
pub(crate) fn missing_chord(
    elements: &CurveElements,
    before: Option<Azimuth>,
    error: &CurveError,
) -> Option<MissingChord> {
    let given = Given { elements, before };
    let sized: Vec<CurveElement> = given.sized().collect();
    match error {
        CurveError::NoSize { .. } => {
            if let Some(chord) = given.chord_direction() {
                return elements
                    .chord
                    .is_none()
                    .then_some(MissingChord::Length(chord));
            }
            match sized.as_slice() {
                [] => Some(MissingChord::Course),
                [CurveElement::Delta] => direction_of_angle(given).map(MissingChord::Length),
                _ => elements.turn.map(|_| MissingChord::Extent),
            }
        }
        CurveError::NoDirection | CurveError::NoCallBefore => {
            if sized.len() < 2 {
                return elements.chord.is_none().then_some(MissingChord::Course);
            }
            chord_of(elements).map(MissingChord::Direction)
        }
        _ => None,
    }
}

/// The direction of the chord, of a curve whose start and central angle are known.
fn direction_of_angle(given: Given<'_>) -> Option<Azimuth> {
    let turn = given.elements.turn?;
    let start = given
        .start(Start::Radial, turn)
        .or_else(|| given.start(Start::CallBefore, turn))?;
    let half = Angle::of_radians(given.elements.delta?.radians() / 2.0);
    Some(start.turned(turn.signed(half)))
}

/// The length of the chord, of a curve whose size is known.
fn chord_of(elements: &CurveElements) -> Option<Length> {
    elements.chord.or_else(|| {
        PAIRS
            .into_iter()
            .find_map(|pair| size::of_pair(elements, pair, false).ok())
            .and_then(|size| size::predicted(size, CurveElement::Chord))
            .map(Length::saturating)
    })
}
