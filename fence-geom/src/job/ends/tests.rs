use super::*;
use crate::product::{Post, Posts, Shape, SlopeLimits};
use crate::stock::Cutting;

fn product(build: Build) -> Product {
    let inches = |inches| Length::from_inches(inches).expect("a length");
    let post = |width| Post {
        width: inches(width),
        shape: Shape::Square,
        hole: inches(12.0),
        depth: inches(36.0),
    };
    Product {
        name: "invented".to_owned(),
        build,
        full: inches(92.0),
        min_cut: inches(12.0),
        height: inches(72.0),
        outstand: Length::ZERO,
        posts: Posts {
            end: post(5.0),
            corner: post(6.0),
            other_corner: Some(post(7.0)),
            ..Posts::all_of(post(4.0))
        },
        cutting: Cutting::default(),
        gate_openings: Vec::new(),
        concrete: None,
        parts: Vec::new(),
        slope: SlopeLimits::default(),
        most_turn: None,
        pull_every: None,
    }
}

fn corner(degrees: f64) -> RunEnd {
    RunEnd::Corner {
        interior: Angle::from_degrees(degrees).expect("an angle"),
    }
}

/// From 10 degrees of turn a corner post: Iowa Department of Transportation, Standard
/// Specifications, section 2519.03 A, April 2008, which has pull posts below that. A
/// square corner within 2 degrees: common practice, no source.
#[test]
fn a_post_between_two_runs_is_told_by_the_turn() {
    let kind = |build, degrees| end_post(corner(degrees), &product(build)).0;
    for (degrees, expected) in [
        (90.0, PostKind::Corner),
        (91.9, PostKind::Corner),
        (268.1, PostKind::Corner),
        (92.1, PostKind::OtherCorner),
        (135.0, PostKind::OtherCorner),
        (190.1, PostKind::OtherCorner),
        (30.0, PostKind::OtherCorner),
        (170.1, PostKind::Line),
        (180.0, PostKind::Line),
        (189.9, PostKind::Line),
    ] {
        assert_eq!(kind(Build::Panels, degrees), expected, "{degrees}");
    }
    assert_eq!(kind(Build::Stick, 180.0), PostKind::Line);
    assert_eq!(kind(Build::Fabric, 175.0), PostKind::Pull);
    assert_eq!(kind(Build::Fabric, 169.0), PostKind::OtherCorner);
}

/// Fabric is fastened anew at a pull post, so it turns there as far as it likes.
#[test]
fn panels_run_straight_on_only_as_far_as_they_turn() {
    let kind = |build| {
        let product = Product {
            most_turn: Some(Angle::of_whole_degrees(4)),
            ..product(build)
        };
        [177.0, 175.0].map(|degrees| end_post(corner(degrees), &product).0)
    };
    assert_eq!(kind(Build::Panels), [PostKind::Line, PostKind::OtherCorner]);
    assert_eq!(kind(Build::Fabric), [PostKind::Pull; 2]);
}

#[test]
fn what_a_place_has_no_post_for_takes_the_width_of_another() {
    let width = |end, build| end_post(end, &product(build)).1.inches();
    assert!((width(corner(135.0), Build::Panels) - 7.0).abs() < 1e-12);
    assert!((width(corner(180.0), Build::Fabric) - 5.0).abs() < 1e-12);
}

/// The run that arrives digs; a post at a free end is its own.
#[test]
fn a_shared_post_is_dug_once() {
    for build in [Build::Panels, Build::Fabric] {
        for degrees in [90.0, 135.0, 180.0, 200.0] {
            let end = |arrives| {
                let end = End::new(corner(degrees), arrives, &product(build), [None; 2]);
                end.expect("an end")
            };
            let (arriving, leaving) = (end(true), end(false));
            assert!(arriving.request.hole && !leaving.request.hole, "{degrees}");
            assert_eq!(arriving.kind, leaving.kind);
            assert_eq!(arriving.request.post, leaving.request.post);
            assert_eq!(arriving.request.face_min, leaving.request.face_min);
        }
        for arrives in [false, true] {
            let end = End::new(RunEnd::Free, arrives, &product(build), [None; 2]);
            assert!(end.expect("an end").request.hole);
        }
    }
}
