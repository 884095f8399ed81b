//! Where tapes and lines meet, and the best two tapes.

use fence_geom::{
    Azimuth, IntersectError, KnownPoint, Length, LineMeetsTape, Point, Sigma, TapeModel, TapesMeet,
    TieLimits, Turn, TwoTapes, best_ties, line_meets_tape, lines_meet, points_from_tapes,
    tapes_meet,
};
use proptest::prelude::*;

fn feet(x: f64) -> Length {
    Length::from_feet(x).expect("in range")
}

fn place() -> impl Strategy<Value = Point> {
    (-200.0..200.0, -200.0..200.0).prop_map(|(n, e)| Point::new(n, e).expect("in range"))
}

fn known(name: &str, at: Point) -> KnownPoint {
    KnownPoint {
        name: name.to_owned(),
        at,
        sigma: Sigma::ZERO,
    }
}

/// The hand of the way from `a` to `b` on which `p` lies: positive is right.
fn right_of(a: Point, b: Point, p: Point) -> f64 {
    (b - a).cross(p - a)
}

proptest! {
    /// Both answers are at both readings, one on each hand, and one of them is the
    /// place the readings were taken at.
    #[test]
    fn both_answers_keep_both_readings(a in place(), b in place(), p in place()) {
        prop_assume!(a.distance(b).feet() > 0.1 && right_of(a, b, p).abs() > 1.0);
        let (r, s) = (a.distance(p), b.distance(p));
        let meeting = tapes_meet(a, r, b, s).expect("they meet");
        let TapesMeet::Cross { left, right } = meeting else {
            return Err(TestCaseError::fail(format!("{meeting:?}")));
        };
        for answer in [left, right] {
            prop_assert!((answer.distance(a).feet() - r.feet()).abs() < 1e-6);
            prop_assert!((answer.distance(b).feet() - s.feet()).abs() < 1e-6);
        }
        prop_assert!(right_of(a, b, left) < 0.0 && right_of(a, b, right) > 0.0);
        let nearest = left.distance(p).feet().min(right.distance(p).feet());
        prop_assert!(nearest < 1e-4, "{nearest}");
        // From the other end the hands change.
        let back = tapes_meet(b, s, a, r).expect("they meet");
        prop_assert!(back.on(Turn::Left).distance(right).feet() < 1e-6);
    }

    /// Tapes that do not meet are refused with what is missing.
    #[test]
    fn what_is_missing_is_named(a in place(), b in place(), share in 0.0..1.0, missing in 0.01..50.0) {
        let apart = a.distance(b).feet();
        prop_assume!(apart > missing);
        let (r, s) = ((apart - missing) * share, (apart - missing) * (1.0 - share));
        let refused = tapes_meet(a, feet(r), b, feet(s));
        let Err(IntersectError::TooShort { gap, .. }) = refused else {
            return Err(TestCaseError::fail(format!("{refused:?}")));
        };
        prop_assert!((gap.feet() - missing).abs() < 1e-9);
        let refused = tapes_meet(a, feet(r + apart + missing), b, feet(r));
        let Err(IntersectError::TooLong { gap, .. }) = refused else {
            return Err(TestCaseError::fail(format!("{refused:?}")));
        };
        prop_assert!((gap.feet() - missing).abs() < 1e-9);
    }

    /// Tapes that just reach each other give one answer, between the points.
    #[test]
    fn tapes_that_just_reach_give_one_answer(apart in 1..400_u32, first in 0..400_u32) {
        prop_assume!(first <= apart);
        let (a, b) = (Point::ORIGIN, Point::new(f64::from(apart), 0.0).expect("in range"));
        let (r, s) = (f64::from(first), f64::from(apart - first));
        let meeting = tapes_meet(a, feet(r), b, feet(s)).expect("they touch");
        let TapesMeet::Touch(at) = meeting else {
            return Err(TestCaseError::fail(format!("{meeting:?}")));
        };
        prop_assert!((at.north() - r).abs() < 1e-12 && at.east().abs() < 1e-12);
    }

    #[test]
    fn lines_meet_on_both_lines(a in place(), b in place(), p in place()) {
        prop_assume!(a.distance(p).feet() > 1.0 && b.distance(p).feet() > 1.0);
        let (u, v) = ((p - a).azimuth(), (p - b).azimuth());
        prop_assume!((u.clockwise_to(v).radians()).sin().abs() > 0.01);
        let meeting = lines_meet(a, u, b, v).expect("they meet");
        prop_assert!(meeting.at.distance(p).feet() < 1e-8);
        prop_assert!((meeting.along_first.feet() - a.distance(p).feet()).abs() < 1e-8);
        prop_assert!((meeting.along_second.feet() - b.distance(p).feet()).abs() < 1e-8);
    }

    #[test]
    fn a_line_meets_a_tape_at_its_reading(a in place(), c in place(), degrees in 0.0..360.0, r in 1.0..300.0) {
        let direction = Azimuth::from_degrees(degrees).expect("an azimuth");
        match line_meets_tape(a, direction, c, feet(r)) {
            Ok(LineMeetsTape::Cross { first, second }) => {
                prop_assert!(first.along <= second.along);
                for crossing in [first, second] {
                    prop_assert!((crossing.at.distance(c).feet() - r).abs() < 1e-6);
                }
            }
            Ok(LineMeetsTape::Touch(crossing)) => {
                prop_assert!((crossing.at.distance(c).feet() - r).abs() < 1e-6);
            }
            Err(IntersectError::Misses { gap }) => {
                let foot = (c - a).cross(a.toward(direction, feet(1.0)) - a).abs();
                prop_assert!((foot - r - gap.feet()).abs() < 1e-8);
            }
            Err(error) => return Err(TestCaseError::fail(error.to_string())),
        }
    }

    /// The best pair is within the limits, and no other usable pair leaves less
    /// doubt; the order in which the points are given does not matter.
    #[test]
    fn no_pair_beats_the_best(target in place(), from in prop::collection::vec(place(), 2..6)) {
        let names = ["A", "B", "C", "D", "E", "F"];
        let seen: Vec<KnownPoint> = names.iter().zip(&from).map(|(n, at)| known(n, *at)).collect();
        let (limits, tape) = (TieLimits::default(), TapeModel::default());
        let answer = best_ties(target, &seen, &[], &limits, &tape);
        let turned: Vec<KnownPoint> = seen.iter().rev().cloned().collect();
        prop_assert_eq!(&answer, &best_ties(target, &turned, &[], &limits, &tape));
        let mut least = f64::INFINITY;
        for (i, a) in seen.iter().enumerate() {
            for b in &seen[i + 1..] {
                let (r, s) = (a.at.distance(target), b.at.distance(target));
                let (u, v) = (a.at - target, b.at - target);
                let meet = u.cross(v).abs().atan2(u.dot(v)).to_degrees();
                if r.feet() > 100.0 || s.feet() > 100.0 || !(30.0..=150.0).contains(&meet) {
                    continue;
                }
                let places = points_from_tapes((a, r), (b, s), &tape).expect("they meet");
                let near = places.iter().min_by(|p, q| {
                    p.at.distance(target).feet().total_cmp(&q.at.distance(target).feet())
                });
                let near = near.expect("an answer");
                let doubt = near.sigma_north.combined(near.sigma_east).value().expect("known");
                least = least.min(doubt);
            }
        }
        match answer {
            Ok(tie) => {
                let doubt = tie.sigma_north.combined(tie.sigma_east).value().expect("known");
                prop_assert!((doubt - least).abs() < 1e-8, "{} and {}", doubt, least);
            }
            Err(none) => prop_assert!(least.is_infinite(), "{}", none),
        }
    }
}

