//! The fewest hand-dug holes and cuts of a run, by sets of places.
//!
//! All places where a section may end after the same number of hand-dug holes
//! and cuts are one set of bits. A full panel or a gate moves a whole set on, and
//! a cut smears it over the widths of cuts; sets are taken up in the order of
//! their counts, so the first that reaches the end of the run has the least. This
//! answers for a few counts what the whole search answers for all wishes, in a
//! small part of its time.

use std::collections::BTreeMap;

use super::bits::Bits;
use super::ground::{Ground, Last, SIDES, by_side};
use super::problem::{Beside, Problem, Span};
use super::wish::Wish;

/// Hand-dug holes and cuts, in the order in which they are served.
type Counts = (i64, i64);

/// The places where a section ended, by its kind; one for each set of gates.
#[derive(Clone)]
struct Ends {
    panel: Bits,
    cut: Bits,
    /// A gate with its hinges on the far side.
    gate: Bits,
    /// A gate with its latch on the far side.
    latch: Bits,
    /// Where cuts begin that are counted already; all their far faces are found at
    /// once.
    begun: Bits,
}

impl Ends {
    const fn none(count: usize) -> Self {
        Self {
            panel: Bits::none(count),
            cut: Bits::none(count),
            gate: Bits::none(count),
            latch: Bits::none(count),
            begun: Bits::none(count),
        }
    }
}

/// The search under way.
struct Reach<'p> {
    ground: Ground<'p>,
    cuts_first: bool,
    /// Where a post may have its hole, by the neighbors before and after it in the
    /// order of [`SIDES`]: dug by machine, and by hand.
    digs: [[(Bits, Bits); 3]; 3],
    waiting: BTreeMap<Counts, Vec<Ends>>,
    seen: Vec<Ends>,
    best: Option<Counts>,
}

/// Returns the least hand-dug holes and cuts, as `(hand_dug, cuts)`, in the order
/// in which the problem serves the two; nothing where there is no layout.
pub(super) fn fewest(problem: &Problem) -> Option<Counts> {
    let first = problem
        .order
        .iter()
        .find(|wish| matches!(wish, Wish::HandDug | Wish::Cuts));
    let mut reach = Reach::new(problem, first == Some(&Wish::Cuts));
    reach.start();
    while let Some((counts, ends)) = reach.waiting.pop_first() {
        if reach.best.is_some_and(|best| best <= counts) {
            break;
        }
        reach.take_up(counts, ends);
    }
    let (a, b) = reach.best?;
    Some(if reach.cuts_first { (b, a) } else { (a, b) })
}

impl<'p> Reach<'p> {
    fn new(problem: &'p Problem, cuts_first: bool) -> Self {
        let ground = Ground::new(problem);
        let count = ground.places();
        // Sides that no gate of the run has are not looked up.
        let digs = SIDES.map(|before| {
            SIDES.map(|after| {
                if problem.has(before) && problem.has(after) {
                    dug(&ground, [before, after])
                } else {
                    (Bits::none(count), Bits::none(count))
                }
            })
        });
        Self {
            seen: vec![Ends::none(count); ground.all_gates() + 1],
            ground,
            cuts_first,
            digs,
            waiting: BTreeMap::new(),
            best: None,
        }
    }

