use super::*;

fn has(number: &str, kind: SlipKind, text: &str) -> bool {
    digit_changes(number)
        .iter()
        .any(|(its, changed)| *its == kind && changed == text)
}

#[test]
fn a_number_is_changed_in_each_way_that_a_pen_slips() {
    assert!(has("16869.65", SlipKind::ExtraDigit, "1689.65"));
    assert!(has("69", SlipKind::WrongDigit, "60"));
    assert!(has("104.37", SlipKind::LostDigit, "1104.37"));
    assert!(has("104.37", SlipKind::TransposedDigits, "140.37"));
    assert!(has("104.37", SlipKind::TransposedDigits, "103.47"));
    assert!(has("12", SlipKind::LostDigit, "125"));
    assert!(!has("1.2", SlipKind::LostDigit, "1.25"));
}

#[test]
fn a_point_goes_into_a_whole_number_only() {
    let texts = |number| -> Vec<String> {
        let made = points_put_in(number);
        made.into_iter().map(|(_, text)| text).collect()
    };
    assert_eq!(texts("24018"), ["240.18", "2401.8"]);
    assert!(texts("240.18").is_empty());
    assert!(texts("5").is_empty());
}
