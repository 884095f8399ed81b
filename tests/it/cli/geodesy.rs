//! Points by longitude and latitude, as a person meets them.

use crate::folder::Folder;
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

fn offset(name: &str, text: &str, args: &[&str]) -> Answer {
    let folder = Folder::new(name);
    let path = folder.file("lot", text);
    let all = ["offset", path.as_str(), "--by", "0.5ft", "--json"];
    run_fence(&[&all, args].concat())
}

#[test]
fn a_datum_of_feet_is_refused() {
    let text = "name,north_ft,east_ft\nA,0,0\nB,100,0\nC,100,60\n";
    let answer = offset("datum-of-feet", text, &["--datum", "NAD83"]);
    answer.assert_refused(&["name,lon_deg,lat_deg", "leave --datum out"]);
}

#[cfg(not(feature = "geodesy"))]
#[test]
fn a_program_without_geodesy_says_how_to_get_one() {
    let answer = offset("without-geodesy", LOT, &["--datum", "NAD83"]);
    answer.assert_refused(&[
        "built without geodesy",
        "cargo build --features geodesy",
        "cmake",
        "C++ compiler",
    ]);
}

#[cfg(feature = "geodesy")]
mod built_with_geodesy {
    use fence_cli::Exit;

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
        answer.assert_refused(&["without their datum", "--datum NAD83"]);
        let answer = offset("old-datum", LOT, &["--datum", "NAD27"]);
        answer.assert_refused(&["none of NAD83, NAD83(2011), WGS84"]);
    }

    #[test]
    fn bad_places_show_their_line() {
        let swapped = "name,lon_deg,lat_deg\nA,48.6,-93.1\n";
        let answer = offset("swapped", swapped, &["--datum", "NAD83"]);
        answer.assert_refused(&["line 2", "look swapped"]);
        let words = "name,lon_deg,lat_deg\nA,west,48.6\n";
        let answer = offset("words", words, &["--datum", "NAD83"]);
        answer.assert_refused(&["line 2", "not a number of degrees"]);
        let answer = offset("half", "name,lon_deg\nA,-93\n", &["--datum", "NAD83"]);
        answer.assert_refused(&["line 1", "lat_deg column is missing"]);
        let answer = offset("more", "lon_deg,lat_deg,height\n", &["--datum", "NAD83"]);
        answer.assert_refused(&["line 1", "a column \"height\""]);
    }

    #[test]
    fn a_wrong_sign_and_a_far_point_are_named() {
        let east = LOT.replace("-93", "93");
        let answer = offset("east", &east, &["--datum", "NAD83"]);
        answer.assert_refused(&["point A", "west longitudes are negative"]);
        let far = LOT.replace("C,-93.0995", "C,-94.0995");
        let answer = offset("far", &far, &["--datum", "WGS84"]);
        answer.assert_refused(&["point C", "check its digits"]);
    }

    /// Writes points, runs `fence fit` on them, and takes the file away.
    fn fit(name: &str, text: &str, args: &[&str]) -> Answer {
        let file = std::env::temp_dir().join(format!("fence-fit-{}-{name}", std::process::id()));
        std::fs::write(&file, text).expect("a file");
        let all = [&["fit", file.to_str().expect("UTF-8"), "--json"], args].concat();
        let answer = run_fence(&all);
        std::fs::remove_file(&file).expect("the file");
        answer
    }

    /// Source of the grid coordinates: PROJ test suite (`OSGeo`), `test_proj_nad83.yaml`,
    /// Minnesota North, GP1, in survey feet to 0.001 ft; columns out of their usual order.
    #[test]
    fn a_list_of_points_shows_its_grid_and_factors() {
        let text = "lat_deg,name,height_ft,lon_deg\n47.138660278,GP1,1400,-91.464217500\n\
                    47.1390,NEAR,1400,-91.4640\n";
        let answer = fit(
            "grid.csv",
            text,
            &["--datum", "NAD83(2011)", "--zone", "Minnesota North"],
        );
        assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
        let json = answer.json();
        let grid = &json["grid"];
        assert_eq!(grid["zone_number"], 2201);
        assert_eq!(grid["grid_unit"], "survey_foot");
        assert_eq!(grid["height_ft"], 1400.0);
        let point = &grid["points"][0];
        let number = |field: &str| point[field].as_f64().expect("a number");
        // The seconds are rounded to 1e-9 degrees, which is 0.0004 ft.
        assert!(
            (number("grid_east") - 3_031_741.394).abs() < 0.0015,
            "{point}"
        );
        assert!(
            (number("grid_north") - 565_338.600).abs() < 0.0015,
            "{point}"
        );
        let product = number("scale_factor") * number("elevation_factor");
        assert!((number("combined_factor") - product).abs() < 1e-15);
        assert!(number("convergence_deg") > 1.0);
        assert_eq!(json["places"][0]["north_ft"], 0.0);
        let far = &grid["points"][1];
        let ground = far["north_ft"]
            .as_f64()
            .expect("a number")
            .hypot(far["east_ft"].as_f64().expect("a number"));
        let in_grid = (far["grid_north"].as_f64().expect("a number") - number("grid_north"))
            .hypot(far["grid_east"].as_f64().expect("a number") - number("grid_east"));
        // Grid distances in survey feet, ground distances in feet.
        let ratio = in_grid * 1.000_002 / ground;
        assert!((ratio - number("combined_factor")).abs() < 1e-7, "{ratio}");
        assert!(json["assumed"].to_string().contains("U.S. survey feet"));
    }

    /// The same lot by longitude and latitude and by grid coordinates of the zone gives
    /// the same fit.
    #[test]
    fn pins_by_degrees_and_by_grid_agree() {
        let corners = "corners = [ { name = \"A\", north = 0, east = 0 }, { name = \"B\", north = 109.4, east = 0 }, { name = \"C\", north = 109.4, east = 121 } ]\ndatum = \"NAD83\"\nzone = \"2201\"\nheight = \"1000ft\"\n";
        let by_degrees = format!(
            "{corners}[[pins]]\ncorner = \"A\"\nlon_deg = -93.1\nlat_deg = 48.6\n[[pins]]\ncorner = \"B\"\nlon_deg = -93.1\nlat_deg = 48.6003\n"
        );
        let first = fit("degrees.toml", &by_degrees, &[]);
        assert_eq!(first.exit, Exit::Done, "{}", first.err);
        let first = first.json();
        let grid = &first["grid"]["points"];
        let pin = |i: usize, name: &str| {
            format!(
                "[[pins]]\ncorner = \"{name}\"\ngrid_north = {}\ngrid_east = {}\n",
                grid[i]["grid_north"], grid[i]["grid_east"]
            )
        };
        let second = fit(
            "grid.toml",
            &format!("{corners}{}{}", pin(0, "A"), pin(1, "B")),
            &[],
        )
        .json();
        for i in 0..3 {
            let off = |field: &str| {
                let of = |json: &serde_json::Value| {
                    json["corners"][i][field].as_f64().expect("a number")
                };
                of(&first) - of(&second)
            };
            assert!(off("north_ft").hypot(off("east_ft")) < 1e-5);
        }
    }

    #[test]
    fn what_can_not_be_placed_is_named() {
        let answer = fit("datum.csv", LOT, &[]);
        answer.assert_refused(&["without their datum"]);
        let answer = fit("zone.csv", LOT, &["--datum", "NAD83", "--zone", "2203"]);
        answer.assert_refused(&[
            "A",
            "outside of the zone Minnesota South (2203)",
            "Minnesota North (2201)",
        ]);
        let answer = fit(
            "swapped.csv",
            "name,lat_deg,lon_deg\nA,-93.1,48.6\n",
            &["--datum", "NAD83"],
        );
        answer.assert_refused(&["A", "look swapped"]);
        let grid = "name,grid_north,grid_east\nA,565338.6,3031741.394\n";
        let answer = fit("no-zone.csv", grid, &["--datum", "NAD83"]);
        answer.assert_refused(&["say of which `zone`"]);
        let answer = fit(
            "column.csv",
            "name,lat_deg,lon_deg,color\n",
            &["--datum", "NAD83"],
        );
        answer.assert_refused(&["line 1", "no pin has a column \"color\""]);
        let answer = fit("twice.csv", "name,lat_deg,lat_deg\n", &["--datum", "NAD83"]);
        answer.assert_refused(&["says again"]);
    }

    /// A phone's point is listed as such, and takes no part in a fit.
    #[test]
    fn a_phone_in_a_list_only_hints() {
        let folder = std::env::temp_dir().join(format!("fence-phone-{}", std::process::id()));
        std::fs::create_dir_all(&folder).expect("a folder");
        let list = "located,lon_deg,lat_deg,name\n,-93.1,48.6,A\nmeasured,-93.1,48.6003,B\nphone,-93.0995,48.6003,C\n";
        std::fs::write(folder.join("pins.csv"), list).expect("a file");
        let request = "pins_file = \"pins.csv\"\ndatum = \"WGS84\"\ncorners = [ { name = \"A\", north = 0, east = 0 }, { name = \"B\", north = 109.4, east = 0 }, { name = \"C\", north = 109.4, east = 121 } ]\n";
        let path = folder.join("fit.toml");
        std::fs::write(&path, request).expect("a file");
        let answer = run_fence(&["fit", path.to_str().expect("UTF-8"), "--json"]);
        std::fs::remove_dir_all(&folder).expect("the folder");
        assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
        let json = answer.json();
        assert_eq!(json["pins"].as_array().expect("pins").len(), 2);
        assert_eq!(json["corners"][2]["found"], false);
        assert_eq!(json["phone"][0]["name"], "C");
    }
}
