//! `fence takeoff`.

use fence_cli::Exit;
use fence_tests::{fixture, fixture_path};
use serde_json::{Value, json};

use crate::folder::Folder;
use crate::program::{Answer, run_fence};

fn takeoff(args: &[&str]) -> Answer {
    let job = fixture_path("jobs/town-lot.toml");
    let mut all = vec!["takeoff", job.to_str().expect("UTF-8")];
    all.extend(args);
    run_fence(&all)
}

/// The list of a job as CSV, as somebody might have written it by hand.
fn as_csv(answer: &Value) -> String {
    let items = answer["items"].as_array().expect("items");
    let lines = items.iter().map(|item| {
        let name = item["item"].as_str().expect("a name").replace('"', "\"\"");
        format!("\"{name}\",{}\n", item["order"])
    });
    std::iter::once("item,count\n".to_owned())
        .chain(lines)
        .collect()
}

#[test]
fn posts_and_panels_are_those_of_the_sheet() {
    let list = takeoff(&["--json"]).json();
    let job = fixture_path("jobs/town-lot.toml");
    let sheet = run_fence(&["sheet", job.to_str().expect("UTF-8"), "--json"]).json();
    assert_eq!(sheet["takeoff"]["items"], list["items"]);
    let mut sections = 0;
    for run in sheet["runs"].as_array().expect("runs") {
        let all = run["sections"].as_array().expect("sections");
        sections += all.iter().filter(|one| one["kind"] != "gate").count();
    }
    let panels = list["items"].as_array().expect("items").iter();
    let panels = panels.clone().find(|item| item["item"] == "panel");
    assert_eq!(panels.expect("panels")["order"], json!(sections));
}

#[test]
fn the_same_list_has_no_differences() {
    let list = takeoff(&["--json"]).json();
    let folder = Folder::new("takeoff-same");
    let hand = folder.file(
        "hand.csv",
        as_csv(&list)
            .to_uppercase()
            .replace("ITEM,COUNT", "item,count"),
    );
    let answer = takeoff(&["--hand", &hand, "--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}{}", answer.out, answer.err);
    assert_eq!(answer.json()["differences"], json!([]));
}

#[test]
fn each_line_that_differs_is_shown() {
    let list = takeoff(&["--json"]).json();
    let folder = Folder::new("takeoff-differs");
    let csv = as_csv(&list)
        .replace("\"latch\",1\n", "")
        .replace("\"end post\",2", "\"end post\",3")
        + "string,2\n";
    let hand = folder.file("hand.csv", csv);
    let answer = takeoff(&["--hand", &hand, "--json"]);
    assert_eq!(answer.exit, Exit::AnswerIsNo);
    let expected = json!([
        { "item": "end post", "computed": 2, "by_hand": 3 },
        { "item": "latch", "computed": 1, "by_hand": 0 },
        { "item": "string", "computed": 0, "by_hand": 2 },
    ]);
    assert_eq!(answer.json()["differences"], expected);
    let text = takeoff(&["--hand", &hand]).out;
    assert!(text.contains("THE LISTS DIFFER"), "{text}");
}

#[test]
fn without_a_list_there_are_no_differences_to_tell() {
    let answer = takeoff(&["--json"]);
    assert_eq!(answer.exit, Exit::Done);
    assert_eq!(answer.json()["differences"], Value::Null);
}

#[test]
fn a_run_without_a_layout_is_no_complete_count() {
    let text =
        fixture("jobs/town-lot.toml").replacen("opening = \"48in\"", "opening = \"15ft\"", 1);
    let folder = Folder::new("takeoff-no-layout");
    let job = folder.file("job.toml", text);
    let answer = run_fence(&["takeoff", &job, "--json"]);
    assert_eq!(answer.exit, Exit::AnswerIsNo);
    assert_eq!(answer.json()["uncounted_runs"], json!(["west return"]));
    // The sheet says so beside its material, and the plan on its face.
    let sheet = run_fence(&["sheet", &job]).out;
    let (_, material) = sheet.split_once("MATERIAL").expect("the material");
    assert!(
        material.contains("NOT COUNTED: run \"west return\""),
        "{material}"
    );
    let plan = folder.path("plan.svg");
    assert_eq!(
        run_fence(&["sheet", &job, "-o", &plan]).exit,
        Exit::AnswerIsNo
    );
    let plan = std::fs::read_to_string(plan).expect("the plan");
    assert!(plan.contains("STOP AND SETTLE FIRST"));
    assert!(plan.contains("no layout: west return"));
}

#[test]
fn a_list_that_can_not_be_read_is_refused() {
    for (name, text, words) in [
        ("empty", "", "is empty"),
        ("no-heading", "line post,20\n", "write item,count"),
        ("comment", "# nothing\n", "nothing is listed"),
        (
            "comma",
            "item,count\ngate, 48 in opening,1\n",
            "line 2 has 3 columns",
        ),
        (
            "part",
            "item,count\nconcrete,74.17\n",
            "\"74.17\" is not a count",
        ),
        ("negative", "item,count\nlatch,-1\n", "line 2"),
        ("nameless", "item,count\n,4\n", "without an item"),
    ] {
        let folder = Folder::new(&format!("takeoff-{name}"));
        let answer = takeoff(&["--hand", &folder.file("hand.csv", text)]);
        assert_eq!(answer.exit, Exit::Refused, "{name}");
        assert!(answer.err.contains(words), "{name}: {}", answer.err);
        assert_eq!(answer.out, "", "{name}");
    }
}
