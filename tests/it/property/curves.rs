//! Curves, and traverses along them: what must hold for any.

use fence_geom::{
    Angle, Azimuth, Beginning, Call, Curve, CurveElement, CurveElements, CurveError, Deed, Degree,
    DegreeOf, Direction, FootKind, Leaves, Length, Place, Point, Radial, Ring, RingError, Rounding,
    Side, Turn, resolve_curve, traverse,
};
use geo::{Area as _, Contains, Coord, LineString, Polygon};
use proptest::prelude::*;

fn feet(feet: f64) -> Length {
    Length::from_feet(feet).expect("a length")
}

fn degrees(degrees: f64) -> Angle {
    Angle::from_degrees(degrees).expect("an angle")
}

fn turn() -> impl Strategy<Value = Turn> {
    prop_oneof![Just(Turn::Left), Just(Turn::Right)]
}

/// Curves that a deed may have, but for those so flat or so nearly whole that their
/// elements say nothing of each other.
fn curve() -> impl Strategy<Value = Curve> {
    (0.0..360.0_f64, 5.0..2_000.0_f64, 5.0..340.0_f64, turn()).prop_map(
        |(start, radius, delta, turn)| {
            let start = Azimuth::from_degrees(start).expect("an azimuth");
            Curve::new(start, feet(radius), degrees(delta), turn).expect("a curve")
        },
    )
}

/// Every element of a curve.
fn all_elements(curve: Curve) -> CurveElements {
    let inward = curve.to_center().azimuth();
    CurveElements {
        turn: Some(curve.turn()),
        concave: None,
        radius: Some(curve.radius()),
        delta: Some(curve.delta()),
        arc: Some(curve.arc()),
        chord: Some(curve.chord()),
        chord_direction: Some(Direction::Azimuth(curve.chord_direction())),
        tangent: curve.tangent(),
        degree: curve
            .degree(DegreeOf::Arc, FootKind::International)
            .map(|angle| Degree {
                angle,
                of: DegreeOf::Arc,
                foot: FootKind::International,
            }),
        radial: Some(Radial::ToCenter(Direction::Azimuth(inward))),
        leaves: Leaves::Unsaid,
    }
}

const SIZED: [CurveElement; 6] = [
    CurveElement::Radius,
    CurveElement::Delta,
    CurveElement::Arc,
    CurveElement::Chord,
    CurveElement::Tangent,
    CurveElement::Degree,
];

/// The elements without those sized ones that are not wanted.
fn only(all: CurveElements, wanted: &[CurveElement]) -> CurveElements {
    let keep = |element| wanted.contains(&element);
    CurveElements {
        radius: all.radius.filter(|_| keep(CurveElement::Radius)),
        delta: all.delta.filter(|_| keep(CurveElement::Delta)),
        arc: all.arc.filter(|_| keep(CurveElement::Arc)),
        chord: all.chord.filter(|_| keep(CurveElement::Chord)),
        tangent: all.tangent.filter(|_| keep(CurveElement::Tangent)),
        degree: all.degree.filter(|_| keep(CurveElement::Degree)),
        ..all
    }
}

/// The ways in which a curve's direction can be given, each with the call before.
fn headings(all: CurveElements, curve: Curve) -> Vec<(CurveElements, Option<Azimuth>)> {
    let neither = CurveElements {
        chord_direction: None,
        radial: None,
        ..all
    };
    let before = Some(curve.start_tangent());
    let outward = Direction::Azimuth((-curve.to_center()).azimuth());
    vec![
        (
            CurveElements {
                chord_direction: all.chord_direction,
                ..neither
            },
            None,
        ),
        (
            CurveElements {
                radial: all.radial,
                ..neither
            },
            None,
        ),
        (
            CurveElements {
                radial: Some(Radial::FromCenter(outward)),
                ..neither
            },
            None,
        ),
        (
            CurveElements {
                leaves: Leaves::Tangent,
                ..neither
            },
            before,
        ),
        (neither, before),
        (
            CurveElements {
                leaves: Leaves::Cusp,
                ..neither
            },
            before.map(Azimuth::reversed),
        ),
    ]
}

fn assert_same(found: Curve, curve: Curve, near: f64) -> Result<(), TestCaseError> {
    prop_assert_eq!(found.turn(), curve.turn());
    let off = (found.way() - curve.way()).length().feet();
    prop_assert!(
        off <= near * curve.radius().feet(),
        "the end is {off} ft off"
    );
    let off = (found.delta().radians() - curve.delta().radians()).abs();
    prop_assert!(off <= near, "the angle is {off} off");
    Ok(())
}

