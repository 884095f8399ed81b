//! The locate ticket and the marks of a job, on the sheet.

use fence_cli::Exit;
use fence_tests::fixture;

use crate::folder::Folder;
use crate::program::{Answer, run_fence};

const OWNERS: &str = r#"{ name = "electric", answer = "marked" }"#;
const PRIVATE: &str = "private_lines = \"owner says none\"\n";
const MARKS_OF_ELECTRIC: &str = "no hole was kept off them";

/// The town lot with one thing replaced.
fn sheet(folder: &str, old: &str, new: &str, json: bool) -> Answer {
    let job = fixture("jobs/town-lot.toml");
    assert!(job.contains(old), "{old}");
    let folder = Folder::new(folder);
    let file = folder.file("job.toml", job.replacen(old, new, 1));
    if json {
        run_fence(&["sheet", &file, "--json"])
    } else {
        run_fence(&["sheet", &file])
    }
}

/// The head of the utility and what follows, as a private line or not at all.
fn utility() -> String {
    let job = fixture("jobs/town-lot.toml");
    let (_, after) = job.split_once("[[utility]]").expect("a utility");
    let end = after.find("\n[").unwrap_or(after.len());
    format!("[[utility]]{}", &after[..end])
}

#[test]
fn lines_that_were_marked_and_not_entered_are_not_to_be_dug_at() {
    let answer = sheet("locate-missing", &utility(), "", false);
    assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
    assert!(answer.out.contains("DO NOT DIG"), "{}", answer.out);
    let words = answer.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains(MARKS_OF_ELECTRIC), "{words}");
    // As the demo stands they are entered.
    let answer = sheet("locate-entered", OWNERS, OWNERS, false);
    assert!(!answer.out.contains("DO NOT DIG"), "{}", answer.out);
}

#[test]
fn marks_away_from_the_fence_need_not_be_entered() {
    let job = fixture("jobs/town-lot.toml")
        .replace(&utility(), "")
        .replace(OWNERS, &OWNERS.replace("marked", "away"));
    let folder = Folder::new("locate-away");
    let file = folder.file("job.toml", job);
    let answer = run_fence(&["sheet", &file]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.out);
    assert!(answer.out.contains("marked, none near"), "{}", answer.out);
    let json = run_fence(&["sheet", &file, "--json"]).json();
    assert_eq!(json["job"]["locate"]["owners"][0]["answer"], "away");
}

#[test]
fn a_mark_where_its_owner_has_no_line_is_told() {
    let clear = OWNERS.replace("marked", "clear");
    let told = |json: &serde_json::Value| {
        let checks = json["checks"].as_array().expect("checks");
        checks.iter().any(|check| check["kind"] == "locate")
    };
    let json = sheet("locate-clear", OWNERS, &clear, true).json();
    assert!(told(&json), "{json}");
    let job = fixture("jobs/town-lot.toml")
        .replace(OWNERS, &clear)
        .replace("[[utility]]\n", "[[utility]]\nowner = \"private\"\n");
    let folder = Folder::new("locate-private");
    let file = folder.file("job.toml", job);
    assert!(!told(&run_fence(&["sheet", &file, "--json"]).json()));
}

#[test]
fn private_lines_nobody_asked_about_are_told() {
    let answer = sheet("locate-not-asked", PRIVATE, "", false);
    assert!(answer.out.contains("nobody was asked"), "{}", answer.out);
    assert_eq!(answer.exit, Exit::Done, "a notice");
}
