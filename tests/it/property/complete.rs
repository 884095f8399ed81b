//! Tracts completed from closure, and balanced traverses: what must hold for any.

use fence_geom::{
    Angle, Area, AreaConfusion, Azimuth, BalanceRule, Beginning, Call, ClosureCheck, CompleteError,
    Completed, CourseErrors, CurveElements, Deed, Direction, Displacement, Leaves, Length, Point,
    Side, StatedCall, StatedCourse, StatedDirection, Tract, Traverse, Turn, balance, check_area,
    complete, traverse,
};
use proptest::prelude::*;

fn feet(feet: f64) -> Length {
    Length::from_feet(feet).expect("a length")
}

fn degrees(degrees: f64) -> Angle {
    Angle::from_degrees(degrees).expect("an angle")
}

/// What may be missing of a call.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Gap {
    Direction,
    Distance,
    Course,
}

/// A closed figure of four to ten corners about the origin; every third side is a
/// curve, stated by radius, chord and chord bearing.
fn closed_tract() -> impl Strategy<Value = Tract> {
    prop::collection::vec((0.1..0.9_f64, 20.0..500.0_f64, 10.0..170.0_f64), 4..10).prop_map(
        |rays| {
            let step = std::f64::consts::TAU / rays.len() as f64;
            let corners: Vec<Point> = rays
                .iter()
                .enumerate()
                .map(|(i, &(share, radius, _))| {
                    let angle = (i as f64 + share) * step;
                    Point::new(radius * angle.cos(), radius * angle.sin()).expect("small")
                })
                .collect();
            let next = corners.iter().cycle().skip(1);
            let calls = corners.iter().zip(next).zip(&rays).enumerate();
            let calls = calls.map(|(i, ((&from, &to), &(_, _, delta)))| {
                let way = to - from;
                let direction = Direction::Azimuth(way.azimuth());
                if i % 3 == 2 {
                    let radius = way.length().feet() / (2.0 * (delta.to_radians() / 2.0).sin());
                    StatedCall::curve(CurveElements {
                        turn: Some(if i % 2 == 0 { Turn::Left } else { Turn::Right }),
                        radius: Some(feet(radius)),
                        chord: Some(way.length()),
                        chord_direction: Some(direction),
                        leaves: Leaves::NotTangent,
                        ..CurveElements::default()
                    })
                } else {
                    StatedCall::line(Some(StatedDirection::Given(direction)), Some(way.length()))
                }
            });
            Tract {
                calls: calls.collect(),
                ..Tract::default()
            }
        },
    )
}

fn without(call: &mut StatedCall, gap: Gap) {
    match &mut call.course {
        StatedCourse::Line {
            direction,
            distance,
        } => {
            if gap != Gap::Distance {
                *direction = None;
            }
            if gap != Gap::Direction {
                *distance = None;
            }
        }
        StatedCourse::Curve(elements) => {
            if gap != Gap::Distance {
                elements.chord_direction = None;
            }
            if gap != Gap::Direction {
                elements.chord = None;
            }
        }
    }
}

fn ways(completed: &Completed) -> Vec<Displacement> {
    let courses = traverse(&completed.deed);
    courses.courses().iter().map(|course| course.way).collect()
}

/// How far the nearest answer is from the whole tract, over all calls.
fn nearest(answers: &[Completed], whole: &Completed) -> f64 {
    let whole = ways(whole);
    let off = |answer: &Completed| {
        ways(answer)
            .iter()
            .zip(&whole)
            .map(|(a, b)| (*a - *b).length().feet())
            .fold(0.0, f64::max)
    };
    answers.iter().map(off).fold(f64::MAX, f64::min)
}

fn whole(tract: &Tract) -> Completed {
    complete(tract).expect("nothing is missing").remove(0)
}

