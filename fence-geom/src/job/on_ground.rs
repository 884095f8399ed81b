//! The ground of a run: its readings made a profile, and what it does to posts.

use super::{GroundPlan, GroundStation, JobError};
use crate::ground_layout::GroundLayoutError;
use crate::length::{Length, Shift};
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

pub(super) fn error(run: &str, source: GroundLayoutError) -> JobError {
    let run = run.to_owned();
    match source {
        GroundLayoutError::Layout(source) => JobError::Layout { run, source },
        source => JobError::Ground { run, source },
    }
}