proptest! {
    /// Any two sized elements with any direction give the curve back. Two pairs
    /// leave two answers from half a circle on, and the smaller is taken.
    #[test]
    fn any_two_sized_elements_give_the_curve(curve in curve()) {
        let all = all_elements(curve);
        let minor = curve.delta() < Angle::STRAIGHT;
        for (i, &first) in SIZED.iter().enumerate() {
            for &second in SIZED.iter().skip(i + 1) {
                let radius_twice =
                    first == CurveElement::Radius && second == CurveElement::Degree;
                let pair = [first, second];
                let open = pair.contains(&CurveElement::Chord)
                    && (pair.contains(&CurveElement::Radius) || pair.contains(&CurveElement::Degree));
                let tangent = pair.contains(&CurveElement::Tangent);
                if radius_twice || ((open || tangent) && !minor) {
                    continue;
                }
                // Near half a circle a chord hardly changes with the angle, and of
                // a flat curve arc, chord and tangents are nearly alike.
                for (elements, before) in headings(only(all, &pair), curve) {
                    let found = resolve_curve(&elements, before, Rounding::default());
                    let found = found.map_err(|e| TestCaseError::fail(format!("{pair:?}: {e}")))?;
                    assert_same(found.curve, curve, 1e-5)?;
                    prop_assert_eq!(found.contradictions().count(), 0, "{:?}", found.surplus);
                }
            }
        }
    }

    /// One sized element with the tangent at the start and the chord's bearing is
    /// enough, and the hand follows.
    #[test]
    fn directions_and_one_length_give_the_curve(curve in curve(), flip in any::<bool>()) {
        let all = CurveElements { turn: None, radial: None, ..all_elements(curve) };
        let before = curve.start_tangent();
        let (leaves, before) = if flip {
            (Leaves::Cusp, before.reversed())
        } else {
            (Leaves::Tangent, before)
        };
        for element in [CurveElement::Radius, CurveElement::Arc, CurveElement::Chord] {
            let elements = CurveElements { leaves, ..only(all, &[element]) };
            let found = resolve_curve(&elements, Some(before), Rounding::default());
            assert_same(found.expect("a curve").curve, curve, 1e-9)?;
        }
    }

    /// All elements together contradict nothing, whatever is left out.
    #[test]
    fn surplus_elements_of_one_curve_agree(curve in curve(), kept in prop::collection::vec(any::<bool>(), 6)) {
        let mut wanted: Vec<CurveElement> = SIZED
            .into_iter()
            .zip(kept)
            .filter_map(|(element, keep)| keep.then_some(element))
            .collect();
        wanted.extend([CurveElement::Radius, CurveElement::Delta]);
        let elements = CurveElements {
            leaves: Leaves::Tangent,
            ..only(all_elements(curve), &wanted)
        };
        let before = Some(curve.start_tangent());
        let found = resolve_curve(&elements, before, Rounding::default()).expect("a curve");
        prop_assert_eq!(found.contradictions().count(), 0, "{:?}", found.surplus);
        assert_same(found.curve, curve, 1e-9)?;
    }

    /// One element a foot or more off is named, with its size, if the others agree.
    #[test]
    fn an_element_that_is_off_is_named(curve in curve(), off in 1.0..30.0_f64) {
        let all = only(
            all_elements(curve),
            &[CurveElement::Radius, CurveElement::Delta, CurveElement::Arc, CurveElement::Chord],
        );
        let elements = CurveElements {
            arc: all.arc.map(|arc| arc + feet(off)),
            ..all
        };
        let found = resolve_curve(&elements, None, Rounding::default()).expect("a curve");
        let against: Vec<_> = found.contradictions().collect();
        prop_assert_eq!(against.len(), 1, "{:?}", found.surplus);
        prop_assert_eq!(against[0].element, CurveElement::Arc);
        prop_assert!((against[0].off.feet() - off).abs() < 1e-6 * curve.radius().feet());
        assert_same(found.curve, curve, 1e-9)?;
    }

    /// The hollow side decides the hand.
    #[test]
    fn the_hollow_side_gives_the_hand(curve in curve(), off in -80.0..80.0_f64) {
        let square = match curve.turn() {
            Turn::Right => Angle::RIGHT,
            Turn::Left => -Angle::RIGHT,
        };
        let hollow = curve.chord_direction().turned(square).turned(degrees(off));
        let elements = CurveElements {
            turn: None,
            concave: Some(hollow),
            radial: None,
            ..only(all_elements(curve), &[CurveElement::Radius, CurveElement::Delta])
        };
        let found = resolve_curve(&elements, None, Rounding::default()).expect("a hand");
        assert_same(found.curve, curve, 1e-9)?;
        // Without it, nothing does.
        let elements = CurveElements { concave: None, ..elements };
        let found = resolve_curve(&elements, None, Rounding::default());
        prop_assert!(matches!(found, Err(CurveError::NoHand)), "{found:?}");
    }

    /// A curve cut in two at any place: the second part starts along the end of the
    /// first, and together they lead where the whole does.
    #[test]
    fn tangent_parts_make_the_whole(curve in curve(), share in 0.05..0.95_f64) {
        let part = |start, share: f64| {
            let delta = degrees(curve.delta().degrees() * share);
            Curve::new(start, curve.radius(), delta, curve.turn()).expect("a part")
        };
        let first = part(curve.start_tangent(), share);
        let second = part(first.end_tangent(), 1.0 - share);
        let off = (first.way() + second.way() - curve.way()).length().feet();
        prop_assert!(off < 1e-9 * curve.radius().feet());
        let turned = second.end_tangent().clockwise_to(curve.end_tangent()).degrees();
        prop_assert!(turned.min(360.0 - turned) < 1e-9);
        let triangle = first.way().cross(second.way()).abs() / 2.0;
        let parts = first.segment().square_feet() + second.segment().square_feet();
        // Past half a circle the triangle may lie on the other side of a chord.
        if curve.delta() <= Angle::STRAIGHT {
            let whole = curve.segment().square_feet();
            prop_assert!((parts + triangle - whole).abs() < 1e-9 * curve.radius().feet().powi(2));
        }
    }
}

