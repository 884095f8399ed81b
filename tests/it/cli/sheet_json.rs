//! `fence sheet --json`: the fields that other programs rely on.

use fence_cli::Exit;
use fence_tests::{fixture, fixture_path};
use serde_json::Value;

use crate::folder::Folder;
use crate::program::run_fence;

fn job(name: &str) -> String {
    let path = fixture_path(&format!("jobs/{name}.toml"));
    path.to_str().expect("UTF-8").to_owned()
}

/// The sheet of a demo job.
fn sheet(name: &str) -> Value {
    let answer = run_fence(&["sheet", &job(name), "--json"]);
    assert_ne!(answer.exit, Exit::Refused, "{}", answer.err);
    answer.json()
}

#[track_caller]
fn has(value: &Value, fields: &[&str]) {
    for field in fields {
        assert!(value.get(field).is_some(), "no {field} in {value}");
    }
}

#[test]
fn all_fixed_fields_are_there() {
    for name in ["town-lot", "tern-hollow"] {
        let sheet = sheet(name);
        has(
            &sheet,
            &[
                "lot", "offset", "runs", "checks", "takeoff", "flags", "cautions",
            ],
        );
        has(
            &sheet["lot"]["corners"][0],
            &["name", "north_ft", "east_ft", "found", "search_radius_ft"],
        );
        has(
            &sheet["offset"],
            &[
                "rings",
                "ring_roles",
                "area_sq_ft",
                "perimeter_ft",
                "corners",
            ],
        );
        has(&sheet["offset"]["rings"][0][0], &["north_ft", "east_ft"]);
        has(&sheet["offset"]["corners"][0], &["angle_deg"]);
        let run = &sheet["runs"][0];
        has(run, &["status", "objective", "posts", "sections"]);
        has(&run["posts"][0], &["center_in", "width_in", "kind", "hole"]);
        has(&run["sections"][0], &["kind", "clear_in"]);
        has(
            &sheet["flags"][0],
            &[
                "name",
                "north_ft",
                "east_ft",
                "sigma_north_ft",
                "sigma_east_ft",
                "settable",
                "ties",
            ],
        );
        has(&sheet["takeoff"], &["items"]);
    }
}

#[test]
fn a_run_is_as_long_as_its_posts_and_sections_make_it() {
    for run in sheet("town-lot")["runs"].as_array().expect("runs") {
        let posts = run["posts"].as_array().expect("posts");
        let sections = run["sections"].as_array().expect("sections");
        assert_eq!(posts.len(), sections.len() + 1, "{}", run["name"]);
        let inches = |value: &Value| value.as_f64().expect("a number");
        for (i, section) in sections.iter().enumerate() {
            let face = |post: &Value, side: f64| {
                inches(&post["center_in"]) + side * inches(&post["width_in"]) / 2.0
            };
            let clear = face(&posts[i + 1], -1.0) - face(&posts[i], 1.0);
            let stated = inches(&section["clear_in"]);
            assert!((clear - stated).abs() < 1e-9, "{clear} {stated}");
            assert!((inches(&section["from_in"]) - face(&posts[i], 1.0)).abs() < 1e-9);
        }
    }
}

#[test]
fn a_lot_from_a_deed_says_how_it_closes_and_fits() {
    let sheet = sheet("tern-hollow");
    has(
        &sheet["lot"]["closure"],
        &["misclosure_ft", "bearing", "ratio", "perimeter_ft"],
    );
    has(&sheet["lot"]["fit"], &["rotation_deg", "scale", "sigma_ft"]);
    has(
        &sheet["lot"]["fit"]["pins"][0],
        &["name", "residual_ft", "suspect"],
    );
    let corners = sheet["lot"]["corners"].as_array().expect("corners");
    let missing = corners.iter().filter(|corner| corner["found"] == false);
    for corner in missing {
        assert!(corner["search_radius_ft"].as_f64() > Some(0.0), "{corner}");
    }
}

