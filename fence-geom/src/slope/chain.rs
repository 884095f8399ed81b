//! The best lines of all sections together.

use super::lines::{Line, Lines};

/// What a run costs up to some section.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Cost {
    steps: u32,
    /// Twice the area of the bottoms' lines.
    area: i128,
    /// Sum of the squares of the rises.
    tilt: i128,
}

/// The best way to end a section at some height.
#[derive(Clone, Copy, Debug)]
struct Reached {
    cost: Cost,
    line: Line,
    /// Where the section before ends.
    before: i64,
}

/// The best ways to end one section, by the height it ends at.
struct Stage {
    /// The height of the first of `reached`.
    lowest: i64,
    reached: Vec<Option<Reached>>,
}

impl Stage {
    fn at(&self, height: i64) -> Option<&Reached> {
        let i = usize::try_from(height.checked_sub(self.lowest)?).ok()?;
        self.reached.get(i)?.as_ref()
    }

    /// The best of all heights, the lowest where they tie.
    fn best(&self) -> Option<&Reached> {
        self.reached
            .iter()
            .flatten()
            .min_by_key(|reached| reached.cost)
    }

    /// Adds a section to the stage before it; the first has none before.
    fn after(before: Option<&Self>, lines: &Lines) -> Self {
        let ends = || (lines.sheaves.iter()).map(|sheaf| (sheaf.lowest, sheaf.highest, sheaf.rise));
        let lowest = ends().map(|(low, _, rise)| low + rise).min().unwrap_or(0);
        let highest = ends()
            .map(|(_, high, rise)| high + rise)
            .max()
            .unwrap_or(-1);
        let size = usize::try_from(highest - lowest + 1).unwrap_or(0);
        let mut stage = Self {
            lowest,
            reached: vec![None; size],
        };
        let step_from = before.and_then(Self::best);
        for (low, high, rise) in ends() {
            for from in low..=high {
                let line = Line {
                    from,
                    to: from + rise,
                };
                stage.offer(lines, line, before, step_from);
            }
        }
        stage
    }

    fn offer(
        &mut self,
        lines: &Lines,
        line: Line,
        before: Option<&Self>,
        step_from: Option<&Reached>,
    ) {
        let area = lines.doubled_area(line);
        let tilt = i128::from(line.to - line.from).pow(2);
        let stepped = step_from.map(|best| (best, 1));
        let level = before
            .and_then(|stage| stage.at(line.from))
            .map(|at| (at, 0));
        let ways = level.into_iter().chain(stepped).map(|(at, step)| Reached {
            cost: Cost {
                steps: at.cost.steps + step,
                area: at.cost.area + area,
                tilt: at.cost.tilt + tilt,
            },
            line,
            before: at.line.to,
        });
        let first = before.is_none().then_some(Reached {
            cost: Cost {
                steps: 0,
                area,
                tilt,
            },
            line,
            before: line.from,
        });
        let Some(way) = ways.chain(first).min_by_key(|way| way.cost) else {
            return;
        };
        let place = usize::try_from(line.to - self.lowest).ok();
        if let Some(place) = place.and_then(|i| self.reached.get_mut(i))
            && place.is_none_or(|other| way.cost < other.cost)
        {
            *place = Some(way);
        }
    }
}

/// Returns the line of each section. Every section has a permitted line, because
/// a step may lead to any.
pub(super) fn best(all: &[Lines]) -> Vec<Line> {
    let mut stages: Vec<Stage> = Vec::with_capacity(all.len());
    for lines in all {
        stages.push(Stage::after(stages.last(), lines));
    }
    let mut chosen = Vec::with_capacity(all.len());
    let mut height = None;
    for stage in stages.iter().rev() {
        let reached = match height {
            None => stage.best(),
            Some(height) => stage.at(height),
        };
        let Some(reached) = reached else { break };
        chosen.push(reached.line);
        height = Some(reached.before);
    }
    chosen.reverse();
    chosen
}
