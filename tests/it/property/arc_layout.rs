//! Runs on arcs: against points on the circle, and by hand.

use fence_geom::{
    Angle, ArcLayoutError, ArcLine, ArcYard, GateRequest, LayoutEnd, LayoutRequest, LayoutStatus,
    Length, Point, SectionKind, Shift, Stretch, distance_to_path, lay_out, lay_out_on_arc,
    least_arc_radius, stretches_within_on_arc,
};
use fence_tests::Draws;

fn long(inches: f64) -> Length {
    Length::from_inches(inches).expect("a length")
}

fn at(inches: f64) -> Shift {
    Shift::from_inches(inches).expect("a shift")
}

fn run(length: f64) -> LayoutRequest {
    let end = LayoutEnd::fixed(at(2.0), long(4.0), true);
    LayoutRequest::plain(long(length), long(92.0), long(12.0), long(4.0), end, end)
}

fn arc(feet: f64, yard: ArcYard) -> ArcLine {
    ArcLine {
        radius: Length::from_feet(feet).expect("a radius"),
        yard,
    }
}

/// Distances between points on the circle, and the middle of each chord from the
/// center, by coordinates.
#[test]
fn sections_are_chords_of_points_on_the_circle_and_none_bulges_past_the_line() {
    let mut draws = Draws::from(83);
    for round in 0..80 {
        let radius = 30.0 + 200.0 * draws.even();
        let length = 12.0 * radius * (0.3 + draws.even());
        let yard = if round % 2 == 0 {
            ArcYard::Center
        } else {
            ArcYard::Away
        };
        let laid = lay_out_on_arc(&run(length), &arc(radius, yard)).expect("a layout");
        let LayoutStatus::Optimal(best) = &laid.layout.status else {
            panic!("no layout");
        };
        let around = |i: usize| {
            let angle = laid.posts[i].angle.radians();
            let r = laid.post_radius.feet();
            (r * angle.cos(), r * angle.sin())
        };
        for (i, section) in laid.sections.iter().enumerate() {
            let ((x, y), (u, v)) = (around(i), around(i + 1));
            let chord = (u - x).hypot(v - y);
            assert!((chord - section.chord.feet()).abs() < 1e-9);
            assert!((12.0 * chord - 4.0 - section.clear.inches()).abs() < 1e-9);
            let middle = x.midpoint(u).hypot(y.midpoint(v));
            // The outside face of the section: half a post from its middle line.
            let half = 2.0 / 12.0;
            match yard {
                ArcYard::Center => assert!(middle + half <= radius + 1e-9),
                ArcYard::Away => assert!(middle - half >= radius - 1e-9),
            }
            if best.sections[i].kind == SectionKind::Full {
                assert!((section.clear.inches() - 92.0).abs() < 0.02, "{section:?}");
            }
        }
        // The turns from the first tangent to the last are the arc between the end
        // posts.
        let turns: f64 = laid.posts.iter().map(|post| post.turn.degrees()).sum();
        let ends =
            laid.posts.last().expect("posts").angle.degrees() - laid.posts[0].angle.degrees();
        assert!((turns - ends).abs() < 1e-9);
    }
}

/// Radius 50 ft, chords of 8 ft, posts of 4 in, the line curving into the yard:
/// centers on sqrt((50 + 1/6)^2 + 4^2) = 50.3259 ft, moved in 0.1592 ft; about
/// 8^2 / (8 x 50) = 0.16 ft. The turn is 2 atan(4 / 50.1667) = 9.117 degrees.
#[test]
fn an_arc_of_fifty_feet_by_hand() {
    let laid = lay_out_on_arc(&run(600.0), &arc(50.0, ArcYard::Away)).expect("a layout");
    assert!((laid.post_radius.feet() - 50.3259).abs() < 1e-4);
    assert!((laid.moved_in.feet() - 0.1592).abs() < 1e-4);
    assert!((laid.full_turn.degrees() - 9.117).abs() < 1e-3);
    // With the yard inside nothing moves; 2 asin(4 / 49.8333) = 9.208 degrees.
    let laid = lay_out_on_arc(&run(600.0), &arc(50.0, ArcYard::Center)).expect("a layout");
    assert_eq!(laid.moved_in, Length::ZERO);
    assert!((laid.full_turn.degrees() - 9.208).abs() < 1e-3);
}

