//! How far posts stand out of sloping ground, and how long they must be.

use super::SlopedRun;
use crate::length::{Length, Shift};
use crate::product::SlopeLimits;
use crate::profile::Profile;

/// A post to stand beside the sections of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PostToStand {
    /// The level station of its center.
    pub station: Shift,
    /// How deep it goes into the ground.
    pub depth: Length,
}

/// A post on sloping ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PostOnGround {
    /// The height of the ground at its center, above the datum of the profile.
    pub ground: Shift,
    /// What a tape laid along the ground from the start of the run reads at it.
    pub along_ground: Shift,
    /// How much higher the section after it begins than the one before it ends,
    /// both carried on to its center; zero is no step.
    pub step: Shift,
    /// How far it must stand out of the ground.
    pub stands_out: Length,
    /// What stands out and what is in the ground.
    pub needs: Length,
    /// The shortest length it is sold in that is enough; `None` where no lengths
    /// are known, or none is enough.
    pub stock: Option<Length>,
}

impl PostOnGround {
    /// Returns the post where it must stand out this far, if that is more: beside
    /// another run at its end, for one.
    #[must_use]
    pub fn standing(self, out: Length, limits: &SlopeLimits) -> Self {
        if out <= self.stands_out {
            return self;
        }
        let needs = out + self.needs.minus(self.stands_out).magnitude();
        Self {
            stands_out: out,
            needs,
            stock: stock(&limits.post_lengths, needs),
            ..self
        }
    }
}

/// Returns how far each post stands out of the ground and how long it must be.
///
/// `height` is that of the fence over level ground, where the least gap is under
/// it: the top of a section is `height` less the least gap above its bottom. A
/// post reaches the higher of the sections beside it, and what the product says
/// above that. There is one post more than sections; posts too many have no
/// section beside them and are left out.
#[must_use]
pub fn posts_on_ground(
    profile: &Profile,
    run: &SlopedRun,
    posts: &[PostToStand],
    limits: &SlopeLimits,
    height: Length,
) -> Vec<PostOnGround> {
    let panel = height.minus(limits.least_gap) + limits.post_above.forward();
    let before = std::iter::once(None).chain(run.sections.iter().map(Some));
    let after = run.sections.iter().map(Some).chain(std::iter::once(None));
    // At the ends there is nothing to step from or to.
    let steps = std::iter::once(Shift::ZERO).chain(run.steps.iter().copied());
    let steps = steps.chain(std::iter::once(Shift::ZERO));
    (posts.iter().zip(before.zip(after)).zip(steps))
        .map(|((post, (before, after)), step)| {
            let ground = profile.height(post.station);
            let ends = before.map(|section| section.bottom_to);
            let begins = after.map(|section| section.bottom_from);
            let bottoms = ends.into_iter().chain(begins).map(Shift::feet);
            let top = bottoms.fold(ground.feet(), f64::max) + panel.feet();
            let stands_out = Length::saturating(top - ground.feet());
            let needs = stands_out + post.depth;
            PostOnGround {
                ground,
                along_ground: profile.along_ground(post.station),
                step,
                stands_out,
                needs,
                stock: stock(&limits.post_lengths, needs),
            }
        })
        .collect()
}

/// The shortest length that is enough.
fn stock(lengths: &[Length], needs: Length) -> Option<Length> {
    let enough = lengths.iter().filter(|length| **length >= needs).copied();
    enough.reduce(|a, b| if b < a { b } else { a })
}
