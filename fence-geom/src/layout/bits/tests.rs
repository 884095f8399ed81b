//! Sets of places against plain lists of numbers.

use super::*;

fn set(count: usize, places: &[usize]) -> Bits {
    let mut bits = Bits::none(count);
    for &place in places {
        bits.set(Some(place));
    }
    bits
}

#[test]
fn moves_and_smears_as_sets_of_numbers_do() {
    let places = [0, 1, 63, 64, 70, 129];
    let bits = set(131, &places);
    for by in [0_usize, 1, 63, 64, 65, 130, 200] {
        let moved: Vec<usize> = places.iter().map(|p| p + by).collect();
        let expected = set(131, &moved);
        assert_eq!(bits.moved(i64::try_from(by).expect("small")), expected);
    }
    for (step, count) in [(1, 1), (1, 5), (3, 4), (64, 2), (7, 19)] {
        let mut expected = Bits::none(131);
        for i in 0..count {
            expected.add(&bits.moved(step * i));
        }
        assert_eq!(bits.clone().smeared(step, count), expected);
    }
}

#[test]
fn keeps_a_part_with_both_ends() {
    let bits = set(131, &[0, 1, 63, 64, 70, 129]);
    assert_eq!(bits.within(1, 64), set(131, &[1, 63, 64]));
    assert_eq!(bits.within(-5, 0), set(131, &[0]));
    assert_eq!(bits.within(129, 900), set(131, &[129]));
    assert!(bits.within(2, 62).is_empty());
    assert!(bits.within(64, 63).is_empty());
    assert_eq!(bits.without(&bits.within(0, 69)), set(131, &[70, 129]));
}