proptest! {
    #[test]
    fn a_whole_tract_comes_back_as_it_is(tract in closed_tract()) {
        let whole = whole(&tract);
        let closure = traverse(&whole.deed).closure();
        prop_assert!(closure.is_exact());
        prop_assert_eq!(closure.check(), ClosureCheck::Whole);
        prop_assert_eq!(whole.curves.len(), tract.calls.len() / 3);
    }

    /// One figure or course gone comes back, and the closure says what is left of it.
    #[test]
    fn one_gap_is_filled(
        tract in closed_tract(),
        at in any::<prop::sample::Index>(),
        gap in prop_oneof![Just(Gap::Direction), Just(Gap::Distance), Just(Gap::Course)],
    ) {
        let at = at.index(tract.calls.len());
        let mut open = tract.clone();
        without(&mut open.calls[at], gap);
        let answers = complete(&open).expect("an answer");
        prop_assert!(nearest(&answers, &whole(&tract)) < 1e-6);
        let check = traverse(&answers[0].deed).closure().check();
        let expected = if gap == Gap::Course { ClosureCheck::Nothing } else { ClosureCheck::Part };
        prop_assert_eq!(check, expected);
        let last = at + 1 == tract.calls.len();
        prop_assert_eq!(answers[0].closed_by_construction, last && gap == Gap::Course);
    }

    /// Two figures of any two calls, neighbors or not, come back among the answers.
    #[test]
    fn two_figures_are_among_the_answers(
        tract in closed_tract(),
        first in any::<prop::sample::Index>(),
        ahead in any::<prop::sample::Index>(),
        gaps in (any::<bool>(), any::<bool>()),
    ) {
        let n = tract.calls.len();
        let first = first.index(n);
        let second = (first + 1 + ahead.index(n - 1)) % n;
        let whole = whole(&tract);
        let stated = ways(&whole);
        let sine = stated[first].cross(stated[second])
            / (stated[first].length().feet() * stated[second].length().feet());
        // Courses that run nearly one way can't be told apart by their sum.
        prop_assume!(sine.abs() > 0.02);
        let mut open = tract.clone();
        let pick = |direction| if direction { Gap::Direction } else { Gap::Distance };
        without(&mut open.calls[first], pick(gaps.0));
        without(&mut open.calls[second], pick(gaps.1));
        let answers = complete(&open).expect("an answer");
        prop_assert!(answers.len() <= 2);
        prop_assert!(nearest(&answers, &whole) < 1e-4);
        for answer in &answers {
            let closure = traverse(&answer.deed).closure();
            prop_assert_eq!(closure.check(), ClosureCheck::Nothing);
            prop_assert!(!closure.is_exact());
            prop_assert!(closure.misclosure().feet() < 1e-6);
        }
    }

    /// A deed built of directions turned from the call before is the same tract.
    #[test]
    fn turned_directions_lead_the_same_way(tract in closed_tract()) {
        let whole = whole(&tract);
        let mut turned = tract.clone();
        let mut end = None;
        let mut curves = whole.curves.iter();
        for (call, way) in turned.calls.iter_mut().zip(ways(&whole)) {
            let before = end;
            end = Some(way.azimuth());
            match &mut call.course {
                StatedCourse::Line { direction, .. } => {
                    if let Some(before) = before {
                        let angle = Azimuth::clockwise_to(before, way.azimuth());
                        let turn = Turn::Right;
                        *direction = Some(StatedDirection::Turned { angle, turn });
                    }
                }
                StatedCourse::Curve(_) => {
                    end = curves.next().map(|it| it.curve.curve.end_tangent());
                }
            }
        }
        let again = complete(&turned).expect("directions follow").remove(0);
        prop_assert!(nearest(&[again], &whole) < 1e-6);
    }

    /// Every rule closes, keeps the curves' angles, and its residuals are what it
    /// added.
    #[test]
    fn every_rule_closes(
        tract in closed_tract(),
        at in any::<prop::sample::Index>(),
        north in -2.0..2.0_f64,
        east in -2.0..2.0_f64,
        errors in (0.001..0.1_f64, 0.0..0.001_f64, 0.001..0.1_f64),
    ) {
        let mut calls = whole(&tract).deed.calls().to_vec();
        let at = at.index(calls.len());
        let moved = ways(&whole(&tract))[at] + Displacement::new(north, east).expect("small");
        let direction = Direction::Azimuth(moved.azimuth());
        calls[at] = match calls[at].side() {
            Side::Line => Call::straight(direction, moved.length()),
            Side::Arc { delta, turn } => Call::curved(direction, moved.length(), delta, turn),
        };
        let raw = traverse(&Deed::new(Beginning::default(), calls, None).expect("a deed"));
        let errors = CourseErrors::new(feet(errors.0), errors.1, degrees(errors.2)).expect("errors");
        let perimeter = raw.closure().perimeter().feet();
        for rule in [BalanceRule::Compass, BalanceRule::Transit, BalanceRule::LeastSquares(errors)] {
            let balanced = balance(&raw, rule).expect("it comes back");
            let sum = balanced.courses.iter().fold(Displacement::default(), |sum, it| sum + it.way);
            prop_assert!(sum.length().feet() < 1e-11 * perimeter, "{rule:?}");
            for (course, raw) in balanced.courses.iter().zip(raw.courses()) {
                let direction = raw.way.azimuth().turned(course.direction_residual);
                let distance = raw.way.length().feet() + course.distance_residual.feet();
                let back = Displacement::polar(direction, feet(distance));
                prop_assert!((back - course.way).length().feet() < 1e-9);
            }
            if let Ok(ring) = balanced.ring() {
                let raw_sides: Vec<Side> = raw.courses().iter().map(|it| it.call.side()).collect();
                prop_assert_eq!(ring.sides(), raw_sides.as_slice());
                let off = ring.area().square_feet() - balanced.area.square_feet();
                prop_assert!(off.abs() < 1e-6);
            }
        }
    }

    /// Least squares is the least: any other corrections that close cost more.
    #[test]
    fn least_squares_is_the_least(
        tract in closed_tract(),
        other in prop::collection::vec((-0.1..0.1_f64, -0.1..0.1_f64), 10),
        off in (0.05..0.5_f64, -0.5..-0.05_f64),
    ) {
        let completed = whole(&tract);
        let mut calls = completed.deed.calls().to_vec();
        let moved = ways(&completed)[0] + Displacement::new(off.0, off.1).expect("small");
        calls[0] = Call::straight(Direction::Azimuth(moved.azimuth()), moved.length());
        let raw = traverse(&Deed::new(Beginning::default(), calls, None).expect("a deed"));
        let errors = CourseErrors::default();
        let balanced = balance(&raw, BalanceRule::LeastSquares(errors)).expect("it comes back");
        let cost = |corrections: &[Displacement]| -> f64 {
            corrections
                .iter()
                .zip(raw.courses())
                .map(|(correction, course)| {
                    let unit = course.way.unit().expect("a way");
                    let length = course.way.length().feet();
                    let along = errors.distance().feet().hypot(errors.scale() * length);
                    let across = errors.direction().radians() * length;
                    (correction.dot(unit) / along).powi(2) + (correction.cross(unit) / across).powi(2)
                })
                .sum()
        };
        let best: Vec<Displacement> = balanced.courses.iter().map(|it| it.correction).collect();
        // Any change whose sum is nothing closes as well.
        let n = best.len();
        let mut changed = best.clone();
        for (i, &(north, east)) in other.iter().take(n).enumerate() {
            let change = Displacement::new(north, east).expect("small");
            changed[i] = changed[i] + change;
            changed[(i + 1) % n] = changed[(i + 1) % n] - change;
        }
        prop_assert!(cost(&best) <= cost(&changed) * (1.0 + 1e-9));
    }

    /// A stated area with the segments on the wrong side, or left out, is explained.
    #[test]
    fn segments_confused_are_named(tract in closed_tract()) {
        let computed = traverse(&whole(&tract).deed);
        let straight = {
            let sides = vec![Side::Line; computed.corners().len()];
            let calls = computed.courses().iter().zip(sides).map(|(course, _)| {
                Call::straight(course.direction(), course.distance())
            });
            traverse(&Deed::new(Beginning::default(), calls.collect(), None).expect("a deed"))
        };
        let (whole, chords) = (computed.area().square_feet(), straight.area().square_feet());
        // An arc that reaches around the whole figure turns its hand about; then the
        // sizes of the two areas don't tell that of the segments.
        let hand = |traverse: &Traverse| traverse.ring().ok().map(|ring| ring.interior());
        prop_assume!(hand(&computed).is_some() && hand(&computed) == hand(&straight));
        prop_assume!((whole - chords).abs() > 0.01 * whole && (whole - chords).abs() < 0.5 * chords);
        let explained = |area: f64, confusion| {
            let stated = Area::from_square_feet(area).expect("an area");
            let check = check_area(&computed, stated, Area::default());
            prop_assert!(
                !check.agrees && check.confusions.contains(&confusion),
                "{area} for {whole} and {chords}: {check:?}"
            );
            Ok(())
        };
        explained(2.0 * chords - whole, AreaConfusion::SegmentsReversed)?;
        explained(chords, AreaConfusion::SegmentsLeftOut)?;
        let check = check_area(&computed, computed.area(), Area::default());
        prop_assert!(check.agrees && check.confusions.is_empty());
    }
}

