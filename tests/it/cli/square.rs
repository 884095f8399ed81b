//! `fence square`.

use fence_cli::Exit;

use crate::program::run_fence;

fn number(json: &serde_json::Value, field: &str) -> f64 {
    json[field]
        .as_f64()
        .unwrap_or_else(|| panic!("{field} of {json}"))
}

#[test]
fn a_square_corner_has_the_fixed_fields() {
    let answer = run_fence(&["square", "30", "40", "50", "--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    assert!((number(&json, "angle_deg") - 90.0).abs() < 1e-9);
    // Root 2 x 5 / (12 u) x 1/8 in, u = 10 ft.
    let sigma = (2.0_f64.sqrt() * 5.0 / 120.0 * (0.125 / 12.0)).to_degrees();
    assert!((number(&json, "angle_sigma_deg") - sigma).abs() < 1e-6);
    assert!(number(&json, "diagonal_error_in").abs() < 1e-9);
    assert_eq!(json["verdict"], "square");
    assert_eq!(json["correction"], serde_json::Value::Null);
}

#[test]
fn a_corner_out_of_square_says_what_to_move() {
    let answer = run_fence(&[
        "square", "30ft", "40ft", "50ft6in", "--run", "60ft", "--json",
    ]);
    assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
    let json = answer.json();
    assert_eq!(json["verdict"], "out");
    assert!((number(&json, "diagonal_error_in") - 6.0).abs() < 1e-9);
    assert_eq!(json["correction"]["way"], "toward");
    let words = run_fence(&["square", "30ft", "40ft", "50ft6in", "--run", "60ft"]);
    assert!(words.out.starts_with("OUT OF SQUARE"), "{}", words.out);
    assert!(words.out.contains("licensed surveyor"), "{}", words.out);
}

#[test]
fn an_undecided_corner_names_larger_legs() {
    let answer = run_fence(&["square", "3", "4", "5", "--space", "25", "--json"]);
    assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
    let json = answer.json();
    assert_eq!(json["verdict"], "undecided");
    assert_eq!(json["fitting_legs"]["first_leg_ft"], 18.0);
    assert_eq!(json["fitting_legs"]["second_leg_ft"], 24.0);
    assert_eq!(json["deciding_legs"]["diagonal_ft"], 30.0);
    assert_eq!(json["deciding_legs"]["decides"], true);
}

#[test]
fn other_angles_and_tolerances_are_taken() {
    let answer = run_fence(&[
        "square",
        "20",
        "20",
        "20",
        "--angle",
        "60",
        "--tolerance",
        "1in",
        "--json",
    ]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    assert!((number(&json, "angle_deg") - 60.0).abs() < 1e-9);
    assert!((number(&json, "tolerance_in") - 1.0).abs() < 1e-9);
    // A worse reading leaves the same corner undecided.
    let worse = run_fence(&[
        "square",
        "20",
        "20",
        "20",
        "--angle",
        "60",
        "--tolerance",
        "1in",
        "--reading-sigma",
        "1in",
        "--scale",
        "1:1000",
        "--json",
    ]);
    assert_eq!(worse.json()["verdict"], "undecided");
}

/// Each refusal names the value and what to do, and leaves nothing on the output.
#[test]
fn bad_readings_are_refused() {
    for (args, words) in [
        (["square", "3", "4", "8"].as_slice(), "1.000 ft longer"),
        (&["square", "8", "4", "3"], "first leg reads 8.000"),
        (&["square", "0", "4", "4"], "the first leg is zero"),
        (&["square", "NaN", "4", "5"], "NaN"),
        (&["square", "inf", "4", "5"], "inf"),
        (&["square", "-3", "4", "5"], "-3"),
        (&["square", "3kg", "4", "5"], "3kg"),
        (&["square", "", "4", "5"], "length"),
        (&["square", "3", "4"], "DIAGONAL"),
        (&["square", "3", "4", "5", "--angle", "180"], "180 degrees"),
        (&["square", "3", "4", "5", "--angle", "0"], "0 degrees"),
        (&["square", "3", "4", "5", "--run", "0"], "the run is zero"),
        (&["square", "3", "4", "5", "--scale", "1:0"], "1:5000"),
        (&["square", "3", "4", "5", "--scale", "nan"], "1:5000"),
    ] {
        let answer = run_fence(args);
        assert_eq!(answer.exit, Exit::Refused, "{args:?}: {}", answer.out);
        assert!(answer.out.is_empty(), "{args:?}: {}", answer.out);
        assert!(answer.err.contains(words), "{args:?}: {}", answer.err);
    }
}

#[test]
fn help_shows_the_spelling_without_quotes_first() {
    let help = run_fence(&["square", "--help"]).out;
    let plain = help.find("12ft6-1/2in").expect("the plain spelling");
    assert!(
        help.find("9' 0").is_none_or(|quoted| plain < quoted),
        "{help}"
    );
    assert!(help.contains("one-call"), "{help}");
}

#[test]
fn readings_in_one_line_are_told_from_a_corner() {
    // 30 and 40 ft end to end: far from square, whatever the tape reads.
    for diagonal in ["70", "10"] {
        let answer = run_fence(&["square", "30", "40", diagonal, "--json"]);
        assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
        assert_eq!(answer.json()["verdict"], "out", "{diagonal}");
    }
    // An angle of 178 degrees may read straight.
    let wide = run_fence(&["square", "5", "5", "10", "--angle", "178", "--json"]);
    assert_eq!(wide.json()["verdict"], "undecided", "{}", wide.out);
}

#[test]
fn readings_that_make_no_triangle_do_not_say_which_is_wrong() {
    let answer = run_fence(&["square", "30", "40", "5"]);
    answer.assert_refused(&["the second leg", "5.000", "measure all three again"]);
}