#[test]
fn an_unknown_standard_error_is_null() {
    let text = fixture("jobs/town-lot.toml").replacen("sigma = \"0in\"", "", 1);
    let folder = Folder::new("sheet-unknown");
    let answer = run_fence(&["sheet", &folder.file("job.toml", text), "--json"]);
    let sheet = answer.json();
    assert_eq!(sheet["lot"]["corners"][0]["sigma_north_ft"], Value::Null);
    // All that was taped from it is unknown too.
    assert_eq!(sheet["places"][1]["sigma_north_ft"], Value::Null);
}

#[test]
fn without_a_ticket_it_says_why_nobody_digs() {
    let text = fixture("jobs/town-lot.toml").replacen(
        "ticket = \"INVENTED-2026-0417\"",
        "ticket = \"\"",
        1,
    );
    let folder = Folder::new("sheet-ticket");
    let answer = run_fence(&["sheet", &folder.file("job.toml", text), "--json"]);
    assert_eq!(answer.exit, Exit::AnswerIsNo);
    assert_eq!(answer.json()["no_dig"][0], "there is no locate ticket");
}

#[test]
fn a_square_check_that_passes_is_listed_too() {
    let sheet = sheet("town-lot");
    let checks = sheet["checks"].as_array().expect("checks");
    let square = checks.iter().find(|check| check["kind"] == "square");
    let square = square.expect("the check at B");
    assert_eq!(square["trouble"], false);
    assert_eq!(square["about"], "B");
    assert_eq!(square["square"]["verdict"], "square");
}

