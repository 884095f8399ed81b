//! `fence deed` as a person and as a program meet it.

use std::path::PathBuf;

use fence_cli::Exit;

use crate::program::{Answer, run_fence};

/// A folder of its own for one test, gone when the test ends.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let folder = std::env::temp_dir().join(format!("fence-deed-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&folder).expect("a folder");
        Self(folder)
    }

    fn path(&self, name: &str) -> String {
        self.0.join(name).to_str().expect("UTF-8").to_owned()
    }

    fn write(&self, text: &str) -> String {
        let path = self.path("lot.calls");
        std::fs::write(&path, text).expect("written");
        path
    }

    fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = std::fs::read_dir(&self.0)
            .expect("a folder")
            .map(|entry| {
                entry
                    .expect("an entry")
                    .file_name()
                    .into_string()
                    .expect("UTF-8")
            })
            .collect();
        names.sort();
        names
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// An invented lot of 60 by 100 feet.
const LOT: &str = "begin: A at N 1000 E 2000\narea: 6000 sq ft\n\
    N00-00-00E 60.00ft to B\nN90-00-00E 100.00ft to C\nS00-00-00E 60.00ft to D\nN90-00-00W 100.00ft to A\n";

fn run(name: &str, text: &str, more: &[&str]) -> Answer {
    let folder = Folder::new(name);
    let path = folder.write(text);
    let args: Vec<&str> = ["deed", path.as_str()]
        .iter()
        .chain(more)
        .copied()
        .collect();
    run_fence(&args)
}

