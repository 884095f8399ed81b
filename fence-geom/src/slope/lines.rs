//! The permitted lines of one section's bottom, in whole numbers.

use super::{MOST_SPAN_FEET, MOST_WORK, SectionOnGround, SlopeError, SlopeSection};
use crate::length::{Length, Shift};
use crate::product::SlopeLimits;
use crate::profile::Profile;

/// Steps of height in a foot.
const HEIGHTS_PER_FOOT: f64 = 192.0;

/// Steps of station in a foot.
const STATIONS_PER_FOOT: f64 = 768.0;

/// The ground under a section.
pub(super) struct Ground {
    /// Stations from the joint before the section, and heights above the datum:
    /// face, readings in between, face.
    points: Vec<(i64, i64)>,
    /// From joint to joint.
    width: i64,
}

/// The line of a bottom: its heights at both joints.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Line {
    pub(super) from: i64,
    pub(super) to: i64,
}

/// Lines that all rise by as much.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sheaf {
    /// From joint to joint.
    pub(super) rise: i64,
    /// The lowest height at the first joint.
    pub(super) lowest: i64,
    /// The highest height at the first joint.
    pub(super) highest: i64,
}

/// All permitted lines of a section.
pub(super) struct Lines {
    ground: Ground,
    /// How far the largest gap must be over the limit, at the least.
    over: i64,
    /// The less tilted first.
    pub(super) sheaves: Vec<Sheaf>,
}

impl Ground {
    pub(super) fn new(
        profile: &Profile,
        section: &SlopeSection,
        number: usize,
        datum: Shift,
    ) -> Result<Self, SlopeError> {
        let (from, to) = (section.from.feet(), section.to.feet());
        let (joint, far_joint) = (section.joint_from.feet(), section.joint_to.feet());
        if far_joint - joint > MOST_SPAN_FEET {
            let feet = far_joint - joint;
            return Err(SlopeError::TooLarge { number, feet });
        }
        let clear = snapped((to - from) * STATIONS_PER_FOOT);
        if clear < 1 || joint >= far_joint {
            return Err(SlopeError::NoWidth { number, from, to });
        }
        let width = snapped((far_joint - joint) * STATIONS_PER_FOOT);
        let readings = profile.between(section.from, section.to);
        let heights = readings.iter().map(|reading| reading.height.feet());
        let (least, most) = heights.fold((f64::MAX, f64::MIN), |(least, most), height| {
            (least.min(height), most.max(height))
        });
        // The datum is the lowest reading of the run: it bounds every height.
        let feet = (most - least).max(most - datum.feet());
        if feet > MOST_SPAN_FEET {
            return Err(SlopeError::TooLarge { number, feet });
        }
        let points = readings.iter().map(|reading| {
            (
                snapped((reading.station.feet() - joint) * STATIONS_PER_FOOT),
                snapped((reading.height - datum).feet() * HEIGHTS_PER_FOOT),
            )
        });
        Ok(Self {
            points: points.collect(),
            width,
        })
    }

    fn lowest(&self) -> i64 {
        self.points.iter().map(|point| point.1).min().unwrap_or(0)
    }

    fn highest(&self) -> i64 {
        self.points.iter().map(|point| point.1).max().unwrap_or(0)
    }

    /// The stations of both faces.
    fn faces(&self) -> (i64, i64) {
        let station = |point: Option<&(i64, i64)>| point.map_or(0, |point| point.0);
        (station(self.points.first()), station(self.points.last()))
    }

    /// Twice the area of the ground over the datum, from face to face.
    fn doubled_area(&self) -> i64 {
        (self.points.iter().zip(self.points.iter().skip(1)))
            .map(|(before, after)| (after.0 - before.0) * (before.1 + after.1))
            .sum()
    }

    /// How high a line that rises so far and begins at 0 is over a point, times
    /// the width of the section.
    const fn over_point(&self, rise: i64, point: (i64, i64)) -> i64 {
        rise * point.0 - point.1 * self.width
    }

    /// The lines of one rise with gaps from `least` to `most`; none where the
    /// lowest is above the highest.
    fn sheaf(&self, rise: i64, least: i64, most: i64) -> Sheaf {
        let (mut lowest, mut highest) = (i64::MIN, i64::MAX);
        for &point in &self.points {
            let over = self.over_point(rise, point);
            lowest = lowest.max(-(over - least * self.width).div_euclid(self.width));
            highest = highest.min((most * self.width - over).div_euclid(self.width));
        }
        Sheaf {
            rise,
            lowest,
            highest,
        }
    }

    /// The gap of a line over a point, times the width of the section.
    const fn gap(&self, line: Line, point: (i64, i64)) -> i64 {
        line.from * self.width + self.over_point(line.to - line.from, point)
    }

    /// The largest gap of the lowest line of one rise, in whole steps upward.
    fn largest_gap(&self, rise: i64, least: i64) -> i64 {
        let from = self.sheaf(rise, least, 0).lowest;
        let line = Line {
            from,
            to: from + rise,
        };
        let gaps = self.points.iter().map(|&point| self.gap(line, point));
        -(-gaps.max().unwrap_or(0)).div_euclid(self.width)
    }
}

