//! The stretches against a plain walk along the line.

use super::*;

fn point(north: f64, east: f64) -> Point {
    Point::new(north, east).expect("in range")
}

/// Walks the line in thousandths of a foot and asks the distance.
fn walked(path: &[Point], reach: f64) -> Option<(f64, f64)> {
    let hits: Vec<f64> = (-20_000..80_000)
        .map(|i| f64::from(i) / 1000.0)
        .filter(|&s| distance_to_path(point(0.0, s), path).is_some_and(|d| d.feet() <= reach))
        .collect();
    Some((*hits.first()?, *hits.last()?))
}

#[test]
fn stretches_match_a_walk_along_the_line() {
    let cases = [
        (vec![point(3.0, 20.0)], 5.0),
        (vec![point(-10.0, 20.0), point(10.0, 30.0)], 2.0),
        (vec![point(1.0, 20.0), point(1.0, 30.0)], 2.0),
        (vec![point(1.5, 10.0), point(30.0, 12.0)], 2.0),
        (vec![point(0.0, 10.0), point(0.0, 12.0)], 0.5),
    ];
    for (path, reach) in cases {
        let found = stretches_within(
            point(0.0, 0.0),
            point(0.0, 60.0),
            &path,
            Length::from_feet(reach).expect("in range"),
        );
        let (from, to) = walked(&path, reach).expect("the line comes near");
        assert_eq!(found.len(), 1, "{path:?}");
        assert!((found[0].from.feet() - from).abs() <= 0.0011, "{path:?}");
        assert!((found[0].to.feet() - to).abs() <= 0.0011, "{path:?}");
    }
}

#[test]
fn a_bent_mark_gives_two_stretches_and_touching_ones_are_joined() {
    let horseshoe = [
        point(-9.0, 10.0),
        point(9.0, 10.0),
        point(9.0, 40.0),
        point(-9.0, 40.0),
    ];
    let reach = Length::from_feet(1.0).expect("in range");
    let found = stretches_within(point(0.0, 0.0), point(0.0, 60.0), &horseshoe, reach);
    assert_eq!(found.len(), 2);
    let along = [point(0.0, 5.0), point(0.0, 15.0), point(0.0, 25.0)];
    let found = stretches_within(point(0.0, 0.0), point(0.0, 60.0), &along, reach);
    assert_eq!(found.len(), 1);
    assert!((found[0].to.feet() - 26.0).abs() < 1e-12);
}

#[test]
fn nothing_near_gives_nothing() {
    let far = [point(50.0, 0.0), point(60.0, 10.0)];
    let reach = Length::from_feet(1.0).expect("in range");
    assert!(stretches_within(point(0.0, 0.0), point(0.0, 60.0), &far, reach).is_empty());
    assert!(stretches_within(point(0.0, 0.0), point(0.0, 0.0), &far, reach).is_empty());
}
