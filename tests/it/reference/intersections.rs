//! Where lines and tapes meet.

use fence_geom::{
    Azimuth, Curve, Length, LineMeetsTape, Point, TapesMeet, Turn, line_meets_tape, lines_meet,
    tapes_meet,
};
use fence_tests::assert_printed;

fn point(north: f64, east: f64) -> Point {
    Point::new(north, east).expect("a point")
}

fn feet(x: f64) -> Length {
    Length::from_feet(x).expect("a length")
}

fn azimuth(d: f64, m: f64, s: f64) -> Azimuth {
    Azimuth::from_degrees(d + m / 60.0 + s / 3600.0).expect("an azimuth")
}

/// Source: J. Mahun, *Open Access Surveying Library*, web edition, self-study
/// solution "COGO Intersect and Transformations", Problem (1): direction-direction.
#[test]
fn mahun_intersect_problem_1() {
    let meeting = lines_meet(
        point(1000.0, 2000.0),
        azimuth(253.0, 26.0, 15.0),
        point(480.951, 1811.082),
        azimuth(314.0, 33.0, 26.0),
    )
    .expect("they meet");
    assert_printed(meeting.at.north(), "836.445", 0.5);
    assert_printed(meeting.at.east(), "1450.051", 0.5);
    // From the rounded coordinates of the second point it is 573.7547.
    assert_printed(meeting.along_first.feet(), "573.754", 1.1);
}

/// Source: J. Squire, University of Maryland Baltimore County, numerical
/// computation course, output `circle_circle_c.out`: distance-distance, both
/// answers, six decimals. x is east, y north there.
#[test]
fn squire_two_circles() {
    let first = point(-0.2, -0.1);
    let second = point(1.0, 2.0);
    assert_printed(first.distance(second).feet(), "2.418677", 0.5);
    let meeting = tapes_meet(first, feet(2.0), second, feet(2.1)).expect("they meet");
    let TapesMeet::Cross { left, right } = meeting else {
        panic!("two answers, got {meeting:?}");
    };
    assert_printed(right.east(), "1.696964", 0.5);
    assert_printed(right.north(), "-1.078021", 0.5);
    assert_printed(left.east(), "0.055856", 0.5);
    assert_printed(left.north(), "1.793918", 0.5);
}

/// Source: J. Mahun, *Open Access Surveying Library*, web edition, self-study
/// solution "COGO Fitting Curves", Problem (3), part (a): the tangent from G to a
/// circle of 250 ft, 631.37 ft long, bearing N 58°07'09" E. The radius is the one
/// implied by the printed arc, so this row stands beside the two above.
#[test]
fn mahun_tangent_to_a_circle() {
    let (g, center) = (point(747.27, 320.228), point(868.446, 988.396));
    let tangent = azimuth(58.0, 7.0, 9.0);
    // A hair more than the radius, as the printed bearing is rounded to a second,
    // worth 0.003 ft at that distance.
    let meeting = line_meets_tape(g, tangent, center, feet(250.004)).expect("it reaches");
    let LineMeetsTape::Cross { first, second } = meeting else {
        panic!("two answers, got {meeting:?}");
    };
    let middle = f64::midpoint(first.along.feet(), second.along.feet());
    assert_printed(middle, "631.37", 0.6);
}

/// Source: 3-4-5 on plane figures, Builder manual, NAVEDTRA 14043 (US Navy training
/// manual), laying out a building, fig. 5-16: the two-tape intersection of 30 and
/// 40 ft from the ends of 50 ft stands square over its base point.
#[test]
fn navy_builder_two_tapes() {
    // From a base point, 40 ft along the line to a stake; tapes of 30 ft at the base
    // point and 50 ft at the stake meet square off the line.
    let (base, stake) = (point(0.0, 0.0), point(0.0, 40.0));
    let meeting = tapes_meet(base, feet(30.0), stake, feet(50.0)).expect("they meet");
    let TapesMeet::Cross { left, .. } = meeting else {
        panic!("two answers, got {meeting:?}");
    };
    assert_printed(left.north(), "30", 1e-9);
    assert!(left.east().abs() < 1e-9);
}

/// Source: as above, Problem (3), parts (b) and (c): the tangent from B to the same
/// circle, and the arc between the two tangents. The bearing to within a second, the
/// angle between two bearings within two.
#[test]
fn mahun_second_tangent_and_the_arc_between() {
    let (b, center) = (point(184.07, 922.95), point(868.446, 988.396));
    // A tangent and its radius are square to each other.
    let meeting = tapes_meet(b, feet(640.43), center, feet(250.0)).expect("they meet");
    let TapesMeet::Cross { right: c, .. } = meeting else {
        panic!("two answers, got {meeting:?}");
    };
    let square = b.distance(center).feet().powi(2) - 250.0_f64.powi(2);
    assert_printed(square.sqrt(), "640.43", 0.5);
    let off = (c - b).azimuth().degrees() - azimuth(26.0, 47.0, 10.0).degrees();
    assert!(off.abs() * 3600.0 < 1.0, "{off}");
    let from_g = azimuth(58.0, 7.0, 9.0);
    let delta = from_g.clockwise_to((b - c).azimuth());
    let off = delta.degrees() - azimuth(148.0, 40.0, 2.0).degrees();
    assert!(off.abs() * 3600.0 < 2.0, "{off}");
    let curve = Curve::new(from_g, feet(250.0), delta, Turn::Right).expect("a curve");
    assert_printed(curve.arc().feet(), "648.68", 0.5);
}