/// The corners of a polygon about the origin, 20 to 500 ft out, and what follows
/// each: `None` for a line.
type Figure = (Vec<Point>, Vec<Option<(f64, Turn)>>);

/// Figures whose curves turn through up to `most` degrees.
fn figure(most: f64) -> impl Strategy<Value = Figure> {
    (3..=10_usize)
        .prop_flat_map(move |n| {
            (
                prop::collection::vec((0.1..0.9_f64, 20.0..500.0_f64), n),
                prop::collection::vec(prop::option::of((1.0..most, turn())), n),
            )
        })
        .prop_map(|(rays, sides)| {
            let step = std::f64::consts::TAU / rays.len() as f64;
            let corners = rays.iter().enumerate().map(|(i, &(share, radius))| {
                let angle = (i as f64 + share) * step;
                Point::new(radius * angle.cos(), radius * angle.sin()).expect("small")
            });
            (corners.collect(), sides)
        })
}

fn side_of(side: Option<(f64, Turn)>) -> Side {
    side.map_or(Side::Line, |(delta, turn)| Side::Arc {
        delta: degrees(delta),
        turn,
    })
}

fn deed_of((corners, sides): &Figure) -> Deed {
    let next = corners.iter().cycle().skip(1);
    let calls = corners
        .iter()
        .zip(next)
        .zip(sides)
        .map(|((&from, &to), &side)| {
            let way = to - from;
            let direction = Direction::Azimuth(way.azimuth());
            match side_of(side) {
                Side::Line => Call::straight(direction, way.length()),
                Side::Arc { delta, turn } => Call::curved(direction, way.length(), delta, turn),
            }
        });
    let beginning = Beginning {
        at: corners.first().copied(),
        ..Beginning::default()
    };
    Deed::new(beginning, calls.collect(), None).expect("a deed")
}

/// The figure with each curve as `pieces` short chords. A place on a curve is found
/// as it is staked out: by the deflection from the tangent and the chord to it.
fn polygonized((corners, sides): &Figure, pieces: u32) -> Polygon {
    let next = corners.iter().cycle().skip(1);
    let mut line = Vec::new();
    for ((&from, &to), &side) in corners.iter().zip(next).zip(sides) {
        line.push(Coord {
            x: from.east(),
            y: from.north(),
        });
        let Some((delta, turn)) = side else { continue };
        let delta = delta.to_radians();
        let way = to - from;
        let radius = way.length().feet() / (2.0 * (delta / 2.0).sin());
        let sign = if turn == Turn::Right { 1.0 } else { -1.0 };
        let tangent = way.azimuth().radians() - sign * delta / 2.0;
        for piece in 1..pieces {
            let deflection = delta / 2.0 * f64::from(piece) / f64::from(pieces);
            let chord = 2.0 * radius * deflection.sin();
            let azimuth = tangent + sign * deflection;
            line.push(Coord {
                x: from.east() + chord * azimuth.sin(),
                y: from.north() + chord * azimuth.cos(),
            });
        }
    }
    Polygon::new(LineString::new(line), vec![])
}

