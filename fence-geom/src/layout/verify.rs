//! A second look at a layout, by the rules as they are stated: it shares the
//! snapped request with the solver, and nothing else.

use super::answer::{Arrangement, PostPlace, SectionKind, SectionPlace};
use super::error::LayoutError;
use super::problem::{Problem, Span};
use super::request::{LayoutRequest, WhichEnd};
use super::wish::Objective;
use crate::product::PostKind;

/// Why an arrangement is no answer to a request.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Unsound {
    /// The request itself.
    #[error(transparent)]
    Request(#[from] LayoutError),
    /// A hard rule that it breaks, or a post or section that is not where the
    /// others put it.
    #[error("{rule}, at {at_in} in from the start reference")]
    Rule {
        /// What is wrong.
        rule: &'static str,
        /// Where, in inches.
        at_in: f64,
    },
}

/// Checks an arrangement against every hard rule of a request, and returns how
/// well it serves each wish, summed up anew.
///
/// # Errors
///
/// [`Unsound`] with the first rule that it breaks.
///
/// # Examples
///
/// ```
/// use fence_geom::{
///     LayoutEnd, LayoutRequest, LayoutStatus, Length, Shift, lay_out, verify_layout,
/// };
///
/// let inches = Length::from_inches;
/// let end = LayoutEnd::fixed(Shift::ZERO, inches(2.0)?, true);
/// let request = LayoutRequest::plain(
///     inches(338.0)?, inches(96.0)?, inches(12.0)?, inches(2.0)?, end, end,
/// );
/// let LayoutStatus::Optimal(mut best) = lay_out(&request)?.status else {
///     return Err("a run without marks can be laid out".into());
/// };
/// assert_eq!(verify_layout(&request, &best)?, best.objective);
/// best.sections[0].clear -= 1;
/// assert!(verify_layout(&request, &best).is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn verify_layout(
    request: &LayoutRequest,
    arrangement: &Arrangement,
) -> Result<Objective, Unsound> {
    let check = Check {
        problem: &Problem::new(request)?,
        request,
        sections: &arrangement.sections,
        posts: &arrangement.posts,
    };
    check.widths()?;
    check.gates()?;
    check.posts()?;
    check.neighbors()?;
    check.objective()
}

struct Check<'a> {
    problem: &'a Problem,
    request: &'a LayoutRequest,
    sections: &'a [SectionPlace],
    posts: &'a [PostPlace],
}

const fn is_gate(section: &SectionPlace) -> bool {
    matches!(section.kind, SectionKind::Gate(_))
}

fn holds(spans: &[Span], doubled: i64) -> bool {
    (spans.iter()).any(|span| 2 * span.from <= doubled && doubled <= 2 * span.to)
}

