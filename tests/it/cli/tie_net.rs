//! `fence tie` with a net of tapes.

use fence_cli::Exit;
use fence_tests::fixture_path;
use serde_json::Value;

use crate::folder::Folder;
use crate::program::{Answer, run_fence};

fn yard() -> String {
    let path = fixture_path("cli/net-back-yard.toml");
    path.to_str().expect("UTF-8").to_owned()
}

/// Runs a net given as text.
fn net(name: &str, text: &str, more: &[&str]) -> Answer {
    let folder = Folder::new(&format!("tie-net-{name}"));
    let file = folder.file("net.toml", text);
    run_fence(&[&["tie", file.as_str()], more].concat())
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("a number: {value}"))
}

const TWO: &str = "known = [{ name = \"A\", at = [0, 0] }, { name = \"B\", at = [0, 50] }]\n";

#[test]
fn a_net_is_adjusted() {
    let answer = run_fence(&["tie", &yard(), "--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}{}", answer.err, answer.out);
    let json = answer.json();
    let points = json["points"].as_array().expect("points");
    assert_eq!(points.len(), 7);
    let c = points
        .iter()
        .find(|point| point["name"] == "pin C")
        .expect("pin C");
    for (field, value) in [("north_ft", 118.4), ("east_ft", 83.1)] {
        assert!((number(&c[field]) - value).abs() < 0.1, "{c}");
    }
    for field in ["sigma_north_ft", "sigma_east_ft", "radius_95_ft"] {
        let value = number(&c[field]);
        assert!(value > 0.01 && value < 0.15, "{field} {value}");
    }
    let net = &json["net"]["answers"][0];
    assert_eq!(net["redundancy"], 5);
    assert_eq!(net["fits"], true);
    assert_eq!(net["suspects"], serde_json::json!([]));
    assert!(number(&net["condition"]) > 1.0);
    let text = run_fence(&["tie", &yard()]).out;
    assert!(text.contains("5 more than the places need"), "{text}");
    assert!(text.contains("the readings go together"), "{text}");
    assert!(text.contains("only a licensed surveyor"), "{text}");
}

#[test]
fn a_wrong_tape_is_named_with_its_size() {
    let text = std::fs::read_to_string(yard()).expect("the net");
    // Four tapes check the oak: this one reads two feet too much.
    let wrong = text.replace(
        "to = \"oak\", reads = \"59ft",
        "to = \"oak\", reads = \"61ft",
    );
    assert_ne!(text, wrong);
    let answer = net("wrong", &wrong, &[]);
    assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
    assert!(answer.out.contains("DO NOT GO TOGETHER"), "{}", answer.out);
    let suspect = "suspect: tape house SW to oak reads 2.0";
    assert!(answer.out.contains(suspect), "{}", answer.out);
    assert!(
        answer.out.contains("too much; measure it again"),
        "{}",
        answer.out
    );
}

#[test]
fn two_places_are_two_answers() {
    let readings = "distances = [{ from = \"A\", to = \"P\", reads = 30 }, { from = \"B\", to = \"P\", reads = \"40ft\" }]";
    let answer = net("two", &format!("{TWO}{readings}"), &["--json"]);
    assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
    let json = answer.json();
    assert_eq!(json["net"]["ambiguous"], serde_json::json!(["P"]));
    let points = json["points"].as_array().expect("points");
    let norths: Vec<(&str, f64)> = points
        .iter()
        .filter(|point| !point["answer"].is_null())
        .map(|point| {
            (
                point["name"].as_str().expect("a name"),
                number(&point["north_ft"]),
            )
        })
        .collect();
    assert_eq!(norths.len(), 2);
    assert!(norths[0].0 == "P-1" && norths[1].0 == "P-2");
    assert!((norths[0].1 + norths[1].1).abs() < 1e-9 && norths[0].1.abs() > 23.9);
    let side = "\nsides = [{ point = \"P\", from = \"A\", to = \"B\", side = \"right\" }]";
    let one = net("one", &format!("{TWO}{readings}{side}"), &["--json"]);
    assert_eq!(one.exit, Exit::Done, "{}", one.err);
    assert!(number(&one.json()["points"][2]["north_ft"]) < 0.0);
}

#[test]
fn corrections_are_off_unless_asked_for_and_shown_when_on() {
    let readings = "distances = [{ from = \"A\", to = \"P\", reads = \"30ft\", rise = \"3ft\" }, { from = \"B\", to = \"P\", reads = 40, reel = \"steel\" }]
sides = [{ point = \"P\", from = \"A\", to = \"B\", side = \"left\" }]
reels = [{ name = \"steel\", corrections = { temperature_deg_f = 98, weight_lb_per_ft = 0.02, pull_lb = 10, supports_apart = \"100ft\" } }]\n";
    let text = net("corrected", &format!("{TWO}{readings}"), &[]);
    assert_eq!(text.exit, Exit::Done, "{}", text.err);
    for words in [
        "corrected: tape A to P: read 30.000 ft, taken as 29.850 ft level (slope -0.1504)",
        "(temperature +0.0077, sag -0.0107)",
    ] {
        assert!(text.out.contains(words), "{}", text.out);
    }
    let json = net("corrected-json", &format!("{TWO}{readings}"), &["--json"]).json();
    let slope = &json["corrected"][0];
    assert_eq!(slope["parts"][0]["kind"], "slope");
    assert!((number(&slope["level_ft"]) - 891.0_f64.sqrt()).abs() < 1e-9);
    let plain = run_fence(&["tie", &yard(), "--json"]).json();
    assert_eq!(plain["corrected"], serde_json::json!([]));
    let options = run_fence(&[
        "tie",
        "--known",
        "A=0ft,0ft",
        "--known",
        "B=0ft,50ft",
        "--tape",
        "A=30ft",
        "--tape",
        "B=40ft",
        "--temperature",
        "-10",
        "--true-length",
        "100ft=100.05ft",
    ]);
    assert_eq!(options.exit, Exit::Done, "{}", options.err);
    let words = "tape from A: read 30.000 ft, taken as 30.000 ft level (length of the tape +0.0150, temperature -0.0151)";
    assert!(options.out.contains(words), "{}", options.out);
}

#[test]
fn bad_nets_are_refused() {
    let tapes = "distances = [{ from = \"A\", to = \"P\", reads = 30 }, { from = \"B\", to = \"P\", reads = 40 }]\n";
    for (name, text, words) in [
        (
            "hangs",
            format!("{TWO}distances = [{{ from = \"A\", to = \"P\", reads = 30 }}]"),
            "point P hangs: the readings let it move; one more tape would fix it, from B to P",
        ),
        (
            "unknown",
            format!(
                "{TWO}{tapes}sides = [{{ point = \"Q\", from = \"A\", to = \"B\", side = \"left\" }}]"
            ),
            "\"Q\" is no point of the net",
        ),
        (
            "reel",
            format!(
                "{TWO}distances = [{{ from = \"A\", to = \"P\", reads = 30, reel = \"old\" }}]"
            ),
            "no reel is called \"old\"",
        ),
        (
            "known-twice",
            format!(
                "known = [{{ name = \"A\", at = [0, 0] }}, {{ name = \"A\", at = [0, 9] }}]\n{tapes}"
            ),
            "known point \"A\" is given twice",
        ),
        (
            "known-same",
            format!(
                "known = [{{ name = \"A\", at = [0, 0] }}, {{ name = \"B\", at = [0, 0] }}]\n{tapes}"
            ),
            "are the same place",
        ),
        (
            "apart",
            format!("{TWO}{}", tapes.replace("40", "4")),
            "miss each other by 16.00 ft",
        ),
        (
            "both",
            format!("{TWO}{tapes}set = {{ name = \"f\", at = [1, 2] }}"),
            "a net has `distances`, and neither `tapes` nor `set`",
        ),
        (
            "slopes",
            format!(
                "{TWO}distances = [{{ from = \"A\", to = \"P\", reads = 30, rise = 1, grade_percent = 2 }}]"
            ),
            "give one of `rise`",
        ),
        (
            "field",
            format!("{TWO}distance = []"),
            "unknown field `distance`",
        ),
        (
            "pull",
            format!("{TWO}{tapes}corrections = {{ pull_lb = 10 }}"),
            "`pull_lb` alone corrects nothing",
        ),
    ] {
        let answer = net(name, &text, &["--json"]);
        assert_eq!(answer.exit, Exit::Refused, "{name}: {}", answer.out);
        assert!(answer.err.contains(words), "{name}: {}", answer.err);
        assert!(answer.out.is_empty(), "{name}");
    }
}

#[test]
fn a_file_may_ask_what_the_options_ask() {
    let request = format!(
        "{TWO}tapes = [{{ from = \"A\", reads = 30 }}, {{ from = \"B\", reads = 40 }}]\nside = \"left\""
    );
    let answer = net("options", &request, &["--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    assert!((number(&answer.json()["points"][0]["north_ft"]) - 24.0).abs() < 1e-9);
    let mixed = run_fence(&["tie", &yard(), "--known", "A=0,0"]);
    assert_eq!(mixed.exit, Exit::Refused);
}

#[test]
fn a_plan_shows_points_readings_and_ellipses_with_how_much_larger() {
    let folder = Folder::new("tie-net-plan");
    let plan = folder.path("net.svg");
    let answer = run_fence(&["tie", &yard(), "-o", &plan]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let svg = std::fs::read_to_string(&plan).expect("a plan");
    let tree = roxmltree::Document::parse(&svg).expect("XML");
    let text: Vec<&str> = tree.descendants().filter_map(|node| node.text()).collect();
    for words in ["pin A", "pin C", "oak", "43' 7-3/8\""] {
        assert!(
            text.iter().any(|node| node.trim() == words),
            "no {words} in {text:?}"
        );
    }
    let larger = tree
        .root_element()
        .attribute("data-ellipses-larger")
        .expect("said");
    let said = format!("95 % ellipse, drawn {larger} times its size");
    assert!(text.iter().any(|node| node.trim() == said), "no {said:?}");
    let png = run_fence(&["tie", &yard(), "-o", &folder.path("net.png")]);
    assert_eq!(png.exit, Exit::Refused);
    assert!(png.err.contains("ends in .svg"), "{}", png.err);
}
