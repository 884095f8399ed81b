//! Where the fence of a job starts, turns and ends.

use fence_cli::Exit;
use fence_tests::fixture;
use serde_json::Value;

use crate::folder::Folder;
use crate::program::{Answer, run_fence};

const STOPS: &str = r#"    { wall = "h3", gap = ["0in", "2in"], run = "west return" },
    { square = "h3", off = ["h1", "h3"], side = "A-B", name = "F1", run = "west line" },"#;

/// The plain town lot with other first stops.
fn town_lot(folder: &str, stops: &str) -> Answer {
    let job = fixture("jobs/town-lot.toml");
    assert!(job.contains(STOPS));
    let folder = Folder::new(folder);
    let file = folder.file("job.toml", job.replace(STOPS, stops));
    run_fence(&["sheet", &file, "--json"])
}

fn flag<'a>(sheet: &'a Value, name: &str) -> &'a Value {
    let mut flags = sheet["flags"].as_array().expect("flags").iter();
    flags.find(|flag| flag["name"] == name).expect("the flag")
}

fn apart(a: &Value, b: &Value) -> f64 {
    let way =
        |field: &str| a[field].as_f64().expect("a number") - b[field].as_f64().expect("a number");
    way("north_ft").hypot(way("east_ft"))
}

/// A wing that starts 6 ft behind the corner of the house.
#[test]
fn a_stop_is_set_back_along_a_wall() {
    let wing = r#"
    { wall = { from = "h3", toward = "h1", by = "6ft" }, gap = ["0in", "2in"], name = "wall", run = "west return" },
    { square = { from = "h3", toward = "h1", by = "6ft" }, off = ["h1", "h3"], side = "A-B", name = "F1", run = "west line" },"#;
    let at_corner = town_lot("stop-corner", STOPS).json();
    let set_back = town_lot("stop-set-back", wing).json();
    let moved = apart(flag(&at_corner, "F1"), flag(&set_back, "F1"));
    // The wall and the lot line are square to each other within a tenth of a degree.
    assert!((moved - 6.0).abs() < 1e-4, "{moved}");
    assert_eq!(flag(&set_back, "wall")["wall"], true);
}

/// The rear wall carried on is square to the side wall but for the house's own
/// error of an inch or so.
#[test]
fn a_wall_is_carried_on() {
    let carried = STOPS.replace(
        r#"square = "h3", off = ["h1", "h3"]"#,
        r#"prolong = ["h4", "h3"]"#,
    );
    let squared = town_lot("stop-squared", STOPS).json();
    let carried = town_lot("stop-carried", &carried).json();
    let moved = apart(flag(&squared, "F1"), flag(&carried, "F1"));
    assert!(moved < 0.2, "{moved}");

    let away = STOPS.replace(
        r#"square = "h3", off = ["h1", "h3"]"#,
        r#"prolong = ["h3", "h4"]"#,
    );
    let refused = town_lot("stop-away", &away);
    assert_eq!(refused.exit, Exit::Refused);
    assert!(
        refused.err.contains("swap the two points"),
        "{}",
        refused.err
    );
}

#[test]
fn a_fence_may_end_at_another_fence() {
    let fence = STOPS.replace(r#"wall = "h3""#, r#"fence = "h3""#);
    let sheet = town_lot("stop-fence", &fence).json();
    assert_eq!(flag(&sheet, "fence at h3")["wall"], true);
}

#[test]
fn a_stop_is_one_kind_and_its_places_are_known() {
    for (stops, words) in [
        (
            STOPS.replace(r#"wall = "h3""#, r#"wall = "h3", free = "h3""#),
            "exactly one of",
        ),
        (
            STOPS.replace(r#"wall = "h3", gap"#, "gap"),
            "exactly one of",
        ),
        (
            STOPS.replace(
                r#"wall = "h3""#,
                r#"wall = { from = "h9", toward = "h1", by = "6ft" }"#,
            ),
            "h9",
        ),
        (
            STOPS.replace(r#"wall = "h3""#, r#"wall = { from = "h3", toward = "h1" }"#),
            "by",
        ),
    ] {
        let refused = town_lot("stop-refused", &stops);
        assert_eq!(refused.exit, Exit::Refused, "{stops}");
        assert!(refused.err.contains(words), "{words}: {}", refused.err);
    }
}

/// Each turn has the three tapes that check it, and they fit its angle.
#[test]
fn turns_come_with_their_check() {
    let sheet = town_lot("stop-turns", STOPS).json();
    let turns = sheet["turns"].as_array().expect("turns");
    let names: Vec<_> = turns.iter().map(|turn| turn["flag"].clone()).collect();
    assert_eq!(names, ["F1", "B", "C", "F2"]);
    for turn in turns {
        let number = |value: &Value| value.as_f64().expect("a number");
        let check = &turn["check"];
        let (a, b) = (
            number(&check["leg_before_ft"]),
            number(&check["leg_after_ft"]),
        );
        let angle = number(&turn["angle_deg"]).to_radians();
        let across = (a * a + b * b - 2.0 * a * b * angle.cos()).sqrt();
        assert!((across - number(&check["diagonal_ft"])).abs() < 1e-9);
        let sigma = number(&turn["angle_sigma_deg"]);
        assert!(sigma > 0.0 && sigma < 0.1, "{sigma}");
    }
}

#[test]
fn a_place_of_three_numbers_is_refused() {
    let job = fixture("jobs/town-lot.toml").replacen("at = [0, 0]", "at = [0, 0, 0]", 1);
    let folder = Folder::new("three-numbers");
    let file = folder.file("job.toml", job);
    run_fence(&["sheet", &file]).assert_refused(&["job.toml", "two values", "not 3"]);
}

#[test]
fn a_fence_that_comes_back_is_said_to_be_closed() {
    let open = r#"
    { corner = "A", run = "west line" },
    { corner = "B", run = "rear line" },
    { corner = "C", run = "east line" },
    { corner = "D", run = "front line" },
    { corner = "A" },"#;
    let job = fixture("jobs/town-lot.toml");
    let (before, after) = job.split_once("stops = [").expect("stops");
    let (_, after) = after.split_once("\n]\n").expect("their end");
    let folder = Folder::new("comes-back");
    let job = format!("{before}stops = [{open}\n]\n{after}").replace("west return", "rear line");
    let file = folder.file("job.toml", &job);
    run_fence(&["sheet", &file]).assert_refused(&["comes back to A", "closed = true"]);
    let closed = job
        .replace("    { corner = \"A\" },", "")
        .replace("stops = [", "closed = true\nstops = [");
    let answer = run_fence(&["sheet", &folder.file("closed.toml", closed)]);
    assert_ne!(answer.exit, Exit::Refused, "{}", answer.err);
}
