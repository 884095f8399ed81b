//! First sweep: for every place, the least that the leading wishes can still
//! come to from there to the end of the run.
//!
//! The leading wishes do not depend on how wide a cut is, given where it ends,
//! so the best cut from a place is the minimum of a sliding window. Such a
//! sweep takes constant time for each place.

use std::collections::VecDeque;

use super::cost::{Packed, Rates};
use super::ground::{Ground, Joint, KINDS, Last, Next, Spot, Toll};
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
            Next::Gate { near, gate } => ground
                .gate_cost(rates, near, gate)
                .map_or(Packed::NEVER, |(far, cost)| {
                    cost.plus(self.after(gates | (1 << gate), far, Last::Gate))
                }),
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
    cut_from: Vec<Packed<1>>,
}

impl Layer {
    fn new(span: Span) -> Self {
        let count = usize::try_from(span.to - span.from + 1).unwrap_or(0);
        let never = vec![Packed::NEVER; count];
        Self {
            span,
            full: never.clone(),
            cut: never.clone(),
            gate: never.clone(),
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

    fn list_mut(&mut self, last: Last) -> &mut Vec<Packed<1>> {
        match last {
            Last::Full => &mut self.full,
            Last::Cut => &mut self.cut,
            Last::Gate => &mut self.gate,
        }
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
        let spans = (0..=ground.all_gates()).map(|gates| ground.reach_of(gates).map(Layer::new));
        let mut sweep = Self {
            rates,
            layers: spans.collect(),
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
        let joints = KINDS.map(|last| KINDS.map(|next| ground.joint(last, next)));
        let mut window = Window::default();
        for (index, at) in (0..layer.cut_from.len()).rev().zip((from..=to).rev()) {
            let cut_from = self.best_cut(ground, &layer, at, &mut window);
            put(&mut layer.cut_from, index, cut_from);
            let end = self.end_at(ground, gates, at);
            let line = self.beyond(
                ground,
                &layer,
                Spot {
                    at,
                    gates,
                    last: Last::Full,
                },
            );
            let gate = self.beyond(
                ground,
                &layer,
                Spot {
                    at,
                    gates,
                    last: Last::Gate,
                },
            );
            for (last, joints) in KINDS.into_iter().zip(&joints) {
                let best = (joints.iter().zip(line.iter().zip(&gate)))
                    .filter_map(|(joint, (&line, &gate))| {
                        let joint = (*joint)?;
                        let ahead = if joint.by_gate { gate } else { line };
                        let change = self.rates.changes.times(i64::from(joint.changes));
                        Some(ahead.plus(change))
                    })
                    .fold(end, Packed::min);
                put(layer.list_mut(last), index, best);
            }
        }
        if let Some(place) = self.layers.get_mut(gates) {
            *place = Some(layer);
        }
    }

    fn end_at(&self, ground: &Ground<'_>, gates: usize, at: i64) -> Packed<1> {
        if gates != ground.all_gates() {
            return Packed::NEVER;
        }
        (ground.end_toll(at)).map_or(Packed::NEVER, |toll| self.rates.toll(toll))
    }

    /// The least with each kind of section next, behind a line post or, where the
    /// last section is taken for a gate, behind a gate post. Changes come extra.
    fn beyond(&self, ground: &Ground<'_>, layer: &Layer, spot: Spot) -> [Packed<1>; 3] {
        let joint = Joint {
            by_gate: spot.last == Last::Gate,
            changes: false,
        };
        let Some(toll) = ground.post_toll(joint, spot.at) else {
            return [Packed::NEVER; 3];
        };
        let near = spot.at + ground.post_width(joint);
        let full = layer.get(&layer.full, near + ground.problem.full);
        let gate = if joint.by_gate {
            (ground.problem.gates_left(spot.gates))
                .map(|gate| {
                    self.with_next(ground, &self.rates, spot.gates, Next::Gate { near, gate })
                })
                .fold(Packed::NEVER, Packed::min)
        } else {
            Packed::NEVER
        };
        let cut = layer.get(&layer.cut_from, near);
        let toll = self.rates.toll(toll);
        [full.plus(self.rates.sections), gate, cut].map(|ahead| ahead.plus(toll))
    }

    fn best_cut(
        &self,
        ground: &Ground<'_>,
        layer: &Layer,
        near: i64,
        window: &mut Window,
    ) -> Packed<1> {
        let problem = ground.problem;
        let nearest = near + problem.cut_min;
        window.admit(nearest, layer.get(&layer.cut, nearest));
        let least = window.least(problem.last_cut_face(near));
        // The width counts for nothing here: any stands for all.
        least.plus(ground.cut_cost(&self.rates, near, nearest))
    }

    /// Visits the far faces of a cut that begins at a place after which the
    /// leading wishes come to their best. Every width is looked at, so the loop is
    /// kept plain.
    pub(super) fn for_each_best_cut(
        &self,
        ground: &Ground<'_>,
        gates: usize,
        near: i64,
        mut visit: impl FnMut(i64),
    ) {
        let Some(Some(layer)) = self.layers.get(gates) else {
            return;
        };
        let best = layer.get(&layer.cut_from, near);
        let nearest = near + ground.problem.cut_min;
        let cost = ground.cut_cost(&self.rates, near, nearest);
        let last = ground.problem.last_cut_face(near).min(layer.span.to);
        let index = |at: i64| usize::try_from(at - layer.span.from).unwrap_or(usize::MAX);
        let window = layer
            .cut
            .get(index(nearest)..index(last + 1))
            .unwrap_or(&[]);
        for (far, ahead) in (nearest..).zip(window) {
            if cost.plus(*ahead) == best {
                visit(far);
            }
        }
    }
}

fn put(list: &mut [Packed<1>], index: usize, value: Packed<1>) {
    if let Some(place) = list.get_mut(index) {
        *place = value;
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
