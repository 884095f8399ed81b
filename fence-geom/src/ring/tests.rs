use super::*;
use crate::Point;

fn ring(points: &[(f64, f64)]) -> Result<Ring, RingError> {
    Ring::of_lines(
        points
            .iter()
            .enumerate()
            .map(|(i, &(n, e))| (format!("P{i}"), Point::new(n, e).expect("a coordinate"))),
    )
}

#[test]
fn a_figure_eight_says_where_it_crosses_though_its_halves_cancel() {
    let at = |north, east| Point::new(north, east).unwrap();
    let corners = [
        ("A", at(0.0, 0.0)),
        ("B", at(100.0, 100.0)),
        ("C", at(0.0, 100.0)),
        ("D", at(100.0, 0.0)),
    ];
    let refused = Ring::of_lines(corners).unwrap_err();
    assert!(
        matches!(
            refused,
            RingError::Crossing {
                north: 50.0,
                east: 50.0,
                ..
            }
        ),
        "{refused}"
    );
}

#[test]
fn crossing_names_sides_and_place() {
    let bow_tie = ring(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)]);
    // Equal lobes cancel to no area, so the area check speaks first; make them
    // unequal to see the crossing.
    assert!(matches!(
        bow_tie,
        Err(RingError::Crossing { .. } | RingError::NoArea { .. })
    ));
    let Err(RingError::Crossing {
        first,
        second,
        north,
        east,
    }) = ring(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 20.0)])
    else {
        panic!("a crossing expected");
    };
    assert_eq!((first.as_str(), second.as_str()), ("P0-P1", "P2-P3"));
    assert!((north - 20.0 / 3.0).abs() < 1e-12 && (east - 20.0 / 3.0).abs() < 1e-12);
}

#[test]
fn a_corner_on_another_side_is_refused() {
    let touching = ring(&[
        (0.0, 0.0),
        (10.0, 0.0),
        (10.0, 10.0),
        (5.0, 0.0),
        (0.0, 10.0),
    ]);
    assert!(
        matches!(touching, Err(RingError::Crossing { .. })),
        "{touching:?}"
    );
}

#[test]
fn a_spike_is_refused() {
    let spike = ring(&[
        (0.0, 0.0),
        (10.0, 0.0),
        (10.0, 20.0),
        (10.0, 5.0),
        (0.0, 5.0),
    ]);
    assert!(
        matches!(spike, Err(RingError::Crossing { .. })),
        "{spike:?}"
    );
}

#[test]
fn three_corners_in_line_are_refused_by_name() {
    let error = ring(&[(0.0, 0.0), (10.0, 10.0), (20.0, 20.0)]).expect_err("no area");
    assert!(error.to_string().contains("P0, P1, P2"), "{error}");
}

#[test]
fn reversal_keeps_sides_with_their_corners() {
    let half = Angle::STRAIGHT;
    let corners =
        [("A", 0.0, 0.0), ("B", 10.0, 0.0), ("C", 10.0, 10.0)].map(|(name, n, e)| Corner {
            name: name.to_owned(),
            at: Point::new(n, e).expect("point"),
        });
    let arc = Side::Arc {
        delta: half,
        turn: Turn::Right,
    };
    let ring = Ring::new(corners.to_vec(), vec![Side::Line, arc, Side::Line]).expect("a ring");
    let back = ring.reversed();
    assert_eq!(back.corners()[0].name, "A");
    assert_eq!(back.side_name(1), "C-B");
    assert_eq!(back.sides()[1], arc.reversed());
    assert!((back.area().square_feet() - ring.area().square_feet()).abs() < 1e-9);
    assert_eq!(back.reversed(), ring);
}

#[test]
fn a_point_is_inside_outside_or_on_a_side() {
    let square = ring(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]).expect("a ring");
    let at = |n, e| square.locate(Point::new(n, e).expect("point"), Length::saturating(0.01));
    assert_eq!(at(5.0, 5.0), Place::Inside);
    assert_eq!(at(5.0, 10.005), Place::OnSide(2));
    assert_eq!(at(5.0, 10.02), Place::Outside);
    assert_eq!(at(10.0, -5.0), Place::Outside);
}

fn curved(corners: &[(f64, f64)], sides: Vec<Side>) -> Result<Ring, RingError> {
    let corners = corners.iter().enumerate().map(|(i, &(n, e))| Corner {
        name: format!("P{i}"),
        at: Point::new(n, e).expect("a coordinate"),
    });
    Ring::new(corners.collect(), sides)
}

fn arc(degrees: u16, turn: Turn) -> Side {
    Side::Arc {
        delta: Angle::of_whole_degrees(degrees),
        turn,
    }
}

