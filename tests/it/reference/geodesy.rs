//! Longitude and latitude to state plane and UTM grids.
//!
//! The zones' constants stand beside each row as data of the test. Those of South
//! Dakota North are from memory (J. E. Stem, *State Plane Coordinate System of
//! 1983*, NOAA Manual NOS NGS 5, appendix A) and held to the two printed points of
//! that zone here.

use fence_geom::{
    Angle, Datum, LambertConic, LonLat, METERS_PER_FOOT, METERS_PER_SURVEY_FOOT, Point, Projection,
    TransverseMercator,
};
use fence_tests::assert_printed;

/// Degrees, minutes and seconds, the sign before all three.
fn dms(text: &str) -> f64 {
    let (sign, rest) = match text.strip_prefix('-') {
        Some(rest) => (-1.0, rest),
        None => (1.0, text),
    };
    let mut unit = 1.0;
    let mut degrees = 0.0;
    for part in rest.split(' ') {
        degrees += part.parse::<f64>().expect("a number") * unit;
        unit /= 60.0;
    }
    sign * degrees
}

fn lon_lat(longitude: &str, latitude: &str) -> LonLat {
    LonLat::new(dms(longitude), dms(latitude)).expect("a place")
}

/// A place in the plane from its easting and northing.
fn meters(east: f64, north: f64) -> Point {
    Point::new(north / METERS_PER_FOOT, east / METERS_PER_FOOT).expect("a point")
}

fn lambert(datum: Datum, origin: LonLat, parallels: [&str; 2], at_origin: Point) -> Projection {
    let parallels = parallels.map(|text| Angle::from_degrees(dms(text)).expect("an angle"));
    let grid = LambertConic {
        origin,
        parallels,
        at_origin,
    };
    Projection::lambert(datum, &grid).expect("a grid")
}

fn transverse_mercator(origin: LonLat, scale: f64, at_origin: Point) -> Projection {
    let grid = TransverseMercator {
        origin,
        scale,
        at_origin,
    };
    Projection::transverse_mercator(Datum::Nad83, &grid).expect("a grid")
}

#[track_caller]
fn assert_meters(at: Point, east: &str, north: &str, units: f64) {
    assert_printed(at.east() * METERS_PER_FOOT, east, units);
    assert_printed(at.north() * METERS_PER_FOOT, north, units);
}

/// Checks a printed point in U.S. survey feet there, and the way back to within a
/// unit of its last place: 0.001 ft is some 3e-9 degrees.
#[track_caller]
fn assert_survey_feet(grid: &Projection, at: LonLat, east: &str, north: &str) {
    let found = grid.to_plane(at).expect("in reach");
    let survey = |feet: f64| feet * METERS_PER_FOOT / METERS_PER_SURVEY_FOOT;
    assert_printed(survey(found.east()), east, 0.5);
    assert_printed(survey(found.north()), north, 0.5);

    let printed = |text: &str| text.parse::<f64>().expect("a number") * METERS_PER_SURVEY_FOOT;
    let back = grid
        .to_lon_lat(meters(printed(east), printed(north)))
        .expect("in reach");
    assert!((back.longitude() - at.longitude()).abs() < 4e-9, "{back}");
    assert!((back.latitude() - at.latitude()).abs() < 4e-9, "{back}");
}

fn minnesota_north() -> Projection {
    let origin = lon_lat("-93 06", "46 30");
    let parallels = ["48 38", "47 02"];
    lambert(
        Datum::Nad83,
        origin,
        parallels,
        meters(800_000.0, 100_000.0),
    )
}

fn south_dakota_north(datum: Datum) -> Projection {
    let parallels = ["45 41", "44 25"];
    lambert(
        datum,
        lon_lat("-100", "43 50"),
        parallels,
        meters(600_000.0, 0.0),
    )
}

