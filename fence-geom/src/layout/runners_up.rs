//! Other layouts that a person would weigh against the best: each is the proven
//! best of a request changed in one thing, or the best with its last sections
//! made equal; each is checked anew by [`verify_layout`].

use super::answer::{Arrangement, Blocking, Layout, LayoutStatus, SectionKind};
use super::blocking::with_face_wider;
use super::error::LayoutError;
use super::lattice::Lattice;
use super::problem::Problem;
use super::reach::fewest;
use super::request::{LayoutRequest, WhichEnd};
use super::solve::{Path, Placed, What, solve};
use super::verify::verify_layout;
use super::wish::{Wish, full_order};
use crate::length::{Length, Shift};
use crate::length_print::{InchFraction, LengthStyle};
use crate::stock::{Cutting, cut_plan};

/// As many are worth a person's time.
const MOST: usize = 5;

/// The farthest that an end is tried past its range, in inches.
const FARTHEST_SHIFT_IN: f64 = 6.0;

/// Cuts that grow by less are not worth another one, in inches.
const WORTH_A_CUT_IN: f64 = 6.0;

/// The most sections at an end that are made equal.
const MOST_EQUAL: usize = 4;

/// What is weighed of a layout; less is better in each.
type Weights = [i64; 9];

/// What may be changed to find other layouts, beside the request.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Choices {
    /// Openings of the gates that the product comes with.
    pub gate_openings: Vec<Length>,
    /// How panels are cut, which decides how many there are to buy.
    pub cutting: Cutting,
    /// True if the start can't leave its range, such as a corner post.
    pub start_held: bool,
    /// True if the end can't leave its range.
    pub end_held: bool,
}

/// Another layout, and what it takes and gives against the best.
#[derive(Clone, Debug, PartialEq)]
pub struct RunnerUp {
    /// What is different.
    pub change: Change,
    /// The request that it answers.
    pub request: LayoutRequest,
    /// The layout.
    pub arrangement: Arrangement,
    /// Panels to buy for it.
    pub panels: usize,
    /// What it takes and gives in one line.
    pub words: String,
}

/// What a runner-up does differently.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Change {
    /// Cuts that are wider, with one cut more at most.
    WiderCuts,
    /// Another opening for this gate, counted from 0.
    Gate(usize),
    /// The end post's face outside its range.
    Shift(WhichEnd),
    /// Holes dug by hand to save cuts, or cuts to save holes dug by hand.
    HandDug,
    /// So many sections at an end made equal.
    Equal(WhichEnd, usize),
    /// Fewer panels to buy.
    FewerPanels,
    /// The cuts toward this end instead of the one that hides them.
    HiddenEnd(WhichEnd),
}

/// Returns layouts worth a look beside the best: at most five, no two the same
/// in what they take and give, none worse than another or the best in all of it.
/// There are none where the request has no layout.
///
/// What is weighed: hand-dug holes, cuts (bays: sections), panels to buy, the
/// shortest cut, changes between full and cut, how far an end leaves its range,
/// whether a gate has another opening, and where one end is to hide the cuts, at
/// which end they stand.
///
/// # Errors
///
/// A [`LayoutError`] if the request, or an opening among the choices, can't be
/// used.
///
/// # Examples
///
/// An inch too long for five panels takes two cuts; an end an inch farther in
/// saves both:
///
/// ```
/// use fence_geom::{Choices, LayoutEnd, LayoutRequest, Length, Shift, lay_out, runners_up};
///
/// let inches = Length::from_inches;
/// let end = LayoutEnd::fixed(Shift::from_inches(2.0)?, inches(4.0)?, true);
/// let request = LayoutRequest::plain(
///     inches(481.0)?, inches(92.0)?, inches(12.0)?, inches(4.0)?, end, end,
/// );
/// let best = lay_out(&request)?;
/// let others = runners_up(&request, &best, &Choices::default())?;
/// assert_eq!(
///     others[0].words,
///     "shift the start 1\" into the run: no cut instead of 2, 5 panels instead of 6"
/// );
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn runners_up(
    request: &LayoutRequest,
    layout: &Layout,
    choices: &Choices,
) -> Result<Vec<RunnerUp>, LayoutError> {
    let settle = |found| Ok::<_, LayoutError>(Settled::Holds(Box::new(found), ()));
    let (kept, _) = settled_runners_up(request, layout, choices, settle)?;
    Ok(kept.into_iter().map(|(other, ())| other).collect())
}