    const fn problem(&self) -> &'p Problem {
        self.ground.problem
    }

    /// Counts with so many more.
    const fn plus(&self, counts: Counts, hand_dug: i64, cuts: i64) -> Counts {
        let (a, b) = counts;
        if self.cuts_first {
            (a + cuts, b + hand_dug)
        } else {
            (a + hand_dug, b + cuts)
        }
    }

    fn place(&self, at: i64) -> Option<usize> {
        usize::try_from(at - self.problem().first()).ok()
    }

    /// The first sections, from every start face.
    fn start(&mut self) {
        let problem = self.problem();
        for hand_dug in [0, 1] {
            let mut panels = Bits::none(self.ground.places());
            let mut gates = panels.clone();
            for (face, toll) in self.ground.starts() {
                if toll.hand_dug == hand_dug {
                    panels.set(self.place(face - problem.start.lap));
                    gates.set(self.place(face));
                }
            }
            if panels.is_empty() {
                continue;
            }
            let counts = self.plus((0, 0), hand_dug, 0);
            self.send_panels(counts, 0, &panels, &panels);
            for near in [Last::Gate, Last::Latch] {
                self.send_gates(counts, 0, near, &gates);
            }
        }
    }

    /// Sends on what begins at these places: full panels and cuts apart, since a
    /// gate may be guarded from cuts.
    fn send_panels(&mut self, counts: Counts, gates: usize, full: &Bits, cut: &Bits) {
        let problem = self.problem();
        if !problem.bays {
            let far = full.moved(problem.full);
            self.wait(counts, gates, |ends| &mut ends.panel, &far);
        }
        let counts = self.plus(counts, 0, i64::from(!problem.bays));
        self.wait(counts, gates, |ends| &mut ends.begun, cut);
    }

    /// Sends on the gates with one side near that begin at these places.
    fn send_gates(&mut self, counts: Counts, gates: usize, side: Last, near: &Bits) {
        for gate in self.problem().gates_left(gates) {
            if self.ground.before_gate(gate) != side {
                continue;
            }
            let Some(asked) = self.problem().gates.get(gate) else {
                continue;
            };
            let window = Span {
                from: asked.first_far_face() - asked.opening,
                to: asked.last_near_face(),
            };
            let first = self.problem().first();
            let far = near
                .within(window.from - first, window.to - first)
                .moved(asked.opening);
            let with_it = gates | (1 << gate);
            match self.ground.after_gate(gate) {
                Last::Latch => self.wait(counts, with_it, |ends| &mut ends.latch, &far),
                _ => self.wait(counts, with_it, |ends| &mut ends.gate, &far),
            }
        }
    }

    /// The far faces of all cuts from these places: between the parts that show.
    fn smeared(&self, near: &Bits) -> Bits {
        let problem = self.problem();
        let mut far = Bits::none(self.ground.places());
        for free in free_spans(problem) {
            let first = problem.first();
            let (from, to) = (free.from - first, free.to - first);
            let begun = near.within(from, to);
            if !begun.is_empty() && problem.cut_min <= problem.cut_max {
                let count = (problem.cut_max - problem.cut_min) / problem.cut_step + 1;
                let smeared = begun
                    .moved(problem.cut_min)
                    .smeared(problem.cut_step, count);
                far.add(&smeared.within(from, to));
            }
        }
        far
    }

    fn wait(
        &mut self,
        counts: Counts,
        gates: usize,
        kind: impl Fn(&mut Ends) -> &mut Bits,
        places: &Bits,
    ) {
        if places.is_empty() {
            return;
        }
        let none = || vec![Ends::none(self.ground.places()); self.seen.len()];
        let all = self.waiting.entry(counts).or_insert_with(none);
        if let Some(ends) = all.get_mut(gates) {
            kind(ends).add(places);
        }
    }

    /// Takes up all that ended with these counts. What costs nothing more joins
    /// in at once, fuller sets of gates after emptier ones.
    fn take_up(&mut self, counts: Counts, mut sets: Vec<Ends>) {
        for gates in 0..sets.len() {
            while let Some(ends) = sets.get_mut(gates) {
                if !ends.begun.is_empty() {
                    let begun = std::mem::replace(&mut ends.begun, Bits::none(0));
                    ends.cut.add(&self.smeared(&begun));
                }
                let Some(new) = self.news(gates, ends) else {
                    break;
                };
                self.finish(counts, gates, &new);
                self.go_on(counts, gates, &new);
                // What goes on at the same counts waits under them: fetch it.
                if let Some(more) = self.waiting.remove(&counts) {
                    for (ends, more) in sets.iter_mut().zip(&more) {
                        ends.panel.add(&more.panel);
                        ends.cut.add(&more.cut);
                        ends.gate.add(&more.gate);
                        ends.latch.add(&more.latch);
                        ends.begun.add(&more.begun);
                    }
                }
            }
        }
    }

    /// The places that no smaller counts have reached; nothing where there are none.
    fn news(&mut self, gates: usize, ends: &mut Ends) -> Option<Ends> {
        let seen = self.seen.get_mut(gates)?;
        let fresh = |ends: &mut Bits, seen: &mut Bits| {
            let fresh = ends.without(seen);
            seen.add(&fresh);
            *ends = Bits::none(0);
            fresh
        };
        let new = Ends {
            panel: fresh(&mut ends.panel, &mut seen.panel),
            cut: fresh(&mut ends.cut, &mut seen.cut),
            gate: fresh(&mut ends.gate, &mut seen.gate),
            latch: fresh(&mut ends.latch, &mut seen.latch),
            begun: Bits::none(0),
        };
        let kinds = [&new.panel, &new.cut, &new.gate, &new.latch];
        (!kinds.iter().all(|ends| ends.is_empty())).then_some(new)
    }

    /// Ends the run where it may end.
    fn finish(&mut self, counts: Counts, gates: usize, ends: &Ends) {
        if gates != self.ground.all_gates() {
            return;
        }
        let problem = self.problem();
        let faces = [
            (Last::Full, &ends.panel),
            (Last::Cut, &ends.cut),
            (Last::Gate, &ends.gate),
            (Last::Latch, &ends.latch),
        ];
        for (last, places) in faces {
            let lap = if last.is_gate() { 0 } else { problem.end.lap };
            let range =
                problem.length - problem.end.max + lap..=problem.length - problem.end.min + lap;
            for at in range {
                if !self.place(at).is_some_and(|place| places.has(place)) {
                    continue;
                }
                if let Some(toll) = self.ground.end_toll(at, last) {
                    let ended = self.plus(counts, toll.hand_dug, 0);
                    if self.best.is_none_or(|best| ended < best) {
                        self.best = Some(ended);
                    }
                }
            }
        }
    }

    /// Where the next section begins behind a post with these neighbors.
    fn posted(&self, ends: &Bits, beside: [Beside; 2], hand: bool) -> Bits {
        if ends.is_empty() {
            return Bits::none(self.ground.places());
        }
        let (machine, by_hand) = by_side(by_side(&self.digs, beside[0]), beside[1]);
        let dug = ends.both(if hand { by_hand } else { machine });
        dug.moved(self.problem().spacing(beside))
    }

    /// Sets the next post, by machine and by hand, and what follows it.
    fn go_on(&mut self, counts: Counts, gates: usize, ends: &Ends) {
        let problem = self.problem();
        let mut panels = ends.panel.clone();
        panels.add(&ends.cut);
        // A guarded gate has no cut beside it.
        let before_gate = if problem.guard {
            ends.panel.clone()
        } else {
            panels.clone()
        };
        let holes = if problem.hand_dig.is_empty() {
            &[false][..]
        } else {
            &[false, true]
        };
        for &hand in holes {
            let counts = self.plus(counts, i64::from(hand), 0);
            let near = self.posted(&panels, [Beside::Panel; 2], hand);
            let mut full = near.clone();
            full.add(&self.posted(&ends.gate, [Beside::Hinge, Beside::Panel], hand));
            full.add(&self.posted(&ends.latch, [Beside::Latch, Beside::Panel], hand));
            for side in [Last::Gate, Last::Latch] {
                if gates == self.ground.all_gates() {
                    break;
                }
                let after = side.beside();
                let mut gate_near = self.posted(&before_gate, [Beside::Panel, after], hand);
                gate_near.add(&self.posted(&ends.gate, [Beside::Hinge, after], hand));
                gate_near.add(&self.posted(&ends.latch, [Beside::Latch, after], hand));
                self.send_gates(counts, gates, side, &gate_near);
            }
            let cut = if problem.guard { &near } else { &full };
            self.send_panels(counts, gates, &full, cut);
        }
    }
}

