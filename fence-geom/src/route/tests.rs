use super::*;
use crate::offset::inset_uniform;

fn point(north: f64, east: f64) -> Point {
    Point::new(north, east).expect("a point")
}

fn length(feet: f64) -> Length {
    Length::from_feet(feet).expect("a length")
}

fn near(a: Point, b: Point) -> bool {
    a.distance(b).feet() < 1e-9
}

/// 100 by 60, walked clockwise, with the fence 1 ft inside.
fn lot() -> (Ring, OffsetRing) {
    let lot = Ring::of_lines([
        ("A", point(0.0, 0.0)),
        ("B", point(100.0, 0.0)),
        ("C", point(100.0, 60.0)),
        ("D", point(0.0, 60.0)),
    ])
    .expect("a ring");
    let fence = inset_uniform(&lot, Shift::from_feet(1.0).expect("a shift")).expect("an offset");
    (lot, fence)
}

fn house() -> Ring {
    Ring::of_lines([
        ("1", point(20.0, 20.0)),
        ("2", point(50.0, 20.0)),
        ("3", point(50.0, 40.0)),
        ("4", point(20.0, 40.0)),
    ])
    .expect("a ring")
}

fn corner(name: &str) -> Stop {
    Stop::Corner {
        corner: name.to_owned(),
    }
}

fn gap() -> Gap {
    Gap::new(length(0.1), length(0.3)).expect("a gap")
}

/// From the house's west wall square to the west line, around, and back.
fn backyard() -> Vec<Stop> {
    vec![
        Stop::Wall {
            name: "house west".to_owned(),
            at: point(40.0, 20.0),
            gap: gap(),
            bracketed: false,
        },
        Stop::Squared {
            name: "west return".to_owned(),
            wall: (point(20.0, 20.0), point(50.0, 20.0)),
            at: point(40.0, 20.0),
            side: "A-B".to_owned(),
        },
        corner("B"),
        corner("C"),
        Stop::OnSide {
            name: "east return".to_owned(),
            side: "C-D".to_owned(),
            from: "C".to_owned(),
            distance: length(59.0),
        },
        Stop::Wall {
            name: "house east".to_owned(),
            at: point(40.0, 40.0),
            gap: gap(),
            bracketed: true,
        },
    ]
}

#[test]
fn a_backyard_from_wall_to_wall() {
    let (lot, fence) = lot();
    let route = route(&lot, &fence, &backyard(), false, None, &[house()]).expect("a route");
    let lengths: Vec<f64> = route.runs.iter().map(|run| run.length.feet()).collect();
    for (length, expected) in lengths.iter().zip([19.0, 59.0, 58.0, 59.0, 19.0]) {
        assert!((length - expected).abs() < 1e-9, "{lengths:?}");
    }
    assert!(near(route.flags[1].at, point(40.0, 1.0)));
    let sides: Vec<_> = route.runs.iter().map(|run| run.side).collect();
    assert_eq!(sides, [None, Some(0), Some(1), Some(2), None]);
    assert!(route.runs.iter().all(|run| run.yard == Turn::Right));
    assert_eq!(route.runs[0].start, RunEnd::WallPost { gap: gap() });
    assert_eq!(route.runs[4].end, RunEnd::WallBracket { gap: gap() });
    for run in &route.runs {
        if let RunEnd::Corner { interior } = run.end {
            assert!((interior.degrees() - 90.0).abs() < 1e-9);
        }
    }
}

#[test]
fn posts_stand_on_the_yard_side_of_the_string() {
    let (lot, fence) = lot();
    let route = route(&lot, &fence, &backyard(), false, None, &[]).expect("a route");
    let run = &route.runs[1];
    let s = Shift::from_feet(10.0).expect("a shift");
    assert!(near(run.string_at(s), point(50.0, 1.0)));
    let center = run.post_center(s, length(0.5));
    assert!(near(center, point(50.0, 1.25)));
    assert!((run.station(center) - s).feet().abs() < 1e-9);
    assert!((run.yard_direction(s).degrees() - 90.0).abs() < 1e-9);
    assert_eq!(run.string_to_line, Shift::from_feet(1.0).ok());
}