/// Returns the same, each settled before it is weighed, and how many were lost that
/// a person could want.
pub(crate) fn settled_runners_up<P, E: From<LayoutError>>(
    request: &LayoutRequest,
    layout: &Layout,
    choices: &Choices,
    settle: impl FnMut(Found) -> Result<Settled<P>, E>,
) -> Result<(Vec<(RunnerUp, P)>, usize), E> {
    let LayoutStatus::Optimal(best) = &layout.status else {
        return Ok((Vec::new(), 0));
    };
    let field = Field {
        request,
        problem: Problem::new(request)?,
        best,
        choices,
    };
    let mut found = field.shifts()?;
    found.extend(field.hand_dug()?);
    found.extend(field.gates()?);
    found.extend(field.wider_cuts()?);
    found.extend(field.equal_sections());
    found.extend(field.fewer_panels()?);
    found.extend(field.other_end()?);
    field.undominated(found, settle)
}

/// The best and what it is weighed against.
struct Field<'a> {
    request: &'a LayoutRequest,
    problem: Problem,
    best: &'a Arrangement,
    choices: &'a Choices,
}

/// A layout found, with the request that it answers.
#[derive(Clone)]
pub(crate) struct Found {
    pub(crate) change: Change,
    pub(crate) request: LayoutRequest,
    pub(crate) arrangement: Arrangement,
    /// How far the end faces are outside the ranges asked for: more than zero into
    /// the run, less than zero out of it.
    pub(crate) outside: [i64; 2],
    /// The other opening of a gate.
    pub(crate) opening: Option<Length>,
}

/// What becomes of a layout found where it is to stand.
pub(crate) enum Settled<P> {
    /// It stands so, and this is known of it there.
    Holds(Box<Found>, P),
    /// It does not hold.
    Lost,
    /// It is no other layout there.
    Same,
}

/// Those of which none is worse than another in all that is weighed.
struct Front<T>(Vec<(Weights, T)>);

impl<T> Front<T> {
    fn covers(&self, weights: &Weights) -> bool {
        self.0.iter().any(|(kept, _)| dominates(kept, weights))
    }

    fn add(&mut self, weights: Weights, item: T) {
        if !self.covers(&weights) {
            self.0.retain(|(other, _)| !dominates(&weights, other));
            self.0.push((weights, item));
        }
    }
}

/// True if `a` is no worse in anything.
fn dominates(a: &Weights, b: &Weights) -> bool {
    a.iter().zip(b).all(|(a, b)| a <= b)
}

/// How far the end faces are outside the ranges of a request.
pub(crate) fn outside(
    request: &LayoutRequest,
    arrangement: &Arrangement,
) -> Result<[i64; 2], LayoutError> {
    Ok(faces_outside(&Problem::new(request)?, arrangement))
}

fn faces_outside(problem: &Problem, arrangement: &Arrangement) -> [i64; 2] {
    let (start, end) = (problem.start, problem.end);
    let inner = |post: Option<&super::answer::PostPlace>, side: i64| {
        post.map_or(0, |post| (post.center_half_steps + side * post.width) / 2)
    };
    let faces = [
        (inner(arrangement.posts.first(), 1), start),
        (problem.length - inner(arrangement.posts.last(), -1), end),
    ];
    faces.map(|(face, range)| face - face.clamp(range.min, range.max.max(range.min)))
}

