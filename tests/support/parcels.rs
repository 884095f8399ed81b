//! Random parcels of every class that a deed or a GIS layer holds: invented, the
//! same on every run.

use fence_geom::{Angle, Corner, Point, Ring, Side, Turn};

use crate::Draws;

/// A class of parcels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ParcelClass {
    /// Four corners, near a rectangle.
    Quad,
    /// Five to eight corners, mostly convex.
    Polygon,
    /// An L, a U, a flag lot or two lobes joined by a neck.
    Concave,
    /// A lot of which one or two sides are curves digitized as short chords.
    Curve,
    /// A star with sharp spikes and notches.
    Needle,
    /// Corners on straight lines, and nearly so.
    Collinear,
}

impl ParcelClass {
    /// All classes.
    pub const ALL: [Self; 6] = [
        Self::Quad,
        Self::Polygon,
        Self::Concave,
        Self::Curve,
        Self::Needle,
        Self::Collinear,
    ];
}

/// A place in the plane as drawn: east, north.
type Place = (f64, f64);

/// A simple ring of a class, at a random place and turned at random.
pub fn parcel(draws: &mut Draws, class: ParcelClass) -> Vec<Point> {
    loop {
        let drawn = match class {
            ParcelClass::Quad => quad(draws),
            ParcelClass::Polygon => polygon(draws),
            ParcelClass::Concave => concave(draws),
            ParcelClass::Curve => curve(draws),
            ParcelClass::Needle => needle(draws),
            ParcelClass::Collinear => collinear(draws),
        };
        let mut points = placed(draws, &drawn);
        if draws.even() < 0.5 {
            points.reverse();
        }
        if named(&points).is_some() {
            return points;
        }
    }
}

/// The parcels of a county: 60 % quads, 25 % polygons, 10 % concave, 5 % with
/// digitized curves.
pub fn county_parcel(draws: &mut Draws) -> Vec<Point> {
    let share = draws.even();
    let class = if share < 0.60 {
        ParcelClass::Quad
    } else if share < 0.85 {
        ParcelClass::Polygon
    } else if share < 0.95 {
        ParcelClass::Concave
    } else {
        ParcelClass::Curve
    };
    parcel(draws, class)
}

/// A distance from 2 in to 25 ft, evenly by its logarithm.
pub fn setback_feet(draws: &mut Draws) -> f64 {
    150f64.powf(draws.even()) / 6.0
}

/// The ring of straight sides with these corners; `None` where they make none.
#[must_use]
pub fn named(points: &[Point]) -> Option<Ring> {
    let corners = points.iter().enumerate();
    Ring::of_lines(corners.map(|(k, &at)| (format!("P{k}"), at))).ok()
}

/// A lot with circular sides: on a cul-de-sac, on a curved street, or with a
/// rounded corner.
///
/// # Panics
///
/// If the figures make no ring, which they do.
pub fn arc_parcel(draws: &mut Draws) -> Ring {
    let (width, depth) = (even(draws, 60.0, 140.0), even(draws, 90.0, 200.0));
    let arc = |degrees: f64, turn| Side::Arc {
        delta: Angle::from_degrees(degrees).expect("an angle"),
        turn,
    };
    let (drawn, sides): (Vec<Place>, Vec<Side>) = match draws.even() {
        // The street bulges into the lot.
        kind if kind < 0.4 => (
            vec![(0.0, 0.0), (0.0, depth), (width, depth), (width, 0.0)],
            vec![
                Side::Line,
                Side::Line,
                Side::Line,
                arc(even(draws, 20.0, 100.0), Turn::Right),
            ],
        ),
        // The lot lies outside of a long bend, between concentric lines.
        kind if kind < 0.7 => {
            let delta = even(draws, 10.0, 40.0);
            let radius = even(draws, 80.0, 300.0);
            let half = (delta / 2.0).to_radians();
            let at = |r: f64, a: f64| (r * a.sin(), r * a.cos());
            (
                vec![
                    at(radius, -half),
                    at(radius + depth, -half),
                    at(radius + depth, half),
                    at(radius, half),
                ],
                vec![
                    Side::Line,
                    arc(delta, Turn::Right),
                    Side::Line,
                    arc(delta, Turn::Left),
                ],
            )
        }
        // A corner lot with its return, tangent to both streets.
        _ => {
            let r = even(draws, 15.0, 40.0);
            (
                vec![
                    (0.0, 0.0),
                    (0.0, depth - r),
                    (r, depth),
                    (width, depth),
                    (width, 0.0),
                ],
                vec![
                    Side::Line,
                    arc(90.0, Turn::Right),
                    Side::Line,
                    Side::Line,
                    Side::Line,
                ],
            )
        }
    };
    let corners = placed(draws, &drawn).into_iter().enumerate();
    let corners = corners.map(|(k, at)| Corner {
        name: format!("P{k}"),
        at,
    });
    Ring::new(corners.collect(), sides).expect("a ring")
}

fn even(draws: &mut Draws, from: f64, to: f64) -> f64 {
    from + (to - from) * draws.even()
}

fn count(draws: &mut Draws, from: u32, to: u32) -> u32 {
    let mut count = from;
    let share = draws.even() * f64::from(to - from);
    while f64::from(count - from) + 1.0 <= share {
        count += 1;
    }
    count
}

