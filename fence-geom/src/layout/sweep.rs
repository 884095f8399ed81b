//! First sweep: for every place, the least that the leading wishes can still
//! come to from there to the end of the run.
//!
//! The leading wishes do not depend on how wide a cut is, given where it ends,
//! so the best cut from a place is the minimum of a sliding window. Such a
//! sweep takes constant time for each place.

use std::collections::{BTreeMap, VecDeque};

use super::cost::{Packed, Rates};
use super::ground::{Ground, KINDS, Last, Next, Post, Spot, Toll};
use super::problem::Span;

/// What is still to come from a place, in some packing of the wishes.
pub(super) trait Ahead<const W: usize> {
    /// After a section of this kind has ended there.
    fn after(&self, gates: usize, at: i64, last: Last) -> Packed<W>;

    /// With a cut that begins there, the cut included.
    fn cut_from(&self, gates: usize, near: i64) -> Packed<W>;

    /// With what is next, that included; the end of the run costs no more.
    #[inline]
    fn with_next(
        &self,
        ground: &Ground<'_>,
        rates: &Rates<W>,
        gates: usize,
        next: Next,
    ) -> Packed<W> {
        match next {
            Next::End => Packed::ZERO,
            Next::Full { near } => {
                let far = near + ground.problem.full;
                rates.sections.plus(self.after(gates, far, Last::Full))
            }
            Next::Cut { near } => self.cut_from(gates, near),
            Next::Gate { near, gate } => {
                ground
                    .gate_cost(rates, near, gate)
                    .map_or(Packed::NEVER, |(far, cost)| {
                        cost.plus(self.after(gates | (1 << gate), far, ground.after_gate(gate)))
                    })
            }
        }
    }
}

/// The result of the sweep.
pub(super) struct Sweep {
    pub(super) rates: Rates<1>,
    /// One for each set of gates; none where no section can end with that set.
    layers: Vec<Option<Layer>>,
    /// The least for the whole run.
    pub(super) best: Packed<1>,
}

/// All places where a section may end with one set of gates placed.
struct Layer {
    span: Span,
    full: Vec<Packed<1>>,
    cut: Vec<Packed<1>>,
    gate: Vec<Packed<1>>,
    /// Empty where no gate has a latch with a post of its own.
    latch: Vec<Packed<1>>,
    cut_from: Vec<Packed<1>>,
}

impl Layer {
    fn new(span: Span, has_latches: bool) -> Self {
        let count = usize::try_from(span.to - span.from + 1).unwrap_or(0);
        let never = vec![Packed::NEVER; count];
        Self {
            span,
            full: never.clone(),
            cut: never.clone(),
            gate: never.clone(),
            latch: if has_latches {
                never.clone()
            } else {
                Vec::new()
            },
            cut_from: never,
        }
    }

    #[inline]
    fn get(&self, list: &[Packed<1>], at: i64) -> Packed<1> {
        usize::try_from(at - self.span.from)
            .ok()
            .and_then(|index| list.get(index).copied())
            .unwrap_or(Packed::NEVER)
    }
}

impl Ahead<1> for Sweep {
    #[inline]
    fn after(&self, gates: usize, at: i64, last: Last) -> Packed<1> {
        let Some(Some(layer)) = self.layers.get(gates) else {
            return Packed::NEVER;
        };
        match last {
            Last::Full => layer.get(&layer.full, at),
            Last::Cut => layer.get(&layer.cut, at),
            Last::Gate => layer.get(&layer.gate, at),
            Last::Latch => layer.get(&layer.latch, at),
        }
    }

    #[inline]
    fn cut_from(&self, gates: usize, near: i64) -> Packed<1> {
        let Some(Some(layer)) = self.layers.get(gates) else {
            return Packed::NEVER;
        };
        layer.get(&layer.cut_from, near)
    }
}

impl Sweep {
    /// Sweeps from the end of the run to its start, the fullest sets of gates
    /// first.
    pub(super) fn new(ground: &Ground<'_>, rates: Rates<1>) -> Self {
        let layer = |gates| {
            let span = ground.reach_of(gates)?;
            Some(Layer::new(span, ground.has_latches))
        };
        let mut sweep = Self {
            rates,
            layers: (0..=ground.all_gates()).map(layer).collect(),
            best: Packed::NEVER,
        };
        for gates in (0..=ground.all_gates()).rev() {
            sweep.fill(ground, gates);
        }
        for (face, toll) in ground.starts() {
            ground.first_sections(face, |next| {
                let total = rates
                    .toll(toll)
                    .plus(sweep.with_next(ground, &rates, 0, next));
                sweep.best = sweep.best.min(total);
            });
        }
        sweep
    }

    /// The set of gates that each layer stands for, with its places.
    pub(super) fn spans(&self) -> impl DoubleEndedIterator<Item = (usize, Span)> {
        (self.layers.iter().enumerate())
            .filter_map(|(gates, layer)| Some((gates, layer.as_ref()?.span)))
    }

