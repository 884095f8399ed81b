use super::*;

fn length(feet: f64, half: f64) -> String {
    let of = |feet| Length::from_feet(feet).unwrap();
    Figure::of_length(of(feet), of(half)).text()
}

fn chains(count: f64) -> f64 {
    LengthUnit::Chain(FootKind::UsSurvey).feet() * count
}

#[test]
fn a_length_is_shown_in_the_unit_and_to_the_place_it_was_written_in() {
    assert_eq!(length(16_869.65, 0.005), "16869.65 ft");
    assert_eq!(length(100.0, 0.5), "100 ft");
    assert_eq!(length(chains(12.5), chains(0.005)), "12.50 ch");
    assert_eq!(length(12.5, 0.5 / 12.0), "12 ft 6 in");
    assert_eq!(length(250.0 / 0.3048, 0.0), "250 m");
    assert_eq!(length(330.0, 0.0), "330 ft");
    assert_eq!(length(std::f64::consts::PI, 0.0), "3.14 ft");
}

#[test]
fn an_angle_is_shown_in_the_parts_it_was_written_in() {
    let text = |degrees, half| Figure::of_degrees(degrees, half, 90.0).text();
    let second = 1.0 / 3600.0;
    assert_eq!(
        text(69.0 + 14.0 / 60.0 + 21.0 * second, second / 2.0),
        "69°14'21\""
    );
    assert_eq!(text(2.5, 1.0 / 120.0), "2°30'");
    assert_eq!(text(45.0, 0.5), "45°");
    assert_eq!(text(45.5, 0.005), "45.50°");
    assert_eq!(text(1.0, 0.0), "1°00'00\"");
    assert_eq!(text(0.5 * second, second / 20.0), "0°00'00.5\"");
    assert_eq!(
        text(29.0 + 59.9999 / 60.0 + 0.01 * second, second / 2.0),
        "30°00'00\""
    );
}

#[test]
fn no_two_changes_have_one_value_and_parts_keep_their_limits() {
    let figure = Figure::of_degrees(5.0 + 9.0 / 60.0, 1.0 / 120.0, 90.0);
    let changes = figure.changes();
    let texts: Vec<String> = changes.iter().map(|(_, it)| it.text()).collect();
    assert!(texts.contains(&"50°09'".to_owned()), "{texts:?}");
    assert!(texts.contains(&"5°49'".to_owned()), "{texts:?}");
    assert!(!texts.iter().any(|text| text.ends_with("°90'")));
    let mut values: Vec<f64> = changes.iter().map(|(_, it)| it.value()).collect();
    values.sort_by(f64::total_cmp);
    let count = values.len();
    values.dedup();
    assert_eq!(values.len(), count);
}

#[test]
fn a_number_is_tried_in_the_other_units_of_its_foot() {
    let of = |feet| Length::from_feet(feet).unwrap();
    let figure = Figure::of_length(of(chains(2.5)), of(chains(0.05)));
    let texts: Vec<String> = figure.other_units().iter().map(Figure::text).collect();
    assert_eq!(texts, ["2.5 ft", "2.5 m", "2.5 rd", "2.5 lk", "2.5 yd"]);
}

#[test]
fn another_value_is_written_in_the_same_way() {
    let of = |feet| Length::from_feet(feet).unwrap();
    let chains_to_hundredths = Figure::of_length(of(chains(12.5)), of(chains(0.005)));
    assert_eq!(chains_to_hundredths.at(chains(3.0)).text(), "3.00 ch");
    let inches = Figure::of_length(of(12.5), of(0.5 / 12.0));
    assert_eq!(inches.at(3.25).text(), "3.25 ft");
    let seconds = Figure::of_degrees(16.0, 0.5 / 3600.0, 360.0);
    assert_eq!(seconds.at(27.5).text(), "27°30'00\"");
}