/// A square of 100 ft, as lines of azimuth and length.
fn square() -> Vec<StatedCall> {
    [0.0, 90.0, 180.0, 270.0]
        .map(|azimuth| {
            let azimuth = Azimuth::from_degrees(azimuth).expect("an azimuth");
            let direction = StatedDirection::Given(Direction::Azimuth(azimuth));
            StatedCall::line(Some(direction), Some(feet(100.0)))
        })
        .to_vec()
}

fn completed(calls: Vec<StatedCall>) -> Result<Vec<Completed>, CompleteError> {
    complete(&Tract {
        calls,
        ..Tract::default()
    })
}

#[test]
fn a_last_call_is_left_out_where_the_others_come_back() {
    let mut calls = square();
    calls.push(StatedCall::line(None, None));
    let answer = completed(calls).expect("a square").remove(0);
    assert!(answer.last_call_left_out && !answer.closed_by_construction);
    assert_eq!(answer.deed.calls().len(), 4);
    assert_eq!(
        traverse(&answer.deed).closure().check(),
        ClosureCheck::Whole
    );
}

#[test]
fn too_much_missing_names_the_calls() {
    let mut calls = square();
    without(&mut calls[0], Gap::Course);
    without(&mut calls[2], Gap::Distance);
    let error = completed(calls).expect_err("three figures");
    assert!(
        matches!(error, CompleteError::TooMuchMissing { .. }),
        "{error}"
    );
    assert!(error.to_string().contains("call 1 and call 3"), "{error}");
}

