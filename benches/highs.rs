//! Layouts against an independent exact solver: HiGHS, by a mixed-integer model of
//! the problem as it is stated. Every wish is minimized in turn and then held.
//!
//! `cargo bench -p fence-benches --features highs --bench highs -- [INSTANCES]`
//! compares the whole objective of so many runs, 200 where not said, from 16 to
//! 130 ft, and prints both times. The runs are invented, from a published seed.

use std::ops::RangeBounds;
use std::time::{Duration, Instant};

use fence_geom::{
    Build, GateRequest, LayoutEnd, LayoutRequest, LayoutStatus, Length, Objective, Shift, Stretch,
    WhichEnd, lay_out,
};
use fence_tests::Draws;
use highs::{Col, HighsModelStatus, RowProblem, Sense};

/// The seed of the runs.
const SEED: u64 = 2_026;

/// Steps to an inch.
const INCH: i64 = 16;

fn main() {
    let asked = std::env::args().filter_map(|arg| arg.parse().ok()).next();
    let count: usize = asked.unwrap_or(200);
    let mut draws = Draws::from(SEED);
    let (mut ours, mut theirs): (Vec<Duration>, Vec<Duration>) = (Vec::new(), Vec::new());
    let (mut optimal, mut none) = (0, 0);
    for i in 0..count {
        let run = Run::drawn(&mut draws);
        let request = run.request();
        let start = Instant::now();
        let layout = lay_out(&request).expect("a sound request");
        ours.push(start.elapsed());
        let start = Instant::now();
        let expected = Model::solve(&run);
        theirs.push(start.elapsed());
        let found = match layout.status {
            LayoutStatus::Optimal(best) => Some(best.objective),
            LayoutStatus::None { .. } => None,
        };
        assert_eq!(found, expected, "run {i}: {run:?}");
        optimal += usize::from(found.is_some());
        none += usize::from(found.is_none());
    }
    ours.sort();
    theirs.sort();
    let (a, b) = (ours[count / 2], theirs[count / 2]);
    println!("{count} runs equal in every wish: {optimal} optimal, {none} without a layout");
    println!(
        "medians: lay_out {a:?}, HiGHS {b:?}, ratio {:.0}",
        b.as_secs_f64() / a.as_secs_f64()
    );
}

/// A run in sixteenths of an inch.
#[derive(Debug)]
struct Run {
    length: i64,
    line_post: i64,
    gate_post: i64,
    full: i64,
    min_cut: i64,
    /// Opening, window, wish.
    gates: Vec<(i64, (i64, i64), i64)>,
    /// Least and greatest face, wish.
    ends: [(i64, i64, i64); 2],
    end_post: i64,
    no_dig: Vec<(i64, i64)>,
    hand_dig: Vec<(i64, i64)>,
    show: Vec<(i64, i64)>,
    guard: bool,
    hide: Option<WhichEnd>,
    bays: bool,
}

impl Run {
    fn drawn(draws: &mut Draws) -> Self {
        let feet = draws.whole(16, 130);
        let length = feet * 12 * INCH + draws.whole(0, 12 * INCH);
        let mut spans = |most: i64, wide: i64| -> Vec<(i64, i64)> {
            (0..draws.whole(0, most))
                .map(|_| {
                    let from = draws.whole(0, length);
                    (from, from + draws.whole(0, wide * INCH))
                })
                .collect()
        };
        let (no_dig, hand_dig, show) = (spans(2, 24), spans(2, 48), spans(1, 120));
        let gates = (0..draws.whole(0, 2))
            .map(|_| {
                let wish = draws.whole(40 * INCH, length - 40 * INCH);
                let window = (
                    wish - draws.whole(0, 24 * INCH),
                    wish + draws.whole(0, 24 * INCH),
                );
                (draws.whole(36, 60) * INCH, window, wish)
            })
            .collect();
        let mut end = || {
            let least = draws.whole(0, 3 * INCH);
            (
                least,
                least + draws.whole(0, 2 * INCH),
                least + draws.whole(0, INCH),
            )
        };
        let ends = [end(), end()];
        Self {
            length,
            line_post: 4 * INCH,
            gate_post: 5 * INCH,
            full: draws.whole(70, 92) * INCH,
            min_cut: draws.whole(10, 20) * INCH,
            gates,
            ends,
            end_post: 4 * INCH,
            no_dig,
            hand_dig,
            show,
            guard: draws.whole(0, 2) == 0,
            hide: [None, Some(WhichEnd::Start), Some(WhichEnd::End)]
                [usize::try_from(draws.whole(0, 2)).expect("small")],
            bays: draws.whole(0, 4) == 0,
        }
    }

