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

/// Pins by coordinates, by tapes and with a correlation; a phone's word takes no part.
#[test]
fn pins_come_in_several_ways() {
    let answer = fit("cli/fit-two-tapes.toml", &["--json"]);
    assert_eq!(answer.exit, Exit::Done, "{} {}", answer.out, answer.err);
    let json = answer.json();
    let names: Vec<_> = json["pins"]
        .as_array()
        .expect("pins")
        .iter()
        .map(|pin| &pin["name"])
        .collect();
    assert_eq!(names, ["A", "B", "C"]);
    assert_eq!(json["phone"][0]["name"], "D");
    assert!(json["phone"][0]["off_ft"].as_f64().expect("a number") > 5.0);
    assert_eq!(json["corners"][3]["found"], false);
    assert_eq!(json["scale_held"], true);
    for field in ["variance_factor", "chance", "condition", "scale_sigma"] {
        assert!(json[field].is_number(), "{field}");
    }
    // The corner to search has two tapes and what they change by; the other one is
    // out of reach of all pins but one.
    let search = &json["corners"][3];
    assert!(
        search["ellipse_95"]["semi_major_ft"]
            .as_f64()
            .expect("known")
            < 0.5
    );
    let beyond = &json["corners"][4];
    assert_eq!(
        beyond["no_tapes_because"].as_array().map(Vec::len),
        Some(3),
        "{beyond}"
    );
    let tapes = search["search_tapes"].as_array().expect("tapes");
    assert!(tapes.len() >= 2, "{search}");
    for tape in tapes {
        let change = |field: &str| tape[field].as_f64().expect("a number");
        let steps = change("per_inch_north_in").hypot(change("per_inch_east_in"));
        assert!((steps - 1.0).abs() < 1e-9, "{tape}");
        assert!(
            change("least_ft") < change("reading_ft") && change("reading_ft") < change("most_ft")
        );
    }
    let words = fit("cli/fit-two-tapes.toml", &[]).out;
    for said in [
        "an inch north",
        "a slip of",
        "where the others put it",
        "took no part",
    ] {
        assert!(words.contains(said), "{said:?} in {words}");
    }
}

const SQUARE: &str = r#"
corners = [ { name = "A", north = 0, east = 0 }, { name = "B", north = 0, east = 90 },
            { name = "C", north = 50, east = 90 }, { name = "D", north = 55, east = 0 } ]
"#;

fn pins(places: &[(&str, f64, f64)]) -> String {
    let pin = |(name, north, east): &(&str, f64, f64)| {
        format!("[[pins]]\ncorner = \"{name}\"\nnorth = {north:?}\neast = {east:?}\n")
    };
    places.iter().map(pin).collect()
}

#[test]
fn one_pin_and_a_direction_are_enough() {
    let direction = "direction = { deed = \"north\", ground = \"N2-30E\", sigma_deg = 0.25 }\n";
    let text = format!("{direction}{SQUARE}{}", pins(&[("A", 10.0, 20.0)]));
    let answer = fit_text("direction.toml", &text);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    assert!((json["rotation_deg"].as_f64().expect("a number") - 2.5).abs() < 1e-9);
    assert_eq!(json["sigma_ft"], serde_json::Value::Null);
    assert_eq!(json["scale"], 1.0);
}

#[test]
fn units_and_mirror_images_are_named_and_end_in_no() {
    let meters = [("A", 0.0, 0.0), ("B", 0.0, 27.432), ("C", 15.24, 27.432)];
    let answer = fit_text(
        "meters.toml",
        &format!("scale = \"free\"\n{SQUARE}{}", pins(&meters)),
    );
    assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
    let words = answer.json()["unit_confusion"].to_string();
    assert!(words.contains("pins are in meters"), "{words}");

    let over = [
        ("A", 0.0, 0.0),
        ("B", 0.0, -90.0),
        ("C", 50.0, -90.0),
        ("D", 55.0, 0.0),
    ];
    let answer = fit_text("mirror.toml", &format!("{SQUARE}{}", pins(&over)));
    assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
    assert_eq!(answer.json()["mirrored"], true);
}

#[test]
fn a_pin_that_is_placed_wrongly_is_refused() {
    for (name, pin, words) in [
        ("none", "corner = \"B\"", "give its place once"),
        ("half", "corner = \"B\"\nnorth = 3", "give its place once"),
        (
            "two ways",
            "corner = \"B\"\nnorth = 3\neast = 4\nlon_deg = -93\nlat_deg = 48",
            "give its place once",
        ),
        (
            "unknown",
            "corner = \"B\"\ntapes = [{from = \"Q\", reads = 5}, {from = \"R\", reads = 6}]",
            "no point of `known` has that name",
        ),
        (
            "sigmas",
            "corner = \"B\"\nnorth = 3\neast = 90\nsigma_north = 0.1",
            "sigma_north",
        ),
        (
            "correlation",
            "corner = \"B\"\nnorth = 3\neast = 90\nsigma_north = 0.1\nsigma_east = 0.1\ncorrelation = 1",
            "less than 1",
        ),
    ] {
        let text = format!("{SQUARE}{}[[pins]]\n{pin}\n", pins(&[("A", 0.0, 0.0)]));
        let answer = fit_text(&format!("{}.toml", name.replace(' ', "-")), &text);
        assert_eq!(answer.exit, Exit::Refused, "{name}: {}", answer.out);
        assert!(answer.err.contains(words), "{name}: {}", answer.err);
    }
}

/// The picture has every corner, a circle to search for each lost one, and says how many
/// times their size the ellipses are drawn.
#[test]
fn a_fit_is_drawn() {
    let path = std::env::temp_dir().join(format!("fence-fit-{}.svg", std::process::id()));
    let answer = fit(
        "cli/fit-two-tapes.toml",
        &["-o", path.to_str().expect("UTF-8")],
    );
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let text = std::fs::read_to_string(&path).expect("the picture");
    std::fs::remove_file(&path).expect("the file is there");
    let svg = roxmltree::Document::parse(&text).expect("well formed");
    let class = |class: &str| {
        svg.descendants()
            .filter(|node| node.attribute("class") == Some(class))
            .count()
    };
    assert_eq!(
        (class("corner"), class("search"), class("ellipse")),
        (5, 2, 5)
    );
    let times = svg
        .root_element()
        .attribute("data-exaggeration")
        .expect("said");
    let times: f64 = times.parse().expect("a number");
    assert!(
        text.contains(&format!("drawn {times} times their")),
        "{times}"
    );

    // The circle is the search radius, that many times.
    let json = fit("cli/fit-two-tapes.toml", &["--json"]).json();
    let radius = json["corners"][4]["search_radius_ft"]
        .as_f64()
        .expect("known");
    let feet_per_inch = svg
        .root_element()
        .attribute("data-feet-per-inch")
        .expect("said");
    let drawn = svg
        .descendants()
        .find(|node| {
            node.attribute("class") == Some("search") && node.attribute("data-name") == Some("E")
        })
        .and_then(|node| node.attribute("r")?.parse::<f64>().ok())
        .expect("a circle");
    let expected = radius * times * 72.0 / feet_per_inch.parse::<f64>().expect("a number");
    assert!((drawn - expected).abs() < 0.01, "{drawn} {expected}");

    let refused = fit("cli/fit-two-tapes.toml", &["-o", "fit.png"]);
    assert!(refused.err.contains("ends in .svg"), "{}", refused.err);
}
