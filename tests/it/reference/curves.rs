//! Published circular curves. Each check names its source.

use fence_geom::{
    Angle, Azimuth, Curve, CurveElements, Degree, DegreeOf, FootKind, Leaves, Length, Point,
    ResolvedCurve, Rounding, StatedCall, StatedDirection, Tract, Turn, complete, read_angle,
    read_direction, resolve_curve, traverse,
};
use fence_tests::assert_printed;

fn feet(feet: f64) -> Length {
    Length::from_feet(feet).expect("a length")
}

fn angle(words: &str) -> Angle {
    read_angle(words).expect(words).value
}

fn degree(words: &str, of: DegreeOf) -> Degree {
    Degree {
        angle: angle(words),
        of,
        foot: FootKind::International,
    }
}

/// A right-hand curve that leaves due north.
fn laid(elements: CurveElements) -> ResolvedCurve {
    let elements = CurveElements {
        turn: elements.turn.or(Some(Turn::Right)),
        ..elements
    };
    resolve_curve(&elements, Some(Azimuth::NORTH), Rounding::default()).expect("a curve")
}

/// Source: "Horizontal curve solution sheet" (class upload, undated): a curve of
/// 8 degrees by the arc through 25°30'. Weak source, beside the formulas of U.S.
/// Army, "Construction Surveying", FM 5-233 (1985), chapter 3.
#[test]
fn eight_degrees_by_the_arc() {
    let curve = laid(CurveElements {
        degree: Some(degree("8-00-00", DegreeOf::Arc)),
        delta: Some(angle("25-30-00")),
        ..CurveElements::default()
    })
    .curve;
    assert_printed(curve.radius().feet(), "716.20", 0.5);
    assert_printed(curve.tangent().expect("a tangent").feet(), "162.06", 0.5);
    assert_printed(curve.arc().feet(), "318.75", 0.5);
    let back = curve.degree(DegreeOf::Arc, FootKind::International);
    assert_printed(back.expect("a degree").degrees(), "8.000000", 0.5);
}

/// Source: a railroad curve handbook of the 19th century, "The Field Engineer",
/// p. 56, arts. 13 to 18: lengths by the chord, I 20°40' at 3° and I 30°22' at
/// 2°45'. The book counts chords; along the arc it is a tenth of a foot more.
#[test]
fn lengths_by_the_chord() {
    for (delta, sharpness, printed) in [
        ("20-40-00", "3-00-00", "689"),
        ("30-22-00", "2-45-00", "1104"),
    ] {
        let curve = laid(CurveElements {
            degree: Some(degree(sharpness, DegreeOf::Chord)),
            delta: Some(angle(delta)),
            ..CurveElements::default()
        })
        .curve;
        assert_printed(curve.arc().feet(), printed, 0.5);
        let back = curve.degree(DegreeOf::Chord, FootKind::International);
        let off = back.expect("a degree").degrees() - angle(sharpness).degrees();
        assert!(off.abs() < 1e-9, "{off}");
    }
}

/// The degree is of 100 ft in the foot of the paper: in survey feet the radius of
/// one degree, 5729.58 (FM 5-233, chapter 3), is two millionths longer.
#[test]
fn the_degree_goes_by_the_foot_of_the_paper() {
    let radius = |foot| {
        let elements = CurveElements {
            degree: Some(Degree {
                foot,
                ..degree("1-00-00", DegreeOf::Arc)
            }),
            delta: Some(angle("10-00-00")),
            ..CurveElements::default()
        };
        laid(elements).curve.radius().feet()
    };
    assert_printed(radius(FootKind::International), "5729.58", 0.5);
    let more = radius(FootKind::UsSurvey) / radius(FootKind::International) - 1.0;
    assert!((more - 2.000_004e-6).abs() < 1e-11, "{more}");
}

/// Source: J. Mahun, "Self study: Horizontal Curves Set 2", Problem (1), Open
/// Access Surveying Library: arcs from the beginning of a curve of 7°09'43.1" by
/// the arc, their chords and deflections. The arc to 57+00 is printed 615.20 for
/// 615.02, and the chord before it is a hundredth off.
#[test]
fn a_table_of_deflections() {
    let table = [
        (15.02, "0-32-17", "15.02"),
        (115.02, "4-07-08", "114.92"),
        (215.02, "7-42-00", "214.38"),
        (315.02, "11-16-51", "312.99"),
        (415.02, "14-51-43", "410.38"),
        (515.02, "18-26-34", "506.18"),
        (615.02, "22-01-26", "599.99"),
    ];
    for (arc, deflection, chord) in table {
        let curve = laid(CurveElements {
            degree: Some(degree("7-09-43.1", DegreeOf::Arc)),
            arc: Some(feet(arc)),
            ..CurveElements::default()
        })
        .curve;
        assert_printed(curve.chord().feet(), chord, 0.8);
        let seconds = (curve.chord_direction().degrees() - angle(deflection).degrees()) * 3600.0;
        assert!(seconds.abs() < 1.0, "{deflection}: {seconds}");
    }
}

