//! Published balanced traverses and areas. Each check names its source.

use fence_geom::{
    BalanceRule, Balanced, Beginning, Call, Deed, Direction, Displacement, Length, Traverse,
    balance, read_direction, traverse,
};
use fence_tests::assert_printed;

fn run(calls: Vec<Call>) -> Traverse {
    traverse(&Deed::new(Beginning::default(), calls, None).expect("a deed"))
}

fn of_directions(courses: &[(&str, f64)]) -> Traverse {
    let calls = courses.iter().map(|(words, length)| {
        let direction = read_direction(words).expect(words).value;
        Call::straight(direction, Length::from_feet(*length).expect("a length"))
    });
    run(calls.collect())
}

fn of_parts(parts: &[(f64, f64)]) -> Traverse {
    let calls = parts.iter().map(|&(north, east)| {
        let way = Displacement::new(north, east).expect("a way");
        Call::straight(Direction::Azimuth(way.azimuth()), way.length())
    });
    run(calls.collect())
}

fn assert_ways(balanced: &Balanced, printed: &[(&str, &str)], units: f64) {
    assert_eq!(balanced.courses.len(), printed.len());
    for (course, (latitude, departure)) in balanced.courses.iter().zip(printed) {
        assert_printed(course.way.north(), latitude, units);
        assert_printed(course.way.east(), departure, units);
    }
}

/// Source: J. Mahun, "Solution: Traverse Adjustment", Problem (1), Open Access
/// Surveying Library. Sums of rounded latitudes leave a unit.
#[test]
fn four_courses_by_the_compass_rule() {
    let raw = of_directions(&[
        ("S 36-00-00 E", 379.25),
        ("S 75-23-18 W", 408.90),
        ("N 14-43-29 W", 298.65),
        ("N 63-59-20 E", 276.55),
    ]);
    let balanced = balance(&raw, BalanceRule::Compass).expect("it comes back");
    let printed = [
        ("-306.862", "222.954"),
        ("-103.197", "-395.637"),
        ("288.809", "-75.881"),
        ("121.250", "248.564"),
    ];
    assert_ways(&balanced, &printed, 1.0);
}

/// Source: J. Mahun, "Solution: Traverse Adjustment", Problem (2), Open Access
/// Surveying Library, with the adjusted lengths and directions.
#[test]
fn adjusted_lengths_and_directions() {
    let raw = of_directions(&[
        ("az 226-54-23", 639.15),
        ("az 0-00-00", 523.69),
        ("az 235-02-29", 409.54),
        ("az 79-35-02", 815.93),
    ]);
    assert_printed(raw.closure().misclosure().feet(), "0.157", 0.7);
    let balanced = balance(&raw, BalanceRule::Compass).expect("it comes back");
    let printed = [
        ("-436.631", "-466.761"),
        ("523.715", "-0.023"),
        ("-234.640", "-335.663"),
        ("147.556", "802.447"),
    ];
    assert_ways(&balanced, &printed, 1.0);
    let adjusted = [
        ("az 226-54-36.6", "639.150"),
        ("az 359-59-50.8", "523.715"),
        ("az 235-02-42.5", "409.544"),
        ("az 79-34-50.5", "815.901"),
    ];
    for ((course, raw), (direction, length)) in
        balanced.courses.iter().zip(raw.courses()).zip(adjusted)
    {
        assert_printed(course.distance().feet(), length, 1.0);
        let residual = course.distance_residual.feet();
        assert!((raw.distance().feet() + residual - course.distance().feet()).abs() < 1e-9);
        // A unit of a latitude turns a course of 500 ft by 0.4".
        let printed = read_direction(direction).expect(direction).value.azimuth();
        let turned = raw.direction().azimuth().turned(course.direction_residual);
        let off = (turned.degrees() - printed.degrees()) * 3600.0;
        assert!(off.abs() < 0.6, "{direction}: {off}");
    }
}

/// Source: "Transit rule", Example 2 (class upload, undated; weak), for the rule of
/// National Programme on Technology Enhanced Learning, Surveying, module 9, lecture
/// 29, equations 29.10 and 29.11. It multiplies quotients that it has rounded, and
/// one of its latitudes is two units off.
#[test]
fn four_courses_by_the_transit_rule() {
    let raw = of_parts(&[
        (218.50, -86.80),
        (42.16, 314.59),
        (-209.49, 48.36),
        (-50.51, -277.03),
    ]);
    let balanced = balance(&raw, BalanceRule::Transit).expect("it comes back");
    let printed = [
        ("218.223", "-86.695"),
        ("42.107", "314.971"),
        ("-209.756", "48.419"),
        ("-50.574", "-276.695"),
    ];
    assert_ways(&balanced, &printed, 1.0);
}

/// Source: "Transit Rule" (class notes, undated; weak), illustrative problem
/// (meters), data of an elementary text.
#[test]
fn six_courses_by_the_transit_rule() {
    let raw = of_directions(&[
        ("az 5-30-00", 495.85),
        ("az 46-02-00", 850.62),
        ("az 112-22-00", 855.45),
        ("az 167-35-00", 1020.87),
        ("az 263-44-00", 1117.26),
        ("az 304-51-00", 660.08),
    ]);
    assert_printed(raw.closure().gap().north(), "16.81", 1.1);
    assert_printed(raw.closure().gap().east(), "18.08", 1.1);
    let balanced = balance(&raw, BalanceRule::Transit).expect("it comes back");
    let first = balanced.courses[0];
    assert_printed(first.correction.north(), "-2.86", 0.5);
}

/// Source: "Area Computation" (class slides, undated; weak): double meridian
/// distances of six adjusted courses, square meters. Half a hundredth in each
/// latitude and departure explains the last places.
#[test]
fn area_of_adjusted_courses() {
    let raw = of_parts(&[
        (490.71, 47.27),
        (587.12, 608.89),
        (-327.41, 786.78),
        (-1002.76, 218.32),
        (-122.67, -1116.62),
        (375.01, -544.64),
    ]);
    assert!(raw.closure().is_exact());
    assert_printed(2.0 * raw.area().square_feet(), "3430192.54", 3.0);
}

/// Source: MSTE 32 Surveying, "Area Computations solutions", situation 1 (review
/// handout, undated; weak), square meters: latitudes rounded to the millimeter, and
/// a misclosure of 2 to 4 mm left in.
#[test]
fn area_of_a_four_sided_lot() {
    let raw = of_directions(&[
        ("N 30 E", 120.2),
        ("N 78 E", 90.2),
        ("S 32 E", 88.4),
        ("S 76.215 W", 200.96),
    ]);
    assert_printed(2.0 * raw.area().square_feet(), "24932.35", 60.0);
}
