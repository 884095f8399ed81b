//! A run over its ground, as the answers of `fence posts` and `fence sheet` have
//! it.

use fence_geom::{GroundReport, PostOnGround, Profile, SectionOnGround};
use schemars::JsonSchema;
use serde::Serialize;

/// A run over its ground. Stations are level, from the run's start; heights are
/// above the datum of the readings.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct GroundAnswer {
    /// The ground as it was read, at level stations.
    pub(crate) readings: Vec<GroundPoint>,
    /// The steepest grade, rise over level distance.
    pub(crate) steepest_grade: f64,
    /// What a tape along the ground reads at the end of the run.
    pub(crate) along_ground_ft: f64,
    /// At how many posts the fence steps.
    pub(crate) steps: usize,
    /// How far full sections and gates miss their width, at the worst.
    pub(crate) misfit_in: f64,
    /// The sections in order.
    pub(crate) sections: Vec<GroundSection>,
    /// The posts in order.
    pub(crate) posts: Vec<GroundPost>,
}

/// The ground at a station.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct GroundPoint {
    /// The level station.
    pub(crate) station_in: f64,
    /// The height of the ground.
    pub(crate) height_in: f64,
}

/// A section over the ground.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct GroundSection {
    /// True where its rails tilt; false where it stands level.
    pub(crate) racked: bool,
    /// How much higher its bottom ends than it begins.
    pub(crate) rise_in: f64,
    /// How long its rails are, face to face of the posts.
    pub(crate) rail_in: f64,
    /// The height of its bottom at its first face.
    pub(crate) bottom_from_in: f64,
    /// The height of its bottom at its last face.
    pub(crate) bottom_to_in: f64,
    /// The gap under it at its first face.
    pub(crate) gap_from_in: f64,
    /// The gap under it at its last face.
    pub(crate) gap_to_in: f64,
    /// The smallest gap under it.
    pub(crate) least_gap_in: f64,
    /// The gap under it on the average.
    pub(crate) average_gap_in: f64,
    /// The largest gap under it.
    pub(crate) largest_gap_in: f64,
    /// The station of the largest gap.
    pub(crate) largest_at_in: f64,
    /// How far the largest gap is over the limit; no line of this section has
    /// less.
    pub(crate) over_in: f64,
}

/// A post on the ground.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct GroundPost {
    /// The height of the ground at its center.
    pub(crate) ground_in: f64,
    /// What a tape along the ground from the run's start reads at it.
    pub(crate) along_ground_in: f64,
    /// How much higher the section after it begins than the one before it ends.
    pub(crate) step_in: f64,
    /// How far it stands out of the ground.
    pub(crate) stands_out_in: f64,
    /// What stands out and what is in the ground.
    pub(crate) needs_in: f64,
    /// The shortest length it is sold in that is enough; null where none is, or
    /// none is known.
    pub(crate) stock_in: Option<f64>,
}

impl GroundAnswer {
    pub(crate) fn of(ground: &GroundReport) -> Self {
        let end = ground.profile.readings().last().map(|last| last.station);
        let along = end.map(|end| ground.profile.along_ground(end));
        Self {
            readings: readings(&ground.profile),
            steepest_grade: ground.profile.steepest(),
            along_ground_ft: along.map_or(0.0, |along| along.feet()),
            steps: ground.step_count(),
            misfit_in: ground.misfit.inches(),
            sections: ground.sections.iter().map(section).collect(),
            posts: ground.posts.iter().map(post).collect(),
        }
    }
}

fn readings(profile: &Profile) -> Vec<GroundPoint> {
    (profile.readings().iter())
        .map(|reading| GroundPoint {
            station_in: reading.station.inches(),
            height_in: reading.height.inches(),
        })
        .collect()
}

fn section(section: &SectionOnGround) -> GroundSection {
    GroundSection {
        racked: section.is_racked(),
        rise_in: section.rise().inches(),
        rail_in: section.rail().inches(),
        bottom_from_in: section.bottom_from.inches(),
        bottom_to_in: section.bottom_to.inches(),
        gap_from_in: section.gap_from.inches(),
        gap_to_in: section.gap_to.inches(),
        least_gap_in: section.least_gap.inches(),
        average_gap_in: section.average_gap.inches(),
        largest_gap_in: section.largest_gap.inches(),
        largest_at_in: section.largest_at.inches(),
        over_in: section.over.inches(),
    }
}

fn post(post: &PostOnGround) -> GroundPost {
    GroundPost {
        ground_in: post.ground.inches(),
        along_ground_in: post.along_ground.inches(),
        step_in: post.step.inches(),
        stands_out_in: post.stands_out.inches(),
        needs_in: post.needs.inches(),
        stock_in: post.stock.map(|stock| stock.inches()),
    }
}
