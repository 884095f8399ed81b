//! Second pass: all other wishes, over the few places that a layout with the
//! best leading wishes can touch.

use super::cost::{Packed, Rates};
use super::ground::{Ground, Last, Next, Spot};
use super::overtaking::Overtaking;
use super::problem::Span;
use super::sweep::{Ahead, SeenCuts, Sweep};

/// The bits of a mark: which states at a place are alive.
mod mark {
    pub(super) const FULL: u8 = 1;
    pub(super) const CUT: u8 = 2;
    pub(super) const GATE: u8 = 4;
    pub(super) const CUT_FROM: u8 = 8;
    pub(super) const LATCH: u8 = 16;
}

const KINDS: [(Last, u8); 4] = [
    (Last::Full, mark::FULL),
    (Last::Cut, mark::CUT),
    (Last::Gate, mark::GATE),
    (Last::Latch, mark::LATCH),
];

/// What the other wishes can still come to, at each alive place.
pub(super) struct Alive<const W: usize> {
    pub(super) rates: Rates<W>,
    /// One for each set of gates.
    layers: Vec<Places<W>>,
    /// The least for the whole run.
    pub(super) best: Packed<W>,
}

/// An alive place: what the leading wishes and what the others come to from it.
#[derive(Clone, Copy)]
pub(super) struct Place<const W: usize> {
    pub(super) at: i64,
    pub(super) lead: Packed<1>,
    pub(super) rest: Packed<W>,
}

/// The alive places for one set of gates, each list falling.
struct Places<const W: usize> {
    full: Vec<Place<W>>,
    cut: Vec<Place<W>>,
    gate: Vec<Place<W>>,
    latch: Vec<Place<W>>,
    cut_from: Vec<Place<W>>,
}

impl<const W: usize> Places<W> {
    const fn new() -> Self {
        Self {
            full: Vec::new(),
            cut: Vec::new(),
            gate: Vec::new(),
            latch: Vec::new(),
            cut_from: Vec::new(),
        }
    }

    fn list_mut(&mut self, last: Last) -> &mut Vec<Place<W>> {
        match last {
            Last::Full => &mut self.full,
            Last::Cut => &mut self.cut,
            Last::Gate => &mut self.gate,
            Last::Latch => &mut self.latch,
        }
    }
}

fn find<const W: usize>(list: &[Place<W>], at: i64) -> Packed<W> {
    list.binary_search_by(|place| at.cmp(&place.at))
        .ok()
        .and_then(|index| list.get(index))
        .map_or(Packed::NEVER, |place| place.rest)
}

impl<const W: usize> Ahead<W> for Alive<W> {
    fn after(&self, gates: usize, at: i64, last: Last) -> Packed<W> {
        self.layers
            .get(gates)
            .map_or(Packed::NEVER, |places| match last {
                Last::Full => find(&places.full, at),
                Last::Cut => find(&places.cut, at),
                Last::Gate => find(&places.gate, at),
                Last::Latch => find(&places.latch, at),
            })
    }

    fn cut_from(&self, gates: usize, near: i64) -> Packed<W> {
        self.layers
            .get(gates)
            .map_or(Packed::NEVER, |places| find(&places.cut_from, near))
    }
}

impl<const W: usize> Alive<W> {
    pub(super) fn new(ground: &Ground<'_>, sweep: &Sweep, rates: Rates<W>) -> Self {
        let marks = Marks::new(ground, sweep);
        let mut alive = Self {
            rates,
            layers: (0..=ground.all_gates()).map(|_| Places::new()).collect(),
            best: Packed::NEVER,
        };
        for (gates, span) in sweep.spans().rev() {
            alive.fill(ground, sweep, &marks, gates, span);
        }
        let mut best = Packed::NEVER;
        alive.for_each_start(ground, sweep, |_, _, value| best = best.min(value));
        alive.best = best;
        alive
    }

