#![expect(
    clippy::float_cmp,
    reason = "an exact spelling must give the exact value"
)]

use super::*;
use crate::InchFraction::Sixteenth;
use crate::LengthStyle;

fn inches(text: &str) -> f64 {
    LengthReader::strict()
        .read(text)
        .unwrap_or_else(|error| panic!("{error}"))
        .value
        .inches()
}

fn fault(text: &str) -> (String, String) {
    let reader = LengthReader::bare(LengthUnit::Foot(FootKind::International));
    match reader.read(text) {
        Ok(reading) => panic!("{text:?} was read as {reading:?}"),
        Err(error) => (error.text[error.at].to_owned(), error.problem),
    }
}

#[test]
fn feet_and_inches_in_every_spelling() {
    for text in [
        "12' 6-1/2\"",
        "12'6 1/2\"",
        "12ft6-1/2in",
        "12 ft 6 1/2 in",
        "12 ft. 6-1/2 in.",
        "12 FEET 6½ Inches",
        "12 feet, 6½ inches",
        "12 feet and 6.5 inches",
        "12'-6 1/2\"",
        "12′ 6–1⁄2″",
        "12’ 6½”",
        "12'6½''",
        "12′6½′′",
        "  12'\t6.5\"  ",
        "150-1/2in",
        "150½\"",
        "4 yd 6-1/2 in",
    ] {
        assert_eq!(inches(text), 150.5, "{text}");
    }
}

#[test]
fn decimal_feet_inches_and_metric() {
    for (text, feet) in [
        ("12.54'", 12.54),
        ("12.54 feet", 12.54),
        (".71 ft", 0.71),
        ("1,234.56 ft", 1234.56),
        ("12,345,678ft", 12_345_678.0),
        ("12 1/2'", 12.5),
        ("6-1/2in", 6.5 / 12.0),
        ("1/2\"", 0.5 / 12.0),
        ("54''", 4.5),
        ("3 yd", 9.0),
        ("3.82 m", 3.82 / 0.3048),
        ("3.82M", 3.82 / 0.3048),
        ("3 m 82 cm", 3.82 / 0.3048),
        ("382cm", 3.82 / 0.3048),
        ("3820 millimetres", 3.82 / 0.3048),
        ("2+37.40", 237.4),
        ("0+05", 5.0),
        ("12+00.5 ft", 1200.5),
        ("104.37 ft (104' 4-7/16\")", 104.37),
        ("100.00 feet (30.48 m)", 100.0),
        ("0\"", 0.0),
    ] {
        let read = LengthReader::strict()
            .read(text)
            .unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(read.value.feet(), feet, "{text}");
        assert!(read.assumed.is_empty(), "{text}: {:?}", read.assumed);
    }
}

#[test]
fn the_chain_family_says_which_foot() {
    let survey = 500_000.0 / 499_999.0;
    for (text, feet) in [
        ("2 ch 15 lk", 141.9),
        ("2 chains 15 links", 141.9),
        ("2ch15lk", 141.9),
        ("2.15 ch", 141.9),
        ("10 rods", 165.0),
        ("10 poles", 165.0),
        ("10 perches", 165.0),
        ("1 rod", 16.5),
    ] {
        let read = LengthReader::strict().read(text).expect(text);
        assert!(
            (read.value.feet() - feet * survey).abs() < 1e-12 * feet,
            "{text}"
        );
        assert!(read.assumed[0].contains("U.S. survey feet"), "{read:?}");
        let international = LengthReader {
            chain_foot: FootKind::International,
            ..LengthReader::strict()
        };
        let read = international.read(text).expect(text);
        assert!((read.value.feet() - feet).abs() < 1e-12 * feet, "{text}");
        assert!(read.assumed[0].contains("international feet"), "{read:?}");
    }
}

#[test]
fn the_survey_foot_by_name_or_by_setting() {
    let survey = 500_000.0 / 499_999.0;
    for text in [
        "600 us ft",
        "600 US-ft",
        "600 U.S. survey feet",
        "600sft",
        "600 survey feet",
    ] {
        let read = LengthReader::strict().read(text).expect(text);
        assert_eq!(read.value.feet(), 600.0 * survey, "{text}");
        assert!(read.assumed.is_empty());
    }
    let reader = LengthReader {
        foot: FootKind::UsSurvey,
        ..LengthReader::strict()
    };
    let read = reader
        .read("499999 ft 6 in")
        .expect("feet and inches")
        .value;
    assert!((read.feet() - 499_999.5 * survey).abs() < 1e-9);
    assert_eq!(reader.read("3.048 m").expect("meters").value.feet(), 10.0);
}

