//! Propagation of doubt against Monte Carlo, and what must hold of it.

use fence_geom::{
    Covariance, Ellipse, Estimate, KnownPoint, Length, Point, Sigma, TapeModel, TapesMeet, Verdict,
    angle_of_sides, judge, points_from_tapes, propagate, tapes_meet,
};
use fence_tests::Draws;
use proptest::prelude::*;

type Never = std::convert::Infallible;

fn feet(x: f64) -> Length {
    Length::from_feet(x).expect("in range")
}

fn sigma(x: f64) -> Sigma {
    Sigma::known(x).expect("a standard error")
}

/// Readings of one tape with errors as the tape model has them.
fn misread(readings: &[f64], tape: &TapeModel, draws: &mut Draws) -> Vec<Length> {
    let (reading, scale) = (tape.reading.value(), tape.scale.value());
    let stretch = scale.expect("known") * draws.normal();
    readings
        .iter()
        .map(|length| feet(length * (1.0 + stretch) + reading.expect("known") * draws.normal()))
        .collect()
}

/// The mean square of deviations: variances and covariance of two columns.
fn spread(rows: &[[f64; 2]]) -> [f64; 3] {
    let n = f64::from(u32::try_from(rows.len()).expect("few"));
    let mean = |k: usize| rows.iter().map(|row| row[k]).sum::<f64>() / n;
    let (a, b) = (mean(0), mean(1));
    let sum = |f: &dyn Fn(&[f64; 2]) -> f64| rows.iter().map(f).sum::<f64>() / n;
    [
        sum(&|r| (r[0] - a) * (r[0] - a)),
        sum(&|r| (r[1] - b) * (r[1] - b)),
        sum(&|r| (r[0] - a) * (r[1] - b)),
    ]
}

/// 40,000 draws leave about 0.7 % in a variance (root of 2 / n), so 3 % is past
/// four standard errors.
const DRAWS: usize = 40_000;
const WITHIN: f64 = 0.03;

fn covariance_of(answer: &Estimate) -> [f64; 3] {
    let get = |i, j| answer.covariance().get(i, j).expect("known");
    [get(0, 0), get(1, 1), get(0, 1)]
}

#[test]
fn two_tapes_against_monte_carlo() {
    let tape = TapeModel::default();
    let (a, b) = (Point::ORIGIN, Point::new(10.0, 60.0).expect("in range"));
    let readings = [62.0, 41.0];
    let left = |readings: &[Length]| match tapes_meet(a, readings[0], b, readings[1]) {
        Ok(TapesMeet::Cross { left, .. }) => [left.north(), left.east()],
        other => panic!("two answers, got {other:?}"),
    };
    let doubt = tape.covariance(&readings.map(feet));
    let answer = propagate(&readings, &doubt, |x| {
        Ok::<_, Never>(left(&[feet(x[0]), feet(x[1])]).to_vec())
    })
    .expect("an estimate");

    let mut draws = Draws::from(1);
    let rows: Vec<[f64; 2]> = (0..DRAWS)
        .map(|_| left(&misread(&readings, &tape, &mut draws)))
        .collect();
    let scale = covariance_of(&answer)[0].max(covariance_of(&answer)[1]);
    for (computed, drawn) in covariance_of(&answer).iter().zip(spread(&rows)) {
        assert!(
            (computed - drawn).abs() < WITHIN * scale,
            "{computed} and {drawn}"
        );
    }

    // The radius that is said to hold 95 % of them does: 40,000 draws leave 0.1 %.
    let ellipse = answer.ellipse(0, 1).expect("known");
    let radius = ellipse.search_radius_95().feet();
    let at = (answer.values()[0], answer.values()[1]);
    let inside = rows
        .iter()
        .filter(|row| (row[0] - at.0).hypot(row[1] - at.1) <= radius)
        .count();
    let share = f64::from(u32::try_from(inside).expect("few")) / 40_000.0;
    assert!((share - 0.95).abs() < 0.005, "{share}");
}

#[test]
fn a_corner_against_monte_carlo() {
    let tape = TapeModel::default();
    let readings = [30.0, 40.0, 50.0];
    let angle_and_sum = |r: &[Length]| {
        let angle = angle_of_sides(r[0], r[1], r[2])
            .expect("a triangle")
            .radians();
        // The sum of the readings, whose doubt the scale of the tape dominates.
        [angle * 100.0, r.iter().map(|r| r.feet()).sum::<f64>()]
    };
    let doubt = tape.covariance(&readings.map(feet));
    let answer = propagate(&readings, &doubt, |x| {
        let lengths: Vec<Length> = x.iter().map(|x| feet(*x)).collect();
        Ok::<_, Never>(angle_and_sum(&lengths).to_vec())
    })
    .expect("an estimate");
    let mut draws = Draws::from(2);
    let rows: Vec<[f64; 2]> = (0..DRAWS)
        .map(|_| angle_and_sum(&misread(&readings, &tape, &mut draws)))
        .collect();
    let [angle, sum, _] = covariance_of(&answer);
    let [drawn_angle, drawn_sum, _] = spread(&rows);
    assert!(
        (angle / drawn_angle - 1.0).abs() < WITHIN,
        "{angle} and {drawn_angle}"
    );
    assert!(
        (sum / drawn_sum - 1.0).abs() < WITHIN,
        "{sum} and {drawn_sum}"
    );
}

