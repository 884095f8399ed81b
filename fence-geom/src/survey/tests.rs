//! Orders of places, and the doubt of a base line and a braced corner.

use super::*;
use crate::estimate::propagate;

fn feet(feet: f64) -> Length {
    Length::from_feet(feet).expect("in range")
}

fn place(name: &str, by: Measurement) -> MeasuredPlace {
    MeasuredPlace {
        name: name.to_owned(),
        by,
    }
}

fn origin() -> MeasuredPlace {
    place(
        "A",
        Measurement::Given {
            at: Point::ORIGIN,
            sigma: Sigma::ZERO,
        },
    )
}

fn tapes(name: &str, first: (&str, f64), second: (&str, f64)) -> MeasuredPlace {
    place(
        name,
        Measurement::Tapes {
            first: (first.0.to_owned(), feet(first.1)),
            second: (second.0.to_owned(), feet(second.1)),
            hand: Turn::Right,
        },
    )
}

fn base(name: &str, reading: f64) -> MeasuredPlace {
    place(
        name,
        Measurement::Along {
            from: "A".to_owned(),
            reading: feet(reading),
            toward: Azimuth::NORTH,
        },
    )
}

#[test]
fn places_are_put_in_order() {
    let corner = tapes("C", ("A", 50.0), ("B", 30.0));
    let survey = Survey::new(
        vec![corner, base("B", 40.0), origin()],
        TapeModel::default(),
    )
    .expect("a survey");
    let names: Vec<&str> = survey.places().iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["A", "B", "C"]);
    let points = survey.points(&survey.observations()).expect("points");
    assert!((points[2].north() - 40.0).abs() < 1e-9);
    assert!((points[2].east() - 30.0).abs() < 1e-9);
}

#[test]
fn places_that_hang_on_each_other_are_refused() {
    let circle = vec![
        origin(),
        tapes("C", ("A", 5.0), ("D", 5.0)),
        tapes("D", ("A", 5.0), ("C", 5.0)),
    ];
    let refused = Survey::new(circle, TapeModel::default());
    assert!(
        matches!(&refused, Err(SurveyError::Circle { names }) if names == "C, D"),
        "{refused:?}"
    );
    let unknown = Survey::new(
        vec![origin(), tapes("C", ("A", 5.0), ("X", 5.0))],
        TapeModel::default(),
    );
    assert!(matches!(unknown, Err(SurveyError::UnknownFrom { .. })));
    let twice = Survey::new(vec![origin(), origin()], TapeModel::default());
    assert!(matches!(twice, Err(SurveyError::SameName { .. })));
    let short = Survey::new(
        vec![
            origin(),
            base("B", 40.0),
            tapes("C", ("A", 5.0), ("B", 5.0)),
        ],
        TapeModel::default(),
    );
    assert!(matches!(short, Err(SurveyError::NoMeeting { .. })));
    let survey = Survey::new(vec![origin()], TapeModel::default()).expect("a survey");
    assert!(matches!(
        survey.points(&[1.0]),
        Err(SurveyError::Count { needed: 2, got: 1 })
    ));
}

/// A right corner taped along its legs: the doubt of each coordinate is that of
/// the tape that points along it, and the common scale ties both.
#[test]
fn doubt_comes_from_the_tapes() {
    let tape = TapeModel {
        reading: Sigma::known(0.01).expect("a number"),
        scale: Sigma::known(0.001).expect("a number"),
    };
    let survey = Survey::new(vec![origin(), base("B", 40.0)], tape).expect("a survey");
    let estimate = propagate(&survey.observations(), &survey.covariance(), |values| {
        survey
            .points(values)
            .map(|points| points.iter().flat_map(|p| [p.north(), p.east()]).collect())
    })
    .expect("smooth");
    // Root of 0.01^2 + (0.001 x 40)^2, north only.
    let expected = 0.01_f64.hypot(0.04);
    assert!((estimate.sigma(2).value().expect("known") - expected).abs() < 1e-9);
    assert!(estimate.sigma(3).value().expect("known") < 1e-9);
    assert_eq!(estimate.sigma(0), Sigma::ZERO);
}