#[test]
fn a_wide_arc_is_as_good_as_straight() {
    let mut request = run(700.0);
    request.gates.push(GateRequest {
        opening: long(48.0),
        from: Some(at(300.03)),
        to: Some(at(399.97)),
        wish: Some(at(350.0)),
        latch: None,
    });
    request.no_dig.push(Stretch {
        from: at(100.03),
        to: at(110.03),
    });
    let laid = lay_out_on_arc(&request, &arc(1e6, ArcYard::Center)).expect("a layout");
    assert_eq!(laid.layout, lay_out(&request).expect("a layout"));
    assert!(laid.misfit.inches() < 1e-4);
}

/// The bracket that swings 12 degrees: 8 ft / (2 sin 6 degrees) = 38.27 ft.
#[test]
fn the_least_radius_of_a_bracket() {
    let least = least_arc_radius(long(96.0), Angle::from_degrees(12.0).expect("an angle"));
    assert!((least.feet() - 38.267).abs() < 1e-3);
}

#[test]
fn arcs_that_can_not_be_are_refused() {
    let tight = lay_out_on_arc(&run(100.0), &arc(5.0, ArcYard::Center));
    assert!(matches!(tight, Err(ArcLayoutError::TooTight { .. })));
    let around = lay_out_on_arc(&run(4000.0), &arc(40.0, ArcYard::Away));
    assert!(matches!(around, Err(ArcLayoutError::GoesAround { .. })));
}

/// What comes near to a path, against a walk along the circle.
#[test]
fn stretches_on_an_arc_match_a_walk_along_it() {
    let mut draws = Draws::from(84);
    let point = |north, east| Point::new(north, east).expect("a point");
    for round in 0..60 {
        let radius = 10.0 + 60.0 * draws.even();
        let sweep = (0.2 + 5.0 * draws.even()) * if round % 2 == 0 { 1.0 } else { -1.0 };
        let from = 6.0 * draws.even();
        let around = |turned: f64| {
            let azimuth = from + turned;
            point(
                500.0 + radius * azimuth.cos(),
                -300.0 + radius * azimuth.sin(),
            )
        };
        let mut spot = || {
            let (a, r) = (6.3 * draws.even(), radius * (0.5 + draws.even()));
            point(500.0 + r * a.cos(), -300.0 + r * a.sin())
        };
        let path: Vec<Point> = (0..=round % 4).map(|_| spot()).collect();
        let reach = Length::from_feet(0.5 + 6.0 * draws.even()).expect("a length");
        let angle = Angle::from_radians(sweep).expect("an angle");
        let center = point(500.0, -300.0);
        let near = stretches_within_on_arc(center, around(0.0), angle, &path, reach);
        let open = (std::f64::consts::TAU - sweep.abs()) / 2.0;
        for i in 0..2000 {
            let turned = -open + std::f64::consts::TAU * (f64::from(i) + 0.5) / 2000.0;
            let at = around(turned * sweep.signum());
            let apart = distance_to_path(at, &path).expect("a path").feet();
            if (apart - reach.feet()).abs() < 1e-6 {
                continue;
            }
            let s = turned * radius;
            let inside = |near: &Stretch| near.from.feet() <= s && s <= near.to.feet();
            assert_eq!(near.iter().any(inside), apart < reach.feet(), "{round} {s}");
        }
    }
}

/// End posts wider than line posts: all centers stand half the widest inside the line.
#[test]
fn no_post_passes_the_line_by_its_width() {
    let mut request = run(600.0);
    request.end.post = long(6.0);
    let laid = lay_out_on_arc(&request, &arc(50.0, ArcYard::Center)).expect("a layout");
    assert!((laid.post_radius.feet() - 49.75).abs() < 1e-12);
}