impl Lines {
    /// `grade` is the steepest that a line may be; `None` for no limit. `work`
    /// counts what has been compared so far.
    pub(super) fn new(
        ground: Ground,
        limits: &SlopeLimits,
        grade: Option<f64>,
        work: &mut i64,
    ) -> Result<Self, SlopeError> {
        let [least, limit] =
            [limits.least_gap, limits.most_gap].map(|gap| snapped(gap.feet() * HEIGHTS_PER_FOOT));
        // A level line over the highest ground has no larger gap than this, so no
        // permitted line has. The ground and the gap limit how far a line rises
        // from face to face; from joint to joint it is more, in proportion.
        let cap = limit.max(ground.highest() - ground.lowest() + least);
        let (from, to) = ground.faces();
        let tilt = ground.highest() - ground.lowest() + cap;
        let tilt = (tilt * ground.width).div_euclid((to - from).max(1)) + 1;
        let steepest = grade.map_or(i64::MAX, |grade| {
            let feet = grade * int(ground.width) / STATIONS_PER_FOOT;
            // Half a hundredth of a step is rounding, not tilt.
            snapped((feet * HEIGHTS_PER_FOOT + 0.005).floor())
        });
        let rises = -tilt.min(steepest)..=tilt.min(steepest);
        let count = (rises.end() - rises.start()).max(0) + 1;
        let each = i64::try_from(ground.points.len()).unwrap_or(i64::MAX);
        let spread = limit - least + 1;
        *work = work.saturating_add(count.saturating_mul(each.saturating_add(spread)));
        if *work > MOST_WORK {
            return Err(SlopeError::TooMuchWork);
        }
        let over = (rises.clone())
            .map(|rise| ground.largest_gap(rise, least))
            .min()
            .map_or(0, |gap| (gap - limit).max(0));
        let mut sheaves: Vec<Sheaf> = rises
            .map(|rise| ground.sheaf(rise, least, limit + over))
            .filter(|sheaf| sheaf.lowest <= sheaf.highest)
            .collect();
        sheaves.sort_by_key(|sheaf| (sheaf.rise.abs(), sheaf.rise));
        Ok(Self {
            ground,
            over,
            sheaves,
        })
    }

    /// Twice the area of a line over the datum, from joint to joint: less by as
    /// much as the area of the gap is.
    pub(super) fn doubled_area(&self, line: Line) -> i128 {
        i128::from(line.from + line.to) * i128::from(self.ground.width)
    }

    pub(super) fn report(
        &self,
        line: Line,
        section: &SlopeSection,
        datum: Shift,
    ) -> SectionOnGround {
        let ground = &self.ground;
        let width = int(ground.width);
        let length = |steps: f64| Length::saturating(steps / HEIGHTS_PER_FOOT);
        let gaps: Vec<(f64, i64)> = (ground.points.iter())
            .map(|&point| (int(ground.gap(line, point)) / width, point.0))
            .collect();
        let gap = |found: Option<&(f64, i64)>| length(found.map_or(0.0, |gap| gap.0));
        let by_gap = |a: &&(f64, i64), b: &&(f64, i64)| a.0.total_cmp(&b.0);
        // Of equal gaps, the first along the run.
        let largest = gaps.iter().rev().max_by(by_gap);
        let at = largest.map_or(0.0, |gap| int(gap.1)) / STATIONS_PER_FOOT;
        let (first, last) = ground.faces();
        let bottom = |station: i64| {
            let over = int(line.to - line.from) * int(station) / width;
            let steps = int(line.from) + over;
            datum + Shift::saturating(steps / HEIGHTS_PER_FOOT)
        };
        let middle = bottom(first).feet().midpoint(bottom(last).feet()) - datum.feet();
        let under = int(ground.doubled_area()) / (2.0 * int(last - first));
        SectionOnGround {
            bottom_from: bottom(first),
            bottom_to: bottom(last),
            width: Length::saturating((section.to - section.from).feet()),
            least_gap: gap(gaps.iter().min_by(by_gap)),
            average_gap: length(middle * HEIGHTS_PER_FOOT - under),
            largest_gap: gap(largest),
            largest_at: section.joint_from + Shift::saturating(at),
            gap_from: gap(gaps.first()),
            gap_to: gap(gaps.last()),
            over: length(int(self.over)),
        }
    }
}

/// A difference in height.
pub(super) fn height(steps: i64) -> Shift {
    Shift::saturating(int(steps) / HEIGHTS_PER_FOOT)
}

/// The nearest whole number, half away from zero.
#[expect(
    clippy::cast_possible_truncation,
    reason = "all that is snapped is within some thousand feet; more saturates"
)]
fn snapped(value: f64) -> i64 {
    value.round() as i64
}

/// A whole number that a float holds exactly.
#[expect(
    clippy::cast_precision_loss,
    reason = "spans are limited, so that all whole numbers here are below 2^53"
)]
const fn int(value: i64) -> f64 {
    value as f64
}
