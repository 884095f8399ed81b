//! Where posts may stand, and what may follow a section at its far face: the one
//! place that holds the hard rules and what each step costs.

use super::cost::{Packed, Rates};
use super::problem::{Beside, Problem, Span};

/// All kinds of sections, in the order that decides between equals.
pub(super) const KINDS: [Last; 4] = [Last::Full, Last::Gate, Last::Latch, Last::Cut];

/// What a post may have on a side.
pub(super) const SIDES: [Beside; 3] = [Beside::Panel, Beside::Hinge, Beside::Latch];

/// One of three by a side, in the order of [`SIDES`].
#[inline]
pub(super) const fn by_side<T>([panel, hinge, latch]: &[T; 3], side: Beside) -> &T {
    match side {
        Beside::Panel => panel,
        Beside::Hinge => hinge,
        Beside::Latch => latch,
    }
}

/// The section on one side of a post: the one that ended last, or the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Last {
    Full,
    /// A cut section, or a bay.
    Cut,
    /// A gate with its hinges to the post.
    Gate,
    /// A gate with its latch to the post.
    Latch,
}

impl Last {
    /// What that is to the post.
    #[inline]
    pub(super) const fn beside(self) -> Beside {
        match self {
            Self::Full | Self::Cut => Beside::Panel,
            Self::Gate => Beside::Hinge,
            Self::Latch => Beside::Latch,
        }
    }

    /// The gate with this side to the post.
    const fn of_gate(side: Beside) -> Self {
        match side {
            Beside::Latch => Self::Latch,
            Beside::Panel | Beside::Hinge => Self::Gate,
        }
    }

    pub(super) const fn is_gate(self) -> bool {
        matches!(self, Self::Gate | Self::Latch)
    }
}

/// Where a section ended: its far face, the gates placed so far, its kind.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    pub(super) at: i64,
    pub(super) gates: usize,
    pub(super) last: Last,
}

/// What follows: the end of the run, or a section that begins at a place.
#[derive(Clone, Copy, Debug)]
pub(super) enum Next {
    End,
    Full { near: i64 },
    Gate { near: i64, gate: usize },
    Cut { near: i64 },
}

/// What a post between two sections costs, or an end of the run.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Toll {
    pub(super) hand_dug: i64,
    pub(super) changes: i64,
    pub(super) end_steps: i64,
}

/// The post between two neighbors.
#[derive(Clone, Copy, Debug)]
pub(super) struct Joint {
    /// The neighbor before it, and the one after it.
    pub(super) beside: [Beside; 2],
    /// One of the two is full and the other cut.
    pub(super) changes: bool,
}

/// What the ground says to a hole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Dig {
    Machine,
    Hand,
    Never,
}

/// A post between two neighbors.
pub(super) struct Post {
    /// How far apart it keeps them.
    pub(super) spacing: i64,
    /// What its hole meets where the first of them ends at each place from the first
    /// of the run; empty where no neighbors are such.
    digs: Vec<Dig>,
}

/// A problem with its ground worked out for every step.
pub(super) struct Ground<'p> {
    pub(super) problem: &'p Problem,
    /// By the neighbor before a post and the one after it, in the order of [`SIDES`].
    posts: [[Post; 3]; 3],
    /// True where a gate has a latch with a post of its own.
    pub(super) has_latches: bool,
}

impl<'p> Ground<'p> {
    pub(super) fn new(problem: &'p Problem) -> Self {
        let post = |beside: [Beside; 2]| Post {
            spacing: problem.spacing(beside),
            digs: if beside.into_iter().all(|side| problem.has(side)) {
                dig_along(problem, problem.center_past(beside))
            } else {
                Vec::new()
            },
        };
        Self {
            problem,
            posts: SIDES.map(|before| SIDES.map(|after| post([before, after]))),
            has_latches: problem.has(Beside::Latch),
        }
    }

    /// The posts by the neighbor before them and the one after.
    #[inline]
    pub(super) const fn posts(&self) -> &[[Post; 3]; 3] {
        &self.posts
    }

    #[inline]
    fn post(&self, [before, after]: [Beside; 2]) -> &Post {
        by_side(by_side(&self.posts, before), after)
    }

