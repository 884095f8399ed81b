//! Propagation of standard errors, error ellipses and search radii.

use fence_geom::{
    Covariance, Ellipse, Length, NORMAL_95, Sigma, TapeModel, angle_of_sides, ellipse_factor_95,
    propagate,
};
use fence_tests::assert_printed;

fn sigma(value: f64) -> Sigma {
    Sigma::known(value).expect("a standard error")
}

/// Source: J. Mahun, *Open Access Surveying Library*, web edition, self-study
/// solution "Least Squares 2", Problem (4), part (c): 95 % ellipses from standard
/// ones, 3 degrees of freedom (inferred there from the printed ratios).
#[test]
fn mahun_least_squares_2_problem_4_ellipses() {
    let factor = ellipse_factor_95(Some(3));
    for (standard, printed) in [
        (0.0075, "0.033"),
        (0.0066, "0.029"),
        (0.0145, "0.0634"),
        (0.0084, "0.037"),
    ] {
        assert_printed(standard * factor, printed, 0.5);
    }
}

/// Source: the standard normal and chi-square tables, as printed in any textbook
/// of statistics (from memory): 1.960 and the root of 5.991.
#[test]
fn quantiles_of_the_tables() {
    assert_printed(ellipse_factor_95(None).powi(2), "5.991", 0.5);
    assert_printed(NORMAL_95, "1.96", 0.5);
}

/// The radius that holds 95 % has two limits with tables of their own: a line
/// (standard normal, 1.960) and a circle (Rayleigh, 2.448); from memory.
#[test]
fn search_radius_between_a_line_and_a_circle() {
    let radius = |minor: f64| {
        Ellipse::new(1.0, minor * minor, 0.0)
            .search_radius_95()
            .feet()
    };
    assert_printed(radius(0.0), "1.95996", 0.6);
    assert_printed(radius(1.0), "2.44775", 0.6);
}

/// Source: "A distance of 200 ft must be taped" (answered question, answer.ya.guru,
/// question 4734816): 0.04 ft in two tape lengths allow 0.02828 ft in each. A weak
/// source; the rule is that of any textbook.
#[test]
fn error_of_one_tape_length() {
    let two = Covariance::independent(&[sigma(0.028_28); 2]);
    let sum = propagate(&[100.0, 100.0], &two, |x| {
        Ok::<_, std::convert::Infallible>(vec![x.iter().sum()])
    })
    .expect("a sum");
    assert_printed(sum.sigma(0).value().expect("known"), "0.04", 0.01);
}

/// Source: "Plot of land 60 m x 20 m" (examination archive, curioustab.com, question
/// 48571): variance 0.4, standard error 0.632 sq m. A weak source; the rule is
/// that of any textbook.
#[test]
fn error_of_a_rectangle() {
    let sides = Covariance::independent(&[sigma(0.01); 2]);
    let area = propagate(&[60.0, 20.0], &sides, |x| {
        Ok::<_, std::convert::Infallible>(vec![x.iter().product()])
    })
    .expect("an area");
    assert_printed(area.sigma(0).value().expect("known"), "0.632", 0.5);
    assert_printed(area.covariance().get(0, 0).expect("known"), "0.4", 0.01);
}

/// Law of cosines, dA = c dc / (a b sin A): 1/8 in on the diagonal alone is 0.249
/// degree with 3-4-5 ft and 0.0249 with 30-40-50 ft. Computed, no source.
#[test]
fn an_eighth_on_the_diagonal() {
    for (unit, printed) in [(1.0, "0.249"), (10.0, "0.0249")] {
        let sides = [3.0 * unit, 4.0 * unit, 5.0 * unit];
        let doubt = Covariance::independent(&[Sigma::ZERO, Sigma::ZERO, sigma(0.125 / 12.0)]);
        let angle = propagate(&sides, &doubt, |x| {
            let [a, b, c] = [x[0], x[1], x[2]].map(|x| Length::from_feet(x).expect("a length"));
            angle_of_sides(a, b, c).map(|angle| vec![angle.degrees()])
        })
        .expect("an angle");
        assert_printed(angle.sigma(0).value().expect("known"), printed, 0.5);
    }
}

/// Source: NIST Handbook 44, section 5.52, metal tapes, as tabulated under "Metal
/// measuring tapes": 1/4 in at 81 to 100 ft. The default scale part at 100 ft,
/// 0.24 in, is of that size; the tolerance is a limit and no standard error.
#[test]
fn default_tape_is_of_the_size_of_handbook_44() {
    let tape = TapeModel::default();
    let scale_part = tape.scale.value().expect("known") * 1200.0;
    assert!((0.2..=0.25).contains(&scale_part), "{scale_part}");
}
