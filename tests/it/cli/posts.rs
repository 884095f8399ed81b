//! `fence posts` as a person and as a program meet it. The runs are invented.

use std::path::PathBuf;

use fence_cli::Exit;
use serde_json::{Value, json};

use crate::folder::Folder;
use crate::program::{Answer, run_fence};

/// A request file of its own for one test, gone when the test ends.
struct Request(PathBuf);

impl Request {
    fn new(name: &str, text: &str) -> Self {
        let path = std::env::temp_dir().join(format!("fence-posts-{}-{name}", std::process::id()));
        std::fs::write(&path, text).expect("written");
        Self(path)
    }

    fn ask(&self, more: &[&str]) -> Answer {
        let path = self.0.to_str().expect("UTF-8");
        let args: Vec<&str> = ["posts", path].iter().chain(more).copied().collect();
        run_fence(&args)
    }
}

impl Drop for Request {
    fn drop(&mut self) {
        let _ = std::fs::remove_file(&self.0);
    }
}

/// Every field, lengths in several spellings: a run from a wall to a flag.
const EVERY_FIELD: &str = r#"
length = "40ft6in"
build = "panels"
line_post = 4
gate_post = "6in"
full = "7ft8in"
min_cut = "1ft"
gates = [ { opening = "48in", from = "18ft", to = "22ft", wish = "20ft" } ]
start = { face_min = "0in", face_max = "3in", face_wish = "1in", post = "0in", hole = false }
end = { face = "2in", post = "4in" }
no_dig = [ ["16ft", "17ft"] ]
hand_dig = [ { from = "15ft", to = "18ft" } ]
show = [ [0, "4ft"] ]
guard = true
hide = "end"
lattice = "1/16in"
order = ["cuts", "hand_dug"]
"#;

fn ask(name: &str, text: &str) -> Answer {
    Request::new(name, text).ask(&["--json"])
}

#[test]
fn every_field_is_read_and_answered() {
    let answer = ask("every.toml", EVERY_FIELD);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    assert_eq!(json["status"], "optimal");
    assert_eq!(json["lattice_in"], 0.0625);
    assert_eq!(json["order"][0], "cuts");
    assert_eq!(json["order"][1], "hand_dug");
    assert_eq!(json["order"].as_array().map(Vec::len), Some(8));
    for field in [
        "hand_dug",
        "cuts",
        "sections",
        "changes",
        "end_steps",
        "cut_squares",
        "gate_miss",
        "cut_reach",
    ] {
        assert!(json["objective"][field].is_i64(), "{field}");
    }
    let others = json["runners_up"].as_array().expect("a list");
    assert!(!others.is_empty() && others.len() <= 5);
    for other in others {
        assert!(other["words"].is_string() && other["objective"]["cuts"].is_i64());
    }
    assert_eq!(json["relaxations"], json!([]));
    assert_eq!(json["blocking"], json!([]));
    the_run_adds_up(&json);
}

/// Faces, widths and centers of the answer follow from one another.
fn the_run_adds_up(json: &Value) {
    let number = |value: &Value| value.as_f64().expect("a number");
    let same = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} and {b}: {json}");
    let posts = json["posts"].as_array().expect("posts");
    let sections = json["sections"].as_array().expect("sections");
    assert_eq!(posts.len(), sections.len() + 1);
    assert_eq!(posts[0]["kind"], "end");
    assert_eq!(posts[0]["hole"], false);
    for (i, section) in sections.iter().enumerate() {
        let (from, to) = (number(&section["from_in"]), number(&section["to_in"]));
        same(to - from, number(&section["clear_in"]));
        assert_eq!(section["gate"].is_null(), section["kind"] != "gate");
        let [before, after] = [&posts[i], &posts[i + 1]];
        let half = |post: &Value| number(&post["width_in"]) / 2.0;
        same(number(&before["center_in"]) + half(before), from);
        same(number(&after["center_in"]) - half(after), to);
    }
    let last = number(&sections[sections.len() - 1]["to_in"]);
    same(last, 40.0 * 12.0 + 6.0 - 2.0);
}