/// How much of a small blunder in either tape of a tie the tape from a third point
/// shows, at least.
fn shown_by(third: Point, target: Point, tie: &TwoTapes, seen: &[KnownPoint]) -> f64 {
    let at = |name: &str| {
        let point = seen.iter().find(|k| k.name == name);
        point.expect("a known point").at
    };
    let (a, b) = (at(&tie.first.from), at(&tie.second.from));
    let (r, s) = (tie.first.reading.feet(), tie.second.reading.feet());
    let blunder = 1e-4;
    let shown = |r: f64, s: f64| {
        let set = tapes_meet(a, feet(r), b, feet(s))
            .expect("they meet")
            .on(tie.hand);
        (set.distance(third).feet() - target.distance(third).feet()).abs() / blunder
    };
    shown(r + blunder, s).min(shown(r, s + blunder))
}

proptest! {
    /// The check tape shows a blunder in either tape by a quarter of it or more, and
    /// no other third point within reach shows it better.
    #[test]
    fn the_check_tape_shows_a_blunder_best(target in place(), from in prop::collection::vec(place(), 3..7)) {
        let names = ["A", "B", "C", "D", "E", "F", "G"];
        let seen: Vec<KnownPoint> = names.iter().zip(&from).map(|(n, at)| known(n, *at)).collect();
        let answer = best_ties(target, &seen, &[], &TieLimits::default(), &TapeModel::default());
        let Ok(tie) = answer else { return Ok(()) };
        let most = seen
            .iter()
            .filter(|k| k.name != tie.first.from && k.name != tie.second.from)
            .filter(|k| k.at.distance(target).feet() <= 100.0)
            .map(|k| (shown_by(k.at, target, &tie, &seen), k.name.clone()))
            .fold((0.0, String::new()), |best, next| if next.0 > best.0 { next } else { best });
        match &tie.check {
            Some(check) => {
                let third = seen.iter().find(|k| k.name == check.from).expect("known");
                let shown = shown_by(third.at, target, &tie, &seen);
                prop_assert!(shown > 0.249 && shown > most.0 - 0.001, "{} {:?}", shown, most);
            }
            None => prop_assert!(most.0 < 0.251, "{:?}", most),
        }
    }
}