#[test]
fn half_a_circle_and_its_diameter_are_a_ring() {
    let half = curved(
        &[(0.0, 0.0), (100.0, 0.0)],
        vec![arc(180, Turn::Right), Side::Line],
    )
    .expect("a half circle");
    let off = half.area().square_feet() - 1_250.0 * std::f64::consts::PI;
    assert!(off.abs() < 1e-9, "{off}");
    let at = |n, e| half.locate(Point::new(n, e).expect("point"), Length::saturating(0.01));
    assert_eq!(at(50.0, -25.0), Place::Inside);
    assert_eq!(at(50.0, 1.0), Place::Outside);
    assert_eq!(at(50.0, -50.005), Place::OnSide(0));
    assert_eq!(at(50.0, -50.1), Place::Outside);
    let line = curved(&[(0.0, 0.0), (100.0, 0.0)], vec![Side::Line, Side::Line]);
    assert!(matches!(line, Err(RingError::TooFewCorners { .. })));
}

#[test]
fn an_arc_there_and_back_encloses_nothing() {
    let there_and_back = curved(
        &[(0.0, 0.0), (100.0, 0.0)],
        vec![arc(90, Turn::Right), arc(90, Turn::Left)],
    );
    assert!(matches!(there_and_back, Err(RingError::NoArea { .. })));
}

#[test]
fn an_arc_that_bulges_through_another_side_is_refused() {
    // A strip ten feet wide: half a circle over its long side reaches the other.
    let corners = [(0.0, 0.0), (0.0, 100.0), (10.0, 100.0), (10.0, 0.0)];
    let inward = vec![arc(180, Turn::Right), Side::Line, Side::Line, Side::Line];
    let Err(RingError::Crossing { first, second, .. }) = curved(&corners, inward) else {
        panic!("a crossing expected");
    };
    assert_eq!((first.as_str(), second.as_str()), ("P0-P1", "P2-P3"));
    let outward = vec![arc(180, Turn::Left), Side::Line, Side::Line, Side::Line];
    assert!(curved(&corners, outward).is_ok());
}

#[test]
fn neighbors_may_not_meet_again() {
    // The arc from the end of the first side comes back across that side.
    let corners = [(0.0, 0.0), (0.0, 100.0), (20.0, 20.0)];
    let crossing = vec![Side::Line, arc(220, Turn::Right), Side::Line];
    assert!(matches!(
        curved(&corners, crossing),
        Err(RingError::Crossing { .. })
    ));
}

/// A corner return that the boundary reaches along its tangent and leaves back
/// round the curve: they touch at their common corner only.
#[test]
fn a_cusp_is_no_crossing() {
    let corners = [
        (0.0, 0.0),
        (0.0, -55.0),
        (25.0, -30.0),
        (125.0, -30.0),
        (125.0, 0.0),
    ];
    let sides = vec![
        Side::Line,
        arc(90, Turn::Left),
        Side::Line,
        Side::Line,
        Side::Line,
    ];
    let ring = curved(&corners, sides).expect("a ring");
    let bulge = 625.0 * (std::f64::consts::FRAC_PI_2 - 1.0) / 2.0;
    let straight = 125.0 * 30.0 + 25.0 * 25.0 / 2.0;
    let off = ring.area().square_feet() - (straight - bulge);
    assert!(off.abs() < 1e-9, "{off}");
}

#[test]
fn places_on_an_arc_lie_on_its_circle_and_on_its_side() {
    let at = |north, east| Point::new(north, east).unwrap();
    let quarter = Side::Arc {
        delta: Angle::RIGHT,
        turn: Turn::Right,
    };
    // North along the tangent, then right, about the center 50 ft east.
    let places = quarter.places_between(at(0.0, 0.0), at(50.0, 50.0), 2);
    let root = 50.0 / 2.0_f64.sqrt();
    assert_eq!(places.len(), 1);
    assert!(places[0].distance(at(root, 50.0 - root)).feet() < 1e-9);
    // Three quarters of a circle to the left bulge the other way.
    let long = Side::Arc {
        delta: Angle::from_degrees(270.0).unwrap(),
        turn: Turn::Left,
    };
    let places = long.places_between(at(0.0, 0.0), at(50.0, 50.0), 3);
    let center = at(0.0, 50.0);
    assert_eq!(places.len(), 2);
    for place in &places {
        assert!((place.distance(center).feet() - 50.0).abs() < 1e-9);
    }
    assert!(places[0].north() < -40.0, "{places:?}");
    assert!(
        Side::Line
            .places_between(center, at(1.0, 1.0), 9)
            .is_empty()
    );
}