/// Source: PROJ test suite (`OSGeo`), `test_proj_nad83.yaml`, release 9.6.2: points of
/// the National Geodetic Survey's program l176, 1990s. Lambert zones, to 0.001
/// survey foot.
#[test]
fn state_plane_lambert_zones() {
    let nad83 =
        |origin, parallels, east| lambert(Datum::Nad83, origin, parallels, meters(east, 0.0));
    let ohio_north = nad83(lon_lat("-82 30", "39 40"), ["41 42", "40 26"], 600_000.0);
    let pennsylvania_north = nad83(lon_lat("-77 45", "40 10"), ["41 57", "40 53"], 600_000.0);
    let louisiana_south = nad83(lon_lat("-91 20", "28 30"), ["30 42", "29 18"], 1_000_000.0);
    let florida_north = nad83(lon_lat("-84 30", "29"), ["30 45", "29 35"], 600_000.0);
    let long_island = nad83(lon_lat("-74", "40 10"), ["41 02", "40 40"], 300_000.0);
    let south_dakota_north = south_dakota_north(Datum::Nad83);
    let minnesota_north = minnesota_north();
    #[rustfmt::skip]
    let rows = [
        (&minnesota_north, "-91 27 51.183", "47 08 19.177", "3031741.394", "565338.600"),
        (&minnesota_north, "-95 51 05.998", "48 19 26.552", "1955378.869", "1005314.701"),
        (&ohio_north, "-80 49 28.238", "40 17 50.894", "2435851.621", "234309.717"),
        (&pennsylvania_north, "-74 33 20.644", "41 23 48.566", "2844678.533", "464365.610"),
        (&louisiana_south, "-89 10 23.487", "29 20 32.615", "3969054.663", "312839.922"),
        (&florida_north, "-82 45 52.412", "29 39 06.589", "2519743.236", "241248.726"),
        (&long_island, "-73 02 36.247", "40 47 50.624", "1249103.533", "231235.845"),
        (&south_dakota_north, "-99 12 21.983", "44 06 08.121", "2177060.848", "99066.761"),
        (&south_dakota_north, "-100 32 28.873", "44 32 34.917", "1827356.330", "259209.712"),
    ];
    for (grid, longitude, latitude, east, north) in rows {
        assert_survey_feet(grid, lon_lat(longitude, latitude), east, north);
    }
}

/// Source: as for the Lambert zones; transverse Mercator zones.
#[test]
fn state_plane_transverse_mercator_zones() {
    let alabama_east =
        transverse_mercator(lon_lat("-85 50", "30 30"), 0.99996, meters(200_000.0, 0.0));
    let arizona_east =
        transverse_mercator(lon_lat("-110 10", "31"), 0.9999, meters(213_360.0, 0.0));
    let idaho_east = transverse_mercator(
        lon_lat("-112 10", "41 40"),
        18_999.0 / 19_000.0,
        meters(200_000.0, 0.0),
    );
    let new_jersey =
        transverse_mercator(lon_lat("-74 30", "38 50"), 0.9999, meters(150_000.0, 0.0));
    let vermont = transverse_mercator(
        lon_lat("-72 30", "42 30"),
        27_999.0 / 28_000.0,
        meters(500_000.0, 0.0),
    );
    #[rustfmt::skip]
    let rows = [
        (&alabama_east, "-85 12 41.738", "32 38 57.737", "847539.085", "782420.807"),
        (&arizona_east, "-110 24 59.771", "35 09 58.568", "625301.460", "1515899.830"),
        (&idaho_east, "-111 42 29.824", "43 48 07.616", "777180.670", "778579.414"),
        (&new_jersey, "-74 13 55.737", "39 52 02.095", "567304.543", "376673.733"),
        (&vermont, "-73 12 06.978", "44 22 22.810", "1456873.971", "683480.189"),
    ];
    for (grid, longitude, latitude, east, north) in rows {
        assert_survey_feet(grid, lon_lat(longitude, latitude), east, north);
    }
}