    fn request(&self) -> LayoutRequest {
        let shift = |steps: i64| Shift::from_inches(steps as f64 / INCH as f64).expect("small");
        let long = |steps: i64| Length::from_inches(steps as f64 / INCH as f64).expect("small");
        let stretches = |spans: &[(i64, i64)]| {
            let stretch = |&(from, to): &(i64, i64)| Stretch {
                from: shift(from),
                to: shift(to),
            };
            spans.iter().map(stretch).collect()
        };
        let [start, end] = self.ends.map(|(least, most, wish)| LayoutEnd {
            face_min: shift(least),
            face_max: shift(most),
            face_wish: shift(wish),
            post: long(self.end_post),
            hole: true,
        });
        LayoutRequest {
            build: if self.bays {
                Build::Fabric
            } else {
                Build::Panels
            },
            gate_post: long(self.gate_post),
            gates: (self.gates.iter())
                .map(|&(opening, (from, to), wish)| GateRequest {
                    opening: long(opening),
                    from: Some(shift(from)),
                    to: Some(shift(to)),
                    wish: Some(shift(wish)),
                    latch: None,
                })
                .collect(),
            no_dig: stretches(&self.no_dig),
            hand_dig: stretches(&self.hand_dig),
            show: stretches(&self.show),
            guard: self.guard,
            hide: self.hide,
            ..LayoutRequest::plain(
                long(self.length),
                long(self.full),
                long(self.min_cut),
                long(self.line_post),
                start,
                end,
            )
        }
    }

    /// The most sections that could be.
    fn slots(&self) -> usize {
        let room = self.length / (self.min_cut + self.line_post) + 1;
        // The fewest sections of any feasible run stay far below: gates, full
        // panels, and a few cuts between marks.
        let likely = self.length / (self.full + self.line_post) + 8;
        usize::try_from(room.min(likely)).expect("small") + self.gates.len()
    }
}

/// Squares are counted in so many, to keep the figures of a row alike in size.
const SQUARES: f64 = 256.0;

/// A term of a row.
type Term = (Col, f64);

/// Rows in which a column may stand more than once; HiGHS refuses them as they are.
trait SumRows {
    fn sum_row(&mut self, bounds: impl RangeBounds<f64>, terms: impl IntoIterator<Item = Term>);
}

impl SumRows for RowProblem {
    fn sum_row(&mut self, bounds: impl RangeBounds<f64>, terms: impl IntoIterator<Item = Term>) {
        let mut sums: Vec<Term> = Vec::new();
        for (col, by) in terms {
            match sums.iter_mut().find(|(other, _)| *other == col) {
                Some((_, sum)) => *sum += by,
                None => sums.push((col, by)),
            }
        }
        self.add_row(bounds, sums);
    }
}

/// The model under way: HiGHS problems are built anew for each wish.
struct Model<'a> {
    run: &'a Run,
    held: Vec<(Wish, i64)>,
    /// For the squares, the places where each slot's tangents touch.
    tangents: Vec<Vec<i64>>,
}

/// A wish, in the usual order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Wish {
    HandDug,
    Cuts,
    Sections,
    Changes,
    EndSteps,
    CutSquares,
    GateMiss,
    CutReach,
}

const ORDER: [Wish; 8] = [
    Wish::HandDug,
    Wish::Cuts,
    Wish::Sections,
    Wish::Changes,
    Wish::EndSteps,
    Wish::CutSquares,
    Wish::GateMiss,
    Wish::CutReach,
];