#[test]
fn what_is_assumed_is_said() {
    let feet = LengthReader::bare(LengthUnit::Foot(FootKind::International));
    let read = feet.read("12-1/2").expect("bare");
    assert_eq!(read.value.feet(), 12.5);
    assert_eq!(read.assumed, ["\"12-1/2\" taken as feet"]);
    let read = feet.read("12' 6").expect("bare inches");
    assert_eq!(read.value.inches(), 150.0);
    assert_eq!(
        read.assumed,
        ["\"6\" taken as inches, because it follows feet"]
    );
    let inch = LengthReader::bare(LengthUnit::Inch);
    assert_eq!(inch.read("6½").expect("bare").value.inches(), 6.5);
    assert!("2 ch".parse::<Length>().is_err());
    assert!("12' 6".parse::<Length>().is_err());
    assert!("12.5".parse::<Length>().is_err());
    assert_eq!("12.5ft".parse::<Length>().expect("unit").feet(), 12.5);
}

#[test]
fn refusals_name_the_words_at_fault() {
    for (text, at, problem) in [
        ("", "", "empty"),
        ("   ", "   ", "empty"),
        ("NaN", "NaN", "number is missing"),
        ("inf ft", "inf", "number is missing"),
        ("-3 ft", "-", "no sign"),
        ("+3 ft", "+", "no sign"),
        ("6-1/0\"", "1/0", "can't be 0"),
        ("121/2\"", "121/2", "less than 1"),
        ("6.5-1/2\"", "6.5-1/2\"", "not both"),
        ("1.5/2\"", "1.5/2", "whole number"),
        ("12' 14\"", "14\"", "fewer than 12 inches"),
        ("2 ch 100 lk", "100 lk", "fewer than 100"),
        ("6\" 12'", "6\" 12'", "out of order"),
        ("5' 6'", "5' 6'", "out of order"),
        ("3 m 2 ft", "3 m 2 ft", "metric"),
        ("12.5 ft 6 in", "12.5 ft", "only the last"),
        ("12-6-1/2", "12-6-1/2", "more than one way"),
        ("12 6", "12 6", "more than one way"),
        ("1,23 ft", "1,23 ft", "more than one way"),
        ("12 furlongs", "furlongs", "no unit known"),
        ("1e3 ft", "e", "no unit known"),
        ("12ft.6in", "f", "period"),
        ("2+3 ft", "2+3", "two digits"),
        ("2+37.40 m", "2+37.40", "in feet"),
        ("104.37 ft (105' 4\")", "(105' 4\")", "differ by 0.96"),
        ("12 ft (3.66 m", "(3.66 m", "not closed"),
        ("12 ft)", ")", "left over"),
        ("12 ft #", "#", "no meaning"),
        ("99999999999999 ft", "99999999999999 ft", "from 0 to 1e12"),
    ] {
        let (words, said) = fault(text);
        assert_eq!(words, at, "{text:?}: {said}");
        assert!(said.contains(problem), "{text:?}: {said}");
    }
}

#[test]
fn shifts_take_a_sign() {
    let strict = LengthReader::strict();
    for (text, inches) in [
        ("-1' 3\"", -15.0),
        ("−1/2in", -0.5),
        ("+3in", 3.0),
        ("3in", 3.0),
    ] {
        let shift = strict.read_shift(text).expect(text).value;
        assert_eq!(shift.inches(), inches, "{text}");
    }
    assert!(strict.read_shift("--3in").is_err());
}

#[test]
fn a_pair_reads_as_its_first_figure() {
    let style = LengthStyle::BothWays {
        places: 2,
        fraction: Sixteenth,
    };
    let text = Length::from_feet(55.005).expect("length").to_text(style);
    let back: Length = text.parse().expect(&text);
    assert_eq!(back.to_text(style), text);
}

#[test]
fn units_are_read_by_name() {
    let reader = LengthReader::strict();
    for (text, unit) in [
        ("ft", LengthUnit::Foot(FootKind::International)),
        ("'", LengthUnit::Foot(FootKind::International)),
        ("U.S. survey feet", LengthUnit::Foot(FootKind::UsSurvey)),
        ("inches", LengthUnit::Inch),
    ] {
        assert_eq!(reader.read_unit(text).expect(text), Reading::sure(unit));
    }
    let chains = reader.read_unit("chains").expect("a unit");
    assert_eq!(chains.value, LengthUnit::Chain(FootKind::UsSurvey));
    assert!(chains.assumed[0].contains("U.S. survey feet"));
    for text in ["", "furlong", "ft ft", "3 ft"] {
        assert!(reader.read_unit(text).is_err(), "{text}");
    }
}
