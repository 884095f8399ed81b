//! Tickets that do and don't allow digging.

use super::*;

fn day(text: &str) -> Day {
    Day::new(text).expect("a day")
}

fn ticket() -> Locate {
    Locate {
        ticket: "1".to_owned(),
        good_from: Some(day("2026-03-03")),
        good_until: Some(day("2026-03-17")),
        owners: vec![("gas".to_owned(), OwnerAnswer::Clear)],
        private_lines: None,
    }
}

#[test]
fn a_good_ticket_covers_its_first_and_last_day() {
    for arrival in ["2026-03-03", "2026-03-17"] {
        assert_eq!(
            reasons_not_to_dig(Some(&ticket()), Some(&day(arrival)), &[]),
            []
        );
    }
}

#[test]
fn every_gap_is_a_reason() {
    let on = day("2026-03-10");
    assert_eq!(
        reasons_not_to_dig(None, Some(&on), &[]),
        [NoDigReason::NoTicket]
    );
    assert_eq!(
        reasons_not_to_dig(Some(&ticket()), None, &[]),
        [NoDigReason::NoDates]
    );
    let mut open = ticket();
    open.owners
        .push(("water".to_owned(), OwnerAnswer::NoAnswer));
    assert_eq!(
        reasons_not_to_dig(Some(&open), Some(&on), &[]),
        [NoDigReason::NoAnswer {
            owner: "water".to_owned()
        }]
    );
    assert!(matches!(
        reasons_not_to_dig(Some(&ticket()), Some(&day("2026-03-02")), &[])[..],
        [NoDigReason::TooEarly { .. }]
    ));
    assert!(matches!(
        reasons_not_to_dig(Some(&ticket()), Some(&day("2026-03-18")), &[])[..],
        [NoDigReason::TooLate { .. }]
    ));
}

#[test]
fn days_are_days() {
    for text in ["2024-02-29", "2000-02-29", "2026-12-31"] {
        assert!(Day::new(text).is_ok(), "{text}");
    }
    for text in [
        "2026-02-29",
        "1900-02-29",
        "2026-13-01",
        "2026-1-1",
        "26-01-01",
        "2026-01-00",
        "2026-01-01-1",
        "",
        "+026-01-01",
    ] {
        assert!(Day::new(text).is_err(), "{text}");
    }
}

#[test]
fn marks_of_an_owner_who_marked_have_to_be_entered() {
    let on = day("2026-03-10");
    let mut marked = ticket();
    marked.owners = vec![("City Gas and Light".to_owned(), OwnerAnswer::Marked)];
    let reasons = |entered: &[&str]| reasons_not_to_dig(Some(&marked), Some(&on), entered);
    assert!(matches!(
        reasons(&["water"])[..],
        [NoDigReason::MarksMissing { .. }]
    ));
    assert_eq!(reasons(&["water", "gas"]), []);
    assert_eq!(marked.answer_of("gas"), Some(OwnerAnswer::Marked));
    assert_eq!(marked.answer_of("water"), None);
    marked.owners[0].1 = OwnerAnswer::Away;
    assert_eq!(reasons_not_to_dig(Some(&marked), Some(&on), &[]), []);
}
