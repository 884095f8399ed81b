//! Triangles: angles and areas from three sides, and sides from angles.

use fence_geom::{
    Angle, Azimuth, Length, LineMeetsTape, Point, TriangleError, Turn, angle_of_sides,
    line_meets_tape, lines_meet, tapes_meet, third_side, triangle_area,
};
use fence_tests::assert_printed;

fn feet(x: f64) -> Length {
    Length::from_feet(x).expect("a length")
}

/// The angle between two sides, opposite the third, in degrees.
fn angle(first: f64, second: f64, opposite: f64) -> f64 {
    angle_of_sides(feet(first), feet(second), feet(opposite))
        .expect("a triangle")
        .degrees()
}

#[track_caller]
fn assert_seconds(degrees: f64, (d, m, s): (i32, i32, i32), within: f64) {
    let printed = f64::from(d) + f64::from(m) / 60.0 + f64::from(s) / 3600.0;
    let off = (degrees - printed).abs() * 3600.0;
    assert!(
        off <= within,
        "computed {degrees}, printed {printed}: {off} seconds off"
    );
}

/// Source: "A treatise on practical mathematics/surveying" (public domain, 19th
/// century, scan at Google Books, id `L9sGAAAAQAAJ`), oblique triangles, p. 123,
/// solved example: sides 757, 649, 586. Worked with six-figure logarithms, whose
/// three methods differ by 2 seconds themselves: 3 seconds are allowed.
#[test]
fn practical_mathematics_page_123_three_sides() {
    let (ab, bc, ac) = (757.0, 649.0, 586.0);
    assert_seconds(angle(ab, ac, bc), (56, 4, 4), 3.0);
    assert_seconds(angle(ab, bc, ac), (48, 31, 3), 3.0);
    assert_seconds(angle(bc, ac, ab), (75, 24, 49), 3.0);
}

/// Source: "Practical surveying with trigonometry" (public domain, scan at Google
/// Books, id `DPo2AAAAMAAJ`), three sides given, p. 46, Ex. 1: sides 100, 80, 60;
/// angles printed to the minute.
#[test]
fn practical_surveying_page_46_three_sides() {
    assert_seconds(angle(100.0, 60.0, 80.0), (53, 8, 0), 30.0);
    assert_seconds(angle(100.0, 80.0, 60.0), (36, 52, 0), 30.0);
    assert!((angle(60.0, 80.0, 100.0) - 90.0).abs() < 1e-12);
    // The foot of the height parts the longest side in 36 and 64.
    let meeting = tapes_meet(north(0.0), feet(60.0), north(100.0), feet(80.0));
    let apex = meeting.expect("they meet").on(Turn::Right);
    assert_printed(apex.north(), "36", 1e-9);
    assert_printed(100.0 - apex.north(), "64", 1e-9);
}

/// Source: as page 123 above, two sides and the opposite obtuse angle: 896.2,
/// 328.4 and 113 degrees 45 minutes 20 seconds; the third side printed as 712.
#[test]
fn practical_mathematics_page_123_obtuse() {
    let (ab, bc, ac) = (896.2, 328.4, 712.0);
    // The third side is rounded to the unit, which is worth up to 8 minutes here.
    let c = angle(bc, ac, ab);
    assert!(
        (c - (113.0 + 45.0 / 60.0 + 20.0 / 3600.0)).abs() < 0.05,
        "{c}"
    );
    let back = third_side(
        feet(bc),
        feet(ac),
        Angle::from_degrees(c).expect("an angle"),
    );
    assert_printed(back.feet(), "896.2", 0.001);
}

/// Source: Builder manual, NAVEDTRA 14043 (US Navy training manual), laying out a
/// building, fig. 5-16: any triangle of sides 3:4:5 is right-angled, 30-40-50 in
/// the manual's example.
#[test]
fn navy_builder_manual_3_4_5() {
    for (a, b, c) in [(3.0, 4.0, 5.0), (30.0, 40.0, 50.0)] {
        assert!((angle(a, b, c) - 90.0).abs() < 1e-12);
        assert_printed(
            third_side(feet(a), feet(b), Angle::RIGHT).feet(),
            &c.to_string(),
            1e-9,
        );
    }
}

/// Source: Raised bed gardening, layout, Table 1 (Noble Foundation, agricultural
/// extension): 24-32-40 ft for a garden-size plot.
#[test]
fn noble_foundation_24_32_40() {
    assert!((angle(24.0, 32.0, 40.0) - 90.0).abs() < 1e-12);
}

/// Source: Canadian Wood-Frame House Construction (Canada Mortgage and Housing
/// Corporation), "Placement of the house", text at figure 30: 300-400-500 mm and
/// 12-16-20 in.
#[test]
fn cmhc_wood_frame_house_figure_30() {
    let mm = |x: f64| Length::from_meters(x / 1000.0).expect("a length");
    let inches = |x: f64| Length::from_inches(x).expect("a length");
    let metric = third_side(mm(300.0), mm(400.0), Angle::RIGHT);
    assert_printed(metric.meters() * 1000.0, "500", 1e-9);
    let imperial = third_side(inches(12.0), inches(16.0), Angle::RIGHT);
    assert_printed(imperial.inches(), "20", 1e-9);
}

