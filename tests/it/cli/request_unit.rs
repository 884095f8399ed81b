//! Requests whose bare numbers are in a unit of their own.

use fence_cli::Exit;
use serde_json::{Value, json};

use crate::folder::Folder;
use crate::program::run_fence;

/// The one reply to a request, through `fence batch`.
fn reply(verb: &str, request: &Value) -> Value {
    let folder = Folder::new(&format!("unit-{verb}"));
    let line = json!({ "verb": verb, "request": request }).to_string();
    run_fence(&["batch", &folder.file("requests", line)]).json()
}

fn in_unit(mut request: Value, unit: &str) -> Value {
    request["unit"] = json!(unit);
    request
}

#[test]
fn numbers_are_in_the_unit_of_the_request() {
    // 9.144 m are 30 ft; text keeps its own unit.
    let metric = json!({ "legs": [9.144, 12.192], "diagonal": "50ft6in", "run": 18.288 });
    let feet = json!({ "legs": [30, 40], "diagonal": "50ft6in", "run": 60 });
    let answer = reply("square", &in_unit(metric, "m"));
    let error = answer["answer"]["diagonal_error_in"]
        .as_f64()
        .expect("a number");
    assert!((error - 6.0).abs() < 1e-6, "{answer}");
    assert_eq!(
        reply("square", &feet)["answer"]["verdict"],
        answer["answer"]["verdict"]
    );

    let lot = |size: f64| {
        let at = |name: &str, n: f64, e: f64| json!({ "name": name, "north": n * size, "east": e * size });
        let corners = [
            at("A", 0.0, 0.0),
            at("B", 0.0, 6.0),
            at("C", 4.0, 6.0),
            at("D", 4.0, 0.0),
        ];
        json!({ "corners": corners, "by": size / 20.0 })
    };
    let survey = reply("offset", &in_unit(lot(10.0), "us-ft"));
    let area = survey["answer"]["area_sq_ft"].as_f64().expect("a number");
    let us_foot = 500_000.0 / 499_999.0;
    assert!(
        (area - 39.0 * 59.0 * us_foot * us_foot).abs() < 1e-6,
        "{survey}"
    );

    let tie = |unit: &str, north: f64| {
        let known = [
            json!({ "name": "A", "at": [0, 0] }),
            json!({ "name": "B", "at": [north, 0] }),
        ];
        let tapes = json!([{ "from": "A", "reads": 3 }, { "from": "B", "reads": 4 }]);
        in_unit(
            json!({ "known": known, "tapes": tapes, "side": "left" }),
            unit,
        )
    };
    let chains = reply("tie", &tie("ch", 5.0));
    let north = chains["answer"]["points"][0]["north_ft"]
        .as_f64()
        .expect("a number");
    assert!((north - 1.8 * 66.0).abs() < 0.001, "{chains}");
}

#[test]
fn posts_are_in_inches_unless_the_request_says_otherwise() {
    let run = |of: f64| {
        json!({
            "length": 240.0 * of, "line_post": 4.0 * of, "full": 92.0 * of, "min_cut": 12.0 * of,
            "start": { "face": 2.0 * of, "post": 4.0 * of },
            "end": { "face": 2.0 * of, "post": 4.0 * of },
            "lattice": "1/4in"
        })
    };
    let (inches, feet) = (
        reply("posts", &run(1.0)),
        reply("posts", &in_unit(run(1.0 / 12.0), "ft")),
    );
    assert_eq!(inches["exit"], 0, "{inches}");
    assert_eq!(inches["answer"]["posts"], feet["answer"]["posts"]);
}

#[test]
fn a_unit_that_is_none_and_one_that_contradicts_a_name_are_refused() {
    let folder = Folder::new("unit-refused");
    let refused = |name: &str, text: &str, words: &str| {
        let answer = run_fence(&["tie", &folder.file(name, text), "--json"]);
        assert_eq!(answer.exit, Exit::Refused, "{}", answer.out);
        assert!(answer.err.contains(words), "{}", answer.err);
    };
    refused("tie.toml", "unit = \"cubits\"\ntapes = []\n", "unit");
    let corners =
        json!({ "unit": "m", "by": 1, "corners": [{ "name": "A", "north_ft": 0, "east_ft": 0 }] });
    let reply = reply("offset", &corners);
    assert_eq!(reply["exit"], 2);
    assert!(
        reply["error"]
            .as_str()
            .is_some_and(|it| it.contains("in feet by its name")),
        "{reply}"
    );
}