/// Source: "Arterial road joined to a frontage road by a reverse curve" (answer
/// page, undated; weak): tangents 60 ft apart, 25° each way.
#[test]
fn a_reverse_curve_between_parallels() {
    let branch =
        |turn, before| Curve::new(before, feet(320.20), angle("25-00-00"), turn).expect("a curve");
    let first = branch(Turn::Right, Azimuth::NORTH);
    let second = branch(Turn::Left, first.end_tangent());
    let way = first.way() + second.way();
    assert_printed(way.east(), "60.00", 0.5);
    assert_printed(first.arc().feet(), "139.71", 0.65);
    assert!(second.end_tangent().degrees() < 1e-9);
}

/// Source: Math Central, "odd-shaped lot with a curve", QQ.09.08, University of
/// Regina (2008): a bite of radius 50 ft over a chord of 38.94 ft out of 10561.63
/// square feet.
#[test]
fn a_segment_taken_off() {
    let curve = laid(CurveElements {
        radius: Some(feet(50.0)),
        chord: Some(feet(38.94)),
        ..CurveElements::default()
    })
    .curve;
    let segment = curve.segment().square_feet();
    // A hundredth of the chord moves it by 0.08.
    assert_printed(segment, "103.29", 12.0);
    assert_printed(10_561.63 - segment, "10458.34", 12.0);
}

/// Source: "Problem 36, compound horizontal curve" (answer page, undated; weak):
/// radius 1200 ft through 35°.
#[test]
fn the_tangent_of_a_branch() {
    let delta = Some(angle("35-00-00"));
    let branch = laid(CurveElements {
        radius: Some(feet(1200.0)),
        delta,
        ..CurveElements::default()
    });
    let tangent = branch.curve.tangent().expect("a tangent");
    assert_printed(tangent.feet(), "378.36", 0.5);
    // And the other way round.
    let back = laid(CurveElements {
        tangent: Some(feet(378.358_5)),
        delta,
        ..CurveElements::default()
    });
    assert_printed(back.curve.radius().feet(), "1200.00", 0.5);
}

/// Source: All Experts, "square footage of an arced pie-shaped lot" (answer page,
/// 2013; weak): arcs of 72.08 and 335.9 ft about one center, 50 and 233 ft from it.
#[test]
fn two_arcs_about_one_center() {
    for (radius, arc) in [(50.0, 72.08), (233.0, 335.9)] {
        let curve = laid(CurveElements {
            radius: Some(feet(radius)),
            arc: Some(feet(arc)),
            ..CurveElements::default()
        })
        .curve;
        assert_printed(curve.delta().radians(), "1.44", 0.5);
    }
}

/// Source: J. Mahun, "Self-study solution: COGO Intersections and Curves", Problem
/// (2), Lot 17, parts (a) and (b), Open Access Surveying Library. Four tangent arcs
/// one after the other, then two sides of known direction whose lengths close the
/// lot. The page prints side BA as 273.84 ft; its own H and area follow from 273.48.
#[test]
fn a_lot_with_four_tangent_arcs() {
    let line = |azimuth: &str, length: Option<f64>| {
        let direction = read_direction(&format!("az {azimuth}"))
            .expect(azimuth)
            .value;
        StatedCall::line(Some(StatedDirection::Given(direction)), length.map(feet))
    };
    let arc = |radius, delta: &str, turn| {
        StatedCall::curve(CurveElements {
            turn: Some(turn),
            radius: Some(feet(radius)),
            delta: Some(angle(delta)),
            leaves: Leaves::Tangent,
            ..CurveElements::default()
        })
    };
    let names = ["C", "D", "E", "F", "G", "H", "A", "B"];
    let calls = [
        line("102-32-50", Some(137.0)),
        arc(200.0, "38-30-00", Turn::Left),
        arc(300.0, "30-00-00", Turn::Right),
        arc(30.0, "75-00-00", Turn::Right),
        arc(400.0, "15-00-00", Turn::Right),
        line("184-02-50", None),
        line("275-50-25", None),
        line("356-58-00", Some(273.48)),
    ];
    let calls = calls.into_iter().zip(names).map(|(call, name)| StatedCall {
        corner: Some(name.to_owned()),
        ..call
    });
    let mut tract = Tract {
        calls: calls.collect(),
        ..Tract::default()
    };
    tract.beginning.name = "B".to_owned();
    let answers = complete(&tract).expect("two lengths");
    assert_eq!(answers.len(), 1);
    let computed = traverse(&answers[0].deed);
    // The figure hangs on the printed corner D.
    let corner = |name: &str| {
        let found = computed.corners().iter().find(|it| it.name == name);
        found.expect(name).at
    };
    let shift = Point::new(985.63, 764.70).expect("D") - corner("D");
    let f = corner("F") + shift;
    assert_printed(f.north(), "990.91", 1.0);
    assert_printed(f.east(), "944.50", 1.0);
    let h = corner("H") + shift;
    assert_printed(h.north(), "683.74", 2.0);
    assert_printed(h.east(), "936.43", 2.0);
    // Printed to 10 square feet.
    assert_printed(computed.area().square_feet(), "124740", 5.0);
    let ring = computed.ring().expect("a lot");
    assert_printed(ring.area().square_feet(), "124740", 5.0);
    let center_to_end = |i: usize| {
        let curve = answers[0].curves[i].curve.curve;
        let out = curve.end_tangent().turned(match curve.turn() {
            Turn::Right => -Angle::RIGHT,
            Turn::Left => Angle::RIGHT,
        });
        out.degrees()
    };
    for (i, printed) in ["154-02-50", "4-02-50", "79-02-50", "94-02-50"]
        .iter()
        .enumerate()
    {
        assert!((center_to_end(i) - angle(printed).degrees()).abs() < 1e-9);
    }
}

