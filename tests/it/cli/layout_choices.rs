//! What else a layout offers: least relaxations, runners-up, saw plans, and lines
//! that may move.

use fence_cli::Exit;
use fence_tests::fixture_path;
use serde_json::Value;

use crate::folder::Folder;
use crate::program::{Answer, run_fence};

fn posts(text: &str, more: &[&str]) -> Answer {
    let folder = Folder::new("layout-choices");
    let file = folder.file("run.toml", text);
    let args: Vec<&str> = ["posts", &file].iter().chain(more).copied().collect();
    run_fence(&args)
}

const INCH_TOO_LONG: &str = r#"
length = 481
line_post = 4
gate_post = 4
full = 92
min_cut = 12
start = { face = 2, post = 4 }
end = { face = 2, post = 4 }
"#;

#[test]
fn a_runner_up_says_what_it_takes_and_gives() {
    let answer = posts(INCH_TOO_LONG, &["--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let answer = answer.json();
    let first = &answer["runners_up"][0];
    assert_eq!(first["change"], "end_shift");
    assert_eq!(
        first["words"],
        "shift the start 1\" into the run: no cut instead of 2, 5 panels instead of 6"
    );
    assert_eq!(first["objective"]["cuts"], 0);
    assert_eq!(first["posts"].as_array().map(Vec::len), Some(6));
    let text = posts(INCH_TOO_LONG, &[]).out;
    assert!(
        text.contains("Worth a look:\n  shift the start 1\""),
        "{text}"
    );
}

#[test]
fn the_other_end_is_offered_where_one_hides_the_cuts() {
    let text = format!("hide = \"end\"\n{INCH_TOO_LONG}");
    let slope =
        "ground = [ { at = 0, height = 0 }, { at = 481, height = -40 } ]\nslope = { rack = 10 }\n";
    let arc = "arc = { radius = \"5280ft\", yard = \"center\" }\n";
    for more in ["", slope, arc] {
        let answer = posts(&format!("{text}{more}"), &["--json"]);
        let answer = answer.json();
        let others = answer["runners_up"].as_array().expect("a list").iter();
        let mut others = others.filter(|other| other["change"] == "hidden_end");
        let other = others.next().expect("the other end");
        let words = other["words"].as_str().expect("words");
        assert!(words.starts_with("cuts toward the start instead of the end:"));
        let kinds = |sections: &Value| -> Vec<bool> {
            let sections = sections.as_array().expect("sections").iter();
            sections.map(|section| section["kind"] == "cut").collect()
        };
        let mut mirrored = kinds(&other["sections"]);
        mirrored.reverse();
        assert_eq!(mirrored, kinds(&answer["sections"]), "{more}");
        assert_eq!(answer["runners_up_lost"], 0, "{more}");
    }
}

#[test]
fn what_would_be_enough_is_told_in_inches() {
    // A gate of 48 in against the start needs its middle at 26 in; its window ends
    // at 20 in.
    let text = INCH_TOO_LONG.to_owned() + "gates = [ { opening = 48, from = 10, to = 20 } ]\n";
    let answer = posts(&text, &["--json"]);
    assert_eq!(answer.exit, Exit::AnswerIsNo);
    let answer = answer.json();
    let least = answer["relaxations"].as_array().expect("a list");
    let window = least.iter().find(|row| row["name"] == "gates[0].window");
    let window = window.expect("the window gives by degrees");
    assert_eq!(window["by_in"], 6.0);
    assert_eq!(window["words"], "gate 1 6\" past its window");
    let text = posts(&text, &[]).out;
    assert!(text.contains("The least that would do:"), "{text}");
}

#[test]
fn a_cut_tells_what_to_saw() {
    let text = INCH_TOO_LONG.replace("481", "407")
        + "cutting = { bracket = \"1/2in\", step = 4 }\nbuild = \"panels\"\n";
    // 403 in from face to face, posts of 4 in, and panels of 92 in less whole
    // multiples of 4 in: all but the 403 are multiples of 4, so nothing fits. With
    // the end face an inch nearer, 404 - 4 x 96 = 20 in are left to cut.
    assert_eq!(posts(&text, &["--json"]).exit, Exit::AnswerIsNo);
    let text = text.replace("end = { face = 2", "end = { face_min = 1, face_max = 3");
    let answer = posts(&text, &["--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let answer = answer.json();
    let sections = answer["sections"].as_array().expect("sections");
    let cut = sections.iter().find(|section| section["kind"] == "cut");
    let cut = cut.expect("a cut");
    assert_eq!(
        (&cut["clear_in"], &cut["saw_in"]),
        (&Value::from(20.0), &Value::from(19.0))
    );
}

#[test]
fn panels_on_the_face_of_posts_reach_the_ends() {
    // Five panels of 96 in from outer edge to outer edge of the end posts, which
    // are 4 in wide and centered on flags 476 in apart.
    let text = r#"
length = 476
build = "panels_on_face"
line_post = 4
full = 96
min_cut = 12
start = { face = 2, post = 4 }
end = { face = 2, post = 4 }
"#;
    let answer = posts(text, &["--json"]).json();
    assert_eq!(answer["objective"]["cuts"], 0);
    assert_eq!(answer["sections"][0]["from_in"], -2.0);
    // The first joint is on the middle of the second post.
    assert_eq!(answer["posts"][1]["center_in"], 94.0);
    assert_eq!(answer["posts"][5]["center_in"], 476.0);
}

fn sheet(more: &[&str]) -> Answer {
    let job = fixture_path("jobs/ten-runs.toml");
    let args: Vec<&str> = ["sheet", job.to_str().expect("UTF-8")]
        .iter()
        .chain(more)
        .copied()
        .collect();
    run_fence(&args)
}

#[test]
fn lines_that_may_move_are_traded_for_cuts() {
    let answer = sheet(&["--json"]).json();
    let trades = answer["trades"].as_array().expect("trades");
    assert!(trades.len() >= 2, "{trades:?}");
    let figures = |trade: &Value| (trade["cuts"].as_i64(), trade["moved_in"].as_f64());
    for two in trades.windows(2) {
        assert!(figures(&two[0]).0 < figures(&two[1]).0);
        assert!(figures(&two[0]).1 > figures(&two[1]).1);
    }
    // The last moves nothing, and has the cuts that the runs have.
    let cuts: i64 = (answer["runs"].as_array().expect("runs").iter())
        .filter_map(|run| run["objective"]["cuts"].as_i64())
        .sum();
    assert_eq!(figures(&trades[trades.len() - 1]), (Some(cuts), Some(0.0)));
    assert_eq!(answer["runs"].as_array().map(Vec::len), Some(10));
    let text = sheet(&[]).out;
    assert!(text.contains("FOR THE OFFICE"), "{text}");
    // A gate goes by its name, and what is beside a post stands apart from it.
    assert!(
        text.contains("run 1: walk gate with an opening of 42\""),
        "{text}"
    );
    let by_hand = "line post, DIG BY HAND: electric service  full";
    assert!(text.contains(by_hand), "{text}");
}

#[test]
fn offcuts_of_one_run_serve_in_another() {
    let answer = sheet(&["--json"]).json();
    let takeoff = &answer["takeoff"];
    let panels = takeoff["sawn_panels"].as_array().expect("panels");
    assert_eq!(
        takeoff["sawn_panels_least"].as_u64(),
        Some(panels.len() as u64)
    );
    let mut cuts = 0;
    for panel in panels {
        let pieces = panel["pieces"].as_array().expect("pieces");
        let saw: f64 = pieces
            .iter()
            .filter_map(|piece| piece["saw_in"].as_f64())
            .sum();
        let kerfs = 0.125 * (pieces.len() - 1) as f64;
        // A panel is 92-1/2 in less two brackets of 1/2 in.
        assert!(saw + kerfs <= 91.5 + 1e-9, "{panel}");
        cuts += pieces.len();
    }
    assert!(panels.len() < cuts, "offcuts serve");
}

#[test]
fn openings_wider_than_the_run_are_passed_over() {
    let text = INCH_TOO_LONG.to_owned()
        + "gates = [ { opening = 48, wish = 240 } ]\ngate_openings = [ 600, 42 ]\n";
    let answer = posts(&text, &["--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
}

#[test]
fn a_run_on_its_ground_or_on_an_arc_has_runners_up() {
    let words = |text: &str| -> Vec<String> {
        let answer = posts(text, &["--json"]);
        assert_ne!(answer.exit, Exit::Refused, "{}", answer.err);
        let answer = answer.json();
        let others = answer["runners_up"].as_array().expect("a list").clone();
        for other in &others {
            let posts = other["posts"].as_array().map(Vec::len);
            let sections = other["sections"].as_array().map(Vec::len);
            assert_eq!(posts, sections.map(|count| count + 1));
        }
        (others.iter().filter_map(|other| other["words"].as_str()))
            .map(str::to_owned)
            .collect()
    };
    let level = words(INCH_TOO_LONG);
    let ground = "ground = [ { at = 0, height = 0 }, { at = 481, height = 0 } ]\n";
    assert_eq!(words(&format!("{INCH_TOO_LONG}{ground}")), level);
    // A mile of radius is straight to a step.
    let arc = "arc = { radius = \"5280ft\", yard = \"center\" }\n";
    assert_eq!(words(&format!("{INCH_TOO_LONG}{arc}")).len(), level.len());
    let slope = ground.replace("481, height = 0", "481, height = -40");
    let slope = format!("{INCH_TOO_LONG}{slope}slope = {{ rack = 10 }}\n");
    assert!(!words(&slope).is_empty());
}
