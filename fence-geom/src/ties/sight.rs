//! Whether a straight way crosses a building or a wall.

use crate::point::Point;

/// How near to a wall still counts as along it, in feet: house corners are known
/// to a hundredth of a foot at best, and a tape held at one must not be taken to
/// run through the house.
const ALONG_WALL: f64 = 0.01;

/// Whether the way from `from` to `to` crosses the inside of an outline, or, for
/// a wall of two points, the wall itself.
///
/// The way is cut where it meets the outline, and the middle of each piece is
/// either inside or not.
pub(super) fn crosses(from: Point, to: Point, outline: &[Point]) -> bool {
    let way = to - from;
    let length = way.length().feet();
    let mut cuts = vec![0.0, 1.0];
    for (a, b) in edges(outline) {
        cuts.extend(cut(from, to, a, b));
    }
    if let &[a, b] = outline {
        // A wall has no inside: the way must not pass through it, but may end
        // at it or pass its end.
        let inside = |t: &f64| *t * length > ALONG_WALL && (1.0 - *t) * length > ALONG_WALL;
        return cut(from, to, a, b).filter(inside).is_some_and(|t| {
            let at = from + way * t;
            at.distance(a).feet() > ALONG_WALL && at.distance(b).feet() > ALONG_WALL
        });
    }
    cuts.sort_by(f64::total_cmp);
    cuts.iter().zip(cuts.iter().skip(1)).any(|(start, end)| {
        let middle = from + way * f64::midpoint(*start, *end);
        (end - start) * length > ALONG_WALL
            && contains(outline, middle)
            && edges(outline).all(|(a, b)| distance_to(middle, a, b) > ALONG_WALL)
    })
}

/// The edges of an outline, the closing one too.
fn edges(outline: &[Point]) -> impl Iterator<Item = (Point, Point)> {
    let next = outline.iter().cycle().skip(1);
    outline.iter().copied().zip(next.copied())
}

/// The share of the way at which it meets an edge.
fn cut(from: Point, to: Point, a: Point, b: Point) -> Option<f64> {
    let (way, edge) = (to - from, b - a);
    let area = way.cross(edge);
    let t = (a - from).cross(edge) / area;
    let s = (a - from).cross(way) / area;
    // Neither holds for a parallel edge, whose shares are not numbers.
    ((0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&s)).then_some(t)
}

/// Whether a point is inside an outline: a ray to the east crosses it an odd
/// number of times.
fn contains(outline: &[Point], point: Point) -> bool {
    let crossings = edges(outline).filter(|&(a, b)| {
        let between = (a.north() > point.north()) != (b.north() > point.north());
        let share = (point.north() - a.north()) / (b.north() - a.north());
        between && a.east() + share * (b.east() - a.east()) > point.east()
    });
    crossings.count() % 2 == 1
}

fn distance_to(point: Point, a: Point, b: Point) -> f64 {
    let edge = b - a;
    let square = edge.dot(edge);
    if square <= 0.0 {
        return point.distance(a).feet();
    }
    let share = ((point - a).dot(edge) / square).clamp(0.0, 1.0);
    point.distance(a + edge * share).feet()
}
