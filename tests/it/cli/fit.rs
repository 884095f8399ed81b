//! `fence fit`.

use fence_cli::Exit;
use fence_tests::fixture_path;

use crate::program::{Answer, run_fence};

fn fit(file: &str, more: &[&str]) -> Answer {
    let path = fixture_path(file);
    let path = path.to_str().expect("UTF-8");
    run_fence(&[["fit", path].as_slice(), more].concat())
}

/// Runs a request that is written for this test alone.
fn fit_text(name: &str, text: &str) -> Answer {
    let path = std::env::temp_dir().join(format!("fence-fit-{}-{name}", std::process::id()));
    std::fs::write(&path, text).expect("a writable folder");
    let answer = run_fence(&["fit", path.to_str().expect("UTF-8"), "--json"]);
    std::fs::remove_file(&path).expect("the file is there");
    answer
}

#[test]
fn four_pins_name_the_one_that_is_off() {
    let answer = fit("cli/fit-four-pins.toml", &["--json"]);
    assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
    let json = answer.json();
    for field in ["rotation_deg", "scale", "sigma_ft"] {
        assert!(json[field].is_number(), "{field}");
    }
    for (pin, (name, suspect)) in json["pins"].as_array().expect("pins").iter().zip([
        ("A", false),
        ("B", false),
        ("C", false),
        ("D", true),
    ]) {
        assert_eq!(pin["name"], name);
        assert_eq!(pin["suspect"], suspect, "{pin}");
        assert!(pin["residual_ft"].is_number());
    }
    let corners = json["corners"].as_array().expect("corners");
    // A found pin is the corner, unmoved; a witness stands beside it.
    assert_eq!(corners[0]["north_ft"], 500.02);
    assert_eq!(corners[0]["found"], true);
    assert_eq!(corners[0]["accepted"], true);
    assert_eq!(corners[3]["east_ft"], 561.0);
    assert_eq!(corners[3]["search_radius_ft"], serde_json::Value::Null);
    assert_eq!(corners[4]["found"], false);
    // The true place of the missing corner is at (480, 530); the search reaches it
    // although a bad pin pulls the fit.
    let off = |field: &str, truth: f64| corners[4][field].as_f64().expect("a number") - truth;
    let radius = corners[4]["search_radius_ft"].as_f64().expect("a radius");
    let distance = off("north_ft", 480.0).hypot(off("east_ft", 530.0));
    assert!(distance < radius && radius < 1.5, "{distance} {radius}");
    let words = fit("cli/fit-four-pins.toml", &[]).out;
    assert!(
        words.contains("SUSPECT") && words.contains("SEARCH HERE"),
        "{words}"
    );
}

#[test]
fn json_is_read_as_well_and_two_good_pins_pass() {
    let answer = fit_text(
        "two.json",
        r#"{"corners": [{"name": "A", "north": 0, "east": 0}, {"name": "B", "north": 0, "east": 90},
                        {"name": "C", "north": 50, "east": 45}],
            "pins": [{"corner": "A", "north": 10, "east": 20}, {"corner": "B", "north": 10, "east": "110.02ft"}]}"#,
    );
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    assert!((json["corners"][2]["north_ft"].as_f64().expect("a number") - 60.0).abs() < 0.001);
    assert_eq!(json["assumed"].as_array().expect("assumed").len(), 2);
}

#[test]
fn bad_requests_are_refused() {
    const CORNERS: &str =
        r#"corners = [{name = "A", north = 0, east = 0}, {name = "B", north = 0, east = 90}]"#;
    for (name, pins, words) in [
        (
            "one",
            r#"pins = [{corner = "A", north = 0, east = 0}]"#,
            "two pins at least",
        ),
        (
            "same",
            r#"pins = [{corner = "A", north = 5, east = 5}, {corner = "B", north = 5, east = 5}]"#,
            "one place",
        ),
        (
            "stranger",
            r#"pins = [{corner = "A", north = 5, east = 5}, {corner = "Q", north = 5, east = 9}]"#,
            "the corners are A, B",
        ),
        (
            "nan",
            r#"pins = [{corner = "A", north = nan, east = 5}, {corner = "B", north = 5, east = 9}]"#,
            "NaN",
        ),
        (
            "unit",
            r#"pins = [{corner = "A", north = "3kg", east = 5}, {corner = "B", north = 5, east = 9}]"#,
            "3kg",
        ),
        (
            "misspelled",
            r#"pins = [{corner = "A", nroth = 3, east = 5}, {corner = "B", north = 5, east = 9}]"#,
            "nroth",
        ),
        (
            "negative",
            r#"pins = [{corner = "A", north = 3, east = 5, sigma = -1}, {corner = "B", north = 5, east = 9}]"#,
            "length",
        ),
    ] {
        let answer = fit_text(&format!("{name}.toml"), &format!("{CORNERS}\n{pins}\n"));
        assert_eq!(answer.exit, Exit::Refused, "{name}: {}", answer.out);
        assert!(answer.out.is_empty(), "{name}: {}", answer.out);
        assert!(answer.err.contains(words), "{name}: {}", answer.err);
    }
    let empty = fit_text("empty.toml", " \n");
    assert!(empty.err.contains("empty"), "{}", empty.err);
    let missing = run_fence(&["fit", "no-such-file.toml"]);
    assert_eq!(missing.exit, Exit::Refused);
    assert!(missing.err.contains("no-such-file.toml"), "{}", missing.err);
}

/// The deed may be a call table instead of corners.
#[test]
fn a_deed_stands_for_its_corners() {
    let folder = std::env::temp_dir().join(format!("fence-fit-deed-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a writable folder");
    let file = |name: &str, text: &str| {
        let path = folder.join(name);
        std::fs::write(&path, text).expect("a writable folder");
        path
    };
    file(
        "lot.calls",
        "begin: A\nN0-00-00E 100ft to B\nN90-00-00E 60ft to C\nS0-00-00E 100ft to D\nS90-00-00W 60ft to A\n",
    );
    let request = file(
        "fit.toml",
        "deed = \"lot.calls\"\n[[pins]]\ncorner = \"A\"\nnorth = 0\neast = 0\n\n[[pins]]\ncorner = \"B\"\nnorth = 0\neast = 100\n",
    );
    let answer = run_fence(&["fit", request.to_str().expect("UTF-8"), "--json"]);
    std::fs::remove_dir_all(&folder).expect("the folder is there");
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    assert!((json["rotation_deg"].as_f64().expect("a number") - 90.0).abs() < 1e-9);
    assert!((json["corners"][2]["north_ft"].as_f64().expect("a number") + 60.0).abs() < 1e-9);
}