#[test]
fn a_json_file_holds_what_is_printed() {
    let folder = Folder::new("sheet-file");
    let path = folder.path("sheet.json");
    let answer = run_fence(&["sheet", &job("town-lot"), "--json", "-o", &path]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    assert_eq!(
        std::fs::read_to_string(&path).expect("the file"),
        answer.out
    );
}

#[test]
fn calls_in_the_job_do_as_calls_in_a_file() {
    let calls = fixture("jobs/tern-hollow.calls");
    let text = fixture("jobs/tern-hollow.toml").replacen(
        "calls = \"tern-hollow.calls\"",
        &format!("text = '''\n{calls}'''"),
        1,
    );
    let folder = Folder::new("sheet-calls");
    let answer = run_fence(&["sheet", &folder.file("job.toml", text), "--json"]);
    assert_eq!(answer.json()["lot"], sheet("tern-hollow")["lot"]);
}

/// An invented lot whose south side is an arc of 80 ft radius and 60 degrees into the
/// lot: its chord is 80 ft.
const CURVED: &str = r#"
[job]
name = "Curved frontage (invented)"
site = "Lot 3, Heron Bend (invented)"
line_accepted_by = "owner, 2026-11-20"

[deed]
text = '''
Thence North 120 feet; thence East 80 feet; thence South 120 feet; thence along a
curve to the left having a radius of 80 feet, a central angle of 60 degrees and a chord
bearing West 80 feet to the point of beginning.
'''

[inside]
each = "1ft"

[product]
name = "4 ft rail (invented)"
build = "panels"
full = "92-1/2in"
min_cut = "12in"
height = "4ft"
line_post = { width = "3-1/2in", hole = "10in", depth = "30in" }

[[route]]
name = "rear"
stops = [{ corner = "2", run = "rear line" }, { corner = "3" }]
"#;

#[test]
fn a_curved_side_stays_an_arc() {
    let folder = Folder::new("sheet-arc");
    let job = folder.file("job.toml", CURVED);
    let answer = run_fence(&["sheet", &job, "--json"]);
    assert_ne!(answer.exit, Exit::Refused, "{}", answer.err);
    let sheet = answer.json();
    // Half of R^2 (d - sin d) is cut out of the rectangle.
    let delta = 60.0_f64.to_radians();
    let area = 120.0 * 80.0 - 0.5 * 80.0 * 80.0 * (delta - delta.sin());
    let found = sheet["lot"]["area_sq_ft"].as_f64().expect("an area");
    assert!((found - area).abs() < 1e-6, "{found} {area}");
    assert_eq!(sheet["lot"]["sides"][3]["arc"]["turn"], "left");
    let ring = sheet["offset"]["rings"][0].as_array().expect("a ring");
    let arcs: Vec<f64> = (ring.iter())
        .filter_map(|place| place["arc_to_next"]["radius_ft"].as_f64())
        .collect();
    assert_eq!(arcs.len(), 1);
    assert!((arcs[0] - 81.0).abs() < 1e-9, "{arcs:?}");
    let text = run_fence(&["sheet", &job]).out;
    assert!(text.contains("along an arc of radius 80.00 ft"), "{text}");
}

#[test]
fn a_run_through_a_no_build_area_is_refused() {
    let area = "[[no_build]]\nname = \"septic field\"\ncorners = [[100, 20], [125, 20], [125, 30], [100, 30]]\n\n[inside]";
    let text = fixture("jobs/town-lot.toml").replacen("[inside]", area, 1);
    let folder = Folder::new("sheet-no-build");
    let answer = run_fence(&["sheet", &folder.file("job.toml", text), "--json"]);
    assert_eq!(answer.exit, Exit::Refused);
    assert!(
        answer.err.contains("goes through septic field"),
        "{}",
        answer.err
    );
}

/// An invented lot of two yards of 60 by 60 ft joined by a neck 8 ft wide, in which no
/// line can be held 5 ft inside.
fn two_yards(stops: &str) -> String {
    let corners = [
        ("A", 0, 0),
        ("B", 60, 0),
        ("C", 60, 60),
        ("D", 34, 60),
        ("E", 34, 90),
        ("F", 60, 90),
        ("G", 60, 150),
        ("H", 0, 150),
        ("I", 0, 90),
        ("J", 26, 90),
        ("K", 26, 60),
        ("L", 0, 60),
    ];
    let pins = corners.map(|(name, north, east)| {
        format!(
            "[[pin]]\ncorner = \"{name}\"\nat = [{north}, {east}]\nsigma = \"0in\"\n\
             accepted_by = \"the owners (invented)\"\n\n"
        )
    });
    let (_, product) = CURVED.split_once("[product]").expect("a product");
    let (product, _) = product.split_once("[[route]]").expect("a route");
    format!(
        "[job]\nname = \"two yards\"\nsite = \"nowhere (invented)\"\n\n{}[inside]\neach = \"5ft\"\n\n\
         [[route]]\nname = \"east yard\"\nstops = {stops}\nyard = \"right\"\n\n[product]{product}",
        pins.concat()
    )
}

#[test]
fn a_fence_keeps_to_its_piece_of_a_line_that_splits() {
    let folder = Folder::new("sheet-pieces");
    let stops = "[{ corner = \"G\" }, { corner = \"H\" }]";
    let job = folder.file("job.toml", two_yards(stops));
    let answer = run_fence(&["sheet", &job, "--json"]);
    assert_ne!(answer.exit, Exit::Refused, "{}", answer.err);
    let sheet = answer.json();
    assert_eq!(sheet["offset"]["rings"].as_array().map(Vec::len), Some(2));
    let area = sheet["offset"]["area_sq_ft"].as_f64().expect("an area");
    assert!((area - 2.0 * 50.0 * 50.0).abs() < 1e-6, "{area}");
    let vanished = sheet["offset"]["vanished"].as_array().expect("sides");
    assert_eq!(vanished, &["D-E", "J-K"]);
    let text = run_fence(&["sheet", &job]).out;
    assert!(text.contains("is in 2 pieces"), "{text}");
    let plan = folder.path("plan.svg");
    run_fence(&["sheet", &job, "-o", &plan]);
    let plan = std::fs::read_to_string(plan).expect("a plan");
    assert_eq!(plan.matches("class=\"piece\"").count(), 2);

    // From one yard to the other no line goes.
    let stops = "[{ corner = \"B\" }, { corner = \"C\" }, { corner = \"F\" }]";
    let answer = run_fence(&["sheet", &folder.file("across.toml", two_yards(stops))]);
    answer.assert_refused(&["splits into 2 rings"]);
}
