//! Calls put together from the elements of a clause.

use std::ops::Range;

use crate::angle::Angle;
use crate::length::Length;
use crate::tract::StatedDirection;

use super::elements::{Element, Role, What};
use crate::units::LengthUnit;

/// A straight call half put together.
#[derive(Clone, Debug, Default)]
pub(super) struct Draft {
    pub(super) direction: Option<StatedDirection>,
    /// It is "continue", which gives way to a direction of its own.
    carried: bool,
    pub(super) half_direction: Angle,
    pub(super) direction_at: Option<Range<usize>>,
    pub(super) distance: Option<Length>,
    pub(super) half_distance: Length,
    pub(super) distance_at: Option<Range<usize>>,
    pub(super) unit: Option<LengthUnit>,
    late: Option<(Length, Length, Range<usize>)>,
    lates: usize,
    total_next: bool,
    pub(super) assumed: Vec<(Range<usize>, String)>,
}

/// What a clause's elements come to.
#[derive(Default)]
pub(super) struct Drafts {
    pub(super) calls: Vec<Draft>,
    /// The clause leads to the beginning.
    pub(super) reaches_beginning: bool,
    pub(super) bad: Vec<(Range<usize>, String)>,
    /// Bearings that are no calls, with what they are.
    pub(super) no_calls: Vec<(Range<usize>, &'static str)>,
}

/// Puts the calls of a clause together.
pub(super) fn drafts(elements: Vec<Element>) -> Drafts {
    let distance_first = is_distance_first(&elements);
    let mut result = Drafts::default();
    let mut draft: Option<Draft> = None;
    // Behind words that can't be read a distance is theirs, up to the next direction.
    let mut lost = false;
    for element in elements {
        let span = element.from..element.to;
        match element.what {
            What::Bad(problem) => {
                result.calls.extend(draft.take().filter(Draft::is_whole));
                result.bad.push((span, problem));
                lost = true;
            }
            What::NoCall(why) => result.no_calls.push((span, why)),
            What::Beginning => result.reaches_beginning = true,
            What::General => draft.get_or_insert_default().general(span),
            What::Total => draft.get_or_insert_default().total_next = true,
            What::Direction {
                direction,
                half,
                assumed,
            } => {
                let turn = Turning {
                    direction,
                    half,
                    assumed,
                    span,
                };
                lost = false;
                if let Err(bad) =
                    take_direction(&mut draft, &mut result.calls, turn, distance_first)
                {
                    draft = None;
                    lost = true;
                    result.bad.push(bad);
                }
            }
            What::Distance { .. } if lost => {}
            What::Distance { read, role } => {
                if distance_first && draft.as_ref().is_some_and(Draft::is_whole) {
                    result.calls.extend(draft.take());
                }
                let assumed = read.assumed.into_iter().map(|s| (span.clone(), s));
                let current = draft.get_or_insert_default();
                if current.take_distance(read.length, read.half, span.clone(), role) {
                    current.unit = Some(read.unit);
                    current.assumed.extend(assumed);
                } else {
                    let problem = "two distances stand here and which is the call's can't be told";
                    result.bad.push((span, problem.to_owned()));
                    draft = None;
                    lost = true;
                }
            }
        }
    }
    result.calls.extend(draft);
    for call in &mut result.calls {
        if let Err(bad) = call.settle() {
            result.bad.push(bad);
        }
    }
    result
        .calls
        .retain(|call| call.direction_at.is_some() || call.distance.is_some());
    result
}

/// A direction that has just been read.
struct Turning {
    direction: StatedDirection,
    half: Angle,
    assumed: Vec<String>,
    span: Range<usize>,
}

fn take_direction(
    draft: &mut Option<Draft>,
    calls: &mut Vec<Draft>,
    turning: Turning,
    distance_first: bool,
) -> Result<(), (Range<usize>, String)> {
    let is_carried = matches!(
        turning.direction,
        StatedDirection::Turned { angle, .. } if angle == Angle::ZERO
    );
    if let Some(current) = draft.as_mut() {
        // "continuing along said line" behind a direction adds nothing.
        if is_carried && current.direction.is_some() && current.distance.is_none() {
            return Ok(());
        }
        let free = current.direction.is_none() || current.carried;
        let waits = current.distance.is_none() || (distance_first && current.direction.is_none());
        if !(free && waits) {
            if current.distance.is_none() && current.late.is_none() {
                return Err((
                    turning.span,
                    "two directions stand here and which is the call's can't be told".to_owned(),
                ));
            }
            calls.extend(draft.take());
        }
    }
    let current = draft.get_or_insert_default();
    current.carried = is_carried;
    current.direction = Some(turning.direction);
    current.half_direction = turning.half;
    current.direction_at = Some(turning.span.clone());
    current.assumed.extend(
        turning
            .assumed
            .into_iter()
            .map(|s| (turning.span.clone(), s)),
    );
    Ok(())
}

/// True if each distance stands before its bearing, as in `(1) 50 feet, N 20 E`.
fn is_distance_first(elements: &[Element]) -> bool {
    let mut kinds = elements.iter().filter_map(|element| match &element.what {
        What::Direction { .. } => Some(true),
        What::Distance {
            role: Role::Call, ..
        } => Some(false),
        _ => None,
    });
    let mut expected = false;
    let mut count = 0;
    for is_direction in kinds.by_ref() {
        if is_direction != expected {
            return false;
        }
        expected = !expected;
        count += 1;
    }
    count > 0 && count % 2 == 0
}

impl Draft {
    pub(super) fn is_whole(&self) -> bool {
        self.direction.is_some() && self.distance.is_some()
    }

    fn general(&mut self, span: Range<usize>) {
        if self.direction_at.is_none() {
            self.direction_at = Some(span);
        }
    }

    /// Takes a distance; false if it has one that this one contradicts.
    fn take_distance(
        &mut self,
        length: Length,
        half: Length,
        span: Range<usize>,
        role: Role,
    ) -> bool {
        if self.total_next {
            // "in all": it replaces what was passed on the way.
            self.total_next = false;
            self.set_distance(length, half, span);
            self.late = None;
            self.lates = 0;
            return true;
        }
        match role {
            Role::Passing => true,
            Role::Late => {
                if self.distance.is_none() {
                    self.lates += 1;
                    self.late = Some((length, half, span));
                }
                true
            }
            Role::Call if self.distance.is_none() => {
                self.set_distance(length, half, span);
                true
            }
            Role::Call => false,
        }
    }

    fn set_distance(&mut self, length: Length, half: Length, span: Range<usize>) {
        self.distance = Some(length);
        self.half_distance = half;
        self.distance_at = Some(span);
    }

    /// A distance that stands behind "to" counts where there is no other.
    fn settle(&mut self) -> Result<(), (Range<usize>, String)> {
        let Some((length, half, span)) = self.late.take() else {
            return Ok(());
        };
        if self.distance.is_some() || self.direction.is_none() {
            return Ok(());
        }
        if self.lates > 1 {
            return Err((
                span,
                "several distances stand here and which is the call's can't be told".to_owned(),
            ));
        }
        self.set_distance(length, half, span);
        Ok(())
    }
}
