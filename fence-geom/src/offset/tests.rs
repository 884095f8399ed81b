use super::*;

fn lot(points: &[(&str, f64, f64)]) -> Ring {
    Ring::of_lines(
        points
            .iter()
            .map(|&(name, n, e)| (name, Point::new(n, e).expect("a point"))),
    )
    .expect("a ring")
}

fn feet(distances: &[f64]) -> Vec<Shift> {
    distances
        .iter()
        .map(|&d| Shift::from_feet(d).expect("a shift"))
        .collect()
}

fn places(offset: &OffsetRing) -> Vec<(String, f64, f64)> {
    offset
        .corners()
        .iter()
        .map(|flag| (flag.name.clone(), flag.at.north(), flag.at.east()))
        .collect()
}

/// A 20 by 10 rectangle with an extra pin M in the middle of its west side.
fn with_middle_pin(east_of_middle: f64) -> Ring {
    lot(&[
        ("A", 0.0, 0.0),
        ("M", 10.0, east_of_middle),
        ("B", 20.0, 0.0),
        ("C", 20.0, 10.0),
        ("D", 0.0, 10.0),
    ])
}

#[test]
fn two_distances_on_one_line_join_by_a_square_jog() {
    let offset = inset(&with_middle_pin(0.0), &feet(&[1.0, 3.0, 1.0, 1.0, 1.0])).expect("a ring");
    let flags = places(&offset);
    assert_eq!(flags[1], ("M".to_owned(), 10.0, 1.0));
    assert_eq!(flags[2], ("M'".to_owned(), 10.0, 3.0));
    assert_eq!(offset.corners()[1].join, Join::Jog);
    assert_eq!(offset.source_side(0), Some(0));
    assert_eq!(offset.source_side(1), None);
    assert_eq!(offset.source_side(2), Some(1));
    assert!((offset.corners()[1].interior.degrees() - 90.0).abs() < 1e-9);
    assert!((offset.corners()[2].interior.degrees() - 270.0).abs() < 1e-9);
}

#[test]
fn one_distance_on_one_line_keeps_the_pin_on_it() {
    let offset = inset_uniform(&with_middle_pin(0.0), feet(&[1.0])[0]).expect("a ring");
    assert_eq!(places(&offset)[1], ("M".to_owned(), 10.0, 1.0));
    assert!((offset.corners()[1].interior.degrees() - 180.0).abs() < 1e-9);
}

#[test]
fn a_bend_that_no_tape_shows_joins_by_a_jog_too() {
    for bend in [0.005, -0.005] {
        let offset =
            inset(&with_middle_pin(bend), &feet(&[1.0, 3.0, 1.0, 1.0, 1.0])).expect("a ring");
        assert_eq!(offset.corners()[1].join, Join::Jog, "bend {bend}");
        assert!((offset.corners()[2].straight.feet() - 3.0).abs() < 1e-9);
    }
}

#[test]
fn the_wider_strip_ends_square_at_a_blunt_reflex_corner() {
    // At M the lot bends inward; the line of A-M stays on the lot line.
    let offset = inset(&with_middle_pin(2.0), &feet(&[0.0, 3.0, 1.0, 1.0, 1.0])).expect("a ring");
    let (m, m2) = (&offset.corners()[1], &offset.corners()[2]);
    assert_eq!((m.join, m2.join), (Join::Jog, Join::Jog));
    assert!(m.straight.feet() < 1e-12);
    assert!((m2.straight.feet() - 3.0).abs() < 1e-12);
    assert!(m2.along_after.feet().abs() < 1e-12);
}

#[test]
fn a_needle_is_cut_and_said() {
    // A notch 20 deep and 2 wide: at its tip the lot turns back on itself.
    let notched = lot(&[
        ("A", 0.0, 0.0),
        ("B", 100.0, 0.0),
        ("C", 100.0, 50.0),
        ("N", 99.0, 50.0),
        ("T", 98.0, 30.0),
        ("O", 97.0, 50.0),
        ("D", 0.0, 50.0),
    ]);
    let outward = inset_uniform(&notched, feet(&[0.1])[0]).expect("a ring");
    let cut: Vec<&OffsetCorner> = outward
        .corners()
        .iter()
        .filter(|flag| flag.join == Join::Cut)
        .collect();
    assert_eq!(cut.len(), 2);
    for flag in cut {
        assert!(flag.straight.feet() >= 0.1 * NEEDLE_LIMIT);
        assert!(flag.straight.feet() < 0.1 * (NEEDLE_LIMIT + 1.0));
    }
}

