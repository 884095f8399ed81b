//! The fewest cuts of many requests that differ little: each problem is brought
//! to a common form and answered once.

use std::collections::BTreeMap;

use super::error::LayoutError;
use super::problem::{Beside, End, Problem, Span};
use super::reach::fewest;
use super::request::LayoutRequest;

/// Answers so far.
#[derive(Default)]
pub(crate) struct FewestCuts {
    found: BTreeMap<Vec<i64>, Option<(i64, i64)>>,
}

impl FewestCuts {
    /// Returns the hand-dug holes and cuts of the best layout in the usual order
    /// of wishes; nothing where there is none.
    ///
    /// # Errors
    ///
    /// A [`LayoutError`] if the request can't be used.
    pub(crate) fn of(
        &mut self,
        request: &LayoutRequest,
    ) -> Result<Option<(i64, i64)>, LayoutError> {
        let mut problem = Problem::new(request)?;
        problem.no_dig = within_reach(&problem, &problem.no_dig);
        problem.hand_dig = within_reach(&problem, &problem.hand_dig);
        let key = key(&problem);
        if let Some(&found) = self.found.get(&key) {
            return Ok(found);
        }
        let found = fewest(&problem);
        self.found.insert(key, found);
        Ok(found)
    }
}

/// The parts of stretches in which a hole of the run can have its center.
fn within_reach(problem: &Problem, spans: &[Span]) -> Vec<Span> {
    let gates = problem.gates.iter().map(|gate| gate.opening);
    let shortest = gates.fold(problem.cut_min.min(problem.full), i64::min);
    let half = if problem.on_face {
        // A gate post stands under the panel before its gate.
        -problem.post_widths().1
    } else {
        problem.post_widths().0 / 2
    };
    let between = Span {
        from: problem.first() + shortest + half,
        to: problem.last() - shortest - half,
    };
    let ends = end_holes(problem);
    let mut kept = Vec::new();
    for span in spans {
        for holes in ends.iter().flatten().chain([&between]) {
            let part = Span {
                from: span.from.max(holes.from),
                to: span.to.min(holes.to),
            };
            if part.from <= part.to {
                kept.push((part.from, part.to));
            }
        }
    }
    kept.sort_unstable();
    kept.dedup();
    kept.into_iter()
        .map(|(from, to)| Span { from, to })
        .collect()
}

/// Where the centers of the end holes can be, in whole steps around them; none
/// where the run digs none.
fn end_holes(problem: &Problem) -> [Option<Span>; 2] {
    let from_face = |end: End| {
        end.hole.then_some(Span {
            from: (2 * end.min - end.post).div_euclid(2),
            to: -((end.post - 2 * end.max).div_euclid(2)),
        })
    };
    let end = from_face(problem.end).map(|span| Span {
        from: problem.length - span.to,
        to: problem.length - span.from,
    });
    [from_face(problem.start), end]
}

/// All that the answer hangs on.
fn key(problem: &Problem) -> Vec<i64> {
    let mut key = vec![
        problem.length,
        problem.line_post,
        problem.gate_post,
        problem.latch_post,
        problem.full,
        problem.cut_min,
        problem.cut_step,
        i64::from(problem.bays),
        i64::from(problem.on_face),
        i64::from(problem.guard),
    ];
    for end in [problem.start, problem.end] {
        key.extend([end.min, end.max, end.post, i64::from(end.hole)]);
    }
    for gate in &problem.gates {
        let latches = [gate.near_side, gate.far_side].map(|side| side == Beside::Latch);
        key.extend([gate.opening, gate.from, gate.to]);
        key.extend(latches.map(i64::from));
    }
    for spans in [&problem.no_dig, &problem.hand_dig, &problem.show] {
        // Apart, so that no two lists read the same.
        key.push(i64::MIN);
        key.extend(spans.iter().flat_map(|span| [span.from, span.to]));
    }
    key
}