#[test]
fn an_open_line_has_no_closure_to_solve_from() {
    let mut calls = square();
    without(&mut calls[1], Gap::Distance);
    calls[3].corner = Some("oak".to_owned());
    let error = completed(calls).expect_err("it stays open");
    assert!(matches!(error, CompleteError::StaysOpen { .. }), "{error}");
}

#[test]
fn parallel_courses_of_unknown_length_have_no_answer() {
    let mut calls = square();
    without(&mut calls[0], Gap::Distance);
    without(&mut calls[2], Gap::Distance);
    let error = completed(calls).expect_err("parallel");
    assert!(error.to_string().contains("parallel"), "{error}");
}

#[test]
fn a_turn_from_nothing_is_refused_by_name() {
    let mut calls = square();
    let angle = Angle::RIGHT;
    let turn = Turn::Right;
    calls[0] = StatedCall::line(
        Some(StatedDirection::Turned { angle, turn }),
        Some(feet(100.0)),
    );
    let error = completed(calls.clone()).expect_err("no call before");
    assert!(matches!(error, CompleteError::NoHeading { .. }), "{error}");
    // With a tie it turns from there.
    let tract = Tract {
        ties: vec![square().remove(3)],
        calls,
        ..Tract::default()
    };
    let answer = complete(&tract).expect("a tie before").remove(0);
    assert!(traverse(&answer.deed).closure().is_exact());
}

/// A curve without hand whose chord is known closes either way: both are answers.
#[test]
fn a_curve_without_hand_has_two_answers() {
    let mut calls = square();
    let StatedCourse::Line { direction, .. } = &calls[1].course else {
        panic!("a line");
    };
    let Some(StatedDirection::Given(direction)) = *direction else {
        panic!("a direction");
    };
    calls[1] = StatedCall::curve(CurveElements {
        radius: Some(feet(80.0)),
        chord: Some(feet(100.0)),
        chord_direction: Some(direction),
        ..CurveElements::default()
    });
    let answers = completed(calls).expect("two hands");
    assert_eq!(answers.len(), 2);
    let areas: Vec<f64> = answers
        .iter()
        .map(|answer| traverse(&answer.deed).area().square_feet())
        .collect();
    assert!((areas[0] + areas[1] - 20_000.0).abs() < 1e-6, "{areas:?}");
    assert_eq!(answers[0].hands_tried.len(), 1);
}

