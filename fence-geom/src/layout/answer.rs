//! The answer in steps of the lattice: posts, sections, and how well each wish
//! is served.

use super::lattice::Lattice;
use super::problem::{Beside, Gate, Problem, Span};
use super::solve::{Path, Placed, What};
use super::wish::{Objective, Wish};
use crate::length_print::{InchFraction, LengthStyle};
use crate::product::PostKind;

/// The answer to a [`LayoutRequest`](super::LayoutRequest).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    /// The best layout, or why there is none.
    pub status: LayoutStatus,
    /// The step that everything is counted in.
    pub lattice: Lattice,
    /// The order in which the wishes were served.
    pub order: Vec<Wish>,
}

/// Whether there is a layout.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LayoutStatus {
    /// This layout is the best there is, by exact search.
    Optimal(Arrangement),
    /// No layout keeps all hard rules.
    None {
        /// Each hard rule that, dropped alone, would give a layout; empty where
        /// it takes more than one.
        blocking: Vec<Blocking>,
        /// The least by which each of those would have to give that gives by
        /// degrees.
        relaxations: Vec<Relaxation>,
    },
}

/// Where everything stands. Places are steps from the start reference.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Arrangement {
    /// How well each wish is served.
    pub objective: Objective,
    /// The posts from the start to the end, both end posts included; one more
    /// than sections.
    pub posts: Vec<PostPlace>,
    /// The sections from the start to the end.
    pub sections: Vec<SectionPlace>,
}

/// A post in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PostPlace {
    /// The center, in half steps from the start reference.
    pub center_half_steps: i64,
    /// Width along the run in steps.
    pub width: i64,
    /// What kind of post it is.
    pub kind: PostKind,
    /// True if this run digs its hole.
    pub hole: bool,
    /// True if its hole is dug by hand.
    pub hand_dug: bool,
}

/// A section in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SectionPlace {
    /// Its first face, in steps from the start reference.
    pub from: i64,
    /// Its clear width in steps.
    pub clear: i64,
    /// What kind of section it is.
    pub kind: SectionKind,
}

/// Kinds of sections.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SectionKind {
    /// A panel as it comes.
    Full,
    /// A panel cut to width.
    Cut,
    /// A gate, by its number in the request, counted from 0.
    Gate(usize),
    /// Built in place or fabric.
    Bay,
}

/// A hard rule that stands in the way.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Blocking {
    /// `no_dig[i]`.
    NoDig(usize),
    /// `show[i]`.
    Show(usize),
    /// `guard`.
    Guard,
    /// The window of `gates[i]`.
    GateWindow(usize),
    /// The range of the start face.
    StartFace,
    /// The range of the end face.
    EndFace,
    /// `min_cut`.
    MinCut,
}

/// How little of a hard rule would have to be given up, the others kept.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Relaxation {
    /// The rule.
    pub rule: Blocking,
    /// By how many steps of the lattice; one less is not enough, whichever way.
    pub by: i64,
    /// Which way.
    pub way: Give,
}

/// The way in which a rule gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Give {
    /// The window of a gate opens so much earlier.
    Earlier,
    /// The window of a gate closes so much later.
    Later,
    /// A face stands so much nearer to its reference.
    Nearer,
    /// A face stands so much farther from its reference, into the run.
    Farther,
    /// A cut is so much shorter.
    Shorter,
}

impl Relaxation {
    /// Returns what would have to give way and by how much, in words.
    #[must_use]
    pub fn words(&self, lattice: Lattice) -> String {
        let by = (lattice.shift(self.by)).to_text(LengthStyle::Inches(InchFraction::Sixteenth));
        match (&self.rule, self.way) {
            (Blocking::GateWindow(i), Give::Earlier) => {
                format!("gate {} {by} earlier than its window", i + 1)
            }
            (Blocking::GateWindow(i), _) => format!("gate {} {by} past its window", i + 1),
            (Blocking::MinCut, _) => format!("a cut {by} shorter than the shortest allowed"),
            (rule, way) => {
                let end = if *rule == Blocking::StartFace {
                    "start"
                } else {
                    "end"
                };
                let way = if way == Give::Nearer {
                    "nearer to its reference"
                } else {
                    "farther into the run"
                };
                format!("the {end} face {by} {way} than its range")
            }
        }
    }
}

impl SectionPlace {
    /// Returns its last face, in steps from the start reference.
    #[must_use]
    pub const fn to(&self) -> i64 {
        self.from + self.clear
    }
}

impl Blocking {
    /// Returns the name by the fields of the request, such as `no_dig[0]`.
    #[must_use]
    pub fn name(&self) -> String {
        match self {
            Self::NoDig(i) => format!("no_dig[{i}]"),
            Self::Show(i) => format!("show[{i}]"),
            Self::Guard => "guard".to_owned(),
            Self::GateWindow(i) => format!("gates[{i}].window"),
            Self::StartFace => "start.face".to_owned(),
            Self::EndFace => "end.face".to_owned(),
            Self::MinCut => "min_cut".to_owned(),
        }
    }

