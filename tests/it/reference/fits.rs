//! Fits of one set of points to another.

use fence_geom::{Corner, FitRules, Pin, Point, Sigma, fit};
use fence_tests::assert_printed;

fn point(north: f64, east: f64) -> Point {
    Point::new(north, east).expect("a point")
}

/// Source: S. Umeyama, "Least-Squares Estimation of Transformation Parameters
/// Between Two Point Patterns", IEEE Transactions on Pattern Analysis and Machine
/// Intelligence 13 (1991), 376-380, the example of three points and their mirror
/// image; points as in open-source test code after the paper, answers (cosine
/// 0.832, sine 0.555, scale 0.721) from memory.
#[test]
fn umeyama_three_points() {
    // (x, y) there; x is taken for north here, y for east.
    let deed = [(0.0, 0.0), (1.0, 0.0), (0.0, 2.0)];
    let pins = [(0.0, 0.0), (-1.0, 0.0), (0.0, 2.0)];
    let names = ["A", "B", "C"];
    let corners: Vec<Corner> = names
        .iter()
        .zip(deed)
        .map(|(name, (x, y))| Corner {
            name: (*name).to_owned(),
            at: point(x, y),
        })
        .collect();
    let pins: Vec<Pin> = names
        .iter()
        .zip(pins)
        .map(|(name, (x, y))| Pin::new(*name, point(x, y), Sigma::UNKNOWN))
        .collect();
    let answer = fit(&corners, &pins, &FitRules::default()).expect("a fit");
    let (sin, cos) = answer.rotation.radians().sin_cos();
    assert_printed(cos, "0.832", 0.5);
    assert_printed(sin.abs(), "0.555", 0.5);
    assert_printed(answer.free_scale.expect("two pins"), "0.721", 0.5);
}

/// Source: PROJ test suite (`OSGeo` PROJ, commit 52da98bd, `test_cs2cs_various.yaml`)
/// with the parameters of EPSG 3938: a similarity of 5.5429848 seconds and scale
/// 1.0000138184 takes (477134.28, 95134.21) to (476763.303, 95620.222) meters. The
/// fit must find the rotation and the free scale again from three points so
/// taken, one of them the published one.
#[test]
fn proj_similarity_found_again() {
    let (scale, turn) = (1.000_013_818_4_f64, (5.542_984_8_f64 / 3600.0).to_radians());
    let taken = |east: f64, north: f64| {
        let (sin, cos) = turn.sin_cos();
        (
            -380.127 + scale * (cos * east + sin * north),
            497.52 + scale * (cos * north - sin * east),
        )
    };
    let (east, north) = taken(477_134.28, 95_134.21);
    assert_printed(east, "476763.303", 0.5);
    assert_printed(north, "95620.222", 0.5);

    let places = [
        ("A", 477_134.28, 95_134.21),
        ("B", 478_134.28, 95_134.21),
        ("C", 477_134.28, 96_634.21),
    ];
    let corners: Vec<Corner> = places
        .iter()
        .map(|(name, east, north)| Corner {
            name: (*name).to_owned(),
            at: point(*north, *east),
        })
        .collect();
    let pins: Vec<Pin> = places
        .iter()
        .map(|(name, east, north)| {
            let (east, north) = taken(*east, *north);
            Pin::new(*name, point(north, east), Sigma::ZERO)
        })
        .collect();
    let answer = fit(
        &corners,
        &pins,
        &FitRules {
            deed_sigma: Sigma::ZERO,
            ..FitRules::default()
        },
    )
    .expect("a fit");
    assert_printed(answer.rotation.degrees() * 3600.0, "5.5429848", 20.0);
    assert_printed(answer.free_scale.expect("two pins"), "1.0000138184", 10.0);
}
