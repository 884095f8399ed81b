//! Traverses: what must hold for any deed.

use fence_geom::{
    Azimuth, BalanceRule, Beginning, Call, Deed, Direction, Length, Point, Traverse, balance,
    traverse,
};
use fence_tests::Draws;
use geo::{Area as _, LineString, Polygon};
use proptest::prelude::*;

/// The corners of a star-shaped polygon about the origin, so that it is simple:
/// 3 to 12 rays at least a few degrees apart, 20 to 500 ft long.
fn polygon() -> impl Strategy<Value = Vec<Point>> {
    (3..=12_usize)
        .prop_flat_map(|n| {
            (
                prop::collection::vec(0.1..0.9_f64, n),
                prop::collection::vec(20.0..500.0_f64, n),
            )
        })
        .prop_map(|(turns, radii)| {
            let step = std::f64::consts::TAU / turns.len() as f64;
            turns
                .iter()
                .zip(radii)
                .enumerate()
                .map(|(i, (turn, radius))| {
                    let angle = (i as f64 + turn) * step;
                    Point::new(radius * angle.cos(), radius * angle.sin()).expect("small")
                })
                .collect()
        })
}

fn deed(beginning: Option<Point>, calls: Vec<Call>) -> Deed {
    let beginning = Beginning {
        at: beginning,
        ..Beginning::default()
    };
    Deed::new(beginning, calls, None).expect("a deed")
}

fn call(azimuth: Azimuth, feet: f64) -> Call {
    Call::straight(
        Direction::Azimuth(azimuth),
        Length::from_feet(feet).expect("a length"),
    )
}

/// The calls from corner to corner and back, turned clockwise by some degrees.
fn calls_around(corners: &[Point], turned: f64) -> Vec<Call> {
    let next = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(next)
        .map(|(&from, &to)| {
            let way = to - from;
            let azimuth = way.azimuth().degrees() + turned;
            call(
                Azimuth::from_degrees(azimuth).expect("an azimuth"),
                way.length().feet(),
            )
        })
        .collect()
}

fn around(corners: &[Point]) -> Traverse {
    traverse(&deed(corners.first().copied(), calls_around(corners, 0.0)))
}

/// Calls that need not close.
fn loose_calls() -> impl Strategy<Value = Vec<Call>> {
    prop::collection::vec((0.0..360.0_f64, 0.5..500.0_f64), 2..10).prop_map(|calls| {
        calls
            .into_iter()
            .map(|(degrees, feet)| call(Azimuth::from_degrees(degrees).expect("in range"), feet))
            .collect()
    })
}

/// The allowed misclosure against chance itself: rounding errors drawn evenly
/// within half a digit leave the end inside it at least 19 times out of 20, and a
/// limit half as wide would not do.
#[test]
fn the_allowed_misclosure_holds_95_percent_of_chance() {
    let table = "N 60-00 E 300 ft\nS 20-00 E 200 ft\nS 70-00 W 250 ft\nN 40-00 W 220 ft\n";
    let table = fence_geom::read_call_table(table).expect("a table");
    let deed = table.into_deed().expect("every line is read");
    let raw = traverse(&deed);
    let allowed = raw.closure().allowed().feet();
    let mut draws = Draws::from(1);
    let mut even = || 2.0 * draws.even() - 1.0;
    let (mut inside, mut well_inside) = (0, 0);
    let rounds = 20_000;
    for _ in 0..rounds {
        let calls = deed.calls().iter().map(|written| {
            let rounding = written.rounding();
            let degrees =
                written.direction().azimuth().degrees() + even() * rounding.direction.degrees();
            let feet = written.distance().feet() + even() * rounding.distance.feet();
            call(Azimuth::from_degrees(degrees).expect("in range"), feet)
        });
        let drawn = traverse(&self::deed(None, calls.collect()));
        let off = (drawn.closure().gap() - raw.closure().gap())
            .length()
            .feet();
        inside += u32::from(off <= allowed);
        well_inside += u32::from(off <= allowed / 2.0);
    }
    let share = |count: u32| f64::from(count) / f64::from(rounds);
    assert!(share(inside) >= 0.95, "{}", share(inside));
    assert!(share(well_inside) < 0.90, "{}", share(well_inside));
}