    /// Returns what would have to give way, in words.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::NoDig(i) => format!("a hole would have to stand in no-dig stretch {}", i + 1),
            Self::Show(i) => format!("a cut would have to stand in stretch {} that shows", i + 1),
            Self::Guard => "a cut would have to stand next to a gate".to_owned(),
            Self::GateWindow(i) => format!("gate {} would have to leave its window", i + 1),
            Self::StartFace => "the start face would have to leave its range".to_owned(),
            Self::EndFace => "the end face would have to leave its range".to_owned(),
            Self::MinCut => "a section would have to be shorter than the shortest cut".to_owned(),
        }
    }
}

impl Arrangement {
    /// Spells out a path, and sums up every wish from what it spells out.
    pub(super) fn new(problem: &Problem, path: &Path) -> Self {
        let sections: Vec<_> = (path.sections.iter())
            .map(|placed| section(problem, placed))
            .collect();
        let posts = posts(problem, path);
        Self {
            objective: objective(problem, path, &posts),
            posts,
            sections,
        }
    }
}

fn section(problem: &Problem, placed: &Placed) -> SectionPlace {
    SectionPlace {
        from: placed.near,
        clear: placed.far - placed.near,
        kind: match placed.what {
            What::Full => SectionKind::Full,
            What::Cut if problem.bays => SectionKind::Bay,
            What::Cut => SectionKind::Cut,
            What::Gate(gate) => SectionKind::Gate(gate),
        },
    }
}

fn posts(problem: &Problem, path: &Path) -> Vec<PostPlace> {
    let post = |center_half_steps, width, kind, hole| PostPlace {
        center_half_steps,
        width,
        kind,
        hole,
        hand_dug: hole && holds(&problem.hand_dig, center_half_steps),
    };
    let (start, end) = (problem.start, problem.end);
    let mut posts = vec![post(
        2 * path.start - start.post,
        start.post,
        PostKind::End,
        start.hole,
    )];
    for (before, after) in path.sections.iter().zip(path.sections.iter().skip(1)) {
        let beside = beside(problem, before, after);
        let center = 2 * before.far + problem.center_past(beside);
        let (width, kind) = (problem.post_width(beside), problem.post_kind(beside));
        posts.push(post(center, width, kind, true));
    }
    let center = 2 * (problem.length - end_face(problem, path)) + end.post;
    posts.push(post(center, end.post, PostKind::End, end.hole));
    posts
}

/// What two sections are to the post between them.
fn beside(problem: &Problem, before: &Placed, after: &Placed) -> [Beside; 2] {
    let side = |placed: &Placed, side: fn(&Gate) -> Beside| match placed.what {
        What::Full | What::Cut => Beside::Panel,
        What::Gate(gate) => problem.gates.get(gate).map_or(Beside::Hinge, side),
    };
    [
        side(before, |gate| gate.far_side),
        side(after, |gate| gate.near_side),
    ]
}

/// Where the end post's inner face is, from the end reference.
fn end_face(problem: &Problem, path: &Path) -> i64 {
    path.sections.last().map_or(0, |last| {
        problem.end_face(last.far, matches!(last.what, What::Gate(_)))
    })
}

fn holds(spans: &[Span], doubled: i64) -> bool {
    (spans.iter()).any(|span| 2 * span.from <= doubled && doubled <= 2 * span.to)
}

fn objective(problem: &Problem, path: &Path, posts: &[PostPlace]) -> Objective {
    let count = |n: usize| i64::try_from(n).unwrap_or(i64::MAX);
    let sections = &path.sections;
    let cuts: Vec<_> = (sections.iter().filter(|s| s.what == What::Cut)).collect();
    let changes = (sections.iter().zip(sections.iter().skip(1)))
        .filter(|(a, b)| {
            matches!(
                (a.what, b.what),
                (What::Full, What::Cut) | (What::Cut, What::Full)
            )
        })
        .count();
    let end_face = end_face(problem, path);
    Objective {
        hand_dug: count(posts.iter().filter(|post| post.hand_dug).count()),
        cuts: if problem.bays { 0 } else { count(cuts.len()) },
        sections: count(sections.len()),
        changes: count(changes),
        end_steps: (path.start - problem.start.wish).abs() + (end_face - problem.end.wish).abs(),
        cut_squares: (cuts.iter())
            .map(|cut| (problem.full - (cut.far - cut.near)).pow(2))
            .sum(),
        gate_miss: (sections.iter())
            .filter_map(|s| match s.what {
                What::Gate(gate) => problem.gates.get(gate)?.miss(s.near),
                What::Full | What::Cut => None,
            })
            .sum(),
        cut_reach: cuts
            .iter()
            .map(|cut| problem.reach(cut.near, cut.far))
            .sum(),
    }
}