#[test]
fn a_walk_the_other_way_has_the_yard_on_the_other_hand() {
    let (lot, fence) = lot();
    let stops: Vec<Stop> = backyard().into_iter().rev().collect();
    let back = route(&lot, &fence, &stops, false, None, &[]).expect("a route");
    assert!(back.runs.iter().all(|run| run.yard == Turn::Left));
    assert!(
        matches!(back.runs[0].end, RunEnd::Corner { interior } if (interior.degrees() - 90.0).abs() < 1e-9)
    );
    let wrong = route(&lot, &fence, &stops, false, Some(Turn::Right), &[]);
    assert!(
        matches!(wrong, Err(RouteError::YardHand { .. })),
        "{wrong:?}"
    );
}

#[test]
fn a_closed_fence_returns_to_its_start() {
    let (lot, fence) = lot();
    let stops = ["A", "B", "C", "D"].map(corner);
    let route = route(&lot, &fence, &stops, true, None, &[house()]).expect("a route");
    assert_eq!(route.runs.len(), 4);
    assert_eq!((route.runs[3].from, route.runs[3].to), (3, 0));
    assert!(matches!(route.runs[0].start, RunEnd::Corner { .. }));
}

#[test]
fn runs_that_leave_the_lot_or_cross_the_house_say_where() {
    let (lot, fence) = lot();
    let free = |name: &str, at| Stop::Free {
        name: name.to_owned(),
        at,
    };
    let out = [corner("A"), free("outside", point(-10.0, 30.0))];
    let error = route(&lot, &fence, &out, false, Some(Turn::Right), &[]).expect_err("leaves");
    assert!(matches!(error, RouteError::LeavesLot { .. }), "{error}");
    let through = [free("w", point(30.0, 10.0)), free("e", point(30.0, 50.0))];
    let error =
        route(&lot, &fence, &through, false, Some(Turn::Right), &[house()]).expect_err("through");
    assert!(error.to_string().contains("N 30.00 E 20.00"), "{error}");
    let along = [free("w", point(10.0, 20.0)), free("e", point(70.0, 20.0))];
    assert!(route(&lot, &fence, &along, false, Some(Turn::Right), &[house()]).is_ok());
}

#[test]
fn stops_at_fault_are_named() {
    let (lot, fence) = lot();
    let try_stops = |stops: &[Stop]| {
        route(&lot, &fence, stops, false, Some(Turn::Right), &[])
            .expect_err("refused")
            .to_string()
    };
    assert!(try_stops(&[corner("A")]).contains("at least 2 stops"));
    assert!(try_stops(&[corner("A"), corner("Z")]).contains("\"Z\""));
    assert!(try_stops(&[corner("A"), corner("A")]).contains("0.000 ft long"));
    assert!(try_stops(&[corner("A"), corner("B"), corner("A")]).contains("back on itself"));
    let far = Stop::OnSide {
        name: "far".to_owned(),
        side: "A-B".to_owned(),
        from: "A".to_owned(),
        distance: length(200.0),
    };
    assert!(try_stops(&[corner("B"), far]).contains("98.000 ft long"));
    let parallel = Stop::Squared {
        name: "p".to_owned(),
        wall: (point(20.0, 20.0), point(20.0, 40.0)),
        at: point(20.0, 30.0),
        side: "A-B".to_owned(),
    };
    assert!(try_stops(&[corner("B"), parallel]).contains("never meets"));
    let free = Stop::Free {
        name: "f".to_owned(),
        at: point(50.0, 30.0),
    };
    let unknown = route(&lot, &fence, &[corner("B"), free], false, None, &[]);
    assert_eq!(unknown, Err(RouteError::NoYard));
}