impl Field<'_> {
    fn lattice(&self) -> Lattice {
        self.request.lattice
    }

    /// What a person saves at: cuts, or where there are none, sections.
    fn pieces(&self, arrangement: &Arrangement) -> i64 {
        if self.problem.bays {
            arrangement.objective.sections
        } else {
            arrangement.objective.cuts
        }
    }

    /// Holes dug by hand and pieces of the best answer to a problem.
    fn counts(&self, problem: &Problem) -> Result<Option<(i64, i64)>, LayoutError> {
        let leading = problem.order.iter().take(2);
        let all_lead = leading
            .filter(|wish| matches!(wish, Wish::HandDug | Wish::Cuts))
            .count()
            == 2;
        if all_lead && !problem.bays {
            return Ok(fewest(problem));
        }
        Ok(solve(problem)?.map(|path| {
            let arrangement = Arrangement::new(problem, &path);
            (arrangement.objective.hand_dug, self.pieces(&arrangement))
        }))
    }

    fn solved(&self, change: Change, request: LayoutRequest) -> Result<Option<Found>, LayoutError> {
        let problem = Problem::new(&request)?;
        Ok(solve(&problem)?.map(|path| {
            let arrangement = Arrangement::new(&problem, &path);
            self.found(change, request, arrangement)
        }))
    }

    fn found(&self, change: Change, request: LayoutRequest, arrangement: Arrangement) -> Found {
        let opening = match change {
            Change::Gate(i) => request.gates.get(i).map(|gate| gate.opening),
            _ => None,
        };
        Found {
            change,
            outside: faces_outside(&self.problem, &arrangement),
            opening,
            request,
            arrangement,
        }
    }

    /// The least shift of each end past its range that saves pieces.
    fn shifts(&self) -> Result<Vec<Found>, LayoutError> {
        let lattice = self.lattice();
        let most = lattice.below(Shift::saturating(FARTHEST_SHIFT_IN / 12.0));
        let now = (self.best.objective.hand_dug, self.pieces(self.best));
        let mut found = Vec::new();
        let ends = [
            (
                WhichEnd::Start,
                Blocking::StartFace,
                self.choices.start_held,
            ),
            (WhichEnd::End, Blocking::EndFace, self.choices.end_held),
        ];
        for (end, rule, _) in ends.into_iter().filter(|(.., held)| !held) {
            let saves = |by: i64| -> Result<bool, LayoutError> {
                let counts = self.counts(&with_face_wider(&self.problem, &rule, by))?;
                Ok(counts.is_some_and(|(hand, pieces)| hand <= now.0 && pieces < now.1))
            };
            if most < 1 || !saves(most)? {
                continue;
            }
            let (mut low, mut high) = (0, most);
            while high - low > 1 {
                let middle = low + (high - low) / 2;
                if saves(middle)? {
                    high = middle;
                } else {
                    low = middle;
                }
            }
            let request = self.shifted(end, high);
            found.extend(self.solved(Change::Shift(end), request)?);
        }
        Ok(found)
    }

    /// The request with the range of one face wider by so many steps.
    fn shifted(&self, end: WhichEnd, by: i64) -> LayoutRequest {
        let wider = with_face_wider(
            &self.problem,
            &match end {
                WhichEnd::Start => Blocking::StartFace,
                WhichEnd::End => Blocking::EndFace,
            },
            by,
        );
        let mut request = self.request.clone();
        let (asked, found) = match end {
            WhichEnd::Start => (&mut request.start, wider.start),
            WhichEnd::End => (&mut request.end, wider.end),
        };
        asked.face_min = self.lattice().shift(found.min);
        asked.face_max = self.lattice().shift(found.max);
        request
    }

    /// Cuts before holes dug by hand, and the other way round: one of the two is
    /// the best itself.
    fn hand_dug(&self) -> Result<Vec<Found>, LayoutError> {
        let mut found = Vec::new();
        if self.problem.hand_dig.is_empty() {
            return Ok(found);
        }
        let pieces = if self.problem.bays {
            Wish::Sections
        } else {
            Wish::Cuts
        };
        for first in [[pieces, Wish::HandDug], [Wish::HandDug, pieces]] {
            let others = (self.problem.order.iter()).filter(|wish| !first.contains(wish));
            let request = LayoutRequest {
                order: first.iter().chain(others).copied().collect(),
                ..self.request.clone()
            };
            found.extend(self.solved(Change::HandDug, request)?);
        }
        Ok(found)
    }

    /// Each gate with each other opening that the run is long enough for.
    fn gates(&self) -> Result<Vec<Found>, LayoutError> {
        let mut found = Vec::new();
        for (i, gate) in self.request.gates.iter().enumerate() {
            let openings = self.choices.gate_openings.iter();
            for &opening in openings.filter(|opening| **opening != gate.opening) {
                let mut request = self.request.clone();
                if let Some(gate) = request.gates.get_mut(i) {
                    gate.opening = opening;
                }
                match self.solved(Change::Gate(i), request) {
                    Err(LayoutError::GateWiderThanRun { .. }) => {}
                    solved => found.extend(solved?),
                }
            }
        }
        Ok(found)
    }

    /// The widest cuts that one cut more allows at most.
    fn wider_cuts(&self) -> Result<Option<Found>, LayoutError> {
        let now = self.best.objective;
        let Some(shortest) = shortest_cut(self.best) else {
            return Ok(None);
        };
        let with = |least: i64| Problem {
            cut_min: self.problem.shortest_cut(least),
            ..self.problem.clone()
        };
        let allowed = |least: i64| -> Result<bool, LayoutError> {
            let counts = self.counts(&with(least))?;
            Ok(counts.is_some_and(|(hand, cuts)| hand <= now.hand_dug && cuts <= now.cuts + 1))
        };
        let (mut low, mut high) = (shortest, self.problem.full);
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if allowed(middle)? {
                low = middle;
            } else {
                high = middle;
            }
        }
        let worth = self
            .lattice()
            .below(Shift::saturating(WORTH_A_CUT_IN / 12.0));
        if low - shortest < worth.max(1) {
            return Ok(None);
        }
        let min_cut = Length::saturating(self.lattice().shift(low).feet());
        let request = LayoutRequest {
            min_cut,
            ..self.request.clone()
        };
        self.solved(Change::WiderCuts, request)
    }

    /// The last sections at an end made equal: at the hidden end, or where it takes
    /// fewer of them.
    fn equal_sections(&self) -> Option<Found> {
        let ends = match self.problem.hide {
            Some(end) => vec![end],
            None => vec![WhichEnd::End, WhichEnd::Start],
        };
        if self.problem.bays || self.problem.cut_step != 1 {
            return None;
        }
        let mut candidates: Vec<Found> = (2..=MOST_EQUAL)
            .flat_map(|k| ends.iter().filter_map(move |&end| self.equal(end, k)))
            .collect();
        // Two thirds of a panel look like panels; short of that, the widest.
        let wide = |found: &Found| {
            shortest_cut(&found.arrangement).is_some_and(|cut| 3 * cut >= 2 * self.problem.full)
        };
        let chosen = candidates.iter().position(wide);
        let chosen = chosen.or_else(|| candidates.len().checked_sub(1))?;
        Some(candidates.swap_remove(chosen))
    }

    /// The best with `k` sections at an end made equal, where all rules allow it
    /// and it changes anything.
    fn equal(&self, end: WhichEnd, k: usize) -> Option<Found> {
        let mut sections = self.best.sections.clone();
        let from = match end {
            WhichEnd::Start => 0,
            WhichEnd::End => sections.len().checked_sub(k)?,
        };
        let part = sections.get_mut(from..from + k)?;
        let cuts = part.iter().filter(|s| s.kind == SectionKind::Cut).count();
        let gates = part.iter().any(|s| matches!(s.kind, SectionKind::Gate(_)));
        let near = part.first()?.from;
        let far = part.last()?.to();
        if gates || cuts == 0 || cuts == k {
            return None;
        }
        let count = i64::try_from(k).ok()?;
        let clear: i64 = part.iter().map(|section| section.clear).sum();
        let post = (far - near - clear) / (count - 1).max(1);
        let mut at = near;
        for (section, i) in part.iter_mut().zip(0..) {
            // What does not divide goes to the first, a step each.
            section.clear = clear / count + i64::from(i < clear % count);
            section.kind = SectionKind::Cut;
            section.from = at;
            at = section.to() + post;
        }
        let path = Path {
            start: self.start_face(),
            sections: sections.iter().map(placed).collect(),
        };
        let arrangement = Arrangement::new(&self.problem, &path);
        verify_layout(self.request, &arrangement).ok()?;
        Some(self.found(Change::Equal(end, k), self.request.clone(), arrangement))
    }

    /// The inner face of the start post of the best.
    fn start_face(&self) -> i64 {
        let post = self.best.posts.first();
        post.map_or(0, |post| (post.center_half_steps + post.width) / 2)
    }

    /// Sections before cuts: each section but a gate takes a panel.
    fn fewer_panels(&self) -> Result<Option<Found>, LayoutError> {
        if self.problem.bays {
            return Ok(None);
        }
        let order = full_order(&[Wish::HandDug, Wish::Sections, Wish::Cuts])?;
        let request = LayoutRequest {
            order,
            ..self.request.clone()
        };
        self.solved(Change::FewerPanels, request)
    }

    /// The best with the other end to hide the cuts.
    fn other_end(&self) -> Result<Option<Found>, LayoutError> {
        let Some(hidden) = self.problem.hide else {
            return Ok(None);
        };
        let other = match hidden {
            WhichEnd::Start => WhichEnd::End,
            WhichEnd::End => WhichEnd::Start,
        };
        let request = LayoutRequest {
            hide: Some(other),
            ..self.request.clone()
        };
        self.solved(Change::HiddenEnd(other), request)
    }

    /// Panels to buy: full ones, and those that the cuts are sawn from.
    fn panels(&self, request: &LayoutRequest, arrangement: &Arrangement) -> usize {
        if self.problem.bays {
            return 0;
        }
        let cutting = &self.choices.cutting;
        let lattice = self.lattice();
        let saw = |clear: i64| cutting.saw_length(Length::saturating(lattice.shift(clear).feet()));
        let count = |kind| {
            arrangement
                .sections
                .iter()
                .filter(|s| s.kind == kind)
                .count()
        };
        let cuts = (arrangement.sections.iter()).filter(|s| s.kind == SectionKind::Cut);
        let pieces: Vec<Length> = cuts.map(|section| saw(section.clear)).collect();
        let panel = cutting.saw_length(request.full);
        let sawn = cut_plan(panel, &pieces, cutting).map_or(pieces.len(), |plan| plan.panels.len());
        count(SectionKind::Full) + sawn
    }

    /// What is weighed; less is better in each.
    fn weights(
        &self,
        arrangement: &Arrangement,
        panels: usize,
        change: Option<(Change, [i64; 2])>,
    ) -> Weights {
        let objective = &arrangement.objective;
        let (change, outside) = change.unzip();
        let [start, end] = outside.unwrap_or_default();
        let elsewhere = i64::from(matches!(change, Some(Change::HiddenEnd(_))));
        [
            objective.hand_dug,
            self.pieces(arrangement),
            i64::try_from(panels).unwrap_or(i64::MAX),
            -shortest_cut(arrangement).unwrap_or(self.problem.full),
            objective.changes,
            start.abs() + end.abs(),
            i64::from(matches!(change, Some(Change::Gate(_)))),
            // What one end of the run gains the other loses.
            elsewhere,
            -elsewhere,
        ]
    }

    /// Keeps those that a person could want, and puts them in words; and counts
    /// those that a person could want but that don't hold.
    fn undominated<P, E>(
        &self,
        found: Vec<Found>,
        mut settle: impl FnMut(Found) -> Result<Settled<P>, E>,
    ) -> Result<(Vec<(RunnerUp, P)>, usize), E> {
        let mut kept = Front(Vec::new());
        let mut lost = Front(Vec::new());
        for found in found {
            let Some((hoped, _)) = self.worth(&found).filter(|(hoped, _)| !kept.covers(hoped))
            else {
                continue;
            };
            match settle(found)? {
                Settled::Same => {}
                Settled::Lost => lost.add(hoped, ()),
                Settled::Holds(found, place) => match self.worth(&found) {
                    Some((weights, panels)) => kept.add(weights, (*found, panels, place)),
                    None => lost.add(hoped, ()),
                },
            }
        }
        let lost = lost.0.iter().filter(|(hoped, ())| !kept.covers(hoped));
        let lost = lost.count();
        kept.0.sort_by_key(|(weights, _)| *weights);
        kept.0.truncate(MOST);
        let kept = kept.0.into_iter();
        let told = kept.map(|(_, (found, panels, place))| (self.told(found, panels), place));
        Ok((told.collect(), lost))
    }

    fn told(&self, found: Found, panels: usize) -> RunnerUp {
        RunnerUp {
            words: self.words(&found, panels),
            change: found.change,
            request: found.request,
            arrangement: found.arrangement,
            panels,
        }
    }

    /// What is weighed of a layout, and the panels to buy for it; nothing where it
    /// is no better than the best in anything, or not what it is called.
    fn worth(&self, found: &Found) -> Option<(Weights, usize)> {
        let Found {
            change,
            request,
            arrangement,
            ..
        } = found;
        let best_panels = self.panels(self.request, self.best);
        let panels = self.panels(request, arrangement);
        let weights = self.weights(arrangement, panels, Some((*change, found.outside)));
        let misnamed = match change {
            Change::FewerPanels => panels >= best_panels,
            Change::HiddenEnd(_) => cut_numbers(arrangement) == cut_numbers(self.best),
            _ => false,
        };
        let sound = verify_layout(request, arrangement) == Ok(arrangement.objective);
        let best = self.weights(self.best, best_panels, None);
        (sound && !misnamed && !dominates(&best, &weights)).then_some((weights, panels))
    }

    fn inches(&self, steps: i64) -> String {
        let style = LengthStyle::Inches(InchFraction::Sixteenth);
        self.lattice().shift(steps).to_text(style)
    }

    fn words(&self, found: &Found, panels: usize) -> String {
        let arrangement = &found.arrangement;
        let what = match found.change {
            Change::WiderCuts => "wider cuts".to_owned(),
            Change::Gate(i) => {
                let opening = found.opening.unwrap_or(Length::ZERO);
                let style = LengthStyle::Inches(InchFraction::Sixteenth);
                format!(
                    "gate {} with an opening of {}",
                    i + 1,
                    opening.to_text(style)
                )
            }
            Change::Shift(end) => {
                let [start, last] = found.outside;
                let (name, by) = match end {
                    WhichEnd::Start => ("start", start),
                    WhichEnd::End => ("end", last),
                };
                let way = if by < 0 { "outward" } else { "into the run" };
                format!("shift the {name} {} {way}", self.inches(by.abs()))
            }
            Change::HandDug => {
                let more = arrangement.objective.hand_dug > self.best.objective.hand_dug;
                let pieces = if self.problem.bays { "bays" } else { "cuts" };
                if more {
                    format!("dig by hand where it saves {pieces}")
                } else {
                    format!("take more {pieces} where it saves digging by hand")
                }
            }
            Change::Equal(end, k) => {
                let end = if end == WhichEnd::Start {
                    "first"
                } else {
                    "last"
                };
                format!("make the {end} {k} sections equal")
            }
            Change::FewerPanels => "fewer panels".to_owned(),
            Change::HiddenEnd(end) => {
                let (to, from) = match end {
                    WhichEnd::Start => ("start", "end"),
                    WhichEnd::End => ("end", "start"),
                };
                format!("cuts toward the {to} instead of the {from}")
            }
        };
        let panels = (self.panels(self.request, self.best), panels);
        let mut differences = self.differences(arrangement, panels);
        if let Change::HiddenEnd(_) = found.change {
            let (new, old) = (cut_numbers(arrangement), cut_numbers(self.best));
            let noun = if new.len() == 1 {
                "section"
            } else {
                "sections"
            };
            let (new, old) = (numbers(&new), numbers(&old));
            differences.push(format!(
                "{noun} {new}, counted from the start, instead of {old}"
            ));
        }
        format!("{what}: {}", differences.join(", "))
    }

    /// Each figure that is not the best's, with the best's.
    fn differences(&self, arrangement: &Arrangement, panels: (usize, usize)) -> Vec<String> {
        let (old, new) = (&self.best.objective, &arrangement.objective);
        let count = |n: usize| i64::try_from(n).unwrap_or(i64::MAX);
        let figures = [
            (
                old.hand_dug,
                new.hand_dug,
                "hole dug by hand",
                "holes dug by hand",
            ),
            (old.cuts, new.cuts, "cut", "cuts"),
            (count(panels.0), count(panels.1), "panel", "panels"),
        ];
        let mut words: Vec<String> = (figures.into_iter())
            .filter(|(old, new, ..)| old != new)
            .map(|(old, new, one, many)| match new {
                0 => format!("no {one} instead of {old}"),
                1 => format!("1 {one} instead of {}", none_or(old)),
                _ => format!("{new} {many} instead of {}", none_or(old)),
            })
            .collect();
        if self.problem.bays && old.sections != new.sections {
            words.push(format!("{} bays instead of {}", new.sections, old.sections));
        }
        match (shortest_cut(self.best), shortest_cut(arrangement)) {
            (Some(old), Some(new)) if old != new => {
                let (new, old) = (self.inches(new), self.inches(old));
                words.push(format!("the shortest {new} instead of {old}"));
            }
            (None, Some(new)) => words.push(format!("the shortest {}", self.inches(new))),
            _ => {}
        }
        if words.is_empty() && old.changes != new.changes {
            words.push(format!(
                "{} changes between full and cut instead of {}",
                new.changes, old.changes
            ));
        }
        words
    }
}

