use super::*;
use InchFraction::{Eighth, Half, Quarter, Sixteenth, SixtyFourth, ThirtySecond, Whole};

fn feet(feet: f64) -> Length {
    Length::from_feet(feet).expect("a length")
}

fn inch(inches: f64) -> Length {
    Length::from_inches(inches).expect("a length")
}

#[test]
fn feet_and_inches_carry() {
    for (inches, fraction, text, shell) in [
        (0.0, Eighth, "0\"", "0in"),
        (0.5, Eighth, "1/2\"", "1/2in"),
        (6.5, Eighth, "6-1/2\"", "6-1/2in"),
        (12.0, Eighth, "1' 0\"", "1ft0in"),
        (12.5, Eighth, "1' 0-1/2\"", "1ft0-1/2in"),
        (150.5, Half, "12' 6-1/2\"", "12ft6-1/2in"),
        (11.0 + 31.0 / 32.0, Sixteenth, "1' 0\"", "1ft0in"),
        (11.0 + 30.0 / 32.0, Sixteenth, "11-15/16\"", "11-15/16in"),
        (23.9999, SixtyFourth, "2' 0\"", "2ft0in"),
        (143.5, Whole, "12' 0\"", "12ft0in"),
        (3.0 + 1.0 / 16.0, Eighth, "3-1/8\"", "3-1/8in"),
        (3.0 + 1.0 / 64.0, ThirtySecond, "3-1/32\"", "3-1/32in"),
        (3.7, Quarter, "3-3/4\"", "3-3/4in"),
    ] {
        let style = LengthStyle::FeetInches(fraction);
        assert_eq!(inch(inches).to_text(style), text);
        assert_eq!(inch(inches).to_shell_text(style), shell);
    }
    assert_eq!(inch(54.25).to_text(LengthStyle::Inches(Eighth)), "54-1/4\"");
}

#[test]
fn shifts_keep_their_sign_apart() {
    let shift = |inches| Shift::from_inches(inches).expect("a shift");
    assert_eq!(shift(-0.5).to_text(LengthStyle::CREW), "-1/2\"");
    assert_eq!(shift(-18.0).to_shell_text(LengthStyle::CREW), "-1ft6in");
    assert_eq!(shift(-0.01).to_text(LengthStyle::CREW), "0\"");
    let tenths = LengthStyle::DecimalFeet { places: 1 };
    assert_eq!(shift(-0.01).to_text(tenths), "0.0 ft");
    assert_eq!(shift(-3.0).to_text(LengthStyle::Exact), "-0.25 ft");
}

#[test]
fn figures_of_the_record_and_stations() {
    assert_eq!(
        feet(104.37).to_text(LengthStyle::RECORD),
        "104.37 ft (104' 4-7/16\")"
    );
    assert_eq!(feet(104.37).to_shell_text(LengthStyle::RECORD), "104.37ft");
    for (length, places, text) in [
        (237.4, 2, "2+37.40"),
        (5.0, 0, "0+05"),
        (0.0, 1, "0+00.0"),
        (99.999, 2, "1+00.00"),
        (12_345.6, 1, "123+45.6"),
    ] {
        assert_eq!(feet(length).to_text(LengthStyle::Station { places }), text);
    }
    let meters = Length::from_meters(3.82).expect("a length");
    assert_eq!(meters.to_text(LengthStyle::Meters { places: 3 }), "3.820 m");
    assert_eq!(
        meters.to_shell_text(LengthStyle::Meters { places: 2 }),
        "3.82m"
    );
}

#[test]
fn the_longest_length_prints() {
    let longest = feet(Length::MAX_FEET);
    assert_eq!(
        longest.to_text(LengthStyle::FeetInches(SixtyFourth)),
        "1000000000000' 0\""
    );
}
