//! What must hold for every place that is projected.

use fence_geom::{
    Datum, GeodesyError, LocalPlane, LonLat, Point, Projection, local_points, read_datum,
};
use proptest::prelude::*;

fn place(longitude: f64, latitude: f64) -> LonLat {
    LonLat::new(longitude, latitude).expect("a place")
}

proptest! {
    // A projection takes milliseconds to make.
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// There and back again, to some millionths of a foot: 1e-11 degrees of latitude
    /// is 4e-6 ft.
    #[test]
    fn utm_and_back(longitude in -100.0..-86.0_f64, latitude in 18.0..72.0_f64) {
        let utm = Projection::utm(Datum::Nad83, 15).expect("a zone");
        let at = place(longitude, latitude);
        let back = utm.to_lon_lat(utm.to_plane(at).expect("in reach")).expect("in reach");
        prop_assert!((back.longitude() - longitude).abs() < 1e-11);
        prop_assert!((back.latitude() - latitude).abs() < 1e-11);
    }

    /// A lot in the local plane and in UTM, taken back to the ellipsoid by the scale
    /// factor there, has sides of one length: two ways that share no parameter.
    #[test]
    fn a_side_is_as_long_in_every_grid(
        longitude in -95.9..-90.1_f64, latitude in 18.0..60.0_f64,
        east_ft in -300.0..300.0_f64, north_ft in -300.0..300.0_f64,
    ) {
        let plane = LocalPlane::about(Datum::Nad83, place(longitude, latitude)).expect("a plane");
        let utm = Projection::utm(Datum::Nad83, 15).expect("a zone");
        let far = plane
            .to_lon_lat(Point::new(north_ft, east_ft).expect("a point"))
            .expect("in reach");
        let middle = place(
            f64::midpoint(longitude, far.longitude()),
            f64::midpoint(latitude, far.latitude()),
        );
        let grid_ft = utm
            .to_plane(plane.origin())
            .expect("in reach")
            .distance(utm.to_plane(far).expect("in reach"))
            .feet();
        let along_ellipsoid = grid_ft / utm.factors(middle).expect("in reach").scale;
        let local = east_ft.hypot(north_ft);
        prop_assert!((along_ellipsoid - local).abs() <= 1e-6 + 1e-8 * local);
    }

    /// The grid azimuth of a short line north is the convergence, turned around.
    #[test]
    fn grid_north_leans_away_from_the_middle(east_of in 0.01..3.0_f64, latitude in 1.0..70.0_f64) {
        let utm = Projection::utm(Datum::Nad83, 15).expect("a zone");
        let right = utm.factors(place(-93.0 + east_of, latitude)).expect("in reach");
        let left = utm.factors(place(-93.0 - east_of, latitude)).expect("in reach");
        prop_assert!(right.convergence.degrees() > 0.0);
        prop_assert!((right.convergence.degrees() + left.convergence.degrees()).abs() < 1e-9);
        prop_assert!((right.scale - left.scale).abs() < 1e-10);
    }

    /// No pair of the fifty states passes with its halves swapped.
    #[test]
    fn swapped_places_are_told(longitude in -179.0..-66.0_f64, latitude in 18.0..72.0_f64) {
        let error = LonLat::new(latitude, longitude).expect_err("swapped");
        prop_assert!(matches!(error, GeodesyError::Swapped { .. }), "{error}");
    }

    /// No number is too wild to be answered.
    #[test]
    fn any_number_is_answered(longitude: f64, latitude: f64, north: f64, east: f64) {
        let utm = Projection::utm(Datum::Wgs84, 15).expect("a zone");
        if let Ok(at) = LonLat::new(longitude, latitude) {
            let _ = utm.to_plane(at);
        }
        if let Ok(at) = Point::new(north, east) {
            let _ = utm.to_lon_lat(at);
        }
    }
}

#[test]
fn what_is_refused_is_named() {
    let words = |error: GeodesyError| error.to_string();
    let not_a_place = |longitude, latitude| words(LonLat::new(longitude, latitude).unwrap_err());
    assert!(not_a_place(f64::NAN, 48.6).contains("longitude must be from -180 to 180"));
    assert!(not_a_place(-93.1, 84.5).contains("latitude must be from -60 to 84"));
    assert!(not_a_place(48.6, -93.1).contains("look swapped"));

    assert!(words(Projection::utm(Datum::Nad83, 0).unwrap_err()).contains("from 1 to 60, got 0"));
    let utm = Projection::utm(Datum::Nad83, 15).expect("a zone");
    let sign = utm.to_plane(place(93.1, 48.6)).unwrap_err();
    assert!(words(sign).contains("west longitudes are negative"));
    let zone = utm.to_plane(place(-75.0, 40.0)).unwrap_err();
    assert!(words(zone).contains("18.0 degrees of longitude from the central meridian"));
    let nowhere = utm.to_lon_lat(Point::new(1e9, -1e9).expect("a point"));
    assert!(words(nowhere.unwrap_err()).contains("no place of this projection"));
    let utm = Projection::utm(Datum::Wgs84, 55).expect("a zone");
    let south = utm.to_plane(place(147.0, -33.0)).unwrap_err();
    assert!(words(south).contains("south of the equator"));

    let plane = LocalPlane::about(Datum::Nad83, place(-93.1, 48.6)).expect("a plane");
    let far = plane.to_plane(place(-93.1, 49.6)).unwrap_err();
    assert!(words(far).contains("check its digits"));
    assert_eq!(
        local_points(Datum::Nad83, &[]).unwrap_err(),
        GeodesyError::NoPoints
    );
    let swapped_sign = [("P7".to_owned(), place(93.1, 48.6))];
    let error = local_points(Datum::Nad83, &swapped_sign).unwrap_err();
    assert!(words(error).contains("point P7: NAD83 is a datum of North America"));

    let unknown = read_datum("NAD27").unwrap_err();
    assert!(
        unknown
            .to_string()
            .contains("none of NAD83, NAD83(2011), WGS84")
    );
}
