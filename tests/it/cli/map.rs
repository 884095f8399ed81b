//! The outline of a lot from a map, as a person meets it.

use fence_cli::Exit;

use crate::folder::Folder;
use crate::program::{Answer, run_fence};

/// An invented lot of 30 m by 20 m in a plane.
const GEOJSON: &str = r#"{"type": "Feature", "properties": {"name": "an invented lot"}, "geometry":
{"type": "Polygon", "coordinates":
[[[500000.0, 4600000.0], [500000.0, 4600030.0], [500020.0, 4600030.0], [500020.0, 4600000.0], [500000.0, 4600000.0]]]}}"#;

const WKT: &str = "SRID=26915;POLYGON ((0 0, 0 100, 60 100, 60 0, 0 0))\n";

fn offset(name: &str, text: &str, args: &[&str]) -> Answer {
    let folder = Folder::new(name);
    let path = folder.file("lot", text);
    let all = ["offset", path.as_str(), "--by", "1ft"];
    run_fence(&[&all, args].concat())
}

#[test]
fn geojson_in_meters_is_a_lot() {
    let answer = offset("meters", GEOJSON, &["--map-unit", "meters", "--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    assert_eq!(json["estimate_only"], true);
    let area = json["lot_area_sq_ft"].as_f64().expect("a number");
    // 600 square meters, by 0.3048 m to the foot.
    assert!((area - 6_458.346_25).abs() < 1e-3, "{area}");
    let corner = &json["rings"][0][0];
    let north = corner["north_ft"].as_f64().expect("a number");
    assert!((north - (4_600_000.0 / 0.3048 + 1.0)).abs() < 1e-6);
}

#[test]
fn a_map_sets_no_flags() {
    let answer = offset("no-flags", WKT, &["--map-unit", "feet"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    assert!(answer.out.contains("NOT PINNED - ESTIMATE ONLY"));
    assert!(!answer.out.contains("Each flag"));
    let file = std::env::temp_dir().join("fence-no-flags.csv");
    let path = file.to_str().expect("UTF-8");
    let answer = offset("no-file", WKT, &["--map-unit", "feet", "-o", path]);
    answer.assert_refused(&["a map sets no flags"]);
    assert!(!file.exists());
}

#[test]
fn what_coordinates_mean_must_be_said() {
    offset("no-unit", GEOJSON, &[]).assert_refused(&["--map-unit feet, us-survey-feet or meters"]);
    offset(
        "degrees",
        "POLYGON ((-93.1 48.6, -93.1 48.7, -93 48.6))",
        &[],
    )
    .assert_refused(&["look like longitude and latitude", "--datum NAD83"]);
    let both = ["--map-unit", "feet", "--datum", "NAD83"];
    offset("both", WKT, &both).assert_refused(&["either a datum"]);
    let csv = "name,north_ft,east_ft\nA,0,0\nB,100,0\nC,100,60\n";
    let answer = offset("unit-of-csv", csv, &["--map-unit", "feet"]);
    answer.assert_refused(&["leave it out"]);
}

#[cfg(not(feature = "geodesy"))]
#[test]
fn longitude_and_latitude_need_geodesy() {
    let answer = offset("lon-lat", WKT, &["--datum", "NAD83"]);
    answer.assert_refused(&["built without geodesy"]);
}

#[test]
fn a_map_that_is_no_lot_is_refused() {
    let unit = ["--map-unit", "feet"];
    let refused = |name: &str, text: &str, words: &str| {
        offset(name, text, &unit).assert_refused(&[words]);
    };
    let hole = "POLYGON ((0 0, 0 9, 9 9, 9 0, 0 0), (1 1, 1 2, 2 2, 1 1))";
    let folder = Folder::new("hole");
    let deed = run_fence(&[&["deed", folder.file("lot", hole).as_str()], &unit[..]].concat());
    deed.assert_refused(&["without holes"]);
    let two = "MULTIPOLYGON (((0 0, 0 9, 9 9, 0 0)), ((20 0, 20 9, 29 9, 20 0)))";
    refused("two", two, "2 polygons");
    refused("cut-off", "POLYGON ((0 0, 0 9", "well-known text");
    refused("empty", "POLYGON EMPTY", "is empty");
    refused("no-json", "{\"type\": ", "not GeoJSON");
    let line = r#"{"type": "LineString", "coordinates": [[0, 0], [1, 1]]}"#;
    refused("line", line, "LineString");
    let short = r#"{"type": "Polygon", "coordinates": [[[0], [1, 1], [2, 0]]]}"#;
    refused("short", short, "two or more");
    let far = "POLYGON ((0 0, 0 1e300, 9 9, 0 0))";
    refused("far", far, "corner 2");
    let nested = "GEOMETRYCOLLECTION(".repeat(100_000);
    let answer = offset("nested", &format!("SRID=1;{nested}"), &unit);
    answer.assert_refused(&["well-known text"]);
    let deep = format!("{{\"type\": {}", "[".repeat(100_000));
    refused("deep", &deep, "not GeoJSON");
}

/// Around an invented pond of 20 by 20 ft the line goes square, as its sides do.
#[test]
fn a_hole_of_the_map_is_kept_clear_of() {
    let pond = "POLYGON ((0 0, 100 0, 100 80, 0 80, 0 0), (40 30, 60 30, 60 50, 40 50, 40 30))";
    let answer = offset(
        "pond",
        pond,
        &["--map-unit", "feet", "--side", "5-6=3ft", "--json"],
    );
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    assert_eq!(json["ring_roles"], serde_json::json!(["outer", "hole"]));
    let area = json["area_sq_ft"].as_f64().expect("an area");
    // 1 ft inside the lot; of the pond 1 ft, and 3 ft on one side.
    assert!((area - (98.0 * 78.0 - 22.0 * 24.0)).abs() < 1e-6, "{area}");

    let astray = pond.replace(
        "(40 30, 60 30, 60 50, 40 50, 40 30)",
        "(140 30, 160 30, 160 50)",
    );
    offset("astray", &astray, &["--map-unit", "feet"]).assert_refused(&["lies outside the lot"]);
}
