//! Published missing measurements and turned directions. Each check names its
//! source.

use fence_geom::{
    Angle, Completed, Length, StatedCall, StatedDirection, Tract, Turn, complete, read_angle,
    read_direction, traverse,
};
use fence_tests::assert_printed;

fn line(direction: Option<&str>, length: Option<f64>) -> StatedCall {
    let direction =
        direction.map(|words| StatedDirection::Given(read_direction(words).expect(words).value));
    StatedCall::line(
        direction,
        length.map(|it| Length::from_feet(it).expect("a length")),
    )
}

fn completed(calls: Vec<StatedCall>) -> Vec<Completed> {
    let tract = Tract {
        calls,
        ..Tract::default()
    };
    complete(&tract).expect("an answer")
}

fn degrees(words: &str) -> f64 {
    read_direction(words)
        .expect(words)
        .value
        .azimuth()
        .degrees()
}

fn azimuth(answer: &Completed, call: usize) -> f64 {
    answer.deed.calls()[call].direction().azimuth().degrees()
}

/// Source: J. Gummere, "A Treatise on Surveying" (19th century), p. 133, Example 3
/// (chains). The quarter degrees of the scan are read as the printed lengths
/// confirm.
#[test]
fn two_lengths() {
    let answers = completed(vec![
        line(Some("S 20-30 W"), None),
        line(Some("N 51-15 W"), None),
        line(Some("N 78-49 E"), Some(29.54)),
    ]);
    assert_eq!(answers.len(), 1);
    let length = |call: usize| answers[0].deed.calls()[call].distance().feet();
    assert_printed(length(0), "23.80", 0.5);
    assert_printed(length(1), "26.47", 0.5);
}

/// Source: J. Gummere, "A Treatise on Surveying" (19th century), p. 128, Example 1
/// (chains): three courses around a pond stand for one. The book adds latitudes and
/// departures rounded to the hundredth.
#[test]
fn one_course_around_a_pond() {
    let answers = completed(vec![
        line(Some("S 52-00 W"), Some(10.7)),
        line(Some("S 7-30 W"), Some(13.92)),
        line(Some("S 33-15 E"), Some(9.0)),
        line(None, None),
    ]);
    assert!(answers[0].closed_by_construction);
    let back = &answers[0].deed.calls()[3];
    assert!(back.solved().direction && back.solved().distance);
    assert_printed(back.distance().feet(), "28.42", 1.0);
    let minutes = (azimuth(&answers[0], 3) - degrees("N 10-47 E")) * 60.0;
    assert!(minutes.abs() < 1.0, "{minutes}");
}

/// Source: "Closed traverse, missing bearing" (class upload, undated; weak),
/// problem I (meters). Its angles carry the minute to which it rounds the closing
/// line.
#[test]
fn two_bearings_of_neighbors() {
    let answers = completed(vec![
        line(None, Some(64.88)),
        line(None, Some(107.72)),
        line(Some("S 35-30 W"), Some(44.37)),
        line(Some("N 57-15 W"), Some(137.84)),
        line(Some("N 1-45 E"), Some(12.83)),
    ]);
    assert_eq!(answers.len(), 2);
    let off = |answer: &Completed| {
        let first = (azimuth(answer, 0) - degrees("N 71-06 E")).abs();
        let second = (azimuth(answer, 1) - degrees("S 47-52 E")).abs();
        first.max(second) * 60.0
    };
    assert!(answers.iter().any(|answer| off(answer) < 3.0));
}