/// A square with a tangent quarter circle in place of the corner between its first
/// two sides, of which one element is stated.
fn rounded_square(stated: CurveElements) -> Completed {
    let mut calls = square();
    for call in [0, 1] {
        if let StatedCourse::Line { distance, .. } = &mut calls[call].course {
            *distance = Some(feet(80.0));
        }
    }
    calls.insert(
        1,
        StatedCall::curve(CurveElements {
            turn: Some(Turn::Right),
            leaves: Leaves::Tangent,
            ..stated
        }),
    );
    completed(calls).expect("an answer").remove(0)
}

/// A curve that leaves a known tangent with a known radius, but no one says how far
/// it goes: the closure does.
#[test]
fn a_curve_goes_on_until_it_closes() {
    let answer = rounded_square(CurveElements {
        radius: Some(feet(20.0)),
        ..CurveElements::default()
    });
    let delta = answer.curves[0].curve.curve.delta().degrees();
    assert!((delta - 90.0).abs() < 1e-9, "{delta}");
    let closure = traverse(&answer.deed).closure();
    assert_eq!(closure.check(), ClosureCheck::Part);
    assert!(closure.misclosure().feet() < 1e-9);
}

/// A tangent curve of known angle whose radius no one says: its direction follows
/// from the call before, and the closure gives its length, and so the radius.
#[test]
fn a_curve_of_unknown_radius_is_as_large_as_closes() {
    let answer = rounded_square(CurveElements {
        delta: Some(degrees(90.0)),
        ..CurveElements::default()
    });
    let radius = answer.curves[0].curve.curve.radius().feet();
    assert!((radius - 20.0).abs() < 1e-9, "{radius}");
    let solved = answer.deed.calls()[1].solved();
    assert!(solved.distance && !solved.direction);
}

/// A curve of a stated radius spans its diameter at most: a hair more would be taken
/// for a half circle if it were stated, but closure is no reading with an error.
#[test]
fn no_chord_is_solved_longer_than_the_diameter() {
    let curve = |radius| {
        let back = Direction::Azimuth(Azimuth::from_degrees(180.0).expect("an azimuth"));
        let out = Direction::Azimuth(Azimuth::from_degrees(0.0).expect("an azimuth"));
        let out = StatedDirection::Given(out);
        complete(&Tract {
            calls: vec![
                StatedCall::line(Some(out), Some(feet(100.0))),
                StatedCall::curve(CurveElements {
                    turn: Some(Turn::Right),
                    radius: Some(feet(radius)),
                    chord_direction: Some(back),
                    leaves: Leaves::NotTangent,
                    ..CurveElements::default()
                }),
            ],
            ..Tract::default()
        })
    };
    assert!(curve(50.1).is_ok());
    let refused = curve(49.9).expect_err("a diameter of 99.8 ft");
    assert!(
        refused.to_string().contains("longer than the diameter"),
        "{refused}"
    );
}

/// Two opposite sides of a rectangle without directions may lie anyhow.
#[test]
fn opposite_sides_without_directions_have_no_answer() {
    let line = |direction: Option<f64>, length| {
        let given = |degrees| Azimuth::from_degrees(degrees).map(Direction::Azimuth);
        let direction = direction.map(|it| StatedDirection::Given(given(it).expect("an azimuth")));
        StatedCall::line(direction, Some(feet(length)))
    };
    let calls = vec![
        line(None, 100.0),
        line(Some(90.0), 50.0),
        line(None, 100.0),
        line(Some(270.0), 50.0),
    ];
    let refused = complete(&Tract {
        calls,
        ..Tract::default()
    })
    .expect_err("any direction will do");
    assert!(
        refused.to_string().contains("in any direction"),
        "{refused}"
    );
}
