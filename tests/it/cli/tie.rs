//! `fence tie`.

use fence_cli::Exit;

use crate::folder::Folder;
use crate::program::run_fence;

const TWO: [&str; 5] = ["tie", "--known", "A=0,0", "--known", "B=0,50"];

fn tie(more: &[&str]) -> crate::program::Answer {
    run_fence(&[TWO.as_slice(), more].concat())
}

#[test]
fn two_tapes_give_two_places() {
    let answer = tie(&["--tape", "A=30ft", "--tape", "B=40ft", "--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    let points = json["points"].as_array().expect("points");
    assert_eq!(points.len(), 2);
    for (point, name, north) in [(&points[0], "P-left", 24.0), (&points[1], "P-right", -24.0)] {
        assert_eq!(point["name"], name);
        assert!((point["north_ft"].as_f64().expect("north") - north).abs() < 1e-9);
        assert!((point["east_ft"].as_f64().expect("east") - 18.0).abs() < 1e-9);
        for field in ["sigma_north_ft", "sigma_east_ft"] {
            let sigma = point[field].as_f64().expect(field);
            assert!(sigma > 0.009 && sigma < 0.02, "{field} {sigma}");
        }
    }
    let one = tie(&[
        "--tape", "A=30ft", "--tape", "B=40ft", "--side", "right", "--name", "tree", "--json",
    ]);
    let points = one.json()["points"].clone();
    assert_eq!(points.as_array().expect("points").len(), 1);
    assert_eq!(points[0]["name"], "tree");
    assert!(points[0]["north_ft"].as_f64().expect("north") < 0.0);
}

#[test]
fn tapes_that_just_reach_have_no_doubt_to_tell() {
    let answer = tie(&["--tape", "A=20", "--tape", "B=30", "--json"]);
    let points = answer.json()["points"].clone();
    assert_eq!(points.as_array().expect("points").len(), 1);
    assert_eq!(points[0]["sigma_north_ft"], serde_json::Value::Null);
}

#[test]
fn a_point_is_set_by_its_best_two_tapes() {
    let answer = tie(&["--known", "C=60,0", "--set", "flag=24,18"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    assert!(answer.out.contains("read 30' 0\""), "{}", answer.out);
    assert!(answer.out.contains("check   C"), "{}", answer.out);
    let json = tie(&["--known", "C=60,0", "--set", "flag=24,18", "--json"]).json();
    assert_eq!(json["points"][0]["name"], "flag");
    assert_eq!(json["set_by"]["tapes"][0]["from"], "A");
    assert_eq!(json["set_by"]["tapes"][1]["from"], "B");
    assert_eq!(json["set_by"]["check"]["from"], "C");
}

#[test]
fn no_tapes_is_an_answer_with_reasons() {
    let answer = tie(&["--set", "flag=0,25", "--json"]);
    assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
    let json = answer.json();
    assert_eq!(json["set_by"], serde_json::Value::Null);
    assert_eq!(json["points"][0]["name"], "flag");
    let why = json["no_tie_because"][0].as_str().expect("a reason");
    assert!(why.contains("180 degrees"), "{why}");
    let behind = tie(&["--set", "flag=24,18", "--blocked", "10,-5;10,45"]);
    assert_eq!(behind.exit, Exit::AnswerIsNo);
    assert!(
        behind.out.contains("crosses a building or wall"),
        "{}",
        behind.out
    );
}

#[test]
fn bad_ties_are_refused() {
    for (more, words) in [
        (
            ["--tape", "A=10", "--tape", "B=30"].as_slice(),
            "10.000 ft shorter",
        ),
        (&["--tape", "A=90", "--tape", "B=30"], "10.000 ft more"),
        (&["--tape", "A=10"], "1 tapes given"),
        (&["--tape", "A=10", "--tape", "Z=30"], "known are A, B"),
        (&["--tape", "A=NaN", "--tape", "B=30"], "NaN"),
        (&["--tape", "A=10kg", "--tape", "B=30"], "10kg"),
        (&["--tape", "10", "--tape", "B=30"], "no name"),
        (
            &["--known", "A=5,5", "--set", "P=1,1"],
            "two known points are called A",
        ),
        (&["--known", "C=5", "--set", "P=1,1"], "NORTH,EAST"),
        (&["--set", "P=1,nan"], "nan"),
        (&["--set", "P=1,1", "--blocked", "3,3"], "one place only"),
        (&["--set", "P=1,1", "--least-angle", "95"], "less than 90"),
        (
            &["--known", "C=0,0", "--tape", "A=1", "--tape", "C=1"],
            "same place",
        ),
    ] {
        let answer = tie(more);
        assert_eq!(answer.exit, Exit::Refused, "{more:?}: {}", answer.out);
        assert!(answer.out.is_empty(), "{more:?}: {}", answer.out);
        assert!(answer.err.contains(words), "{more:?}: {}", answer.err);
    }
}

#[test]
fn a_point_without_a_net_is_not_drawn() {
    let folder = Folder::new("tie-no-picture");
    let picture = folder.path("tie.svg");
    let known = ["--known", "A=0,0", "--known", "B=0,40"];
    let tapes = ["--tape", "A=30ft", "--tape", "B=50ft"];
    let args = [&["tie"][..], &known, &tapes, &["-o", &picture]].concat();
    run_fence(&args).assert_refused(&["--output", "net"]);
    assert!(!std::path::Path::new(&picture).exists());
}
