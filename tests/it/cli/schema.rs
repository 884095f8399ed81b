//! `fence schema`: answers and requests against their schemas.

use fence_cli::Exit;
use fence_tests::{fixture, fixture_path};
use jsonschema::Validator;
use serde_json::{Value, json};

use crate::folder::Folder;
use crate::program::run_fence;

fn schema(verb: &str, part: &str) -> Value {
    let answer = run_fence(&["schema", verb, part]);
    assert_eq!(answer.exit, Exit::Done, "{verb}: {}", answer.err);
    answer.json()
}

fn validator(verb: &str, part: &str) -> Validator {
    jsonschema::validator_for(&schema(verb, part)).expect("a schema")
}

#[track_caller]
fn fits(verb: &str, part: &str, value: &Value) {
    let errors: Vec<String> = validator(verb, part)
        .iter_errors(value)
        .map(|error| format!("{}: {error}", error.instance_path))
        .collect();
    assert!(errors.is_empty(), "{verb} {part}: {errors:?}");
}

#[track_caller]
fn answers_fit(args: &[&str]) {
    let answer = run_fence(&[args, &["--json"]].concat());
    assert_ne!(answer.exit, Exit::Refused, "{}", answer.err);
    fits(args[0], "--output", &answer.json());
}

fn path(name: &str) -> String {
    let path = fixture_path(name);
    path.to_str().expect("UTF-8").to_owned()
}

#[test]
fn answers_keep_their_schemas() {
    let folder = Folder::new("schema");
    answers_fit(&["square", "30ft", "40ft", "50ft"]);
    answers_fit(&["square", "3ft", "4ft", "5ft1/16in", "--space", "40ft"]);
    answers_fit(&["deed", &path("reference/purdue-five-courses.calls")]);
    let unread = folder.file("unread.calls", "N 10 E 100ft\nsomewhere else\n");
    answers_fit(&["deed", &unread]);
    answers_fit(&["fit", &path("cli/fit-four-pins.toml")]);
    answers_fit(&[
        "offset",
        &path("reference/lot-38-by-105.calls"),
        "--by",
        "6in",
    ]);
    let known = ["--known", "A=0ft,0ft", "--known", "B=0ft,60ft"];
    answers_fit(
        &[
            &["tie"],
            &known[..],
            &["--tape", "A=50ft", "--tape", "B=50ft"],
        ]
        .concat(),
    );
    answers_fit(&[&["tie"], &known[..], &["--set", "flag=5ft,500ft"]].concat());
    answers_fit(&["tie", &path("cli/net-back-yard.toml")]);
    answers_fit(&["sheet", &path("jobs/town-lot.toml")]);
    answers_fit(&["sheet", &path("jobs/tern-hollow.toml")]);
    answers_fit(&["takeoff", &path("jobs/town-lot.toml")]);
}

#[test]
fn layouts_keep_their_schemas() {
    let folder = Folder::new("schema-posts");
    let mut request = json!({
        "length": "61ft10in", "line_post": 4, "gate_post": "6in", "full": 92, "min_cut": 12,
        "start": { "face": 2, "post": 4 }, "end": { "face": 2, "post": 4 },
        "gates": [{ "opening": "48in", "wish": "20ft" }],
        "no_dig": [["31ft", "33ft"]],
    });
    fits("posts", "--input", &request);
    answers_fit(&["posts", &folder.file("run.json", request.to_string())]);
    request["no_dig"] = json!([["0in", "61ft10in"]]);
    answers_fit(&["posts", &folder.file("none.json", request.to_string())]);
}

#[test]
fn jobs_keep_their_schema() {
    for name in ["town-lot", "tern-hollow"] {
        let job: Value = toml::from_str(&fixture(&format!("jobs/{name}.toml"))).expect("TOML");
        fits("sheet", "--input", &job);
        fits("takeoff", "--input", &json!({ "job": job }));
        fits(
            "batch",
            "--input",
            &json!({ "verb": "sheet", "id": [1], "request": job }),
        );
    }
}

#[test]
fn nets_keep_their_schema() {
    let net: Value = toml::from_str(&fixture("cli/net-back-yard.toml")).expect("TOML");
    fits("tie", "--input", &net);
    fits(
        "batch",
        "--input",
        &json!({ "verb": "tie", "request": net }),
    );
}

#[test]
fn batches_keep_their_schemas() {
    let request = json!({ "verb": "square", "request": { "legs": [3, 4], "diagonal": "5ft" } });
    let lines = format!("{request}\nnot JSON\n");
    fits("batch", "--input", &request);
    let folder = Folder::new("schema-batch");
    let answer = run_fence(&["batch", &folder.file("requests", lines)]);
    for line in answer.out.lines() {
        fits(
            "batch",
            "--output",
            &serde_json::from_str(line).expect("JSON"),
        );
    }
}

#[test]
fn a_schema_refuses_what_its_verb_refuses() {
    let square = validator("square", "--input");
    assert!(square.is_valid(&json!({ "legs": [3, "4ft"], "diagonal": 5 })));
    assert!(!square.is_valid(&json!({ "legs": [3], "diagonal": 5 })));
    assert!(!square.is_valid(&json!({ "legs": [3, 4] })));
    assert!(!square.is_valid(&json!({ "legs": [3, 4], "diagonal": 5, "diagnoal": 5 })));
    let deed = validator("deed", "--input");
    assert!(!deed.is_valid(&json!({ "calls": 7 })));
    let answer = validator("square", "--output");
    let mut good = run_fence(&["square", "3ft", "4ft", "5ft", "--json"]).json();
    assert!(answer.is_valid(&good));
    good.as_object_mut().expect("an object").remove("verdict");
    assert!(!answer.is_valid(&good));
}

#[test]
fn a_field_may_go_by_its_second_name_but_not_by_both() {
    let validator = validator("fit", "--input");
    let request = |corner: Value| json!({ "corners": [corner], "pins": [] });
    for (corner, good) in [
        (json!({ "name": "A", "north": 0, "east": 0 }), true),
        (
            json!({ "name": "A", "north_ft": 0, "east_ft": "3ft" }),
            true,
        ),
        (
            json!({ "name": "A", "north": 0, "north_ft": 0, "east": 0 }),
            false,
        ),
        (json!({ "name": "A", "north": 0 }), false),
    ] {
        assert_eq!(
            validator.is_valid(&request(corner.clone())),
            good,
            "{corner}"
        );
    }
}

#[test]
fn both_parts_are_named_and_numbered() {
    let answer = run_fence(&["schema", "deed"]);
    let both = answer.json();
    assert_eq!(both["input"], schema("deed", "--input"));
    assert_eq!(both["output"]["$id"], "urn:fence:contract:1:deed:output");
    let calls = &both["input"]["properties"]["calls"];
    assert_eq!(calls["type"], "string");
    assert!(
        calls["description"]
            .as_str()
            .expect("words")
            .contains("call table")
    );
}

#[test]
fn an_unknown_verb_is_refused_with_those_there_are() {
    let answer = run_fence(&["schema", "nothing"]);
    assert_eq!(answer.exit, Exit::Refused);
    assert!(
        answer.err.contains("square") && answer.err.contains("tie"),
        "{}",
        answer.err
    );
}