fn none_or(count: i64) -> String {
    if count == 0 {
        "none".to_owned()
    } else {
        count.to_string()
    }
}

/// The cut sections by their numbers from the start, from 1.
fn cut_numbers(arrangement: &Arrangement) -> Vec<usize> {
    (arrangement.sections.iter().zip(1..))
        .filter(|(section, _)| section.kind == SectionKind::Cut)
        .map(|(_, number)| number)
        .collect()
}

/// Numbers as they are said, such as "1, 2 and 5".
fn numbers(numbers: &[usize]) -> String {
    let mut words: Vec<String> = numbers.iter().map(usize::to_string).collect();
    match words.pop() {
        Some(last) if !words.is_empty() => format!("{} and {last}", words.join(", ")),
        last => last.unwrap_or_default(),
    }
}

fn shortest_cut(arrangement: &Arrangement) -> Option<i64> {
    (arrangement.sections.iter())
        .filter(|section| section.kind == SectionKind::Cut)
        .map(|section| section.clear)
        .min()
}

fn placed(section: &super::answer::SectionPlace) -> Placed {
    Placed {
        near: section.from,
        far: section.to(),
        what: match section.kind {
            SectionKind::Full => What::Full,
            SectionKind::Gate(gate) => What::Gate(gate),
            SectionKind::Cut | SectionKind::Bay => What::Cut,
        },
    }
}