fn point(north: f64, east: f64) -> Point {
    Point::new(north, east).expect("in range")
}

/// A tape may start at a house corner and run along its wall, not through the
/// house.
#[test]
fn tapes_go_round_a_house() {
    let house = vec![
        point(0.0, 0.0),
        point(30.0, 0.0),
        point(30.0, 40.0),
        point(0.0, 40.0),
    ];
    let seen: Vec<KnownPoint> = ["SW", "NW", "NE", "SE"]
        .iter()
        .zip(&house)
        .map(|(name, at)| known(name, *at))
        .collect();
    let limits = TieLimits::default();
    let tape = TapeModel::default();
    // South of the house both south corners are in sight, the north ones are not.
    let flag = point(-25.0, 18.0);
    let tie =
        best_ties(flag, &seen, std::slice::from_ref(&house), &limits, &tape).expect("two tapes");
    assert_eq!(
        (tie.first.from.as_str(), tie.second.from.as_str()),
        ("SE", "SW")
    );
    assert_eq!(tie.check, None);
    // In line with the west wall, its two corners are in sight but in one line.
    let in_line = point(-25.0, 0.0);
    let tie =
        best_ties(in_line, &seen, std::slice::from_ref(&house), &limits, &tape).expect("two tapes");
    assert_eq!(
        (tie.first.from.as_str(), tie.second.from.as_str()),
        ("SE", "SW")
    );
    // Inside the house nothing is in sight of anything.
    let inside = best_ties(point(15.0, 20.0), &seen, &[house], &limits, &tape);
    let reasons = inside.expect_err("no tapes").reasons;
    assert_eq!(reasons.iter().filter(|r| r.contains("crosses")).count(), 4);
    // A wall of two points blocks as well.
    let wall = vec![point(-10.0, 10.0), point(-10.0, 60.0)];
    let none = best_ties(flag, &seen, &[wall], &limits, &tape);
    assert!(none.is_err(), "{none:?}");
}
