//! Slips in deeds of the public record: what is known to be wrong must be found,
//! and come first.

use fence_geom::{
    Angle, Length, Rounding, SlipFigure, SlipKind, StatedCall, StatedDirection, Tract, complete,
    find_slips, read_call_table, read_description, read_direction, traverse,
};
use fence_tests::{assert_printed, fixture};

/// A call whose direction is in words only and whose distance is in whole feet.
fn due(direction: &str, feet: f64) -> StatedCall {
    let direction = read_direction(direction).expect(direction).value;
    let distance = Length::from_feet(feet).expect("a length");
    StatedCall {
        rounding: Rounding {
            distance: Length::from_feet(0.5).expect("a length"),
            direction: Angle::ZERO,
        },
        ..StatedCall::line(Some(StatedDirection::Given(direction)), Some(distance))
    }
}

/// Source: Ordinance ORD-94:666, Section 1, City of Jonesboro, Arkansas, council
/// record (1994). The last distance is printed 16869.65; 1689.65 closes to 0.05 ft and
/// gives the 48.16 acres that the ordinance states.
#[test]
fn a_digit_too_many_in_an_ordinance() {
    let table = read_call_table(&fixture("reference/jonesboro-1994.calls")).expect("a table");
    let deed = table.into_deed().expect("whole");
    let allowed = traverse(&deed).closure().allowed();
    let tract = Tract {
        stated_area: deed.stated_area(),
        calls: deed
            .calls()
            .iter()
            .map(|call| StatedCall {
                rounding: call.rounding(),
                written: call.written().cloned(),
                ..StatedCall::line(
                    Some(StatedDirection::Given(call.direction())),
                    Some(call.distance()),
                )
            })
            .collect(),
        ..Tract::default()
    };
    let search = find_slips(&tract, allowed).expect("a search");
    let first = search.slips.first().expect("a slip");
    assert_eq!(first.call, 10);
    assert_eq!(first.kind, SlipKind::ExtraDigit);
    assert_eq!(first.before, "16869.65 ft");
    assert_eq!(first.after, "1689.65 ft");
    assert_printed(first.remaining.feet(), "0.052", 0.6);
    assert_printed(first.area.acres(), "48.16", 0.5);
    assert_eq!(first.area_agrees, Some(true));
    assert_eq!(search.others(), 0);
    assert!(search.by_chance.expect("a large misclosure") < 0.01);
    assert_eq!(
        first.sentence(&tract.calls),
        "call 11 (line 17) with the distance 1689.65 ft for 16869.65 ft (a digit too many) would close to 0.052 ft"
    );
}

/// Source: right-of-way vacation ordinance, part 1, Horizon Place, record 8161, item
/// 1, City of Grand Junction, Colorado. The last bearing is printed S 69°14'21" W;
/// S 60°14'21" W closes to 0.001 ft and gives the 4,720 square feet stated.
#[test]
fn a_wrong_digit_of_the_degrees_beside_a_curve() {
    let text = "Beginning at a pin; thence N 00°02'22\" W 60.61 feet; thence 216.63 feet along the \
                arc of a curve to the left with a radius of 459.37 feet whose chord bears \
                N 73°44'55\" E 214.62 feet; thence S 29°45'35\" E 2.50 feet; thence \
                S 69°14'21\" W 238.73 feet to the point of beginning, containing 4,720 square feet.";
    let read = read_description(text).expect("a description");
    let tract = read.tracts.first().expect("a tract");
    let deeds = complete(tract).expect("whole");
    let closure = traverse(&deeds[0].deed).closure();
    assert_printed(closure.misclosure().feet(), "37.461", 1.0);
    let search = find_slips(tract, closure.allowed()).expect("a search");
    let first = search.slips.first().expect("a slip");
    assert_eq!((first.call, first.kind), (3, SlipKind::WrongDigit));
    assert_eq!(first.figure, SlipFigure::Direction);
    assert_eq!(first.before, "S 69°14'21\" W");
    assert_eq!(first.after, "S 60°14'21\" W");
    assert_printed(first.remaining.feet(), "0.001", 0.6);
    assert_printed(first.area.square_feet(), "4720", 0.5);
    assert_eq!(first.area_agrees, Some(true));
    assert_eq!(search.others(), 0);
}

/// Source: tract (1) of an instrument of 2010, document 822519, page 40, Register of
/// Deeds, Hall County, Nebraska. The widths are 424 against 324 and 104, and the
/// record does not say which of them is 4 ft out: one digit of any closes it, and
/// no area of the three is the 8.03 acres stated.
#[test]
fn four_feet_that_three_calls_share() {
    let tract = Tract {
        calls: vec![
            due("due east", 424.0),
            due("due north", 265.0),
            due("due west", 324.0),
            due("due north", 2375.0),
            due("due west", 104.0),
            due("due south", 2640.0),
        ],
        ..Tract::default()
    };
    let search = find_slips(&tract, Length::from_feet(0.5).expect("a length")).expect("a search");
    let mut exact: Vec<&str> = search
        .slips
        .iter()
        .filter(|slip| slip.remaining.feet() < 1e-6 && slip.figure == SlipFigure::Distance)
        .map(|slip| slip.after.as_str())
        .collect();
    exact.sort_unstable();
    assert_eq!(exact, ["100 ft", "320 ft", "428 ft"]);
    assert_eq!(search.closing, 3);
    assert_eq!(search.others(), 2);
}