/// Source: "Annexation and vacation" records of the public: a corner return of
/// 25 ft radius, long chord 35.39 ft, which a boundary reaches along its tangent
/// and leaves back round the curve (City of Grand Junction, Colorado, record 7385).
#[test]
fn a_cusp_leaves_back_along_the_tangent() {
    let north = read_direction("N 45-01 E").expect("a bearing").value;
    let elements = CurveElements {
        turn: Some(Turn::Left),
        radius: Some(feet(25.0)),
        chord: Some(feet(35.39)),
        chord_direction: Some(north),
        leaves: Leaves::Cusp,
        ..CurveElements::default()
    };
    let west = read_direction("N 89-56 W")
        .expect("a bearing")
        .value
        .azimuth();
    let rounding = Rounding {
        distance: feet(0.005),
        direction: angle("0-00-30"),
    };
    let curve = resolve_curve(&elements, Some(west), rounding).expect("a curve");
    assert_eq!(curve.contradictions().count(), 0, "{:?}", curve.surplus);
    let along = CurveElements {
        leaves: Leaves::Tangent,
        ..elements
    };
    let curve = resolve_curve(&along, Some(west), rounding).expect("a curve");
    assert_eq!(curve.contradictions().count(), 1, "{:?}", curve.surplus);
}

/// Source: "Curve by Rankine" (gyaneee.blogspot.com, 2011; weak), meters: chords of
/// 7.32, 20 and 4.09 along 30 m of radius. The radius and the 60° are those that the
/// printed tangent and length imply; the length is cut off, not rounded, and the
/// deflections go by 1718.9 minutes, which leaves 4".
#[test]
fn deflections_of_short_chords() {
    let whole =
        Curve::new(Azimuth::NORTH, feet(30.0), angle("60-00-00"), Turn::Right).expect("a curve");
    let tangent = whole.tangent().expect("a tangent").feet();
    assert_printed(tangent, "17.32", 0.5);
    assert_printed(30.0 - tangent, "12.68", 0.5);
    assert_printed(whole.arc().feet(), "31.41", 0.6);
    for (arc, deflection) in [(7.32, "6-59-24"), (20.0, "19-05-56"), (4.09, "3-54-20")] {
        let curve = laid(CurveElements {
            radius: Some(feet(30.0)),
            arc: Some(feet(arc)),
            ..CurveElements::default()
        })
        .curve;
        let seconds = (curve.chord_direction().degrees() - angle(deflection).degrees()) * 3600.0;
        assert!(seconds.abs() < 4.0, "{deflection}: {seconds}");
    }
}

/// Source: "Horizontal curve solution sheet" (class upload, undated; weak): the
/// second curve, 8 degrees by the arc through 103°30', from 15+03.19 to 27+96.94. Known
/// to be wrong: between the points of intersection at 12+50 and 19+00 the two tangents
/// do not fit, so the 96.5 ft that the sheet leaves between the curves are -420.55.
#[test]
fn a_curve_that_overlaps_the_one_before() {
    let eight = |delta| {
        laid(CurveElements {
            degree: Some(degree("8-00-00", DegreeOf::Arc)),
            delta: Some(angle(delta)),
            ..CurveElements::default()
        })
        .curve
    };
    let (first, second) = (eight("25-30-00"), eight("103-30-00"));
    assert_printed(1503.19 + second.arc().feet(), "2796.94", 0.5);
    let tangents = [first, second].map(|it| it.tangent().expect("a tangent").feet());
    assert_printed(1900.0 - 1250.0 - tangents[0] - tangents[1], "-420.55", 0.5);
}
