use super::{half_last_digit, neighbors};

fn plain(text: &str) -> Option<f64> {
    text.parse().ok()
}

#[test]
fn decimals_count_to_the_last_written_place() {
    assert!((half_last_digit("104.30", plain) - 0.005).abs() < 1e-12);
    assert!((half_last_digit("319", plain) - 0.5).abs() < 1e-12);
    assert!((half_last_digit("0.0", plain) - 0.05).abs() < 1e-12);
}

#[test]
fn a_borrow_goes_through_the_whole_number() {
    assert_eq!(neighbors("N 45 30 00 E"), ["N 45 30 01 E"]);
    assert_eq!(neighbors("100"), ["099", "101"]);
}

#[test]
fn a_fraction_counts_by_its_numerator() {
    assert_eq!(neighbors("6-1/2\""), ["6-0/2\"", "6-2/2\""]);
}

#[test]
fn words_without_digits_are_exact() {
    assert!(half_last_digit("due north", |_| Some(0.0)).abs() < 1e-300);
}