    /// Visits what may follow a section with the best leading wishes.
    pub(super) fn for_each_tight(
        &self,
        ground: &Ground<'_>,
        spot: Spot,
        mut visit: impl FnMut(Next, Toll),
    ) {
        let best = self.after(spot.gates, spot.at, spot.last);
        ground.follow(spot, |next, toll| {
            let ahead = self.with_next(ground, &self.rates, spot.gates, next);
            if self.rates.toll(toll).plus(ahead) == best {
                visit(next, toll);
            }
        });
    }

    /// Visits the starts with the best leading wishes: the face, what it costs,
    /// the first section.
    pub(super) fn for_each_start(
        &self,
        ground: &Ground<'_>,
        mut visit: impl FnMut(i64, Toll, Next),
    ) {
        for (face, toll) in ground.starts() {
            ground.first_sections(face, |next| {
                let ahead = self.with_next(ground, &self.rates, 0, next);
                if self.rates.toll(toll).plus(ahead) == self.best {
                    visit(face, toll, next);
                }
            });
        }
    }

    /// Fills one layer, from its last place to its first. It is taken out while it
    /// is filled; all other lookups go to layers that are complete.
    fn fill(&mut self, ground: &Ground<'_>, gates: usize) {
        let Some(mut layer) = self.layers.get_mut(gates).and_then(Option::take) else {
            return;
        };
        let Span { from, to } = layer.span;
        // What the change from one kind of section to the next costs.
        let [full, gate, latched, cut] = KINDS.map(|last| {
            KINDS.map(|next| {
                (ground.joint(last, next)).map_or(Packed::NEVER, |joint| {
                    self.rates.changes.times(i64::from(joint.changes))
                })
            })
        });
        let [panel, hinge, latch] = ground.posts();
        let mut windows = Windows::new(ground.problem.cut_step);
        for (index, at) in (0..layer.cut_from.len()).rev().zip((from..=to).rev()) {
            let cut_from = self.best_cut(ground, &layer, at, &mut windows);
            put(&mut layer.cut_from, index, cut_from);
            let behind_panel = self.beyond(ground, &layer, (gates, at), panel);
            let behind_gate = self.beyond(ground, &layer, (gates, at), hinge);
            let best = |last: Last, beyond: &[Packed<1>; 4], changes: &[Packed<1>; 4]| {
                (beyond.iter().zip(changes))
                    .map(|(ahead, change)| ahead.plus(*change))
                    .fold(self.end_at(ground, gates, at, last), Packed::min)
            };
            put(
                &mut layer.full,
                index,
                best(Last::Full, &behind_panel, &full),
            );
            put(&mut layer.cut, index, best(Last::Cut, &behind_panel, &cut));
            put(
                &mut layer.gate,
                index,
                best(Last::Gate, &behind_gate, &gate),
            );
            if ground.has_latches {
                let behind = self.beyond(ground, &layer, (gates, at), latch);
                put(
                    &mut layer.latch,
                    index,
                    best(Last::Latch, &behind, &latched),
                );
            }
        }
        if let Some(place) = self.layers.get_mut(gates) {
            *place = Some(layer);
        }
    }

    fn end_at(&self, ground: &Ground<'_>, gates: usize, at: i64, last: Last) -> Packed<1> {
        if gates != ground.all_gates() {
            return Packed::NEVER;
        }
        (ground.end_toll(at, last)).map_or(Packed::NEVER, |toll| self.rates.toll(toll))
    }

    /// The least with each kind of section next, in the order of [`KINDS`], behind
    /// posts that have one side given: by the other. Changes come extra.
    #[inline]
    fn beyond(
        &self,
        ground: &Ground<'_>,
        layer: &Layer,
        (gates, at): (usize, i64),
        [panel, hinge, latch]: &[Post; 3],
    ) -> [Packed<1>; 4] {
        let [full, cut] = match ground.hand_dug(panel, at) {
            None => [Packed::NEVER; 2],
            Some(dug) => {
                let dug = self.rates.hand_dug.times(dug);
                let near = at + panel.spacing;
                let full = layer.get(&layer.full, near + ground.problem.full);
                let cut = layer.get(&layer.cut_from, near);
                [full.plus(self.rates.sections).plus(dug), cut.plus(dug)]
            }
        };
        let gate = self.with_gate(ground, (gates, at), hinge, Last::Gate);
        let latch = if ground.has_latches {
            self.with_gate(ground, (gates, at), latch, Last::Latch)
        } else {
            Packed::NEVER
        };
        [full, gate, latch, cut]
    }

