use super::datum::Datum;
use super::{LonLat, Projection};

#[test]
fn the_way_around_the_date_line_is_the_short_one() {
    let guam = LonLat::new(144.75, 13.5).expect("a place");
    assert!((guam.degrees_east_of(-179.0) - -36.25).abs() < 1e-12);
    let aleutians = LonLat::new(-179.0, 51.5).expect("a place");
    assert!((aleutians.degrees_east_of(177.0) - 4.0).abs() < 1e-12);
}

/// The radius at the equator is b²/a and at the poles a²/b, exactly.
#[test]
fn the_meridian_is_flattest_at_the_poles() {
    let grs80 = Datum::Nad83.ellipsoid();
    let a = grs80.semi_major_m;
    let b = a * (1.0 - 1.0 / grs80.inverse_flattening);
    assert!((grs80.meridian_radius_m(0.0) - b * b / a).abs() < 1e-6);
    let pole = std::f64::consts::FRAC_PI_2;
    assert!((grs80.meridian_radius_m(pole) - a * a / b).abs() < 1e-6);
}

/// A file of settings beside the library below could choose another series.
#[test]
fn the_series_is_named_in_the_definition() {
    let utm = Projection::utm(Datum::Nad83, 15).expect("a zone");
    assert!(
        format!("{utm:?}").contains("algo=poder_engsager"),
        "{utm:?}"
    );
}

#[cfg(feature = "serde")]
#[test]
fn a_written_place_is_checked_on_reading() {
    let written = r#"{"lon_deg":-93.1,"lat_deg":48.6}"#;
    let at: LonLat = serde_json::from_str(written).expect("a place");
    assert_eq!(serde_json::to_string(&at).expect("text"), written);
    let swapped = r#"{"lon_deg":48.6,"lat_deg":-93.1}"#;
    let error = serde_json::from_str::<LonLat>(swapped).expect_err("swapped");
    assert!(error.to_string().contains("look swapped"), "{error}");
}
