use super::*;
use crate::angle::Angle;
use crate::corner::corner_post_setback;
use crate::length::Length;
use crate::offset::{OffsetRing, inset_uniform};
use crate::point::Point;
use crate::ring::{Ring, Turn};
use crate::route::{RouteError, route};

fn point(north: f64, east: f64) -> Point {
    Point::new(north, east).expect("a point")
}

fn lot() -> Ring {
    Ring::of_lines([
        ("A", point(0.0, 0.0)),
        ("B", point(100.0, 0.0)),
        ("C", point(100.0, 100.0)),
        ("D", point(0.0, 100.0)),
    ])
    .expect("a lot")
}

fn line() -> OffsetRing {
    inset_uniform(&lot(), Shift::from_feet(1.0).expect("feet")).expect("a line")
}

fn free(name: &str, north: f64, east: f64) -> Stop {
    Stop::Free {
        name: name.to_owned(),
        at: point(north, east),
    }
}

fn fence(stops: &[Stop], yard: Turn) -> Route {
    route(&lot(), &line(), stops, false, Some(yard), &[]).expect("a route")
}

/// North through T, at N 50 E 50; its yard is to the right, east of it.
fn through() -> Vec<Route> {
    let stops = [
        free("S", 20.0, 50.0),
        free("T", 50.0, 50.0),
        free("U", 90.0, 50.0),
    ];
    vec![fence(&stops, Turn::Right)]
}

fn tee(name: &str) -> Stop {
    Stop::Tee {
        name: name.to_owned(),
        at: point(50.0, 50.0),
    }
}

/// A branch 30 ft long from T, so many degrees clockwise from north.
fn branch(degrees: f64, yard: Turn) -> Route {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let far = free("V", 50.0 + 30.0 * cos, 50.0 + 30.0 * sin);
    fence(&[tee("T"), far], yard)
}

/// The center of the post as each run has it.
fn centers(earlier: &[Route], branch: &Route, width: Length) -> [Point; 3] {
    let half = width.feet() / 2.0;
    let center = |run: &Run, end: RunEnd, from_start: bool| {
        let RunEnd::Tee { seat, .. } = end else {
            panic!("no tee: {end:?}");
        };
        let along = corner_post_setback(width, seat).expect("a seat").feet();
        let station = if from_start {
            along
        } else {
            run.length.feet() - along
        };
        run.inside_string(Shift::saturating(station), half)
    };
    let [arriving, leaving] = &earlier[0].runs[..] else {
        panic!("two runs");
    };
    let run = &branch.runs[0];
    [
        center(arriving, arriving.end, false),
        center(leaving, leaving.start, true),
        center(run, run.start, true),
    ]
}

/// One place, as far inside each string as half the post: found from the strings alone.
#[test]
fn all_runs_name_one_place_inside_both_strings() {
    let width = Length::from_inches(5.0).expect("a width");
    for degrees in [
        20.0, 45.0, 90.0, 135.0, 160.0, 200.0, 225.0, 270.0, 315.0, 340.0,
    ] {
        for yard in [Turn::Left, Turn::Right] {
            let (mut earlier, mut branch) = (through(), branch(degrees, yard));
            join_tees(&mut earlier, &mut branch).expect("a tee");
            let all = centers(&earlier, &branch, width);
            let run = &branch.runs[0];
            let (sin, cos) = f64::to_radians(degrees).sin_cos();
            let hand = if yard == Turn::Right { 1.0 } else { -1.0 };
            for at in all {
                assert!(
                    at.distance(all[0]).feet() < 1e-9,
                    "{degrees} {yard:?}: {all:?}"
                );
                let (north, east) = (at.north() - 50.0, at.east() - 50.0);
                // East of the fence; on the yard's hand of the branch.
                assert!(
                    (east - width.feet() / 2.0).abs() < 1e-9,
                    "{degrees}: {east}"
                );
                let right = east * cos - north * sin;
                assert!(
                    (hand * right - width.feet() / 2.0).abs() < 1e-9,
                    "{degrees}"
                );
            }
            assert!(matches!(run.end, RunEnd::Free));
        }
    }
}

/// The plain case by hand: a 6 in post, a branch square into the yard whose own yard is
/// north. The post stands 3 in north of the flag and 3 in east of it. Square away from
/// the yard it stands 3 in north, and 3 in behind the flag.
#[test]
fn square_branches_by_hand() {
    let width = Length::from_inches(6.0).expect("a width");
    for (degrees, yard, along_branch) in [(90.0, Turn::Left, 3.0), (270.0, Turn::Right, -3.0)] {
        let (mut earlier, mut branch) = (through(), branch(degrees, yard));
        join_tees(&mut earlier, &mut branch).expect("a tee");
        let setback = |end: RunEnd| match end {
            RunEnd::Tee { seat, branch } => {
                let setback = corner_post_setback(width, seat).expect("a seat");
                (setback.inches(), branch)
            }
            other => panic!("{other:?}"),
        };
        for (end, inches, is_branch) in [
            (branch.runs[0].start, along_branch, true),
            (earlier[0].runs[0].end, -3.0, false),
            (earlier[0].runs[1].start, 3.0, false),
        ] {
            let (found, branch) = setback(end);
            assert!((found - inches).abs() < 1e-9, "{degrees}: {found} {inches}");
            assert_eq!(branch, is_branch);
        }
    }
}

