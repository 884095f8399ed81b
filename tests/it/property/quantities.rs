//! Lengths, angles and directions as text: what is printed reads back, and no
//! text makes a reader panic.

use std::f64::consts::TAU;

use fence_geom::{
    Angle, AngleStyle, Azimuth, Bearing, Direction, FootKind, InchFraction, Length, LengthReader,
    LengthStyle, LengthUnit, ReadError, Shift, read_angle, read_direction,
};
use proptest::prelude::*;

fn fraction() -> impl Strategy<Value = InchFraction> {
    prop::sample::select(vec![
        InchFraction::Whole,
        InchFraction::Half,
        InchFraction::Quarter,
        InchFraction::Eighth,
        InchFraction::Sixteenth,
        InchFraction::ThirtySecond,
        InchFraction::SixtyFourth,
    ])
}

fn length_style() -> impl Strategy<Value = LengthStyle> {
    let places = 0..12_u8;
    prop_oneof![
        fraction().prop_map(LengthStyle::FeetInches),
        fraction().prop_map(LengthStyle::Inches),
        places
            .clone()
            .prop_map(|places| LengthStyle::DecimalFeet { places }),
        (places.clone(), fraction())
            .prop_map(|(places, fraction)| LengthStyle::BothWays { places, fraction }),
        places
            .clone()
            .prop_map(|places| LengthStyle::Station { places }),
        places.prop_map(|places| LengthStyle::Meters { places }),
        Just(LengthStyle::Exact),
    ]
}

fn angle_style() -> impl Strategy<Value = AngleStyle> {
    prop_oneof![
        (0..8_u8).prop_map(|decimals| AngleStyle::Dms { decimals }),
        (0..12_u8).prop_map(|places| AngleStyle::Decimal { places }),
        Just(AngleStyle::Exact),
    ]
}

/// Half a unit in the last place that a style prints, in feet.
fn rounding(style: LengthStyle) -> f64 {
    let decimal = |places: u8| 0.5 * 0.1_f64.powi(i32::from(places.min(9)));
    match style {
        LengthStyle::FeetInches(fraction) | LengthStyle::Inches(fraction) => {
            0.5 / 12.0 / f64::from(fraction.per_inch())
        }
        LengthStyle::Meters { places } => decimal(places) / 0.3048,
        LengthStyle::DecimalFeet { places }
        | LengthStyle::BothWays { places, .. }
        | LengthStyle::Station { places } => decimal(places),
        _ => 0.0,
    }
}

/// From nothing to some twenty miles, many of them just at, below or above a
/// place where rounding carries.
fn feet() -> impl Strategy<Value = f64> {
    prop_oneof![
        0.0..100_000.0,
        0.0..20.0,
        (0..100_000_u32).prop_map(|ticks| f64::from(ticks) / (12.0 * 128.0)),
        (0..100_000_u32).prop_map(|hundredths| f64::from(hundredths) / 100.0),
        (1..1_000_u32).prop_map(|feet| f64::from(feet).next_down()),
        (1..1_000_u32).prop_map(|feet| f64::from(feet).next_up()),
    ]
}

fn degrees(most: f64) -> impl Strategy<Value = f64> {
    prop_oneof![
        0.0..most,
        (0.0..most).prop_map(f64::floor),
        (0.0..most).prop_map(|degrees| degrees.floor().next_down().max(0.0)),
        (0.0..most).prop_map(|degrees| (degrees * 3600.0).floor() / 3600.0),
        (0.0..most).prop_map(|degrees| (degrees * 7200.0).floor() / 7200.0),
        Just(most),
        Just(most.next_down()),
    ]
}

/// Text of the letters and marks that quantities are written with, and any text.
fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        "[0-9./ '\"°+(),½⅜′″º–NESWensw-]{0,16}",
        "(due |az |N |S )?[0-9]{1,3}([-°d ][0-9]{1,2}){0,3}[\"'sm]{0,2} ?(E|W|East)?",
        "([0-9]{1,4}(\\.[0-9]{0,3}|-[0-9]/[0-9]{1,2})? ?(ft|in|'|\"|ch|lk|rods|us ft|m|cm|) ?){0,4}",
        any::<String>(),
    ]
}

/// A refusal that points into its text.
fn check<T>(text: &str, read: Result<T, ReadError>) -> Result<(), TestCaseError> {
    if let Err(error) = read {
        prop_assert_eq!(&error.text, text);
        prop_assert!(text.get(error.at.clone()).is_some(), "{:?}", error);
        prop_assert!(!error.problem.is_empty());
    }
    Ok(())
}

