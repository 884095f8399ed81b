//! Where along a run a hole would come too near to something.

use std::f64::consts::TAU;

use crate::angle::Angle;
use crate::length::{Length, Shift};
use crate::point::{Displacement, Point};

/// A closed stretch of a run, measured from its start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Where it begins.
    pub from: Shift,
    /// Where it ends, not before `from`.
    pub to: Shift,
}

impl Stretch {
    /// The same stretch measured by a tape on which all is longer by a factor.
    pub(crate) fn scaled(self, factor: f64) -> Self {
        Self {
            from: Shift::saturating(self.from.feet() * factor),
            to: Shift::saturating(self.to.feet() * factor),
        }
    }
}

/// Returns the stretches of the line from `start` toward `end` that lie within
/// `reach` of `path`, in order, none of them touching the next.
///
/// The line goes on beyond both ends: a hole just past an end counts as well.
/// A path of one point is a pin or a post; of two and more, a marked utility,
/// or a wall. A slanting crossing gives a longer stretch than a square one.
///
/// # Examples
///
/// ```
/// use fence_geom::{Length, Point, stretches_within};
///
/// // A cable that crosses the run at a slant of 45 degrees, 20 ft along.
/// let cable = [Point::new(-5.0, 15.0)?, Point::new(5.0, 25.0)?];
/// let near = stretches_within(
///     Point::new(0.0, 0.0)?,
///     Point::new(0.0, 60.0)?,
///     &cable,
///     Length::from_feet(2.0)?,
/// );
/// assert_eq!(near.len(), 1);
/// let half = 2.0 * 2f64.sqrt(); // longer than 2 ft by the slant
/// assert!((near[0].from.feet() - (20.0 - half)).abs() < 1e-9);
/// assert!((near[0].to.feet() - (20.0 + half)).abs() < 1e-9);
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[must_use]
pub fn stretches_within(start: Point, end: Point, path: &[Point], reach: Length) -> Vec<Stretch> {
    let Some(along) = (end - start).unit() else {
        return Vec::new();
    };
    let frame = Frame { start, along };
    let found: Vec<(f64, f64)> = match path {
        [single] => frame
            .within_circle(*single, reach.feet())
            .into_iter()
            .collect(),
        _ => path
            .windows(2)
            .filter_map(|pair| match pair {
                [a, b] => frame.within_capsule(*a, *b, reach.feet()),
                _ => None,
            })
            .collect(),
    };
    let stretches = found.into_iter().map(|(from, to)| Stretch {
        from: Shift::saturating(from),
        to: Shift::saturating(to),
    });
    joined(stretches.collect())
}

/// Returns the stretches of the arc from `start` about `center`, turning by `sweep`,
/// positive to the right, that lie within `reach` of `path`, as
/// [`stretches_within`]: measured along the arc, which goes on beyond both ends
/// until half of what it leaves of the circle.
///
/// # Examples
///
/// ```
/// use fence_geom::{Angle, Length, Point, stretches_within_on_arc};
///
/// // A quarter circle of 60 ft from the north to the east, and a pin on it halfway.
/// let half = 60.0 * 0.5_f64.sqrt();
/// let near = stretches_within_on_arc(
///     Point::new(0.0, 0.0)?,
///     Point::new(60.0, 0.0)?,
///     Angle::RIGHT,
///     &[Point::new(half, half)?],
///     Length::from_feet(2.0)?,
/// );
/// let angle = 2.0 * (1.0_f64 / 60.0).asin(); // the chord to where it begins is 2 ft
/// let middle = 60.0 * std::f64::consts::FRAC_PI_4;
/// assert!((near[0].from.feet() - (middle - 60.0 * angle)).abs() < 1e-9);
/// assert!((near[0].to.feet() - (middle + 60.0 * angle)).abs() < 1e-9);
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[must_use]
pub fn stretches_within_on_arc(
    center: Point,
    start: Point,
    sweep: Angle,
    path: &[Point],
    reach: Length,
) -> Vec<Stretch> {
    let first = start - center;
    let (radius, hand) = (first.length().feet(), sweep.radians().signum());
    if radius <= 0.0 {
        return Vec::new();
    }
    let open = (TAU - sweep.radians().abs()).max(0.0);
    let begin = -open / 2.0;
    let circle = Circle { center, radius };
    let mut turns: Vec<f64> = (circle.meetings(path, reach.feet()).into_iter())
        .map(|azimuth| (azimuth - first.azimuth().radians()) * hand)
        .map(|turned| begin + (turned - begin).rem_euclid(TAU))
        .collect();
    turns.extend([begin, begin + TAU]);
    turns.sort_by(f64::total_cmp);
    let at = |turned: f64| {
        let (sin, cos) = (turned * hand).sin_cos();
        center + first * cos + first.turned_right() * sin
    };
    let within = turns.iter().zip(turns.iter().skip(1)).filter(|(a, b)| {
        let middle = at(f64::midpoint(**a, **b));
        distance_to_path(middle, path).is_some_and(|distance| distance <= reach)
    });
    let stretches = within.map(|(a, b)| Stretch {
        from: Shift::saturating(a * radius),
        to: Shift::saturating(b * radius),
    });
    joined(stretches.collect())
}

