//! `fence batch`.

use fence_cli::Exit;
use fence_tests::{fixture, fixture_path};
use serde_json::{Value, json};

use crate::folder::Folder;
use crate::program::{Answer, run_fence};

fn batch(name: &str, lines: impl AsRef<[u8]>) -> Answer {
    let folder = Folder::new(&format!("batch-{name}"));
    run_fence(&["batch", &folder.file("requests", lines)])
}

fn replies(answer: &Answer) -> Vec<Value> {
    answer
        .out
        .lines()
        .map(|line| serde_json::from_str(line).expect("JSON"))
        .collect()
}

fn one(name: &str, request: &Value) -> Value {
    let replies = replies(&batch(name, request.to_string()));
    assert_eq!(replies.len(), 1);
    replies[0].clone()
}

/// What a verb says by itself.
fn alone(args: &[&str]) -> Value {
    let answer = run_fence(args);
    assert_ne!(answer.exit, Exit::Refused, "{}", answer.err);
    answer.json()
}

#[test]
fn one_line_comes_out_for_each_line_in_order() {
    // More than are taken at once.
    let lines: String = (0..5000)
        .map(|i| {
            let request = json!({
                "verb": "square",
                "id": i,
                "request": { "legs": [30, 40], "diagonal": 50.0 + f64::from(i % 7) },
            });
            format!("{request}\n")
        })
        .collect();
    let answer = batch("order", lines);
    assert_eq!(answer.exit, Exit::AnswerIsNo);
    let replies = replies(&answer);
    assert_eq!(replies.len(), 5000);
    for (i, reply) in replies.iter().enumerate() {
        assert_eq!(reply["id"], json!(i));
        assert_eq!(reply["exit"], json!(i32::from(i % 7 != 0)));
    }
}

#[test]
fn a_bad_line_gives_an_error_and_stops_nothing() {
    let good = r#"{"verb":"square","id":"last","request":{"legs":[30,40],"diagonal":50}}"#;
    let bad: [&[u8]; 8] = [
        b"not JSON",
        b"",
        b"[1, 2]",
        b"\xff\xfe",
        br#"{"id":4,"request":{}}"#,
        br#"{"id":5,"verb":"no such verb","request":{}}"#,
        br#"{"id":6,"verb":"square","request":{"legs":[3,4],"diagonal":5,"diagnoal":5}}"#,
        br#"{"id":7,"verb":"square","request":{"legs":[3,4],"diagonal":50}}"#,
    ];
    let mut lines = bad.join(&b'\n');
    lines.extend(b"\n");
    lines.extend(good.as_bytes());
    let answer = batch("bad", lines);
    assert_eq!(answer.exit, Exit::Refused);
    let replies = replies(&answer);
    assert_eq!(replies.len(), bad.len() + 1);
    for (i, reply) in replies.iter().take(bad.len()).enumerate() {
        assert_eq!(reply["exit"], 2);
        let error = reply["error"].as_str().expect("an error");
        assert!(error.starts_with(&format!("line {}:", i + 1)), "{error}");
        let id = if i < 4 { Value::Null } else { json!(i) };
        assert_eq!(reply["id"], id);
    }
    let error = replies[5]["error"].as_str().expect("an error");
    assert!(
        error.contains("`square`") && error.contains("`tie`"),
        "{error}"
    );
    assert_eq!(replies[bad.len()]["id"], "last");
    assert_eq!(replies[bad.len()]["exit"], 0);
}

#[test]
fn no_lines_in_none_out() {
    let answer = batch("none", "");
    assert_eq!((answer.exit, answer.out.as_str()), (Exit::Done, ""));
}

