use super::*;

#[test]
fn the_last_digit_of_an_area_is_that_of_the_unit_it_is_short_in() {
    let acres = |count: f64| half_last_digit_of_area(count * 43_560.0) / 43_560.0;
    assert!((acres(48.16) - 0.005).abs() < 1e-12);
    assert!((acres(640.0) - 0.5).abs() < 1e-12);
    assert!((half_last_digit_of_area(4_720.0) - 0.5).abs() < 1e-12);
    assert!((half_last_digit_of_area(37_506.2) - 0.05).abs() < 1e-12);
}
