//! Where a corner post stands between runs whose centers are not as far in.

use super::*;

fn feet(value: f64) -> Length {
    Length::from_feet(value).expect("a length")
}

fn seat(degrees: f64, own: f64, other: f64) -> (f64, f64) {
    let angle = Angle::from_degrees(degrees).expect("an angle");
    let (along, inside) = corner_seat(angle, feet(own), feet(other)).expect("a seat");
    (along.feet(), inside.feet())
}

/// At a right angle the post is as far along the one as it is inside the other.
#[test]
fn at_a_right_angle_each_gives_the_other_its_distance() {
    let (along, inside) = seat(90.0, 0.2, 0.5);
    assert!((along - 0.5).abs() < 1e-12 && (inside - 0.2).abs() < 1e-12);
    let (along, inside) = seat(90.0, 0.5, 0.2);
    assert!((along - 0.2).abs() < 1e-12 && (inside - 0.5).abs() < 1e-12);
}

/// By coordinates: the interior of 60 degrees opens north from the one run along the
/// east to the other; both must name one place.
#[test]
fn both_runs_name_one_place() {
    for degrees in [40.0_f64, 60.0, 120.0, 149.0, 171.0, 180.0, 189.0, 250.0] {
        let ((a, p), (b, q)) = (seat(degrees, 0.15, 0.4), seat(degrees, 0.4, 0.15));
        let (sin, cos) = degrees.to_radians().sin_cos();
        // One run goes along (1, 0) with its yard at (0, 1); the other along (cos, sin)
        // with its yard at (sin, -cos).
        let first = (a, p);
        let second = (b * cos + q * sin, b * sin - q * cos);
        let apart = (first.0 - second.0).hypot(first.1 - second.1);
        assert!(apart < 1e-12, "{degrees}: {first:?} {second:?}");
        // Under 30 degrees of turn it stands as far in as the farther one.
        let slight = (degrees - 180.0).abs() < 30.0;
        assert_eq!((p, q), if slight { (0.4, 0.4) } else { (0.15, 0.4) });
    }
}