    /// Holes dug by hand for a post, 0 or 1, where the section before it ends at a
    /// place; nothing where its hole may not be, or no neighbors are such.
    #[inline]
    pub(super) fn hand_dug(&self, post: &Post, at: i64) -> Option<i64> {
        let index = usize::try_from(at - self.problem.first()).ok()?;
        post.digs.get(index)?.hand_dug()
    }

    /// The far side of a gate that has been placed.
    #[inline]
    pub(super) fn after_gate(&self, gate: usize) -> Last {
        let gate = self.problem.gates.get(gate);
        gate.map_or(Last::Gate, |gate| Last::of_gate(gate.far_side))
    }

    /// The near side of a gate that is to be placed.
    #[inline]
    pub(super) fn before_gate(&self, gate: usize) -> Last {
        let gate = self.problem.gates.get(gate);
        gate.map_or(Last::Gate, |gate| Last::of_gate(gate.near_side))
    }

    /// All gates placed.
    pub(super) fn all_gates(&self) -> usize {
        (1 << self.problem.gates.len()) - 1
    }

    /// The places where a section may end with exactly these gates placed.
    pub(super) fn reach_of(&self, gates: usize) -> Option<Span> {
        let mut span = Span {
            from: self.problem.first(),
            to: self.problem.last(),
        };
        for (i, gate) in self.problem.gates.iter().enumerate() {
            if gates & (1 << i) == 0 {
                span.to = span.to.min(gate.last_near_face());
            } else {
                span.from = span.from.max(gate.first_far_face());
            }
        }
        (span.from <= span.to).then_some(span)
    }

    /// The start faces that may be, with what each costs.
    pub(super) fn starts(&self) -> impl Iterator<Item = (i64, Toll)> {
        let start = self.problem.start;
        let last = start.max.min(self.problem.last() + start.lap);
        (start.min..=last).filter_map(move |face| {
            Some((
                face,
                Toll {
                    hand_dug: self.end_hole(start.hole, 2 * face - start.post)?,
                    end_steps: (face - start.wish).abs(),
                    changes: 0,
                },
            ))
        })
    }

    /// What may be the first section after a start face.
    pub(super) fn first_sections(&self, face: i64, mut visit: impl FnMut(Next)) {
        let near = face - self.problem.start.lap;
        if !self.problem.bays {
            visit(Next::Full { near });
        }
        for gate in self.problem.gates_left(0) {
            visit(Next::Gate { near: face, gate });
        }
        visit(Next::Cut { near });
    }

    /// What may follow, in the order that decides between equals, with what the
    /// post between costs; or what the end of the run costs.
    #[inline]
    pub(super) fn follow(&self, spot: Spot, mut visit: impl FnMut(Next, Toll)) {
        let Spot { at, gates, last } = spot;
        if gates == self.all_gates()
            && let Some(toll) = self.end_toll(at, last)
        {
            visit(Next::End, toll);
        }
        let beyond = |next| {
            let joint = self.joint(last, next)?;
            let post = self.post(joint.beside);
            let toll = Toll {
                hand_dug: self.hand_dug(post, at)?,
                changes: i64::from(joint.changes),
                end_steps: 0,
            };
            Some((at + post.spacing, toll))
        };
        if let Some((near, toll)) = beyond(Last::Full) {
            visit(Next::Full { near }, toll);
        }
        for gate in self.problem.gates_left(gates) {
            if let Some((near, toll)) = beyond(self.before_gate(gate)) {
                visit(Next::Gate { near, gate }, toll);
            }
        }
        if let Some((near, toll)) = beyond(Last::Cut) {
            visit(Next::Cut { near }, toll);
        }
    }

    /// What stands between a section and the next; nothing where the two may not
    /// be neighbors.
    #[inline]
    pub(super) fn joint(&self, last: Last, next: Last) -> Option<Joint> {
        let by_gate = last.is_gate() || next.is_gate();
        let with_cut = last == Last::Cut || next == Last::Cut;
        let kept_apart = self.problem.guard && by_gate && with_cut;
        let no_such = self.problem.bays && next == Last::Full;
        (!kept_apart && !no_such).then_some(Joint {
            beside: [last.beside(), next.beside()],
            changes: with_cut && !by_gate && last != next,
        })
    }

