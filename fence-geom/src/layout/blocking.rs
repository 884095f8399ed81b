//! Which hard rules, dropped alone, would give an answer.

use super::answer::Blocking;
use super::problem::{End, Problem};
use super::solve::is_feasible;

/// Tries each hard rule of a problem that has no answer.
pub(super) fn blocking(problem: &Problem) -> Vec<Blocking> {
    candidates(problem)
        .into_iter()
        .filter(|rule| is_feasible(&without(problem, rule)))
        .collect()
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
        Blocking::MinCut => relaxed.cut_min = 1,
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
