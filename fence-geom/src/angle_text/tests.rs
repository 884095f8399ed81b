use super::*;
use crate::AngleStyle;

fn text_of(text: &str) -> String {
    read_direction(text)
        .unwrap_or_else(|error| panic!("{error}"))
        .value
        .to_text(AngleStyle::SECONDS)
}

fn fault(text: &str) -> (String, String) {
    match read_direction(text) {
        Ok(reading) => panic!("{text:?} was read as {reading:?}"),
        Err(error) => (error.text[error.at].to_owned(), error.problem),
    }
}

#[test]
fn quadrant_bearings_in_every_spelling() {
    for text in [
        "N 45°30'15\" E",
        "N45°30'15\"E",
        "n 45° 30′ 15″ e",
        "N. 45º 30’ 15” E.",
        "N45-30-15E",
        "N-45-30-15-E",
        "N 45 30 15 E",
        "N45d30m15sE",
        "N45deg30min15secE",
        "North 45 deg 30 min 15 sec East",
        "North 45 deg. 30 min. 15 sec. East",
        "North 45 degrees 30 minutes 15 seconds East",
        "NORTH 45 DEG 30' 15\" EAST",
        "N 45°30'15'' E",
    ] {
        assert_eq!(text_of(text), "N 45°30'15\" E", "{text}");
        assert!(read_direction(text).expect(text).assumed.is_empty());
    }
}

#[test]
fn parts_of_a_bearing_may_be_left_off_at_the_end() {
    for (text, wanted) in [
        ("N 45.5 E", "N 45°30'00\" E"),
        ("N45.5°E", "N 45°30'00\" E"),
        ("N45.5W", "N 45°30'00\" W"),
        ("S 58° W", "S 58°00'00\" W"),
        ("S45½°E", "S 45°30'00\" E"),
        ("S45-1/2E", "S 45°30'00\" E"),
        ("S 0 degree 1 minute W", "S 0°01'00\" W"),
        ("S 83°20' E", "S 83°20'00\" E"),
        ("N 90° W", "N 90°00'00\" W"),
        ("north", "N 0°00'00\" E"),
        ("N", "N 0°00'00\" E"),
        ("due south", "S 0°00'00\" E"),
        ("Due E", "N 90°00'00\" E"),
        ("west", "N 90°00'00\" W"),
    ] {
        assert_eq!(text_of(text), wanted, "{text}");
    }
    assert_eq!(
        read_direction("N45-30-15.25E")
            .expect("decimals")
            .value
            .to_text(AngleStyle::Dms { decimals: 2 }),
        "N 45°30'15.25\" E"
    );
}

#[test]
fn azimuths_say_that_they_are() {
    for text in ["az 123.5", "azimuth 123°30'", "Az. 123-30", "AZ123.5deg"] {
        assert_eq!(text_of(text), "123°30'00\"", "{text}");
        assert!(read_direction(text).expect(text).assumed.is_empty());
    }
    for text in ["123.5", "123.5 deg", "123-30-00", "123°30'"] {
        assert_eq!(text_of(text), "123°30'00\"", "{text}");
        let assumed = read_direction(text).expect(text).assumed;
        assert!(assumed[0].contains("azimuth"), "{assumed:?}");
    }
    assert_eq!(text_of("az 360"), "0°00'00\"");
}

#[test]
fn a_hyphen_is_no_sign() {
    for text in ["N-45-30-15-E", "N - 45 - 30 - 15 - E", "N- 45°30'15\" E"] {
        assert_eq!(text_of(text), "N 45°30'15\" E", "{text}");
    }
}

#[test]
fn refusals_name_the_words_at_fault() {
    for (text, at, problem) in [
        ("", "", "empty"),
        ("89-11-38 East", "89-11-38 East", "N or S is missing"),
        ("N 89-11-38", "N 89-11-38", "E or W is missing"),
        ("N 90-00-01 E", "90-00-01", "0 to 90"),
        ("N 95 E", "95", "0 to 90"),
        ("N 45°60' E", "60", "minutes must be less than 60"),
        ("N45-30-60E", "60", "seconds must be less than 60"),
        ("N 45.5°30' E", "45.5°30' E", "only the last"),
        ("N 30' E", "'", "this marks minutes"),
        ("N 45°15\" E", "\"", "this marks seconds"),
        ("N 45 N", "N", "ends with E or W"),
        ("E 45 N", "E 45 N", "starts with N or S"),
        ("northeast", "northeast", "number is missing"),
        ("NE", "NE", "number is missing"),
        ("due N 45 E", "N 45 E", "after \"due\""),
        ("az 360.5", "360.5", "0 to 360"),
        ("-45", "-45", "no sign"),
        ("az -0d30m", "-0d30m", "no sign"),
        ("N -0°30' E", "-0°30' E", "no sign"),
        ("S −45 W", "−45 W", "no sign"),
        ("N 1e3 E", "3 E", "left over"),
        ("N 45 E 100 ft", "100 ft", "left over"),
        ("N nan E", "nan", "number is missing"),
        ("N.45 E", "N", "period"),
    ] {
        let (words, said) = fault(text);
        assert_eq!(words, at, "{text:?}: {said}");
        assert!(said.contains(problem), "{text:?}: {said}");
    }
    assert!("123.5".parse::<Bearing>().is_err());
}

#[test]
fn angles_keep_their_sign_apart() {
    for (text, degrees) in [
        ("90", 90.0),
        ("90deg", 90.0),
        ("-0°30'", -0.5),
        ("-0-30", -0.5),
        ("+0-30", 0.5),
        ("45d30m", 45.5),
        ("45-30-00", 45.5),
        ("0.5 degrees", 0.5),
    ] {
        let angle = read_angle(text).expect(text).value;
        assert!((angle.degrees() - degrees).abs() < 1e-13, "{text}");
    }
    let angle: Angle = "-0-30".parse().expect("an angle");
    assert_eq!(angle.to_text(AngleStyle::SECONDS), "-0°30'00\"");
    assert_eq!(angle.to_shell_text(AngleStyle::SECONDS), "-0-30-00");
}

#[test]
fn a_right_angle_is_within_the_quadrant() {
    let east: Bearing = "N90E".parse().expect("a bearing");
    assert_eq!(east.angle(), Angle::RIGHT);
}
