use serde::de::DeserializeOwned;

use super::*;
use crate::{
    AngleStyle, Direction, FootKind, InchFraction, LengthReader, LengthStyle, LengthUnit, Reading,
    Turn,
};

#[track_caller]
fn assert_written<T>(value: &T, json: &str)
where
    T: Serialize + DeserializeOwned + PartialEq + std::fmt::Debug,
{
    assert_eq!(serde_json::to_string(value).expect("written"), json);
    assert_eq!(&serde_json::from_str::<T>(json).expect("read"), value);
}

#[track_caller]
fn assert_refused<T: DeserializeOwned + std::fmt::Debug>(json: &str, because: &str) {
    let error = serde_json::from_str::<T>(json).expect_err(json).to_string();
    assert!(error.contains(because), "{error}");
}

fn azimuth(text: &str) -> Azimuth {
    text.parse().expect(text)
}

#[test]
fn quantities_are_written_with_their_units() {
    let length = Length::from_feet(12.1).expect("a length");
    assert_written(&length, r#"{"feet":12.1}"#);
    assert_written(&-length.forward(), r#"{"feet":-12.1}"#);
    let area = Area::from_square_feet(0.5).expect("an area");
    assert_written(&area, r#"{"square_feet":0.5}"#);
    let angle = Angle::from_radians(-0.25).expect("an angle");
    assert_written(&angle, r#"{"radians":-0.25}"#);
    assert_written(&azimuth("az 0.25 rad"), r#"{"radians":0.25}"#);
    let point = Point::new(1.5, -2.0).expect("a point");
    assert_written(&point, r#"{"north_ft":1.5,"east_ft":-2.0}"#);
    assert_written(
        &(point - Point::ORIGIN),
        r#"{"north_ft":1.5,"east_ft":-2.0}"#,
    );
    assert_written(&azimuth("S 0.25 rad E").bearing().from(), r#""south""#);
    assert_written(
        &Direction::Bearing("N 0.25 rad W".parse().expect("a bearing")),
        r#"{"bearing":{"from":"north","angle":{"radians":0.25},"toward":"west"}}"#,
    );
}

#[test]
fn choices_are_written_as_words() {
    assert_written(&Turn::Left, r#""left""#);
    assert_written(
        &LengthUnit::Chain(FootKind::UsSurvey),
        r#"{"chain":"us_survey"}"#,
    );
    assert_written(
        &LengthReader::bare(LengthUnit::Inch),
        r#"{"bare":"inch","foot":"international","chain_foot":"us_survey"}"#,
    );
    assert_written(
        &LengthStyle::FeetInches(InchFraction::Eighth),
        r#"{"feet_inches":"eighth"}"#,
    );
    assert_written(&AngleStyle::SECONDS, r#"{"dms":{"decimals":0}}"#);
    assert_written(&Reading::sure(1), r#"{"value":1,"assumed":[]}"#);
}

#[test]
fn construction_checks_run_on_reading() {
    assert_refused::<Length>(r#"{"feet":-1.0}"#, "from 0 to");
    assert_refused::<Shift>(r#"{"feet":1e13}"#, "within");
    assert_refused::<Area>(r#"{"square_feet":-1.0}"#, "from 0 to");
    assert_refused::<Angle>(r#"{"radians":1e300}"#, "within");
    assert_refused::<Azimuth>(r#"{"radians":1e300}"#, "within");
    assert_refused::<Point>(r#"{"north_ft":1e13,"east_ft":0}"#, "coordinate");
    assert_refused::<Bearing>(
        r#"{"from":"north","angle":{"radians":1.6},"toward":"west"}"#,
        "from 0 to 90",
    );
}

#[test]
fn a_ring_is_checked_on_reading() {
    let corner = |name, north, east| (name, Point::new(north, east).expect("a point"));
    let ring = Ring::of_lines([
        corner("A", 0.0, 0.0),
        corner("B", 50.0, 0.0),
        corner("C", 0.0, 50.0),
    ])
    .expect("a ring");
    let json = serde_json::to_string(&ring).expect("written");
    assert_eq!(serde_json::from_str::<Ring>(&json).expect("read"), ring);
    assert_refused::<Ring>(&json.replace(r#""B""#, r#""A""#), "\"A\"");
    let arc = Side::Arc {
        delta: Angle::from_radians(0.5).expect("an angle"),
        turn: Turn::Right,
    };
    assert_written(&arc, r#"{"arc":{"delta":{"radians":0.5},"turn":"right"}}"#);
}