/// Where a section may end before a post whose hole is dug by machine, and by hand.
fn dug(ground: &Ground<'_>, beside: [Beside; 2]) -> (Bits, Bits) {
    let count = ground.places();
    let last = i64::try_from(count).unwrap_or(i64::MAX) - 1;
    let places = |spans: &[Span]| {
        let mut places = Bits::none(count);
        for span in spans {
            let (from, to) = ground.places_of(span, beside);
            places.add(&Bits::from_to(count, from, to));
        }
        places
    };
    let never = places(&ground.problem.no_dig);
    let by_hand = places(&ground.problem.hand_dig).without(&never);
    let all = Bits::from_to(count, 0, last);
    (all.without(&never).without(&by_hand), by_hand)
}

/// The parts of the run where cuts may stand, each between two parts that show.
fn free_spans(problem: &Problem) -> Vec<Span> {
    let mut shows: Vec<Span> = (problem.show.iter().copied())
        .filter(|show| show.from < show.to)
        .collect();
    shows.sort_by_key(|show| (show.from, show.to));
    let mut free = Vec::with_capacity(shows.len() + 1);
    let mut from = problem.first();
    for show in shows {
        free.push(Span {
            from,
            to: show.from,
        });
        from = from.max(show.to);
    }
    free.push(Span {
        from,
        to: problem.last(),
    });
    free.retain(|span| span.from < span.to);
    free
}