#[test]
fn answers_are_those_of_the_verbs() {
    let square = one(
        "square",
        &json!({ "verb": "square", "request": { "legs": ["9ft", "12ft"], "diagonal": "15ft1/4in" } }),
    );
    let typed = ["square", "9ft", "12ft", "15ft1/4in", "--json"];
    assert_eq!(square["answer"], alone(&typed));

    let tie = one(
        "tie",
        &json!({ "verb": "tie", "request": {
            "known": [{ "name": "A", "at": [0, 0] }, { "name": "B", "at": [0, 60], "sigma": "0.05ft" }],
            "tapes": [{ "from": "A", "reads": "62ft4in" }, { "from": "B", "reads": "40ft" }],
        } }),
    );
    let typed = [
        "tie",
        "--known",
        "A=0ft,0ft",
        "--known",
        "B=0ft,60ft,0.05ft",
    ];
    let tapes = ["--tape", "A=62ft4in", "--tape", "B=40ft", "--json"];
    assert_eq!(tie["answer"], alone(&[&typed[..], &tapes].concat()));

    let set = one(
        "set",
        &json!({ "verb": "tie", "request": {
            "known": [
                { "name": "A", "at": [0, 0] },
                { "name": "B", "at": [0, 60] },
                { "name": "C", "at": [40, 0] },
            ],
            "set": { "name": "flag", "at": [30, 25] },
        } }),
    );
    let typed = ["tie", "--known", "A=0ft,0ft", "--known", "B=0ft,60ft"];
    let flag = ["--known", "C=40ft,0ft", "--set", "flag=30ft,25ft", "--json"];
    assert_eq!(set["answer"], alone(&[&typed[..], &flag].concat()));
}

#[test]
fn text_goes_in_place_of_files() {
    let calls = fixture("reference/purdue-five-courses.calls");
    let path = fixture_path("reference/purdue-five-courses.calls");
    let path = path.to_str().expect("UTF-8");
    let deed = one(
        "deed",
        &json!({ "verb": "deed", "request": { "calls": calls } }),
    );
    assert_eq!(deed["answer"], alone(&["deed", path, "--json"]));

    let offset = one(
        "offset",
        &json!({ "verb": "offset", "request": { "text": calls, "by": "6in" } }),
    );
    assert_eq!(
        offset["answer"],
        alone(&["offset", path, "--by", "6in", "--json"])
    );
}

#[test]
fn corners_of_a_deed_go_into_an_offset() {
    let calls = fixture("reference/lot-38-by-105.calls");
    let deed = one(
        "deed-first",
        &json!({ "verb": "deed", "request": { "calls": calls } }),
    );
    let request = json!({ "corners": deed["answer"]["corners"], "by": "4in" });
    let offset = one(
        "then-offset",
        &json!({ "verb": "offset", "request": request }),
    );
    assert_eq!(offset["exit"], 0, "{offset}");
    let text = one(
        "offset-text",
        &json!({ "verb": "offset", "request": { "text": calls, "by": "4in" } }),
    );
    assert_eq!(offset["answer"]["rings"], text["answer"]["rings"]);
}

#[test]
fn whole_jobs_go_in_as_json() {
    let job = |name: &str| -> Value {
        toml::from_str(&fixture(&format!("jobs/{name}.toml"))).expect("TOML")
    };
    let sheet = one(
        "sheet",
        &json!({ "verb": "sheet", "request": job("town-lot") }),
    );
    let path = fixture_path("jobs/town-lot.toml");
    let path = path.to_str().expect("UTF-8");
    assert_eq!(sheet["answer"], alone(&["sheet", path, "--json"]));

    let request = json!({ "job": job("town-lot"), "hand": [{ "item": "latch", "count": 1 }] });
    let takeoff = one("takeoff", &json!({ "verb": "takeoff", "request": request }));
    assert_eq!(takeoff["exit"], 1);

    // A request reads no file.
    let named = one(
        "named",
        &json!({ "verb": "sheet", "request": job("tern-hollow") }),
    );
    let error = named["error"].as_str().expect("an error");
    assert!(error.contains("deed.text"), "{error}");
}

#[test]
fn a_layout_and_a_fit_are_answered() {
    let posts = one(
        "posts",
        &json!({ "verb": "posts", "request": {
            "length": "61ft10in", "line_post": 4, "full": 92, "min_cut": 12,
            "start": { "face": 2, "post": 4 }, "end": { "face": 2, "post": 4 },
        } }),
    );
    assert_eq!(posts["answer"]["status"], "optimal", "{posts}");
    let corners = json!([
        { "name": "A", "north": 0, "east": 0 },
        { "name": "B", "north": 0, "east": 100 },
        { "name": "C", "north": 80, "east": 100 },
    ]);
    let pins = json!([
        { "corner": "A", "north": 0, "east": 0 },
        { "corner": "B", "north": 0, "east": "100ft" },
    ]);
    let fit = one(
        "fit",
        &json!({ "verb": "fit", "request": { "corners": corners, "pins": pins } }),
    );
    assert_eq!(fit["answer"]["corners"][2]["found"], false, "{fit}");
    let named = json!({ "deed": "lot.calls", "pins": pins });
    let named = one("fit-file", &json!({ "verb": "fit", "request": named }));
    assert_eq!(named["exit"], 2);
}