/// Source: W. Kahan, "Miscalculating Area and Angles of a Needle-like Triangle",
/// Table 1, as reprinted at cs.nyu.edu/exact/core/heron (New York University):
/// sides and the column "Kahan's", ten figures. In hundred-thousandths, so that
/// binary holds the sides.
#[test]
fn kahan_table_1_areas() {
    // The table is ten-figure arithmetic itself: against forty figures its worst
    // row (the second here) is 3.06 units off in the last place.
    let rows = [
        ([10.0, 10.0, 10.0], "43.30127020", 1.0),
        ([1e10, 9_999_999_979.0, 29.0], "9.999999990", 1e10),
        ([1e10, 1e10, 100_005.0], "50002.50003", 1e10),
        ([9_999_999_996.0, 9_999_999_994.0, 3.0], "1.118033988", 1e10),
        ([9_999_999_996.0, 3.0, 9_999_999_994.0], "1.118033988", 1e10),
        ([1e10, 5_000_000_001.0, 1.5e10], "612.3724358", 1e12),
    ];
    for ([a, b, c], printed, scale) in rows {
        let area = triangle_area(feet(a), feet(b), feet(c)).expect("a triangle");
        assert_printed(area.square_feet() / scale, printed, 3.1);
    }
    let refused = triangle_area(feet(9_999_999_999.0), feet(9_999_999_999.0), feet(2e10));
    assert!(matches!(refused, Err(TriangleError::SidesDoNotMeet { .. })));
}

/// The direction that deflects so much from north.
fn direction(d: i32, m: i32, s: i32) -> Azimuth {
    let degrees = f64::from(d) + f64::from(m) / 60.0 + f64::from(s) / 3600.0;
    Azimuth::from_degrees(degrees).expect("a direction")
}

fn north(x: f64) -> Point {
    Point::new(x, 0.0).expect("a point")
}

/// Source: as page 123 above, two sides and the angle opposite the shorter: 627 and
/// 430 with 42°53'38" have two answers, with 512 and 406.7 for the third side. Six-figure
/// logarithms: 30 seconds are allowed.
#[test]
fn practical_mathematics_page_123_two_answers() {
    let (ac, ab) = (627.0, 430.0);
    let meeting = line_meets_tape(north(0.0), direction(42, 53, 38), north(ac), feet(ab));
    let LineMeetsTape::Cross { first, second } = meeting.expect("it reaches") else {
        panic!("two answers");
    };
    for (crossing, printed, a, b) in [
        (second, "512", (54, 8, 22), (82, 57, 56)),
        (first, "406.7", (40, 4, 18), (97, 2, 4)),
    ] {
        let bc = crossing.along.feet();
        assert_printed(bc, printed, 0.5);
        assert_seconds(angle(ac, ab, bc), a, 30.0);
        assert_seconds(angle(ab, bc, ac), b, 30.0);
    }
}

/// Source: as page 123 above, two sides and the angle opposite the longer: 4627 and
/// 5169 with 70°25'12" have one answer, 4328; the other crossing lies behind. Ten seconds
/// are allowed.
#[test]
fn practical_mathematics_page_123_one_answer() {
    let (ac, bc) = (4627.0, 5169.0);
    let meeting = line_meets_tape(north(0.0), direction(70, 25, 12), north(ac), feet(bc));
    let LineMeetsTape::Cross { first, second } = meeting.expect("it reaches") else {
        panic!("two crossings");
    };
    assert!(first.along.feet() < 0.0);
    let ab = second.along.feet();
    assert_printed(ab, "4328", 0.6);
    assert_seconds(angle(ab, bc, ac), (57, 29, 58), 10.0);
    assert_seconds(angle(bc, ac, ab), (52, 4, 52), 10.0);
}

/// Source: as page 123 above, one side and two angles: 720.8 between 70°05'22" and what
/// 59°35'36" leave, which is 50°19'02"; the stored text has 50°19'6".
#[test]
fn practical_mathematics_page_123_one_side() {
    let ac = 720.8;
    let (a, b) = (direction(70, 5, 22), direction(59, 35, 36));
    let c = 180.0 - a.degrees() - b.degrees();
    assert_seconds(c, (50, 19, 2), 0.01);
    let back = Azimuth::from_degrees(180.0 - c).expect("a direction");
    let meeting = lines_meet(north(0.0), a, north(ac), back).expect("they meet");
    assert_printed(meeting.along_first.feet(), "643.2", 0.5);
    assert_printed(meeting.along_second.feet(), "785.8", 0.5);
}
