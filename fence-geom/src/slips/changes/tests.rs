use super::*;
use crate::angle_text::read_direction;

fn afters(direction: &str, half: f64) -> Vec<(SlipKind, String)> {
    let stated = read_direction(direction).unwrap().value;
    let half = Angle::from_degrees(half).unwrap();
    let (_, changes) = direction_changes(stated, half);
    changes
        .into_iter()
        .map(|(kind, _, text)| (kind, text))
        .collect()
}

fn has(changes: &[(SlipKind, String)], kind: SlipKind, text: &str) -> bool {
    changes.iter().any(|it| *it == (kind, text.to_owned()))
}

#[test]
fn a_bearing_is_changed_in_its_letters_and_in_its_angle() {
    let changes = afters("S 69-14-21 W", 0.5 / 3600.0);
    assert!(has(&changes, SlipKind::WrongDigit, "S 60°14'21\" W"));
    assert!(has(&changes, SlipKind::SwappedLetter, "N 69°14'21\" W"));
    assert!(has(&changes, SlipKind::SwappedLetter, "S 69°14'21\" E"));
    assert!(has(&changes, SlipKind::Reversed, "N 69°14'21\" E"));
    assert!(has(&changes, SlipKind::OtherAxis, "S 20°45'39\" W"));
    assert!(has(&changes, SlipKind::QuarterTurn, "N 20°45'39\" W"));
    assert!(changes.iter().all(|(_, text)| !text.contains("99°")));
}

#[test]
fn due_north_is_turned_but_has_no_digits() {
    let changes = afters("due north", 0.0);
    assert_eq!(
        changes,
        [
            (SlipKind::QuarterTurn, "due east".to_owned()),
            (SlipKind::Reversed, "due south".to_owned()),
            (SlipKind::QuarterTurn, "due west".to_owned()),
        ]
    );
}

#[test]
fn degrees_are_put_in_where_there_are_none() {
    let changes = afters("N 0-30-15 E", 0.5 / 3600.0);
    assert!(has(&changes, SlipKind::LostDegrees, "N 45°30'15\" E"));
}
