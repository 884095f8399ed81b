use super::read_description;
use crate::tract::{StatedCourse, StatedDirection};

/// The straight calls of the first tract as azimuth and feet.
fn lines(text: &str) -> Vec<(f64, f64)> {
    let read = read_description(text).expect("calls");
    assert!(read.unread.is_empty(), "{text}: {:?}", read.unread);
    read.tracts[0]
        .calls
        .iter()
        .map(|call| match &call.course {
            StatedCourse::Line {
                direction: Some(StatedDirection::Given(direction)),
                distance: Some(distance),
            } => (direction.azimuth().degrees(), distance.feet()),
            other => panic!("{other:?}"),
        })
        .collect()
}

#[test]
fn a_plain_call_is_read() {
    let read = lines("Beginning at a pin; thence North 10°15' East 104.37 feet to a stake.");
    assert!((read[0].0 - 10.25).abs() < 1e-9);
    assert!((read[0].1 - 104.37).abs() < 1e-9);
}