impl<'a> Model<'a> {
    fn solve(run: &'a Run) -> Option<Objective> {
        let mut model = Self {
            run,
            held: Vec::new(),
            tangents: vec![vec![0, run.full / 2, run.full - run.min_cut]; run.slots()],
        };
        for wish in ORDER {
            match model.least(wish) {
                Some(value) => model.held.push((wish, value)),
                None if model.held.is_empty() => return None,
                None => panic!(
                    "{wish:?}: nothing fits any more what {:?} found",
                    model.held
                ),
            }
        }
        let of = |wish| {
            model
                .held
                .iter()
                .find(|(held, _)| *held == wish)
                .map_or(0, |held| held.1)
        };
        Some(Objective {
            hand_dug: of(Wish::HandDug),
            cuts: of(Wish::Cuts),
            sections: of(Wish::Sections),
            changes: of(Wish::Changes),
            end_steps: of(Wish::EndSteps),
            cut_squares: of(Wish::CutSquares),
            gate_miss: of(Wish::GateMiss),
            cut_reach: of(Wish::CutReach),
        })
    }

    /// The least of one wish with those before held; nothing where there is no
    /// layout. Tangents of the squares are added until they hold exactly.
    fn least(&mut self, wish: Wish) -> Option<i64> {
        loop {
            // Presolve has been seen to lose the one layout that was left.
            let solved = Built::new(self, wish).solve(wish, "on");
            let solved = solved.or_else(|| Built::new(self, wish).solve(wish, "off"));
            let (value, offs, exact) = solved?;
            let squares_count = matches!(wish, Wish::CutSquares)
                || self.held.iter().any(|(held, _)| *held == Wish::CutSquares);
            if !squares_count || exact {
                return Some(value);
            }
            for (tangents, off) in self.tangents.iter_mut().zip(offs) {
                for place in [off - 1, off] {
                    if place >= 0 && !tangents.contains(&place) {
                        tangents.push(place);
                    }
                }
            }
        }
    }
}

/// A problem for HiGHS with its columns.
struct Built {
    problem: RowProblem,
    off: Vec<Col>,
    square: Vec<Col>,
    objective: Vec<Vec<Term>>,
    constant: f64,
    row_of: Vec<Wish>,
}