    /// The least with a gate next that has this side to the post.
    #[inline]
    fn with_gate(
        &self,
        ground: &Ground<'_>,
        (gates, at): (usize, i64),
        post: &Post,
        side: Last,
    ) -> Packed<1> {
        if gates == ground.all_gates() {
            return Packed::NEVER;
        }
        let Some(dug) = ground.hand_dug(post, at) else {
            return Packed::NEVER;
        };
        let near = at + post.spacing;
        (ground.problem.gates_left(gates))
            .filter(|&gate| ground.before_gate(gate) == side)
            .map(|gate| self.with_next(ground, &self.rates, gates, Next::Gate { near, gate }))
            .fold(Packed::NEVER, Packed::min)
            .plus(self.rates.hand_dug.times(dug))
    }

    fn best_cut(
        &self,
        ground: &Ground<'_>,
        layer: &Layer,
        near: i64,
        windows: &mut Windows,
    ) -> Packed<1> {
        let problem = ground.problem;
        let nearest = near + problem.cut_min;
        let Some(window) = windows.of(nearest) else {
            return Packed::NEVER;
        };
        window.admit(nearest, layer.get(&layer.cut, nearest));
        let least = window.least(problem.last_cut_face(near));
        // The width counts for nothing here: any stands for all.
        least.plus(ground.cut_cost(&self.rates, near, nearest))
    }

    /// Visits the far faces of a cut that begins at a place after which the
    /// leading wishes come to their best, less those that `seen` has from places
    /// before. Places come rising.
    pub(super) fn for_each_best_cut(
        &self,
        ground: &Ground<'_>,
        gates: usize,
        near: i64,
        seen: &mut SeenCuts,
        mut visit: impl FnMut(i64),
    ) {
        let Some(Some(layer)) = self.layers.get(gates) else {
            return;
        };
        let problem = ground.problem;
        let nearest = near + problem.cut_min;
        let last = problem.last_cut_face(near).min(layer.span.to);
        let cost = ground.cut_cost(&self.rates, near, nearest);
        let Some(ahead) = layer.get(&layer.cut_from, near).minus(cost) else {
            return;
        };
        let from = seen.from(ahead, nearest, last, problem.cut_step);
        let index = |at: i64| usize::try_from(at - layer.span.from).unwrap_or(usize::MAX);
        let window = layer.cut.get(index(from)..index(last + 1)).unwrap_or(&[]);
        let step = usize::try_from(problem.cut_step).unwrap_or(usize::MAX);
        for (far, found) in (from..).zip(window).step_by(step) {
            if *found == ahead {
                visit(far);
            }
        }
    }
}

/// How far the windows of cuts have been looked through for far faces with a
/// value, so that no face is looked at twice for one value: for places that rise,
/// both ends of the window rise.
#[derive(Default)]
pub(super) struct SeenCuts {
    /// By value and by the rest of the face over the step of cuts.
    last: BTreeMap<(Packed<1>, i64), i64>,
}

impl SeenCuts {
    /// The first face to look at, of those from `nearest` to `last`.
    fn from(&mut self, ahead: Packed<1>, nearest: i64, last: i64, step: i64) -> i64 {
        let key = (ahead, nearest.rem_euclid(step));
        let seen = self.last.entry(key).or_insert(i64::MIN);
        let from = if *seen < nearest {
            nearest
        } else {
            nearest + ((*seen - nearest) / step + 1) * step
        };
        *seen = (*seen).max(last);
        from
    }
}

fn put(list: &mut [Packed<1>], index: usize, value: Packed<1>) {
    if let Some(place) = list.get_mut(index) {
        *place = value;
    }
}

/// A window for each rest of a face over the step of cuts.
struct Windows(Vec<Window>);

impl Windows {
    fn new(step: i64) -> Self {
        let mut windows = Vec::new();
        windows.resize_with(usize::try_from(step).unwrap_or(0), Window::default);
        Self(windows)
    }

    fn of(&mut self, face: i64) -> Option<&mut Window> {
        let step = i64::try_from(self.0.len()).ok()?;
        let rest = match step {
            1 => 0,
            _ => usize::try_from(face.rem_euclid(step)).ok()?,
        };
        self.0.get_mut(rest)
    }
}

/// The least value among far faces within a window whose two ends both move
/// toward the start of the run.
#[derive(Default)]
struct Window {
    /// Falling far faces with rising values: the first is the least.
    kept: VecDeque<(i64, Packed<1>)>,
}

impl Window {
    fn admit(&mut self, far: i64, value: Packed<1>) {
        while self.kept.back().is_some_and(|&(_, kept)| kept >= value) {
            self.kept.pop_back();
        }
        self.kept.push_back((far, value));
    }

    fn least(&mut self, farthest: i64) -> Packed<1> {
        while self.kept.front().is_some_and(|&(far, _)| far > farthest) {
            self.kept.pop_front();
        }
        self.kept.front().map_or(Packed::NEVER, |&(_, value)| value)
    }
}
