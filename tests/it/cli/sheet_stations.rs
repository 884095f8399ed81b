//! The stations of a run on the sheet: which post stands where, and what follows it.

use fence_tests::fixture;
use serde_json::Value;

use crate::folder::Folder;
use crate::program::run_fence;

/// The town lot with panels on the face of the posts: every station stands beside
/// the section that follows it, and only a bracket at a wall begins without a post.
#[test]
fn panels_on_the_face_are_told_behind_their_posts() {
    let job = fixture("jobs/town-lot.toml")
        .replace("build = \"panels\"", "build = \"panels_on_face\"")
        .replace("full = \"92-1/2in\"", "full = \"96in\"");
    let folder = Folder::new("on-face");
    let file = folder.file("job.toml", job);
    let json = run_fence(&["sheet", &file, "--json"]).json();
    let text = run_fence(&["sheet", &file]).out;
    assert!(!text.contains("bracketed"), "{text}");
    assert!(text.contains("end to end on the posts' faces") && !text.contains("then, clear"));
    let runs = json["runs"].as_array().expect("runs");
    let count = |list: &Value| list.as_array().expect("a list").len();
    for run in runs {
        assert_eq!(count(&run["posts"]), count(&run["sections"]) + 1, "{run}");
    }
    // The row of the post that the gate hangs on, in the run it stands in.
    let gate = text.lines().find(|line| line.contains("GATE walk gate"));
    let gate = gate.expect("the gate");
    assert!(gate.contains("gate post"), "{gate}");
    let west = text
        .split("RUN ")
        .find(|run| run.starts_with("west return"));
    let rows = west.expect("the run").lines().filter(|line| {
        let row = line.trim_start();
        row.starts_with(|c: char| c.is_ascii_digit()) && row.contains(" post")
    });
    assert_eq!(rows.count(), count(&runs[0]["posts"]), "{text}");
}

/// A gate against the end of its run hangs on a post that may not be made for it.
#[test]
fn a_gate_on_an_end_post_is_told() {
    // The end post of 3-1/2 in stands 0 to 2 in off the wall: the middle of the gate is
    // then at 3-1/2 + 24 in to 5-1/2 + 24 in.
    let told = |wish: &str| {
        let window = format!("wish = \"{wish}\"\nfrom = \"{wish}\"\nto = \"{wish}\"\n");
        let job = fixture("jobs/town-lot.toml");
        let (before, after) = job.split_once("wish = \"8ft\"").expect("the gate");
        let (_, after) = after.split_once("to = \"12ft\"\n").expect("its window");
        let job = format!("{before}{window}{after}");
        let folder = Folder::new("gate-on-end");
        let file = folder.file("job.toml", job);
        let json = run_fence(&["sheet", &file, "--json"]).json();
        let checks = json["checks"].as_array().expect("checks").clone();
        checks.iter().any(|check| check["kind"] == "gate_post")
    };
    assert!(told("2ft4-1/2in"));
    assert!(!told("8ft"));
}