    /// How many places there are, from the first to the last.
    pub(super) fn places(&self) -> usize {
        self.post([Beside::Panel; 2]).digs.len()
    }

    /// The places, counted from the first, where a section may end before a post
    /// with its hole in a stretch; by its neighbors.
    pub(super) fn places_of(&self, span: &Span, beside: [Beside; 2]) -> (i64, i64) {
        places_past(self.problem, span, self.problem.center_past(beside))
    }

    /// What a cut costs, or a bay.
    #[inline]
    pub(super) fn cut_cost<const W: usize>(
        &self,
        rates: &Rates<W>,
        near: i64,
        far: i64,
    ) -> Packed<W> {
        let off = self.problem.full - (far - near);
        let reach = self.problem.reach(near, far);
        (rates.sections.plus(rates.cuts))
            .plus(rates.cut_squares.times(off * off))
            .plus(rates.cut_reach.times(reach))
    }

    /// What a gate costs that begins at `near`, with its far face; nothing where
    /// its window does not hold it.
    pub(super) fn gate_cost<const W: usize>(
        &self,
        rates: &Rates<W>,
        near: i64,
        gate: usize,
    ) -> Option<(i64, Packed<W>)> {
        let gate = self.problem.gates.get(gate)?;
        let miss = gate.miss(near)?;
        let cost = rates.sections.plus(rates.gate_miss.times(miss));
        Some((near + gate.opening, cost))
    }

    /// What it costs to end the run with a section of this kind at a place;
    /// nothing where it may not end.
    pub(super) fn end_toll(&self, at: i64, last: Last) -> Option<Toll> {
        let end = self.problem.end;
        let face = self.problem.end_face(at, last.is_gate());
        if face < end.min || face > end.max {
            return None;
        }
        let center = 2 * (self.problem.length - face) + end.post;
        Some(Toll {
            hand_dug: self.end_hole(end.hole, center)?,
            end_steps: (face - end.wish).abs(),
            changes: 0,
        })
    }

    /// Holes dug by hand for an end post, 0 or 1; nothing where it may not be.
    fn end_hole(&self, hole: bool, doubled_center: i64) -> Option<i64> {
        if !hole {
            return Some(0);
        }
        let within = |spans: &[Span]| {
            (spans.iter()).any(|s| 2 * s.from <= doubled_center && doubled_center <= 2 * s.to)
        };
        if within(&self.problem.no_dig) {
            None
        } else {
            Some(i64::from(within(&self.problem.hand_dig)))
        }
    }
}

impl Dig {
    /// Holes dug by hand, 0 or 1; nothing where no hole may be.
    const fn hand_dug(self) -> Option<i64> {
        match self {
            Self::Machine => Some(0),
            Self::Hand => Some(1),
            Self::Never => None,
        }
    }
}

/// The places, counted from the first, from which a center so many half steps past
/// them lies in a stretch.
const fn places_past(problem: &Problem, span: &Span, past: i64) -> (i64, i64) {
    // 2 from <= 2 at + past <= 2 to, in whole places.
    let from = -(-(2 * span.from - past)).div_euclid(2);
    let to = (2 * span.to - past).div_euclid(2);
    (from - problem.first(), to - problem.first())
}

/// What a post meets whose center is so many half steps past each place.
fn dig_along(problem: &Problem, past: i64) -> Vec<Dig> {
    let first = problem.first();
    let count = usize::try_from(problem.last() - first + 1).unwrap_or(0);
    let mut digs = vec![Dig::Machine; count];
    let mut paint = |spans: &[Span], dig: Dig| {
        for span in spans {
            let (from, to) = places_past(problem, span, past);
            let from = usize::try_from(from.max(0)).unwrap_or(count);
            let beyond = usize::try_from((to + 1).max(0)).map_or(count, |i| i.min(count));
            if let Some(part) = digs.get_mut(from..beyond) {
                part.fill(dig);
            }
        }
    };
    paint(&problem.hand_dig, Dig::Hand);
    paint(&problem.no_dig, Dig::Never);
    digs
}
