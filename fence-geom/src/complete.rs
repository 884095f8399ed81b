//! From a tract as stated to a deed whose calls have all their parts.
//!
//! Directions that turn from the call before are followed, curves are laid, and
//! what is missing is solved from closure: the latitudes and the departures of a
//! closed figure each add up to nothing, which gives two figures and no more.
//! Source of the method, with the cases of one course, two lengths, two bearings
//! and one of each: J. Gummere, "A Treatise on Surveying" (19th century),
//! pp. 128-133, on omissions.

use std::collections::BTreeMap;

use crate::curve::{CurveError, MissingChord, ResolvedCurve};
use crate::deed::{Deed, DeedError, described};
use crate::point::Displacement;
use crate::ring::Turn;
use crate::tract::{StatedCourse, Tract};
use crate::traverse::traverse;

mod solve;
mod walk;

use solve::solve;

use walk::{Item, walk};

/// The most curves without a hand that are tried both ways.
const MAX_HANDLESS: usize = 3;

/// A tract whose calls have all their parts.
#[derive(Clone, Debug, PartialEq)]
pub struct Completed {
    /// The calls. Those with figures solved from closure are marked, and
    /// [`Closure::check`](crate::Closure::check) knows of them.
    pub deed: Deed,
    /// The curves, with what contradicts and what was assumed.
    pub curves: Vec<CurveOfCall>,
    /// True if the last call, which the paper gives no course, is what closes the
    /// figure.
    pub closed_by_construction: bool,
    /// True if a last call without a course was left out, because the calls
    /// before it come back already.
    pub last_call_left_out: bool,
    /// The hands that were tried because nothing says which: the index of the
    /// call, and the hand of this answer.
    pub hands_tried: Vec<(usize, Turn)>,
}

/// A curve of a completed tract.
#[derive(Clone, Debug, PartialEq)]
pub struct CurveOfCall {
    /// The index of its call.
    pub call: usize,
    /// The curve.
    pub curve: ResolvedCurve,
}

/// Why a tract can't be completed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CompleteError {
    /// A curve that can't be laid.
    #[error("{call}: {source}")]
    Curve {
        /// Which call.
        call: String,
        /// Why.
        source: CurveError,
    },
    /// A direction turned from one that is not known.
    #[error(
        "{call} turns from the direction of the call before, which is not known: give either one its bearing"
    )]
    NoHeading {
        /// Which call.
        call: String,
    },
    /// More is missing than closure can give.
    #[error(
        "{calls} lack more than closure can give, which is one course or two figures: find another source for the rest"
    )]
    TooMuchMissing {
        /// Which calls.
        calls: String,
    },
    /// Something is missing of calls that don't come back.
    #[error(
        "{calls} lack figures, and the last call ends at a corner of its own, so that there is no closure to solve them from"
    )]
    StaysOpen {
        /// Which calls.
        calls: String,
    },
    /// No figure closes the tract.
    #[error("nothing put into {calls} closes the tract: {why}")]
    NoAnswer {
        /// Which calls.
        calls: String,
        /// Why not.
        why: String,
    },
    /// The calls don't make a deed.
    #[error(transparent)]
    Deed(#[from] DeedError),
}

/// Completes a tract: every answer, the one that closes best first.
///
/// Two answers come where two figures close the tract equally well, or where
/// nothing says to which hand a curve turns.
///
/// # Errors
///
/// A [`CompleteError`] that names the calls at fault.
///
/// # Examples
///
/// ```
/// use fence_geom::{
///     ClosureCheck, Length, StatedCall, StatedDirection, Tract, complete, read_direction,
///     traverse,
/// };
///
/// let line = |direction: &str, feet| -> Result<StatedCall, Box<dyn std::error::Error>> {
///     let direction = StatedDirection::Given(read_direction(direction)?.value);
///     Ok(StatedCall::line(Some(direction), Some(Length::from_feet(feet)?)))
/// };
/// let tract = Tract {
///     calls: vec![
///         line("due north", 60.0)?,
///         line("due east", 80.0)?,
///         StatedCall::line(None, None),
///     ],
///     ..Tract::default()
/// };
/// let answers = complete(&tract)?;
/// assert!(answers[0].closed_by_construction);
/// let closing = &answers[0].deed.calls()[2];
/// assert!((closing.distance().feet() - 100.0).abs() < 1e-9);
/// let closure = traverse(&answers[0].deed).closure();
/// assert_eq!(closure.check(), ClosureCheck::Nothing);
/// assert!(!closure.is_exact());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn complete(tract: &Tract) -> Result<Vec<Completed>, CompleteError> {
    let mut answers = with_hands(tract, &[])?;
    // Sorting is stable: answers that close alike keep their order.
    answers.sort_by(|a, b| misclosure(a).total_cmp(&misclosure(b)));
    Ok(answers)
}

/// The misclosure in feet, noise below a thousandth taken off.
fn misclosure(completed: &Completed) -> f64 {
    let gap = traverse(&completed.deed).closure().gap();
    (gap.length().feet() * 1e3).round() / 1e3
}