/// It may end at a tee as well; the post is the same.
#[test]
fn a_branch_may_end_at_its_tee() {
    let (mut earlier, mut out) = (through(), branch(60.0, Turn::Left));
    join_tees(&mut earlier, &mut out).expect("a tee");
    let mut again = through();
    let stops = [out.flags[1].stop.clone(), tee("T")];
    let mut back = fence(&stops, Turn::Right);
    join_tees(&mut again, &mut back).expect("a tee");
    assert_eq!(earlier, again);
    assert_eq!(out.runs[0].start, back.runs[0].end);
}

/// A closed fence arrives at its first flag last.
#[test]
fn a_branch_may_lead_from_the_first_flag_of_a_closed_fence() {
    let around = [
        ("T", 50.0, 50.0),
        ("U", 90.0, 50.0),
        ("W", 90.0, 90.0),
        ("S", 20.0, 50.0),
    ];
    let stops = around.map(|(name, north, east)| free(name, north, east));
    let closed = route(&lot(), &line(), &stops, true, Some(Turn::Right), &[]);
    let mut earlier = vec![closed.expect("a route")];
    let mut west = branch(270.0, Turn::Right);
    join_tees(&mut earlier, &mut west).expect("a tee");
    let [first, .., last] = &earlier[0].runs[..] else {
        panic!("four runs");
    };
    for end in [first.start, last.end] {
        assert!(matches!(end, RunEnd::Tee { branch: false, .. }), "{end:?}");
    }
}

#[test]
fn where_no_fence_branches_off() {
    let refused = |stops: &[Stop], name: &str| {
        let mut earlier = vec![fence(stops, Turn::Right)];
        let mut branch = fence(&[tee(name), free("V", 50.0, 80.0)], Turn::Left);
        join_tees(&mut earlier, &mut branch).expect_err("no tee")
    };
    let [from, at, to] =
        [("S", 20.0), ("T", 50.0), ("U", 90.0)].map(|(name, north)| free(name, north, 50.0));
    let known = |name: &str| name.to_owned();
    assert_eq!(
        refused(&[from.clone(), at.clone(), to.clone()], "X"),
        TeeError::UnknownFlag {
            name: known("X"),
            known: known("S, T, U")
        }
    );
    assert_eq!(
        refused(&[at.clone(), to.clone()], "T"),
        TeeError::AtEnd { name: known("T") }
    );
    let east = free("U", 90.0, 60.0);
    assert!(matches!(
        refused(&[from.clone(), at.clone(), east], "T"),
        TeeError::AtBend { degrees, .. } if (degrees - 14.036_243).abs() < 1e-6
    ));
    let again = free("T", 90.0, 50.0);
    assert_eq!(
        refused(&[from.clone(), at.clone(), again], "T"),
        TeeError::TwoFlags { name: known("T") }
    );
    let mut earlier = vec![fence(&[from, at, to], Turn::Right)];
    let mut lying = fence(&[tee("T"), free("V", 80.0, 50.2)], Turn::Left);
    assert_eq!(
        join_tees(&mut earlier, &mut lying),
        Err(TeeError::Along { name: known("T") })
    );
    join_tees(&mut earlier, &mut branch(90.0, Turn::Left)).expect("a tee");
    assert_eq!(
        join_tees(&mut earlier, &mut branch(270.0, Turn::Left)),
        Err(TeeError::Second { name: known("T") })
    );
}

#[test]
fn a_tee_is_at_an_end_of_its_fence() {
    let stops = [free("V", 50.0, 80.0), tee("T"), free("W", 60.0, 20.0)];
    assert_eq!(
        route(&lot(), &line(), &stops, false, Some(Turn::Left), &[]),
        Err(RouteError::TeeInside {
            name: "T".to_owned()
        })
    );
}

#[test]
fn angles_between_ways() {
    let way = |north, east| point(north, east) - point(0.0, 0.0);
    let degrees = |a, b| Angle::degrees(between(a, b));
    assert!((degrees(way(1.0, 0.0), way(0.0, -2.0)) - 90.0).abs() < 1e-12);
    assert!((degrees(way(1.0, 0.0), way(-1.0, 1.0)) - 135.0).abs() < 1e-12);
}