proptest! {
    #[test]
    fn a_closed_polygon_closes_exactly(corners in polygon()) {
        let closure = around(&corners).closure();
        prop_assert!(closure.is_exact(), "{closure:?}");
        prop_assert_eq!(closure.misclosure(), Length::ZERO);
        prop_assert_eq!(closure.direction(), None);
        prop_assert_eq!(closure.ratio(), None);
        prop_assert!(closure.is_within_rounding());
    }

    #[test]
    fn corners_come_back_as_they_were(corners in polygon()) {
        let computed = around(&corners);
        prop_assert_eq!(computed.corners().len(), corners.len());
        for (corner, at) in computed.corners().iter().zip(&corners) {
            prop_assert!(corner.at.distance(*at).feet() < 1e-8);
        }
    }

    /// The `geo` crate computes the area by an implementation of its own.
    #[test]
    fn the_area_is_that_of_geo(corners in polygon()) {
        let computed = around(&corners);
        let line: LineString = corners.iter().map(|p| (p.east(), p.north())).collect();
        let area = Polygon::new(line, vec![]).unsigned_area();
        prop_assert!((computed.area().square_feet() - area).abs() <= 1e-9 * (1.0 + area));
        let ring = computed.ring().expect("simple");
        prop_assert!((ring.area().square_feet() - area).abs() <= 1e-9 * (1.0 + area));
    }

    /// North is a convention: turning all the bearings changes no size.
    #[test]
    fn turning_changes_no_size(calls in loose_calls(), turned in 0.0..360.0_f64) {
        let straight = traverse(&deed(None, calls.clone()));
        let bent: Vec<Call> = calls
            .iter()
            .map(|c| {
                let azimuth = c.direction().azimuth().degrees() + turned;
                call(Azimuth::from_degrees(azimuth).expect("in range"), c.distance().feet())
            })
            .collect();
        let bent = traverse(&deed(None, bent));
        let misclosure = |t: &Traverse| t.closure().gap().length().feet();
        prop_assert!((misclosure(&straight) - misclosure(&bent)).abs() < 1e-8);
        let area = straight.area().square_feet();
        prop_assert!((area - bent.area().square_feet()).abs() < 1e-8 * (1.0 + area));
    }

    /// Far from the origin the figure is the same, and so is its closure.
    #[test]
    fn a_far_beginning_changes_no_closure(calls in loose_calls()) {
        let far = Point::new(2_000_000.0, 6_000_000.0).expect("a point");
        let near = traverse(&deed(None, calls.clone()));
        let away = traverse(&deed(Some(far), calls));
        prop_assert_eq!(near.closure(), away.closure());
        let area = near.area().square_feet();
        prop_assert!((area - away.area().square_feet()).abs() < 1e-5 * (1.0 + area));
    }

    #[test]
    fn the_compass_rule_closes(calls in loose_calls()) {
        let raw = traverse(&deed(None, calls));
        let balanced = balance(&raw, BalanceRule::Compass).expect("it comes back");
        let (north, east) = balanced.courses.iter().fold((0.0, 0.0), |(north, east), course| {
            (north + course.way.north(), east + course.way.east())
        });
        let perimeter = raw.closure().perimeter().feet();
        prop_assert!(north.hypot(east) < 1e-12 * perimeter);
        prop_assert_eq!(balanced.corners.len(), raw.corners().len());
        prop_assert_eq!(&balanced.corners[0], &raw.corners()[0]);
        // Each correction is the misclosure's share by length.
        for (course, raw_course) in balanced.courses.iter().zip(raw.courses()) {
            let share = raw_course.distance().feet() / perimeter;
            let size = course.correction.length().feet();
            prop_assert!((size - share * raw.closure().gap().length().feet()).abs() < 1e-9);
        }
    }
}
