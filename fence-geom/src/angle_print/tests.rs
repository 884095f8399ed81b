use super::*;

fn angle(degrees: f64) -> Angle {
    Angle::from_degrees(degrees).expect("an angle")
}

#[test]
fn seconds_carry_to_minutes_and_degrees() {
    let degrees = 45.0 + 30.0 / 60.0 + 59.999 / 3600.0;
    for (decimals, text) in [
        (0, "45°31'00\""),
        (2, "45°31'00.00\""),
        (3, "45°30'59.999\""),
    ] {
        assert_eq!(angle(degrees).to_text(AngleStyle::Dms { decimals }), text);
    }
    assert_eq!(angle(59.999_999).to_text(AngleStyle::SECONDS), "60°00'00\"");
}

#[test]
fn an_azimuth_that_rounds_up_to_a_full_turn_is_north() {
    let azimuth = Azimuth::from_degrees(359.999_999).expect("an azimuth");
    assert_eq!(azimuth.to_text(AngleStyle::SECONDS), "0°00'00\"");
    let tenths = AngleStyle::Decimal { places: 1 };
    assert_eq!(azimuth.to_text(tenths), "0.0°");
    assert_eq!(azimuth.to_shell_text(AngleStyle::Exact), "359.999999deg");
}

#[test]
fn what_rounds_to_nothing_has_no_sign() {
    assert_eq!(angle(-0.000_01).to_text(AngleStyle::SECONDS), "0°00'00\"");
    assert_eq!(angle(-0.000_5).to_text(AngleStyle::SECONDS), "-0°00'02\"");
}

#[test]
fn display_takes_decimals_of_a_second() {
    let angle = angle(12.504_2);
    assert_eq!(format!("{angle} {angle:.1}"), "12°30'15\" 12°30'15.1\"");
}

#[test]
fn bearings_print_for_paper_and_for_a_shell() {
    let bearing: Bearing = "S 7 W".parse().expect("a bearing");
    assert_eq!(bearing.to_text(AngleStyle::SECONDS), "S 7°00'00\" W");
    assert_eq!(bearing.to_shell_text(AngleStyle::SECONDS), "S7-00-00W");
    let tenths = AngleStyle::Decimal { places: 1 };
    assert_eq!(bearing.to_text(tenths), "S 7.0° W");
    assert_eq!(bearing.to_shell_text(tenths), "S7.0degW");
}

#[test]
fn an_angle_as_given_reads_back_to_the_same_value() {
    for text in [
        "N 45°30'15\" E",
        "N 45°30'15.2\" E",
        "S 0°00'00.001\" W",
        "N 89°59'59.99999\" W",
    ] {
        let bearing: Bearing = text.parse().expect("a bearing");
        let printed = bearing.to_text(AngleStyle::as_given(bearing.angle()));
        assert_eq!(printed, text);
        assert_eq!(printed.parse::<Bearing>().expect("read back"), bearing);
    }
    assert_eq!(
        AngleStyle::as_given(angle(100.0 / 3.0)),
        AngleStyle::SECONDS
    );
    assert_eq!(AngleStyle::as_given(angle(1.0 / 7.0)), AngleStyle::SECONDS);
}
