//! Bearings, azimuths and angles between them, and courses between coordinates,
//! against worked examples.

use fence_geom::{Angle, AngleStyle, Azimuth, Displacement, Point};
use fence_tests::assert_printed;

#[track_caller]
fn azimuth(text: &str) -> Azimuth {
    text.parse().unwrap_or_else(|error| panic!("{error}"))
}

#[track_caller]
fn angle(text: &str) -> Angle {
    text.parse().unwrap_or_else(|error| panic!("{error}"))
}

/// Asserts that two angles are equal to within the accuracy of the doubles.
#[track_caller]
fn assert_same(computed: Angle, printed: &str) {
    let off = (computed - angle(printed)).degrees().abs();
    assert!(off < 1e-12, "{computed:.6} is not {printed}");
}

fn to_seconds(azimuth: Azimuth) -> String {
    azimuth.bearing().to_text(AngleStyle::SECONDS)
}

/// J. Mahun, Open Access Surveying Library, "Directions", chapter C, section 3,
/// "Basic angles from directions" (web edition): the angle at S from T to R.
#[test]
fn an_angle_from_two_bearings() {
    let (ts, sr) = (azimuth("S 52°55' W"), azimuth("S 83°20' E"));
    assert_same(ts.reversed().clockwise_to(sr), "43°45'");
}

/// The same section: the deflection at U. The page prints 77°59'33"; its own
/// bearings give 180° - (23°55'07" + 78°05'00") = 77°59'53", so the printed
/// figure is a slip of 20".
#[test]
fn a_deflection_that_is_misprinted() {
    let (zu, uh) = (azimuth("S 23°55'07\" E"), azimuth("N 78°05'00\" E"));
    assert_same(uh.clockwise_to(zu), "77°59'53\"");
}

/// J. Mahun, Open Access Surveying Library, "Traverse Computations", chapter C,
/// section 2, "Bearings from interior angles", figures C-23 to C-27 (web
/// edition): a quadrilateral walked clockwise.
#[test]
fn bearings_round_a_quadrilateral() {
    let mut course = azimuth("N 36°55' E");
    for (interior, printed) in [
        ("117°19'", "S 80°24'00\" E"),
        ("87°42'", "S 11°54'00\" W"),
        ("93°38'", "N 81°44'00\" W"),
        ("61°21'", "N 36°55'00\" E"),
    ] {
        course = course.reversed().turned(-angle(interior));
        assert_eq!(to_seconds(course), printed);
    }
    let sum = angle("61°21'") + angle("117°19'") + angle("87°42'") + angle("93°38'");
    assert_same(sum, "360°00'");
}

/// J. Mahun, Open Access Surveying Library, "Least Squares Lite", example of
/// figure F-5, initial approximations (web edition): the azimuth from B to J.
#[test]
fn an_azimuth_less_two_angles() {
    let bj = azimuth("az 66°33'27\"")
        .turned(-angle("28°28'09\""))
        .turned(-angle("11°56'48\""));
    assert_eq!(bj.to_text(AngleStyle::SECONDS), "26°08'30\"");
}

/// U.S. Navy, Engineering Aid Basics, NAVEDTRA 14069, p. 13-3, "Converting
/// Azimuths to Bearings or Vice Versa".
#[test]
fn navy_conversions() {
    assert_eq!(to_seconds(azimuth("az 135")), "S 45°00'00\" E");
    let azimuth = azimuth("N30°W");
    assert_eq!(azimuth.to_text(AngleStyle::SECONDS), "330°00'00\"");
}

/// W. F. Chen and J. Y. R. Liew (editors), The Civil Engineering Handbook, 2nd
/// edition, CRC Press, p. 53-4, tables 53.1 and 53.2 (after J. M. Anderson and
/// E. M. Mikhail, Introduction to Surveying, 1985, p. 665): the azimuth from
/// north of a bearing b in each quadrant is b, 180 - b, b + 180 and 360 - b; here
/// with b = 37°25'48".
#[test]
fn handbook_table_of_quadrants() {
    let b = angle("37°25'48\"").degrees();
    for (bearing, degrees) in [
        ("N37-25-48E", b),
        ("S37-25-48E", 180.0 - b),
        ("S37-25-48W", b + 180.0),
        ("N37-25-48W", 360.0 - b),
    ] {
        let there = azimuth(bearing);
        assert!((there.degrees() - degrees).abs() < 1e-12, "{bearing}");
        let back = there.bearing().to_shell_text(AngleStyle::SECONDS);
        assert_eq!(back, bearing);
    }
}