impl Check<'_> {
    fn broken(&self, rule: &'static str, at: i64) -> Unsound {
        Unsound::Rule {
            rule,
            at_in: self.request.lattice.inches(at),
        }
    }

    fn ends(&self) -> Result<[&SectionPlace; 2], Unsound> {
        match self.sections {
            [] => Err(self.broken("there is no section", 0)),
            [only] => Ok([only, only]),
            [first, .., last] => Ok([first, last]),
        }
    }

    /// Each section as wide as its kind may be, cuts where they may stand.
    fn widths(&self) -> Result<(), Unsound> {
        let problem = self.problem;
        for section in self.sections {
            let cut = problem.full - section.clear;
            let short = section.clear < problem.cut_min;
            let fits = match section.kind {
                SectionKind::Full => !problem.bays && cut == 0,
                SectionKind::Bay => problem.bays && cut >= 0 && !short,
                SectionKind::Cut => {
                    !problem.bays && cut > 0 && !short && cut % problem.cut_step == 0
                }
                SectionKind::Gate(i) => {
                    (problem.gates.get(i)).is_some_and(|gate| gate.opening == section.clear)
                }
            };
            if !fits {
                return Err(self.broken("a section has a width its kind can't have", section.from));
            }
            let shows = |show: &Span| section.from.max(show.from) < section.to().min(show.to);
            if section.kind == SectionKind::Cut && problem.show.iter().any(shows) {
                return Err(self.broken("a cut overlaps a part that shows", section.from));
            }
        }
        Ok(())
    }

    /// Each gate once, its middle in its window.
    fn gates(&self) -> Result<(), Unsound> {
        for (i, gate) in self.problem.gates.iter().enumerate() {
            let mut found = (self.sections.iter()).filter(|s| s.kind == SectionKind::Gate(i));
            let (Some(section), None) = (found.next(), found.next()) else {
                return Err(self.broken("a gate does not stand exactly once", gate.wish));
            };
            let middle = section.from + section.to();
            if middle < 2 * gate.from || middle > 2 * gate.to {
                return Err(self.broken("a gate stands outside its window", section.from));
            }
        }
        Ok(())
    }

    /// Faces, posts and the sections between them add up to the run, and no hole
    /// is where none may be.
    fn posts(&self) -> Result<(), Unsound> {
        let [first, last] = self.ends()?;
        let (start, end) = (self.problem.start, self.problem.end);
        let faces = [self.face(first, true), self.face(last, false)];
        for (face, range, at) in [(faces[0], start, first.from), (faces[1], end, last.to())] {
            if face < range.min || face > range.max {
                return Err(self.broken("an end face is outside its range", at));
            }
        }
        let mut expected = vec![(
            2 * faces[0] - start.post,
            start.post,
            PostKind::End,
            start.hole,
        )];
        for (before, after) in self.sections.iter().zip(self.sections.iter().skip(1)) {
            expected.push(self.post_between(before, after)?);
        }
        let face = self.problem.length - faces[1];
        expected.push((2 * face + end.post, end.post, PostKind::End, end.hole));
        let told = (self.posts.iter())
            .map(|post| (post.center_half_steps, post.width, post.kind, post.hole));
        if !told.eq(expected) {
            return Err(self.broken("the posts are not where the sections put them", first.from));
        }
        for post in self.posts.iter().filter(|post| post.hole) {
            let center = post.center_half_steps;
            if holds(&self.problem.no_dig, center) {
                return Err(self.broken("a hole is in a no-dig stretch", center.div_euclid(2)));
            }
            if holds(&self.problem.hand_dig, center) != post.hand_dug {
                return Err(self.broken("a hole is told to be dug the wrong way", center / 2));
            }
        }
        Ok(())
    }

    /// The inner face of an end post, from its reference.
    fn face(&self, section: &SectionPlace, start: bool) -> i64 {
        let lap = |post| {
            if self.problem.on_face && !is_gate(section) {
                post
            } else {
                0
            }
        };
        if start {
            section.from + lap(self.problem.start.post)
        } else {
            self.problem.length - section.to() + lap(self.problem.end.post)
        }
    }

    /// True for a gate that does not latch at this side of it.
    fn hinged(&self, section: &SectionPlace, side: WhichEnd) -> bool {
        let SectionKind::Gate(gate) = section.kind else {
            return false;
        };
        let latch = self.request.gates.get(gate).and_then(|gate| gate.latch);
        self.request.latch_post.is_none() || latch != Some(side)
    }

    /// The post between two sections: doubled center, width, kind, hole.
    fn post_between(
        &self,
        before: &SectionPlace,
        after: &SectionPlace,
    ) -> Result<(i64, i64, PostKind, bool), Unsound> {
        let (from, to) = (before.to(), after.from);
        let by_gate = is_gate(before) || is_gate(after);
        let hinged = self.hinged(before, WhichEnd::End) || self.hinged(after, WhichEnd::Start);
        let (width, kind) = if hinged {
            (self.problem.gate_post, PostKind::Gate)
        } else if by_gate {
            (self.problem.latch_post, PostKind::Latch)
        } else {
            (self.problem.line_post, PostKind::Line)
        };
        let both = is_gate(before) && is_gate(after);
        let lapped = self.problem.on_face && !both;
        if to - from != if lapped { 0 } else { width } {
            return Err(self.broken("two sections are not a post apart", from));
        }
        let center = match (lapped, is_gate(before), is_gate(after)) {
            (true, true, _) => 2 * from + width,
            (true, _, true) => 2 * to - width,
            _ => from + to,
        };
        Ok((center, width, kind, true))
    }

    fn neighbors(&self) -> Result<(), Unsound> {
        let cut_by_gate =
            |a: &SectionPlace, b: &SectionPlace| a.kind == SectionKind::Cut && is_gate(b);
        for (a, b) in self.sections.iter().zip(self.sections.iter().skip(1)) {
            if self.problem.guard && (cut_by_gate(a, b) || cut_by_gate(b, a)) {
                return Err(self.broken("a cut stands next to a gate", b.from));
            }
        }
        Ok(())
    }

    fn objective(&self) -> Result<Objective, Unsound> {
        let [first, last] = self.ends()?;
        let problem = self.problem;
        let count = |n: usize| i64::try_from(n).unwrap_or(i64::MAX);
        let is_cut = |s: &&SectionPlace| s.kind == SectionKind::Cut;
        let pairs = self.sections.iter().zip(self.sections.iter().skip(1));
        let ends = [
            (self.face(first, true), problem.start.wish),
            (self.face(last, false), problem.end.wish),
        ];
        let reach = |section: &SectionPlace| {
            let reference = match problem.hide {
                None => return 0,
                Some(WhichEnd::Start) => 0,
                Some(WhichEnd::End) => problem.length,
            };
            let [near, far] = [section.from, section.to()].map(|face| (face - reference).abs());
            near.min(far)
        };
        Ok(Objective {
            hand_dug: count(self.posts.iter().filter(|post| post.hand_dug).count()),
            cuts: count(self.sections.iter().filter(is_cut).count()),
            sections: count(self.sections.len()),
            changes: count(
                pairs
                    .filter(|(a, b)| a.kind != b.kind && !is_gate(a) && !is_gate(b))
                    .count(),
            ),
            end_steps: ends.iter().map(|(face, wish)| (face - wish).abs()).sum(),
            cut_squares: (self.sections.iter().filter(|section| !is_gate(section)))
                .map(|section| (problem.full - section.clear).pow(2))
                .sum(),
            gate_miss: (self.sections.iter())
                .filter_map(|section| match section.kind {
                    SectionKind::Gate(i) => {
                        let wish = problem.gates.get(i)?.wish;
                        Some((section.from + section.to() - 2 * wish).abs())
                    }
                    _ => None,
                })
                .sum(),
            cut_reach: self.sections.iter().filter(is_cut).map(reach).sum(),
        })
    }
}