proptest! {
    /// The `geo` crate adds up the area of the fine polygon.
    #[test]
    fn the_area_is_that_of_a_fine_polygon(figure in figure(300.0)) {
        let computed = traverse(&deed_of(&figure));
        prop_assert!(computed.closure().is_exact());
        let fine = polygonized(&figure, 2_000).signed_area().abs();
        // Around each arc the fine polygon leaves about a millionth of its square.
        let size: f64 = figure.0.iter().zip(&figure.1).map(|(_, side)| {
            side.map_or(0.0, |(delta, _)| 1e6 / (delta.to_radians() / 2.0).sin().powi(2))
        }).sum();
        let off = (computed.area().square_feet() - fine).abs();
        prop_assert!(off <= 1e-5 * size + 1e-9 * fine + 1e-6, "{off} of {fine}");
    }

    /// The length around is that of the fine polygon.
    #[test]
    fn the_perimeter_runs_along_the_arcs(figure in figure(300.0)) {
        let computed = traverse(&deed_of(&figure)).closure().perimeter().feet();
        let polygon = polygonized(&figure, 2_000);
        let fine: f64 = polygon.exterior().lines().map(|it| it.dx().hypot(it.dy())).sum();
        prop_assert!((computed - fine).abs() < 2e-6 * fine, "{computed} for {fine}");
    }

    /// Where a ring stands, a point is inside as the fine polygon has it; near a side
    /// nothing is asked.
    #[test]
    fn a_point_is_where_the_fine_polygon_has_it(
        figure in figure(120.0),
        points in prop::collection::vec((-600.0..600.0_f64, -600.0..600.0_f64), 40),
    ) {
        let Ok(ring) = traverse(&deed_of(&figure)).ring() else { return Ok(()) };
        let fine = polygonized(&figure, 500);
        for (north, east) in points {
            let point = Point::new(north, east).expect("small");
            let inside = fine.contains(&geo::Point::new(east, north));
            match ring.locate(point, feet(0.05)) {
                Place::Inside => prop_assert!(inside, "{point:?}"),
                Place::Outside => prop_assert!(!inside, "{point:?}"),
                Place::OnSide(_) => {}
            }
        }
    }

    /// A ring stands exactly where the fine polygon does not cross itself.
    #[test]
    fn sides_cross_where_those_of_the_fine_polygon_do(figure in figure(200.0)) {
        let ring = traverse(&deed_of(&figure)).ring();
        let polygon = polygonized(&figure, 60);
        let lines: Vec<geo::Line> = polygon.exterior().lines().collect();
        let mut crosses = false;
        for (i, a) in lines.iter().enumerate() {
            for b in lines.iter().skip(i + 2) {
                if a.start == b.end {
                    continue;
                }
                crosses |= geo::Intersects::intersects(a, b);
            }
        }
        // Curves that pass each other more closely than their short chords lie off
        // them can't be told by those; nor can neighbors that meet again before the
        // first of their short chords ends.
        let (corners, sides) = &figure;
        let chords = corners.iter().zip(corners.iter().cycle().skip(1)).map(|(a, b)| a.distance(*b));
        let along = chords.zip(sides).map(|(chord, &side)| side_of(side).length_of(chord).feet());
        let longest = along.fold(0.0, f64::max) / 60.0;
        let again = match &ring {
            Err(RingError::Crossing { north, east, .. }) => corners
                .iter()
                .any(|it| (it.north() - north).hypot(it.east() - east) < longest),
            _ => false,
        };
        let near = lines.iter().enumerate().any(|(i, a)| {
            lines.iter().skip(i + 2).any(|b| {
                let ends = [a.start, a.end, b.start, b.end];
                a.start != b.end && apart(&ends) < 0.35
            })
        });
        if !near && !again {
            prop_assert_eq!(ring.is_err(), crosses, "{:?}", ring.err());
        }
    }

    /// Turning a ring round keeps its area and its places.
    #[test]
    fn a_ring_walked_back_has_the_same_area(figure in figure(90.0)) {
        let Ok(ring) = traverse(&deed_of(&figure)).ring() else { return Ok(()) };
        let back = ring.reversed();
        let sides: Vec<Side> = back.sides().to_vec();
        prop_assert!(Ring::new(back.corners().to_vec(), sides).is_ok());
        let off = (back.area().square_feet() - ring.area().square_feet()).abs();
        prop_assert!(off < 1e-9 * ring.area().square_feet());
    }
}

/// The least distance between the ends of two short lines.
fn apart(&[a, b, c, d]: &[Coord; 4]) -> f64 {
    let between = |p: Coord, q: Coord| (p.x - q.x).hypot(p.y - q.y);
    [(a, c), (a, d), (b, c), (b, d)]
        .into_iter()
        .map(|(p, q)| between(p, q))
        .fold(f64::MAX, f64::min)
}