/// The answers with some hands set that nothing says, both hands of the next such
/// curve tried.
fn with_hands(tract: &Tract, hands: &[(usize, Turn)]) -> Result<Vec<Completed>, CompleteError> {
    let mut set = tract.clone();
    for &(i, turn) in hands {
        if let Some(StatedCourse::Curve(elements)) = set.calls.get_mut(i).map(|it| &mut it.course) {
            elements.turn = Some(turn);
        }
    }
    match answers(&set) {
        Err(Fault::NoHand(i)) if hands.len() < MAX_HANDLESS => {
            let both = [Turn::Right, Turn::Left].map(|turn| {
                let mut hands = hands.to_vec();
                hands.push((i, turn));
                with_hands(tract, &hands)
            });
            match both {
                [Ok(mut right), Ok(left)] => {
                    right.extend(left);
                    Ok(right)
                }
                [Ok(only), Err(_)] | [Err(_), Ok(only)] => Ok(only),
                [Err(error), Err(_)] => Err(error),
            }
        }
        Err(Fault::NoHand(i)) => Err(CompleteError::Curve {
            call: named(tract, &[i]),
            source: CurveError::NoHand,
        }),
        Err(Fault::Error(error)) => Err(error),
        Ok(mut answers) => {
            for answer in &mut answers {
                answer.hands_tried = hands.to_vec();
            }
            Ok(answers)
        }
    }
}

/// Why one set of hands gives no answer.
enum Fault {
    /// Nothing says the hand of this call.
    NoHand(usize),
    Error(CompleteError),
}

impl<E: Into<CompleteError>> From<E> for Fault {
    fn from(error: E) -> Self {
        Self::Error(error.into())
    }
}

/// What is put into the calls that lack something.
type Fills = BTreeMap<usize, Displacement>;

fn answers(tract: &Tract) -> Result<Vec<Completed>, Fault> {
    let items = walk(tract, &Fills::new())?;
    let missing: Vec<(usize, MissingChord)> = items
        .iter()
        .enumerate()
        .filter_map(|(i, item)| match item {
            Item::Lacking(missing) => Some((i, *missing)),
            Item::Known(_) => None,
        })
        .collect();
    if !missing.is_empty() && tract.stays_open() {
        let calls = named_missing(tract, &missing);
        return Err(CompleteError::StaysOpen { calls }.into());
    }
    let last = tract.calls.len().saturating_sub(1);
    let only_last = matches!(missing.as_slice(), [(i, MissingChord::Course)] if *i == last);
    if only_last && let Some(answer) = without_last(tract, &items)? {
        return Ok(vec![answer]);
    }
    let gap = items
        .iter()
        .filter_map(Item::way)
        .fold(Displacement::default(), |sum, way| sum + way);
    let mut answers = Vec::new();
    let mut refused = None;
    for fills in solve(tract, &missing, -gap)? {
        let walked = walk(tract, &fills).and_then(|items| assemble(tract, &items, &missing));
        match walked {
            Ok(answer) => answers.push(Completed {
                closed_by_construction: only_last,
                ..answer
            }),
            Err(Fault::Error(error)) => refused = refused.or(Some(error)),
            Err(hand) => return Err(hand),
        }
    }
    // Of two figures that close, one may be none that the curves can have.
    match refused {
        Some(error) if answers.is_empty() => Err(error.into()),
        _ => Ok(answers),
    }
}

/// The tract without its last call, where the calls before it come back by
/// themselves.
fn without_last(tract: &Tract, items: &[Item]) -> Result<Option<Completed>, Fault> {
    let mut shorter = tract.clone();
    shorter.calls.pop();
    let Some(last) = shorter.calls.last_mut() else {
        return Ok(None);
    };
    if last
        .corner
        .as_ref()
        .is_some_and(|name| *name != tract.beginning.name)
    {
        return Ok(None);
    }
    let items = items.get(..shorter.calls.len()).unwrap_or_default();
    let mut answer = assemble(&shorter, items, &[])?;
    answer.last_call_left_out = true;
    let closure = traverse(&answer.deed).closure();
    Ok(closure.is_within_rounding().then_some(answer))
}

/// Makes the deed of items that are all known.
fn assemble(
    tract: &Tract,
    items: &[Item],
    missing: &[(usize, MissingChord)],
) -> Result<Completed, Fault> {
    let mut calls = Vec::with_capacity(items.len());
    let mut curves = Vec::new();
    for (i, (item, stated)) in items.iter().zip(&tract.calls).enumerate() {
        let Item::Known(known) = item else {
            let calls = named(tract, &[i]);
            return Err(CompleteError::TooMuchMissing { calls }.into());
        };
        let mut call = known.call.clone();
        if let Some(name) = &stated.corner {
            call = call.ending_at(name.clone());
        }
        if let Some(written) = &stated.written {
            call = call.as_written(written.clone());
        }
        if let Some((_, missing)) = missing.iter().find(|(at, _)| *at == i) {
            call = call.solved_from_closure(missing.solved());
        }
        calls.push(call);
        curves.extend(
            known
                .curve
                .clone()
                .map(|curve| CurveOfCall { call: i, curve }),
        );
    }
    Ok(Completed {
        deed: Deed::new(tract.beginning.clone(), calls, tract.stated_area)?,
        curves,
        closed_by_construction: false,
        last_call_left_out: false,
        hands_tried: Vec::new(),
    })
}

fn named(tract: &Tract, calls: &[usize]) -> String {
    let names: Vec<String> = calls
        .iter()
        .map(|&i| described(tract.calls.get(i).and_then(|it| it.written.as_ref()), i))
        .collect();
    names.join(" and ")
}

fn named_missing(tract: &Tract, missing: &[(usize, MissingChord)]) -> String {
    let calls: Vec<usize> = missing.iter().map(|(i, _)| *i).collect();
    named(tract, &calls)
}
