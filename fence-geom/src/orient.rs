//! On which side of a line a point lies, decided exactly, and how far from a
//! segment it is.

use crate::point::Point;

/// Twice the area of a triangle, with the exact sign: positive where `c` lies to
/// the left of the way from `a` to `b`.
///
/// Source: J. R. Shewchuk, "Adaptive Precision Floating-Point Arithmetic and
/// Fast Robust Geometric Predicates", Discrete & Computational Geometry 18
/// (1997), 305-363, as in the `robust` crate.
pub(crate) fn orientation(a: Point, b: Point, c: Point) -> f64 {
    let coord = |p: Point| robust::Coord {
        x: p.east(),
        y: p.north(),
    };
    robust::orient2d(coord(a), coord(b), coord(c))
}

/// Whether two numbers have opposite signs, neither being zero.
pub(crate) fn opposite(a: f64, b: f64) -> bool {
    (a > 0.0 && b < 0.0) || (a < 0.0 && b > 0.0)
}

/// The distance in feet from a point to the nearest place of a segment.
pub(crate) fn segment_distance(point: Point, from: Point, to: Point) -> f64 {
    let way = to - from;
    let square = way.dot(way);
    let share = if square > 0.0 {
        ((point - from).dot(way) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    point.distance(from + way * share).feet()
}