/// Source: a pupil's exercise book of 1852-1853, Sandy Spring Museum archives,
/// "Example 2nd" (chains), which answers S 40°29' E and S 47° W: the first and the
/// last bearing, which are neighbors across the beginning, are sought. The length
/// of the third course is taken from its table.
#[test]
fn two_bearings_across_the_beginning() {
    let answers = completed(vec![
        line(None, Some(31.80)),
        line(Some("N 54-00 E"), Some(2.08)),
        line(Some("N 29-15 E"), Some(2.21)),
        line(Some("N 28-45 E"), Some(35.35)),
        line(Some("N 57-00 W"), Some(20.90)),
        line(None, Some(31.30)),
    ]);
    assert_eq!(answers.len(), 2);
    let off = |answer: &Completed| {
        let first = (azimuth(answer, 0) - degrees("S 40-29 E")).abs();
        let second = (azimuth(answer, 5) - degrees("S 47-00 W")).abs();
        first.max(second) * 60.0
    };
    // Logarithms of four or five figures, bearings to the quarter degree.
    assert!(answers.iter().any(|answer| off(answer) < 15.0));
}

/// Source: J. Mahun, "Solution: Angles from Directions Set 1", Problem (1), Open
/// Access Surveying Library: deflections between the courses of a link traverse.
#[test]
fn directions_by_deflection() {
    let turned = |angle: &str, turn| {
        let angle = read_angle(angle).expect(angle).value;
        let direction = StatedDirection::Turned { angle, turn };
        StatedCall::line(
            Some(direction),
            Some(Length::from_feet(100.0).expect("100")),
        )
    };
    let mut calls = vec![
        line(Some("N 30-00-00 E"), Some(100.0)),
        turned("88-40-10", Turn::Right),
        turned("105-18-25", Turn::Right),
        turned("120-52-40", Turn::Left),
        turned("32-24-50", Turn::Left),
        turned("47-45-15", Turn::Left),
    ];
    calls[5].corner = Some("end".to_owned());
    let answer = completed(calls).remove(0);
    let printed = [
        "N 30-00-00 E",
        "S 61-19-50 E",
        "S 43-58-35 W",
        "S 76-54-05 E",
        "N 70-41-05 E",
        "N 22-55-50 E",
    ];
    for (i, words) in printed.iter().enumerate() {
        assert!(
            (azimuth(&answer, i) - degrees(words)).abs() < 1e-9,
            "{words}"
        );
    }
}

/// Source: J. Mahun, "Traverse Computations", Chapter C, "2. Bearings from interior
/// angles", Fig. C-23 to C-27, Open Access Surveying Library: an interior angle of a
/// clockwise figure deflects to the right by what it lacks of two right angles.
#[test]
fn directions_by_interior_angles() {
    let interior = |angle: &str| {
        let angle = Angle::STRAIGHT - read_angle(angle).expect(angle).value;
        let turn = Turn::Right;
        let direction = StatedDirection::Turned { angle, turn };
        StatedCall::line(
            Some(direction),
            Some(Length::from_feet(100.0).expect("100")),
        )
    };
    let mut calls = vec![
        line(Some("N 36-55 E"), Some(100.0)),
        interior("117-19-00"),
        interior("87-42-00"),
        interior("93-38-00"),
        interior("61-21-00"),
    ];
    calls[4].corner = Some("end".to_owned());
    let answer = completed(calls).remove(0);
    let printed = [
        "N 36-55 E",
        "S 80-24 E",
        "S 11-54 W",
        "N 81-44 W",
        "N 36-55 E",
    ];
    for (i, words) in printed.iter().enumerate() {
        assert!(
            (azimuth(&answer, i) - degrees(words)).abs() < 1e-9,
            "{words}"
        );
    }
}

/// Source: Math Central, "lot size", QQ.09.15, University of Regina (2015): lots of
/// 38 by 105 ft and 45 by 105 ft, together 0.20 acres. The last side is left to
/// closure.
#[test]
fn lots_closed_by_construction() {
    let mut acres = 0.0;
    for (width, printed) in [(38.0, "3990"), (45.0, "4725")] {
        let answer = completed(vec![
            line(Some("due north"), Some(105.0)),
            line(Some("due east"), Some(width)),
            line(Some("due south"), Some(105.0)),
            line(None, None),
        ])
        .remove(0);
        let computed = traverse(&answer.deed);
        assert_printed(computed.area().square_feet(), printed, 0.5);
        assert_eq!(computed.closure().ratio(), None);
        acres += computed.area().acres();
    }
    assert_printed(acres, "0.20", 0.5);
}