/// Known points of their own doubt, far from the origin as in a state plane.
#[test]
fn known_points_count_far_from_the_origin() {
    let at = |n: f64, e: f64| Point::new(n, e).expect("in range");
    let known = |name: &str, at, sigma| KnownPoint {
        name: name.to_owned(),
        at,
        sigma,
    };
    let exact_tape = TapeModel {
        reading: Sigma::ZERO,
        scale: Sigma::ZERO,
    };
    let a = known("A", at(1_000_000.0, 2_000_000.0), sigma(0.05));
    let b = known("B", at(1_000_000.0, 2_000_050.0), sigma(0.05));
    let places =
        points_from_tapes((&a, feet(30.0)), (&b, feet(40.0)), &exact_tape).expect("two places");
    // At a right angle each tape carries one pin's error in its own direction.
    for place in places {
        let north = place.sigma_north.value().expect("known");
        let east = place.sigma_east.value().expect("known");
        assert!(
            (north - 0.05).abs() < 1e-5 && (east - 0.05).abs() < 1e-5,
            "{north} {east}"
        );
    }
}

proptest! {
    /// Unknown doubt reaches what depends on it, and nothing else.
    #[test]
    fn unknown_stays_unknown(x in -100.0..100.0_f64, y in -100.0..100.0_f64) {
        let doubt = Covariance::independent(&[Sigma::UNKNOWN, sigma(0.1)]);
        let answer = propagate(&[x, y], &doubt, |v| Ok::<_, Never>(vec![v[0] + v[1], 2.0 * v[1]]))
            .expect("an estimate");
        prop_assert_eq!(answer.sigma(0), Sigma::UNKNOWN);
        prop_assert_eq!(answer.covariance().get(0, 1), None);
        let known = answer.sigma(1).value().expect("known");
        prop_assert!((known - 0.2).abs() < 1e-9);
    }

    /// A straight map of the errors is met to the last figures.
    #[test]
    fn linear_answers_are_exact(
        a in -9.0..9.0_f64, b in -9.0..9.0_f64, s in 0.001..1.0_f64, t in 0.001..1.0_f64, r in -0.99..0.99_f64,
    ) {
        let cov = r * s * t;
        let doubt = Covariance::from_rows(&[vec![s * s, cov], vec![cov, t * t]]).expect("a covariance");
        let answer = propagate(&[3.0, 4.0], &doubt, |v| Ok::<_, Never>(vec![a * v[0] + b * v[1]]))
            .expect("an estimate");
        let exact = a * a * s * s + 2.0 * a * b * cov + b * b * t * t;
        let got = answer.covariance().get(0, 0).expect("known");
        prop_assert!((got - exact).abs() < 1e-8 * (1.0 + exact), "{} {}", got, exact);
    }

    /// More covariance than the variances allow is refused.
    #[test]
    fn impossible_covariances_are_refused(s in 0.01..1.0_f64, t in 0.01..1.0_f64, over in 1.01..3.0_f64) {
        let cov = over * s * t;
        prop_assert!(Covariance::from_rows(&[vec![s * s, cov], vec![cov, t * t]]).is_err());
        prop_assert!(Covariance::from_rows(&[vec![s * s, 0.0], vec![cov, t * t]]).is_err());
        prop_assert!(Covariance::from_rows(&[vec![s * s]]).is_ok());
    }

    /// The circle that holds 95 % is wider than the line's and narrower than the
    /// ellipse is long; the ellipse turns with its point.
    #[test]
    fn a_search_radius_is_within_its_bounds(major in 0.01..10.0_f64, share in 0.0..1.0_f64, degrees in 0.0..179.0_f64) {
        let (s, m) = (major * major, major * major * share * share);
        let (sin, cos) = degrees.to_radians().sin_cos();
        let ellipse = Ellipse::new(
            s * cos * cos + m * sin * sin,
            s * sin * sin + m * cos * cos,
            (s - m) * sin * cos,
        );
        prop_assert!((ellipse.semi_major().feet() - major).abs() < 1e-9 * major);
        if share < 0.99 {
            let turned = ellipse.azimuth().degrees() - degrees;
            prop_assert!(turned.abs() < 1e-6 || (turned.abs() - 180.0).abs() < 1e-6, "{}", turned);
        }
        let radius = ellipse.search_radius_95().feet();
        prop_assert!(radius >= 1.9599 * major && radius <= 2.4478 * major);
        prop_assert!(radius <= ellipse.semi_major_95().feet() * (1.0 + 1e-9));
    }

    /// A verdict is in, out or neither, never two of them, and unknown doubt gives
    /// none.
    #[test]
    fn a_verdict_needs_the_doubt_to_fit(error in -1.0..1.0_f64, doubt in 0.0..0.5_f64, tolerance in 0.0..1.0_f64) {
        let verdict = judge(error, sigma(doubt), tolerance);
        let (least, most) = (error.abs() - 1.96 * doubt, error.abs() + 1.96 * doubt);
        match verdict {
            Verdict::In => prop_assert!(most <= tolerance),
            Verdict::Out => prop_assert!(least > tolerance),
            Verdict::Undecided => prop_assert!(least <= tolerance && most > tolerance),
        }
        prop_assert_eq!(judge(error, Sigma::UNKNOWN, tolerance), Verdict::Undecided);
    }
}
