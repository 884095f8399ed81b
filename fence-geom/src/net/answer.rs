//! What an adjusted net says.

use crate::estimate::{Covariance, Ellipse, Sigma, ellipse_factor_95};
use crate::length::Length;
use crate::point::Point;

use super::solve::Doubt;

/// All answers that go with the readings: more than one where the readings can't
/// tell a mirror image.
#[derive(Clone, Debug, PartialEq)]
pub struct NetAnswers {
    /// The answers.
    pub answers: Vec<NetAnswer>,
    /// The points whose place differs between them.
    pub ambiguous: Vec<String>,
}

/// One set of places that goes with the readings.
#[derive(Clone, Debug, PartialEq)]
pub struct NetAnswer {
    /// Every point of the net: known ones first, then in the order of the
    /// readings.
    pub points: Vec<NetPlace>,
    /// Every reading, then both coordinates of each known point with a standard
    /// error, then the scale of each tape.
    pub readings: Vec<CheckedReading>,
    /// What the places are relative to.
    pub frame: Frame,
    /// How many readings there are beyond what fixes the places.
    pub redundancy: usize,
    /// The weighted sum of the squared residuals: v'Pv.
    pub misfit: f64,
    /// What honest readings stay below in 95 of 100 nets: the chi-square quantile
    /// for the redundancy. `None` where nothing is redundant.
    pub misfit_limit: Option<f64>,
    /// Which of `readings` may be wrong: none, the one, or those that can't be
    /// told from each other.
    pub suspects: Vec<usize>,
    /// The condition of the scaled normal equations.
    pub condition: f64,
    /// How many steps the adjustment took.
    pub steps: u32,
    /// The points that the readings hold badly.
    pub weak: Vec<WeakPlace>,
    /// The doubt of all places together.
    pub(super) doubt: Doubt,
}

/// An adjusted point.
#[derive(Clone, Debug, PartialEq)]
pub struct NetPlace {
    /// Its name.
    pub name: String,
    /// Where it is.
    pub at: Point,
    /// The standard error of its northing, in feet.
    pub sigma_north: Sigma,
    /// The standard error of its easting, in feet.
    pub sigma_east: Sigma,
    /// Its standard ellipse (a priori).
    pub ellipse: Ellipse,
}

/// What the places of a net are relative to.
#[derive(Clone, Debug, PartialEq)]
pub enum Frame {
    /// The known points and directions.
    Known,
    /// One point is held, and the other one lies due north of it.
    Base {
        /// The point that is held.
        origin: String,
        /// The point that fixes north.
        north: String,
    },
    /// One point is held; directions were read.
    Origin {
        /// The point.
        origin: String,
    },
}

/// What a line of the residuals is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ReadingOf {
    /// A reading of the net, by its index.
    Reading(usize),
    /// The northing of a known point, by its index.
    KnownNorth(usize),
    /// The easting of a known point, by its index.
    KnownEast(usize),
    /// The scale of a tape, by its index.
    TapeScale(usize),
}

/// A reading against the adjusted net. Distances are in feet, angles in radians,
/// scales are ratios.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CheckedReading {
    /// What it is of.
    pub of: ReadingOf,
    /// Adjusted less read.
    pub residual: f64,
    /// The standard error it came with.
    pub sigma: f64,
    /// The share of an error in it that shows in its residual: 0 is checked by
    /// nothing, 1 by everything.
    pub redundancy: f64,
    /// The residual over its own standard error; `None` where nothing checks the
    /// reading.
    pub standardized: Option<f64>,
    /// The error that explains the residual if this reading alone is wrong: more
    /// than zero if it reads too much.
    pub likely_error: Option<f64>,
    /// The least error that the test finds in 80 of 100 cases.
    pub detectable: Option<f64>,
}

/// A point that the readings hold badly.
#[derive(Clone, Debug, PartialEq)]
pub struct WeakPlace {
    /// Its name.
    pub name: String,
    /// How far off it may be, 95 %.
    pub off_95: Length,
    /// The direction of that, 0° up to 180°.
    pub along: crate::bearing::Azimuth,
    /// The point of the net that lies best in that direction: a tape from there
    /// helps most.
    pub tape_from: Option<String>,
}

impl NetAnswer {
    /// Returns the point with the given name.
    #[must_use]
    pub fn point(&self, name: &str) -> Option<&NetPlace> {
        self.points.iter().find(|point| point.name == name)
    }

    /// Returns whether the residuals are as small as the standard errors let
    /// expect: the global chi-square test, which honest readings fail in 5 of
    /// 100 nets.
    #[must_use]
    pub fn fits(&self) -> bool {
        self.misfit_limit.is_none_or(|limit| self.misfit <= limit)
    }

    /// Returns the factor on all standard errors that the residuals speak for (a
    /// posteriori); `None` where nothing is redundant.
    #[must_use]
    pub fn sigma_factor(&self) -> Option<f64> {
        let redundancy = u32::try_from(self.redundancy).ok()?;
        (redundancy > 0).then(|| (self.misfit / f64::from(redundancy)).sqrt())
    }

    /// Returns the factor from a standard ellipse to the one that holds 95 % if
    /// the residuals, and not the given standard errors, say how good the
    /// readings are; `None` where nothing is redundant.
    #[must_use]
    pub fn ellipse_factor_95_by_residuals(&self) -> Option<f64> {
        let redundancy = u32::try_from(self.redundancy).ok()?;
        Some(self.sigma_factor()? * ellipse_factor_95(Some(redundancy)))
    }

    /// Returns the joint doubt of the northings and eastings of the named points
    /// by turns, for [`propagate`](crate::propagate); `None` if one is no point
    /// of the net.
    #[must_use]
    pub fn covariance(&self, names: &[&str]) -> Option<Covariance> {
        let index = |name: &&str| self.points.iter().position(|point| point.name == **name);
        let points: Option<Vec<usize>> = names.iter().map(index).collect();
        self.doubt.joint(&points?)
    }
}
