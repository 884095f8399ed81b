//! The ground of a run: its readings made a profile, and what it does to posts.

use super::report::RunReport;
use super::{GroundPlan, GroundStation, Job, JobError};
use crate::ground_layout::GroundLayoutError;
use crate::length::{Length, Shift};
use crate::point::Point;
use crate::profile::{GroundReading, Profile};

/// The profile of a run of this length.
pub(super) fn profile(plan: &GroundPlan, length: Length) -> Result<Profile, JobError> {
    let ends = (plan.readings.iter()).any(|(at, _)| *at == GroundStation::End);
    if plan.taped_along_ground && ends {
        return Err(JobError::EndAlongGround {
            run: plan.run.clone(),
        });
    }
    let reading = |&(at, height): &(GroundStation, Shift)| GroundReading {
        station: match at {
            GroundStation::Start => Shift::ZERO,
            GroundStation::At(station) => station,
            GroundStation::End => length.forward(),
        },
        height,
    };
    let readings = plan.readings.iter().map(reading).collect();
    let profile = if plan.taped_along_ground {
        Profile::from_taped_along_ground(readings)
    } else {
        Profile::new(readings)
    };
    profile.map_err(|source| error(&plan.run, source.into()))
}

/// Gives each post that runs share the height of the tallest: a run reckons with its
/// own sections only. A run whose ground was not read is level.
pub(super) fn share_posts(job: &Job, runs: &mut [RunReport]) {
    let limits = &job.product.slope;
    let level = job.product.height + limits.post_above;
    let out = |run: &RunReport| {
        let ground = run.ground.as_ref().map(|ground| &ground.posts);
        let [first, last] = [
            ground.and_then(|posts| posts.first()),
            ground.and_then(|posts| posts.last()),
        ];
        let [first, last] = [first, last].map(|post| post.map_or(level, |post| post.stands_out));
        [(run.start, first), (run.end, last)]
    };
    let all: Vec<(Point, Length)> = runs.iter().flat_map(out).collect();
    let tallest = |flag: Point| {
        let here = all
            .iter()
            .filter(|(at, _)| *at == flag)
            .map(|(_, out)| *out);
        here.reduce(|a, b| if b > a { b } else { a })
    };
    for run in runs {
        let shared = [tallest(run.start), tallest(run.end)];
        let Some(ground) = &mut run.ground else {
            continue;
        };
        let last = ground.posts.len().saturating_sub(1);
        for (i, out) in [0, last].into_iter().zip(shared) {
            if let (Some(post), Some(out)) = (ground.posts.get_mut(i), out) {
                *post = post.standing(out, limits);
            }
        }
    }
}

pub(super) fn error(run: &str, source: GroundLayoutError) -> JobError {
    let run = run.to_owned();
    match source {
        GroundLayoutError::Layout(source) => JobError::Layout { run, source },
        source => JobError::Ground { run, source },
    }
}