proptest! {
    #[test]
    fn no_text_makes_a_reader_panic(text in text()) {
        let feet = LengthReader::bare(LengthUnit::Foot(FootKind::UsSurvey));
        check(&text, feet.read(&text))?;
        check(&text, feet.read_shift(&text))?;
        check(&text, LengthReader::strict().read(&text))?;
        check(&text, read_direction(&text))?;
        check(&text, read_angle(&text))?;
        check(&text, text.parse::<Length>())?;
        check(&text, text.parse::<Bearing>())?;
    }

    #[test]
    fn what_a_reader_takes_prints_and_reads_the_same(text in text(), style in length_style()) {
        let feet = LengthReader::bare(LengthUnit::Inch);
        if let Ok(reading) = feet.read(&text) && reading.value.feet() < 1e5 {
            let printed = reading.value.to_text(style);
            let again: Length = printed.parse().expect("what was printed");
            prop_assert_eq!(again.to_text(style), printed);
        }
        if let Ok(reading) = read_direction(&text) {
            let printed = reading.value.to_text(AngleStyle::SECONDS);
            let again: Direction = printed.parse().expect("what was printed");
            prop_assert_eq!(again.to_text(AngleStyle::SECONDS), printed);
        }
    }

    #[test]
    fn lengths_read_back(feet in feet(), style in length_style()) {
        let length = Length::from_feet(feet).expect("a length");
        for text in [length.to_text(style), length.to_shell_text(style)] {
            let back: Length = text.parse().expect("what was printed");
            prop_assert_eq!(back.to_text(style), length.to_text(style));
            prop_assert_eq!(back.to_shell_text(style), length.to_shell_text(style));
            let off = back.minus(length).magnitude().feet();
            prop_assert!(off <= rounding(style) * (1.0 + 1e-9) + 1e-15 * feet, "{}", text);
        }
    }

    #[test]
    fn shifts_read_back(feet in -500.0..500.0, style in length_style()) {
        let shift = Shift::from_feet(feet).expect("a shift");
        for text in [shift.to_text(style), shift.to_shell_text(style)] {
            let back: Shift = text.parse().expect("what was printed");
            prop_assert_eq!(back.to_text(style), shift.to_text(style));
            let off = (back - shift).magnitude().feet();
            prop_assert!(off <= rounding(style) * (1.0 + 1e-9) + 1e-12, "{}", text);
        }
    }

    #[test]
    fn exact_lengths_give_the_same_value(feet in prop_oneof![0.0..1e12, 0.0..1.0, Just(1e-300)]) {
        let length = Length::from_feet(feet).expect("a length");
        for text in [length.to_text(LengthStyle::Exact), length.to_shell_text(LengthStyle::Exact)] {
            prop_assert_eq!(text.parse::<Length>().expect("what was printed"), length);
        }
        prop_assert_eq!(length.to_string().parse::<Length>().expect("what was printed"), length);
    }

    /// Inches counted by whole sixty-fourths, put into words here.
    #[test]
    fn feet_inches_and_fractions_are_exact(
        feet in 0..5_000_u32,
        inches in 0..12_u32,
        over in 1..64_u32,
    ) {
        let ticks = f64::from((feet * 12 + inches) * 64 + over);
        let wanted = Length::from_inches(ticks / 64.0).expect("a length");
        for text in [
            format!("{feet}' {inches}-{over}/64\""),
            format!("{feet}ft{inches}-{over}/64in"),
            format!("{feet} feet, {inches} {over}/64 inches"),
        ] {
            prop_assert_eq!(text.parse::<Length>().expect("feet and inches"), wanted);
        }
    }

    #[test]
    fn angles_read_back(degrees in degrees(1080.0), negative: bool, style in angle_style()) {
        let signed = if negative { -degrees } else { degrees };
        let angle = Angle::from_degrees(signed).expect("an angle");
        for text in [angle.to_text(style), angle.to_shell_text(style)] {
            let back: Angle = text.parse().expect("what was printed");
            prop_assert_eq!(back.to_text(style), angle.to_text(style));
        }
    }

    #[test]
    fn azimuths_read_back(degrees in degrees(360.0), style in angle_style()) {
        let azimuth = Azimuth::from_degrees(degrees).expect("an azimuth");
        for text in [azimuth.to_text(style), azimuth.to_shell_text(style)] {
            let back: Azimuth = text.parse().expect("what was printed");
            prop_assert_eq!(back.to_text(style), azimuth.to_text(style));
        }
    }

    #[test]
    fn bearings_read_back(degrees in degrees(90.0), quadrant in 0..4_u8, style in angle_style()) {
        let (from, toward) = [('N', 'E'), ('S', 'E'), ('S', 'W'), ('N', 'W')][usize::from(quadrant)];
        let bearing: Bearing = format!("{from}{degrees}{toward}").parse().expect("a bearing");
        for text in [bearing.to_text(style), bearing.to_shell_text(style)] {
            let back: Bearing = text.parse().expect("what was printed");
            prop_assert_eq!(back.to_text(style), bearing.to_text(style));
        }
        let there_and_back = bearing.azimuth().bearing().azimuth();
        let off = (there_and_back.radians() - bearing.azimuth().radians()).abs();
        prop_assert!(off < 1e-15 * 8.0, "{}", off);
    }

    #[test]
    fn exact_angles_give_the_same_value(radians in -20.0..20.0, along in 0.0..TAU) {
        let angle = Angle::from_radians(radians).expect("an angle");
        for text in [angle.to_text(AngleStyle::Exact), angle.to_shell_text(AngleStyle::Exact)] {
            prop_assert_eq!(text.parse::<Angle>().expect("what was printed"), angle);
        }
        let azimuth = Azimuth::from_radians(along).expect("an azimuth");
        let text = azimuth.to_text(AngleStyle::Exact);
        prop_assert_eq!(text.parse::<Azimuth>().expect("what was printed"), azimuth);
        let bearing = azimuth.bearing();
        let text = bearing.to_shell_text(AngleStyle::Exact);
        prop_assert_eq!(text.parse::<Bearing>().expect("what was printed"), bearing);
    }
}