#[test]
fn json_gives_the_same_answer_as_toml() {
    let toml = r#"
length = "480in"
line_post = "4in"
full = "92in"
min_cut = "12in"
start = { face = "2in", width = "4in" }
end = { face_min = "2in", post = "4in" }
"#;
    let json = json!({
        "length": 480, "line_post": 4.0, "full": "92in", "min_cut": 12,
        "start": { "face": 2, "post": 4 }, "end": { "face_min": "2in", "post": "4in" },
    });
    let from_toml = ask("same.toml", toml);
    // Told apart by what it holds where the name does not tell.
    let from_json = ask("same.request", &json.to_string());
    assert_eq!(from_toml.exit, Exit::Done, "{}", from_toml.err);
    assert_eq!(from_toml.out, from_json.out, "{}", from_json.err);
    assert_eq!(from_toml.json()["posts"][1]["center_in"], 96.0);
}

#[test]
fn a_person_reads_running_stations() {
    let answer = Request::new("person.toml", EVERY_FIELD).ask(&[]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    for words in ["proven", "gate 1", "post center", "one-call center", "7' "] {
        assert!(answer.out.contains(words), "{words:?} in {}", answer.out);
    }
}

#[test]
fn no_layout_is_an_answer_with_exit_1() {
    let blocked = EVERY_FIELD.replace(r#"["16ft", "17ft"]"#, r#"["2ft", "25ft"]"#);
    let request = Request::new("blocked.toml", &blocked);
    let answer = request.ask(&["--json"]);
    assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
    let json = answer.json();
    assert_eq!(json["status"], "none");
    assert_eq!(json["objective"], Value::Null);
    assert_eq!(json["posts"], json!([]));
    assert_eq!(json["blocking"][0]["name"], "no_dig[0]");
    let words = request.ask(&[]).out;
    assert!(
        words.contains("No layout") && words.contains("no_dig[0]"),
        "{words}"
    );
}

#[track_caller]
fn refused(name: &str, text: &str, words: &[&str]) {
    let answer = ask(name, text);
    assert_eq!(answer.exit, Exit::Refused, "{}", answer.out);
    assert!(answer.out.is_empty(), "{}", answer.out);
    for word in words {
        assert!(answer.err.contains(word), "{word:?} in {}", answer.err);
    }
}

#[test]
fn bad_files_are_refused_with_file_place_and_remedy() {
    let with = |old: &str, new: &str| {
        assert!(EVERY_FIELD.contains(old), "{old}");
        EVERY_FIELD.replace(old, new)
    };
    refused("empty.toml", "", &["empty.toml", "empty"]);
    refused(
        "unit.toml",
        &with("\"7ft8in\"", "\"92\""),
        &["unit.toml", "line 6", "unit"],
    );
    refused(
        "nan.toml",
        &with("\"7ft8in\"", "nan"),
        &["nan.toml", "line 6", "NaN"],
    );
    refused(
        "unknown.toml",
        &with("guard", "gaurd"),
        &["unknown.toml", "line 14", "gaurd", "`guard`", "`hand_dig`"],
    );
    refused(
        "unknown.json",
        r#"{ "lengths": 480 }"#,
        &["unknown.json", "line 1", "lengths", "`length`"],
    );
    refused(
        "missing.toml",
        &with("full = \"7ft8in\"", ""),
        &["missing.toml", "full"],
    );
    refused(
        "gate-post.toml",
        &with("gate_post = \"6in\"", ""),
        &["gate-post.toml", "`gate_post`"],
    );
    refused(
        "negative.toml",
        &with("\"7ft8in\"", "-92"),
        &["negative.toml", "`full`"],
    );
    refused(
        "wide.toml",
        &with("\"48in\"", "\"50ft\""),
        &["wide.toml", "gates[0].opening", "486"],
    );
    refused(
        "order.toml",
        &with("\"hand_dug\"", "\"cheapest\""),
        &["order.toml", "cheapest", "cut_reach"],
    );
    refused(
        "lattice.toml",
        &with("\"1/16in\"", "\"1mm\""),
        &["lattice.toml", "1/16 in"],
    );
    refused(
        "fine.toml",
        &with("\"1/16in\"", "\"1/128in\""),
        &["fine.toml", "`lattice`", "1/64"],
    );
    refused(
        "face.toml",
        &with("face = \"2in\"", "hole = true"),
        &["face.toml", "`end`", "face_min"],
    );
    refused(
        "both.toml",
        &with("face = \"2in\"", "face = \"2in\", face_max = \"3in\""),
        &["both.toml", "`end`"],
    );
    refused(
        "three.toml",
        &with("[\"16ft\", \"17ft\"]", "[1, 2, 3]"),
        &["three.toml", "line 11", "[from, to]"],
    );
    refused(
        "build.toml",
        &with("\"panels\"", "\"bricks\""),
        &["build.toml", "bricks", "stick"],
    );
    refused(
        "bracket.toml",
        &format!("{EVERY_FIELD}cutting = {{ bracket = 6 }}\n"),
        &["bracket.toml", "`cutting.bracket`", "6\"", "12\""],
    );
    refused(
        "turn.toml",
        &format!("{EVERY_FIELD}arc = {{ radius = 1000, yard = \"away\", most_turn_deg = 0 }}\n"),
        &["turn.toml", "`arc.most_turn_deg`"],
    );
    let absent = run_fence(&["posts", "/nonexistent/run.toml"]);
    assert_eq!(absent.exit, Exit::Refused);
    assert!(absent.err.contains("/nonexistent/run.toml"));
}

#[test]
fn a_plain_run_needs_no_file() {
    let typed = [
        "posts",
        "--length",
        "61ft10in",
        "--full",
        "92in",
        "--gate",
        "48in@20ft",
        "--no-dig",
        "31ft..33ft",
        "--json",
    ];
    let typed = run_fence(&typed);
    assert_eq!(typed.exit, Exit::Done, "{}", typed.err);
    let filed = ask(
        "plain.toml",
        r#"
length = "61ft10in"
line_post = "4in"
gate_post = "4in"
full = "92in"
min_cut = "12in"
start = { face = "4in", post = "4in" }
end = { face = "4in", post = "4in" }
gates = [ { opening = "48in", wish = "20ft" } ]
no_dig = [ ["31ft", "33ft"] ]
"#,
    );
    let (typed, filed) = (typed.json(), filed.json());
    assert_eq!(typed["posts"], filed["posts"]);
    assert_eq!(typed["objective"], filed["objective"]);
    assert_eq!(typed["assumed"].as_array().map(Vec::len), Some(2));
    let range = [
        "posts",
        "--length",
        "40ft",
        "--full",
        "92in",
        "--gate",
        "48in@15ft..16ft",
    ];
    assert_eq!(run_fence(&range).exit, Exit::Done);
    let refused = |args: &[&str], words: &str| {
        let args: Vec<&str> = ["posts"].iter().chain(args).copied().collect();
        let answer = run_fence(&args);
        assert_eq!(answer.exit, Exit::Refused, "{}", answer.out);
        assert!(answer.err.contains(words), "{words:?} in {}", answer.err);
    };
    refused(&[], "--length");
    refused(&["--length", "40ft"], "--full");
    refused(&["run.toml", "--full", "92in"], "cannot be used with");
    refused(&["--length", "40", "--full", "92in"], "unit");
    refused(&["--length", "-40ft", "--full", "92in"], "-40ft");
    refused(
        &["--length", "40ft", "--full", "92in", "--gate", "48in"],
        "48in@20ft",
    );
    refused(
        &["--length", "40ft", "--full", "92in", "--no-dig", "3ft"],
        "31ft..33ft",
    );
}

#[test]
fn no_post_stands_in_no_hole() {
    let without = EVERY_FIELD.replace(", hole = false", "");
    assert_ne!(without, EVERY_FIELD);
    let answer = ask("no-hole.toml", &without).json();
    assert_eq!(answer["posts"][0]["hole"], false);
    assert_eq!(answer["posts"][1]["hole"], true);
}

#[test]
fn gates_over_each_other_are_told() {
    let gates = |gates: &str| {
        let one = r#"[ { opening = "48in", from = "18ft", to = "22ft", wish = "20ft" } ]"#;
        assert!(EVERY_FIELD.contains(one));
        EVERY_FIELD.replace(one, gates)
    };
    // Fixed in place, they are refused.
    refused(
        "fixed.toml",
        &gates(
            "[ { opening = 48, from = 240, to = 240 }, { opening = 48, from = 250, to = 250 } ]",
        ),
        &[
            "fixed.toml",
            "`gates[0]` and `gates[1]`",
            "10 in apart",
            "54 in",
        ],
    );
    // With windows that are too near it is an answer.
    let overlapping =
        gates("[ { opening = 48, from = 240, to = 244 }, { opening = 48, from = 250, to = 254 } ]");
    let request = Request::new("overlapping.toml", &overlapping);
    let answer = request.ask(&[]);
    assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
    let words = "Gates 1 and 2 get in each other's way";
    assert!(answer.out.contains(words), "{}", answer.out);
    // A foot between the windows and they do not.
    let apart = overlapping.replace("250", "360").replace("254", "364");
    let apart = Request::new("apart.toml", &apart).ask(&[]);
    assert!(!apart.out.contains("each other's way"), "{}", apart.out);
}

#[test]
fn without_a_layout_no_picture_is_written_and_the_answer_is_told() {
    // 11 in between the faces, and no section so short.
    let text = r#"
length = 15
line_post = 4
full = 92
min_cut = 12
start = { face = 2, post = 4 }
end = { face = 2, post = 4 }
"#;
    let folder = Folder::new("posts-none");
    let (run, picture) = (folder.file("none.toml", text), folder.path("none.svg"));
    let answer = run_fence(&["posts", &run, "-o", &picture]);
    assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
    assert!(
        answer.out.contains("none.svg is not written"),
        "{}",
        answer.out
    );
    assert!(
        answer.out.contains("The least that would do"),
        "{}",
        answer.out
    );
    let json = run_fence(&["posts", &run, "-o", &picture, "--json"]);
    assert_eq!(json.exit, Exit::AnswerIsNo, "{}", json.err);
    assert_eq!(json.json()["status"], "none");
    assert!(!std::path::Path::new(&picture).exists());
}

#[test]
fn a_fault_in_json_is_shown_with_its_line() {
    let with = |length: &str| {
        format!(
            "{{\"length\": {length},\n \"line_post\": 4, \"full\": 92, \"min_cut\": 12,\n \"start\": {{\"face\": 2, \"post\": 4}}, \"end\": {{\"face\": 2, \"post\": 4}}}}"
        )
    };
    assert_eq!(ask("sound.json", &with("480")).exit, Exit::Done);
    refused(
        "nan.json",
        &with("NaN"),
        &["nan.json", "1 | {\"length\": NaN,", "^", "12.5"],
    );
    refused(
        "unit.json",
        &with("\"4parsecs\""),
        &["1 | {\"length\": \"4parsecs\"", "^", "ft, in"],
    );
    // Not three hundred digits.
    refused(
        "huge.json",
        &with("1e308"),
        &["1 | {\"length\": 1e308", "got 8.33"],
    );
    let huge = ask("huge.json", &with("1e308"));
    assert!(
        huge.err.lines().all(|line| line.len() < 250),
        "{}",
        huge.err
    );
    refused(
        "zero.json",
        &with("480").replace("12", "0"),
        &["`min_cut`", "real size"],
    );
}
