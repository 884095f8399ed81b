//! Angles and areas from three sides, and the square check.

use fence_geom::{
    Angle, CornerCheck, Length, Sigma, TapeModel, TriangleError, Verdict, angle_of_sides,
    third_side, triangle_area,
};
use proptest::prelude::*;

fn feet(x: f64) -> Length {
    Length::from_feet(x).expect("in range")
}

/// A reading between a hundredth of a foot and a mile, to the hundredth.
fn reading() -> impl Strategy<Value = Length> {
    (1..=528_000_u32).prop_map(|h| feet(f64::from(h) / 100.0))
}

proptest! {
    /// Needles are where the half-sum formula fails; this test fails with it.
    #[test]
    fn isosceles_needles_keep_their_digits(leg in reading(), log_base in -12.0..-2.0) {
        let base = feet(10_f64.powf(log_base));
        let area = triangle_area(leg, base, leg).expect("a triangle").square_feet();
        let half = base.feet() / 2.0;
        let exact = half * ((leg.feet() - half) * (leg.feet() + half)).sqrt();
        prop_assert!((area / exact - 1.0).abs() <= 4.0 * f64::EPSILON);
    }

    /// The law of cosines loses half the digits of such an angle.
    #[test]
    fn narrow_angles_keep_their_digits(leg in reading(), log_base in -9.0..-2.0) {
        let base = feet(10_f64.powf(log_base));
        let angle = angle_of_sides(leg, leg, base).expect("a triangle").radians();
        let exact = 2.0 * (base.feet() / 2.0 / leg.feet()).asin();
        prop_assert!((angle / exact - 1.0).abs() <= 8.0 * f64::EPSILON);
    }

    #[test]
    fn the_three_angles_make_half_a_turn(a in reading(), b in reading(), degrees in 0.1..179.9) {
        let c = third_side(a, b, Angle::from_degrees(degrees).expect("an angle"));
        let at_c = angle_of_sides(a, b, c).expect("a triangle");
        // Near a straight line an angle is as weak as the square root of a rounding.
        prop_assert!((at_c.degrees() - degrees).abs() < 1e-5, "{at_c:?}");
        let at_a = angle_of_sides(b, c, a).expect("a triangle");
        let at_b = angle_of_sides(a, c, b).expect("a triangle");
        let sum = (at_a + at_b + at_c).degrees();
        prop_assert!((sum - 180.0).abs() < 1e-5, "{sum}");
    }

    /// What does not meet is refused with the gap that was left.
    #[test]
    fn readings_that_do_not_meet_name_the_gap(a in reading(), b in reading(), gap in 0.01..100.0_f64) {
        let diagonal = feet(a.feet() + b.feet() + gap);
        let refused = angle_of_sides(a, b, diagonal);
        match refused {
            Err(TriangleError::SidesDoNotMeet { gap: left, .. }) => {
                prop_assert!((left.feet() - gap).abs() < 1e-8);
            }
            other => return Err(TestCaseError::fail(format!("{other:?}"))),
        }
    }

    /// A tape that is long by any factor shows the same angle, so its scale adds
    /// nothing to the doubt of a corner.
    #[test]
    fn the_scale_of_the_tape_cancels(
        a in 3.0..60.0_f64, b in 3.0..60.0_f64, degrees in 30.0..150.0_f64, one_in in 100.0..5000.0_f64,
    ) {
        let design = Angle::from_degrees(degrees).expect("an angle");
        let diagonal = third_side(feet(a), feet(b), design);
        let sigma = |tape| {
            let check = CornerCheck { design, tape, ..CornerCheck::new(feet(a), feet(b), diagonal) };
            check.judged().expect("a corner").angle_sigma.value().expect("known")
        };
        let exact_scale = TapeModel { scale: Sigma::ZERO, ..TapeModel::default() };
        let poor_scale = TapeModel::default().with_scale_one_in(one_in).expect("a scale");
        prop_assert!((sigma(poor_scale) / sigma(exact_scale) - 1.0).abs() < 1e-6);
    }

    /// The legs that are said to decide do decide, if read with the error that the
    /// corner seems to have.
    #[test]
    fn the_deciding_legs_decide(unit in 1..5_u32, off in -0.02..0.02_f64) {
        let unit = f64::from(unit);
        let check = CornerCheck::new(feet(3.0 * unit), feet(4.0 * unit), feet(5.0 * unit + off));
        let answer = check.judged().expect("a corner");
        if let Some(legs) = answer.deciding_legs {
            prop_assert_eq!(answer.verdict, Verdict::Undecided);
            let diagonal = third_side(legs.first_leg, legs.second_leg, answer.angle);
            let again = CornerCheck::new(legs.first_leg, legs.second_leg, diagonal);
            let verdict = again.judged().expect("a corner").verdict;
            prop_assert_ne!(verdict, Verdict::Undecided, "{:?}", legs);
        }
    }

    /// Moving the second leg as told brings the corner to its angle.
    #[test]
    fn the_correction_corrects(a in 5.0..50.0_f64, b in 5.0..50.0_f64, degrees in 60.0..120.0_f64) {
        let taped = Angle::from_degrees(degrees).expect("an angle");
        let diagonal = third_side(feet(a), feet(b), taped);
        let answer = CornerCheck::new(feet(a), feet(b), diagonal).judged().expect("a corner");
        if let Some(correction) = answer.correction {
            let turned = 2.0 * (correction.at_leg_end.feet() / 2.0 / b).asin();
            let sign = match correction.way {
                fence_geom::Way::Toward => -1.0,
                fence_geom::Way::Away => 1.0,
            };
            let corner = taped.radians() + sign * turned;
            prop_assert!((corner.to_degrees() - 90.0).abs() < 1e-7, "{corner}");
        }
    }
}

/// A straight run is no corner, but it has an angle; its doubt can't be told.
#[test]
fn three_points_in_line_have_an_angle_of_unknown_doubt() {
    let answer = CornerCheck::new(feet(10.0), feet(20.0), feet(30.0))
        .judged()
        .expect("an angle");
    assert!((answer.angle.degrees() - 180.0).abs() < 1e-9);
    assert_eq!(answer.angle_sigma, Sigma::UNKNOWN);
    // Whatever the tape's doubt: no reading near these makes a square corner.
    assert_eq!(answer.verdict, Verdict::Out);
}

/// Near the tolerance the doubt at the angle that shows decides, not the slightly
/// smaller one at the design angle.
#[test]
fn legs_that_decide_allow_for_the_angle_that_shows() {
    let check = CornerCheck::new(feet(12.0), feet(16.0), feet(20.008_442_392_906_02));
    let legs = check
        .judged()
        .expect("a corner")
        .deciding_legs
        .expect("legs that decide");
    assert!(legs.first_leg.feet() > 30.0, "{legs:?}");
}
