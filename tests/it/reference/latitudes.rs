//! Published latitudes and departures. Each check names its source.

use fence_geom::{
    Beginning, Call, Deed, Length, Traverse, angle_of_sides, read_direction, traverse,
};
use fence_tests::assert_printed;

/// A course as printed: direction, length, latitude, departure.
type Row = (&'static str, f64, &'static str, &'static str);

/// Runs out the courses and holds each latitude and departure to the printed one,
/// within `units` of its last place.
#[track_caller]
fn run_out(rows: &[Row], units: f64) -> Traverse {
    let calls = rows.iter().map(|(direction, length, ..)| {
        let direction = read_direction(direction).expect(direction).value;
        Call::straight(direction, Length::from_feet(*length).expect("a length"))
    });
    let deed = Deed::new(Beginning::default(), calls.collect(), None).expect("a deed");
    let computed = traverse(&deed);
    for (course, (_, _, latitude, departure)) in computed.courses().iter().zip(rows) {
        assert_printed(course.latitude().feet(), latitude, units);
        assert_printed(course.departure().feet(), departure, units);
    }
    computed
}

/// Source: a treatise on surveying of the 19th century (scan at Google Books, id
/// `JzMAAAAAYAAJ`), Problem XI, p. 105, Examples 1 to 8 (chains). The scan garbles
/// the quarter degrees; those that fit the answers are taken. The book adds two
/// entries of a table for each figure, which leaves up to a unit and a half.
#[test]
fn eight_lines_by_traverse_table() {
    let rows = [
        ("S 35-15 E", 79.0, "-64.51", "45.59"),
        ("N 20-30 E", 117.0, "109.59", "40.97"),
        ("S 41-45 W", 57.36, "-42.80", "-38.20"),
        ("N 72 W", 124.37, "38.43", "-118.29"),
        ("N 39-30 W", 15.2, "11.72", "-9.67"),
        ("N 46 E", 27.25, "18.93", "19.60"),
        ("S 37-15 W", 137.5, "-109.45", "-83.23"),
        ("S 6-30 E", 5.6, "-5.56", "0.63"),
    ];
    run_out(&rows, 1.5);
}

/// Source: "Transit Rule" (class notes, undated; weak), illustrative problem
/// (meters).
#[test]
fn six_courses_by_azimuths() {
    let rows = [
        ("az 5-30", 495.85, "493.57", "47.53"),
        ("az 46-02", 850.62, "590.53", "612.23"),
        ("az 112-22", 855.45, "-325.53", "791.09"),
        ("az 167-35", 1020.87, "-996.99", "219.51"),
        ("az 263-44", 1117.26, "-121.96", "-1110.58"),
        ("az 304-51", 660.08, "377.19", "-541.70"),
    ];
    run_out(&rows, 0.5);
}

/// Source: "BSCE-2D Group 9 seatwork solutions" (class upload, undated; weak),
/// problem 1 (meters). The last latitude is -50.854 and printed a unit off; the sums
/// are of printed figures.
#[test]
fn five_courses_and_their_sums() {
    let rows = [
        ("due north", 400.0, "400.00", "0.00"),
        ("N 45 E", 800.0, "565.69", "565.69"),
        ("S 60 E", 700.0, "-350.00", "606.22"),
        ("S 20 W", 600.0, "-563.82", "-205.21"),
        ("S 86-59 W", 966.34, "-50.86", "-965.00"),
    ];
    let computed = run_out(&rows, 1.0);
    let closure = computed.closure();
    assert_printed(closure.perimeter().feet(), "3466.34", 0.5);
    assert_printed(closure.gap().north(), "1.01", 1.0);
    assert_printed(closure.gap().east(), "1.70", 1.0);
    // What the transit rule shares the misclosure by.
    let latitudes = computed.courses().iter().map(|it| it.way.north().abs());
    assert_printed(latitudes.sum(), "1930.37", 1.5);
}

/// Source: the same solutions, problem 2: four courses that do not close.
#[test]
fn four_courses_that_stay_open() {
    let rows = [
        ("S 32-17 W", 22.04, "-18.63", "-11.77"),
        ("S 36-25 W", 10.0, "-8.05", "-5.94"),
        ("N 15-47 W", 5.0, "4.81", "-1.36"),
        ("N 73-07 E", 19.96, "5.80", "19.10"),
    ];
    run_out(&rows, 0.5);
}

/// Source: MSTE 32 Surveying, "Area Computations solutions", situation 1 (review
/// handout, undated; weak), meters.
#[test]
fn four_sides_to_the_millimeter() {
    let rows = [
        ("N 30 E", 120.2, "104.096", "60.1"),
        ("N 78 E", 90.2, "18.754", "88.229"),
        ("S 32 E", 88.4, "-74.967", "46.845"),
        ("S 76.215 W", 200.96, "-47.885", "-195.172"),
    ];
    run_out(&rows, 0.6);
}

/// Source: "Closed traverse, missing bearing" (class upload, undated; weak),
/// problem I (meters): the known courses, the line that closes them, and the angles at
/// its ends under the unknown sides of 64.88 and 107.72. The page adds rounded figures
/// and carries the closing line to the minute; its angles are within 3 minutes.
#[test]
fn known_courses_and_their_closing_line() {
    let rows = [
        ("S 35-30 W", 44.37, "-36.12", "-25.77"),
        ("N 57-15 W", 137.84, "74.57", "-115.93"),
        ("N 1-45 E", 12.83, "12.83", "0.39"),
    ];
    let gap = run_out(&rows, 1.0).closure().gap();
    assert_printed(-gap.north(), "-51.28", 1.5);
    assert_printed(-gap.east(), "141.31", 1.5);
    assert_printed(gap.length().feet(), "150.33", 2.0);
    let printed = read_direction("S 70-03 E").expect("a bearing").value;
    let minutes = (gap.azimuth().reversed().degrees() - printed.azimuth().degrees()) * 60.0;
    assert!(minutes.abs() < 1.0, "{minutes}");
    let feet = |it| Length::from_feet(it).expect("a length");
    let angle = |side, opposite| {
        let angle = angle_of_sides(feet(side), gap.length(), feet(opposite));
        angle.expect("a triangle").degrees() * 60.0
    };
    assert!((angle(107.72, 64.88) - (22.0 * 60.0 + 11.0)).abs() < 3.0);
    assert!((angle(64.88, 107.72) - (38.0 * 60.0 + 51.0)).abs() < 3.0);
}