impl Built {
    /// Slots from the start; a slot is unused, full, cut (or a bay) or a gate.
    fn new(model: &Model<'_>, wanted: Wish) -> Self {
        let run = model.run;
        let slots = run.slots();
        let gates = run.gates.len();
        let big = (run.length + run.full + 200 * INCH) as f64;
        let mut p = RowProblem::default();
        let cost = |wish: Wish, value: f64| if wish == wanted { value } else { 0.0 };
        let mut terms: Vec<Vec<Term>> = vec![Vec::new(); ORDER.len()];
        let add = |terms: &mut Vec<Vec<Term>>, wish: Wish, col: Col, by: f64| {
            let index = ORDER.iter().position(|one| *one == wish).expect("listed");
            terms[index].push((col, by));
        };
        let binary = |p: &mut RowProblem, cost: f64| p.add_integer_column(cost, 0..=1);

        // What each slot is.
        let full: Vec<Col> = (0..slots)
            .map(|_| {
                let most = i32::from(!run.bays);
                p.add_integer_column(cost(Wish::Sections, 1.0), 0..=most)
            })
            .collect();
        let cut: Vec<Col> = (0..slots)
            .map(|_| {
                let each =
                    cost(Wish::Sections, 1.0) + if run.bays { 0.0 } else { cost(Wish::Cuts, 1.0) };
                binary(&mut p, each)
            })
            .collect();
        let gate: Vec<Vec<Col>> = (0..slots)
            .map(|_| {
                (0..gates)
                    .map(|_| binary(&mut p, cost(Wish::Sections, 1.0)))
                    .collect()
            })
            .collect();
        for slot in 0..slots {
            for &col in [full[slot], cut[slot]].iter().chain(&gate[slot]) {
                add(&mut terms, Wish::Sections, col, 1.0);
            }
            if !run.bays {
                add(&mut terms, Wish::Cuts, cut[slot], 1.0);
            }
        }
        let used = |slot: usize| -> Vec<Term> {
            let mut all = vec![(full[slot], 1.0), (cut[slot], 1.0)];
            all.extend(gate[slot].iter().map(|&col| (col, 1.0)));
            all
        };
        let less = |terms: Vec<Term>| -> Vec<Term> {
            terms.into_iter().map(|(col, by)| (col, -by)).collect()
        };
        for slot in 0..slots {
            p.sum_row(..=1.0, used(slot));
            if slot > 0 {
                p.sum_row(0.0.., [used(slot - 1), less(used(slot))].concat());
            }
        }
        p.sum_row(1.0.., used(0));
        for g in 0..gates {
            let once: Vec<Term> = (0..slots).map(|slot| (gate[slot][g], 1.0)).collect();
            p.sum_row(1.0..=1.0, once);
        }

        // Where each slot begins, what is cut off, and how wide it is.
        let [start, end] = run.ends;
        let near: Vec<Col> = (0..slots)
            .map(|slot| match slot {
                0 => p.add_integer_column(0.0, start.0 as f64..=start.1 as f64),
                _ => p.add_integer_column(0.0, 0.0..=big),
            })
            .collect();
        let most_off = (run.full - run.min_cut) as f64;
        let off: Vec<Col> = (0..slots)
            .map(|_| p.add_integer_column(0.0, 0.0..=most_off))
            .collect();
        let square: Vec<Col> = (0..slots)
            .map(|_| p.add_column(cost(Wish::CutSquares, SQUARES), 0.0..))
            .collect();
        let width = |slot: usize| -> Vec<Term> {
            let mut all = vec![
                (full[slot], run.full as f64),
                (cut[slot], run.full as f64),
                (off[slot], -1.0),
            ];
            let openings = gate[slot].iter().zip(&run.gates);
            all.extend(openings.map(|(&col, gate)| (col, gate.0 as f64)));
            all
        };
        for slot in 0..slots {
            // Only cuts are cut, panels by a step at least.
            p.sum_row(..=0.0, [(off[slot], 1.0), (cut[slot], -most_off)]);
            if !run.bays {
                p.sum_row(0.0.., [(off[slot], 1.0), (cut[slot], -1.0)]);
            }
            add(&mut terms, Wish::CutSquares, square[slot], SQUARES);
            for &t in &model.tangents[slot] {
                // Exact at whole t and t + 1.
                let (slope, drop) = ((2 * t + 1) as f64 / SQUARES, (t * (t + 1)) as f64 / SQUARES);
                p.sum_row(-drop.., [(square[slot], 1.0), (off[slot], -slope)]);
            }
        }

        // Posts between neighbors: by a gate on either side.
        let by_gate: Vec<Col> = (1..slots).map(|_| binary(&mut p, 0.0)).collect();
        let mut dug: Vec<(Vec<Term>, f64, Vec<Term>)> = Vec::new();
        for slot in 1..slots {
            let post = by_gate[slot - 1];
            let gates_here: Vec<Term> = (gate[slot - 1].iter().chain(&gate[slot]))
                .map(|&col| (col, 1.0))
                .collect();
            // The post is a gate post if the slot is used and either is a gate.
            p.sum_row(..=0.0, [vec![(post, 1.0)], less(gates_here)].concat());
            p.sum_row(..=0.0, [vec![(post, 1.0)], less(used(slot))].concat());
            for &col in &gate[slot] {
                p.sum_row(0.0.., [(post, 1.0), (col, -1.0)]);
            }
            for &col in &gate[slot - 1] {
                let row = [vec![(post, 1.0), (col, -1.0)], less(used(slot))].concat();
                p.sum_row(-1.0.., row);
            }
            // near = near before + width before + post, where used.
            let (line, more) = (run.line_post as f64, (run.gate_post - run.line_post) as f64);
            let step = [
                vec![(near[slot], 1.0), (near[slot - 1], -1.0), (post, -more)],
                less(width(slot - 1)),
            ]
            .concat();
            let with = |by: f64| {
                [
                    step.clone(),
                    less(used(slot))
                        .into_iter()
                        .map(|(c, b)| (c, -b * by))
                        .collect(),
                ]
                .concat()
            };
            p.sum_row(..=line + big, with(big));
            p.sum_row(line - big.., with(-big));
            // Doubled center: 2 near - post width.
            let center = vec![(near[slot], 2.0), (post, -more)];
            dug.push((center, -line, used(slot)));
        }

        // The last face: position of the end, which the last used slot sets.
        let last = p.add_integer_column(
            0.0,
            (run.length - end.1) as f64..=(run.length - end.0) as f64,
        );
        for slot in 0..slots {
            let mut row = vec![(last, 1.0), (near[slot], -1.0)];
            row.extend(less(width(slot)));
            // Holds where this slot is used and the next is not.
            let is_last: Vec<Term> = {
                let mut all = used(slot);
                if slot + 1 < slots {
                    all.extend(less(used(slot + 1)));
                }
                all
            };
            let with = |by: f64| -> Vec<Term> {
                let scaled = is_last.iter().map(|&(col, one)| (col, one * by));
                row.iter().copied().chain(scaled).collect()
            };
            p.sum_row(..=big, with(big));
            p.sum_row(-big.., with(-big));
        }
        let half = run.end_post as f64;
        dug.push((vec![(near[0], 2.0)], -half, used(0)));
        dug.push((vec![(last, 2.0)], half, used(0)));

        // Holes: never in a no-dig stretch; one in any hand-dig stretch counts.
        for (center, shift, exists) in &dug {
            let beside = |p: &mut RowProblem, span: (i64, i64), unless: Option<Col>| {
                let before = binary(p, 0.0);
                let wide = 2.0 * big;
                // before: center <= 2 from - 1; else: center >= 2 to + 1.
                let mut a: Vec<Term> = center.clone();
                a.push((before, wide));
                a.extend(exists.iter().map(|&(col, one)| (col, one * wide)));
                a.extend(unless.map(|col| (col, -wide)));
                p.sum_row(..=2.0 * span.0 as f64 - 1.0 - shift + 2.0 * wide, a);
                let mut b: Vec<Term> = center.clone();
                b.push((before, wide));
                b.extend(exists.iter().map(|&(col, one)| (col, -one * wide)));
                b.extend(unless.map(|col| (col, wide)));
                p.sum_row(2.0 * span.1 as f64 + 1.0 - shift - wide.., b);
            };
            for &span in &run.no_dig {
                beside(&mut p, span, None);
            }
            if !run.hand_dig.is_empty() {
                let hand = binary(&mut p, cost(Wish::HandDug, 1.0));
                add(&mut terms, Wish::HandDug, hand, 1.0);
                for &span in &run.hand_dig {
                    beside(&mut p, span, Some(hand));
                }
            }
        }

        // Cuts stay out of parts that show, and away from guarded gates.
        if !run.bays {
            for slot in 0..slots {
                for &(from, to) in run.show.iter().filter(|show| show.0 < show.1) {
                    let before = binary(&mut p, 0.0);
                    let mut far = vec![(near[slot], 1.0), (before, big), (cut[slot], big)];
                    far.extend(width(slot));
                    p.sum_row(..=from as f64 + 2.0 * big, far);
                    let row = [(near[slot], 1.0), (before, big), (cut[slot], -big)];
                    p.sum_row(to as f64 - big.., row);
                }
                if run.guard && slot > 0 {
                    for (a, b) in [(slot - 1, slot), (slot, slot - 1)] {
                        let mut row = vec![(cut[a], 1.0)];
                        row.extend(gate[b].iter().map(|&col| (col, 1.0)));
                        p.sum_row(..=1.0, row);
                    }
                }
                if slot > 0 {
                    let change = p.add_column(cost(Wish::Changes, 1.0), 0.0..=1.0);
                    add(&mut terms, Wish::Changes, change, 1.0);
                    for (a, b) in [(slot - 1, slot), (slot, slot - 1)] {
                        p.sum_row(-1.0.., [(change, 1.0), (full[a], -1.0), (cut[b], -1.0)]);
                    }
                }
                if let Some(hide) = run.hide {
                    let reach = p.add_column(cost(Wish::CutReach, 1.0), 0.0..);
                    add(&mut terms, Wish::CutReach, reach, 1.0);
                    // The nearer face counts: the near one from the start, the far
                    // one from the end; faces are inside the run here.
                    match hide {
                        WhichEnd::Start => {
                            p.sum_row(
                                -big..,
                                [(reach, 1.0), (near[slot], -1.0), (cut[slot], -big)],
                            );
                        }
                        WhichEnd::End => {
                            let mut row = vec![(reach, 1.0), (near[slot], 1.0), (cut[slot], -big)];
                            row.extend(width(slot));
                            p.sum_row(run.length as f64 - big.., row);
                        }
                    }
                }
            }
        }

        // Ends and gates from their wishes.
        let mut apart =
            |p: &mut RowProblem, wish: Wish, at: Vec<Term>, from: f64, on: Vec<Term>| {
                let miss = p.add_column(cost(wish, 1.0), 0.0..);
                add(&mut terms, wish, miss, 1.0);
                let slack: f64 = 4.0 * big;
                let needed = on.len() as f64;
                let gate = |sign: f64| -> Vec<Term> {
                    let mut row = vec![(miss, 1.0)];
                    row.extend(at.iter().map(|&(col, by)| (col, sign * by)));
                    row.extend(on.iter().map(|&(col, one)| (col, -one * slack)));
                    row
                };
                let room = if needed > 0.0 { slack } else { 0.0 };
                p.sum_row(-from - room.., gate(-1.0));
                p.sum_row(from - room.., gate(1.0));
            };
        apart(
            &mut p,
            Wish::EndSteps,
            vec![(near[0], 1.0)],
            start.2 as f64,
            Vec::new(),
        );
        let last_wish = (run.length - end.2) as f64;
        apart(
            &mut p,
            Wish::EndSteps,
            vec![(last, 1.0)],
            last_wish,
            Vec::new(),
        );
        for (g, &(opening, (from, to), wish)) in run.gates.iter().enumerate() {
            for slot in 0..slots {
                let on = vec![(gate[slot][g], 1.0)];
                let middle = vec![(near[slot], 2.0)];
                let wished = (2 * wish - opening) as f64;
                apart(&mut p, Wish::GateMiss, middle, wished, on);
                let wide = 4.0 * big;
                let row = |by: f64| [(near[slot], 2.0), (gate[slot][g], by)];
                p.sum_row(..=(2 * to - opening) as f64 + wide, row(wide));
                p.sum_row((2 * from - opening) as f64 - wide.., row(-wide));
            }
        }
        for &(wish, value) in &model.held {
            let index = ORDER.iter().position(|one| *one == wish).expect("listed");
            // Held from above: it is the least already.
            p.sum_row(..=value as f64 + 0.5, terms[index].clone());
        }
        Self {
            problem: p,
            off,
            square,
            objective: terms,
            constant: 0.0,
            row_of: ORDER.to_vec(),
        }
    }

