//! The exact answer to a problem in steps.

use super::alive::Alive;
use super::cost::{Fields, Packed, Rates, words_needed};
use super::error::LayoutError;
use super::ground::{Ground, Last, Next, Spot};
use super::problem::Problem;
use super::sweep::{Ahead, Sweep};

/// A layout in steps: the start face and what follows it.
#[derive(Clone, Debug)]
pub(super) struct Path {
    pub(super) start: i64,
    pub(super) sections: Vec<Placed>,
}

/// A section in its place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placed {
    pub(super) near: i64,
    pub(super) far: i64,
    pub(super) what: What,
}

/// What a section is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum What {
    Full,
    /// A cut section, or a bay.
    Cut,
    Gate(usize),
}

/// Returns the best layout; nothing where none keeps the hard rules.
pub(super) fn solve(problem: &Problem) -> Result<Option<Path>, LayoutError> {
    let fields = Fields::of(problem)?;
    let ground = Ground::new(problem);
    let sweep = Sweep::new(&ground, Rates::pack(&fields.lead));
    if sweep.best.is_never() {
        return Ok(None);
    }
    // Two words hold the other wishes of the usual order; eight hold any.
    Ok(match words_needed(&fields.rest) {
        0..=2 => trace::<2>(&ground, &sweep, Rates::pack(&fields.rest)),
        _ => trace::<8>(&ground, &sweep, Rates::pack(&fields.rest)),
    })
}

/// Walks one best layout from its start; among equals the first by the order of
/// [`Ground::follow`], with the widest cut.
fn trace<const W: usize>(ground: &Ground<'_>, sweep: &Sweep, rates: Rates<W>) -> Option<Path> {
    let alive = Alive::new(ground, sweep, rates);
    let (start, first) = best_start(ground, sweep, &alive)?;
    let mut sections = Vec::new();
    let mut gates = 0;
    let mut next = first;
    while let Some(placed) = place(ground, sweep, &alive, gates, next) {
        let last = match placed.what {
            What::Full => Last::Full,
            What::Cut => Last::Cut,
            What::Gate(gate) => {
                gates |= 1 << gate;
                ground.after_gate(gate)
            }
        };
        sections.push(placed);
        let at = placed.far;
        next = best_next(ground, sweep, &alive, Spot { at, gates, last })?;
    }
    Some(Path { start, sections })
}

/// The start face nearest its wish, then the smaller; with its first section.
fn best_start<const W: usize>(
    ground: &Ground<'_>,
    sweep: &Sweep,
    alive: &Alive<W>,
) -> Option<(i64, Next)> {
    let mut best: Option<(i64, i64, Next)> = None;
    alive.for_each_start(ground, sweep, |face, next, value| {
        let off = (face - ground.problem.start.wish).abs();
        // Faces rise, and first sections come in the order that decides: of two
        // equally far off, the first stays.
        let nearer = best.is_none_or(|(least, ..)| off < least);
        if value == alive.best && nearer {
            best = Some((off, face, next));
        }
    });
    best.map(|(_, face, next)| (face, next))
}

fn best_next<const W: usize>(
    ground: &Ground<'_>,
    sweep: &Sweep,
    alive: &Alive<W>,
    spot: Spot,
) -> Option<Next> {
    let least: Packed<W> = alive.after(spot.gates, spot.at, spot.last);
    let mut first = None;
    alive.for_each_tight(ground, sweep, spot, |next, value| {
        if first.is_none() && value == least {
            first = Some(next);
        }
    });
    first
}

/// The section that is next, in its place; nothing at the end of the run.
fn place<const W: usize>(
    ground: &Ground<'_>,
    sweep: &Sweep,
    alive: &Alive<W>,
    gates: usize,
    next: Next,
) -> Option<Placed> {
    let (near, far, what) = match next {
        Next::End => return None,
        Next::Full { near } => (near, near + ground.problem.full, What::Full),
        Next::Gate { near, gate } => {
            let opening = ground.problem.gates.get(gate)?.opening;
            (near, near + opening, What::Gate(gate))
        }
        Next::Cut { near } => {
            let far = alive.widest_cut(ground, sweep, gates, near)?;
            (near, far, What::Cut)
        }
    };
    Some(Placed { near, far, what })
}