/// The rear wall of the house, carried on east, meets the fence line at its
/// northing; carried on the other way it leads away.
#[test]
fn a_wall_is_carried_on_to_the_line() {
    let (lot, fence) = lot();
    let rear = |from, to| Stop::Prolonged {
        name: "rear wall".to_owned(),
        wall: (point(50.0, from), point(50.0, to)),
        side: "C-D".to_owned(),
    };
    let way = [corner("C"), rear(20.0, 40.0)];
    let found = route(&lot, &fence, &way, false, None, &[house()]).expect("a route");
    assert!(near(found.flags[1].at, point(50.0, 59.0)));

    let away = [corner("C"), rear(40.0, 20.0)];
    let error = route(&lot, &fence, &away, false, None, &[house()]).expect_err("away");
    assert!(matches!(error, RouteError::Behind { .. }), "{error}");

    let alongside = Stop::Prolonged {
        name: "rear wall".to_owned(),
        wall: (point(50.0, 20.0), point(50.0, 40.0)),
        side: "B-C".to_owned(),
    };
    let error = route(&lot, &fence, &[corner("C"), alongside], false, None, &[]);
    assert!(matches!(error, Err(RouteError::NeverMeets { .. })));
}

#[test]
fn end_faces() {
    let width = length(0.5);
    let face = |end| {
        let range = end_face(end, width).expect("a corner");
        (range.least.feet(), range.most.feet())
    };
    assert_eq!(face(RunEnd::Free), (0.5, 0.5));
    assert_eq!(face(RunEnd::WallBracket { gap: gap() }), (0.1, 0.3));
    assert_eq!(face(RunEnd::WallPost { gap: gap() }), (0.6, 0.8));
    assert!(Gap::new(length(2.0), length(1.0)).is_err());
}

/// 100 by 60, its south side an arc of half a circle into the lot, with the fence
/// 1 ft inside.
fn scooped() -> (Ring, OffsetRing) {
    let (lot, _) = lot();
    let mut sides = vec![Side::Line; 4];
    sides[3] = Side::Arc {
        delta: Angle::STRAIGHT,
        turn: Turn::Left,
    };
    let lot = Ring::new(lot.corners().to_vec(), sides).expect("a ring");
    let fence = inset_uniform(&lot, Shift::from_feet(1.0).expect("a shift")).expect("an offset");
    (lot, fence)
}

#[test]
fn a_curved_side_is_no_hindrance_elsewhere() {
    let (lot, fence) = scooped();
    let stops = ["A", "B", "C", "D"].map(corner);
    let route = route(&lot, &fence, &stops[1..3], false, None, &[]).expect("a route");
    assert!((route.runs[0].length.feet() - 58.0).abs() < 1e-9);
    assert_eq!(route.runs[0].side, Some(1));
}

/// The half circle of 30 ft about (0, 30), its offset line at 31 ft; the fence is cut
/// off 1 ft inside the sides, where the line of 31 ft is at 1 and 59 ft east.
#[test]
fn along_a_curved_side_the_run_is_its_arc() {
    let (lot, fence) = scooped();
    let ring = fence.ring();
    let ends = ring.sides().iter().position(|it| *it != Side::Line);
    let (from, to) = ring.ends(ends.expect("an arc"));
    let stops = [corner(&from.name), corner(&to.name)];
    let there = route(&lot, &fence, &stops, false, None, &[]).expect("a route");
    let run = &there.runs[0];
    assert_eq!(run.side, Some(3));
    assert!((run.radius().expect("an arc").feet() - 31.0).abs() < 1e-9);
    assert!(near(run.center().expect("an arc"), point(0.0, 30.0)));
    let angle = 2.0 * (29.0_f64 / 31.0).asin();
    assert!((run.length.feet() - 31.0 * angle).abs() < 1e-9, "{run:?}");
    let middle = Shift::from_feet(run.length.feet() / 2.0).expect("a shift");
    assert!(near(run.string_at(middle), point(31.0, 30.0)));
    assert!(near(
        run.post_center(middle, length(0.5)),
        point(31.25, 30.0)
    ));
    assert!(run.yard_direction(middle).degrees().abs() < 1e-9);
    assert!((run.station(point(40.0, 30.0)).feet() - middle.feet()).abs() < 1e-9);
    let back = [corner(&to.name), corner(&from.name)];
    let back = route(&lot, &fence, &back, false, None, &[]).expect("a route");
    assert_eq!(back.runs[0].yard, run.yard.other());
    assert!(near(
        back.runs[0].post_center(middle, length(0.5)),
        point(31.25, 30.0)
    ));
}

