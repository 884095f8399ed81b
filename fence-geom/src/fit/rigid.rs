//! The rotation and shift that bring one set of points nearest to another, and
//! how well each point is checked by the others.

use crate::angle::Angle;
use crate::estimate::Sigma;
use crate::point::{Displacement, Point};

/// A deed corner and the pin for it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pair {
    pub(super) deed: Point,
    pub(super) pin: Point,
    /// One over the variance of a coordinate, or 1 where all weigh alike.
    pub(super) weight: f64,
    /// The standard error of a coordinate, pin and deed together.
    pub(super) sigma: Sigma,
}

/// A rotation about the middle of the pairs, then a shift.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rigid {
    sin: f64,
    cos: f64,
    deed_middle: Point,
    pin_middle: Point,
    /// The scale that would fit best.
    pub(super) free_scale: f64,
}

impl Rigid {
    /// The best rotation and shift; `None` where any rotation is as good.
    pub(super) fn of(pairs: &[Pair]) -> Option<Self> {
        let deed_middle = middle(pairs, |pair| pair.deed)?;
        let pin_middle = middle(pairs, |pair| pair.pin)?;
        let (mut along, mut across, mut size) = (0.0, 0.0, 0.0);
        for pair in pairs {
            let (deed, pin) = (pair.deed - deed_middle, pair.pin - pin_middle);
            along += pair.weight * deed.dot(pin);
            across += pair.weight * deed.cross(pin);
            size += pair.weight * deed.dot(deed);
        }
        let length = along.hypot(across);
        // Below the rounding of the sums a direction is noise.
        if length <= size * 1e-12 || !length.is_finite() {
            return None;
        }
        Some(Self {
            sin: across / length,
            cos: along / length,
            deed_middle,
            pin_middle,
            free_scale: length / size,
        })
    }

    /// The rotation, positive clockwise.
    pub(super) fn rotation(&self) -> Angle {
        Angle::of_radians(self.sin.atan2(self.cos))
    }

    /// Where a deed corner lies on the ground.
    pub(super) fn place(&self, deed: Point) -> Point {
        let way = deed - self.deed_middle;
        self.pin_middle + way * self.cos + way.turned_right() * self.sin
    }
}

/// For each pin, by how much the weighted sum of squares would shrink if it were
/// left out: a chi-square of as many numbers as the others check of it. `None`
/// where nothing checks it.
///
/// A residual has two parts, in line with the middle of the pins and across.
/// What is left to each of the three numbers of the fit is taken off its
/// variance: the shift from both, the rotation from the part across.
pub(super) fn tests(pairs: &[Pair], residuals: &[Displacement]) -> Vec<Option<f64>> {
    let Some(center) = middle(pairs, |pair| pair.pin) else {
        return vec![None; pairs.len()];
    };
    let total: f64 = pairs.iter().map(|pair| pair.weight).sum();
    let arm = |pair: &Pair| pair.pin - center;
    let turning: f64 = pairs.iter().map(|p| p.weight * arm(p).dot(arm(p))).sum();
    let test = |(pair, residual): (&Pair, &Displacement)| {
        let reach = arm(pair);
        let unit = reach.unit().unwrap_or(Displacement::of_feet(1.0, 0.0));
        let free = 1.0 / pair.weight - 1.0 / total;
        let parts = [
            (residual.dot(unit), free),
            (
                residual.dot(unit.turned_right()),
                free - reach.dot(reach) / turning,
            ),
        ];
        // A part that nothing checks has no variance left; what rounding leaves
        // of it would blow up.
        let checked = parts
            .into_iter()
            .filter(|(_, variance)| *variance > 1e-9 / pair.weight)
            .map(|(part, variance)| part * part / variance);
        checked.reduce(|a, b| a + b)
    };
    pairs.iter().zip(residuals).map(test).collect()
}

/// The weighted middle.
fn middle(pairs: &[Pair], place: impl Fn(&Pair) -> Point) -> Option<Point> {
    let origin = place(pairs.first()?);
    let total: f64 = pairs.iter().map(|pair| pair.weight).sum();
    let sum = pairs.iter().fold(Displacement::default(), |sum, pair| {
        sum + (place(pair) - origin) * pair.weight
    });
    Some(origin + sum * (1.0 / total))
}
