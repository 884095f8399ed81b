//! Points by longitude and latitude, as a person meets them.

use fence_cli::Exit;

use crate::program::{Answer, run_fence};

/// An invented lot, in degrees: 0.0005 of longitude by 0.0003 of latitude.
const LOT: &str = "\
# an invented lot
name,lon_deg,lat_deg
A,-93.1000,48.6000
B,-93.1000,48.6003
C,-93.0995,48.6003
D,-93.0995,48.6000
";

/// Writes the text to a file of its own, runs `fence offset` on it, and takes the
/// file away.
fn offset(name: &str, text: &str, args: &[&str]) -> Answer {
    let file = std::env::temp_dir().join(format!("fence-{name}-{}.csv", std::process::id()));
    std::fs::write(&file, text).expect("a file");
    let path = file.to_str().expect("UTF-8");
    let all: Vec<&str> = ["offset", path, "--by", "0.5ft", "--json"]
        .into_iter()
        .chain(args.iter().copied())
        .collect();
    let answer = run_fence(&all);
    std::fs::remove_file(&file).expect("the file");
    answer
}

#[track_caller]
fn assert_refused(answer: &Answer, words: &[&str]) {
    assert_eq!(answer.exit, Exit::Refused, "{}", answer.out);
    assert_eq!(answer.out, "");
    for words in words {
        assert!(answer.err.contains(words), "{words:?} in {}", answer.err);
    }
}

#[test]
fn a_datum_of_feet_is_refused() {
    let text = "name,north_ft,east_ft\nA,0,0\nB,100,0\nC,100,60\n";
    let answer = offset("datum-of-feet", text, &["--datum", "NAD83"]);
    assert_refused(&answer, &["name,lon_deg,lat_deg", "leave --datum out"]);
}

#[cfg(not(feature = "geodesy"))]
#[test]
fn a_program_without_geodesy_says_how_to_get_one() {
    let answer = offset("without-geodesy", LOT, &["--datum", "NAD83"]);
    assert_refused(
        &answer,
        &[
            "built without geodesy",
            "cargo build --features geodesy",
            "cmake",
            "C++ compiler",
        ],
    );
}

#[cfg(feature = "geodesy")]
mod built_with_geodesy {
    use super::*;

    /// The sides of the lot from the radii of curvature of the ellipsoid at 48.6
    /// degrees (GRS 80; formulas: P. Richardus and R. K. Adler, *Map Projections*
    /// (1972), p. 16), which share nothing with the projection.
    #[test]
    fn the_lot_stands_on_a_plane_about_its_first_point() {
        let answer = offset("with-geodesy", LOT, &["--datum", "NAD83"]);
        assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
        let json = answer.json();
        let (a, e2) = (6_378_137.0 / 0.3048, 0.006_694_380_022_90_f64);
        let w2 = |latitude: f64| 1.0 - e2 * latitude.to_radians().sin().powi(2);
        let north = a * (1.0 - e2) / w2(48.600_15).powf(1.5) * 0.0003_f64.to_radians();
        let parallel =
            |lat: f64| a / w2(lat).sqrt() * lat.to_radians().cos() * 0.0005_f64.to_radians();
        let area = north * f64::midpoint(parallel(48.6), parallel(48.6003));
        let found = json["lot_area_sq_ft"].as_f64().expect("a number");
        assert!(
            (found / area - 1.0).abs() < 2e-6,
            "{found}, by radii {area}"
        );

        let assumed = json["assumed"].to_string();
        for words in [
            "NAD83 is named without its adjustment",
            "no shift between datums",
            "plane about A",
            "estimate unless a surveyor",
        ] {
            assert!(assumed.contains(words), "{words:?} in {assumed}");
        }
    }

    #[test]
    fn a_missing_or_unknown_datum_is_refused() {
        let answer = offset("no-datum", LOT, &[]);
        assert_refused(&answer, &["without their datum", "--datum NAD83"]);
        let answer = offset("old-datum", LOT, &["--datum", "NAD27"]);
        assert_refused(&answer, &["none of NAD83, NAD83(2011), WGS84"]);
    }

    #[test]
    fn bad_places_show_their_line() {
        let swapped = "name,lon_deg,lat_deg\nA,48.6,-93.1\n";
        let answer = offset("swapped", swapped, &["--datum", "NAD83"]);
        assert_refused(&answer, &["line 2", "look swapped"]);
        let words = "name,lon_deg,lat_deg\nA,west,48.6\n";
        let answer = offset("words", words, &["--datum", "NAD83"]);
        assert_refused(&answer, &["line 2", "not a number of degrees"]);
        let answer = offset("half", "name,lon_deg\nA,-93\n", &["--datum", "NAD83"]);
        assert_refused(&answer, &["line 1", "lat_deg column is missing"]);
        let answer = offset("more", "lon_deg,lat_deg,height\n", &["--datum", "NAD83"]);
        assert_refused(&answer, &["line 1", "a column \"height\""]);
    }

    #[test]
    fn a_wrong_sign_and_a_far_point_are_named() {
        let east = LOT.replace("-93", "93");
        let answer = offset("east", &east, &["--datum", "NAD83"]);
        assert_refused(&answer, &["point A", "west longitudes are negative"]);
        let far = LOT.replace("C,-93.0995", "C,-94.0995");
        let answer = offset("far", &far, &["--datum", "WGS84"]);
        assert_refused(&answer, &["point C", "check its digits"]);
    }
}
