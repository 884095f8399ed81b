//! Propagation of standard errors, error ellipses and search radii.

use fence_geom::{
    Covariance, Ellipse, Length, NORMAL_95, Sigma, TapeModel, angle_of_sides, chance_of_squares,
    ellipse_factor_95, propagate,
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

/// Source: "Pearson's chi-squared test", upper-tail critical values of the chi-square
/// distribution (encyclopedia copy, everipedia.org, undated). The chance of more than
/// the printed value lies within what half of its last place leaves; a hair more for
/// 26.1245, which rounds either way.
#[test]
fn critical_values_of_chi_square() {
    let table = [
        (1, ["2.706", "3.841", "5.024", "6.635", "10.828"]),
        (2, ["4.605", "5.991", "7.378", "9.210", "13.816"]),
        (3, ["6.251", "7.815", "9.348", "11.345", "16.266"]),
        (4, ["7.779", "9.488", "11.143", "13.277", "18.467"]),
        (5, ["9.236", "11.070", "12.833", "15.086", "20.515"]),
        (6, ["10.645", "12.592", "14.449", "16.812", "22.458"]),
        (7, ["12.017", "14.067", "16.013", "18.475", "24.322"]),
        (8, ["13.362", "15.507", "17.535", "20.090", "26.125"]),
        (9, ["14.684", "16.919", "19.023", "21.666", "27.877"]),
        (10, ["15.987", "18.307", "20.483", "23.209", "29.588"]),
        (12, ["18.549", "21.026", "23.337", "26.217", "32.910"]),
        (16, ["23.542", "26.296", "28.845", "32.000", "39.252"]),
    ];
    let half = 0.000_52;
    for (redundancy, row) in table {
        for (printed, chance) in row.iter().zip([0.1, 0.05, 0.025, 0.01, 0.001]) {
            let value: f64 = printed.parse().expect("a number");
            let above = |value| chance_of_squares(value, redundancy);
            assert!(
                above(value - half) >= chance && above(value + half) <= chance,
                "{redundancy}: {printed}"
            );
        }
    }
}

/// Source: *Civil Engineering Formulas* (McGraw-Hill, undated copy), Table 7.1,
/// "Probability of error in a single measurement", p. 179. Known to be wrong: two
/// standard errors are passed once in 22, printed 20; their 95.45 % are rounded up.
#[test]
fn chance_of_an_error_within_so_many_standard_errors() {
    for (multiple, percent, once_in) in [
        (0.6745, "50", "2"),
        (1.0, "68.3", "3"),
        (1.6449, "90", "10"),
        (2.0, "95.5", "22"),
        (3.0, "99.7", "370"),
    ] {
        let beyond = chance_of_squares(f64::powi(multiple, 2), 1);
        assert_printed(100.0 * (1.0 - beyond), percent, 0.51);
        assert_printed(1.0 / beyond, once_in, 0.5);
    }
    // 3.29 for 3.2905 takes two off a thousand.
    let beyond = chance_of_squares(f64::powi(3.29, 2), 1);
    assert_printed(100.0 * (1.0 - beyond), "99.9", 0.5);
    assert_printed(1.0 / beyond, "1000", 2.0);
}