/// Source: PROJ documentation (`OSGeo`), program `proj`, example of option -V:
/// California zone 4, with the scale factor to eight decimals and the convergence
/// to 0.001 second.
#[test]
fn california_zone_4_with_factors() {
    let grid = lambert(
        Datum::Nad83Of2011,
        lon_lat("-119", "35 20"),
        ["37 15", "36"],
        meters(2_000_000.0, 500_000.0),
    );
    let at = lon_lat("-120", "35 48");
    let found = grid.to_plane(at).expect("in reach");
    assert_meters(found, "1909606.87", "552253.58", 0.5);
    let factors = grid.factors(at).expect("in reach");
    assert_printed(factors.scale, "1.00004382", 0.5);
    let seconds = (factors.convergence.degrees() + 35.0 / 60.0) * 3600.0;
    assert_printed(seconds, "-47.714", 0.5);
}

/// Source: `GeographicLib`, manual page of `ConicProj`, examples: Philadelphia on a
/// cone of two parallels on the WGS 84 ellipsoid. Its own latitude of origin is not
/// printed, so only the easting, the convergence and the scale are held to it.
#[test]
fn philadelphia_on_a_cone() {
    let grid = lambert(
        Datum::Wgs84,
        lon_lat("-77 45", "40 27 02.5"),
        ["40 58", "39 56"],
        Point::ORIGIN,
    );
    let at = LonLat::new(-75.17, 39.95).expect("a place");
    let found = grid.to_plane(at).expect("in reach");
    assert_printed(found.east() * METERS_PER_FOOT, "220445", 0.5);
    let factors = grid.factors(at).expect("in reach");
    assert_printed(factors.convergence.degrees(), "1.67", 0.5);
    assert_printed(factors.scale, "1.0", 0.5);
}

/// Source: J. Mahun, *Open Access Surveying Library*, web edition, self-study
/// "Coordinate Systems", Problem (1), worked with the NGS coordinate conversion tool:
/// a section corner from South Dakota North (survey feet) to UTM zone 13, with the
/// convergence. The given 0.01 ft is 3 mm; the printed UTM is within it.
#[test]
fn mahun_section_corner_from_lambert_to_utm() {
    let state = south_dakota_north(Datum::Nad83Of2011);
    let given = meters(
        1_002_231.06 * METERS_PER_SURVEY_FOOT,
        735_056.25 * METERS_PER_SURVEY_FOOT,
    );
    let corner = state.to_lon_lat(given).expect("in reach");
    let utm = Projection::utm(Datum::Nad83Of2011, 13).expect("a zone");
    let found = utm.to_plane(corner).expect("in reach");
    assert_meters(found, "594138.761", "5071141.376", 1.0);

    let convergence = state.factors(corner).expect("in reach").convergence;
    let seconds = (convergence.degrees() + 2.0 + 40.0 / 60.0) * 3600.0;
    assert_printed(seconds, "-53.5", 0.5);
}

/// Source: `GeographicLib`, manual page of `GeoConvert`: 33.3 N 44.4 E is 38n
/// 444140.54 3684706.36 on the WGS 84 ellipsoid.
#[test]
fn geographiclib_utm_zone_38() {
    let utm = Projection::utm(Datum::Wgs84, 38).expect("a zone");
    let at = LonLat::new(44.4, 33.3).expect("a place");
    let found = utm.to_plane(at).expect("in reach");
    assert_meters(found, "444140.54", "3684706.36", 0.5);
}

/// By definition of the grid: TM 8358.2, *The Universal Grids*, Defense Mapping
/// Agency (1989): 0.9996 on the central meridian (from memory).
#[test]
fn utm_on_its_central_meridian() {
    let utm = Projection::utm(Datum::Nad83, 15).expect("a zone");
    let at = LonLat::new(-93.0, 45.0).expect("a place");
    let factors = utm.factors(at).expect("in reach");
    assert_printed(factors.scale, "0.999600000", 1.0);
    assert!(factors.convergence.degrees().abs() < 1e-9);
}