/// A circle on which holes stand.
struct Circle {
    center: Point,
    radius: f64,
}

impl Circle {
    /// The azimuths, in radians, at which the distance from the path may become
    /// `reach`: where the circle meets the round ends and the edges of the strip
    /// about each piece.
    fn meetings(&self, path: &[Point], reach: f64) -> Vec<f64> {
        let mut found = Vec::new();
        for &end in path {
            let way = end - self.center;
            let apart = way.length().feet();
            let cos = (self.radius * self.radius + apart * apart - reach * reach)
                / (2.0 * self.radius * apart);
            found.extend(both_sides(way.azimuth().radians(), cos));
        }
        for pair in path.windows(2) {
            let [a, b] = pair else { continue };
            let Some(across) = (*b - *a).unit().map(Displacement::turned_right) else {
                continue;
            };
            let off = across.dot(self.center - *a);
            for edge in [reach, -reach] {
                let cos = (edge - off) / self.radius;
                found.extend(both_sides(across.azimuth().radians(), cos));
            }
        }
        found
    }
}

/// The two azimuths whose angle from the given one has this cosine.
fn both_sides(azimuth: f64, cos: f64) -> impl Iterator<Item = f64> {
    let angle = (-1.0..=1.0).contains(&cos).then(|| cos.acos());
    angle
        .into_iter()
        .flat_map(move |angle| [azimuth - angle, azimuth + angle])
}

/// Returns the given stretches in order, those that touch made one.
#[must_use]
pub fn joined(mut stretches: Vec<Stretch>) -> Vec<Stretch> {
    stretches.sort_by(|a, b| a.from.feet().total_cmp(&b.from.feet()));
    let mut joined: Vec<Stretch> = Vec::with_capacity(stretches.len());
    for stretch in stretches {
        match joined.last_mut() {
            Some(last) if stretch.from <= last.to => {
                if stretch.to > last.to {
                    last.to = stretch.to;
                }
            }
            _ => joined.push(stretch),
        }
    }
    joined
}

/// Returns the distance from `point` to the nearest place of `path`; `None` for
/// a path without points.
#[must_use]
pub fn distance_to_path(point: Point, path: &[Point]) -> Option<Length> {
    if let [single] = path {
        return Some(point.distance(*single));
    }
    path.windows(2)
        .filter_map(|pair| match pair {
            [a, b] => Some(distance_to_segment(point, *a, *b)),
            _ => None,
        })
        .min_by(|a, b| a.feet().total_cmp(&b.feet()))
}

/// The distance from `p` to the segment from `a` to `b`.
fn distance_to_segment(p: Point, a: Point, b: Point) -> Length {
    let way = b - a;
    let squared = way.dot(way);
    let share = if squared > 0.0 {
        ((p - a).dot(way) / squared).clamp(0.0, 1.0)
    } else {
        0.0
    };
    p.distance(a + way * share)
}

/// A straight line with its stations.
struct Frame {
    start: Point,
    /// One foot along the line.
    along: Displacement,
}

impl Frame {
    /// Station of a point's foot on the line, and its distance to the right.
    fn station(&self, p: Point) -> (f64, f64) {
        let way = p - self.start;
        (self.along.dot(way), self.along.cross(way))
    }

    fn within_circle(&self, center: Point, radius: f64) -> Option<(f64, f64)> {
        let (s, d) = self.station(center);
        let left = radius * radius - d * d;
        (left >= 0.0).then(|| (s - left.sqrt(), s + left.sqrt()))
    }

    /// The part of the line within `radius` of a segment. All places within a
    /// distance of a segment form a convex shape, so a line meets it in one
    /// stretch: from the least to the greatest of what its parts give.
    fn within_capsule(&self, a: Point, b: Point, radius: f64) -> Option<(f64, f64)> {
        [
            self.within_circle(a, radius),
            self.within_circle(b, radius),
            self.within_band(a, b, radius),
        ]
        .into_iter()
        .flatten()
        .reduce(|x, y| (x.0.min(y.0), x.1.max(y.1)))
    }

    /// The part of the line within the rectangle of half width `radius` around
    /// the segment.
    fn within_band(&self, a: Point, b: Point, radius: f64) -> Option<(f64, f64)> {
        let axis = (b - a).unit()?;
        let length = (b - a).length().feet();
        let from_a = self.start - a;
        // Position along and across the segment, as it changes with station.
        let along = clip(axis.dot(from_a), axis.dot(self.along), 0.0, length)?;
        let across = clip(axis.cross(from_a), axis.cross(self.along), -radius, radius)?;
        let (from, to) = (along.0.max(across.0), along.1.min(across.1));
        (from <= to && from.is_finite() && to.is_finite()).then_some((from, to))
    }
}

/// The stations s for which `low <= at + rate * s <= high`.
fn clip(at: f64, rate: f64, low: f64, high: f64) -> Option<(f64, f64)> {
    if rate == 0.0 {
        return (low <= at && at <= high).then_some((f64::NEG_INFINITY, f64::INFINITY));
    }
    let (a, b) = ((low - at) / rate, (high - at) / rate);
    Some((a.min(b), a.max(b)))
}

#[cfg(test)]
mod tests;
