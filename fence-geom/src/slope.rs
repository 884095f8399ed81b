//! How the sections of a run follow sloping ground: which rack and by how much,
//! where the fence steps, what gap is left under each section, and how long the
//! posts must be.
//!
//! The bottom of a section is a straight line from post to post. It may tilt as
//! far as the product racks; a gate hangs level. It stays at least the least gap
//! above the ground everywhere between the faces of its posts. Where the lines of
//! two neighbors, carried on to the middle of the post between them, meet it at
//! different heights, the fence steps there.
//!
//! # What is best, lexicographic
//!
//! 1. the smallest sum over the sections of how far the largest gap is over the
//!    limit, in whole steps of [`HEIGHT_STEP`] each;
//! 2. the fewest steps;
//! 3. the smallest area between the lines and the ground, in elevation, from
//!    middle to middle of the posts;
//! 4. the smallest sum of the squares of how far each section rises or falls;
//! 5. what still ties: the lower end of the run; then, from there to its start,
//!    the section that tilts less, then the falling one.
//!
//! Heights are whole steps of [`HEIGHT_STEP`] and stations whole 64ths of an
//! inch, snapped once to the nearest; from there on all is whole numbers. The
//! first wish splits into one for each section, because a step costs it nothing:
//! it fixes for every section the set of its permitted lines. Over those a dynamic
//! program along the run, whose state is the height at which a section ends, is
//! exact: a section goes on at that height or steps away from the best of all.
//! Nothing is guessed, so the answer is the optimum.
//!
//! Raking and stepping as the trade knows them: "How well do you know your fencing
//! terms" (a fence contractor's glossary, read): racked rails follow the ground
//! and pickets stay plumb; stepped panels are level, each at a height of its own,
//! with a wedge under each.

mod chain;
mod lines;
mod posts;

use crate::length::{Length, Shift};
use crate::product::{Rack, SlopeLimits};
use crate::profile::Profile;

pub use posts::{PostOnGround, PostToStand, posts_on_ground};

/// The step that heights snap to: 1/16 in.
pub const HEIGHT_STEP: Length = Length::of_inches(1.0 / 16.0);

/// A section between its posts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlopeSection {
    /// Its first face, level from the start of the run.
    pub from: Shift,
    /// Its last face.
    pub to: Shift,
    /// The middle of the post before it; its first face where there is none.
    pub joint_from: Shift,
    /// The middle of the post after it; its last face where there is none.
    pub joint_to: Shift,
    /// Whether it must hang level, as a gate does.
    pub level: bool,
}

/// The bottom of a section over the ground. Heights are above the datum of the
/// profile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionOnGround {
    /// Height of the bottom at the first face.
    pub bottom_from: Shift,
    /// Height of the bottom at the last face.
    pub bottom_to: Shift,
    /// Its level width, face to face.
    pub width: Length,
    /// The smallest gap under it.
    pub least_gap: Length,
    /// The gap on the average along it.
    pub average_gap: Length,
    /// The largest gap under it.
    pub largest_gap: Length,
    /// Where the largest gap is.
    pub largest_at: Shift,
    /// The gap at its first face.
    pub gap_from: Length,
    /// The gap at its last face.
    pub gap_to: Length,
    /// How far the largest gap is over the limit; no other line of this section
    /// has less.
    pub over: Length,
}

/// The sections of a run over the ground.
#[derive(Clone, Debug, PartialEq)]
pub struct SlopedRun {
    /// The sections in order.
    pub sections: Vec<SectionOnGround>,
    /// At the post between each section and the next: how much higher the next
    /// begins, negative where it begins lower. Zero is no step.
    pub steps: Vec<Shift>,
}

/// Why sections can't be set over the ground.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SlopeError {
    /// Gap limits the wrong way around.
    #[error(
        "the least gap under a section is {least:.3} in and the greatest {most:.3} in: the least must not be above the greatest"
    )]
    Gaps {
        /// The least gap, in inches.
        least: f64,
        /// The greatest gap, in inches.
        most: f64,
    },
    /// A section without width.
    #[error(
        "section {number} goes from {from:.4} ft to {to:.4} ft: its end must be past its start, and so must the middles of its posts"
    )]
    NoWidth {
        /// The section, counted from 1.
        number: usize,
        /// Where it begins, in feet.
        from: f64,
        /// Where it ends, in feet.
        to: f64,
    },
    /// A section or a difference in height that no fence has.
    #[error(
        "section {number} spans {feet:.0} ft, and {most:.0} ft is the most that is computed: check the unit of the figures",
        most = MOST_SPAN_FEET
    )]
    TooLarge {
        /// The section, counted from 1.
        number: usize,
        /// Its width or the difference in height under it, in feet.
        feet: f64,
    },
    /// More work than is allowed.
    #[error(
        "the ground under the run is too steep, too finely read or the greatest gap too great to compare all lines of all sections: give a smaller greatest gap, or fewer readings"
    )]
    TooMuchWork,
}

/// No section is wider, and no ground under one rises more, in feet.
const MOST_SPAN_FEET: f64 = 1_000.0;

/// The most comparisons; some seconds.
const MOST_WORK: i64 = 400_000_000;