#[test]
fn a_side_that_vanishes_is_named_with_the_factor() {
    let lot = lot(&[
        ("A", 0.0, 0.0),
        ("B", 100.0, 0.0),
        ("C", 100.0, 50.0),
        ("D", 0.0, 50.0),
    ]);
    let error = inset_uniform(&lot, feet(&[40.0])[0]).expect_err("too wide");
    let OffsetError::Dies { side, factor, .. } = &error else {
        panic!("{error:?}");
    };
    assert_eq!(side, "B-C");
    assert!((factor - 25.0 / 40.0).abs() < 1e-12);
    assert!(error.to_string().contains("less than 25 ft"), "{error}");
}

#[test]
fn a_ring_that_splits_names_corner_and_side() {
    // Two rooms of 40 by 40 joined by a neck 10 wide.
    let lot = lot(&[
        ("A", 0.0, 0.0),
        ("B", 40.0, 0.0),
        ("C", 40.0, 40.0),
        ("E", 25.0, 40.0),
        ("F", 25.0, 60.0),
        ("G", 40.0, 60.0),
        ("H", 40.0, 100.0),
        ("I", 0.0, 100.0),
        ("J", 0.0, 60.0),
        ("K", 15.0, 60.0),
        ("L", 15.0, 40.0),
        ("M", 0.0, 40.0),
    ]);
    assert!(inset_uniform(&lot, feet(&[4.9])[0]).is_ok());
    let error = inset_uniform(&lot, feet(&[10.0])[0]).expect_err("splits");
    assert!(
        matches!(&error, OffsetError::Splits { factor, .. } if (factor - 0.5).abs() < 1e-12),
        "{error:?}"
    );
    // Far beyond, where the crossing sides have run through each other.
    let all = offset(lot, &[feet(&[14.0])[0]; 12]).expect("two pieces");
    assert_eq!((all.pieces(), all.rings().len()), (2, 2));
}

#[test]
fn flags_follow_moved_pins() {
    let lot = with_middle_pin(0.0);
    let offset = inset(&lot, &feet(&[1.0, 3.0, 1.0, 1.0, 1.0])).expect("a ring");
    let pins: Vec<Point> = lot.corners().iter().map(|corner| corner.at).collect();
    let same = offset.flags_from(&pins).expect("flags");
    let flags: Vec<Point> = offset.corners().iter().map(|flag| flag.at).collect();
    assert_eq!(same, flags);
    let mut moved = pins.clone();
    moved[1] = Point::new(10.0, 0.5).expect("a point");
    let after = offset.flags_from(&moved).expect("flags");
    assert_eq!(after.len(), flags.len());
    assert!((after[1].east() - 1.5).abs() < 0.1);
    assert!(offset.flags_from(&pins[1..]).is_none());
}

#[test]
fn large_coordinates_lose_nothing() {
    let near = with_middle_pin(0.0);
    let far = Ring::of_lines(near.corners().iter().map(|corner| {
        let at = Point::new(
            corner.at.north() + 2_000_000.0,
            corner.at.east() + 700_000.0,
        );
        (corner.name.clone(), at.expect("a point"))
    }))
    .expect("a ring");
    let distances = feet(&[0.1, 0.1, 0.3, 0.1, 0.7]);
    let (a, b) = (
        inset(&near, &distances).expect("a ring"),
        inset(&far, &distances).expect("a ring"),
    );
    for (p, q) in a.corners().iter().zip(b.corners()) {
        assert!((p.at.north() + 2_000_000.0 - q.at.north()).abs() < 1e-9);
        assert!((p.at.east() + 700_000.0 - q.at.east()).abs() < 1e-9);
    }
}

#[test]
fn counts_are_refused() {
    let few = inset(&with_middle_pin(0.0), &feet(&[1.0])).expect_err("count");
    assert!(matches!(
        few,
        OffsetError::Count {
            sides: 5,
            distances: 1
        }
    ));
}

#[test]
fn zero_distances_beside_wide_ones() {
    let first = lot(&[
        ("P0", 25.83, 9.13),
        ("P1", -6.29, 13.62),
        ("P2", -9.32, 11.75),
        ("P3", -28.45, -12.28),
        ("P4", 5.93, -30.0),
        ("P5", 17.08, -26.72),
        ("P6", 14.46, -12.08),
        ("P7", 15.0, 0.0),
    ]);
    let all = offset(first, &feet(&[0.0, 0.0, 0.0, 6.23, 0.41, 6.06, 0.0, 0.0]));
    assert_eq!(all.expect("an offset").pieces(), 1);
    let second = lot(&[
        ("P0", 23.48, 6.92),
        ("P1", 19.76, 23.76),
        ("P2", -10.29, 10.91),
        ("P3", -13.34, -6.85),
        ("P4", 9.65, -13.98),
        ("P5", 20.5, 0.0),
    ]);
    let all = offset(second, &feet(&[2.95, 2.78, 0.17, 2.57, 2.27, 0.0]));
    assert_eq!(all.expect("an offset").pieces(), 1);
}