fn placed(draws: &mut Draws, drawn: &[Place]) -> Vec<Point> {
    let (sin, cos) = (draws.even() * std::f64::consts::TAU).sin_cos();
    let (east, north) = (even(draws, 0.0, 10_000.0), even(draws, 0.0, 10_000.0));
    let at = |&(x, y): &Place| Point::new(north + y * cos - x * sin, east + x * cos + y * sin);
    drawn.iter().map(|p| at(p).expect("in range")).collect()
}

fn quad(draws: &mut Draws) -> Vec<Place> {
    let (width, depth) = (even(draws, 40.0, 160.0), even(draws, 80.0, 260.0));
    let mut off = || even(draws, -8.0, 8.0);
    vec![
        (off(), off()),
        (off(), depth + off()),
        (width + off(), depth + off()),
        (width + off(), off()),
    ]
}

fn polygon(draws: &mut Draws) -> Vec<Place> {
    let corners = count(draws, 5, 9);
    let radius = even(draws, 50.0, 140.0);
    (0..corners)
        .map(|k| {
            let step = f64::from(k) + even(draws, -0.25, 0.25);
            let (sin, cos) = (-step / f64::from(corners) * std::f64::consts::TAU).sin_cos();
            let out = radius * even(draws, 0.85, 1.15);
            (out * cos, out * sin)
        })
        .collect()
}

fn concave(draws: &mut Draws) -> Vec<Place> {
    let (w, d) = (even(draws, 80.0, 180.0), even(draws, 100.0, 220.0));
    let (a, b) = (even(draws, 0.25, 0.75) * w, even(draws, 0.25, 0.75) * d);
    let neck = even(draws, 20.0, 60.0).min(w * 0.6);
    match count(draws, 0, 4) {
        // An L.
        0 => vec![(0.0, 0.0), (0.0, d), (a, d), (a, b), (w, b), (w, 0.0)],
        // A U.
        1 => {
            let (left, right) = (0.4 * a, 0.5 * (a + w));
            vec![
                (0.0, 0.0),
                (0.0, d),
                (left, d),
                (left, b),
                (right, b),
                (right, d),
                (w, d),
                (w, 0.0),
            ]
        }
        // A flag lot: a pole to the street.
        2 => vec![
            (0.0, 0.0),
            (0.0, d),
            (w, d),
            (w, 0.0),
            (neck, 0.0),
            (neck, -b),
            (0.0, -b),
        ],
        // Two lobes and a neck.
        _ => {
            let (low, high) = (0.5 * (w - neck), 0.5 * (w + neck));
            vec![
                (0.0, 0.0),
                (0.0, d),
                (low, d),
                (low, d + 0.3 * b),
                (0.0, d + 0.3 * b),
                (0.0, d + b + 40.0),
                (w, d + b + 40.0),
                (w, d + 0.3 * b),
                (high, d + 0.3 * b),
                (high, d),
                (w, d),
                (w, 0.0),
            ]
        }
    }
}

fn curve(draws: &mut Draws) -> Vec<Place> {
    let (w, d) = (even(draws, 60.0, 160.0), even(draws, 100.0, 240.0));
    let chords = count(draws, 20, 70);
    let bow = even(draws, -0.25, 0.35) * w;
    let waves = f64::from(count(draws, 1, 3));
    let mut drawn = vec![(0.0, 0.0), (0.0, d)];
    drawn.extend((1..chords).map(|k| {
        let share = f64::from(k) / f64::from(chords);
        let rise = bow * (share * waves * std::f64::consts::PI).sin();
        (w * share, d + rise + even(draws, -0.02, 0.02))
    }));
    drawn.extend([(w, d), (w, 0.0)]);
    drawn
}

fn needle(draws: &mut Draws) -> Vec<Place> {
    let spokes = 2 * count(draws, 3, 9);
    (0..spokes)
        .map(|k| {
            let step = f64::from(k) + even(draws, -0.4, 0.4);
            let (sin, cos) = (step / f64::from(spokes) * std::f64::consts::TAU).sin_cos();
            let out = if k % 2 == 0 {
                even(draws, 60.0, 160.0)
            } else {
                even(draws, 3.0, 60.0)
            };
            (out * cos, out * sin)
        })
        .collect()
}

/// Any other parcel with corners put on its sides, exactly or off by a hair.
fn collinear(draws: &mut Draws) -> Vec<Place> {
    let drawn = match count(draws, 0, 3) {
        0 => quad(draws),
        1 => polygon(draws),
        _ => concave(draws),
    };
    let next = drawn.iter().cycle().skip(1);
    let mut with_more = Vec::new();
    for (&(x, y), &(to_x, to_y)) in drawn.iter().zip(next) {
        with_more.push((x, y));
        let more = count(draws, 0, 4);
        for k in 1..=more {
            let share = f64::from(k) / f64::from(more + 1);
            let hair = [0.0, 1e-9, 1e-6, 1e-3][count(draws, 0, 4) as usize];
            let off = even(draws, -hair, hair);
            with_more.push((x + (to_x - x) * share + off, y + (to_y - y) * share - off));
        }
    }
    with_more
}