/// A third of the arc from its end: 10 ft along it are 10/31 of a radian.
#[test]
fn a_stop_along_a_curved_side_is_measured_along_its_arc() {
    let (lot, fence) = scooped();
    let ring = fence.ring();
    let ends = ring.sides().iter().position(|it| *it != Side::Line);
    let (from, _) = ring.ends(ends.expect("an arc"));
    let on = Stop::OnSide {
        name: "F".to_owned(),
        side: "D-A".to_owned(),
        from: from.name.clone(),
        distance: length(10.0),
    };
    let stops = [corner(&from.name), on];
    let there = route(&lot, &fence, &stops, false, None, &[]).expect("a route");
    let run = &there.runs[0];
    assert!((run.length.feet() - 10.0).abs() < 1e-9);
    assert!((run.string.1.distance(point(0.0, 30.0)).feet() - 31.0).abs() < 1e-9);
    let chord = run.string.0.distance(run.string.1).feet();
    assert!((chord - 62.0 * (5.0_f64 / 31.0).sin()).abs() < 1e-9);
}

#[test]
fn a_wall_is_not_carried_on_to_an_arc_and_an_arc_keeps_clear_of_buildings() {
    let (lot, fence) = scooped();
    let stop = Stop::Prolonged {
        name: "P".to_owned(),
        wall: (point(60.0, 30.0), point(50.0, 30.0)),
        side: "D-A".to_owned(),
    };
    let error = route(&lot, &fence, &[corner("B"), stop], false, None, &[]);
    let error = error.expect_err("an arc").to_string();
    assert!(error.contains("side D-A of the lot is an arc"), "{error}");
    let ring = fence.ring();
    let ends = ring.sides().iter().position(|it| *it != Side::Line);
    let (from, to) = ring.ends(ends.expect("an arc"));
    let stops = [corner(&from.name), corner(&to.name)];
    let shed = [(30.5, 29.0), (30.5, 31.0), (33.0, 31.0), (33.0, 29.0)];
    let shed = shed.iter().enumerate();
    let shed = Ring::of_lines(shed.map(|(i, &(n, e))| (i.to_string(), point(n, e))));
    let error = route(&lot, &fence, &stops, false, None, &[shed.expect("a ring")]);
    let error = error.expect_err("through the shed");
    assert!(
        matches!(error, RouteError::ThroughBuilding { .. }),
        "{error}"
    );
}

/// From (10, 1) straight east to (10, 59): the half circle around (0, 30) of radius
/// 30 is entered at 30 - sqrt(900 - 100) east.
#[test]
fn a_run_across_the_street_side_of_an_arc_leaves_the_lot() {
    let (lot, fence) = scooped();
    let free = |name: &str, at| Stop::Free {
        name: name.to_owned(),
        at,
    };
    let stops = [free("1", point(10.0, 0.5)), free("2", point(10.0, 59.5))];
    let error = route(&lot, &fence, &stops, false, Some(Turn::Left), &[]);
    let error = error.expect_err("it leaves");
    let RouteError::LeavesLot { north, east, .. } = error else {
        panic!("{error}");
    };
    assert!((north - 10.0).abs() < 1e-6);
    assert!((east - (30.0 - 800.0_f64.sqrt())).abs() < 1e-6, "{east}");
}

#[test]
fn a_run_through_a_no_build_area_says_where() {
    let (lot, fence) = lot();
    let stops = ["B", "C"].map(corner);
    let route = route(&lot, &fence, &stops, false, None, &[]).expect("a route");
    assert_eq!(route.keeps_clear_of("field", &house()), Ok(()));
    let strip = Ring::of_lines([
        ("1", point(90.0, 20.0)),
        ("2", point(100.0, 20.0)),
        ("3", point(100.0, 30.0)),
        ("4", point(90.0, 30.0)),
    ]);
    let error = route.keeps_clear_of("drain strip", &strip.expect("a ring"));
    assert_eq!(
        error.expect_err("through it").to_string(),
        "the run from B to C goes through drain strip, where nothing may be built, near N 99.00 E 20.00: lead it around"
    );
}
