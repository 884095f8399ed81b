//! `fence offset` as a person meets it.

use std::path::PathBuf;

use fence_cli::Exit;

use crate::program::{Answer, run_fence};

/// An invented lot with a notch; a fresh folder for each test.
const LOT: &str = "\
# an invented lot
name,east_ft,north_ft
A,0,0
B,0,100
M,30,100
C,60,100
D,60,40
E,40,40
F,40,0
";

struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let folder =
            std::env::temp_dir().join(format!("fence-offset-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&folder).expect("a folder");
        Self(folder)
    }

    fn file(&self, name: &str, text: &str) -> String {
        let path = self.0.join(name);
        std::fs::write(&path, text).expect("a file");
        path.to_str().expect("UTF-8").to_owned()
    }

    fn names(&self) -> Vec<String> {
        std::fs::read_dir(&self.0)
            .expect("a folder")
            .map(|entry| {
                entry
                    .expect("an entry")
                    .file_name()
                    .to_string_lossy()
                    .into_owned()
            })
            .collect()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn offset(folder: &Folder, text: &str, args: &[&str]) -> Answer {
    let file = folder.file("lot.csv", text);
    let all: Vec<&str> = ["offset", &file]
        .into_iter()
        .chain(args.iter().copied())
        .collect();
    run_fence(&all)
}

/// Asserts a refusal that says all of `words`, in one paragraph, with nothing
/// answered or written.
#[track_caller]
fn refused(name: &str, text: &str, args: &[&str], words: &[&str]) {
    let folder = Folder::new(name);
    let written = folder.0.join("flags.csv");
    let written = written.to_str().expect("UTF-8");
    let args: Vec<&str> = args.iter().copied().chain(["-o", written]).collect();
    let answer = offset(&folder, text, &args);
    assert_eq!(answer.exit, Exit::Refused, "{}", answer.out);
    assert_eq!(answer.out, "");
    assert!(
        !answer.err.trim_end().contains("\n\n") || answer.err.contains("--help"),
        "{}",
        answer.err
    );
    for word in words {
        assert!(answer.err.contains(word), "no {word:?} in: {}", answer.err);
    }
    assert_eq!(folder.names(), ["lot.csv"]);
}

#[test]
fn the_fixed_fields_are_there() {
    let folder = Folder::new("fields");
    let answer = offset(
        &folder,
        LOT,
        &["--by", "6in", "--side", "M-C=3ft", "--json"],
    );
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    let ring = json["rings"][0].as_array().expect("a ring");
    assert_eq!(ring.len(), 8);
    assert_eq!(json["ring_roles"], serde_json::json!(["outer"]));
    // 59 by 99 less the notch of 20 by 40 and the strip of 2.5 by 29.5.
    let area = 59.0 * 99.0 - 20.0 * 40.0 - 2.5 * 29.5;
    assert!((json["area_sq_ft"].as_f64().expect("an area") - area).abs() < 1e-9);
    assert!((json["perimeter_ft"].as_f64().expect("a length") - 316.0).abs() < 1e-9);
    let jog = &json["corners"][3];
    assert_eq!(
        (jog["name"].as_str(), jog["join"].as_str()),
        (Some("M'"), Some("jog"))
    );
    assert!((jog["angle_deg"].as_f64().expect("an angle") - 270.0).abs() < 1e-9);
    assert!((ring[3]["north_ft"].as_f64().expect("feet") - 97.0).abs() < 1e-9);
}

#[test]
fn a_person_reads_feet_and_inches_and_the_cautions() {
    let folder = Folder::new("text");
    let answer = offset(&folder, LOT, &["--by", "6in"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    for words in [
        "Offset line: 316.00 ft around",
        "8-1/2\"    90.000°",
        "not a boundary survey",
        "times these distances side",
        "off the end of that side",
    ] {
        assert!(
            answer.out.contains(words),
            "no {words:?} in:\n{}",
            answer.out
        );
    }
}

#[test]
fn flags_written_read_back_as_a_lot() {
    let folder = Folder::new("csv");
    let flags = folder.0.join("flags.csv");
    let flags = flags.to_str().expect("UTF-8");
    assert_eq!(
        offset(&folder, LOT, &["--by", "2ft", "-o", flags]).exit,
        Exit::Done
    );
    let back = run_fence(&["offset", flags, "--by", "2ft", "--outside", "--json"]);
    let area = back.json()["area_sq_ft"].as_f64().expect("an area");
    assert!((area - 5200.0).abs() < 1e-3, "{area}");
}

#[test]
fn meters_and_both_directions_give_the_same() {
    let folder = Folder::new("meters");
    let metric = "north_m,east_m\n0,0\n0,30.48\n30.48,30.48\n30.48,0\n";
    let answer = offset(&folder, metric, &["--by", "1ft", "--json"]).json();
    assert!((answer["area_sq_ft"].as_f64().expect("an area") - 98.0 * 98.0).abs() < 1e-6);
    assert_eq!(
        answer["assumed"][0],
        "corners without a name are numbered in order"
    );
}

#[test]
fn a_deed_is_a_lot_too() {
    let folder = Folder::new("deed");
    let calls = folder.file(
        "lot.calls",
        "north 100ft\neast 60ft\nsouth 100ft\nwest 60ft to the beginning\n",
    );
    let answer = run_fence(&["offset", &calls, "--by", "1ft", "--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let area = answer.json()["area_sq_ft"].as_f64().expect("an area");
    assert!((area - 98.0 * 58.0).abs() < 1e-6);
}

#[test]
fn a_ring_that_crosses_itself_says_where() {
    let crossed = "name,north_ft,east_ft\nA,0,0\nB,10,10\nC,10,0\nD,0,20\n";
    refused(
        "crossed",
        crossed,
        &["--by", "1ft"],
        &["A-B and C-D cross", "N 6.67 E 6.67"],
    );
}

#[test]
fn too_few_corners() {
    let two = "name,north_ft,east_ft\nA,0,0\nB,10,10\n";
    refused(
        "few",
        two,
        &["--by", "1ft"],
        &["at least three corners, got 2"],
    );
}

#[test]
fn three_pins_in_line() {
    let line = "name,north_ft,east_ft\nA,0,0\nB,10,10\nC,20,20\n";
    refused(
        "line",
        line,
        &["--by", "1ft"],
        &["A, B, C lie in one straight line"],
    );
}

#[test]
fn what_is_not_a_number() {
    for (i, words) in ["NaN", "inf", "12ft", ""].iter().enumerate() {
        let text = format!("name,north_ft,east_ft\nA,0,0\nB,10,0\nC,{words},5\n");
        refused(
            &format!("nan{i}"),
            &text,
            &["--by", "1ft"],
            &["lot.csv, line 4:", "write it like"],
        );
    }
    refused(
        "by-nan",
        LOT,
        &["--by", "NaN"],
        &["can't read \"NaN\" as a length"],
    );
    refused(
        "by-unit",
        LOT,
        &["--by", "2furlongs"],
        &["can't read", "write it like"],
    );
}

#[test]
fn a_wrong_or_missing_unit() {
    let no_unit = "name,north,east\nA,0,0\nB,10,0\nC,10,5\n";
    refused(
        "unit",
        no_unit,
        &["--by", "1ft"],
        &["line 1:", "north_ft", "_m"],
    );
    let other = "name,north_yd,east_yd\nA,0,0\nB,10,0\nC,10,5\n";
    refused("yards", other, &["--by", "1ft"], &["\"north_yd\""]);
    let mixed = "name,north_ft,east_m\nA,0,0\nB,10,0\nC,10,5\n";
    refused("mixed", mixed, &["--by", "1ft"], &["two units"]);
}

#[test]
fn an_empty_file() {
    refused("empty", " \n", &["--by", "1ft"], &["is empty"]);
}

#[test]
fn a_corner_twice() {
    let twice = "name,north_ft,east_ft\nA,0,0\nB,10,0\nC,10,5\nA,0,1\n";
    refused(
        "twice",
        twice,
        &["--by", "1ft"],
        &["two corners are called \"A\""],
    );
}

#[test]
fn corners_at_one_place_are_one_and_that_is_said() {
    let folder = Folder::new("repeats");
    let closed = "name,north_ft,east_ft\nA,0,0\nB,10,0\nB2,10,0\nC,10,5\nD,0,5\nA,0,0\n";
    let json = offset(&folder, closed, &["--by", "1ft", "--json"]).json();
    assert_eq!(json["rings"][0].as_array().expect("a ring").len(), 4);
    assert!((json["area_sq_ft"].as_f64().expect("an area") - 24.0).abs() < 1e-9);
    assert_eq!(
        json["assumed"],
        serde_json::json!([
            "B and B2 are at the same place: taken as one corner, B",
            "A is listed again at the same place: taken as one corner"
        ])
    );
}

#[test]
fn more_than_the_lot_holds() {
    refused(
        "wide",
        LOT,
        &["--by", "31ft"],
        &["nothing is left of the lot", "less than"],
    );
}

/// Two rooms of 40 by 40 joined by a neck 10 wide.
const ROOMS: &str = "\
name,north_ft,east_ft
A,0,0
B,40,0
C,40,15
E,60,15
F,60,0
G,100,0
H,100,40
I,60,40
J,60,25
K,40,25
L,40,40
M,0,40
";

#[test]
fn a_line_that_splits_is_an_answer_in_pieces() {
    let folder = Folder::new("split");
    let answer = offset(&folder, ROOMS, &["--by", "6ft", "--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    assert_eq!(json["ring_roles"], serde_json::json!(["outer", "outer"]));
    assert_eq!(json["pieces"], 2);
    assert!((json["area_sq_ft"].as_f64().expect("an area") - 2.0 * 28.0 * 28.0).abs() < 1e-9);
    let vanished = json["vanished"].as_array().expect("sides");
    assert!(vanished.contains(&"C-E".into()) && vanished.contains(&"J-K".into()));
    let text = offset(&folder, ROOMS, &["--by", "6ft"]).out;
    assert!(text.contains("The line splits: 2 pieces"), "{text}");
    assert!(text.contains("C-E, J-K vanish"), "{text}");
}

#[test]
fn a_vanished_side_is_said() {
    let folder = Folder::new("vanished");
    let text = offset(&folder, LOT, &["--by", "11ft"]).out;
    assert!(
        text.contains("Side F-A vanishes") || text.contains("vanish"),
        "{text}"
    );
}

#[test]
fn arcs_of_a_deed_stay_arcs() {
    let folder = Folder::new("arcs");
    let calls = folder.file(
        "lot.calls",
        "Thence North 80 feet; thence along a curve to the right having a radius of 20 feet \
         and a central angle of 90 degrees; thence East 40 feet; thence South 100 feet; \
         thence West 60 feet to the point of beginning.\n",
    );
    let answer = run_fence(&["offset", &calls, "--by", "5ft", "--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    let ring = json["rings"][0].as_array().expect("a ring");
    let arcs: Vec<_> = ring
        .iter()
        .filter_map(|flag| flag.get("arc_to_next"))
        .collect();
    assert_eq!(arcs.len(), 1, "{ring:?}");
    assert!((arcs[0]["radius_ft"].as_f64().expect("feet") - 15.0).abs() < 1e-6);
    assert_eq!(arcs[0]["turn"], "right");
    // 50 by 90 less the corner outside of a quarter circle of 15.
    let area = 50.0 * 90.0 - 15.0 * 15.0 * (1.0 - std::f64::consts::FRAC_PI_4);
    assert!((json["area_sq_ft"].as_f64().expect("an area") - area).abs() < 1e-6);
}

#[test]
fn a_picture_shows_the_lot_and_the_line() {
    let folder = Folder::new("picture");
    let picture = folder.0.join("line.svg");
    let path = picture.to_str().expect("UTF-8");
    assert_eq!(
        offset(&folder, ROOMS, &["--by", "6ft", "-o", path]).exit,
        Exit::Done
    );
    let text = std::fs::read_to_string(&picture).expect("a picture");
    let drawn = roxmltree::Document::parse(&text).expect("XML");
    let paths = drawn.descendants().filter(|it| it.has_tag_name("path"));
    assert!(paths.count() >= 3, "{text}");
    assert!(text.contains("splits into 2 pieces"), "{text}");
}

#[test]
fn sides_that_are_not_there_or_twice() {
    refused(
        "side",
        LOT,
        &["--by", "1ft", "--side", "A-Z=2ft"],
        &["no side \"A-Z\"", "A-B, B-M"],
    );
    refused(
        "words",
        LOT,
        &["--by", "1ft", "--side", "2ft"],
        &["A-B=2ft6in"],
    );
    let twice = ["--by", "1ft", "--side", "A-B=2ft", "--side", "B-A=3ft"];
    refused("both", LOT, &twice, &["two distances"]);
}

#[test]
fn flags_go_to_a_csv_only() {
    let folder = Folder::new("name");
    let answer = offset(&folder, LOT, &["--by", "1ft", "-o", "flags.txt"]);
    assert_eq!(answer.exit, Exit::Refused);
    assert!(
        answer.err.contains("ends in .csv or .svg"),
        "{}",
        answer.err
    );
}

/// An invented lot by its calls, which begin where the last one ends.
const CALLS: &str = "N0E 100.00ft to B\nN90E 60.00ft to C\nS0E 100.00ft to D\nS90W 60.00ft to A\n";

#[test]
fn calls_without_a_beginning_are_a_lot() {
    let folder = Folder::new("no-begin");
    let answer = offset(&folder, CALLS, &["--by", "6in", "--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let json = answer.json();
    assert_eq!(json["sides"].as_array().expect("sides").len(), 4);
    assert_eq!(json["corners"][0]["name"], "A");
    assert!(json["unresolved"].is_null());
    let begun = offset(
        &folder,
        &format!("begin: A\n{CALLS}"),
        &["--by", "6in", "--json"],
    )
    .json();
    assert_eq!(json["corners"], begun["corners"]);
}

#[test]
fn nothing_is_built_on_calls_that_do_not_close() {
    for (name, last, said) in [
        ("short", "S90W 30.00ft to A", "they miss by 30.000 ft"),
        ("elsewhere", "S90W 60.00ft to Z", "a corner of its own"),
    ] {
        let folder = Folder::new(name);
        let calls = format!("begin: A\n{}", CALLS.replace("S90W 60.00ft to A", last));
        let answer = offset(&folder, &calls, &["--by", "6in"]);
        assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
        let words = answer.out.replace('\n', " ");
        assert!(words.contains(said), "{words}");
        assert!(
            words.contains("Never build on an unresolved discrepancy"),
            "{words}"
        );
        assert!(words.contains("Offset line:"), "{words}");
        let json = offset(&folder, &calls, &["--by", "6in", "--json"]);
        assert_eq!(json.exit, Exit::AnswerIsNo);
        assert!(json.json()["unresolved"].is_string());
        // `fence deed` judges alike.
        let file = folder.file("deed.calls", &calls);
        assert_eq!(run_fence(&["deed", &file]).exit, Exit::AnswerIsNo);
    }
}