#[test]
fn the_fixed_fields_of_a_lot_that_closes() {
    let answer = run("fields", LOT, &["--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    assert_eq!(json["courses"].as_array().expect("courses").len(), 4);
    let course = &json["courses"][1];
    assert_eq!(course["line"], 4);
    assert_eq!(course["bearing"], "N 90°00'00\" E");
    assert_eq!(course["azimuth_deg"], 90.0);
    assert_eq!(course["distance_ft"], 100.0);
    assert!(course["latitude_ft"].as_f64().expect("a number").abs() < 1e-9);
    assert_eq!(course["departure_ft"], 100.0);
    assert_eq!(json["corners"][2]["name"], "C");
    assert_eq!(json["corners"][2]["north_ft"], 1060.0);
    assert_eq!(json["corners"][2]["east_ft"], 2100.0);
    assert_eq!(json["corners"].as_array().expect("corners").len(), 4);
    assert_eq!(json["closure"]["misclosure_ft"], 0.0);
    assert!(json["closure"]["bearing"].is_null());
    assert!(json["closure"]["ratio"].is_null());
    assert_eq!(json["closure"]["perimeter_ft"], 320.0);
    let area = json["area_sq_ft"].as_f64().expect("a number");
    assert!((area - 6000.0).abs() < 1e-6);
    assert!((json["area_acres"].as_f64().expect("a number") - area / 43_560.0).abs() < 1e-12);
    assert_eq!(json["unread"], serde_json::json!([]));
    assert_eq!(json["assumed"], serde_json::json!([]));
    assert_eq!(json["balanced"]["rule"], "compass");
    assert_eq!(
        json["balanced"]["corners"]
            .as_array()
            .expect("corners")
            .len(),
        4
    );
}

#[test]
fn a_lot_that_does_not_close() {
    let text = LOT.replace("100.00ft to A", "101.00ft to A");
    let answer = run("open", &text, &["--json"]);
    assert_eq!(answer.exit, Exit::AnswerIsNo);
    let closure = &answer.json()["closure"];
    assert!((closure["misclosure_ft"].as_f64().expect("a number") - 1.0).abs() < 1e-9);
    assert!((closure["azimuth_deg"].as_f64().expect("a number") - 270.0).abs() < 1e-6);
    assert!((closure["ratio"].as_f64().expect("a number") - 321.0).abs() < 1e-6);
    assert_eq!(closure["within_rounding"], false);
    let words = run("open-words", &text, &[]);
    assert!(words.out.contains("DOES NOT CLOSE"), "{}", words.out);
}

#[test]
fn sides_that_cross_are_no_lot() {
    let text = "N 60.00ft\nS45E 84.853ft\nN 90.00ft\nS33-41-24W 108.167ft\n";
    let answer = run("crossing", text, &["--json"]);
    assert_eq!(answer.exit, Exit::AnswerIsNo);
    let problem = answer.json()["ring_problem"]
        .as_str()
        .expect("a problem")
        .to_owned();
    assert!(problem.contains("cross"), "{problem}");
}

#[test]
fn words_for_a_person_fit_a_hundred_columns_and_carry_the_cautions() {
    let answer = run("words", LOT, &[]);
    assert_eq!(answer.exit, Exit::Done);
    assert!(
        answer.out.contains("100.00 ft (100' 0\")"),
        "{}",
        answer.out
    );
    assert!(
        answer.out.contains("not a boundary survey"),
        "{}",
        answer.out
    );
    let help = run_fence(&["deed", "--help"]);
    assert!(help.out.contains("not a boundary survey"), "{}", help.out);
    for line in answer.out.lines().chain(help.out.lines()) {
        assert!(line.chars().count() <= 100, "{line}");
    }
}

#[test]
fn an_unread_line_is_shown_and_nothing_is_computed_from_a_gap() {
    let text = LOT.replace(
        "S00-00-00E 60.00ft to D",
        "thence along the creek to an oak",
    );
    let folder = Folder::new("unread");
    let (path, csv) = (folder.write(&text), folder.path("corners.csv"));
    let answer = run_fence(&["deed", &path, "--json", "-o", &csv]);
    assert_eq!(answer.exit, Exit::AnswerIsNo);
    assert_eq!(folder.names(), ["lot.calls"]);
    let json = answer.json();
    assert_eq!(json["unread"][0]["line"], 5);
    assert_eq!(
        json["unread"][0]["words"],
        "thence along the creek to an oak"
    );
    assert!(
        json["unread"][0]["problem"]
            .as_str()
            .is_some_and(|problem| !problem.is_empty())
    );
    for field in ["closure", "area_sq_ft", "area_acres", "balanced"] {
        assert!(json[field].is_null(), "{field}");
    }
    // Three calls are read; the corners end where the gap begins.
    assert_eq!(json["courses"].as_array().expect("courses").len(), 3);
    assert_eq!(json["corners"].as_array().expect("corners").len(), 3);

    let words = run_fence(&["deed", &path, "-o", &csv]);
    assert_eq!(words.exit, Exit::AnswerIsNo);
    assert!(words.out.contains("lot.calls, line 5: "), "{}", words.out);
    assert!(
        words.out.contains(
            "  5 | thence along the creek to an oak\n    |        ^^^^^^^^^^^^^^^\n    = write it like "
        ),
        "{}",
        words.out
    );
    assert!(words.out.contains("is not written"), "{}", words.out);
    assert_eq!(folder.names(), ["lot.calls"]);
}

#[test]
fn corners_go_to_a_file_whole() {
    let folder = Folder::new("csv");
    let (path, csv) = (folder.write(LOT), folder.path("corners.csv"));
    let answer = run_fence(&["deed", &path, "-o", &csv]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    assert_eq!(folder.names(), ["corners.csv", "lot.calls"]);
    assert_eq!(
        std::fs::read_to_string(&csv).expect("written"),
        "name,north_ft,east_ft\nA,1000.000000,2000.000000\nB,1060.000000,2000.000000\n\
         C,1060.000000,2100.000000\nD,1000.000000,2100.000000\n"
    );
}

#[test]
fn an_output_that_cannot_be_written_leaves_nothing() {
    let folder = Folder::new("unwritable");
    let path = folder.write(LOT);
    std::fs::create_dir(folder.0.join("taken.csv")).expect("a folder");
    for output in ["taken.csv", "missing/corners.csv", "corners.txt"] {
        let output = folder.path(output);
        let answer = run_fence(&["deed", &path, "-o", &output]);
        assert_eq!(answer.exit, Exit::Refused, "{output}");
        assert!(answer.err.contains(&output), "{}", answer.err);
        assert_eq!(answer.out, "");
    }
    assert_eq!(folder.names(), ["lot.calls", "taken.csv"]);
}

#[test]
fn input_that_is_refused() {
    let zero = LOT.replace("60.00ft to B", "0.00ft to B");
    let nan = LOT.replace("60.00ft to B", "NaN ft to B");
    let unit = LOT.replace("60.00ft to B", "60.00 cubits to B");
    let directive = format!("unit: cubits\n{LOT}");
    for (name, text, place, remedy) in [
        ("empty", "", "lot.calls", "nothing to read"),
        ("blank", " \n\n", "lot.calls", "nothing to read"),
        (
            "no-call",
            "# only a comment\nbegin: A\n",
            "lot.calls",
            "give each call",
        ),
        ("zero", zero.as_str(), "lot.calls, line 3", "write it like"),
        ("nan", nan.as_str(), "lot.calls, line 3", "write it like"),
        ("unit", unit.as_str(), "lot.calls, line 3", "write it like"),
        (
            "directive",
            directive.as_str(),
            "lot.calls, line 1",
            "write it like",
        ),
    ] {
        let folder = Folder::new(name);
        let (path, csv) = (folder.write(text), folder.path("corners.csv"));
        let answer = run_fence(&["deed", &path, "-o", &csv, "--json"]);
        assert_eq!(answer.exit, Exit::Refused, "{name}: {}", answer.out);
        assert_eq!(answer.out, "", "{name}");
        assert!(answer.err.contains(place), "{name}: {}", answer.err);
        assert!(answer.err.contains(remedy), "{name}: {}", answer.err);
        assert!(!answer.err.contains("\n\n"), "{name}: {}", answer.err);
        assert_eq!(folder.names(), ["lot.calls"], "{name}");
    }
    let missing = run_fence(&["deed", "no/such/lot.calls"]);
    assert_eq!(missing.exit, Exit::Refused);
    assert!(missing.err.contains("no/such/lot.calls"), "{}", missing.err);
}

#[test]
fn two_calls_in_a_line_are_both_read_or_both_shown() {
    let two = LOT.replace(" to B\n", " to B; ");
    let answer = run("two", &two, &["--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.out);
    let json = answer.json();
    assert_eq!(json["courses"].as_array().expect("courses").len(), 4);
    assert_eq!(json["corners"][2]["name"], "C");
    assert_eq!(json["closure"]["misclosure_ft"], 0.0);

    let more = LOT.replace(" to C\n", " to C and N1E 5ft\n");
    let answer = run("more", &more, &["--json"]);
    assert_eq!(answer.exit, Exit::AnswerIsNo);
    let json = answer.json();
    assert_eq!(json["unread"][0]["line"], 4);
    assert!(json["closure"].is_null());
    let words = run("more-words", &more, &[]).out;
    assert!(words.contains("a line of its own"), "{words}");
}

#[test]
fn prose_without_its_beginning_keeps_every_call() {
    let four = "thence N 00°10'00\" E 100.00 feet to a pin; thence S 89°50'00\" E 50.00 feet to a pin;|\
         thence S 00°10'00\" W 100.00 feet to a pin; thence N 89°50'00\" W 50.00 feet to the place of \
         beginning.";
    for text in [four.replace('|', ""), four.replace('|', "\n")] {
        let answer = run("pasted", &text, &["--json"]);
        assert_eq!(answer.exit, Exit::Done, "{}", answer.out);
        let json = answer.json();
        assert_eq!(json["courses"].as_array().expect("courses").len(), 4);
        assert_eq!(json["closure"]["misclosure_ft"], 0.0);
    }
}

#[test]
fn calls_without_a_beginning_come_back_to_where_they_end() {
    let text = LOT.lines().skip(1).collect::<Vec<_>>().join("\n");
    let answer = run("no-begin", &text, &["--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.out);
    let json = answer.json();
    assert_eq!(json["closure"]["misclosure_ft"], 0.0);
    assert_eq!(json["corners"][0]["name"], "A");
    let assumed = json["assumed"][0].as_str().expect("a sentence");
    assert!(assumed.contains("begin at A"), "{assumed}");

    let open = run("open-line", &LOT.replace("to A\n", "to Z\n"), &[]);
    assert_eq!(open.exit, Exit::AnswerIsNo);
    assert!(open.out.contains("\"begin: Z\""), "{}", open.out);
}

#[test]
fn bearings_keep_the_decimals_of_their_seconds() {
    let text = "begin: A\nN45-30-15.25E 100ft\nS 10.5 E 50ft\naz 200-00-00.5 60ft\n";
    let json = run("decimals", text, &["--json"]).json();
    let bearings: Vec<&str> = (0..3)
        .map(|i| json["courses"][i]["bearing"].as_str().expect("a bearing"))
        .collect();
    assert_eq!(
        bearings,
        ["N 45°30'15.25\" E", "S 10°30'00\" E", "S 20°00'00.5\" W"]
    );
    let given: fence_geom::Bearing = "N45-30-15.25E".parse().expect("a bearing");
    assert_eq!(bearings[0].parse(), Ok(given));
}

/// An invented lot in prose: the third distance has two digits transposed.
const SLIPPED: &str = "BEGINNING at an iron pin; thence N 10°15'20\" E 150.00 feet; thence \
    S 79°44'40\" E 118.25 feet; thence S 10°15'20\" W 105.00 feet; thence N 79°44'40\" W 118.25 feet \
    to the point of beginning, containing 17,738 square feet.";

#[test]
fn what_may_be_wrong_is_listed_with_what_else_would_close_it() {
    let answer = run("slips", SLIPPED, &["--json"]);
    assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
    let json = answer.json();
    let slip = &json["slips"][0];
    assert_eq!(slip["call"], 3);
    assert_eq!(slip["kind"], "digits transposed");
    assert_eq!(slip["figure"], "distance");
    assert_eq!(slip["before"], "105.00 ft");
    assert_eq!(slip["after"], "150.00 ft");
    assert_eq!(slip["closes"], true);
    assert_eq!(slip["area_agrees"], true);
    let search = &json["slip_search"];
    assert!(search["closing"].as_u64() >= Some(1));
    assert!(search["tried"].as_u64() > search["closing"].as_u64());

    let words = run("slips-words", SLIPPED, &[]);
    assert!(words.out.contains("What may be wrong"), "{}", words.out);
    assert!(
        words.out.contains("These are leads, no findings"),
        "{}",
        words.out
    );
    for line in words.out.lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
}

#[test]
fn a_tolerance_replaces_what_rounding_explains() {
    let answer = run("tolerance", SLIPPED, &["--json", "--tolerance", "50ft"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    assert_eq!(json["slips"], serde_json::json!([]));
    assert!(json["slip_search"].is_null());
    let words = run("tolerance-words", SLIPPED, &["--tolerance", "50ft"]);
    assert!(
        words.out.contains("within the tolerance asked for"),
        "{}",
        words.out
    );
}

#[test]
fn what_the_paper_lacks_is_solved_and_marked() {
    let text = "Beginning at a pin; thence due north 60.00 feet; thence due east 80.00 feet; thence \
                along the creek to the point of beginning.";
    let answer = run("solved", text, &["--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.out);
    let json = answer.json();
    assert!(json["closure"].is_null());
    assert_eq!(json["closed_by_construction"], true);
    let last = &json["courses"][2];
    assert_eq!(last["distance_solved"], true);
    assert!((last["distance_ft"].as_f64().expect("a number") - 100.0).abs() < 1e-9);
    let words = run("solved-words", text, &[]);
    assert!(words.out.contains("100.00 ft (100' 0\")*"), "{}", words.out);
    assert!(
        words.out.contains("Closed by construction"),
        "{}",
        words.out
    );
    let none = run("no-answer", text, &["--answer", "2"]);
    assert_eq!(none.exit, Exit::Refused);
    assert!(none.err.contains("there is no answer 2"), "{}", none.err);
}

#[test]
fn a_curve_shows_its_elements_and_is_drawn_as_an_arc() {
    let text = "Beginning at a pin; thence due north 120.00 feet; thence along a tangent curve to the \
                right with a radius of 50.00 feet and a central angle of 90°00'00\" an arc length of 78.54 feet; \
                thence due east 80.00 feet; thence due south 170.00 feet; thence due west 130.00 feet to \
                the point of beginning.";
    let folder = Folder::new("curve");
    let path = folder.write(text);
    let (svg, csv) = (folder.path("tract.svg"), folder.path("tract.csv"));
    let answer = run_fence(&["deed", &path, "--json", "-o", &svg, "-o", &csv]);
    assert_eq!(answer.exit, Exit::Done, "{}{}", answer.out, answer.err);
    let curve = &answer.json()["courses"][1]["curve"];
    assert_eq!(curve["turn"], "right");
    assert_eq!(curve["radius_ft"], 50.0);
    assert_eq!(folder.names(), ["lot.calls", "tract.csv", "tract.svg"]);
    let drawn = std::fs::read_to_string(&svg).expect("written");
    let picture = roxmltree::Document::parse(&drawn).expect("XML");
    let arcs = picture
        .descendants()
        .filter(|node| node.tag_name().name() == "path")
        .filter_map(|node| node.attribute("d"))
        .filter(|d| d.contains('A'));
    // A quarter to the right: the short way round, clockwise.
    assert_eq!(arcs.filter(|d| d.contains(" 0 0 1 ")).count(), 1);
    let corners = picture
        .descendants()
        .filter(|node| node.attribute("class") == Some("corner"));
    assert_eq!(corners.count(), 5);
    assert!(
        drawn.contains("due") || drawn.contains("N 0°00'00"),
        "calls along sides"
    );
    assert!(drawn.contains("COURSES BY NUMBER"));
    let again = run_fence(&["deed", &path, "-o", &svg]);
    assert_eq!(again.exit, Exit::Done);
    assert_eq!(std::fs::read_to_string(&svg).expect("written"), drawn);
}

#[test]
fn a_picture_shows_what_the_calls_miss_by() {
    let folder = Folder::new("gap");
    let (path, svg) = (folder.write(SLIPPED), folder.path("tract.svg"));
    let answer = run_fence(&["deed", &path, "-o", &svg]);
    assert_eq!(answer.exit, Exit::AnswerIsNo);
    let drawn = std::fs::read_to_string(&svg).expect("written");
    assert!(drawn.contains("DOES NOT CLOSE"));
    assert!(drawn.contains("misclosure 45.000 ft"));
    assert!(drawn.contains("class=\"misclosure\""));
}

#[test]
fn a_map_is_run_out_and_nothing_checks_it() {
    let text = "POLYGON ((0 0, 0 100, 60 100, 60 0, 0 0))";
    let answer = run("map", text, &["--json", "--map-unit", "feet"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    let area = json["area_sq_ft"].as_f64().expect("a number");
    assert!((area - 6_000.0).abs() < 1e-9, "{area}");
    assert!(json["closure"].is_null());
    assert_eq!(json["courses"].as_array().expect("courses").len(), 4);
    let refused = run("map-unit", text, &[]);
    assert_eq!(refused.exit, Exit::Refused);
    assert!(refused.err.contains("--map-unit"), "{}", refused.err);
}

#[test]
fn a_deed_without_a_readable_call_shows_them_all() {
    let text =
        "Beginning at a post; thence N 45°30' E 30,48 metres; thence S 44°30' E 20,00 metres.";
    let folder = Folder::new("none");
    let answer = run_fence(&["deed", &folder.write(text), "--json"]);
    assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
    let json = answer.json();
    assert_eq!(json["unread"].as_array().map(Vec::len), Some(2));
    assert_eq!(json["courses"].as_array().map(Vec::len), Some(0));
    assert!(json["closure"].is_null() && json["area_sq_ft"].is_null());
}

#[test]
fn a_strip_has_the_area_of_its_length_by_its_width() {
    let strip = "A strip of land 20 feet wide along this centerline: Beginning at a pin; thence \
                 N 10° E 300.00 feet; thence N 20° W 200.00 feet to the point of termination; \
                 containing 10,000 square feet.";
    let folder = Folder::new("strip");
    let answer = run_fence(&["deed", &folder.write(strip), "--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    assert!((json["area_sq_ft"].as_f64().expect("an area") - 10_000.0).abs() < 1e-6);
    assert_eq!(json["area_agrees"], true);

    // Without the width the area tells it.
    let open = strip.replace("A strip of land 20 feet wide along this centerline: ", "");
    let answer = run_fence(&["deed", &folder.write(&open)]);
    assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
    assert!(answer.out.contains("20.00 ft wide"), "{}", answer.out);
    assert!(!answer.out.contains("DOES NOT CLOSE"), "{}", answer.out);
}
