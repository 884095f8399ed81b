use super::*;

fn degrees(degrees: f64) -> Angle {
    Angle::from_degrees(degrees).expect("an angle")
}

fn feet(feet: f64) -> Shift {
    Shift::from_feet(feet).expect("a shift")
}

#[test]
fn a_reflex_miter_lies_off_both_ends() {
    let flag = miter(degrees(270.0), feet(1.0), feet(2.0)).expect("a miter");
    assert!((flag.along_before.feet() + 2.0).abs() < 1e-12);
    assert!((flag.along_after.feet() + 1.0).abs() < 1e-12);
    assert!((flag.straight.feet() - 5f64.sqrt()).abs() < 1e-12);
}

#[test]
fn a_straight_corner_meets_only_at_one_distance() {
    let flag = miter(Angle::STRAIGHT, feet(2.0), feet(2.0)).expect("a miter");
    assert!(flag.along_before.feet().abs() < 1e-12);
    let jog = miter(Angle::STRAIGHT, feet(2.0), feet(3.0));
    assert!(matches!(jog, Err(CornerError::Parallel { .. })), "{jog:?}");
}

#[test]
fn no_corner_has_no_or_a_whole_turn() {
    for angle in [0.0, 360.0, -10.0, 400.0] {
        assert!(
            miter(degrees(angle), feet(1.0), feet(1.0)).is_err(),
            "{angle}"
        );
    }
}

#[test]
fn the_setback_changes_sign_at_a_straight_angle() {
    let width = Length::from_inches(5.0).expect("a length");
    let at = |angle| {
        corner_post_setback(width, degrees(angle))
            .expect("a corner")
            .inches()
    };
    assert!((at(60.0) - 2.5 * 3f64.sqrt()).abs() < 1e-12);
    assert!(at(180.0).abs() < 1e-12);
    assert!((at(270.0) + 2.5).abs() < 1e-12);
    // The inner corner of a reflex post: its face is at the flag itself.
    let face = corner_post_face(width, degrees(270.0)).expect("a corner");
    assert!(face.inches().abs() < 1e-12);
}

#[test]
fn legs_fit_the_runs() {
    let length = |feet| Length::from_feet(feet).expect("a length");
    let legs = |a, b| check_legs(length(a), length(b)).map(|(p, q)| (p.feet(), q.feet()));
    assert_eq!(legs(9.5, 50.0), Some((9.0, 12.0)));
    assert_eq!(legs(50.0, 9.5), Some((12.0, 9.0)));
    assert_eq!(legs(200.0, 200.0), Some((30.0, 40.0)));
    assert_eq!(legs(2.9, 50.0), None);
}