/// Ivano-Frankivsk National Technical University of Oil and Gas, library file
/// 6589, notes on the inverse problem, p. 20.
#[test]
fn inverse_from_differences() {
    let way = Displacement::new(778.42, 3701.68).expect("a displacement");
    assert_printed(way.length().feet(), "3782.64", 0.5);
    let azimuth = way.azimuth();
    assert_eq!(azimuth.to_text(AngleStyle::SECONDS), "78°07'28\"");
}

/// J. Mahun, Open Access Surveying Library, self-study solution "COGO Intersect
/// and Transformations", problem 1 (web edition): an azimuth and a distance from
/// coordinates, northing first.
#[test]
fn inverse_between_points() {
    let point = |north, east| Point::new(north, east).expect("a point");
    let line = point(480.951, 1811.082) - point(1000.0, 2000.0);
    let azimuth = line.azimuth();
    assert_eq!(azimuth.to_text(AngleStyle::SECONDS), "200°00'00\"");
    let distance = point(836.445, 1450.051).distance(point(463.846, 2435.613));
    assert_printed(distance.feet(), "1053.642", 0.5);
}

/// The first pair above, the other way: along the printed azimuth for the
/// distance computed, the second point is reached to its printed places.
#[test]
fn forward_along_an_azimuth() {
    let from = Point::new(1000.0, 2000.0).expect("a point");
    let to = Point::new(480.951, 1811.082).expect("a point");
    let reached = from.toward(azimuth("az 200-00-00"), from.distance(to));
    assert_printed(reached.north(), "480.951", 0.5);
    assert_printed(reached.east(), "1811.082", 0.5);
}

/// J. Gummere, A Treatise on Surveying (19th century), p. 128, example 1: from a
/// difference of latitude of 27.92 chains south and a departure of 5.32 west,
/// S 10°47' W 28.42 chains, to the minute.
#[test]
fn inverse_in_chains() {
    let way = Displacement::new(-27.92, -5.32).expect("a displacement");
    assert_printed(way.length().feet(), "28.42", 0.5);
    let off = azimuth("S 10°47' W").clockwise_to(way.azimuth());
    assert!(off.degrees() <= 0.5 / 60.0, "{off}");
    assert_eq!(to_seconds(way.azimuth()), "S 10°47'17\" W");
}

/// "Horizontal curve solution sheet" (class upload, undated; weak): tangents N 53°30' E
/// and N 79°00' E turn by 25°30'. The sheet prints the difference only; that both lie
/// in one quadrant is inferred.
#[test]
fn a_turn_between_two_tangents() {
    let (before, after) = (azimuth("N 53°30' E"), azimuth("N 79°00' E"));
    assert_same(before.clockwise_to(after), "25°30'");
}

/// "Computation of angles in bearings", worked example (answer page, expertsmind.com,
/// undated; weak): the interior angles of five corners between whole circle bearings.
#[test]
fn interior_angles_of_a_compass_traverse() {
    let corners = [
        ("az 65-00", "az 150-00", "85°00'"),
        ("az 125-30", "az 245-00", "119°30'"),
        ("az 200-00", "az 305-30", "105°30'"),
        ("az 265-15", "az 20-00", "114°45'"),
        ("az 330-00", "az 85-15", "115°15'"),
    ];
    let mut sum = Angle::ZERO;
    for (first, second, printed) in corners {
        let interior = azimuth(first).clockwise_to(azimuth(second));
        assert_same(interior, printed);
        sum = sum + interior;
    }
    assert_same(sum, "540°00'");
}

/// "Deflection angle of closed traverse", moderator's reply (My Math Forum, 2009;
/// weak): an interior angle of 107°32' at B deflects by 72°28', from 42°36' to
/// S 64°56' E. The reply then turns by 38°16', to S 26°40' E; the interior angle that
/// it has for C, 143°44', would turn by 36°16'.
#[test]
fn a_chain_of_angles_and_bearings() {
    let interior = angle("42°36'") + angle("64°56'");
    assert_same(interior, "107°32'");
    let deflection = Angle::STRAIGHT - interior;
    assert_same(deflection, "72°28'");
    let bc = azimuth("az 42°36'").turned(deflection);
    assert_eq!(to_seconds(bc), "S 64°56'00\" E");
    assert_eq!(to_seconds(bc.turned(angle("38°16'"))), "S 26°40'00\" E");
}
