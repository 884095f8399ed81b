//! Which hard rules, dropped alone, would give an answer, and how little of each
//! would do.

use super::answer::{Blocking, Give, Relaxation};
use super::problem::{End, Problem};
use super::reach::fewest;

/// Tries each hard rule of a problem that has no answer.
pub(super) fn blocking(problem: &Problem) -> Vec<Blocking> {
    candidates(problem)
        .into_iter()
        .filter(|rule| is_feasible(&without(problem, rule)))
        .collect()
}

/// The least that each of these rules would have to give, where it gives by
/// degrees: the window of a gate, the range of a face, the shortest cut.
pub(super) fn relaxations(problem: &Problem, blocking: &[Blocking]) -> Vec<Relaxation> {
    (blocking.iter())
        .filter_map(|rule| {
            let (by, way) = least(problem, rule)?;
            Some(Relaxation {
                rule: rule.clone(),
                by,
                way,
            })
        })
        .collect()
}

fn is_feasible(problem: &Problem) -> bool {
    fewest(problem).is_some()
}

fn candidates(problem: &Problem) -> Vec<Blocking> {
    let mut rules: Vec<_> = (0..problem.no_dig.len()).map(Blocking::NoDig).collect();
    rules.extend((0..problem.show.len()).map(Blocking::Show));
    if problem.guard {
        rules.push(Blocking::Guard);
    }
    rules.extend((0..problem.gates.len()).map(Blocking::GateWindow));
    rules.extend([Blocking::StartFace, Blocking::EndFace, Blocking::MinCut]);
    rules
}

fn without(problem: &Problem, rule: &Blocking) -> Problem {
    let mut relaxed = problem.clone();
    match *rule {
        Blocking::NoDig(i) => drop(relaxed.no_dig.remove(i)),
        Blocking::Show(i) => drop(relaxed.show.remove(i)),
        Blocking::Guard => relaxed.guard = false,
        Blocking::GateWindow(i) => {
            let (from, to) = (problem.first(), problem.last());
            if let Some(gate) = relaxed.gates.get_mut(i) {
                (gate.from, gate.to) = (from, to);
            }
        }
        Blocking::StartFace => relaxed.start = anywhere(problem.start, problem.length),
        Blocking::EndFace => relaxed.end = anywhere(problem.end, problem.length),
        Blocking::MinCut => relaxed.cut_min = problem.shortest_cut(problem.least_cut()),
    }
    relaxed
}

/// Any face from the reference on, or from where the range began before it.
fn anywhere(end: End, length: i64) -> End {
    End {
        min: end.min.min(0),
        max: length,
        ..end
    }
}

/// The fewest steps by which a rule must give. Giving more never hurts, so the
/// place where it becomes enough is found by halving.
fn least(problem: &Problem, rule: &Blocking) -> Option<(i64, Give)> {
    let ways: &[Give] = match rule {
        Blocking::GateWindow(_) => &[Give::Earlier, Give::Later],
        Blocking::StartFace | Blocking::EndFace => &[Give::Nearer, Give::Farther],
        Blocking::MinCut => &[Give::Shorter],
        Blocking::NoDig(_) | Blocking::Show(_) | Blocking::Guard => return None,
    };
    let enough =
        |by: i64| (ways.iter().copied()).find(|&way| is_feasible(&given(problem, rule, way, by)));
    let most = match rule {
        // An end post that stands a section farther in ends another run.
        Blocking::StartFace | Blocking::EndFace => problem.full + problem.post_widths().1,
        _ => problem.length.max(problem.last() - problem.first()),
    };
    // `high` is enough, `low` is not.
    let (mut low, mut high) = (0, 16.min(most));
    while enough(high).is_none() {
        if high >= most {
            return None;
        }
        (low, high) = (high, high.saturating_mul(4).min(most));
    }
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if enough(middle).is_some() {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some((high, enough(high)?))
}

/// The problem with a rule that gives by so many steps one way, at most to where
/// it is dropped.
fn given(problem: &Problem, rule: &Blocking, way: Give, by: i64) -> Problem {
    let dropped = without(problem, rule);
    let mut relaxed = problem.clone();
    let widen = |end: &mut End, dropped: End| match way {
        Give::Nearer => end.min = (end.min - by).max(dropped.min),
        _ => end.max = (end.max + by).min(dropped.max),
    };
    match *rule {
        Blocking::GateWindow(i) => {
            if let Some(gate) = relaxed.gates.get_mut(i) {
                match way {
                    Give::Earlier => gate.from -= by,
                    _ => gate.to += by,
                }
            }
        }
        Blocking::StartFace => widen(&mut relaxed.start, dropped.start),
        Blocking::EndFace => widen(&mut relaxed.end, dropped.end),
        Blocking::MinCut => {
            let least = (problem.cut_asked - by).max(problem.least_cut());
            relaxed.cut_min = problem.shortest_cut(least);
        }
        Blocking::NoDig(_) | Blocking::Show(_) | Blocking::Guard => {}
    }
    relaxed
}

/// A request with a rule that gives by so many steps one way.
#[cfg(test)]
pub(super) fn give(request: &mut super::LayoutRequest, relaxation: &Relaxation, by: i64) {
    let by = request.lattice.shift(by);
    let end = match relaxation.rule {
        Blocking::GateWindow(i) => {
            if let Some(gate) = request.gates.get_mut(i) {
                match relaxation.way {
                    Give::Earlier => gate.from = gate.from.map(|from| from - by),
                    _ => gate.to = gate.to.map(|to| to + by),
                }
            }
            return;
        }
        Blocking::StartFace => &mut request.start,
        Blocking::EndFace => &mut request.end,
        _ => {
            let less = request.min_cut.feet() - by.feet();
            request.min_cut = crate::length::Length::saturating(less);
            return;
        }
    };
    match relaxation.way {
        Give::Nearer => end.face_min = end.face_min - by,
        _ => end.face_max = end.face_max + by,
    }
}

/// The problem with the range of a face widened both ways, for a look at what a
/// shift would bring.
pub(super) fn with_face_wider(problem: &Problem, rule: &Blocking, by: i64) -> Problem {
    let nearer = given(problem, rule, Give::Nearer, by);
    given(&nearer, rule, Give::Farther, by)
}