/// Sets the sections of a run over the ground, best in the order that the module
/// states: the smallest excess over the gap limit, then the fewest steps, then
/// the smallest gaps.
///
/// `full` is the clear width of a full section, which [`Rack::UpTo`] speaks of.
/// The order of the sections is that of the run.
///
/// # Errors
///
/// A [`SlopeError`] for limits or sections that can't be used. Ground that is too
/// steep for the product is no error: the gaps say so.
///
/// # Examples
///
/// Two panels of 8 ft on a fall of 1 ft in 8 ft: a product that racks so far
/// follows the ground, one that does not steps down by the fall of a panel.
///
/// ```
/// use fence_geom::{
///     GroundReading, Length, Profile, Rack, Shift, SlopeLimits, SlopeSection, follow_ground,
/// };
///
/// let feet = Shift::from_feet;
/// let ground = Profile::new(vec![
///     GroundReading { station: feet(0.0)?, height: feet(0.0)? },
///     GroundReading { station: feet(16.0)?, height: feet(-2.0)? },
/// ])?;
/// // Posts without width, to keep the figures plain.
/// let posts = [0.0, 8.0, 16.0].map(|at| feet(at).map(|at| (at, Length::ZERO)));
/// let [first, second, third] = posts;
/// let panels = [
///     SlopeSection::between(first?, second.clone()?, false),
///     SlopeSection::between(second?, third?, false),
/// ];
/// let full = Length::from_feet(8.0)?;
///
/// let level = SlopeLimits::default();
/// let stepped = follow_ground(&ground, &panels, &level, full)?;
/// assert!((stepped.steps[0].inches() + 12.0).abs() < 1e-9);
/// // The least gap of 1 in, and the fall of the panel.
/// assert!((stepped.sections[0].largest_gap.inches() - 13.0).abs() < 1e-9);
///
/// let racks = SlopeLimits { rack: Rack::UpTo(Length::from_inches(12.0)?), ..level };
/// let racked = follow_ground(&ground, &panels, &racks, full)?;
/// assert_eq!(racked.step_count(), 0);
/// assert!((racked.sections[0].rise().inches() + 12.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn follow_ground(
    profile: &Profile,
    sections: &[SlopeSection],
    limits: &SlopeLimits,
    full: Length,
) -> Result<SlopedRun, SlopeError> {
    check_limits(limits)?;
    let grade = rack_grade(limits.rack, full);
    let datum = profile.lowest();
    let mut work = 0_i64;
    let mut all = Vec::with_capacity(sections.len());
    for (i, section) in sections.iter().enumerate() {
        let grade = if section.level { Some(0.0) } else { grade };
        let ground = lines::Ground::new(profile, section, i + 1, datum)?;
        all.push(lines::Lines::new(ground, limits, grade, &mut work)?);
    }
    let chosen = chain::best(&all);
    let found = all.iter().zip(&chosen).zip(sections);
    let sections = found
        .map(|((lines, line), section)| lines.report(*line, section, datum))
        .collect();
    let steps = (chosen.iter().zip(chosen.iter().skip(1)))
        .map(|(before, after)| lines::height(after.from - before.to))
        .collect();
    Ok(SlopedRun { sections, steps })
}

/// Returns the steepest grade that a product racks to, as rise over level
/// distance; `None` where it has no limit.
#[must_use]
pub fn rack_grade(rack: Rack, full: Length) -> Option<f64> {
    match rack {
        Rack::Level => Some(0.0),
        Rack::UpTo(rise) if full > Length::ZERO => Some(rise.feet() / full.feet()),
        Rack::UpTo(_) => Some(0.0),
        Rack::Freely => None,
    }
}

fn check_limits(limits: &SlopeLimits) -> Result<(), SlopeError> {
    if limits.least_gap > limits.most_gap {
        return Err(SlopeError::Gaps {
            least: limits.least_gap.inches(),
            most: limits.most_gap.inches(),
        });
    }
    if limits.most_gap.feet() > MOST_SPAN_FEET {
        return Err(SlopeError::TooMuchWork);
    }
    Ok(())
}

impl SlopeSection {
    /// The section between two posts, each with its center and its width along the
    /// run; a post of no width is none.
    #[must_use]
    pub fn between(before: (Shift, Length), after: (Shift, Length), level: bool) -> Self {
        let half = |width: Length| Shift::saturating(width.feet() / 2.0);
        Self {
            from: before.0 + half(before.1),
            to: after.0 - half(after.1),
            joint_from: before.0,
            joint_to: after.0,
            level,
        }
    }
}

impl SectionOnGround {
    /// Returns how much higher its bottom ends than it begins; zero where it is
    /// level.
    #[must_use]
    pub fn rise(&self) -> Shift {
        self.bottom_to - self.bottom_from
    }

    /// Returns true where it is tilted.
    #[must_use]
    pub fn is_racked(&self) -> bool {
        self.bottom_from != self.bottom_to
    }

    /// Returns how long its rails are, face to face of its posts: what a panel is
    /// cut to.
    #[must_use]
    pub fn rail(&self) -> Length {
        Length::saturating(self.width.feet().hypot(self.rise().feet()))
    }
}

impl SlopedRun {
    /// Returns at how many posts the fence steps.
    #[must_use]
    pub fn step_count(&self) -> usize {
        let steps = self.steps.iter();
        steps.filter(|step| **step != Shift::ZERO).count()
    }
}

#[cfg(test)]
mod tests;