    /// The least value, what is cut off each slot, and whether the squares of the
    /// answer are true squares.
    fn solve(self, wish: Wish, presolve: &str) -> Option<(i64, Vec<i64>, bool)> {
        let mut model = self.problem.optimise(Sense::Minimise);
        model.set_option("output_flag", false);
        model.set_option("threads", 1);
        model.set_option("presolve", presolve);
        model.set_option("mip_rel_gap", 0.0);
        model.set_option("mip_abs_gap", 0.2);
        model.set_option("mip_feasibility_tolerance", 1e-7);
        let solved = model.solve();
        match solved.status() {
            HighsModelStatus::Optimal => {}
            HighsModelStatus::Infeasible => return None,
            other => panic!("{wish:?}: {other:?}"),
        }
        let solution = solved.get_solution();
        let value = |col: Col| solution[col];
        let index = self.row_of.iter().position(|one| *one == wish)?;
        let mut sum: f64 = self.objective[index]
            .iter()
            .map(|&(col, by)| value(col) * by)
            .sum();
        let offs: Vec<i64> = self
            .off
            .iter()
            .map(|&col| value(col).round() as i64)
            .collect();
        let exact = offs
            .iter()
            .zip(&self.square)
            .all(|(off, &square)| (off * off) as f64 <= SQUARES * value(square) + 0.3);
        if exact && wish == Wish::CutSquares {
            // Whole numbers, and no rounding of millions.
            sum = offs.iter().map(|off| (off * off) as f64).sum();
        }
        Some(((sum + self.constant).round() as i64, offs, exact))
    }
}