    /// Visits the starts with the best leading wishes: the face, the first
    /// section, and what the other wishes then come to.
    pub(super) fn for_each_start(
        &self,
        ground: &Ground<'_>,
        sweep: &Sweep,
        mut visit: impl FnMut(i64, Next, Packed<W>),
    ) {
        sweep.for_each_start(ground, |face, toll, next| {
            let ahead = self.with_next(ground, &self.rates, 0, next);
            visit(face, next, self.rates.toll(toll).plus(ahead));
        });
    }

    fn fill(
        &mut self,
        ground: &Ground<'_>,
        sweep: &Sweep,
        marks: &Marks,
        gates: usize,
        span: Span,
    ) {
        let mut cuts = Overtaking::new(ground.problem, self.rates);
        for (at, mark) in marks.falling(gates, span) {
            if mark & mark::CUT_FROM != 0 {
                self.fill_cut(ground, sweep, gates, at, &mut cuts);
            }
            for (last, bit) in KINDS {
                if mark & bit != 0 {
                    self.fill_after(ground, sweep, Spot { at, gates, last });
                }
            }
        }
    }

    fn fill_after(&mut self, ground: &Ground<'_>, sweep: &Sweep, spot: Spot) {
        let lead = sweep.after(spot.gates, spot.at, spot.last);
        let mut rest = Packed::NEVER;
        self.for_each_tight(ground, sweep, spot, |_, value| rest = rest.min(value));
        if let Some(places) = self.layers.get_mut(spot.gates) {
            let at = spot.at;
            places.list_mut(spot.last).push(Place { at, lead, rest });
        }
    }

    /// Visits what may follow with the best leading wishes, and what the other
    /// wishes then come to.
    pub(super) fn for_each_tight(
        &self,
        ground: &Ground<'_>,
        sweep: &Sweep,
        spot: Spot,
        mut visit: impl FnMut(Next, Packed<W>),
    ) {
        sweep.for_each_tight(ground, spot, |next, toll| {
            let ahead = self.with_next(ground, &self.rates, spot.gates, next);
            visit(next, self.rates.toll(toll).plus(ahead));
        });
    }

    fn fill_cut(
        &mut self,
        ground: &Ground<'_>,
        sweep: &Sweep,
        gates: usize,
        near: i64,
        cuts: &mut Overtaking<'_, W>,
    ) {
        let lead = sweep.cut_from(gates, near);
        let nearest = near + ground.problem.cut_min;
        let lead_cost = ground.cut_cost(&sweep.rates, near, nearest);
        let Some(places) = self.layers.get_mut(gates) else {
            return;
        };
        cuts.admit(&places.cut, near);
        let rest = match lead.minus(lead_cost) {
            None => Packed::NEVER,
            Some(ahead) if cuts.answers(near) => cuts.least(ahead, near),
            Some(ahead) => {
                let last = ground.problem.last_cut_face(near);
                (places.cut.iter())
                    .skip_while(|far| far.at > last)
                    .take_while(|far| far.at >= nearest)
                    .filter(|far| far.lead == ahead)
                    .filter(|far| (far.at - nearest) % ground.problem.cut_step == 0)
                    .map(|far| far.rest.plus(ground.cut_cost(&self.rates, near, far.at)))
                    .fold(Packed::NEVER, Packed::min)
            }
        };
        places.cut_from.push(Place {
            at: near,
            lead,
            rest,
        });
    }

    /// The far face of the widest cut from a place that all wishes allow.
    pub(super) fn widest_cut(
        &self,
        ground: &Ground<'_>,
        sweep: &Sweep,
        gates: usize,
        near: i64,
    ) -> Option<i64> {
        let lead = sweep.cut_from(gates, near);
        let rest = self.cut_from(gates, near);
        let nearest = near + ground.problem.cut_min;
        let lead_cost = ground.cut_cost(&sweep.rates, near, nearest);
        let last = ground.problem.last_cut_face(near);
        (self.layers.get(gates)?.cut.iter())
            .skip_while(|far| far.at > last)
            .take_while(|far| far.at >= nearest)
            .filter(|far| (far.at - nearest) % ground.problem.cut_step == 0)
            .find(|far| {
                let cost = ground.cut_cost(&self.rates, near, far.at);
                lead_cost.plus(far.lead) == lead && cost.plus(far.rest) == rest
            })
            .map(|far| far.at)
    }
}

/// Marks on all places that a layout with the best leading wishes can touch.
struct Marks {
    /// One list for each set of gates, from its first place.
    layers: Vec<(i64, Vec<u8>)>,
}

impl Marks {
    /// Walks from the starts along best steps only. A step leads to a later
    /// place, or to one more gate, so each place is complete when it is reached.
    fn new(ground: &Ground<'_>, sweep: &Sweep) -> Self {
        let mut marks = Self {
            layers: vec![(0, Vec::new()); ground.all_gates() + 1],
        };
        for (gates, span) in sweep.spans() {
            if let Some(layer) = marks.layers.get_mut(gates) {
                let count = usize::try_from(span.to - span.from + 1).unwrap_or(0);
                *layer = (span.from, vec![0; count]);
            }
        }
        sweep.for_each_start(ground, |_, _, next| marks.set_next(ground, 0, next));
        for (gates, span) in sweep.spans() {
            let mut seen = SeenCuts::default();
            for at in span.from..=span.to {
                marks.spread(ground, sweep, gates, at, &mut seen);
            }
        }
        marks
    }

    fn spread(
        &mut self,
        ground: &Ground<'_>,
        sweep: &Sweep,
        gates: usize,
        at: i64,
        seen: &mut SeenCuts,
    ) {
        let mark = self.get(gates, at);
        if mark == 0 {
            return;
        }
        for (last, bit) in KINDS {
            if mark & bit != 0 {
                let spot = Spot { at, gates, last };
                sweep.for_each_tight(ground, spot, |next, _| {
                    self.set_next(ground, gates, next);
                });
            }
        }
        // Where panels lie on posts, a cut begins where the section before ends.
        if self.get(gates, at) & mark::CUT_FROM != 0 {
            sweep.for_each_best_cut(ground, gates, at, seen, |far| {
                self.set(gates, far, mark::CUT);
            });
        }
    }

    fn set_next(&mut self, ground: &Ground<'_>, gates: usize, next: Next) {
        match next {
            Next::End => {}
            Next::Full { near } => self.set(gates, near + ground.problem.full, mark::FULL),
            Next::Cut { near } => self.set(gates, near, mark::CUT_FROM),
            Next::Gate { near, gate } => {
                if let Some(placed) = ground.problem.gates.get(gate) {
                    let bit = match ground.after_gate(gate) {
                        Last::Latch => mark::LATCH,
                        _ => mark::GATE,
                    };
                    self.set(gates | (1 << gate), near + placed.opening, bit);
                }
            }
        }
    }

    fn set(&mut self, gates: usize, at: i64, bit: u8) {
        if let Some((first, layer)) = self.layers.get_mut(gates)
            && let Ok(index) = usize::try_from(at - *first)
            && let Some(mark) = layer.get_mut(index)
        {
            *mark |= bit;
        }
    }

    fn get(&self, gates: usize, at: i64) -> u8 {
        self.layers
            .get(gates)
            .and_then(|(first, layer)| layer.get(usize::try_from(at - first).ok()?))
            .copied()
            .unwrap_or(0)
    }

    /// The marked places of one set of gates, from the last to the first.
    fn falling(&self, gates: usize, span: Span) -> impl Iterator<Item = (i64, u8)> {
        let layer = self.layers.get(gates).map_or(&[][..], |(_, layer)| layer);
        (span.from..=span.to)
            .rev()
            .zip(layer.iter().rev().copied())
            .filter(|&(_, mark)| mark != 0)
    }
}
